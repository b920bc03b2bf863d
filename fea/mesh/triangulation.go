package mesh

import "platewright/plate/geom"

// tri is a triangle of the triangulation while it is built. Side i lies opposite
// corner i, from corner i+1 to corner i+2, the triangle on its left.
type tri struct {
	v    [3]int32 // corners, counter-clockwise
	n    [3]int32 // triangle across side i, or none
	s    [3]int32 // segment on side i, or none
	face int32    // face of the map, or void
}

const (
	none    = int32(-1)
	void    = int32(-1) // of tri.face: no metal
	unknown = int32(-2) // of tri.face: not yet labelled
)

// triangulation is a constrained Delaunay triangulation that grows point by
// point. The first three points are the corners of a triangle far outside, so
// every other point has triangles all round it.
type triangulation struct {
	p  []geom.Point
	at []int32 // a triangle at every point
	t  []tri

	mark  []uint32 // of triangles: stamp of the last search that took them
	stamp uint32
	cav   []int32 // triangles that the next point takes out
	rim   []rimSide
	fresh []int32    // triangles made by the last insertion
	star  []int32    // of points: the new triangle that starts its rim side there
	stack []int32    // of legalise
	cross [][2]int32 // sides crossed, of walkTo
	steps int        // of walks, flips and cavities: the work done
}

// rimSide is a side of the hole that the triangles of cav leave.
type rimSide struct{ from, to, out, seg, face int32 }

// addPoint adds a point that is in no triangle yet.
func (m *triangulation) addPoint(p geom.Point) int32 {
	m.p = append(m.p, settle(p))
	m.at = append(m.at, none)
	m.star = append(m.star, none)
	return int32(len(m.p) - 1)
}

// dropPoint takes back the last addPoint.
func (m *triangulation) dropPoint() {
	n := len(m.p) - 1
	m.p, m.at, m.star = m.p[:n], m.at[:n], m.star[:n]
}

func (m *triangulation) addTri(t tri) int32 {
	m.t = append(m.t, t)
	m.mark = append(m.mark, 0)
	return int32(len(m.t) - 1)
}

// corner returns which corner of t is v, which must be one.
func (t *tri) corner(v int32) int {
	switch v {
	case t.v[0]:
		return 0
	case t.v[1]:
		return 1
	}
	return 2
}

// beside returns which side of t faces triangle o, which must be a neighbour.
func (t *tri) beside(o int32) int {
	switch o {
	case t.n[0]:
		return 0
	case t.n[1]:
		return 1
	}
	return 2
}

// relink makes nt the neighbour of t where o was.
func (m *triangulation) relink(t, o, nt int32) {
	if t >= 0 {
		m.t[t].n[m.t[t].beside(o)] = nt
	}
}

// edge finds the triangle with the side a → b on its boundary, counter-clockwise,
// and the index of that side; none when a and b are not joined. One of the two
// must be inside the outer triangle: round its corners triangles do not close.
func (m *triangulation) edge(a, b int32) (t int32, side int) {
	if a < firstPoint {
		o, i := m.edge(b, a)
		if o < 0 {
			return none, 0
		}
		t = m.t[o].n[i]
		return t, m.t[t].beside(o)
	}
	start := m.at[a]
	for t = start; ; {
		tr := &m.t[t]
		i := tr.corner(a)
		if tr.v[(i+1)%3] == b {
			return t, (i + 2) % 3
		}
		if t = tr.n[(i+1)%3]; t == start || t < 0 { // counter-clockwise round a
			return none, 0
		}
	}
}

// locate walks from triangle t to the one that holds p. With bounded set it
// stops at segments and returns the one in its way. A walk in a Delaunay
// triangulation never returns; the count guards against one that is not quite.
func (m *triangulation) locate(p geom.Point, t int32, bounded bool) (at, blocked int32, ok bool) {
	came := none
	for range len(m.t) + 16 {
		m.steps++
		tr := &m.t[t]
		next := none
		for i := range 3 {
			if tr.n[i] == came && came >= 0 {
				continue
			}
			if orient(m.p[tr.v[(i+1)%3]], m.p[tr.v[(i+2)%3]], p) < 0 {
				if bounded && tr.s[i] >= 0 {
					return t, tr.s[i], false
				}
				next = tr.n[i]
				break
			}
		}
		if next < 0 {
			return t, none, true
		}
		came, t = t, next
	}
	return t, none, false
}

// conflict collects into cav the triangles whose circles hold p, starting from
// the seeds and going through no segment other than pass, and into rim the
// sides of the hole they leave.
func (m *triangulation) conflict(p geom.Point, pass int32, seeds ...int32) {
	m.stamp++
	m.cav, m.rim = m.cav[:0], m.rim[:0]
	for _, t := range seeds {
		if m.mark[t] != m.stamp {
			m.mark[t] = m.stamp
			m.cav = append(m.cav, t)
		}
	}
	for k := 0; k < len(m.cav); k++ {
		m.steps++
		t := m.cav[k]
		tr := &m.t[t]
		for i := range 3 {
			o := tr.n[i]
			if tr.s[i] < 0 || tr.s[i] == pass {
				if o >= 0 && m.mark[o] == m.stamp {
					continue
				}
				if o >= 0 && tr.s[i] < 0 {
					v := &m.t[o].v
					if inCircle(m.p[v[0]], m.p[v[1]], m.p[v[2]], p) > 0 {
						m.mark[o] = m.stamp
						m.cav = append(m.cav, o)
						continue
					}
				}
			}
			m.rim = append(m.rim, rimSide{tr.v[(i+1)%3], tr.v[(i+2)%3], o, tr.s[i], tr.face})
		}
	}
}

// starShaped reports whether p sees every side of the rim from inside.
func (m *triangulation) starShaped(p geom.Point) bool {
	for i := range m.rim {
		if !(orient(m.p[m.rim[i].from], m.p[m.rim[i].to], p) > 0) {
			return false
		}
	}
	return len(m.rim) == len(m.cav)+2
}

// fill joins point v to every side of the rim. New triangles take the faces of
// the old ones on their rim side, and are listed in fresh.
func (m *triangulation) fill(v int32) {
	m.fresh = m.fresh[:0]
	for k := range m.rim {
		r := &m.rim[k]
		nt := tri{v: [3]int32{v, r.from, r.to}, n: [3]int32{r.out, none, none}, s: [3]int32{r.seg, none, none}, face: r.face}
		var id int32
		if k < len(m.cav) {
			id = m.cav[k]
		} else {
			id = m.addTri(tri{})
		}
		m.fresh = append(m.fresh, id)
		m.star[r.from] = id
		// The outer neighbour still names the triangle that was here; it finds
		// the side by its corners, for that triangle may already be reused.
		if r.out >= 0 {
			o := &m.t[r.out]
			o.n[(o.corner(r.to)+2)%3] = id
		}
		m.at[r.from] = id
		m.t[id] = nt
	}
	m.at[v] = m.fresh[0]
	for _, id := range m.fresh {
		o := m.star[m.t[id].v[2]]
		m.t[id].n[1] = o
		m.t[o].n[2] = id
	}
}

// insert puts point v into the triangulation near triangle t, across no segment.
// It reports whether it did: not when v coincides with another point.
func (m *triangulation) insert(v, t int32) bool {
	p := m.p[v]
	t, _, ok := m.locate(p, t, false)
	if !ok {
		return false
	}
	for _, c := range m.t[t].v {
		if m.p[c] == p {
			return false
		}
	}
	m.conflict(p, none, t)
	if m.starShaped(p) {
		m.fill(v)
		return true
	}
	return m.insertByFlips(v, t)
}

// insertByFlips puts v into triangle t, or on the side of t that holds it, and
// flips sides until the triangulation is Delaunay again. It needs no star-shaped
// hole. Sides that are segments are not split: a point on one is refused.
func (m *triangulation) insertByFlips(v, t int32) bool {
	p := m.p[v]
	tr := m.t[t]
	on := -1
	for i := range 3 {
		if orient(m.p[tr.v[(i+1)%3]], m.p[tr.v[(i+2)%3]], p) == 0 {
			on = i
		}
	}
	m.cav, m.rim = append(m.cav[:0], t), m.rim[:0]
	add := func(t tri, skip int) {
		for i := range 3 {
			if i != skip {
				m.rim = append(m.rim, rimSide{t.v[(i+1)%3], t.v[(i+2)%3], t.n[i], t.s[i], t.face})
			}
		}
	}
	add(tr, on)
	if on >= 0 {
		o := tr.n[on]
		if o < 0 || tr.s[on] >= 0 {
			return false
		}
		m.cav = append(m.cav, o)
		add(m.t[o], m.t[o].beside(t))
	}
	m.fill(v)
	m.legalise(v)
	return true
}

// legalise flips the sides opposite v, from the triangles of fresh outwards,
// until all are Delaunay or segments. All triangles it makes are at v; it adds
// them to fresh.
func (m *triangulation) legalise(v int32) {
	m.stack = append(m.stack[:0], m.fresh...)
	for len(m.stack) > 0 {
		t := m.stack[len(m.stack)-1]
		m.stack = m.stack[:len(m.stack)-1]
		i := m.t[t].corner(v)
		o := m.t[t].n[i]
		if o < 0 || m.t[t].s[i] >= 0 {
			continue
		}
		d := m.t[o].v[m.t[o].beside(t)]
		c := &m.t[t].v
		if inCircle(m.p[c[0]], m.p[c[1]], m.p[c[2]], m.p[d]) > 0 {
			m.flip(t, i)
			m.fresh = append(m.fresh, o)
			m.stack = append(m.stack, t, o)
		}
	}
}

// flip turns the side i of t, with its neighbour, to the other diagonal. The two
// triangles must form a convex quadrangle of one face. Afterwards t holds the
// old corner i and the end of the side that followed it, the neighbour the
// other; the new diagonal runs from the old corner i to the corner across.
func (m *triangulation) flip(t int32, i int) {
	m.steps++
	o := m.t[t].n[i]
	a, b := m.t[t], m.t[o]
	j := (&b).beside(t)
	p, q := a.v[(i+1)%3], a.v[(i+2)%3] // the old diagonal
	v, d := a.v[i], b.v[j]
	// b runs d, q, p.
	m.t[t] = tri{
		v: [3]int32{v, p, d}, face: a.face,
		n: [3]int32{b.n[(j+1)%3], o, a.n[(i+2)%3]}, s: [3]int32{b.s[(j+1)%3], none, a.s[(i+2)%3]},
	}
	m.t[o] = tri{
		v: [3]int32{v, d, q}, face: a.face,
		n: [3]int32{b.n[(j+2)%3], a.n[(i+1)%3], t}, s: [3]int32{b.s[(j+2)%3], a.s[(i+1)%3], none},
	}
	m.relink(b.n[(j+1)%3], o, t)
	m.relink(a.n[(i+1)%3], t, o)
	m.at[v], m.at[p], m.at[d], m.at[q] = t, t, t, o
}

// ring calls f for every triangle at v, counter-clockwise, until f is false.
func (m *triangulation) ring(v int32, f func(t int32, i int) bool) {
	start := m.at[v]
	for t := start; ; {
		i := m.t[t].corner(v)
		if !f(t, i) {
			return
		}
		if t = m.t[t].n[(i+1)%3]; t == start || t < 0 {
			return
		}
	}
}

// walkTo follows the straight line from point a to the place q and collects in
// cross the sides that it crosses. It ends at the point goal, or, with goal none,
// in the triangle that holds q. It stops at a segment, or at a point exactly on
// the line, and returns that.
func (m *triangulation) walkTo(a int32, q geom.Point, goal int32) (seg, point int32, ok bool) {
	m.cross = m.cross[:0]
	pa := m.p[a]
	t, side := none, 0
	seg, point = none, none
	m.ring(a, func(k int32, i int) bool {
		r, l := m.t[k].v[(i+1)%3], m.t[k].v[(i+2)%3]
		if r == goal && goal >= 0 {
			t = k
			return false
		}
		or, ol := orient(pa, m.p[r], q), orient(pa, m.p[l], q)
		if or == 0 && m.p[r].Sub(pa).Dot(q.Sub(pa)) > 0 {
			point, t, side = r, k, i
			return false
		}
		if or > 0 && ol < 0 {
			t, side = k, i
			return false
		}
		return true
	})
	if t < 0 {
		return none, none, false
	}
	if point >= 0 {
		// The line runs along a side; a place short of the point is reached.
		if goal < 0 && m.p[point].Dist(pa) > q.Dist(pa) {
			return none, none, true
		}
		return none, point, false
	}
	if goal >= 0 && m.t[t].v[(m.t[t].corner(a)+1)%3] == goal {
		return none, none, true
	}
	for range len(m.t) + 16 {
		m.steps++
		tr := &m.t[t]
		r, l := tr.v[(side+1)%3], tr.v[(side+2)%3]
		if goal < 0 && orient(m.p[r], m.p[l], q) >= 0 {
			return none, none, true
		}
		if tr.s[side] >= 0 {
			return tr.s[side], none, false
		}
		m.cross = append(m.cross, [2]int32{r, l})
		o := tr.n[side]
		j := m.t[o].beside(t)
		apex := m.t[o].v[j]
		if apex == goal {
			return none, none, true
		}
		switch s := orient(pa, q, m.p[apex]); {
		case s == 0:
			if goal < 0 && m.p[apex].Dist(pa) > q.Dist(pa) {
				return none, none, true
			}
			return none, apex, false
		case s > 0: // the apex is left of the line: it leaves between r and the apex
			side = (j + 1) % 3
		default:
			side = (j + 2) % 3
		}
		// o runs apex, l, r: side j+1 lies opposite l, from r to the apex.
		t = o
	}
	return none, none, false
}
