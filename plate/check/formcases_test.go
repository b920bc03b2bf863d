package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/shop"
	"platewright/plate/standard"
)

// seated is a plate of 25 mm with bore 2 of 34 mm and a seat for bearing 6004 (20 × 42 × 12 mm, chamfer 0.6 mm).
func seated(change func(p *plate.Plate, b *plate.Bore, s *plate.Seat, v float64)) func(*testing.T, float64) (plate.Plate, shop.Profile) {
	return thick(25, func(p *plate.Plate, v float64) {
		b := bore(2, 34, 100, 60)
		b.Seats = []plate.Seat{{Side: plate.Top, Diameter: 42, Depth: 12, Fit: "H7", Bearing: "6004", Ring: plate.RingStill}}
		p.Bores = []plate.Bore{b}
		change(p, &p.Bores[0], &p.Bores[0].Seats[0], v)
	})
}

// grooved is seated with no bearing and the groove of DIN 472 for 42 mm: 44.5 × 1.85 mm.
func grooved(change func(b *plate.Bore, s *plate.Seat, v float64)) func(*testing.T, float64) (plate.Plate, shop.Profile) {
	return seated(func(_ *plate.Plate, b *plate.Bore, s *plate.Seat, v float64) {
		s.Bearing, s.Depth, s.Groove = "", 18, plate.Groove{Diameter: 44.5, Width: 1.85, At: 4}
		change(b, s, v)
	})
}

// class is a tolerance class of the letters in the grade v.
func class(letters string, v float64) string { return fmt.Sprintf("%s%.0f", letters, v) }

// pressed sets the proof stress so that the tightest press of class S7 takes the share v of it. Lamé, by hand: at 42 mm the
// seat is −0.034/−0.059, the ring 0/−0.011 and its raceway 37.6 mm; the metal reaches 60 mm from the axis.
func pressed(p *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) {
	s.Fit, s.Ring = "S7", plate.RingTurns
	const d2, o2, i2 = 42.0 * 42, 120.0 * 120, 37.6 * 37.6
	boss, ring := (o2+d2)/(o2-d2), (d2+i2)/(d2-i2)
	q := 0.059 / (42 * (boss/70000 + (ring-0.3)/208000))
	p.Stock.Material.Proof = q * boss / v
}

func headed(kind plate.HoleKind, size string, change func(h *plate.Hole, v float64)) func(*plate.Plate, float64) {
	return func(p *plate.Plate, v float64) {
		h := clearance(2, size, 100, 60)
		h.Kind, h.Side = kind, plate.Top
		change(&h, v)
		p.Holes = []plate.Hole{h}
	}
}

func filleted(p *plate.Plate, v float64) {
	k := pocket(1, plate.Top, 8, 6, 28, 28, 100, 90)
	k.FloorRadius = v
	p.Pockets = []plate.Pocket{k}
}

func inlaid(change func(k *plate.Pocket, n *plate.Inlay, v float64)) func(*plate.Plate, float64) {
	return func(p *plate.Plate, v float64) {
		k := pocket(1, plate.Through, 0, 4, 28, 28, 100, 90)
		k.Ledge = plate.Ledge{Width: 3, Depth: 2}
		n := plate.Inlay{ID: 3, Name: "panel", Pocket: 1, All: true, Clearance: 0.2, Thickness: 2, Material: p.Stock.Material}
		change(&k, &n, v)
		p.Pockets, p.Inlays = []plate.Pocket{k}, []plate.Inlay{n}
	}
}

func ringed(change func(c *plate.ClockedRing, v float64)) func(*plate.Plate, float64) {
	return func(p *plate.Plate, v float64) {
		c := plate.ClockedRing{
			BoltCircle: plate.BoltCircle{
				ID: 2, Name: "ring", X: 100, Y: 60, Diameter: 60, Count: 6,
				HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M5", Series: plate.Medium, Side: plate.Through},
			},
			MateCount: 6, LeastBolts: 2,
		}
		change(&c, v)
		p.Rings = []plate.ClockedRing{c}
	}
}

var middle = [2]float64{100, 60}

// formBreaches are the plates for the rows on forms.
var formBreaches = []breach{
	// The middle of JS7 and of M7 at 42 mm stand 5.5 above and 7 micrometres below that of the ring.
	{"seat-loose", w, 1, 0, 2, middle, 1e-6, seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) {
		s.Ring, s.Fit = plate.RingTurns, []string{"M7", "JS7"}[int(v)]
	})},
	{"seat-tight", w, 1, 0, 2, middle, 1e-6, seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) {
		s.Fit = []string{"K7", "M7"}[int(v)]
	})},
	{"seat-coarse", w, 9, 8, 2, middle, 1e-6, seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) { s.Fit = class("H", v) })},
	{"shoulder-low", w, 1.99, 2, 2, middle, 1e-6, seated(func(_ *plate.Plate, b *plate.Bore, _ *plate.Seat, v float64) { b.Diameter = 42 - 2*v })},
	{"shoulder-low", n, 2.24, 2.25, 2, middle, 1e-6, seated(func(_ *plate.Plate, b *plate.Bore, _ *plate.Seat, v float64) { b.Diameter = 42 - 2*v })},
	{"shoulder-high", w, 30.9, 31, 2, middle, 1e-6, seated(func(_ *plate.Plate, b *plate.Bore, _ *plate.Seat, v float64) { b.Diameter = v })},
	{"shoulder-thin", w, 0.99, 1, 2, middle, 1e-6, seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) { s.Depth = 25 - v })},
	{"bearing-proud", w, 0.49, 0.5, 2, middle, 1e-6, seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) { s.Depth = 12 * v })},
	{"bearing-proud", n, 0.99, 1, 2, middle, 1e-6, seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, v float64) { s.Depth = 12 * v })},
	{"press-hoop", w, 1.001, 0.999, 2, middle, 1e-6, seated(pressed)},
	{"press-hoop", n, 0.671, 0.669, 2, middle, 1e-6, seated(pressed)},
	{"groove-no-ring", w, 43, 42, 2, middle, 1e-6, grooved(func(_ *plate.Bore, s *plate.Seat, v float64) { s.Diameter = v })},
	{"groove-diameter", w, 44.49, 44.5, 2, middle, 1e-6, grooved(func(_ *plate.Bore, s *plate.Seat, v float64) { s.Groove.Diameter = v })},
	{"groove-width", w, 1.84, 1.85, 2, middle, 1e-6, grooved(func(_ *plate.Bore, s *plate.Seat, v float64) { s.Groove.Width = v })},
	{"groove-land", w, 3.74, 3.75, 2, middle, 1e-6, grooved(func(_ *plate.Bore, s *plate.Seat, v float64) { s.Groove.At = v })},
	// The ring is 1.75 mm thick: 18 − 1.75 − 12 leave 4.25 mm.
	{"ring-blocked", e, -0.01, 0, 2, middle, 1e-6, grooved(func(_ *plate.Bore, s *plate.Seat, v float64) { s.Bearing, s.Groove.At = "6004", 4.25-v })},
	{"ring-slack", w, 0.51, 0.5, 2, middle, 1e-6, grooved(func(_ *plate.Bore, s *plate.Seat, v float64) { s.Bearing, s.Groove.At = "6004", 4.25-v })},
	// DIN 6885-1 for 30 mm: 8 mm wide, 3.3 mm into the hub.
	{"keyway-off-standard", w, 8.1, 8, 2, middle, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		b := bore(2, 30, 100, 60)
		b.Keyway = plate.Keyway{Width: v, Height: 3.3}
		p.Bores = []plate.Bore{b}
	})},
	{"fit-no-allowance", w, 0, 0.005, 2, middle, 1e-6, seated(func(p *plate.Plate, _ *plate.Bore, _ *plate.Seat, v float64) {
		p.Stock.Finish = plate.Finish{Name: "anodised", Growth: v}
	})},
	// IT7 at 42 mm is 0.025 mm; a growth that varies by a quarter either way takes as much as the growth on the diameter.
	{"finish-eats-fit", w, 0.0251, 0.0249, 2, middle, 1e-6, seated(func(p *plate.Plate, _ *plate.Bore, _ *plate.Seat, v float64) {
		p.Stock.Finish = plate.Finish{Name: "hard anodised", Growth: v}
	})},
	{"finish-eats-fit", n, 0.0126, 0.0124, 2, middle, 1e-6, seated(func(p *plate.Plate, _ *plate.Bore, _ *plate.Seat, v float64) {
		p.Stock.Finish = plate.Finish{Name: "anodised", Growth: v}
	})},
	// The allowance of M8 in class 6g is 28 micrometres (ISO 965-1, from memory), 28.75 by its formula.
	{"thread-finish", w, 0.0073, 0.0071, 2, middle, 1e-6, thick(40, func(p *plate.Plate, v float64) {
		p.Holes = []plate.Hole{tapped(2, "M8", plate.Top, 16, 100, 60)}
		p.Stock.Finish = plate.Finish{Name: "anodised", Growth: v}
	})},
	{"fit-fine", w, 5, 6, 2, middle, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Bores = []plate.Bore{bore(2, 30, 100, 60)}
		p.Bores[0].Fit = class("H", v)
	})},
	{"fit-fine", n, 6, 7, 2, middle, 1e-6, plateOf(headed(plate.Reamed, "", func(h *plate.Hole, v float64) {
		h.Series, h.Side, h.Diameter, h.Fit = "", plate.Through, 8, class("H", v)
	}))},
	// ISO 4762, M6: the head is 10 mm wide and 6 mm high.
	{"head-clash", e, 9.99, 10, 2, middle, 1e-6, plateOf(headed(plate.Counterbored, "M6", func(h *plate.Hole, v float64) { h.HeadDiameter = v }))},
	{"head-proud", n, 5.99, 6, 2, middle, 1e-6, plateOf(headed(plate.Counterbored, "M6", func(h *plate.Hole, v float64) { h.HeadDepth = v }))},
	{"head-floor-thin", w, 0.99, 1, 2, middle, 1e-6, plateOf(headed(plate.Counterbored, "M6", func(h *plate.Hole, v float64) { h.HeadDepth = 15 - v }))},
	{"head-floor-thin", n, 2.99, 3, 2, middle, 1e-6, plateOf(headed(plate.Counterbored, "M6", func(h *plate.Hole, v float64) { h.HeadDepth = 15 - v }))},
	{"sink-deep", w, 3.34, 3.33, 2, middle, 1e-6, thick(5, headed(plate.Countersunk, "M6", func(h *plate.Hole, v float64) { h.HeadDiameter = 6.6 + 2*v }))},
	{"floor-radius-large", w, 6.01, 6, 1, [2]float64{30, 30}, 3, plateOf(filleted)},
	{"floor-radius-cutter", w, 0.49, 0.5, 1, [2]float64{30, 30}, 3, plateOf(filleted)}, // the example shop has 0.5 and 1 mm
	{"floor-radius-stepped", n, 0.51, 0.5, 1, [2]float64{30, 30}, 3, plateOf(filleted)},
	{"ledge-narrow", w, 0.99, 1, 3, [2]float64{64, 59}, 1, plateOf(inlaid(func(k *plate.Pocket, n *plate.Inlay, v float64) { k.Ledge.Width = v + n.Clearance }))},
	{"inlay-tight", w, 0.09, 0.1, 3, [2]float64{64, 59}, 1, plateOf(inlaid(func(_ *plate.Pocket, n *plate.Inlay, v float64) { n.Clearance = v }))},
	{"eccentric-wall-thin", w, 1.49, 1.5, 3, middle, 1e-6, plateOf(func(p *plate.Plate, v float64) {
		p.Bores = []plate.Bore{bore(2, 40, 100, 60)}
		p.Eccentrics = []plate.Eccentric{{ID: 3, Name: "cam", Bore: 2, E: 5, Inner: 2 * (15 - v)}}
	})},
	{"clocked-few-bolts", e, 30, 60, 2, middle, 1e-6, plateOf(ringed(func(c *plate.ClockedRing, v float64) { c.WantedDeg = []float64{v} }))},
	{"clocked-off-position", w, 30, 60, 2, middle, 1e-6, plateOf(ringed(func(c *plate.ClockedRing, v float64) { c.PositionDeg = v }))},
	// gcd(6, 7) is 1, gcd(6, 8) is 2.
	{"clocked-vernier", w, 7, 8, 2, middle, 1e-6, plateOf(ringed(func(c *plate.ClockedRing, v float64) { c.MateCount, c.LeastBolts = int(v), 1 }))},
}

// elsewhere are rows whose plates stand in a test of their own, which they name.
var elsewhere = []string{"clocked-holes-meet"} // TestClockedHolesMeet

// TestClockedHolesMeet: holes of a ring that break into each other are told once, by the layout hole by hole.
func TestClockedHolesMeet(t *testing.T) {
	for _, c := range []struct {
		diameter float64 // six holes of 5.5 mm: neighbours stand half of it apart
		want     bool
	}{{10.99, true}, {11.01, false}} {
		p := blank(15)
		ringed(func(r *plate.ClockedRing, v float64) { r.Diameter = v })(&p, c.diameter)
		l := derive(t, p)
		all := append(slices.Clone(l.Findings), check.Run(l, example(t))...)
		met := slices.ContainsFunc(all, func(f finding.Finding) bool { return f.Code == "holes-overlap" })
		if met != c.want || slices.ContainsFunc(all, func(f finding.Finding) bool { return f.Code == "clocked-holes-meet" }) {
			t.Errorf("circle of %g mm: told %v once, want %v: %+v", c.diameter, met, c.want, all)
		}
		l.Findings = nil // as where the layout's list is full
		alone := slices.ContainsFunc(check.Run(l, example(t)), func(f finding.Finding) bool { return f.Code == "clocked-holes-meet" && f.Level == e })
		if alone != c.want {
			t.Errorf("circle of %g mm: told %v by the check alone, want %v", c.diameter, alone, c.want)
		}
	}
}

// TestSeatLoadAgrees: the two findings on fit and load are made when, and only when, standard.SuitsLoad says so.
func TestSeatLoadAgrees(t *testing.T) {
	told := 0
	for _, class := range standard.UsualHoles() {
		for _, load := range []plate.RingLoad{plate.RingStill, plate.RingTurns} {
			p, s := seated(func(_ *plate.Plate, _ *plate.Bore, s *plate.Seat, _ float64) { s.Fit, s.Ring = class, load })(t, 0)
			fs := check.Run(derive(t, p), s)
			got := len(of(fs, "seat-loose", w, 2))+len(of(fs, "seat-tight", w, 2)) > 0
			suits, err := standard.SuitsLoad(class, 42, standard.OuterRingLoad(load))
			if err != nil || got == suits {
				t.Errorf("%s, load %s: finding %v, suits %v (%v)", class, load, got, suits, err)
			}
			if got {
				told++
			}
		}
	}
	if told < 5 {
		t.Errorf("only %d of the pairs are told: the test tests little", told)
	}
}

// TestMasked: a feature that is kept free of the finish is not judged against it.
func TestMasked(t *testing.T) {
	p, s := seated(func(p *plate.Plate, _ *plate.Bore, _ *plate.Seat, _ float64) {
		p.Stock.Finish = plate.Finish{Name: "hard anodised", Growth: 0.03, Masked: []plate.ID{2}}
	})(t, 0)
	for _, f := range check.Run(derive(t, p), s) {
		if strings.HasPrefix(f.Code, "finish") || strings.HasPrefix(f.Code, "fit-no") {
			t.Errorf("masked: %+v", f)
		}
	}
}

// TestLigamentsOfForms: the ligament rule of 1.5 mm holds for every new form, at its own heights.
func TestLigamentsOfForms(t *testing.T) {
	slot := func(y float64) plate.Slot {
		return plate.Slot{ID: 2, Name: "slot", X: 100, Y: y, Length: 40, Width: 8, Side: plate.Through}
	}
	for _, c := range []struct {
		name string
		set  func(p *plate.Plate, v float64) // v is the ligament
	}{
		{"slot and outline", func(p *plate.Plate, v float64) { p.Slots = []plate.Slot{slot(4 + v)} }},
		{"slot and cell", func(p *plate.Plate, v float64) {
			p.Slots, p.Pockets = []plate.Slot{slot(60)}, []plate.Pocket{pocket(1, plate.Top, 6, 4, 60, 64+v, 150, 100)}
		}},
		{"slot and bore", func(p *plate.Plate, v float64) {
			p.Slots, p.Bores = []plate.Slot{slot(40)}, []plate.Bore{bore(3, 40, 100, 64+v)}
		}},
		{"slots", func(p *plate.Plate, v float64) {
			o := slot(48 + v)
			o.ID, o.Name = 3, "other"
			p.Slots = []plate.Slot{slot(40), o}
		}},
		{"reamed hole and cell", func(p *plate.Plate, v float64) {
			headed(plate.Reamed, "", func(h *plate.Hole, v float64) {
				h.Series, h.Side, h.Diameter, h.Fit, h.X = "", plate.Through, 8, "H7", 60-4-v
			})(p, v)
			p.Pockets = []plate.Pocket{pocket(1, plate.Top, 6, 4, 60, 28, 150, 90)}
		}},
		{"counterbore and cell", func(p *plate.Plate, v float64) { // 11 mm wide by DIN 974-1
			headed(plate.Counterbored, "M6", func(h *plate.Hole, v float64) { h.X = 60 - 5.5 - v })(p, v)
			p.Pockets = []plate.Pocket{pocket(1, plate.Top, 6, 4, 60, 28, 150, 90)}
		}},
		{"countersink and cell", func(p *plate.Plate, v float64) { // 13.44 mm at the face by ISO 10642
			headed(plate.Countersunk, "M6", func(h *plate.Hole, v float64) { h.X = 60 - 6.72 - v })(p, v)
			p.Pockets = []plate.Pocket{pocket(1, plate.Top, 6, 4, 60, 28, 150, 90)}
		}},
		{"groove and outline", func(p *plate.Plate, v float64) {
			b := bore(2, 34, 100, 22.25+v)
			b.Seats = []plate.Seat{{Side: plate.Top, Diameter: 42, Depth: 8, Groove: plate.Groove{Diameter: 44.5, Width: 1.85, At: 4}}}
			p.Bores = []plate.Bore{b}
		}},
		{"keyway and outline", func(p *plate.Plate, v float64) {
			b := bore(2, 30, 100, 18.3+v)
			b.Keyway = plate.Keyway{Width: 8, Height: 3.3, AngleDeg: 270}
			p.Bores = []plate.Bore{b}
		}},
	} {
		for v, want := range map[float64]int{1.49: 1, 1.5: 0} {
			p := blank(15)
			c.set(&p, v)
			got := 0
			for _, f := range check.Run(derive(t, p), example(t)) {
				if f.Code == "ligament-thin" {
					got++
				}
			}
			if got != want {
				t.Errorf("%s at %g mm: %d findings, want %d", c.name, v, got, want)
			}
		}
	}
}

// TestSeatWall: the wall round a seat is judged from the seat, not from its narrower bore.
func TestSeatWall(t *testing.T) {
	for v, want := range map[float64]int{4.99: 1, 5: 0} {
		p := blank(15)
		b := bore(2, 30, 100, 20+v)
		b.Seats = []plate.Seat{{Side: plate.Top, Diameter: 40, Depth: 8}}
		p.Bores = []plate.Bore{b}
		if got := of(check.Run(derive(t, p), example(t)), "bore-wall", w, 2); len(got) != want {
			t.Errorf("seat %g mm from the outline: %+v, want %d", v, got, want)
		}
	}
}

// TestSlotCutters: a slot takes a cutter as wide as itself, and one that reaches.
func TestSlotCutters(t *testing.T) {
	for _, c := range []struct {
		code         string
		width, reach float64
		want         int
	}{
		{"corner-radius", 9.99, 30, 1},
		{"corner-radius", 10, 30, 0},
		{"cutter-reach", 12, 14.9, 1},
		{"cutter-reach", 12, 15.5, 0},
	} {
		p := blank(15)
		p.Slots = []plate.Slot{{ID: 2, Name: "slot", X: 100, Y: 60, Length: 40, Width: c.width, Side: plate.Through}}
		s := oneMill(t, 10, c.reach)
		s.Practice.BreakThrough.Value = 0.5
		if got := of(check.Run(derive(t, p), s), c.code, e, 2); len(got) != c.want {
			t.Errorf("slot of %g mm, reach %g mm: %+v, want %d %s", c.width, c.reach, got, c.want, c.code)
		}
	}
}

// TestOneSidedForms: seats, counterbores, slots and ledges count as metal taken off their side.
func TestOneSidedForms(t *testing.T) {
	for _, side := range []plate.Side{plate.Top, plate.Bottom} {
		p := blank(15)
		p.Stock.Material.Temper = "T6"
		p.Slots = []plate.Slot{{ID: 2, Name: "slot", X: 100, Y: 60, Length: 90, Width: 60, Side: side, Depth: 9}}
		got := of(check.Run(derive(t, p), example(t)), "one-sided-removal", w, 0)
		if len(got) != 1 { // (90·60 + π·30²)·9 mm³ of 23657·15
			t.Errorf("blind slot from the %s: %+v, want one finding", side, got)
		}
	}
}

// TestOtherMachine: a plate that the second machine holds is not too large.
func TestOtherMachine(t *testing.T) {
	s := oneMill(t, 10, 40)
	s.Machine.Travel = [3]float64{100, 100, 100}
	s.Others = nil
	l := derive(t, blank(15))
	if got := of(check.Run(l, s), "machine-travel", e, 0); len(got) != 1 {
		t.Errorf("one small machine: %+v", got)
	}
	big := s.Machine
	big.Travel = [3]float64{300, 200, 100}
	s.Others = []shop.Machine{big}
	if got := of(check.Run(l, s), "machine-travel", e, 0); len(got) != 0 {
		t.Errorf("with a larger one: %+v", got)
	}
}
