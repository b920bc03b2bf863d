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
	depth     float64 // of its far end below the face that it is cut from, mm, rounded; 0 where through
	start     float64 // of its near end below that face: of grooves, and of floors below a ledge; 0 else
	diameter  float64
	tolerance float64
	fit       string
	thread    string
	pitch     float64
	usable    float64 // thread
	floor     float64 // radius of the fillet between floor and wall
}

// round6 rounds to a nanometre: documents do not go finer, and sums of them must not make two layers of one.
func round6(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// operationOf is the operation of a cut in a plate of thickness t.
func operationOf(c *layout.Cut, t float64) operation {
	op := operation{kind: c.Kind, side: c.Side, fit: c.Fit}
	switch c.Side {
	case plate.Top:
		op.start, op.depth = round6(t-c.Z1), round6(t-c.Z0)
	case plate.Bottom:
		op.start, op.depth = round6(c.Z0), round6(c.Z1)
	}
	switch c.Kind {
	case layout.CutBore, layout.CutSeat, layout.CutReamed:
		op.diameter, op.tolerance = round6(c.Diameter), round6(c.Tolerance)
	case layout.CutDrilled, layout.CutGroove, layout.CutCounterbore, layout.CutCountersink:
		op.diameter = round6(c.Diameter)
	case layout.CutTapped:
		op.diameter, op.thread, op.pitch = round6(c.Diameter), c.Thread, round6(c.Pitch)
		if c.Side != plate.Through {
			op.usable = round6(c.ThreadDepth)
		}
	}
	switch c.Kind {
	case layout.CutGroove: // lies below its face
	case layout.CutCountersink: // its depth follows from its two diameters
		op.start, op.depth = 0, 0
	default:
		op.start = 0
	}
	return op
}

// kinds are the kinds of cut that have layers, in the order of the layer table, each with how its layer is named, what it
// is called, and its colour in the AutoCAD colour index.
var kinds = []struct {
	kind  layout.CutKind
	name  string
	words string
	color int
}{
	{layout.CutOutline, "OUTLINE", "outer profile of the finished plate", 7},
	{layout.CutBore, "BORE", "bore, nominal diameter", 1},
	{layout.CutSeat, "SEAT", "seat, nominal diameter", 1},
	{layout.CutGroove, "GROOVE", "retaining-ring groove, diameter", 30},
	{layout.CutKeyway, "KEYWAY", "keyway", 30},
	{layout.CutReamed, "REAM", "dowel hole, nominal diameter", 3},
	{layout.CutDrilled, "HOLE", "clearance hole, diameter", 3},
	{layout.CutCounterbore, "CBORE", "counterbore, diameter", 3},
	{layout.CutCountersink, "CSINK", "countersink 90°, diameter at the face", 3},
	{layout.CutTapped, "TAP", "", 4},
	{layout.CutSlot, "SLOT", "slot", 4},
	{layout.CutLedge, "LEDGE", "ledge of a pocket", 5},
	{layout.CutPocket, "POCKET", "pocket", 5},
}

// rank is the place of a kind in the layer table; -1 has no layer.
func rank(k layout.CutKind) int {
	for i := range kinds {
		if kinds[i].kind == k {
			return i
		}
	}
	return -1
}

func compareOperations(a, b operation) int {
	return cmp.Or(
		cmp.Compare(rank(a.kind), rank(b.kind)),
		cmp.Compare(a.thread, b.thread), cmp.Compare(a.pitch, b.pitch), cmp.Compare(a.diameter, b.diameter),
		cmp.Compare(a.fit, b.fit), cmp.Compare(a.tolerance, b.tolerance), -cmp.Compare(a.side, b.side), // through, top, bottom
		cmp.Compare(a.usable, b.usable), cmp.Compare(a.depth, b.depth), cmp.Compare(a.start, b.start), cmp.Compare(a.floor, b.floor))
}

// name is the name that the scheme gives: the kind, its size, THRU or the face and depth.
func (op operation) name() string {
	if op.kind == layout.CutOutline {
		return "OUTLINE"
	}
	if op.kind == layout.CutPocket && op.side == plate.Through {
		return "WINDOW_THRU"
	}
	var b strings.Builder
	b.WriteString(kinds[rank(op.kind)].name)
	switch {
	case op.thread != "":
		b.WriteString("_" + legal(op.thread) + "X" + short(op.pitch))
	case op.diameter > 0:
		b.WriteString("_DIA" + number(op.diameter))
	}
	switch {
	case op.fit != "":
		b.WriteString("_" + legal(op.fit))
	case op.tolerance > 0:
		b.WriteString("_TOL" + number(op.tolerance))
	}
	if op.side == plate.Through {
		b.WriteString("_THRU")
		return b.String()
	}
	b.WriteString("_" + legal(string(op.side)))
	switch op.kind {
	case layout.CutCountersink: // the cone's depth follows from its diameters
	case layout.CutGroove:
		b.WriteString("_AT" + number(op.start))
	case layout.CutTapped:
		b.WriteString("_DEEP" + number(op.usable))
	default:
		b.WriteString("_DEEP" + number(op.depth))
	}
	if op.floor > 0 { // another cutter than a sharp floor
		b.WriteString("_R" + short(op.floor))
	}
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
	s := kinds[rank(op.kind)].words
	if op.kind == layout.CutTapped {
		return op.threadMeaning()
	}
	if op.kind == layout.CutPocket && op.side == plate.Through {
		s = "window"
	}
	if op.diameter > 0 {
		s += " " + decimal(op.diameter) + " mm"
	}
	s += ", " + op.where()
	switch {
	case op.fit != "":
		s += ", fit " + op.fit
	case op.tolerance > 0:
		s += fmt.Sprintf(", tolerance zone %s mm wide", decimal(op.tolerance))
	}
	if op.floor > 0 {
		s += fmt.Sprintf(", floor radius %s mm", decimal(op.floor))
	}
	return s
}

func (op operation) where() string {
	switch {
	case op.side == plate.Through:
		return "through"
	case op.kind == layout.CutCountersink:
		return fmt.Sprintf("from the finished %s face", op.side)
	case op.kind == layout.CutGroove:
		return fmt.Sprintf("%s mm wide, its near wall %s mm below the finished %s face", decimal(round6(op.depth-op.start)), decimal(op.start), op.side)
	}
	return fmt.Sprintf("%s mm deep from the finished %s face", decimal(op.depth), op.side)
}

func (op operation) threadMeaning() string {
	where := "through"
	if op.side != plate.Through {
		where = fmt.Sprintf("usable thread %s mm, drilled %s mm deep to the full diameter, from the finished %s face",
			decimal(op.usable), decimal(op.depth), op.side)
	}
	return fmt.Sprintf("thread %s × %s, %s; the circle is the tap drill's, diameter %s mm",
		op.thread, decimal(op.pitch), where, decimal(op.diameter))
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// The colours that tell windows from pockets, and what is cut from below from what is cut from above.
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
	return kinds[rank(op.kind)].color
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

// operations lists the operations of cuts, each with the floor radius that its cell is left with, and the different ones
// in the order of the layer table.
func operations(cuts []*layout.Cut, l *layout.Layout) (of, different []operation) {
	floors := map[int]float64{}
	for _, c := range l.Cuts {
		if c.Kind == layout.CutFillet && c.Sweep != nil {
			floors[c.Cell] = round6(c.Sweep.Leg)
		}
	}
	for _, c := range cuts {
		op := operationOf(c, l.Thickness)
		if c.Kind == layout.CutPocket && c.Side != plate.Through {
			op.floor = floors[c.Cell]
		}
		of = append(of, op)
	}
	different = slices.Clone(of)
	slices.SortFunc(different, compareOperations)
	return of, slices.Compact(different)
}
