package cli

import (
	"strings"
	"testing"
)

// The text of a picture stays within it, and loses no word.
func TestBrokenLinesFit(t *testing.T) {
	const text = "Figures are estimates. Loads, safety factors and their limits are the designer's"
	for _, width := range []float64{0, 60, 150, 400, 10_000} {
		lines := broken(text, width)
		if got := strings.Join(lines, " "); got != text {
			t.Errorf("at %v px the text reads %q", width, got)
		}
		for _, l := range lines {
			if w := textWidth(l); w > width && strings.Contains(l, " ") {
				t.Errorf("at %v px line %q is %v px wide", width, l, w)
			}
		}
	}
	if n := len(broken(text, 10_000)); n != 1 {
		t.Errorf("with room for all there are %d lines, want 1", n)
	}
}
