package fea

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
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
		l := derive(t, p)
		m, err := NewModel(t.Context(), l, Options{Across: 2}) // the check's own, if the plate is large
		if err != nil {
			t.Fatal(err)
		}
		if _, err := solid.Of(l, m.Mesh, solid.Options{Layers: 2, MaxUnknowns: r.Unknowns}); err == nil {
			if m, err = NewModel(t.Context(), l, Options{}); err != nil {
				t.Fatal(err)
			}
			unknowns, over = bandMeasure(t, m, p.Cases)
			return d, unknowns, over
		}
	}
	t.Fatalf("plate %d is too large however it is drawn", i)
	return d, 0, over
}

func bandMeasure(t *testing.T, m *Model, cases []plate.LoadCase) (unknowns int, over [4]float64) {
	t.Helper()
	live, err := m.Solve(t.Context(), cases)
	if err != nil {
		t.Fatal(err)
	}
	s, err := live.SolidCheck(t.Context(), SolidOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if s.Coarse || len(s.Cases) != 4 {
		t.Fatalf("the check is coarse, or of %d cases", len(s.Cases))
	}
	for k, c := range s.Cases {
		if c.Refused != "" || c.Imbalance > 1e-8 {
			t.Errorf("%s: refused %q, out of balance by %g", c.Case.Name, c.Refused, c.Imbalance)
		}
		over[k] = c.LiveError.Stiffness
	}
	return s.Unknowns, over
}

// within says whether all four loads keep within the band.
func (r *bandRanges) within(over [4]float64) bool {
	in := over[3] >= r.Band.Low && over[3] <= r.Band.TwistHigh
	for _, v := range over[:3] {
		in = in && v >= r.Band.Low && v <= r.Band.High
	}
	return in
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

// measured is a row of testdata/solid/band.csv.
type measured struct {
	drawn
	number, unknowns int
	over             [4]float64
	in               bool
}

func readBand(t testing.TB) (out []measured) {
	t.Helper()
	f, err := os.Open("../testdata/solid/band.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	c := csv.NewReader(f)
	c.Comment = '#'
	rows, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], ","); got != bandHead {
		t.Fatalf("the columns are %s", got)
	}
	for _, row := range rows[1:] {
		v := make([]float64, len(row))
		for i, s := range row {
			if i == 1 || i == len(row)-1 {
				continue
			}
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		out = append(out, measured{
			drawn{row[1], v[2], v[3], int(v[4]), int(v[5]), v[6], v[7], v[9], v[10], int(v[11]), v[8]},
			int(v[0]), int(v[12]), [4]float64(v[13:17]), row[17] == "yes",
		})
	}
	return out
}

// TestSolidBand compares the live model with the solid check on plates drawn from ranges
// that were fixed first. With PLATEWRIGHT_LONG=1 it draws and measures all, and writes the
// list to the folder that PLATEWRIGHT_BAND names; else it measures the smallest of each
// kind in the list again.
func TestSolidBand(t *testing.T) {
	r := readRanges(t)
	if os.Getenv("PLATEWRIGHT_LONG") == "" {
		t.Log("one plate of each kind: set PLATEWRIGHT_LONG=1 for all")
		smallest := map[string]measured{}
		for _, k := range readBand(t) {
			if s, ok := smallest[k.side]; !ok || k.unknowns < s.unknowns {
				smallest[k.side] = k
			}
		}
		for _, k := range smallest {
			p := k.plate(&r)
			m, err := NewModel(t.Context(), derive(t, p), Options{})
			if err != nil {
				t.Fatal(err)
			}
			_, over := bandMeasure(t, m, p.Cases)
			t.Logf("plate %d: %.2f, listed as %.2f", k.number, over, k.over)
			for i := range over { // the list stays while meshes change a little
				if math.Abs(over[i]-k.over[i]) > 0.5 {
					t.Errorf("plate %d, %s: %+.2f %%, listed as %+.2f %%", k.number, bandLoads[i], over[i], k.over[i])
				}
			}
		}
		return
	}
	lines := []string{bandAbout, bandHead}
	for i := range r.Plates {
		d, unknowns, over := bandPlate(t, &r, i)
		in := r.within(over)
		lines = append(lines, d.row(i, unknowns, over, in))
		t.Log(lines[len(lines)-1])
		if b := LiveBandOf(derive(t, d.plate(&r))); b.Inside && !in {
			t.Errorf("plate %d counts as measured within the band, and is %+.2f %%", i, over)
		}
		if dir := os.Getenv("PLATEWRIGHT_BAND"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, "band.csv"), []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

const bandAbout = "# The live model on the plates of ranges.json: its stiffness over the solid check's less one, in percent, under each load. Measured by TestSolidBand with PLATEWRIGHT_LONG=1; computed here, not a published table."

// TestLiveBand holds the ranges that the program states to the measured list: all plates of
// the list inside them keep within the band; and the program reads from a layout the
// figures that its plate was drawn with.
func TestLiveBand(t *testing.T) {
	r := readRanges(t)
	if r.Band.Low != bandLow || r.Band.High != bandHigh || r.Band.TwistHigh != bandTwistHigh {
		t.Errorf("the band is %+v in the ranges, %v to %v, %v here", r.Band, bandLow, bandHigh, bandTwistHigh)
	}
	inside, kept := map[string]int{}, 0
	for _, k := range readBand(t) {
		if k.in != r.within(k.over) {
			t.Errorf("plate %d is listed as within the band: %v, at %.2f", k.number, k.in, k.over)
		}
		if k.in {
			kept++
		}
		b := LiveBandOf(derive(t, k.plate(&r)))
		if b.Sides != k.side || math.Abs(b.RibHeightOverWidth/k.heightWidth-1) > 0.01 && k.heightWidth > stockiest*1.02 || math.Abs(b.FloorOverThickness-k.floor) > 1e-3 {
			t.Errorf("plate %d, drawn %s %.3f %.3f, reads as %+v", k.number, k.side, k.heightWidth, k.floor, b)
		}
		if b.Inside {
			inside[k.side]++
			if !k.in {
				t.Errorf("plate %d is off by %.2f %% inside the range", k.number, k.over)
			}
		}
		if want := "Run the solid check"; b.Inside == strings.Contains(b.Text, want) {
			t.Errorf("plate %d, inside %v: %s", k.number, b.Inside, b.Text)
		}
	}
	t.Logf("%d of %d plates keep within the band; inside the ranges %v", kept, r.Plates, inside)
	for _, s := range []string{"one", "two", "through"} {
		if inside[s] < 3 {
			t.Errorf("%d plates of the list inside the range of %s", inside[s], s)
		}
	}
	if b := LiveBandOf(derive(t, rectangle(100, 50, 10))); b.Inside || b.Sides != "none" {
		t.Errorf("a plain plate: %+v", b)
	}
}
