package material

import (
	"fmt"
	"math"
	"strings"
)

// Fatigue is how much stress an alloy stands that reverses a number of times.
type Fatigue struct {
	Cycles float64
	Mean   float64 // amplitude at which half the specimens fail, MPa: polished, unnotched, about a mean stress of 0
	Design float64 // amplitude of the design curve, MPa
	Source string
}

// The range of cycles in which fatigue strengths are given.
const leastCycles, mostCycles = 1e3, 1e8

// fatigueSource: the fit, the alloys' data behind it and the two factors were read on a public page that reprints it.
const fatigueSource = "G. T. Yahr, Fatigue design curves for 6061-T6 aluminum, Oak Ridge National Laboratory (fit and factors as reprinted, read)"

// FatigueStrength gives the fatigue strength at a number of cycles. The error says why there is none: an alloy without
// sourced data, or cycles outside 10³ to 10⁸.
//
// Held is 6061 in T6 and T651 alone: the amplitude S = 14479/√N + 96.5 MPa of fully reversed stress fits its tests, and the
// design curve is the lower of that over two, and of that at twenty times the cycles. No aluminium has a limit below which it
// lasts for ever: the constant part is no such limit.
func FatigueStrength(m Material, cycles float64) (Fatigue, error) {
	if !strings.HasSuffix(m.Alloy, "6061") || m.Temper != "T6" && m.Temper != "T651" {
		return Fatigue{}, fmt.Errorf("there are no sourced fatigue data of %s %s", m.Alloy, m.Temper)
	}
	if !(cycles >= leastCycles && cycles <= mostCycles) {
		return Fatigue{}, fmt.Errorf("the data of %s %s hold from %.0g to %.0g cycles, not at %.3g", m.Alloy, m.Temper, leastCycles, mostCycles, cycles)
	}
	fit := func(n float64) float64 { return 14479/math.Sqrt(n) + 96.5 }
	return Fatigue{Cycles: cycles, Mean: fit(cycles), Design: min(fit(cycles)/2, fit(20*cycles)), Source: fatigueSource}, nil
}
