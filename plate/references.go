package plate

import "slices"

// reference is one mention of a feature by its id.
type reference struct {
	label string // what it is there, like "its centre"
	index int    // which of several, from 1; 0 where there is one
	id    ID
	kinds []Kind // that it may be of
}

func (r reference) String() string {
	if r.index > 0 {
		return r.label + " " + itoa(r.index)
	}
	return r.label
}

// The kinds that references may name.
var (
	boreOnly     = []Kind{KindBore}
	located      = []Kind{KindBore, KindHole, KindSlot}
	wrapped      = []Kind{KindBore, KindHole}
	dividers     = []Kind{KindRib, KindGrid}
	gridOnly     = []Kind{KindGrid}
	pocketOnly   = []Kind{KindPocket}
	adjusters    = []Kind{KindRing, KindEccentric, KindSlot}
	settingOnly  = []Kind{KindSetting}
	supportOnly  = []Kind{KindSupport}
	loadOnly     = []Kind{KindLoad}
	caseOnly     = []Kind{KindCase}
	cutLineOnly  = []Kind{KindCutLine}
	holding      = []Kind{KindBore, KindHole, KindCircle, KindRing, KindSlot} // what can be held or loaded by its wall
	maskable     = []Kind{KindBore, KindHole, KindCircle, KindRing, KindSlot, KindPocket}
	machinedKind = []Kind{KindBore, KindHole, KindCircle, KindRing, KindEccentric, KindSlot, KindPocket}
	screwed      = []Kind{KindHole, KindCircle, KindRing}
	clamped      = []Kind{KindHole, KindCircle, KindRing}
)

// visitReferences calls visit for every mention of a feature, with who mentions it. The plate itself has the id 0.
func (p Plate) visitReferences(visit func(from FeatureRef, r reference)) {
	one := func(from FeatureRef, label string, id ID, kinds []Kind) {
		if id != 0 {
			visit(from, reference{label, 0, id, kinds})
		}
	}
	many := func(from FeatureRef, label string, ids []ID, kinds []Kind) {
		for i, id := range ids {
			visit(from, reference{label, i + 1, id, kinds})
		}
	}
	anchors := func(from FeatureRef, label string, n int, at func(int) Anchor) {
		for i := range n {
			if a := at(i); a.Grid != 0 {
				visit(from, reference{label, i + 1, a.Grid, gridOnly})
			}
		}
	}
	many(onPlate(StageStock), "masked feature", p.Stock.Finish.Masked, maskable)
	if p.Outline.Kind == Wrapped {
		for i, w := range p.Outline.Wraps {
			visit(onPlate(StageOutline), reference{"wrapped feature", i + 1, w.Feature, wrapped})
		}
	}
	one(onPlate(StageHoles), "the setting", p.Setting, settingOnly)
	for _, c := range p.Circles {
		one(p.circleRef(c, KindCircle), "its centre", c.Bore, boreOnly)
	}
	for _, c := range p.Rings {
		one(p.circleRef(c.BoltCircle, KindRing), "its centre", c.Bore, boreOnly)
	}
	for _, e := range p.Eccentrics {
		visit(p.eccentricRef(e), reference{"the bore", 0, e.Bore, boreOnly})
	}
	centres := p.centres()
	for _, r := range p.Ribs {
		a := r.From.point(centres)
		f := refOf(KindRib, r.ID, r.Name).on(a[0], a[1])
		one(f, "an end", r.From.Feature, located)
		one(f, "an end", r.To.Feature, located)
	}
	for _, g := range p.Grids {
		if g.Kind == Spokes {
			many(g.ref(), "hub", g.Hubs, located)
		}
	}
	for _, k := range p.Pockets {
		if k.Kind == RoundPocket || k.Kind == ObroundPocket {
			continue
		}
		f := k.ref()
		if k.Kind == FieldPocket && !k.AllRibs {
			for _, id := range k.Ribs {
				visit(f, reference{"a rib", 0, id, dividers})
			}
		}
		anchors(f, "kept cell", len(k.Kept), func(i int) Anchor { return k.Kept[i] })
		anchors(f, "cell with its own depth", len(k.Depths), func(i int) Anchor { return k.Depths[i].At })
	}
	for _, i := range p.Inlays {
		visit(i.ref(), reference{"the pocket", 0, i.Pocket, pocketOnly})
		if !i.All {
			anchors(i.ref(), "cell", len(i.Cells), func(j int) Anchor { return i.Cells[j] })
		}
	}
	for _, s := range p.Settings {
		for i, v := range s.Values {
			visit(s.ref(), reference{"adjuster", i + 1, v.Feature, adjusters})
		}
	}
	p.visitLoadReferences(visit, one, many)
}

func (p Plate) visitLoadReferences(visit func(FeatureRef, reference), one func(FeatureRef, string, ID, []Kind), many func(FeatureRef, string, []ID, []Kind)) {
	for _, s := range p.Supports {
		if s.Kind != Free {
			one(s.ref(), "the place", s.On.Feature, holding)
		}
	}
	for _, l := range p.Loads {
		switch kinds := holding; {
		case !l.Kind.placed():
		case l.Kind == ClampForce:
			one(l.ref(), "the place", l.On.Feature, clamped)
		default:
			one(l.ref(), "the place", l.On.Feature, kinds)
		}
	}
	for _, c := range p.Cases {
		ids := make([]ID, len(c.Loads))
		for i, l := range c.Loads {
			ids[i] = l.Load
		}
		many(c.ref(), "load", ids, loadOnly)
		many(c.ref(), "support", c.Supports, supportOnly)
		one(c.ref(), "the setting", c.Setting, settingOnly)
	}
	for _, t := range p.Targets {
		one(t.ref(), "the cut line", t.CutLine, cutLineOnly)
		one(t.ref(), "the load case", t.Case, caseOnly)
	}
	for _, c := range p.Machining.Changes {
		one(c.ref(), "the feature", c.Feature, machinedKind)
		if c.HasCell {
			one(c.ref(), "the cell", c.At.Grid, gridOnly)
		}
	}
	for _, h := range p.Machining.Holding {
		if h.Kind == Screw {
			visit(h.ref(), reference{"the hole", 0, h.Feature, screwed})
		}
	}
}

// Users lists the features and items of the plan that refer to the given feature, each once, in the order of Features. The
// plate itself comes first, with the id 0, where its outline is wrapped round the feature, its finish leaves it out, or it
// is the setting that the plate is drawn in.
func (p Plate) Users(id ID) []FeatureRef {
	if id == 0 {
		return nil
	}
	using := make(map[ID]bool)
	var users []FeatureRef
	p.visitReferences(func(from FeatureRef, r reference) {
		switch {
		case r.id != id:
		case from.ID != 0:
			using[from.ID] = true
		case !slices.Contains(users, plateUser(from.Stage)):
			users = append(users, plateUser(from.Stage))
		}
	})
	for _, list := range [2][]FeatureRef{p.Features(), p.PlanItems()} {
		for _, f := range list {
			if using[f.ID] {
				users = append(users, f)
			}
		}
	}
	return users
}

// plateUser names what of the plate itself refers to a feature.
func plateUser(stage string) FeatureRef {
	f := FeatureRef{Kind: "plate's", Name: "outline", Stage: stage}
	switch stage {
	case StageStock:
		f.Name = "finish"
	case StageHoles:
		f.Name = "setting in use"
	}
	return f
}
