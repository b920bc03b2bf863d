package cli_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// wrongDocuments are wrong in one way each: the text is that of base.plate with one part replaced. Want is what the first
// message, or a finding, must say.
var wrongDocuments = []struct {
	name, old, replacement, want string
}{
	{"newer version", `"version": 1`, `"version": 2`, "newer version"},
	{"version zero", `"version": 1`, `"version": 0`, "version"},
	{"version as text", `"version": 1`, `"version": "1"`, "version"},
	{"another format", `"platewright-plate"`, `"drawing"`, "platewright-plate"},
	{"unknown key", `"rim_mm"`, `"rimm_mm"`, "rim_mm"},
	{"key in another case", `"rim_mm"`, `"Rim_mm"`, "Rim_mm"},
	{"key of another unit", `"rim_mm"`, `"rim_in"`, "rim_in"},
	{"doubled key", `"rim_mm": 7`, `"rim_mm": 7, "rim_mm": 8`, "twice"},
	{"text for a number", `"rim_mm": 7`, `"rim_mm": "7"`, "rim_mm"},
	{"NaN as text", `"rim_mm": 7`, `"rim_mm": "NaN"`, "rim_mm"},
	{"NaN", `"rim_mm": 7`, `"rim_mm": NaN`, "NaN"},
	{"number out of range", `"rim_mm": 7`, `"rim_mm": 1e999`, "rim_mm"},
	{"null", `"rim_mm": 7`, `"rim_mm": null`, "rim_mm"},
	{"negative rim", `"rim_mm": 7`, `"rim_mm": -7`, "rim"},
	{"reserved key", `"rim_mm": 7`, `"rim_mm": 7, "sheet": []`, "not in this version yet"},
	{"loads that are a word", `"rim_mm": 7`, `"rim_mm": 7, "loads": "many"`, "loads"},
	{"outline wrapped round nothing", `"kind": "drawn"`, `"kind": "wrapped"`, `"around" is missing`},
	{"kind of outline", `"kind": "drawn"`, `"kind": "guessed"`, "guessed"},
	{"reamed hole with a thread size", `"kind": "tapped"`, `"kind": "reamed"`, `"diameter_mm" is missing`},
	{"kind of hole", `"kind": "tapped"`, `"kind": "punched"`, "punched"},
	{"bore of no diameter", `"diameter_mm": 32`, `"diameter_mm": 0`, "diameter"},
	{"bore of negative diameter", `"diameter_mm": 32`, `"diameter_mm": -32`, "diameter"},
	{"coordinate beyond the drawing area", `"x_mm": 140`, `"x_mm": 1e9`, "5000"},
	{"doubled id", `"id": 2,`, `"id": 1,`, "id"},
	{"id beyond the next one", `"id": 2,`, `"id": 2000,`, "id"},
	{"doubled name", `"Front wheel"`, `"Rear wheel"`, "Rear wheel"},
	{"empty name", `"Front wheel"`, `""`, "name"},
	{"control character in a name", `"Front wheel"`, `"Front\u0007wheel"`, "name"},
	{"thread that does not exist", `"M4"`, `"M4711"`, "M4711"},
	{"reference to nothing", `"feature": 1`, `"feature": 99`, "99"},
	{"bolt circle without holes", `"count": 6`, `"count": 0`, "number of holes"},
	{"a million holes", `"count": 6`, `"count": 1000000`, "1"},
	{"half a hole", `"count": 6`, `"count": 6.5`, "count"},
	{"blind hole deeper than the plate", `"depth_mm": 6`, `"depth_mm": 60`, "deep in a plate"},
	{"turn axis", `"turn_axis": "y"`, `"turn_axis": "z"`, "turn_axis"},
	{"shop that does not come with the program", `"shop": "example"`, `"shop": "our shop"`, "our shop"},
	{"no material", `"density_kg_m3": 2700`, `"density_kg_m3": 0`, "density"},
	{"text after the end", "\n}", "\n} {}", ""},
	{"byte order of another world", `{`, "\xff\xfe{", ""},
	{"bad UTF-8", `"Front wheel"`, "\"Front \xff wheel\"", "UTF-8"},
	{"comment", `"rim_mm": 7`, `/* rim */ "rim_mm": 7`, ""},
	{"comma at the end", "\n}", ",\n}", ""},
}

// baseDocument is a plate without errors, which the wrong ones are made from.
func baseDocument(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/cli/documents/base.plate")
	if err != nil {
		t.Fatal(err)
	}
	if code, _, stderr := run(string(data), "check", "-"); code != 0 {
		t.Fatalf("the base has errors: %s", stderr)
	}
	return string(data)
}

// Each of them gives exit code 1, one line for each problem that begins with program and file, and a JSON object with
// findings and no figures; nothing panics and no file is written.
func TestWrongDocuments(t *testing.T) {
	base := baseDocument(t)
	for _, tt := range wrongDocuments {
		t.Run(tt.name, func(t *testing.T) {
			text := replaceLast(base, tt.old, tt.replacement)
			if text == base {
				t.Fatalf("the base has no %q", tt.old)
			}
			checkWrong(t, text, tt.want)
		})
	}
	for name, text := range map[string]string{
		"empty": "", "white space": " \n", "null": "null", "list": "[]", "number": "1", "binary": "\x00\x01\x02",
		"deep":     strings.Repeat("[", 1<<20),
		"many":     `{"format":"platewright-plate","version":1,"ribs":[` + strings.Repeat("{},", 1_000_000) + "{}]}",
		"long key": `{"` + strings.Repeat("k", 1<<20) + `":1}`,
	} {
		t.Run(name, func(t *testing.T) { checkWrong(t, text, "") })
	}
}

// The wrong files of the document's own tests fail through the command line too.
func TestWrongFiles(t *testing.T) {
	files, err := filepath.Glob("../../testdata/plate/bad/*.plate")
	if err != nil || len(files) < 25 {
		t.Fatalf("%d wrong files, error %v", len(files), err)
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			checkReport(t, string(data), "")
		})
	}
}

// replaceLast replaces the last occurrence at the end of a text, or else the first: most parts stand once.
func replaceLast(text, old, replacement string) string {
	if body, ok := strings.CutSuffix(strings.TrimSpace(text), old); ok {
		return body + replacement
	}
	return strings.Replace(text, old, replacement, 1)
}

// checkReport wants that the report of a document fails as it should, and returns the file that the document is in.
func checkReport(t *testing.T, text, want string) (file string) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "wrong.plate")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	code, stdout, stderr := run("", "report", file, "--json")
	if code != 1 {
		t.Errorf("exit code %d, want 1", code)
	}
	var r struct {
		Format    string
		Mass      any
		Machining any
		Findings  []struct{ Level, What, Why, Source string }
	}
	if err := json.Unmarshal([]byte(stdout), &r); err != nil {
		t.Fatalf("standard output is not one JSON value: %v", err)
	}
	if r.Format != "platewright-report/1" || r.Mass != nil || r.Machining != nil || len(r.Findings) == 0 || r.Findings[0].Level != "error" {
		t.Errorf("the object has format %q, mass %v, machining %v, findings %v", r.Format, r.Mass, r.Machining, r.Findings)
	}
	said := stderr
	for _, f := range r.Findings {
		said += f.What + "\n"
	}
	if !strings.Contains(strings.ToLower(said), strings.ToLower(want)) {
		t.Errorf("nothing says %q:\n%.2000s", want, said)
	}
	for line := range strings.Lines(stderr) {
		if !strings.HasPrefix(line, "platewright: "+file+":") {
			t.Errorf("a line that does not begin with program and file: %.200q", line)
		}
	}
	if len(stderr) > 100_000 {
		t.Errorf("%d bytes of messages", len(stderr))
	}
	return file
}

// checkWrong is checkReport for every command that reads a document.
func checkWrong(t *testing.T, text, want string) {
	t.Helper()
	file := checkReport(t, text, want)
	dir := filepath.Dir(file)
	for _, args := range [][]string{
		{"mass", file},
		{"check", file},
		{"dxf", file, "-o", filepath.Join(dir, "out.dxf")},
		{"picture", file, "-o", filepath.Join(dir, "out.png")},
		{"time", file, "-o", filepath.Join(dir, "out.csv")},
	} {
		if code, _, _ := run("", args...); code != 1 {
			t.Errorf("%s: exit code %d, want 1", args[0], code)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) != 1 {
		t.Errorf("files were written: %v", left)
	}
}

// Damaged bytes of a document never end in anything but exit code 0 or 1, and never in a panic.
func TestDamagedDocuments(t *testing.T) {
	base := baseDocument(t)
	rounds := 60
	if testing.Short() {
		rounds = 10
	}
	const seed = 11
	rng := rand.New(rand.NewPCG(seed, seed))
	line := regexp.MustCompile(`^platewright: standard input(:\d+:\d+)?: `)
	for round := range rounds {
		data := append([]byte(nil), base...)
		switch rng.IntN(3) {
		case 0:
			data = data[:rng.IntN(len(data))]
		case 1:
			data[rng.IntN(len(data))] = byte(rng.IntN(256))
		default: // another digit: often a document that reads well and means something else
			i := rng.IntN(len(data))
			for ; data[i] < '0' || data[i] > '9'; i = (i + 1) % len(data) {
			}
			data[i] = byte('0' + rng.IntN(10))
		}
		what := fmt.Sprintf("seed %d, round %d", seed, round)
		code, stdout, stderr := run(string(data), "report", "-", "--json")
		if code != 0 && code != 1 {
			t.Errorf("%s: exit code %d", what, code)
		}
		if !json.Valid([]byte(stdout)) {
			t.Errorf("%s: standard output is not JSON", what)
		}
		for l := range strings.Lines(stderr) {
			if !line.MatchString(l) {
				t.Errorf("%s: message %q", what, l)
			}
		}
	}
}
