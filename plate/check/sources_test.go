package check_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"platewright/plate/check"
	"platewright/plate/finding"
)

// cite ties a row of the table of rules to a published row: the limit is its min or max, or lies between them. over turns
// the published ratio round.
type cite struct {
	code    string
	level   finding.Level
	feature string
	rule    string // how the published rule begins
	column  string // "min", "max" or "between"
	over    bool
}

var cites = []cite{
	{"corner-radius", w, "pocket corner radius vs tool", "corner radius a little over", "between", false},
	{"cutter-slender", w, "pocket depth/tool dia", "> 4 D vibration", "max", false},
	{"cutter-slender", n, "pocket depth/tool dia", "> 4 D vibration", "min", false},
	{"corner-deep", w, "pocket corner radius", "depth/R_corner < 4", "max", false},
	{"corner-deep", n, "pocket corner radius", "R >= depth/3", "min", true},
	{"wall-thin", w, "min wall (min, preferred)", "aluminium: 1.0 mm min", "min", false},
	{"wall-thin", n, "min wall (min, preferred)", "aluminium: 1.0 mm min", "max", false},
	{"wall-slender", w, "wall height/thickness", "> 8:1", "min", false},
	{"floor-thin", w, "min pocket floor", "aluminium 1.0-1.5", "min", false},
	{"ligament-thin", w, "min wall (min, preferred)", "aluminium: 1.0 mm min", "max", false},
	{"edge-distance", w, "e2 aluminium bolts (min, regular)", "1.2 d0", "min", false},
	{"edge-distance", n, "e2 aluminium bolts (min, regular)", "1.2 d0", "max", false},
	{"hole-pitch", w, "p1 aluminium bolts (min, regular)", "2.2 d0", "min", false},
	{"hole-pitch", n, "p1 aluminium bolts (min, regular)", "2.2 d0", "max", false},
	{"bore-near-pocket", n, "pin/bearing bore wall", "ring wall", "min", false},
	{"bore-wall", n, "pin/bearing bore wall", "ring wall", "min", false},
	{"hole-deep", w, "hole depth/diameter", "< 10, 4 optimal", "max", false},
	{"hole-deep", n, "hole depth/diameter", "standard <= 4 x d", "max", false},
	{"thread-short", w, "screw in aluminium", "VDI 2230", "min", false},
	{"thread-short", n, "thread engagement", "aluminium", "min", false},
	{"thread-deep", w, "tapped depth", "<= 3:1", "max", false},
	{"drill-point-thin", w, "min pocket floor", "aluminium 1.0-1.5", "min", false},
	{"shoulder-thin", w, "min pocket floor", "aluminium 1.0-1.5", "min", false},
	{"head-floor-thin", w, "min pocket floor", "aluminium 1.0-1.5", "min", false},
	{"eccentric-wall-thin", w, "min wall (min, preferred)", "aluminium: 1.0 mm min", "max", false},
}

// worded are limits that a published row gives in words only.
var worded = map[string]struct{ feature, words string }{
	"bore-near-pocket": {"pin/bearing bore wall", "min 5-6 mm"},
	"bore-wall":        {"pin/bearing bore wall", "min 5-6 mm"},
}

// unpublished are the rows that no published figure limits: geometry, the shop's own figures, or common practice, as their
// source says.
var unpublished = map[string]string{
	"sharp-inside-corner error":       "geometry",
	"corner-radius error":             "geometry",
	"cutter-reach error":              "shop profile",
	"floor-span warning":              "common practice, no source",
	"hole-cuts-wall warning":          "common practice, no source",
	"thickness-not-stocked warning":   "stockholders' lists",
	"thickness-inch note":             "inch plate series",
	"blank-margin warning":            "common practice, no source",
	"machine-travel error":            "shop profile",
	"one-sided-removal warning":       "common practice, no source",
	"seat-loose warning":              "ABMA",
	"seat-tight warning":              "ABMA",
	"seat-coarse warning":             "common practice, no source",
	"shoulder-low warning":            "bearing makers",
	"shoulder-low note":               "bearing makers",
	"shoulder-high warning":           "common practice, no source",
	"bearing-proud warning":           "common practice, no source",
	"bearing-proud note":              "geometry",
	"press-hoop warning":              "Lamé",
	"press-hoop note":                 "common practice, no source",
	"groove-no-ring warning":          "DIN 472",
	"groove-diameter warning":         "DIN 472",
	"groove-width warning":            "DIN 472",
	"groove-land warning":             "from memory",
	"ring-blocked error":              "geometry",
	"ring-slack warning":              "common practice, no source",
	"keyway-off-standard warning":     "DIN 6885-1",
	"fit-no-allowance warning":        "common practice, no source",
	"finish-eats-fit warning":         "common practice, no source",
	"finish-eats-fit note":            "common practice, no source",
	"thread-finish warning":           "from memory",
	"fit-fine warning":                "common practice, no source",
	"fit-fine note":                   "common practice, no source",
	"head-clash error":                "ISO 4762",
	"head-proud note":                 "ISO 4762",
	"head-floor-thin note":            "common practice, no source",
	"sink-deep warning":               "from memory",
	"floor-radius-large warning":      "geometry",
	"floor-radius-cutter warning":     "shop profile",
	"floor-radius-stepped note":       "shop profile",
	"ledge-narrow warning":            "common practice, no source",
	"inlay-tight warning":             "common practice, no source",
	"clocked-few-bolts error":         "document",
	"clocked-holes-meet error":        "geometry",
	"clocked-off-position warning":    "document",
	"clocked-vernier warning":         "arithmetic",
	"bore-near-pocket warning worded": "at least 5 to 6 mm",
	"bore-wall warning worded":        "at least 5 to 6 mm",
}

func published(t *testing.T) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/check/dfm.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out
}

// TestLimitsAreThePublishedOnes compares every limit with the row that it is taken from, and its source with what the row
// says of having been read.
func TestLimitsAreThePublishedOnes(t *testing.T) {
	rows := published(t)
	find := func(feature, rule string) map[string]string {
		for _, r := range rows {
			if r["feature"] == feature && strings.HasPrefix(r["rule"], rule) {
				return r
			}
		}
		t.Fatalf("no row %q, %q", feature, rule)
		return nil
	}
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, r := range check.Rules() {
		name := r.Code + " " + string(r.Level)
		if words, ok := unpublished[name]; ok {
			if !strings.Contains(r.Source, words) {
				t.Errorf("%s: source is %q, want it to say %q", name, r.Source, words)
			}
			continue
		}
		if x, ok := worded[r.Code]; ok && r.Level == w {
			row := find(x.feature, "")
			if !strings.Contains(row["rule"], x.words) || r.Limit != 5 || !strings.Contains(r.Source, unpublished[name+" worded"]) {
				t.Errorf("%s: limit %v by %q; the row reads %q", name, r.Limit, r.Source, row["rule"])
			}
			continue
		}
		i := slices.IndexFunc(cites, func(c cite) bool { return c.code == r.Code && c.level == r.Level })
		if i < 0 {
			t.Errorf("%s: limit %g has no published row", name, r.Limit)
			continue
		}
		c := cites[i]
		row := find(c.feature, c.rule)
		switch c.column {
		case "between":
			if r.Limit < num(row["min"]) || r.Limit > num(row["max"]) {
				t.Errorf("%s: limit %g is not between the published %s and %s", name, r.Limit, row["min"], row["max"])
			}
		default:
			v := num(row[c.column])
			if c.over {
				v = 1 / v
			}
			// The published figure may be rounded to three digits, as 0.333 for a third.
			if math.Abs(v-r.Limit) > 0.002*v {
				t.Errorf("%s: limit %g, published %g (%s)", name, r.Limit, v, row["rule"])
			}
		}
		if row["seen"] == "memory" && !strings.Contains(r.Source, "from memory") {
			t.Errorf("%s: the row was recalled, not read; the source must say so: %q", name, r.Source)
		}
	}
}

// TestTable walks the table itself.
func TestTable(t *testing.T) {
	seen := map[string]bool{}
	last := ""
	for _, r := range check.Rules() {
		key := r.Code + string(r.Level)
		if seen[key] {
			t.Errorf("%s (%s) stands twice", r.Code, r.Level)
		}
		if seen[key] = true; r.Code != last && seen[r.Code] {
			t.Errorf("the rows of %s do not stand together", r.Code)
		}
		if r.Code == last && r.Level == e {
			t.Errorf("%s: the worst level must stand first", r.Code)
		}
		seen[r.Code], last = true, r.Code
		if strings.ToLower(r.Code) != r.Code || strings.ContainsAny(r.Code, " _") {
			t.Errorf("code %q is not lower-case words joined by hyphens", r.Code)
		}
		if r.Why == "" || r.Source == "" || r.Name == "" || !slices.Contains(finding.Levels(), r.Level) || math.IsNaN(r.Limit) {
			t.Errorf("incomplete: %+v", r)
		}
	}
	// The caller's copy is its own.
	a := check.Rules()
	a[0].Limit = -99
	if check.Rules()[0].Limit == -99 {
		t.Error("Rules hands out the table itself")
	}
}

// TestProfileSetsTheRatio: the shop's corner ratio takes the place of 1.1, and the example shop has 1.1.
func TestProfileSetsTheRatio(t *testing.T) {
	s := example(t)
	if s.Practice.CornerRatio.Value != 1.1 {
		t.Errorf("the example shop's corner ratio is %v, the table says 1.1", s.Practice.CornerRatio.Value)
	}
	p := blank(15)
	p.Pockets = append(p.Pockets, pocket(1, "top", 8, 5.5, 28, 28, 100, 90))
	l := derive(t, p)
	s = oneMill(t, 10, 25)
	if got := of(check.Run(l, s), "corner-radius", w, 1); len(got) != 0 {
		t.Errorf("at 1.1 and a ratio of 1.1: %v", got)
	}
	s.Practice.CornerRatio.Value = 1.2
	if got := of(check.Run(l, s), "corner-radius", w, 1); len(got) != 1 || !strings.Contains(got[0].What, "limit 1.2") {
		t.Errorf("at 1.1 and a ratio of 1.2: %v", got)
	}
}
