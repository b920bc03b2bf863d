package plate

import (
	"fmt"
	"math"
	"slices"
)

func (v *validator) outline() {
	o, on := v.p.Outline, onPlate(StageOutline)
	if !v.word(on, "the outline's kind", o.Kind.String(), outlineKinds) {
		return
	}
	switch o.Kind {
	case Wrapped:
		v.wraps(on, o.Wraps)
	case Contour:
		v.vertices(on, o.Vertices)
	default:
		if o.Mirror.On {
			v.half(on, o)
		} else {
			v.path(on, "the outline", o.Corners)
		}
	}
	if c, t := o.Chamfer, v.p.Stock.Thickness(); c.Top+c.Bottom > 0 && c.Top+c.Bottom >= t {
		v.report(on, "edge-chamfer", fmt.Sprintf("the edge chamfers of %g and %g mm leave no edge on a plate of %g mm", c.Top, c.Bottom, t),
			"the outline keeps an upright wall", "make them smaller")
	}
}

func (v *validator) wraps(on FeatureRef, list []Wrap) {
	if len(list) == 0 {
		v.report(on, "wrap-few", "the outline is wrapped round nothing", "a skin needs something inside it", "choose bores or holes")
	}
	for i, w := range list {
		if j := (i + 1) % len(list); len(list) > 1 && list[j].Feature == w.Feature {
			v.report(on, "wrap-doubled", fmt.Sprintf("wrapped features %d and %d are the same", i+1, j+1), "there is no side between them",
				"remove one of them")
		}
	}
}

func (v *validator) vertices(on FeatureRef, list []Vertex) {
	arcs := slices.ContainsFunc(list, func(c Vertex) bool { return c.Bulge != 0 })
	if len(list) < 2 || len(list) == 2 && !arcs {
		v.few(on, "the outline", len(list))
		return
	}
	for i, c := range list {
		if j := (i + 1) % len(list); c.X == list[j].X && c.Y == list[j].Y {
			v.twice(on, "vertices", "the outline", i, j, c.X, c.Y)
		}
	}
}

// onLine is how far a corner of a half outline may stand off its mirror line, mm: what is left when the place was worked out.
const onLine = 1e-6

// half checks a half outline: an open path from the mirror line to the mirror line, all on one side of it.
func (v *validator) half(on FeatureRef, o Outline) {
	if !v.word(on, "the mirror line's axis", string(o.Mirror.Axis), axes) {
		return
	}
	n := len(o.Corners)
	if n < 3 && !(n == 2 && o.Corners[0].Arc) {
		v.few(on, "the half outline", n)
		return
	}
	for _, i := range []int{0, n - 1} {
		if d := o.Mirror.off(o.Corners[i].X, o.Corners[i].Y); math.Abs(d) > onLine {
			on := on.on(o.Corners[i].X, o.Corners[i].Y)
			v.report(on, "mirror-line", fmt.Sprintf("corner %d of the half outline is %.6g mm off the mirror line", i+1, math.Abs(d)),
				"the half begins and ends on the line, so that its image closes it", "put it on the line")
		}
	}
	var left, right bool
	for _, c := range o.Corners {
		d := o.Mirror.off(c.X, c.Y)
		left, right = left || d < -onLine, right || d > onLine
	}
	if left && right {
		v.report(on, "mirror-side", "the half outline stands on both sides of its mirror line", "its image would cross it",
			"keep all its corners on one side")
	}
	v.path(on, "the outline", o.Full())
}

// off is how far a place is from the mirror line, with a sign for the side.
func (m Mirror) off(x, y float64) float64 {
	if m.Axis == AxisX {
		return y - m.At
	}
	return x - m.At
}

// image is the mirror image of a place.
func (m Mirror) image(x, y float64) (float64, float64) {
	if m.Axis == AxisX {
		return x, 2*m.At - y
	}
	return 2*m.At - x, y
}

// Full is the closed path of a drawn outline's corners: a half outline is completed by its mirror image. What it returns
// may be the outline's own list; it is not to be changed.
func (o Outline) Full() []Corner {
	n := len(o.Corners)
	if !o.Mirror.On || n < 2 {
		return o.Corners
	}
	full := slices.Clone(o.Corners)
	for i := n - 1; i >= 1; i-- { // the image runs backwards: from corner i to corner i-1
		c := o.Corners[i]
		if i < n-1 {
			full = append(full, Corner{Radius: c.Radius, Chamfer: c.Chamfer})
			full[len(full)-1].X, full[len(full)-1].Y = o.Mirror.image(c.X, c.Y)
		}
		last := &full[len(full)-1]
		if side := o.Corners[i-1]; side.Arc {
			last.Arc = true
			last.ThroughX, last.ThroughY = o.Mirror.image(side.ThroughX, side.ThroughY)
		} else {
			last.Arc, last.ThroughX, last.ThroughY = false, 0, 0
		}
	}
	return full
}

func (v *validator) few(f FeatureRef, what string, n int) {
	v.report(f, "corners-few", fmt.Sprintf("%s has %d corners", what, n), "an area needs three corners, or two and an arc", "add corners")
}

func (v *validator) twice(f FeatureRef, corners, what string, i, j int, x, y float64) {
	v.report(f.on(x, y), "corner-doubled", fmt.Sprintf("%s %d and %d of %s are at one place, (%g, %g) mm", corners, i+1, j+1, what, x, y),
		"the side between them has no length", "remove one of them")
}

// path checks a closed drawn path. A circle is two corners with arcs; anything less than that, or three corners, has no area.
func (v *validator) path(f FeatureRef, what string, list []Corner) {
	if f.Kind != "" {
		what += " of " + f.String()
	}
	arcs := slices.ContainsFunc(list, func(c Corner) bool { return c.Arc })
	if len(list) < 2 || len(list) == 2 && !arcs {
		v.few(f, what, len(list))
		return
	}
	n := len(list)
	for i, c := range list {
		j := (i + 1) % n
		if c.X == list[j].X && c.Y == list[j].Y {
			v.twice(f, "corners", what, i, j, c.X, c.Y)
		}
		if c.Chamfer == 0 {
			continue
		}
		if c.Radius != 0 {
			v.report(f.on(c.X, c.Y), "corner-both", fmt.Sprintf("corner %d of %s has a radius and a chamfer", i+1, what),
				"a corner is rounded or cut, not both", "set one of them to 0")
		}
		if c.Arc || list[(i+n-1)%n].Arc {
			v.report(f.on(c.X, c.Y), "corner-chamfer", fmt.Sprintf("corner %d of %s has a chamfer beside an arc", i+1, what),
				"a chamfer is cut between straight sides", "give it a radius instead")
		}
	}
}

// drawnBox is the box of the outline's drawn points: corners and arc points, vertices with the reach of their arcs, or the
// rounds of a wrapped outline with their metal. An outline without points gives an empty box (its ends exchanged).
func (p Plate) drawnBox() (x0, y0, x1, y1 float64) {
	switch p.Outline.Kind {
	case Wrapped:
		return p.wrapBox()
	case Contour:
		return vertexBox(p.Outline.Vertices)
	}
	return box(p.Outline.Full())
}

func (p Plate) wrapBox() (x0, y0, x1, y1 float64) {
	b := newBox()
	for _, w := range p.Outline.Wraps {
		x, y := p.EndPoint(RibEnd{Feature: w.Feature})
		r := w.Width
		if i := p.bore(w.Feature); i >= 0 {
			r += p.Bores[i].Diameter / 2
		}
		b.grow(x-r, y-r)
		b.grow(x+r, y+r)
	}
	return b.x0, b.y0, b.x1, b.y1
}

func vertexBox(list []Vertex) (x0, y0, x1, y1 float64) {
	b := newBox()
	for i, v := range list {
		next := list[(i+1)%len(list)]
		b.grow(v.X, v.Y)
		if v.Bulge != 0 { // the arc stays within its chord's middle by the greater of half chord and sagitta
			half := math.Hypot(next.X-v.X, next.Y-v.Y) / 2
			reach := half * max(1, math.Abs(v.Bulge))
			mx, my := (v.X+next.X)/2, (v.Y+next.Y)/2
			b.grow(mx-reach, my-reach)
			b.grow(mx+reach, my+reach)
		}
	}
	return b.x0, b.y0, b.x1, b.y1
}

type bounds struct{ x0, y0, x1, y1 float64 }

func newBox() bounds { return bounds{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (b *bounds) grow(x, y float64) {
	b.x0, b.x1 = min(b.x0, x), max(b.x1, x)
	b.y0, b.y1 = min(b.y0, y), max(b.y1, y)
}

// box is the box of a path's drawn points, those on arcs included.
func box(path []Corner) (x0, y0, x1, y1 float64) {
	b := newBox()
	for _, c := range path {
		b.grow(c.X, c.Y)
		if c.Arc {
			b.grow(c.ThroughX, c.ThroughY)
		}
	}
	return b.x0, b.y0, b.x1, b.y1
}
