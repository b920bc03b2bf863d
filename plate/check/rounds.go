package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// round is one bore or hole with what the rules ask of it.
type round struct {
	*layout.Cut
	r  float64 // radius as cut
	d0 float64 // hole diameter for edge distances; of a thread its nominal diameter
	// reach is how far from its edge something may stand and still break a rule.
	reach float64
	point *layout.Cut // of a blind hole, nil where it has none
	who   string
	w     place
}

// bore reports whether the round is a bore or a seat, which a press fit may load from inside.
func (k *round) bore() bool { return k.Kind == layout.CutBore || k.Kind == layout.CutSeat }

// recess reports whether the round is a recess of a bore or hole that guides and bears no fastener: only its ligaments count.
func (k *round) recess() bool {
	return k.Kind == layout.CutCounterbore || k.Kind == layout.CutCountersink || k.Kind == layout.CutGroove
}

// isRound reports whether a cut is judged as a round.
func isRound(k layout.CutKind) bool {
	switch k {
	case layout.CutBore, layout.CutDrilled, layout.CutTapped, layout.CutReamed, layout.CutSeat, layout.CutGroove,
		layout.CutCounterbore, layout.CutCountersink:
		return true
	}
	return false
}

// rounds checks every bore and hole by itself, against the outline and its neighbours.
func (r *run) rounds() {
	ks := r.listRounds()
	if len(ks) == 0 {
		return
	}
	cells := r.cellsByX()
	farthest := 0.0
	for i := range ks {
		farthest = max(farthest, ks[i].reach)
	}
	for i := range ks {
		k := &ks[i]
		r.alone(k)
		r.toOutline(k)
		cells.near(k.Center, k.r+k.reach, func(c *layout.Cut) { r.toCell(k, c) })
		for j := i + 1; j < len(ks) && ks[j].Center.X-ks[j].r-k.Center.X <= k.r+farthest; j++ {
			r.toRound(k, &ks[j])
		}
	}
}

// listRounds lists bores and holes by rising x of their left side.
func (r *run) listRounds() []round {
	type hole struct {
		feature plate.ID
		number  int
	}
	points := map[hole]*layout.Cut{}
	for i := range r.l.Cuts {
		if c := &r.l.Cuts[i]; c.Kind == layout.CutPoint {
			points[hole{c.Feature, c.Hole}] = c
		}
	}
	var ks []round
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		if !isRound(c.Kind) {
			continue
		}
		k := round{Cut: c, r: c.Diameter / 2, d0: c.Diameter, point: points[hole{c.Feature, c.Hole}]}
		if d, ok := standard.NominalDiameter(c.Thread); ok {
			k.d0 = max(d, c.Diameter)
		}
		k.who, k.w = holePlace(c)
		switch {
		case k.recess():
			k.who = fmt.Sprintf("the %s of %s", c.Kind, k.who)
			if c.Kind == layout.CutGroove {
				k.w.stage, k.who = plate.StageBores, fmt.Sprintf("the groove of seat %d of bore %q", c.Part, c.FeatureName)
			}
			k.reach = r.rule("ligament-thin", finding.Warning).Limit
		case k.bore():
			k.w.stage, k.who = plate.StageBores, fmt.Sprintf("bore %q", c.FeatureName)
			if c.Kind == layout.CutSeat {
				k.who = fmt.Sprintf("seat %d of bore %q", c.Part, c.FeatureName)
			}
			k.reach = max(r.rule("bore-wall", finding.Warning).Limit, r.rule("bore-wall", finding.Note).Limit*c.Diameter)
		default:
			k.reach = max(r.rule("ligament-thin", finding.Warning).Limit, r.rule("edge-distance", finding.Note).Limit*k.d0-k.r,
				r.rule("hole-pitch", finding.Note).Limit*k.d0-2*k.r)
		}
		ks = append(ks, k)
	}
	slices.SortStableFunc(ks, func(a, b round) int { return cmp.Compare(a.Center.X-a.r, b.Center.X-b.r) })
	return ks
}

// alone checks depth, thread and what is left under the drill's point.
func (r *run) alone(k *round) {
	if k.bore() || k.recess() {
		return
	}
	g := group{a: int64(k.Feature)}
	say := func(format string, args ...any) place {
		w := k.w
		w.what = k.who + " " + fmt.Sprintf(format, args...)
		return w
	}
	r.test("hole-deep", k.Depth()/k.Diameter, g, "holes", func(u Rule) place {
		w := say("is %s deep at a diameter of %s: %.4g times, limit %g", mm(k.Depth()), mm(k.Diameter), k.Depth()/k.Diameter, u.Limit)
		w.fix = "take a larger size, or make a blind hole less deep"
		return w
	})
	if k.Kind == layout.CutTapped {
		r.thread(k, g, say)
	}
	if k.point != nil {
		r.underPoint(k, g, say)
	}
}

func (r *run) thread(k *round, g group, say func(string, ...any) place) {
	d, ok := standard.NominalDiameter(k.Thread)
	if !ok {
		return
	}
	for _, code := range [2]string{"thread-short", "thread-deep"} {
		r.test(code, k.ThreadDepth/d, g, "holes", func(u Rule) place {
			w := say("has %s of %s thread: %.4g diameters, limit %g", mm(k.ThreadDepth), k.Thread, k.ThreadDepth/d, u.Limit)
			w.fix = "tap deeper or through, take a smaller size, or use a thread insert or a nut"
			if code == "thread-deep" {
				w.fix = "tap a blind hole of two diameters from the face that the screw enters, or take a larger size"
			}
			return w
		})
	}
}

// underPoint checks the metal between the drill's point and the next void below it. A point that breaks through is for the
// layout to tell.
func (r *run) underPoint(k *round, g group, say func(string, ...any) place) {
	c := k.point
	for _, m := range r.metalAt(c.Center) {
		left := 0.0
		switch {
		case c.Side == plate.Top && math.Abs(m.Z1-c.Z1) < touching:
			left = c.Z0 - m.Z0
		case c.Side == plate.Bottom && math.Abs(m.Z0-c.Z0) < touching:
			left = m.Z1 - c.Z1
		}
		if left <= 0 {
			continue
		}
		r.test("drill-point-thin", left, g, "holes", func(u Rule) place {
			w := say("leaves %s of metal under the drill's point, limit %s", mm(left), mm(u.Limit))
			w.fix = "make the hole less deep, or drill it through"
			return w
		})
	}
}

// edge is the place on a contour closest to p.
func edge(cs []geom.Contour, p geom.Point) (dist float64, at geom.Point) {
	dist = math.Inf(1)
	for _, c := range cs {
		for i := range c {
			q := c[i].Closest(p)
			if d := p.Dist(q); d < dist {
				dist, at = d, q
			}
		}
	}
	return dist, at
}

// toOutline checks a round against the outline. One that crosses it is for the layout to tell.
func (r *run) toOutline(k *round) {
	e, q := edge(r.l.Outline.Contours(), k.Center)
	if e <= k.r+touching || !r.l.Outline.Contains(k.Center) {
		return
	}
	r.besideEdge(k, e, q, "the outline", group{a: int64(k.Feature), kind: "outline"})
}

// besideEdge applies the rules of a free edge at distance e from the centre.
func (r *run) besideEdge(k *round, e float64, q geom.Point, edgeName string, g group) {
	if k.bore() {
		r.boreWall("bore-wall", k, e-k.r, q, edgeName, g)
		return
	}
	if r.ligament(k, e-k.r, q, edgeName, g) || k.recess() {
		return
	}
	r.test("edge-distance", e/k.d0, g, "holes", func(u Rule) place {
		w := k.w
		w.at = q
		w.what = fmt.Sprintf("the centre of %s stands %s from %s: %.4g hole diameters, limit %g", k.who, mm(e), edgeName, e/k.d0, u.Limit)
		w.fix = fmt.Sprintf("move the hole %s further in, or take a smaller size", mm(u.Limit*k.d0-e))
		return w
	})
}

// ligament tests the least metal and reports whether it is too thin, so that nothing milder is said of the same place.
func (r *run) ligament(k *round, t float64, q geom.Point, other string, g group) bool {
	_, thin := r.row("ligament-thin", t)
	r.test("ligament-thin", t, g, "holes", func(u Rule) place {
		w := k.w
		w.at = q
		w.what = fmt.Sprintf("the ligament between %s and %s is %s, limit %s", k.who, other, mm(t), mm(u.Limit))
		w.fix = fmt.Sprintf("move them apart by %s, or take a smaller size", mm(u.Limit-t))
		return w
	})
	return thin
}

// boreWall warns where a wall fails both readings of the rule, in millimetres and as a share of the bore, and notes where it
// fails the share alone.
func (r *run) boreWall(code string, k *round, t float64, q geom.Point, other string, g group) {
	least, share := r.rule(code, finding.Warning), r.rule(code, finding.Note)
	if !share.broken(t / k.Diameter) {
		return
	}
	u, limit := share, share.Limit*k.Diameter
	if least.broken(t) {
		u, limit = least, min(least.Limit, limit)
	}
	r.add(u, limit-t, g, "walls", func(Rule) place {
		w := k.w
		w.at = q
		w.what = fmt.Sprintf("the wall between %s (%s) and %s is %s, limit %s", k.who, mm(k.Diameter), other, mm(t), mm(limit))
		w.fix = "widen the boss, or move the bore"
		return w
	})
}

// over reports whether two cuts share a height.
func over(a, b *layout.Cut) bool { return min(a.Z1, b.Z1)-max(a.Z0, b.Z0) > touching }

// toCell checks a round against the wall of a cell.
func (r *run) toCell(k *round, c *layout.Cut) {
	if !over(k.Cut, c) {
		return
	}
	e, q := edge(c.Region.Contours(), k.Center)
	other := fmt.Sprintf("a cell of pocket %q", c.FeatureName)
	g := group{a: int64(k.Feature), b: int64(c.Feature), kind: "cell"}
	if e < k.r-touching {
		if k.Kind == layout.CutCountersink {
			return // for the layout to tell
		}
		r.test("hole-cuts-wall", e-k.r, g, "places", func(Rule) place {
			w := k.w
			w.at = q
			w.what = fmt.Sprintf("%s cuts %s into the wall of %s", k.who, mm(k.r-e), other)
			w.fix = "give it a boss, or move it off the wall"
			return w
		})
		return
	}
	if e > k.r+k.reach || c.Region.Contains(k.Center) {
		return
	}
	switch {
	case k.bore():
		r.boreWall("bore-near-pocket", k, e-k.r, q, other, g)
	case c.Side == plate.Through:
		r.besideEdge(k, e, q, fmt.Sprintf("a window of pocket %q", c.FeatureName), g)
	default:
		r.ligament(k, e-k.r, q, other, g)
	}
}

// toRound checks two rounds against each other.
func (r *run) toRound(a, b *round) {
	if !over(a.Cut, b.Cut) || a.Feature == b.Feature && a.Hole == b.Hole {
		return
	}
	e := a.Center.Dist(b.Center)
	t := e - a.r - b.r
	if t <= touching || t > max(a.reach, b.reach) {
		return // rounds that break into each other are for the layout to tell
	}
	if a.bore() && !b.bore() {
		a, b = b, a // a hole is judged beside a bore, not the bore beside a hole
	}
	if a.Feature > b.Feature && a.bore() == b.bore() {
		a, b = b, a
	}
	g := group{a: int64(a.Feature), b: int64(b.Feature), kind: "round"}
	q := a.Center.Add(b.Center.Sub(a.Center).Unit().Mul(a.r + t/2))
	switch {
	case a.bore(): // both are bores
		k := a
		if b.Diameter > a.Diameter {
			k, b = b, a
		}
		r.boreWall("bore-wall", k, t, q, b.who, g)
	case b.bore():
		r.besideEdge(a, e-b.r, q, b.who, g)
	default:
		if r.ligament(a, t, q, b.who, g) || a.recess() || b.recess() {
			return
		}
		d0 := max(a.d0, b.d0)
		r.test("hole-pitch", e/d0, g, "pairs", func(u Rule) place {
			w := a.w
			w.at = q
			w.what = fmt.Sprintf("%s and %s are %s apart: %.4g hole diameters, limit %g", a.who, b.who, mm(e), e/d0, u.Limit)
			w.fix = fmt.Sprintf("move them apart by %s, or take smaller sizes", mm(u.Limit*d0-e))
			return w
		})
	}
}

// cellIndex finds pocket cuts near a point: sorted by the left side of their boxes.
type cellIndex struct {
	cuts  []*layout.Cut
	boxes []geom.Box
	wide  float64
}

func (r *run) cellsByX() cellIndex {
	type cell struct {
		cut *layout.Cut
		box geom.Box
	}
	var cells []cell
	for i := range r.l.Cuts {
		if c := &r.l.Cuts[i]; c.Kind == layout.CutPocket {
			cells = append(cells, cell{c, c.Region.Box()})
		}
	}
	slices.SortStableFunc(cells, func(a, b cell) int { return cmp.Compare(a.box.Min.X, b.box.Min.X) })
	var x cellIndex
	for _, c := range cells {
		x.cuts, x.boxes, x.wide = append(x.cuts, c.cut), append(x.boxes, c.box), max(x.wide, c.box.Width())
	}
	return x
}

// near calls f with every cut whose box comes within reach of p.
func (x cellIndex) near(p geom.Point, reach float64, f func(*layout.Cut)) {
	from, _ := slices.BinarySearchFunc(x.boxes, p.X-reach-x.wide, func(b geom.Box, v float64) int { return cmp.Compare(b.Min.X, v) })
	around := geom.Box{}.Add(p).Grow(reach)
	for i := from; i < len(x.boxes) && x.boxes[i].Min.X <= p.X+reach; i++ {
		if x.boxes[i].Overlaps(around) {
			f(x.cuts[i])
		}
	}
}
