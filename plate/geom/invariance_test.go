package geom

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// motions are the maps under which every result must follow its input. The odd
// angles and distances have nothing to do with those of the plates.
func motions(rg *rand.Rand) map[string]Affine {
	m := map[string]Affine{
		"moved":            Translation(Pt(rg.Float64()*4000-2000, rg.Float64()*4000-2000)),
		"turned":           Rotation(rg.Float64() * 6),
		"quarter turn":     Rotation(math.Pi / 2),
		"turned about":     rotationAbout(Pt(rg.Float64()*300, rg.Float64()*300), 1+rg.Float64()),
		"mirrored":         MirrorX(),
		"mirrored askew":   Rotation(rg.Float64()).Then(MirrorX()).Then(Translation(Pt(17.3, -5.1))),
		"all but enlarged": rotationAbout(Pt(11, 7), rg.Float64()*6).Then(MirrorX()).Then(Translation(Pt(-123.4, 56.7))),
	}
	for _, k := range []float64{1e-3, 1e-2, 0.1, 0.37, 3.1, 25.4, 100, 1000} {
		m[fmt.Sprintf("scaled by %g", k)] = scaling(k)
		m[fmt.Sprintf("scaled by %g and turned", k)] = scaling(k).Then(Rotation(rg.Float64() * 6))
	}
	return m
}

// invariantResults are what is computed from a plate, with lengths times k.
func invariantResults(e *Engine, inset Contour, metal []Contour, k float64) (map[string]Shape, error) {
	out := map[string]Shape{}
	var err error
	put := func(name string, s Shape, bad error) Shape {
		if bad != nil && err == nil {
			err = fmt.Errorf("%s: %w", name, bad)
		}
		out[name] = s
		return s
	}
	in := RegionOf(inset)
	u, bad := e.Union(shapes(metal)...)
	put("union", u, bad)
	d, bad := e.Difference(in, shapes(metal)...)
	put("difference", d, bad)
	x, bad := e.Intersection(in, u)
	put("intersection", x, bad)
	x, bad = e.Xor(in, u)
	put("exclusive or", x, bad)
	x, bad = e.Open(d, 1.3*k)
	put("opening", x, bad)
	off, bad := e.Offsets(d, []float64{1.9 * k, -0.7 * k, -2.1 * k})
	for i, s := range off {
		put(fmt.Sprintf("offset %d", i), s, bad)
	}
	return out, err
}

// TestInvariances: results of a moved, turned, mirrored or scaled plate are those
// of the plate moved, turned, mirrored or scaled, to what merging may change at
// either size: no area apart, and the same regions and holes (pairUp) up to ten
// times the size.
func TestInvariances(t *testing.T) {
	r := loadRanges(t)
	n := 10
	if long() {
		n = 1000
	}
	var e Engine
	worst := 0.0
	for k := range n {
		rg := rand.New(rand.NewPCG(r.Seed+3, uint64(k)))
		p := r.plate(rg)
		plain, err := invariantResults(&e, p.inset, p.metal, 1)
		if err != nil {
			t.Fatal(err)
		}
		for name, f := range motions(rg) {
			metal := make([]Contour, len(p.metal))
			for i, c := range p.metal {
				metal[i] = c.Transform(f)
			}
			moved, err := invariantResults(&e, p.inset.Transform(f), metal, f.Scale())
			if err != nil {
				t.Fatalf("seed %d plate %d %s: %v", r.Seed+3, k, name, err)
			}
			for what, s := range plain {
				want := s.Transform(f)
				got := moved[what]
				if err := got.Check(); err != nil && f.Scale() < 30 { // larger ones are beyond MaxCoord
					t.Errorf("seed %d plate %d %s: %s: %v", r.Seed+3, k, name, what, err)
				}
				bound := 4 * mergeDist * max(1, f.Scale()) * (want.Length() + f.Scale())
				apart := must(e.Xor(got, want)).Area()
				worst = max(worst, apart/bound)
				if apart > bound {
					t.Errorf("seed %d plate %d %s: %s: %.3g mm² apart, bound %.3g", r.Seed+3, k, name, what, apart, bound)
				}
				if f.Scale() > 10 || what == "exclusive or" {
					// What touches in a point may be one or two. Tolerances do not grow with
					// the scale, so at radii of metres a lens (lensDepth) of 0.03 mm is closed
					// at such a point; and the parts of an exclusive or touch by nature.
					continue
				}
				_, err := pairAll(got, polygonsOf(flattener{tol: 1e-4 * f.Scale()}.shape(want)), bound+1e-4*f.Scale()*want.Length())
				if err != nil {
					t.Errorf("seed %d plate %d %s: %s: %v", r.Seed+3, k, name, what, err)
				}
			}
		}
	}
	t.Logf("%d plates under %d maps each; the worst came to %.2g of its bound; %d retries", n, len(motions(rand.New(rand.NewPCG(1, 1)))), worst, e.retries)
}
