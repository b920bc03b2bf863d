package plate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/plate/finding"
	"platewright/plate/standard"
	"platewright/plate/tree"
)

// fit checks an ISO 286 class of a hole, at the size that it is for. An empty one is none.
func (v *validator) fit(f FeatureRef, what, class string, size float64) {
	if class == "" {
		return
	}
	letter, _, err := standard.ParseClass(class)
	if err != nil || letter != strings.ToUpper(letter) {
		v.report(f, "fit-class", fmt.Sprintf("%s of %s is %q, not a class of a hole", what, f, tree.Clip(class)),
			"classes of holes are a capital letter and a grade (ISO 286-1)", "write one like H7, or leave it out")
		return
	}
	if _, err := standard.Fit(class, size); err != nil {
		v.report(f, "fit-size", fmt.Sprintf("%s of %s, %s, has no limits at %g mm: %s", what, f, class, size, finding.Words(err)),
			"ISO 286-1 gives each class for its sizes", "choose another class, or leave it out")
	}
}

func (v *validator) bores() {
	for _, b := range v.p.Bores {
		f := b.ref()
		v.fit(f, "the fit", b.Fit, b.Diameter)
		if b.Fit != "" && b.Tolerance != 0 {
			v.report(f, "bore-tolerance", fmt.Sprintf("%s has the fit %s and a tolerance zone of %g mm", f, tree.Clip(b.Fit), b.Tolerance),
				"the fit gives the zone", "remove one of them")
		}
		if k := b.Keyway; k.Width != 0 && k.Width >= b.Diameter {
			v.report(f, "keyway-wide", fmt.Sprintf("the keyway of %s is %g mm wide in a bore of %g mm", f, k.Width, b.Diameter),
				"a keyway is a part of the wall", "make it narrower")
		}
		v.seats(f, b)
	}
	inUse := make(map[ID]Eccentric)
	for _, e := range v.p.Eccentrics {
		v.eccentric(e)
		if other, doubled := inUse[e.Bore]; doubled {
			f := v.p.eccentricRef(e)
			v.report(f, "eccentric-doubled", fmt.Sprintf("%s and %s turn in one bore", f, v.p.eccentricRef(other)), "a bore holds one eccentric",
				"choose another bore")
		}
		inUse[e.Bore] = e
	}
}

func (v *validator) seats(f FeatureRef, b Bore) {
	t := v.p.Stock.Thickness()
	deepest := map[Side]float64{}
	for i, s := range b.Seats {
		what := fmt.Sprintf("seat %d", i+1)
		if !v.word(f, "the side of "+what, string(s.Side), oneSide) {
			continue
		}
		deepest[s.Side] = max(deepest[s.Side], s.Depth)
		if s.Ring != "" {
			v.word(f, "the load on the outer ring of "+what, string(s.Ring), ringLoads)
		}
		v.fit(f, "the fit of "+what, s.Fit, s.Diameter)
		if s.Diameter <= b.Diameter {
			v.report(f, "seat-narrow", fmt.Sprintf("%s of %s has %g mm in a bore of %g mm", what, f, s.Diameter, b.Diameter),
				"a seat is wider than its bore, and so has a shoulder", "make it wider, or the bore narrower")
		}
		if s.Depth >= t {
			v.report(f, "seat-deep", fmt.Sprintf("%s of %s is %g mm deep in a plate of %g mm", what, f, s.Depth, t), "its shoulder is inside the plate",
				fmt.Sprintf("make it less than %g mm deep, or the bore as wide as it", t))
		}
		v.bearing(f, what, s)
		v.groove(f, what, s)
	}
	v.steps(f, b.Seats)
	if a, c := deepest[Top], deepest[Bottom]; a > 0 && c > 0 && a+c >= t {
		v.report(f, "seat-meet", fmt.Sprintf("the seats of %s from both faces, %g and %g mm deep, meet in a plate of %g mm", f, a, c, t),
			"something of the bore is left between them", "make one of them less deep, or the bore as wide as the narrower")
	}
}

// steps checks that of two seats from one side the wider is the less deep.
func (v *validator) steps(f FeatureRef, list []Seat) {
	seats := slices.Clone(list)
	slices.SortStableFunc(seats, func(a, b Seat) int { return cmp.Or(cmp.Compare(a.Side, b.Side), cmp.Compare(b.Diameter, a.Diameter)) })
	for i := 1; i < len(seats); i++ {
		if a, b := seats[i-1], seats[i]; a.Side == b.Side && (a.Diameter == b.Diameter || a.Depth >= b.Depth) {
			v.report(f, "seat-steps", fmt.Sprintf("of the seats of %s from the %s that of %g mm is %g mm deep, that of %g mm %g mm", f, a.Side,
				a.Diameter, a.Depth, b.Diameter, b.Depth), "each step is narrower and deeper than the one before", "exchange their depths, or remove one")
		}
	}
}

func (v *validator) bearing(f FeatureRef, what string, s Seat) {
	if s.Bearing == "" {
		return
	}
	b, err := standard.Bearing(s.Bearing)
	switch {
	case err != nil:
		v.report(f, "bearing", fmt.Sprintf("the bearing %q of %s of %s is not held", tree.Clip(s.Bearing), what, f), "its size comes from a table",
			"give the designation without seals and clearance (6004, not 6004-2RS C3), or leave it out")
	case b.Outer != s.Diameter:
		v.report(f, "bearing-seat", fmt.Sprintf("%s of %s has %g mm for the bearing %s of %g mm", what, f, s.Diameter, s.Bearing, b.Outer),
			"a bearing sits in a seat of its outside diameter", fmt.Sprintf("make it %g mm, or choose another bearing", b.Outer))
	}
}

func (v *validator) groove(f FeatureRef, what string, s Seat) {
	g := s.Groove
	switch {
	case g.Width == 0:
	case g.Diameter <= s.Diameter:
		v.report(f, "groove", fmt.Sprintf("the groove in %s of %s has %g mm in a seat of %g mm", what, f, g.Diameter, s.Diameter),
			"a groove is cut into the seat's wall", "make it wider than the seat")
	case g.At+g.Width > s.Depth:
		v.report(f, "groove", fmt.Sprintf("the groove in %s of %s ends at %g mm in a seat %g mm deep", what, f, g.At+g.Width, s.Depth),
			"a groove is cut into the seat's wall", "move it towards the face, or make the seat deeper")
	}
}

func (v *validator) eccentric(e Eccentric) {
	f := v.p.eccentricRef(e)
	if e.LockCircle != 0 {
		v.form(f, e.Lock)
	}
	i := v.p.bore(e.Bore)
	if i < 0 {
		return // reported as a reference
	}
	d := v.p.Bores[i].Diameter
	if e.Inner/2+e.E >= d/2 {
		v.report(f, "eccentric-thin", fmt.Sprintf("%s has a bore of %g mm at an offset of %g mm, which leaves no wall in %g mm", f, e.Inner, e.E, d),
			"the eccentric turns inside its bore", fmt.Sprintf("make the offset less than %g mm, or its bore narrower", (d-e.Inner)/2))
	}
	if e.LockCircle != 0 && e.LockCircle <= d {
		v.report(f, "lock-circle", fmt.Sprintf("the locking screws of %s lie on %g mm, inside the bore of %g mm", f, e.LockCircle, d),
			"they hold the eccentric's flange to the plate", "make their circle wider")
	}
}

func (v *validator) holes() {
	for _, h := range v.p.Holes {
		v.form(h.ref(), h.HoleForm)
	}
	for _, c := range v.p.Circles {
		f := v.p.circleRef(c, KindCircle)
		v.form(f, c.HoleForm)
		v.angles(f, "hole", c.Count, c.Angles)
	}
	for _, c := range v.p.Rings {
		f := v.p.circleRef(c.BoltCircle, KindRing)
		v.form(f, c.HoleForm)
		v.angles(f, "hole", c.Count, c.Angles)
		v.angles(f, "hole of the mate", c.MateCount, c.MateAngles)
	}
}

// sameAngle is the difference of two directions, degrees, at which a hole is the other: far below what a drawing says.
const sameAngle = 1e-9

// angles checks that holes drawn at angles are as many as counted, and no two at one place.
func (v *validator) angles(f FeatureRef, what string, count int, angles []float64) {
	if len(angles) == 0 {
		return
	}
	if count != len(angles) {
		v.report(f, "angles-count", fmt.Sprintf("%s has %d angles for %d of its %ss", f, len(angles), count, what), "each hole has one angle",
			"make the number that of the angles")
	}
	turned := make([]float64, len(angles))
	for i, a := range angles {
		turned[i] = math.Mod(math.Mod(a, 360)+360, 360)
	}
	slices.Sort(turned)
	for i, a := range turned {
		gap := turned[(i+1)%len(turned)] - a
		if i == len(turned)-1 {
			gap += 360
		}
		if gap < sameAngle {
			v.report(f, "angles-doubled", fmt.Sprintf("two %ss of %s stand at %g°", what, f, a), "each hole has a place of its own", "remove one of them")
		}
	}
}

func (v *validator) form(f FeatureRef, h HoleForm) {
	kind := v.word(f, "the kind", string(h.Kind), holeKinds)
	side := v.word(f, "the side", string(h.Side), sides)
	if _, ok := standard.NominalDiameter(h.Size); !ok && h.Kind != Reamed {
		sizes := standard.Sizes()
		v.report(f, "hole-size", fmt.Sprintf("the size %q of %s is not in the tables", tree.Clip(h.Size), f),
			"sizes are ISO metric coarse threads", fmt.Sprintf("choose one of %s", strings.Join(sizes, ", ")))
		kind = false
	}
	if !kind || !side {
		return
	}
	switch h.Kind {
	case Clearance:
		v.clearance(f, h)
	case Tapped:
		if h.Series != "" {
			v.report(f, "hole-series", fmt.Sprintf("%s is tapped but has the series %q", f, tree.Clip(string(h.Series))),
				"series are for holes that a fastener passes", "remove the series")
		}
		v.blind(f, h, "thread depth")
	case Reamed:
		v.fit(f, "the fit", h.Fit, h.Diameter)
		v.blind(f, h, "depth")
	default:
		v.headed(f, h)
	}
}

func (v *validator) clearance(f FeatureRef, h HoleForm) {
	v.word(f, "the series", string(h.Series), serieses)
	if h.Side != Through || h.Depth != 0 {
		v.report(f, "hole-blind", fmt.Sprintf("%s is a clearance hole but does not go through", f), "a fastener passes through it",
			"make it through without a depth, or tapped")
	}
}

// blind checks the depth of a tapped or reamed hole against its side.
func (v *validator) blind(f FeatureRef, h HoleForm, depth string) {
	t := v.p.Stock.Thickness()
	switch {
	case h.Side == Through && h.Depth != 0:
		v.report(f, "hole-depth", fmt.Sprintf("%s goes through but has the %s %g mm", f, depth, h.Depth), "a through hole is as deep as the plate",
			"remove the depth, or choose a face")
	case h.Side != Through && h.Depth == 0:
		v.report(f, "hole-depth", fmt.Sprintf("%s is blind but has no %s", f, depth), "the tool needs to know where to stop", "give a depth, or make it through")
	case h.Side != Through && h.Depth >= t:
		what := f.String()
		if h.Kind == Tapped {
			what = "the thread of " + what
		}
		v.report(f, "hole-deep", fmt.Sprintf("%s is %g mm deep in a plate of %g mm", what, h.Depth, t), "a blind hole ends inside the plate",
			fmt.Sprintf("make it through, or less than %g mm deep", t))
	}
}

// headed checks a counterbored or countersunk hole: where its head goes, and that the head has a size that fits.
func (v *validator) headed(f FeatureRef, h HoleForm) {
	series := v.word(f, "the series", string(h.Series), serieses)
	if h.Side == Through {
		v.report(f, "hole-side", fmt.Sprintf("%s is %s on no face", f, h.Kind), "a screw's head goes into one face", "choose top or bottom")
	}
	dia, deep, ok := standard.Counterbore(h.Size)
	if h.Kind == Countersunk {
		dia, deep, ok = standard.Countersink(h.Size)
	}
	if !ok && (h.HeadDiameter == 0 || h.Kind == Counterbored && h.HeadDepth == 0) {
		v.report(f, "head-size", fmt.Sprintf("the head of %s for %s is not in the tables", f, h.Size), "not every size has a head of this kind",
			"give the head's diameter and depth, or choose another size")
		return
	}
	if h.HeadDiameter != 0 {
		dia = h.HeadDiameter
	}
	through, _ := standard.ClearanceDiameter(h.Size, string(h.Series))
	switch {
	case h.Kind == Countersunk:
		deep = (dia - through) / 2 // the cone has 90°
	case h.HeadDepth != 0:
		deep = h.HeadDepth
	}
	t := v.p.Stock.Thickness()
	switch {
	case !series:
	case dia <= through:
		v.report(f, "head-narrow", fmt.Sprintf("the head's recess of %s has %g mm on a hole of %g mm", f, dia, through), "the head sits on a shoulder",
			"make the head wider, or leave it to the table")
	case deep >= t:
		v.report(f, "head-deep", fmt.Sprintf("the head's recess of %s is %.4g mm deep in a plate of %g mm", f, deep, t), "the head sits on metal",
			"choose a smaller screw, a less deep recess or a thicker plate")
	}
}

func (v *validator) slots() {
	t := v.p.Stock.Thickness()
	for _, s := range v.p.Slots {
		f := s.ref()
		v.fit(f, "the fit of the width", s.Fit, s.Width)
		if math.Abs(s.Position) > s.Length/2 {
			v.report(f, "slot-position", fmt.Sprintf("the position %g mm of %s is beyond its end at %g mm", s.Position, f, s.Length/2),
				"what slides in it stops at its ends", "move it back, or make the slot longer")
		}
		if !v.word(f, "the side", string(s.Side), sides) {
			continue
		}
		switch {
		case s.Side == Through && s.Depth != 0:
			v.report(f, "slot-depth", fmt.Sprintf("%s goes through but has the depth %g mm", f, s.Depth), "a through slot is as deep as the plate",
				"remove the depth, or choose a face")
		case s.Side != Through && s.Depth == 0:
			v.report(f, "slot-depth", fmt.Sprintf("%s is blind but has no depth", f), "the cutter needs to know where to stop", "give a depth, or make it through")
		case s.Side != Through && s.Depth >= t:
			v.report(f, "slot-deep", fmt.Sprintf("%s is %g mm deep in a plate of %g mm", f, s.Depth, t), "a blind slot ends inside the plate",
				fmt.Sprintf("make it through, or less than %g mm deep", t))
		}
	}
}

func (v *validator) settings() {
	slots := make(map[ID]Slot, len(v.p.Slots))
	for _, s := range v.p.Slots {
		slots[s.ID] = s
	}
	for _, s := range v.p.Settings {
		f := s.ref()
		ids := make([]ID, len(s.Values))
		for i, x := range s.Values {
			ids[i] = x.Feature
			what := fmt.Sprintf("adjuster %d of %s", i+1, f)
			switch slot, ok := slots[x.Feature]; {
			case !ok && x.Position != 0:
				v.report(f, "setting-value", what+" has a position, but is no slot", "clocked rings and eccentrics are set by an angle", "give an angle")
			case !ok:
			case x.AngleDeg != 0:
				v.report(f, "setting-value", what+" has an angle, but is a slot", "slots are set by a position", "give a position")
			case !slot.Adjusting:
				v.report(f, "setting-slot", fmt.Sprintf("%s, %s, is not marked as adjusting", what, slot.ref()), "a setting names adjusters",
					"mark the slot as adjusting, or take it out of the setting")
			case math.Abs(x.Position) > slot.Length/2:
				v.report(f, "setting-position", fmt.Sprintf("the position %g mm of %s is beyond the end of %s at %g mm", x.Position, what, slot.ref(), slot.Length/2),
					"what slides in it stops at its ends", "move it back, or make the slot longer")
			}
		}
		v.repeated(f, "adjuster", ids)
	}
}
