package dxf

import (
	"bytes"
	"io"
	"strings"

	"platewright/plate"
	"platewright/plate/layout"
)

// Options chooses what one file holds.
type Options struct {
	Side         plate.Side // Top or Bottom; empty is Top
	GeometryOnly bool       // every contour on one layer, PlainLayer
	Panel        int        // 0 for the plate; else the number of an inlay panel's shape (layout.Panel.Shape), which is drawn alone
}

// Write writes the file of one side. It checks everything before the first byte: after an error about the plate nothing has
// been written.
func Write(w io.Writer, l *layout.Layout, o Options) error {
	d, err := draw(l, o)
	if err != nil {
		return err
	}
	t := newTags(w)
	t.file(d)
	return t.w.Flush()
}

// Save writes the file of one side under a name, whole or not at all; an older file of that name is replaced.
func Save(path string, l *layout.Layout, o Options) error {
	var b bytes.Buffer
	if err := Write(&b, l, o); err != nil {
		return err
	}
	return plate.WriteFile(path, b.Bytes())
}

// Legend lists the layers of the file that Write would write, in its order.
func Legend(l *layout.Layout, o Options) ([]Layer, error) {
	d, err := draw(l, o)
	if err != nil {
		return nil, err
	}
	return d.layers, nil
}

// FileName is a name for the file of one side that carries what the shop must not mistake: plate, side, turn axis, unit.
func FileName(p plate.Plate, side plate.Side) string {
	name := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, p.Name), "-")
	if name == "" {
		name = "plate"
	}
	if len(name) > 80 {
		name = name[:80]
	}
	if side == plate.Bottom {
		return name + "_bottom_turned-" + string(p.Machining.Turn) + "_mm.dxf"
	}
	return name + "_top_mm.dxf"
}
