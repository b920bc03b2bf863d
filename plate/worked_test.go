package plate_test

import (
	"fmt"
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
		{plate.Cornering, 0.8, 1, []float64{1144.1091667, 817.2208333, 915.2873333, 653.7766667, 941438.4}},
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

// TestBesideSum: 60 kg fall with twice their weight, half of it on the plate: 588.399 N.
func TestBesideSum(t *testing.T) {
	load := func(id plate.ID, f ...float64) plate.Load {
		return plate.Load{ID: id, Name: fmt.Sprint("load ", id), Kind: plate.BoreForce, Force: [3]float64(f)}
	}
	loads := []plate.Load{
		load(1, 0, 588.4, 0), load(2, 0, 200, 0), load(3, 0, 388.4, 0), load(4, 300, 0, 0), load(5, 0, -588.4, 0), load(6, 0, 0, 0),
		{ID: 7, Name: "load 7", Kind: plate.Acceleration, Force: [3]float64{0, -1, 0}},
		{ID: 8, Name: "load 8", Kind: plate.Moment, Moment: [3]float64{588.4, 0, 0}},
	}
	for _, c := range []struct {
		of   []plate.LoadFactor
		want string
	}{
		{[]plate.LoadFactor{{Load: 1, Factor: 1}}, ""},
		{[]plate.LoadFactor{{Load: 1, Factor: 1.019}}, ""},
		{[]plate.LoadFactor{{Load: 1, Factor: 1.021}}, "load 1"},
		{[]plate.LoadFactor{{Load: 1, Factor: 0.979}}, "load 1"},
		{[]plate.LoadFactor{{Load: 2, Factor: 1}, {Load: 3, Factor: 1}}, ""}, // together, along one line
		{[]plate.LoadFactor{{Load: 2, Factor: 1}, {Load: 3, Factor: -1}}, "load 2 load 3"},
		{[]plate.LoadFactor{{Load: 1, Factor: 1}, {Load: 4, Factor: 1}, {Load: 5, Factor: 1}}, "load 4"},
		{[]plate.LoadFactor{{Load: 1, Factor: 1}, {Load: 6, Factor: 1}, {Load: 7, Factor: 5}}, ""},
		{[]plate.LoadFactor{{Load: 8, Factor: 1}}, "load 8"}, // a moment is no force
		{[]plate.LoadFactor{{Load: 99, Factor: 1}}, ""},
	} {
		k := plate.LoadCase{Factor: 1.5, Loads: c.of, Origin: plate.Origin{Kind: plate.Worked, Event: plate.Drop, Mass: 60, G: 2, Share: 0.5}}
		beside, err := k.BesideSum(loads)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, f := range beside {
			names = append(names, f.Name)
		}
		if got := strings.Join(names, " "); got != c.want {
			t.Errorf("%v: beside the sum are %q, want %q", c.of, got, c.want)
		}
	}
	if _, err := (&plate.LoadCase{Origin: plate.Origin{Kind: plate.Assumed}}).BesideSum(loads); err == nil {
		t.Error("loads were compared without a worked sum")
	}
}
