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

	Stock     Stock
	Outline   Outline
	Rim       float64 // width of the full-thickness band kept along the outline, mm; 0 for none
	Bores     []Bore
	Holes     []Hole
	Circles   []BoltCircle
	Ribs      []Rib
	Grids     []Grid
	Pockets   []Pocket
	CutLines  []CutLine
	Targets   []Target
	Machining Machining
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

// Outline is the outer profile, drawn as corners in counter-clockwise or clockwise order (the layout turns it
// counter-clockwise). Each corner is rounded by its outline radius; the side from a corner to the next is straight, or the
// arc through a given point.
type Outline struct {
	Corners []Corner
}

// Corner is one corner of a drawn, closed path.
type Corner struct {
	X, Y     float64
	Radius   float64 // outline radius, or inside corner radius in a pocket boundary, mm; 0 is sharp
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
}

// HoleKind says what a fastener hole is for.
type HoleKind string

// The kinds of hole.
const (
	Clearance HoleKind = "clearance" // the fastener passes; ISO 273
	Tapped    HoleKind = "tapped"    // ISO metric coarse thread; tap drill by ISO 2306
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

// The sides. Through concerns both faces.
const (
	Top     Side = "top"
	Bottom  Side = "bottom"
	Through Side = "through"
)

// HoleForm is what one hole is, shared by single holes and the holes of a bolt circle.
type HoleForm struct {
	Kind   HoleKind
	Size   string  // ISO metric thread size, e.g. "M8"
	Series Series  // clearance holes only
	Side   Side    // Through, or the face that a blind tapped hole enters from
	Depth  float64 // usable thread depth of a blind tapped hole, mm; 0 when Side is Through
	Boss   float64 // radial width of the metal kept round it, mm; 0 for none
}

// Hole is a single fastener hole.
type Hole struct {
	ID   ID
	Name string
	X, Y float64
	HoleForm
}

// BoltCircle is Count equally spaced holes on the circle of the given Diameter about Bore, or about (X, Y) when Bore is 0.
// The first hole stands at angle StartDeg, measured counter-clockwise from x.
type BoltCircle struct {
	ID       ID
	Name     string
	Bore     ID
	X, Y     float64
	Diameter float64
	Count    int
	StartDeg float64 // degrees
	HoleForm
}

// RibEnd is the end of a drawn rib: at the centre of Feature (a bore or hole) when that is not 0, else at (X, Y).
type RibEnd struct {
	Feature ID
	X, Y    float64
}

// Rib is a drawn straight rib.
type Rib struct {
	ID       ID
	Name     string
	From, To RibEnd
	Width    float64
}

// Grid is an isogrid: three families of parallel ribs at 60° that leave equilateral triangles of side Pitch.
type Grid struct {
	ID       ID
	Name     string
	Pitch    float64  // side of the triangle between rib centre lines, mm
	AngleDeg float64  // direction of the first family, counter-clockwise from x, degrees
	X, Y     float64  // a node of the grid
	Width    float64  // of a rib, mm
	Bounds   []Corner // where the grid holds; empty for the whole plate
}

// Pocket is a field of pockets: everything inside the rim (and inside Bounds, when given) that is not boss or rib, cut from
// one side or through. One separate piece of it is a cell.
type Pocket struct {
	ID        ID
	Name      string
	Side      Side
	Depth     float64 // from the pocket's own finished face, mm; 0 when Side is Through
	Radius    float64 // inside corner radius, mm
	Bounds    []Corner
	AllRibs   bool     // every rib and grid of the document divides the field
	Ribs      []ID     // with AllRibs false: the ribs and grids that do
	LeastArea float64  // cells with less plan area than this stay metal, mm²
	Kept      []Anchor // cells kept solid by choice
}

// Anchor points at one cell in a way that survives edits: at the triangle (I, J, K) of isogrid Grid when Grid is not 0
// (K is 0 for the triangle that points along +normal of the first family, 1 for the other), else at the piece that contains
// (X, Y).
type Anchor struct {
	Grid    ID
	I, J, K int
	X, Y    float64
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

// Machining holds where files and set-ups measure from and which shop profile the times are for.
type Machining struct {
	ZeroX, ZeroY float64 // work zero in plate coordinates, mm
	Turn         Axis
	Shop         string // name of the embedded shop profile
	ShopHash     string // SHA-256 of the profile when it was chosen, hex; empty if not recorded
}
