package plate

import "slices"

// Clone returns a copy that shares nothing with p.
func (p Plate) Clone() Plate {
	p.Stock.Finish.Masked = slices.Clone(p.Stock.Finish.Masked)
	p.Outline = p.Outline.clone()
	p.Bores = clones(p.Bores, Bore.clone)
	p.Holes = slices.Clone(p.Holes)
	p.Circles = clones(p.Circles, BoltCircle.clone)
	p.Rings = clones(p.Rings, ClockedRing.clone)
	p.Eccentrics = slices.Clone(p.Eccentrics)
	p.Slots = slices.Clone(p.Slots)
	p.Ribs = slices.Clone(p.Ribs)
	p.Grids = clones(p.Grids, Grid.clone)
	p.Pockets = clones(p.Pockets, Pocket.clone)
	p.KeepOuts = clones(p.KeepOuts, KeepOut.clone)
	p.Inlays = clones(p.Inlays, Inlay.clone)
	p.Settings = clones(p.Settings, Setting.clone)
	p.Supports = clones(p.Supports, Support.clone)
	p.Loads = clones(p.Loads, Load.clone)
	p.Cases = clones(p.Cases, LoadCase.clone)
	p.CutLines = slices.Clone(p.CutLines)
	p.Targets = slices.Clone(p.Targets)
	p.Machining.Changes = slices.Clone(p.Machining.Changes)
	p.Machining.Holding = slices.Clone(p.Machining.Holding)
	p.Price.Batches = slices.Clone(p.Price.Batches)
	return p
}

func clones[T any](list []T, clone func(T) T) []T {
	list = slices.Clone(list)
	for i := range list {
		list[i] = clone(list[i])
	}
	return list
}

func (o Outline) clone() Outline {
	o.Corners, o.Wraps, o.Vertices = slices.Clone(o.Corners), slices.Clone(o.Wraps), slices.Clone(o.Vertices)
	return o
}

func (b Bore) clone() Bore {
	b.Seats = slices.Clone(b.Seats)
	return b
}

func (c BoltCircle) clone() BoltCircle {
	c.Angles = slices.Clone(c.Angles)
	return c
}

func (c ClockedRing) clone() ClockedRing {
	c.BoltCircle = c.BoltCircle.clone()
	c.MateAngles, c.WantedDeg = slices.Clone(c.MateAngles), slices.Clone(c.WantedDeg)
	return c
}

func (g Grid) clone() Grid {
	g.Bounds, g.Widths = slices.Clone(g.Bounds), slices.Clone(g.Widths)
	g.Hubs, g.Samples = slices.Clone(g.Hubs), slices.Clone(g.Samples)
	return g
}

func (k Pocket) clone() Pocket {
	k.Bounds, k.Ribs = slices.Clone(k.Bounds), slices.Clone(k.Ribs)
	k.Kept, k.Depths = slices.Clone(k.Kept), slices.Clone(k.Depths)
	return k
}

func (k KeepOut) clone() KeepOut {
	k.Bounds = slices.Clone(k.Bounds)
	return k
}

func (i Inlay) clone() Inlay {
	i.Cells = slices.Clone(i.Cells)
	return i
}

func (s Setting) clone() Setting {
	s.Values = slices.Clone(s.Values)
	return s
}

func (s Support) clone() Support {
	s.On.Bounds = slices.Clone(s.On.Bounds)
	return s
}

func (l Load) clone() Load {
	l.On.Bounds = slices.Clone(l.On.Bounds)
	return l
}

func (c LoadCase) clone() LoadCase {
	c.Loads, c.Supports = slices.Clone(c.Loads), slices.Clone(c.Supports)
	return c
}
