package desktop

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"platewright/app/session"
	"platewright/export/report"
	"platewright/export/scene"
	"platewright/fea"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/samples"
)

// Options is how a window is opened.
type Options struct {
	File   string // document to open; empty for a sample
	Sample string // name of the sample to open where File is empty; empty for the first
	// Post runs a function on the window's goroutine, later; nil means fyne.Do.
	Post func(func())
	// Scratch is where unsaved work of documents without a file is kept; empty means the app's own folder.
	Scratch string
	prepare func(plate.Plate) plate.Plate // for tests: what is made of a sample before it is opened; nil for nothing
	// Closing is called when the window is about to close for good, with all work saved or given up; nil means nothing.
	Closing func()
}

// Window is the program's window with its one open job.
type Window struct {
	app fyne.App
	win fyne.Window
	opt Options

	job   *session.Session
	sel   selection
	said  string // a sentence in the plate view until the next change, empty for none
	open  ledgerView
	inch  bool
	parts scene.Parts
	over  overlay

	runs    []scene.ToolRun // of the overlay runsOf, for the document of revision runsFor
	runsOf  overlay
	runsFor string

	field    *scene.Field // of fieldFor in the analysis fieldOf
	fieldOf  *fea.Result
	fieldFor overlay

	sheet   *jobSheet
	view    *plateView
	side    *particulars
	ledger  *ledger
	drawer  *drawer
	hints   *hintSheet
	caution *line
	gate    gate
	cmds    commands
	clip    clip
	ticker  *time.Timer
	stale   bool
	told    int // troubles shown so far
	closed  bool
}

// New fills a window and opens a job in it. An error about the file is shown in the window, which then holds the sample:
// a window that cannot open is of no use to anybody.
func New(app fyne.App, win fyne.Window, opt Options) (*Window, error) {
	w := &Window{app: app, win: win, opt: opt, parts: scene.Usual}
	if w.opt.Post == nil {
		w.opt.Post = fyne.Do
	}
	if w.opt.Scratch == "" {
		w.opt.Scratch = scratchFolder(app)
	}
	w.inch = app.Preferences().Bool(prefInches)
	app.Settings().SetTheme(paperTheme{want: appearance(app.Preferences().String(prefPaper))})
	doc, err := w.sample(opt.Sample)
	if err != nil {
		return nil, err
	}
	w.job, w.sel = session.New(w.config(), doc), selection{stage: plate.StageBores}
	w.build()
	w.refresh()
	w.start()
	return w, nil
}

// build makes the parts of the window.
func (w *Window) build() {
	canvasOf := func() fyne.Canvas { return w.win.Canvas() }
	w.gate = gate{canvas: canvasOf, busy: func() bool { return w.view.drag.pressed }}
	w.sheet = newJobSheet(w.choose, canvasOf)
	w.view = newPlateView(w)
	w.side = newParticulars(w)
	w.ledger = newLedger(w.openTable)
	w.drawer = newDrawer(w)
	w.hints = newHintSheet(w)
	w.caution = newLine(strings.Join(report.Cautions(), "  "), sizeSmall, toneQuiet)

	middle := container.NewStack(w.view, w.hints.object)
	left := container.New(ruled{right: true}, container.NewStack(panelFill(), w.sheet.object), newRule())
	right := container.New(ruled{}, container.NewStack(panelFill(), w.side.object), newRule())
	foot := container.NewStack(paperFill(), container.New(stack{},
		newFill(inkColour, 1, 1), w.ledger.object, container.New(inset{18, 3}, w.caution)))
	body := container.New(&bench{left: 226, right: 286}, left, middle, right, w.drawer.object, foot)
	w.win.SetContent(body)
	w.win.SetPadded(false)
	w.buildCommands()
	w.win.SetMainMenu(w.cmds.menu)
	w.win.SetCloseIntercept(w.quit)
	w.win.SetOnDropped(func(_ fyne.Position, uris []fyne.URI) { w.dropped(uris) })
	w.win.Resize(fyne.NewSize(1360, 860))
}

// bench lays the window out: job sheet, plate and particulars side by side, the drawer and the foot below.
type bench struct{ left, right float32 }

func (b *bench) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(b.left+b.right+260, 320+o[4].MinSize().Height)
}

func (b *bench) Layout(o []fyne.CanvasObject, s fyne.Size) {
	put := func(c fyne.CanvasObject, x, y, w, h float32) {
		c.Move(fyne.NewPos(x, y))
		c.Resize(fyne.NewSize(max(w, 0), max(h, 0)))
	}
	foot := o[4].MinSize().Height
	top := s.Height - foot
	drawer := float32(0)
	if o[3].Visible() {
		drawer = min(max(top*0.36, 150), 320)
	}
	put(o[0], 0, 0, b.left, top)
	put(o[1], b.left, 0, s.Width-b.left-b.right, top-drawer)
	put(o[2], s.Width-b.right, 0, b.right, top)
	put(o[3], b.left, top-drawer, s.Width-b.left-b.right, drawer)
	put(o[4], 0, top, s.Width, foot)
}

func (w *Window) config() session.Config {
	return session.Config{Post: w.opt.Post, Changed: w.refresh, Scratch: w.opt.Scratch}
}

// take makes a session the open job, with a stage selected.
func (w *Window) take(s *session.Session, stage string) {
	w.job.Close(true)
	w.job, w.sel, w.said, w.open, w.told = s, selection{stage: stage}, "", tableNone, 0
	w.over, w.view.clicked = overlay{}, nil
	w.view.fitted = false
	w.view.cam.Side = plate.Top
	w.refresh()
}

// ShowAndRun shows the window and runs the program until it is closed.
func (w *Window) ShowAndRun() {
	w.app.Lifecycle().SetOnStopped(w.stop)
	w.win.ShowAndRun()
}

// stop ends the program's work when the toolkit stops. Unsaved work that nobody has decided about stays for recovery.
func (w *Window) stop() { w.end(false) }

// end stops what runs in the background, once. With decided true the person has saved the work or given it up, and nothing is
// kept for recovery.
func (w *Window) end(decided bool) {
	if w.closed {
		return
	}
	w.closed = true
	if w.ticker != nil {
		w.ticker.Stop()
	}
	w.job.Close(decided)
}

// refresh shows the job as it is now: called after every change of document, results, selection or units.
func (w *Window) refresh() {
	if w.closed {
		return
	}
	doc := w.job.Doc()
	w.sel = w.sel.held(doc)
	w.win.SetTitle(w.windowTitle())
	if w.cmds.update() {
		w.cmds.menu.Refresh()
	}
	findings := w.job.Findings().Value
	m := w.job.Machining()
	plan := &m.Value
	if !m.OK {
		plan = nil
	}
	w.sheet.update(w.job.Title(), w.fileState(), known{doc, plan, w.job.Quote().Value}, findings, w.sel, w.inch)
	w.side.show(w.content())
	w.ledger.show(w.figures(), w.open)
	w.drawer.update()
	w.view.fitOnce()
	w.view.redraw()
	w.watchAge()
	w.tellTroubles()
}

// windowTitle is the document's name with its state.
func (w *Window) windowTitle() string {
	t := w.job.Title()
	if w.job.Dirty() {
		t += " (not saved)"
	}
	return t + " – Platewright"
}

// fileState says where the document stands.
func (w *Window) fileState() string {
	at := w.job.SavedAt()
	switch {
	case w.job.Path() == "" && !w.job.Dirty():
		return "not a file yet"
	case w.job.Path() == "":
		return "not saved"
	case w.job.Dirty() && at.IsZero():
		return "changed since it was opened"
	case w.job.Dirty():
		return "saved " + at.Format("15:04") + " · changed since"
	case at.IsZero():
		return "as opened"
	}
	return "saved " + at.Format("15:04")
}

// watchAge keeps the ages of stale figures going.
func (w *Window) watchAge() {
	stale := w.job.Mass().Stale || w.job.Machining().Stale || w.job.Sections().Stale || w.job.Findings().Stale ||
		w.job.Quote().Stale || w.job.Cases().Stale
	w.stale = stale
	if !stale || w.ticker != nil {
		return
	}
	w.ticker = time.AfterFunc(oldEnough/2, func() {
		w.opt.Post(func() {
			w.ticker = nil
			if w.stale && !w.closed {
				w.ledger.show(w.figures(), w.open)
				w.view.redraw()
				w.watchAge()
			}
		})
	})
}

// tellTroubles shows faults of the background once.
func (w *Window) tellTroubles() {
	all := w.job.Troubles()
	if len(all) <= w.told {
		return
	}
	err := all[len(all)-1]
	w.told = len(all)
	w.fault(err)
}

// choose selects.
func (w *Window) choose(s selection) {
	if s.stage == "" {
		s.stage = plate.StageStock
	}
	if s != w.sel {
		w.job.EndGesture()
		w.said = ""
	}
	w.sel = s
	w.hints.did(hintSelect)
	w.refresh()
}

// show selects what a finding is about and brings its place into sight.
func (w *Window) show(f finding.Finding) {
	s := selection{stage: f.Stage}
	if f.Feature != 0 {
		s = selectFeature(w.job.Doc(), plate.ID(f.Feature))
	}
	w.choose(s)
	if f.HasWhere {
		w.view.centre(geom.Pt(f.Where[0], f.Where[1]))
	}
}

// tryEdit makes an edit; the error is a sentence for whoever asked.
func (w *Window) tryEdit(e plate.Edit, gesture string) error {
	if err := w.job.Do(e, gesture); err != nil {
		return err
	}
	w.said = ""
	return nil
}

// edit makes an edit and shows the sentence of a refusal in the plate view; it tells whether the edit was made.
func (w *Window) edit(e plate.Edit, gesture string) bool {
	if err := w.tryEdit(e, gesture); err != nil {
		w.say(finding.Words(err))
		return false
	}
	w.hints.did(hintDrag)
	return true
}

// follow selects what a gesture under way has made of the selection.
func (w *Window) follow(s selection) {
	w.sel = s
	w.refresh()
}

// say shows a sentence in the plate view until the next change.
func (w *Window) say(s string) {
	w.said = s
	w.view.redraw()
}

// The rest of what the plate view and the particulars ask of the window.

func (w *Window) doc() plate.Plate                  { return w.job.Doc() }
func (w *Window) lastLayout() *layout.Layout        { return w.job.Layout().Value }
func (w *Window) selected() selection               { return w.sel }
func (w *Window) shownParts() scene.Parts           { return w.parts }
func (w *Window) newGesture() string                { return w.job.NewGesture() }
func (w *Window) endGesture()                       { w.job.EndGesture() }
func (w *Window) abandon(gesture string)            { w.job.Abandon(gesture) }
func (w *Window) later(f func())                    { w.opt.Post(f) }
func (w *Window) placedFindings() []finding.Finding { return w.job.Findings().Value }

func (w *Window) lengthUnit() scene.Unit {
	if w.inch {
		return scene.Inches
	}
	return scene.Millimetres
}

func (w *Window) message() string {
	if w.said != "" {
		return w.said
	}
	if l := w.job.Layout(); l.OK && l.Stale && l.Age(time.Now()) > oldEnough && !w.job.Busy() {
		return "shown as it was before the errors; see the stages marked wrong"
	}
	return w.overlayText()
}

// escape goes one step up: it closes a table, takes an overlay away, goes from a corner, cell or rib to its feature, from a
// feature to its stage.
func (w *Window) escape() {
	s := w.sel
	switch {
	case w.open != tableNone:
		w.openTable(tableNone)
		return
	case w.over != overlay{}:
		w.setOverlay(overlay{})
		return
	case s.part():
		s = selection{stage: s.stage, id: s.id}
	case s.id != 0:
		s = selection{stage: s.stage}
	}
	w.choose(s)
}

// step selects the next (by 1) or previous (by −1) feature or corner of the list that the particulars show, or of the stage.
func (w *Window) step(by int) {
	doc := w.job.Doc()
	s := w.sel
	if s.id != 0 && s.corner == 0 {
		w.sel = selection{stage: s.stage} // the features of the stage, not what one of them lists
	}
	rows := w.listOf(doc)
	w.sel = s
	if len(rows) == 0 {
		return
	}
	at := slices.IndexFunc(rows, func(r listRow) bool { return r.sel.id == s.id && r.sel.corner == s.corner })
	if at < 0 && by < 0 {
		at = 0
	}
	w.choose(rows[(at+by+len(rows))%len(rows)].sel)
}

// enterFields puts the focus into the first field of the particulars.
func (w *Window) enterFields() {
	if len(w.side.bound) > 0 {
		w.win.Canvas().Focus(w.side.bound[0].focus)
	}
}

// shortcut takes what a text field does not want.
func (w *Window) shortcut(s fyne.Shortcut) { w.cmds.byShortcut(w.gate, s) }

// openTable opens the table behind a figure of the ledger, or closes it.
func (w *Window) openTable(v ledgerView) {
	if w.open == v {
		v = tableNone
	}
	w.open = v
	w.drawer.open(v)
	w.hints.did(hintLedger)
	w.refresh()
}

// sample is a sample's document as it is opened here.
func (w *Window) sample(name string) (plate.Plate, error) {
	doc, err := sampleDocument(name)
	if err == nil && w.opt.prepare != nil {
		doc = w.opt.prepare(doc)
	}
	return doc, err
}

// sampleDocument reads a sample; an empty name is the first one.
func sampleDocument(name string) (plate.Plate, error) {
	if name == "" {
		name = samples.Names()[0]
	}
	s, err := samples.Load(name)
	if err != nil {
		return plate.Plate{}, err
	}
	doc, err := plate.Decode(s.Data)
	if err != nil {
		return plate.Plate{}, fmt.Errorf("sample %s: %w", name, err)
	}
	return doc, nil
}

func scratchFolder(app fyne.App) string {
	root := app.Storage().RootURI()
	if root == nil || root.Scheme() != "file" {
		return ""
	}
	return filepath.Join(root.Path(), "unsaved")
}
