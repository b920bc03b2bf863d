package kinematics_test

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
	"platewright/plate/set"
)

// The trike of these tests: a side plate with the rear axle and a clocked ring for the head; a head with the steering axis
// along its y axis, two base offsets for the front axle, and an eccentric in each.
const (
	radius   = 0.97 * (203 + 47) // loaded, of a 47-406 tyre, mm
	fork     = 300.0             // from the head's centre along the axis, mm
	base     = 1000.0            // from the rear axle to the head, mm
	idRear   = 1
	idHead   = 2
	idRing   = 3
	idCentre = 1
	idLow    = 2
	idHigh   = 3
	idNear   = 6
	idFar    = 7
)

func deg(rad float64) float64 { return rad * 180 / math.Pi }
func rad(deg float64) float64 { return deg * math.Pi / 180 }

// offsets are the two base offsets of the front axle that give 4 in of trail at rakes of 27° and 31°, on level ground.
func offsets(t *testing.T) (near, far float64) {
	t.Helper()
	near, err := kinematics.OffsetFor(radius, 27, 101.6)
	if err != nil {
		t.Fatal(err)
	}
	if far, err = kinematics.OffsetFor(radius, 31, 101.6); err != nil {
		t.Fatal(err)
	}
	return near, far
}

func side(t *testing.T) plate.Plate {
	t.Helper()
	near, _ := offsets(t)
	s, c := math.Sincos(rad(27))
	headY := -(near*s - fork*c) // the machine stands level at 27°
	p := plate.New("side")
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: -60, Y: -60, Radius: 20}, {X: base + 80, Y: headY - 80, Radius: 20}, {X: base + 80, Y: headY + 80, Radius: 20}, {X: -60, Y: 60, Radius: 20}}}
	p.Bores = []plate.Bore{{ID: idRear, Name: "Rear axle", Diameter: 20, Boss: 10}, {ID: idHead, Name: "Head", X: base, Y: headY, Diameter: 60, Boss: 30}}
	pairs, err := kinematics.RingsFor([]float64{27, 31}, 3, 24)
	if err != nil {
		t.Fatal(err)
	}
	ring := plate.ClockedRing{MateCount: len(pairs[0].Mate), MateAngles: pairs[0].Mate, LeastBolts: 3, WantedDeg: []float64{27, 31}, PositionDeg: 27}
	ring.ID, ring.Name, ring.Bore, ring.Diameter = idRing, "Clock", idHead, 96
	ring.Count, ring.Angles = len(pairs[0].Own), pairs[0].Own
	ring.HoleForm = plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}
	p.Rings, p.NextID = []plate.ClockedRing{ring}, 10
	p.Settings = []plate.Setting{
		{ID: 8, Name: "steep", Values: []plate.SettingValue{{Feature: idRing, AngleDeg: 27}}},
		{ID: 9, Name: "slack", Values: []plate.SettingValue{{Feature: idRing, AngleDeg: 31}}},
	}
	return p
}

func head(t *testing.T) plate.Plate {
	t.Helper()
	near, far := offsets(t)
	p := plate.New("head")
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: -70, Y: -340, Radius: 10}, {X: 90, Y: -340, Radius: 10}, {X: 90, Y: 90, Radius: 10}, {X: -70, Y: 90, Radius: 10}}}
	p.Bores = []plate.Bore{
		{ID: idCentre, Name: "Centre", Diameter: 60},
		{ID: idLow, Name: "Lower", Y: -60, Diameter: 20},
		{ID: idHigh, Name: "Upper", Y: 60, Diameter: 20},
		{ID: 4, Name: "Near", X: near, Y: -fork, Diameter: 40},
		{ID: 5, Name: "Far", X: far, Y: -fork, Diameter: 40},
	}
	// At 90° the eccentric moves the axle along the axis, so that the offset is as drawn.
	p.Eccentrics = []plate.Eccentric{
		{ID: idNear, Name: "Near cam", Bore: 4, E: 12.7, Inner: 12, AngleDeg: 90},
		{ID: idFar, Name: "Far cam", Bore: 5, E: 12.7, Inner: 12, AngleDeg: 90},
	}
	p.NextID = 10
	return p
}

// trike assembles the machine with the front axle in one of the eccentrics.
func trike(t *testing.T, axle plate.ID) *set.Loaded {
	t.Helper()
	s := set.Set{
		Name: "trike",
		Parts: []set.Part{
			{Name: "side", File: "side.plate", Quantity: 2, Place: set.Place{X: 300, Y: 70, AngleDeg: 12}}, // drawn anyhow
			{Name: "head", File: "head.plate", Quantity: 1, Carried: set.Carried{By: "side", Feature: idRing, Own: idCentre}},
		},
		Wheels: []set.Wheel{
			{Name: "front", Role: set.Front, Axle: set.Ref{Part: "head", Feature: axle}, Radius: radius},
			{Name: "rear", Role: set.Rear, Axle: set.Ref{Part: "side", Feature: idRear}, Radius: radius},
		},
		Ground:   set.Ground{Ride: set.Ref{Part: "side", Feature: idHead}},
		Steering: set.Steering{Lower: set.Ref{Part: "head", Feature: idLow}, Upper: set.Ref{Part: "head", Feature: idHigh}},
	}
	l := &set.Loaded{Set: s, Plates: []plate.Plate{side(t), head(t)}, Shapes: make([]set.Shape, 2)}
	return l
}

func table(t *testing.T, l *set.Loaded) kinematics.Settings {
	t.Helper()
	all, err := kinematics.Table(context.Background(), l)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestTable holds the machine to what must be true of any machine that stands on two wheels, and to the level stand at 27°.
func TestTable(t *testing.T) {
	l := trike(t, idNear)
	all := table(t, l)
	names := []string{}
	for _, r := range all.Rows {
		names = append(names, r.Setting)
		if len(r.Problems) > 0 {
			t.Errorf("%s: %v", r.Setting, r.Problems)
		}
		m := r.Machine
		for _, c := range r.Centres {
			if strings.HasSuffix(c.Use, " axle") && math.Abs(c.Machine[1]-radius) > 1e-9 {
				t.Errorf("%s: the %s stands at %v, want its loaded radius %v", r.Setting, c.Use, c.Machine[1], radius)
			}
			if c.Use == "front axle" && math.Abs(c.Machine[0]) > 1e-9 {
				t.Errorf("%s: the front contact is at x = %v, want 0", r.Setting, c.Machine[0])
			}
		}
		// Trail = (R sin a − offset) / cos a, whatever the pitch.
		s := kinematics.Steering{Radius: radius, RakeDeg: *m.RakeDeg, Offset: *m.Offset}
		if math.Abs(*m.Trail-s.Trail()) > 1e-9 || math.Abs(*m.NormalTrail-s.Normal()) > 1e-9 || math.Abs(*m.HeadDeg+*m.RakeDeg-90) > 1e-12 {
			t.Errorf("%s: trail %v, by the formula %v", r.Setting, *m.Trail, s.Trail())
		}
		near, _ := offsets(t)
		if math.Abs(*m.Offset-near) > 1e-9 { // the eccentric stands along the axis
			t.Errorf("%s: offset %v, want %v", r.Setting, *m.Offset, near)
		}
		if a := r.Adjusters[0]; a.Kind != "clocked ring" || *a.Bolts != 3 || len(a.Holes) != 3 || a.LeastBolt != 3 {
			t.Errorf("%s: %+v, want three bolts", r.Setting, a)
		}
	}
	if want := []string{"as drawn", "steep", "slack"}; !slices.Equal(names, want) {
		t.Errorf("settings %v, want %v", names, want)
	}
	// With the cam along the axis the fork is 12.7 mm short, so that the front sinks a little below level, and the trail with it.
	m := all.Rows[1].Machine
	if math.Abs(*m.Trail-101.6) > 4 || math.Abs(*m.RakeDeg-27) > 1 || *m.RakeDeg >= 27 {
		t.Errorf("steep: trail %v, rake %v; want about 101.6 and just below 27", *m.Trail, *m.RakeDeg)
	}
	// Turning the head back by 4° leans the axis back by 4° less the pitch that comes with it.
	d := *all.Rows[2].Machine.RakeDeg - *m.RakeDeg - 4
	if p := *all.Rows[2].Machine.PitchDeg - *m.PitchDeg; math.Abs(d-p) > 1e-9 {
		t.Errorf("the rake changes by 4° and %v, the pitch by %v", d, p)
	}
	data, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"settings", "adjusters", "angle_deg", "least_bolts", "machine_mm", "plate_mm", "head_angle_deg", "rake_deg", "trail_mm", "wheelbase_mm", "ride_height_mm"} {
		if !strings.Contains(string(data), `"`+key+`":`) {
			t.Errorf("the JSON has no %q: %s", key, data)
		}
	}
}

// TestSetDownByTurning compares with turning the drawing in small steps until both wheels touch.
func TestSetDownByTurning(t *testing.T) {
	for _, rf := range []float64{150, radius, 320} {
		l := trike(t, idFar)
		l.Wheels[0].Radius = rf
		r := table(t, l).Rows[2]
		poses, err := l.Poses(r.State)
		if err != nil {
			t.Fatal(err)
		}
		at := func(ref set.Ref) geom.Point {
			n, err := l.Node(ref, r.State)
			if err != nil {
				t.Fatal(err)
			}
			return poses[l.Part(ref.Part)].Apply(n.Centre)
		}
		f, b := at(l.Wheels[0].Axle), at(l.Wheels[1].Axle)
		// The lower sides differ in height by this when the drawing is turned; bisection finds where they are level.
		tilt := func(a float64) float64 {
			return (f.Rotate(a).Y - rf) - (b.Rotate(a).Y - radius)
		}
		low, high := -1.0, 1.0
		for range 200 {
			if mid := (low + high) / 2; tilt(mid) > 0 {
				high = mid
			} else {
				low = mid
			}
		}
		if got := *r.Machine.PitchDeg; math.Abs(got-deg(low)) > 1e-9 {
			t.Errorf("front radius %v: pitch %v, by turning %v", rf, got, deg(low))
		}
		if got, want := *r.Machine.Wheelbase, f.Rotate(low).X-b.Rotate(low).X; math.Abs(got-want) > 1e-9 {
			t.Errorf("front radius %v: wheelbase %v, want %v", rf, got, want)
		}
		up, down := at(l.Steering.Upper).Rotate(low), at(l.Steering.Lower).Rotate(low)
		if got, want := *r.Machine.HeadDeg, 180-deg(math.Atan2(up.Y-down.Y, up.X-down.X)); math.Abs(got-want) > 1e-9 {
			t.Errorf("front radius %v: head angle %v, want %v", rf, got, want)
		}
		ride := at(l.Ground.Ride).Rotate(low).Y - (b.Rotate(low).Y - radius)
		if got := *r.Machine.RideHeight; math.Abs(got-ride) > 1e-9 {
			t.Errorf("front radius %v: ride height %v, want %v", rf, got, ride)
		}
	}
}

// TestBothWays: the machine drawn facing the other way, mirrored, has the same figures.
func TestBothWays(t *testing.T) {
	a := trike(t, idNear)
	b := trike(t, idNear)
	b.Parts[0].Place.Mirrored = true
	rows, mirrored := table(t, a).Rows, table(t, b).Rows
	for i := range rows {
		m, n := rows[i].Machine, mirrored[i].Machine
		for j, d := range []float64{*m.Trail - *n.Trail, *m.HeadDeg - *n.HeadDeg, *m.Wheelbase - *n.Wheelbase, *m.RideHeight - *n.RideHeight, *m.Offset - *n.Offset} {
			if math.Abs(d) > 1e-9 {
				t.Errorf("%s: figure %d differs by %v in the mirror", rows[i].Setting, j, d)
			}
		}
	}
}

// TestTableProblems: what cannot be is said in the row, and the other rows stand.
func TestTableProblems(t *testing.T) {
	l := trike(t, idNear)
	ring, cam := set.Ref{Part: "side", Feature: idRing}, set.Ref{Part: "head", Feature: idNear}
	l.Settings = []set.Setting{
		{Name: "between", Values: []set.Value{{Adjuster: ring, AngleDeg: 29}}},
		{Name: "both", Values: []set.Value{{Adjuster: ring, AngleDeg: 31}, {Adjuster: cam, AngleDeg: 180}}},
	}
	rows := table(t, l).Rows
	if p := strings.Join(rows[3].Problems, " "); !strings.Contains(p, "holds by 0 bolts at 29°, and needs 3") {
		t.Errorf("between two positions: %q", p)
	}
	if r := rows[4]; len(r.Problems) != 0 || *r.Adjusters[1].AngleDeg != 180 || math.Abs(*r.Machine.Offset-*rows[2].Machine.Offset+12.7) > 1e-9 {
		t.Errorf("both: %+v", r)
	}
	for name, c := range map[string]struct {
		change func(l *set.Loaded)
		want   string
	}{
		"wheel within a wheel": {func(l *set.Loaded) { l.Wheels[1].Radius = 5000 }, "within the other"},
		"no axle":              {func(l *set.Loaded) { l.Wheels[0].Axle.Feature = 77 }, "no feature 77"},
		"axis of one point":    {func(l *set.Loaded) { l.Steering.Upper = l.Steering.Lower }, "coincide"},
		"axis along the ground": {func(l *set.Loaded) {
			l.Steering = set.Steering{Lower: set.Ref{Part: "side", Feature: idRear}, AngleDeg: -deg(math.Atan2(1, 1e9))}
			l.Plates[0].Bores[idHead-1].Y = 0
		}, ""},
		"no ride": {func(l *set.Loaded) { l.Ground.Ride.Feature = 77 }, "no feature 77"},
	} {
		l := trike(t, idNear)
		c.change(l)
		all, err := kinematics.Table(context.Background(), l)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if p := strings.Join(all.Rows[0].Problems, " "); !strings.Contains(p, c.want) {
			t.Errorf("%s: problems %q, want %q", name, p, c.want)
		}
	}
	l = trike(t, idNear)
	l.Parts[1].Carried.Feature = 77
	if _, err := kinematics.Table(context.Background(), l); err == nil || !strings.Contains(err.Error(), "77") {
		t.Errorf("a part on nothing: %v", err)
	}
	// An axis level with the ground says so.
	l = trike(t, idNear)
	l.Wheels = nil
	l.Parts[0].Place = set.Place{}
	l.Steering = set.Steering{Lower: set.Ref{Part: "side", Feature: idRear}}
	if p := strings.Join(table(t, l).Rows[0].Problems, " "); !strings.Contains(p, "along the ground") {
		t.Errorf("a level axis: %q", p)
	}
	// Without wheels the ground is where the set says, and an axis by its angle has a head angle but no trail.
	l.Steering.AngleDeg, l.Ground.Height = 110, -30
	m := table(t, l).Rows[0].Machine
	if math.Abs(*m.HeadDeg-70) > 1e-9 || m.Trail != nil || m.Wheelbase != nil || math.Abs(*m.RideHeight-30-l.Plates[0].Bores[1].Y) > 1e-9 {
		t.Errorf("without wheels: %+v", m)
	}
}

func TestPlateTable(t *testing.T) {
	p := side(t)
	all, err := kinematics.PlateTable(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	if len(all.Rows) != 3 || all.Rows[2].Machine != nil || *all.Rows[2].Adjusters[0].AngleDeg != 31 || all.Rows[2].Of != "side" {
		t.Errorf("%+v", all)
	}
	// Wanted angles that no setting names are settings too.
	bare := side(t)
	bare.Settings = nil
	if all, err := kinematics.PlateTable(context.Background(), bare); err != nil || len(all.Rows) != 3 || all.Rows[2].Setting != "Clock at 31°" || *all.Rows[2].Adjusters[0].Bolts != 3 {
		t.Errorf("without settings: %+v, %v", all.Rows, err)
	}
	// The plate's chosen setting is what stands as drawn.
	p.Setting = 9
	if all, err = kinematics.PlateTable(context.Background(), p); err != nil || *all.Rows[0].Adjusters[0].AngleDeg != 31 {
		t.Errorf("in the chosen setting: %+v, %v", all.Rows[0].Adjusters, err)
	}
	p.Slots = []plate.Slot{{ID: 12, Name: "Belt", Length: 40, Width: 10, Adjusting: true}, {ID: 13, Name: "Vent", Length: 40, Width: 10}}
	p.Settings = append(p.Settings, plate.Setting{ID: 14, Name: "far", Values: []plate.SettingValue{{Feature: 12, Position: 21}}})
	all, err = kinematics.PlateTable(context.Background(), p)
	if err != nil || len(all.Rows) != 4 || len(all.Rows[0].Adjusters) != 2 {
		t.Fatalf("%+v, %v", all, err)
	}
	if r := all.Rows[3]; len(r.Problems) != 1 || !strings.Contains(r.Problems[0], "-20 to 20 mm") || len(r.Centres) != 1 {
		t.Errorf("beyond the slot: %+v", r)
	}
}

// TestRanges: what each adjuster can do is listed once for parts that share a plate.
func TestRanges(t *testing.T) {
	l := trike(t, idNear)
	twin := l.Parts[0]
	twin.Name = "other side"
	l.Parts, l.Plates, l.Shapes = append(l.Parts, twin), append(l.Plates, l.Plates[0]), append(l.Shapes, set.Shape{})
	l.Plates[1].Eccentrics[0].LockCircle, l.Plates[1].Eccentrics[0].LockCount = 60, 4
	l.Plates[1].Slots = []plate.Slot{{ID: 8, Name: "Belt", X: 3, Length: 20, Width: 8, AngleDeg: 90, Position: 4, Adjusting: true}}
	all := table(t, l)
	if len(all.Rings) != 1 || len(all.Eccentrics) != 2 || len(all.Slots) != 1 {
		t.Fatalf("%d rings, %d eccentrics, %d slots; want 1, 2, 1", len(all.Rings), len(all.Eccentrics), len(all.Slots))
	}
	var at []float64
	for _, p := range all.Rings[0].Positions {
		if p.Bolts < 3 {
			t.Errorf("%+v holds by fewer than three bolts", p)
		}
		at = append(at, math.Round(p.AngleDeg*1e6)/1e6)
	}
	if !slices.Contains(at, 27) || !slices.Contains(at, 31) || all.Rings[0].Omitted != 0 || all.Rings[0].Problem != "" {
		t.Errorf("positions %v", at)
	}
	if e := all.Eccentrics[0]; e.Travel != 25.4 || len(e.Locks) != 4 || math.Abs(e.Locks[1].Centre[1]-(-fork+12.7)) > 1e-9 || e.Centre[1] != -fork {
		t.Errorf("eccentric %+v", e)
	}
	if s := all.Slots[0]; s.Travel != 20 || math.Abs(s.From[1]+10) > 1e-9 || math.Abs(s.To[1]-10) > 1e-9 {
		t.Errorf("slot %+v", s)
	}
	r := &l.Plates[0].Rings[0]
	r.Angles, r.MateAngles, r.Count, r.MateCount, r.LeastBolts = nil, nil, 59, 60, 1
	if r := table(t, l).Rings[0]; len(r.Positions) != kinematics.MaxPositions || r.Omitted != 59*60-kinematics.MaxPositions {
		t.Errorf("a vernier of 59 and 60: %d positions listed, %d omitted", len(r.Positions), r.Omitted)
	}
	r.LeastBolts = 2
	if r := table(t, l).Rings[0]; r.Problem == "" {
		t.Errorf("a vernier by two bolts: %d positions", len(r.Positions))
	}
}

// TestFindings: each finding with a ring that triggers it and one that just does not.
func TestFindings(t *testing.T) {
	hole := func(plate.HoleForm) float64 { return 9 }
	codes := func(change func(c *plate.ClockedRing, p *plate.Plate)) string {
		p := side(t)
		change(&p.Rings[0], &p)
		var all []string
		for _, f := range kinematics.Findings(p, hole) {
			all = append(all, f.Code)
			if f.Feature != idRing || !f.HasWhere || f.Why == "" || f.Source == "" || f.Fix == "" || f.Level == finding.Note {
				t.Errorf("%+v is not complete", f)
			}
		}
		return strings.Join(all, " ")
	}
	equal := func(c *plate.ClockedRing, n, m int) {
		c.Count, c.Angles, c.MateCount, c.MateAngles, c.WantedDeg, c.PositionDeg = n, nil, m, nil, nil, 0
	}
	for name, c := range map[string]struct {
		change func(c *plate.ClockedRing, p *plate.Plate)
		want   string
	}{
		"as drawn":         {func(*plate.ClockedRing, *plate.Plate) {}, ""},
		"wanted elsewhere": {func(c *plate.ClockedRing, _ *plate.Plate) { c.WantedDeg = []float64{27, 29} }, "clocked-few-bolts"},
		"four bolts": {func(c *plate.ClockedRing, p *plate.Plate) {
			c.LeastBolts = 4
			c.WantedDeg = c.WantedDeg[:1]
			p.Settings = nil
		}, "clocked-few-bolts clocked-off-position"},
		"a setting between": {func(_ *plate.ClockedRing, p *plate.Plate) { p.Settings[1].Values[0].AngleDeg = 31.1 }, "clocked-few-bolts"},
		"drawn between":     {func(c *plate.ClockedRing, _ *plate.Plate) { c.PositionDeg = 28 }, "clocked-off-position"},
		"vernier":           {func(c *plate.ClockedRing, p *plate.Plate) { equal(c, 8, 9); c.LeastBolts, p.Settings = 1, nil }, "clocked-vernier"},
		"not a vernier":     {func(c *plate.ClockedRing, p *plate.Plate) { equal(c, 8, 10); c.LeastBolts, p.Settings = 2, nil }, ""},
		"one hole a part":   {func(c *plate.ClockedRing, p *plate.Plate) { equal(c, 1, 9); c.LeastBolts, p.Settings = 1, nil }, ""},
		// On a circle of 96 mm n holes stand 96 sin(180°/n) apart: 9.03 mm for 33 (9 mm holes), 8.76 mm for 34.
		"33 holes":              {func(c *plate.ClockedRing, p *plate.Plate) { equal(c, 33, 3); p.Settings = nil }, ""},
		"34 holes":              {func(c *plate.ClockedRing, p *plate.Plate) { equal(c, 34, 2); c.LeastBolts, p.Settings = 2, nil }, "clocked-holes-meet"},
		"two at one angle":      {func(c *plate.ClockedRing, p *plate.Plate) { c.Angles = []float64{0, 0.001}; p.Settings = nil }, "clocked-holes-meet"},
		"an angle that is none": {func(c *plate.ClockedRing, _ *plate.Plate) { c.PositionDeg = math.NaN() }, "clocked-off-position"},
	} {
		if got := codes(c.change); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
