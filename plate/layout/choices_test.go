package layout

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// TestChoicesFollow: choices about cells and ribs of random plates follow their tile or segment through a change of pitch
// and angle and through a moved bore, or rest with a finding; taking the edit back gives the first layout to the last bit.
func TestChoicesFollow(t *testing.T) {
	g := readRanges(t)
	n := 25
	if long() {
		n = 400
	}
	kept, widths := 0, 0
	for i := range n {
		rng := rand.New(rand.NewPCG(g.Seed+3, uint64(i)))
		p, ok := chosenPlate(g, 5000+i, rng)
		if !ok {
			continue
		}
		first := mustDerive(t, p)
		for what, edit := range map[string]func(q *plate.Plate){
			"nothing": func(*plate.Plate) {},
			"pitch":   func(q *plate.Plate) { q.Grids[0].Pitch *= 0.9; q.Grids[0].PitchY *= 1.1 },
			"angle":   func(q *plate.Plate) { q.Grids[0].AngleDeg += 7 },
			"bore": func(q *plate.Plate) {
				for k := range q.Bores {
					q.Bores[k].X, q.Bores[k].Y = q.Bores[k].X+11, q.Bores[k].Y-6
				}
			},
		} {
			q := p
			q.Grids, q.Bores = slices.Clone(p.Grids), slices.Clone(p.Bores)
			edit(&q)
			l, err := Derive(q)
			if err != nil {
				t.Errorf("plate %d, %s: %v", i, what, err)
				continue
			}
			a, b := followed(t, l)
			kept, widths = kept+a, widths+b
		}
		if again := mustDerive(t, p); !reflect.DeepEqual(first, again) {
			t.Errorf("plate %d: taking an edit back does not give the first layout", i)
		}
	}
	t.Logf("%d plates: %d choices of cells and %d of widths followed", n, kept, widths)
	if kept < n || widths < n {
		t.Errorf("of %d plates only %d choices of cells and %d of widths were followed", n, kept, widths)
	}
}

// chosenPlate is a random plate with one lattice over all of it, and a few cells kept and ribs widened by lattice.
func chosenPlate(g ranges, n int, rng *rand.Rand) (plate.Plate, bool) {
	p := randomPlate(g, n)
	at := slices.IndexFunc(p.Grids, func(g plate.Grid) bool { return g.Kind == plate.Isogrid || g.Kind == plate.Orthogrid })
	if at < 0 {
		return p, false
	}
	grid := p.Grids[at]
	grid.Widths, grid.Fitted = nil, false
	p.Grids = []plate.Grid{grid}
	for i := range p.Pockets {
		p.Pockets[i].Kept, p.Pockets[i].AllRibs = nil, true
	}
	p.Pockets = p.Pockets[:1]
	l, err := Derive(p)
	if err != nil || len(l.Cells) == 0 {
		return p, false
	}
	for range 3 {
		if c := &l.Cells[rng.IntN(len(l.Cells))]; c.Anchor.Grid != 0 {
			p.Pockets[0].Kept = append(p.Pockets[0].Kept, c.Anchor)
		}
	}
	for range 3 {
		s := &l.Strips[rng.IntN(len(l.Strips))]
		if s.Anchor.Lattice && !slices.ContainsFunc(p.Grids[0].Widths, func(w plate.RibWidth) bool { return w.At == s.Anchor }) {
			p.Grids[0].Widths = append(p.Grids[0].Widths, plate.RibWidth{At: s.Anchor, Width: grid.Width * (0.6 + rng.Float64())})
		}
	}
	return p, true
}

// followed holds every choice of the plate to its tile or segment, and counts those that are in force.
func followed(t *testing.T, l *Layout) (kept, widths int) {
	t.Helper()
	rests := codes(l)["anchor-inactive"]
	lat := newLattice(&l.Plate.Grids[0])
	for _, a := range l.Plate.Pockets[0].Kept {
		found := false
		for i := range l.Cells {
			if c := &l.Cells[i]; c.Anchor == a && c.State != CellCut && c.State != CellSmall {
				found = true
				if !lat.holds(tile{a.I, a.J, a.K}, c.Region.Outer, holdSlack) {
					t.Errorf("the cell kept by %+v lies outside its tile", a)
				}
			}
		}
		if found {
			kept++
		} else if rests--; rests < 0 {
			t.Errorf("the choice of cell %+v is neither in force nor said to rest", a)
		}
	}
	for _, w := range l.Plate.Grids[0].Widths {
		found := false
		for i := range l.Strips {
			a := l.Strips[i].Anchor
			if !a.Lattice || (segment{a.Family, a.Line, a.Segment}) != (segment{w.At.Family, w.At.Line, w.At.Segment}) {
				continue
			}
			found = true
			if l.Strips[i].Width != w.Width {
				t.Errorf("the rib at %+v is %v wide, chosen %v", a, l.Strips[i].Width, w.Width)
			}
		}
		if found {
			widths++
		} else if rests--; rests < 0 {
			t.Errorf("the width at %+v is neither in force nor said to rest", w.At)
		}
	}
	return kept, widths
}

// TestChoicesMirrored: the other hand of a random plate has the same cells, ribs and volume, and the choices stay with them:
// the image of an isogrid is one with i and j exchanged, that of an orthogrid one with j running the other way.
func TestChoicesMirrored(t *testing.T) {
	g := readRanges(t)
	n := 25
	if long() {
		n = 400
	}
	done := 0
	for i := range n {
		rng := rand.New(rand.NewPCG(g.Seed+4, uint64(i)))
		p, ok := chosenPlate(g, 6000+i, rng)
		if !ok {
			continue
		}
		done++
		a, b := mustDerive(t, p), mustDerive(t, plate.Mirrored(p))
		if !near(a.Volume(), b.Volume(), loose) {
			t.Errorf("plate %d: volume %v, of the image %v", i, a.Volume(), b.Volume())
		}
		ka, wa := followed(t, a)
		kb, wb := followed(t, b)
		if ka != kb || wa != wb {
			t.Errorf("plate %d: %d cells and %d widths in force, in the image %d and %d", i, ka, wa, kb, wb)
		}
		if len(a.Cells) != len(b.Cells) || len(a.Strips) != len(b.Strips) {
			t.Errorf("plate %d: %d cells and %d strips, in the image %d and %d", i, len(a.Cells), len(a.Strips), len(b.Cells), len(b.Strips))
		}
		ca, cb := codes(a), codes(b)
		if !reflect.DeepEqual(ca, cb) {
			t.Errorf("plate %d: findings %v, of the image %v", i, ca, cb)
		}
		// Of every cell of an image the tile is the image of the tile.
		for _, c := range a.Cells {
			if c.Anchor.Grid == 0 {
				continue
			}
			q := imageTile(p.Grids[0].Kind, c.Anchor)
			if !slices.ContainsFunc(b.Cells, func(e Cell) bool { return e.Anchor == q && e.State == c.State && math.Abs(e.Area-c.Area) < 1e-4 }) {
				t.Errorf("plate %d: cell %+v (%s, %v mm²) has no image at %+v", i, c.Anchor, c.State, c.Area, q)
			}
		}
	}
	if done < n/3 {
		t.Errorf("only %d plates of %d were mirrored", done, n)
	}
}

func imageTile(k plate.GridKind, a plate.Anchor) plate.Anchor {
	if k == plate.Isogrid {
		a.I, a.J = a.J, a.I
	} else {
		a.J = -a.J - 1
	}
	a.X = 0 - a.X
	return a
}

// TestSegments: every segment lies between the two nodes that its name says.
func TestSegments(t *testing.T) {
	for _, g := range []plate.Grid{
		{ID: 1, Pitch: 40, Width: 3, X: 13, Y: 7, AngleDeg: 17}, {ID: 1, Kind: plate.Orthogrid, Pitch: 40, PitchY: 27, Width: 3, X: 13, Y: 7, AngleDeg: 17},
	} {
		l := newLattice(&g)
		out := mustDerive(t, grown(g, 3))
		for _, s := range out.Strips {
			a := s.Anchor
			n := [2][2]int{{a.Segment, a.Line}, {a.Segment + 1, a.Line}}
			switch a.Family {
			case 1:
				n = [2][2]int{{a.Line, a.Segment}, {a.Line, a.Segment + 1}}
			case 2:
				n = [2][2]int{{a.Line - a.Segment, a.Segment}, {a.Line - a.Segment - 1, a.Segment + 1}}
			}
			e := geom.Line(l.node(n[0][0], n[0][1]), l.node(n[1][0], n[1][1]))
			if e.Dist(s.A) > 1e-9 || e.Dist(s.B) > 1e-9 {
				t.Errorf("%s: strip %+v does not lie between nodes %v", g.Kind, s, n)
			}
			q := s.A.Add(s.B).Mul(0.5)
			if got, ok := l.nearestSegment(q); !ok || got != (segment{a.Family, a.Line, a.Segment}) {
				t.Errorf("%s: nearestSegment(%v) = %v, want %+v", g.Kind, q, got, a)
			}
		}
	}
}
