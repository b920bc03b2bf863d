package desktop

import (
	"fmt"
	"slices"
	"strings"

	"platewright/plate"
)

// The fields of what is selected. Most are plate's own; those of a single cell and a single rib are choices about something
// derived, and are made here from plate's edits.

// selectedFields are the fields of a selection.
func (w *Window) selectedFields(doc plate.Plate, s selection) []plate.Field {
	switch {
	case s.onCell:
		return cellFields(doc, s)
	case s.onRib:
		return ribWidthFields(doc, s)
	case s.corner > 0 && s.id == 0:
		return plate.OutlineFields(doc, s.corner-1)
	case s.id != 0:
		return boundaryApart(plate.Fields(doc, s.id), s.corner)
	}
	switch s.stage {
	case stageJob:
		return plate.PlateFields()
	case plate.StageStock:
		return append(plate.StockFields(doc), plate.FinishFields(doc)...)
	case plate.StageOutline:
		return w.outlineFields(doc)
	case plate.StageHoles:
		if len(doc.Settings) > 0 {
			return []plate.Field{plate.SettingField(doc)}
		}
	case plate.StageMachining:
		return plate.MachiningFields()
	case plate.StagePrice:
		return plate.PriceFields()
	}
	return nil
}

// outlineFields are those of the outline as a whole. A change of kind keeps its shape, and a half is cut from it, for which
// the derived outline is needed.
func (w *Window) outlineFields(doc plate.Plate) []plate.Field {
	fs := append([]plate.Field{plate.RimField()}, plate.EdgeFields(doc)...)
	for i := range fs {
		switch fs[i].Key {
		case "outline.kind":
			fs[i].SetText = func(word string) plate.Edit {
				for _, k := range []plate.OutlineKind{plate.Drawn, plate.Wrapped, plate.Contour} {
					if k.String() == word {
						return w.turnedOutline(k)
					}
				}
				return w.turnedOutline(plate.Drawn)
			}
		case "outline.mirror":
			whole := fs[i].Choices[0]
			fs[i].SetText = func(word string) plate.Edit {
				switch {
				case word == whole:
					return mirrorOutline("")
				case strings.HasSuffix(word, "x"):
					return mirrorOutline(plate.AxisX)
				}
				return mirrorOutline(plate.AxisY)
			}
		}
	}
	return fs
}

// partOfList are the beginnings of the keys of what is reached as a part of a feature: corners, cells and ribs.
var partOfList = []string{"bounds[", "on.bounds[", "depths[", "widths["}

// boundaryApart keeps the fields of one boundary corner (from 1), or those that belong to no part.
func boundaryApart(fs []plate.Field, corner int) []plate.Field {
	var out []plate.Field
	for _, f := range fs {
		inPart := slices.ContainsFunc(partOfList, func(p string) bool { return strings.HasPrefix(f.Key, p) })
		mine := strings.HasPrefix(strings.TrimPrefix(f.Key, "on."), fmt.Sprintf("bounds[%d].", corner-1))
		if corner == 0 && !inPart || corner > 0 && mine {
			out = append(out, f)
		}
	}
	return out
}

// What one cell of a pocket can be.
const (
	cellAsField = "as the pocket"
	cellOwn     = "a depth of its own"
	cellThrough = "through, a window"
	cellSolid   = "kept solid"
)

// cellChoice is what the document says about one cell.
func cellChoice(doc plate.Plate, s selection) (word string, own plate.CellDepth) {
	k := pocketOf(&doc, s.id)
	if k == nil {
		return cellAsField, plate.CellDepth{}
	}
	own = plate.CellDepth{At: s.cell, Depth: k.Depth, Back: k.DepthBack}
	if slices.ContainsFunc(k.Kept, func(a plate.Anchor) bool { return plainCell(a) == s.cell }) {
		return cellSolid, own
	}
	for _, d := range k.Depths {
		if plainCell(d.At) == s.cell {
			if d.Through {
				return cellThrough, d
			}
			return cellOwn, d
		}
	}
	return cellAsField, own
}

// setCell is the edit that makes one cell what the word says.
func setCell(s selection, word string) plate.Edit {
	return plate.Edit{Label: "choice of cell", Feature: s.id, Apply: func(p plate.Plate) (plate.Plate, error) {
		_, own := cellChoice(p, s)
		edits := []plate.Edit{plate.KeepCell(s.id, s.cell, word == cellSolid), plate.ClearCellDepth(s.id, s.cell)}
		switch word {
		case cellThrough:
			edits[1] = plate.SetCellDepth(s.id, plate.CellDepth{At: s.cell, Through: true})
		case cellOwn:
			if own.Through || own.Depth <= 0 {
				own.Depth = tenth(p.Stock.Thickness() / 2)
			}
			own.Through = false
			edits[1] = plate.SetCellDepth(s.id, own)
		}
		out := p
		for _, e := range edits {
			var err error
			if out, err = e.Apply(out); err != nil {
				return p, err
			}
		}
		return out, nil
	}}
}

// cellFields are the fields of one cell: what it is, and its depths where they are its own.
func cellFields(doc plate.Plate, s selection) []plate.Field {
	k := pocketOf(&doc, s.id)
	if k == nil {
		return nil
	}
	choices := []string{cellAsField, cellOwn, cellThrough, cellSolid}
	if k.Side == plate.Through {
		choices = []string{cellAsField, cellOwn, cellSolid}
	}
	fs := []plate.Field{{
		Key: "cell", Label: "this cell", Kind: plate.FieldChoice, Choices: choices,
		Text:    func(p plate.Plate) string { word, _ := cellChoice(p, s); return word },
		SetText: func(word string) plate.Edit { return setCell(s, word) },
	}}
	if word, _ := cellChoice(doc, s); word != cellOwn {
		return fs
	}
	depth := func(key, label string, held func(*plate.CellDepth) *float64) plate.Field {
		return plate.Field{
			Key: key, Label: label, Unit: "mm", Kind: plate.FieldNumber, Max: doc.Stock.Thickness(), MaxOpen: true,
			Why: "it ends inside the plate",
			Number: func(p plate.Plate) float64 {
				_, own := cellChoice(p, s)
				return *held(&own)
			},
			SetNumber: func(v float64) plate.Edit {
				return plate.Edit{Label: label + " of one cell of", Feature: s.id, Apply: func(p plate.Plate) (plate.Plate, error) {
					_, own := cellChoice(p, s)
					*held(&own) = v
					return plate.SetCellDepth(s.id, own).Apply(p)
				}}
			},
		}
	}
	fs = append(fs, depth("depth_mm", "depth", func(d *plate.CellDepth) *float64 { return &d.Depth }))
	if k.Side == plate.Both {
		fs = append(fs, depth("back_mm", "depth from the bottom", func(d *plate.CellDepth) *float64 { return &d.Back }))
	}
	return fs
}

// ribWidthFields is the width of one rib of a field: writing another than the field's gives it one of its own.
func ribWidthFields(doc plate.Plate, s selection) []plate.Field {
	if gridOf(&doc, s.id) == nil {
		return nil
	}
	return []plate.Field{{
		Key: "width_mm", Label: "width of this rib", Unit: "mm", Kind: plate.FieldNumber, Max: 1000, MinOpen: true,
		Why: "a rib has a width",
		Number: func(p plate.Plate) float64 {
			g := gridOf(&p, s.id)
			if g == nil {
				return 0
			}
			v, _ := ownWidth(g, s.rib)
			return v
		},
		SetNumber: func(v float64) plate.Edit { return plate.SetRibWidth(s.id, s.rib, v) },
	}}
}

// group is the stretch of fields that a key belongs to, and what stands above it: an entry of a list or something that the
// feature holds. Both are empty for the feature's own fields.
func group(key string) (prefix, heading string) {
	for _, g := range [][2]string{
		{"stock.blank.", "Blank"}, {"stock.finish.", "Finish"}, {"origin.", "Where the figures come from"},
	} {
		if strings.HasPrefix(key, g[0]) {
			return g[0], g[1]
		}
	}
	list, index, ok := entryOf(key)
	if !ok {
		return "", ""
	}
	return fmt.Sprintf("%s[%d].", list, index), fmt.Sprintf("%s %d", entryWords[list], index+1)
}

// entryWords are the lists whose entries stand under a heading of their own, each entry with a word to take it out.
var entryWords = map[string]string{"seats": "Seat", "samples": "Direction", "cells": "Cell"}

// entryOf reads the key of a field of a list's entry, such as seats[1].depth_mm.
func entryOf(key string) (list string, index int, ok bool) {
	list, rest, found := strings.Cut(key, "[")
	if !found || entryWords[list] == "" {
		return "", 0, false
	}
	if _, err := fmt.Sscanf(rest, "%d].", &index); err != nil {
		return "", 0, false
	}
	return list, index, true
}

// removeEntry takes entry i out of a list of a feature.
func removeEntry(id plate.ID, list string, i int) plate.Edit {
	e := plate.Replace("delete of "+strings.ToLower(entryWords[list]), func(p *plate.Plate) {
		switch list {
		case "seats":
			if b := boreOf(p, id); b != nil && i < len(b.Seats) {
				b.Seats = emptyNil(slices.Delete(b.Seats, i, i+1))
			}
		case "samples":
			if g := gridOf(p, id); g != nil && i < len(g.Samples) {
				g.Samples = emptyNil(slices.Delete(g.Samples, i, i+1))
			}
		case "cells":
			if n := inlayOf(p, id); n != nil && i < len(n.Cells) {
				n.Cells = emptyNil(slices.Delete(n.Cells, i, i+1))
			}
		}
	})
	e.Label, e.Feature = e.Label+" of", id
	return e
}

// emptyNil is nil for an empty list, as a file without the key reads.
func emptyNil[T any](l []T) []T {
	if len(l) == 0 {
		return nil
	}
	return l
}
