package geom

import (
	"fmt"
	"math"
)

// Point is a point or a vector in the plane, mm.
type Point struct{ X, Y float64 }

// Pt is shorthand for Point{x, y}.
func Pt(x, y float64) Point { return Point{x, y} }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p times s.
func (p Point) Mul(s float64) Point { return Point{p.X * s, p.Y * s} }

// Dot returns the scalar product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of the vector product, positive when q points
// to the left of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Len returns the length of the vector.
func (p Point) Len() float64 { return math.Sqrt(p.X*p.X + p.Y*p.Y) }

// Dist returns the distance between two points.
func (p Point) Dist(q Point) float64 { return p.Sub(q).Len() }

// Unit returns the vector of length one in the direction of p; the zero vector
// stays zero.
func (p Point) Unit() Point {
	l := math.Hypot(p.X, p.Y)
	if l == 0 {
		return Point{}
	}
	return Point{p.X / l, p.Y / l}
}

// Perp returns p turned left by a quarter turn: the left normal.
func (p Point) Perp() Point { return Point{-p.Y, p.X} }

// Rotate returns p turned counter-clockwise about the origin by rad radians.
func (p Point) Rotate(rad float64) Point {
	s, c := math.Sincos(rad)
	return Point{p.X*c - p.Y*s, p.X*s + p.Y*c}
}

// IsFinite reports whether both coordinates are numbers.
func (p Point) IsFinite() bool {
	return !math.IsNaN(p.X-p.X) && !math.IsNaN(p.Y-p.Y)
}

// String gives the point as "x,y".
func (p Point) String() string { return fmt.Sprintf("%g,%g", p.X, p.Y) }

func (p Point) lerp(q Point, t float64) Point {
	return Point{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

func dist2(p, q Point) float64 {
	x, y := p.X-q.X, p.Y-q.Y
	return x*x + y*y
}

// Box is a rectangle along the axes. The zero Box is empty.
//
// A box that holds the origin and nothing else would look like the zero Box;
// the methods give it a negative zero in Min.X, which compares equal and is
// harmless to arithmetic, to tell the two apart.
type Box struct{ Min, Max Point }

// Empty reports whether the box holds no point.
func (b Box) Empty() bool {
	if b == (Box{}) {
		return !math.Signbit(b.Min.X)
	}
	return !(b.Min.X <= b.Max.X && b.Min.Y <= b.Max.Y)
}

// mark keeps a box of the origin alone from looking empty.
func (b Box) mark() Box {
	if b == (Box{}) {
		b.Min.X = math.Copysign(0, -1)
	}
	return b
}

// Add returns the smallest box that holds b and p.
func (b Box) Add(p Point) Box {
	if b.Empty() {
		return Box{p, p}.mark()
	}
	return Box{
		Point{min(b.Min.X, p.X), min(b.Min.Y, p.Y)},
		Point{max(b.Max.X, p.X), max(b.Max.Y, p.Y)},
	}.mark()
}

// Union returns the smallest box that holds both.
func (b Box) Union(c Box) Box {
	if b.Empty() {
		return c
	}
	if c.Empty() {
		return b
	}
	return Box{
		Point{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)},
		Point{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)},
	}.mark()
}

// Grow returns the box with every side moved outwards by d. An empty box stays
// empty; a box shrunk past its middle becomes empty.
func (b Box) Grow(d float64) Box {
	if b.Empty() {
		return Box{}
	}
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}.mark()
}

// Contains reports whether p is in the box or on its border.
func (b Box) Contains(p Point) bool {
	return !b.Empty() && p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Overlaps reports whether the boxes share a point.
func (b Box) Overlaps(c Box) bool {
	return !b.Empty() && !c.Empty() &&
		b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Width returns the extent along x, zero when empty.
func (b Box) Width() float64 {
	if b.Empty() {
		return 0
	}
	return b.Max.X - b.Min.X
}

// Height returns the extent along y, zero when empty.
func (b Box) Height() float64 {
	if b.Empty() {
		return 0
	}
	return b.Max.Y - b.Min.Y
}

// Center returns the middle of the box.
func (b Box) Center() Point {
	return Point{(b.Min.X + b.Max.X) / 2, (b.Min.Y + b.Max.Y) / 2}
}

// gap returns the least distance between two non-empty boxes.
func (b *Box) gap(c *Box) float64 {
	x := max(0, b.Min.X-c.Max.X, c.Min.X-b.Max.X)
	y := max(0, b.Min.Y-c.Max.Y, c.Min.Y-b.Max.Y)
	if x == 0 {
		return y
	}
	if y == 0 {
		return x
	}
	return math.Sqrt(x*x + y*y)
}
