package section

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/layout"
)

// cone is the section of a drill point as slabs of void, within PolylineTol. With p the distance of the line from the axis,
// r the base radius and h the height, the surface stands h·(1 − √(p²+u²)/r) from the base at distance u along the line from
// the foot of the axis: a branch of a hyperbola, or for p = 0 two straight lines.
func (cl line) cone(c layout.Cut) []Slab {
	r, h := c.Diameter/2, c.Depth()
	d := c.Center.Sub(cl.a)
	p, foot := math.Abs(cl.u.Cross(d)), cl.u.Dot(d)
	if p >= r {
		return nil
	}
	half := math.Sqrt(r*r - p*p)
	right := flatten(p, r, h, half)
	nodes := make([][2]float64, 0, 2*len(right))
	for i := len(right) - 1; i > 0; i-- {
		nodes = append(nodes, [2]float64{-right[i][0], right[i][1]})
	}
	nodes = append(nodes, right...)
	var out []Slab
	for i := 1; i < len(nodes); i++ {
		n, m := nodes[i-1], nodes[i]
		b := Slab{S0: foot + n[0], S1: foot + m[0], Bottom0: c.Z1 - n[1], Bottom1: c.Z1 - m[1], Top0: c.Z1, Top1: c.Z1}
		if c.Side == plate.Bottom {
			b.Bottom0, b.Bottom1, b.Top0, b.Top1 = c.Z0, c.Z0, c.Z0+n[1], c.Z0+m[1]
		}
		if b.S1 > 0 && b.S0 < cl.length {
			out = append(out, b)
		}
	}
	return out
}

// flatten returns points (u, height) of the right half of the hyperbola, from u = 0 to half, whose chords are within
// PolylineTol of it. The curve is concave, so that the deviation of a chord is greatest where the tangent is parallel to
// it: slope −(h/r)·u/√(p²+u²) = m gives u = p·q/√(1−q²) with q = −m·r/h. A chord that deviates too far is split there.
func flatten(p, r, h, half float64) [][2]float64 {
	height := func(u float64) float64 { return h * (1 - math.Hypot(p, u)/r) }
	out := [][2]float64{{0, height(0)}}
	var chord func(u0, u1 float64, depth int)
	chord = func(u0, u1 float64, depth int) {
		z0, z1 := height(u0), height(u1)
		m := (z1 - z0) / (u1 - u0)
		q := -m * r / h
		if u := p * q / math.Sqrt(1-q*q); depth < deepest && u > u0 && u < u1 {
			if off := math.Abs(height(u)-z0-m*(u-u0)) / math.Hypot(1, m); off > PolylineTol {
				chord(u0, u, depth+1)
				chord(u, u1, depth+1)
				return
			}
		}
		out = append(out, [2]float64{u1, z1})
	}
	chord(0, half, 0)
	return out
}

// deepest bounds the splitting of a chord. Each split takes the deviation down about fourfold, and a point of a metre's
// diameter deviates by less than 4³⁰ times the tolerance.
const deepest = 30

// subtract takes the voids, which are sorted and do not overlap, from the slabs.
func subtract(slabs, voids []Slab) []Slab {
	var out []Slab
	for _, b := range slabs {
		rest := []Slab{b}
		for _, v := range voids {
			var next []Slab
			for _, q := range rest {
				next = append(next, without(q, v)...)
			}
			rest = next
		}
		out = append(out, rest...)
	}
	slices.SortStableFunc(out, bySlab)
	return out
}

// without is slab b less void v: cut at the void's ends and wherever a side of one crosses a side of the other, each part
// keeps what lies below and above the void.
func without(b, v Slab) []Slab {
	lo, hi := max(b.S0, v.S0), min(b.S1, v.S1)
	if hi-lo <= touch {
		return []Slab{b}
	}
	cuts := stations(b, v, lo, hi)
	var out []Slab
	for i := 1; i < len(cuts); i++ {
		s0, s1 := cuts[i-1], cuts[i]
		if s1-s0 <= 0 {
			continue
		}
		mid := (s0 + s1) / 2
		if mid < lo || mid > hi {
			out = append(out, b.part(s0, s1))
			continue
		}
		below, above := b.part(s0, s1), b.part(s0, s1)
		if v.bottom(mid) < below.top(mid) {
			below.Top0, below.Top1 = v.bottom(s0), v.bottom(s1)
		}
		if v.top(mid) > above.bottom(mid) {
			above.Bottom0, above.Bottom1 = v.top(s0), v.top(s1)
		}
		for _, q := range []Slab{below, above} {
			if q.top(mid) > q.bottom(mid) {
				out = append(out, q)
			}
		}
	}
	return out
}

// stations are the places along slab b, in order, between which neither an end of void v nor a crossing of their sides
// lies; the two overlap from lo to hi.
func stations(b, v Slab, lo, hi float64) []float64 {
	cuts := []float64{b.S0, b.S1}
	for _, s := range []float64{v.S0, v.S1} {
		if s > b.S0 && s < b.S1 {
			cuts = append(cuts, s)
		}
	}
	for _, f := range []func(Slab, float64) float64{Slab.bottom, Slab.top} {
		for _, g := range []func(Slab, float64) float64{Slab.bottom, Slab.top} {
			d0, d1 := f(b, lo)-g(v, lo), f(b, hi)-g(v, hi)
			if d0*d1 < 0 {
				cuts = append(cuts, lo+(hi-lo)*d0/(d0-d1))
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}

// bottom and top are the heights of the slab's sides at s.
func (b Slab) bottom(s float64) float64 {
	return b.Bottom0 + (b.Bottom1-b.Bottom0)*(s-b.S0)/(b.S1-b.S0)
}

func (b Slab) top(s float64) float64 { return b.Top0 + (b.Top1-b.Top0)*(s-b.S0)/(b.S1-b.S0) }

// part is the slab between s0 and s1.
func (b Slab) part(s0, s1 float64) Slab {
	return Slab{S0: s0, S1: s1, Bottom0: b.bottom(s0), Bottom1: b.bottom(s1), Top0: b.top(s0), Top1: b.top(s1)}
}
