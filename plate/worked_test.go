package plate_test

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
)

// TestWork: the worked sums by hand. A machine of 200 kg with 1200 mm between its axles, its centre of mass 500 mm behind the
// front one and 600 mm above the ground weighs 200 · 9.80665 = 1961.33 N, of which 700/1200 stand in front: 1144.109166… N.
func TestWork(t *testing.T) {
	const weight = 1961.33
	o := plate.Origin{Kind: plate.Worked, Mass: 200, Wheelbase: 1200, CentreX: 500, CentreHeight: 600, Share: 1}
	for _, c := range []struct {
		event    plate.Event
		g, share float64
		want     []float64
	}{
		// F = 0.5 · 1961.33 = 980.665; F·h/L = 490.3325; front 1144.10917 + 490.3325, rear 817.22083 − 490.3325
		{plate.Braking, 0.5, 1, []float64{980.665, 1634.4416667, 326.8883333}},
		{plate.Braking, 0.5, 0.5, []float64{490.3325, 817.2208333, 163.4441667}},
		// F = 0.8 · 1961.33 = 1569.064: 7/12 in front; F·h = 941 438.4 N·mm
		{plate.Cornering, 0.8, 1, []float64{915.2873333, 653.7766667, 941438.4}},
		// 3 · 1144.10917
		{plate.KerbStrike, 3, 1, []float64{3432.3275, 3432.3275}},
		{plate.Drop, 4, 0.25, []float64{weight}},
	} {
		o := o
		o.Event, o.G, o.Share = c.event, c.g, c.share
		forces, lines, err := o.Work()
		if err != nil || len(forces) != len(c.want) || len(lines) < 2 {
			t.Errorf("%s: %v, %v, %v", c.event, forces, lines, err)
			continue
		}
		for i, f := range forces {
			if math.Abs(f.Value-c.want[i]) > 1e-6*c.want[i] || f.Name == "" || f.Unit == "" {
				t.Errorf("%s of %g: %+v, want %v", c.event, c.g, f, c.want[i])
			}
		}
	}
	// The rear wheels lift at c/h = 500/600 g.
	for g, lifts := range map[float64]bool{0.833: false, 0.834: true} {
		o.Event, o.G = plate.Braking, g
		if _, _, err := o.Work(); (err != nil) != lifts || lifts && !strings.Contains(err.Error(), "0.8333 g") {
			t.Errorf("braking with %v g: %v", g, err)
		}
	}
}

func TestWorkRefuses(t *testing.T) {
	good := plate.Origin{Kind: plate.Worked, Event: plate.Braking, Mass: 200, Wheelbase: 1200, CentreX: 500, CentreHeight: 600, G: 0.5, Share: 1}
	for name, c := range map[string]struct {
		change func(*plate.Origin)
		want   string
	}{
		"assumed":      {func(o *plate.Origin) { o.Kind = plate.Assumed }, "not a worked sum"},
		"no mass":      {func(o *plate.Origin) { o.Mass = 0 }, "the mass is 0"},
		"mass NaN":     {func(o *plate.Origin) { o.Mass = math.NaN() }, "the mass is NaN"},
		"no g":         {func(o *plate.Origin) { o.G = 0 }, "acceleration or shock factor is 0"},
		"share":        {func(o *plate.Origin) { o.Share = 2 }, "share is 2"},
		"no wheelbase": {func(o *plate.Origin) { o.Wheelbase = 0 }, "the wheelbase is missing"},
		"infinite":     {func(o *plate.Origin) { o.Wheelbase = math.Inf(1) }, "the wheelbase is missing"},
		"centre":       {func(o *plate.Origin) { o.CentreX = -1 }, "not between the axles"},
		"no height":    {func(o *plate.Origin) { o.CentreHeight = 0 }, "the height of the centre of mass is missing"},
		"no event":     {func(o *plate.Origin) { o.Event = "jump" }, "no worked sum"},
	} {
		o := good
		c.change(&o)
		if forces, _, err := o.Work(); err == nil || !strings.Contains(err.Error(), c.want) || forces != nil {
			t.Errorf("%s: %v, %v; want %s", name, forces, err, c.want)
		}
	}
}
