package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"platewright/plate"
)

// target checks the file that a command is to write before anything is computed: its ending must be one of those given, and
// it must not be one of the inputs.
func target(out string, inputs []string, endings ...string) error {
	ending := strings.ToLower(filepath.Ext(out))
	ok := len(endings) == 0
	for _, want := range endings {
		ok = ok || ending == want
	}
	if !ok {
		return usage("%s: the file must end in %s", out, strings.Join(endings, " or "))
	}
	there, err := os.Stat(out)
	if err != nil {
		return nil // writing will say what is wrong with the name, if anything
	}
	if there.IsDir() {
		return usage("%s: that is a folder; give the name of a file", out)
	}
	for _, in := range inputs {
		if in == "-" || in == "" {
			continue
		}
		if i, err := os.Stat(in); err == nil && os.SameFile(there, i) {
			return usage("%s: that is the file that is read; give another name", out)
		}
	}
	return nil
}

// write writes a file whole or not at all, and says so.
func (e *env) write(out string, data []byte) error {
	if err := plate.WriteFile(out, data); err != nil {
		return failed("%v; nothing was written", err)
	}
	fmt.Fprintf(e.stderr, "%s: wrote %s (%d bytes)\n", program, out, len(data))
	return nil
}

// deliver writes a new document to a file that must not exist yet, or to standard output without one.
func (e *env) deliver(out string, data []byte) error {
	if out == "" {
		_, err := e.stdout.Write(data)
		return err
	}
	if _, err := os.Lstat(out); err == nil {
		return failed("%s: not written: a file of that name is there already; give another name or remove it", out)
	}
	return e.write(out, data)
}
