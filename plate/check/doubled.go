package check

import (
	"slices"

	"platewright/plate/finding"
)

// doubled tells which findings of a plan of the route say once more what a finding of this package says: code of the plan's
// finding, code of ours.
var doubled = map[string][]string{
	"reach-short":          {"cutter-reach"},
	"no-cutter-for-corner": {"corner-radius", "sharp-inside-corner"},
	"no-cutter-for-fillet": {"floor-radius-cutter"},
	"plate-over-travel":    {"machine-travel"},
}

// WithoutDoubled is the list without those findings of the route's plan that say once more, about the same feature, what a
// finding of this package says with its place, its limit and its remedy. A finding of the plan that is worse stays. The list
// given is left as it is.
func WithoutDoubled(fs []finding.Finding) []finding.Finding {
	type key struct {
		code    string
		feature int64
	}
	levels := finding.Levels()
	have := map[key]int{}
	for _, f := range fs {
		k, level := key{f.Code, f.Feature}, slices.Index(levels, f.Level)
		if was, ok := have[k]; !ok || level < was {
			have[k] = level
		}
	}
	out := make([]finding.Finding, 0, len(fs))
	for _, f := range fs {
		if !slices.ContainsFunc(doubled[f.Code], func(ours string) bool {
			level, ok := have[key{ours, f.Feature}]
			return ok && level <= slices.Index(levels, f.Level)
		}) {
			out = append(out, f)
		}
	}
	return out
}
