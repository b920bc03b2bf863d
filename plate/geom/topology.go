package geom

import (
	"cmp"
	"math"
	"slices"
)

// topology is the plane graph made of the pieces of an arrangement: the order of
// the pieces round every vertex, the loops that bound its faces, its connected
// components, and the face in which each component lies.
//
// It never asks for a winding number in the plane: windings are counted from
// the unbounded face inwards, piece by piece, and every piece is checked
// against the counts on its two sides. A crossing that was missed, or an order
// round a vertex that rounding has spoilt, therefore shows: either the graph
// cannot be drawn in the plane, or the counts contradict each other.
type topology struct {
	rot   rotation
	deg   []int32
	comp  unionFind
	left  []int32 // component root → its leftmost vertex, or -1
	roots []int32 // by leftmost vertex
	rim   []int32 // the loop round the outside of each of roots
	host  []int32 // loop → its face
	first []int32 // loop → one of its half-edges
	start []int32 // face → its loops, in list
	list  []int32
	faces int
	y     bins
	wind  [][2]int32
	queue []int32
}

// build finds the faces of an arrangement; false when the graph is not plane.
func (s *topology) build(r *arrangement) bool {
	n, nv := len(r.pc), len(r.vs)
	s.deg = slices.Grow(s.deg[:0], nv)[:nv]
	clear(s.deg)
	s.comp.reset(nv)
	for i := range r.pc {
		p := &r.pc[i]
		s.deg[p.a]++
		s.deg[p.b]++
		s.comp.join(p.a, p.b)
	}
	s.leftmost(r)
	s.rot.reset(2*n, false)
	for h := range int32(2 * n) {
		v := r.from(h)
		s.rot.from[h] = v
		if s.deg[v] > 2 {
			r.leave(h, &s.rot.dep[h])
		}
	}
	s.rot.link(nv)
	used := 0
	for _, d := range s.deg {
		if d > 0 {
			used++
		}
	}
	// Euler: V - E + F = 1 + C, and there are F + C - 1 loops.
	if used-n+s.rot.loops != 2*len(s.roots) {
		return false
	}
	return s.place(r)
}

// leftmost finds the leftmost vertex of every component, and sorts the
// components by it.
func (s *topology) leftmost(r *arrangement) {
	nv := len(r.vs)
	s.left = slices.Grow(s.left[:0], nv)[:nv]
	for i := range s.left {
		s.left[i] = -1
	}
	s.roots = s.roots[:0]
	for v := range int32(nv) {
		if s.deg[v] == 0 {
			continue
		}
		c := s.comp.find(v)
		switch {
		case s.left[c] < 0:
			s.roots = append(s.roots, c)
			s.left[c] = v
		case cmpPoint(r.vs[v], r.vs[s.left[c]]) < 0:
			s.left[c] = v
		}
	}
	slices.SortFunc(s.roots, func(a, b int32) int {
		return cmp.Or(cmpPoint(r.vs[s.left[a]], r.vs[s.left[b]]), cmp.Compare(a, b))
	})
}

// outside returns the loop round the outside of component c: at the leftmost
// vertex all pieces leave to the right, so the outside is left of the last one
// counter-clockwise.
func (s *topology) outside(r *arrangement, c int32) int32 {
	v := s.left[c]
	o := s.rot.out[s.rot.start[v]:s.rot.start[v+1]]
	last := o[0]
	var d, f departure
	r.leave(last, &d)
	at := math.Atan2(d.dir.Y, d.dir.X)
	for _, h := range o[1:] {
		r.leave(h, &f)
		a := math.Atan2(f.dir.Y, f.dir.X)
		x := a - at
		if math.Abs(x) < 1 {
			x = d.to(&f)
		}
		if x > 0 {
			last, d, at = h, f, a
		}
	}
	return s.rot.loop[last]
}

// place numbers the faces and puts the outside of every component into the face
// that its leftmost vertex sees to its left.
func (s *topology) place(r *arrangement) bool {
	n := s.rot.loops
	s.host = slices.Grow(s.host[:0], n)[:n]
	clear(s.host)
	s.rim = s.rim[:0]
	for _, c := range s.roots {
		l := s.outside(r, c)
		if s.host[l] < 0 {
			return false // two components with one outside
		}
		s.host[l] = -1
		s.rim = append(s.rim, l)
	}
	s.faces = 1
	for i := range s.host {
		if s.host[i] == 0 {
			s.host[i] = int32(s.faces)
			s.faces++
		}
	}
	if len(s.roots) > 1 {
		lo, hi := math.Inf(1), math.Inf(-1)
		for i := range r.pc {
			p := &r.pc[i]
			lo, hi = min(lo, p.A.Y, p.B.Y), max(hi, p.A.Y, p.B.Y)
		}
		s.y.fill(r.pc, lo, hi)
	}
	for k, c := range s.roots {
		f := int32(0)
		if k > 0 {
			if h := s.seeLeft(r, c); h >= 0 {
				f = s.host[s.rot.loop[h]]
			}
		}
		if f < 0 {
			return false // the component seen is not placed yet
		}
		s.host[s.rim[k]] = f
	}
	s.listLoops()
	return true
}

// listLoops lists the loops of every face.
func (s *topology) listLoops() {
	n := s.rot.loops
	s.first = slices.Grow(s.first[:0], n)[:n]
	for h, l := range s.rot.loop {
		s.first[l] = int32(h)
	}
	s.start = slices.Grow(s.start[:0], s.faces+2)[:s.faces+2]
	clear(s.start)
	for _, f := range s.host {
		s.start[f+2]++
	}
	for i := 2; i < len(s.start); i++ {
		s.start[i] += s.start[i-1]
	}
	s.list = slices.Grow(s.list[:0], n)[:n]
	for l, f := range s.host {
		s.list[s.start[f+1]] = int32(l)
		s.start[f+1]++
	}
}

// seeLeft returns the half-edge, with the seen side on its left, that the
// leftmost vertex of component c sees to its left, or -1.
func (s *topology) seeLeft(r *arrangement, c int32) int32 {
	v := r.vs[s.left[c]]
	best, bx := int32(-1), math.Inf(-1)
	for _, i := range s.y.list(v.Y) {
		p := &r.pc[i]
		if (p.A.Y <= v.Y) == (p.B.Y <= v.Y) || min(p.A.X, p.B.X) > v.X || s.comp.find(p.a) == c {
			continue
		}
		x := p.xAt(v.Y)
		if x > v.X || x < bx-mergeDist {
			continue
		}
		if best >= 0 && x < bx+mergeDist && !r.furtherRight(i, best) {
			continue
		}
		best, bx = i, x
	}
	if best < 0 {
		return -1
	}
	if r.pc[best].B.Y > r.pc[best].A.Y {
		return 2*best + 1 // it runs upwards: its right side is seen
	}
	return 2 * best
}

// furtherRight reports whether piece i is right of piece j where both cross one
// height, though rounding cannot tell. They cross each other nowhere: from a
// common vertex their order round it decides, else the middle of their common
// heights.
func (r *arrangement) furtherRight(i, j int32) bool {
	for _, h := range [2]int32{2 * i, 2*i + 1} {
		for _, g := range [2]int32{2 * j, 2*j + 1} {
			if r.from(h) != r.from(g) {
				continue
			}
			var d, f departure
			r.leave(g, &d)
			r.leave(h, &f)
			turn := d.to(&f)
			if math.Abs(turn) > 1 {
				// Both run to one side of the ray, so their chords are less than half a
				// turn apart, while directions along it may be a whole half.
				turn = d.B.Sub(d.A).Cross(f.B.Sub(f.A))
			}
			// Seen from the vertex, right is clockwise above it and counter-clockwise
			// below.
			return (turn < 0) == (f.B.Y > f.A.Y)
		}
	}
	p, q := &r.pc[i], &r.pc[j]
	y := (max(min(p.A.Y, p.B.Y), min(q.A.Y, q.B.Y)) + min(max(p.A.Y, p.B.Y), max(q.A.Y, q.B.Y))) / 2
	return p.xAt(y) > q.xAt(y)
}

// walk visits the faces from face 0 outwards, breadth first. For every half-edge
// h with a visited face on its left and another on its right it calls step with
// whether that other face is new; step returns false to stop. Walk reports
// whether all faces were reached and step never stopped it.
func (s *topology) walk(step func(h, here, there int32, fresh bool) bool) bool {
	seen := slices.Grow(s.deg[:0], s.faces)[:s.faces]
	clear(seen)
	s.queue = append(s.queue[:0], 0)
	seen[0] = 1
	for k := 0; k < len(s.queue); k++ {
		f := s.queue[k]
		for _, l := range s.list[s.start[f]:s.start[f+1]] {
			for h, c := s.first[l], s.first[l]; ; {
				g := s.host[s.rot.loop[c^1]]
				if !step(c, f, g, seen[g] == 0) {
					return false
				}
				if seen[g] == 0 {
					seen[g] = 1
					s.queue = append(s.queue, g)
				}
				if c = s.rot.next[c]; c == h {
					break
				}
			}
		}
	}
	s.deg = seen
	return len(s.queue) == s.faces
}

// windings counts both layers over every face and sets them on the pieces;
// false when the counts contradict each other.
func (s *topology) windings(r *arrangement) bool {
	s.wind = slices.Grow(s.wind[:0], s.faces)[:s.faces]
	s.wind[0] = [2]int32{}
	return s.walk(func(h, here, there int32, fresh bool) bool {
		p := &r.pc[h>>1]
		w := s.wind[here]
		// The winding left of a piece is that on its right plus its weight.
		if h&1 == 0 {
			w[0], w[1] = w[0]-p.d[0], w[1]-p.d[1]
			p.r = w
		} else {
			p.r = w
			w[0], w[1] = w[0]+p.d[0], w[1]+p.d[1]
		}
		if fresh {
			s.wind[there] = w
		}
		return s.wind[there] == w
	})
}

// bins lists the pieces by the bands of y that they touch.
type bins struct {
	start, item []int32
	lo, scale   float64
	n           int
}

func (b *bins) at(v float64) int { return min(max(int((v-b.lo)*b.scale), 0), b.n-1) }

func (b *bins) fill(pc []piece, lo, hi float64) {
	n := min(1+len(pc)/8, 64+4*int(math.Sqrt(float64(len(pc)))))
	b.lo, b.n = lo, n
	b.scale = float64(n) / (hi - lo + 1e-9)
	b.start = slices.Grow(b.start[:0], n+2)[:n+2]
	clear(b.start)
	span := func(p *piece) (int, int) { return b.at(min(p.A.Y, p.B.Y)), b.at(max(p.A.Y, p.B.Y)) }
	for i := range pc {
		for s, e := span(&pc[i]); s <= e; s++ {
			b.start[s+2]++
		}
	}
	for i := 2; i < n+2; i++ {
		b.start[i] += b.start[i-1]
	}
	total := int(b.start[n+1])
	b.item = slices.Grow(b.item[:0], total)[:total]
	for i := range pc {
		for s, e := span(&pc[i]); s <= e; s++ {
			b.item[b.start[s+1]] = int32(i)
			b.start[s+1]++
		}
	}
}

func (b *bins) list(v float64) []int32 {
	k := b.at(v)
	return b.item[b.start[k]:b.start[k+1]]
}

// xAt returns where the piece crosses the height y.
func (p *piece) xAt(y float64) float64 {
	if p.dir == 0 {
		return p.A.X + (y-p.A.Y)*(p.B.X-p.A.X)/(p.B.Y-p.A.Y)
	}
	h := y - p.C.Y
	x := math.Sqrt(max(0, (p.R-h)*(p.R+h)))
	if p.A.X+p.B.X < 2*p.C.X {
		x = -x
	}
	return p.C.X + x
}
