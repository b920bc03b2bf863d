package layout

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"testing"
)

// TestRandomPlates draws plates from fixed ranges and holds each to all invariants, and the two routes to the cells to each
// other.
func TestRandomPlates(t *testing.T) {
	g := readRanges(t)
	n := 150
	switch {
	case testing.Short():
		n = 60
	case os.Getenv("PLATEWRIGHT_LONG") != "":
		n = g.Count
	default:
		t.Logf("%d of %d plates; all of them with PLATEWRIGHT_LONG=1", n, g.Count)
	}
	cells, refused, rough := 0, 0, 0
	for i := range n {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			p := randomPlate(g, i)
			fast, err := Derive(p)
			if err != nil {
				var de *DeriveError
				if !errors.As(err, &de) || de.Err != nil {
					t.Error(err)
				}
				refused++
				return
			}
			slow, err := derive(context.Background(), p, routeGeneral)
			if err != nil {
				t.Fatalf("by the general route: %v", err)
			}
			cells += len(fast.Cells)
			if checkInvariants(t, fast)+compareLayouts(t, fast, slow) > 0 {
				rough++
			}
		})
	}
	t.Logf("%d plates of seed %d, %d cells, %d refused, %d agree only loosely", n, g.Seed, cells, refused, rough)
	if rough > n/25 {
		t.Errorf("%d of %d plates agree only loosely", rough, n)
	}
	if refused > n/50 {
		t.Errorf("%d of %d plates were refused", refused, n)
	}
}

// compareLayouts holds two layouts of one plate, by the two routes, to each other: cells in number, state and to 1e-9 mm², or loosely to 1e-8;
// owners; findings. It returns how many figures agree only loosely.
func compareLayouts(t *testing.T, a, b *Layout) (rough int) {
	t.Helper()
	if len(a.Cells) != len(b.Cells) {
		t.Errorf("%d cells by triangles, %d by the general route", len(a.Cells), len(b.Cells))
	}
	used := make([]bool, len(b.Cells))
	for i := range a.Cells {
		c := &a.Cells[i]
		at, found := c.Region.Box().Min, false
		for j := range b.Cells {
			e := &b.Cells[j]
			if used[j] || e.Pocket != c.Pocket || e.State != c.State || e.Anchor.Grid != c.Anchor.Grid ||
				math.Abs(e.Area-c.Area) > 1e-8 || e.Region.Box().Min.Dist(at) > 1e-4 {
				continue
			}
			used[j], found = true, true
			if math.Abs(e.Area-c.Area) > 1e-9 {
				t.Logf("only loosely: cell %d of %.12g mm² by tiles and %.12g by the general route", i, c.Area, e.Area)
				rough++
			}
			break
		}
		if !found {
			t.Errorf("cell %d (%s, %.12g mm² at %v) has no match by the general route", i, c.State, c.Area, at)
		}
	}
	for j := range b.Cells {
		if c := &b.Cells[j]; !used[j] {
			t.Errorf("cell %d of the general route (%s, %.12g mm² at %v) has no match", j, c.State, c.Area, c.Region.Box().Min)
		}
	}
	rough += judge(t, "volume by triangles, and by the general route", a.Volume(), b.Volume())
	sum := func(l *Layout) map[Owner]float64 {
		m := map[Owner]float64{}
		for _, s := range l.Labels.Shares {
			s.Cell = 0 // numbered differently by the two routes
			m[s.Owner] += s.Volume
		}
		return m
	}
	sa, sb := sum(a), sum(b)
	for o, v := range sb {
		rough += judge(t, fmt.Sprintf("what %v holds by triangles, and by the general route", o), sa[o], v)
	}
	if len(sa) != len(sb) {
		t.Errorf("%d owners by triangles, %d by the general route", len(sa), len(sb))
	}
	ca, cb := codes(a), codes(b)
	for k := range ca {
		if ca[k] != cb[k] {
			t.Errorf("finding %q %d times by triangles, %d by the general route", k, ca[k], cb[k])
		}
	}
	if len(ca) != len(cb) {
		t.Errorf("findings %v by triangles, %v by the general route", ca, cb)
	}
	return rough
}
