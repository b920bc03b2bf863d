package layout

import "math"

// makeLabels divides the plane once more, by the forms as well as by the cuts, and gives every face with metal to an
// owner.
func (d *deriver) makeLabels() error {
	col := d.newColumn()
	w := &owners{d: d, col: col, index: map[Owner]int{}}
	layers, err := w.forms(col.shapes(d))
	if err != nil {
		return err
	}
	raw, err := d.eng.Subdivide(layers)
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	var ms metals
	owner := make([]int, len(raw.Faces))
	key := make([]int, len(raw.Faces))
	for f := range raw.Faces {
		ls := raw.Faces[f].Layers
		m := col.metal(ls)
		if len(m) == 0 {
			owner[f], key[f] = -1, -1
			continue
		}
		owner[f] = w.share(w.ownerOf(ls))
		// Faces of one owner stay apart where their metal differs: labels are finer than the map.
		key[f] = owner[f]*(1<<20) + ms.number(m)
	}
	s, from, err := raw.Merge(func(f int) int { return key[f] })
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	lab := &Labels{Subdivision: s, Of: make([]int, len(s.Faces))}
	height := make([]float64, len(s.Faces))
	for f := range s.Faces {
		o := owner[from[f][0]]
		lab.Of[f] = o
		if o >= 0 {
			height[f] = metalHeight(ms.lists[key[from[f][0]]&(1<<20-1)])
		}
	}
	height = w.sealLabels(lab, height)
	lab.Shares = w.shares
	for f, o := range lab.Of {
		if o >= 0 {
			a := s.Faces[f].Area()
			lab.Shares[o].PlanArea += a
			lab.Shares[o].Volume += a * height[f]
		}
	}
	for i := range d.l.Cuts {
		c := &d.l.Cuts[i]
		if c.Kind != CutPoint {
			continue
		}
		if o := lab.Of[lab.Locate(c.Center)]; o >= 0 {
			lab.Shares[o].Volume -= c.PointVolume()
		}
	}
	d.settle(lab)
	d.l.Labels = lab
	return nil
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
	d.l.rest = rest
	if math.Abs(rest) < maxRest*v {
		lab.Shares[most].Volume += rest
	}
}

// maxRest is the share of the plate's volume that rounding of the labels may leave over: a shift of 2 µm along a metre of
// edge of a plate of 100 cm².
const maxRest = 2e-7
