package set

import (
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"platewright/plate/finding"
	"platewright/plate/tree"
)

// The numbers of things that one set may hold.
const (
	maxParts    = 200
	maxQuantity = 1000
	maxName     = 80
	maxNote     = 10_000
	maxFile     = 300
)

// number is one numeric value of the document with where it belongs and its range.
type number struct {
	of, label  string
	value      float64
	least      float64
	most       float64
	aboveLeast bool
	why        string
}

// numbers lists every number of the document. The ranges are wide: they catch a wrong unit or a slip of the hand.
func numbers(s Set) []number {
	const reach = 20_000 // mm; a machine of 20 m is none of flat plates
	var ns []number
	add := func(of, label string, v, least, most float64, open bool, why string) {
		ns = append(ns, number{of, label, v, least, most, open, why})
	}
	coordinate := func(of, label string, v float64) {
		add(of, label, v, -reach, reach, false, "the machine lies within 20 m of the origin")
	}
	angle := func(of, label string, v float64) { add(of, label, v, -360, 360, false, "one turn either way") }
	size := func(of, label string, v float64) { add(of, label, v, 0, reach, true, "it has a size") }
	share := func(of, label string, v float64) { add(of, label, v, 0, reach, false, "0 for none") }
	for _, p := range s.Parts {
		of := fmt.Sprintf("part %q", p.Name)
		coordinate(of, "x", p.Place.X)
		coordinate(of, "y", p.Place.Y)
		angle(of, "angle", p.Place.AngleDeg)
		add(of, "quantity", float64(p.Quantity), 1, maxQuantity, false, "pieces in one set")
	}
	for _, c := range s.CrossMembers {
		of := fmt.Sprintf("cross member %q", c.Name)
		size(of, "length", c.Length)
		size(of, "diameter", c.Diameter)
		share(of, "inside diameter", c.Inside)
	}
	for _, w := range s.Wheels {
		size(fmt.Sprintf("wheel %q", w.Name), "loaded radius", w.Radius)
	}
	coordinate("the ground", "height", s.Ground.Height)
	angle("the steering axis", "angle", s.Steering.AngleDeg)
	for _, v := range s.Settings {
		for _, w := range v.Values {
			of := fmt.Sprintf("setting %q", v.Name)
			angle(of, "angle", w.AngleDeg)
			coordinate(of, "position", w.Position)
		}
	}
	if s.Sheet != (Sheet{}) {
		size("the sheet", "length", s.Sheet.Length)
		size("the sheet", "width", s.Sheet.Width)
		share("the sheet", "free edge", s.Sheet.Edge)
		share("the sheet", "gap", s.Sheet.Gap)
	}
	return ns
}

// reference is one reference to a feature with what refers to it.
type reference struct {
	of, label string
	ref       Ref
	axis      bool // the feature must be a round one with a centre
}

func refs(s Set) []reference {
	var rs []reference
	add := func(of, label string, r Ref) { rs = append(rs, reference{of, label, r, true}) }
	for _, p := range s.Parts {
		if p.Carried.By != "" {
			of := fmt.Sprintf("part %q", p.Name)
			add(of, "the feature that carries it", Ref{p.Carried.By, p.Carried.Feature})
			add(of, "its own feature", Ref{p.Name, p.Carried.Own})
		}
	}
	for _, c := range s.CrossMembers {
		of := fmt.Sprintf("cross member %q", c.Name)
		add(of, "from", c.From)
		add(of, "to", c.To)
	}
	for _, w := range s.Wheels {
		add(fmt.Sprintf("wheel %q", w.Name), "axle", w.Axle)
	}
	if s.Ground.Ride != (Ref{}) {
		add("the ground", "ride height", s.Ground.Ride)
	}
	if s.Steering.On() {
		add("the steering axis", "lower", s.Steering.Lower)
		if s.Steering.Upper != (Ref{}) {
			add("the steering axis", "upper", s.Steering.Upper)
		}
	}
	for _, v := range s.Settings {
		for _, w := range v.Values {
			rs = append(rs, reference{fmt.Sprintf("setting %q", v.Name), "adjuster", w.Adjuster, false})
		}
	}
	return rs
}

// Validate reports what the document itself says that cannot be: names, numbers, references between its own parts. What
// concerns the plates is reported by Load.
func (s Set) Validate() []finding.Finding {
	v := &validator{s: s}
	v.names()
	for _, n := range numbers(s) {
		if !(n.value >= n.least && n.value <= n.most) || n.aboveLeast && n.value == n.least {
			v.add("set-number", "%s of %s is %g; it must be %s %g to %g (%s)", n.label, n.of, n.value,
				map[bool]string{true: "above", false: "from"}[n.aboveLeast], n.least, n.most, n.why)
		}
	}
	v.parts()
	v.references()
	v.machine()
	finding.Sort(v.found)
	return v.found
}

type validator struct {
	s     Set
	found []finding.Finding
}

func (v *validator) add(code, format string, args ...any) {
	v.found = append(v.found, finding.Finding{Code: code, Level: finding.Error, What: fmt.Sprintf(format, args...), Why: "the set must say what is meant", Source: "the set file"})
}

// names checks that everything has a name of its own among its kind.
func (v *validator) names() {
	check := func(kind string, names []string) {
		seen := map[string]bool{}
		for i, n := range names {
			switch {
			case strings.TrimSpace(n) == "":
				v.add("set-name", "%s %d has no name; give it one", kind, i+1)
			case utf8.RuneCountInString(n) > maxName:
				v.add("set-name", "the name %q of a %s has more than %d characters; shorten it", tree.Clip(n), kind, maxName)
			case seen[n]:
				v.add("set-name", "two are named %s %q; names are unique in a set: rename one", kind, n)
			}
			seen[n] = true
		}
	}
	check("set", []string{v.s.Name})
	check("part", mapTo(v.s.Parts, func(p Part) string { return p.Name }))
	check("cross member", mapTo(v.s.CrossMembers, func(c CrossMember) string { return c.Name }))
	check("wheel", mapTo(v.s.Wheels, func(w Wheel) string { return w.Name }))
	check("setting", mapTo(v.s.Settings, func(s Setting) string { return s.Name }))
	if utf8.RuneCountInString(v.s.Note) > maxNote {
		v.add("set-name", "the note has more than %d characters; shorten it", maxNote)
	}
}

func mapTo[T, U any](in []T, f func(T) U) []U {
	out := make([]U, len(in))
	for i, x := range in {
		out[i] = f(x)
	}
	return out
}

var hash = regexp.MustCompile(`^[0-9a-f]{64}$`)

func (v *validator) parts() {
	if n := len(v.s.Parts); n == 0 || n > maxParts {
		v.add("set-parts", "the set has %d parts; it needs 1 to %d", n, maxParts)
		return // which also bounds the search for circles below
	}
	for _, p := range v.s.Parts {
		if why := badFile(p.File); why != "" {
			v.add("set-file", "part %q: the file %q %s; give the plate's file relative to the set, with forward slashes", p.Name, tree.Clip(p.File), why)
		}
		if p.Revision != "" && !hash.MatchString(p.Revision) {
			v.add("set-revision", "part %q: the revision %q is not a SHA-256 in hex; remove it, or take it from the plate", p.Name, tree.Clip(p.Revision))
		}
		if p.Hand != NoHand && p.Hand != Left && p.Hand != Right {
			v.add("set-hand", "part %q: the hand %q is neither left nor right", p.Name, p.Hand)
		}
	}
	for _, p := range v.s.Parts {
		if v.circular(p) {
			v.add("set-carried", "part %q is carried by itself through %q; let one of them stand by itself", p.Name, p.Carried.By)
		}
	}
}

// badFile says why a file name is not a plain relative one; empty when it is.
func badFile(name string) string {
	switch {
	case name == "":
		return "is empty"
	case len(name) > maxFile:
		return "is too long"
	case strings.ContainsAny(name, "\\\x00"):
		return "has a backslash"
	case path.IsAbs(name) || strings.Contains(name, ":"): // a colon is for drives
		return "is not relative"
	case !strings.HasSuffix(name, ".plate"):
		return "does not end in .plate"
	}
	return ""
}

// circular reports whether following the carriers of a part comes back to it.
func (v *validator) circular(p Part) bool {
	at := p
	for range v.s.Parts {
		i := v.s.Part(at.Carried.By)
		if at.Carried.By == "" || i < 0 {
			return false
		}
		if at = v.s.Parts[i]; at.Name == p.Name {
			return true
		}
	}
	return false
}

func (v *validator) references() {
	for _, r := range refs(v.s) {
		switch {
		case v.s.Part(r.ref.Part) < 0:
			v.add("set-reference", "%s of %s refers to part %q, which the set does not have; name one of its parts", r.label, r.of, r.ref.Part)
		case r.ref.Feature < 1:
			v.add("set-reference", "%s of %s names no feature of part %q; give the feature's id", r.label, r.of, r.ref.Part)
		}
	}
	for _, s := range v.s.Settings {
		for i, a := range s.Values {
			if slices.ContainsFunc(s.Values[:i], func(b Value) bool { return a.Adjuster == b.Adjuster }) {
				v.add("set-setting", "setting %q sets feature %d of part %q twice; keep one", s.Name, a.Adjuster.Feature, a.Adjuster.Part)
			}
		}
	}
}

// machine checks wheels, steering axis, cross members and sheet.
func (v *validator) machine() {
	for _, role := range []Role{Front, Rear} {
		var first *Wheel
		for i, w := range v.s.Wheels {
			if w.Role != role {
				continue
			}
			if first != nil && (first.Axle != w.Axle || first.Radius != w.Radius) {
				v.add("set-wheel", "wheels %q and %q are both %s but differ in axle or radius; seen from the side there is one axle a role", first.Name, w.Name, role)
			}
			first = &v.s.Wheels[i]
		}
	}
	for _, w := range v.s.Wheels {
		if w.Role != Front && w.Role != Rear {
			v.add("set-wheel", "wheel %q has the role %q; it is front or rear", w.Name, w.Role)
		}
	}
	front, hasFront := v.s.Wheel(Front)
	rear, hasRear := v.s.Wheel(Rear)
	if hasFront && hasRear && front.Axle == rear.Axle {
		v.add("set-wheel", "wheels %q and %q turn on the same axle; a front and a rear wheel have two", front.Name, rear.Name)
	}
	if s := v.s.Steering; s.On() && s.Lower == s.Upper {
		v.add("set-steering", "the steering axis runs through feature %d of part %q twice; name another for its upper end, or give an angle", s.Lower.Feature, s.Lower.Part)
	}
	for _, c := range v.s.CrossMembers {
		if c.From == c.To {
			v.add("set-cross-member", "cross member %q runs from feature %d of part %q to itself; name another part", c.Name, c.From.Feature, c.From.Part)
		}
		if c.Inside >= c.Diameter && c.Inside > 0 {
			v.add("set-cross-member", "cross member %q is %g mm inside and %g mm outside; the inside is the smaller", c.Name, c.Inside, c.Diameter)
		}
	}
	if s := v.s.Sheet; s != (Sheet{}) && 2*s.Edge >= min(s.Length, s.Width) {
		v.add("set-sheet", "nothing of the sheet of %g × %g mm is left within edges of %g mm", s.Length, s.Width, s.Edge)
	}
}
