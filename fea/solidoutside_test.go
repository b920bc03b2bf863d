package fea

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"platewright/fea/solid"
	"platewright/plate"
)

// TestSolidOutside solves plates with getfem, a general library of finite elements (Debian's
// python3-getfem, called by testdata/solid/outside.py), on the same division into prisms
// of the same order, but with its own geometry, functions, integration (a higher rule),
// assembly and solver: displacements within 1 %; they agree far closer. Each plate is
// fixed at its first bore and loaded by its own weight, in the plane and across it. The
// normal run takes a bar with an eye; three samples and 20 random plates are compared when
// PLATEWRIGHT_LONG=1 is set, of them one plate when PLATEWRIGHT_OUTSIDE=1 is.
func TestSolidOutside(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import getfem").Run(); err != nil {
		if os.Getenv("PLATEWRIGHT_OUTSIDE") != "" {
			t.Fatal("python3-getfem is missing: apt-get install python3-getfem")
		}
		t.Skip("no python3-getfem here: install it with apt-get to compare with it")
	}
	plates, long := 0, os.Getenv("PLATEWRIGHT_LONG") != ""
	switch {
	case long:
		plates = 20
	case os.Getenv("PLATEWRIGHT_OUTSIDE") != "":
		plates = 1
		t.Log("one random plate of 20, and no sample: set PLATEWRIGHT_LONG=1 for all")
	default:
		t.Log("20 random plates and three samples are compared when PLATEWRIGHT_LONG=1 is set, one of them when PLATEWRIGHT_OUTSIDE=1 is")
	}
	compareOutside(t, python, barWithEye(), solid.Options{LayerHeight: 10})
	names := []string{"field-robot-rocker", "camera-dolly-cheek", "cargo-trike-side-plate"}
	if !long {
		names = nil
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			compareOutside(t, python, sample(t, name), solid.Options{Layers: 1, LayerHeight: 50})
		})
	}
	for i := range plates {
		t.Run(fmt.Sprint("random plate ", i), func(t *testing.T) {
			compareOutside(t, python, outsidePlate(i), solid.Options{Layers: 1, LayerHeight: 50})
		})
	}
}

// barWithEye is 120 × 40 × 10 with a bore of 16 at x = 90.
func barWithEye() plate.Plate {
	p := rectangle(120, 40, 10)
	p.Bores = []plate.Bore{{ID: 1, Name: "eye", X: 90, Y: 20, Diameter: 16}}
	return p
}

// outsidePlate is a random plate with bores, ribs of an isogrid and pockets from one side,
// from both or through.
func outsidePlate(i int) plate.Plate {
	rng := rand.New(rand.NewPCG(7, uint64(i)))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	p := rectangle(120, 40, 10)
	w, h, high := between(120, 200), between(70, 110), between(8, 18)
	p.Name = fmt.Sprint("random plate ", i)
	p.Stock.Nominal, p.Stock.Finished, p.Rim = high, high, between(4, 8)
	p.Outline.Corners = []plate.Corner{{X: 0, Y: 0, Radius: between(0, 15)}, {X: w, Y: 0}, {X: w, Y: h, Radius: between(0, 15)}, {X: 0, Y: h}}
	p.Bores = []plate.Bore{
		{ID: 1, Name: "first", X: 0.2 * w, Y: h * between(0.4, 0.6), Diameter: between(12, 22), Boss: between(4, 8)},
		{ID: 3, Name: "second", X: 0.8 * w, Y: h * between(0.4, 0.6), Diameter: between(12, 22), Boss: between(4, 8)},
	}
	p.Grids = []plate.Grid{{ID: 4, Name: "grid", Pitch: between(35, 55), Width: between(4, 7), AngleDeg: between(0, 60), X: w / 2, Y: h / 2}}
	k := plate.Pocket{ID: 5, Name: "field", Side: plate.Top, Depth: high * between(0.4, 0.8), Radius: between(3, 5), AllRibs: true}
	switch i % 3 {
	case 1:
		k.Side, k.Depth, k.DepthBack = plate.Both, high*between(0.3, 0.4), high*between(0.2, 0.4)
	case 2:
		k.Side, k.Depth = plate.Through, 0
	}
	p.Pockets = []plate.Pocket{k}
	return p
}

func compareOutside(t *testing.T, python string, p plate.Plate, o solid.Options) {
	t.Helper()
	p.Supports = []plate.Support{{ID: 9001, Name: "bore", Kind: plate.Fixed, On: plate.Place{Feature: p.Bores[0].ID}}}
	p.Loads = []plate.Load{{ID: 9002, Name: "weight", Kind: plate.Acceleration, Force: [3]float64{30, -20, 10}}}
	s, err := modelOf(t, p, Options{Size: 40, Across: 1, ArcEdges: 8}).prismsBy(o)
	if err != nil {
		t.Fatal(err)
	}
	c, set := &oneCase(&p)[0], adjusted{}
	load, _, err := s.loads(c, set)
	if err != nil {
		t.Fatal(err)
	}
	h, err := s.hold(c, set, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.solve(t.Context(), h, load, &SolidCase{})
	if err != nil {
		t.Fatal(err)
	}
	// The weight as a force per volume, worked out here.
	k := s.m.Layout.Volume() * p.Stock.Material.Density * 1e-9 * plate.StandardGravity / s.p.Volume()
	got := getfem(t, python, s.p, h.held, solid.Vec{30 * k, -20 * k, 10 * k})
	within(t, p.Name+": load times displacement", 2*r.Energy, got.Work, 0.01)
	worst, size := 0.0, 0.0
	for n, u := range got.U {
		v := r.U[3*n : 3*n+3]
		size = max(size, length(u))
		worst = max(worst, length([3]float64{v[0] - u[0], v[1] - u[1], v[2] - u[2]}))
	}
	t.Logf("%s: %d unknowns, displacements up to %.4g mm differ by at most %.2g of that", p.Name, s.p.Unknowns(), size, worst/size)
	if !(worst <= 1e-4*size) {
		t.Errorf("%s: displacements differ by %g of %g", p.Name, worst, size)
	}
}

type answer struct {
	U    [][3]float64
	Work float64
}

func getfem(t *testing.T, python string, m *solid.Model, heldUnknowns []bool, body solid.Vec) answer {
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
	cmd := exec.CommandContext(t.Context(), python, "../testdata/solid/outside.py")
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
