package check

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Panel is a floor that could buckle: the largest circle in it, and its metal.
type Panel struct {
	Feature   plate.ID // the pocket
	Name      string
	At        geom.Point
	Radius    float64
	Thickness float64
	Middle    float64 // height of its middle, mm
}

// Panels are the floors of pockets, each with its largest circle.
func Panels(l *layout.Layout) []Panel {
	r := &run{l: l}
	var out []Panel
	for f, metal := range l.Map.Metal {
		for _, m := range metal {
			if m.Z1-m.Z0 >= l.Thickness-touching {
				continue
			}
			at, radius := geom.InscribedCircle(l.Map.Faces[f].Region)
			if w, cell := r.cellOf(at, m); cell && radius > touching {
				out = append(out, Panel{plate.ID(w.feature), w.featureName, at, radius, m.Z1 - m.Z0, (m.Z0 + m.Z1) / 2})
			}
		}
	}
	return out
}

// Buckling checks floors against compressive stresses in their middle, MPa, one for each panel; of each pocket the worst is
// given. Floors that nothing compresses give none.
func Buckling(l *layout.Layout, ps []Panel, compression []float64) []Joint {
	m := l.Plate.Stock.Material
	var all []Joint
	for i, p := range ps {
		if !(compression[i] > 0) || !(p.Thickness > 0) {
			continue
		}
		j := Joint{
			Feature: p.Feature, Where: fmt.Sprintf("floor of pocket %q", p.Name), Check: "floor buckles", Unit: "MPa", Demand: compression[i],
			Capacity: floorStands(FloorBuckling(p.Radius, p.Thickness, m.Young, m.Poisson), m.Proof), Source: srcFloor, Bound: true, At: [2]float64{p.At.X, p.At.Y},
			Inputs: []JointInput{mmOf("circle", 2*p.Radius), mmOf("t", p.Thickness), mpaOf("E", m.Young), {"ν", m.Poisson, ""}, mpaOf("fo", m.Proof)},
		}
		j.Reserve = j.Capacity / j.Demand
		all = append(all, j)
	}
	return worst(all)
}

// AreaPunch checks the edge of an area on which a force presses through the plate: contour, least metal under it.
func AreaPunch(l *layout.Layout, name string, area geom.Contour, force float64) Joint {
	m := l.Plate.Stock.Material
	u := area.Length()
	t, at := math.Inf(1), area[0].A
	steps := max(16, min(400, int(u)))
	for _, e := range area {
		n := max(2, int(float64(steps)*e.Length()/u))
		for i := range n {
			q := pointOn(e, (float64(i)+0.5)/float64(n))
			h := 0.0
			for _, iv := range l.Map.Metal[l.Map.Locate(q)] {
				h += iv.Z1 - iv.Z0
			}
			if h < t {
				t, at = h, q
			}
		}
	}
	j := Joint{
		Where: fmt.Sprintf("area of load %q", name), Check: "area punches through", Source: srcPunch, Unit: "N", Demand: math.Abs(force),
		Inputs: []JointInput{mmOf("edge of the area", u), mmOf("least metal under it", t), mpaOf("fu", m.Ultimate), {"γM2", factorRupture, ""}},
		At:     [2]float64{at.X, at.Y}, Of: 1, Reserve: math.Inf(1),
	}
	switch {
	case !(m.Ultimate > 0):
		j.NotAssessed = "the document gives no ultimate strength of the material"
	case t <= 0:
		j.NotAssessed = "the area's edge crosses an opening"
	default:
		j.Capacity = punchingAlong(u, t, m.Ultimate)
		if j.Demand > 0 {
			j.Reserve = j.Capacity / j.Demand
		}
	}
	return j
}

// pointOn is the point of an edge at a share of its length.
func pointOn(e geom.Edge, f float64) geom.Point {
	if !e.IsArc() {
		return e.A.Add(e.B.Sub(e.A).Mul(f))
	}
	return e.C.Add(e.A.Sub(e.C).Rotate(f * e.Length() / e.R * float64(e.Dir)))
}

// Ledges are the checks of ledges that no load of the document reaches: an inlay's own load is not in it.
func Ledges(l *layout.Layout) []Joint {
	var out []Joint
	for _, in := range l.Plate.Inlays {
		i := slices.IndexFunc(l.Plate.Pockets, func(p plate.Pocket) bool { return p.ID == in.Pocket && p.Ledge.Width > 0 })
		if i < 0 {
			continue
		}
		p := &l.Plate.Pockets[i]
		out = append(out, Joint{
			Feature: p.ID, Where: fmt.Sprintf("ledge of pocket %q", p.Name), Check: "ledge shears off", Unit: "N", Source: srcPunch, Of: 1, Reserve: math.Inf(1),
			NotAssessed: fmt.Sprintf("the document has no load on inlay %q", in.Name),
		})
	}
	return out
}
