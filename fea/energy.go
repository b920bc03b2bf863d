package fea

import (
	"context"
	"fmt"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// OwnerEnergy is the strain energy that the metal of one owner stores in a case:
// what it works. Owners are those of the layout's labels, by index; a field of ribs
// is divided further, into its ribs from node to node.
type OwnerEnergy struct {
	Share  int
	Owner  layout.Owner
	Rib    *FieldRib // of a field of ribs; nil for every other owner
	Energy float64   // N·mm
}

// FieldRib is one rib of a field.
type FieldRib struct {
	Anchor plate.RibAnchor
	At     geom.Point // middle of its centre line, mm
}

// Energy attributes the strain energy of a case to ribs, floors and the other
// owners of metal, in the order of the labels and within a field in that of the
// layout's strips. The sum is the energy of the plate. Each element's energy goes to
// the owners of its metal at six places, so that one that lies across a border is
// shared. In a field a place belongs to the rib whose centre line is nearest, and to
// several alike where these are as near, as at a node.
func (c *CaseResult) Energy(ctx context.Context) ([]OwnerEnergy, error) {
	if c.Field.Energy == nil {
		return nil, fmt.Errorf("fea: a coarse model does not find energies; wait for the fine one")
	}
	labels := c.model.Layout.Labels
	sums := make([]float64, len(labels.Shares))
	fields := make([]*fieldEnergy, len(sums))
	for k := range sums {
		if o := &labels.Shares[k].Owner; o.Kind == layout.OwnRib {
			fields[k] = newFieldEnergy(c.model.Layout, o.Feature)
		}
	}
	rest := 0.0
	locate := newLocator(labels.Subdivision)
	for e, energy := range c.Field.Energy {
		if e%256 == 0 {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
		}
		x := c.model.Shell.Triangle(e)
		ps := x.Points(false)
		area := 0.0
		for _, p := range ps {
			area += p.Weight
		}
		for _, p := range ps {
			part := energy / 2 * p.Weight / area
			k := labels.Of[locate.face(p.At)]
			switch {
			case k < 0:
				rest += part // within a chord of an arc's edge
			case fields[k] != nil:
				fields[k].add(p.At, part)
				fallthrough
			default:
				sums[k] += part
			}
		}
	}
	total := 0.0
	for _, v := range sums {
		total += v
	}
	scale := 1.0
	if total > 0 {
		scale = 1 + rest/total
	}
	var out []OwnerEnergy
	for k, v := range sums {
		o := labels.Shares[k].Owner
		if fields[k] == nil {
			out = append(out, OwnerEnergy{Share: k, Owner: o, Energy: v * scale})
			continue
		}
		for i := range fields[k].ribs {
			if r := &fields[k].ribs[i]; r.met {
				out = append(out, OwnerEnergy{Share: k, Owner: o, Rib: &r.FieldRib, Energy: r.energy * scale})
			}
		}
	}
	return out, nil
}

// locator finds faces of a subdivision, trying the last ones first: neighbouring
// elements lie in the same few.
type locator struct {
	sub    *geom.Subdivision
	boxes  []geom.Box
	recent []int32
}

func newLocator(sub *geom.Subdivision) *locator {
	l := &locator{sub: sub, boxes: make([]geom.Box, len(sub.Faces))}
	for f := range sub.Faces {
		l.boxes[f] = sub.Faces[f].Box()
	}
	return l
}

// recentFaces is how many faces are tried before all.
const recentFaces = 6

func (l *locator) face(q geom.Point) int32 {
	for i, f := range l.recent {
		if l.boxes[f].Contains(q) && l.sub.Faces[f].Contains(q) {
			copy(l.recent[1:i+1], l.recent[:i])
			l.recent[0] = f
			return f
		}
	}
	f := l.sub.Locate(q)
	if f == 0 {
		return f
	}
	if len(l.recent) < recentFaces {
		l.recent = append(l.recent, 0)
	}
	copy(l.recent[1:], l.recent)
	l.recent[0] = f
	return f
}
