package scene

import (
	"math"
	"strconv"
)

// Unit is the unit in which lengths are shown. The document stays in millimetres.
type Unit int8

// The units.
const (
	Millimetres Unit = iota
	Inches
)

// mmPerInch is exact by definition (International yard and pound agreement of 1959).
const mmPerInch = 25.4

// Symbol is the unit's sign.
func (u Unit) Symbol() string {
	if u == Inches {
		return "in"
	}
	return "mm"
}

// Length formats a length given in mm, without its unit: at least one decimal in millimetres and at most three, three to
// four in inches.
func (u Unit) Length(mm float64) string {
	least, most, v := 1, 3, mm
	if u == Inches {
		least, most, v = 3, 4, mm/mmPerInch
	}
	return string(appendDecimal(nil, v, least, most))
}

// appendDecimal writes a number with at least and at most so many decimals, never as −0. What is not a number is written
// as a dash.
func appendDecimal(b []byte, v float64, least, most int) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, '-')
	}
	from := len(b)
	b = strconv.AppendFloat(b, v, 'f', most, 64)
	if most > 0 {
		keep := len(b) - most + least
		for len(b) > keep && b[len(b)-1] == '0' {
			b = b[:len(b)-1]
		}
		if b[len(b)-1] == '.' {
			b = b[:len(b)-1]
		}
	}
	if b[from] == '-' && allZero(b[from+1:]) {
		b = append(b[:from], b[from+1:]...)
	}
	return b
}

func allZero(b []byte) bool {
	for _, c := range b {
		if c != '0' && c != '.' {
			return false
		}
	}
	return true
}
