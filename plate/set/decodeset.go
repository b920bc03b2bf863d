package set

// set reads the whole document of version 1.
func (r *reader) set(s *Set, root *node) {
	skip := func(*where, *node) {}
	r.object(nil, root,
		must("format", skip), must("version", skip), // looked at before
		must("name", r.text(&s.Name)),
		may("note", r.text(&s.Note)),
		must("parts", list(r, &s.Parts, r.part)),
		may("cross_members", list(r, &s.CrossMembers, r.crossMember)),
		may("wheels", list(r, &s.Wheels, r.wheel)),
		may("ground", func(at *where, n *node) {
			r.object(at, n, may("height_mm", r.float(&s.Ground.Height)), may("ride", r.ref(&s.Ground.Ride)))
		}),
		may("steering", func(at *where, n *node) {
			r.object(at, n, must("lower", r.ref(&s.Steering.Lower)), may("upper", r.ref(&s.Steering.Upper)), may("angle_deg", r.float(&s.Steering.AngleDeg)))
		}),
		may("settings", list(r, &s.Settings, r.setting)),
		may("sheet", func(at *where, n *node) {
			r.object(at, n, must("length_mm", r.float(&s.Sheet.Length)), must("width_mm", r.float(&s.Sheet.Width)),
				may("edge_mm", r.float(&s.Sheet.Edge)), may("gap_mm", r.float(&s.Sheet.Gap)), may("grain", r.boolean(&s.Sheet.Grain)))
		}),
	)
}

func (r *reader) part(at *where, n *node, p *Part) {
	r.object(at, n,
		must("name", r.text(&p.Name)),
		must("file", r.text(&p.File)),
		may("revision", r.text(&p.Revision)),
		must("quantity", r.whole(-1e9, 1e9, "a whole number", func(v int64) { p.Quantity = int(v) })),
		may("hand", choice(r, &p.Hand, Left, Right)),
		may("place", func(at *where, n *node) {
			r.object(at, n, may("x_mm", r.float(&p.Place.X)), may("y_mm", r.float(&p.Place.Y)), may("angle_deg", r.float(&p.Place.AngleDeg)),
				may("mirrored", r.boolean(&p.Place.Mirrored)))
		}),
		may("carried", func(at *where, n *node) {
			r.object(at, n, must("by", r.text(&p.Carried.By)), must("feature", r.feature(&p.Carried.Feature)), must("own", r.feature(&p.Carried.Own)))
		}),
	)
}

func (r *reader) ref(dst *Ref) read {
	return func(at *where, n *node) {
		r.object(at, n, must("part", r.text(&dst.Part)), must("feature", r.feature(&dst.Feature)))
	}
}

func (r *reader) crossMember(at *where, n *node, c *CrossMember) {
	r.object(at, n,
		must("name", r.text(&c.Name)), must("from", r.ref(&c.From)), must("to", r.ref(&c.To)), must("length_mm", r.float(&c.Length)),
		must("diameter_mm", r.float(&c.Diameter)), may("inside_diameter_mm", r.float(&c.Inside)))
}

func (r *reader) wheel(at *where, n *node, w *Wheel) {
	r.object(at, n,
		must("name", r.text(&w.Name)), must("role", choice(r, &w.Role, Front, Rear)), must("axle", r.ref(&w.Axle)),
		must("loaded_radius_mm", r.float(&w.Radius)))
}

func (r *reader) setting(at *where, n *node, s *Setting) {
	r.object(at, n, must("name", r.text(&s.Name)), must("values", list(r, &s.Values, func(at *where, n *node, v *Value) {
		r.object(at, n, must("part", r.text(&v.Adjuster.Part)), must("feature", r.feature(&v.Adjuster.Feature)),
			may("angle_deg", r.float(&v.AngleDeg)), may("position_mm", r.float(&v.Position)))
	})))
}
