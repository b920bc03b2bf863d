package fea

import (
	"context"

	"platewright/plate/geom"
	"platewright/plate/layout"
)

// OwnerEnergy is the strain energy that the metal of one owner stores in a case:
// what it works. Owners are those of the layout's labels, by index.
type OwnerEnergy struct {
	Share  int
	Owner  layout.Owner
	Energy float64 // N·mm
}

// Energy attributes the strain energy of a case to ribs, floors and the other
// owners of metal, in the order of the labels. The sum is the energy of the plate.
// Each element's energy goes to the owners of its metal at six places, so that
// one that lies across a border is shared.
func (c *CaseResult) Energy(ctx context.Context) ([]OwnerEnergy, error) {
	labels := c.model.Layout.Labels
	sums := make([]float64, len(labels.Shares))
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
			if k := labels.Of[locate.face(p.At)]; k >= 0 {
				sums[k] += part
			} else {
				rest += part // within a chord of an arc's edge
			}
		}
	}
	out := make([]OwnerEnergy, len(sums))
	total := 0.0
	for _, v := range sums {
		total += v
	}
	for i, v := range sums {
		if total > 0 {
			v *= 1 + rest/total
		}
		out[i] = OwnerEnergy{i, labels.Shares[i].Owner, v}
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
