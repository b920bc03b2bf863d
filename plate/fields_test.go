package plate_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"platewright/plate"
)

// allFields are all fields of a document, with a name each.
func allFields(p plate.Plate) map[string]plate.Field {
	out := make(map[string]plate.Field)
	add := func(prefix string, fs []plate.Field) {
		for _, f := range fs {
			out[prefix+f.Key] = f
		}
	}
	for _, f := range p.Features() {
		add(f.Name+": ", plate.Fields(p, f.ID))
	}
	for _, f := range p.PlanItems() {
		add(f.String()+": ", plate.Fields(p, f.ID))
	}
	for i := range max(len(p.Outline.Corners), len(p.Outline.Wraps), len(p.Outline.Vertices)) {
		add("", plate.OutlineFields(p, i))
	}
	add("", plate.EdgeFields(p))
	add("", plate.FinishFields(p))
	add("", []plate.Field{plate.SettingField(p)})
	add("", plate.PriceFields())
	add("", plate.StockFields(p))
	add("", plate.MachiningFields())
	add("", plate.PlateFields())
	add("", []plate.Field{plate.RimField()})
	return out
}

func names(fs map[string]plate.Field) []string {
	var out []string
	for n := range fs {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

func TestFieldKeys(t *testing.T) {
	p := full(t)
	for _, c := range []struct {
		name string
		fs   []plate.Field
		want string
	}{
		{"bore", plate.Fields(p, 7), "name x_mm y_mm diameter_mm boss_mm tolerance_mm fit keyway.width_mm seats"},
		{"clearance hole", plate.Fields(p, 11), "name x_mm y_mm kind size series boss_mm"},
		{"tapped hole", plate.Fields(p, 12), "name x_mm y_mm kind size side boss_mm"},
		{"blind hole", plate.Fields(p, 13), "name x_mm y_mm kind size side depth_mm boss_mm"},
		{"circle about a bore", plate.Fields(p, 20), "name bore diameter_mm count start_deg angles_deg kind size side depth_mm boss_mm"},
		{"circle at a place", plate.Fields(p, 21), "name bore x_mm y_mm diameter_mm count start_deg angles_deg kind size series boss_mm"},
		{"rib", plate.Fields(p, 31), "name from from.x_mm from.y_mm to width_mm arc"},
		{"grid", plate.Fields(p, 33), "name kind pitch_mm angle_deg x_mm y_mm width_mm fillet_mm fitted"},
		{"window", plate.Fields(p, 36)[:7], "name kind side inside_corner_radius_mm ledge.width_mm ribs least_area_mm2"},
		{"pocket", plate.Fields(p, 35), "name kind side depth_mm floor_mm inside_corner_radius_mm floor_radius_mm ledge.width_mm ribs least_area_mm2"},
		{"cut line", plate.Fields(p, 37), "name from_mm[0] from_mm[1] to_mm[0] to_mm[1]"},
		{"mass target", plate.Fields(p, 38), "name quantity sense value_kg"},
		{"stiffness target", plate.Fields(p, 39), "name quantity sense value_n_mm2 cut_line"},
		{"straight corner", plate.OutlineFields(p, 0), "outline.corners[0].x_mm outline.corners[0].y_mm outline.corners[0].radius_mm outline.corners[0].chamfer_mm outline.corners[0].arc"},
		{"no feature", plate.Fields(p, 99), ""},
		{"the plate", plate.Fields(p, 0), ""},
		{"no corner", plate.OutlineFields(p, 4), ""},
		{"corner -1", plate.OutlineFields(p, -1), ""},
	} {
		var keys []string
		for _, f := range c.fs {
			keys = append(keys, f.Key)
		}
		if got := strings.Join(keys, " "); got != c.want {
			t.Errorf("fields of %s: %s\nwant %s", c.name, got, c.want)
		}
	}
}

// TestFieldsKeepWhatTheyRead sets every field to what it says: nothing changes. And every field says why it is limited.
func TestFieldsKeepWhatTheyRead(t *testing.T) {
	for _, p := range documents(t) {
		fieldsKeepWhatTheyRead(t, p)
	}
}

func fieldsKeepWhatTheyRead(t *testing.T, p plate.Plate) {
	t.Helper()
	want := encode(t, p)
	fields := allFields(p)
	if len(fields) < 30 {
		t.Errorf("only %d fields", len(fields))
	}
	for _, name := range names(fields) {
		f := fields[name]
		if f.Key == "" || f.Label == "" || f.Why == "" {
			t.Errorf("%s: %+v has no key, label or reason", name, f)
		}
		e := same(t, p, f)
		if got := encode(t, apply(t, p, e)); !bytes.Equal(got, want) {
			t.Errorf("%s: %s set to its value changes the document:\n%s", p.Name, name, cmp.Diff(string(want), string(got)))
		}
	}
}

// same is the edit that sets a field to its own value, and checks that just the accessors of its kind exist.
func same(t *testing.T, p plate.Plate, f plate.Field) plate.Edit {
	t.Helper()
	switch f.Kind {
	case plate.FieldText, plate.FieldChoice:
		if f.Number != nil || f.SetNumber != nil || (f.Kind == plate.FieldChoice) != (f.Choices != nil) {
			t.Fatalf("%s: wrong accessors or choices", f.Key)
		}
		v := f.Text(p)
		return f.SetText(v)
	default:
		if f.Text != nil || f.SetText != nil || f.Choices != nil {
			t.Fatalf("%s: wrong accessors", f.Key)
		}
		return f.SetNumber(f.Number(p))
	}
}

// TestFieldsTakeTheirRange sets every number to many values: within Min and Max it is taken and read back, or refused with
// a reason; outside it is always refused.
func TestFieldsTakeTheirRange(t *testing.T) {
	for _, p := range documents(t) {
		fieldsTakeTheirRange(t, p)
	}
}

func fieldsTakeTheirRange(t *testing.T, p plate.Plate) {
	t.Helper()
	fields := allFields(p)
	for _, name := range names(fields) {
		f := fields[name]
		if f.Number == nil {
			continue
		}
		taken := 0
		for _, v := range []float64{f.Min, f.Max, (f.Min + f.Max) / 2, 1, 19, f.Number(p) + 0.125, f.Number(p) - 0.125, f.Min - 0.001, f.Max + 0.001, math.NaN(), math.Inf(1)} {
			q, err := f.SetNumber(v).Apply(p)
			within := v >= f.Min && v <= f.Max && !(f.MinOpen && v == f.Min) && !(f.MaxOpen && v == f.Max)
			switch {
			case err != nil && len(err.Error()) < 20:
				t.Errorf("%s = %v: %v says too little", name, v, err)
			case err == nil && !within:
				t.Errorf("%s = %v was taken; it is from %v (open %v) to %v (open %v)", name, v, f.Min, f.MinOpen, f.Max, f.MaxOpen)
			case err == nil:
				taken++
				if got := f.Number(q); got != v {
					t.Errorf("%s = %v reads back as %v", name, v, got)
				}
				if len(q.Validate()) != 0 {
					t.Errorf("%s = %v made the document wrong", name, v)
				}
			}
		}
		// The finished thickness of a plate as supplied is that of its stock, and the
		// ends of a half outline lie on the mirror line.
		bound := f.Key == "stock.finished_mm" || p.Outline.Mirror.On && strings.HasSuffix(f.Key, "y_mm")
		if taken == 0 && !bound {
			t.Errorf("%s took no value", name)
		}
	}
}

// TestFieldsTakeTheirChoices sets every choice to every word.
func TestFieldsTakeTheirChoices(t *testing.T) {
	for _, p := range documents(t) {
		fieldsTakeTheirChoices(t, p)
	}
}

func fieldsTakeTheirChoices(t *testing.T, p plate.Plate) {
	t.Helper()
	fields := allFields(p)
	for _, name := range names(fields) {
		f := fields[name]
		if f.Kind != plate.FieldChoice {
			continue
		}
		taken := 0
		one := map[string]bool{"cut_line": true, "on": true, "setting": true, "bore": true, "seats[0].side": true, "seats[2].side": true}
		for _, word := range f.Choices {
			q, err := f.SetText(word).Apply(p)
			if err != nil {
				if !strings.Contains(err.Error(), "refused") {
					t.Errorf("%s = %q: %v", name, word, err)
				}
				continue
			}
			taken++
			if got := f.Text(q); got != word {
				t.Errorf("%s = %q reads back as %q", name, word, got)
			}
		}
		if taken < 1 || taken < 2 && !one[f.Key] { // of which there may be one, or one that fits
			t.Errorf("%s took %d of %q", name, taken, f.Choices)
		}
		if _, err := f.SetText("no such word").Apply(p); err == nil || !strings.Contains(err.Error(), "is not one of") {
			t.Errorf("%s = no such word: %v", name, err)
		}
	}
}

// TestFieldsOfGoneFeatures: fields made before a deletion read as nothing and refuse to be set.
func TestFieldsOfGoneFeatures(t *testing.T) {
	for _, p := range documents(t) {
		fieldsOfGoneFeatures(t, p)
	}
}

func fieldsOfGoneFeatures(t *testing.T, p plate.Plate) {
	t.Helper()
	empty := plate.New("empty")
	for _, ref := range p.Features() {
		for _, f := range plate.Fields(p, ref.ID) {
			var err error
			if f.Number != nil {
				if v := f.Number(empty); v != 0 {
					t.Errorf("%s of gone %s is %v", f.Key, ref, v)
				}
				_, err = f.SetNumber(1).Apply(empty)
			} else {
				if v := f.Text(empty); v != "" {
					t.Errorf("%s of gone %s is %q", f.Key, ref, v)
				}
				_, err = f.SetText(f.Text(p)).Apply(empty)
			}
			if err == nil {
				t.Errorf("%s of gone %s was set", f.Key, ref)
			}
		}
	}
	two := empty
	two.Outline.Corners = two.Outline.Corners[:3]
	for _, f := range plate.OutlineFields(empty, 3) {
		if f.Number(two) != 0 {
			t.Errorf("%s of a gone corner is %v", f.Key, f.Number(two))
		}
	}
}

func field(t *testing.T, fs []plate.Field, key string) plate.Field {
	t.Helper()
	i := slices.IndexFunc(fs, func(f plate.Field) bool { return f.Key == key })
	if i < 0 {
		t.Fatalf("no field %s", key)
	}
	return fs[i]
}

// TestFieldsBringOthersAlong: a choice that makes others meaningless sets them to what makes sense.
func TestFieldsBringOthersAlong(t *testing.T) {
	p := full(t)
	through := plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}
	blind := plate.HoleForm{Kind: plate.Tapped, Size: "M2.5", Side: plate.Top, Depth: 9.25}
	for _, c := range []struct {
		id        plate.ID
		key, word string
		want      func(*plate.Plate)
	}{
		{13, "kind", "clearance", func(p *plate.Plate) { p.Holes[2].HoleForm = through }},
		{11, "kind", "tapped", func(p *plate.Plate) { p.Holes[0].Kind, p.Holes[0].Series = plate.Tapped, "" }},
		{12, "side", "top", func(p *plate.Plate) { p.Holes[1].HoleForm = blind }},
		{13, "side", "through", func(p *plate.Plate) { p.Holes[2].Side, p.Holes[2].Depth = plate.Through, 0 }},
		{13, "side", "top", func(p *plate.Plate) { p.Holes[2].Side = plate.Top }},
		{20, "bore", "a place", func(p *plate.Plate) { p.Circles[0].Bore, p.Circles[0].X, p.Circles[0].Y = 0, 40, 60 }},
		{21, "bore", "Rear pivot", func(p *plate.Plate) { p.Circles[1].Bore = 2 }},
		{30, "to", "a place", func(p *plate.Plate) { p.Ribs[0].To = plate.RibEnd{X: 250, Y: 140.125} }},
		{31, "from", "Rear pivot", func(p *plate.Plate) { p.Ribs[1].From.Feature = 2 }},
		{36, "side", "bottom", func(p *plate.Plate) { p.Pockets[2].Side, p.Pockets[2].Depth = plate.Bottom, 9.25 }},
		{34, "side", "through", func(p *plate.Plate) { p.Pockets[0].Side, p.Pockets[0].Depth = plate.Through, 0 }},
		{35, "ribs", "all", func(p *plate.Plate) { p.Pockets[1].AllRibs, p.Pockets[1].Ribs = true, nil }},
		{34, "ribs", " Strut ,Field", func(p *plate.Plate) { p.Pockets[0].AllRibs, p.Pockets[0].Ribs = false, []plate.ID{31, 32} }},
		{35, "ribs", "", func(p *plate.Plate) { p.Pockets[1].Ribs = nil }},
		{39, "quantity", "mass", func(p *plate.Plate) { p.Targets[1].Quantity, p.Targets[1].CutLine = plate.MassKG, 0 }},
		{38, "quantity", "section stiffness", func(p *plate.Plate) { p.Targets[0].Quantity, p.Targets[0].CutLine = plate.SectionEI, 37 }},
	} {
		want := full(t)
		c.want(&want)
		got := apply(t, p, field(t, plate.Fields(p, c.id), c.key).SetText(c.word))
		if !bytes.Equal(encode(t, got), encode(t, want)) {
			t.Errorf("%s of %d = %q:\n%s", c.key, c.id, c.word, cmp.Diff(want, got))
		}
	}
	for _, c := range []struct{ word, want string }{
		{"Spine, nothing", `"nothing" does not start with the name of a rib`},
		{"Spine Strut", "does not start with the name"},
		{"Spine, Spine", "stands twice"},
		{"Front pivot", "does not start with the name"},
	} {
		if _, err := field(t, plate.Fields(p, 35), "ribs").SetText(c.word).Apply(p); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("ribs = %q: %v; want %s", c.word, err, c.want)
		}
	}
	p.CutLines, p.Targets = nil, p.Targets[:1]
	if _, err := field(t, plate.Fields(p, 38), "quantity").SetText("section stiffness").Apply(p); err == nil || !strings.Contains(err.Error(), "draw a cut line first") {
		t.Errorf("section stiffness without a cut line: %v", err)
	}
}

// TestRibNamesWithCommas: names that contain commas or begin like others are told apart.
func TestRibNamesWithCommas(t *testing.T) {
	p := full(t)
	p = apply(t, p, plate.Rename(30, "A, B"))
	p = apply(t, p, plate.Rename(31, "A"))
	p = apply(t, p, plate.Rename(32, "B"))
	f := field(t, plate.Fields(p, 35), "ribs")
	for text, want := range map[string][]plate.ID{"A, B": {30}, "B, A": {32, 31}, "A, B, A": {30, 31}, "A,B": {31, 32}} {
		got := apply(t, p, f.SetText(text)).Pockets[1].Ribs
		if !slices.Equal(got, want) {
			t.Errorf("ribs = %q gives %v, want %v", text, got, want)
		}
	}
}

func TestStockFields(t *testing.T) {
	p := plate.New("x") // 15 mm of 6082, as supplied
	get := func(p plate.Plate, key string) plate.Field { return field(t, plate.StockFields(p), "stock."+key) }

	q := apply(t, p, get(p, "nominal_mm").SetNumber(12))
	if q.Stock.Finished != 12 || q.Stock.Material.Ultimate != 300 || q.Stock.Material.Proof != 255 { // EN 485-2, 6 to 12.5 mm
		t.Errorf("12 mm as supplied: %+v", q.Stock)
	}
	q = apply(t, p, get(p, "top_face").SetText("machined"))
	if q.Stock.Finished != 15 || q.Stock.Nominal != 16 {
		t.Errorf("top face machined: %+v; want 15 from 16 mm, the next stocked", q.Stock)
	}
	q = apply(t, q, get(q, "bottom_face").SetText("machined"))
	if top, bottom := q.Stock.Allowances(); q.Stock.Nominal != 16 || top != 0.5 || bottom != 0.5 {
		t.Errorf("both faces machined: %+v, allowances %v and %v", q.Stock, top, bottom)
	}
	q = apply(t, q, get(q, "finished_mm").SetNumber(14))
	q = apply(t, q, get(q, "nominal_mm").SetNumber(18))
	if q.Stock.Finished != 14 || q.Stock.Nominal != 18 {
		t.Errorf("14 from 18 mm: %+v", q.Stock)
	}
	q = apply(t, q, get(q, "top_face").SetText("as supplied"))
	q = apply(t, q, get(q, "bottom_face").SetText("as supplied"))
	if q.Stock.Finished != 14 || q.Stock.Nominal != 14 {
		t.Errorf("as supplied again: %+v; want the finished thickness kept", q.Stock)
	}
	if _, err := get(p, "finished_mm").SetNumber(14).Apply(p); err == nil || !strings.Contains(err.Error(), "machine a face, or finish at 15 mm") {
		t.Errorf("thinner than stock as supplied: %v", err)
	}

	q = apply(t, p, get(p, "material").SetText("EN AW-7075 T651"))
	if m := q.Stock.Material; m.Alloy != "EN AW-7075" || m.Density != 2810 || m.Proof != 470 { // EN 485-2, 12.5 to 25 mm
		t.Errorf("7075: %+v", m)
	}
	q = apply(t, p, get(p, "material.proof_stress_mpa").SetNumber(250))
	if q.Stock.Material.Source != "entered by hand" {
		t.Errorf("source after a typed value: %q", q.Stock.Material.Source)
	}
	if r := apply(t, q, get(q, "nominal_mm").SetNumber(12)); r.Stock.Material != q.Stock.Material {
		t.Errorf("a typed material changed with the thickness: %+v", r.Stock.Material)
	}
	if _, err := get(p, "nominal_mm").SetNumber(190).Apply(p); err == nil || !strings.Contains(err.Error(), "no strength values at 190 mm") {
		t.Errorf("beyond the table: %v", err)
	}

	q = apply(t, p, get(p, "blank.fixed").SetNumber(1))
	if b := q.Stock.Blank; b != (plate.Blank{Fixed: true, X: -5, Y: -5, Width: 210, Height: 130}) {
		t.Errorf("fixed blank: %+v", b)
	}
	if q = apply(t, q, get(q, "blank.fixed").SetNumber(0)); q.Stock.Blank != (plate.Blank{Margin: 5}) {
		t.Errorf("blank by margin: %+v", q.Stock.Blank)
	}
}

func TestOutlineArcField(t *testing.T) {
	p := plate.New("x")
	q := apply(t, p, field(t, plate.OutlineFields(p, 0), "outline.corners[0].arc").SetNumber(1))
	if c := q.Outline.Corners[0]; !c.Arc || c.ThroughX != 100 || c.ThroughY != -20 {
		t.Errorf("arc: %+v; want through (100, -20), outside the rectangle of 200 mm", c)
	}
	q = apply(t, q, field(t, plate.OutlineFields(q, 0), "outline.corners[0].through_mm[1]").SetNumber(-7))
	if c := q.Outline.Corners[0]; c.ThroughY != -7 {
		t.Errorf("arc: %+v", c)
	}
	q = apply(t, q, field(t, plate.OutlineFields(q, 0), "outline.corners[0].arc").SetNumber(0))
	if !cmp.Equal(p, q) {
		t.Errorf("straight again:\n%s", cmp.Diff(p, q))
	}
}

func TestMachiningFields(t *testing.T) {
	p := full(t)
	q := apply(t, p, field(t, plate.MachiningFields(), "machining.shop").SetText("other"))
	if q.Machining.Shop != "other" || q.Machining.ShopHash != "" {
		t.Errorf("another shop keeps the hash of the old one: %+v", q.Machining)
	}
}
