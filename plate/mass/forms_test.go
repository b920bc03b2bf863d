package mass_test

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/mass"
)

// frustum stands about (x, y) with radius r0 at z0 and r1 at z1, r0 > r1: a cone less its top.
func frustum(x, y, r0, z0, r1, z1 float64) solid {
	apex := z0 + (z1-z0)*r0/(r0-r1)
	return cone(x, y, r0, z0, apex).minus(cone(x, y, r1, z1, apex))
}

// trig is ∫ sⁿ uᵐ du from 0 to r with s = √(r² − u²), by Euler's beta function.
func trig(n, m, r float64) float64 {
	a, b := (n+2)/2, (m+1)/2
	return math.Pow(r, n+m+1) / 2 * math.Gamma(a) * math.Gamma(b) / math.Gamma(a+b)
}

// roundFloor is the space of a round pocket of radius a from its floor at z to where its floor fillet of radius r ends, up
// (+1) or down (−1): a solid of revolution of radius b + s, b = a − r.
func roundFloor(x, y, a, r, z, up float64) solid {
	b := a - r
	powers := func(n int, m float64) float64 { // ∫ (b+s)ⁿ uᵐ du, binomial
		v, c := 0.0, 1.0
		for k := 0; k <= n; k++ {
			v += c * math.Pow(b, float64(n-k)) * trig(float64(k), m, r)
			c = c * float64(n-k) / float64(k+1)
		}
		return v
	}
	v, vu, vuu := math.Pi*powers(2, 0), math.Pi*powers(2, 1), math.Pi*powers(2, 2)
	end := z + up*r // height there is end − up·u
	xx := math.Pi / 4 * powers(4, 0)
	first := v*end - up*vu
	return solid{v, v * x, v * y, first, xx + v*x*x, xx + v*y*y, v*end*end - 2*end*up*vu + vuu, v * x * y, x * first, y * first}
}

// mitred is the part of a block, from z0 to z1, whose four sides draw in by as much as it rises: all integrals are of
// degree 4 in z, which Boole's rule integrates exactly.
func mitred(x0, y0, x1, y1, z0, z1 float64) solid {
	var s solid
	for i, w := range [5]float64{7, 32, 12, 32, 7} {
		f := float64(i) / 4
		in := math.Abs(z1-z0) * f
		z := z0 + (z1-z0)*f
		a, b, x, y := x1-x0-2*in, y1-y0-2*in, (x0+x1)/2, (y0+y1)/2
		A := a * b * w / 90 * math.Abs(z1-z0)
		s = s.plus(solid{A, A * x, A * y, A * z, A * (a*a/12 + x*x), A * (b*b/12 + y*y), A * z * z, A * x * y, A * x * z, A * y * z})
	}
	return s
}

func hole(id plate.ID, x, y float64, f plate.HoleForm) plate.Hole {
	return plate.Hole{ID: id, Name: "h", X: x, Y: y, HoleForm: f}
}

// TestForms compares plates that have the forms beyond plain holes and pockets with handbook solids.
func TestForms(t *testing.T) {
	block := func() plate.Plate { return sheet(20, corners(0, 0, 100, 0, 100, 60, 0, 60)) }
	slab := box(0, 0, 0, 100, 60, 20)
	round := plate.Pocket{ID: 1, Name: "pocket", Kind: plate.RoundPocket, Side: plate.Top, Depth: 11, Radius: 5, X: 60, Y: 30, Diameter: 36, FloorRadius: 4}
	both := round
	both.Side, both.Depth, both.DepthBack = plate.Both, 8, 7
	for _, c := range []struct {
		name string
		edit func(*plate.Plate)
		want solid
	}{
		{"countersunk from the top", func(p *plate.Plate) {
			p.Holes = []plate.Hole{hole(1, 30, 20, plate.HoleForm{Kind: plate.Countersunk, Size: "M6", Series: plate.Medium, Side: plate.Top, HeadDiameter: 14})}
		}, slab.minus(cylinder(30, 20, 3.3, 0, 16.3)).minus(frustum(30, 20, 7, 20, 3.3, 16.3))},
		{"countersunk from the bottom", func(p *plate.Plate) {
			p.Holes = []plate.Hole{hole(1, 30, 20, plate.HoleForm{Kind: plate.Countersunk, Size: "M6", Series: plate.Medium, Side: plate.Bottom, HeadDiameter: 14})}
		}, slab.minus(cylinder(30, 20, 3.3, 3.7, 20)).minus(frustum(30, 20, 7, 0, 3.3, 3.7))},
		// Counterbore for an M8 cap screw: 15 mm and 9 mm deep; clearance hole 9 mm (ISO 273 medium).
		{"counterbored", func(p *plate.Plate) {
			p.Holes = []plate.Hole{hole(1, 30, 20, plate.HoleForm{Kind: plate.Counterbored, Size: "M8", Series: plate.Medium, Side: plate.Bottom})}
		}, slab.minus(cylinder(30, 20, 4.5, 9, 20)).minus(cylinder(30, 20, 7.5, 0, 9))},
		{"reamed through and blind", func(p *plate.Plate) {
			p.Holes = []plate.Hole{
				hole(1, 30, 20, plate.HoleForm{Kind: plate.Reamed, Diameter: 8, Fit: "H7", Side: plate.Through}),
				hole(2, 70, 40, plate.HoleForm{Kind: plate.Reamed, Diameter: 6, Fit: "H7", Side: plate.Top, Depth: 9}),
			}
		}, slab.minus(cylinder(30, 20, 4, 0, 20)).minus(cylinder(70, 40, 3, 11, 20)).minus(cone(70, 40, 3, 11, 11-3/math.Tan(59*math.Pi/180)))},
		{"seats from both sides, with a groove", func(p *plate.Plate) {
			p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 40, Y: 30, Diameter: 20, Seats: []plate.Seat{
				{Side: plate.Top, Diameter: 32, Depth: 8, Groove: plate.Groove{Diameter: 33.7, Width: 1.3, At: 2}},
				{Side: plate.Top, Diameter: 26, Depth: 11},
				{Side: plate.Bottom, Diameter: 28, Depth: 4},
			}}}
		}, slab.minus(cylinder(40, 30, 10, 4, 9)).minus(cylinder(40, 30, 13, 9, 12)).minus(cylinder(40, 30, 16, 12, 20)).
			minus(cylinder(40, 30, 14, 0, 4)).minus(cylinder(40, 30, 16.85, 16.7, 18)).plus(cylinder(40, 30, 16, 16.7, 18))},
		{"slots through and blind", func(p *plate.Plate) {
			p.Slots = []plate.Slot{
				{ID: 1, Name: "s", X: 30, Y: 20, Length: 24, Width: 10, Side: plate.Through},
				{ID: 2, Name: "s", X: 75, Y: 30, Length: 20, Width: 8, AngleDeg: 90, Side: plate.Bottom, Depth: 6},
			}
		}, slab.minus(rounded(13, 15, 0, 47, 25, 20, 5)).minus(rounded(71, 16, 0, 79, 44, 6, 4))},
		{
			"round pocket with a floor radius", func(p *plate.Plate) { p.Pockets = []plate.Pocket{round} },
			slab.minus(cylinder(60, 30, 18, 13, 20)).minus(roundFloor(60, 30, 18, 4, 9, 1)),
		},
		{
			"round pocket from both sides with a floor radius", func(p *plate.Plate) { p.Pockets = []plate.Pocket{both} },
			slab.minus(cylinder(60, 30, 18, 16, 20)).minus(roundFloor(60, 30, 18, 4, 12, 1)).
				minus(cylinder(60, 30, 18, 0, 3)).minus(roundFloor(60, 30, 18, 4, 7, -1)),
		},
		{"floor radius as large as the corner", func(p *plate.Plate) {
			k := round
			k.Diameter, k.Radius, k.FloorRadius = 20, 9.999, 9.999
			p.Pockets = []plate.Pocket{k}
		}, slab.minus(cylinder(60, 30, 10, 9+9.999, 20)).minus(roundFloor(60, 30, 10, 9.999, 9, 1))},
		{
			"chamfered edges, sharp corners", func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 2, Bottom: 1.5} },
			box(0, 0, 1.5, 100, 60, 18).plus(mitred(0, 0, 100, 60, 18, 20)).plus(mitred(0, 0, 100, 60, 1.5, 0)),
		},
		{"chamfered disc", func(p *plate.Plate) {
			p.Outline = plate.Outline{Corners: disc(40, 10, 30), Chamfer: plate.EdgeChamfer{Top: 3}}
		}, cylinder(40, 10, 30, 0, 17).plus(frustum(40, 10, 30, 17, 27, 20))},
		{"ledge", func(p *plate.Plate) {
			k := field(1, plate.Top, 12, 4, 10, 10, 90, 50)
			k.Ledge = plate.Ledge{Width: 6, Depth: 3}
			p.Pockets = []plate.Pocket{k}
		}, slab.minus(rounded(10, 10, 17, 90, 50, 20, 4)).minus(rounded(16, 16, 8, 84, 44, 17, 4))},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := block()
			c.edit(&p)
			for _, f := range derive(t, p).Findings {
				t.Errorf("finding: %s", f.What)
			}
			sameBody(t, p, c.want)
		})
	}
}

// sameBody compares a plate with the body that it should be.
func sameBody(t *testing.T, p plate.Plate, want solid) {
	t.Helper()
	got := weigh(t, p)
	agree(t, "volume", got.Volume, want.v, want.v, 1e-12)
	size := math.Cbrt(want.v)
	for i, v := range want.centroid() {
		agree(t, "centroid "+"xyz"[i:i+1], got.Centroid[i], v, size, 1e-12)
	}
	w, m := want.inertia(rho), matrix(got.Inertia)
	for i := range w {
		for j := range w[i] {
			agree(t, "inertia "+"xyz"[i:i+1]+"xyz"[j:j+1], m[i][j], w[i][j], w[0][0]+w[1][1]+w[2][2], 1e-12)
		}
	}
}

// TestFormSurfaces compares surfaces with closed forms: mantle of a frustum π(R+r)·slant; a quarter of a torus of tube
// radius ρ inside a cylinder of radius a has 2π·ρ·(π/2·(a−ρ) + ρ), by Pappus.
func TestFormSurfaces(t *testing.T) {
	base := func() plate.Plate { return sheet(20, disc(0, 0, 50)) }
	whole := 2*math.Pi*2500 + 2*math.Pi*50*20
	p := base()
	p.Outline.Chamfer.Bottom = 3
	agree(t, "chamfered disc", weigh(t, p).WettedArea, math.Pi*2500+math.Pi*47*47+2*math.Pi*50*17+math.Pi*97*3*math.Sqrt2, whole, 1e-12)

	p = base()
	p.Holes = []plate.Hole{hole(1, 0, 0, plate.HoleForm{Kind: plate.Countersunk, Size: "M6", Series: plate.Medium, Side: plate.Top, HeadDiameter: 14})}
	agree(t, "countersink", weigh(t, p).WettedArea, whole-math.Pi*49-math.Pi*3.3*3.3+2*math.Pi*3.3*16.3+math.Pi*10.3*3.7*math.Sqrt2, whole, 1e-12)

	p = base()
	p.Pockets = []plate.Pocket{{ID: 1, Name: "pocket", Kind: plate.RoundPocket, Side: plate.Top, Depth: 9, Radius: 5, Diameter: 40, FloorRadius: 4}}
	want := whole - math.Pi*400 + 2*math.Pi*20*5 + 2*math.Pi*4*(math.Pi/2*16+4) + math.Pi*16*16
	agree(t, "floor radius", weigh(t, p).WettedArea, want, whole, 1e-12)

	p = sheet(20, corners(0, 0, 100, 0, 100, 60, 0, 60))
	p.Outline.Chamfer.Top = 2
	want = 100*60 + 96*56 + 320*18 + (320*2-4*4)*math.Sqrt2 // four trapezia
	agree(t, "chamfered block", weigh(t, p).WettedArea, want, want, 1e-12)
}

// TestSweepMirror: a plate with every form and its mirror image have mirrored centroids and products of inertia.
func TestSweepMirror(t *testing.T) {
	p := sheet(20, []plate.Corner{{Radius: 9}, {X: 120, Radius: 12}, {X: 130, Y: 80}, {X: 60, Y: 65, Arc: true, ThroughX: 30, ThroughY: 95}, {Y: 80, Radius: 9}})
	p.Outline.Chamfer = plate.EdgeChamfer{Top: 1.5, Bottom: 1}
	k := field(1, plate.Top, 9, 5, 20, 15, 80, 50)
	k.FloorRadius = 3
	p.Pockets = []plate.Pocket{k}
	p.Holes = []plate.Hole{hole(2, 100, 30, plate.HoleForm{Kind: plate.Countersunk, Size: "M5", Series: plate.Fine, Side: plate.Bottom})}
	q := p
	q.Outline.Corners = nil
	for i := range p.Outline.Corners {
		// The side from a corner is that to the one before it in the mirrored order.
		n := len(p.Outline.Corners)
		c, next := p.Outline.Corners[n-1-i], p.Outline.Corners[(2*n-2-i)%n]
		c.X = -c.X
		c.Arc, c.ThroughX, c.ThroughY = next.Arc, -next.ThroughX, next.ThroughY
		q.Outline.Corners = append(q.Outline.Corners, c)
	}
	k.Bounds = corners(-20, 15, -80, 15, -80, 50, -20, 50)
	q.Pockets = []plate.Pocket{k}
	q.Holes = []plate.Hole{hole(2, -100, 30, p.Holes[0].HoleForm)}
	a, b := weigh(t, p), weigh(t, q)
	agree(t, "volume", b.Volume, a.Volume, a.Volume, 1e-12)
	agree(t, "surface", b.WettedArea, a.WettedArea, a.WettedArea, 1e-12)
	for i, s := range [3]float64{-1, 1, 1} {
		agree(t, "centroid", b.Centroid[i], s*a.Centroid[i], 100, 1e-12)
	}
	x, y := a.Inertia, b.Inertia
	want := mass.Tensor{XX: x.XX, YY: x.YY, ZZ: x.ZZ, XY: -x.XY, XZ: -x.XZ, YZ: x.YZ}
	for i := range 3 {
		for j := range 3 {
			agree(t, "inertia", matrix(y)[i][j], matrix(want)[i][j], x.ZZ, 1e-12)
		}
	}
}
