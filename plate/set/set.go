package set

import (
	"slices"

	"platewright/plate"
)

// Set is the document of one assembly. The zero value is empty and not valid.
type Set struct {
	Name         string
	Note         string
	Parts        []Part
	CrossMembers []CrossMember
	Wheels       []Wheel
	Ground       Ground
	Steering     Steering
	Settings     []Setting
	Sheet        Sheet
}

// Hand says which of a handed pair is made from a drawing.
type Hand string

// The hands. NoHand is for a part that has none; it is made as drawn, like Left.
const (
	NoHand Hand = ""
	Left   Hand = "left"  // the part made is as drawn
	Right  Hand = "right" // the part made is the mirror image: x is mirrored, texts and threads are not
)

// Part is one plate of the set, with how many of it there are.
type Part struct {
	Name     string // unique in the set
	File     string // of the plate, relative to the set's file, with forward slashes
	Revision string // SHA-256 of the plate's canonical bytes when it was taken into the set, hex; empty if not recorded
	Quantity int    // in one set; all lie one behind the other in the view from the side
	Hand     Hand
	Place    Place
	Carried  Carried
}

// Place puts a plate's drawing into the view from the side: it is mirrored in x first, where it is seen from its bottom face,
// then turned about the drawing's origin, then moved.
type Place struct {
	X, Y     float64 // mm
	AngleDeg float64
	Mirrored bool
}

// Carried makes a part follow another one: its own feature sits on a feature of the part that carries it, moved by that
// feature's setting, and it turns with the carrier and, on a clocked ring, by the clocked angle. Place.AngleDeg then counts
// from the carrier's direction, and Place.X and Y are not used. An empty By is none.
type Carried struct {
	By      string   // name of the part that carries it
	Feature plate.ID // of that part
	Own     plate.ID // of this part: bore, hole, bolt circle, clocked ring, eccentric or slot
}

// Ref names a feature of a part. The zero Ref is none.
type Ref struct {
	Part    string
	Feature plate.ID
}

// CrossMember joins two parts across the machine, from bore to bore.
type CrossMember struct {
	Name     string
	From, To Ref
	Length   float64 // between the plates' faces, mm
	Diameter float64 // outside, mm
	Inside   float64 // inside diameter, mm; 0 is solid
}

// Role says where a wheel stands.
type Role string

// The roles. The steered wheel is the front one.
const (
	Front Role = "front"
	Rear  Role = "rear"
)

// Wheel stands on the ground at its loaded radius.
type Wheel struct {
	Name   string
	Role   Role
	Axle   Ref
	Radius float64 // loaded: from the axle's centre to the ground, mm
}

// Ground is what the machine stands on. With a front and a rear wheel it is the line below both; without, the level at Height.
type Ground struct {
	Height float64 // y of the ground as drawn, mm
	Ride   Ref     // the feature whose height over the ground is the ride height; none where it is not wanted
}

// Steering is the steering axis: through the centres of two features, or through one at an angle of its part.
type Steering struct {
	Lower, Upper Ref
	AngleDeg     float64 // with Upper none: direction of the axis in Lower's drawing, counter-clockwise from x
}

// On reports whether the set has a steering axis.
func (s Steering) On() bool { return s.Lower.Part != "" }

// Setting is a state of adjusters of several parts. An adjuster that it does not name stays as its plate says.
type Setting struct {
	Name   string
	Values []Value
}

// Value is the state of one adjuster: AngleDeg of a clocked ring or an eccentric, Position of a slot.
type Value struct {
	Adjuster Ref
	AngleDeg float64
	Position float64 // mm
}

// Sheet is the sheet that plates are nested on. A zero length is none.
type Sheet struct {
	Length, Width float64 // mm
	Edge          float64 // kept free along its edges, mm
	Gap           float64 // between plates, mm
	Grain         bool    // plates may be turned by half a turn only, because the rolling direction matters
}

// Part finds a part by name; -1 when there is none.
func (s Set) Part(name string) int {
	return slices.IndexFunc(s.Parts, func(p Part) bool { return p.Name == name })
}

// Wheel finds the first wheel in a role; ok is false when there is none.
func (s Set) Wheel(r Role) (w Wheel, ok bool) {
	i := slices.IndexFunc(s.Wheels, func(w Wheel) bool { return w.Role == r })
	if i < 0 {
		return Wheel{}, false
	}
	return s.Wheels[i], true
}
