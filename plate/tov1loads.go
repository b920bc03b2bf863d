package plate

func placeOf(p Place) *placeV1 {
	switch {
	case p.Feature != 0:
		return &placeV1{Feature: idPtr(p.Feature)}
	case p.OnEdge:
		return &placeV1{From: pairPtr(p.X1, p.Y1), To: pairPtr(p.X2, p.Y2)}
	}
	return &placeV1{Bounds: cornersOf(p.Bounds), Side: string(p.Side)}
}

func triple(v []float64) *[3]float64 { return &[3]float64{plus(v[0]), plus(v[1]), plus(v[2])} }

func supportOf(s Support) supportV1 {
	out := supportV1{ID: int64(s.ID), Name: s.Name, Kind: string(s.Kind)}
	if s.Kind != Free {
		out.On = placeOf(s.On)
	}
	switch s.Kind {
	case Sliding:
		out.Direction = plus(s.DirectionDeg)
	case Spring:
		out.Linear, out.Turning = triple(s.Stiffness[:3]), triple(s.Stiffness[3:])
	}
	return out
}

func loadOf(l Load) loadV1 {
	out := loadV1{ID: int64(l.ID), Name: l.Name, Kind: string(l.Kind)}
	if l.Kind.placed() {
		out.On = placeOf(l.On)
	}
	switch l.Kind {
	case BoreForce:
		out.Force, out.Height = triple(l.Force[:]), ptr(l.At[2])
	case Moment:
		out.Moment = triple(l.Moment[:])
	case RemoteForce:
		out.Force, out.At = triple(l.Force[:]), triple(l.At[:])
		if l.Moment != [3]float64{} {
			out.Moment = triple(l.Moment[:])
		}
	case ClampForce:
		out.Clamp, out.Bearing = ptr(l.Clamp), ptr(l.Bearing)
		out.Friction = l.Friction
	case LineForce, AreaForce:
		out.Force = triple(l.Force[:])
	case Acceleration:
		out.Acceleration = triple(l.Force[:])
	case Temperature:
		out.Temperature = ptr(l.Temperature)
	}
	return out
}

// placed reports whether a load of the kind acts at a place, and not on the whole plate.
func (k LoadKind) placed() bool { return k != Acceleration && k != Temperature }

func caseOf(c LoadCase) caseV1 {
	return caseV1{
		ID: int64(c.ID), Name: c.Name, Kind: string(c.Kind), Factor: plus(c.Factor), Origin: originOf(c.Origin),
		Loads:    written(each(c.Loads, func(l LoadFactor) loadFactorV1 { return loadFactorV1{int64(l.Load), plus(l.Factor)} })),
		Supports: each(c.Supports, fromID), Setting: int64(c.Setting), Mirrored: c.Mirrored, Cycles: plus(c.Cycles),
	}
}

func originOf(o Origin) originV1 {
	out := originV1{Kind: string(o.Kind), Text: o.Text}
	if o.Kind == Worked {
		out.Event, out.Mass, out.G, out.Share = string(o.Event), ptr(o.Mass), ptr(o.G), ptr(o.Share)
		out.Wheelbase, out.CentreX, out.Height = plus(o.Wheelbase), plus(o.CentreX), plus(o.CentreHeight)
	}
	return out
}

func machiningOf(m Machining) machiningV1 {
	return machiningV1{
		[2]float64{plus(m.ZeroX), plus(m.ZeroY)}, string(m.Turn), m.Shop, m.ShopHash, each(m.Changes, changeV1Of), each(m.Holding, holdingOf),
	}
}

func changeV1Of(c OperationChange) changeV1 {
	out := changeV1{
		ID: int64(c.ID), Class: c.Class, Feature: int64(c.Feature), Leave: c.Leave, Where: c.Where, Tool: c.Tool, Order: int64(c.Order),
		Minutes: plus(c.Minutes), Note: c.Note,
	}
	if c.HasCell {
		a := anchorOf(c.At)
		out.Cell = &a
	}
	return out
}

func holdingOf(h Holding) holdingV1 {
	out := holdingV1{ID: int64(h.ID), SetUp: int64(h.SetUp), Kind: string(h.Kind)}
	switch h.Kind {
	case Screw:
		out.Feature = int64(h.Feature)
	case Clamp:
		out.X, out.Y, out.Width, out.Height, out.Angle = ptr(h.X), ptr(h.Y), ptr(h.Width), ptr(h.Height), plus(h.AngleDeg)
	}
	return out
}

func priceOf(p Price) *priceV1 {
	if len(p.Batches) == 0 && p.PerSet == 0 && p.BoughtIn == "" {
		return nil
	}
	return &priceV1{each(p.Batches, func(n int) int64 { return int64(n) }), int64(p.PerSet), p.BoughtIn}
}
