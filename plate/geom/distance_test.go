package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// sampledDist is the least distance of two edges among samples; it is at most
// step too large.
func sampledDist(a, b Edge) (d, step float64) {
	const n = 400
	d = math.Inf(1)
	for i := 0; i <= n; i++ {
		d = min(d, b.Dist(a.At(float64(i)/n)))
	}
	return d, a.Length() / n
}

func TestEdgeDistanceAgainstSamples(t *testing.T) {
	rg := rand.New(rand.NewPCG(8, 1))
	for k := range 3000 {
		a, b := randomEdge(rg), randomEdge(rg)
		g := Closest(Contour{a}, Contour{b})
		d, step := sampledDist(a, b)
		if g.D > d+1e-9 || g.D < d-step {
			t.Errorf("pair %d: distance %g, samples %g\n%v\n%v", k, g.D, d, a, b)
		}
		if math.Abs(g.P.Dist(g.Q)-g.D) > 1e-9 || a.Dist(g.P) > 1e-9 || b.Dist(g.Q) > 1e-9 {
			t.Errorf("pair %d: witnesses %v and %v do not show %g", k, g.P, g.Q, g.D)
		}
		if r := Closest(Contour{b}, Contour{a}); math.Abs(r.D-g.D) > 1e-9 {
			t.Errorf("pair %d: %g one way, %g the other", k, g.D, r.D)
		}
	}
	if g := Closest(nil, Circle(Pt(0, 0), 1)); !math.IsInf(g.D, 1) {
		t.Errorf("distance to nothing is %g", g.D)
	}
}

func TestClosestClosedForms(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b Contour
		want float64
	}{
		{"discs apart", Circle(Pt(0, 0), 3), Circle(Pt(3, 4), 1), 1},
		{"disc in disc", Circle(Pt(0, 0), 10), Circle(Pt(3, 4), 1), 4},
		{"concentric", Circle(Pt(1, 1), 10), Circle(Pt(1, 1), 7), 3},
		{"crossing", Circle(Pt(0, 0), 3), Circle(Pt(4, 0), 3), 0},
		{"touching", Circle(Pt(0, 0), 3), Circle(Pt(6, 0), 3), 0},
		{"disc by a side", Circle(Pt(0, 0), 3), Rect(Pt(5, -9), Pt(6, 9)), 2},
		{"disc by a corner", Circle(Pt(0, 0), 3), Rect(Pt(3, 4), Pt(9, 9)), 2},
		{"parallel", Rect(Pt(0, 0), Pt(1, 9)), Rect(Pt(1.5, 3), Pt(4, 5)), 0.5},
		{"rectangle crossed", Rect(Pt(0, 0), Pt(9, 1)), Rect(Pt(4, -3), Pt(5, 3)), 0},
	} {
		if g := Closest(c.a, c.b); math.Abs(g.D-c.want) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.name, g.D, c.want)
		}
	}
}

func TestGapsAgainstAllPairs(t *testing.T) {
	rg := rand.New(rand.NewPCG(9, 1))
	for k := range 60 {
		var cs []Contour
		for range 2 + rg.IntN(25) {
			p := Pt(rg.Float64()*100, rg.Float64()*100)
			switch rg.IntN(3) {
			case 0:
				cs = append(cs, Circle(p, 1+5*rg.Float64()))
			case 1:
				cs = append(cs, Capsule(p, p.Add(Pt(20*rg.Float64()-10, 20*rg.Float64()-10)), 1+rg.Float64()))
			default:
				cs = append(cs, RoundedRect(p, p.Add(Pt(4+9*rg.Float64(), 4+9*rg.Float64())), 1))
			}
		}
		limit := 1 + 20*rg.Float64()
		got := Gaps(cs, limit)
		n := 0
		for i := range cs {
			for j := i + 1; j < len(cs); j++ {
				w := Closest(cs[i], cs[j])
				if w.D >= limit {
					continue
				}
				if n >= len(got) || got[n].I != i || got[n].J != j || math.Abs(got[n].D-w.D) > 1e-12 {
					t.Fatalf("scene %d: gap %d-%d is %g; Gaps has %+v at place %d", k, i, j, w.D, got[min(n, len(got)-1)], n)
				}
				g := got[n]
				if Closest(cs[i], Contour{Line(g.P, g.Q)}).D > 1e-9 || math.Abs(g.P.Dist(g.Q)-g.D) > 1e-9 {
					t.Errorf("scene %d: witnesses %v, %v", k, g.P, g.Q)
				}
				n++
			}
		}
		if n != len(got) {
			t.Errorf("scene %d: %d gaps, want %d", k, len(got), n)
		}
	}
	for _, l := range []float64{0, -1, math.NaN()} {
		if g := Gaps([]Contour{Circle(Pt(0, 0), 1), Circle(Pt(3, 0), 1)}, l); g != nil {
			t.Errorf("Gaps with limit %g = %v", l, g)
		}
	}
	if g := Gaps([]Contour{Circle(Pt(0, 0), 1), Circle(Pt(3, 0), 1)}, math.Inf(1)); len(g) != 1 || g[0].D != 1 {
		t.Errorf("Gaps without limit = %v", g)
	}
}

// TestDistancesOfNonsense asks for no panic and no gap.
func TestDistancesOfNonsense(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Circle(Pt(0, 0), 1)
	for _, bad := range []Contour{
		{Line(Pt(nan, 0), Pt(1, 1))},
		{Line(Pt(0, 0), Pt(inf, 1))},
		{Line(Pt(-inf, 0), Pt(inf, 1))},
		{{A: Pt(1, 0), B: Pt(1, 0), R: nan, Dir: 1}},
		{{A: Pt(1, 0), B: Pt(0, nan), R: 1, Dir: -1}},
		{},
	} {
		var many []Contour
		for range 50 {
			many = append(many, bad, good)
		}
		Gaps(many, 5)
		Gaps([]Contour{good, bad}, inf)
		SelfGap(append(append(Contour{}, bad...), good...), 5)
		Closest(good, bad)
		InscribedCircle(Region{Outer: bad})
		InscribedCircle(Region{Outer: good, Holes: []Contour{bad}})
		bad.Flatten(0.1)
		bad.LeastInsideRadius()
		bad.Winding(Pt(0.1, 0.2))
		Shape{{Outer: bad}}.Crossings(Pt(-5, 0), Pt(5, 1))
		if err := bad.Check(); err == nil {
			t.Errorf("Check passes %v", bad)
		}
	}
}

func TestSelfGap(t *testing.T) {
	dumbbell := must(Union(disc(-20, 0, 10), disc(20, 0, 10), block(-20, -2, 20, 2)))[0].Outer
	for _, c := range []struct {
		name  string
		c     Contour
		limit float64
		want  float64 // 0: none
	}{
		{"strip", Rect(Pt(0, 0), Pt(30, 4)), 10, 4},
		{"strip beyond the limit", Rect(Pt(0, 0), Pt(30, 4)), 3, 0},
		{"capsule", Capsule(Pt(0, 0), Pt(30, 7), 3), 10, 6},
		{"neck", dumbbell, 15, 4},
		{"disc", Circle(Pt(0, 0), 3), 100, 0},
		{"rounded corners are no necks", RoundedRect(Pt(0, 0), Pt(30, 30), 2), 20, 0},
		{"triangle", Polygon(Pt(0, 0), Pt(30, 0), Pt(15, 26)), 20, 0},
		{"notch", Polygon(Pt(0, 0), Pt(30, 0), Pt(30, 30), Pt(16, 30), Pt(16, 10), Pt(14, 10), Pt(14, 30), Pt(0, 30)), 9, 2},
		{"tip against a side", Polygon(Pt(0, 0), Pt(30, 0), Pt(30, 30), Pt(20, 30), Pt(15, 3), Pt(10, 30), Pt(0, 30)), 9, 3},
		{"taper", Polygon(Pt(0, 0), Pt(30, 1), Pt(30, 4), Pt(0, 5)), 10, 3},
		{"keyhole", parse(t, "M -10,-2 L 0,-2 A 0,2 4,0 + L -10,2 L -10,20 L 20,20 L 20,-20 L -10,-20 Z").Reverse(), 10, 4},
	} {
		g, ok := SelfGap(c.c, c.limit)
		if ok != (c.want > 0) || ok && math.Abs(g.D-c.want) > 0.05 {
			t.Errorf("%s: SelfGap = %+v, %v; want %g", c.name, g, ok, c.want)
			continue
		}
		if ok && (c.c[g.I].Dist(g.P) > 1e-9 || c.c[g.J].Dist(g.Q) > 1e-9 || math.Abs(g.P.Dist(g.Q)-g.D) > 1e-9) {
			t.Errorf("%s: witnesses %v on edge %d and %v on edge %d do not show %g", c.name, g.P, g.I, g.Q, g.J, g.D)
		}
	}
	// An opened isogrid cell has no neck: its fillets do not count.
	cell := must(Open(RegionOf(Polygon(Pt(0, 0), Pt(46, 0), Pt(23, 40))), 3))[0].Outer
	if g, ok := SelfGap(cell, 30); ok {
		t.Errorf("triangular cell has a neck %+v", g)
	}
	if _, ok := SelfGap(cell, math.NaN()); ok {
		t.Errorf("SelfGap with limit NaN finds something")
	}
}
