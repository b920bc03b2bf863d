package kinematics

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
)

// codes of the findings about clocked rings.
const (
	codeFewBolts = "clocked-few-bolts"
	codeVernier  = "clocked-vernier"
	codeBreak    = "clocked-holes-meet"
	codeOff      = "clocked-off-position"
)

// Findings are those about a plate's clocked rings: a wanted angle or a setting at which too few bolts fit, a vernier that
// holds by a single bolt, and neighbouring holes of the ring that break into each other. diameter gives the diameter in mm of
// the holes of a form, as the layout cuts them.
func Findings(p plate.Plate, diameter func(plate.HoleForm) float64) []finding.Finding {
	var found []finding.Finding
	for _, c := range p.Rings {
		r := ringCheck{p: p, c: c, found: &found}
		r.own, r.mate = RingsOf(c)
		all, err := Clock(r.own, r.mate, DefaultDeg)
		if err != nil {
			r.add(codeBreak, finding.Error, finding.Words(err), "holes of one ring stand apart", "geometry", "move a hole, or take fewer")
			continue
		}
		r.least()
		r.single(all)
		r.metal(diameter(c.HoleForm))
	}
	finding.Sort(found)
	return found
}

// ringCheck is the check of one ring.
type ringCheck struct {
	p         plate.Plate
	c         plate.ClockedRing
	own, mate Ring
	found     *[]finding.Finding
}

func (r *ringCheck) add(code string, level finding.Level, what, why, source, fix string) {
	f := finding.Finding{
		Code: code, Level: level, What: what, Why: why, Source: source, Fix: fix,
		Feature: int64(r.c.ID), FeatureName: r.c.Name, Stage: plate.StageHoles,
	}
	x, y := r.p.CircleCentre(r.c.BoltCircle)
	f.Where, f.HasWhere = [2]float64{x, y}, true
	*r.found = append(*r.found, f)
}

// least looks at every angle that the ring is there for.
func (r *ringCheck) least() {
	need := max(1, r.c.LeastBolts)
	bolts := func(deg float64) int {
		at, err := At(r.own, r.mate, deg, DefaultDeg)
		if err != nil { // Clock has looked at both rings; what is left is an angle that is none, which Validate reports
			return 0
		}
		return at.Bolts
	}
	for _, w := range r.c.WantedDeg {
		if n := bolts(w); n < need {
			r.add(codeFewBolts, finding.Error, fmt.Sprintf("at the wanted clocked angle of %g° %d of the bolts fit; the ring needs %d", w, n, need),
				"every wanted angle holds by the least number of bolts", "the document", "find rings for the wanted angles, or ask for fewer bolts")
		}
	}
	for _, s := range r.p.Settings {
		for _, v := range s.Values {
			if v.Feature != r.c.ID {
				continue
			}
			if n := bolts(v.AngleDeg); n < need {
				r.add(codeFewBolts, finding.Error, fmt.Sprintf("in setting %q, at %g°, %d of the bolts fit; the ring needs %d", s.Name, v.AngleDeg, n, need),
					"every setting holds by the least number of bolts", "the document", "set an angle at which the bolts fit")
			}
		}
	}
	if n := bolts(r.c.PositionDeg); n < need {
		r.add(codeOff, finding.Warning, fmt.Sprintf("as drawn, at %g°, %d of the bolts fit; the ring needs %d", r.c.PositionDeg, n, need),
			"the plate is drawn in a position that can be bolted", "the document", "draw the mate at an angle at which the bolts fit")
	}
}

// single says when a ring never holds by more than one bolt, as a vernier of n and n + 1 holes does.
func (r *ringCheck) single(all []Position) {
	most := 0
	for _, p := range all {
		most = max(most, p.Bolts)
	}
	if most != 1 || len(r.own) == 1 || len(r.mate) == 1 {
		return
	}
	r.add(codeVernier, finding.Warning,
		fmt.Sprintf("rings of %d and %d holes hold by one bolt at each of %d angles", len(r.own), len(r.mate), len(all)),
		"rings of n and m equally spaced holes share gcd(n, m) bolts, a vernier of n and n + 1 one", "arithmetic",
		"give both numbers a common divisor: 15 and 18 holes hold by three bolts every 4°")
}

// metal looks at the ligament between neighbouring holes.
func (r *ringCheck) metal(hole float64) {
	if mm, a, b := r.own.Ligament(r.c.Diameter, hole); mm <= 0 {
		r.add(codeBreak, finding.Error, fmt.Sprintf("holes %d and %d of the ring break into each other by %.3g mm", a, b, -mm),
			"holes of one ring leave metal between them", "geometry", "take fewer holes, a wider circle, or rings whose groups interleave")
	}
}
