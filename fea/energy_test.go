package fea

import (
	"math"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
)

// TestEnergyOfRibs: a bar of which a window leaves three ribs between stiff ends is pulled. The ribs stretch alike, so that
// each stores ε²E/2 times its volume: by its own width, one of them 8 mm where the others are 5.
func TestEnergyOfRibs(t *testing.T) {
	p := rectangle(300, 80, 10)
	p.Grids = []plate.Grid{{
		ID: 1, Name: "Ribs", Kind: plate.Parallel, Pitch: 20, Width: 5, X: 0, Y: 20,
		Widths: []plate.RibWidth{{At: plate.RibAnchor{X: 150, Y: 40}, Width: 8}},
	}}
	p.Pockets = []plate.Pocket{{
		ID: 2, Name: "Window", Side: plate.Through, Radius: 2, AllRibs: true,
		Bounds: []plate.Corner{{X: 50, Y: 10}, {X: 250, Y: 10}, {X: 250, Y: 70}, {X: 50, Y: 70}},
	}}
	p.Supports = []plate.Support{{ID: 11, Name: "left", Kind: plate.Fixed, On: edge(0, 0, 0, 80)}}
	p.Loads = []plate.Load{{ID: 12, Name: "pull", Kind: plate.LineForce, On: edge(300, 0, 300, 80), Force: [3]float64{5000}}}
	c := solve(t, p, Options{})
	list, err := c.Energy(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	of, sum := map[float64]float64{}, 0.0
	for _, o := range list {
		sum += o.Energy
		if o.Rib != nil {
			if o.Owner.Kind != layout.OwnRib || o.Owner.Feature != 1 {
				t.Errorf("%+v is a rib of a field", o.Owner)
			}
			of[math.Round(o.Rib.At.Y)] = o.Energy
		}
	}
	if len(of) != 3 {
		t.Fatalf("ribs at %v, want three", of)
	}
	within(t, "energy of the wide rib by that of its neighbour", of[40]/of[20], 8./5, 3) // fillets at the ends
	within(t, "energy of the third rib by that of the first", of[60]/of[20], 1, 1)
	all := 0.0
	for _, e := range c.Field.Energy {
		all += e / 2
	}
	within(t, "energy of all owners", sum, all, 1e-9)
}

// TestEnergyMirrored: the cheek and its load are mirror images of themselves about x = 120, and so is the energy of every
// rib of its field, as far as the mesh is. Ribs of a field and drawn ones keep the sum of the plate.
func TestEnergyMirrored(t *testing.T) {
	p := sample(t, "camera-dolly-cheek")
	r, err := Solve(t.Context(), derive(t, p), Options{}, p.Cases[:1])
	if err != nil {
		t.Fatal(err)
	}
	c := &r.Cases[0]
	list, err := c.Energy(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	all, sum, ribs, drawn := 0.0, 0.0, 0, 0
	for _, e := range c.Field.Energy {
		all += e / 2
	}
	for _, o := range list {
		if sum += o.Energy; o.Energy < 0 {
			t.Errorf("%v has the energy %g", o.Owner, o.Energy)
		}
		if o.Rib == nil {
			if o.Owner.Kind == layout.OwnRib {
				drawn++
			}
			continue
		}
		ribs++
		if o.Energy < 0.002*all {
			continue
		}
		found := false
		for _, q := range list {
			if q.Rib != nil && math.Abs(q.Rib.At.X+o.Rib.At.X-240) < 1e-6 && math.Abs(q.Rib.At.Y-o.Rib.At.Y) < 1e-6 {
				found = true
				// Borders between a rib and a boss run across elements, which the mesh does not mirror.
				if d := math.Abs(q.Energy/o.Energy - 1); d > 0.08 || math.Abs(q.Energy-o.Energy) > 0.0015*all {
					t.Errorf("rib at %v stores %.4g N·mm, its mirror image %.4g: %.1f %% apart", o.Rib.At, o.Energy, q.Energy, 100*d)
				}
			}
		}
		if !found {
			t.Errorf("the rib at %v has no mirror image", o.Rib.At)
		}
	}
	if ribs < 20 || drawn != 3 {
		t.Errorf("%d ribs of the field and %d drawn ones store energy, want at least 20 and 3", ribs, drawn)
	}
	within(t, "energy of all owners", sum, all, 1e-9)
}

// TestNearestRib: what the bins find is what looking at all lines finds.
func TestNearestRib(t *testing.T) {
	for _, name := range []string{"camera-dolly-cheek", "field-robot-bogie-arm"} {
		l := derive(t, sample(t, name))
		for _, g := range l.Plate.Grids {
			f := newFieldEnergy(l, g.ID)
			if f == nil {
				t.Fatalf("%s: field %q has no ribs", name, g.Name)
			}
			all := make([]int32, len(f.lines))
			for i := range all {
				all[i] = int32(i)
			}
			box := l.Outline.Box()
			for i := range 400 {
				q := box.Min
				q.X += box.Width() * float64(i%20) / 19
				q.Y += box.Height() * float64(i/20) / 19
				x, y := f.place(q)
				got, want := f.nearest(q, f.bins[y*f.nx+x]), f.nearest(q, all)
				if len(got) != len(want) || got[0] != want[0] {
					t.Errorf("%s, %q: at %v the nearest ribs are %v, want %v", name, g.Name, q, got, want)
				}
			}
		}
	}
	if f := newFieldEnergy(derive(t, sample(t, "camera-dolly-cheek")), 8); f != nil {
		t.Error("a drawn rib is taken for a field")
	}
}
