package geom

import (
	"cmp"
	"slices"
)

// Region is one connected area: inside Outer and outside every one of Holes.
// Outer runs counter-clockwise, holes clockwise. Contours of one region may
// touch in single points.
type Region struct {
	Outer Contour
	Holes []Contour
}

// Shape is a set of regions that share no area; nil is empty. Results are
// ordered by the lower left corner of the outer box: x first, then y.
type Shape []Region

// RegionOf returns the shape bounded by one contour. A clockwise contour is
// reversed; an empty one gives the empty shape.
func RegionOf(c Contour) Shape {
	if len(c) == 0 {
		return nil
	}
	if c.Area() < 0 {
		c = c.Reverse()
	}
	return Shape{{Outer: c}}
}

// Contours returns the outer contour and the holes.
func (r Region) Contours() []Contour {
	o := make([]Contour, 0, 1+len(r.Holes))
	if len(r.Outer) > 0 {
		o = append(o, r.Outer)
	}
	return append(o, r.Holes...)
}

// Contours returns the contours of all regions, each outer one before its holes.
func (s Shape) Contours() []Contour {
	var o []Contour
	for _, r := range s {
		o = append(o, r.Contours()...)
	}
	return o
}

// Box returns the smallest box that holds the region.
func (r Region) Box() Box { return r.Outer.Box() }

// Box returns the smallest box that holds the shape.
func (s Shape) Box() Box {
	var b Box
	for _, r := range s {
		b = b.Union(r.Box())
	}
	return b
}

// Contains reports whether p is inside the region. For p on a contour it
// answers for one of the two sides.
func (r Region) Contains(p Point) bool {
	if !r.Outer.Contains(p) {
		return false
	}
	for _, h := range r.Holes {
		if h.Contains(p) {
			return false
		}
	}
	return true
}

// Contains reports whether p is inside one of the regions.
func (s Shape) Contains(p Point) bool {
	for _, r := range s {
		if r.Contains(p) {
			return true
		}
	}
	return false
}

// Transform returns the region mapped by t.
func (r Region) Transform(t Affine) Region {
	o := Region{Outer: r.Outer.Transform(t)}
	for _, h := range r.Holes {
		o.Holes = append(o.Holes, h.Transform(t))
	}
	return o
}

// Transform returns the shape mapped by t.
func (s Shape) Transform(t Affine) Shape {
	if s == nil {
		return nil
	}
	o := make(Shape, len(s))
	for i, r := range s {
		o[i] = r.Transform(t)
	}
	o.sort()
	return o
}

// Length returns the length of all contours.
func (s Shape) Length() float64 {
	l := 0.0
	for _, r := range s {
		for _, c := range r.Contours() {
			l += c.Length()
		}
	}
	return l
}

func cmpBox(a, b Box) int {
	return cmp.Or(
		cmp.Compare(a.Min.X, b.Min.X), cmp.Compare(a.Min.Y, b.Min.Y),
		cmp.Compare(a.Max.X, b.Max.X), cmp.Compare(a.Max.Y, b.Max.Y),
	)
}

// sort puts regions and holes in the order promised by Shape.
func (s Shape) sort() {
	for i := range s {
		sortContours(s[i].Holes)
	}
	if len(s) < 2 {
		return
	}
	type keyed struct {
		b Box
		r Region
	}
	k := make([]keyed, len(s))
	for i := range s {
		k[i] = keyed{s[i].Box(), s[i]}
	}
	slices.SortStableFunc(k, func(a, b keyed) int { return cmpBox(a.b, b.b) })
	for i := range s {
		s[i] = k[i].r
	}
}

func sortContours(cs []Contour) {
	if len(cs) < 2 {
		return
	}
	type keyed struct {
		b Box
		c Contour
	}
	k := make([]keyed, len(cs))
	for i := range cs {
		k[i] = keyed{cs[i].Box(), cs[i]}
	}
	slices.SortStableFunc(k, func(a, b keyed) int { return cmpBox(a.b, b.b) })
	for i := range cs {
		cs[i] = k[i].c
	}
}
