package check

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// floors checks the thickness of everything thinner than the plate, by itself and against the largest circle that fits into
// it. Faces of blind holes are left to the rules on holes.
func (r *run) floors() {
	for f, metal := range r.l.Map.Metal {
		for _, m := range metal {
			h := m.Z1 - m.Z0
			if h >= r.l.Thickness-touching {
				continue
			}
			r.floor(r.l.Map.Faces[f].Region, m)
		}
	}
}

func (r *run) floor(reg geom.Region, m layout.Interval) {
	h := m.Z1 - m.Z0
	_, thin := r.row("floor-thin", h)
	_, wide := r.row("floor-span", spanBound(reg)/h)
	if !thin && !wide {
		return
	}
	at, radius := geom.InscribedCircle(reg)
	w, cell := r.cellOf(at, m)
	if !cell {
		return
	}
	group := group{a: w.feature, kind: "floor"}
	w.at = at
	r.test("floor-thin", h, group, "floors", func(k Rule) place {
		w.what = fmt.Sprintf("the floor of a cell of pocket %q is %s thick, limit %s", w.featureName, mm(h), mm(k.Limit))
		w.fix = "cut less deep, or make the pocket a through pocket"
		return w
	})
	r.test("floor-span", 2*radius/h, group, "floors", func(k Rule) place {
		w.what = fmt.Sprintf("the floor of a cell of pocket %q is %s thick under a circle of %s: %.4g times, limit %g",
			w.featureName, mm(h), mm(2*radius), 2*radius/h, k.Limit)
		w.fix = fmt.Sprintf("leave a floor of at least %s, or divide the cell with a rib", mm(2*radius/k.Limit))
		return w
	})
}

// spanBound is at least the diameter of any circle in the region: no circle is wider than the box or has more area.
func spanBound(reg geom.Region) float64 {
	b := reg.Box()
	return min(b.Width(), b.Height(), 2*math.Sqrt(max(0, reg.Area())/math.Pi))
}

// cellOf names the pocket whose floor the metal m at p is: that of the cell cut there, the deeper one where cells from both
// sides stand over each other. ok is false where there is none, as under a blind hole.
func (r *run) cellOf(p geom.Point, m layout.Interval) (w place, ok bool) {
	deepest := 0.0
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		if c.Kind != layout.CutPocket || c.Depth() <= deepest {
			continue
		}
		// Its floor must be a face of the metal.
		if !(c.Side == plate.Top && math.Abs(c.Z0-m.Z1) < touching || c.Side == plate.Bottom && math.Abs(c.Z1-m.Z0) < touching) {
			continue
		}
		if c.Region.Box().Contains(p) && c.Region.Contains(p) {
			deepest, ok = c.Depth(), true
			w = place{stage: "pockets", feature: int64(c.Feature), featureName: c.FeatureName}
		}
	}
	return w, ok
}
