package plate

import (
	"slices"
	"strings"
)

// reservedKeys are kept for later versions of the document.
var reservedKeys = []string{"sheet"}

// unknown reports a key that an object does not have, with the key that was probably meant.
func (r *reader) unknown(here *place, k keyNode, members []member) {
	if len(r.problems) == maxProblems { // spare the search for hints that nobody will see
		r.omitted++
		return
	}
	switch hint := nearest(k.text, members); {
	case slices.Contains(reservedKeys, k.text):
		r.report(here, k.line, k.col, "%q is not in this version yet; remove it", k.text)
	case hint != "":
		r.report(here, k.line, k.col, "the key %q is not known here; did you mean %q?", clip(k.text), hint)
	default:
		r.report(here, k.line, k.col, "the key %q is not known here; remove it", clip(k.text))
	}
}

// nearest is the member that a wrong key was probably meant to be: the same but for case, the same but for its unit, or at
// most a third of its letters away. Empty when none is near.
func nearest(key string, members []member) string {
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
