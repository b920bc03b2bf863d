package tree

import (
	"slices"
	"strings"
)

// mostNamed is how many keys are named where a wrong one is near none of them.
const mostNamed = 8

// unknown reports a key that an object does not have, with the key that was probably meant.
func (r *Reader) unknown(here *Place, k Key, members []Member) {
	if len(r.problems) == maxProblems { // spare the search for hints that nobody will see
		r.omitted++
		return
	}
	switch hint := nearest(k.Text, members); {
	case slices.Contains(r.reserved, k.Text):
		r.report(here, k.Line, k.Col, "%q is not in this version yet; remove it", k.Text)
	case hint != "":
		r.report(here, k.Line, k.Col, "the key %q is not known here; did you mean %q?", Clip(k.Text), hint)
	case len(members) <= mostNamed:
		names := make([]string, len(members))
		for i, m := range members {
			names[i] = m.key
		}
		r.report(here, k.Line, k.Col, "the key %q is not known here, where %s may stand; remove it", Clip(k.Text), strings.Join(names, ", "))
	default:
		r.report(here, k.Line, k.Col, "the key %q is not known here; remove it", Clip(k.Text))
	}
}

// nearest is the member that a wrong key was probably meant to be: the same but for case, the same but for its unit, or at
// most a third of its letters away. Empty when none is near.
func nearest(key string, members []Member) string {
	const longest = 64 // no key is near this long
	if len(key) > longest {
		return ""
	}
	best, least := "", len(key)/3+1
	for _, m := range members {
		if strings.EqualFold(key, m.key) || stem(key) == stem(m.key) {
			return m.key
		}
		if d := distance(key, m.key); d < least {
			best, least = m.key, d
		}
	}
	return best
}

// stem is a key without its unit: diameter_in and diameter_mm have one stem.
func stem(key string) string {
	for _, unit := range []string{"_mm2", "_mm", "_in", "_cm", "_m", "_deg", "_rad", "_inch", "_mpa", "_gpa", "_kg_m3", "_g_cm3", "_kg", "_min", "_n", "_n_mm", "_g", "_k"} {
		if s, ok := strings.CutSuffix(key, unit); ok {
			return s
		}
	}
	return key
}

// distance is the least number of letters to insert, drop or change to turn a into b (Levenshtein's).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
