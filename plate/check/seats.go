package check

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// seat is one step of a bore with what the rules ask of it.
type seat struct {
	*plate.Seat
	bore *plate.Bore
	who  string
	at   geom.Point
	g    group
}

func (s *seat) place(what, fix string) place {
	return place{
		what: what, fix: fix, at: s.at, feature: int64(s.bore.ID), featureName: s.bore.Name, stage: plate.StageBores,
	}
}

// say makes the words of a finding about the seat.
func (s *seat) say(fix, format string, args ...any) func(Rule) place {
	return func(Rule) place { return s.place(s.who+" "+fmt.Sprintf(format, args...), fix) }
}

// seats checks the seats, grooves and keyways of the bores. Seats that the layout left out are for it to tell.
func (r *run) seats() {
	for i := range r.l.Plate.Bores {
		b := &r.l.Plate.Bores[i]
		for k := range b.Seats {
			if b.Seats[k].Diameter <= b.Diameter {
				continue
			}
			s := &seat{
				Seat: &b.Seats[k], bore: b, who: fmt.Sprintf("seat %d of bore %q", k+1, b.Name),
				at: geom.Pt(b.X, b.Y), g: group{a: int64(b.ID)},
			}
			r.shoulderMetal(s)
			if s.Groove.Width > 0 {
				r.groove(s)
			}
			if v, err := standard.Bearing(s.Bearing); s.Bearing != "" && err == nil { // Validate names those not held
				r.bearing(s, v)
			}
		}
		r.keyway(b)
	}
}

// shoulderMetal checks what is left under the seat, down to the seats from the other face. None at all is for the layout to
// tell.
func (r *run) shoulderMetal(s *seat) {
	other := 0.0
	for _, o := range s.bore.Seats {
		if o.Side != s.Side && o.Diameter > s.bore.Diameter {
			other = max(other, o.Depth)
		}
	}
	if left := r.l.Thickness - s.Depth - other; left > touching {
		r.test("shoulder-thin", left, s.g, "seats", func(k Rule) place {
			return s.place(fmt.Sprintf("%s leaves %s of metal under it, limit %s", s.who, mm(left), mm(k.Limit)), "make the seat shallower, or take thicker stock")
		})
	}
}

// bearing checks a seat against the bearing that sits in it.
func (r *run) bearing(s *seat, b standard.BearingSize) {
	r.test("bearing-proud", s.Depth/b.Width, s.g, "seats", s.say("make the seat as deep as the bearing is wide, or take a narrower bearing",
		"is %s deep; bearing %s is %s wide", mm(s.Depth), b.Name, mm(b.Width)))
	r.shoulder(s, b)
	r.seatFit(s, b)
	if s.Groove.Width > 0 {
		r.retained(s, b)
	}
}

// below is the diameter of the shoulder under a seat: of the next narrower step from the same face, else of the bore.
func (s *seat) below() float64 {
	d := s.bore.Diameter
	for _, o := range s.bore.Seats {
		if o.Side == s.Side && o.Depth > s.Depth && o.Diameter < s.Diameter {
			d = max(d, o.Diameter)
		}
	}
	return d
}

func (r *run) shoulder(s *seat, b standard.BearingSize) {
	d := s.below()
	if mean := (b.Bore + b.Outer) / 2; b.Kind == standard.DeepGroove {
		r.test("shoulder-high", d-mean, s.g, "seats", s.say(fmt.Sprintf("widen the bore to at least %s", mm(mean)),
			"has a shoulder of %s; the inner ring and the cage of bearing %s turn within %s", mm(d), b.Name, mm(mean)))
	}
	need, ok := standard.Shoulder(b.Chamfer)
	if !ok {
		return
	}
	h := (s.Diameter - d) / 2
	for _, c := range [2]struct {
		level finding.Level
		least float64
	}{{finding.Warning, need.LeastEver}, {finding.Note, need.Height}} {
		k := r.rule("shoulder-low", c.level)
		if !k.broken(h - c.least) {
			continue
		}
		r.add(k, c.least-h, s.g, "seats", s.say(fmt.Sprintf("narrow the bore to %s", mm(s.Diameter-2*need.Height)),
			"has a shoulder %s high; bearing %s with a chamfer of %s asks for %s", mm(h), b.Name, mm(b.Chamfer), mm(c.least)))
		return
	}
}

// seatFit checks the seat's class against the outer ring and the load on it, and the boss against the press.
func (r *run) seatFit(s *seat, b standard.BearingSize) {
	width := 2 * standard.GeneralTolerance(s.Diameter)
	zone := "a general tolerance"
	lim, err := standard.Fit(s.Fit, s.Diameter)
	if s.Fit != "" {
		if err != nil || !lim.Hole() {
			return // Validate names it
		}
		width, zone = lim.IT, s.Fit
	}
	if it8, err := standard.IT(8, s.Diameter); err == nil {
		r.test("seat-coarse", width/it8, s.g, "seats", s.say("give it a class of ISO 286: H7 where the load stands still against the outer ring, N7 where it turns",
			"has %s, a zone of %s, for bearing %s; IT8 is %s", zone, mm(width), b.Name, mm(it8)))
	}
	if s.Fit == "" {
		return
	}
	r.seatLoad(s, lim)
	r.press(s, b)
}

func (r *run) seatLoad(s *seat, lim standard.Limits) {
	load := standard.OuterRingLoad(s.Ring)
	ok, err := standard.SuitsLoad(s.Fit, s.Diameter, load)
	ring, err2 := standard.OuterRing(s.Diameter)
	advice, err3 := standard.SeatFit(load)
	if ok || err != nil || err2 != nil || err3 != nil {
		return // suits, or the load is not said
	}
	least, most := standard.Clearance(lim, ring)
	code, words := "seat-tight", "stands still"
	if load == standard.LoadTurning {
		code, words = "seat-loose", "turns"
	}
	r.add(r.rule(code, finding.Warning), math.Abs(least+most)/2, s.g, "seats",
		s.say(fmt.Sprintf("take %s: %s", advice.Fits[0], advice.Why), "is %s for a load that %s against the outer ring: clearance from %s to %s mm",
			s.Fit, words, standard.Deviation(least), standard.Deviation(most)))
}

// press checks the hoop stress of the tightest press against the proof stress, in a ring as wide as the least metal round the
// seat.
func (r *run) press(s *seat, b standard.BearingSize) {
	m := r.l.Plate.Stock.Material
	outer := 2 * r.metalRound(s)
	if !(m.Proof > 0) || outer <= s.Diameter+touching {
		return
	}
	tight, stress, err := b.Pressed(s.Fit, outer, m.Young, m.Poisson)
	if err != nil || tight == 0 {
		return
	}
	r.test("press-hoop", stress.Hoop/m.Proof, s.g, "seats", s.say("widen the boss, or take a looser class",
		"presses bearing %s by up to %s in a ring of %s: hoop stress %.4g MPa, proof stress %.4g MPa", b.Name, mm(tight), mm(outer), stress.Hoop, m.Proof))
}

// metalRound is the radius of metal round the seat's axis: to the outline, and to every other cut at its heights.
func (r *run) metalRound(s *seat) float64 {
	least, _ := edge(r.l.Outline.Contours(), s.at)
	z0, z1 := 0.0, s.Depth
	if s.Side == plate.Top {
		z0, z1 = r.l.Thickness-s.Depth, r.l.Thickness
	}
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		if c.Feature == s.bore.ID || c.Feature == 0 || !c.Prism() || min(c.Z1, z1)-max(c.Z0, z0) <= touching || !c.Region.Box().Grow(least).Contains(s.at) {
			continue
		}
		d, _ := edge(c.Region.Contours(), s.at)
		if c.Region.Contains(s.at) && d < s.Diameter/2 {
			continue
		}
		least = min(least, d)
	}
	return least
}

// groove checks a groove against the retaining ring of DIN 472 for its seat.
func (r *run) groove(s *seat) {
	g := s.Groove
	if t := (g.Diameter - s.Diameter) / 2; t > 0 {
		r.test("groove-land", g.At/t, s.g, "seats", s.say("move the groove away from the face",
			"has a groove %s deep, %s below the face: %.4g times, limit 3", mm(t), mm(g.At), g.At/t))
	}
	ring, exact, err := standard.RingFor(s.Diameter)
	if err != nil {
		return
	}
	if !exact {
		r.test("groove-no-ring", math.Abs(ring.Bore-s.Diameter), s.g, "seats", s.say(fmt.Sprintf("make the seat %s, or take another means of holding", mm(ring.Bore)),
			"has a groove and a diameter of %s; the nearest retaining ring is for %s", mm(s.Diameter), mm(ring.Bore)))
		return
	}
	off := func(v, nominal float64, class string) float64 {
		l, err := standard.Fit(class, nominal)
		if err != nil {
			return 0
		}
		return max(nominal-v, v-l.Max())
	}
	r.test("groove-diameter", off(g.Diameter, ring.Groove, ring.GrooveClass()), s.g, "seats",
		s.say(fmt.Sprintf("make it %s %s", mm(ring.Groove), ring.GrooveClass()), "has a groove of %s; the ring for %s asks for %s %s",
			mm(g.Diameter), mm(s.Diameter), mm(ring.Groove), ring.GrooveClass()))
	r.test("groove-width", off(g.Width, ring.Width, ring.WidthClass()), s.g, "seats",
		s.say(fmt.Sprintf("make it %s %s", mm(ring.Width), ring.WidthClass()), "has a groove %s wide; the ring for %s asks for %s %s",
			mm(g.Width), mm(s.Diameter), mm(ring.Width), ring.WidthClass()))
}

// retained checks the room that the ring in its groove leaves the bearing, the ring pushed against the wall towards the face.
func (r *run) retained(s *seat, b standard.BearingSize) {
	ring, exact, err := standard.RingFor(s.Diameter)
	if err != nil || !exact {
		return
	}
	play := s.Depth - s.Groove.At - ring.Thickness - b.Width
	for _, code := range [2]string{"ring-blocked", "ring-slack"} {
		r.test(code, play, s.g, "seats", s.say(fmt.Sprintf("put the groove %s below the face", mm(s.Depth-b.Width-ring.Thickness)),
			"leaves %s between shoulder and retaining ring for bearing %s of %s: play %s", mm(play+b.Width), b.Name, mm(b.Width), mm(play)))
	}
}

// keyway checks a keyway against the key's standard. Bores for which no key is held are left.
func (r *run) keyway(b *plate.Bore) {
	k := b.Keyway
	std, err := standard.KeywayFor(b.Diameter)
	if k.Width == 0 || err != nil {
		return
	}
	off := max(math.Abs(k.Width-std.Width), math.Abs(k.Height-std.HubDepth))
	r.test("keyway-off-standard", off, group{a: int64(b.ID)}, "keyways", func(Rule) place {
		return place{
			what: fmt.Sprintf("the keyway of bore %q is %s wide and %s high; for %s the key's standard has %s and %s",
				b.Name, mm(k.Width), mm(k.Height), mm(b.Diameter), mm(std.Width), mm(std.HubDepth)),
			fix: fmt.Sprintf("make it %s wide and %s high", mm(std.Width), mm(std.HubDepth)),
			at:  geom.Pt(b.X, b.Y), feature: int64(b.ID), featureName: b.Name, stage: plate.StageBores,
		}
	})
}

// regions checks the metal round slots and keyways.
func (r *run) regions() {
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		if c.Kind != layout.CutSlot && c.Kind != layout.CutKeyway {
			continue
		}
		who, stage := fmt.Sprintf("slot %q", c.FeatureName), plate.StageHoles
		if c.Kind == layout.CutKeyway {
			who, stage = fmt.Sprintf("the keyway of bore %q", c.FeatureName), plate.StageBores
		}
		told := func(d float64, at geom.Point, other string, g group) {
			if d <= touching {
				return // the layout tells what breaks through
			}
			r.test("ligament-thin", d, g, "places", func(k Rule) place {
				return place{
					what: fmt.Sprintf("the ligament between %s and %s is %s, limit %s", who, other, mm(d), mm(k.Limit)),
					fix:  fmt.Sprintf("move them apart by %s", mm(k.Limit-d)), at: at, stage: stage,
					feature: int64(c.Feature), featureName: c.FeatureName,
				}
			})
		}
		g := geom.Closest(c.Region.Outer, r.l.Outline.Outer)
		told(g.D, g.P, "the outline", group{a: int64(c.Feature), kind: "outline"})
		r.besideCuts(c, i, told)
	}
}

// besideCuts finds the ligaments between a slot or keyway and the other cuts at its heights.
func (r *run) besideCuts(c *layout.Cut, at int, told func(float64, geom.Point, string, group)) {
	limit := r.rule("ligament-thin", finding.Warning).Limit
	box := c.Region.Box().Grow(limit)
	for i := range r.l.Cuts {
		o := &r.l.Cuts[i]
		if o.Feature == 0 || o.Feature == c.Feature || !o.Prism() || !over(c, o) || !o.Region.Box().Overlaps(box) {
			continue
		}
		if o.Kind == layout.CutSlot && c.Kind == layout.CutSlot && i > at || o.Kind == layout.CutKeyway && i > at {
			continue // told of the other
		}
		if o.Region.Contains(c.Region.Outer[0].A) || o.Kind == layout.CutLedge {
			continue // in a floor
		}
		other := fmt.Sprintf("a cell of pocket %q", o.FeatureName)
		switch {
		case o.Kind == layout.CutSlot:
			other = fmt.Sprintf("slot %q", o.FeatureName)
		case o.Hole > 0:
			other = fmt.Sprintf("hole %d of %q", o.Hole, o.FeatureName)
		case o.Kind == layout.CutBore || o.Kind == layout.CutSeat || o.Kind == layout.CutGroove || o.Kind == layout.CutKeyway:
			other = fmt.Sprintf("bore %q", o.FeatureName)
		case o.Kind != layout.CutPocket:
			other = fmt.Sprintf("hole %q", o.FeatureName)
		}
		for _, k := range o.Region.Contours() {
			g := geom.Closest(c.Region.Outer, k)
			told(g.D, g.P, other, group{a: int64(c.Feature), b: int64(o.Feature), kind: "region"})
		}
	}
}
