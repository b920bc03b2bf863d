package plate

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"platewright/plate/standard"
)

// fromPlace is the choice that stands for a place of its own, where another feature's centre could be chosen.
const fromPlace = "a place"

// namesOf lists the names of the features of the given kinds.
func namesOf(p Plate, kinds ...Kind) []string {
	var names []string
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
	return 0, fmt.Errorf("there is no feature %q to choose", clip(name))
}

func nameOfID(p Plate, id ID, none string) string {
	if f, ok := p.Find(id); ok && id != 0 {
		return f.Name
	}
	return none
}

// formFields are the fields of what a hole is: those that mean something for its kind and side. A change of kind or side
// brings the others into a state that makes sense.
func formFields[T any](o owner[T], p Plate, form func(*T) *HoleForm) []Field {
	v, err := o.find(&p)
	if err != nil {
		return nil
	}
	now := form(v)
	word := func(get func(*HoleForm) string) func(Plate, *T) string {
		return func(_ Plate, v *T) string { return get(form(v)) }
	}
	fs := []Field{
		o.words("kind", "kind", "ISO 273 clearance, or a thread", holeKinds, word(func(f *HoleForm) string { return string(f.Kind) }),
			func(_ *Plate, v *T, s string) error { form(v).setKind(HoleKind(s)); return nil }),
		o.words("size", "size", "ISO metric coarse threads", standard.Sizes(), word(func(f *HoleForm) string { return f.Size }),
			func(_ *Plate, v *T, s string) error { form(v).Size = s; return nil }),
	}
	if now.Kind == Tapped {
		fs = append(fs, o.words("side", "side", "a tapped hole may be blind", sides, word(func(f *HoleForm) string { return string(f.Side) }),
			func(p *Plate, v *T, s string) error { form(v).setSide(Side(s), p.Stock.Thickness()); return nil }))
	} else {
		fs = append(fs, o.words("series", "series", "ISO 273", serieses, word(func(f *HoleForm) string { return string(f.Series) }),
			func(_ *Plate, v *T, s string) error { form(v).Series = Series(s); return nil }))
	}
	if now.Kind == Tapped && now.Side != Through {
		fs = append(fs, blindDepth(o, p, "thread depth", func(v *T) *float64 { return &form(v).Depth }))
	}
	return append(fs, o.number("boss_mm", "boss width", "mm", keptWidth, func(v *T) *float64 { return &form(v).Boss }))
}

// blindDepth is the field of the depth of what ends inside the plate.
func blindDepth[T any](o owner[T], p Plate, label string, held func(*T) *float64) Field {
	t := p.Stock.Thickness()
	f := o.number("depth_mm", label, "mm", limit{0, t, true, fmt.Sprintf("it ends inside the plate of %g mm", t)}, held)
	f.MaxOpen = true
	return f
}

func (f *HoleForm) setKind(k HoleKind) {
	f.Kind = k
	if k == Clearance {
		f.Series, f.Side, f.Depth = Medium, Through, 0
	} else {
		f.Series = ""
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

func holeFields(p Plate, id ID) []Field {
	o := featureOwner(KindHole, id, holes, holeID)
	return append(o.place(func(h *Hole) *float64 { return &h.X }, func(h *Hole) *float64 { return &h.Y }),
		formFields(o, p, func(h *Hole) *HoleForm { return &h.HoleForm })...)
}

func circleFields(p Plate, id ID) []Field {
	o := featureOwner(KindCircle, id, circles, circleID)
	fs := []Field{o.words("bore", "centre", "a bore, or a place of its own", append([]string{fromPlace}, namesOf(p, KindBore)...),
		func(p Plate, c *BoltCircle) string { return nameOfID(p, c.Bore, fromPlace) },
		func(p *Plate, c *BoltCircle, s string) error {
			if s == fromPlace {
				c.X, c.Y = p.CircleCentre(*c)
				c.Bore = 0
				return nil
			}
			bore, err := idOfName(*p, s, KindBore)
			c.Bore = bore
			return err
		})}
	if c, err := o.find(&p); err == nil && c.Bore == 0 {
		fs = append(fs, o.place(func(c *BoltCircle) *float64 { return &c.X }, func(c *BoltCircle) *float64 { return &c.Y })...)
	}
	fs = append(fs,
		o.number("diameter_mm", "diameter", "mm", diameter, func(c *BoltCircle) *float64 { return &c.Diameter }),
		o.count("count", "number of holes", circleCount, func(c *BoltCircle) *int { return &c.Count }),
		o.number("start_deg", "angle of first hole", "°", turnDeg, func(c *BoltCircle) *float64 { return &c.StartDeg }))
	return append(fs, formFields(o, p, func(c *BoltCircle) *HoleForm { return &c.HoleForm })...)
}

func ribFields(p Plate, id ID) []Field {
	o := featureOwner(KindRib, id, ribs, ribID)
	end := func(key, label string, held func(*Rib) *RibEnd) []Field {
		fs := []Field{o.words(key, label, "a bore or hole, or a place of its own",
			append([]string{fromPlace}, namesOf(p, KindBore, KindHole)...),
			func(p Plate, r *Rib) string { return nameOfID(p, held(r).Feature, fromPlace) },
			func(p *Plate, r *Rib, s string) error {
				e := held(r)
				if s == fromPlace {
					x, y := p.EndPoint(*e)
					*e = RibEnd{X: x, Y: y}
					return nil
				}
				id, err := idOfName(*p, s, KindBore, KindHole)
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
	return append(fs, o.number("width_mm", "width", "mm", ribWidth, func(r *Rib) *float64 { return &r.Width }))
}

func gridFields(p Plate, id ID) []Field {
	o := featureOwner(KindGrid, id, grids, gridID)
	fs := []Field{
		o.number("pitch_mm", "pitch (side of the triangle)", "mm", gridPitch, func(g *Grid) *float64 { return &g.Pitch }),
		o.number("angle_deg", "angle", "°", turnDeg, func(g *Grid) *float64 { return &g.AngleDeg }),
		o.number("x_mm", "x of a node", "mm", coordinate, func(g *Grid) *float64 { return &g.X }),
		o.number("y_mm", "y of a node", "mm", coordinate, func(g *Grid) *float64 { return &g.Y }),
		o.number("width_mm", "rib width", "mm", ribWidth, func(g *Grid) *float64 { return &g.Width }),
	}
	g, err := o.find(&p)
	if err != nil {
		return nil
	}
	return append(fs, boundFields(o, g.Bounds, func(g *Grid) []Corner { return g.Bounds })...)
}

// allRibs is the choice that every rib and grid divides a pocket field.
const allRibs = "all"

func pocketFields(p Plate, id ID) []Field {
	o := featureOwner(KindPocket, id, pockets, pocketID)
	k, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.words("side", "side", "a through pocket is a window", sides, func(_ Plate, k *Pocket) string { return string(k.Side) },
			func(p *Plate, k *Pocket, s string) error {
				k.Side = Side(s)
				switch {
				case k.Side == Through:
					k.Depth = 0
				case k.Depth == 0:
					k.Depth = p.Stock.Thickness() / 2
				}
				return nil
			}),
		o.number("inside_corner_radius_mm", "inside corner radius", "mm", insideRound, func(k *Pocket) *float64 { return &k.Radius }),
		o.words("ribs", "ribs", `"all", or the names of ribs and isogrids with commas between; empty for none`, nil,
			func(p Plate, k *Pocket) string { return ribNames(p, k) }, setRibNames),
		o.number("least_area_mm2", "least area of a cell", "mm²", leastArea, func(k *Pocket) *float64 { return &k.LeastArea }),
	}
	if k.Side != Through {
		fs = slices.Insert(fs, 1, blindDepth(o, p, "depth", func(k *Pocket) *float64 { return &k.Depth }))
	}
	return append(fs, boundFields(o, k.Bounds, func(k *Pocket) []Corner { return k.Bounds })...)
}

func ribNames(p Plate, k *Pocket) string {
	if k.AllRibs {
		return allRibs
	}
	names := make(map[ID]string)
	for _, f := range p.Features() {
		names[f.ID] = f.Name
	}
	var list []string
	for _, id := range k.Ribs {
		list = append(list, names[id])
	}
	return strings.Join(list, ", ")
}

// setRibNames reads the names; one with a comma in it is found because the longest known name is tried first.
func setRibNames(p *Plate, k *Pocket, s string) error {
	k.AllRibs, k.Ribs = s == allRibs, nil
	if k.AllRibs {
		return nil
	}
	var known []FeatureRef
	for _, f := range p.Features() {
		if f.Kind == KindRib || f.Kind == KindGrid {
			known = append(known, f)
		}
	}
	slices.SortStableFunc(known, func(a, b FeatureRef) int { return len(b.Name) - len(a.Name) })
	for rest := strings.TrimSpace(s); rest != ""; {
		i := slices.IndexFunc(known, func(f FeatureRef) bool {
			after, ok := strings.CutPrefix(rest, f.Name)
			after = strings.TrimSpace(after)
			return ok && (after == "" || after[0] == ',')
		})
		if i < 0 {
			return fmt.Errorf("%q does not start with the name of a rib or isogrid; write names with commas between", clip(rest))
		}
		if slices.Contains(k.Ribs, known[i].ID) {
			return fmt.Errorf("%s stands twice; name it once", known[i])
		}
		k.Ribs = append(k.Ribs, known[i].ID)
		rest = strings.TrimSpace(rest[len(known[i].Name):])
		rest = strings.TrimSpace(strings.TrimPrefix(rest, ","))
	}
	return nil
}

var errNoCutLine = errors.New("section stiffness is taken at a cut line; draw a cut line first")

func targetFields(p Plate, id ID) []Field {
	o := featureOwner(KindTarget, id, targets, targetID)
	t, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.words("quantity", "quantity", "what can be aimed at in this version", quantities, func(_ Plate, t *Target) string { return string(t.Quantity) },
			func(p *Plate, t *Target, s string) error {
				t.Quantity, t.CutLine = Quantity(s), 0
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
	return fs
}

func (q Quantity) valueKey() string {
	f := targetV1{Quantity: string(q)}
	key, _ := f.value()
	return key
}
