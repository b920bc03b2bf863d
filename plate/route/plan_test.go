package route

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

func exampleShop(t testing.TB) shop.Profile {
	t.Helper()
	p, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func derive(t testing.TB, p plate.Plate) *layout.Layout {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func planIn(t testing.TB, p plate.Plate, s shop.Profile) (Plan, *layout.Layout) {
	t.Helper()
	l := derive(t, p)
	plan, err := Make(context.Background(), l, s)
	if err != nil {
		t.Fatal(err)
	}
	return plan, l
}

func makePlan(t testing.TB, p plate.Plate) (Plan, *layout.Layout) {
	t.Helper()
	return planIn(t, p, exampleShop(t))
}

// card prints a plan in short, for failures and for reading.
func card(p Plan) string {
	var b strings.Builder
	fmt.Fprintf(&b, "cycle %.2f (%.1f..%.1f) = cut %.2f + rapid %.2f + change %.2f + other %.2f; floor to floor %.1f; set-up %.0f\n",
		p.CycleMin, p.CycleLow, p.CycleHigh, p.CuttingMin, p.RapidMin, p.ToolChangeMin, p.OtherMachineMin, p.FloorToFloorMin, p.SetupMin)
	for _, s := range p.SetUps {
		fmt.Fprintf(&b, "set-up %d %s turn %q %.2f min: %s | %s\n", s.Number, s.Face, s.Turn, s.Minutes, s.Holding, s.Note)
		for _, o := range p.Operations {
			if o.SetUp == s.Number {
				fmt.Fprintf(&b, "  T%-2d %-10s %-40s %s n%.0f f%.0f ap%.2f ae%.2f x%d path %.0f cut %.2f rapid %.2f total %.2f removed %.0f [%s]\n", o.ToolNumber, o.Tool.ID, o.Name, o.Where,
					o.Spindle, o.Feed, o.Ap, o.Ae, o.Passes, o.PathMM, o.CuttingMin, o.RapidMin, o.TotalMin, o.Removed, o.LimitedBy)
			}
		}
	}
	for _, f := range p.Findings {
		fmt.Fprintf(&b, "%s %s: %s\n", f.Level, f.Code, f.What)
	}
	return b.String()
}

func samplePlate(t testing.TB, name string) plate.Plate {
	t.Helper()
	p, err := plate.Decode(sampleBytes(t, name))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// bracket is a plate with a window field, pockets on top, bores, and holes: the base that tests change.
func bracket() plate.Plate {
	p := plate.New("bracket")
	p.Stock.Blank = plate.Blank{Margin: 30}
	p.Bores = []plate.Bore{
		{ID: 1, Name: "Axle", X: 45, Y: 60, Diameter: 42, Boss: 8, Tolerance: 0.025},
		{ID: 2, Name: "Motor", X: 155, Y: 60, Diameter: 30, Boss: 8},
	}
	p.Holes = []plate.Hole{
		{ID: 3, Name: "Bolt", X: 100, Y: 15, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through, Boss: 5}},
		{ID: 4, Name: "Stop", X: 100, Y: 105, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 8, Boss: 5}},
	}
	p.Ribs = []plate.Rib{{ID: 5, Name: "Rib", From: plate.RibEnd{Feature: 1}, To: plate.RibEnd{Feature: 2}, Width: 6}}
	p.Pockets = []plate.Pocket{{ID: 6, Name: "Field", Side: plate.Top, Depth: 10, Radius: 5, AllRibs: true}}
	p.NextID = 100
	return p
}

func relative(got, want float64) float64 { return math.Abs(got-want) / math.Max(1, math.Abs(want)) }

// checkPlan holds for every plan: the sums agree, nothing is negative or not a number, and every cutting operation says what
// limits it and where its figures come from.
func checkPlan(t *testing.T, name string, p Plan, l *layout.Layout) {
	t.Helper()
	var cut, rapid, total, removed float64
	for _, o := range p.Operations {
		for _, x := range []float64{o.TotalMin, o.CuttingMin, o.RapidMin, o.PathMM, o.Removed, o.Spindle, o.Feed, o.Ap, o.Ae} {
			if math.IsNaN(x) || math.IsInf(x, 0) || x < -1e-9 {
				t.Errorf("%s: %q has a figure of %g", name, o.Name, x)
			}
		}
		removed += o.Removed
		if o.Where != OnMachine {
			continue
		}
		cut, rapid, total = cut+o.CuttingMin, rapid+o.RapidMin, total+o.TotalMin
		if o.TotalMin < (o.CuttingMin+o.RapidMin)*(1-1e-12) {
			t.Errorf("%s: %q takes %g min, cutting and rapids alone %g", name, o.Name, o.TotalMin, o.CuttingMin+o.RapidMin)
		}
		if o.Tool.ID != "" && (o.LimitedBy == "" || o.Source == "" || o.ToolNumber == 0 || len(o.Paths) == 0 || o.Passes == 0 || o.Spindle == 0) {
			t.Errorf("%s: %q is not complete: %+v", name, o.Name, o)
		}
		if o.Source == "" {
			t.Errorf("%s: %q has no source", name, o.Name)
		}
	}
	if relative(total, p.CycleMin) > 1e-9 || relative(cut, p.CuttingMin) > 1e-9 || relative(rapid, p.RapidMin) > 1e-9 {
		t.Errorf("%s: operations sum to %g min, cutting %g, rapid %g; the plan says %g, %g, %g", name, total, cut, rapid, p.CycleMin, p.CuttingMin, p.RapidMin)
	}
	if s := p.CuttingMin + p.RapidMin + p.ToolChangeMin + p.OtherMachineMin; relative(s, p.CycleMin) > 1e-12 {
		t.Errorf("%s: the four parts sum to %g, the cycle is %g", name, s, p.CycleMin)
	}
	perSetUp := 0.0
	for _, s := range p.SetUps {
		perSetUp += s.Minutes
		if s.Holding == "" {
			t.Errorf("%s: set-up %d does not say how the work is held", name, s.Number)
		}
	}
	if relative(perSetUp, p.CycleMin) > 1e-9 {
		t.Errorf("%s: set-ups sum to %g min of %g", name, perSetUp, p.CycleMin)
	}
	if relative(removed, p.Removed) > 1e-12 {
		t.Errorf("%s: operations remove %g, the plan says %g", name, removed, p.Removed)
	}
	want := l.BlankVolume() - l.Volume()
	if !p.Incomplete && relative(p.Removed, want) > 1e-6 {
		t.Errorf("%s: removed %.3f mm³, blank less plate is %.3f mm³", name, p.Removed, want)
	}
	if p.Incomplete && p.Removed > want*(1+1e-6) {
		t.Errorf("%s: removed %.3f mm³ of %.3f mm³ though not everything is made", name, p.Removed, want)
	}
	if p.Incomplete != (finding.Count(p.Findings, finding.Error) > 0) {
		t.Errorf("%s: incomplete %v with %d errors", name, p.Incomplete, finding.Count(p.Findings, finding.Error))
	}
	if p.CycleLow > p.CycleMin || p.CycleHigh < p.CycleMin || p.FloorToFloorMin < p.CycleMin {
		t.Errorf("%s: %g, %g, %g, floor to floor %g", name, p.CycleLow, p.CycleMin, p.CycleHigh, p.FloorToFloorMin)
	}
}

func TestPlansOfSamples(t *testing.T) {
	for _, name := range sampleNames(t) {
		plan, l := makePlan(t, samplePlate(t, name))
		checkPlan(t, name, plan, l)
		if plan.Incomplete || t.Failed() {
			t.Errorf("%s:\n%s", name, card(plan))
		}
		if testing.Verbose() {
			t.Logf("%s\n%s", name, card(plan))
		}
	}
	plan, l := makePlan(t, largePlate(54))
	checkPlan(t, "large", plan, l)
}

// With the embedded band the cycle is known to −20/+50 %.
func TestBand(t *testing.T) {
	p, _ := makePlan(t, bracket())
	near(t, "low", p.CycleLow, 0.8*p.CycleMin, 1e-9)
	near(t, "high", p.CycleHigh, 1.5*p.CycleMin, 1e-9)
}

// names lists the operations of a plan as "set-up: name".
func names(p Plan) []string {
	var out []string
	for _, o := range p.Operations {
		out = append(out, fmt.Sprintf("%d: %s", o.SetUp, o.Name))
	}
	return out
}

func indexOf(t *testing.T, p Plan, part string) int {
	t.Helper()
	i := slices.IndexFunc(names(p), func(s string) bool { return strings.Contains(s, part) })
	if i < 0 {
		t.Errorf("no operation %q in %q", part, names(p))
	}
	return i
}

// The order of the trade, read off METHODS: rough everything, clamp again, floors and walls, located bores, threads, the
// outline, the edges.
func TestOrderOfTheTrade(t *testing.T) {
	p, _ := makePlan(t, bracket())
	want := []string{
		"1: rough pockets", "1: spot holes", "1: drill pilots", "1: rough bores", "1: rough the outline", "2: finish floors", "2: finish walls",
		"2: bore to 42", "2: spot holes", "2: drill", "2: tap M6", "2: cut the outline", "2: break edges", "2: cut and dress", "2: break 0",
	}
	last := -1
	for _, w := range want {
		i := indexOf(t, p, w)
		if i <= last {
			t.Errorf("%q comes at %d, after something that it should precede:\n%s", w, i, card(p))
		}
		last = i
	}
	if p.SetUps[1].Turn != "" || !strings.Contains(p.SetUps[1].Note, "clamped again") {
		t.Errorf("second set-up: %+v", p.SetUps[1])
	}
}

func TestClampings(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*plate.Plate)
		faces  []plate.Side
		turns  []plate.Axis
	}{
		{"holes only, in a frame", func(p *plate.Plate) { p.Pockets = nil }, []plate.Side{plate.Top}, []plate.Axis{""}},
		{"holes only, no frame", func(p *plate.Plate) { p.Pockets, p.Stock.Blank.Margin = nil, 5 }, []plate.Side{plate.Top, plate.Top}, []plate.Axis{"", ""}},
		{"pockets on top", func(*plate.Plate) {}, []plate.Side{plate.Top, plate.Top}, []plate.Axis{"", ""}},
		{"windows", func(p *plate.Plate) { p.Pockets[0].Side, p.Pockets[0].Depth = plate.Through, 0 }, []plate.Side{plate.Top, plate.Top}, []plate.Axis{"", ""}},
		{
			"pockets below", func(p *plate.Plate) { p.Pockets[0].Side, p.Holes[1].Side = plate.Bottom, plate.Bottom },
			[]plate.Side{plate.Bottom, plate.Bottom},
			[]plate.Axis{"", ""},
		},
		{
			"pockets above, thread below", func(p *plate.Plate) { p.Holes[1].Side = plate.Bottom },
			[]plate.Side{plate.Top, plate.Bottom, plate.Top},
			[]plate.Axis{"", "x", "x"},
		},
		{
			"bottom machined", func(p *plate.Plate) { p.Stock.Bottom, p.Stock.Nominal = plate.Machined, 16 },
			[]plate.Side{plate.Top, plate.Bottom, plate.Top},
			[]plate.Axis{"", "x", "x"},
		},
		{
			"both sides", func(p *plate.Plate) {
				p.Pockets[0].Depth = 6
				p.Pockets = append(p.Pockets, plate.Pocket{ID: 7, Name: "Below", Side: plate.Bottom, Depth: 6, Radius: 5, AllRibs: true})
				p.Machining.Turn = plate.AxisY
			}, []plate.Side{plate.Top, plate.Bottom, plate.Bottom, plate.Top}, []plate.Axis{"", "y", "", "y"},
		},
		{
			"holes on both sides", func(p *plate.Plate) {
				p.Pockets = nil
				p.Holes = append(p.Holes, plate.Hole{ID: 8, Name: "Under", X: 100, Y: 60, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Bottom, Depth: 7}})
			}, []plate.Side{plate.Bottom, plate.Top}, []plate.Axis{"", "x"},
		},
	} {
		p := bracket()
		c.change(&p)
		plan, l := makePlan(t, p)
		checkPlan(t, c.name, plan, l)
		var faces []plate.Side
		var turns []plate.Axis
		for _, s := range plan.SetUps {
			faces, turns = append(faces, s.Face), append(turns, s.Turn)
		}
		if !slices.Equal(faces, c.faces) || !slices.Equal(turns, c.turns) {
			t.Errorf("%s: faces %q turned %q, want %q %q", c.name, faces, turns, c.faces, c.turns)
		}
		if hasCode(plan, "located-before-roughing") {
			t.Errorf("%s: a located bore is finished before roughing:\n%s", c.name, card(plan))
		}
	}
}

// A plan whose order is wrong is reported.
func TestLocatedBeforeRoughing(t *testing.T) {
	at := []visit{{job: &job{}}}
	far := []visit{{job: &job{}, shift: geom.Pt(1000, 0)}}
	bore := operated{&task{step: stepFinishBore, name: "bore", located: true, visits: at}, 1}
	rough := operated{&task{step: stepRoughPocket, name: "rough", visits: at}, 1}
	away := operated{&task{step: stepRoughPocket, name: "rough", visits: far}, 1}
	if got := checkOrder([]operated{bore, rough}); len(got) != 1 || got[0].Code != "located-before-roughing" {
		t.Errorf("bore before roughing: %v", got)
	}
	if got := checkOrder([]operated{rough, bore}); len(got) != 0 {
		t.Errorf("bore after roughing: %v", got)
	}
	if got := checkOrder([]operated{bore, away}); len(got) != 0 {
		t.Errorf("roughing far away: %v", got)
	}
}

// A fixture is set up once for a batch; loosening and clamping again in it is not setting up. The figures are the profile's:
// 5 min for the program, 1.5 min for each tool, 20 min for each fixture.
func TestSetUpTime(t *testing.T) {
	for _, c := range []struct {
		sample   string
		fixtures float64
	}{
		{"field-robot-rocker", 2}, // edge clamps, then screws
		{"camera-dolly-cheek", 4}, // edge clamps on top and below, then clamps on the frame of the blank below and on top
	} {
		plan, _ := makePlan(t, samplePlate(t, c.sample))
		tools := 0
		for _, o := range plan.Operations {
			tools = max(tools, o.ToolNumber)
		}
		if want := 5 + 1.5*float64(tools) + 20*c.fixtures; relative(plan.SetupMin, want) > 1e-12 {
			t.Errorf("%s: set-up of %g min, want %g", c.sample, plan.SetupMin, want)
		}
	}
}

// A plate that hangs in a frame is clamped down on it from the start, unless the face under the clamps is milled.
func TestFrameIsClampedDown(t *testing.T) {
	const down, sides = "clamped down on the frame", "edge clamps below the face"
	p := bracket()
	plan, _ := makePlan(t, p)
	for _, s := range plan.SetUps {
		if !strings.Contains(s.Holding, down) {
			t.Errorf("set-up %d: %q, want %q", s.Number, s.Holding, down)
		}
	}
	p.Stock.Top, p.Stock.Nominal = plate.Machined, 16
	plan, _ = makePlan(t, p)
	if got := plan.SetUps[0].Holding; !strings.Contains(got, sides) {
		t.Errorf("face milled: %q, want %q", got, sides)
	}
}

// A list of the holes of bolt circles can be read: its commas part holes and nothing else.
func TestScrewsAreNamed(t *testing.T) {
	plan, _ := makePlan(t, samplePlate(t, "field-robot-rocker"))
	want := `screwed down through hole 3 of "Front gear unit", hole 6 of "Front gear unit", hole 3 of "Rear gear unit", hole 6 of "Rear gear unit"`
	if got := plan.SetUps[1].Holding; !strings.HasSuffix(got, want) {
		t.Errorf("held %q, want %q", got, want)
	}
}

// Screws hold a plate well only where they stand farther apart than the plate reaches beyond them. The distances are worked
// out by hand from the plate, 200 × 100 mm with sharp corners.
func TestScrewsCloseTogether(t *testing.T) {
	hole := func(id plate.ID, x, y float64) plate.Hole {
		return plate.Hole{ID: id, Name: "Screw", X: x, Y: y, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M5", Series: plate.Medium, Side: plate.Through}}
	}
	for _, c := range []struct {
		name   string
		margin float64
		holes  []plate.Hole
		want   string // "" for no finding
	}{
		{"at the ends", 5, []plate.Hole{hole(1, 20, 50), hole(2, 180, 50)}, ""},
		{"at one end", 5, []plate.Hole{hole(1, 20, 20), hole(2, 20, 80)}, "within 60 mm of one another, and the outline reaches 181 mm"}, // √(180² + 20²)
		{"at one end, in a frame", 40, []plate.Hole{hole(1, 20, 20), hole(2, 20, 80)}, ""},
		{"one hole is no hold at all", 5, []plate.Hole{hole(1, 20, 20)}, ""},
	} {
		p := bracket()
		p.Pockets, p.Ribs, p.Grids, p.Bores, p.Holes = nil, nil, nil, nil, c.holes
		p.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: 200, Y: 0}, {X: 200, Y: 100}, {X: 0, Y: 100}}}
		p.Stock.Blank.Margin = c.margin
		plan, _ := makePlan(t, p)
		i := slices.IndexFunc(plan.Findings, func(f finding.Finding) bool { return f.Code == "screws-close" })
		if (i >= 0) != (c.want != "") || i >= 0 && !strings.Contains(plan.Findings[i].What, c.want) {
			t.Errorf("%s: findings %v, want %q", c.name, plan.Findings, c.want)
		}
	}
}

func hasCode(p Plan, code string) bool {
	return slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.Code == code })
}

// What the shop cannot do is a finding of level error, in no operation and in no minutes; what it does otherwise is said.
func TestWhatTheShopCannotDo(t *testing.T) {
	without := func(k shop.Kind, keep func(shop.Tool) bool) func(*shop.Profile) {
		return func(s *shop.Profile) {
			s.Tools = slices.DeleteFunc(slices.Clone(s.Tools), func(x shop.Tool) bool { return x.Kind == k && (keep == nil || !keep(x)) })
		}
	}
	for _, c := range []struct {
		code  string
		level finding.Level
		plate func(*plate.Plate)
		shop  func(*shop.Profile)
	}{
		{"no-cutter-for-corner", finding.Error, func(p *plate.Plate) { p.Pockets[0].Radius = 1.2 }, nil},
		{"reach-short", finding.Error, func(p *plate.Plate) {
			p.Stock.Nominal, p.Stock.Finished = 40, 40
			p.Pockets[0].Depth, p.Pockets[0].Radius = 38, 3
		}, nil},
		{"no-boring-head", finding.Error, func(*plate.Plate) {}, without(shop.BoringHead, nil)},
		{"no-pilot-drill", finding.Warning, func(p *plate.Plate) { p.Holes = nil }, without(shop.Drill, nil)},
		{"no-drill", finding.Error, func(*plate.Plate) {}, without(shop.Drill, func(x shop.Tool) bool { return x.Diameter > 7 })},
		{"drill-short", finding.Error, func(p *plate.Plate) {
			p.Stock.Nominal, p.Stock.Finished = 60, 60
			p.Holes[0].Size = "M3"
		}, nil},
		{"no-tap", finding.Error, func(p *plate.Plate) { p.Holes[1].Size = "M20" }, nil},
		{"tap-short", finding.Error, func(p *plate.Plate) { p.Holes[1].Side, p.Holes[1].Depth = plate.Through, 0 }, func(s *shop.Profile) {
			s.Tools = slices.Clone(s.Tools)
			for i := range s.Tools {
				if s.Tools[i].Thread == "M6" {
					s.Tools[i].Reach = 10
				}
			}
		}},
		{"no-face-mill", finding.Error, func(p *plate.Plate) { p.Stock.Top, p.Stock.Nominal = plate.Machined, 16 }, without(shop.FaceMill, nil)},
		{"plate-over-travel", finding.Error, func(*plate.Plate) {}, func(s *shop.Profile) { s.Machine.Travel = [3]float64{200, 200, 200} }},
		{"lies-across", finding.Note, func(*plate.Plate) {}, func(s *shop.Profile) { s.Machine.Travel = [3]float64{200, 300, 200} }},
		{"cutting-data-missing", finding.Error, func(p *plate.Plate) { p.Stock.Material.Group = "S" }, nil},
		{"magazine-full", finding.Warning, func(*plate.Plate) {}, func(s *shop.Profile) { s.Machine.Magazine = 4 }},
		{"tool-slender", finding.Warning, func(p *plate.Plate) {
			p.Stock.Nominal, p.Stock.Finished = 25, 25
			p.Pockets[0].Depth, p.Pockets[0].Radius = 22, 3
		}, func(s *shop.Profile) { s.Practice.Slender.Value = 4.5 }},
		{"comes-loose", finding.Note, func(*plate.Plate) {}, nil},
		{"comes-loose", finding.Warning, func(p *plate.Plate) { p.Stock.Blank.Margin = 4 }, nil},
		{"bore-too-small", finding.Error, func(p *plate.Plate) { p.Bores[1].Diameter = 3.9 }, nil},
	} {
		p, s := bracket(), exampleShop(t)
		c.plate(&p)
		if c.shop != nil {
			c.shop(&s)
		}
		plan, l := planIn(t, p, s)
		checkPlan(t, c.code, plan, l)
		i := slices.IndexFunc(plan.Findings, func(f finding.Finding) bool { return f.Code == c.code && f.Level == c.level })
		if i < 0 {
			t.Errorf("no finding %s of level %s:\n%s", c.code, c.level, card(plan))
			continue
		}
		f := plan.Findings[i]
		if f.What == "" || f.Why == "" || f.Source == "" || f.Fix == "" || f.Stage == "" {
			t.Errorf("%s: %+v is not complete", c.code, f)
		}
		if plan.Incomplete != (c.level == finding.Error) {
			t.Errorf("%s: incomplete is %v", c.code, plan.Incomplete)
		}
	}
}

// An operation that no tool can do is left out: its metal and its minutes are missing, those of the rest are there.
func TestLeftOutIsNotTimed(t *testing.T) {
	whole, _ := makePlan(t, bracket())
	p := bracket()
	p.Pockets[0].Radius = 1.2
	plan, l := makePlan(t, p)
	if i := slices.IndexFunc(plan.Operations, func(o Operation) bool { return strings.Contains(o.Name, "Field") }); i >= 0 {
		t.Errorf("%q is timed though no cutter fits", plan.Operations[i].Name)
	}
	pocket := 0.0
	for _, c := range l.Cuts {
		if c.Kind == layout.CutPocket {
			pocket += c.Region.Area() * c.Depth()
		}
	}
	if d := relative(plan.Removed+pocket, l.BlankVolume()-l.Volume()); d > 1e-6 {
		t.Errorf("removed %g without the pocket's %g", plan.Removed, pocket)
	}
	if plan.CycleMin >= whole.CycleMin {
		t.Errorf("%g min without the pockets, %g with them", plan.CycleMin, whole.CycleMin)
	}
}

// A hollow with a mouth narrower than every cutter cannot be milled, however wide it is inside.
func TestHollowWithANarrowMouth(t *testing.T) {
	p := bracket()
	p.Outline.Corners = []plate.Corner{
		{X: 0, Y: 0},
		{X: 200, Y: 0},
		{X: 200, Y: 120},
		{X: 111, Y: 120},
		{X: 111, Y: 117},
		{X: 115, Y: 112, Radius: 2},
		{X: 108, Y: 100, Radius: 3},
		{X: 101, Y: 112, Radius: 2},
		{X: 109, Y: 117},
		{X: 109, Y: 120},
		{X: 0, Y: 120},
	}
	p.Rim, p.Pockets, p.Holes, p.Ribs = 0, nil, nil, nil
	plan, l := makePlan(t, p)
	checkPlan(t, "keyhole", plan, l)
	if !hasCode(plan, "no-cutter-for-corner") || !hasCode(plan, "minutes-incomplete") {
		t.Errorf("findings:\n%s", card(plan))
	}
}

// Very many visits are ordered row by row, fewer by the nearest next: every visit stays, and the way is far below that of the
// order given.
func TestTours(t *testing.T) {
	w := newWorker(t)
	r := rand.New(rand.NewPCG(3, 3))
	for _, n := range []int{1, 2, 50, mostNearest + 500} {
		vs := make([]visit, n)
		sum := 0.0
		for i := range vs {
			p := geom.Pt(600*r.Float64(), 400*r.Float64())
			vs[i] = visit{&job{start: p, end: p}, geom.Pt(0, 0), -1, 0}
			sum += p.X + p.Y
		}
		way := func() float64 {
			l := 0.0
			for i := 1; i < n; i++ {
				l += vs[i-1].end().Dist(vs[i].start())
			}
			return l
		}
		before := way()
		w.tour(vs, geom.Pt(0, 0))
		after := 0.0
		for _, v := range vs {
			after += v.start().X + v.start().Y
		}
		near(t, "sum of places", after, sum, 1e-6)
		// a random tour through n points in an area A is about 0.52·√(A)·n long, the best about 0.7124·√(A·n)
		// (Beardwood, Halton and Hammersley; from memory)
		if best := 0.7124 * math.Sqrt(600*400*float64(n)); n > 10 && (way() > 1.6*best || way() > before/2) {
			t.Errorf("%d visits: %.0f mm, as given %.0f mm, the best is about %.0f mm", n, way(), before, best)
		}
	}
}

// A clearance hole that no drill fits is milled.
func TestHoleWithoutADrillIsMilled(t *testing.T) {
	s := exampleShop(t)
	s.Tools = slices.DeleteFunc(slices.Clone(s.Tools), func(x shop.Tool) bool { return x.Kind == shop.Drill && x.Diameter == 6.6 })
	plan, l := planIn(t, bracket(), s)
	checkPlan(t, "milled hole", plan, l)
	indexOf(t, plan, "mill holes on helices")
}

// Without rigid tapping threads are cut by hand, and not on the machine.
func TestTappingByHand(t *testing.T) {
	s := exampleShop(t)
	s.Machine.RigidTapping = false
	plan, _ := planIn(t, bracket(), s)
	i := indexOf(t, plan, "tap M6")
	if i >= 0 && plan.Operations[i].Where != ByHand {
		t.Errorf("tapped on %s", plan.Operations[i].Where)
	}
}

func TestPlansAreDeterministic(t *testing.T) {
	a, _ := makePlan(t, largePlate(80))
	for range 3 {
		b, _ := makePlan(t, largePlate(80))
		if !reflect.DeepEqual(a, b) {
			t.Fatal("two plans of one plate differ")
		}
	}
}

func TestContextEndsAPlan(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Make(ctx, derive(t, bracket()), exampleShop(t)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

func TestWrongInput(t *testing.T) {
	if _, err := Make(context.Background(), nil, exampleShop(t)); err == nil {
		t.Error("no layout, no error")
	}
	s := exampleShop(t)
	s.Machine.Accel[0] = math.NaN()
	var pe *shop.ProfileError
	if _, err := Make(context.Background(), derive(t, bracket()), s); !errors.As(err, &pe) {
		t.Errorf("acceleration NaN: %v", err)
	}
}

// A faster machine is never slower: twice the acceleration, the rapids, half the block time.
func TestFasterMachineIsNotSlower(t *testing.T) {
	s := exampleShop(t)
	base, _ := planIn(t, bracket(), s)
	for name, change := range map[string]func(*shop.Machine){
		"acceleration": func(m *shop.Machine) {
			for i := range m.Accel {
				m.Accel[i] *= 2
			}
		},
		"rapids": func(m *shop.Machine) {
			for i := range m.Rapid {
				m.Rapid[i] *= 2
			}
		},
		"block time":     func(m *shop.Machine) { m.BlockTime /= 2 },
		"path tolerance": func(m *shop.Machine) { m.PathTolerance *= 2 },
		"tool change":    func(m *shop.Machine) { m.ToolChange /= 2 },
	} {
		q := s
		change(&q.Machine)
		if got, _ := planIn(t, bracket(), q); got.CycleMin > base.CycleMin*(1+1e-9) {
			t.Errorf("better %s: %g min instead of %g", name, got.CycleMin, base.CycleMin)
		}
	}
}

// No operation is faster than its length over the highest feed the machine has.
func TestNoOperationBeatsTheMachine(t *testing.T) {
	s := exampleShop(t)
	for _, p := range []plate.Plate{bracket(), largePlate(80)} {
		plan, _ := planIn(t, p, s)
		for _, o := range plan.Operations {
			if o.CuttingMin < o.PathMM/s.Machine.MaxFeed {
				t.Errorf("%s: %g mm in %g min", o.Name, o.PathMM, o.CuttingMin)
			}
		}
	}
}

// Random plates: every plan holds the invariants.
func TestRandomPlates(t *testing.T) {
	const seed = 11
	r := rand.New(rand.NewPCG(seed, seed))
	made := 0
	for i := range 40 {
		p := bracket()
		p.Stock.Blank.Margin = 3 + 30*r.Float64()
		th := 6 + 20*r.Float64()
		p.Stock.Nominal, p.Stock.Finished = th, th
		if r.IntN(3) == 0 {
			p.Stock.Top, p.Stock.Nominal = plate.Machined, th+2
		}
		p.Holes[1].Depth = min(8, th/2)
		p.Bores[0].Diameter, p.Bores[1].Diameter = 12+30*r.Float64(), 8+20*r.Float64()
		p.Pockets[0].Depth, p.Pockets[0].Radius = th*(0.2+0.7*r.Float64()), 1+5*r.Float64()
		switch r.IntN(3) {
		case 0:
			p.Pockets[0].Side, p.Pockets[0].Depth = plate.Through, 0
		case 1:
			p.Pockets = append(p.Pockets, plate.Pocket{ID: 7, Name: "Below", Side: plate.Bottom, Depth: th * (0.2 + 0.7*r.Float64()), Radius: 2 + 3*r.Float64(), AllRibs: true})
		}
		if r.IntN(2) == 0 {
			p.Grids = []plate.Grid{{ID: 9, Name: "grid", Pitch: 35 + 40*r.Float64(), Width: 3, AngleDeg: 60 * r.Float64(), X: 100, Y: 60}}
		}
		l, err := layout.Derive(p)
		if err != nil {
			continue
		}
		plan, err := Make(context.Background(), l, exampleShop(t))
		if err != nil {
			t.Errorf("seed %d, plate %d: %v", seed, i, err)
			continue
		}
		made++
		checkPlan(t, fmt.Sprintf("seed %d, plate %d", seed, i), plan, l)
	}
	if made < 30 {
		t.Errorf("only %d plates made", made)
	}
}
