package sparse

import (
	"context"
	"fmt"
	"math"
)

// Entry is a number of a sparse vector over the unknowns.
type Entry struct {
	Unknown int
	Value   float64
}

// Compliance is how far some motions, the columns of P, go under forces. It is immutable
// and outlives its factor but for Under.
type Compliance struct {
	// Matrix is the symmetric matrix Pᵀ·K⁻¹·P, row after row: how far each motion
	// goes under a unit force along each of them.
	Matrix []float64

	f       *Factor
	columns [][]Entry
	fronts  []int32     // that Y has numbers in, children first
	row     []int32     // of Y: of the first own unknown of a front, or −1
	place   []int32     // row of Y of each unknown that it has
	rows    int         // of Y: own unknowns of its fronts, rounded up to whole blocks
	y       [][]float64 // of each group of 12 motions: rows × 12
}

// Compliance finds the compliance of the columns of P. Held unknowns do not move. With
// K = L·Lᵀ it is YᵀY for Y = L⁻¹·P, and Y has numbers only in the fronts between those
// that hold P and the roots, so that many columns in one place take less time than a
// few solutions. It is not refined: its error is of the size of rounding times the
// condition of K.
//
// It looks at ctx between fronts. Errors: that of ctx, ErrReleased, entries of
// unknowns that do not exist or that are not finite, memory over the limit.
func (f *Factor) Compliance(ctx context.Context, columns [][]Entry) (*Compliance, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	if f.panels == nil {
		return nil, ErrReleased
	}
	c := &Compliance{f: f, columns: columns}
	if err := c.reach(); err != nil {
		return nil, err
	}
	n := len(columns)
	groups := (n + strip - 1) / strip
	if need := 8 * strip * (int64(c.rows)*int64(groups) + int64(n)*int64(groups)); need > f.sym.opts.MaxBytes {
		return nil, fmt.Errorf("sparse: the compliance of %d motions takes about %d MB, more than the limit of %d MB: use fewer", n, need>>20, f.sym.opts.MaxBytes>>20)
	}
	crew := newCrew(ctx, f.sym.opts.Workers)
	c.y = make([][]float64, groups)
	crew.each(groups, func(g int) { c.y[g] = c.forward(crew, columns[g*strip:min((g+1)*strip, n)]) })
	c.Matrix = make([]float64, n*n)
	crew.each(groups*(groups+1)/2, func(i int) {
		row := int(math.Sqrt(2*float64(i)+0.25) - 0.5) // of pairs in the lower triangle
		c.product(crew, row, i-row*(row+1)/2)
	})
	crew.rethrow()
	if crew.ended.Load() {
		return nil, ctx.Err()
	}
	return c, nil
}

// Under is Pᵀ·K⁻¹·load for each load on all unknowns, of which the free ones count: how far
// each motion goes under it. It is Yᵀ·L⁻¹·load, half a solution without refinement. It looks
// at ctx between fronts. Errors: that of ctx, ErrReleased, a load that does not fit or is
// not finite.
func (c *Compliance) Under(ctx context.Context, loads [][]float64) ([][]float64, error) {
	f := c.f
	f.mu.RLock()
	defer f.mu.RUnlock()
	if err := f.checkVectors(loads, loads, nil); err != nil {
		return nil, err
	}
	crew := newCrew(ctx, f.sym.opts.Workers)
	s := newSweeper(f, crew, len(loads))
	for i, v := range s.vectors {
		for k, u := range f.sym.unknown[:f.sym.free] {
			v[k] = loads[i][u]
		}
	}
	s.forward()
	if crew.ended.Load() {
		return nil, ctx.Err()
	}
	out := make([][]float64, len(loads))
	z := make([]float64, c.rows)
	for i, v := range s.vectors {
		out[i] = make([]float64, 0, len(c.y)*strip)
		if c.rows == 0 {
			out[i] = out[i][:len(c.columns)] // all of their unknowns are held
			continue
		}
		for _, k := range c.fronts {
			fr := &f.sym.fronts[k]
			copy(z[c.row[k]:], v[fr.start:fr.start+fr.own])
		}
		var sum [strip]float64
		for _, y := range c.y {
			timesStrip(c.rows, y, z, &sum)
			out[i] = append(out[i], sum[:]...)
		}
		out[i] = out[i][:len(c.columns)]
	}
	return out, nil
}

// reach finds the fronts that Y has numbers in: those that own an unknown of P, and
// those above.
func (c *Compliance) reach() error {
	s := c.f.sym
	c.row = make([]int32, len(s.fronts))
	for i := range c.row {
		c.row[i] = -1
	}
	owner := make([]int32, s.free)
	for i := range s.fronts {
		f := &s.fronts[i]
		for k := range f.own {
			owner[f.start+k] = int32(i)
		}
	}
	for i, col := range c.columns {
		for _, e := range col {
			if e.Unknown < 0 || e.Unknown >= len(s.order) {
				return fmt.Errorf("sparse: motion %d: unknown %d does not exist: there are %d", i, e.Unknown, len(s.order))
			}
			if math.IsNaN(e.Value) || math.IsInf(e.Value, 0) {
				node, k := s.Locate(e.Unknown)
				return fmt.Errorf("sparse: motion %d: %g at unknown %d of node %d is not finite", i, e.Value, k, node)
			}
			if k := int(s.order[e.Unknown]); k < s.free {
				for at := owner[k]; at >= 0 && c.row[at] < 0; at = s.fronts[at].parent {
					c.row[at] = 0
				}
			}
		}
	}
	c.place = owner // which has served
	for i := range c.row {
		if c.row[i] == 0 {
			f := &s.fronts[i]
			c.fronts = append(c.fronts, int32(i))
			c.row[i] = int32(c.rows)
			for k := range f.own {
				c.place[f.start+k] = int32(c.rows + k)
			}
			c.rows += (f.own + strip - 1) / strip * strip
		}
	}
	return nil
}

// forward is L⁻¹ times up to 12 columns of P.
func (c *Compliance) forward(crew *crew, columns [][]Entry) []float64 {
	s := c.f.sym
	y := make([]float64, c.rows*strip)
	for j, col := range columns {
		for _, e := range col {
			if k := int(s.order[e.Unknown]); k < s.free {
				y[int(c.place[k])*strip+j] += e.Value
			}
		}
	}
	for _, i := range c.fronts {
		if crew.done() {
			return y
		}
		c.through(&s.fronts[i], y[int(c.row[i])*strip:], y)
	}
	return y
}

// through solves with the panel of a front; own begins with its rows of Y.
func (c *Compliance) through(f *front, own, y []float64) {
	s := c.f.strips(f)
	for i := range s.corner {
		l, x := s.at(i), own[i*block:]
		if i > 0 {
			subtractBlock(i*strip, l, own, x, strip)
		}
		solveBlock(l[i*block:], x)
	}
	if s.corner == 0 {
		return
	}
	for i := s.corner; i < s.count; i++ {
		first, rows := s.rows(i)
		var less [block]float64
		subtractBlock(s.width, s.at(i), own, less[:], strip)
		for r, sweep := range f.rows[first-s.own:][:rows] {
			to := (*[strip]float64)(y[int(c.place[c.f.sym.placeOf(f, sweep)])*strip:])
			for j, v := range less[r*strip:][:strip] {
				to[j] += v
			}
		}
	}
}

// placeOf is the place in the order of elimination of a place in a sweep's vector.
func (s *Symbolic) placeOf(f *front, sweep int32) int32 {
	if int(sweep) < len(s.order) {
		return sweep
	}
	t := &s.tasks[f.task]
	return t.outside[int(sweep)-t.start]
}

// product fills the block of YᵀY of groups a and b ≤ a, and its mirror image.
func (c *Compliance) product(crew *crew, a, b int) {
	const rows = 1024 // between two looks at the context
	n := len(c.columns)
	var less [block]float64
	for k := 0; k < c.rows; k += rows {
		if crew.done() {
			return
		}
		subtractBlock(min(rows, c.rows-k), c.y[a][k*strip:], c.y[b][k*strip:], less[:], strip)
	}
	for i := range min(strip, n-a*strip) {
		for j := range min(strip, n-b*strip) {
			v := -less[i*strip+j]
			c.Matrix[(a*strip+i)*n+b*strip+j], c.Matrix[(b*strip+j)*n+a*strip+i] = v, v
		}
	}
}
