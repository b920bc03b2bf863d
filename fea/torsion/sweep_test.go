package torsion

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// A plain rectangular plate has one section everywhere: EI = E b t³/12 and GJ = G β b t³ (β by the exact series, Timoshenko
// and Goodier, computed: 0.312325 at 10). Where a window crosses the way there are two strips, each b/… wide.
func TestSweepAlongAPlateWithAWindow(t *testing.T) {
	d := plate.New("strip")
	d.Rim = 0
	d.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: -50}, {X: 300, Y: -50}, {X: 300, Y: 50}, {X: 0, Y: 50}}}
	d.Stock.Nominal, d.Stock.Finished = 10, 10
	d.Pockets = []plate.Pocket{{
		ID: d.NextID, Name: "Window", Side: plate.Through, Radius: 5,
		Bounds: []plate.Corner{{X: 120, Y: -30}, {X: 180, Y: -30}, {X: 180, Y: 30}, {X: 120, Y: 30}},
	}}
	d.NextID++
	l, err := layout.Derive(d)
	if err != nil {
		t.Fatal(err)
	}
	sw, err := Along(t.Context(), l, geom.Pt(30, 0), geom.Pt(270, 0), 7) // every 40 mm: the fourth in the window
	if err != nil {
		t.Fatal(err)
	}
	mat := d.Stock.Material
	g := ShearModulus(mat.Young, mat.Poisson)
	for i, st := range sw.Stations {
		if i == 3 {
			if st.Pieces != 2 || !st.Bounded() {
				t.Errorf("in the window: %d pieces, want 2", st.Pieces)
			}
			within(t, "EI in the window", st.EI, mat.Young*2*20*1000/12, 1e-9)
			within(t, "GJ in the window", st.GJ, g*2*0.228682*20*1000, 1e-3)
			continue
		}
		within(t, "EI", st.EI, mat.Young*100*1000/12, 1e-9)
		within(t, "GJ", st.GJ, g*0.312325*100*1000, 1e-3)
	}
	if sw.WeakestEI != 3 || sw.WeakestGJ != 3 {
		t.Errorf("weakest at stations %d and %d, want the window", sw.WeakestEI, sw.WeakestGJ)
	}
	beyond, err := Along(t.Context(), l, geom.Pt(-30, 0), geom.Pt(30, 0), 3)
	if err != nil {
		t.Fatal(err)
	}
	if st := beyond.Stations[0]; st.Pieces != 0 || st.EI != 0 || beyond.WeakestEI != 0 {
		t.Errorf("beyond the plate there is a section of %d pieces", st.Pieces)
	}
	for _, n := range []int{0, 1, 501} {
		if _, err := Along(t.Context(), l, geom.Pt(0, 0), geom.Pt(1, 0), n); err == nil {
			t.Errorf("%d stations are taken", n)
		}
	}
	if _, err := Along(t.Context(), l, geom.Pt(0, 0), geom.Pt(math.NaN(), 0), 5); err == nil {
		t.Error("a way to nowhere is swept")
	}
	if _, err := Along(t.Context(), nil, geom.Pt(0, 0), geom.Pt(1, 0), 5); err == nil {
		t.Error("nothing is swept")
	}
}
