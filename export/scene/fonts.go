package scene

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is one weight of the Go typeface with the advances of the common letters, in shares of the size. It never changes
// once made.
type face struct {
	font     *sfnt.Font
	advances [0x250]float32
}

// The two faces, read from the embedded fonts on first use.
var (
	regularFace = sync.OnceValue(func() *face { return readFace(goregular.TTF) })
	mediumFace  = sync.OnceValue(func() *face { return readFace(gomedium.TTF) })
)

func faceOf(bold bool) *face {
	if bold {
		return mediumFace()
	}
	return regularFace()
}

// unitSize is the size at which advances are read: fine enough that rounding to 1/64 px does not show.
const unitSize = 1000

// readFace reads an embedded font, which cannot fail unless the module was damaged.
func readFace(ttf []byte) *face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("scene: embedded font cannot be read")
	}
	out := &face{font: f}
	for r := range out.advances {
		out.advances[r] = float32(out.measure(rune(r)))
	}
	return out
}

func (f *face) measure(r rune) float64 {
	var buf sfnt.Buffer
	g, err := f.font.GlyphIndex(&buf, r)
	if err != nil {
		return 0
	}
	a, err := f.font.GlyphAdvance(&buf, g, fixed.I(unitSize), font.HintingNone)
	if err != nil {
		return 0
	}
	return float64(a) / 64 / unitSize
}

// advance is the width of a letter as a share of the size.
func (f *face) advance(r rune) float64 {
	if r >= 0 && int(r) < len(f.advances) {
		return float64(f.advances[r])
	}
	return f.measure(r)
}

// TextWidth is the width of a text in px.
func TextWidth(text string, s TextStyle) float64 {
	f := faceOf(s.Bold)
	w := 0.0
	for _, r := range text {
		w += f.advance(r)
	}
	return w * s.Size
}
