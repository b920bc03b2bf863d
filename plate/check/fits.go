package check

import (
	"fmt"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// growthSpread is the share by which the growth of a finish varies either way from piece to piece: common practice, no
// source.
const growthSpread = 0.25

// fitted is one diameter or width with a tolerance class.
type fitted struct {
	class string
	size  float64
	who   string
	w     place
}

// fits checks tolerance classes by themselves and against the finish, and threads against the finish.
func (r *run) fits() {
	finish := r.l.Plate.Stock.Finish
	masked := func(id int64) bool { return slices.Contains(finish.Masked, plate.ID(id)) }
	for _, f := range r.listFits() {
		_, grade, err := standard.ParseClass(f.class)
		lim, err2 := standard.Fit(f.class, f.size)
		if err != nil || err2 != nil {
			continue // Validate names it
		}
		g := group{a: f.w.feature}
		say := func(fix, format string, args ...any) func(Rule) place {
			return func(Rule) place {
				w := f.w
				w.what, w.fix = f.who+" "+fmt.Sprintf(format, args...), fix
				return w
			}
		}
		r.test("fit-fine", float64(grade), g, "fits", say("take IT7 unless the part needs more", "asks for %s", f.class))
		if finish.Name == "" || masked(f.w.feature) {
			continue
		}
		r.test("fit-no-allowance", finish.Growth, g, "fits", say("say by how much the finish grows, or mask it",
			"is %s after the finish %q, whose growth is given as 0", f.class, finish.Name))
		before := "masked"
		if b, err := lim.BeforeFinish(finish.Growth); err == nil {
			before = b.String()
		}
		spread := 2 * 2 * growthSpread * finish.Growth
		r.test("finish-eats-fit", spread/lim.IT, g, "fits", say("mask it, choose a wider class, or agree on a closer finish",
			"is %s, a zone of %s, of which the finish %q may take %s (to be cut to %s)", f.class, mm(lim.IT), finish.Name, mm(spread), before))
	}
	if finish.Name == "" || finish.Growth == 0 {
		return
	}
	for i := range r.l.Cuts {
		if c := &r.l.Cuts[i]; c.Kind == layout.CutTapped && !masked(int64(c.Feature)) {
			r.threadFinish(c, finish)
		}
	}
}

// threadFinish checks that a screw of class 6g still enters a thread that the finish has narrowed.
func (r *run) threadFinish(c *layout.Cut, finish plate.Finish) {
	allowance := (15 + 11*c.Pitch) / 1000 // mm
	r.test("thread-finish", 4*finish.Growth/allowance, group{a: int64(c.Feature)}, "holes", func(Rule) place {
		who, w := holePlace(c)
		w.what = fmt.Sprintf("%s: the finish %q narrows the pitch diameter of %s by %s; a screw of class 6g has an allowance of %s",
			who, finish.Name, c.Thread, mm(4*finish.Growth), mm(allowance))
		w.fix = "mask the thread, or tap it after the finish"
		return w
	})
}

// holePlace names the hole that a cut belongs to.
func holePlace(c *layout.Cut) (who string, w place) {
	w = place{stage: plate.StageHoles, feature: int64(c.Feature), featureName: c.FeatureName, at: c.Center}
	if c.Hole > 0 {
		return fmt.Sprintf("hole %d of %q", c.Hole, c.FeatureName), w
	}
	return fmt.Sprintf("hole %q", c.FeatureName), w
}

// listFits lists everything with a class, from the cuts, so that each stands where it is cut.
func (r *run) listFits() []fitted {
	var out []fitted
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		if c.Fit == "" {
			continue
		}
		f := fitted{class: c.Fit, size: c.Diameter}
		switch c.Kind {
		case layout.CutBore, layout.CutSeat:
			f.who = fmt.Sprintf("bore %q", c.FeatureName)
			if c.Kind == layout.CutSeat {
				f.who = fmt.Sprintf("seat %d of bore %q", c.Part, c.FeatureName)
			}
			f.w = place{stage: plate.StageBores, feature: int64(c.Feature), featureName: c.FeatureName, at: c.Center}
		case layout.CutSlot:
			f.size = 2 * c.LeastRadius
			f.who = fmt.Sprintf("the width of slot %q", c.FeatureName)
			f.w = place{stage: plate.StageHoles, feature: int64(c.Feature), featureName: c.FeatureName, at: c.Center}
		case layout.CutReamed:
			f.who, f.w = holePlace(c)
		default:
			continue
		}
		out = append(out, f)
	}
	return out
}

// forms are the hole forms of the document by feature.
func forms(p *plate.Plate) map[plate.ID]plate.HoleForm {
	m := map[plate.ID]plate.HoleForm{}
	for _, h := range p.Holes {
		m[h.ID] = h.HoleForm
	}
	for _, c := range p.Circles {
		m[c.ID] = c.HoleForm
	}
	for _, c := range p.Rings {
		m[c.ID] = c.HoleForm
	}
	for _, e := range p.Eccentrics {
		m[e.ID] = e.Lock
	}
	return m
}

// heads checks counterbores and countersinks against the screws' heads and the metal under them.
func (r *run) heads() {
	of := forms(&r.l.Plate)
	for i := range r.l.Cuts {
		c := &r.l.Cuts[i]
		f, ok := of[c.Feature]
		if !ok || c.Kind != layout.CutCounterbore && c.Kind != layout.CutCountersink {
			continue
		}
		say := func(fix, format string, args ...any) func(Rule) place {
			return func(Rule) place {
				who, w := holePlace(c)
				w.what, w.fix = fmt.Sprintf("the %s of %s ", c.Kind, who)+fmt.Sprintf(format, args...), fix
				return w
			}
		}
		if c.Kind == layout.CutCounterbore {
			r.counterbore(c, f, say)
		} else {
			r.countersink(c, f, say)
		}
	}
}

func (r *run) counterbore(c *layout.Cut, f plate.HoleForm, say func(string, string, ...any) func(Rule) place) {
	g := group{a: int64(c.Feature)}
	if dia, height, ok := standard.CapHead(f.Size); ok {
		r.test("head-clash", dia-c.Diameter, g, "holes", say("make it as wide as the table of the head's standard says",
			"is %s wide; the head of %s is up to %s", mm(c.Diameter), f.Size, mm(dia)))
		r.test("head-proud", height-c.Depth(), g, "holes", say("make it as deep as the table of the head's standard says",
			"is %s deep; the head of %s is up to %s high", mm(c.Depth()), f.Size, mm(height)))
	}
	left := r.l.Thickness - c.Depth()
	d, ok := standard.NominalDiameter(f.Size)
	if left <= touching || !ok {
		return // the layout tells of none at all
	}
	thin, share := r.rule("head-floor-thin", "warning"), r.rule("head-floor-thin", "note")
	tell := say("choose a lower head, a smaller screw or a thicker plate", "leaves %s of metal under the head of %s", mm(left), f.Size)
	switch {
	case thin.broken(left):
		r.add(thin, thin.excess(left), g, "holes", tell)
	case share.broken(left / d):
		r.add(share, share.excess(left/d), g, "holes", tell)
	}
}

func (r *run) countersink(c *layout.Cut, f plate.HoleForm, say func(string, string, ...any) func(Rule) place) {
	g := group{a: int64(c.Feature)}
	r.test("sink-deep", c.Depth()/r.l.Thickness, g, "holes", say("choose a smaller screw, a counterbore or a thicker plate",
		"is %s deep in a plate of %s", mm(c.Depth()), mm(r.l.Thickness)))
	dia, _, ok := standard.Countersink(f.Size)
	if !ok {
		dia, _, ok = standard.CountersinkDIN7991(f.Size)
	}
	if ok {
		r.test("head-proud", (dia-c.Diameter)/2, g, "holes", say("make it as wide as the table of the head's standard says",
			"is %s wide at the face; the head of %s is up to %s", mm(c.Diameter), f.Size, mm(dia)))
	}
}

// inlays checks panels against what they sit in.
func (r *run) inlays() {
	for i := range r.l.Plate.Inlays {
		n := &r.l.Plate.Inlays[i]
		w := place{stage: plate.StagePockets, feature: int64(n.ID), featureName: n.Name, at: r.panelPlace(n.ID)}
		g := group{a: int64(n.ID)}
		r.test("inlay-tight", n.Clearance, g, "", func(k Rule) place {
			w := w
			w.what = fmt.Sprintf("inlay %q has a clearance of %s, limit %s", n.Name, mm(n.Clearance), mm(k.Limit))
			w.fix = fmt.Sprintf("give it a clearance of %s", mm(k.Limit))
			return w
		})
		for k := range r.l.Plate.Pockets {
			p := &r.l.Plate.Pockets[k]
			if p.ID != n.Pocket || p.Ledge.Width == 0 {
				continue
			}
			r.test("ledge-narrow", p.Ledge.Width-n.Clearance, g, "", func(k Rule) place {
				w := w
				w.what = fmt.Sprintf("inlay %q bears on %s of the ledge of pocket %q (%s less its clearance of %s), limit %s",
					n.Name, mm(p.Ledge.Width-n.Clearance), p.Name, mm(p.Ledge.Width), mm(n.Clearance), mm(k.Limit))
				w.fix = fmt.Sprintf("make the ledge %s wide", mm(k.Limit+n.Clearance))
				return w
			})
		}
	}
}

// panelPlace is where an inlay's first panel lies; the middle of the plate where it has none.
func (r *run) panelPlace(id plate.ID) geom.Point {
	for i := range r.l.Panels {
		if r.l.Panels[i].Inlay == id {
			return r.l.Panels[i].Region.Box().Center()
		}
	}
	return r.l.Outline.Box().Center()
}
