package route

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/shop"
)

// What holds the work, and where no path may go for it. A clamp is a rectangle, a screw the disc of its head. What would be cut
// inside one is in no operation, and a finding names it; rapids over one are flown at the safe height.

// headRatio is the diameter of a cap screw's head over that of its clearance hole: ISO 4762 heads are 1.5 d, ISO 273 medium holes
// 1.1 d. From memory.
const headRatio = 1.45

// clampLength is how long a strap clamp is along the edge of the blank, and clampReach how far it reaches in at most, mm; common
// practice, no source.
const (
	clampLength = 30.0
	clampReach  = 25.0
)

// hold finds the keep-outs of every set-up and takes out of the operations what would be cut in them.
func (pl *planner) hold() {
	pl.keepOuts = make([][]KeepOut, len(pl.stages))
	for i, s := range pl.stages {
		own, given := pl.documentHolding(i + 1)
		if !given {
			own = pl.usualHolding(s)
		}
		pl.keepOuts[i] = own
		pl.vacuumLost(i+1, s)
		if len(own) == 0 {
			continue
		}
		for _, t := range s.tasks {
			pl.keepClear(i+1, t, own)
		}
		s.tasks = slices.DeleteFunc(s.tasks, func(t *task) bool { return len(t.visits) == 0 })
	}
}

// documentHolding is what the document says of a set-up; given is false where it says nothing.
func (pl *planner) documentHolding(setUp int) (out []KeepOut, given bool) {
	for _, h := range pl.l.Plate.Machining.Holding {
		if h.SetUp != 0 && h.SetUp != setUp {
			continue
		}
		given = true
		switch h.Kind {
		case plate.Clamp:
			if h.Width > 0 && h.Height > 0 {
				out = append(out, KeepOut{plate.Clamp, "clamp", turnedRect(geom.Pt(h.X, h.Y), h.Width, h.Height, radians(h.AngleDeg))})
			}
		case plate.Screw:
			n := 0
			for i := range pl.l.Cuts {
				if c := &pl.l.Cuts[i]; c.Feature == h.Feature && c.Diameter > 0 && c.Side == plate.Through {
					out = append(out, pl.screwHead(i))
					n++
				}
			}
			if n == 0 {
				pl.find(finding.Finding{
					Code: "holding-inactive", Level: finding.Warning, Stage: "machining", Feature: int64(h.Feature),
					What: fmt.Sprintf("set-up %d is to be screwed down through a feature that has no through hole", setUp),
					Why:  "a screw goes through a hole of the plate", Source: "the holding of the document", Fix: "name a hole that goes through",
				})
			}
		}
	}
	return out, given
}

// vacuumLost reports a set-up held by vacuum in which something is cut through: air comes in there.
func (pl *planner) vacuumLost(setUp int, s *stage) {
	for _, h := range pl.l.Plate.Machining.Holding {
		if h.Kind != plate.Vacuum || h.SetUp != 0 && h.SetUp != setUp {
			continue
		}
		for _, t := range s.tasks {
			for _, v := range t.visits {
				if v.cut >= 0 && pl.l.Cuts[v.cut].Side == plate.Through || t.step == stepFinishOutline {
					pl.find(finding.Finding{
						Code: "vacuum-lost", Level: finding.Warning, Stage: "machining",
						What: fmt.Sprintf("set-up %d is held by vacuum, and %q cuts through the plate in it", setUp, t.name),
						Why:  "air comes in through the cut and the plate comes loose", Source: "common practice, no source",
						Fix: "another holding for this set-up, or a seal round each opening",
					})
					return
				}
			}
		}
	}
}

// heldBy words the holding of the document in a set-up; empty where it says nothing.
func (pl *planner) heldBy(setUp int) string {
	n := map[plate.HoldingKind]int{}
	for _, h := range pl.l.Plate.Machining.Holding {
		if h.SetUp == 0 || h.SetUp == setUp {
			n[h.Kind]++
		}
	}
	var words []string
	for _, k := range []struct {
		kind plate.HoldingKind
		word string
	}{
		{plate.Vice, "between the jaws of a vice"},
		{plate.Vacuum, "on a vacuum plate"},
		{plate.Tape, "on double-sided tape"},
		{plate.Clamp, fmt.Sprintf("by %s", count(n[plate.Clamp], "clamp"))},
		{plate.Screw, "screwed down through its holes"},
	} {
		if n[k.kind] > 0 {
			words = append(words, k.word)
		}
	}
	return joinWords(words)
}

// usualHolding are the keep-outs of the holding that the rule chooses.
func (pl *planner) usualHolding(s *stage) []KeepOut {
	switch {
	case pl.hung && !s.has(stepFace):
		return pl.frameClamps()
	case s.has(stepFinishOutline) && len(pl.screws) >= leastScrews:
		var out []KeepOut
		for _, i := range pl.screws {
			out = append(out, pl.screwHead(i))
		}
		return out
	}
	return nil // edge clamps press from the sides, below the face
}

func (pl *planner) screwHead(cut int) KeepOut {
	c := &pl.l.Cuts[cut]
	return KeepOut{plate.Screw, "screw in " + pl.cutName(c), geom.Circle(c.Center, c.Diameter/2*headRatio)}
}

// frameClamps stand on the middle of each side of the blank's frame, outside the outline cutter's path.
func (pl *planner) frameClamps() []KeepOut {
	b, o := pl.l.Blank, pl.l.Outline.Outer.Box()
	path := pl.outline.tool.Diameter + pl.p.Practice.WallAllowance.Value + clampGap
	var out []KeepOut
	add := func(lo, hi geom.Point) {
		if hi.X > lo.X && hi.Y > lo.Y {
			out = append(out, KeepOut{plate.Clamp, "clamp on the frame", geom.Rect(lo, hi)})
		}
	}
	m := b.Center()
	half := min(clampLength, b.Width()/4, b.Height()/4) / 2
	reach := func(space float64) float64 { return min(space-path, clampReach) }
	add(geom.Pt(b.Min.X, m.Y-half), geom.Pt(b.Min.X+reach(o.Min.X-b.Min.X), m.Y+half))
	add(geom.Pt(b.Max.X-reach(b.Max.X-o.Max.X), m.Y-half), geom.Pt(b.Max.X, m.Y+half))
	add(geom.Pt(m.X-half, b.Min.Y), geom.Pt(m.X+half, b.Min.Y+reach(o.Min.Y-b.Min.Y)))
	add(geom.Pt(m.X-half, b.Max.Y-reach(b.Max.Y-o.Max.Y)), geom.Pt(m.X+half, b.Max.Y))
	return out
}

// clampGap keeps the cutter clear of a clamp, mm; common practice, no source.
const clampGap = 1.0

func turnedRect(c geom.Point, w, h, angle float64) geom.Contour {
	r := geom.Rect(geom.Pt(-w/2, -h/2), geom.Pt(w/2, h/2))
	for i := range r {
		r[i].A, r[i].B = r[i].A.Rotate(angle).Add(c), r[i].B.Rotate(angle).Add(c)
	}
	return r
}

// locators are the points that the blank's edges rest against in a set-up: two on its long side, one on the short one. Turning the
// work over brings the opposite side to the stops.
func (pl *planner) locators(face plate.Side) []geom.Point {
	b := pl.l.Blank
	y, x := b.Min.Y, b.Min.X
	if face != pl.main {
		if pl.l.Plate.Machining.Turn == plate.AxisY {
			x = b.Max.X
		} else {
			y = b.Max.Y
		}
	}
	return []geom.Point{
		geom.Pt(b.Min.X+0.2*b.Width(), y), geom.Pt(b.Min.X+0.8*b.Width(), y), geom.Pt(x, b.Min.Y+0.5*b.Height()),
	}
}

// keepClear takes out of a task what would enter a keep-out.
func (pl *planner) keepClear(setUp int, t *task, outs []KeepOut) {
	var keep []visit
	for _, v := range t.visits {
		hit := -1
		for k := range outs {
			if v.enters(&outs[k], pl.sweptRadius(t, v)) {
				hit = k
				break
			}
		}
		switch {
		case hit < 0:
			keep = append(keep, v)
		case t.step == stepEdge: // by hand, once the plate is loose
			pl.handMM += v.job.edgeLength()
		default:
			pl.held(setUp, t, v, &outs[hit])
		}
	}
	t.visits = keep
}

// sweptRadius is how far a tool cuts from its axis on a visit: a boring head is set to its bore.
func (pl *planner) sweptRadius(t *task, v visit) float64 {
	if t.tool.Kind == shop.BoringHead && v.cut >= 0 {
		return pl.l.Cuts[v.cut].Diameter / 2
	}
	return t.tool.Diameter / 2
}

func (j *job) edgeLength() float64 {
	if len(j.plunge) > 0 {
		return 0
	}
	l := 0.0
	for _, t := range j.trips {
		for _, r := range t.trip.runs {
			for _, p := range r.passes {
				l += chainLength(p.edges)
			}
		}
	}
	return l
}

func (pl *planner) held(setUp int, t *task, v visit, k *KeepOut) {
	at := v.start()
	f := finding.Finding{
		Code: "held-here", Level: finding.Error, Stage: "machining", Where: [2]float64{at.X, at.Y}, HasWhere: true,
		What: fmt.Sprintf("set-up %d: %q would run into the %s", setUp, t.name, k.Name), Why: "nothing that is held is cut, and no cutter runs into a clamp",
		Source: "the holding of the set-up", Fix: "move the clamp or the screw, or hold this set-up in another way",
	}
	if v.cut >= 0 {
		c := &pl.l.Cuts[v.cut]
		f.Feature, f.FeatureName = int64(c.Feature), c.FeatureName
	}
	pl.left(f)
}

// enters tells whether a tool of radius r touches the keep-out anywhere on a visit.
func (v visit) enters(k *KeepOut, r float64) bool {
	box := k.Outline.Box().Grow(r)
	if len(v.job.plunge) > 0 {
		return box.Contains(v.shift) && nearContour(k.Outline, v.shift, r)
	}
	reach := v.job.box
	if !(geom.Box{Min: reach.Min.Add(v.shift), Max: reach.Max.Add(v.shift)}).Overlaps(box) {
		return false
	}
	for _, t := range v.job.trips {
		for i := range t.trip.runs {
			run := &t.trip.runs[i]
			if edgesEnter(run.entry.loop, v.shift, k.Outline, box, r) {
				return true
			}
			for _, p := range run.passes {
				if edgesEnter(p.edges, v.shift, k.Outline, box, r) {
					return true
				}
			}
		}
	}
	return false
}

// holdChord is how far the chords that keep-outs are tested with leave the arcs of a path, mm; keep-outs are grown by as much.
const holdChord = 0.01

func edgesEnter(edges []geom.Edge, shift geom.Point, c geom.Contour, box geom.Box, r float64) bool {
	for i := range edges {
		e := edges[i].Translate(shift)
		if !e.Box().Overlaps(box) {
			continue
		}
		if !e.IsArc() {
			if lineNear(e, c, r) {
				return true
			}
			continue
		}
		n := max(1, int(math.Ceil(math.Abs(e.Sweep())/(2*math.Acos(max(0, 1-holdChord/max(e.R, holdChord)))))))
		at := e.A
		for k := 1; k <= n; k++ {
			to := e.At(float64(k) / float64(n))
			if lineNear(geom.Line(at, to), c, r+holdChord) {
				return true
			}
			at = to
		}
	}
	return false
}

// nearContour tells whether a point is inside a contour or nearer to it than r.
func nearContour(c geom.Contour, p geom.Point, r float64) bool {
	_, d := nearestOn(c, p)
	return d < r || c.Contains(p)
}

// lineNear tells whether a line comes nearer than r to a convex contour, or into it.
func lineNear(l geom.Edge, c geom.Contour, r float64) bool {
	if nearContour(c, l.A, r) || nearContour(c, l.B, r) {
		return true
	}
	for i := range c {
		e := &c[i]
		if e.IsArc() { // of a screw's head: the whole circle
			if l.Dist(e.C) < e.R+r {
				return true
			}
			continue
		}
		if l.Dist(e.A) < r || crossing(l, *e) {
			return true
		}
	}
	return false
}

// crossing tells whether two lines cross.
func crossing(a, b geom.Edge) bool {
	u, v := a.B.Sub(a.A), b.B.Sub(b.A)
	return u.Cross(b.A.Sub(a.A))*u.Cross(b.B.Sub(a.A)) < 0 && v.Cross(a.A.Sub(b.A))*v.Cross(a.B.Sub(b.A)) < 0
}

// overHolding is the time that a rapid takes to be flown over what holds the work, s.
func (pl *planner) overHolding(setUp int, hop *geom.Edge, t shop.Tool) float64 {
	for i := range pl.keepOuts[setUp-1] {
		if lineNear(*hop, pl.keepOuts[setUp-1][i].Outline, t.Diameter/2) {
			return 2 * pl.workers[0].timer.d.rapidTime(0, 0, max(0, pl.h.safe-pl.h.retract))
		}
	}
	return 0
}

// changeTime is the time to change to a tool, s: by the magazine, or by hand for the tools that it has no place for.
func (pl *planner) changeTime(key string, numbers map[string]int) float64 {
	if numbers[key] > pl.p.Machine.Magazine {
		return pl.p.Machine.HandChange
	}
	return pl.p.Machine.ToolChange
}

func pointOfAnchor(a plate.Anchor) geom.Point { return geom.Pt(a.X, a.Y) }
