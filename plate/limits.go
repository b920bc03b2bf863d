package plate

import (
	"math"
	"strconv"
)

// limit is the range of a number in a document and the reason for it.
type limit struct {
	min, max float64
	open     bool // min itself is not allowed
	why      string
}

func (l limit) holds(v float64) bool {
	return v >= l.min && v <= l.max && (!l.open || v > l.min)
}

func itoa(i int) string { return strconv.Itoa(i) }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// The ranges of every number. They are wide: their job is to catch a wrong unit or a slip of the hand, and to keep the
// geometry within what its tolerances are proven for. Whether a plate is sensible is for the checks.
var (
	coordinate   = limit{-5000, 5000, false, "the drawing area is 10 × 10 m about the origin"}
	thickness    = limit{0.5, 200, false, "flat stock of 0.5 to 200 mm"}
	diameter     = limit{0, 5000, true, "a round has a diameter, and fits the drawing area"}
	ribWidth     = limit{0, 1000, true, "a rib has a width"}
	keptWidth    = limit{0, 1000, false, "0 for none; wider than 1 m is a slip"}
	outlineRound = limit{0, 5000, false, "0 is sharp; no larger than the drawing area"}
	insideRound  = limit{0, 500, true, "a milling cutter is round, so an inside corner has a radius"}
	margin       = limit{0, 1000, false, "the blank holds the outline; more than 1 m is a slip"}
	blankSide    = limit{0, 10000, true, "a rectangle has sides, and fits the drawing area"}
	depth        = limit{0, 200, false, "0 where it goes through; at most the thickest stock"}
	zone         = limit{0, 10, false, "width of a diameter's tolerance zone; 0 is the shop's general tolerance"}
	turnDeg      = limit{-360, 360, false, "one turn either way"}
	gridPitch    = limit{2, 5000, false, "closer than 2 mm no cutter enters between the ribs"}
	leastArea    = limit{0, 25e6, false, "0 cuts every cell that the cutter enters; at most a quarter of the drawing area"}
	targetValue  = limit{0, 1e18, true, "a target is above zero"}
	density      = limit{0, 25000, true, "kg/m³; the densest metals have some 22 600"}
	stress       = limit{0, 10000, true, "MPa; no metal plate is stronger than 10 000"}
	modulus      = limit{0, 1e6, true, "MPa; aluminium has about 70 000"}
	poisson      = limit{0, 0.5, false, "an isotropic metal has 0 to 0.5"}
	circleCount  = limit{1, 360, false, "1 to 360 holes on one circle"}
	latticeIndex = limit{-1e6, 1e6, false, "triangles of a grid are counted from its node"}
	triangleHalf = limit{0, 1, false, "0 or 1: which of the two triangles of a lattice cell"}
)

// The numbers of things that one document may hold.
const (
	maxBores    = 2000
	maxHoles    = 20_000 // single ones; also single ones and those of bolt circles together
	maxCircles  = 2000
	maxRibs     = 20_000
	maxGrids    = 20
	maxPockets  = 200
	maxCutLines = 200
	maxTargets  = 200
	maxCorners  = 10_000 // of one path
	maxAllPaths = 20_000 // corners of all paths together
	maxKept     = 20_000 // cells of one pocket field
	maxLattice  = 20_000 // triangles of all grids together
	maxName     = 80     // characters
	maxText     = 300    // of the texts about the material
	maxNote     = 10_000
)

// number is one numeric value of the document with where it belongs.
type number struct {
	feature  ID     // 0 for the plate
	kind     Kind   // of the feature, empty for the plate
	name     string // of the feature
	stage    string
	of       string // what of the labelled thing, like "x of "
	label    string // in words
	index    int    // which of several, from 1; 0 where there is one
	unit     string
	value    float64
	limit    limit
	where    [2]float64
	hasWhere bool
}

// what names the number in words. It is put together only when it is needed: most numbers are right.
func (n number) what() string {
	s := n.of + n.label
	if n.index > 0 {
		s += " " + itoa(n.index)
	}
	return s + " of " + n.owner()
}

func (n number) owner() string {
	if n.kind == "" {
		return "the plate"
	}
	return FeatureRef{Name: n.name, Kind: n.kind}.String()
}

// visitNumbers calls visit for every number of the document that means something: not, say, for the margin of a fixed blank.
func (p Plate) visitNumbers(visit func(number)) {
	v := numberVisitor{p, visit}
	v.stock()
	v.path(number{stage: StageOutline, label: outlineCorner}, p.Outline.Corners, outlineRound)
	v.one(number{stage: StageOutline}, "the rim's width", "mm", p.Rim, keptWidth)
	v.round()
	v.ribs()
	for _, k := range p.Pockets {
		v.pocket(k)
	}
	for _, c := range p.CutLines {
		n := number{feature: c.ID, kind: KindCutLine, name: c.Name, stage: StageTargets}
		v.place(n, "the first end", c.X1, c.Y1)
		v.place(n, "the second end", c.X2, c.Y2)
	}
	for _, t := range p.Targets {
		n := number{feature: t.ID, kind: KindTarget, name: t.Name, stage: StageTargets}
		v.one(n, "the value", t.Quantity.Unit(), t.Value, targetValue)
	}
	v.place(number{stage: StageMachining}, "the work zero", p.Machining.ZeroX, p.Machining.ZeroY)
}

type numberVisitor struct {
	p     Plate
	visit func(number)
}

func (v numberVisitor) one(n number, label, unit string, value float64, l limit) {
	n.label, n.unit, n.value, n.limit = label, unit, value, l
	v.visit(n)
}

func (v numberVisitor) place(n number, label string, x, y float64) {
	if finite(x) && finite(y) {
		n.where, n.hasWhere = [2]float64{x, y}, true
	}
	n.of = "x of "
	v.one(n, label, "mm", x, coordinate)
	n.of = "y of "
	v.one(n, label, "mm", y, coordinate)
}

func (v numberVisitor) stock() {
	s, n := v.p.Stock, number{stage: StageStock}
	m := s.Material
	v.one(n, "the density", "kg/m³", m.Density, density)
	v.one(n, "Young's modulus", "MPa", m.Young, modulus)
	v.one(n, "Poisson's ratio", "", m.Poisson, poisson)
	v.one(n, "the proof stress", "MPa", m.Proof, stress)
	v.one(n, "the ultimate strength", "MPa", m.Ultimate, stress)
	v.one(n, "the nominal thickness", "mm", s.Nominal, thickness)
	v.one(n, "the finished thickness", "mm", s.Finished, thickness)
	b := s.Blank
	if !b.Fixed {
		v.one(n, "the blank's margin", "mm", b.Margin, margin)
		return
	}
	v.place(n, "the blank's lower left corner", b.X, b.Y)
	v.one(n, "the blank's width", "mm", b.Width, blankSide)
	v.one(n, "the blank's height", "mm", b.Height, blankSide)
}

// path visits the corners of a path; n.label names one of them.
func (v numberVisitor) path(n number, list []Corner, radius limit) {
	what := n.label
	for i, c := range list {
		n.index = i + 1
		v.place(n, what, c.X, c.Y)
		m := n.at(c.X, c.Y)
		m.of = "the radius of "
		v.one(m, what, "mm", c.Radius, radius)
		if c.Arc {
			v.place(n, v.arcLabel(what), c.ThroughX, c.ThroughY)
		}
	}
}

func (v numberVisitor) arcLabel(corner string) string {
	if corner == outlineCorner {
		return "the arc's point after " + outlineCorner
	}
	return "the arc's point after " + boundaryCorner
}

// The corners of paths, in words.
const (
	outlineCorner  = "outline corner"
	boundaryCorner = "boundary corner"
)

func (v numberVisitor) form(n number, f HoleForm) {
	v.one(n, "the thread depth", "mm", f.Depth, depth)
	v.one(n, "the boss's width", "mm", f.Boss, keptWidth)
}

func (n number) at(x, y float64) number {
	if finite(x) && finite(y) {
		n.where, n.hasWhere = [2]float64{x, y}, true
	}
	return n
}

func (v numberVisitor) round() {
	for _, b := range v.p.Bores {
		n := number{feature: b.ID, kind: KindBore, name: b.Name, stage: StageBores}.at(b.X, b.Y)
		v.place(n, "the centre", b.X, b.Y)
		v.one(n, "the diameter", "mm", b.Diameter, diameter)
		v.one(n, "the boss's width", "mm", b.Boss, keptWidth)
		v.one(n, "the tolerance zone", "mm", b.Tolerance, zone)
	}
	for _, h := range v.p.Holes {
		n := number{feature: h.ID, kind: KindHole, name: h.Name, stage: StageHoles}.at(h.X, h.Y)
		v.place(n, "the centre", h.X, h.Y)
		v.form(n, h.HoleForm)
	}
	for _, c := range v.p.Circles {
		n := number{feature: c.ID, kind: KindCircle, name: c.Name, stage: StageHoles}.at(v.p.CircleCentre(c))
		if c.Bore == 0 {
			v.place(n, "the centre", c.X, c.Y)
		}
		v.one(n, "the diameter", "mm", c.Diameter, diameter)
		v.one(n, "the number of holes", "", float64(c.Count), circleCount)
		v.one(n, "the first hole's angle", "°", c.StartDeg, turnDeg)
		v.form(n, c.HoleForm)
	}
}

func (v numberVisitor) ribs() {
	for _, r := range v.p.Ribs {
		n := number{feature: r.ID, kind: KindRib, name: r.Name, stage: StageRibs}
		if r.From.Feature == 0 {
			v.place(n, "the first end", r.From.X, r.From.Y)
		}
		if r.To.Feature == 0 {
			v.place(n, "the second end", r.To.X, r.To.Y)
		}
		v.one(n, "the width", "mm", r.Width, ribWidth)
	}
	for _, g := range v.p.Grids {
		n := number{feature: g.ID, kind: KindGrid, name: g.Name, stage: StageRibs}.at(g.X, g.Y)
		v.one(n, "the pitch", "mm", g.Pitch, gridPitch)
		v.one(n, "the angle", "°", g.AngleDeg, turnDeg)
		v.place(n, "the node", g.X, g.Y)
		v.one(n, "the rib width", "mm", g.Width, ribWidth)
		n.label = boundaryCorner
		v.path(n, g.Bounds, outlineRound)
	}
}

func (v numberVisitor) pocket(k Pocket) {
	n := number{feature: k.ID, kind: KindPocket, name: k.Name, stage: StagePockets}
	v.one(n, "the depth", "mm", k.Depth, depth)
	v.one(n, "the inside corner radius", "mm", k.Radius, insideRound)
	v.one(n, "the least area of a cell", "mm²", k.LeastArea, leastArea)
	n.label = boundaryCorner
	v.path(n, k.Bounds, outlineRound)
	for i, a := range k.Kept {
		const label = "kept cell"
		n.index = i + 1
		if a.Grid == 0 {
			v.place(n, label, a.X, a.Y)
			continue
		}
		for _, c := range []struct {
			of    string
			value int
			limit limit
		}{{"i of ", a.I, latticeIndex}, {"j of ", a.J, latticeIndex}, {"k of ", a.K, triangleHalf}} {
			n.of = c.of
			v.one(n, label, "", float64(c.value), c.limit)
		}
	}
}

// text is one free text of the document with where it belongs.
type text struct {
	FeatureRef        // the zero value for the plate
	label      string // in words
	value      string
	most       int // characters
	empty      bool
	lines      bool // may have several lines
}

func (t text) owner() string {
	if t.Kind == "" {
		return "the plate"
	}
	return t.String()
}

// visitTexts calls visit for every free text of the document.
func (p Plate) visitTexts(visit func(text)) {
	stock, machining := FeatureRef{Stage: StageStock}, FeatureRef{Stage: StageMachining}
	m := p.Stock.Material
	visit(text{FeatureRef{Stage: StageOutline}, "the name", p.Name, maxName, false, false})
	visit(text{FeatureRef{Stage: StageOutline}, "the note", p.Note, maxNote, true, true})
	visit(text{stock, "the material's alloy", m.Alloy, maxText, false, false})
	visit(text{stock, "the material's temper", m.Temper, maxText, true, false})
	visit(text{stock, "the material's machining group", m.Group, maxText, false, false})
	visit(text{stock, "the material's source", m.Source, maxText, true, false})
	visit(text{machining, "the shop profile's name", p.Machining.Shop, maxName, false, false})
	visit(text{machining, "the shop profile's hash", p.Machining.ShopHash, maxName, true, false})
	for _, f := range p.Features() {
		visit(text{f, "the name", f.Name, maxName, false, false})
	}
	for _, h := range p.Holes {
		visit(text{FeatureRef{ID: h.ID, Name: h.Name, Kind: KindHole, Stage: StageHoles}, "the size", h.Size, maxName, false, false})
	}
	for _, c := range p.Circles {
		visit(text{FeatureRef{ID: c.ID, Name: c.Name, Kind: KindCircle, Stage: StageHoles}, "the size", c.Size, maxName, false, false})
	}
}

// Unit is the unit of the quantity's values, empty for a ratio.
func (q Quantity) Unit() string {
	switch q {
	case MassKG:
		return "kg"
	case CycleMin:
		return "min"
	case SectionEI:
		return "N·mm²"
	}
	return ""
}
