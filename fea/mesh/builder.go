package mesh

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"platewright/plate/geom"
)

// builder makes one mesh.
type builder struct {
	triangulation
	ctx    context.Context
	o      Options
	sub    *geom.Subdivision
	metal  []bool
	point  []int32 // of vertices of the map: their points, or none
	curves []curve
	segs   []segment

	// Of points:
	on    []int32   // the curve that the point is inside of, atCorner, or free
	h     []float64 // longest side wanted there
	floor []float64 // of points on curves: half the length below which segments are not halved for shape

	corners cornerTable
	touched []int32 // triangles changed by force

	segQueue []int32
	wanted   []bool // of segments: is in segQueue
	queue    triQueue
}

const (
	firstPoint = int32(3)  // before it the corners of the outer triangle
	free       = int32(-1) // of on: inside a face
	atCorner   = int32(-2) // of on: a vertex of the map
)

// newPoint adds a point on curve c, atCorner or free.
func (b *builder) newPoint(p geom.Point, on int32) int32 {
	b.on = append(b.on, on)
	b.h = append(b.h, b.o.Size)
	b.floor = append(b.floor, b.o.MinSize)
	return b.addPoint(p)
}

// dropNew takes back the last newPoint.
func (b *builder) dropNew() {
	n := len(b.p) - 1
	b.on, b.h, b.floor = b.on[:n], b.h[:n], b.floor[:n]
	b.dropPoint()
}

func (b *builder) tooFine(p geom.Point) error {
	return fmt.Errorf("mesh: near %.3f,%.3f: %w (%d): ask for a larger Size or MinSize, or raise MaxTriangles", p.X, p.Y, ErrTooFine, b.o.MaxTriangles)
}

// sizeAt is the size asked for at p.
func (b *builder) sizeAt(p geom.Point) (float64, error) {
	if b.o.Field == nil {
		return b.o.Size, nil
	}
	f := b.o.Field(p)
	if !(f > 0) {
		return 0, fmt.Errorf("mesh: Field gives %g at %.3f,%.3f: it must give a positive length everywhere", f, p.X, p.Y)
	}
	return min(f, b.o.Size), nil
}

// outerTriangle starts the triangulation with a triangle far outside the box.
func (b *builder) outerTriangle(box geom.Box) {
	c, r := box.Center(), 16*max(box.Width(), box.Height(), 1e-3)
	for _, d := range [3]geom.Point{{X: -r, Y: -r}, {X: 2 * r, Y: -r}, {X: -r, Y: 2 * r}} {
		b.newPoint(c.Add(d), free)
	}
	b.addTri(tri{v: [3]int32{0, 1, 2}, n: [3]int32{none, none, none}, s: [3]int32{none, none, none}, face: unknown})
	b.at[0], b.at[1], b.at[2] = 0, 0, 0
}

// insertAll puts all points into the triangulation, along a space-filling curve
// so that each is near the one before.
func (b *builder) insertAll() error {
	n := len(b.p) - int(firstPoint)
	var box geom.Box
	for _, p := range b.p[firstPoint:] {
		box = box.Add(p)
	}
	scale := hilbertCells / max(box.Width(), box.Height(), 1e-9)
	type key struct {
		k uint32
		v int32
	}
	keys := make([]key, n)
	for i := range keys {
		v := firstPoint + int32(i)
		q := b.p[v].Sub(box.Min).Mul(scale)
		keys[i] = key{hilbert(uint32(q.X), uint32(q.Y)), v}
	}
	slices.SortFunc(keys, func(x, y key) int { return cmp.Or(cmp.Compare(x.k, y.k), cmp.Compare(x.v, y.v)) })
	t := int32(0)
	for i, k := range keys {
		if i%stepsPerLook == 0 && b.ctx.Err() != nil {
			return b.ctx.Err()
		}
		if !b.insert(k.v, t) {
			return fmt.Errorf("mesh: two points of the map are both at %.9g,%.9g: build the map again", b.p[k.v].X, b.p[k.v].Y)
		}
		t = b.at[k.v]
	}
	return nil
}

// stepsPerLook is the number of points between two looks at the context: less
// than a millisecond.
const stepsPerLook = 256

const hilbertCells = 1<<15 - 1

// hilbert returns the place of a cell of the 2¹⁵ × 2¹⁵ grid along Hilbert's
// curve.
func hilbert(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1 << 14); s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = hilbertCells-x, hilbertCells-y
			}
			x, y = y, x
		}
	}
	return d
}

// cornerTable lists the curves that meet at each corner, and the least angle of
// metal there.
type cornerTable struct {
	start []int32 // of points up to the last corner
	list  []int32
	angle []float64
}

// at returns the curves at corner v.
func (c *cornerTable) at(v int32) []int32 { return c.list[c.start[v]:c.start[v+1]] }

// departure is a curve as it leaves a corner.
type departure struct {
	v     int32
	angle float64
	left  int32 // face counter-clockwise of it
	right int32
	curve int32
}

// findCorners fills the table of corners. Only corners have been made so far.
func (b *builder) findCorners() {
	n := len(b.p)
	c := &b.corners
	c.start = make([]int32, n+1)
	c.angle = make([]float64, n)
	for i := range c.angle {
		c.angle[i] = 2 * math.Pi
	}
	var ds []departure
	for i := range b.curves {
		k := &b.curves[i]
		ta, tb := k.TangentA(), k.TangentB().Mul(-1)
		if !k.arc {
			ta = k.B.Sub(k.A)
			tb = ta.Mul(-1)
		}
		ds = append(ds,
			departure{k.v[0], math.Atan2(ta.Y, ta.X), k.left, k.right, int32(i)},
			departure{k.v[1], math.Atan2(tb.Y, tb.X), k.right, k.left, int32(i)})
	}
	slices.SortStableFunc(ds, func(x, y departure) int {
		return cmp.Or(cmp.Compare(x.v, y.v), cmp.Compare(x.angle, y.angle))
	})
	for i := 0; i < len(ds); {
		j := i
		for j < len(ds) && ds[j].v == ds[i].v {
			c.list = append(c.list, ds[j].curve)
			j++
		}
		v := ds[i].v
		c.start[v+1] = int32(len(c.list))
		for k := i; k < j && j-i > 1; k++ {
			next := ds[i+(k-i+1)%(j-i)]
			a := next.angle - ds[k].angle
			if a < 0 {
				a += 2 * math.Pi
			}
			// Curves that leave together may be sorted either way round.
			together := a < 1e-3 && (ds[k].right != void || next.left != void)
			if ds[k].left != void || together {
				c.angle[v] = min(c.angle[v], a)
			}
		}
		i = j
	}
	for v := range n {
		c.start[v+1] = max(c.start[v+1], c.start[v])
	}
}

// joined reports whether two points on curves lie on one curve, or on two that
// meet at a corner.
func (b *builder) joined(p, q int32) bool {
	curvesOf := func(v int32, one *[1]int32) []int32 {
		if b.on[v] == atCorner {
			return b.corners.at(v)
		}
		one[0] = b.on[v]
		return one[:]
	}
	var op, oq [1]int32
	for _, i := range curvesOf(p, &op) {
		for _, j := range curvesOf(q, &oq) {
			a, c := &b.curves[i].v, &b.curves[j].v
			if i == j || a[0] == c[0] || a[0] == c[1] || a[1] == c[0] || a[1] == c[1] {
				return true
			}
		}
	}
	return false
}
