package desktop

import (
	"bytes"
	"encoding/csv"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"platewright/app/session"
	"platewright/plate"
)

// chooserOf is the open chooser's line for the name.
func (h *harness) chooserName() *chooserName {
	h.t.Helper()
	n, ok := h.win.Canvas().Focused().(*chooserName)
	if !ok {
		h.t.Fatalf("the focus is on a %T, want the name of a chooser", h.win.Canvas().Focused())
	}
	return n
}

// choosePath writes a path into the open chooser and presses Enter.
func (h *harness) choosePath(path string) {
	h.t.Helper()
	n := h.chooserName()
	n.SetText(path)
	enter(n)
	h.settle()
}

func (h *harness) savedDoc(path string) plate.Plate {
	h.t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		h.t.Fatal(err)
	}
	p, err := plate.Decode(data)
	if err != nil {
		h.t.Fatal(err)
	}
	return p
}

func (h *harness) do(e plate.Edit) {
	h.t.Helper()
	if err := h.tryEdit(e, ""); err != nil {
		h.t.Fatal(err)
	}
	h.settle()
}

func TestSaveAsThenSave(t *testing.T) {
	h := newHarness(t, Options{})
	path := filepath.Join(h.dir, "mine")
	h.do(setRim(9))
	if !strings.Contains(h.win.Title(), "not saved") {
		t.Errorf("title %q", h.win.Title())
	}
	h.menu("Save") // without a file it asks for a name
	if got := h.chooserName().Text; got != "cargo-trike-side-plate.plate" {
		t.Errorf("the name offered is %q", got)
	}
	h.choosePath(path)
	if got := h.savedDoc(path + ".plate"); got.Rim != 9 {
		t.Errorf("saved rim %v, want 9", got.Rim)
	}
	if h.sheetOpen() || h.job.Dirty() || h.win.Title() != "mine – Platewright" || !strings.HasPrefix(h.sheet.state.text, "saved ") {
		t.Errorf("after the save: dirty %v, title %q, state %q", h.job.Dirty(), h.win.Title(), h.sheet.state.text)
	}
	h.do(setRim(10))
	h.menu("Save")
	h.settle()
	if got := h.savedDoc(path + ".plate"); got.Rim != 10 || h.job.Dirty() {
		t.Errorf("second save: rim %v, dirty %v", got.Rim, h.job.Dirty())
	}
	if r := h.recent(); len(r) != 1 || r[0] != path+".plate" {
		t.Errorf("recent files %v", r)
	}
}

func TestOpenFileAndRecent(t *testing.T) {
	h := newHarness(t, Options{})
	doc := plate.New("small one")
	data, err := plate.Encode(doc)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(h.dir, "small.plate")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	h.menu("Open…")
	h.choosePath(filepath.Join(h.dir, "none"))
	if !h.sheetOpen() || !strings.Contains(h.sheetText(), "there is no file none.plate") {
		t.Fatalf("a missing file: open %v, says %q", h.sheetOpen(), h.sheetText())
	}
	h.choosePath(path)
	if h.sheetOpen() || h.job.Doc().Name != "small one" || h.job.Path() != path || h.job.Title() != "small" {
		t.Fatalf("opened %q from %q", h.job.Doc().Name, h.job.Path())
	}
	h.menu("Rocker of a field robot")
	h.settle()
	if h.job.Path() != "" || len(h.job.Doc().Bores) == 0 {
		t.Errorf("sample not opened: %q", h.job.Doc().Name)
	}
	h.menu(path) // open again
	h.settle()
	if h.job.Doc().Name != "small one" {
		t.Errorf("opened again %q", h.job.Doc().Name)
	}
	h.dropped([]fyne.URI{storage.NewFileURI(filepath.Join(h.dir, "x.txt"))})
	if !strings.Contains(h.said, ".plate") {
		t.Errorf("a dropped text says %q", h.said)
	}
	h.menu("New")
	h.settle()
	h.dropped([]fyne.URI{storage.NewFileURI(path)})
	h.settle()
	if h.job.Path() != path {
		t.Errorf("dropped file opened %q", h.job.Path())
	}
}

func TestOpenOnStart(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "start.plate")
	data, err := plate.Encode(plate.New("at the start"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	h := newHarness(t, Options{File: path})
	if h.job.Doc().Name != "at the start" || h.sheetOpen() {
		t.Errorf("opened %q, sheet open %v", h.job.Doc().Name, h.sheetOpen())
	}
	bad := filepath.Join(dir, "bad.plate")
	if err := os.WriteFile(bad, []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	h = newHarness(t, Options{File: bad})
	if !h.sheetOpen() || len(h.job.Doc().Bores) == 0 {
		t.Error("a file that cannot be opened says nothing, or leaves nothing to look at")
	}
}

func TestUnsavedWorkIsAskedAbout(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("New")
	h.settle()
	if h.job.Doc().Name == "Cargo trike side plate" {
		t.Fatal("New without unsaved work asked or did nothing")
	}
	h.do(setRim(7))
	mine := h.job.Doc()

	h.menu("New")
	if !h.sheetOpen() || h.job.Doc().Rim != 7 {
		t.Fatal("unsaved work is not asked about")
	}
	focused := h.win.Canvas().Focused()
	if b, ok := focused.(*clickable); !ok || b.content.(*line).text != "Save" {
		t.Fatalf("the focus is on %T, want the button that loses nothing", focused)
	}
	h.menu("Undo") // the gate is shut while the question is open
	if h.job.Doc().Rim != 7 {
		t.Error("undo went through the open question")
	}
	key(focused, fyne.KeyEscape)
	h.settle()
	if h.sheetOpen() || h.job.Doc().Rim != 7 {
		t.Errorf("Escape: sheet open %v, rim %v", h.sheetOpen(), h.job.Doc().Rim)
	}

	h.quit()
	h.button("Cancel")
	if h.closed {
		t.Error("cancel closed the window")
	}
	h.menu("Cheek of a camera dolly")
	enter(h.win.Canvas().Focused()) // Save
	h.settle()
	path := filepath.Join(h.dir, "kept.plate")
	h.choosePath(path)
	if got := h.savedDoc(path); got.Rim != mine.Rim {
		t.Errorf("saved rim %v, want %v", got.Rim, mine.Rim)
	}
	if !strings.Contains(h.job.Doc().Name, "dolly") {
		t.Errorf("after saving the sample was not opened: %q", h.job.Doc().Name)
	}

	h.do(setRim(6))
	h.quit()
	h.button("Go on without saving")
	if !h.closed {
		t.Error("the window did not close")
	}
}

func TestSaveOverChangedFile(t *testing.T) {
	h := newHarness(t, Options{})
	path := filepath.Join(h.dir, "a.plate")
	h.menu("Save as…")
	h.choosePath(path)
	data, err := plate.Encode(plate.New("theirs"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	h.do(setRim(5))
	h.menu("Save")
	h.settle()
	if !h.sheetOpen() || h.savedDoc(path).Name != "theirs" {
		t.Fatal("a file changed on disk was overwritten without a question")
	}
	h.button("Cancel")
	if !h.job.Dirty() {
		t.Error("after cancel the work counts as saved")
	}
	h.menu("Save")
	h.settle()
	h.button("Overwrite it")
	if got := h.savedDoc(path); got.Rim != 5 || h.job.Dirty() {
		t.Errorf("after overwriting: rim %v, dirty %v", got.Rim, h.job.Dirty())
	}
	if got := h.savedDoc(path + "~"); got.Name != "theirs" {
		t.Errorf("their state was not kept: %q", got.Name)
	}
}

func TestExports(t *testing.T) {
	h := newHarness(t, Options{})
	h.menu("Export drawing, top face")
	if got := h.chooserName().Text; got != "cargo-trike-side-plate-top.dxf" {
		t.Errorf("the name offered is %q", got)
	}
	dxfPath := filepath.Join(h.dir, "top.dxf")
	h.choosePath(dxfPath)
	data, err := os.ReadFile(dxfPath)
	if err != nil || !bytes.Contains(data, []byte("SECTION")) || !bytes.Contains(data, []byte("OUTLINE")) || !bytes.HasSuffix(bytes.TrimSpace(data), []byte("EOF")) {
		t.Errorf("the drawing is no DXF with an outline: %v, %d bytes", err, len(data))
	}
	if h.job.Dirty() || h.job.Path() != "" {
		t.Error("an export changed the document or its file")
	}
	pic := filepath.Join(h.dir, "plate.png")
	h.menu("Export picture")
	h.choosePath(pic)
	f, err := os.Open(pic)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if img, err := png.Decode(f); err != nil || img.Bounds().Dx() < 1000 {
		t.Errorf("the picture: %v", err)
	}
	svg := filepath.Join(h.dir, "plate.svg")
	h.menu("Export picture")
	h.choosePath(svg)
	if data, err := os.ReadFile(svg); err != nil || !bytes.Contains(data, []byte("<svg")) {
		t.Errorf("the SVG: %v, %d bytes", err, len(data))
	}
	card := filepath.Join(h.dir, "card.csv")
	h.menu("Export route card")
	h.choosePath(card)
	c, err := os.Open(card)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if rows, err := csv.NewReader(c).ReadAll(); err != nil || len(rows) != 1+len(h.job.Machining().Value.Operations) {
		t.Errorf("the route card: %v, %d rows, the plan has %d operations", err, len(rows), len(h.job.Machining().Value.Operations))
	}
	// An export over an existing file asks; one of a plate with errors writes nothing.
	h.menu("Export drawing, top face")
	h.choosePath(dxfPath)
	if !h.sheetOpen() {
		t.Error("an existing file is overwritten without a question")
	}
	h.button("Cancel")
	k := h.job.Doc().Outline.Corners[0]
	k.Radius = 900
	h.do(setCorner(0, k))
	h.menu("Export drawing, bottom face")
	h.choosePath(filepath.Join(h.dir, "bottom.dxf"))
	if exists(filepath.Join(h.dir, "bottom.dxf")) || !strings.Contains(h.sheetText(), "Nothing was written") {
		t.Errorf("a plate with errors was exported, or nothing is said: %q", h.sheetText())
	}
}

func TestRecoveryIsOffered(t *testing.T) {
	dir := t.TempDir()
	doc := plate.New("lost and found")
	doc.Rim = 3
	write := func(name string, p plate.Plate) {
		data, err := plate.Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("a.plate", plate.New("a"))
	write(".a.plate.autosave", doc)
	h := newHarness(t, Options{File: filepath.Join(dir, "a.plate")})
	if !strings.Contains(h.sheetText(), "Unsaved work was found") {
		t.Fatalf("no recovery is offered: %q", h.sheetText())
	}
	h.button("Recover")
	if h.job.Doc().Rim != 3 || !h.job.Dirty() {
		t.Errorf("recovered rim %v, dirty %v", h.job.Doc().Rim, h.job.Dirty())
	}
	h.menu("Undo recovery")
	if h.job.Dirty() {
		t.Error("the recovery cannot be undone")
	}
	write(".a.plate.autosave", doc)
	h = newHarness(t, Options{File: filepath.Join(dir, "a.plate")})
	key(h.win.Canvas().Focused(), fyne.KeyEscape) // loses nothing
	h.settle()
	if got := h.savedDoc(filepath.Join(dir, "a-recovered.plate")); got.Rim != 3 || h.job.Dirty() {
		t.Errorf("after Escape the recovered work has rim %v, the document is dirty %v", got.Rim, h.job.Dirty())
	}
	// Work of a program that ended without a file.
	scratch := filepath.Join(dir, "scratch")
	if err := os.Mkdir(scratch, 0o755); err != nil {
		t.Fatal(err)
	}
	left := filepath.Join("scratch", "unnamed-2147483643.plate.autosave")
	write(left, doc)
	h = newHarness(t, Options{Scratch: scratch})
	h.button("Throw it away")
	if exists(filepath.Join(dir, left)) || h.sheetOpen() {
		t.Error("the work thrown away is still there")
	}
}

func TestFaultsAreShownOnce(t *testing.T) {
	h := newHarness(t, Options{})
	h.fault(&session.PanicError{Doing: "drawing", Value: "no ink", Stack: "at the desk"})
	h.button("Copy the report")
	if got := h.app.Clipboard().Content(); !strings.Contains(got, "no ink") || !strings.Contains(got, "at the desk") {
		t.Errorf("the report copied is %q", got)
	}
}

func TestChooserGoesThroughFolders(t *testing.T) {
	h := newHarness(t, Options{})
	for _, d := range []string{"b", "a", ".hidden"} {
		if err := os.Mkdir(filepath.Join(h.dir, d), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range []string{"z.plate", "y.txt"} {
		if err := os.WriteFile(filepath.Join(h.dir, f), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var got []string
	c := openChooser(h.win.Canvas(), "Open", "Open", h.dir, "", []string{".plate"}, false, func(p string) { got = append(got, p) })
	want := []chooserEntry{{"..", true}, {"a", true}, {"b", true}, {"z.plate", false}}
	if len(c.entries) != len(want) {
		t.Fatalf("the folder lists %v, want %v", c.entries, want)
	}
	for i := range want {
		if c.entries[i] != want[i] {
			t.Errorf("entry %d is %v, want %v", i, c.entries[i], want[i])
		}
	}
	c.pick(1)
	if c.folder != filepath.Join(h.dir, "a") || len(c.entries) != 1 {
		t.Errorf("in folder %q with %v", c.folder, c.entries)
	}
	c.pick(0)
	c.pick(3)
	if c.name.Text != "z.plate" || len(got) != 0 {
		t.Errorf("the first press took %v, name %q", got, c.name.Text)
	}
	c.pick(3)
	if len(got) != 1 || got[0] != filepath.Join(h.dir, "z.plate") || h.sheetOpen() {
		t.Errorf("the second press took %v", got)
	}
	c = openChooser(h.win.Canvas(), "Save", "Save", filepath.Join(h.dir, "gone"), "x", []string{".plate"}, true, func(p string) { got = append(got, p) })
	enter(c.name) // saves x.plate into the home folder's listing
	if len(got) != 2 || filepath.Base(got[1]) != "x.plate" || filepath.Dir(got[1]) != homeFolder() {
		t.Errorf("a folder that has gone: took %v", got)
	}
	c = openChooser(h.win.Canvas(), "Save", "Save", h.dir, "", []string{".plate"}, true, func(string) { t.Error("took nothing for a name") })
	enter(c.name)
	c.name.SetText("no/such/folder/x")
	enter(c.name)
	if !strings.Contains(c.trial.text, "no folder") {
		t.Errorf("a missing folder says %q", c.trial.text)
	}
	key(c.name, fyne.KeyEscape)
	if h.sheetOpen() {
		t.Error("Escape leaves the chooser open")
	}
}

func TestFileNames(t *testing.T) {
	for title, want := range map[string]string{
		"Side plate, left": "side-plate,-left", "a/b\\c:d": "abcd", "  ": "plate", "Träger": "träger",
	} {
		if got := fileName(title); got != want {
			t.Errorf("fileName(%q) = %q, want %q", title, got, want)
		}
	}
}
