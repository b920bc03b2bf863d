package plate

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"platewright/plate/finding"
	"platewright/plate/material"
	"platewright/plate/tree"
)

// Validate checks what the document says on its own, without deriving anything: names, ids, references, ranges, counts and
// choices that contradict each other. Each finding is an error that names the feature and the fix; a document without one
// can be handed to the layout. The list is sorted as finding.Sort does.
func (p Plate) Validate() []finding.Finding {
	v := &validator{p: p, features: p.Features()}
	v.kinds = make(map[ID]FeatureRef, len(v.features))
	v.ids()
	v.texts()
	v.names()
	p.visitNumbers(v.number)
	v.counts()
	v.stock()
	v.outline()
	v.bores()
	v.holes()
	v.slots()
	v.settings()
	v.ribs()
	v.grids()
	v.pockets()
	v.inlays()
	v.supports()
	v.loads()
	v.cases()
	v.targets()
	v.machining()
	v.price()
	p.visitReferences(v.reference)
	finding.Sort(v.found)
	return v.found
}

type validator struct {
	p        Plate
	features []FeatureRef
	kinds    map[ID]FeatureRef // the first feature of each id
	found    []finding.Finding
}

// onPlate is the owner of findings that belong to no feature.
func onPlate(stage string) FeatureRef { return FeatureRef{Stage: stage} }

// report adds an error. Why is the rule behind it. A feature at no place in the plane is reported without one.
func (v *validator) report(f FeatureRef, code, what, why, fix string) {
	if !finite(f.Where[0]) || !finite(f.Where[1]) {
		f.Where, f.HasWhere = [2]float64{}, false
	}
	v.found = append(v.found, finding.Finding{
		Code: code, Level: finding.Error, What: what, Why: why, Source: "rules of the document", Fix: fix,
		Where: f.Where, HasWhere: f.HasWhere, Feature: int64(f.ID), FeatureName: f.Name, Stage: f.Stage,
	})
}

func (v *validator) ids() {
	var highest ID
	for _, f := range append(v.features[:len(v.features):len(v.features)], v.p.PlanItems()...) {
		first, doubled := v.kinds[f.ID]
		switch {
		case f.ID <= 0 || f.ID > tree.MaxWhole:
			v.report(f, "id-range", fmt.Sprintf("%s has the id %d", f, f.ID), "ids are whole numbers from 1", "give it a new id")
		case doubled:
			v.report(f, "id-doubled", fmt.Sprintf("%s has the id %d, as has %s", f, f.ID, first),
				"an id stands for one feature, for ever", "give one of them a new id")
		default:
			v.kinds[f.ID] = f
		}
		highest = max(highest, f.ID)
	}
	if next := v.p.NextID; next <= highest || next < 1 || next > tree.MaxWhole {
		v.report(onPlate(StageOutline), "next-id", fmt.Sprintf("the next id is %d, but %d is in use", next, highest),
			"ids are never used again, so the next one is above all", fmt.Sprintf("set next_id to %d or more", min(max(highest, 0), tree.MaxWhole-1)+1))
	}
}

func (v *validator) texts() {
	v.p.visitTexts(func(t text) {
		code := "text"
		if t.label == "the name" {
			code = "name"
		}
		if t.fits() {
			return
		}
		what := fmt.Sprintf("%s of %s", t.label, t.owner())
		switch {
		case !utf8.ValidString(t.value):
			v.report(t.FeatureRef, code+"-letters", what+" is not UTF-8 text", "files are UTF-8", "write it again")
		case t.value == "":
			v.report(t.FeatureRef, code+"-empty", what+" is empty", "people find things by name", "give it a name")
		case utf8.RuneCountInString(t.value) > t.most:
			v.report(t.FeatureRef, code+"-long", fmt.Sprintf("%s has %d characters", what, utf8.RuneCountInString(t.value)),
				fmt.Sprintf("at most %d fit on a drawing", t.most), "shorten it")
		case strings.ContainsFunc(t.value, func(r rune) bool { return !printable(r, t.lines) }):
			v.report(t.FeatureRef, code+"-letters", what+" has characters that cannot be printed",
				"names appear on drawings and in lists", "remove them")
		default:
			v.report(t.FeatureRef, code+"-space", what+" begins or ends with a space", "nobody sees it", "remove the space")
		}
	})
}

// fits reports whether a text is as it should be.
func (t text) fits() bool {
	if t.value == "" {
		return t.empty
	}
	return utf8.ValidString(t.value) && (len(t.value) <= t.most || utf8.RuneCountInString(t.value) <= t.most) &&
		!strings.ContainsFunc(t.value, func(r rune) bool { return !printable(r, t.lines) }) &&
		(t.lines || strings.TrimSpace(t.value) == t.value)
}

func printable(r rune, lines bool) bool {
	return unicode.IsPrint(r) || lines && (r == '\n' || r == '\t')
}

func (v *validator) names() {
	first := make(map[string]FeatureRef, len(v.features))
	for _, f := range v.features {
		other, doubled := first[f.Name]
		if f.Name == "" {
			continue
		}
		if doubled {
			v.report(f, "name-doubled", fmt.Sprintf("the %s and another %s are both named %q", f.ShownKind(), other.ShownKind(), f.Name),
				"findings, tables and cut lines name features", "rename one of them")
			continue
		}
		first[f.Name] = f
	}
}

func (v *validator) number(n number) {
	f, l := n.FeatureRef, n.limit
	if l.holds(n.value) {
		return
	}
	unit := n.unit
	if unit != "" && unit != "°" {
		unit = " " + unit
	}
	switch {
	case !finite(n.value):
		v.report(f, "number-not-finite", fmt.Sprintf("%s is %v", n.what(), n.value), "only numbers can be drawn and written",
			"set it again")
	default:
		limits := fmt.Sprintf("from %g to %g%s", l.min, l.max, unit)
		if l.open {
			limits = fmt.Sprintf("more than %g%s and at most %g%s", l.min, unit, l.max, unit)
		}
		v.report(f, "number-range", fmt.Sprintf("%s is %g%s; it can be %s", n.what(), n.value, unit, limits), l.why,
			"set it within the range")
	}
}

// word reports a value that is not one of the words.
func (v *validator) word(f FeatureRef, label, value string, words []string) bool {
	if slices.Contains(words, value) {
		return true
	}
	if f.Kind != "" {
		label += " of " + f.String()
	}
	v.report(f, "word", fmt.Sprintf("%s is %q; it can be %s", label, tree.Clip(value), tree.Quoted(words)), "only these are known", "choose one of them")
	return false
}

func (v *validator) stock() {
	s, on := v.p.Stock, onPlate(StageStock)
	top := v.word(on, "the top face", string(s.Top), faces)
	bottom := v.word(on, "the bottom face", string(s.Bottom), faces)
	v.strength(on, s.Material)
	v.finish(on, s.Finish)
	if !top || !bottom || !finite(s.Nominal) || !finite(s.Finished) {
		return
	}
	machined := s.Top == Machined || s.Bottom == Machined
	switch {
	case s.Finished > s.Nominal:
		v.report(on, "thickness", fmt.Sprintf("the finished thickness %g mm is above the nominal %g mm", s.Finished, s.Nominal),
			"machining only takes metal away", fmt.Sprintf("buy stock of %g mm or more, or finish at %g mm", s.Finished, s.Nominal))
	case machined && s.Finished == s.Nominal:
		v.report(on, "thickness", fmt.Sprintf("a face is machined, but nominal and finished thickness are both %g mm", s.Nominal),
			"facing takes metal away", "choose thicker stock, a lower finished thickness, or leave the faces as supplied")
	case !machined && s.Finished < s.Nominal:
		v.report(on, "thickness", fmt.Sprintf("both faces are as supplied, but the finished thickness %g mm is below the nominal %g mm", s.Finished, s.Nominal),
			"only facing makes stock thinner", fmt.Sprintf("machine a face, or finish at %g mm", s.Nominal))
	}
}

func (v *validator) strength(f FeatureRef, m material.Material) {
	if m.Ultimate < m.Proof {
		of := ""
		if f.Kind != "" {
			of = " of " + f.String()
		}
		v.report(f, "material-strength", fmt.Sprintf("the ultimate strength%s %g MPa is below the proof stress %g MPa", of, m.Ultimate, m.Proof),
			"metal yields before it breaks", "exchange or correct the two")
	}
}

func (v *validator) finish(on FeatureRef, f Finish) {
	if f.Name == "" && (f.Growth != 0 || len(f.Masked) > 0) {
		v.report(on, "finish-name", "the finish has no name", "it stands on the order by its name", "name it, or take its growth and masked features away")
	}
	v.doubled(on, "the finish", "masked feature", f.Masked)
}

// doubled reports an id that stands twice in a list of ids.
func (v *validator) doubled(f FeatureRef, who, what string, ids []ID) {
	if id, ok := twiceIn(ids); ok {
		v.report(f, "reference-doubled", fmt.Sprintf("%s lists the %s %d twice", who, what, id), "once is enough", "list it once")
	}
}

// repeated reports a feature that two entries of a list name.
func (v *validator) repeated(f FeatureRef, what string, ids []ID) {
	if id, ok := twiceIn(ids); ok {
		v.report(f, "entry-doubled", fmt.Sprintf("%s names the %s %d twice", f, what, id), "one entry says all about it", "remove one of them")
	}
}

// twiceIn is the first id that stands twice in a list.
func twiceIn(ids []ID) (ID, bool) {
	seen := make(map[ID]bool, len(ids))
	for _, id := range ids {
		if seen[id] {
			return id, true
		}
		seen[id] = true
	}
	return 0, false
}

// reference reports a reference to nothing, or to a feature of the wrong kind.
func (v *validator) reference(from FeatureRef, r reference) {
	to, ok := v.kinds[r.id]
	if ok && slices.Contains(r.kinds, to.Kind) {
		return
	}
	words := make([]string, len(r.kinds))
	for i, k := range r.kinds {
		words[i] = k.class()
	}
	want := words[0]
	if n := len(words); n > 1 {
		want = strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	if !ok {
		v.report(from, "reference", fmt.Sprintf("%s of %s is the feature %d, which does not exist", r, from.owner(), r.id),
			"a reference is the id of a "+want, "choose a "+want)
		return
	}
	v.report(from, "reference", fmt.Sprintf("%s of %s is %s, not a %s", r, from.owner(), to, want),
		"a reference is the id of a "+want, "choose a "+want)
}
