package route

import (
	"context"
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// Breaking edges: a chamfer mill runs along the edges on the face that is up when it is finished; the edges that it does not
// reach, and those on the other face, are broken by hand.

// edgeTool is the chamfer mill and how deep its tip runs.
type edgeTool struct {
	ok   bool
	tool shop.Tool
	cond Conditions
	lead float64 // the tip runs this far from the wall, and this much below the broken edge
}

// edgeLead keeps the tip of the chamfer mill, which does not cut, clear of the edge, mm; common practice, no source.
const edgeLead = 1.0

func (pl *planner) edgeTool() edgeTool {
	width := pl.p.Practice.EdgeBreak.Value
	does := func(t shop.Tool) bool { return t.Kind == shop.ChamferMill && t.Diameter/2 >= edgeLead+width }
	tools := pl.p.Tools
	if t := pl.asked(stepEdge, 0); does(t) { // planEdges reports one that does not
		tools = []shop.Tool{t}
	}
	for _, t := range tools {
		if !does(t) {
			continue
		}
		c, err := Milling(pl.p, pl.group, t, shop.Chamfer, width, width)
		if err != nil {
			continue
		}
		return edgeTool{true, t, c, edgeLead}
	}
	return edgeTool{}
}

// tipDepth is the depth of the tip for an edge broken by width with the given lead: the flank falls by the cotangent of half the
// point angle.
func (e edgeTool) tipDepth(width, lead float64) float64 {
	return width + lead/math.Tan(radians(e.tool.PointAngleDeg)/2)
}

// rimCell makes the path along the edge of a cell, where the cell is deep and wide enough for the tip.
func (pl *planner) rimCell(w *worker, p *pocketPlan, c *cellClass) error {
	width := pl.p.Practice.EdgeBreak.Value
	lead := min(p.edge.lead, (p.depth-width)*0.8)
	if !p.edge.ok || lead < 0.2 {
		c.work.rimFree = true
		return nil
	}
	in, err := w.geom.Offset(c.region, -lead)
	if err != nil {
		return fmt.Errorf("route: edge of a cell: %w", err)
	}
	if len(in) != 1 || len(in[0].Holes) != len(c.region[0].Holes) {
		c.work.rimFree = true
		return nil
	}
	w.using(p.edge.tool, p.side)
	w.addTrip(&c.work.rim, edgeTrip(in[0].Contours(), p.side == plate.Bottom, p.edge.cond.pace()), 0, []float64{p.edge.tipDepth(width, lead)}, pl.h)
	return nil
}

// edgeTrip runs along contours, metal to the right of the path on the top face.
func edgeTrip(cs []geom.Contour, reverse bool, feed pace) trip {
	var t trip
	for _, c := range cs {
		c = oriented(c, reverse)
		i, p := longestLine(c)
		t.runs = append(t.runs, run{entry{}, []pass{{MoveCut, startAt(c, i, p), feed, 0}}})
	}
	return t
}

// addRim adds a cell's edge to the chamfer mill's task or to the hand's.
func (pl *planner) addRim(p *pocketPlan, c *cellClass, cell placedCell) {
	if c.work.rimFree {
		pl.handMM += c.region.Length()
	} else {
		pl.edgeTask(p.side, p.edge).add(p.feature, visit{&c.work.rim, cell.shift.Add(c.moved), cell.cut, 0})
	}
	if p.through {
		pl.handMM += c.region.Length()
	}
}

func (pl *planner) edgeTask(face plate.Side, e edgeTool) *task {
	k := pl.stageFor(face, true).task(stepEdge, e.tool, "break edges")
	k.cond, k.passes = e.cond, 1
	k.rules = "width: " + pl.p.Practice.EdgeBreak.Source
	return k
}

func (t *task) add(id plate.ID, v visit) {
	t.feature(id)
	t.visits = append(t.visits, v)
}

// planEdges adds the edges of the outline, of bores and of holes.
func (pl *planner) planEdges(ctx context.Context) error {
	e := pl.edgeTool()
	if t := pl.asked(stepEdge, 0); t.ID != "" && t.ID != e.tool.ID {
		pl.refused(t, "breaking edges", "it is no chamfer mill with cutting data that is wide enough")
	}
	width := pl.p.Practice.EdgeBreak.Value
	around := pl.l.Outline.Outer.Length()
	chamfered := pl.chamferedFaces()
	if !chamfered[pl.other] {
		pl.handMM += around // on the far face
	}
	switch {
	case chamfered[pl.main]:
	case e.ok:
		w := pl.workers[0].using(e.tool, pl.main)
		cs, err := pl.aroundOutline(w, e.lead)
		if err != nil {
			return err
		}
		j := &job{}
		w.addTrip(j, edgeTrip(cs, false, e.cond.pace()), 0, []float64{e.tipDepth(width, e.lead)}, pl.h)
		k := pl.edgeTask(pl.main, e)
		k.visits = append(k.visits, visit{job: j, cut: -1})
	default:
		pl.handMM += around
	}
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		switch c.Kind {
		case layout.CutBore, layout.CutDrilled, layout.CutTapped, layout.CutReamed, layout.CutCounterbore, layout.CutSeat:
			pl.roundEdge(i, c, e, width)
		}
	}
	return ctx.Err()
}

// roundEdge breaks the edge of a bore by a turn of the chamfer mill, that of a small hole by a plunge.
func (pl *planner) roundEdge(i int, c *layout.Cut, e edgeTool, width float64) {
	face := c.Side
	around := math.Pi * c.Diameter
	if face == plate.Through {
		face = pl.main
		pl.handMM += around
	}
	if !e.ok {
		pl.handMM += around
		return
	}
	j := &job{}
	w := pl.workers[0].using(e.tool, face)
	if r := c.Diameter / 2; r+width <= e.tool.Diameter/2 {
		j = pl.plungeJob(e.cond.pace().times(plungeRatio), []float64{e.tipDepth(width, r)}, false)
	} else {
		p := geom.Pt(r-e.lead, 0)
		circle := geom.Contour{geom.Arc(p, p, geom.Pt(0, 0), 1)}
		w.addTrip(j, edgeTrip([]geom.Contour{circle}, face == plate.Bottom, e.cond.pace()), 0, []float64{e.tipDepth(width, e.lead)}, pl.h)
	}
	pl.edgeTask(face, e).add(c.Feature, visit{j, c.Center, i, 0})
}
