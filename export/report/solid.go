package report

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/fea"
)

// SolidCheck runs the solid check of the report's load cases, or of the one named. progress may be nil. The error is
// ErrIncomplete, ErrNoCase, that of ctx, or says why the plate cannot be checked.
func (r Report) SolidCheck(ctx context.Context, only string, progress func(done, all int, name string)) (*fea.SolidResult, error) {
	if !r.Complete() {
		return nil, ErrIncomplete
	}
	if !r.Cases.OK {
		return nil, fmt.Errorf("%q: %w", only, ErrNoCase)
	}
	s, err := r.Cases.Value.SolidCheck(ctx, fea.SolidOptions{Only: only, Progress: progress})
	if err == nil && len(s.Cases) == 0 {
		return nil, fmt.Errorf("%q: %w", only, ErrNoCase)
	}
	return s, err
}

// SolidText writes a solid check of the report's load cases beside the live model, as "platewright stress --solid" prints it.
func (r Report) SolidText(s *fea.SolidResult) string {
	var b strings.Builder
	r.writeHead(&b)
	fmt.Fprintf(&b, "\nSolid check: %v\n", s)
	if s.OwnMesh {
		finer := "finer"
		if s.Coarse {
			finer = "coarser"
		}
		wrap(&b, "The live model's figures below are those of the check's own mesh, which is "+finer+" than that of \"platewright stress\".", pageWidth, "  ", "    ")
	}
	for i := range s.Cases {
		writeSolidCase(&b, &s.Cases[i])
	}
	b.WriteString("\n")
	for _, n := range s.Notes {
		wrap(&b, n, pageWidth, "  ", "    ")
	}
	b.WriteString("\n")
	for _, c := range Cautions() {
		wrap(&b, c, pageWidth, "", "")
	}
	return b.String()
}

func writeSolidCase(b *strings.Builder, c *fea.SolidCase) {
	fmt.Fprintf(b, "\n%s\n", c.Case.Name)
	if c.Refused != "" {
		wrap(b, "not checked: "+c.Refused, pageWidth, "  ", "    ")
		return
	}
	t := table{right: "lrrrll"}
	t.add("", "solid", "live", "live model's error", "", "place in the solid model")
	row := func(name string, own, live, percent float64, unit, at string) {
		t.add(name, significant(own, 3), significant(live, 3), Percent(percent), unit, at)
	}
	row("greatest deflection", c.MaxDeflection, c.Live.MaxDeflection, c.LiveError.Deflection, "mm", place(c.MaxDeflectionAt))
	row("greatest von Mises stress", c.MaxVonMises, c.Live.MaxVonMises, c.LiveError.VonMises, "MPa", place(c.MaxVonMisesAt))
	for i, f := range c.Stiffness {
		row("stiffness, "+f.Name, f.Value, c.LiveStiffness[i].Value, c.LiveError.Each[i], f.Unit, "")
	}
	t.add("stiffness along all loads together", "", "", Percent(c.LiveError.Stiffness), "", "")
	t.write(b, "  ")
	if c.ContactRounds > 0 {
		wrap(b, pinsText(c.ContactRounds-1, c.Pulling), pageWidth, "  ", "    ")
	}
	if len(c.LeftOut) > 0 {
		b.WriteString("  Not a stress result, and left out of the figures above:\n")
		for _, l := range c.LeftOut {
			wrap(b, fmt.Sprintf("%s MPa at %s: %s", significant(l.MPa, 3), place(l.At), l.Why), pageWidth, "    ", "      ")
		}
	}
}

// pinsText says where walls press on their pins in the solid model: the places of the live model, corrected that many times,
// and the share of the force on pins by places that would have to change still.
func pinsText(corrected int, pulling float64) string {
	s := "Walls press on their pins where they do in the live model"
	switch corrected {
	case 0:
	case 1:
		s += ", corrected once"
	default:
		s += fmt.Sprintf(", corrected %d times", corrected)
	}
	if pulling == 0 {
		return s + "; every place keeps the side that it was given."
	}
	return s + fmt.Sprintf("; places still on the wrong side carry %s %% of the force on pins.", significant(100*pulling, 2))
}

// liveBand says how exact the live model is on the plate of a result.
func liveBand(r *fea.Result) string {
	if r.Model == nil {
		return ""
	}
	return fea.LiveBandOf(r.Model.Layout).Text
}

// Percent writes a difference in percent with its sign, to a tenth.
func Percent(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	if math.Abs(v) < 0.05 {
		v = 0
	}
	return strings.Replace(fmt.Sprintf("%+.1f %%", v), "-", "−", 1)
}

// The JSON of a solid check: a case as that of the live model, as far as the check has its figures.
type (
	jsonSolidCase struct {
		Name       string         `json:"name"`
		Kind       string         `json:"kind"`
		Factor     float64        `json:"factor"`
		Origin     string         `json:"origin"`
		Model      string         `json:"model"`
		Refused    string         `json:"not_checked,omitempty"`
		Unknowns   int            `json:"unknowns"`
		Layers     int            `json:"layers"`
		OwnMesh    bool           `json:"own_coarser_mesh"`
		Deflection float64        `json:"max_deflection_mm"`
		DeflectAt  [3]float64     `json:"max_deflection_at_mm"`
		VonMises   float64        `json:"max_von_mises_mpa"`
		VonMisesAt [3]float64     `json:"max_von_mises_at_mm"`
		LeftOut    []jsonLeftOut  `json:"left_out"`
		Stiffness  []jsonFigure   `json:"stiffness"`
		Imbalance  float64        `json:"imbalance"`
		Backward   float64        `json:"backward_error"`
		Live       *jsonLive      `json:"live,omitempty"`
		Error      *jsonLiveError `json:"live_model_error_percent,omitempty"`
	}
	// jsonLive is the live model on the mesh of the check.
	jsonLive struct {
		Deflection float64      `json:"max_deflection_mm"`
		VonMises   float64      `json:"max_von_mises_mpa"`
		Stiffness  []jsonFigure `json:"stiffness"`
	}
	jsonLiveError struct {
		Deflection *float64    `json:"max_deflection"`
		VonMises   *float64    `json:"max_von_mises"`
		Each       []jsonShare `json:"stiffness"`
		All        *float64    `json:"stiffness_along_all_loads"`
	}
	jsonShare struct {
		Name    string   `json:"name"`
		Percent *float64 `json:"percent"`
	}
)

// SolidJSON writes the solid check with the first line's keys of every report, the cases with "model": "solid".
func (r Report) SolidJSON(s *fea.SolidResult) (string, error) {
	cases := make([]jsonSolidCase, 0, len(s.Cases))
	for i := range s.Cases {
		cases = append(cases, jsonSolidOf(s, &s.Cases[i]))
	}
	out := struct {
		Format         string          `json:"format"`
		ProgramVersion string          `json:"program_version"`
		Name           string          `json:"name"`
		Revision       string          `json:"revision"`
		ProfileHash    string          `json:"profile_hash"`
		Cases          []jsonSolidCase `json:"cases"`
		Notes          []string        `json:"notes"`
		Findings       []jsonFinding   `json:"findings"`
	}{Format, r.Key.Program, r.Plate.Name, r.Key.Revision, r.Key.Profile, cases, slices.Concat(s.Notes, Cautions()), jsonFindings(r.Findings())}
	data, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return "", fmt.Errorf("report: the solid check cannot be written: %w", err)
	}
	return string(data) + "\n", nil
}

func jsonSolidOf(s *fea.SolidResult, c *fea.SolidCase) jsonSolidCase {
	j := jsonSolidCase{
		Name: c.Case.Name, Kind: string(c.Case.Kind), Factor: c.Case.Factor, Model: "solid", Refused: c.Refused,
		Origin:   strings.TrimSpace(string(c.Case.Origin.Kind) + " " + c.Case.Origin.Text),
		Unknowns: s.Unknowns, Layers: s.Layers, OwnMesh: s.OwnMesh, LeftOut: []jsonLeftOut{}, Stiffness: []jsonFigure{},
	}
	if c.Refused != "" {
		return j
	}
	j.Deflection, j.DeflectAt, j.VonMises, j.VonMisesAt = c.MaxDeflection, c.MaxDeflectionAt, c.MaxVonMises, c.MaxVonMisesAt
	j.Imbalance, j.Backward = c.Imbalance, c.Accuracy.BackwardError
	for _, l := range c.LeftOut {
		j.LeftOut = append(j.LeftOut, jsonLeftOut{l.At, l.Why, l.MPa})
	}
	j.Live = &jsonLive{c.Live.MaxDeflection, c.Live.MaxVonMises, []jsonFigure{}}
	e := c.LiveError
	j.Error = &jsonLiveError{Deflection: percentOf(e.Deflection), VonMises: percentOf(e.VonMises), Each: []jsonShare{}, All: percentOf(e.Stiffness)}
	for i, f := range c.Stiffness {
		j.Stiffness = append(j.Stiffness, jsonFigure(f))
		j.Live.Stiffness = append(j.Live.Stiffness, jsonFigure(c.LiveStiffness[i]))
		j.Error.Each = append(j.Error.Each, jsonShare{f.Name, percentOf(e.Each[i])})
	}
	return j
}

// percentOf is nil for what is no number, such as a share of nothing.
func percentOf(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
