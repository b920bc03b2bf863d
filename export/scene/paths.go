package scene

import "platewright/plate/geom"

// ToolRun is one stretch of a tool's path, in plate coordinates.
type ToolRun struct {
	Edges []geom.Edge
	Kind  RunKind
}

// RunKind says what the tool does along a run.
type RunKind int8

// The kinds of run.
const (
	Cutting  RunKind = iota // at feed rate in the metal
	Entering                // down a ramp or a helix
	Rapid                   // above the work
)

// paths draws tool paths: solid where the tool cuts, dotted where it enters, dashed where it travels.
func (p *Painter) paths() {
	th := p.o.Theme
	for _, k := range []struct {
		kind RunKind
		s    Stroke
	}{
		{Rapid, Stroke{Width: thinWidth, Dash: hiddenDash, Color: th.Look}},
		{Cutting, Stroke{Width: stepWidth, Color: th.Selection}},
		{Entering, Stroke{Width: openingWidth, Dash: uncutDash, Color: th.Wrong}},
	} {
		p.path.Reset()
		for i := range p.o.Paths {
			if r := &p.o.Paths[i]; r.Kind == k.kind {
				p.cam.chain(&p.path, r.Edges)
			}
		}
		p.stroke(k.s)
	}
}
