package route

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"platewright/plate/geom"
	"platewright/plate/layout"
)

// What each cut removes, with metal that several cuts pass counted for the first of them in the order in which they are done:
// faces, the outline (everything of the blank outside it, cut or falling off as a frame), pockets, bores, holes, drill points.
// The volumes sum to blank less plate exactly, since cuts that
// overlap are resolved slab by slab with the regions themselves.

// rank orders cuts as they are made.
func rank(k layout.CutKind) int {
	return slices.Index([]layout.CutKind{
		layout.CutFace, layout.CutOutline, layout.CutPocket, layout.CutLedge, layout.CutSlot, layout.CutBore, layout.CutSeat, layout.CutGroove,
		layout.CutKeyway, layout.CutDrilled, layout.CutReamed, layout.CutTapped, layout.CutCounterbore, layout.CutCountersink,
		layout.CutPoint, layout.CutFillet, layout.CutChamfer,
	}, k)
}

// flat is a height below which a slab holds nothing, mm.
const flat = 1e-9

// netVolumes returns the volume of every cut of the layout.
func netVolumes(ctx context.Context, l *layout.Layout) ([]float64, error) {
	net := make([]float64, len(l.Cuts))
	var order []int
	for i := range l.Cuts {
		c := &l.Cuts[i]
		if volume, prism := solid(c); !prism {
			net[i] = volume // the layout keeps these clear of other cuts
			continue
		}
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rank(l.Cuts[a].Kind), rank(l.Cuts[b].Kind)) })
	boxes := make([]geom.Box, len(l.Cuts))
	for _, i := range order {
		boxes[i] = l.Cuts[i].Region.Box()
	}
	var e geom.Engine
	for at, i := range order {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c := &l.Cuts[i]
		var before []int
		for _, j := range order[:at] {
			b := &l.Cuts[j]
			if boxes[i].Overlaps(boxes[j]) && min(c.Z1, b.Z1)-max(c.Z0, b.Z0) > flat && !apart(l, c, b) {
				before = append(before, j)
			}
		}
		v, err := newVolume(&e, l, i, before)
		if err != nil {
			return nil, fmt.Errorf("route: volume of %s %q: %w", c.Kind, c.FeatureName, err)
		}
		net[i] = v
	}
	return net, nil
}

// solid is the volume of a cut that is no prism.
func solid(c *layout.Cut) (volume float64, prism bool) { return c.OtherVolume(), c.Prism() }

// apart tells cheaply that a cut does not meet the outline cut: pockets lie inside the outline by their making, and a round cut
// inside it whose centre is further from it than its radius.
func apart(l *layout.Layout, c, b *layout.Cut) bool {
	if b.Kind != layout.CutOutline {
		return false
	}
	if c.Kind == layout.CutPocket {
		return true
	}
	_, d := nearestOn(l.Outline.Outer, c.Center)
	return c.Diameter > 0 && d >= c.Diameter/2 && l.Outline.Contains(c.Center)
}

// newVolume is the volume of cut i that none of the cuts before it has taken.
func newVolume(e *geom.Engine, l *layout.Layout, i int, before []int) (float64, error) {
	c := &l.Cuts[i]
	zs := []float64{c.Z0, c.Z1}
	for _, j := range before {
		zs = append(zs, min(max(l.Cuts[j].Z0, c.Z0), c.Z1), min(max(l.Cuts[j].Z1, c.Z0), c.Z1))
	}
	slices.Sort(zs)
	area := c.Region.Area()
	v := 0.0
	for k := 1; k < len(zs); k++ {
		h := zs[k] - zs[k-1]
		if h <= flat {
			continue
		}
		var gone []geom.Shape
		whole := false
		for _, j := range before {
			if b := &l.Cuts[j]; b.Z0 <= zs[k-1]+flat && b.Z1 >= zs[k]-flat {
				// a face takes the whole of everything else in its slab
				whole = whole || b.Kind == layout.CutFace
				gone = append(gone, geom.Shape{b.Region})
			}
		}
		switch {
		case whole:
		case len(gone) == 0:
			v += area * h
		default:
			s, err := e.Difference(geom.Shape{c.Region}, gone...)
			if err != nil {
				return 0, err
			}
			v += s.Area() * h
		}
	}
	return v, nil
}
