package plate

import (
	"errors"
	"fmt"
	"slices"

	"platewright/plate/material"
)

// add is an edit that appends one feature with the next id and, where it has no name, the first free one of its kind.
func add[T any](k Kind, v T, idOf func(*T) *ID, nameOf func(*T) *string, list func(*Plate) *[]T) Edit {
	return edit("new "+string(k), 0, func(p *Plate) error {
		v := v
		*idOf(&v) = p.NextID
		if n := nameOf(&v); *n == "" {
			*n = p.freeName(k)
		}
		p.NextID++
		l := list(p)
		*l = append(*l, v)
		return nil
	})
}

// freeName is the first of "Bore 1", "Bore 2", … that no feature has.
func (p *Plate) freeName(k Kind) string {
	used := make(map[string]bool)
	for _, f := range p.Features() {
		used[f.Name] = true
	}
	word := string(k[0]-'a'+'A') + string(k[1:])
	for i := 1; ; i++ {
		if name := fmt.Sprintf("%s %d", word, i); !used[name] {
			return name
		}
	}
}

// AddBore adds a bore. As with every Add, the feature takes the document's NextID whatever id it comes with, and a free
// name like "Bore 2" where it has none.
func AddBore(b Bore) Edit {
	b = b.clone()
	return add(KindBore, b, boreID, func(b *Bore) *string { return &b.Name }, func(p *Plate) *[]Bore { return &p.Bores })
}

// AddHole adds a fastener hole.
func AddHole(h Hole) Edit {
	return add(KindHole, h, holeID, func(h *Hole) *string { return &h.Name }, func(p *Plate) *[]Hole { return &p.Holes })
}

// AddCircle adds a bolt circle.
func AddCircle(c BoltCircle) Edit {
	c = c.clone()
	return add(KindCircle, c, circleID, func(c *BoltCircle) *string { return &c.Name }, func(p *Plate) *[]BoltCircle { return &p.Circles })
}

// AddRib adds a drawn rib.
func AddRib(r Rib) Edit {
	return add(KindRib, r, ribID, func(r *Rib) *string { return &r.Name }, func(p *Plate) *[]Rib { return &p.Ribs })
}

// AddGrid adds a rib field. Its free name is that of its kind, like "Orthogrid 1".
func AddGrid(g Grid) Edit {
	g = g.clone()
	return add(g.ref().ShownKind(), g, gridID, func(g *Grid) *string { return &g.Name }, func(p *Plate) *[]Grid { return &p.Grids })
}

// AddPocket adds a field of pockets.
func AddPocket(k Pocket) Edit {
	k = k.clone()
	return add(KindPocket, k, pocketID, func(k *Pocket) *string { return &k.Name }, func(p *Plate) *[]Pocket { return &p.Pockets })
}

// AddCutLine adds a cut line.
func AddCutLine(c CutLine) Edit {
	return add(KindCutLine, c, cutLineID, func(c *CutLine) *string { return &c.Name }, func(p *Plate) *[]CutLine { return &p.CutLines })
}

// AddTarget adds a target.
func AddTarget(t Target) Edit {
	return add(KindTarget, t, targetID, func(t *Target) *string { return &t.Name }, func(p *Plate) *[]Target { return &p.Targets })
}

// SetBore puts b in the place of the bore of its id. So do the other Set edits of features.
func SetBore(b Bore) Edit {
	b = b.clone()
	return changeOf("change", KindBore, b.ID, bores, boreID, func(v *Bore) { *v = b.clone() })
}

// SetPocket replaces a pocket field.
func SetPocket(k Pocket) Edit {
	k = k.clone()
	return changeOf("change", KindPocket, k.ID, pockets, pocketID, func(v *Pocket) { *v = k.clone() })
}

// SetStock replaces the stock.
func SetStock(s Stock) Edit {
	s.Finish.Masked = slices.Clone(s.Finish.Masked)
	return Replace("change of stock", func(p *Plate) { p.Stock = s })
}

// SetMaterial takes another alloy and temper with its values for the document's nominal thickness.
func SetMaterial(alloy, temper string) Edit {
	return edit("change of material", 0, func(p *Plate) error {
		m, err := material.Lookup(alloy, temper, p.Stock.Nominal)
		if err != nil {
			return err
		}
		p.Stock.Material = m
		return nil
	})
}

// SetOutline replaces the outline.
func SetOutline(o Outline) Edit {
	o = o.clone()
	return Replace("change of outline", func(p *Plate) { p.Outline = o.clone() })
}

var errNoCorner = errors.New("there is no such corner; it was deleted")
