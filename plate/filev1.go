package plate

// The structs of version 1 of the file. They are never the document's types: the document may change, a file that was once
// written may not. The tags serve the writer; the readers in readv1*.go name the keys themselves.

type fileV1 struct {
	Format     string        `json:"format"`
	Version    int           `json:"version"`
	Name       string        `json:"name"`
	Note       string        `json:"note,omitempty"`
	NextID     int64         `json:"next_id"`
	Stock      stockV1       `json:"stock"`
	Outline    outlineV1     `json:"outline"`
	Rim        float64       `json:"rim_mm,omitempty"`
	Bores      []boreV1      `json:"bores,omitempty"`
	Holes      []holeV1      `json:"holes,omitempty"`
	Circles    []circleV1    `json:"bolt_circles,omitempty"`
	Rings      []ringV1      `json:"clocked_rings,omitempty"`
	Eccentrics []eccentricV1 `json:"eccentrics,omitempty"`
	Slots      []slotV1      `json:"slots,omitempty"`
	Ribs       []ribV1       `json:"ribs,omitempty"`
	Grids      []gridV1      `json:"grids,omitempty"`
	Pockets    []pocketV1    `json:"pockets,omitempty"`
	KeepOuts   []keepOutV1   `json:"keep_outs,omitempty"`
	Inlays     []inlayV1     `json:"inlays,omitempty"`
	Settings   []settingV1   `json:"settings,omitempty"`
	Setting    int64         `json:"setting,omitempty"`
	Supports   []supportV1   `json:"supports,omitempty"`
	Loads      []loadV1      `json:"loads,omitempty"`
	Cases      []caseV1      `json:"load_cases,omitempty"`
	CutLines   []cutLineV1   `json:"cut_lines,omitempty"`
	Targets    []targetV1    `json:"targets,omitempty"`
	Machining  machiningV1   `json:"machining"`
	Price      *priceV1      `json:"price,omitempty"`
}

type stockV1 struct {
	Material materialV1 `json:"material"`
	Nominal  float64    `json:"nominal_mm"`
	Finished *float64   `json:"finished_mm,omitempty"` // absent: as nominal
	Top      string     `json:"top_face,omitempty"`    // absent: as supplied
	Bottom   string     `json:"bottom_face,omitempty"`
	Blank    blankV1    `json:"blank"`
	Finish   *finishV1  `json:"finish,omitempty"`
}

type materialV1 struct {
	Alloy    string  `json:"alloy"`
	Temper   string  `json:"temper"`
	Density  float64 `json:"density_kg_m3"`
	Young    float64 `json:"youngs_modulus_mpa"`
	Poisson  float64 `json:"poisson_ratio"`
	Proof    float64 `json:"proof_stress_mpa"`
	Ultimate float64 `json:"ultimate_strength_mpa"`
	Group    string  `json:"machining_group"`
	Source   string  `json:"source,omitempty"`
}

// blankV1 has either the margin or the rectangle.
type blankV1 struct {
	Margin *float64 `json:"margin_mm,omitempty"`
	X      *float64 `json:"x_mm,omitempty"`
	Y      *float64 `json:"y_mm,omitempty"`
	Width  *float64 `json:"width_mm,omitempty"`
	Height *float64 `json:"height_mm,omitempty"`
}

type finishV1 struct {
	Name   string  `json:"name"`
	Growth float64 `json:"growth_mm,omitempty"`
	Masked []int64 `json:"masked,omitempty"`
}

// outlineV1 has the corners of a drawn outline, the rounds of a wrapped one or the vertices of a contour.
type outlineV1 struct {
	Kind     string          `json:"kind"`
	Corners  *[]cornerV1     `json:"corners,omitempty"`
	Mirror   *mirrorV1       `json:"mirror,omitempty"`
	Around   *[]wrapV1       `json:"around,omitempty"`
	Vertices *[][3]float64   `json:"vertices,omitempty"` // x, y in mm and bulge
	Chamfer  *edgeChamfersV1 `json:"edge_chamfer,omitempty"`
}

type mirrorV1 struct {
	Axis string  `json:"axis"`
	At   float64 `json:"at_mm"`
}

type wrapV1 struct {
	Feature int64    `json:"feature"`
	Width   float64  `json:"width_mm"`
	Hollow  *float64 `json:"hollow_radius_mm,omitempty"` // absent: the outer tangent
}

type edgeChamfersV1 struct {
	Top    float64 `json:"top_mm,omitempty"`
	Bottom float64 `json:"bottom_mm,omitempty"`
}

type cornerV1 struct {
	X       float64     `json:"x_mm"`
	Y       float64     `json:"y_mm"`
	Radius  float64     `json:"radius_mm,omitempty"`
	Chamfer float64     `json:"chamfer_mm,omitempty"`
	Through *[2]float64 `json:"through_mm,omitempty"`
}

type boreV1 struct {
	ID        int64     `json:"id"`
	Name      string    `json:"name"`
	X         float64   `json:"x_mm"`
	Y         float64   `json:"y_mm"`
	Diameter  float64   `json:"diameter_mm"`
	Boss      float64   `json:"boss_mm,omitempty"`
	Tolerance float64   `json:"tolerance_mm,omitempty"`
	Fit       string    `json:"fit,omitempty"`
	Seats     []seatV1  `json:"seats,omitempty"`
	Keyway    *keywayV1 `json:"keyway,omitempty"`
}

type seatV1 struct {
	Side     string    `json:"side"`
	Diameter float64   `json:"diameter_mm"`
	Depth    float64   `json:"depth_mm"`
	Fit      string    `json:"fit,omitempty"`
	Bearing  string    `json:"bearing,omitempty"`
	Ring     string    `json:"outer_ring_load,omitempty"`
	Groove   *grooveV1 `json:"groove,omitempty"`
}

type grooveV1 struct {
	Diameter float64 `json:"diameter_mm"`
	Width    float64 `json:"width_mm"`
	At       float64 `json:"at_mm"`
}

type keywayV1 struct {
	Width  float64 `json:"width_mm"`
	Height float64 `json:"height_mm"`
	Angle  float64 `json:"angle_deg,omitempty"`
}

// formV1 is what one hole is. Where the object has a diameter of its own (a bolt circle's), that of a reamed hole is
// HoleDiameter; else it is Diameter, and the other is not written.
type formV1 struct {
	Kind         string  `json:"kind"`
	Size         string  `json:"size,omitempty"` // all but reamed holes
	Diameter     float64 `json:"diameter_mm,omitempty"`
	HoleDiameter float64 `json:"hole_diameter_mm,omitempty"`
	Fit          string  `json:"fit,omitempty"`
	Series       string  `json:"series,omitempty"`
	Side         string  `json:"side,omitempty"` // absent: through
	Depth        float64 `json:"depth_mm,omitempty"`
	HeadDiameter float64 `json:"head_diameter_mm,omitempty"`
	HeadDepth    float64 `json:"head_depth_mm,omitempty"`
	Boss         float64 `json:"boss_mm,omitempty"`
}

type holeV1 struct {
	ID   int64   `json:"id"`
	Name string  `json:"name"`
	X    float64 `json:"x_mm"`
	Y    float64 `json:"y_mm"`
	formV1
}

// circleV1 has either the bore or the place of its centre, and either a number of holes or their angles.
type circleV1 struct {
	ID       int64     `json:"id"`
	Name     string    `json:"name"`
	Bore     *int64    `json:"bore,omitempty"`
	X        *float64  `json:"x_mm,omitempty"`
	Y        *float64  `json:"y_mm,omitempty"`
	Diameter float64   `json:"diameter_mm"`
	Count    *int64    `json:"count,omitempty"`
	Start    float64   `json:"start_deg,omitempty"`
	Angles   []float64 `json:"angles_deg,omitempty"`
	formV1
}

type ringV1 struct {
	circleV1
	Mate     mateV1    `json:"mate"`
	Least    int64     `json:"least_bolts"`
	Wanted   []float64 `json:"wanted_deg,omitempty"`
	Position float64   `json:"position_deg,omitempty"`
}

// mateV1 has either a number of holes or their angles.
type mateV1 struct {
	Count  *int64    `json:"count,omitempty"`
	Start  float64   `json:"start_deg,omitempty"`
	Angles []float64 `json:"angles_deg,omitempty"`
}

type eccentricV1 struct {
	ID     int64   `json:"id"`
	Name   string  `json:"name"`
	Bore   int64   `json:"bore"`
	Offset float64 `json:"offset_mm"`
	Inner  float64 `json:"inner_diameter_mm"`
	Angle  float64 `json:"angle_deg,omitempty"`
	Lock   *lockV1 `json:"lock,omitempty"`
}

type lockV1 struct {
	Circle float64 `json:"circle_diameter_mm"`
	Count  int64   `json:"count"`
	Start  float64 `json:"start_deg,omitempty"`
	formV1
}

type slotV1 struct {
	ID        int64   `json:"id"`
	Name      string  `json:"name"`
	X         float64 `json:"x_mm"`
	Y         float64 `json:"y_mm"`
	Length    float64 `json:"length_mm"`
	Width     float64 `json:"width_mm"`
	Angle     float64 `json:"angle_deg,omitempty"`
	Side      string  `json:"side,omitempty"` // absent: through
	Depth     float64 `json:"depth_mm,omitempty"`
	Boss      float64 `json:"boss_mm,omitempty"`
	Fit       string  `json:"fit,omitempty"`
	Position  float64 `json:"position_mm,omitempty"`
	Adjusting bool    `json:"adjusting,omitempty"`
}

// endV1 has either the feature or the place.
type endV1 struct {
	Feature *int64   `json:"feature,omitempty"`
	X       *float64 `json:"x_mm,omitempty"`
	Y       *float64 `json:"y_mm,omitempty"`
}

type ribV1 struct {
	ID      int64       `json:"id"`
	Name    string      `json:"name"`
	From    endV1       `json:"from"`
	To      endV1       `json:"to"`
	Through *[2]float64 `json:"through_mm,omitempty"`
	Width   float64     `json:"width_mm"`
}

// gridV1 has the keys of its kind.
type gridV1 struct {
	ID      int64        `json:"id"`
	Name    string       `json:"name"`
	Kind    string       `json:"kind"`
	Pitch   *float64     `json:"pitch_mm,omitempty"`
	PitchY  float64      `json:"pitch_y_mm,omitempty"`
	Angle   float64      `json:"angle_deg,omitempty"`
	X       *float64     `json:"x_mm,omitempty"`
	Y       *float64     `json:"y_mm,omitempty"`
	Width   float64      `json:"width_mm"`
	Fillet  float64      `json:"fillet_mm,omitempty"`
	Fitted  bool         `json:"fitted,omitempty"`
	Hubs    []int64      `json:"hubs,omitempty"`
	Least   float64      `json:"least_angle_deg,omitempty"`
	Samples *[]sampleV1  `json:"samples,omitempty"`
	Crossed bool         `json:"crossed,omitempty"`
	Bounds  []cornerV1   `json:"bounds,omitempty"`
	Widths  []ribWidthV1 `json:"widths,omitempty"`
}

type sampleV1 struct {
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Angle float64 `json:"angle_deg"`
}

// ribWidthV1 points at its rib by the lattice or by a place.
type ribWidthV1 struct {
	Family  *int64   `json:"family,omitempty"`
	Line    *int64   `json:"line,omitempty"`
	Segment *int64   `json:"segment,omitempty"`
	X       *float64 `json:"x_mm,omitempty"`
	Y       *float64 `json:"y_mm,omitempty"`
	Width   float64  `json:"width_mm"`
}

// pocketV1 has the keys of its kind. An absent kind is a field.
type pocketV1 struct {
	ID          int64         `json:"id"`
	Name        string        `json:"name"`
	Kind        string        `json:"kind,omitempty"`
	Side        string        `json:"side"`
	Depth       float64       `json:"depth_mm,omitempty"`
	DepthBack   float64       `json:"depth_back_mm,omitempty"`
	Radius      float64       `json:"inside_corner_radius_mm"`
	X           *float64      `json:"x_mm,omitempty"`
	Y           *float64      `json:"y_mm,omitempty"`
	Diameter    *float64      `json:"diameter_mm,omitempty"`
	Length      *float64      `json:"length_mm,omitempty"`
	Angle       float64       `json:"angle_deg,omitempty"`
	FloorRadius float64       `json:"floor_radius_mm,omitempty"`
	Ledge       *ledgeV1      `json:"ledge,omitempty"`
	Bounds      []cornerV1    `json:"bounds,omitempty"`
	Ribs        *ribsV1       `json:"ribs,omitempty"`
	LeastArea   float64       `json:"least_area_mm2,omitempty"`
	Kept        []anchorV1    `json:"kept,omitempty"`
	Depths      []cellDepthV1 `json:"depths,omitempty"`
}

type ledgeV1 struct {
	Width float64 `json:"width_mm"`
	Depth float64 `json:"depth_mm"`
}

// ribsV1 is the word "all" or a list of ids.
type ribsV1 struct {
	all bool
	ids []int64
}

// anchorV1 has either the cell of a grid's lattice or the place.
type anchorV1 struct {
	Grid *int64   `json:"grid,omitempty"`
	I    *int64   `json:"i,omitempty"`
	J    *int64   `json:"j,omitempty"`
	K    *int64   `json:"k,omitempty"`
	X    *float64 `json:"x_mm,omitempty"`
	Y    *float64 `json:"y_mm,omitempty"`
}

// cellDepthV1 has either a depth or the mark through.
type cellDepthV1 struct {
	anchorV1
	Through bool     `json:"through,omitempty"`
	Depth   *float64 `json:"depth_mm,omitempty"`
	Back    float64  `json:"back_mm,omitempty"`
}

type keepOutV1 struct {
	ID     int64      `json:"id"`
	Name   string     `json:"name"`
	Bounds []cornerV1 `json:"bounds"`
}

type inlayV1 struct {
	ID        int64      `json:"id"`
	Name      string     `json:"name"`
	Pocket    int64      `json:"pocket"`
	Cells     cellsV1    `json:"cells"`
	Clearance float64    `json:"clearance_mm"`
	Radius    float64    `json:"radius_mm,omitempty"`
	Thickness float64    `json:"thickness_mm"`
	Material  materialV1 `json:"material"`
}

// cellsV1 is the word "all" or a list of cells.
type cellsV1 struct {
	all  bool
	list []anchorV1
}

type settingV1 struct {
	ID     int64            `json:"id"`
	Name   string           `json:"name"`
	Values []settingValueV1 `json:"values"`
}

// settingValueV1 has the angle of a clocked ring or an eccentric, or the position of a slot.
type settingValueV1 struct {
	Feature  int64    `json:"feature"`
	Angle    *float64 `json:"angle_deg,omitempty"`
	Position *float64 `json:"position_mm,omitempty"`
}

type cutLineV1 struct {
	ID   int64      `json:"id"`
	Name string     `json:"name"`
	From [2]float64 `json:"from_mm"`
	To   [2]float64 `json:"to_mm"`
}

// targetV1 has the one value whose unit is that of its quantity.
type targetV1 struct {
	ID         int64    `json:"id"`
	Name       string   `json:"name"`
	Quantity   string   `json:"quantity"`
	CutLine    int64    `json:"cut_line,omitempty"`
	Case       int64    `json:"load_case,omitempty"`
	Sense      string   `json:"sense"`
	Mass       *float64 `json:"value_kg,omitempty"`
	Minutes    *float64 `json:"value_min,omitempty"`
	Ratio      *float64 `json:"value,omitempty"`
	Stiffness  *float64 `json:"value_n_mm2,omitempty"`
	Deflection *float64 `json:"value_mm,omitempty"`
	Amount     *float64 `json:"value_amount,omitempty"`
}

// value is the field of the target's quantity and its key.
func (t *targetV1) value() (key string, field **float64) {
	switch Quantity(t.Quantity) {
	case MassKG:
		return "value_kg", &t.Mass
	case CycleMin:
		return "value_min", &t.Minutes
	case SectionEI:
		return "value_n_mm2", &t.Stiffness
	case Deflect:
		return "value_mm", &t.Deflection
	case PieceCost:
		return "value_amount", &t.Amount
	default:
		return "value", &t.Ratio
	}
}
