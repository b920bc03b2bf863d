package desktop

import (
	"math"
	"strconv"
	"strings"
	"time"

	"platewright/export/report"
	"platewright/export/scene"
	"platewright/fea"
	"platewright/fea/shell"
	"platewright/plate"
)

// fieldOverlay is a quantity that can be drawn in bands of colour over the plate: a name for the menu, and what makes the
// field of a load case.
type fieldOverlay struct {
	name string
	make func(r *fea.Result, index int) *scene.Field
}

// fieldOverlays are the quantities of the load cases that can be drawn. One that is gained is added here, and nowhere else.
func fieldOverlays() []fieldOverlay {
	on := func(s shell.Surface) func(*fea.Result, int) *scene.Field {
		return func(r *fea.Result, i int) *scene.Field { return scene.StressField(r, i, s) }
	}
	return []fieldOverlay{
		{fieldStress, func(r *fea.Result, i int) *scene.Field { return scene.StressField(r, i, r.Cases[i].Surface) }},
		{"stress, top surface", on(shell.Top)},
		{"stress, middle surface", on(shell.Middle)},
		{"stress, bottom surface", on(shell.Bottom)},
		{"deflection", scene.DeflectionField},
	}
}

// fieldStress is the stress on the surface where it is greatest.
const fieldStress = "stress, worst surface"

// fieldShown is the field that the overlay asks for, grey while the plate is newer than it; nil while there is none.
func (w *Window) fieldShown() *scene.Field {
	k := w.job.Cases()
	if !k.OK || len(k.Value.Cases) == 0 {
		return nil
	}
	o := w.over
	o.at = min(o.at, len(k.Value.Cases)-1)
	if w.fieldOf != k.Value || w.fieldFor != o {
		w.fieldOf, w.fieldFor, w.field = k.Value, o, nil
		for _, f := range fieldOverlays() {
			if f.name == o.field {
				w.field = f.make(k.Value, o.at)
			}
		}
	}
	if w.field == nil {
		return nil
	}
	short := *w.field // the scale stands in a narrow strip; what it says in full stands below (see fieldText)
	short.Title, _, _ = strings.Cut(short.Title, ",")
	short.Title = strings.TrimSuffix(short.Title, " stress")
	short.ShapeNote = ""
	switch {
	case k.Stale:
		short.Stale = "of the last plate"
	case k.Value.Coarse:
		short.ShapeNote = coarseWord
	}
	return &short
}

// coarseWord marks what comes from the quick model of a plate that is being dragged.
const coarseWord = "coarse, while dragging"

// fieldText says in full what field is drawn.
func (w *Window) fieldText() string {
	f := w.fieldShown()
	if f == nil {
		return "stress: no load case has been analysed"
	}
	switch {
	case f.Stale != "":
		return joined(w.field.Title, "of the plate before the last change")
	case w.job.Cases().Value.Coarse:
		return joined(w.field.Title, coarseWord)
	}
	return joined(w.field.Title, w.field.ShapeNote)
}

// leftKept is the room that the scale of a field takes.
func (w *Window) leftKept() float64 {
	const scale = 140
	if w.over.field != "" {
		return scale
	}
	return 0
}

// caseAt is the index of the load case that is drawn, else of the one with the least reserve.
func (w *Window) caseAt() int {
	k := w.job.Cases()
	if w.over.field != "" || !k.OK {
		return w.over.at
	}
	return max(worstCase(k.Value), 0)
}

// stepCase shows the field of the next load case.
func (w *Window) stepCase() {
	k := w.job.Cases()
	if !k.OK || len(k.Value.Cases) == 0 {
		w.say("no load case has been analysed; add supports, loads and a load case under Loads")
		return
	}
	o := w.over
	if o.field == "" {
		o = overlay{field: fieldStress, at: len(k.Value.Cases) - 1}
	}
	o.at = (o.at + 1) % len(k.Value.Cases)
	w.setOverlay(o)
}

// showCase draws the stress of one load case.
func (w *Window) showCase(id plate.ID) {
	k := w.job.Cases()
	for i := 0; k.OK && i < len(k.Value.Cases); i++ {
		if k.Value.Cases[i].Case.ID == id {
			w.setOverlay(overlay{field: fieldStress, at: i})
			return
		}
	}
	w.say("this load case has not been analysed; see the findings under Loads")
}

// worstCase is the index of the case with the least reserve, −1 for none.
func worstCase(r *fea.Result) int {
	at := -1
	for i := range r.Cases {
		if at < 0 || r.Cases[i].Reserve < r.Cases[at].Reserve {
			at = i
		}
	}
	return at
}

// reserveFigure is the ledger's cell of the least reserve factor; hidden while the plate has no load case.
func (w *Window) reserveFigure(now time.Time, base report.Report, known bool, ts []report.Target) figure {
	if len(w.job.Doc().Cases) == 0 {
		return figure{hidden: true}
	}
	k := w.job.Cases()
	f := figure{caption: "Least reserve", stale: k.Stale, age: k.Age(now)}
	if !k.OK {
		return f
	}
	i := worstCase(k.Value)
	if i < 0 {
		return f
	}
	c := &k.Value.Cases[i]
	f.caption = "Least reserve, " + c.Case.Name
	f.value = reserveText(c.Reserve)
	if k.Value.Coarse && c.Reserve > 0 && !math.IsInf(c.Reserve, 1) {
		f.value = "about " + f.value
	}
	if known && !k.Value.Coarse && base.Cases.OK {
		if j := worstCase(base.Cases.Value); j >= 0 && !math.IsInf(c.Reserve-base.Cases.Value.Cases[j].Reserve, 0) {
			f.diff = signed(c.Reserve-base.Cases.Value.Cases[j].Reserve, 2, "")
		}
	}
	f.note, f.noteTo = targetNote(ts, plate.Reserve, 0)
	if f.note == "" {
		f.note, f.noteTo = "on "+strengthWord(c.Case.Kind), toneQuiet
		if c.Reserve < 1 {
			f.note, f.noteTo = "below 1: beyond the "+strengthWord(c.Case.Kind), toneWrong
		}
	}
	f.remark = "moves " + lengthIn(w.inch).formatUnit(round3(c.MaxDeflection)) + ", live model"
	if k.Value.Coarse {
		f.remark = coarseWord + ": " + lengthIn(w.inch).formatUnit(round2(c.MaxDeflection))
	}
	return f
}

func strengthWord(k plate.CaseKind) string {
	if k == plate.Ultimate {
		return "ultimate strength"
	}
	return "proof stress"
}

func reserveText(v float64) string {
	switch {
	case math.IsInf(v, 1):
		return "no stress"
	case v == 0:
		return "strength not known"
	}
	return factorText(v)
}

// factorText writes a reserve: to hundredths, and where it is large to three digits.
func factorText(v float64) string {
	if v >= 100 {
		return report.Significant(v)
	}
	return strconv.FormatFloat(v, 'f', 2, 64)
}

// errorText is an estimated error in percent, which a coarse analysis does not find.
func errorText(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return twoDigits(v)
}

// round2 rounds to a hundredth.
func round2(v float64) float64 { return math.Round(v*100) / 100 }

// round3 rounds to a thousandth.
func round3(v float64) float64 { return math.Round(v*1000) / 1000 }

// caseRows is the drawer behind the reserve: every case, its reactions, and what its figures leave out.
func (d *drawer) caseRows() (string, []row) {
	k := d.w.job.Cases()
	if !k.OK {
		return "Load cases: none has been analysed", nil
	}
	doc := d.w.job.Doc()
	rows := d.w.solidState()
	for i := range k.Value.Cases {
		c := &k.Value.Cases[i]
		show := overlay{field: fieldStress, at: i}
		sel := selectFeature(doc, c.Case.ID)
		at := [2]float64{c.MaxVonMisesAt[0], c.MaxVonMisesAt[1]}
		r := row{bold: true, sel: sel, id: c.Case.ID, over: show, where: &at, cells: []string{
			c.Case.Name, string(c.Case.Kind) + " × " + strconv.FormatFloat(c.Case.Factor, 'g', 4, 64), reserveText(c.Reserve),
			grouped(c.MaxVonMises, 1), c.Surface.String(), report.Significant(c.MaxDeflection), errorText(c.ErrorPercent),
		}}
		if c.Reserve < 1 {
			r.word, r.wordTone = 2, toneWrong
		}
		rows = append(rows, r)
		quiet := func(name, text string) {
			rows = append(rows, row{sel: sel, tone: toneQuiet, wide: 1, says: text, cells: []string{"   " + name, text}})
		}
		rows = append(rows, d.w.solidRow(c.Case.ID, sel)...)
		if rep := d.w.job.Report(); rep.Cases.OK && rep.Cases.Value == k.Value { // else the joints are of another analysis
			if text := jointSummary(rep, i); text != "" {
				quiet("joints, seats, floors", text)
			}
		}
		quiet("fatigue", c.Fatigue)
		for _, l := range report.WorkedLines(c.Case.Origin) {
			quiet("worked sum", l)
		}
		for _, f := range c.Stiffness {
			if !math.IsInf(f.Value, 0) {
				quiet("stiffness", figureText(f.Value)+" "+f.Unit+", "+f.Name+against(f.Value))
			}
		}
		for _, a := range c.Reactions {
			quiet("reaction", a.Name+": x "+grouped(a.Force[0], 0)+" N, y "+grouped(a.Force[1], 0)+" N, z "+grouped(a.Force[2], 0)+" N")
		}
		for _, l := range c.LeftOut {
			quiet("left out, "+grouped(l.MPa, 0)+" MPa", l.Why)
		}
		for _, n := range c.Notes {
			quiet("note", n)
		}
	}
	for _, n := range k.Value.Notes {
		rows = append(rows, row{tone: toneQuiet, wide: 1, says: n, cells: []string{upperFirst(n)}})
	}
	if k.Stale {
		greyed(rows)
	}
	if s := d.w.job.Solid().Value; s != nil {
		for _, n := range append([]string{s.String()}, s.Notes...) {
			rows = append(rows, row{tone: toneQuiet, wide: 1, says: n, cells: []string{"Solid check", n}})
		}
	}
	model := "by the live model"
	if k.Value.Coarse {
		model = coarseWord
	}
	return "Load cases, " + model + "; press one to see its stress" + staleWord(k.Stale), rows
}

// caseFacts are the figures of a selected load case.
func (w *Window) caseFacts() []fact {
	k := w.job.Cases()
	if !k.OK {
		return nil
	}
	t := toneInk
	if k.Stale {
		t = toneFaint
	}
	for i := range k.Value.Cases {
		c := &k.Value.Cases[i]
		if c.Case.ID != w.sel.id {
			continue
		}
		about, low := "", ""
		if k.Value.Coarse {
			about, low = " ("+coarseWord+")", ", peaks up to a sixth low"
		}
		return []fact{
			{"Reserve " + reserveText(c.Reserve) + " on " + strengthWord(c.Case.Kind) + about, t},
			{"Greatest stress " + grouped(c.MaxVonMises, 1) + " MPa, " + c.Surface.String() + " surface" + low, t},
			{"Greatest deflection " + lengthIn(w.inch).formatUnit(round3(c.MaxDeflection)), t},
			{"Estimated error of stresses " + errorText(c.ErrorPercent) + " %", t},
			{"Fatigue: " + c.Fatigue, toneQuiet},
			{report.MeshText(k.Value.Mesh), toneQuiet},
			{fea.LiveBandOf(k.Value.Model.Layout).Text, toneQuiet},
		}
	}
	return nil
}
