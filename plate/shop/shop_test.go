package shop

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

func example(t *testing.T) Profile {
	t.Helper()
	p, err := Example()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/shop/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, k := range rows[0] {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out
}

func number(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// Every figure that the example calls seen, or cites from a maker's table, stands in the published row that it names.
func TestCuttingDataComeFromPublishedRows(t *testing.T) {
	rows := table(t, "cutting_data.csv")
	find := func(c CuttingData, cited Cited, lo, hi string, x float64) bool {
		for _, r := range rows {
			if r["source"] != cited.Source || r["iso513"] != c.Group || r["seen"] != cited.Seen {
				continue
			}
			if d := number(r["D_min_mm"]); !math.IsNaN(d) && c.DMin < d-1 {
				continue
			}
			if d := number(r["D_max_mm"]); !math.IsNaN(d) && c.DMax > d+1e-9 {
				continue
			}
			if r[lo] == "pitch" && c.Feed.Per == PerPitch {
				return true
			}
			if x >= number(r[lo])-1e-9 && x <= number(r[hi])+1e-9 {
				return true
			}
		}
		return false
	}
	n := 0
	for i, c := range example(t).Cutting {
		if !strings.HasPrefix(c.Speed.Source, "common practice") {
			n++
			if !find(c, c.Speed.Cited, "vc_min_m_min", "vc_max_m_min", c.Speed.Vc) {
				t.Errorf("cutting[%d] %s %s %g..%g: vc %g is not in a row of %q", i, c.ToolKind, c.Operation, c.DMin, c.DMax, c.Speed.Vc, c.Speed.Source)
			}
		}
		if !strings.HasPrefix(c.Feed.Source, "common practice") {
			n++
			if !find(c, c.Feed.Cited, "f_min_mm", "f_max_mm", c.Feed.Feed) {
				t.Errorf("cutting[%d] %s %s %g..%g: feed %g is not in a row of %q", i, c.ToolKind, c.Operation, c.DMin, c.DMax, c.Feed.Feed, c.Feed.Source)
			}
		}
	}
	if n < 30 {
		t.Errorf("only %d figures compared", n)
	}
}

func TestForceDataComeFromPublishedRows(t *testing.T) {
	rows := table(t, "kienzle.csv")
	for i, c := range example(t).Cutting {
		ok := false
		for _, r := range rows {
			ok = ok || r["source"] == c.Force.Source && r["seen"] == c.Force.Seen && r["iso513"] == c.Group &&
				number(r["kc11_MPa"]) == c.Force.KC11 && number(r["mc"]) == c.Force.MC
		}
		if !ok {
			t.Errorf("cutting[%d]: kc1.1 %g, mc %g is not in a row of %q", i, c.Force.KC11, c.Force.MC, c.Force.Source)
		}
	}
}

// The example has a drill for every ISO 273 clearance hole and ISO 2306 tap drill of M3 to M16, and a tap with the ISO 261
// pitch.
func TestToolsForPublishedHoles(t *testing.T) {
	p := example(t)
	has := func(k Kind, d float64) (Tool, bool) {
		for _, x := range p.Tools {
			if x.Kind == k && math.Abs(x.Diameter-d) < 1e-9 {
				return x, true
			}
		}
		return Tool{}, false
	}
	rows := table(t, "holes.csv")
	if len(rows) < 50 {
		t.Errorf("%d rows", len(rows))
	}
	for _, r := range rows {
		switch r["feature"] {
		case "clearance", "tap drill":
			if _, ok := has(Drill, number(r["value"])); !ok {
				t.Errorf("no drill %s for %s %s %s", r["value"], r["thread"], r["feature"], r["series"])
			}
		case "pitch":
			tap, ok := has(Tap, number(strings.TrimPrefix(r["thread"], "M")))
			if !ok || tap.Pitch != number(r["value"]) || tap.Thread != r["thread"] {
				t.Errorf("tap for %s is %+v, want pitch %s", r["thread"], tap, r["value"])
			}
		}
	}
}

func TestEveryToolHasCuttingData(t *testing.T) {
	p := example(t)
	want := map[Kind][]Work{
		EndMill: {Rough, Finish}, FaceMill: {Face}, SpotDrill: {Spot}, Drill: {Drilled}, Tap: {Tapped},
		ChamferMill: {Chamfer}, BoringHead: {Bored},
	}
	for _, x := range p.Tools {
		for _, w := range want[x.Kind] {
			if _, ok := p.Data("N", x.Kind, x.Material, w, x.Diameter); !ok {
				t.Errorf("%s: no data to %s", x.ID, w)
			}
		}
	}
	if _, ok := p.Data("P", EndMill, "solid carbide", Rough, 10); ok {
		t.Error("data for steel found, but the example has none")
	}
}

func TestExampleIsMarked(t *testing.T) {
	p := example(t)
	if !p.Example || !strings.Contains(p.Note, "Example") {
		t.Errorf("example %v, note %q", p.Example, p.Note)
	}
	if p.Band.Low != -20 || p.Band.High != 50 {
		t.Errorf("band %+v, want -20/+50", p.Band)
	}
}

// Torque is what the power curve gives: P = 2π·n·M.
func TestPowerCurve(t *testing.T) {
	m := Machine{Power: []PowerPoint{{1000, 10}, {5000, 10}, {10000, 5}}}
	for _, c := range []struct{ n, want float64 }{{0, 0}, {500, 5}, {1000, 10}, {3000, 10}, {7500, 7.5}, {10000, 5}, {20000, 5}} {
		if got := m.PowerAt(c.n); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("PowerAt(%g) = %g, want %g", c.n, got, c.want)
		}
	}
	e := example(t).Machine
	if got := e.PowerAt(1500) * 1e3 / (2 * math.Pi * 1500 / 60); math.Abs(got-e.Torque) > 0.1 {
		t.Errorf("torque at the base speed %.2f N·m, the example says %g", got, e.Torque)
	}
}

func TestByNameAndHash(t *testing.T) {
	a, err := ByName("example")
	if err != nil {
		t.Fatal(err)
	}
	b, err := ByName("")
	if err != nil {
		t.Fatal(err)
	}
	if a.Hash() != b.Hash() || len(a.Hash()) != 64 {
		t.Errorf("hashes %s, %s", a.Hash(), b.Hash())
	}
	b.Machine.ToolChange++
	if a.Hash() == b.Hash() {
		t.Error("another tool-change time, the same hash")
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, exampleJSON); err != nil {
		t.Fatal(err)
	}
	c, err := Parse(compact.Bytes())
	if err != nil || c.Hash() != a.Hash() {
		t.Errorf("laid out otherwise: hash %s, error %v", c.Hash(), err)
	}
	if _, err := ByName("other"); err == nil || !strings.Contains(err.Error(), `"other"`) {
		t.Errorf("ByName(other): %v", err)
	}
}

func TestWrongProfiles(t *testing.T) {
	src := string(exampleJSON)
	for _, c := range []struct{ name, old, new, want string }{
		{"unknown key", `"magazine": 30`, `"magazine": 30, "colour": 1`, "colour"},
		{"doubled key", `"magazine": 30`, `"magazine": 30, "magazine": 24`, "machine.magazine: given twice"},
		{"doubled in list", `"id": "EM3",`, `"id": "EM3", "id": "EM3",`, "tools[0].id: given twice"},
		{"other case", `"magazine": 30`, `"Magazine": 30`, "machine.magazine: missing"},
		{"missing", `"block_time_s": 0.002,`, ``, "machine.block_time_s: missing"},
		{"null", `"torque_nm": 70`, `"torque_nm": null`, "machine.torque_nm: is null"},
		{"text for number", `"torque_nm": 70`, `"torque_nm": "70"`, "torque_nm"},
		{"zero torque", `"torque_nm": 70`, `"torque_nm": 0`, "machine.torque_nm: is 0"},
		{"negative rapid", `[24000, 24000, 20000]`, `[24000, -1, 20000]`, "machine.rapid_mm_min y: is -1"},
		{"zero acceleration", `[3000, 3000, 2500]`, `[3000, 3000, 0]`, "machine.accel_mm_s2 z: is 0"},
		{"huge number", `"torque_nm": 70`, `"torque_nm": 1e999`, "torque_nm"},
		{"power curve falls back", `{"rpm": 10000, "kw": 11}`, `{"rpm": 1000, "kw": 11}`, "machine.power[1].rpm"},
		{"zero power", `{"rpm": 1500, "kw": 11}`, `{"rpm": 1500, "kw": 0}`, "machine.power[0].kw: is 0"},
		{"min above max", `"spindle_min_rpm": 50`, `"spindle_min_rpm": 50000`, "machine.spindle_min_rpm"},
		{"tool twice", `"id": "EM4",`, `"id": "EM3",`, "tools[1].id"},
		{"unknown kind", `"kind": "face mill"`, `"kind": "broach"`, "is not a kind of tool"},
		{"reach over stick-out", `"reach_mm": 8, "stick_out_mm": 14`, `"reach_mm": 18, "stick_out_mm": 14`, "tools[0].reach_mm"},
		{"zero diameter", `"diameter_mm": 3, "flutes": 3, "flute_length_mm": 8, "reach_mm": 8,`, `"diameter_mm": 0, "flutes": 3, "flute_length_mm": 8, "reach_mm": 8,`, "tools[0].diameter_mm"},
		{"no flutes", `"flutes": 5`, `"flutes": 0`, ".flutes: is 0"},
		{"half a flute", `"flutes": 5`, `"flutes": 2.5`, "flutes"},
		{"tap without pitch", `"thread": "M3", "pitch_mm": 0.5`, `"thread": "M3"`, ".pitch_mm: is 0"},
		{"no tool material", `"shank_diameter_mm": 6, "material": "solid carbide"`, `"shank_diameter_mm": 6, "material": ""`, ".material: is empty"},
		{"no speed", `"vc_m_min": 600`, `"vc_m_min": 0`, ".speed.vc_m_min: is 0"},
		{"unsourced rule", `"value": 1.1, "source": "`, `"value": 1.1, "source": "", "x": "`, "unknown field"},
		{"corner ratio below one", `"value": 1.1`, `"value": 0.9`, "practice.corner_ratio.value"},
		{"negative time", `"load_min": 1.5`, `"load_min": -1`, "times.load_min"},
		{"band upside down", `"low_percent": -20`, `"low_percent": 20`, "band.low_percent"},
		{"negative rate", `"machine_per_hour": "70.00"`, `"machine_per_hour": "-70.00"`, `rates.machine_per_hour: "-70.00" is negative`},
		{"rate with a comma", `"setter_per_hour": "50.00"`, `"setter_per_hour": "50,00"`, "rates.setter_per_hour"},
		{"rate as a number", `"setter_per_hour": "50.00"`, `"setter_per_hour": 50`, "setter_per_hour"},
		{"rate with an exponent", `"setter_per_hour": "50.00"`, `"setter_per_hour": "1e9999999"`, "rates.setter_per_hour"},
		{"empty rate", `"delivery": "18.00"`, `"delivery": ""`, "rates.delivery"},
		{"currency in words", `"currency": "EUR"`, `"currency": "euro"`, "rates.currency"},
		{"margin below zero", `"margin_percent": 15`, `"margin_percent": -15`, "rates.margin_percent: is -15"},
		{"scrap over all", `"scrap_percent": 2`, `"scrap_percent": 100`, "rates.scrap_percent"},
		{"finish twice", `"name": "hard anodised"`, `"name": "anodised"`, "rates.finishes[1].name"},
		{"no metal", `"group": "P", "per_kg": "3.00", `, `"group": "", "per_kg": "3.00", `, "rates.metal[1].group: is empty"},
		{"tool longer than its holder takes", `"length_mm": 50, "holder"`, `"length_mm": 150, "holder"`, "is to go into the holder"},
		{"tool shorter than its stick-out", `"length_mm": 50, "holder"`, `"length_mm": 10, "holder"`, "tools[0].length_mm"},
		{"holder thinner than the shank", `"holder": {"name": "collet chuck", "diameter_mm": 28`, `"holder": {"name": "collet chuck", "diameter_mm": 4`, "tools[0].holder.diameter_mm"},
		{"negative tool price", `"price": "14.00"`, `"price": "-14.00"`, "tools[0].price"},
		{"flutes longer than stick-out", `"flute_length_mm": 8, "reach_mm": 8, "stick_out_mm": 14`, `"flute_length_mm": 28, "reach_mm": 8, "stick_out_mm": 14`, "tools[0].flute_length_mm"},
		{"unknown coolant", `"coolant": "flood"`, `"coolant": "tea"`, "machine.coolant"},
		{"efficiency over one", `"efficiency": 0.85`, `"efficiency": 1.85`, "machine.efficiency"},
		{"no travel", `"travel_mm": [1000, 600, 500]`, `"travel_mm": [1000, 600]`, "travel_mm"},
		{"no path tolerance", `"path_tolerance_mm": 0.01`, `"path_tolerance_mm": 0`, "machine.path_tolerance_mm"},
		{"cutting data without material", `"group": "N", "tool_kind"`, `"group": "", "tool_kind"`, "cutting[0].group: is empty"},
		{"cutting data without source", `"vc_m_min": 600, "source": "`, `"vc_m_min": 600, "source": "", "x": "`, "unknown field"},
		{"negative force", `"kc11_mpa": 800`, `"kc11_mpa": -800`, ".force.kc11_mpa"},
		{"service of no kind", `"kind": "waterjet"`, `"kind": "magic"`, "services[0].kind"},
		{"profile without speed", `"mm_per_min": 400, `, ``, "services[0].mm_per_min"},
		{"life exponent over one", `"n": 0.125`, `"n": 1.25`, "tool_life[3].n"},
		{"hand change below zero", `"hand_change_s": 90`, `"hand_change_s": -1`, "machine.hand_change_s"},
		{"factors of no job", `"band": {`, `"calibration": {"jobs": 0, "classes": [{"class": "drill", "factor": 1, "sigma": 0}], "residual_percent": 0, "source": ""}, "band": {`, "calibration.jobs"},
		{"factor of zero", `"band": {`, `"calibration": {"jobs": 6, "classes": [{"class": "drill", "factor": 0, "sigma": 0}], "residual_percent": 0, "source": "x"}, "band": {`, "calibration.classes[0].factor"},
		{"no version", `"version": 1,`, ``, "version"},
		{"bad UTF-8", `"name": "example"`, "\"name\": \"exampl\xff\"", "UTF-8"},
		{"newer", `"version": 1`, `"version": 2`, "version"},
		{"another format", `"platewright-shop"`, `"platewright-plate"`, "format"},
		{"trailing text", "\n}\n", "\n}\n{}", "more text after the end of the document"},
		{"truncated", "\n}\n", "", "the file ends where a comma"},
	} {
		bad := strings.Replace(src, c.old, c.new, 1)
		if bad == src {
			t.Errorf("%s: %q is not in the example", c.name, c.old)
			continue
		}
		_, err := Parse([]byte(bad))
		var pe *ProfileError
		if !errors.As(err, &pe) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
	if _, err := Parse(make([]byte, maxBytes+1)); err == nil {
		t.Error("a file over the limit was read")
	}
	if _, err := Parse(nil); err == nil {
		t.Error("an empty file was read")
	}
}

// An error names the line of the file.
func TestErrorsNameTheLine(t *testing.T) {
	lines := strings.Split(string(exampleJSON), "\n")
	lineWith := func(s string) int {
		for i, l := range lines {
			if strings.Contains(l, s) {
				return i + 1
			}
		}
		t.Fatalf("%q is not in the example", s)
		return 0
	}
	for _, c := range []struct{ old, new string }{
		{`"torque_nm": 70`, `"torque_nm": 0`},
		{`"torque_nm": 70`, `"torque_nm": "x"`},
		{`"hand_change_s": 90`, `"hand_change_s": 90, "hand_change_s": 90`},
		{`"id": "EM4",`, `"id": "EM3",`},
		{`"machine_per_hour": "70.00"`, `"machine_per_hour": "-70.00"`},
		{`"rapid_mm_min": [24000, 24000, 20000]`, `"rapid_mm_min": [24000, -1, 20000]`},
		{`"skin_mm": {"value": 0.3`, `"skin_mm": {"value": -0.3`},
	} {
		_, err := Parse([]byte(strings.Replace(string(exampleJSON), c.old, c.new, 1)))
		var pe *ProfileError
		if !errors.As(err, &pe) {
			t.Errorf("%s: %v", c.new, err)
			continue
		}
		if got, want := pe.Problems[0].Line, lineWith(c.old); got != want {
			t.Errorf("%s: line %d, want %d (%v)", c.new, got, want, err)
		}
	}
}

func TestSaveAndLoad(t *testing.T) {
	p := example(t)
	p.Others = []Machine{p.Machine}
	p.Calibration = Calibration{Jobs: 7, Classes: []Factor{{"drill", 1.2, 0.1, nil}, {"rough", 0.9, 0.05, []float64{0.001}}}, Residual: 4, Source: "jobs.csv"}
	one, err := Save(p)
	if err != nil {
		t.Fatal(err)
	}
	q, err := Load(one)
	if err != nil {
		t.Fatal(err)
	}
	two, err := Save(q)
	if err != nil || !bytes.Equal(one, two) || q.Hash() != p.Hash() {
		t.Errorf("written twice, the files differ (%v)", err)
	}
	p.Machine.Torque = math.NaN()
	if _, err := Save(p); err == nil {
		t.Error("a profile with NaN was written")
	}
}

// A row for one alloy goes before that of its group, and holds for no other.
func TestDataForOneAlloy(t *testing.T) {
	p := example(t)
	own := p.Cutting[0]
	own.Alloy, own.Speed.Vc = "EN AW-7075 T651", 123
	p.Cutting = append(p.Cutting, own)
	for alloy, want := range map[string]float64{own.Alloy: 123, "EN AW-6082 T651": p.Cutting[0].Speed.Vc} {
		c, ok := p.For(alloy).Data(own.Group, own.ToolKind, own.ToolMaterial, own.Operation, own.DMin)
		if !ok || c.Speed.Vc != want {
			t.Errorf("%s: %g m/min, want %g", alloy, c.Speed.Vc, want)
		}
	}
}

func TestErrorListsEverything(t *testing.T) {
	src := strings.Replace(string(exampleJSON), `"torque_nm": 70`, `"torque_nm": 0`, 1)
	src = strings.Replace(src, `"load_min": 1.5`, `"load_min": -1`, 1)
	_, err := Parse([]byte(src))
	var pe *ProfileError
	if !errors.As(err, &pe) || len(pe.Problems) != 2 {
		t.Errorf("got %v, want two problems", err)
	}
}

func FuzzParse(f *testing.F) {
	f.Add(exampleJSON)
	f.Add([]byte(`{"format":"platewright-shop","version":1}`))
	f.Add([]byte(`{"format":"platewright-shop","version":1,"tools":[null]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse(data)
		if err == nil && len(p.Validate()) > 0 {
			t.Error("Parse let a profile through that Validate refuses")
		}
	})
}
