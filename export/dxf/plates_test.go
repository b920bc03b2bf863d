package dxf

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
)

// data is the folder of this package's files.
const data = "../../testdata/dxf"

// derive makes the layout of a plate that the tests rely on to be right.
func derive(tb testing.TB, p plate.Plate) *layout.Layout {
	tb.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		tb.Fatal(err)
	}
	return l
}

func rectangle(x0, y0, x1, y1, r float64) []plate.Corner {
	return []plate.Corner{
		{X: x0, Y: y0, Radius: r}, {X: x1, Y: y0, Radius: r}, {X: x1, Y: y1, Radius: r}, {X: x0, Y: y1, Radius: r},
	}
}

// block is a 100 × 60 × 20 mm plate with outline radius 5 whose areas are sums of rectangles and circles: a bore, three
// kinds of hole, a top pocket with the boss of another bore standing in it, a bottom pocket and a window.
func block() plate.Plate {
	p := plate.New("Block")
	p.Stock.Nominal, p.Stock.Finished = 20, 20
	p.Rim = 0
	p.Outline.Corners = rectangle(0, 0, 100, 60, 5)
	p.Bores = []plate.Bore{
		{ID: 1, Name: "Pivot", X: 22, Y: 30, Diameter: 24, Boss: 5},
		{ID: 2, Name: "Post", X: 60, Y: 20, Diameter: 6, Boss: 2, Tolerance: 0.012},
	}
	p.Holes = []plate.Hole{
		{ID: 3, Name: "Tie", X: 93, Y: 8, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}},
		{ID: 4, Name: "Tap", X: 93, Y: 52, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 8}},
		{ID: 5, Name: "Low tap", X: 93, Y: 40, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M8", Side: plate.Bottom, Depth: 8}},
	}
	p.Pockets = []plate.Pocket{
		{ID: 6, Name: "Upper", Side: plate.Top, Depth: 12, Radius: 2, Bounds: rectangle(45, 10, 85, 30, 0)},
		{ID: 7, Name: "Lower", Side: plate.Bottom, Depth: 5.25, Radius: 3, Bounds: rectangle(68, 12, 84, 28, 0)},
		{ID: 8, Name: "Light", Side: plate.Through, Radius: 3, Bounds: rectangle(45, 42, 85, 54, 0)},
	}
	p.Machining.ZeroX, p.Machining.ZeroY, p.Machining.Turn = 10, 20, plate.AxisX
	p.NextID = 9
	return p
}

// ranges are those of random_plates.json.
type ranges struct {
	Seed      uint64     `json:"seed"`
	Count     int        `json:"count"`
	Width     [2]float64 `json:"width_mm"`
	Height    [2]float64 `json:"height_mm"`
	Corner    [2]float64 `json:"corner_radius_mm"`
	ArcShare  float64    `json:"arc_side_share"`
	Sagitta   [2]float64 `json:"arc_sagitta_mm"`
	Thickness [2]float64 `json:"thickness_mm"`
	Rim       [2]float64 `json:"rim_mm"`
	Bores     [2]int     `json:"bores"`
	BoreDia   [2]float64 `json:"bore_diameter_mm"`
	Boss      [2]float64 `json:"boss_mm"`
	Holes     [2]int     `json:"holes"`
	Sizes     []string   `json:"sizes"`
	Pitch     [2]float64 `json:"pitch_mm"`
	Rib       [2]float64 `json:"rib_width_mm"`
	Pockets   [2]int     `json:"pockets"`
	Bounded   float64    `json:"pocket_bounds_share"`
	Radius    [2]float64 `json:"inside_radius_mm"`
	Steps     int        `json:"depth_steps"`
	Zero      [2]float64 `json:"zero_mm"`
	TurnY     float64    `json:"turn_y_share"`
}

func readRanges(tb testing.TB) ranges {
	tb.Helper()
	raw, err := os.ReadFile(filepath.Join(data, "random_plates.json"))
	if err != nil {
		tb.Fatal(err)
	}
	var g ranges
	if err := json.Unmarshal(raw, &g); err != nil {
		tb.Fatal(err)
	}
	return g
}

// drawer draws one random plate.
type drawer struct {
	*rand.Rand
	g    ranges
	w, h float64
	t    float64
	id   plate.ID
}

func (d *drawer) in(r [2]float64) float64 { return r[0] + d.Float64()*(r[1]-r[0]) }
func (d *drawer) n(r [2]int) int          { return r[0] + d.IntN(r[1]-r[0]+1) }
func (d *drawer) next() plate.ID          { d.id++; return d.id }
func (d *drawer) name(kind string) string { return fmt.Sprintf("%s %d", kind, d.id+1) }

// randomPlate draws plate number n. Bores and holes may touch, cross each other, pockets and the outline: the file must be
// sound whatever the findings say.
func randomPlate(g ranges, n int) plate.Plate {
	d := &drawer{Rand: rand.New(rand.NewPCG(g.Seed, uint64(n))), g: g}
	d.w, d.h, d.t = d.in(g.Width), d.in(g.Height), d.in(g.Thickness)
	p := plate.New(fmt.Sprintf("Random %d", n))
	p.Stock.Nominal, p.Stock.Finished = d.t, d.t
	p.Outline.Corners = rectangle(0, 0, d.w, d.h, 0)
	for i := range p.Outline.Corners {
		c := &p.Outline.Corners[i]
		c.Radius = d.in(g.Corner)
		if d.Float64() < g.ArcShare {
			next := p.Outline.Corners[(i+1)%4]
			dx, dy := next.X-c.X, next.Y-c.Y
			sagitta := d.in(g.Sagitta)
			if math.Abs(sagitta) < 1 {
				sagitta = 1 // flatter ones are as good as straight
			}
			s := sagitta / (d.w + d.h) * 2
			c.Arc, c.ThroughX, c.ThroughY = true, c.X+dx/2+dy*s, c.Y+dy/2-dx*s
		}
	}
	p.Rim = d.in(g.Rim)
	d.rounds(&p)
	p.Grids = []plate.Grid{{
		ID: d.next(), Name: d.name("Grid"), Pitch: d.in(g.Pitch), AngleDeg: 120 * d.Float64(), X: d.w / 2, Y: d.h / 2, Width: d.in(g.Rib),
	}}
	d.pockets(&p)
	p.Machining.ZeroX, p.Machining.ZeroY, p.Machining.Turn = d.in(g.Zero), d.in(g.Zero), plate.AxisX
	if d.Float64() < g.TurnY {
		p.Machining.Turn = plate.AxisY
	}
	p.NextID = d.id + 1
	return p
}

func (d *drawer) rounds(p *plate.Plate) {
	for range d.n(d.g.Bores) {
		name := d.name("Bore")
		p.Bores = append(p.Bores, plate.Bore{
			ID: d.next(), Name: name, X: d.Float64() * d.w, Y: d.Float64() * d.h, Diameter: d.in(d.g.BoreDia), Boss: d.in(d.g.Boss),
		})
	}
	for range d.n(d.g.Holes) {
		f := plate.HoleForm{
			Kind: plate.Clearance, Size: d.g.Sizes[d.IntN(len(d.g.Sizes))], Series: plate.Medium, Side: plate.Through, Boss: d.in(d.g.Boss),
		}
		switch d.IntN(3) {
		case 1:
			f.Kind, f.Series = plate.Tapped, ""
		case 2:
			f.Kind, f.Series, f.Side, f.Depth = plate.Tapped, "", []plate.Side{plate.Top, plate.Bottom}[d.IntN(2)], d.t/4
		}
		name := d.name("Hole")
		p.Holes = append(p.Holes, plate.Hole{ID: d.next(), Name: name, X: d.Float64() * d.w, Y: d.Float64() * d.h, HoleForm: f})
	}
}

// pockets have depths in a few steps, so that fields of one depth meet now and then.
func (d *drawer) pockets(p *plate.Plate) {
	for range d.n(d.g.Pockets) {
		name := d.name("Pocket")
		k := plate.Pocket{ID: d.next(), Name: name, Radius: d.in(d.g.Radius), AllRibs: true}
		k.Side = []plate.Side{plate.Top, plate.Bottom, plate.Through}[d.IntN(3)]
		if k.Side != plate.Through {
			k.Depth = d.t * float64(1+d.IntN(d.g.Steps)) / float64(2*d.g.Steps+1)
		}
		if d.Float64() < d.g.Bounded {
			x, y := d.Float64()*d.w*0.6, d.Float64()*d.h*0.6
			k.Bounds = rectangle(x, y, x+d.w*(0.2+0.2*d.Float64()), y+d.h*(0.2+0.2*d.Float64()), 0)
			k.AllRibs = d.IntN(2) == 0
		}
		p.Pockets = append(p.Pockets, k)
	}
}
