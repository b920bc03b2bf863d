package standard

import (
	"fmt"
	"math"
	"slices"
)

// Ring is a retaining ring for bores by DIN 472 with the groove that it needs.
type Ring struct {
	Bore      float64 // nominal bore diameter d1, mm
	Thickness float64 // of the ring, s, mm
	Groove    float64 // groove diameter d2, mm
	Width     float64 // least groove width m, mm (H13)
}

// GrooveClass is the tolerance class of the groove diameter by DIN 472: H11 up to a bore of 22 mm, H12 above. That it is one
// of the two was read; where they change is from memory.
func (r Ring) GrooveClass() string {
	if r.Bore <= 22 {
		return "H11"
	}
	return "H12"
}

// WidthClass is the tolerance class of the groove width by DIN 472.
func (r Ring) WidthClass() string { return "H13" }

// rings is DIN 472, regular pattern, by bore, read in a ring maker's table. JIS B 2804 asks for the same grooves 0.05 mm
// wider; DIN 472 is held.
var rings = []Ring{
	{8, 0.8, 8.4, 0.9},
	{9, 0.8, 9.4, 0.9},
	{10, 1.0, 10.4, 1.1},
	{11, 1.0, 11.4, 1.1},
	{12, 1.0, 12.5, 1.1},
	{13, 1.0, 13.6, 1.1},
	{14, 1.0, 14.6, 1.1},
	{15, 1.0, 15.7, 1.1},
	{16, 1.0, 16.8, 1.1},
	{17, 1.0, 17.8, 1.1},
	{18, 1.0, 19, 1.1},
	{19, 1.0, 20, 1.1},
	{20, 1.0, 21, 1.1},
	{21, 1.0, 22, 1.1},
	{22, 1.0, 23, 1.1},
	{24, 1.2, 25.2, 1.3},
	{25, 1.2, 26.2, 1.3},
	{26, 1.2, 27.2, 1.3},
	{28, 1.2, 29.4, 1.3},
	{30, 1.2, 31.4, 1.3},
	{31, 1.2, 32.7, 1.3},
	{32, 1.2, 33.7, 1.3},
	{34, 1.5, 35.7, 1.6},
	{35, 1.5, 37, 1.6},
	{36, 1.5, 38, 1.6},
	{37, 1.5, 39, 1.6},
	{38, 1.5, 40, 1.6},
	{40, 1.75, 42.5, 1.85},
	{42, 1.75, 44.5, 1.85},
	{45, 1.75, 47.5, 1.85},
	{46, 1.75, 48.5, 1.85},
	{47, 1.75, 49.5, 1.85},
	{48, 1.75, 50.5, 1.85},
	{50, 2.0, 53, 2.15},
	{52, 2.0, 55, 2.15},
	{55, 2.0, 58, 2.15},
	{56, 2.0, 59, 2.15},
	{58, 2.0, 61, 2.15},
	{60, 2.0, 63, 2.15},
	{62, 2.0, 65, 2.15},
	{63, 2.0, 66, 2.15},
	{65, 2.5, 68, 2.65},
	{68, 2.5, 71, 2.65},
	{70, 2.5, 73, 2.65},
	{72, 2.5, 75, 2.65},
	{75, 2.5, 78, 2.65},
	{78, 2.5, 81, 2.65},
	{80, 2.5, 83.5, 2.65},
	{82, 2.5, 85.5, 2.65},
	{85, 3.0, 88.5, 3.15},
	{88, 3.0, 91.5, 3.15},
	{90, 3.0, 93.5, 3.15},
	{92, 3.0, 95.5, 3.15},
	{95, 3.0, 98.5, 3.15},
	{98, 3.0, 101.5, 3.15},
	{100, 3.0, 103.5, 3.15},
}

// Rings lists the retaining rings held, smallest first.
func Rings() []Ring { return slices.Clone(rings) }

// RingFor is the retaining ring of DIN 472 that is nearest to a seat diameter in mm, and whether its nominal bore is that
// diameter. A ring fits its own bore only: one that is merely near is a proposal to change the seat.
func RingFor(seat float64) (r Ring, exact bool, err error) {
	first, last := rings[0].Bore, rings[len(rings)-1].Bore
	if !(seat >= first && seat <= last) {
		return Ring{}, false, fmt.Errorf("standard: no retaining ring of DIN 472 is held for a bore of %g mm (%g to %g mm are)", seat, first, last)
	}
	near := rings[0]
	for _, c := range rings {
		if math.Abs(c.Bore-seat) < math.Abs(near.Bore-seat) {
			near = c
		}
	}
	return near, near.Bore == seat, nil
}
