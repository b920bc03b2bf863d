package scene

import (
	"image/color"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Line widths, px: outline heavier than openings, openings than pocket edges, and all of them than the thin lines.
const (
	rimWidth     = 2.2
	openingWidth = 1.6
	stepWidth    = 1.1
	hiddenWidth  = 1.0
	thinWidth    = 0.8
	selectWidth  = 2.4
	hoverWidth   = 1.4
)

// fullWeightScale is the scale, px per mm, below which a plate is drawn with thinner lines, so that a small picture does
// not fill up with ink.
const fullWeightScale = 0.8

// The hatch of pockets, px: distance of its lines along x, their width where a pocket is shallow, and what depth adds.
const (
	hatchPitch = 9
	hatchLeast = 0.5
	hatchMore  = 1.3
)

// Dashes, px: hidden edges, bosses, cells that stay, axes (ISO 128: long dash, gap, dot, gap).
var (
	hiddenDash = []float64{5, 3}
	bossDash   = []float64{3, 3}
	uncutDash  = []float64{1, 3}
	chainDash  = []float64{10, 3, 2, 3}
)

// Painter draws layouts. It keeps what it worked out for the last layout and its buffers, so that a window keeps one for
// each view; the zero Painter is ready. What it draws depends on its arguments only. Not safe for several goroutines.
type Painter struct {
	art    *art
	artOf  *layout.Layout
	side   plate.Side
	labels labels
	marks  []mark
	path   Path
	dot    Path

	c   Canvas // of the call under way
	l   *layout.Layout
	cam Camera
	o   Options
}

// Paint draws the plate and what the options ask for on c, as the camera sees it. A nil layout draws nothing but the
// options' own lines. The canvas is not cleared first.
func (p *Painter) Paint(c Canvas, l *layout.Layout, cam Camera, o Options) {
	p.begin(c, l, cam, o)
	p.metal()
	if l != nil {
		p.panels()
		p.field()
		p.uncut()
		p.bosses()
		p.edges()
		p.heads()
		p.axes()
		p.adjusters()
		p.paths()
		p.cutLines()
		p.names()
		p.selection()
		p.zero()
	}
	p.scaleBar()
	p.legend()
	p.fieldNotes()
	p.readout()
	p.guides()
	p.findings()
	p.dimensions()
	p.handles()
	p.c, p.l, p.o = nil, nil, Options{}
}

// Paint draws once, with a Painter of its own.
func Paint(c Canvas, l *layout.Layout, cam Camera, o Options) {
	var p Painter
	p.Paint(c, l, cam, o)
}

func (p *Painter) begin(c Canvas, l *layout.Layout, cam Camera, o Options) {
	if !(o.TextSize > 0) {
		o.TextSize = defaultTextSize
	}
	side := plate.Top
	if cam.Side == plate.Bottom {
		side = plate.Bottom
	}
	if p.art == nil || p.artOf != l || p.side != side {
		p.art, p.artOf, p.side = newArt(l, side), l, side
		p.labels = labels{}
	}
	p.c, p.l, p.cam, p.o = c, l, cam, o
}

// metal fills the plate at full height, then every floor over it.
func (p *Painter) metal() {
	p.path.Reset()
	p.addChains(p.art.rim)
	p.addChains(p.art.openings)
	p.fill(Ink{Color: p.o.Theme.Metal})
	x, y := p.cam.ToPx(geom.Point{}) // the hatch hangs on the plate, so that it moves with it
	for i := range p.art.floors {
		f := &p.art.floors[i]
		p.path.Reset()
		p.addChains(f.borders)
		p.fill(p.floorInk(f.near, f.far, x, y))
	}
}

// floorInk is how metal is filled that is recessed by near from this side and by far from the other: the colour tells near,
// the rising hatch thickens with near, the falling one with far. A line of each hatch runs through (x, y).
func (p *Painter) floorInk(near, far, x, y float64) Ink {
	th := p.o.Theme
	ink := Ink{Color: th.Metal}
	t := 1.0
	if p.l != nil && p.l.Thickness > 0 {
		t = p.l.Thickness
	}
	if near > sameHeight {
		f := depthShare(near / t)
		ink.Color = mix(th.PocketShallow, th.PocketDeep, f)
		ink.Hatches[0] = Hatch{
			Pitch: hatchPitch, Width: hatchLeast + hatchMore*f, X: x, Y: y,
			Color: mix(ink.Color, th.HatchInk, 0.45),
		}
	}
	if far > sameHeight {
		f := depthShare(far / t)
		if near <= sameHeight {
			ink.Color = mix(th.Metal, th.PocketShallow, 0.35)
		}
		ink.Hatches[1] = Hatch{
			Pitch: hatchPitch, Width: hatchLeast + hatchMore*f, X: x, Y: y, Falling: true,
			Color: mix(ink.Color, th.HatchInk, 0.45),
		}
	}
	return ink
}

// depthShare spreads the depths that are common, a sixth to nearly all of the thickness, over the scale.
func depthShare(f float64) float64 { return min(max((f-0.15)/0.8, 0), 1) }

// edges draws the far side's edges under the near side's, and the outline over both.
func (p *Painter) edges() {
	th := p.o.Theme
	k := min(max(math.Sqrt(p.cam.Scale/fullWeightScale), 0.5), 1)
	p.strokeChains(p.art.hidden, Stroke{Width: hiddenWidth * k, Dash: hiddenDash, Color: mix(th.Ink, th.Metal, 0.25)})
	p.strokeChains(p.art.steps, Stroke{Width: stepWidth * k, Color: th.Ink})
	p.strokeChains(p.art.openings, Stroke{Width: openingWidth * k, Color: th.Ink})
	p.strokeChains(p.art.rim, Stroke{Width: rimWidth * k, Color: th.Ink})
}

func (p *Painter) addChains(cs []chain) {
	for i := range cs {
		p.cam.chain(&p.path, cs[i].edges)
		if cs[i].closed {
			p.path.Close()
		}
	}
}

func (p *Painter) strokeChains(cs []chain, s Stroke) {
	p.path.Reset()
	p.addChains(cs)
	p.stroke(s)
}

// uncut marks the cells that stay metal.
func (p *Painter) uncut() {
	if p.o.Show&Uncut == 0 {
		return
	}
	p.path.Reset()
	for i := range p.l.Cells {
		if c := &p.l.Cells[i]; c.State != layout.CellCut {
			p.addRegion(c.Region)
		}
	}
	p.stroke(Stroke{Width: thinWidth, Dash: uncutDash, Color: p.o.Theme.Thin})
}

func (p *Painter) addRegion(r geom.Region) {
	p.cam.contour(&p.path, r.Outer)
	for _, h := range r.Holes {
		p.cam.contour(&p.path, h)
	}
}

func (p *Painter) bosses() {
	if p.o.Show&Bosses == 0 {
		return
	}
	p.path.Reset()
	for _, b := range p.l.Bosses {
		if b.Radius > b.Hole/2+sameHeight {
			x, y := p.cam.ToPx(b.Center)
			p.path.Circle(x, y, b.Radius*p.cam.Scale)
		}
	}
	p.stroke(Stroke{Width: thinWidth, Dash: bossDash, Color: p.o.Theme.Thin})
}

// fill and stroke draw the path collected so far, if there is any.
func (p *Painter) fill(ink Ink) {
	if !p.path.Empty() {
		p.c.Fill(&p.path, ink)
	}
}

func (p *Painter) stroke(s Stroke) {
	if !p.path.Empty() {
		p.c.Stroke(&p.path, s)
	}
}

// text draws a line of small text.
func (p *Painter) text(x, y float64, s string, align Align, c color.RGBA) {
	p.c.Text(x, y, s, TextStyle{Size: p.o.TextSize, Align: align, Color: c})
}

// onCanvas reports whether a place is within reach px of the canvas.
func (p *Painter) onCanvas(x, y, reach float64) bool {
	return x > -reach && x < p.cam.Width+reach && y > -reach && y < p.cam.Height+reach
}

// finite reports whether a point can be drawn.
func finite(q geom.Point) bool {
	return !math.IsNaN(q.X-q.X) && !math.IsNaN(q.Y-q.Y)
}
