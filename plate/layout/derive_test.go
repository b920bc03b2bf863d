package layout

import (
	"testing"
)

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
