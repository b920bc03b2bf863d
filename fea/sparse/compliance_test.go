package sparse

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// Compliances are those that solutions give, for any number of workers, with held
// unknowns, several pieces of columns and unknowns that columns share.
func TestComplianceIsThatOfSolutions(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 3))
	m := plateModel(24, 9, 6)
	var first []float64
	for _, workers := range []int{1, 2} {
		f := factored(t, m, Options{Workers: workers})
		columns := make([][]Entry, 150)
		q := rand.New(rand.NewPCG(5, 1))
		for i := range columns {
			for range 1 + q.IntN(12) {
				columns[i] = append(columns[i], Entry{q.IntN(m.unknowns()), q.NormFloat64()})
			}
		}
		compliance, err := f.Compliance(t.Context(), columns)
		if err != nil {
			t.Fatal(err)
		}
		got := compliance.Matrix
		if first == nil {
			first = got
		} else if difference(got, first) != 0 {
			t.Errorf("%d workers give other numbers than one", workers)
		}
		for range 20 {
			i := r.IntN(len(columns))
			u := make([]float64, m.unknowns())
			for _, e := range columns[i] {
				u[e.Unknown] += e.Value
			}
			under, err := compliance.Under(t.Context(), [][]float64{u})
			if err != nil {
				t.Fatal(err)
			}
			if d := difference(under[0], got[i*len(columns):(i+1)*len(columns)]); d > 1e-9 {
				t.Fatalf("motions under a force along motion %d differ by %g of the largest from its compliances", i, d)
			}
			if _, err := f.SolveTo(t.Context(), [][]float64{u}, [][]float64{u}, nil); err != nil {
				t.Fatal(err)
			}
			for j, col := range columns {
				want := 0.0
				for _, e := range col {
					want += e.Value * u[e.Unknown]
				}
				// A compliance is no larger than the mean of those of its motions alone.
				size := math.Sqrt(got[i*len(columns)+i] * got[j*len(columns)+j])
				if v := got[i*len(columns)+j]; math.Abs(v-want) > 1e-9*size {
					t.Fatalf("compliance of %d and %d is %g, want %g", i, j, v, want)
				}
			}
		}
	}
}

func TestComplianceRefuses(t *testing.T) {
	m := plateModel(4, 3, 6)
	f := factored(t, m, Options{})
	for _, c := range []struct {
		e    Entry
		want string
	}{
		{Entry{-1, 1}, "does not exist"},
		{Entry{m.unknowns(), 1}, "does not exist"},
		{Entry{0, math.NaN()}, "not finite"},
		{Entry{0, math.Inf(1)}, "not finite"},
	} {
		if _, err := f.Compliance(t.Context(), [][]Entry{{c.e}}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("entry %v: error %v, want %q", c.e, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := f.Compliance(ctx, [][]Entry{{{0, 1}}}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: error %v", err)
	}
	if got, err := f.Compliance(t.Context(), nil); err != nil || len(got.Matrix) != 0 {
		t.Errorf("of nothing: %v, error %v", got, err)
	}
	c, err := f.Compliance(t.Context(), [][]Entry{{{3, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Under(t.Context(), [][]float64{make([]float64, 3)}); err == nil || !strings.Contains(err.Error(), "has 3 figures") {
		t.Errorf("a short load: error %v", err)
	}
	if _, err := c.Under(ctx, [][]float64{make([]float64, m.unknowns())}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: error %v", err)
	}
	f.Release()
	if _, err := c.Under(t.Context(), [][]float64{make([]float64, m.unknowns())}); !errors.Is(err, ErrReleased) {
		t.Errorf("under a load, released: error %v", err)
	}
	if _, err := f.Compliance(t.Context(), nil); !errors.Is(err, ErrReleased) {
		t.Errorf("released: error %v", err)
	}
}
