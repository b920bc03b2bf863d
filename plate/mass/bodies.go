package mass

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// takeOthers takes off, or adds, what is no prism: drill points, countersinks, chamfers, floor fillets. Each is divided
// into thin layers by a rule of Gauss that integrates its moments exactly.
func (n *integrals) takeOthers(l *layout.Layout, ref [3]float64) {
	for i := range l.Cuts {
		switch c := &l.Cuts[i]; c.Kind {
		case layout.CutPoint, layout.CutCountersink:
			n.takeFrustum(c, ref)
		case layout.CutFillet, layout.CutChamfer:
			n.takeSweep(c, ref)
		}
	}
}

// addLayer adds a layer of thickness h (negative to take it off) at the height z, whose plane figure has the moments m, all
// about the reference point.
func (n *integrals) addLayer(m geom.Moments, z, h float64) {
	n.v += m.A * h
	n.x += m.Sx * h
	n.y += m.Sy * h
	n.z += m.A * z * h
	n.xx += m.Sxx * h
	n.yy += m.Syy * h
	n.xy += m.Sxy * h
	n.xz += m.Sx * z * h
	n.yz += m.Sy * z * h
	n.zz += m.A * z * z * h
}

// gauss3 is Gauss's rule of three points on [−1, 1], exact to degree 5.
var gauss3 = [3][2]float64{{-0.774596669241483377, 5.0 / 9}, {0, 8.0 / 9}, {0.774596669241483377, 5.0 / 9}}

// takeFrustum takes off a drill point, or a countersink less its hole. The radius is linear in z, so that all integrands are
// of degree 4.
func (n *integrals) takeFrustum(c *layout.Cut, ref [3]float64) {
	x, y := c.Center.X-ref[0], c.Center.Y-ref[1]
	core := c.Inner / 2
	for _, g := range gauss3 {
		f := (1 + g[0]) / 2 // from the narrow end
		r := core + (c.Diameter/2-core)*f
		z := c.Z0 + f*c.Depth() - ref[2]
		if c.Side == plate.Bottom {
			z = c.Z1 - f*c.Depth() - ref[2]
		}
		a, own := math.Pi*(r*r-core*core), math.Pi/4*(r*r*r*r-core*core*core*core)
		n.addLayer(geom.Moments{A: a, Sx: a * x, Sy: a * y, Sxx: own + a*x*x, Syy: own + a*y*y, Sxy: a * x * y}, z, -g[1]/2*c.Depth())
	}
}

// takeSweep takes off a chamfer or adds a fillet. The moments of the band between the chain and its offset by w are those
// of the chain less those of the offset: polynomials of degree 4 in w without a constant, but for mitres next to arcs.
func (n *integrals) takeSweep(c *layout.Cut, ref [3]float64) {
	s := layout.Sweep{Leg: c.Sweep.Leg}
	toRef := geom.Translation(geom.Pt(-ref[0], -ref[1]))
	for _, k := range c.Sweep.Along {
		s.Along = append(s.Along, k.Transform(toRef))
	}
	fillet := c.Kind == layout.CutFillet
	sign, up := -1.0, -1.0 // chamfer: taken off, layers count down from the top face
	if fillet {
		sign, up = 1, 1
	}
	if c.Side == plate.Bottom {
		up = -up
	}
	band := bands(&s)
	for _, y := range s.Layers(fillet) {
		n.addLayer(band(y.Width), c.Sweep.Z+up*y.Height-ref[2], sign*y.Weight)
	}
}

// bands returns the moments of the band of width w as a function.
func bands(s *layout.Sweep) func(w float64) geom.Moments {
	whole := total(s.Along)
	direct := func(w float64) geom.Moments { return whole.Sub(total(s.Offset(w))) }
	if _, _, exact := s.Terms(); !exact {
		return direct
	}
	// Lagrange's interpolation through 0 and four more widths.
	var at [4]geom.Moments
	for i := range at {
		at[i] = direct(s.Leg * float64(i+1) / 4)
	}
	return func(w float64) geom.Moments {
		x := 4 * w / s.Leg
		var m geom.Moments
		for i := range at {
			p := x / float64(i+1)
			for k := 1; k <= 4; k++ {
				if k != i+1 {
					p *= (x - float64(k)) / float64(i+1-k)
				}
			}
			m = m.Add(at[i].Scale(p))
		}
		return m
	}
}

func total(cs []geom.Contour) geom.Moments {
	var m geom.Moments
	for _, c := range cs {
		m = m.Add(c.Moments())
	}
	return m
}

// otherSurface is by how much what is no prism changes the surface, mm².
func otherSurface(c *layout.Cut) float64 {
	switch c.Kind {
	case layout.CutPoint: // its mantle in place of a flat disc
		r := c.Diameter / 2
		return math.Pi * r * (math.Hypot(r, c.Depth()) - r)
	case layout.CutCountersink: // its mantle in place of a ring of the face and a piece of the hole's wall
		r, core := c.Diameter/2, c.Inner/2
		return math.Pi*(r+core)*math.Hypot(r-core, c.Depth()) - math.Pi*(r*r-core*core) - 2*math.Pi*core*c.Depth()
	case layout.CutChamfer: // at 45° it is √2 times the band of the face that it takes away, with as much wall
		l, _, _ := c.Sweep.Terms()
		return (math.Sqrt2-1)*c.Sweep.Band(c.Sweep.Leg) - l*c.Sweep.Leg
	case layout.CutFillet: // a quarter circle r·dθ carried along offsets of length L − 2K·r(1 − cos θ)
		l, k, _ := c.Sweep.Terms()
		r := c.Sweep.Leg
		return r*(l*math.Pi/2-2*k*r*(math.Pi/2-1)) - c.Sweep.Band(r) - l*r
	}
	return 0
}
