package layout

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// PointVolume is the volume of a drill point in mm³: a cone of the hole's diameter with the drill's point angle. It is 0
// for every other kind of cut.
func (c Cut) PointVolume() float64 {
	if c.Kind != CutPoint {
		return 0
	}
	return math.Pi * c.Diameter * c.Diameter / 12 * c.Depth()
}

// OtherVolume is what a cut that is no prism removes, mm³: a drill point, a countersink outside its hole, a chamfer; negative
// for a floor fillet, which is metal that stays. It is 0 for prisms.
func (c Cut) OtherVolume() float64 {
	switch c.Kind {
	case CutPoint:
		return c.PointVolume()
	case CutCountersink:
		return math.Pi / 12 * c.Depth() * (c.Diameter*c.Diameter + c.Diameter*c.Inner - 2*c.Inner*c.Inner)
	case CutFillet, CutChamfer:
		return c.Sweep.Volume
	}
	return 0
}

// Volume is the volume of the plate in mm³: the metal of the map, less what is no prism.
func (l *Layout) Volume() float64 {
	v := 0.0
	for f := range l.Map.Faces {
		if m := l.Map.Metal[f]; len(m) > 0 {
			v += l.Map.Faces[f].Area() * metalHeight(m)
		}
	}
	return v - l.otherVolume()
}

func (l *Layout) otherVolume() float64 {
	v := 0.0
	for i := range l.Cuts {
		v += l.Cuts[i].OtherVolume()
	}
	return v
}

// BlankVolume is the volume of the blank in mm³, allowances of machined faces included.
func (l *Layout) BlankVolume() float64 {
	return l.Blank.Width() * l.Blank.Height() * (l.BlankZ.Z1 - l.BlankZ.Z0)
}

// VolumeFromCuts is the volume of the plate in mm³ worked out from the cuts alone: for each slab between two levels, the
// blank less the union of the cuts that reach through it. It shares nothing with the map but the cuts, and the two must
// agree.
func (l *Layout) VolumeFromCuts() (float64, error) {
	levels := []float64{l.BlankZ.Z0, l.BlankZ.Z1}
	for i := range l.Cuts {
		if c := &l.Cuts[i]; c.Prism() {
			levels = append(levels, c.Z0, c.Z1)
		}
	}
	slices.Sort(levels)
	blank := geom.Shape{{Outer: geom.Rect(l.Blank.Min, l.Blank.Max)}}
	var eng geom.Engine
	v := 0.0
	for k := 1; k < len(levels); k++ {
		z0, z1 := levels[k-1], levels[k]
		if z1-z0 <= zSlack || z0 < l.BlankZ.Z0-zSlack || z1 > l.BlankZ.Z1+zSlack {
			continue
		}
		var cuts []geom.Shape
		for i := range l.Cuts {
			if c := &l.Cuts[i]; c.Prism() && c.Z0 <= z0+zSlack && c.Z1 >= z1-zSlack {
				cuts = append(cuts, geom.Shape{c.Region})
			}
		}
		s, err := eng.Difference(blank, cuts...)
		if err != nil {
			return 0, fmt.Errorf("volume between z %.3f and %.3f mm: %w", z0, z1, err)
		}
		v += s.Area() * (z1 - z0)
	}
	return v - l.otherVolume(), nil
}

// CellPoint is a point inside the cell: its triangle's middle where that lies in it, else the point of its anchor or one
// found in the region.
func (l *Layout) CellPoint(i int) geom.Point {
	c := &l.Cells[i]
	if a := c.Anchor; a.Grid == 0 {
		if q := geom.Pt(a.X, a.Y); c.Region.Contains(q) {
			return q
		}
	}
	return inside(c.Region)
}

// CellAt is the index of the cell at q that is cut, or would be cut, from the given side; −1 when there is none. Cells of
// through pockets are found from both sides. Where several pockets of one side overlap, the deepest answers.
func (l *Layout) CellAt(q geom.Point, side plate.Side) int {
	best := -1
	for i := range l.Cells {
		c := &l.Cells[i]
		if c.Side != side && c.Side != plate.Through && side != plate.Through {
			continue
		}
		if best >= 0 && c.Depth <= l.Cells[best].Depth {
			continue
		}
		r := &c.Region
		if c.Ledge.Outer != nil {
			r = &c.Ledge
		}
		if r.Outer.Box().Contains(q) && r.Contains(q) {
			best = i
		}
	}
	return best
}
