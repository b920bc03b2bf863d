package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// randomEdge returns a line, an arc of any sweep, or a full circle.
func randomEdge(rg *rand.Rand) Edge {
	p := func() Point { return Pt(rg.Float64()*20-10, rg.Float64()*20-10) }
	if rg.IntN(3) == 0 {
		return Line(p(), p())
	}
	c, r, a := p(), 0.5+5*rg.Float64(), rg.Float64()*7
	dir := int8(1 - 2*rg.IntN(2))
	s := c.Add(Pt(r, 0).Rotate(a))
	if rg.IntN(8) == 0 {
		return Edge{A: s, B: s, C: c, R: r, Dir: dir}
	}
	return Edge{A: s, B: c.Add(Pt(r, 0).Rotate(a + float64(dir)*6.2*rg.Float64())), C: c, R: r, Dir: dir}
}

func TestEdgeAgainstSamples(t *testing.T) {
	rg := rand.New(rand.NewPCG(2, 1))
	for k := range 500 {
		e := randomEdge(rg)
		const n = 4000
		q := Pt(rg.Float64()*24-12, rg.Float64()*24-12)
		length, best := 0.0, math.Inf(1)
		box := Box{}
		for i := 0; i <= n; i++ {
			p := e.At(float64(i) / n)
			if i > 0 {
				length += p.Dist(e.At(float64(i-1) / n))
			}
			best = min(best, p.Dist(q))
			box = box.Add(p)
		}
		if d := math.Abs(length - e.Length()); d > 1e-4 {
			t.Errorf("edge %d: length %g, samples %g", k, e.Length(), length)
		}
		if d := e.Dist(q); d > best+1e-9 || d < best-0.02 {
			t.Errorf("edge %d: Dist %g, samples %g", k, d, best)
		}
		c := e.Closest(q)
		if math.Abs(c.Dist(q)-e.Dist(q)) > 1e-9 || e.Dist(c) > 1e-9 {
			t.Errorf("edge %d: Closest %v is %g from the point, Dist says %g", k, c, c.Dist(q), e.Dist(q))
		}
		b := e.Box()
		if b.Min.Dist(box.Min) > 1e-4 || b.Max.Dist(box.Max) > 1e-4 || !b.Grow(1e-9).Contains(box.Min) || !b.Grow(1e-9).Contains(box.Max) {
			t.Errorf("edge %d: Box %v, samples %v", k, b, box)
		}
		if m := e.At(0.5); m.Dist(e.Mid()) > 1e-9 {
			t.Errorf("edge %d: Mid %v, At(0.5) %v", k, e.Mid(), m)
		}
		h := 1e-6
		if u := e.At(h).Sub(e.A).Unit(); u.Dist(e.TangentA()) > 1e-4 {
			t.Errorf("edge %d: TangentA %v, samples %v", k, e.TangentA(), u)
		}
		if u := e.B.Sub(e.At(1 - h)).Unit(); u.Dist(e.TangentB()) > 1e-4 {
			t.Errorf("edge %d: TangentB %v, samples %v", k, e.TangentB(), u)
		}
		r := e.Reverse()
		if r.At(0.3).Dist(e.At(0.7)) > 1e-9 || r.Sweep() != -e.Sweep() {
			t.Errorf("edge %d: reversed edge is another", k)
		}
		f := randomAffine(rg)
		if d := e.Transform(f).At(0.3).Dist(f.Apply(e.At(0.3))); d > 1e-9 {
			t.Errorf("edge %d: transformed edge is off by %g", k, d)
		}
		if d := e.Translate(Pt(1, 2)).At(0.3).Dist(e.At(0.3).Add(Pt(1, 2))); d > 1e-9 {
			t.Errorf("edge %d: translated edge is off by %g", k, d)
		}
	}
}

func TestBulge(t *testing.T) {
	for _, c := range []struct {
		e    Edge
		want float64
	}{
		{Line(Pt(0, 0), Pt(1, 0)), 0},
		{Arc(Pt(1, 0), Pt(0, 1), Pt(0, 0), 1), math.Sqrt2 - 1}, // tan 22.5°
		{Arc(Pt(1, 0), Pt(-1, 0), Pt(0, 0), 1), 1},
		{Arc(Pt(1, 0), Pt(-1, 0), Pt(0, 0), -1), -1},
		{Arc(Pt(0, 1), Pt(1, 0), Pt(0, 0), 1), math.Sqrt2 + 1}, // tan 67.5°
		{Arc(Pt(1, 0), Pt(1, 0), Pt(0, 0), -1), math.Inf(-1)},
	} {
		if got := c.e.Bulge(); math.Abs(got-c.want) > 1e-14 {
			t.Errorf("%v.Bulge() = %g, want %g", c.e, got, c.want)
		}
	}
}

func TestArcThrough(t *testing.T) {
	rg := rand.New(rand.NewPCG(3, 1))
	for k := range 300 {
		e := randomEdge(rg)
		if e.Dir == 0 || e.A == e.B || e.Length() < 0.1 {
			continue
		}
		g, err := ArcThrough(e.A, e.At(0.2+0.6*rg.Float64()), e.B)
		if err != nil || g.Dir != e.Dir || g.C.Dist(e.C) > 1e-6 || math.Abs(g.R-e.R) > 1e-6 {
			t.Errorf("arc %d: ArcThrough = %v, %v; want %v", k, g, err, e)
		}
	}
	for _, c := range [][3]Point{
		{Pt(0, 0), Pt(1, 1), Pt(2, 2)},
		{Pt(0, 0), Pt(0, 0), Pt(2, 2)},
		{Pt(0, 0), Pt(1, 0), Pt(0, 0)},
		{Pt(0, 0), Pt(50, 1e-4), Pt(100, 0)}, // R = 12.5 km
		{Pt(0, 0), Pt(50, 1e-12), Pt(100, 0)},
		{Pt(0, 0), Pt(math.NaN(), 1), Pt(100, 0)},
		{Pt(0, 0), Pt(math.Inf(1), 1), Pt(100, 0)},
	} {
		if e, err := ArcThrough(c[0], c[1], c[2]); err == nil {
			t.Errorf("ArcThrough(%v) = %v, want an error", c, e)
		}
	}
}
