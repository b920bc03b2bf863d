package scene

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

func lengthOf(cs []chain) float64 {
	sum := 0.0
	for _, c := range cs {
		sum += geom.Contour(c.edges).Length()
	}
	return sum
}

func (f floor) area() float64 {
	a := 0.0
	for _, c := range f.borders {
		a += geom.Contour(c.edges).Area()
	}
	return a
}

// around is the length of a rectangle's border with corners of radius r.
func around(w, h, r float64) float64 { return 2*(w+h) - (8-2*math.Pi)*r }

// The block's edges by hand: what is rim, opening, visible and hidden from either side, and how large each floor is. The
// upper pocket is 40 × 20, the lower one 20 × 23 with 20 × 15 of it under the upper (its left, right and lower sides run
// there; corners of 3 mm), the tapped hole is drilled 5.0 mm (ISO 2306).
func TestArtOfBlock(t *testing.T) {
	l := derive(t, block())
	upper, lower := around(40, 20, 3), around(20, 23, 3)
	tap := math.Pi * 5
	rim := around(100, 60, 5)
	open := math.Pi*24 + math.Pi*6.6 + around(40, 12, 3)
	for _, c := range []struct {
		side          plate.Side
		steps, hidden float64
	}{
		{plate.Top, upper + tap, lower},
		{plate.Bottom, lower, upper + tap},
	} {
		a := newArt(l, c.side)
		for _, k := range []struct {
			name   string
			chains []chain
			want   float64
		}{{"rim", a.rim, rim}, {"openings", a.openings, open}, {"steps", a.steps, c.steps}, {"hidden", a.hidden, c.hidden}} {
			if got := lengthOf(k.chains); !closeTo(got, k.want, 1e-6) {
				t.Errorf("%s: %s are %.6f mm long, want %.6f", c.side, k.name, got, k.want)
			}
			for _, h := range k.chains {
				for i, e := range h.edges[1:] {
					if e.A.Dist(h.edges[i].B) > 1e-6 {
						t.Errorf("%s: %s has a chain with a gap", c.side, k.name)
					}
				}
			}
		}
		for _, h := range append(a.rim, a.openings...) {
			if !h.closed {
				t.Errorf("%s: an open border", c.side)
			}
		}
		if !a.windows || len(a.legend) != 2 || a.legend[0].far || !a.legend[1].far {
			t.Errorf("%s: legend %+v, windows %v", c.side, a.legend, a.windows)
		}
	}
	rounded := func(w, h, n float64) float64 { return w*h - n*(1-math.Pi/4)*9 } // n corners of 3 mm
	top := newArt(l, plate.Top)
	want := map[[2]float64]float64{
		{12, 0}: rounded(40, 20, 4) - rounded(20, 15, 2),
		{12, 5}: rounded(20, 15, 2),
		{0, 5}:  rounded(20, 8, 2),
	}
	for _, f := range top.floors {
		key := [2]float64{math.Round(f.near*1e6) / 1e6, math.Round(f.far*1e6) / 1e6}
		if w, ok := want[key]; ok {
			if got := f.area(); !closeTo(got, w, 1e-6) {
				t.Errorf("floor %v: %.6f mm², want %.6f", key, got, w)
			}
			delete(want, key)
		}
	}
	for key := range want {
		t.Errorf("no floor %v", key)
	}
}

// The chains of a large plate hold every edge of the map once.
func TestArtUsesEveryEdgeOnce(t *testing.T) {
	l := derive(t, large())
	for _, side := range []plate.Side{plate.Top, plate.Bottom} {
		a := newArt(l, side)
		n := 0
		for _, cs := range [][]chain{a.rim, a.openings, a.steps, a.hidden} {
			for _, c := range cs {
				n += len(c.edges)
			}
		}
		want := 0
		for _, e := range l.Map.Edges {
			if len(l.Map.Metal[e.Left]) > 0 || len(l.Map.Metal[e.Right]) > 0 {
				want++
			}
		}
		if n != want {
			t.Errorf("%s: %d edges in chains, the map has %d beside metal", side, n, want)
		}
		if got := len(a.rim); got != 1 {
			t.Errorf("%s: the rim is %d chains, want 1", side, got)
		}
	}
}

// Chains that meet at a point: a figure of eight closes twice, a T ends at its node.
func TestLink(t *testing.T) {
	at := []geom.Point{geom.Pt(0, 0), geom.Pt(1, 0), geom.Pt(1, 1), geom.Pt(-1, 0), geom.Pt(-1, -1)}
	line := func(a, b int32) half { return half{geom.Line(at[a], at[b]), a, b} }
	eight := []half{line(0, 1), line(1, 2), line(2, 0), line(0, 3), line(3, 4), line(4, 0)}
	cs := link(eight, len(at), true)
	n := 0
	for _, c := range cs {
		if !c.closed {
			t.Errorf("open chain of %d edges", len(c.edges))
		}
		n += len(c.edges)
	}
	if n != len(eight) {
		t.Errorf("%d edges in chains, want %d", n, len(eight))
	}
	tee := []half{line(1, 0), line(0, 3), line(4, 0)}
	if cs := link(tee, len(at), false); len(cs) != 3 {
		t.Errorf("a T gives %d chains, want 3", len(cs))
	}
	turned := []half{line(1, 0), line(1, 2)} // the second must be walked first or turned
	if cs := link(turned, len(at), false); len(cs) != 1 || len(cs[0].edges) != 2 {
		t.Errorf("two edges that meet give %v", cs)
	}
	if cs := link(nil, 3, false); cs != nil {
		t.Errorf("no edges give %v", cs)
	}
}
