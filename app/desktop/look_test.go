package desktop

import (
	"image"
	"image/color"
	"math"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"platewright/export/report"
	"platewright/export/scene"
	"platewright/plate/geom"
)

// luminance is the relative luminance of WCAG 2.1 (W3C, "relative luminance"; from memory).
func luminance(c color.RGBA) float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.03928 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func contrast(a, b color.RGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text of every tone stands out from paper and panel by 4.5 to 1, the level AA of WCAG 2.1 for small text (success criterion
// 1.4.3; from memory). Stale figures are large and greyed on purpose: 3 to 1 is not asked of them.
func TestContrast(t *testing.T) {
	for name, p := range map[string]scene.Theme{"light": scene.Light(), "dark": scene.Dark()} {
		for _, tn := range []tone{toneInk, toneQuiet, toneAccent, toneFine, toneLook, toneWrong} {
			c := tn.colour(p).(color.RGBA)
			for back, b := range map[string]color.RGBA{"paper": p.Paper, "panel": p.Panel} {
				if tn == toneFine && back == "panel" {
					continue // a met target stands on the ledger's paper only
				}
				if got := contrast(c, b); got < 4.5 {
					t.Errorf("%s: tone %d on %s has contrast %.2f, want 4.5", name, tn, back, got)
				}
			}
		}
	}
}

// The window is a picture of the plate: metal, paper and pockets where they belong, on both papers.
func TestWindowPicture(t *testing.T) {
	h := newHarness(t, Options{})
	for _, paper := range []appearance{lightPaper, darkPaper} {
		h.setPaper(paper)
		p := ink()
		if want := map[appearance]scene.Theme{lightPaper: scene.Light(), darkPaper: scene.Dark()}[paper]; p != want {
			t.Fatalf("%s paper: the palette is %+v", paper, p)
		}
		img := h.win.Canvas().Capture()
		at := func(q geom.Point) color.RGBA {
			pos := fyne.CurrentApp().Driver().AbsolutePositionForObject(h.view).Add(h.at(q))
			return color.RGBAModel.Convert(img.At(int(pos.X), int(pos.Y))).(color.RGBA)
		}
		b := h.boreNamed("Bed pivot")
		if got := at(geom.Pt(b.X+b.Diameter/4, b.Y+b.Diameter/4)); got != p.Paper {
			t.Errorf("%s: inside a bore the picture is %v, want paper %v", paper, got, p.Paper)
		}
		boss := geom.Pt(b.X+(b.Diameter/2+b.Boss/2)*math.Sqrt2/2, b.Y+(b.Diameter/2+b.Boss/2)*math.Sqrt2/2)
		if got := at(boss); got != p.Metal {
			t.Errorf("%s: on a boss the picture is %v, want metal %v", paper, got, p.Metal)
		}
		if n := colours(img); n < 50 {
			t.Errorf("%s: the window has only %d colours", paper, n)
		}
	}
}

func colours(img image.Image) int {
	seen := map[color.Color]bool{}
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y += 3 {
		for x := b.Min.X; x < b.Max.X; x += 3 {
			seen[img.At(x, y)] = true
		}
	}
	return len(seen)
}

// The caution is on the first screen, whole where there is room.
func TestCautionIsVisible(t *testing.T) {
	h := newHarness(t, Options{})
	text := allText(h.win.Content())
	for _, c := range report.Cautions() {
		if !strings.Contains(text, c) {
			t.Errorf("the window does not show %q", c)
		}
	}
}

// Long names end in an ellipsis instead of making the window wider.
func TestLongNamesDoNotGrowTheWindow(t *testing.T) {
	h := newHarness(t, Options{})
	before := h.win.Content().MinSize()
	h.typeIn(nameField(h), strings.Repeat("W", 70))
	enter(h.win.Canvas().Focused())
	h.settle()
	if got := h.win.Content().MinSize(); got != before {
		t.Errorf("with a long name the window wants %v, before %v", got, before)
	}
	const w = 80
	short := fitted(strings.Repeat("W", 70), w, sizeText, fyne.TextStyle{})
	if !strings.HasSuffix(short, "…") || fyne.MeasureText(short, sizeText, fyne.TextStyle{}).Width > w+1 {
		t.Errorf("fitted to %v is %q", w, short)
	}
	if got := fitted("short", 200, sizeText, fyne.TextStyle{}); got != "short" {
		t.Errorf("a text that fits became %q", got)
	}
}

func nameField(h *harness) fyne.Focusable {
	b := h.boreNamed(motor)
	h.click(geom.Pt(b.X, b.Y))
	return h.field("name")
}

// A stale figure says how old it is once that is worth saying, and one that was never computed is a dash.
func TestStaleFigureSaysItsAge(t *testing.T) {
	h := newHarness(t, Options{})
	c := h.ledger.cells[0]
	for _, k := range []struct {
		age  time.Duration
		want string
	}{
		{200 * time.Millisecond, "Mass"},
		{time.Second, "Mass · 1 s old"},
		{3500 * time.Millisecond, "Mass · 3 s old"},
		{2 * time.Minute, "Mass · 2 min old"},
		{90 * time.Minute, "Mass · 1 h old"},
	} {
		c.show(figure{caption: "Mass", value: "1.2", unit: "kg", stale: true, age: k.age})
		if c.caption.text != k.want || c.value.tone != toneFaint {
			t.Errorf("%v old: %q in tone %v, want %q greyed", k.age, c.caption.text, c.value.tone, k.want)
		}
	}
	c.show(figure{caption: "Mass", unit: "kg"})
	if c.value.text != "–" || c.unit.text != "" {
		t.Errorf("a figure that is not known shows %q %q", c.value.text, c.unit.text)
	}
}

func TestNumbersForPeople(t *testing.T) {
	for v, want := range map[float64]string{
		41.3: "41", 4.13: "4.1", 0.413: "0.41", 9.96: "10", 99.6: "100", 123: "120", 0: "0", 1: "1.0", 0.04: "0.040",
	} {
		if got := twoDigits(v); got != want {
			t.Errorf("twoDigits(%v) = %q, want %q", v, got, want)
		}
	}
	for _, c := range []struct {
		v    float64
		d    int
		want string
	}{
		{1234.6, 1, "1235"},
		{12345.6, 1, "12\u2009346"},
		{-1234567, 0, "−1\u2009234\u2009567"},
		{12.34, 1, "12.3"},
		{-0.01, 1, "0.0"},
		{0, 0, "0"},
	} {
		if got := grouped(c.v, c.d); got != c.want {
			t.Errorf("grouped(%v, %d) = %q, want %q", c.v, c.d, got, c.want)
		}
	}
	for _, c := range []struct {
		v    float64
		want string
	}{{12.34, "+12.3 g"}, {-38, "−38.0 g"}, {0.04, ""}, {0, ""}} {
		if got := signed(c.v, 1, "g"); got != c.want {
			t.Errorf("signed(%v) = %q, want %q", c.v, got, c.want)
		}
	}
	if got := grams(0.0901) + " " + grams(1.2839); got != "90.1 g 1.284 kg" {
		t.Errorf("grams: %q", got)
	}
}
