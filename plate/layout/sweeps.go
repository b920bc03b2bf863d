package layout

import (
	"math"

	"platewright/plate/geom"
)

// A sweep is a profile whose height depends only on the distance w from the chain that it is carried along, measured to
// the chain's left. The band between the chain and its offset by w has an area of B(w) = L·w − K·w²: L is the length of
// the chain, and K half the angle that it turns through in arcs, plus tan(φ/2) for every sharp corner that turns left by φ
// (two straight bands overlap in a kite there), less φ/2 for one that turns right (a sector closes the gap). Integrating B
// over the height of the profile gives the volume: Pappus' theorem, edge by edge and about each corner.
//
// For a chamfer of leg c the band at depth y below the face is c − y wide, so that V = L·c²/2 − K·c³/3. For a fillet of
// radius r it is r − √(r² − (r−h)²) wide at height h above the floor, and V = L·r²(1 − π/4) − K·r³(5/3 − π/2).
//
// A sharp corner that turns left between a line and an arc, or two arcs, has a mitre that is no such term. There the bands
// are measured from the offset itself and integrated by Gauss's rule, to rounding.

// smooth is the sine of the turn below which two edges are tangent.
const smooth = 1e-6

// corner is how a contour turns at the vertex from e to f: the angle, positive to the left.
func corner(e, f *geom.Edge) float64 {
	t, u := e.TangentB(), f.TangentA()
	a := math.Atan2(t.Cross(u), t.Dot(u))
	if math.Abs(a) < smooth {
		return 0
	}
	return a
}

// bandTerms are L and K of a closed contour. exact is false where it has a corner that they do not hold for.
func bandTerms(c geom.Contour) (length, k float64, exact bool) {
	exact = true
	for i := range c {
		e, f := &c[i], &c[(i+1)%len(c)]
		length += e.Length()
		k += e.Sweep() / 2
		if len(c) == 1 {
			break
		}
		switch a := corner(e, f); {
		case a > 0:
			k += math.Tan(a / 2)
			exact = exact && !e.IsArc() && !f.IsArc()
		case a < 0:
			k += a / 2
		}
	}
	return length, k, exact
}

// Terms are the length L of the chain and the K of its bands: the band between the chain and its offset by w has the area
// L·w − K·w². exact is false where a sharp corner next to an arc makes that an approximation.
func (s *Sweep) Terms() (length, k float64, exact bool) {
	exact = true
	for _, c := range s.Along {
		l, m, e := bandTerms(c)
		length, k, exact = length+l, k+m, exact && e
	}
	return length, k, exact
}

// Band is the area in mm² between the chain and its offset by w ≤ Leg.
func (s *Sweep) Band(w float64) float64 {
	l, k, exact := s.Terms()
	if exact {
		return l*w - k*w*w
	}
	a := 0.0
	for _, c := range s.Along {
		a += c.Area()
	}
	for _, c := range s.Offset(w) {
		a -= c.Area()
	}
	return a
}

// Offset is the chain moved to its left by w ≤ Leg, edge by edge: arcs keep their centres, corners that turn left are
// mitred, corners that turn right get an arc about them. A sweep holds only chains for which this does not cross itself.
func (s *Sweep) Offset(w float64) []geom.Contour {
	out := make([]geom.Contour, 0, len(s.Along))
	for _, c := range s.Along {
		if o := offsetContour(c, w); len(o) > 0 {
			out = append(out, o)
		}
	}
	return out
}

func offsetContour(c geom.Contour, w float64) geom.Contour {
	n := len(c)
	if n == 1 {
		e := c[0]
		if e.R -= float64(e.Dir) * w; e.R <= geomGone {
			return nil
		}
		e.A = e.C.Add(e.A.Sub(e.C).Unit().Mul(e.R))
		e.B = e.A
		return geom.Contour{e}
	}
	out := make(geom.Contour, 0, n+4)
	start, turned := offsetCorner(&c[n-1], &c[0], w)
	for i, e := range c {
		next := &c[(i+1)%n]
		if turned { // the join before has brought us to the end of its arc
			start = e.A.Add(e.TangentA().Perp().Mul(w))
		}
		to, join := offsetCorner(&c[i], next, w)
		if e.IsArc() {
			e.R -= float64(e.Dir) * w
		}
		if !e.IsArc() || e.R > geomGone {
			e.A, e.B = start, to
			out = append(out, e)
		}
		if join {
			out = append(out, geom.Edge{A: to, B: next.A.Add(next.TangentA().Perp().Mul(w)), C: next.A, R: w, Dir: -1})
		}
		start, turned = to, join
	}
	return out
}

// geomGone is the radius below which an arc has collapsed into a point.
const geomGone = 1e-9

// offsetCorner is where the offset by w of edge e ends before f: the mitre, the common point of tangent edges, or with join
// the start of an arc about the corner.
func offsetCorner(e, f *geom.Edge, w float64) (at geom.Point, join bool) {
	n, m := e.TangentB().Perp(), f.TangentA().Perp()
	switch a := corner(e, f); {
	case a < 0:
		return e.B.Add(n.Mul(w)), true
	case a == 0:
		return e.B.Add(n.Add(m).Mul(w / 2)), false
	}
	p := e.B.Add(n.Add(m).Mul(w / (1 + n.Dot(m))))
	if !e.IsArc() && !f.IsArc() {
		return p, false
	}
	// Newton's method on the distances from both curves, from the mitre of the tangents.
	for range 20 {
		g, u := leftOf(e, p)
		h, v := leftOf(f, p)
		det := u.Cross(v)
		if det == 0 {
			break
		}
		g, h = w-g, w-h
		step := geom.Pt((g*v.Y-h*u.Y)/det, (h*u.X-g*v.X)/det)
		p = p.Add(step)
		if step.Len() < 1e-13*(1+p.Len()) {
			break
		}
	}
	return p, false
}

// leftOf is how far p lies to the left of the edge's curve, and the direction in which that grows.
func leftOf(e *geom.Edge, p geom.Point) (float64, geom.Point) {
	if !e.IsArc() {
		n := e.TangentA().Perp()
		return n.Dot(p.Sub(e.A)), n
	}
	v := p.Sub(e.C)
	d := float64(e.Dir)
	return d * (e.R - v.Len()), v.Unit().Mul(-d)
}

// Layer is one thin layer of a sweep: everything between the chain and its offset by Width, at Height above the floor of a
// fillet or at depth Height below the face of a chamfer, with the weight of a quadrature rule as its thickness.
type Layer struct{ Width, Height, Weight float64 }

// Layers divides the profile into layers such that sums over them are integrals over the profile, exact to rounding for
// integrands that are polynomials of degree 4 in the width and 2 in the height together.
func (s *Sweep) Layers(fillet bool) []Layer {
	out := make([]Layer, 0, 2*len(gauss))
	for _, g := range gauss {
		for _, sign := range [2]float64{-1, 1} {
			x := 0.5 + sign*g.at/2
			if !fillet {
				out = append(out, Layer{Width: s.Leg * (1 - x), Height: s.Leg * x, Weight: s.Leg * g.weight / 2})
				continue
			}
			// With the angle as variable the circle has no vertical tangent.
			sin, cos := math.Sincos(x * math.Pi / 2)
			out = append(out, Layer{
				Width: s.Leg * (1 - cos), Height: s.Leg * (1 - sin),
				Weight: s.Leg * cos * g.weight * math.Pi / 4,
			})
		}
	}
	return out
}

// gauss is the positive half of Gauss and Legendre's rule of 16 points (abscissae and weights as published by NIST and in
// every handbook of functions; a test checks that they integrate polynomials).
var gauss = [8]struct{ at, weight float64 }{
	{0.0950125098376374401853, 0.189450610455068496285},
	{0.281603550779258913230, 0.182603415044923588867},
	{0.458016777657227386342, 0.169156519395002538189},
	{0.617876244402643748447, 0.149595988816576732081},
	{0.755404408355003033895, 0.124628971255533872052},
	{0.865631202387831743880, 0.0951585116824927848099},
	{0.944575023073232576078, 0.0622535239386478928628},
	{0.989400934991649932596, 0.0271524594117540948518},
}

// setVolume fills in the volume: negative for a fillet, which is metal that stays.
func (s *Sweep) setVolume(fillet bool) {
	l, k, exact := s.Terms()
	r := s.Leg
	switch {
	case fillet && exact:
		s.Volume = -(l*r*r*(1-math.Pi/4) - k*r*r*r*(5.0/3-math.Pi/2))
	case exact:
		s.Volume = l*r*r/2 - k*r*r*r/3
	default:
		s.Volume = 0
		for _, y := range s.Layers(fillet) {
			s.Volume += s.Band(y.Width) * y.Weight
		}
		if fillet {
			s.Volume = -s.Volume
		}
	}
}
