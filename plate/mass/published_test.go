package mass_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"platewright/plate"
)

// rows reads a table of testdata/mass as maps from column to value.
func rows(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/mass/" + file)
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

// figure reads the value of the named row and half a unit of its last printed digit.
func figure(t *testing.T, file, item string) (value, rounding float64) {
	t.Helper()
	for _, r := range rows(t, file) {
		if r["item"] != item {
			continue
		}
		v, err := strconv.ParseFloat(r["value"], 64)
		if err != nil {
			t.Fatal(err)
		}
		digits := 0
		if i := strings.IndexByte(r["value"], '.'); i >= 0 {
			digits = len(r["value"]) - i - 1
		}
		return v, 0.5 * math.Pow10(-digits)
	}
	t.Fatalf("%s has no row %q", file, item)
	return 0, 0
}

// TestPublishedPlate weighs the plate of a supplier's page: 3.0 × 728 × 380 mm at 2.7 g/cm³.
func TestPublishedPlate(t *testing.T) {
	want, half := figure(t, "mass_examples.csv", "plate mass")
	r := weigh(t, sheet(3, corners(0, 0, 728, 0, 728, 380, 0, 380)))
	if math.Abs(r.MassKG-want) > half+1e-12 {
		t.Errorf("mass = %.6f kg, published %v", r.MassKG, want)
	}
}

// TestPublishedBuyToFly cuts 6.5 kg out of 42 kg.
func TestPublishedBuyToFly(t *testing.T) {
	const thick = 100.0
	w, h := 500.0, 42/rho/thick/500 // 42 kg
	x, y := 100.0, 6.5/rho/thick/100
	p := sheet(thick, corners(0, 0, x, 0, x, y, 0, y))
	p.Stock.Blank = plate.Blank{Fixed: true, X: -100, Y: -10, Width: w, Height: h}
	r := weigh(t, p)
	agree(t, "blank mass", r.BlankMassKG, 42, 42, 1e-12)
	for _, c := range []struct {
		item string
		got  float64
	}{
		{"buy-to-fly ratio", r.BuyToFly},
		{"material utilisation", r.MassKG / r.BlankMassKG},
		{"material removed fraction", r.Removed / r.BlankVolume},
		{"removed volume", r.Removed / 1000},
	} {
		want, half := figure(t, "mass_examples.csv", c.item)
		if math.Abs(c.got-want) > half+1e-9 {
			t.Errorf("%s = %.6f, published %v", c.item, c.got, want)
		}
	}
}

// TestBand checks the mass at the limits of the thickness against the published tolerances, by hand.
func TestBand(t *testing.T) {
	tolerance := func(over, incl, width string) float64 {
		for _, r := range rows(t, "plate_stock.csv") {
			if r["t_over_mm"] == over && r["t_incl_mm"] == incl && r["width_incl_mm"] == width {
				v, err := strconv.ParseFloat(r["value"], 64)
				if err != nil {
					t.Fatal(err)
				}
				return v
			}
		}
		t.Fatalf("no tolerance over %s to %s mm", over, incl)
		return 0
	}
	general := rows(t, "general_tolerances.csv")[0]["rule"]
	if !strings.Contains(general, "6-30 +-0.2") {
		t.Fatalf("the row of general tolerances reads %q", general)
	}
	window := math.Pi * 15 * 15
	for _, c := range []struct {
		name     string
		nominal  float64
		top      plate.Face
		w, h     float64
		pocket   bool
		dt, area float64
		basis    string
	}{
		{"as supplied", 15, plate.AsSupplied, 200, 100, false, tolerance("10", "15", "1600"), 200*100 - window, "EN 485-3"},
		{"as supplied, pocketed: floors grow too", 15, plate.AsSupplied, 200, 100, true, tolerance("10", "15", "1600"), 200*100 - window, "EN 485-3"},
		{"as supplied, very wide", 20, plate.AsSupplied, 1700, 1650, false, tolerance("15", "20", "2000"), 1700*1650 - window, "EN 485-3"},
		{"machined", 20, plate.Machined, 200, 100, false, 0.2, 200*100 - window, "ISO 2768-1"},
	} {
		p := sheet(c.nominal, corners(0, 0, c.w, 0, c.w, c.h, 0, c.h))
		p.Stock.Top = c.top
		if c.top == plate.Machined {
			p.Stock.Finished = 18
		}
		p.Bores = []plate.Bore{{ID: 1, Name: "b", X: 50, Y: 50, Diameter: 30}}
		if c.pocket {
			p.Pockets = []plate.Pocket{field(2, plate.Top, 10, 5, 90, 20, 180, 80)}
		}
		r := weigh(t, p)
		if !r.Band.Known || !strings.Contains(r.Band.Basis, c.basis) {
			t.Errorf("%s: band is %+v, want one by %s", c.name, r.Band, c.basis)
		}
		agree(t, c.name+": low", r.MassLow, r.MassKG-rho*c.dt*c.area, r.MassKG, 1e-12)
		agree(t, c.name+": high", r.MassHigh, r.MassKG+rho*c.dt*c.area, r.MassKG, 1e-12)
	}
	// Where no table holds the thickness the band is nothing, and says so.
	r := weigh(t, sheet(500, corners(0, 0, 50, 0, 50, 50, 0, 50)))
	if r.Band.Known || r.MassLow != r.MassKG || r.MassHigh != r.MassKG || !strings.Contains(r.Band.Basis, "no table") {
		t.Errorf("500 mm: band %+v, masses %v to %v", r.Band, r.MassLow, r.MassHigh)
	}
}
