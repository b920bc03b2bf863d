package plate

import (
	"fmt"
	"slices"
)

// Kind is the sort of a feature, in the words of the shop.
type Kind string

// The kinds of feature.
const (
	KindBore    Kind = "bore"
	KindHole    Kind = "hole"
	KindCircle  Kind = "bolt circle"
	KindRib     Kind = "rib"
	KindGrid    Kind = "isogrid"
	KindPocket  Kind = "pocket"
	KindCutLine Kind = "cut line"
	KindTarget  Kind = "target"
)

// Kinds returns all kinds in the order of Features.
func Kinds() []Kind {
	return []Kind{KindBore, KindHole, KindCircle, KindRib, KindGrid, KindPocket, KindCutLine, KindTarget}
}

// Stage is the stage of the job sheet that the kind belongs to, as finding.Finding.Stage names it.
func (k Kind) Stage() string {
	switch k {
	case KindBore:
		return StageBores
	case KindHole, KindCircle:
		return StageHoles
	case KindRib, KindGrid:
		return StageRibs
	case KindPocket:
		return StagePockets
	default:
		return StageTargets
	}
}

// The stages of the job sheet, as finding.Finding.Stage names them.
const (
	StageStock     = "stock"
	StageOutline   = "outline"
	StageBores     = "bores"
	StageHoles     = "holes"
	StageRibs      = "ribs"
	StagePockets   = "pockets"
	StageMachining = "machining"
	StageTargets   = "targets"
)

// FeatureRef names one feature. Where is a place on it in mm, when HasWhere.
type FeatureRef struct {
	ID       ID
	Name     string
	Kind     Kind
	Stage    string
	Where    [2]float64
	HasWhere bool
}

// String is the feature in words, like bore "Front pivot".
func (f FeatureRef) String() string { return fmt.Sprintf("%s %q", f.Kind, f.Name) }

// Features lists every feature: bores, holes, bolt circles, ribs, grids, pockets, cut lines, targets, each in document order.
func (p Plate) Features() []FeatureRef {
	n := len(p.Bores) + len(p.Holes) + len(p.Circles) + len(p.Ribs) + len(p.Grids) + len(p.Pockets) + len(p.CutLines) + len(p.Targets)
	refs := make([]FeatureRef, 0, n)
	add := func(k Kind, id ID, name string, where ...float64) {
		f := FeatureRef{ID: id, Name: name, Kind: k, Stage: k.Stage()}
		if len(where) == 2 {
			f.Where, f.HasWhere = [2]float64(where), true
		}
		refs = append(refs, f)
	}
	for _, b := range p.Bores {
		add(KindBore, b.ID, b.Name, b.X, b.Y)
	}
	for _, h := range p.Holes {
		add(KindHole, h.ID, h.Name, h.X, h.Y)
	}
	centres := p.centres()
	for _, c := range p.Circles {
		x, y := c.X, c.Y
		if c.Bore != 0 {
			x, y = centres[c.Bore][0], centres[c.Bore][1]
		}
		add(KindCircle, c.ID, c.Name, x, y)
	}
	for _, r := range p.Ribs {
		a, b := r.From.point(centres), r.To.point(centres)
		add(KindRib, r.ID, r.Name, (a[0]+b[0])/2, (a[1]+b[1])/2)
	}
	for _, g := range p.Grids {
		add(KindGrid, g.ID, g.Name, g.X, g.Y)
	}
	for _, k := range p.Pockets {
		add(KindPocket, k.ID, k.Name)
	}
	for _, c := range p.CutLines {
		add(KindCutLine, c.ID, c.Name, (c.X1+c.X2)/2, (c.Y1+c.Y2)/2)
	}
	for _, t := range p.Targets {
		add(KindTarget, t.ID, t.Name)
	}
	return refs
}

// centres are the places of all bores and holes.
func (p Plate) centres() map[ID][2]float64 {
	m := make(map[ID][2]float64, len(p.Bores)+len(p.Holes))
	for _, b := range p.Bores {
		m[b.ID] = [2]float64{b.X, b.Y}
	}
	for _, h := range p.Holes {
		m[h.ID] = [2]float64{h.X, h.Y}
	}
	return m
}

func (e RibEnd) point(centres map[ID][2]float64) [2]float64 {
	if e.Feature != 0 {
		return centres[e.Feature]
	}
	return [2]float64{e.X, e.Y}
}

// Find returns the feature with the given id.
func (p Plate) Find(id ID) (FeatureRef, bool) {
	for _, f := range p.Features() {
		if f.ID == id {
			return f, true
		}
	}
	return FeatureRef{}, false
}

// Feature returns the stage and name of the feature with the given id; ok is false when there is none.
func (p Plate) Feature(id ID) (stage, name string, ok bool) {
	f, ok := p.Find(id)
	return f.Stage, f.Name, ok
}

// EndPoint is where a rib end lies, in mm: the centre of its bore or hole, or its own place. An end on a feature that does
// not exist lies at the origin; Validate reports it.
func (p Plate) EndPoint(e RibEnd) (x, y float64) {
	if e.Feature == 0 {
		return e.X, e.Y
	}
	if i := p.bore(e.Feature); i >= 0 {
		return p.Bores[i].X, p.Bores[i].Y
	}
	if i := p.hole(e.Feature); i >= 0 {
		return p.Holes[i].X, p.Holes[i].Y
	}
	return 0, 0
}

// CircleCentre is the centre of a bolt circle, in mm: that of its bore, or its own. A circle about a bore that does not
// exist lies at the origin; Validate reports it.
func (p Plate) CircleCentre(c BoltCircle) (x, y float64) {
	if c.Bore == 0 {
		return c.X, c.Y
	}
	if i := p.bore(c.Bore); i >= 0 {
		return p.Bores[i].X, p.Bores[i].Y
	}
	return 0, 0
}

func (p Plate) bore(id ID) int {
	return slices.IndexFunc(p.Bores, func(b Bore) bool { return b.ID == id })
}

func (p Plate) hole(id ID) int {
	return slices.IndexFunc(p.Holes, func(h Hole) bool { return h.ID == id })
}

// Users lists the features that refer to the given one, each once, in document order.
func (p Plate) Users(id ID) []FeatureRef {
	if id == 0 {
		return nil
	}
	using := make(map[ID]bool)
	for _, c := range p.Circles {
		using[c.ID] = c.Bore == id
	}
	for _, r := range p.Ribs {
		using[r.ID] = r.From.Feature == id || r.To.Feature == id
	}
	for _, k := range p.Pockets {
		using[k.ID] = !k.AllRibs && slices.Contains(k.Ribs, id) ||
			slices.ContainsFunc(k.Kept, func(a Anchor) bool { return a.Grid == id })
	}
	for _, t := range p.Targets {
		using[t.ID] = t.CutLine == id
	}
	return slices.DeleteFunc(p.Features(), func(f FeatureRef) bool { return !using[f.ID] })
}

// Clone returns a copy that shares nothing with p.
func (p Plate) Clone() Plate {
	p.Outline.Corners = slices.Clone(p.Outline.Corners)
	p.Bores = slices.Clone(p.Bores)
	p.Holes = slices.Clone(p.Holes)
	p.Circles = slices.Clone(p.Circles)
	p.Ribs = slices.Clone(p.Ribs)
	p.Grids = slices.Clone(p.Grids)
	for i := range p.Grids {
		p.Grids[i].Bounds = slices.Clone(p.Grids[i].Bounds)
	}
	p.Pockets = slices.Clone(p.Pockets)
	for i := range p.Pockets {
		k := &p.Pockets[i]
		k.Bounds, k.Ribs, k.Kept = slices.Clone(k.Bounds), slices.Clone(k.Ribs), slices.Clone(k.Kept)
	}
	p.CutLines = slices.Clone(p.CutLines)
	p.Targets = slices.Clone(p.Targets)
	return p
}
