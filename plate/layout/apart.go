package layout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
)

// recess is one round cut of a bore or hole: its diameter and the heights that it reaches over.
type recess struct{ dia, z0, z1 float64 }

// discs are the wider round cuts of the bore or hole: seats, grooves, heads. A cone counts at its diameter at the face.
func (r *round) discs(t float64) []recess {
	var out []recess
	for _, c := range r.cuts(t) {
		if c.Kind != r.kind && c.Kind != CutKeyway {
			out = append(out, recess{c.Diameter, c.Z0, c.Z1})
		}
	}
	if c, ok := r.countersink(t); ok {
		out = append(out, recess{c.Diameter, c.Z0, c.Z1})
	}
	return out
}

// widest is the radius of the widest round cut, mm.
func (d *deriver) widest(r *round) float64 {
	w := r.dia / 2
	if r.reach == w {
		return w
	}
	for _, c := range r.discs(d.t) {
		w = max(w, c.dia/2)
	}
	return w
}

// checkRoundsApart reports bores and holes that break into each other, by a sweep over x.
func (d *deriver) checkRoundsApart() {
	order := make([]int, len(d.rounds))
	widest := 0.0
	for i := range order {
		order[i] = i
		widest = max(widest, d.rounds[i].reach)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.rounds[a].c.X, d.rounds[b].c.X) })
	told := 0
	for n, i := range order {
		a := &d.rounds[i]
		for _, j := range order[n+1:] {
			b := &d.rounds[j]
			if b.c.X-a.c.X > a.reach+widest+touchEps {
				break
			}
			apart := a.c.Dist(b.c)
			if apart-a.reach-b.reach > touchEps {
				continue
			}
			gap, recess := apart-a.dia/2-b.dia/2, false
			if gap > touchEps {
				gap, recess = d.recessGap(a, b), true
			}
			if gap > touchEps {
				continue
			}
			if told++; told > maxOverlaps {
				return
			}
			d.tellOverlap(a, b, gap, recess)
		}
	}
}

// recessGap is the least distance between the cuts of two rounds that share a height.
func (d *deriver) recessGap(a, b *round) float64 {
	gap := math.Inf(1)
	own := func(r *round) []recess {
		c := r.cut(d.t)
		return append(r.discs(d.t), recess{r.dia, c.Z0, c.Z1})
	}
	for _, p := range own(a) {
		for _, q := range own(b) {
			if min(p.z1, q.z1)-max(p.z0, q.z0) > touchEps {
				gap = min(gap, a.c.Dist(b.c)-p.dia/2-q.dia/2)
			}
		}
	}
	return gap
}

// maxOverlaps bounds the list of overlapping holes: beyond it another line helps nobody.
const maxOverlaps = 200

func (d *deriver) tellOverlap(a, b *round, gap float64, recess bool) {
	// Bores before holes, then the lower id and number, so that the finding stands with the feature drawn first.
	if a.kind != CutBore && b.kind == CutBore || (a.kind == CutBore) == (b.kind == CutBore) && (b.id < a.id || b.id == a.id && b.number < a.number) {
		a, b = b, a
	}
	f := a.finding("holes-overlap", finding.Error)
	f.What = fmt.Sprintf("%s and %s break into each other by %s", a.label(), b.label(), mm(-gap))
	f.Why, f.Fix = "two bores or holes need metal between them", "move one of them or make it smaller"
	if recess {
		f.Code = "recesses-overlap"
		f.What = fmt.Sprintf("a seat, groove or head's recess of %s or %s breaks into the other by %s", a.label(), b.label(), mm(-gap))
		f.Why = "recesses need metal between them where they share a height"
	}
	d.find(f, place(a.c, b.c, a.dia/2))
}

// checkBoss reports recesses that reach beyond the boss round their bore or hole, so that a pocket may run into them.
func (d *deriver) checkBoss(r *round) {
	if r.boss == 0 || len(d.p.Pockets) == 0 || r.reach < r.radius()-touchEps {
		return
	}
	w := d.widest(r)
	if w < r.radius()-touchEps {
		return
	}
	f := r.finding("recess-beyond-boss", finding.Warning)
	f.What = fmt.Sprintf("a seat, groove or head's recess of %s (diameter %s) is as wide as its boss (%s): no wall is left where a pocket meets the boss",
		r.label(), mm(2*w), mm(2*r.radius()))
	f.Why, f.Fix = "the boss is measured from the bore or hole, and must be wider than what is cut into it", "widen the boss, or narrow the recess"
	d.find(f, r.c)
}

// checkEccentrics reports eccentrics whose own bore breaks through their wall.
func (d *deriver) checkEccentrics() {
	for i := range d.p.Eccentrics {
		e := &d.p.Eccentrics[i]
		k := slices.IndexFunc(d.p.Bores, func(b plate.Bore) bool { return b.ID == e.Bore })
		if k < 0 || e.E+e.Inner/2 < d.p.Bores[k].Diameter/2-touchEps {
			continue
		}
		b := &d.p.Bores[k]
		c, _ := d.centreOf(b.ID)
		d.find(finding.Finding{
			Code: "eccentric-wall", Level: finding.Error, Feature: int64(e.ID), FeatureName: e.Name, Stage: "bores", Source: "geometry",
			What: fmt.Sprintf("eccentric %q has its own bore of %s off its axis by %s, which breaks through its wall in bore %q of %s",
				e.Name, mm(e.Inner), mm(e.E), b.Name, mm(b.Diameter)),
			Why: "an eccentric needs metal all round its own bore", Fix: "enlarge the plate's bore, or lessen the offset or the eccentric's bore",
		}, c)
	}
}
