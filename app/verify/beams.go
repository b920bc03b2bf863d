package verify

import (
	"context"
	"math"

	"platewright/fea/shell"
	"platewright/plate/geom"
)

// beams are those of MacNeal and Harder: slender strips, loaded at the tip by a unit force.
func beams(b *book, t *tables) error {
	straight := shell.Material{E: 1e7, Nu: 0.3}
	curved := shell.Material{E: 1e7, Nu: 0.25}
	bar := rectangle(6, 0.2)
	arc := func(a, b float64) geom.Point { // from the tip on the x axis to the root on the y axis
		s, c := math.Sincos(a * math.Pi / 2)
		return geom.Pt(c, s).Mul(4.12 + 0.2*b)
	}
	for _, c := range []struct {
		problem, quantity string
		mat               shell.Material
		shape             func(a, b float64) geom.Point
		root, tip         func(p geom.Point) bool
		at                geom.Point
		unknown           int
	}{
		{"straight beam", "extension", straight, bar, atX(0), atX(6), geom.Pt(6, 0.1), 0},
		{"straight beam", "in-plane shear", straight, bar, atX(0), atX(6), geom.Pt(6, 0.1), 1},
		{"straight beam", "out-of-plane shear", straight, bar, atX(0), atX(6), geom.Pt(6, 0.1), 2},
		{"curved beam", "in-plane", curved, arc, atX(0), atY(0), geom.Pt(4.22, 0), 0},
		{"curved beam", "out-of-plane", curved, arc, atX(0), atY(0), geom.Pt(4.22, 0), 2},
	} {
		row, err := t.row(Element, "MacNeal–Harder, "+c.problem, "deflection of the tip, "+c.quantity, 2, "fe_benchmarks",
			record{"problem": "MacNeal-Harder " + c.problem, "quantity": c.quantity})
		if err != nil {
			return err
		}
		b.one(row, func(ctx context.Context) (float64, error) {
			md, err := sheet(grid(48, 2, c.shape, nil), 0.1, c.mat)
			if err != nil {
				return 0, err
			}
			md.edge(c.tip, func(shell.SidePoint) shell.Vector {
				var v shell.Vector
				v[c.unknown] = 1 / 0.2
				return v
			})
			return md.deflection(ctx, func(p geom.Point) (h [5]bool) {
				if c.root(p) {
					h = clamped
				}
				return h
			}, c.at, c.unknown)
		})
	}
	b.notChecked(Element, "MacNeal–Harder, straight beam", "twist of the tip", math.NaN(),
		"two values are in print, 0.03208 and 0.03408, and neither was read in the paper")
	return nil
}

func atX(x float64) func(geom.Point) bool { return func(p geom.Point) bool { return on(p.X, x) } }
func atY(y float64) func(geom.Point) bool { return func(p geom.Point) bool { return on(p.Y, y) } }
