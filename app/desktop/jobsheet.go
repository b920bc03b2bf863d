package desktop

import (
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/quote"
	"platewright/plate/route"
)

// jobSheet lists the stages in the order in which a plate is decided, each with its state as a word.
type jobSheet struct {
	title, state *line
	head         *clickable
	rows         []*stageRow
	object       fyne.CanvasObject
	choose       func(selection)
	cv           func() fyne.Canvas
}

type stageRow struct {
	stage   string
	press   *clickable
	state   *line
	summary *line
}

func newJobSheet(choose func(selection), cv func() fyne.Canvas) *jobSheet {
	s := &jobSheet{choose: choose, cv: cv, title: newBold("", sizeText+1, toneInk), state: newLine("", sizeSmall, toneQuiet)}
	s.head = newClickable(container.New(stack{gap: 1}, s.title, s.state), fyne.NewSize(18, 10),
		func() { choose(selection{stage: stageJob}) })
	s.head.onArrow = func(by int) { s.focus(by - 1) }
	list := container.New(stack{})
	for i, st := range stages {
		list.Add(s.newRow(i, st.stage, st.title))
	}
	s.object = container.New(headed{}, container.New(stack{}, s.head, container.New(inset{18, 0}, newRule()), gapOf(4)),
		container.NewVScroll(list))
	return s
}

func (s *jobSheet) newRow(i int, stage, title string) fyne.CanvasObject {
	r := &stageRow{stage: stage, state: newLine("", sizeSmall, toneQuiet), summary: newLine("", sizeSmall, toneQuiet)}
	r.state.align = fyne.TextAlignTrailing
	number := newLine(strconv.Itoa(i+1), sizeText, toneQuiet)
	c := container.New(stageLayout{}, number, newLine(title, sizeText, toneInk), r.state, r.summary)
	r.press = newClickable(c, fyne.NewSize(18, 8), func() { s.choose(selection{stage: stage}) })
	r.press.onArrow = func(by int) { s.focus(i + by) }
	s.rows = append(s.rows, r)
	return r.press
}

// focus moves the focus to row i, -1 being the head, and chooses it.
func (s *jobSheet) focus(i int) {
	c := s.head
	if i >= 0 {
		c = s.rows[min(i, len(s.rows)-1)].press
	}
	if cv := s.cv(); cv != nil {
		cv.Focus(c)
	}
	c.press()
}

// stageLayout is number, title and state on one line, with the summary under the title.
type stageLayout struct{}

const (
	stageIndent = 23
	stateWidth  = 46
)

func (stageLayout) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(150, o[1].MinSize().Height+o[3].MinSize().Height+1)
}

func (stageLayout) Layout(o []fyne.CanvasObject, s fyne.Size) {
	h, small := o[1].MinSize().Height, o[3].MinSize().Height
	put := func(c fyne.CanvasObject, x, y, w, h float32) {
		c.Move(fyne.NewPos(x, y))
		c.Resize(fyne.NewSize(max(w, 0), h))
	}
	put(o[0], 0, 0, stageIndent, h)
	put(o[1], stageIndent, 0, s.Width-stageIndent-stateWidth, h)
	put(o[2], s.Width-stateWidth, (h-small)/2+1, stateWidth, small)
	put(o[3], stageIndent, h+1, s.Width-stageIndent, small)
}

// stageState is the word beside a stage: what is worst among its findings.
func stageState(fs []finding.Finding, stage string) (word string, t tone, count int) {
	word, t = "ready", toneQuiet
	for _, f := range fs {
		if f.Stage != stage {
			continue
		}
		switch f.Level {
		case finding.Error:
			word, t = "wrong", toneWrong
			count++
		case finding.Warning:
			if word == "ready" {
				word, t = "look", toneLook
			}
			count++
		}
	}
	return word, t, count
}

// known is what the summaries of the stages are written from. The plan is nil while there is none, the quote has no batches.
type known struct {
	doc   plate.Plate
	plan  *route.Plan
	quote quote.Quote
}

// update shows the document and its findings.
func (s *jobSheet) update(title, state string, k known, fs []finding.Finding, sel selection, in bool) {
	s.title.set(title, toneInk)
	s.state.set(state, toneQuiet)
	s.head.choose(sel.stage == stageJob)
	for _, r := range s.rows {
		word, t, n := stageState(fs, r.stage)
		r.state.set(word, t)
		sum := stageSummary(k, r.stage, lengthIn(in))
		if n > 0 {
			sum = joined(plural(n, "finding"), sum)
		}
		r.summary.set(sum, toneQuiet)
		r.press.choose(sel.stage == r.stage)
	}
}

// stageSummary says in a few words what a stage holds.
func stageSummary(k known, stage string, mm quantity) string {
	p := k.doc
	switch stage {
	case plate.StageStock:
		s := p.Stock
		return joined(strings.TrimPrefix(s.Material.Alloy, "EN AW-")+"-"+s.Material.Temper, mm.formatUnit(s.Finished))
	case plate.StageOutline:
		return outlineSummary(p, mm)
	case plate.StageBores:
		return joined(plural(len(p.Bores), "bore"), some(len(p.Eccentrics), "eccentric"))
	case plate.StageHoles:
		text := joined(some(len(p.Holes), "hole"), some(len(p.Circles), "bolt circle"))
		text = joined(text, some(len(p.Rings), "clocked ring"))
		return orNone(joined(joined(text, some(len(p.Slots), "slot")), some(len(p.Settings), "setting")))
	case plate.StageRibs:
		return ribSummary(p, mm)
	case plate.StagePockets:
		return pocketSummary(p, mm)
	case plate.StageLoads:
		return orNone(joined(some(len(p.Cases), "case"), joined(some(len(p.Loads), "load"), some(len(p.Supports), "support"))))
	case plate.StageMachining:
		if k.plan == nil {
			return "turned about " + strings.ToUpper(string(p.Machining.Turn))
		}
		return joined(plural(len(k.plan.SetUps), "set-up"), plural(toolCount(*k.plan), "tool"))
	case plate.StagePrice:
		if len(k.quote.Batches) == 0 {
			return ""
		}
		text := "batch"
		for _, b := range k.quote.Batches {
			text += " " + strconv.Itoa(b.Quantity) + ","
		}
		return strings.TrimSuffix(text, ",")
	case plate.StageTargets:
		return orNone(joined(some(len(p.Targets), "target"), some(len(p.CutLines), "cut line")))
	}
	return ""
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

func outlineSummary(p plate.Plate, mm quantity) string {
	rim := "no rim"
	if p.Rim > 0 {
		rim = "rim " + mm.formatUnit(p.Rim)
	}
	switch o := p.Outline; {
	case o.Kind == plate.Wrapped:
		return joined("wrapped round "+strconv.Itoa(len(o.Wraps)), rim)
	case o.Kind == plate.Contour:
		return joined("contour of "+strconv.Itoa(len(o.Vertices)), rim)
	case o.Mirror.On:
		return joined("mirrored half, "+plural(len(o.Corners), "corner"), rim)
	}
	return joined(plural(len(p.Outline.Corners), "corner"), rim)
}

func ribSummary(p plate.Plate, mm quantity) string {
	text := some(len(p.Ribs), "rib")
	switch n := len(p.Grids); {
	case n == 1 && p.Grids[0].Kind == plate.Spokes:
		text = joined(text, "spokes")
	case n == 1:
		text = joined(text, p.Grids[0].Kind.String()+" "+mm.formatUnit(p.Grids[0].Pitch))
	default:
		text = joined(text, some(n, "rib field"))
	}
	return orNone(text)
}

func pocketSummary(p plate.Plate, mm quantity) string {
	text := ""
	if n := len(p.Pockets); n > 2 {
		text = plural(n, "pocket")
	} else {
		for _, k := range p.Pockets {
			one := pocketValue(k, mm)
			if k.Side == plate.Both {
				one = "both " + one
			}
			text = joined(text, one)
		}
	}
	return orNone(joined(joined(text, some(len(p.KeepOuts), "keep-out")), some(len(p.Inlays), "inlay")))
}

func toolCount(p route.Plan) int {
	seen := map[int]bool{}
	for _, o := range p.Operations {
		if o.ToolNumber > 0 {
			seen[o.ToolNumber] = true
		}
	}
	return len(seen)
}

// joined puts a middle dot between two texts that are not empty.
func joined(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + " · " + b
}

func plural(n int, word string) string {
	switch n {
	case 0:
		return "no " + word + "s"
	case 1:
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// some is plural, and empty for none.
func some(n int, word string) string {
	if n == 0 {
		return ""
	}
	return plural(n, word)
}
