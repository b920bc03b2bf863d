package session

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"platewright/plate"
)

// autosaveExt ends the names of autosaves. They hold a document like any other.
const autosaveExt = ".autosave"

// defaultAutosave is how long unsaved work may be without an autosave.
const defaultAutosave = 20 * time.Second

// autosave keeps unsaved work beside the document's file, so that a crash loses little.
type autosave struct {
	timer    *time.Timer
	revision string // kept in path; empty when nothing is
	path     string
	busy     bool
	failed   bool   // the trouble has been reported once
	replaces string // file of a recovery that this session has taken over
	// undecided holds autosaves back while nobody has said what becomes of the one that an earlier session left.
	undecided bool
	drop      atomic.Bool // the work is given up: a write that is under way removes its file again
}

func (a *autosave) stop() {
	if a.timer != nil {
		a.timer.Stop()
		a.timer = nil
	}
}

// autosavePath is where unsaved work of the document in path is kept.
func autosavePath(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+autosaveExt)
}

// scratchPath is where unsaved work of a document without a file is kept: its name carries the process, so that the work
// of a running program is not taken for that of a crashed one.
func scratchPath(dir string) string {
	return filepath.Join(dir, "unnamed-"+strconv.Itoa(os.Getpid())+Ext+autosaveExt)
}

func (s *Session) autosaveTarget() string {
	switch {
	case s.file.path != "":
		return autosavePath(s.file.path)
	case s.cfg.Scratch != "":
		return scratchPath(s.cfg.Scratch)
	}
	return ""
}

// scheduleAutosave sees to it that unsaved work is kept soon.
func (s *Session) scheduleAutosave() {
	after := s.cfg.AutosaveAfter
	if after == 0 {
		after = defaultAutosave
	}
	if after < 0 || s.autosave.timer != nil || s.closed || s.autosaveTarget() == "" {
		return
	}
	s.autosave.timer = time.AfterFunc(after, func() {
		s.cfg.Post(func() {
			s.autosave.timer = nil
			s.keepUnsaved()
		})
	})
}

// keepUnsaved writes the autosave on a goroutine of its own, one at a time.
func (s *Session) keepUnsaved() {
	if s.closed || !s.Dirty() || s.autosave.revision == s.Revision() {
		return
	}
	if s.autosave.busy || s.autosave.undecided {
		s.scheduleAutosave()
		return
	}
	path, revision := s.autosaveTarget(), s.Revision()
	data, err := plate.Encode(s.Doc())
	if err != nil {
		s.autosaved(path, revision, err)
		return
	}
	s.autosave.busy = true
	s.Background("keeping unsaved work", func(context.Context) error {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := plate.WriteFile(path, data); err != nil {
			return err
		}
		if s.autosave.drop.Load() {
			return os.Remove(path)
		}
		return nil
	}, func(err error) {
		s.autosave.busy = false
		s.autosaved(path, revision, err)
	})
}

func (s *Session) autosaved(path, revision string, err error) {
	if err != nil {
		if !s.autosave.failed {
			s.trouble(fmt.Errorf("unsaved work could not be kept for a crash: %w; save the document to be safe", err))
			s.autosave.failed = true
			s.notify()
		}
		return
	}
	s.autosave.failed = false
	s.autosave.path, s.autosave.revision = path, revision
	if old := s.autosave.replaces; old != "" && old != path {
		s.remove(old)
	}
	s.autosave.replaces = ""
	if path != s.autosaveTarget() || !s.Dirty() { // saved, perhaps elsewhere, while it was written
		s.removeAutosave()
	}
}

// removeAutosave takes away what this session kept, and what an earlier one kept beside the same file.
func (s *Session) removeAutosave() {
	s.autosave.stop()
	for _, p := range []string{s.autosave.path, s.autosaveTarget(), s.autosave.replaces} {
		if p != "" {
			s.remove(p)
		}
	}
	s.autosave.path, s.autosave.revision, s.autosave.replaces = "", "", ""
}

func (s *Session) remove(autosave string) {
	if err := os.Remove(autosave); err != nil && !errors.Is(err, fs.ErrNotExist) {
		s.trouble(fmt.Errorf("the kept copy of unsaved work could not be removed: %w; delete it by hand, or it is offered again", err))
	}
}

// Recovery is work that an earlier session kept and never saved.
type Recovery struct {
	Path  string // of the autosave
	When  time.Time
	Plate plate.Plate
	Err   error // why it cannot be read; then Plate is empty and the file is left where it is
}

// findRecovery looks for an autosave that differs from the saved revision.
func findRecovery(path, saved string) *Recovery {
	info, err := os.Stat(path)
	if err != nil {
		return nil
	}
	r := &Recovery{Path: path, When: info.ModTime()}
	data, err := readLimited(path)
	if err == nil {
		r.Plate, err = plate.Decode(data)
	}
	if err != nil {
		r.Err = fmt.Errorf("unsaved work was kept in %s but cannot be read: %w", path, err)
		return r
	}
	if plate.Revision(r.Plate) == saved {
		return nil
	}
	return r
}

// Recoveries lists the unsaved work of documents without a file in a scratch folder, newest last, leaving out that of
// programs that still run.
func Recoveries(scratch string) []Recovery {
	names, err := filepath.Glob(filepath.Join(scratch, "unnamed-*"+Ext+autosaveExt))
	if err != nil {
		return nil
	}
	var out []Recovery
	for _, n := range names {
		base := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(n), "unnamed-"), Ext+autosaveExt)
		if pid, err := strconv.Atoi(base); err != nil || pid == os.Getpid() || runs(pid) {
			continue
		}
		if r := findRecovery(n, ""); r != nil {
			out = append(out, *r)
		}
	}
	return out
}

// runs tells whether a process of this number runs.
func runs(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer p.Release()
	if runtime.GOOS == "windows" { // there FindProcess fails for a process that has ended
		return true
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, syscall.EPERM)
}

// Recover makes the recovered document the present one, as an edit that can be undone, and keeps it again at once.
func (s *Session) Recover(r Recovery) error {
	if r.Err != nil {
		return r.Err
	}
	doc := r.Plate
	err := s.Do(plate.Edit{Label: "recovery of unsaved work", Apply: func(plate.Plate) (plate.Plate, error) { return doc, nil }}, "")
	if err != nil {
		return err
	}
	s.autosave.replaces, s.autosave.undecided = r.Path, false
	s.keepUnsaved()
	return nil
}

// ThrowAway removes recovered work for good.
func (s *Session) ThrowAway(r Recovery) error {
	if err := os.Remove(r.Path); err != nil {
		return err
	}
	s.autosave.undecided = false
	return nil
}

// SetAside keeps recovered work, readable or not, as a file of its own beside the document, and returns its path.
func (s *Session) SetAside(r Recovery) (string, error) {
	base := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(r.Path), "."), autosaveExt)
	base = filepath.Join(filepath.Dir(r.Path), strings.TrimSuffix(base, Ext)+"-recovered")
	const most = 1000
	for i := range most {
		path := base + Ext
		if i > 0 {
			path = base + "-" + strconv.Itoa(i+1) + Ext
		}
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err := os.Rename(r.Path, path); err != nil {
			return "", err
		}
		s.autosave.undecided = false
		return path, nil
	}
	return "", fmt.Errorf("there are %d recovered files beside %s already: tidy them up first", most, base)
}
