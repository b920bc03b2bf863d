package fea

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/fea/solid"
	"platewright/plate"
)

// bandRanges is testdata/solid/ranges.json, which was fixed before the first run.
type bandRanges struct {
	Seed        uint64
	Plates      int
	Sides       []string
	HeightWidth [2]float64 `json:"rib_height_over_width"`
	Floor       [2]float64 `json:"floor_over_thickness"`
	Cells       [2]int
	Along       int        `json:"cells_along_most"`
	Thickness   [2]float64 `json:"thickness_mm"`
	Cell        [2]float64 `json:"cell_over_thickness"`
	Corner      [2]float64 `json:"corner_over_cell"`
	TopShare    [2]float64 `json:"top_share"`
	Poisson     float64
	Young       float64 `json:"youngs_modulus_mpa"`
	Unknowns    int     `json:"unknowns_most"`
	Band        struct {
		Low, High float64
		TwistHigh float64 `json:"twist_high"`
	} `json:"band_percent"`
}

func readRanges(t testing.TB) (r bandRanges) {
	t.Helper()
	data, err := os.ReadFile("../testdata/solid/ranges.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// drawn is one plate of the sweep.
type drawn struct {
	side               string
	heightWidth, floor float64
	nx, ny             int
	thickness, cell    float64
	corner, top        float64
	redrawn            int
	rib                float64 // width, mm
}

// draw makes plate i: what can be drawn again last, so that the rest stays.
func (r *bandRanges) draw(i, again int) drawn {
	rng := rand.New(rand.NewPCG(r.Seed, uint64(i)))
	between := func(a [2]float64) float64 { return a[0] + (a[1]-a[0])*rng.Float64() }
	byLog := func(a [2]float64) float64 { return math.Exp(between([2]float64{math.Log(a[0]), math.Log(a[1])})) }
	d := drawn{side: r.Sides[i%len(r.Sides)], redrawn: again}
	d.thickness = math.Round(10*between(r.Thickness)) / 10
	d.cell = math.Round(10*d.thickness*between(r.Cell)) / 10
	d.corner, d.top = d.cell*between(r.Corner), between(r.TopShare)
	for range again + 1 {
		d.heightWidth, d.floor = byLog(r.HeightWidth), byLog(r.Floor)
		for {
			d.nx, d.ny = 1+rng.IntN(r.Along), 1+rng.IntN(r.Along)
			if n := d.nx * d.ny; n >= r.Cells[0] && n <= r.Cells[1] {
				break
			}
		}
	}
	deep := d.thickness * (1 - d.floor)
	height := deep
	switch d.side {
	case "two":
		height = deep * max(d.top, 1-d.top)
	case "through":
		d.floor, height = 0, d.thickness
	}
	d.rib = height / d.heightWidth
	return d
}

// plate is the document of a drawn plate, with a case for each load.
func (d *drawn) plate(r *bandRanges) plate.Plate {
	pitch := d.cell + d.rib
	w, h := float64(d.nx)*pitch+d.rib, float64(d.ny)*pitch+d.rib
	p := rectangle(w, h, d.thickness)
	p.Stock.Material.Young, p.Stock.Material.Poisson = r.Young, r.Poisson
	id := plate.ID(10)
	for i := range d.nx {
		for j := range d.ny {
			x, y := d.rib+float64(i)*pitch, d.rib+float64(j)*pitch
			k := plate.Pocket{ID: id, Name: fmt.Sprint("cell ", id), Kind: plate.DrawnPocket, Side: plate.Top, Radius: d.corner}
			for _, c := range [4][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
				k.Bounds = append(k.Bounds, plate.Corner{X: x + c[0]*d.cell, Y: y + c[1]*d.cell})
			}
			deep := d.thickness * (1 - d.floor)
			k.Depth = deep
			switch d.side {
			case "two":
				k.Side, k.Depth, k.DepthBack = plate.Both, deep*d.top, deep*(1-d.top)
			case "through":
				k.Side, k.Depth = plate.Through, 0
			}
			p.Pockets = append(p.Pockets, k)
			id++
		}
	}
	p.Supports = []plate.Support{{ID: 1, Name: "wall", Kind: plate.Fixed, On: edge(0, h, 0, 0)}}
	line := func(id plate.ID, on plate.Place, f ...float64) plate.Load {
		return plate.Load{ID: id, Name: fmt.Sprint("load ", id), Kind: plate.LineForce, On: on, Force: [3]float64(f)}
	}
	whole := edge(w, 0, w, h)
	p.Loads = []plate.Load{
		line(2, whole, 1000, 0, 0), line(3, whole, 0, 1000, 0), line(4, whole, 0, 0, 100),
		line(5, edge(w, h/2, w, h), 0, 0, 100), line(6, edge(w, 0, w, h/2), 0, 0, -100),
	}
	for i, l := range [][]plate.ID{{2}, {3}, {4}, {5, 6}} {
		c := plate.LoadCase{ID: plate.ID(1000 + i), Name: bandLoads[i], Kind: plate.Limit, Factor: 1}
		for _, k := range l {
			c.Loads = append(c.Loads, plate.LoadFactor{Load: k, Factor: 1})
		}
		p.Cases = append(p.Cases, c)
	}
	return p
}

var bandLoads = [4]string{"tension", "shear", "bend", "twist"}

// bandPlate measures plate i: the live model's stiffness over the solid check's under each
// load, in percent above it.
func bandPlate(t *testing.T, r *bandRanges, i int) (d drawn, unknowns int, over [4]float64) {
	t.Helper()
	for again := range 50 {
		d = r.draw(i, again)
		p := d.plate(r)
		m, err := NewModel(t.Context(), derive(t, p), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := solid.Of(m.Layout, m.Mesh, solid.Options{Layers: 2, MaxUnknowns: r.Unknowns}); err != nil {
			continue
		}
		live, err := m.Solve(t.Context(), p.Cases)
		if err != nil {
			t.Fatal(err)
		}
		s, err := live.SolidCheck(t.Context(), SolidOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if s.Coarse || len(s.Cases) != 4 {
			t.Fatalf("the check of plate %d is coarse, or of %d cases", i, len(s.Cases))
		}
		for k, c := range s.Cases {
			if c.Refused != "" || c.Imbalance > 1e-8 {
				t.Errorf("plate %d, %s: refused %q, out of balance by %g", i, c.Case.Name, c.Refused, c.Imbalance)
			}
			over[k] = c.LiveError.Stiffness
		}
		return d, s.Unknowns, over
	}
	t.Fatalf("plate %d is too large however it is drawn", i)
	return d, 0, over
}

const bandHead = "plate,sides,rib_height_over_width,floor_over_thickness,nx,ny,thickness_mm,cell_mm,rib_mm,corner_mm,top_share,drawn_again,unknowns,tension_percent,shear_percent,bend_percent,twist_percent,in_band"

func (d *drawn) row(i, unknowns int, over [4]float64, in bool) string {
	word := "no"
	if in {
		word = "yes"
	}
	return fmt.Sprintf("%d,%s,%.3f,%.3f,%d,%d,%.1f,%.1f,%.2f,%.2f,%.3f,%d,%d,%+.2f,%+.2f,%+.2f,%+.2f,%s", i, d.side, d.heightWidth, d.floor, d.nx, d.ny,
		d.thickness, d.cell, d.rib, d.corner, d.top, d.redrawn, unknowns, over[0], over[1], over[2], over[3], word)
}

// TestSolidBand compares the live model with the solid check on plates drawn from ranges
// that were fixed first. With PLATEWRIGHT_LONG=1 it measures all and writes the list to
// the folder that PLATEWRIGHT_BAND names, else it holds the first few of the cheapest to
// the list in testdata/solid/band.csv.
func TestSolidBand(t *testing.T) {
	r := readRanges(t)
	if os.Getenv("PLATEWRIGHT_LONG") == "" {
		t.Skip("the sweep runs when PLATEWRIGHT_LONG=1 is set")
	}
	lines := []string{bandHead}
	for i := range r.Plates {
		d, unknowns, over := bandPlate(t, &r, i)
		in := over[3] <= r.Band.TwistHigh && over[3] >= r.Band.Low
		for _, v := range over[:3] {
			in = in && v >= r.Band.Low && v <= r.Band.High
		}
		lines = append(lines, d.row(i, unknowns, over, in))
		t.Log(lines[len(lines)-1])
		if dir := os.Getenv("PLATEWRIGHT_BAND"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, "band.csv"), []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
