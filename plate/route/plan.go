package route

import (
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/shop"
)

// Place says where an operation is done.
type Place string

// The places. Only work on the machine counts in the cycle.
const (
	OnMachine Place = "machine"
	ByHand    Place = "hand"
	Outside   Place = "outside"
)

// Plan is how one piece is made, and how long it takes. Minutes are for one piece but for SetupMin, which is for a batch.
type Plan struct {
	SetUps     []SetUp
	Operations []Operation // in the order in which they are done
	// The cycle is cutting, rapids, tool changes and other machine time: probing, spindle start, turning a tap round.
	CycleMin        float64
	CycleLow        float64 // with the band of a shop whose past jobs have not been entered
	CycleHigh       float64
	FloorToFloorMin float64 // the cycle with loading, turning over, unloading, cleaning and gauging
	SetupMin        float64 // once for a batch: fixtures, tools, program
	CuttingMin      float64
	RapidMin        float64
	ToolChangeMin   float64
	OtherMachineMin float64
	Removed         float64 // mm³, by the operations listed
	// Incomplete is set when something of the plate is in no operation; the findings say what, and no minutes stand for it.
	Incomplete bool
	Findings   []finding.Finding
}

// SetUp is one clamping of the work.
type SetUp struct {
	Number  int
	Face    plate.Side // the face that is up
	Zero    geom.Point // work zero in plate coordinates, mm
	Turn    plate.Axis // the axis about which the work was turned over for this set-up; empty where it was not
	Holding string     // how the work is held
	Note    string     // what it rests on, what comes loose
	Minutes float64    // machine minutes in this set-up
}

// Operation is one tool doing one thing in one set-up.
type Operation struct {
	SetUp      int
	Tool       shop.Tool // zero for probing and for work by hand
	ToolNumber int       // place of the tool in the magazine, by first use; 0 for none
	Name       string
	Where      Place
	Features   []plate.ID
	TotalMin   float64 // cutting, rapids, its tool change and its other machine time; by hand: the hand's minutes
	CuttingMin float64
	RapidMin   float64
	PathMM     float64 // length of all moves at feed
	Removed    float64 // mm³; metal that two operations pass counts for the first
	Spindle    float64 // rpm
	Feed       float64 // mm/min, on a straight at the width of cut
	Ap, Ae     float64 // mm; of a drill the peck (or the depth) and the diameter
	Passes     int     // depth levels, or holes for a drill
	LimitedBy  string
	Source     string // of cutting data and rules
	Paths      []Path
}
