package samples_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/set"
	"platewright/samples"
)

// Every sample has a document that is valid, a title and a text, and no file is left over.
func TestSamples(t *testing.T) {
	all, err := samples.All()
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	for _, s := range all {
		used[s.Name+".plate"], used[s.Name+".txt"] = true, true
		if s.Title == "" || len(s.Text) < 200 {
			t.Errorf("%s: title %q and a text of %d bytes", s.Name, s.Title, len(s.Text))
		}
		p, err := plate.Decode(s.Data)
		if err != nil {
			t.Errorf("%s: %v", s.Name, err)
			continue
		}
		if found := p.Validate(); finding.Count(found, finding.Error)+finding.Count(found, finding.Warning) > 0 {
			t.Errorf("%s: %v", s.Name, found)
		}
	}
	for _, name := range samples.SetNames() {
		s, err := samples.LoadSet(name)
		if err != nil {
			t.Fatal(err)
		}
		used[name+".set"], used[name+".txt"] = true, true
		for _, p := range s.Plates {
			used[p.Name] = true
		}
	}
	for _, pattern := range []string{"*.plate", "*.set", "*.txt"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %v", pattern, files, err)
		}
		for _, f := range files {
			if !used[f] {
				t.Errorf("%s belongs to no sample", f)
			}
		}
	}
}

// A sample set comes with the plates that it names, in the revisions that it records, and reads back from a folder.
func TestSets(t *testing.T) {
	for _, name := range samples.SetNames() {
		s, err := samples.LoadSet(name)
		if err != nil {
			t.Fatal(err)
		}
		d, err := set.Decode(s.Data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		again, err := set.Encode(d)
		if err != nil || !bytes.Equal(again, s.Data) {
			t.Errorf("%s is not written as the program writes it (%v)", name, err)
		}
		var want, got []string
		for _, p := range d.Parts {
			if !slices.Contains(want, p.File) {
				want = append(want, p.File)
			}
		}
		dir := t.TempDir()
		write := func(name string, data []byte) {
			if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		write(name+".set", s.Data)
		for _, p := range s.Plates {
			got = append(got, p.Name)
			write(p.Name, p.Data)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s comes with %v, want %v", name, got, want)
		}
		if _, found, err := set.LoadFile(context.Background(), filepath.Join(dir, name+".set")); err != nil || len(found) > 0 {
			t.Errorf("%s: %v, findings %v", name, err, found)
		}
	}
}

// A name that there is not is an error that names those that there are.
func TestNoSuchSample(t *testing.T) {
	if _, err := samples.Load("cargo-trike"); err == nil {
		t.Error("a set is loaded as a plate")
	}
	if _, err := samples.LoadSet("nothing"); err == nil {
		t.Error("a set is loaded that there is not")
	}
}
