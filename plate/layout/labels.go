package layout

import (
	"cmp"
	"math"
	"slices"

	"platewright/plate/geom"
)

// makeLabels divides the plane once more, by the forms as well as by the cuts, and gives every face with metal to an
// owner.
func (d *deriver) makeLabels() error {
	w := &owners{d: d, col: d.newColumn(), index: map[Owner]int{}}
	layers, err := w.forms(w.col.shapes(d))
	if err != nil {
		return err
	}
	raw, err := d.eng.Subdivide(layers)
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	lab, height, err := w.merge(raw)
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	height = w.sealLabels(lab, height)
	w.order(lab)
	for f, o := range lab.Of {
		if o >= 0 {
			a := lab.Faces[f].Area()
			lab.Shares[o].PlanArea += a
			lab.Shares[o].Volume += a * height[f]
		}
	}
	w.others(lab)
	d.settle(lab)
	d.l.Labels = lab
	return nil
}

// merge joins the faces of one owner. Faces stay apart where their metal differs, so that labels are finer than the map. It
// returns the height of the metal over each face beside the labels.
func (w *owners) merge(raw *geom.Subdivision) (*Labels, []float64, error) {
	const metalBits = 20
	var ms metals
	owner := make([]int, len(raw.Faces))
	key := make([]int, len(raw.Faces))
	for f := range raw.Faces {
		ls := raw.Faces[f].Layers
		m := w.col.metal(ls)
		if len(m) == 0 {
			owner[f], key[f] = -1, -1
			continue
		}
		n := ms.number(m)
		owner[f] = w.share(w.ownerOf(ls))
		key[f] = owner[f]<<metalBits + n
	}
	s, from, err := raw.Merge(func(f int) int { return key[f] })
	if err != nil {
		return nil, nil, err
	}
	lab := &Labels{Subdivision: s, Of: make([]int, len(s.Faces))}
	height := make([]float64, len(s.Faces))
	for f := range s.Faces {
		g := from[f][0]
		lab.Of[f] = owner[g]
		if owner[g] >= 0 {
			height[f] = metalHeight(ms.lists[key[g]&(1<<metalBits-1)])
		}
	}
	return lab, height, nil
}

// order puts the shares in the order of precedence, then by feature and cell.
func (w *owners) order(lab *Labels) {
	rank := []OwnerKind{OwnBoss, OwnRim, OwnRib, OwnFloor, OwnLand}
	by := make([]int, len(w.shares))
	for i := range by {
		by[i] = i
	}
	slices.SortFunc(by, func(i, k int) int {
		a, b := &w.shares[i].Owner, &w.shares[k].Owner
		return cmp.Or(cmp.Compare(slices.Index(rank, a.Kind), slices.Index(rank, b.Kind)),
			cmp.Compare(a.Feature, b.Feature), cmp.Compare(a.Cell, b.Cell), cmp.Compare(i, k))
	})
	at := make([]int, len(by))
	lab.Shares = make([]Share, len(by))
	for n, i := range by {
		lab.Shares[n], at[i] = w.shares[i], n
	}
	for f, o := range lab.Of {
		if o >= 0 {
			lab.Of[f] = at[o]
		}
	}
}

// others takes what is no prism from its owner: a drill point or countersink from the one that it stands in, a floor fillet
// from its floor, a chamfer from all along the outline, by the length of edge that each holds. Where that owner is not to be
// found, settle gives it to the largest.
func (w *owners) others(lab *Labels) {
	for i := range w.d.l.Cuts {
		c := &w.d.l.Cuts[i]
		o := -1
		switch c.Kind {
		case CutPoint:
			o = lab.Of[lab.Locate(c.Center)]
		case CutCountersink:
			o = lab.Of[lab.Locate(c.Center.Add(geom.Pt((c.Diameter+c.Inner)/4, 0)))]
		case CutFillet:
			o = slices.IndexFunc(lab.Shares, func(s Share) bool { return s.Kind == OwnFloor && s.Cell == c.Cell })
		case CutChamfer:
			w.chamferShares(lab, c.Sweep.Volume)
			continue
		}
		if o >= 0 {
			lab.Shares[o].Volume -= c.OtherVolume()
		} else {
			w.d.unowned += c.OtherVolume()
		}
	}
}

// chamferShares takes the volume of a chamfer from the owners along the outline.
func (w *owners) chamferShares(lab *Labels, v float64) {
	length := make([]float64, len(lab.Shares))
	sum := 0.0
	for i := range lab.Edges {
		e := &lab.Edges[i]
		for _, f := range [2][2]int32{{e.Left, e.Right}, {e.Right, e.Left}} {
			if lab.Of[f[0]] >= 0 && lab.Of[f[1]] < 0 && w.d.onOutline(e.Mid()) {
				length[lab.Of[f[0]]] += e.Length()
				sum += e.Length()
			}
		}
	}
	if sum == 0 {
		w.d.unowned += v
		return
	}
	for o := range length {
		lab.Shares[o].Volume -= v * length[o] / sum
	}
}

// onOutline reports whether p lies on the outline.
func (d *deriver) onOutline(p geom.Point) bool {
	for i := range d.outline {
		if d.outline[i].Dist(p) <= touchEps {
			return true
		}
	}
	return false
}

// settle makes the owners add up to the plate exactly. Where the edge of a form passes within a micrometre of a corner of a
// cut, the geometry engine moves it there, which the map does not see; what that leaves over goes to the largest owner.
// Anything larger than such a shift can account for is left alone, for the tests to find.
func (d *deriver) settle(lab *Labels) {
	if len(lab.Shares) == 0 {
		return
	}
	v := d.l.Volume()
	rest, most := v, 0
	for i := range lab.Shares {
		rest -= lab.Shares[i].Volume
		if lab.Shares[i].Volume > lab.Shares[most].Volume {
			most = i
		}
	}
	d.l.rest = rest + d.unowned
	if math.Abs(d.l.rest) < maxRest*v {
		lab.Shares[most].Volume += rest
	}
}

// maxRest is the share of the plate's volume that rounding of the labels may leave over: a shift of 2 µm along a metre of
// edge of a plate of 100 cm².
const maxRest = 2e-7
