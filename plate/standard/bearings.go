package standard

import (
	"fmt"
	"slices"
)

// BearingKind is the sort of a rolling bearing.
type BearingKind string

// The kinds of bearing held.
const (
	DeepGroove BearingKind = "deep groove ball"        // ISO 15
	DrawnCup   BearingKind = "drawn cup needle roller" // ISO 3245, open ends
)

// BearingSize holds the boundary dimensions of a rolling bearing, mm.
type BearingSize struct {
	Kind    BearingKind
	Name    string  // designation, such as "6004"
	Also    string  // a second designation in use, such as "61804" for 6804; empty for none
	Bore    float64 // d
	Outer   float64 // D: the seat in a plate
	Width   float64 // B (C of a drawn cup)
	Chamfer float64 // least chamfer of the rings r; 0 where it is not held
}

// Bearings lists the bearings held: deep groove ball bearings, then drawn cups.
func Bearings() []BearingSize { return slices.Clone(bearings) }

// Bearing gives the boundary dimensions of a bearing by its designation, such as "6004" or "HK2016".
func Bearing(name string) (BearingSize, error) {
	for _, b := range bearings {
		if name != "" && (b.Name == name || b.Also == name) {
			return b, nil
		}
	}
	return BearingSize{}, fmt.Errorf("standard: the bearing %q is not held; give the designation without seals and clearance "+
		"(6004, not 6004-2RS C3), or enter the seat's size", name)
}

// BearingsFor lists the bearings with the given outside diameter in mm, those that fit a seat of that size.
func BearingsFor(seat float64) []BearingSize {
	var fit []BearingSize
	for _, b := range bearings {
		if b.Outer == seat {
			fit = append(fit, b)
		}
	}
	return fit
}

// outerRing is the tolerance of the mean outside diameter of radial ball bearings of class Normal by ISO 492: 0 to −value
// micrometres for diameters up to each end, mm. Read in a bearing maker's table of housing fits for 6 to 500 mm; the
// value of the first step is held below 6 mm from memory.
var outerRing = []struct{ incl, value float64 }{
	{18, 8}, {30, 9}, {50, 11}, {80, 13}, {120, 15}, {150, 18}, {180, 25}, {250, 30}, {315, 35}, {400, 40}, {500, 45},
}

// OuterRing gives the limits of a bearing's outside diameter in mm (class Normal of ISO 492), as a shaft in its seat.
func OuterRing(diameter float64) (Limits, error) {
	if err := checkSize(diameter); err != nil {
		return Limits{}, err
	}
	for _, r := range outerRing {
		if diameter <= r.incl {
			return Limits{Class: "outer ring", Nominal: diameter, Lower: -r.value / 1000, IT: r.value / 1000}, nil
		}
	}
	return Limits{}, checkSize(MaxFitSize + 1)
}
