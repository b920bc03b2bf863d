package desktop

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
	"platewright/plate/layout"
	"platewright/plate/route"
)

// drawer holds the table behind a figure of the ledger, between the plate and the ledger, so that a row and its metal can
// be seen together. Each table is built once.
type drawer struct {
	w      *Window
	title  *line
	body   *fyne.Container
	object *fyne.Container
	tables map[ledgerView]*table
	shown  ledgerView
	save   *clickable // of the sweep

	settings    kinematics.Settings // of the document of revision settingsOf
	settingsErr error
	settingsOf  string
}

func newDrawer(w *Window) *drawer {
	d := &drawer{w: w, title: newBold("", sizeText, toneInk), body: container.NewStack()}
	d.tables = map[ledgerView]*table{
		tableMass: newTable([]column{
			{"", 90, false}, {"Feature", 0, false}, {"Plan area mm²", 110, true}, {"Grams", 90, true}, {"Share %", 70, true},
		}, d.press),
		tableCard: newTable([]column{
			{"Set-up", 46, true},
			{"Tool", 110, false},
			{"Operation", 0, false},
			{"Minutes", 62, true},
			{"To baseline", 80, true},
			{"Path m", 58, true},
			{"cm³", 56, true},
			{"rpm", 56, true},
			{"Limited by", 150, false},
		}, d.press),
		tablePrice: newTable([]column{
			{"Line", 230, false}, {"Amount", 110, true}, {"To baseline", 80, true}, {"How it was computed", 0, false},
		}, d.press),
		tableSections: newTable([]column{
			{"Cut line", 0, false},
			{"Pieces", 54, true},
			{"Area mm²", 90, true},
			{"EI about s N·m²", 120, true},
			{"EI about z N·m²", 120, true},
			{"GJ N·m²", 90, true},
			{"I₁ mm⁴", 100, true},
			{"I₂ mm⁴", 100, true},
		}, d.press),
		tableCases: newTable([]column{
			{"Load case", 190, false},
			{"Judged as", 68, false},
			{"Reserve", 54, true},
			{"Stress MPa", 76, true},
			{"Surface", 52, false},
			{"Moves mm", 66, true},
			{"Stress error %", 92, true},
			{"", 0, false},
		}, d.press),
		tableSettings: newTable([]column{
			{"Setting and adjuster", 220, false}, {"State", 90, true}, {"x of its centre mm", 130, true}, {"y of its centre mm", 130, true}, {"", 0, false},
		}, d.press),
		tableJoints: newTable(jointColumns(), d.press),
		tableAsked: newTable([]column{
			{"", 0, false}, {"", 84, true}, {"", 84, true}, {"", 84, true}, {"", 84, true}, {"", 84, true}, {"", 84, true},
		}, d.press),
		tableSweep: newTable([]column{
			{"Along mm", 70, true},
			{"Pieces", 54, true},
			{"EI out of plane N·m²", 140, true},
			{"EI in plane N·m²", 120, true},
			{"GJ N·m²", 90, true},
			{"EI out of plane", 0, false},
		}, d.press),
		tableFindings: newTable([]column{
			{"No", 30, true}, {"", 46, false}, {"Stage", 80, false}, {"What", 0, false}, {"Feature", 120, false},
		}, d.press),
	}
	word := func(text string, do func()) *clickable {
		l := newLine(text, sizeText, toneAccent)
		l.tight = true
		return newClickable(l, fyne.NewSize(10, 5), do)
	}
	d.save = word("Save as CSV…", w.exportSweep)
	head := container.NewBorder(nil, nil, nil, container.NewHBox(d.save, word("Close", func() { w.openTable(tableNone) })),
		container.New(inset{innerPad(), 6}, d.title))
	d.tables[tableAsked].still = true // its rows are read from the newest answer on
	d.object = container.NewStack(panelFill(), container.New(headed{},
		container.New(stack{}, newRule(), container.New(inset{12, 0}, head)), container.New(inset{12, 0}, d.body)))
	d.object.Hide()
	return d
}

// open shows a table, or nothing.
func (d *drawer) open(v ledgerView) {
	if d.shown == v {
		return
	}
	d.shown = v
	d.body.RemoveAll()
	if v == tableNone {
		d.object.Hide()
	} else {
		d.body.Add(d.tables[v].object)
		d.object.Show()
	}
	d.w.win.Content().Refresh()
}

// press selects what a row is about.
func (d *drawer) press(r row) {
	if r.sel.stage != "" {
		d.w.choose(r.sel)
	}
	if r.over != (overlay{}) {
		d.w.setOverlay(r.over)
	}
	if r.where != nil {
		d.w.view.centre(geom.Pt(r.where[0], r.where[1]))
	}
	if r.says != "" {
		d.w.say(r.says)
	}
}

// update brings the open table up to date.
func (d *drawer) update() {
	t := d.tables[d.shown]
	if t == nil {
		return
	}
	title, rows := "", []row(nil)
	switch d.shown {
	case tableMass:
		title, rows = d.massRows()
	case tableCard:
		title, rows = d.cardRows()
	case tablePrice:
		title, rows = d.priceRows()
	case tableSections:
		title, rows = d.sectionRows()
	case tableCases:
		title, rows = d.caseRows()
	case tableSettings:
		title, rows = d.settingsRows()
	case tableJoints:
		title, rows = d.jointRows()
	case tableAsked:
		title, rows = d.askedRows()
	case tableSweep:
		title, rows = d.sweepRows()
	case tableFindings:
		title, rows = d.findingRows()
	}
	visible(d.save, d.shown == tableSweep && d.w.hasSweep())
	d.title.set(title, toneInk)
	t.set(rows)
	t.mark(d.w.sel.id)
}

// massRows sums the metal by owner: what each feature holds, as boss, rim, rib, floor or land.
func (d *drawer) massRows() (string, []row) {
	m := d.w.job.Mass()
	if !m.OK {
		return "Mass by owner: not known yet", nil
	}
	type owner struct {
		kind string
		id   plate.ID
		name string
		area float64
		kg   float64
	}
	var sums []owner
	for _, s := range m.Value.Shares {
		i := slices.IndexFunc(sums, func(o owner) bool { return o.kind == string(s.Kind) && o.id == s.Feature })
		if i < 0 {
			i = len(sums)
			sums = append(sums, owner{kind: string(s.Kind), id: s.Feature, name: s.Name})
		}
		sums[i].area += s.PlanArea
		sums[i].kg += s.MassKG
	}
	slices.SortStableFunc(sums, func(a, b owner) int { return cmp.Compare(b.kg, a.kg) })
	doc := d.w.job.Doc()
	rows := make([]row, 0, len(sums)+1)
	for _, o := range sums {
		r := row{cells: []string{
			o.kind, ownerName(o.kind, o.name), grouped(o.area, 0), grouped(o.kg*1000, 1),
			strconv.FormatFloat(100*o.kg/m.Value.MassKG, 'f', 1, 64),
		}, id: o.id}
		if o.id != 0 {
			r.sel = selectFeature(doc, o.id)
		} else {
			r.sel = selection{stage: plate.StageOutline}
		}
		rows = append(rows, r)
	}
	rows = append(rows, row{bold: true, cells: []string{"", "plate", "", grouped(m.Value.MassKG*1000, 1), "100.0"}})
	return "Mass by owner" + staleWord(m.Stale), rows
}

// ownerName says what metal without a feature is.
func ownerName(kind, name string) string {
	switch kind {
	case string(layout.OwnRim):
		return "along the outline"
	case string(layout.OwnLand):
		if name == kind || name == "" {
			return "other flats, and corners that no cutter reaches"
		}
	}
	return name
}

func staleWord(stale bool) string {
	if stale {
		return " (out of date, being computed again)"
	}
	return ""
}

// greyed sets rows in the colour of what is out of date.
func greyed(rows []row) {
	for i := range rows {
		rows[i].tone, rows[i].word, rows[i].wordTone = toneFaint, 0, toneInk
	}
}

// cardRows is the route card: what is done in which clamping with which tool, and what limits it.
func (d *drawer) cardRows() (string, []row) {
	m := d.w.job.Machining()
	if !m.OK {
		return "Route card: not known yet", nil
	}
	doc, p := d.w.job.Doc(), m.Value
	rows := make([]row, 0, len(p.Operations)+4)
	diffs, gone := d.operationDiffs(p)
	for i, o := range p.Operations {
		key := report.OperationKey(o)
		diff := diffs[key]
		delete(diffs, key) // what is done with several tools has one difference, at the first
		r := row{over: overlay{paths: true, op: i + 1}, cells: []string{
			strconv.Itoa(o.SetUp), toolText(o), o.Name, twoDigits(o.TotalMin), diff, blankZero(o.PathMM/1000, 1),
			blankZero(o.Removed/1000, 1), blankZero(o.Spindle, 0), o.LimitedBy,
		}}
		if o.Where != route.OnMachine {
			r.cells[1], r.tone = string(o.Where), toneQuiet
		}
		if len(o.Features) > 0 {
			r.sel, r.id = selectFeature(doc, o.Features[0]), o.Features[0]
		} else {
			r.sel = selection{stage: plate.StageMachining}
		}
		rows = append(rows, r)
	}
	rows = append(rows, gone...)
	sum := func(name string, min float64) {
		rows = append(rows, row{cells: []string{"", "", name, twoDigits(min)}, tone: toneQuiet})
	}
	sum("cutting", p.CuttingMin)
	sum("rapids", p.RapidMin)
	sum("tool changes", p.ToolChangeMin)
	sum("rest of the cycle: probing, starting the spindle, turning taps round", p.OtherMachineMin)
	rows = append(rows, row{bold: true, cells: []string{"", "", "cycle, button to button, about", twoDigits(p.CycleMin)}})
	sum("floor to floor, with loading and gauging, about", p.FloorToFloorMin)
	sum("set-up, once for a batch, about", p.SetupMin)
	title := fmt.Sprintf("Route card: %s, %s; press a row to see its path", plural(len(p.SetUps), "set-up"), plural(len(p.Operations), "operation"))
	return title + staleWord(m.Stale), rows
}

// operationDiffs are the differences of an operation's minutes to the baseline, by its key, and a row for each operation that only the
// baseline has. Minutes that are re-timed during a drag are compared when the whole plan is there.
func (d *drawer) operationDiffs(p route.Plan) (diffs map[string]string, gone []row) {
	diffs = map[string]string{}
	base, known := d.w.job.Baseline()
	if !known || !base.Machining.OK || p.About {
		return diffs, nil
	}
	for _, c := range report.OperationChanges(base.Machining.Value, p) {
		switch {
		case !c.HasFrom:
			diffs[c.Name] = "new"
		case !c.HasTo:
			gone = append(gone, row{tone: toneQuiet, cells: []string{"", "", c.Name + ", no longer done", "", signed(-c.From, 2, "")}})
		default:
			diffs[c.Name] = signed(c.To-c.From, 2, "")
		}
	}
	return diffs, gone
}

func toolText(o route.Operation) string {
	if o.ToolNumber == 0 {
		return ""
	}
	return "T" + strconv.Itoa(o.ToolNumber) + " " + o.Tool.ID
}

// blankZero writes a number, and nothing for what does not apply.
func blankZero(v float64, decimals int) string {
	if v == 0 {
		return ""
	}
	return grouped(v, decimals)
}

func (d *drawer) sectionRows() (string, []row) {
	ss := d.w.job.Sections()
	if !ss.OK {
		return "Sections: not known yet", nil
	}
	doc := d.w.job.Doc()
	rows := make([]row, 0, len(ss.Value))
	torsion := d.w.job.Report().Torsion // one for each section, of the same run
	for i, s := range ss.Value {
		gj := ""
		if torsion.OK && len(torsion.Value) == len(ss.Value) && torsion.Value[i].GJ > 0 {
			gj = grouped(torsion.Value[i].GJ/1e6, 1)
		}
		r := row{cells: []string{
			s.Name, strconv.Itoa(s.Pieces), grouped(s.Area, 1), grouped(s.EISS/1e6, 1), grouped(s.EIZZ/1e6, 1), gj,
			grouped(s.I1, 0), grouped(s.I2, 0),
		}}
		for _, c := range doc.CutLines {
			if c.Name == s.Name {
				r.sel, r.id = selectFeature(doc, c.ID), c.ID
			}
		}
		rows = append(rows, r)
	}
	if ss.Stale {
		greyed(rows)
	}
	return "Sections at the cut lines: s along the line, z through the thickness" + staleWord(ss.Stale), rows
}

func (d *drawer) findingRows() (string, []row) {
	k := d.w.job.Findings()
	if !k.OK {
		return "Findings: not known yet", nil
	}
	doc := d.w.job.Doc()
	rows := make([]row, 0, len(k.Value))
	for i, f := range k.Value {
		word, t := levelWord(f.Level)
		what := f.What
		if f.Fix != "" {
			what += "; " + f.Fix
		}
		r := row{cells: []string{strconv.Itoa(i + 1), word, f.Stage, upperFirst(what), f.FeatureName}}
		r.word, r.wordTone = 1, t
		r.sel = selection{stage: f.Stage}
		if f.Feature != 0 {
			r.sel, r.id = selectFeature(doc, plate.ID(f.Feature)), plate.ID(f.Feature)
		}
		if f.HasWhere {
			at := f.Where
			r.where = &at
		}
		rows = append(rows, r)
	}
	title := "Findings, with the numbers that stand on the plate"
	if len(rows) == 0 {
		title = "Findings: none"
	}
	return strings.TrimSpace(title + staleWord(k.Stale)), rows
}
