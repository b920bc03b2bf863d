package plate

import (
	"fmt"
	"slices"

	"platewright/plate/material"
)

func gridFields(p Plate, id ID) []Field {
	o := featureOwner(KindGrid, id, grids, gridID)
	g, err := o.find(&p)
	if err != nil {
		return nil
	}
	o.what = string(g.ref().ShownKind())
	fs := []Field{o.choose("kind", "kind", "how the field lays its ribs", gridKinds, func(g *Grid) string { return g.Kind.String() },
		func(p *Plate, g *Grid, w string) { g.setKind(*p, w) })}
	pitch := func(label string) Field {
		return o.number("pitch_mm", label, "mm", gridPitch, func(g *Grid) *float64 { return &g.Pitch })
	}
	angle := o.number("angle_deg", "angle", "°", turnDeg, func(g *Grid) *float64 { return &g.AngleDeg })
	at := func(what string) []Field {
		return []Field{
			o.number("x_mm", "x of "+what, "mm", coordinate, func(g *Grid) *float64 { return &g.X }),
			o.number("y_mm", "y of "+what, "mm", coordinate, func(g *Grid) *float64 { return &g.Y }),
		}
	}
	switch g.Kind {
	case Spokes:
		fs = append(fs,
			o.names("hubs", "hubs", "the bores, holes and slots that they join; empty for all bores", located, func(g *Grid) *[]ID { return &g.Hubs }),
			o.number("least_angle_deg", "least angle between spokes", "°", leastAngle, func(g *Grid) *float64 { return &g.LeastAngle }))
	case Directions:
		fs = slices.Concat(fs, []Field{pitch("pitch")}, at("a point on a rib"), []Field{
			o.flag("crossed", "crossed", "a second family runs at right angles", func(g *Grid) bool { return g.Crossed },
				func(_ *Plate, g *Grid, on bool) error { g.Crossed = on; return nil }),
			size(o, "samples", "number of directions", maxSamples, func(g *Grid) *[]Direction { return &g.Samples },
				func(_ *Plate, g *Grid) Direction { return Direction{X: g.X, Y: g.Y} }),
		}, entries(o, "direction", "samples", g.Samples, func(g *Grid) []Direction { return g.Samples }, sampleFields))
	case Orthogrid:
		second := o.derived("pitch_y_mm", "second pitch", "mm", gridPitch,
			func(_ Plate, g *Grid) float64 { return g.secondPitch() },
			func(_ *Plate, g *Grid, x float64) { g.PitchY = x })
		fs = slices.Concat(fs, []Field{pitch("pitch"), second, angle}, at("a node"))
	case Parallel:
		fs = slices.Concat(fs, []Field{pitch("pitch"), angle}, at("a point on a rib"))
	default:
		fs = slices.Concat(fs, []Field{pitch("pitch (side of the triangle)"), angle}, at("a node"))
	}
	fs = append(fs,
		o.number("width_mm", "rib width", "mm", ribWidth, func(g *Grid) *float64 { return &g.Width }),
		o.number("fillet_mm", "node fillet", "mm", outlineRound, func(g *Grid) *float64 { return &g.Fillet }))
	if g.Kind != Spokes && g.Kind != Directions {
		fs = append(fs, o.flag("fitted", "fitted to the field", "whole cells, by the least change of pitch and place", func(g *Grid) bool { return g.Fitted },
			func(_ *Plate, g *Grid, on bool) error { g.Fitted = on; return nil }))
	}
	fs = append(fs, boundFields(o, g.Bounds, func(g *Grid) []Corner { return g.Bounds })...)
	return append(fs, entries(o, "rib", "widths", g.Widths, func(g *Grid) []RibWidth { return g.Widths }, func(o owner[RibWidth], w RibWidth) []Field {
		return []Field{o.number("width_mm", "width of "+w.At.String(), "mm", ribWidth, func(w *RibWidth) *float64 { return &w.Width })}
	})...)
}

// secondPitch is the pitch of an orthogrid's second family.
func (g *Grid) secondPitch() float64 {
	if g.PitchY == 0 {
		return g.Pitch
	}
	return g.PitchY
}

// String names the rib in words.
func (a RibAnchor) String() string {
	if a.Lattice {
		return fmt.Sprintf("rib %d on line %d of family %d", a.Segment, a.Line, a.Family+1)
	}
	return fmt.Sprintf("the rib at (%g, %g) mm", a.X, a.Y)
}

// String names the cell in words.
func (a Anchor) String() string {
	if a.Grid != 0 {
		return fmt.Sprintf("cell (%d, %d, %d)", a.I, a.J, a.K)
	}
	return fmt.Sprintf("the cell at (%g, %g) mm", a.X, a.Y)
}

// startPitch is the pitch of a field that had none, mm, before its ribs' width asks for more.
const startPitch = 40

// setKind gives the field what its new kind needs and takes away what means nothing to it. Choices about single ribs stay.
func (g *Grid) setKind(p Plate, word string) {
	old := *g
	*g = Grid{
		ID: old.ID, Name: old.Name, Kind: GridKind(unless(word, Isogrid.String())), Pitch: old.Pitch, AngleDeg: old.AngleDeg, X: old.X, Y: old.Y,
		Width: old.Width, Fillet: old.Fillet, Fitted: old.Fitted, Bounds: old.Bounds, Widths: old.Widths,
	}
	switch g.Kind {
	case Spokes:
		g.Pitch, g.AngleDeg, g.X, g.Y, g.Fitted = 0, 0, 0, 0, false
		return
	case Directions:
		g.AngleDeg, g.Fitted, g.Samples = 0, false, []Direction{{X: old.X, Y: old.Y, AngleDeg: old.AngleDeg}}
	}
	if g.Pitch == 0 {
		x0, y0, x1, y1 := p.drawnBox()
		g.Pitch = max(startPitch, 4*g.Width)
		if old.Kind == Spokes && finite(x0) {
			g.X, g.Y = tidy((x0+x1)/2), tidy((y0+y1)/2)
		}
	}
}

func sampleFields(o owner[Direction], _ Direction) []Field {
	return append(o.place(func(d *Direction) *float64 { return &d.X }, func(d *Direction) *float64 { return &d.Y }),
		o.number("angle_deg", "direction", "°", turnDeg, func(d *Direction) *float64 { return &d.AngleDeg }))
}

func pocketFields(p Plate, id ID) []Field {
	o := featureOwner(KindPocket, id, pockets, pocketID)
	k, err := o.find(&p)
	if err != nil {
		return nil
	}
	t := p.Stock.Thickness()
	fs := []Field{
		o.choose("kind", "kind", "what it cuts", pocketKinds, func(k *Pocket) string { return k.Kind.String() },
			func(p *Plate, k *Pocket, w string) { k.setKind(*p, w) }),
		o.choose("side", "side", "a through pocket is a window", pocketSides, func(k *Pocket) string { return string(k.Side) },
			func(p *Plate, k *Pocket, w string) { k.setSide(Side(w), p.Stock.Thickness()) }),
	}
	if k.Side != Through {
		fs = append(fs, blindDepth(o, t, "depth_mm", "depth", func(k *Pocket) *float64 { return &k.Depth }))
	}
	if k.Side == Both {
		fs = append(fs, blindDepth(o, t, "depth_back_mm", "depth from the bottom", func(k *Pocket) *float64 { return &k.DepthBack }))
	}
	if k.Side != Through {
		fs = append(fs, floorField(o, t))
	}
	fs = append(fs, o.number("inside_corner_radius_mm", "inside corner radius", "mm", insideRound, func(k *Pocket) *float64 { return &k.Radius }))
	if k.Side != Through {
		fs = append(fs, o.number("floor_radius_mm", "floor radius", "mm", floorRound, func(k *Pocket) *float64 { return &k.FloorRadius }))
	}
	fs = append(fs, ledgeFields(o, *k)...)
	switch k.Kind {
	case RoundPocket, ObroundPocket:
		return append(fs, singlePocketFields(o, *k)...)
	case FieldPocket:
		fs = append(fs, o.words("ribs", "ribs", `"all", or the names of ribs and rib fields with commas between; empty for none`, nil,
			func(p Plate, k *Pocket) string { return ribNames(p, k) }, setRibNames))
	}
	fs = append(fs, o.number("least_area_mm2", "least area of a cell", "mm²", leastArea, func(k *Pocket) *float64 { return &k.LeastArea }))
	fs = append(fs, boundFields(o, k.Bounds, func(k *Pocket) []Corner { return k.Bounds })...)
	side := k.Side
	return append(fs, entries(o, "cell", "depths", k.Depths, func(k *Pocket) []CellDepth { return k.Depths },
		func(o owner[CellDepth], d CellDepth) []Field { return cellFields(o, d, side, t) })...)
}

// floorField is the thickness of what a pocket leaves: entering it changes the depth, of a pocket from both sides the top's.
func floorField(o owner[Pocket], t float64) Field {
	f := o.derived("floor_mm", "floor thickness", "mm", limit{0, t, true, fmt.Sprintf("what the pocket leaves of %g mm", t)},
		func(p Plate, k *Pocket) float64 { return tidy(p.Stock.Thickness() - k.Depth - k.back()) },
		func(p *Plate, k *Pocket, x float64) { k.Depth = tidy(p.Stock.Thickness() - k.back() - x) })
	f.MaxOpen = true
	return f
}

// back is the depth from the other face.
func (k *Pocket) back() float64 {
	if k.Side == Both {
		return k.DepthBack
	}
	return 0
}

func ledgeFields(o owner[Pocket], k Pocket) []Field {
	fs := []Field{o.numberThen("ledge.width_mm", "ledge width", "mm", limit{0, ribWidth.max, false, "0 for no ledge"},
		func(k *Pocket) *float64 { return &k.Ledge.Width },
		func(p *Plate, k *Pocket) {
			switch l := &k.Ledge; {
			case l.Width == 0:
				*l = Ledge{}
			case l.Depth == 0:
				l.Depth = k.Depth / 2
				if k.Side == Through {
					l.Depth = p.Stock.Thickness() / 2
				} else if k.Side == Both {
					l.Depth = min(k.Depth, k.DepthBack) / 2
				}
			}
		})}
	if k.Ledge.Width == 0 {
		return fs
	}
	return append(fs, o.number("ledge.depth_mm", "ledge depth", "mm", stepDepth, func(k *Pocket) *float64 { return &k.Ledge.Depth }))
}

func singlePocketFields(o owner[Pocket], k Pocket) []Field {
	fs := append(o.place(func(k *Pocket) *float64 { return &k.X }, func(k *Pocket) *float64 { return &k.Y }),
		o.number("diameter_mm", "diameter", "mm", diameter, func(k *Pocket) *float64 { return &k.Diameter }))
	if k.Kind == RoundPocket {
		return fs
	}
	return append(fs,
		o.number("length_mm", "length between end centres", "mm", slotLength, func(k *Pocket) *float64 { return &k.Length }),
		o.number("angle_deg", "angle", "°", turnDeg, func(k *Pocket) *float64 { return &k.AngleDeg }))
}

func cellFields(o owner[CellDepth], d CellDepth, side Side, t float64) []Field {
	what := d.At.String()
	fs := []Field{o.flag("through", what+" through", "a window, or a floor of its own", func(d *CellDepth) bool { return d.Through },
		func(p *Plate, d *CellDepth, on bool) error {
			d.Through, d.Depth, d.Back = on, 0, 0
			if !on {
				d.Depth = p.Stock.Thickness() / 2
			}
			return nil
		})}
	if d.Through {
		return fs
	}
	depth := func(key, label string, held func(*CellDepth) *float64) Field {
		f := o.number(key, label, "mm", limit{0, t, false, fmt.Sprintf("it ends inside the plate of %g mm", t)}, held)
		f.MaxOpen = true
		return f
	}
	fs = append(fs, depth("depth_mm", "depth of "+what, func(d *CellDepth) *float64 { return &d.Depth }))
	if side == Both {
		fs = append(fs, depth("back_mm", "depth from the bottom of "+what, func(d *CellDepth) *float64 { return &d.Back }))
	}
	return fs
}

// setSide gives a pocket the depths that its new side needs, half the plate or a third from each face, to start from.
func (k *Pocket) setSide(s Side, t float64) {
	k.Side = s
	if s != Both {
		k.DepthBack = 0
	}
	switch {
	case s == Through:
		k.Depth, k.FloorRadius = 0, 0
		k.Depths = slices.DeleteFunc(k.Depths, func(d CellDepth) bool { return d.Through })
	case s == Both:
		k.Depth, k.DepthBack = t/3, t/3
		k.FloorRadius = min(k.FloorRadius, t/3)
	case k.Depth == 0:
		k.Depth = t / 2
	}
	if len(k.Depths) == 0 {
		k.Depths = nil
	}
	for i := range k.Depths {
		if s != Both {
			k.Depths[i].Depth, k.Depths[i].Back = k.Depths[i].Depth+k.Depths[i].Back, 0
		}
	}
}

// setKind gives a pocket what its new kind needs, to start from in the middle of the plate, and takes away the rest.
func (k *Pocket) setKind(p Plate, word string) {
	old := *k
	*k = Pocket{
		ID: old.ID, Name: old.Name, Kind: PocketKind(unless(word, FieldPocket.String())), Side: old.Side, Depth: old.Depth, DepthBack: old.DepthBack,
		Radius: old.Radius, FloorRadius: old.FloorRadius, Ledge: old.Ledge,
	}
	x, y, reach := old.X, old.Y, max(2*old.Radius, 10)
	if old.Kind == FieldPocket || old.Kind == DrawnPocket {
		if x0, y0, x1, y1 := p.drawnBox(); finite(x0) && finite(x1) {
			x, y = tidy((x0+x1)/2), tidy((y0+y1)/2)
		}
		if b := old.Bounds; len(b) > 0 {
			x0, y0, x1, y1 := box(b)
			x, y = tidy((x0+x1)/2), tidy((y0+y1)/2)
		}
	}
	switch k.Kind {
	case RoundPocket, ObroundPocket:
		k.X, k.Y, k.Diameter = x, y, max(old.Diameter, 2*reach)
		if k.Kind == ObroundPocket {
			k.Length = k.Diameter
		}
		return
	case DrawnPocket:
		k.Bounds = old.Bounds
		if len(k.Bounds) == 0 {
			k.Bounds = square(x, y, reach)
		}
	default:
		k.AllRibs, k.Bounds = true, old.Bounds
	}
	k.LeastArea, k.Kept, k.Depths = old.LeastArea, old.Kept, old.Depths
}

// square is a square boundary about a place, with its sides so far from it.
func square(x, y, reach float64) []Corner {
	return []Corner{{X: x - reach, Y: y - reach}, {X: x + reach, Y: y - reach}, {X: x + reach, Y: y + reach}, {X: x - reach, Y: y + reach}}
}

func keepOutFields(p Plate, id ID) []Field {
	o := featureOwner(KindKeepOut, id, keepOuts, keepOutID)
	k, err := o.find(&p)
	if err != nil {
		return nil
	}
	return boundFields(o, k.Bounds, func(k *KeepOut) []Corner { return k.Bounds })
}

func inlayFields(p Plate, id ID) []Field {
	o := featureOwner(KindInlay, id, inlays, inlayID)
	i, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.feature("pocket", "pocket", "", "in whose cells it sits", p, pocketOnly, func(i *Inlay) *ID { return &i.Pocket }),
		o.flag("all", "all cells", "every cell of the pocket that is cut, or chosen ones", func(i *Inlay) bool { return i.All },
			func(p *Plate, i *Inlay, on bool) error {
				i.All = on
				if k, err := lookUp(p.Pockets, i.Pocket, pocketID); !on && len(i.Cells) == 0 && err == nil {
					x0, y0, x1, y1 := p.drawnBox()
					if len(k.Bounds) > 0 {
						x0, y0, x1, y1 = box(k.Bounds)
					}
					i.Cells = []Anchor{{X: tidy((x0 + x1) / 2), Y: tidy((y0 + y1) / 2)}}
				}
				return nil
			}),
		o.number("clearance_mm", "clearance", "mm", clearance, func(i *Inlay) *float64 { return &i.Clearance }),
		o.number("radius_mm", "outline radius", "mm", outlineRound, func(i *Inlay) *float64 { return &i.Radius }),
		o.number("thickness_mm", "thickness", "mm", panel, func(i *Inlay) *float64 { return &i.Thickness }),
	}
	m := part(o, "material", "", func(i *Inlay) (*material.Material, error) { return &i.Material, nil })
	fs = append(fs, o.text("material.alloy", "material", "what the panel is made of", func(i *Inlay) *string { return &i.Material.Alloy }),
		o.text("material.temper", "temper", "of the material; empty for none", func(i *Inlay) *string { return &i.Material.Temper }))
	fs = append(fs, materialFields(m)...)
	if i.All {
		return fs
	}
	return append(fs, entries(o, "cell", "cells", i.Cells, func(i *Inlay) []Anchor { return i.Cells }, anchorFields)...)
}

// anchorFields are the fields of the place of a cell.
func anchorFields(o owner[Anchor], a Anchor) []Field {
	if a.Grid == 0 {
		return o.place(func(a *Anchor) *float64 { return &a.X }, func(a *Anchor) *float64 { return &a.Y })
	}
	return []Field{
		o.count("i", "i of the cell", latticeIndex, func(a *Anchor) *int { return &a.I }),
		o.count("j", "j of the cell", latticeIndex, func(a *Anchor) *int { return &a.J }),
		o.count("k", "k of the cell", triangleHalf, func(a *Anchor) *int { return &a.K }),
	}
}

// materialFields are the values of a material; a typed one is no longer that of its source.
func materialFields(o owner[material.Material]) []Field {
	value := func(key, label, unit string, l limit, held func(*material.Material) *float64) Field {
		return o.numberThen("material."+key, label, unit, l, held, func(_ *Plate, m *material.Material) { m.Source = handSource })
	}
	return []Field{
		value("density_kg_m3", "density", "kg/m³", density, func(m *material.Material) *float64 { return &m.Density }),
		value("youngs_modulus_mpa", "Young's modulus", "MPa", modulus, func(m *material.Material) *float64 { return &m.Young }),
		value("poisson_ratio", "Poisson's ratio", "", poisson, func(m *material.Material) *float64 { return &m.Poisson }),
		value("proof_stress_mpa", "proof stress", "MPa", stress, func(m *material.Material) *float64 { return &m.Proof }),
		value("ultimate_strength_mpa", "ultimate strength", "MPa", stress, func(m *material.Material) *float64 { return &m.Ultimate }),
	}
}
