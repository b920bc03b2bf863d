package scene

import (
	"fmt"
	"image/png"
	"io"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// PictureOptions is what a picture file shows. The zero value with a Theme is a bare plate at 1600 × 1000 px.
type PictureOptions struct {
	Theme    Theme
	Side     plate.Side // Bottom to look from below; else from the top
	Show     Parts
	Unit     Unit
	Width    float64 // px, 200 to 8000; 0 is 1600
	Height   float64 // px, 200 to 8000; 0 is 1000
	Scale    float64 // device pixels per px of a PNG, 0.5 to 4; 0 is 1
	Title    string  // upper left, such as the plate's name
	Lines    []string
	Caution  string // along the lower edge
	Findings []finding.Finding
	Field    *Field    // drawn over the plate; its scale stands at the left
	Paths    []ToolRun // drawn over a paled plate; their key stands at the left
	Cutter   float64   // diameter of the tool that runs them, for the key, mm; 0 for none
}

// scaleRoom is the width kept free at the left for a field's scale, px.
const scaleRoom = 210

// The limits of a picture, px.
const (
	leastPicture    = 200
	greatestPicture = 8000
)

// Sizes of a picture's text and the distance of its lines, px.
const (
	titleSize   = 20
	pictureText = 13
	textPitch   = 18
)

func (o *PictureOptions) complete() error {
	for _, v := range []*float64{&o.Width, &o.Height, &o.Scale} {
		if math.IsNaN(*v) || math.IsInf(*v, 0) {
			return fmt.Errorf("scene: picture size %v is not a number; give pixels between %d and %d", *v, leastPicture, greatestPicture)
		}
	}
	if o.Width == 0 {
		o.Width = 1600
	}
	if o.Height == 0 {
		o.Height = 1000
	}
	if o.Scale == 0 {
		o.Scale = 1
	}
	for _, v := range []float64{o.Width, o.Height} {
		if v < leastPicture || v > greatestPicture {
			return fmt.Errorf("scene: picture side of %g px; give %d to %d", v, leastPicture, greatestPicture)
		}
	}
	if o.Scale < 0.5 || o.Scale > 4 || max(o.Width, o.Height)*o.Scale > MaxSide {
		return fmt.Errorf("scene: picture scale %g; give 0.5 to 4, with sides of at most %d device pixels", o.Scale, MaxSide)
	}
	return nil
}

// Picture draws the plate with its title and caution on a canvas that is already paper.
func Picture(c Canvas, l *layout.Layout, o PictureOptions) {
	w, h := c.Size()
	top := 0.0
	if o.Title != "" || len(o.Lines) > 0 {
		top = titleSize + 16 + textPitch*float64(len(o.Lines))
	}
	cam := Fit(l, w, h, o.Side)
	if l != nil {
		// Fit into what the title leaves, then move down by half of it.
		left := 0.0
		if o.Field != nil {
			left = min(scaleRoom, w/2)
		}
		box := extent(l)
		if len(o.Paths) > 0 {
			left = min(keyRoom, w/2)
			box = withRuns(box, o.Paths)
		}
		cam = cam.Resize(w-left, max(h-top, h/2)).FitBox(box).Resize(w, h).Pan(left/2, min(top, h/2)/2)
	}
	var p Painter
	po := Options{
		Theme: o.Theme, Show: o.Show, Unit: o.Unit, TextSize: pictureText, Findings: o.Findings, Field: o.Field, Paths: o.Paths,
	}
	if len(o.Paths) > 0 {
		po.Theme = paled(po.Theme)
	}
	p.Paint(c, l, cam, po)
	if len(o.Paths) > 0 {
		p.c, p.cam, p.o = c, cam, po
		p.pathKey(o.Cutter)
	}
	y := 18.0 + titleSize*0.8
	c.Text(24, y, o.Title, TextStyle{Size: titleSize, Bold: true, Color: o.Theme.Ink})
	for _, line := range o.Lines {
		y += textPitch
		c.Text(24, y+4, line, TextStyle{Size: pictureText, Color: o.Theme.Quiet})
	}
	if o.Caution != "" {
		c.Text(24, h-20, o.Caution, TextStyle{Size: pictureText, Color: o.Theme.Quiet})
	}
}

// paled is a theme whose metal stands back behind what is drawn over it.
func paled(t Theme) Theme {
	for _, c := range []*rgba{&t.Metal, &t.PocketShallow, &t.PocketDeep, &t.HatchInk} {
		*c = mix(*c, t.Paper, 0.65)
	}
	t.Ink = mix(t.Ink, t.Paper, 0.25)
	return t
}

// withRuns is a box that holds the runs too.
func withRuns(b geom.Box, runs []ToolRun) geom.Box {
	for i := range runs {
		for k := range runs[i].Edges {
			b = b.Union(runs[i].Edges[k].Box())
		}
	}
	return b
}

// WritePNG writes a picture file.
func WritePNG(w io.Writer, l *layout.Layout, o PictureOptions) error {
	if err := o.complete(); err != nil {
		return err
	}
	var r Raster
	r.Begin(int(math.Round(o.Width*o.Scale)), int(math.Round(o.Height*o.Scale)), o.Scale, o.Theme.Paper)
	Picture(&r, l, o)
	if err := png.Encode(w, r.Image()); err != nil {
		return fmt.Errorf("scene: writing PNG: %w", err)
	}
	return nil
}

// WriteSVG writes a picture file.
func WriteSVG(w io.Writer, l *layout.Layout, o PictureOptions) error {
	if err := o.complete(); err != nil {
		return err
	}
	s := NewSVG(o.Width, o.Height, o.Theme.Paper, o.Title)
	Picture(s, l, o)
	if _, err := s.WriteTo(w); err != nil {
		return fmt.Errorf("scene: writing SVG: %w", err)
	}
	return nil
}
