package plate

import "platewright/plate/material"

// plate turns the file into the document.
func (f *fileV1) plate() Plate {
	return Plate{
		Name: f.Name, Note: f.Note, NextID: ID(f.NextID),
		Stock: f.Stock.stock(), Outline: f.Outline.outline(), Rim: f.Rim,
		Bores: each(f.Bores, boreV1.bore), Holes: each(f.Holes, holeV1.hole), Circles: each(f.Circles, circleV1.circle),
		Rings: each(f.Rings, ringV1.ring), Eccentrics: each(f.Eccentrics, eccentricV1.eccentric), Slots: each(f.Slots, slotV1.slot),
		Ribs: each(f.Ribs, ribV1.rib), Grids: each(f.Grids, gridV1.grid), Pockets: each(f.Pockets, pocketV1.pocket),
		KeepOuts: each(f.KeepOuts, keepOutV1.keepOut), Inlays: each(f.Inlays, inlayV1.inlay),
		Settings: each(f.Settings, settingV1.setting), Setting: ID(f.Setting),
		Supports: each(f.Supports, supportV1.support), Loads: each(f.Loads, loadV1.load), Cases: each(f.Cases, caseV1.loadCase),
		CutLines: each(f.CutLines, cutLineV1.cutLine), Targets: each(f.Targets, targetV1.target),
		Machining: f.Machining.machining(), Price: f.Price.price(),
	}
}

// each maps a list; an empty one becomes nil, so that equal documents are equal values.
func each[A, B any](list []A, f func(A) B) []B {
	if len(list) == 0 {
		return nil
	}
	out := make([]B, len(list))
	for i, v := range list {
		out[i] = f(v)
	}
	return out
}

// or is *p, or the default when the key was absent.
func or[T any](p *T, absent T) T {
	if p == nil {
		return absent
	}
	return *p
}

func toID(id int64) ID { return ID(id) }

// same returns its argument: each with it copies a list.
func same[T any](v T) T { return v }

func (s stockV1) stock() Stock {
	b := s.Blank
	out := Stock{
		Material: material.Material(s.Material),
		Nominal:  s.Nominal, Finished: or(s.Finished, s.Nominal), Top: Face(s.Top), Bottom: Face(s.Bottom),
		Blank: Blank{
			Fixed: b.Margin == nil, Margin: or(b.Margin, 0),
			X: or(b.X, 0), Y: or(b.Y, 0), Width: or(b.Width, 0), Height: or(b.Height, 0),
		},
	}
	if f := s.Finish; f != nil {
		out.Finish = Finish{f.Name, f.Growth, each(f.Masked, toID)}
	}
	return out
}

func (o outlineV1) outline() Outline {
	out := Outline{Corners: corners(or(o.Corners, nil)), Wraps: each(or(o.Around, nil), wrapV1.wrap)}
	if o.Kind != Drawn.String() {
		out.Kind = OutlineKind(o.Kind)
	}
	if o.Mirror != nil {
		out.Mirror = Mirror{true, Axis(o.Mirror.Axis), o.Mirror.At}
	}
	out.Vertices = each(or(o.Vertices, nil), func(v [3]float64) Vertex { return Vertex{v[0], v[1], v[2]} })
	if c := o.Chamfer; c != nil {
		out.Chamfer = EdgeChamfer(*c)
	}
	return out
}

func (w wrapV1) wrap() Wrap {
	return Wrap{ID(w.Feature), w.Width, w.Hollow != nil, or(w.Hollow, 0)}
}

func corners(list []cornerV1) []Corner {
	return each(list, func(c cornerV1) Corner {
		t := or(c.Through, [2]float64{})
		return Corner{X: c.X, Y: c.Y, Radius: c.Radius, Chamfer: c.Chamfer, Arc: c.Through != nil, ThroughX: t[0], ThroughY: t[1]}
	})
}

func (b boreV1) bore() Bore {
	out := Bore{
		ID: ID(b.ID), Name: b.Name, X: b.X, Y: b.Y, Diameter: b.Diameter, Boss: b.Boss, Tolerance: b.Tolerance,
		Fit: b.Fit, Seats: each(b.Seats, seatV1.seat),
	}
	if b.Keyway != nil {
		out.Keyway = Keyway{b.Keyway.Width, b.Keyway.Height, b.Keyway.Angle}
	}
	return out
}

func (s seatV1) seat() Seat {
	out := Seat{Side: Side(s.Side), Diameter: s.Diameter, Depth: s.Depth, Fit: s.Fit, Bearing: s.Bearing, Ring: RingLoad(s.Ring)}
	if s.Groove != nil {
		out.Groove = Groove(*s.Groove)
	}
	return out
}

func (f formV1) form() HoleForm {
	return HoleForm{
		Kind: HoleKind(f.Kind), Size: f.Size, Series: Series(f.Series), Side: Side(f.Side), Depth: f.Depth, Boss: f.Boss,
		Diameter: f.Diameter + f.HoleDiameter, Fit: f.Fit, HeadDiameter: f.HeadDiameter, HeadDepth: f.HeadDepth,
	}
}

func (h holeV1) hole() Hole { return Hole{ID(h.ID), h.Name, h.X, h.Y, h.form()} }

func (c circleV1) circle() BoltCircle {
	return BoltCircle{
		ID: ID(c.ID), Name: c.Name, Bore: ID(or(c.Bore, 0)), X: or(c.X, 0), Y: or(c.Y, 0),
		Diameter: c.Diameter, Count: countOf(c.Count, c.Angles), StartDeg: c.Start, Angles: each(c.Angles, same), HoleForm: c.form(),
	}
}

// countOf is the number of holes: as given, or of the angles.
func countOf(n *int64, angles []float64) int { return int(or(n, int64(len(angles)))) }

func (c ringV1) ring() ClockedRing {
	m := c.Mate
	return ClockedRing{
		BoltCircle: c.circle(), MateCount: countOf(m.Count, m.Angles), MateStartDeg: m.Start, MateAngles: each(m.Angles, same),
		LeastBolts: int(c.Least), WantedDeg: each(c.Wanted, same), PositionDeg: c.Position,
	}
}

func (e eccentricV1) eccentric() Eccentric {
	out := Eccentric{ID: ID(e.ID), Name: e.Name, Bore: ID(e.Bore), E: e.Offset, Inner: e.Inner, AngleDeg: e.Angle}
	if l := e.Lock; l != nil {
		out.LockCircle, out.LockCount, out.LockStart, out.Lock = l.Circle, int(l.Count), l.Start, l.form()
	}
	return out
}

func (s slotV1) slot() Slot {
	return Slot{
		ID: ID(s.ID), Name: s.Name, X: s.X, Y: s.Y, Length: s.Length, Width: s.Width, AngleDeg: s.Angle, Side: Side(s.Side), Depth: s.Depth,
		Boss: s.Boss, Fit: s.Fit, Position: s.Position, Adjusting: s.Adjusting,
	}
}

func (e endV1) end() RibEnd { return RibEnd{ID(or(e.Feature, 0)), or(e.X, 0), or(e.Y, 0)} }

func (b ribV1) rib() Rib {
	t := or(b.Through, [2]float64{})
	return Rib{
		ID: ID(b.ID), Name: b.Name, From: b.From.end(), To: b.To.end(), Width: b.Width,
		Arc: b.Through != nil, ThroughX: t[0], ThroughY: t[1],
	}
}

func (g gridV1) grid() Grid {
	out := Grid{
		ID: ID(g.ID), Name: g.Name, Pitch: or(g.Pitch, 0), PitchY: g.PitchY, AngleDeg: g.Angle, X: or(g.X, 0), Y: or(g.Y, 0), Width: g.Width,
		Fillet: g.Fillet, Fitted: g.Fitted, Bounds: corners(g.Bounds), Widths: each(g.Widths, ribWidthV1.ribWidth),
		Hubs: each(g.Hubs, toID), LeastAngle: g.Least, Samples: each(or(g.Samples, nil), func(s sampleV1) Direction { return Direction{s.X, s.Y, s.Angle} }), Crossed: g.Crossed,
	}
	if g.Kind != Isogrid.String() {
		out.Kind = GridKind(g.Kind)
	}
	return out
}

func (w ribWidthV1) ribWidth() RibWidth {
	return RibWidth{
		At: RibAnchor{
			Lattice: w.Family != nil, Family: int(or(w.Family, 0)), Line: int(or(w.Line, 0)), Segment: int(or(w.Segment, 0)),
			X: or(w.X, 0), Y: or(w.Y, 0),
		},
		Width: w.Width,
	}
}

func (k pocketV1) pocket() Pocket {
	out := Pocket{
		ID: ID(k.ID), Name: k.Name, Side: Side(k.Side), Depth: k.Depth, DepthBack: k.DepthBack, Radius: k.Radius, Bounds: corners(k.Bounds),
		LeastArea: k.LeastArea, Kept: each(k.Kept, anchorV1.anchor), Depths: each(k.Depths, cellDepthV1.cellDepth),
		X: or(k.X, 0), Y: or(k.Y, 0), Diameter: or(k.Diameter, 0), Length: or(k.Length, 0), AngleDeg: k.Angle, FloorRadius: k.FloorRadius,
	}
	if k.Kind != FieldPocket.String() {
		out.Kind = PocketKind(k.Kind)
	}
	if k.Ribs != nil {
		out.AllRibs, out.Ribs = k.Ribs.all, each(k.Ribs.ids, toID)
	}
	if k.Ledge != nil {
		out.Ledge = Ledge(*k.Ledge)
	}
	return out
}

func (a anchorV1) anchor() Anchor {
	return Anchor{ID(or(a.Grid, 0)), int(or(a.I, 0)), int(or(a.J, 0)), int(or(a.K, 0)), or(a.X, 0), or(a.Y, 0)}
}

func (d cellDepthV1) cellDepth() CellDepth {
	return CellDepth{d.anchor(), d.Through, or(d.Depth, 0), d.Back}
}

func (k keepOutV1) keepOut() KeepOut { return KeepOut{ID(k.ID), k.Name, corners(k.Bounds)} }

func (i inlayV1) inlay() Inlay {
	return Inlay{
		ID: ID(i.ID), Name: i.Name, Pocket: ID(i.Pocket), All: i.Cells.all, Cells: each(i.Cells.list, anchorV1.anchor),
		Clearance: i.Clearance, Radius: i.Radius, Thickness: i.Thickness, Material: material.Material(i.Material),
	}
}

func (s settingV1) setting() Setting {
	return Setting{ID(s.ID), s.Name, each(s.Values, func(v settingValueV1) SettingValue {
		return SettingValue{ID(v.Feature), or(v.Angle, 0), or(v.Position, 0)}
	})}
}

func (c cutLineV1) cutLine() CutLine {
	return CutLine{ID(c.ID), c.Name, c.From[0], c.From[1], c.To[0], c.To[1]}
}

func (t targetV1) target() Target {
	_, v := t.value()
	return Target{
		ID: ID(t.ID), Name: t.Name, Quantity: Quantity(t.Quantity), CutLine: ID(t.CutLine), Case: ID(t.Case), Sense: Sense(t.Sense), Value: or(*v, 0),
	}
}
