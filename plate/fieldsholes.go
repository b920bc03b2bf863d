package plate

import "platewright/plate/standard"

func boreFields(p Plate, id ID) []Field {
	o := featureOwner(KindBore, id, bores, boreID)
	b, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := append(o.place(func(b *Bore) *float64 { return &b.X }, func(b *Bore) *float64 { return &b.Y }),
		o.number("diameter_mm", "diameter", "mm", diameter, func(b *Bore) *float64 { return &b.Diameter }),
		o.number("boss_mm", "boss width", "mm", keptWidth, func(b *Bore) *float64 { return &b.Boss }))
	if b.Fit == "" {
		fs = append(fs, o.number("tolerance_mm", "tolerance zone", "mm", zone, func(b *Bore) *float64 { return &b.Tolerance }))
	}
	fs = append(fs, o.words("fit", "fit", "ISO 286 class of a hole, like H7; empty for the tolerance zone", nil,
		func(_ Plate, b *Bore) string { return b.Fit },
		func(_ *Plate, b *Bore, s string) error {
			b.Fit = s
			if s != "" {
				b.Tolerance = 0 // the fit takes its place
			}
			return nil
		}))
	fs = append(fs, keywayFields(o, *b)...)
	fs = append(fs, size(o, "seats", "number of seats", maxSeats, func(b *Bore) *[]Seat { return &b.Seats }, nextSeat))
	return append(fs, entries(o, "seat", "seats", b.Seats, func(b *Bore) []Seat { return b.Seats }, seatFields)...)
}

// nextSeat is wider and less deep than the seats from the top that the bore has.
func nextSeat(p *Plate, b *Bore) Seat {
	s := Seat{Side: Top, Diameter: b.Diameter + 4, Depth: p.Stock.Thickness() / 4}
	for _, o := range b.Seats {
		if o.Side == Top {
			s.Diameter, s.Depth = max(s.Diameter, o.Diameter+4), min(s.Depth, o.Depth/2)
		}
	}
	return s
}

func keywayFields(o owner[Bore], b Bore) []Field {
	k := part(o, "keyway", "keyway.", func(b *Bore) (*Keyway, error) { return &b.Keyway, nil })
	fs := []Field{o.numberThen("keyway.width_mm", "keyway width", "mm", limit{0, keyWidth.max, false, "0 for no keyway"},
		func(b *Bore) *float64 { return &b.Keyway.Width },
		func(_ *Plate, b *Bore) {
			switch k := &b.Keyway; {
			case k.Width == 0:
				*k = Keyway{}
			case k.Height == 0: // to start from: common practice, no source; the standard's depth where it has the bore
				k.Height = k.Width * 0.4
				if s, err := standard.KeywayFor(b.Diameter); err == nil && s.Width == k.Width {
					k.Height = s.HubDepth
				}
			}
		})}
	if b.Keyway.Width == 0 {
		return fs
	}
	return append(fs,
		k.number("height_mm", "keyway height", "mm", keyHeight, func(k *Keyway) *float64 { return &k.Height }),
		k.number("angle_deg", "keyway angle", "°", turnDeg, func(k *Keyway) *float64 { return &k.AngleDeg }))
}

// noBearing and notSaid stand for an empty word.
const (
	noBearing = "none"
	notSaid   = "not said"
)

func seatFields(o owner[Seat], s Seat) []Field {
	word := func(w, none string) string { return orDefault(w, none) }
	choices := []string{noBearing}
	for _, b := range standard.Bearings() {
		choices = append(choices, b.Name)
	}
	if s.Bearing != "" {
		if b, err := standard.Bearing(s.Bearing); err == nil && b.Name != s.Bearing {
			choices = append(choices, s.Bearing)
		}
	}
	fs := []Field{
		o.choose("side", "side", "the face that it is cut from", oneSide, func(s *Seat) string { return string(s.Side) },
			func(_ *Plate, s *Seat, w string) { s.Side = Side(w) }),
		o.words("bearing", "bearing", "sizes by ISO 15 and ISO 3245; the seat takes its diameter", choices,
			func(_ Plate, s *Seat) string { return word(s.Bearing, noBearing) },
			func(_ *Plate, s *Seat, w string) error {
				s.Bearing = unless(w, noBearing)
				if b, err := standard.Bearing(s.Bearing); err == nil {
					s.Diameter = b.Outer
				}
				return nil
			}),
		o.numberThen("diameter_mm", "diameter", "mm", diameter, func(s *Seat) *float64 { return &s.Diameter },
			func(_ *Plate, s *Seat) { s.Bearing = "" }),
		o.number("depth_mm", "depth", "mm", stepDepth, func(s *Seat) *float64 { return &s.Depth }),
		o.fit("fit", "fit", func(s *Seat) *string { return &s.Fit }),
		o.choose("outer_ring_load", "load on the outer ring", "a ring that the load turns on needs a tight fit", append([]string{notSaid}, ringLoads...),
			func(s *Seat) string { return word(string(s.Ring), notSaid) },
			func(_ *Plate, s *Seat, w string) { s.Ring = RingLoad(unless(w, notSaid)) }),
		o.numberThen("groove.width_mm", "groove width", "mm", limit{0, keyWidth.max, false, "0 for no groove"},
			func(s *Seat) *float64 { return &s.Groove.Width }, func(_ *Plate, s *Seat) { s.startGroove() }),
	}
	if s.Groove.Width == 0 {
		return fs
	}
	return append(fs,
		o.number("groove.diameter_mm", "groove diameter", "mm", diameter, func(s *Seat) *float64 { return &s.Groove.Diameter }),
		o.number("groove.at_mm", "groove from the face", "mm", grooveAt, func(s *Seat) *float64 { return &s.Groove.At }))
}

// startGroove gives a new groove the diameter of the ring's standard, or 2 mm more than the seat, and a place in the middle.
func (s *Seat) startGroove() {
	g := &s.Groove
	switch {
	case g.Width == 0:
		*g = Groove{}
	case g.Diameter == 0:
		g.Diameter, g.At = s.Diameter+2, max(0, (s.Depth-g.Width)/2)
		if r, exact, err := standard.RingFor(s.Diameter); err == nil && exact {
			g.Diameter = r.Groove
		}
	}
}

func holeFields(p Plate, id ID) []Field {
	o := featureOwner(KindHole, id, holes, holeID)
	return append(o.place(func(h *Hole) *float64 { return &h.X }, func(h *Hole) *float64 { return &h.Y }),
		formFields(o, p, "diameter_mm", func(h *Hole) *HoleForm { return &h.HoleForm })...)
}

func circleFields(p Plate, id ID) []Field {
	o := featureOwner(KindCircle, id, circles, circleID)
	return ringOfHoles(o, p, func(c *BoltCircle) *BoltCircle { return c })
}

// ringOfHoles are the fields of a bolt circle, or of that of a clocked ring.
func ringOfHoles[T any](o owner[T], p Plate, circle func(*T) *BoltCircle) []Field {
	v, err := o.find(&p)
	if err != nil {
		return nil
	}
	now := circle(v)
	fs := []Field{o.words("bore", "centre", "a bore, or a place of its own", append([]string{fromPlace}, namesOf(p, KindBore)...),
		func(p Plate, v *T) string { return nameOfID(p, circle(v).Bore, fromPlace) },
		func(p *Plate, v *T, s string) error {
			c := circle(v)
			if s == fromPlace {
				c.X, c.Y = p.CircleCentre(*c)
				c.Bore = 0
				return nil
			}
			bore, err := idOfName(*p, s, KindBore)
			c.Bore = bore
			return err
		})}
	if now.Bore == 0 {
		fs = append(fs, o.place(func(v *T) *float64 { return &circle(v).X }, func(v *T) *float64 { return &circle(v).Y })...)
	}
	fs = append(fs, o.number("diameter_mm", "diameter", "mm", diameter, func(v *T) *float64 { return &circle(v).Diameter }))
	fs = append(fs, spacing(o, "", len(now.Angles) > 0, func(v *T) *int { return &circle(v).Count },
		func(v *T) *float64 { return &circle(v).StartDeg }, func(v *T) *[]float64 { return &circle(v).Angles })...)
	return append(fs, formFields(o, p, "hole_diameter_mm", func(v *T) *HoleForm { return &circle(v).HoleForm })...)
}

// spacing are the fields of how many holes stand on a circle and where.
func spacing[T any](o owner[T], prefix string, uneven bool, count func(*T) *int, start func(*T) *float64, angles func(*T) *[]float64) []Field {
	var fs []Field
	if !uneven {
		fs = append(fs, o.count(prefix+"count", "number of holes", circleCount, count))
	}
	return append(fs,
		o.number(prefix+"start_deg", "angle of first hole", "°", turnDeg, start),
		o.numbers(prefix+"angles_deg", "angles of holes", "degrees from the first hole's; empty for equal spacing", angles, func(v *T) {
			if n := len(*angles(v)); n > 0 {
				*count(v) = n
			}
		}))
}

func ringFields(p Plate, id ID) []Field {
	o := featureOwner(KindRing, id, rings, ringID)
	c, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := ringOfHoles(o, p, func(c *ClockedRing) *BoltCircle { return &c.BoltCircle })
	mate := spacing(o, "mate.", len(c.MateAngles) > 0, func(c *ClockedRing) *int { return &c.MateCount },
		func(c *ClockedRing) *float64 { return &c.MateStartDeg }, func(c *ClockedRing) *[]float64 { return &c.MateAngles })
	for i := range mate {
		mate[i].Label = "mate: " + mate[i].Label
	}
	return append(append(fs, mate...),
		o.count("least_bolts", "least number of bolts", circleCount, func(c *ClockedRing) *int { return &c.LeastBolts }),
		o.numbers("wanted_deg", "wanted angles", "degrees that the ring is there for", func(c *ClockedRing) *[]float64 { return &c.WantedDeg }, func(*ClockedRing) {}),
		o.number("position_deg", "clocked angle", "°", turnDeg, func(c *ClockedRing) *float64 { return &c.PositionDeg }))
}

func eccentricFields(p Plate, id ID) []Field {
	o := featureOwner(KindEccentric, id, eccentrics, eccentricID)
	e, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.feature("bore", "bore", "", "the bore in which it turns", p, boreOnly, func(e *Eccentric) *ID { return &e.Bore }),
		o.number("offset_mm", "offset", "mm", eccentricity, func(e *Eccentric) *float64 { return &e.E }),
		o.derived("travel_mm", "travel", "mm", limit{0, 2 * eccentricity.max, true, "half a turn moves the centre by twice the offset"},
			func(_ Plate, e *Eccentric) float64 { return 2 * e.E }, func(_ *Plate, e *Eccentric, x float64) { e.E = x / 2 }),
		o.number("inner_diameter_mm", "inner diameter", "mm", diameter, func(e *Eccentric) *float64 { return &e.Inner }),
		o.number("angle_deg", "angle", "°", turnDeg, func(e *Eccentric) *float64 { return &e.AngleDeg }),
		o.numberThen("lock.circle_diameter_mm", "locking screws' circle", "mm", limit{0, diameter.max, false, "0 for no locking screws"},
			func(e *Eccentric) *float64 { return &e.LockCircle },
			func(_ *Plate, e *Eccentric) {
				switch {
				case e.LockCircle == 0:
					e.LockCount, e.LockStart, e.Lock = 0, 0, HoleForm{}
				case e.LockCount == 0:
					e.LockCount, e.Lock = 4, HoleForm{Kind: Tapped, Size: "M4", Side: Through}
				}
			}),
	}
	if e.LockCircle == 0 {
		return fs
	}
	l := o
	l.prefix += "lock."
	fs = append(fs,
		l.count("count", "number of locking screws", circleCount, func(e *Eccentric) *int { return &e.LockCount }),
		l.number("start_deg", "angle of first locking screw", "°", turnDeg, func(e *Eccentric) *float64 { return &e.LockStart }))
	return append(fs, formFields(l, p, "diameter_mm", func(e *Eccentric) *HoleForm { return &e.Lock })...)
}

func slotFields(p Plate, id ID) []Field {
	o := featureOwner(KindSlot, id, slots, slotID)
	s, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := append(o.place(func(s *Slot) *float64 { return &s.X }, func(s *Slot) *float64 { return &s.Y }),
		o.number("length_mm", "length between end centres", "mm", slotLength, func(s *Slot) *float64 { return &s.Length }),
		o.number("width_mm", "width", "mm", diameter, func(s *Slot) *float64 { return &s.Width }),
		o.number("angle_deg", "angle", "°", turnDeg, func(s *Slot) *float64 { return &s.AngleDeg }),
		o.choose("side", "side", "through, or milled from a face", sides, func(s *Slot) string { return string(s.Side) },
			func(p *Plate, s *Slot, w string) {
				f := HoleForm{Depth: s.Depth}
				f.setSide(Side(w), p.Stock.Thickness())
				s.Side, s.Depth = f.Side, f.Depth
			}))
	if s.Side != Through {
		fs = append(fs, blindDepth(o, p.Stock.Thickness(), "depth_mm", "depth", func(s *Slot) *float64 { return &s.Depth }))
	}
	return append(fs,
		o.number("boss_mm", "boss width", "mm", keptWidth, func(s *Slot) *float64 { return &s.Boss }),
		o.fit("fit", "fit of the width", func(s *Slot) *string { return &s.Fit }),
		o.flag("adjusting", "adjusting", "settings may name it", func(s *Slot) bool { return s.Adjusting },
			func(_ *Plate, s *Slot, on bool) error { s.Adjusting = on; return nil }),
		o.number("position_mm", "position of what slides in it", "mm", slotPosition, func(s *Slot) *float64 { return &s.Position }))
}

func settingFields(p Plate, id ID) []Field {
	o := featureOwner(KindSetting, id, settings, settingID)
	s, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{o.words("values", "adjusters", "clocked rings, eccentrics and adjusting slots: names with commas between", nil,
		func(p Plate, s *Setting) string { return namesText(p, s.features()) },
		func(p *Plate, s *Setting, text string) error {
			ids, err := idsOfText(*p, text, adjusters)
			if err == nil {
				s.Values = p.valuesFor(ids, s.Values)
			}
			return err
		})}
	slotted := p.slotIDs()
	return append(fs, entries(o, "adjuster", "values", s.Values, func(s *Setting) []SettingValue { return s.Values },
		func(o owner[SettingValue], v SettingValue) []Field {
			name := nameOfID(p, v.Feature, "")
			if slotted[v.Feature] {
				return []Field{o.number("position_mm", "position of "+name, "mm", slotPosition, func(v *SettingValue) *float64 { return &v.Position })}
			}
			return []Field{o.number("angle_deg", "angle of "+name, "°", turnDeg, func(v *SettingValue) *float64 { return &v.AngleDeg })}
		})...)
}

func (s Setting) features() []ID {
	ids := make([]ID, len(s.Values))
	for i, v := range s.Values {
		ids[i] = v.Feature
	}
	return ids
}

// valuesFor are the values of the given adjusters: as they were, or as drawn where they are new.
func (p *Plate) valuesFor(ids []ID, old []SettingValue) []SettingValue {
	var values []SettingValue
	for _, id := range ids {
		v := SettingValue{Feature: id}
		if c, err := lookUp(p.Rings, id, ringID); err == nil {
			v.AngleDeg = c.PositionDeg
		} else if e, err := lookUp(p.Eccentrics, id, eccentricID); err == nil {
			v.AngleDeg = e.AngleDeg
		} else if c, err := lookUp(p.Slots, id, slotID); err == nil {
			v.Position = c.Position
		}
		for _, o := range old {
			if o.Feature == id {
				v = o
			}
		}
		values = append(values, v)
	}
	return values
}
