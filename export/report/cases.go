package report

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"platewright/fea"
	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
)

// Rest computes what a window shows when the hand rests: the load cases, when they are asked for. A report that has them is
// returned as it is.
func (r Report) Rest(ctx context.Context) (Report, error) {
	if !r.in.Want.Has(Stress) || r.rest.Key == r.Key {
		return r, nil
	}
	r.Cases, r.Joints, r.Extra = Part[*fea.Result]{Key: r.Key}, nil, Part[*Extra]{}
	var found []finding.Finding
	if r.Layout.OK && r.Layout.Key == r.Key && (len(r.Plate.Cases) > 0 || r.in.More.any()) {
		var err error
		if found, err = r.analyse(ctx); err != nil {
			return Report{}, err
		}
	}
	r.rest = Part[[]finding.Finding]{Key: r.Key, Value: found, OK: true}
	return r, ctx.Err()
}

// Coarse is a quick analysis of the load cases, for a plate that is being dragged: elements as large as a rib is wide. Its
// result is marked coarse and belongs into no report. It is nil for a plate without cases, and where they cannot be analysed:
// what is the matter is said by Rest. from, which may be nil, is the model of the result before, whose mesh may be moved. The
// error is that of ctx.
func (r Report) Coarse(ctx context.Context, buffers *sparse.Buffers, from *fea.Model) (*fea.Result, error) {
	if !r.in.Want.Has(Stress) || !r.Layout.OK || r.Layout.Key != r.Key || len(r.Plate.Cases) == 0 {
		return nil, nil
	}
	res, err := fea.Solve(ctx, r.Layout.Value, fea.Options{Coarse: true, Buffers: buffers, From: from}, r.Plate.Cases)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, nil
	}
	return res, nil
}

// analyse fills the cases part. Where one case cannot be analysed the others still are, and a finding says why. The error is
// that of ctx.
func (r *Report) analyse(ctx context.Context) ([]finding.Finding, error) {
	// The result holds the model: buffers of its own would be kept with it, and are most of its memory.
	buffers := r.in.Buffers
	if buffers == nil {
		buffers = &sparse.Buffers{}
		defer buffers.Drop()
	}
	m, err := fea.NewModel(ctx, r.Layout.Value, fea.Options{Buffers: buffers})
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return []finding.Finding{caseAbsent(plate.LoadCase{}, err)}, nil
	}
	found, err := r.solve(ctx, m)
	if err != nil {
		return nil, err
	}
	more, err := r.more(ctx, m)
	return append(found, more...), err
}

// solve analyses the cases on a model.
func (r *Report) solve(ctx context.Context, m *fea.Model) ([]finding.Finding, error) {
	if len(r.Plate.Cases) == 0 {
		return nil, nil
	}
	res, failed, err := m.SolveEach(ctx, r.Plate.Cases)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return []finding.Finding{caseAbsent(plate.LoadCase{Name: "all cases"}, err)}, nil
	}
	var found []finding.Finding
	for i, err := range failed { // a wrong case does not keep the others from being seen
		if err != nil {
			found = append(found, caseAbsent(r.Plate.Cases[i], err))
		}
	}
	if len(res.Cases) == 0 {
		return found, nil
	}
	res.Notes = append(res.Notes, fea.LiveBandOf(r.Layout.Value).Text)
	r.Cases.Value, r.Cases.OK = res, true
	for i := range res.Cases {
		found = append(found, caseFindings(&res.Cases[i])...)
		found = append(found, besideSum(&res.Cases[i].Case, r.Plate.Loads)...)
	}
	return append(found, r.checkJoints()...), ctx.Err()
}

// WorkedLines are a worked sum for people to check: its steps, and the forces on the plate that it comes to. There are none
// where the origin is no sum, or one that cannot be worked.
func WorkedLines(o plate.Origin) []string {
	forces, lines, err := o.Work()
	if err != nil {
		return nil
	}
	for _, f := range forces {
		lines = append(lines, fmt.Sprintf("= %s, %s of it on the plate: %s %s", f.Name, plain(o.Share), significant(f.Value, 4), f.Unit))
	}
	return lines
}

// besideSum are notes about loads of a case that are none of the forces of its worked sum, and a warning where the sum has none.
func besideSum(c *plate.LoadCase, loads []plate.Load) []finding.Finding {
	if c.Origin.Kind != plate.Worked {
		return nil
	}
	beside, err := c.BesideSum(loads)
	if err != nil {
		return []finding.Finding{{
			Code: "worked-sum", Level: finding.Warning, Stage: plate.StageLoads, Feature: int64(c.ID), FeatureName: c.Name,
			What: fmt.Sprintf("load case %q: its worked sum gives no forces: %v", c.Name, err),
			Why:  "nothing says where the loads of the case come from", Source: "the document's worked sum",
			Fix: "correct the figures of the sum, or give the case another origin",
		}}
	}
	var sum []string
	forces, _, _ := c.Origin.Work()
	for _, f := range forces {
		sum = append(sum, fmt.Sprintf("%s %s %s", f.Name, significant(f.Value, 3), f.Unit))
	}
	var out []finding.Finding
	for _, f := range beside {
		out = append(out, finding.Finding{
			Code: "load-beside-sum", Level: finding.Note, Stage: plate.StageLoads, Feature: int64(c.ID), FeatureName: c.Name,
			What: fmt.Sprintf("load case %q: load %q is %s %s, before the case's factor, and none of the forces of its worked sum: %s",
				c.Name, f.Name, significant(f.Value, 3), f.Unit, strings.Join(sum, ", ")),
			Why: "a load that is not what the sum says was entered wrong, or has another origin", Source: "the document's worked sum",
			Fix: "correct the load or its factor, or give the case an origin that says where it comes from",
		})
	}
	return out
}

func caseAbsent(c plate.LoadCase, err error) finding.Finding {
	what := "the load cases"
	if c.ID != 0 {
		what = fmt.Sprintf("load case %q", c.Name)
	}
	why := strings.TrimPrefix(finding.Words(err), what+": ") // the case is named already
	f := absent("case-absent", plate.StageLoads, what, "correct the load, the support or the case that the message names", errors.New(why))
	f.Feature, f.FeatureName = int64(c.ID), c.Name
	return f
}

// caseFindings judges one case: its reserve, its error, and what it says nothing about.
func caseFindings(c *fea.CaseResult) []finding.Finding {
	base := finding.Finding{Stage: plate.StageLoads, Feature: int64(c.Case.ID), FeatureName: c.Case.Name}
	var out []finding.Finding
	if c.Reserve < 1 {
		f := base
		f.Code, f.Level = "reserve-low", finding.Error
		f.What = fmt.Sprintf("load case %q: the reserve factor is %s, below 1: %s MPa (von Mises, %s surface) against the %s of the material",
			c.Case.Name, round4(c.Reserve), round4(c.MaxVonMises), c.Surface, strengthName(c.Case.Kind))
		f.Why, f.Source = "metal that is stressed beyond its strength yields or breaks", "the document's load case and material"
		f.Fix = "add metal there, take a stronger material, or correct the load and its factor"
		f.Where, f.HasWhere = [2]float64{c.MaxVonMisesAt[0], c.MaxVonMisesAt[1]}, true
		out = append(out, f)
	}
	if c.ErrorPercent > errorMost {
		f := base
		f.Code, f.Level = "stress-coarse", finding.Warning
		f.What = fmt.Sprintf("load case %q: the estimated error of its stresses is %s %%, above %g %%", c.Case.Name, round2(c.ErrorPercent), errorMost)
		f.Why, f.Source = "stress between sharp corners and small details converges slowly", "recovered stress (Zienkiewicz and Zhu); the limit is common practice, no source"
		f.Fix = "trust the deflections, and look at the worst places with a finer model"
		out = append(out, f)
	}
	if f := c.FatigueResult; f != nil {
		out = append(out, fatigueFindings(c, f, base)...)
	}
	if c.Case.Cycles > 0 && c.FatigueResult == nil {
		f := base
		f.Code, f.Level = "fatigue-not-assessed", finding.Warning
		f.What = fmt.Sprintf("load case %q repeats %s times, and its fatigue strength is not assessed: %s",
			c.Case.Name, plain(c.Case.Cycles), strings.TrimPrefix(strings.TrimPrefix(c.Fatigue, "not assessed"), ": "))
		f.Why, f.Source = "aluminium has no fatigue limit: a load that is harmless once may break a plate in time", "EN 1999-1-3, from memory"
		f.Fix = "have the fatigue strength assessed by other means before the plate is used"
		out = append(out, f)
	}
	return out
}

// fatigueFindings judge the fatigue strength of a case, and say what it leaves out.
func fatigueFindings(c *fea.CaseResult, f *fea.FatigueResult, base finding.Finding) []finding.Finding {
	part := base
	part.Code, part.Level = "fatigue-in-part", finding.Warning
	part.What = fmt.Sprintf("load case %q repeats %s times: its fatigue strength is assessed where stress is a result, not at loaded bores, threads, rib roots and sharp corners",
		c.Case.Name, plain(c.Case.Cycles))
	part.Why, part.Source = "cracks begin at notches, which the live model leaves out", f.Source
	part.Fix = "have the notches assessed by other means before the plate is used"
	out := []finding.Finding{part}
	if f.Reserve < 1 {
		low := base
		low.Code, low.Level = "fatigue-low", finding.Error
		low.What = fmt.Sprintf("load case %q: the reserve on fatigue strength is %s, below 1: %s MPa against %s MPa at %s reversals",
			c.Case.Name, round4(f.Reserve), round4(f.Amplitude), round4(f.Design), plain(f.Cycles))
		low.Why, low.Source = "aluminium has no fatigue limit: a load that is harmless once may break a plate in time", f.Source
		low.Fix = "add metal there, or lower the load or the number of its cycles"
		low.Where, low.HasWhere = [2]float64{c.MaxVonMisesAt[0], c.MaxVonMisesAt[1]}, true
		out = append(out, low)
	}
	return out
}

// errorMost is the estimated error of stresses, in percent, above which a finding says so.
const errorMost = 15.0

func strengthName(k plate.CaseKind) string {
	if k == plate.Ultimate {
		return "ultimate strength"
	}
	return "proof stress"
}

// StressText writes the load cases alone, as "platewright stress" prints them. The error is ErrIncomplete, that of a case
// name that the report does not hold, or that of the writer.
func (r Report) StressText(only string) (string, error) {
	if !r.Complete() {
		return "", ErrIncomplete
	}
	var b strings.Builder
	r.writeHead(&b)
	if err := r.writeCases(&b, only, true); err != nil {
		return "", err
	}
	r.writeExtra(&b, only)
	b.WriteString("\n")
	for _, c := range Cautions() {
		wrap(&b, c, pageWidth, "", "")
	}
	return b.String(), nil
}

// ErrNoCase is wrapped by the error for a load case that a report does not hold.
var ErrNoCase = errors.New("there is no such load case, or it could not be analysed")

// writeCases writes the cases, or the one of the given name.
func (r Report) writeCases(b *strings.Builder, only string, full bool) error {
	if !r.Cases.OK {
		if only != "" {
			return fmt.Errorf("%q: %w", only, ErrNoCase)
		}
		if full && len(r.Plate.Cases) == 0 {
			b.WriteString("\nThe document has no load case.\n")
		} else if full {
			b.WriteString("\nNo load case could be analysed.\n")
			writeFindings(b, r.Findings())
		}
		return nil
	}
	b.WriteString("\nLoad cases: live model, a shell of the plate's metal; loads and supports are the designer's\n")
	t := table{right: "llrrrrrr"}
	t.add("case", "judged as", "deflection mm", "von Mises MPa", "surface", "reserve", "error %", "of")
	n := 0
	for i := range r.Cases.Value.Cases {
		c := &r.Cases.Value.Cases[i]
		if only != "" && c.Case.Name != only {
			continue
		}
		n++
		t.add(c.Case.Name, fmt.Sprintf("%s × %s", c.Case.Kind, plain(c.Case.Factor)), significant(c.MaxDeflection, 3), significant(c.MaxVonMises, 3),
			c.Surface.String(), reserveText(c.Reserve), round2(c.ErrorPercent), strengthName(c.Case.Kind))
	}
	if n == 0 {
		return fmt.Errorf("%q: %w", only, ErrNoCase)
	}
	t.write(b, "  ")
	for _, note := range r.Cases.Value.Notes {
		wrap(b, note, pageWidth, "  ", "    ")
	}
	if full {
		wrap(b, MeshText(r.Cases.Value.Mesh), pageWidth, "  ", "    ")
		for i := range r.Cases.Value.Cases {
			if c := &r.Cases.Value.Cases[i]; only == "" || c.Case.Name == only {
				r.writeCase(b, i)
				if i < len(r.Joints) {
					writeJoints(b, r.Joints[i])
				}
			}
		}
	}
	return nil
}

// MeshText says how fine the mesh is and how well its elements are shaped.
func MeshText(f fea.MeshFacts) string {
	divided := ""
	if f.Divided > f.Elements {
		divided = fmt.Sprintf(", divided into %d where stress peaks", f.Divided)
	}
	text := fmt.Sprintf("Mesh: %d elements, %d nodes%s; least angle %s° at %s, %s near %s",
		f.Elements, f.Nodes, divided, fixed(degrees(f.LeastAngle), 1), fixed(f.At.X, 1), fixed(f.At.Y, 1), f.Near)
	if f.Cause == "" {
		return text + "."
	}
	elements := "elements have"
	if f.Below == 1 {
		elements = "element has"
	}
	return text + fmt.Sprintf(" (%s); %d %s less than the %s° asked for where the plate's form allows it.", f.Cause, f.Below, elements, fixed(degrees(f.AskedAngle), 0))
}

func reserveText(v float64) string {
	if math.IsInf(v, 1) {
		return "no stress"
	}
	return significant(v, 3)
}

// writeCase writes everything that one case says.
func (r Report) writeCase(b *strings.Builder, i int) {
	c := &r.Cases.Value.Cases[i]
	fmt.Fprintf(b, "\n%s\n", c.Case.Name)
	if o := c.Case.Origin; o.Kind != "" {
		wrap(b, fmt.Sprintf("loads: %s. %s", o.Kind, o.Text), pageWidth, "  ", "    ")
	}
	for _, l := range WorkedLines(c.Case.Origin) {
		wrap(b, l, pageWidth, "    ", "      ")
	}
	t := table{right: "lrl"}
	t.add("deflection", significant(c.MaxDeflection, 3), "mm at "+place(c.MaxDeflectionAt))
	t.add("von Mises stress", significant(c.MaxVonMises, 3), fmt.Sprintf("MPa at %s, %s surface", place(c.MaxVonMisesAt), c.Surface))
	t.add("principal stresses", significant(c.Principal[0], 3)+", "+significant(c.Principal[1], 3), "MPa there, the greater at "+fixed(degrees(c.PrincipalRad), 1)+"° from x")
	t.add("reserve on proof stress", reserveText(c.ReserveProof))
	t.add("reserve on ultimate strength", reserveText(c.ReserveUltimate))
	for _, f := range c.Stiffness {
		t.add("stiffness, "+f.Name, significant(f.Value, 3), f.Unit+againstLoad(f.Value))
	}
	t.add("loads and reactions differ by", fmt.Sprintf("%.1e", c.Imbalance), "of the load")
	if x := r.Extra; x.OK && x.Key == r.Key && i < len(x.Value.Condition) {
		t.add("backward error of the equations", fmt.Sprintf("%.1e", c.Accuracy.BackwardError), fmt.Sprintf("at a condition of about %.1e", x.Value.Condition[i]))
	}
	t.add("estimated error of stresses", round2(c.ErrorPercent), "%")
	t.add("fatigue", c.Fatigue)
	t.write(b, "  ")
	if f := c.FatigueResult; f != nil {
		wrap(b, fmt.Sprintf("Fatigue: amplitude %s MPa, mean stress %s MPa, surface factor %s, notch factor %s, against %s MPa of the design curve (half the specimens fail at %s MPa) [%s]",
			significant(f.Amplitude, 3), significant(f.MeanMPa, 3), plain(f.Surface), plain(f.Notch), significant(f.Design, 3), significant(f.Mean, 3), f.Source), pageWidth, "  ", "    ")
		for _, n := range f.Notes {
			wrap(b, n, pageWidth, "    ", "      ")
		}
	}
	if len(c.Reactions) > 0 {
		t := table{right: "lrrrrrr"}
		t.add("reaction of", "Fx N", "Fy N", "Fz N", "Mx N·m", "My N·m", "Mz N·m")
		for _, a := range c.Reactions {
			row := []string{a.Name}
			for _, v := range a.Force {
				row = append(row, fixed(zeroed(v, c.Magnitude), 1))
			}
			for _, v := range a.Moment {
				row = append(row, fixed(v/1e3, 2))
			}
			t.add(row...)
		}
		t.write(b, "  ")
	}
	if len(c.LeftOut) > 0 {
		b.WriteString("  Not a stress result, and left out of the figures above:\n")
		for _, l := range c.LeftOut {
			wrap(b, fmt.Sprintf("%s MPa at %s: %s", significant(l.MPa, 3), place(l.At), l.Why), pageWidth, "    ", "      ")
		}
	}
	for _, n := range c.Notes {
		wrap(b, n, pageWidth, "  ", "    ")
	}
}

// againstLoad explains a stiffness below zero.
func againstLoad(stiffness float64) string {
	if stiffness < 0 {
		return ", moved against this load by the others"
	}
	return ""
}

func place(p [3]float64) string {
	return fmt.Sprintf("%s, %s, %s", fixed(p[0], 1), fixed(p[1], 1), fixed(p[2], 1))
}

// The JSON of the load cases.
type (
	jsonCase struct {
		Name       string         `json:"name"`
		Kind       string         `json:"kind"`
		Factor     float64        `json:"factor"`
		Origin     string         `json:"origin"`
		Worked     []jsonFigure   `json:"worked_sum,omitempty"`
		Model      string         `json:"model"`
		Deflection float64        `json:"max_deflection_mm"`
		DeflectAt  [3]float64     `json:"max_deflection_at_mm"`
		VonMises   float64        `json:"max_von_mises_mpa"`
		VonMisesAt [3]float64     `json:"max_von_mises_at_mm"`
		Surface    string         `json:"surface"`
		Principal  [2]float64     `json:"principal_mpa"`
		Reserve    *float64       `json:"reserve_factor,omitempty"` // absent without stress
		LeftOut    []jsonLeftOut  `json:"left_out"`
		Joints     []jsonJoint    `json:"joints"`
		Fatigue    any            `json:"fatigue"` // the words "not assessed" with the reason, or a jsonFatigue
		Stiffness  []jsonFigure   `json:"stiffness"`
		Band       []jsonRange    `json:"band,omitempty"`   // on request
		Energy     []jsonEnergy   `json:"energy,omitempty"` // on request
		Reactions  []jsonReaction `json:"reactions"`
		Imbalance  float64        `json:"imbalance"`
		Backward   float64        `json:"backward_error"`
		Condition  *float64       `json:"condition_estimate,omitempty"` // on request
		Error      float64        `json:"error_estimate_percent"`
		LiveError  string         `json:"live_model_error,omitempty"` // absent in a result without a model
		Notes      []string       `json:"notes,omitempty"`
	}
	jsonFatigue struct {
		Cycles    float64  `json:"cycles"`
		Amplitude float64  `json:"amplitude_mpa"`
		Mean      float64  `json:"mean_stress_mpa"`
		Strength  float64  `json:"strength_mpa"`
		Median    float64  `json:"strength_of_half_the_specimens_mpa"`
		Surface   float64  `json:"surface_factor"`
		Notch     float64  `json:"notch_factor"`
		Reserve   float64  `json:"reserve_factor"`
		Source    string   `json:"source"`
		Notes     []string `json:"notes"`
	}
	jsonLeftOut struct {
		At  [3]float64 `json:"at_mm"`
		Why string     `json:"why"`
		MPa float64    `json:"mpa"`
	}
	jsonMesh struct {
		Elements int        `json:"elements"`
		Nodes    int        `json:"nodes"`
		Divided  int        `json:"elements_for_stresses"`
		Angle    float64    `json:"least_angle_deg"`
		At       [2]float64 `json:"least_angle_at_mm"`
		Near     string     `json:"least_angle_near"`
		Cause    string     `json:"least_angle_cause,omitempty"`
		Asked    float64    `json:"asked_angle_deg"`
		Below    int        `json:"elements_below_asked"`
	}
	jsonFigure struct { // a named figure with its unit
		Name  string  `json:"name"`
		Value float64 `json:"value"`
		Unit  string  `json:"unit"`
	}
	jsonReaction struct {
		Support string     `json:"support"`
		At      [3]float64 `json:"at_mm"`
		Force   [3]float64 `json:"force_n"`
		Moment  [3]float64 `json:"moment_n_mm"`
	}
)

func jsonMeshOf(f fea.MeshFacts) *jsonMesh {
	return &jsonMesh{f.Elements, f.Nodes, f.Divided, degrees(f.LeastAngle), [2]float64{f.At.X, f.At.Y}, f.Near, f.Cause, degrees(f.AskedAngle), f.Below}
}

func jsonCasesOf(r *fea.Result, joints [][]check.Joint) *[]jsonCase {
	band := liveBand(r)
	out := make([]jsonCase, 0, len(r.Cases))
	for i := range r.Cases {
		c := &r.Cases[i]
		j := jsonCase{
			Name: c.Case.Name, Kind: string(c.Case.Kind), Factor: c.Case.Factor, Model: "live",
			Origin:     strings.TrimSpace(string(c.Case.Origin.Kind) + " " + c.Case.Origin.Text),
			Deflection: c.MaxDeflection, DeflectAt: c.MaxDeflectionAt, VonMises: c.MaxVonMises, VonMisesAt: c.MaxVonMisesAt,
			Surface: c.Surface.String(), Principal: c.Principal, Fatigue: c.Fatigue, Imbalance: c.Imbalance,
			Backward: c.Accuracy.BackwardError, Error: c.ErrorPercent, LiveError: band, Notes: c.Notes,
			LeftOut: []jsonLeftOut{}, Stiffness: []jsonFigure{}, Reactions: []jsonReaction{}, Joints: []jsonJoint{},
		}
		if forces, _, err := c.Case.Origin.Work(); err == nil {
			for _, f := range forces {
				j.Worked = append(j.Worked, jsonFigure{f.Name, f.Value, f.Unit})
			}
		}
		if i < len(joints) {
			j.Joints = jsonJointsOf(joints[i])
		}
		if f := c.FatigueResult; f != nil {
			j.Fatigue = jsonFatigue{f.Cycles, f.Amplitude, f.MeanMPa, f.Design, f.Mean, f.Surface, f.Notch, f.Reserve, f.Source, f.Notes}
		}
		if !math.IsInf(c.Reserve, 0) {
			j.Reserve = &c.Reserve
		}
		for _, l := range c.LeftOut {
			j.LeftOut = append(j.LeftOut, jsonLeftOut{l.At, l.Why, l.MPa})
		}
		for _, f := range c.Stiffness {
			if !math.IsInf(f.Value, 0) { // nothing moved there
				j.Stiffness = append(j.Stiffness, jsonFigure(f))
			}
		}
		for _, a := range c.Reactions {
			j.Reactions = append(j.Reactions, jsonReaction{a.Name, a.At, a.Force, a.Moment})
		}
		out = append(out, j)
	}
	return &out
}
