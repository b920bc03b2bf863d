package route

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"

	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// What was worked out for a plan and holds for another one in which the same shapes occur: paths and times of cells, volumes,
// cutters of the outline. A memory belongs to one shop profile. It is written while a plan is made and only read afterwards.

// memory is keyed by shape, so that a cell is found again wherever it has moved to.
type memory struct {
	profile  string // hash
	cells    map[string]*cellMemory
	volumes  map[string]float64
	outlines map[string]outlineMemory
	options  map[string]bool // ids of the roughing cutters in use
	reused   int             // cells taken from the plan before, for tests
	made     int
}

// cellMemory is a cell's work with one cutter, in the coordinates in which it was planned.
type cellMemory struct {
	origin geom.Point // first corner of the region then
	work   cellWork
}

type outlineMemory struct {
	plan outlinePlan
	miss *missingError
}

func newMemory() *memory {
	return &memory{cells: map[string]*cellMemory{}, volumes: map[string]float64{}, outlines: map[string]outlineMemory{}, options: map[string]bool{}}
}

// Retime makes a plan for a layout that differs a little from that of an earlier plan in the same shop, for a glance while something
// is dragged: cells that occurred before keep their paths, the roughing cutters in use stay, volumes of new cells are area times
// depth, and tours are not shortened. Plan.About is set. Where the earlier plan was for another profile this is Make.
func Retime(ctx context.Context, previous Plan, l *layout.Layout, p shop.Profile) (Plan, error) {
	if l == nil || len(l.Outline.Outer) == 0 {
		return Plan{}, fmt.Errorf("route: the layout has no outline")
	}
	pl := newPlanner(l, p)
	if previous.memo == nil || previous.memo.profile != pl.hash {
		return Make(ctx, l, p)
	}
	pl.before, pl.plan.About = previous.memo, true
	for _, w := range pl.workers {
		w.quick = true
	}
	plan, err := pl.make(ctx)
	if err == nil && plan.memo != nil {
		plan.memo.inherit(previous.memo)
	}
	return plan, err
}

// maxInherited bounds what a chain of re-timed plans carries along.
const maxInherited = 5000

// inherit keeps what an earlier plan knew, so that dragging to and fro finds everything again.
func (m *memory) inherit(old *memory) {
	if len(m.cells)+len(old.cells) > maxInherited {
		return
	}
	for k, c := range old.cells {
		if m.cells[k] == nil {
			m.cells[k] = c
		}
	}
	for k, v := range old.volumes {
		if _, ok := m.volumes[k]; !ok {
			m.volumes[k] = v
		}
	}
	for k, v := range old.outlines {
		if _, ok := m.outlines[k]; !ok {
			m.outlines[k] = v
		}
	}
}

// cellKey names a class of cells in a group for a cutter.
func cellKey(g *pocketGroup, shape string, cutter string) string {
	b := []byte(cutter)
	b = append(b, '|')
	b = append(b, g.kind...)
	b = append(b, '|')
	b = append(b, g.side...)
	b = appendRounded(b, g.depth, g.radius, g.fillet)
	if g.through {
		b = append(b, 't')
	}
	return string(append(b, shape...))
}

// volumeKey names a cut by its shape, place and neighbours' part in it: what else has been cut there is not in it, so that a
// volume found by it is about right.
func volumeKey(c *layout.Cut) string {
	text, at := shapeText(c.Region)
	b := appendRounded([]byte(c.Kind), at.X, at.Y, c.Z0, c.Z1)
	return string(b) + text
}

// volumes are those of the cuts, exact, or about when the plan is.
func (pl *planner) volumes(ctx context.Context) ([]float64, error) {
	if pl.before == nil {
		net, err := netVolumes(ctx, pl.l)
		if err != nil {
			return nil, err
		}
		for i := range pl.l.Cuts {
			if c := &pl.l.Cuts[i]; len(c.Region.Outer) > 0 {
				pl.memo.volumes[volumeKey(c)] = net[i]
			}
		}
		return net, nil
	}
	net := make([]float64, len(pl.l.Cuts))
	for i := range pl.l.Cuts {
		c := &pl.l.Cuts[i]
		v, prism := solid(c)
		if prism && len(c.Region.Outer) > 0 {
			k := volumeKey(c)
			known, ok := pl.before.volumes[k]
			if v = known; !ok {
				v = c.Region.Area() * c.Depth()
			}
			pl.memo.volumes[k] = v
		}
		net[i] = v
	}
	return net, ctx.Err()
}

// shapeOf is the outline as a key: its form and where the blank ends round it.
func (pl *planner) shapeOf(least float64) string {
	text, _ := shapeText(pl.l.Outline)
	b := appendRounded([]byte(text), pl.t, least)
	b = binary.AppendVarint(b, int64(math.Round(pl.l.BlankZ.Z1/shapeQuantum)))
	return string(b)
}

// recall takes the work of a class from the earlier plan, moved to where the class is now.
func (pl *planner) recall(g *pocketGroup, c *cellClass, cutter string) bool {
	if pl.before == nil {
		return false
	}
	m := pl.before.cells[cellKey(g, c.text, cutter)]
	if m == nil {
		return false
	}
	option, estimate := c.work.option, c.work.estimate
	c.work = m.work
	c.work.option, c.work.estimate = option, estimate
	c.moved = c.origin.Sub(m.origin)
	return true
}

// keepCells puts what was worked out for the classes of a group into the memory.
func (pl *planner) keepCells(p *pocketPlan) {
	for _, c := range p.classes {
		w := c.work
		w.estimate = nil
		pl.memo.cells[cellKey(p.pocketGroup, c.text, p.options[c.work.option].tool.ID)] = &cellMemory{c.origin.Sub(c.moved), w}
		if c.recalled {
			pl.memo.reused++
		} else {
			pl.memo.made++
		}
		pl.memo.options[p.options[c.work.option].tool.ID] = true
	}
}
