package dxf

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/plate"
	"platewright/plate/layout"
)

// MaxLayerName is the longest layer name that the oldest readers take.
const MaxLayerName = 31

// PlainLayer is the one layer of a file that holds geometry only.
const PlainLayer = "GEOMETRY"

// Layer is one layer of a file and what it means.
type Layer struct {
	Name     string // capitals, digits, _ and -; at most MaxLayerName characters; unique in its file
	Meaning  string // for the manifest, the drawing and people
	Color    int    // AutoCAD colour index, 1 to 255
	Contours int    // closed contours on it
}

// operation is what makes two cuts one layer: the same tool doing the same thing to the same depth.
type operation struct {
	kind      layout.CutKind
	side      plate.Side
	depth     float64 // mm, rounded; 0 where through
	diameter  float64
	tolerance float64
	thread    string
	pitch     float64
	usable    float64 // thread
}

// round6 rounds to a nanometre: documents do not go finer, and sums of them must not make two layers of one.
func round6(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func operationOf(c *layout.Cut) operation {
	op := operation{kind: c.Kind, side: c.Side}
	if c.Side != plate.Through {
		op.depth = round6(c.Depth())
	}
	switch c.Kind {
	case layout.CutBore:
		op.diameter, op.tolerance = round6(c.Diameter), round6(c.Tolerance)
	case layout.CutDrilled:
		op.diameter = round6(c.Diameter)
	case layout.CutTapped:
		op.diameter, op.thread, op.pitch = round6(c.Diameter), c.Thread, round6(c.Pitch)
		if c.Side != plate.Through {
			op.usable = round6(c.ThreadDepth)
		}
	}
	return op
}

// rank is the order of the kinds in the layer table.
var rank = map[layout.CutKind]int{
	layout.CutOutline: 0, layout.CutBore: 1, layout.CutDrilled: 2, layout.CutTapped: 3, layout.CutPocket: 4,
}

func compareOperations(a, b operation) int {
	return cmp.Or(
		cmp.Compare(rank[a.kind], rank[b.kind]),
		cmp.Compare(a.thread, b.thread), cmp.Compare(a.pitch, b.pitch), cmp.Compare(a.diameter, b.diameter),
		cmp.Compare(a.tolerance, b.tolerance), -cmp.Compare(a.side, b.side), // through, top, bottom
		cmp.Compare(a.usable, b.usable), cmp.Compare(a.depth, b.depth))
}

// name is the name that the scheme gives: the kind, its size, THRU or the face and depth.
func (op operation) name() string {
	var b strings.Builder
	switch op.kind {
	case layout.CutOutline:
		return "OUTLINE"
	case layout.CutBore:
		b.WriteString("BORE_DIA" + number(op.diameter))
		if op.tolerance > 0 {
			b.WriteString("_TOL" + number(op.tolerance))
		}
	case layout.CutDrilled:
		b.WriteString("HOLE_DIA" + number(op.diameter))
	case layout.CutTapped:
		b.WriteString("TAP_" + legal(op.thread) + "X" + short(op.pitch))
	case layout.CutPocket:
		if op.side == plate.Through {
			return "WINDOW_THRU"
		}
		b.WriteString("POCKET")
	}
	if op.side == plate.Through {
		b.WriteString("_THRU")
		return b.String()
	}
	depth := op.depth
	if op.kind == layout.CutTapped {
		depth = op.usable
	}
	b.WriteString("_" + legal(string(op.side)) + "_DEEP" + number(depth))
	return b.String()
}

// number writes a size with P for the decimal point and at least three decimals, so that depths line up and none is lost.
func number(v float64) string {
	s := strconv.FormatFloat(v, 'f', 6, 64)
	for i := 0; i < 3 && s[len(s)-1] == '0'; i++ {
		s = s[:len(s)-1]
	}
	return strings.Replace(s, ".", "P", 1)
}

// short writes a number without zeros at its end: 1P25, 2.
func short(v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", "P", 1)
}

// legal turns a word into capitals, digits, _ and -; anything else becomes -.
func legal(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' || r == '-' {
			return r
		}
		return '-'
	}, strings.ToUpper(s))
}

// meaning says in words what the layer's name abbreviates, and what did not fit into it.
func (op operation) meaning() string {
	where := "through"
	if op.side != plate.Through {
		where = fmt.Sprintf("%s mm deep from the finished %s face", decimal(op.depth), op.side)
	}
	switch op.kind {
	case layout.CutOutline:
		return "outer profile of the finished plate, through"
	case layout.CutBore:
		s := fmt.Sprintf("bore, nominal diameter %s mm, %s", decimal(op.diameter), where)
		if op.tolerance > 0 {
			s += fmt.Sprintf(", tolerance zone %s mm wide", decimal(op.tolerance))
		}
		return s
	case layout.CutDrilled:
		return fmt.Sprintf("clearance hole, diameter %s mm, %s", decimal(op.diameter), where)
	case layout.CutTapped:
		if op.side != plate.Through {
			where = fmt.Sprintf("usable thread %s mm, drilled %s mm deep to the full diameter, from the finished %s face",
				decimal(op.usable), decimal(op.depth), op.side)
		}
		return fmt.Sprintf("thread %s × %s, %s; the circle is the tap drill's, diameter %s mm",
			op.thread, decimal(op.pitch), where, decimal(op.diameter))
	}
	if op.side == plate.Through {
		return "window, through"
	}
	return "pocket, " + where
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// colors of the kinds in the AutoCAD colour index, in the order of rank; pockets from below are told from those from above.
var colors = [...]int{7, 1, 3, 4, 5}

const (
	windowColor = 2
	bottomColor = 6
)

func (op operation) color() int {
	if op.kind == layout.CutPocket && op.side == plate.Through {
		return windowColor
	}
	if op.side == plate.Bottom {
		return bottomColor
	}
	return colors[rank[op.kind]]
}

// nameLayers gives each operation its layer, in order. Where the scheme's name is too long or already taken by another
// operation, it is cut and numbered; the legend still tells them apart.
func nameLayers(ops []operation) []Layer {
	out := make([]Layer, len(ops))
	taken := map[string]bool{"0": true}
	for i, op := range ops {
		name := op.name()
		base := name
		for n := 1; len(name) > MaxLayerName || taken[name]; n++ {
			suffix := "_" + strconv.Itoa(n)
			name = base[:min(len(base), MaxLayerName-len(suffix))] + suffix
		}
		taken[name] = true
		out[i] = Layer{Name: name, Meaning: op.meaning(), Color: op.color()}
	}
	return out
}

// operations lists the different operations of cuts in the order of the layer table.
func operations(cuts []*layout.Cut) []operation {
	var ops []operation
	for _, c := range cuts {
		ops = append(ops, operationOf(c))
	}
	slices.SortFunc(ops, compareOperations)
	return slices.Compact(ops)
}
