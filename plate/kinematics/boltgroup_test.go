package kinematics_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/plate/geom"
	"platewright/plate/kinematics"
)

func joint(bolts ...geom.Point) kinematics.BoltGroup {
	return kinematics.BoltGroup{Bolts: bolts, Faces: 1, Preload: 10_000, Friction: 0.15, Diameter: 8, Area: 36.6, Thickness: 10}
}

// TestBoltGroup compares with closed forms: n bolts on a circle of radius r bear M/(n r) each.
func TestBoltGroup(t *testing.T) {
	own := kinematics.Equal(6, 0)
	at, err := kinematics.At(own, kinematics.Equal(3, 0), 60, 0)
	if err != nil || at.Bolts != 3 {
		t.Fatal(at, err)
	}
	g := joint(kinematics.HoldingBolts(own, at, geom.Pt(100, 50), 90)...)
	g.Moment = 270_000
	l, err := g.Load()
	if err != nil || math.Abs(l.Greatest-270_000/(3*45.0)) > 1e-6 {
		t.Errorf("three bolts under a moment: %v, %v; want 2000 N each", l, err)
	}
	if math.Abs(l.SlipReserve-0.75) > 1e-9 || math.Abs(l.Shear-2000/36.6) > 1e-6 || math.Abs(l.Bearing-25) > 1e-9 {
		t.Errorf("reserve %v, shear %v, bearing %v; want 0.75, %v, 25", l.SlipReserve, l.Shear, l.Bearing, 2000/36.6)
	}
	// A worked bracket (closed form): four bolts at (±60, ±75), 16 kN down at 425 mm from their centre. Direct 4 kN each; the
	// moment of 6.8e6 N·mm over 4 r = 4·96.05 mm gives 17.7 kN on each; the worst bear √((4+11.06)² + 13.82²) = 20.4 kN each.
	b := joint(geom.Pt(60, 75), geom.Pt(-60, 75), geom.Pt(60, -75), geom.Pt(-60, -75))
	b.Force, b.At = geom.Pt(0, -16_000), geom.Pt(425, 0)
	l, err = b.Load()
	r := math.Hypot(60, 75)
	turn := 16_000 * 425 / (4 * r)
	if want := math.Hypot(4000+turn*60/r, turn*75/r); err != nil || math.Abs(l.Greatest-want) > 1e-6 || l.Worst != 1 && l.Worst != 3 {
		t.Errorf("bracket: %v by bolt %d, %v; want %v by 1 or 3", l.Greatest, l.Worst, err, want)
	}
	one := joint(geom.Pt(3, 4))
	one.Force, one.At = geom.Pt(600, 800), geom.Pt(3, 4)
	if l, err := one.Load(); err != nil || l.Greatest != 1000 {
		t.Errorf("one bolt under a force through it: %v, %v", l, err)
	}
	one.At = geom.Pt(5, 4)
	if l, err := one.Load(); err == nil || !strings.Contains(err.Error(), "turns about the bolt") {
		t.Errorf("one bolt under a moment: %v, %v; want an error", l, err)
	}
	idle := joint(geom.Pt(0, 0), geom.Pt(10, 0))
	if l, err := idle.Load(); err != nil || !math.IsInf(l.SlipReserve, 1) || l.Worst != 1 {
		t.Errorf("without load: %v, %v", l, err)
	}
}

// TestBoltGroupBalance: the forces on the bolts balance force and moment, wherever they stand.
func TestBoltGroupBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-200, 200)
		var pts []geom.Point
		for range rapid.IntRange(2, 8).Draw(t, "bolts") {
			pts = append(pts, geom.Pt(mm.Draw(t, "x"), mm.Draw(t, "y")))
		}
		g := joint(pts...)
		g.Force, g.At, g.Moment = geom.Pt(mm.Draw(t, "fx"), mm.Draw(t, "fy")), geom.Pt(mm.Draw(t, "ax"), mm.Draw(t, "ay")), mm.Draw(t, "m")
		l, err := g.Load()
		if err != nil {
			t.Skip("all bolts at one place")
		}
		var sum geom.Point
		moment := 0.0
		for i, f := range l.Forces {
			sum, moment = sum.Add(f), moment+pts[i].Cross(f)
		}
		want := g.Moment + g.At.Cross(g.Force)
		if sum.Sub(g.Force).Len() > 1e-9*(1+g.Force.Len()) || math.Abs(moment-want) > 1e-6*(1+math.Abs(want)) {
			t.Fatalf("forces sum to %v about %v, want %v about %v", sum, moment, g.Force, want)
		}
	})
}

func TestBoltGroupRefuses(t *testing.T) {
	for i, spoil := range []func(g *kinematics.BoltGroup){
		func(g *kinematics.BoltGroup) { g.Bolts = nil },
		func(g *kinematics.BoltGroup) { g.Bolts = make([]geom.Point, 361) },
		func(g *kinematics.BoltGroup) { g.Bolts[0].X = math.NaN() },
		func(g *kinematics.BoltGroup) { g.Moment = math.Inf(1) },
		func(g *kinematics.BoltGroup) { g.Preload = -1 },
		func(g *kinematics.BoltGroup) { g.Friction = -0.1 },
		func(g *kinematics.BoltGroup) { g.Faces = 0 },
		func(g *kinematics.BoltGroup) { g.Faces = 3 },
		func(g *kinematics.BoltGroup) { g.Diameter = 0 },
		func(g *kinematics.BoltGroup) { g.Area = -1 },
		func(g *kinematics.BoltGroup) { g.Thickness = 0 },
	} {
		g := joint(geom.Pt(0, 0), geom.Pt(10, 0))
		spoil(&g)
		if l, err := g.Load(); err == nil {
			t.Errorf("case %d: %+v gives %+v; want an error", i, g, l)
		}
	}
}
