package mass_test

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/mass"
)

const rho = 2700e-9 // kg/mm³, of every plate here

// TestAnalyticBodies compares plates with the same bodies put together from handbook solids.
func TestAnalyticBodies(t *testing.T) {
	l, r := 60.0, 25.0 // stadium: half length between centres, radius
	for _, c := range []struct {
		name string
		p    func() plate.Plate
		want solid
	}{
		{"block", func() plate.Plate { return sheet(12, corners(0, 0, 80, 0, 80, 50, 0, 50)) }, box(0, 0, 0, 80, 50, 12)},
		{
			"block far from the origin", func() plate.Plate { return sheet(12, corners(9000, -7000, 9080, -7000, 9080, -6950, 9000, -6950)) },
			box(9000, -7000, 0, 9080, -6950, 12),
		},
		{
			"block with a bore", func() plate.Plate {
				p := sheet(15, corners(-40, -20, 60, -20, 60, 50, -40, 50))
				p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 10, Y: 5, Diameter: 24}}
				return p
			},
			box(-40, -20, 0, 60, 50, 15).minus(cylinder(10, 5, 12, 0, 15)),
		},
		{
			"ring", func() plate.Plate {
				p := sheet(18, disc(30, -12, 55))
				p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 30, Y: -12, Diameter: 70}}
				return p
			},
			cylinder(30, -12, 55, 0, 18).minus(cylinder(30, -12, 35, 0, 18)),
		},
		{
			"stadium", func() plate.Plate {
				return sheet(10, []plate.Corner{
					{X: -l, Y: -r},
					{X: l, Y: -r, Arc: true, ThroughX: l + r},
					{X: l, Y: r},
					{X: -l, Y: r, Arc: true, ThroughX: -l - r},
				})
			},
			rounded(-l-r, -r, 0, l+r, r, 10, r),
		},
		{
			"L", func() plate.Plate { return sheet(8, corners(0, 0, 90, 0, 90, 20, 25, 20, 25, 70, 0, 70)) },
			box(0, 0, 0, 90, 20, 8).plus(box(0, 20, 0, 25, 70, 8)),
		},
		{
			"rounded block with stepped pockets on both sides", func() plate.Plate {
				p := sheet(20, []plate.Corner{{Radius: 9}, {X: 120, Radius: 9}, {X: 120, Y: 80, Radius: 9}, {Y: 80, Radius: 9}})
				p.Pockets = []plate.Pocket{
					field(1, plate.Top, 5, 6, 10, 10, 110, 70),
					field(2, plate.Top, 12, 4, 20, 20, 60, 60),
					field(3, plate.Bottom, 6, 5, 30, 15, 100, 65),
				}
				return p
			},
			rounded(0, 0, 0, 120, 80, 20, 9).
				minus(rounded(10, 10, 15, 110, 70, 20, 6)).
				minus(rounded(20, 20, 8, 60, 60, 15, 4)).
				minus(rounded(30, 15, 0, 100, 65, 6, 5)),
		},
		{
			"both faces machined, a window and a blind thread", func() plate.Plate {
				p := sheet(30, corners(0, 0, 100, 0, 100, 60, 0, 60))
				p.Stock.Nominal, p.Stock.Top, p.Stock.Bottom = 35, plate.Machined, plate.Machined
				p.Pockets = []plate.Pocket{field(1, plate.Through, 0, 5, 50, 10, 90, 50)}
				p.Holes = []plate.Hole{{ID: 2, Name: "t", X: 20, Y: 30, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M8", Side: plate.Top, Depth: 12}}}
				return p
			},
			// Tap drill 6.8 mm (ISO 2306); drilled five pitches of 1.25 mm beyond 12 mm of thread; point of 118°.
			box(0, 0, 0, 100, 60, 30).minus(rounded(50, 10, 0, 90, 50, 30, 5)).
				minus(cylinder(20, 30, 3.4, 30-18.25, 30)).minus(cone(20, 30, 3.4, 30-18.25, 30-18.25-3.4/math.Tan(59*math.Pi/180))),
		},
		{
			"blind thread from the bottom", func() plate.Plate {
				p := sheet(30, corners(0, 0, 40, 0, 40, 60, 0, 60))
				p.Holes = []plate.Hole{{ID: 2, Name: "t", X: 10, Y: 35, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Bottom, Depth: 10}}}
				return p
			},
			// Tap drill 5 mm, pitch 1 mm.
			box(0, 0, 0, 40, 60, 30).minus(cylinder(10, 35, 2.5, 0, 15)).minus(cone(10, 35, 2.5, 15, 15+2.5/math.Tan(59*math.Pi/180))),
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := weigh(t, c.p())
			agree(t, "volume", got.Volume, c.want.v, c.want.v, 1e-12)
			agree(t, "mass", got.MassKG, rho*c.want.v, rho*c.want.v, 1e-12)
			size := math.Cbrt(c.want.v) + math.Hypot(got.Centroid[0], got.Centroid[1])
			for i, v := range c.want.centroid() {
				agree(t, "centroid "+"xyz"[i:i+1], got.Centroid[i], v, size, 1e-12)
			}
			want, m := c.want.inertia(rho), matrix(got.Inertia)
			// The reference is summed about the origin: far away it loses digits itself.
			tol := 1e-12 * max(1, size*size/math.Pow(c.want.v, 2./3)/100)
			for i := range want {
				for j := range want[i] {
					agree(t, "inertia "+"xyz"[i:i+1]+"xyz"[j:j+1], m[i][j], want[i][j], want[0][0]+want[1][1]+want[2][2], tol)
				}
			}
		})
	}
}

// TestInertiaFormulas compares with the formulas of the body as a whole: block m(b²+c²)/12, hollow cylinder m(R²+r²)/2 about
// its axis and m(3(R²+r²)+h²)/12 across it (handbook, moments of inertia of solids).
func TestInertiaFormulas(t *testing.T) {
	b := weigh(t, sheet(12, corners(0, 0, 80, 0, 80, 50, 0, 50)))
	m := 80 * 50 * 12 * rho
	agree(t, "block xx", b.Inertia.XX, m*(50*50+12*12)/12, m*250, 1e-12)
	agree(t, "block yy", b.Inertia.YY, m*(80*80+12*12)/12, m*250, 1e-12)
	agree(t, "block zz", b.Inertia.ZZ, m*(80*80+50*50)/12, m*250, 1e-12)

	p := sheet(18, disc(30, -12, 55))
	p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 30, Y: -12, Diameter: 70}}
	r := weigh(t, p)
	m = math.Pi * (55*55 - 35*35) * 18 * rho
	agree(t, "ring zz", r.Inertia.ZZ, m*(55*55+35*35)/2, m*1000, 1e-12)
	agree(t, "ring xx", r.Inertia.XX, m*(3*(55*55+35*35)+18*18)/12, m*1000, 1e-12)
}

// TestInertiaAbout checks Steiner's theorem against closed forms: a block about an edge has m(a²+b²)/3, about its space
// diagonal m(a²b²+b²c²+c²a²)/(6(a²+b²+c²)) (handbook).
func TestInertiaAbout(t *testing.T) {
	a, b, c := 80.0, 50.0, 12.0
	r := weigh(t, sheet(c, corners(0, 0, a, 0, a, b, 0, b)))
	m := a * b * c * rho
	for _, k := range []struct {
		name        string
		point, axis [3]float64
		want        float64
	}{
		{"upright edge", [3]float64{0, 0, 99}, [3]float64{0, 0, -3}, m * (a*a + b*b) / 3},
		{"long edge", [3]float64{-7, b, c}, [3]float64{1e-200, 0, 0}, m * (b*b + c*c) / 3},
		{"diagonal", [3]float64{0, 0, 0}, [3]float64{a, b, c}, m * (a*a*b*b + b*b*c*c + c*c*a*a) / (6 * (a*a + b*b + c*c))},
		{"diagonal, very long axis", [3]float64{0, 0, 0}, [3]float64{a * 1e300, b * 1e300, c * 1e300}, m * (a*a*b*b + b*b*c*c + c*c*a*a) / (6 * (a*a + b*b + c*c))},
	} {
		got, err := r.InertiaAbout(k.point, k.axis)
		if err != nil {
			t.Errorf("%s: %v", k.name, err)
			continue
		}
		agree(t, k.name, got, k.want, k.want, 1e-12)
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, k := range [][2][3]float64{
		{{}, {}}, {{}, {nan, 0, 1}}, {{nan, 0, 0}, {0, 0, 1}}, {{}, {0, inf, 0}}, {{inf, 0, 0}, {1, 0, 0}},
	} {
		if v, err := r.InertiaAbout(k[0], k[1]); err == nil {
			t.Errorf("InertiaAbout(%v, %v) = %v, want an error", k[0], k[1], v)
		}
	}
}

// TestInvariance moves, turns and mirrors a plate with every form in it: volume stays, centroid and tensor follow.
func TestInvariance(t *testing.T) {
	base := weigh(t, busy())
	for _, c := range []struct {
		name   string
		deg    float64
		mirror bool
		dx, dy float64
	}{
		{"moved", 0, false, 1234.5, -678.25},
		{"turned by 90°", 90, false, 0, 0},
		{"turned by 33.7° and moved", 33.7, false, -40, 15},
		{"mirrored", 0, true, 0, 0},
		{"mirrored, turned and moved", 251, true, 500, 500},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := c.deg * math.Pi / 180
			f := geom.Affine{}
			if c.mirror {
				f = geom.MirrorX()
			}
			f = f.Then(geom.Rotation(a)).Then(geom.Translation(geom.Pt(c.dx, c.dy)))
			got := weigh(t, moved(busy(), f, c.deg))
			agree(t, "volume", got.Volume, base.Volume, base.Volume, 1e-9)
			agree(t, "surface", got.WettedArea, base.WettedArea, base.WettedArea, 1e-9)
			q := f.Apply(geom.Pt(base.Centroid[0], base.Centroid[1]))
			agree(t, "x", got.Centroid[0], q.X, 100, 1e-9)
			agree(t, "y", got.Centroid[1], q.Y, 100, 1e-9)
			agree(t, "z", got.Centroid[2], base.Centroid[2], 10, 1e-9)
			s := 1.0
			if c.mirror {
				s = -1
			}
			sin, cos := math.Sincos(a)
			rot := [3][3]float64{{s * cos, -sin, 0}, {s * sin, cos, 0}, {0, 0, 1}}
			want, m := turn(rot, matrix(base.Inertia)), matrix(got.Inertia)
			for i := range want {
				for j := range want[i] {
					agree(t, "inertia "+"xyz"[i:i+1]+"xyz"[j:j+1], m[i][j], want[i][j], base.Inertia.ZZ, 1e-9)
				}
			}
		})
	}
}

// turn is R·J·Rᵀ.
func turn(r, j [3][3]float64) (out [3][3]float64) {
	for a := range 3 {
		for b := range 3 {
			for c := range 3 {
				for d := range 3 {
					out[a][b] += r[a][c] * j[c][d] * r[b][d]
				}
			}
		}
	}
	return out
}

// TestSharesAndCuts checks that the owners' shares sum to the plate, and that the volume from the map is that from the cuts,
// which shares nothing with it.
func TestSharesAndCuts(t *testing.T) {
	l := derive(t, busy())
	for _, f := range l.Findings {
		if strings.HasPrefix(f.Code, "point-") {
			t.Fatalf("the plate of this test must have no broken drill points: %s", f.What)
		}
	}
	r, err := mass.Of(l)
	if err != nil {
		t.Fatal(err)
	}
	sum, kg := 0.0, 0.0
	for _, s := range r.Shares {
		sum += s.Volume
		kg += s.MassKG
	}
	agree(t, "sum of shares", sum, r.Volume, r.Volume, 1e-12)
	agree(t, "sum of masses", kg, r.MassKG, r.MassKG, 1e-12)
	v, err := l.VolumeFromCuts()
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "volume from the cuts", r.Volume, v, v, 1e-9)
	agree(t, "volume of the layout", r.Volume, l.Volume(), v, 1e-12)
	agree(t, "removed", r.Removed, l.BlankVolume()-v, v, 1e-9)
}

// TestSurface compares the whole surface with sums by hand.
func TestSurface(t *testing.T) {
	block := func() plate.Plate { return sheet(20, corners(0, 0, 100, 0, 100, 60, 0, 60)) }
	bare := 2 * (100.*60 + 100*20 + 60*20)
	rim := 2*(40.+30-4*5) + 2*math.Pi*5 // length round a pocket of 40 × 30 with corners of 5 mm
	area := 40.*30 - (4-math.Pi)*25
	for _, c := range []struct {
		name string
		set  func(*plate.Plate)
		want float64
	}{
		{"block", func(*plate.Plate) {}, bare},
		{"through bore", func(p *plate.Plate) { p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 30, Y: 30, Diameter: 20}} }, bare + math.Pi*20*20 - 2*math.Pi*100},
		{"pocket", func(p *plate.Plate) { p.Pockets = []plate.Pocket{field(1, plate.Top, 8, 5, 10, 10, 50, 40)} }, bare + rim*8},
		{"window", func(p *plate.Plate) { p.Pockets = []plate.Pocket{field(1, plate.Through, 0, 5, 10, 10, 50, 40)} }, bare + rim*20 - 2*area},
		{"pockets over each other", func(p *plate.Plate) {
			p.Pockets = []plate.Pocket{field(1, plate.Top, 8, 5, 10, 10, 50, 40), field(2, plate.Bottom, 6, 5, 10, 10, 50, 40)}
		}, bare + rim*14},
		{"blind thread", func(p *plate.Plate) {
			p.Holes = []plate.Hole{{ID: 2, Name: "t", X: 20, Y: 30, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 7}}}
			// 12 mm drilled by 5 mm; the mantle of a cone is π·r·√(r²+h²) = πr²/sin 59°.
		}, bare + math.Pi*5*12 + math.Pi*2.5*2.5*(1/math.Sin(59*math.Pi/180)-1)},
	} {
		p := block()
		c.set(&p)
		agree(t, c.name, weigh(t, p).WettedArea, c.want, c.want, 1e-12)
	}
}

func TestOfRefuses(t *testing.T) {
	good := derive(t, sheet(10, corners(0, 0, 50, 0, 50, 50, 0, 50)))
	for _, c := range []struct {
		name, want string
		l          *layout.Layout
	}{
		{"nil", "no map", nil},
		{"no map", "no map", &layout.Layout{}},
		{"no density", "density", withDensity(good, 0)},
		{"negative density", "density", withDensity(good, -2700)},
		{"density not a number", "density", withDensity(good, math.NaN())},
		{"infinite density", "density", withDensity(good, math.Inf(1))},
		{"nothing left", "remove all", derive(t, func() plate.Plate {
			p := sheet(10, corners(0, 0, 50, 0, 50, 50, 0, 50))
			p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 25, Y: 25, Diameter: 90}}
			return p
		}())},
	} {
		if _, err := mass.Of(c.l); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: Of gave %v, want an error with %q", c.name, err, c.want)
		}
	}
}

func withDensity(l *layout.Layout, d float64) *layout.Layout {
	c := *l
	c.Plate.Stock.Material.Density = d
	return &c
}
