package layout

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// clipperJob is one line for testdata/layout/clipper.py.
type clipperJob struct {
	Outline [][2]float64 `json:"outline"`
	Bounds  [][2]float64 `json:"bounds"`
	Rim     float64      `json:"rim_mm"`
	Radius  float64      `json:"radius_mm"`
	Discs   [][3]float64 `json:"discs"`
	Ribs    [][5]float64 `json:"ribs"`
	Tol     float64      `json:"tol_mm"`

	number int
	open   []openCell // ascending by area
}

// openCell is one opened region of ours.
type openCell struct{ area, length float64 }

// TestOutsideClipper holds the cells of random plates to an outside polygon library working on flattened arcs: every cell
// that is larger than the bound of its error must be there, with the area equal within the bound.
func TestOutsideClipper(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import pyclipper").Run(); err != nil {
		if os.Getenv("PLATEWRIGHT_OUTSIDE") != "" {
			t.Fatalf("python3-pyclipper is needed: %v", err)
		}
		t.Skip("python3-pyclipper is not installed")
	}
	g := readRanges(t)
	n := 40
	switch {
	case os.Getenv("PLATEWRIGHT_OUTSIDE") != "":
		n = g.Count
	case testing.Short():
		n = 20
	}
	var jobs []clipperJob
	var in bytes.Buffer
	for i := range n {
		for _, j := range clipperJobs(t, randomPlate(g, i), i) {
			b, err := json.Marshal(j)
			if err != nil {
				t.Fatal(err)
			}
			in.Write(append(b, '\n'))
			jobs = append(jobs, j)
		}
	}
	cmd := exec.Command(python, "../../testdata/layout/clipper.py")
	cmd.Stdin, cmd.Stderr = &in, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, 1<<24)
	worst, cells := 0.0, 0
	for _, j := range jobs {
		if !lines.Scan() {
			t.Fatal("the script stopped early")
		}
		var theirs []float64
		if err := json.Unmarshal(lines.Bytes(), &theirs); err != nil {
			t.Fatal(err)
		}
		cells += len(j.open)
		// An opened region holds a disc of the radius, so none is too small to be found by both; but where no more than a
		// disc fits, rounding decides whether it does.
		disc := math.Pi * j.Radius * j.Radius * (1 + 1e-3)
		j.open = slices.DeleteFunc(j.open, func(o openCell) bool { return o.area < disc })
		theirs = slices.DeleteFunc(theirs, func(a float64) bool { return a < disc })
		if len(j.open) != len(theirs) {
			t.Errorf("plate %d, radius %v: %d cells, the outside library finds %d: %.3f and %.3f",
				j.number, j.Radius, len(j.open), len(theirs), j.open, theirs)
			continue
		}
		for k, o := range j.open {
			// Each of three steps there (obstacles, erosion, dilation) shifts arcs by up to the tolerance.
			bound := 3*j.Tol*o.length + 1e-9*o.area
			d := math.Abs(o.area - theirs[k])
			worst = max(worst, d/bound)
			if d > bound {
				t.Errorf("plate %d: cell of %.6f mm², the outside library finds %.6f (bound %.4f)", j.number, o.area, theirs[k], bound)
			}
		}
	}
	t.Logf("%d fields of %d plates, %d cells; largest difference %.2f of the bound", len(jobs), n, cells, worst)
}

// clipperJobs derives the fields of a plate and puts them down for the outside library.
func clipperJobs(t *testing.T, p plate.Plate, number int) []clipperJob {
	const tol = 5e-4
	d := newDeriver(context.Background(), &p, routeFast, new(geom.Engine))
	for _, step := range []func() error{d.makeOutline, d.makeRounds, d.makeRibs, d.makeCells} {
		if err := step(); err != nil {
			t.Fatalf("plate %d: %v", number, err)
		}
	}
	var jobs []clipperJob
	for i := range d.fields {
		f := &d.fields[i]
		j := clipperJob{Rim: p.Rim, Radius: f.p.Radius, Tol: tol, number: number}
		j.Outline = flat(d.outline, tol)
		if f.bounds != nil {
			j.Bounds = flat(f.bounds, tol)
		}
		for k := range d.rounds {
			if r := &d.rounds[k]; r.boss > 0 {
				j.Discs = append(j.Discs, [3]float64{r.c.X, r.c.Y, r.radius()})
			}
		}
		for _, k := range f.ribs {
			r := &d.ribs[k]
			j.Ribs = append(j.Ribs, [5]float64{r.a.X, r.a.Y, r.b.X, r.b.Y, r.half})
		}
		for k := range f.pieces {
			for _, o := range f.pieces[k].open {
				j.open = append(j.open, openCell{o.Area(), geom.Shape{o}.Length()})
			}
		}
		slices.SortFunc(j.open, func(a, b openCell) int { return cmp.Compare(a.area, b.area) })
		jobs = append(jobs, j)
	}
	return jobs
}

func flat(c geom.Contour, tol float64) [][2]float64 {
	var o [][2]float64
	for _, q := range c.Flatten(tol) {
		o = append(o, [2]float64{q.X, q.Y})
	}
	return o
}
