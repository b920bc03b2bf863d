package fea

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
)

// link is a bar with a bore at each end.
func link(l, w, t, d float64) plate.Plate {
	p := rectangle(l+2*w, 2*w, t)
	p.Bores = []plate.Bore{
		{ID: 1, Name: "Left", X: w, Y: w, Diameter: d},
		{ID: 2, Name: "Right", X: l + w, Y: w, Diameter: d},
	}
	return p
}

// TestBetween: a long bar between two bores, against beam theory between the
// centres; the ends are stiffer or softer than a beam by what the bores add, which
// is a few per cent at this slenderness.
func TestBetween(t *testing.T) {
	const l, w, h, d = 400.0, 10.0, 8.0, 8.0
	m, err := NewModel(t.Context(), derive(t, link(l, w, h, d)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	cs, err := m.Between(t.Context(), [][2]plate.ID{{1, 2}, {2, 1}})
	if err != nil {
		t.Fatal(err)
	}
	e, g := alloy.Young, alloy.Young/2.6
	b := 2 * w
	j := b * h * h * h * (1./3 - 0.21*h/b*(1-h*h*h*h/12/b/b/b/b)) // Roark, see testdata of torsion
	want := []float64{
		e * b * h / l, 3 * e * (h * b * b * b / 12) / l / l / l, 3 * e * (b * h * h * h / 12) / l / l / l,
		g * j / l * math.Pi / 180 / 1000,
	}
	for i, f := range cs[0].Along() {
		within(t, f.Name+" ("+f.Unit+")", f.Value, want[i], 7)
		within(t, f.Name+" seen from the other bore (the mesh is not its mirror image)", cs[1].Along()[i].Value, f.Value, 0.1)
	}
	k, err := cs[0].Stiffness()
	if err != nil {
		t.Fatal(err)
	}
	for i := range 6 { // the inverse, times the matrix
		for j := range 6 {
			v, want := 0.0, 0.0
			for q := range 6 {
				v += k[i][q] * cs[0].Matrix[q][j]
			}
			if i == j {
				want = 1
			}
			if math.Abs(v-want) > 1e-6 {
				t.Errorf("stiffness times compliance at %d, %d is %g, want %g", i, j, v, want)
			}
		}
	}
	if _, err := m.Between(t.Context(), [][2]plate.ID{{1, 1}}); err == nil {
		t.Error("a stiffness of a bore against itself gives no error")
	}
}

// TestAt: the same bar held at the left end has at the right bore the compliance
// that the two bores have between them, if the left one is fixed.
func TestAt(t *testing.T) {
	p := link(400, 10, 8, 8)
	p.Supports = []plate.Support{{ID: 5, Name: "left", Kind: plate.Fixed, On: at(1)}}
	m, err := NewModel(t.Context(), derive(t, p), Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, err := m.At(t.Context(), 2, p.Supports)
	if err != nil {
		t.Fatal(err)
	}
	b, err := m.Between(t.Context(), [][2]plate.ID{{1, 2}})
	if err != nil {
		t.Fatal(err)
	}
	for i := range 6 {
		// A wall that is fixed all round is stiffer than one held in the mean.
		within(t, "compliance", a.Matrix[i][i], b[0].Matrix[i][i], 5)
	}
}

// TestFrequencies: simply supported rectangular plates, f = π/2 √(D/ρh)(m²/a² +
// n²/b²) (closed form of the thin plate), and free ones, whose first mode has
// ω a² √(ρh/D) = 13.47 (A. W. Leissa, Vibration of Plates, 1969, from memory).
func TestFrequencies(t *testing.T) {
	const a, b, h = 200.0, 150.0, 2.0
	d := alloy.Young * h * h * h / 12 / (1 - alloy.Poisson*alloy.Poisson)
	root := math.Sqrt(d / (alloy.Density * 1e-12 * h))
	p := rectangle(a, b, h)
	// Sliding along each edge holds w, and the displacement across it in the plane.
	p.Supports = []plate.Support{
		{ID: 1, Name: "y0", Kind: plate.Sliding, On: edge(0, 0, a, 0)},
		{ID: 2, Name: "x1", Kind: plate.Sliding, On: edge(a, 0, a, b), DirectionDeg: 90},
		{ID: 3, Name: "y1", Kind: plate.Sliding, On: edge(a, b, 0, b)},
		{ID: 4, Name: "x0", Kind: plate.Sliding, On: edge(0, b, 0, 0), DirectionDeg: 90},
	}
	m, err := NewModel(t.Context(), derive(t, p), Options{Size: 9})
	if err != nil {
		t.Fatal(err)
	}
	modes, err := m.Frequencies(t.Context(), p.Supports, 4)
	if err != nil {
		t.Fatal(err)
	}
	for i, mn := range [][2]float64{{1, 1}, {2, 1}, {1, 2}, {3, 1}} {
		want := math.Pi / 2 * root * (mn[0]*mn[0]/a/a + mn[1]*mn[1]/b/b)
		within(t, "simply supported", modes[i].Hz, want, 1)
	}
	sq := rectangle(a, a, h)
	if m, err = NewModel(t.Context(), derive(t, sq), Options{Size: 10}); err != nil {
		t.Fatal(err)
	}
	if modes, err = m.Frequencies(t.Context(), nil, 3); err != nil {
		t.Fatal(err)
	}
	for i, l := range []float64{13.47, 19.60, 24.27} { // at ν = 0.3
		within(t, "free square", modes[i].Hz, l*root/a/a/2/math.Pi, 1.5)
	}
	if _, err := m.Frequencies(t.Context(), nil, 0); err == nil || !strings.Contains(err.Error(), "1 to") {
		t.Errorf("no frequencies asked for: error %v", err)
	}
}

// TestConditions: the estimate of a case is that of its supports: finite, above 1, the same for cases that share them, and
// larger where a slender strip is held at one end than where both ends are.
func TestConditions(t *testing.T) {
	p := rectangle(200, 20, 5)
	p.Supports = []plate.Support{
		{ID: 1, Name: "left", Kind: plate.Fixed, On: edge(0, 20, 0, 0)},
		{ID: 2, Name: "right", Kind: plate.Fixed, On: edge(200, 0, 200, 20)},
	}
	p.Loads = []plate.Load{{ID: 3, Name: "weight", Kind: plate.Acceleration, Force: [3]float64{2: -1}}}
	one := oneCase(&p)[0]
	one.Supports = []plate.ID{1}
	both := one
	both.Supports = nil
	c, err := modelOf(t, p, Options{}).Conditions(t.Context(), []plate.LoadCase{one, both, one})
	if err != nil {
		t.Fatal(err)
	}
	if !(c[0] > 4*c[1] && c[1] > 1) || c[2] != c[0] || math.IsInf(c[0], 0) {
		t.Errorf("conditions %.3g, want that of one end more than four times that of both, and equal for equal supports", c)
	}
}
