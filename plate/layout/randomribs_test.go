package layout

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// variety changes a random plate, drawn from randomness of its own, so that every kind of rib field, outline and rib comes
// up: orthogrids, parallel fields, spokes, ribs along directions, node fillets, fitted grids, local widths, arced ribs, ends
// that miss by hundredths, outlines wrapped or given by vertices.
func (d *drawer) variety(n int) {
	d.Rand = rand.New(rand.NewPCG(d.g.Seed+1, uint64(n)))
	for i := range d.p.Grids {
		d.kind(&d.p.Grids[i])
	}
	for i := range d.p.Ribs {
		d.bend(&d.p.Ribs[i])
	}
	if d.share(0.2) {
		d.vertices()
	} else if d.share(0.15) {
		d.wrapped()
	}
}

func (d *drawer) kind(g *plate.Grid) {
	switch v := d.Float64(); {
	case v < 0.3:
		g.Kind = plate.Orthogrid
		if d.share(0.6) {
			g.PitchY = d.in(d.g.Pitch)
		}
	case v < 0.42:
		g.Kind = plate.Parallel
	case v < 0.54 && len(d.p.Bores) > 1:
		g.Kind = plate.Spokes
		for i := range d.p.Holes {
			if d.share(0.5) {
				g.Hubs = append(g.Hubs, d.p.Holes[i].ID)
			}
		}
		for i := range d.p.Bores {
			if len(g.Hubs) > 0 {
				g.Hubs = append(g.Hubs, d.p.Bores[i].ID)
			}
		}
		g.LeastAngle = float64(d.IntN(4)) * 15
	case v < 0.64:
		g.Kind, g.Crossed = plate.Directions, d.share(0.5)
		g.Pitch = max(g.Pitch, 40)
		for range 1 + d.IntN(6) {
			x, y := d.at()
			g.Samples = append(g.Samples, plate.Direction{X: x, Y: y, AngleDeg: 180 * d.Float64()})
		}
	}
	if d.share(0.3) {
		g.Fillet = 0.5 + 6*d.Float64()
	}
	g.Fitted = d.share(0.15)
	for d.share(0.4) {
		w := plate.RibWidth{Width: d.in(d.g.RibWidth), At: plate.RibAnchor{
			Lattice: true, Family: d.IntN(3), Line: d.IntN(5) - 2, Segment: d.IntN(5) - 2,
		}}
		if d.share(0.3) {
			w.At = plate.RibAnchor{}
			w.At.X, w.At.Y = d.at()
		}
		g.Widths = append(g.Widths, w)
	}
}

func (d *drawer) bend(r *plate.Rib) {
	slip := func(e *plate.RibEnd) {
		if e.Feature == 0 && len(d.p.Bores) > 0 && d.share(0.1) {
			b := d.p.Bores[d.IntN(len(d.p.Bores))]
			e.X, e.Y = b.X+0.03*d.Float64(), b.Y-0.02*d.Float64()
		}
	}
	slip(&r.From)
	slip(&r.To)
	// In a snapped plate ribs lie side by side on purpose: a bent one would open slots as wide as a cutter to the last digit.
	if d.snap || !d.share(0.35) {
		return
	}
	end := func(e plate.RibEnd) geom.Point {
		for _, b := range d.p.Bores {
			if b.ID == e.Feature {
				return geom.Pt(b.X, b.Y)
			}
		}
		return geom.Pt(e.X, e.Y)
	}
	a, b := end(r.From), end(r.To)
	m := a.Add(b).Mul(0.5).Add(b.Sub(a).Perp().Mul(d.Float64() - 0.5))
	r.Arc, r.ThroughX, r.ThroughY = true, m.X, m.Y
}

// vertices gives the drawn outline as data.
func (d *drawer) vertices() {
	c, err := path(d.p.Outline.Corners)
	if err != nil {
		return
	}
	d.p.Outline = plate.Outline{Kind: plate.Contour}
	for _, e := range c {
		d.p.Outline.Vertices = append(d.p.Outline.Vertices, plate.Vertex{X: e.A.X, Y: e.A.Y, Bulge: e.Bulge()})
	}
}

// wrapped wraps the outline round the bores, counter-clockwise about their middle, where that works.
func (d *drawer) wrapped() {
	var mid geom.Point
	for _, b := range d.p.Bores {
		mid = mid.Add(geom.Pt(b.X, b.Y).Mul(1 / float64(len(d.p.Bores))))
	}
	bores := slices.Clone(d.p.Bores)
	slices.SortFunc(bores, func(a, b plate.Bore) int {
		return cmp.Compare(math.Atan2(a.Y-mid.Y, a.X-mid.X), math.Atan2(b.Y-mid.Y, b.X-mid.X))
	})
	p := d.p
	p.Outline = plate.Outline{Kind: plate.Wrapped}
	for _, b := range bores {
		w := plate.Wrap{Feature: b.ID, Width: 12 + 10*d.Float64()}
		if d.share(0.4) {
			w.Hollow, w.Blend = true, 150+300*d.Float64()
		}
		p.Outline.Wraps = append(p.Outline.Wraps, w)
	}
	if newDeriver(context.Background(), &p, routeFast).makeOutline() == nil {
		d.p = p
	}
}
