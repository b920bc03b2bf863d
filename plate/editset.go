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

// SetHole replaces a hole.
func SetHole(h Hole) Edit {
	return changeOf("change", KindHole, h.ID, holes, holeID, func(v *Hole) { *v = h })
}

// SetGrid replaces a grid.
func SetGrid(g Grid) Edit {
	g = g.clone()
	return changeOf("change", g.ref().ShownKind(), g.ID, grids, gridID, func(v *Grid) { *v = g.clone() })
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

// SetMachining replaces work zero, turn axis, shop profile, and the changes of the plan.
func SetMachining(m Machining) Edit {
	m.Changes, m.Holding = slices.Clone(m.Changes), slices.Clone(m.Holding)
	return Replace("change of machining", func(p *Plate) { p.Machining = m })
}

// SetRim sets the width of the rim, mm.
func SetRim(width float64) Edit { return Replace("change of rim", func(p *Plate) { p.Rim = width }) }

// SetNote sets the document's note.
func SetNote(note string) Edit { return Replace("change of note", func(p *Plate) { p.Note = note }) }

// SetOutline replaces the outline.
func SetOutline(o Outline) Edit {
	o = o.clone()
	return Replace("change of outline", func(p *Plate) { p.Outline = o.clone() })
}

var errNoCorner = errors.New("there is no such corner; it was deleted")

// corner is an edit of the outline's corner i, counted from 0.
func corner(label string, i int, change func(*Corner)) Edit {
	return edit(label, 0, func(p *Plate) error {
		if i < 0 || i >= len(p.Outline.Corners) {
			return errNoCorner
		}
		change(&p.Outline.Corners[i])
		return nil
	})
}

// MoveCorner puts corner i of the outline, counted from 0, at (x, y) mm.
func MoveCorner(i int, x, y float64) Edit {
	return corner(fmt.Sprintf("move of outline corner %d", i+1), i, func(c *Corner) { c.X, c.Y = x, y })
}

// SetCorner replaces corner i of the outline, counted from 0.
func SetCorner(i int, c Corner) Edit {
	return corner(fmt.Sprintf("change of outline corner %d", i+1), i, func(v *Corner) { *v = c })
}

// AddCorner puts a new corner before corner i of the outline, or at the end where i is their number.
func AddCorner(i int, c Corner) Edit {
	return edit("new outline corner", 0, func(p *Plate) error {
		if i < 0 || i > len(p.Outline.Corners) {
			return errNoCorner
		}
		p.Outline.Corners = slices.Insert(p.Outline.Corners, i, c)
		return nil
	})
}

// DeleteCorner removes corner i of the outline, counted from 0.
func DeleteCorner(i int) Edit {
	return edit(fmt.Sprintf("delete of outline corner %d", i+1), 0, func(p *Plate) error {
		if i < 0 || i >= len(p.Outline.Corners) {
			return errNoCorner
		}
		p.Outline.Corners = slices.Delete(p.Outline.Corners, i, i+1)
		return nil
	})
}
