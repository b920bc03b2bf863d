package plate_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"platewright/plate"
)

// only checks that a folder holds the given names and nothing else: no temporary file stays behind.
func only(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(names, " ") {
		t.Errorf("%s holds %q, want %q", dir, got, names)
	}
}

func content(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a.plate")
	for _, text := range []string{"one", "", "a longer text than before"} {
		if err := plate.WriteFile(name, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := content(t, name); got != text {
			t.Errorf("content %q, want %q", got, text)
		}
	}
	only(t, dir, "a.plate")
}

func TestWriteFileKeepsMode(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no such modes")
	}
	dir := t.TempDir()
	for _, mode := range []fs.FileMode{0o600, 0o640, 0o644, 0o755} {
		name := filepath.Join(dir, mode.String()[1:])
		if err := os.WriteFile(name, nil, mode); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
		if err := plate.WriteFile(name, []byte("x")); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(name); err != nil || info.Mode() != mode {
			t.Errorf("mode %v, %v; want %v", info.Mode(), err, mode)
		}
	}
	// A new file gets what os.Create would give it, whatever the process's mask is.
	made, written := filepath.Join(dir, "made"), filepath.Join(dir, "written")
	f, err := os.Create(made)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Close(), plate.WriteFile(written, nil)); err != nil {
		t.Fatal(err)
	}
	a, errA := os.Stat(made)
	b, errB := os.Stat(written)
	if errA != nil || errB != nil || a.Mode() != b.Mode() {
		t.Errorf("mode of a new file %v, want %v (%v, %v)", b.Mode(), a.Mode(), errA, errB)
	}
}

func TestWriteFileFollowsLinks(t *testing.T) {
	dir, elsewhere := t.TempDir(), t.TempDir()
	target, link, second := filepath.Join(elsewhere, "real"), filepath.Join(dir, "link"), filepath.Join(dir, "second")
	if err := os.WriteFile(target, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	if err := os.Symlink("link", second); err != nil {
		t.Fatal(err)
	}
	if err := plate.WriteFile(second, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if got := content(t, target); got != "new" {
		t.Errorf("the file behind the links holds %q", got)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link was replaced: %v, %v", info.Mode(), err)
	}
	only(t, dir, "link", "second")
	only(t, elsewhere, "real")

	if err := os.Symlink(filepath.Join(dir, "nothing"), filepath.Join(dir, "dangling")); err != nil {
		t.Fatal(err)
	}
	if err := plate.WriteFile(filepath.Join(dir, "dangling"), nil); err == nil || !strings.Contains(err.Error(), "link to a file that does not exist") {
		t.Errorf("a link to nothing: %v", err)
	}
}

func TestWriteFileErrors(t *testing.T) {
	dir := t.TempDir()
	if err := plate.WriteFile(filepath.Join(dir, "no", "such", "folder"), nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no folder: %v", err)
	}
	if err := plate.WriteFile(dir, nil); err == nil || !strings.Contains(err.Error(), "not a regular file") {
		t.Errorf("a folder: %v", err)
	}
	only(t, dir)
	if os.Getuid() == 0 || runtime.GOOS == "windows" {
		return // who may write everywhere cannot be refused
	}
	name := filepath.Join(dir, "kept")
	if err := os.WriteFile(name, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = os.Chmod(dir, 0o755) }() // so that the folder can be removed
	if err := plate.WriteFile(name, []byte("new")); !errors.Is(err, fs.ErrPermission) || content(t, name) != "old" {
		t.Errorf("a folder that may not be written: %v, content %q", err, content(t, name))
	}
}

// TestWriteFileIsWhole reads while others write: what is read is always one whole content.
func TestWriteFileIsWhole(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a")
	texts := []string{strings.Repeat("a", 100_000), strings.Repeat("b", 50_000), strings.Repeat("c", 1)}
	if err := plate.WriteFile(name, []byte(texts[0])); err != nil {
		t.Fatal(err)
	}
	var writers sync.WaitGroup
	for _, text := range texts {
		writers.Go(func() {
			for range 20 {
				if err := plate.WriteFile(name, []byte(text)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for range 200 {
		got := content(t, name)
		if got != texts[0] && got != texts[1] && got != texts[2] {
			t.Fatalf("read a torn file of %d bytes", len(got))
		}
	}
	writers.Wait()
	only(t, dir, "a")
}
