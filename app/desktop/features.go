package desktop

import (
	"math"
	"slices"

	"platewright/app/session"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// actions are what can be done with the selection, in words.
func (w *Window) actions(doc plate.Plate) []action {
	s := w.sel
	switch {
	case s.corner > 0:
		return w.cornerActions(doc)
	case s.onCell:
		return w.cellActions(doc)
	case s.onRib:
		return w.ribActions(doc)
	case s.id != 0:
		return w.featureActions(doc)
	}
	var out []action
	if s.stage == plate.StageOutline {
		out = w.outlineActions(doc)
	}
	for _, a := range adders() {
		if a.stage == s.stage {
			out = append(out, action{a.text, func() { a.add(w) }})
		}
	}
	switch s.stage {
	case plate.StageLoads:
		if len(doc.Cases) > 0 {
			out = append(out, action{"Table of load cases", func() { w.openTable(tableCases) }},
				action{"Table of joints, seats and floors", func() { w.openTable(tableJoints) }})
		}
	case plate.StageHoles:
		if hasAdjusters(doc) {
			out = append(out, action{"Table of settings", func() { w.openTable(tableSettings) }})
		}
	case plate.StageMachining:
		out = append(out, action{"Route card", func() { w.openTable(tableCard) }})
	case plate.StagePrice:
		out = append(out, action{"Price, line by line", func() { w.openTable(tablePrice) }})
	}
	return out
}

func (w *Window) featureActions(doc plate.Plate) []action {
	f, _ := doc.Find(w.sel.id)
	id := w.sel.id
	var out []action
	switch f.Kind {
	case plate.KindBore:
		out = append(out, action{"Add a seat", func() { w.edit(addSeat(id), "") }})
	case plate.KindGrid:
		g := gridOf(&doc, id)
		if g.Kind == plate.Directions {
			out = append(out, action{"New direction at the place pressed", func() { w.addSample(id) }})
		}
		out = append(out, w.boundsActions(len(g.Bounds))...)
	case plate.KindPocket:
		if k := pocketOf(&doc, id); k.Kind == plate.FieldPocket {
			out = append(out, w.boundsActions(len(k.Bounds))...)
		}
		out = append(out, action{"New inlay in it", func() { w.addInlay() }})
	case plate.KindSetting:
		out = append(out, w.settingActions(doc, id)...)
	case plate.KindCase:
		out = append(out, action{"Show its stress", func() { w.showCase(id) }}, action{w.solidLabel(), w.toggleSolid})
	}
	return append(out,
		action{"Another like it", w.duplicateSelected},
		action{"Delete " + featureTitle(f), w.deleteSelected})
}

// settingActions choose a setting for the drawing, or draw the adjusters as it has them.
func (w *Window) settingActions(doc plate.Plate, id plate.ID) []action {
	use := action{"Draw the plate in this setting", func() { w.edit(plate.UseSetting(id), "") }}
	if doc.Setting == id {
		use = action{"Draw the adjusters as they are drawn again", func() { w.edit(plate.UseSetting(0), "") }}
	}
	return []action{use, {"Set the adjusters to it", func() { w.edit(plate.ApplySetting(id), "") }}}
}

func (w *Window) boundsActions(n int) []action {
	if n > 0 {
		return []action{{"Whole plate instead of the boundary", w.dropBounds}}
	}
	return []action{{"Keep it inside a boundary", w.addBounds}}
}

func (w *Window) cornerActions(doc plate.Plate) []action {
	at := w.sel.corner - 1
	what := "corner"
	if w.sel.id == 0 {
		what = cornerWord(doc.Outline.Kind)
	}
	return []action{
		{"New " + what + " after it", func() { w.addCorner(at) }},
		{"Delete this " + what, w.deleteSelected},
	}
}

// cornerWord is what the outline is made of.
func cornerWord(k plate.OutlineKind) string {
	switch k {
	case plate.Wrapped:
		return "round"
	case plate.Contour:
		return "vertex"
	}
	return "corner"
}

func (w *Window) cellActions(doc plate.Plate) []action {
	k := pocketOf(&doc, w.sel.id)
	if k == nil {
		return nil
	}
	pocket, cell := w.sel.id, w.sel.cell
	var out []action
	if slices.ContainsFunc(k.Kept, func(a plate.Anchor) bool { return plainCell(a) == cell }) {
		out = append(out, action{"Cut this cell again", func() { w.edit(plate.KeepCell(pocket, cell, false), "") }})
	} else {
		out = append(out, action{"Keep this cell solid", func() { w.edit(plate.KeepCell(pocket, cell, true), "") }})
	}
	for _, i := range doc.Inlays {
		if i.Pocket != pocket || i.All {
			continue
		}
		on := !slices.ContainsFunc(i.Cells, func(a plate.Anchor) bool { return plainCell(a) == cell })
		text := "Take " + i.Name + " out of it"
		if on {
			text = "Put " + i.Name + " into it"
		}
		out = append(out, action{text, func() { w.edit(plate.SetInlayCell(i.ID, cell, on), "") }})
	}
	return append(out, action{"Show the whole field", func() { w.choose(selection{stage: plate.StagePockets, id: pocket}) }})
}

func (w *Window) ribActions(doc plate.Plate) []action {
	g := gridOf(&doc, w.sel.id)
	if g == nil {
		return nil
	}
	id, rib := w.sel.id, w.sel.rib
	var out []action
	if _, own := ownWidth(g, rib); own {
		out = append(out, action{"As wide as the field's ribs again", func() { w.edit(plate.SetRibWidth(id, rib, 0), "") }})
	}
	return append(out, action{"Show the whole field", func() { w.choose(selection{stage: plate.StageRibs, id: id}) }})
}

// ownWidth is the width that one rib of a field has for itself.
func ownWidth(g *plate.Grid, a plate.RibAnchor) (float64, bool) {
	for _, v := range g.Widths {
		if plainRib(v.At) == a {
			return v.Width, true
		}
	}
	return g.Width, false
}

// freePlace is where something new goes, on whole millimetres: the place last pressed, once; else the middle of what is seen
// of the plate, or as near to it as there is so much room (a diameter, mm) beside bores, holes and slots.
func (w *Window) freePlace(room float64) geom.Point {
	l := w.job.Layout()
	if q := w.view.clicked; q != nil {
		w.view.clicked = nil
		if !l.OK || l.Value.Outline.Contains(*q) {
			return geom.Pt(math.Round(q.X), math.Round(q.Y))
		}
	}
	at := w.view.cam.Center
	if l.OK && !l.Value.Outline.Contains(at) {
		at = l.Value.Outline.Outer.Box().Center()
	}
	at = geom.Pt(math.Round(at.X), math.Round(at.Y))
	if !l.OK {
		return at
	}
	const step, rings, spokes = 5, 40, 24
	for r := range rings {
		for k := range spokes {
			s, c := math.Sincos(2 * math.Pi * float64(k) / spokes)
			d := step * float64(r)
			if q := geom.Pt(math.Round(at.X+d*c), math.Round(at.Y+d*s)); roomAt(l.Value, q, room/2) {
				return q
			}
			if r == 0 {
				break
			}
		}
	}
	return at
}

// roomAt tells whether there is a radius of plate about q without an opening or the metal kept round one.
func roomAt(l *layout.Layout, q geom.Point, radius float64) bool {
	if !l.Outline.Contains(q) {
		return false
	}
	for i := range l.Bosses {
		if b := &l.Bosses[i]; b.Center.Dist(q) < b.Radius+radius {
			return false
		}
	}
	for _, s := range l.Plate.Slots {
		if geom.Pt(s.X, s.Y).Dist(q) < (s.Length+s.Width)/2+s.Boss+radius {
			return false
		}
	}
	for _, e := range l.Outline.Outer {
		if e.Dist(q) < radius {
			return false
		}
	}
	return true
}

// add makes an edit that adds a feature, and selects it.
func (w *Window) add(e plate.Edit) {
	id := w.job.Doc().NextID
	if err := w.tryEdit(e, ""); err != nil {
		w.say(finding.Words(err))
		return
	}
	w.choose(selectFeature(w.job.Doc(), id))
	w.view.focus()
}

// circleAbout is a circle round the selected bore, else round the largest, else at a place of its own.
func (w *Window) circleAbout(wider float64) plate.BoltCircle {
	doc := w.job.Doc()
	c := plate.BoltCircle{Count: 6, HoleForm: usualHole(), Bore: w.usualBore(doc)}
	if b := boreOf(&doc, c.Bore); b != nil {
		c.Diameter = math.Round(b.Diameter + wider)
		return c
	}
	q := w.freePlace(60)
	c.X, c.Y, c.Diameter = q.X, q.Y, 50
	return c
}

// usualBore is the selected bore, else the largest, 0 for none.
func (w *Window) usualBore(doc plate.Plate) plate.ID {
	if boreOf(&doc, w.sel.id) != nil {
		return w.sel.id
	}
	id := plate.ID(0)
	for _, b := range doc.Bores {
		if best := boreOf(&doc, id); best == nil || b.Diameter > best.Diameter {
			id = b.ID
		}
	}
	return id
}

// addRib draws a rib between the two bores that are farthest apart, else across the plate.
func (w *Window) addRib() { w.add(plate.AddRib(w.nextRib(w.job.Doc()))) }

func (w *Window) nextRib(doc plate.Plate) plate.Rib {
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
	return r
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
func (w *Window) canDelete() bool {
	return w.sel.id != 0 && !w.sel.onCell && !w.sel.onRib || w.sel.corner > 0
}

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
		e = deleteCorner(w.job.Doc(), s)
	}
	if err := w.tryEdit(e, ""); err != nil {
		w.say(finding.Words(err))
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
	if c := anyCircleOf(&p, id); c != nil {
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
