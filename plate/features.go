package plate

import "fmt"

// Kind is the sort of a feature, in the words of the shop.
type Kind string

// The kinds of feature.
const (
	KindBore      Kind = "bore"
	KindHole      Kind = "hole"
	KindCircle    Kind = "bolt circle"
	KindRing      Kind = "clocked ring"
	KindEccentric Kind = "eccentric"
	KindSlot      Kind = "slot"
	KindRib       Kind = "rib"
	KindGrid      Kind = "isogrid" // every rib field; FeatureRef.Shown has the field's own kind
	KindPocket    Kind = "pocket"
	KindKeepOut   Kind = "keep-out"
	KindInlay     Kind = "inlay"
	KindSetting   Kind = "setting"
	KindSupport   Kind = "support"
	KindLoad      Kind = "load"
	KindCase      Kind = "load case"
	KindCutLine   Kind = "cut line"
	KindTarget    Kind = "target"

	// These two have an id but no name of their own, and are not among Features.
	KindChange  Kind = "plan change"
	KindHolding Kind = "holding"
)

// Stage is the stage of the job sheet that the kind belongs to, as finding.Finding.Stage names it.
func (k Kind) Stage() string {
	switch k {
	case KindBore, KindEccentric:
		return StageBores
	case KindHole, KindCircle, KindRing, KindSlot, KindSetting:
		return StageHoles
	case KindRib, KindGrid:
		return StageRibs
	case KindPocket, KindKeepOut, KindInlay:
		return StagePockets
	case KindSupport, KindLoad, KindCase:
		return StageLoads
	case KindChange, KindHolding:
		return StageMachining
	default:
		return StageTargets
	}
}

// class is the kind as references name it: any rib field is one.
func (k Kind) class() string {
	if k == KindGrid {
		return "rib field"
	}
	return string(k)
}

// The stages of the job sheet, as finding.Finding.Stage names them.
const (
	StageStock     = "stock"
	StageOutline   = "outline"
	StageBores     = "bores"
	StageHoles     = "holes"
	StageRibs      = "ribs"
	StagePockets   = "pockets"
	StageLoads     = "loads"
	StageMachining = "machining"
	StagePrice     = "price"
	StageTargets   = "targets"
)

// FeatureRef names one feature. Where is a place on it in mm, when HasWhere.
type FeatureRef struct {
	ID       ID
	Name     string
	Kind     Kind
	Shown    Kind // its kind as shown to people where that says more, like "orthogrid"; empty: as Kind
	Stage    string
	Where    [2]float64
	HasWhere bool
}

// String is the feature in words, like bore "Front pivot".
func (f FeatureRef) String() string { return fmt.Sprintf("%s %q", f.ShownKind(), f.Name) }

// ShownKind is the kind as shown to people.
func (f FeatureRef) ShownKind() Kind {
	if f.Shown != "" {
		return f.Shown
	}
	return f.Kind
}

func refOf(k Kind, id ID, name string) FeatureRef {
	return FeatureRef{ID: id, Name: name, Kind: k, Stage: k.Stage()}
}

func (f FeatureRef) on(x, y float64) FeatureRef {
	f.Where, f.HasWhere = [2]float64{x, y}, true
	return f
}

func (b Bore) ref() FeatureRef     { return refOf(KindBore, b.ID, b.Name).on(b.X, b.Y) }
func (h Hole) ref() FeatureRef     { return refOf(KindHole, h.ID, h.Name).on(h.X, h.Y) }
func (s Slot) ref() FeatureRef     { return refOf(KindSlot, s.ID, s.Name).on(s.X, s.Y) }
func (i Inlay) ref() FeatureRef    { return refOf(KindInlay, i.ID, i.Name) }
func (s Setting) ref() FeatureRef  { return refOf(KindSetting, s.ID, s.Name) }
func (s Support) ref() FeatureRef  { return refOf(KindSupport, s.ID, s.Name) }
func (l Load) ref() FeatureRef     { return refOf(KindLoad, l.ID, l.Name) }
func (c LoadCase) ref() FeatureRef { return refOf(KindCase, c.ID, c.Name) }
func (t Target) ref() FeatureRef   { return refOf(KindTarget, t.ID, t.Name) }

func (c CutLine) ref() FeatureRef {
	return refOf(KindCutLine, c.ID, c.Name).on((c.X1+c.X2)/2, (c.Y1+c.Y2)/2)
}

func (g Grid) ref() FeatureRef {
	f := refOf(KindGrid, g.ID, g.Name)
	if g.Kind != Isogrid {
		f.Shown = Kind(g.Kind)
	}
	if g.Kind == Spokes {
		return f
	}
	return f.on(g.X, g.Y)
}

func (k Pocket) ref() FeatureRef {
	f := refOf(KindPocket, k.ID, k.Name)
	if k.Kind == RoundPocket || k.Kind == ObroundPocket {
		return f.on(k.X, k.Y)
	}
	return f
}

func (k KeepOut) ref() FeatureRef {
	f := refOf(KindKeepOut, k.ID, k.Name)
	if len(k.Bounds) > 0 {
		return f.on(k.Bounds[0].X, k.Bounds[0].Y)
	}
	return f
}

// circleRef names a bolt circle, or a clocked ring by its circle.
func (p Plate) circleRef(c BoltCircle, k Kind) FeatureRef {
	return refOf(k, c.ID, c.Name).on(p.CircleCentre(c))
}

func (p Plate) eccentricRef(e Eccentric) FeatureRef {
	f := refOf(KindEccentric, e.ID, e.Name)
	if i := p.bore(e.Bore); i >= 0 {
		return f.on(p.Bores[i].X, p.Bores[i].Y)
	}
	return f
}

func (c OperationChange) ref() FeatureRef {
	return refOf(KindChange, c.ID, orDefault(c.Class, "every operation"))
}

func (h Holding) ref() FeatureRef {
	return refOf(KindHolding, h.ID, string(h.Kind)+" "+itoa(int(h.ID)))
}

// Features lists every feature, kind by kind in the order of Kinds, each in document order.
func (p Plate) Features() []FeatureRef {
	n := len(p.Bores) + len(p.Holes) + len(p.Circles) + len(p.Rings) + len(p.Eccentrics) + len(p.Slots) + len(p.Ribs) + len(p.Grids) +
		len(p.Pockets) + len(p.KeepOuts) + len(p.Inlays) + len(p.Settings) + len(p.Supports) + len(p.Loads) + len(p.Cases) +
		len(p.CutLines) + len(p.Targets)
	refs := make([]FeatureRef, 0, n)
	refs = appendRefs(refs, p.Bores, Bore.ref)
	refs = appendRefs(refs, p.Holes, Hole.ref)
	centres := p.centres()
	about := func(c BoltCircle, k Kind) FeatureRef {
		x, y := c.X, c.Y
		if c.Bore != 0 {
			x, y = centres[c.Bore][0], centres[c.Bore][1]
		}
		return refOf(k, c.ID, c.Name).on(x, y)
	}
	refs = appendRefs(refs, p.Circles, func(c BoltCircle) FeatureRef { return about(c, KindCircle) })
	refs = appendRefs(refs, p.Rings, func(c ClockedRing) FeatureRef { return about(c.BoltCircle, KindRing) })
	refs = appendRefs(refs, p.Eccentrics, p.eccentricRef)
	refs = appendRefs(refs, p.Slots, Slot.ref)
	refs = appendRefs(refs, p.Ribs, func(r Rib) FeatureRef {
		a, b := r.From.point(centres), r.To.point(centres)
		return refOf(KindRib, r.ID, r.Name).on((a[0]+b[0])/2, (a[1]+b[1])/2)
	})
	refs = appendRefs(refs, p.Grids, Grid.ref)
	refs = appendRefs(refs, p.Pockets, Pocket.ref)
	refs = appendRefs(refs, p.KeepOuts, KeepOut.ref)
	refs = appendRefs(refs, p.Inlays, Inlay.ref)
	refs = appendRefs(refs, p.Settings, Setting.ref)
	refs = appendRefs(refs, p.Supports, Support.ref)
	refs = appendRefs(refs, p.Loads, Load.ref)
	refs = appendRefs(refs, p.Cases, LoadCase.ref)
	refs = appendRefs(refs, p.CutLines, CutLine.ref)
	return appendRefs(refs, p.Targets, Target.ref)
}

func appendRefs[T any](refs []FeatureRef, list []T, ref func(T) FeatureRef) []FeatureRef {
	for _, v := range list {
		refs = append(refs, ref(v))
	}
	return refs
}

// PlanItems lists what has an id but no name of its own: the changes of the plan, then the holding.
func (p Plate) PlanItems() []FeatureRef {
	refs := appendRefs(make([]FeatureRef, 0, len(p.Machining.Changes)+len(p.Machining.Holding)), p.Machining.Changes, OperationChange.ref)
	return appendRefs(refs, p.Machining.Holding, Holding.ref)
}

// centres are the places of all bores, holes and slots.
func (p Plate) centres() map[ID][2]float64 {
	m := make(map[ID][2]float64, len(p.Bores)+len(p.Holes)+len(p.Slots))
	for _, b := range p.Bores {
		m[b.ID] = [2]float64{b.X, b.Y}
	}
	for _, h := range p.Holes {
		m[h.ID] = [2]float64{h.X, h.Y}
	}
	for _, s := range p.Slots {
		m[s.ID] = [2]float64{s.X, s.Y}
	}
	return m
}

func (e RibEnd) point(centres map[ID][2]float64) [2]float64 {
	if e.Feature != 0 {
		return centres[e.Feature]
	}
	return [2]float64{e.X, e.Y}
}
