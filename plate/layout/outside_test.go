package layout

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
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
	Outline [][2]float64   `json:"outline"`
	Bounds  [][2]float64   `json:"bounds"`
	Rim     float64        `json:"rim_mm"`
	Radius  float64        `json:"radius_mm"`
	Discs   [][3]float64   `json:"discs"`
	Ribs    [][5]float64   `json:"ribs"`
	Solid   [][][2]float64 `json:"solid"` // arced ribs, as polygons
	Tol     float64        `json:"tol_mm"`

	Filleted []clipperGrid `json:"filleted"`

	number int
	open   []openCell // ascending by area
}

// clipperGrid is what the ribs of a grid with node fillets are made of.
type clipperGrid struct {
	Fillet float64        `json:"fillet_mm"`
	Ribs   [][5]float64   `json:"ribs"`
	Solid  [][][2]float64 `json:"solid"`
}

// openCell is one opened region of ours.
type openCell struct{ area, length float64 }

// python is Debian's, which has the outside library.
const python = "/usr/bin/python3"

// TestOutsideClipper holds the cells of random plates to an outside polygon library working on flattened arcs: every cell
// that is larger than the bound of its error must be there, with the area equal within the bound.
func TestOutsideClipper(t *testing.T) {
	if err := exec.Command(python, "-c", "import pyclipper").Run(); err != nil {
		if os.Getenv("PLATEWRIGHT_OUTSIDE") != "" {
			t.Fatalf("python3-pyclipper is needed: %v", err)
		}
		t.Skip("python3-pyclipper is not installed")
	}
	g := readRanges(t)
	n := 20
	switch {
	case os.Getenv("PLATEWRIGHT_LONG") != "":
		n = g.Count // plates of every kind of field take the library minutes
	case os.Getenv("PLATEWRIGHT_OUTSIDE") != "":
		n = g.Count / 5
	case testing.Short():
		n = 10
	}
	const coarse, fine = 5e-4, 1e-5
	var jobs []clipperJob
	for i := range n {
		jobs = append(jobs, clipperJobs(t, randomPlate(g, i), i, coarse)...)
	}
	worst, cells := 0.0, 0
	again := map[int]bool{}
	for i, theirs := range runClipper(t, jobs) {
		j := &jobs[i]
		cells += len(j.open)
		d, msg := j.compare(theirs, coarse)
		if msg != "" {
			again[j.number] = true
			continue
		}
		worst = max(worst, d)
	}
	// Between a boss and a rim that almost touch, an error of the polygons moves the end of a cell a hundred times as far.
	// Where that breaks the bound, finer polygons must come closer: a quarter of the bound with chords fifty times closer.
	jobs = jobs[:0]
	for i := range n {
		if again[i] {
			jobs = append(jobs, clipperJobs(t, randomPlate(g, i), i, fine)...)
		}
	}
	for i, theirs := range runClipper(t, jobs) {
		if _, msg := jobs[i].compare(theirs, coarse/4); msg != "" {
			t.Error(msg)
		}
	}
	t.Logf("%d plates, %d cells; largest difference %.2f of the bound, %d plates looked at more closely", n, cells, worst, len(again))
	if len(again) > n/50 {
		t.Errorf("%d of %d plates needed a closer look", len(again), n)
	}
}

// compare holds the areas that the outside library found to ours, with the bound for polygons whose chords are tol from
// their arcs. It returns the largest difference as a share of the bound, and what is wrong.
func (j *clipperJob) compare(theirs []float64, tol float64) (worst float64, msg string) {
	// An opened region holds a disc of the radius, so none is too small to be found by both; but where no more than a disc
	// fits, rounding decides whether it does.
	disc := math.Pi * j.Radius * j.Radius * (1 + 1e-3)
	ours := slices.DeleteFunc(slices.Clone(j.open), func(o openCell) bool { return o.area < disc })
	theirs = slices.DeleteFunc(theirs, func(a float64) bool { return a < disc })
	if len(ours) != len(theirs) {
		return 0, fmt.Sprintf("plate %d, radius %v: %d cells, the outside library finds %d: %.3f and %.3f",
			j.number, j.Radius, len(ours), len(theirs), ours, theirs)
	}
	for k, o := range ours {
		// Each of three steps there (obstacles, erosion, dilation) shifts arcs by up to the tolerance.
		bound := 3*tol*o.length + 1e-9*o.area
		d := math.Abs(o.area-theirs[k]) / bound
		if d > 1 {
			msg = fmt.Sprintf("plate %d: cell of %.6f mm², the outside library finds %.6f (bound %.4f)", j.number, o.area, theirs[k], bound)
		}
		worst = max(worst, d)
	}
	return worst, msg
}

// runClipper gives the jobs to the script and returns its areas.
func runClipper(t *testing.T, jobs []clipperJob) [][]float64 {
	t.Helper()
	var in bytes.Buffer
	for i := range jobs {
		b, err := json.Marshal(jobs[i])
		if err != nil {
			t.Fatal(err)
		}
		in.Write(append(b, '\n'))
	}
	cmd := exec.Command(python, "../../testdata/layout/clipper.py")
	cmd.Stdin, cmd.Stderr = &in, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	dec := json.NewDecoder(bytes.NewReader(out))
	areas := make([][]float64, len(jobs))
	for i := range areas {
		if err := dec.Decode(&areas[i]); err != nil {
			t.Fatalf("job %d of %d: %v", i+1, len(jobs), err)
		}
	}
	return areas
}

// clipperJobs derives the fields of a plate and puts them down for the outside library.
func clipperJobs(t *testing.T, p plate.Plate, number int, tol float64) []clipperJob {
	d := newDeriver(context.Background(), &p, routeFast)
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
		at := map[int]int{} // of a grid in Filleted
		for _, k := range f.ribs {
			r := &d.ribs[k]
			ribs, solid := &j.Ribs, &j.Solid
			if r.grid >= 0 && d.lattices[r.grid].fillet > 0 {
				n, ok := at[r.grid]
				if !ok {
					n = len(j.Filleted)
					at[r.grid] = n
					j.Filleted = append(j.Filleted, clipperGrid{Fillet: d.lattices[r.grid].fillet})
				}
				ribs, solid = &j.Filleted[n].Ribs, &j.Filleted[n].Solid
			}
			if r.bend == nil {
				*ribs = append(*ribs, [5]float64{r.a.X, r.a.Y, r.b.X, r.b.Y, r.half})
				continue
			}
			s, err := r.shape(0)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range s.Contours() {
				*solid = append(*solid, flat(c, tol))
			}
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
