package dxf

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// drawing is everything that goes into a file, in its coordinates and order.
type drawing struct {
	layers []Layer
	shapes []shape
	box    geom.Box
}

// shape is one closed contour: a circle, or vertices with the bulge of the side that follows each.
type shape struct {
	layer    int
	circle   bool
	center   geom.Point
	radius   float64
	vertices []vertex
}

// vertex is a corner; the bulge is the tangent of a quarter of the arc's angle, positive counter-clockwise, 0 for a line.
type vertex struct{ x, y, bulge float64 }

// layerCut is a region that belongs on a layer.
type layerCut struct {
	layer  int
	region geom.Region
	name   string
}

// draw collects the contours of one side.
func draw(l *layout.Layout, o Options) (*drawing, error) {
	if l == nil || len(l.Outline.Outer) == 0 {
		return nil, errors.New("dxf: there is no plate to draw; derive the layout of a document first")
	}
	if o.Panel != 0 {
		return drawPanel(l, o)
	}
	side := o.Side
	if side == "" {
		side = plate.Top
	}
	if side != plate.Top && side != plate.Bottom {
		return nil, fmt.Errorf("dxf: side %q; choose %q or %q", o.Side, plate.Top, plate.Bottom)
	}
	if turn := l.Plate.Machining.Turn; side == plate.Bottom && turn != plate.AxisX && turn != plate.AxisY {
		return nil, fmt.Errorf("dxf: the document turns the plate about %q; choose %q or %q", turn, plate.AxisX, plate.AxisY)
	}
	cuts := cutsOf(l, side)
	of, ops := operations(cuts, l)
	d := &drawing{layers: nameLayers(ops)}
	d.noteChamfers(l)
	parts, err := regions(cuts, of, ops)
	if err != nil {
		return nil, err
	}
	if err := d.place(parts, placing(l.Plate.Machining, side)); err != nil {
		return nil, err
	}
	if o.GeometryOnly {
		d.plain()
	}
	return d, nil
}

// noteChamfers says on the outline's layer what its own contour cannot show.
func (d *drawing) noteChamfers(l *layout.Layout) {
	for _, c := range l.Cuts {
		if c.Kind == layout.CutChamfer && c.Sweep != nil {
			d.layers[0].Meaning += fmt.Sprintf(", %s edge chamfered %s mm × 45°", c.Side, decimal(round6(c.Sweep.Leg)))
		}
	}
}

// place puts the contours of the parts, moved into the file's coordinates, on their layers.
func (d *drawing) place(parts []layerCut, move placer) error {
	known := seen{}
	for _, p := range parts {
		for _, c := range append([]geom.Contour{p.region.Outer}, p.region.Holes...) {
			s, err := shapeOf(move.contour(c))
			if err != nil {
				return fmt.Errorf("dxf: layer %s, %s: %w", d.layers[p.layer].Name, p.name, err)
			}
			s.layer = p.layer
			if known.repeats(&s) {
				continue
			}
			d.layers[p.layer].Contours++
			d.shapes = append(d.shapes, s)
			d.box = d.box.Union(move.contour(c).Box())
		}
	}
	return nil
}

// plain puts everything on one layer.
func (d *drawing) plain() {
	for i := range d.shapes {
		d.shapes[i].layer = 0
	}
	d.layers = []Layer{{
		Name: PlainLayer, Meaning: "all contours, geometry only", Color: kinds[0].color, Contours: len(d.shapes),
	}}
}

// place is a circle's layer, centre and radius on a grid of twice the distance within which two circles count as one.
type place [4]int64

// seen are the circles drawn so far.
type seen map[place]bool

// repeats reports whether the same circle is on the same layer already, and notes it: two holes drawn at one place are
// drilled once. Each circle is noted in every grid cell that its values, give or take a micrometre, fall into, so that
// rounding cannot part two that are equal but for noise.
func (s seen) repeats(c *shape) bool {
	if !c.circle {
		return false
	}
	const grid = 2e-6
	cell := func(v float64, k int) int64 { return int64(math.Floor((v + (float64(k&1)-0.5)*grid) / grid)) }
	at := func(k int) place {
		return place{int64(c.layer), cell(c.center.X, k), cell(c.center.Y, k>>1), cell(c.radius, k>>2)}
	}
	for k := range 8 {
		if s[at(k)] {
			return true
		}
	}
	for k := range 8 {
		s[at(k)] = true
	}
	return false
}

// cutsOf lists the cuts that belong in the file of a side: what goes through, and what is cut from this face.
func cutsOf(l *layout.Layout, side plate.Side) []*layout.Cut {
	var out []*layout.Cut
	for i := range l.Cuts {
		c := &l.Cuts[i]
		switch c.Kind {
		case layout.CutFace, layout.CutPoint, layout.CutFillet, layout.CutChamfer: // have no contour of their own
			continue
		case layout.CutOutline: // comes from the finished profile
			continue
		}
		if c.Side == side || c.Side == plate.Through {
			out = append(out, c)
		}
	}
	outline := &layout.Cut{Kind: layout.CutOutline, Side: plate.Through, Region: l.Outline}
	return append([]*layout.Cut{outline}, out...)
}

// regions gives the region of each cut with its layer, in layer order. Where pockets of different fields and the same depth
// touch or overlap in plan they are joined, so that no contour on a layer meets another; within a field they never do.
func regions(cuts []*layout.Cut, of, ops []operation) ([]layerCut, error) {
	layers := make(map[operation][]*layout.Cut, len(ops))
	for i, c := range cuts {
		layers[of[i]] = append(layers[of[i]], c)
	}
	var out []layerCut
	for layer, op := range ops {
		mine := layers[op]
		fields := map[plate.ID]bool{}
		for _, c := range mine {
			fields[c.Feature] = true
		}
		if op.kind == layout.CutPocket && len(fields) > 1 && fieldsMeet(mine) {
			joined, err := join(mine)
			if err != nil {
				return nil, fmt.Errorf("dxf: joining the pockets of %d fields that meet: %w", len(fields), err)
			}
			for _, r := range joined {
				out = append(out, layerCut{layer, r, "joined pockets"})
			}
			continue
		}
		for _, c := range mine {
			out = append(out, layerCut{layer, drawn(c), nameOf(c)})
		}
	}
	return out, nil
}

// drawn is the region whose contours stand for a cut: of a countersink the circle at the face, of a groove that in the
// metal, whose inner one is the seat's.
func drawn(c *layout.Cut) geom.Region {
	switch c.Kind {
	case layout.CutCountersink, layout.CutGroove:
		return geom.Region{Outer: geom.Circle(c.Center, c.Diameter/2)}
	}
	return c.Region
}

func nameOf(c *layout.Cut) string {
	if c.FeatureName != "" {
		return fmt.Sprintf("%q", c.FeatureName)
	}
	return string(c.Kind)
}

// fieldsMeet reports whether boxes of pockets of different fields come together: a sweep from left to right.
func fieldsMeet(cuts []*layout.Cut) bool {
	type boxed struct {
		geom.Box
		feature plate.ID
	}
	boxes := make([]boxed, len(cuts))
	for i, c := range cuts {
		boxes[i] = boxed{c.Region.Box().Grow(1e-6), c.Feature}
	}
	slices.SortFunc(boxes, func(a, b boxed) int { return cmp.Compare(a.Min.X, b.Min.X) })
	var open []boxed
	for _, b := range boxes {
		open = slices.DeleteFunc(open, func(o boxed) bool { return o.Max.X < b.Min.X })
		for _, o := range open {
			if o.feature != b.feature && o.Overlaps(b.Box) {
				return true
			}
		}
		open = append(open, b)
	}
	return false
}

func join(cuts []*layout.Cut) (geom.Shape, error) {
	var fields []geom.Shape
	index := map[plate.ID]int{}
	for _, c := range cuts {
		i, ok := index[c.Feature]
		if !ok {
			i = len(fields)
			index[c.Feature] = i
			fields = append(fields, nil)
		}
		fields[i] = append(fields[i], c.Region)
	}
	return geom.Union(fields...)
}

// placer turns plate coordinates into those of a set-up.
type placer struct {
	zero   geom.Point
	sx, sy float64
}

func placing(m plate.Machining, side plate.Side) placer {
	p := placer{zero: geom.Pt(m.ZeroX, m.ZeroY), sx: 1, sy: 1}
	if side == plate.Bottom {
		if m.Turn == plate.AxisY {
			p.sx = -1
		} else {
			p.sy = -1
		}
	}
	return p
}

func (p placer) point(q geom.Point) geom.Point {
	return geom.Pt(p.sx*(q.X-p.zero.X), p.sy*(q.Y-p.zero.Y))
}

// contour places a contour. Turned over, a counter-clockwise contour runs clockwise; it is reversed, so that outer contours
// run counter-clockwise in every file and islands clockwise.
func (p placer) contour(c geom.Contour) geom.Contour {
	out := make(geom.Contour, len(c))
	mirrored := p.sx*p.sy < 0
	for i, e := range c {
		e.A, e.B, e.C = p.point(e.A), p.point(e.B), p.point(e.C)
		if mirrored {
			e.Dir = -e.Dir
		}
		out[i] = e
	}
	if mirrored {
		return out.Reverse()
	}
	return out
}

// shapeOf turns a contour into what the file holds.
func shapeOf(c geom.Contour) (shape, error) {
	if err := sound(c); err != nil {
		return shape{}, err
	}
	if center, radius, ok := fullCircle(c); ok {
		return shape{circle: true, center: center, radius: radius}, nil
	}
	var s shape
	for _, e := range c {
		s.add(e)
	}
	if len(s.vertices) < 2 {
		return shape{}, errors.New("a contour of one side; this is a fault of the program, please report it with the document")
	}
	return s, nil
}

// sound checks that every number can be written and that the edges close up.
func sound(c geom.Contour) error {
	if len(c) == 0 {
		return errors.New("a contour without sides; this is a fault of the program, please report it with the document")
	}
	for i, e := range c {
		for _, q := range [...]geom.Point{e.A, e.B, e.C, geom.Pt(e.R, 0)} {
			if !q.IsFinite() || math.Abs(q.X) > 1e9 || math.Abs(q.Y) > 1e9 {
				return fmt.Errorf("side %d has a coordinate that cannot be written (%v); nothing was written", i, q)
			}
		}
		if next := c[(i+1)%len(c)]; e.B.Dist(next.A) > 1e-5 {
			return fmt.Errorf("side %d ends at %v, the next begins at %v: the contour is not closed; nothing was written", i, e.B, next.A)
		}
	}
	return nil
}

// fullCircle recognises a circle, whether in one piece or in several.
func fullCircle(c geom.Contour) (geom.Point, float64, bool) {
	turn := 0.0
	for _, e := range c {
		if !e.IsArc() || e.C.Dist(c[0].C) > 1e-9 || math.Abs(e.R-c[0].R) > 1e-9 || e.Dir != c[0].Dir {
			return geom.Point{}, 0, false
		}
		turn += math.Abs(e.Sweep())
	}
	if math.Abs(turn-2*math.Pi) > 1e-6 {
		return geom.Point{}, 0, false
	}
	return c[0].C, c[0].R, true
}

// add appends an edge; an arc beyond a half circle goes in two, since a bulge above 1 loses its accuracy and some readers.
func (s *shape) add(e geom.Edge) {
	sweep := e.Sweep()
	if math.Abs(sweep) <= math.Pi {
		s.vertices = append(s.vertices, vertex{e.A.X, e.A.Y, math.Tan(sweep / 4)})
		return
	}
	b := math.Tan(sweep / 8)
	m := e.Mid()
	s.vertices = append(s.vertices, vertex{e.A.X, e.A.Y, b}, vertex{m.X, m.Y, b})
}
