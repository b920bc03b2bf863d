package desktop

import (
	"slices"
	"strconv"

	"fyne.io/fyne/v2"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/samples"
)

// commands are the window's commands and its menu.
type commands struct {
	all  []*command
	menu *fyne.MainMenu

	recent *fyne.MenuItem // its submenu changes
}

// update brings every item up to date and tells whether any changed.
func (c *commands) update() bool {
	changed := false
	for _, k := range c.all {
		changed = k.update() || changed
	}
	return changed
}

// byShortcut runs the command of a shortcut.
func (c *commands) byShortcut(g gate, s fyne.Shortcut) {
	for _, k := range c.all {
		if k.key != nil && k.key.ShortcutName() == s.ShortcutName() {
			g.run(k)
			return
		}
	}
}

func (w *Window) command(label func() string, key fyne.Shortcut, do func(), enabled func() bool) *command {
	c := &command{label: label, key: key, do: do, enabled: enabled}
	w.cmds.all = append(w.cmds.all, c)
	return c
}

// item makes a command with a fixed label and its menu item.
func (w *Window) item(label string, key fyne.Shortcut, do func()) *fyne.MenuItem {
	return w.gate.menuItem(w.command(always(label), key, do, nil))
}

func (w *Window) buildCommands() {
	w.cmds.menu = fyne.NewMainMenu(
		fyne.NewMenu("File", w.fileItems()...),
		fyne.NewMenu("Edit", w.editItems()...),
		fyne.NewMenu("Add", w.addItems()...),
		fyne.NewMenu("View", w.viewItems()...),
		fyne.NewMenu("Job", w.jobItems()...),
		fyne.NewMenu("Help", w.helpItems()...),
	)
	// A second key for redo, where no text has the focus.
	again := ctrlShift(fyne.KeyZ)
	w.win.Canvas().AddShortcut(again, func(fyne.Shortcut) { w.cmds.byShortcut(w.gate, &fyne.ShortcutRedo{}) })
}

func (w *Window) fileItems() []*fyne.MenuItem {
	sample := fyne.NewMenuItem("Open a sample", nil)
	sample.ChildMenu = fyne.NewMenu("")
	for _, n := range samples.Names() {
		s, err := samples.Load(n)
		if err != nil {
			continue // a damaged sample is the build's trouble; its test says so
		}
		sample.ChildMenu.Items = append(sample.ChildMenu.Items, w.item(s.Title, nil, func() { w.openSample(n) }))
	}
	w.cmds.recent = fyne.NewMenuItem("Open again", nil)
	w.cmds.recent.ChildMenu = fyne.NewMenu("")
	w.fillRecent()
	items := []*fyne.MenuItem{
		w.item("New", ctrl(fyne.KeyN), w.newJob),
		w.item("Open…", ctrl(fyne.KeyO), w.openFile),
		sample, w.cmds.recent,
		fyne.NewMenuItemSeparator(),
		w.item("Save", ctrl(fyne.KeyS), func() { w.save(nil) }),
		w.item("Save as…", ctrlShift(fyne.KeyS), func() { w.saveAs(nil) }),
		fyne.NewMenuItemSeparator(),
		w.item("Export drawing, top face (DXF)…", ctrl(fyne.KeyE), func() { w.exportDXF(plate.Top) }),
		w.item("Export drawing, bottom face (DXF)…", nil, func() { w.exportDXF(plate.Bottom) }),
		w.item("Export picture (PNG, SVG)…", nil, w.exportPicture),
		w.item("Export inlay panels (DXF)…", nil, w.exportPanels),
		w.item("Export route card (PDF, CSV)…", nil, w.exportCard),
		w.item("Export quote (PDF, CSV)…", nil, w.exportQuote),
		w.gate.menuItem(w.command(always("Export EI and GJ along the plate (CSV)…"), nil, w.exportSweep, w.hasSweep)),
		fyne.NewMenuItemSeparator(),
	}
	quit := w.item("Quit", ctrl(fyne.KeyQ), w.quit)
	quit.IsQuit = true
	return append(items, quit)
}

func (w *Window) editItems() []*fyne.MenuItem {
	undo := w.command(func() string {
		if l, ok := w.job.UndoLabel(); ok {
			return "Undo " + l
		}
		return "Undo"
	}, &fyne.ShortcutUndo{}, func() { w.said = ""; w.job.Undo() }, func() bool { _, ok := w.job.UndoLabel(); return ok })
	undo.text = &fyne.ShortcutUndo{}
	redo := w.command(func() string {
		if l, ok := w.job.RedoLabel(); ok {
			return "Redo " + l
		}
		return "Redo"
	}, &fyne.ShortcutRedo{}, func() { w.said = ""; w.job.Redo() }, func() bool { _, ok := w.job.RedoLabel(); return ok })
	redo.text = &fyne.ShortcutRedo{}
	del := w.command(func() string {
		switch {
		case !w.canDelete():
			return "Delete"
		case w.sel.corner > 0:
			what := "corner"
			if w.sel.id == 0 {
				what = cornerWord(w.job.Doc().Outline.Kind)
			}
			return "Delete " + what + " " + strconv.Itoa(w.sel.corner)
		}
		return "Delete " + w.selectedName()
	}, nil, w.deleteSelected, w.canDelete)
	another := w.command(always("Another like it"), ctrl(fyne.KeyD), w.duplicateSelected,
		func() bool { return w.sel.id != 0 && !w.sel.part() })
	return slices.Concat([]*fyne.MenuItem{
		w.gate.menuItem(undo), w.gate.menuItem(redo), fyne.NewMenuItemSeparator(),
	}, w.clipItems(), []*fyne.MenuItem{
		w.gate.menuItem(another), w.gate.menuItem(del),
	})
}

// clipItems are cut, copy and paste: of text where a text has the focus, else of the selected feature.
func (w *Window) clipItems() []*fyne.MenuItem {
	clip := w.app.Clipboard()
	onFeature := func() bool { return w.sel.id != 0 && !w.sel.part() }
	cut := w.command(always("Cut"), &fyne.ShortcutCut{}, func() { w.copySelected(); w.deleteSelected() }, onFeature)
	cut.text = &fyne.ShortcutCut{Clipboard: clip}
	dup := w.command(always("Copy"), &fyne.ShortcutCopy{}, w.copySelected, onFeature)
	dup.text = &fyne.ShortcutCopy{Clipboard: clip}
	paste := w.command(func() string {
		if w.clip.name != "" {
			return "Paste " + w.clip.name
		}
		return "Paste"
	}, &fyne.ShortcutPaste{}, w.paste, nil)
	paste.text = &fyne.ShortcutPaste{Clipboard: clip}
	return []*fyne.MenuItem{w.gate.menuItem(cut), w.gate.menuItem(dup), w.gate.menuItem(paste)}
}

func (w *Window) viewItems() []*fyne.MenuItem {
	unit := w.command(func() string {
		if w.inch {
			return "Show millimetres"
		}
		return "Show inches"
	}, nil, func() { w.setInches(!w.inch) }, nil)
	face := w.command(func() string {
		if w.view.cam.Side == plate.Bottom {
			return "Top face"
		}
		return "Bottom face"
	}, ctrl(fyne.KeyB), func() { w.view.turn(); w.refresh() }, nil)
	return slices.Concat([]*fyne.MenuItem{
		w.item("Fit the plate", ctrl(fyne.Key0), func() { w.view.fit() }),
		w.item("Closer", ctrl(fyne.KeyEqual), func() { w.view.zoomBy(1.25) }),
		w.item("Farther", ctrl(fyne.KeyMinus), func() { w.view.zoomBy(0.8) }),
		w.gate.menuItem(face),
		fyne.NewMenuItemSeparator(),
		w.toggle("names of bores", scene.Names), w.toggle("axes", scene.Axes), w.toggle("findings", scene.Findings),
		w.toggle("cut lines", scene.CutLines), w.toggle("legend", scene.Legend),
		w.toggle("adjusters", scene.Adjusters), w.toggle("inlays", scene.Inlays),
		fyne.NewMenuItemSeparator(),
	}, w.overlayItems(), []*fyne.MenuItem{
		fyne.NewMenuItemSeparator(),
		w.gate.menuItem(unit),
		w.item("Light paper", nil, func() { w.setPaper(lightPaper) }),
		w.item("Dark paper", nil, func() { w.setPaper(darkPaper) }),
		w.item("Paper as the system has it", nil, func() { w.setPaper(followSystem) }),
	})
}

// toggle shows or hides a part of the drawing.
func (w *Window) toggle(what string, p scene.Parts) *fyne.MenuItem {
	return w.gate.menuItem(w.command(func() string {
		if w.parts&p != 0 {
			return "Hide " + what
		}
		return "Show " + what
	}, nil, func() { w.parts ^= p; w.refresh() }, nil))
}

func (w *Window) jobItems() []*fyne.MenuItem {
	var items []*fyne.MenuItem
	keys := []fyne.KeyName{fyne.Key1, fyne.Key2, fyne.Key3, fyne.Key4, fyne.Key5, fyne.Key6, fyne.Key7, fyne.Key8, fyne.Key9}
	for i, s := range stages {
		var key fyne.Shortcut
		if i < len(keys) {
			key = ctrl(keys[i])
		}
		items = append(items, w.item(strconv.Itoa(i+1)+"  "+s.title, key, func() { w.choose(selection{stage: s.stage}) }))
	}
	request := fyne.NewMenuItem("Stiffness on request", nil)
	request.ChildMenu = fyne.NewMenu("", w.askedItems()...)
	items = append(items,
		fyne.NewMenuItemSeparator(),
		w.item("Mass by owner", nil, func() { w.openTable(tableMass) }),
		w.item("Route card", nil, func() { w.openTable(tableCard) }),
		w.item("Price, line by line", nil, func() { w.openTable(tablePrice) }),
		w.item("Sections", nil, func() { w.openTable(tableSections) }),
		w.gate.menuItem(w.command(always("Load cases"), nil, func() { w.openTable(tableCases) }, func() bool { return len(w.job.Doc().Cases) > 0 })),
		w.gate.menuItem(w.command(always("Joints, seats and floors"), nil, func() { w.openTable(tableJoints) }, func() bool { return len(w.job.Doc().Cases) > 0 })),
		w.gate.menuItem(w.command(w.solidLabel, nil, w.toggleSolid, func() bool { return len(w.job.Doc().Cases) > 0 })),
		request,
		w.item("Findings", nil, func() { w.openTable(tableFindings) }),
		w.gate.menuItem(w.command(always("Settings"), nil, func() { w.openTable(tableSettings) }, func() bool { return hasAdjusters(w.job.Doc()) })),
		fyne.NewMenuItemSeparator(),
		w.item("Show differences from here on", nil, func() { w.job.SetBaseline() }))
	return items
}

func (w *Window) helpItems() []*fyne.MenuItem {
	return []*fyne.MenuItem{
		w.item("Show the hint again", nil, func() { w.hints.set(hintSelect) }),
		w.item("Keys and pointer", nil, w.tellKeys),
		w.item("What this sample shows", nil, w.tellSample),
		w.item("About Platewright", nil, w.tellAbout),
	}
}

// Preferences of the person, kept by the toolkit.
const (
	prefInches = "inches"
	prefPaper  = "paper"
	prefRecent = "recent"
)

func (w *Window) setInches(on bool) {
	w.inch = on
	w.app.Preferences().SetBool(prefInches, on)
	w.refresh()
}

func (w *Window) setPaper(a appearance) {
	w.app.Preferences().SetString(prefPaper, string(a))
	w.app.Settings().SetTheme(paperTheme{want: a})
	w.win.Content().Refresh()
	w.refresh()
}
