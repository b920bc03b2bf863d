package plate

import (
	"slices"

	"platewright/plate/tree"
)

// The readers of supports, loads and cases, and of the plan and the price.

// placeV1 reads a place; the key that stands there says which sort it is.
func (r *reader) placeV1(p *placeV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		switch {
		case n.Get("feature") != nil:
			r.Object(at, n, tree.Must("feature", optional(&p.Feature, r.id)))
		case n.Get("from_mm") != nil:
			r.Object(at, n, tree.Must("from_mm", optional(&p.From, r.duo)), tree.Must("to_mm", optional(&p.To, r.duo)))
		case n.Kind == tree.Object && len(n.Keys) == 0:
			r.Bad(at, n, `empty; give "feature", or "from_mm" and "to_mm" on the outline, or "bounds" and "side"`)
		default:
			r.Object(at, n,
				tree.Must("bounds", tree.ListOf(r.Reader, &p.Bounds, maxCorners, r.cornerV1)), tree.Must("side", r.choice(&p.Side, oneSide)))
		}
	}
}

func (r *reader) supportV1(s *supportV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, supportKinds) {
			return
		}
		kind := SupportKind(wordOf(n, "kind"))
		r.Object(at, n, slices.Concat(
			[]tree.Member{tree.Must("id", r.id(&s.ID)), tree.Must("name", r.Text(&s.Name)), tree.Must("kind", r.choice(&s.Kind, supportKinds))},
			only(kind != Free, tree.Must("on", optional(&s.On, r.placeV1))),
			only(kind == Sliding, tree.May("direction_deg", r.Float(&s.Direction))),
			only(kind == Spring,
				tree.Must("stiffness_n_per_mm", optional(&s.Linear, r.triple)), tree.Must("stiffness_n_mm_per_rad", optional(&s.Turning, r.triple))),
		)...)
	}
}

func (r *reader) loadV1(l *loadV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, loadKinds) {
			return
		}
		members := []tree.Member{tree.Must("id", r.id(&l.ID)), tree.Must("name", r.Text(&l.Name)), tree.Must("kind", r.choice(&l.Kind, loadKinds))}
		kind := LoadKind(wordOf(n, "kind"))
		members = append(members, only(kind.placed(), tree.Must("on", optional(&l.On, r.placeV1)))...)
		force := tree.Must("force_n", optional(&l.Force, r.triple))
		switch kind {
		case BoreForce:
			members = append(members, force, tree.Must("z_mm", optional(&l.Height, r.Float)))
		case Moment:
			members = append(members, tree.Must("moment_n_mm", optional(&l.Moment, r.triple)))
		case RemoteForce:
			members = append(members, force, tree.Must("at_mm", optional(&l.At, r.triple)), tree.May("moment_n_mm", optional(&l.Moment, r.triple)))
		case ClampForce:
			members = append(members, tree.Must("clamp_n", optional(&l.Clamp, r.Float)), tree.Must("bearing_diameter_mm", optional(&l.Bearing, r.Float)),
				tree.May("friction", r.Float(&l.Friction)))
		case LineForce, AreaForce:
			members = append(members, force)
		case Acceleration:
			members = append(members, tree.Must("acceleration_g", optional(&l.Acceleration, r.triple)))
		case Temperature:
			members = append(members, tree.Must("temperature_k", optional(&l.Temperature, r.Float)))
		}
		r.Object(at, n, members...)
	}
}

func (r *reader) caseV1(c *caseV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&c.ID)),
			tree.Must("name", r.Text(&c.Name)),
			tree.Must("kind", r.choice(&c.Kind, caseKinds)),
			tree.Must("factor", r.Float(&c.Factor)),
			tree.Must("origin", r.originV1(&c.Origin)),
			tree.Must("loads", tree.ListOf(r.Reader, &c.Loads, maxLoads, func(l *loadFactorV1) tree.Read {
				return func(at *tree.Place, n *tree.Node) {
					r.Object(at, n, tree.Must("load", r.id(&l.Load)), tree.Must("factor", r.Float(&l.Factor)))
				}
			})),
			tree.May("supports", tree.ListOf(r.Reader, &c.Supports, maxSupports, r.id)),
			tree.May("setting", r.id(&c.Setting)),
			tree.May("mirrored", r.Flag(&c.Mirrored)),
			tree.May("cycles", r.Float(&c.Cycles)),
		)
	}
}

func (r *reader) originV1(o *originV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, originKinds) {
			return
		}
		r.Object(at, n, slices.Concat(
			[]tree.Member{tree.Must("kind", r.choice(&o.Kind, originKinds)), tree.May("text", r.Text(&o.Text))},
			only(wordOf(n, "kind") == string(Worked),
				tree.Must("event", r.choice(&o.Event, events)), tree.Must("mass_kg", optional(&o.Mass, r.Float)), tree.Must("g", optional(&o.G, r.Float)),
				tree.Must("share", optional(&o.Share, r.Float)), tree.May("wheelbase_mm", r.Float(&o.Wheelbase)),
				tree.May("centre_x_mm", r.Float(&o.CentreX)), tree.May("centre_height_mm", r.Float(&o.Height))),
		)...)
	}
}

func (r *reader) machiningV1(m *machiningV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("work_zero_mm", r.duo(&m.Zero)),
			tree.Must("turn_axis", r.choice(&m.Turn, axes)),
			tree.Must("shop", r.Text(&m.Shop)),
			tree.May("shop_hash", r.Text(&m.ShopHash)),
			tree.May("changes", tree.ListOf(r.Reader, &m.Changes, maxChanges, r.changeV1)),
			tree.May("holding", tree.ListOf(r.Reader, &m.Holding, maxHolding, r.holdingV1)),
		)
	}
}

func (r *reader) changeV1(c *changeV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("id", r.id(&c.ID)),
			tree.May("class", r.Text(&c.Class)),
			tree.May("feature", r.id(&c.Feature)),
			tree.May("cell", optional(&c.Cell, r.anchorV1)),
			tree.May("left_out", r.Flag(&c.Leave)),
			tree.May("where", r.choice(&c.Where, places)),
			tree.May("tool", r.Text(&c.Tool)),
			tree.May("moved", r.count(&c.Order)),
			tree.May("time_min", r.Float(&c.Minutes)),
			tree.May("note", r.Text(&c.Note)),
		)
	}
}

func (r *reader) holdingV1(h *holdingV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if r.wrongKind(at, n, holdingKinds) {
			return
		}
		kind := HoldingKind(wordOf(n, "kind"))
		r.Object(at, n, slices.Concat(
			[]tree.Member{tree.Must("id", r.id(&h.ID)), tree.May("set_up", r.count(&h.SetUp)), tree.Must("kind", r.choice(&h.Kind, holdingKinds))},
			only(kind == Screw, tree.Must("feature", r.id(&h.Feature))),
			only(kind == Clamp,
				tree.Must("x_mm", optional(&h.X, r.Float)), tree.Must("y_mm", optional(&h.Y, r.Float)), tree.Must("width_mm", optional(&h.Width, r.Float)),
				tree.Must("height_mm", optional(&h.Height, r.Float)), tree.May("angle_deg", r.Float(&h.Angle))),
		)...)
	}
}

func (r *reader) priceV1(p *priceV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.May("batches", tree.ListOf(r.Reader, &p.Batches, maxBatches, r.count)),
			tree.May("per_set", r.count(&p.PerSet)),
			tree.May("bought_in", r.Text(&p.BoughtIn)),
		)
	}
}
