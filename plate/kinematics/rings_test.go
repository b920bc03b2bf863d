package kinematics_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
)

func lcm(n, m int) int {
	a, b := n, m
	for b != 0 {
		a, b = b, a%b
	}
	return n / a * m
}

// TestEqualRings holds the closed form: rings of n and m equally spaced holes step by 360°/lcm(n, m), with gcd(n, m) bolts.
func TestEqualRings(t *testing.T) {
	for n := 1; n <= 26; n++ {
		for m := 1; m <= 26; m++ {
			start := float64(n) * 1.7
			at, err := kinematics.Clock(kinematics.Equal(n, start), kinematics.Equal(m, 0), 0)
			if err != nil {
				t.Fatal(err)
			}
			step, bolts := kinematics.Step(n, m)
			if want := 360 / float64(lcm(n, m)); math.Abs(step-want) > 1e-12 || bolts != n*m/lcm(n, m) {
				t.Errorf("Step(%d, %d) = %v, %d; want %v, %d", n, m, step, bolts, want, n*m/lcm(n, m))
			}
			if len(at) != lcm(n, m) {
				t.Errorf("rings of %d and %d holes meet at %d angles, want %d", n, m, len(at), lcm(n, m))
				continue
			}
			for i, p := range at {
				if p.Bolts != bolts || len(p.Own) != bolts || len(p.Mate) != bolts {
					t.Errorf("rings of %d and %d holes hold by %d bolts at %v°, want %d", n, m, p.Bolts, p.AngleDeg, bolts)
				}
				if i > 0 && math.Abs(p.AngleDeg-at[i-1].AngleDeg-step) > 1e-9 {
					t.Errorf("rings of %d and %d holes step by %v°, want %v", n, m, p.AngleDeg-at[i-1].AngleDeg, step)
				}
			}
		}
	}
}

// TestClockAgainstTurning compares with turning a ring in small steps and counting the holes that meet.
func TestClockAgainstTurning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.SliceOfNDistinct(rapid.IntRange(0, 359), 1, 12, rapid.ID[int])
		own, mate := ring(whole.Draw(t, "own")), ring(whole.Draw(t, "mate"))
		at, err := kinematics.Clock(own, mate, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		bolts := map[int]int{} // by whole degree
		for _, p := range at {
			bolts[int(math.Round(p.AngleDeg))%360] += p.Bolts
		}
		for deg := range 360 {
			want := 0
			for _, a := range own {
				for _, b := range mate {
					if (int(a)-int(b)-deg)%360 == 0 {
						want++
					}
				}
			}
			if bolts[deg] != want {
				t.Fatalf("%v and %v at %d°: %d bolts, want %d", own, mate, deg, bolts[deg], want)
			}
			if deg%9 != 0 {
				continue
			}
			p, err := kinematics.At(own, mate, float64(deg), 0.01)
			if err != nil || p.Bolts != want {
				t.Fatalf("At(%v, %v, %d) = %v, %v; want %d bolts", own, mate, deg, p, err, want)
			}
		}
	})
}

func ring(deg []int) kinematics.Ring {
	r := make(kinematics.Ring, len(deg))
	for i, d := range deg {
		r[i] = float64(d)
	}
	return r
}

// TestDrawnRings: rings drilled a little off still hold by all their bolts within the tolerance, and by fewer outside it.
func TestDrawnRings(t *testing.T) {
	own := kinematics.Ring{0, 90.02, 180, 269.98}
	mate := kinematics.Equal(4, 0)
	at, err := kinematics.Clock(own, mate, 0.05)
	if err != nil || len(at) != 4 || at[0].Bolts != 4 {
		t.Errorf("within 0.05°: %v, %v; want four angles of four bolts", at, err)
	}
	at, err = kinematics.Clock(own, mate, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	most, all := 0, 0
	for _, p := range at {
		most = max(most, p.Bolts)
		all += p.Bolts
	}
	if most != 2 || all != 16 { // each of the 4 × 4 pairs meets somewhere
		t.Errorf("within 0.001°: %v; want two bolts at most, sixteen meetings", at)
	}
	// A span of angles: at 0.03° the two outliers leave no common angle for all, the group of most bolts is named with its holes.
	at, err = kinematics.Clock(kinematics.Ring{0, 120.04, 240}, kinematics.Equal(3, 0), 0.015)
	if err != nil || at[0].Bolts != 2 || at[0].Own[0] != 1 || at[0].Own[1] != 3 {
		t.Errorf("three holes with one off: %v, %v; want holes 1 and 3 first", at, err)
	}
}

func TestClockRefuses(t *testing.T) {
	for _, c := range []struct {
		own, mate kinematics.Ring
		tol       float64
		want      string
	}{
		{nil, kinematics.Equal(3, 0), 0, "0 holes"},
		{kinematics.Equal(3, 0), make(kinematics.Ring, 361), 0, "361 holes"},
		{kinematics.Equal(361, 0), kinematics.Equal(3, 0), 0, "0 holes"},
		{kinematics.Ring{math.NaN()}, kinematics.Equal(3, 0), 0, "NaN"},
		{kinematics.Ring{math.Inf(1)}, kinematics.Equal(3, 0), 0, "Inf"},
		{kinematics.Ring{10, 370}, kinematics.Equal(3, 0), 0, "holes 1 and 2"},
		{kinematics.Equal(300, 0), kinematics.Equal(3, 0), 1, "within the tolerance"},
		{kinematics.Equal(3, 0), kinematics.Equal(3, 0), -1, "tolerance"},
		{kinematics.Equal(3, 0), kinematics.Equal(3, 0), math.NaN(), "tolerance"},
	} {
		if at, err := kinematics.Clock(c.own, c.mate, c.tol); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Clock(%v, %v, %v) = %v, %v; want an error with %q", c.own, c.mate, c.tol, at, err, c.want)
		}
		if _, err := kinematics.At(c.own, c.mate, 0, c.tol); err == nil {
			t.Errorf("At(%v, %v, 0, %v): no error", c.own, c.mate, c.tol)
		}
	}
	if _, err := kinematics.At(kinematics.Equal(3, 0), kinematics.Equal(3, 0), math.NaN(), 0); err == nil {
		t.Error("At(NaN): no error")
	}
}

// TestRingsOf: the mate of a plate's clocked ring starts where the document says.
func TestRingsOf(t *testing.T) {
	c := plate.ClockedRing{MateCount: 3, MateStartDeg: 10, MateAngles: []float64{0, 100, 200}}
	c.Count, c.StartDeg = 4, 30
	own, mate := kinematics.RingsOf(c)
	if len(own) != 4 || own[1] != 120 || len(mate) != 3 || mate[2] != 210 {
		t.Errorf("RingsOf = %v, %v", own, mate)
	}
	if own.Ligament(80, 8.5); len(own) != 4 {
		t.Error("Ligament changed the ring")
	}
}

// TestTwoSettings finds rings for a head clocked at 27° and 31° that hold by three bolts at each: three turned by the 4°
// alone would break into each other.
func TestTwoSettings(t *testing.T) {
	found, err := kinematics.RingsFor([]float64{27, 31}, 3, 24)
	if err != nil {
		t.Fatal(err)
	}
	best := found[0]
	if len(best.Own) != 6 || len(best.Mate) != 6 || best.LeastGap < 57.9 {
		t.Errorf("best rings %+v; want six holes each, hardly less than 60° apart", best)
	}
	if mm, _, _ := best.Own.Ligament(90, 8.4); mm < 30 {
		t.Errorf("ligament %v mm, want ample", mm)
	}
	equal := false
	for _, p := range found {
		for i, w := range []float64{27, 31} {
			if p.Wanted[i].Bolts < 3 || math.Abs(p.Wanted[i].AngleDeg-w) > 1e-9 {
				t.Errorf("%+v at %v°: %+v", p, w, p.Wanted[i])
			}
		}
		if p.Equal {
			equal = true
			if step, bolts := kinematics.Step(len(p.Own), len(p.Mate)); bolts < 3 || math.Abs(math.Round(4/step)-4/step) > 1e-9 {
				t.Errorf("equal rings of %d and %d step by %v°", len(p.Own), len(p.Mate), step)
			}
		}
	}
	if !equal {
		t.Error("no equally spaced rings; 18 and 15 holes step by 4° with three bolts")
	}
}

// TestRingsForHolds: whatever is found holds at every wanted angle, and neighbouring holes are apart.
func TestRingsForHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	found := 0
	for range 200 {
		wanted := make([]float64, 1+r.IntN(4))
		for i := range wanted {
			wanted[i] = math.Round(r.Float64()*900)/10 - 45
		}
		least := 1 + r.IntN(4)
		pairs, err := kinematics.RingsFor(wanted, least, 24)
		if err != nil {
			continue
		}
		found++
		for _, p := range pairs {
			if p.LeastGap <= 0 || len(p.Own) > 24 || len(p.Mate) > 24 {
				t.Errorf("%v by %d: %+v", wanted, least, p)
			}
			for _, w := range wanted {
				if at, err := kinematics.At(p.Own, p.Mate, w, 1e-4); err != nil || at.Bolts < least {
					t.Errorf("%v by %d: %d bolts at %v° (%v)", wanted, least, at.Bolts, w, err)
				}
			}
			if len(p.All) < 1 {
				t.Errorf("%v by %d: holds nowhere", wanted, least)
			}
		}
	}
	if found < 190 {
		t.Errorf("rings found for %d of 200, want nearly all", found)
	}
}

func TestRingsForRefuses(t *testing.T) {
	for _, c := range []struct {
		wanted      []float64
		least, most int
		want        string
	}{
		{nil, 3, 12, "0 clocked angles"},
		{make([]float64, 8), 3, 12, "8 clocked angles"},
		{[]float64{1}, 0, 12, "bolts"},
		{[]float64{1}, 5, 4, "bolts"},
		{[]float64{1}, 3, 361, "holes"},
		{[]float64{math.NaN()}, 3, 12, "NaN"},
		{[]float64{0, 1.234, 2.891, 4.77}, 4, 12, "more holes"},
	} {
		if p, err := kinematics.RingsFor(c.wanted, c.least, c.most); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("RingsFor(%v, %d, %d) = %v, %v; want an error with %q", c.wanted, c.least, c.most, p, err, c.want)
		}
	}
}

func TestLigament(t *testing.T) {
	if mm, a, b := (kinematics.Ring{0, 350, 100}).Ligament(100, 8); math.Abs(mm-(100*math.Sin(5*math.Pi/180)-8)) > 1e-9 || a != 1 || b != 2 {
		t.Errorf("Ligament = %v between %d and %d; want %v between 1 and 2", mm, a, b, 100*math.Sin(5*math.Pi/180)-8)
	}
	if mm, a, _ := (kinematics.Ring{5}).Ligament(100, 8); !math.IsInf(mm, 1) || a != 0 {
		t.Errorf("one hole has the ligament %v", mm)
	}
}

// travel is the distance between the extreme positions of an eccentric along a line.
func travel(e kinematics.Eccentric) float64 { return e.Centre(30).Dist(e.Centre(210)) }

func TestEccentric(t *testing.T) {
	// Common practice, no source: an eccentric that moves a centre by 1 in has e = 12.7 mm.
	if e := (kinematics.Eccentric{E: 12.7}); math.Abs(travel(e)-25.4) > 1e-12 {
		t.Errorf("travel %v mm, want 25.4", travel(e))
	}
	rapid.Check(t, func(t *rapid.T) {
		c := kinematics.Eccentric{
			Axis: geom.Pt(rapid.Float64Range(-500, 500).Draw(t, "x"), rapid.Float64Range(-500, 500).Draw(t, "y")),
			E:    rapid.Float64Range(0.1, 50).Draw(t, "e"),
		}
		direction := rapid.Float64Range(-360, 360).Draw(t, "direction")
		along := rapid.Float64Range(-1, 1).Draw(t, "share") * c.E
		a, b, err := c.Angles(along, direction)
		if err != nil {
			t.Fatal(err)
		}
		s, co := math.Sincos(direction * math.Pi / 180)
		for _, deg := range []float64{a, b} {
			at := c.Centre(deg)
			if math.Abs(at.Dist(c.Axis)-c.E) > 1e-9 || math.Abs(at.Sub(c.Axis).Dot(geom.Pt(co, s))-along) > 1e-7 {
				t.Fatalf("%+v along %v° by %v: angle %v gives %v", c, direction, along, deg, at)
			}
		}
	})
	c := kinematics.Eccentric{E: 6}
	for _, along := range []float64{6.001, -7, math.NaN(), math.Inf(1)} {
		if a, b, err := c.Angles(along, 0); err == nil || !strings.Contains(err.Error(), "-6 to 6 mm") {
			t.Errorf("Angles(%v) = %v, %v, %v; want an error that names the range", along, a, b, err)
		}
	}
	if _, _, err := (kinematics.Eccentric{}).Angles(0, 0); err == nil {
		t.Error("an eccentric without eccentricity has angles")
	}
}

func TestSlide(t *testing.T) {
	s := plate.Slot{Name: "Belt", X: 10, Y: 20, Length: 30, AngleDeg: 90}
	if p, err := kinematics.Slide(s, 15); err != nil || p.Dist(geom.Pt(10, 35)) > 1e-12 {
		t.Errorf("Slide(15) = %v, %v; want 10,35", p, err)
	}
	for _, at := range []float64{15.1, -16, math.NaN()} {
		if p, err := kinematics.Slide(s, at); err == nil || !strings.Contains(err.Error(), `"Belt"`) {
			t.Errorf("Slide(%v) = %v, %v; want an error that names the slot", at, p, err)
		}
	}
}

// TestSteeringRange holds a figure of the trade (common practice, no source): a steering pivot clocked between rakes of 27°
// and 31° keeps 3.5 to 4.5 in of trail at both with one eccentric and two base offsets. The wheel is that of a cargo trike,
// a 47-406 cycle tyre loaded to 97 % of its radius; the eccentric moves the centre by 1 in.
func TestSteeringRange(t *testing.T) {
	const e, least, most = 12.7, 3.5 * 25.4, 4.5 * 25.4
	radius := 0.97 * kinematics.CycleRadius(47, 406)
	var offsets []float64
	for _, rake := range []float64{27, 31} {
		o, err := kinematics.OffsetFor(radius, rake, 4*25.4)
		if err != nil {
			t.Fatal(err)
		}
		offsets = append(offsets, o)
		s := kinematics.Steering{Radius: radius, RakeDeg: rake, Offset: o}
		if math.Abs(s.Trail()-101.6) > 1e-9 {
			t.Errorf("rake %v°: offset %v gives the trail %v, want 101.6", rake, o, s.Trail())
		}
		low, high, err := s.TrailRange(e)
		if err != nil || low > least || high < most {
			t.Errorf("rake %v°: base offset %.2f mm and the eccentric reach a trail of %.2f to %.2f mm, %v; want %v to %v within", rake, o, low, high, err, least, most)
		}
		// The ends of the wanted range lie within the eccentric's travel.
		for _, trail := range []float64{least, most} {
			at, err := kinematics.OffsetFor(radius, rake, trail)
			if err != nil {
				t.Fatal(err)
			}
			if _, _, err := (kinematics.Eccentric{E: e}).Angles(at-o, 0); err != nil {
				t.Errorf("rake %v°, trail %v: %v", rake, trail, err)
			}
		}
	}
	// Two base offsets are needed: with the one for 27° the range at 31° misses the upper end or the lower.
	s := kinematics.Steering{Radius: radius, RakeDeg: 31, Offset: offsets[0]}
	if low, _, _ := s.TrailRange(e); low <= least {
		t.Errorf("one base offset would do: %v mm is reached at 31°", low)
	}
	for _, s := range []kinematics.Steering{{Radius: 0}, {Radius: math.NaN()}, {Radius: 300, RakeDeg: 90}, {Radius: 300, Offset: math.Inf(1)}} {
		if _, _, err := s.TrailRange(e); err == nil {
			t.Errorf("TrailRange of %+v: no error", s)
		}
	}
	if _, err := kinematics.OffsetFor(300, 20, math.NaN()); err == nil {
		t.Error("OffsetFor(NaN): no error")
	}
	if _, _, err := (kinematics.Steering{Radius: 300}).TrailRange(-1); err == nil {
		t.Error("TrailRange(-1): no error")
	}
}

// results reads "a=1; b=2" or one number.
func results(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, part := range strings.Split(s, ";") {
		_, after, found := strings.Cut(part, "=")
		if !found {
			after = part
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(after), 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

// TestGeometryRows compares every row of the published and derived values. Printed decimals give the tolerance.
func TestGeometryRows(t *testing.T) {
	f, err := os.Open("../../testdata/kinematics/geometry.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, rec := range all[1:] {
		id, want := rec[0], results(t, rec[5])
		in := map[string]float64{}
		if err := json.Unmarshal([]byte(rec[4]), &in); err != nil {
			t.Fatal(err)
		}
		got, ok := row(t, id, in)
		if !ok {
			t.Errorf("row %s is not compared with anything", id)
			continue
		}
		for i, w := range want {
			if math.Abs(got[i]-w) > 6e-7 && !(i == 2 && math.Abs(got[i]-w) < 5e-4 && strings.HasPrefix(id, "etrto")) {
				t.Errorf("%s: %v, want %v (%s, %s)", id, got, want, rec[7], rec[8])
			}
		}
	}
}

// row computes what a row of geometry.csv is about.
func row(t *testing.T, id string, in map[string]float64) ([]float64, bool) {
	t.Helper()
	kind, _, _ := strings.Cut(id, "-")
	switch {
	case id == "ecc-1":
		return []float64{travel(kinematics.Eccentric{E: in["e_mm"]})}, true
	case strings.HasPrefix(id, "ecc-pos"):
		c := kinematics.Eccentric{E: in["e_mm"]}.Centre(in["theta_deg"])
		return []float64{c.X, c.Y}, true
	case id == "ecc-step":
		distinct := map[int64]bool{}
		for _, l := range (kinematics.Eccentric{E: 6}).Locks(int(in["n"]), 0) {
			distinct[int64(math.Round(l.Centre.X*1e6))] = true
		}
		return []float64{float64(len(distinct))}, true
	case strings.HasPrefix(id, "ring-chord"):
		ligament, _, _ := kinematics.Equal(int(in["n"]), 0).Ligament(2*in["R_mm"], in["d_mm"])
		return []float64{ligament + in["d_mm"], ligament}, true
	case kind == "ring":
		at, err := kinematics.Clock(kinematics.Equal(int(in["n"]), 0), kinematics.Equal(int(in["n"]), 0), 0)
		if err != nil || len(at) < 2 {
			t.Fatal(err)
		}
		return []float64{at[1].AngleDeg - at[0].AngleDeg}, true
	case kind == "vernier":
		at, err := kinematics.Clock(kinematics.Equal(int(in["n"]), 0), kinematics.Equal(int(in["m"]), 0), 0)
		if err != nil || len(at) < 2 {
			t.Fatal(err)
		}
		return []float64{at[1].AngleDeg - at[0].AngleDeg}, true
	case id == "trail-headangle":
		return []float64{kinematics.Steering{Radius: in["R_mm"], RakeDeg: 90 - in["H_deg"], Offset: in["offset_mm"]}.Trail()}, true
	case kind == "trail":
		s := kinematics.Steering{Radius: in["R_mm"], RakeDeg: in["a_deg_from_vertical"], Offset: in["offset_mm"]}
		return []float64{s.Trail(), s.Normal(), s.Flop()}, true
	case kind == "tyre":
		r := kinematics.TyreRadius(in["width_mm"], in["aspect_pct"], in["rim_in"])
		return []float64{2 * r, r}, true
	case kind == "etrto":
		r := kinematics.CycleRadius(in["width_mm"], in["bead_seat_mm"])
		return []float64{2 * r, r, 2 * math.Pi * r}, true
	}
	return nil, false
}
