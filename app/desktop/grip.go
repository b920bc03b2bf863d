package desktop

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/kinematics"
)

// grip is a point of the document that can be moved by hand.
type grip struct {
	kind  gripKind
	id    plate.ID // feature; 0 for the outline and the plate
	index int      // of a corner, vertex or sample, from 0; of an end, 0 or 1
}

type gripKind int

const (
	gripNone    gripKind = iota
	gripCentre           // of a round, a slot, a pocket, a clamp
	gripCorner           // of the outline, or of the boundary of feature id
	gripThrough          // the point that the arc after a corner goes through
	gripMiddle           // the middle of a straight side: moving it puts a new corner there
	gripVertex           // of an outline given as data
	gripEnd              // of a rib, cut line, slot, obround pocket, or edge that a load acts on
	gripArc              // the point that an arced rib goes through
	gripNode             // of a grid
	gripSample           // of a field of directions
	gripTurn             // the moving centre of an eccentric, the first hole of a clocked ring's mate
	gripSlide            // what slides in an adjusting slot
	gripSkin             // the metal round one round of a wrapped outline
	gripZero             // the work zero
)

// at returns where the grip's coordinates lie in a document; nil when it has gone, or where its place is worked out from
// other figures.
func (g grip) at(p *plate.Plate) (x, y *float64) {
	switch g.kind {
	case gripCentre:
		return g.centre(p)
	case gripCorner, gripThrough:
		return g.corner(p)
	case gripVertex:
		if p.Outline.Kind == plate.Contour && g.index < len(p.Outline.Vertices) {
			v := &p.Outline.Vertices[g.index]
			return &v.X, &v.Y
		}
	case gripEnd:
		return g.end(p)
	case gripArc:
		if r := ribOf(p, g.id); r != nil && r.Arc {
			return &r.ThroughX, &r.ThroughY
		}
	case gripNode:
		if n := gridOf(p, g.id); n != nil && n.Kind != plate.Spokes {
			return &n.X, &n.Y
		}
	case gripSample:
		if n := gridOf(p, g.id); n != nil && g.index < len(n.Samples) {
			return &n.Samples[g.index].X, &n.Samples[g.index].Y
		}
	case gripZero:
		return &p.Machining.ZeroX, &p.Machining.ZeroY
	}
	return nil, nil
}

func (g grip) corner(p *plate.Plate) (x, y *float64) {
	path := selection{stage: plate.StageOutline, id: g.id}.pathOf(p)
	if path == nil || g.index >= len(*path) {
		return nil, nil
	}
	c := &(*path)[g.index]
	if g.kind == gripThrough {
		if !c.Arc {
			return nil, nil
		}
		return &c.ThroughX, &c.ThroughY
	}
	return &c.X, &c.Y
}

func (g grip) centre(p *plate.Plate) (x, y *float64) {
	if b := boreOf(p, g.id); b != nil {
		return &b.X, &b.Y
	}
	if h := holeOf(p, g.id); h != nil {
		return &h.X, &h.Y
	}
	if c := anyCircleOf(p, g.id); c != nil && c.Bore == 0 {
		return &c.X, &c.Y
	}
	if s := slotOf(p, g.id); s != nil {
		return &s.X, &s.Y
	}
	if k := pocketOf(p, g.id); k != nil && (k.Kind == plate.RoundPocket || k.Kind == plate.ObroundPocket) {
		return &k.X, &k.Y
	}
	if h := holdingOf(p, g.id); h != nil && h.Kind == plate.Clamp {
		return &h.X, &h.Y
	}
	return nil, nil
}

// anyCircleOf is a bolt circle, or the plate's own of a clocked ring.
func anyCircleOf(p *plate.Plate, id plate.ID) *plate.BoltCircle {
	if c := circleOf(p, id); c != nil {
		return c
	}
	if r := ringOf(p, id); r != nil {
		return &r.BoltCircle
	}
	return nil
}

func (g grip) end(p *plate.Plate) (x, y *float64) {
	if r := ribOf(p, g.id); r != nil {
		e := &r.From
		if g.index == 1 {
			e = &r.To
		}
		if e.Feature == 0 {
			return &e.X, &e.Y
		}
		return nil, nil
	}
	if c := cutLineOf(p, g.id); c != nil {
		if g.index == 1 {
			return &c.X2, &c.Y2
		}
		return &c.X1, &c.Y1
	}
	if on := placeOf(p, g.id); on != nil && on.OnEdge {
		if g.index == 1 {
			return &on.X2, &on.Y2
		}
		return &on.X1, &on.Y1
	}
	return nil, nil
}

// bar is the line of a slot or obround pocket: all that its ends hang on.
type bar struct{ x, y, length, angle *float64 }

func barOf(p *plate.Plate, id plate.ID) (bar, bool) {
	if s := slotOf(p, id); s != nil {
		return bar{&s.X, &s.Y, &s.Length, &s.AngleDeg}, true
	}
	if k := pocketOf(p, id); k != nil && k.Kind == plate.ObroundPocket {
		return bar{&k.X, &k.Y, &k.Length, &k.AngleDeg}, true
	}
	return bar{}, false
}

// end is the first (0) or second end of the bar.
func (b bar) end(i int) geom.Point { return b.along(*b.length / 2 * float64(2*i-1)) }

// along is the point of the bar's line so far from its centre.
func (b bar) along(d float64) geom.Point {
	s, c := math.Sincos(*b.angle * math.Pi / 180)
	return geom.Pt(*b.x+d*c, *b.y+d*s)
}

// put moves one end; the other stays.
func (b bar) put(i int, q geom.Point) {
	other := b.end(1 - i)
	from, to := q, other
	if i == 1 {
		from, to = other, q
	}
	if from == to {
		return
	}
	*b.x, *b.y = round6((from.X+to.X)/2), round6((from.Y+to.Y)/2)
	*b.length, *b.angle = round6(from.Dist(to)), round6(math.Atan2(to.Y-from.Y, to.X-from.X)*180/math.Pi)
}

// setValue is where the state of an adjuster is kept: in the setting that the plate is drawn in, where that names it.
func setValue(p *plate.Plate, id plate.ID) *plate.SettingValue {
	if s := settingOf(p, p.Setting); s != nil {
		for i := range s.Values {
			if s.Values[i].Feature == id {
				return &s.Values[i]
			}
		}
	}
	return nil
}

// wheel is something that turns about a centre: an eccentric or the mate of a clocked ring. Its hand stands at the angle and
// the phase together.
type wheel struct {
	centre geom.Point
	radius float64
	phase  float64 // degrees
	angle  *float64
	fits   []float64 // angles at which bolts fit, degrees; empty where any angle does
}

func wheelOf(p *plate.Plate, id plate.ID) (wheel, bool) {
	if e := eccentricOf(p, id); e != nil {
		b := boreOf(p, e.Bore)
		if b == nil {
			return wheel{}, false
		}
		w := wheel{centre: geom.Pt(b.X, b.Y), radius: e.E, angle: &e.AngleDeg}
		if v := setValue(p, id); v != nil {
			w.angle = &v.AngleDeg
		}
		return w, true
	}
	r := ringOf(p, id)
	if r == nil {
		return wheel{}, false
	}
	x, y := p.CircleCentre(r.BoltCircle)
	w := wheel{centre: geom.Pt(x, y), radius: r.Diameter / 2, phase: r.MateStartDeg, angle: &r.PositionDeg}
	if len(r.MateAngles) > 0 {
		w.phase += r.MateAngles[0]
	}
	if v := setValue(p, id); v != nil {
		w.angle = &v.AngleDeg
	}
	own, mate := kinematics.RingsOf(*r)
	if ps, err := kinematics.Clock(own, mate, 0.01); err == nil {
		for _, q := range ps {
			if q.Bolts >= max(r.LeastBolts, 1) {
				w.fits = append(w.fits, q.AngleDeg)
			}
		}
	}
	return w, true
}

func (w wheel) place() geom.Point {
	s, c := math.Sincos((*w.angle + w.phase) * math.Pi / 180)
	return geom.Pt(w.centre.X+w.radius*c, w.centre.Y+w.radius*s)
}

// put turns the hand towards q: to the nearest angle at which bolts fit, else to whole degrees, or to a hundredth with free.
func (w wheel) put(q geom.Point, free bool) {
	if q == w.centre {
		return
	}
	a := math.Atan2(q.Y-w.centre.Y, q.X-w.centre.X)*180/math.Pi - w.phase
	switch best := math.Inf(1); {
	case free:
		a = math.Round(a*100) / 100
	case len(w.fits) > 0:
		to := a
		for _, f := range w.fits {
			if d := math.Abs(math.Remainder(f-a, 360)); d < best {
				best, to = d, f
			}
		}
		a = to
	default:
		a = math.Round(a)
	}
	*w.angle = round6(math.Remainder(a, 360))
}

// place is where the grip is; ok is false when it has gone.
func (g grip) place(p plate.Plate) (at geom.Point, ok bool) {
	switch g.kind {
	case gripTurn:
		w, ok := wheelOf(&p, g.id)
		if !ok {
			return geom.Point{}, false
		}
		return w.place(), true
	case gripSlide:
		return slideAt(&p, g.id)
	case gripSkin:
		s, ok := skinOf(&p, g.index)
		if !ok {
			return geom.Point{}, false
		}
		return s.wall.Add(s.out.Mul(*s.width)), true
	case gripMiddle:
		path := selection{stage: plate.StageOutline, id: g.id}.path(p)
		if g.index >= len(path) || path[g.index].Arc || len(path) < 2 {
			return geom.Point{}, false
		}
		if g.id == 0 && p.Outline.Mirror.On && g.index == len(path)-1 {
			return geom.Point{}, false // the open end of a half outline
		}
		a, b := path[g.index], path[(g.index+1)%len(path)]
		return geom.Pt((a.X+b.X)/2, (a.Y+b.Y)/2), true
	case gripEnd:
		if b, ok := barOf(&p, g.id); ok {
			return b.end(g.index), true
		}
	}
	x, y := g.at(&p)
	if x == nil {
		return geom.Point{}, false
	}
	return geom.Pt(*x, *y), true
}

// skin is the metal of a wrapped outline round one bore, measured away from the middle of all of them.
type skin struct {
	wall  geom.Point // on the bore's wall
	out   geom.Point // unit vector outwards
	width *float64
}

// leastSkin is what a drag leaves round a bore at least, mm.
const leastSkin = 0.5

// skinOf is that of round i; rounds about holes have none, as their size is the layout's to know.
func skinOf(p *plate.Plate, i int) (skin, bool) {
	if p.Outline.Kind != plate.Wrapped || i >= len(p.Outline.Wraps) {
		return skin{}, false
	}
	v := &p.Outline.Wraps[i]
	b := boreOf(p, v.Feature)
	if b == nil {
		return skin{}, false
	}
	var middle geom.Point
	n := 0
	for _, o := range p.Outline.Wraps {
		if c := boreOf(p, o.Feature); c != nil {
			middle, n = middle.Add(geom.Pt(c.X, c.Y)), n+1
		}
	}
	centre := geom.Pt(b.X, b.Y)
	out := centre.Sub(middle.Mul(1 / float64(n)))
	if out.Dist(geom.Point{}) < 1e-9 {
		out = geom.Pt(0, 1)
	}
	out = out.Unit()
	return skin{centre.Add(out.Mul(b.Diameter / 2)), out, &v.Width}, true
}

// slideAt is the place of what slides in an adjusting slot.
func slideAt(p *plate.Plate, id plate.ID) (geom.Point, bool) {
	s := slotOf(p, id)
	if s == nil || !s.Adjusting {
		return geom.Point{}, false
	}
	b, _ := barOf(p, id)
	at := s.Position
	if v := setValue(p, id); v != nil {
		at = v.Position
	}
	return b.along(at), true
}

// put moves the grip to q in a document; free leaves out the snapping of angles.
func (g grip) put(p *plate.Plate, q geom.Point, free bool) {
	switch g.kind {
	case gripTurn:
		if w, ok := wheelOf(p, g.id); ok {
			w.put(q, free)
		}
		return
	case gripSkin:
		s, ok := skinOf(p, g.index)
		if !ok {
			return
		}
		d := q.Sub(s.wall)
		v := d.X*s.out.X + d.Y*s.out.Y
		if !free {
			v = math.Round(v*2) / 2
		}
		*s.width = round6(max(v, leastSkin))
		return
	case gripSlide:
		s := slotOf(p, g.id)
		if s == nil {
			return
		}
		sin, cos := math.Sincos(s.AngleDeg * math.Pi / 180)
		d := (q.X-s.X)*cos + (q.Y-s.Y)*sin
		if !free {
			d = math.Round(d*2) / 2
		}
		d = min(max(round6(d), -s.Length/2), s.Length/2)
		if v := setValue(p, g.id); v != nil {
			v.Position = d
		} else {
			s.Position = d
		}
		return
	case gripMiddle:
		if path := (selection{stage: plate.StageOutline, id: g.id}).pathOf(p); path != nil && g.index < len(*path) {
			*path = slices.Insert(*path, g.index+1, plate.Corner{X: q.X, Y: q.Y})
		}
		return
	case gripEnd:
		if b, ok := barOf(p, g.id); ok {
			b.put(g.index, q)
			return
		}
	}
	if x, y := g.at(p); x != nil {
		*x, *y = q.X, q.Y
	}
}

// after is the grip that a move has made of this one: a middle becomes the new corner.
func (g grip) after() grip {
	if g.kind == gripMiddle {
		return grip{gripCorner, g.id, g.index + 1}
	}
	return g
}

// name is what the grip moves, for labels: bore Axle, corner 3 of the outline.
func (g grip) name(p plate.Plate) string {
	of := "the outline"
	if f, ok := p.Find(g.id); ok {
		of = featureTitle(f)
	}
	switch g.kind {
	case gripCorner:
		return fmt.Sprintf("corner %d of %s", g.index+1, of)
	case gripThrough:
		return fmt.Sprintf("arc after corner %d of %s", g.index+1, of)
	case gripMiddle:
		return fmt.Sprintf("new corner %d of %s", g.index+2, of)
	case gripVertex:
		return fmt.Sprintf("vertex %d of %s", g.index+1, of)
	case gripEnd:
		return fmt.Sprintf("end %d of %s", g.index+1, of)
	case gripArc:
		return "arc of " + of
	case gripNode:
		return "node of " + of
	case gripSample:
		return fmt.Sprintf("direction %d of %s", g.index+1, of)
	case gripSlide:
		return "what slides in " + of
	case gripSkin:
		return fmt.Sprintf("width of round %d of %s", g.index+1, of)
	case gripZero:
		return "work zero"
	}
	return of
}

// move is the edit that puts the grip to q.
func (g grip) move(p plate.Plate, q geom.Point, free bool) plate.Edit {
	verb := "move of "
	switch g.kind {
	case gripTurn:
		verb = "turn of "
	case gripMiddle:
		verb = ""
	case gripSkin:
		verb = "change of "
	}
	return plate.Replace(verb+g.name(p), func(p *plate.Plate) { g.put(p, q, free) })
}

// snapsToPlaces tells whether the grip rests on whole millimetres and beside others; the rest snap to angles and steps of
// their own.
func (g grip) snapsToPlaces() bool {
	return g.kind != gripTurn && g.kind != gripSlide && g.kind != gripSkin
}
