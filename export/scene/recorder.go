package scene

import (
	"bytes"
	"image/color"
	"math"
	"slices"
	"strconv"
)

// Recorder is a canvas that writes down what is drawn, one primitive a line, with two decimals, for tests. Two equal
// drawings give equal text on every machine, as long as they differ from a rounding border by more than arithmetic noise.
type Recorder struct {
	w, h  float64
	lines [][]byte
}

// NewRecorder returns an empty record of w × h px.
func NewRecorder(w, h float64) *Recorder { return &Recorder{w: w, h: h} }

// Size implements Canvas.
func (r *Recorder) Size() (w, h float64) { return r.w, r.h }

// Text implements Canvas.
func (r *Recorder) Text(x, y float64, text string, s TextStyle) {
	b := append([]byte("text "), [...]string{"start", "middle", "end"}[s.Align]...)
	if s.Bold {
		b = append(b, " bold"...)
	}
	if s.Up {
		b = append(b, " up"...)
	}
	b = appendDecimal(append(b, ' '), s.Size, 0, 2)
	b = appendColor(append(b, ' '), s.Color)
	b = appendPoint(b, x, y)
	r.lines = append(r.lines, strconv.AppendQuote(append(b, ' '), text))
}

// Fill implements Canvas.
func (r *Recorder) Fill(p *Path, ink Ink) {
	b := []byte("fill ")
	if ink.Color.A != 0 {
		b = appendColor(b, ink.Color)
	} else {
		b = append(b, "none"...)
	}
	for _, h := range ink.Hatches {
		if h.Pitch <= 0 {
			continue
		}
		b = append(b, " hatch "...)
		if h.Falling {
			b = append(b, '\\')
		} else {
			b = append(b, '/')
		}
		b = appendDecimal(append(b, ' '), h.Pitch, 2, 2)
		b = appendDecimal(append(b, ' '), h.Width, 2, 2)
		b = appendColor(append(b, ' '), h.Color)
	}
	r.lines = append(r.lines, appendSteps(b, p))
}

// Stroke implements Canvas.
func (r *Recorder) Stroke(p *Path, s Stroke) {
	b := appendDecimal([]byte("stroke "), s.Width, 2, 2)
	b = appendColor(append(b, ' '), s.Color)
	if s.Crisp {
		b = append(b, " crisp"...)
	}
	for i, d := range s.Dash {
		if i == 0 {
			b = append(b, " dash"...)
		}
		b = appendDecimal(append(b, ' '), d, 0, 2)
	}
	r.lines = append(r.lines, appendSteps(b, p))
}

// Lines returns the record in the order of drawing.
func (r *Recorder) Lines() []byte { return append(bytes.Join(r.lines, []byte("\n")), '\n') }

// Sorted returns the record in alphabetical order, for drawings whose order means nothing.
func (r *Recorder) Sorted() []byte {
	lines := slices.Clone(r.lines)
	slices.SortFunc(lines, bytes.Compare)
	return append(bytes.Join(lines, []byte("\n")), '\n')
}

func appendColor(b []byte, c color.RGBA) []byte {
	const digits = "0123456789ABCDEF"
	b = append(b, '#')
	for _, v := range [...]uint8{c.R, c.G, c.B} {
		b = append(b, digits[v>>4], digits[v&15])
	}
	return b
}

func appendPoint(b []byte, x, y float64) []byte {
	b = appendDecimal(append(b, ' '), x, 2, 2)
	return appendDecimal(append(b, ','), y, 2, 2)
}

// appendSteps writes a path: M and L with points, A with radius, turn in degrees (positive clockwise on the canvas), and
// end, Z.
func appendSteps(b []byte, p *Path) []byte {
	for _, g := range p.segs {
		switch g.kind {
		case segMove:
			b = appendPoint(append(b, " M"...), g.x, g.y)
		case segLine:
			b = appendPoint(append(b, " L"...), g.x, g.y)
		case segArc:
			b = appendDecimal(append(b, " A "...), g.r, 2, 2)
			b = appendDecimal(append(b, ' '), g.sweep*180/math.Pi, 1, 1)
			b = appendPoint(b, g.x, g.y)
		case segClose:
			b = append(b, " Z"...)
		}
	}
	return b
}
