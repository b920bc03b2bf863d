package desktop

import (
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"platewright/app/session"
	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/geom"
)

// Names of what is computed on request, as they stand in messages ("the … are being computed").
const (
	askedModes  = "natural frequencies"
	askedEnergy = "energies by rib and floor"
	askedStiff  = "stiffness figures"
	askedSweep  = "sections along the plate"
)

// askedModesCount and askedStations are how much is computed; the command line has options for more.
const askedModesCount, askedStations = 6, 25

// askedItems are the items of the Job menu for what is computed on request.
func (w *Window) askedItems() []*fyne.MenuItem {
	idle := func() bool { return w.job.Asked().Running == "" }
	entry := func(label string, do func(), enabled func() bool) *fyne.MenuItem {
		return w.gate.menuItem(w.command(always(label), nil, do, enabled))
	}
	return []*fyne.MenuItem{
		entry("Natural frequencies", func() {
			w.ask(session.Question{Name: askedModes, More: report.More{Modes: askedModesCount}}, tableAsked)
		}, idle),
		entry("Energies by rib and floor", func() {
			w.ask(session.Question{Name: askedEnergy, More: report.More{Energy: true}}, tableAsked)
		}, func() bool { return idle() && len(w.job.Doc().Cases) > 0 }),
		entry("Stiffness at a bore, or between two…", w.chooseStiffness, idle),
		entry("EI and GJ along the plate…", w.chooseSweep, idle),
		w.gate.menuItem(w.command(func() string {
			if r := w.job.Asked().Running; r != "" {
				return "Stop computing the " + r
			}
			return "Stop what is computed on request"
		}, nil, func() { w.job.StopAsked() }, func() bool { return !idle() })),
		entry("What was computed on request", func() { w.openTable(tableAsked) }, func() bool { return len(w.job.Asked().Answers) > 0 }),
	}
}

// ask starts computing in the background and opens the table that will show it.
func (w *Window) ask(q session.Question, at ledgerView) {
	if err := w.job.Ask(q); err != nil {
		w.say(err.Error())
		return
	}
	if w.open != at {
		w.openTable(at)
	}
}

// place is a bore, hole or slot that can be chosen, with a word for it that no other has.
type place struct {
	word string
	ref  plate.FeatureRef
}

// places are the features with a wall; of a sweep those alone that stand at one point.
func places(doc plate.Plate, pointed bool) []place {
	var out []place
	seen := map[string]bool{}
	for _, f := range doc.Features() {
		switch f.Kind {
		case plate.KindBore, plate.KindHole, plate.KindCircle, plate.KindRing, plate.KindSlot:
		default:
			continue
		}
		if pointed && !f.HasWhere {
			continue
		}
		word := f.String()
		if seen[word] {
			word += " (" + strconv.FormatInt(int64(f.ID), 10) + ")"
		}
		seen[word] = true
		out = append(out, place{word, f})
	}
	return out
}

// choosePair opens a sheet with two lists of places. first is an extra choice before the second list; empty for none.
func (w *Window) choosePair(heading, verb, from, to, first string, ps []place, take func(a place, b *place)) {
	if len(ps) == 0 || first == "" && len(ps) < 2 {
		w.say("the plate has too few bores, holes and slots to choose from; add one under Bores or Holes")
		return
	}
	var words []string
	for _, p := range ps {
		words = append(words, p.word)
	}
	rest := words
	if first != "" {
		rest = append([]string{first}, words...)
	}
	a, b := widget.NewSelect(words, nil), widget.NewSelect(rest, nil)
	a.SetSelectedIndex(0)
	b.SetSelectedIndex(min(1, len(rest)-1))
	trial := newLine("", sizeSmall, toneWrong)
	box := container.New(stack{gap: 6}, newLine(from, sizeSmall, toneQuiet), a, newLine(to, sizeSmall, toneQuiet), b, trial)
	sheet := openSheet(w.win.Canvas(), heading, box, []answer{{text: "Cancel", do: func() {}}, {text: verb, do: func() {}}}, 1, 0, 480)
	sheet.buttons[1].onPress = func() { // one place twice leaves the sheet open
		i, k := a.SelectedIndex(), b.SelectedIndex()
		if first != "" {
			k--
		}
		if i == k {
			trial.set("both are one place; choose two", toneWrong)
			return
		}
		sheet.close()
		if k < 0 {
			take(ps[i], nil)
			return
		}
		take(ps[i], &ps[k])
	}
}

// chooseStiffness asks at what, or between what, the stiffness is wanted.
func (w *Window) chooseStiffness() {
	doc := w.job.Doc()
	first := "on the supports"
	if len(doc.Supports) == 0 {
		first = ""
	}
	w.choosePair("Stiffness of the plate", "Compute", "At, or from", "Against", first, places(doc, false), func(a place, b *place) {
		q := session.Question{Name: askedStiff, More: report.More{At: []plate.ID{a.ref.ID}}}
		if b != nil {
			q.More = report.More{Between: [][2]plate.ID{{a.ref.ID, b.ref.ID}}}
		}
		w.ask(q, tableAsked)
	})
}

// chooseSweep asks between what EI and GJ are wanted.
func (w *Window) chooseSweep() {
	w.choosePair("EI and GJ along the plate", "Compute", "From", "To", "", places(w.job.Doc(), true), func(a place, b *place) {
		at := func(p plate.FeatureRef) geom.Point { return geom.Pt(p.Where[0], p.Where[1]) }
		w.ask(session.Question{Name: askedSweep, Sweep: &report.SweepWant{
			From: at(a.ref), To: at(b.ref), FromName: a.word, ToName: b.word, Stations: askedStations,
		}}, tableSweep)
	})
}

// askedState is what stands above the answers: what runs, or why nothing came of the last.
func (w *Window) askedState() (string, tone) {
	s := w.job.Asked()
	switch {
	case s.Running != "":
		return "computing the " + s.Running + "; the Job menu stops it", toneInk
	case s.Trouble != "":
		return s.Trouble, toneLook
	}
	return "", toneInk
}

// askedRows is the table of what was computed on request, newest first.
func (d *drawer) askedRows() (string, []row) {
	var rows []row
	if text, t := d.w.askedState(); text != "" {
		rows = append(rows, row{tone: t, cells: []string{"On request", "", "", text}})
	}
	as := d.w.job.Asked().Answers
	for i := len(as) - 1; i >= 0; i-- {
		a := &as[i]
		if a.Extra == nil {
			continue
		}
		head := upperFirst(a.Name)
		if a.Stale {
			head += ", of the plate before the last change"
		}
		rows = append(rows, row{bold: true, cells: []string{head}})
		start := len(rows)
		rows = append(rows, modeRows(a)...)
		rows = append(rows, stiffRows(a)...)
		rows = append(rows, d.energyRows(a)...)
		for _, f := range a.Findings {
			rows = append(rows, row{tone: toneLook, cells: []string{"   not computed", "", "", upperFirst(f.What)}})
		}
		for k := start - 1; a.Stale && k < len(rows); k++ {
			rows[k].tone = toneFaint
		}
	}
	return "Frequencies, stiffness and energies, by the live model; computed when asked for in the Job menu", rows
}

func modeRows(a *session.Answer) []row {
	var rows []row
	add := func(hz []float64, how string) {
		for i, v := range hz {
			rows = append(rows, row{cells: []string{"   frequency " + strconv.Itoa(i+1), report.Significant(v), "Hz", how}})
		}
	}
	add(a.Extra.Held, "held by "+a.Extra.Supports)
	add(a.Extra.Free, "free")
	return rows
}

// motionNames are those of the rows and columns of a 6×6 stiffness.
var motionNames = [6]string{"x", "y", "z", "about x", "about y", "about z"}

func stiffRows(a *session.Answer) []row {
	var rows []row
	matrix := func(s *report.Stiff) {
		rows = append(rows, row{tone: toneQuiet, cells: []string{"   6×6, the other motions held", "", "N, mm", "columns: " + strings.Join(motionNames[:], ", ")}})
		for i, line := range s.Stiffness {
			var cells []string
			for _, v := range line {
				cells = append(cells, report.Significant(v))
			}
			rows = append(rows, row{cells: []string{"   " + motionNames[i], report.Significant(line[i]), "", strings.Join(cells, "   ")}})
		}
	}
	for i := range a.Extra.At {
		s := &a.Extra.At[i]
		rows = append(rows, row{cells: []string{"   at " + s.To, "", "", "on " + a.Extra.Supports}})
		matrix(s)
	}
	for i := range a.Extra.Between {
		s := &a.Extra.Between[i]
		rows = append(rows, row{cells: []string{"   between " + s.From + " and " + s.To, "", "", "each alone, the other motions free"}})
		for _, f := range s.Compliance.Along() {
			per := ""
			if s.PerKG > 0 {
				per = report.Significant(f.Value/s.PerKG) + " per kg of plate"
			}
			rows = append(rows, row{cells: []string{"   " + f.Name, report.Significant(f.Value), f.Unit, per}})
		}
		matrix(s)
	}
	return rows
}

// mostShares is how many owners of energy are listed for a case.
const mostShares = 30

func (d *drawer) energyRows(a *session.Answer) []row {
	doc := d.w.job.Doc()
	var rows []row
	for i, es := range a.Extra.Energy {
		shares, total := report.EnergyShares(es)
		rows = append(rows, row{cells: []string{"   " + a.Cases[i].Case.Name, report.Significant(total), "N·mm", "in all"}})
		for k, s := range shares {
			if k == mostShares {
				rows = append(rows, row{tone: toneQuiet, cells: []string{fmt.Sprintf("      %d others", len(shares)-k)}})
				break
			}
			r := row{cells: []string{"      " + s.Name, report.Significant(s.Energy), "N·mm", strconv.FormatFloat(s.Percent, 'f', 1, 64) + " %"}}
			if s.Owner.Feature != 0 {
				r.sel, r.id = selectFeature(doc, s.Owner.Feature), s.Owner.Feature
			}
			if s.Rib != nil {
				r.where = &[2]float64{s.Rib.At.X, s.Rib.At.Y}
			}
			rows = append(rows, r)
		}
	}
	return rows
}

// sweepBar is how many signs the longest bar of a sweep has.
const sweepBar = 16

// sweepRows is the table of EI and GJ along the plate, with bars, the weakest stations in words.
func (d *drawer) sweepRows() (string, []row) {
	title, rows := "EI and GJ along the plate", []row(nil)
	if text, t := d.w.askedState(); text != "" {
		rows = append(rows, row{tone: t, cells: []string{"", "", "", "", "", upperFirst(text)}})
	}
	for _, a := range d.w.job.Asked().Answers {
		if a.Sweep == nil {
			continue
		}
		title = fmt.Sprintf("EI and GJ from %s to %s, sections square to the way", a.Sweep.FromName, a.Sweep.ToName)
		if a.Stale {
			title += ", of the plate before the last change"
		}
		most := 0.0
		for _, s := range a.Swept.Stations {
			most = max(most, s.EI)
		}
		for i, s := range a.Swept.Stations {
			bar := ""
			if most > 0 {
				bar = strings.Repeat("▇", int(s.EI/most*sweepBar+0.5))
			}
			r := row{where: &[2]float64{s.At.X, s.At.Y}, cells: []string{
				grouped(s.S, 1), strconv.Itoa(s.Pieces), report.Significant(s.EI / 1e6), report.Significant(s.EIPlane / 1e6), report.Significant(s.GJ / 1e6), bar,
			}}
			if s.Bounded() {
				r.cells[5] += " EI at most, GJ at least"
			}
			if i == a.Swept.WeakestEI {
				r.cells[5], r.bold = r.cells[5]+" ← weakest EI", true
			}
			if i == a.Swept.WeakestGJ {
				r.cells[5], r.bold = r.cells[5]+" ← weakest GJ", true
			}
			if a.Stale {
				r.tone = toneFaint
			}
			rows = append(rows, r)
		}
	}
	return title, rows
}
