package report

import (
	"math"
	"strconv"
	"strings"
)

// Figures are printed with as many digits as they deserve: four significant ones for geometry, which is exact, and two for
// minutes, which are an estimate.

// round4 writes v with four significant digits.
func round4(v float64) string { return significant(v, 4) }

// round2 writes v with two significant digits.
func round2(v float64) string { return significant(v, 2) }

// mostDecimals is how far behind the point a column of a table goes: hundredths of a minute, of a metre, of a cm³.
const mostDecimals = 2

// column4 and column2 are round4 and round2 for the columns of a table, where small figures end at hundredths.
func column4(v float64) string { return column(v, 4) }
func column2(v float64) string { return column(v, 2) }

func column(v float64, digits int) string {
	s := significant(v, digits)
	if _, frac, _ := strings.Cut(s, "."); len(frac) > mostDecimals {
		return fixed(v, mostDecimals)
	}
	return s
}

// significant writes v with the given number of significant digits, never with an exponent, thousands apart.
func significant(v float64, digits int) string {
	if v == 0 {
		return "0"
	}
	// Round first: the number of decimals depends on the rounded value (9.996 is 10.00 at four digits).
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return strconv.FormatFloat(v, 'g', digits, 64)
	}
	decimals := max(0, digits-1-int(math.Floor(math.Log10(math.Abs(rounded))+1e-12)))
	return group(strconv.FormatFloat(rounded, 'f', decimals, 64))
}

// fixed writes v with the given number of decimals, thousands apart, and without the sign of a zero.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return group(s)
}

// plain writes a number as the document gave it.
func plain(v float64) string { return group(strconv.FormatFloat(v, 'f', -1, 64)) }

// group sets the thousands of the whole part apart by spaces, from five digits on.
func group(s string) string {
	whole, frac, _ := strings.Cut(s, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	if len(whole) < 5 {
		return s
	}
	var b strings.Builder
	b.WriteString(sign)
	for i, d := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(d)
	}
	if frac != "" {
		b.WriteString("." + frac)
	}
	return b.String()
}

// withUnit puts a unit behind a number; a ratio has none.
func withUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// readable turns a figure into the unit in which people read it: volumes in cm³ and stiffness in N·m², which
// keeps large figures short. Other units stay.
func readable(v float64, unit string) (float64, string) {
	switch unit {
	case "mm³":
		return v / 1e3, "cm³"
	case "N·mm²":
		return v / 1e6, "N·m²"
	}
	return v, unit
}
