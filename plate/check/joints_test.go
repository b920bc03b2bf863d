package check

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// strip is a plate of 200 × 60 × 10 mm with an M8 clearance hole (9 mm) 20 mm from its left end and a bore of 30 in its
// middle.
func strip(t *testing.T, change func(*plate.Plate)) *layout.Layout {
	t.Helper()
	p := plate.New("strip")
	p.Rim = 0
	p.Stock.Nominal, p.Stock.Finished = 10, 10
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: 200, Y: 0}, {X: 200, Y: 60}, {X: 0, Y: 60}}}
	p.Holes = []plate.Hole{{ID: 1, Name: "Lug", X: 20, Y: 25, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}}}
	p.Bores = []plate.Bore{{ID: 2, Name: "Pivot", X: 100, Y: 30, Diameter: 30}}
	p.NextID = 10
	if change != nil {
		change(&p)
	}
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func find(t *testing.T, js []Joint, check string) Joint {
	t.Helper()
	for _, j := range js {
		if strings.HasPrefix(j.Check, check) && j.Setting == "" {
			return j
		}
	}
	t.Fatalf("no check %q in %+v", check, js)
	return Joint{}
}

func input(t *testing.T, j Joint, name string) float64 {
	t.Helper()
	for _, in := range j.Inputs {
		if in.Name == name {
			return in.Value
		}
	}
	t.Fatalf("%s has no input %q", j.Check, name)
	return 0
}

// A fastener pulled towards the end of a strip: distances by hand, capacities by the formulas.
func TestJointsOfAFastener(t *testing.T) {
	l := strip(t, nil)
	fu, fo := l.Plate.Stock.Material.Ultimate, l.Plate.Stock.Material.Proof
	pull := JointLoad{Feature: 1, At: geom.Pt(20, 25), Force: [3]float64{-3000, 0, 0}}
	js := Joints(l, []JointLoad{pull}, false)
	b := find(t, js, "bearing")
	near(t, "e1", input(t, b, "e1"), 20, 1e-3)
	near(t, "e2", input(t, b, "e2"), 25, 1e-3)
	near(t, "bearing", b.Capacity, 2.5*(20./27)*fu*8*10/1.25, 1e-3)
	near(t, "reserve", b.Reserve, b.Capacity/3000, 1e-12)
	near(t, "net section", find(t, js, "net section").Capacity, 0.9*2*20.5*10*fu/1.25, 1e-3)
	near(t, "shear-out", find(t, js, "shear-out").Capacity, 2*15.5*10*fo/math.Sqrt(3)/1.1, 1e-3)
	if j := find(t, js, "clamped joint"); j.NotAssessed == "" {
		t.Errorf("slip without a preload is assessed: %+v", j)
	}
	if j := find(t, js, "bolt in shear"); !strings.Contains(j.NotAssessed, "class") {
		t.Errorf("bolts of no class: %+v", j)
	}
	// Away from the end the metal reaches the bore: 100 − 15 − 20 = 65 mm.
	pull.Force[0] = 3000
	far := find(t, Joints(l, []JointLoad{pull}, false), "shear-out")
	near(t, "to the bore", input(t, far, "to the edge"), 65-4.5, 0.05)
	// A preload and a friction make the joint hold by itself, and its head may pull through.
	pull.Preload, pull.Annulus, pull.Friction, pull.Force[2] = 12_000, 16, 0.2, 500
	js = Joints(l, []JointLoad{pull}, true)
	near(t, "slip", find(t, js, "clamped joint").Capacity, 0.2*(12_000-400)/1.25, 1e-12)
	head := find(t, js, "head pulls through")
	near(t, "head", head.Capacity, 0.6*math.Pi*16*10*fu/1.25, 1e-12)
	near(t, "its demand", head.Demand, 12_500, 1e-12)
	pull.Friction = 0
	if j := find(t, Joints(l, []JointLoad{pull}, false), "clamped joint"); !strings.Contains(j.NotAssessed, "0.28 would hold") { // 3000·1.1/11600
		t.Errorf("slip without a friction: %q", j.NotAssessed)
	}
}

// A floor at half height counts for half, and an open end for nothing more.
func TestJointsNearAPocket(t *testing.T) {
	l := strip(t, func(p *plate.Plate) {
		p.Pockets = []plate.Pocket{{
			ID: 3, Name: "Recess", Kind: plate.DrawnPocket, Side: plate.Top, Depth: 5, Radius: 2,
			Bounds: []plate.Corner{{X: 30, Y: 5}, {X: 70, Y: 5}, {X: 70, Y: 55}, {X: 30, Y: 55}},
		}}
	})
	j := find(t, Joints(l, []JointLoad{{Feature: 1, At: geom.Pt(20, 25), Force: [3]float64{2000, 0, 0}}}, false), "shear-out")
	// From the front of the hole at 24.5: 5.5 mm whole, 40 half, then 10·(9 mm) = 90 at most are looked at: to the bore's
	// flank at 100 − √(15² − 0.5²) or so, whole again from 70.
	plane := func(y float64) float64 { return 5.5 + 20 + (100 - math.Sqrt(225-(30-y)*(30-y)) - 70) }
	near(t, "planes", input(t, j, "Anv"), 10*(plane(25+4.4955)+plane(25-4.4955)), 2e-3)
}

// A pin in a bore, and a bearing pressed into a seat.
func TestJointsOfABore(t *testing.T) {
	l := strip(t, nil)
	fo := l.Plate.Stock.Material.Proof
	js := Joints(l, []JointLoad{{Feature: 2, At: geom.Pt(100, 30), Force: [3]float64{0, -5000, 0}}}, false)
	near(t, "pin", find(t, js, "bearing").Capacity, 1.5*10*30*fo/1.1, 1e-6)
	along := Joints(l, []JointLoad{{Feature: 2, At: geom.Pt(100, 30), Force: [3]float64{0, -5000, 900}}}, false)
	if j := find(t, along, "force along"); j.NotAssessed == "" || j.Demand != 900 {
		t.Errorf("a force along a bore: %+v", j)
	}
	if j := find(t, js, "ring round"); j.NotAssessed == "" { // 15 mm ahead, 20 asked for
		t.Errorf("a ring of half the bore is within the rule: %+v", j)
	}
	l = strip(t, func(p *plate.Plate) {
		p.Bores[0].Seats = []plate.Seat{{Side: plate.Top, Diameter: 42, Depth: 8, Fit: "N7", Bearing: "6004"}}
	})
	js = Joints(l, []JointLoad{{Feature: 2, At: geom.Pt(100, 30), Force: [3]float64{0, -5000, 0}}}, false)
	near(t, "seat", find(t, js, "bearing").Capacity, 1.5*8*42*fo/1.1, 1e-6)
	hoop := find(t, js, "hoop stress")
	v, err := standard.Bearing("6004")
	if err != nil {
		t.Fatal(err)
	}
	m := l.Plate.Stock.Material
	_, s, err := v.Pressed("N7", 60, m.Young, m.Poisson) // the plate is 60 wide
	if err != nil {
		t.Fatal(err)
	}
	near(t, "hoop", hoop.Demand, s.Hoop, 1e-6)
}

// A thread under preload and pull; one that nothing is known of.
func TestJointsOfAThread(t *testing.T) {
	l := strip(t, func(p *plate.Plate) {
		p.Holes[0].HoleForm = plate.HoleForm{Kind: plate.Tapped, Size: "M8", Side: plate.Top, Depth: 8}
	})
	fu := l.Plate.Stock.Material.Ultimate
	js := Joints(l, []JointLoad{{Feature: 1, At: geom.Pt(20, 25), Force: [3]float64{0, 0, 1500}, Preload: 9000}}, false)
	j := find(t, js, "thread strips")
	major, d2 := threadLimits(8, 1.25)
	near(t, "thread", j.Capacity, 0.6*fu/1.25*ThreadShearArea(major, d2, 1.25, 7), 1e-9)
	near(t, "its demand", j.Demand, 10_500, 1e-12)
	js = Joints(l, []JointLoad{{Feature: 1, At: geom.Pt(20, 25), Force: [3]float64{100, 0, 0}}}, false)
	if j := find(t, js, "thread strips"); j.NotAssessed == "" || j.Capacity != 0 {
		t.Errorf("a thread without a known screw is assessed: %+v", j)
	}
}

// A clocked ring of 6 holes on 80 mm with a mate of 4, under 600 N across it and 24 000 N·mm about it. As drawn two holes
// meet (0° and 180°); turned by 30° again two (90° and 270° to 30° marks), and at 7° none.
func TestJointsOfAClockedRingAtItsSettings(t *testing.T) {
	l := strip(t, func(p *plate.Plate) {
		p.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: -40}, {X: 200, Y: -40}, {X: 200, Y: 100}, {X: 0, Y: 100}}}
		p.Rings = []plate.ClockedRing{{
			BoltCircle: plate.BoltCircle{ID: 4, Name: "Clock", Bore: 2, Diameter: 80, Count: 6, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}},
			MateCount:  4, LeastBolts: 2, WantedDeg: []float64{30, 7},
		}}
	})
	loads := []JointLoad{
		{Feature: 4, Hole: 1, At: geom.Pt(140, 30), Force: [3]float64{0, 600, 0}},
		{Feature: 4, Hole: 4, At: geom.Pt(60, 30), Force: [3]float64{0, 0, 0}},
	}
	js := Joints(l, loads, false)
	got := map[string]Joint{}
	for _, j := range js {
		if j.Setting != "" && (j.Check == "bearing on the wall" || j.Check == "bolt group") {
			got[j.Setting] = j
		}
	}
	// 600 N at 40 mm off the centre: 300 N each, and 24 000/(2·40) = 300 N more on the first, less on the other.
	if j := got["0°, as drawn, 2 bolts"]; math.Abs(j.Demand-600) > 1e-6 || j.Hole != 1 {
		t.Errorf("as drawn: %+v, want 600 N on hole 1", j)
	}
	if j := got["7°, wanted"]; !strings.Contains(j.NotAssessed, "no bolt fits") {
		t.Errorf("at 7°: %+v", j)
	}
	// At 30° holes at 120° and 300° meet; 300 N up, and 300 N square to the arm: √(300² + 300² ± 2·300²·cos 120°).
	if j := got["30°, wanted, 2 bolts"]; math.Abs(j.Demand-300*math.Sqrt(2+2*0.5)) > 1e-6 {
		t.Errorf("at 30°: %+v, want %.4g N", j, 300*math.Sqrt(3))
	}
}

// Floors in compression and areas that press through.
func TestPanelsAndAreas(t *testing.T) {
	l := strip(t, func(p *plate.Plate) {
		p.Pockets = []plate.Pocket{{
			ID: 3, Name: "Recess", Kind: plate.DrawnPocket, Side: plate.Top, Depth: 8, Radius: 2,
			Bounds: []plate.Corner{{X: 130, Y: 10}, {X: 190, Y: 10}, {X: 190, Y: 50}, {X: 130, Y: 50}},
		}}
	})
	ps := Panels(l)
	if len(ps) != 1 || math.Abs(ps[0].Radius-20) > 1e-3 || math.Abs(ps[0].Thickness-2) > 1e-9 || math.Abs(ps[0].Middle-1) > 1e-9 {
		t.Fatalf("floors %+v, want one of radius 20, 2 mm thick", ps)
	}
	m := l.Plate.Stock.Material
	js := Buckling(l, ps, []float64{50})
	if len(js) != 1 || !js[0].Bound {
		t.Fatalf("checks %+v", js)
	}
	elastic := FloorBuckling(20, 2, m.Young, m.Poisson) // above half the proof stress
	near(t, "floor", js[0].Reserve, m.Proof*(1-m.Proof/4/elastic)/50, 1e-3)
	if js := Buckling(l, ps, []float64{0}); len(js) != 0 {
		t.Errorf("a floor in tension buckles: %+v", js)
	}
	a := AreaPunch(l, "Foot", geom.Rect(geom.Pt(150, 20), geom.Pt(170, 40)), -900)
	near(t, "area", a.Capacity, 0.6*80*2*m.Ultimate/1.25, 1e-9)
	if a := AreaPunch(l, "Foot", geom.Rect(geom.Pt(90, 20), geom.Pt(110, 40)), -900); a.NotAssessed == "" {
		t.Errorf("an area over a bore: %+v", a)
	}
}
