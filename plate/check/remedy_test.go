package check_test

import (
	"reflect"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// remedied are the codes of the table whose plate of the table has a remedy.
var remedied = []string{
	"blank-margin", "floor-thin", "thickness-not-stocked", "one-sided-removal", "corner-radius", "corner-deep", "floor-radius-cutter",
	"floor-radius-stepped", "seat-loose", "seat-tight", "seat-coarse", "bearing-proud", "groove-diameter", "groove-width",
	"ring-blocked", "ring-slack", "keyway-off-standard", "fit-no-allowance", "finish-eats-fit", "thread-finish", "head-clash",
	"head-proud", "thread-short", "ledge-narrow", "inlay-tight", "clocked-off-position",
}

// all are the findings of document, layout and check.
func all(t *testing.T, p plate.Plate, s shop.Profile) []finding.Finding {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatalf("Derive: %v", err)
	}
	return append(append(p.Validate(), l.Findings...), check.Run(l, s)...)
}

// TestRemedies: for every row of the table whose plate has a remedy, applying it clears the finding at every level, makes no
// new error, and leaves nothing to apply.
func TestRemedies(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range breaches {
		t.Run(b.code+" "+string(b.level), func(t *testing.T) {
			p, s := b.set(t, b.bad)
			before := all(t, p, s)
			fs := of(before, b.code, b.level, b.feature)
			if len(fs) == 0 {
				t.Fatal("the plate of the table does not break its rule")
			}
			kept := p.Clone()
			fix, ok := check.Remedy(fs[0], p, s, nil)
			if !reflect.DeepEqual(kept, p.Clone()) {
				t.Fatal("looking for a remedy changed the document")
			}
			if !ok {
				return
			}
			seen[b.code] = true
			q, err := fix.Edit.Apply(p)
			if err != nil {
				t.Fatalf("%s: %v", fix.Text, err)
			}
			after := all(t, q, s)
			for _, level := range finding.Levels() {
				if x := of(after, b.code, level, b.feature); len(x) > 0 {
					t.Errorf("%q leaves it: %s", fix.Text, x[0].What)
				}
			}
			for _, f := range after {
				if f.Level == e && len(of(before, f.Code, e, f.Feature)) == 0 {
					t.Errorf("%q makes a new error: %s", fix.Text, f.What)
				}
			}
			if fix.Text == "" || fix.Edit.Label == "" {
				t.Errorf("no words: %+v", fix)
			}
		})
	}
	for _, code := range remedied {
		if !seen[code] {
			t.Errorf("%s has no remedy on the plate of its row", code)
		}
	}
	for code := range seen {
		if !slices.Contains(remedied, code) {
			t.Errorf("%s has a remedy that the list of this test does not name", code)
		}
	}
}

// TestRemediesOfOthers: findings of the layout and of the profile's record.
func TestRemediesOfOthers(t *testing.T) {
	p, s := blank(15), example(t)
	p.Stock.Blank = plate.Blank{Fixed: true, X: 2, Y: 2, Width: 300, Height: 300}
	fs := of(all(t, p, s), "blank-small", e, 0)
	if len(fs) == 0 {
		t.Fatal("the blank is not too small")
	}
	fix, ok := check.Remedy(fs[0], p, s, func(float64) string { return "a margin" })
	if !ok || fix.Text != "Give the blank a margin round the outline" {
		t.Fatalf("blank: %+v, %v", fix, ok)
	}
	if q, err := fix.Edit.Apply(p); err != nil || len(of(all(t, q, s), "blank-small", e, 0)) != 0 {
		t.Errorf("the blank stays too small: %v", err)
	}
	fix, ok = check.Remedy(finding.Finding{Code: "profile-changed"}, p, s, nil)
	if q, err := fix.Edit.Apply(p); !ok || err != nil || q.Machining.ShopHash != s.Hash() {
		t.Errorf("record of the profile: %v, %v, %q", ok, err, q.Machining.ShopHash)
	}
	for _, f := range []finding.Finding{{}, {Code: "no-such-code"}, {Code: "seat-loose", Level: w, Feature: 77}, {Code: "head-proud", Level: n, Feature: 77}} {
		if fix, ok := check.Remedy(f, p, s, nil); ok {
			t.Errorf("%+v has the remedy %q", f, fix.Text)
		}
	}
}

// TestWithoutDoubled: what the plan says once more about the same feature is left out, everything else stays in its order.
func TestWithoutDoubled(t *testing.T) {
	fs := []finding.Finding{
		{Code: "cutter-reach", Level: e, Feature: 1},
		{Code: "reach-short", Level: e, Feature: 1}, // doubled
		{Code: "reach-short", Level: e, Feature: 2}, // of another pocket
		{Code: "corner-radius", Level: w, Feature: 3},
		{Code: "no-cutter-for-corner", Level: e, Feature: 3}, // worse than what the check says
		{Code: "plate-over-travel", Level: e},
		{Code: "machine-travel", Level: e},
	}
	want := []finding.Finding{fs[0], fs[2], fs[3], fs[4], fs[6]}
	if got := check.WithoutDoubled(fs); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if len(fs) != 7 || fs[1].Code != "reach-short" {
		t.Error("the list given was changed")
	}
}

// TestFloorRemedy: the floor over the other face, and none where several pockets from there leave it open which is meant.
func TestFloorRemedy(t *testing.T) {
	p, s := blank(15), example(t)
	p.Pockets = []plate.Pocket{pocket(1, plate.Top, 14.5, 4, 28, 28, 60, 60)}
	fs := of(all(t, p, s), "floor-thin", w, 1)
	if len(fs) != 1 {
		t.Fatalf("a floor of 0.5 mm: %+v", fs)
	}
	fix, ok := check.Remedy(fs[0], p, s, nil)
	if q, err := fix.Edit.Apply(p); !ok || err != nil || q.Pockets[0].Depth != 14 {
		t.Errorf("remedy %q, %v: depth %v, want 14 (%v)", fix.Text, ok, q.Pockets[0].Depth, err)
	}
	p.Pockets[0].Depth = 8.5
	p.Pockets = append(p.Pockets, pocket(2, plate.Bottom, 6, 4, 28, 28, 60, 60), pocket(3, plate.Bottom, 3, 4, 100, 28, 140, 60))
	if fix, ok := check.Remedy(fs[0], p, s, nil); ok {
		t.Errorf("two pockets from the other face: %q", fix.Text)
	}
}
