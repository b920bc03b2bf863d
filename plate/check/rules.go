package check

import (
	"slices"

	"platewright/plate/finding"
)

// Sense says on which side of the limit a rule is broken.
type Sense int

// The senses.
const (
	Below Sense = iota // broken when the value is below the limit
	Above              // broken when the value is above the limit
)

// Rule is one row of the table: a code has one row for each level at which it can fire.
type Rule struct {
	Code   string
	Level  finding.Level
	Sense  Sense
	Limit  float64
	Unit   string // of value and limit; empty for a ratio
	Name   string // what the value is
	Why    string
	Source string
}

// broken reports whether the value breaks the rule. Values within rounding of the limit keep it.
func (r Rule) broken(v float64) bool {
	slack := 1e-6 * max(1, r.Limit)
	if r.Sense == Above {
		return v > r.Limit+slack
	}
	return v < r.Limit-slack
}

// excess orders breaches of one rule: the larger, the worse.
func (r Rule) excess(v float64) float64 {
	if r.Sense == Above {
		return v - r.Limit
	}
	return r.Limit - v
}

// practice is the source of rules that no publication at hand states.
const practice = "common practice, no source"

// Sources named more than once.
const (
	shopGuide   = "machine shop's public DFM guide"
	partGuide   = "machining supplier's public DFM guide"
	protoTable  = "prototype shop's design guideline table"
	aluRules    = "EN 1999-1-1:2007 table 8.2 (from memory)"
	boreWallSrc = "common machine-design rule for bores in plate housings (from memory): 0.25 to 0.5 of the bore, at least 5 to 6 mm; the softer reading warns, a quarter of the bore is noted"
)

// rules is the table. Within a code the worst level stands first.
var rules = []Rule{
	{
		"sharp-inside-corner", finding.Error, Below, 1e-3, "mm", "inside corner radius",
		"a turning cutter leaves its own radius in every inside corner", "geometry",
	},
	{
		"corner-radius", finding.Error, Below, 1, "", "inside corner radius ÷ cutter radius",
		"a cutter larger than the corner does not enter it", "geometry",
	},
	{
		"corner-radius", finding.Warning, Below, 1.1, "", "inside corner radius ÷ cutter radius",
		"the finishing cutter must move round the corner; a cutter as large as the corner stops, chatters and digs in",
		"shop profile; sources disagree: 1.05 to 1.3 (common shop rule, from memory), 1.3 (" + protoTable + "); 1.1 is used",
	},
	{
		"cutter-reach", finding.Error, Below, 1, "", "reach of the longest cutter that fits the corners ÷ depth",
		"the cutter that fits the corners must get down to the bottom of the wall", "reach of the tools in the shop profile",
	},
	{
		"cutter-slender", finding.Warning, Above, 6, "", "depth ÷ diameter of the largest cutter that does it",
		"a slender cutter bends and chatters; the cut becomes slow and the wall rough",
		"aluminium parts supplier's DFM article: over 4 vibration is noticeable, over 6 is a deep cavity",
	},
	{
		"cutter-slender", finding.Note, Above, 4, "", "depth ÷ diameter of the largest cutter that does it",
		"a slender cutter bends; expect reduced feed",
		"aluminium parts supplier's DFM article: over 4 vibration is noticeable; a tool handbook rule (from memory) says 3; 4 is used",
	},
	{
		"corner-deep", finding.Warning, Above, 4, "", "depth ÷ inside corner radius",
		"deep narrow corners need long thin cutters", protoTable + "; " + shopGuide + " asks for 3: it is noted",
	},
	{
		"corner-deep", finding.Note, Above, 3, "", "depth ÷ inside corner radius",
		"deep narrow corners need long thin cutters", shopGuide + " and a second supplier's guide: radius at least depth ÷ 3; " + protoTable + " allows 4",
	},
	{
		"wall-thin", finding.Warning, Below, 1, "mm", "wall thickness",
		"a thin wall is pushed away by the cutter and springs back thick, or tears",
		shopGuide + ": aluminium 1.0 mm at least; sources disagree, from 0.5 to 2.5 mm; 1.0 is used",
	},
	{
		"wall-thin", finding.Note, Below, 1.5, "mm", "wall thickness",
		"a thin wall is pushed away by the cutter", shopGuide + ": aluminium 1.5 mm preferred",
	},
	{
		"wall-slender", finding.Warning, Above, 8, "", "wall height ÷ thickness",
		"a slender wall vibrates under the cutter; it needs light passes on both sides in turn",
		shopGuide + ": over 8 is costly; sources disagree: a tool maker's guide for thin walls (from memory) allows 15; 8 is used",
	},
	{
		"floor-thin", finding.Warning, Below, 1, "mm", "floor thickness",
		"a thin floor is pulled up by the cutter or drums, unless vacuum or a support holds it from below",
		"common shop rule (from memory): aluminium 1.0 to 1.5 mm in normal work, 0.8 with support; 1.0 is used",
	},
	{
		"floor-span", finding.Warning, Above, 50, "", "largest circle in the floor ÷ thickness",
		"a wide thin floor gives way under the cutter: 1 mm of aluminium over 50 mm, clamped round, gives about 0.2 mm under 100 N", practice,
	},
	{
		"ligament-thin", finding.Warning, Below, 1.5, "mm", "ligament",
		"metal between a hole and its neighbour must stand the drill and carry load",
		"wall rule of the " + shopGuide + ", aluminium 1.5 mm preferred",
	},
	{
		"hole-cuts-wall", finding.Warning, Below, 0, "mm", "ligament",
		"a hole across the wall of a cell is open on one side: it guides no drill and bears no fastener", practice,
	},
	{
		"edge-distance", finding.Warning, Below, 1.2, "d0", "distance from the hole's centre to the edge",
		"below it the hole tears out before the fastener bears", aluRules + "; EN 1993-1-8 table 3.3 has the same for steel; aircraft practice asks for 1.5 to 2",
	},
	{
		"edge-distance", finding.Note, Below, 1.5, "d0", "distance from the hole's centre to the edge",
		"below the regular distance the bearing resistance must be reduced", aluRules + ", regular e2; along the load 2.0 is regular",
	},
	{
		"hole-pitch", finding.Warning, Below, 2.2, "d0", "distance between hole centres",
		"below it the metal between two holes shears before the fasteners bear", aluRules + ", p1; across the load 2.4",
	},
	{
		"hole-pitch", finding.Note, Below, 2.5, "d0", "distance between hole centres",
		"below the regular pitch the bearing resistance must be reduced", aluRules + ", regular p1; across the load 3.0 is regular",
	},
	{
		"bore-near-pocket", finding.Warning, Below, 5, "mm", "wall between bore and cell",
		"a thin ring round a bore yields to the bearing's press fit and goes out of round when the pocket is cut", boreWallSrc,
	},
	{
		"bore-near-pocket", finding.Note, Below, 0.25, "of the bore", "wall between bore and cell",
		"a thin ring round a bore yields to the bearing's press fit", boreWallSrc,
	},
	{
		"bore-wall", finding.Warning, Below, 5, "mm", "wall between bore and edge",
		"a thin ring round a bore yields to the bearing's press fit and goes out of round", boreWallSrc,
	},
	{
		"bore-wall", finding.Note, Below, 0.25, "of the bore", "wall between bore and edge",
		"a thin ring round a bore yields to the bearing's press fit", boreWallSrc,
	},
	{
		"hole-deep", finding.Warning, Above, 10, "d", "depth of the hole",
		"a twist drill runs off and packs with chips; it takes a deep-hole drill",
		protoTable + ": below 10; " + partGuide + " 2: deep-hole drill up to 10",
	},
	{
		"hole-deep", finding.Note, Above, 4, "d", "depth of the hole",
		"the drill must be withdrawn to clear chips", shopGuide + " and two others: 4",
	},
	{
		"thread-short", finding.Warning, Below, 1.1, "d", "usable thread",
		"below it the thread strips before the screw breaks, even in the hardest alloys",
		"VDI 2230-1 guide values for 8.8 screws (from memory): 1.1 to 1.4 in hard, 2.0 and more in soft wrought aluminium",
	},
	{
		"thread-short", finding.Note, Below, 2, "d", "usable thread",
		"a screw loaded to its strength needs twice its diameter of thread in aluminium", "common engineering rule (from memory)",
	},
	{
		"thread-deep", finding.Warning, Above, 3, "d", "tapped depth",
		"the tap packs with chips and breaks; more thread than this carries nothing more",
		partGuide + " 2: 3; " + protoTable + " says 2; 3 is used",
	},
	{
		"drill-point-thin", finding.Warning, Below, 1, "mm", "metal under the drill's point",
		"less metal bulges or bursts through when the drill comes down", "floor rule: common shop rule (from memory), aluminium 1.0 mm in normal work",
	},
	{
		"thickness-not-stocked", finding.Warning, Above, 0, "mm", "difference to the nearest stocked thickness",
		"plate comes in stocked thicknesses; another is faced down from the next one or rolled to order", "plate thicknesses of stockholders' lists (partly from memory)",
	},
	{
		"thickness-inch", finding.Note, Above, 0, "mm", "difference to the nearest metric stock",
		"inch plate is not held everywhere", "inch plate series (from memory)",
	},
	{
		"blank-margin", finding.Warning, Below, 2, "mm", "margin of the blank round the outline",
		"the saw cuts to a millimetre or two, and the outline must clean up all round", practice,
	},
	{
		"machine-travel", finding.Error, Above, 0, "mm", "excess over the machine's travel",
		"the cutter must get round the whole outline in one clamping", "travel of the machine in the shop profile",
	},
	{
		"one-sided-removal", finding.Warning, Above, 0.1, "", "difference between metal taken off top and bottom ÷ stock",
		"rolled and quenched plate holds stress that bends it when more is taken off one side; stress-relieved tempers (stretched, T-51) stay flat", practice,
	},
}

// Rules returns the table of rules, grouped by code, the worst level of a code first.
func Rules() []Rule { return slices.Concat(rules, formRules) }
