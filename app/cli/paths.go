package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"platewright/export/report"
	"platewright/export/scene"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/route"
)

// allOperations asks for a picture of every operation.
const allOperations = "all"

// operations are the places in the plan of the operations that are asked for.
func (c *pictureCmd) operations(p route.Plan) ([]int, error) {
	n := len(p.Operations)
	if c.Operation == allOperations {
		var at []int
		for i := range p.Operations {
			if len(p.Operations[i].Paths) > 0 {
				at = append(at, i)
			}
		}
		if len(at) == 0 {
			return nil, failed("no operation of the plan has a path on the machine; see %q", program+" time "+c.File)
		}
		return at, nil
	}
	k, err := strconv.Atoi(c.Operation)
	switch {
	case err != nil || k < 1:
		return nil, usage("--operation %q: give the number of an operation as %q lists them, or all", c.Operation, program+" time")
	case k > n:
		return nil, failed("--operation %d: the plan has %d operations; %q lists them", k, n, program+" time "+c.File)
	case len(p.Operations[k-1].Paths) == 0:
		return nil, failed("--operation %d: %s has no path on the machine", k, p.Operations[k-1].Name)
	}
	return []int{k - 1}, nil
}

// checkOperation refuses what cannot be meant before anything is computed.
func (c *pictureCmd) checkOperation() error {
	if c.Operation == "" || c.Operation == allOperations {
		return nil
	}
	if k, err := strconv.Atoi(c.Operation); err != nil || k < 1 {
		return usage("--operation %q: give the number of an operation as %q lists them, or all", c.Operation, program+" time")
	}
	return nil
}

// writePaths draws the operations that are asked for: one into the file itself, all into files that carry the number of
// their operation.
func (c *pictureCmd) writePaths(e *env, r report.Report) error {
	if n := e.nameErrors(c.input, r.Findings()); n > 0 || !r.Machining.OK {
		return failed("%s: not written, because the plate cannot be made as it is; see %q", c.Out, program+" check "+c.File)
	}
	ops, err := c.operations(r.Machining.Value)
	if err != nil {
		return err
	}
	for _, i := range ops {
		out := c.Out
		if c.Operation == allOperations {
			ending := filepath.Ext(out)
			out = fmt.Sprintf("%s-%02d%s", strings.TrimSuffix(out, ending), i+1, ending)
			if err := target(out, []string{c.File}, ".png", ".svg"); err != nil {
				return err
			}
		}
		o := c.options(r, nil)
		c.overPath(&o, r.Machining.Value, i, r.Layout.Value.Blank)
		var buf bytes.Buffer
		if err := c.writer()(&buf, r.Layout.Value, o); err != nil {
			return failed("%s: not written: %v", out, err)
		}
		if err := e.write(out, buf.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// overPath puts operation i of a plan over the plate: seen from the face that is up in its set-up, with what holds the work.
func (c *pictureCmd) overPath(o *scene.PictureOptions, p route.Plan, i int, blank geom.Box) {
	op := &p.Operations[i]
	o.Show &^= scene.CutLines | scene.Findings | scene.Legend | scene.Adjusters | scene.Inlays | scene.Uncut | scene.Bosses | scene.Axes
	o.Findings = []finding.Finding{}
	o.Paths, o.Cutter = scene.Runs(op), op.Tool.Diameter
	face := ""
	for _, s := range p.SetUps {
		if s.Number == op.SetUp {
			o.Side = scene.FaceUp(s)
			face = string(s.Face) + " face up"
			if s.Turn != "" {
				face += ", turned about " + strings.ToUpper(string(s.Turn))
			}
		}
	}
	o.Paths = append(o.Paths, scene.HoldingRuns(p, func(s route.SetUp) bool { return s.Number == op.SetUp })...)
	if b := blank; !b.Empty() {
		o.Paths = append(o.Paths, scene.ToolRun{Edges: geom.Rect(b.Min, b.Max), Kind: scene.Blank})
	}
	room := float64(c.Width - 2*textMargin)
	o.Lines = nil
	for _, line := range []string{
		fmt.Sprintf("operation %d of %d, set-up %d (%s): %s", i+1, len(p.Operations), op.SetUp, face, op.Name),
		report.OperationConditions(*op),
		report.OperationLimit(*op),
	} {
		if line != "" {
			o.Lines = append(o.Lines, broken(line, room)...)
		}
	}
}
