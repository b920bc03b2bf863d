package plate

// The structs of version 1 of the file for supports, loads and cases, and for the plan and the price; see filev1.go.

// placeV1 has a feature, the two ends of a piece of the outline, or an area on a face.
type placeV1 struct {
	Feature *int64      `json:"feature,omitempty"`
	From    *[2]float64 `json:"from_mm,omitempty"`
	To      *[2]float64 `json:"to_mm,omitempty"`
	Bounds  []cornerV1  `json:"bounds,omitempty"`
	Side    string      `json:"side,omitempty"`
}

// supportV1 has the keys of its kind.
type supportV1 struct {
	ID        int64       `json:"id"`
	Name      string      `json:"name"`
	Kind      string      `json:"kind"`
	On        *placeV1    `json:"on,omitempty"`
	Direction float64     `json:"direction_deg,omitempty"`
	Linear    *[3]float64 `json:"stiffness_n_per_mm,omitempty"`
	Turning   *[3]float64 `json:"stiffness_n_mm_per_rad,omitempty"`
}

// loadV1 has the keys of its kind.
type loadV1 struct {
	ID           int64       `json:"id"`
	Name         string      `json:"name"`
	Kind         string      `json:"kind"`
	On           *placeV1    `json:"on,omitempty"`
	Force        *[3]float64 `json:"force_n,omitempty"`
	Acceleration *[3]float64 `json:"acceleration_g,omitempty"`
	Moment       *[3]float64 `json:"moment_n_mm,omitempty"`
	At           *[3]float64 `json:"at_mm,omitempty"`
	Height       *float64    `json:"z_mm,omitempty"`
	Clamp        *float64    `json:"clamp_n,omitempty"`
	Bearing      *float64    `json:"bearing_diameter_mm,omitempty"`
	Friction     float64     `json:"friction,omitempty"`
	Temperature  *float64    `json:"temperature_k,omitempty"`
}

type caseV1 struct {
	ID       int64          `json:"id"`
	Name     string         `json:"name"`
	Kind     string         `json:"kind"`
	Factor   float64        `json:"factor"`
	Origin   originV1       `json:"origin"`
	Loads    []loadFactorV1 `json:"loads"`
	Supports []int64        `json:"supports,omitempty"`
	Setting  int64          `json:"setting,omitempty"`
	Mirrored bool           `json:"mirrored,omitempty"`
	Cycles   float64        `json:"cycles,omitempty"`
}

type loadFactorV1 struct {
	Load   int64   `json:"load"`
	Factor float64 `json:"factor"`
}

// originV1 has the figures of a worked sum where it is one.
type originV1 struct {
	Kind      string   `json:"kind"`
	Text      string   `json:"text,omitempty"`
	Event     string   `json:"event,omitempty"`
	Mass      *float64 `json:"mass_kg,omitempty"`
	Wheelbase float64  `json:"wheelbase_mm,omitempty"`
	CentreX   float64  `json:"centre_x_mm,omitempty"`
	Height    float64  `json:"centre_height_mm,omitempty"`
	G         *float64 `json:"g,omitempty"`
	Share     *float64 `json:"share,omitempty"`
}

type machiningV1 struct {
	Zero     [2]float64  `json:"work_zero_mm"`
	Turn     string      `json:"turn_axis"`
	Shop     string      `json:"shop"`
	ShopHash string      `json:"shop_hash,omitempty"`
	Changes  []changeV1  `json:"changes,omitempty"`
	Holding  []holdingV1 `json:"holding,omitempty"`
}

type changeV1 struct {
	ID      int64     `json:"id"`
	Class   string    `json:"class,omitempty"`
	Feature int64     `json:"feature,omitempty"`
	Cell    *anchorV1 `json:"cell,omitempty"`
	Leave   bool      `json:"left_out,omitempty"`
	Where   string    `json:"where,omitempty"`
	Tool    string    `json:"tool,omitempty"`
	Order   int64     `json:"moved,omitempty"`
	Minutes float64   `json:"time_min,omitempty"`
	Note    string    `json:"note,omitempty"`
}

// holdingV1 has the hole of a screw or the rectangle of a clamp.
type holdingV1 struct {
	ID      int64    `json:"id"`
	SetUp   int64    `json:"set_up,omitempty"`
	Kind    string   `json:"kind"`
	Feature int64    `json:"feature,omitempty"`
	X       *float64 `json:"x_mm,omitempty"`
	Y       *float64 `json:"y_mm,omitempty"`
	Width   *float64 `json:"width_mm,omitempty"`
	Height  *float64 `json:"height_mm,omitempty"`
	Angle   float64  `json:"angle_deg,omitempty"`
}

type priceV1 struct {
	Batches  []int64 `json:"batches,omitempty"`
	PerSet   int64   `json:"per_set,omitempty"`
	BoughtIn string  `json:"bought_in,omitempty"`
}
