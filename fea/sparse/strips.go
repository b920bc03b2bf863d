package sparse

import "math"

// Elimination by kernels. For them the rows of a front are added up in strips: 12
// rows, column after column, so that the 12 numbers of a column are neighbours. A
// strip serves as either factor of a product as it stands, and goes to the panel when
// it is done. Own rows and the rows of the rest begin strips of their own; what is
// missing from the last strip, and from the last 12 columns, is zero, with ones on
// the diagonal.
//
// Strips advance over the columns from the left (left-looking): the block of 12
// columns at hand is reduced by all columns before it in one product, then solved
// with its corner. Strips do not depend on each other but for those on the diagonal,
// which go first, so the bits do not depend on who computes which.

const (
	strip = 12
	block = strip * strip
	// outer is the number of strips of columns between two divisions of the work
	// among goroutines.
	outer = 16
)

// strips holds the rows of a front.
type strips struct {
	*eliminator
	width   int       // columns: own, rounded up to whole blocks
	corner  int       // strips of own rows
	count   int       // strips
	data    []float64 // strip after strip, 12·width each
	inverse []float64 // one over the diagonal, by column
}

// stripSize is the length of the memory for the strips of a front.
func stripSize(own, size int) int {
	width := (own + strip - 1) / strip
	return (width+(size-own+strip-1)/strip)*width*block + width*strip
}

func newStrips(d *eliminator, memory []float64) *strips {
	corner := (d.own + strip - 1) / strip
	s := &strips{eliminator: d, width: corner * strip, corner: corner, count: corner + (d.size-d.own+strip-1)/strip}
	n := s.count * s.width * strip
	s.data, s.inverse = memory[:n], memory[n:n+s.width]
	return s
}

// at is strip i.
func (s *strips) at(i int) []float64 { return s.data[i*s.width*strip : (i+1)*s.width*strip] }

// rows are the first row of strip i in the front, and the number of its rows and
// columns.
func (s *strips) rows(i int) (first, rows, columns int) {
	if i < s.corner {
		return i * strip, min(strip, s.own-i*strip), min((i+1)*strip, s.own)
	}
	first = s.own + (i-s.corner)*strip
	return first, min(strip, s.size-first), s.own
}

// columns are those of the strips; base is memory for it.
func (s *strips) columns(base []int32) columns {
	base = base[:0]
	for i := range s.count {
		_, rows, _ := s.rows(i)
		for r := range rows {
			base = append(base, int32(i*s.width*strip+r))
		}
	}
	return columns{s.data, base, strip}
}

// unpack writes strip i to the panel.
func (s *strips) unpack(i int) {
	first, rows, columns := s.rows(i)
	x := s.at(i)
	for r := range rows {
		from := x[r:]
		to := s.panel[(first+r)*s.own:][:columns]
		for k := range to {
			to[k] = from[k*strip]
		}
	}
}

// run factors the panel and updates the Schur complement; see eliminator.run.
func (s *strips) run(diagonal []float64) (bad int, pivot float64) {
	if s.own == 0 {
		return -1, 0 // a separator whose unknowns are all held
	}
	rest := s.size - s.own
	for j := 0; j < s.corner; j += outer {
		end := min(j+outer, s.corner)
		for i := j; i < end; i++ {
			if s.crew.done() {
				return -1, 0
			}
			s.advance(i, j, i)
			if bad, pivot = s.factor(i, diagonal); bad >= 0 {
				return bad, pivot
			}
		}
		left := s.count - end
		s.share(left, left*block*(end-j)*(end+j)*strip/2, func(i int) { s.advance(end+i, j, end) })
	}
	if s.crew.done() {
		return -1, 0
	}
	s.share(s.count, s.size*s.own*2, s.unpack)
	n := s.count - s.corner
	// The longest rows come first, so that goroutines end together.
	s.share(n, rest*rest/2*s.own, func(i int) { s.schurRow(n - 1 - i) })
	return -1, 0
}

// advance finishes blocks from…to−1 of strip i.
func (s *strips) advance(i, from, to int) {
	x := s.at(i)
	for j := from; j < to; j++ {
		l := s.at(j)
		if j > 0 {
			subtract12(j*strip, &l[0], &x[0], &x[j*block], strip)
		}
		solve12(&l[j*block], &s.inverse[j*strip], &x[j*block])
	}
}

// factor finishes the block on the diagonal of own strip i.
func (s *strips) factor(i int, diagonal []float64) (bad int, pivot float64) {
	x := s.at(i)
	if i > 0 {
		subtract12(i*strip, &x[0], &x[0], &x[i*block], strip)
	}
	x = x[i*block:][:block]
	inverse := s.inverse[i*strip:][:strip]
	for d := range strip {
		if i*strip+d >= s.own {
			x[d*strip+d], inverse[d] = 1, 1
			continue
		}
		p, k := x[d*strip+d], diagonal[i*strip+d]
		if !(p > pivotFloor*k) {
			return i*strip + d, p
		}
		s.least = min(s.least, p/k)
		p = math.Sqrt(p)
		x[d*strip+d], inverse[d] = p, 1/p
		column := x[d*strip+d+1 : (d+1)*strip]
		for r := range column {
			column[r] /= p
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
func (s *strips) schurRow(i int) {
	rest := s.size - s.own
	a := s.at(s.corner + i)
	rows := min(strip, rest-i*strip)
	for j := 0; j <= i; j++ {
		b := s.at(s.corner + j)
		c := s.schur[i*strip*rest+j*strip:]
		if rows == strip {
			subtract12(s.width, &a[0], &b[0], &c[0], rest)
			continue
		}
		var whole [block]float64
		subtract12(s.width, &a[0], &b[0], &whole[0], strip)
		for r := range rows {
			for k, v := range whole[r*strip:][:min(strip, rest-j*strip)] {
				c[r*rest+k] += v
			}
		}
	}
}
