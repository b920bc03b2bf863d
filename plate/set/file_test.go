package set_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"platewright/plate/finding"
	"platewright/plate/set"
)

func stored(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := filepath.Glob("../../testdata/set/*.set")
	if err != nil || len(names) < 2 {
		t.Fatal(names, err)
	}
	files := map[string][]byte{}
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(n)] = data
	}
	return files
}

func trike(t testing.TB) set.Set {
	t.Helper()
	s, err := set.Decode(stored(t)["trike.set"])
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestRoundTrip: the stored files are canonical, so they come back byte for byte.
func TestRoundTrip(t *testing.T) {
	for name, data := range stored(t) {
		s, err := set.Decode(data)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if found := s.Validate(); len(found) > 0 {
			t.Errorf("%s: %v", name, found)
		}
		again, err := set.Encode(s)
		if err != nil || !bytes.Equal(again, data) {
			t.Errorf("%s does not come back: %v\n%s", name, err, cmp.Diff(string(data), string(again)))
		}
		if len(set.Revision(s)) != 64 {
			t.Errorf("%s: revision %q", name, set.Revision(s))
		}
	}
}

func TestDecodeFields(t *testing.T) {
	s := trike(t)
	if p := s.Parts[2]; p.Carried != (set.Carried{By: "left side", Feature: 3, Own: 1}) || p.Place.AngleDeg != 90 || p.Quantity != 2 {
		t.Errorf("head = %+v", p)
	}
	if p := s.Parts[3].Place; p != (set.Place{X: -420.5, Y: 12, AngleDeg: -17.25, Mirrored: true}) {
		t.Errorf("place of crown = %+v", p)
	}
	if s.Parts[1].Hand != set.Right || s.Wheels[0].Role != set.Front || s.Wheels[1].Radius != 238 || !s.Sheet.Grain || s.CrossMembers[0].Inside != 34 {
		t.Errorf("trike = %+v", s)
	}
	if v := s.Settings[0].Values; v[0].AngleDeg != 27 || v[1].Position != -2.5 {
		t.Errorf("setting = %+v", v)
	}
	if w, ok := s.Wheel(set.Rear); !ok || w.Name != "left wheel" {
		t.Errorf("rear wheel = %+v, %v", w, ok)
	}
	if s.Part("crown") != 3 || s.Part("no") != -1 {
		t.Errorf("Part: %d, %d", s.Part("crown"), s.Part("no"))
	}
}

// TestDecodeProblems gives each fault with its path, line and column.
func TestDecodeProblems(t *testing.T) {
	ok := string(stored(t)["smallest.set"])
	for _, c := range []struct{ from, to, want string }{
		{`"quantity": 1`, `"quantity": "1"`, `9:19: parts[0].quantity: found the text "1" where a number should be`},
		{`"quantity": 1`, `"quantity": 1.5`, `9:19: parts[0].quantity: found 1.5 where a whole number should be`},
		{`"quantity": 1`, `"quantity": 1, "quantity": 2`, `9:22: parts[0].quantity: the key "quantity" stands twice`},
		{`"quantity": 1`, `"quantity": 1, "hand": "both"`, `9:30: parts[0].hand: found the text "both" where one of "left", "right" should be`},
		{`"quantity": 1`, `"quantity": 1, "place": {"x_in": 3}`, `did you mean "x_mm"?`},
		{`"quantity": 1`, `"quantity": 1, "place": []`, `found a list where an object should be`},
		{`"quantity": 1`, `"quantity": 1, "place": {"height": 3}`, `the key "height" is not known here, where x_mm, y_mm, angle_deg, mirrored may stand; remove it`},
		{`"quantity": 1`, `"quantity": 1, "carried": {"by": "plate", "own": 1}`, `the key "feature" is missing`},
		{`"quantity": 1`, `"quantity": 1, "carried": {"by": "plate", "own": 0, "feature": 1}`, `found 0 where the id of a feature`},
		{`"quantity": 1`, `"quantity": 1, "place": {"x_mm": 1e999}`, `out of range`},
		{`"quantity": 1`, `"quantity": 1, "place": {"mirrored": 1}`, `found 1 where true or false should be`},
		{`"file": "plate.plate",`, ``, `6:5: parts[0]: the key "file" is missing`},
		{`"file": "plate.plate"`, `"file": null`, `8:15: parts[0].file: found null where a text`},
		{`"name": "One plate"`, `"name": "One plate", "Wheels": []`, `did you mean "wheels"?`},
		{`"name": "One plate"`, `"name": "One plate", "cost": 3`, `the key "cost" is not known here; remove it`},
		{`"name": "One plate"`, `"name": "One plate", "wheels": {}`, `wheels: found an object where a list should be`},
		{`"version": 1`, `"version": 2`, `3:14: version: this file is of version 2`},
		{`"version": 1`, `"version": "1"`, `the version is a whole number from 1`},
		{`"version": 1,`, ``, `the key "version" is missing`},
		{`"platewright-set"`, `"platewright-plate"`, `this file is one plate, not a set`},
		{`"platewright-set"`, `"other"`, `a set file says "platewright-set"`},
		{`"format": "platewright-set",`, ``, `the key "format" is missing`},
		{`"quantity": 1`, `"quantity": 1,,`, `9:21: parts[0]: found ',' where a key in double quotes should be`},
		{`"quantity": 1`, `"quantity": NaN`, `9:19: parts[0].quantity: NaN is not a number that a set file can hold`},
		{`"quantity": 1`, `"quantity": ` + strings.Repeat("1", 70), `more than 64 characters`},
		{`"One plate"`, "\"One\xffplate\"", `4:15: byte 0xff is not UTF-8 text`},
		{`"parts": [`, `"parts": [` + strings.Repeat("[", 20) + strings.Repeat("]", 20) + ",", `nested more than 10 deep`},
		{"\n}\n", "\n}\n{}", `more text after the end`},
		{"\n}\n", "\n", `the file ends where a comma or "}" should be`},
		{ok, "", `the file is empty`},
		{ok, "[]", `a set file is one JSON object`},
		{ok, "\ufeff" + ok, `byte order mark`},
		{ok, `{"parts": [` + strings.Repeat("0,", 2000) + "0]}", `more than 2000 entries`},
		{ok, strings.Repeat(" ", set.MaxFileBytes+1), `a set file has at most`},
	} {
		if !strings.Contains(ok, c.from) {
			t.Fatalf("%q is not in the file", c.from)
		}
		s, err := set.Decode([]byte(strings.Replace(ok, c.from, c.to, 1)))
		var all *set.DecodeErrors
		if !errors.As(err, &all) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("with %.60q: %+v, %v; want an error with %q", c.to, s, err, c.want)
		}
	}
}

// TestDecodeAll reports several problems at once, in the order of the file, and bounds how many it keeps.
func TestDecodeAll(t *testing.T) {
	many := `{"format": "platewright-set", "version": 1, "name": 1, "parts": [` + strings.TrimSuffix(strings.Repeat("7,", 400), ",") + `]}`
	_, err := set.Decode([]byte(many))
	var all *set.DecodeErrors
	if !errors.As(err, &all) || len(all.Problems) != 200 || all.Omitted != 201 || all.Problems[0].Path != "name" || all.Problems[1].Path != "parts[0]" {
		t.Errorf("%v", err)
	}
}

// spoiled are changes that Validate must find, each with a word of the finding; "" is the change that just does not matter.
var spoiled = map[string]struct {
	change func(s *set.Set)
	want   string
}{
	"no name":         {func(s *set.Set) { s.Name = " " }, "has no name"},
	"long name":       {func(s *set.Set) { s.Name = strings.Repeat("n", 81) }, "more than 80"},
	"name of 80":      {func(s *set.Set) { s.Name = strings.Repeat("n", 80) }, ""},
	"long note":       {func(s *set.Set) { s.Note = strings.Repeat("n", 10_001) }, "note"},
	"doubled part":    {func(s *set.Set) { s.Parts[3].Name = "head" }, "names are unique"},
	"doubled wheel":   {func(s *set.Set) { s.Wheels[1].Name = s.Wheels[0].Name }, "names are unique"},
	"no parts":        {func(s *set.Set) { *s = set.Set{Name: "n"} }, "0 parts"},
	"quantity 0":      {func(s *set.Set) { s.Parts[0].Quantity = 0 }, "quantity"},
	"quantity 1000":   {func(s *set.Set) { s.Parts[0].Quantity = 1000 }, ""},
	"quantity 1001":   {func(s *set.Set) { s.Parts[0].Quantity = 1001 }, "quantity"},
	"file absolute":   {func(s *set.Set) { s.Parts[0].File = "/a.plate" }, "not relative"},
	"file on a drive": {func(s *set.Set) { s.Parts[0].File = "c:/a.plate" }, "not relative"},
	"file backslash":  {func(s *set.Set) { s.Parts[0].File = `a\b.plate` }, "backslash"},
	"file elsewhere":  {func(s *set.Set) { s.Parts[0].File = "../a.plate" }, ""},
	"file of a set":   {func(s *set.Set) { s.Parts[0].File = "a.set" }, ".plate"},
	"file empty":      {func(s *set.Set) { s.Parts[0].File = "" }, "empty"},
	"revision":        {func(s *set.Set) { s.Parts[0].Revision = "abc" }, "SHA-256"},
	"hand":            {func(s *set.Set) { s.Parts[0].Hand = "upper" }, "neither left nor right"},
	"place NaN":       {func(s *set.Set) { s.Parts[0].Place.X = math.NaN() }, "x of part"},
	"angle":           {func(s *set.Set) { s.Parts[0].Place.AngleDeg = 361 }, "angle of part"},
	"wheel radius 0":  {func(s *set.Set) { s.Wheels[0].Radius = 0 }, "loaded radius"},
	"same axle":       {func(s *set.Set) { s.Wheels[0].Axle = s.Wheels[1].Axle }, "same axle"},
	"two rear alike":  {func(s *set.Set) { w := s.Wheels[1]; w.Name = "right wheel"; s.Wheels = append(s.Wheels, w) }, ""},
	"two rear unlike": {func(s *set.Set) {
		w := s.Wheels[1]
		w.Name, w.Radius = "right wheel", 230
		s.Wheels = append(s.Wheels, w)
	}, "one axle a role"},
	"role":              {func(s *set.Set) { s.Wheels[0].Role = "middle" }, "front or rear"},
	"axle on no part":   {func(s *set.Set) { s.Wheels[0].Axle.Part = "nobody" }, `part "nobody"`},
	"axle on none":      {func(s *set.Set) { s.Wheels[0].Axle.Feature = 0 }, "names no feature"},
	"ride on no part":   {func(s *set.Set) { s.Ground.Ride.Part = "nobody" }, `part "nobody"`},
	"carried by nobody": {func(s *set.Set) { s.Parts[2].Carried.By = "nobody" }, `part "nobody"`},
	"carried by itself": {func(s *set.Set) { s.Parts[2].Carried.By = "head" }, "carried by itself"},
	"carried in a ring": {func(s *set.Set) { s.Parts[0].Carried = set.Carried{By: "head", Feature: 1, Own: 1} }, "carried by itself"},
	"axis of one":       {func(s *set.Set) { s.Steering.Upper = s.Steering.Lower }, "twice"},
	"axis by angle":     {func(s *set.Set) { s.Steering.Upper = set.Ref{}; s.Steering.AngleDeg = 70 }, ""},
	"member to itself":  {func(s *set.Set) { s.CrossMembers[0].To = s.CrossMembers[0].From }, "to itself"},
	"member inside":     {func(s *set.Set) { s.CrossMembers[0].Inside = 40 }, "inside"},
	"member solid":      {func(s *set.Set) { s.CrossMembers[0].Inside = 0 }, ""},
	"set twice":         {func(s *set.Set) { v := s.Settings[0].Values; s.Settings[0].Values = append(v, v[0]) }, "twice"},
	"setting elsewhere": {func(s *set.Set) { s.Settings[0].Values[0].Adjuster.Part = "nobody" }, `part "nobody"`},
	"sheet all edge":    {func(s *set.Set) { s.Sheet.Edge = 500 }, "nothing of the sheet"},
	"no sheet":          {func(s *set.Set) { s.Sheet = set.Sheet{} }, ""},
	"sheet no width":    {func(s *set.Set) { s.Sheet.Width = 0 }, "width"},
}

func TestValidate(t *testing.T) {
	for name, c := range spoiled {
		s := trike(t)
		c.change(&s)
		found := s.Validate()
		var texts []string
		for _, f := range found {
			texts = append(texts, f.What)
			if f.Level != finding.Error || f.Code == "" || f.Source == "" {
				t.Errorf("%s: %+v is not complete", name, f)
			}
		}
		all := strings.Join(texts, "\n")
		if c.want == "" && all != "" || !strings.Contains(all, c.want) {
			t.Errorf("%s: found %q, want %q", name, all, c.want)
		}
	}
}

// TestSchema: the schema accepts the stored files, and what Decode or Validate refuses for its form the schema refuses too.
func TestSchema(t *testing.T) {
	var doc any
	if err := json.Unmarshal(set.Schema(), &doc); err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("set.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("set.json")
	if err != nil {
		t.Fatal(err)
	}
	check := func(data []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		return schema.Validate(v)
	}
	for name, data := range stored(t) {
		if err := check(data); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	// What one value alone makes wrong is in the schema; what takes two is not.
	byTwo := map[string]bool{
		"doubled part": true, "doubled wheel": true, "same axle": true, "two rear unlike": true, "axle on no part": true, "ride on no part": true,
		"carried by nobody": true, "carried by itself": true, "carried in a ring": true, "axis of one": true, "member to itself": true,
		"member inside": true, "set twice": true, "setting elsewhere": true, "sheet all edge": true, "place NaN": true,
	}
	for name, c := range spoiled {
		if byTwo[name] {
			continue
		}
		s := trike(t)
		c.change(&s)
		data, err := set.Encode(s)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(data); (err != nil) != (c.want != "") {
			t.Errorf("%s: the schema says %v, Validate wants %q", name, err, c.want)
		}
	}
}

func TestEncodeRefuses(t *testing.T) {
	s := trike(t)
	s.Wheels[0].Radius = math.Inf(1)
	if data, err := set.Encode(s); err == nil || !strings.Contains(err.Error(), "steered wheel") {
		t.Errorf("%s, %v; want an error that names the wheel", data, err)
	}
	s = trike(t)
	s.Parts[0].Name = "\xff"
	if data, err := set.Encode(s); err == nil || set.Revision(s) != "" {
		t.Errorf("%s, %v; want an error", data, err)
	}
}

// FuzzDecode: whatever Decode takes, Encode writes, and it comes back the same.
func FuzzDecode(f *testing.F) {
	for _, data := range stored(f) {
		f.Add(data)
	}
	f.Add([]byte(`{"format": "platewright-set", "version": 1, "name": "", "parts": [{"":[{}]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := set.Decode(data)
		if err != nil {
			return
		}
		_ = s.Validate()
		first, err := set.Encode(s)
		if err != nil {
			t.Fatal(err)
		}
		again, err := set.Decode(first)
		if err != nil {
			t.Fatalf("%v\n%s", err, first)
		}
		second, err := set.Encode(again)
		if err != nil || !bytes.Equal(first, second) {
			t.Fatalf("%v\n%s", err, cmp.Diff(string(first), string(second)))
		}
	})
}
