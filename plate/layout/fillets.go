package layout

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// addFillets appends the floor fillets of all cells that are cut.
func (d *deriver) addFillets() error {
	told := map[plate.ID]int{}
	for i := range d.l.Cells {
		if i%1024 == 0 && d.ctx.Err() != nil {
			return d.ctx.Err()
		}
		c := &d.l.Cells[i]
		p := d.cellPocket[i]
		if p.FloorRadius == 0 || c.State != CellCut || c.Side == plate.Through || c.Depth >= d.t-touchEps {
			continue
		}
		cut, why, err := d.fillet(i)
		switch {
		case err != nil:
			return err
		case why == "":
			d.l.Cuts = append(d.l.Cuts, cut)
		default:
			if told[p.ID]++; told[p.ID] <= listed {
				d.tellFillet(p, why, d.l.CellPoint(i))
			}
		}
	}
	for i := range d.p.Pockets {
		p := &d.p.Pockets[i]
		if more := told[p.ID] - listed; more > 0 {
			d.tellFillet(p, fmt.Sprintf("it is left out in more cells for like reasons: %d", more), d.outline.Box().Center())
		}
	}
	return nil
}

func (d *deriver) tellFillet(p *plate.Pocket, why string, at geom.Point) {
	d.find(finding.Finding{
		Code: "floor-radius-meets", Level: finding.Error, Feature: int64(p.ID), FeatureName: p.Name, Stage: "pockets", Source: "geometry",
		What: fmt.Sprintf("the floor radius of %s of pocket %q does not fit: %s", mm(p.FloorRadius), p.Name, why),
		Why:  "the fillet between floor and wall needs both, all round the cell", Fix: "make the floor radius smaller, or move what it meets",
	}, at)
}

// fillet is the fillet round the floor of cell i, or why there can be none.
func (d *deriver) fillet(i int) (cut Cut, why string, err error) {
	c, p := &d.l.Cells[i], d.cellPocket[i]
	r := p.FloorRadius
	wall := c.Depth
	if c.Ledge.Outer != nil {
		wall -= p.Ledge.Depth
	}
	switch {
	case r > p.Radius+touchEps:
		return cut, fmt.Sprintf("it is larger than the inside corner radius of %s, so that the fillets of two walls run into each other in the corners",
			mm(p.Radius)), nil
	case r > wall+touchEps:
		return cut, fmt.Sprintf("it is larger than the wall above the floor is high, %s, and would run out of it", mm(wall)), nil
	}
	cut = d.pocketCut(i, c)
	cut.Kind = CutFillet
	s := &Sweep{Along: c.Region.Contours(), Leg: r}
	cut.Sweep = s
	if c.Side == plate.Top {
		s.Z, cut.Z1 = cut.Z0, cut.Z0+r
	} else {
		s.Z, cut.Z0 = cut.Z1, cut.Z1-r
	}
	if k := d.meetsFillet(i, &cut); k >= 0 {
		return cut, "it runs into " + cutName(&d.l.Cuts[k]), nil
	}
	// A cell is a union of discs of the inside corner radius, so that nothing collapses within it, but where two of its parts
	// only just join in a sharp neck.
	if hasReflex(c.Region) {
		ok, _, err := d.sweepable(s)
		if err != nil {
			return cut, "", err
		}
		if !ok {
			return cut, "the fillets of two walls run into each other in a neck of the cell", nil
		}
	}
	s.setVolume(true)
	return cut, "", nil
}

// hasReflex reports whether the region has a sharp corner that points into it.
func hasReflex(r geom.Region) bool {
	for _, c := range r.Contours() {
		for i := range c {
			if corner(&c[i], &c[(i+1)%len(c)]) < 0 {
				return true
			}
		}
	}
	return false
}

// meetsFillet is the first prism that takes away metal of the fillet, or the wall or floor that it lies against; −1 for none.
// A prism does so when it shares a height with the fillet, the floor's own height included, unless it stays outside the
// cell, or inside by more than the radius.
func (d *deriver) meetsFillet(i int, cut *Cut) int {
	for _, n := range d.prisms.near(cut.Region.Box().Grow(touchSlack)) {
		k := &d.l.Cuts[n]
		if k.Cell == i || min(k.Z1, cut.Z1)-max(k.Z0, cut.Z0) < -zSlack {
			continue
		}
		// Sharing a height means more than touching it, but for the far end of the fillet, where the wall may end.
		if cut.Side == plate.Top && k.Z0 >= cut.Z1-zSlack || cut.Side == plate.Bottom && k.Z1 <= cut.Z0+zSlack {
			continue
		}
		gap, inside := regionGap(cut.Region, k.Region)
		if gap <= touchEps || inside && gap < cut.Sweep.Leg-touchEps || !inside && k.Region.Contains(cut.Region.Outer[0].A) {
			return int(n)
		}
	}
	return -1
}

// regionGap is the least distance between the boundaries of two regions, and whether b begins inside a.
func regionGap(a, b geom.Region) (gap float64, inside bool) {
	gap = geom.MaxCoord
	for _, p := range a.Contours() {
		for _, q := range b.Contours() {
			gap = min(gap, geom.Closest(p, q).D)
		}
	}
	return gap, a.Contains(b.Outer[0].A)
}
