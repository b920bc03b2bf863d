package kinematics_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"platewright/plate"
	"platewright/plate/kinematics"
	"platewright/plate/set"
)

// TestFromFiles: the machine read from its files has the table of the one in memory, and its clearance as well.
func TestFromFiles(t *testing.T) {
	l := trike(t, idNear)
	dir := t.TempDir()
	for i, p := range l.Parts {
		data, err := plate.Encode(l.Plates[i])
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, p.File), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	data, err := set.Encode(l.Set)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(dir, "trike.set")
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	read, found, err := set.LoadFile(context.Background(), name)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	got, want := table(t, read), table(t, l)
	ignore := cmp.Options{
		cmpopts.IgnoreUnexported(kinematics.Row{}), cmpopts.EquateApprox(0, 1e-9),
		cmpopts.IgnoreFields(kinematics.Machine{}, "Clearance", "LowestPart", "LowestAt"), cmpopts.EquateEmpty(),
	}
	if d := cmp.Diff(want, got, ignore); d != "" {
		t.Error(d)
	}
	for _, r := range got.Rows {
		if m := r.Machine; m.Clearance == nil || *m.Clearance <= -radius || m.LowestPart == "" {
			t.Errorf("%s: clearance %v", r.Setting, m)
		}
	}
}
