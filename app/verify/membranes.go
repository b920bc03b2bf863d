package verify

import (
	"context"
	"math"

	"platewright/fea/shell"
	"platewright/plate/geom"
)

// membranes are cases in the plane: LE1, Cook, Kirsch and Lamé.
func membranes(b *book, t *tables) error {
	le1, err := t.row(Element, "NAFEMS LE1, elliptic membrane", "σyy at D, MPa", 1, "fe_benchmarks", record{"problem": "NAFEMS LE1"})
	if err != nil {
		return err
	}
	b.one(le1, ellipticMembrane)
	le10, err := t.row(Element, "NAFEMS LE10, thick plate", "σyy at D, MPa", 2, "fe_benchmarks", record{"problem": "NAFEMS LE10"})
	if err != nil {
		return err
	}
	b.one(le10, thickPlate)
	cook, err := t.row(Element, "Cook's membrane", "deflection of the tip", 0.5, "fe_benchmarks", record{"problem": "Cook membrane"})
	if err != nil {
		return err
	}
	b.one(cook, cookMembrane)
	hole := record{"case": "hole in finite strip, tension", "d_over_W": "0", "quantity": "Ktg (gross), hole side, Howland"}
	side, err := t.row(Element, "Kirsch, hole in a wide sheet", "stress at the side over the far one", 1, "stress_concentration", hole)
	if err != nil {
		return err
	}
	hole["quantity"] = "sigma/sigma0 on the load axis edge (compression), Howland"
	front, err := t.row(Element, "Kirsch, hole in a wide sheet", "stress at the front over the far one", 3, "stress_concentration", hole)
	if err != nil {
		return err
	}
	b.add(kirschHole, side, front)
	const inner, outer, p = 20.0, 50.0, 10.0
	b.add(lameRing,
		exact(Element, "Lamé, ring under inner pressure", "hoop stress at the bore, MPa", p*(outer*outer+inner*inner)/(outer*outer-inner*inner), 1,
			"closed form p (b² + a²)/(b² − a²), G. Lamé"),
		exact(Element, "Lamé, ring under inner pressure", "growth of the bore's radius, mm",
			p*inner/aluminium.E*((outer*outer+inner*inner)/(outer*outer-inner*inner)+aluminium.Nu), 1,
			"closed form p a/E ((b² + a²)/(b² − a²) + ν), G. Lamé"))
	return nil
}

// ellipticMembrane: a quarter between two ellipses under 10 MPa from inside on its outer edge; metres there, here mm.
func ellipticMembrane(ctx context.Context) (float64, error) {
	m := grid(16, 14, func(a, b float64) geom.Point {
		s, c := math.Sincos(a * math.Pi / 2)
		in, out := geom.Pt(2000*c, 1000*s), geom.Pt(3250*c, 2750*s)
		return in.Mul(1 - b).Add(out.Mul(b))
	}, nil)
	md, err := sheet(m, 100, shell.Material{E: 210000, Nu: 0.3})
	if err != nil {
		return 0, err
	}
	md.edge(func(p geom.Point) bool { return on(p.X*p.X/3250/3250+p.Y*p.Y/2750/2750, 1) }, func(p shell.SidePoint) shell.Vector {
		return shell.Vector{1000 * p.Normal.X, 1000 * p.Normal.Y} // 10 MPa × 100 mm
	})
	u, err := md.solve(ctx, func(p geom.Point) [5]bool { return flat(on(p.X, 0), on(p.Y, 0)) }, md.f)
	if err != nil {
		return 0, err
	}
	s, err := md.stressAt(md.Recover(u[0]), geom.Pt(2000, 0))
	return s.YY, err
}

func cookMembrane(ctx context.Context) (float64, error) {
	m := grid(10, 10, func(a, b float64) geom.Point { return geom.Pt(48*a, 44*a*(1-b)+(44+16*a)*b) }, nil)
	md, err := sheet(m, 1, shell.Material{E: 1, Nu: 1. / 3})
	if err != nil {
		return 0, err
	}
	md.edge(func(p geom.Point) bool { return on(p.X, 48) }, func(shell.SidePoint) shell.Vector { return shell.Vector{0, 1. / 16} })
	return md.deflection(ctx, func(p geom.Point) [5]bool { return flat(on(p.X, 0), on(p.X, 0)) }, geom.Pt(48, 52), 1)
}

// kirsch is the stress round a hole of radius a in an endless sheet under unit tension along x (G. Kirsch 1898).
func kirsch(a float64, p geom.Point) shell.Stress {
	r, th := p.Len(), math.Atan2(p.Y, p.X)
	q := a * a / r / r
	rr := (1-q)/2 + (1-4*q+3*q*q)/2*math.Cos(2*th)
	tt := (1+q)/2 - (1+3*q*q)/2*math.Cos(2*th)
	rt := -(1 + 2*q - 3*q*q) / 2 * math.Sin(2*th)
	s, c := math.Sincos(th)
	return shell.Stress{XX: rr*c*c + tt*s*s - 2*rt*s*c, YY: rr*s*s + tt*c*c + 2*rt*s*c, XY: (rr-tt)*s*c + rt*(c*c-s*s)}
}

// kirschHole puts Kirsch's tractions on the outer edge of a ring; what the mesh makes of the hole is the result.
func kirschHole(ctx context.Context) ([]float64, error) {
	const a, out, far, t = 10.0, 50.0, 100.0, 5.0
	m, err := quarterRing(ctx, a, out, 40./12, 48)
	if err != nil {
		return nil, err
	}
	md, err := sheet(m, t, aluminium)
	if err != nil {
		return nil, err
	}
	md.edge(func(p geom.Point) bool { return on(p.Len(), out) }, func(p shell.SidePoint) shell.Vector {
		s, o := kirsch(a, p.P), p.Normal
		return shell.Vector{t * far * (s.XX*o.X + s.XY*o.Y), t * far * (s.XY*o.X + s.YY*o.Y)}
	})
	u, err := md.solve(ctx, func(p geom.Point) [5]bool { return flat(on(p.X, 0), on(p.Y, 0)) }, md.f)
	if err != nil {
		return nil, err
	}
	field := md.Recover(u[0])
	side, err := md.stressAt(field, geom.Pt(0, a))
	if err != nil {
		return nil, err
	}
	front, err := md.stressAt(field, geom.Pt(a, 0))
	return []float64{side.XX / far, front.YY / far}, err
}

func lameRing(ctx context.Context) ([]float64, error) {
	const inner, outer, pressure, t = 20.0, 50.0, 10.0, 5.0
	m, err := quarterRing(ctx, inner, outer, 4, 48)
	if err != nil {
		return nil, err
	}
	md, err := sheet(m, t, aluminium)
	if err != nil {
		return nil, err
	}
	md.edge(func(p geom.Point) bool { return on(p.Len(), inner) }, func(p shell.SidePoint) shell.Vector {
		n := p.P.Unit()
		return shell.Vector{pressure * t * n.X, pressure * t * n.Y}
	})
	u, err := md.solve(ctx, func(p geom.Point) [5]bool { return flat(on(p.X, 0), on(p.Y, 0)) }, md.f)
	if err != nil {
		return nil, err
	}
	s, err := md.stressAt(md.Recover(u[0]), geom.Pt(inner, 0))
	return []float64{s.YY, u[0][shell.Unknowns*md.nodeAt(geom.Pt(inner, 0))]}, err
}
