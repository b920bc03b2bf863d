package plate

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"platewright/plate/finding"
)

// Edit is one change of a document: pure, with a label for the undo menu. Apply leaves the document that it is given as it
// is and returns the changed one, or an error that says why not. It refuses, with a *Refused, what would make Validate
// report an error that it did not report before, and it never lets an id be used again.
type Edit struct {
	Label   string // what it does, like "move of bore"
	Feature ID     // the feature it changes, 0 for the plate
	Apply   func(Plate) (Plate, error)
}

// Title is the label with the name of the feature in p, like "move of bore Front pivot".
func (e Edit) Title(p Plate) string {
	if f, ok := p.Find(e.Feature); ok && e.Feature != 0 {
		return e.Label + " " + f.Name
	}
	return e.Label
}

// Refused is the error of an edit that would make the document wrong, with the error that Validate would report.
type Refused struct {
	Label   string
	Finding finding.Finding
}

// Error gives the finding in words, with its fix.
func (r *Refused) Error() string {
	return fmt.Sprintf("%s refused: %s (%s); %s", r.Label, r.Finding.What, r.Finding.Why, r.Finding.Fix)
}

// Replace is an edit by any change of a private copy of the document.
func Replace(label string, change func(*Plate)) Edit {
	return edit(label, 0, func(p *Plate) error { change(p); return nil })
}

// edit wraps a change of a private copy in the promises of Edit.
func edit(label string, id ID, change func(*Plate) error) Edit {
	return Edit{label, id, func(old Plate) (Plate, error) {
		p := old.Clone()
		if err := change(&p); err != nil {
			return old, fmt.Errorf("%s: %w", label, err)
		}
		if err := keepsIDs(old, p); err != nil {
			return old, fmt.Errorf("%s: %w", label, err)
		}
		if f, ok := newError(old.Validate(), p.Validate()); ok {
			return old, &Refused{label, f}
		}
		if f, ok := crossing(old.Outline, p.Outline); ok {
			return old, &Refused{label, f}
		}
		return p.Clone(), nil // the edit may be applied again, and must not share its own lists with what it made
	}}
}

// keepsIDs guards the rule that an id stands for one feature for ever.
func keepsIDs(old, p Plate) error {
	if p.NextID < old.NextID {
		return fmt.Errorf("the next id would fall from %d to %d; ids are never used again", old.NextID, p.NextID)
	}
	before := make(map[ID]Kind)
	for _, f := range append(old.Features(), old.PlanItems()...) {
		before[f.ID] = f.Kind
	}
	for _, f := range append(p.Features(), p.PlanItems()...) {
		switch kind, ok := before[f.ID]; {
		case !ok && f.ID < old.NextID:
			return fmt.Errorf("%s would take the id %d, which is used up; new features take the next id, %d", f, f.ID, old.NextID)
		case ok && kind != f.Kind:
			return fmt.Errorf("%s would take the id %d of a %s; a feature keeps its id", f, f.ID, kind)
		}
	}
	return nil
}

// newError is the first error of after that before does not have. Two are the same when they are of one code, about one
// feature and about one subject, so that a wrong value may be changed to a less wrong one.
func newError(before, after []finding.Finding) (finding.Finding, bool) {
	type same struct {
		code, stage, subject string
		feature              int64
	}
	key := func(f finding.Finding) same {
		subject, _, _ := strings.Cut(f.What, " is ") // up to the value
		return same{f.Code, f.Stage, subject, f.Feature}
	}
	count := make(map[same]int)
	for _, f := range before {
		if f.Level == finding.Error {
			count[key(f)]++
		}
	}
	for _, f := range after {
		if f.Level != finding.Error {
			continue
		}
		k := key(f)
		if count[k]--; count[k] < 0 {
			return f, true
		}
	}
	return finding.Finding{}, false
}

var errNoFeature = errors.New("there is no such feature; it was deleted")

// lookUp finds the feature of the given id in one of the document's lists.
func lookUp[T any](list []T, id ID, idOf func(*T) *ID) (*T, error) {
	for i := range list {
		if *idOf(&list[i]) == id {
			return &list[i], nil
		}
	}
	return nil, errNoFeature
}

func boreID(b *Bore) *ID              { return &b.ID }
func holeID(h *Hole) *ID              { return &h.ID }
func circleID(c *BoltCircle) *ID      { return &c.ID }
func ringID(c *ClockedRing) *ID       { return &c.ID }
func eccentricID(e *Eccentric) *ID    { return &e.ID }
func slotID(s *Slot) *ID              { return &s.ID }
func ribID(r *Rib) *ID                { return &r.ID }
func gridID(g *Grid) *ID              { return &g.ID }
func pocketID(k *Pocket) *ID          { return &k.ID }
func keepOutID(k *KeepOut) *ID        { return &k.ID }
func inlayID(i *Inlay) *ID            { return &i.ID }
func settingID(s *Setting) *ID        { return &s.ID }
func supportID(s *Support) *ID        { return &s.ID }
func loadID(l *Load) *ID              { return &l.ID }
func caseID(c *LoadCase) *ID          { return &c.ID }
func cutLineID(c *CutLine) *ID        { return &c.ID }
func targetID(t *Target) *ID          { return &t.ID }
func changeID(c *OperationChange) *ID { return &c.ID }
func holdingID(h *Holding) *ID        { return &h.ID }

// changeOf is an edit of one feature.
func changeOf[T any](what string, k Kind, id ID, list func(*Plate) []T, idOf func(*T) *ID, f func(*T)) Edit {
	return edit(what+" of "+k.class(), id, func(p *Plate) error {
		v, err := lookUp(list(p), id, idOf)
		if err != nil {
			return err
		}
		f(v)
		*idOf(v) = id
		return nil
	})
}

func bores(p *Plate) []Bore              { return p.Bores }
func holes(p *Plate) []Hole              { return p.Holes }
func circles(p *Plate) []BoltCircle      { return p.Circles }
func rings(p *Plate) []ClockedRing       { return p.Rings }
func eccentrics(p *Plate) []Eccentric    { return p.Eccentrics }
func slots(p *Plate) []Slot              { return p.Slots }
func ribs(p *Plate) []Rib                { return p.Ribs }
func grids(p *Plate) []Grid              { return p.Grids }
func pockets(p *Plate) []Pocket          { return p.Pockets }
func keepOuts(p *Plate) []KeepOut        { return p.KeepOuts }
func inlays(p *Plate) []Inlay            { return p.Inlays }
func settings(p *Plate) []Setting        { return p.Settings }
func supports(p *Plate) []Support        { return p.Supports }
func loads(p *Plate) []Load              { return p.Loads }
func loadCases(p *Plate) []LoadCase      { return p.Cases }
func cutLines(p *Plate) []CutLine        { return p.CutLines }
func targets(p *Plate) []Target          { return p.Targets }
func changes(p *Plate) []OperationChange { return p.Machining.Changes }
func holdings(p *Plate) []Holding        { return p.Machining.Holding }

// Rename gives a feature a new name; id 0 renames the plate.
func Rename(id ID, name string) Edit {
	return edit("new name", id, func(p *Plate) error {
		if id == 0 {
			p.Name = name
			return nil
		}
		n := p.name(id)
		if n == nil {
			return errNoFeature
		}
		*n = name
		return nil
	})
}

// name is where the name of a feature is kept, nil when there is none.
func (p *Plate) name(id ID) *string {
	found := []*string{
		nameIn(p.Bores, id, boreID, func(v *Bore) *string { return &v.Name }),
		nameIn(p.Holes, id, holeID, func(v *Hole) *string { return &v.Name }),
		nameIn(p.Circles, id, circleID, func(v *BoltCircle) *string { return &v.Name }),
		nameIn(p.Rings, id, ringID, func(v *ClockedRing) *string { return &v.Name }),
		nameIn(p.Eccentrics, id, eccentricID, func(v *Eccentric) *string { return &v.Name }),
		nameIn(p.Slots, id, slotID, func(v *Slot) *string { return &v.Name }),
		nameIn(p.Ribs, id, ribID, func(v *Rib) *string { return &v.Name }),
		nameIn(p.Grids, id, gridID, func(v *Grid) *string { return &v.Name }),
		nameIn(p.Pockets, id, pocketID, func(v *Pocket) *string { return &v.Name }),
		nameIn(p.KeepOuts, id, keepOutID, func(v *KeepOut) *string { return &v.Name }),
		nameIn(p.Inlays, id, inlayID, func(v *Inlay) *string { return &v.Name }),
		nameIn(p.Settings, id, settingID, func(v *Setting) *string { return &v.Name }),
		nameIn(p.Supports, id, supportID, func(v *Support) *string { return &v.Name }),
		nameIn(p.Loads, id, loadID, func(v *Load) *string { return &v.Name }),
		nameIn(p.Cases, id, caseID, func(v *LoadCase) *string { return &v.Name }),
		nameIn(p.CutLines, id, cutLineID, func(v *CutLine) *string { return &v.Name }),
		nameIn(p.Targets, id, targetID, func(v *Target) *string { return &v.Name }),
	}
	if i := slices.IndexFunc(found, func(s *string) bool { return s != nil }); i >= 0 {
		return found[i]
	}
	return nil
}

func nameIn[T any](list []T, id ID, idOf func(*T) *ID, nameOf func(*T) *string) *string {
	v, err := lookUp(list, id, idOf)
	if err != nil {
		return nil
	}
	return nameOf(v)
}

// Delete removes a feature. Its id is never used again. A feature that others refer to is not deleted; the error names them.
func Delete(id ID) Edit {
	return edit("delete", id, func(p *Plate) error {
		f, ok := p.Find(id)
		if !ok {
			return errNoFeature
		}
		if users := p.Users(id); len(users) > 0 {
			return fmt.Errorf("%s is used by %s; delete or change those first", f, sentence(users))
		}
		p.remove(id)
		return nil
	})
}

// remove takes a feature out of whatever list it is in.
func (p *Plate) remove(id ID) {
	p.Bores = without(p.Bores, id, boreID)
	p.Holes = without(p.Holes, id, holeID)
	p.Circles = without(p.Circles, id, circleID)
	p.Rings = without(p.Rings, id, ringID)
	p.Eccentrics = without(p.Eccentrics, id, eccentricID)
	p.Slots = without(p.Slots, id, slotID)
	p.Ribs = without(p.Ribs, id, ribID)
	p.Grids = without(p.Grids, id, gridID)
	p.Pockets = without(p.Pockets, id, pocketID)
	p.KeepOuts = without(p.KeepOuts, id, keepOutID)
	p.Inlays = without(p.Inlays, id, inlayID)
	p.Settings = without(p.Settings, id, settingID)
	p.Supports = without(p.Supports, id, supportID)
	p.Loads = without(p.Loads, id, loadID)
	p.Cases = without(p.Cases, id, caseID)
	p.CutLines = without(p.CutLines, id, cutLineID)
	p.Targets = without(p.Targets, id, targetID)
	p.Machining.Changes = without(p.Machining.Changes, id, changeID)
	p.Machining.Holding = without(p.Machining.Holding, id, holdingID)
}

func without[T any](list []T, id ID, idOf func(*T) *ID) []T {
	list = slices.DeleteFunc(list, func(v T) bool { return *idOf(&v) == id })
	if len(list) == 0 {
		return nil // as a file without the key reads
	}
	return list
}

// sentence lists features in words, the first few by name.
func sentence(fs []FeatureRef) string {
	const most = 5
	var words []string
	for _, f := range fs[:min(len(fs), most)] {
		words = append(words, f.String())
	}
	if more := len(fs) - most; more > 0 {
		words = append(words, fmt.Sprintf("%d more", more))
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return words[0]
}
