package set

import "platewright/plate/tree"

// set reads the whole document of version 1.
func (r *reader) set(s *Set, root *tree.Node) {
	skip := func(*tree.Place, *tree.Node) {}
	r.Object(nil, root,
		tree.Must("format", skip), tree.Must("version", skip), // looked at before
		tree.Must("name", r.Text(&s.Name)),
		tree.May("note", r.Text(&s.Note)),
		tree.Must("parts", list(r, &s.Parts, r.part)),
		tree.May("cross_members", list(r, &s.CrossMembers, r.crossMember)),
		tree.May("wheels", list(r, &s.Wheels, r.wheel)),
		tree.May("ground", r.group(
			tree.May("height_mm", r.Float(&s.Ground.Height)),
			tree.May("ride", r.ref(&s.Ground.Ride)))),
		tree.May("steering", r.group(
			tree.Must("lower", r.ref(&s.Steering.Lower)),
			tree.May("upper", r.ref(&s.Steering.Upper)),
			tree.May("angle_deg", r.Float(&s.Steering.AngleDeg)))),
		tree.May("settings", list(r, &s.Settings, r.setting)),
		tree.May("sheet", r.group(
			tree.Must("length_mm", r.Float(&s.Sheet.Length)),
			tree.Must("width_mm", r.Float(&s.Sheet.Width)),
			tree.May("edge_mm", r.Float(&s.Sheet.Edge)),
			tree.May("gap_mm", r.Float(&s.Sheet.Gap)),
			tree.May("grain", r.Flag(&s.Sheet.Grain)))),
	)
}

func (r *reader) part(p *Part) tree.Read {
	return r.group(
		tree.Must("name", r.Text(&p.Name)),
		tree.Must("file", r.Text(&p.File)),
		tree.May("revision", r.Text(&p.Revision)),
		tree.Must("quantity", r.count(&p.Quantity)),
		tree.May("hand", choice(r, &p.Hand, Left, Right)),
		tree.May("place", r.group(
			tree.May("x_mm", r.Float(&p.Place.X)),
			tree.May("y_mm", r.Float(&p.Place.Y)),
			tree.May("angle_deg", r.Float(&p.Place.AngleDeg)),
			tree.May("mirrored", r.Flag(&p.Place.Mirrored)))),
		tree.May("carried", r.group(
			tree.Must("by", r.Text(&p.Carried.By)),
			tree.Must("feature", r.feature(&p.Carried.Feature)),
			tree.Must("own", r.feature(&p.Carried.Own)))),
	)
}

func (r *reader) ref(dst *Ref) tree.Read {
	return r.group(tree.Must("part", r.Text(&dst.Part)), tree.Must("feature", r.feature(&dst.Feature)))
}

func (r *reader) crossMember(c *CrossMember) tree.Read {
	return r.group(
		tree.Must("name", r.Text(&c.Name)),
		tree.Must("from", r.ref(&c.From)),
		tree.Must("to", r.ref(&c.To)),
		tree.Must("length_mm", r.Float(&c.Length)),
		tree.Must("diameter_mm", r.Float(&c.Diameter)),
		tree.May("inside_diameter_mm", r.Float(&c.Inside)))
}

func (r *reader) wheel(w *Wheel) tree.Read {
	return r.group(
		tree.Must("name", r.Text(&w.Name)),
		tree.Must("role", choice(r, &w.Role, Front, Rear)),
		tree.Must("axle", r.ref(&w.Axle)),
		tree.Must("loaded_radius_mm", r.Float(&w.Radius)))
}

func (r *reader) setting(s *Setting) tree.Read {
	return r.group(tree.Must("name", r.Text(&s.Name)), tree.Must("values", list(r, &s.Values, r.value)))
}

func (r *reader) value(v *Value) tree.Read {
	return r.group(
		tree.Must("part", r.Text(&v.Adjuster.Part)),
		tree.Must("feature", r.feature(&v.Adjuster.Feature)),
		tree.May("angle_deg", r.Float(&v.AngleDeg)),
		tree.May("position_mm", r.Float(&v.Position)))
}
