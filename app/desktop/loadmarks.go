package desktop

import (
	"math"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/geom"
)

// loadMarks draw where supports and loads act while their stage is open: an arrow along each force in the plane, whatever its
// size, and a triangle under each support.
func loadMarks(p plate.Plate, s selection, scale float64) (scene.ToolRun, bool) {
	r := scene.ToolRun{Kind: scene.Cutting}
	if s.stage != plate.StageLoads || !(scale > 0) {
		return r, false
	}
	const arrow, head, foot = 52.0, 9.0, 11.0 // of the window's units
	for i := range p.Loads {
		l := &p.Loads[i]
		at, ok := loadAt(p, l.On)
		size := math.Hypot(l.Force[0], l.Force[1])
		if !ok || size == 0 || l.Kind == plate.Acceleration {
			continue
		}
		u := geom.Pt(l.Force[0]/size, l.Force[1]/size)
		n := geom.Pt(-u.Y, u.X)
		tip := at.Add(u.Mul(arrow / scale))
		back := at.Add(u.Mul((arrow - head) / scale))
		r.Edges = append(r.Edges, geom.Line(at, tip),
			geom.Line(tip, back.Add(n.Mul(head/3/scale))), geom.Line(tip, back.Sub(n.Mul(head/3/scale))))
	}
	for i := range p.Supports {
		at, ok := loadAt(p, p.Supports[i].On)
		if !ok || p.Supports[i].Kind == plate.Free {
			continue
		}
		a := at.Add(geom.Pt(-foot/scale, -1.6*foot/scale))
		b := at.Add(geom.Pt(foot/scale, -1.6*foot/scale))
		r.Edges = append(r.Edges, geom.Line(at, a), geom.Line(a, b), geom.Line(b, at))
	}
	return r, len(r.Edges) > 0
}

// loadAt is the middle of where a support or load acts.
func loadAt(p plate.Plate, on plate.Place) (geom.Point, bool) {
	switch {
	case on.Feature != 0:
		f, ok := p.Find(on.Feature)
		return geom.Pt(f.Where[0], f.Where[1]), ok && f.HasWhere
	case on.OnEdge:
		return geom.Pt((on.X1+on.X2)/2, (on.Y1+on.Y2)/2), true
	}
	var b geom.Box
	for _, c := range on.Bounds {
		b = b.Add(geom.Pt(c.X, c.Y))
	}
	return b.Center(), len(on.Bounds) > 0
}
