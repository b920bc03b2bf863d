package desktop

import (
	"math"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/geom"
)

// loadMarks draw where supports and loads act while their stage is open: an arrow along each force in the plane, whatever its
// size, and a triangle under each support.
func loadMarks(p plate.Plate, s selection, scale float64) []scene.ToolRun {
	if s.stage != plate.StageLoads || !(scale > 0) {
		return nil
	}
	var out []scene.ToolRun
	chain := func(ps ...geom.Point) {
		var r scene.ToolRun
		for i := 1; i < len(ps); i++ {
			r.Edges = append(r.Edges, geom.Line(ps[i-1], ps[i]))
		}
		out = append(out, r)
	}
	const arrow, head, foot = 64.0, 13.0, 12.0 // of the window's units
	for i := range p.Loads {
		l := &p.Loads[i]
		at, ok := loadAt(p, l.On)
		size := math.Hypot(l.Force[0], l.Force[1])
		if !ok || size == 0 || l.Kind == plate.Acceleration {
			continue
		}
		u := geom.Pt(l.Force[0]/size, l.Force[1]/size)
		side := geom.Pt(-u.Y, u.X).Mul(head / 3 / scale)
		tip, back := at.Add(u.Mul(arrow/scale)), at.Add(u.Mul((arrow-head)/scale))
		chain(at, tip)
		chain(back.Add(side), tip, back.Sub(side))
	}
	for i := range p.Supports {
		at, ok := loadAt(p, p.Supports[i].On)
		if !ok || p.Supports[i].Kind == plate.Free {
			continue
		}
		chain(at, at.Add(geom.Pt(-foot/scale, -1.6*foot/scale)), at.Add(geom.Pt(foot/scale, -1.6*foot/scale)), at)
	}
	return out
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
