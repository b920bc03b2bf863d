package layout

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestFormMetal looks up the metal of seats, grooves, keyways, heads, slots, ledges and cells of both sides.
func TestFormMetal(t *testing.T) {
	p := rectangle(300, 120, 10, 0)
	p.Bores = []plate.Bore{{
		ID: 1, Name: "pivot", X: 50, Y: 60, Diameter: 20,
		Seats:  []plate.Seat{grooved(seat(plate.Top, 30, 8), 34, 2, 3), seat(plate.Bottom, 26, 4)},
		Keyway: plate.Keyway{Width: 6, Height: 2, AngleDeg: 90},
	}}
	p.Holes = []plate.Hole{headed(2, plate.Counterbored, 90, 30, 11, 6), headed(3, plate.Countersunk, 90, 90, 14, 0)}
	p.Slots = []plate.Slot{slotAt(4, 130, 60, 30, 10)}
	p.Slots[0].AngleDeg, p.Slots[0].Side, p.Slots[0].Depth = 90, plate.Bottom, 5
	k := drawn(5, plate.Both, 6, 4, 160, 20, 220, 100)
	k.DepthBack = 4
	m := drawn(6, plate.Through, 0, 4, 230, 20, 290, 100)
	m.Ledge = plate.Ledge{Width: 5, Depth: 2}
	p.Pockets = []plate.Pocket{k, m}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	for _, c := range []struct {
		x, y float64
		want []Interval
	}{
		{50, 60, nil},
		{62, 60, []Interval{{4, 7}}},            // both seats
		{64, 60, []Interval{{0, 7}}},            // top seat only
		{66, 60, []Interval{{0, 10}, {12, 15}}}, // groove
		{50, 71, nil},                           // keyway
		{50, 72.5, []Interval{{4, 7}}},          // beyond its floor
		{90, 34.5, []Interval{{0, 9}}},          // counterbore
		{90, 95, []Interval{{0, 15}}},           // the countersink is no prism
		{130, 74, []Interval{{5, 15}}},
		{130, 81, []Interval{{0, 15}}},
		{190, 60, []Interval{{4, 9}}},
		{232, 60, []Interval{{0, 13}}}, // ledge
		{260, 60, nil},
	} {
		if got := l.Map.Metal[l.Map.Locate(geom.Pt(c.x, c.y))]; !sameMetal(got, c.want) {
			t.Errorf("metal at (%v, %v) is %v, want %v", c.x, c.y, got, c.want)
		}
	}
	// The keyway outside the bore: a strip up to its floor less what of it lies in the disc (segment formulas).
	r, w := 10.0, 6.0
	half := w / 2
	want := w*(r+2) - half*math.Sqrt(r*r-half*half) - r*r*math.Asin(half/r)
	for _, c := range l.Cuts {
		if c.Kind == CutKeyway && !near(c.Region.Area(), want, 1e-12) {
			t.Errorf("keyway of %v mm², want %v", c.Region.Area(), want)
		}
	}
}

// TestHoleTables: heads and fits that the document leaves to the tables.
func TestHoleTables(t *testing.T) {
	p := rectangle(200, 120, 10, 0)
	p.Stock.Nominal, p.Stock.Finished = 20, 20
	p.Bores = []plate.Bore{{ID: 1, Name: "seat", X: 150, Y: 60, Diameter: 30, Fit: "H7"}}
	form := func(k plate.HoleKind) plate.HoleForm {
		return plate.HoleForm{Kind: k, Size: "M8", Series: plate.Medium, Side: plate.Top}
	}
	p.Circles = []plate.BoltCircle{{ID: 2, Name: "ring", X: 60, Y: 60, Diameter: 60, Angles: []float64{0, 100, 200.5}, StartDeg: 10, HoleForm: form(plate.Counterbored)}}
	p.Holes = []plate.Hole{{ID: 3, Name: "sunk", X: 60, Y: 60, HoleForm: form(plate.Countersunk)}}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	n := 0
	for _, c := range l.Cuts {
		switch c.Kind {
		case CutBore: // 30 H7 is +0.021/0 (ISO 286-2)
			if math.Abs(c.Tolerance-0.021) > 1e-12 || c.Fit != "H7" {
				t.Errorf("bore: tolerance %v, fit %q, want 0.021 of H7", c.Tolerance, c.Fit)
			}
		case CutCounterbore: // M8: 15 mm (DIN 974-1), 9 mm deep (DIN 74 form K)
			n++
			at := onCircle(geom.Pt(60, 60), 60, []float64{10, 110, 210.5}[c.Hole-1])
			if c.Diameter != 15 || c.Depth() != 9 || c.Z1 != 20 || c.Center.Dist(at) > 1e-12 {
				t.Errorf("counterbore %d: %v mm at %v, z %v to %v", c.Hole, c.Diameter, c.Center, c.Z0, c.Z1)
			}
		case CutCountersink: // M8: sharp head diameter 17.92 mm (ISO 10642); clearance 9 mm (ISO 273)
			n++
			if c.Diameter != 17.92 || c.Inner != 9 || !near(c.Depth(), 4.46, 1e-12) || c.Z1 != 20 {
				t.Errorf("countersink: %v and %v mm, z %v to %v", c.Diameter, c.Inner, c.Z0, c.Z1)
			}
			if want := math.Pi*4.46/3*(8.96*8.96+8.96*4.5+4.5*4.5) - math.Pi*4.5*4.5*4.46; !near(c.OtherVolume(), want, 1e-12) {
				t.Errorf("countersink removes %v mm³, want %v", c.OtherVolume(), want)
			}
		}
	}
	if n != 4 {
		t.Errorf("%d recesses, want 4", n)
	}
}

// TestGauss: the rule of the layers integrates powers exactly, up to the degree that 16 points can.
func TestGauss(t *testing.T) {
	s := &Sweep{Leg: 3}
	for n := range 32 {
		sum := 0.0
		for _, y := range s.Layers(false) {
			sum += math.Pow(y.Height, float64(n)) * y.Weight
		}
		if want := math.Pow(3, float64(n+1)) / float64(n+1); !near(sum, want, 1e-13) {
			t.Errorf("∫x^%d = %v, want %v", n, sum, want)
		}
	}
	area, first := 0.0, 0.0
	for _, y := range s.Layers(true) {
		area += y.Width * y.Weight
		first += y.Width * y.Height * y.Weight
	}
	// The spandrel of a quarter circle: (1 − π/4)r², centroid (10 − 3π)/(12 − 3π)·r from its sides.
	if want := (1 - math.Pi/4) * 9; !near(area, want, 1e-14) {
		t.Errorf("fillet of %v mm², want %v", area, want)
	}
	// ∫∫ z dA of the spandrel by columns: ∫ w·h dh.
	if want := (10 - 3*math.Pi) / (12 - 3*math.Pi) * 3 * (1 - math.Pi/4) * 9; !near(first, want, 1e-13) {
		t.Errorf("first moment %v, want %v", first, want)
	}
}

// TestSweepTerms compares volumes of sweeps with the geometry engine's offsets, on outlines with sharp and round corners
// that turn both ways, between lines and arcs.
func TestSweepTerms(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	tried, inexact := 0, 0
	for tried < 60 {
		var cs []plate.Corner
		n := 4 + rng.IntN(5)
		for i := range n {
			a, r := 2*math.Pi*(float64(i)+0.5*rng.Float64())/float64(n), 40+40*rng.Float64()
			c := plate.Corner{X: r * math.Cos(a), Y: r * math.Sin(a)}
			if rng.IntN(2) == 0 {
				c.Radius = 3 + 4*rng.Float64()
			}
			cs = append(cs, c)
		}
		for i := range cs {
			if next := cs[(i+1)%n]; rng.IntN(3) == 0 {
				m := geom.Pt((cs[i].X+next.X)/2, (cs[i].Y+next.Y)/2)
				m = m.Add(m.Unit().Mul(8*rng.Float64() - 4))
				cs[i].Arc, cs[i].ThroughX, cs[i].ThroughY = true, m.X, m.Y
			}
		}
		p := rectangle(200, 120, 10, 0)
		p.Outline = plate.Outline{Corners: cs, Chamfer: plate.EdgeChamfer{Top: 0.5 + 2*rng.Float64(), Bottom: 1}}
		l, err := Derive(p)
		if err != nil || codes(l)["chamfer-meets"] > 0 {
			continue // corners that do not fit
		}
		tried++
		checkInvariants(t, l)
		for i := range l.Cuts {
			c := &l.Cuts[i]
			if c.Kind != CutChamfer {
				continue
			}
			if _, _, exact := c.Sweep.Terms(); !exact {
				inexact++
			}
			want, err := bandVolume(c)
			if err != nil {
				t.Fatal(err)
			}
			if !near(c.Sweep.Volume, want, 1e-7) {
				t.Errorf("outline %+v: chamfer of %v removes %.12g mm³, by offsets %.12g", cs, c.Sweep.Leg, c.Sweep.Volume, want)
			}
		}
	}
	if inexact == 0 {
		t.Error("no outline has a sharp corner next to an arc")
	}
}

// TestChoicesSurvive: depths of single cells and inlays follow their cells through another pitch, a moved bore, a mirrored
// plate and undo; where they cannot, they rest and say so.
func TestChoicesSurvive(t *testing.T) {
	p := rectangle(300, 200, 10, 10)
	p.Grids = []plate.Grid{isogrid(1, 60, 5, 0, 150, 100)}
	p.Bores = []plate.Bore{{ID: 2, Name: "pivot", X: 60, Y: 60, Diameter: 20, Boss: 6}}
	k := pocket(3, plate.Both, 5, 4)
	k.DepthBack = 4
	at := plate.Anchor{Grid: 1, I: 0, J: 0, K: 1}
	place := plate.Anchor{X: 207, Y: 165} // in another cell
	k.Depths = []plate.CellDepth{{At: at, Depth: 7, Back: 3}, {At: place, Through: true}}
	n := insert(3, 0.3, 2)
	n.All, n.Cells = false, []plate.Anchor{at}
	p.Pockets, p.Inlays = []plate.Pocket{k}, []plate.Inlay{n}
	centre := func(p plate.Plate) geom.Point { l := newLattice(&p.Grids[0]); return l.centre(tile{at.I, at.J, at.K}) }
	check := func(what string, p plate.Plate, q geom.Point) {
		t.Helper()
		l := mustDerive(t, p)
		checkInvariants(t, l)
		i, j := l.CellAt(q, plate.Top), l.CellAt(q, plate.Bottom)
		if i < 0 || j < 0 || l.Cells[i].Depth != 7 || l.Cells[j].Depth != 3 {
			t.Fatalf("%s: cells %d and %d at %v, want one of 7 mm and one of 3 mm", what, i, j, q)
		}
		if len(l.Panels) != 2 || l.Panels[0].Cell != i || l.Panels[1].Cell != j {
			t.Errorf("%s: panels %+v, want one in cell %d and one in %d", what, l.Panels, i, j)
		}
		if w := l.CellAt(geom.Pt(p.Pockets[0].Depths[1].At.X, p.Pockets[0].Depths[1].At.Y), plate.Bottom); w < 0 || l.Cells[w].Side != plate.Through {
			t.Errorf("%s: the cell named by a place does not go through", what)
		}
		if c := codes(l); c["anchor-inactive"] != 0 {
			t.Errorf("%s: findings %v", what, c)
		}
	}
	check("as chosen", p, centre(p))
	// The depth by place, the panel by the lattice: both name the cell.
	q := p
	k2 := k
	c0 := centre(p)
	k2.Depths = []plate.CellDepth{{At: plate.Anchor{X: c0.X, Y: c0.Y}, Depth: 7, Back: 3}, k.Depths[1]}
	q.Pockets = []plate.Pocket{k2}
	check("by place and by the lattice", q, c0)
	q = p
	q.Grids = []plate.Grid{isogrid(1, 52, 5, 0, 150, 100)}
	check("another pitch", q, centre(q))
	q = p
	q.Bores = []plate.Bore{{ID: 2, Name: "pivot", X: 170, Y: 118, Diameter: 10, Boss: 3}}
	check("a bore moved into the cell", q, centre(q).Add(geom.Pt(-9, 6)))
	check("undone", p, centre(p))

	// Mirrored about x = 150: the grid maps onto itself, the lattice's cell has another name, the place moves along.
	q = p
	c := centre(p)
	l := newLattice(&p.Grids[0])
	m := l.locate(geom.Pt(300-c.X, c.Y))
	k.Depths = []plate.CellDepth{{At: plate.Anchor{Grid: 1, I: m.i, J: m.j, K: m.k}, Depth: 7, Back: 3}, {At: plate.Anchor{X: 93, Y: 165}, Through: true}}
	n.Cells = []plate.Anchor{k.Depths[0].At}
	q.Pockets, q.Inlays = []plate.Pocket{k}, []plate.Inlay{n}
	q.Bores = []plate.Bore{{ID: 2, Name: "pivot", X: 240, Y: 60, Diameter: 20, Boss: 6}}
	check("mirrored", q, geom.Pt(300-c.X, c.Y))
	a, b := mustDerive(t, p), mustDerive(t, q)
	if !near(a.Volume(), b.Volume(), 1e-12) || len(a.Cells) != len(b.Cells) {
		t.Errorf("mirrored: %v mm³ in %d cells, want %v in %d", b.Volume(), len(b.Cells), a.Volume(), len(a.Cells))
	}
	// Where the cell is gone the choice rests.
	q = p
	q.KeepOuts = []plate.KeepOut{{ID: 9, Name: "land", Bounds: []plate.Corner{{X: c.X - 60, Y: c.Y - 60}, {X: c.X + 60, Y: c.Y - 60}, {X: c.X + 60, Y: c.Y + 60}, {X: c.X - 60, Y: c.Y + 60}}}}
	l2 := mustDerive(t, q)
	checkInvariants(t, l2)
	if n := codes(l2)["anchor-inactive"]; n != 3 {
		t.Errorf("%d findings of choices that rest, want two for depths and one for the inlay", n)
	}
}

// TestKeepOutIsLand: full metal stays in a zone, and the labels call it land, ribs over it included.
func TestKeepOutIsLand(t *testing.T) {
	p := rectangle(300, 200, 10, 10)
	p.Grids = []plate.Grid{isogrid(1, 40, 5, 0, 150, 100)}
	p.KeepOuts = []plate.KeepOut{{ID: 2, Name: "label", Bounds: []plate.Corner{{X: 100, Y: 60, Radius: 5}, {X: 200, Y: 60, Radius: 5}, {X: 200, Y: 120, Radius: 5}, {X: 100, Y: 120, Radius: 5}}}}
	p.Pockets = []plate.Pocket{pocket(3, plate.Top, 8, 4)}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	zone := geom.Shape{{Outer: geom.RoundedRect(geom.Pt(100, 60), geom.Pt(200, 120), 5)}}
	for i := range l.Cuts {
		if c := &l.Cuts[i]; c.Kind == CutPocket {
			if s, err := geom.Intersection(zone, geom.Shape{c.Region}); err != nil || s.Area() > 1e-9 {
				t.Fatalf("a pocket enters the zone by %v mm² (%v)", s.Area(), err)
			}
		}
	}
	for f, o := range l.Labels.Of {
		if o < 0 || l.Labels.Shares[o].Kind == OwnLand {
			continue
		}
		if s, err := geom.Intersection(zone, geom.Shape{l.Labels.Faces[f].Region}); err != nil || s.Area() > 1e-6 {
			t.Errorf("%s holds %v mm² of the zone", l.Labels.Shares[o].Kind, s.Area())
		}
	}
	if id, kind := l.FeatureAt(geom.Pt(150, 90), 1); id != 2 || kind != HitKeepOut {
		t.Errorf("a click in the zone finds %d %q", id, kind)
	}
}

// TestFormsHit: a click finds the new forms.
func TestFormsHit(t *testing.T) {
	p := rectangle(300, 120, 10, 0)
	pivot(&p, seat(plate.Top, 40, 5))
	p.Slots = []plate.Slot{slotAt(4, 200, 60, 30, 10)}
	p.Slots[0].Boss = 6
	p.Rings = []plate.ClockedRing{{BoltCircle: plate.BoltCircle{ID: 5, Name: "ring", Bore: 3, Diameter: 70, Count: 3, HoleForm: clearance8(0, 0, 0, 0).HoleForm}, MateCount: 3}}
	p.Eccentrics = []plate.Eccentric{{ID: 6, Name: "cam", Bore: 3, E: 2, Inner: 8, LockCircle: 70, LockCount: 1, LockStart: 60, Lock: clearance8(0, 0, 0, 0).HoleForm}}
	k := drawn(7, plate.Top, 5, 4, 240, 20, 290, 100)
	k.Ledge = plate.Ledge{Width: 6, Depth: 2}
	p.Pockets = []plate.Pocket{k}
	l := mustDerive(t, p)
	lock := onCircle(geom.Pt(100, 60), 70, 60)
	for _, c := range []struct {
		q    geom.Point
		id   plate.ID
		kind HitKind
	}{
		{geom.Pt(118, 60), 3, HitBore}, // on the seat's shoulder
		{geom.Pt(135, 60), 5, HitRing},
		{lock, 6, HitEccent},
		{geom.Pt(210, 63), 4, HitSlot},
		{geom.Pt(200, 70), 4, HitSlot},   // its boss
		{geom.Pt(242, 60), 7, HitPocket}, // its ledge
		{geom.Pt(160, 100), 0, HitPlate},
	} {
		if id, kind := l.FeatureAt(c.q, 0.5); id != c.id || kind != c.kind {
			t.Errorf("FeatureAt(%v) = %d %q, want %d %q", c.q, id, kind, c.id, c.kind)
		}
	}
}

// everyForm is a plate with one of each form.
func everyForm() plate.Plate {
	p := rectangle(200, 120, 10, 0)
	pivot(&p, grooved(seat(plate.Top, 30, 5), 32, 1, 2))
	p.Bores[0].Keyway = plate.Keyway{Width: 4, Height: 2}
	p.Holes = []plate.Hole{headed(4, plate.Countersunk, 30, 30, 0, 0)}
	p.Slots = []plate.Slot{slotAt(5, 150, 30, 20, 8)}
	form := clearance8(0, 0, 0, 0).HoleForm
	p.Rings = []plate.ClockedRing{{BoltCircle: plate.BoltCircle{ID: 6, Name: "ring", Bore: 3, Diameter: 60, Angles: []float64{0, 90}, HoleForm: form}, MateCount: 2}}
	p.Eccentrics = []plate.Eccentric{{ID: 7, Name: "cam", Bore: 3, E: 2, Inner: 8, LockCircle: 80, LockCount: 2, Lock: form}}
	k := drawn(8, plate.Both, 5, 3, 120, 70, 160, 100)
	k.DepthBack, k.FloorRadius, k.Ledge, k.Depths = 4, 1, plate.Ledge{Width: 2, Depth: 2}, []plate.CellDepth{{Depth: 2}}
	o := plate.Pocket{ID: 9, Name: "pocket", Kind: plate.ObroundPocket, Side: plate.Top, Depth: 3, Radius: 3, X: 30, Y: 90, Diameter: 12, Length: 10}
	p.Pockets = []plate.Pocket{k, o}
	p.KeepOuts = []plate.KeepOut{{ID: 10, Name: "zone", Bounds: drawn(0, plate.Top, 0, 0, 170, 80, 190, 100).Bounds}}
	p.Inlays = []plate.Inlay{insert(8, 0.2, 1)}
	p.Outline.Chamfer = plate.EdgeChamfer{Top: 1, Bottom: 1}
	return p
}

// TestFormErrors: numbers that make no sense are refused with the place, whatever form has them, in bounded work.
func TestFormErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	if _, err := Derive(everyForm()); err != nil {
		t.Fatalf("the plate itself: %v", err)
	}
	refuse := func(what string, p plate.Plate) {
		t.Helper()
		_, err := Derive(p)
		var de *DeriveError
		if !errors.As(err, &de) || de.What == "" || de.Stage == "" {
			t.Errorf("%s: Derive gave %v; want a *DeriveError", what, err)
		}
	}
	// Every number of every form in turn.
	p := everyForm()
	for i, f := range numbersOf(reflect.ValueOf(&p).Elem(), "") {
		if strings.HasPrefix(f, ".Stock.Material") || strings.Contains(f, "Mate") || strings.Contains(f, "PositionDeg") || strings.Contains(f, "Inlays[0].Material") && !strings.HasSuffix(f, "Density") ||
			strings.HasSuffix(f, ".Position") || strings.Contains(f, "Machining") || strings.Contains(f, "Through") || strings.Contains(f, "Blank") || strings.Contains(f, "Finish.") ||
			strings.Contains(f, "Mirror") || strings.Contains(f, ".Kept") || strings.Contains(f, "Pockets[0].Diameter") || strings.Contains(f, "Pockets[0].Length") || strings.Contains(f, "Pockets[0].X") ||
			strings.Contains(f, "Pockets[0].Y") || strings.HasSuffix(f, "Pockets[0].AngleDeg") || strings.HasSuffix(f, "Pockets[1].DepthBack") || strings.Contains(f, "Holes[0].Diameter") || strings.Contains(f, "HoleForm.Diameter") || strings.Contains(f, "Lock.Diameter") {
			continue // no number that the forms read
		}
		for _, v := range []float64{nan, inf, -1e9} {
			q := everyForm()
			*numberAt(reflect.ValueOf(&q).Elem(), i) = v
			refuse(fmt.Sprintf("%s = %v", f, v), q)
		}
	}
	for what, edit := range map[string]func(*plate.Plate){
		"a million seats":   func(p *plate.Plate) { p.Bores[0].Seats = make([]plate.Seat, 1_000_000) },
		"a million slots":   func(p *plate.Plate) { p.Slots = make([]plate.Slot, 1_000_000) },
		"a million zones":   func(p *plate.Plate) { p.KeepOuts = make([]plate.KeepOut, 1_000_000) },
		"a million inlays":  func(p *plate.Plate) { p.Inlays = make([]plate.Inlay, 1_000_000) },
		"a million depths":  func(p *plate.Plate) { p.Pockets[0].Depths = make([]plate.CellDepth, 1_000_000) },
		"a million angles":  func(p *plate.Plate) { p.Rings[0].Angles = make([]float64, 1_000_000) },
		"a million locks":   func(p *plate.Plate) { p.Eccentrics[0].LockCount = 1_000_000 },
		"a million panels":  func(p *plate.Plate) { p.Inlays[0].All, p.Inlays[0].Cells = false, make([]plate.Anchor, 1_000_000) },
		"unknown fit":       func(p *plate.Plate) { p.Bores[0].Fit = "Q99" },
		"unknown seat fit":  func(p *plate.Plate) { p.Bores[0].Seats[0].Fit = "tight" },
		"unknown slot fit":  func(p *plate.Plate) { p.Slots[0].Fit = "7" },
		"seat of no side":   func(p *plate.Plate) { p.Bores[0].Seats[0].Side = plate.Through },
		"slot of no side":   func(p *plate.Plate) { p.Slots[0].Side = plate.Both },
		"head of no side":   func(p *plate.Plate) { p.Holes[0].Side = plate.Through },
		"head of no table":  func(p *plate.Plate) { p.Holes[0].Size = "M2" },
		"kind of pocket":    func(p *plate.Plate) { p.Pockets[0].Kind = "star" },
		"kind of hole":      func(p *plate.Plate) { p.Holes[0].Kind = "square" },
		"eccentric nowhere": func(p *plate.Plate) { p.Eccentrics[0].Bore = 99 },
		"inlay nowhere":     func(p *plate.Plate) { p.Inlays[0].Pocket = 99 },
		"pocket undrawn":    func(p *plate.Plate) { p.Pockets[0].Bounds = nil },
		"zone undrawn":      func(p *plate.Plate) { p.KeepOuts[0].Bounds = nil },
	} {
		q := everyForm()
		edit(&q)
		refuse(what, q)
	}
}

// TestAbsurdForms: whatever finite number stands in whatever form, Derive comes back with a plate or an error, and a plate
// holds what any must.
func TestAbsurdForms(t *testing.T) {
	p := everyForm()
	values := []float64{0, 1e-7, 14.999999, 1e3, 9.9e4}
	derived := 0
	for i, f := range numbersOf(reflect.ValueOf(&p).Elem(), "") {
		if strings.HasPrefix(f, ".Stock.Material") || strings.HasPrefix(f, ".Machining") {
			continue
		}
		// A value each by turns; all of them with PLATEWRIGHT_LONG=1.
		for k, v := range values {
			if !long() && k != i%len(values) {
				continue
			}
			q := everyForm()
			*numberAt(reflect.ValueOf(&q).Elem(), i) = v
			l, err := Derive(q)
			if err != nil {
				continue
			}
			derived++
			if g := l.Volume(); math.IsNaN(g) || math.IsInf(g, 0) {
				t.Errorf("%s = %v: volume %v", f, v, g)
			}
			checkEdges(t, "map", l.Map.Subdivision, func(a, b int32) bool { return false })
		}
	}
	if derived < 50 {
		t.Errorf("only %d plates were derived", derived)
	}
}

// numbersOf lists the paths of all float64 in v, in the order of numberAt.
func numbersOf(v reflect.Value, path string) []string {
	switch v.Kind() {
	case reflect.Float64:
		return []string{path}
	case reflect.Struct:
		var out []string
		for i := range v.NumField() {
			out = append(out, numbersOf(v.Field(i), path+"."+v.Type().Field(i).Name)...)
		}
		return out
	case reflect.Slice:
		var out []string
		for i := range v.Len() {
			out = append(out, numbersOf(v.Index(i), fmt.Sprintf("%s[%d]", path, i))...)
		}
		return out
	}
	return nil
}

// numberAt is the float64 number n of v.
func numberAt(v reflect.Value, n int) *float64 {
	var found *float64
	var walk func(reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			if n == 0 {
				found = v.Addr().Interface().(*float64)
			}
			n--
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		}
	}
	walk(v)
	return found
}
