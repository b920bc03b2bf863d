package plate_test

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"platewright/plate"
)

// TestFormEdits: each edit of a form does what the same change by hand does.
func TestFormEdits(t *testing.T) {
	lattice := plate.Anchor{Grid: 32, I: 0, J: 1, K: 1}
	rib := plate.RibAnchor{Lattice: true, Family: 2, Line: -1, Segment: 3}
	for _, c := range []struct {
		edit  plate.Edit
		title string
		want  func(*plate.Plate)
	}{
		{plate.SetCellDepth(40, plate.CellDepth{At: lattice, Depth: 2, Back: 2}), "depth of one cell of pocket Both faces", func(p *plate.Plate) {
			p.Pockets[0].Depths[0].Depth, p.Pockets[0].Depths[0].Back = 2, 2
		}},
		{plate.SetCellDepth(41, plate.CellDepth{At: plate.Anchor{X: 70, Y: 40}, Through: true, Depth: 9}), "depth of one cell of pocket Drawn", func(p *plate.Plate) {
			p.Pockets[1].Depths = []plate.CellDepth{{At: plate.Anchor{X: 70, Y: 40}, Through: true}}
		}},
		{plate.ClearCellDepth(40, lattice), "depth of one cell of pocket Both faces", func(p *plate.Plate) { p.Pockets[0].Depths = p.Pockets[0].Depths[1:] }},
		{plate.SetRibWidth(32, rib, 9), "width of one rib of rib field Triangles", func(p *plate.Plate) { p.Grids[0].Widths[0].Width = 9 }},
		{plate.SetRibWidth(32, rib, 0), "width of one rib of rib field Triangles", func(p *plate.Plate) { p.Grids[0].Widths = p.Grids[0].Widths[1:] }},
		{plate.SetRibWidth(33, rib, 6), "width of one rib of rib field Squares", func(p *plate.Plate) { p.Grids[1].Widths = []plate.RibWidth{{At: rib, Width: 6}} }},
		{plate.SetInlayCell(46, plate.Anchor{X: 50, Y: 60}, false), "cells of inlay Panels", func(p *plate.Plate) { p.Inlays[0].Cells = p.Inlays[0].Cells[:1] }},
		{plate.UseSetting(29), "choice of setting", func(p *plate.Plate) { p.Setting = 29 }},
		{plate.ApplySetting(28), "apply setting Low", func(p *plate.Plate) {
			p.Rings[0].PositionDeg, p.Eccentrics[0].AngleDeg, p.Slots[0].Position = 4.5, 170, 6.5
		}},
		{plate.KeepSetting(""), "new setting", func(p *plate.Plate) {
			p.Settings = append(p.Settings, plate.Setting{ID: 120, Name: "Setting 1", Values: []plate.SettingValue{
				{Feature: 21, AngleDeg: 4.5}, {Feature: 22}, {Feature: 5, AngleDeg: -30}, {Feature: 6}, {Feature: 25, Position: -4},
			}})
			p.NextID++
		}},
		{plate.AddWrap(4, plate.Wrap{Feature: 4, Width: 5}), "new round of outline", func(p *plate.Plate) { p.Outline.Wraps = append(p.Outline.Wraps, plate.Wrap{Feature: 4, Width: 5}) }},
		{plate.DeleteWrap(3), "delete of round of outline", func(p *plate.Plate) { p.Outline.Wraps = p.Outline.Wraps[:3] }},
		{plate.AddSlot(plate.Slot{X: 5, Length: 9, Width: 4, Side: plate.Through}), "new slot", func(p *plate.Plate) {
			p.Slots = append(p.Slots, plate.Slot{ID: 120, Name: "Slot 1", X: 5, Length: 9, Width: 4, Side: plate.Through})
			p.NextID++
		}},
		{plate.AddGrid(plate.Grid{Kind: plate.Orthogrid, Pitch: 90, Width: 4}), "new orthogrid", func(p *plate.Plate) {
			p.Grids = append(p.Grids, plate.Grid{ID: 120, Name: "Orthogrid 1", Kind: plate.Orthogrid, Pitch: 90, Width: 4})
			p.NextID++
		}},
		{plate.AddHolding(plate.Holding{Kind: plate.Tape}), "new holding", func(p *plate.Plate) {
			p.Machining.Holding = append(p.Machining.Holding, plate.Holding{ID: 120, Kind: plate.Tape})
			p.NextID++
		}},
		{plate.Delete(101), "delete every operation", func(p *plate.Plate) {
			p.Machining.Changes = append(p.Machining.Changes[:1:1], p.Machining.Changes[2])
		}},
		{plate.Delete(54), "delete Half", func(p *plate.Plate) { p.Supports = append(p.Supports[:4:4], p.Supports[5]) }},
		{plate.Delete(26), "delete Groove", func(p *plate.Plate) { p.Slots = p.Slots[:1] }},
	} {
		p := forms(t)
		if got := c.edit.Title(p); got != c.title {
			t.Errorf("title %q, want %q", got, c.title)
		}
		want := forms(t)
		c.want(&want)
		if got := apply(t, p, c.edit); !cmp.Equal(got, want) {
			t.Errorf("%s:\n%s", c.title, cmp.Diff(want, got))
		}
	}
}

// TestDeleteNamesUsers: what something refers to is not deleted, and the refusal says who.
func TestDeleteNamesUsers(t *testing.T) {
	p := forms(t)
	for id, want := range map[plate.ID]string{
		1:  `plate's "finish"`,
		3:  `eccentric "Chain tension"`,
		10: `plate's "outline"`,
		12: `load "Bolt"`,
		20: `support "Mount"`,
		21: `setting "Low"`,
		25: `rib "To the slot"`,
		28: `plate's "setting in use"`,
		32: `pocket "Both faces"`,
		33: `pocket "Both faces"`,
		40: `inlay "Panels"`,
		41: `plan change "every operation"`,
		50: `load case "Braking"`,
		60: `load case "Braking"`,
		80: `target "Strong in braking"`,
	} {
		_, err := plate.Delete(id).Apply(p)
		if err == nil || !strings.Contains(err.Error(), "is used by") || !strings.Contains(err.Error(), want) {
			t.Errorf("delete of %d: %v; want %s", id, err, want)
		}
	}
}

// TestOutlineStaysSimple: no edit of a corner lets the outline cross itself, and none that does not is refused for it.
func TestOutlineStaysSimple(t *testing.T) {
	p := plate.New("x") // 200 × 120
	corners := func(change func([]plate.Corner) []plate.Corner) plate.Edit {
		return plate.Replace("corners", func(p *plate.Plate) { p.Outline.Corners = change(p.Outline.Corners) })
	}
	for _, c := range []struct {
		name string
		edit plate.Edit
	}{
		{"corner across the far side", corners(func(c []plate.Corner) []plate.Corner { c[0].X, c[0].Y = 100, 200; return c })},
		{"two corners exchanged", plate.SetOutline(plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0}, {X: 200, Y: 120}, {X: 200, Y: 0}, {X: 0, Y: 120}}})},
		{"new corner beyond the far side", corners(func(c []plate.Corner) []plate.Corner { return slices.Insert(c, 1, plate.Corner{X: 100, Y: 150}) })},
		{"by its field", plate.OutlineFields(p, 0)[1].SetNumber(400)},
	} {
		_, err := c.edit.Apply(p)
		var refused *plate.Refused
		if !errors.As(err, &refused) || refused.Finding.Code != "outline-crosses" {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for _, e := range []plate.Edit{
		corners(func(c []plate.Corner) []plate.Corner { c[0].X, c[0].Y = 10, 10; return c }),
		corners(func(c []plate.Corner) []plate.Corner { return slices.Insert(c, 1, plate.Corner{X: 100, Y: 30}) }),
		corners(func(c []plate.Corner) []plate.Corner { return slices.Delete(c, 3, 4) }),
	} {
		apply(t, p, e)
	}
	bow := contour(t)
	o := bow.Outline
	o.Vertices = append([]plate.Vertex{}, o.Vertices...)
	o.Vertices[2].Y, o.Vertices[3].Y = 80, 20
	if _, err := plate.SetOutline(o).Apply(bow); err == nil || !strings.Contains(err.Error(), "cross itself") {
		t.Errorf("contour: %v", err)
	}
}

// TestChoicesSurviveEdits: choices about cells and ribs stay through a change of pitch or kind, a moved bore, and back.
func TestChoicesSurviveEdits(t *testing.T) {
	p := forms(t)
	q := p
	for _, e := range []plate.Edit{
		moveBore(1, 44, 41), field(t, plate.Fields(p, 32), "x_mm").SetNumber(7),
		field(t, plate.Fields(p, 32), "pitch_mm").SetNumber(60), field(t, plate.Fields(p, 32), "kind").SetText("orthogrid"),
		field(t, plate.Fields(p, 32), "kind").SetText("spokes"), field(t, plate.Fields(p, 32), "kind").SetText("isogrid"),
	} {
		q = apply(t, q, e)
		if !cmp.Equal(q.Pockets, p.Pockets) || !cmp.Equal(q.Inlays, p.Inlays) || !cmp.Equal(q.Grids[0].Widths, p.Grids[0].Widths) {
			t.Errorf("%s changes choices about cells or ribs", e.Label)
		}
	}
	before := encode(t, p)
	if q := plate.Mirrored(plate.Mirrored(p)); !bytes.Equal(before, encode(t, q)) {
		t.Error("mirrored and mirrored back differs")
	}
}
