package quote

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/material"
	"platewright/plate/route"
	"platewright/plate/shop"
)

func money(s string) Money { return decimal.RequireFromString(s) }

// profile has round figures, so that a quote can be worked by hand.
func profile() shop.Profile {
	return shop.Profile{
		Name: "test", Example: true,
		Rates: shop.Rates{
			Currency: "EUR", Machine: "60", Setter: "30", Hand: "30", Programming: "120", Inspection: "60",
			ProgramMin: 20, ProgramEach: 5, InspectMin: 4, FirstArticle: 30,
			Metal:  []shop.Metal{{Group: "N", PerKG: "9"}, {Group: "N", Alloy: "EN AW-6082", PerKG: "8.50"}},
			SawCut: "1.25", SawLoad: "5",
			Finishes: []shop.FinishRate{{Name: "anodised", PerDM2: "0.80", Minimum: "60", LeadDays: 5}},
			Scrap:    5, Margin: 20, Minimum: "0", Delivery: "25", ValidDays: 30,
		},
		ToolLife: []shop.ToolLife{{ToolMaterial: "solid carbide", Group: "N", C: 900, N: 0.25}},
	}
}

func job() Job {
	p := plate.New("test")
	p.Stock.Material = material.Material{Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Group: "N"}
	mill := shop.Tool{ID: "EM10", Kind: shop.EndMill, Diameter: 10, Material: "solid carbide", Price: "50"}
	return Job{
		Layout: &layout.Layout{Plate: p},
		Mass:   mass.Result{BlankMassKG: 2, WettedArea: 100_000},
		Plan: route.Plan{
			CycleMin: 20, CycleLow: 16, CycleHigh: 30, FloorToFloorMin: 26, SetupMin: 40,
			Operations: []route.Operation{
				{Name: "rough pocket", Where: route.OnMachine, Tool: mill, CuttingMin: 12, TotalMin: 14, Spindle: 10_000},
				{Name: "finish walls", Where: route.OnMachine, Tool: mill, CuttingMin: 5, TotalMin: 6, Spindle: 10_000},
				{Name: "break edges", Where: route.ByHand, TotalMin: 4},
			},
		},
		Profile: profile(),
		Batches: []int{10, 1},
	}
}

func line(t *testing.T, b Batch, name string) Money {
	t.Helper()
	for _, l := range b.Lines {
		if l.Name == name {
			return l.Amount
		}
	}
	t.Fatalf("no line %q among %v", name, b.Lines)
	return Money{}
}

// Worked by hand from the figures of job and rates.
func TestQuoteWorkedByHand(t *testing.T) {
	q, err := Make(job())
	if err != nil {
		t.Fatal(err)
	}
	if len(q.Batches) != 2 || q.Batches[0].Quantity != 1 || q.Batches[1].Quantity != 10 {
		t.Fatalf("batches %v, want 1 and 10", q.Batches)
	}
	b := q.Batches[1]
	for _, c := range []struct{ name, want string }{
		{"material", "17"},                // 2 kg × 8.50
		{"sawing", "3"},                   // 2 × 1.25 + 5 ÷ 10
		{"programming", "6"},              // (20 + 2 × 5) min × 120/h ÷ 10
		{"set-up", "6"},                   // 40 min × (30 + 60)/h ÷ 10
		{"machine time", "20"},            // 20 min × 60/h
		{"loading and turning over", "9"}, // (26 − 20) min × (60 + 30)/h
		{"tool wear", "7.08"},             // 17 min ÷ 67.4 min × 50; Taylor's (900/314.16)^4 is worked below
		{"deburring and bench work", "2"}, // 4 min × 30/h
		{"inspection", "4"},               // 4 min × 60/h
		{"first article", "3"},            // 30 min × 60/h ÷ 10
		{"delivery", "2.5"},               // 25 ÷ 10
	} {
		want := money(c.want)
		if c.name == "tool wear" {
			life := math.Pow(900/(math.Pi*10*10_000/1000), 4)
			want = decimal.NewFromFloat(17 / life * 50).Round(2)
		}
		if got := line(t, b, c.name); !got.Equal(want) {
			t.Errorf("%s: %s, want %s", c.name, got, want)
		}
	}
	before := Money{}
	for _, l := range b.Lines {
		if l.Name == "scrap" {
			break
		}
		before = before.Add(l.Amount)
	}
	scrap := before.Mul(money("0.05")).Div(money("0.95")).Round(2)
	if got := line(t, b, "scrap"); !got.Equal(scrap) {
		t.Errorf("scrap: %s, want %s", got, scrap)
	}
	if got, want := line(t, b, "margin"), before.Add(scrap).Mul(money("0.2")).Round(2); !got.Equal(want) {
		t.Errorf("margin: %s, want %s", got, want)
	}
}

// F. W. Taylor's law as an examination prints it: 60 min at 60 m/min and 10 min at 100 m/min give n = 0.2851, C = 192.8
// (GATE 2024, mechanical engineering; seen; C computed from the two points).
func TestToolLifeByTaylor(t *testing.T) {
	w := shop.ToolLife{C: 192.8, N: 0.2851}
	for _, c := range []struct{ vc, want float64 }{{60, 60}, {100, 10}} {
		if got := Life(w, c.vc); math.Abs(got/c.want-1) > 2e-3 { // C and n have four digits
			t.Errorf("life at %v m/min: %.3f min, want %v", c.vc, got, c.want)
		}
	}
	if got := Life(w, 0); got != longestLife {
		t.Errorf("a cutter that stands still lasts %v min, want the most", got)
	}
}

// The lines add up to the piece price, a larger batch never costs more a piece, and longer cycles never less.
func TestQuoteProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := job()
		j.Plan.CycleMin = rapid.Float64Range(0.01, 500).Draw(t, "cycle")
		j.Plan.CycleLow, j.Plan.CycleHigh = j.Plan.CycleMin*0.8, j.Plan.CycleMin*1.5
		j.Plan.FloorToFloorMin = j.Plan.CycleMin + rapid.Float64Range(0, 30).Draw(t, "handling")
		j.Plan.SetupMin = rapid.Float64Range(0, 300).Draw(t, "setup")
		j.Mass.BlankMassKG = rapid.Float64Range(0.01, 60).Draw(t, "kg")
		j.Profile.Rates.Minimum = shop.Money(strconv.Itoa(rapid.IntRange(0, 400).Draw(t, "minimum")))
		j.Batches = []int{1, 2, 7, 50, 1000}
		q, err := Make(j)
		if err != nil {
			t.Fatal(err)
		}
		for i, b := range q.Batches {
			sum := Money{}
			for _, l := range b.Lines {
				sum = sum.Add(l.Amount)
				if l.Amount.Exponent() < -2 || l.Sum == "" || len(l.Inputs) == 0 && l.Name != "material" {
					t.Errorf("line %+v is not in hundredths, or cannot be traced", l)
				}
			}
			if !sum.Equal(b.PiecePrice) || !b.Total.Equal(sum.Mul(decimal.NewFromInt(int64(b.Quantity)))) {
				t.Errorf("lines add up to %s, piece price %s, total %s", sum, b.PiecePrice, b.Total)
			}
			cents := decimal.New(int64(len(b.Lines)), -2) // each line is rounded
			if i > 0 && b.PiecePrice.GreaterThan(q.Batches[i-1].PiecePrice.Add(cents)) {
				t.Errorf("%d pieces cost %s each, %d only %s", b.Quantity, b.PiecePrice, q.Batches[i-1].Quantity, q.Batches[i-1].PiecePrice)
			}
			if b.Low.GreaterThan(b.PiecePrice) || b.High.LessThan(b.PiecePrice) {
				t.Errorf("price %s outside its range %s to %s", b.PiecePrice, b.Low, b.High)
			}
		}
	})
}

func TestMinimumChargeAndFinish(t *testing.T) {
	j := job()
	j.Profile.Rates.Minimum = "1000"
	j.Profile.Rates.Delivery = "0"
	j.Layout.Plate.Stock.Finish.Name = "anodised"
	q, err := Make(j)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range q.Batches {
		if n := decimal.NewFromInt(int64(b.Quantity)); b.Quantity < 7 && !b.Total.Equal(money("1000")) {
			t.Errorf("%d pieces cost %s together, want the minimum charge", b.Quantity, b.PiecePrice.Mul(n))
		}
	}
	// 10 dm² × 0.80 = 8.00 against a lot of 60: for one piece the lot, for ten 6.00 a piece would be less than 8.00.
	if got := line(t, q.Batches[0], "finish: anodised"); !got.Equal(money("60")) {
		t.Errorf("finish of one piece %s, want 60", got)
	}
	if got := line(t, q.Batches[1], "finish: anodised"); !got.Equal(money("8")) {
		t.Errorf("finish of ten pieces %s each, want 8", got)
	}
}

func TestWhatIsNotPricedIsSaid(t *testing.T) {
	j := job()
	j.Profile.ToolLife = nil
	j.Plan.Operations = append(j.Plan.Operations, route.Operation{Name: "waterjet profile", Where: route.Outside, TotalMin: 3})
	q, err := Make(j)
	if err != nil {
		t.Fatal(err)
	}
	notes := strings.Join(q.Notes, "\n")
	for _, want := range []string{"material: EM10", "waterjet profile"} {
		if !strings.Contains(notes, want) {
			t.Errorf("the notes %q do not name %q", notes, want)
		}
	}
	if len(q.Notes) != 2 {
		t.Errorf("%d notes, want each thing once: %v", len(q.Notes), q.Notes)
	}
}

func TestCompareNamesTheLines(t *testing.T) {
	a, err := Make(job())
	if err != nil {
		t.Fatal(err)
	}
	j := job()
	j.Plan.CycleMin, j.Plan.FloorToFloorMin = 25, 31
	j.Profile.Rates.Delivery = "0"
	b, err := Make(j)
	if err != nil {
		t.Fatal(err)
	}
	if d := Compare(a, a); len(d) != 0 {
		t.Errorf("a quote differs from itself: %v", d)
	}
	diff := map[string][2]string{}
	for _, c := range Compare(a, b) {
		if c.Quantity == 10 {
			diff[c.Line] = [2]string{c.From.String(), c.To.String()}
		}
	}
	if diff["machine time"] != [2]string{"20", "25"} || diff["delivery"] != [2]string{"2.5", "0"} || diff[""][0] == "" {
		t.Errorf("differences %v, want machine time from 20 to 25, delivery from 2.5 to 0, and the piece price", diff)
	}
	if _, same := diff["material"]; same {
		t.Error("the material is the same and is listed")
	}
}

// A part used four times in a set is one batch of four a set.
func TestSetsSpreadTheSetUp(t *testing.T) {
	parts := []SetPart{{"side", job(), 2}, {"rocker", job(), 4}}
	got, err := MakeSets(parts, []int{1, 5})
	if err != nil {
		t.Fatal(err)
	}
	j := job()
	j.Batches = []int{2, 4, 10, 20}
	q, err := Make(j)
	if err != nil {
		t.Fatal(err)
	}
	p := q.Batches
	for i, want := range []Money{
		p[0].PiecePrice.Mul(money("2")).Add(p[1].PiecePrice.Mul(money("4"))),
		p[2].PiecePrice.Mul(money("2")).Add(p[3].PiecePrice.Mul(money("4"))),
	} {
		if !got[i].Price.Equal(want) {
			t.Errorf("%d sets: %s a set, want %s", got[i].Sets, got[i].Price, want)
		}
	}
	if _, err := MakeSets([]SetPart{{"side", job(), 0}}, []int{1}); err == nil || !strings.Contains(err.Error(), "side") {
		t.Errorf("a part that is in the set no times: error %v", err)
	}
	if _, err := MakeSets(nil, []int{1}); err == nil {
		t.Error("a set without parts has a price")
	}
}

func TestWrongJobs(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Job)
		want   string
	}{
		{"no layout", func(j *Job) { j.Layout = nil }, "no plate"},
		{"incomplete plan", func(j *Job) { j.Plan.Incomplete = true }, "not complete"},
		{"batch of none", func(j *Job) { j.Batches = []int{0} }, "batch of 0"},
		{"huge batch", func(j *Job) { j.Batches = []int{1 << 30} }, "batch of"},
		{"NaN minutes", func(j *Job) { j.Plan.CycleMin = math.NaN() }, "NaN"},
		{"infinite set-up", func(j *Job) { j.Plan.SetupMin = math.Inf(1) }, "+Inf"},
		{"alloy without price", func(j *Job) {
			j.Layout.Plate.Stock.Material.Group = "K"
			j.Layout.Plate.Stock.Material.Alloy = "EN AW-7075"
		}, "EN AW-7075"},
		{"finish without price", func(j *Job) { j.Layout.Plate.Stock.Finish.Name = "gold" }, `"gold"`},
		{"blank below nothing", func(j *Job) { m := money("-1"); j.Blank = &m }, "-1"},
		{"no rates", func(j *Job) { j.Profile.Rates = shop.Rates{} }, "no rates"},
		{"no metal", func(j *Job) { j.Profile.Rates.Metal = nil }, "rates.metal"},
	} {
		j := job()
		c.change(&j)
		if _, err := Make(j); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.want)
		}
	}
}

// What is printed of an input has the digits that its line needs and no more; its value keeps all.
func TestInputPrinted(t *testing.T) {
	for _, c := range []struct {
		in   Input
		want string
	}{
		{Input{Name: "mass of the blank", Value: "18.6831", Unit: "kg"}, "18.683 kg"},
		{Input{Name: "cycle", Value: "21.379", Unit: "min"}, "21.38 min"},
		{Input{Name: "cycle", Value: "0.00126", Unit: "min"}, "0.00126 min"},
		{Input{Name: "surface", Value: "12.3456", Unit: "dm²"}, "12.3 dm²"},
		{Input{Name: "quantity", Value: "1", Unit: "pieces"}, "1 piece"},
		{Input{Name: "quantity", Value: "10", Unit: "pieces"}, "10 pieces"},
		{Input{Name: "machine rate", Value: "70.00", Unit: "EUR/h"}, "70.00 EUR/h"},
		{Input{Name: "EM12", Value: "0.3052", Unit: "EUR"}, "0.305 EUR"},
		{Input{Name: "operations", Value: "25"}, "25"},
		{Input{Name: "blank", Value: "40.5", Unit: "EUR"}, "40.5 EUR"},
		{Input{Name: "life", Value: "vc·T^0.35 = 3000", Unit: "m/min"}, "vc·T^0.35 = 3000 m/min"},
	} {
		if got := c.in.Printed(); got != c.want {
			t.Errorf("%+v is printed %q, want %q", c.in, got, c.want)
		}
	}
	for _, c := range []struct {
		v    float64
		want string
	}{{404.59, "405"}, {0.0512648, "0.0513"}, {8.82837, "8.83"}, {1234.5, "1235"}, {0, "0"}, {99.96, "100"}} {
		if got := three(c.v); got != c.want {
			t.Errorf("three digits of %v: %q, want %q", c.v, got, c.want)
		}
	}
}
