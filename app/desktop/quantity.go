package desktop

import (
	"math"
	"strconv"
	"strings"
)

// quantity is a sort of quantity: the unit in which the document keeps it, the unit in which it is shown, and every unit that
// may be typed. The zero quantity is a plain number. A quantity is a value and is never changed.
type quantity struct {
	name     string // for sentences: "length", "angle"
	unit     string // in which it is shown and in which a number without a unit is meant; empty for a plain number
	decimals int    // shown at most
	whole    bool   // only whole numbers
	scale    float64
	units    []unit
}

// unit is one way to write a unit; value in the document's unit = number × factor.
type unit struct {
	name   string
	factor float64
}

const inch = 25.4 // mm, exact by definition

var lengthUnits = []unit{
	{"mm", 1},
	{"cm", 10},
	{"m", 1000},
	{"um", 1e-3},
	{"µm", 1e-3},
	{"in", inch},
	{"inch", inch},
	{`"`, inch},
	{"thou", inch / 1000},
	{"ft", 12 * inch},
	{"'", 12 * inch},
}

// lengthIn is kept in mm and shown in mm, or in inches where asked.
func lengthIn(inches bool) quantity {
	if inches {
		return quantity{name: "length", unit: "in", decimals: 5, scale: inch, units: lengthUnits}
	}
	return quantity{name: "length", unit: "mm", decimals: 4, scale: 1, units: lengthUnits}
}

// areaIn is kept in mm² and shown in mm², or in square inches where asked.
func areaIn(inches bool) quantity {
	us := []unit{
		{"mm²", 1}, {"mm2", 1}, {"cm²", 100}, {"cm2", 100}, {"in²", inch * inch}, {"in2", inch * inch},
	}
	if inches {
		return quantity{name: "area", unit: "in²", decimals: 5, scale: inch * inch, units: us}
	}
	return quantity{name: "area", unit: "mm²", decimals: 3, scale: 1, units: us}
}

// angle is kept and shown in degrees.
func angle() quantity {
	return quantity{name: "angle", unit: "°", decimals: 5, scale: 1, units: []unit{
		{"°", 1}, {"deg", 1}, {"rad", 180 / math.Pi},
	}}
}

// massKG is kept and shown in kg.
func massKG() quantity {
	return quantity{name: "mass", unit: "kg", decimals: 6, scale: 1, units: []unit{
		{"kg", 1}, {"g", 1e-3}, {"lb", 0.45359237},
	}}
}

// minutes are kept and shown in minutes.
func minutes() quantity {
	return quantity{name: "time", unit: "min", decimals: 3, scale: 1, units: []unit{{"min", 1}, {"s", 1.0 / 60}, {"h", 60}}}
}

// bending is the bending stiffness EI, kept in N·mm² and shown in N·m².
func bending() quantity {
	return quantity{name: "stiffness", unit: "N·m²", decimals: 3, scale: 1e6, units: []unit{
		{"N·mm²", 1}, {"Nmm2", 1}, {"Nmm²", 1}, {"N·m²", 1e6}, {"Nm2", 1e6}, {"Nm²", 1e6},
	}}
}

// stress is kept and shown in MPa.
func stress() quantity {
	return quantity{name: "stress", unit: "MPa", decimals: 3, scale: 1, units: []unit{
		{"MPa", 1}, {"GPa", 1000}, {"psi", 0.006894757293168}, {"ksi", 6.894757293168},
	}}
}

// force is kept and shown in N.
func force() quantity {
	return quantity{name: "force", unit: "N", decimals: 3, scale: 1, units: []unit{{"N", 1}, {"kN", 1000}, {"lbf", 4.4482216152605}}}
}

// moment is kept in N·mm and shown in N·m.
func moment() quantity {
	return quantity{name: "moment", unit: "N·m", decimals: 4, scale: 1000, units: []unit{
		{"N·mm", 1}, {"Nmm", 1}, {"N·m", 1000}, {"Nm", 1000},
	}}
}

// difference is a difference of temperature, kept and shown in K.
func difference() quantity {
	return quantity{name: "temperature difference", unit: "K", decimals: 3, scale: 1, units: []unit{{"K", 1}, {"°C", 1}, {"C", 1}}}
}

// only is a quantity that is written in one unit.
func only(name, u string) quantity {
	return quantity{name: name, unit: u, decimals: 4, scale: 1, units: []unit{{u, 1}}}
}

// density is kept and shown in kg/m³.
func density() quantity { return quantity{name: "density", unit: "kg/m³", decimals: 3, scale: 1} }

// count is a whole number.
func count() quantity { return quantity{name: "number", whole: true, scale: 1} }

// quantityOf is the quantity of a field by the unit that the document keeps it in.
func quantityOf(unit string, inches bool) quantity {
	switch unit {
	case "mm":
		return lengthIn(inches)
	case "mm²":
		return areaIn(inches)
	case "°":
		return angle()
	case "kg":
		return massKG()
	case "min":
		return minutes()
	case "MPa":
		return stress()
	case "kg/m³":
		return density()
	case "N·mm²":
		return bending()
	case "N":
		return force()
	case "N·mm":
		return moment()
	case "K":
		return difference()
	case "":
		return ratio()
	}
	return only("number", unit)
}

// ratio is a plain number.
func ratio() quantity { return quantity{name: "number", decimals: 4, scale: 1} }

// shown converts a value of the document into the unit that it is shown in.
func (k quantity) shown(v float64) float64 {
	if k.scale == 0 {
		return v
	}
	return v / k.scale
}

// kept converts a number in the unit shown into the document's unit.
func (k quantity) kept(shown float64) float64 {
	if k.scale == 0 {
		return shown
	}
	return shown * k.scale
}

// format writes a value of the document in the unit shown, without the unit, rounded to decimals and without needless
// zeros.
func (k quantity) format(v float64) string {
	s := strconv.FormatFloat(k.shown(v), 'f', k.decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

// formatUnit is format with the unit behind a space (degrees without one).
func (k quantity) formatUnit(v float64) string {
	switch k.unit {
	case "":
		return k.format(v)
	case "°":
		return k.format(v) + "°"
	}
	return k.format(v) + " " + k.unit
}

// limits is the set of values that a field takes, in the document's unit. The zero limits takes every finite number.
type limits struct {
	min, max float64
	set      bool   // min and max hold
	above    bool   // min itself is not allowed
	below    bool   // max itself is not allowed
	why      string // where the range comes from
}

// contains tells whether v is allowed.
func (r limits) contains(v float64) bool {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return false
	}
	return !r.set || v >= r.min && v <= r.max && !(r.above && v == r.min) && !(r.below && v == r.max)
}

// text writes the range in the unit shown, such as "1 to 500 mm"; empty for the zero limits.
func (r limits) text(k quantity) string {
	if !r.set {
		return ""
	}
	lo, hi := k.format(r.min), k.formatUnit(r.max)
	switch noTop := math.IsInf(r.max, 1); {
	case noTop && r.above:
		return "above " + k.formatUnit(r.min)
	case noTop:
		return k.formatUnit(r.min) + " or more"
	case math.IsInf(r.min, -1):
		return "up to " + hi
	case r.above && r.below:
		return "above " + lo + ", below " + hi
	case r.above:
		return "above " + lo + ", up to " + hi
	case r.below:
		return "from " + lo + ", below " + hi
	}
	return lo + " to " + hi
}
