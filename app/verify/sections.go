package verify

import (
	"context"
	"fmt"
	"math"
	"strings"

	"platewright/export/report"
	"platewright/fea/torsion"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/section"
)

// masses are plates weighed: a supplier's, one cut out of its blank, and a block by closed forms.
func masses(b *book, t *tables) error {
	r, err := t.find("mass_examples", record{"item": "plate mass"})
	if err != nil {
		return err
	}
	row, err := t.row(WholeProgram, "plate of 3 × 728 × 380", "mass, kg", rounding(r["value"]), "mass_examples", record{"item": "plate mass"})
	if err != nil {
		return err
	}
	b.one(row, func(ctx context.Context) (float64, error) {
		m, err := made(ctx, document(3, box(728, 380)...), report.Mass)
		return m.Mass.Value.MassKG, err
	})
	var cut []Row
	for _, item := range []string{"buy-to-fly ratio", "material utilisation", "material removed fraction", "removed volume"} {
		if r, err = t.find("mass_examples", record{"item": item}); err != nil {
			return err
		}
		quantity := item
		if r["unit"] != "-" {
			quantity += ", " + r["unit"]
		}
		if row, err = t.row(WholeProgram, "6.5 kg cut out of 42 kg", quantity, rounding(r["value"]), "mass_examples", record{"item": item}); err != nil {
			return err
		}
		cut = append(cut, row)
	}
	b.add(func(ctx context.Context) ([]float64, error) {
		const thick, density = 100.0, 2700e-9
		p := document(thick, box(100, 6.5/density/thick/100)...)
		p.Stock.Blank = plate.Blank{Fixed: true, X: -100, Y: -10, Width: 500, Height: 42 / density / thick / 500}
		m, err := made(ctx, p, report.Mass)
		if err != nil {
			return nil, err
		}
		v := m.Mass.Value
		return []float64{v.BuyToFly, v.MassKG / v.BlankMassKG, v.Removed / v.BlankVolume, v.Removed / 1000}, nil
	}, cut...)
	const x, y, z, rad = 180.0, 90.0, 24.0, 15.0
	area, name := x*y-math.Pi*rad*rad, "block of 180 × 90 × 24 with a bore of 30"
	kg := area * z * 2700e-9
	off := math.Pi * rad * rad / area // the bore's share, 40 mm left of the middle
	polar := 2700e-9*z*(x*y*(x*x+y*y)/12-math.Pi*rad*rad*(rad*rad/2+40*40)) - kg*(40*off)*(40*off)
	b.add(func(ctx context.Context) ([]float64, error) {
		p := document(z, box(x, y)...)
		p.Bores = []plate.Bore{{ID: 1, Name: "Bore", X: x/2 - 40, Y: y / 2, Diameter: 2 * rad}}
		m, err := made(ctx, p, report.Mass)
		if err != nil {
			return nil, err
		}
		v := m.Mass.Value
		return []float64{v.MassKG, v.Centroid[0], v.Inertia.ZZ}, nil
	},
		exact(WholeProgram, name, "mass, kg", kg, 1e-9, "closed form ρ t (a b − π r²)"),
		exact(WholeProgram, name, "centroid along x, mm", x/2+40*off, 1e-9, "closed form, first moment of the bore"),
		exact(WholeProgram, name, "moment of inertia about z, kg mm²", polar, 1e-9, "closed form, (a² + b²)/12, r²/2 and parallel axes"))
	return nil
}

// crossed is the document with a cut line across it at x.
func crossed(p plate.Plate, x, height float64) plate.Plate {
	p.CutLines = []plate.CutLine{{ID: 500, Name: "check", X1: x, Y1: 0, X2: x, Y2: height + 1}}
	return p
}

// profiles are plates with the section of a rolled one, root radii included, at x = 150: the depth lies along the cut
// line, the flanges' width through the thickness. I: the web is the floor between pockets from both faces. Channel: it is
// the floor of one pocket.
func profiles(b *book, t *tables) error {
	var order []string
	rows, of := map[string][]record{}, map[string][5]float64{}
	for _, r := range t.of["profiles"] {
		if r["kind"] != "I" && r["kind"] != "channel" { // no pocket makes a hollow section or rounds the toe of an angle
			continue
		}
		name := r["designation"]
		if rows[name] == nil {
			order = append(order, name)
			var v [5]float64
			for i, k := range []string{"h_mm", "b_mm", "tw_mm", "tf_mm", "r_mm"} {
				var err error
				if v[i], err = r.num(k); err != nil {
					return err
				}
			}
			of[name] = v
		}
		rows[name] = append(rows[name], r)
	}
	for _, name := range order {
		var list []Row
		var quantities []string
		for _, r := range rows[name] {
			v, err := r.num("value")
			if err != nil {
				return err
			}
			tolerance := rounding(r["value"])
			if r["differs_percent"] != "" { // by how much two tables disagree
				d, err := r.num("differs_percent")
				if err != nil {
					return err
				}
				tolerance += d
			}
			quantities = append(quantities, r["quantity"])
			list = append(list, Row{
				Name: "rolled section, " + name, Quantity: r["quantity"] + ", " + r["unit"], Published: v, Tolerance: 1.001 * tolerance,
				Kind: WholeProgram, Source: r["source"], Seen: seen(r["seen"]),
			})
		}
		b.add(func(context.Context) ([]float64, error) {
			return rolled(rows[name][0]["kind"], of[name], quantities)
		}, list...)
	}
	return nil
}

func rolled(kind string, size [5]float64, quantities []string) ([]float64, error) {
	h, b, tw, tf, r := size[0], size[1], size[2], size[3], size[4]
	p := document(b, box(300, h)...)
	pocket := plate.Pocket{ID: 1, Name: "upper", Side: plate.Top, Depth: b - tw, Radius: r, FloorRadius: r, Bounds: []plate.Corner{
		{X: 20, Y: tf}, {X: 280, Y: tf}, {X: 280, Y: h - tf}, {X: 20, Y: h - tf},
	}}
	p.Pockets = []plate.Pocket{pocket}
	if kind == "I" {
		lower := pocket
		lower.ID, lower.Name, lower.Side = 2, "lower", plate.Bottom
		p.Pockets = append(p.Pockets, lower)
		for i := range p.Pockets {
			p.Pockets[i].Depth = (b - tw) / 2
		}
	}
	l, err := derive(crossed(p, 150, h))
	if err != nil {
		return nil, err
	}
	// Not by the report, whose torsion of so fine an outline takes seconds.
	c := l.Plate.CutLines[0]
	s, err := section.At(l, c.Name, geom.Pt(c.X1, c.Y1), geom.Pt(c.X2, c.Y2))
	if err != nil {
		return nil, err
	}
	got := map[string]float64{
		"A": s.Area / 100, "Iy": s.IZZ / 1e4, "Iz": s.ISS / 1e4, "Wy": s.ModulusEnd / 1e3, "Wz": s.ModulusTop / 1e3,
		"e": s.Centroid[1] / 10, "Wply": s.PlasticZ / 1e3, "Wplz": s.PlasticS / 1e3,
	}
	var out []float64
	for _, q := range quantities {
		v, ok := got[q]
		if !ok {
			return nil, fmt.Errorf("the quantity %q of a section is not known", q)
		}
		out = append(out, v)
	}
	return out, nil
}

// torsionDocuments are sections of whole plates: rectangular bars, J = β b t³.
func torsionDocuments(b *book, t *tables) error {
	for _, ratio := range []string{"1.0", "2.0", "4.0", "10.0"} {
		row, err := t.row(WholeProgram, "bar of rectangular section, b/t "+ratio, "β = J/b t³", 0.1, "bars",
			record{"section": "rectangle", "b_over_t": ratio, "quantity": "beta (J = beta b t^3)"})
		if err != nil {
			return err
		}
		n, err := record{"n": ratio}.num("n")
		if err != nil {
			return err
		}
		b.one(row, func(ctx context.Context) (float64, error) {
			const thick = 12.0
			r, err := made(ctx, crossed(document(thick, box(300, n*thick)...), 150, n*thick), report.Sections)
			if err != nil {
				return 0, err
			}
			if !r.Torsion.OK || len(r.Torsion.Value) != 1 {
				return 0, fmt.Errorf("the report has no torsion of its section")
			}
			return r.Torsion.Value[0].J / (n * math.Pow(thick, 4)), nil
		})
	}
	return nil
}

// torsionBars are sections by themselves: rectangles of every ratio of the table, and shapes with closed forms.
func torsionBars(b *book, t *tables) error {
	for _, r := range t.of["bars"] {
		tolerance := 0.1
		switch {
		case r["section"] != "rectangle":
			continue
		case strings.HasPrefix(r["quantity"], "beta (printed"):
			tolerance = rounding(r["value"])
		case !strings.HasPrefix(r["quantity"], "beta (J"):
			continue
		}
		n, err := r.num("b_over_t")
		if err != nil {
			return err
		}
		row, err := t.row(Element, "torsion of a rectangle, b/t "+r["b_over_t"], r["quantity"], tolerance, "bars",
			record{"section": "rectangle", "b_over_t": r["b_over_t"], "quantity": r["quantity"]})
		if err != nil {
			return err
		}
		b.one(row, func(ctx context.Context) (float64, error) {
			p, err := twisted(ctx, polygon(0, 0, n*7, 0, n*7, 7, 0, 7))
			return p.J / (n * math.Pow(7, 4)), err
		})
	}
	shape := func(name string, want, tolerance float64, source string, c geom.Contour, holes ...geom.Contour) {
		row := exact(Element, "torsion of "+name, "J, mm⁴", want, tolerance, source)
		b.one(row, func(ctx context.Context) (float64, error) {
			p, err := twisted(ctx, c, holes...)
			return p.J, err
		})
	}
	o := geom.Pt(0, 0)
	shape("a circle", math.Pi*math.Pow(11, 4)/2, 0.1, "closed form π R⁴/2", geom.Circle(o, 11))
	shape("a tube", math.Pi*(math.Pow(40, 4)-math.Pow(34, 4))/32, 0.1, "closed form π (D⁴ − d⁴)/32", geom.Circle(o, 20), geom.Circle(o, 17).Reverse())
	shape("an equilateral triangle", 1e4*math.Sqrt(3)/80, 0.1, "closed form a⁴ √3/80", polygon(0, 0, 10, 0, 5, 5*math.Sqrt(3)))
	shape("a thin square tube", math.Pow(98, 3)*2, 1, "R. Bredt's formula 4 A²/Σ(s/t), thin walls",
		polygon(0, 0, 100, 0, 100, 100, 0, 100), polygon(2, 2, 98, 2, 98, 98, 2, 98).Reverse())
	shape("a slender L", 398*8.0/3, 1, "Σ h t³/3, thin walls", polygon(0, 0, 200, 0, 200, 2, 2, 2, 2, 200, 0, 200))
	const r, th, half = 50.0, 1.0, 0.004
	b.add(func(ctx context.Context) ([]float64, error) {
		p, err := twisted(ctx, slitTube(r, th, half))
		return []float64{p.J, -p.ShearCentre[0]}, err
	},
		exact(Element, "torsion of a slit tube", "J, mm⁴", 2*(math.Pi-half)*r*th*th*th/3, 1, "Σ h t³/3, thin walls"),
		exact(Element, "torsion of a slit tube", "shear centre from the middle, mm", 2*r, 1, "2 r, thin walls"))
	return nil
}

func twisted(ctx context.Context, outer geom.Contour, holes ...geom.Contour) (torsion.Piece, error) {
	r, err := torsion.OfShape(ctx, geom.Shape{{Outer: outer, Holes: holes}}, torsion.Options{})
	if err != nil {
		return torsion.Piece{}, err
	}
	return r.Pieces[0], nil
}

func polygon(p ...float64) geom.Contour {
	var c geom.Contour
	for i := 0; i < len(p); i += 2 {
		j := (i + 2) % len(p)
		c = append(c, geom.Line(geom.Pt(p[i], p[i+1]), geom.Pt(p[j], p[j+1])))
	}
	return c
}

// slitTube is a ring about the origin with a slit at angle 0 of half the given angle.
func slitTube(r, t, half float64) geom.Contour {
	o := geom.Pt(0, 0)
	at := func(r, a float64) geom.Point { return geom.Pt(r*math.Cos(a), r*math.Sin(a)) }
	out, in, end := r+t/2, r-t/2, 2*math.Pi-half
	return geom.Contour{
		geom.Arc(at(out, half), at(out, math.Pi), o, 1), geom.Arc(at(out, math.Pi), at(out, end), o, 1),
		geom.Line(at(out, end), at(in, end)),
		geom.Arc(at(in, end), at(in, math.Pi), o, -1), geom.Arc(at(in, math.Pi), at(in, half), o, -1),
		geom.Line(at(in, half), at(out, half)),
	}
}
