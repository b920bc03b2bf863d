package desktop

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"platewright/export/scene"
)

// The sizes of text: two for reading, one for headings, one for the figures of the ledger.
const (
	sizeText    = 14
	sizeSmall   = 11.5
	sizeHeading = 17
	sizeFigure  = 27
)

const (
	captionSize                       = theme.SizeNameCaptionText
	sizeNameFigure fyne.ThemeSizeName = "platewrightFigure"
)

// innerPad is the padding that the toolkit's own widgets keep round their text.
func innerPad() float32 { return paperTheme{}.Size(theme.SizeNameInnerPadding) }

// appearance is which paper is used.
type appearance string

// The appearances. The zero value follows the system.
const (
	followSystem appearance = ""
	lightPaper   appearance = "light"
	darkPaper    appearance = "dark"
)

// paperTheme is the toolkit's theme in the palette of the plate's own drawing: ink on paper, hairlines, no boxes.
type paperTheme struct {
	want appearance
}

var _ fyne.Theme = paperTheme{}

// palette is the drawing's palette for a variant of the toolkit.
func (t paperTheme) palette(v fyne.ThemeVariant) scene.Theme {
	if t.want == darkPaper || t.want == followSystem && v == theme.VariantDark {
		return scene.Dark()
	}
	return scene.Light()
}

// Color implements fyne.Theme.
func (t paperTheme) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	p := t.palette(v)
	switch n {
	case theme.ColorNameBackground, theme.ColorNameMenuBackground, theme.ColorNameHeaderBackground:
		return p.Panel
	case theme.ColorNameOverlayBackground:
		return p.Paper
	case theme.ColorNameForeground:
		return p.Ink
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled:
		return p.Quiet
	case theme.ColorNameSeparator, theme.ColorNameScrollBar:
		return p.Hairline
	case theme.ColorNamePrimary, theme.ColorNameHyperlink:
		return p.Selection
	case theme.ColorNameFocus:
		return faded(p.Selection, 0x40)
	case theme.ColorNameSelection:
		return faded(p.Selection, 0x48)
	case theme.ColorNameHover:
		return faded(p.Ink, 0x12)
	case theme.ColorNamePressed:
		return faded(p.Ink, 0x22)
	case theme.ColorNameInputBorder: // of a check's box; a text's border has no width
		return p.Quiet
	case theme.ColorNameInputBackground, theme.ColorNameDisabledButton,
		theme.ColorNameButton, theme.ColorNameScrollBarBackground:
		return color.Transparent
	case theme.ColorNameError:
		return p.Wrong
	case theme.ColorNameWarning:
		return p.Look
	case theme.ColorNameSuccess:
		return p.Fine
	case theme.ColorNameForegroundOnPrimary, theme.ColorNameForegroundOnError,
		theme.ColorNameForegroundOnSuccess, theme.ColorNameForegroundOnWarning:
		return p.Paper
	case theme.ColorNameShadow:
		return faded(p.Ink, 0x30)
	}
	return theme.DefaultTheme().Color(n, v)
}

// Font implements fyne.Theme: the toolkit's own typeface, whose figures all have one width, so that numbers do not dance.
func (t paperTheme) Font(s fyne.TextStyle) fyne.Resource { return theme.DefaultTheme().Font(s) }

// Icon implements fyne.Theme.
func (t paperTheme) Icon(n fyne.ThemeIconName) fyne.Resource { return theme.DefaultTheme().Icon(n) }

// Size implements fyne.Theme.
func (t paperTheme) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case theme.SizeNameText:
		return sizeText
	case theme.SizeNameCaptionText:
		return sizeSmall
	case theme.SizeNameSubHeadingText, theme.SizeNameHeadingText:
		return sizeHeading
	case sizeNameFigure:
		return sizeFigure
	case theme.SizeNamePadding:
		return 4
	case theme.SizeNameInnerPadding:
		return 6
	case theme.SizeNameInputBorder:
		return 0
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 2
	case theme.SizeNameScrollBar:
		return 10
	case theme.SizeNameScrollBarSmall:
		return 4
	case theme.SizeNameSeparatorThickness:
		return 1
	}
	return theme.DefaultTheme().Size(n)
}

func faded(c color.RGBA, alpha uint8) color.NRGBA {
	return color.NRGBA{R: c.R, G: c.G, B: c.B, A: alpha}
}

// ink is the palette in use: that of the window's theme, whatever paper it is on.
func ink() scene.Theme {
	s := fyne.CurrentApp().Settings()
	if t, ok := s.Theme().(paperTheme); ok {
		return t.palette(s.ThemeVariant())
	}
	return scene.Light()
}
