package plate

import (
	"fmt"
	"strings"
)

// The three sorts of place in words, as Place.sort has them.
const (
	onFeature = "a feature"
	onOutline = "the outline"
	onArea    = "an area"
)

// placeFields are the fields of where a support or load acts. want is the one sort that its kind takes; empty for any.
func placeFields[T any](o owner[T], p Plate, want string, kinds []Kind, held func(*T) *Place) []Field {
	v, err := o.find(&p)
	if err != nil {
		return nil
	}
	now := held(v)
	on := part(o, "place", "on.", func(v *T) (*Place, error) { return held(v), nil })
	choices := []string{onFeature, onOutline, onArea}
	if want != "" {
		choices = []string{want}
	}
	fs := []Field{o.words("on", "acts on", "the wall of a feature, a piece of the outline, or an area on a face", choices,
		func(_ Plate, v *T) string { return held(v).sort() },
		func(p *Plate, v *T, w string) error { return held(v).turn(*p, w, kinds) })}
	switch {
	case now.Feature != 0:
		return append(fs, on.feature("feature", "feature", "", "whose wall it acts on", p, kinds, func(p *Place) *ID { return &p.Feature }))
	case now.OnEdge:
		return append(fs,
			on.number("from_mm[0]", "x of first end", "mm", coordinate, func(p *Place) *float64 { return &p.X1 }),
			on.number("from_mm[1]", "y of first end", "mm", coordinate, func(p *Place) *float64 { return &p.Y1 }),
			on.number("to_mm[0]", "x of second end", "mm", coordinate, func(p *Place) *float64 { return &p.X2 }),
			on.number("to_mm[1]", "y of second end", "mm", coordinate, func(p *Place) *float64 { return &p.Y2 }))
	}
	fs = append(fs, on.choose("side", "face", "the face that it acts on", oneSide, func(p *Place) string { return string(p.Side) },
		func(_ *Plate, p *Place, w string) { p.Side = Side(w) }))
	return append(fs, boundFields(on, now.Bounds, func(p *Place) []Corner { return p.Bounds })...)
}

// turn makes a place one of another sort: the first feature there is, the outline's lower side, or a square in the middle.
func (a *Place) turn(p Plate, sort string, kinds []Kind) error {
	x0, y0, x1, y1 := p.drawnBox()
	if !finite(x0) || !finite(x1) {
		x0, y0, x1, y1 = 0, 0, 100, 100
	}
	switch sort {
	case onFeature:
		for _, f := range p.Features() {
			for _, k := range kinds {
				if f.Kind == k {
					*a = Place{Feature: f.ID}
					return nil
				}
			}
		}
		return fmt.Errorf("there is no feature to act on; draw a bore or hole first")
	case onOutline:
		*a = Place{OnEdge: true, X1: x0, Y1: y0, X2: x1, Y2: y0}
	default:
		reach := min(x1-x0, y1-y0) / 10
		*a = Place{Bounds: square(tidy((x0+x1)/2), tidy((y0+y1)/2), reach), Side: Top}
	}
	return nil
}

func supportFields(p Plate, id ID) []Field {
	o := featureOwner(KindSupport, id, supports, supportID)
	s, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{o.words("kind", "kind", "what it holds", supportKinds, func(_ Plate, s *Support) string { return string(s.Kind) },
		func(p *Plate, s *Support, w string) error { return s.setKind(*p, SupportKind(w)) })}
	if s.Kind != Free {
		fs = append(fs, placeFields(o, p, s.Kind.wants(), holding, func(s *Support) *Place { return &s.On })...)
	}
	switch s.Kind {
	case Sliding:
		fs = append(fs, o.number("direction_deg", "slides along", "°", turnDeg, func(s *Support) *float64 { return &s.DirectionDeg }))
	case Spring:
		fs = append(fs, vectorFields(o, "stiffness_n_per_mm", "stiffness along", "N/mm", springRate, func(s *Support) []float64 { return s.Stiffness[:3] })...)
		fs = append(fs, vectorFields(o, "stiffness_n_mm_per_rad", "stiffness about", "N·mm/rad", springRate, func(s *Support) []float64 { return s.Stiffness[3:] })...)
	}
	return fs
}

// wants is the one sort of place that a support of the kind takes; empty for any.
func (k SupportKind) wants() string {
	switch k {
	case Hinged:
		return onFeature
	case Symmetry:
		return onOutline
	}
	return ""
}

// startStiffness is that of a new spring along each axis, N/mm.
const startStiffness = 1000

func (s *Support) setKind(p Plate, k SupportKind) error {
	old := *s
	*s = Support{ID: old.ID, Name: old.Name, Kind: k}
	switch k {
	case Free:
		return nil
	case Spring:
		s.Stiffness = [6]float64{startStiffness, startStiffness, startStiffness}
	}
	return s.On.keep(p, old.On, old.Kind != Free, k.wants(), holding)
}

// keep takes an old place where it is of the wanted sort (empty for any), and makes one where it is not.
func (a *Place) keep(p Plate, old Place, placed bool, want string, kinds []Kind) error {
	if placed && (want == "" || old.sort() == want) {
		if f, ok := p.Find(old.Feature); old.Feature == 0 || ok && contains(kinds, f.Kind) {
			*a = old
			return nil
		}
	}
	return a.turn(p, orDefault(want, onFeature), kinds)
}

func contains(kinds []Kind, k Kind) bool {
	for _, x := range kinds {
		if x == k {
			return true
		}
	}
	return false
}

// vectorFields are the fields of the three parts of a vector.
func vectorFields[T any](o owner[T], key, label, unit string, l limit, held func(*T) []float64) []Field {
	var fs []Field
	for i, axis := range [...]string{"x", "y", "z"} {
		fs = append(fs, o.number(fmt.Sprintf("%s[%d]", key, i), label+" "+axis, unit, l, func(v *T) *float64 { return &held(v)[i] }))
	}
	return fs
}

func loadFields(p Plate, id ID) []Field {
	o := featureOwner(KindLoad, id, loads, loadID)
	l, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{o.words("kind", "kind", "how it acts", loadKinds, func(_ Plate, l *Load) string { return string(l.Kind) },
		func(p *Plate, l *Load, w string) error { return l.setKind(*p, LoadKind(w)) })}
	if l.Kind.placed() {
		fs = append(fs, placeFields(o, p, loadPlaces[l.Kind], l.Kind.holds(), func(l *Load) *Place { return &l.On })...)
	}
	switch l.Kind {
	case BoreForce, RemoteForce, LineForce, AreaForce:
		fs = append(fs, vectorFields(o, "force_n", "force in", "N", force, func(l *Load) []float64 { return l.Force[:] })...)
	case Acceleration:
		fs = append(fs, vectorFields(o, "acceleration_g", "acceleration in", "g", gs, func(l *Load) []float64 { return l.Force[:] })...)
	case ClampForce:
		fs = append(fs,
			o.number("clamp_n", "preload", "N", clampForce, func(l *Load) *float64 { return &l.Clamp }),
			o.number("bearing_diameter_mm", "outer diameter of the annulus", "mm", diameter, func(l *Load) *float64 { return &l.Bearing }),
			o.number("friction", "friction (0: not stated)", "", friction, func(l *Load) *float64 { return &l.Friction }))
	case Temperature:
		fs = append(fs, o.number("temperature_k", "temperature change", "K", temperature, func(l *Load) *float64 { return &l.Temperature }))
	}
	if l.Kind == Moment || l.Kind == RemoteForce {
		fs = append(fs, vectorFields(o, "moment_n_mm", "moment about", "N·mm", moment, func(l *Load) []float64 { return l.Moment[:] })...)
	}
	switch l.Kind {
	case BoreForce:
		fs = append(fs, o.number("z_mm", "height of the resultant", "mm", remotePlace, func(l *Load) *float64 { return &l.At[2] }))
	case RemoteForce:
		fs = append(fs, vectorFields(o, "at_mm", "point", "mm", remotePlace, func(l *Load) []float64 { return l.At[:] })...)
	}
	return fs
}

// holds are the kinds of feature that a load of the kind can act on.
func (k LoadKind) holds() []Kind {
	if k == ClampForce {
		return clamped
	}
	return holding
}

// What a new load starts from.
const (
	startForce   = 1000   // N
	startMoment  = 10_000 // N·mm
	startPreload = 5000   // N
	startAnnulus = 16     // mm
	startWarmth  = 20     // K
)

// setKind turns a load into one of another kind, with its figures where they mean the same.
func (l *Load) setKind(p Plate, k LoadKind) error {
	old := *l
	*l = Load{ID: old.ID, Name: old.Name, Kind: k}
	force := old.Force
	if old.Kind == Acceleration || force == [3]float64{} {
		force = [3]float64{0, 0, -startForce}
	}
	switch k {
	case BoreForce:
		if force[0] == 0 && force[1] == 0 { // a wall is pressed across the bore
			force = [3]float64{startForce, 0, 0}
		}
		l.Force, l.At[2] = force, p.Stock.Thickness()/2
	case RemoteForce:
		l.Force, l.Moment, l.At = force, old.Moment, old.At
	case LineForce, AreaForce:
		l.Force = force
	case Moment:
		l.Moment = old.Moment
		if l.Moment == [3]float64{} {
			l.Moment = [3]float64{0, 0, startMoment}
		}
	case Acceleration:
		l.Force = [3]float64{0, -1, 0}
	case ClampForce:
		l.Clamp, l.Bearing = startPreload, startAnnulus
	case Temperature:
		l.Temperature = startWarmth
	}
	if !k.placed() {
		return nil
	}
	return l.On.keep(p, old.On, old.Kind.placed(), loadPlaces[k], k.holds())
}

func caseFields(p Plate, id ID) []Field {
	o := featureOwner(KindCase, id, loadCases, caseID)
	c, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.choose("kind", "kind", "limit: judged by proof stress; ultimate: by ultimate strength", caseKinds, func(c *LoadCase) string { return string(c.Kind) },
			func(_ *Plate, c *LoadCase, w string) { c.Kind = CaseKind(w) }),
		o.number("factor", "factor on all loads", "", caseFactor, func(c *LoadCase) *float64 { return &c.Factor }),
		o.words("loads", "loads", "names with commas between", nil, func(p Plate, c *LoadCase) string { return namesText(p, c.loads()) },
			func(p *Plate, c *LoadCase, s string) error {
				ids, err := idsOfText(*p, s, loadOnly)
				if err == nil {
					c.Loads = factorsFor(ids, c.Loads)
				}
				return err
			}),
	}
	fs = append(fs, entries(o, "load", "loads", c.Loads, func(c *LoadCase) []LoadFactor { return c.Loads }, func(o owner[LoadFactor], l LoadFactor) []Field {
		return []Field{o.number("factor", "factor of "+nameOfID(p, l.Load, "the load"), "", loadFactor, func(l *LoadFactor) *float64 { return &l.Factor })}
	})...)
	fs = append(fs,
		o.names("supports", "supports", "all of the plate where empty", supportOnly, func(c *LoadCase) *[]ID { return &c.Supports }),
		o.feature("setting", "setting", asDrawn, "of the adjusters", p, settingOnly, func(c *LoadCase) *ID { return &c.Setting }),
		o.flag("mirrored", "loads mirrored in x", "the case of the plate's other hand", func(c *LoadCase) bool { return c.Mirrored },
			func(_ *Plate, c *LoadCase, on bool) error { c.Mirrored = on; return nil }),
		o.number("cycles", "load cycles", "", cycles, func(c *LoadCase) *float64 { return &c.Cycles }))
	return append(fs, originFields(part(o, "origin", "origin.", func(c *LoadCase) (*Origin, error) { return &c.Origin, nil }), c.Origin)...)
}

func (c LoadCase) loads() []ID {
	ids := make([]ID, len(c.Loads))
	for i, l := range c.Loads {
		ids[i] = l.Load
	}
	return ids
}

// factorsFor are the given loads with the factors that they had, or 1.
func factorsFor(ids []ID, old []LoadFactor) []LoadFactor {
	var list []LoadFactor
	for _, id := range ids {
		l := LoadFactor{id, 1}
		for _, o := range old {
			if o.Load == id {
				l = o
			}
		}
		list = append(list, l)
	}
	return list
}

func originFields(o owner[Origin], now Origin) []Field {
	fs := []Field{
		o.choose("kind", "origin", "where the figures come from", originKinds, func(o *Origin) string { return string(o.Kind) },
			func(_ *Plate, o *Origin, w string) { o.setKind(OriginKind(w)) }),
		o.text("text", "origin in words", "of a standard: its number and clause; at most "+itoa(maxText)+" characters", func(o *Origin) *string { return &o.Text }),
	}
	if now.Kind != Worked {
		return fs
	}
	fs = append(fs,
		o.choose("event", "event", "what the sum is for", events, func(o *Origin) string { return string(o.Event) },
			func(_ *Plate, o *Origin, w string) { o.setEvent(Event(w)) }),
		o.number("mass_kg", "mass of the loaded machine", "kg", vehicleMass, func(o *Origin) *float64 { return &o.Mass }))
	label := "acceleration in g"
	if now.Event == KerbStrike || now.Event == Drop {
		label = "shock factor"
	}
	fs = append(fs, o.number("g", label, "", shock, func(o *Origin) *float64 { return &o.G }),
		o.number("share", "share that the plate carries", "", shareOf, func(o *Origin) *float64 { return &o.Share }))
	if now.Event == Drop {
		return fs
	}
	return append(fs,
		o.number("wheelbase_mm", "wheelbase", "mm", vehicleLength, func(o *Origin) *float64 { return &o.Wheelbase }),
		o.number("centre_x_mm", "centre of mass behind the front axle", "mm", centreX, func(o *Origin) *float64 { return &o.CentreX }),
		o.number("centre_height_mm", "height of the centre of mass", "mm", vehicleLength, func(o *Origin) *float64 { return &o.CentreHeight }))
}

// setKind gives a worked sum figures to start from: a machine of 100 kg on 1 m of wheelbase. A standard is named in words.
func (o *Origin) setKind(k OriginKind) {
	*o = Origin{Kind: k, Text: o.Text}
	switch k {
	case Worked:
		o.Mass, o.G, o.Share = 100, 0.5, 1
		o.setEvent(Braking)
	case Standard:
		o.Text = orDefault(o.Text, "name the standard and its clause")
	}
}

// setEvent gives a sum that needs them the lengths that it lacks.
func (o *Origin) setEvent(e Event) {
	o.Event = e
	if e == Drop {
		return
	}
	if o.Wheelbase == 0 {
		o.Wheelbase, o.CentreX = 1000, 500
	}
	if o.CentreHeight == 0 && e != KerbStrike {
		o.CentreHeight = o.Wheelbase / 2
	}
}

func changeFields(p Plate, id ID) []Field {
	o := featureOwner(KindChange, id, changes, changeID)
	c, err := o.find(&p)
	if err != nil {
		return nil
	}
	const byRule = "as the rule chooses"
	fs := []Field{
		o.text("class", "class of operation", "in the words of the route card; empty for all", func(c *OperationChange) *string { return &c.Class }),
		o.feature("feature", "feature", "outline and faces", "whose operations it changes", p, machinedKind, func(c *OperationChange) *ID { return &c.Feature }),
		o.flag("left_out", "left out", "a finding says so", func(c *OperationChange) bool { return c.Leave },
			func(_ *Plate, c *OperationChange, on bool) error { c.Leave = on; return nil }),
		o.choose("where", "done", "on the machine, by hand or elsewhere", append([]string{byRule}, places...),
			func(c *OperationChange) string { return orDefault(c.Where, byRule) },
			func(_ *Plate, c *OperationChange, w string) { c.Where = unless(w, byRule) }),
		o.text("tool", "tool", "its id in the profile; empty as the rule chooses", func(c *OperationChange) *string { return &c.Tool }),
		o.count("moved", "places later", placesMoved, func(c *OperationChange) *int { return &c.Order }),
		o.number("time_min", "time", "min", minutes, func(c *OperationChange) *float64 { return &c.Minutes }),
		o.text("note", "note", "at most "+itoa(maxText)+" characters", func(c *OperationChange) *string { return &c.Note }),
	}
	if c.HasCell {
		fs = append(fs, anchorFields(part(o, "cell", "cell.", func(c *OperationChange) (*Anchor, error) { return &c.At, nil }), c.At)...)
	}
	return fs
}

func holdingFields(p Plate, id ID) []Field {
	o := featureOwner(KindHolding, id, holdings, holdingID)
	h, err := o.find(&p)
	if err != nil {
		return nil
	}
	fs := []Field{
		o.words("kind", "kind", "how the work is held", holdingKinds, func(_ Plate, h *Holding) string { return string(h.Kind) },
			func(p *Plate, h *Holding, w string) error { return h.setKind(*p, HoldingKind(w)) }),
		o.count("set_up", "set-up", setUp, func(h *Holding) *int { return &h.SetUp }),
	}
	switch h.Kind {
	case Screw:
		fs = append(fs, o.feature("feature", "hole", "", "that the screw goes through", p, screwed, func(h *Holding) *ID { return &h.Feature }))
	case Clamp:
		fs = append(fs, o.place(func(h *Holding) *float64 { return &h.X }, func(h *Holding) *float64 { return &h.Y })...)
		fs = append(fs,
			o.number("width_mm", "width", "mm", ribWidth, func(h *Holding) *float64 { return &h.Width }),
			o.number("height_mm", "height", "mm", ribWidth, func(h *Holding) *float64 { return &h.Height }),
			o.number("angle_deg", "angle", "°", turnDeg, func(h *Holding) *float64 { return &h.AngleDeg }))
	}
	return fs
}

// startClamp is the width and height of a new clamp, mm.
const startClamp = 30

func (h *Holding) setKind(p Plate, k HoldingKind) error {
	*h = Holding{ID: h.ID, SetUp: h.SetUp, Kind: k}
	switch k {
	case Clamp:
		x0, y0, _, _ := p.drawnBox()
		if finite(x0) && finite(y0) {
			h.X, h.Y = x0, y0
		}
		h.Width, h.Height = startClamp, startClamp
	case Screw:
		for _, f := range p.Features() {
			if contains(screwed, f.Kind) {
				h.Feature = f.ID
				return nil
			}
		}
		return fmt.Errorf("there is no hole for a screw; draw one first")
	}
	return nil
}

// PriceFields returns the fields of what the price depends on besides the shop's rates.
func PriceFields() []Field {
	o := plateOwner("price", "price.", func(p *Plate) *Price { return &p.Price })
	return []Field{
		o.words("batches", "batches", "quantities of the break table: numbers with commas between; empty for 1, 5, 20", nil,
			func(_ Plate, p *Price) string {
				return strings.Trim(strings.ReplaceAll(fmt.Sprint(p.Batches), " ", ", "), "[]")
			},
			func(_ *Plate, p *Price, s string) error {
				list, err := numbersOfText(s)
				if err != nil {
					return err
				}
				p.Batches = nil
				for _, x := range list {
					n, err := wholeNumber(x)
					if err != nil {
						return err
					}
					p.Batches = append(p.Batches, n)
				}
				return nil
			}),
		o.count("per_set", "pieces in one set", perSet, func(p *Price) *int { return &p.PerSet }),
		o.text("bought_in", "price of one blank as bought", "money with a decimal point; empty to price it by mass", func(p *Price) *string { return &p.BoughtIn }),
	}
}
