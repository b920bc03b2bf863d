package geom

import (
	"math"
	"slices"
)

// Winding numbers: pieces that follow each other through vertices of degree two
// have the same windings, so one ray for each such chain is enough. The ray
// starts at the middle of the chain's longest piece, where neighbours are
// furthest, and runs across that piece's longer extent, along +x or +y. It
// meets only the pieces listed in its bin.

type bins struct {
	start, item []int32
	lo, scale   float64
	n           int
}

type chainItem struct {
	i   int32
	fwd bool
}

type windScratch struct {
	deg     []int32
	inc     [][2]int32
	members []chainItem
	x, y    bins
}

func (b *bins) at(v float64) int { return min(max(int((v-b.lo)*b.scale), 0), b.n-1) }

// fill sorts the pieces into n bins by the extent of one coordinate.
func (b *bins) fill(pc []piece, lo, hi float64, n int, alongY bool) {
	b.lo, b.n = lo, n
	b.scale = float64(n) / (hi - lo + 1e-9)
	b.start = slices.Grow(b.start[:0], n+2)[:n+2]
	clear(b.start)
	span := func(p *piece) (int, int) {
		u, v := p.A.X, p.B.X
		if alongY {
			u, v = p.A.Y, p.B.Y
		}
		return b.at(min(u, v)), b.at(max(u, v))
	}
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

// wind computes the winding numbers right of every piece.
func (r *arrangement) wind() {
	n := len(r.pc)
	r.rays = 0
	if n == 0 {
		return
	}
	r.degrees()
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i := range r.pc {
		p := &r.pc[i]
		x0, x1 = min(x0, p.A.X, p.B.X), max(x1, p.A.X, p.B.X)
		y0, y1 = min(y0, p.A.Y, p.B.Y), max(y1, p.A.Y, p.B.Y)
	}
	nb := min(1+n/8, 64+4*int(math.Sqrt(float64(n))))
	r.w.x.fill(r.pc, x0, x1, nb, false)
	r.w.y.fill(r.pc, y0, y1, nb, true)
	for i := range r.pc {
		if r.pc[i].chain < 0 {
			r.windChain(int32(i))
		}
	}
}

func (r *arrangement) degrees() {
	w := &r.w
	w.deg = slices.Grow(w.deg[:0], len(r.vs))[:len(r.vs)]
	clear(w.deg)
	w.inc = slices.Grow(w.inc[:0], len(r.vs))[:len(r.vs)]
	for i := range r.pc {
		p := &r.pc[i]
		for _, v := range [2]int32{p.a, p.b} {
			if w.deg[v] < 2 {
				w.inc[v][w.deg[v]] = int32(i)
			}
			w.deg[v]++
		}
		p.chain = -1
	}
}

// windChain collects the chain through piece i and sets its windings.
func (r *arrangement) windChain(i int32) {
	w := &r.w
	w.members = append(w.members[:0], chainItem{i, true})
	r.pc[i].chain = i
	for side := 0; side < 2; side++ {
		cur, fwd := i, true
		for {
			v := r.pc[cur].b
			if (side == 0) != fwd {
				v = r.pc[cur].a
			}
			if w.deg[v] != 2 {
				break
			}
			o := w.inc[v][0]
			if o == cur {
				o = w.inc[v][1]
			}
			if r.pc[o].chain >= 0 {
				break
			}
			r.pc[o].chain = i
			fwd = (r.pc[o].a == v) == (side == 0)
			w.members = append(w.members, chainItem{o, fwd})
			cur = o
		}
	}
	best, longest := 0, -1.0
	for k, m := range w.members {
		if l := dist2(r.pc[m.i].A, r.pc[m.i].B); l > longest {
			best, longest = k, l
		}
	}
	r.rays++
	b := w.members[best]
	right := r.ray(b.i)
	left := [2]int32{right[0] + r.pc[b.i].d[0], right[1] + r.pc[b.i].d[1]}
	for _, m := range w.members {
		if m.fwd == b.fwd {
			r.pc[m.i].r = right
		} else {
			r.pc[m.i].r = left
		}
	}
}

// ray returns the winding numbers right of piece i.
func (r *arrangement) ray(i int32) [2]int32 {
	p := &r.pc[i]
	m := p.mid()
	d := p.B.Sub(p.A)
	var s [2]int32
	if math.Abs(d.Y) >= math.Abs(d.X) {
		for _, j := range r.w.y.list(m.Y) {
			if k := r.pc[j].crossX(m); k != 0 && j != i {
				s[0] += k * r.pc[j].d[0]
				s[1] += k * r.pc[j].d[1]
			}
		}
		if d.Y > 0 {
			return s // +x is the right side
		}
	} else {
		for _, j := range r.w.x.list(m.X) {
			if k := r.pc[j].crossY(m); k != 0 && j != i {
				s[0] += k * r.pc[j].d[0]
				s[1] += k * r.pc[j].d[1]
			}
		}
		if d.X < 0 {
			return s // +y is the right side
		}
	}
	return [2]int32{s[0] - p.d[0], s[1] - p.d[1]}
}

// crossX returns how the ray from m along +x meets the piece: +1 upwards, -1
// downwards, 0 not.
func (q *piece) crossX(m Point) int32 {
	if (q.A.Y <= m.Y) == (q.B.Y <= m.Y) || max(q.A.X, q.B.X) < m.X {
		return 0
	}
	if min(q.A.X, q.B.X) <= m.X && q.xAt(m.Y) <= m.X {
		return 0
	}
	if q.B.Y > q.A.Y {
		return 1
	}
	return -1
}

// crossY is crossX for the ray along +y: +1 leftwards, -1 rightwards.
func (q *piece) crossY(m Point) int32 {
	if (q.A.X <= m.X) == (q.B.X <= m.X) || max(q.A.Y, q.B.Y) < m.Y {
		return 0
	}
	if min(q.A.Y, q.B.Y) <= m.Y && q.yAt(m.X) <= m.Y {
		return 0
	}
	if q.B.X < q.A.X {
		return 1
	}
	return -1
}

// xAt returns where the piece crosses the height y.
func (q *piece) xAt(y float64) float64 {
	if q.dir == 0 {
		return q.A.X + (y-q.A.Y)*(q.B.X-q.A.X)/(q.B.Y-q.A.Y)
	}
	h := y - q.C.Y
	x := math.Sqrt(max(0, (q.R-h)*(q.R+h)))
	if q.A.X+q.B.X < 2*q.C.X {
		x = -x
	}
	return q.C.X + x
}

// yAt returns where the piece crosses the abscissa x.
func (q *piece) yAt(x float64) float64 {
	if q.dir == 0 {
		return q.A.Y + (x-q.A.X)*(q.B.Y-q.A.Y)/(q.B.X-q.A.X)
	}
	h := x - q.C.X
	y := math.Sqrt(max(0, (q.R-h)*(q.R+h)))
	if q.A.Y+q.B.Y < 2*q.C.Y {
		y = -y
	}
	return q.C.Y + y
}
