package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/fea/torsion"
	"platewright/plate/finding"
	"platewright/plate/mass"
	"platewright/plate/quote"
	"platewright/plate/route"
	"platewright/plate/section"
)

// Format names the shape of the JSON that a report is printed in.
const Format = "platewright-report/1"

// ErrIncomplete says that a report lacks parts of the job as it is now, so that it is not printed.
var ErrIncomplete = errors.New("report: not all parts belong to the job as it is now")

// The types below are the JSON of a report: keys in the order in which they are printed, every one with its unit. A nil
// pointer is a part that is absent.
type (
	jsonReport struct {
		Format           string         `json:"format"`
		ProgramVersion   string         `json:"program_version"`
		Name             string         `json:"name,omitempty"`
		Revision         string         `json:"revision,omitempty"`
		ProfileHash      string         `json:"profile_hash"`
		Mass             *jsonMass      `json:"mass,omitempty"`
		Sections         *[]jsonSection `json:"sections,omitempty"`
		Sweep            *jsonSweep     `json:"sweep,omitempty"`
		Cases            *[]jsonCase    `json:"cases,omitempty"`
		Mesh             *jsonMesh      `json:"mesh,omitempty"`
		StiffnessAt      []jsonStiff    `json:"stiffness_at,omitempty"`
		StiffnessBetween []jsonStiff    `json:"stiffness_between,omitempty"`
		Frequencies      []jsonModes    `json:"natural_frequencies,omitempty"`
		Machining        *jsonMachining `json:"machining,omitempty"`
		Quote            *jsonQuote     `json:"quote,omitempty"`
		Findings         []jsonFinding  `json:"findings"`
		Targets          *[]jsonTarget  `json:"targets,omitempty"`
		Baseline         *jsonBaseline  `json:"baseline,omitempty"`
	}
	jsonMass struct {
		MassKG      float64     `json:"mass_kg"`
		Volume      float64     `json:"volume_mm3"`
		Density     float64     `json:"density_kg_m3"`
		Centroid    [3]float64  `json:"centroid_mm"`
		Inertia     jsonInertia `json:"inertia_kg_mm2"`
		BlankMassKG float64     `json:"blank_mass_kg"`
		Removed     float64     `json:"removed_mm3"`
		BuyToFly    float64     `json:"buy_to_fly"`
		WettedArea  float64     `json:"wetted_area_mm2"`
	}
	jsonInertia struct {
		XX float64 `json:"xx"`
		YY float64 `json:"yy"`
		ZZ float64 `json:"zz"`
		XY float64 `json:"xy"`
		XZ float64 `json:"xz"`
		YZ float64 `json:"yz"`
	}
	jsonSection struct {
		Name     string      `json:"name"`
		Pieces   int         `json:"pieces"`
		Area     float64     `json:"area_mm2"`
		Centroid [2]float64  `json:"centroid_mm"`
		ISS      float64     `json:"i_ss_mm4"`
		IZZ      float64     `json:"i_zz_mm4"`
		ISZ      float64     `json:"i_sz_mm4"`
		I1       float64     `json:"i_1_mm4"`
		I2       float64     `json:"i_2_mm4"`
		AxisDeg  float64     `json:"axis_deg"`
		J        *float64    `json:"j_mm4,omitempty"`
		EA       float64     `json:"ea_n"`
		EISS     float64     `json:"ei_ss_n_mm2"`
		EIZZ     float64     `json:"ei_zz_n_mm2"`
		GJ       *float64    `json:"gj_n_mm2,omitempty"`
		Bound    string      `json:"gj_is,omitempty"`
		Twist    []jsonTwist `json:"pieces_in_torsion,omitempty"`
	}
	jsonTwist struct {
		J           float64    `json:"j_mm4"`
		Centroid    [2]float64 `json:"centroid_mm"`
		ShearCentre [2]float64 `json:"shear_centre_mm"`
		Warping     float64    `json:"warping_mm6"`
	}
	jsonQuote struct {
		Currency  string      `json:"currency"`
		Example   bool        `json:"example_rates"`
		ValidDays int         `json:"valid_days"`
		Batches   []jsonBatch `json:"batches"`
	}
	jsonBatch struct {
		Quantity   int        `json:"quantity"`
		PiecePrice string     `json:"piece_price"`
		Low        string     `json:"piece_price_low"`
		High       string     `json:"piece_price_high"`
		Total      string     `json:"total"`
		Lines      []jsonLine `json:"lines"`
	}
	jsonLine struct {
		Name   string      `json:"name"`
		Amount string      `json:"amount"`
		Sum    string      `json:"sum"`
		Inputs []jsonInput `json:"inputs"`
	}
	jsonInput struct {
		Name  string `json:"name"`
		Value string `json:"value"`
		Unit  string `json:"unit,omitempty"`
		From  string `json:"from"`
	}
	jsonMachining struct {
		Cycle        float64         `json:"cycle_min"`
		CycleLow     float64         `json:"cycle_low_min"`
		CycleHigh    float64         `json:"cycle_high_min"`
		Calibrated   int             `json:"calibrated_by_jobs"`
		FloorToFloor float64         `json:"floor_to_floor_min"`
		Setup        float64         `json:"setup_min"`
		Cutting      float64         `json:"cutting_min"`
		Rapid        float64         `json:"rapid_min"`
		ToolChange   float64         `json:"tool_change_min"`
		OtherMachine float64         `json:"other_machine_min"`
		Removed      float64         `json:"removed_mm3"`
		Operations   []jsonOperation `json:"operations"`
	}
	jsonOperation struct {
		Setup     int     `json:"setup"`
		Tool      string  `json:"tool"`
		Name      string  `json:"name"`
		Where     string  `json:"where"`
		Total     float64 `json:"total_min"`
		Cutting   float64 `json:"cutting_min"`
		Rapid     float64 `json:"rapid_min"`
		Path      float64 `json:"path_mm"`
		Removed   float64 `json:"removed_mm3"`
		LimitedBy string  `json:"limited_by"`
	}
	jsonFinding struct {
		Code    string      `json:"code"`
		Level   string      `json:"level"`
		What    string      `json:"what"`
		Why     string      `json:"why"`
		Source  string      `json:"source"`
		Where   *[2]float64 `json:"where_mm,omitempty"`
		Feature string      `json:"feature,omitempty"`
		Fix     string      `json:"fix"`
	}
	jsonTarget struct {
		Name     string   `json:"name"`
		Quantity string   `json:"quantity"`
		Sense    string   `json:"sense"`
		Target   float64  `json:"target"`
		Value    *float64 `json:"value,omitempty"`
		Unit     string   `json:"unit"`
		Met      *bool    `json:"met,omitempty"`
	}
	jsonBaseline struct {
		Revision string       `json:"revision"`
		Changes  []jsonChange `json:"changes"`
	}
	jsonChange struct {
		Name string   `json:"name"`
		From *float64 `json:"from,omitempty"`
		To   *float64 `json:"to,omitempty"`
		Unit string   `json:"unit"`
	}
)

// JSON is the report as one indented JSON value that ends in a newline: the first line's keys, the parts of show that the
// report has, and the findings. Equal reports give equal bytes. The error is ErrIncomplete, or that of a figure that is no
// number.
func (r Report) JSON(show Parts) ([]byte, error) { return r.jsonFor(show, "") }

// CaseJSON is the JSON of the load case of the given name alone; ErrNoCase where there is none.
func (r Report) CaseJSON(name string) ([]byte, error) { return r.jsonFor(Stress, name) }

// jsonFor writes the parts, and of the load cases all or the one that is named.
func (r Report) jsonFor(show Parts, only string) ([]byte, error) {
	if !r.Complete() {
		return nil, ErrIncomplete
	}
	out := jsonReport{
		Format:         Format,
		ProgramVersion: r.Key.Program,
		Name:           r.Plate.Name,
		Revision:       r.Key.Revision,
		ProfileHash:    r.Key.Profile,
		Findings:       jsonFindings(r.Findings()),
	}
	if show.Has(Mass) && r.Mass.OK {
		out.Mass = jsonMassOf(r.Mass.Value)
	}
	if show.Has(Sections) && r.Sections.OK {
		out.Sections = jsonSectionsOf(r.Sections.Value, r.Torsion.Value)
		out.Sweep = r.jsonSweep()
	}
	if show.Has(Machining) && r.Machining.OK && !r.Machining.Value.Incomplete { // else a finding says why it is absent
		out.Machining = jsonMachiningOf(r.Machining.Value)
	}
	if show.Has(Stress) && r.Cases.OK {
		out.Cases = jsonCasesOf(r.Cases.Value, r.Joints)
		out.Mesh = jsonMeshOf(r.Cases.Value.Mesh)
	}
	if show.Has(Stress) {
		r.jsonExtra(&out)
	}
	if only != "" {
		if out.Cases == nil {
			return nil, fmt.Errorf("%q: %w", only, ErrNoCase)
		}
		*out.Cases = slices.DeleteFunc(*out.Cases, func(c jsonCase) bool { return c.Name != only })
		if len(*out.Cases) == 0 {
			return nil, fmt.Errorf("%q: %w", only, ErrNoCase)
		}
	}
	if show.Has(Price) && r.Quote.OK {
		out.Quote = jsonQuoteOf(r.Quote.Value)
	}
	if show.Has(Targets) && r.Layout.OK {
		out.Targets = jsonTargetsOf(r.Targets())
	}
	if show.Has(Differences) && r.Baseline.OK {
		out.Baseline = jsonBaselineOf(r.Baseline.Value)
	}
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(out); err != nil {
		return nil, err
	}
	return buf.Bytes(), nil
}

func jsonMassOf(m mass.Result) *jsonMass {
	return &jsonMass{
		MassKG: m.MassKG, Volume: m.Volume, Density: m.Density, Centroid: m.Centroid,
		Inertia:     jsonInertia{m.Inertia.XX, m.Inertia.YY, m.Inertia.ZZ, m.Inertia.XY, m.Inertia.XZ, m.Inertia.YZ},
		BlankMassKG: m.BlankMassKG, Removed: m.Removed, BuyToFly: m.BuyToFly, WettedArea: m.WettedArea,
	}
}

func jsonSectionsOf(ss []section.Result, ts []torsion.Result) *[]jsonSection {
	out := make([]jsonSection, 0, len(ss))
	for i, s := range ss {
		j := jsonSection{
			Name: s.Name, Pieces: s.Pieces, Area: s.Area, Centroid: s.Centroid,
			ISS: s.ISS, IZZ: s.IZZ, ISZ: s.ISZ, I1: s.I1, I2: s.I2, AxisDeg: degrees(s.AxisRad),
			EA: s.EA, EISS: s.EISS, EIZZ: s.EIZZ,
		}
		if t := &ts[i]; len(t.Pieces) > 0 {
			j.J, j.GJ, j.Bound = &t.J, &t.GJ, t.Label
			for _, p := range t.Pieces {
				j.Twist = append(j.Twist, jsonTwist{p.J, p.Centroid, p.ShearCentre, p.Warping})
			}
		}
		out = append(out, j)
	}
	return &out
}

func jsonMachiningOf(p route.Plan) *jsonMachining {
	out := &jsonMachining{
		Cycle: p.CycleMin, CycleLow: p.CycleLow, CycleHigh: p.CycleHigh, Calibrated: p.CalibratedBy,
		FloorToFloor: p.FloorToFloorMin, Setup: p.SetupMin,
		Cutting: p.CuttingMin, Rapid: p.RapidMin, ToolChange: p.ToolChangeMin, OtherMachine: p.OtherMachineMin,
		Removed:    p.Removed,
		Operations: make([]jsonOperation, 0, len(p.Operations)),
	}
	for _, o := range p.Operations {
		out.Operations = append(out.Operations, jsonOperation{
			Setup: o.SetUp, Tool: toolName(o), Name: o.Name, Where: string(o.Where),
			Total: o.TotalMin, Cutting: o.CuttingMin, Rapid: o.RapidMin, Path: o.PathMM, Removed: o.Removed,
			LimitedBy: o.LimitedBy,
		})
	}
	return out
}

func jsonQuoteOf(q quote.Quote) *jsonQuote {
	out := &jsonQuote{Currency: q.Currency, Example: q.Example, ValidDays: q.ValidDays}
	for _, b := range q.Batches {
		j := jsonBatch{
			Quantity: b.Quantity, PiecePrice: money(b.PiecePrice), Low: money(b.Low), High: money(b.High), Total: money(b.Total),
		}
		for _, l := range b.Lines {
			k := jsonLine{Name: l.Name, Amount: money(l.Amount), Sum: l.Sum, Inputs: []jsonInput{}}
			for _, in := range l.Inputs {
				k.Inputs = append(k.Inputs, jsonInput(in))
			}
			j.Lines = append(j.Lines, k)
		}
		out.Batches = append(out.Batches, j)
	}
	return out
}

// money writes an amount with two digits after the point.
func money(m quote.Money) string { return m.StringFixed(2) }

func jsonFindings(fs []finding.Finding) []jsonFinding {
	out := make([]jsonFinding, 0, len(fs))
	for _, f := range fs {
		j := jsonFinding{
			Code: f.Code, Level: string(f.Level), What: f.What, Why: f.Why, Source: f.Source,
			Feature: featureName(f), Fix: f.Fix,
		}
		if f.HasWhere {
			where := f.Where
			j.Where = &where
		}
		out = append(out, j)
	}
	return out
}

func jsonTargetsOf(ts []Target) *[]jsonTarget {
	out := make([]jsonTarget, 0, len(ts))
	for _, t := range ts {
		j := jsonTarget{
			Name: t.Name, Quantity: string(t.Quantity), Sense: string(t.Sense), Target: t.Value, Unit: t.Unit,
		}
		if t.Known {
			j.Value, j.Met = &t.Now, &t.Met
		}
		out = append(out, j)
	}
	return &out
}

func jsonBaselineOf(b Baseline) *jsonBaseline {
	out := &jsonBaseline{Revision: b.Revision, Changes: make([]jsonChange, 0, len(b.Changes))}
	for _, c := range b.Changes {
		j := jsonChange{Name: c.Name, Unit: c.Unit}
		if c.HasFrom {
			j.From = &c.From
		}
		if c.HasTo {
			j.To = &c.To
		}
		out.Changes = append(out.Changes, j)
	}
	return out
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
