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

// The features of a document by id; nil when there is none.

func boreOf(p *plate.Plate, id plate.ID) *plate.Bore {
	for i := range p.Bores {
		if p.Bores[i].ID == id {
			return &p.Bores[i]
		}
	}
	return nil
}

func holeOf(p *plate.Plate, id plate.ID) *plate.Hole {
	for i := range p.Holes {
		if p.Holes[i].ID == id {
			return &p.Holes[i]
		}
	}
	return nil
}

func circleOf(p *plate.Plate, id plate.ID) *plate.BoltCircle {
	for i := range p.Circles {
		if p.Circles[i].ID == id {
			return &p.Circles[i]
		}
	}
	return nil
}

func ribOf(p *plate.Plate, id plate.ID) *plate.Rib {
	for i := range p.Ribs {
		if p.Ribs[i].ID == id {
			return &p.Ribs[i]
		}
	}
	return nil
}

func gridOf(p *plate.Plate, id plate.ID) *plate.Grid {
	for i := range p.Grids {
		if p.Grids[i].ID == id {
			return &p.Grids[i]
		}
	}
	return nil
}

func pocketOf(p *plate.Plate, id plate.ID) *plate.Pocket {
	for i := range p.Pockets {
		if p.Pockets[i].ID == id {
			return &p.Pockets[i]
		}
	}
	return nil
}

func cutLineOf(p *plate.Plate, id plate.ID) *plate.CutLine {
	for i := range p.CutLines {
		if p.CutLines[i].ID == id {
			return &p.CutLines[i]
		}
	}
	return nil
}

func targetOf(p *plate.Plate, id plate.ID) *plate.Target {
	for i := range p.Targets {
		if p.Targets[i].ID == id {
			return &p.Targets[i]
		}
	}
	return nil
}
