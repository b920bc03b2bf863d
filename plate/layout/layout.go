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
)

// Cut is one removal of metal. Its prism is Region × [Z0, Z1] in plate coordinates (z = 0 finished bottom, t finished
// top). A CutPoint has no prism: it is the cone with base diameter Diameter at Z1 (entered from the top) or Z0 (from the
// bottom) and its apex at the other of the two, about Center.
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
	Cell        int // index into Layout.Cells for pockets, else -1
	Hole        int // 1-based number of the hole in its bolt circle, 0 else
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
	Depth  float64 // from its own face, mm; thickness when through
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
// f, -1 where there is no metal. Volumes sum to the plate (drill points are taken from the owner of the hole's boss or land).
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

// Strip is one rib's centre line.
type Strip struct {
	Feature plate.ID
	A, B    geom.Point
	Width   float64
}
