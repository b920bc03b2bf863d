package scene

import "image/color"

// Theme is the palette of a drawing. All colours are opaque.
type Theme struct {
	Paper, Panel         color.RGBA
	Ink, Quiet, Hairline color.RGBA // outlines and text; small text; rules between parts of a window
	Thin                 color.RGBA // axes, bosses and other thin lines on metal
	Metal                color.RGBA // at full height
	PocketShallow        color.RGBA // a pocket of hardly any depth
	PocketDeep           color.RGBA // a pocket through nearly all of the plate
	HatchInk             color.RGBA
	Selection            color.RGBA
	Fine, Look, Wrong    color.RGBA
}

// Light is ink on paper.
func Light() Theme {
	return Theme{
		Paper: rgb(0xFAF8F3), Panel: rgb(0xF1EDE4),
		Ink: rgb(0x1F2A30), Quiet: rgb(0x5E6B70), Hairline: rgb(0xCFC8BA), Thin: rgb(0x55636A),
		Metal: rgb(0xB9C4CC), PocketShallow: rgb(0xA4B3BE), PocketDeep: rgb(0x5D7587), HatchInk: rgb(0x3F5666),
		Selection: rgb(0x0B6E8A), Fine: rgb(0x2E7D4F), Look: rgb(0x9A5B00), Wrong: rgb(0xA3262A),
	}
}

// Dark is the same drawing on dark paper: deeper is still darker.
func Dark() Theme {
	return Theme{
		Paper: rgb(0x14191C), Panel: rgb(0x1C2327),
		Ink: rgb(0xE8E3D8), Quiet: rgb(0x9AA6AA), Hairline: rgb(0x3A444A), Thin: rgb(0xBAC4C6),
		Metal: rgb(0x586670), PocketShallow: rgb(0x4B5963), PocketDeep: rgb(0x26323B), HatchInk: rgb(0x8496A2),
		Selection: rgb(0x4FB8D6), Fine: rgb(0x6FBF8E), Look: rgb(0xE0A040), Wrong: rgb(0xEE7A75),
	}
}

func rgb(v uint32) color.RGBA {
	return color.RGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
}

type rgba = color.RGBA

// mix returns a with the share f of b, both opaque.
func mix(a, b color.RGBA, f float64) color.RGBA {
	m := func(x, y uint8) uint8 { return uint8(float64(x) + (float64(y)-float64(x))*f + 0.5) }
	return color.RGBA{R: m(a.R, b.R), G: m(a.G, b.G), B: m(a.B, b.B), A: 255}
}
