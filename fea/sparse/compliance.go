package sparse

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// Entry is a number of a sparse vector over the unknowns.
type Entry struct {
	Unknown int
	Value   float64
}

// Compliance returns the symmetric matrix Pᵀ·K⁻¹·P, row after row, for the columns
// of P: how far each of some motions goes under a unit force along each of them. Held
// unknowns do not move. With K = L·Lᵀ it is YᵀY for Y = L⁻¹·P, and Y has numbers only
// in the fronts between those that hold P and the roots, so that many columns in one
// place take less time than a few solutions. It is not refined: its error is of the
// size of rounding times the condition of K.
//
// It looks at ctx between fronts. Errors: that of ctx, ErrReleased, entries of
// unknowns that do not exist or that are not finite, memory over the limit.
func (f *Factor) Compliance(ctx context.Context, columns [][]Entry) ([]float64, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	if f.panels == nil {
		return nil, ErrReleased
	}
	c := &compliance{f: f, crew: newCrew(ctx, f.sym.opts.Workers), columns: columns}
	if err := c.reach(); err != nil {
		return nil, err
	}
	n := len(columns)
	if need := 8 * (int64(c.rows)*int64(n) + int64(n)*int64(n)); need > f.sym.opts.MaxBytes {
		return nil, fmt.Errorf("sparse: the compliance of %d motions takes about %d MB, more than the limit of %d MB: use fewer", n, need>>20, f.sym.opts.MaxBytes>>20)
	}
	groups := (n + tile - 1) / tile
	c.y = make([]blas64.General, groups)
	c.crew.each(groups, func(g int) { c.y[g] = c.forward(columns[g*tile : min((g+1)*tile, n)]) })
	out := make([]float64, n*n)
	c.crew.each(groups*(groups+1)/2, func(i int) {
		row := int(math.Sqrt(2*float64(i)+0.25) - 0.5) // of pairs in the lower triangle
		c.product(row, i-row*(row+1)/2, out)
	})
	c.crew.rethrow()
	if c.crew.ended.Load() {
		return nil, ctx.Err()
	}
	return out, nil
}

// compliance is the work of one call.
type compliance struct {
	f       *Factor
	crew    *crew
	columns [][]Entry
	fronts  []int32 // that Y has numbers in, children first
	row     []int32 // of Y: of the first own unknown of a front, or −1
	rows    int     // of Y
	y       []blas64.General
}

// reach finds the fronts that Y has numbers in: those that own an unknown of P, and
// those above.
func (c *compliance) reach() error {
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
	for i := range c.row {
		if c.row[i] == 0 {
			c.fronts = append(c.fronts, int32(i))
			c.row[i] = int32(c.rows)
			c.rows += s.fronts[i].own
		}
	}
	return nil
}

// forward is L⁻¹ times some columns of P.
func (c *compliance) forward(columns [][]Entry) blas64.General {
	s, n := c.f.sym, len(columns)
	y := general(c.rows, n, n, make([]float64, c.rows*n))
	place := make([]int32, s.free) // row of Y of each unknown that it has
	for _, i := range c.fronts {
		for k := range s.fronts[i].own {
			place[s.fronts[i].start+k] = c.row[i] + int32(k)
		}
	}
	for j, col := range columns {
		for _, e := range col {
			if k := int(s.order[e.Unknown]); k < s.free {
				y.Data[int(place[k])*n+j] += e.Value
			}
		}
	}
	below := make([]float64, tile*n)
	for _, i := range c.fronts {
		f := &s.fronts[i]
		if c.crew.done() {
			return y
		}
		if f.own == 0 {
			continue
		}
		panel := c.f.panels[f.panel : f.panel+f.size*f.own]
		own := general(f.own, n, n, y.Data[int(c.row[i])*n:])
		blas64.Trsm(blas.Left, blas.NoTrans, 1, blas64.Triangular{N: f.own, Stride: f.own, Data: panel, Uplo: blas.Lower, Diag: blas.NonUnit}, own)
		for from := 0; from < len(f.rows); from += tile {
			rows := f.rows[from:min(from+tile, len(f.rows))]
			part := general(len(rows), n, n, below)
			blas64.Gemm(blas.NoTrans, blas.NoTrans, 1, general(len(rows), f.own, f.own, panel[(f.own+from)*f.own:]), own, 0, part)
			for r, sweep := range rows {
				to := y.Data[int(place[s.placeOf(f, sweep)])*n:][:n]
				for j, v := range part.Data[r*n : (r+1)*n] {
					to[j] -= v
				}
			}
		}
	}
	return y
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
func (c *compliance) product(a, b int, out []float64) {
	n := len(c.columns)
	ya, yb := c.y[a], c.y[b]
	block := general(ya.Cols, yb.Cols, yb.Cols, make([]float64, ya.Cols*yb.Cols))
	for k := 0; k < c.rows; k += tile {
		if c.crew.done() {
			return
		}
		rows := min(tile, c.rows-k)
		blas64.Gemm(blas.Trans, blas.NoTrans, 1, general(rows, ya.Cols, ya.Cols, ya.Data[k*ya.Cols:]), general(rows, yb.Cols, yb.Cols, yb.Data[k*yb.Cols:]), 1, block)
	}
	for i := range ya.Cols {
		for j := range yb.Cols {
			v := block.Data[i*yb.Cols+j]
			out[(a*tile+i)*n+b*tile+j], out[(b*tile+j)*n+a*tile+i] = v, v
		}
	}
}
