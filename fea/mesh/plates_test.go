package mesh

import (
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/samples"
)

// metalOf says which faces of a layout's map hold metal.
func metalOf(l *layout.Layout) []bool {
	metal := make([]bool, len(l.Map.Metal))
	for f := range metal {
		metal[f] = len(l.Map.Metal[f]) > 0
	}
	return metal
}

func TestSamples(t *testing.T) {
	all, err := samples.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		t.Run(s.Name, func(t *testing.T) {
			p, err := plate.Decode(s.Data)
			if err != nil {
				t.Fatal(err)
			}
			l, err := layout.Derive(p)
			if err != nil {
				t.Fatal(err)
			}
			metal := metalOf(l)
			for _, o := range []Options{{}, {Size: 4, ArcEdges: 24}, {Size: 12, Across: 1, ArcEdges: 8}, {Size: 6, MinAngle: 30 * deg}} {
				m, err := Generate(t.Context(), l.Map.Subdivision, metal, o)
				if err != nil {
					t.Errorf("%+v: %v", o, err)
					continue
				}
				verify(t, l.Map.Subdivision, metal, m, o)
				q := &m.Quality
				t.Logf("Size %g: %d triangles, %d nodes, least angle %.1f° (%v), free %.1f°, %d sharp, %d straight, least determinant %.2f",
					o.Size, len(m.Triangles), len(m.Nodes), q.MinAngle/deg, q.Cause, q.MinFreeAngle/deg, len(q.Sharp), q.Straight, q.MinDeterminant)
			}
		})
	}
}
