package plate

// EdgeFields returns the fields of the outline as a whole: its kind, the mirror line of a half, how many rounds a wrapped one
// passes, and the chamfers of its edges. OutlineFields has its corners.
func EdgeFields(p Plate) []Field {
	o := plateOwner("outline", "outline.", func(p *Plate) *Outline { return &p.Outline })
	out := p.Outline
	fs := []Field{o.words("kind", "kind", "drawn by corners, wrapped round bores and holes, or given as data", outlineKinds,
		func(_ Plate, o *Outline) string { return o.Kind.String() },
		func(p *Plate, o *Outline, w string) error { o.setKind(*p, w); return nil })}
	switch out.Kind {
	case Wrapped:
		fs = append(fs, o.words("around", "wrapped round", "bores and holes in counter-clockwise order: names with commas between", nil,
			func(p Plate, o *Outline) string { return namesText(p, o.wrapped()) },
			func(p *Plate, o *Outline, s string) error {
				ids, err := idsOfText(*p, s, wrapped)
				if err == nil {
					o.Wraps = wrapsFor(ids, o.Wraps)
				}
				return err
			}))
	case Drawn:
		fs = append(fs, mirrorFields(o, out)...)
	}
	return append(fs,
		o.number("edge_chamfer.top_mm", "top edge chamfer", "mm", edgeBreak, func(o *Outline) *float64 { return &o.Chamfer.Top }),
		o.number("edge_chamfer.bottom_mm", "bottom edge chamfer", "mm", edgeBreak, func(o *Outline) *float64 { return &o.Chamfer.Bottom }))
}

func mirrorFields(o owner[Outline], out Outline) []Field {
	const whole, alongX, alongY = "no", "along x", "along y"
	fs := []Field{o.words("mirror", "mirrored half", "the corners are one half, and its image closes it", []string{whole, alongX, alongY},
		func(_ Plate, o *Outline) string {
			switch {
			case !o.Mirror.On:
				return whole
			case o.Mirror.Axis == AxisX:
				return alongX
			}
			return alongY
		},
		func(_ *Plate, o *Outline, w string) error {
			if w == whole {
				o.Corners, o.Mirror = o.Full(), Mirror{}
				return nil
			}
			o.Corners = o.Full()
			o.halve(map[string]Axis{alongX: AxisX, alongY: AxisY}[w])
			return nil
		})}
	if !out.Mirror.On {
		return fs
	}
	return append(fs, o.derived("mirror.at_mm", "mirror line at", "mm", coordinate,
		func(_ Plate, o *Outline) float64 { return o.Mirror.At },
		func(_ *Plate, o *Outline, x float64) { o.moveMirror(x) }))
}

// moveMirror puts the mirror line elsewhere and takes the ends of the half with it.
func (o *Outline) moveMirror(at float64) {
	o.Mirror.At = at
	for _, i := range []int{0, len(o.Corners) - 1} {
		if i < 0 {
			return
		}
		if o.Mirror.Axis == AxisX {
			o.Corners[i].Y = at
		} else {
			o.Corners[i].X = at
		}
	}
}

// halve turns a whole outline into a half: a rectangle of its box's size on the lower or left side of the middle, since a
// drawn outline need not be symmetric.
func (o *Outline) halve(axis Axis) {
	x0, y0, x1, y1 := box(o.Corners)
	if !finite(x0) || !finite(x1) {
		x0, y0, x1, y1 = 0, 0, 100, 100
	}
	o.Mirror = Mirror{On: true, Axis: axis, At: (y0 + y1) / 2}
	o.Corners = []Corner{{X: x0, Y: o.Mirror.At}, {X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: o.Mirror.At}}
	if axis == AxisY {
		o.Mirror.At = (x0 + x1) / 2
		o.Corners = []Corner{{X: o.Mirror.At, Y: y1}, {X: x0, Y: y1}, {X: x0, Y: y0}, {X: o.Mirror.At, Y: y0}}
	}
}

func (o Outline) wrapped() []ID {
	ids := make([]ID, len(o.Wraps))
	for i, w := range o.Wraps {
		ids[i] = w.Feature
	}
	return ids
}

// startWidth is the width of metal round a feature that an outline begins to be wrapped round, mm. Common practice, no source.
const startWidth = 10

// wrapsFor are the rounds of the given features: as they were, or new ones with outer tangents.
func wrapsFor(ids []ID, old []Wrap) []Wrap {
	var list []Wrap
	for _, id := range ids {
		w := Wrap{Feature: id, Width: startWidth}
		for _, o := range old {
			if o.Feature == id {
				w = o
			}
		}
		list = append(list, w)
	}
	return list
}

// setKind turns the outline into one of another kind, about as large: wrapped round all bores, or the box of what it was as
// corners or vertices.
func (o *Outline) setKind(p Plate, word string) {
	kind := OutlineKind(unless(word, Drawn.String()))
	x0, y0, x1, y1 := p.drawnBox()
	if !finite(x0) || !finite(x1) {
		x0, y0, x1, y1 = 0, 0, 100, 100
	}
	*o = Outline{Kind: kind, Chamfer: o.Chamfer}
	switch kind {
	case Wrapped:
		o.Wraps = wrapsFor(around(p), nil)
	case Contour:
		o.Vertices = []Vertex{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	default:
		o.Corners = []Corner{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	}
}

func wrapFields(p Plate, o owner[Wrap], w Wrap) []Field {
	fs := []Field{
		o.feature("feature", "round", "", "the bore or hole that the outline passes", p, wrapped, func(w *Wrap) *ID { return &w.Feature }),
		o.number("width_mm", "width of metal", "mm", ribWidth, func(w *Wrap) *float64 { return &w.Width }),
		o.flag("hollow", "hollow side to the next", "an arc bent inwards, or the outer tangent", func(w *Wrap) bool { return w.Hollow },
			func(_ *Plate, w *Wrap, on bool) error {
				w.Hollow, w.Blend = on, 0
				if on {
					w.Blend = startBlend
				}
				return nil
			}),
	}
	if w.Hollow {
		fs = append(fs, o.number("hollow_radius_mm", "hollow radius", "mm", blendRadius, func(w *Wrap) *float64 { return &w.Blend }))
	}
	return fs
}

// startBlend is the radius of a new hollow side, mm.
const startBlend = 200

func vertexFields(o owner[Vertex]) []Field {
	return append(o.place(func(v *Vertex) *float64 { return &v.X }, func(v *Vertex) *float64 { return &v.Y }),
		o.number("bulge", "bulge", "", bulgeRange, func(v *Vertex) *float64 { return &v.Bulge }))
}

// FinishFields returns the fields of the plate's surface treatment; an empty name is none.
func FinishFields(p Plate) []Field {
	o := plateOwner("finish", "stock.finish.", func(p *Plate) *Finish { return &p.Stock.Finish })
	fs := []Field{o.words("name", "finish", "as it stands on the order; empty for none", nil, func(_ Plate, f *Finish) string { return f.Name },
		func(_ *Plate, f *Finish, s string) error {
			f.Name = s
			if s == "" {
				*f = Finish{}
			}
			return nil
		})}
	if p.Stock.Finish.Name == "" {
		return fs
	}
	return append(fs,
		o.number("growth_mm", "growth of each surface", "mm", growth, func(f *Finish) *float64 { return &f.Growth }),
		o.names("masked", "masked", "features kept free of it", maskable, func(f *Finish) *[]ID { return &f.Masked }))
}

// SettingField returns the choice of the setting that the plate is drawn and analysed in.
func SettingField(p Plate) Field {
	o := plateOwner("plate", "", func(p *Plate) *Plate { return p })
	return o.feature("setting", "setting", asDrawn, "of the adjusters", p, settingOnly, func(p *Plate) *ID { return &p.Setting })
}
