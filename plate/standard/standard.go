// Package standard holds the tables of open standards that plates are drawn and drilled by: metric fastener holes, threads
// and screw heads, limits and fits, rolling bearings and what their seats need, retaining rings, keyways, and general
// tolerances. Lengths are millimetres, stresses MPa. Each table names its standard and where it was read, and which one is
// held where two differ; testdata/standard carries the published rows it is checked against.
//
//	d, ok := standard.ClearanceDiameter("M8", "medium") // 9, true
//	l, err := standard.Fit("H7", 42)                     // +0.025 / 0
//	l, err = l.BeforeFinish(0.01)                        // what to bore before anodising: +0.045 / +0.020
//	b, err := standard.Bearing("6004")                   // 20 × 42 × 12
package standard

import (
	"math"
	"slices"
)

// thread is one ISO metric thread of coarse pitch with what is drilled for it.
type thread struct {
	size     string
	nominal  float64 // d
	pitch    float64 // P, ISO 261:1998 table 2, coarse
	tapDrill float64 // ISO 2306:1972, coarse pitch
	fine     float64 // clearance hole, ISO 273:1979, fine series (H12)
	medium   float64 // medium series (H13)
	coarse   float64 // coarse series (H14)
}

// threads is sorted by nominal diameter. Older tables of ISO 273 print 14/15, 16/17 and 18/19 for the medium and coarse
// series of M12 to M16; the values of the 1979 edition are held. Another chart prints tap drills 10.3 for M12 and 12.1
// for M14; those of ISO 2306 are held.
var threads = []thread{
	{"M2", 2, 0.4, 1.6, 2.2, 2.4, 2.6},
	{"M2.5", 2.5, 0.45, 2.05, 2.7, 2.9, 3.1},
	{"M3", 3, 0.5, 2.5, 3.2, 3.4, 3.6},
	{"M3.5", 3.5, 0.6, 2.9, 3.7, 3.9, 4.2},
	{"M4", 4, 0.7, 3.3, 4.3, 4.5, 4.8},
	{"M5", 5, 0.8, 4.2, 5.3, 5.5, 5.8},
	{"M6", 6, 1, 5, 6.4, 6.6, 7},
	{"M7", 7, 1, 6, 7.4, 7.6, 8},
	{"M8", 8, 1.25, 6.8, 8.4, 9, 10},
	{"M10", 10, 1.5, 8.5, 10.5, 11, 12},
	{"M12", 12, 1.75, 10.2, 13, 13.5, 14.5},
	{"M14", 14, 2, 12, 15, 15.5, 16.5},
	{"M16", 16, 2, 14, 17, 17.5, 18.5},
	{"M18", 18, 2.5, 15.5, 19, 20, 21},
	{"M20", 20, 2.5, 17.5, 21, 22, 24},
	{"M22", 22, 2.5, 19.5, 23, 24, 26},
	{"M24", 24, 3, 21, 25, 26, 28},
}

func find(size string) (thread, bool) {
	i := slices.IndexFunc(threads, func(t thread) bool { return t.size == size })
	if i < 0 {
		return thread{}, false
	}
	return threads[i], true
}

// Sizes returns the thread sizes held, "M2" to "M24", smallest first.
func Sizes() []string {
	s := make([]string, len(threads))
	for i, t := range threads {
		s[i] = t.size
	}
	return s
}

// Series returns the series of ISO 273, tightest first.
func Series() []string { return []string{"fine", "medium", "coarse"} }

// NominalDiameter is the diameter d of the thread in mm; ok is false for a size not held.
func NominalDiameter(size string) (d float64, ok bool) {
	t, ok := find(size)
	return t.nominal, ok
}

// ClearanceDiameter is the diameter in mm of a clearance hole by ISO 273 in the series "fine", "medium" or "coarse"; ok is
// false for a size or series not held.
func ClearanceDiameter(size, series string) (d float64, ok bool) {
	t, ok := find(size)
	if !ok {
		return 0, false
	}
	switch series {
	case "fine":
		return t.fine, true
	case "medium":
		return t.medium, true
	case "coarse":
		return t.coarse, true
	}
	return 0, false
}

// TapDrill is the tap drill diameter by ISO 2306 and the coarse pitch by ISO 261, in mm; ok is false for a size not held.
func TapDrill(size string) (dia, pitch float64, ok bool) {
	t, ok := find(size)
	return t.tapDrill, t.pitch, ok
}

// MinorDiameter is the basic minor diameter D1 = D − 1.082532 P of the internal thread by ISO 724, in mm.
func MinorDiameter(size string) (d float64, ok bool) {
	t, ok := find(size)
	if !ok {
		return 0, false
	}
	return t.nominal - 1.082532*t.pitch, true
}

// generalMedium is ISO 2768-1:1989 table 1, class m: over, up to and including, ± value. The first range holds 0.5 too.
var generalMedium = []struct{ incl, value float64 }{
	{3, 0.1}, {6, 0.1}, {30, 0.2}, {120, 0.3}, {400, 0.5}, {1000, 0.8}, {2000, 1.2}, {4000, 2},
}

// GeneralTolerance is the ± deviation in mm that ISO 2768-1 class m (medium) permits on a linear size without a tolerance
// of its own. It is NaN outside the standard's 0.5 to 4000 mm, where the standard asks for the tolerance to be stated.
func GeneralTolerance(size float64) float64 {
	if !(size >= 0.5) {
		return math.NaN()
	}
	for _, r := range generalMedium {
		if size <= r.incl {
			return r.value
		}
	}
	return math.NaN()
}
