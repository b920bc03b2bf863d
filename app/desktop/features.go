package desktop

import (
	"math"

	"platewright/app/session"
	"platewright/plate"
	"platewright/plate/geom"
)

// actions are what can be done with the selection, in words.
func (w *Window) actions(doc plate.Plate) []action {
	s := w.sel
	if s.corner > 0 {
		return w.cornerActions()
	}
	if s.onCell {
		return w.cellActions(doc)
	}
	if s.id != 0 {
		return w.featureActions(doc)
	}
	switch s.stage {
	case plate.StageOutline:
		return []action{{"New corner on the longest side", func() { w.addCorner(longestSide(doc.Outline.Corners)) }}}
	case plate.StageBores:
		return []action{{"New bore", w.addBore}}
	case plate.StageHoles:
		return []action{{"New hole", w.addHole}, {"New bolt circle", w.addCircle}}
	case plate.StageRibs:
		return []action{{"New rib", w.addRib}, {"New isogrid", w.addGrid}}
	case plate.StagePockets:
		return []action{{"New pocket field", w.addPocket}}
	case plate.StageTargets:
		return []action{{"New target", w.addTarget}, {"New cut line", w.addCutLine}}
	case plate.StageMachining:
		return []action{{"Route card", func() { w.openTable(tableCard) }}}
	}
	return nil
}

func (w *Window) featureActions(doc plate.Plate) []action {
	f, _ := doc.Find(w.sel.id)
	var out []action
	if k := pocketOf(&doc, w.sel.id); k != nil {
		out = append(out, w.boundsActions(len(k.Bounds))...)
	}
	if g := gridOf(&doc, w.sel.id); g != nil {
		out = append(out, w.boundsActions(len(g.Bounds))...)
	}
	return append(out,
		action{"Another like it", w.duplicateSelected},
		action{"Delete " + featureTitle(f), w.deleteSelected})
}

func (w *Window) boundsActions(n int) []action {
	if n > 0 {
		return []action{{"Whole plate instead of the boundary", w.dropBounds}}
	}
	return []action{{"Keep it inside a boundary", w.addBounds}}
}

func (w *Window) cornerActions() []action {
	at := w.sel.corner - 1
	return []action{
		{"New corner after it", func() { w.addCorner(at) }},
		{"Delete this corner", w.deleteSelected},
	}
}

func (w *Window) cellActions(doc plate.Plate) []action {
	k := pocketOf(&doc, w.sel.id)
	if k == nil {
		return nil
	}
	pocket, cell := w.sel.id, w.sel.cell
	for _, a := range k.Kept {
		if a == cell {
			return []action{{"Cut this cell again", func() { w.edit(plate.KeepCell(pocket, cell, false), "") }}}
		}
	}
	return []action{
		{"Keep this cell solid", func() { w.edit(plate.KeepCell(pocket, cell, true), "") }},
		{"Show the whole field", func() { w.choose(selection{stage: plate.StagePockets, id: pocket}) }},
	}
}

// freePlace is where something new goes: the middle of what is seen of the plate, on whole millimetres, off the others.
func (w *Window) freePlace(clear float64) geom.Point {
	doc, l := w.job.Doc(), w.job.Layout()
	at := w.view.cam.Center
	if l.OK && !l.Value.Outline.Contains(at) {
		at = l.Value.Outline.Outer.Box().Center()
	}
	at = geom.Pt(math.Round(at.X), math.Round(at.Y))
	taken := func(q geom.Point) bool {
		if l.OK && !l.Value.Outline.Contains(q) {
			return true
		}
		for _, f := range doc.Features() {
			if f.HasWhere && (f.Kind == plate.KindBore || f.Kind == plate.KindHole) && geom.Pt(f.Where[0], f.Where[1]).Dist(q) < clear {
				return true
			}
		}
		return false
	}
	const step, rings, spokes = 10, 12, 16
	for r := range rings {
		for k := range spokes {
			s, c := math.Sincos(2 * math.Pi * float64(k) / spokes)
			d := step * float64(r)
			if q := geom.Pt(math.Round(at.X+d*c), math.Round(at.Y+d*s)); !taken(q) {
				return q
			}
		}
	}
	return at
}

// add makes an edit that adds a feature, and selects it.
func (w *Window) add(e plate.Edit) {
	id := w.job.Doc().NextID
	if err := w.tryEdit(e, ""); err != nil {
		w.say(err.Error())
		return
	}
	w.choose(selectFeature(w.job.Doc(), id))
	w.view.focus()
}

func (w *Window) addBore() {
	q := w.freePlace(40)
	w.add(plate.AddBore(plate.Bore{X: q.X, Y: q.Y, Diameter: 20, Boss: 8}))
}

func (w *Window) addHole() {
	q := w.freePlace(20)
	w.add(plate.AddHole(plate.Hole{X: q.X, Y: q.Y, HoleForm: usualHole()}))
}

func usualHole() plate.HoleForm {
	return plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through, Boss: 5}
}

// addCircle puts a bolt circle round the last selected bore, else round the largest, else at a place of its own.
func (w *Window) addCircle() {
	doc := w.job.Doc()
	c := plate.BoltCircle{Count: 6, HoleForm: usualHole()}
	for _, b := range doc.Bores {
		if best := boreOf(&doc, c.Bore); best == nil || b.Diameter > best.Diameter {
			c.Bore = b.ID
		}
	}
	if b := boreOf(&doc, c.Bore); b != nil {
		c.Diameter = math.Round(b.Diameter + 20)
	} else {
		q := w.freePlace(60)
		c.X, c.Y, c.Diameter = q.X, q.Y, 50
	}
	w.add(plate.AddCircle(c))
}

// addRib draws a rib between the two bores that are farthest apart, else across the plate.
func (w *Window) addRib() {
	doc := w.job.Doc()
	r := plate.Rib{Width: 6}
	best := -1.0
	for i, a := range doc.Bores {
		for _, b := range doc.Bores[i+1:] {
			d := math.Hypot(a.X-b.X, a.Y-b.Y)
			used := false
			for _, o := range doc.Ribs {
				used = used || o.From.Feature == a.ID && o.To.Feature == b.ID || o.From.Feature == b.ID && o.To.Feature == a.ID
			}
			if d > best && !used {
				best, r.From, r.To = d, plate.RibEnd{Feature: a.ID}, plate.RibEnd{Feature: b.ID}
			}
		}
	}
	if best < 0 {
		b := w.plateBox()
		y := math.Round(b.Center().Y)
		r.From, r.To = plate.RibEnd{X: math.Round(b.Min.X), Y: y}, plate.RibEnd{X: math.Round(b.Max.X), Y: y}
	}
	w.add(plate.AddRib(r))
}

// plateBox is the box of the outline, or of its corners while nothing is derived.
func (w *Window) plateBox() geom.Box {
	if l := w.job.Layout(); l.OK {
		return l.Value.Outline.Outer.Box()
	}
	var b geom.Box
	for _, c := range w.job.Doc().Outline.Corners {
		b = b.Add(geom.Pt(c.X, c.Y))
	}
	return b
}

func (w *Window) addGrid() {
	c := w.plateBox().Center()
	w.add(plate.AddGrid(plate.Grid{Pitch: 50, X: math.Round(c.X), Y: math.Round(c.Y), Width: 4}))
}

func (w *Window) addPocket() {
	t := w.job.Doc().Stock.Thickness()
	w.add(plate.AddPocket(plate.Pocket{
		Side: plate.Top, Depth: math.Round(t * 2 / 3), Radius: 4, AllRibs: true, LeastArea: 60,
	}))
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

// longestSide is the corner, from 0, that the longest side starts at.
func longestSide(cs []plate.Corner) int {
	best, at := -1.0, 0
	for i, c := range cs {
		n := cs[(i+1)%len(cs)]
		if d := math.Hypot(n.X-c.X, n.Y-c.Y); d > best {
			best, at = d, i
		}
	}
	return at
}

// addCorner puts a corner into the middle of the side after corner at of the selection's path.
func (w *Window) addCorner(at int) {
	doc, s := w.job.Doc(), w.sel
	if s.id == 0 {
		s.stage = plate.StageOutline
	}
	path := s.path(doc)
	if at >= len(path) {
		return
	}
	a, b := path[at], path[(at+1)%len(path)]
	c := plate.Corner{X: math.Round((a.X + b.X) / 2), Y: math.Round((a.Y + b.Y) / 2), Radius: min(a.Radius, 5)}
	err := w.tryEdit(plate.Replace("new corner of "+pathName(doc, s), func(p *plate.Plate) {
		if list := s.pathOf(p); list != nil && at < len(*list) {
			*list = append((*list)[:at+1:at+1], append([]plate.Corner{c}, (*list)[at+1:]...)...)
		}
	}), "")
	if err != nil {
		w.say(err.Error())
		return
	}
	s.corner = at + 2
	w.choose(s)
}

func pathName(doc plate.Plate, s selection) string {
	if f, ok := doc.Find(s.id); ok {
		return "boundary of " + featureTitle(f)
	}
	return "outline"
}

// addBounds keeps a grid or pocket field inside a rectangle in the middle half of the plate, to start from.
func (w *Window) addBounds() {
	b, s := w.plateBox(), w.sel
	c, hw, hh := b.Center(), math.Round(b.Width()/4), math.Round(b.Height()/4)
	x, y := math.Round(c.X), math.Round(c.Y)
	w.edit(plate.Replace("boundary of "+w.selectedName(), func(p *plate.Plate) {
		if list := s.pathOf(p); list != nil {
			*list = []plate.Corner{{X: x - hw, Y: y - hh}, {X: x + hw, Y: y - hh}, {X: x + hw, Y: y + hh}, {X: x - hw, Y: y + hh}}
		}
	}), "")
}

func (w *Window) dropBounds() {
	s := w.sel
	w.edit(plate.Replace("boundary of "+w.selectedName(), func(p *plate.Plate) {
		if list := s.pathOf(p); list != nil {
			*list = nil
		}
	}), "")
}

func (w *Window) selectedName() string {
	if f, ok := w.job.Doc().Find(w.sel.id); ok {
		return featureTitle(f)
	}
	return "the plate"
}

// canDelete tells whether the selection is something that can be deleted.
func (w *Window) canDelete() bool { return w.sel.id != 0 && !w.sel.onCell || w.sel.corner > 0 }

// deleteSelected deletes the selected feature or corner.
func (w *Window) deleteSelected() {
	s := w.sel
	if !w.canDelete() {
		return
	}
	e := plate.Delete(s.id)
	up := selection{stage: s.stage}
	if s.corner > 0 {
		up = selection{stage: s.stage, id: s.id}
		e = plate.Replace("delete of corner of "+pathName(w.job.Doc(), s), func(p *plate.Plate) {
			if list := s.pathOf(p); list != nil && s.corner <= len(*list) {
				*list = append((*list)[:s.corner-1:s.corner-1], (*list)[s.corner:]...)
			}
		})
	}
	if err := w.tryEdit(e, ""); err != nil {
		w.say(err.Error())
		return
	}
	w.choose(up)
}

// clip is a copied feature: the document that it was copied from, and its id there.
type clip struct {
	doc  plate.Plate
	id   plate.ID
	name string
	job  *session.Session // that it was copied in
}

func (w *Window) copySelected() {
	doc := w.job.Doc()
	if f, ok := doc.Find(w.sel.id); ok {
		w.clip = clip{doc, f.ID, featureTitle(f), w.job}
		w.say("copied " + w.clip.name)
		w.refresh()
	}
}

// paste adds a feature like the copied one. In another job it lets go of the features that it referred to there.
func (w *Window) paste() {
	if w.clip.name == "" {
		w.say("nothing was copied yet; select a feature and copy it first")
		return
	}
	doc := w.clip.doc
	if w.clip.job != w.job {
		doc = freed(doc, w.clip.id)
	}
	w.duplicate(doc, w.clip.id)
}

// freed is the document with the references of one feature replaced by places, or by all of a kind: the same ids mean other
// features in another job.
func freed(p plate.Plate, id plate.ID) plate.Plate {
	p = p.Clone()
	if c := circleOf(&p, id); c != nil {
		c.X, c.Y = p.CircleCentre(*c)
		c.Bore = 0
	}
	if k := pocketOf(&p, id); k != nil {
		k.AllRibs, k.Ribs = true, nil
	}
	if t := targetOf(&p, id); t != nil && t.Quantity == plate.SectionEI {
		t.CutLine = 0 // refused with the document's own sentence
	}
	return p
}

// duplicateSelected adds a feature like the selected one, a little aside.
func (w *Window) duplicateSelected() { w.duplicate(w.job.Doc(), w.sel.id) }

// duplicate adds a feature like that of another document, or of this one.
func (w *Window) duplicate(doc plate.Plate, id plate.ID) {
	const aside = 10 // mm
	if b := boreOf(&doc, id); b != nil {
		n := *b
		q := w.freePlace(b.Diameter)
		n.Name, n.X, n.Y = "", q.X, q.Y
		w.add(plate.AddBore(n))
	} else if h := holeOf(&doc, id); h != nil {
		n := *h
		q := w.freePlace(aside)
		n.Name, n.X, n.Y = "", q.X, q.Y
		w.add(plate.AddHole(n))
	} else if c := circleOf(&doc, id); c != nil {
		n := *c
		n.Name, n.Diameter = "", c.Diameter+2*aside
		w.add(plate.AddCircle(n))
	} else if r := ribOf(&doc, id); r != nil {
		n := *r
		n.Name = ""
		for _, e := range []*plate.RibEnd{&n.From, &n.To} {
			x, y := doc.EndPoint(*e)
			*e = plate.RibEnd{X: x, Y: y + aside}
		}
		w.add(plate.AddRib(n))
	} else {
		w.duplicateRest(doc, id, aside)
	}
}

func (w *Window) duplicateRest(doc plate.Plate, id plate.ID, aside float64) {
	if g := gridOf(&doc, id); g != nil {
		n := *g
		n.Name, n.AngleDeg = "", math.Mod(g.AngleDeg+30, 360)
		w.add(plate.AddGrid(n))
	} else if k := pocketOf(&doc, id); k != nil {
		n := *k
		n.Name, n.Kept = "", nil
		if k.Side == plate.Top {
			n.Side = plate.Bottom
		} else if k.Side == plate.Bottom {
			n.Side = plate.Top
		}
		w.add(plate.AddPocket(n))
	} else if c := cutLineOf(&doc, id); c != nil {
		n := *c
		n.Name, n.X1, n.X2 = "", c.X1+aside, c.X2+aside
		w.add(plate.AddCutLine(n))
	} else if t := targetOf(&doc, id); t != nil {
		n := *t
		n.Name = ""
		w.add(plate.AddTarget(n))
	}
}
