package plate

import (
	"fmt"
	"math"
	"slices"
)

func (v *validator) grids() {
	triangles := 0.0
	for _, g := range v.p.Grids {
		f := FeatureRef{g.ID, g.Name, KindGrid, StageRibs, [2]float64{g.X, g.Y}, true}
		if g.Width >= g.Pitch {
			v.report(f, "grid-pitch", fmt.Sprintf("the ribs of %s are %g mm wide at a pitch of %g mm", f, g.Width, g.Pitch),
				"a triangle must be left between ribs", "widen the pitch or narrow the ribs")
		}
		bounds := g.Bounds
		if len(bounds) > 0 {
			v.path(f, "the boundary", bounds)
		} else {
			bounds = v.p.Outline.Corners
		}
		if gridPitch.holds(g.Pitch) {
			triangles += lattice(bounds, g.Pitch)
		}
	}
	if triangles > maxLattice {
		v.report(onPlate(StageRibs), "grid-dense", fmt.Sprintf("the isogrids have about %.3g triangles; at most %d are possible", triangles, maxLattice),
			"the work on one document is bounded", "widen the pitch, or bound the grids to a smaller part of the plate")
	}
}

// lattice estimates from above how many triangles of the given pitch lie in the box of a path, those on its edges counted
// with it. Numbers that are not finite give 0; they are reported elsewhere.
func lattice(path []Corner, pitch float64) float64 {
	x0, y0, x1, y1 := box(path)
	n := (x1 - x0 + 2*pitch) * (y1 - y0 + 2*pitch) / (pitch * pitch * math.Sqrt(3) / 4)
	if !finite(n) {
		return 0
	}
	return n
}

// box is the box of a path's drawn points, those on arcs included.
func box(path []Corner) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	grow := func(x, y float64) {
		x0, x1 = min(x0, x), max(x1, x)
		y0, y1 = min(y0, y), max(y1, y)
	}
	for _, c := range path {
		grow(c.X, c.Y)
		if c.Arc {
			grow(c.ThroughX, c.ThroughY)
		}
	}
	return x0, y0, x1, y1
}

func (v *validator) pockets() {
	for _, k := range v.p.Pockets {
		f := FeatureRef{ID: k.ID, Name: k.Name, Kind: KindPocket, Stage: StagePockets}
		if v.word(f, "the side", string(k.Side), sides) {
			v.pocketDepth(f, k)
		}
		if len(k.Bounds) > 0 {
			v.path(f, "the boundary", k.Bounds)
		}
		if !k.AllRibs {
			v.pocketRibs(f, k.Ribs)
		}
		for i, a := range k.Kept {
			if a.Grid != 0 {
				v.reference(f, "kept cell "+itoa(i+1), a.Grid, KindGrid)
			}
		}
	}
}

func (v *validator) pocketDepth(f FeatureRef, k Pocket) {
	t := v.p.Stock.Thickness()
	switch {
	case k.Side == Through && k.Depth != 0:
		v.report(f, "pocket-depth", fmt.Sprintf("%s goes through but has the depth %g mm", f, k.Depth), "a window is as deep as the plate",
			"remove the depth, or choose a face")
	case k.Side == Through:
	case k.Depth == 0:
		v.report(f, "pocket-depth", fmt.Sprintf("%s has no depth", f), "a pocket from a face has a depth", "give a depth, or make it through")
	case k.Depth == t:
		v.report(f, "pocket-deep", fmt.Sprintf("%s is %g mm deep, exactly the thickness of the plate", f, k.Depth), "nothing is left as a floor",
			"make it through")
	case k.Depth > t:
		v.report(f, "pocket-deep", fmt.Sprintf("%s is %g mm deep in a plate of %g mm", f, k.Depth, t), "a pocket ends inside the plate",
			fmt.Sprintf("make it through, or less than %g mm deep", t))
	}
}

func (v *validator) pocketRibs(f FeatureRef, ids []ID) {
	seen := make(map[ID]bool, len(ids))
	for _, id := range ids {
		if seen[id] {
			v.report(f, "reference-doubled", fmt.Sprintf("%s lists the rib %d twice", f, id), "a rib divides a field once", "list it once")
			continue
		}
		seen[id] = true
		v.reference(f, "a rib", id, KindRib, KindGrid)
	}
}

func (v *validator) targets() {
	for _, c := range v.p.CutLines {
		if c.X1 == c.X2 && c.Y1 == c.Y2 {
			f := FeatureRef{c.ID, c.Name, KindCutLine, StageTargets, [2]float64{c.X1, c.Y1}, true}
			v.report(f, "cut-line-short", fmt.Sprintf("both ends of %s are at one place", f), "a line has a direction", "move one end")
		}
	}
	for _, t := range v.p.Targets {
		f := FeatureRef{ID: t.ID, Name: t.Name, Kind: KindTarget, Stage: StageTargets}
		v.word(f, "the sense", string(t.Sense), senses)
		switch known := v.word(f, "the quantity", string(t.Quantity), quantities); {
		case !known:
		case t.Quantity != SectionEI && t.CutLine != 0:
			v.report(f, "target-cut-line", fmt.Sprintf("%s is on %s but names a cut line", f, t.Quantity), "only section stiffness is taken at a cut line",
				"remove the cut line")
		case t.Quantity == SectionEI && t.CutLine == 0:
			v.report(f, "target-cut-line", fmt.Sprintf("%s is on section stiffness but names no cut line", f), "a section is taken at a cut line",
				"choose a cut line")
		case t.Quantity == SectionEI:
			v.reference(f, "the cut line", t.CutLine, KindCutLine)
		}
	}
}

func (v *validator) machining() {
	m, on := v.p.Machining, onPlate(StageMachining)
	v.word(on, "the turn axis", string(m.Turn), axes)
	hex := func(r rune) bool { return '0' <= r && r <= '9' || 'a' <= r && r <= 'f' }
	if m.ShopHash != "" && (len(m.ShopHash) != 64 || slices.ContainsFunc([]rune(m.ShopHash), func(r rune) bool { return !hex(r) })) {
		v.report(on, "shop-hash", "the shop profile's hash is not 64 hexadecimal digits in lower case", "it is a SHA-256",
			"choose the shop profile again")
	}
}
