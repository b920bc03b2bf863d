package shop

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

var update = flag.Bool("update", false, "rewrite schema.json")

// schemaOf says in the words of JSON Schema what the types say.
func schemaOf(t reflect.Type) map[string]any {
	enum := map[reflect.Type]any{
		reflect.TypeFor[Kind](): kinds, reflect.TypeFor[Work](): works, reflect.TypeFor[Coolant](): coolants,
		reflect.TypeFor[ServiceKind](): services, reflect.TypeFor[FeedPer](): []FeedPer{PerTooth, PerRevolution, PerPitch},
	}
	if e, ok := enum[t]; ok {
		return map[string]any{"enum": e}
	}
	if t == reflect.TypeFor[Money]() {
		return map[string]any{"type": "string", "pattern": `^[0-9]+(\.[0-9]+)?$`}
	}
	switch t.Kind() {
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Int:
		return map[string]any{"type": "integer"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Slice:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem())}
	case reflect.Array:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	}
	props, required := map[string]any{}, []string{}
	var fields func(t reflect.Type)
	fields = func(t reflect.Type) {
		for f := range t.NumField() {
			f := t.Field(f)
			if f.Anonymous {
				fields(f.Type)
				continue
			}
			name, opts, _ := strings.Cut(f.Tag.Get("json"), ",")
			props[name] = schemaOf(f.Type)
			if opts == "" {
				required = append(required, name)
			}
		}
	}
	fields(t)
	return map[string]any{"type": "object", "properties": props, "required": required, "additionalProperties": false}
}

func TestSchemaSaysWhatTheTypesSay(t *testing.T) {
	s := schemaOf(reflect.TypeFor[Profile]())
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "Platewright shop profile"
	s["description"] = "What minutes and prices are estimated for. Lengths in mm, feeds in mm/min, money as decimal numbers in text."
	props := s["properties"].(map[string]any)
	props["format"], props["version"] = map[string]any{"const": format}, map[string]any{"const": version}
	want, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, '\n')
	if *update {
		if err := os.WriteFile("schema.json", want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(Schema(), want) {
		t.Error("schema.json is not what the types say; run this test with -update")
	}
}

// The outside validator takes the example and what Save writes, and refuses what the reader refuses for its form.
func TestSchemaByAnOutsideValidator(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("shop.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("shop.json")
	if err != nil {
		t.Fatal(err)
	}
	valid := func(b []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		return s.Validate(v)
	}
	saved, err := Save(example(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range [][]byte{exampleJSON, saved} {
		if err := valid(b); err != nil {
			t.Errorf("refused: %v", err)
		}
	}
	for _, bad := range [][2]string{
		{`"magazine": 30`, `"magazine": 30, "colour": 1`},
		{`"block_time_s": 0.002,`, ``},
		{`"torque_nm": 70`, `"torque_nm": "70"`},
		{`"kind": "face mill"`, `"kind": "broach"`},
		{`"machine_per_hour": "70.00"`, `"machine_per_hour": "-70.00"`},
		{`"machine_per_hour": "70.00"`, `"machine_per_hour": 70`},
	} {
		b := bytes.Replace(exampleJSON, []byte(bad[0]), []byte(bad[1]), 1)
		if bytes.Equal(b, exampleJSON) || valid(b) == nil {
			t.Errorf("%s let through", bad[1])
		}
	}
}
