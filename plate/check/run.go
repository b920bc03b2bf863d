package check

import (
	"cmp"
	"fmt"
	"slices"

	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// mostOfOne is how many findings of one code are listed; the rest is counted in one more.
const mostOfOne = 50

// Run applies all rules to the layout and returns what breaks them, worst first. Of several places where one feature
// breaks one rule in the same way the worst is given, with the number of the others; walls are given pair by pair. It
// panics on a layout without a map, which Derive never returns.
func Run(l *layout.Layout, p shop.Profile) []finding.Finding {
	if l == nil || l.Map == nil || l.Map.Subdivision == nil {
		panic("check: layout without a map")
	}
	r := &run{l: l, p: p, rules: rulesFor(p), levels: finding.Levels(), at: map[group]int{}}
	r.stock()
	r.cutters()
	r.walls()
	r.floors()
	r.rounds()
	r.seats()
	r.regions()
	r.fits()
	r.heads()
	r.fillets()
	r.inlays()
	r.eccentrics()
	return r.findings(r.clocked())
}

// rulesFor is the table with the limits that the shop profile sets.
func rulesFor(p shop.Profile) []Rule {
	out := Rules()
	for i := range out {
		if k := &out[i]; k.Code == "corner-radius" && k.Level == finding.Warning && p.Practice.CornerRatio.Value >= 1 {
			k.Limit = p.Practice.CornerRatio.Value
		}
	}
	return out
}

// run gathers what one call of Run finds.
type run struct {
	l        *layout.Layout
	p        shop.Profile
	rules    []Rule
	levels   []finding.Level // worst first
	breaches []breach
	at       map[group]int // index into breaches
}

// group is what is told as one finding: the worst of it, with a count.
type group struct {
	code  string
	level finding.Level
	a, b  int64 // features, or indices of cuts for walls
	kind  string
}

// breach is the worst case of one group. Its words are put together at the end, for those breaches only that are listed.
type breach struct {
	rule   Rule
	level  int // order of the rule's level
	excess float64
	count  int
	noun   string // plural, of what is counted
	tell   func(Rule) place
}

// finding puts the breach into words.
func (b *breach) finding() finding.Finding {
	w := b.tell(b.rule)
	if b.count > 1 {
		w.what += fmt.Sprintf(" (the worst of %d %s)", b.count, b.noun)
	}
	return finding.Finding{
		Code: b.rule.Code, Level: b.rule.Level, What: w.what, Why: b.rule.Why, Source: b.rule.Source, Fix: w.fix,
		Where: [2]float64{w.at.X, w.at.Y}, HasWhere: true,
		Feature: w.feature, FeatureName: w.featureName, Stage: w.stage,
	}
}

// place is what a finding says beyond its rule.
type place struct {
	what, fix   string
	at          geom.Point
	feature     int64
	featureName string
	stage       string
}

// row is the row of the worst level of the code that the value breaks.
func (r *run) row(code string, v float64) (Rule, bool) {
	for _, k := range r.rules {
		if k.Code == code && k.broken(v) {
			return k, true
		}
	}
	return Rule{}, false
}

// rule is the row of a code and level; a row that is not in the table is a mistake in this package.
func (r *run) rule(code string, level finding.Level) Rule {
	for _, k := range r.rules {
		if k.Code == code && k.Level == level {
			return k
		}
	}
	panic("check: no such rule")
}

// test checks the value against the rows of a code and keeps what breaks the worst of them. tell is called later, and only
// for what is listed.
func (r *run) test(code string, v float64, g group, noun string, tell func(Rule) place) {
	if k, broken := r.row(code, v); broken {
		r.add(k, k.excess(v), g, noun, tell)
	}
}

// add keeps a breach of a rule that is known to be broken.
func (r *run) add(k Rule, excess float64, g group, noun string, tell func(Rule) place) {
	g.code, g.level = k.Code, k.Level
	i, ok := r.at[g]
	if !ok {
		i = len(r.breaches)
		r.at[g] = i
		r.breaches = append(r.breaches, breach{rule: k, level: slices.Index(r.levels, k.Level), noun: noun})
	}
	b := &r.breaches[i]
	b.count++
	if !ok || excess > b.excess {
		b.excess, b.tell = excess, tell
	}
}

// findings lists all breaches, folding what is too many of one code, with those that another package has put into words.
func (r *run) findings(others []finding.Finding) []finding.Finding {
	byCode := map[string][]*breach{}
	var codes []string
	for i := range r.breaches {
		b := &r.breaches[i]
		if _, ok := byCode[b.rule.Code]; !ok {
			codes = append(codes, b.rule.Code)
		}
		byCode[b.rule.Code] = append(byCode[b.rule.Code], b)
	}
	out := others
	for _, code := range codes {
		out = append(out, fold(byCode[code])...)
	}
	finding.Sort(out)
	return out
}

// fold keeps the mostOfOne worst breaches of one code and counts the others in one finding at the place of the worst of
// them.
func fold(bs []*breach) []finding.Finding {
	slices.SortStableFunc(bs, func(a, b *breach) int {
		return cmp.Or(cmp.Compare(a.level, b.level), cmp.Compare(b.excess, a.excess))
	})
	var out []finding.Finding
	for i, b := range bs {
		f := b.finding()
		if i == mostOfOne {
			f.What = fmt.Sprintf("%d more findings of this kind are not listed; the worst of them: %s", len(bs)-i, f.What)
			return append(out, f)
		}
		out = append(out, f)
	}
	return out
}

// mm prints a length for messages.
func mm(v float64) string { return fmt.Sprintf("%.4g mm", v) }
