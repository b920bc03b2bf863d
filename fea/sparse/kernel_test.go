package sparse

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The kernels give what gonum gives on fronts of all remainders of sizes, and find
// the same unknown without stiffness. Those of AVX-512 give the bits of those of AVX2.
func TestKernelsAgainstGonum(t *testing.T) {
	if !hasKernels {
		t.Skip("this processor has no AVX2 and FMA: there is only gonum")
	}
	wide := hasWide
	defer func() { hasWide = wide }()
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
			// By gonum, by AVX2, and by AVX-512 if there is any.
			const gonum, avx2, avx512 = 0, 1, 2
			var panel [3]strips
			var schur [3][]float64
			var bad [3]int
			var least [3]float64
			for k := range 3 {
				d, diagonal := frontOf(t, a, own)
				panel[k] = newStrips(own, own+rest, make([]float64, stripSize(own, own+rest)))
				if k == gonum {
					if bad[k], _ = d.run(diagonal); bad[k] < 0 {
						panel[k].pack(d.panel)
					}
				} else {
					hasWide = k == avx512 && wide
					fillStrips(&panel[k], d.panel)
					bad[k], _ = (&stripwise{&panel[k], d.work}).run(diagonal)
				}
				schur[k], least[k] = d.schur, d.least
			}
			if bad[avx2] != bad[gonum] || bad[avx512] != bad[gonum] || bad[gonum] != broken {
				t.Fatalf("%d and %d rows, unknown %d without stiffness: found at %d by gonum, %d by AVX2 and %d by AVX-512",
					own, rest, broken, bad[gonum], bad[avx2], bad[avx512])
			}
			if broken >= 0 {
				continue
			}
			if math.Abs(least[avx2]-least[gonum]) > 1e-12 {
				t.Errorf("%d and %d rows: least pivot %g by AVX2 and %g by gonum", own, rest, least[avx2], least[gonum])
			}
			if least[avx512] != least[avx2] || !slices.Equal(panel[avx512].data, panel[avx2].data) {
				t.Fatalf("%d and %d rows: the factor by AVX-512 is other numbers than by AVX2", own, rest)
			}
			base := panel[gonum].columns(nil).base
			for i := range own + rest {
				for j := range min(i+1, own) {
					at := int(base[i]) + j*strip
					x, y := panel[avx2].data[at], panel[gonum].data[at]
					if i == j {
						x, y = 1/x, 1/y
					}
					if !(math.Abs(x-y) <= 1e-12*math.Sqrt(a.At(i, i))) {
						t.Fatalf("%d and %d rows: L[%d][%d] is %g by kernels and %g by gonum", own, rest, i, j, x, y)
					}
				}
			}
			for i := range rest {
				for j := range i + 1 {
					x, y := schur[avx2][i*rest+j], schur[gonum][i*rest+j]
					if z := schur[avx512][i*rest+j]; z != x {
						t.Fatalf("%d and %d rows: S[%d][%d] is %g by AVX-512 and %g by AVX2", own, rest, i, j, z, x)
					}
					if !(math.Abs(x-y) <= 1e-12*math.Sqrt(a.At(own+i, own+i)*a.At(own+j, own+j))) {
						t.Fatalf("%d and %d rows: S[%d][%d] is %g by kernels and %g by gonum", own, rest, i, j, x, y)
					}
				}
			}
		}
	}
}

// Without kernels there are the same solutions and compliances.
func TestWithoutKernels(t *testing.T) {
	if !hasKernels {
		t.Skip("this processor has no AVX2 and FMA: nothing else is used")
	}
	wide := hasWide
	defer func() { hasKernels, hasWide = true, wide }()
	m := plateModel(24, 9, 6)
	n := m.unknowns()
	at, length := 0, 0.0
	for _, p := range m.Positions {
		length = max(length, p[0])
	}
	for k, p := range m.Positions {
		// A separator within this band has no unknown of its own, and rows that others beside it have.
		for u := range m.Sizes[k] {
			m.Held[at+u] = m.Held[at+u] || p[0] > length/8 && p[0] < 3*length/8
		}
		at += m.Sizes[k]
	}
	var u, compliance [2][]float64
	for i := range 2 {
		hasKernels, hasWide = i == 0, i == 0 && wide
		f := factored(t, m, Options{})
		load := make([]float64, n)
		columns := make([][]Entry, 30)
		for k := range load {
			load[k] = math.Sin(float64(k))
			columns[k%30] = append(columns[k%30], Entry{k, load[k]})
		}
		if _, err := f.SolveTo(t.Context(), [][]float64{load}, [][]float64{load}, nil); err != nil {
			t.Fatal(err)
		}
		u[i] = load
		c, err := f.Compliance(t.Context(), columns)
		if err != nil {
			t.Fatal(err)
		}
		compliance[i] = c.Matrix
	}
	if d := difference(u[0], u[1]); d > 1e-9 {
		t.Errorf("solutions differ by %g of the largest number", d)
	}
	if d := difference(compliance[0], compliance[1]); d > 1e-9 {
		t.Errorf("compliances differ by %g of the largest number", d)
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
	d := &eliminator{&work{newCrew(t.Context(), 2), make([]float64, scratchSize(n-own)), 1}, own, n, make([]float64, n*own)}
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

// fillStrips adds the columns of a front to its strips.
func fillStrips(s *strips, panel []float64) {
	clear(s.data)
	c := s.columns(nil)
	for r := range s.size {
		c.add(r, 0, panel[r*s.own:][:min(r+1, s.own)])
	}
}

// The kernels do what the loops beside them do.
func TestKernelsAgainstLoops(t *testing.T) {
	if !hasKernels {
		t.Skip("this processor has no AVX2 and FMA: there are only the loops")
	}
	wide := hasWide
	defer func() { hasKernels, hasWide = true, wide }()
	r := rand.New(rand.NewPCG(3, 12))
	numbers := func(n int) []float64 {
		v := make([]float64, n)
		for i := range v {
			v[i] = r.NormFloat64()
		}
		return v
	}
	for k := 4; k <= 60; k += 4 {
		a, b, c, x := numbers(k*strip), numbers(k*strip), numbers(24*strip), numbers(k)
		y := [strip]float64(numbers(strip))
		var got [2][]float64
		for i := range 2 {
			hasKernels, hasWide = i == 0, i == 0 && wide
			product, twice, solved, taken := slices.Clone(c), slices.Clone(c), slices.Clone(c), slices.Clone(x)
			subtractBlocks(k, a, b, a, twice, twice[strip:], 24)
			subtractBlock(k, a, b, product, 13)
			solveBlock(c[block:], solved)
			takeTransposed(k, a, &y, taken)
			var sum [strip]float64
			timesStrip(k, a, x, &sum)
			for _, v := range [][]float64{product, twice, solved, taken, sum[:]} {
				got[i] = append(got[i], v...)
			}
		}
		one, two := slices.Clone(c), slices.Clone(c)
		hasKernels, hasWide = true, wide
		subtractBlocks(k, a, b, a, one, one[strip:], 24)
		hasWide = false
		subtractBlocks(k, a, b, a, two, two[strip:], 24)
		if !slices.Equal(one, two) {
			t.Errorf("%d columns: two blocks at once are other numbers than one by one", k)
		}
		if d := difference(got[0], got[1]); d > 1e-12 {
			t.Errorf("%d columns: kernels and loops differ by %g of the largest number", k, d)
		}
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
				panel, strips := append([]float64(nil), d.panel...), newStrips(d.own, d.size, make([]float64, stripSize(d.own, d.size)))
				for b.Loop() {
					if kernels && hasKernels {
						fillStrips(&strips, panel)
						(&stripwise{&strips, d.work}).run(diagonal)
					} else {
						copy(d.panel, panel)
						d.run(diagonal)
						strips.pack(d.panel)
					}
				}
				b.ReportMetric(own, "own")
				b.ReportMetric(rest, "rest")
				b.ReportMetric((own*own*own/3+own*own*rest+own*rest*rest)*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
			})
		}
	}
}
