package scene

import (
	"image/color"
	"math"
)

// Canvas is what the painter draws on, in device-independent pixels, x right, y down. Later calls cover earlier ones. A
// canvas does not keep the path or the slices that it is handed.
type Canvas interface {
	// Size is the width and height of the drawing.
	Size() (w, h float64)
	// Fill fills the inside of a path by the even-odd rule. Open subpaths are closed.
	Fill(p *Path, ink Ink)
	// Stroke draws along a path.
	Stroke(p *Path, s Stroke)
	// Text draws one line of text at (x, y).
	Text(x, y float64, text string, s TextStyle)
}

var (
	_ Canvas = (*Raster)(nil)
	_ Canvas = (*SVG)(nil)
	_ Canvas = (*Recorder)(nil)
)

// Ink is what a fill is made of: an opaque colour, and up to two hatches over it. With a Color of alpha 0 only the hatches
// are drawn.
type Ink struct {
	Color   color.RGBA
	Hatches [2]Hatch
}

// Hatch is a set of parallel lines at 45°. The zero Hatch is none.
type Hatch struct {
	Pitch   float64 // distance of the lines along x, px; 0 for no hatch. A raster rounds it to whole device pixels
	Width   float64 // of a line, px
	Falling bool    // false rises to the right, like /; true falls, like \
	X, Y    float64 // a point that one of the lines runs through, so that the hatch moves with the metal
	Color   color.RGBA
}

// Stroke is how a line is drawn: opaque, with mitred joins and cut-off ends.
type Stroke struct {
	Width float64   // px
	Dash  []float64 // lengths drawn and left out in turn, px; nil for a solid line
	Color color.RGBA
	Crisp bool // level and upright lines are moved to the pixel grid, for hairlines that do not move with the plate
}

// Align says which part of a text stands at its point.
type Align int8

// The ways to align.
const (
	Start Align = iota
	Middle
	End
)

// TextStyle is how a text is drawn, in the Go typeface, whose figures all have one width.
type TextStyle struct {
	Size  float64 // of the letters' body, px
	Bold  bool    // the medium weight
	Align Align   // along the line; the point is on the base line
	Up    bool    // turned to run upwards, as dimensions beside upright lines do
	Color color.RGBA
}

type segKind uint8

const (
	segMove segKind = iota
	segLine
	segArc
	segClose
)

// seg is one step of a path. Sweep is the signed angle of an arc, positive from x to y, which on a canvas is clockwise.
type seg struct {
	kind      segKind
	x, y      float64
	cx, cy, r float64
	sweep     float64
}

// Path is a chain of lines and circular arcs in canvas pixels. The zero Path is empty and ready to use.
type Path struct {
	segs   []seg
	sx, sy float64 // start of the open subpath
	x, y   float64 // where the pen is
}

// Reset empties the path and keeps its memory.
func (p *Path) Reset() { p.segs = p.segs[:0] }

// Empty reports whether the path has no steps.
func (p *Path) Empty() bool { return len(p.segs) == 0 }

// MoveTo starts a new subpath.
func (p *Path) MoveTo(x, y float64) {
	p.segs = append(p.segs, seg{kind: segMove, x: x, y: y})
	p.sx, p.sy, p.x, p.y = x, y, x, y
}

// LineTo adds a straight line.
func (p *Path) LineTo(x, y float64) {
	p.segs = append(p.segs, seg{kind: segLine, x: x, y: y})
	p.x, p.y = x, y
}

// ArcTo adds the arc from where the pen is to (x, y) about (cx, cy), through the signed angle sweep in radians, positive
// from the x axis towards the y axis. |sweep| is at most 2π.
func (p *Path) ArcTo(cx, cy, sweep, x, y float64) {
	r := math.Hypot(p.x-cx, p.y-cy)
	p.segs = append(p.segs, seg{kind: segArc, x: x, y: y, cx: cx, cy: cy, r: r, sweep: sweep})
	p.x, p.y = x, y
}

// Close ends the subpath with a line back to its start where one is needed.
func (p *Path) Close() {
	p.segs = append(p.segs, seg{kind: segClose, x: p.sx, y: p.sy})
	p.x, p.y = p.sx, p.sy
}

// Line adds a line as a subpath of its own.
func (p *Path) Line(x0, y0, x1, y1 float64) {
	p.MoveTo(x0, y0)
	p.LineTo(x1, y1)
}

// Circle adds a full circle.
func (p *Path) Circle(cx, cy, r float64) {
	p.MoveTo(cx+r, cy)
	p.ArcTo(cx, cy, 2*math.Pi, cx+r, cy)
	p.Close()
}

// Rect adds a rectangle.
func (p *Path) Rect(x, y, w, h float64) {
	p.MoveTo(x, y)
	p.LineTo(x+w, y)
	p.LineTo(x+w, y+h)
	p.LineTo(x, y+h)
	p.Close()
}

// flatness is how far, in device pixels, the chords of a drawn arc may leave it: less than a seventh of a pixel
// cannot be seen.
const flatness = 0.14

// maxSteps bounds the chords of one arc: enough for a full circle of 470 000 pixels radius within the flatness.
const maxSteps = 4096

// steps is the number of chords for an arc of r device pixels through sweep.
func steps(r, sweep float64) int {
	if !(r > flatness) || !(math.Abs(sweep) <= 2*math.Pi) {
		return 2
	}
	n := math.Ceil(math.Abs(sweep) / (2 * math.Acos(1-flatness/r)))
	if !(n < maxSteps) {
		return maxSteps
	}
	return max(int(n), 2)
}
