package scene

import (
	"image"
	"image/color"
	"math"
)

// MaxSide is the greatest width and height of a raster, in device pixels.
const MaxSide = 16384

// Raster is the canvas of the screen: an opaque picture of its own, kept between frames. The zero Raster is ready for
// Begin. Once a window has been drawn once, further frames of the same size allocate nothing. It is not safe for use by
// several goroutines.
type Raster struct {
	img    *image.RGBA
	scale  float64 // device pixels per px
	fill   filler
	brush  brush
	points []point // of the subpath being drawn, device pixels
	dashes []point
	text   textCache
}

type point struct{ x, y float64 }

// Begin starts a frame of w × h device pixels on paper of one colour; scale is device pixels per canvas pixel, 1 on a plain
// screen, 2 on a fine one (what is not a positive number counts as 1). Sizes are held between 1 and MaxSide.
func (r *Raster) Begin(w, h int, scale float64, paper color.RGBA) {
	w, h = min(max(w, 1), MaxSide), min(max(h, 1), MaxSide)
	if !(scale > 0) || math.IsInf(scale, 0) {
		scale = 1
	}
	r.scale = scale
	if r.img == nil || r.img.Rect.Dx() != w || r.img.Rect.Dy() != h {
		r.img = image.NewRGBA(image.Rect(0, 0, w, h))
	}
	r.fill.reset(w, h)
	solidRun(r.img.Pix, pack(paper))
}

// Image is the picture: opaque, with a stride of four times its width. It is drawn over by the next frame.
func (r *Raster) Image() *image.RGBA { return r.img }

// Size is the size of the frame in px.
func (r *Raster) Size() (w, h float64) {
	return float64(r.img.Rect.Dx()) / r.scale, float64(r.img.Rect.Dy()) / r.scale
}

// Fill implements Canvas.
func (r *Raster) Fill(p *Path, ink Ink) {
	for i := 0; i < len(p.segs); {
		i = r.subpath(p, i)
		pts := r.points
		if len(pts) < 2 {
			continue
		}
		last := pts[len(pts)-1]
		for _, q := range pts {
			r.fill.edge(last.x, last.y, q.x, q.y)
			last = q
		}
	}
	r.brush.set(ink, r.scale)
	r.fill.paint(r.img.Pix, &r.brush, evenOdd)
}

// Stroke implements Canvas.
func (r *Raster) Stroke(p *Path, s Stroke) {
	width := s.Width * r.scale
	if s.Crisp {
		width = max(math.Round(width), 1)
	}
	if !(width > 0) {
		return
	}
	for i := 0; i < len(p.segs); {
		closed := false
		from := i
		i = r.subpath(p, i)
		for _, g := range p.segs[from:i] {
			closed = closed || g.kind == segClose
		}
		if s.Crisp {
			snap(r.points, math.Mod(width, 2)/2)
		}
		if len(s.Dash) > 1 {
			r.dash(closed, width/2, s.Dash)
		} else {
			r.strip(r.points, closed, width/2)
		}
	}
	r.brush.set(Ink{Color: s.Color}, r.scale)
	r.fill.paint(r.img.Pix, &r.brush, nonZero)
}

// snap moves points to pixel borders, or to pixel middles with offset ½.
func snap(pts []point, offset float64) {
	for i, q := range pts {
		pts[i] = point{math.Round(q.x-offset) + offset, math.Round(q.y-offset) + offset}
	}
}

// subpath flattens the subpath that starts at step i into r.points and returns the step after it.
func (r *Raster) subpath(p *Path, i int) int {
	k := r.scale
	r.points = r.points[:0]
	for first := i; i < len(p.segs); i++ {
		g := &p.segs[i]
		if g.kind == segMove && i > first {
			break
		}
		switch g.kind {
		case segMove, segLine:
			r.points = append(r.points, point{g.x * k, g.y * k})
		case segArc:
			r.arc(g)
		case segClose:
			return i + 1
		}
	}
	return i
}

// arc appends the chords of an arc, its start left out.
func (r *Raster) arc(g *seg) {
	if len(r.points) == 0 {
		r.points = append(r.points, point{g.x * r.scale, g.y * r.scale})
		return
	}
	k := r.scale
	cx, cy := g.cx*k, g.cy*k
	from := r.points[len(r.points)-1]
	dx, dy := from.x-cx, from.y-cy
	n := steps(g.r*k, g.sweep)
	sin, cos := math.Sincos(g.sweep / float64(n))
	for range n - 1 {
		dx, dy = dx*cos-dy*sin, dx*sin+dy*cos
		r.points = append(r.points, point{cx + dx, cy + dy})
	}
	r.points = append(r.points, point{g.x * k, g.y * k})
}
