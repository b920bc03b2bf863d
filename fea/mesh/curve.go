package mesh

import (
	"fmt"
	"math"

	"platewright/plate/geom"
)

// curve is an edge of the map with metal on at least one side.
type curve struct {
	geom.Edge
	id          int32    // of the edge in the map
	v           [2]int32 // points of the triangulation at its ends
	left, right int32    // face with metal, or void
	arc         bool     // to be kept round; arcs too short to have a shape are straight
	turn        float64  // largest sweep of one segment
}

// shortArc is the length below which an arc is taken as straight. Its ends may
// lie off the circle by the 2 µm within which the map merges points, so a
// shorter one has no direction; its height over the chord is below 1e-5 mm for
// all radii above 1e-4 mm.
const shortArc = 1e-4

// segment is a stretch of a curve that is a side of triangles: from point a to
// b, in the direction of the curve.
type segment struct {
	a, b, curve int32
	stuck       bool // cannot be split: something is in the way of its arc
}

// middle returns the point of the curve half way between two points of it that
// are at most a third of a turn apart.
func (c *curve) middle(a, b geom.Point) geom.Point {
	m := geom.Pt((a.X+b.X)/2, (a.Y+b.Y)/2)
	if !c.arc {
		return m
	}
	// Towards the middle of the chord: an error at the ends turns it by no more
	// than that error over the radius, however short the chord.
	return c.C.Add(m.Sub(c.C).Unit().Mul(c.R))
}

// along returns the point of the curve at the straight distance d from its point
// a, on the way to b.
func (c *curve) along(a, b geom.Point, d float64) geom.Point {
	if !c.arc {
		return a.Add(b.Sub(a).Unit().Mul(d))
	}
	phi := 2 * math.Asin(min(1, d/(2*c.R)))
	if a.Sub(c.C).Cross(b.Sub(c.C)) < 0 {
		phi = -phi
	}
	return c.C.Add(a.Sub(c.C).Unit().Mul(c.R).Rotate(phi))
}

// bulge returns how far the arc from a to b rises over its chord.
func (c *curve) bulge(a, b geom.Point) float64 {
	if !c.arc {
		return 0
	}
	half := a.Dist(b) / 2
	// R − √(R² − half²) without cancellation.
	return half * half / (c.R + math.Sqrt(max(0, (c.R-half)*(c.R+half))))
}

// between reports whether q lies between the chord from a to b and the arc over
// it, the arc itself included with the distance to which the map is exact.
func (c *curve) between(a, b, q geom.Point) bool {
	side := orient(a, b, q)
	if c.Dir > 0 {
		side = -side
	}
	// Counter-clockwise arcs run on the right of their chord.
	return side >= 0 && q.Dist(c.C) <= c.R+mapExact && q.Sub(a).Dot(b.Sub(a)) > 0 && q.Sub(b).Dot(a.Sub(b)) > 0
}

// mapExact is the distance within which the map merges points.
const mapExact = 2e-6

// readCurves takes over the edges of the map that bound metal, and their ends.
func (b *builder) readCurves() {
	b.point = make([]int32, len(b.sub.Vertices))
	for i := range b.point {
		b.point[i] = none
	}
	face := func(f int32) int32 {
		if b.metal[f] {
			return f
		}
		return void
	}
	for i := range b.sub.Edges {
		e := &b.sub.Edges[i]
		c := curve{Edge: e.Edge, id: int32(i), left: face(e.Left), right: face(e.Right)}
		if c.left == void && c.right == void {
			continue
		}
		for k, v := range e.V {
			if b.point[v] < 0 {
				b.point[v] = b.newPoint(b.sub.Vertices[v], atCorner)
			}
			c.v[k] = b.point[v]
		}
		c.A, c.B = b.p[c.v[0]], b.p[c.v[1]]
		c.arc = c.IsArc() && e.Length() > shortArc
		n := b.o.ArcEdges
		if b.o.Arcs != nil && b.o.Arcs[i] != 0 {
			n = b.o.Arcs[i]
		}
		c.turn = 2 * math.Pi / float64(n)
		b.curves = append(b.curves, c)
	}
}

// checkEdge refuses edges that no map has.
func checkEdge(s *geom.Subdivision, e *geom.SubEdge, faces int) error {
	for k, v := range e.V {
		if v < 0 || int(v) >= len(s.Vertices) {
			return fmt.Errorf("end %d is vertex %d of %d", k, v, len(s.Vertices))
		}
		p := s.Vertices[v]
		if !(math.Abs(p.X) <= geom.MaxCoord && math.Abs(p.Y) <= geom.MaxCoord) {
			return fmt.Errorf("its end at %v is beyond %g mm: move the plate nearer to the origin", p, float64(geom.MaxCoord))
		}
		if at := [2]geom.Point{e.A, e.B}[k]; !(at.Dist(p) <= 1e-6) {
			return fmt.Errorf("it ends at %v, its vertex is at %v", at, p)
		}
	}
	for _, f := range [2]int32{e.Left, e.Right} {
		if f < 0 || int(f) >= faces {
			return fmt.Errorf("it borders face %d of %d", f, faces)
		}
	}
	if e.Left == e.Right {
		return fmt.Errorf("face %d is on both sides of it", e.Left)
	}
	switch e.Dir {
	case 0:
		if e.V[0] == e.V[1] {
			return fmt.Errorf("it is a line without length at %v", e.A)
		}
		return nil
	case 1, -1:
	default:
		return fmt.Errorf("its direction is %d, not 0, 1 or -1", e.Dir)
	}
	if !e.C.IsFinite() || !(e.R > 0 && e.R <= 4*geom.MaxRadius) {
		return fmt.Errorf("its radius is %g about %v, outside 0 to %g mm", e.R, e.C, 4.0*geom.MaxRadius)
	}
	for _, p := range [2]geom.Point{e.A, e.B} {
		if d := math.Abs(p.Dist(e.C) - e.R); !(d <= 1e-4+1e-8*e.R) {
			return fmt.Errorf("its end at %v is %g mm off its circle", p, d)
		}
	}
	return nil
}

// divide places points along every curve: even steps no longer than the size
// and the largest sweep of a segment allow.
func (b *builder) divide() error {
	for i := range b.curves {
		c := &b.curves[i]
		l := c.Length()
		h := b.o.Size
		if b.o.Field != nil {
			for _, t := range [3]float64{0.25, 0.5, 0.75} {
				f, err := b.sizeAt(c.At(t))
				if err != nil {
					return err
				}
				h = min(h, f)
			}
		}
		n := math.Ceil(l/(stepSlack*h) - 1e-9)
		if c.arc {
			n = max(n, math.Ceil(math.Abs(c.Sweep())/c.turn-1e-9))
		}
		if c.v[0] == c.v[1] {
			n = max(n, 8)
		}
		if !(n+float64(len(b.segs)) <= float64(b.o.MaxTriangles)) {
			return b.tooFine(c.At(0.5))
		}
		from := c.v[0]
		for k := 1; k < int(n); k++ {
			v := b.newPoint(c.At(float64(k)/n), int32(i))
			b.segs = append(b.segs, segment{a: from, b: v, curve: int32(i)})
			from = v
		}
		b.segs = append(b.segs, segment{a: from, b: c.v[1], curve: int32(i)})
	}
	return nil
}

// clearArcs halves segments of arcs until no point of another lies between chord
// and arc. Then the chords wind about every point as the arcs do.
func (b *builder) clearArcs() error {
	if err := b.partTwins(); err != nil {
		return err
	}
	g := newGrid(b.p[firstPoint:])
	for more := true; more; {
		more = false
		for s := 0; s < len(b.segs); s++ {
			for b.crowded(g, &b.segs[s]) {
				more = true // the new point may crowd a segment that was clear
				seg := b.segs[s]
				if len(b.segs) > b.o.MaxTriangles {
					return b.tooFine(b.p[seg.a])
				}
				v := b.newPoint(b.curves[seg.curve].middle(b.p[seg.a], b.p[seg.b]), seg.curve)
				g.add(b.p[v], v-firstPoint)
				b.segs = append(b.segs, segment{a: v, b: seg.b, curve: seg.curve})
				b.segs[s].b = v
			}
		}
	}
	return nil
}

// partTwins halves arcs that share both ends with another segment, as the two
// sides of a lens do: as chords they would be one.
func (b *builder) partTwins() error {
	first := make(map[[2]int32]int, len(b.segs)) // looked up only, never ranged over
	for s, n := 0, len(b.segs); s < n; s++ {
		key := [2]int32{min(b.segs[s].a, b.segs[s].b), max(b.segs[s].a, b.segs[s].b)}
		o, twin := first[key]
		if !twin {
			first[key] = s
			continue
		}
		// The one that bulges further goes round the other.
		x, rest := s, o
		if b.bulgeOf(o) > b.bulgeOf(s) {
			x, rest = o, s
		}
		seg := b.segs[x]
		if b.bulgeOf(x) == 0 {
			return fmt.Errorf("mesh: edges %d and %d of the map are the same line: build the map again", b.curves[seg.curve].id, b.curves[b.segs[rest].curve].id)
		}
		v := b.newPoint(b.curves[seg.curve].middle(b.p[seg.a], b.p[seg.b]), seg.curve)
		b.segs = append(b.segs, segment{a: v, b: seg.b, curve: seg.curve})
		b.segs[x].b = v
		first[key] = rest
	}
	return nil
}

func (b *builder) bulgeOf(s int) float64 {
	seg := &b.segs[s]
	return b.curves[seg.curve].bulge(b.p[seg.a], b.p[seg.b])
}

// leastSplit is the length of a segment that is not halved any more to tell
// apart what is between it and its arc: there the map itself is not exact.
const leastSplit = 1e-3

// crowded reports whether a point lies between the segment and its arc.
func (b *builder) crowded(g *grid, s *segment) bool {
	c := &b.curves[s.curve]
	if !c.arc {
		return false
	}
	pa, pb := b.p[s.a], b.p[s.b]
	if pa.Dist(pb) < leastSplit {
		return false
	}
	box := geom.Box{}.Add(pa).Add(pb).Add(c.middle(pa, pb)).Grow(c.bulge(pa, pb)/2 + mapExact)
	return g.any(box, func(i int32) bool {
		v := i + firstPoint
		return v != s.a && v != s.b && c.between(pa, pb, b.p[v])
	})
}
