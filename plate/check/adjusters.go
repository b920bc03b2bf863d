package check

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
	"platewright/plate/standard"
)

// holesMeet is the code of the kinematics' finding that the layout may have made already, hole by hole.
const holesMeet = "clocked-holes-meet"

// clocked are the findings about clocked rings. Holes that break into each other are not repeated where the layout has told.
func (r *run) clocked() []finding.Finding {
	told := map[int64]bool{}
	for _, f := range r.l.Findings {
		if f.Code == "holes-overlap" {
			told[f.Feature] = true
		}
	}
	var out []finding.Finding
	for _, f := range kinematics.Findings(r.l.Plate, holeDiameter) {
		if f.Code == holesMeet && told[f.Feature] {
			continue
		}
		f.What = fmt.Sprintf("clocked ring %q: %s", f.FeatureName, f.What)
		out = append(out, f)
	}
	return out
}

// holeDiameter is the diameter in mm that a hole is cut to, as the layout does.
func holeDiameter(f plate.HoleForm) float64 {
	var d float64
	switch f.Kind {
	case plate.Tapped:
		d, _, _ = standard.TapDrill(f.Size)
	case plate.Reamed:
		d = f.Diameter
	default:
		d, _ = standard.ClearanceDiameter(f.Size, string(f.Series))
	}
	return d
}

// eccentrics checks the thin side of every eccentric. One whose bore breaks out is for the layout to tell.
func (r *run) eccentrics() {
	for i := range r.l.Plate.Eccentrics {
		e := &r.l.Plate.Eccentrics[i]
		for _, b := range r.l.Plate.Bores {
			wall := b.Diameter/2 - e.E - e.Inner/2
			if b.ID != e.Bore || wall <= 0 {
				continue
			}
			r.test("eccentric-wall-thin", wall, group{a: int64(e.ID)}, "", func(k Rule) place {
				return place{
					what: fmt.Sprintf("the thinnest wall of eccentric %q is %s, limit %s", e.Name, mm(wall), mm(k.Limit)),
					fix:  fmt.Sprintf("widen bore %q by %s, or take a smaller bore in the eccentric", b.Name, mm(2*(k.Limit-wall))),
					at:   geom.Pt(b.X, b.Y), feature: int64(e.ID), featureName: e.Name, stage: plate.StageHoles,
				}
			})
		}
	}
}
