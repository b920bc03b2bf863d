package route

import (
	"strings"
	"testing"

	"platewright/plate"
)

// Every class of operation whose tool can be asked for takes what is asked where it does, and refuses by name what does not; the
// rule's choice holds then.
func TestAskedTools(t *testing.T) {
	doc := samplePlate(t, "camera-dolly-deck")
	p := exampleShop(t)
	second := p.Tools[0]
	for _, k := range p.Tools { // a second one of its kind for every class, with a name of its own
		switch {
		case k.ID == "FM80":
			second = k
			second.ID = "FM80-other"
		case k.ID == "SD10", k.ID == "CH8":
			second = k
			second.ID = k.ID + "-other"
		default:
			continue
		}
		p.Tools = append(p.Tools, second)
	}
	plan := func(c plate.OperationChange) Plan {
		t.Helper()
		d := doc
		c.ID = 9000
		d.Machining.Changes = []plate.OperationChange{c}
		got, err := Make(t.Context(), derive(t, d), p)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	plain := plan(plate.OperationChange{Class: "tap", Feature: 1, Order: 1})
	feature := func(class string) plate.ID {
		for _, o := range plain.Operations {
			if o.Class == class && len(o.Features) > 0 {
				return o.Features[0]
			}
		}
		return 0
	}
	of := func(pl Plan, class string, f plate.ID) (ids []string) {
		for _, o := range pl.Operations {
			if o.Class != class {
				continue
			}
			for _, id := range o.Features {
				if id == f {
					ids = append(ids, o.Tool.ID)
				}
			}
			if f == 0 {
				ids = append(ids, o.Tool.ID)
			}
		}
		return ids
	}
	for _, c := range []struct {
		class, tool string
		outline     bool // of the outline and the faces, which have no feature
	}{
		{"face", "FM80-other", true},
		{"rough outline", "EM16", true},
		{"finish outline", "EM16", true},
		{"spot", "SD10-other", false},
		{"break edges", "CH8-other", true},
		{"chamfer", "CH8-other", false},
		{"countersink", "CH8-other", false},
	} {
		var f plate.ID
		if !c.outline {
			f = feature(c.class)
		}
		if before := of(plain, c.class, f); len(before) == 0 {
			t.Errorf("%s: the sample has no such operation, so that nothing is tested", c.class)
			continue
		} else if strings.Contains(strings.Join(before, " "), c.tool) {
			t.Errorf("%s: %s is the rule's choice already", c.class, c.tool)
		}
		got := plan(plate.OperationChange{Class: c.class, Feature: f, Tool: c.tool})
		if ids := of(got, c.class, f); !strings.Contains(strings.Join(ids, " "), c.tool) {
			t.Errorf("%s: %s was asked for, the plan takes %v", c.class, c.tool, ids)
			for _, x := range got.Findings {
				if strings.HasPrefix(x.Code, "change") {
					t.Log(x.What)
				}
			}
		}
		wrong := plan(plate.OperationChange{Class: c.class, Feature: f, Tool: "TAP-M6"})
		said := false
		for _, x := range wrong.Findings {
			said = said || x.Code == "change-tool" && strings.Contains(x.What, "TAP-M6")
		}
		if !said || len(of(wrong, c.class, f)) != len(of(plain, c.class, f)) {
			t.Errorf("%s: a tap was asked for: said %v, tools %v", c.class, said, of(wrong, c.class, f))
		}
	}
	for _, c := range []plate.OperationChange{
		{Class: "tap", Feature: feature("tap"), Tool: "EM12"},
		{Tool: "EM12"},
	} {
		said := false
		for _, x := range plan(c).Findings {
			said = said || x.Code == "change-tool" && strings.Contains(x.Fix, "rough outline")
		}
		if !said {
			t.Errorf("class %q, feature %d: nothing says for which classes a tool can be asked", c.Class, c.Feature)
		}
	}
}
