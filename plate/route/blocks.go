package route

import (
	"cmp"
	"math"
	"slices"

	"platewright/plate/geom"
)

// Turning a run into the blocks that the control sees, with the feed that corners allow.

// tally is the time of a stretch of work, seconds, and where it goes.
type tally struct {
	length  float64          // mm at feed
	held    [nLimits]float64 // what each limit of the feed costs over the cutting data
	gain    [nLimits]float64 // what lifting each limit would save at most: the next one holds then
	nominal float64          // length ÷ feed on a straight
	corner  float64          // length ÷ feed slowed in corners: what a machine without mass would take
	motion  float64          // with acceleration
}

// holders are the limits that hold a feed down before the machine moves, in the order in which tally.held counts them.
var holders = [...]string{LimitData, LimitSpindle, LimitPower, LimitTorque, LimitDeflection, LimitStickOut, LimitFeed, LimitTapping}

const nLimits = len(holders)

func (t *tally) add(u tally, times float64) {
	t.length += times * u.length
	for i := range t.held {
		t.held[i] += times * u.held[i]
		t.gain[i] += times * u.gain[i]
	}
	t.nominal += times * u.nominal
	t.corner += times * u.corner
	t.motion += times * u.motion
}

// along counts length l at a pace slowed to a share of it.
func (t *tally) along(l float64, p pace, slow float64) {
	t.length += l
	s := l / p.feed * 60
	t.nominal += s
	t.corner += s / slow
	for i, name := range holders {
		if name == p.limit {
			t.held[i] += max(0, s-l/p.ideal*60)
			t.gain[i] += max(0, s-l/p.next*60)
		}
	}
}

func straightTally(l float64, p pace) tally {
	var t tally
	t.along(l, p, 1)
	return t
}

// blocker collects the blocks of one run.
type blocker struct {
	blocks  []Block
	sum     tally
	radius  float64 // of the cutter
	side    float64 // +1 where uncut metal lies to the right of the path, −1 to the left
	least   float64 // least share of the feed in a corner
	angle   float64 // ramp angle, rad
	linking float64 // feed of moves in cleared space, mm/min
}

func (b *blocker) reset() { b.blocks, b.sum = b.blocks[:0], tally{} }

// put appends one block: length along the plane, dropping by drop.
func (b *blocker) put(e *geom.Edge, from, to float64, p pace, slow, drop float64) {
	plane := e.Length() * (to - from)
	if plane <= 0 && drop == 0 {
		return
	}
	l := math.Hypot(plane, drop)
	c, s := 1.0, 0.0
	if drop != 0 {
		c, s = plane/l, -drop/l
	}
	dir := func(t geom.Point) [3]float64 { return [3]float64{t.X * c, t.Y * c, s} }
	k := Block{Length: l, Feed: p.feed * slow}
	if e.IsArc() {
		k.Radius = e.R
		k.Start, k.End = dir(tangentAt(e, from)), dir(tangentAt(e, to))
	} else {
		k.Start = dir(e.TangentA())
		k.End = k.Start
	}
	b.blocks = append(b.blocks, k)
	b.sum.along(l, p, slow)
}

// tangentAt is the direction at the share t of an arc.
func tangentAt(e *geom.Edge, t float64) geom.Point {
	a := e.TangentA()
	if t == 0 {
		return a
	}
	return a.Rotate(e.Sweep() * t)
}

// descend appends the way down a height of h.
func (b *blocker) descend(e *entry, h float64) {
	switch {
	case h <= 0:
	case len(e.loop) == 0:
		p := steady(b.linking)
		if e.steep {
			p = e.pace
		}
		b.blocks = append(b.blocks, Block{Length: h, Feed: p.feed, Start: [3]float64{0, 0, -1}, End: [3]float64{0, 0, -1}})
		b.sum.along(h, p, 1)
	default:
		l := chainLength(e.loop)
		turns := turnsDown(l, h, b.angleOf(e))
		for range turns {
			for i := range e.loop {
				b.put(&e.loop[i], 0, 1, e.pace, 1, h*e.loop[i].Length()/(l*float64(turns)))
			}
		}
	}
}

func (b *blocker) angleOf(e *entry) float64 {
	if e.angle > 0 {
		return e.angle
	}
	return b.angle
}

// turnsDown is the number of whole turns of a loop of length l that go down by h at no more than the angle: the ramp ends
// where the passes start.
func turnsDown(l, h, angle float64) int {
	return max(1, int(math.Ceil(h/(l*math.Tan(angle))-1e-9)))
}

// shorten leaves of a loop longer than the ramp needs only its last part.
func (b *blocker) shorten(e *entry, h float64) {
	if len(e.loop) > 0 {
		e.loop = tail(e.loop, h/math.Tan(b.angleOf(e)))
	}
}

// pass appends the blocks of one pass. Before a corner that wraps uncut metal round the cutter the feed falls, over a length
// of the cutter's radius, by the ratio of the angles of engagement; in an arc that bends towards uncut metal the feed of the
// centre is that which keeps the feed at the wall, ρ/(ρ + r).
func (b *blocker) pass(p *pass) {
	engaged := 0.0
	if p.ae > 0 {
		engaged = Engagement(p.ae, 2*b.radius)
	}
	n := len(p.edges)
	closed := n > 1 && p.edges[0].A.Dist(p.edges[n-1].B) < 1e-6
	for i := range p.edges {
		e := &p.edges[i]
		if e.IsArc() {
			slow := 1.0
			if engaged > 0 && engaged < math.Pi && float64(e.Dir)*b.side > 0 {
				slow = max(b.least, e.R/(e.R+b.radius))
			}
			b.put(e, 0, 1, p.pace, slow, 0)
			continue
		}
		slow := 1.0
		if engaged > 0 && (i+1 < n || closed) {
			next := &p.edges[(i+1)%n]
			u, v := e.TangentB(), next.TangentA()
			if turn := math.Atan2(u.Cross(v), u.Dot(v)) * b.side; turn > 0.01 {
				slow = max(b.least, engaged/min(math.Pi, engaged+turn))
			}
		}
		if slow == 1 {
			b.put(e, 0, 1, p.pace, 1, 0)
			continue
		}
		if l := e.Length(); l > b.radius {
			b.put(e, 0, 1-b.radius/l, p.pace, 1, 0)
			b.put(e, 1-b.radius/l, 1, p.pace, slow, 0)
		} else {
			b.put(e, 0, 1, p.pace, slow, 0)
		}
	}
}

// run times one run that goes down by h.
func (w *worker) run(r *run, h float64) tally {
	b := &w.blocker
	b.reset()
	b.descend(&r.entry, h)
	for i := range r.passes {
		b.pass(&r.passes[i])
	}
	b.sum.motion = w.timer.time(b.blocks)
	return b.sum
}

// gainsOf lists what lifting each limit would save of an operation, min, the dearest first. A limit of the feed saves at most what
// the feed alone would; corners and acceleration cost what they add to it.
func gainsOf(t tally) []Gain {
	var out []Gain
	add := func(name string, s float64) {
		if s = min(s, t.motion); s > 1e-3*t.motion {
			out = append(out, Gain{name, s / 60})
		}
	}
	for i, s := range t.gain {
		add(holders[i], s)
	}
	add(LimitCorner, t.corner-t.nominal)
	add(LimitAcceleration, t.motion-t.corner)
	slices.SortStableFunc(out, func(a, b Gain) int { return cmp.Compare(b.Minutes, a.Minutes) })
	return out
}
