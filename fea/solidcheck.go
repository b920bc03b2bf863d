package fea

import (
	"context"
	"errors"
	"fmt"

	"platewright/fea/solid"
	"platewright/fea/sparse"
	"platewright/plate"
)

// SolidOptions say what the solid check is asked for. The zero value asks for all cases.
type SolidOptions struct {
	Only    string // name of the one case to check; empty for all
	Workers int    // goroutines; zero means one per processor
	// Progress, if not nil, is called before each case with how many are done.
	Progress func(done, all int, name string)
}

// solidStep is one way to divide a plate for the solid check.
type solidStep struct {
	peaks  bool // on elements divided where the live model's stress peaks
	coarse bool // on a mesh of its own, with one element across a rib
	solid.Options
	note string
}

// solidSteps are tried in this order: the first that keeps within its unknowns is taken.
// Beside a fine model (testdata/solid/panels.csv) two layers are 0.3 to 1.3 % too stiff on
// panels with two elements across a rib, one layer in each floor as much, one over the whole
// thickness up to 4 % in twist; on coarse meshes they are 6 to 8 % too stiff in twist, of
// which the live model on that mesh has its own 2 to 4 %. With elements divided where stress
// peaks, the greatest stresses of the samples are within 7 % of the live model's.
func solidSteps(thickness float64) []solidStep {
	flat := solid.Options{Layers: 1, LayerHeight: thickness, MaxUnknowns: 400_000}
	large := flat
	large.MaxUnknowns = 550_000
	const rough = "The plate is large for a solid model: "
	const low = " Its elements are not divided where stress peaks, so that peaks come out low."
	const one = rough + "one layer of prisms in each floor, so that stress there is rough."
	const two = rough + "one layer of prisms in each floor and one above, so that stress is rough and the check itself is up to 4 % too stiff in twist."
	return []solidStep{
		{true, false, solid.Options{Layers: 2, MaxUnknowns: 260_000}, ""},
		{false, false, solid.Options{Layers: 2, MaxUnknowns: 260_000}, "The plate is large for a solid model." + low},
		{true, false, solid.Options{Layers: 1, MaxUnknowns: 320_000}, one},
		{false, false, solid.Options{Layers: 1, MaxUnknowns: 320_000}, one + low},
		{true, false, flat, two},
		{false, false, flat, two + low},
		{false, true, solid.Options{Layers: 1, MaxUnknowns: 400_000}, rough + "one element across a rib, so that stress is rough and the check itself is up to 6 % too stiff in twist; the live model is compared on that same mesh." + low},
		{false, true, large, rough + "one element across a rib, one layer of prisms in each floor and one above, so that stress is rough and the check itself is up to 8 % too stiff in twist; the live model is compared on that same mesh." + low},
	}
}

// coarseArcs is the number of sides round a loaded bore on the check's coarse mesh.
const coarseArcs = 12

// SolidResult is the solid check of load cases: what the live model's figures are
// compared with. It is immutable.
type SolidResult struct {
	Unknowns int
	Layers   int  // of prisms, over the whole thickness
	Coarse   bool // one element across a rib
	OwnMesh  bool // not the live model's; the live figures in Cases are of that mesh too
	Cases    []SolidCase
	Notes    []string
}

// SolidCase is one load case by the solid check, beside the live model's figures.
type SolidCase struct {
	Case    plate.LoadCase
	Refused string // why the check does not take this case; the figures are then zero

	MaxDeflection   float64 // mm
	MaxDeflectionAt [3]float64
	// MaxVonMises leaves out what the live model leaves out, and the sharp roots of
	// floors and ribs, MPa. It is read at nodes, as the mean of the elements there.
	MaxVonMises   float64
	MaxVonMisesAt [3]float64
	LeftOut       []LeftOut // Surface has no meaning here
	Stiffness     []Figure  // of the same places as the live model's

	Live          *CaseResult
	LiveStiffness []Figure  // the live model's, in the order of Stiffness
	LiveError     LiveError // the live model's difference to the solid check

	Imbalance float64 // of loads and reactions, as a share of all forces
	// Pulling is the share of the force on pins by places that should have come off
	// them, or press though they were taken to be off.
	Pulling       float64
	ContactRounds int // factorisations for the pins; 0 without hinges
	Accuracy      sparse.Accuracy
}

// LiveError is by how much the live model's figures are greater than the solid
// check's, in percent.
type LiveError struct {
	// Stiffness compares the work of the loads, as force squared over work: that is the
	// stiffness along the loads, all together.
	Stiffness  float64
	Deflection float64
	VonMises   float64
	Each       []float64 // of SolidCase.Stiffness
}

// SolidCheck analyses cases of a result again by the prisms of fea/solid on the same mesh
// of the plane, with the same supports and loads, places and settings. Where a wall
// presses on its pin is taken from the live model, and corrected where the prisms find
// otherwise. A case that the check does not take is refused by name in its place; the
// error is that of ctx, of a plate too large, or of equations that cannot be solved. It
// looks at ctx between bounded pieces of work.
func (r *Result) SolidCheck(ctx context.Context, o SolidOptions) (*SolidResult, error) {
	if r.Coarse {
		return nil, fmt.Errorf("fea: the solid check compares with the fine live model; this result is of a coarse one")
	}
	var asked []*CaseResult
	for i := range r.Cases {
		if c := &r.Cases[i]; o.Only == "" || c.Case.Name == o.Only {
			asked = append(asked, c)
		}
	}
	m, own := r.Model, ""
	if r.Model.Whole().large {
		twice, err := NewModel(ctx, m.Layout, Options{Across: 2, light: true, Clear: m.o.Clear, Workers: o.Workers})
		if err != nil {
			return nil, err
		}
		if m, asked, err = twice.again(ctx, asked); err != nil {
			return nil, err
		}
		own = "The check has a mesh of its own with two elements across a rib; the live model is compared on that same mesh."
	}
	s, out, step, err := m.prisms(ctx, o.Workers)
	if err != nil {
		return nil, err
	}
	switch {
	case step.coarse:
		if _, asked, err = s.m.again(ctx, asked); err != nil {
			return nil, err
		}
	case own != "":
		out.OwnMesh, out.Notes = true, append(out.Notes, own)
	}
	for i, c := range asked {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if o.Progress != nil {
			o.Progress(i, len(asked), c.Case.Name)
		}
		k, err := s.check(ctx, c)
		var no *refusedError
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case errors.As(err, &no):
			k = SolidCase{Case: c.Case, Live: c, Refused: no.why}
		case err != nil:
			return nil, &caseError{c.Case.Name, err}
		}
		out.Cases = append(out.Cases, k)
	}
	return out, nil
}

// prisms makes the model of prisms, by the first step that fits.
func (m *Model) prisms(ctx context.Context, workers int) (*solidModel, *SolidResult, *solidStep, error) {
	var err error
	var coarse *Model
	for _, step := range solidSteps(m.Layout.Thickness) {
		on := m
		switch {
		case step.coarse:
			if coarse == nil {
				if coarse, err = NewModel(ctx, m.Layout, Options{Across: 1, ArcEdges: coarseArcs, Clear: m.o.Clear, Workers: workers, even: true}); err != nil {
					return nil, nil, nil, err
				}
			}
			on = coarse
		case !step.peaks:
			on = m.Whole()
		}
		step.Workers = workers
		var s *solidModel
		if s, err = on.prismsBy(step.Options); err != nil {
			continue
		}
		return s, &SolidResult{Unknowns: s.p.Unknowns(), Layers: s.p.Layers(), Coarse: step.coarse, OwnMesh: step.coarse, Notes: solidNotes(step.note)}, &step, nil
	}
	var size *solid.SizeError
	if errors.As(err, &size) {
		return nil, nil, nil, fmt.Errorf("fea: the plate is too large for the solid check: even one element across a rib and one layer make %d unknowns, more than the %d that it may take; check a part of the plate as a document of its own", size.Unknowns, size.Allowed)
	}
	return nil, nil, nil, fmt.Errorf("fea: the solid check: %w", err)
}

// prismsBy makes the model of prisms over the live model's mesh.
func (m *Model) prismsBy(o solid.Options) (*solidModel, error) {
	p, err := solid.Of(m.Layout, m.Mesh, o)
	if err != nil {
		return nil, err
	}
	s := &solidModel{m: m, p: p, roots: p.Roots(), plane: p.PlaneNode(), buffers: &sparse.Buffers{}}
	s.indexSides()
	return s, nil
}

// again analyses cases by the live model on another mesh of the same plate, and returns the
// model of their stresses.
func (m *Model) again(ctx context.Context, asked []*CaseResult) (*Model, []*CaseResult, error) {
	var cases []plate.LoadCase
	for _, c := range asked {
		cases = append(cases, c.Case)
	}
	r, err := m.Solve(ctx, cases)
	if err != nil {
		return nil, nil, err
	}
	out := make([]*CaseResult, len(r.Cases))
	for i := range r.Cases {
		out[i] = &r.Cases[i]
	}
	return r.Model, out, nil
}

func solidNotes(more string) []string {
	out := []string{
		"The solid check divides the live model's mesh into prisms. It leaves out floor fillets, edge chamfers and drill points like the live model; stress at the sharp roots of floors and ribs is nominal and left out.",
		"Idealised supports and loads are the live model's own: the check says how far the live model is from a solid plate, not how far either is from the joint that you build.",
	}
	if more != "" {
		out = append(out, more)
	}
	return out
}

// refusedError says why the check does not take a case.
type refusedError struct{ why string }

func (e *refusedError) Error() string { return e.why }

func refused(format string, args ...any) error {
	return &refusedError{fmt.Sprintf(format, args...)}
}

// check analyses one case.
func (s *solidModel) check(ctx context.Context, live *CaseResult) (SolidCase, error) {
	out := SolidCase{Case: live.Case, Live: live}
	set, err := s.m.adjust(live.Case.Setting)
	if err != nil {
		return out, err
	}
	load, used, err := s.loads(&live.Case, set)
	if err != nil {
		return out, err
	}
	h, err := s.hold(&live.Case, set, live.U)
	if err != nil {
		return out, err
	}
	r, err := s.solve(ctx, h, load, &out)
	if err != nil {
		return out, err
	}
	out.Imbalance, out.Accuracy = r.Imbalance, r.Accuracy
	d, at := r.MaxDeflection()
	out.MaxDeflection, out.MaxDeflectionAt = d, at
	s.stresses(&out, r)
	s.compare(&out, r, used)
	return out, nil
}

// stresses finds the greatest von Mises stress, and what of it is no result.
func (s *solidModel) stresses(out *SolidCase, r *solid.Result) {
	zones := len(out.Live.Zones)
	worst := make([]LeftOut, zones+1)
	for i, z := range out.Live.Zones {
		worst[i].Why = z.Why
	}
	worst[zones].Why = "at the sharp root of a floor or a rib, where stress is nominal"
	for n, t := range r.NodeStress() {
		v, p := t.VonMises(), s.p.Nodes[n]
		k := int(out.Live.Excluded[s.plane[n]]) - 1
		if k < 0 && s.roots[n] {
			k = zones
		}
		switch {
		case k >= 0 && v > worst[k].MPa:
			worst[k].MPa, worst[k].At = v, p
		case k < 0 && v > out.MaxVonMises:
			out.MaxVonMises, out.MaxVonMisesAt = v, p
		}
	}
	for _, w := range worst {
		if w.MPa > 0 {
			out.LeftOut = append(out.LeftOut, w)
		}
	}
}

// compare fills the stiffness along each load, and the live model's differences.
func (s *solidModel) compare(out *SolidCase, r *solid.Result, used []solidLoad) {
	c, liveWork := &out.Case, 0.0
	names := map[string]Figure{}
	for _, f := range out.Live.Stiffness {
		names[f.Name] = f
	}
	for i := range used {
		l := &used[i]
		k := c.Factor * c.Loads[i].Factor
		for j, f := range l.f {
			liveWork += k * f * out.Live.U[j]
		}
		if l.place == nil || len(l.place.rounds) == 0 || length(l.asked.Force) == 0 {
			continue
		}
		name := fmt.Sprintf("%s along %s", l.place.name, loadName(&l.load))
		live, ok := names[name]
		q, err := solid.MeanOf(l.points, solid.Vec(l.at))
		if !ok || err != nil {
			continue // the live model has no figure there, or nothing to turn
		}
		v := q.Motion(r.U)
		force, d := length(l.asked.Force), 0.0
		for a := range 3 {
			d += l.asked.Force[a] / force * v[a]
		}
		if d == 0 {
			continue
		}
		own := k * force / d
		out.Stiffness = append(out.Stiffness, Figure{name, own, "N/mm"})
		out.LiveStiffness = append(out.LiveStiffness, live)
		out.LiveError.Each = append(out.LiveError.Each, percentOver(live.Value, own))
	}
	out.LiveError.Stiffness = percentOver(2*r.Energy, liveWork)
	out.LiveError.Deflection = percentOver(out.Live.MaxDeflection, out.MaxDeflection)
	out.LiveError.VonMises = percentOver(out.Live.MaxVonMises, out.MaxVonMises)
}

// percentOver is by how many percent a is greater than b; 0 where both are 0.
func percentOver(a, b float64) float64 {
	if a == b {
		return 0
	}
	return 100 * (a/b - 1)
}
