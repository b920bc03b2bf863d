package layout

import (
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// zSlack is the height below which metal between two cuts counts as none, and two levels as one, mm: rounding of sums of
// depths, a thousand times finer than any depth that could be measured.
const zSlack = 1e-6

// metals interns lists of metal intervals, so that equal ones have one number.
type metals struct {
	lists [][]Interval
}

// number returns the number of an equal list, adding v when there is none. There are few: one for each combination of
// depths.
func (m *metals) number(v []Interval) int {
	for i, w := range m.lists {
		if slices.EqualFunc(v, w, func(a, b Interval) bool {
			return math.Abs(a.Z0-b.Z0) < zSlack && math.Abs(a.Z1-b.Z1) < zSlack
		}) {
			return i
		}
	}
	m.lists = append(m.lists, slices.Clone(v))
	return len(m.lists) - 1
}

// subtract removes z0 to z1 from sorted, disjoint intervals, in place where it can.
func subtract(v []Interval, z0, z1 float64) []Interval {
	out := v[:0:0]
	for _, i := range v {
		if z1 <= i.Z0 || z0 >= i.Z1 {
			out = append(out, i)
			continue
		}
		if z0-i.Z0 > zSlack {
			out = append(out, Interval{i.Z0, z0})
		}
		if i.Z1-z1 > zSlack {
			out = append(out, Interval{z1, i.Z1})
		}
	}
	return out
}

// layers of the map: the blank, what of the outline lies in it, and then all other prisms.
const (
	layerBlank = iota
	layerOutline
	firstCut
)

// column works out the metal over a face from the layers that cover it.
type column struct {
	cuts  []Cut   // all of the layout
	of    []int32 // of[layer − firstCut] is the index of the cut
	blank []Interval
	buf   []Interval
}

// newColumn prepares for the prisms of the layout; the faces machined over the whole blank come off at once.
func (d *deriver) newColumn() *column {
	c := &column{cuts: d.l.Cuts, blank: []Interval{d.l.BlankZ}}
	for i := range d.l.Cuts {
		switch k := &d.l.Cuts[i]; {
		case k.Kind == CutFace:
			c.blank = subtract(c.blank, k.Z0, k.Z1)
		case k.Kind != CutOutline && k.Prism():
			c.of = append(c.of, int32(i))
		}
	}
	return c
}

// shapes are the layers in order. Those of sealed cells are empty.
func (c *column) shapes(d *deriver) []geom.Shape {
	s := make([]geom.Shape, 0, firstCut+len(c.of)+16)
	s = append(s, geom.Shape{{Outer: geom.Rect(d.l.Blank.Min, d.l.Blank.Max)}}, d.inOutline)
	for _, i := range c.of {
		k := &d.l.Cuts[i]
		if k.Cell >= 0 && d.cellPiece[k.Cell].sealed {
			s = append(s, nil)
			continue
		}
		s = append(s, geom.Shape{k.Region})
	}
	return s
}

// metal is the metal over a face with the given sorted layers; the slice is valid until the next call. Layers beyond the
// cuts are ignored.
func (c *column) metal(layers []int32) []Interval {
	c.buf = c.buf[:0]
	if len(layers) < 2 || layers[0] != layerBlank || layers[1] != layerOutline {
		return nil
	}
	c.buf = append(c.buf, c.blank...)
	for _, l := range layers[2:] {
		if n := int(l) - firstCut; n < len(c.of) {
			k := &c.cuts[c.of[n]]
			c.buf = subtractIn(c.buf, k.Z0, k.Z1)
		}
	}
	return c.buf
}

// subtractIn is subtract for the common case of one interval that is not split, without allocating.
func subtractIn(v []Interval, z0, z1 float64) []Interval {
	if len(v) == 1 {
		below, above := z0-v[0].Z0 > zSlack, v[0].Z1-z1 > zSlack
		switch {
		case z1 <= v[0].Z0 || z0 >= v[0].Z1:
			return v
		case below && !above:
			v[0].Z1 = z0
			return v
		case above && !below:
			v[0].Z0 = z1
			return v
		case !below && !above:
			return v[:0]
		}
	}
	return subtract(v, z0, z1)
}

// makeMap computes the planar subdivision of the blank by the cuts.
func (d *deriver) makeMap() error {
	col := d.newColumn()
	raw, err := d.eng.Subdivide(col.shapes(d))
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	d.tellPockets(raw, col)
	var ms metals
	ms.number(nil) // number 0 is no metal
	key := make([]int, len(raw.Faces))
	for f := range raw.Faces {
		// Outside the blank there is no plate, which is not the same as a place in it without metal.
		if ls := raw.Faces[f].Layers; len(ls) > 0 && ls[0] == layerBlank {
			key[f] = 1 + ms.number(col.metal(ls))
		}
	}
	s, from, err := raw.Merge(func(f int) int { return key[f] })
	if err != nil {
		return d.kernel("stock", 0, "", err)
	}
	m := &Map{Subdivision: s, Metal: make([][]Interval, len(s.Faces))}
	for f := range s.Faces {
		if k := key[from[f][0]]; k > 1 {
			m.Metal[f] = ms.lists[k-1]
		}
	}
	d.sealMap(m, col)
	d.l.Map = m
	d.prisms = newCutIndex(d.l.Cuts, d.l.Blank)
	d.addPoints()
	d.addCountersinks()
	return d.addSweeps()
}

// addPoints appends the cones below blind holes to the cuts. A hole that ends in the air, or goes through after all, has
// none.
func (d *deriver) addPoints() {
	for i := range d.rounds {
		r := &d.rounds[i]
		c, ok := r.point(d.t)
		if !ok {
			continue
		}
		below := c.Z1 - zSlack // just inside the metal at the base of the cone
		if c.Side == plate.Bottom {
			below = c.Z0 + zSlack
		}
		d.tellPoint(r, &c)
		if f := d.l.Map.Locate(r.c); f < 0 || !hasMetal(d.l.Map.Metal[f], below) {
			continue
		}
		d.l.Cuts = append(d.l.Cuts, c)
	}
}

func hasMetal(v []Interval, z float64) bool {
	for _, i := range v {
		if i.Z0 < z && z < i.Z1 {
			return true
		}
	}
	return false
}

// metalHeight is the sum of the intervals.
func metalHeight(v []Interval) float64 {
	h := 0.0
	for _, i := range v {
		h += i.Z1 - i.Z0
	}
	return h
}
