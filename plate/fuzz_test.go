package plate_test

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"platewright/plate"
)

// FuzzDecode reads any text: no panic, problems with a place, and what is accepted is written as a text that reads back as
// the same document and is written as the same text.
func FuzzDecode(f *testing.F) {
	for _, pattern := range []string{"roundtrip/*", "good/*", "bad/*"} {
		for _, name := range files(f, pattern) {
			if data := readFile(f, name); len(data) < 10_000 || filepath.Base(name) == "v1-full.in" {
				f.Add(data)
			}
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := plate.Decode(data)
		if err != nil {
			d, ok := err.(*plate.DecodeErrors)
			if !ok || len(d.Problems) == 0 {
				t.Fatalf("error without problems: %v", err)
			}
			for _, problem := range d.Problems {
				if problem.Line < 1 || problem.Col < 1 || problem.What == "" {
					t.Fatalf("problem without a place: %+v", problem)
				}
			}
			return
		}
		out := encode(t, p)
		q := decode(t, out)
		if !cmp.Equal(p, q) {
			t.Fatalf("read back differs:\n%s", cmp.Diff(p, q))
		}
		if again := encode(t, q); !bytes.Equal(out, again) {
			t.Fatalf("written twice differs:\n%s", cmp.Diff(string(out), string(again)))
		}
		for _, finding := range p.Validate() {
			if finding.Fix == "" {
				t.Fatalf("finding without a fix: %+v", finding)
			}
		}
	})
}
