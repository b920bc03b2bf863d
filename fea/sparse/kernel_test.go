package sparse

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The kernels give what gonum gives on fronts of all remainders of sizes, and find
// the same unknown without stiffness.
func TestKernelsAgainstGonum(t *testing.T) {
	if !hasKernels {
		t.Skip("this processor has no AVX2 and FMA: there is only gonum")
	}
	r := rand.New(rand.NewPCG(12, 4))
	sizes := [][2]int{{200, 90}, {250, 31}, {193, 1}, {400, 170}}
	for own := 1; own <= 27; own++ {
		for rest := range 27 {
			sizes = append(sizes, [2]int{own, rest})
		}
	}
	for _, s := range sizes {
		own, rest := s[0], s[1]
		a := spd(r, own+rest)
		for _, broken := range []int{-1, r.IntN(own)} {
			if broken >= 0 {
				a = withoutStiffness(a, broken)
			}
			var panel, schur [2][]float64
			var bad [2]int
			var least [2]float64
			for k := range 2 {
				d, diagonal := frontOf(t, a, own)
				if k == 0 {
					bad[k], _ = inStrips(d).run(diagonal)
				} else {
					bad[k], _ = d.run(diagonal)
				}
				panel[k], schur[k], least[k] = d.panel, d.schur, d.least
			}
			if bad[0] != bad[1] || broken >= 0 && bad[0] != broken || broken < 0 && bad[0] != -1 {
				t.Fatalf("%d and %d rows, unknown %d without stiffness: found at %d by kernels and %d by gonum", own, rest, broken, bad[0], bad[1])
			}
			if broken >= 0 {
				continue
			}
			if math.Abs(least[0]-least[1]) > 1e-12 {
				t.Errorf("%d and %d rows: least pivot %g and %g", own, rest, least[0], least[1])
			}
			for i := range own + rest {
				for j := range min(i+1, own) {
					if x, y := panel[0][i*own+j], panel[1][i*own+j]; !(math.Abs(x-y) <= 1e-12*math.Sqrt(a.At(i, i))) {
						t.Fatalf("%d and %d rows: L[%d][%d] is %g by kernels and %g by gonum", own, rest, i, j, x, y)
					}
				}
			}
			for i := range rest {
				for j := range i + 1 {
					if x, y := schur[0][i*rest+j], schur[1][i*rest+j]; !(math.Abs(x-y) <= 1e-12*math.Sqrt(a.At(own+i, own+i)*a.At(own+j, own+j))) {
						t.Fatalf("%d and %d rows: S[%d][%d] is %g by kernels and %g by gonum", own, rest, i, j, x, y)
					}
				}
			}
		}
	}
}

// spd is a random positive definite matrix with unequal diagonal.
func spd(r *rand.Rand, n int) *mat.SymDense {
	b := mat.NewDense(n, n, nil)
	for i := range n {
		scale := math.Exp(3 * r.NormFloat64())
		for j := range n {
			b.Set(i, j, scale*r.NormFloat64())
		}
	}
	var out mat.SymDense
	out.SymOuterK(1, b)
	for i := range n {
		out.SetSym(i, i, 1.1*out.At(i, i))
	}
	return &out
}

// withoutStiffness makes the pivot of unknown k zero: its row is the sum of the rows
// before it, or zero.
func withoutStiffness(a *mat.SymDense, k int) *mat.SymDense {
	n := a.SymmetricDim()
	t := mat.NewDense(n, n, nil)
	for i := range n {
		t.Set(i, i, 1)
	}
	t.Set(k, k, 0)
	for j := range k {
		t.Set(k, j, 1)
	}
	var b mat.Dense
	b.Mul(t, a)
	b.Mul(&b, t.T())
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			out.SetSym(i, j, b.At(i, j))
		}
	}
	return out
}

// frontOf is the front of a matrix whose first own unknowns are eliminated.
func frontOf(t testing.TB, a *mat.SymDense, own int) (*eliminator, []float64) {
	n := a.SymmetricDim()
	d := &eliminator{crew: newCrew(t.Context(), 2), own: own, size: n, panel: make([]float64, n*own), schur: make([]float64, scratchSize(n-own)), least: 1}
	diagonal := make([]float64, own)
	for i := range n {
		for j := range i + 1 {
			if j < own {
				d.panel[i*own+j] = a.At(i, j)
			} else {
				d.schur[(i-own)*(n-own)+j-own] = a.At(i, j)
			}
		}
		if i < own {
			diagonal[i] = a.At(i, i)
		}
	}
	return d, diagonal
}

// inStrips moves the columns of a front to strips.
func inStrips(d *eliminator) *strips {
	s := newStrips(d, make([]float64, stripSize(d.own, d.size)))
	fillStrips(s)
	return s
}

func fillStrips(s *strips) {
	c := s.columns(nil)
	clear(c.data)
	for r := range s.size {
		c.add(r, 0, s.panel[r*s.own:][:min(r+1, s.own)])
	}
}

// BenchmarkFront is the elimination of one front by kernels and on gonum.
func BenchmarkFront(b *testing.B) {
	for _, s := range [][2]int{{48, 130}, {120, 400}, {480, 900}} {
		a := spd(rand.New(rand.NewPCG(1, 2)), s[0]+s[1])
		for _, kernels := range []bool{true, false} {
			name := "gonum"
			if kernels {
				name = "kernels"
			}
			b.Run(name, func(b *testing.B) {
				own, rest := float64(s[0]), float64(s[1])
				d, diagonal := frontOf(b, a, s[0])
				d.crew = newCrew(b.Context(), 1)
				panel, strips := append([]float64(nil), d.panel...), inStrips(d)
				for b.Loop() {
					copy(d.panel, panel)
					if kernels && hasKernels {
						fillStrips(strips)
						strips.run(diagonal)
					} else {
						d.run(diagonal)
					}
				}
				b.ReportMetric(own, "own")
				b.ReportMetric(rest, "rest")
				b.ReportMetric((own*own*own/3+own*own*rest+own*rest*rest)*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
			})
		}
	}
}
