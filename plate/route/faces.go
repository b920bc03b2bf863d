package route

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// Facing: a raster of straight passes along the longer side of the blank, to and fro, the cutter running out at both ends.

// planFaces adds the facing of every face that is machined.
func (pl *planner) planFaces(context.Context) error {
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		if c.Kind != layout.CutFace {
			continue
		}
		if err := pl.planFace(i, c, pl.net[i]); err != nil {
			return err
		}
	}
	return nil
}

func (pl *planner) planFace(i int, c *layout.Cut, removed float64) error {
	var best *task
	var bestTime float64
	box := pl.l.Blank
	does := func(t shop.Tool) bool { return t.Kind == shop.FaceMill && t.Reach >= c.Depth() }
	for _, t := range pl.toolsFor(stepFace, c.Feature, "the "+string(c.Side)+" face", "it is no face mill that reaches so deep", does) {
		if !does(t) {
			continue
		}
		along, across := box.Width(), box.Height()
		if across > along {
			along, across = across, along
		}
		m := max(1, int(math.Ceil(across/(pl.p.Practice.FacingWidth.Value*t.Diameter)-1e-9)))
		n, cond, _, err := levels(pl.p, pl.group, t, shop.Face, across/float64(m), c.Depth(), pl.p.Practice.FacingDepth.Value, 0)
		if err != nil {
			var none *noDataError
			if errors.As(err, &none) {
				continue
			}
			return err
		}
		w := pl.workers[0].using(t, c.Side)
		edges := raster(box, m, t.Diameter/2+pl.h.retract)
		tr := trip{[]run{{entry{}, []pass{{MoveCut, edges, cond.pace(), 0}}}}}
		j := &job{}
		w.addTrip(j, tr, -c.Depth(), evenDepths(-c.Depth(), 0, n), pl.h)
		if s := j.sum.motion + j.rapid; best == nil || s < bestTime {
			best = &task{step: stepFace, tool: t, name: fmt.Sprintf("face the %s", c.Side), cond: cond, passes: n, visits: []visit{{job: j, cut: i}}}
			bestTime = s
		}
	}
	if best == nil {
		pl.left(finding.Finding{
			Code: "no-face-mill", Level: finding.Error, Stage: "stock",
			What: fmt.Sprintf("no face mill with cutting data for the machined %s face", c.Side),
			Why:  "a face that is machined must be milled over its whole area", Source: "the shop profile " + pl.p.Name,
			Fix: "leave the face as supplied, or give the shop a face mill",
		})
		return nil
	}
	best.visits[0].removed = removed
	best.rules = "width of cut: " + pl.p.Practice.FacingWidth.Source + "; depth: " + pl.p.Practice.FacingDepth.Source
	s := pl.stageFor(c.Side, false)
	s.tasks = append(s.tasks, best)
	return nil
}

// raster is n straight lines along the longer side of a box, evenly spread over the shorter, to and fro, running out over both
// ends, joined outside the work.
func raster(b geom.Box, n int, out float64) []geom.Edge {
	turned := b.Height() > b.Width()
	at := func(along, across float64) geom.Point {
		if turned {
			return geom.Pt(b.Min.X+across, b.Min.Y+along)
		}
		return geom.Pt(b.Min.X+along, b.Min.Y+across)
	}
	l, w := max(b.Width(), b.Height()), min(b.Width(), b.Height())
	var edges []geom.Edge
	var last geom.Point
	for i := range n {
		y := w * (float64(i) + 0.5) / float64(n)
		p, q := at(-out, y), at(l+out, y)
		if i%2 == 1 {
			p, q = q, p
		}
		if i > 0 {
			edges = append(edges, geom.Line(last, p))
		}
		edges = append(edges, geom.Line(p, q))
		last = q
	}
	return edges
}

// planPockets adds the pockets of both faces.
func (pl *planner) planPockets(ctx context.Context) error {
	plans, err := pl.pocketPlans(groupPockets(pl.l, pl.main))
	if err != nil {
		return err
	}
	type unit struct {
		p *pocketPlan
		c *cellClass
	}
	var units []unit
	for _, p := range plans {
		for _, c := range p.classes {
			units = append(units, unit{p, c})
		}
	}
	if pl.before != nil {
		pl.keepCutters(plans)
	} else {
		err = pl.each(ctx, len(units), func(w *worker, i int) error { return pl.estimateCell(w, units[i].p, units[i].c) })
		if err != nil {
			return err
		}
		if err := pl.chooseCutters(ctx, plans); err != nil {
			return err
		}
	}
	err = pl.each(ctx, len(units), func(w *worker, i int) error { return pl.planCell(w, units[i].p, units[i].c) })
	if err != nil {
		return err
	}
	for _, p := range plans {
		pl.addCells(p)
		pl.keepCells(p)
	}
	return nil
}

// addCells turns the jobs of a group into tasks, one for each cutter and step.
func (pl *planner) addCells(p *pocketPlan) {
	rough, finish := pl.stageFor(p.side, false), pl.stageFor(p.side, true)
	what := fmt.Sprintf("pockets %q", p.name)
	switch {
	case p.kind == layout.CutSlot:
		what = fmt.Sprintf("slots %q", p.name)
	case p.through:
		what = fmt.Sprintf("windows %q", p.name)
	}
	pr := pl.p.Practice
	add := func(s *stage, st step, t shop.Tool, name string, c Conditions, passes int, j *job, cell placedCell, moved geom.Point, removed float64, rules string) {
		if j.isEmpty() {
			return
		}
		k := s.task(st, t, name)
		k.cond, k.passes, k.rules = c, passes, rules
		k.feature(p.feature)
		k.visits = append(k.visits, visit{j, cell.shift.Add(moved), cell.cut, removed})
	}
	fillets := map[int]float64{} // volume of the metal that stays, by cell; negative
	if p.fillet > 0 {
		for i := range pl.l.Cuts {
			if c := &pl.l.Cuts[i]; c.Kind == layout.CutFillet {
				fillets[c.Cell] += pl.net[i]
			}
		}
	}
	classes := slices.Clone(p.classes)
	slices.SortStableFunc(classes, func(a, b *cellClass) int { return cmp.Compare(b.work.option, a.work.option) })
	small := p.options[0]
	for _, c := range classes {
		o, w := p.options[c.work.option], &c.work
		for _, cell := range c.cells {
			gross := c.area * p.depth
			net := pl.net[cell.cut] + fillets[pl.l.Cuts[cell.cut].Cell]
			share := net / gross
			roughed, corners := w.swept*p.roughTo*share, w.left*p.roughTo*share
			floor := 0.0
			if !w.floor.isEmpty() {
				floor = min(w.sweptFloor*(p.depth-p.roughTo)*share, net-roughed-corners)
			}
			widths := "ae: " + pr.RoughWidth.Source + "; ap: " + pr.RoughDepth.Source
			add(rough, stepRoughPocket, o.tool, "rough "+what, o.rough, o.levels, &w.rough, cell, c.moved, roughed, widths)
			add(rough, stepRoughCorner, small.tool, "rough corners of "+what, small.rough, small.levels, &w.rest, cell, c.moved, corners, widths)
			add(finish, stepFloor, o.tool, "finish floors of "+what, o.floor, 1, &w.floor, cell, c.moved, floor, "allowance: "+pr.FloorAllowance.Source)
			add(finish, stepWall, small.tool, "finish walls of "+what, p.wall, p.walls, &w.wall, cell, c.moved, net-roughed-corners-floor,
				"cutter: "+pr.CornerRatio.Source+"; allowance: "+pr.WallAllowance.Source)
			pl.addRim(p, c, cell)
		}
	}
	if p.through {
		finish.note = append(finish.note, fmt.Sprintf("%s are cleared to chips down to a skin of %g mm and then through, from the middle outwards: no slug comes loose", what, pr.Skin.Value))
	}
}
