package standard_test

import (
	"math"
	"testing"

	"platewright/plate/standard"
)

func TestSeatFit(t *testing.T) {
	for load, want := range map[standard.OuterRingLoad]string{standard.LoadStill: "H7", standard.LoadTurning: "N7"} {
		a, err := standard.SeatFit(load)
		if err != nil || a.Fits[0] != want || a.Why == "" || a.Source == "" {
			t.Errorf("SeatFit(%s) = %+v, %v; want %s first", load, a, err, want)
		}
		for _, class := range a.Fits { // what is recommended suits at every seat diameter
			for _, b := range standard.Bearings() {
				if ok, err := standard.SuitsLoad(class, b.Outer, load); err != nil || !ok {
					t.Errorf("SuitsLoad(%s, %v, %s) = %v, %v; want true", class, b.Outer, load, ok, err)
				}
			}
		}
	}
	for _, c := range []struct {
		class string
		load  standard.OuterRingLoad
	}{{"H7", standard.LoadTurning}, {"J7", standard.LoadTurning}, {"N7", standard.LoadStill}, {"P7", standard.LoadStill}} {
		if ok, err := standard.SuitsLoad(c.class, 42, c.load); err != nil || ok {
			t.Errorf("SuitsLoad(%s, 42, %s) = %v, %v; want false", c.class, c.load, ok, err)
		}
	}
	if a, err := standard.SeatFit("oscillating"); err == nil {
		t.Errorf("SeatFit of an unknown load = %v", a)
	}
	for _, class := range []string{"h6", "H99"} {
		if ok, err := standard.SuitsLoad(class, 42, standard.LoadStill); err == nil {
			t.Errorf("SuitsLoad(%s) = %v; want an error", class, ok)
		}
	}
}

// TestOuterRing compares with the clearance that a bearing maker prints for housing fits.
func TestOuterRing(t *testing.T) {
	for _, r := range rows(t, "housing_fits.csv") {
		for _, size := range across(number(t, r["over_mm"]), number(t, r["incl_mm"])) {
			seat, err := standard.Fit(r["class"], size)
			if err != nil {
				t.Fatal(err)
			}
			ring, err := standard.OuterRing(size)
			if err != nil {
				t.Fatal(err)
			}
			least, most := standard.Clearance(seat, ring)
			want := [3]float64{number(t, r["outer_ring_lower_um"]), number(t, r["least_clearance_um"]), number(t, r["most_clearance_um"])}
			for i, got := range [3]float64{ring.Lower, least, most} {
				if math.Abs(got-want[i]*um) > 1e-9 {
					t.Errorf("%s at %v mm: ring %v, clearance %v to %v mm, want %v µm (%s, %s)", r["class"], size, ring.Lower, least, most, want, r["source"], r["seen"])
				}
			}
		}
	}
	if l, err := standard.OuterRing(600); err == nil {
		t.Errorf("OuterRing(600) = %v; want an error", l)
	}
}

func TestShoulder(t *testing.T) {
	n := 0
	for _, r := range rows(t, "shoulders.csv") {
		want := standard.ShoulderSize{
			Chamfer: number(t, r["chamfer_mm"]), Fillet: number(t, r["fillet_max_mm"]),
			Height: number(t, r["height_min_mm"]), LeastEver: number(t, r["height_min_light_axial_load_mm"]),
		}
		if s, ok := standard.Shoulder(want.Chamfer); !ok || s != want {
			t.Errorf("Shoulder(%v) = %+v, %v; want %+v (%s, %s)", want.Chamfer, s, ok, want, r["source"], r["seen"])
		}
		n++
	}
	if n != len(standard.Shoulders()) {
		t.Errorf("%d shoulders are held, %d are published", len(standard.Shoulders()), n)
	}
	for _, b := range standard.Bearings() {
		least, most, ok := b.ShoulderBore()
		if b.Kind == standard.DrawnCup || b.Chamfer == 0 {
			if ok {
				t.Errorf("%s has no chamfer but a shoulder of %v to %v", b.Name, least, most)
			}
			continue
		}
		s, held := standard.Shoulder(b.Chamfer)
		if !held || s.Fillet > b.Chamfer || s.LeastEver > s.Height {
			t.Errorf("%s: shoulder %+v, %v for a chamfer of %v", b.Name, s, held, b.Chamfer)
		}
		if !ok || least <= b.Bore || most >= b.Outer || least > most {
			t.Errorf("%s: shoulder bore %v to %v, %v", b.Name, least, most, ok)
		}
	}
	b, err := standard.Bearing("6004")
	if err != nil {
		t.Fatal(err)
	}
	if least, most, ok := b.ShoulderBore(); !ok || least != 31 || most != 37.5 {
		t.Errorf("6004: shoulder bore %v to %v, %v; want 31 to 37.5", least, most, ok)
	}
	if _, ok := standard.Shoulder(0.37); ok {
		t.Error("a shoulder for a chamfer of 0.37 mm")
	}
}

// TestPress compares with closed forms: a solid plug of the boss's own material presses with p = E δ (D² − d²) / (2 d D²); a
// ring in a boss without end feels E δ / (d (1 + ν + 1/E' …)).
func TestPress(t *testing.T) {
	const e, nu, d, outer, delta = 70000.0, 0.33, 42.0, 70.0, 0.042
	plug := standard.Press{Diameter: d, Outer: outer, Interference: delta, BossE: e, BossNu: nu, RingE: e, RingNu: nu}
	s, err := plug.Stress()
	if err != nil {
		t.Fatal(err)
	}
	if want := e * delta * (outer*outer - d*d) / (2 * d * outer * outer); math.Abs(s.Pressure-want) > 1e-9*want {
		t.Errorf("a plug of the same material presses with %v MPa, want %v", s.Pressure, want)
	}
	if s.RingHoop != -s.Pressure {
		t.Errorf("a solid plug has hoop stress %v, want −%v everywhere", s.RingHoop, s.Pressure)
	}
	// Two rings of one material, d = 50, di = 25, D = 100 mm, E = 210000, δ = 0.05: p = Eδ/(2d³) (D²−d²)(d²−di²)/(D²−di²)
	// (the closed form for equal materials, e.g. Shigley).
	r := standard.Press{Diameter: 50, Outer: 100, Inner: 25, Interference: 0.05, BossE: 210000, BossNu: 0.3, RingE: 210000, RingNu: 0.3}
	s, err = r.Stress()
	if err != nil {
		t.Fatal(err)
	}
	want := 210000 * 0.05 / (2 * 50 * 50 * 50) * (10000 - 2500) * (2500 - 625) / (10000 - 625)
	if math.Abs(s.Pressure-want) > 1e-9*want {
		t.Errorf("two rings of one material press with %v MPa, want %v", s.Pressure, want)
	}
	if hoop := want * (10000 + 2500) / (10000 - 2500); math.Abs(s.Hoop-hoop) > 1e-9*hoop {
		t.Errorf("hoop stress %v, want %v", s.Hoop, hoop)
	}
	if hoop := -2 * want * 2500 / (2500 - 625); math.Abs(s.RingHoop-hoop) > 1e-9*want {
		t.Errorf("hoop stress of the ring %v, want %v", s.RingHoop, hoop)
	}
	// A steel ring in aluminium: what the bore grows and the ring gives is the interference; von Mises by its definition.
	a := standard.Press{Diameter: 42, Outer: 60, Inner: 37, Interference: 0.03, BossE: 70000, BossNu: 0.33, RingE: 208000, RingNu: 0.3}
	s, err = a.Stress()
	if err != nil {
		t.Fatal(err)
	}
	if got := s.BossGrow + s.RingGive; math.Abs(got-0.03) > 1e-12 {
		t.Errorf("growth and give add to %v, want the interference of 0.03", got)
	}
	if vm := math.Sqrt((math.Pow(s.Hoop+s.Pressure, 2) + s.Hoop*s.Hoop + s.Pressure*s.Pressure) / 2); math.Abs(vm-s.VonMises) > 1e-9 {
		t.Errorf("von Mises %v, want %v", s.VonMises, vm)
	}
	// A thin ring shrunk on a stiff plug is stretched by δ/d: hoop stress E δ/d.
	thin := standard.Press{Diameter: 100, Outer: 100.02, Interference: 0.05, BossE: 70000, BossNu: 0.33, RingE: 1e12}
	if s, err = thin.Stress(); err != nil || math.Abs(s.Hoop-35) > 0.02 {
		t.Errorf("a thin ring on a stiff plug has %v MPa, %v; want 35", s.Hoop, err)
	}
}

func TestLeastBoss(t *testing.T) {
	p := standard.Press{Diameter: 42, Outer: 60, Inner: 37, Interference: 0.042, BossE: 70000, BossNu: 0.33, RingE: 208000, RingNu: 0.3}
	outer, err := p.LeastBoss(30)
	if err != nil {
		t.Fatal(err)
	}
	p.Outer = outer
	if s, err := p.Stress(); err != nil || math.Abs(s.Hoop-30) > 1e-6 {
		t.Errorf("the least boss of %v mm has %v MPa, %v; want 30", outer, s.Hoop, err)
	}
	if got, err := p.LeastBoss(1000); err != nil || got > 42.1 {
		t.Errorf("LeastBoss(1000) = %v, %v; want hardly more than the seat", got, err)
	}
	for _, allowable := range []float64{1, 0, -5, math.NaN()} {
		if got, err := p.LeastBoss(allowable); err == nil {
			t.Errorf("LeastBoss(%v) = %v; want an error", allowable, got)
		}
	}
	p.BossE = -1
	if got, err := p.LeastBoss(30); err == nil {
		t.Errorf("LeastBoss of a wrong fit = %v", got)
	}
}

func TestPressRefuses(t *testing.T) {
	good := standard.Press{Diameter: 42, Outer: 60, Inner: 37, Interference: 0.03, BossE: 70000, BossNu: 0.33, RingE: 208000, RingNu: 0.3}
	for i, spoil := range []func(p *standard.Press){
		func(p *standard.Press) { p.Diameter = 0 },
		func(p *standard.Press) { p.Diameter = math.NaN() },
		func(p *standard.Press) { p.Outer = 42 },
		func(p *standard.Press) { p.Outer = math.Inf(1) },
		func(p *standard.Press) { p.Inner = 42 },
		func(p *standard.Press) { p.Inner = -1 },
		func(p *standard.Press) { p.Interference = -0.01 },
		func(p *standard.Press) { p.BossE = 0 },
		func(p *standard.Press) { p.RingE = -1 },
		func(p *standard.Press) { p.BossNu = 0.5 },
		func(p *standard.Press) { p.RingNu = -0.1 },
	} {
		p := good
		spoil(&p)
		if s, err := p.Stress(); err == nil {
			t.Errorf("case %d: %+v gives %+v; want an error", i, p, s)
		}
	}
}

// TestPressed: a 6004 in P7 (42 −0.017/−0.042, ring 0/−0.011) is pressed by 0.042 mm at most, in H7 by nothing.
func TestPressed(t *testing.T) {
	b, err := standard.Bearing("6004")
	if err != nil {
		t.Fatal(err)
	}
	// A bearing maker's drawing dimension of the 6004's outer ring shoulder is 37.2 mm; the raceway lies a little outside it.
	if r := b.Raceway(); r < 37.2 || r > 38.5 {
		t.Errorf("raceway %v mm", r)
	}
	interference, s, err := b.Pressed("P7", 60, 70_000, 0.33)
	if err != nil || math.Abs(interference-0.042) > 1e-12 || s.Hoop < 10 || s.Hoop > 60 {
		t.Errorf("Pressed(P7) = %v, %+v, %v", interference, s, err)
	}
	want, err := standard.Press{Diameter: 42, Outer: 60, Inner: b.Raceway(), Interference: 0.042, BossE: 70_000, BossNu: 0.33, RingE: 208_000, RingNu: 0.3}.Stress()
	if err != nil || math.Abs(want.Hoop-s.Hoop) > 1e-9 {
		t.Errorf("hoop stress %v, want %v (%v)", s.Hoop, want.Hoop, err)
	}
	if interference, s, err = b.Pressed("H7", 60, 70_000, 0.33); err != nil || interference != 0 || s.Hoop != 0 {
		t.Errorf("Pressed(H7) = %v, %+v, %v; want no press", interference, s, err)
	}
	for _, c := range []struct {
		class string
		boss  float64
	}{{"p6", 60}, {"X9", 60}, {"P7", 42}} {
		if _, s, err := b.Pressed(c.class, c.boss, 70_000, 0.33); err == nil {
			t.Errorf("Pressed(%s, boss %v) = %+v; want an error", c.class, c.boss, s)
		}
	}
}
