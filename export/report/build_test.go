package report_test

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/shop"
	"platewright/samples"
)

// inputs are the inputs of a report of a sample.
func inputs(t testing.TB, name string) report.Inputs {
	t.Helper()
	s, err := samples.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plate.Decode(s.Data)
	if err != nil {
		t.Fatal(err)
	}
	profile, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	// The load cases of the samples take seconds; cases_test.go has a plate of its own for them.
	return report.Inputs{Plate: p, Profile: profile, Program: "test", Want: report.All &^ report.Stress}
}

func build(t testing.TB, in report.Inputs) report.Report {
	t.Helper()
	r, err := report.Build(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func printed(t testing.TB, r report.Report) []byte {
	t.Helper()
	data, err := r.JSON(report.All)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Frame and then Follow, as a window goes, end in the report that Build makes, byte for byte; in between the report is
// not complete, and has what belongs to the frame.
func TestStagesEndInTheSameReport(t *testing.T) {
	for _, name := range samples.Names() {
		in := inputs(t, name)
		whole := build(t, in)
		r, err := report.Frame(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		if r.Complete() || !r.Layout.OK || !r.Mass.OK || r.Machining.OK || r.Sections.OK {
			t.Errorf("%s: after Frame complete %v, layout %v, mass %v, machining %v, sections %v",
				name, r.Complete(), r.Layout.OK, r.Mass.OK, r.Machining.OK, r.Sections.OK)
		}
		if r, err = r.With(whole).Follow(context.Background()); err != nil {
			t.Fatal(err)
		}
		if !r.Complete() || !bytes.Equal(printed(t, r), printed(t, whole)) {
			t.Errorf("%s: the stages end in another report than Build", name)
		}
	}
}

// After an edit the parts of the last report stand beside the new frame with their own key, until Follow replaces them.
func TestEditLeavesOldPartsGreyed(t *testing.T) {
	in := inputs(t, "field-robot-rocker")
	last := build(t, in)
	in.Plate = in.Plate.Clone()
	in.Plate.Stock.Material.Density *= 0.9
	r, err := report.Frame(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	r = r.With(last)
	if r.Mass.Key != r.Key || r.Mass.Value.MassKG >= last.Mass.Value.MassKG {
		t.Errorf("lighter metal weighs %v kg, before %v kg; its key is current: %v", r.Mass.Value.MassKG, last.Mass.Value.MassKG, r.Mass.Key == r.Key)
	}
	if r.Machining.Key != last.Key || !r.Machining.OK || r.Complete() {
		t.Errorf("machining: key %v, there %v; complete %v", r.Machining.Key, r.Machining.OK, r.Complete())
	}
	for _, target := range r.Targets() {
		if target.Quantity == plate.CycleMin && target.Known {
			t.Errorf("target %q is judged on minutes of the last revision", target.Name)
		}
	}
	if r, err = r.Follow(context.Background()); err != nil || r.Machining.Key != r.Key || !r.Complete() {
		t.Errorf("after Follow: error %v, complete %v", err, r.Complete())
	}
}

// Two runs give the same bytes, as JSON, text and route card.
func TestSameInputsSameBytes(t *testing.T) {
	print := func() []byte {
		var buf bytes.Buffer
		r := build(t, inputs(t, "camera-dolly-cheek"))
		buf.Write(printed(t, r))
		if err := errors.Join(r.Text(&buf, report.All), r.FindingsText(&buf), r.RouteCard(&buf)); err != nil {
			t.Fatal(err)
		}
		return buf.Bytes()
	}
	if first := print(); !bytes.Equal(first, print()) {
		t.Error("two runs on one key differ")
	}
}

// A run that is called off ends with the context's error and no report, whichever stage it is in.
func TestCalledOff(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	in := inputs(t, "cargo-trike-side-plate")
	r, err := report.Frame(ctx, in)
	if err != nil {
		t.Fatal(err)
	}
	cancel()
	if _, err := r.Follow(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("Follow: error %v, want %v", err, context.Canceled)
	}
	if _, err := report.Frame(ctx, in); !errors.Is(err, context.Canceled) {
		t.Errorf("Frame: error %v, want %v", err, context.Canceled)
	}
	if _, err := report.Build(ctx, in); !errors.Is(err, context.Canceled) {
		t.Errorf("Build: error %v, want %v", err, context.Canceled)
	}
}

// A complete report is not computed again: Follow on it needs no time, and so ends well under a context that is over.
func TestFollowKeepsWhatIsThere(t *testing.T) {
	in := inputs(t, "field-robot-rocker")
	whole := build(t, in)
	again, err := report.Frame(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if got, err := again.With(whole).Follow(ctx); err != nil || !got.Complete() {
		t.Errorf("error %v, complete %v", err, got.Complete())
	}
}

func codes(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Code)
	}
	return out
}

// A document that is not valid, or whose shape cannot be derived, gives a complete report without figures, with findings
// that say why.
func TestNoFiguresWithoutAShape(t *testing.T) {
	tests := map[string]struct {
		spoil func(*plate.Plate)
		stage string
	}{
		"not valid":  {func(p *plate.Plate) { p.Bores[0].Diameter = -1 }, "bores"},
		"no outline": {func(p *plate.Plate) { p.Outline.Corners = p.Outline.Corners[:1] }, "outline"},
		"crossing outline": {func(p *plate.Plate) {
			p.Outline.Corners = []plate.Corner{{}, {X: 100, Y: 100}, {X: 100}, {Y: 100}}
		}, "outline"},
	}
	for name, tt := range tests {
		in := inputs(t, "field-robot-rocker")
		in.Plate = in.Plate.Clone()
		tt.spoil(&in.Plate)
		r := build(t, in)
		if !r.Complete() || r.Layout.OK || r.Mass.OK || r.Sections.OK || r.Machining.OK {
			t.Errorf("%s: complete %v, layout %v, mass %v, sections %v, machining %v",
				name, r.Complete(), r.Layout.OK, r.Mass.OK, r.Sections.OK, r.Machining.OK)
		}
		fs := r.Findings()
		if !slices.ContainsFunc(fs, func(f finding.Finding) bool { return f.Level == finding.Error && f.Stage == tt.stage && f.What != "" }) {
			t.Errorf("%s: no error of stage %q among %v", name, tt.stage, fs)
		}
		if !slices.Contains(codes(fs), "figures-absent") || slices.Contains(codes(fs), "target-missed") {
			t.Errorf("%s: findings %v", name, codes(fs))
		}
		for _, key := range []string{`"mass"`, `"sections"`, `"machining"`, `"targets"`, "0}"} {
			if strings.Contains(string(printed(t, r)), key) {
				t.Errorf("%s: %s is printed", name, key)
			}
		}
	}
}

func TestBaseline(t *testing.T) {
	in := inputs(t, "cargo-trike-side-plate")
	old := in.Plate
	in.Baseline = &old
	if r := build(t, in); !r.Baseline.OK || len(r.Baseline.Value.Changes) != 0 {
		t.Errorf("against itself: %v", r.Baseline.Value.Changes)
	}

	in.Plate = old.Clone()
	in.Plate.Pockets[0].Depth--
	r := build(t, in)
	base := build(t, report.Inputs{Plate: old, Profile: in.Profile, Program: in.Program})
	if r.Baseline.Value.Revision != base.Key.Revision {
		t.Errorf("revision of the baseline = %q, want %q", r.Baseline.Value.Revision, base.Key.Revision)
	}
	found := false
	for _, c := range r.Baseline.Value.Changes {
		if c.Name == "mass" {
			found = c.From == base.Mass.Value.MassKG && c.To == r.Mass.Value.MassKG && c.To > c.From && c.Unit == "kg"
		}
		if c.Name == "blank mass" {
			t.Errorf("the blank is the same, but its mass changed: %+v", c)
		}
	}
	if !found {
		t.Errorf("no change of mass from %v to %v in %v", base.Mass.Value.MassKG, r.Mass.Value.MassKG, r.Baseline.Value.Changes)
	}

	old = old.Clone()
	old.Outline.Corners = nil
	in.Baseline = &old
	if r := build(t, in); r.Baseline.OK || !slices.Contains(codes(r.Findings()), "baseline-absent") || !r.Mass.OK {
		t.Errorf("a baseline without a shape: there %v, findings %v", r.Baseline.OK, codes(r.Findings()))
	}
}

// The document says for which profile its minutes were looked at; another one is a note.
func TestProfileChanged(t *testing.T) {
	in := inputs(t, "field-robot-rocker")
	has := func() bool {
		return slices.Contains(codes(build(t, in).Findings()), "profile-changed")
	}
	in.Plate.Machining.ShopHash = in.Profile.Hash()
	if has() {
		t.Error("the profile is the one recorded, but a finding says that it changed")
	}
	in.Plate.Machining.ShopHash = strings.Repeat("0", 64)
	if !has() {
		t.Error("another profile was recorded, but no finding says so")
	}
}

// A cut line of the command line replaces those of the document, and leaves their targets unjudged.
func TestOtherCutLines(t *testing.T) {
	in := inputs(t, "cargo-trike-side-plate")
	in.CutLines = []plate.CutLine{{Name: "x = 100", X1: 100, Y1: -50, X2: 100, Y2: 300}}
	in.Want = report.Sections
	r := build(t, in)
	if len(r.Sections.Value) != 1 || r.Sections.Value[0].Name != "x = 100" || r.Machining.OK || r.Mass.OK {
		t.Errorf("sections %v, machining %v, mass %v", r.Sections.Value, r.Machining.OK, r.Mass.OK)
	}
	for _, c := range codes(r.Findings()) {
		if strings.HasPrefix(c, "target-") {
			t.Errorf("finding %q of a target that was not asked for", c)
		}
	}
}

func TestUnread(t *testing.T) {
	why := []finding.Finding{{Code: "document-unread", Level: finding.Error, What: "x"}}
	r := report.Unread(report.Inputs{Program: "test"}, why)
	if !r.Complete() {
		t.Error("the report of a document that cannot be read is not complete")
	}
	var got bytes.Buffer
	data, err := r.JSON(report.All)
	if err != nil || !bytes.Contains(data, []byte(`"document-unread"`)) || bytes.Contains(data, []byte(`"revision"`)) {
		t.Errorf("JSON %s, error %v", data, err)
	}
	if err := r.RouteCard(&got); !errors.Is(err, report.ErrNoPlan) {
		t.Errorf("route card: error %v, want %v", err, report.ErrNoPlan)
	}
}
