package desktop

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"platewright/plate"
	"platewright/plate/finding"
)

// particulars shows everything about what is selected: its fields, what it weighs and costs, what can be done with it, and
// what was found. Each part is built once and updated in place; it is built again only when its own shape changes, so that
// a field that is being typed in stays while the plate is dragged.
type particulars struct {
	host   formHost
	scroll *container.Scroll
	object fyne.CanvasObject
	title  *line

	fields   part
	facts    part
	actions  part
	list     part
	findings part

	bound []boundField
	now   []*line // the facts' texts
	sel   selection
}

// formHost is what the particulars need of the window.
type formHost interface {
	choose(selection)
	tryEdit(e plate.Edit, gesture string) error
	newGesture() string
	shortcut(fyne.Shortcut)
	show(finding.Finding)
	say(string)
	fixText(finding.Finding) string // of the button that clears a finding, empty for none
	applyFix(finding.Finding)
}

// part is a stretch of the particulars with the shape that it was built for.
type part struct {
	box   *fyne.Container
	shape string
}

// rebuild tells whether the part must be built for a new shape, and empties it then.
func (p *part) rebuild(shape string) bool {
	if p.shape == shape {
		return false
	}
	p.shape = shape
	p.box.RemoveAll()
	return true
}

// boundField keeps a widget in step with the document.
type boundField struct {
	key   string
	pull  func(plate.Plate)
	focus fyne.Focusable
}

// sideMargin is kept left and right of everything in the particulars.
const sideMargin = 18

func newParticulars(h formHost) *particulars {
	p := &particulars{host: h, title: newBold("", sizeHeading, toneInk)}
	for _, q := range []*part{&p.fields, &p.facts, &p.actions, &p.list, &p.findings} {
		q.box = container.New(stack{gap: 9})
	}
	p.list.box.Layout, p.facts.box.Layout, p.actions.box.Layout = stack{}, stack{gap: 2}, stack{}
	body := container.New(stack{gap: 14}, p.title, p.fields.box, p.facts.box, p.list.box, p.actions.box, p.findings.box)
	p.scroll = container.NewVScroll(container.New(inset{sideMargin, 6}, body))
	head := container.New(inset{sideMargin, 10}, newLine("Particulars", sizeSmall, toneQuiet))
	p.object = container.New(headed{}, head, p.scroll)
	return p
}

// content is what the particulars show, gathered by the window.
type content struct {
	sel      selection
	doc      plate.Plate
	title    string
	fields   []plate.Field
	facts    []fact
	actions  []action
	list     []listRow
	findings []finding.Finding
	inches   bool
}

// fact is one line of what is known about the selection.
type fact struct {
	text string
	tone tone
}

// action is one thing that can be done with the selection.
type action struct {
	text string
	do   func()
}

// listRow is one feature, or corner, that can be selected.
type listRow struct {
	name, value string
	sel         selection
}

// show brings everything up to date.
func (p *particulars) show(c content) {
	moved := c.sel != p.sel
	p.sel = c.sel
	p.title.set(c.title, toneInk)
	p.showFields(c)
	p.showFacts(c.facts)
	p.showActions(c.actions)
	p.showList(c.list)
	p.showFindings(c.findings)
	if moved {
		p.scroll.ScrollToTop()
	}
	p.scroll.Content.Refresh()
}

func (p *particulars) showFields(c content) {
	var shape strings.Builder
	for _, f := range c.fields {
		shape.WriteString(f.Key + "\x00" + string(f.Kind) + "\x00" + f.Unit + "\x00" + strings.Join(f.Choices, "\x01") + "\x02")
	}
	key := shape.String() + selectionKey(c.sel)
	if c.inches {
		key += "in"
	}
	if p.fields.shape != key {
		had := p.focusedKey()
		p.fields.rebuild(key)
		p.bound = nil
		p.buildFields(c)
		p.refocus(had)
	}
	for _, b := range p.bound {
		b.pull(c.doc)
	}
	visible(p.fields.box, len(c.fields) > 0)
}

// selectionKey tells selections apart for the fields: another feature has other fields even where they look alike.
func selectionKey(s selection) string {
	return fmt.Sprintf("%s/%d/%d/%v%v/%v%v", s.stage, s.id, s.corner, s.onCell, s.cell, s.onRib, s.rib)
}

// focusedKey is the key of the field that has the focus.
func (p *particulars) focusedKey() string {
	cv := fyne.CurrentApp().Driver().CanvasForObject(p.scroll)
	if cv == nil || cv.Focused() == nil {
		return ""
	}
	for _, b := range p.bound {
		if b.focus == cv.Focused() {
			return b.key
		}
	}
	return ""
}

func (p *particulars) refocus(key string) {
	cv := fyne.CurrentApp().Driver().CanvasForObject(p.scroll)
	if key == "" || cv == nil {
		return
	}
	for _, b := range p.bound {
		if b.key == key {
			cv.Focus(b.focus)
		}
	}
}

// valuesOfMaterial begins the keys of what stands apart at the end.
const valuesOfMaterial = "material."

func (p *particulars) buildFields(c content) {
	var last []plate.Field
	rows := make([]fyne.CanvasObject, 0, len(c.fields))
	in := ""
	for i := 0; i < len(c.fields); i++ {
		f := c.fields[i]
		if strings.HasPrefix(strings.TrimPrefix(f.Key, "stock."), valuesOfMaterial) && f.Kind == plate.FieldNumber {
			last = append(last, f)
			continue
		}
		if prefix, heading := group(f.Key); prefix != in {
			in = prefix
			if heading != "" {
				rows = append(rows, p.heading(f.Key, heading))
			} else {
				rows = append(rows, newRule())
			}
		}
		row := p.build(f, c.inches)
		if i+1 < len(c.fields) && isPair(f, c.fields[i+1]) {
			i++
			row = sideBySide(row, p.build(c.fields[i], c.inches))
		}
		rows = append(rows, row)
	}
	if len(last) > 0 {
		rows = append(rows, newBold("Values of the material", sizeText, toneInk))
	}
	for _, f := range last {
		rows = append(rows, p.build(f, c.inches))
	}
	p.fields.box.Objects = rows
}

// heading stands above a stretch of fields; that of a list's entry has the word that takes it out.
func (p *particulars) heading(key, text string) fyne.CanvasObject {
	h := newBold(text, sizeText, toneInk)
	list, i, ok := entryOf(key)
	if !ok {
		return h
	}
	word := newLine("Remove", sizeSmall, toneAccent)
	word.tight = true
	id := p.sel.id
	remove := newClickable(word, fyne.NewSize(innerPad(), 3), func() {
		if err := p.host.tryEdit(removeEntry(id, list, i), ""); err != nil {
			p.host.say(finding.Words(err))
		}
	})
	return container.NewBorder(nil, nil, nil, remove, h)
}

// isPair tells whether two fields are the x and y of one point.
func isPair(a, b plate.Field) bool {
	return a.Unit == "mm" && (a.Label == "x" || strings.HasPrefix(a.Label, "x ")) && "y"+a.Label[1:] == b.Label ||
		a.Label == "width" && b.Label == "height"
}

// build makes the widget of one field.
func (p *particulars) build(f plate.Field, inches bool) fyne.CanvasObject {
	switch f.Kind {
	case plate.FieldBool:
		return p.buildCheck(f)
	case plate.FieldChoice:
		return p.buildChoice(f)
	case plate.FieldText:
		return p.buildText(f)
	}
	return p.buildNumber(f, inches)
}

func (p *particulars) buildNumber(f plate.Field, inches bool) fyne.CanvasObject {
	kind := quantityOf(f.Unit, inches)
	if f.Kind == plate.FieldCount {
		kind = count()
	}
	l := limits{min: f.Min, max: f.Max, set: true, above: f.MinOpen, below: f.MaxOpen, why: f.Why}
	row, n := newNumberField(upperFirst(f.Label), kind, l, stepOf(f, inches))
	n.commit = func(v float64, gesture string) error { return p.host.tryEdit(f.SetNumber(v), gesture) }
	n.gesture, n.forward, n.outer = p.host.newGesture, p.host.shortcut, p.scroll
	row.resized = func() { p.scroll.Content.Refresh() }
	p.bound = append(p.bound, boundField{f.Key, func(d plate.Plate) { n.set(f.Number(d)) }, n})
	return row
}

// stepOf is what one press of an arrow key adds, in the unit shown.
func stepOf(f plate.Field, inches bool) float64 {
	switch {
	case f.Key == "tolerance_mm":
		return 0.01
	case f.Unit == "mm" && inches:
		return 0.05
	case f.Unit == "kg":
		return 0.05
	case f.Unit == "N":
		return 50
	case f.Key == "bulge", strings.HasSuffix(f.Key, "factor"), strings.HasSuffix(f.Key, "growth_mm"):
		return 0.1
	case f.Unit == "N·mm²":
		return 10
	case f.Unit == "mm²", f.Unit == "kg/m³":
		return 10
	case f.Label == "Young's modulus":
		return 1000
	case f.Label == "Poisson's ratio":
		return 0.01
	}
	return 1
}

func (p *particulars) buildText(f plate.Field) fyne.CanvasObject {
	row, e := newTextField(upperFirst(f.Label))
	e.commit = func(s string) error { return p.host.tryEdit(f.SetText(s), "") }
	e.forward = p.host.shortcut
	row.resized = func() { p.scroll.Content.Refresh() }
	p.bound = append(p.bound, boundField{f.Key, func(d plate.Plate) { e.set(f.Text(d)) }, e})
	return row
}

func (p *particulars) buildChoice(f plate.Field) fyne.CanvasObject {
	c := newChoiceField(upperFirst(f.Label), f.Choices)
	c.commit = func(s string) error { return p.host.tryEdit(f.SetText(s), "") }
	c.resized = func() { p.scroll.Content.Refresh() }
	p.bound = append(p.bound, boundField{f.Key, func(d plate.Plate) { c.set(f.Text(d)) }, c.sel})
	return c.fieldRow
}

func (p *particulars) buildCheck(f plate.Field) fyne.CanvasObject {
	k := widget.NewCheck(upperFirst(f.Label), nil)
	silent := false
	k.OnChanged = func(on bool) {
		if silent {
			return
		}
		v := 0.0
		if on {
			v = 1
		}
		if p.host.tryEdit(f.SetNumber(v), "") != nil {
			silent = true
			k.SetChecked(!on)
			silent = false
		}
	}
	pull := func(d plate.Plate) {
		silent = true
		k.SetChecked(f.Number(d) == 1)
		silent = false
	}
	p.bound = append(p.bound, boundField{f.Key, pull, k})
	return container.New(inset{-innerPad(), 0}, k)
}

func (p *particulars) showFacts(fs []fact) {
	if p.facts.rebuild(strings.Repeat("|", len(fs))) {
		p.now = nil
		for range fs {
			l := newLine("", sizeText-1, toneInk)
			p.now = append(p.now, l)
			p.facts.box.Add(l)
		}
	}
	for i, f := range fs {
		p.now[i].set(f.text, f.tone)
	}
	visible(p.facts.box, len(fs) > 0)
}

func (p *particulars) showActions(as []action) {
	shape := selectionKey(p.sel)
	for _, a := range as {
		shape += "\x00" + a.text
	}
	if p.actions.rebuild(shape) {
		for _, a := range as {
			p.actions.box.Add(container.New(inset{-sideMargin, 0}, newWordButton(a.text, a.do)))
		}
	}
	visible(p.actions.box, len(as) > 0)
}

func (p *particulars) showList(rows []listRow) {
	shape := ""
	for _, r := range rows {
		shape += r.name + "\x00" + selectionKey(r.sel) + "\x01"
	}
	if p.list.rebuild(shape) {
		for _, r := range rows {
			name, value := newLine(r.name, sizeText, toneInk), newLine(r.value, sizeText, toneQuiet)
			value.align = fyne.TextAlignTrailing
			c := newClickable(container.New(listLine{}, name, value), fyne.NewSize(sideMargin, 4), nil)
			c.onPress = func() { p.host.choose(r.sel) }
			p.list.box.Add(container.New(inset{-sideMargin, 0}, c))
		}
	}
	for i, r := range rows {
		c := p.list.box.Objects[i].(*fyne.Container).Objects[0].(*clickable)
		c.content.(*fyne.Container).Objects[1].(*line).set(r.value, toneQuiet)
		c.choose(r.sel == p.sel)
	}
	visible(p.list.box, len(rows) > 0)
}

// listLine is a name with a value at the right: both get what they need, the name first.
type listLine struct{}

func (listLine) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(100, o[0].MinSize().Height)
}

func (listLine) Layout(o []fyne.CanvasObject, s fyne.Size) {
	const gap = 10
	need := o[0].(*line).width() + 1
	left := min(need, s.Width*0.7)
	o[0].Resize(fyne.NewSize(left, s.Height))
	o[1].Move(fyne.NewPos(left+gap, 0))
	o[1].Resize(fyne.NewSize(max(s.Width-left-gap, 0), s.Height))
}

// shownFindings bounds how many findings stand in the particulars; the ledger's table lists all.
const shownFindings = 12

func (p *particulars) showFindings(fs []finding.Finding) {
	more := len(fs) - shownFindings
	fs = fs[:min(len(fs), shownFindings)]
	shape := ""
	for _, f := range fs {
		shape += string(f.Level) + f.What + f.Fix + "\x01" + p.host.fixText(f) + "\x00"
	}
	if p.findings.rebuild(shape) && len(fs) > 0 {
		p.findings.box.Add(newRule())
		for _, f := range fs {
			p.findings.box.Add(p.findingRow(f))
		}
		if more > 0 {
			p.findings.box.Add(newLine("and "+plural(more, "more finding"), sizeSmall, toneQuiet))
		}
	}
	visible(p.findings.box, len(fs) > 0)
}

// findingRow is a finding in full; a press goes to its place.
func (p *particulars) findingRow(f finding.Finding) fyne.CanvasObject {
	word, t := levelWord(f.Level)
	small := func(s string, imp widget.Importance) *widget.Label {
		l := newParagraph(s)
		l.SizeName, l.Importance = captionSize, imp
		return l
	}
	box := container.New(stack{gap: -8})
	box.Add(container.New(inset{innerPad(), 6}, newBold(word, sizeSmall, t)))
	box.Add(small(upperFirst(f.What), widget.MediumImportance))
	if f.Why != "" {
		box.Add(small("Why: "+f.Why, widget.LowImportance))
	}
	if f.Fix != "" {
		box.Add(small("Do: "+f.Fix, widget.LowImportance))
	}
	c := newClickable(box, fyne.NewSize(sideMargin-innerPad(), 0), func() { p.host.show(f) })
	text := p.host.fixText(f)
	if text == "" {
		return container.New(inset{-sideMargin, 0}, c)
	}
	b := newWordButton(text, func() { p.host.applyFix(f) })
	return container.New(inset{-sideMargin, 0}, container.New(stack{}, c, b))
}

// levelWord is a finding's level in the words of the job sheet.
func levelWord(l finding.Level) (string, tone) {
	switch l {
	case finding.Error:
		return "wrong", toneWrong
	case finding.Warning:
		return "look", toneLook
	}
	return "note", toneQuiet
}

func visible(o fyne.CanvasObject, on bool) {
	if on != o.Visible() {
		if on {
			o.Show()
		} else {
			o.Hide()
		}
	}
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
