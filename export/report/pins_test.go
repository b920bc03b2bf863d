package report

import "testing"

// TestPinsText: one sentence for each state of the walls on their pins.
func TestPinsText(t *testing.T) {
	for _, c := range []struct {
		corrected int
		pulling   float64
		want      string
	}{
		{0, 0, "Walls press on their pins where they do in the live model; every place keeps the side that it was given."},
		{1, 0, "Walls press on their pins where they do in the live model, corrected once; every place keeps the side that it was given."},
		{3, 0.0041, "Walls press on their pins where they do in the live model, corrected 3 times; places still on the wrong side carry 0.41 % of the force on pins."},
	} {
		if got := pinsText(c.corrected, c.pulling); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}
