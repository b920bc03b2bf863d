package verify

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestPublished computes every row: each agrees with its published value, or is listed as not checked with a reason.
func TestPublished(t *testing.T) {
	last := -1
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	if testing.Short() { // a hundred thousand unknowns take minutes under the race detector
		b.groups = slices.DeleteFunc(b.groups, func(g group) bool {
			return g.run != nil && strings.HasPrefix(g.rows[0].Name, "ribbed panel") && strings.HasSuffix(g.rows[0].Name, "solid check")
		})
	}
	rows, err := b.compute(t.Context(), Options{Progress: func(done, all int, name string) {
		if done <= last || done >= all || name == "" {
			t.Errorf("progress %d of %d at %q after %d", done, all, name, last)
		}
		last = done
	}})
	if err != nil {
		t.Fatal(err)
	}
	count := map[Kind]int{}
	for _, r := range rows {
		if !r.Checked() {
			if r.Source == "" || !math.IsNaN(r.Computed) {
				t.Errorf("%s, %s is not checked, with reason %q and the value %v", r.Name, r.Quantity, r.Source, r.Computed)
			}
			continue
		}
		if !r.OK() {
			t.Errorf("%s, %s: published %.6g, computed %.6g: off by %+.3g %%, allowed %.3g %%", r.Name, r.Quantity, r.Published, r.Computed, r.Difference(), r.Tolerance)
		}
		if r.Source == "" || r.Quantity == "" || !slices.Contains([]string{Seen, Memory, Computed}, r.Seen) || r.Tolerance > 10 || r.Tolerance <= 0 {
			t.Errorf("%s: quantity %q, source %q, seen %q, tolerance %v", r.Name, r.Quantity, r.Source, r.Seen, r.Tolerance)
		}
		count[r.Kind]++
	}
	t.Logf("%d rows, checked by kind: %v", len(rows), count)
	if count[Element] < 100 || count[WholeProgram] < 70 {
		t.Errorf("rows checked: %v", count)
	}
}

// TestWrongValueFails changes a published value, and a computed one, by more than the tolerance: the row must say so.
func TestWrongValueFails(t *testing.T) {
	tables, err := readTables()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range tables.of["mass_examples"] {
		if r["item"] == "plate mass" {
			r["value"] = "2.2409"
		}
	}
	for _, r := range tables.of["fits"][:1] {
		r["upper_um"] = "17"
	}
	b, err := all(tables)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		only string
		ok   []bool
	}{
		{"plate of 3 × 728 × 380", []bool{false}},
		{"ISO 286, limit deviations", []bool{false}},
		{"ISO 286, tolerance grades", []bool{true}},
		{"bore 6 G7", []bool{false, true}},
	} {
		rows, err := b.compute(t.Context(), Options{Only: c.only})
		if err != nil {
			t.Fatal(err)
		}
		var got []bool
		for _, r := range rows {
			got = append(got, r.OK())
		}
		if !slices.Equal(got, c.ok) {
			t.Errorf("%s: ok %v, want %v", c.only, got, c.ok)
		}
	}
}

// TestJudging: tolerance on both sides, a band that is not symmetric, zero, and values that are none.
func TestJudging(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		published, computed, tolerance, under float64
		seen, want                            string
	}{
		{100, 100.9, 1, 0, Seen, "yes"},
		{100, 101.1, 1, 0, Seen, "NO"},
		{100, 98.9, 1, 0, Memory, "NO"},
		{-5.38, -5.39, 1, 0, Seen, "yes"},
		{-5.38, 5.38, 1, 0, Seen, "NO"},
		{100, 105.9, 6, 1, Computed, "yes"},
		{100, 98.9, 6, 1, Computed, "NO"},
		{0, 0.0004, 0.05, 0, Computed, "yes"},
		{0, 0.0006, 0.05, 0, Computed, "NO"},
		{100, nan, 1, 0, Seen, "NO"},
		{100, math.Inf(1), 1, 0, Seen, "NO"},
		{100, nan, nan, 0, NotChecked, "not checked"},
	} {
		r := Row{Published: c.published, Computed: c.computed, Tolerance: c.tolerance, Under: c.under, Seen: c.seen}
		if got := r.State(); got != c.want {
			t.Errorf("%v against %v within %v: %s, want %s", c.computed, c.published, c.tolerance, got, c.want)
		}
	}
}

// folders of testdata that hold the tables.
var folders = map[string]string{
	"fe_benchmarks.csv": "fea", "frequencies.csv": "fea", "plate_bending.csv": "fea", "panels.csv": "fea", "stress_concentration.csv": "fea",
	"bars.csv": "torsion", "profiles.csv": "section", "machining_examples.csv": "route", "geometry.csv": "kinematics",
	"mass_examples.csv": "mass", "it_all.csv": "standard", "fits.csv": "standard", "deviations.csv": "standard",
}

// TestTablesAgree: the tables built in are those that the tests of the packages read.
func TestTablesAgree(t *testing.T) {
	entries, err := published.ReadDir("published")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		mine, err := published.ReadFile("published/" + e.Name())
		if err != nil {
			t.Fatal(err)
		}
		folder, ok := folders[e.Name()]
		if !ok {
			t.Errorf("%s: say which folder of testdata it is a copy of", e.Name())
			continue
		}
		theirs := filepath.Join("../../testdata", folder, e.Name())
		data, err := os.ReadFile(theirs)
		if err != nil {
			t.Fatal(err)
		}
		if string(data) != string(mine) {
			t.Errorf("%s differs from %s; copy what has changed", e.Name(), theirs)
		}
	}
}

// TestJSON holds the keys, and null where there is nothing.
func TestJSON(t *testing.T) {
	rows := []Row{
		exact(Element, "n", "q", 2, 1, "s"),
		{Name: "n", Quantity: "q", Published: math.NaN(), Computed: math.NaN(), Tolerance: math.NaN(), Kind: WholeProgram, Source: "s", Seen: NotChecked},
	}
	rows[0].Computed = 3
	data, err := json.Marshal(rows)
	if err != nil {
		t.Fatal(err)
	}
	want := `[{"name":"n","quantity":"q","published":2,"computed":3,"difference_percent":50,"tolerance_percent":1,"ok":false,` +
		`"kind":"element","source":"s","seen":"computed"},{"name":"n","quantity":"q","published":null,"computed":null,` +
		`"difference_percent":null,"tolerance_percent":null,"ok":null,"kind":"whole program","source":"s","seen":"not checked"}]`
	if got := string(data); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// TestOnly: rows are chosen by name or quantity in any case, and nothing else is computed; a cancelled run ends.
func TestOnly(t *testing.T) {
	all, err := Cases("")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := Run(t.Context(), Options{Only: "IPE 80"})
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 7 || len(rows) >= len(all) {
		t.Errorf("%d of %d rows of IPE 80, want 7", len(rows), len(all))
	}
	part, err := Run(t.Context(), Options{Only: "ipe 80 wpl"}) // name and quantity are one text: "…IPE 80 Wply, cm3"
	if err != nil || len(part) != 2 || part[0] != rows[5] || part[1] != rows[6] {
		t.Errorf("the rows of plastic moduli are %v (%v), want the last two of %v", part, err, rows)
	}
	if rows, err = Run(t.Context(), Options{Only: "no such row"}); err != nil || len(rows) != 0 {
		t.Errorf("rows of no name: %v, %v", rows, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Run(ctx, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled run ends with %v", err)
	}
}
