package route

import (
	"fmt"
	"math"

	"platewright/plate/shop"
)

// What limits an operation. The first seven hold the feed down before the machine moves, the last three while it moves.
const (
	LimitData         = "cutting data"
	LimitSpindle      = "spindle speed"
	LimitPower        = "power"
	LimitTorque       = "torque"
	LimitDeflection   = "deflection"
	LimitStickOut     = "stick-out"
	LimitFeed         = "machine feed"
	LimitCorner       = "corner feed"
	LimitAcceleration = "acceleration"
	LimitTapping      = "tapping speed"
)

// Moduli of elasticity of tools, MPa: cemented carbide with 8–10 % cobalt about 580 GPa, high-speed steel about 210 GPa.
// Handbook values from memory.
const (
	youngCarbide = 580e3
	youngSteel   = 210e3
)

// Conditions are what a tool runs at, and why not faster.
type Conditions struct {
	Spindle    float64 // rpm
	Feed       float64 // mm/min, of the tool's centre on a straight
	Ap, Ae     float64 // mm
	Ideal      float64 // feed in mm/min that the cutting data alone would allow
	Next       float64 // feed in mm/min if what limits it did not: where the next limit stands
	Power      float64 // kW at the cut
	Torque     float64 // N·m at the cut
	Deflection float64 // mm, milling
	LimitedBy  string
	Source     string
}

// limit is one ceiling of the feed.
type limit struct {
	feed float64
	name string
}

// lowest returns the lowest ceiling, the first of equals, and the feed of the next one above it.
func lowest(ls ...limit) (least limit, next float64) {
	least = ls[0]
	for _, l := range ls[1:] {
		if l.feed < least.feed*(1-1e-12) {
			least = l
		}
	}
	next = math.Inf(1)
	for _, l := range ls {
		if l.name != least.name {
			next = min(next, l.feed)
		}
	}
	return least, max(next, least.feed)
}

// spindle is the speed that a tool turns at for cutting speed vc, within what tool and spindle allow.
func spindle(m shop.Machine, t shop.Tool, vc float64) (n, want float64) {
	want = SpindleSpeed(vc, t.Diameter)
	top := m.SpindleMax
	if t.MaxSpeed > 0 {
		top = min(top, t.MaxSpeed)
	}
	return max(min(want, top), min(m.SpindleMin, top)), want
}

// powerAt is what reaches the cut at n rpm, kW, within the spindle's power and torque.
func powerAt(m shop.Machine, n float64) (power float64, name string) {
	p := m.PowerAt(n) * m.Efficiency
	if byTorque := m.Torque * m.Efficiency * 2 * math.Pi * n / 60 / 1000; byTorque < p {
		return byTorque, LimitTorque
	}
	if n <= m.Power[0].Speed {
		return p, LimitTorque
	}
	return p, LimitPower
}

// Milling finds the conditions of an end mill or face mill at width ae and depth ap.
//
// The speed is the published cutting speed, capped by spindle and tool. The feed per tooth is the published one; roughing and
// chamfering below half the diameter raise it by the exact chip thinning 1/sin φ, finishing does not (the feed marks the
// wall). Force by Kienzle at the mean chip: per tooth kc·ap·hm, z·φ/2π teeth in cut, at least one. It is held within the
// spindle's power and torque and the deflection that the rules allow; a tool more slender than the normal
// ratio runs at a feed reduced in proportion.
func Milling(p shop.Profile, group string, t shop.Tool, w shop.Work, ae, ap float64) (Conditions, error) {
	data, ok := p.Data(group, t.Kind, t.Material, w, t.Diameter)
	if !ok {
		return Conditions{}, &noDataError{group, t, w}
	}
	ae = min(ae, t.Diameter)
	c := Conditions{Ap: ap, Ae: ae, Source: data.Source()}
	n, want := spindle(p.Machine, t, data.Speed.Vc)
	c.Spindle = n
	fz := data.Feed.Feed
	if w == shop.Rough || w == shop.Chamfer {
		fz *= ChipThinning(ae, t.Diameter)
	}
	c.Ideal = FeedRate(fz, t.Flutes, want)
	full := FeedRate(fz, t.Flutes, n)

	load := loadOf(t, data, fz, ae, ap, full)
	allowed := p.Practice.Deflection.Value
	if w == shop.Finish {
		allowed = p.Practice.FinishDeflection.Value
	}
	// power, force and deflection all grow as feed^(1 − mc)
	scale := func(have, limit float64) float64 {
		if have <= limit {
			return math.Inf(1)
		}
		return full * math.Pow(limit/have, 1/(1-data.Force.MC))
	}
	byPower, powerName := powerAt(p.Machine, n)
	slender := math.Inf(1) // no limit of its own below the ratio, or it would hide what a faster spindle gains
	if l := t.Slender(); l > p.Practice.StickOut.Value && t.Kind == shop.EndMill {
		slender = full * p.Practice.StickOut.Value / l
	}
	first := limit{full, LimitData}
	if n < want*(1-1e-9) {
		first.name = LimitSpindle
	}
	l, next := lowest(first, limit{slender, LimitStickOut}, limit{scale(load.power, byPower), powerName},
		limit{scale(load.bend, allowed), LimitDeflection}, limit{p.Machine.MaxFeed, LimitFeed})
	switch l.name {
	case LimitSpindle: // a faster spindle would bring the feed of the cutting data, no more
		next = min(next, c.Ideal)
	case LimitData: // nothing is known of a tool beyond its data
		next = l.feed
	}
	c.Feed, c.LimitedBy, c.Next = l.feed, l.name, next
	k := math.Pow(c.Feed/full, 1-data.Force.MC)
	c.Power, c.Deflection = load.power*k, load.bend*k
	c.Torque = Torque(c.Power, n)
	return c, nil
}

// load is what a cut asks of spindle and tool.
type load struct{ power, bend float64 } // kW, mm

// loadOf is the load of a milling cut at feed rate vf, fz per tooth.
func loadOf(t shop.Tool, data shop.CuttingData, fz, ae, ap, vf float64) load {
	teeth := max(1, float64(t.Flutes)*Engagement(ae, t.Diameter)/(2*math.Pi))
	hm := MeanChip(fz, ae, t.Diameter)
	kc := SpecificForce(data.Force.KC11, data.Force.MC, hm)
	l := load{power: CuttingPower(RemovalRate(ae, ap, vf), kc)}
	if t.Kind == shop.EndMill {
		l.bend = Cantilever(kc*ap*hm*teeth, ap/2, young(t), beam(t)...)
	}
	return l
}

// beam is an end mill as a stepped beam from the tip: its flutes, which count with 0.8 D (the usual equivalent diameter, common
// practice, no source), the neck down to its reach, and the shank.
func beam(t shop.Tool) []Stretch {
	neck := max(0, t.Reach-t.FluteLength)
	return []Stretch{
		{t.FluteLength, 0.8 * t.Diameter}, {neck, t.Diameter}, {max(0, t.StickOut-t.FluteLength-neck), t.Shank()},
	}
}

func young(t shop.Tool) float64 {
	if t.Material == "solid carbide" {
		return youngCarbide
	}
	return youngSteel
}

// Drilling finds the conditions of a drill, spot drill or boring head of diameter d (that of the hole for a boring head).
// The power is Q·kc with the chip of one lip, h = f/2·sin(half the point angle).
func Drilling(p shop.Profile, group string, t shop.Tool, w shop.Work, d, stock float64) (Conditions, error) {
	data, ok := p.Data(group, t.Kind, t.Material, w, t.Diameter)
	if !ok {
		return Conditions{}, &noDataError{group, t, w}
	}
	at := t
	at.Diameter = d
	n, want := spindle(p.Machine, at, data.Speed.Vc)
	f := data.Feed.Feed
	if data.Feed.Per == shop.PerTooth {
		f *= float64(t.Flutes)
	}
	c := Conditions{Spindle: n, Ideal: f * want, Ap: stock, Ae: d, Source: data.Source()}
	full := f * n
	q, h := DrillRemovalRate(d, f, n), f
	if w == shop.Bored || w == shop.Reamed {
		if w == shop.Reamed {
			h = data.Feed.Feed
		}
		q = math.Pi * (d - stock) * stock * full
	} else {
		h = f / 2 * math.Sin(t.PointAngleDeg*math.Pi/360)
	}
	power := CuttingPower(q, SpecificForce(data.Force.KC11, data.Force.MC, h))
	byPower, powerName := powerAt(p.Machine, n)
	first := limit{full, LimitData}
	if n < want*(1-1e-9) {
		first.name = LimitSpindle
	}
	second := limit{math.Inf(1), powerName}
	if power > byPower {
		second.feed = full * math.Pow(byPower/power, 1/(1-data.Force.MC))
	}
	l, next := lowest(first, second, limit{p.Machine.MaxFeed, LimitFeed})
	if l.name == LimitSpindle {
		next = min(next, c.Ideal)
	}
	c.Feed, c.LimitedBy, c.Next = l.feed, l.name, next
	c.Power = power * math.Pow(c.Feed/full, 1-data.Force.MC)
	c.Torque = Torque(c.Power, n)
	return c, nil
}

// Tapping finds the conditions of a tap: the feed is the pitch at every speed.
func Tapping(p shop.Profile, group string, t shop.Tool) (Conditions, error) {
	data, ok := p.Data(group, t.Kind, t.Material, shop.Tapped, t.Diameter)
	if !ok {
		return Conditions{}, &noDataError{group, t, shop.Tapped}
	}
	n, want := spindle(p.Machine, t, data.Speed.Vc)
	c := Conditions{Spindle: n, Ideal: want * t.Pitch, LimitedBy: LimitData, Source: data.Source()}
	if n < want*(1-1e-9) {
		c.LimitedBy = LimitSpindle
	}
	if c.Spindle > p.Machine.MaxTapSpeed {
		c.Spindle, c.LimitedBy = p.Machine.MaxTapSpeed, LimitTapping
	}
	c.Feed, c.Next = c.Spindle*t.Pitch, min(c.Ideal, p.Machine.MaxTapSpeed*t.Pitch)
	switch c.LimitedBy {
	case LimitTapping:
		c.Next = n * t.Pitch
	case LimitData:
		c.Next = max(c.Feed, p.Machine.MaxTapSpeed*t.Pitch)
	}
	return c, nil
}

// noDataError says that a profile has no cutting data for a tool.
type noDataError struct {
	group string
	tool  shop.Tool
	work  shop.Work
}

func (e *noDataError) Error() string {
	return fmt.Sprintf("route: the shop has no cutting data to %s material of group %q with %s (%s, %s, %g mm)",
		e.work, e.group, e.tool.ID, e.tool.Kind, e.tool.Material, e.tool.Diameter)
}

// maxLevels bounds the search for the best number of depth levels above the least one.
const maxLevels = 12

// levels chooses how many equal depth levels clear a depth quickest: as few as the deepest cut allows, or more where power or
// deflection would hold the feed of deep cuts down. What is compared is levels ÷ feed, with a share of the path at full width.
func levels(p shop.Profile, group string, t shop.Tool, w shop.Work, ae, depth, deepest, slotShare float64) (n int, c, slot Conditions, err error) {
	deepest = min(deepest, t.FluteLength)
	if depth <= 0 || deepest <= 0 {
		return 0, c, slot, fmt.Errorf("route: no depth to cut with %s", t.ID)
	}
	least := max(1, int(math.Ceil(depth/deepest-1e-9)))
	best := math.Inf(1)
	for k := least; k < least+maxLevels; k++ {
		at, err := Milling(p, group, t, w, ae, depth/float64(k))
		if err != nil {
			return 0, c, slot, err
		}
		full := at
		if slotShare > 0 {
			if full, err = Milling(p, group, t, w, t.Diameter, depth/float64(k)); err != nil {
				return 0, c, slot, err
			}
		}
		if s := float64(k) * ((1-slotShare)/at.Feed + slotShare/full.Feed); s < best*(1-1e-9) {
			n, c, slot, best = k, at, full, s
		}
	}
	return n, c, slot, nil
}
