package solid

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate/geom"
)

// TestPanels: clamped panels with pockets on one or both sides under four body forces
// (testdata/solid/panels.csv, a fine solid model of a separate prototype), within 1 %.
// That table is of a fine model; elements here are no larger than half of a rib's width. The
// normal run takes one panel, on elements of just that.
func TestPanels(t *testing.T) {
	rows, size := table(t, "panels.csv"), 4.
	if os.Getenv("PLATEWRIGHT_LONG") == "" {
		t.Log("all panels are tried when PLATEWRIGHT_LONG=1 is set")
		rows, size = rows[1:2], 5
	}
	for _, row := range rows {
		pocket, rib := number(t, row[0]), number(t, row[1])
		floor := Interval{number(t, row[2]), number(t, row[3])}
		plane, metal := panelMesh(t, pocket, rib, size, floor)
		m := build(t, plane, metal, Material{E: 70000, Nu: 0.33}, Options{})
		held := make([]bool, m.Unknowns())
		m.Hold(held, [3]bool{true, true, true}, func(p Vec) bool { return near(p[0], 0) })
		s, err := m.Factor(t.Context(), held, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, name := range strings.Split("tension shear bend twist", " ") {
			load := m.Zeros()
			m.AddBody(func(e int) bool { return m.middle(e)[0] > 180 }, func(p Vec) Vec {
				return [4]Vec{{1}, {0, 1}, {0, 0, 1}, {0, 0, p[1] - 65}}[i]
			}, load)
			r, err := s.Solve(t.Context(), load)
			if err != nil {
				t.Fatal(err)
			}
			within(t, fmt.Sprintf("%d unknowns, floor %g to %g, %s: compliance", m.Unknowns(), floor.Z0, floor.Z1, name), 2*r.Energy, number(t, row[4+i]), 1)
		}
		s.Release()
	}
}

// panelMesh is 190 × 130 with 3 × 2 square pockets.
func panelMesh(t testing.TB, pocket, rib, size float64, floor Interval) (*mesh.Mesh, [][]Interval) {
	t.Helper()
	shapes := []geom.Shape{
		geom.RegionOf(geom.Rect(geom.Pt(0, 0), geom.Pt(190, 130))),
		geom.RegionOf(geom.Rect(geom.Pt(180, 0), geom.Pt(190, 130))),
	}
	for i := range 3 {
		for j := range 2 {
			lo := geom.Pt(rib+float64(i)*(pocket+rib), rib+float64(j)*(pocket+rib))
			shapes = append(shapes, geom.RegionOf(geom.Rect(lo, lo.Add(geom.Pt(pocket, pocket)))))
		}
	}
	sub, err := geom.Subdivide(shapes)
	if err != nil {
		t.Fatal(err)
	}
	filled := make([]bool, len(sub.Faces))
	metal := make([][]Interval, len(sub.Faces))
	for f := range metal {
		for _, l := range sub.Faces[f].Layers {
			if len(metal[f]) == 0 {
				metal[f] = []Interval{{0, 20}}
			}
			if l >= 2 {
				metal[f] = []Interval{floor}
			}
		}
		filled[f] = len(metal[f]) > 0
	}
	m, err := mesh.Generate(t.Context(), sub, filled, mesh.Options{Size: size})
	if err != nil {
		t.Fatal(err)
	}
	return m, metal
}

// middle is the place in the middle of an element.
func (m *Model) middle(e int) Vec {
	x := m.Prism(e)
	h := shapeAt(1./3, 1./3, 0)
	return x.at(&h)
}
