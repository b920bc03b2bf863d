package desktop

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"platewright/app/session"
	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Names of what is computed on request, as they stand in messages ("the … are being computed").
const (
	askedModes  = "natural frequencies"
	askedEnergy = "energies by rib and floor"
	askedStiff  = "stiffness figures"
	askedBand   = "stiffnesses with bores hinged and fixed"
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
		w.gate.menuItem(w.command(func() string {
			if len(heldBy(w.job.Doc())) > 1 {
				return "Natural frequencies…"
			}
			return "Natural frequencies"
		}, nil, w.chooseModes, idle)),
		entry("Energies by rib and floor", func() {
			w.ask(session.Question{Name: askedEnergy, More: report.More{Energy: true}}, tableAsked)
		}, func() bool { return idle() && len(w.job.Doc().Cases) > 0 }),
		entry("Stiffness at a bore, or between two…", w.chooseStiffness, idle),
		entry("Stiffness with bores hinged, and fixed", func() {
			w.ask(session.Question{Name: askedBand, More: report.More{Band: true}}, tableAsked)
		}, func() bool { return idle() && len(w.job.Doc().Cases) > 0 }),
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
		w.say(finding.Words(err))
		return
	}
	if w.open != at {
		w.openTable(at)
	}
	w.drawer.tables[at].toTop()
}

// held is what a plate can be held by, in words, and the load case whose supports these are; 0 for all of the document.
type held struct {
	word string
	id   plate.ID
}

// heldBy are the supports to choose from: all, and those of each load case that has its own choice; none for a document without
// supports.
func heldBy(doc plate.Plate) []held {
	if len(doc.Supports) == 0 {
		return nil
	}
	out := []held{{word: "all supports"}}
	for _, c := range doc.Cases {
		if len(c.Supports) > 0 {
			out = append(out, held{"the supports of " + c.Name, c.ID})
		}
	}
	if len(out) == 1 {
		out[0].word = "the supports"
	}
	return out
}

// chooseModes asks what holds the plate, where there is a choice, and computes its natural frequencies.
func (w *Window) chooseModes() {
	hs := heldBy(w.job.Doc())
	take := func(h held) {
		q := session.Question{Name: askedModes, More: report.More{Modes: askedModesCount, Case: h.id}}
		if h.id != 0 { // beside those of other supports
			q.Name += " on " + h.word
		}
		w.ask(q, tableAsked)
	}
	if len(hs) < 2 {
		take(held{})
		return
	}
	words := make([]string, len(hs))
	for i, h := range hs {
		words[i] = h.word
	}
	list := widget.NewSelect(words, nil)
	list.SetSelectedIndex(0)
	box := container.New(stack{gap: 6}, newLine("Held by", sizeSmall, toneQuiet), list)
	openSheet(w.win.Canvas(), "Natural frequencies, held and free", box, []answer{
		{text: "Cancel", do: func() {}}, {text: "Compute", do: func() { take(hs[max(list.SelectedIndex(), 0)]) }},
	}, 1, 0, 480)
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

// choosePair opens a sheet with two lists of places. first are choices before those of the second list; what is taken is then
// either one of them or b.
func (w *Window) choosePair(heading, from, to string, first []string, ps []place, take func(a place, first int, b *place)) {
	if len(ps) == 0 || len(first) == 0 && len(ps) < 2 {
		w.say("the plate has too few bores, holes and slots to choose from; add one under Bores or Holes")
		return
	}
	var words []string
	for _, p := range ps {
		words = append(words, p.word)
	}
	rest := slices.Concat(first, words)
	a, b := widget.NewSelect(words, nil), widget.NewSelect(rest, nil)
	a.SetSelectedIndex(0)
	if b.SetSelectedIndex(0); len(first) == 0 {
		b.SetSelectedIndex(1)
	}
	trial := newLine("", sizeSmall, toneWrong)
	box := container.New(stack{gap: 6}, newLine(from, sizeSmall, toneQuiet), a, newLine(to, sizeSmall, toneQuiet), b, trial)
	sheet := openSheet(w.win.Canvas(), heading, box, []answer{{text: "Cancel", do: func() {}}, {text: "Compute", do: func() {}}}, 1, 0, 480)
	sheet.buttons[1].onPress = func() { // one place twice leaves the sheet open
		i, k := a.SelectedIndex(), b.SelectedIndex()-len(first)
		if i == k {
			trial.set("both are one place; choose two", toneWrong)
			return
		}
		sheet.close()
		if k < 0 {
			take(ps[i], b.SelectedIndex(), nil)
			return
		}
		take(ps[i], -1, &ps[k])
	}
}

// chooseStiffness asks at what, or between what, the stiffness is wanted.
func (w *Window) chooseStiffness() {
	doc := w.job.Doc()
	hs := heldBy(doc)
	var first []string
	for _, h := range hs {
		first = append(first, h.word)
	}
	w.choosePair("Stiffness of the plate", "At, or from", "Against", first, places(doc, false), func(a place, i int, b *place) {
		q := session.Question{Name: askedStiff}
		if b != nil {
			q.More = report.More{Between: [][2]plate.ID{{a.ref.ID, b.ref.ID}}}
		} else {
			q.More = report.More{At: []plate.ID{a.ref.ID}, Case: hs[i].id}
		}
		w.ask(q, tableAsked)
	})
}

// chooseSweep asks between what EI and GJ are wanted.
func (w *Window) chooseSweep() {
	w.choosePair("EI and GJ along the plate", "From", "To", nil, places(w.job.Doc(), true), func(a place, _ int, b *place) {
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
		rows = append(rows, row{tone: t, wide: 1, cells: []string{upperFirst(text)}})
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
		rows = append(rows, row{bold: true, wide: 1, cells: []string{head}})
		start := len(rows)
		rows = append(rows, modeRows(a)...)
		rows = append(rows, stiffRows(a)...)
		rows = append(rows, bandRows(a)...)
		rows = append(rows, d.energyRows(a)...)
		for _, f := range a.Findings {
			for _, text := range wrapped(upperFirst(joined(f.What, f.Fix))) {
				rows = append(rows, row{tone: toneLook, wide: 1, cells: []string{indent + text}})
			}
		}
		for k := start - 1; a.Stale && k < len(rows); k++ {
			rows[k].tone = toneFaint
		}
	}
	return "Frequencies, stiffness and energies, by the live model; computed when asked for in the Job menu", rows
}

// figureText is a figure to three digits with the sign that the other tables have.
func figureText(v float64) string { return minus(report.Significant(v)) }

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// against says what a stiffness below zero is.
func against(v float64) string {
	if v < 0 {
		return "; below zero: the other loads of the case move it against this one"
	}
	return ""
}

// wrapped breaks a text into lines that a row of the usual window holds.
func wrapped(text string) []string {
	const most = 105
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// indent stands before what belongs to the row above.
const indent = "   "

func modeRows(a *session.Answer) []row {
	var rows []row
	add := func(hz []float64, how string) {
		if len(hz) > 0 {
			rows = append(rows, row{tone: toneQuiet, wide: 1, cells: []string{indent + how}})
		}
		for i, v := range hz {
			rows = append(rows, row{wide: 2, cells: []string{indent + indent + "frequency " + strconv.Itoa(i+1), report.Significant(v), "Hz"}})
		}
	}
	add(a.Extra.Held, "held by "+a.Extra.Supports)
	add(a.Extra.Free, "free, held by nothing")
	return rows
}

// motionNames are those of the rows and columns of a 6×6 stiffness.
var motionNames = [6]string{"x", "y", "z", "about x", "about y", "about z"}

func stiffRows(a *session.Answer) []row {
	var rows []row
	matrix := func(s *report.Stiff) {
		rows = append(rows,
			row{tone: toneQuiet, wide: 1, cells: []string{indent + "force or moment for a unit motion, the other motions held: N/mm, N, N·mm/rad"}},
			row{tone: toneQuiet, cells: append([]string{""}, motionNames[:]...)})
		for i, line := range report.StiffnessCells(&s.Stiffness) {
			cells := []string{indent + indent + motionNames[i]}
			for _, v := range line {
				cells = append(cells, minus(v))
			}
			rows = append(rows, row{cells: cells})
		}
	}
	for i := range a.Extra.At {
		s := &a.Extra.At[i]
		rows = append(rows, row{wide: 1, cells: []string{indent + "at " + s.To + ", held by " + a.Extra.Supports}})
		matrix(s)
	}
	for i := range a.Extra.Between {
		s := &a.Extra.Between[i]
		rows = append(rows, row{wide: 1, cells: []string{indent + "between " + s.From + " and " + s.To + ", each alone, the other motions free"}})
		for _, f := range s.Compliance.Along() {
			r := row{wide: 2, cells: []string{indent + indent + f.Name, report.Significant(f.Value), f.Unit}}
			if s.PerKG > 0 {
				r.cells = append(r.cells, report.Significant(f.Value/s.PerKG)+" "+f.Unit+" per kg of plate")
			}
			rows = append(rows, r)
		}
		matrix(s)
	}
	return rows
}

// bandRows are the stiffnesses along the loads of every case, with bores and holes taken as hinged and as fixed.
func bandRows(a *session.Answer) []row {
	var rows []row
	for i, band := range a.Extra.Band {
		if len(band) == 0 { // a finding says why
			continue
		}
		rows = append(rows, row{cells: []string{indent + a.Cases[i].Case.Name, "hinged", "fixed"}})
		for _, v := range band {
			rows = append(rows,
				row{wide: 1, cells: []string{indent + indent + v.Name + against(v.Hinged)}},
				row{wide: 3, cells: []string{"", figureText(v.Hinged), figureText(v.Fixed), v.Unit}})
		}
	}
	if len(rows) > 0 {
		rows = append(rows, row{tone: toneQuiet, wide: 1, cells: []string{indent + "between the two lies a real joint; supports that are neither stay as they are"}})
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
		rows = append(rows, row{wide: 2, cells: []string{indent + a.Cases[i].Case.Name, report.Significant(total), "N·mm", "in all"}})
		for k, s := range shares {
			if k == mostShares {
				rest := 0.0
				for _, o := range shares[k:] {
					rest += o.Percent
				}
				rows = append(rows, row{tone: toneQuiet, wide: 2, cells: []string{
					indent + indent + strconv.Itoa(len(shares)-k) + " others", report.Significant(rest * total / 100), "N·mm", percent(rest),
				}})
				break
			}
			name := s.Name
			switch s.Owner.Kind {
			case layout.OwnRim:
				name = "rim along the outline"
			case layout.OwnLand:
				name = "other flats"
			}
			r := row{wide: 2, cells: []string{indent + indent + name, report.Significant(s.Energy), "N·mm", percent(s.Percent)}}
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

// percent writes a share to a tenth.
func percent(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) + " %" }

// sweep is the newest answer about EI and GJ along the plate.
func (w *Window) sweep() (session.Answer, bool) {
	as := w.job.Asked().Answers
	for i := len(as) - 1; i >= 0; i-- {
		if as[i].Sweep != nil {
			return as[i], true
		}
	}
	return session.Answer{}, false
}

func (w *Window) hasSweep() bool {
	_, ok := w.sweep()
	return ok
}

// sweepBar is how many signs the longest bar of a sweep has.
const sweepBar = 16

// sweepRows is the table of EI and GJ along the plate, with bars, the weakest stations in words.
func (d *drawer) sweepRows() (string, []row) {
	title, rows := "EI and GJ along the plate", []row(nil)
	if text, t := d.w.askedState(); text != "" {
		rows = append(rows, row{tone: t, wide: 1, cells: []string{upperFirst(text)}})
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
