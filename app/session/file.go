package session

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"platewright/plate"
)

// Ext is the ending of document files.
const Ext = ".plate"

// file is where the document lives and what of it is there.
type file struct {
	path    string // empty for a document without a file
	sum     [sha256.Size]byte
	known   bool      // sum is what we last read or wrote
	saved   string    // revision in the file; for a document without a file, the one it began with
	savedAt time.Time // zero when not saved in this session
	saving  bool
}

// ErrSaving says that a save is under way.
var ErrSaving = errors.New("the document is being saved already; wait until it is done")

// ErrNoFile says that the document has no file yet.
var ErrNoFile = errors.New("the document has no file yet: save it under a name")

// ChangedOnDiskError says that the file is not what this session last read or wrote, so that saving would lose somebody's
// work.
type ChangedOnDiskError struct {
	Path string
}

func (e *ChangedOnDiskError) Error() string {
	return fmt.Sprintf("%s was changed on disk since it was opened here: save under another name, or overwrite it on purpose", e.Path)
}

// File is a document as it was read from disk. It can be read on any goroutine and opened on the owner's.
type File struct {
	Path     string // absolute
	Doc      plate.Plate
	Recovery *Recovery // what an earlier session kept beside the file and never saved; nil for none
	sum      [sha256.Size]byte
}

// Read reads a document. The error names the file and what is wrong in it.
func Read(path string) (File, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return File{}, fmt.Errorf("open %s: %w", path, err)
	}
	data, err := readLimited(abs)
	if err != nil {
		return File{}, fmt.Errorf("open: %w", err)
	}
	doc, err := plate.Decode(data)
	if err != nil {
		return File{}, fmt.Errorf("open %s: %w", path, err)
	}
	return File{Path: abs, Doc: doc, Recovery: findRecovery(autosavePath(abs), plate.Revision(doc)), sum: sha256.Sum256(data)}, nil
}

// Open opens a document that was read. What it recovered waits for Recover, SetAside or ThrowAway; until then the session
// keeps no autosave of its own over it.
func (f File) Open(cfg Config) *Session {
	s := New(cfg, f.Doc)
	s.file.path, s.file.sum, s.file.known = f.Path, f.sum, true
	s.autosave.undecided = f.Recovery != nil
	return s
}

// Open reads and opens a document. The recovery is what an earlier session kept beside the file and never saved, nil when
// there is none.
func Open(cfg Config, path string) (*Session, *Recovery, error) {
	f, err := Read(path)
	if err != nil {
		return nil, nil, err
	}
	return f.Open(cfg), f.Recovery, nil
}

func readLimited(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file: choose a plate document", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, plate.MaxFileBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > plate.MaxFileBytes {
		return nil, fmt.Errorf("%s is larger than %d MB and cannot be a plate document: choose another file", path, plate.MaxFileBytes>>20)
	}
	return data, nil
}

// Path is the document's file, empty when it has none.
func (s *Session) Path() string { return s.file.path }

// SavedAt is when this session last saved the document; zero when it has not.
func (s *Session) SavedAt() time.Time { return s.file.savedAt }

// Dirty tells whether the document differs from what its file holds. Undoing all changes makes it clean again.
func (s *Session) Dirty() bool { return s.Revision() != s.file.saved }

// Title is the document's name for people: that of its file, or of the document when it has none.
func (s *Session) Title() string {
	if s.file.path != "" {
		return strings.TrimSuffix(filepath.Base(s.file.path), Ext)
	}
	if n := strings.TrimSpace(s.Doc().Name); n != "" {
		return n
	}
	return "unnamed plate"
}

// Saving is one save: a snapshot that can be written on any goroutine while the document goes on changing.
type Saving struct {
	Path     string
	data     []byte
	revision string
	expect   [sha256.Size]byte
	guard    bool // refuse when the file on disk is not expect
	sum      [sha256.Size]byte
}

// BeginSave takes a snapshot for writing it to path; an empty path is the document's own file. With force a file that
// changed on disk is overwritten. After Write the result must be handed to EndSave.
func (s *Session) BeginSave(path string, force bool) (Saving, error) {
	if s.file.saving {
		return Saving{}, ErrSaving
	}
	own := path == "" || path == s.file.path
	if path == "" {
		path = s.file.path
	}
	if path == "" {
		return Saving{}, ErrNoFile
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return Saving{}, fmt.Errorf("save %s: %w", path, err)
	}
	data, err := plate.Encode(s.Doc())
	if err != nil {
		return Saving{}, fmt.Errorf("save %s: %w", path, err)
	}
	s.file.saving = true
	s.history.settle()
	return Saving{
		Path: abs, data: data, revision: s.Revision(), expect: s.file.sum,
		guard: own && s.file.known && !force, sum: sha256.Sum256(data),
	}, nil
}

// Write writes the snapshot so that after a crash the file holds either its old or its new state, and keeps the old one
// beside it under the same name with a ~ behind.
func (v Saving) Write() error {
	old, err := readLimited(v.Path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return fmt.Errorf("save: %w", err)
	default:
		sum := sha256.Sum256(old)
		if v.guard && sum != v.expect {
			return &ChangedOnDiskError{v.Path}
		}
		if sum == v.sum {
			return nil
		}
		if err := plate.WriteFile(v.Path+"~", old); err != nil {
			return fmt.Errorf("save %s: keep its previous state: %w", v.Path, err)
		}
	}
	if err := plate.WriteFile(v.Path, v.data); err != nil {
		return fmt.Errorf("save %s: %w", v.Path, err)
	}
	return nil
}

// EndSave records the outcome of Write. The revision that was written counts as saved, not the one that the document has
// by now.
func (s *Session) EndSave(v Saving, err error) {
	s.file.saving = false
	if err != nil {
		s.notify()
		return
	}
	s.removeAutosave()
	s.file.path, s.file.sum, s.file.known = v.Path, v.sum, true
	s.file.saved, s.file.savedAt = v.revision, time.Now()
	if s.Dirty() {
		s.scheduleAutosave()
	}
	s.notify()
}

// Save writes the document to its file and waits for it. See BeginSave.
func (s *Session) Save(force bool) error { return s.SaveAs("", force) }

// SaveAs writes the document to path, which becomes its file, and waits for it.
func (s *Session) SaveAs(path string, force bool) error {
	v, err := s.BeginSave(path, force)
	if err != nil {
		return err
	}
	err = v.Write()
	s.EndSave(v, err)
	return err
}
