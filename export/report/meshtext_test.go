package report

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"platewright/fea"
	"platewright/plate/geom"
)

// TestMeshText: what is sharper than asked is counted and told with its place and cause; nothing is said of a mesh without.
func TestMeshText(t *testing.T) {
	f := fea.MeshFacts{
		Elements: 120, Nodes: 300, AskedAngle: 25 * math.Pi / 180, LeastAngle: 26.44 * math.Pi / 180,
		At: geom.Pt(10, -2.5), Near: `bore "Left"`,
	}
	f.Divided = f.Elements
	if got, want := MeshText(f), `Mesh: 120 elements, 300 nodes; least angle 26.4° at 10.0, -2.5 near bore "Left".`; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	f.Divided = 150
	if got := MeshText(f); !strings.HasPrefix(got, "Mesh: 120 elements, 300 nodes, divided into 150 where stress peaks; least") {
		t.Error(got)
	}
	f.Divided = f.Elements
	f.Below, f.LeastAngle, f.Cause = 2, 11.96*math.Pi/180, "sharp corner of the plate"
	want := `Mesh: 120 elements, 300 nodes; least angle 12.0° at 10.0, -2.5 near bore "Left" (sharp corner of the plate); 2 elements have less than the 25° asked for where the plate's form allows it.`
	if got := MeshText(f); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	f.Below = 1
	if got := MeshText(f); !strings.Contains(got, "; 1 element has less than the 25°") {
		t.Error(got)
	}
}

// TestMeshPrinted: the text of stress and its JSON carry the facts of the analysis that they print.
func TestMeshPrinted(t *testing.T) {
	r, err := Build(t.Context(), cantilever(t, 100))
	if err != nil {
		t.Fatal(err)
	}
	f := r.Cases.Value.Mesh
	text, err := r.StressText("")
	want := fmt.Sprintf("Mesh: %d elements, %d nodes; least angle", f.Elements, f.Nodes)
	if err != nil || f.Elements == 0 || f.Divided != f.Elements || !strings.Contains(text, want) {
		t.Errorf("no %q (%v) in\n%s", want, err, text)
	}
	data, err := r.JSON(Stress)
	if err != nil {
		t.Fatal(err)
	}
	var got struct{ Mesh jsonMesh }
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if got.Mesh != *jsonMeshOf(f) || math.Abs(got.Mesh.Asked-25) > 1e-9 || got.Mesh.Angle < 25 {
		t.Errorf("mesh in JSON %+v, analysed %+v", got.Mesh, f)
	}
}
