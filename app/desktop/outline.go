package desktop

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// outlineActions turn the outline into one given in another way, as it stands, and add to it.
func (w *Window) outlineActions(doc plate.Plate) []action {
	var out []action
	turn := func(text string, k plate.OutlineKind) {
		out = append(out, action{text, func() { w.turnOutline(k) }})
	}
	switch doc.Outline.Kind {
	case plate.Wrapped:
		out = append(out, action{"New round at the end", func() { w.addCorner(len(doc.Outline.Wraps) - 1) }})
		turn("Turn it into drawn corners", plate.Drawn)
		turn("Turn it into a contour of vertices", plate.Contour)
	case plate.Contour:
		out = append(out, action{"New vertex on the longest side", func() { w.addCorner(longestSide(vertexPath(doc.Outline.Vertices))) }})
		turn("Turn it into drawn corners", plate.Drawn)
		turn("Wrap it round the bores", plate.Wrapped)
	default:
		out = append(out, action{"New corner on the longest side", func() { w.addCorner(longestSide(doc.Outline.Corners)) }})
		if doc.Outline.Mirror.On {
			out = append(out, action{"Draw the whole outline instead of one half", func() { w.setMirror("") }})
		} else {
			out = append(out,
				action{"Draw only the left half, and mirror it", func() { w.setMirror(plate.AxisY) }},
				action{"Draw only the lower half, and mirror it", func() { w.setMirror(plate.AxisX) }})
		}
		turn("Wrap it round the bores", plate.Wrapped)
		turn("Turn it into a contour of vertices", plate.Contour)
	}
	return out
}

// turnOutline gives the outline in another way: drawn corners and vertices follow the outline as it is derived now, a
// wrapped one passes the outermost bores.
func (w *Window) turnOutline(k plate.OutlineKind) {
	w.edit(w.turnedOutline(k), "")
	w.choose(selection{stage: plate.StageOutline})
}

func (w *Window) turnedOutline(k plate.OutlineKind) plate.Edit {
	label := map[plate.OutlineKind]string{
		plate.Drawn: "outline into drawn corners", plate.Wrapped: "outline wrapped round bores", plate.Contour: "outline into a contour",
	}[k]
	l := w.job.Layout()
	return plate.Edit{Label: label, Apply: func(p plate.Plate) (plate.Plate, error) {
		o := plate.Outline{Kind: k, Chamfer: p.Outline.Chamfer}
		if k == plate.Wrapped {
			if o.Wraps = wrapsRound(p); len(o.Wraps) == 0 {
				return p, errors.New("an outline is wrapped round bores, and the plate has none; add a bore first")
			}
			return plate.SetOutline(o).Apply(p)
		}
		if !l.OK || l.Stale {
			return p, errors.New("the outline is not known, because the plate has errors or is being derived; see the stages marked wrong")
		}
		for _, e := range l.Value.Outline.Outer {
			for _, part := range halves(e) {
				if k == plate.Contour {
					o.Vertices = append(o.Vertices, plate.Vertex{X: micro(part.A.X), Y: micro(part.A.Y), Bulge: part.Bulge()})
					continue
				}
				c := plate.Corner{X: micro(part.A.X), Y: micro(part.A.Y)}
				if part.IsArc() {
					m := part.Mid()
					c.Arc, c.ThroughX, c.ThroughY = true, micro(m.X), micro(m.Y)
				}
				o.Corners = append(o.Corners, c)
			}
		}
		return plate.SetOutline(o).Apply(p)
	}}
}

// micro rounds to a millionth of a millimetre: far finer than any shop, and short in the file.
func micro(v float64) float64 { return round6(v) }

// halves cuts an arc of more than half a turn in two, so that three points or a bulge give it well.
func halves(e geom.Edge) []geom.Edge {
	if !e.IsArc() || math.Abs(e.Sweep()) <= math.Pi*0.999 {
		return []geom.Edge{e}
	}
	a, b := e, e
	m := e.Mid()
	a.B, b.A = m, m
	return []geom.Edge{a, b}
}

// wrapsRound are the bores on the convex hull of all bores, counter-clockwise, each with the metal of its boss. Where only
// bores in the middle are left out, the skin holds them too.
func wrapsRound(p plate.Plate) []plate.Wrap {
	const usual = 10 // mm, where a bore has no boss
	type disc struct {
		id   plate.ID
		at   geom.Point
		r, w float64
	}
	var ds []disc
	for _, b := range p.Bores {
		width := b.Boss
		if width <= 0 {
			width = usual
		}
		ds = append(ds, disc{b.ID, geom.Pt(b.X, b.Y), b.Diameter/2 + width, width})
	}
	// The hull of discs, by walking round: from the disc that reaches lowest always to the one whose tangent turns least.
	// A direction of many is enough to see which discs are outermost, in their order.
	const directions = 720
	var out []plate.Wrap
	for k := range directions {
		s, c := math.Sincos(2 * math.Pi * float64(k) / directions)
		best, far := -1, math.Inf(-1)
		for i, d := range ds {
			if reach := d.at.X*c + d.at.Y*s + d.r; reach > far+1e-9 {
				best, far = i, reach
			}
		}
		if best < 0 {
			return nil
		}
		if n := len(out); n == 0 || out[n-1].Feature != ds[best].id {
			out = append(out, plate.Wrap{Feature: ds[best].id, Width: ds[best].w})
		}
	}
	if n := len(out); n > 1 && out[0].Feature == out[n-1].Feature {
		out = out[:n-1]
	}
	return out
}

// setMirror keeps one half of a drawn outline, cut in the middle of its box, and mirrors it about a line along the given
// axis; the empty axis draws the whole outline again.
func (w *Window) setMirror(a plate.Axis) { w.edit(mirrorOutline(a), "") }

func mirrorOutline(a plate.Axis) plate.Edit {
	if a == "" {
		return plate.Replace("whole outline", func(p *plate.Plate) {
			p.Outline.Corners = slices.Clone(p.Outline.Full())
			p.Outline.Mirror = plate.Mirror{}
		})
	}
	return plate.Edit{Label: "mirrored half of outline", Apply: func(p plate.Plate) (plate.Plate, error) {
		o := p.Outline
		corners, at, err := halfOf(o.Full(), a)
		if err != nil {
			return p, err
		}
		o.Corners, o.Mirror = corners, plate.Mirror{On: true, Axis: a, At: at}
		return plate.SetOutline(o).Apply(p)
	}}
}

// halfOf is the left or lower half of a path, from the mirror line back to it.
func halfOf(path []plate.Corner, a plate.Axis) (half []plate.Corner, at float64, err error) {
	n := len(path)
	if n < 3 {
		return nil, 0, errors.New("the outline has too few corners to be cut in two")
	}
	across := func(c plate.Corner) float64 {
		if a == plate.AxisX {
			return c.Y
		}
		return c.X
	}
	lo, hi := across(path[0]), across(path[0])
	for _, c := range path {
		lo, hi = min(lo, across(c)), max(hi, across(c))
	}
	at = micro((lo + hi) / 2)
	start := -1
	for i := range path {
		if across(path[i]) >= at && across(path[(i+1)%n]) < at {
			if start >= 0 {
				return nil, 0, errors.New("the outline crosses its middle more than twice; its half would be in several pieces")
			}
			start = i
		}
	}
	if start < 0 {
		return nil, 0, errors.New("the outline does not cross its middle")
	}
	cut := func(i int) (plate.Corner, error) {
		c, d := path[i], path[(i+1)%n]
		if c.Arc {
			return plate.Corner{}, fmt.Errorf("the side after corner %d is an arc, which cannot be cut at the middle; make it straight first", i+1)
		}
		t := (at - across(c)) / (across(d) - across(c))
		q := plate.Corner{X: micro(c.X + t*(d.X-c.X)), Y: micro(c.Y + t*(d.Y-c.Y))}
		if a == plate.AxisX {
			q.Y = at
		} else {
			q.X = at
		}
		return q, nil
	}
	first, err := cut(start)
	if err != nil {
		return nil, 0, err
	}
	half = []plate.Corner{first}
	i := (start + 1) % n
	for ; across(path[i]) < at; i = (i + 1) % n {
		half = append(half, path[i])
	}
	last, err := cut((i + n - 1) % n)
	if err != nil {
		return nil, 0, err
	}
	return append(half, last), at, nil
}

// longestSide is the corner, from 0, that the longest side starts at.
func longestSide(cs []plate.Corner) int {
	best, at := -1.0, 0
	for i, c := range cs {
		n := cs[(i+1)%len(cs)]
		if d := math.Hypot(n.X-c.X, n.Y-c.Y); d > best {
			best, at = d, i
		}
	}
	return at
}

// vertexPath are the places of vertices, as corners.
func vertexPath(vs []plate.Vertex) []plate.Corner {
	out := make([]plate.Corner, len(vs))
	for i, v := range vs {
		out[i].X, out[i].Y = v.X, v.Y
	}
	return out
}

// addCorner puts a corner (round, vertex) behind corner at of the selection's path.
func (w *Window) addCorner(at int) {
	doc, s := w.job.Doc(), w.sel
	if s.id == 0 {
		s.stage = plate.StageOutline
	}
	e, err := newCorner(doc, s, at)
	if err == nil {
		err = w.tryEdit(e, "")
	}
	if err != nil {
		w.say(finding.Words(err))
		return
	}
	s.corner = at + 2
	w.choose(s)
}

func newCorner(doc plate.Plate, s selection, at int) (plate.Edit, error) {
	if s.id == 0 && doc.Outline.Kind == plate.Wrapped {
		return newWrap(doc, at)
	}
	path := s.path(doc)
	contour := s.id == 0 && doc.Outline.Kind == plate.Contour
	if contour {
		path = vertexPath(doc.Outline.Vertices)
	}
	if at < 0 || at >= len(path) {
		return plate.Edit{}, errors.New("there is no such corner; it was deleted")
	}
	a, b := path[at], path[(at+1)%len(path)]
	c := plate.Corner{X: math.Round((a.X + b.X) / 2), Y: math.Round((a.Y + b.Y) / 2), Radius: min(a.Radius, 5)}
	if contour {
		v := plate.Vertex{X: c.X, Y: c.Y}
		return plate.Replace("new vertex of outline", func(p *plate.Plate) {
			if at < len(p.Outline.Vertices) {
				p.Outline.Vertices[at].Bulge = 0 // the side is cut in two straight ones
				p.Outline.Vertices = slices.Insert(p.Outline.Vertices, at+1, v)
			}
		}), nil
	}
	return plate.Replace("new corner of "+pathName(doc, s), func(p *plate.Plate) {
		if list := s.pathOf(p); list != nil && at < len(*list) {
			*list = slices.Insert(*list, at+1, c)
		}
	}), nil
}

// newWrap lets a wrapped outline pass one more bore or hole, the first that it does not pass yet.
func newWrap(doc plate.Plate, at int) (plate.Edit, error) {
	for _, f := range doc.Features() {
		if f.Kind != plate.KindBore && f.Kind != plate.KindHole {
			continue
		}
		if !slices.ContainsFunc(doc.Outline.Wraps, func(v plate.Wrap) bool { return v.Feature == f.ID }) {
			width := 10.0
			if b := boreOf(&doc, f.ID); b != nil && b.Boss > 0 {
				width = b.Boss
			}
			return plate.AddWrap(min(at+1, len(doc.Outline.Wraps)), plate.Wrap{Feature: f.ID, Width: width}), nil
		}
	}
	return plate.Edit{}, errors.New("the outline passes every bore and hole already; add another one first")
}

// deleteCorner takes the selected corner, round or vertex out of its path.
func deleteCorner(doc plate.Plate, s selection) plate.Edit {
	i := s.corner - 1
	if s.id == 0 {
		switch doc.Outline.Kind {
		case plate.Wrapped:
			return plate.DeleteWrap(i)
		case plate.Contour:
			return plate.Replace("delete of vertex of outline", func(p *plate.Plate) {
				if i < len(p.Outline.Vertices) {
					p.Outline.Vertices = slices.Delete(p.Outline.Vertices, i, i+1)
				}
			})
		}
	}
	return plate.Replace("delete of corner of "+pathName(doc, s), func(p *plate.Plate) {
		if list := s.pathOf(p); list != nil && i < len(*list) {
			*list = slices.Delete(*list, i, i+1)
		}
	})
}

func pathName(doc plate.Plate, s selection) string {
	if f, ok := doc.Find(s.id); ok {
		return "boundary of " + featureTitle(f)
	}
	return "outline"
}
