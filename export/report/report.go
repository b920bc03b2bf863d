package report

import (
	"slices"

	"platewright/fea"
	"platewright/fea/sparse"
	"platewright/fea/torsion"
	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/quote"
	"platewright/plate/route"
	"platewright/plate/section"
	"platewright/plate/shop"
)

// Key says what a result was computed from. The zero Key belongs to nothing.
type Key struct {
	Revision string // of the document
	Profile  string // hash of the shop profile
	Program  string // version of the program
}

// Part is one result with the key that it was computed from. The zero Part was never attempted; one with a Key and not OK
// was attempted and could not be computed, and a finding of the report says why.
type Part[T any] struct {
	Key   Key
	Value T
	OK    bool
}

// Parts is a set of parts of a report.
type Parts uint16

// The parts that can be asked for. The layout and its findings belong to every report.
const (
	Mass Parts = 1 << iota
	Sections
	Machining
	Targets     // judged on the parts above
	Differences // to the baseline, when there is one
	Price       // needs the machining, which is computed for it
	Stress      // the load cases
	All         = Mass | Sections | Machining | Targets | Differences | Price | Stress
)

// Has reports whether s holds every part of q.
func (s Parts) Has(q Parts) bool { return s&q == q }

// Inputs is what a report is made from.
type Inputs struct {
	Plate    plate.Plate
	Profile  shop.Profile
	Baseline *plate.Plate    // the state that differences are shown against; nil for none. Build looks at it, Frame does not
	Want     Parts           // zero means All
	CutLines []plate.CutLine // where sections are wanted; nil means the cut lines of the document
	Batches  []int           // quantities that prices are wanted at; nil means those of the document
	Program  string          // version of the program; empty means Version()
	Buffers  *sparse.Buffers // memory kept from one analysis to the next, which makes it quicker; nil keeps none
	More     *More           // stiffness that is computed on request; nil for none
	Sweep    *SweepWant      // EI and GJ along the plate on request; nil for none. It belongs to the sections
}

// Report is the results of one job. Key is the key of the job as it is now; a part with another key is out of date.
type Report struct {
	Key       Key
	Plate     plate.Plate
	Layout    Part[*layout.Layout]
	Mass      Part[mass.Result]
	Sections  Part[[]section.Result] // in the order of the cut lines; a section that could not be computed is left out
	Torsion   Part[[]torsion.Result] // of the sections, one for each
	Machining Part[route.Plan]
	Quote     Part[quote.Quote]
	Cases     Part[*fea.Result] // of the load cases that could be analysed; absent where the document has none
	Joints    [][]check.Joint   // of the cases, in their order: they belong to Cases
	Extra     Part[*Extra]      // stiffness on request; absent where none was asked for
	Sweep     Part[torsion.Sweep]
	Baseline  Part[Baseline]

	in     Inputs
	frame  Part[[]finding.Finding] // of the document, the layout and the checks
	follow Part[[]finding.Finding] // of sections and machining
	rest   Part[[]finding.Finding] // of the load cases
	extra  []finding.Finding       // of the baseline
	before *route.Plan             // an earlier plan that Follow may re-time instead of planning anew; nil for none
}

// After lets Follow re-time an earlier plan instead of planning anew: what is shown while something is dragged. The plan is then
// marked as About and the report is not complete until Replan has made the whole one.
func (r Report) After(earlier route.Plan) Report {
	r.before = &earlier
	return r
}

// About tells whether the minutes, and the price that comes from them, are of a re-timed plan.
func (r Report) About() bool {
	return r.Machining.Key == r.Key && r.Machining.OK && r.Machining.Value.About
}

// Profile is the shop profile that the times are for.
func (r Report) Profile() shop.Profile { return r.in.Profile }

// Findings merges the findings of every part, and of the targets, worst first and without repeats.
func (r Report) Findings() []finding.Finding {
	all := slices.Concat(r.frame.Value, r.follow.Value, r.rest.Value, r.targetFindings(), r.extra)
	finding.Sort(all)
	return check.WithoutDoubled(slices.Compact(all))
}

// Complete reports whether every part that was asked for has been attempted for the job as it is now. Only a complete
// report is printed or handed over.
func (r Report) Complete() bool {
	if r.Key == (Key{}) || r.frame.Key != r.Key || r.Layout.Key != r.Key {
		return false
	}
	if r.in.Want.Has(Mass) && r.Mass.Key != r.Key {
		return false
	}
	if r.in.Want&(Sections|Machining|Price) != 0 && r.follow.Key != r.Key {
		return false
	}
	if r.in.Want.Has(Sections) && r.Sections.Key != r.Key {
		return false
	}
	if r.in.Want.Has(Price) && r.Quote.Key != r.Key {
		return false
	}
	if r.in.Want.Has(Stress) && (r.Cases.Key != r.Key || r.rest.Key != r.Key) {
		return false
	}
	return (!r.in.Want.Has(Machining) || r.Machining.Key == r.Key) && !r.About()
}

// With fills the parts that r has not attempted yet with those of an older report, keeping their old keys: what a window
// shows greyed until Follow is done. Parts that r has are untouched.
func (r Report) With(older Report) Report {
	if r.Layout.Key == (Key{}) {
		r.Layout = older.Layout
	}
	if r.Mass.Key == (Key{}) {
		r.Mass = older.Mass
	}
	if r.Sections.Key == (Key{}) {
		r.Sections, r.Torsion = older.Sections, older.Torsion
	}
	if r.Quote.Key == (Key{}) {
		r.Quote = older.Quote
	}
	if r.Machining.Key == (Key{}) {
		r.Machining = older.Machining
	}
	if r.Cases.Key == (Key{}) {
		r.Cases, r.Joints, r.Extra, r.rest = older.Cases, older.Joints, older.Extra, older.rest
	}
	if r.Baseline.Key == (Key{}) {
		r.Baseline, r.extra = older.Baseline, older.extra
	}
	if r.follow.Key == (Key{}) {
		r.follow = older.follow
	}
	return r
}
