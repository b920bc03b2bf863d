package plate_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"platewright/plate"
)

func compile(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(plate.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("urn:platewright:plate:1", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("urn:platewright:plate:1")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// beyondSchema are the findings on what a schema cannot say, each with why.
var beyondSchema = map[string]string{
	"id-doubled":        "unique among objects of several lists",
	"next-id":           "one number against others",
	"name-doubled":      "unique among objects of several lists",
	"name-letters":      "printable characters",
	"name-space":        "spaces at the ends",
	"text-letters":      "printable characters",
	"text-space":        "spaces at the ends",
	"count-total":       "a sum over lists",
	"thickness":         "one number against another",
	"material-strength": "one number against another",
	"corner-doubled":    "one number against another",
	"hole-deep":         "one number against another",
	"pocket-deep":       "one number against another",
	"grid-pitch":        "one number against another",
	"grid-dense":        "a figure worked out from several",
	"rib-short":         "one place against another",
	"cut-line-short":    "one place against another",
	"reference":         "an id against those of other lists",
	"wrap-doubled":      "one entry against the next",
	"mirror-line":       "one number against another",
	"mirror-side":       "numbers against another",
	"corner-chamfer":    "one corner against the next",
	"edge-chamfer":      "one number against another",
	"fit-size":          "the standard's table",
	"keyway-wide":       "one number against another",
	"seat-narrow":       "one number against another",
	"seat-deep":         "one number against another",
	"seat-meet":         "one number against another",
	"seat-steps":        "one seat against another",
	"bearing":           "the standard's table",
	"bearing-seat":      "the standard's table",
	"groove":            "one number against another",
	"eccentric-thin":    "one number against another",
	"eccentric-doubled": "an id against those of the same list",
	"lock-circle":       "one number against another",
	"angles-doubled":    "angles modulo 360°",
	"head-size":         "the standard's table",
	"head-narrow":       "the standard's table",
	"head-deep":         "one number against another",
	"slot-position":     "one number against another",
	"slot-deep":         "one number against another",
	"setting-value":     "the kind of what an id names",
	"setting-slot":      "what an id names",
	"setting-position":  "one number against another",
	"entry-doubled":     "unique among objects of a list",
	"rib-arc":           "one place against another",
	"hubs-few":          "the number of entries of another list",
	"pocket-radius":     "one number against another",
	"floor-radius":      "one number against another",
	"ledge-deep":        "one number against another",
	"cell-doubled":      "unique among objects of a list",
	"cell-depth":        "a key of the object around",
	"cell-deep":         "one number against another",
	"inlay-seat":        "what an id names",
	"edge-short":        "one place against another",
	"spring-free":       "a sum of numbers",
	"load-zero":         "a sum of numbers",
	"case-unsupported":  "the number of entries of another list",
	"case-free":         "what an id names",
	"origin-figures":    "one number against another",
}

// form is the verdict of Decode and Validate on what a schema can say: empty for good.
func form(data []byte) string {
	p, err := plate.Decode(data)
	if err != nil {
		return err.Error()
	}
	for _, f := range p.Validate() {
		if _, ok := beyondSchema[f.Code]; !ok {
			return f.Code + ": " + f.What
		}
	}
	return ""
}

// mutation is one way to spoil, or merely change, a value of a document.
type mutation struct {
	name  string
	apply func() // changes the tree in place
	undo  func()
}

// words are texts to put in the place of others: every word of the format, wrong ones, and texts that look like numbers.
var words = []string{
	"", "x", "y", "z", "all", "none", "top", "bottom", "through", "as supplied", "machined", "mass", "cycle", "buy to fly", "section stiffness",
	"max", "min", "clearance", "tapped", "reamed", "isogrid", "orthogrid", "drawn", "wrapped", "fine", "medium", "coarse",
	"spokes", "directions", "field", "round", "both", "hinged", "free", "clamp", "worked", "standard", "drop", "H7", "h7", "H19", "12.50", "1.", "M8", "M9", "m8", "NaN", "1", "TOP", "N", strings.Repeat("n", 80), strings.Repeat("ü", 80), strings.Repeat("n", 81), strings.Repeat("n", 300), strings.Repeat("n", 301),
	strings.Repeat("0a", 32), strings.Repeat("0A", 32),
}

// numbers lie at, within and beyond the limits of the format.
var numbers = []string{
	"0", "-0.0", "1", "1.0", "2", "1.5", "-1", "-1.5", "0.4", "0.5", "0.51", "1.999", "1e1", "10", "10.001", "200", "200.001", "359", "360", "361", "-360", "-361",
	"500", "500.5", "1000", "1000.01", "5000", "5000.5", "-5000", "-5000.5", "10000", "10001", "25000", "25001", "1000000", "1000001", "-1000000", "-1000001",
	"25000000", "25000001", "1e18", "1.1e18", "9007199254740991", "9007199254740992", "1e30", "1e308", "1e999", "-1e999",
}

// mutations are all changes of the value at a key of the document, and below it.
func mutations(doc map[string]any, key string) []mutation {
	var out []mutation
	var walk func(path string, v any, set func(any))
	walk = func(path string, v any, set func(any)) {
		replace := func(name string, w any) {
			out = append(out, mutation{path + " = " + name, func() { set(w) }, func() { set(v) }})
		}
		for _, w := range []any{nil, true, json.Number("7"), "text", []any{}, map[string]any{}, []any{json.Number("1"), json.Number("2")}, []any{nil}} {
			replace(fmt.Sprintf("%v", w), w)
		}
		switch v := v.(type) {
		case map[string]any:
			walkObject(path, v, &out, walk)
		case []any:
			walkList(path, v, replace, walk)
		case json.Number:
			for _, n := range numbers {
				replace(n, json.Number(n))
			}
		case string:
			for _, w := range words {
				replace(fmt.Sprintf("%.20q", w), w)
			}
		}
	}
	walk(key, doc[key], func(w any) { doc[key] = w })
	return out
}

func walkObject(path string, v map[string]any, out *[]mutation, walk func(string, any, func(any))) {
	for _, key := range slices.Sorted(maps.Keys(v)) {
		old := v[key]
		drop, back := func() { delete(v, key) }, func() { v[key] = old }
		*out = append(*out, mutation{path + "." + key + " dropped", drop, back})
		for _, other := range []string{strings.ToUpper(key), key + "s", "x_" + key} {
			*out = append(*out, mutation{
				path + "." + key + " as " + other,
				func() { drop(); v[other] = old },
				func() { delete(v, other); back() },
			})
		}
		walk(path+"."+key, old, func(w any) { v[key] = w })
	}
	one, zero, pair := json.Number("1"), json.Number("0"), []any{json.Number("1"), json.Number("2")}
	for _, extra := range []struct {
		key string
		v   any
	}{
		{"extra", one},
		{"loads", pair},
		{"angle_deg", one},
		{"angles_deg", pair},
		{"count", one},
		{"diameter_mm", one},
		{"pitch_mm", one},
		{"fit", "H7"},
		{"on", map[string]any{"feature": one}},
		{"from_mm", pair},
		{"bounds", []any{}},
		{"load_case", one},
		{"depth_back_mm", one},
		{"chamfer_mm", zero},
		{"through", true},
		{"series", "medium"},
		{"depth_mm", one},
		{"depth_mm", zero},
		{"side", "top"},
		{"side", "through"},
		{"bore", one},
		{"feature", one},
		{"grid", one},
		{"margin_mm", one},
		{"width_mm", one},
		{"x_mm", one},
		{"through_mm", pair},
		{"cut_line", one},
		{"value", one},
		{"value_kg", one},
		{"note", "medium"},
		{"radius_mm", zero},
	} {
		if _, has := v[extra.key]; !has {
			*out = append(*out, mutation{
				fmt.Sprintf("%s.%s added = %v", path, extra.key, extra.v),
				func() { v[extra.key] = extra.v },
				func() { delete(v, extra.key) },
			})
		}
	}
}

func walkList(path string, v []any, replace func(string, any), walk func(string, any, func(any))) {
	if len(v) > 0 {
		replace("one less", slices.Clone(v[1:]))
		replace("one twice", append(slices.Clone(v), v[0]))
		replace("twenty times", slices.Repeat(v, 20))
		replace("three hundred times", slices.Repeat(v[:1], 300))
	}
	walked := make(map[string]bool)
	for i := range v {
		if shape := shapeOf(v[i]); !walked[shape] { // one entry of each shape is enough
			walked[shape] = true
			walk(fmt.Sprintf("%s[%d]", path, i), v[i], func(w any) { v[i] = w })
		}
	}
}

// shapeOf tells entries apart by their keys and by the words that decide which keys they may have.
func shapeOf(v any) string {
	switch v := v.(type) {
	case map[string]any:
		var b strings.Builder
		for _, key := range slices.Sorted(maps.Keys(v)) {
			b.WriteString(key + "(")
			if key == "kind" || key == "side" || key == "quantity" {
				fmt.Fprint(&b, v[key])
			} else {
				b.WriteString(shapeOf(v[key]))
			}
			b.WriteString(")")
		}
		return b.String()
	case []any:
		return fmt.Sprintf("list of %d", len(v))
	}
	return fmt.Sprintf("%T", v)
}

// share is how much of the changed documents a test looks at: all when PLATEWRIGHT_LONG is set, else one in so many.
func share(t *testing.T) int {
	const part = 16
	if os.Getenv("PLATEWRIGHT_LONG") != "" {
		return 1
	}
	t.Logf("one of %d changed documents is looked at; set PLATEWRIGHT_LONG=1 for all", part)
	return part
}

// needed are the keys that a document must have.
var needed = []string{"format", "version", "name", "next_id", "stock", "outline", "machining"}

// TestSchemaAgreesWithDecoder changes good documents in every place, in every way above, and asks both. What a schema can
// say about one key of the document does not depend on the others, so that each is tried in a small document.
func TestSchemaAgreesWithDecoder(t *testing.T) {
	schema := compile(t)
	every, good, bad := share(t), 0, 0
	rng := random(4)
	for _, name := range append(files(t, "roundtrip/*.in"), files(t, "good/*.plate")...) {
		tree, err := jsonschema.UnmarshalJSON(bytes.NewReader(readFile(t, name)))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(tree); err != nil {
			t.Errorf("%s: the schema refuses it: %v", name, err)
		}
		root := tree.(map[string]any)
		failures := 0
		ask := func(doc map[string]any, m mutation) {
			m.apply()
			data, err := json.Marshal(doc)
			if err != nil {
				t.Fatal(err)
			}
			ours, theirs := form(data), schema.Validate(doc)
			m.undo()
			if ours == "" {
				good++
			} else {
				bad++
			}
			if (ours == "") != (theirs == nil) && failures < 10 {
				failures++
				t.Errorf("%s with %s: the decoder says %q, the schema %v", name, m.name, ours, theirs)
			}
		}
		var top []mutation
		walkObject("", root, &top, func(string, any, func(any)) {})
		for _, m := range top {
			if rng.IntN(1+every/4) == 0 {
				ask(root, m)
			}
		}
		for _, key := range slices.Sorted(maps.Keys(root)) {
			doc := map[string]any{key: root[key]}
			for _, k := range needed {
				doc[k] = root[k]
			}
			for _, m := range mutations(doc, key) {
				if rng.IntN(every) == 0 {
					ask(doc, m)
				}
			}
		}
		if err := schema.Validate(root); err != nil {
			t.Fatalf("%s: the changes were not undone", name)
		}
	}
	t.Logf("%d changed documents were good to both, %d bad to both", good, bad)
	if good < 1000 || bad < 2500 {
		t.Errorf("%d good and %d bad documents; want more of both", good, bad)
	}
}

// TestSchemaAgreesOnBadFiles asks both about every file of testdata/plate/bad that is JSON without doubled keys.
func TestSchemaAgreesOnBadFiles(t *testing.T) {
	schema := compile(t)
	for _, name := range files(t, "bad/*.plate") {
		if strings.Contains(name, "key-doubled") {
			continue // a tree has no doubled keys
		}
		data := readFile(t, name)
		root, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil || !json.Valid(data) || strings.Contains(name, "bad-utf8") || strings.Contains(name, "surrogate") {
			continue // not JSON, or text that the standard library repairs in silence
		}
		if ours, theirs := form(data), schema.Validate(root); (ours == "") != (theirs == nil) {
			t.Errorf("%s: the decoder says %q, the schema %v", name, ours, theirs)
		}
	}
}
