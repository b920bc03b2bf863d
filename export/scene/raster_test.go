package scene

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

var (
	black = color.RGBA{A: 255}
	white = color.RGBA{255, 255, 255, 255}
)

// inked draws black on white with draw and returns how much ink each pixel holds, 0 to 1.
func inked(w, h int, scale float64, draw func(r *Raster)) (ink []float64, total float64) {
	var r Raster
	r.Begin(w, h, scale, white)
	draw(&r)
	ink = make([]float64, w*h)
	for i := range ink {
		ink[i] = 1 - float64(r.Image().Pix[4*i])/255
		total += ink[i]
	}
	return ink, total
}

func circlePath(x, y, r float64) *Path {
	var p Path
	p.Circle(x, y, r)
	return &p
}

// The ink of a filled shape is its area: closed forms, to the steps of 1/256 along the border.
func TestFillCoversItsArea(t *testing.T) {
	var ring, triangle, crossed Path
	ring.Circle(50, 50, 40)
	ring.Circle(50, 50, 17.5)
	triangle.MoveTo(3.3, 5.1)
	triangle.LineTo(90.2, 20.7)
	triangle.LineTo(30.6, 88.9)
	// Two squares that overlap by 20 × 20: the even-odd rule leaves the overlap out.
	crossed.Rect(10, 10, 40, 40)
	crossed.Rect(30, 30, 40, 40)
	for _, c := range []struct {
		name   string
		p      *Path
		want   float64
		border float64
	}{
		{"square", func() *Path { var p Path; p.Rect(10.25, 20.5, 30.5, 40.25); return &p }(), 30.5 * 40.25, 142},
		{"ring", &ring, math.Pi * (40*40 - 17.5*17.5), 362},
		{"triangle", &triangle, math.Abs((90.2-3.3)*(88.9-5.1)-(30.6-3.3)*(20.7-5.1)) / 2, 265},
		{"overlap left out", &crossed, 2*1600 - 2*400, 320},
	} {
		_, got := inked(100, 100, 1, func(r *Raster) { r.Fill(c.p, Ink{Color: black}) })
		// Chords lie inside a circle by at most the flatness, and each border pixel is rounded by up to 1/256.
		tol := c.border * (1.0/256 + 1.0/255)
		if c.name == "ring" {
			tol += flatness * 2 * math.Pi * 40 * 2 / 3
		}
		if !closeTo(got, c.want, tol) {
			t.Errorf("%s: %.2f pixels of ink, want %.2f ± %.2f", c.name, got, c.want, tol)
		}
	}
}

// What hangs over an edge of the picture looks as it does in the middle of a larger one.
func TestFillAndStrokeAreCutOffCleanly(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for n := range 60 {
		var p, moved Path
		p.MoveTo(-60+180*rng.Float64(), -60+180*rng.Float64())
		moved.MoveTo(p.x+100, p.y+100)
		for range 5 {
			x, y := -60+180*rng.Float64(), -60+180*rng.Float64()
			p.LineTo(x, y)
			moved.LineTo(x+100, y+100)
		}
		p.Close()
		moved.Close()
		draw := func(q *Path) func(r *Raster) {
			return func(r *Raster) {
				if n%2 == 0 {
					r.Fill(q, Ink{Color: black})
				} else {
					r.Stroke(q, Stroke{Width: 5, Color: black})
				}
			}
		}
		small, _ := inked(60, 60, 1, draw(&p))
		big, _ := inked(260, 260, 1, draw(&moved))
		for y := range 60 {
			for x := range 60 {
				if a, b := small[y*60+x], big[(y+100)*260+x+100]; !closeTo(a, b, 2.5/255) {
					t.Fatalf("shape %d of seed 7: pixel (%d, %d) holds %.3f, in the larger picture %.3f", n, x, y, a, b)
				}
			}
		}
	}
}

// The ink of a line is its width times its length; a closed rectangle's corners are mitred, so that the band is exact.
func TestStrokeCoversItsBand(t *testing.T) {
	var line, rect Path
	line.Line(10.5, 20.25, 80.75, 70.5)
	rect.Rect(20, 20, 50, 40)
	length := math.Hypot(80.75-10.5, 70.5-20.25)
	for _, c := range []struct {
		name string
		p    *Path
		s    Stroke
		want float64
		tol  float64
	}{
		{"line", &line, Stroke{Width: 3}, 3 * length, 0.01 * 3 * length},
		{"hairline", &line, Stroke{Width: 0.8}, 0.8 * length, 0.02 * 0.8 * length},
		{"rectangle", &rect, Stroke{Width: 4}, 54*44 - 46*36, 1},
		{"circle", circlePath(50, 50, 30), Stroke{Width: 2}, 2 * math.Pi * 30 * 2, 0.01 * 377},
		// Half of the pattern is drawn; the ends fall at most one dash and gap short.
		{"dashes", &line, Stroke{Width: 2, Dash: []float64{4, 4}}, length, 8},
	} {
		c.s.Color = black
		_, got := inked(100, 100, 1, func(r *Raster) { r.Stroke(c.p, c.s) })
		if !closeTo(got, c.want, c.tol) {
			t.Errorf("%s: %.2f pixels of ink, want %.2f ± %.2f", c.name, got, c.want, c.tol)
		}
	}
}

// A crisp line of one pixel fills one row and touches no other, wherever it is drawn.
func TestCrispLinesFillWholePixels(t *testing.T) {
	for _, y := range []float64{20, 20.3, 20.5, 20.9} {
		for _, scale := range []float64{1, 2} {
			var p Path
			p.Line(10/scale, y/scale, 30/scale, y/scale)
			ink, _ := inked(40, 40, scale, func(r *Raster) {
				r.Stroke(&p, Stroke{Width: 1 / scale, Color: black, Crisp: true})
			})
			rows := 0
			for row := range 40 {
				switch v := ink[row*40+20]; {
				case v == 1:
					rows++
				case v != 0:
					t.Errorf("line at y = %g, scale %g: row %d holds %.3f", y, scale, row, v)
				}
			}
			if rows != 1 {
				t.Errorf("line at y = %g, scale %g fills %d rows, want 1", y, scale, rows)
			}
		}
	}
}

// A hatch at 45° with lines w wide and p apart along x covers w·√2/p of its area, rising or falling, and moves with its
// anchor.
func TestHatchCoversItsShare(t *testing.T) {
	var p Path
	p.Rect(0, 0, 90, 90)
	for _, h := range []Hatch{
		{Pitch: 9, Width: 1.5, Color: black},
		{Pitch: 9, Width: 0.6, Falling: true, X: 3.3, Y: 1.7, Color: black},
		{Pitch: 6, Width: 2, X: -4.5, Color: black},
	} {
		_, got := inked(90, 90, 1, func(r *Raster) { r.Fill(&p, Ink{Color: white, Hatches: [2]Hatch{h}}) })
		want := h.Width * math.Sqrt2 / h.Pitch * 90 * 90
		if !closeTo(got, want, 0.02*want) {
			t.Errorf("%+v: %.0f pixels of ink, want %.0f", h, got, want)
		}
	}
	at := func(x, y float64, falling bool) []float64 {
		ink, _ := inked(90, 90, 1, func(r *Raster) {
			r.Fill(&p, Ink{Color: white, Hatches: [2]Hatch{{Pitch: 9, Width: 1.5, X: x, Y: y, Falling: falling, Color: black}}})
		})
		return ink
	}
	for _, falling := range []bool{false, true} {
		a, b := at(0, 0, falling), at(4, 1, falling)
		for y := range 80 {
			for x := range 80 {
				if a[y*90+x] != b[(y+1)*90+x+4] {
					t.Fatalf("falling %v: the hatch did not move with its anchor at (%d, %d)", falling, x, y)
				}
			}
		}
	}
}

// Two hatches over one another, and a hatch alone, draw what a hatch over a colour draws.
func TestHatchesAloneAndTogether(t *testing.T) {
	var p Path
	p.Rect(5.5, 5, 50, 50)
	up := Hatch{Pitch: 9, Width: 1.5, Color: black}
	down := Hatch{Pitch: 9, Width: 1.5, Falling: true, Color: black}
	one, _ := inked(60, 60, 1, func(r *Raster) { r.Fill(&p, Ink{Color: white, Hatches: [2]Hatch{up}}) })
	alone, _ := inked(60, 60, 1, func(r *Raster) { r.Fill(&p, Ink{Hatches: [2]Hatch{up}}) })
	both, _ := inked(60, 60, 1, func(r *Raster) { r.Fill(&p, Ink{Color: white, Hatches: [2]Hatch{up, down}}) })
	turned, _ := inked(60, 60, 1, func(r *Raster) { r.Fill(&p, Ink{Color: white, Hatches: [2]Hatch{down, up}}) })
	for i := range one {
		if !closeTo(one[i], alone[i], 3.0/255) {
			t.Fatalf("pixel %d: %.3f over white, %.3f alone", i, one[i], alone[i])
		}
		if !closeTo(both[i], turned[i], 3.0/255) || both[i] < one[i]-3.0/255 {
			t.Fatalf("pixel %d: %.3f with both, %.3f in the other order, %.3f with one", i, both[i], turned[i], one[i])
		}
	}
}

// However far one has zoomed in, the dashes drawn are bounded by the picture: a line of 10⁹ px makes no more than cross it.
func TestDashesAreBoundedByThePicture(t *testing.T) {
	var r Raster
	r.Begin(200, 100, 1, white)
	r.points = append(r.points[:0], point{-1e9, 50}, point{1e9, 51})
	if got, most := r.dash(false, 0.5, []float64{3, 3}), 220/6+2; got < 200/6-2 || got > most {
		t.Errorf("%d dashes, want about %d", got, 200/6)
	}
	r.points = append(r.points[:0], point{-1e9, -50}, point{1e9, -51})
	if got := r.dash(false, 0.5, []float64{3, 3}); got != 0 {
		t.Errorf("%d dashes of a line beside the picture", got)
	}
}

// Anything may come from a camera: nothing hangs, panics or leaves ink behind for the next shape.
func TestWildNumbers(t *testing.T) {
	wild := []float64{0, 1, -1, 50, 1e-300, 1e9, -1e15, 1e300, -1e308, math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN()}
	rng := rand.New(rand.NewPCG(3, 3))
	pick := func() float64 { return wild[rng.IntN(len(wild))] }
	var r Raster
	for range 300 {
		r.Begin(64, 48, 1, white)
		var p Path
		p.MoveTo(pick(), pick())
		p.LineTo(pick(), pick())
		p.ArcTo(pick(), pick(), pick(), pick(), pick())
		p.LineTo(pick(), pick())
		p.Close()
		p.Circle(pick(), pick(), pick())
		r.Fill(&p, Ink{Color: black, Hatches: [2]Hatch{{Pitch: pick(), Width: pick(), X: pick(), Y: pick(), Color: black}}})
		r.Stroke(&p, Stroke{Width: pick(), Color: black, Crisp: rng.IntN(2) == 0})
		r.Stroke(&p, Stroke{Width: 1, Color: black, Dash: []float64{4, 3}})
		r.Text(pick(), pick(), "0123 µ\uFFFF", TextStyle{Size: pick(), Align: Middle, Color: black, Up: rng.IntN(2) == 0})
		for i, v := range r.fill.cover {
			if v != 0 {
				t.Fatalf("%v was left in cell %d", v, i)
			}
		}
	}
}

func TestRasterSizes(t *testing.T) {
	var r Raster
	for _, c := range []struct {
		w, h  int
		scale float64
		want  image.Point
	}{
		{0, 0, 1, image.Pt(1, 1)},
		{-5, 7, math.NaN(), image.Pt(1, 7)},
		{300, 200, 2, image.Pt(300, 200)},
		{MaxSide + 1, 1, 1, image.Pt(MaxSide, 1)},
	} {
		r.Begin(c.w, c.h, c.scale, white)
		m := r.Image()
		if got := m.Rect.Size(); got != c.want || m.Stride != 4*got.X || !m.Opaque() {
			t.Errorf("Begin(%d, %d, %g): picture of %v, stride %d, opaque %v", c.w, c.h, c.scale, got, m.Stride, m.Opaque())
		}
	}
	r.Begin(300, 200, 2, white)
	if w, h := r.Size(); w != 150 || h != 100 {
		t.Errorf("canvas of %g × %g px at scale 2, want 150 × 100", w, h)
	}
}

// Once warm, a frame of everything allocates nothing.
func TestFramesAllocateNothing(t *testing.T) {
	l := derive(t, block())
	var r Raster
	var p Painter
	cam := Fit(l, 640, 400, plate.Top)
	o := Options{
		Theme: Light(), Show: Usual | Names, Selected: 1, Hover: 4, Cells: []int{0}, Findings: l.Findings, Readout: "x 1.0  y 2.0 mm",
		Handles: []Handle{{At: geom.Pt(22, 30)}}, Guides: [][2]geom.Point{{geom.Pt(0, 0), geom.Pt(9, 9)}},
	}
	frame := func() {
		r.Begin(640, 400, 1, o.Theme.Paper)
		p.Paint(&r, l, cam, o)
	}
	frame()
	if n := testing.AllocsPerRun(20, frame); n != 0 {
		t.Errorf("%v allocations a frame, want 0", n)
	}
}

// The figures have one width, so that a changing number does not dance.
func TestFiguresAreTabular(t *testing.T) {
	for _, bold := range []bool{false, true} {
		s := TextStyle{Size: 12, Bold: bold}
		want := TextWidth("0", s)
		if want <= 0 {
			t.Fatalf("width of 0 is %v", want)
		}
		for _, d := range "123456789" {
			if got := TextWidth(string(d), s); got != want {
				t.Errorf("bold %v: %c is %.3f px wide, 0 is %.3f", bold, d, got, want)
			}
		}
	}
}

// inkBox is the box of the pixels with ink.
func inkBox(ink []float64, w int) (x0, y0, x1, y1 int) {
	x0, y0 = w, len(ink)
	for i, v := range ink {
		if v > 0.1 {
			x0, x1 = min(x0, i%w), max(x1, i%w+1)
			y0, y1 = min(y0, i/w), max(y1, i/w+1)
		}
	}
	return x0, y0, x1, y1
}

func TestTextStandsWhereItIsAligned(t *testing.T) {
	const text = "Hnh"
	s := TextStyle{Size: 20, Color: black}
	w := TextWidth(text, s)
	for _, c := range []struct {
		align  Align
		up     bool
		lo, hi float64 // along the line
	}{
		{Start, false, 100, 100 + w},
		{Middle, false, 100 - w/2, 100 + w/2},
		{End, false, 100 - w, 100},
		{Start, true, 100 - w, 100},
		{Middle, true, 100 - w/2, 100 + w/2},
		{End, true, 100, 100 + w},
	} {
		s.Align, s.Up = c.align, c.up
		ink, _ := inked(200, 200, 1, func(r *Raster) { r.Text(100, 100, text, s) })
		x0, y0, x1, y1 := inkBox(ink, 200)
		lo, hi, foot := x0, x1, y1
		if c.up {
			lo, hi, foot = y0, y1, x1
		}
		// Letters have a little air on both sides.
		if float64(lo) < c.lo-1 || float64(lo) > c.lo+4 || float64(hi) > c.hi+1 || float64(hi) < c.hi-4 {
			t.Errorf("align %d, up %v: ink from %d to %d, want %.1f to %.1f", c.align, c.up, lo, hi, c.lo, c.hi)
		}
		if foot != 100 {
			t.Errorf("align %d, up %v: foot at %d, want 100", c.align, c.up, foot)
		}
	}
}

// The masks kept are bounded, and a dropped one is drawn again as it was.
func TestGlyphCacheIsBounded(t *testing.T) {
	var r Raster
	r.Begin(50, 50, 1, white)
	draw := func() []byte {
		r.Begin(50, 50, 1, white)
		r.Text(10, 30, "a", TextStyle{Size: 12, Color: black})
		return append([]byte(nil), r.Image().Pix...)
	}
	before := draw()
	for i := range 3 * maxGlyphs {
		r.Text(10, 30, "a", TextStyle{Size: 13 + float64(i)/64, Color: black})
		if n := len(r.text.masks); n > maxGlyphs {
			t.Fatalf("%d masks kept, want at most %d", n, maxGlyphs)
		}
	}
	if after := draw(); string(after) != string(before) {
		t.Error("the letter looks different after the cache was emptied")
	}
}
