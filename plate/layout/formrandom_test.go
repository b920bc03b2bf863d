package layout

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// former adds the forms beyond plain holes and pockets to a random plate.
type former struct {
	*drawer
	t float64
}

// formedPlate is random plate number n with seats, grooves, keyways, heads, reamed holes, slots, clocked rings, eccentrics,
// keep-out zones, single pockets, both sides, depths by cell, ledges, floor radii, inlays and edge chamfers.
func formedPlate(g ranges, n int) plate.Plate {
	p := randomPlate(g, n)
	d := &drawer{Rand: rand.New(rand.NewPCG(g.Seed+1, uint64(n))), g: g, p: p, id: 500}
	box := geom.Box{}
	for _, c := range p.Outline.Corners {
		box = box.Add(geom.Pt(c.X, c.Y))
	}
	d.w, d.h = box.Width(), box.Height()
	d.snap = d.share(g.SnapShare)
	f := &former{d, p.Stock.Finished}
	f.seats()
	f.heads()
	f.slots()
	f.adjusters()
	f.pocketForms()
	f.inlays()
	if f.share(0.3) {
		f.p.Outline.Chamfer = plate.EdgeChamfer{Top: f.in([2]float64{0, 2}), Bottom: f.in([2]float64{0, 2})}
	}
	return f.p
}

func (f *former) side() plate.Side {
	return [2]plate.Side{plate.Top, plate.Bottom}[f.IntN(2)]
}

func (f *former) seats() {
	for i := range f.p.Bores {
		b := &f.p.Bores[i]
		for range f.IntN(3) {
			s := plate.Seat{Side: f.side(), Diameter: b.Diameter + f.in([2]float64{-2, 16}), Depth: f.in([2]float64{1, f.t})}
			if s.Diameter <= 0 {
				continue
			}
			if f.share(0.5) {
				s.Groove = plate.Groove{Diameter: s.Diameter + f.in([2]float64{-1, 4}), Width: 1.3, At: f.in([2]float64{0, 5})}
			}
			b.Seats = append(b.Seats, s)
		}
		if f.share(0.4) {
			b.Keyway = plate.Keyway{Width: f.in([2]float64{2, 10}), Height: f.in([2]float64{1, 4}), AngleDeg: float64(f.IntN(36)) * 10.7}
		}
		if f.share(0.2) {
			b.Fit = "H7"
		}
	}
}

func (f *former) head() plate.HoleForm {
	h := plate.HoleForm{Size: f.g.Sizes[f.IntN(len(f.g.Sizes))], Series: plate.Medium, Side: f.side(), Boss: f.in(f.g.Boss)}
	switch f.IntN(3) {
	case 0:
		h.Kind = plate.Counterbored
	case 1:
		h.Kind = plate.Countersunk
	default:
		h = plate.HoleForm{Kind: plate.Reamed, Diameter: f.in([2]float64{3, 12}), Fit: "H7", Side: plate.Through, Boss: f.in(f.g.Boss)}
		if f.share(0.5) {
			h.Side, h.Depth = f.side(), f.in([2]float64{2, 9})
		}
	}
	return h
}

func (f *former) heads() {
	for range f.IntN(4) {
		x, y := f.at()
		f.p.Holes = append(f.p.Holes, plate.Hole{ID: f.next(), Name: "head", X: x, Y: y, HoleForm: f.head()})
	}
	if f.share(0.3) {
		x, y := f.at()
		f.p.Circles = append(f.p.Circles, plate.BoltCircle{
			ID: f.next(), Name: "uneven", X: x, Y: y, Diameter: f.in(f.g.CircleDiameter), Angles: []float64{0, 37.5, 111, 200.25}, HoleForm: f.head(),
		})
	}
}

func (f *former) slots() {
	for range f.IntN(4) {
		x, y := f.at()
		s := plate.Slot{ID: f.next(), Name: "slot", X: x, Y: y, Length: f.in([2]float64{0, 30}), Width: f.in([2]float64{4, 12}), AngleDeg: float64(f.IntN(12)) * 15, Side: plate.Through}
		if f.share(0.5) {
			s.Side, s.Depth = f.side(), f.in([2]float64{1, f.t})
		}
		if f.share(0.6) {
			s.Boss = f.in(f.g.Boss)
		}
		f.p.Slots = append(f.p.Slots, s)
	}
}

func (f *former) adjusters() {
	if f.share(0.3) {
		x, y := f.at()
		f.p.Rings = append(f.p.Rings, plate.ClockedRing{
			BoltCircle: plate.BoltCircle{ID: f.next(), Name: "ring", X: x, Y: y, Diameter: f.in(f.g.CircleDiameter), Count: f.n(f.g.CircleHoles), HoleForm: f.head()},
			MateCount:  7,
		})
	}
	if n := len(f.p.Bores); n > 0 && f.share(0.3) {
		f.p.Eccentrics = append(f.p.Eccentrics, plate.Eccentric{
			ID: f.next(), Name: "eccentric", Bore: f.p.Bores[f.IntN(n)].ID, E: 3, Inner: 8,
			LockCircle: f.in(f.g.CircleDiameter), LockCount: f.IntN(5), Lock: f.head(),
		})
	}
}

func (f *former) pocketForms() {
	for range f.IntN(3) {
		if c := f.box(0); f.share(0.5) {
			if _, err := path(c); err == nil {
				f.p.KeepOuts = append(f.p.KeepOuts, plate.KeepOut{ID: f.next(), Name: "keep-out", Bounds: c})
			}
		}
	}
	for range f.IntN(3) {
		x, y := f.at()
		k := plate.Pocket{
			ID: f.next(), Name: "single", Side: f.side(), Depth: min(f.in(f.g.PocketDepth), f.t), Radius: f.in(f.g.InsideRadius), X: x, Y: y,
			Diameter: f.in([2]float64{12, 50}), Length: f.in([2]float64{0, 40}), AngleDeg: float64(f.IntN(12)) * 15,
		}
		k.Kind = [3]plate.PocketKind{plate.DrawnPocket, plate.RoundPocket, plate.ObroundPocket}[f.IntN(3)]
		if k.Kind == plate.DrawnPocket {
			k.Bounds = f.box(2)
			if _, err := path(k.Bounds); err != nil {
				k.Kind, k.Bounds = plate.RoundPocket, nil
			}
		}
		f.p.Pockets = append(f.p.Pockets, k)
	}
	for i := range f.p.Pockets {
		k := &f.p.Pockets[i]
		if f.share(0.25) {
			k.Side, k.Depth, k.DepthBack = plate.Both, f.in([2]float64{1, f.t * 0.7}), f.in([2]float64{1, f.t * 0.7})
		}
		if f.share(0.3) {
			k.FloorRadius = f.in([2]float64{0.5, k.Radius + 0.3})
		}
		if f.share(0.25) {
			k.Ledge = plate.Ledge{Width: f.in([2]float64{1, 5}), Depth: f.in([2]float64{1, 4})}
		}
		for f.share(0.4) {
			x, y := f.at()
			c := plate.CellDepth{At: plate.Anchor{X: x, Y: y}, Depth: f.in([2]float64{1, f.t}), Back: 1}
			if n := len(f.p.Grids); n > 0 && f.share(0.6) {
				c.At = plate.Anchor{Grid: f.p.Grids[f.IntN(n)].ID, I: f.IntN(5) - 2, J: f.IntN(5) - 2, K: f.IntN(2)}
			}
			if f.share(0.3) {
				c.Through = true
			}
			k.Depths = append(k.Depths, c)
		}
	}
}

func (f *former) inlays() {
	if n := len(f.p.Pockets); n > 0 && f.share(0.4) {
		f.p.Inlays = append(f.p.Inlays, plate.Inlay{
			ID: f.next(), Name: "inlay", Pocket: f.p.Pockets[f.IntN(n)].ID, All: true, Clearance: 0.2, Radius: f.in([2]float64{0, 3}), Thickness: 2,
		})
	}
}

// long reports whether the long tests are wanted.
func long() bool { return os.Getenv("PLATEWRIGHT_LONG") == "1" }

// TestFormedPlates holds random plates with every form to everything that must be true of any layout, and both routes to
// the cells to the same figures.
func TestFormedPlates(t *testing.T) {
	g := readRanges(t)
	count := 40
	if long() {
		count = 2 * g.Count
	} else {
		t.Logf("%d plates; PLATEWRIGHT_LONG=1 draws %d", count, 2*g.Count)
	}
	rough, figures := 0, 0
	kinds := map[CutKind]int{}
	seen := map[string]int{}
	for n := range count {
		p := formedPlate(g, n)
		l, err := Derive(p)
		if err != nil {
			t.Fatalf("plate %d: %v", n, err)
		}
		slow, err := derive(context.Background(), p, routeGeneral)
		if err != nil {
			t.Fatalf("plate %d by the general route: %v", n, err)
		}
		k := checkInvariants(t, l) + compareLayouts(t, l, slow)
		checkOthers(t, l)
		if t.Failed() {
			t.Fatalf("plate %d", n)
		}
		rough, figures = rough+k, figures+4
		for i := range l.Cuts {
			kinds[l.Cuts[i].Kind]++
		}
		for c := range codes(l) {
			seen[c]++
		}
	}
	if rough > figures/20 {
		t.Errorf("%d of %d figures agree only loosely", rough, figures)
	}
	for _, k := range []CutKind{CutSeat, CutGroove, CutKeyway, CutReamed, CutCounterbore, CutCountersink, CutSlot, CutLedge, CutFillet, CutChamfer} {
		if kinds[k] == 0 {
			t.Errorf("no plate has a %s", k)
		}
	}
	t.Logf("cuts %v, findings %v, %d of %d figures loose", kinds, seen, rough, figures)
}

// checkOthers holds what is no prism, and the panels, to what must be true of them.
func checkOthers(t *testing.T, l *Layout) {
	t.Helper()
	for i := range l.Cuts {
		c := &l.Cuts[i]
		if c.Sweep == nil {
			continue
		}
		v, err := bandVolume(c)
		if err != nil {
			t.Fatal(err)
		}
		if !near(v, math.Abs(c.Sweep.Volume), loose) || (c.Sweep.Volume < 0) != (c.Kind == CutFillet) {
			t.Errorf("%s of %q: volume %v, by offsets of the engine %v", c.Kind, c.FeatureName, c.Sweep.Volume, v)
		}
	}
	found := codes(l)
	whole := found["head-meets-cut"]+found["point-meets-cut"]+found["point-through"] == 0 // else more is taken than there is
	for _, s := range l.Labels.Shares {
		if whole && s.Volume < -1e-6 {
			t.Errorf("%s %q holds %v mm³", s.Kind, s.Name, s.Volume)
		}
	}
	for i := range l.Panels {
		p := &l.Panels[i]
		c := &l.Cells[p.Cell]
		in := c.Region
		if c.Ledge.Outer != nil {
			in = c.Ledge
		}
		out, err := geom.Difference(geom.Shape{p.Region}, geom.Shape{in})
		if err != nil || out.Area() > 1e-6 || p.Shape < 1 {
			t.Errorf("panel %d stands out of its cell by %v mm² (%v), shape %d", i, out.Area(), err, p.Shape)
		}
	}
}

// bandVolume is the volume of a sweep by the geometry engine's offsets instead of the terms of its edges.
func bandVolume(c *Cut) (float64, error) {
	s := c.Sweep
	r := geom.Region{Outer: s.Along[0], Holes: s.Along[1:]}
	v := 0.0
	for _, y := range s.Layers(c.Kind == CutFillet) {
		in, err := geom.Offset(geom.Shape{r}, -y.Width)
		if err != nil {
			return 0, err
		}
		v += (r.Area() - in.Area()) * y.Weight
	}
	return v, nil
}
