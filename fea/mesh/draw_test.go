package mesh

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/samples"
)

// drawSVG writes a picture of a mesh, for looking at.
func drawSVG(t testing.TB, file string, sub *geom.Subdivision, m *Mesh, box geom.Box) {
	t.Helper()
	var s strings.Builder
	k := 1600 / box.Width()
	fmt.Fprintf(&s, "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1600 %g' width='1600' height='%g'><rect width='100%%' height='100%%' fill='white'/>\n", box.Height()*k, box.Height()*k)
	xy := func(p geom.Point) string { return fmt.Sprintf("%.2f,%.2f", (p.X-box.Min.X)*k, (box.Max.Y-p.Y)*k) }
	for i := range m.Triangles {
		n := m.Triangles[i].Node
		fmt.Fprintf(&s, "<path d='M%s L%s L%s Z' fill='hsl(%d,50%%,90%%)' stroke='#555' stroke-width='0.6'/>\n", xy(m.Nodes[n[0]]), xy(m.Nodes[n[1]]), xy(m.Nodes[n[2]]), m.Triangles[i].Face*67%360)
	}
	for _, e := range m.Sides {
		fmt.Fprintf(&s, "<path d='M%s L%s L%s' fill='none' stroke='red' stroke-width='1'/>\n", xy(m.Nodes[e.Node[0]]), xy(m.Nodes[e.Node[2]]), xy(m.Nodes[e.Node[1]]))
	}
	s.WriteString("</svg>\n")
	if err := os.WriteFile(file, []byte(s.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestDraw(t *testing.T) {
	dir := os.Getenv("MESH_DRAW")
	if dir == "" {
		t.Skip()
	}
	all, _ := samples.All()
	for _, s := range all {
		p, _ := plate.Decode(s.Data)
		l, _ := layout.Derive(p)
		m, err := Generate(t.Context(), l.Map.Subdivision, metalOf(l), Options{Size: 12})
		if err != nil {
			t.Fatal(err)
		}
		box := geom.Box{}
		for _, n := range m.Nodes {
			box = box.Add(n)
		}
		t.Log(m.Quality.Straight, len(m.Quality.Sharp), len(m.Sides), s.Name, len(m.Triangles), len(m.Nodes))
		drawSVG(t, dir+"/"+s.Name+".svg", l.Map.Subdivision, m, box.Grow(2))
		c := box.Center()
		drawSVG(t, dir+"/"+s.Name+"-zoom.svg", l.Map.Subdivision, m, geom.Box{Min: c.Sub(geom.Pt(40, 30)), Max: c.Add(geom.Pt(40, 30))})
	}
}
