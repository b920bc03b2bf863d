package kinematics

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
)

// MaxRingHoles bounds the holes of one ring, as the document does.
const MaxRingHoles = 360

// ExactDeg is the tolerance in degrees for rings whose angles are meant exactly: far above the rounding of sums of angles,
// far below what a machine can drill.
const ExactDeg = 1e-6

// DefaultDeg is the tolerance in degrees for drawn rings: 0.01° is 9 µm on a circle of 100 mm, and angles typed to two
// decimals coincide.
const DefaultDeg = 0.01

// Ring is the angles in degrees of the holes of one ring, in the order of the holes.
type Ring []float64

// Equal is a ring of n equally spaced holes with the first one at the given angle.
func Equal(n int, startDeg float64) Ring {
	if n < 1 || n > MaxRingHoles {
		return nil
	}
	r := make(Ring, n)
	for i := range r {
		r[i] = startDeg + 360*float64(i)/float64(n)
	}
	return r
}

// RingsOf gives the plate's own ring and the mating part's, the latter as it stands at the clocked angle 0.
func RingsOf(c plate.ClockedRing) (own, mate Ring) {
	return ringOf(c.Count, c.StartDeg, c.Angles), ringOf(c.MateCount, c.MateStartDeg, c.MateAngles)
}

func ringOf(count int, start float64, angles []float64) Ring {
	if len(angles) == 0 {
		return Equal(count, start)
	}
	r := make(Ring, len(angles))
	for i, a := range angles {
		r[i] = start + a
	}
	return r
}

// check looks at both rings and the tolerance and gives the tolerance to use.
func check(own, mate Ring, toleranceDeg float64) (float64, error) {
	if !(toleranceDeg >= 0 && toleranceDeg <= 5) {
		return 0, fmt.Errorf("kinematics: a tolerance of %g° between holes; it must be from 0 to 5°", toleranceDeg)
	}
	tol := max(toleranceDeg, ExactDeg)
	for _, r := range []Ring{own, mate} {
		if err := r.check(); err != nil {
			return 0, err
		}
		if gap, a, b := r.LeastGap(); gap <= 2*tol {
			return 0, fmt.Errorf("kinematics: holes %d and %d of a ring stand %.3g° apart, which is within the tolerance of %g°; move one", a, b, gap, tol)
		}
	}
	return tol, nil
}

func (r Ring) check() error {
	if len(r) == 0 || len(r) > MaxRingHoles {
		return fmt.Errorf("kinematics: a ring has %d holes; it needs 1 to %d", len(r), MaxRingHoles)
	}
	for i, a := range r {
		if math.IsNaN(a) || math.IsInf(a, 0) || math.Abs(a) > 1e6 {
			return fmt.Errorf("kinematics: hole %d of a ring stands at %g°; give an angle", i+1, a)
		}
	}
	return nil
}

// normal brings an angle into [0, 360).
func normal(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a negative angle below the rounding of 360
		return 0
	}
	return deg
}

// turn is the difference of two angles, in (−180, 180].
func turn(deg float64) float64 {
	deg = normal(deg)
	if deg > 180 {
		deg -= 360
	}
	return deg
}

// Step is the closed form for equally spaced rings of n and m holes: bolts fit every 360°/lcm(n, m), and gcd(n, m) of them.
// Rings of n and n + 1 holes (a vernier) therefore hold by one bolt.
func Step(n, m int) (stepDeg float64, bolts int) {
	if n < 1 || m < 1 {
		return 0, 0
	}
	bolts = gcd(n, m)
	return 360 / (float64(n) / float64(bolts) * float64(m)), bolts
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Position is one clocked angle at which bolts fit.
type Position struct {
	AngleDeg float64 `json:"angle_deg"` // by which the mate is turned, in [0, 360)
	Bolts    int     `json:"bolts"`
	Own      []int   `json:"holes"`      // holes of the plate's ring that a bolt goes through, from 1, ascending
	Mate     []int   `json:"mate_holes"` // the mate's holes that they meet, in the same order
}

// Clock gives every angle at which at least one bolt fits, by angle. Two holes meet when they stand within the tolerance in
// degrees of each other. Where a span of angles serves, as it does for drawn rings that do not quite repeat, the angle that
// takes most bolts is given, amid the span in which all of them fit.
func Clock(own, mate Ring, toleranceDeg float64) ([]Position, error) {
	tol, err := check(own, mate, toleranceDeg)
	if err != nil {
		return nil, err
	}
	var at []Position
	for _, g := range clusters(meetings(own, mate, func(float64) bool { return true }), 2*tol) {
		p := Position{AngleDeg: middle(g)}
		p.Own, p.Mate = pairs(g)
		p.Bolts = len(p.Own)
		at = append(at, p)
	}
	slices.SortFunc(at, func(a, b Position) int { return cmp.Compare(a.AngleDeg, b.AngleDeg) })
	return at, nil
}

// meeting is an angle that brings two holes together.
type meeting struct {
	deg       float64
	own, mate int // from 1
}

// meetings lists the angles that bring two holes together and that the caller keeps, sorted.
func meetings(own, mate Ring, keep func(deg float64) bool) []meeting {
	var ms []meeting
	for i, a := range own {
		for j, b := range mate {
			if deg := normal(a - b); keep(deg) {
				ms = append(ms, meeting{deg, i + 1, j + 1})
			}
		}
	}
	slices.SortFunc(ms, func(a, b meeting) int {
		return cmp.Or(cmp.Compare(a.deg, b.deg), cmp.Compare(a.own, b.own), cmp.Compare(a.mate, b.mate))
	})
	return ms
}

// window is a group of meetings, ms[from] to ms[to] with to counted on past the end of the circle.
type window struct{ from, to int }

// clusters shares the meetings, which are sorted, among groups that fit within the width: the fullest group first, the earlier
// one of equals, until every meeting is in one. No group has more meetings than the smaller ring has holes, because check
// keeps the holes of one ring further apart than the width.
func clusters(ms []meeting, width float64) [][]meeting {
	var groups [][]meeting
	for len(ms) > 0 {
		n := len(ms)
		taken := make([]bool, n)
		for _, w := range windows(ms, width) {
			var g []meeting
			for k := w.from; k <= w.to && !taken[k%n]; k++ {
				g = append(g, ms[k%n])
			}
			if len(g) <= w.to-w.from {
				continue // shares a meeting with a fuller group; what is left of it comes in the next round
			}
			for k := w.from; k <= w.to; k++ {
				taken[k%n] = true
			}
			groups = append(groups, g)
		}
		rest := ms[:0:0]
		for k, m := range ms {
			if !taken[k] {
				rest = append(rest, m)
			}
		}
		ms = rest
	}
	return groups
}

// windows finds, round the circle, the groups that fit within the width and are not part of a larger one, fullest first.
func windows(ms []meeting, width float64) []window {
	n := len(ms)
	at := func(i int) float64 { return ms[i%n].deg + 360*float64(i/n) }
	var all []window
	end, last := 0, -1
	for i := range n {
		end = max(end, i)
		for end+1 < i+n && at(end+1)-at(i) <= width {
			end++
		}
		if end != last {
			all = append(all, window{i, end})
		}
		last = end
	}
	slices.SortStableFunc(all, func(a, b window) int { return cmp.Compare(b.to-b.from, a.to-a.from) })
	return all
}

// middle is amid the span of a group.
func middle(g []meeting) float64 {
	least, most := 0.0, 0.0
	for _, m := range g {
		d := turn(m.deg - g[0].deg)
		least, most = min(least, d), max(most, d)
	}
	return normal(g[0].deg + (least+most)/2)
}

// pairs chooses which meetings take a bolt: each hole once, by the plate's holes ascending.
func pairs(met []meeting) (own, mate []int) {
	met = slices.Clone(met)
	slices.SortFunc(met, func(a, b meeting) int { return cmp.Or(cmp.Compare(a.own, b.own), cmp.Compare(a.mate, b.mate)) })
	for _, m := range met {
		if !slices.Contains(own, m.own) && !slices.Contains(mate, m.mate) {
			own, mate = append(own, m.own), append(mate, m.mate)
		}
	}
	return own, mate
}

// At says which bolts fit when the mate is turned by the given angle: a Position with no bolts where none does.
func At(own, mate Ring, angleDeg, toleranceDeg float64) (Position, error) {
	tol, err := check(own, mate, toleranceDeg)
	if err != nil {
		return Position{}, err
	}
	if math.IsNaN(angleDeg) || math.IsInf(angleDeg, 0) {
		return Position{}, fmt.Errorf("kinematics: bolts are asked for at a clocked angle of %g°; give an angle", angleDeg)
	}
	p := Position{AngleDeg: normal(angleDeg)}
	met := meetings(own, mate, func(deg float64) bool { return math.Abs(turn(deg-angleDeg)) <= tol })
	p.Own, p.Mate = pairs(met)
	p.Bolts = len(p.Own)
	return p, nil
}

// Ligament is the least metal between two neighbouring holes of the given diameter of one ring on a circle of the given
// diameter, mm, and the two holes, from 1. Below 0 they break into each other. A ring of one hole has none: +Inf.
func (r Ring) Ligament(circle, hole float64) (mm float64, a, b int) {
	gap, a, b := r.LeastGap()
	if a == 0 {
		return math.Inf(1), 0, 0
	}
	return circle*math.Sin(gap/2*math.Pi/180) - hole, a, b
}

// LeastGap is the least angle in degrees between two holes of the ring, and the two holes, from 1; 360 and none for a ring
// of fewer than two.
func (r Ring) LeastGap() (deg float64, a, b int) {
	deg = 360
	if len(r) < 2 {
		return deg, 0, 0
	}
	order := make([]int, len(r))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(normal(r[i]), normal(r[j])) })
	for k, i := range order {
		j := order[(k+1)%len(order)]
		if gap := normal(r[j] - r[i]); gap < deg {
			deg, a, b = gap, i+1, j+1
		}
	}
	if a > b {
		a, b = b, a
	}
	return deg, a, b
}
