package plate

import "slices"

// The readers of supports, loads and cases, and of the plan and the price.

// placeV1 reads a place; the key that stands there says which sort it is.
func (r *reader) placeV1(p *placeV1) read {
	return func(at *place, n *node) {
		switch {
		case n.get("feature") != nil:
			r.object(at, n, must("feature", optional(&p.Feature, r.id)))
		case n.get("from_mm") != nil:
			r.object(at, n, must("from_mm", optional(&p.From, r.duo)), must("to_mm", optional(&p.To, r.duo)))
		case n.kind == objectNode && len(n.keys) == 0:
			r.bad(at, n, `empty; give "feature", or "from_mm" and "to_mm" on the outline, or "bounds" and "side"`)
		default:
			r.object(at, n,
				must("bounds", listOf(r, &p.Bounds, maxCorners, r.cornerV1)), must("side", r.choice(&p.Side, oneSide)))
		}
	}
}

func (r *reader) supportV1(s *supportV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, supportKinds) {
			return
		}
		kind := SupportKind(wordOf(n, "kind"))
		r.object(at, n, slices.Concat(
			[]member{must("id", r.id(&s.ID)), must("name", r.text(&s.Name)), must("kind", r.choice(&s.Kind, supportKinds))},
			only(kind != Free, must("on", optional(&s.On, r.placeV1))),
			only(kind == Sliding, may("direction_deg", r.float(&s.Direction))),
			only(kind == Spring,
				must("stiffness_n_per_mm", optional(&s.Linear, r.triple)), must("stiffness_n_mm_per_rad", optional(&s.Turning, r.triple))),
		)...)
	}
}

func (r *reader) loadV1(l *loadV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, loadKinds) {
			return
		}
		members := []member{must("id", r.id(&l.ID)), must("name", r.text(&l.Name)), must("kind", r.choice(&l.Kind, loadKinds))}
		kind := LoadKind(wordOf(n, "kind"))
		members = append(members, only(kind.placed(), must("on", optional(&l.On, r.placeV1)))...)
		force := must("force_n", optional(&l.Force, r.triple))
		switch kind {
		case BoreForce:
			members = append(members, force, must("z_mm", optional(&l.Height, r.float)))
		case Moment:
			members = append(members, must("moment_n_mm", optional(&l.Moment, r.triple)))
		case RemoteForce:
			members = append(members, force, must("at_mm", optional(&l.At, r.triple)), may("moment_n_mm", optional(&l.Moment, r.triple)))
		case ClampForce:
			members = append(members, must("clamp_n", optional(&l.Clamp, r.float)), must("bearing_diameter_mm", optional(&l.Bearing, r.float)),
				may("friction", r.float(&l.Friction)))
		case LineForce, AreaForce:
			members = append(members, force)
		case Acceleration:
			members = append(members, must("acceleration_g", optional(&l.Acceleration, r.triple)))
		case Temperature:
			members = append(members, must("temperature_k", optional(&l.Temperature, r.float)))
		}
		r.object(at, n, members...)
	}
}

func (r *reader) caseV1(c *caseV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&c.ID)),
			must("name", r.text(&c.Name)),
			must("kind", r.choice(&c.Kind, caseKinds)),
			must("factor", r.float(&c.Factor)),
			must("origin", r.originV1(&c.Origin)),
			must("loads", listOf(r, &c.Loads, maxLoads, func(l *loadFactorV1) read {
				return func(at *place, n *node) {
					r.object(at, n, must("load", r.id(&l.Load)), must("factor", r.float(&l.Factor)))
				}
			})),
			may("supports", listOf(r, &c.Supports, maxSupports, r.id)),
			may("setting", r.id(&c.Setting)),
			may("mirrored", r.flag(&c.Mirrored)),
			may("cycles", r.float(&c.Cycles)),
		)
	}
}

func (r *reader) originV1(o *originV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, originKinds) {
			return
		}
		r.object(at, n, slices.Concat(
			[]member{must("kind", r.choice(&o.Kind, originKinds)), may("text", r.text(&o.Text))},
			only(wordOf(n, "kind") == string(Worked),
				must("event", r.choice(&o.Event, events)), must("mass_kg", optional(&o.Mass, r.float)), must("g", optional(&o.G, r.float)),
				must("share", optional(&o.Share, r.float)), may("wheelbase_mm", r.float(&o.Wheelbase)),
				may("centre_x_mm", r.float(&o.CentreX)), may("centre_height_mm", r.float(&o.Height))),
		)...)
	}
}

func (r *reader) machiningV1(m *machiningV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("work_zero_mm", r.duo(&m.Zero)),
			must("turn_axis", r.choice(&m.Turn, axes)),
			must("shop", r.text(&m.Shop)),
			may("shop_hash", r.text(&m.ShopHash)),
			may("changes", listOf(r, &m.Changes, maxChanges, r.changeV1)),
			may("holding", listOf(r, &m.Holding, maxHolding, r.holdingV1)),
		)
	}
}

func (r *reader) changeV1(c *changeV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&c.ID)),
			may("class", r.text(&c.Class)),
			may("feature", r.id(&c.Feature)),
			may("cell", optional(&c.Cell, r.anchorV1)),
			may("left_out", r.flag(&c.Leave)),
			may("where", r.choice(&c.Where, places)),
			may("tool", r.text(&c.Tool)),
			may("moved", r.count(&c.Order)),
			may("time_min", r.float(&c.Minutes)),
			may("note", r.text(&c.Note)),
		)
	}
}

func (r *reader) holdingV1(h *holdingV1) read {
	return func(at *place, n *node) {
		if r.wrongKind(at, n, holdingKinds) {
			return
		}
		kind := HoldingKind(wordOf(n, "kind"))
		r.object(at, n, slices.Concat(
			[]member{must("id", r.id(&h.ID)), may("set_up", r.count(&h.SetUp)), must("kind", r.choice(&h.Kind, holdingKinds))},
			only(kind == Screw, must("feature", r.id(&h.Feature))),
			only(kind == Clamp,
				must("x_mm", optional(&h.X, r.float)), must("y_mm", optional(&h.Y, r.float)), must("width_mm", optional(&h.Width, r.float)),
				must("height_mm", optional(&h.Height, r.float)), may("angle_deg", r.float(&h.Angle))),
		)...)
	}
}

func (r *reader) priceV1(p *priceV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			may("batches", listOf(r, &p.Batches, maxBatches, r.count)),
			may("per_set", r.count(&p.PerSet)),
			may("bought_in", r.text(&p.BoughtIn)),
		)
	}
}
