package kinematics

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// MaxWanted bounds the clocked angles that rings are found for at once: the arrangements tried grow as its factorial.
const MaxWanted = 7

// RingPair is a pair of rings found for wanted angles.
type RingPair struct {
	Own, Mate Ring
	Equal     bool       // both are equally spaced
	LeastGap  float64    // degrees between neighbouring holes, the lesser of both rings
	Wanted    []Position // in the order asked for
	All       []Position // every angle at which at least the least number of bolts fits
}

// RingsFor finds rings that hold by at least least bolts at every wanted clocked angle in degrees, the bolts spread evenly.
// Two kinds are tried: equally spaced rings of up to most holes each, which hold at other angles too, and rings made of
// interleaved groups of least holes, one group for a wanted angle, whose spacing shares the differences between both parts.
// All are returned, the one with the widest gap between neighbouring holes first. The error says what to change when there is
// none.
func RingsFor(wanted []float64, least, most int) ([]RingPair, error) {
	switch {
	case len(wanted) == 0 || len(wanted) > MaxWanted:
		return nil, fmt.Errorf("kinematics: rings are asked for %d clocked angles; 1 to %d can be found at once", len(wanted), MaxWanted)
	case least < 1 || least > most || most > MaxRingHoles:
		return nil, fmt.Errorf("kinematics: rings are asked for with %d bolts of %d holes at most; give 1 to %d, bolts no more than holes", least, most, MaxRingHoles)
	}
	for _, w := range wanted {
		if math.IsNaN(w) || math.Abs(w) > 360 {
			return nil, fmt.Errorf("kinematics: the clocked angle %g° is wanted; give one from -360 to 360°", w)
		}
	}
	pairs := append(equalRings(wanted, least, most), groupedRings(wanted, least, most)...)
	kept := pairs[:0]
	for _, p := range pairs {
		if ok, err := p.complete(wanted, least); err != nil {
			return nil, err
		} else if ok {
			kept = append(kept, p)
		}
	}
	if len(kept) == 0 {
		return nil, fmt.Errorf("kinematics: no rings of %d holes or fewer hold by %d bolts at all %d wanted angles; allow more holes, "+
			"fewer bolts or fewer angles", most, least, len(wanted))
	}
	slices.SortStableFunc(kept, func(a, b RingPair) int {
		const alike = 1e-9 // degrees
		if math.Abs(a.LeastGap-b.LeastGap) > alike {
			return cmp.Compare(b.LeastGap, a.LeastGap)
		}
		return cmp.Compare(len(a.Own)+len(a.Mate), len(b.Own)+len(b.Mate))
	})
	return kept, nil
}

// complete works out where the pair holds, and reports whether that includes every wanted angle.
func (p *RingPair) complete(wanted []float64, least int) (bool, error) {
	for _, w := range wanted {
		at, err := At(p.Own, p.Mate, w, ExactDeg*10)
		if err != nil {
			return false, err
		}
		if at.Bolts < least {
			return false, nil
		}
		p.Wanted = append(p.Wanted, at)
	}
	all, err := Clock(p.Own, p.Mate, ExactDeg)
	if err != nil {
		return false, err
	}
	p.All = slices.DeleteFunc(all, func(a Position) bool { return a.Bolts < least })
	a, _, _ := p.Own.LeastGap()
	b, _, _ := p.Mate.LeastGap()
	p.LeastGap = min(a, b)
	return true, nil
}

// equalRings are pairs of equally spaced rings: all differences of wanted angles must be whole steps. Of the pairs with the
// same step and bolts the one with fewest holes on its fuller ring is kept.
func equalRings(wanted []float64, least, most int) []RingPair {
	type key struct{ lcm, bolts int }
	best := make(map[key][2]int)
	var keys []key
	for n := least; n <= most; n++ {
		for m := least; m <= n; m++ {
			step, bolts := Step(n, m)
			if bolts < least || !wholeSteps(wanted, step) {
				continue
			}
			k := key{n / bolts * m, bolts}
			if old, ok := best[k]; !ok {
				best[k], keys = [2]int{n, m}, append(keys, k)
			} else if max(n, m) < max(old[0], old[1]) {
				best[k] = [2]int{n, m}
			}
		}
	}
	slices.SortFunc(keys, func(a, b key) int { return cmp.Or(cmp.Compare(a.lcm, b.lcm), cmp.Compare(a.bolts, b.bolts)) })
	var pairs []RingPair
	for _, k := range keys {
		nm := best[k]
		pairs = append(pairs, RingPair{Own: Equal(nm[0], wanted[0]), Mate: Equal(nm[1], 0), Equal: true})
	}
	return pairs
}

func wholeSteps(wanted []float64, step float64) bool {
	for _, w := range wanted {
		if k := (w - wanted[0]) / step; math.Abs(k-math.Round(k))*step > ExactDeg {
			return false
		}
	}
	return true
}

// groupedRings are pairs of interleaved groups. Group j has least equally spaced holes, at o_j on the mate and at o_j + w_j on
// the plate. The o_j step evenly in some order, less a share of w_j, so that the unevenness is borne by the plate (share 0),
// the mate (1) or both (½).
func groupedRings(wanted []float64, least, most int) []RingPair {
	pitch := 360 / float64(least)
	var groups []float64 // wanted angles that one group cannot serve together
	for _, w := range wanted {
		if !slices.ContainsFunc(groups, func(g float64) bool { return sameTurn(g, w, pitch) }) {
			groups = append(groups, w)
		}
	}
	if least*len(groups) > most {
		return nil
	}
	best := RingPair{LeastGap: -1}
	permute(len(groups), func(order []int) {
		for _, share := range []float64{0.5, 0, 1} {
			own, mate := interleave(groups, order, least, share)
			a, _, _ := own.LeastGap()
			b, _, _ := mate.LeastGap()
			if gap := min(a, b); gap > best.LeastGap+ExactDeg {
				best = RingPair{Own: own, Mate: mate, LeastGap: gap}
			}
		}
	})
	if best.LeastGap <= ExactDeg {
		return nil
	}
	return []RingPair{best}
}

func sameTurn(a, b, pitch float64) bool {
	k := (a - b) / pitch
	return math.Abs(k-math.Round(k))*pitch <= ExactDeg
}

func interleave(groups []float64, order []int, least int, share float64) (own, mate Ring) {
	pitch := 360 / float64(least)
	for place, j := range order {
		o := float64(place)*pitch/float64(len(groups)) - share*(groups[j]-groups[order[0]])
		for i := range least {
			mate = append(mate, normal(o+float64(i)*pitch))
			own = append(own, normal(o+float64(i)*pitch+groups[j]))
		}
	}
	slices.Sort(own)
	slices.Sort(mate)
	return own, mate
}

// permute calls f with every order of 0…n−1 that begins with 0 (turning all groups on changes nothing).
func permute(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var from func(k int)
	from = func(k int) {
		if k >= n-1 {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			from(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	from(1)
}
