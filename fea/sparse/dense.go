package sparse

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// The dense arithmetic of a front, on gonum. Matrices are row-major; a front of
// size rows has a panel (size × own) and the Schur complement of the other rest
// rows (rest × rest, lower triangle). Products are of the form A·Bᵀ, whose inner
// loop runs along rows of both. gonum starts goroutines of its own for products of
// more than three of its blocks; tiles of one block avoid that, so that the crew
// shares the work, with an eye on the number of workers and on cancellation. The division into tiles depends on the
// sizes alone, so the bits do not depend on who computes which.

const (
	// tile is the number of rows and columns of a tile, gonum's own block.
	tile = 64
	// depth is the number of columns of A and B that a product takes at a time:
	// so much of a tile stays in the second cache.
	depth = 256
	// pivotFloor is the share of an unknown's own stiffness below which its
	// pivot counts as zero: 2⁻⁴⁴ ≈ 6e-14 is 512 units of rounding. A pivot is its
	// diagonal minus up to some thousand squares that add up to at most the
	// diagonal, in dot products of four parallel sums, whose rounding errors
	// together stay below that in practice (Higham, section 3.1). It is a lower
	// bar only: a motion without stiffness that moves the last unknown little,
	// but others much, leaves a larger pivot; weak.go finds it.
	pivotFloor = 1.0 / (1 << 44)
	// shared is the number of multiplications from which a front is worth
	// sharing among goroutines: some 0.1 ms.
	shared = 1 << 19
)

// general is the view of rows×cols numbers from the start of data.
func general(rows, cols, stride int, data []float64) blas64.General {
	return blas64.General{Rows: rows, Cols: cols, Stride: stride, Data: data}
}

// subtractProduct does C −= A·Bᵀ. A tile of C is at most 64 × 64, so that
// gonum computes it on this goroutine.
func subtractProduct(c, a, b blas64.General) {
	for k := 0; k < a.Cols; k += depth {
		w := min(depth, a.Cols-k)
		blas64.Gemm(blas.NoTrans, blas.Trans, -1, general(a.Rows, w, a.Stride, a.Data[k:]), general(b.Rows, w, b.Stride, b.Data[k:]), 1, c)
	}
}

// subtractSquare does C −= A·Aᵀ on the lower triangle of a tile of C.
func subtractSquare(c blas64.Symmetric, a blas64.General) {
	for k := 0; k < a.Cols; k += depth {
		blas64.Syrk(blas.NoTrans, -1, general(a.Rows, min(depth, a.Cols-k), a.Stride, a.Data[k:]), 1, c)
	}
}

// work is what the elimination of a front has at hand, by whatever method.
type work struct {
	crew  *crew
	schur []float64
	least float64 // of pivots, as shares of the diagonal
}

// eliminator eliminates the own unknowns of a front on gonum.
type eliminator struct {
	*work
	own, size int
	panel     []float64
}

// run factors the panel and updates the Schur complement; see builder.eliminate.
func (d *eliminator) run(diagonal []float64) (bad int, pivot float64) {
	for k := 0; k < d.own; k += tile {
		w := min(tile, d.own-k)
		if d.crew.done() {
			return -1, 0
		}
		if bad, pivot = d.corner(k, w, diagonal); bad >= 0 {
			return bad, pivot
		}
		first := k + w
		d.share((d.size-first+tile-1)/tile, (d.size-first)*w*(k+w/2), func(i int) {
			d.below(k, w, first+i*tile, min(first+(i+1)*tile, d.size))
		})
	}
	rest := d.size - d.own
	tiles := (rest + tile - 1) / tile
	// The longest rows of tiles come first, so that goroutines end together.
	d.share(tiles, rest*rest/2*d.own, func(i int) { d.schurRow((tiles - 1 - i) * tile) })
	return -1, 0
}

// share calls f for 0…n−1, on several goroutines if the work is worth it.
func (d *work) share(n, work int, f func(i int)) {
	if work >= shared {
		d.crew.each(n, f)
		return
	}
	for i := range n {
		f(i)
	}
}

// corner updates and factors the w×w block on the diagonal at k.
func (d *eliminator) corner(k, w int, diagonal []float64) (bad int, pivot float64) {
	at := d.panel[k*d.own+k:]
	sym := blas64.Symmetric{N: w, Stride: d.own, Data: at, Uplo: blas.Lower}
	if k > 0 {
		subtractSquare(sym, general(w, k, d.own, d.panel[k*d.own:]))
	}
	_, ok := lapack64.Potrf(sym)
	for i := range w {
		p := at[i*d.own+i]
		if !ok && !(p > 0) {
			return k + i, p // Potrf leaves the bad pivot and what follows as they are
		}
		if !(p*p > pivotFloor*diagonal[k+i]) {
			return k + i, p * p
		}
		d.least = min(d.least, p*p/diagonal[k+i])
	}
	return -1, 0
}

// below updates rows from…to of block column k and solves them with its corner.
func (d *eliminator) below(k, w, from, to int) {
	rows := general(to-from, w, d.own, d.panel[from*d.own+k:])
	if k > 0 {
		subtractProduct(rows, general(to-from, k, d.own, d.panel[from*d.own:]), general(w, k, d.own, d.panel[k*d.own:]))
	}
	corner := blas64.Triangular{N: w, Stride: d.own, Data: d.panel[k*d.own+k:], Uplo: blas.Lower, Diag: blas.NonUnit}
	blas64.Trsm(blas.Right, blas.Trans, 1, corner, rows)
}

// schurRow subtracts L·Lᵀ from the row of tiles of the Schur complement that
// starts at row from.
func (d *eliminator) schurRow(from int) {
	rest := d.size - d.own
	rows := min(tile, rest-from)
	a := general(rows, d.own, d.own, d.panel[(d.own+from)*d.own:])
	for c := 0; c < from; c += tile {
		if d.crew.done() {
			return
		}
		b := general(tile, d.own, d.own, d.panel[(d.own+c)*d.own:])
		subtractProduct(general(rows, tile, rest, d.schur[from*rest+c:]), a, b)
	}
	subtractSquare(blas64.Symmetric{N: rows, Stride: rest, Data: d.schur[from*rest+from:], Uplo: blas.Lower}, a)
}
