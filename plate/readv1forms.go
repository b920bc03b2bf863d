package plate

import (
	"slices"

	"platewright/plate/tree"
)

// The readers of the features of version 1. Where the keys depend on the kind, the kind is read first, and the keys of
// other kinds are unknown.

func (r *reader) finishV1(f *finishV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("name", r.named(&f.Name)),
			tree.May("growth_mm", r.Float(&f.Growth)),
			tree.May("masked", tree.ListOf(r.Reader, &f.Masked, maxMasked, r.id)),
		)
	}
}

func (r *reader) outlineV1(o *outlineV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, outlineKinds) {
			return
		}
		members := []tree.Member{
			tree.Must("kind", r.choice(&o.Kind, outlineKinds)),
			tree.May("edge_chamfer", optional(&o.Chamfer, r.edgeChamfersV1)),
		}
		switch OutlineKind(wordOf(n, "kind")) {
		case Wrapped:
			members = append(members, tree.Must("around", optional(&o.Around, manyOf(r, maxWraps, r.wrapV1))))
		case Contour:
			members = append(members, tree.Must("vertices", optional(&o.Vertices, manyOf(r, maxCorners, r.triple))))
		default:
			members = append(members,
				tree.Must("corners", optional(&o.Corners, manyOf(r, maxCorners, r.cornerV1))),
				tree.May("mirror", optional(&o.Mirror, r.mirrorV1)))
		}
		r.Object(at, n, members...)
	}
}

// manyOf is listOf for a list behind a pointer.
func manyOf[T any](r *reader, most int, one func(*T) tree.Read) func(*[]T) tree.Read {
	return func(dst *[]T) tree.Read { return tree.ListOf(r.Reader, dst, most, one) }
}

func (r *reader) edgeChamfersV1(c *edgeChamfersV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n, tree.May("top_mm", r.Float(&c.Top)), tree.May("bottom_mm", r.Float(&c.Bottom)))
	}
}

func (r *reader) mirrorV1(m *mirrorV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n, tree.Must("axis", r.choice(&m.Axis, axes)), tree.Must("at_mm", r.Float(&m.At)))
	}
}

func (r *reader) wrapV1(w *wrapV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("feature", r.id(&w.Feature)),
			tree.Must("width_mm", r.Float(&w.Width)),
			tree.May("hollow_radius_mm", optional(&w.Hollow, r.Float)),
		)
	}
}

func (r *reader) cornerV1(c *cornerV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("x_mm", r.Float(&c.X)),
			tree.Must("y_mm", r.Float(&c.Y)),
			tree.May("radius_mm", r.Float(&c.Radius)),
			tree.May("chamfer_mm", r.Float(&c.Chamfer)),
			tree.May("through_mm", optional(&c.Through, r.duo)),
		)
	}
}

func (r *reader) boreV1(b *boreV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&b.ID)),
			tree.Must("name", r.Text(&b.Name)),
			tree.Must("x_mm", r.Float(&b.X)),
			tree.Must("y_mm", r.Float(&b.Y)),
			tree.Must("diameter_mm", r.Float(&b.Diameter)),
			tree.May("boss_mm", r.Float(&b.Boss)),
			tree.May("tolerance_mm", r.Float(&b.Tolerance)),
			tree.May("fit", r.Text(&b.Fit)),
			tree.May("seats", tree.ListOf(r.Reader, &b.Seats, maxSeats, r.seatV1)),
			tree.May("keyway", optional(&b.Keyway, r.keywayV1)),
		)
	}
}

func (r *reader) seatV1(s *seatV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("side", r.choice(&s.Side, oneSide)),
			tree.Must("diameter_mm", r.Float(&s.Diameter)),
			tree.Must("depth_mm", r.Float(&s.Depth)),
			tree.May("fit", r.Text(&s.Fit)),
			tree.May("bearing", r.Text(&s.Bearing)),
			tree.May("outer_ring_load", r.choice(&s.Ring, ringLoads)),
			tree.May("groove", optional(&s.Groove, r.grooveV1)),
		)
	}
}

func (r *reader) grooveV1(g *grooveV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n, tree.Must("diameter_mm", r.Float(&g.Diameter)), tree.Must("width_mm", r.above(&g.Width)), tree.Must("at_mm", r.Float(&g.At)))
	}
}

func (r *reader) keywayV1(k *keywayV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n, tree.Must("width_mm", r.above(&k.Width)), tree.Must("height_mm", r.Float(&k.Height)), tree.May("angle_deg", r.Float(&k.Angle)))
	}
}

// formV1 is the members of a hole's form. The diameter of a reamed hole stands at the given key.
func (r *reader) formV1(f *formV1, n *tree.Node, diameterKey string) []tree.Member {
	f.Side = string(Through)
	list := []tree.Member{
		tree.Must("kind", r.choice(&f.Kind, holeKinds)),
		tree.May("side", r.choice(&f.Side, sides)),
		tree.May("boss_mm", r.Float(&f.Boss)),
	}
	kind := HoleKind(wordOf(n, "kind"))
	if kind == Reamed {
		return append(list,
			tree.Must(diameterKey, r.Float(&f.Diameter)), tree.May("fit", r.Text(&f.Fit)), tree.May("depth_mm", r.Float(&f.Depth)))
	}
	list = append(list, tree.Must("size", r.Text(&f.Size)), tree.May("series", r.choice(&f.Series, serieses)))
	list = append(list, only(kind != Counterbored && kind != Countersunk, tree.May("depth_mm", r.Float(&f.Depth)))...)
	list = append(list, only(kind == Counterbored, tree.May("head_depth_mm", r.Float(&f.HeadDepth)))...)
	return append(list, only(kind == Counterbored || kind == Countersunk, tree.May("head_diameter_mm", r.Float(&f.HeadDiameter)))...)
}

func (r *reader) holeV1(h *holeV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, holeKinds) {
			return
		}
		r.Object(at, n, append(r.formV1(&h.formV1, n, "diameter_mm"),
			tree.Must("id", r.id(&h.ID)),
			tree.Must("name", r.Text(&h.Name)),
			tree.Must("x_mm", r.Float(&h.X)),
			tree.Must("y_mm", r.Float(&h.Y)),
		)...)
	}
}

func (r *reader) circleV1(c *circleV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if !r.wrongKind(at, n, holeKinds) {
			r.Object(at, n, r.circleMembers(c, n)...)
		}
	}
}

func (r *reader) circleMembers(c *circleV1, n *tree.Node) []tree.Member {
	list := append(r.formV1(&c.formV1, n, "hole_diameter_mm"),
		tree.Must("id", r.id(&c.ID)),
		tree.Must("name", r.Text(&c.Name)),
		tree.Must("diameter_mm", r.Float(&c.Diameter)),
		tree.May("start_deg", r.Float(&c.Start)),
		r.countOrAngles(&c.Count, &c.Angles, n),
	)
	if n.Get("bore") != nil {
		return append(list, tree.Must("bore", optional(&c.Bore, r.id)))
	}
	return append(list, tree.Must("x_mm", optional(&c.X, r.Float)), tree.Must("y_mm", optional(&c.Y, r.Float)))
}

func (r *reader) countOrAngles(count **int64, angles *[]float64, n *tree.Node) tree.Member {
	if n.Get("angles_deg") != nil {
		return tree.Must("angles_deg", tree.ListOf(r.Reader, angles, maxOnCircle, r.Float))
	}
	return tree.Must("count", optional(count, r.count))
}

func (r *reader) ringV1(c *ringV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, holeKinds) {
			return
		}
		r.Object(at, n, append(r.circleMembers(&c.circleV1, n),
			tree.Must("mate", func(at *tree.Place, n *tree.Node) {
				r.Object(at, n, r.countOrAngles(&c.Mate.Count, &c.Mate.Angles, n), tree.May("start_deg", r.Float(&c.Mate.Start)))
			}),
			tree.Must("least_bolts", r.count(&c.Least)),
			tree.May("wanted_deg", tree.ListOf(r.Reader, &c.Wanted, maxWanted, r.Float)),
			tree.May("position_deg", r.Float(&c.Position)),
		)...)
	}
}

func (r *reader) eccentricV1(e *eccentricV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&e.ID)),
			tree.Must("name", r.Text(&e.Name)),
			tree.Must("bore", r.id(&e.Bore)),
			tree.Must("offset_mm", r.Float(&e.Offset)),
			tree.Must("inner_diameter_mm", r.Float(&e.Inner)),
			tree.May("angle_deg", r.Float(&e.Angle)),
			tree.May("lock", optional(&e.Lock, r.lockV1)),
		)
	}
}

func (r *reader) lockV1(l *lockV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, holeKinds) {
			return
		}
		r.Object(at, n, append(r.formV1(&l.formV1, n, "diameter_mm"),
			tree.Must("circle_diameter_mm", r.above(&l.Circle)),
			tree.Must("count", r.count(&l.Count)),
			tree.May("start_deg", r.Float(&l.Start)),
		)...)
	}
}

func (r *reader) slotV1(s *slotV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		s.Side = string(Through)
		r.Object(at, n,
			tree.Must("id", r.id(&s.ID)),
			tree.Must("name", r.Text(&s.Name)),
			tree.Must("x_mm", r.Float(&s.X)),
			tree.Must("y_mm", r.Float(&s.Y)),
			tree.Must("length_mm", r.Float(&s.Length)),
			tree.Must("width_mm", r.Float(&s.Width)),
			tree.May("angle_deg", r.Float(&s.Angle)),
			tree.May("side", r.choice(&s.Side, sides)),
			tree.May("depth_mm", r.Float(&s.Depth)),
			tree.May("boss_mm", r.Float(&s.Boss)),
			tree.May("fit", r.Text(&s.Fit)),
			tree.May("position_mm", r.Float(&s.Position)),
			tree.May("adjusting", r.Flag(&s.Adjusting)),
		)
	}
}

func (r *reader) endV1(e *endV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.either(at, n, "feature",
			[]tree.Member{tree.Must("feature", optional(&e.Feature, r.id))},
			[]tree.Member{tree.Must("x_mm", optional(&e.X, r.Float)), tree.Must("y_mm", optional(&e.Y, r.Float))})
	}
}

func (r *reader) ribV1(b *ribV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&b.ID)),
			tree.Must("name", r.Text(&b.Name)),
			tree.Must("from", r.endV1(&b.From)),
			tree.Must("to", r.endV1(&b.To)),
			tree.May("through_mm", optional(&b.Through, r.duo)),
			tree.Must("width_mm", r.Float(&b.Width)),
		)
	}
}

func (r *reader) gridV1(g *gridV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, gridKinds) {
			return
		}
		kind := GridKind(wordOf(n, "kind"))
		lattice := kind != Spokes && kind != Directions
		members := []tree.Member{
			tree.Must("id", r.id(&g.ID)),
			tree.Must("name", r.Text(&g.Name)),
			tree.Must("kind", r.choice(&g.Kind, gridKinds)),
			tree.Must("width_mm", r.Float(&g.Width)),
			tree.May("fillet_mm", r.Float(&g.Fillet)),
			tree.May("bounds", tree.ListOf(r.Reader, &g.Bounds, maxCorners, r.cornerV1)),
			tree.May("widths", tree.ListOf(r.Reader, &g.Widths, maxWidths, r.ribWidthV1)),
		}
		r.Object(at, n, slices.Concat(members,
			only(kind != Spokes,
				tree.Must("pitch_mm", optional(&g.Pitch, r.Float)), tree.Must("x_mm", optional(&g.X, r.Float)), tree.Must("y_mm", optional(&g.Y, r.Float))),
			only(lattice, tree.May("angle_deg", r.Float(&g.Angle)), tree.May("fitted", r.Flag(&g.Fitted))),
			only(kind == Orthogrid, tree.May("pitch_y_mm", r.Float(&g.PitchY))),
			only(kind == Spokes, tree.May("hubs", tree.ListOf(r.Reader, &g.Hubs, maxHubs, r.id)), tree.May("least_angle_deg", r.Float(&g.Least))),
			only(kind == Directions,
				tree.Must("samples", optional(&g.Samples, manyOf(r, maxSamples, r.sampleV1))), tree.May("crossed", r.Flag(&g.Crossed))),
		)...)
	}
}

func (r *reader) sampleV1(s *sampleV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n, tree.Must("x_mm", r.Float(&s.X)), tree.Must("y_mm", r.Float(&s.Y)), tree.Must("angle_deg", r.Float(&s.Angle)))
	}
}

func (r *reader) ribWidthV1(w *ribWidthV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.either(at, n, "family",
			[]tree.Member{
				tree.Must("family", optional(&w.Family, r.count)), tree.Must("line", optional(&w.Line, r.count)),
				tree.Must("segment", optional(&w.Segment, r.count)),
			},
			[]tree.Member{tree.Must("x_mm", optional(&w.X, r.Float)), tree.Must("y_mm", optional(&w.Y, r.Float))},
			tree.Must("width_mm", r.Float(&w.Width)))
	}
}

func (r *reader) pocketV1(k *pocketV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, pocketKinds) {
			return
		}
		kind := orDefault(wordOf(n, "kind"), FieldPocket.String())
		field, round, obround := kind == FieldPocket.String(), kind == string(RoundPocket), kind == string(ObroundPocket)
		drawn := kind == string(DrawnPocket)
		k.Kind = kind
		bounds := tree.May
		if drawn {
			bounds = tree.Must
		}
		members := []tree.Member{
			tree.Must("id", r.id(&k.ID)),
			tree.Must("name", r.Text(&k.Name)),
			tree.May("kind", r.choice(&k.Kind, pocketKinds)),
			tree.Must("side", r.choice(&k.Side, pocketSides)),
			tree.May("depth_mm", r.Float(&k.Depth)),
			tree.Must("inside_corner_radius_mm", r.Float(&k.Radius)),
			tree.May("floor_radius_mm", r.Float(&k.FloorRadius)),
			tree.May("ledge", optional(&k.Ledge, r.ledgeV1)),
		}
		r.Object(at, n, slices.Concat(members,
			only(wordOf(n, "side") == string(Both), tree.Must("depth_back_mm", r.Float(&k.DepthBack))),
			only(field || drawn,
				bounds("bounds", tree.ListOf(r.Reader, &k.Bounds, maxCorners, r.cornerV1)),
				tree.May("least_area_mm2", r.Float(&k.LeastArea)),
				tree.May("kept", tree.ListOf(r.Reader, &k.Kept, maxKept, r.anchorV1)),
				tree.May("depths", tree.ListOf(r.Reader, &k.Depths, maxKept, r.cellDepthV1))),
			only(field, tree.Must("ribs", optional(&k.Ribs, r.ribsV1))),
			only(round || obround,
				tree.Must("x_mm", optional(&k.X, r.Float)), tree.Must("y_mm", optional(&k.Y, r.Float)), tree.Must("diameter_mm", optional(&k.Diameter, r.Float))),
			only(obround, tree.Must("length_mm", optional(&k.Length, r.Float)), tree.May("angle_deg", r.Float(&k.Angle))),
		)...)
	}
}

func (r *reader) ledgeV1(l *ledgeV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n, tree.Must("width_mm", r.above(&l.Width)), tree.Must("depth_mm", r.Float(&l.Depth)))
	}
}

func (r *reader) ribsV1(s *ribsV1) tree.Read {
	return allOrList(r, &s.all, &s.ids, maxRibs, "ids", r.id)
}

func (r *reader) anchorV1(a *anchorV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) { r.Object(at, n, r.anchorMembers(a, n)...) }
}

func (r *reader) anchorMembers(a *anchorV1, n *tree.Node) []tree.Member {
	if n.Get("grid") != nil {
		return []tree.Member{
			tree.Must("grid", optional(&a.Grid, r.id)),
			tree.Must("i", optional(&a.I, r.count)), tree.Must("j", optional(&a.J, r.count)), tree.Must("k", optional(&a.K, r.count)),
		}
	}
	return []tree.Member{tree.Must("x_mm", optional(&a.X, r.Float)), tree.Must("y_mm", optional(&a.Y, r.Float))}
}

func (r *reader) cellDepthV1(d *cellDepthV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		members := r.anchorMembers(&d.anchorV1, n)
		if n.Get("through") != nil {
			r.Object(at, n, append(members, tree.Must("through", func(at *tree.Place, n *tree.Node) {
				r.Flag(&d.Through)(at, n)
				if n.Kind == tree.Bool && !d.Through {
					r.Bad(at, n, `false; for a cell that does not go through give "depth_mm" instead`)
				}
			}))...)
			return
		}
		r.Object(at, n, append(members, tree.Must("depth_mm", optional(&d.Depth, r.Float)), tree.May("back_mm", r.Float(&d.Back)))...)
	}
}

func (r *reader) keepOutV1(k *keepOutV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&k.ID)),
			tree.Must("name", r.Text(&k.Name)),
			tree.Must("bounds", tree.ListOf(r.Reader, &k.Bounds, maxCorners, r.cornerV1)),
		)
	}
}

func (r *reader) inlayV1(i *inlayV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&i.ID)),
			tree.Must("name", r.Text(&i.Name)),
			tree.Must("pocket", r.id(&i.Pocket)),
			tree.Must("cells", allOrList(r, &i.Cells.all, &i.Cells.list, maxKept, "cells", r.anchorV1)),
			tree.Must("clearance_mm", r.Float(&i.Clearance)),
			tree.May("radius_mm", r.Float(&i.Radius)),
			tree.Must("thickness_mm", r.Float(&i.Thickness)),
			tree.Must("material", r.materialV1(&i.Material)),
		)
	}
}

func (r *reader) settingV1(s *settingV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&s.ID)),
			tree.Must("name", r.Text(&s.Name)),
			tree.Must("values", tree.ListOf(r.Reader, &s.Values, maxValues, r.settingValueV1)),
		)
	}
}

func (r *reader) settingValueV1(v *settingValueV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.either(at, n, "angle_deg",
			[]tree.Member{tree.Must("angle_deg", optional(&v.Angle, r.Float))},
			[]tree.Member{tree.Must("position_mm", optional(&v.Position, r.Float))},
			tree.Must("feature", r.id(&v.Feature)))
	}
}

func (r *reader) cutLineV1(c *cutLineV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&c.ID)),
			tree.Must("name", r.Text(&c.Name)),
			tree.Must("from_mm", r.duo(&c.From)),
			tree.Must("to_mm", r.duo(&c.To)),
		)
	}
}

func (r *reader) targetV1(t *targetV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		t.Quantity = wordOf(n, "quantity") // first, since it decides the key of the value
		key, field := t.value()
		r.Object(at, n,
			tree.Must("id", r.id(&t.ID)),
			tree.Must("name", r.Text(&t.Name)),
			tree.Must("quantity", r.choice(&t.Quantity, quantities)),
			tree.May("cut_line", r.id(&t.CutLine)),
			tree.May("load_case", r.id(&t.Case)),
			tree.Must("sense", r.choice(&t.Sense, senses)),
			tree.Must(key, optional(field, r.Float)),
		)
	}
}
