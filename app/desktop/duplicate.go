package desktop

import (
	"math"

	"platewright/plate"
)

// aside is how far from what it is like a new feature is put, mm.
const aside = 10

// duplicateSelected adds a feature like the selected one, a little aside.
func (w *Window) duplicateSelected() { w.duplicate(w.job.Doc(), w.sel.id) }

// duplicate adds a feature like that of another document, or of this one.
func (w *Window) duplicate(doc plate.Plate, id plate.ID) {
	f, ok := doc.Find(id)
	if !ok {
		return
	}
	if e, ok := w.likeRound(doc, f); ok {
		w.add(e)
	} else if e, ok := likeRib(doc, f); ok {
		w.add(e)
	} else if e, ok := w.likePocket(doc, f); ok {
		w.add(e)
	} else if e, ok := likeRest(doc, f); ok {
		w.add(e)
	}
}

// likeRound is a bore, hole, circle, ring, eccentric or slot like another.
func (w *Window) likeRound(doc plate.Plate, f plate.FeatureRef) (plate.Edit, bool) {
	switch f.Kind {
	case plate.KindBore:
		n := *boreOf(&doc, f.ID)
		q := w.freePlace(n.Diameter)
		n.Name, n.X, n.Y = "", q.X, q.Y
		return plate.AddBore(n), true
	case plate.KindHole:
		n := *holeOf(&doc, f.ID)
		q := w.freePlace(aside)
		n.Name, n.X, n.Y = "", q.X, q.Y
		return plate.AddHole(n), true
	case plate.KindCircle:
		n := *circleOf(&doc, f.ID)
		n.Name, n.Diameter = "", n.Diameter+2*aside
		return plate.AddCircle(n), true
	case plate.KindRing:
		n := *ringOf(&doc, f.ID)
		n.Name, n.Diameter = "", n.Diameter+2*aside
		return plate.AddRing(n), true
	case plate.KindEccentric:
		n := *eccentricOf(&doc, f.ID)
		n.Name = ""
		for _, b := range doc.Bores { // into another bore of the same size, where there is one
			if in := boreOf(&doc, n.Bore); in != nil && b.ID != n.Bore && b.Diameter == in.Diameter {
				n.Bore = b.ID
				break
			}
		}
		return plate.AddEccentric(n), true
	case plate.KindSlot:
		n := *slotOf(&doc, f.ID)
		q := w.freePlace(n.Length + n.Width)
		n.Name, n.X, n.Y = "", q.X, q.Y
		return plate.AddSlot(n), true
	}
	return plate.Edit{}, false
}

func likeRib(doc plate.Plate, f plate.FeatureRef) (plate.Edit, bool) {
	switch f.Kind {
	case plate.KindRib:
		n := *ribOf(&doc, f.ID)
		n.Name = ""
		for _, e := range []*plate.RibEnd{&n.From, &n.To} {
			x, y := doc.EndPoint(*e)
			*e = plate.RibEnd{X: x, Y: y + aside}
		}
		if n.Arc {
			n.ThroughY += aside
		}
		return plate.AddRib(n), true
	case plate.KindGrid:
		n := *gridOf(&doc, f.ID)
		n.Name, n.Widths = "", nil
		switch n.Kind {
		case plate.Spokes:
		case plate.Directions:
			n.X, n.Y = n.X+aside, n.Y+aside
		default:
			n.AngleDeg = math.Mod(n.AngleDeg+30, 360)
		}
		return plate.AddGrid(n), true
	}
	return plate.Edit{}, false
}

// likePocket is a pocket of the same kind from the other face, or aside where it is a single one.
func (w *Window) likePocket(doc plate.Plate, f plate.FeatureRef) (plate.Edit, bool) {
	switch f.Kind {
	case plate.KindPocket:
		n := *pocketOf(&doc, f.ID)
		n.Name, n.Kept, n.Depths = "", nil, nil
		switch {
		case n.Kind == plate.DrawnPocket:
			n.Bounds = moved(n.Bounds, aside)
		case n.Kind != plate.FieldPocket:
			q := w.freePlace(n.Diameter + n.Length)
			n.X, n.Y = q.X, q.Y
		case n.Side == plate.Top:
			n.Side = plate.Bottom
		case n.Side == plate.Bottom:
			n.Side = plate.Top
		}
		return plate.AddPocket(n), true
	case plate.KindKeepOut:
		n := *keepOutOf(&doc, f.ID)
		n.Name, n.Bounds = "", moved(n.Bounds, aside)
		return plate.AddKeepOut(n), true
	case plate.KindInlay:
		n := *inlayOf(&doc, f.ID)
		n.Name = ""
		return plate.AddInlay(n), true
	}
	return plate.Edit{}, false
}

// moved is a boundary moved along x and y.
func moved(list []plate.Corner, by float64) []plate.Corner {
	out := make([]plate.Corner, len(list))
	for i, c := range list {
		c.X, c.Y, c.ThroughX, c.ThroughY = c.X+by, c.Y+by, c.ThroughX+by, c.ThroughY+by
		if !c.Arc {
			c.ThroughX, c.ThroughY = 0, 0
		}
		out[i] = c
	}
	return out
}

func likeRest(doc plate.Plate, f plate.FeatureRef) (plate.Edit, bool) {
	switch f.Kind {
	case plate.KindSetting:
		n := *settingOf(&doc, f.ID)
		n.Name = ""
		return plate.AddSetting(n), true
	case plate.KindSupport:
		n := *supportOf(&doc, f.ID)
		n.Name = ""
		return plate.AddSupport(n), true
	case plate.KindLoad:
		n := *loadOf(&doc, f.ID)
		n.Name = ""
		return plate.AddLoad(n), true
	case plate.KindCase:
		n := *caseOf(&doc, f.ID)
		n.Name = ""
		return plate.AddCase(n), true
	case plate.KindCutLine:
		n := *cutLineOf(&doc, f.ID)
		n.Name, n.X1, n.X2 = "", n.X1+aside, n.X2+aside
		return plate.AddCutLine(n), true
	case plate.KindTarget:
		n := *targetOf(&doc, f.ID)
		n.Name = ""
		return plate.AddTarget(n), true
	case plate.KindHolding:
		n := *holdingOf(&doc, f.ID)
		n.X += 4 * aside
		return plate.AddHolding(n), true
	case plate.KindChange:
		for _, c := range doc.Machining.Changes {
			if c.ID == f.ID {
				return plate.AddChange(c), true
			}
		}
	}
	return plate.Edit{}, false
}
