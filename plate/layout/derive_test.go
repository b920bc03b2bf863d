package layout

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"platewright/plate"
)

// TestSamples holds the example documents to all invariants and both routes.
func TestSamples(t *testing.T) {
	files, err := filepath.Glob("../../samples/*.plate")
	if err != nil || len(files) == 0 {
		t.Fatalf("no samples: %v", err)
	}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		p, err := plate.Decode(b)
		if err != nil {
			t.Fatal(err)
		}
		l := mustDerive(t, p)
		slow, err := derive(context.Background(), p, routeGeneral)
		if err != nil {
			t.Fatal(err)
		}
		checkInvariants(t, l)
		compareLayouts(t, l, slow)
		t.Logf("%s: %d cells, %d cuts, %d faces, findings %v", filepath.Base(f), len(l.Cells), len(l.Cuts), len(l.Map.Faces), codes(l))
	}
}

func TestLargePlate(t *testing.T) {
	l := mustDerive(t, largePlate(58))
	checkInvariants(t, l)
	n := 0
	for _, c := range l.Cells {
		if c.State == CellCut {
			n++
		}
	}
	t.Logf("%d cells, %d cut; %d map faces, %d label faces, %d shares; volume %.3f; findings %v",
		len(l.Cells), n, len(l.Map.Faces), len(l.Labels.Faces), len(l.Labels.Shares), l.Volume(), codes(l))
}
