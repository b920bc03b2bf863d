package cli_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"platewright/app/cli"
	"platewright/plate"
	"platewright/samples"
)

// run calls the command line in this process; the same report is built once in all tests.
func run(stdin string, args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = cli.MainKept(args, strings.NewReader(stdin), &out, &errs)
	return code, out.String(), errs.String()
}

// eachSample writes every sample to a file and calls f with it.
func eachSample(t *testing.T, f func(t *testing.T, file string)) {
	t.Helper()
	all, err := samples.All()
	if err != nil {
		t.Fatal(err)
	}
	if testing.Short() {
		all = all[:2] // the race detector learns nothing new from the others
	}
	for _, s := range all {
		data := s.Data
		if testing.Short() {
			data = withoutCases(t, data) // the analysis is slow under the race detector
		}
		t.Run(s.Name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), s.Name+".plate")
			if err := os.WriteFile(file, data, 0o644); err != nil {
				t.Fatal(err)
			}
			f(t, file)
		})
	}
}

// withoutCases is a document without its load cases.
func withoutCases(t *testing.T, data []byte) []byte {
	t.Helper()
	p, err := plate.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	p.Supports, p.Loads, p.Cases = nil, nil, nil
	if data, err = plate.Encode(p); err != nil {
		t.Fatal(err)
	}
	return data
}

// reported is what "report --json" prints of a sample.
func reported(t *testing.T, file string) string {
	t.Helper()
	code, stdout, stderr := run("", "report", file, "--json")
	if code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	return stdout
}

// Every command that reads a document does its work on every sample, prints nothing on standard error but what it
// wrote and how many warnings there are, and what it writes can be read by the standard library where that has a reader.
func TestEveryCommandOnEverySample(t *testing.T) {
	eachSample(t, func(t *testing.T, file string) {
		dir := filepath.Dir(file)
		before, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		in := func(name string) string { return filepath.Join(dir, name) }
		for _, args := range [][]string{
			{"report", file},
			{"report", file, "--json"},
			{"report", file, "--baseline", file},
			{"mass", file},
			{"mass", file, "--json"},
			{"section", file},
			{"section", file, "--json"},
			{"section", file, "--cut", "40,-100:40,300"},
			{"time", file},
			{"time", file, "--json"},
			{"time", file, "--shop", "example", "-o", in("card.csv")},
			{"check", file},
			{"check", file, "--json"},
			{"dxf", file, "-o", in("top.dxf")},
			{"dxf", file, "-o", in("bottom.dxf"), "--side", "bottom"},
			{"dxf", file, "-o", in("plain.dxf"), "--geometry-only"},
			{"picture", file, "-o", in("light.png"), "--width", "300", "--height", "200"},
			{"picture", file, "-o", in("dark.png"), "--width", "300", "--height", "200", "--dark"},
			{"picture", file, "-o", in("bottom.svg"), "--side", "bottom"},
		} {
			code, stdout, stderr := run("", args...)
			if code != 0 {
				t.Fatalf("%s: exit code %d: %s", strings.Join(args, " "), code, stderr)
			}
			writes := slices.Contains(args, "-o")
			said := false
			for line := range strings.Lines(stderr) {
				said = said || strings.Contains(line, ": wrote ")
				if !strings.Contains(line, ": wrote ") && !strings.Contains(line, ": warnings: ") {
					t.Errorf("%s: standard error %q", strings.Join(args, " "), line)
				}
			}
			if said != writes {
				t.Errorf("%s: says that it wrote a file: %v, want %v", strings.Join(args, " "), said, writes)
			}
			if onlyFile := args[0] == "dxf" || args[0] == "picture"; onlyFile != (stdout == "") {
				t.Errorf("%s: standard output of %d bytes", strings.Join(args, " "), len(stdout))
			}
			if slices.Contains(args, "--json") && !json.Valid([]byte(stdout)) {
				t.Errorf("%s: standard output is not one JSON value", strings.Join(args, " "))
			}
		}
		checkFiles(t, dir)
		after, err := os.ReadFile(file)
		if err != nil || !bytes.Equal(before, after) {
			t.Errorf("the document was changed (error %v)", err)
		}
		if left, _ := filepath.Glob(in(".*")); len(left) > 0 {
			t.Errorf("temporary files were left: %v", left)
		}
	})
}

// checkFiles reads what the commands wrote.
func checkFiles(t *testing.T, dir string) {
	t.Helper()
	for _, name := range []string{"light.png", "dark.png"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Error(err)
			continue
		}
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if b := img.Bounds(); b.Dx() != 300 || b.Dy() != 200 {
			t.Errorf("%s is %d × %d, want 300 × 200", name, b.Dx(), b.Dy())
		}
		shades := map[[3]uint32]bool{}
		for y := 0; y < 200; y += 5 {
			for x := 0; x < 300; x += 5 {
				r, g, b, _ := img.At(x, y).RGBA()
				shades[[3]uint32{r, g, b}] = true
			}
		}
		if len(shades) < 3 {
			t.Errorf("%s has %d colours: it is blank", name, len(shades))
		}
	}
	svg, err := os.Open(filepath.Join(dir, "bottom.svg"))
	if err != nil {
		t.Fatal(err)
	}
	defer svg.Close()
	for dec := xml.NewDecoder(svg); ; {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Errorf("bottom.svg: %v", err)
			break
		}
	}
	card, err := os.Open(filepath.Join(dir, "card.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer card.Close()
	rows, err := csv.NewReader(card).ReadAll()
	if err != nil || len(rows) < 3 {
		t.Errorf("card.csv: %d rows, error %v", len(rows), err)
	}
}

// wantKeys are the keys of a report in the order of the alphabet. A list stands for its elements, and a
// key in brackets may be absent: a finding without a place or a feature.
var wantKeys = map[string][]string{
	"": {"(cases)", "(mesh)", "(natural_frequencies)", "(stiffness_at)", "(stiffness_between)", "(sweep)", "findings", "format", "machining", "mass", "name", "profile_hash", "program_version", "quote", "revision", "sections", "targets"},
	"mass": {
		"blank_mass_kg", "buy_to_fly", "centroid_mm", "density_kg_m3", "inertia_kg_mm2", "mass_kg", "removed_mm3", "volume_mm3",
		"wetted_area_mm2",
	},
	"mass.inertia_kg_mm2": {"xx", "xy", "xz", "yy", "yz", "zz"},
	"sections[]": {
		"area_mm2", "axis_deg", "centroid_mm", "ea_n", "ei_ss_n_mm2", "ei_zz_n_mm2", "(gj_is)", "gj_n_mm2", "i_1_mm4", "i_2_mm4", "i_ss_mm4",
		"i_sz_mm4", "i_zz_mm4", "j_mm4", "name", "pieces", "pieces_in_torsion",
	},
	"sections[].pieces_in_torsion[]": {"centroid_mm", "j_mm4", "shear_centre_mm", "warping_mm6"},
	"cases[]": {
		"backward_error", "(band)", "(condition_estimate)", "error_estimate_percent", "factor", "fatigue", "imbalance", "joints", "(energy)", "kind", "left_out", "live_model_error", "max_deflection_at_mm",
		"max_deflection_mm", "max_von_mises_at_mm", "max_von_mises_mpa", "model", "name", "(notes)", "origin", "principal_mpa",
		"reactions", "(reserve_factor)", "stiffness", "surface", "(worked_sum)",
	},
	"mesh": {
		"asked_angle_deg", "elements", "elements_below_asked", "elements_for_stresses", "least_angle_at_mm", "(least_angle_cause)", "least_angle_deg", "least_angle_near", "nodes",
	},
	"cases[].worked_sum[]":             {"name", "unit", "value"},
	"cases[].left_out[]":               {"at_mm", "mpa", "why"},
	"stiffness_at[]":                   {"at_mm", "plate_mass_kg", "stiffness_n_mm_rad", "supports", "to"},
	"stiffness_between[]":              {"at_mm", "directions", "from", "plate_mass_kg", "stiffness_n_mm_rad", "to"},
	"stiffness_between[].directions[]": {"name", "unit", "value"},
	"natural_frequencies[]":            {"frequencies_hz", "state", "(supports)"},
	"sweep":                            {"from", "length_mm", "stations", "to", "weakest_ei_at_mm", "weakest_gj_at_mm"},
	"sweep.stations[]":                 {"at_mm", "bounds", "ei_in_plane_n_mm2", "ei_out_of_plane_n_mm2", "gj_n_mm2", "pieces", "s_mm"},
	"cases[].band[]":                   {"fixed", "hinged", "name", "unit"},
	"cases[].energy[]":                 {"(at_mm)", "(cell)", "energy_n_mm", "kind", "owner", "(rib)"},
	"cases[].joints[]": {
		"at_mm", "(capacity)", "check", "demand", "inputs", "joint", "(lower_bound)", "(not_assessed)", "of", "(reserve_factor)", "(setting)", "source", "unit",
	},
	"cases[].joints[].inputs[]":        {"name", "unit", "value"},
	"cases[].stiffness[]":              {"name", "unit", "value"},
	"cases[].reactions[]":              {"at_mm", "force_n", "moment_n_mm", "support"},
	"quote":                            {"batches", "currency", "example_rates", "valid_days"},
	"quote.batches[]":                  {"lines", "piece_price", "piece_price_high", "piece_price_low", "quantity", "total"},
	"quote.batches[].lines[]":          {"amount", "inputs", "name", "sum"},
	"quote.batches[].lines[].inputs[]": {"from", "name", "(unit)", "value"},
	"machining": {
		"calibrated_by_jobs", "cutting_min", "cycle_high_min", "cycle_low_min", "cycle_min", "floor_to_floor_min", "operations",
		"other_machine_min", "rapid_min", "removed_mm3", "setup_min", "tool_change_min",
	},
	"machining.operations[]": {
		"cutting_min", "limited_by", "name", "path_mm", "rapid_min", "removed_mm3", "setup", "tool", "total_min", "where",
	},
	"findings[]": {"code", "(feature)", "fix", "level", "source", "what", "(where_mm)", "why"},
	"targets[]":  {"met", "name", "quantity", "sense", "target", "unit", "value"},
	"baseline":   {"changes", "revision"},
	// A figure that only one of the two states has stands on its side alone.
	"baseline.changes[]": {"(from)", "name", "(to)", "unit"},
}

// unitless are the keys whose numbers are a count, a ratio, or in the unit that stands beside them.
var unitless = []string{"pieces", "setup", "calibrated_by_jobs", "buy_to_fly", "target", "value", "from", "to", "quantity", "valid_days", "backward_error", "factor", "imbalance", "reserve_factor", "mpa", "demand", "capacity", "of", "cell", "condition_estimate", "hinged", "fixed", "elements", "nodes", "elements_below_asked", "elements_for_stresses"}

// units are the endings that name a unit.
var units = []string{"_kg", "_mm", "_mm2", "_mm3", "_mm4", "_mm6", "_mpa", "_percent", "_n_mm", "_kg_m3", "_kg_mm2", "_n", "_n_mm2", "_min", "_deg", "_rad", "_hz"}

func TestJSONKeys(t *testing.T) {
	eachSample(t, func(t *testing.T, file string) {
		stdout := reported(t, file)
		seen := map[string]bool{}
		checkKeys(t, "", decode(t, stdout), seen)
		for _, part := range []string{"", "mass", "mass.inertia_kg_mm2", "sections[]", "machining", "machining.operations[]", "targets[]", "quote", "quote.batches[].lines[]"} {
			if !seen[part] {
				t.Errorf("the report has no %q", part)
			}
		}
	})
}

// The keys of what is computed on request.
func TestJSONKeysOnRequest(t *testing.T) {
	if testing.Short() {
		t.Skip("the analysis is slow under the race detector")
	}
	file := filepath.Join(t.TempDir(), "side.plate")
	if code, _, stderr := run("", "samples", "cargo-trike-side-plate", "-o", file); code != 0 {
		t.Fatal(stderr)
	}
	seen := map[string]bool{}
	for _, args := range [][]string{
		{"stress", file, "--json", "--at", "Axle", "--between", "Axle:Bed pivot", "--frequencies", "2", "--energy", "--band"},
		{"section", file, "--json", "--sweep", "Axle:Bed pivot", "--stations", "3"},
	} {
		code, stdout, stderr := run("", args...)
		if code != 0 {
			t.Fatal(stderr)
		}
		for part, v := range decode(t, stdout).(map[string]any) {
			switch v := v.(type) {
			case []any:
				for _, one := range v {
					checkKeys(t, part+"[]", one, seen)
				}
			case map[string]any:
				checkKeys(t, part, v, seen)
			}
		}
	}
	for _, part := range []string{"stiffness_at[]", "stiffness_between[].directions[]", "natural_frequencies[]", "sweep.stations[]", "cases[].energy[]", "cases[].band[]", "mesh"} {
		if !seen[part] {
			t.Errorf("there is no %q", part)
		}
	}
}

// The baseline's keys, from two plates that differ.
func TestJSONKeysOfBaseline(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a.plate"), filepath.Join(dir, "b.plate")
	for file, t2 := range map[string]string{a: "10", b: "12"} {
		if code, _, stderr := run("", "new", "--thickness", t2, "-o", file); code != 0 {
			t.Fatal(stderr)
		}
	}
	_, stdout, _ := run("", "report", a, "--baseline", b, "--json")
	got := decode(t, stdout).(map[string]any)
	base, ok := got["baseline"]
	if !ok {
		t.Fatalf("no baseline in %s", stdout)
	}
	seen := map[string]bool{}
	checkKeys(t, "baseline", base, seen)
	if !seen["baseline.changes[]"] {
		t.Error("two plates of another thickness have no changes")
	}
}

func decode(t *testing.T, s string) any {
	t.Helper()
	var v any
	if err := json.Unmarshal([]byte(s), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// checkKeys compares the keys of every object with wantKeys, and wants a unit in the name of every number.
func checkKeys(t *testing.T, path string, v any, seen map[string]bool) {
	t.Helper()
	switch v := v.(type) {
	case map[string]any:
		seen[path] = true
		want, ok := wantKeys[path]
		if !ok {
			t.Errorf("an object at %q, where none is expected", path)
			return
		}
		var keys []string
		for _, k := range want {
			k, optional := strings.CutPrefix(strings.TrimSuffix(k, ")"), "(")
			if _, ok := v[k]; ok || !optional {
				keys = append(keys, k)
			}
		}
		slices.Sort(keys)
		if diff := cmp.Diff(keys, slices.Sorted(maps.Keys(v))); diff != "" {
			t.Errorf("keys of %q (-want +got):\n%s", path, diff)
		}
		for k, child := range v {
			if hasNumbers(child) && !slices.Contains(unitless, k) &&
				!slices.ContainsFunc(units, func(u string) bool { return strings.HasSuffix(k, u) }) && !strings.HasSuffix(path, "inertia_kg_mm2") {
				t.Errorf("the number at %q names no unit", path+"."+k)
			}
			checkKeys(t, strings.TrimPrefix(path+"."+k, "."), child, seen)
		}
	case []any:
		for _, e := range v {
			checkKeys(t, path+"[]", e, seen)
		}
	case nil:
		t.Errorf("null at %q: what is absent is left out", path)
	}
}

func hasNumbers(v any) bool {
	switch v := v.(type) {
	case float64:
		return true
	case []any:
		return len(v) > 0 && hasNumbers(v[0])
	}
	return false
}

// The figures of a report agree with each other.
func TestFiguresAgree(t *testing.T) {
	eachSample(t, func(t *testing.T, file string) {
		stdout := reported(t, file)
		var r struct {
			Mass struct {
				Mass    float64    `json:"mass_kg"`
				Volume  float64    `json:"volume_mm3"`
				Density float64    `json:"density_kg_m3"`
				Center  [3]float64 `json:"centroid_mm"`
				Inertia struct{ XX, YY, ZZ float64 }
				Blank   float64 `json:"blank_mass_kg"`
				Removed float64 `json:"removed_mm3"`
				Fly     float64 `json:"buy_to_fly"`
			}
			Sections []struct {
				Area float64 `json:"area_mm2"`
				ISS  float64 `json:"i_ss_mm4"`
				IZZ  float64 `json:"i_zz_mm4"`
				ISZ  float64 `json:"i_sz_mm4"`
				I1   float64 `json:"i_1_mm4"`
				I2   float64 `json:"i_2_mm4"`
				EA   float64 `json:"ea_n"`
				EISS float64 `json:"ei_ss_n_mm2"`
			}
			Machining struct {
				Cycle      float64 `json:"cycle_min"`
				Low        float64 `json:"cycle_low_min"`
				High       float64 `json:"cycle_high_min"`
				Floor      float64 `json:"floor_to_floor_min"`
				Cutting    float64 `json:"cutting_min"`
				Rapid      float64 `json:"rapid_min"`
				ToolChange float64 `json:"tool_change_min"`
				Other      float64 `json:"other_machine_min"`
				Removed    float64 `json:"removed_mm3"`
				Operations []struct {
					Removed float64 `json:"removed_mm3"`
					Cutting float64 `json:"cutting_min"`
					Where   string
				}
			}
		}
		if err := json.Unmarshal([]byte(stdout), &r); err != nil {
			t.Fatal(err)
		}
		m, p := r.Mass, r.Machining
		near(t, "mass = volume · density", m.Mass, m.Volume*m.Density*1e-9, 1e-12)
		near(t, "buy to fly = blank ÷ plate", m.Fly, m.Blank/m.Mass, 1e-12)
		near(t, "blank − plate = removed", m.Blank-m.Mass, m.Removed*m.Density*1e-9, 1e-9)
		near(t, "machining removes what mass says", p.Removed, m.Removed, 1e-6)
		near(t, "cycle is the sum of its four", p.Cycle, p.Cutting+p.Rapid+p.ToolChange+p.Other, 1e-9)
		var removed, cutting float64
		for _, o := range p.Operations {
			removed += o.Removed
			if o.Where == "machine" {
				cutting += o.Cutting
			}
		}
		near(t, "operations remove it all", removed, m.Removed, 1e-6)
		near(t, "operations cut all the time", cutting, p.Cutting, 1e-9)
		if !(p.Low < p.Cycle && p.Cycle < p.High && p.Cycle < p.Floor) {
			t.Errorf("low %v, cycle %v, high %v, floor to floor %v are not in order", p.Low, p.Cycle, p.High, p.Floor)
		}
		// A plate is nearly flat: the perpendicular axis theorem holds but for its thickness, Izz ≤ Ixx + Iyy always.
		if m.Inertia.ZZ > m.Inertia.XX+m.Inertia.YY {
			t.Errorf("inertia zz %v is more than xx + yy = %v", m.Inertia.ZZ, m.Inertia.XX+m.Inertia.YY)
		}
		for i, s := range r.Sections {
			near(t, fmt.Sprintf("section %d: I1 + I2 = Iss + Izz", i), s.I1+s.I2, s.ISS+s.IZZ, 1e-9)
			near(t, fmt.Sprintf("section %d: I1 · I2 = Iss · Izz − Isz²", i), s.I1*s.I2, s.ISS*s.IZZ-s.ISZ*s.ISZ, 1e-9)
			near(t, fmt.Sprintf("section %d: EI ÷ EA = I ÷ A", i), s.EISS/s.EA, s.ISS/s.Area, 1e-9)
		}
	})
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v and %v", what, got, want)
	}
}

// A part printed alone is the same as in the whole report.
func TestPartsAreThoseOfTheReport(t *testing.T) {
	eachSample(t, func(t *testing.T, file string) {
		stdout := reported(t, file)
		whole := decode(t, stdout).(map[string]any)
		for command, part := range map[string]string{"mass": "mass", "section": "sections", "time": "machining", "check": "findings"} {
			_, stdout, _ := run("", command, file, "--json")
			alone := decode(t, stdout).(map[string]any)
			for _, key := range []string{"format", "program_version", "name", "revision", "profile_hash", part} {
				if diff := cmp.Diff(whole[key], alone[key]); diff != "" {
					t.Errorf("%s: %s differs from that of the report (-report +alone):\n%s", command, key, diff)
				}
			}
			for key := range alone {
				if !slices.Contains([]string{"format", "program_version", "name", "revision", "profile_hash", "findings", part}, key) {
					t.Errorf("%s prints %q, which is not its part", command, key)
				}
			}
		}
	})
}
