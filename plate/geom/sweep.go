package geom

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// sweep finds the pairs of boxes that overlap. Boxes are taken in the order of
// their left sides; those that still reach the current one wait in horizontal
// strips, so that each is compared only with those in its own strips.
type sweep struct {
	boxes  []sweepBox
	sorted []sweepBox
	count  []int32
	strips [][]sweepBox
	tests  int // boxes compared, a bound on the work
}

type sweepBox struct {
	x0, x1, y0, y1 float64
	i, first, last int32 // number and strips
}

var errManyPairs = errors.New("too many pairs of edges lie near each other")

func (s *sweep) reset() { s.boxes = s.boxes[:0] }

// add appends a box, numbered in order, grown by d.
func (s *sweep) add(x0, y0, x1, y1, d float64) {
	s.boxes = append(s.boxes, sweepBox{x0: x0 - d, x1: x1 + d, y0: y0 - d, y1: y1 + d, i: int32(len(s.boxes))})
}

// sort puts the boxes in the order of x0, then number: first into as many
// buckets as there are boxes, then within each.
func (s *sweep) sort() {
	n := len(s.boxes)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range s.boxes {
		lo, hi = min(lo, s.boxes[i].x0), max(hi, s.boxes[i].x0)
	}
	scale := float64(n-1) / max(hi-lo, 1e-300)
	if !(scale < 1e300) {
		scale = 0
	}
	at := func(b *sweepBox) int { return bucket((b.x0-lo)*scale, n) }
	s.count = slices.Grow(s.count[:0], n+1)[:n+1]
	clear(s.count)
	for i := range s.boxes {
		s.count[at(&s.boxes[i])+1]++
	}
	for i := 1; i <= n; i++ {
		s.count[i] += s.count[i-1]
	}
	s.sorted = slices.Grow(s.sorted[:0], n)[:n]
	for i := range s.boxes {
		k := at(&s.boxes[i])
		s.sorted[s.count[k]] = s.boxes[i]
		s.count[k]++
	}
	from := int32(0)
	for k := range n {
		if to := s.count[k]; to > from {
			slices.SortFunc(s.sorted[from:to], func(a, b sweepBox) int {
				switch {
				case a.x0 < b.x0:
					return -1
				case a.x0 > b.x0:
					return 1
				}
				return cmp.Compare(a.i, b.i)
			})
			from = to
		}
	}
}

// bucket is v cut to a whole number from 0 to n-1; what is not a number goes to
// the first, where it overlaps nothing.
func bucket(v float64, n int) int {
	if !(v > 0) {
		return 0
	}
	return int(min(v, float64(n-1)))
}

// layStrips divides the height among strips and gives every box its own.
func (s *sweep) layStrips() {
	lo, hi, sum := math.Inf(1), math.Inf(-1), 0.0
	for i := range s.sorted {
		b := &s.sorted[i]
		lo, hi = min(lo, b.y0), max(hi, b.y1)
		sum += b.y1 - b.y0
	}
	// Strips about as high as the boxes on average, but none for a handful.
	n := len(s.sorted)
	k := 1
	if h := hi - lo; n > 32 && h > 0 {
		k = int(min(h*float64(n)/max(sum, h), float64(n)/16, 128))
		k = max(k, 1)
	}
	for len(s.strips) < k {
		s.strips = append(s.strips, nil)
	}
	s.strips = s.strips[:k]
	for i := range s.strips {
		s.strips[i] = s.strips[i][:0]
	}
	scale := float64(k) / (hi - lo)
	if k == 1 {
		return
	}
	for i := range s.sorted {
		b := &s.sorted[i]
		b.first = int32(bucket((b.y0-lo)*scale, k))
		b.last = int32(bucket((b.y1-lo)*scale, k))
	}
}

// run calls visit for every pair of overlapping boxes, the later in x first,
// until it returns false. It gives up with errManyPairs when more than most
// pairs overlap or sixteen times as many boxes are compared.
func (s *sweep) run(most int, visit func(i, j int32) bool) error {
	s.tests = 0
	if len(s.boxes) < 2 {
		return nil
	}
	s.sort()
	s.layStrips()
	found := 0
	for m := range s.sorted {
		b := &s.sorted[m]
		for t := b.first; t <= b.last; t++ {
			w := s.strips[t]
			s.tests += len(w)
			k := 0
			for n := range w {
				q := &w[n]
				if q.x1 < b.x0 {
					continue
				}
				if k != n {
					w[k] = *q
				}
				k++
				if q.y0 <= b.y1 && q.y1 >= b.y0 && max(q.first, b.first) == t {
					found++
					if !visit(b.i, w[k-1].i) {
						return nil
					}
				}
			}
			s.strips[t] = append(w[:k], *b)
		}
		if s.tests/16 > most || found > most {
			return errManyPairs
		}
	}
	return nil
}
