package plate

import "platewright/plate/material"

// ID is the permanent number of a feature: positive, unique in its document, never used again after the feature is
// deleted. 0 means none.
type ID int64

// Plate is the document of one plate. The zero value is empty and not valid; New makes a small valid one.
type Plate struct {
	Name   string
	Note   string
	NextID ID // the id that the next new feature takes; larger than every id in use or used before

	Stock      Stock
	Outline    Outline
	Rim        float64 // width of the full-thickness band kept along the outline, mm; 0 for none
	Bores      []Bore
	Holes      []Hole
	Circles    []BoltCircle
	Rings      []ClockedRing
	Eccentrics []Eccentric
	Slots      []Slot
	Ribs       []Rib
	Grids      []Grid
	Pockets    []Pocket
	KeepOuts   []KeepOut
	Inlays     []Inlay
	Settings   []Setting
	Setting    ID // of Settings, the one that the plate is drawn and analysed in; 0 for each adjuster as drawn
	Supports   []Support
	Loads      []Load
	Cases      []LoadCase
	CutLines   []CutLine
	Targets    []Target
	Machining  Machining
	Price      Price
}

// Face says how a face of the plate is left.
type Face string

// The states of a face.
const (
	AsSupplied Face = "as supplied" // left as the stock came
	Machined   Face = "machined"    // milled; its share of the allowance is removed
)

// Stock is what the plate is cut from.
type Stock struct {
	Material material.Material // copied into the document with its source
	Nominal  float64           // thickness bought, mm
	Finished float64           // thickness of the finished plate, mm; equal to Nominal when both faces are as supplied
	Top      Face
	Bottom   Face
	Blank    Blank
	Finish   Finish
}

// Finish is a surface treatment of the finished plate, such as anodising. The zero value is none.
type Finish struct {
	Name   string  // as it stands on the order; empty for none
	Growth float64 // by which it moves every surface outwards, mm: a bore shrinks by twice as much in diameter
	Masked []ID    // bores, holes and other features that are kept free of it
}

// Thickness is the finished thickness t in mm.
func (s Stock) Thickness() float64 { return s.Finished }

// Allowances are the thicknesses, in mm, that facing removes above the finished top and below the finished bottom face.
// All of Nominal − Finished goes to the one machined face, or half to each of two.
func (s Stock) Allowances() (top, bottom float64) {
	d := s.Nominal - s.Finished
	switch {
	case s.Top == Machined && s.Bottom == Machined:
		return d / 2, d / 2
	case s.Top == Machined:
		return d, 0
	case s.Bottom == Machined:
		return 0, d
	}
	return 0, 0
}

// Blank is the sawn rectangle. With Fixed false it is the box of the outline grown by Margin on every side; with Fixed
// true it is the rectangle with lower left corner X, Y, and Width and Height, in mm.
type Blank struct {
	Fixed               bool
	Margin              float64
	X, Y, Width, Height float64
}

// OutlineKind says how the outline is given.
type OutlineKind string

// The kinds of outline. The empty one is the default, so that there is one value for one meaning; String names it.
const (
	Drawn   OutlineKind = ""        // "drawn": by its corners
	Wrapped OutlineKind = "wrapped" // a skin round chosen bores and holes
	Contour OutlineKind = "contour" // by vertices and bulges, as data from elsewhere
)

// Outline is the outer profile, in counter-clockwise or clockwise order (the layout turns it counter-clockwise). Drawn:
// each corner is rounded by its outline radius or cut by its chamfer; the side from a corner to the next is straight, or the
// arc through a given point.
type Outline struct {
	Kind     OutlineKind
	Corners  []Corner // Drawn
	Mirror   Mirror   // Drawn: Corners are one half
	Wraps    []Wrap   // Wrapped, in counter-clockwise order round the plate
	Vertices []Vertex // Contour
	Chamfer  EdgeChamfer
}

// Mirror completes a half outline by its mirror image: the corners run as an open path whose first and last lie on the
// mirror line, and the image closes it.
type Mirror struct {
	On   bool
	Axis Axis    // the mirror line runs parallel to this axis
	At   float64 // its place on the other axis, mm
}

// Wrap is one round that the wrapped outline passes, and the side from it to the next.
type Wrap struct {
	Feature ID      // a bore or hole
	Width   float64 // radial width of metal round it, mm
	Hollow  bool    // the side to the next round is an arc bent inwards that touches both; else their common outer tangent
	Blend   float64 // radius of that arc, mm
}

// Vertex is one vertex of a closed contour. Bulge is the tangent of a quarter of the included angle of the arc to the next
// vertex, as in DXF: 0 is straight, positive turns counter-clockwise, ±1 is a half circle.
type Vertex struct {
	X, Y  float64
	Bulge float64
}

// EdgeChamfer breaks the outline's edges by a 45° chamfer of the given leg on each face, mm; 0 for none.
type EdgeChamfer struct {
	Top, Bottom float64
}

// Corner is one corner of a drawn, closed path.
type Corner struct {
	X, Y     float64
	Radius   float64 // outline radius, or inside corner radius in a pocket boundary, mm; 0 is sharp
	Chamfer  float64 // length cut from each of the two straight sides, mm; 0 is none; not together with a radius
	Arc      bool    // the side to the next corner is the arc through (ThroughX, ThroughY)
	ThroughX float64
	ThroughY float64
}

// Bore is a large, located, named round hole through the plate.
type Bore struct {
	ID        ID
	Name      string
	X, Y      float64
	Diameter  float64
	Boss      float64 // radial width of the metal kept round it at full thickness, mm; 0 for none
	Tolerance float64 // width of the diameter's tolerance zone, mm; 0 is the shop's general tolerance. Below 0.1 mm the bore is finished by boring
	Fit       string  // ISO 286 class like "H7"; empty for none. It takes the place of Tolerance
	Seats     []Seat  // wider steps from either face, in any order
	Keyway    Keyway
}

// RingLoad says how the load stands to the bearing's outer ring, which decides its fit.
type RingLoad string

// The states of the load on the outer ring. Empty means not said.
const (
	RingStill RingLoad = "still"   // the load stands still against the outer ring
	RingTurns RingLoad = "turning" // the load turns against the outer ring
)

// Seat is one step of a bore, wider than the bore, from one face.
type Seat struct {
	Side     Side    // Top or Bottom
	Diameter float64 // mm
	Depth    float64 // from its own finished face, mm
	Fit      string  // ISO 286 class like "H7" or "N7"; empty for general tolerance
	Bearing  string  // ISO 15 designation of what sits in it, like "6004"; empty for anything else
	Ring     RingLoad
	Groove   Groove
}

// Groove is a groove for a retaining ring in the wall of a seat. A zero width is none.
type Groove struct {
	Diameter float64 // mm, larger than the seat's
	Width    float64 // mm
	At       float64 // from the seat's own face to the near wall of the groove, mm
}

// Keyway is a keyway along the whole height of a bore. A zero width is none.
type Keyway struct {
	Width    float64 // mm
	Height   float64 // by which its floor stands outside the bore's wall, measured on the keyway's centre line, mm
	AngleDeg float64 // direction of its centre line from the bore's centre, degrees
}

// HoleKind says what a fastener hole is for.
type HoleKind string

// The kinds of hole.
const (
	Clearance    HoleKind = "clearance"    // the fastener passes; ISO 273
	Tapped       HoleKind = "tapped"       // ISO metric coarse thread; tap drill by ISO 2306
	Reamed       HoleKind = "reamed"       // for a dowel pin: Diameter and Fit
	Counterbored HoleKind = "counterbored" // clearance hole with a flat recess for a cap screw's head on Side
	Countersunk  HoleKind = "countersunk"  // clearance hole with a 90° cone for a countersunk head on Side
)

// Series is the ISO 273 series of a clearance hole.
type Series string

// The series of ISO 273.
const (
	Fine   Series = "fine"
	Medium Series = "medium"
	Coarse Series = "coarse"
)

// Side is the face from which something is machined.
type Side string

// The sides. Through concerns both faces; Both is a pocket field from each face at once.
const (
	Top     Side = "top"
	Bottom  Side = "bottom"
	Through Side = "through"
	Both    Side = "both"
)

// HoleForm is what one hole is, shared by single holes and the holes of bolt circles, clocked rings and eccentrics.
type HoleForm struct {
	Kind         HoleKind
	Size         string  // ISO metric thread size, e.g. "M8"; empty for reamed holes
	Series       Series  // clearance, counterbored and countersunk holes
	Side         Side    // Through, or the face that a blind hole, a counterbore or a countersink enters from
	Depth        float64 // usable depth of a blind tapped or reamed hole, mm; 0 when it goes through
	Boss         float64 // radial width of the metal kept round it, mm; 0 for none. Measured from the hole, not from the head's recess
	Diameter     float64 // reamed holes: nominal diameter, mm
	Fit          string  // reamed holes: ISO 286 class, like "H7"
	HeadDiameter float64 // of the counterbore or of the countersink at the face, mm; 0 as the table of the head's standard says
	HeadDepth    float64 // of the counterbore, mm; 0 as the table says
}

// Hole is a single fastener hole.
type Hole struct {
	ID   ID
	Name string
	X, Y float64
	HoleForm
}

// BoltCircle is Count equally spaced holes, or one at each of Angles, on the circle of the given Diameter about Bore, or
// about (X, Y) when Bore is 0. The first hole stands at angle StartDeg, measured counter-clockwise from x; Angles count from
// StartDeg.
type BoltCircle struct {
	ID       ID
	Name     string
	Bore     ID
	X, Y     float64
	Diameter float64
	Count    int
	StartDeg float64   // degrees
	Angles   []float64 // degrees from StartDeg; empty for equal spacing. Count is their number
	HoleForm
}

// ClockedRing is a ring of holes that a mating part, with a ring of its own on the same diameter, can be bolted to at
// several angles. The plate has the holes of the embedded circle; the mate has MateCount equally spaced ones or MateAngles,
// turned by the clocked angle. A bolt fits where a hole of each ring coincide.
type ClockedRing struct {
	BoltCircle
	MateCount    int
	MateStartDeg float64
	MateAngles   []float64 // degrees from MateStartDeg; empty for equal spacing. MateCount is their number
	LeastBolts   int       // fewest bolts that may hold at any setting
	WantedDeg    []float64 // clocked angles that the ring is there for, degrees; an angle at which too few bolts fit is an error
	PositionDeg  float64   // clocked angle of the mate as drawn, degrees
}

// Eccentric is an adjuster that turns in a bore of the plate, and whose own bore is off its axis by E.
type Eccentric struct {
	ID         ID
	Name       string
	Bore       ID      // the plate's bore in which it turns
	E          float64 // mm; half a turn moves the centre by 2E
	Inner      float64 // diameter of its own bore, mm
	AngleDeg   float64 // of the moving centre as drawn, counter-clockwise from x, degrees
	LockCircle float64 // diameter of the circle on which its locking screws' holes in the plate lie, mm; 0 for none
	LockCount  int
	LockStart  float64 // degrees
	Lock       HoleForm
}

// Slot is an obround opening: all points within half of Width of a line of the given Length, centred at (X, Y).
type Slot struct {
	ID        ID
	Name      string
	X, Y      float64
	Length    float64 // between the centres of its round ends, mm
	Width     float64 // mm
	AngleDeg  float64 // of the line, counter-clockwise from x, degrees
	Side      Side    // Through, or the face that it is milled from
	Depth     float64 // mm; 0 when Through
	Boss      float64 // radial width of the metal kept round it, mm; 0 for none
	Fit       string  // ISO 286 class of its width; empty for general tolerance
	Position  float64 // of what slides in it, along the line from the centre, as drawn, mm
	Adjusting bool    // it is an adjuster: settings may name it
}

// Setting is one state of the plate's adjusters.
type Setting struct {
	ID     ID
	Name   string
	Values []SettingValue
}

// SettingValue is the state of one adjuster: AngleDeg of a clocked ring or an eccentric, Position of a slot.
type SettingValue struct {
	Feature  ID
	AngleDeg float64 // degrees
	Position float64 // mm
}

// RibEnd is the end of a drawn rib: at the centre of Feature (a bore, hole or slot) when that is not 0, else at (X, Y).
type RibEnd struct {
	Feature ID
	X, Y    float64
}

// Rib is a drawn rib, straight or the arc through a given point.
type Rib struct {
	ID       ID
	Name     string
	From, To RibEnd
	Width    float64
	Arc      bool
	ThroughX float64
	ThroughY float64
}

// GridKind says how a rib field lays its ribs.
type GridKind string

// The kinds of rib field. The empty one is the default; String names it.
const (
	Isogrid    GridKind = ""           // "isogrid": three families at 60°
	Orthogrid  GridKind = "orthogrid"  // two families at 90°
	Parallel   GridKind = "parallel"   // one family
	Spokes     GridKind = "spokes"     // from bore to bore
	Directions GridKind = "directions" // along a given field of directions
)

// Grid is a field of ribs. Its Bounds say where it holds; ribs of several fields may meet.
type Grid struct {
	ID       ID
	Name     string
	Kind     GridKind
	Pitch    float64  // isogrid: side of the triangle between rib centre lines; others: between neighbouring ribs, mm
	PitchY   float64  // orthogrid: between the ribs of the second family, mm; 0 as Pitch
	AngleDeg float64  // direction of the first family, counter-clockwise from x, degrees
	X, Y     float64  // a node of the grid; a point on a rib of a parallel field
	Width    float64  // of a rib, mm
	Fillet   float64  // radius of the fillets where its ribs meet, mm; 0 leaves the pocket's inside corner radius
	Fitted   bool     // pitch and place are changed by the least that makes whole cells fit the extent of the field
	Bounds   []Corner // where the grid holds; empty for the whole plate
	Widths   []RibWidth

	Hubs       []ID    // spokes: the bores, holes and slots that they join; empty for all bores
	LeastAngle float64 // spokes: least angle between two spokes at a hub, and between crossing ones, degrees; 0 is 20

	Samples []Direction // directions: where the field of directions is known
	Crossed bool        // directions: a second family of ribs runs at right angles
}

// Direction is the direction of ribs at one place.
type Direction struct {
	X, Y     float64
	AngleDeg float64 // counter-clockwise from x, degrees; a direction and its opposite are the same
}

// RibWidth gives one rib of a field, from node to node, a width of its own.
type RibWidth struct {
	At    RibAnchor
	Width float64 // mm
}

// RibAnchor points at one rib of a field in a way that survives edits: segment Segment of line Line of family Family, where
// the field has a lattice; the rib nearest to (X, Y), within half a pitch, elsewhere.
type RibAnchor struct {
	Lattice       bool
	Family        int
	Line, Segment int
	X, Y          float64
}

// PocketKind says what a pocket cuts.
type PocketKind string

// The kinds of pocket. The empty one is the default; String names it.
const (
	FieldPocket   PocketKind = ""        // "field": everything inside rim and Bounds that is not boss or rib
	DrawnPocket   PocketKind = "drawn"   // what Bounds encloses, whatever ribs and rim say; bosses and keep-outs stay
	RoundPocket   PocketKind = "round"   // a disc
	ObroundPocket PocketKind = "obround" // all points within half of Diameter of a line
)

// Pocket is a field of pockets, or a single one. A field is everything inside the rim (and inside Bounds, when given) that
// is not boss, rib or keep-out, cut from one side, both or through. One separate piece of it is a cell.
type Pocket struct {
	ID        ID
	Name      string
	Kind      PocketKind
	Side      Side
	Depth     float64 // from the pocket's own finished face (Both: the top), mm; 0 when Side is Through
	DepthBack float64 // Both: from the bottom face, mm
	Radius    float64 // inside corner radius, mm
	Bounds    []Corner
	AllRibs   bool     // every rib and grid of the document divides the field
	Ribs      []ID     // with AllRibs false: the ribs and grids that do
	LeastArea float64  // cells with less plan area than this stay metal, mm²
	Kept      []Anchor // cells kept solid by choice
	Depths    []CellDepth

	X, Y     float64 // round and obround: the centre
	Diameter float64 // round and obround, mm
	Length   float64 // obround: between the centres of its ends, mm
	AngleDeg float64 // obround, degrees

	FloorRadius float64 // fillet between floor and wall, mm; 0 is sharp
	Ledge       Ledge
}

// CellDepth gives one cell a depth of its own.
type CellDepth struct {
	At      Anchor
	Through bool
	Depth   float64 // from the pocket's own face (Both: the top), mm; 0 when Through
	Back    float64 // Both: from the bottom face, mm
}

// Ledge is a step along a pocket's wall on which an inlay panel sits. A zero width is none.
type Ledge struct {
	Width float64 // of the step, mm: the cell below it is smaller all round by so much
	Depth float64 // of the step below the pocket's face, mm
}

// Anchor points at one cell in a way that survives edits: at the cell (I, J, K) of the lattice of Grid when Grid is not 0
// (isogrid: K is 0 for the triangle that points along +normal of the first family, 1 for the other; orthogrid: K is 0), else
// at the piece that contains (X, Y). Of a pocket from both sides it means the cells of both.
type Anchor struct {
	Grid    ID
	I, J, K int
	X, Y    float64
}

// KeepOut is a zone that no pocket enters: full thickness stays there.
type KeepOut struct {
	ID     ID
	Name   string
	Bounds []Corner
}

// Inlay is a panel that sits in cells of a pocket: on the ledge where the pocket has one, else on the floor.
type Inlay struct {
	ID        ID
	Name      string
	Pocket    ID
	All       bool     // every cell of the pocket that is cut
	Cells     []Anchor // with All false: the cells
	Clearance float64  // between the panel and the wall, mm
	Radius    float64  // outline radius of the panel's corners, mm; 0: as the wall less the clearance
	Thickness float64  // mm
	Material  material.Material
}

// CutLine is a line across the plate at which the section is wanted.
type CutLine struct {
	ID             ID
	Name           string
	X1, Y1, X2, Y2 float64
}

// Quantity is a figure that a target can be set on.
type Quantity string

// The quantities.
const (
	MassKG    Quantity = "mass"              // kg
	CycleMin  Quantity = "cycle"             // minutes, button to button
	BuyToFly  Quantity = "buy to fly"        // blank mass ÷ plate mass
	SectionEI Quantity = "section stiffness" // EI about the axis in the plane of the plate at a cut line, N·mm²
	Reserve   Quantity = "reserve factor"    // the least of the load case, or of all
	Deflect   Quantity = "deflection"        // the greatest of the load case, mm
	PieceCost Quantity = "piece price"       // at the first batch, in the profile's currency
)

// Sense says on which side of a target the figure must be.
type Sense string

// The senses.
const (
	AtMost  Sense = "max"
	AtLeast Sense = "min"
)

// Target is what the design must meet.
type Target struct {
	ID       ID
	Name     string
	Quantity Quantity
	CutLine  ID // for SectionEI
	Case     ID // for Reserve and Deflect; 0 for the worst of all cases
	Sense    Sense
	Value    float64 // in the quantity's unit
}

// Axis is the axis about which the work is turned over between set-ups.
type Axis string

// The turn axes.
const (
	AxisX Axis = "x"
	AxisY Axis = "y"
)

// Machining holds where files and set-ups measure from, which shop profile the times are for, and what the user changed in
// the plan.
type Machining struct {
	ZeroX, ZeroY float64 // work zero in plate coordinates, mm
	Turn         Axis
	Shop         string // name of the embedded shop profile
	ShopHash     string // SHA-256 of the profile when it was chosen, hex; empty if not recorded
	Changes      []OperationChange
	Holding      []Holding
}

// OperationChange is one change of the plan that the user asked for. It applies to the operations of the given class on
// Feature, and of these only to that on the cell at At when HasCell.
type OperationChange struct {
	ID      ID
	Class   string // class of operation in the words of the route card, like "rough pocket"; empty for all
	Feature ID     // 0 for the outline and the faces
	HasCell bool
	At      Anchor
	Leave   bool    // the operation is left out, and a finding says so
	Where   string  // "machine", "hand" or "outside"; empty as the rule chooses
	Tool    string  // id of the profile's tool; empty as the rule chooses
	Order   int     // moved by so many places within its set-up, later when positive
	Minutes float64 // by hand or outside: the time, min; 0 as estimated
	Note    string
}

// HoldingKind says how the work is held.
type HoldingKind string

// The kinds of holding.
const (
	Clamp  HoldingKind = "clamp"  // a strap over the edge: a rectangle
	Screw  HoldingKind = "screw"  // through a named hole
	Vice   HoldingKind = "vice"   // between jaws
	Vacuum HoldingKind = "vacuum" // on a vacuum plate
	Tape   HoldingKind = "tape"   // on double-sided tape
)

// Holding is one thing that holds the work in a set-up. Paths keep out of it.
type Holding struct {
	ID            ID
	SetUp         int // 1-based; 0 for all
	Kind          HoldingKind
	Feature       ID      // Screw: the hole
	X, Y          float64 // Clamp: centre
	Width, Height float64 // Clamp: of its rectangle, mm
	AngleDeg      float64
}

// Price holds what the price of this plate depends on besides the shop's rates.
type Price struct {
	Batches  []int  // quantities of the break table; empty for 1, 5, 20
	PerSet   int    // pieces in one set; 0 for 1
	BoughtIn string // price of one blank as bought, decimal; empty to price it by mass
}
