package geom

import "math"

// Affine maps the plane so that circles stay circles: it turns, moves, mirrors
// and scales alike in all directions. The zero Affine changes nothing.
type Affine struct {
	// p.X' = a·x - b·y·m + tx, p.Y' = b·x + a·y·m + ty, with m = -1 when
	// mirrored and +1 otherwise.
	a, b, tx, ty float64
	mirror       bool
	set          bool
}

func (t Affine) full() Affine {
	if !t.set {
		t.a, t.set = 1, true
	}
	return t
}

// Translation moves every point by p.
func Translation(p Point) Affine { return Affine{a: 1, tx: p.X, ty: p.Y, set: true} }

// Rotation turns counter-clockwise about the origin by rad radians.
func Rotation(rad float64) Affine {
	s, c := math.Sincos(rad)
	return Affine{a: c, b: s, set: true}
}

// MirrorX changes the sign of x: it mirrors about the y axis.
func MirrorX() Affine { return Affine{a: -1, mirror: true, set: true} }

// Then returns the map that applies t first and u after it.
func (t Affine) Then(u Affine) Affine {
	t, u = t.full(), u.full()
	// The linear parts are complex factors; a mirror conjugates what is before it.
	b := t.b
	if u.mirror {
		b = -b
	}
	o := u.Apply(Point{t.tx, t.ty})
	return Affine{
		a: u.a*t.a - u.b*b, b: u.b*t.a + u.a*b,
		tx: o.X, ty: o.Y, mirror: t.mirror != u.mirror, set: true,
	}
}

// Apply maps a point.
func (t Affine) Apply(p Point) Point {
	t = t.full()
	y := p.Y
	if t.mirror {
		y = -y
	}
	return Point{t.a*p.X - t.b*y + t.tx, t.b*p.X + t.a*y + t.ty}
}

// Scale returns the factor by which lengths grow, always positive.
func (t Affine) Scale() float64 {
	t = t.full()
	if t.b == 0 {
		return math.Abs(t.a)
	}
	if t.a == 0 {
		return math.Abs(t.b)
	}
	l := math.Hypot(t.a, t.b)
	if math.Abs(l-1) < 1e-14 {
		return 1 // a rotation: cos² + sin² up to rounding; radii stay exact
	}
	return l
}

// Mirrored reports whether the map turns the plane over.
func (t Affine) Mirrored() bool { return t.mirror }
