package plate

import (
	"encoding/json"

	"platewright/plate/material"
)

// MarshalJSON writes "all" or the list.
func (s ribsV1) MarshalJSON() ([]byte, error) { return allOr(s.all, s.ids) }

// MarshalJSON writes "all" or the list.
func (s cellsV1) MarshalJSON() ([]byte, error) { return allOr(s.all, s.list) }

func allOr[T any](all bool, list []T) ([]byte, error) {
	if all {
		return []byte(`"all"`), nil
	}
	return json.Marshal(written(list))
}

// written is the list as it is written where its key must stand: an empty one as [] and not null.
func written[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// fileOf turns the document into the file.
func fileOf(p Plate) *fileV1 {
	slots := p.slotIDs()
	return &fileV1{
		Format: Format, Version: Version, Name: p.Name, Note: p.Note, NextID: int64(p.NextID),
		Stock: stockOf(p.Stock), Outline: outlineOf(p.Outline), Rim: plus(p.Rim),
		Bores: each(p.Bores, boreOf), Holes: each(p.Holes, holeOf), Circles: each(p.Circles, circleOf),
		Rings: each(p.Rings, ringOf), Eccentrics: each(p.Eccentrics, eccentricOf), Slots: each(p.Slots, slotOf),
		Ribs: each(p.Ribs, ribOf), Grids: each(p.Grids, gridOf), Pockets: each(p.Pockets, pocketOf),
		KeepOuts: each(p.KeepOuts, keepOutOf), Inlays: each(p.Inlays, inlayOf),
		Settings: each(p.Settings, func(s Setting) settingV1 { return settingOf(s, slots) }), Setting: int64(p.Setting),
		Supports: each(p.Supports, supportOf), Loads: each(p.Loads, loadOf), Cases: each(p.Cases, caseOf),
		CutLines: each(p.CutLines, cutLineOf), Targets: each(p.Targets, targetOf),
		Machining: machiningOf(p.Machining), Price: priceOf(p.Price),
	}
}

func (p Plate) slotIDs() map[ID]bool {
	m := make(map[ID]bool, len(p.Slots))
	for _, s := range p.Slots {
		m[s.ID] = true
	}
	return m
}

// plus turns −0 into 0, so that equal documents give equal bytes.
func plus(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}

func ptr(v float64) *float64 { v = plus(v); return &v }

func idPtr(id ID) *int64 { v := int64(id); return &v }

func intPtr(i int) *int64 { v := int64(i); return &v }

func fromID(id ID) int64 { return int64(id) }

func pairPtr(x, y float64) *[2]float64 { return &[2]float64{plus(x), plus(y)} }

// unless is word, or nothing when it is the default.
func unless(word, absent string) string {
	if word == absent {
		return ""
	}
	return word
}

func stockOf(s Stock) stockV1 {
	out := stockV1{
		Material: materialOf(s.Material), Nominal: plus(s.Nominal),
		Top: unless(string(s.Top), string(AsSupplied)), Bottom: unless(string(s.Bottom), string(AsSupplied)),
	}
	if s.Finished != s.Nominal {
		out.Finished = ptr(s.Finished)
	}
	if b := s.Blank; b.Fixed {
		out.Blank = blankV1{X: ptr(b.X), Y: ptr(b.Y), Width: ptr(b.Width), Height: ptr(b.Height)}
	} else {
		out.Blank = blankV1{Margin: ptr(b.Margin)}
	}
	if f := s.Finish; f.Name != "" {
		out.Finish = &finishV1{f.Name, plus(f.Growth), each(f.Masked, fromID)}
	}
	return out
}

func materialOf(m material.Material) materialV1 {
	m.Density, m.Young, m.Poisson = plus(m.Density), plus(m.Young), plus(m.Poisson)
	m.Proof, m.Ultimate = plus(m.Proof), plus(m.Ultimate)
	return materialV1(m)
}

func outlineOf(o Outline) outlineV1 {
	out := outlineV1{Kind: o.Kind.String()}
	switch o.Kind {
	case Wrapped:
		list := written(each(o.Wraps, wrapOf))
		out.Around = &list
	case Contour:
		list := written(each(o.Vertices, func(v Vertex) [3]float64 { return [3]float64{plus(v.X), plus(v.Y), plus(v.Bulge)} }))
		out.Vertices = &list
	default:
		list := written(cornersOf(o.Corners))
		out.Corners = &list
		if o.Mirror.On {
			out.Mirror = &mirrorV1{string(o.Mirror.Axis), plus(o.Mirror.At)}
		}
	}
	if o.Chamfer != (EdgeChamfer{}) {
		out.Chamfer = &edgeChamfersV1{plus(o.Chamfer.Top), plus(o.Chamfer.Bottom)}
	}
	return out
}

func wrapOf(w Wrap) wrapV1 {
	out := wrapV1{Feature: int64(w.Feature), Width: plus(w.Width)}
	if w.Hollow {
		out.Hollow = ptr(w.Blend)
	}
	return out
}

func cornersOf(list []Corner) []cornerV1 {
	return each(list, func(c Corner) cornerV1 {
		out := cornerV1{X: plus(c.X), Y: plus(c.Y), Radius: plus(c.Radius), Chamfer: plus(c.Chamfer)}
		if c.Arc {
			out.Through = pairPtr(c.ThroughX, c.ThroughY)
		}
		return out
	})
}

func boreOf(b Bore) boreV1 {
	out := boreV1{
		ID: int64(b.ID), Name: b.Name, X: plus(b.X), Y: plus(b.Y), Diameter: plus(b.Diameter), Boss: plus(b.Boss),
		Tolerance: plus(b.Tolerance), Fit: b.Fit, Seats: each(b.Seats, seatOf),
	}
	if k := b.Keyway; k.Width != 0 {
		out.Keyway = &keywayV1{plus(k.Width), plus(k.Height), plus(k.AngleDeg)}
	}
	return out
}

func seatOf(s Seat) seatV1 {
	out := seatV1{
		Side: string(s.Side), Diameter: plus(s.Diameter), Depth: plus(s.Depth), Fit: s.Fit, Bearing: s.Bearing, Ring: string(s.Ring),
	}
	if g := s.Groove; g.Width != 0 {
		out.Groove = &grooveV1{plus(g.Diameter), plus(g.Width), plus(g.At)}
	}
	return out
}

func formOf(f HoleForm) formV1 {
	out := formV1{
		Kind: string(f.Kind), Size: f.Size, Series: string(f.Series), Side: unless(string(f.Side), string(Through)), Depth: plus(f.Depth),
		Boss: plus(f.Boss),
	}
	switch f.Kind {
	case Reamed:
		out.Size, out.Series, out.Diameter, out.HoleDiameter, out.Fit = "", "", plus(f.Diameter), plus(f.Diameter), f.Fit
	case Counterbored:
		out.Depth, out.HeadDiameter, out.HeadDepth = 0, plus(f.HeadDiameter), plus(f.HeadDepth)
	case Countersunk:
		out.Depth, out.HeadDiameter = 0, plus(f.HeadDiameter)
	}
	return out
}

// ownDiameter is the form in an object without a diameter of its own.
func ownDiameter(f formV1) formV1 {
	f.HoleDiameter = 0
	return f
}

func holeOf(h Hole) holeV1 {
	return holeV1{int64(h.ID), h.Name, plus(h.X), plus(h.Y), ownDiameter(formOf(h.HoleForm))}
}

func circleOf(c BoltCircle) circleV1 {
	out := circleV1{ID: int64(c.ID), Name: c.Name, Diameter: plus(c.Diameter), Start: plus(c.StartDeg), formV1: formOf(c.HoleForm)}
	out.Count, out.Angles = anglesOf(c.Count, c.Angles)
	if c.Bore != 0 {
		out.Bore = idPtr(c.Bore)
	} else {
		out.X, out.Y = ptr(c.X), ptr(c.Y)
	}
	return out
}

// anglesOf is either the number of equally spaced holes or the angles.
func anglesOf(count int, angles []float64) (n *int64, list []float64) {
	if len(angles) == 0 {
		return intPtr(count), nil
	}
	return nil, each(angles, plus)
}

func ringOf(c ClockedRing) ringV1 {
	out := ringV1{circleV1: circleOf(c.BoltCircle), Least: int64(c.LeastBolts), Wanted: each(c.WantedDeg, plus), Position: plus(c.PositionDeg)}
	out.Mate.Count, out.Mate.Angles = anglesOf(c.MateCount, c.MateAngles)
	out.Mate.Start = plus(c.MateStartDeg)
	return out
}

func eccentricOf(e Eccentric) eccentricV1 {
	out := eccentricV1{int64(e.ID), e.Name, int64(e.Bore), plus(e.E), plus(e.Inner), plus(e.AngleDeg), nil}
	if e.LockCircle != 0 {
		out.Lock = &lockV1{plus(e.LockCircle), int64(e.LockCount), plus(e.LockStart), ownDiameter(formOf(e.Lock))}
	}
	return out
}

func slotOf(s Slot) slotV1 {
	return slotV1{
		int64(s.ID), s.Name, plus(s.X), plus(s.Y), plus(s.Length), plus(s.Width), plus(s.AngleDeg), unless(string(s.Side), string(Through)),
		plus(s.Depth), plus(s.Boss), s.Fit, plus(s.Position), s.Adjusting,
	}
}

func endOf(e RibEnd) endV1 {
	if e.Feature != 0 {
		return endV1{Feature: idPtr(e.Feature)}
	}
	return endV1{X: ptr(e.X), Y: ptr(e.Y)}
}

func ribOf(b Rib) ribV1 {
	out := ribV1{ID: int64(b.ID), Name: b.Name, From: endOf(b.From), To: endOf(b.To), Width: plus(b.Width)}
	if b.Arc {
		out.Through = pairPtr(b.ThroughX, b.ThroughY)
	}
	return out
}

func gridOf(g Grid) gridV1 {
	out := gridV1{
		ID: int64(g.ID), Name: g.Name, Kind: g.Kind.String(), Width: plus(g.Width), Fillet: plus(g.Fillet), Bounds: cornersOf(g.Bounds),
		Widths: each(g.Widths, ribWidthOf),
	}
	if g.Kind == Spokes {
		out.Hubs, out.Least = each(g.Hubs, fromID), plus(g.LeastAngle)
		return out
	}
	out.Pitch, out.X, out.Y = ptr(g.Pitch), ptr(g.X), ptr(g.Y)
	if g.Kind == Directions {
		list := written(each(g.Samples, func(d Direction) sampleV1 { return sampleV1{plus(d.X), plus(d.Y), plus(d.AngleDeg)} }))
		out.Samples, out.Crossed = &list, g.Crossed
		return out
	}
	out.Angle, out.Fitted = plus(g.AngleDeg), g.Fitted
	if g.Kind == Orthogrid {
		out.PitchY = plus(g.PitchY)
	}
	return out
}

func ribWidthOf(w RibWidth) ribWidthV1 {
	if a := w.At; a.Lattice {
		return ribWidthV1{Family: intPtr(a.Family), Line: intPtr(a.Line), Segment: intPtr(a.Segment), Width: plus(w.Width)}
	}
	return ribWidthV1{X: ptr(w.At.X), Y: ptr(w.At.Y), Width: plus(w.Width)}
}

func pocketOf(k Pocket) pocketV1 {
	out := pocketV1{
		ID: int64(k.ID), Name: k.Name, Kind: unless(k.Kind.String(), FieldPocket.String()), Side: string(k.Side), Depth: plus(k.Depth),
		Radius: plus(k.Radius), FloorRadius: plus(k.FloorRadius),
	}
	if k.Side == Both {
		out.DepthBack = plus(k.DepthBack)
	}
	if k.Ledge.Width != 0 {
		out.Ledge = &ledgeV1{plus(k.Ledge.Width), plus(k.Ledge.Depth)}
	}
	if k.Kind == RoundPocket || k.Kind == ObroundPocket {
		out.X, out.Y, out.Diameter = ptr(k.X), ptr(k.Y), ptr(k.Diameter)
		if k.Kind == ObroundPocket {
			out.Length, out.Angle = ptr(k.Length), plus(k.AngleDeg)
		}
		return out
	}
	out.Bounds, out.LeastArea = cornersOf(k.Bounds), plus(k.LeastArea)
	out.Kept, out.Depths = each(k.Kept, anchorOf), each(k.Depths, cellDepthOf)
	if k.Kind == FieldPocket {
		out.Ribs = &ribsV1{all: k.AllRibs}
		if !k.AllRibs {
			out.Ribs.ids = each(k.Ribs, fromID)
		}
	}
	return out
}

func anchorOf(a Anchor) anchorV1 {
	if a.Grid != 0 {
		return anchorV1{Grid: idPtr(a.Grid), I: intPtr(a.I), J: intPtr(a.J), K: intPtr(a.K)}
	}
	return anchorV1{X: ptr(a.X), Y: ptr(a.Y)}
}

func cellDepthOf(d CellDepth) cellDepthV1 {
	if d.Through {
		return cellDepthV1{anchorV1: anchorOf(d.At), Through: true}
	}
	return cellDepthV1{anchorV1: anchorOf(d.At), Depth: ptr(d.Depth), Back: plus(d.Back)}
}

func keepOutOf(k KeepOut) keepOutV1 {
	return keepOutV1{int64(k.ID), k.Name, written(cornersOf(k.Bounds))}
}

func inlayOf(i Inlay) inlayV1 {
	out := inlayV1{
		int64(i.ID), i.Name, int64(i.Pocket), cellsV1{all: i.All}, plus(i.Clearance), plus(i.Radius), plus(i.Thickness), materialOf(i.Material),
	}
	if !i.All {
		out.Cells.list = each(i.Cells, anchorOf)
	}
	return out
}

// settingOf writes the position of a slot and the angle of anything else; a value of the wrong sort is kept as it is where
// the right one is 0, so that reading back gives the same.
func settingOf(s Setting, slots map[ID]bool) settingV1 {
	return settingV1{int64(s.ID), s.Name, written(each(s.Values, func(v SettingValue) settingValueV1 {
		out := settingValueV1{Feature: int64(v.Feature)}
		if slots[v.Feature] && (v.Position != 0 || v.AngleDeg == 0) || !slots[v.Feature] && v.AngleDeg == 0 && v.Position != 0 {
			out.Position = ptr(v.Position)
		} else {
			out.Angle = ptr(v.AngleDeg)
		}
		return out
	}))}
}

func cutLineOf(c CutLine) cutLineV1 {
	return cutLineV1{int64(c.ID), c.Name, [2]float64{plus(c.X1), plus(c.Y1)}, [2]float64{plus(c.X2), plus(c.Y2)}}
}

func targetOf(t Target) targetV1 {
	out := targetV1{
		ID: int64(t.ID), Name: t.Name, Quantity: string(t.Quantity), CutLine: int64(t.CutLine), Case: int64(t.Case), Sense: string(t.Sense),
	}
	_, v := out.value()
	*v = ptr(t.Value)
	return out
}
