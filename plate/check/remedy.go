package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/kinematics"
	"platewright/plate/material"
	"platewright/plate/shop"
	"platewright/plate/standard"
)

// Values that remedies give where the rule leaves a choice.
const (
	remedyMargin = 5.0 // mm, of a blank: a cutter of 10 mm goes round in it (common practice, no source)
	remedyFacing = 0.5 // mm, what facing takes at least (common practice, no source)
)

// Fix is one change of the document that clears a finding, with the words of what it does.
type Fix struct {
	Text string
	Edit plate.Edit
}

// Remedy is the one change that clears the finding, where there is one that a person could hardly mean otherwise; ok is false
// for all others, whose own words say what could be done and leave the choice. The finding must be of this document; the
// findings of the document itself and of the layout are known too. length prints a length in mm for the text; nil prints mm.
func Remedy(f finding.Finding, p plate.Plate, s shop.Profile, length func(mm float64) string) (fix Fix, ok bool) {
	if length == nil {
		length = mm
	}
	y := remedy{f: f, p: p.Clone(), s: s, length: length}
	if make, known := remedies[f.Code]; known {
		return make(&y)
	}
	return Fix{}, false
}

// remedies are the codes that have one.
var remedies = map[string]func(*remedy) (Fix, bool){
	"blank-small": (*remedy).margin, "blank-margin": (*remedy).margin,
	"floor-thin":            (*remedy).floor,
	"thickness-not-stocked": (*remedy).stocked,
	"one-sided-removal":     (*remedy).temper,
	"profile-changed":       (*remedy).recordProfile,
	"corner-radius":         (*remedy).cornerRadius,
	"corner-deep":           (*remedy).cornerDeep,
	"floor-radius-cutter":   (*remedy).floorRadius, "floor-radius-stepped": (*remedy).floorRadius,
	"seat-loose": (*remedy).seatFit, "seat-tight": (*remedy).seatFit, "seat-coarse": (*remedy).seatFit,
	"bearing-proud":   (*remedy).seatDepth,
	"groove-diameter": (*remedy).grooveSize, "groove-width": (*remedy).grooveSize,
	"ring-blocked": (*remedy).groovePlace, "ring-slack": (*remedy).groovePlace,
	"keyway-off-standard": (*remedy).keyway,
	"fit-no-allowance":    (*remedy).mask, "finish-eats-fit": (*remedy).mask, "thread-finish": (*remedy).mask,
	"head-clash": (*remedy).head, "head-proud": (*remedy).head,
	"thread-short":         (*remedy).thread,
	"ledge-narrow":         (*remedy).ledge,
	"inlay-tight":          (*remedy).clearance,
	"clocked-off-position": (*remedy).position,
}

// remedy is a finding with a copy of its document that may be changed.
type remedy struct {
	f      finding.Finding
	p      plate.Plate
	s      shop.Profile
	length func(float64) string
}

// byID is the item of the feature that the finding is about.
func byID[T any](list []T, id plate.ID, of func(*T) plate.ID) *T {
	for i := range list {
		if of(&list[i]) == id {
			return &list[i]
		}
	}
	return nil
}

func (y *remedy) id() plate.ID { return plate.ID(y.f.Feature) }

func (y *remedy) bore() *plate.Bore {
	return byID(y.p.Bores, y.id(), func(b *plate.Bore) plate.ID { return b.ID })
}

func (y *remedy) pocket(id plate.ID) *plate.Pocket {
	return byID(y.p.Pockets, id, func(k *plate.Pocket) plate.ID { return k.ID })
}

func (y *remedy) inlay() *plate.Inlay {
	return byID(y.p.Inlays, y.id(), func(n *plate.Inlay) plate.ID { return n.ID })
}

// limit is the limit of the row that the finding was made by.
func (y *remedy) limit(code string) float64 {
	r := run{rules: rulesFor(y.s)}
	return r.rule(code, y.f.Level).Limit
}

// upTo rounds up to a tenth of a millimetre, as drawings have it.
func upTo(v float64) float64 { return math.Ceil(v*10-1e-6) / 10 }

// neat takes the rounding of sums out of a length.
func neat(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func (y *remedy) margin() (Fix, bool) {
	b := plate.Blank{Margin: remedyMargin}
	if y.p.Stock.Blank == b {
		return Fix{}, false
	}
	return Fix{"Give the blank " + y.length(remedyMargin) + " round the outline", plate.Replace("margin of blank", func(p *plate.Plate) {
		p.Stock.Blank = b
	})}, true
}

func (y *remedy) recordProfile() (Fix, bool) {
	hash := y.s.Hash()
	return Fix{"Record the shop profile as it is now", plate.Replace("record of shop profile", func(p *plate.Plate) {
		p.Machining.ShopHash = hash
	})}, true
}

// floor makes a pocket from one face as shallow as the least floor asks, over the other face or over the one pocket that is
// cut from there; over one of several it cannot tell which.
func (y *remedy) floor() (Fix, bool) {
	least := y.limit("floor-thin")
	k := y.pocket(y.id())
	if k == nil || k.Side != plate.Top && k.Side != plate.Bottom {
		return Fix{}, false
	}
	depth := neat(y.p.Stock.Thickness() - least)
	if k.Depth <= depth {
		opposite := slices.DeleteFunc(slices.Clone(y.p.Pockets), func(o plate.Pocket) bool { return o.Side == k.Side || o.Side == plate.Through })
		if len(opposite) != 1 || opposite[0].Side == plate.Both || len(opposite[0].Depths) > 0 {
			return Fix{}, false
		}
		depth = neat(depth - opposite[0].Depth)
	}
	if k.Depth <= depth || depth <= 0 {
		return Fix{}, false
	}
	k.Depth = depth
	return Fix{"Leave a floor of " + y.length(least), plate.SetPocket(*k)}, true
}

// stocked buys the next stocked thickness and machines a face down to the plate's own.
func (y *remedy) stocked() (Fix, bool) {
	s := y.p.Stock
	next, ok := material.NextStock(s.Finished + remedyFacing)
	if !ok {
		return Fix{}, false
	}
	if m, err := material.Lookup(s.Material.Alloy, s.Material.Temper, next); err == nil {
		if was, err := material.Lookup(s.Material.Alloy, s.Material.Temper, s.Nominal); err == nil && was == s.Material {
			s.Material = m
		}
	}
	s.Nominal = next
	if s.Top == plate.AsSupplied && s.Bottom == plate.AsSupplied {
		s.Top = plate.Machined
	}
	return Fix{"Buy " + y.length(next) + " and machine it to " + y.length(s.Finished), plate.SetStock(s)}, true
}

// temper takes the same alloy stretched, where it is held for the thickness.
func (y *remedy) temper() (Fix, bool) {
	m := y.p.Stock.Material
	for _, a := range material.Alloys() {
		if a.Alloy != m.Alloy || !relieved.MatchString(a.Temper) {
			continue
		}
		if _, err := material.Lookup(a.Alloy, a.Temper, y.p.Stock.Nominal); err == nil {
			return Fix{"Take it stress-relieved: " + a.Alloy + " " + a.Temper, plate.SetMaterial(a.Alloy, a.Temper)}, true
		}
	}
	return Fix{}, false
}

// cornerRadius makes the inside corners as large as the smallest end mill asks. Only a pocket's radius is one figure.
func (y *remedy) cornerRadius() (Fix, bool) {
	k := y.pocket(y.id())
	if k == nil {
		return Fix{}, false
	}
	r := run{rules: rulesFor(y.s)}
	radius := upTo(smallest(filletMills(flatMills(y.s), y.s, k.FloorRadius)) * r.rule("corner-radius", finding.Warning).Limit)
	return y.radius(k, radius)
}

// cornerDeep makes the inside corners as large as the depth of the deepest cell asks.
func (y *remedy) cornerDeep() (Fix, bool) {
	k := y.pocket(y.id())
	if k == nil {
		return Fix{}, false
	}
	deepest := max(k.Depth, k.DepthBack)
	if k.Side == plate.Through {
		deepest = y.p.Stock.Thickness()
	}
	for _, c := range k.Depths {
		deepest = max(deepest, c.Depth, c.Back)
		if c.Through {
			deepest = max(deepest, y.p.Stock.Thickness())
		}
	}
	r := run{rules: rulesFor(y.s)}
	return y.radius(k, upTo(deepest/r.rule("corner-deep", finding.Note).Limit))
}

func (y *remedy) radius(k *plate.Pocket, radius float64) (Fix, bool) {
	if math.IsInf(radius, 1) || radius <= k.Radius || k.Kind == plate.RoundPocket || k.Kind == plate.ObroundPocket {
		return Fix{}, false
	}
	k.Radius = radius
	return Fix{"Make the inside corner radius " + y.length(radius), plate.SetPocket(*k)}, true
}

// floorRadius takes the nearest floor radius that a cutter of the shop leaves.
func (y *remedy) floorRadius() (Fix, bool) {
	k := y.pocket(y.id())
	if k == nil {
		return Fix{}, false
	}
	r := run{rules: rulesFor(y.s), p: y.s}
	deepest := max(k.Depth, k.DepthBack)
	for _, c := range k.Depths {
		deepest = max(deepest, c.Depth, c.Back)
	}
	least, most := r.cornerRadii(k.Radius, deepest, k.FloorRadius)
	to := most
	if most == 0 {
		to = least
	}
	if math.IsInf(to, 1) || to == k.FloorRadius || to > k.Radius {
		return Fix{}, false
	}
	k.FloorRadius = to
	return Fix{"Make the floor radius " + y.length(to), plate.SetPocket(*k)}, true
}

// seats changes those seats of the bore that want it, and makes the edit.
func (y *remedy) seats(text string, change func(*plate.Seat) bool) (Fix, bool) {
	b := y.bore()
	if b == nil {
		return Fix{}, false
	}
	any := false
	for i := range b.Seats {
		any = change(&b.Seats[i]) || any
	}
	return Fix{text, plate.SetBore(*b)}, any
}

// seatFit takes the usual class for the load on the outer ring.
func (y *remedy) seatFit() (Fix, bool) {
	class := ""
	fix, ok := y.seats("", func(s *plate.Seat) bool {
		load := standard.OuterRingLoad(s.Ring)
		advice, err := standard.SeatFit(load)
		if suits, _ := standard.SuitsLoad(s.Fit, s.Diameter, load); err != nil || s.Bearing == "" || suits && y.f.Code != "seat-coarse" {
			return false
		}
		if s.Fit == advice.Fits[0] {
			return false
		}
		s.Fit = advice.Fits[0]
		class = s.Fit
		return true
	})
	fix.Text = "Make the seat " + class
	return fix, ok
}

// seatDepth makes the seat as deep as its bearing is wide, where a shoulder is left.
func (y *remedy) seatDepth() (Fix, bool) {
	least := rulesFor(y.s)
	thin := (&run{rules: least}).rule("shoulder-thin", finding.Warning).Limit
	depth, other := 0.0, map[plate.Side]float64{}
	if b := y.bore(); b != nil {
		for _, s := range b.Seats {
			other[s.Side] = max(other[s.Side], s.Depth)
		}
	}
	fix, ok := y.seats("", func(s *plate.Seat) bool {
		v, err := standard.Bearing(s.Bearing)
		back := other[plate.Bottom]
		if s.Side == plate.Bottom {
			back = other[plate.Top]
		}
		if err != nil || s.Depth >= v.Width || y.p.Stock.Thickness()-back-v.Width < thin || other[s.Side] > s.Depth {
			return false
		}
		s.Depth, depth = v.Width, v.Width
		return true
	})
	fix.Text = "Make the seat " + y.length(depth) + " deep"
	return fix, ok
}

// grooveSize takes the groove of the retaining ring for the seat.
func (y *remedy) grooveSize() (Fix, bool) {
	text := ""
	fix, ok := y.seats("", func(s *plate.Seat) bool {
		ring, exact, err := standard.RingFor(s.Diameter)
		if err != nil || !exact || s.Groove.Width == 0 {
			return false
		}
		s.Groove.Diameter, s.Groove.Width = ring.Groove, ring.Width
		text = "Make the groove " + y.length(ring.Groove) + " × " + y.length(ring.Width)
		return s.Groove.At+s.Groove.Width <= s.Depth
	})
	fix.Text = text
	return fix, ok
}

// groovePlace puts the groove where the ring holds the bearing without play.
func (y *remedy) groovePlace() (Fix, bool) {
	at := 0.0
	fix, ok := y.seats("", func(s *plate.Seat) bool {
		v, err := standard.Bearing(s.Bearing)
		ring, exact, err2 := standard.RingFor(s.Diameter)
		to := neat(s.Depth - v.Width - ring.Thickness)
		if err != nil || err2 != nil || !exact || s.Groove.Width == 0 || to <= 0 || to == s.Groove.At {
			return false
		}
		s.Groove.At, at = to, to
		return true
	})
	fix.Text = "Put the groove " + y.length(at) + " below the face"
	return fix, ok
}

func (y *remedy) keyway() (Fix, bool) {
	b := y.bore()
	if b == nil {
		return Fix{}, false
	}
	k, err := standard.KeywayFor(b.Diameter)
	if err != nil {
		return Fix{}, false
	}
	b.Keyway.Width, b.Keyway.Height = k.Width, k.HubDepth
	return Fix{"Make the keyway " + y.length(k.Width) + " × " + y.length(k.HubDepth), plate.SetBore(*b)}, true
}

// mask keeps the feature free of the finish.
func (y *remedy) mask() (Fix, bool) {
	id := y.id()
	if id == 0 || slices.Contains(y.p.Stock.Finish.Masked, id) {
		return Fix{}, false
	}
	return Fix{"Keep it free of the finish", plate.Replace("mask from finish", func(p *plate.Plate) {
		p.Stock.Finish.Masked = append(slices.Clone(p.Stock.Finish.Masked), id)
	})}, true
}

// form is the hole form of the feature in the private copy.
func (y *remedy) form(p *plate.Plate) *plate.HoleForm {
	if h := byID(p.Holes, y.id(), func(h *plate.Hole) plate.ID { return h.ID }); h != nil {
		return &h.HoleForm
	}
	if c := byID(p.Circles, y.id(), func(c *plate.BoltCircle) plate.ID { return c.ID }); c != nil {
		return &c.HoleForm
	}
	if c := byID(p.Rings, y.id(), func(c *plate.ClockedRing) plate.ID { return c.ID }); c != nil {
		return &c.HoleForm
	}
	if e := byID(p.Eccentrics, y.id(), func(e *plate.Eccentric) plate.ID { return e.ID }); e != nil {
		return &e.Lock
	}
	return nil
}

// change is an edit of the hole form of the feature.
func (y *remedy) change(text, label string, change func(*plate.HoleForm)) Fix {
	e := plate.Replace(label, func(p *plate.Plate) {
		if h := y.form(p); h != nil {
			change(h)
		}
	})
	e.Feature = y.id()
	return Fix{text, e}
}

// head takes the recess of the head's standard.
func (y *remedy) head() (Fix, bool) {
	h := y.form(&y.p)
	if h == nil || h.HeadDiameter == 0 && h.HeadDepth == 0 {
		return Fix{}, false
	}
	return y.change("Take the recess of the head's standard", "recess of", func(h *plate.HoleForm) { h.HeadDiameter, h.HeadDepth = 0, 0 }), true
}

// thread taps a blind hole two diameters deep, where the plate is thick enough for the drill below it and a floor.
func (y *remedy) thread() (Fix, bool) {
	h := y.form(&y.p)
	if h == nil || h.Side == plate.Through {
		return Fix{}, false
	}
	d, _ := standard.NominalDiameter(h.Size)
	drill, pitch, ok := standard.TapDrill(h.Size)
	r := run{rules: rulesFor(y.s)}
	depth := r.rule("thread-short", finding.Note).Limit * d
	// Below the thread are five pitches of run-out and the point of a drill of 118°, as the layout cuts them.
	need := depth + 5*pitch + drill/2/math.Tan(59*math.Pi/180) + r.rule("drill-point-thin", finding.Warning).Limit
	if !ok || depth <= h.Depth || need > y.p.Stock.Thickness() {
		return Fix{}, false
	}
	return y.change("Tap it "+y.length(depth)+" deep", "depth of", func(h *plate.HoleForm) { h.Depth = depth }), true
}

// ledge makes the ledge as wide as the panel's bearing and clearance ask.
func (y *remedy) ledge() (Fix, bool) {
	n := y.inlay()
	if n == nil {
		return Fix{}, false
	}
	k := y.pocket(n.Pocket)
	if k == nil || k.Ledge.Width == 0 {
		return Fix{}, false
	}
	k.Ledge.Width = neat(y.limit("ledge-narrow") + n.Clearance)
	return Fix{"Make the ledge " + y.length(k.Ledge.Width) + " wide", plate.SetPocket(*k)}, true
}

func (y *remedy) clearance() (Fix, bool) {
	n := y.inlay()
	if n == nil {
		return Fix{}, false
	}
	n.Clearance = y.limit("inlay-tight")
	return Fix{"Give the panel a clearance of " + y.length(n.Clearance), plate.SetInlay(*n)}, true
}

// position draws the mate at the nearest angle at which enough bolts fit.
func (y *remedy) position() (Fix, bool) {
	c := byID(y.p.Rings, y.id(), func(c *plate.ClockedRing) plate.ID { return c.ID })
	if c == nil {
		return Fix{}, false
	}
	own, mate := kinematics.RingsOf(*c)
	all, err := kinematics.Clock(own, mate, kinematics.DefaultDeg)
	if err != nil {
		return Fix{}, false
	}
	all = slices.DeleteFunc(all, func(p kinematics.Position) bool { return p.Bolts < max(1, c.LeastBolts) })
	if len(all) == 0 {
		return Fix{}, false
	}
	off := func(p kinematics.Position) float64 { return math.Abs(math.Remainder(p.AngleDeg-c.PositionDeg, 360)) }
	best := slices.MinFunc(all, func(a, b kinematics.Position) int { return cmp.Compare(off(a), off(b)) })
	c.PositionDeg = best.AngleDeg
	return Fix{fmt.Sprintf("Draw the mate at %.4g°", best.AngleDeg), plate.SetRing(*c)}, true
}
