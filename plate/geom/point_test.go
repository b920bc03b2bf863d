package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestBox(t *testing.T) {
	var b Box
	if !b.Empty() || b.Contains(Point{}) || b.Width() != 0 {
		t.Errorf("the zero box is not empty")
	}
	b = b.Add(Point{})
	if b.Empty() || !b.Contains(Point{}) {
		t.Errorf("a box of the origin is empty")
	}
	b = b.Add(Pt(3, -2))
	if want := (Box{Pt(0, -2), Pt(3, 0)}); b != want {
		t.Errorf("box = %v, want %v", b, want)
	}
	if got := b.Union(Box{}); got != b {
		t.Errorf("union with nothing = %v", got)
	}
	if got := (Box{}).Union(b); got != b {
		t.Errorf("nothing united = %v", got)
	}
	if !b.Overlaps(Box{Pt(3, 0), Pt(4, 1)}) || b.Overlaps(Box{Pt(3.1, 0), Pt(4, 1)}) || b.Overlaps(Box{}) {
		t.Errorf("Overlaps is wrong at a corner")
	}
	if !b.Grow(-2).Empty() || b.Grow(1).Width() != 5 || b.Height() != 2 || b.Center() != Pt(1.5, -1) {
		t.Errorf("Grow, Height or Center is wrong")
	}
	if !(Box{}).Grow(3).Empty() {
		t.Errorf("nothing grown is not empty")
	}
	if (Box{Min: Pt(math.NaN(), 0), Max: Pt(1, 1)}).Contains(Pt(0, 0)) {
		t.Errorf("a box with a NaN contains a point")
	}
}

func TestPoint(t *testing.T) {
	p := Pt(3, 4)
	if p.Len() != 5 || p.Unit() != Pt(0.6, 0.8) || p.Perp() != Pt(-4, 3) || p.Cross(Pt(-4, 3)) != 25 || p.Dot(p.Perp()) != 0 {
		t.Errorf("vector arithmetic is wrong")
	}
	if (Point{}).Unit() != (Point{}) {
		t.Errorf("unit of zero = %v", (Point{}).Unit())
	}
	if Pt(math.Inf(1), 0).IsFinite() || Pt(0, math.NaN()).IsFinite() || !p.IsFinite() {
		t.Errorf("IsFinite is wrong")
	}
	if q := Pt(1, 0).Rotate(math.Pi / 2); q.Dist(Pt(0, 1)) > 1e-15 {
		t.Errorf("quarter turn of x = %v", q)
	}
}

func randomAffine(rg *rand.Rand) Affine {
	t := Rotation(rg.Float64() * 7).Then(Translation(Pt(rg.Float64()*100-50, rg.Float64()*100-50)))
	if rg.IntN(2) == 0 {
		t = MirrorX().Then(t)
	}
	if rg.IntN(2) == 0 {
		t = t.Then(scaling(0.5 + rg.Float64()))
	}
	return t
}

func TestAffine(t *testing.T) {
	if p := (Affine{}).Apply(Pt(2, 3)); p != Pt(2, 3) {
		t.Errorf("the zero Affine maps 2,3 to %v", p)
	}
	if p := MirrorX().Apply(Pt(2, 3)); p != Pt(-2, 3) {
		t.Errorf("MirrorX maps 2,3 to %v", p)
	}
	if s := Rotation(0.3).Scale(); s != 1 {
		t.Errorf("a rotation scales by %.17g", s)
	}
	if p := rotationAbout(Pt(1, 1), math.Pi).Apply(Pt(2, 3)); p.Dist(Pt(0, -1)) > 1e-14 {
		t.Errorf("half turn about 1,1 maps 2,3 to %v", p)
	}
	rg := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		a, b, c := randomAffine(rg), randomAffine(rg), randomAffine(rg)
		p := Pt(rg.Float64()*20, rg.Float64()*20)
		if d := a.Then(b).Apply(p).Dist(b.Apply(a.Apply(p))); d > 1e-11 {
			t.Fatalf("Then is not one after the other: %g apart", d)
		}
		if d := a.Then(b).Then(c).Apply(p).Dist(a.Then(b.Then(c)).Apply(p)); d > 1e-11 {
			t.Fatalf("Then is not associative: %g apart", d)
		}
	}
}

// rotationAbout turns counter-clockwise about c by rad radians.
func rotationAbout(c Point, rad float64) Affine {
	return Translation(c.Mul(-1)).Then(Rotation(rad)).Then(Translation(c))
}

// scaling multiplies lengths by s, which is not zero, about the origin.
func scaling(s float64) Affine { return Affine{a: s, set: true} }
