package fea

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
)

// randomPlate has three bores, a hole, pockets from one side, both or through over an
// isogrid, and random supports and loads that hold it.
func randomPlate(rng *rand.Rand) plate.Plate {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	w, h, t := between(150, 320), between(90, 180), between(6, 20)
	p := rectangle(w, h, t)
	for i := range p.Outline.Corners {
		p.Outline.Corners[i].Radius = between(0, 25)
	}
	p.Rim = between(4, 10)
	for i, x := range []float64{0.2, 0.5, 0.8} {
		p.Bores = append(p.Bores, plate.Bore{
			ID: plate.ID(1 + i), Name: fmt.Sprint("Bore ", i+1), X: w * x, Y: h * between(0.35, 0.65),
			Diameter: between(10, 26), Boss: between(4, 9),
		})
	}
	p.Holes = []plate.Hole{{ID: 4, Name: "Hole", X: w / 2, Y: h * 0.15, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through, Boss: 4}}}
	p.Grids = []plate.Grid{{ID: 5, Name: "grid", Pitch: between(35, 60), Width: between(3, 7), AngleDeg: between(0, 60), X: w / 2, Y: h / 2}}
	p.Pockets = []plate.Pocket{{ID: 6, Name: "top", Side: plate.Top, Depth: t * between(0.3, 0.8), Radius: between(3, 6), AllRibs: true}}
	switch rng.IntN(3) {
	case 0:
		p.Pockets[0].Side, p.Pockets[0].Depth = plate.Through, 0
	case 1:
		p.Pockets = append(p.Pockets, plate.Pocket{ID: 7, Name: "bottom", Side: plate.Bottom, Depth: t * between(0.05, 0.15), Radius: 4, AllRibs: true})
	}
	kinds := []plate.SupportKind{plate.Fixed, plate.Hinged}
	p.Supports = []plate.Support{
		{ID: 11, Name: "first", Kind: kinds[rng.IntN(2)], On: at(1)},
		{ID: 12, Name: "second", Kind: plate.Fixed, On: at(2)},
	}
	if rng.IntN(4) == 0 {
		p.Supports = []plate.Support{{ID: 11, Name: "none", Kind: plate.Free}}
	}
	any3 := func(f float64) [3]float64 { return [3]float64{between(-f, f), between(-f, f), between(-f/5, f/5)} }
	p.Loads = []plate.Load{
		{ID: 13, Name: "bore", Kind: plate.BoreForce, On: at(3), Force: any3(1000), At: [3]float64{2: between(-t, 2*t)}},
		{ID: 14, Name: "hole", Kind: plate.Moment, On: at(4), Moment: any3(5000)},
		{ID: 15, Name: "arm", Kind: plate.RemoteForce, On: at(3), Force: any3(300), At: any3(200)},
		{ID: 16, Name: "edge", Kind: plate.LineForce, On: edge(w*0.3, h, w*0.7, h), Force: any3(500)},
		{ID: 17, Name: "weight", Kind: plate.Acceleration, Force: any3(4)},
		{ID: 18, Name: "sun", Kind: plate.Temperature, Temperature: between(-20, 60)},
	}
	return p
}

// TestRandomPlates: seeded random plates are analysed without a failure, their loads
// have the resultants asked for, and reactions balance them. 60 of them when
// PLATEWRIGHT_LONG is set, every second one coarse; else the first three, with one element across a rib.
func TestRandomPlates(t *testing.T) {
	n, long := 3, os.Getenv("PLATEWRIGHT_LONG") != ""
	if long {
		n = 60
	} else {
		t.Log("three plates of sixty: set PLATEWRIGHT_LONG=1 for all")
	}
	for i := range n {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			p := randomPlate(rand.New(rand.NewPCG(20, uint64(i))))
			o := Options{Coarse: long && i%2 == 1}
			if !long {
				o.Across = 1
			}
			c := solve(t, p, o)
			t.Logf("%d elements, %d rounds, %.3g mm, %.3g MPa, error %.1f %%, imbalance %.2g", len(c.model.Mesh.Triangles), c.ContactRounds, c.MaxDeflection, c.MaxVonMises, c.ErrorPercent, c.Imbalance)
			if !(c.MaxDeflection > 0 && c.MaxDeflection < 50) || !(o.Coarse || c.ErrorPercent > 0 && c.ErrorPercent < 60) {
				t.Errorf("deflection %g mm, error estimate %g %%", c.MaxDeflection, c.ErrorPercent)
			}
		})
	}
}

// hardPlate is a random plate with what meshes break on: ribs of a millimetre, holes of two, bores that touch each
// other or nearly, ligaments of 0.2 mm, slots, clocked rings, seats, fillets.
func hardPlate(rng *rand.Rand) plate.Plate {
	p := randomPlate(rng)
	p.Supports, p.Loads = []plate.Support{{ID: 11, Name: "held", Kind: plate.Fixed, On: at(1)}}, p.Loads[:1]
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	p.Grids[0].Width = between(1, 4)
	b := p.Bores[rng.IntN(3)]
	gap := []float64{0.2, 0.2, 0.5, 2}[rng.IntN(4)]
	r := between(1, 8)
	turn := 2 * math.Pi * rng.Float64()
	s, c := math.Sincos(turn)
	d := b.Diameter/2 + r + gap
	p.Bores = append(p.Bores, plate.Bore{ID: 20, Name: "Close", X: b.X + d*c, Y: b.Y + d*s, Diameter: 2 * r})
	if rng.IntN(2) == 0 {
		p.Holes = append(p.Holes, plate.Hole{ID: 21, Name: "Tiny", X: between(20, 140), Y: between(12, 80), HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M2", Side: plate.Top, Depth: 3}})
	}
	if rng.IntN(2) == 0 {
		p.Slots = []plate.Slot{{ID: 22, Name: "Slot", X: between(30, 120), Y: between(20, 70), Length: between(10, 30), Width: between(4, 9), AngleDeg: between(0, 180), Side: plate.Through, Boss: between(0, 4)}}
	}
	if rng.IntN(2) == 0 {
		p.Rings = []plate.ClockedRing{{
			BoltCircle: plate.BoltCircle{ID: 23, Name: "Ring", Bore: 2, Diameter: p.Bores[1].Diameter + between(12, 24), Count: 5, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M4", Series: plate.Fine, Side: plate.Through, Boss: 2}},
			MateCount:  6, LeastBolts: 1,
		}}
	}
	if rng.IntN(2) == 0 {
		p.Bores[0].Seats = []plate.Seat{{Side: plate.Top, Diameter: p.Bores[0].Diameter + between(0.5, 6), Depth: p.Stock.Finished * between(0.2, 0.6)}}
	}
	if rng.IntN(3) == 0 {
		p.Pockets[0].FloorRadius = between(0.5, 2)
	}
	return p
}

// TestRandomLayouts: seeded random layouts, most of them hard, become models without a failure, as heavy as the metal
// of the layout; every 50th is analysed. 5,000 when PLATEWRIGHT_LONG is set, else the first ones. Plates whose form cannot
// be derived, or that fall into pieces, are refused by name and counted.
func TestRandomLayouts(t *testing.T) {
	n := 40
	if os.Getenv("PLATEWRIGHT_LONG") != "" {
		n = 5000
	} else {
		t.Log("40 layouts of 5,000: set PLATEWRIGHT_LONG=1 for all")
	}
	refused, apart, analysed, triangles := 0, 0, 0, 0
	least, sharp := math.Inf(1), 0
	for i := range n {
		p := hardPlate(rand.New(rand.NewPCG(50, uint64(i))))
		l, err := layout.Derive(p)
		var refusal *layout.DeriveError
		if errors.As(err, &refusal) {
			refused++
			continue
		}
		if err != nil {
			t.Errorf("layout %d: %v", i, err)
			continue
		}
		m, err := NewModel(t.Context(), l, Options{})
		if err != nil {
			t.Errorf("layout %d: %v", i, err)
			continue
		}
		triangles += len(m.Mesh.Triangles)
		least, sharp = min(least, m.Mesh.Quality.MinFreeAngle), sharp+len(m.Mesh.Quality.Sharp)
		prisms := 0.0
		for f, list := range l.Map.Metal {
			for _, iv := range list {
				prisms += (iv.Z1 - iv.Z0) * l.Map.Faces[f].Area()
			}
		}
		// What lies between arcs and the sides on them, or the chords of sides that were left straight, is known.
		density := p.Stock.Material.Density * 1e-9
		allowed := (m.chordError() + 1e-9) * prisms
		if math.Abs(m.mass/density-prisms) > allowed || allowed > 0.02*prisms {
			t.Errorf("layout %d: the mesh has %.6g mm³, the metal of the map %.6g mm³, allowed %.3g", i, m.mass/density, prisms, allowed)
		}
		if i%50 != 0 {
			continue
		}
		r, err := m.Solve(t.Context(), oneCase(&p))
		switch {
		case err != nil && strings.Contains(err.Error(), "pieces"):
			apart++
		case err != nil:
			t.Errorf("layout %d: %v", i, err)
		default:
			analysed++
			balanced(t, &r.Cases[0])
		}
	}
	t.Logf("%d layouts, %d refused, %d triangles, %d sharper than asked, least angle where the input allows %.1f°; %d analysed, %d in pieces",
		n, refused, triangles, sharp, least*180/math.Pi, analysed, apart)
	if refused > n/5 || analysed+apart == 0 {
		t.Errorf("%d of %d layouts are refused, %d analysed", refused, n, analysed)
	}
}
