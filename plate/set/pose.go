package set

import (
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
)

// State is the state of adjusters by feature; an adjuster that is not in it stays as its plate says.
type State map[Ref]Value

// Node is a feature of a plate that something can sit on, in a state of the plate's adjusters.
type Node struct {
	Kind    plate.Kind
	Name    string
	Centre  geom.Point // in the plate's drawing
	TurnDeg float64    // by which a part on it is turned: the clocked angle of a clocked ring, else 0
	Adjusts bool       // it is an adjuster: a clocked ring, an eccentric or a slot
}

// NodeOf finds a feature by its id and says where its centre is. The value, if any, takes the place of the state that the
// plate says; a plate whose Setting is chosen is in that setting. The error names the plate and what is wrong: no such
// feature, one without a centre, or a position beyond a slot's ends.
func NodeOf(p plate.Plate, id plate.ID, v *Value) (Node, error) {
	state := func(drawn plate.SettingValue) plate.SettingValue {
		if v != nil {
			return plate.SettingValue{Feature: id, AngleDeg: v.AngleDeg, Position: v.Position}
		}
		return Chosen(p, drawn)
	}
	for _, b := range p.Bores {
		if b.ID == id {
			return Node{Kind: plate.KindBore, Name: b.Name, Centre: geom.Pt(b.X, b.Y)}, nil
		}
	}
	for _, h := range p.Holes {
		if h.ID == id {
			return Node{Kind: plate.KindHole, Name: h.Name, Centre: geom.Pt(h.X, h.Y)}, nil
		}
	}
	for _, c := range p.Circles {
		if c.ID == id {
			at, err := circleCentre(p, c)
			return Node{Kind: plate.KindCircle, Name: c.Name, Centre: at}, err
		}
	}
	for _, c := range p.Rings {
		if c.ID == id {
			at, err := circleCentre(p, c.BoltCircle)
			s := state(plate.SettingValue{Feature: id, AngleDeg: c.PositionDeg})
			return Node{Kind: plate.KindRing, Name: c.Name, Centre: at, TurnDeg: s.AngleDeg, Adjusts: true}, err
		}
	}
	for _, e := range p.Eccentrics {
		if e.ID == id {
			return eccentricNode(p, e, state(plate.SettingValue{Feature: id, AngleDeg: e.AngleDeg}).AngleDeg)
		}
	}
	for _, s := range p.Slots {
		if s.ID == id {
			return slotNode(s, state(plate.SettingValue{Feature: id, Position: s.Position}).Position)
		}
	}
	if f, ok := p.Find(id); ok {
		return Node{}, fmt.Errorf("%v of plate %q has no centre; name a bore, hole, bolt circle, clocked ring, eccentric or slot", f, p.Name)
	}
	return Node{}, fmt.Errorf("plate %q has no feature %d; name one that it has", p.Name, id)
}

// Chosen is the state of an adjuster in the plate's chosen setting, else as drawn.
func Chosen(p plate.Plate, drawn plate.SettingValue) plate.SettingValue {
	for _, s := range p.Settings {
		if s.ID != p.Setting {
			continue
		}
		if i := slices.IndexFunc(s.Values, func(v plate.SettingValue) bool { return v.Feature == drawn.Feature }); i >= 0 {
			return s.Values[i]
		}
	}
	return drawn
}

func circleCentre(p plate.Plate, c plate.BoltCircle) (geom.Point, error) {
	if c.Bore == 0 {
		return geom.Pt(c.X, c.Y), nil
	}
	i := slices.IndexFunc(p.Bores, func(b plate.Bore) bool { return b.ID == c.Bore })
	if i < 0 {
		return geom.Point{}, fmt.Errorf("%q of plate %q stands round bore %d, which the plate does not have", c.Name, p.Name, c.Bore)
	}
	return geom.Pt(p.Bores[i].X, p.Bores[i].Y), nil
}

func eccentricNode(p plate.Plate, e plate.Eccentric, angleDeg float64) (Node, error) {
	i := slices.IndexFunc(p.Bores, func(b plate.Bore) bool { return b.ID == e.Bore })
	if i < 0 {
		return Node{}, fmt.Errorf("eccentric %q of plate %q turns in bore %d, which the plate does not have", e.Name, p.Name, e.Bore)
	}
	sin, cos := math.Sincos(angleDeg * math.Pi / 180)
	at := geom.Pt(p.Bores[i].X+e.E*cos, p.Bores[i].Y+e.E*sin)
	return Node{Kind: plate.KindEccentric, Name: e.Name, Centre: at, Adjusts: true}, nil
}

func slotNode(s plate.Slot, position float64) (Node, error) {
	const rounding = 1e-9 // mm
	if !(math.Abs(position) <= s.Length/2+rounding) {
		return Node{}, fmt.Errorf("slot %q lets its slider move from %g to %g mm, and %g mm is set", s.Name, -s.Length/2, s.Length/2, position)
	}
	sin, cos := math.Sincos(s.AngleDeg * math.Pi / 180)
	return Node{Kind: plate.KindSlot, Name: s.Name, Centre: geom.Pt(s.X+position*cos, s.Y+position*sin), Adjusts: s.Adjusting}, nil
}

// Loaded is a set with its plates: Plates[i] is that of Parts[i]. It is what LoadFile and Of return, and is not changed once
// returned.
type Loaded struct {
	Set
	Plates []plate.Plate
	Shapes []Shape // of the parts; parts of one file share theirs
}

// Node is NodeOf for a feature of a part, in a state.
func (l *Loaded) Node(r Ref, state State) (Node, error) {
	i := l.Part(r.Part)
	if i < 0 {
		return Node{}, fmt.Errorf("the set %q has no part %q", l.Name, r.Part)
	}
	var v *Value
	if w, ok := state[r]; ok {
		v = &w
	}
	n, err := NodeOf(l.Plates[i], r.Feature, v)
	if err != nil {
		return Node{}, fmt.Errorf("part %q: %w", r.Part, err)
	}
	return n, nil
}

// Poses gives the map of every part's drawing into the view from the side, in a state of the adjusters.
func (l *Loaded) Poses(state State) ([]geom.Affine, error) {
	poses := make([]geom.Affine, len(l.Parts))
	done := make([]bool, len(l.Parts))
	for i := range l.Parts {
		if err := l.pose(i, state, poses, done, 0); err != nil {
			return nil, err
		}
	}
	return poses, nil
}

// pose places part i after whatever carries it.
func (l *Loaded) pose(i int, state State, poses []geom.Affine, done []bool, depth int) error {
	p := l.Parts[i]
	if done[i] {
		return nil
	}
	if depth > len(l.Parts) {
		return fmt.Errorf("part %q is carried by itself; let one of the parts stand by itself", p.Name)
	}
	var t geom.Affine
	if p.Place.Mirrored {
		t = geom.MirrorX()
	}
	if p.Carried.By == "" {
		poses[i] = t.Then(geom.Rotation(p.Place.AngleDeg * math.Pi / 180)).Then(geom.Translation(geom.Pt(p.Place.X, p.Place.Y)))
		done[i] = true
		return nil
	}
	by := l.Part(p.Carried.By)
	if by < 0 {
		return fmt.Errorf("part %q is carried by part %q, which the set does not have", p.Name, p.Carried.By)
	}
	if err := l.pose(by, state, poses, done, depth+1); err != nil {
		return err
	}
	carrier, err := l.Node(Ref{p.Carried.By, p.Carried.Feature}, state)
	if err != nil {
		return err
	}
	own, err := l.Node(Ref{p.Name, p.Carried.Own}, state)
	if err != nil {
		return err
	}
	t = t.Then(geom.Rotation((carrier.TurnDeg + p.Place.AngleDeg) * math.Pi / 180))
	t = t.Then(geom.Translation(carrier.Centre.Sub(t.Apply(own.Centre))))
	poses[i], done[i] = t.Then(poses[by]), true
	return nil
}
