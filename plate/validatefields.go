package plate

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"platewright/plate/tree"
)

func (v *validator) ribs() {
	centres := v.p.centres()
	known := func(e RibEnd) bool { _, ok := centres[e.Feature]; return ok || e.Feature == 0 }
	for _, r := range v.p.Ribs {
		a, b := r.From.point(centres), r.To.point(centres)
		f := refOf(KindRib, r.ID, r.Name).on(a[0], a[1])
		if !known(r.From) || !known(r.To) {
			continue
		}
		through := [2]float64{r.ThroughX, r.ThroughY}
		switch {
		case a == b:
			v.report(f, "rib-short", fmt.Sprintf("both ends of %s are at one place", f), "a rib has a length", "move one end")
		case r.Arc && (through == a || through == b):
			v.report(f, "rib-arc", fmt.Sprintf("the point on the arc of %s is at one of its ends", f), "an arc goes through three places", "move the point")
		}
	}
}

func (v *validator) grids() {
	cells := 0.0
	for _, g := range v.p.Grids {
		f := g.ref()
		if !v.word(f, "the kind", g.Kind.String(), gridKinds) {
			continue
		}
		if g.Kind == Spokes {
			cells += v.spokes(f, g)
		} else {
			cells += v.pitched(f, g)
		}
		if len(g.Bounds) > 0 {
			v.path(f, "the boundary", g.Bounds)
		}
	}
	if cells > maxLattice {
		v.report(onPlate(StageRibs), "grid-dense", fmt.Sprintf("the rib fields have about %.3g cells; at most %d are possible", cells, maxLattice),
			"the work on one document is bounded", "widen the pitch, or bound the fields to a smaller part of the plate")
	}
}

// pitched checks a field with a pitch, and gives about how many cells it has.
func (v *validator) pitched(f FeatureRef, g Grid) float64 {
	second := g.PitchY
	if g.Kind != Orthogrid || second == 0 {
		second = g.Pitch
	}
	least := min(g.Pitch, second)
	if g.Width >= least {
		v.report(f, "grid-pitch", fmt.Sprintf("the ribs of %s are %g mm wide at a pitch of %g mm", f, g.Width, least),
			"something must be left between ribs", "widen the pitch or narrow the ribs")
	}
	if g.Kind == Orthogrid && g.PitchY != 0 && g.PitchY < gridPitch.min {
		v.report(f, "pitch-second", fmt.Sprintf("the second pitch of %s is %g mm; it can be 0, for that of the first family, or from %g mm", f, g.PitchY, gridPitch.min),
			gridPitch.why, "widen it")
	}
	if g.Kind == Directions && len(g.Samples) == 0 {
		v.report(f, "samples-few", fmt.Sprintf("%s has no directions to follow", f), "its ribs run along given directions", "give one or more")
	}
	if !gridPitch.holds(g.Pitch) || !gridPitch.holds(second) {
		return 0
	}
	x0, y0, x1, y1 := v.p.drawnBox()
	if len(g.Bounds) > 0 {
		x0, y0, x1, y1 = box(g.Bounds)
	}
	return lattice(x1-x0, y1-y0, g.Pitch, second, g.Kind)
}

func (v *validator) spokes(f FeatureRef, g Grid) float64 {
	v.doubled(f, f.String(), "hub", g.Hubs)
	hubs := len(g.Hubs)
	if hubs == 0 {
		hubs = len(v.p.Bores)
	}
	if hubs < 2 {
		v.report(f, "hubs-few", fmt.Sprintf("%s has %d hubs", f, hubs), "spokes run from one hub to another", "choose two or more, or draw bores")
	}
	return float64(hubs) * float64(hubs-1) / 2
}

// lattice estimates from above how many cells of the given pitches lie in a box of the given size, those on its edges counted
// with it: triangles of an isogrid, rectangles, and squares of the pitch where ribs run in one direction. Numbers that are
// not finite give 0; they are reported elsewhere.
func lattice(width, height, pitch, second float64, kind GridKind) float64 {
	cell := pitch * second
	if kind == Isogrid {
		cell *= math.Sqrt(3) / 4
	}
	widest := 2 * max(pitch, second)
	if n := (width + widest) * (height + widest) / cell; finite(n) {
		return n
	}
	return 0
}

func (v *validator) pockets() {
	for _, k := range v.p.Pockets {
		f := k.ref()
		kind := v.word(f, "the kind", k.Kind.String(), pocketKinds)
		side := v.word(f, "the side", string(k.Side), pocketSides)
		if side {
			v.pocketDepth(f, k)
			v.pocketFloor(f, k)
		}
		switch {
		case !kind:
		case k.Kind == RoundPocket || k.Kind == ObroundPocket:
			if k.Radius > k.Diameter/2 {
				v.report(f, "pocket-radius", fmt.Sprintf("the inside corner radius of %s is %g mm in a pocket of %g mm", f, k.Radius, k.Diameter),
					"its cutter would not go in", "make the radius at most half of the diameter")
			}
			continue
		case len(k.Bounds) > 0 || k.Kind == DrawnPocket:
			v.path(f, "the boundary", k.Bounds)
		}
		if k.Kind == FieldPocket && !k.AllRibs {
			v.doubled(f, f.String(), "rib", k.Ribs)
		}
		if side {
			v.cellDepths(f, k)
		}
	}
	for _, k := range v.p.KeepOuts {
		v.path(k.ref(), "the boundary", k.Bounds)
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
	case k.Side == Both && k.DepthBack == 0:
		v.report(f, "pocket-depth", fmt.Sprintf("%s is from both sides but has no depth from the bottom", f), "a pocket from a face has a depth",
			"give one, or cut it from the top alone")
	case k.Side == Both && k.Depth+k.DepthBack >= t:
		v.report(f, "pocket-deep", fmt.Sprintf("%s is %g mm deep from the top and %g mm from the bottom in a plate of %g mm", f, k.Depth, k.DepthBack, t),
			"a floor is left between the two", fmt.Sprintf("make it through, or the two less than %g mm together", t))
	case k.Depth == t:
		v.report(f, "pocket-deep", fmt.Sprintf("%s is %g mm deep, exactly the thickness of the plate", f, k.Depth), "nothing is left as a floor",
			"make it through")
	case k.Depth > t:
		v.report(f, "pocket-deep", fmt.Sprintf("%s is %g mm deep in a plate of %g mm", f, k.Depth, t), "a pocket ends inside the plate",
			fmt.Sprintf("make it through, or less than %g mm deep", t))
	}
}

// pocketFloor checks what stands between floor and wall.
func (v *validator) pocketFloor(f FeatureRef, k Pocket) {
	least, what := k.Depth, "its depth"
	switch k.Side {
	case Both:
		least, what = min(k.Depth, k.DepthBack), "the less of its depths"
	case Through:
		least, what = v.p.Stock.Thickness(), "the plate's thickness"
	}
	switch {
	case k.FloorRadius == 0:
	case k.Side == Through:
		v.report(f, "pocket-floor", fmt.Sprintf("%s goes through but has a floor radius of %g mm", f, k.FloorRadius), "a window has no floor", "remove the floor radius")
	case k.FloorRadius > k.Radius:
		v.report(f, "floor-radius", fmt.Sprintf("the floor radius of %s is %g mm, above the inside corner radius of %g mm", f, k.FloorRadius, k.Radius),
			"one cutter makes both, and its corner is at most half of it", "make the floor radius smaller or the corner radius larger")
	case k.FloorRadius > least:
		v.report(f, "floor-radius", fmt.Sprintf("the floor radius of %s is %g mm, above %s of %g mm", f, k.FloorRadius, what, least),
			"the fillet ends on the wall", "make it smaller")
	}
	if l := k.Ledge; l.Width != 0 && l.Depth >= least {
		v.report(f, "ledge-deep", fmt.Sprintf("the ledge of %s is %g mm below the face, and %s %g mm", f, l.Depth, what, least),
			"the pocket goes on below its ledge", "make the ledge less deep")
	}
}

// cellDepths checks the cells with a depth of their own.
func (v *validator) cellDepths(f FeatureRef, k Pocket) {
	t := v.p.Stock.Thickness()
	seen := make(map[Anchor]bool, len(k.Depths))
	for i, d := range k.Depths {
		what := fmt.Sprintf("cell %d with its own depth of %s", i+1, f)
		if a := d.At.plain(); seen[a] {
			v.report(f, "cell-doubled", what+" has one already", "a cell has one depth", "remove one of them")
		} else {
			seen[a] = true
		}
		switch {
		case d.Through && k.Side == Through:
			v.report(f, "cell-depth", what+" is through, as the whole pocket is", "only a cell that differs is listed", "remove it")
		case d.Through:
		case k.Side != Both && d.Back != 0:
			v.report(f, "cell-depth", fmt.Sprintf("%s has %g mm from the bottom too, but the pocket is cut from one side", what, d.Back),
				"a pocket from one side has one depth", "remove it, or cut the pocket from both sides")
		case d.Depth+d.Back == 0:
			v.report(f, "cell-depth", what+" is 0 mm deep", "a cell has a depth", "give one, or keep the cell solid")
		case d.Depth+d.Back >= t:
			v.report(f, "cell-deep", fmt.Sprintf("%s is %g mm deep in a plate of %g mm", what, d.Depth+d.Back, t), "a floor is left",
				"make it through, or less deep")
		}
	}
}

func (v *validator) inlays() {
	pockets := make(map[ID]Pocket, len(v.p.Pockets))
	for _, k := range v.p.Pockets {
		pockets[k.ID] = k
	}
	for _, i := range v.p.Inlays {
		f := i.ref()
		v.strength(f, i.Material)
		if !i.All && len(i.Cells) == 0 {
			v.report(f, "inlay-cells", fmt.Sprintf("%s sits in no cell", f), "a panel has a place", "choose cells, or all")
		}
		k, ok := pockets[i.Pocket]
		if ok && k.Side == Through && k.Ledge.Width == 0 {
			v.report(f, "inlay-seat", fmt.Sprintf("%s sits in the window %q without a ledge", f, k.Name), "nothing holds it up",
				"give the pocket a ledge, or a floor")
		}
		if l := k.Ledge; ok && l.Width != 0 && i.Clearance >= l.Width {
			v.report(f, "inlay-seat", fmt.Sprintf("%s has %g mm of clearance on a ledge of %g mm", f, i.Clearance, l.Width), "it would fall past the ledge",
				"widen the ledge or narrow the clearance")
		}
	}
}

func (v *validator) targets() {
	for _, c := range v.p.CutLines {
		if c.X1 == c.X2 && c.Y1 == c.Y2 {
			f := c.ref()
			v.report(f, "cut-line-short", fmt.Sprintf("both ends of %s are at one place", f), "a line has a direction", "move one end")
		}
	}
	for _, t := range v.p.Targets {
		f := t.ref()
		if t.Case != 0 && t.Quantity != Reserve && t.Quantity != Deflect {
			v.report(f, "target-case", fmt.Sprintf("%s is on %s but names a load case", f, t.Quantity), "only reserve factor and deflection are of a load case",
				"remove the load case")
		}
		v.word(f, "the sense", string(t.Sense), senses)
		switch known := v.word(f, "the quantity", string(t.Quantity), quantities); {
		case !known:
		case t.Quantity != SectionEI && t.CutLine != 0:
			v.report(f, "target-cut-line", fmt.Sprintf("%s is on %s but names a cut line", f, t.Quantity), "only section stiffness is taken at a cut line",
				"remove the cut line")
		case t.Quantity == SectionEI && t.CutLine == 0:
			v.report(f, "target-cut-line", fmt.Sprintf("%s is on section stiffness but names no cut line", f), "a section is taken at a cut line",
				"choose a cut line")
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
	for i, c := range m.Changes {
		if c.Where != "" {
			v.word(on, fmt.Sprintf("the place of change %d", i+1), c.Where, places)
		}
	}
	for i, h := range m.Holding {
		v.word(on, fmt.Sprintf("the kind of holding %d", i+1), string(h.Kind), holdingKinds)
	}
}

// amount is how money is written: digits, and up to four after a point.
var amount = regexp.MustCompile(`^([0-9]{1,9}([.][0-9]{1,4})?)?$`)

func (v *validator) price() {
	p, on := v.p.Price, onPlate(StagePrice)
	if !amount.MatchString(p.BoughtIn) {
		v.report(on, "price-amount", fmt.Sprintf("the price of a blank is %q", tree.Clip(p.BoughtIn)), "money is written in digits with a decimal point",
			"write it like 24.50, or leave it out to price the blank by its mass")
	}
	seen := make(map[int]bool)
	for _, n := range p.Batches {
		if seen[n] {
			v.report(on, "batch-doubled", fmt.Sprintf("the batch of %d stands twice", n), "each has one line in the table", "remove one of them")
		}
		seen[n] = true
	}
}
