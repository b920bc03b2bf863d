package finding

import (
	"errors"
	"fmt"
	"os"
	"testing"
)

func TestWords(t *testing.T) {
	inner := errors.New("mesh: the smallest element is 0.1 mm; give more")
	for _, c := range []struct {
		err  error
		want string
	}{
		{fmt.Errorf("fea: the plate cannot be divided: %w", inner), "the plate cannot be divided: the smallest element is 0.1 mm; give more"},
		{fmt.Errorf("fea: solid: %w", inner), "the smallest element is 0.1 mm; give more"},
		{errors.New("mass: the material has no density"), "the material has no density"},
		{errors.New("line 3: mass: give a number"), "line 3: mass: give a number"},
		{errors.New("the hinge of a solid: plate"), "the hinge of a solid: plate"},
		{errors.New(`load "feast: half" of the shell`), `load "feast: half" of the shell`},
	} {
		if got := Words(c.err); got != c.want {
			t.Errorf("Words(%q) = %q, want %q", c.err, got, c.want)
		}
	}
}

// TestWordsKnowPackages: no package of the project is missing from the lists.
func TestWordsKnowPackages(t *testing.T) {
	names := []string{"plate", "fea", "verify"}
	for _, dir := range []string{"..", "../../fea", "../../export"} {
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if e.IsDir() && e.Name() != "finding" && e.Name() != "testdata" {
				names = append(names, e.Name())
			}
		}
	}
	for _, n := range names {
		if got := Words(errors.New(n + ": trouble")); got != "trouble" {
			t.Errorf("%q is left in %q", n, got)
		}
	}
}
