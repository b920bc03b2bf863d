package scene

import (
	"bytes"
	"image/color"
	"io"
	"math"
	"strconv"
	"unicode/utf8"
)

// SVG is a canvas that becomes a file of Scalable Vector Graphics 1.1: arcs are arcs, text is text, hatches are patterns.
// The same drawing gives the same bytes.
type SVG struct {
	w, h     float64
	body     bytes.Buffer
	patterns map[Hatch]int
	line     []byte
}

// NewSVG starts a drawing of w × h px on paper of one colour. The title is what viewers and screen readers call it.
func NewSVG(w, h float64, paper color.RGBA, title string) *SVG {
	s := &SVG{w: w, h: h, patterns: map[Hatch]int{}}
	b := []byte(`<?xml version="1.0" encoding="UTF-8"?>` + "\n" + `<svg xmlns="http://www.w3.org/2000/svg"`)
	b = attribute(b, "width", w)
	b = attribute(b, "height", h)
	b = append(b, ` viewBox="0 0`...)
	b = appendDecimal(append(b, ' '), w, 0, 3)
	b = appendDecimal(append(b, ' '), h, 0, 3)
	b = append(b, `" font-family="Go, Helvetica, Arial, sans-serif" stroke-linejoin="miter" stroke-miterlimit="4">`+"\n<title>"...)
	b = appendEscaped(b, title)
	b = append(b, "</title>\n<rect"...)
	b = attribute(b, "width", w)
	b = attribute(b, "height", h)
	b = colorAttribute(b, "fill", paper)
	s.body.Write(append(b, "/>\n"...))
	return s
}

// Size implements Canvas.
func (s *SVG) Size() (w, h float64) { return s.w, s.h }

// Fill implements Canvas.
func (s *SVG) Fill(p *Path, ink Ink) {
	if p.Empty() {
		return
	}
	if ink.Color.A != 0 {
		b := s.path(p)
		b = append(b, ` fill-rule="evenodd"`...)
		s.end(colorAttribute(b, "fill", ink.Color))
	}
	for _, h := range ink.Hatches {
		if h.Pitch <= 0 || h.Width <= 0 {
			continue
		}
		id := s.pattern(h)
		b := s.path(p)
		b = append(b, ` fill-rule="evenodd" fill="url(#hatch`...)
		b = strconv.AppendInt(b, int64(id), 10)
		s.end(append(b, `)"`...))
	}
}

// pattern defines a hatch on its first use and returns its number. The tile is one pitch wide and high with a line from
// corner to corner, and the ends of its neighbours in the other two corners.
func (s *SVG) pattern(h Hatch) int {
	h.X, h.Y = math.Mod(h.X, h.Pitch), math.Mod(h.Y, h.Pitch)
	if id, ok := s.patterns[h]; ok {
		return id
	}
	id := len(s.patterns) + 1
	s.patterns[h] = id
	b := append(s.line[:0], `<defs><pattern id="hatch`...)
	b = strconv.AppendInt(b, int64(id), 10)
	b = append(b, `" patternUnits="userSpaceOnUse"`...)
	b = attribute(b, "x", h.X)
	b = attribute(b, "y", h.Y)
	b = attribute(b, "width", h.Pitch)
	b = attribute(b, "height", h.Pitch)
	b = append(b, `><path fill="none" d="`...)
	p := h.Pitch
	lines := [][4]float64{{-1, 1, 1, -1}, {0, p, p, 0}, {p - 1, p + 1, p + 1, p - 1}}
	if h.Falling {
		lines = [][4]float64{{-1, p - 1, 1, p + 1}, {0, 0, p, p}, {p - 1, -1, p + 1, 1}}
	}
	for _, l := range lines {
		b = appendPair(append(b, 'M'), l[0], l[1])
		b = appendPair(append(b, 'L'), l[2], l[3])
	}
	b = append(b, '"')
	b = colorAttribute(b, "stroke", h.Color)
	b = attribute(b, "stroke-width", h.Width)
	s.line = append(b, "/></pattern></defs>\n"...)
	s.body.Write(s.line)
	return id
}

// Stroke implements Canvas.
func (s *SVG) Stroke(p *Path, k Stroke) {
	if p.Empty() {
		return
	}
	b := append(s.path(p), ` fill="none"`...)
	b = colorAttribute(b, "stroke", k.Color)
	b = attribute(b, "stroke-width", k.Width)
	for i, d := range k.Dash {
		if i == 0 {
			b = append(b, ` stroke-dasharray="`...)
		} else {
			b = append(b, ' ')
		}
		b = appendDecimal(b, d, 0, 3)
		if i == len(k.Dash)-1 {
			b = append(b, '"')
		}
	}
	s.end(b)
}

// Text implements Canvas.
func (s *SVG) Text(x, y float64, text string, t TextStyle) {
	b := append(s.line[:0], "<text"...)
	b = attribute(b, "x", x)
	b = attribute(b, "y", y)
	b = attribute(b, "font-size", t.Size)
	if t.Bold {
		b = append(b, ` font-weight="500"`...)
	}
	switch t.Align {
	case Middle:
		b = append(b, ` text-anchor="middle"`...)
	case End:
		b = append(b, ` text-anchor="end"`...)
	}
	if t.Up {
		b = append(b, ` transform="rotate(-90`...)
		b = appendPair(append(b, ' '), x, y)
		b = append(b, `)"`...)
	}
	b = colorAttribute(b, "fill", t.Color)
	b = appendEscaped(append(b, '>'), text)
	s.line = append(b, "</text>\n"...)
	s.body.Write(s.line)
}

// WriteTo writes the finished file. Nothing may be drawn between two calls that are to give the same bytes.
func (s *SVG) WriteTo(w io.Writer) (int64, error) {
	n, err := w.Write(s.body.Bytes())
	if err != nil {
		return int64(n), err
	}
	m, err := io.WriteString(w, "</svg>\n")
	return int64(n + m), err
}

// path begins a path element.
func (s *SVG) path(p *Path) []byte {
	b := append(s.line[:0], `<path d="`...)
	for _, g := range p.segs {
		switch g.kind {
		case segMove:
			b = appendPair(append(b, 'M'), g.x, g.y)
		case segLine:
			b = appendPair(append(b, 'L'), g.x, g.y)
		case segArc:
			b = appendArc(b, g)
		case segClose:
			b = append(b, 'Z')
		}
	}
	return append(b, '"')
}

func (s *SVG) end(b []byte) {
	s.line = append(b, "/>\n"...)
	s.body.Write(s.line)
}

// appendArc writes an arc. One that is nearly a full turn has no clear direction from end to end and goes in two halves.
func appendArc(b []byte, g seg) []byte {
	if math.Abs(g.sweep) > 1.9*math.Pi {
		// The middle of the arc lies opposite its ends' bisector.
		half := g
		sin, cos := math.Sincos(-g.sweep / 2)
		dx, dy := g.x-g.cx, g.y-g.cy
		half.x, half.y, half.sweep = g.cx+dx*cos-dy*sin, g.cy+dx*sin+dy*cos, g.sweep/2
		b = appendArc(b, half)
		half.x, half.y = g.x, g.y
		return appendArc(b, half)
	}
	b = appendPair(append(b, 'A'), g.r, g.r)
	b = append(b, " 0 "...)
	b = append(b, "01"[btoi(math.Abs(g.sweep) > math.Pi)], ' ', "01"[btoi(g.sweep > 0)], ' ')
	return appendPair(b, g.x, g.y)
}

func btoi(v bool) int {
	if v {
		return 1
	}
	return 0
}

func appendPair(b []byte, x, y float64) []byte {
	b = appendDecimal(b, x, 0, 3)
	return appendDecimal(append(b, ' '), y, 0, 3)
}

func attribute(b []byte, name string, v float64) []byte {
	b = append(append(append(b, ' '), name...), `="`...)
	return append(appendDecimal(b, v, 0, 3), '"')
}

func colorAttribute(b []byte, name string, c color.RGBA) []byte {
	b = append(append(append(b, ' '), name...), `="`...)
	return append(appendColor(b, c), '"')
}

// appendEscaped writes text so that XML reads it back; letters that XML 1.0 has no way to write become U+FFFD.
func appendEscaped(b []byte, text string) []byte {
	for _, r := range text {
		switch {
		case r == '<':
			b = append(b, "&lt;"...)
		case r == '>':
			b = append(b, "&gt;"...)
		case r == '&':
			b = append(b, "&amp;"...)
		case r == '"':
			b = append(b, "&quot;"...)
		case r < 0x20 && r != '\t' && r != '\n' && r != '\r', r == 0xFFFE, r == 0xFFFF:
			b = utf8.AppendRune(b, utf8.RuneError)
		default:
			b = utf8.AppendRune(b, r)
		}
	}
	return b
}
