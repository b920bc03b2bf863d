package scene

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

var update = flag.Bool("update", false, "rewrite the golden files in testdata/scene")

// data is the folder of this package's files.
const data = "../../testdata/scene"

// golden compares text with a file, or rewrites it.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join(data, name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(g), len(w)) {
		a, b := "nothing", "nothing"
		if i < len(g) {
			a = g[i]
		}
		if i < len(w) {
			b = w[i]
		}
		if a != b {
			t.Errorf("%s:%d:\n got %s\nwant %s\n(-update rewrites it, when the change is meant)", name, i+1, a, b)
			return
		}
	}
}

// everything are options that draw all there is.
func everything(l *layout.Layout) Options {
	return Options{
		Theme: Light(), Show: Usual | Names, Selected: 4, Hover: 1, Cells: []int{0, -1, 99},
		Findings: []finding.Finding{
			{Level: finding.Error, Where: [2]float64{45, 30}, HasWhere: true},
			{Level: finding.Warning, What: "no place"},
			{Level: finding.Warning, Where: [2]float64{46, 30}, HasWhere: true},
			{Level: finding.Note, Where: [2]float64{85, 42}, HasWhere: true},
			{Level: finding.Note, Where: [2]float64{math.NaN(), 42}, HasWhere: true},
		},
		Handles: []Handle{{At: geom.Pt(22, 30), Hot: true}, {At: geom.Pt(92, 8)}, {At: geom.Pt(math.Inf(1), 0)}},
		Guides:  [][2]geom.Point{{geom.Pt(22, 30), geom.Pt(92, 30)}},
		Dimensions: []Dimension{
			{From: geom.Pt(0, 0), To: geom.Pt(22, 30), Run: AlongX, Change: 2},
			{From: geom.Pt(0, 0), To: geom.Pt(22, 30), Run: AlongY, Change: -1.25},
			{From: geom.Pt(22, 30), To: geom.Pt(92, 8), Run: Aligned},
			{From: geom.Pt(85, 0), To: geom.Pt(92, 8), Run: AlongX, Row: 1, Text: "7"},
			{From: geom.Pt(math.NaN(), 0), To: geom.Pt(92, 8), Run: AlongX},
		},
		Readout: "top face  x 22.0  y 30.0 mm",
	}
}

// record paints at 4 px per mm, where sizes in the record can be checked by hand.
func record(l *layout.Layout, side plate.Side, o Options) *Recorder {
	r := NewRecorder(520, 400)
	cam := Fit(l, 520, 400, side)
	cam.Scale = 4
	Paint(r, l, cam, o)
	return r
}

func TestGoldenRecords(t *testing.T) {
	l := derive(t, block())
	golden(t, "block-top.txt", record(l, plate.Top, Options{Theme: Light(), Show: Usual}).Lines())
	golden(t, "block-bottom.txt", record(l, plate.Bottom, Options{Theme: Light(), Show: Usual, Unit: Inches}).Lines())
	golden(t, "block-everything.txt", record(l, plate.Top, everything(l)).Lines())
}

// The record of the same drawing is the same, from a fresh painter and from one that drew something else before; sorting
// loses nothing.
func TestPaintDependsOnItsArgumentsOnly(t *testing.T) {
	a, b := derive(t, block()), derive(t, large())
	var p Painter
	for _, c := range []struct {
		l    *layout.Layout
		side plate.Side
		o    Options
	}{
		{a, plate.Top, everything(a)},
		{b, plate.Bottom, Options{Theme: Dark(), Show: Usual}},
		{a, plate.Bottom, Options{Theme: Dark(), Show: Usual, Unit: Inches}},
		{a, plate.Bottom, Options{Theme: Dark(), Show: Usual, TextSize: 16}},
		{nil, plate.Top, everything(a)},
		{a, plate.Top, everything(a)},
	} {
		used := NewRecorder(520, 400)
		cam := Fit(c.l, 520, 400, c.side)
		p.Paint(used, c.l, cam, c.o)
		fresh := NewRecorder(520, 400)
		Paint(fresh, c.l, cam, c.o)
		if !bytes.Equal(used.Lines(), fresh.Lines()) {
			t.Errorf("%s: a painter that was used before draws something else", c.side)
		}
		if len(used.Sorted()) != len(used.Lines()) {
			t.Error("sorting changed the length of the record")
		}
	}
}

// What is shown is what was asked for.
func TestShow(t *testing.T) {
	l := derive(t, block())
	o := everything(l)
	o.Selected, o.Hover, o.Cells, o.Handles, o.Guides, o.Dimensions, o.Readout = 0, 0, nil, nil, nil, nil, ""
	count := func(show Parts) int {
		o.Show = show
		return bytes.Count(record(l, plate.Top, o).Lines(), []byte("\n"))
	}
	bare := count(0)
	if want := 1 + 4 + 4; bare > want { // metal; floors (12, 12 over 5, 5 below, tapped hole); four kinds of edges
		t.Errorf("a bare plate takes %d primitives, want at most %d", bare, want)
	}
	for name, part := range map[string]Parts{
		"axes": Axes, "bosses": Bosses, "zero": Zero, "scale": Scale, "legend": Legend, "cut lines": CutLines,
		"findings": Findings, "names": Names,
	} {
		if count(part) <= bare {
			t.Errorf("%s draw nothing", name)
		}
	}
}

// Findings carry their number in the list given; rings keep clear of each other and of the places marked.
func TestFindingMarks(t *testing.T) {
	l := derive(t, block())
	o := Options{Theme: Light(), Show: Findings}
	for i := range maxMarks + 50 {
		o.Findings = append(o.Findings, finding.Finding{
			Level: finding.Note, HasWhere: true, Where: [2]float64{float64(i % 20 * 5), float64(i / 20 * 5)},
		})
	}
	o.Findings[1].HasWhere = false
	var p Painter
	r := NewRecorder(1200, 800)
	p.Paint(r, l, Fit(l, 1200, 800, plate.Top), o)
	if got := len(p.marks); got != maxMarks {
		t.Errorf("%d marks, want %d", got, maxMarks)
	}
	if text := string(r.Lines()); strings.Contains(text, ` "2"`) || !strings.Contains(text, ` "3"`) {
		t.Error("the marks' numbers are not the places in the list")
	}
	o.Findings = o.Findings[:4]
	for i := range o.Findings {
		o.Findings[i].HasWhere, o.Findings[i].Where = true, [2]float64{50, 30 + 0.5*float64(i)}
	}
	p.Paint(NewRecorder(1200, 800), l, Fit(l, 1200, 800, plate.Top), o)
	for i, a := range p.marks {
		for j, b := range p.marks {
			if i != j && math.Hypot(a.rx-b.rx, a.ry-b.ry) < 2*markRadius {
				t.Errorf("rings %d and %d overlap", i, j)
			}
			if math.Hypot(a.rx-b.x, a.ry-b.y) < markRadius {
				t.Errorf("ring %d covers place %d", i, j)
			}
		}
	}
}

func TestDimensionText(t *testing.T) {
	var p Painter
	for _, c := range []struct {
		d    Dimension
		unit Unit
		want string
	}{
		{Dimension{}, Millimetres, "144.0"},
		{Dimension{Change: 2}, Millimetres, "144.0  +2.0"},
		{Dimension{Change: -0.125}, Millimetres, "144.0  \u22120.125"},
		{Dimension{Text: "R 6"}, Millimetres, "R 6"},
		{Dimension{Change: 25.4}, Inches, "5.6693  +1.000"},
	} {
		p.o.Unit = c.unit
		if got := p.dimensionText(&c.d, 144); got != c.want {
			t.Errorf("dimension text %q, want %q", got, c.want)
		}
	}
}

func TestLengths(t *testing.T) {
	for _, c := range []struct {
		mm       float64
		mmW, inW string
	}{
		{0, "0.0", "0.000"},
		{-0.0001, "0.0", "0.000"},
		{17, "17.0", "0.6693"},
		{12.25, "12.25", "0.4823"},
		{25.4, "25.4", "1.000"},
		{1.00049, "1.0", "0.0394"},
		{-3.5, "-3.5", "-0.1378"},
		{math.NaN(), "-", "-"},
	} {
		if got := Millimetres.Length(c.mm); got != c.mmW {
			t.Errorf("%v mm is %q, want %q", c.mm, got, c.mmW)
		}
		if got := Inches.Length(c.mm); got != c.inW {
			t.Errorf("%v mm is %q in, want %q", c.mm, got, c.inW)
		}
	}
	for _, c := range [][2]float64{{170, 100}, {99, 50}, {50, 50}, {49, 20}, {0.3, 0.2}, {0.15, 0.1}, {7300, 5000}} {
		if got := roundLength(c[0]); !closeTo(got, c[1], 1e-12*c[1]) {
			t.Errorf("roundLength(%g) = %g, want %g", c[0], got, c[1])
		}
	}
}

// contrast is the ratio of WCAG 2.1, "contrast ratio" and "relative luminance".
func contrast(a, b rgba) float64 {
	lum := func(c rgba) float64 {
		f := func(v uint8) float64 {
			s := float64(v) / 255
			if s <= 0.04045 {
				return s / 12.92
			}
			return math.Pow((s+0.055)/1.055, 2.4)
		}
		return 0.2126*f(c.R) + 0.7152*f(c.G) + 0.0722*f(c.B)
	}
	x, y := lum(a), lum(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text has the contrast that WCAG 2.1 asks for (success criterion 1.4.3: 4.5), lines and marks that of 1.4.11: 3. Deeper
// pockets are darker.
func TestThemesHaveContrast(t *testing.T) {
	for name, th := range map[string]Theme{"light": Light(), "dark": Dark()} {
		for _, c := range []struct {
			what  string
			a, b  rgba
			least float64
		}{
			{"ink on paper", th.Ink, th.Paper, 7},
			{"ink on panel", th.Ink, th.Panel, 7},
			{"quiet text on paper", th.Quiet, th.Paper, 4.5},
			{"quiet text on panel", th.Quiet, th.Panel, 4.5},
			{"selection on paper", th.Selection, th.Paper, 4.5},
			{"fine on paper", th.Fine, th.Paper, 4.5},
			{"look on paper", th.Look, th.Paper, 4.5},
			{"wrong on paper", th.Wrong, th.Paper, 4.5},
			{"fine on panel", th.Fine, th.Panel, 4.2},
			{"look on panel", th.Look, th.Panel, 4.5},
			{"wrong on panel", th.Wrong, th.Panel, 4.5},
			{"ink on metal", th.Ink, th.Metal, 4.5},
			{"ink on the deepest pocket", th.Ink, th.PocketDeep, 3},
			{"thin lines on metal", th.Thin, th.Metal, 3},
			{"selection on metal", th.Selection, th.Metal, 2.5},
		} {
			if got := contrast(c.a, c.b); got < c.least {
				t.Errorf("%s: %s has contrast %.2f, want %.1f", name, c.what, got, c.least)
			}
		}
		last := 1e9
		for _, f := range []float64{0, 0.25, 0.5, 0.75, 1} {
			c := mix(th.PocketShallow, th.PocketDeep, f)
			if l := contrast(c, black); l >= last {
				t.Errorf("%s: a pocket of depth share %g is not darker than a shallower one", name, f)
			} else {
				last = l
			}
		}
		if contrast(th.Metal, black) <= contrast(th.PocketShallow, black) {
			t.Errorf("%s: a shallow pocket is not darker than metal", name)
		}
	}
}

func svgOf(t *testing.T, l *layout.Layout, o PictureOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSVG(&b, l, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The file is well-formed, keeps hostile names as text, refers only to patterns that it defines, and repeats byte by byte.
func TestSVG(t *testing.T) {
	p := block()
	p.Bores[0].Name = `<b "&' ]]>` + "\x01"
	l := derive2(t, p)
	o := PictureOptions{
		Theme: Light(), Show: Usual | Names, Width: 520, Height: 400, Title: "Block <1> & \"2\"", Lines: []string{"mass 0.255 kg"},
		Caution: "Figures by calculation.",
	}
	got := svgOf(t, l, o)
	if !bytes.Equal(got, svgOf(t, l, o)) {
		t.Error("two runs differ")
	}
	dec := xml.NewDecoder(bytes.NewReader(got))
	ids, used, texts := map[string]bool{}, map[string]bool{}, ""
	arcs := 0
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch k := tok.(type) {
		case xml.CharData:
			texts += string(k)
		case xml.StartElement:
			for _, a := range k.Attr {
				switch {
				case a.Name.Local == "id":
					ids["url(#"+a.Value+")"] = true
				case a.Name.Local == "fill" && strings.HasPrefix(a.Value, "url"):
					used[a.Value] = true
				case a.Name.Local == "d":
					arcs += strings.Count(a.Value, "A")
				}
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
					t.Errorf("%s=%q", a.Name.Local, a.Value)
				}
			}
		}
	}
	for u := range used {
		if !ids[u] {
			t.Errorf("%s is not defined", u)
		}
	}
	if len(used) == 0 || arcs < 20 {
		t.Errorf("%d hatches and %d arcs; want some of each", len(used), arcs)
	}
	for _, want := range []string{o.Title, `<b "&' ]]>` + "\uFFFD", "mass 0.255 kg", o.Caution, "Middle"} {
		if !strings.Contains(texts, want) {
			t.Errorf("the text %q is missing", want)
		}
	}
	golden(t, "block.svg", svgOf(t, derive(t, block()), PictureOptions{
		Theme: Light(), Show: Usual, Width: 520, Height: 400, Title: "Block", Lines: []string{"mass 0.255 kg"}, Caution: "Figures by calculation.",
	}))
}

// derive2 derives a plate that Validate would refuse for its names.
func derive2(tb testing.TB, p plate.Plate) *layout.Layout {
	tb.Helper()
	name := p.Bores[0].Name
	p.Bores[0].Name = "Plain"
	l := *derive(tb, p)
	l.Plate.Bores = append([]plate.Bore(nil), l.Plate.Bores...)
	l.Plate.Bores[0].Name = name
	return &l
}

func TestPictureSizesAreChecked(t *testing.T) {
	l := derive(t, block())
	for _, c := range []struct {
		o    PictureOptions
		want string
	}{
		{PictureOptions{Width: 10}, "200 to 8000"},
		{PictureOptions{Height: 1e6}, "200 to 8000"},
		{PictureOptions{Width: math.NaN()}, "not a number"},
		{PictureOptions{Height: math.Inf(1)}, "not a number"},
		{PictureOptions{Scale: 9}, "scale"},
		{PictureOptions{Width: 8000, Scale: 3}, "scale"},
	} {
		for name, write := range map[string]func(io.Writer, *layout.Layout, PictureOptions) error{"PNG": WritePNG, "SVG": WriteSVG} {
			var b bytes.Buffer
			if err := write(&b, l, c.o); err == nil || !strings.Contains(err.Error(), c.want) || b.Len() > 0 {
				t.Errorf("%s of %+v: error %v after %d bytes, want %q", name, c.o, err, b.Len(), c.want)
			}
		}
	}
}

// A few pictures, with tolerance: one in ten thousand pixels may differ by more than a sixteenth. A picture that differs is
// kept where go test -artifacts says.
func TestPictures(t *testing.T) {
	for _, c := range []struct {
		name string
		p    plate.Plate
		o    PictureOptions
	}{
		{"block-light.png", block(), PictureOptions{Theme: Light(), Show: Usual, Width: 520, Height: 400, Title: "Block"}},
		{"block-dark-bottom.png", block(), PictureOptions{Theme: Dark(), Show: Usual, Side: plate.Bottom, Width: 520, Height: 400}},
		{"large-light.png", large(), PictureOptions{Theme: Light(), Show: Usual | Names, Width: 700, Height: 500}},
	} {
		var b bytes.Buffer
		if err := WritePNG(&b, derive(t, c.p), c.o); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(data, c.name)
		if *update {
			if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := different(t, b.Bytes(), want); diff != "" {
			kept := filepath.Join(t.ArtifactDir(), c.name)
			if err := os.WriteFile(kept, b.Bytes(), 0o644); err != nil {
				t.Error(err)
			}
			t.Errorf("%s: %s; the new picture is %s", c.name, diff, kept)
		}
	}
}

// different says how two PNG files differ, or nothing when they are close enough.
func different(t *testing.T, got, want []byte) string {
	t.Helper()
	var m [2]*image.RGBA
	for i, raw := range [][]byte{got, want} {
		d, err := png.Decode(bytes.NewReader(raw))
		if err != nil {
			t.Fatal(err)
		}
		r := image.NewRGBA(d.Bounds())
		for y := range r.Rect.Dy() {
			for x := range r.Rect.Dx() {
				r.Set(x, y, d.At(x, y))
			}
		}
		m[i] = r
	}
	if m[0].Rect != m[1].Rect {
		return "size " + m[0].Rect.String() + ", want " + m[1].Rect.String()
	}
	bad := 0
	for i := 0; i < len(m[0].Pix); i += 4 {
		for k := range 3 {
			if d := int(m[0].Pix[i+k]) - int(m[1].Pix[i+k]); d > 16 || d < -16 {
				bad++
				break
			}
		}
	}
	if limit := len(m[0].Pix) / 4 / 10000; bad > limit {
		return strconv.Itoa(bad) + " pixels differ, at most " + strconv.Itoa(limit) + " may"
	}
	return ""
}
