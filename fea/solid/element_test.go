package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// distorted is a prism with curved sides, whose nodes are moved at random in all
// three directions.
func distorted(rng *rand.Rand, size float64) Prism {
	var x Prism
	plane := [6][2]float64{{0, 0}, {10, 1}, {2, 8}, {6, 4.5}, {1, 4}, {5, 0.5}}
	for i := range x {
		x[i] = Vec{plane[i%6][0], plane[i%6][1], 3 * float64(i/6)}
		for c := range 3 {
			x[i][c] += size * (2*rng.Float64() - 1)
		}
	}
	return x
}

// TestRules integrates all monomials that the rules promise: degree 4 in the
// triangle (r^a s^b: a! b!/(a+b+2)!) and degree 5 through the thickness.
func TestRules(t *testing.T) {
	fact := func(n int) float64 { return math.Gamma(float64(n + 1)) }
	for a := range 5 {
		for b := range 5 - a {
			for c := range 6 {
				got := 0.0
				for _, p := range rule {
					got += p.w * math.Pow(p.r, float64(a)) * math.Pow(p.s, float64(b)) * math.Pow(p.t, float64(c))
				}
				want := fact(a) * fact(b) / fact(a+b+2) * (1 - math.Pow(-1, float64(c+1))) / float64(c+1)
				if math.Abs(got-want) > 1e-14 {
					t.Errorf("∫ r^%d s^%d t^%d = %g, want %g", a, b, c, got, want)
				}
			}
		}
	}
}

// TestZeroModes: exactly six motions without energy, and those are the rigid ones,
// also on distorted prisms.
func TestZeroModes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for try := range 20 {
		x := distorted(rng, 0.3)
		ke := make([]float64, unknownsOf*unknownsOf)
		if err := Stiffness(&x, Material{E: 70000, Nu: 0.33}, ke); err != nil {
			t.Fatal(err)
		}
		var eig mat.EigenSym
		if !eig.Factorize(mat.NewSymDense(unknownsOf, ke), false) {
			t.Fatal("no eigenvalues")
		}
		v := eig.Values(nil)
		if top := v[unknownsOf-1]; math.Abs(v[5]) > 1e-12*top || v[6] < 1e-6*top {
			t.Errorf("prism %d: sixth and seventh eigenvalue %g and %g of %g", try, v[5], v[6], top)
		}
		for k := range 6 {
			var u [unknownsOf]float64
			for i, p := range x {
				d := Vec{}
				if k < 3 {
					d[k] = 1
				} else {
					axis := Vec{}
					axis[k-3] = 0.1
					d = axis.cross(p)
				}
				copy(u[3*i:], d[:])
			}
			for i := range unknownsOf {
				f := 0.0
				for j := range unknownsOf {
					f += ke[i*unknownsOf+j] * u[j]
				}
				if math.Abs(f) > 1e-11*v[unknownsOf-1] {
					t.Fatalf("rigid motion %d: force %g on unknown %d", k, f, i)
				}
			}
		}
	}
}

// TestFolded: a prism turned inside out is an error.
func TestFolded(t *testing.T) {
	x := distorted(rand.New(rand.NewPCG(2, 2)), 0)
	for i := range 6 {
		x[i], x[12+i] = x[12+i], x[i]
	}
	if err := Stiffness(&x, Material{E: 1, Nu: 0.3}, make([]float64, unknownsOf*unknownsOf)); err == nil {
		t.Error("no error")
	}
}
