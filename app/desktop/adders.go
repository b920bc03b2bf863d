package desktop

import (
	"errors"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"platewright/plate"
	"platewright/plate/geom"
)

// adder is one form that can be added: by the Add menu, by its keys, by the menu of the right button, and in its stage.
type adder struct {
	stage, text string
	key         fyne.KeyName // with Ctrl and Shift; empty for none
	add         func(*Window)
}

// adders are all forms in the order of the job sheet.
func adders() []adder {
	return []adder{
		{plate.StageBores, "New bore", fyne.KeyB, (*Window).addBore},
		{plate.StageBores, "New eccentric", "", (*Window).addEccentric},
		{plate.StageHoles, "New hole", fyne.KeyH, (*Window).addHole},
		{plate.StageHoles, "New bolt circle", fyne.KeyC, (*Window).addCircle},
		{plate.StageHoles, "New clocked ring", "", (*Window).addRing},
		{plate.StageHoles, "New slot", fyne.KeyL, (*Window).addSlot},
		{plate.StageHoles, "New setting of the adjusters", "", (*Window).addSetting},
		{plate.StageRibs, "New rib", fyne.KeyR, (*Window).addRib},
		{plate.StageRibs, "New arced rib", "", (*Window).addArc},
		{plate.StageRibs, "New isogrid", fyne.KeyG, addGrid(plate.Isogrid)},
		{plate.StageRibs, "New orthogrid", "", addGrid(plate.Orthogrid)},
		{plate.StageRibs, "New parallel ribs", "", addGrid(plate.Parallel)},
		{plate.StageRibs, "New spokes from bore to bore", "", addGrid(plate.Spokes)},
		{plate.StageRibs, "New ribs along directions", "", addGrid(plate.Directions)},
		{plate.StagePockets, "New pocket field", fyne.KeyP, addPocket(plate.FieldPocket, plate.Top)},
		{plate.StagePockets, "New pocket field from both sides", "", addPocket(plate.FieldPocket, plate.Both)},
		{plate.StagePockets, "New drawn pocket", "", addPocket(plate.DrawnPocket, plate.Top)},
		{plate.StagePockets, "New round pocket", "", addPocket(plate.RoundPocket, plate.Top)},
		{plate.StagePockets, "New obround pocket", "", addPocket(plate.ObroundPocket, plate.Top)},
		{plate.StagePockets, "New keep-out", fyne.KeyK, (*Window).addKeepOut},
		{plate.StagePockets, "New inlay", "", (*Window).addInlay},
		{plate.StageLoads, "New support", "", (*Window).addSupport},
		{plate.StageLoads, "New load", "", (*Window).addLoad},
		{plate.StageLoads, "New load case", "", (*Window).addCase},
		{plate.StageMachining, "New clamp", "", (*Window).addClamp},
		{plate.StageMachining, "New change of the plan", "", (*Window).addChange},
		{plate.StageTargets, "New target", "", (*Window).addTarget},
		{plate.StageTargets, "New cut line", "", (*Window).addCutLine},
	}
}

// addItems are the items of the Add menu, by stage.
func (w *Window) addItems() []*fyne.MenuItem {
	return byStage(func(a adder) *fyne.MenuItem {
		var key fyne.Shortcut
		if a.key != "" {
			key = ctrlShift(a.key)
		}
		return w.item(a.text, key, func() { a.add(w) })
	})
}

// byStage puts the items of the forms into a menu of their own for each stage.
func byStage(item func(adder) *fyne.MenuItem) []*fyne.MenuItem {
	var out []*fyne.MenuItem
	last := ""
	for _, a := range adders() {
		if a.stage != last {
			last = a.stage
			m := fyne.NewMenuItem(stageTitle(a.stage), nil)
			m.ChildMenu = fyne.NewMenu("")
			out = append(out, m)
		}
		m := out[len(out)-1].ChildMenu
		m.Items = append(m.Items, item(a))
	}
	return out
}

// offerAdding opens the menu of the right button: what can be put at the place pressed.
func (w *Window) offerAdding(at fyne.Position) {
	items := byStage(func(a adder) *fyne.MenuItem { return fyne.NewMenuItem(a.text, func() { a.add(w) }) })
	widget.ShowPopUpMenuAtPosition(fyne.NewMenu("", items...), w.win.Canvas(), at)
}

func (w *Window) addBore() {
	q := w.freePlace(40)
	w.add(plate.AddBore(plate.Bore{X: q.X, Y: q.Y, Diameter: 20, Boss: 8}))
}

// addEccentric puts an eccentric into the selected or the largest bore that has none yet.
func (w *Window) addEccentric() {
	doc := w.job.Doc()
	var in *plate.Bore
	for i := range doc.Bores {
		b := &doc.Bores[i]
		taken := false
		for _, e := range doc.Eccentrics {
			taken = taken || e.Bore == b.ID
		}
		if !taken && (in == nil || b.ID == w.sel.id || in.ID != w.sel.id && b.Diameter > in.Diameter) {
			in = b
		}
	}
	if in == nil {
		w.say("an eccentric turns in a bore of the plate, and there is no bore without one; add a bore first")
		return
	}
	w.add(plate.AddEccentric(plate.Eccentric{Bore: in.ID, E: tenth(in.Diameter / 8), Inner: tenth(in.Diameter / 2)}))
}

// tenth rounds to a tenth of a millimetre.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }

func (w *Window) addHole() {
	q := w.freePlace(20)
	w.add(plate.AddHole(plate.Hole{X: q.X, Y: q.Y, HoleForm: usualHole()}))
}

func usualHole() plate.HoleForm {
	return plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through, Boss: 5}
}

func (w *Window) addCircle() { w.add(plate.AddCircle(w.circleAbout(20))) }

// addRing adds a ring of twelve holes with a mate of six: six bolts hold at every 30°.
func (w *Window) addRing() {
	c := w.circleAbout(40)
	c.Count = 12
	c.Size = "M5"
	w.add(plate.AddRing(plate.ClockedRing{BoltCircle: c, MateCount: 6, LeastBolts: 3}))
}

func (w *Window) addSlot() {
	q := w.freePlace(40)
	w.add(plate.AddSlot(plate.Slot{X: q.X, Y: q.Y, Length: 20, Width: 8.4, Side: plate.Through, Boss: 6}))
}

func (w *Window) addSetting() {
	doc := w.job.Doc()
	adjusters := len(doc.Rings) + len(doc.Eccentrics)
	for _, s := range doc.Slots {
		if s.Adjusting {
			adjusters++
		}
	}
	if adjusters == 0 {
		w.say("a setting is a state of the adjusters, and there are none; add a clocked ring, an eccentric, or a slot marked as adjusting")
		return
	}
	w.add(plate.KeepSetting(""))
}

// addArc draws the rib that addRib would, bent by a tenth of its length.
func (w *Window) addArc() {
	r := w.nextRib(w.job.Doc())
	doc := w.job.Doc()
	ax, ay := doc.EndPoint(r.From)
	bx, by := doc.EndPoint(r.To)
	r.Arc, r.ThroughX, r.ThroughY = true, tenth((ax+bx)/2+(by-ay)/10), tenth((ay+by)/2-(bx-ax)/10)
	w.add(plate.AddRib(r))
}

func addGrid(k plate.GridKind) func(*Window) {
	return func(w *Window) {
		g := plate.Grid{Kind: k, Width: 4}
		c := w.plateBox().Center()
		if w.view.clicked != nil {
			c, w.view.clicked = *w.view.clicked, nil
		}
		if k != plate.Spokes {
			g.Pitch, g.X, g.Y = 50, math.Round(c.X), math.Round(c.Y)
		}
		if k == plate.Directions {
			g.Pitch = 30
			g.Samples = []plate.Direction{{X: g.X, Y: g.Y, AngleDeg: 30}}
		}
		w.add(plate.AddGrid(g))
	}
}

func addPocket(kind plate.PocketKind, side plate.Side) func(*Window) {
	return func(w *Window) {
		t := w.job.Doc().Stock.Thickness()
		k := plate.Pocket{Kind: kind, Side: side, Depth: tenth(t * 2 / 3), Radius: 4}
		if side == plate.Both {
			k.Depth, k.DepthBack = tenth(t/3), tenth(t/3)
		}
		switch kind {
		case plate.FieldPocket:
			k.AllRibs, k.LeastArea = true, 60
		case plate.DrawnPocket:
			k.Bounds, k.LeastArea = boxAbout(w.freePlace(60), 20), 60
		default:
			q := w.freePlace(60)
			k.X, k.Y, k.Diameter = q.X, q.Y, 24
			if kind == plate.ObroundPocket {
				k.Length = 24
			}
		}
		w.add(plate.AddPocket(k))
	}
}

// boxAbout is a square boundary with its sides so far from its centre.
func boxAbout(q geom.Point, reach float64) []plate.Corner {
	return []plate.Corner{
		{X: q.X - reach, Y: q.Y - reach}, {X: q.X + reach, Y: q.Y - reach}, {X: q.X + reach, Y: q.Y + reach}, {X: q.X - reach, Y: q.Y + reach},
	}
}

func (w *Window) addKeepOut() {
	w.add(plate.AddKeepOut(plate.KeepOut{Bounds: boxAbout(w.freePlace(30), 15)}))
}

// addInlay puts panels of the plate's own material into all cells of the selected pocket, else of the first with a floor.
func (w *Window) addInlay() {
	doc := w.job.Doc()
	k := pocketOf(&doc, w.sel.id)
	for i := range doc.Pockets {
		if p := &doc.Pockets[i]; k == nil && (p.Side != plate.Through || p.Ledge.Width > 0) {
			k = p
		}
	}
	if k == nil {
		w.say("an inlay sits in the cells of a pocket with a floor or a ledge, and there is none; add a pocket first")
		return
	}
	w.add(plate.AddInlay(plate.Inlay{Pocket: k.ID, All: true, Clearance: 0.2, Thickness: 2, Material: doc.Stock.Material}))
}

// loadPlace is where a new support or load acts: on the selected round, else on the first bore not taken, else on the first
// bore or hole.
func (w *Window) loadPlace(doc plate.Plate, taken func(plate.ID) bool) (plate.Place, bool) {
	var first plate.ID
	for _, f := range doc.Features() {
		switch f.Kind {
		case plate.KindBore, plate.KindHole, plate.KindCircle, plate.KindRing, plate.KindSlot:
			if f.ID == w.sel.id {
				return plate.Place{Feature: f.ID}, true
			}
			if first == 0 || taken(first) && !taken(f.ID) {
				first = f.ID
			}
		}
	}
	if first == 0 {
		w.say("supports and loads act on bores and holes, and there are none; add a bore first")
	}
	return plate.Place{Feature: first}, first != 0
}

func (w *Window) addSupport() {
	doc := w.job.Doc()
	on, ok := w.loadPlace(doc, func(id plate.ID) bool { return placeTaken(doc, id) })
	if !ok {
		return
	}
	s := plate.Support{Kind: plate.Fixed, On: on} // alone, a hinge lets the plate turn
	if len(doc.Supports) > 0 {
		s.Kind = plate.Hinged
	}
	w.add(plate.AddSupport(s))
}

func (w *Window) addLoad() {
	doc := w.job.Doc()
	on, ok := w.loadPlace(doc, func(id plate.ID) bool { return placeTaken(doc, id) })
	if ok {
		w.add(plate.AddLoad(plate.Load{Kind: plate.BoreForce, On: on, Force: [3]float64{0, -1000, 0}}))
	}
}

func placeTaken(doc plate.Plate, id plate.ID) bool {
	for _, s := range doc.Supports {
		if s.On.Feature == id {
			return true
		}
	}
	for _, l := range doc.Loads {
		if l.On.Feature == id {
			return true
		}
	}
	return false
}

// addCase combines all loads on all supports.
func (w *Window) addCase() {
	doc := w.job.Doc()
	if len(doc.Loads) == 0 || len(doc.Supports) == 0 {
		w.say("a load case is a combination of loads on supports; add a support and a load first")
		return
	}
	c := plate.LoadCase{Kind: plate.Limit, Factor: 1, Origin: plate.Origin{Kind: plate.Assumed}}
	for _, l := range doc.Loads {
		c.Loads = append(c.Loads, plate.LoadFactor{Load: l.ID, Factor: 1})
	}
	w.add(plate.AddCase(c))
}

// addClamp puts a clamp at the place pressed, else at the middle of the blank's lower edge.
func (w *Window) addClamp() {
	b := w.plateBox()
	q := geom.Pt(math.Round(b.Center().X), math.Round(b.Min.Y))
	if w.view.clicked != nil {
		q, w.view.clicked = *w.view.clicked, nil
		q = geom.Pt(math.Round(q.X), math.Round(q.Y))
	}
	w.add(plate.AddHolding(plate.Holding{Kind: plate.Clamp, X: q.X, Y: q.Y, Width: 30, Height: 30}))
}

// addChange changes the operation whose path is shown, else the operations of the selected feature, else those of the
// outline.
func (w *Window) addChange() {
	doc := w.job.Doc()
	c := plate.OperationChange{}
	if f, ok := doc.Find(w.sel.id); ok && changeable(f.Kind) {
		c.Feature = f.ID
	}
	if m := w.job.Machining(); w.over.paths && m.OK && w.over.op > 0 && w.over.op <= len(m.Value.Operations) {
		op := m.Value.Operations[w.over.op-1]
		c = plate.OperationChange{Class: op.Class}
		if len(op.Features) > 0 {
			if f, ok := doc.Find(op.Features[0]); ok && changeable(f.Kind) {
				c.Feature = f.ID
			}
		}
	}
	w.add(plate.AddChange(c))
}

// changeable tells whether a change of the plan may name a feature of this kind.
func changeable(k plate.Kind) bool {
	switch k {
	case plate.KindBore, plate.KindHole, plate.KindCircle, plate.KindRing, plate.KindEccentric, plate.KindSlot, plate.KindPocket:
		return true
	}
	return false
}

func (w *Window) addCutLine() {
	b := w.plateBox()
	x := math.Round(w.freePlace(0).X)
	w.add(plate.AddCutLine(plate.CutLine{X1: x, Y1: math.Floor(b.Min.Y) - 10, X2: x, Y2: math.Ceil(b.Max.Y) + 10}))
}

func (w *Window) addTarget() {
	value := 1.0
	if m := w.job.Mass(); m.OK {
		value = math.Round(m.Value.MassKG*100) / 100
	}
	w.add(plate.AddTarget(plate.Target{Quantity: plate.MassKG, Sense: plate.AtMost, Value: max(value, 0.01)}))
}

// addSample adds a known direction to a field of directions.
func (w *Window) addSample(id plate.ID) {
	q := w.freePlace(0)
	w.edit(plate.Replace("new direction of "+w.selectedName(), func(p *plate.Plate) {
		g := gridOf(p, id)
		if g == nil {
			return
		}
		a := 0.0
		if n := len(g.Samples); n > 0 {
			a = g.Samples[n-1].AngleDeg
		}
		g.Samples = append(g.Samples, plate.Direction{X: q.X, Y: q.Y, AngleDeg: a})
	}), "")
}

// addSeat adds one more step to a bore, wider than what is there.
func addSeat(bore plate.ID) plate.Edit {
	return plate.Edit{Label: "new seat of bore", Feature: bore, Apply: func(p plate.Plate) (plate.Plate, error) {
		for _, f := range plate.Fields(p, bore) {
			if f.Key == "seats" {
				return f.SetNumber(f.Number(p) + 1).Apply(p)
			}
		}
		return p, errors.New("there is no such bore; it was deleted")
	}}
}
