package check

import "math"

// Partial factors on strength. EN 1999-1-1, 6.1.3 and 8.1.1 recommend the first three (from memory); the others stand in
// EN 1993-1-8, 2.2 (read): at the limit loads of service, and at ultimate loads.
const (
	factorYield     = 1.1  // γM1, on proof stress
	factorRupture   = 1.25 // γM2, on ultimate strength and on fasteners
	factorSlip      = 1.1  // γM3,ser
	factorSlipUltim = 1.25 // γM3
)

// BoltBearing is a fastener that presses on the wall of its hole. Lengths mm.
type BoltBearing struct {
	Diameter  float64 // of the fastener, d
	Hole      float64 // of the hole, d0
	Thickness float64 // of the metal that it presses on
	Ahead     float64 // e1: from the hole's centre to the edge that the force points at
	Beside    float64 // e2: from the centre to the nearer edge across the force
	// The edge ahead or beside is that of another hole, whose centre is this far and half the hole further: p1 or p2.
	AheadHole, BesideHole bool
	Slot                  bool // across the force
}

// Resistance is the force in N that a plate of ultimate strength fu in MPa bears: k1·αb·fu·d·t/γM2 with αb the least of
// e1/3d0, p1/3d0 − ¼ and 1, and k1 that of 2.8·e2/d0 − 1.7, 1.4·p2/d0 − 1.7 and 2.5 (EN 1993-1-8 table 3.4, read;
// EN 1999-1-1 table 8.5 has the same, from memory), the fastener being at least as strong as the plate. A slot across the
// force bears 0.6 of it (the table's note, from memory). It is 0 where the hole is too near an edge.
func (b BoltBearing) Resistance(fu float64) float64 {
	ahead := b.Ahead / (3 * b.Hole)
	if b.AheadHole {
		ahead = (b.Ahead+b.Hole/2)/(3*b.Hole) - 0.25
	}
	beside := 2.8*b.Beside/b.Hole - 1.7
	if b.BesideHole {
		beside = 1.4*(b.Beside+b.Hole/2)/b.Hole - 1.7
	}
	f := max(0, min(beside, 2.5)) * max(0, min(ahead, 1)) * fu * b.Diameter * b.Thickness / factorRupture
	if b.Slot {
		f *= 0.6
	}
	return f
}

// pinBearing is the force in N that a wall of proof stress fo bears under a pin: 1.5·t·d·fo/γM1 (EN 1993-1-8 table 3.10, read,
// with the factor of EN 1999-1-1).
func pinBearing(t, d, fo float64) float64 { return 1.5 * t * d * fo / factorYield }

// PinEnd is the force in N at which the metal round a pin's hole of diameter d0 mm reaches the rule for pins, with a mm of
// metal of thickness t mm ahead of the hole and c mm on each side: a ≥ F·γ/(2·t·fo) + 2·d0/3 and c ≥ F·γ/(2·t·fo) + d0/3
// (EN 1993-1-8 table 3.9, read, with the factor of EN 1999-1-1). It is 0 or less where the rule does not reach.
func PinEnd(a, c, d0, t, fo float64) float64 {
	return 2 * t * fo / factorYield * min(a-2*d0/3, c-d0/3)
}

// netTension is the force in N that a net section of so many mm² holds: 0.9·A·fu/γM2 (EN 1999-1-1, 6.2.3, from memory;
// EN 1993-1-1, 6.2.3 has the same).
func netTension(area, fu float64) float64 { return 0.9 * area * fu / factorRupture }

// shearOut is the force in N that two planes of so many mm² in all hold: A·fo/(√3·γM1) (block tearing without its part in
// tension, EN 1999-1-1, 8.5.2.2, from memory).
func shearOut(area, fo float64) float64 { return area * fo / (math.Sqrt(3) * factorYield) }

// Punching is the force in N along its axis at which a head or washer of diameter dm mm pulls through a plate t mm thick of
// ultimate strength fu in MPa: 0.6·π·dm·t·fu/γM2 (EN 1993-1-8 table 3.4, read).
func Punching(dm, t, fu float64) float64 { return punchingAlong(math.Pi*dm, t, fu) }

// punchingAlong is the same for any contour of length u mm.
func punchingAlong(u, t, fu float64) float64 { return 0.6 * u * t * fu / factorRupture }

// Slip is the force in N across its axis at which one bolt of a clamped joint slips: faces·μ·(preload − 0.8·tension)/γM3
// (EN 1993-1-8, 3.9.1 and 3.9.2, read), γM3 being 1.1 for a limit load and 1.25 for an ultimate one.
func Slip(preload, tension, friction float64, faces int, ultimate bool) float64 {
	factor := factorSlip
	if ultimate {
		factor = factorSlipUltim
	}
	return float64(faces) * friction * max(0, preload-0.8*max(0, tension)) / factor
}

// ThreadShearArea is the area in mm² at which the thread of a tapped hole shears off along the crests of the screw:
// π·d·L/P·(P/2 + (d − D2)/√3), with the screw's least major diameter d, the hole's greatest pitch diameter D2, pitch P and
// length L of full engagement, mm (FED-STD-H28/2, as machine-design texts print it; two worked examples in the tests).
func ThreadShearArea(d, d2, pitch, length float64) float64 {
	return math.Pi * d * length / pitch * (pitch/2 + (d-d2)/math.Sqrt(3))
}

// threadLimits are the least major diameter of a screw 6g and the greatest pitch diameter of a hole 6H, mm: ISO 965-1's
// formulas for the zones (from memory), unrounded, which is within 0.01 mm of its tables.
func threadLimits(d, pitch float64) (major, pitchDiameter float64) {
	const µm = 1e-3
	major = d - µm*(15+11*pitch) - µm*(180*math.Pow(pitch, 2./3)-3.15/math.Sqrt(pitch))
	zone := 1.32 * 90 * math.Pow(pitch, 0.4) * math.Pow(d, 0.1)
	return major, d - 0.649519*pitch + µm*zone
}

// shearShare is the shear strength of wrought aluminium as a share of its ultimate strength (common practice, no source; the
// rules for bolts and punching use the same).
const shearShare = 0.6

// threadStrips is the force in N at which the thread of a hole strips in metal of ultimate strength fu, MPa. Of the usable
// thread 0.8 pitches are lost at its ends (VDI 2230-1, from memory).
func threadStrips(d, pitch, usable, fu float64) float64 {
	major, d2 := threadLimits(d, pitch)
	return ThreadShearArea(major, d2, pitch, max(0, usable-0.8*pitch)) * shearShare * fu / factorRupture
}

// floorStands is the compressive stress in MPa that a floor stands: its elastic buckling stress up to half the proof stress,
// then Johnson's parabola, fo·(1 − fo/4σ), which no buckling stress takes beyond the proof stress (any text on columns, e.g.
// Shigley, from memory).
func floorStands(elastic, fo float64) float64 {
	if !(fo > 0) || elastic <= fo/2 {
		return elastic
	}
	return fo * (1 - fo/(4*elastic))
}

// FloorBuckling is a compressive stress, in MPa, below which a floor of thickness t mm does not buckle whose largest circle
// has the radius r mm: π²·E·t²/(12·(1 − ν²)·(2r)²), that of a long strip of that width, simply supported and pressed across
// (Euler; S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, from memory). No convex floor pressed alike all
// round buckles earlier, since the first frequency number of a membrane is at least (π/2r)² (J. Hersch, 1960, from memory);
// and edges that ribs hold make it up to four times as much.
func FloorBuckling(r, t, young, poisson float64) float64 {
	return math.Pi * math.Pi * young * t * t / (12 * (1 - poisson*poisson) * 4 * r * r)
}
