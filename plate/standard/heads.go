package standard

import "math"

// head holds the screw heads of one thread size and what is cut for them, mm; 0 where the standard has no such screw or it
// is not held.
type head struct {
	size           string
	capD, capK     float64 // hexagon socket head cap screw, ISO 4762: dk max, k max
	boreD, boreT   float64 // counterbore: diameter (DIN 974-1 series 1, the same as DIN 74 form K), depth (DIN 74 form K)
	sunkD, sunkK   float64 // hexagon socket countersunk head screw, ISO 10642: theoretical sharp dk max, k max
	olderD, olderK float64 // the same by DIN 7991, which ISO 10642 replaced: dk nominal, k max
}

// heads was read in published copies of the standards. For the countersunk heads of M16 and M20 another page prints 9.3 and
// 11.2 mm for k; the values of ISO 10642 are held.
var heads = []head{
	{"M2", 3.8, 2, 4.3, 2.4, 0, 0, 0, 0},
	{"M2.5", 4.5, 2.5, 5, 2.9, 0, 0, 0, 0},
	{"M3", 5.5, 3, 6.5, 3.4, 6.72, 1.86, 6, 1.7},
	{"M4", 7, 4, 8, 4.6, 8.96, 2.48, 8, 2.3},
	{"M5", 8.5, 5, 10, 5.7, 11.2, 3.1, 10, 2.8},
	{"M6", 10, 6, 11, 6.8, 13.44, 3.72, 12, 3.3},
	{"M8", 13, 8, 15, 9, 17.92, 4.96, 16, 4.4},
	{"M10", 16, 10, 18, 11, 22.4, 6.2, 20, 5.5},
	{"M12", 18, 12, 20, 13, 26.88, 7.44, 24, 6.5},
	{"M14", 21, 14, 24, 15, 0, 0, 27, 7},
	{"M16", 24, 16, 26, 17.5, 33.6, 8.8, 30, 7.5},
	{"M18", 27, 18, 0, 0, 0, 0, 0, 0},
	{"M20", 30, 20, 33, 21.5, 40.32, 10.16, 36, 8.5},
	{"M24", 36, 24, 40, 25.5, 0, 0, 0, 0},
}

func headOf(size string) head {
	for _, h := range heads {
		if h.size == size {
			return h
		}
	}
	return head{}
}

// CapHead is the greatest head diameter and height in mm of a hexagon socket head cap screw by ISO 4762; ok is false for a
// size not held.
func CapHead(size string) (dia, height float64, ok bool) {
	h := headOf(size)
	return h.capD, h.capK, h.capD > 0
}

// Counterbore is the diameter (H13) and depth in mm of the counterbore that sinks the head of an ISO 4762 cap screw: the
// diameter by DIN 974-1 series 1, the depth by DIN 74 form K. Of the two published depths this is the greater and the one
// that was read; see CounterboreDIN974 for the other. ok is false for a size not held.
func Counterbore(size string) (dia, depth float64, ok bool) {
	h := headOf(size)
	return h.boreD, h.boreT, h.boreD > 0
}

// CounterboreDIN974 is the depth in mm by DIN 974-1, the head's height and an addition Z of 0.4 mm up to M6, 0.6 up to M20
// and 0.8 above (from memory), which is 0.1 to 0.9 mm less than Counterbore from M4 on. ok is false for a size not held.
func CounterboreDIN974(size string) (depth float64, ok bool) {
	h, d := headOf(size), 0.0
	if d, ok = NominalDiameter(size); !ok || h.boreD == 0 {
		return 0, false
	}
	switch {
	case d <= 6:
		return h.capK + 0.4, true
	case d <= 20:
		return h.capK + 0.6, true
	}
	return h.capK + 0.8, true
}

// Countersink is the diameter in mm at the face of a 90° countersink in which the largest head of an ISO 10642 screw (its
// theoretical sharp diameter) lies flush, and the greatest height of the head. ok is false for a size not held.
func Countersink(size string) (dia, height float64, ok bool) {
	h := headOf(size)
	return h.sunkD, h.sunkK, h.sunkD > 0
}

// CountersinkDIN7991 is the nominal head diameter and greatest height in mm of the older standard, whose heads are smaller.
// Countersink holds both. ok is false for a size not held.
func CountersinkDIN7991(size string) (dia, height float64, ok bool) {
	h := headOf(size)
	return h.olderD, h.olderK, h.olderD > 0
}

// StressArea is the tensile stress area of the coarse thread in mm² by ISO 898-1, π/4 (d − 0.9382 P)²; ok is false for a size
// not held.
func StressArea(size string) (mm2 float64, ok bool) {
	t, ok := find(size)
	if !ok {
		return 0, false
	}
	d := t.nominal - 0.9382*t.pitch
	return math.Pi / 4 * d * d, true
}

// ClearanceClass is the tolerance class of the diameter of clearance holes by ISO 273: H12 in the fine series, H13 in the
// medium, H14 in the coarse one. ok is false for another word.
func ClearanceClass(series string) (class string, ok bool) {
	switch series {
	case "fine":
		return "H12", true
	case "medium":
		return "H13", true
	case "coarse":
		return "H14", true
	}
	return "", false
}
