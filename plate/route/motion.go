package route

import (
	"math"

	"platewright/plate/shop"
)

// Motion: how long the machine takes along a path.
//
// A path is a chain of blocks, each a line, an arc or a turn of a helix. Along a block the speed is at most
//   - the feed,
//   - on an arc √(a·R): the centripetal acceleration v²/R stays within the acceleration a of the slower of X and Y,
//   - length ÷ block time: the control takes at least that long for a block.
//
// From one block to the next the direction may turn by a corner. The path may leave the corner by the path tolerance δ. The
// circle that touches both legs and passes the corner at the distance δ has radius R with R·(1/sin(θ/2) − 1) = δ, where θ is
// the angle between the legs (π when the path goes straight on), so
//
//	v² = a·δ·sin(θ/2) / (1 − sin(θ/2)).
//
// The circle must also touch each leg in its nearer half: R ≤ ½·leg·tan(θ/2). Between the ends of a block the speed rises and
// falls with the acceleration that the slowest axis allows in that direction; a pass backwards and a pass forwards over the
// chain (look-ahead over the whole of it) makes every stop in time. The chain starts and ends at rest.
//
// The speed found is the greatest everywhere that keeps all of these, so more feed or more acceleration never makes a path
// slower, and no path is faster than length ÷ feed. Jerk is left out; on an arc the tangential and the centripetal share are
// each held to the limit, not their vector sum. Both make the estimate a little fast.
//
// It is checked against closed forms only. Measured milling times are published (Monreal and Rodriguez 2003 on zig-zag pockets, Heo,
// Merdol and Altintas 2010 on high-speed pocketing; both from memory), but no table with geometry, feed and the machine's acceleration
// could be read, so no figure here is compared with or tuned to a measured one.

// Block is one line, arc or turn of a path.
type Block struct {
	Length     float64    // mm
	Feed       float64    // mm/min
	Radius     float64    // of an arc, mm; 0 for a line
	Start, End [3]float64 // unit directions
}

// dynamics are the limits of the machine in mm and seconds.
type dynamics struct {
	accel     [3]float64
	arc       float64 // the lesser of X and Y
	least     float64 // of all three
	tolerance float64
	block     float64
	rapid     [3]float64 // mm/s
	maxFeed   float64    // mm/s
}

func dynamicsOf(m shop.Machine) dynamics {
	d := dynamics{accel: m.Accel, tolerance: m.PathTolerance, block: m.BlockTime, maxFeed: m.MaxFeed / 60}
	d.arc = min(m.Accel[0], m.Accel[1])
	d.least = min(d.arc, m.Accel[2])
	for i, r := range m.Rapid {
		d.rapid[i] = r / 60
	}
	return d
}

// timer computes path times and keeps its buffer between them.
type timer struct {
	d     dynamics
	ends  []float64 // squares of the greatest speeds at the joints
	top   []float64 // greatest speed along each block
	along []float64 // acceleration along each block
}

func (t *timer) time(blocks []Block) float64 {
	n := len(blocks)
	if n == 0 {
		return 0
	}
	t.ends = append(t.ends[:0], 0)
	t.top, t.along = t.top[:0], t.along[:0]
	for i := range blocks {
		b := &blocks[i]
		t.top = append(t.top, t.d.topSpeed(b))
		t.along = append(t.along, t.d.alongBlock(b))
	}
	for i := 1; i < n; i++ {
		v := min(t.top[i-1], t.top[i])
		t.ends = append(t.ends, min(v*v, t.d.cornerSquare(&blocks[i-1], &blocks[i])))
	}
	t.ends = append(t.ends, 0)
	for i := n - 1; i >= 0; i-- {
		t.ends[i] = min(t.ends[i], t.ends[i+1]+2*t.along[i]*blocks[i].Length)
	}
	sum := 0.0
	for i := range blocks {
		t.ends[i+1] = min(t.ends[i+1], t.ends[i]+2*t.along[i]*blocks[i].Length)
		sum += trapezoid(blocks[i].Length, t.ends[i], t.ends[i+1], t.top[i], t.along[i])
	}
	return sum
}

func (d *dynamics) topSpeed(b *Block) float64 {
	v := min(b.Feed/60, d.maxFeed)
	if b.Radius > 0 {
		v = min(v, math.Sqrt(d.arc*b.Radius))
	}
	if d.block > 0 {
		v = min(v, b.Length/d.block)
	}
	return v
}

// alongBlock is the acceleration along a block: for a line that at which the first of its axes reaches its limit, for an arc,
// which runs in all directions, that of the slower axis.
func (d *dynamics) alongBlock(b *Block) float64 {
	if b.Radius > 0 {
		if math.Abs(b.Start[2]) > 0.1 {
			return d.least
		}
		return d.arc
	}
	a := math.Inf(1)
	for i, u := range b.Start {
		if u := math.Abs(u); u > 1e-9 {
			a = min(a, d.accel[i]/u)
		}
	}
	return a
}

// cornerSquare is the square of the greatest speed from block a to block b.
func (d *dynamics) cornerSquare(a, b *Block) float64 {
	cos := 0.0
	lift := false
	for i := range a.End {
		cos += a.End[i] * b.Start[i]
		lift = lift || math.Abs(a.End[i]-b.Start[i]) > 0 && i == 2
	}
	if cos >= 1-1e-10 { // straight on, to rounding
		return math.Inf(1)
	}
	half := math.Sqrt(max(0, (1+cos)/2)) // sin(θ/2): the path turns by π − θ
	if half < 1e-7 {
		return 0
	}
	r := d.tolerance * half / (1 - half)
	tan := half / math.Sqrt(max(1e-300, 1-half*half))
	r = min(r, min(a.Length, b.Length)/2*tan)
	acc := d.arc
	if lift {
		acc = d.least
	}
	return acc * r
}

// trapezoid is the time over length s from speed √u0 to √u1 with acceleration a and at most top speed. The ends are within
// reach of each other.
func trapezoid(s, u0, u1, top, a float64) float64 {
	if s <= 0 {
		return 0
	}
	v0, v1 := math.Sqrt(u0), math.Sqrt(u1)
	peak := (u0 + u1 + 2*a*s) / 2 // square of the speed at which rise and fall meet
	if top2 := top * top; peak > top2 {
		rise, fall := (top2-u0)/(2*a), (top2-u1)/(2*a)
		return (top-v0)/a + (top-v1)/a + (s-rise-fall)/top
	}
	p := math.Sqrt(peak)
	return (p-v0)/a + (p-v1)/a
}

// rapidTime is the time in seconds of a positioning move by (dx, dy, dz) mm: every axis goes as fast as it can, from rest to
// rest, and the last to arrive counts.
func (d *dynamics) rapidTime(dx, dy, dz float64) float64 {
	t := 0.0
	for i, s := range [3]float64{dx, dy, dz} {
		t = max(t, trapezoid(math.Abs(s), 0, 0, d.rapid[i], d.accel[i]))
	}
	return t
}
