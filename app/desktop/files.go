package desktop

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"platewright/app/session"
	"platewright/export/dxf"
	"platewright/export/report"
	"platewright/export/scene"
	sheets "platewright/export/table"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/samples"
)

// start opens what the options ask for and offers what a crash left.
func (w *Window) start() {
	if w.opt.File != "" {
		w.openPath(w.opt.File)
		return
	}
	if rs := session.Recoveries(w.opt.Scratch); len(rs) > 0 {
		w.offer(rs[len(rs)-1])
	}
}

// whenSaved goes on when there is no unsaved work, or when the person has decided about it.
func (w *Window) whenSaved(then func()) {
	if !w.job.Dirty() {
		then()
		return
	}
	ask(w.win.Canvas(), "Save the changes to "+w.job.Title()+"?",
		"There is work in this document that is in no file yet. Without saving it is gone.",
		[]answer{
			{text: "Go on without saving", do: then, danger: true},
			{text: "Cancel", do: func() {}},
			{text: "Save", do: func() { w.save(then) }},
		}, 2, 1)
}

// quit closes the window when the work is safe.
func (w *Window) quit() {
	if w.win.Canvas().Overlays().Top() != nil {
		return // a question is open already
	}
	if f, ok := w.win.Canvas().Focused().(committer); ok {
		f.commitTyped()
	}
	w.whenSaved(func() {
		w.end(true)
		if w.opt.Closing != nil {
			w.opt.Closing()
		}
		w.win.SetCloseIntercept(nil)
		w.win.Close()
	})
}

func (w *Window) newJob() {
	w.whenSaved(func() {
		w.take(session.New(w.config(), plate.New("")), plate.StageStock)
	})
}

func (w *Window) openSample(name string) {
	w.whenSaved(func() {
		doc, err := w.sample(name)
		if err != nil {
			w.fault(err)
			return
		}
		w.opt.Sample = name
		w.take(session.New(w.config(), doc), plate.StageBores)
	})
}

func (w *Window) openFile() {
	w.whenSaved(func() {
		openChooser(w.win.Canvas(), "Open a plate", "Open", w.folder(), "", []string{session.Ext}, false, w.openPath)
	})
}

// folder is where a choice of files begins.
func (w *Window) folder() string {
	if p := w.job.Path(); p != "" {
		return filepath.Dir(p)
	}
	if r := w.recent(); len(r) > 0 {
		return filepath.Dir(r[0])
	}
	return homeFolder()
}

// openPath reads a document in the background and makes it the open job.
func (w *Window) openPath(path string) {
	var f session.File
	w.job.Background("opening "+path, func(context.Context) (err error) {
		f, err = session.Read(path)
		return err
	}, func(err error) {
		if err != nil {
			tell(w.win.Canvas(), "This file cannot be opened", finding.Words(err))
			return
		}
		w.whenSaved(func() { // a slow disk leaves time for more work
			w.take(f.Open(w.config()), plate.StageBores)
			w.remember(f.Path)
			if f.Recovery != nil {
				w.offer(*f.Recovery)
			}
		})
	})
}

// dropped opens the first plate among files dropped on the window.
func (w *Window) dropped(uris []fyne.URI) {
	i := slices.IndexFunc(uris, func(u fyne.URI) bool { return strings.EqualFold(filepath.Ext(u.Path()), session.Ext) })
	if i < 0 {
		w.say("only plate documents (" + session.Ext + ") can be dropped here")
		return
	}
	if w.win.Canvas().Overlays().Top() == nil {
		w.whenSaved(func() { w.openPath(uris[i].Path()) })
	}
}

// offer asks what to do with work that an earlier run kept and never saved.
func (w *Window) offer(r session.Recovery) {
	aside := func() {
		path, err := w.job.SetAside(r)
		if err != nil {
			w.fault(err)
			return
		}
		w.say("kept as " + path)
	}
	if r.Err != nil {
		ask(w.win.Canvas(), "Unsaved work was found, but cannot be read", r.Err.Error(),
			[]answer{{text: "Keep it as a file", do: aside}}, 0, 0)
		return
	}
	ask(w.win.Canvas(), "Unsaved work was found",
		fmt.Sprintf("The program ended before “%s” was saved; its state of %s was kept. Recovering it can be undone.", r.Plate.Name, r.When.Format("2 January 15:04")),
		[]answer{
			{text: "Throw it away", danger: true, do: func() {
				if err := w.job.ThrowAway(r); err != nil {
					w.fault(err)
				}
			}},
			{text: "Keep it as a file", do: aside},
			{text: "Recover", do: func() {
				if err := w.job.Recover(r); err != nil {
					w.fault(err)
				}
			}},
		}, 2, 1)
}

// save writes the document to its file in the background, and goes on with then once it is safe.
func (w *Window) save(then func()) {
	if w.job.Path() == "" {
		w.saveAs(then)
		return
	}
	w.write("", false, then)
}

func (w *Window) saveAs(then func()) {
	name := fileName(w.job.Title()) + session.Ext
	openChooser(w.win.Canvas(), "Save the plate", "Save", w.folder(), name, []string{session.Ext}, true,
		func(path string) { w.write(path, true, then) })
}

// fileName makes a name for a file of a name for people.
func fileName(title string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r == ' ':
			return '-'
		case strings.ContainsRune(`/\:*?"<>|`, r) || r < ' ':
			return -1
		}
		return r
	}, strings.ToLower(strings.TrimSpace(title)))
	if name == "" {
		return "plate"
	}
	return name
}

func (w *Window) write(path string, force bool, then func()) {
	job := w.job
	v, err := job.BeginSave(path, force)
	if err != nil {
		w.say(finding.Words(err))
		return
	}
	job.Background("saving "+v.Path, func(context.Context) error { return v.Write() }, func(err error) {
		job.EndSave(v, err)
		var changed *session.ChangedOnDiskError
		switch {
		case errors.As(err, &changed):
			w.askOverwrite(changed, then)
		case err != nil:
			tell(w.win.Canvas(), "The document was not saved", finding.Words(err))
		default:
			w.remember(v.Path)
			w.say("saved " + v.Path)
			if then != nil {
				w.whenSaved(then) // what was changed during the save is asked about again
			}
		}
	})
}

func (w *Window) askOverwrite(c *session.ChangedOnDiskError, then func()) {
	ask(w.win.Canvas(), "The file was changed by somebody else", c.Error(),
		[]answer{
			{text: "Overwrite it", danger: true, do: func() { w.write("", true, then) }},
			{text: "Cancel", do: func() {}},
			{text: "Save under another name", do: func() { w.saveAs(then) }},
		}, 2, 1)
}

// Recent files.

const keptRecent = 8

func (w *Window) recent() []string { return w.app.Preferences().StringList(prefRecent) }

func (w *Window) remember(path string) {
	list := append([]string{path}, slices.DeleteFunc(w.recent(), func(s string) bool { return s == path })...)
	w.app.Preferences().SetStringList(prefRecent, list[:min(len(list), keptRecent)])
	w.fillRecent()
	w.cmds.menu.Refresh()
}

func (w *Window) fillRecent() {
	items := []*fyne.MenuItem{}
	for _, p := range w.recent() {
		c := &command{label: always(p), do: func() { w.whenSaved(func() { w.openPath(p) }) }}
		items = append(items, w.gate.menuItem(c))
	}
	w.cmds.recent.ChildMenu.Items = items
	w.cmds.recent.Disabled = len(items) == 0
}

// exported is one file that an export writes.
type exported struct {
	path string
	data []byte
}

// export asks for a name and writes a file in the background: make gets a fresh frame of the document without errors.
func (w *Window) export(heading, name string, exts []string, make func(ctx context.Context, r report.Report, path string) ([]byte, error)) {
	w.exportFiles(heading, name, exts, func(ctx context.Context, r report.Report, path string) ([]exported, error) {
		data, err := make(ctx, r, path)
		return []exported{{path, data}}, err
	})
}

// exportFiles is export for what may be several files. All are made before the first is written.
func (w *Window) exportFiles(heading, name string, exts []string, make func(ctx context.Context, r report.Report, path string) ([]exported, error)) {
	doc, profile := w.job.Doc(), w.job.Profile()
	openChooser(w.win.Canvas(), heading, "Export", w.folder(), name, exts, true, func(path string) {
		w.say("writing " + path + " …")
		done := "written to " + path
		w.job.Background("writing "+path, func(ctx context.Context) error {
			// No sheet or drawing holds the load cases, so that none waits for their analysis.
			r, err := report.Frame(ctx, report.Inputs{Plate: doc, Profile: profile, Want: report.All &^ report.Stress})
			if err != nil {
				return err
			}
			if n := finding.Count(r.Findings(), finding.Error); n > 0 || !r.Layout.OK {
				return fmt.Errorf("%s was not written, because the plate has errors: %d; see the stages marked wrong", filepath.Base(path), n)
			}
			files, err := make(ctx, r, path)
			if err != nil {
				return fmt.Errorf("%s was not written: %w", filepath.Base(path), err)
			}
			if len(files) > 1 {
				done = plural(len(files), "file") + " written, " + filepath.Base(files[0].path) + " first, in " + filepath.Dir(path)
			}
			for _, f := range files {
				if err := plate.WriteFile(f.path, f.data); err != nil {
					return err
				}
			}
			return nil
		}, func(err error) {
			if err != nil {
				w.said = ""
				tell(w.win.Canvas(), "Nothing was written", finding.Words(err))
				return
			}
			w.say(done)
		})
	})
}

// exportPanels writes a drawing of every different inlay panel, with its number behind the name where there are several.
func (w *Window) exportPanels() {
	if l := w.job.Layout(); l.OK && !l.Stale && len(l.Value.Panels) == 0 {
		w.say("the plate has no inlay panels; add an inlay under Pockets first")
		return
	}
	w.exportFiles("Export the inlay panels, in millimetres", fileName(w.job.Title())+"-panel.dxf", []string{".dxf"},
		func(_ context.Context, r report.Report, path string) ([]exported, error) {
			shapes := dxf.Panels(r.Layout.Value)
			var out []exported
			for _, s := range shapes {
				to := path
				if len(shapes) > 1 {
					to = strings.TrimSuffix(path, filepath.Ext(path)) + fmt.Sprintf("-%d-of-%d.dxf", s.Number, len(shapes))
					if _, err := os.Stat(to); err == nil {
						return nil, fmt.Errorf("%s is there already; choose another name or folder", filepath.Base(to))
					}
				}
				var b bytes.Buffer
				if err := dxf.Write(&b, r.Layout.Value, dxf.Options{Panel: s.Number}); err != nil {
					return nil, err
				}
				out = append(out, exported{to, b.Bytes()})
			}
			if len(out) == 0 {
				return nil, errors.New("the plate has no inlay panels; add an inlay under Pockets first")
			}
			return out, nil
		})
}

func (w *Window) exportDXF(side plate.Side) {
	name := fileName(w.job.Title()) + "-" + string(side) + ".dxf"
	w.export("Export the drawing of the "+string(side)+" face, in millimetres", name, []string{".dxf"},
		func(_ context.Context, r report.Report, _ string) ([]byte, error) {
			var b bytes.Buffer
			err := dxf.Write(&b, r.Layout.Value, dxf.Options{Side: side})
			return b.Bytes(), err
		})
}

func (w *Window) exportPicture() {
	parts, unit, side := w.parts, w.lengthUnit(), w.view.cam.Side
	w.export("Export a picture", fileName(w.job.Title())+".png", []string{".png", ".svg"},
		func(_ context.Context, r report.Report, path string) ([]byte, error) {
			o := scene.PictureOptions{
				Theme: scene.Light(), Side: side, Show: parts, Unit: unit, Scale: 2, Title: r.Plate.Name,
				Caution: strings.Join(report.Cautions(), " "), Findings: r.Findings(),
			}
			if r.Mass.OK {
				o.Lines = []string{fmt.Sprintf("mass %.3f kg, revision %s", r.Mass.Value.MassKG, r.Key.Revision[:12])}
			}
			var b bytes.Buffer
			if strings.EqualFold(filepath.Ext(path), ".svg") {
				o.Scale = 1
				err := scene.WriteSVG(&b, r.Layout.Value, o)
				return b.Bytes(), err
			}
			err := scene.WritePNG(&b, r.Layout.Value, o)
			return b.Bytes(), err
		})
}

func (w *Window) exportCard() {
	w.exportSheet("Export the route card", "-route-card.pdf", sheets.RouteCardPDF,
		func(out io.Writer, r report.Report) error { return r.RouteCard(out) })
}

func (w *Window) exportQuote() {
	w.exportSheet("Export the quote", "-quote.pdf", sheets.QuotePDF, sheets.QuoteCSV)
}

// exportSweep writes the EI and GJ along the plate that were computed last, as long as they are of the plate as it is.
func (w *Window) exportSweep() {
	a, ok := w.sweep()
	switch {
	case !ok:
		w.say("EI and GJ along the plate have not been computed; ask for them in the Job menu first")
		return
	case a.Stale:
		w.say("the plate has changed since EI and GJ were computed; ask for them again in the Job menu, then save them")
		return
	}
	w.export("Export EI and GJ from "+a.Sweep.FromName+" to "+a.Sweep.ToName, fileName(w.job.Title())+"-ei-gj.csv", []string{".csv"},
		func(_ context.Context, r report.Report, _ string) ([]byte, error) {
			if !a.Of(r) {
				return nil, errors.New("the plate has changed since EI and GJ were computed; ask for them again in the Job menu")
			}
			var b bytes.Buffer
			err := report.WriteSweep(&b, a.Swept)
			return b.Bytes(), err
		})
}

// exportSheet writes a sheet of the whole report, as PDF or as CSV by the ending of the name.
func (w *Window) exportSheet(heading, ending string, pdf func(io.Writer, report.Report, sheets.Sheet) error, csv func(io.Writer, report.Report) error) {
	w.export(heading, fileName(w.job.Title())+ending, []string{".pdf", ".csv"},
		func(ctx context.Context, r report.Report, path string) ([]byte, error) {
			full, err := r.Follow(ctx)
			if err != nil {
				return nil, err
			}
			var b bytes.Buffer
			if strings.EqualFold(filepath.Ext(path), ".csv") {
				err = csv(&b, full)
			} else {
				err = pdf(&b, full, sheets.Sheet{Date: time.Now().Format(time.DateOnly)})
			}
			return b.Bytes(), err
		})
}

// fault shows an error that nobody asked for, with its report to copy where there is one.
func (w *Window) fault(err error) {
	var p *session.PanicError
	if !errors.As(err, &p) {
		tell(w.win.Canvas(), "Something needs your attention", finding.Words(err))
		return
	}
	ask(w.win.Canvas(), "A fault of the program", p.Error(), []answer{
		{text: "Copy the report", do: func() {
			w.app.Clipboard().SetContent(fmt.Sprintf("%s\n%s\n%v\n%s", report.Version(), p.Doing, p.Value, p.Stack))
		}},
		{text: "Close", do: func() {}},
	}, 1, 1)
}

func (w *Window) tellKeys() {
	tell(w.win.Canvas(), "Keys and pointer", strings.Join([]string{
		"Drag a bore, a hole or a handle to move it: it snaps to whole millimetres and to others; Shift moves freely, Escape puts it back.",
		"Drag empty space, or hold the middle button, to move the paper. The wheel zooms at the pointer. Home shows the whole plate.",
		"With the plate in focus the arrow keys move what is selected by 1 mm, with Shift by 10, with Alt by 0.1; Delete deletes it, Escape goes one step up.",
		"Page Down and Page Up go from feature to feature of the stage; Enter goes into the first field, Tab to the next, and Ctrl+1 to Ctrl+9 to the stages of the job sheet.",
		"The right button offers what can be added at its place; the Add menu puts new things where the plate was last pressed. With the outline or a boundary selected, drag the middle of a side to put a corner there.",
		"In a field Enter or leaving it takes the number, Escape puts the old one back, arrow keys and wheel step it. It reads 3/8 in, 2*12.5, 1.2 m, (20+5)/2.",
	}, "\n\n"))
}

func (w *Window) tellSample() {
	name := w.opt.Sample
	if name == "" {
		name = samples.Names()[0]
	}
	s, err := samples.Load(name)
	if err != nil {
		w.fault(err)
		return
	}
	tell(w.win.Canvas(), s.Title, s.Text)
}

func (w *Window) tellAbout() {
	tell(w.win.Canvas(), "Platewright "+report.Version(),
		"Flat aluminium frame plates: mass, sections and machining minutes on every edit, and the drawing for the shop.\n\n"+
			strings.Join(report.Cautions(), "\n\n"))
}
