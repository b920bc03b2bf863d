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
	number      int // 1-based number in its bolt circle, 0 else
	c           geom.Point
	dia         float64
	boss        float64 // radial width of the boss, 0 for none
	tol         float64
	thread      string
	pitch       float64
	side        plate.Side
	depth       float64 // drilled, to the shoulder of the point; the thickness when through
	threadDepth float64
}

func (r *round) radius() float64 { return r.dia/2 + r.boss }
func (r *round) stage() string {
	if r.kind == CutBore {
		return "bores"
	}
	return "holes"
}

// makeRounds lists bores, holes and the holes of bolt circles, in document order, and the bosses round them.
func (d *deriver) makeRounds() error {
	p := d.p
	for _, b := range p.Bores {
		d.rounds = append(d.rounds, round{
			kind: CutBore, id: b.ID, name: b.Name, c: geom.Pt(b.X, b.Y), dia: b.Diameter, boss: b.Boss, tol: b.Tolerance,
			side: plate.Through, depth: d.t,
		})
	}
	for _, h := range p.Holes {
		r := d.holeOf(h.HoleForm)
		r.id, r.name, r.c = h.ID, h.Name, geom.Pt(h.X, h.Y)
		d.rounds = append(d.rounds, r)
	}
	for _, k := range p.Circles {
		c := geom.Pt(k.X, k.Y)
		if k.Bore != 0 {
			at, ok := d.centreOf(k.Bore)
			if !ok {
				return bad("holes", k.ID, k.Name, "it stands about bore %d, which does not exist; choose a bore or a point", k.Bore)
			}
			c = at
		}
		r := d.holeOf(k.HoleForm)
		r.id, r.name = k.ID, k.Name
		for i := range k.Count {
			// The remainder first: the sine of a large angle loses its last digits.
			a := math.Mod(k.StartDeg+360*float64(i)/float64(k.Count), 360) * math.Pi / 180
			r.number, r.c = i+1, c.Add(geom.Pt(k.Diameter/2*math.Cos(a), k.Diameter/2*math.Sin(a)))
			d.rounds = append(d.rounds, r)
		}
	}
	d.l.Bosses = make([]Boss, len(d.rounds))
	for i := range d.rounds {
		r := &d.rounds[i]
		d.l.Bosses[i] = Boss{Feature: r.id, Name: r.name, Center: r.c, Hole: r.dia, Radius: r.radius(), Round: r.number}
	}
	return nil
}

// centreOf is the centre of a bore or single hole.
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
	return geom.Point{}, false
}

// holeOf turns the form of a hole into sizes; checkNumbers has made sure that the tables hold it.
func (d *deriver) holeOf(h plate.HoleForm) round {
	r := round{kind: CutDrilled, boss: h.Boss, side: h.Side, depth: d.t}
	if h.Kind == plate.Clearance {
		r.dia, _ = standard.ClearanceDiameter(h.Size, string(h.Series))
	} else {
		r.kind, r.thread = CutTapped, h.Size
		r.dia, r.pitch, _ = standard.TapDrill(h.Size)
		r.threadDepth = d.t
	}
	if h.Side == plate.Through {
		return r
	}
	if h.Kind == plate.Tapped {
		r.threadDepth = min(h.Depth, d.t)
		r.depth = min(h.Depth+runOut*r.pitch, d.t)
	} else {
		r.depth = min(h.Depth, d.t)
	}
	return r
}

// pointHeight is the height of the cone that a drill of the given diameter leaves.
func pointHeight(dia float64) float64 { return dia / 2 / math.Tan(drillPoint/2) }

// cut is the prism of the hole.
func (r *round) cut(t float64) Cut {
	c := Cut{
		Kind: r.kind, Side: r.side, Region: geom.Region{Outer: geom.Circle(r.c, r.dia/2)}, Z0: 0, Z1: t,
		Center: r.c, Diameter: r.dia, LeastRadius: r.dia / 2, Tolerance: r.tol,
		Thread: r.thread, Pitch: r.pitch, ThreadDepth: r.threadDepth,
		Feature: r.id, FeatureName: r.name, Cell: -1, Hole: r.number,
	}
	switch r.side {
	case plate.Top:
		c.Z0 = t - r.depth
	case plate.Bottom:
		c.Z1 = r.depth
	}
	return c
}

// point is the cone below a blind hole; ok is false for a through hole.
func (r *round) point(t float64) (c Cut, ok bool) {
	h := pointHeight(r.dia)
	c = r.cut(t)
	c.Kind, c.Thread, c.Pitch, c.ThreadDepth = CutPoint, "", 0, 0
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
