package sparse

// The factor of a front is kept in strips: 12 rows, column after column, so that the
// 12 numbers of a column are neighbours. A strip serves as either factor of a product
// as it stands, and a solution runs through it without gathering. Own rows and the
// rows of the rest begin strips of their own, and own strips end with the block on the
// diagonal. What is missing from the last strip, and from the last 12 columns, is zero,
// with ones on the diagonal. The diagonal holds one over the factor's, since that is
// what is used.

const (
	strip = 12
	block = strip * strip
)

// strips holds the rows of a front.
type strips struct {
	own, size int       // columns and rows of the front
	width     int       // columns: own, rounded up to whole blocks
	corner    int       // strips of own rows
	count     int       // strips
	data      []float64 // strip after strip
}

// stripSize is the length of the memory for the strips of a front.
func stripSize(own, size int) int {
	corner := (own + strip - 1) / strip
	return (corner*(corner+1)/2 + (size-own+strip-1)/strip*corner) * block
}

func newStrips(own, size int, memory []float64) strips {
	corner := (own + strip - 1) / strip
	s := strips{own: own, size: size, width: corner * strip, corner: corner, count: corner + (size-own+strip-1)/strip}
	s.data = memory[:s.start(s.count)]
	return s
}

// start is where strip i starts.
func (s *strips) start(i int) int {
	if i <= s.corner {
		return i * (i + 1) / 2 * block
	}
	return s.start(s.corner) + (i-s.corner)*s.width*strip
}

// at is strip i.
func (s *strips) at(i int) []float64 { return s.data[s.start(i):s.start(i+1)] }

// rows are the first row of strip i in the front, and the number of its rows.
func (s *strips) rows(i int) (first, rows int) {
	if i < s.corner {
		return i * strip, min(strip, s.own-i*strip)
	}
	first = s.own + (i-s.corner)*strip
	return first, min(strip, s.size-first)
}

// columns are those of the strips; base is memory for it.
func (s *strips) columns(base []int32) columns {
	base = base[:0]
	for i := range s.count {
		_, rows := s.rows(i)
		for r := range rows {
			base = append(base, int32(s.start(i)+r))
		}
	}
	return columns{s.data, base}
}

// eachRow calls f for the rows of the front: row r with its numbers so far as they count, the first of them at
// x[0] and the others a strip apart.
func (s *strips) eachRow(f func(r, columns int, x []float64)) {
	for i := range s.count {
		first, rows := s.rows(i)
		for r := range rows {
			columns := s.own
			if i < s.corner {
				columns = first + r + 1
			}
			f(first+r, columns, s.at(i)[r:])
		}
	}
}

// unpack gives a front to its rows, own numbers each, zero above the diagonal.
func (s *strips) unpack(panel []float64) {
	clear(panel)
	s.eachRow(func(r, columns int, x []float64) {
		for k := range panel[r*s.own:][:columns] {
			panel[r*s.own+k] = x[k*strip]
		}
	})
}

// pack takes over the factor of a front from its rows.
func (s *strips) pack(panel []float64) {
	clear(s.data)
	s.eachRow(func(r, columns int, x []float64) {
		for k, v := range panel[r*s.own:][:columns] {
			x[k*strip] = v
		}
	})
	for k := range s.width {
		diagonal := &s.at(k / strip)[k*strip+k%strip]
		if k < s.own {
			*diagonal = 1 / *diagonal
		} else {
			*diagonal = 1
		}
	}
}

// forward replaces x, as long as the strips are wide, by L⁻¹·x.
func (s *strips) forward(x []float64) {
	var sum [strip]float64
	for i := range s.corner {
		part := x[i*strip:][:strip]
		l := s.at(i)
		if i > 0 {
			timesStrip(i*strip, l, x, &sum)
			for r, v := range sum {
				part[r] -= v
			}
		}
		corner := l[i*block:][:block]
		for c := range part {
			v := part[c] * corner[c*strip+c]
			part[c] = v
			below := corner[c*strip+c+1:][:strip-1-c]
			for r, w := range part[c+1:] {
				part[c+1+r] = w - below[r]*v
			}
		}
	}
}

// backward replaces x by L⁻ᵀ·x.
func (s *strips) backward(x []float64) {
	for i := s.corner - 1; i >= 0; i-- {
		part := (*[strip]float64)(x[i*strip:])
		l := s.at(i)
		corner := l[i*block:][:block]
		for c := strip - 1; c >= 0; c-- {
			v := part[c]
			below := corner[c*strip+c+1:][:strip-1-c]
			for r, w := range below {
				v -= w * part[c+1+r]
			}
			part[c] = v * corner[c*strip+c]
		}
		if i > 0 {
			takeTransposed(i*strip, l, part, x)
		}
	}
}
