package geom

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestPathClosedForms(t *testing.T) {
	const pi = math.Pi
	through := func(x, y float64) *Point { return &Point{x, y} }
	for _, c := range []struct {
		name    string
		corners []Corner
		area    float64
		edges   int
	}{
		{"rectangle", []Corner{{P: Pt(0, 0)}, {P: Pt(20, 0)}, {P: Pt(20, 10)}, {P: Pt(0, 10)}}, 200, 4},
		{"clockwise rectangle", []Corner{{P: Pt(0, 10)}, {P: Pt(20, 10)}, {P: Pt(20, 0)}, {P: Pt(0, 0)}}, 200, 4},
		{
			"rounded",
			[]Corner{{P: Pt(0, 0), Radius: 2}, {P: Pt(20, 0), Radius: 3}, {P: Pt(20, 10)}, {P: Pt(0, 10), Radius: 1}},
			200 - (1-pi/4)*(4+9+1), 7,
		},
		{
			"stadium",
			[]Corner{{P: Pt(0, 0), Radius: 5}, {P: Pt(20, 0), Radius: 5}, {P: Pt(20, 10), Radius: 5}, {P: Pt(0, 10), Radius: 5}},
			200 - (1-pi/4)*100, 6,
		},
		{
			"circle from a square",
			[]Corner{{P: Pt(0, 0), Radius: 5}, {P: Pt(10, 0), Radius: 5}, {P: Pt(10, 10), Radius: 5}, {P: Pt(0, 10), Radius: 5}},
			25 * pi, 4,
		},
		{
			"inside corner",
			[]Corner{{P: Pt(0, 0)}, {P: Pt(20, 0)}, {P: Pt(20, 10)}, {P: Pt(10, 10), Radius: 2}, {P: Pt(10, 20)}, {P: Pt(0, 20)}},
			300 + (1-pi/4)*4, 7,
		},
		{"half disc", []Corner{{P: Pt(-5, 0)}, {P: Pt(5, 0), Through: through(0, 5)}}, 12.5 * pi, 2},
		{"circle of two arcs", []Corner{{P: Pt(-5, 0), Through: through(0, -5)}, {P: Pt(5, 0), Through: through(0, 5)}}, 25 * pi, 2},
		{
			"smooth joint ignores its radius",
			[]Corner{{P: Pt(0, 0)}, {P: Pt(20, 0), Radius: 3, Through: through(25, 5)}, {P: Pt(20, 10)}, {P: Pt(0, 10)}},
			200 + 12.5*pi, 4,
		},
	} {
		p, err := Path(c.corners)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		near(t, c.name, p.Area(), c.area, 1e-12)
		if len(p) != c.edges {
			t.Errorf("%s: %d edges, want %d: %v", c.name, len(p), c.edges, p)
		}
		if err := p.Check(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestPathFillets rounds random paths of lines and arcs: every rounding has its
// radius to the last digit, joints are tangent, and the contour closes.
func TestPathFillets(t *testing.T) {
	rg := rand.New(rand.NewPCG(12, 1))
	built, kinds := 0, map[[2]bool]int{}
	for k := range 2000 {
		n := 3 + rg.IntN(4)
		cs := make([]Corner, n)
		for i := range cs {
			a := 2 * math.Pi * (float64(i) + 0.6*rg.Float64()) / float64(n)
			cs[i].P = Pt(0, 0).Add(Pt(30+20*rg.Float64(), 0).Rotate(a))
			if rg.IntN(3) > 0 {
				cs[i].Radius = 0.5 + 5*rg.Float64()
			}
		}
		for i := range cs {
			if q := cs[(i+1)%n].P; rg.IntN(2) == 0 {
				d := q.Sub(cs[i].P)
				m := cs[i].P.lerp(q, 0.5).Add(d.Perp().Mul((rg.Float64() - 0.5) * 0.5))
				cs[i].Through = &m
			}
		}
		p, err := Path(cs)
		var pe *PathError
		if err != nil {
			if !errors.As(err, &pe) || pe.Corner < 0 || pe.Corner >= n {
				t.Fatalf("path %d: error %v", k, err)
			}
			continue
		}
		built++
		if p.Check() != nil {
			continue // the arcs may cross each other
		}
		for i, c := range cs {
			if c.Radius == 0 {
				continue
			}
			found := false
			for j := range p {
				e := &p[j]
				if e.Dir == 0 || e.R != c.Radius {
					continue
				}
				found = true
				before, after := &p[(j+len(p)-1)%len(p)], &p[(j+1)%len(p)]
				kinds[[2]bool{before.IsArc(), after.IsArc()}]++
				for _, x := range []float64{before.TangentB().Cross(e.TangentA()), e.TangentB().Cross(after.TangentA())} {
					if math.Abs(x) > 1e-7 {
						t.Errorf("path %d: rounding of corner %d leaves a kink of %g", k, i+1, x)
					}
				}
			}
			if !found {
				t.Errorf("path %d: no arc of radius %g for corner %d: %v", k, c.Radius, i+1, p)
			}
		}
	}
	if built < 800 || len(kinds) != 4 {
		t.Errorf("%d paths were built, with kinds of rounding %v; want all four kinds in at least 800", built, kinds)
	}
}

func TestPathErrors(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name    string
		corners []Corner
		corner  int
		want    string
	}{
		{"none", nil, 0, "at least 2"},
		{"one", []Corner{{P: Pt(0, 0)}}, 0, "at least 2"},
		{"two straight", []Corner{{P: Pt(0, 0)}, {P: Pt(1, 0)}}, 0, "enclose nothing"},
		{"NaN", []Corner{{P: Pt(0, 0)}, {P: Pt(1, 0)}, {P: Pt(nan, 1)}}, 2, "not within"},
		{"far", []Corner{{P: Pt(0, 0)}, {P: Pt(2e5, 0)}, {P: Pt(0, 1)}}, 1, "not within"},
		{"negative radius", []Corner{{P: Pt(0, 0)}, {P: Pt(9, 0), Radius: -1}, {P: Pt(0, 9)}}, 1, "not between"},
		{"NaN radius", []Corner{{P: Pt(0, 0)}, {P: Pt(9, 0), Radius: nan}, {P: Pt(0, 9)}}, 1, "not between"},
		{"double point", []Corner{{P: Pt(0, 0)}, {P: Pt(9, 0)}, {P: Pt(9, 0)}, {P: Pt(0, 9)}}, 1, "same place"},
		{"point on the line", []Corner{{P: Pt(0, 0), Through: &Point{4, 0}}, {P: Pt(9, 0)}, {P: Pt(0, 9)}}, 0, "on one line"},
		{"NaN point", []Corner{{P: Pt(0, 0), Through: &Point{nan, 0}}, {P: Pt(9, 0)}, {P: Pt(0, 9)}}, 0, "not a number"},
		{"too large for its edge", []Corner{{P: Pt(0, 0)}, {P: Pt(9, 0), Radius: 20}, {P: Pt(0, 9)}}, 1, "does not fit"},
		{"too large with its neighbour", []Corner{{P: Pt(0, 0), Radius: 4}, {P: Pt(6, 0), Radius: 4}, {P: Pt(6, 20)}, {P: Pt(0, 20)}}, 0, "roundings of corners 1 and 2"},
		{"straight back", []Corner{{P: Pt(0, 0)}, {P: Pt(9, 0), Radius: 1}, {P: Pt(4, 0)}, {P: Pt(4, 4)}}, 1, "turns straight back"},
		{"inside an arc", []Corner{{P: Pt(0, 0), Radius: 9}, {P: Pt(8, 0), Radius: 9, Through: &Point{4, 4}}}, 0, "does not fit"},
	} {
		p, err := Path(c.corners)
		var pe *PathError
		if !errors.As(err, &pe) || pe.Corner != c.corner || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: Path = %v, error %v; want one at corner %d with %q", c.name, p, err, c.corner, c.want)
		}
	}
}
