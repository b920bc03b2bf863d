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

// TestChoicesMirrored: the mirror image of a random plate, with its choices renamed as the lattice is mirrored, has the same
// cells, ribs and volume. The image of an isogrid at angle a is one at 120° − a with i and j exchanged; that of an orthogrid
// is one at −a with i running the other way.
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
		if !ok || p.Outline.Kind == plate.Wrapped {
			continue
		}
		done++
		a, b := mustDerive(t, p), mustDerive(t, imageOf(p))
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
		a.I = -a.I - 1
	}
	return a
}

func imageSegment(k plate.GridKind, a plate.RibAnchor) plate.RibAnchor {
	a.X = -a.X
	switch {
	case k == plate.Isogrid && a.Family < 2:
		a.Family = 1 - a.Family
	case k == plate.Isogrid: // from (line − s, s) to (line − s − 1, s + 1)
		a.Segment = a.Line - a.Segment - 1
	case a.Family == 0:
		a.Segment = -a.Segment - 1
	default:
		a.Line = -a.Line
	}
	return a
}

// imageOf is the mirror image in x of a random plate with one lattice.
func imageOf(p plate.Plate) plate.Plate {
	corners := func(cs []plate.Corner) []plate.Corner {
		cs = slices.Clone(cs)
		for i := range cs {
			cs[i].X, cs[i].ThroughX = -cs[i].X, -cs[i].ThroughX
		}
		return cs
	}
	q := p
	q.Outline.Corners = corners(p.Outline.Corners)
	q.Outline.Vertices = slices.Clone(p.Outline.Vertices)
	for i := range q.Outline.Vertices {
		v := &q.Outline.Vertices[i]
		v.X, v.Bulge = -v.X, -v.Bulge
	}
	q.Bores, q.Holes, q.Circles, q.Ribs = slices.Clone(p.Bores), slices.Clone(p.Holes), slices.Clone(p.Circles), slices.Clone(p.Ribs)
	for i := range q.Bores {
		q.Bores[i].X = -q.Bores[i].X
	}
	for i := range q.Holes {
		q.Holes[i].X = -q.Holes[i].X
	}
	for i := range q.Circles {
		c := &q.Circles[i]
		c.X, c.StartDeg = -c.X, 180-c.StartDeg
	}
	for i := range q.Ribs {
		r := &q.Ribs[i]
		r.From.X, r.To.X, r.ThroughX = -r.From.X, -r.To.X, -r.ThroughX
	}
	g := p.Grids[0]
	g.X, g.Bounds = -g.X, corners(g.Bounds)
	g.AngleDeg = -g.AngleDeg
	if g.Kind == plate.Isogrid {
		g.AngleDeg += 120
	}
	g.Widths = slices.Clone(g.Widths)
	for i := range g.Widths {
		g.Widths[i].At = imageSegment(g.Kind, g.Widths[i].At)
	}
	q.Grids = []plate.Grid{g}
	k := p.Pockets[0]
	k.Bounds, k.Kept = corners(k.Bounds), slices.Clone(k.Kept)
	for i := range k.Kept {
		k.Kept[i] = imageTile(g.Kind, k.Kept[i])
	}
	q.Pockets = []plate.Pocket{k}
	return q
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
