package mass

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/material"
	"platewright/plate/standard"
)

// rolledWidth is the width in mm of the stock sheet that a plate is taken to be cut from, unless the plate is larger:
// 3000 × 1500 is a size held in every thickness of plate (sheet sizes of a stockholder's page). The tolerance of rolled
// stock depends on the width of the sheet as rolled, not of the plate cut from it.
const rolledWidth = 1500

// Band is how far the finished thickness may lie below and above its figure, in mm. Pocket depths count from their own
// face, so a thicker plate is heavier by its extra thickness wherever there is metal at all, floors included; windows and
// plan dimensions are taken as exact.
type Band struct {
	Minus, Plus float64
	Known       bool   // false: no table holds a tolerance for this thickness, and the band is nothing
	Basis       string // which tolerance it is
}

// thicknessBand finds the tolerance that rules the finished thickness: of the stock when both faces are as supplied, else
// the general tolerance of a machined size.
func thicknessBand(l *layout.Layout) Band {
	s := l.Plate.Stock
	if s.Top == plate.Machined || s.Bottom == plate.Machined {
		d := standard.GeneralTolerance(l.Thickness)
		if math.IsNaN(d) || d >= l.Thickness {
			return Band{Basis: fmt.Sprintf("no general tolerance for a machined thickness of %g mm in ISO 2768-1", l.Thickness)}
		}
		return Band{Minus: d, Plus: d, Known: true, Basis: "general tolerance ISO 2768-1 class m on the machined thickness"}
	}
	width := max(rolledWidth, min(l.Blank.Width(), l.Blank.Height()))
	minus, plus, source, ok := material.ThicknessTolerance(s.Nominal, width)
	if !ok || minus >= l.Thickness {
		return Band{Basis: fmt.Sprintf("no table of thickness tolerances holds stock of %g mm, %g mm wide", s.Nominal, width)}
	}
	return Band{
		Minus: minus, Plus: plus, Known: true,
		Basis: fmt.Sprintf("thickness tolerance of the stock as supplied, %s, sheet %g mm wide", source, width),
	}
}
