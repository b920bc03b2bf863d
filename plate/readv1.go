package plate

// The words of version 1, and those kept for later versions.
var (
	outlineKinds = []string{"drawn"}
	gridKinds    = []string{"isogrid"}
	holeKinds    = []string{string(Clearance), string(Tapped)}
	serieses     = []string{string(Fine), string(Medium), string(Coarse)}
	sides        = []string{string(Top), string(Bottom), string(Through)}
	faces        = []string{string(AsSupplied), string(Machined)}
	quantities   = []string{string(MassKG), string(CycleMin), string(BuyToFly), string(SectionEI)}
	senses       = []string{string(AtMost), string(AtLeast)}
	axes         = []string{string(AxisX), string(AxisY)}

	laterOutlineKinds = []string{"wrapped"}
	laterGridKinds    = []string{"orthogrid", "spokes", "parallel"}
	laterHoleKinds    = []string{"reamed", "counterbored", "countersunk"}
)

// optional reads into a pointer, so that an absent key stays nil.
func optional[T any](dst **T, into func(*T) read) read {
	return func(at *place, n *node) {
		v := new(T)
		into(v)(at, n)
		*dst = v
	}
}

// listOf reads a list of at most the given number of entries, which one reads one at a time.
func listOf[T any](r *reader, dst *[]T, most int, one func(*T) read) read {
	return func(at *place, n *node) {
		switch {
		case n.kind != listNode:
			r.bad(at, n, "found %s where a list should be", n.show())
		case len(n.items) > most:
			r.bad(at, n, "%d entries; at most %d are possible here: remove some, or split the plate", len(n.items), most)
		default:
			*dst = make([]T, len(n.items))
			for i := range n.items {
				one(&(*dst)[i])(&place{up: at, index: i}, &n.items[i])
			}
		}
	}
}

func (r *reader) fileV1(root *node) *fileV1 {
	f := &fileV1{}
	r.object(nil, root,
		must("format", r.text(&f.Format)),
		must("version", func(*place, *node) { f.Version = 1 }),
		must("name", r.text(&f.Name)),
		may("note", r.text(&f.Note)),
		must("next_id", r.id(&f.NextID)),
		must("stock", r.stockV1(&f.Stock)),
		must("outline", r.outlineV1(&f.Outline)),
		may("rim_mm", r.float(&f.Rim)),
		may("bores", listOf(r, &f.Bores, maxBores, r.boreV1)),
		may("holes", listOf(r, &f.Holes, maxHoles, r.holeV1)),
		may("bolt_circles", listOf(r, &f.Circles, maxCircles, r.circleV1)),
		may("ribs", listOf(r, &f.Ribs, maxRibs, r.ribV1)),
		may("grids", listOf(r, &f.Grids, maxGrids, r.gridV1)),
		may("pockets", listOf(r, &f.Pockets, maxPockets, r.pocketV1)),
		may("cut_lines", listOf(r, &f.CutLines, maxCutLines, r.cutLineV1)),
		may("targets", listOf(r, &f.Targets, maxTargets, r.targetV1)),
		must("machining", r.machiningV1(&f.Machining)),
	)
	return f
}

func (r *reader) stockV1(s *stockV1) read {
	return func(at *place, n *node) {
		s.Top, s.Bottom = string(AsSupplied), string(AsSupplied)
		r.object(at, n,
			must("material", r.materialV1(&s.Material)),
			must("nominal_mm", r.float(&s.Nominal)),
			may("finished_mm", optional(&s.Finished, r.float)),
			may("top_face", r.choice(&s.Top, faces, nil)),
			may("bottom_face", r.choice(&s.Bottom, faces, nil)),
			must("blank", r.blankV1(&s.Blank)),
		)
	}
}

func (r *reader) materialV1(m *materialV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("alloy", r.text(&m.Alloy)),
			must("temper", r.text(&m.Temper)),
			must("density_kg_m3", r.float(&m.Density)),
			must("youngs_modulus_mpa", r.float(&m.Young)),
			must("poisson_ratio", r.float(&m.Poisson)),
			must("proof_stress_mpa", r.float(&m.Proof)),
			must("ultimate_strength_mpa", r.float(&m.Ultimate)),
			must("machining_group", r.text(&m.Group)),
			may("source", r.text(&m.Source)),
		)
	}
}

// either reads an object that has the members of a when it has the key of a, else those of b; common ones come first.
func (r *reader) either(at *place, n *node, key string, a, b []member, common ...member) {
	if n.kind == objectNode && n.get(key) != nil {
		r.object(at, n, append(common, a...)...)
		return
	}
	r.object(at, n, append(common, b...)...)
}

func (r *reader) blankV1(b *blankV1) read {
	return func(at *place, n *node) {
		if n.kind == objectNode && len(n.keys) == 0 {
			r.bad(at, n, `empty; give "margin_mm", or "x_mm", "y_mm", "width_mm" and "height_mm"`)
			return
		}
		r.either(at, n, "margin_mm",
			[]member{must("margin_mm", optional(&b.Margin, r.float))},
			[]member{
				must("x_mm", optional(&b.X, r.float)), must("y_mm", optional(&b.Y, r.float)),
				must("width_mm", optional(&b.Width, r.float)), must("height_mm", optional(&b.Height, r.float)),
			})
	}
}

func (r *reader) outlineV1(o *outlineV1) read {
	return func(at *place, n *node) {
		if kind := n.get("kind"); kind != nil && kind.text != "drawn" { // its other keys are not those of a drawn one
			r.choice(&o.Kind, outlineKinds, laterOutlineKinds)(&place{up: at, key: "kind"}, kind)
			return
		}
		r.object(at, n,
			must("kind", r.choice(&o.Kind, outlineKinds, laterOutlineKinds)),
			must("corners", listOf(r, &o.Corners, maxCorners, r.cornerV1)),
		)
	}
}

func (r *reader) cornerV1(c *cornerV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("x_mm", r.float(&c.X)),
			must("y_mm", r.float(&c.Y)),
			may("radius_mm", r.float(&c.Radius)),
			may("through_mm", optional(&c.Through, func(p *[2]float64) read { return r.pair(&p[0], &p[1]) })),
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
		)
	}
}

func (r *reader) formV1(f *formV1) []member {
	f.Side = string(Through)
	return []member{
		must("kind", r.choice(&f.Kind, holeKinds, laterHoleKinds)),
		must("size", r.text(&f.Size)),
		may("series", r.choice(&f.Series, serieses, nil)),
		may("side", r.choice(&f.Side, sides, nil)),
		may("depth_mm", r.float(&f.Depth)),
		may("boss_mm", r.float(&f.Boss)),
	}
}

func (r *reader) holeV1(h *holeV1) read {
	return func(at *place, n *node) {
		r.object(at, n, append(r.formV1(&h.formV1),
			must("id", r.id(&h.ID)),
			must("name", r.text(&h.Name)),
			must("x_mm", r.float(&h.X)),
			must("y_mm", r.float(&h.Y)),
		)...)
	}
}

func (r *reader) circleV1(c *circleV1) read {
	return func(at *place, n *node) {
		r.either(at, n, "bore",
			[]member{must("bore", optional(&c.Bore, r.id))},
			[]member{must("x_mm", optional(&c.X, r.float)), must("y_mm", optional(&c.Y, r.float))},
			append(r.formV1(&c.formV1),
				must("id", r.id(&c.ID)),
				must("name", r.text(&c.Name)),
				must("diameter_mm", r.float(&c.Diameter)),
				must("count", r.count(&c.Count)),
				may("start_deg", r.float(&c.Start)),
			)...)
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
			must("width_mm", r.float(&b.Width)),
		)
	}
}

func (r *reader) gridV1(g *gridV1) read {
	return func(at *place, n *node) {
		if kind := n.get("kind"); kind != nil && kind.text != "isogrid" { // its other keys are not those of an isogrid
			r.choice(&g.Kind, gridKinds, laterGridKinds)(&place{up: at, key: "kind"}, kind)
			return
		}
		r.object(at, n,
			must("id", r.id(&g.ID)),
			must("name", r.text(&g.Name)),
			must("kind", r.choice(&g.Kind, gridKinds, laterGridKinds)),
			must("pitch_mm", r.float(&g.Pitch)),
			may("angle_deg", r.float(&g.Angle)),
			must("x_mm", r.float(&g.X)),
			must("y_mm", r.float(&g.Y)),
			must("width_mm", r.float(&g.Width)),
			may("bounds", listOf(r, &g.Bounds, maxCorners, r.cornerV1)),
		)
	}
}

func (r *reader) pocketV1(k *pocketV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&k.ID)),
			must("name", r.text(&k.Name)),
			must("side", r.choice(&k.Side, sides, nil)),
			may("depth_mm", r.float(&k.Depth)),
			must("inside_corner_radius_mm", r.float(&k.Radius)),
			may("bounds", listOf(r, &k.Bounds, maxCorners, r.cornerV1)),
			must("ribs", r.ribsV1(&k.Ribs)),
			may("least_area_mm2", r.float(&k.LeastArea)),
			may("kept", listOf(r, &k.Kept, maxKept, r.anchorV1)),
		)
	}
}

func (r *reader) ribsV1(s *ribsV1) read {
	return func(at *place, n *node) {
		switch {
		case n.kind == stringNode && n.text == "all":
			s.all = true
		case n.kind == listNode:
			listOf(r, &s.ids, maxRibs, r.id)(at, n)
		default:
			r.bad(at, n, `found %s where "all" or a list of ids should be`, n.show())
		}
	}
}

func (r *reader) anchorV1(a *anchorV1) read {
	return func(at *place, n *node) {
		r.either(at, n, "grid",
			[]member{
				must("grid", optional(&a.Grid, r.id)),
				must("i", optional(&a.I, r.count)), must("j", optional(&a.J, r.count)), must("k", optional(&a.K, r.count)),
			},
			[]member{must("x_mm", optional(&a.X, r.float)), must("y_mm", optional(&a.Y, r.float))})
	}
}

func (r *reader) cutLineV1(c *cutLineV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("id", r.id(&c.ID)),
			must("name", r.text(&c.Name)),
			must("from_mm", r.pair(&c.From[0], &c.From[1])),
			must("to_mm", r.pair(&c.To[0], &c.To[1])),
		)
	}
}

func (r *reader) targetV1(t *targetV1) read {
	return func(at *place, n *node) {
		if q := n.get("quantity"); q != nil {
			t.Quantity = q.text // first, since it decides the key of the value
		}
		key, field := t.value()
		r.object(at, n,
			must("id", r.id(&t.ID)),
			must("name", r.text(&t.Name)),
			must("quantity", r.choice(&t.Quantity, quantities, nil)),
			may("cut_line", r.id(&t.CutLine)),
			must("sense", r.choice(&t.Sense, senses, nil)),
			must(key, optional(field, r.float)),
		)
	}
}

func (r *reader) machiningV1(m *machiningV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("work_zero_mm", r.pair(&m.Zero[0], &m.Zero[1])),
			must("turn_axis", r.choice(&m.Turn, axes, nil)),
			must("shop", r.text(&m.Shop)),
			may("shop_hash", r.text(&m.ShopHash)),
		)
	}
}
