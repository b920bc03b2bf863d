package mesh

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"platewright/plate/geom"
)

// ratOrient and ratInCircle are the determinants in rational arithmetic.
func ratOrient(a, b, c geom.Point) int {
	ax, ay, bx, by := ratDiff(a.X, c.X), ratDiff(a.Y, c.Y), ratDiff(b.X, c.X), ratDiff(b.Y, c.Y)
	return ratCross(ax, ay, bx, by).Sign()
}

func ratInCircle(a, b, c, d geom.Point) int {
	p := [3]geom.Point{a, b, c}
	sum := new(big.Rat)
	for i := range 3 {
		j, k := p[(i+1)%3], p[(i+2)%3]
		x, y := ratDiff(p[i].X, d.X), ratDiff(p[i].Y, d.Y)
		lift := new(big.Rat).Add(new(big.Rat).Mul(x, x), new(big.Rat).Mul(y, y))
		m := ratCross(ratDiff(j.X, d.X), ratDiff(j.Y, d.Y), ratDiff(k.X, d.X), ratDiff(k.Y, d.Y))
		sum.Add(sum, lift.Mul(lift, m))
	}
	return sum.Sign()
}

func ratDiff(a, b float64) *big.Rat {
	x, y := new(big.Rat).SetFloat64(a), new(big.Rat).SetFloat64(b)
	return x.Sub(x, y)
}

func ratCross(ax, ay, bx, by *big.Rat) *big.Rat {
	l, r := new(big.Rat).Mul(ax, by), new(big.Rat).Mul(ay, bx)
	return l.Sub(l, r)
}

func signOf(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// hardPoints draws points that are nearly or exactly on lines and circles.
func hardPoints(r *rand.Rand) [4]geom.Point {
	var p [4]geom.Point
	nudge := func(x float64) float64 {
		for range r.IntN(4) {
			x = math.Nextafter(x, math.Inf(1-2*r.IntN(2)))
		}
		return x
	}
	switch r.IntN(5) {
	case 0: // a small lattice: lines and circles are exact
		for i := range p {
			p[i] = geom.Pt(float64(r.IntN(7)), float64(r.IntN(7)))
		}
	case 1: // on a circle to rounding
		c, rad := geom.Pt(r.Float64()*300, r.Float64()*200), r.Float64()*30
		for i := range p {
			s, k := math.Sincos(2 * math.Pi * float64(r.IntN(24)) / 24)
			p[i] = settle(geom.Pt(nudge(c.X+rad*k), nudge(c.Y+rad*s)))
		}
	case 2: // on a line to rounding
		a, d := geom.Pt(r.Float64()*300, r.Float64()*200), geom.Pt(r.Float64()-0.5, r.Float64()-0.5)
		for i := range p {
			p[i] = settle(a.Add(d.Mul(float64(r.IntN(9)) / 8)))
			p[i].X = nudge(p[i].X)
		}
	case 3: // corners of an oblong far out, moved by a rounding
		w, h := 1+r.Float64()*5, 1+r.Float64()*5
		o := geom.Pt(float64(int(r.Float64()*1e5)), float64(int(r.Float64()*1e5)))
		p = [4]geom.Point{o, o.Add(geom.Pt(w, 0)), o.Add(geom.Pt(w, h)), o.Add(geom.Pt(0, h))}
		p[r.IntN(4)].X = nudge(p[r.IntN(4)].X)
	default: // sizes far apart
		for i := range p {
			p[i] = geom.Pt(math.Ldexp(r.Float64()-0.5, r.IntN(90)-80), math.Ldexp(r.Float64()-0.5, r.IntN(90)-80))
		}
	}
	return p
}

func TestPredicatesAgainstRationals(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	zero, exact := 0, 0
	for range 20000 {
		p := hardPoints(r)
		if got, want := signOf(orient(p[0], p[1], p[2])), ratOrient(p[0], p[1], p[2]); got != want {
			t.Fatalf("orient(%v, %v, %v) = %d, want %d", p[0], p[1], p[2], got, want)
		}
		want := ratInCircle(p[0], p[1], p[2], p[3])
		if got := signOf(inCircle(p[0], p[1], p[2], p[3])); got != want {
			t.Fatalf("inCircle(%v) = %d, want %d", p, got, want)
		}
		if got := signOf(inCircleExact(p[0], p[1], p[2], p[3])); got != want {
			t.Fatalf("inCircleExact(%v) = %d, want %d", p, got, want)
		}
		if got, want := signOf(orientExact(p[0], p[1], p[2])), ratOrient(p[0], p[1], p[2]); got != want {
			t.Fatalf("orientExact(%v) = %d, want %d", p, got, want)
		}
		if want == 0 {
			zero++
		} else {
			exact++
		}
	}
	if zero < 1000 || exact < 1000 {
		t.Errorf("%d zeros and %d others: the points do not test both", zero, exact)
	}
}

// TestPredicateLaws checks that the predicates change sign under every
// permutation as determinants do.
func TestPredicateLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 20000 {
		p := hardPoints(r)
		o, c := signOf(orient(p[0], p[1], p[2])), signOf(inCircle(p[0], p[1], p[2], p[3]))
		q := p
		odd := 1
		for range 1 + r.IntN(4) { // swaps of three
			if i, j := r.IntN(3), r.IntN(3); i != j {
				q[i], q[j] = q[j], q[i]
				odd = -odd
			}
		}
		if got := signOf(orient(q[0], q[1], q[2])); got != odd*o {
			t.Fatalf("orient(%v) = %d, orient(%v) = %d, permuted with sign %d", p[:3], o, q[:3], got, odd)
		}
		for range r.IntN(3) { // and of all four
			if i, j := r.IntN(4), r.IntN(4); i != j {
				q[i], q[j] = q[j], q[i]
				odd = -odd
			}
		}
		if got := signOf(inCircle(q[0], q[1], q[2], q[3])); got != odd*c {
			t.Fatalf("inCircle(%v) = %d, inCircle(%v) = %d, permuted with sign %d", p, c, q, got, odd)
		}
		if signOf(orient(p[0], p[0], p[1])) != 0 || signOf(inCircle(p[0], p[1], p[2], p[0])) != 0 {
			t.Fatalf("equal points of %v are not degenerate", p)
		}
	}
}

func TestExpansions(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	value := func(e []float64) *big.Rat {
		s := new(big.Rat)
		for i, x := range e {
			if x == 0 || i > 0 && math.Abs(x) <= math.Abs(e[i-1]) {
				t.Fatalf("not an expansion: %v", e)
			}
			s.Add(s, new(big.Rat).SetFloat64(x))
		}
		return s
	}
	draw := func() []float64 {
		var e []float64
		for range r.IntN(6) {
			e = add(nil, e, []float64{math.Ldexp(r.Float64()-0.5, r.IntN(120)-60)})
		}
		return e
	}
	for range 3000 {
		e, f := draw(), draw()
		ve, vf := value(e), value(f)
		if value(add(nil, e, f)).Cmp(new(big.Rat).Add(ve, vf)) != 0 {
			t.Fatalf("add(%v, %v) is not exact", e, f)
		}
		if value(mul(e, f)).Cmp(new(big.Rat).Mul(ve, vf)) != 0 {
			t.Fatalf("mul(%v, %v) is not exact", e, f)
		}
	}
}

func BenchmarkInCircle(b *testing.B) {
	circle := func(k int) geom.Point {
		s, c := math.Sincos(float64(k))
		return geom.Pt(100.3+20*c, 40.7+20*s)
	}
	for _, c := range []struct {
		name string
		p    [4]geom.Point
	}{
		{"apart", [4]geom.Point{geom.Pt(0, 0), geom.Pt(3.1, 0.2), geom.Pt(1.3, 2.7), geom.Pt(5, 5)}},
		{"one bore", [4]geom.Point{circle(1), circle(2), circle(3), circle(4)}},
		{"oblong", [4]geom.Point{geom.Pt(0, 0), geom.Pt(3, 0), geom.Pt(3, 2), geom.Pt(0, 2)}},
		{"oblong far out", [4]geom.Point{geom.Pt(0.1, 0.1), geom.Pt(3.3, 0.1), geom.Pt(3.3, 2.7), geom.Pt(0.1, 2.7)}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				inCircle(c.p[0], c.p[1], c.p[2], c.p[3])
			}
		})
	}
}
