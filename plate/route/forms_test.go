package route

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// formsPlate has one of every form that a plan knows.
func formsPlate() plate.Plate {
	p := plate.New("forms")
	c := func(x, y float64) plate.Corner { return plate.Corner{X: x, Y: y, Radius: 10} }
	p.Outline.Corners = []plate.Corner{c(0, 0), c(320, 0), c(320, 160), c(0, 160)}
	p.Outline.Chamfer = plate.EdgeChamfer{Top: 1, Bottom: 0.5}
	p.Stock.Nominal, p.Stock.Finished = 20, 20
	p.Stock.Blank = plate.Blank{Margin: 30}
	p.Bores = []plate.Bore{
		{ID: 1, Name: "stepped", X: 50, Y: 50, Diameter: 30, Fit: "H7", Seats: []plate.Seat{
			{Side: plate.Top, Diameter: 42, Depth: 12, Fit: "N7", Groove: plate.Groove{Diameter: 44.5, Width: 1.85, At: 2}},
			{Side: plate.Bottom, Diameter: 36, Depth: 3},
		}},
		{ID: 2, Name: "coarse", X: 50, Y: 120, Diameter: 25, Fit: "H11", Keyway: plate.Keyway{Width: 8, Height: 3.3}},
	}
	form := func(k plate.HoleKind, size string, side plate.Side) plate.HoleForm {
		return plate.HoleForm{Kind: k, Size: size, Series: plate.Medium, Side: side}
	}
	dowel := plate.HoleForm{Kind: plate.Reamed, Side: plate.Through, Diameter: 6, Fit: "H7"}
	blind := plate.HoleForm{Kind: plate.Reamed, Side: plate.Top, Diameter: 8, Fit: "H7", Depth: 10}
	p.Holes = []plate.Hole{
		{ID: 10, Name: "head", X: 100, Y: 30, HoleForm: form(plate.Counterbored, "M6", plate.Top)},
		{ID: 11, Name: "head below", X: 100, Y: 60, HoleForm: form(plate.Counterbored, "M8", plate.Bottom)},
		{ID: 12, Name: "cone", X: 100, Y: 100, HoleForm: form(plate.Countersunk, "M5", plate.Top)},
		{ID: 13, Name: "dowel", X: 120, Y: 130, HoleForm: dowel},
		{ID: 14, Name: "blind dowel", X: 85, Y: 130, HoleForm: blind},
		{ID: 15, Name: "thread", X: 130, Y: 30, HoleForm: form(plate.Tapped, "M8", plate.Through)},
	}
	p.Slots = []plate.Slot{
		{ID: 20, Name: "open", X: 150, Y: 80, Length: 30, Width: 10, AngleDeg: 90, Side: plate.Through},
		{ID: 21, Name: "blind", X: 170, Y: 80, Length: 30, Width: 9, AngleDeg: 90, Side: plate.Top, Depth: 5},
	}
	rect := func(x0, y0, x1, y1 float64) []plate.Corner {
		return []plate.Corner{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	}
	p.Pockets = []plate.Pocket{
		{ID: 30, Name: "round floor", Side: plate.Top, Depth: 12, Radius: 6, Bounds: rect(190, 20, 240, 70), FloorRadius: 2},
		{ID: 31, Name: "inlaid", Side: plate.Top, Depth: 10, Radius: 6, Bounds: rect(190, 90, 240, 140), Ledge: plate.Ledge{Width: 4, Depth: 3}},
		{ID: 32, Name: "window", Side: plate.Through, Radius: 6, Bounds: rect(260, 20, 300, 140)},
	}
	p.NextID = 100
	return p
}

func opNamed(t *testing.T, p Plan, part string) Operation {
	t.Helper()
	i := slices.IndexFunc(p.Operations, func(o Operation) bool { return strings.Contains(o.Name, part) })
	if i < 0 {
		t.Fatalf("no operation %q in %q", part, names(p))
	}
	return p.Operations[i]
}

// Every form is in the plan, the metal removed is blank less plate, and the order is that of the trade.
func TestEveryFormIsPlanned(t *testing.T) {
	plan, l := makePlan(t, formsPlate())
	checkPlan(t, "forms", plan, l)
	for _, k := range []layout.CutKind{
		layout.CutSeat, layout.CutGroove, layout.CutKeyway, layout.CutReamed, layout.CutCounterbore, layout.CutCountersink, layout.CutSlot,
		layout.CutLedge, layout.CutFillet, layout.CutChamfer,
	} {
		if !slices.ContainsFunc(l.Cuts, func(c layout.Cut) bool { return c.Kind == k }) {
			t.Errorf("the plate of the test has no cut of kind %q", k)
		}
	}
	for _, part := range []string{
		"rough seats", "bore to 42.000", "bore to 30.000", "finish bores round the wall", "mill grooves", "broach", "ream 6 mm", "ream 8 mm", "counterbore",
		"countersink", "tap M8", `slots "open"`, `slots "blind"`, `ledges of "inlaid"`, `walls of pockets "round floor"`, "chamfer the outline, top", "chamfer the outline, bottom",
	} {
		opNamed(t, plan, part)
	}
	if o := opNamed(t, plan, `walls of pockets "round floor"`); o.Tool.CornerRadius == 0 || o.Tool.CornerRadius > 2 {
		t.Errorf("the floor fillet of 2 mm is formed by %s with a corner of %g mm", o.Tool.ID, o.Tool.CornerRadius)
	}
	if plan.Incomplete || t.Failed() {
		t.Errorf("\n%s", card(plan))
	}
}

// What the shop lacks for a form is a finding of level error, and nothing is timed for it.
func TestFormsThatTheShopCannotMake(t *testing.T) {
	for _, c := range []struct {
		kind shop.Kind
		code string
	}{
		{shop.Reamer, "no-reamer"},
		{shop.GrooveMill, "no-groove-mill"},
		{shop.ChamferMill, "no-countersink"},
		{shop.ChamferMill, "no-chamfer-mill"},
	} {
		s := exampleShop(t)
		s.Tools = slices.DeleteFunc(slices.Clone(s.Tools), func(t shop.Tool) bool { return t.Kind == c.kind })
		plan, l := planIn(t, formsPlate(), s)
		checkPlan(t, string(c.kind), plan, l)
		if !hasCode(plan, c.code) || !plan.Incomplete {
			t.Errorf("without a %s: no finding %q", c.kind, c.code)
		}
	}
	s := exampleShop(t)
	s.Services = nil
	if plan, _ := planIn(t, formsPlate(), s); !hasCode(plan, "no-broach") {
		t.Error("nobody broaches, and no finding says so")
	}
	s = exampleShop(t)
	s.Tools = slices.DeleteFunc(slices.Clone(s.Tools), func(t shop.Tool) bool { return t.CornerRadius > 0 })
	if plan, _ := planIn(t, formsPlate(), s); !hasCode(plan, "no-cutter-for-fillet") {
		t.Error("no cutter with a corner radius, and no finding says so")
	}
}

// A cut of a kind that the planner does not know is a finding, never silence.
func TestUnknownCutIsAFinding(t *testing.T) {
	l := derive(t, bracket())
	m := *l
	m.Cuts = append(slices.Clone(l.Cuts), layout.Cut{Kind: "engraved", FeatureName: "mark", Z0: 1, Z1: 2, Region: l.Cuts[len(l.Cuts)-1].Region, Cell: -1})
	p, err := Make(t.Context(), &m, exampleShop(t))
	if err != nil {
		t.Fatal(err)
	}
	if !hasCode(p, "not-planned") || !p.Incomplete {
		t.Errorf("findings %v", p.Findings)
	}
}

// A thread mill does a thread where there is no tap of the size, and where the machine does not tap.
func TestThreadsAreMilled(t *testing.T) {
	mill := shop.Tool{ID: "TM6", Kind: shop.ThreadMill, Diameter: 6, Flutes: 3, FluteLength: 12, Reach: 24, StickOut: 30, Material: "solid carbide", Pitch: 1.25}
	data := shop.CuttingData{
		Group: "N", ToolKind: shop.ThreadMill, ToolMaterial: "solid carbide", Operation: shop.Tapped, DMin: 1, DMax: 20,
		Speed: shop.SpeedData{Vc: 200, Cited: shop.Cited{Source: "test", Seen: "invented"}},
		Feed:  shop.FeedData{Feed: 0.03, Per: shop.PerTooth, Cited: shop.Cited{Source: "test", Seen: "invented"}},
		Force: shop.ForceData{KC11: 800, MC: 0.25, Cited: shop.Cited{Source: "test", Seen: "invented"}},
	}
	for _, noTap := range []bool{true, false} {
		s := exampleShop(t)
		s.Tools = append(slices.Clone(s.Tools), mill)
		s.Cutting = append(slices.Clone(s.Cutting), data)
		if noTap {
			s.Tools = slices.DeleteFunc(s.Tools, func(t shop.Tool) bool { return t.Kind == shop.Tap })
		} else {
			s.Machine.RigidTapping = false
		}
		plan, _ := planIn(t, formsPlate(), s)
		o := opNamed(t, plan, "mill thread M8")
		// two turns on the radius that the thread's outer diameter leaves, and the ways out and in: M8, drill 6.8, pitch 1.25
		r := (6.8 + 1.25 - 6) / 2
		want := 2 * (2*math.Pi*r + 2*r)
		if o.PathMM < want || o.PathMM > want+2*2*0.5+1e-6 { // and half a millimetre down each time
			t.Errorf("path of %g mm, want about %g mm", o.PathMM, want)
		}
	}
}

// The finishing of a bore follows its fit: IT8 and finer are bored, coarser ones are milled.
func TestBoresByGrade(t *testing.T) {
	for fit, bored := range map[string]bool{"H6": true, "H7": true, "N7": true, "H8": true, "H9": false, "H11": false, "": false} {
		p := bracket()
		p.Bores = []plate.Bore{{ID: 1, Name: "bore", X: 60, Y: 40, Diameter: 30, Fit: fit}}
		p.Circles, p.Ribs = nil, nil
		plan, _ := makePlan(t, p)
		got := slices.ContainsFunc(plan.Operations, func(o Operation) bool { return o.Tool.Kind == shop.BoringHead })
		if got != bored {
			t.Errorf("%s: bored %v, want %v\n%s", fit, got, bored, card(plan))
		}
	}
}

func changed(t *testing.T, p plate.Plate, c ...plate.OperationChange) Plan {
	t.Helper()
	p.Machining.Changes = c
	plan, _ := makePlan(t, p)
	return plan
}

// The user's changes: left out, by hand, elsewhere, moved, with another tool; and what answers to nothing is kept and reported.
func TestChangesOfThePlan(t *testing.T) {
	doc := formsPlate()
	base, _ := makePlan(t, doc)
	left := changed(t, doc, plate.OperationChange{ID: 200, Class: "tap", Feature: 15, Leave: true})
	if slices.ContainsFunc(left.Operations, func(o Operation) bool { return o.Class == "tap" }) || !hasCode(left, "left-out") || left.CycleMin >= base.CycleMin {
		t.Error("the thread is not left out")
	}
	hand := changed(t, doc, plate.OperationChange{ID: 200, Class: "tap", Feature: 15, Where: "hand"})
	if o := opNamed(t, hand, "tap M8"); o.Where != ByHand || o.TotalMin != 1 {
		t.Errorf("by hand: %+v", o)
	}
	out := changed(t, doc, plate.OperationChange{ID: 200, Class: "rough outline", Where: "outside", Minutes: 7, Note: "waterjet"})
	if o := opNamed(t, out, "outline to a web"); o.Where != Outside || o.TotalMin != 7 || !strings.Contains(o.Name, "waterjet") {
		t.Errorf("outside: %+v", o)
	}
	moved := changed(t, doc, plate.OperationChange{ID: 200, Class: "tap", Feature: 15, Order: -3})
	if indexOf(t, moved, "tap M8") != indexOf(t, base, "tap M8")-3 {
		t.Errorf("moved to %d from %d", indexOf(t, moved, "tap M8"), indexOf(t, base, "tap M8"))
	}
	tool := changed(t, doc, plate.OperationChange{ID: 200, Class: "rough pocket", Feature: 32, Tool: "EM10"})
	if o := opNamed(t, tool, `rough windows "window"`); o.Tool.ID != "EM10" {
		t.Errorf("roughed with %s", o.Tool.ID)
	}
	wall := changed(t, doc, plate.OperationChange{ID: 200, Class: "finish wall", Feature: 32, Tool: "EM12"})
	if o := opNamed(t, wall, `finish walls of windows "window"`); o.Tool.ID != "EM12" || !hasCode(wall, "cutter-fills-corner") {
		t.Errorf("finished with %s", o.Tool.ID)
	}
	for _, c := range []plate.OperationChange{
		{ID: 200, Class: "tap", Feature: 99, Leave: true},
		{ID: 200, Class: "dance", Feature: 15},
		{ID: 200, Class: "finish wall", Feature: 32, Tool: "EM99"},
		{ID: 200, Class: "finish wall", Feature: 32, Tool: "EM16"},
	} {
		p := changed(t, doc, c)
		if !slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return strings.HasPrefix(f.Code, "change-") }) {
			t.Errorf("%+v: no finding", c)
		}
		if math.Abs(p.CycleMin-base.CycleMin) > 1e-9 {
			t.Errorf("%+v: cycle %g instead of %g", c, p.CycleMin, base.CycleMin)
		}
	}
}

// A change for one cell concerns that cell, wherever an edit has put it.
func TestChangeOfOneCell(t *testing.T) {
	doc := largePlate(80)
	l := derive(t, doc)
	at := l.Cells[slices.IndexFunc(l.Cells, func(c layout.Cell) bool { return c.State == layout.CellCut })].Anchor
	doc.Machining.Changes = []plate.OperationChange{{ID: 200, Class: "rough pocket", Feature: 90, HasCell: true, At: at, Leave: true}}
	plan, _ := makePlan(t, doc)
	i := slices.IndexFunc(plan.Findings, func(f finding.Finding) bool { return f.Code == "left-out" })
	if i < 0 || !strings.Contains(plan.Findings[i].What, "1 place") {
		t.Errorf("findings %v", plan.Findings)
	}
}

// entersAny tells whether a plan's paths, sampled every quarter of a millimetre, come nearer to a keep-out than the cutter's radius.
func entersAny(p Plan) string {
	for _, o := range p.Operations {
		if o.Where != OnMachine || o.Tool.ID == "" || o.Tool.Kind == shop.BoringHead {
			continue
		}
		for _, k := range p.SetUps[o.SetUp-1].KeepOuts {
			for _, path := range o.Paths {
				if path.Move == MoveRapid {
					continue
				}
				if path.Move == MovePlunge && nearContour(k.Outline, path.Shift, o.Tool.Diameter/2-1e-6) {
					return fmt.Sprintf("%q plunges into the %s", o.Name, k.Name)
				}
				for _, e := range path.Edges {
					n := int(e.Length()/0.25) + 1
					for i := range n + 1 {
						if nearContour(k.Outline, e.At(float64(i)/float64(n)).Add(path.Shift), o.Tool.Diameter/2-1e-6) {
							return fmt.Sprintf("%q enters the %s", o.Name, k.Name)
						}
					}
				}
			}
		}
	}
	return ""
}

// No path enters what holds the work: by rule, and as the document says, where what would be cut there is left and named.
func TestPathsKeepOutOfTheHolding(t *testing.T) {
	for _, name := range sampleNames(t) {
		plan, _ := makePlan(t, samplePlate(t, name))
		if s := entersAny(plan); s != "" {
			t.Errorf("%s: %s", name, s)
		}
		for _, s := range plan.SetUps {
			if len(s.Locators) != 3 {
				t.Errorf("%s: set-up %d has %d locators", name, s.Number, len(s.Locators))
			}
		}
	}
	doc := formsPlate()
	doc.Machining.Holding = []plate.Holding{
		{ID: 300, Kind: plate.Clamp, X: 280, Y: 80, Width: 20, Height: 30, AngleDeg: 20},
		{ID: 301, Kind: plate.Screw, Feature: 10},
	}
	plan, _ := makePlan(t, doc)
	if s := entersAny(plan); s != "" {
		t.Error(s)
	}
	if !hasCode(plan, "held-here") || !plan.Incomplete {
		t.Errorf("a clamp on the window, and no finding:\n%s", card(plan))
	}
	if h := plan.SetUps[0].Holding; !strings.Contains(h, "1 clamp") || !strings.Contains(h, "screwed") {
		t.Errorf("held %q", h)
	}
	doc.Machining.Holding = []plate.Holding{{ID: 300, Kind: plate.Vacuum}}
	if plan, _ = makePlan(t, doc); !hasCode(plan, "vacuum-lost") {
		t.Error("windows cut on a vacuum plate, and no finding")
	}
	doc.Machining.Holding = []plate.Holding{{ID: 300, Kind: plate.Vice}, {ID: 301, Kind: plate.Screw, Feature: 14}}
	if plan, _ = makePlan(t, doc); !hasCode(plan, "holding-inactive") {
		t.Error("a screw through a blind hole, and no finding")
	}
}

// Each limit that costs an operation time is listed with what lifting it would save, and that is never more than its cutting time.
func TestGains(t *testing.T) {
	for _, name := range sampleNames(t) {
		plan, _ := makePlan(t, samplePlate(t, name))
		for _, o := range plan.Operations {
			for i, g := range o.Gains {
				if g.Minutes <= 0 || g.Minutes > o.CuttingMin*(1+1e-9) || i > 0 && g.Minutes > o.Gains[i-1].Minutes {
					t.Errorf("%s: %q: gains %v of %g min", name, o.Name, o.Gains, o.CuttingMin)
				}
			}
			if o.GainMin < 0 || o.GainMin > o.CuttingMin*(1+1e-9) {
				t.Errorf("%s: %q: gain %g of %g min", name, o.Name, o.GainMin, o.CuttingMin)
			}
		}
	}
	// A straight cut held by the spindle: with a spindle without end the feed is that of the cutting data.
	c := Conditions{Feed: 1000, Ideal: 2500, Next: 2000, LimitedBy: LimitSpindle}
	tl := straightTally(100, c.pace())
	tl.motion, tl.corner = 6, 6
	g := gainsOf(tl)
	if len(g) != 1 || g[0].Limit != LimitSpindle || math.Abs(g[0].Minutes-(100/1000.0-100/2000.0)) > 1e-12 {
		t.Errorf("gains %v, want 0.05 min of the spindle", g)
	}
}

// A plate too large for the first machine goes to the next that holds it.
func TestTheMachineThatHoldsThePlate(t *testing.T) {
	s := exampleShop(t)
	big := s.Machine
	big.Name, s.Machine.Travel = "the large one", [3]float64{100, 100, 400}
	s.Others = []shop.Machine{big}
	plan, _ := planIn(t, bracket(), s)
	if plan.Machine != "the large one" || !hasCode(plan, "other-machine") || plan.Incomplete {
		t.Errorf("planned for %q", plan.Machine)
	}
	s.Machine, s.Others = big, nil
	s.Machine.Magazine = 0
	slow, _ := planIn(t, bracket(), s)
	quick, _ := makePlan(t, bracket())
	if slow.ToolChangeMin <= quick.ToolChangeMin {
		t.Error("tools changed by hand take no longer than by the magazine")
	}
}

// Plates with random forms, sizes, sides and changes: every plan keeps its sums and removes what the layout removes.
func TestRandomForms(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 21))
	cases := 25
	if os.Getenv("PLATEWRIGHT_LONG") != "" {
		cases = 500
	} else {
		t.Log("the first 25 of 500 plates; all with PLATEWRIGHT_LONG=1")
	}
	planned := 0
	for n := range cases {
		p := formsPlate()
		p.Bores = slices.DeleteFunc(p.Bores, func(plate.Bore) bool { return r.IntN(4) == 0 })
		p.Holes = slices.DeleteFunc(p.Holes, func(plate.Hole) bool { return r.IntN(3) == 0 })
		p.Slots = slices.DeleteFunc(p.Slots, func(plate.Slot) bool { return r.IntN(3) == 0 })
		p.Pockets = slices.DeleteFunc(p.Pockets, func(plate.Pocket) bool { return r.IntN(3) == 0 })
		for i := range p.Pockets {
			q := &p.Pockets[i]
			q.Radius = 2 + 6*r.Float64()
			if q.Side != plate.Through && r.IntN(3) == 0 {
				q.Side = plate.Bottom
			}
			if q.FloorRadius > 0 {
				q.FloorRadius = min(q.Radius, 0.3+4*r.Float64())
			}
		}
		for i := range p.Holes {
			if h := &p.Holes[i]; h.Side != plate.Through && r.IntN(2) == 0 {
				h.Side = plate.Bottom
			}
		}
		p.Outline.Chamfer = plate.EdgeChamfer{Top: float64(r.IntN(3)), Bottom: float64(r.IntN(2))}
		p.Stock.Blank.Margin = []float64{3, 12, 30}[r.IntN(3)]
		if r.IntN(3) == 0 {
			p.Machining.Holding = []plate.Holding{{ID: 300, Kind: plate.Clamp, X: 320 * r.Float64(), Y: 160 * r.Float64(), Width: 30, Height: 20, AngleDeg: 90 * r.Float64()}}
		}
		l, err := layout.Derive(p)
		if err != nil {
			continue
		}
		planned++
		s := exampleShop(t)
		plan, err := Make(t.Context(), l, s)
		if err != nil {
			t.Errorf("plate %d: %v", n, err)
			continue
		}
		checkPlan(t, fmt.Sprintf("plate %d", n), plan, l)
		if why := entersAny(plan); why != "" {
			t.Errorf("plate %d: %s", n, why)
		}
	}
	if planned < cases*3/4 {
		t.Errorf("%d of %d plates could be planned", planned, cases)
	}
}
