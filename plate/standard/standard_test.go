package standard_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"platewright/plate/standard"
)

// rows reads a table of testdata/standard by its column names.
func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/standard/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, rec := range all[1:] {
		m := make(map[string]string)
		for i, v := range rec {
			m[all[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// holeValue looks up what one row of holes.csv is about; the tolerance is that of the printed rounding.
func holeValue(feature, series, size string) (got, tolerance float64, ok bool) {
	switch feature {
	case "clearance":
		got, ok = standard.ClearanceDiameter(size, series)
	case "pitch":
		_, got, ok = standard.TapDrill(size)
	case "tap drill":
		got, _, ok = standard.TapDrill(size)
	case "basic minor diameter D1":
		got, ok = standard.MinorDiameter(size)
		tolerance = 0.0005 // printed to three decimals
	case "tensile stress area":
		got, ok = standard.StressArea(size)
		tolerance = 0.005 // printed to two decimals
	case "cap screw head dia dk max":
		got, _, ok = standard.CapHead(size)
	case "cap screw head height k max":
		_, got, ok = standard.CapHead(size)
	case "counterbore dia":
		got, _, ok = standard.Counterbore(size)
	case "counterbore depth":
		if series == "for ISO 4762, DIN 974-1: k max + Z" {
			got, ok = standard.CounterboreDIN974(size)
		} else {
			_, got, ok = standard.Counterbore(size)
		}
	case "countersunk head theoretical sharp dia dk":
		got, _, ok = standard.Countersink(size)
	case "countersunk head dia dk (nominal)":
		got, _, ok = standard.CountersinkDIN7991(size)
	}
	return got, tolerance, ok
}

// TestHoles compares every published row with the tables, and the tables with the rows: no thread is held unchecked. Heads
// of countersunk screws come by two standards, which the source tells apart.
func TestHoles(t *testing.T) {
	checked := make(map[string]int)
	for _, r := range rows(t, "holes.csv") {
		size, want := r["thread"], number(t, r["value"])
		got, tolerance, ok := holeValue(r["feature"], r["series"], size)
		if r["feature"] == "countersunk head height k" {
			switch r["source"] {
			case "ISO 10642":
				_, got, ok = standard.Countersink(size)
			case "DIN 7991":
				_, got, ok = standard.CountersinkDIN7991(size)
			}
		}
		if !ok || math.Abs(got-want) > tolerance+1e-12 {
			t.Errorf("%s %s %s = %v, %v; want %v (%s, %s)", size, r["feature"], r["series"], got, ok, want, r["source"], r["seen"])
		}
		if class, ok := standard.ClearanceClass(r["series"]); r["feature"] == "clearance" && (!ok || class != r["tolerance"]) {
			t.Errorf("ClearanceClass(%s) = %v, %v; want %v", r["series"], class, ok, r["tolerance"])
		}
		checked[size]++
	}
	for _, size := range standard.Sizes() {
		if checked[size] < 7 { // three clearance series, pitch, tap drill, minor diameter, stress area
			t.Errorf("%s is checked by %d rows, want 7 at least", size, checked[size])
		}
	}
	if first, last := standard.Sizes()[0], standard.Sizes()[len(standard.Sizes())-1]; first != "M2" || last != "M24" {
		t.Errorf("sizes from %s to %s, want M2 to M24", first, last)
	}
}

// TestHoleOrder holds what the standards have in common: a tap drill is near nominal less pitch (ISO 2306 rounds to drills
// that are made), above the basic minor diameter, and clearance holes grow from fine to coarse above the nominal diameter.
func TestHoleOrder(t *testing.T) {
	for _, size := range standard.Sizes() {
		d, ok := standard.NominalDiameter(size)
		if want := number(t, size[1:]); !ok || d != want {
			t.Errorf("NominalDiameter(%s) = %v, %v; want %v", size, d, ok, want)
		}
		drill, pitch, _ := standard.TapDrill(size)
		if minor, _ := standard.MinorDiameter(size); drill < minor || math.Abs(drill-(d-pitch)) > 0.06 {
			t.Errorf("%s: tap drill %v, nominal less pitch %v, minor diameter %v", size, drill, d-pitch, minor)
		}
		last := d
		for _, s := range standard.Series() {
			c, ok := standard.ClearanceDiameter(size, s)
			if !ok || c <= last {
				t.Errorf("ClearanceDiameter(%s, %s) = %v, %v; want more than %v", size, s, c, ok, last)
			}
			last = c
		}
	}
}

func TestUnknownSizes(t *testing.T) {
	for _, size := range []string{"", "M", "8", "m8", "M9", "M8x1", "M30", "M8 "} {
		if d, ok := standard.NominalDiameter(size); ok || d != 0 {
			t.Errorf("NominalDiameter(%q) = %v, %v; want 0, false", size, d, ok)
		}
		if d, ok := standard.ClearanceDiameter(size, "medium"); ok || d != 0 {
			t.Errorf("ClearanceDiameter(%q) = %v, %v; want 0, false", size, d, ok)
		}
		if d, p, ok := standard.TapDrill(size); ok || d != 0 || p != 0 {
			t.Errorf("TapDrill(%q) = %v, %v, %v; want 0, 0, false", size, d, p, ok)
		}
		if d, ok := standard.MinorDiameter(size); ok || d != 0 {
			t.Errorf("MinorDiameter(%q) = %v, %v; want 0, false", size, d, ok)
		}
	}
	if d, ok := standard.ClearanceDiameter("M8", "loose"); ok {
		t.Errorf("ClearanceDiameter(M8, loose) = %v, true", d)
	}
}

func TestGeneralTolerance(t *testing.T) {
	for _, r := range rows(t, "general_tolerances.csv") {
		over, incl, want := number(t, r["over_mm"]), number(t, r["incl_mm"]), number(t, r["plus_minus_mm"])
		for _, size := range []float64{math.Nextafter(over, math.Inf(1)), (over + incl) / 2, incl} {
			if got := standard.GeneralTolerance(size); got != want {
				t.Errorf("GeneralTolerance(%v) = %v, want %v (%s, %s)", size, got, want, r["source"], r["seen"])
			}
		}
	}
	if got := standard.GeneralTolerance(0.5); got != 0.1 {
		t.Errorf("GeneralTolerance(0.5) = %v, want 0.1", got)
	}
	for _, size := range []float64{0.49, 0, -3, 4000.1, math.NaN(), math.Inf(1)} {
		if got := standard.GeneralTolerance(size); !math.IsNaN(got) {
			t.Errorf("GeneralTolerance(%v) = %v, want NaN", size, got)
		}
	}
}
