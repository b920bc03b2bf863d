package shop

// Machine is a 3-axis vertical milling machine.
type Machine struct {
	Name          string       `json:"name"`
	Travel        [3]float64   `json:"travel_mm"`
	SpindleMin    float64      `json:"spindle_min_rpm"`
	SpindleMax    float64      `json:"spindle_max_rpm"`
	Torque        float64      `json:"torque_nm"` // at the spindle, below the first point of Power
	Power         []PowerPoint `json:"power"`     // by rising speed; straight between the points
	Efficiency    float64      `json:"efficiency"`
	MaxFeed       float64      `json:"max_feed_mm_min"`
	Rapid         [3]float64   `json:"rapid_mm_min"`
	Accel         [3]float64   `json:"accel_mm_s2"`
	PathTolerance float64      `json:"path_tolerance_mm"` // how far the path may leave a corner to keep moving
	BlockTime     float64      `json:"block_time_s"`      // the least time that the control takes for one line or arc
	ToolChange    float64      `json:"tool_change_s"`     // chip to chip
	Magazine      int          `json:"magazine"`          // places in the magazine; 0: every tool is changed by hand
	HandChange    float64      `json:"hand_change_s"`     // a change by hand, with touching the tool off
	SpindleStart  float64      `json:"spindle_start_s"`
	SpindleTurn   float64      `json:"spindle_reverse_s"` // time to turn the spindle round at the bottom of a tapped hole
	RigidTapping  bool         `json:"rigid_tapping"`
	MaxTapSpeed   float64      `json:"max_tap_rpm"`
	Probing       bool         `json:"probing"` // has a probe that finds the work zero
	Coolant       Coolant      `json:"coolant"`
	Source        string       `json:"source"`
}

// Coolant says what keeps the cut cool and the chips away.
type Coolant string

// The kinds of coolant.
const (
	Flood Coolant = "flood"
	Mist  Coolant = "mist"
	Air   Coolant = "air"
	Dry   Coolant = "none"
)

var coolants = []Coolant{Flood, Mist, Air, Dry}

// PowerPoint is one point of the spindle's power curve.
type PowerPoint struct {
	Speed float64 `json:"rpm"`
	Power float64 `json:"kw"`
}

// PowerAt is the power in kW that the motor gives at spindle speed n in rpm; below the first point the torque of that point
// is kept, above the last the power of that one. The share that reaches the cut is Efficiency.
func (m Machine) PowerAt(n float64) float64 {
	if len(m.Power) == 0 || n <= 0 {
		return 0
	}
	first := m.Power[0]
	if n <= first.Speed {
		return first.Power * n / first.Speed
	}
	for i := 1; i < len(m.Power); i++ {
		a, b := m.Power[i-1], m.Power[i]
		if n <= b.Speed {
			return a.Power + (b.Power-a.Power)*(n-a.Speed)/(b.Speed-a.Speed)
		}
	}
	return m.Power[len(m.Power)-1].Power
}

// Tool is one tool in its holder.
type Tool struct {
	ID             string  `json:"id"`
	Kind           Kind    `json:"kind"`
	Diameter       float64 `json:"diameter_mm"`               // of a boring head the largest bore, of a tap the thread
	DiameterMin    float64 `json:"diameter_min_mm,omitempty"` // of a boring head: the smallest bore
	CornerRadius   float64 `json:"corner_radius_mm,omitempty"`
	Flutes         int     `json:"flutes"`
	FluteLength    float64 `json:"flute_length_mm"`
	Reach          float64 `json:"reach_mm"`                    // how deep below the face it may work: flutes and relieved neck
	StickOut       float64 `json:"stick_out_mm"`                // from the holder's nose to the tip
	ShankDiameter  float64 `json:"shank_diameter_mm,omitempty"` // 0: Diameter
	Material       string  `json:"material"`
	PointAngleDeg  float64 `json:"point_angle_deg,omitempty"`
	Thread         string  `json:"thread,omitempty"`
	Pitch          float64 `json:"pitch_mm,omitempty"`
	ChamferThreads float64 `json:"chamfer_threads,omitempty"` // length of a tap's lead in pitches
	MaxSpeed       float64 `json:"max_rpm,omitempty"`         // 0: the spindle's
	Length         float64 `json:"length_mm,omitempty"`       // overall, tip to end of shank; 0 where not given
	Holder         Holder  `json:"holder,omitzero"`
	Price          Money   `json:"price,omitempty"` // of a new one, for the share of its wear
}

// Holder is what a tool is clamped in. The zero value says nothing of it.
type Holder struct {
	Name     string  `json:"name"`
	Diameter float64 `json:"diameter_mm"` // of its nose
	Depth    float64 `json:"depth_mm"`    // how far a shank goes into it at most
}

// Shank is the diameter of the shank, mm.
func (t Tool) Shank() float64 {
	if t.ShankDiameter > 0 {
		return t.ShankDiameter
	}
	return t.Diameter
}

// Slender is the greater of reach ÷ diameter and stick-out ÷ shank.
func (t Tool) Slender() float64 { return max(t.Reach/t.Diameter, t.StickOut/t.Shank()) }
