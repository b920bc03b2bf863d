package material

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/material/" + name)
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

// temperOf is the temper that the tables hold of each alloy.
var temperOf = map[string]string{"6082": "T651", "6061": "T651", "7075": "T651", "5083": "H111"}

// superseded says why a published row is not the value held.
func superseded(r map[string]string) string {
	over := r["t_over_mm"]
	switch {
	case r["material"] == "5083" && !strings.Contains(r["source"], "2008") && over != "" && over != "120" && over != "80":
		return "older edition of EN 485-2; that of 2008 is held up to 80 mm"
	case r["property"] == "E" && r["value"] != "72" && r["material"] == "7075":
		return "sources print 71, 71.7 and 72 GPa; the Aluminum Association's rounded 72 is held"
	case r["property"] == "G" && r["material"] != "6082":
		return "follows from E and Poisson's ratio to 1 %, checked there"
	}
	return ""
}

func TestAlloysAgainstPublishedRows(t *testing.T) {
	used := 0
	for _, r := range rows(t, "materials.csv") {
		if why := superseded(r); why != "" {
			continue
		}
		used++
		thicknesses := []float64{referenceThickness}
		if r["t_incl_mm"] != "" {
			over, incl := number(t, r["t_over_mm"]), number(t, r["t_incl_mm"])
			thicknesses = []float64{math.Nextafter(over, math.Inf(1)), (over + incl) / 2, incl}
		}
		for _, th := range thicknesses {
			m, err := Lookup("EN AW-"+r["material"], temperOf[r["material"]], th)
			if err != nil {
				t.Errorf("%v: %v", r, err)
				continue
			}
			want := number(t, r["value"])
			got, tol := valueOf(t, m, r["property"])
			if math.Abs(got-want) > tol*want {
				t.Errorf("%s %s at %v mm: %s = %v, want %v (%s, %s)", m.Alloy, m.Temper, th, r["property"], got, want, r["source"], r["seen"])
			}
		}
	}
	if used < 80 {
		t.Errorf("only %d rows compared", used)
	}
}

// valueOf is the value of a property in the table's unit, with the relative tolerance to compare it by.
func valueOf(t *testing.T, m Material, property string) (v, tol float64) {
	t.Helper()
	switch property {
	case "Rm":
		return m.Ultimate, 0
	case "Rp0.2":
		return m.Proof, 0
	case "density":
		return m.Density / 1000, 1e-12 // g/cm³
	case "E":
		return m.Young / 1000, 1e-12 // GPa
	case "nu":
		return m.Poisson, 0
	case "G": // of an isotropic metal
		return m.Young / 1000 / (2 * (1 + m.Poisson)), 0.01
	}
	t.Fatalf("row of an unknown property %q", property)
	return 0, 0
}

// TestShearModulus checks E and ν together against the published G of every alloy that has one.
func TestShearModulus(t *testing.T) {
	for _, r := range rows(t, "materials.csv") {
		if r["property"] != "G" {
			continue
		}
		m, err := Lookup("EN AW-"+r["material"], temperOf[r["material"]], referenceThickness)
		if err != nil {
			t.Fatal(err)
		}
		got, tol := valueOf(t, m, "G")
		if want := number(t, r["value"]); math.Abs(got-want) > tol*want {
			t.Errorf("%s: G = %.2f GPa, want %v within 1 %% (%s, %s)", m.Alloy, got, want, r["source"], r["seen"])
		}
	}
}

func TestTablesHaveNoGaps(t *testing.T) {
	for _, a := range alloys {
		for i, r := range a.rows {
			if r.over >= r.incl || r.proof <= 0 || r.ultimate < r.proof || i > 0 && r.over != a.rows[i-1].incl {
				t.Errorf("%s: row %d %v does not follow the one before", a.alloy, i, r)
			}
		}
	}
	for _, tab := range []tolerances{coldRolled, hotRolled} {
		for i, r := range tab.rows {
			if i > 0 && r.over != tab.rows[i-1].incl || !slices.IsSorted(r.byWidth) || len(r.byWidth) > len(tab.widths) {
				t.Errorf("%s: row %d %v does not follow the one before", tab.source, i, r)
			}
		}
	}
}

func TestAlloys(t *testing.T) {
	ms := Alloys()
	if len(ms) != len(alloys) {
		t.Fatalf("%d alloys, want %d", len(ms), len(alloys))
	}
	if got := ms[0].Alloy + " " + ms[0].Temper; got != "EN AW-6082 T651" {
		t.Errorf("first alloy is %s, want EN AW-6082 T651", got)
	}
	for _, m := range ms {
		got, err := Lookup(m.Alloy, m.Temper, referenceThickness)
		if err != nil || got != m {
			t.Errorf("Lookup(%s, %s) = %v, %v; want %v", m.Alloy, m.Temper, got, err, m)
		}
		if m.Source == "" || m.Group != "N" {
			t.Errorf("%s: source %q, group %q; want a source and the group N (non-ferrous, ISO 513)", m.Alloy, m.Source, m.Group)
		}
	}
}

func TestLookupErrors(t *testing.T) {
	for _, c := range []struct {
		alloy, temper string
		t             float64
		want          string
	}{
		{"EN AW-6082", "T651", 500, "from 0.4 to 175 mm"},
		{"EN AW-6082", "T651", 0, "from 0.4 to 175 mm"},
		{"EN AW-6082", "T651", math.NaN(), "no strength values"},
		{"EN AW-6082", "T4", 10, `"EN AW-6082" "T4" is not held; choose one of EN AW-6082 T651`},
		{"", "", 10, "is not held"},
	} {
		m, err := Lookup(c.alloy, c.temper, c.t)
		if err == nil || !strings.Contains(err.Error(), c.want) || m != (Material{}) {
			t.Errorf("Lookup(%q, %q, %v) = %v, %v; want an error with %q", c.alloy, c.temper, c.t, m, err, c.want)
		}
	}
}

func TestThicknessTolerances(t *testing.T) {
	used := 0
	for _, r := range rows(t, "plate_stock.csv") {
		kind, _, ok := strings.Cut(r["item"], " thickness tolerance")
		if !ok {
			continue
		}
		tab := map[string]tolerances{"cold rolled": coldRolled, "hot rolled": hotRolled}[kind]
		over, incl, want := number(t, r["t_over_mm"]), number(t, r["t_incl_mm"]), number(t, r["value"])
		widths := []float64{math.Nextafter(number(t, r["width_over_mm"]), math.Inf(1)), number(t, r["width_incl_mm"])}
		for _, th := range []float64{math.Nextafter(over, math.Inf(1)), (over + incl) / 2, incl} {
			for _, w := range widths {
				used++
				if got, ok := tab.at(th, w); !ok || got != want {
					t.Errorf("%s %v mm × %v mm: ±%v, %v; want ±%v (%s, %s)", kind, th, w, got, ok, want, r["source"], r["seen"])
				}
			}
		}
	}
	if used < 1000 {
		t.Errorf("only %d values compared", used)
	}
}

func TestThicknessTolerance(t *testing.T) {
	for _, c := range []struct {
		t, width, want float64
		source         string
	}{
		{15, 1250, 0.5, "EN 485-3 table 1"},     // over 10 to 15
		{15.1, 1250, 0.6, "EN 485-3 table 1"},   // over 15 to 20
		{6, 1000, 0.2, "EN 485-4:1994 table 1"}, // the last of sheet
		{6.1, 1000, 0.35, "EN 485-3 table 1"},   // the first of plate
	} {
		minus, plus, source, ok := ThicknessTolerance(c.t, c.width)
		if !ok || minus != c.want || plus != c.want || source != c.source {
			t.Errorf("ThicknessTolerance(%v, %v) = −%v +%v %q %v; want ±%v %q", c.t, c.width, minus, plus, source, ok, c.want, c.source)
		}
	}
	for _, c := range [][2]float64{{15, 2500}, {400, 1000}, {0.1, 500}, {15, 0}, {math.NaN(), 1000}, {15, math.NaN()}, {-1, 1000}} {
		if minus, plus, source, ok := ThicknessTolerance(c[0], c[1]); ok || minus != 0 || plus != 0 || source != "" {
			t.Errorf("ThicknessTolerance(%v, %v) = −%v +%v %q %v; want nothing", c[0], c[1], minus, plus, source, ok)
		}
	}
}

func TestStockThicknesses(t *testing.T) {
	var metric, imperial []float64
	for _, r := range rows(t, "plate_stock.csv") {
		switch v := r["value"]; {
		case strings.HasPrefix(r["item"], "listed market"), strings.HasPrefix(r["item"], "usual European"):
			metric = append(metric, number(t, v))
		case strings.HasPrefix(r["item"], "usual inch"):
			imperial = append(imperial, number(t, v))
		}
	}
	slices.Sort(metric)
	if got := StockThicknesses(); !slices.Equal(got, metric) {
		t.Errorf("StockThicknesses() = %v, want %v", got, metric)
	}
	if got := InchThicknesses(); !slices.Equal(got, imperial) {
		t.Errorf("InchThicknesses() = %v, want %v", got, imperial)
	}
	got := StockThicknesses()
	got[0] = 99
	if again := StockThicknesses(); again[0] == 99 {
		t.Error("the caller can change the table")
	}
	for _, c := range []struct{ t, want float64 }{{15, 15}, {15.5, 16}, {10.01, 12}, {150, 150}, {0, 0.3}} {
		if got, ok := NextStock(c.t); !ok || got != c.want {
			t.Errorf("NextStock(%v) = %v, %v; want %v", c.t, got, ok, c.want)
		}
	}
	if got, ok := NextStock(151); ok {
		t.Errorf("NextStock(151) = %v, true", got)
	}
}
