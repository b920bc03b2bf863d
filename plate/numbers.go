package plate

import "platewright/plate/material"

// number is one numeric value of the document with where it belongs.
type number struct {
	FeatureRef        // the zero value but for its stage for the plate
	of         string // what of the labelled thing, like "x of "
	label      string // in words
	index      int    // which of several, from 1; 0 where there is one
	unit       string
	value      float64
	limit      limit
}

// what names the number in words. It is put together only when it is needed: most numbers are right.
func (n number) what() string {
	s := n.of + n.label
	if n.index > 0 {
		s += " " + itoa(n.index)
	}
	return s + " of " + n.owner()
}

// owner is the feature in words, or the plate.
func (f FeatureRef) owner() string {
	if f.Kind == "" {
		return "the plate"
	}
	return f.String()
}

func (n number) at(x, y float64) number {
	if finite(x) && finite(y) {
		n.Where, n.HasWhere = [2]float64{x, y}, true
	}
	return n
}

func onStage(stage string) number { return number{FeatureRef: onPlate(stage)} }

// visitNumbers calls visit for every number of the document that means something: not, say, for the margin of a fixed blank.
func (p Plate) visitNumbers(visit func(number)) {
	v := numberVisitor{p, visit}
	v.stock()
	v.outline()
	for _, b := range p.Bores {
		v.bore(b)
	}
	for _, h := range p.Holes {
		n := number{FeatureRef: h.ref()}
		v.place(n, "the centre", h.X, h.Y)
		v.form(n, h.HoleForm)
	}
	for _, c := range p.Circles {
		v.circle(number{FeatureRef: p.circleRef(c, KindCircle)}, c)
	}
	for _, c := range p.Rings {
		v.ring(c)
	}
	for _, e := range p.Eccentrics {
		v.eccentric(e)
	}
	for _, s := range p.Slots {
		v.slot(s)
	}
	for _, r := range p.Ribs {
		v.rib(r)
	}
	for _, g := range p.Grids {
		v.grid(g)
	}
	for _, k := range p.Pockets {
		v.pocket(k)
	}
	for _, k := range p.KeepOuts {
		v.path(number{FeatureRef: k.ref(), label: boundaryCorner}, k.Bounds, outlineRound)
	}
	for _, i := range p.Inlays {
		v.inlay(i)
	}
	v.settings()
	v.loads()
	for _, c := range p.CutLines {
		n := number{FeatureRef: c.ref()}
		n.HasWhere, n.Where = false, [2]float64{}
		v.place(n, "the first end", c.X1, c.Y1)
		v.place(n, "the second end", c.X2, c.Y2)
	}
	for _, t := range p.Targets {
		v.one(number{FeatureRef: t.ref()}, "the value", t.Quantity.Unit(), t.Value, targetValue)
	}
	v.machining()
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
	n = n.at(x, y)
	n.of = "x of "
	v.one(n, label, "mm", x, coordinate)
	n.of = "y of "
	v.one(n, label, "mm", y, coordinate)
}

// list visits numbers of one sort, named by their place in it.
func (v numberVisitor) list(n number, label, unit string, values []float64, l limit) {
	for i, x := range values {
		n.index = i + 1
		v.one(n, label, unit, x, l)
	}
}

func (v numberVisitor) stock() {
	s, n := v.p.Stock, onStage(StageStock)
	v.material(n, s.Material, metalModulus)
	v.one(n, "the nominal thickness", "mm", s.Nominal, thickness)
	v.one(n, "the finished thickness", "mm", s.Finished, thickness)
	if s.Finish.Name != "" {
		v.one(n, "the finish's growth", "mm", s.Finish.Growth, growth)
	}
	b := s.Blank
	if !b.Fixed {
		v.one(n, "the blank's margin", "mm", b.Margin, margin)
		return
	}
	v.place(n, "the blank's lower left corner", b.X, b.Y)
	v.one(n, "the blank's width", "mm", b.Width, blankSide)
	v.one(n, "the blank's height", "mm", b.Height, blankSide)
}

func (v numberVisitor) material(n number, m material.Material, modulus limit) {
	v.one(n, "the density", "kg/m³", m.Density, density)
	v.one(n, "Young's modulus", "MPa", m.Young, modulus)
	v.one(n, "Poisson's ratio", "", m.Poisson, poisson)
	v.one(n, "the proof stress", "MPa", m.Proof, stress)
	v.one(n, "the ultimate strength", "MPa", m.Ultimate, stress)
}

func (v numberVisitor) outline() {
	o, n := v.p.Outline, onStage(StageOutline)
	switch o.Kind {
	case Wrapped:
		for i, w := range o.Wraps {
			n.index = i + 1
			v.one(n, "the metal's width round the wrapped feature", "mm", w.Width, ribWidth)
			if w.Hollow {
				v.one(n, "the radius of the hollow side after the wrapped feature", "mm", w.Blend, blendRadius)
			}
		}
	case Contour:
		for i, c := range o.Vertices {
			n.index = i + 1
			v.place(n, "outline vertex", c.X, c.Y)
			m := n.at(c.X, c.Y)
			m.of = "the bulge of "
			v.one(m, "outline vertex", "", c.Bulge, bulgeRange)
		}
	default:
		n.label = outlineCorner
		v.path(n, o.Corners, outlineRound)
		if o.Mirror.On {
			v.one(onStage(StageOutline), "the mirror line's place", "mm", o.Mirror.At, coordinate)
		}
	}
	n = onStage(StageOutline)
	v.one(n, "the top edge's chamfer", "mm", o.Chamfer.Top, edgeBreak)
	v.one(n, "the bottom edge's chamfer", "mm", o.Chamfer.Bottom, edgeBreak)
	v.one(n, "the rim's width", "mm", v.p.Rim, keptWidth)
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
		m.of = "the chamfer of "
		v.one(m, what, "mm", c.Chamfer, cornerCut)
		if c.Arc {
			v.place(n, arcLabel(what), c.ThroughX, c.ThroughY)
		}
	}
}

func arcLabel(corner string) string {
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
	switch f.Kind {
	case Reamed:
		v.one(n, "the reamed diameter", "mm", f.Diameter, diameter)
		v.one(n, "the depth", "mm", f.Depth, depth)
	case Counterbored:
		v.one(n, "the counterbore's diameter", "mm", f.HeadDiameter, headSize)
		v.one(n, "the counterbore's depth", "mm", f.HeadDepth, headSize)
	case Countersunk:
		v.one(n, "the countersink's diameter", "mm", f.HeadDiameter, headSize)
	default:
		v.one(n, "the thread depth", "mm", f.Depth, depth)
	}
	v.one(n, "the boss's width", "mm", f.Boss, keptWidth)
}

func (v numberVisitor) bore(b Bore) {
	n := number{FeatureRef: b.ref()}
	v.place(n, "the centre", b.X, b.Y)
	v.one(n, "the diameter", "mm", b.Diameter, diameter)
	v.one(n, "the boss's width", "mm", b.Boss, keptWidth)
	v.one(n, "the tolerance zone", "mm", b.Tolerance, zone)
	if k := b.Keyway; k.Width != 0 {
		v.one(n, "the keyway's width", "mm", k.Width, keyWidth)
		v.one(n, "the keyway's height", "mm", k.Height, keyHeight)
		v.one(n, "the keyway's angle", "°", k.AngleDeg, turnDeg)
	}
	for i, s := range b.Seats {
		n.index = i + 1
		v.one(n, "the diameter of seat", "mm", s.Diameter, diameter)
		v.one(n, "the depth of seat", "mm", s.Depth, stepDepth)
		if g := s.Groove; g.Width != 0 {
			v.one(n, "the groove's diameter in seat", "mm", g.Diameter, diameter)
			v.one(n, "the groove's width in seat", "mm", g.Width, keyWidth)
			v.one(n, "the groove's place in seat", "mm", g.At, grooveAt)
		}
	}
}

func (v numberVisitor) circle(n number, c BoltCircle) {
	if c.Bore == 0 {
		v.place(n, "the centre", c.X, c.Y)
	}
	v.one(n, "the diameter", "mm", c.Diameter, diameter)
	v.one(n, "the number of holes", "", float64(c.Count), circleCount)
	v.one(n, "the first hole's angle", "°", c.StartDeg, turnDeg)
	v.list(n, "the angle of hole", "°", c.Angles, turnDeg)
	v.form(n, c.HoleForm)
}

func (v numberVisitor) ring(c ClockedRing) {
	n := number{FeatureRef: v.p.circleRef(c.BoltCircle, KindRing)}
	v.circle(n, c.BoltCircle)
	v.one(n, "the number of holes of the mate", "", float64(c.MateCount), circleCount)
	v.one(n, "the angle of the mate's first hole", "°", c.MateStartDeg, turnDeg)
	v.list(n, "the angle of the mate's hole", "°", c.MateAngles, turnDeg)
	v.one(n, "the least number of bolts", "", float64(c.LeastBolts), circleCount)
	v.list(n, "the wanted angle", "°", c.WantedDeg, turnDeg)
	v.one(n, "the clocked angle", "°", c.PositionDeg, turnDeg)
}

func (v numberVisitor) eccentric(e Eccentric) {
	n := number{FeatureRef: v.p.eccentricRef(e)}
	v.one(n, "the offset", "mm", e.E, eccentricity)
	v.one(n, "the inner diameter", "mm", e.Inner, diameter)
	v.one(n, "the angle", "°", e.AngleDeg, turnDeg)
	if e.LockCircle != 0 {
		v.one(n, "the diameter of the locking screws' circle", "mm", e.LockCircle, diameter)
		v.one(n, "the number of locking screws", "", float64(e.LockCount), circleCount)
		v.one(n, "the first locking screw's angle", "°", e.LockStart, turnDeg)
		v.form(n, e.Lock)
	}
}

func (v numberVisitor) slot(s Slot) {
	n := number{FeatureRef: s.ref()}
	v.place(n, "the centre", s.X, s.Y)
	v.one(n, "the length", "mm", s.Length, slotLength)
	v.one(n, "the width", "mm", s.Width, diameter)
	v.one(n, "the angle", "°", s.AngleDeg, turnDeg)
	v.one(n, "the depth", "mm", s.Depth, depth)
	v.one(n, "the boss's width", "mm", s.Boss, keptWidth)
	v.one(n, "the position", "mm", s.Position, slotPosition)
}

func (v numberVisitor) rib(r Rib) {
	n := number{FeatureRef: FeatureRef{ID: r.ID, Name: r.Name, Kind: KindRib, Stage: StageRibs}}
	if r.From.Feature == 0 {
		v.place(n, "the first end", r.From.X, r.From.Y)
	}
	if r.To.Feature == 0 {
		v.place(n, "the second end", r.To.X, r.To.Y)
	}
	if r.Arc {
		v.place(n, "the arc's point", r.ThroughX, r.ThroughY)
	}
	v.one(n, "the width", "mm", r.Width, ribWidth)
}

func (v numberVisitor) grid(g Grid) {
	n := number{FeatureRef: g.ref()}
	if g.Kind == Spokes {
		v.one(n, "the least angle", "°", g.LeastAngle, leastAngle)
	} else {
		v.one(n, "the pitch", "mm", g.Pitch, gridPitch)
		v.place(n, "the node", g.X, g.Y)
	}
	if g.Kind == Orthogrid {
		v.one(n, "the second pitch", "mm", g.PitchY, pitchY)
	}
	if g.Kind == Directions {
		for i, s := range g.Samples {
			n.index = i + 1
			v.place(n, "sample", s.X, s.Y)
			v.one(n, "the direction at sample", "°", s.AngleDeg, turnDeg)
		}
		n.index = 0
	} else if g.Kind != Spokes {
		v.one(n, "the angle", "°", g.AngleDeg, turnDeg)
	}
	v.one(n, "the rib width", "mm", g.Width, ribWidth)
	v.one(n, "the fillet", "mm", g.Fillet, outlineRound)
	for i, w := range g.Widths {
		n.index = i + 1
		v.one(n, "the width of rib", "mm", w.Width, ribWidth)
		if a := w.At; a.Lattice {
			v.index(n, "rib with its own width", "family of ", a.Family, ribFamily)
			v.index(n, "rib with its own width", "line of ", a.Line, latticeIndex)
			v.index(n, "rib with its own width", "segment of ", a.Segment, latticeIndex)
		} else {
			v.place(n, "rib with its own width", a.X, a.Y)
		}
	}
	n.label = boundaryCorner
	v.path(n, g.Bounds, outlineRound)
}

func (v numberVisitor) index(n number, label, of string, value int, l limit) {
	n.of = of
	v.one(n, label, "", float64(value), l)
}

func (v numberVisitor) anchor(n number, label string, a Anchor) {
	if a.Grid == 0 {
		v.place(n, label, a.X, a.Y)
		return
	}
	v.index(n, label, "i of ", a.I, latticeIndex)
	v.index(n, label, "j of ", a.J, latticeIndex)
	v.index(n, label, "k of ", a.K, triangleHalf)
}

func (v numberVisitor) pocket(k Pocket) {
	n := number{FeatureRef: k.ref()}
	n.HasWhere, n.Where = false, [2]float64{}
	v.one(n, "the depth", "mm", k.Depth, depth)
	if k.Side == Both {
		v.one(n, "the depth from the bottom", "mm", k.DepthBack, depth)
	}
	v.one(n, "the inside corner radius", "mm", k.Radius, insideRound)
	v.one(n, "the floor radius", "mm", k.FloorRadius, floorRound)
	if l := k.Ledge; l.Width != 0 {
		v.one(n, "the ledge's width", "mm", l.Width, ribWidth)
		v.one(n, "the ledge's depth", "mm", l.Depth, stepDepth)
	}
	if k.Kind == RoundPocket || k.Kind == ObroundPocket {
		v.place(n, "the centre", k.X, k.Y)
		v.one(n, "the diameter", "mm", k.Diameter, diameter)
		if k.Kind == ObroundPocket {
			v.one(n, "the length", "mm", k.Length, slotLength)
			v.one(n, "the angle", "°", k.AngleDeg, turnDeg)
		}
		return
	}
	v.one(n, "the least area of a cell", "mm²", k.LeastArea, leastArea)
	n.label = boundaryCorner
	v.path(n, k.Bounds, outlineRound)
	for i, a := range k.Kept {
		n.index = i + 1
		v.anchor(n, "kept cell", a)
	}
	for i, d := range k.Depths {
		n.index = i + 1
		v.anchor(n, "cell with its own depth", d.At)
		if !d.Through {
			v.one(n, "the depth of cell", "mm", d.Depth, cellDepth)
			v.one(n, "the depth from the bottom of cell", "mm", d.Back, cellDepth)
		}
	}
}

func (v numberVisitor) inlay(i Inlay) {
	n := number{FeatureRef: i.ref()}
	v.one(n, "the clearance", "mm", i.Clearance, clearance)
	v.one(n, "the outline radius", "mm", i.Radius, outlineRound)
	v.one(n, "the thickness", "mm", i.Thickness, panel)
	v.material(n, i.Material, modulus)
	if !i.All {
		for j, a := range i.Cells {
			n.index = j + 1
			v.anchor(n, "cell", a)
		}
	}
}

func (v numberVisitor) settings() {
	slots := v.p.slotIDs()
	for _, s := range v.p.Settings {
		n := number{FeatureRef: s.ref()}
		for i, x := range s.Values {
			n.index = i + 1
			if slots[x.Feature] || x.Position != 0 {
				v.one(n, "the position of adjuster", "mm", x.Position, slotPosition)
			}
			if !slots[x.Feature] || x.AngleDeg != 0 {
				v.one(n, "the angle of adjuster", "°", x.AngleDeg, turnDeg)
			}
		}
	}
}
