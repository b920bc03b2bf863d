package verify

import (
	"context"
	"fmt"
	"math"

	"platewright/fea/shell"
	"platewright/plate/geom"
)

// twists are strips under end torques, against the torsion constant of their section. They are within 5 % while the floor is
// no thicker than a tenth of the height beside a rib in the middle (T), a fifth beside one at the border (L), and 0.15 between
// two (channel). Thicker floors come out too stiff, and the mesh has no part in it: a T of 6 × 20 on a floor of 3 by 7.5 %, on
// one of 4 by 13 %, on one of 8 by 17 %, and up to 20 %.
func twists(b *book) error {
	const height = 20
	for _, c := range []struct {
		name       string
		floor, rib float64
	}{
		{"T", 1.5, 6},
		{"T", 2, 4},
		{"T", 2, 10},
		{"L", 3, 4},
		{"L", 3, 10},
		{"L", 4, 6},
		{"channel", 3, 3},
		{"channel", 3, 8},
		{"channel", 4, 8},
	} {
		rib := band{c.rib, 0, height, 2}
		bands := map[string][]band{
			"T":       {{20, 0, c.floor, 6}, rib, {20, 0, c.floor, 6}},
			"L":       {rib, {40, 0, c.floor, 10}},
			"channel": {rib, {40, 0, c.floor, 10}, rib},
		}[c.name]
		row := exact(Element, "strip with an eccentric floor, "+c.name, "", 1, 5, "torsion constant of the section by its warping function")
		row.Quantity = fmt.Sprintf("J over that of the section, rib %g × %d, floor %g", c.rib, height, c.floor)
		b.one(row, func(ctx context.Context) (float64, error) {
			p, err := twisted(ctx, outlineOf(bands))
			if err != nil {
				return 0, err
			}
			j, err := stripTwist(ctx, bands)
			return j / p.J, err
		})
	}
	b.notChecked(Element, "strips with a thicker floor", "torsion", math.NaN(),
		"beyond 5 %: with a floor thicker than a tenth (T), a fifth (L) or 0.15 (channel) of the height the live model is up to 20 % too stiff in twist; run the solid check")
	return nil
}

// stripTwist is the torsion constant of a strip by the live model, mm⁴: end torques of forces along z that grow straight across
// the strip, and the twist between the cross-sections at 0.35 and 0.65 of its length, where the ends are not felt.
func stripTwist(ctx context.Context, bands []band) (float64, error) {
	const length = 600.0
	m, metal := stripMesh(length, 60, bands)
	md, err := newBody(m, metal, aluminium, 7)
	if err != nil {
		return 0, err
	}
	width := 0.0
	for _, b := range bands {
		width += b.width
	}
	for _, end := range []float64{0, length} {
		sign := 2*end/length - 1
		md.edge(atX(end), func(p shell.SidePoint) shell.Vector { return shell.Vector{0, 0, sign * (p.P.Y - width/2)} })
	}
	torque := width * width * width / 12
	u, err := md.solve(ctx, freeBar(length, width), md.f)
	if err != nil {
		return 0, err
	}
	turn := func(x float64) float64 {
		i, j := md.nodeAt(geom.Pt(x, 0)), md.nodeAt(geom.Pt(x, width))
		return (u[0][5*j+2] - u[0][5*i+2]) / width
	}
	rate := (turn(0.65*length) - turn(0.35*length)) / (0.3 * length)
	return torque / aluminium.G() / rate, nil
}

// outlineOf is the section of bands that stand on one plane, along its border.
func outlineOf(bands []band) geom.Contour {
	width, y := 0.0, 0.0
	for _, b := range bands {
		width += b.width
	}
	points := []float64{0, 0, width, 0}
	for i := len(bands) - 1; i >= 0; i-- {
		points = append(points, width-y, bands[i].z1, width-y-bands[i].width, bands[i].z1)
		y += bands[i].width
	}
	return polygon(points...)
}
