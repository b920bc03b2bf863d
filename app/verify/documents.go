package verify

import (
	"context"
	"fmt"
	"math"

	"platewright/export/report"
	"platewright/fea"
	"platewright/fea/shell"
	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/material"
)

// alloy of the documents; as stiff as the element cases' aluminium.
var alloy = material.Material{
	Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Young: 70000, Poisson: 0.3, Proof: 240, Ultimate: 295, Group: "N", Source: "round figures for checks",
}

// document is a plate of the given outline and thickness with nothing in it.
func document(thick float64, outline ...plate.Corner) plate.Plate {
	return plate.Plate{
		Name: "check", NextID: 1000,
		Stock: plate.Stock{
			Material: alloy, Nominal: thick, Finished: thick, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 5},
		},
		Outline:   plate.Outline{Corners: outline},
		Machining: plate.Machining{Turn: plate.AxisX, Shop: "example"},
	}
}

func box(w, h float64) []plate.Corner {
	return []plate.Corner{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}
}

// filed is the document as it comes back from a file.
func filed(p plate.Plate) (plate.Plate, error) {
	data, err := plate.Encode(p)
	if err != nil {
		return p, err
	}
	return plate.Decode(data)
}

func derive(p plate.Plate) (*layout.Layout, error) {
	p, err := filed(p)
	if err != nil {
		return nil, err
	}
	return layout.Derive(p)
}

// made is the report of a document with the parts wanted; a part that could not be computed is an error.
func made(ctx context.Context, p plate.Plate, want report.Parts) (report.Report, error) {
	p, err := filed(p)
	if err != nil {
		return report.Report{}, err
	}
	r, err := report.Build(ctx, report.Inputs{Plate: p, Want: want})
	if err != nil {
		return r, err
	}
	if want&report.Mass != 0 && !r.Mass.OK || want&report.Sections != 0 && !r.Sections.OK {
		return r, fmt.Errorf("the report lacks a part; its findings are %v", r.Findings())
	}
	return r, nil
}

// analysed solves all loads of a document as one limit case.
func analysed(ctx context.Context, p plate.Plate, o fea.Options) (*fea.Result, error) {
	c := plate.LoadCase{ID: 900, Name: "all loads", Kind: plate.Limit, Factor: 1, Origin: plate.Origin{Kind: plate.Assumed}}
	for _, l := range p.Loads {
		c.Loads = append(c.Loads, plate.LoadFactor{Load: l.ID, Factor: 1})
	}
	p.Cases = []plate.LoadCase{c}
	l, err := derive(p)
	if err != nil {
		return nil, err
	}
	return fea.Solve(ctx, l, o, l.Plate.Cases)
}

// along is the place between two points of the outline.
func along(x1, y1, x2, y2 float64) plate.Place {
	return plate.Place{OnEdge: true, X1: x1, Y1: y1, X2: x2, Y2: y2}
}

// holes are strips with a hole in tension, against Howland's factors on the gross section.
func holes(b *book, t *tables) error {
	for _, ratio := range []string{"0.1", "0.3", "0.5"} {
		key := record{"case": "hole in finite strip, tension", "d_over_W": ratio, "quantity": "Ktg (gross), hole side, Howland"}
		name := "Howland, hole in a strip, d/W " + ratio
		side, err := t.row(WholeProgram, name, "stress at the side over that of the gross section", 2, "stress_concentration", key)
		if err != nil {
			return err
		}
		worst := side
		worst.Quantity = "greatest von Mises stress over that of the gross section"
		key["quantity"] = "sigma/sigma0 on the load axis edge (compression), Howland"
		front, err := t.row(WholeProgram, name, "stress at the front over that of the gross section", 4, "stress_concentration", key)
		if err != nil {
			return err
		}
		d, err := record{"d": ratio}.num("d")
		if err != nil {
			return err
		}
		b.add(func(ctx context.Context) ([]float64, error) { return holeInStrip(ctx, d) }, side, worst, front)
	}
	return nil
}

func holeInStrip(ctx context.Context, ratio float64) ([]float64, error) {
	const long, width, thick, pull = 400.0, 100.0, 8.0, 10000.0
	p := document(thick, box(long, width)...)
	p.Bores = []plate.Bore{{ID: 1, Name: "Hole", X: long / 2, Y: width / 2, Diameter: ratio * width}}
	p.Supports = []plate.Support{
		{ID: 2, Name: "end", Kind: plate.Sliding, On: along(0, 0, 0, width), DirectionDeg: 90},
		// A soft spring holds the strip across and against turning over, where the load has no part.
		{ID: 3, Name: "across", Kind: plate.Spring, On: along(0, 0, 0, width), Stiffness: [6]float64{1: 1000, 4: 1e6}},
	}
	p.Loads = []plate.Load{{ID: 4, Name: "pull", Kind: plate.LineForce, On: along(long, 0, long, width), Force: [3]float64{pull}}}
	// The hole's edge is the result, so nothing is left out.
	r, err := analysed(ctx, p, fea.Options{ArcEdges: 32, Clear: -1})
	if err != nil {
		return nil, err
	}
	c := &r.Cases[0]
	side, front := 0.0, 0.0
	for e, tr := range r.Model.Mesh.Triangles {
		for i, n := range tr.Node {
			q := r.Model.Mesh.Nodes[n]
			if math.Hypot(q.X-long/2, q.Y-width/2) < ratio*width/2+1e-6 {
				s := c.Stress(e, i, thick/2)
				side, front = max(side, s.XX), min(front, s.YY)
			}
		}
	}
	gross := pull / width / thick
	return []float64{side / gross, c.MaxVonMises / gross, front / gross}, nil
}

// clampedPlates are round plates clamped at their edge under an even load.
func clampedPlates(b *book, t *tables) error {
	const a, q = 100.0, 0.1
	source, err := t.find("plate_bending", record{"plate": "circular clamped radius a", "load": "uniform q"})
	if err != nil {
		return err
	}
	moment, err := t.find("plate_bending", record{"plate": "circular clamped", "load": "uniform q"})
	if err != nil {
		return err
	}
	for _, h := range []float64{20, 10, 2} {
		want := q*a*a*a*a/64/bending(aluminium, h) + q*a*a/(4*shell.ShearFactor*aluminium.G()*h)
		row := exact(WholeProgram, "clamped circular plate", fmt.Sprintf("greatest deflection at t/L 1/%g, mm", 2*a/h), want, 0.6,
			source["source"]+" ("+source["quantity"]+") and q a²/(4 κ G t) for shear")
		row.Seen = seen(source["seen"])
		middle := row
		middle.Quantity, middle.Tolerance = fmt.Sprintf("stress in the middle at t/L 1/%g, MPa", 2*a/h), 2
		middle.Published, middle.Source = 6/h/h*(1+aluminium.Nu)*q*a*a/16, moment["source"]+" ("+moment["quantity"]+"), σ = 6M/t²"
		b.add(func(ctx context.Context) ([]float64, error) {
			p := document(h, box(2*a, 2*a)...)
			for i := range p.Outline.Corners {
				p.Outline.Corners[i].Radius = a
			}
			p.Loads = []plate.Load{{ID: 3, Name: "pressure", Kind: plate.AreaForce, On: plate.Place{Bounds: box(2*a, 2*a), Side: plate.Top}, Force: [3]float64{0, 0, -q * math.Pi * a * a}}}
			at := [][2]float64{{2 * a, a}, {a, 2 * a}, {0, a}, {a, 0}}
			for i := range at {
				j := (i + 1) % 4
				p.Supports = append(p.Supports, plate.Support{
					ID: plate.ID(10 + i), Name: fmt.Sprint("quarter ", i+1), Kind: plate.Fixed, On: along(at[i][0], at[i][1], at[j][0], at[j][1]),
				})
			}
			r, err := analysed(ctx, p, fea.Options{Size: 9})
			if err != nil {
				return nil, err
			}
			top, nearest := 0.0, math.Inf(1)
			for e, tr := range r.Model.Mesh.Triangles {
				for i, n := range tr.Node {
					if d := math.Hypot(r.Model.Mesh.Nodes[n].X-a, r.Model.Mesh.Nodes[n].Y-a); d < nearest {
						s := r.Cases[0].Stress(e, i, h)
						top, nearest = -(s.XX+s.YY)/2, d // the load presses from above
					}
				}
			}
			return []float64{r.Cases[0].MaxDeflection, top}, nil
		}, row, middle)
	}
	return nil
}

// vibrations: a simply supported rectangle has f = π/2 √(D/ρh) (m²/a² + n²/b²).
func vibrations(b *book, t *tables) error {
	const x, y, h = 200.0, 150.0, 2.0
	root := math.Sqrt(bending(aluminium, h) / (alloy.Density * 1e-12 * h))
	var rows []Row
	for _, mn := range [][2]float64{{1, 1}, {2, 1}, {1, 2}, {3, 1}} {
		rows = append(rows, exact(WholeProgram, "rectangular plate, simply supported", fmt.Sprintf("natural frequency %g, %g, Hz", mn[0], mn[1]),
			math.Pi/2*root*(mn[0]*mn[0]/x/x+mn[1]*mn[1]/y/y), 1, "closed form of the thin plate, f = π/2 √(D/ρh) (m²/a² + n²/b²)"))
	}
	b.add(func(ctx context.Context) ([]float64, error) {
		p := document(h, box(x, y)...)
		// Sliding along an edge holds w, and the displacement across it in the plane.
		p.Supports = []plate.Support{
			{ID: 1, Name: "y0", Kind: plate.Sliding, On: along(0, 0, x, 0)},
			{ID: 2, Name: "x1", Kind: plate.Sliding, On: along(x, 0, x, y), DirectionDeg: 90},
			{ID: 3, Name: "y1", Kind: plate.Sliding, On: along(x, y, 0, y)},
			{ID: 4, Name: "x0", Kind: plate.Sliding, On: along(0, y, 0, 0), DirectionDeg: 90},
		}
		return frequencies(ctx, p, 9, len(rows))
	}, rows...)
	bar(b)
	return squares(b, t)
}

// bar is a slender bar between two bores, against beam theory between their centres.
func bar(b *book) {
	const l, w, h, d = 400.0, 20.0, 8.0, 8.0
	e := alloy.Young
	formulas := []float64{e * w * h / l, 3 * e * (h * w * w * w / 12) / l / l / l, 3 * e * (w * h * h * h / 12) / l / l / l}
	var rows []Row
	for i, way := range []string{"along the line between them", "across it in the plane", "out of the plane"} {
		rows = append(rows, exact(WholeProgram, "bar of 400 × 20 × 8 between two bores", "stiffness "+way+", N/mm", formulas[i], 7,
			"beam theory between the centres, EA/L and 3EI/L³; what the bores add at the ends is left out"))
	}
	b.add(func(ctx context.Context) ([]float64, error) {
		p := document(h, box(l+2*w, w)...)
		p.Bores = []plate.Bore{{ID: 1, Name: "Left", X: w, Y: w / 2, Diameter: d}, {ID: 2, Name: "Right", X: l + w, Y: w / 2, Diameter: d}}
		lay, err := derive(p)
		if err != nil {
			return nil, err
		}
		m, err := fea.NewModel(ctx, lay, fea.Options{})
		if err != nil {
			return nil, err
		}
		c, err := m.Between(ctx, [][2]plate.ID{{1, 2}})
		if err != nil {
			return nil, err
		}
		var out []float64
		for _, f := range c[0].Along()[:3] {
			out = append(out, f.Value)
		}
		return out, nil
	}, rows...)
}

// frequencies are the n lowest of a document, Hz, by elements no larger than size.
func frequencies(ctx context.Context, p plate.Plate, size float64, n int) ([]float64, error) {
	l, err := derive(p)
	if err != nil {
		return nil, err
	}
	m, err := fea.NewModel(ctx, l, fea.Options{Size: size})
	if err != nil {
		return nil, err
	}
	modes, err := m.Frequencies(ctx, l.Plate.Supports, n)
	if err != nil {
		return nil, err
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = modes[i].Hz
	}
	return out, nil
}
