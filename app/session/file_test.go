package session

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"platewright/plate"
)

// disk opens sessions on files in a folder of the test.
type disk struct {
	t   *testing.T
	l   *loop
	dir string
	cfg Config
}

func newDisk(t *testing.T) *disk {
	l := newLoop()
	d := &disk{t: t, l: l, dir: t.TempDir(), cfg: (&fake{}).config(l)}
	d.cfg.Scratch = filepath.Join(d.dir, "scratch")
	return d
}

func (d *disk) path(name string) string { return filepath.Join(d.dir, name) }

func (d *disk) write(name string, p plate.Plate) string {
	d.t.Helper()
	data, err := plate.Encode(p)
	if err != nil {
		d.t.Fatal(err)
	}
	if err := os.WriteFile(d.path(name), data, 0o644); err != nil {
		d.t.Fatal(err)
	}
	return d.path(name)
}

func (d *disk) open(path string) (*Session, *Recovery) {
	d.t.Helper()
	s, r, err := Open(d.cfg, path)
	if err != nil {
		d.t.Fatal(err)
	}
	d.t.Cleanup(func() { s.Close(false); s.Wait() })
	return s, r
}

func (d *disk) read(path string) string {
	data, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	return string(data)
}

func (d *disk) do(s *Session, e plate.Edit) {
	d.t.Helper()
	if err := s.Do(e, ""); err != nil {
		d.t.Fatal(err)
	}
}

func (d *disk) names() []string {
	var names []string
	entries, _ := os.ReadDir(d.dir)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func TestSaveKeepsOnePreviousCopy(t *testing.T) {
	d := newDisk(t)
	path := d.write("a.plate", plate.New("a"))
	before := d.read(path)
	s, r := d.open(path)
	if r != nil || s.Path() != path || s.Title() != "a" {
		t.Errorf("opened %q titled %q with recovery %v", s.Path(), s.Title(), r)
	}
	d.do(s, setRim(11))
	if err := s.Save(false); err != nil || s.Dirty() || s.SavedAt().IsZero() {
		t.Fatalf("save: %v, dirty %v", err, s.Dirty())
	}
	if got := d.read(path + "~"); got != before {
		t.Error("the previous state was not kept")
	}
	got, err := plate.Decode([]byte(d.read(path)))
	if err != nil || got.Rim != 11 {
		t.Errorf("the file holds rim %v, %v, want 11", got.Rim, err)
	}
	middle := d.read(path)
	d.do(s, setRim(12))
	if err := s.Save(false); err != nil || d.read(path+"~") != middle {
		t.Errorf("second save: %v; previous copy right: %v", err, d.read(path+"~") == middle)
	}
	if err := s.Save(false); err != nil || d.read(path+"~") != middle {
		t.Errorf("a save without changes: %v, moved the previous copy %v", err, d.read(path+"~") != middle)
	}
	s.Undo()
	if !s.Dirty() {
		t.Error("after save and undo the document counts as saved")
	}
	s.Redo()
	if s.Dirty() {
		t.Error("after undo and redo the document counts as not saved")
	}
	for _, n := range d.names() {
		if n != "a.plate" && n != "a.plate~" {
			t.Errorf("%s was left behind", n)
		}
	}
}

func TestFileChangedOnDisk(t *testing.T) {
	d := newDisk(t)
	path := d.write("a.plate", plate.New("a"))
	s, _ := d.open(path)
	d.do(s, setRim(11))
	d.write("a.plate", plate.New("somebody else's"))
	theirs := d.read(path)
	var changed *ChangedOnDiskError
	if err := s.Save(false); !errors.As(err, &changed) || changed.Path != path || !strings.Contains(err.Error(), path) {
		t.Fatalf("save over a changed file: %v, want *ChangedOnDiskError", err)
	}
	if d.read(path) != theirs || !s.Dirty() {
		t.Error("a refused save changed the file or counts as saved")
	}
	if err := s.SaveAs(d.path("b.plate"), false); err != nil || s.Path() != d.path("b.plate") {
		t.Errorf("save under another name: %v, path %q", err, s.Path())
	}
	s2, _ := d.open(path)
	d.do(s2, setRim(12))
	d.write("a.plate", plate.New("again"))
	if err := s2.Save(true); err != nil || s2.Dirty() {
		t.Errorf("forced save: %v, dirty %v", err, s2.Dirty())
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	d.do(s2, setRim(13))
	if err := s2.Save(false); err != nil || d.read(path) == "" {
		t.Errorf("save of a file that has gone: %v", err)
	}
}

func TestSaveFailsInSentences(t *testing.T) {
	d := newDisk(t)
	s := New(d.cfg, plate.New("a"))
	defer s.Wait()
	defer s.Close(true)
	if err := s.Save(false); !errors.Is(err, ErrNoFile) {
		t.Errorf("save without a file: %v, want ErrNoFile", err)
	}
	err := s.SaveAs(filepath.Join(d.dir, "no", "such", "a.plate"), false)
	if !errors.Is(err, fs.ErrNotExist) || s.Path() != "" || s.Dirty() {
		t.Errorf("save into a missing folder: %v, path %q, dirty %v", err, s.Path(), s.Dirty())
	}
	if err := s.SaveAs(d.dir, true); err == nil {
		t.Error("a folder was saved over")
	}
	v, err := s.BeginSave(d.path("a.plate"), false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.BeginSave(d.path("b.plate"), false); !errors.Is(err, ErrSaving) {
		t.Errorf("two saves at a time: %v, want ErrSaving", err)
	}
	d.do(s, setRim(15)) // the person goes on while it is written
	s.EndSave(v, v.Write())
	if !s.Dirty() || s.Path() != d.path("a.plate") {
		t.Errorf("what was changed during a save counts as saved: dirty %v", s.Dirty())
	}
	s.Undo()
	if s.Dirty() {
		t.Error("the revision that was written does not count as saved")
	}
}

func TestOpenRefuses(t *testing.T) {
	d := newDisk(t)
	big := d.path("big.plate")
	if err := os.WriteFile(big, make([]byte, plate.MaxFileBytes+1), 0o644); err != nil {
		t.Fatal(err)
	}
	wrong := d.path("wrong.plate")
	if err := os.WriteFile(wrong, []byte(`{"format":"platewright-plate","version":1,"name":7}`), 0o644); err != nil {
		t.Fatal(err)
	}
	tests := map[string]string{
		d.path("none.plate"): "none.plate", d.dir: "not a file", big: "larger than", wrong: "wrong.plate",
	}
	for path, want := range tests {
		if s, _, err := Open(d.cfg, path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Open(%s) = %v, %v, want an error with %q", path, s, err, want)
		}
	}
}

func TestAutosaveAndRecovery(t *testing.T) {
	d := newDisk(t)
	d.cfg.AutosaveAfter = time.Millisecond
	path := d.write("a.plate", plate.New("a"))
	kept := d.path(".a.plate.autosave")

	s, _ := d.open(path)
	d.do(s, setRim(17))
	waitFor(t, d.l, s, func() bool { return d.read(kept) != "" })
	if d.read(path) == d.read(kept) {
		t.Error("the file itself was written by the autosave")
	}
	s.Close(false) // a crash leaves the autosave
	s.Wait()

	s, r := d.open(path)
	if r == nil || r.Err != nil || r.Plate.Rim != 17 || r.When.IsZero() {
		t.Fatalf("recovery after a crash: %+v", r)
	}
	if s.Dirty() || s.Doc().Rim == 17 {
		t.Error("the recovery was taken without asking")
	}
	if err := s.Recover(*r); err != nil || s.Doc().Rim != 17 || !s.Dirty() {
		t.Errorf("recover: %v, rim %v, dirty %v", err, s.Doc().Rim, s.Dirty())
	}
	if label, ok := s.UndoLabel(); !ok || !strings.Contains(label, "recovery") {
		t.Errorf("undo of the recovery reads %q", label)
	}
	d.l.settle(t, s)
	if err := s.Save(false); err != nil || d.read(kept) != "" {
		t.Errorf("after the save (%v) the autosave is still there", err)
	}
	s.Close(true)
	s.Wait()
	if _, r := d.open(path); r != nil {
		t.Errorf("a recovery is offered after everything was saved: %+v", r)
	}
}

// waitFor runs the loop until the condition holds.
func waitFor(t *testing.T, l *loop, s *Session, ok func() bool) {
	t.Helper()
	for range 3000 {
		l.settle(t, s)
		if ok() {
			return
		}
		time.Sleep(time.Millisecond)
	}
	t.Fatal("waited in vain")
}

func TestDiscardRemovesTheAutosave(t *testing.T) {
	d := newDisk(t)
	d.cfg.AutosaveAfter = time.Millisecond
	path := d.write("a.plate", plate.New("a"))
	kept := d.path(".a.plate.autosave")
	s, _ := d.open(path)
	d.do(s, setRim(17))
	waitFor(t, d.l, s, func() bool { return d.read(kept) != "" })
	s.Close(true)
	s.Wait()
	if d.read(kept) != "" {
		t.Error("the autosave stays after the work was given up")
	}
	// Undone work needs no autosave either.
	s, _ = d.open(path)
	d.do(s, setRim(18))
	waitFor(t, d.l, s, func() bool { return d.read(kept) != "" })
	s.Undo()
	if err := s.Save(false); err != nil || d.read(kept) != "" {
		t.Errorf("after undo and save (%v) the autosave is still there", err)
	}
}

func TestUnreadableAutosaveIsKeptAndSaid(t *testing.T) {
	d := newDisk(t)
	path := d.write("a.plate", plate.New("a"))
	kept := d.path(".a.plate.autosave")
	if err := os.WriteFile(kept, []byte("{"), 0o644); err != nil {
		t.Fatal(err)
	}
	s, r := d.open(path)
	if r == nil || r.Err == nil || !strings.Contains(r.Err.Error(), kept) {
		t.Fatalf("recovery %+v, want an error that names %s", r, kept)
	}
	if err := s.Recover(*r); err == nil || s.Dirty() {
		t.Errorf("an unreadable autosave was recovered: %v", err)
	}
	d.cfg.AutosaveAfter = time.Millisecond
	s2, _ := d.open(path)
	d.do(s2, setRim(12))
	for range 20 {
		time.Sleep(time.Millisecond)
		d.l.settle(t, s2)
	}
	if d.read(kept) != "{" {
		t.Error("the unreadable autosave was removed or written over while nobody had decided about it")
	}
	for _, want := range []string{"a-recovered.plate", "a-recovered-2.plate"} {
		if got, err := s2.SetAside(*r); err != nil || got != d.path(want) || d.read(got) != "{" {
			t.Errorf("set aside as %q, %v, want %s", got, err, want)
		}
		if err := os.WriteFile(kept, []byte("{"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	waitFor(t, d.l, s2, func() bool { return d.read(kept) != "{" }) // now it keeps its own
}

func TestAutosaveThatFailsIsSaidOnce(t *testing.T) {
	d := newDisk(t)
	d.cfg.AutosaveAfter = time.Millisecond
	path := d.write("a.plate", plate.New("a"))
	if err := os.Mkdir(d.path(".a.plate.autosave"), 0o755); err != nil { // nothing can be written there
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(d.path(".a.plate.autosave"), "x"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	s, r := d.open(path)
	if r == nil || r.Err == nil {
		t.Fatalf("a folder in the place of the autosave: recovery %+v", r)
	}
	s.autosave.undecided = false
	for _, rim := range []float64{3, 4} {
		d.do(s, setRim(rim))
		waitFor(t, d.l, s, func() bool { return s.autosave.timer == nil })
	}
	if n := len(s.Troubles()); n != 1 {
		t.Errorf("%d troubles, want 1: %v", n, s.Troubles())
	}
}

// Work without a file is kept in the scratch folder and offered when its program has ended.
func TestScratchRecovery(t *testing.T) {
	d := newDisk(t)
	d.cfg.AutosaveAfter = time.Millisecond
	s := New(d.cfg, plate.New("unnamed"))
	d.do(s, setRim(19))
	mine := scratchPath(d.cfg.Scratch)
	waitFor(t, d.l, s, func() bool { return d.read(mine) != "" })
	if rs := Recoveries(d.cfg.Scratch); len(rs) != 0 {
		t.Errorf("the work of this running program is offered: %v", rs)
	}
	s.Close(false)
	s.Wait()
	const ended = 1<<31 - 5 // no process has this number: the kernel's limit is far lower
	dead := strings.Replace(mine, filepath.Base(mine), "unnamed-2147483643.plate.autosave", 1)
	if err := os.Rename(mine, dead); err != nil || runs(ended) {
		t.Fatal(err, runs(ended))
	}
	rs := Recoveries(d.cfg.Scratch)
	if len(rs) != 1 || rs[0].Plate.Rim != 19 {
		t.Fatalf("recoveries %+v, want the one of the dead program", rs)
	}
	s = New(d.cfg, plate.New("next"))
	if err := s.Recover(rs[0]); err != nil {
		t.Fatal(err)
	}
	waitFor(t, d.l, s, func() bool { return d.read(mine) != "" })
	if d.read(dead) != "" {
		t.Error("the taken-over autosave is still there")
	}
	if err := s.SaveAs(d.path("a.plate"), false); err != nil || d.read(mine) != "" {
		t.Errorf("save as: %v; scratch copy left: %v", err, d.read(mine) != "")
	}
	s.Close(true)
	s.Wait()
	if !runs(os.Getpid()) || runs(ended) {
		t.Error("runs does not know this process, or knows one that cannot be")
	}
	if err := s.ThrowAway(Recovery{Path: dead}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("throwing away a recovery that has gone: %v", err)
	}
}
