package layout

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// A wrapped outline is a skin round discs: counter-clockwise from disc to disc along common outer tangents, or along hollow
// arcs that touch both from outside, and round each disc from the side that arrives to the side that leaves. All of it lies
// to the right of the way from centre to centre. The skin is sound when it crosses itself nowhere and no disc stands out of
// it; everything else that can go wrong is a special case of these two.

// disc is one round of a wrapped outline.
type disc struct {
	name string
	c    geom.Point
	r    float64
}

// wrap is the skin round the given bores and holes.
func (d *deriver) wrap(ws []plate.Wrap) (geom.Contour, *DeriveError) {
	discs := make([]disc, len(ws))
	for i, w := range ws {
		k, ok := d.wrapped(w.Feature)
		if !ok {
			return nil, &DeriveError{What: fmt.Sprintf("round %d of the wrapped outline is feature %d, which is no bore or hole; choose another", i+1, w.Feature)}
		}
		k.r += w.Width
		discs[i] = k
	}
	switch len(ws) {
	case 0:
		return nil, &DeriveError{What: "the outline is wrapped round nothing; choose the bores and holes that it passes"}
	case 1:
		return geom.Circle(discs[0].c, discs[0].r), nil
	}
	sides := make([]geom.Edge, len(ws))
	for i, w := range ws {
		var e *DeriveError
		if sides[i], e = wrapSide(&discs[i], &discs[(i+1)%len(ws)], w); e != nil {
			return nil, e
		}
	}
	c, of := skin(discs, sides)
	if err := c.Check(); err != nil || c.Area() <= 0 {
		return nil, skinFailed(discs, of, err)
	}
	if e := standsOut(c, discs, of); e != nil {
		return nil, e
	}
	return c, nil
}

// wrapped is the bore or hole with the given id.
func (d *deriver) wrapped(id plate.ID) (disc, bool) {
	for i := range d.p.Bores {
		if b := &d.p.Bores[i]; b.ID == id {
			return disc{name: fmt.Sprintf("bore %q", b.Name), c: geom.Pt(b.X, b.Y), r: b.Diameter / 2}, true
		}
	}
	for i := range d.p.Holes {
		if h := &d.p.Holes[i]; h.ID == id {
			r := d.holeOf(h.HoleForm)
			return disc{name: fmt.Sprintf("hole %q", h.Name), c: geom.Pt(h.X, h.Y), r: r.dia / 2}, true
		}
	}
	return disc{}, false
}

// wrapSide is the side from a to b.
func wrapSide(a, b *disc, w plate.Wrap) (geom.Edge, *DeriveError) {
	const right = -1
	var e geom.Edge
	var err error
	if w.Hollow {
		e, err = geom.BlendArc(a.c, a.r, b.c, b.r, w.Blend, right)
	} else {
		e, err = geom.OuterTangent(a.c, a.r, b.c, b.r, right)
	}
	if err == nil {
		return e, nil
	}
	out := &DeriveError{Where: a.c, HasWhere: true}
	gap := a.c.Dist(b.c)
	switch {
	case gap-math.Abs(a.r-b.r) < touchEps:
		small, large := a, b
		if small.r > large.r {
			small, large = b, a
		}
		out.Where = small.c
		out.What = fmt.Sprintf("the disc of %s (radius %s) is swallowed by that of %s (radius %s); leave it out of the outline, widen it, or move it",
			small.name, mm(small.r), large.name, mm(large.r))
	case w.Hollow && w.Blend < (gap-a.r-b.r)/2:
		out.What = fmt.Sprintf("the hollow side from %s to %s does not reach with a radius of %s; it needs at least %s",
			a.name, b.name, mm(w.Blend), mm((gap-a.r-b.r)/2))
	default:
		out.What = fmt.Sprintf("no side runs from %s to %s; change their widths or the radius", a.name, b.name)
		out.Err = err
	}
	return e, out
}

// skin joins the sides by arcs round the discs. of names the disc of each edge, and for a side the disc it leaves as −1 −
// disc. A side that goes on from the one before without a turn needs no arc between.
func skin(discs []disc, sides []geom.Edge) (c geom.Contour, of []int) {
	n := len(sides)
	for i := range sides {
		before := &sides[(i+n-1)%n]
		k := &discs[i]
		arc := geom.Edge{A: before.B, B: sides[i].A, C: k.c, R: k.r, Dir: 1}
		switch {
		case k.r > 0 && arc.A.Dist(arc.B) > touchEps:
			c, of = append(c, arc), append(of, i)
		case k.r > 0 && turnsBack(before, &sides[i]):
			arc.B = arc.A // the same place, all the way round
			c, of = append(c, arc), append(of, i)
		default:
			sides[i].A = before.B
		}
		c, of = append(c, sides[i]), append(of, -1-i)
	}
	return c, of
}

// turnsBack reports whether b leaves against the direction in which a arrives.
func turnsBack(a, b *geom.Edge) bool { return a.TangentB().Dot(b.TangentA()) < 0 }

// skinFailed says which rounds keep the skin from closing.
func skinFailed(discs []disc, of []int, err error) *DeriveError {
	n := len(discs)
	turn := 0.0
	for i := range discs {
		turn += discs[i].c.Cross(discs[(i+1)%n].c)
	}
	e := &DeriveError{Where: discs[0].c, HasWhere: true}
	hint := "; change their order, widths or radii, make a side there hollow, or leave one out"
	if n > 2 && turn < 0 {
		hint = "; the rounds are listed clockwise, list them counter-clockwise"
	}
	name := func(edge int) string { return skinPart(discs, of, edge) }
	var ce *geom.ContourError
	if !errors.As(err, &ce) {
		e.What = "the wrapped outline turns inside out at " + discs[0].name + hint
		return e
	}
	if ce.At.IsFinite() {
		e.Where = ce.At
	}
	e.What = fmt.Sprintf("%s fails: %s", name(ce.Edge), ce.Reason)
	if ce.Other >= 0 && ce.Other < len(of) && ce.Other != ce.Edge {
		e.What = fmt.Sprintf("%s and %s cross: the outline would run through itself", name(ce.Edge), name(ce.Other))
	}
	e.What += hint
	return e
}

// skinPart names an edge of the skin.
func skinPart(discs []disc, of []int, edge int) string {
	if edge < 0 || edge >= len(of) {
		return "the outline"
	}
	if k := of[edge]; k >= 0 {
		return "the arc round " + discs[k].name
	}
	k := -1 - of[edge]
	return fmt.Sprintf("the side from %s to %s", discs[k].name, discs[(k+1)%len(discs)].name)
}

// standsOut finds the disc that stands furthest out of the skin.
func standsOut(c geom.Contour, discs []disc, of []int) *DeriveError {
	worst, edge, at := touchEps, -1, 0
	for i := range discs {
		k := &discs[i]
		if k.r == 0 {
			continue
		}
		for j := range c {
			if over := k.r - c[j].Dist(k.c); over > worst {
				worst, edge, at = over, j, i
			}
		}
	}
	if edge < 0 {
		return nil
	}
	k := &discs[at]
	return &DeriveError{
		What:  fmt.Sprintf("the disc of %s stands out of the outline by %s at %s; narrow it, flatten the side, or let the outline pass round it", k.name, mm(worst), skinPart(discs, of, edge)),
		Where: k.c, HasWhere: true,
	}
}
