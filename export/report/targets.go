package report

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
)

// Target is one target of the document with the figure that it is judged on. Known is false when the figure was not
// computed; then Value and Met mean nothing.
type Target struct {
	plate.Target
	Unit  string
	Now   float64
	Known bool
	Met   bool
}

// Targets judges every target of the document on the parts that belong to the job as it is now.
func (r Report) Targets() []Target {
	out := make([]Target, 0, len(r.Plate.Targets))
	for _, t := range r.Plate.Targets {
		j := Target{Target: t, Unit: Unit(t.Quantity)}
		if v, ok := r.figureFor(t); ok {
			j.Now, j.Known = v, true
			j.Met = t.Sense == plate.AtMost && v <= t.Value || t.Sense == plate.AtLeast && v >= t.Value
		}
		out = append(out, j)
	}
	return out
}

// Unit is the unit in which a quantity's target is given; empty for a ratio.
func Unit(q plate.Quantity) string {
	switch q {
	case plate.MassKG:
		return "kg"
	case plate.CycleMin:
		return "min"
	case plate.SectionEI:
		return "N·mm²"
	case plate.Deflect:
		return "mm"
	}
	return ""
}

// figureFor is the figure that a target is judged on, if it belongs to the job as it is now.
func (r Report) figureFor(t plate.Target) (float64, bool) {
	switch t.Quantity {
	case plate.MassKG:
		return r.Mass.Value.MassKG, r.Mass.OK && r.Mass.Key == r.Key
	case plate.BuyToFly:
		return r.Mass.Value.BuyToFly, r.Mass.OK && r.Mass.Key == r.Key
	case plate.CycleMin:
		return r.Machining.Value.CycleMin, r.Machining.OK && !r.Machining.Value.Incomplete && r.Machining.Key == r.Key
	case plate.Reserve, plate.Deflect:
		return r.caseFigure(t)
	case plate.PieceCost:
		if q := r.Quote.Value; r.Quote.OK && r.Quote.Key == r.Key && len(q.Batches) > 0 {
			return q.Batches[0].PiecePrice.InexactFloat64(), true
		}
	case plate.SectionEI:
		if !r.Sections.OK || r.Sections.Key != r.Key || r.in.CutLines != nil {
			return 0, false
		}
		for _, s := range r.Sections.Value {
			if s.Name == r.cutLineName(t.CutLine) {
				return s.EISS, true
			}
		}
	}
	return 0, false
}

// caseFigure is the reserve or the deflection of a target's case, or the worst of all cases. Of cases that could not all be
// analysed there is no worst one.
func (r Report) caseFigure(t plate.Target) (float64, bool) {
	if !r.Cases.OK || r.Cases.Key != r.Key || t.Case == 0 && len(r.Cases.Value.Cases) != len(r.Plate.Cases) {
		return 0, false
	}
	worst, found := 0.0, false
	for i := range r.Cases.Value.Cases {
		c := &r.Cases.Value.Cases[i]
		if t.Case != 0 && c.Case.ID != t.Case {
			continue
		}
		v := c.MaxDeflection
		better := v > worst
		if t.Quantity == plate.Reserve {
			v = c.Reserve
			better = v < worst
		}
		if !found || better {
			worst, found = v, true
		}
	}
	return worst, found
}

// cutLineName is the name of a cut line of the document; empty when there is none of that id.
func (r Report) cutLineName(id plate.ID) string {
	for _, c := range r.Plate.CutLines {
		if c.ID == id {
			return c.Name
		}
	}
	return ""
}

// attempted reports whether the part that a quantity comes from was attempted for the job as it is now.
func (r Report) attempted(q plate.Quantity) bool {
	switch q {
	case plate.CycleMin:
		return r.Machining.Key == r.Key
	case plate.SectionEI:
		return r.Sections.Key == r.Key && r.in.CutLines == nil
	case plate.PieceCost:
		return r.Quote.Key == r.Key
	case plate.Reserve, plate.Deflect:
		return r.Cases.Key == r.Key
	}
	return r.Mass.Key == r.Key
}

// targetFindings says which targets are missed, and which could not be judged though their figure was asked for.
func (r Report) targetFindings() []finding.Finding {
	var out []finding.Finding
	for _, t := range r.Targets() {
		f := finding.Finding{
			Level: finding.Warning, Stage: "targets", Feature: int64(t.ID), FeatureName: t.Name,
			Why: "the design must meet its targets", Source: "the document's targets",
		}
		switch {
		case t.Known && !t.Met:
			f.Code = "target-missed"
			f.What = fmt.Sprintf("target %q is missed: %s is %s, asked for is %s %s",
				t.Name, r.quantityName(t.Target), t.words(t.Now), senseWords(t.Sense), t.words(t.Value))
			f.Fix = "change the design until the figure meets the target, or change the target"
			out = append(out, f)
		case !t.Known && r.Layout.OK && r.attempted(t.Quantity):
			f.Code = "target-not-judged"
			f.What = fmt.Sprintf("target %q cannot be judged: %s could not be computed", t.Name, r.quantityName(t.Target))
			f.Fix = "see the finding that says why the figure is absent"
			out = append(out, f)
		}
	}
	return out
}

// words writes a figure of the target as it is read, with its unit; minutes with the digits of an estimate. A figure that
// would look like the target's value, though it misses it, is written in full.
func (t Target) words(figure float64) string {
	v, unit := readable(figure, t.Unit)
	limit, _ := readable(t.Value, t.Unit)
	if figure == t.Value {
		return withUnit(plain(v), unit)
	}
	short := round4(v)
	if t.Quantity == plate.CycleMin {
		short = "about " + round2(v)
	}
	if short == round4(limit) || short == "about "+round2(limit) {
		short = plain(v)
	}
	return withUnit(short, unit)
}

// quantityName is a target's quantity in words, with the cut line that it is taken at.
func (r Report) quantityName(t plate.Target) string {
	switch t.Quantity {
	case plate.CycleMin:
		return "cycle time"
	case plate.SectionEI:
		return fmt.Sprintf("EI about s at %s", r.cutLineName(t.CutLine))
	}
	return string(t.Quantity)
}

// senseWords is a sense as it is read aloud.
func senseWords(s plate.Sense) string {
	if s == plate.AtLeast {
		return "at least"
	}
	return "at most"
}
