package solid

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"

	"platewright/plate"
	"platewright/samples"
)

// TestOutside solves a bar with an eye, and a sample, with getfem, a general library of finite elements
// (Debian's python3-getfem, called by testdata/solid/outside.py), on the same division
// into prisms of the same order, but with its own geometry, functions, integration (a
// higher rule), assembly and solver. Each is fixed at its first bore and loaded by its
// own weight, in the plane and across it.
func TestOutside(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import getfem").Run(); err != nil {
		t.Skip("no python3-getfem here: install it with apt-get to compare with it")
	}
	eye := bar()
	compareOutside(t, python, eye, Options{LayerHeight: 10})
	if os.Getenv("PLATEWRIGHT_LONG") == "" {
		t.Log("a whole sample is compared when PLATEWRIGHT_LONG=1 is set")
		return
	}
	s, err := samples.Load("field-robot-rocker")
	if err != nil {
		t.Fatal(err)
	}
	p, err := plate.Decode(s.Data)
	if err != nil {
		t.Fatal(err)
	}
	compareOutside(t, python, p, Options{Layers: 1, LayerHeight: 50})
}

func compareOutside(t *testing.T, python string, p plate.Plate, o Options) {
	t.Helper()
	p.Supports = []plate.Support{{ID: 9001, Name: "bore", Kind: plate.Fixed, On: plate.Place{Feature: p.Bores[0].ID}}}
	p.Loads = []plate.Load{{ID: 9002, Name: "weight", Kind: plate.Acceleration, Force: [3]float64{30, -20, 10}}}
	m := modelOf(t, p, 40, o)
	c := caseOf(&p)
	r, err := m.Solve(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	held, err := m.supports(&c)
	if err != nil {
		t.Fatal(err)
	}
	// The weight as a force per volume, worked out here.
	k := m.layout.Volume() * p.Stock.Material.Density * 1e-9 * plate.StandardGravity / m.Volume()
	got := getfem(t, python, m, held, Vec{30 * k, -20 * k, 10 * k})
	within(t, p.Name+": load times displacement", 2*r.Energy, got.Work, 0.01)
	worst, size := 0.0, 0.0
	for n, u := range got.U {
		size = max(size, u.len())
		worst = max(worst, r.Displacement(int32(n)).add(u, -1).len())
	}
	t.Logf("%s: %d unknowns, displacements up to %.4g mm differ by at most %.2g of that", p.Name, m.Unknowns(), size, worst/size)
	if !(worst <= 1e-4*size) {
		t.Errorf("%s: displacements differ by %g of %g", p.Name, worst, size)
	}
}

type answer struct {
	U    []Vec
	Work float64
}

func getfem(t *testing.T, python string, m *Model, heldUnknowns []bool, body Vec) answer {
	t.Helper()
	var elements [][]int32
	for e := range m.Elements {
		elements = append(elements, m.Elements[e].Node[:])
	}
	held := []int{}
	for n := range m.Nodes {
		if heldUnknowns[3*n] {
			held = append(held, n)
		}
	}
	in, err := json.Marshal(map[string]any{
		"points": m.Nodes, "elements": elements, "held": held, "body": body, "E": m.Material.E, "nu": m.Material.Nu,
	})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), python, "../../testdata/solid/outside.py")
	cmd.Stdin = bytes.NewReader(in)
	var problems bytes.Buffer
	cmd.Stderr = &problems
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("getfem: %v\n%s", err, problems.String())
	}
	out = out[bytes.LastIndexByte(out, '\n')+1:]
	var a answer
	if err := json.Unmarshal(out, &a); err != nil {
		t.Fatalf("getfem: %v in %.200q", err, out)
	}
	return a
}
