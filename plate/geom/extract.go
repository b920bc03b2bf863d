package geom

import "cmp"

// Extraction: the pieces whose two sides differ under a rule are walked into
// rings, always taking the first piece clockwise from where one came, so that
// areas which meet in a single vertex stay apart. A ring that passes a vertex
// twice is cut there into simple loops: one runs counter-clockwise and bounds
// the area from outside, the others are holes touching it.

// rule says which winding numbers are inside.
type rule uint8

const (
	ruleUnion     rule = iota // layer 0 above zero
	ruleDiff                  // layer 0 above zero, layer 1 not
	ruleIntersect             // both above zero
	ruleXor                   // one of the two
	ruleInset                 // layer 0 below zero
)

func (k rule) in(a, b int32) bool {
	switch k {
	case ruleUnion:
		return a > 0
	case ruleDiff:
		return a > 0 && b <= 0
	case ruleIntersect:
		return a > 0 && b > 0
	case ruleXor:
		return (a > 0) != (b > 0)
	default:
		return a < 0
	}
}

type extractScratch struct {
	ring    []int32 // half-edges: piece number times two, plus one if reversed
	mark    []int32 // position on the ring of each vertex, or -1
	stack   []int32
	chain   []chainEdge
	loops   []Contour
	holes   []Contour
	regions []regionBox
}

type regionBox struct {
	Region
	box  Box
	area float64
}

// from and to give the ends of half-edge h.
func (r *arrangement) from(h int32) int32 {
	if h&1 == 0 {
		return r.pc[h>>1].a
	}
	return r.pc[h>>1].b
}
func (r *arrangement) to(h int32) int32 { return r.from(h ^ 1) }

// leave puts how half-edge h leaves its start into d. Ends lie off the circle by
// up to the merge distance, so the tangent of a very short arc says nothing; its
// chord does.
func (r *arrangement) leave(h int32, d *departure) {
	p := &r.pc[h>>1]
	d.A, d.B, d.C, d.R, d.Dir = p.A, p.B, p.C, p.R, p.dir
	if h&1 == 1 {
		d.A, d.B, d.Dir = p.B, p.A, -p.dir
	}
	d.dir = d.B.Sub(d.A)
	d.l2 = d.dir.Dot(d.dir)
	if d.Dir != 0 && d.l2 > shortArc*shortArc {
		d.dir = d.A.Sub(d.C).Perp().Mul(float64(d.Dir))
	}
}

// classify marks the pieces that bound the inside.
func (r *arrangement) classify(k rule) {
	for i := range r.pc {
		p := &r.pc[i]
		ri, li := k.in(p.r[0], p.r[1]), k.in(p.r[0]+p.d[0], p.r[1]+p.d[1])
		p.keep, p.used = 0, false
		switch {
		case li && !ri:
			p.keep = 1
		case ri && !li:
			p.keep = -1
		}
	}
}

// kept reports whether half-edge h has the inside on its left and the outside on
// its right.
func (r *arrangement) kept(h int32) bool {
	return r.pc[h>>1].keep == 1-2*int8(h&1)
}

// extract returns the inside as a shape, or false when a ring does not close.
func (r *arrangement) extract(k rule) (Shape, bool) {
	r.classify(k)
	x := &r.ex
	x.holes, x.regions = x.holes[:0], x.regions[:0]
	for i := range r.pc {
		if r.pc[i].keep == 0 || r.pc[i].used {
			continue
		}
		h := int32(2 * i)
		if r.pc[i].keep < 0 {
			h++
		}
		if !r.walk(h) {
			return nil, false
		}
		x.loops = r.loopsOf(x.ring, x.loops[:0])
		outer, n := -1, 0
		for _, c := range x.loops {
			a := c.Area()
			if isSliver(c, a) {
				continue
			}
			if a > 0 {
				if outer >= 0 {
					return nil, false // two areas in one ring: the order at a vertex was lost
				}
				outer = n
			}
			x.loops[n] = c
			n++
		}
		loops := x.loops[:n]
		if outer < 0 {
			x.holes = append(x.holes, loops...)
			continue
		}
		rb := regionBox{Region: Region{Outer: loops[outer]}}
		for j, c := range loops {
			if j != outer {
				rb.Holes = append(rb.Holes, c)
			}
		}
		x.regions = append(x.regions, rb)
	}
	return r.nest()
}

// walk follows one ring of kept half-edges.
func (r *arrangement) walk(first int32) bool {
	x, rot := &r.ex, &r.topo.rot
	x.ring = x.ring[:0]
	for h := first; ; {
		r.pc[h>>1].used = true
		x.ring = append(x.ring, h)
		// Clockwise from the way back to the first kept half-edge that leaves.
		k := rot.next[h]
		for !r.kept(k) {
			if k = rot.next[k^1]; k == h^1 {
				return false
			}
		}
		if k == first {
			return true
		}
		if r.pc[k>>1].used {
			return false
		}
		h = k
	}
}

// loopsOf cuts a ring into simple loops and appends them as contours.
func (r *arrangement) loopsOf(ring []int32, out []Contour) []Contour {
	x := &r.ex
	for len(x.mark) < len(r.vs) {
		x.mark = append(x.mark, -1)
	}
	st := x.stack[:0]
	for _, h := range ring {
		x.mark[r.from(h)] = int32(len(st))
		st = append(st, h)
		v := r.to(h)
		k := x.mark[v]
		if k < 0 {
			continue
		}
		out = append(out, r.contourOf(st[k:]))
		for _, g := range st[k:] {
			x.mark[r.from(g)] = -1
		}
		st = st[:k]
	}
	for _, g := range st {
		x.mark[r.from(g)] = -1
	}
	x.stack = st
	return out
}

// contourOf turns a simple loop of half-edges into a contour, joining pieces of
// one line or circle. It starts at the break with the least x, then y.
func (r *arrangement) contourOf(loop []int32) Contour {
	x := &r.ex
	x.chain = x.chain[:0]
	for _, h := range loop {
		p := &r.pc[h>>1]
		x.chain = append(x.chain, chainEdge{p.edge(h&1 == 1), p.src})
	}
	return joinChain(x.chain, new(edgeSlab))
}

func cmpPoint(a, b Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }

// nest gives every loose hole to the smallest region around it.
func (r *arrangement) nest() (Shape, bool) {
	x := &r.ex
	if len(x.regions) == 0 {
		return nil, len(x.holes) == 0
	}
	if len(x.holes) > 0 {
		for i := range x.regions {
			x.regions[i].box = x.regions[i].Outer.Box()
			x.regions[i].area = x.regions[i].Outer.Area()
		}
	}
	for _, h := range x.holes {
		e := h[0]
		for i := range h {
			if h[i].Length() > e.Length() {
				e = h[i]
			}
		}
		m, best := e.Mid(), -1
		for i := range x.regions {
			g := &x.regions[i]
			if g.box.Contains(m) && (best < 0 || g.area < x.regions[best].area) && g.Outer.Contains(m) {
				best = i
			}
		}
		if best < 0 {
			return nil, false
		}
		x.regions[best].Holes = append(x.regions[best].Holes, h)
	}
	s := make(Shape, len(x.regions))
	for i := range x.regions {
		s[i] = x.regions[i].Region
		x.regions[i] = regionBox{} // the buffer must not keep results alive
	}
	clear(x.holes)
	clear(x.loops[:cap(x.loops)])
	s.sort()
	return s, true
}
