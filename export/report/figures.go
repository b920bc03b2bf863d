package report

import (
	"fmt"
	"math"

	"platewright/plate/finding"
	"platewright/plate/route"
)

// Figure is one figure of a job by name, in the given unit. The unit of a ratio or a count is empty.
type Figure struct {
	Name  string
	Value float64
	Unit  string
}

// Figures lists the figures of a report that a baseline compares, in a fixed order. Parts that are absent give none.
func (r Report) Figures() []Figure {
	var fs []Figure
	if m := r.Mass.Value; r.Mass.OK {
		fs = append(fs,
			Figure{"mass", m.MassKG, "kg"},
			Figure{"blank mass", m.BlankMassKG, "kg"},
			Figure{"stock removed", m.Removed, "mm³"},
			Figure{"buy to fly", m.BuyToFly, ""},
			Figure{"surface", m.WettedArea, "mm²"})
	}
	for i, s := range r.Sections.Value {
		fs = append(fs,
			Figure{"section area at " + s.Name, s.Area, "mm²"},
			Figure{"EI about s at " + s.Name, s.EISS, "N·mm²"},
			Figure{"EI about z at " + s.Name, s.EIZZ, "N·mm²"})
		if t := r.Torsion.Value[i]; len(t.Pieces) > 0 {
			fs = append(fs, Figure{"GJ at " + s.Name, t.GJ, "N·mm²"})
		}
	}
	if r.Cases.OK {
		for i := range r.Cases.Value.Cases {
			c := &r.Cases.Value.Cases[i]
			fs = append(fs,
				Figure{"deflection in " + c.Case.Name, c.MaxDeflection, "mm"},
				Figure{"von Mises stress in " + c.Case.Name, c.MaxVonMises, "MPa"})
			if !math.IsInf(c.Reserve, 0) {
				fs = append(fs, Figure{"reserve factor in " + c.Case.Name, c.Reserve, ""})
			}
		}
	}
	if p := r.Machining.Value; r.Machining.OK && !p.Incomplete {
		fs = append(fs,
			Figure{"cycle time", p.CycleMin, "min"},
			Figure{"floor-to-floor time", p.FloorToFloorMin, "min"},
			Figure{"set-up time", p.SetupMin, "min"},
			Figure{"operations", float64(len(p.Operations)), ""})
		fs = append(fs, operationFigures(p)...)
	}
	if q := r.Quote.Value; r.Quote.OK {
		for _, b := range q.Batches {
			at := fmt.Sprintf(" of %d", b.Quantity)
			fs = append(fs, Figure{"piece price" + at, b.PiecePrice.InexactFloat64(), q.Currency})
			for _, l := range b.Lines {
				fs = append(fs, Figure{l.Name + at, l.Amount.InexactFloat64(), q.Currency})
			}
		}
	}
	found := r.Findings()
	return append(fs,
		Figure{"errors", float64(finding.Count(found, finding.Error)), ""},
		Figure{"warnings", float64(finding.Count(found, finding.Warning)), ""})
}

// operationFigures are the minutes of each operation of a plan; what is done under one name with several tools in one set-up is
// one figure, so that another choice of tools shows as the difference that it makes.
func operationFigures(p route.Plan) []Figure {
	var out []Figure
	at := map[string]int{}
	for _, o := range p.Operations {
		name := OperationKey(o)
		i, ok := at[name]
		if !ok {
			i = len(out)
			at[name] = i
			out = append(out, Figure{name, 0, "min"})
		}
		out[i].Value += o.TotalMin
	}
	return out
}

// OperationKey is what the minutes of an operation are called in figures and differences: its set-up, or where it is done, and its name.
func OperationKey(o route.Operation) string {
	if o.Where != route.OnMachine {
		return string(o.Where) + ": " + o.Name
	}
	return fmt.Sprintf("set-up %d: %s", o.SetUp, o.Name)
}

// OperationChanges are the operations whose minutes differ between two plans, by OperationKey; those that only the first has come last.
func OperationChanges(from, to route.Plan) []Change {
	return changes(operationFigures(from), operationFigures(to))
}

// Change is a figure that differs from the baseline's. A figure that only one of the two has is there on that side only.
type Change struct {
	Name     string
	From, To float64
	HasFrom  bool
	HasTo    bool
	Unit     string
}

// Baseline is the differences of a report to that of another state of the job.
type Baseline struct {
	Revision string // of the other state
	Changes  []Change
}

// sameWithin is the relative difference below which two figures count as equal: a moved plate sums the same integrals in
// another order, which leaves about 1e-12.
const sameWithin = 1e-9

// Against returns r with its differences to the report of a baseline. A baseline without figures gives a finding.
func (r Report) Against(base Report) Report {
	r.Baseline = Part[Baseline]{Key: r.Key}
	r.extra = nil
	if !base.Layout.OK {
		r.extra = []finding.Finding{{
			Code: "baseline-absent", Level: finding.Warning, Stage: "targets",
			What:   "the baseline has errors, so that there is nothing to compare with",
			Why:    "differences are shown only between figures that could be computed",
			Source: "Platewright",
			Fix:    "check the baseline by itself, or choose another one",
		}}
		return r
	}
	r.Baseline.Value = Baseline{Revision: base.Key.Revision, Changes: changes(base.Figures(), r.Figures())}
	r.Baseline.OK = true
	return r
}

// changes lists what differs, in the order of the figures of now, then what only the baseline has.
func changes(from, now []Figure) []Change {
	old := make(map[string]float64, len(from))
	for _, f := range from {
		old[f.Name] = f.Value
	}
	var out []Change
	seen := make(map[string]bool, len(now))
	for _, f := range now {
		seen[f.Name] = true
		was, ok := old[f.Name]
		if ok && math.Abs(was-f.Value) <= sameWithin*math.Max(math.Abs(was), math.Abs(f.Value)) {
			continue
		}
		out = append(out, Change{Name: f.Name, From: was, HasFrom: ok, To: f.Value, HasTo: true, Unit: f.Unit})
	}
	for _, f := range from {
		if !seen[f.Name] {
			out = append(out, Change{Name: f.Name, From: f.Value, HasFrom: true, Unit: f.Unit})
		}
	}
	return out
}
