package plate

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// WriteFile writes a file so that at every moment, a loss of power included, the name stands for the whole old or the whole
// new content: into a temporary file of the same folder, synced, renamed over the old one, and the folder synced. The mode
// of an old file is kept; a new one gets what os.Create would give. A symbolic link is followed, so that the file it points
// to is replaced and the link stays.
func WriteFile(name string, data []byte) error {
	target, mode, err := existing(name)
	if err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	if err := replace(target, mode, data); err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	return nil
}

// existing resolves links and finds the mode of the file to replace, 0 when there is none.
func existing(name string) (target string, mode fs.FileMode, err error) {
	target, err = filepath.EvalSymlinks(name)
	if errors.Is(err, fs.ErrNotExist) {
		if _, lerr := os.Lstat(name); lerr == nil {
			return "", 0, errors.New("it is a link to a file that does not exist; remove the link or make the file")
		}
		return name, 0, nil
	}
	if err != nil {
		return "", 0, err
	}
	info, err := os.Stat(target)
	if err != nil {
		return "", 0, err
	}
	if !info.Mode().IsRegular() {
		return "", 0, errors.New("it is not a regular file; choose another name")
	}
	return target, info.Mode().Perm(), nil
}

func replace(target string, mode fs.FileMode, data []byte) (err error) {
	dir := filepath.Dir(target)
	tmp, err := createTemp(dir, filepath.Base(target))
	if err != nil {
		return err
	}
	defer func() {
		if err != nil { // the error that matters is the one that led here
			_ = tmp.Close()
			_ = os.Remove(tmp.Name())
		}
	}()
	if _, err = tmp.Write(data); err != nil {
		return err
	}
	if mode != 0 {
		if err = tmp.Chmod(mode); err != nil {
			return err
		}
	}
	if err = tmp.Sync(); err != nil {
		return err
	}
	if err = tmp.Close(); err != nil {
		return err
	}
	if err = os.Rename(tmp.Name(), target); err != nil {
		return err
	}
	return syncDir(dir)
}

// createTemp makes a new hidden file beside the target. os.CreateTemp would make it readable by its owner alone; here the
// process's mask decides, as for every other new file.
func createTemp(dir, base string) (*os.File, error) {
	var err error
	for i := range 1000 {
		var f *os.File
		name := filepath.Join(dir, fmt.Sprintf(".%s.%d-%d.tmp", base, os.Getpid(), i))
		f, err = os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
	return nil, err
}

// syncDir makes the rename last. Windows cannot sync a folder; its rename is kept by the file system's own log.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	if err := d.Sync(); err != nil {
		_ = d.Close()
		return err
	}
	return d.Close()
}
