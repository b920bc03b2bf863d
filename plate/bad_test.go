package plate_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/plate"
)

// badFiles gives for each file of testdata/plate/bad what must be said about it: by Decode with line and column, or, where
// the file is well formed, by Validate with the code. A file that both accept fails the test.
var badFiles = map[string][]string{
	"type-text-for-number":    {`25:71: bores[0].diameter_mm: found the text "30" where a number should be`, "without quotes"},
	"type-nan-in-text":        {`26:39: bores[1].x_mm: found the text "NaN" where a number should be`},
	"type-bare-nan":           {`26:39: bores[1].x_mm: NaN is not a number`},
	"type-null-number":        {`35:63: grids[0].pitch_mm: found null where a number should be`},
	"type-number-for-text":    {`25:23: bores[0].name: found 7 where a text in quotes should be`},
	"type-list-for-object":    {`12:14: stock.blank: found a list where an object should be`},
	"type-object-for-list":    {`41:43: cut_lines[0].from_mm: found an object where two numbers [x, y] should be`},
	"type-true-for-number":    {`23:13: rim_mm: found true where a number should be`},
	"type-pair-of-three":      {`46:33: machining.work_zero_mm: found a list where two numbers [x, y] should be`},
	"id-fraction":             {`32:12: ribs[0].id: found 4.5 where an id, a whole number from 1, should be`},
	"id-zero":                 {`32:12: ribs[0].id: found 0 where an id`},
	"id-text":                 {`32:12: ribs[0].id: found the text "4" where a number should be`},
	"number-too-large":        {`26:39: bores[1].x_mm: the number 1e999 is out of range`},
	"number-leading-zero":     {`26:43: bores[1].x_mm: the number 0140 begins with a zero`},
	"number-plus":             {`26:39: bores[1].x_mm: found '+' where a value should be`},
	"key-unknown":             {`25:75: bores[0].bos_mm: the key "bos_mm" is not known here; did you mean "boss_mm"?`},
	"key-far":                 {`23:3: colour: the key "colour" is not known here; remove it`},
	"key-doubled":             {`26:75: bores[1].diameter_mm: the key "diameter_mm" stands twice`},
	"key-doubled-top":         {`29:3: holes: the key "holes" stands twice`},
	"key-other-case":          {`32:5: ribs[0]: the key "width_mm" is missing`, `32:78: ribs[0].Width_mm: the key "Width_mm" is not known here; did you mean "width_mm"?`},
	"key-inches":              {`25:5: bores[0]: the key "diameter_mm" is missing`, `bores[0].diameter_in: the key "diameter_in" is not known here; did you mean "diameter_mm"?`},
	"key-missing":             {`25:5: bores[0]: the key "diameter_mm" is missing`},
	"keys-missing-top":        {`2 problems`, `1:1: the key "name" is missing`, `1:1: the key "next_id" is missing`},
	"key-both-forms":          {`12:31: stock.blank.x_mm: the key "x_mm" is not known here`},
	"key-blank-empty":         {`12:14: stock.blank: empty; give "margin_mm", or`},
	"key-wrong-value-unit":    {`targets[0]: the key "value_kg" is missing`, `targets[0].value_min: the key "value_min" is not known here; did you mean "value_kg"?`},
	"reserved":                {`sheet: "sheet" is not in this version yet; remove it`},
	"seat-without-unit":       {`the key "diameter_mm" is missing`, `bores[0].seats[0].diameter: the key "diameter" is not known here; did you mean "diameter_mm"?`},
	"seat-through":            {`bores[0].seats[0].side: found the text "through" where one of "top", "bottom" should be`},
	"groove-of-no-width":      {`bores[0].seats[0].groove.width_mm: found 0 where a number above zero should be; for none leave out the object around it`},
	"fit-of-a-shaft":          {`fit-class: the fit of bore "Pivot" is "g6", not a class of a hole`, "write one like H7"},
	"hole-of-no-kind":         {`holes[0].kind: found the text "punched" where one of "clearance", "tapped", "reamed", "counterbored", "countersunk" should be`},
	"reamed-with-size":        {`holes[0].size: the key "size" is not known here`},
	"grid-of-no-kind":         {`grids[0].kind: found the text "hexagons" where one of "isogrid", "orthogrid"`},
	"spokes-with-pitch":       {`grids[0].pitch_mm: the key "pitch_mm" is not known here`},
	"pocket-both-one-depth":   {`pockets[0]: the key "depth_back_mm" is missing`},
	"cell-not-through":        {`pockets[0].depths[0].through: false; for a cell that does not go through give "depth_mm" instead`},
	"inlay-on-nothing":        {`reference: the pocket of inlay "Lid" is the feature 99, which does not exist`, "choose a pocket"},
	"setting-of-no-adjuster":  {`reference: adjuster 1 of setting "Low" is bore "Pivot", not a clocked ring, eccentric or slot`},
	"load-without-place":      {`loads[0]: the key "on" is missing`},
	"load-on-empty":           {`loads[0].on: empty; give "feature", or`},
	"force-of-two":            {`loads[0].force_n: found a list where a list of three numbers should be`},
	"origin-of-no-kind":       {`load_cases[0].origin.kind: found the text "guess" where one of "measured"`},
	"price-as-number":         {`price.bought_in: found 12.5 where a text in quotes should be`},
	"word-wrong":              {`38:44: pockets[0].side: found the text "left" where one of "top", "bottom", "through", "both" should be`},
	"newer-version":           {`3:14: version: this file is of version 3, made by a newer version of Platewright`, "Open it with the newer program"},
	"version-zero":            {`3:14: version: found 0`},
	"version-text":            {`3:14: version: found the text "1"; the version is a whole number`},
	"version-missing":         {`1:1: the key "version" is missing`},
	"format-other":            {`2:13: format: found the text "platewright-report/1"; a plate file says "platewright-plate"`},
	"format-missing":          {`1:1: the key "format" is missing`},
	"not-an-object":           {`1:1: found a list; a plate file is one JSON object`},
	"empty":                   {`1:1: the file is empty`},
	"not-json":                {`1:1: found 'P' where a value should be`},
	"truncated":               {`35:20: grids[0]: the file ends inside a text; it was cut off`},
	"truncated-in-text":       {`32:27: ribs[0].name: the file ends inside a text; it was cut off`},
	"trailing":                {`48:1: more text after the end of the document`},
	"trailing-comma":          {`45:3: targets: a comma before "]"`},
	"comment":                 {`23:16: found '/' where a key in double quotes should be`},
	"bad-utf8":                {`25:27: byte 0xf6 is not UTF-8 text; save the file as UTF-8`},
	"byte-order-mark":         {`1:1: the file starts with a byte order mark`},
	"half-surrogate":          {`25:33: bores[0].name: half of a surrogate pair`},
	"control-character":       {`25:27: bores[0].name: a control character (0x09) inside a text`},
	"bad-escape":              {`25:28: bores[0].name: found 'x' where a letter of an escape should be`},
	"nesting":                 {`1:70: note[0][0]`, `nested more than 16 deep`},
	"single-quotes":           {`25:23: bores[0].name: found a single quote; texts stand in double quotes`},
	"many-at-once":            {"5 problems", `23:3: rim: the key "rim" is not known here; did you mean "rim_mm"?`, `29:85: holes[0].size: found 6`, `32:12: ribs[0].id: found the text "4"`, `38:5: pockets[0]: the key "inside_corner_radius_mm" is missing`, `38:44: pockets[0].side: found the text "up"`},
	"number-out-of-range":     {`number-range: x of the centre of bore "Axle" is 14000 mm; it can be from -5000 to 5000 mm`},
	"pocket-too-deep":         {`pocket-deep: pocket "Top field" is 22 mm deep in a plate of 15 mm`, "make it through, or less than 15 mm deep"},
	"pocket-all-through":      {`pocket-deep: pocket "Top field" is 15 mm deep, exactly the thickness`, "make it through"},
	"names-doubled":           {`name-doubled: the bore and another bore are both named "Pivot"`, "rename one of them"},
	"name-empty":              {`name-empty: the name of bore "" is empty`},
	"name-unprintable":        {`name-letters: the name of bore "Ax\ale" has characters that cannot be printed`},
	"ids-doubled":             {`id-doubled: bore "Axle" has the id 1, as has bore "Pivot"`},
	"id-used-up":              {`next-id: the next id is 5, but 8 is in use`, "set next_id to 9 or more"},
	"reference-to-nothing":    {`reference: an end of rib "Spine" is the feature 99, which does not exist`, "choose a bore, hole or slot"},
	"reference-wrong-kind":    {`reference: an end of rib "Spine" is isogrid "Field", not a bore, hole or slot`},
	"hole-size-unknown":       {`hole-size: the size "M9" of hole "Guard" is not in the tables`, "choose one of M2, M2.5"},
	"hole-without-series":     {`word: the series of hole "Guard" is ""; it can be "fine", "medium", "coarse"`},
	"grid-too-fine":           {`grid-dense: the rib fields have about`, "widen the pitch"},
	"outline-two-corners":     {`corners-few: the outline has 2 corners`},
	"thicker-than-stock":      {`thickness: the finished thickness 16 mm is above the nominal 15 mm`},
	"target-without-cut-line": {`target-cut-line: target "Light" is on section stiffness but names no cut line`, "choose a cut line"},
}

// said is everything that Decode, or else Validate, says about a file.
func said(data []byte) string {
	p, err := plate.Decode(data)
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	for _, f := range p.Validate() {
		fmt.Fprintf(&b, "%s: %s; %s\n", f.Code, f.What, f.Fix)
	}
	return b.String()
}

func TestBadFiles(t *testing.T) {
	seen := make(map[string]bool)
	for _, file := range files(t, "bad/*.plate") {
		name := strings.TrimSuffix(filepath.Base(file), ".plate")
		seen[name] = true
		want, ok := badFiles[name]
		if !ok {
			t.Errorf("%s: nothing is expected of it; add it to the table", name)
			continue
		}
		got := said(readFile(t, file))
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: said\n%s\nwant %s", name, got, w)
			}
		}
		if n := strings.Count(strings.TrimSpace(got), "\n") + 1; n > 12 {
			t.Errorf("%s: %d lines for one mistake:\n%s", name, n, got)
		}
	}
	for name := range badFiles {
		if !seen[name] {
			t.Errorf("the file bad/%s.plate is missing", name)
		}
	}
	if got := said(readFile(t, filepath.Join(testdata, "good/base.plate"))); got != "" {
		t.Errorf("the file that the bad ones were made from is not good: %s", got)
	}
}

// TestMillionRibs: a list beyond the limit is one clear error, and reading stops there.
func TestMillionRibs(t *testing.T) {
	base := string(readFile(t, filepath.Join(testdata, "good/base.plate")))
	at := strings.Index(base, `"ribs": [`) + len(`"ribs": [`)
	for _, c := range []struct {
		name, rib string
		n         int
	}{
		{"short", `{},`, 1_000_000},
		{"whole", `{"id": 4, "name": "R", "from": {"feature": 1}, "to": {"feature": 2}, "width_mm": 5},`, 250_000},
	} {
		name := c.name
		data := []byte(base[:at] + strings.Repeat(c.rib, c.n) + base[at:])
		_, err := plate.Decode(data)
		var d *plate.DecodeErrors
		if !errors.As(err, &d) || len(d.Problems) != 1 || d.Omitted != 0 {
			t.Errorf("too many %s ribs: %.300v; want one problem", name, err)
			continue
		}
		if name == "short" && (d.Problems[0].Path != "ribs" || !strings.Contains(d.Problems[0].What, "more than 20000 entries")) {
			t.Errorf("too many %s ribs: %v", name, err)
		}
		if name == "whole" && !strings.Contains(d.Problems[0].What, "a plate file has at most 16777216") {
			t.Errorf("too many %s ribs: %v", name, err)
		}
	}
}

// TestLimits: beyond every limit of a file there is one plain error; at the limit there is none about it.
func TestLimits(t *testing.T) {
	base := string(readFile(t, filepath.Join(testdata, "good/base.plate")))
	grid := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `{"id": %d, "name": "G%d", "kind": "isogrid", "pitch_mm": 400, "x_mm": 0, "y_mm": 0, "width_mm": 4},`, 100+i, i)
		}
		return strings.Replace(base, `"grids": [`, `"grids": [`+b.String(), 1)
	}
	keys := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `"k%d": 0,`, i)
		}
		return strings.Replace(base, `"rim_mm"`, b.String()+`"rim_mm"`, 1)
	}
	for _, c := range []struct{ name, text, want, not string }{
		{"grids at the limit", grid(19), "", "at most"}, // and the one of the base
		{"grids beyond it", grid(20), "grids: 21 entries; at most 20 are possible here", ""},
		{"keys beyond the limit", keys(300), "more than 200 keys in one object", ""},
		{"keys within it", keys(150), "150 problems", ""},
		{"long number", strings.Replace(base, "140", "140."+strings.Repeat("0", 61), 1), "a number of more than 64 characters", ""},
		{"values", `{"format":"platewright-plate","version":1,"note":[` + strings.Repeat("["+strings.Repeat("0,", 9999)+"0],", 100) + "0]}", "more than 600000 values", ""},
		{"size", base + strings.Repeat(" ", 16<<20), "a plate file has at most 16777216", ""},
	} {
		got := said([]byte(c.text))
		if !strings.Contains(got, c.want) || c.not != "" && strings.Contains(got, c.not) || len(got) > 30_000 {
			t.Errorf("%s: said %.500s; want %q", c.name, got, c.want)
		}
	}
}

// TestProblemsAreBounded: twenty thousand wrong ribs give the first two hundred problems and the number of the others.
func TestProblemsAreBounded(t *testing.T) {
	base := string(readFile(t, filepath.Join(testdata, "good/base.plate")))
	text := strings.Replace(base, `"ribs": [`, `"ribs": [`+strings.Repeat(`{"idd": 1},`, 19_000), 1)
	_, err := plate.Decode([]byte(text))
	var d *plate.DecodeErrors
	if !errors.As(err, &d) || len(d.Problems) != 200 || d.Omitted != 19_000*6-200 {
		t.Fatalf("%d problems kept, %d omitted", len(d.Problems), d.Omitted)
	}
	if !strings.Contains(err.Error(), "114000 problems") || !strings.HasSuffix(err.Error(), "and 113800 more") {
		t.Errorf("said %.100s … %s", err, err.Error()[len(err.Error())-40:])
	}
}

// TestLongLine: the place of a problem is found in work that grows with the text, also when all of it is one line.
func TestLongLine(t *testing.T) {
	text := `{"format":"platewright-plate","version":1,"name":"ü` + strings.Repeat("x", 1<<20) + `","note":` +
		"[" + strings.Repeat("0,", 19_000) + `0],"bad":1}`
	_, err := plate.Decode([]byte(text))
	want := fmt.Sprintf("1:%d: bad:", len([]rune(text))-len(`"bad":1}`)+1)
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("said %.300v; want %s", err, want)
	}
}

func TestDecodeErrorIsAValue(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(testdata, "bad/key-inches.plate"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := plate.Decode(data)
	var d *plate.DecodeErrors
	if !errors.As(err, &d) || p.Name != "" {
		t.Fatalf("Decode = %v, %v", p, err)
	}
	want := plate.Problem{Path: "bores[0].diameter_in", Line: 25, Col: 56, What: `the key "diameter_in" is not known here; did you mean "diameter_mm"?`}
	if len(d.Problems) != 2 || d.Problems[1] != want {
		t.Errorf("problems %v, want second %v", d.Problems, want)
	}
}

// TestListsAreBounded: one entry beyond the limit of each list is one clear error, before the entries are read.
func TestListsAreBounded(t *testing.T) {
	base := string(readFile(t, filepath.Join(testdata, "good/base.plate")))
	for key, most := range map[string]int{
		"clocked_rings": 200, "eccentrics": 200, "slots": 2000, "keep_outs": 200, "inlays": 200, "settings": 200, "supports": 200,
		"loads": 1000, "load_cases": 200,
	} {
		text := strings.Replace(base, `"cut_lines": [`, fmt.Sprintf(`"%s": [%s{}], "cut_lines": [`, key, strings.Repeat("{},", most)), 1)
		want := fmt.Sprintf("%s: %d entries; at most %d are possible here", key, most+1, most)
		if got := said([]byte(text)); !strings.Contains(got, want) || strings.Count(got, "\n") > 1 {
			t.Errorf("%s: said %.300s; want %s", key, got, want)
		}
	}
	text := strings.Replace(base, `"cut_lines": [`, `"load_cases": [`+strings.Repeat("{},", 100_000)+`{}], "cut_lines": [`, 1)
	if got := said([]byte(text)); !strings.Contains(got, "more than 20000 entries in one list") {
		t.Errorf("a hundred thousand cases: said %.300s", got)
	}
}
