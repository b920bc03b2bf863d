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

// TestCargoTrike holds the stored machine to the figure of the trade that it was made for (common practice, no source): clocked
// between two rakes, with two base offsets (the axle block turned end for end) and one eccentric, it keeps 3.5 to 4.5 in of
// trail at both.
func TestCargoTrike(t *testing.T) {
	l, found, err := set.LoadFile(context.Background(), "../../testdata/set/cargo-trike/front.set")
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	for _, p := range l.Plates {
		if f := kinematics.Findings(p, func(plate.HoleForm) float64 { return 9 }); len(f) > 0 {
			t.Errorf("%s: %v", p.Name, f)
		}
	}
	all := table(t, l)
	for _, r := range all.Rows {
		if len(r.Problems) > 0 {
			t.Errorf("%s: %v", r.Setting, r.Problems)
		}
	}
	cam := set.Ref{Part: "axle block", Feature: 3}
	for _, s := range l.Settings {
		for _, want := range []float64{3.5 * 25.4, 4 * 25.4, 4.5 * 25.4} {
			got, err := kinematics.Solve(context.Background(), l, kinematics.StateOf(s), cam, kinematics.Trail, want)
			if err != nil || len(got) != 2 {
				t.Errorf("%s, trail %v: %d solutions, %v; want two", s.Name, want, len(got), err)
			}
		}
	}
	numbers, err := l.PartNumbers(context.Background(), set.DefaultTolerance)
	if err != nil {
		t.Fatal(err)
	}
	pairs := [][2]int{} // quantity and pair of each number
	for _, n := range numbers {
		pairs = append(pairs, [2]int{n.Quantity, n.Pair})
	}
	// The sides have pockets from the top only, so that they are a handed pair; head and block are through-cut.
	if d := cmp.Diff([][2]int{{1, 2}, {1, 1}, {2, 0}, {2, 0}}, pairs); d != "" {
		t.Error(d)
	}
}
