package route

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/plate"
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

func makePlan(t testing.TB, p plate.Plate) (Plan, *layout.Layout) {
	t.Helper()
	l := derive(t, p)
	plan, err := Make(context.Background(), l, exampleShop(t))
	if err != nil {
		t.Fatal(err)
	}
	return plan, l
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

// samplePlates are the documents of the samples folder.
func samplePlate(t testing.TB, name string) plate.Plate {
	t.Helper()
	p, err := plate.Decode(sampleBytes(t, name))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func relative(got, want float64) float64 { return math.Abs(got-want) / math.Max(1, math.Abs(want)) }

func TestSamplePlans(t *testing.T) {
	for _, name := range sampleNames(t) {
		plan, l := makePlan(t, samplePlate(t, name))
		t.Logf("%s\n%s", name, card(plan))
		if d := relative(plan.Removed, l.BlankVolume()-l.Volume()); d > 1e-6 {
			t.Errorf("%s: removed %.3f, blank less plate %.3f", name, plan.Removed, l.BlankVolume()-l.Volume())
		}
	}
}
