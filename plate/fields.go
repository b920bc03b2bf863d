package plate

import (
	"errors"
	"fmt"
	"slices"

	"platewright/plate/tree"
)

// FieldKind says how a field is shown and which accessors it has.
type FieldKind string

// The kinds of field.
const (
	FieldNumber FieldKind = "number" // Number and SetNumber, in Unit
	FieldCount  FieldKind = "count"  // Number and SetNumber, a whole number
	FieldBool   FieldKind = "bool"   // Number and SetNumber, 0 for no and 1 for yes
	FieldText   FieldKind = "text"   // Text and SetText
	FieldChoice FieldKind = "choice" // Text and SetText, one of Choices
)

// Field is one value of the document that a window or a command line may show and change. Number reads it from a document,
// SetNumber is the edit that gives it another value (for texts: Text and SetText); the other pair is nil. An edit looks up
// what it changes again, so that a field made from one document serves the next as long as its feature exists. Reading a
// field whose feature is gone gives 0 or "".
type Field struct {
	Key     string // as in the file, like "diameter_mm"; entries of lists like "bounds[2].x_mm"
	Label   string // for people, in lower case
	Unit    string // "mm", "°", "MPa" and so on; empty for none
	Kind    FieldKind
	Min     float64 // of a number or count
	Max     float64
	MinOpen bool // Min itself is not allowed
	MaxOpen bool
	Choices []string
	Why     string // where the range comes from

	Number    func(Plate) float64
	SetNumber func(float64) Edit
	Text      func(Plate) string
	SetText   func(string) Edit
}

// owner makes the fields of one thing of type T: where it is in a document, and what an edit of it is called.
type owner[T any] struct {
	find   func(*Plate) (*T, error)
	what   string // the thing, like "bore"
	id     ID
	prefix string // of keys
}

func (o owner[T]) edit(label string, f func(*Plate, *T) error) Edit {
	return edit(label+" of "+o.what, o.id, func(p *Plate) error {
		v, err := o.find(p)
		if err != nil {
			return err
		}
		return f(p, v)
	})
}

// number is a numeric field held at the given place of T.
func (o owner[T]) number(key, label, unit string, l limit, held func(*T) *float64) Field {
	return o.numberThen(key, label, unit, l, held, func(*Plate, *T) {})
}

// numberThen is number, with what else must follow when the value changes.
func (o owner[T]) numberThen(key, label, unit string, l limit, held func(*T) *float64, then func(*Plate, *T)) Field {
	return Field{
		Key: o.prefix + key, Label: label, Unit: unit, Kind: FieldNumber, Min: l.min, Max: l.max, MinOpen: l.open, Why: l.why,
		Number: func(p Plate) float64 {
			v, err := o.find(&p)
			if err != nil {
				return 0
			}
			return *held(v)
		},
		SetNumber: func(x float64) Edit {
			return o.edit(label, func(p *Plate, v *T) error {
				if *held(v) != x {
					*held(v) = x
					then(p, v)
				}
				return nil
			})
		},
	}
}

func (o owner[T]) count(key, label string, l limit, held func(*T) *int) Field {
	return Field{
		Key: o.prefix + key, Label: label, Kind: FieldCount, Min: l.min, Max: l.max, Why: l.why,
		Number: func(p Plate) float64 {
			v, err := o.find(&p)
			if err != nil {
				return 0
			}
			return float64(*held(v))
		},
		SetNumber: func(x float64) Edit {
			return o.edit(label, func(_ *Plate, v *T) error {
				n, err := wholeNumber(x)
				*held(v) = n
				return err
			})
		},
	}
}

func wholeNumber(x float64) (int, error) {
	if !(x >= -maxCount && x <= maxCount) || x != float64(int(x)) {
		return 0, fmt.Errorf("%v is not a whole number; count in whole numbers", x)
	}
	return int(x), nil
}

// flag is a yes-or-no field.
func (o owner[T]) flag(key, label, why string, get func(*T) bool, set func(*Plate, *T, bool) error) Field {
	return Field{
		Key: o.prefix + key, Label: label, Kind: FieldBool, Max: 1, Why: why,
		Number: func(p Plate) float64 {
			if v, err := o.find(&p); err == nil && get(v) {
				return 1
			}
			return 0
		},
		SetNumber: func(x float64) Edit {
			return o.edit(label, func(p *Plate, v *T) error {
				if x != 0 && x != 1 {
					return fmt.Errorf("%v is neither 0 (no) nor 1 (yes)", x)
				}
				if on := x == 1; on != get(v) {
					return set(p, v, on)
				}
				return nil
			})
		},
	}
}

// text is a free text.
func (o owner[T]) text(key, label, why string, held func(*T) *string) Field {
	return o.words(key, label, why, nil, func(_ Plate, v *T) string { return *held(v) }, func(_ *Plate, v *T, s string) error {
		*held(v) = s
		return nil
	})
}

// words is a text with its own reading and writing: a choice where choices are given, else free.
func (o owner[T]) words(key, label, why string, choices []string, get func(Plate, *T) string, set func(*Plate, *T, string) error) Field {
	kind := FieldText
	if choices != nil {
		kind = FieldChoice
	}
	return Field{
		Key: o.prefix + key, Label: label, Kind: kind, Choices: choices, Why: why,
		Text: func(p Plate) string {
			v, err := o.find(&p)
			if err != nil {
				return ""
			}
			return get(p, v)
		},
		SetText: func(s string) Edit {
			return o.edit(label, func(p *Plate, v *T) error {
				if choices != nil && !slices.Contains(choices, s) {
					return fmt.Errorf("%q is not one of %s", tree.Clip(s), tree.Quoted(choices))
				}
				if s == get(*p, v) {
					return nil // chosen already: nothing is to follow
				}
				return set(p, v, s)
			})
		},
	}
}

// place is the pair of fields of a point.
func (o owner[T]) place(x, y func(*T) *float64) []Field {
	return []Field{
		o.number("x_mm", "x", "mm", coordinate, x),
		o.number("y_mm", "y", "mm", coordinate, y),
	}
}

// featureOwner finds a feature by its id.
func featureOwner[T any](k Kind, id ID, list func(*Plate) []T, idOf func(*T) *ID) owner[T] {
	return owner[T]{find: func(p *Plate) (*T, error) { return lookUp(list(p), id, idOf) }, what: k.class(), id: id}
}

// part is the owner of something that a T holds: entry i of a list, or one thing.
func part[T, U any](o owner[T], what, prefix string, held func(*T) (*U, error)) owner[U] {
	return owner[U]{
		find: func(p *Plate) (*U, error) {
			v, err := o.find(p)
			if err != nil {
				return nil, err
			}
			return held(v)
		},
		what: what + " of " + o.what, id: o.id, prefix: o.prefix + prefix,
	}
}

// entry is the owner of entry i of a list, whose keys begin like seats[0].
func entry[T, U any](o owner[T], what, key string, i int, list func(*T) []U) owner[U] {
	return part(o, what+" "+itoa(i+1), key+"["+itoa(i)+"].", func(v *T) (*U, error) {
		if l := list(v); i < len(l) {
			return &l[i], nil
		}
		return nil, errNoEntry
	})
}

var errNoEntry = errors.New("there is no such entry; it was deleted")

// maxListFields is how many entries of a list have fields of their own; a longer list is changed as a whole.
const maxListFields = 100

// entries are the fields of the entries of a list.
func entries[T, U any](o owner[T], what, key string, list []U, held func(*T) []U, fields func(owner[U], U) []Field) []Field {
	var fs []Field
	for i, v := range list[:min(len(list), maxListFields)] {
		fs = append(fs, fields(entry(o, what, key, i, held), v)...)
	}
	return fs
}

func nameField(id ID) Field {
	return Field{
		Key: "name", Label: "name", Kind: FieldText, Why: "unique in the document, at most " + itoa(maxName) + " characters",
		Text: func(p Plate) string {
			if n := p.name(id); n != nil {
				return *n
			}
			return ""
		},
		SetText: func(s string) Edit { return Rename(id, s) },
	}
}

// Fields returns the editable fields of a feature of p, the name first, or of an item of the plan, which has none; nil when
// there is no such feature. They are those that mean something for what the feature is now: where a choice (a kind, a side)
// changes them, ask again.
func Fields(p Plate, id ID) []Field {
	f, ok := p.Find(id)
	if !ok || id == 0 {
		return nil
	}
	switch f.Kind {
	case KindChange:
		return changeFields(p, id)
	case KindHolding:
		return holdingFields(p, id)
	}
	return append([]Field{nameField(id)}, kindFields(p, f)...)
}

func kindFields(p Plate, f FeatureRef) []Field {
	fields := map[Kind]func(Plate, ID) []Field{
		KindBore: boreFields, KindHole: holeFields, KindCircle: circleFields, KindRing: ringFields, KindEccentric: eccentricFields,
		KindSlot: slotFields, KindRib: ribFields, KindGrid: gridFields, KindPocket: pocketFields, KindKeepOut: keepOutFields,
		KindInlay: inlayFields, KindSetting: settingFields, KindSupport: supportFields, KindLoad: loadFields, KindCase: caseFields,
		KindCutLine: cutLineFields, KindTarget: targetFields,
	}
	return fields[f.Kind](p, f.ID)
}

func cutLineFields(_ Plate, id ID) []Field {
	o := featureOwner(KindCutLine, id, cutLines, cutLineID)
	return []Field{
		o.number("from_mm[0]", "x of first end", "mm", coordinate, func(c *CutLine) *float64 { return &c.X1 }),
		o.number("from_mm[1]", "y of first end", "mm", coordinate, func(c *CutLine) *float64 { return &c.Y1 }),
		o.number("to_mm[0]", "x of second end", "mm", coordinate, func(c *CutLine) *float64 { return &c.X2 }),
		o.number("to_mm[1]", "y of second end", "mm", coordinate, func(c *CutLine) *float64 { return &c.Y2 }),
	}
}

// cornerFields are the fields of one corner of a path. Where the side to the next corner is turned into an arc its point
// starts at (x, y): a tenth of the side's length off its middle, which the caller has worked out.
func cornerFields(o owner[Corner], c Corner, radius limit, next func(Plate) (Corner, bool)) []Field {
	fs := append(o.place(func(c *Corner) *float64 { return &c.X }, func(c *Corner) *float64 { return &c.Y }),
		o.number("radius_mm", "corner radius", "mm", radius, func(c *Corner) *float64 { return &c.Radius }),
		o.number("chamfer_mm", "chamfer", "mm", cornerCut, func(c *Corner) *float64 { return &c.Chamfer }),
		o.flag("arc", "arc to the next corner", "the side is straight, or the arc through a point", func(c *Corner) bool { return c.Arc },
			func(p *Plate, c *Corner, on bool) error {
				c.Arc, c.ThroughX, c.ThroughY = on, 0, 0
				if n, ok := next(*p); on && ok {
					c.ThroughX, c.ThroughY = bulge(*c, n)
				}
				return nil
			}))
	if c.Arc {
		fs = append(fs,
			o.number("through_mm[0]", "x on the arc", "mm", coordinate, func(c *Corner) *float64 { return &c.ThroughX }),
			o.number("through_mm[1]", "y on the arc", "mm", coordinate, func(c *Corner) *float64 { return &c.ThroughY }))
	}
	return fs
}

// bulge is a point a tenth of the side's length to the right of its middle: outside a counter-clockwise path.
func bulge(a, b Corner) (x, y float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	return (a.X+b.X)/2 + dy/10, (a.Y+b.Y)/2 - dx/10
}

// OutlineFields returns the fields of corner i of a drawn outline of p, of round i of a wrapped one, or of vertex i of a
// contour, counted from 0; nil when there is none.
func OutlineFields(p Plate, i int) []Field {
	o := plateOwner("outline", "outline.", func(p *Plate) *Outline { return &p.Outline })
	n := len(p.Outline.Corners)
	switch p.Outline.Kind {
	case Wrapped:
		n = len(p.Outline.Wraps)
	case Contour:
		n = len(p.Outline.Vertices)
	}
	if i < 0 || i >= n {
		return nil
	}
	switch p.Outline.Kind {
	case Wrapped:
		return wrapFields(p, entry(o, "round", "around", i, func(o *Outline) []Wrap { return o.Wraps }), p.Outline.Wraps[i])
	case Contour:
		return vertexFields(entry(o, "vertex", "vertices", i, func(o *Outline) []Vertex { return o.Vertices }))
	}
	c := owner[Corner]{
		find: func(p *Plate) (*Corner, error) { return pick(p.Outline.Corners, i) },
		what: "outline corner " + itoa(i+1), prefix: "outline.corners[" + itoa(i) + "].",
	}
	return cornerFields(c, p.Outline.Corners[i], outlineRound, func(p Plate) (Corner, bool) { return following(p.Outline.Corners, i) })
}

func pick(list []Corner, i int) (*Corner, error) {
	if i >= len(list) {
		return nil, errNoCorner
	}
	return &list[i], nil
}

func following(list []Corner, i int) (Corner, bool) {
	if i >= len(list) {
		return Corner{}, false
	}
	return list[(i+1)%len(list)], true
}

// maxBoundFields is how many corners of a boundary Fields lists; a longer boundary is changed as a whole.
const maxBoundFields = 100

// boundFields are the fields of the corners of a grid's or pocket's boundary.
func boundFields[T any](o owner[T], list []Corner, bounds func(*T) []Corner) []Field {
	var fs []Field
	for i := range list[:min(len(list), maxBoundFields)] {
		get := func(p *Plate) ([]Corner, error) {
			v, err := o.find(p)
			if err != nil {
				return nil, err
			}
			return bounds(v), nil
		}
		c := owner[Corner]{
			find: func(p *Plate) (*Corner, error) {
				list, err := get(p)
				if err != nil {
					return nil, err
				}
				return pick(list, i)
			},
			what: "boundary corner " + itoa(i+1) + " of " + o.what, id: o.id, prefix: o.prefix + "bounds[" + itoa(i) + "].",
		}
		next := func(p Plate) (Corner, bool) {
			list, err := get(&p)
			if err != nil {
				return Corner{}, false
			}
			return following(list, i)
		}
		fs = append(fs, cornerFields(c, list[i], outlineRound, next)...)
	}
	return fs
}
