package standard

import (
	"fmt"
	"slices"
)

// OuterRingLoad says how the load on a bearing's outer ring behaves, seen from the ring.
type OuterRingLoad string

// The sorts of load.
const (
	LoadStill   OuterRingLoad = "still"   // the load stands still on the outer ring: a turning shaft in a fixed plate
	LoadTurning OuterRingLoad = "turning" // the load goes round the outer ring: a wheel hub or pulley on a fixed axle
)

// SeatAdvice is a recommendation for the fit of an outer ring in its seat.
type SeatAdvice struct {
	Fits   []string // tolerance classes, the usual one first
	Why    string
	Source string
}

// SeatFit recommends the tolerance class of a seat for the load on the outer ring.
func SeatFit(load OuterRingLoad) (SeatAdvice, error) {
	const source = "ANSI/ABMA 7 as published (housing bores for metric radial bearings), which says that light-alloy housings " +
		"may need tighter fits; bearing makers' catalogues agree"
	switch load {
	case LoadStill:
		return SeatAdvice{
			Fits:   []string{"H7", "J7"},
			Why:    "the ring does not creep, so it may be pushed in by hand and move along its seat; J7 where it should not",
			Source: source,
		}, nil
	case LoadTurning:
		return SeatAdvice{
			Fits:   []string{"N7", "P7", "M7"},
			Why:    "the ring would creep and wear its seat, so it is pressed in; P7 for heavy loads or a thin boss, M7 for light loads",
			Source: source,
		}, nil
	}
	return SeatAdvice{}, fmt.Errorf("standard: the load on the outer ring is %q; say %q or %q", load, LoadStill, LoadTurning)
}

// SuitsLoad reports whether a seat of the given class is as tight as the load on the outer ring asks: under a load that
// turns, the middle of the seat's zone must lie below the middle of the ring's, so that most pairs are pressed. diameter is
// in mm.
func SuitsLoad(class string, diameter float64, load OuterRingLoad) (bool, error) {
	if _, err := SeatFit(load); err != nil {
		return false, err
	}
	seat, err := Fit(class, diameter)
	if err != nil {
		return false, err
	}
	if !seat.Hole() {
		return false, fmt.Errorf("standard: %s is a class of shafts; a seat needs one of holes, such as H7", class)
	}
	ring, err := OuterRing(diameter)
	if err != nil {
		return false, err
	}
	least, most := Clearance(seat, ring)
	if load == LoadTurning {
		return least+most < 0, nil
	}
	return most > 0 && least+most >= 0, nil
}

// ShoulderSize is what a bearing's chamfer asks of the shoulder that it stands against, mm.
type ShoulderSize struct {
	Chamfer   float64 // least chamfer of the ring, r
	Fillet    float64 // greatest fillet radius in the corner of the seat
	Height    float64 // least height of the shoulder above the seat
	LeastEver float64 // least height where the axial load is small
}

// shoulders was read in a bearing maker's table of mounting dimensions (fillet radius and shoulder height of radial
// bearings), for chamfers in use by the bearings held.
var shoulders = []ShoulderSize{
	{0.1, 0.1, 0.4, 0.4},
	{0.15, 0.15, 0.6, 0.6},
	{0.2, 0.2, 0.8, 0.8},
	{0.3, 0.3, 1.25, 1},
	{0.5, 0.5, 1.75, 1.5},
	{0.6, 0.6, 2.25, 2},
	{0.8, 0.8, 2.75, 2.5},
	{1, 1, 2.75, 2.5},
	{1.1, 1, 3.5, 3.25},
	{1.5, 1.5, 4.25, 4},
	{2, 2, 5, 4.5},
	{2.1, 2, 6, 5.5},
	{2.5, 2, 6, 5.5},
	{3, 2.5, 7, 6.5},
}

// Shoulders lists the rows held, smallest chamfer first.
func Shoulders() []ShoulderSize { return slices.Clone(shoulders) }

// Shoulder gives the shoulder for a bearing chamfer r in mm; ok is false for a chamfer that is not in the table.
func Shoulder(chamfer float64) (s ShoulderSize, ok bool) {
	i := slices.IndexFunc(shoulders, func(s ShoulderSize) bool { return s.Chamfer == chamfer })
	if i < 0 {
		return ShoulderSize{}, false
	}
	return shoulders[i], true
}

// ShoulderBore gives the range of bore diameters in mm of a shoulder that a bearing's outer ring stands against: at most so
// large that the ring is held (the least height), at least the mean of the bearing's two diameters, so that the inner ring,
// the cage and the balls turn free (common practice, no source). ok is false where the chamfer is not held or nothing is left.
func (b BearingSize) ShoulderBore() (least, most float64, ok bool) {
	s, ok := Shoulder(b.Chamfer)
	if !ok {
		return 0, 0, false
	}
	least, most = (b.Bore+b.Outer)/2, b.Outer-2*s.Height
	return least, most, least <= most
}

// Raceway is about the diameter in mm of the raceway in a ball bearing's outer ring, 0.2 (4 D + d), which stands for the inside
// of the ring in a press fit. From memory of a bearing maker's handbook.
func (b BearingSize) Raceway() float64 { return 0.2 * (4*b.Outer + b.Bore) }

// Pressed gives the tightest press of a bearing's outer ring in a seat of the given class, in a round boss of the given outside
// diameter in mm with Young's modulus in MPa and Poisson's ratio. interference is the greatest one in mm, 0 where even the
// largest ring has clearance in the smallest seat, and the stresses are then 0. The ring is of bearing steel (208 000 MPa, 0.3;
// common practice, no source).
func (b BearingSize) Pressed(class string, boss, youngs, poisson float64) (interference float64, s PressStress, err error) {
	seat, err := Fit(class, b.Outer)
	if err != nil {
		return 0, PressStress{}, err
	}
	if !seat.Hole() {
		return 0, PressStress{}, fmt.Errorf("standard: %s is a class of shafts; a seat needs one of holes, such as N7", class)
	}
	ring, err := OuterRing(b.Outer)
	if err != nil {
		return 0, PressStress{}, err
	}
	least, _ := Clearance(seat, ring)
	interference = max(0, -least)
	const steel, steelPoisson = 208_000, 0.3
	s, err = Press{
		Diameter: b.Outer, Outer: boss, Inner: b.Raceway(), Interference: interference,
		BossE: youngs, BossNu: poisson, RingE: steel, RingNu: steelPoisson,
	}.Stress()
	return interference, s, err
}
