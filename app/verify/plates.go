package verify

import (
	"context"
	"fmt"
	"math"
	"slices"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/plate/geom"
)

// circles are round plates under an even load, clamped and simply supported, thin and thick.
func circles(b *book, t *tables) error {
	const a, q = 100.0, 1e-3
	for _, held := range []string{"clamped", "simply supported"} {
		plate := map[string]string{"clamped": "circular clamped radius a", "simply supported": "circular simply supported"}[held]
		source, err := t.find("plate_bending", record{"plate": plate, "load": "uniform q"})
		if err != nil {
			return err
		}
		for _, ratio := range []float64{10, 20, 100, 300, 1000} {
			h := 2 * a / ratio
			thin := q * a * a * a * a / 64 / bending(aluminium, h)
			if held != "clamped" {
				thin *= (5 + aluminium.Nu) / (1 + aluminium.Nu)
			}
			want := thin + q*a*a/(4*shell.ShearFactor*aluminium.G()*h)
			row := exact(Element, "circular plate, "+held, fmt.Sprintf("deflection at t/L 1/%g, mm", ratio), want, 0.5,
				source["source"]+" ("+source["quantity"]+") and q a²/(4 κ G t) for shear")
			row.Seen = seen(source["seen"])
			b.one(row, func(ctx context.Context) (float64, error) {
				m, err := quarterRing(ctx, 0, a, 8, 40)
				if err != nil {
					return 0, err
				}
				md, err := sheet(m, h, aluminium)
				if err != nil {
					return 0, err
				}
				md.pressure(q)
				return md.deflection(ctx, func(p geom.Point) (h [5]bool) {
					if on(p.Len(), a) {
						h = [5]bool{false, false, true, held == "clamped", held == "clamped"}
					}
					return symmetric(p, h)
				}, geom.Pt(0, 0), 2)
			})
		}
	}
	return nil
}

// navier is the deflection in the middle of a hard simply supported plate a × b under q, with shear: Navier's series of
// R. D. Mindlin's theory, exact for it. The first part is that of the thin plate.
func navier(a, b, q, d, shear float64) (thin, more float64) {
	for m := 1; m < 400; m += 2 {
		for n := 1; n < 400; n += 2 {
			k := math.Pi * math.Pi * (float64(m*m)/a/a + float64(n*n)/b/b)
			c := 16 * q / math.Pi / math.Pi / float64(m*n)
			if (m+n)/2%2 == 0 {
				c = -c
			}
			thin += c / d / k / k
			more += c / shear / k
		}
	}
	return thin, more
}

// rectangles are plates a × b under an even load. Simply supported is hard: the tilt along the edge is held too.
func rectangles(b *book, t *tables) error {
	const a, q = 100.0, 1e-3
	for _, held := range []string{"simply supported", "clamped"} {
		for _, ratio := range []string{"1.0", "1.5", "2.0"} {
			row, err := t.row(Element, "rectangular plate, "+held+", b/a "+ratio, "", 0.5, "plate_bending",
				record{"plate": "rect " + held, "load": "uniform q", "b_over_a": ratio, "quantity": "w_max = alpha q a^4/D (a short)"})
			if err != nil {
				return err
			}
			long := a * map[string]float64{"1.0": 1, "1.5": 1.5, "2.0": 2}[ratio]
			for _, slender := range []float64{100, 300, 1000} {
				h := a / slender
				// Shear, at most 0.2 % here, is taken off: the table is that of thin plates.
				_, shear := navier(a, long, q, bending(aluminium, h), shell.ShearFactor*aluminium.G()*h)
				r := row
				r.Quantity = fmt.Sprintf("α = w D/q a⁴ at t/L 1/%g, without shear", slender)
				b.one(r, func(ctx context.Context) (float64, error) {
					w, err := rectangular(ctx, a, long, h, q, aluminium, held == "clamped")
					return (w - shear) * bending(aluminium, h) / q / a / a / a / a, err
				})
			}
		}
	}
	for _, slender := range []float64{10, 20} {
		h := a / slender
		thin, shear := navier(a, 1.5*a, q, bending(aluminium, h), shell.ShearFactor*aluminium.G()*h)
		b.one(exact(Element, "rectangular plate, simply supported, b/a 1.5", fmt.Sprintf("deflection at t/L 1/%g, mm", slender), thin+shear, 0.5,
			"Navier's series with shear, R. D. Mindlin's theory (hard support)"), func(ctx context.Context) (float64, error) {
			return rectangular(ctx, a, 1.5*a, h, q, aluminium, false)
		})
	}
	return macNealPlates(b, t)
}

// macNealPlates are 2 wide and 0.0001 thick: lengths over thickness of 20 000, where an element that locks shows nothing.
func macNealPlates(b *book, t *tables) error {
	for _, c := range []struct {
		definition, name string
		long             float64
		clamped          bool
	}{
		{"a=2 b=2 t=1e-4 E=1.7472e7 nu=0.3, q=1e-4, simply supported", "simply supported, b/a 1", 2, false},
		{"b=10, simply supported, q", "simply supported, b/a 5", 10, false},
		{"b=2 clamped, q", "clamped, b/a 1", 2, true},
		{"b=10 clamped, q", "clamped, b/a 5", 10, true},
	} {
		row, err := t.row(Element, "MacNeal–Harder, rectangular plate, "+c.name, "deflection in the middle", 2, "fe_benchmarks",
			record{"problem": "MacNeal-Harder rectangular plate", "definition": c.definition})
		if err != nil {
			return err
		}
		b.one(row, func(ctx context.Context) (float64, error) {
			return rectangular(ctx, 2, c.long, 1e-4, 1e-4, shell.Material{E: 1.7472e7, Nu: 0.3}, c.clamped)
		})
	}
	return nil
}

// rectangular solves a quarter of a plate a × long and returns the deflection of its middle.
func rectangular(ctx context.Context, a, long, h, q float64, mat shell.Material, clamp bool) (float64, error) {
	m := grid(14, 14+int(4*(min(long/a, 5)-1)), rectangle(a/2, long/2), nil)
	skew(m, a/2, long/2)
	md, err := sheet(m, h, mat)
	if err != nil {
		return 0, err
	}
	md.pressure(q)
	return md.deflection(ctx, func(p geom.Point) (h [5]bool) {
		h = symmetric(p, h)
		if on(p.X, a/2) {
			h[2], h[4], h[3] = true, true, clamp
		}
		if on(p.Y, long/2) {
			h[2], h[3] = true, true
			h[4] = h[4] || clamp
		}
		return h
	}, geom.Pt(0, 0), 2)
}

// skew moves the corner nodes inside a rectangle so that no two elements are alike, and the middle nodes with them.
func skew(m *mesh.Mesh, lx, ly float64) {
	corner := make([]bool, len(m.Nodes))
	for _, tr := range m.Triangles {
		for _, n := range tr.Node[:3] {
			corner[n] = true
		}
	}
	t := m.Triangles[0].Node
	sides := []float64{m.Nodes[t[0]].Dist(m.Nodes[t[1]]), m.Nodes[t[1]].Dist(m.Nodes[t[2]]), m.Nodes[t[2]].Dist(m.Nodes[t[0]])}
	h := slices.Min(sides)
	for i, p := range m.Nodes {
		if x, y := 100*p.X/lx/2, 100*p.Y/lx/2; corner[i] && !on(p.X, 0) && !on(p.X, lx) && !on(p.Y, 0) && !on(p.Y, ly) {
			m.Nodes[i] = geom.Pt(p.X+0.2*h*math.Sin(7*x+3*y), p.Y+0.2*h*math.Cos(5*y-4*x))
		}
	}
	for _, tr := range m.Triangles {
		for k := range 3 {
			m.Nodes[tr.Node[3+k]] = m.Nodes[tr.Node[(k+1)%3]].Add(m.Nodes[tr.Node[(k+2)%3]]).Mul(0.5)
		}
	}
}
