package plate

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"platewright/plate/finding"
	"platewright/plate/standard"
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
	v.holes()
	v.ribs()
	v.grids()
	v.pockets()
	v.targets()
	v.machining()
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
	for _, f := range v.features {
		first, doubled := v.kinds[f.ID]
		switch {
		case f.ID <= 0 || f.ID > maxWhole:
			v.report(f, "id-range", fmt.Sprintf("%s has the id %d", f, f.ID), "ids are whole numbers from 1", "give it a new id")
		case doubled:
			v.report(f, "id-doubled", fmt.Sprintf("%s has the id %d, as has %s", f, f.ID, first),
				"an id stands for one feature, for ever", "give one of them a new id")
		default:
			v.kinds[f.ID] = f
		}
		highest = max(highest, f.ID)
	}
	if next := v.p.NextID; next <= highest || next < 1 || next > maxWhole {
		v.report(onPlate(StageOutline), "next-id", fmt.Sprintf("the next id is %d, but %d is in use", next, highest),
			"ids are never used again, so the next one is above all", fmt.Sprintf("set next_id to %d or more", min(max(highest, 0), maxWhole-1)+1))
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
			v.report(f, "name-doubled", fmt.Sprintf("the %s and another %s are both named %q", f.Kind, other.Kind, f.Name),
				"findings, tables and cut lines name features", "rename one of them")
			continue
		}
		first[f.Name] = f
	}
}

func (v *validator) number(n number) {
	f := FeatureRef{n.feature, n.name, n.kind, n.stage, n.where, n.hasWhere}
	l := n.limit
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

func (v *validator) counts() {
	p := v.p
	paths, kept := len(p.Outline.Corners), 0
	longest := paths
	for _, g := range p.Grids {
		paths += len(g.Bounds)
		longest = max(longest, len(g.Bounds))
	}
	for _, k := range p.Pockets {
		paths += len(k.Bounds)
		longest = max(longest, len(k.Bounds))
		kept = max(kept, len(k.Kept))
	}
	round := len(p.Holes)
	for _, c := range p.Circles {
		round += max(0, min(c.Count, maxHoles)) // a wild count is reported as such, and must not overflow here
	}
	for _, c := range []struct {
		code, stage, what string
		n, most           int
	}{
		{"count", StageOutline, "corners in one boundary", longest, maxCorners},
		{"count-total", StageOutline, "corners in all boundaries together", paths, maxAllPaths},
		{"count", StageBores, "bores", len(p.Bores), maxBores},
		{"count", StageHoles, "holes", len(p.Holes), maxHoles},
		{"count-total", StageHoles, "holes with those of bolt circles", round, maxHoles},
		{"count", StageHoles, "bolt circles", len(p.Circles), maxCircles},
		{"count", StageRibs, "ribs", len(p.Ribs), maxRibs},
		{"count", StageRibs, "isogrids", len(p.Grids), maxGrids},
		{"count", StagePockets, "pockets", len(p.Pockets), maxPockets},
		{"count", StagePockets, "kept cells in one pocket", kept, maxKept},
		{"count", StageTargets, "cut lines", len(p.CutLines), maxCutLines},
		{"count", StageTargets, "targets", len(p.Targets), maxTargets},
	} {
		if c.n > c.most {
			v.report(onPlate(c.stage), c.code, fmt.Sprintf("%d %s; at most %d are possible", c.n, c.what, c.most),
				"the work on one document is bounded", "remove some, or split the plate")
		}
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
	v.report(f, "word", fmt.Sprintf("%s is %q; it can be %s", label, clip(value), quoted(words)), "only these are known", "choose one of them")
	return false
}

func (v *validator) stock() {
	s, on := v.p.Stock, onPlate(StageStock)
	top := v.word(on, "the top face", string(s.Top), faces)
	bottom := v.word(on, "the bottom face", string(s.Bottom), faces)
	if s.Material.Ultimate < s.Material.Proof {
		v.report(on, "material-strength", fmt.Sprintf("the ultimate strength %g MPa is below the proof stress %g MPa", s.Material.Ultimate, s.Material.Proof),
			"metal yields before it breaks", "exchange or correct the two")
	}
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

func (v *validator) outline() {
	v.path(onPlate(StageOutline), "the outline", v.p.Outline.Corners)
}

// path checks a closed drawn path. A circle is two corners with arcs; anything less than that, or three corners, has no area.
func (v *validator) path(f FeatureRef, what string, list []Corner) {
	of := func() string {
		if f.Kind == "" {
			return what
		}
		return what + " of " + f.String()
	}
	arcs := slices.ContainsFunc(list, func(c Corner) bool { return c.Arc })
	if len(list) < 2 || len(list) == 2 && !arcs {
		v.report(f, "corners-few", fmt.Sprintf("%s has %d corners", of(), len(list)),
			"an area needs three corners, or two and an arc", "add corners")
		return
	}
	for i, c := range list {
		j := (i + 1) % len(list)
		if c.X == list[j].X && c.Y == list[j].Y {
			f.Where, f.HasWhere = [2]float64{c.X, c.Y}, true
			v.report(f, "corner-doubled", fmt.Sprintf("corners %d and %d of %s are at one place, (%g, %g) mm", i+1, j+1, of(), c.X, c.Y),
				"the side between them has no length", "remove one of them")
		}
	}
}

func (v *validator) holes() {
	for _, h := range v.p.Holes {
		v.form(FeatureRef{h.ID, h.Name, KindHole, StageHoles, [2]float64{h.X, h.Y}, true}, h.HoleForm)
	}
	for _, c := range v.p.Circles {
		x, y := v.p.CircleCentre(c)
		f := FeatureRef{c.ID, c.Name, KindCircle, StageHoles, [2]float64{x, y}, true}
		v.form(f, c.HoleForm)
		if c.Bore != 0 {
			v.reference(f, "its centre", c.Bore, KindBore)
		}
	}
}

func (v *validator) form(f FeatureRef, h HoleForm) {
	kind := v.word(f, "the kind", string(h.Kind), holeKinds)
	side := v.word(f, "the side", string(h.Side), sides)
	if _, ok := standard.NominalDiameter(h.Size); !ok {
		sizes := standard.Sizes()
		v.report(f, "hole-size", fmt.Sprintf("the size %q of %s is not in the tables", clip(h.Size), f),
			"sizes are ISO metric coarse threads", fmt.Sprintf("choose one of %s", strings.Join(sizes, ", ")))
	}
	switch {
	case !kind || !side:
	case h.Kind == Clearance:
		v.clearance(f, h)
	default:
		v.tapped(f, h)
	}
}

func (v *validator) clearance(f FeatureRef, h HoleForm) {
	v.word(f, "the series", string(h.Series), serieses)
	if h.Side != Through || h.Depth != 0 {
		v.report(f, "hole-blind", fmt.Sprintf("%s is a clearance hole but does not go through", f), "a fastener passes through it",
			"make it through without a depth, or tapped")
	}
}

func (v *validator) tapped(f FeatureRef, h HoleForm) {
	if h.Series != "" {
		v.report(f, "hole-series", fmt.Sprintf("%s is tapped but has the series %q", f, clip(string(h.Series))), "series are for clearance holes",
			"remove the series")
	}
	t := v.p.Stock.Thickness()
	switch {
	case h.Side == Through && h.Depth != 0:
		v.report(f, "hole-depth", fmt.Sprintf("%s goes through but has the thread depth %g mm", f, h.Depth), "a through thread is as deep as the plate",
			"remove the depth, or choose a face")
	case h.Side != Through && h.Depth == 0:
		v.report(f, "hole-depth", fmt.Sprintf("%s is blind but has no thread depth", f), "the tap needs to know where to stop", "give a depth, or make it through")
	case h.Side != Through && h.Depth >= t:
		v.report(f, "hole-deep", fmt.Sprintf("the thread of %s is %g mm deep in a plate of %g mm", f, h.Depth, t), "a blind hole ends inside the plate",
			fmt.Sprintf("make it through, or less than %g mm deep", t))
	}
}

// reference reports a reference to nothing, or to a feature of the wrong kind.
func (v *validator) reference(from FeatureRef, label string, id ID, kinds ...Kind) {
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	want := strings.Join(words, " or ")
	to, ok := v.kinds[id]
	switch {
	case !ok:
		v.report(from, "reference", fmt.Sprintf("%s of %s is the feature %d, which does not exist", label, from, id),
			"a reference is the id of a "+want, "choose a "+want)
	case !slices.Contains(kinds, to.Kind):
		v.report(from, "reference", fmt.Sprintf("%s of %s is %s, not a %s", label, from, to, want),
			"a reference is the id of a "+want, "choose a "+want)
	}
}

func (v *validator) ribs() {
	centres := v.p.centres()
	for _, r := range v.p.Ribs {
		a, b := r.From.point(centres), r.To.point(centres)
		f := FeatureRef{r.ID, r.Name, KindRib, StageRibs, a, true}
		for _, e := range []RibEnd{r.From, r.To} {
			if e.Feature != 0 {
				v.reference(f, "an end", e.Feature, KindBore, KindHole)
			}
		}
		known := func(e RibEnd) bool { _, ok := centres[e.Feature]; return ok || e.Feature == 0 }
		if a == b && known(r.From) && known(r.To) {
			v.report(f, "rib-short", fmt.Sprintf("both ends of %s are at one place", f), "a rib has a length", "move one end")
		}
	}
}
