package plate

import "slices"

// The readers of the features of version 1. Where the keys depend on the kind, the kind is read first, and the keys of
// other kinds are unknown.

func (r *reader) finishV1(f *finishV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("name", r.named(&f.Name)),
			may("growth_mm", r.float(&f.Growth)),
			may("masked", listOf(r, &f.Masked, maxMasked, r.id)),
		)
	}
}

func (r *reader) outlineV1(o *outlineV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, outlineKinds) {
			return
		}
		members := []member{
			must("kind", r.choice(&o.Kind, outlineKinds)),
			may("edge_chamfer", optional(&o.Chamfer, r.edgeChamfersV1)),
		}
		switch OutlineKind(wordOf(n, "kind")) {
		case Wrapped:
			members = append(members, must("around", optional(&o.Around, manyOf(r, maxWraps, r.wrapV1))))
		case Contour:
			members = append(members, must("vertices", optional(&o.Vertices, manyOf(r, maxCorners, r.triple))))
		default:
			members = append(members,
				must("corners", optional(&o.Corners, manyOf(r, maxCorners, r.cornerV1))),
				may("mirror", optional(&o.Mirror, r.mirrorV1)))
		}
		r.object(at, n, members...)
	}
}

// manyOf is listOf for a list behind a pointer.
func manyOf[T any](r *reader, most int, one func(*T) read) func(*[]T) read {
	return func(dst *[]T) read { return listOf(r, dst, most, one) }
}

func (r *reader) edgeChamfersV1(c *edgeChamfersV1) read {
	return func(at *place, n *node) {
		r.object(at, n, may("top_mm", r.float(&c.Top)), may("bottom_mm", r.float(&c.Bottom)))
	}
}

func (r *reader) mirrorV1(m *mirrorV1) read {
	return func(at *place, n *node) {
		r.object(at, n, must("axis", r.choice(&m.Axis, axes)), must("at_mm", r.float(&m.At)))
	}
}

func (r *reader) wrapV1(w *wrapV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("feature", r.id(&w.Feature)),
			must("width_mm", r.float(&w.Width)),
			may("hollow_radius_mm", optional(&w.Hollow, r.float)),
		)
	}
}

func (r *reader) cornerV1(c *cornerV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("x_mm", r.float(&c.X)),
			must("y_mm", r.float(&c.Y)),
			may("radius_mm", r.float(&c.Radius)),
			may("chamfer_mm", r.float(&c.Chamfer)),
			may("through_mm", optional(&c.Through, r.duo)),
		)
	}
}

func (r *reader) boreV1(b *boreV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&b.ID)),
			must("name", r.text(&b.Name)),
			must("x_mm", r.float(&b.X)),
			must("y_mm", r.float(&b.Y)),
			must("diameter_mm", r.float(&b.Diameter)),
			may("boss_mm", r.float(&b.Boss)),
			may("tolerance_mm", r.float(&b.Tolerance)),
			may("fit", r.text(&b.Fit)),
			may("seats", listOf(r, &b.Seats, maxSeats, r.seatV1)),
			may("keyway", optional(&b.Keyway, r.keywayV1)),
		)
	}
}

func (r *reader) seatV1(s *seatV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("side", r.choice(&s.Side, oneSide)),
			must("diameter_mm", r.float(&s.Diameter)),
			must("depth_mm", r.float(&s.Depth)),
			may("fit", r.text(&s.Fit)),
			may("bearing", r.text(&s.Bearing)),
			may("outer_ring_load", r.choice(&s.Ring, ringLoads)),
			may("groove", optional(&s.Groove, r.grooveV1)),
		)
	}
}

func (r *reader) grooveV1(g *grooveV1) read {
	return func(at *place, n *node) {
		r.object(at, n, must("diameter_mm", r.float(&g.Diameter)), must("width_mm", r.above(&g.Width)), must("at_mm", r.float(&g.At)))
	}
}

func (r *reader) keywayV1(k *keywayV1) read {
	return func(at *place, n *node) {
		r.object(at, n, must("width_mm", r.above(&k.Width)), must("height_mm", r.float(&k.Height)), may("angle_deg", r.float(&k.Angle)))
	}
}

// formV1 is the members of a hole's form. The diameter of a reamed hole stands at the given key.
func (r *reader) formV1(f *formV1, n *node, diameterKey string) []member {
	f.Side = string(Through)
	list := []member{
		must("kind", r.choice(&f.Kind, holeKinds)),
		may("side", r.choice(&f.Side, sides)),
		may("boss_mm", r.float(&f.Boss)),
	}
	kind := HoleKind(wordOf(n, "kind"))
	if kind == Reamed {
		return append(list,
			must(diameterKey, r.float(&f.Diameter)), may("fit", r.text(&f.Fit)), may("depth_mm", r.float(&f.Depth)))
	}
	list = append(list, must("size", r.text(&f.Size)), may("series", r.choice(&f.Series, serieses)))
	list = append(list, only(kind != Counterbored && kind != Countersunk, may("depth_mm", r.float(&f.Depth)))...)
	list = append(list, only(kind == Counterbored, may("head_depth_mm", r.float(&f.HeadDepth)))...)
	return append(list, only(kind == Counterbored || kind == Countersunk, may("head_diameter_mm", r.float(&f.HeadDiameter)))...)
}

func (r *reader) holeV1(h *holeV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, holeKinds) {
			return
		}
		r.object(at, n, append(r.formV1(&h.formV1, n, "diameter_mm"),
			must("id", r.id(&h.ID)),
			must("name", r.text(&h.Name)),
			must("x_mm", r.float(&h.X)),
			must("y_mm", r.float(&h.Y)),
		)...)
	}
}

func (r *reader) circleV1(c *circleV1) read {
	return func(at *place, n *node) {
		if !r.wrongKind(at, n, holeKinds) {
			r.object(at, n, r.circleMembers(c, n)...)
		}
	}
}

func (r *reader) circleMembers(c *circleV1, n *node) []member {
	list := append(r.formV1(&c.formV1, n, "hole_diameter_mm"),
		must("id", r.id(&c.ID)),
		must("name", r.text(&c.Name)),
		must("diameter_mm", r.float(&c.Diameter)),
		may("start_deg", r.float(&c.Start)),
		r.countOrAngles(&c.Count, &c.Angles, n),
	)
	if n.get("bore") != nil {
		return append(list, must("bore", optional(&c.Bore, r.id)))
	}
	return append(list, must("x_mm", optional(&c.X, r.float)), must("y_mm", optional(&c.Y, r.float)))
}

func (r *reader) countOrAngles(count **int64, angles *[]float64, n *node) member {
	if n.get("angles_deg") != nil {
		return must("angles_deg", listOf(r, angles, maxOnCircle, r.float))
	}
	return must("count", optional(count, r.count))
}

func (r *reader) ringV1(c *ringV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, holeKinds) {
			return
		}
		r.object(at, n, append(r.circleMembers(&c.circleV1, n),
			must("mate", func(at *place, n *node) {
				r.object(at, n, r.countOrAngles(&c.Mate.Count, &c.Mate.Angles, n), may("start_deg", r.float(&c.Mate.Start)))
			}),
			must("least_bolts", r.count(&c.Least)),
			may("wanted_deg", listOf(r, &c.Wanted, maxWanted, r.float)),
			may("position_deg", r.float(&c.Position)),
		)...)
	}
}

func (r *reader) eccentricV1(e *eccentricV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&e.ID)),
			must("name", r.text(&e.Name)),
			must("bore", r.id(&e.Bore)),
			must("offset_mm", r.float(&e.Offset)),
			must("inner_diameter_mm", r.float(&e.Inner)),
			may("angle_deg", r.float(&e.Angle)),
			may("lock", optional(&e.Lock, r.lockV1)),
		)
	}
}

func (r *reader) lockV1(l *lockV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, holeKinds) {
			return
		}
		r.object(at, n, append(r.formV1(&l.formV1, n, "diameter_mm"),
			must("circle_diameter_mm", r.above(&l.Circle)),
			must("count", r.count(&l.Count)),
			may("start_deg", r.float(&l.Start)),
		)...)
	}
}

func (r *reader) slotV1(s *slotV1) read {
	return func(at *place, n *node) {
		s.Side = string(Through)
		r.object(at, n,
			must("id", r.id(&s.ID)),
			must("name", r.text(&s.Name)),
			must("x_mm", r.float(&s.X)),
			must("y_mm", r.float(&s.Y)),
			must("length_mm", r.float(&s.Length)),
			must("width_mm", r.float(&s.Width)),
			may("angle_deg", r.float(&s.Angle)),
			may("side", r.choice(&s.Side, sides)),
			may("depth_mm", r.float(&s.Depth)),
			may("boss_mm", r.float(&s.Boss)),
			may("fit", r.text(&s.Fit)),
			may("position_mm", r.float(&s.Position)),
			may("adjusting", r.flag(&s.Adjusting)),
		)
	}
}

func (r *reader) endV1(e *endV1) read {
	return func(at *place, n *node) {
		r.either(at, n, "feature",
			[]member{must("feature", optional(&e.Feature, r.id))},
			[]member{must("x_mm", optional(&e.X, r.float)), must("y_mm", optional(&e.Y, r.float))})
	}
}

func (r *reader) ribV1(b *ribV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&b.ID)),
			must("name", r.text(&b.Name)),
			must("from", r.endV1(&b.From)),
			must("to", r.endV1(&b.To)),
			may("through_mm", optional(&b.Through, r.duo)),
			must("width_mm", r.float(&b.Width)),
		)
	}
}

func (r *reader) gridV1(g *gridV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, gridKinds) {
			return
		}
		kind := GridKind(wordOf(n, "kind"))
		lattice := kind != Spokes && kind != Directions
		members := []member{
			must("id", r.id(&g.ID)),
			must("name", r.text(&g.Name)),
			must("kind", r.choice(&g.Kind, gridKinds)),
			must("width_mm", r.float(&g.Width)),
			may("fillet_mm", r.float(&g.Fillet)),
			may("bounds", listOf(r, &g.Bounds, maxCorners, r.cornerV1)),
			may("widths", listOf(r, &g.Widths, maxWidths, r.ribWidthV1)),
		}
		r.object(at, n, slices.Concat(members,
			only(kind != Spokes,
				must("pitch_mm", optional(&g.Pitch, r.float)), must("x_mm", optional(&g.X, r.float)), must("y_mm", optional(&g.Y, r.float))),
			only(lattice, may("angle_deg", r.float(&g.Angle)), may("fitted", r.flag(&g.Fitted))),
			only(kind == Orthogrid, may("pitch_y_mm", r.float(&g.PitchY))),
			only(kind == Spokes, may("hubs", listOf(r, &g.Hubs, maxHubs, r.id)), may("least_angle_deg", r.float(&g.Least))),
			only(kind == Directions,
				must("samples", optional(&g.Samples, manyOf(r, maxSamples, r.sampleV1))), may("crossed", r.flag(&g.Crossed))),
		)...)
	}
}

func (r *reader) sampleV1(s *sampleV1) read {
	return func(at *place, n *node) {
		r.object(at, n, must("x_mm", r.float(&s.X)), must("y_mm", r.float(&s.Y)), must("angle_deg", r.float(&s.Angle)))
	}
}

func (r *reader) ribWidthV1(w *ribWidthV1) read {
	return func(at *place, n *node) {
		r.either(at, n, "family",
			[]member{
				must("family", optional(&w.Family, r.count)), must("line", optional(&w.Line, r.count)),
				must("segment", optional(&w.Segment, r.count)),
			},
			[]member{must("x_mm", optional(&w.X, r.float)), must("y_mm", optional(&w.Y, r.float))},
			must("width_mm", r.float(&w.Width)))
	}
}

func (r *reader) pocketV1(k *pocketV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, pocketKinds) {
			return
		}
		kind := orDefault(wordOf(n, "kind"), FieldPocket.String())
		field, round, obround := kind == FieldPocket.String(), kind == string(RoundPocket), kind == string(ObroundPocket)
		drawn := kind == string(DrawnPocket)
		k.Kind = kind
		bounds := may
		if drawn {
			bounds = must
		}
		members := []member{
			must("id", r.id(&k.ID)),
			must("name", r.text(&k.Name)),
			may("kind", r.choice(&k.Kind, pocketKinds)),
			must("side", r.choice(&k.Side, pocketSides)),
			may("depth_mm", r.float(&k.Depth)),
			must("inside_corner_radius_mm", r.float(&k.Radius)),
			may("floor_radius_mm", r.float(&k.FloorRadius)),
			may("ledge", optional(&k.Ledge, r.ledgeV1)),
		}
		r.object(at, n, slices.Concat(members,
			only(wordOf(n, "side") == string(Both), must("depth_back_mm", r.float(&k.DepthBack))),
			only(field || drawn,
				bounds("bounds", listOf(r, &k.Bounds, maxCorners, r.cornerV1)),
				may("least_area_mm2", r.float(&k.LeastArea)),
				may("kept", listOf(r, &k.Kept, maxKept, r.anchorV1)),
				may("depths", listOf(r, &k.Depths, maxKept, r.cellDepthV1))),
			only(field, must("ribs", optional(&k.Ribs, r.ribsV1))),
			only(round || obround,
				must("x_mm", optional(&k.X, r.float)), must("y_mm", optional(&k.Y, r.float)), must("diameter_mm", optional(&k.Diameter, r.float))),
			only(obround, must("length_mm", optional(&k.Length, r.float)), may("angle_deg", r.float(&k.Angle))),
		)...)
	}
}

func (r *reader) ledgeV1(l *ledgeV1) read {
	return func(at *place, n *node) {
		r.object(at, n, must("width_mm", r.above(&l.Width)), must("depth_mm", r.float(&l.Depth)))
	}
}

func (r *reader) ribsV1(s *ribsV1) read { return allOrList(r, &s.all, &s.ids, maxRibs, "ids", r.id) }

func (r *reader) anchorV1(a *anchorV1) read {
	return func(at *place, n *node) { r.object(at, n, r.anchorMembers(a, n)...) }
}

func (r *reader) anchorMembers(a *anchorV1, n *node) []member {
	if n.get("grid") != nil {
		return []member{
			must("grid", optional(&a.Grid, r.id)),
			must("i", optional(&a.I, r.count)), must("j", optional(&a.J, r.count)), must("k", optional(&a.K, r.count)),
		}
	}
	return []member{must("x_mm", optional(&a.X, r.float)), must("y_mm", optional(&a.Y, r.float))}
}

func (r *reader) cellDepthV1(d *cellDepthV1) read {
	return func(at *place, n *node) {
		members := r.anchorMembers(&d.anchorV1, n)
		if n.get("through") != nil {
			r.object(at, n, append(members, must("through", func(at *place, n *node) {
				r.flag(&d.Through)(at, n)
				if n.kind == boolNode && !d.Through {
					r.bad(at, n, `false; for a cell that does not go through give "depth_mm" instead`)
				}
			}))...)
			return
		}
		r.object(at, n, append(members, must("depth_mm", optional(&d.Depth, r.float)), may("back_mm", r.float(&d.Back)))...)
	}
}

func (r *reader) keepOutV1(k *keepOutV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&k.ID)),
			must("name", r.text(&k.Name)),
			must("bounds", listOf(r, &k.Bounds, maxCorners, r.cornerV1)),
		)
	}
}

func (r *reader) inlayV1(i *inlayV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&i.ID)),
			must("name", r.text(&i.Name)),
			must("pocket", r.id(&i.Pocket)),
			must("cells", allOrList(r, &i.Cells.all, &i.Cells.list, maxKept, "cells", r.anchorV1)),
			must("clearance_mm", r.float(&i.Clearance)),
			may("radius_mm", r.float(&i.Radius)),
			must("thickness_mm", r.float(&i.Thickness)),
			must("material", r.materialV1(&i.Material)),
		)
	}
}

func (r *reader) settingV1(s *settingV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&s.ID)),
			must("name", r.text(&s.Name)),
			must("values", listOf(r, &s.Values, maxValues, r.settingValueV1)),
		)
	}
}

func (r *reader) settingValueV1(v *settingValueV1) read {
	return func(at *place, n *node) {
		r.either(at, n, "angle_deg",
			[]member{must("angle_deg", optional(&v.Angle, r.float))},
			[]member{must("position_mm", optional(&v.Position, r.float))},
			must("feature", r.id(&v.Feature)))
	}
}

func (r *reader) cutLineV1(c *cutLineV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&c.ID)),
			must("name", r.text(&c.Name)),
			must("from_mm", r.duo(&c.From)),
			must("to_mm", r.duo(&c.To)),
		)
	}
}

func (r *reader) targetV1(t *targetV1) read {
	return func(at *place, n *node) {
		t.Quantity = wordOf(n, "quantity") // first, since it decides the key of the value
		key, field := t.value()
		r.object(at, n,
			must("id", r.id(&t.ID)),
			must("name", r.text(&t.Name)),
			must("quantity", r.choice(&t.Quantity, quantities)),
			may("cut_line", r.id(&t.CutLine)),
			may("load_case", r.id(&t.Case)),
			must("sense", r.choice(&t.Sense, senses)),
			must(key, optional(field, r.float)),
		)
	}
}
