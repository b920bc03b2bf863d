package layout

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// addSweeps appends the floor fillets and the chamfers of the outline. One that would run into something else is refused
// with a finding that names both.
func (d *deriver) addSweeps() error {
	if err := d.addFillets(); err != nil {
		return err
	}
	return d.addChamfers()
}

func (d *deriver) addChamfers() error {
	c := d.p.Outline.Chamfer
	if c.Top == 0 && c.Bottom == 0 {
		return nil
	}
	if c.Top+c.Bottom >= d.t-touchEps {
		d.refuseChamfer("the edge chamfers", fmt.Sprintf("the edge chamfers of top (%s) and bottom (%s) run into each other in a plate of %s; both are left out",
			mm(c.Top), mm(c.Bottom), mm(d.t)),
			d.outline[0].A)
		return nil
	}
	for _, f := range [2]struct {
		side plate.Side
		leg  float64
	}{{plate.Top, c.Top}, {plate.Bottom, c.Bottom}} {
		if f.leg == 0 {
			continue
		}
		if err := d.addChamfer(f.side, f.leg); err != nil {
			return err
		}
	}
	return nil
}

func (d *deriver) addChamfer(side plate.Side, leg float64) error {
	name := fmt.Sprintf("the edge chamfer of the %s face (%s)", side, mm(leg))
	s := &Sweep{Along: []geom.Contour{d.outline}, Leg: leg, Z: d.t}
	if side == plate.Bottom {
		s.Z = 0
	}
	cut := Cut{Kind: CutChamfer, Side: side, LeastRadius: math.Inf(1), Cell: -1, Sweep: s, Region: geom.Region{Outer: d.outline}}
	cut.Z0, cut.Z1 = heights(side, 0, leg, d.t)
	ok, at, err := d.sweepable(s)
	switch {
	case err != nil:
		return err
	case !ok || d.clipped:
		d.refuseChamfer(name, name+" runs into itself: the outline is too narrow or bends too tightly there; it is left out", at)
		return nil
	}
	for i := range d.l.Cuts {
		k := &d.l.Cuts[i]
		if !k.Prism() && k.Kind != CutCountersink || k.Kind == CutFace || k.Kind == CutOutline || min(k.Z1, cut.Z1)-max(k.Z0, cut.Z0) <= zSlack {
			continue
		}
		if g := geom.Closest(d.outline, k.Region.Outer); g.D < leg-touchEps {
			d.refuseChamfer(name, fmt.Sprintf("%s runs into %s; it is left out", name, cutName(k)), g.P)
			return nil
		}
	}
	s.setVolume(false)
	d.l.Cuts = append(d.l.Cuts, cut)
	return nil
}

func (d *deriver) refuseChamfer(name, what string, at geom.Point) {
	d.find(finding.Finding{
		Code: "chamfer-meets", Level: finding.Error, Stage: "outline", Source: "geometry",
		What: what, Why: "a chamfer needs its full leg of metal along the whole edge; " + name + " must not meet another cut",
		Fix: "make the chamfer smaller, or move what it meets",
	}, at)
}

// sweepable reports whether the offset of the chains by the leg is what their edges say: nothing collapses, meets or
// vanishes on the way. Where it is not, at is a place that shows it.
func (d *deriver) sweepable(s *Sweep) (ok bool, at geom.Point, err error) {
	at = s.Along[0][0].A
	for _, c := range s.Along {
		for i := range c {
			if c[i].Dir > 0 && c[i].R < s.Leg-touchEps {
				return false, c[i].Mid(), nil
			}
		}
	}
	r := geom.Region{Outer: s.Along[0], Holes: s.Along[1:]}
	in, err := d.eng.Offset(geom.Shape{r}, -s.Leg)
	if err != nil {
		return false, at, d.kernel("outline", 0, "", err)
	}
	want, long := r.Area()-s.Band(s.Leg), 0.0
	for _, c := range s.Along {
		long += c.Length()
	}
	// The engine may move an edge by its merge distance.
	return math.Abs(in.Area()-want) <= 4e-6*long+1e-9*r.Area() && (len(in) == 1 || want < 1e-3), at, nil
}
