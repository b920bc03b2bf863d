package plate

// The numbers of supports, loads, cases, the plan and the price; see numbers.go.

func (v numberVisitor) loads() {
	for _, s := range v.p.Supports {
		n := number{FeatureRef: s.ref()}
		v.on(n, s.On, s.Kind != Free)
		switch s.Kind {
		case Sliding:
			v.one(n, "the direction", "°", s.DirectionDeg, turnDeg)
		case Spring:
			v.three(n, "the stiffness", "N/mm", s.Stiffness[:3], springRate)
			v.three(n, "the turning stiffness", "N·mm/rad", s.Stiffness[3:], springRate)
		}
	}
	for _, l := range v.p.Loads {
		v.load(l)
	}
	for _, c := range v.p.Cases {
		n := number{FeatureRef: c.ref()}
		v.one(n, "the factor", "", c.Factor, caseFactor)
		v.one(n, "the number of cycles", "", c.Cycles, cycles)
		if o := c.Origin; o.Kind == Worked {
			v.one(n, "the machine's mass", "kg", o.Mass, vehicleMass)
			v.one(n, "the wheelbase", "mm", o.Wheelbase, vehicleLength)
			v.one(n, "the centre of mass behind the front axle", "mm", o.CentreX, centreX)
			v.one(n, "the height of the centre of mass", "mm", o.CentreHeight, vehicleLength)
			v.one(n, "the acceleration or shock factor", "", o.G, shock)
			v.one(n, "the plate's share", "", o.Share, shareOf)
		}
		for i, l := range c.Loads {
			n.index = i + 1
			v.one(n, "the factor of load", "", l.Factor, loadFactor)
		}
	}
}

// on visits the place of a support or load; there is none where it acts on the whole plate.
func (v numberVisitor) on(n number, p Place, placed bool) {
	switch {
	case !placed || p.Feature != 0:
	case p.OnEdge:
		v.place(n, "the first end of the edge", p.X1, p.Y1)
		v.place(n, "the second end of the edge", p.X2, p.Y2)
	default:
		n.label = boundaryCorner
		v.path(n, p.Bounds, outlineRound)
	}
}

// three visits the parts of a vector along, or about, x, y and z.
func (v numberVisitor) three(n number, label, unit string, values []float64, l limit) {
	for i, of := range [...]string{"x of ", "y of ", "z of "} {
		n.of = of
		v.one(n, label, unit, values[i], l)
	}
}

func (v numberVisitor) load(l Load) {
	n := number{FeatureRef: l.ref()}
	v.on(n, l.On, l.Kind.placed())
	switch l.Kind {
	case Acceleration:
		v.three(n, "the acceleration", "g", l.Force[:], gs)
	case BoreForce, RemoteForce, LineForce, AreaForce:
		v.three(n, "the force", "N", l.Force[:], force)
	case Temperature:
		v.one(n, "the temperature", "K", l.Temperature, temperature)
	case ClampForce:
		v.one(n, "the preload", "N", l.Clamp, clampForce)
		v.one(n, "the outer diameter of the clamped annulus", "mm", l.Bearing, diameter)
		v.one(n, "the friction of the clamped joint", "", l.Friction, friction)
	}
	switch l.Kind {
	case BoreForce:
		v.one(n, "the height of the resultant", "mm", l.At[2], remotePlace)
	case RemoteForce:
		v.three(n, "the point", "mm", l.At[:], remotePlace)
	}
	if l.Kind == Moment || l.Kind == RemoteForce {
		v.three(n, "the moment", "N·mm", l.Moment[:], moment)
	}
}

func (v numberVisitor) machining() {
	m, n := v.p.Machining, onStage(StageMachining)
	v.place(n, "the work zero", m.ZeroX, m.ZeroY)
	for i, c := range m.Changes {
		n := onStage(StageMachining)
		n.index = i + 1
		v.one(n, "the places moved of change", "", float64(c.Order), placesMoved)
		v.one(n, "the time of change", "min", c.Minutes, minutes)
		if c.HasCell {
			v.anchor(n, "the cell of change", c.At)
		}
	}
	for i, h := range m.Holding {
		n := onStage(StageMachining)
		n.index = i + 1
		v.one(n, "the set-up of holding", "", float64(h.SetUp), setUp)
		if h.Kind == Clamp {
			v.place(n, "the centre of holding", h.X, h.Y)
			v.one(n, "the width of holding", "mm", h.Width, ribWidth)
			v.one(n, "the height of holding", "mm", h.Height, ribWidth)
			v.one(n, "the angle of holding", "°", h.AngleDeg, turnDeg)
		}
	}
	for i, b := range v.p.Price.Batches {
		n := onStage(StagePrice)
		n.index = i + 1
		v.one(n, "the batch", "", float64(b), batch)
	}
	v.one(onStage(StagePrice), "the number per set", "", float64(v.p.Price.PerSet), perSet)
}
