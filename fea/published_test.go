package fea

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"platewright/fea/shell"
	"platewright/plate"
)

// published is the number in column col of the row of testdata/fea/file that
// begins with key.
func published(t testing.TB, file string, col int, key ...string) float64 {
	t.Helper()
	f, err := os.Open("../testdata/fea/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		if slices.Equal(r[:len(key)], key) {
			v, err := strconv.ParseFloat(r[col], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
	}
	t.Fatalf("%s has no row %q", file, key)
	return 0
}

// TestHoleInStrip: a strip with a hole in tension, a document from beginning to
// end, against Howland's factors on the gross section (seen), 3 in the limit of a
// small hole (Kirsch, seen), and Heywood's formula on the net section (from
// memory; computed values in the file).
func TestHoleInStrip(t *testing.T) {
	const width, pull = 100.0, 10000.0
	for _, ratio := range []string{"0.1", "0.3", "0.5"} {
		d, err := strconv.ParseFloat(ratio, 64)
		if err != nil {
			t.Fatal(err)
		}
		const long = 400.0
		p := rectangle(long, width, 8)
		p.Bores = []plate.Bore{{ID: 1, Name: "Hole", X: long / 2, Y: width / 2, Diameter: d * width}}
		p.Supports = []plate.Support{{ID: 2, Name: "end", Kind: plate.Sliding, On: edge(0, 0, 0, width), DirectionDeg: 90}, holdWidth(3)}
		p.Loads = []plate.Load{{ID: 4, Name: "pull", Kind: plate.LineForce, On: edge(long, 0, long, width), Force: [3]float64{pull}}}
		// Its edge is the result, so nothing is left out.
		c := solve(t, p, Options{ArcEdges: 32, Clear: -1})
		gross := pull / width / 8
		side, front := 0.0, 0.0
		for e, tr := range c.model.Mesh.Triangles {
			for i, n := range tr.Node {
				q := c.model.Mesh.Nodes[n]
				if math.Hypot(q.X-long/2, q.Y-width/2) < d*width/2+1e-6 {
					s := c.Stress(e, i, 4)
					side, front = max(side, s.XX), min(front, s.YY)
				}
			}
		}
		howland := published(t, "stress_concentration.csv", 3, "hole in finite strip, tension", ratio, "Ktg (gross), hole side, Howland")
		within(t, "d/W "+ratio+": side of the hole, Howland", side/gross, howland, 2)
		within(t, "d/W "+ratio+": greatest von Mises", c.MaxVonMises/gross, howland, 2)
		// Few sides, as in a large plate, divided where stress peaks.
		large := solve(t, p, Options{light: true, Clear: -1})
		within(t, "d/W "+ratio+": greatest von Mises in a large plate", large.MaxVonMises/gross, howland, 2)
		if d < 0.5 { // at 0.5 Heywood's formula is itself 1.6 % under Howland
			within(t, "d/W "+ratio+": side of the hole, Heywood", side/gross, published(t, "stress_concentration.csv", 3, "hole in finite strip, tension", ratio, "Ktg (gross) Heywood"), 2)
		}
		within(t, "d/W "+ratio+": front of the hole, Howland", front/gross, published(t, "stress_concentration.csv", 3, "hole in finite strip, tension", ratio, "sigma/sigma0 on the load axis edge (compression), Howland"), 4)
	}
}

// holdWidth holds the middle of a strip's start across it by a soft spring on the
// edge, and against turning over: the load has no part that way.
func holdWidth(id plate.ID) plate.Support {
	return plate.Support{ID: id, Name: "across", Kind: plate.Spring, On: edge(0, 0, 0, 100), Stiffness: [6]float64{1: 1000, 4: 1e6}}
}

// TestClampedCircle: a round plate, a document from beginning to end, clamped at
// its edge under an even load: q a⁴/64D + q a²/4κGt (Civil Engineering Handbook
// eq. 47.73, seen, with the shear of Mindlin's theory).
func TestClampedCircle(t *testing.T) {
	const a, q = 100.0, 0.1
	for _, h := range []float64{20, 10, 2} {
		p := rectangle(2*a, 2*a, h)
		for i := range p.Outline.Corners {
			p.Outline.Corners[i].Radius = a
		}
		p.Loads = []plate.Load{{ID: 3, Name: "pressure", Kind: plate.AreaForce, Force: [3]float64{0, 0, -q * math.Pi * a * a}}}
		p.Supports = ring(a)
		c := solve(t, p, Options{Size: 9})
		d := alloy.Young * h * h * h / 12 / (1 - alloy.Poisson*alloy.Poisson)
		want := q*a*a*a*a/64/d + q*a*a/(4*shell.ShearFactor*alloy.Young/2.6*h)
		within(t, fmt.Sprintf("t/L 1/%g: deflection", 2*a/h), c.MaxDeflection, want, 0.6)
		if math.Hypot(c.MaxDeflectionAt[0]-a, c.MaxDeflectionAt[1]-a) > 5 {
			t.Errorf("greatest deflection at %v, want the middle", c.MaxDeflectionAt)
		}
	}
}

// ring fixes a circle of radius a about (a, a) in four quarters.
func ring(a float64) []plate.Support {
	ps := [][2]float64{{2 * a, a}, {a, 2 * a}, {0, a}, {a, 0}}
	var out []plate.Support
	for i := range ps {
		j := (i + 1) % 4
		out = append(out, plate.Support{ID: plate.ID(10 + i), Name: fmt.Sprint("quarter ", i+1), Kind: plate.Fixed, On: edge(ps[i][0], ps[i][1], ps[j][0], ps[j][1])})
	}
	return out
}
