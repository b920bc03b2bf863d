package layout

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// ranges is testdata/layout/random_plates.json.
type ranges struct {
	About          string     `json:"about"`
	Seed           uint64     `json:"seed"`
	Count          int        `json:"count"`
	SnapShare      float64    `json:"snap_share"`
	Snap           float64    `json:"snap_mm"`
	Width          [2]float64 `json:"width_mm"`
	Height         [2]float64 `json:"height_mm"`
	CornerRadius   [2]float64 `json:"corner_radius_mm"`
	CutCorner      float64    `json:"cut_corner_share"`
	ArcSide        float64    `json:"arc_side_share"`
	Sagitta        [2]float64 `json:"arc_sagitta_mm"`
	Thickness      [2]float64 `json:"thickness_mm"`
	Machined       float64    `json:"machined_share"`
	Rim            [2]float64 `json:"rim_mm"`
	Bores          [2]int     `json:"bores"`
	BoreDiameter   [2]float64 `json:"bore_diameter_mm"`
	Boss           [2]float64 `json:"boss_mm"`
	Holes          [2]int     `json:"holes"`
	Circles        [2]int     `json:"bolt_circles"`
	CircleHoles    [2]int     `json:"bolt_circle_holes"`
	CircleDiameter [2]float64 `json:"bolt_circle_diameter_mm"`
	Sizes          []string   `json:"sizes"`
	Grids          [2]int     `json:"grids"`
	Pitch          [2]float64 `json:"pitch_mm"`
	GridAngle      []float64  `json:"grid_angle_deg"`
	GridBounds     float64    `json:"grid_bounds_share"`
	RibWidth       [2]float64 `json:"rib_width_mm"`
	Ribs           [2]int     `json:"ribs"`
	Pockets        [2]int     `json:"pockets"`
	PocketBounds   float64    `json:"pocket_bounds_share"`
	PocketAllRibs  float64    `json:"pocket_all_ribs_share"`
	InsideRadius   [2]float64 `json:"inside_radius_mm"`
	PocketDepth    [2]float64 `json:"pocket_depth_mm"`
	LeastArea      [2]float64 `json:"least_area_mm2"`
	KeptShare      float64    `json:"kept_share"`
}

func readRanges(t testing.TB) ranges {
	t.Helper()
	b, err := os.ReadFile("../../testdata/layout/random_plates.json")
	if err != nil {
		t.Fatal(err)
	}
	var r ranges
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// drawer draws one random plate.
type drawer struct {
	*rand.Rand
	g    ranges
	snap bool
	p    plate.Plate
	w, h float64
	id   plate.ID
}

// randomPlate draws plate number n. Outlines whose corners do not fit are drawn again.
func randomPlate(g ranges, n int) plate.Plate {
	d := &drawer{Rand: rand.New(rand.NewPCG(g.Seed, uint64(n))), g: g}
	d.snap = d.Float64() < g.SnapShare
	for {
		d.stock()
		if _, err := path(d.p.Outline.Corners); err == nil {
			break
		}
	}
	d.rounds()
	d.ribs()
	d.pockets()
	d.variety(n)
	return d.p
}

func (d *drawer) in(r [2]float64) float64 {
	v := r[0] + d.Float64()*(r[1]-r[0])
	if d.snap {
		return math.Round(v)
	}
	return v
}

func (d *drawer) n(r [2]int) int { return r[0] + d.IntN(r[1]-r[0]+1) }

func (d *drawer) share(s float64) bool { return d.Float64() < s }

// at is a position in the plate, a little outside it at times.
func (d *drawer) at() (x, y float64) {
	x, y = d.w*(d.Float64()*1.04-0.02), d.h*(d.Float64()*1.04-0.02)
	if d.snap {
		x, y = math.Round(x/d.g.Snap)*d.g.Snap, math.Round(y/d.g.Snap)*d.g.Snap
	}
	return x, y
}

func (d *drawer) next() plate.ID { d.id++; return d.id }

func (d *drawer) stock() {
	g := &d.g
	d.w, d.h = d.in(g.Width), d.in(g.Height)
	if d.snap {
		d.w, d.h = math.Round(d.w/g.Snap)*g.Snap, math.Round(d.h/g.Snap)*g.Snap
	}
	r := d.in(g.CornerRadius)
	d.p = rectangle(d.w, d.h, r, d.in(g.Rim))
	t := d.in(g.Thickness)
	s := &d.p.Stock
	s.Nominal, s.Finished = t, t
	if d.share(g.Machined) {
		s.Top, s.Nominal = plate.Machined, t+2
		if d.share(0.5) {
			s.Bottom = plate.Machined
		}
	}
	c := d.p.Outline.Corners
	if d.share(g.CutCorner) {
		c[2].X -= d.w / 4
		c = append(c[:3:3], plate.Corner{X: c[2].X - d.w/8, Y: d.h * 0.7, Radius: r / 2}, c[3])
	}
	for i := range c {
		if !d.share(g.ArcSide) {
			continue
		}
		a, b := geom.Pt(c[i].X, c[i].Y), geom.Pt(c[(i+1)%len(c)].X, c[(i+1)%len(c)].Y)
		m := a.Add(b).Mul(0.5).Add(b.Sub(a).Unit().Perp().Mul(-d.in(g.Sagitta)))
		if m.Sub(a).Cross(b.Sub(a)) != 0 {
			c[i].Arc, c[i].ThroughX, c[i].ThroughY = true, m.X, m.Y
		}
	}
	d.p.Outline.Corners = c
}

func (d *drawer) form() plate.HoleForm {
	f := plate.HoleForm{Size: d.g.Sizes[d.IntN(len(d.g.Sizes))], Boss: d.in(d.g.Boss), Side: plate.Through, Kind: plate.Clearance, Series: plate.Medium}
	if d.share(0.3) {
		f.Boss = 0
	}
	if d.share(0.4) {
		f.Kind, f.Series = plate.Tapped, ""
		if d.share(0.6) {
			f.Side, f.Depth = plate.Top, 2+d.Float64()*8
			if d.share(0.5) {
				f.Side = plate.Bottom
			}
		}
	}
	return f
}

func (d *drawer) rounds() {
	g := &d.g
	for range d.n(g.Bores) {
		x, y := d.at()
		b := plate.Bore{ID: d.next(), Name: "bore", X: x, Y: y, Diameter: d.in(g.BoreDiameter), Boss: d.in(g.Boss)}
		if d.snap && d.share(0.3) { // boss tangent to the rim's inner edge
			b.Y = d.p.Rim + b.Diameter/2 + b.Boss
		}
		d.p.Bores = append(d.p.Bores, b)
	}
	for range d.n(g.Holes) {
		x, y := d.at()
		h := plate.Hole{ID: d.next(), Name: "hole", X: x, Y: y, HoleForm: d.form()}
		if n := len(d.p.Bores); d.snap && n > 0 && d.share(0.3) { // touching the boss of a bore from outside
			b := d.p.Bores[n-1]
			h.X, h.Y = b.X+b.Diameter/2+b.Boss+4.5, b.Y
			h.HoleForm = plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}
		}
		d.p.Holes = append(d.p.Holes, h)
	}
	for range d.n(g.Circles) {
		x, y := d.at()
		c := plate.BoltCircle{
			ID: d.next(), Name: "circle", X: x, Y: y, Diameter: d.in(g.CircleDiameter), Count: d.n(g.CircleHoles),
			StartDeg: float64(d.IntN(24)) * 15, HoleForm: d.form(),
		}
		if n := len(d.p.Bores); n > 0 && d.share(0.6) {
			c.Bore = d.p.Bores[d.IntN(n)].ID
		}
		d.p.Circles = append(d.p.Circles, c)
	}
}

// box is a closed path inside the plate, at times with an arc.
func (d *drawer) box(r float64) []plate.Corner {
	x0, y0 := d.at()
	x1, y1 := d.at()
	x0, x1, y0, y1 = min(x0, x1), max(x0, x1)+20, min(y0, y1), max(y0, y1)+20
	c := []plate.Corner{{X: x0, Y: y0, Radius: r}, {X: x1, Y: y0, Radius: r}, {X: x1, Y: y1, Radius: r}, {X: x0, Y: y1, Radius: r}}
	if d.share(0.3) {
		c[0].Arc, c[0].ThroughX, c[0].ThroughY = true, (x0+x1)/2, y0-6
		c[0].Radius, c[1].Radius = 0, 0
	}
	return c
}

func (d *drawer) ribs() {
	g := &d.g
	for range d.n(g.Grids) {
		x, y := d.at()
		k := isogrid(d.next(), d.in(g.Pitch), d.in(g.RibWidth), g.GridAngle[d.IntN(len(g.GridAngle))], x, y)
		if n := len(d.p.Bores); n > 0 && d.snap { // a bore at a node; every other time its boss touches the ribs' other node
			k.X, k.Y = d.p.Bores[0].X, d.p.Bores[0].Y
		}
		if d.snap && d.share(0.3) { // a line of the grid with an edge on the rim's inner edge
			k.AngleDeg, k.Y = 0, d.p.Rim-k.Width/2
		}
		if d.share(g.GridBounds) {
			k.Bounds = d.box(0)
			if d.snap && d.share(0.5) { // bounds along a line of the grid
				k.AngleDeg, k.Y = 0, k.Bounds[0].Y
			}
		}
		d.p.Grids = append(d.p.Grids, k)
	}
	for range d.n(g.Ribs) {
		r := plate.Rib{ID: d.next(), Name: "rib", Width: d.in(g.RibWidth)}
		for _, e := range [2]*plate.RibEnd{&r.From, &r.To} {
			e.X, e.Y = d.at()
			if n := len(d.p.Bores); n > 0 && d.share(0.4) {
				*e = plate.RibEnd{Feature: d.p.Bores[d.IntN(n)].ID}
			}
		}
		if n := len(d.p.Ribs); d.snap && n > 0 && d.share(0.4) { // beside the last one, touching it
			l := d.p.Ribs[n-1]
			if l.From.Feature == 0 && l.To.Feature == 0 && (l.From.X != l.To.X || l.From.Y != l.To.Y) {
				a, b := geom.Pt(l.From.X, l.From.Y), geom.Pt(l.To.X, l.To.Y)
				off := b.Sub(a).Unit().Perp().Mul((l.Width + r.Width) / 2)
				a, b = a.Add(off), b.Add(off)
				r.From, r.To = plate.RibEnd{X: a.X, Y: a.Y}, plate.RibEnd{X: b.X, Y: b.Y}
			}
		}
		d.p.Ribs = append(d.p.Ribs, r)
	}
}

func (d *drawer) pockets() {
	g := &d.g
	t := d.p.Stock.Finished
	for i := range d.n(g.Pockets) {
		k := plate.Pocket{ID: d.next(), Name: fmt.Sprint("pocket ", i+1), Radius: d.in(g.InsideRadius), Depth: min(d.in(g.PocketDepth), t), LeastArea: d.in(g.LeastArea)}
		k.Side = [3]plate.Side{plate.Top, plate.Bottom, plate.Through}[d.IntN(3)]
		switch {
		case k.Side == plate.Through:
			k.Depth = 0
		case d.snap && i > 0 && d.p.Pockets[0].Depth > 0 && d.share(0.4): // floors that meet exactly, or one floor for both
			k.Depth = t - d.p.Pockets[0].Depth
			if k.Depth == 0 || k.Side == d.p.Pockets[0].Side {
				k.Depth = d.p.Pockets[0].Depth
			}
		}
		if d.share(g.PocketBounds) {
			k.Bounds = d.box(0)
			if d.snap && i > 0 && len(d.p.Pockets[0].Bounds) > 0 { // beside the first one
				k.Bounds = d.box(3)
				k.Bounds[0].X, k.Bounds[3].X = d.p.Pockets[0].Bounds[1].X, d.p.Pockets[0].Bounds[1].X
				k.Bounds[1].X, k.Bounds[2].X = k.Bounds[0].X+60, k.Bounds[0].X+60
			}
			if _, err := path(k.Bounds); err != nil {
				k.Bounds = nil
			}
		}
		k.AllRibs = d.share(g.PocketAllRibs)
		for _, r := range d.p.Ribs {
			if !k.AllRibs && d.share(0.5) {
				k.Ribs = append(k.Ribs, r.ID)
			}
		}
		for _, r := range d.p.Grids {
			if !k.AllRibs && d.share(0.5) {
				k.Ribs = append(k.Ribs, r.ID)
			}
		}
		for d.share(g.KeptShare) {
			x, y := d.at()
			a := plate.Anchor{X: x, Y: y}
			if n := len(d.p.Grids); n > 0 && d.share(0.6) {
				a = plate.Anchor{Grid: d.p.Grids[d.IntN(n)].ID, I: d.IntN(5) - 2, J: d.IntN(5) - 2, K: d.IntN(2)}
			}
			k.Kept = append(k.Kept, a)
		}
		d.p.Pockets = append(d.p.Pockets, k)
	}
	for i := range d.p.Grids {
		if len(d.p.Grids[i].Bounds) > 0 {
			if _, err := path(d.p.Grids[i].Bounds); err != nil {
				d.p.Grids[i].Bounds = nil
			}
		}
	}
}
