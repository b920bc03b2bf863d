package plate

func (p *placeV1) place() Place {
	if p == nil {
		return Place{}
	}
	from, to := or(p.From, [2]float64{}), or(p.To, [2]float64{})
	return Place{ID(or(p.Feature, 0)), p.From != nil, from[0], from[1], to[0], to[1], corners(p.Bounds), Side(p.Side)}
}

func (s supportV1) support() Support {
	out := Support{ID: ID(s.ID), Name: s.Name, Kind: SupportKind(s.Kind), On: s.On.place(), DirectionDeg: s.Direction}
	k, turning := or(s.Linear, [3]float64{}), or(s.Turning, [3]float64{})
	copy(out.Stiffness[:3], k[:])
	copy(out.Stiffness[3:], turning[:])
	return out
}

func (l loadV1) load() Load {
	out := Load{
		ID: ID(l.ID), Name: l.Name, Kind: LoadKind(l.Kind), On: l.On.place(), Force: or(l.Force, or(l.Acceleration, [3]float64{})),
		Moment: or(l.Moment, [3]float64{}), At: or(l.At, [3]float64{}), Clamp: or(l.Clamp, 0), Bearing: or(l.Bearing, 0), Friction: l.Friction,
		Temperature: or(l.Temperature, 0),
	}
	if l.Height != nil {
		out.At[2] = *l.Height
	}
	return out
}

func (c caseV1) loadCase() LoadCase {
	return LoadCase{
		ID: ID(c.ID), Name: c.Name, Kind: CaseKind(c.Kind), Factor: c.Factor, Origin: c.Origin.origin(),
		Loads:    each(c.Loads, func(l loadFactorV1) LoadFactor { return LoadFactor{ID(l.Load), l.Factor} }),
		Supports: each(c.Supports, toID), Setting: ID(c.Setting), Mirrored: c.Mirrored, Cycles: c.Cycles,
	}
}

func (o originV1) origin() Origin {
	return Origin{
		Kind: OriginKind(o.Kind), Text: o.Text, Event: Event(o.Event), Mass: or(o.Mass, 0), Wheelbase: o.Wheelbase, CentreX: o.CentreX,
		CentreHeight: o.Height, G: or(o.G, 0), Share: or(o.Share, 0),
	}
}

func (m machiningV1) machining() Machining {
	return Machining{
		ZeroX: m.Zero[0], ZeroY: m.Zero[1], Turn: Axis(m.Turn), Shop: m.Shop, ShopHash: m.ShopHash,
		Changes: each(m.Changes, changeV1.change), Holding: each(m.Holding, holdingV1.holding),
	}
}

func (c changeV1) change() OperationChange {
	out := OperationChange{
		ID: ID(c.ID), Class: c.Class, Feature: ID(c.Feature), Leave: c.Leave, Where: c.Where, Tool: c.Tool, Order: int(c.Order),
		Minutes: c.Minutes, Note: c.Note,
	}
	if c.Cell != nil {
		out.HasCell, out.At = true, c.Cell.anchor()
	}
	return out
}

func (h holdingV1) holding() Holding {
	return Holding{
		ID: ID(h.ID), SetUp: int(h.SetUp), Kind: HoldingKind(h.Kind), Feature: ID(h.Feature),
		X: or(h.X, 0), Y: or(h.Y, 0), Width: or(h.Width, 0), Height: or(h.Height, 0), AngleDeg: h.Angle,
	}
}

func (p *priceV1) price() Price {
	if p == nil {
		return Price{}
	}
	return Price{each(p.Batches, func(n int64) int { return int(n) }), int(p.PerSet), p.BoughtIn}
}
