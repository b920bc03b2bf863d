package layout

import (
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/standard"
)

// runOut is how far, in pitches, a blind hole is drilled deeper than its usable thread: the tap's lead and the thread's
// run-out. DIN 76-1 asks for about 4 to 6 pitches, by size and form (from memory); 5 is taken for all sizes.
const runOut = 5

// drillPoint is the included angle of a twist drill's point: 118°, the general-purpose point (common practice, no source).
const drillPoint = 118 * math.Pi / 180

// round is one bore or one hole with its place, whatever feature it came from.
type round struct {
	kind        CutKind
	id          plate.ID
	name        string
	of          string // what the holes of a number belong to: "bolt circle", "clocked ring" …
	number      int    // 1-based number in it, 0 else
	c           geom.Point
	dia         float64
	boss        float64 // radial width of the boss, 0 for none
	tol         float64
	fit         string
	thread      string
	pitch       float64
	side        plate.Side
	depth       float64 // drilled, to the shoulder of the point; the thickness when through
	threadDepth float64
	head        head
	bore        *plate.Bore // of bores: its seats and keyway
	reach       float64     // radius within which all its cuts lie, mm
}

func (r *round) radius() float64 { return r.dia/2 + r.boss }
func (r *round) stage() string {
	if r.kind == CutBore {
		return "bores"
	}
	return "holes"
}

// makeRounds lists bores, holes, the holes of bolt circles and clocked rings and those of eccentrics' locking screws, in
// document order, and the bosses round them; then the slots and zones, which stand in the way of pockets like bosses.
func (d *deriver) makeRounds() error {
	p := d.p
	for i := range p.Bores {
		b := &p.Bores[i]
		d.rounds = append(d.rounds, round{
			kind: CutBore, id: b.ID, name: b.Name, c: geom.Pt(b.X, b.Y), dia: b.Diameter, boss: b.Boss,
			tol: zoneWidth(b.Fit, b.Diameter, b.Tolerance), fit: b.Fit, side: plate.Through, depth: d.t, bore: b, reach: boreReach(b),
		})
	}
	for _, h := range p.Holes {
		r := d.holeOf(h.HoleForm)
		r.id, r.name, r.c = h.ID, h.Name, geom.Pt(h.X, h.Y)
		d.rounds = append(d.rounds, r)
	}
	for i := range p.Circles {
		if err := d.circleHoles(&p.Circles[i], "bolt circle"); err != nil {
			return err
		}
	}
	for i := range p.Rings {
		if err := d.circleHoles(&p.Rings[i].BoltCircle, "clocked ring"); err != nil {
			return err
		}
	}
	if err := d.lockHoles(); err != nil {
		return err
	}
	d.l.Bosses = make([]Boss, len(d.rounds))
	for i := range d.rounds {
		r := &d.rounds[i]
		d.l.Bosses[i] = Boss{Feature: r.id, Name: r.name, Center: r.c, Hole: r.dia, Radius: r.radius(), Round: r.number}
	}
	return d.makeZones()
}

// circleHoles lists the holes of a bolt circle: equally spaced, or one at each of its angles.
func (d *deriver) circleHoles(k *plate.BoltCircle, of string) error {
	c := geom.Pt(k.X, k.Y)
	if k.Bore != 0 {
		at, ok := d.centreOf(k.Bore)
		if !ok {
			return bad("holes", k.ID, k.Name, "it stands about bore %d, which does not exist; choose a bore or a point", k.Bore)
		}
		c = at
	}
	r := d.holeOf(k.HoleForm)
	r.id, r.name, r.of = k.ID, k.Name, of
	n := k.Count
	if len(k.Angles) > 0 {
		n = len(k.Angles)
	}
	for i := range n {
		deg := 360 * float64(i) / float64(n)
		if len(k.Angles) > 0 {
			deg = k.Angles[i]
		}
		r.number, r.c = i+1, onCircle(c, k.Diameter, k.StartDeg+deg)
		d.rounds = append(d.rounds, r)
	}
	return nil
}

// onCircle is the point at the given angle on a circle. The remainder first: the sine of a large angle loses its last
// digits.
func onCircle(c geom.Point, dia, deg float64) geom.Point {
	a := math.Mod(deg, 360) * math.Pi / 180
	return c.Add(geom.Pt(dia/2*math.Cos(a), dia/2*math.Sin(a)))
}

// lockHoles lists the holes of the screws that lock the eccentrics. The eccentric itself is a part of its own.
func (d *deriver) lockHoles() error {
	for i := range d.p.Eccentrics {
		e := &d.p.Eccentrics[i]
		if e.LockCount == 0 {
			continue
		}
		k := plate.BoltCircle{
			ID: e.ID, Name: e.Name, Bore: e.Bore, Diameter: e.LockCircle, Count: e.LockCount, StartDeg: e.LockStart, HoleForm: e.Lock,
		}
		if err := d.circleHoles(&k, "the locking holes of eccentric"); err != nil {
			return err
		}
	}
	return nil
}

// centreOf is the centre of a bore, single hole or slot.
func (d *deriver) centreOf(id plate.ID) (geom.Point, bool) {
	for _, b := range d.p.Bores {
		if b.ID == id {
			return geom.Pt(b.X, b.Y), true
		}
	}
	for _, h := range d.p.Holes {
		if h.ID == id {
			return geom.Pt(h.X, h.Y), true
		}
	}
	for _, s := range d.p.Slots {
		if s.ID == id {
			return geom.Pt(s.X, s.Y), true
		}
	}
	return geom.Point{}, false
}

// zoneWidth is the width of the tolerance zone of a diameter in mm: of its ISO 286 class where it has one.
func zoneWidth(fit string, dia, tol float64) float64 {
	if fit == "" {
		return tol
	}
	l, err := standard.Fit(fit, dia)
	if err != nil { // checkNumbers has refused it
		return tol
	}
	return l.IT
}

// holeOf turns the form of a hole into sizes; checkNumbers has made sure that the tables hold it.
func (d *deriver) holeOf(h plate.HoleForm) round {
	r := round{kind: CutDrilled, boss: h.Boss, side: h.Side, depth: d.t}
	switch h.Kind {
	case plate.Tapped:
		r.kind, r.thread = CutTapped, h.Size
		r.dia, r.pitch, _ = standard.TapDrill(h.Size)
		r.threadDepth = d.t
	case plate.Reamed:
		r.kind, r.dia, r.fit = CutReamed, h.Diameter, h.Fit
		r.tol = zoneWidth(h.Fit, h.Diameter, 0)
	default:
		r.dia, _ = standard.ClearanceDiameter(h.Size, string(h.Series))
	}
	r.reach = r.dia / 2
	if r.head = headOf(h); r.head.kind != "" { // its side is that of the head: the hole goes through
		r.side, r.reach = plate.Through, max(r.reach, r.head.dia/2)
	}
	switch {
	case r.side == plate.Through:
	case h.Kind == plate.Tapped:
		r.threadDepth = min(h.Depth, d.t)
		r.depth = min(h.Depth+runOut*r.pitch, d.t)
	default:
		r.depth = min(h.Depth, d.t)
	}
	return r
}

// pointHeight is the height of the cone that a drill of the given diameter leaves.
func pointHeight(dia float64) float64 { return dia / 2 / math.Tan(drillPoint/2) }

// cut is the prism of the hole.
func (r *round) cut(t float64) Cut {
	c := r.disc(r.kind, r.side, r.dia, r.depth, t)
	c.Tolerance, c.Fit = r.tol, r.fit
	c.Thread, c.Pitch, c.ThreadDepth = r.thread, r.pitch, r.threadDepth
	return c
}

// disc is a round prism of the feature, from the given side to the given depth.
func (r *round) disc(kind CutKind, side plate.Side, dia, depth, t float64) Cut {
	c := Cut{
		Kind: kind, Side: side, Region: geom.Region{Outer: geom.Circle(r.c, dia/2)}, Z0: 0, Z1: t,
		Center: r.c, Diameter: dia, LeastRadius: dia / 2,
		Feature: r.id, FeatureName: r.name, Cell: -1, Hole: r.number,
	}
	c.Z0, c.Z1 = heights(side, 0, min(depth, t), t)
	return c
}

// heights is the range of z between two depths below the face of a side; all of the plate for through cuts.
func heights(side plate.Side, from, to, t float64) (z0, z1 float64) {
	switch side {
	case plate.Top:
		return t - to, t - from
	case plate.Bottom:
		return from, to
	}
	return 0, t
}

// cuts are all prisms of the round.
func (r *round) cuts(t float64) []Cut {
	out := append(make([]Cut, 0, 4), r.cut(t))
	if r.head.kind == CutCounterbore && r.head.dia > r.dia {
		out = append(out, r.disc(CutCounterbore, r.head.side, r.head.dia, r.head.depth, t))
	}
	if r.bore != nil {
		out = r.seatCuts(out, t)
	}
	return out
}

// point is the cone below a blind hole; ok is false for a through hole. That of a reamed hole is taken as wide as the reamer,
// a little wider than the drill before it.
func (r *round) point(t float64) (c Cut, ok bool) {
	h := pointHeight(r.dia)
	c = r.cut(t)
	c.Kind, c.Thread, c.Pitch, c.ThreadDepth, c.Fit, c.Tolerance = CutPoint, "", 0, 0, "", r.tol
	c.Region = geom.Region{Outer: geom.Circle(r.c, r.dia/2)}
	switch r.side {
	case plate.Top:
		c.Z1 = t - r.depth
		c.Z0 = c.Z1 - h
	case plate.Bottom:
		c.Z0 = r.depth
		c.Z1 = c.Z0 + h
	default:
		return c, false
	}
	return c, true
}
