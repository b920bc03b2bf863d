package scene

import (
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/route"
)

// ToolRun is one stretch of a tool's path, or something of a set-up that paths are seen beside, in plate coordinates.
type ToolRun struct {
	Edges []geom.Edge
	Kind  RunKind
}

// RunKind says what the tool does along a run, or what stands there.
type RunKind int8

// The kinds of run.
const (
	Cutting  RunKind = iota // at feed rate in the metal
	Entering                // down a ramp, a helix, or straight
	Rapid                   // above the work
	Holding                 // the edge of a clamp or screw, which no path enters
	Locating                // a place where the work rests against something
	Blank                   // the edge of the blank
	runKinds                // how many there are
)

// runStyles are the kinds of run in the order in which they are drawn, with what the key calls them.
func runStyles(th Theme) [runKinds]runStyle {
	return [...]runStyle{
		{Blank, Stroke{Width: thinWidth, Color: th.Quiet}, "edge of the blank"},
		{Rapid, Stroke{Width: thinWidth, Dash: hiddenDash, Color: th.Look}, "rapid, above the work"},
		{Cutting, Stroke{Width: stepWidth, Color: th.Selection}, "at feed"},
		{Entering, Stroke{Width: openingWidth, Dash: uncutDash, Color: th.Wrong}, "ramp, helix or plunge"},
		{Holding, Stroke{Width: stepWidth, Dash: chainDash, Color: th.Ink}, "clamp or screw, kept out of"},
		{Locating, Stroke{Width: openingWidth, Color: th.Fine}, "the work rests against it"},
	}
}

type runStyle struct {
	kind RunKind
	s    Stroke
	name string
}

// paths draws tool paths: solid where the tool cuts, dotted where it goes down, dashed where it travels.
func (p *Painter) paths() {
	for _, k := range runStyles(p.o.Theme) {
		p.path.Reset()
		for i := range p.o.Paths {
			if r := &p.o.Paths[i]; r.Kind == k.kind {
				p.cam.chain(&p.path, r.Edges)
			}
		}
		p.stroke(k.s)
	}
}

// keyRoom is the width at the left that a picture keeps free for the key of its paths, px.
const keyRoom = 230

// pathKey lists in the lower left corner what the lines of the paths mean, for the kinds that occur, with the cutter's
// diameter to scale below.
func (p *Painter) pathKey(diameter float64) {
	size := p.o.TextSize
	pitch := size * 1.55
	var rows []runStyle
	for _, k := range runStyles(p.o.Theme) {
		if slices.ContainsFunc(p.o.Paths, func(r ToolRun) bool { return r.Kind == k.kind }) {
			rows = append(rows, k)
		}
	}
	const left, sample = 24.0, 30.0
	y := p.cam.Height - 48 - pitch*float64(len(rows))
	if r := diameter / 2 * p.cam.Scale; r > 0 {
		p.path.Reset()
		shown := min(r, sample*1.5) // a cutter that would not fit into the key is not drawn smaller, but left to its figure
		if shown == r {
			p.path.Circle(left+max(r, sample/2), y-max(r, size), r)
			p.stroke(Stroke{Width: stepWidth, Color: p.o.Theme.Ink})
		}
		u := p.o.Unit
		p.text(left+2*max(shown, sample/2)+6, y-max(r*btof(shown == r), size)+size*0.36, "cutter diameter "+u.Length(diameter)+" "+u.Symbol(), Start, p.o.Theme.Quiet)
	}
	for _, k := range rows {
		y += pitch
		p.path.Reset()
		p.path.Line(left, y-size*0.36, left+sample, y-size*0.36)
		p.stroke(k.s)
		p.text(left+sample+8, y, k.name, Start, p.o.Theme.Quiet)
	}
}

func btof(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// Runs are the stretches of an operation's path as they are seen from above, in the order in which they are run. A plunge is
// a small circle about its place. Edges are shared with the operation where they can be, and must not be changed.
func Runs(op *route.Operation) []ToolRun {
	out := make([]ToolRun, len(op.Paths))
	for i := range op.Paths {
		out[i] = toolRun(&op.Paths[i])
	}
	return out
}

func toolRun(p *route.Path) ToolRun {
	r := ToolRun{Kind: Cutting}
	switch p.Move {
	case route.MoveRapid:
		r.Kind = Rapid
	case route.MoveRamp:
		r.Kind = Entering
	case route.MovePlunge:
		const mark = 0.7 // mm
		r.Kind, r.Edges = Entering, geom.Circle(p.Shift, mark)
		return r
	}
	if p.Shift == (geom.Point{}) {
		r.Edges = p.Edges
		return r
	}
	r.Edges = make([]geom.Edge, len(p.Edges))
	for i, e := range p.Edges {
		r.Edges[i] = e.Translate(p.Shift)
	}
	return r
}

// HoldingRuns are what holds the work in the set-ups that keep accepts, and where its edges rest.
func HoldingRuns(p route.Plan, keep func(route.SetUp) bool) []ToolRun {
	const mark = 2.5 // mm
	var out []ToolRun
	for _, s := range p.SetUps {
		if !keep(s) {
			continue
		}
		for _, k := range s.KeepOuts {
			out = append(out, ToolRun{Edges: k.Outline, Kind: Holding})
		}
		for _, at := range s.Locators {
			out = append(out, ToolRun{Edges: geom.Circle(at, mark), Kind: Locating})
		}
	}
	return out
}

// FaceUp is the set-up's face that is up, as a side to look at.
func FaceUp(s route.SetUp) plate.Side {
	if s.Face == plate.Bottom {
		return plate.Bottom
	}
	return plate.Top
}
