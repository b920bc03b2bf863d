package route

import (
	"cmp"
	"context"
	"math"
	"slices"

	"platewright/plate/shop"
)

// Which cutters rough the pockets. Every set of the tools that could is tried: in a set each class of cells takes the cutter that is
// quickest in it, and the set costs those times and the tool changes that the plan then has. The finishing cutters are in the
// plan anyway, but whether they rough too is part of the set, since that costs a change as well.
//
// The best set with each class's quickest cutter is the best of all assignments: an optimal assignment uses some set; in that set
// no class is slower with its quickest cutter, and leaving cutters out never adds a change.
//
// Few cells are timed by planning them with every cutter; many are estimated.

const (
	// maxTried bounds the tools tried in all combinations; the largest are left out.
	maxTried = 10
	// exactPairs is the number of classes times cutters up to which each pair is planned to be timed.
	exactPairs = 60
)

// candidate is one class of cells with what every option costs.
type candidate struct {
	p       *pocketPlan
	c       *cellClass
	seconds []float64 // with each option, all cells of the class; +Inf where it does not enter
	corners []bool    // whether the finishing cutter roughs corners after it
	floors  []bool    // whether there is a floor pass
}

// chooseCutters picks the roughing cutter of every class.
func (pl *planner) chooseCutters(ctx context.Context, plans []*pocketPlan) error {
	cs, err := pl.candidates(ctx, plans)
	if err != nil {
		return err
	}
	for i := range cs {
		enters := make([]bool, len(cs[i].seconds))
		for o, s := range cs[i].seconds {
			enters[o] = !math.IsInf(s, 1)
		}
		pl.lastOptions = append(pl.lastOptions, enters)
	}
	if pl.fixed != nil {
		for i := range cs {
			cs[i].c.work.option = pl.fixed[i]
		}
		return nil
	}
	tools := triedTools(plans)
	bit := func(t shop.Tool) int {
		return slices.IndexFunc(tools, func(o shop.Tool) bool { return o.ID == t.ID })
	}
	bits := map[*pocketPlan][]int{}
	for _, p := range plans {
		for _, o := range p.options {
			bits[p] = append(bits[p], bit(o.tool))
		}
	}
	best, at := math.Inf(1), make([]int, len(cs))
	choice := make([]int, len(cs))
	for set := 1; set < 1<<len(tools); set++ {
		sum := 0.0
		for i := range cs {
			k := -1
			for o, b := range bits[cs[i].p] {
				if b >= 0 && set&(1<<b) != 0 && !math.IsInf(cs[i].seconds[o], 1) && (k < 0 || cs[i].seconds[o] < cs[i].seconds[k]) {
					k = o
				}
			}
			if k < 0 {
				sum = math.Inf(1)
				break
			}
			choice[i] = k
			sum += cs[i].seconds[k]
		}
		if sum >= best {
			continue
		}
		if sum += pl.changesWith(cs, choice); sum < best-1e-9 {
			best = sum
			copy(at, choice)
		}
	}
	for i := range cs {
		cs[i].c.work.option = at[i]
	}
	return nil
}

// triedTools are the tools of all options by diameter, the finishing cutters always among them.
func triedTools(plans []*pocketPlan) []shop.Tool {
	var out []shop.Tool
	add := func(t shop.Tool) {
		if !slices.ContainsFunc(out, func(o shop.Tool) bool { return o.ID == t.ID }) {
			out = append(out, t)
		}
	}
	for _, p := range plans {
		add(p.options[0].tool)
	}
	first := len(out)
	for _, p := range plans {
		for _, o := range p.options[1:] {
			add(o.tool)
		}
	}
	slices.SortStableFunc(out[first:], func(a, b shop.Tool) int { return cmp.Compare(a.Diameter, b.Diameter) })
	return out[:min(len(out), max(maxTried, first))]
}

// candidates times every class with every option.
func (pl *planner) candidates(ctx context.Context, plans []*pocketPlan) ([]candidate, error) {
	var cs []candidate
	pairs := 0
	for _, p := range plans {
		for _, c := range p.classes {
			n := len(p.options)
			cs = append(cs, candidate{p, c, make([]float64, n), make([]bool, n), make([]bool, n)})
			pairs += n
		}
	}
	exact := pairs <= exactPairs
	err := pl.each(ctx, len(cs), func(w *worker, i int) error {
		d := &cs[i]
		for o := range d.p.options {
			if err := ctx.Err(); err != nil {
				return err
			}
			s := d.c.work.estimate[o]
			d.corners[o], d.floors[o] = o > 0, true
			if exact && !math.IsInf(s, 1) {
				trial := *d.c
				trial.work = cellWork{option: o}
				if err := pl.planCell(w, d.p, &trial); err != nil {
					return err
				}
				s, d.corners[o], d.floors[o] = trial.work.seconds(), !trial.work.rest.isEmpty(), !trial.work.floor.isEmpty()
			}
			d.seconds[o] = s * float64(len(d.c.cells))
		}
		if o := slices.IndexFunc(d.p.options, func(o cutterOption) bool { return o.asked }); o >= 0 && !math.IsInf(d.seconds[o], 1) {
			for k := range d.seconds {
				if k != o {
					d.seconds[k] = math.Inf(1)
				}
			}
		}
		return nil
	})
	return cs, err
}

// seconds is the time of the machine in one cell.
func (w *cellWork) seconds() float64 {
	s := 0.0
	for _, j := range []*job{&w.rough, &w.rest, &w.floor, &w.wall, &w.rim} {
		s += j.sum.motion + j.rapid + j.other
	}
	return s
}

// slot is a task in the order of its set-up.
type slot struct {
	step     step
	diameter float64
	id, name string
}

// changesWith is the time in s of all tool changes of the plan, and of the lifts of its operations, if the classes are cut with the
// options chosen.
func (pl *planner) changesWith(cs []candidate, choice []int) float64 {
	if len(pl.stages) == 0 {
		return 0
	}
	pl.slots = pl.slots[:0]
	lists := pl.slots
	sum := 0.0
	lift := 2 * pl.workers[0].timer.d.rapidTime(0, 0, max(0, pl.h.safe-pl.h.retract))
	for _, s := range pl.stages {
		lists = lists[:0]
		for _, t := range s.tasks {
			lists = append(lists, slot{t.step, t.tool.Diameter, t.key(), t.name})
		}
		for i := range cs {
			p, o := cs[i].p, &cs[i].p.options[choice[i]]
			add := func(st step, t shop.Tool) { lists = append(lists, slot{st, t.Diameter, t.ID, p.name}) }
			if s == pl.stageFor(p.side, false) && p.roughTo > 0 {
				add(stepRoughPocket, o.tool)
				if cs[i].corners[choice[i]] {
					add(stepRoughCorner, p.options[0].tool)
				}
			}
			if s == pl.stageFor(p.side, true) {
				if cs[i].floors[choice[i]] {
					add(stepFloor, o.tool)
				}
				add(stepWall, p.options[0].tool)
			}
		}
		slices.SortStableFunc(lists, func(a, b slot) int {
			return cmp.Or(cmp.Compare(a.step, b.step), cmp.Compare(b.diameter, a.diameter), cmp.Compare(a.id, b.id), cmp.Compare(a.name, b.name))
		})
		held := ""
		for i, l := range lists {
			if l.id != held {
				sum += pl.p.Machine.ToolChange + pl.p.Machine.SpindleStart
			}
			held = l.id
			if i == 0 || l != lists[i-1] {
				sum += lift
			}
		}
	}
	pl.slots = lists
	return sum
}

// keepCutters gives every class the cutter that it had in the plan before; a new shape takes the largest of those in use that
// enters it.
func (pl *planner) keepCutters(plans []*pocketPlan) {
	w := pl.workers[0]
	for _, p := range plans {
		for _, c := range p.classes {
			c.work.option = -1
			for i := range p.options {
				if pl.before.cells[cellKey(p.pocketGroup, c.text, p.options[i].tool.ID)] != nil {
					c.work.option = i
				}
			}
			for i := len(p.options) - 1; i > 0 && c.work.option < 0; i-- {
				t := p.options[i].tool
				if !pl.before.options[t.ID] {
					continue
				}
				r := t.Diameter / 2
				ground, err := w.geom.Offset(c.region, -(r + pl.p.Practice.WallAllowance.Value))
				if err == nil && len(ground) > 0 && 2*ground.Area() >= minRoom*r*ground.Length() {
					c.work.option = i
				}
			}
			c.work.option = max(c.work.option, 0)
		}
	}
}
