package set

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"platewright/plate"
)

// blanks is a set of plain rectangles, w × h each, with quantities.
func blanks(t *testing.T, sh Sheet, sizes ...[3]float64) *Loaded {
	t.Helper()
	s := Set{Name: "nest", Sheet: sh}
	var plates []plate.Plate
	for i, z := range sizes {
		p := plate.New(fmt.Sprintf("plate %d", i))
		p.Rim = 0
		p.Outline = plate.Outline{Corners: []plate.Corner{{X: 5, Y: 7}, {X: 5 + z[0], Y: 7}, {X: 5 + z[0], Y: 7 + z[1]}, {X: 5, Y: 7 + z[1]}}}
		plates = append(plates, p)
		s.Parts = append(s.Parts, Part{Name: p.Name, File: fmt.Sprintf("p%d.plate", i), Quantity: int(z[2])})
	}
	l, _, err := Of(t.Context(), s, plates)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// sound fails where plates overlap, stand nearer than the gap, or leave the sheet.
func sound(t *testing.T, n Nest, sh Sheet) {
	t.Helper()
	for _, l := range n.Layers {
		for i, a := range l.Laid {
			if a.X < sh.Edge-nestTol || a.Y < sh.Edge-nestTol || a.X+a.Width > sh.Length-sh.Edge+nestTol || a.Y+a.Height > sh.Width-sh.Edge+nestTol {
				t.Fatalf("%+v leaves the sheet %+v", a, sh)
			}
			for _, b := range l.Laid[:i] {
				dx := max(a.X-b.X-b.Width, b.X-a.X-a.Width)
				dy := max(a.Y-b.Y-b.Height, b.Y-a.Y-a.Height)
				if max(dx, dy) < sh.Gap-nestTol {
					t.Fatalf("%+v and %+v are %.3f mm apart, want %v", a, b, max(dx, dy), sh.Gap)
				}
			}
		}
	}
}

// Six plates of 100 × 50 fill a sheet of 300 × 100 exactly, without gap and edge; with a kerf they need a second sheet.
func TestNestFillsASheetThatCanBeFilled(t *testing.T) {
	sh := Sheet{Length: 300, Width: 100}
	n, err := blanks(t, sh, [3]float64{100, 50, 6}).Nest(t.Context(), 1, map[string]float64{"plate 0": 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if len(n) != 1 || len(n[0].Layers) != 1 || len(n[0].Layers[0].Laid) != 6 {
		t.Fatalf("%+v, want all six on one sheet", n)
	}
	sound(t, n[0], sh)
	density := n[0].Material.Density * 1e-9 * n[0].Thickness
	if got, want := n[0].SheetKG, 300*100*density; math.Abs(got-want) > 1e-9 {
		t.Errorf("sheet used up %v kg, want %v", got, want)
	}
	if got, want := n[0].BuyToFly, 300*100*density/0.6; math.Abs(got-want) > 1e-9 {
		t.Errorf("buy to fly %v, want %v", got, want)
	}
	sh.Gap = 3
	n, err = blanks(t, sh, [3]float64{100, 50, 6}).Nest(t.Context(), 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(n[0].Layers) < 2 {
		t.Error("with a gap of 3 mm six plates cannot lie on the sheet, and do")
	}
	sound(t, n[0], sh)
}

// On random sets every plate is laid once, nothing overlaps, and no nest is better than the area allows.
func TestNestProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	for range 60 {
		sh := Sheet{Length: 800 + 1200*rng.Float64(), Width: 500 + 500*rng.Float64(), Edge: 20 * rng.Float64(), Gap: 10 * rng.Float64(), Grain: rng.IntN(3) == 0}
		var sizes [][3]float64
		want := 0
		for range 1 + rng.IntN(5) {
			q := float64(1 + rng.IntN(6))
			sizes = append(sizes, [3]float64{20 + 400*rng.Float64(), 20 + 400*rng.Float64(), q})
			want += 2 * int(q)
		}
		n, err := blanks(t, sh, sizes...).Nest(t.Context(), 2, nil)
		if err != nil {
			t.Fatal(err)
		}
		got := 0
		for _, x := range n {
			sound(t, x, sh)
			for _, l := range x.Layers {
				got += len(l.Laid)
				for _, d := range l.Laid {
					if d.Turned && sh.Grain {
						t.Fatal("a plate is turned across the rolling direction")
					}
				}
			}
			if x.SheetKG < x.PlatesKG-1e-9 {
				t.Errorf("sheet used up %v kg, its plates weigh %v", x.SheetKG, x.PlatesKG)
			}
		}
		if got != want {
			t.Fatalf("%d plates laid, want %d", got, want)
		}
	}
}

// Of seven pieces not every order is tried; against all 5040 orders, laid by the same rule, few nests need a sheet more.
func TestNestAgainstAllOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2))
	worse := 0
	for range 12 {
		sh := Sheet{Length: 300, Width: 200, Gap: 4}
		var sizes [][3]float64
		for range 7 {
			sizes = append(sizes, [3]float64{60 + 130*rng.Float64(), 60 + 130*rng.Float64(), 1})
		}
		l := blanks(t, sh, sizes...)
		n, err := l.Nest(t.Context(), 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		var pieces []nestPiece
		for _, z := range sizes {
			pieces = append(pieces, nestPiece{"x", z[0], z[1], 0})
		}
		least := len(pieces)
		permute(pieces, 0, func(p []nestPiece) {
			layers, err := lay(t.Context(), sh, p)
			if err != nil {
				t.Fatal(err)
			}
			least = min(least, len(layers))
		})
		if len(n[0].Layers) > least {
			worse++
		}
	}
	if worse > 1 {
		t.Errorf("%d nests of 12 need more sheets than the best order", worse)
	}
}

func permute(p []nestPiece, k int, f func([]nestPiece)) {
	if k == len(p) {
		f(append([]nestPiece{}, p...))
		return
	}
	for i := k; i < len(p); i++ {
		p[k], p[i] = p[i], p[k]
		permute(p, k+1, f)
		p[k], p[i] = p[i], p[k]
	}
}

func TestWhatCannotBeNested(t *testing.T) {
	sh := Sheet{Length: 300, Width: 100, Edge: 10}
	for _, c := range []struct {
		name, want string
		l          *Loaded
		sets       int
	}{
		{"no sheet", "no sheet", blanks(t, Sheet{}, [3]float64{10, 10, 1}), 1},
		{"too large", "does not fit", blanks(t, sh, [3]float64{290, 50, 1}), 1},
		{"no sets", "0 sets", blanks(t, sh, [3]float64{10, 10, 1}), 0},
		{"too many", "more than", blanks(t, sh, [3]float64{10, 10, 9}), 1 << 40},
	} {
		if _, err := c.l.Nest(t.Context(), c.sets, nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one that says %q", c.name, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := blanks(t, sh, [3]float64{10, 10, 1}).Nest(ctx, 1, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled nest ends with %v", err)
	}
}
