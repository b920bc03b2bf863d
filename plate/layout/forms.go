package layout

import (
	"fmt"
	"math"

	"platewright/plate/finding"
	"platewright/plate/geom"
)

// touchEps is how near two forms may come before they count as touching, mm: rounding of drawn coordinates.
const touchEps = 1e-6

// checkForms reports forms that cannot be as drawn.
func (d *deriver) checkForms() error {
	d.checkRoundsInside()
	d.checkRoundsApart()
	for i := range d.rounds {
		d.checkHead(&d.rounds[i])
		d.checkSeats(&d.rounds[i])
		d.checkBoss(&d.rounds[i])
	}
	d.checkSlots()
	d.checkEccentrics()
	for i := range d.ribs {
		if d.ribs[i].grid < 0 {
			d.checkRibEnds(i)
		}
	}
	return d.checkRim()
}

// finding starts a finding about a round.
func (r *round) finding(code string, level finding.Level) finding.Finding {
	return finding.Finding{
		Code: code, Level: level, Feature: int64(r.id), FeatureName: r.name, Stage: r.stage(), Source: "geometry",
	}
}

// label names the round for people, with its number in a bolt circle.
func (r *round) label() string {
	what := "hole"
	if r.kind == CutBore {
		what = "bore"
	}
	if r.number > 0 {
		return fmt.Sprintf("hole %d of %s %q", r.number, r.of, r.name)
	}
	return fmt.Sprintf("%s %q", what, r.name)
}

// edgeDist is the signed distance from p to the outline: positive inside.
func (d *deriver) edgeDist(p geom.Point) float64 {
	m := math.Inf(1)
	for i := range d.outline {
		m = min(m, d.outline[i].Dist(p))
	}
	if !d.outline.Contains(p) {
		return -m
	}
	return m
}

func (d *deriver) checkRoundsInside() {
	for i := range d.rounds {
		r := &d.rounds[i]
		e := d.edgeDist(r.c)
		switch {
		case e < r.dia/2+touchEps:
			f := r.finding("hole-outside", finding.Error)
			f.What = fmt.Sprintf("%s (diameter %s) breaks through the outline", r.label(), mm(r.dia))
			if e <= -r.dia/2 {
				f.What = fmt.Sprintf("%s lies outside the outline", r.label())
			}
			f.Why, f.Fix = "a bore or hole needs metal all round it", "move it inwards, make it smaller, or move the outline"
			d.find(f, r.c)
		case e < d.widest(r)+touchEps:
			f := r.finding("recess-outside", finding.Error)
			f.What = fmt.Sprintf("a recess of %s (diameter %s) breaks through the outline", r.label(), mm(2*d.widest(r)))
			f.Why, f.Fix = "a seat or a head's recess needs metal all round it", "move it inwards, make it smaller, or move the outline"
			d.find(f, r.c)
		case r.boss > 0 && e < r.radius()-touchEps:
			f := r.finding("boss-crosses-outline", finding.Note)
			f.What = fmt.Sprintf("the boss of %s stands out of the outline by %s; it is cut off there", r.label(), mm(r.radius()-e))
			f.Why, f.Fix = "the outline decides where the metal ends", "move it inwards or narrow the boss"
			d.find(f, r.c)
		}
	}
}

// checkRibEnds reports the ends of a drawn rib that hang in the open: ribs end in the rim, a boss or another rib.
func (d *deriver) checkRibEnds(i int) {
	r := &d.ribs[i]
	for _, p := range [2]geom.Point{r.a, r.b} {
		if d.edgeDist(p) <= d.p.Rim+touchEps || d.inRound(p) || d.inRib(p, i) {
			continue
		}
		d.find(finding.Finding{
			Code: "rib-end-open", Level: finding.Warning, Feature: int64(r.id), FeatureName: r.name, Stage: "ribs",
			What: fmt.Sprintf("rib %q ends at (%.4g, %.4g) in the open", r.name, p.X, p.Y),
			Why:  "a rib carries load only when it ends in the rim, a boss or another rib", Source: "common practice, no source",
			Fix: "move the end onto the rim, a boss or another rib",
		}, p)
	}
}

// inRound reports whether p lies in a boss, in a bore, hole or slot, or in a keep-out zone.
func (d *deriver) inRound(p geom.Point) bool {
	for i := range d.rounds {
		if d.rounds[i].c.Dist(p) <= d.rounds[i].radius()+touchEps {
			return true
		}
	}
	for i := range d.slots {
		if s := &d.slots[i]; s.dist(p) <= s.Width/2+s.Boss+touchEps {
			return true
		}
	}
	for i := range d.barriers {
		if b := &d.barriers[i]; b.half == 0 && b.outline.Contains(p) {
			return true
		}
	}
	return false
}

// inRib reports whether p lies in a rib other than rib i.
func (d *deriver) inRib(p geom.Point, i int) bool {
	for k := range d.ribs {
		o := &d.ribs[k]
		if k != i && o.dist(p) <= o.half+touchEps {
			return true
		}
	}
	return false
}

// checkRim reports a rim that leaves nothing inside it.
func (d *deriver) checkRim() error {
	if d.p.Rim == 0 {
		return nil
	}
	in, err := d.inset(d.p.Rim)
	if err != nil || len(in) > 0 {
		return err
	}
	d.find(finding.Finding{
		Code: "rim-wide", Level: finding.Warning, Stage: "outline",
		What: fmt.Sprintf("a rim of %s fills the whole plate", mm(d.p.Rim)),
		Why:  "nothing is left inside the rim for pockets", Source: "geometry", Fix: "narrow the rim",
	}, d.outline.Box().Center())
	return nil
}
