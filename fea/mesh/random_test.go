package mesh

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

func readJSON(t testing.TB, file string, v any) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, v); err != nil {
		t.Fatal(err)
	}
}

// many is how many random inputs of a kind a test draws: a part of what the
// project asks for, or all of it when PLATEWRIGHT_LONG is set.
func many(short, long int) int {
	if os.Getenv("PLATEWRIGHT_LONG") == "1" {
		return long
	}
	return short
}

// tally sums up what became of many meshes.
type tally struct {
	meshes, triangles, sharp, straight int
	free                               float64
}

func (c *tally) add(m *Mesh) {
	if c.meshes == 0 {
		c.free = math.Pi
	}
	c.meshes++
	c.triangles += len(m.Triangles)
	c.sharp += len(m.Quality.Sharp)
	c.straight += m.Quality.Straight
	c.free = min(c.free, m.Quality.MinFreeAngle)
}

func (c *tally) log(t *testing.T) {
	t.Logf("%d meshes, %d triangles, %d sharper than asked, %d sides straight on arcs, least angle where the input allows %.2f°",
		c.meshes, c.triangles, c.sharp, c.straight, c.free/deg)
}

// dice draws from ranges.
type dice struct{ *rand.Rand }

func (d dice) in(r [2]float64) float64 { return r[0] + d.Float64()*(r[1]-r[0]) }
func (d dice) n(r [2]int) int          { return r[0] + d.IntN(r[1]-r[0]+1) }
func (d dice) share(s float64) bool    { return d.Float64() < s }

// mapRanges is testdata/mesh/random_maps.json.
type mapRanges struct {
	Seed          uint64     `json:"seed"`
	Width         [2]float64 `json:"width_mm"`
	Height        [2]float64 `json:"height_mm"`
	CornerRadius  [2]float64 `json:"corner_radius_mm"`
	Holes         [2]int     `json:"holes"`
	HoleDiameter  [2]float64 `json:"hole_diameter_mm"`
	TinyShare     float64    `json:"tiny_share"`
	TinyDiameter  [2]float64 `json:"tiny_diameter_mm"`
	Ribs          [2]int     `json:"ribs"`
	RibWidth      [2]float64 `json:"rib_width_mm"`
	TouchingShare float64    `json:"touching_share"`
	LigamentShare float64    `json:"ligament_share"`
	Ligament      [2]float64 `json:"ligament_mm"`
	NearShare     float64    `json:"near_share"`
	Near          [2]float64 `json:"near_mm"`
	SnapShare     float64    `json:"snap_share"`
	Snap          float64    `json:"snap_mm"`
}

// randomMap draws map number n: a plate, ribs on it, and holes through it, many
// of them placed against another hole or the outline. A face holds metal when
// it is in the plate and in no hole.
func randomMap(g *mapRanges, n int) (*geom.Subdivision, []bool, error) {
	d := dice{rand.New(rand.NewPCG(g.Seed, uint64(n)))}
	snap := d.share(g.SnapShare)
	w, h := d.in(g.Width), d.in(g.Height)
	at := func() geom.Point {
		p := geom.Pt(d.Float64()*w, d.Float64()*h)
		if snap {
			p = geom.Pt(math.Round(p.X/g.Snap)*g.Snap, math.Round(p.Y/g.Snap)*g.Snap)
		}
		return p
	}
	plateShape := geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(w, h), d.in(g.CornerRadius)))
	var holes, ribs []geom.Shape
	var c geom.Point
	var r float64
	for i := range d.n(g.Holes) {
		nr := d.in(g.HoleDiameter) / 2
		if d.share(g.TinyShare) {
			nr = d.in(g.TinyDiameter) / 2
		}
		if snap {
			nr = max(1, math.Round(nr))
		}
		q := at()
		gap := math.NaN()
		switch x := d.Float64(); {
		case x < g.TouchingShare:
			gap = 0
		case x < g.TouchingShare+g.LigamentShare:
			gap = d.in(g.Ligament)
		case x < g.TouchingShare+g.LigamentShare+g.NearShare:
			gap = d.in(g.Near)
		}
		if i > 0 && gap >= 0 {
			dir := geom.Pt(1, 0).Rotate(2 * math.Pi * float64(d.IntN(16)) / 16)
			switch d.IntN(3) {
			case 0: // beside the last hole
				q = c.Add(dir.Mul(r + nr + gap))
			case 1: // inside it, or round it: seen only where the map keeps the edge
				q = c.Add(dir.Mul(math.Abs(r - nr - gap)))
			default: // beside the lower edge
				q = geom.Pt(q.X, nr+gap)
			}
		}
		c, r = q, nr
		s := geom.RegionOf(geom.Circle(c, r))
		if d.share(0.3) { // a ring of another thickness, or a pocket
			ribs = append(ribs, s)
		} else {
			holes = append(holes, s)
		}
	}
	for range d.n(g.Ribs) {
		a, b, half := at(), at(), d.in(g.RibWidth)/2
		ribs = append(ribs, geom.RegionOf(geom.Capsule(a, b, half)))
	}
	layers := append(append([]geom.Shape{plateShape}, holes...), ribs...)
	sub, err := geom.Subdivide(layers)
	if err != nil {
		return nil, nil, err
	}
	metal := make([]bool, len(sub.Faces))
	for f := range metal {
		l := sub.Faces[f].Layers
		metal[f] = len(l) > 0 && l[0] == 0
		for _, k := range l {
			metal[f] = metal[f] && (k == 0 || int(k) > len(holes))
		}
	}
	return sub, metal, nil
}

func TestRandomMaps(t *testing.T) {
	var g mapRanges
	readJSON(t, "mesh/random_maps.json", &g)
	var c tally
	for n := range many(150, 2500) {
		sub, metal, err := randomMap(&g, n)
		if err != nil {
			t.Errorf("map %d: %v", n, err)
			continue
		}
		o := Options{Size: 8, Across: 1 + n%2}
		m, err := Generate(t.Context(), sub, metal, o)
		if err != nil {
			t.Errorf("map %d: %v", n, err)
			continue
		}
		c.add(m)
		t.Run(fmt.Sprint(n), func(t *testing.T) { verify(t, sub, metal, m, o) })
	}
	c.log(t)
}

// plateRanges is the part of testdata/layout/random_plates.json used here.
type plateRanges struct {
	Seed         uint64     `json:"seed"`
	SnapShare    float64    `json:"snap_share"`
	Snap         float64    `json:"snap_mm"`
	Width        [2]float64 `json:"width_mm"`
	Height       [2]float64 `json:"height_mm"`
	CornerRadius [2]float64 `json:"corner_radius_mm"`
	ArcSide      float64    `json:"arc_side_share"`
	Sagitta      [2]float64 `json:"arc_sagitta_mm"`
	Thickness    [2]float64 `json:"thickness_mm"`
	Rim          [2]float64 `json:"rim_mm"`
	Bores        [2]int     `json:"bores"`
	BoreDiameter [2]float64 `json:"bore_diameter_mm"`
	Boss         [2]float64 `json:"boss_mm"`
	Holes        [2]int     `json:"holes"`
	Sizes        []string   `json:"sizes"`
	Grids        [2]int     `json:"grids"`
	Pitch        [2]float64 `json:"pitch_mm"`
	GridAngle    []float64  `json:"grid_angle_deg"`
	RibWidth     [2]float64 `json:"rib_width_mm"`
	Ribs         [2]int     `json:"ribs"`
	Pockets      [2]int     `json:"pockets"`
	InsideRadius [2]float64 `json:"inside_radius_mm"`
	PocketDepth  [2]float64 `json:"pocket_depth_mm"`
	AllRibs      float64    `json:"pocket_all_ribs_share"`
}

// randomPlate draws plate number n.
func randomPlate(g *plateRanges, n int) plate.Plate {
	d := dice{rand.New(rand.NewPCG(g.Seed+1, uint64(n)))}
	snap := d.share(g.SnapShare)
	in := func(r [2]float64) float64 {
		if v := d.in(r); !snap {
			return v
		} else {
			return math.Round(v)
		}
	}
	w, h, r := in(g.Width), in(g.Height), in(g.CornerRadius)
	at := func() (x, y float64) {
		x, y = w*(d.Float64()*1.04-0.02), h*(d.Float64()*1.04-0.02)
		if snap {
			x, y = math.Round(x/g.Snap)*g.Snap, math.Round(y/g.Snap)*g.Snap
		}
		return x, y
	}
	id := plate.ID(0)
	next := func() plate.ID { id++; return id }
	t := in(g.Thickness)
	p := plate.Plate{
		Name: "random", NextID: 1000, Rim: in(g.Rim),
		Stock:   plate.Stock{Nominal: t, Finished: t, Top: plate.AsSupplied, Bottom: plate.AsSupplied, Blank: plate.Blank{Margin: 5}},
		Outline: plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0, Radius: r}, {X: w, Y: 0, Radius: r}, {X: w, Y: h, Radius: r}, {X: 0, Y: h, Radius: r}}},
	}
	if d.share(g.ArcSide) {
		k := &p.Outline.Corners[0]
		k.Arc, k.ThroughX, k.ThroughY = true, w/2, -max(1, math.Abs(d.in(g.Sagitta)))
	}
	for range d.n(g.Bores) {
		x, y := at()
		p.Bores = append(p.Bores, plate.Bore{ID: next(), Name: "bore", X: x, Y: y, Diameter: in(g.BoreDiameter), Boss: in(g.Boss)})
	}
	for range d.n(g.Holes) {
		x, y := at()
		p.Holes = append(p.Holes, plate.Hole{ID: next(), Name: "hole", X: x, Y: y, HoleForm: plate.HoleForm{
			Kind: plate.Clearance, Size: g.Sizes[d.IntN(len(g.Sizes))], Series: plate.Medium, Side: plate.Through, Boss: in(g.Boss),
		}})
	}
	for range d.n(g.Grids) {
		x, y := at()
		if snap && len(p.Bores) > 0 {
			x, y = p.Bores[0].X, p.Bores[0].Y
		}
		p.Grids = append(p.Grids, plate.Grid{ID: next(), Name: "grid", Pitch: in(g.Pitch), Width: in(g.RibWidth), AngleDeg: g.GridAngle[d.IntN(len(g.GridAngle))], X: x, Y: y})
	}
	for range d.n(g.Ribs) {
		k := plate.Rib{ID: next(), Name: "rib", Width: in(g.RibWidth)}
		k.From.X, k.From.Y = at()
		k.To.X, k.To.Y = at()
		if len(p.Bores) > 0 && d.share(0.4) {
			k.From = plate.RibEnd{Feature: p.Bores[d.IntN(len(p.Bores))].ID}
		}
		p.Ribs = append(p.Ribs, k)
	}
	for range d.n(g.Pockets) {
		k := plate.Pocket{ID: next(), Name: "pocket", Radius: d.in(g.InsideRadius), Depth: min(in(g.PocketDepth), t), AllRibs: d.share(g.AllRibs)}
		k.Side = [3]plate.Side{plate.Top, plate.Bottom, plate.Through}[d.IntN(3)]
		if k.Side == plate.Through {
			k.Depth = 0
		}
		if !k.AllRibs {
			for _, r := range p.Ribs {
				if d.share(0.5) {
					k.Ribs = append(k.Ribs, r.ID)
				}
			}
		}
		p.Pockets = append(p.Pockets, k)
	}
	return p
}

func TestRandomPlates(t *testing.T) {
	var g plateRanges
	readJSON(t, "layout/random_plates.json", &g)
	var c tally
	refused := 0
	count := many(150, 2500)
	for n := range count {
		l, err := layout.Derive(randomPlate(&g, n))
		var refusal *layout.DeriveError
		if errors.As(err, &refusal) { // corners that do not fit
			refused++
			continue
		}
		if err != nil {
			t.Errorf("plate %d: %v", n, err)
			continue
		}
		metal := metalOf(l)
		o := Options{Size: 10, Across: 1 + n%2, ArcEdges: 12}
		m, err := Generate(t.Context(), l.Map.Subdivision, metal, o)
		if err != nil {
			t.Errorf("plate %d: %v", n, err)
			continue
		}
		c.add(m)
		t.Run(fmt.Sprint(n), func(t *testing.T) { verify(t, l.Map.Subdivision, metal, m, o) })
	}
	c.log(t)
	if refused > count/10 {
		t.Errorf("%d of %d plates cannot be derived: the ranges do not test the mesher", refused, count)
	}
}
