package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/material"
	"platewright/plate/shop"
)

func box(x0, y0, x1, y1 float64) []plate.Corner {
	return []plate.Corner{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// blank is a plate of 200 × 120 mm that breaks no rule.
func blank(t float64) plate.Plate {
	o := box(0, 0, 200, 120)
	for i := range o {
		o[i].Radius = 20
	}
	return plate.Plate{
		Name: "test", NextID: 1000,
		Stock: plate.Stock{
			Material: material.Material{Alloy: "EN AW-6082", Temper: "T651", Density: 2700, Young: 70000},
			Nominal:  t, Finished: t, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 6},
		},
		Outline: plate.Outline{Corners: o},
	}
}

func pocket(id plate.ID, side plate.Side, depth, radius, x0, y0, x1, y1 float64) plate.Pocket {
	return plate.Pocket{ID: id, Name: fmt.Sprint("field ", id), Side: side, Depth: depth, Radius: radius, Bounds: box(x0, y0, x1, y1)}
}

func clearance(id plate.ID, size string, x, y float64) plate.Hole {
	return plate.Hole{ID: id, Name: fmt.Sprint("hole ", id), X: x, Y: y, HoleForm: plate.HoleForm{
		Kind: plate.Clearance, Size: size, Series: plate.Medium, Side: plate.Through,
	}}
}

func tapped(id plate.ID, size string, side plate.Side, depth, x, y float64) plate.Hole {
	return plate.Hole{ID: id, Name: fmt.Sprint("thread ", id), X: x, Y: y, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: size, Side: side, Depth: depth}}
}

func bore(id plate.ID, d, x, y float64) plate.Bore {
	return plate.Bore{ID: id, Name: fmt.Sprint("bore ", id), X: x, Y: y, Diameter: d}
}

func example(t testing.TB) shop.Profile {
	t.Helper()
	p, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// oneMill is the example shop with one end mill only.
func oneMill(t testing.TB, diameter, reach float64) shop.Profile {
	p := example(t)
	p.Tools = []shop.Tool{{ID: "mill", Kind: shop.EndMill, Diameter: diameter, Flutes: 3, FluteLength: reach, Reach: reach, StickOut: reach + 10}}
	return p
}

func derive(t testing.TB, p plate.Plate) *layout.Layout {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatalf("Derive: %v", err)
	}
	return l
}

// of picks the findings of one code, level and feature.
func of(fs []finding.Finding, code string, level finding.Level, feature int64) []finding.Finding {
	var out []finding.Finding
	for _, f := range fs {
		if f.Code == code && f.Level == level && f.Feature == feature {
			out = append(out, f)
		}
	}
	return out
}

// breach is a plate on one side or the other of one row of the table: set builds it from the figure that the rule limits.
type breach struct {
	code    string
	level   finding.Level
	bad, ok float64
	feature int64 // that the finding must name
	at      [2]float64
	within  float64 // how far from at it may point, mm; 0: anywhere on the plate
	set     func(t *testing.T, v float64) (plate.Plate, shop.Profile)
}

// plateOf makes a case from a change to the blank of 15 mm, with the example shop.
func plateOf(change func(p *plate.Plate, v float64)) func(*testing.T, float64) (plate.Plate, shop.Profile) {
	return thick(15, change)
}

func thick(mm float64, change func(p *plate.Plate, v float64)) func(*testing.T, float64) (plate.Plate, shop.Profile) {
	return func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(mm)
		change(&p, v)
		return p, example(t)
	}
}

const e, w, n = finding.Error, finding.Warning, finding.Note

// breaches has a plate for every row of the table, on both sides of its limit.
var breaches = slices.Concat(plainBreaches, formBreaches)

// plainBreaches are the plates for the rows on outline, cells, bores and holes.
var plainBreaches = []breach{
	{"sharp-inside-corner", e, 0, 4, 0, [2]float64{100, 60}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Outline.Corners = []plate.Corner{{}, {X: 200}, {X: 200, Y: 60}, {X: 100, Y: 60, Radius: v}, {X: 100, Y: 120}, {Y: 120}}
	})},
	{"corner-radius", e, 4.99, 5, 1, [2]float64{30, 30}, 4, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(15)
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, v, 28, 28, 100, 90)}
		return p, oneMill(t, 10, 25)
	}},
	{"corner-radius", w, 5.49, 5.5, 1, [2]float64{30, 30}, 4, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(15)
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 8, v, 28, 28, 100, 90)}
		return p, oneMill(t, 10, 25)
	}},
	{"cutter-reach", e, 12.01, 12, 1, [2]float64{}, 0, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(15)
		p.Pockets = []plate.Pocket{pocket(1, plate.Bottom, v, 6, 28, 28, 100, 90)}
		return p, oneMill(t, 10, 12)
	}},
	{"cutter-slender", w, 12.01, 12, 1, [2]float64{}, 0, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(15)
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, v, 4, 28, 28, 100, 90)}
		return p, oneMill(t, 2, 40)
	}},
	{"cutter-slender", n, 8.01, 8, 1, [2]float64{}, 0, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(15)
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, v, 4, 28, 28, 100, 90)}
		return p, oneMill(t, 2, 40)
	}},
	{"corner-deep", w, 12.01, 12, 1, [2]float64{29, 29}, 3, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, v, 3, 28, 28, 100, 90)}
	})},
	{"corner-deep", n, 9.01, 9, 1, [2]float64{29, 29}, 3, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, v, 3, 28, 28, 100, 90)}
	})},
	{"wall-thin", w, 0.99, 1, 1, [2]float64{80.5, 60}, 32, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 3, 4, 28, 28, 80, 90), pocket(2, plate.Top, 5, 4, 80+v, 28, 150, 90)}
	})},
	{"wall-thin", n, 1.49, 1.5, 1, [2]float64{0.7, 60}, 40, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 5, 4, v, 28, 80, 90)}
	})},
	{"wall-slender", w, 1.24, 1.25, 1, [2]float64{80.6, 60}, 32, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 10, 4, 28, 28, 80, 90), pocket(2, plate.Top, 12, 4, 80+v, 28, 150, 90)}
	})},
	{"floor-thin", w, 0.99, 1, 2, [2]float64{75, 60}, 50, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 6, 4, 28, 28, 150, 90), pocket(2, plate.Bottom, 9-v, 4, 40, 40, 90, 80)}
	})},
	{"floor-span", w, 50.1, 50, 1, [2]float64{53, 53}, 1, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 14, 4, 28, 28, 28+v, 28+v)}
	})},
	{"ligament-thin", w, 1.49, 1.5, 2, [2]float64{60, 60}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 6, 4, 60, 28, 150, 90)}
		p.Holes = []plate.Hole{clearance(2, "M6", 60-3.3-v, 60)}
	})},
	{"hole-cuts-wall", w, -0.1, 0.1, 2, [2]float64{60, 60}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, 6, 4, 60, 28, 150, 90)}
		p.Holes = []plate.Hole{clearance(2, "M6", 60-3.3-v, 60)}
	})},
	{"edge-distance", w, 1.195, 1.2, 2, [2]float64{100, 0}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{clearance(2, "M6", 100, 6.6*v)}
	})},
	{"edge-distance", n, 1.495, 1.5, 2, [2]float64{100, 0}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{clearance(2, "M6", 100, 6.6*v)}
	})},
	{"hole-pitch", w, 2.195, 2.2, 2, [2]float64{97, 60}, 5, plateOf(func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{clearance(2, "M6", 90, 60), clearance(3, "M6", 90+6.6*v, 60)}
	})},
	{"hole-pitch", n, 2.495, 2.5, 2, [2]float64{97, 60}, 5, plateOf(func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{clearance(2, "M6", 90, 60), clearance(3, "M6", 90+6.6*v, 60)}
	})},
	{"bore-near-pocket", w, 4.99, 5, 2, [2]float64{100, 60}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Bottom, 6, 4, 100, 28, 150, 90)}
		p.Bores = []plate.Bore{bore(2, 40, 80-v, 60)}
	})},
	{"bore-near-pocket", n, 9.99, 10, 2, [2]float64{100, 60}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Pockets = []plate.Pocket{pocket(1, plate.Through, 0, 4, 100, 28, 150, 90)}
		p.Bores = []plate.Bore{bore(2, 40, 80-v, 60)}
	})},
	{"bore-wall", w, 4.99, 5, 2, [2]float64{100, 0}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Bores = []plate.Bore{bore(2, 40, 100, 20+v)}
	})},
	{"bore-wall", n, 9.99, 10, 3, [2]float64{80, 60}, 1, plateOf(func(p *plate.Plate, v float64) {
		p.Bores = []plate.Bore{bore(2, 30, 100, 60), bore(3, 40, 65-v, 60)}
	})},
	{"hole-deep", w, 24.1, 24, 2, [2]float64{100, 60}, 1e-6, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(v)
		p.Holes = []plate.Hole{clearance(2, "M2", 100, 60)} // 2.4 mm by ISO 273
		return p, example(t)
	}},
	{"hole-deep", n, 18.1, 18, 2, [2]float64{100, 60}, 1e-6, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(v)
		p.Holes = []plate.Hole{clearance(2, "M4", 100, 60)} // 4.5 mm
		return p, example(t)
	}},
	{"thread-short", w, 10.9, 11, 2, [2]float64{100, 60}, 1e-6, thick(40, func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{tapped(2, "M10", plate.Top, v, 100, 60)}
	})},
	{"thread-short", n, 19.9, 20, 2, [2]float64{100, 60}, 1e-6, thick(40, func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{tapped(2, "M10", plate.Bottom, v, 100, 60)}
	})},
	{"thread-deep", w, 15.1, 15, 2, [2]float64{100, 60}, 1e-6, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		p := blank(v)
		p.Holes = []plate.Hole{tapped(2, "M5", plate.Through, 0, 100, 60)}
		return p, example(t)
	}},
	// An M6 is drilled 5 mm, five pitches, beyond its thread; its point of 118° is 1.502 mm high.
	{"drill-point-thin", w, 0.99, 1.01, 2, [2]float64{100, 60}, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{tapped(2, "M6", plate.Top, 15-5-1.5022-v, 100, 60)}
	})},
	{"thickness-not-stocked", w, 13, 14, 0, [2]float64{}, 0, func(t *testing.T, v float64) (plate.Plate, shop.Profile) { return blank(v), example(t) }},
	{"thickness-inch", n, 12.7, 12, 0, [2]float64{}, 0, func(t *testing.T, v float64) (plate.Plate, shop.Profile) { return blank(v), example(t) }},
	{"blank-margin", w, 1.99, 2, 0, [2]float64{}, 0, plateOf(func(p *plate.Plate, v float64) { p.Stock.Blank.Margin = v })},
	{"machine-travel", e, 209.9, 210, 0, [2]float64{}, 0, func(t *testing.T, v float64) (plate.Plate, shop.Profile) {
		s := oneMill(t, 10, 40)
		s.Machine.Travel = [3]float64{130, v, 100} // the plate lies across
		return blank(15), s
	}},
	// A cell of 60 × 60 mm with corners of 4 mm has 3586.27 mm²; the plate 23656.6 mm² by 15 mm.
	{"one-sided-removal", w, 9.91, 9.88, 0, [2]float64{}, 0, plateOf(func(p *plate.Plate, v float64) {
		p.Stock.Material.Temper = "T6"
		p.Pockets = []plate.Pocket{pocket(1, plate.Top, v, 4, 28, 28, 88, 88)}
	})},
}

// TestEveryRule walks the table: every row has a plate that breaks it and one that just does not.
func TestEveryRule(t *testing.T) {
	for _, r := range check.Rules() {
		if !slices.ContainsFunc(breaches, func(b breach) bool { return b.code == r.Code && b.level == r.Level }) && !slices.Contains(elsewhere, r.Code) {
			t.Errorf("no plate breaks rule %s (%s)", r.Code, r.Level)
		}
	}
	for _, b := range breaches {
		t.Run(b.code+" "+string(b.level), func(t *testing.T) {
			p, s := b.set(t, b.bad)
			got := of(check.Run(derive(t, p), s), b.code, b.level, b.feature)
			if len(got) != 1 {
				t.Fatalf("at %v: %d findings %s (%s) about feature %d, want one: %+v", b.bad, len(got), b.code, b.level, b.feature, check.Run(derive(t, p), s))
			}
			f := got[0]
			dx, dy := f.Where[0]-b.at[0], f.Where[1]-b.at[1]
			if b.within > 0 && dx*dx+dy*dy > b.within*b.within {
				t.Errorf("finding points to %v, want within %v mm of %v", f.Where, b.within, b.at)
			}
			if !f.HasWhere || f.Where[0] < -6 || f.Where[0] > 206 || f.Where[1] < -6 || f.Where[1] > 126 {
				t.Errorf("finding points to %v, which is not on the plate", f.Where)
			}
			if p, s = b.set(t, b.ok); len(of(check.Run(derive(t, p), s), b.code, b.level, b.feature)) != 0 {
				t.Errorf("at %v: still a finding %s (%s)", b.ok, b.code, b.level)
			}
			// A plate on the good side is not on the bad side of a worse row either, nor does the bad one show a worse row of
			// the same code.
			for _, worse := range finding.Levels() {
				if worse == b.level {
					break
				}
				if x := of(check.Run(derive(t, p), s), b.code, worse, b.feature); len(x) != 0 {
					t.Errorf("at %v: %s (%s): %s", b.ok, b.code, worse, x[0].What)
				}
			}
		})
	}
}

// TestFindingsAreComplete checks that every finding says what, with value and limit, why, by which source, what to do, and
// belongs to a stage of the job sheet.
func TestFindingsAreComplete(t *testing.T) {
	stages := []string{"stock", "outline", "bores", "holes", "ribs", "pockets", "machining", "targets"}
	for _, b := range breaches {
		p, s := b.set(t, b.bad)
		for _, f := range check.Run(derive(t, p), s) {
			if f.What == "" || f.Why == "" || f.Source == "" || f.Fix == "" || !slices.Contains(stages, f.Stage) {
				t.Errorf("%s: incomplete: %+v", b.code, f)
			}
			if strings.Contains(f.What, "Inf") || strings.Contains(f.What, "NaN") || strings.Contains(f.What, "%!") {
				t.Errorf("%s: %q", b.code, f.What)
			}
			if f.Feature != 0 && f.FeatureName == "" || f.FeatureName != "" && !strings.Contains(f.What, f.FeatureName) {
				t.Errorf("%s: feature %d %q is not named in %q", b.code, f.Feature, f.FeatureName, f.What)
			}
			if f.Feature == 0 && f.Stage != "stock" && f.Stage != "machining" && f.Stage != "outline" {
				t.Errorf("%s: no feature in stage %s", b.code, f.Stage)
			}
		}
	}
}

// TestQuiet: the blank breaks nothing.
func TestQuiet(t *testing.T) {
	if got := check.Run(derive(t, blank(15)), example(t)); len(got) != 0 {
		t.Errorf("findings on a plain plate: %+v", got)
	}
}
