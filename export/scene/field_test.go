package scene

import (
	"bytes"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// fieldTriangle has the values of a function at its six points.
func fieldTriangle(a, b, c geom.Point, f func(geom.Point) float64) FieldTriangle {
	t := FieldTriangle{P: [6]geom.Point{a, b, c, a.Add(b).Mul(0.5), b.Add(c).Mul(0.5), c.Add(a).Mul(0.5)}}
	for i, p := range t.P {
		t.V[i] = f(p)
	}
	return t
}

// square is [0, side]² in two triangles per cell of n × n.
func square(side float64, n int, f func(geom.Point) float64) []FieldTriangle {
	var out []FieldTriangle
	h := side / float64(n)
	for i := range n {
		for j := range n {
			a := geom.Pt(float64(i)*h, float64(j)*h)
			b, c, d := a.Add(geom.Pt(h, 0)), a.Add(geom.Pt(h, h)), a.Add(geom.Pt(0, h))
			out = append(out, fieldTriangle(a, b, c, f), fieldTriangle(a, c, d, f))
		}
	}
	return out
}

// A field that rises evenly from left to right takes each colour over an equal share of the width: closed form.
func TestFieldBandsHaveTheirArea(t *testing.T) {
	var r Raster
	r.Begin(240, 240, 1, white)
	f := &Field{Triangles: square(240, 7, func(p geom.Point) float64 { return p.X }), Low: 0, High: 240}
	p := Painter{c: &r, cam: Camera{Center: geom.Pt(120, 120), Scale: 1, Width: 240, Height: 240}, o: Options{Theme: Light(), Field: f}}
	p.field()
	count := map[[3]uint8]int{}
	pix := r.Image().Pix
	for i := 0; i < len(pix); i += 4 {
		count[[3]uint8{pix[i], pix[i+1], pix[i+2]}]++
	}
	for k, c := range bandColors(false, false) {
		if got := count[[3]uint8{c.R, c.G, c.B}]; math.Abs(float64(got)-240*20) > 2*240 {
			t.Errorf("band %d covers %d pixels, want 4800 within a pixel's width at either border", k, got)
		}
	}
	if got := count[[3]uint8{255, 255, 255}]; got != 0 {
		t.Errorf("%d pixels of paper show through", got)
	}
}

// The lightness of the scale falls evenly, so that its order is seen without colour; on dark paper it rises.
func TestBandsAreOrderedByLightness(t *testing.T) {
	linear := func(v uint8) float64 { // IEC 61966-2-1, from memory
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	luma := func(i int, dark bool) float64 { // CIE 1976 lightness L*, from memory
		c := bandColors(dark, false)[i]
		return 116*math.Cbrt(0.2126*linear(c.R)+0.7152*linear(c.G)+0.0722*linear(c.B)) - 16
	}
	for i := 1; i < fieldBands; i++ {
		if !(luma(i, false) < luma(i-1, false)-3) {
			t.Errorf("light: band %d is not darker than the one below it: %.1f, %.1f", i, luma(i, false), luma(i-1, false))
		}
		if !(luma(i, true) > luma(i-1, true)+3) {
			t.Errorf("dark: band %d is not lighter than the one below it", i)
		}
	}
}

// A stale field is grey and says so; a field of one value is one colour; values that are not numbers leave paper.
func TestFieldsThatAreStaleEvenOrBroken(t *testing.T) {
	for _, c := range bandColors(false, true) {
		if c.R != c.G || c.G != c.B {
			t.Errorf("stale band %v is not grey", c)
		}
	}
	rec := NewRecorder(400, 300)
	o := Options{Theme: Light(), Field: &Field{
		Title: "deflection", Unit: "mm", Low: 2, High: 2, Stale: "of an older state",
		Triangles: square(50, 1, func(geom.Point) float64 { return 2 }),
		Spots:     []Spot{{geom.Pt(25, 25), "0.2 mm"}, {geom.Pt(math.NaN(), 0), "nowhere"}},
	}}
	l := layoutOfBlock(t)
	Paint(rec, l, Camera{Center: geom.Pt(0, 0), Scale: 1, Width: 400, Height: 300}, o)
	text := string(rec.Lines())
	for _, want := range []string{"of an older state", "deflection, mm", "0.2 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("the drawing does not say %q", want)
		}
	}
	if strings.Contains(text, "nowhere") || strings.Contains(text, "NaN") {
		t.Error("a spot without a place is drawn")
	}
}

// layoutOfBlock is a plain plate of 100 × 60 × 10 mm with one bore.
func layoutOfBlock(t *testing.T) *layout.Layout {
	t.Helper()
	d := plate.New("block")
	d.Outline = plate.Outline{Corners: []plate.Corner{{X: -50, Y: -30}, {X: 50, Y: -30}, {X: 50, Y: 30}, {X: -50, Y: 30}}}
	d.Rim = 0
	d.Bores = []plate.Bore{{ID: d.NextID, Name: "Pivot", Diameter: 20}}
	d.NextID++
	l, err := layout.Derive(d)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// An eccentric moves its centre on a circle of radius e; the clocked ring's mate shows which bolts fit.
func TestAdjustersAreDrawnInTheirSetting(t *testing.T) {
	l := *layoutOfBlock(t)
	bore := l.Plate.Bores[0].ID
	l.Plate.Eccentrics = []plate.Eccentric{{ID: 90, Name: "Axle", Bore: bore, E: 5, Inner: 8, AngleDeg: 0}}
	l.Plate.Rings = []plate.ClockedRing{{
		BoltCircle: plate.BoltCircle{ID: 91, Name: "Head", X: 0, Y: 0, Diameter: 40, Count: 6},
		MateCount:  4,
	}}
	l.Plate.Settings = []plate.Setting{{ID: 92, Name: "High", Values: []plate.SettingValue{{Feature: 90, AngleDeg: 90}}}}
	cam := Camera{Scale: 1, Width: 200, Height: 200}
	draw := func() (solid, dashed []seg) {
		p := Painter{c: NewRecorder(200, 200), l: &l, cam: cam, o: Options{Theme: Light(), Show: Adjusters}}
		p.adjusters()
		return p.path.segs, p.dot.segs
	}
	circles := func(segs []seg) (at [][3]float64) {
		for _, g := range segs {
			if g.kind == segArc {
				at = append(at, [3]float64{math.Round(g.cx - 100), math.Round(100 - g.cy), g.r})
			}
		}
		return at
	}
	solid, dashed := draw()
	if got := circles(solid); len(got) != 3 || got[2] != [3]float64{5, 0, 4} {
		t.Errorf("solid circles %v, want two bolts that fit (gcd of 6 and 4) and the bore at (5, 0)", got)
	}
	if got := circles(dashed); len(got) != 3 || got[2] != [3]float64{0, 0, 5} {
		t.Errorf("dashed circles %v, want two holes without a bolt and the centre's path", got)
	}
	l.Plate.Setting = 92
	solid, _ = draw()
	if got := circles(solid); got[2] != [3]float64{0, 5, 4} {
		t.Errorf("in the setting the bore stands at %v, want (0, 5)", got[2])
	}
}

// A look at the field, for people: PLATEWRIGHT_PICTURES=dir keeps it.
func TestFieldPicture(t *testing.T) {
	var r Raster
	r.Begin(900, 600, 1, Light().Paper)
	l := layoutOfBlock(t)
	f := &Field{
		Title: "von Mises stress, top face", Unit: "MPa", Low: 0, High: 120, Digits: 0,
		Triangles: square(50, 30, func(p geom.Point) float64 { return 120 * math.Exp(-p.Dist(geom.Pt(25, 25))/20) }),
		Spots:     []Spot{{geom.Pt(25, 25), "120 MPa"}},
	}
	Paint(&r, l, Camera{Center: geom.Pt(0, 0), Scale: 7, Width: 900, Height: 600}, Options{Theme: Light(), Field: f, Show: Usual, TextSize: 13})
	if dir := os.Getenv("PLATEWRIGHT_PICTURES"); dir != "" {
		var b bytes.Buffer
		if err := png.Encode(&b, r.Image()); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "field.png"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	mid := r.Image().RGBAAt(450+25*7, 300-25*7+4)
	if want := bandColors(false, false)[fieldBands-1]; mid == Light().Metal || (mid != want && mid != Light().Ink && mid != Light().Paper) {
		t.Errorf("near the worst place the colour is %v, want the last band %v or the mark's", mid, want)
	}
}

// spoken is a canvas that keeps what stands in the lower left corner: text from x = 20 on.
type spoken struct {
	Recorder
	lines []string
	right float64
}

func (s *spoken) Text(x, _ float64, text string, st TextStyle) {
	if x == 20 {
		s.lines = append(s.lines, text)
		s.right = max(s.right, x+TextWidth(text, st))
	}
}

// A long sentence in the corner is broken before the scale bar, and no word of it is lost; a short one stays in one line.
func TestReadoutBreaks(t *testing.T) {
	const width = 900
	for _, c := range []struct {
		text string
		want int // lines
	}{{"top face   x 1.0   y 2.0 mm", 1}, {strings.Repeat("von Mises stress, top surface ", 8), 3}} {
		s := &spoken{Recorder: *NewRecorder(width, 600)}
		Paint(s, layoutOfBlock(t), Camera{Center: geom.Pt(0, 0), Scale: 7, Width: width, Height: 600},
			Options{Theme: Light(), Readout: c.text, Show: Scale, TextSize: 13})
		if len(s.lines) != c.want || strings.Join(strings.Fields(strings.Join(s.lines, " ")), " ") != strings.Join(strings.Fields(c.text), " ") {
			t.Errorf("%q is written as %q", c.text, s.lines)
		}
		if s.right > width-24-longestScale {
			t.Errorf("%q reaches to %.0f, into the scale bar", c.text, s.right)
		}
	}
}

// What is drawn larger is so by a number with two figures, whatever its size.
func TestExaggerationDigits(t *testing.T) {
	for v, want := range map[float64]float64{2561.7: 2500, 0.04789: 0.047, 1: 1, 9.99: 9.9, 12.5: 12} {
		if got := twoFigures(v); got != want {
			t.Errorf("%v becomes %v, want %v", v, got, want)
		}
	}
}
