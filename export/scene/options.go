package scene

import (
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// Parts is a choice of what is drawn besides the plate itself.
type Parts uint32

// The parts.
const (
	Axes      Parts = 1 << iota // chain lines through bores and holes, pitch circles, threads
	Bosses                      // circles of the metal kept round bores and holes
	Zero                        // work zero with the plate's X and Y
	Scale                       // scale bar
	Legend                      // depths, face looked at, unit
	CutLines                    // lines of the sections, with their names
	Findings                    // numbered rings at the places of the findings
	Names                       // names of the bores
	Uncut                       // cells that stay metal
	Adjusters                   // mates of clocked rings, eccentrics, what slides in slots
	Inlays                      // panels in their cells
)

// Usual is everything but the names.
const Usual = Axes | Bosses | Zero | Scale | Legend | CutLines | Findings | Uncut | Adjusters | Inlays

// Options is what is drawn and how. Places are in plate coordinates, whatever the side looked at.
type Options struct {
	Theme    Theme
	Show     Parts
	Unit     Unit
	TextSize float64 // px; 0 is 12

	Selected plate.ID // feature drawn as selected; 0 for none
	Hover    plate.ID // feature under the pointer; 0 for none
	Cells    []int    // indices of Layout.Cells drawn as selected; others are passed over

	Paths []ToolRun
	Field *Field // a quantity in bands of colour over the plate; nil for none

	Findings   []finding.Finding // those with a place are marked with their number in this list, from 1
	Handles    []Handle
	Guides     [][2]geom.Point // lines that something being moved has snapped to
	Dimensions []Dimension     // of what is being changed
	Readout    string          // lower left corner, such as the pointer's coordinates
}

// Handle is a point that can be dragged.
type Handle struct {
	At  geom.Point
	Hot bool // under the pointer or being dragged
}

// Run says along what a dimension measures.
type Run int8

// The runs.
const (
	AlongX  Run = iota // the difference in x, on a level line below the plate
	AlongY             // the difference in y, on an upright line left of the plate
	Aligned            // the distance, beside the line from one point to the other
)

// Dimension is a live dimension between two points.
type Dimension struct {
	From, To geom.Point
	Run      Run
	Text     string  // empty for the measured length
	Change   float64 // since the drag began, mm; shown with its sign where it is not 0
	Row      int     // 0 is nearest to the plate; further rows stand clear of it
}

const (
	defaultTextSize = 12
	maxMarks        = 200 // findings drawn; further ones are only counted
	maxLegendRows   = 10
)
