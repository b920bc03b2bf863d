package set

import (
	"context"
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Member is a part of the set under a part number.
type Member struct {
	Part     string
	Quantity int
	Turned   bool // it is the same piece turned over: its top is the first member's bottom
}

// PartNumber is one piece to make: the parts of the set that are the same within the tolerance.
type PartNumber struct {
	Number   int // from 1, in the order of the set
	Members  []Member
	Quantity int // in one set
	Pair     int // the number of its mirror image; 0 for none. A piece that is its own mirror image has none
}

// DefaultTolerance is the distance in mm within which two shapes are the same for making: far above rounding, far below what
// a shop holds without being asked.
const DefaultTolerance = 0.01

// PartNumbers groups the parts of the set into pieces to make. Two parts are one piece when outline, every cut, thickness,
// material and finish agree within the tolerance in mm after a motion of the plane, or after turning the plate over. A part
// and its mirror image are a handed pair, unless they are one piece turned over, which plates without blind cuts often are.
func (l *Loaded) PartNumbers(ctx context.Context, tolerance float64) ([]PartNumber, error) {
	if !(tolerance > 0 && tolerance <= 1) {
		return nil, fmt.Errorf("set: parts are compared within %g mm; the tolerance is above 0 and at most 1 mm", tolerance)
	}
	var numbers []PartNumber
	var first []int // part that stands for each number
	for i, p := range l.Parts {
		at, turned := -1, false
		for n, j := range first {
			same, over, err := l.samePiece(ctx, j, i, tolerance)
			if err != nil {
				return nil, err
			}
			if same {
				at, turned = n, over
				break
			}
		}
		if at < 0 {
			numbers, first = append(numbers, PartNumber{Number: len(numbers) + 1}), append(first, i)
			at = len(numbers) - 1
		}
		numbers[at].Members = append(numbers[at].Members, Member{p.Name, p.Quantity, turned})
		numbers[at].Quantity += p.Quantity
	}
	for n := range numbers {
		for m := range n {
			pair, err := l.mirrorImage(ctx, first[m], first[n], tolerance)
			if err != nil {
				return nil, err
			}
			if pair {
				numbers[n].Pair, numbers[m].Pair = m+1, n+1
			}
		}
	}
	return numbers, nil
}

// samePiece compares two parts as they are made.
func (l *Loaded) samePiece(ctx context.Context, i, j int, tol float64) (same, turned bool, err error) {
	mirror := (l.Parts[i].Hand == Right) != (l.Parts[j].Hand == Right)
	if same, err = Matches(ctx, l.Shapes[i].Layout, l.Shapes[j].Layout, mirror, false, tol); same || err != nil {
		return same, false, err
	}
	same, err = Matches(ctx, l.Shapes[i].Layout, l.Shapes[j].Layout, !mirror, true, tol)
	return same, same, err
}

func (l *Loaded) mirrorImage(ctx context.Context, i, j int, tol float64) (bool, error) {
	mirror := (l.Parts[i].Hand == Right) != (l.Parts[j].Hand == Right)
	ok, err := Matches(ctx, l.Shapes[i].Layout, l.Shapes[j].Layout, !mirror, false, tol)
	if ok || err != nil {
		return ok, err
	}
	return Matches(ctx, l.Shapes[i].Layout, l.Shapes[j].Layout, mirror, true, tol)
}

// Matches reports whether a motion of the plane carries the first plate onto the second within the tolerance in mm: outline,
// cuts, thickness, material, faces and finish. With mirror the motion is a mirrored one; with flip top and bottom change
// places. Mirror and flip together is a plate turned over. The blank does not matter.
func Matches(ctx context.Context, a, b *layout.Layout, mirror, flip bool, tol float64) (bool, error) {
	if !sameStock(a.Plate.Stock, b.Plate.Stock, flip) || math.Abs(a.Thickness-b.Thickness) > tol {
		return false, nil
	}
	pa, pb := profileOf(a, flip), profileOf(b, false)
	if len(pa.marks) != len(pb.marks) || math.Abs(pa.length-pb.length) > tol*float64(8+len(a.Outline.Outer)) {
		return false, nil
	}
	for _, t := range pa.motions(pb, mirror, tol) {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		if pa.lies(pb, t, tol) {
			return true, nil
		}
	}
	return false, nil
}

func sameStock(a, b plate.Stock, flip bool) bool {
	if flip {
		a.Top, a.Bottom = a.Bottom, a.Top
	}
	const equal = 1e-9 // mm; both are typed
	return a.Material.Alloy == b.Material.Alloy && a.Material.Temper == b.Material.Temper && math.Abs(a.Nominal-b.Nominal) < equal &&
		a.Top == b.Top && a.Bottom == b.Bottom && a.Finish.Name == b.Finish.Name && math.Abs(a.Finish.Growth-b.Finish.Growth) < equal
}

// words are what of a cut must be equal; sizes what must agree within the tolerance.
type words struct {
	kind      layout.CutKind
	side      plate.Side
	thread    string
	fit       string
	tolerance float64 // typed, so that it must be the same and not merely near
}

// mark is one cut as it is compared.
type mark struct {
	words
	sizes    [7]float64
	at       geom.Point // centroid of its boundary's length
	contours []geom.Contour
}

// profile is a plate as it is compared.
type profile struct {
	outline []geom.Contour
	length  float64    // of the outline
	centre  geom.Point // centroid of the outline's length
	marks   []mark
}

func profileOf(l *layout.Layout, flip bool) profile {
	p := profile{outline: l.Outline.Contours()}
	p.centre, p.length = middle(p.outline)
	for _, c := range l.Cuts {
		if c.Kind != layout.CutFace && c.Kind != layout.CutOutline { // these depend on the blank
			p.marks = append(p.marks, markOf(c, l.Thickness, flip))
		}
	}
	return p
}

func markOf(c layout.Cut, thickness float64, flip bool) mark {
	m := mark{words: words{c.Kind, c.Side, c.Thread, c.Fit, c.Tolerance}}
	z0, z1 := c.Z0, c.Z1
	if flip {
		z0, z1 = thickness-z1, thickness-z0
		switch c.Side {
		case plate.Top:
			m.side = plate.Bottom
		case plate.Bottom:
			m.side = plate.Top
		}
	}
	m.sizes = [7]float64{z0, z1, c.Diameter, c.Inner, c.ThreadDepth}
	switch {
	case c.Sweep != nil:
		m.contours = c.Sweep.Along
		z := c.Sweep.Z
		if flip {
			z = thickness - z
		}
		m.sizes[5], m.sizes[6] = c.Sweep.Leg, z
	case len(c.Region.Outer) > 0:
		m.contours = c.Region.Contours()
	default:
		m.contours = []geom.Contour{geom.Circle(c.Center, c.Diameter/2)}
	}
	if !math.IsInf(c.LeastRadius, 0) && c.Sweep == nil {
		m.sizes[5] = c.LeastRadius
	}
	m.at, _ = middle(m.contours)
	return m
}

// middle is the centroid of the length of contours, and their length. It does not depend on where edges are split.
func middle(cs []geom.Contour) (at geom.Point, length float64) {
	for _, c := range cs {
		for _, e := range c {
			l, m := e.Length(), e.Mid()
			if half := math.Abs(e.Sweep()) / 2; e.IsArc() && half > 1e-6 { // flatter arcs are their middle to 1e-13
				m = e.C.Add(m.Sub(e.C).Mul(math.Sin(half) / half))
			}
			at, length = at.Add(m.Mul(l)), length+l
		}
	}
	if length == 0 {
		return at, 0
	}
	return at.Mul(1 / length), length
}

// similar reports whether two cuts agree in all but place and shape.
func (m mark) similar(n mark, tol float64) bool {
	if m.words != n.words || len(m.contours) != len(n.contours) {
		return false
	}
	for i, s := range m.sizes {
		if math.Abs(s-n.sizes[i]) > tol {
			return false
		}
	}
	return true
}

// motions lists the motions that may carry p onto q: they bring the centres together and then one landmark onto one like it.
func (p profile) motions(q profile, mirror bool, tol float64) []geom.Affine {
	base := geom.Translation(p.centre.Mul(-1))
	if mirror {
		base = base.Then(geom.MirrorX())
	}
	from, to := p.landmarks(q, tol)
	if len(to) == 0 {
		return []geom.Affine{base.Then(geom.Translation(q.centre))} // all is round about the centre
	}
	a := base.Apply(from)
	var ts []geom.Affine
	for _, b := range to {
		b = b.Sub(q.centre)
		ts = append(ts, base.Then(geom.Rotation(math.Atan2(a.Cross(b), a.Dot(b)))).Then(geom.Translation(q.centre)))
	}
	return ts
}

// maxMotions bounds the motions that are tried: a plate with more like points is regular beyond use.
const maxMotions = 720

// landmarks chooses a point of p far from its centre and the points of q that it may go to: the corners of the outline that
// are farthest out, or, where the outline is round about its centre, the places of the rarest sort of cut.
func (p profile) landmarks(q profile, tol float64) (from geom.Point, to []geom.Point) {
	if f := farthest(p.outline, p.centre, tol); len(f) > 0 {
		return f[0], farthest(q.outline, q.centre, tol)
	}
	best := -1
	var bestTo []geom.Point
	for i, m := range p.marks {
		if m.at.Dist(p.centre) < 1 { // mm: too near to give a direction
			continue
		}
		var like []geom.Point
		for _, n := range q.marks {
			if m.similar(n, tol) && math.Abs(n.at.Dist(q.centre)-m.at.Dist(p.centre)) <= 2*tol {
				like = append(like, n.at)
			}
		}
		if best < 0 || len(like) < len(bestTo) {
			best, bestTo = i, like
		}
		if len(like) <= 1 || i > 200 {
			break
		}
	}
	if best < 0 {
		return geom.Point{}, nil
	}
	if len(bestTo) == 0 { // a cut of p that q has nowhere: one motion, which will not hold
		return p.marks[best].at, []geom.Point{p.marks[best].at}
	}
	return p.marks[best].at, bestTo[:min(len(bestTo), maxMotions)]
}

// farthest lists the points of contours that are farthest from c, within a few tolerances; none where an arc is round about c.
func farthest(cs []geom.Contour, c geom.Point, tol float64) []geom.Point {
	var pts []geom.Point
	reach := 0.0
	for _, contour := range cs {
		for _, e := range contour {
			cand := []geom.Point{e.A}
			if e.IsArc() {
				away := e.C.Sub(c)
				if away.Len() < 1e-3 { // mm; the whole arc is as far
					return nil
				}
				if tip := e.C.Add(away.Unit().Mul(e.R)); e.Dist(tip) < tol {
					cand = append(cand, tip)
				}
			}
			for _, p := range cand {
				pts, reach = append(pts, p), max(reach, p.Dist(c))
			}
		}
	}
	var far []geom.Point
	for _, p := range pts {
		if p.Dist(c) < reach-4*tol || len(far) == maxMotions {
			continue
		}
		near := false
		for _, f := range far {
			near = near || f.Dist(p) <= tol
		}
		if !near {
			far = append(far, p)
		}
	}
	return far
}

// lies reports whether p, moved by t, is q.
func (p profile) lies(q profile, t geom.Affine, tol float64) bool {
	if !alike(move(p.outline, t), q.outline, tol) {
		return false
	}
	used := make([]bool, len(q.marks))
	for _, m := range p.marks {
		at, found := t.Apply(m.at), false
		for j, n := range q.marks {
			if !used[j] && at.Dist(n.at) <= 2*tol && m.similar(n, tol) && alike(move(m.contours, t), n.contours, tol) {
				used[j], found = true, true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

func move(cs []geom.Contour, t geom.Affine) []geom.Contour {
	out := make([]geom.Contour, len(cs))
	for i, c := range cs {
		out[i] = c.Transform(t)
	}
	return out
}

// alike reports whether two boundaries run along each other: points of each edge of the one lie on the other, both ways.
// Lines and arcs that share their ends, quarters and middle are the same.
func alike(a, b []geom.Contour, tol float64) bool { return along(a, b, tol) && along(b, a, tol) }

func along(a, b []geom.Contour, tol float64) bool {
	var edges []geom.Edge
	var boxes []geom.Box
	for _, c := range b {
		for _, e := range c {
			edges, boxes = append(edges, e), append(boxes, e.Box().Grow(2*tol))
		}
	}
	for _, c := range a {
		for _, e := range c {
			for _, at := range []float64{0, 0.25, 0.5, 0.75} {
				if !on(e.At(at), edges, boxes, 2*tol) {
					return false
				}
			}
		}
	}
	return true
}

func on(p geom.Point, edges []geom.Edge, boxes []geom.Box, tol float64) bool {
	for i := range edges {
		if boxes[i].Contains(p) && edges[i].Dist(p) <= tol {
			return true
		}
	}
	return false
}
