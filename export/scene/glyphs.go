package scene

import (
	"image/color"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// textCache keeps the masks of letters that were drawn, for each size, weight, direction and quarter of a pixel.
type textCache struct {
	masks map[glyphKey]glyph
	fill  filler
	pix   []byte
	buf   sfnt.Buffer
}

type glyphKey struct {
	letter rune
	size   int32 // in 1/64 device pixel
	phase  int8  // quarters of a pixel along the line
	bold   bool
	up     bool
}

// glyph is the coverage of one letter and where it lies from the pen.
type glyph struct {
	x, y, w, h int
	mask       []byte
}

// maxGlyphs bounds the cache: a session of zooming text cannot fill the memory. Beyond it the cache starts anew.
const maxGlyphs = 4096

// maxTextSize is the size, in device pixels, beyond which text is drawn no larger.
const maxTextSize = 512

// Text implements Canvas.
func (r *Raster) Text(x, y float64, text string, s TextStyle) {
	size := min(s.Size*r.scale, maxTextSize)
	if !(size >= 1) || !(math.Abs(x)+math.Abs(y) < 1e7) {
		return
	}
	along, base := x*r.scale, y*r.scale
	if s.Up {
		along, base = -y*r.scale, x*r.scale
	}
	switch s.Align {
	case Middle:
		along -= TextWidth(text, s) * r.scale / 2
	case End:
		along -= TextWidth(text, s) * r.scale
	}
	f := faceOf(s.Bold)
	line := int(math.Round(base))
	key := glyphKey{size: int32(size*64 + 0.5), bold: s.Bold, up: s.Up}
	for _, letter := range text {
		quarter := math.Floor(along*4 + 0.5)
		whole := int(math.Floor(quarter / 4))
		key.letter, key.phase = letter, int8(int(quarter)-4*whole)
		g := r.text.glyph(key, f)
		if s.Up {
			r.blit(g, line+g.x, -whole+g.y, s.Color)
		} else {
			r.blit(g, whole+g.x, line+g.y, s.Color)
		}
		along += f.advance(letter) * size
	}
}

// blit draws a mask with its corner at (x, y).
func (r *Raster) blit(g glyph, x, y int, c color.RGBA) {
	w, h := r.fill.w, r.fill.h
	b := brush{base: true, solid: pack(c)}
	for j := max(0, -y); j < g.h && y+j < h; j++ {
		line := r.img.Pix[(y+j)*4*w : (y+j+1)*4*w]
		for i := max(0, -x); i < g.w && x+i < w; i++ {
			if a := uint32(g.mask[j*g.w+i]); a != 0 {
				b.dot(line, x+i, a+a>>7)
			}
		}
	}
}

// glyph returns the mask of a letter, drawn when it was not asked for before.
func (t *textCache) glyph(key glyphKey, f *face) glyph {
	if g, ok := t.masks[key]; ok {
		return g
	}
	if t.masks == nil || len(t.masks) >= maxGlyphs {
		t.masks = map[glyphKey]glyph{}
	}
	g := t.draw(key, f)
	t.masks[key] = g
	return g
}

// draw fills the outline of a letter. A letter that the font lacks shows as its empty box; one that cannot be drawn at all
// shows as nothing.
func (t *textCache) draw(key glyphKey, f *face) glyph {
	id, err := f.font.GlyphIndex(&t.buf, key.letter)
	if err != nil {
		return glyph{}
	}
	segments, err := f.font.LoadGlyph(&t.buf, id, fixed.Int26_6(key.size), nil)
	if err != nil || len(segments) == 0 {
		return glyph{}
	}
	box := segments.Bounds()
	shift := float64(key.phase) / 4
	place := func(p fixed.Point26_6) point {
		x, y := float64(p.X)/64+shift, float64(p.Y)/64
		if key.up {
			return point{y, -x}
		}
		return point{x, y}
	}
	a, b := place(box.Min), place(box.Max)
	x0, y0 := math.Floor(min(a.x, b.x)), math.Floor(min(a.y, b.y))
	x1, y1 := math.Ceil(max(a.x, b.x)), math.Ceil(max(a.y, b.y))
	g := glyph{x: int(x0), y: int(y0), w: int(x1 - x0), h: int(y1 - y0)}
	if g.w < 1 || g.h < 1 || g.w > 2*maxTextSize || g.h > 2*maxTextSize {
		return glyph{}
	}
	t.fill.reset(g.w, g.h)
	t.outline(segments, func(p fixed.Point26_6) point {
		q := place(p)
		return point{q.x - x0, q.y - y0}
	})
	t.pix = resized(t.pix, 4*g.w*g.h) // black
	white := brush{base: true, solid: 0xFFFFFFFF}
	t.fill.paint(t.pix, &white, nonZero)
	g.mask = make([]byte, g.w*g.h)
	for i := range g.mask {
		g.mask[i] = t.pix[4*i]
	}
	return g
}

// outline adds the curves of a letter as short lines.
func (t *textCache) outline(segments sfnt.Segments, place func(fixed.Point26_6) point) {
	var at, start point
	line := func(q point) {
		t.fill.edge(at.x, at.y, q.x, q.y)
		at = q
	}
	for _, s := range segments {
		a := place(s.Args[0])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			line(start)
			at, start = a, a
		case sfnt.SegmentOpLineTo:
			line(a)
		case sfnt.SegmentOpQuadTo:
			b, from := place(s.Args[1]), at
			const n = 6
			for k := 1; k <= n; k++ {
				u := float64(k) / n
				v := 1 - u
				line(point{v*v*from.x + 2*u*v*a.x + u*u*b.x, v*v*from.y + 2*u*v*a.y + u*u*b.y})
			}
		case sfnt.SegmentOpCubeTo:
			b, c, from := place(s.Args[1]), place(s.Args[2]), at
			const n = 8
			for k := 1; k <= n; k++ {
				u := float64(k) / n
				v := 1 - u
				line(point{
					v*v*v*from.x + 3*u*v*v*a.x + 3*u*u*v*b.x + u*u*u*c.x,
					v*v*v*from.y + 3*u*v*v*a.y + 3*u*u*v*b.y + u*u*u*c.y,
				})
			}
		}
	}
	line(start)
}
