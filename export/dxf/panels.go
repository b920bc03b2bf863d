package dxf

import (
	"fmt"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// PanelShape is one shape of inlay panel, which one file makes.
type PanelShape struct {
	Number   int    // as layout.Panel.Shape and Options.Panel
	Name     string // of the inlay
	Quantity int
	Height   float64 // thickness, mm
}

// Panels lists the different panels of a plate, each once with how many of it there are.
func Panels(l *layout.Layout) []PanelShape {
	var out []PanelShape
	at := map[int]int{}
	for _, p := range l.Panels {
		i, known := at[p.Shape]
		if !known {
			i = len(out)
			at[p.Shape] = i
			out = append(out, PanelShape{Number: p.Shape, Name: p.Name, Height: p.Z1 - p.Z0})
		}
		out[i].Quantity++
	}
	return out
}

// drawPanel is the outline of one panel alone, seen from the face that shows, with its lower left corner at the origin.
func drawPanel(l *layout.Layout, o Options) (*drawing, error) {
	var shape PanelShape
	for _, s := range Panels(l) {
		if s.Number == o.Panel {
			shape = s
		}
	}
	if shape.Quantity == 0 {
		return nil, fmt.Errorf("dxf: the plate has no inlay panel %d; it has %d different ones", o.Panel, len(Panels(l)))
	}
	d := &drawing{layers: []Layer{{
		Name: "OUTLINE", Color: kinds[0].color,
		Meaning: fmt.Sprintf("inlay panel %q, shape %d, %s mm thick, %d pieces", shape.Name, shape.Number, decimal(round6(shape.Height)), shape.Quantity),
	}}}
	for _, p := range l.Panels {
		if p.Shape != o.Panel {
			continue
		}
		move := placer{zero: p.Region.Box().Min, sx: 1, sy: 1}
		if turned := l.Cells[p.Cell].Side; turned == plate.Bottom {
			box := p.Region.Box()
			move = placer{zero: geom.Pt(box.Max.X, box.Min.Y), sx: -1, sy: 1}
		}
		if err := d.place([]layerCut{{0, p.Region, shape.Name}}, move); err != nil {
			return nil, err
		}
		break
	}
	if o.GeometryOnly {
		d.plain()
	}
	return d, nil
}
