package desktop

import (
	"math"
	"strconv"

	"platewright/export/scene"
	"platewright/plate/finding"
)

// markRadius is that of a finding's ring, with a little slack for the hand, in the window's units.
const markRadius = 10

// markFinder is a canvas that draws nothing: it takes note of where the painter writes the numbers of the findings, so that
// their rings can be pressed wherever the painter has put them.
type markFinder struct {
	w, h  float64
	marks []placedMark
}

// placedMark is the number of a finding in its list, from 0, and the middle of its ring.
type placedMark struct {
	index int
	x, y  float64
}

var _ scene.Canvas = (*markFinder)(nil)

// Size implements scene.Canvas.
func (m *markFinder) Size() (w, h float64) { return m.w, m.h }

// Fill implements scene.Canvas.
func (m *markFinder) Fill(*scene.Path, scene.Ink) {}

// Stroke implements scene.Canvas.
func (m *markFinder) Stroke(*scene.Path, scene.Stroke) {}

// Text implements scene.Canvas. The number stands with its middle in the middle of the ring.
func (m *markFinder) Text(x, y float64, text string, s scene.TextStyle) {
	if n, err := strconv.Atoi(text); err == nil {
		const middle = 0.36 // of the size: from the base line to the middle of a figure
		m.marks = append(m.marks, placedMark{n - 1, x, y - s.Size*middle})
	}
}

// findingAt is the index of the finding whose ring is at (x, y), -1 for none.
func findingAt(fs []finding.Finding, cam scene.Camera, x, y float64) int {
	m := markFinder{w: cam.Width, h: cam.Height}
	scene.Paint(&m, nil, cam, scene.Options{Show: scene.Findings, Findings: fs})
	best, at := float64(markRadius), -1
	for _, k := range m.marks {
		if d := math.Hypot(k.x-x, k.y-y); d <= best && k.index >= 0 && k.index < len(fs) {
			best, at = d, k.index
		}
	}
	return at
}
