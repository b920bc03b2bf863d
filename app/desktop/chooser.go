package desktop

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"platewright/plate/finding"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// chooser is the sheet for choosing a file to open or a name to save under. It is our own because the toolkit's save sheet
// empties an existing file before anybody has agreed to it, adds no ending, and knows neither Enter nor Escape.
type chooser struct {
	cv      fyne.Canvas
	folder  string
	exts    []string // with the point; the first is added to a name without one of them
	saving  bool
	entries []chooserEntry
	done    func(path string)

	sheet *sheetDialog
	place *line
	list  *widget.List
	name  *chooserName
	trial *line // what is wrong with the choice
}

type chooserEntry struct {
	name string
	dir  bool
}

// chooserName is the line for the file's name: Enter takes it, Escape leaves.
type chooserName struct {
	widget.Entry
	escape func()
}

// TypedKey implements fyne.Focusable.
func (n *chooserName) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyEscape {
		n.escape()
		return
	}
	n.Entry.TypedKey(e)
}

// openChooser shows the sheet. Name may be empty; done gets a path with one of the endings.
func openChooser(cv fyne.Canvas, heading, verb, folder, name string, exts []string, saving bool, done func(string)) *chooser {
	c := &chooser{cv: cv, folder: folder, exts: exts, saving: saving, done: done}
	if !isDir(folder) {
		c.folder = homeFolder()
	}
	c.place, c.trial = newLine("", sizeSmall, toneQuiet), newLine("", sizeSmall, toneWrong)
	c.list = widget.NewList(func() int { return len(c.entries) },
		func() fyne.CanvasObject { return container.New(inset{0, 3}, newLine("", sizeText, toneInk)) },
		func(i widget.ListItemID, o fyne.CanvasObject) {
			l := o.(*fyne.Container).Objects[0].(*line)
			if e := c.entries[i]; e.dir {
				l.set(e.name+string(filepath.Separator), toneQuiet)
			} else {
				l.set(e.name, toneInk)
			}
		})
	c.list.HideSeparators = true
	c.list.OnSelected = c.pick
	c.name = &chooserName{escape: func() { c.sheet.close() }}
	c.name.ExtendBaseWidget(c.name)
	c.name.SetText(name)
	c.name.OnSubmitted = func(string) { c.take() }
	c.name.OnChanged = func(string) { c.trial.set("", toneWrong) }
	high := newFill(noColour, 1, 260)
	box := container.New(stack{gap: 6}, c.place, newRule(), container.NewStack(high, c.list), newRule(),
		newLine("Name", sizeSmall, toneQuiet), container.New(inset{-innerPad(), 0}, c.name), newRule(), c.trial)
	c.sheet = openSheet(cv, heading, box, []answer{
		{text: "Cancel", do: func() {}},
		{text: verb, do: func() {}},
	}, 1, 0, 560)
	c.sheet.buttons[1].onPress = c.take // a name that cannot be taken leaves the sheet open
	c.read()
	cv.Focus(c.name)
	c.name.TypedShortcut(&fyne.ShortcutSelectAll{})
	return c
}

// read lists the folder: the way up, folders, then files with one of the endings.
func (c *chooser) read() {
	c.place.set(c.folder, toneQuiet)
	c.entries = c.entries[:0]
	if up := filepath.Dir(c.folder); up != c.folder {
		c.entries = append(c.entries, chooserEntry{"..", true})
	}
	found, err := os.ReadDir(c.folder)
	if err != nil {
		c.trial.set(finding.Words(err), toneWrong)
	}
	var dirs, files []chooserEntry
	for _, e := range found {
		switch name := e.Name(); {
		case strings.HasPrefix(name, "."):
		case isFolder(c.folder, e):
			dirs = append(dirs, chooserEntry{name, true})
		case slices.Contains(c.exts, strings.ToLower(filepath.Ext(name))):
			files = append(files, chooserEntry{name, false})
		}
	}
	c.entries = slices.Concat(c.entries, dirs, files)
	c.list.UnselectAll()
	c.list.Refresh()
	c.list.ScrollToTop()
}

// isFolder follows links.
func isFolder(in string, e os.DirEntry) bool {
	if e.Type()&os.ModeSymlink == 0 {
		return e.IsDir()
	}
	return isDir(filepath.Join(in, e.Name()))
}

// pick goes into a folder, or takes over a file's name; a second press on it takes the file.
func (c *chooser) pick(i widget.ListItemID) {
	if i >= len(c.entries) {
		return
	}
	e := c.entries[i]
	if e.dir {
		c.folder = filepath.Join(c.folder, e.name)
		c.read()
		return
	}
	c.list.UnselectAll()
	if c.name.Text == e.name && !c.saving {
		c.take()
		return
	}
	c.name.SetText(e.name)
}

// take hands the choice over, when it is one.
func (c *chooser) take() {
	name := strings.TrimSpace(c.name.Text)
	if name == "" {
		c.trial.set("write a name, or choose one from the list", toneWrong)
		return
	}
	path := name
	if !filepath.IsAbs(path) {
		path = filepath.Join(c.folder, name)
	}
	if isDir(path) {
		c.folder = path
		c.name.SetText("")
		c.read()
		return
	}
	if !slices.Contains(c.exts, strings.ToLower(filepath.Ext(path))) {
		path += c.exts[0]
	}
	st, err := os.Stat(path)
	switch {
	case !c.saving && err != nil:
		c.trial.set("there is no file "+filepath.Base(path)+" here", toneWrong)
		return
	case c.saving && err == nil && st.IsDir():
		c.trial.set(filepath.Base(path)+" is a folder", toneWrong)
		return
	case c.saving && err != nil && !isDir(filepath.Dir(path)):
		c.trial.set("there is no folder "+filepath.Dir(path), toneWrong)
		return
	}
	c.sheet.close()
	if c.saving && err == nil {
		c.agree(path)
		return
	}
	c.done(path)
}

// agree asks before something else is overwritten.
func (c *chooser) agree(path string) {
	ask(c.cv, "Overwrite "+filepath.Base(path)+"?",
		"A file of this name is there already. Its present state is kept beside it under the same name with a ~ behind, if it is a plate document.",
		[]answer{{text: "Cancel", do: func() {}}, {text: "Overwrite", do: func() { c.done(path) }, danger: true}}, 0, 0)
}

func isDir(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.IsDir()
}

func homeFolder() string {
	if h, err := os.UserHomeDir(); err == nil && isDir(h) {
		return h
	}
	if wd, err := os.Getwd(); err == nil {
		return wd
	}
	return string(filepath.Separator)
}
