package layout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// boreReach is the radius within which all cuts of a bore lie.
func boreReach(b *plate.Bore) float64 {
	r := b.Diameter / 2
	for _, s := range b.Seats {
		r = max(r, s.Diameter/2)
		if s.Groove.Width > 0 {
			r = max(r, s.Groove.Diameter/2)
		}
	}
	if k := b.Keyway; k.Width > 0 {
		r = max(r, math.Hypot(b.Diameter/2+k.Height, k.Width/2))
	}
	return r
}

// seatCuts appends the seats, grooves and keyway of a bore. Forms that make no sense are left out; checkSeats says so.
func (r *round) seatCuts(out []Cut, t float64) []Cut {
	for i := range r.bore.Seats {
		s := &r.bore.Seats[i]
		if s.Diameter <= r.dia {
			continue
		}
		c := r.disc(CutSeat, s.Side, s.Diameter, s.Depth, t)
		c.Fit, c.Tolerance, c.Part = s.Fit, zoneWidth(s.Fit, s.Diameter, 0), i+1
		out = append(out, c)
		if g, ok := r.groove(i, t); ok {
			out = append(out, g)
		}
	}
	if c, ok := r.keyway(t); ok {
		out = append(out, c)
	}
	return out
}

// groove is the annulus that the groove of seat i cuts outside the seat.
func (r *round) groove(i int, t float64) (Cut, bool) {
	s := &r.bore.Seats[i]
	g := &s.Groove
	if g.Width == 0 || g.Diameter <= s.Diameter || grooveOutside(s, t) {
		return Cut{}, false
	}
	c := r.disc(CutGroove, s.Side, g.Diameter, 0, t)
	c.Region.Holes = []geom.Contour{geom.Circle(r.c, s.Diameter/2).Reverse()}
	c.Z0, c.Z1 = heights(s.Side, g.At, g.At+g.Width, t)
	c.Inner, c.Part = s.Diameter, i+1
	return c, true
}

// grooveOutside reports whether the groove is not wholly in the wall of its seat.
func grooveOutside(s *plate.Seat, t float64) bool {
	return s.Groove.At+s.Groove.Width > min(s.Depth, t)+touchEps
}

// keyway is what of the keyway lies outside the bore. One as wide as the bore is none.
func (r *round) keyway(t float64) (Cut, bool) {
	k := r.bore.Keyway
	if k.Width == 0 || k.Height == 0 || k.Width >= r.dia {
		return Cut{}, false
	}
	u := geom.Pt(1, 0).Rotate(math.Mod(k.AngleDeg, 360) * math.Pi / 180)
	v := u.Perp()
	at := func(x, y float64) geom.Point { return r.c.Add(u.Mul(x)).Add(v.Mul(y)) }
	half := k.Width / 2
	x0, x1 := math.Sqrt(r.dia*r.dia/4-half*half), r.dia/2+k.Height
	a, b, e, f := at(x0, -half), at(x1, -half), at(x1, half), at(x0, half)
	c := r.disc(CutKeyway, plate.Through, 0, t, t)
	c.Region = geom.Region{Outer: geom.Contour{
		geom.Line(a, b), geom.Line(b, e), geom.Line(e, f), {A: f, B: a, C: r.c, R: r.dia / 2, Dir: -1},
	}}
	c.LeastRadius = 0 // broached: its corners are sharp
	return c, true
}

// checkSeats reports seats, grooves and keyways that cannot be as drawn.
func (d *deriver) checkSeats(r *round) {
	b := r.bore
	if b == nil {
		return
	}
	deepest := map[plate.Side]float64{}
	for i := range b.Seats {
		s := &b.Seats[i]
		what := fmt.Sprintf("seat %d of %s", i+1, r.label())
		if s.Diameter <= r.dia {
			d.tellSeat(r, "seat-narrow", fmt.Sprintf("%s has a diameter of %s, no wider than the bore of %s; it is left out",
				what, mm(s.Diameter), mm(r.dia)),
				"a seat is a wider step of its bore", "enlarge the seat or narrow the bore")
			continue
		}
		if s.Depth >= d.t-touchEps {
			d.tellSeat(r, "seat-deep", fmt.Sprintf("%s is %s deep in a plate of %s: no shoulder is left", what, mm(s.Depth), mm(d.t)),
				"what sits in it needs a shoulder, or the bore as wide as the seat", "make the seat shallower, or the bore as wide as it")
		}
		deepest[s.Side] = max(deepest[s.Side], min(s.Depth, d.t))
		d.checkGroove(r, i)
	}
	if top, bottom := deepest[plate.Top], deepest[plate.Bottom]; top > 0 && bottom > 0 && top < d.t-touchEps && bottom < d.t-touchEps && top+bottom > d.t-touchEps {
		d.tellSeat(r, "seats-meet", fmt.Sprintf("the seats of %s from top and bottom are %s deep together in a plate of %s: no shoulder is left",
			r.label(), mm(top+bottom), mm(d.t)),
			"the seats of the two faces need metal between them", "make them shallower together than the plate is thick")
	}
	d.checkSteps(r)
	d.checkKeyway(r)
}

func (d *deriver) tellSeat(r *round, code, what, why, fix string) {
	f := r.finding(code, finding.Error)
	f.What, f.Why, f.Fix = what, why, fix
	d.find(f, r.c)
}

// checkSteps reports steps of one side that do not get wider towards their face.
func (d *deriver) checkSteps(r *round) {
	for _, side := range [2]plate.Side{plate.Top, plate.Bottom} {
		var by []int
		for i, s := range r.bore.Seats {
			if s.Side == side && s.Diameter > r.dia {
				by = append(by, i)
			}
		}
		slices.SortStableFunc(by, func(i, k int) int { return cmp.Compare(r.bore.Seats[i].Depth, r.bore.Seats[k].Depth) })
		for n := 1; n < len(by); n++ {
			a, b := &r.bore.Seats[by[n-1]], &r.bore.Seats[by[n]] // b is the deeper
			if a.Diameter > b.Diameter+touchEps && b.Depth > a.Depth+touchEps {
				continue
			}
			d.tellSeat(r, "seats-order", fmt.Sprintf("seats %d and %d of %s: the deeper one, %s, is not narrower than the one above it, %s",
				by[n-1]+1, by[n]+1, r.label(), mm(b.Diameter), mm(a.Diameter)),
				"steps that are cut from one face get wider towards it", "swap the diameters, or delete the step that cuts nothing")
		}
	}
}

func (d *deriver) checkGroove(r *round, i int) {
	s := &r.bore.Seats[i]
	g := &s.Groove
	if g.Width == 0 {
		return
	}
	what := fmt.Sprintf("the groove of seat %d of %s", i+1, r.label())
	switch {
	case g.Diameter <= s.Diameter:
		d.tellSeat(r, "groove-narrow", fmt.Sprintf("%s has a diameter of %s, no wider than the seat of %s; it is left out",
			what, mm(g.Diameter), mm(s.Diameter)),
			"a groove is cut into the wall of its seat", "take the groove diameter from the ring's standard")
		return
	case grooveOutside(s, d.t):
		d.tellSeat(r, "groove-outside", fmt.Sprintf("%s reaches from %s to %s below the face, the seat only to %s; it is left out",
			what, mm(g.At), mm(g.At+g.Width), mm(min(s.Depth, d.t))),
			"a groove lies in the wall of its seat", "move the groove towards the face, or make the seat deeper")
		return
	}
	for k := range r.bore.Seats {
		if o := &r.bore.Seats[k]; k != i && o.Side == s.Side && o.Diameter > s.Diameter && o.Depth > g.At+touchEps {
			d.tellSeat(r, "groove-outside", fmt.Sprintf("%s starts %s below the face, where seat %d is cut wider down to %s",
				what, mm(g.At), k+1, mm(o.Depth)),
				"a groove lies in the wall of its own seat", "move the groove deeper, or make the wider seat shallower")
			return
		}
	}
}

// checkKeyway reports a keyway as wide as its bore, and one that breaks into something else.
func (d *deriver) checkKeyway(r *round) {
	k := r.bore.Keyway
	if k.Width > 0 && (k.Width >= r.dia || k.Height == 0) {
		d.tellSeat(r, "keyway-size", fmt.Sprintf("the keyway of %s is %s wide and %s high in a bore of %s; it is left out",
			r.label(), mm(k.Width), mm(k.Height), mm(r.dia)),
			"a keyway is narrower than its bore and has a height", "take width and height from the key's standard")
		return
	}
	c, ok := r.keyway(d.t)
	if !ok {
		return
	}
	if d.edgeDist(r.c) < r.reach+touchEps {
		if g := geom.Closest(c.Region.Outer, d.outline); g.D <= touchEps || !d.outline.Contains(c.Region.Outer[0].B) {
			d.tellSeat(r, "keyway-breaks", fmt.Sprintf("the keyway of %s breaks through the outline", r.label()),
				"a keyway needs metal round it", "turn the keyway inwards or move the bore")
		}
	}
	for i := range d.rounds {
		o := &d.rounds[i]
		if o == r || o.c.Dist(r.c) > r.reach+o.reach+touchEps || -clearance(c.Region, o.c) > o.reach+touchEps {
			continue
		}
		d.tellSeat(r, "keyway-breaks", fmt.Sprintf("the keyway of %s breaks into %s", r.label(), o.label()),
			"a keyway needs metal round it", "turn the keyway away, or move one of them")
	}
	for i := range d.slots {
		if s := &d.slots[i]; geom.Closest(c.Region.Outer, s.region.Outer).D <= touchEps || s.region.Contains(c.Region.Outer[0].A) {
			d.tellSeat(r, "keyway-breaks", fmt.Sprintf("the keyway of %s breaks into slot %q", r.label(), s.name),
				"a keyway needs metal round it", "turn the keyway away, or move one of them")
		}
	}
}
