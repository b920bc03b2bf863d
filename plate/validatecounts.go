package plate

import "fmt"

// sums are the totals over the lists of a document.
type sums struct{ longest, paths, kept, depths, widths, samples, round, seats, angles, wanted, values, caseLoads, hubs, cells int }

func (v *validator) sums() sums {
	p, s := v.p, sums{}
	path := func(list []Corner) {
		s.paths += len(list)
		s.longest = max(s.longest, len(list))
	}
	path(p.Outline.Corners)
	s.paths += len(p.Outline.Vertices)
	s.longest = max(s.longest, len(p.Outline.Vertices))
	for _, g := range p.Grids {
		path(g.Bounds)
		s.widths, s.samples, s.hubs = max(s.widths, len(g.Widths)), max(s.samples, len(g.Samples)), max(s.hubs, len(g.Hubs))
	}
	for _, k := range p.Pockets {
		path(k.Bounds)
		s.kept, s.depths = max(s.kept, len(k.Kept)), max(s.depths, len(k.Depths))
	}
	for _, k := range p.KeepOuts {
		path(k.Bounds)
	}
	for _, x := range p.Supports {
		path(x.On.Bounds)
	}
	for _, x := range p.Loads {
		path(x.On.Bounds)
	}
	for _, b := range p.Bores {
		s.seats = max(s.seats, len(b.Seats))
	}
	for _, i := range p.Inlays {
		s.cells = max(s.cells, len(i.Cells))
	}
	for _, x := range p.Settings {
		s.values = max(s.values, len(x.Values))
	}
	for _, c := range p.Cases {
		s.caseLoads = max(s.caseLoads, len(c.Loads))
	}
	v.roundSums(&s)
	return s
}

// roundSums counts holes. A wild count is reported as such, and must not overflow here.
func (v *validator) roundSums(s *sums) {
	circle := func(count int, angles ...[]float64) {
		s.round += max(0, min(count, maxHoles))
		for _, a := range angles {
			s.angles = max(s.angles, len(a))
		}
	}
	s.round = len(v.p.Holes)
	for _, c := range v.p.Circles {
		circle(c.Count, c.Angles)
	}
	for _, c := range v.p.Rings {
		circle(c.Count, c.Angles, c.MateAngles)
		s.wanted = max(s.wanted, len(c.WantedDeg))
	}
	for _, e := range v.p.Eccentrics {
		if e.LockCircle != 0 {
			circle(e.LockCount)
		}
	}
}

func (v *validator) counts() {
	p, s := v.p, v.sums()
	for _, c := range []struct {
		code, stage, what string
		n, most           int
	}{
		{"count", StageStock, "features masked from the finish", len(p.Stock.Finish.Masked), maxMasked},
		{"count", StageOutline, "corners in one boundary", s.longest, maxCorners},
		{"count-total", StageOutline, "corners in all boundaries together", s.paths, maxAllPaths},
		{"count", StageOutline, "wrapped features", len(p.Outline.Wraps), maxWraps},
		{"count", StageBores, "bores", len(p.Bores), maxBores},
		{"count", StageBores, "seats in one bore", s.seats, maxSeats},
		{"count", StageBores, "eccentrics", len(p.Eccentrics), maxEccentrics},
		{"count", StageHoles, "holes", len(p.Holes), maxHoles},
		{"count-total", StageHoles, "holes with those of circles, rings and eccentrics", s.round, maxHoles},
		{"count", StageHoles, "bolt circles", len(p.Circles), maxCircles},
		{"count", StageHoles, "clocked rings", len(p.Rings), maxRings},
		{"count", StageHoles, "angles on one circle", s.angles, maxOnCircle},
		{"count", StageHoles, "wanted angles of one ring", s.wanted, maxWanted},
		{"count", StageHoles, "slots", len(p.Slots), maxSlots},
		{"count", StageHoles, "settings", len(p.Settings), maxSettings},
		{"count", StageHoles, "adjusters in one setting", s.values, maxValues},
		{"count", StageRibs, "ribs", len(p.Ribs), maxRibs},
		{"count", StageRibs, "rib fields", len(p.Grids), maxGrids},
		{"count", StageRibs, "ribs with their own width in one field", s.widths, maxWidths},
		{"count", StageRibs, "hubs of one field", s.hubs, maxHubs},
		{"count", StageRibs, "samples of one field", s.samples, maxSamples},
		{"count", StagePockets, "pockets", len(p.Pockets), maxPockets},
		{"count", StagePockets, "kept cells in one pocket", s.kept, maxKept},
		{"count", StagePockets, "cells with their own depth in one pocket", s.depths, maxKept},
		{"count", StagePockets, "keep-outs", len(p.KeepOuts), maxKeepOuts},
		{"count", StagePockets, "inlays", len(p.Inlays), maxInlays},
		{"count", StagePockets, "cells of one inlay", s.cells, maxKept},
		{"count", StageLoads, "supports", len(p.Supports), maxSupports},
		{"count", StageLoads, "loads", len(p.Loads), maxLoads},
		{"count", StageLoads, "load cases", len(p.Cases), maxCases},
		{"count", StageLoads, "loads in one case", s.caseLoads, maxLoads},
		{"count", StageMachining, "changes of the plan", len(p.Machining.Changes), maxChanges},
		{"count", StageMachining, "holdings", len(p.Machining.Holding), maxHolding},
		{"count", StagePrice, "batches", len(p.Price.Batches), maxBatches},
		{"count", StageTargets, "cut lines", len(p.CutLines), maxCutLines},
		{"count", StageTargets, "targets", len(p.Targets), maxTargets},
	} {
		if c.n > c.most {
			v.report(onPlate(c.stage), c.code, fmt.Sprintf("%d %s; at most %d are possible", c.n, c.what, c.most),
				"the work on one document is bounded", "remove some, or split the plate")
		}
	}
}
