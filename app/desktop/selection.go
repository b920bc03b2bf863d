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
	// corner counts from 1 the corner of the outline or, with an id, of the feature's boundary; 0 for none.
	corner int
	cell   plate.Anchor // the cell of pocket id, when onCell
	onCell bool
}

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
	{plate.StageMachining, "Machining"},
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
	if s.corner > len(s.path(p)) {
		s.corner = 0
	}
	return s
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
		if s.stage == plate.StageOutline {
			return &p.Outline.Corners
		}
		return nil
	}
	if g := gridOf(p, s.id); g != nil {
		return &g.Bounds
	}
	if k := pocketOf(p, s.id); k != nil {
		return &k.Bounds
	}
	return nil
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
		same := c.Anchor == s.cell
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
func featureTitle(f plate.FeatureRef) string { return string(f.Kind) + " " + f.Name }

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
