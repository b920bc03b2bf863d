package desktop

import (
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// selection is what the particulars show: a stage of the job sheet, or a feature of it, or a corner or cell of that. It is
// not history, and it never refers to a derived index.
type selection struct {
	stage string
	id    plate.ID // 0 for the stage itself
	// corner counts from 1 the corner (or round, or vertex) of the outline or, with an id, the corner of the feature's
	// boundary; 0 for none.
	corner int
	cell   plate.Anchor // the cell of pocket id, when onCell
	onCell bool
	rib    plate.RibAnchor // the rib of field id, when onRib
	onRib  bool
}

// part tells whether a part of a feature is selected: a corner, a cell or a rib.
func (s selection) part() bool { return s.corner > 0 || s.onCell || s.onRib }

// stageJob is the job as a whole: name and remark.
const stageJob = "job"

// stages are the stages of the job sheet, in the order in which a plate is decided.
var stages = []struct{ stage, title string }{
	{plate.StageStock, "Stock"},
	{plate.StageOutline, "Outline"},
	{plate.StageBores, "Bores"},
	{plate.StageHoles, "Holes"},
	{plate.StageRibs, "Ribs"},
	{plate.StagePockets, "Pockets"},
	{plate.StageLoads, "Loads"},
	{plate.StageMachining, "Machining"},
	{plate.StagePrice, "Price"},
	{plate.StageTargets, "Targets"},
}

func stageTitle(stage string) string {
	for _, s := range stages {
		if s.stage == stage {
			return s.title
		}
	}
	return "Job"
}

// selectFeature is the selection of a feature, or of its stage when it has gone.
func selectFeature(p plate.Plate, id plate.ID) selection {
	f, ok := p.Find(id)
	if !ok {
		return selection{stage: plate.StageStock}
	}
	return selection{stage: f.Stage, id: id}
}

// held is the selection with what is gone from the document left out.
func (s selection) held(p plate.Plate) selection {
	if s.id != 0 {
		if _, ok := p.Find(s.id); !ok {
			return selection{stage: s.stage}
		}
	}
	if s.corner > s.corners(p) {
		s.corner = 0
	}
	return s
}

// corners is how many corners, rounds or vertices the selection's path has.
func (s selection) corners(p plate.Plate) int {
	if s.id == 0 && s.stage == plate.StageOutline {
		switch p.Outline.Kind {
		case plate.Wrapped:
			return len(p.Outline.Wraps)
		case plate.Contour:
			return len(p.Outline.Vertices)
		}
	}
	return len(s.path(p))
}

// path is the chain of corners that the selection's corners belong to.
func (s selection) path(p plate.Plate) []plate.Corner {
	if at := s.pathOf(&p); at != nil {
		return *at
	}
	return nil
}

// pathOf is where that chain lies in a document; nil when the selection has none.
func (s selection) pathOf(p *plate.Plate) *[]plate.Corner {
	if s.id == 0 {
		if s.stage == plate.StageOutline && p.Outline.Kind == plate.Drawn {
			return &p.Outline.Corners
		}
		return nil
	}
	if g := gridOf(p, s.id); g != nil {
		return &g.Bounds
	}
	if k := pocketOf(p, s.id); k != nil {
		if k.Kind == plate.RoundPocket || k.Kind == plate.ObroundPocket {
			return nil
		}
		return &k.Bounds
	}
	if k := keepOutOf(p, s.id); k != nil {
		return &k.Bounds
	}
	if on := placeOf(p, s.id); on != nil && on.Feature == 0 && !on.OnEdge {
		return &on.Bounds
	}
	return nil
}

// placeOf is where a support or load acts; nil when the id is of neither, or of one that acts on the whole plate.
func placeOf(p *plate.Plate, id plate.ID) *plate.Place {
	if s := supportOf(p, id); s != nil && s.Kind != plate.Free {
		return &s.On
	}
	if l := loadOf(p, id); l != nil && l.Kind != plate.Acceleration && l.Kind != plate.Temperature {
		return &l.On
	}
	return nil
}

// plainRib is an anchor as the document keeps it: without what its kind does not use, so that two that mean one rib are equal.
func plainRib(a plate.RibAnchor) plate.RibAnchor {
	if a.Lattice {
		a.X, a.Y = 0, 0
		return a
	}
	return plate.RibAnchor{X: a.X, Y: a.Y}
}

// plainCell is plainRib for the anchor of a cell.
func plainCell(a plate.Anchor) plate.Anchor {
	if a.Grid != 0 {
		a.X, a.Y = 0, 0
		return a
	}
	return plate.Anchor{X: a.X, Y: a.Y}
}

// strips are the indices of the layout's ribs that the selection means.
func (s selection) strips(l *layout.Layout) []int {
	if !s.onRib || l == nil {
		return nil
	}
	var out []int
	for i := range l.Strips {
		if t := &l.Strips[i]; t.Feature == s.id && plainRib(t.Anchor) == s.rib {
			out = append(out, i)
		}
	}
	return out
}

// cells are the indices of the layout's cells that the selection means.
func (s selection) cells(l *layout.Layout) []int {
	if !s.onCell || l == nil {
		return nil
	}
	var out []int
	for i := range l.Cells {
		c := &l.Cells[i]
		if c.Pocket != s.id {
			continue
		}
		same := plainCell(c.Anchor) == s.cell
		if s.cell.Grid == 0 && !same {
			same = geom.Shape{c.Region}.Contains(geom.Pt(s.cell.X, s.cell.Y))
		}
		if same {
			out = append(out, i)
		}
	}
	return out
}

// featureTitle names a feature for labels and headings: bore Axle.
func featureTitle(f plate.FeatureRef) string {
	if f.Kind == plate.KindChange || f.Kind == plate.KindHolding { // named by what they do
		return string(f.Kind) + ": " + f.Name
	}
	return string(f.ShownKind()) + " " + f.Name
}

// withID is the element of a list that has the id; nil when there is none.
func withID[T any](list []T, id plate.ID, idOf func(*T) plate.ID) *T {
	for i := range list {
		if idOf(&list[i]) == id {
			return &list[i]
		}
	}
	return nil
}

// The features of a document by id; nil when there is none.

func boreOf(p *plate.Plate, id plate.ID) *plate.Bore {
	return withID(p.Bores, id, func(f *plate.Bore) plate.ID { return f.ID })
}

func holeOf(p *plate.Plate, id plate.ID) *plate.Hole {
	return withID(p.Holes, id, func(f *plate.Hole) plate.ID { return f.ID })
}

func circleOf(p *plate.Plate, id plate.ID) *plate.BoltCircle {
	return withID(p.Circles, id, func(f *plate.BoltCircle) plate.ID { return f.ID })
}

func ribOf(p *plate.Plate, id plate.ID) *plate.Rib {
	return withID(p.Ribs, id, func(f *plate.Rib) plate.ID { return f.ID })
}

func gridOf(p *plate.Plate, id plate.ID) *plate.Grid {
	return withID(p.Grids, id, func(f *plate.Grid) plate.ID { return f.ID })
}

func pocketOf(p *plate.Plate, id plate.ID) *plate.Pocket {
	return withID(p.Pockets, id, func(f *plate.Pocket) plate.ID { return f.ID })
}

func cutLineOf(p *plate.Plate, id plate.ID) *plate.CutLine {
	return withID(p.CutLines, id, func(f *plate.CutLine) plate.ID { return f.ID })
}

func targetOf(p *plate.Plate, id plate.ID) *plate.Target {
	return withID(p.Targets, id, func(f *plate.Target) plate.ID { return f.ID })
}

func ringOf(p *plate.Plate, id plate.ID) *plate.ClockedRing {
	return withID(p.Rings, id, func(f *plate.ClockedRing) plate.ID { return f.ID })
}

func eccentricOf(p *plate.Plate, id plate.ID) *plate.Eccentric {
	return withID(p.Eccentrics, id, func(f *plate.Eccentric) plate.ID { return f.ID })
}

func slotOf(p *plate.Plate, id plate.ID) *plate.Slot {
	return withID(p.Slots, id, func(f *plate.Slot) plate.ID { return f.ID })
}

func keepOutOf(p *plate.Plate, id plate.ID) *plate.KeepOut {
	return withID(p.KeepOuts, id, func(f *plate.KeepOut) plate.ID { return f.ID })
}

func inlayOf(p *plate.Plate, id plate.ID) *plate.Inlay {
	return withID(p.Inlays, id, func(f *plate.Inlay) plate.ID { return f.ID })
}

func settingOf(p *plate.Plate, id plate.ID) *plate.Setting {
	return withID(p.Settings, id, func(f *plate.Setting) plate.ID { return f.ID })
}

func supportOf(p *plate.Plate, id plate.ID) *plate.Support {
	return withID(p.Supports, id, func(f *plate.Support) plate.ID { return f.ID })
}

func loadOf(p *plate.Plate, id plate.ID) *plate.Load {
	return withID(p.Loads, id, func(f *plate.Load) plate.ID { return f.ID })
}

func caseOf(p *plate.Plate, id plate.ID) *plate.LoadCase {
	return withID(p.Cases, id, func(f *plate.LoadCase) plate.ID { return f.ID })
}

func holdingOf(p *plate.Plate, id plate.ID) *plate.Holding {
	return withID(p.Machining.Holding, id, func(f *plate.Holding) plate.ID { return f.ID })
}
