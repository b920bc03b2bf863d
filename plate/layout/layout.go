package layout

import (
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// CutKind says what a cut is in shop terms.
type CutKind string

// The kinds of cut.
const (
	CutFace    CutKind = "face"    // facing of the whole blank on one side
	CutOutline CutKind = "outline" // everything of the blank outside the outline
	CutPocket  CutKind = "pocket"  // one cell of a pocket field, from top, from bottom or through
	CutBore    CutKind = "bore"
	CutDrilled CutKind = "drilled" // clearance hole
	CutTapped  CutKind = "tapped"  // at tap-drill size
	CutPoint   CutKind = "point"   // the cone that the drill leaves below a blind hole; not a prism

	CutLedge       CutKind = "ledge"       // the wider, shallower step of a pocket on which an inlay sits
	CutSeat        CutKind = "seat"        // a wider step of a bore
	CutGroove      CutKind = "groove"      // for a retaining ring: the annulus outside the seat
	CutKeyway      CutKind = "keyway"      // what of it lies outside the bore
	CutReamed      CutKind = "reamed"      // dowel hole
	CutCounterbore CutKind = "counterbore" // the recess; the hole below it is a cut of its own
	CutCountersink CutKind = "countersink" // the frustum outside its hole: Cone; not a prism
	CutSlot        CutKind = "slot"
	CutFillet      CutKind = "floor fillet" // metal that stays: Sweep with a negative volume; not a prism
	CutChamfer     CutKind = "chamfer"      // along the outline's edge: Sweep; not a prism
)

// Sweep is a profile carried along closed chains of edges, in a cut that is not a prism.
type Sweep struct {
	Along  []geom.Contour // edge that the profile is carried along, metal to its left
	Leg    float64        // chamfer: of the 45° triangle; fillet: radius, mm
	Z      float64        // height of the face (chamfer) or of the floor (fillet), mm
	Volume float64        // mm³ removed, exact by Pappus along the edges and about the corners; negative for a fillet
}

// Cut is one removal of metal. Its prism is Region × [Z0, Z1] in plate coordinates (z = 0 finished bottom, t finished
// top). A CutPoint has no prism: it is the cone with base diameter Diameter at Z1 (entered from the top) or Z0 (from the
// bottom) and its apex at the other of the two, about Center. A CutCountersink is the frustum about Center with Diameter at
// its face and Inner at its other end, less the hole of diameter Inner; a sweep is what Sweep says. Their Region is only
// where they lie, for drawing. Prism tells the two sorts apart, OtherVolume is what those that are no prism remove.
type Cut struct {
	Kind        CutKind
	Side        plate.Side // face it is machined from; Through for through cuts
	Region      geom.Region
	Z0, Z1      float64
	Center      geom.Point // axis of round cuts
	Diameter    float64    // of round cuts, mm; 0 else
	LeastRadius float64    // smallest inside corner radius that the cutter must leave, mm; +Inf where none
	Tolerance   float64    // width of the diameter's tolerance zone, mm; 0 general
	Thread      string     // e.g. "M8" for tapped
	Pitch       float64    // thread pitch, mm
	ThreadDepth float64    // usable thread, mm; equals the cut's depth where it goes through
	Feature     plate.ID
	FeatureName string
	Cell        int     // index into Layout.Cells for pockets, else -1
	Hole        int     // 1-based number of the hole in its bolt circle, 0 else
	Fit         string  // ISO 286 class, where the document gives one
	Inner       float64 // countersink: diameter of its hole; groove: diameter of its seat, mm
	Sweep       *Sweep  // of CutFillet and CutChamfer; nil else
	Part        int     // 1-based number of the step within its feature (seats of a bore, in document order), 0 else
}

// Depth is the height of the cut, mm.
func (c Cut) Depth() float64 { return c.Z1 - c.Z0 }

// CellState says what became of a cell.
type CellState string

// The states of a cell.
const (
	CellCut         CellState = "cut"
	CellKept        CellState = "kept solid"       // by choice
	CellSmall       CellState = "below least area" // stays metal
	CellUnreachable CellState = "unreachable"      // the cutter of the inside corner radius does not enter: stays metal
)

// Cell is one separate pocket region. For a cell that is cut, Region is what the cutter of the inside corner radius
// reaches (the opening of Sharp by Radius); otherwise Region is the sharp piece that stays metal.
type Cell struct {
	Pocket plate.ID
	State  CellState
	Region geom.Region
	Area   float64      // of Region, mm²
	Anchor plate.Anchor // names the cell for Pocket.Kept
	Side   plate.Side
	Depth  float64     // from its own face, mm; thickness when through
	Ledge  geom.Region // of a pocket with a ledge: the wider region of the step, Region being what is below it; empty else
}

// Interval is metal from Z0 to Z1.
type Interval struct{ Z0, Z1 float64 }

// Map is the planar subdivision of the blank computed from the cuts alone. Metal[f] lists the metal of face f, lowest
// first; empty outside the outline and in windows. Faces are maximal: neighbours differ.
type Map struct {
	*geom.Subdivision
	Metal [][]Interval
}

// OwnerKind says which form owns a piece of metal.
type OwnerKind string

// The owners, first come first where forms overlap.
const (
	OwnBoss  OwnerKind = "boss"
	OwnRim   OwnerKind = "rim"
	OwnRib   OwnerKind = "rib"
	OwnFloor OwnerKind = "floor"
	OwnLand  OwnerKind = "land" // any other kept flat: kept and unreachable cells, corner fillets of cells, plain plate
)

// Owner is a form and the feature it belongs to (0 for the rim and plain plate); Cell is the index of the cell for floors,
// else -1.
type Owner struct {
	Kind    OwnerKind
	Feature plate.ID
	Name    string
	Cell    int
}

// Share is what one owner holds.
type Share struct {
	Owner
	PlanArea float64 // mm²
	Volume   float64 // mm³
}

// Labels attribute the metal: a second, finer partition of the plane. Of[f] is the index into Shares of the owner of face
// f, -1 where there is no metal. Volumes sum to the plate (what is no prism is taken from the owner that it lies in).
type Labels struct {
	*geom.Subdivision
	Of     []int
	Shares []Share
}

// Layout is everything derived from one document: immutable once returned.
type Layout struct {
	Plate     plate.Plate
	Thickness float64
	Outline   geom.Region // finished outer profile, counter-clockwise
	Blank     geom.Box
	BlankZ    Interval // of the stock, allowances included
	Cuts      []Cut
	Cells     []Cell
	Map       *Map
	Labels    *Labels
	Bosses    []Boss  // for drawing and checks
	Strips    []Strip // rib centre lines, for drawing and checks
	Panels    []Panel // inlay panels, parts of their own
	Findings  []finding.Finding

	rest float64 // mm³ between the labels and the map before they were settled, for tests
}

// Boss is the disc of metal kept round a bore or hole.
type Boss struct {
	Feature plate.ID
	Name    string
	Center  geom.Point
	Hole    float64 // diameter of the hole, mm
	Radius  float64 // of the boss, mm; equals Hole/2 where no boss is asked
	Round   int     // 1-based number of the hole in its bolt circle, 0 else
}

// Strip is one rib's centre line, straight or an arc.
type Strip struct {
	Feature plate.ID
	A, B    geom.Point
	Width   float64
	Arc     bool
	Through geom.Point      // on the arc
	Anchor  plate.RibAnchor // of a field's rib
}

// Panel is one inlay panel as it lies in its cell.
type Panel struct {
	Inlay  plate.ID
	Name   string
	Cell   int // index into Cells
	Region geom.Region
	Z0, Z1 float64
	Area   float64 // mm²
	MassKG float64
	Shape  int // panels with the same Shape are one part, but for a motion in the plane without turning over
}
