package plate

// SupportKind says what a support holds.
type SupportKind string

// The kinds of support.
const (
	Hinged   SupportKind = "hinged"   // a bore turns about its axis and presses on the loaded half only
	Fixed    SupportKind = "fixed"    // nothing moves
	Sliding  SupportKind = "sliding"  // free along DirectionDeg in the plane, held across it and out of the plane
	Spring   SupportKind = "spring"   // six stiffnesses
	Symmetry SupportKind = "symmetry" // the edge between two points of the outline lies in a plane of symmetry
	Free     SupportKind = "free"     // inertia relief: the plate is not held, its own inertia balances the loads
)

// Place is where a support or a load acts: on the wall of Feature (bore, hole, bolt circle, clocked ring or slot) when that
// is not 0; on the outline from (X1, Y1) to (X2, Y2) when OnEdge; else on the area within Bounds, on the face Side.
type Place struct {
	Feature        ID
	OnEdge         bool
	X1, Y1, X2, Y2 float64
	Bounds         []Corner
	Side           Side
}

// Support is one way in which the plate is held.
type Support struct {
	ID           ID
	Name         string
	Kind         SupportKind
	On           Place
	DirectionDeg float64    // Sliding
	Stiffness    [6]float64 // Spring: along x, y, z in N/mm and about x, y, z in N·mm/rad
}

// LoadKind says how a load acts.
type LoadKind string

// The kinds of load.
const (
	BoreForce    LoadKind = "bore force"   // pressure on the half of the wall that it presses, cosine over the arc
	Moment       LoadKind = "moment"       // on the wall or the area
	RemoteForce  LoadKind = "remote force" // at a point off the plate, carried by the place
	ClampForce   LoadKind = "clamp"        // bolt clamping on the annulus round a hole, both faces
	LineForce    LoadKind = "line"         // spread evenly along an edge
	AreaForce    LoadKind = "area"         // spread evenly over an area
	Acceleration LoadKind = "acceleration" // of the whole plate, in g
	Temperature  LoadKind = "temperature"  // even change, K
)

// Load is one load as drawn, before the factors of a case.
type Load struct {
	ID          ID
	Name        string
	Kind        LoadKind
	On          Place
	Force       [3]float64 // resultant in x, y, z, N; Acceleration: in g
	Moment      [3]float64 // about x, y, z, N·mm
	At          [3]float64 // RemoteForce: its point, mm. BoreForce: At[2] is the height z of the resultant, mm
	Clamp       float64    // ClampForce: preload, N
	Bearing     float64    // ClampForce: outer diameter of the annulus, mm
	Friction    float64    // ClampForce: coefficient between the plate and the part that it is clamped to; 0 where it is not stated
	Temperature float64    // K
}

// CaseKind says what strength a case is judged by.
type CaseKind string

// The kinds of load case.
const (
	Limit    CaseKind = "limit"    // the greatest load expected in service; judged by proof stress
	Ultimate CaseKind = "ultimate" // judged by ultimate strength
)

// OriginKind says where the figures of a case come from.
type OriginKind string

// The kinds of origin.
const (
	Measured OriginKind = "measured"
	Standard OriginKind = "standard" // a clause, named in the text
	Worked   OriginKind = "worked"   // the program's worked sum
	Assumed  OriginKind = "assumed"
)

// Event is what a worked sum is for.
type Event string

// The events of worked sums.
const (
	Braking    Event = "braking"
	KerbStrike Event = "kerb strike"
	Cornering  Event = "cornering"
	Drop       Event = "drop"
)

// Origin is where a case's figures come from. The last fields serve a worked sum.
type Origin struct {
	Kind         OriginKind
	Text         string
	Event        Event
	Mass         float64 // of the loaded machine, kg
	Wheelbase    float64 // mm
	CentreX      float64 // of mass behind the front axle, mm
	CentreHeight float64 // of mass above the ground, mm
	G            float64 // acceleration or friction coefficient, in g; KerbStrike and Drop: the shock factor
	Share        float64 // of the load that this plate carries, 0 to 1
}

// LoadFactor is one load in a case.
type LoadFactor struct {
	Load   ID
	Factor float64
}

// LoadCase is a combination of loads on supports that is analysed and judged by itself.
type LoadCase struct {
	ID       ID
	Name     string
	Kind     CaseKind
	Factor   float64 // on all loads of the case
	Origin   Origin
	Loads    []LoadFactor
	Supports []ID    // empty for all of the document
	Setting  ID      // of the adjusters; 0 for the document's
	Mirrored bool    // the loads are mirrored in x: the case of the plate's other hand
	Cycles   float64 // load cycles for the fatigue line; 0 for a static case
}
