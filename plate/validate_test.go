package plate_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
)

// wrong is one change of the full plate and the finding that must follow.
type wrong struct {
	name    string
	change  func(*plate.Plate)
	code    string
	what    string // part of What
	feature plate.ID
	stage   string
}

func wrongs() []wrong {
	long := strings.Repeat("n", 81)
	return []wrong{
		{"plate's name empty", func(p *plate.Plate) { p.Name = "" }, "name-empty", "the name of the plate is empty", 0, "outline"},
		{"name too long", func(p *plate.Plate) { p.Bores[0].Name = long }, "name-long", "81 characters", 7, "bores"},
		{"name not UTF-8", func(p *plate.Plate) { p.Holes[0].Name = "\xff" }, "name-letters", "not UTF-8", 11, "holes"},
		{"line break in name", func(p *plate.Plate) { p.Ribs[0].Name = "a\nb" }, "name-letters", "cannot be printed", 30, "ribs"},
		{"invisible letter", func(p *plate.Plate) { p.Ribs[0].Name = "a\u200bb" }, "name-letters", "cannot be printed", 30, "ribs"},
		{"space at the end", func(p *plate.Plate) { p.Grids[0].Name = "Field " }, "name-space", "begins or ends with a space", 32, "ribs"},
		{"doubled across kinds", func(p *plate.Plate) { p.Targets[0].Name = "Spine" }, "name-doubled", `both named "Spine"`, 38, "targets"},
		{"note with a bell", func(p *plate.Plate) { p.Note = "\a" }, "text-letters", "the note", 0, "outline"},
		{"note too long", func(p *plate.Plate) { p.Note = strings.Repeat("x", 10_001) }, "text-long", "10001 characters", 0, "outline"},
		{"no alloy", func(p *plate.Plate) { p.Stock.Material.Alloy = "" }, "text-empty", "alloy", 0, "stock"},
		{"no shop", func(p *plate.Plate) { p.Machining.Shop = "" }, "text-empty", "shop profile's name", 0, "machining"},
		{"alloy with a space", func(p *plate.Plate) { p.Stock.Material.Alloy = " x" }, "text-space", "alloy", 0, "stock"},
		{"id zero", func(p *plate.Plate) { p.CutLines[0].ID = 0; p.Targets[1].CutLine = 0 }, "id-range", `cut line "Waist" has the id 0`, 0, "targets"},
		{"id negative", func(p *plate.Plate) { p.Bores[1].ID = -2; p.Ribs[0].To.Feature = -2 }, "id-range", "has the id -2", -2, "bores"},
		{"id doubled across kinds", func(p *plate.Plate) { p.Pockets[0].ID = 33 }, "id-doubled", `pocket "Top field" has the id 33, as has isogrid "Whole"`, 33, "pockets"},
		{"next id in use", func(p *plate.Plate) { p.NextID = 39 }, "next-id", "the next id is 39, but 39 is in use", 0, "outline"},
		{"next id zero", func(p *plate.Plate) { p.NextID = 0 }, "next-id", "the next id is 0", 0, "outline"},
		{"not a number", func(p *plate.Plate) { p.Bores[0].X = math.NaN() }, "number-not-finite", `x of the centre of bore "Front pivot" is NaN`, 7, "bores"},
		{"infinite", func(p *plate.Plate) { p.Stock.Nominal = math.Inf(1) }, "number-not-finite", "nominal thickness", 0, "stock"},
		{"too far out", func(p *plate.Plate) { p.CutLines[0].X1 = 5000.1 }, "number-range", "from -5000 to 5000 mm", 37, "targets"},
		{"no diameter", func(p *plate.Plate) { p.Bores[0].Diameter = 0 }, "number-range", "more than 0 mm", 7, "bores"},
		{"negative boss", func(p *plate.Plate) { p.Circles[0].Boss = -1 }, "number-range", "the boss's width", 20, "holes"},
		{"too thin", func(p *plate.Plate) { p.Stock.Finished = 0.4 }, "number-range", "from 0.5 to 200 mm", 0, "stock"},
		{"wide rim", func(p *plate.Plate) { p.Rim = 1001 }, "number-range", "rim", 0, "outline"},
		{"361 holes", func(p *plate.Plate) { p.Circles[0].Count = 361 }, "number-range", "from 1 to 360", 20, "holes"},
		{"no holes", func(p *plate.Plate) { p.Circles[0].Count = 0 }, "number-range", "the number of holes", 20, "holes"},
		{"fine pitch", func(p *plate.Plate) { p.Grids[0].Pitch, p.Grids[0].Width = 1.9, 1 }, "number-range", "the pitch", 32, "ribs"},
		{"sharp pocket", func(p *plate.Plate) { p.Pockets[0].Radius = 0 }, "number-range", "inside corner radius", 34, "pockets"},
		{"third triangle", func(p *plate.Plate) { p.Pockets[0].Kept[0].K = 2 }, "number-range", "k of kept cell 1", 34, "pockets"},
		{"Poisson's ratio", func(p *plate.Plate) { p.Stock.Material.Poisson = 0.51 }, "number-range", "Poisson", 0, "stock"},
		{"weightless", func(p *plate.Plate) { p.Stock.Material.Density = 0 }, "number-range", "density", 0, "stock"},
		{"target zero", func(p *plate.Plate) { p.Targets[0].Value = 0 }, "number-range", "the value", 38, "targets"},
		{"blank without width", func(p *plate.Plate) { p.Stock.Blank.Width = 0 }, "number-range", "blank's width", 0, "stock"},
		{"201 pockets", func(p *plate.Plate) { many(p, 201) }, "count", "201 pockets; at most 200", 0, "pockets"},
		{"too many holes in all", func(p *plate.Plate) { manyCircles(p) }, "count-total", "holes with those of circles", 0, "holes"},
		{"unknown face", func(p *plate.Plate) { p.Stock.Top = "sawn" }, "word", `the top face is "sawn"`, 0, "stock"},
		{"unknown axis", func(p *plate.Plate) { p.Machining.Turn = "z" }, "word", "turn axis", 0, "machining"},
		{"unknown quantity", func(p *plate.Plate) { p.Targets[0].Quantity = "price" }, "word", "quantity", 38, "targets"},
		{"unknown sense", func(p *plate.Plate) { p.Targets[0].Sense = "equal" }, "word", "sense", 38, "targets"},
		{"unknown hole", func(p *plate.Plate) { p.Holes[0].Kind = "punched" }, "word", `the kind of hole "Guard 1"`, 11, "holes"},
		{"unknown series", func(p *plate.Plate) { p.Holes[0].Series = "loose" }, "word", "series", 11, "holes"},
		{"unknown side", func(p *plate.Plate) { p.Pockets[0].Side = "" }, "word", "side", 34, "pockets"},
		{"weak", func(p *plate.Plate) { p.Stock.Material.Ultimate = 200 }, "material-strength", "below the proof stress", 0, "stock"},
		{"finished above nominal", func(p *plate.Plate) { p.Stock.Finished = 20.5 }, "thickness", "above the nominal", 0, "stock"},
		{"machined by nothing", func(p *plate.Plate) { p.Stock.Finished = 20 }, "thickness", "both 20 mm", 0, "stock"},
		{"thinner as supplied", func(p *plate.Plate) { p.Stock.Top = plate.AsSupplied }, "thickness", "both faces are as supplied", 0, "stock"},
		{"two corners", func(p *plate.Plate) { p.Outline.Corners = p.Outline.Corners[:2] }, "corners-few", "the outline has 2 corners", 0, "outline"},
		{"no outline", func(p *plate.Plate) { p.Outline.Corners = nil }, "corners-few", "the outline has 0 corners", 0, "outline"},
		{"one corner in a boundary", func(p *plate.Plate) { p.Pockets[2].Bounds = p.Pockets[2].Bounds[:1] }, "corners-few", `the boundary of pocket "Window"`, 36, "pockets"},
		{"corner twice", func(p *plate.Plate) { p.Grids[0].Bounds[2] = p.Grids[0].Bounds[0] }, "corner-doubled", "corners 3 and 1", 32, "ribs"},
		{"size", func(p *plate.Plate) { p.Circles[1].Size = "M30" }, "hole-size", `"M30" of bolt circle "Cover"`, 21, "holes"},
		{"blind clearance", func(p *plate.Plate) { p.Holes[0].Side = plate.Top }, "hole-blind", "does not go through", 11, "holes"},
		{"clearance with depth", func(p *plate.Plate) { p.Holes[0].Depth = 5 }, "hole-blind", "does not go through", 11, "holes"},
		{"tapped with series", func(p *plate.Plate) { p.Holes[1].Series = plate.Fine }, "hole-series", "is tapped but has the series", 12, "holes"},
		{"through with depth", func(p *plate.Plate) { p.Holes[1].Depth = 5 }, "hole-depth", "goes through but has the thread depth", 12, "holes"},
		{"blind without depth", func(p *plate.Plate) { p.Holes[2].Depth = 0 }, "hole-depth", "is blind but has no thread depth", 13, "holes"},
		{"blind as deep as the plate", func(p *plate.Plate) { p.Holes[2].Depth = 18.5 }, "hole-deep", "18.5 mm deep in a plate of 18.5 mm", 13, "holes"},
		{"circle about nothing", func(p *plate.Plate) { p.Circles[0].Bore = 99 }, "reference", "the feature 99, which does not exist", 20, "holes"},
		{"circle about a hole", func(p *plate.Plate) { p.Circles[0].Bore = 11 }, "reference", `is hole "Guard 1", not a bore`, 20, "holes"},
		{"rib to a grid", func(p *plate.Plate) { p.Ribs[0].To.Feature = 32 }, "reference", "not a bore, hole or slot", 30, "ribs"},
		{"pocket divided by a bore", func(p *plate.Plate) { p.Pockets[1].Ribs[0] = 7 }, "reference", "not a rib or rib field", 35, "pockets"},
		{"pocket divided twice", func(p *plate.Plate) { p.Pockets[1].Ribs[0] = 33 }, "reference-doubled", "twice", 35, "pockets"},
		{"cell of no grid", func(p *plate.Plate) { p.Pockets[0].Kept[0].Grid = 30 }, "reference", `kept cell 1 of pocket "Top field" is rib "Spine"`, 34, "pockets"},
		{"target at a rib", func(p *plate.Plate) { p.Targets[1].CutLine = 30 }, "reference", "not a cut line", 39, "targets"},
		{"rib without length", func(p *plate.Plate) { p.Ribs[1].To = p.Ribs[1].From }, "rib-short", "are at one place", 31, "ribs"},
		{"rib from bore to itself", func(p *plate.Plate) { p.Ribs[0].To = p.Ribs[0].From }, "rib-short", "are at one place", 30, "ribs"},
		{"rib from bore to its centre", func(p *plate.Plate) { p.Ribs[0].To = plate.RibEnd{X: 40, Y: 60} }, "rib-short", "are at one place", 30, "ribs"},
		{"grid all ribs", func(p *plate.Plate) { p.Grids[0].Width = 40 }, "grid-pitch", "40 mm wide at a pitch of 40 mm", 32, "ribs"},
		{"grid too dense", func(p *plate.Plate) { p.Grids[1].Pitch, p.Grids[1].Width = 2, 1 }, "grid-dense", "cells", 0, "ribs"},
		{"pocket deeper", func(p *plate.Plate) { p.Pockets[0].Depth = 18.6 }, "pocket-deep", "18.6 mm deep in a plate of 18.5 mm", 34, "pockets"},
		{"pocket exactly through", func(p *plate.Plate) { p.Pockets[0].Depth = 18.5 }, "pocket-deep", "exactly the thickness", 34, "pockets"},
		{"pocket without depth", func(p *plate.Plate) { p.Pockets[0].Depth = 0 }, "pocket-depth", "has no depth", 34, "pockets"},
		{"window with depth", func(p *plate.Plate) { p.Pockets[2].Depth = 3 }, "pocket-depth", "goes through but has the depth", 36, "pockets"},
		{"cut line without length", func(p *plate.Plate) { p.CutLines[0].Y2 = -20 }, "cut-line-short", "are at one place", 37, "targets"},
		{"stiffness without a line", func(p *plate.Plate) { p.Targets[1].CutLine = 0 }, "target-cut-line", "names no cut line", 39, "targets"},
		{"mass with a line", func(p *plate.Plate) { p.Targets[0].CutLine = 37 }, "target-cut-line", "but names a cut line", 38, "targets"},
		{"hash", func(p *plate.Plate) { p.Machining.ShopHash = "abc" }, "shop-hash", "64 hexadecimal digits", 0, "machining"},
	}
}

func many(p *plate.Plate, n int) {
	for i := len(p.Pockets); i < n; i++ {
		p.Pockets = append(p.Pockets, plate.Pocket{ID: p.NextID, Name: fmt.Sprint("P", i), Side: plate.Top, Depth: 3, Radius: 3, AllRibs: true})
		p.NextID++
	}
}

func manyCircles(p *plate.Plate) {
	for i := range 60 {
		c := p.Circles[1]
		c.ID, c.Name, c.Count = p.NextID, fmt.Sprint("C", i), 360
		p.Circles = append(p.Circles, c)
		p.NextID++
	}
}

func TestValidate(t *testing.T) { findsWrongs(t, full, wrongs()) }

// findsWrongs changes a valid document in each of the ways, and looks for the finding that must follow.
func findsWrongs(t *testing.T, document func(testing.TB) plate.Plate, ws []wrong) {
	t.Helper()
	for _, w := range ws {
		p := document(t)
		w.change(&p)
		fs := p.Validate()
		i := slices.IndexFunc(fs, func(f finding.Finding) bool { return f.Code == w.code && strings.Contains(f.What, w.what) })
		if i < 0 {
			t.Errorf("%s: %v; want %s: …%s…", w.name, fs, w.code, w.what)
			continue
		}
		f := fs[i]
		if f.Level != finding.Error || f.Feature != int64(w.feature) || f.Stage != w.stage || f.Why == "" || f.Fix == "" || f.Source == "" {
			t.Errorf("%s: %+v; want an error of feature %d in stage %s with why, fix and source", w.name, f, w.feature, w.stage)
		}
		if ref, ok := p.Find(w.feature); ok && ref.Name != "" && !strings.Contains(f.What, fmt.Sprintf("%q", ref.Name)) && !strings.Contains(f.What, ref.Name) {
			t.Errorf("%s: %q does not name %v", w.name, f.What, ref)
		}
		if len(fs) > 5 && w.code != "count" { // a thickness concerns every depth; a list beyond its limit may be wrong all over
			t.Errorf("%s: %d findings for one mistake: %v", w.name, len(fs), fs)
		}
	}
}

// TestEveryCodeIsTested reads the codes out of the sources: each stands in the table above.
func TestEveryCodeIsTested(t *testing.T) {
	tested := make(map[string]bool)
	for _, w := range append(append(wrongs(), formWrongs()...), loadWrongs()...) {
		tested[w.code] = true
	}
	tested["mirror-line"], tested["mirror-side"] = true, true // in TestValidateHalf
	found := 0
	code := regexp.MustCompile(`report\([^"]*"([a-z]+(?:-[a-z]+)*)"|\{"(count[a-z-]*)", Stage|code\+"(-[a-z]+)"`)
	for _, name := range []string{
		"validate.go", "validatecounts.go", "validatefields.go", "validateholes.go", "validateloads.go", "validateoutline.go",
	} {
		src, err := os.ReadFile(filepath.Join(".", name))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range code.FindAllStringSubmatch(string(src), -1) {
			found++
			switch {
			case m[3] != "": // a suffix of "name" and of "text"
				if !tested["name"+m[3]] || !tested["text"+m[3]] && m[3] != "-empty" && m[3] != "-letters" {
					t.Errorf("name%s or text%s is not tested", m[3], m[3])
				}
			case !tested[m[1]+m[2]]:
				t.Errorf("the code %q is not tested", m[1]+m[2])
			}
		}
	}
	if found < 90 {
		t.Errorf("only %d codes found in the sources", found)
	}
}

// TestValidateIsDeterministic: the order of the list does not depend on the run.
func TestValidateIsDeterministic(t *testing.T) {
	p := full(t)
	for _, w := range wrongs() {
		w.change(&p)
	}
	want := fmt.Sprint(p.Validate())
	for range 20 {
		if got := fmt.Sprint(p.Validate()); got != want {
			t.Fatalf("two orders:\n%s\n%s", got, want)
		}
	}
}

// TestValidateHolds: no document, however wrong, is a panic or unbounded work.
func TestValidateHolds(t *testing.T) {
	if fs := (plate.Plate{}).Validate(); finding.Count(fs, finding.Error) == 0 {
		t.Error("the zero value is valid")
	}
	ws := wrongs()
	rng := random(2)
	for range 500 {
		p := full(t)
		for range 1 + rng.IntN(6) {
			func() {
				defer func() { _ = recover() }() // a change may not fit after another, which shortened a list
				ws[rng.IntN(len(ws))].change(&p)
			}()
		}
		for _, f := range p.Validate() {
			if f.What == "" || f.Fix == "" || f.Level != finding.Error {
				t.Fatalf("a finding says nothing: %+v", f)
			}
		}
	}
}

func TestFindingPlaces(t *testing.T) {
	nowhere := full(t)
	nowhere.Holes[0].X, nowhere.Holes[0].Size = math.NaN(), "M9"
	for _, f := range nowhere.Validate() {
		if f.HasWhere || f.Where != [2]float64{} {
			t.Errorf("%s lies at %v", f.What, f.Where)
		}
	}
	p := full(t)
	p.Bores[0].Diameter = -1
	p.Circles[0].Count = 0 // stands about the same bore
	for _, f := range p.Validate() {
		if !f.HasWhere || f.Where != [2]float64{40, 60} {
			t.Errorf("%s lies at %v, %v; want (40, 60)", f.What, f.Where, f.HasWhere)
		}
	}
}
