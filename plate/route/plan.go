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
	CycleLow        float64 // by past jobs where the shop has entered enough, else with the band of a shop that has not
	CycleHigh       float64
	CalibratedBy    int     // past jobs behind the minutes; 0: uncalibrated
	Machine         string  // the machine of the shop that the plan is for
	About           bool    // re-timed with parts of an earlier plan: good for a glance while something is dragged, not for print
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

	memo *memory // what was worked out cell by cell, for Retime
}

// SetUp is one clamping of the work.
type SetUp struct {
	Number  int
	Face    plate.Side // the face that is up
	Zero    geom.Point // work zero in plate coordinates, mm
	Turn    plate.Axis // the axis about which the work was turned over for this set-up; empty where it was not
	Holding string     // how the work is held
	// Locators are the points that the edges of the blank rest against, in plate coordinates: two on one side, one on another.
	Locators []geom.Point
	KeepOuts []KeepOut // clamps and screws; no path enters one
	Note     string    // what it rests on, what comes loose
	Minutes  float64   // machine minutes in this set-up
}

// Operation is one tool doing one thing in one set-up.
type Operation struct {
	SetUp      int
	Class      string    // what kind of work it is: one of Classes, or broach; empty for probing and finishing by hand
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
	GainMin    float64 // of CuttingMin, what would at most be saved if LimitedBy did not limit
	Gains      []Gain  // the same for every limit that costs anything, the dearest first
	Source     string  // of cutting data and rules
	Paths      []Path
}

// Gain is what a limit costs an operation: the cutting minutes that would at most be saved if it were lifted and the next limit
// held.
type Gain struct {
	Limit   string
	Minutes float64
}

// KeepOut is a place on the work where something holds it. Paths stay a cutter's radius away from it.
type KeepOut struct {
	Kind    plate.HoldingKind
	Name    string       // what it is, for people
	Outline geom.Contour // counter-clockwise, plate coordinates
}
