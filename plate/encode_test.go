package plate_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"platewright/plate"
	"platewright/plate/finding"
)

func TestNewIsValid(t *testing.T) {
	for _, name := range []string{"", "Rocker"} {
		p := plate.New(name)
		if fs := p.Validate(); len(fs) != 0 {
			t.Errorf("New(%q).Validate() = %v, want nothing", name, fs)
		}
		if q := decode(t, encode(t, p)); !cmp.Equal(p, q) {
			t.Errorf("New(%q) read back differs:\n%s", name, cmp.Diff(p, q))
		}
	}
	if got := plate.New("").Name; got != "Plate" {
		t.Errorf("name of a new plate without one is %q", got)
	}
}

// documents are the valid documents of the tests; together they have every form and value.
func documents(t testing.TB) []plate.Plate {
	return []plate.Plate{full(t), forms(t), half(t), contour(t)}
}

func TestDocumentsAreValidAndReadBack(t *testing.T) {
	for _, p := range documents(t) {
		readsBack(t, p)
	}
}

func readsBack(t *testing.T, p plate.Plate) {
	if fs := p.Validate(); len(fs) != 0 {
		t.Errorf("%s: Validate() = %v, want nothing", p.Name, fs)
	}
	data := encode(t, p)
	if q := decode(t, data); !cmp.Equal(p, q) {
		t.Errorf("read back differs:\n%s", cmp.Diff(p, q))
	}
	if !json.Valid(data) || data[len(data)-1] != '\n' {
		t.Error("not a JSON text with a newline at its end")
	}
	sum := sha256.Sum256(data)
	if got, want := plate.Revision(p), hex.EncodeToString(sum[:]); got != want {
		t.Errorf("Revision = %s, want %s", got, want)
	}
}

// TestRoundTrip reads every file ever shipped and writes it as the .out beside it. A .out reads back as itself.
func TestRoundTrip(t *testing.T) {
	for _, in := range files(t, "roundtrip/*.in") {
		p := decode(t, readFile(t, in))
		got := encode(t, p)
		out := strings.TrimSuffix(in, ".in") + ".out"
		if *update {
			if err := os.WriteFile(out, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(string(readFile(t, out)), string(got)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", in, diff)
		}
		if again := encode(t, decode(t, got)); !bytes.Equal(again, got) {
			t.Errorf("%s: written twice gives different bytes", in)
		}
		if fs := p.Validate(); len(fs) != 0 {
			t.Errorf("%s: Validate() = %v, want nothing", in, fs)
		}
	}
}

// TestEqualDocumentsEqualBytes writes documents that mean the same in different ways.
func TestEqualDocumentsEqualBytes(t *testing.T) {
	want := encode(t, full(t))
	for name, change := range map[string]func(*plate.Plate){
		"negative zero":        func(p *plate.Plate) { p.Grids[1].X = math.Copysign(0, -1) },
		"margin of fixed":      func(p *plate.Plate) { p.Stock.Blank.Margin = 5 },
		"place of a bound end": func(p *plate.Plate) { p.Ribs[0].From.X = 5 },
		"place of a bound one": func(p *plate.Plate) { p.Circles[0].Y = 5 },
		"list beside all":      func(p *plate.Plate) { p.Pockets[0].Ribs = []plate.ID{30} },
		"place of a triangle":  func(p *plate.Plate) { p.Pockets[0].Kept[0].X = 1 },
		"indices of a place":   func(p *plate.Plate) { p.Pockets[0].Kept[1].I = 1 },
		"point of no arc":      func(p *plate.Plate) { p.Outline.Corners[0].ThroughX = 1 },
		"empty, not nil":       func(p *plate.Plate) { p.Pockets[0].Bounds = p.Pockets[0].Bounds[:0:0] },
	} {
		p := full(t)
		change(&p)
		if got := encode(t, p); !bytes.Equal(got, want) {
			t.Errorf("%s changes the bytes:\n%s", name, cmp.Diff(string(want), string(got)))
		}
	}
	for name, change := range map[string]func(*plate.Plate){
		"last digit": func(p *plate.Plate) { p.Rim = math.Nextafter(p.Rim, 10) },
		"name":       func(p *plate.Plate) { p.Ribs[1].Name += "." },
		"order":      func(p *plate.Plate) { p.Bores[0], p.Bores[1] = p.Bores[1], p.Bores[0] },
		"next id":    func(p *plate.Plate) { p.NextID++ },
	} {
		p := full(t)
		change(&p)
		if bytes.Equal(encode(t, p), want) {
			t.Errorf("%s does not change the bytes", name)
		}
	}
}

// TestNumbersReadBackExactly sends numbers of all sizes through a file, angles among them: what was typed is what stays.
func TestNumbersReadBackExactly(t *testing.T) {
	rng := random(1)
	for range 700 {
		p := full(t)
		p.Bores[0].X = math.Ldexp(rng.Float64()-0.5, rng.IntN(80)-60)
		p.Circles[0].StartDeg = math.Round(rng.Float64()*36000) / 100
		p.Grids[0].AngleDeg = rng.Float64()*720 - 360
		p.Targets[1].Value = math.Ldexp(1+rng.Float64(), rng.IntN(1000)-500)
		q := decode(t, encode(t, p))
		if !cmp.Equal(p, q) {
			t.Fatalf("read back differs:\n%s", cmp.Diff(p, q))
		}
	}
}

// TestEncodeRefuses names the number that no file can hold, for every number of a document.
func TestEncodeRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for name, change := range map[string]func(*plate.Plate){
			`x of the centre of bore "Front pivot"`:                    func(p *plate.Plate) { p.Bores[0].X = v },
			`the diameter of bolt circle "Cover"`:                      func(p *plate.Plate) { p.Circles[1].Diameter = v },
			`y of the arc's point after outline corner 3 of the plate`: func(p *plate.Plate) { p.Outline.Corners[2].ThroughY = v },
			`the value of target "Light"`:                              func(p *plate.Plate) { p.Targets[0].Value = v },
			`y of kept cell 2 of pocket "Top field"`:                   func(p *plate.Plate) { p.Pockets[0].Kept[1].Y = v },
			`the density of the plate`:                                 func(p *plate.Plate) { p.Stock.Material.Density = v },
			`x of the work zero of the plate`:                          func(p *plate.Plate) { p.Machining.ZeroX = v },
			`x of boundary corner 3 of isogrid "Field"`:                func(p *plate.Plate) { p.Grids[0].Bounds[2].X = v },
			`y of the second end of cut line "Waist"`:                  func(p *plate.Plate) { p.CutLines[0].Y2 = v },
			`the thread depth of hole "Stop"`:                          func(p *plate.Plate) { p.Holes[2].Depth = v },
			`the inside corner radius of pocket "Window"`:              func(p *plate.Plate) { p.Pockets[2].Radius = v },
			`x of the first end of rib "Strut"`:                        func(p *plate.Plate) { p.Ribs[1].From.X = v },
			`the radius of boundary corner 1 of pocket "Window"`:       func(p *plate.Plate) { p.Pockets[2].Bounds[0].Radius = v },
			`x of the blank's lower left corner of the plate`:          func(p *plate.Plate) { p.Stock.Blank.X = v },
			`the rim's width of the plate`:                             func(p *plate.Plate) { p.Rim = v },
			`the first hole's angle of bolt circle "Flange"`:           func(p *plate.Plate) { p.Circles[0].StartDeg = v },
			`the finished thickness of the plate`:                      func(p *plate.Plate) { p.Stock.Finished = v },
			`the tolerance zone of bore "Rear pivot"`:                  func(p *plate.Plate) { p.Bores[1].Tolerance = v },
			`the rib width of isogrid "Whole"`:                         func(p *plate.Plate) { p.Grids[1].Width = v },
			`the least area of a cell of pocket "Bottom field"`:        func(p *plate.Plate) { p.Pockets[1].LeastArea = v },
		} {
			p := full(t)
			change(&p)
			data, err := plate.Encode(p)
			if err == nil || !strings.Contains(err.Error(), name) || data != nil {
				t.Errorf("Encode with %v: error %v, want one about %s", v, err, name)
			}
			if r := plate.Revision(p); r != "" {
				t.Errorf("Revision with %v for %s is %q, want none", v, name, r)
			}
			if finding.Count(p.Validate(), finding.Error) == 0 {
				t.Errorf("Validate with %v for %s reports nothing", v, name)
			}
		}
	}
	p := full(t)
	p.Bores[0].Name = "a\xff"
	if _, err := plate.Encode(p); err == nil || !strings.Contains(err.Error(), "not UTF-8") {
		t.Errorf("Encode of a name that is not UTF-8: %v", err)
	}
}

// TestEncodeTooLarge: what Decode would refuse for its size is not written.
func TestEncodeTooLarge(t *testing.T) {
	p := full(t)
	p.Note = strings.Repeat("x", 17<<20)
	if _, err := plate.Encode(p); err == nil || !strings.Contains(err.Error(), "at most") {
		t.Errorf("Encode of a document of 17 MiB: %v", err)
	}
}

// TestCloneSharesNothing changes every list of a copy.
func TestCloneSharesNothing(t *testing.T) {
	p := full(t)
	before := encode(t, p)
	q := p.Clone()
	if !cmp.Equal(p, q) {
		t.Fatalf("copy differs:\n%s", cmp.Diff(p, q))
	}
	q.Outline.Corners[0].X++
	q.Bores[0].X++
	q.Holes[0].X++
	q.Circles[0].Count++
	q.Ribs[0].Width++
	q.Grids[0].Pitch++
	q.Grids[0].Bounds[0].X++
	q.Pockets[0].Depth++
	q.Pockets[0].Kept[0].I++
	q.Pockets[1].Ribs[0]++
	q.Pockets[2].Bounds[0].X++
	q.CutLines[0].X1++
	q.Targets[0].Value++
	if after := encode(t, p); !bytes.Equal(before, after) {
		t.Errorf("the copy shares lists:\n%s", cmp.Diff(string(before), string(after)))
	}
	if z := (plate.Plate{}).Clone(); !cmp.Equal(z, plate.Plate{}, cmpopts.EquateEmpty()) {
		t.Error("copy of the zero value differs")
	}
}

// TestCloneSharesNoList looks at every list of every document, and of its copy, by its address.
func TestCloneSharesNoList(t *testing.T) {
	for _, p := range documents(t) {
		q, lists := p.Clone(), 0
		var walk func(path string, a, b reflect.Value)
		walk = func(path string, a, b reflect.Value) {
			switch a.Kind() {
			case reflect.Struct:
				for i := range a.NumField() {
					walk(path+"."+a.Type().Field(i).Name, a.Field(i), b.Field(i))
				}
			case reflect.Slice:
				if a.Len() > 0 {
					if lists++; a.Pointer() == b.Pointer() {
						t.Errorf("%s: the copy shares %s", p.Name, path)
					}
				}
				for i := range a.Len() {
					walk(path, a.Index(i), b.Index(i))
				}
			}
		}
		walk("Plate", reflect.ValueOf(p), reflect.ValueOf(q))
		t.Logf("%s: %d lists", p.Name, lists)
		if !cmp.Equal(p, q) || lists == 0 {
			t.Errorf("%s: the copy differs, or there is nothing to copy", p.Name)
		}
	}
}
