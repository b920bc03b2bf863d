package dxf

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// roundedRectangle is the area of a rectangle with corners of radius r: w·h − (4 − π) r².
func roundedRectangle(w, h, r float64) float64 { return w*h - (4-math.Pi)*r*r }

func disc(d float64) float64 { return math.Pi * d * d / 4 }

// The sizes of the holes are those of ISO 273 (M6 medium: 6.6 mm) and the tap drills of ISO 2306 (M6: 5.0, M8: 6.8 mm).
func TestAreasOfBlock(t *testing.T) {
	l := derive(t, block())
	want := map[plate.Side]map[string]float64{
		plate.Top: {
			"OUTLINE":                     roundedRectangle(100, 60, 5),
			"BORE_DIA24P000_THRU":         disc(24),
			"BORE_DIA6P000_TOL0P012_THRU": disc(6),
			"HOLE_DIA6P600_THRU":          disc(6.6),
			"TAP_M6X1_TOP_DEEP8P000":      disc(5),
			"POCKET_TOP_DEEP12P000":       roundedRectangle(40, 20, 2) - disc(10),
			"WINDOW_THRU":                 roundedRectangle(40, 12, 3),
		},
		plate.Bottom: {
			"OUTLINE":                      roundedRectangle(100, 60, 5),
			"BORE_DIA24P000_THRU":          disc(24),
			"BORE_DIA6P000_TOL0P012_THRU":  disc(6),
			"HOLE_DIA6P600_THRU":           disc(6.6),
			"TAP_M8X1P25_BOTTOM_DEEP8P000": disc(6.8),
			"POCKET_BOTTOM_DEEP5P250":      roundedRectangle(16, 16, 3),
			"WINDOW_THRU":                  roundedRectangle(40, 12, 3),
		},
	}
	for side, want := range want {
		f := parse(t, write(t, l, Options{Side: side}))
		got := areas(f.contours(t), map[string]bool{"POCKET_TOP_DEEP12P000": true})
		if len(got) != len(want) {
			t.Errorf("%s: layers %v, want %d of them", side, got, len(want))
		}
		for name, w := range want {
			if math.Abs(got[name]-w) > 1e-9*w {
				t.Errorf("%s: area on %s = %.12g, want %.12g", side, name, got[name], w)
			}
		}
	}
}

// The origin is the work zero (10, 20); turned about X, y changes sign, turned about Y, x does.
func TestPlacing(t *testing.T) {
	for _, c := range []struct {
		side plate.Side
		turn plate.Axis
		want [4]float64 // box of the outline, then centre of the bore at (22, 30)
		x, y float64
	}{
		{plate.Top, plate.AxisX, [4]float64{-10, -20, 90, 40}, 12, 10},
		{plate.Top, plate.AxisY, [4]float64{-10, -20, 90, 40}, 12, 10},
		{plate.Bottom, plate.AxisX, [4]float64{-10, -40, 90, 20}, 12, -10},
		{plate.Bottom, plate.AxisY, [4]float64{-90, -20, 10, 40}, -12, 10},
	} {
		p := block()
		p.Machining.Turn = c.turn
		f := parse(t, write(t, derive(t, p), Options{Side: c.side}))
		var got [4]float64
		for i, name := range []string{"$EXTMIN", "$EXTMAX"} {
			for j, v := range f.header[name][:2] {
				got[2*i+j], _ = strconv.ParseFloat(v.value, 64)
			}
		}
		if got != c.want {
			t.Errorf("%s turned about %s: extent %v, want %v", c.side, c.turn, got, c.want)
		}
		for _, e := range f.entities {
			if e.text(8) == "BORE_DIA24P000_THRU" && (e.number(t, 10) != c.x || e.number(t, 20) != c.y) {
				t.Errorf("%s turned about %s: bore at %s, %s, want %g, %g", c.side, c.turn, e.text(10), e.text(20), c.x, c.y)
			}
		}
		for _, o := range f.contours(t) {
			if o.layer == "OUTLINE" && o.area < 0 {
				t.Errorf("%s turned about %s: outline runs clockwise", c.side, c.turn)
			}
		}
	}
}

// Handles are unique, owners exist, the seed is above every handle, and the dictionaries lead to objects that name them.
func TestHandlesAndOwners(t *testing.T) {
	f := parse(t, write(t, derive(t, block()), Options{}))
	handles := map[string]bool{"0": true}
	for _, it := range f.items {
		for _, p := range it.pairs {
			if p.code == 5 || p.code == 105 && it.kind == "DIMSTYLE" {
				if handles[p.value] {
					t.Errorf("%s: handle %s twice", it.kind, p.value)
				}
				handles[p.value] = true
			}
		}
	}
	seed, err := strconv.ParseUint(f.header["$HANDSEED"][0].value, 16, 64)
	if err != nil {
		t.Fatal(err)
	}
	for h := range handles {
		if v, err := strconv.ParseUint(h, 16, 64); err != nil || v >= seed {
			t.Errorf("handle %s is not below the seed %X", h, seed)
		}
	}
	for _, it := range f.items {
		for _, p := range it.pairs {
			switch p.code {
			case 330, 340, 350, 390:
				if !handles[p.value] {
					t.Errorf("%s: code %d leads to %s, which does not exist", it.kind, p.code, p.value)
				}
			case 999:
				t.Errorf("comment %q", p.value)
			}
		}
	}
}

func TestHeader(t *testing.T) {
	f := parse(t, write(t, derive(t, block()), Options{}))
	for name, want := range map[string]string{"$ACADVER": "AC1015", "$INSUNITS": "4", "$MEASUREMENT": "1"} {
		if got := f.header[name]; len(got) != 1 || got[0].value != want {
			t.Errorf("%s = %v, want %s", name, got, want)
		}
	}
	if last := f.items[len(f.items)-1]; last.kind != "EOF" {
		t.Errorf("file ends with %s", last.kind)
	}
}

func TestGeometryOnly(t *testing.T) {
	l := derive(t, block())
	f := parse(t, write(t, l, Options{GeometryOnly: true}))
	if want := []string{"0", PlainLayer}; !slices.Equal(f.layers, want) {
		t.Errorf("layers %v, want %v", f.layers, want)
	}
	full := parse(t, write(t, l, Options{}))
	if got, want := len(f.entities), len(full.entities); got != want {
		t.Errorf("%d contours, want the %d of the file with layers", got, want)
	}
	for _, e := range f.entities {
		if e.text(8) != PlainLayer {
			t.Errorf("contour on %s", e.text(8))
		}
	}
}

// Two fields of the same depth that overlap by 10 mm leave one contour of 60 × 20 mm; one of another depth stays apart.
func TestFieldsThatMeetAreJoined(t *testing.T) {
	p := block()
	p.Bores, p.Holes = nil, nil
	p.Pockets = []plate.Pocket{
		{ID: 6, Name: "Left", Side: plate.Top, Depth: 8, Radius: 2, Bounds: rectangle(10, 10, 45, 30, 0)},
		{ID: 7, Name: "Right", Side: plate.Top, Depth: 8, Radius: 2, Bounds: rectangle(35, 10, 70, 30, 0)},
		{ID: 8, Name: "Deeper", Side: plate.Top, Depth: 9, Radius: 2, Bounds: rectangle(20, 12, 60, 28, 0)},
	}
	cs := parse(t, write(t, derive(t, p), Options{})).contours(t)
	got := areas(cs, nil)
	// Where the rounded ends lie inside the other field nothing of them is left.
	if w := roundedRectangle(60, 20, 2); math.Abs(got["POCKET_TOP_DEEP8P000"]-w) > 1e-9*w {
		t.Errorf("joined area %.12g, want %.12g", got["POCKET_TOP_DEEP8P000"], w)
	}
	if w := roundedRectangle(40, 16, 2); math.Abs(got["POCKET_TOP_DEEP9P000"]-w) > 1e-9*w {
		t.Errorf("deeper area %.12g, want %.12g", got["POCKET_TOP_DEEP9P000"], w)
	}
	if len(cs) != 3 {
		t.Errorf("%d contours, want outline and two pockets", len(cs))
	}
}

func TestOneCircleForTwoHolesAtOnePlace(t *testing.T) {
	p := block()
	p.Pockets = nil
	again := p.Holes[0]
	again.ID, again.Name = 20, "Tie again"
	p.Holes = append(p.Holes, again)
	p.NextID = 21
	n := 0
	for _, o := range parse(t, write(t, derive(t, p), Options{})).contours(t) {
		if o.layer == "HOLE_DIA6P600_THRU" {
			n++
		}
	}
	if n != 1 {
		t.Errorf("%d circles, want 1", n)
	}
}

// Circles that differ by noise, even across a rounding border, are one; those that differ by ten micrometres, in size or by
// layer are not.
func TestRepeatedCircles(t *testing.T) {
	at := func(layer int, x, r float64) *shape {
		return &shape{layer: layer, circle: true, center: geom.Pt(x, 5), radius: r}
	}
	for _, x := range []float64{0, 1e-6, 2e-6, 3e-6, 17.3, -4.000001} {
		for _, noise := range []float64{0, 1e-12, -1e-12, 4e-7, -4e-7} {
			s := seen{}
			if s.repeats(at(0, x, 3)) {
				t.Fatalf("the first circle at %v repeats nothing", x)
			}
			if !s.repeats(at(0, x+noise, 3-noise)) {
				t.Errorf("circle at %v, off by %v, is not recognised", x, noise)
			}
			for _, other := range []*shape{at(1, x, 3), at(0, x+1e-5, 3), at(0, x, 3.00001)} {
				if s.repeats(other) {
					t.Errorf("circle at %v and %+v are taken for one", x, *other)
				}
			}
		}
	}
}

// The major arc of a keyhole turns by 300°: it goes in two pieces, and no bulge exceeds a half circle's 1.
func TestLongArcsAreSplit(t *testing.T) {
	a, b := geom.Pt(5, -5*math.Sqrt(3)), geom.Pt(-5, -5*math.Sqrt(3))
	arc := geom.Arc(a, b, geom.Pt(0, 0), 1)
	c := geom.Contour{arc, geom.Line(b, a)}
	s, err := shapeOf(c)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.vertices) != 3 {
		t.Fatalf("%d vertices, want 3", len(s.vertices))
	}
	for _, v := range s.vertices {
		if math.Abs(v.bulge) > 1 {
			t.Errorf("bulge %v beyond a half circle", v.bulge)
		}
	}
	// Each half turns by 150°: the bulge is tan 37.5°.
	if got, want := s.vertices[0].bulge, math.Tan(37.5*math.Pi/180); math.Abs(got-want) > 1e-15 {
		t.Errorf("bulge %v, want %v", got, want)
	}
}

func TestCircleInPiecesIsACircle(t *testing.T) {
	o, a, b := geom.Pt(3, 4), geom.Pt(8, 4), geom.Pt(-2, 4)
	for _, c := range []geom.Contour{
		geom.Circle(o, 5),
		{geom.Arc(a, b, o, 1), geom.Arc(b, a, o, 1)},
		{geom.Arc(a, b, o, -1), geom.Arc(b, a, o, -1)},
	} {
		s, err := shapeOf(c)
		if err != nil || !s.circle || s.radius != 5 || s.center != o {
			t.Errorf("shapeOf(%v) = %+v, %v; want a circle", c, s, err)
		}
	}
	lens := geom.Contour{geom.Arc(a, b, o, 1), geom.Arc(b, a, geom.Pt(3, 4.5), 1)}
	if s, err := shapeOf(lens); err != nil || s.circle {
		t.Errorf("a lens became %+v, %v", s, err)
	}
}

// What cannot be written is refused before the first byte.
func TestErrorsWriteNothing(t *testing.T) {
	good := derive(t, block())
	spoil := func(change func(l *layout.Layout)) *layout.Layout {
		l := *good
		l.Cuts = slices.Clone(good.Cuts)
		l.Outline.Outer = slices.Clone(good.Outline.Outer)
		change(&l)
		return &l
	}
	bad := func(v float64) *layout.Layout {
		return spoil(func(l *layout.Layout) { l.Outline.Outer[0].A.X = v })
	}
	cases := []struct {
		name string
		l    *layout.Layout
		o    Options
		want string
	}{
		{"no layout", nil, Options{}, "no plate"},
		{"empty layout", &layout.Layout{}, Options{}, "no plate"},
		{"both sides", good, Options{Side: plate.Through}, "side"},
		{"unknown side", good, Options{Side: "left"}, "left"},
		{"NaN", bad(math.NaN()), Options{}, "OUTLINE"},
		{"infinite", bad(math.Inf(1)), Options{}, "OUTLINE"},
		{"huge", bad(1e300), Options{}, "OUTLINE"},
		{"open", bad(7), Options{}, "not closed"},
		{"NaN zero", spoil(func(l *layout.Layout) { l.Plate.Machining.ZeroX = math.NaN() }), Options{}, "cannot be written"},
		{"no turn axis", spoil(func(l *layout.Layout) { l.Plate.Machining.Turn = "z" }), Options{Side: plate.Bottom}, "turns"},
		{"no region", spoil(func(l *layout.Layout) {
			for i := range l.Cuts {
				if l.Cuts[i].Kind == layout.CutPocket {
					l.Cuts[i].Region = geom.Region{Outer: geom.Contour{}}
				}
			}
		}), Options{}, "POCKET"},
	}
	for _, c := range cases {
		var b bytes.Buffer
		err := Write(&b, c.l, c.o)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
		if b.Len() != 0 {
			t.Errorf("%s: %d bytes were written", c.name, b.Len())
		}
		if _, err := Legend(c.l, c.o); err == nil {
			t.Errorf("%s: the legend has no error", c.name)
		}
	}
}

// failing takes a number of bytes and then fails.
type failing struct{ left int }

var errFull = errors.New("disk full")

func (f *failing) Write(p []byte) (int, error) {
	if len(p) > f.left {
		return 0, errFull
	}
	f.left -= len(p)
	return len(p), nil
}

func TestErrorOfTheWriterComesOut(t *testing.T) {
	l := derive(t, block())
	for _, n := range []int{0, 5000} {
		if err := Write(&failing{n}, l, Options{}); !errors.Is(err, errFull) {
			t.Errorf("after %d bytes: error %v, want %v", n, err, errFull)
		}
	}
}

func TestSave(t *testing.T) {
	l := derive(t, block())
	path := filepath.Join(t.TempDir(), FileName(l.Plate, plate.Top))
	if err := Save(path, l, Options{}); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, write(t, l, Options{})) {
		t.Error("the file differs from what Write writes; two runs must give the same bytes")
	}
	if err := Save(path, &layout.Layout{}, Options{}); err == nil {
		t.Error("an empty plate was saved")
	}
	if again, _ := os.ReadFile(path); !bytes.Equal(got, again) {
		t.Error("a failed save changed the file")
	}
}

func TestFileName(t *testing.T) {
	for _, c := range []struct {
		name string
		side plate.Side
		turn plate.Axis
		want string
	}{
		{"Rocker, left", plate.Top, plate.AxisX, "rocker--left_top_mm.dxf"},
		{"Rocker", plate.Bottom, plate.AxisY, "rocker_bottom_turned-y_mm.dxf"},
		{"../../etc", plate.Top, plate.AxisX, "etc_top_mm.dxf"},
		{"Ø", plate.Top, plate.AxisX, "plate_top_mm.dxf"},
	} {
		p := plate.Plate{Name: c.name, Machining: plate.Machining{Turn: c.turn}}
		if got := FileName(p, c.side); got != c.want {
			t.Errorf("FileName(%q, %s) = %q, want %q", c.name, c.side, got, c.want)
		}
	}
}

func TestNumbersReadBack(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{0, "0.0"},
		{math.Copysign(0, -1), "0.0"},
		{-1e-13, "0.0"},
		{5, "5.0"},
		{-2.5, "-2.5"},
		{1e8, "100000000.0"},
		{math.Nextafter(0.3, 1), "0.30000000000000004"},
		{1e-9, "0.000000001"},
	} {
		if out := numberText(t, c.v); out != c.want {
			t.Errorf("num(%v) writes %q, want %q", c.v, out, c.want)
		}
	}
}

func numberText(tb testing.TB, v float64) string {
	tb.Helper()
	var b bytes.Buffer
	tg := newTags(&b)
	tg.num(40, v)
	if err := tg.w.Flush(); err != nil {
		tb.Fatal(err)
	}
	return strings.Split(b.String(), "\n")[1]
}
