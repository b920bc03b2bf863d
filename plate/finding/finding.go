// Package finding holds the one type in which every check of Platewright reports: what is wrong or worth a look, where,
// why (with the rule and its source) and what to do.
package finding

import (
	"cmp"
	"slices"
)

// Level says how bad a finding is.
type Level string

// The levels, worst first. An Error means that the plate cannot be made, or its figures cannot be trusted, as drawn.
const (
	Error   Level = "error"
	Warning Level = "warning"
	Note    Level = "note"
)

var levels = []Level{Error, Warning, Note}

// Levels returns all levels, worst first.
func Levels() []Level { return slices.Clone(levels) }

// Finding is one result of a check. Where is in plate coordinates (mm, seen from the top); HasWhere tells a finding at
// the origin from one without a place. Feature is the permanent id of the feature, 0 for the plate as a whole.
type Finding struct {
	Code        string // short, stable, lower-case words joined by hyphens, e.g. "ligament-thin"
	Level       Level
	What        string     // what was found, with value and limit
	Why         string     // the rule
	Source      string     // where the rule comes from, or "common practice, no source"
	Fix         string     // what to do, empty if nothing can be said
	Where       [2]float64 // mm
	HasWhere    bool
	Feature     int64
	FeatureName string
	Stage       string // stage of the job sheet: stock, outline, bores, holes, ribs, pockets, machining, targets
}

// Sort orders findings worst first, then by stage, code, feature and place, so that two runs list them alike.
func Sort(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(slices.Index(levels, a.Level), slices.Index(levels, b.Level)),
			cmp.Compare(a.Stage, b.Stage), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Feature, b.Feature),
			cmp.Compare(a.Where[0], b.Where[0]), cmp.Compare(a.Where[1], b.Where[1]), cmp.Compare(a.What, b.What))
	})
}

// Count returns how many findings have the given level.
func Count(fs []Finding, l Level) int {
	n := 0
	for _, f := range fs {
		if f.Level == l {
			n++
		}
	}
	return n
}
