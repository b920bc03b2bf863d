package plate

import (
	"math"
	"strconv"
)

// limit is the range of a number in a document and the reason for it.
type limit struct {
	min, max float64
	open     bool // min itself is not allowed
	why      string
}

func (l limit) holds(v float64) bool {
	return v >= l.min && v <= l.max && (!l.open || v > l.min)
}

func itoa(i int) string { return strconv.Itoa(i) }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// The ranges of every number. They are wide: their job is to catch a wrong unit or a slip of the hand, and to keep the
// geometry within what its tolerances are proven for. Whether a plate is sensible is for the checks.
var (
	coordinate   = limit{-5000, 5000, false, "the drawing area is 10 × 10 m about the origin"}
	thickness    = limit{0.5, 200, false, "flat stock of 0.5 to 200 mm"}
	diameter     = limit{0, 5000, true, "a round has a diameter, and fits the drawing area"}
	ribWidth     = limit{0, 1000, true, "a rib has a width"}
	keptWidth    = limit{0, 1000, false, "0 for none; wider than 1 m is a slip"}
	outlineRound = limit{0, 5000, false, "0 is sharp; no larger than the drawing area"}
	insideRound  = limit{0, 500, true, "a milling cutter is round, so an inside corner has a radius"}
	margin       = limit{0, 1000, false, "the blank holds the outline; more than 1 m is a slip"}
	blankSide    = limit{0, 10000, true, "a rectangle has sides, and fits the drawing area"}
	depth        = limit{0, 200, false, "0 where it goes through; at most the thickest stock"}
	zone         = limit{0, 10, false, "width of a diameter's tolerance zone; 0 is the shop's general tolerance"}
	turnDeg      = limit{-360, 360, false, "one turn either way"}
	gridPitch    = limit{2, 5000, false, "closer than 2 mm no cutter enters between the ribs"}
	leastArea    = limit{0, 25e6, false, "0 cuts every cell that the cutter enters; at most a quarter of the drawing area"}
	targetValue  = limit{0, 1e18, true, "a target is above zero"}
	density      = limit{10, 25000, false, "kg/m³; aluminium has about 2700, the foam of an inlay 30 and the densest metals some 22 600"}
	stress       = limit{0, 10000, true, "MPa; no metal plate is stronger than 10 000"}
	metalModulus = limit{1e4, 1e6, false, "MPa; aluminium has about 70 000"}
	modulus      = limit{1, 1e6, false, "MPa; aluminium has about 70 000, and the foam of an inlay more than 1"}
	poisson      = limit{0, 0.49, false, "an isotropic metal has 0 to below 0.5, where its volume could not change"}
	circleCount  = limit{1, maxOnCircle, false, "1 to 360 holes on one circle"}
	latticeIndex = limit{-1e6, 1e6, false, "triangles of a grid are counted from its node"}
	triangleHalf = limit{0, 1, false, "0 or 1: which of the two triangles of a lattice cell"}

	cornerCut     = limit{0, 5000, false, "0 is none; no longer than the drawing area"}
	blendRadius   = limit{0, 10000, true, "an arc has a radius; one of more than 10 m is a straight side"}
	bulgeRange    = limit{-1000, 1000, false, "±1 is a half circle; beyond 1000 the arc is a full circle"}
	edgeBreak     = limit{0, 20, false, "0 for none; a broken edge, not a bevel"}
	growth        = limit{0, 1, false, "what a finish adds to a surface; anodising adds some hundredths"}
	stepDepth     = limit{0, 200, true, "a step has a depth; at most the thickest stock"}
	keyWidth      = limit{0, 500, true, "a keyway has a width"}
	keyHeight     = limit{0, 500, true, "a keyway has a height"}
	grooveAt      = limit{0, 200, false, "from the seat's own face; at most the thickest stock"}
	eccentricity  = limit{0, 500, true, "an eccentric's bore is off its own axis"}
	slotLength    = limit{0, 5000, true, "a slot is longer than wide; for a round opening draw a bore or hole"}
	slotPosition  = limit{-2500, 2500, false, "along the slot from its centre"}
	headSize      = limit{0, 200, false, "0 as the table of the head's standard says"}
	pitchY        = limit{0, 5000, false, "0 as the pitch of the first family"}
	leastAngle    = limit{0, 90, false, "0 for 20°; two spokes cannot all be further apart than a right angle"}
	ribFamily     = limit{0, 2, false, "a field has at most three families of ribs"}
	floorRound    = limit{0, 100, false, "0 is sharp; the corner radius of a milling cutter"}
	cellDepth     = limit{0, 200, false, "from the pocket's own face; at most the thickest stock"}
	clearance     = limit{0, 10, false, "between panel and wall; 0 is a tight panel"}
	panel         = limit{0, 100, true, "a panel has a thickness"}
	springRate    = limit{0, 1e12, false, "0 is free; beyond 1e12 it is fixed"}
	force         = limit{-1e9, 1e9, false, "N; 1e9 N is a hundred thousand tonnes"}
	moment        = limit{-1e12, 1e12, false, "N·mm; 1e12 is a hundred tonnes on a kilometre"}
	remotePlace   = limit{-1e5, 1e5, false, "within 100 m of the plate"}
	friction      = limit{0, 2, false, "a friction is 0 where it is not stated, and about 0.1 to 0.5 between dry metals"}
	clampForce    = limit{0, 1e7, true, "N; a bolt pulls"}
	gs            = limit{-1000, 1000, false, "in g"}
	temperature   = limit{-273, 500, false, "K; an aluminium plate is no structure beyond 500 K above the workshop"}
	caseFactor    = limit{0, 1000, true, "a factor on all loads of the case is above zero"}
	loadFactor    = limit{-1000, 1000, false, "a negative one turns the load round"}
	cycles        = limit{0, 1e12, false, "0 for a static case"}
	vehicleMass   = limit{0, 1e7, true, "kg of the loaded machine"}
	vehicleLength = limit{0, 1e5, false, "mm; 0 where the sum does not need it"}
	centreX       = limit{-1e5, 1e5, false, "mm behind the front axle; 0 where the sum does not need it"}
	shock         = limit{0, 1000, true, "in g, or the shock factor"}
	shareOf       = limit{0, 1, true, "the part of the load that this plate carries"}
	placesMoved   = limit{-1000, 1000, false, "places within the set-up"}
	minutes       = limit{0, 1e5, false, "0 as estimated"}
	setUp         = limit{0, 20, false, "0 for all set-ups"}
	batch         = limit{1, 1e6, false, "pieces made at once"}
	perSet        = limit{0, 1e4, false, "0 for one"}
)

// The numbers of things that one document may hold.
const (
	maxBores    = 2000
	maxHoles    = 20_000 // single ones; also single ones and those of bolt circles together
	maxCircles  = 2000
	maxRibs     = 20_000
	maxGrids    = 20
	maxPockets  = 200
	maxCutLines = 200
	maxTargets  = 200
	maxCorners  = 10_000 // of one path
	maxAllPaths = 20_000 // corners of all paths together
	maxKept     = 20_000 // cells of one pocket field: kept ones, and those with a depth of their own

	maxRings      = 200
	maxEccentrics = 200
	maxSlots      = 2000
	maxKeepOuts   = 200
	maxInlays     = 200
	maxSettings   = 200
	maxSupports   = 200
	maxLoads      = 1000 // also of one case
	maxCases      = 200
	maxWraps      = 500
	maxSeats      = 12
	maxOnCircle   = 360
	maxWanted     = 100 // angles of one clocked ring
	maxMasked     = 2000
	maxWidths     = 5000 // of one rib field
	maxHubs       = 500
	maxSamples    = 10_000
	maxValues     = 500 // of one setting
	maxChanges    = 2000
	maxHolding    = 200
	maxBatches    = 20

	maxLattice = 20_000 // triangles of all grids together
	maxName    = 80     // characters
	maxText    = 300    // of the texts about the material
	maxNote    = 10_000
)
