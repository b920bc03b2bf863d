package plate

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"platewright/plate/standard"
	"platewright/plate/tree"
)

// fromPlace is the choice that stands for a place of its own, where another feature's centre could be chosen.
const fromPlace = "a place"

// namesOf lists the names of the features of the given kinds.
func namesOf(p Plate, kinds ...Kind) []string {
	names := []string{} // not nil: a choice among none is a choice still
	for _, f := range p.Features() {
		if slices.Contains(kinds, f.Kind) {
			names = append(names, f.Name)
		}
	}
	return names
}

// idOfName is the id of the feature of that name among the given kinds.
func idOfName(p Plate, name string, kinds ...Kind) (ID, error) {
	for _, f := range p.Features() {
		if f.Name == name && slices.Contains(kinds, f.Kind) {
			return f.ID, nil
		}
	}
	return 0, fmt.Errorf("there is no feature %q to choose", tree.Clip(name))
}

func nameOfID(p Plate, id ID, none string) string {
	if f, ok := p.Find(id); ok && id != 0 {
		return f.Name
	}
	return none
}

// formFields are the fields of what a hole is: those that mean something for its kind and side. A change of kind or side
// brings the others into a state that makes sense. The diameter of a reamed hole stands at the given key.
func formFields[T any](o owner[T], p Plate, diameterKey string, form func(*T) *HoleForm) []Field {
	v, err := o.find(&p)
	if err != nil {
		return nil
	}
	now := form(v)
	word := func(get func(*HoleForm) string) func(Plate, *T) string {
		return func(_ Plate, v *T) string { return get(form(v)) }
	}
	t := p.Stock.Thickness()
	fs := []Field{o.words("kind", "kind", "what the hole is for", holeKinds, word(func(f *HoleForm) string { return string(f.Kind) }),
		func(_ *Plate, v *T, s string) error { form(v).setKind(HoleKind(s)); return nil })}
	if now.Kind == Reamed {
		fs = append(fs,
			o.number(diameterKey, "reamed diameter", "mm", diameter, func(v *T) *float64 { return &form(v).Diameter }),
			o.fit("fit", "fit", func(v *T) *string { return &form(v).Fit }))
	} else {
		fs = append(fs, o.words("size", "size", "ISO metric coarse threads", standard.Sizes(), word(func(f *HoleForm) string { return f.Size }),
			func(_ *Plate, v *T, s string) error { form(v).Size = s; return nil }))
	}
	blind, headed := now.Kind == Tapped || now.Kind == Reamed, now.Kind == Counterbored || now.Kind == Countersunk
	switch {
	case blind:
		fs = append(fs, o.words("side", "side", "it may be blind", sides, word(func(f *HoleForm) string { return string(f.Side) }),
			func(p *Plate, v *T, s string) error { form(v).setSide(Side(s), p.Stock.Thickness()); return nil }))
	case headed:
		fs = append(fs, o.words("side", "side", "the face that the head goes into", oneSide, word(func(f *HoleForm) string { return string(f.Side) }),
			func(_ *Plate, v *T, s string) error { form(v).Side = Side(s); return nil }))
	}
	if !blind {
		fs = append(fs, o.words("series", "series", "ISO 273", serieses, word(func(f *HoleForm) string { return string(f.Series) }),
			func(_ *Plate, v *T, s string) error { form(v).Series = Series(s); return nil }))
	}
	if blind && now.Side != Through {
		label := "thread depth"
		if now.Kind == Reamed {
			label = "depth"
		}
		fs = append(fs, blindDepth(o, t, "depth_mm", label, func(v *T) *float64 { return &form(v).Depth }))
	}
	if headed {
		fs = append(fs, o.number("head_diameter_mm", "head's diameter", "mm", headSize, func(v *T) *float64 { return &form(v).HeadDiameter }))
	}
	if now.Kind == Counterbored {
		fs = append(fs, o.number("head_depth_mm", "head's depth", "mm", headSize, func(v *T) *float64 { return &form(v).HeadDepth }))
	}
	return append(fs, o.number("boss_mm", "boss width", "mm", keptWidth, func(v *T) *float64 { return &form(v).Boss }))
}

// blindDepth is the field of the depth of what ends inside the plate of thickness t.
func blindDepth[T any](o owner[T], t float64, key, label string, held func(*T) *float64) Field {
	f := o.number(key, label, "mm", limit{0, t, true, fmt.Sprintf("it ends inside the plate of %g mm", t)}, held)
	f.MaxOpen = true
	return f
}

// setKind turns a hole into one of another kind, of the same size where both have one.
func (f *HoleForm) setKind(k HoleKind) {
	old := *f
	*f = HoleForm{Kind: k, Size: orDefault(old.Size, "M6"), Boss: old.Boss, Side: old.Side}
	switch k {
	case Clearance:
		f.Series, f.Side = Medium, Through
	case Counterbored, Countersunk:
		f.Series = Series(orDefault(string(old.Series), string(Medium)))
		if f.Side == Through {
			f.Side = Top
		}
	case Reamed:
		f.Size, f.Fit, f.Depth = "", "H7", old.Depth
		f.Diameter, _ = standard.NominalDiameter(orDefault(old.Size, "M6"))
	default:
		f.Depth = old.Depth
	}
	if (k == Tapped || k == Reamed) && f.Depth == 0 {
		f.Side = Through
	}
}

// setSide gives a hole that becomes blind half the plate as its depth, to start from.
func (f *HoleForm) setSide(s Side, t float64) {
	f.Side = s
	switch {
	case s == Through:
		f.Depth = 0
	case f.Depth == 0:
		f.Depth = t / 2
	}
}

func ribFields(p Plate, id ID) []Field {
	o := featureOwner(KindRib, id, ribs, ribID)
	end := func(key, label string, held func(*Rib) *RibEnd) []Field {
		fs := []Field{o.words(key, label, "a bore, hole or slot, or a place of its own",
			append([]string{fromPlace}, namesOf(p, located...)...),
			func(p Plate, r *Rib) string { return nameOfID(p, held(r).Feature, fromPlace) },
			func(p *Plate, r *Rib, s string) error {
				e := held(r)
				if s == fromPlace {
					x, y := p.EndPoint(*e)
					*e = RibEnd{X: x, Y: y}
					return nil
				}
				id, err := idOfName(*p, s, located...)
				e.Feature = id
				return err
			})}
		if r, err := o.find(&p); err == nil && held(r).Feature == 0 {
			fs = append(fs,
				o.number(key+".x_mm", "x of "+label, "mm", coordinate, func(r *Rib) *float64 { return &held(r).X }),
				o.number(key+".y_mm", "y of "+label, "mm", coordinate, func(r *Rib) *float64 { return &held(r).Y }))
		}
		return fs
	}
	fs := end("from", "first end", func(r *Rib) *RibEnd { return &r.From })
	fs = append(fs, end("to", "second end", func(r *Rib) *RibEnd { return &r.To })...)
	fs = append(fs,
		o.number("width_mm", "width", "mm", ribWidth, func(r *Rib) *float64 { return &r.Width }),
		o.flag("arc", "arc", "it is straight, or the arc through a point", func(r *Rib) bool { return r.Arc },
			func(p *Plate, r *Rib, on bool) error {
				r.Arc, r.ThroughX, r.ThroughY = on, 0, 0
				if on {
					var a, b Corner
					a.X, a.Y = p.EndPoint(r.From)
					b.X, b.Y = p.EndPoint(r.To)
					r.ThroughX, r.ThroughY = bulge(a, b)
				}
				return nil
			}))
	if r, err := o.find(&p); err == nil && r.Arc {
		fs = append(fs,
			o.number("through_mm[0]", "x on the arc", "mm", coordinate, func(r *Rib) *float64 { return &r.ThroughX }),
			o.number("through_mm[1]", "y on the arc", "mm", coordinate, func(r *Rib) *float64 { return &r.ThroughY }))
	}
	return fs
}

// allRibs is the choice that every rib and grid divides a pocket field.
const allRibs = "all"

func ribNames(p Plate, k *Pocket) string {
	if k.AllRibs {
		return allRibs
	}
	return namesText(p, k.Ribs)
}

func setRibNames(p *Plate, k *Pocket, s string) error {
	k.AllRibs, k.Ribs = s == allRibs, nil
	if k.AllRibs {
		return nil
	}
	ids, err := idsOfText(*p, s, dividers)
	k.Ribs = ids
	return err
}

// namesText is the names of features with commas between.
func namesText(p Plate, ids []ID) string {
	names := make(map[ID]string)
	for _, f := range p.Features() {
		names[f.ID] = f.Name
	}
	var list []string
	for _, id := range ids {
		list = append(list, names[id])
	}
	return strings.Join(list, ", ")
}

// idsOfText reads names of features of the given kinds with commas between; one with a comma in it is found because the
// longest known name is tried first.
func idsOfText(p Plate, s string, kinds []Kind) ([]ID, error) {
	var known []FeatureRef
	for _, f := range p.Features() {
		if slices.Contains(kinds, f.Kind) {
			known = append(known, f)
		}
	}
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = k.class()
	}
	slices.SortStableFunc(known, func(a, b FeatureRef) int { return len(b.Name) - len(a.Name) })
	var ids []ID
	for rest := strings.TrimSpace(s); rest != ""; {
		i := slices.IndexFunc(known, func(f FeatureRef) bool {
			after, ok := strings.CutPrefix(rest, f.Name)
			after = strings.TrimSpace(after)
			return ok && (after == "" || after[0] == ',')
		})
		if i < 0 {
			return nil, fmt.Errorf("%q does not start with the name of a %s; write names with commas between", tree.Clip(rest), strings.Join(words, " or "))
		}
		if slices.Contains(ids, known[i].ID) {
			return nil, fmt.Errorf("%s stands twice; name it once", known[i])
		}
		ids = append(ids, known[i].ID)
		rest = strings.TrimSpace(rest[len(known[i].Name):])
		rest = strings.TrimSpace(strings.TrimPrefix(rest, ","))
	}
	return ids, nil
}

var errNoCutLine = errors.New("section stiffness is taken at a cut line; draw a cut line first")

func targetFields(p Plate, id ID) []Field {
	o := featureOwner(KindTarget, id, targets, targetID)
	t, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.words("quantity", "quantity", "what can be aimed at", quantities, func(_ Plate, t *Target) string { return string(t.Quantity) },
			func(p *Plate, t *Target, s string) error {
				t.Quantity, t.CutLine, t.Case = Quantity(s), 0, 0
				if t.Quantity == SectionEI {
					if len(p.CutLines) == 0 {
						return errNoCutLine
					}
					t.CutLine = p.CutLines[0].ID
				}
				return nil
			}),
		o.words("sense", "sense", "the figure must be at most, or at least, the value", senses, func(_ Plate, t *Target) string { return string(t.Sense) },
			func(_ *Plate, t *Target, s string) error { t.Sense = Sense(s); return nil }),
		o.number(t.Quantity.valueKey(), "value", t.Quantity.Unit(), targetValue, func(t *Target) *float64 { return &t.Value }),
	}
	if t.Quantity == SectionEI {
		fs = append(fs, o.words("cut_line", "cut line", "one of the drawn cut lines", namesOf(p, KindCutLine),
			func(p Plate, t *Target) string { return nameOfID(p, t.CutLine, "") },
			func(p *Plate, t *Target, s string) error {
				id, err := idOfName(*p, s, KindCutLine)
				t.CutLine = id
				return err
			}))
	}
	if t.Quantity == Reserve || t.Quantity == Deflect {
		fs = append(fs, o.feature("load_case", "load case", worstCase, "one case, or the worst of all", p, caseOnly, func(t *Target) *ID { return &t.Case }))
	}
	return fs
}

func (q Quantity) valueKey() string {
	f := targetV1{Quantity: string(q)}
	key, _ := f.value()
	return key
}
