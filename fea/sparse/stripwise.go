package sparse

import "math"

// Elimination by kernels. Strips advance over the columns from the left (left-looking):
// the block of 12 columns at hand is reduced by all columns before it in one product,
// then solved with its corner. Strips do not depend on each other but for those on the
// diagonal, which go first, so the bits do not depend on who computes which.

// outer is the number of strips of columns between two divisions of the work among
// goroutines.
const outer = 16

// stripwise eliminates the own unknowns of a front whose rows were added up in strips.
type stripwise struct {
	*strips
	*work
}

// run factors the panel and updates the Schur complement; see builder.eliminate.
func (s *stripwise) run(diagonal []float64) (bad int, pivot float64) {
	rest := s.size - s.own
	for j := 0; j < s.corner; j += outer {
		end := min(j+outer, s.corner)
		for i := j; i < end; i += 2 {
			if s.crew.done() {
				return -1, 0
			}
			if bad, pivot = s.corners(i, j, min(i+2, end), diagonal); bad >= 0 {
				return bad, pivot
			}
		}
		left := s.count - end
		s.share((left+1)/2, left*block*(end-j)*(end+j)*strip/2, func(i int) { s.advanceTwo(end+2*i, j, end) })
	}
	if s.crew.done() {
		return -1, 0
	}
	n := s.count - s.corner
	// The longest rows come first, so that goroutines end together.
	s.share(n, rest*rest/2*s.own, func(i int) { s.schurRow(n - 1 - i) })
	return -1, 0
}

// corners finishes own strip i, and the next if it is before end, from block from on.
// Two go together up to the block on the first one's diagonal, as far as they need
// nothing of each other.
func (s *stripwise) corners(i, from, end int, diagonal []float64) (bad int, pivot float64) {
	x := s.at(i)
	if i+1 == end {
		s.advance(i, from, i)
		s.reduce(i, x)
		return s.factor(i, diagonal)
	}
	y := s.at(i + 1)
	s.advanceTwo(i, from, i)
	if i > 0 {
		subtractBlocks(i*strip, x, x, y, x[i*block:], y[i*block:], strip)
	}
	if bad, pivot = s.factor(i, diagonal); bad >= 0 {
		return bad, pivot
	}
	solveBlock(x[i*block:], y[i*block:])
	s.reduce(i+1, y)
	return s.factor(i+1, diagonal)
}

// reduce takes the products with all columns before it from the block on the diagonal
// of own strip i, which is x.
func (s *stripwise) reduce(i int, x []float64) {
	if i > 0 {
		subtractBlock(i*strip, x, x, x[i*block:], strip)
	}
}

// advance finishes blocks from…to−1 of strip i.
func (s *stripwise) advance(i, from, to int) {
	x := s.at(i)
	for j := from; j < to; j++ {
		l := s.at(j)
		if j > 0 {
			subtractBlock(j*strip, l, x, x[j*block:], strip)
		}
		solveBlock(l[j*block:], x[j*block:])
	}
}

// advanceTwo finishes blocks from…to−1 of strips i and i+1, or of i alone if it is the
// last.
func (s *stripwise) advanceTwo(i, from, to int) {
	if i+1 == s.count {
		s.advance(i, from, to)
		return
	}
	x, y := s.at(i), s.at(i+1)
	for j := from; j < to; j++ {
		l := s.at(j)
		if j > 0 {
			subtractBlocks(j*strip, l, x, y, x[j*block:], y[j*block:], strip)
		}
		solveBlock(l[j*block:], x[j*block:])
		solveBlock(l[j*block:], y[j*block:])
	}
}

// factor factors the block on the diagonal of own strip i.
func (s *stripwise) factor(i int, diagonal []float64) (bad int, pivot float64) {
	x := s.at(i)[i*block:][:block]
	for d := range strip {
		if i*strip+d >= s.own {
			x[d*strip+d] = 1
			continue
		}
		p, k := x[d*strip+d], diagonal[i*strip+d]
		if !(p > pivotFloor*k) {
			return i*strip + d, p
		}
		s.least = min(s.least, p/k)
		p = math.Sqrt(p)
		x[d*strip+d] = 1 / p
		column := x[d*strip+d+1 : (d+1)*strip]
		for r := range column {
			column[r] *= x[d*strip+d]
		}
		for c, v := range column {
			to := x[(d+1+c)*strip+d+1+c:][:len(column)-c]
			for r, w := range column[c:] {
				to[r] -= v * w
			}
		}
	}
	return -1, 0
}

// schurRow takes the products of row i of strips of the rest from the Schur
// complement. Above the diagonal it leaves numbers of no meaning.
func (s *stripwise) schurRow(i int) {
	rest := s.size - s.own
	rows := min(strip, rest-i*strip)
	for j := 0; j <= i; j += 2 {
		c := s.schur[i*strip*rest+j*strip:]
		if rows == strip {
			s.schurBlocks(i, j, c, rest)
			continue
		}
		var whole [2 * block]float64
		s.schurBlocks(i, j, whole[:], 2*strip)
		for r := range rows {
			for k, v := range whole[r*2*strip:][:min(2*strip, rest-j*strip)] {
				c[r*rest+k] += v
			}
		}
	}
}

// schurBlocks takes the products of strip i of the rest with strips j and j+1, or with
// j alone on the diagonal, from c.
func (s *stripwise) schurBlocks(i, j int, c []float64, stride int) {
	a, b := s.at(s.corner+i), s.at(s.corner+j)
	if j == i {
		subtractBlock(s.width, a, b, c, stride)
		return
	}
	subtractBlocks(s.width, a, b, s.at(s.corner+j+1), c, c[strip:], stride)
}
