package shop

// Kind says what a tool is.
type Kind string

// The kinds of tool. A tap of one size, a drill of one diameter and so on are tools of their own.
const (
	EndMill     Kind = "end mill"
	FaceMill    Kind = "face mill"
	SpotDrill   Kind = "spot drill"
	Drill       Kind = "drill"
	Tap         Kind = "tap"
	ChamferMill Kind = "chamfer mill"
	BoringHead  Kind = "boring head"
	Reamer      Kind = "reamer"
	GrooveMill  Kind = "groove mill" // cuts sideways under a wall: its cutting width is the flute length, its neck the shank
	ThreadMill  Kind = "thread mill" // of one pitch, with teeth along its flute length
)

var kinds = []Kind{EndMill, FaceMill, SpotDrill, Drill, Tap, ChamferMill, BoringHead, Reamer, GrooveMill, ThreadMill}

// Work says what a tool does, for cutting data.
type Work string

// The kinds of work that cutting data are given for.
const (
	Rough   Work = "rough"
	Finish  Work = "finish"
	Face    Work = "face"
	Spot    Work = "spot"
	Drilled Work = "drill"
	Tapped  Work = "tap"
	Chamfer Work = "chamfer"
	Bored   Work = "bore"
	Reamed  Work = "ream"
	Grooved Work = "groove"
)

var works = []Work{Rough, Finish, Face, Spot, Drilled, Tapped, Chamfer, Bored, Reamed, Grooved}

// FeedPer says what a feed is counted per.
type FeedPer string

// The kinds of feed. A tap's feed is its pitch.
const (
	PerTooth      FeedPer = "tooth"
	PerRevolution FeedPer = "revolution"
	PerPitch      FeedPer = "pitch"
)

// Profile is one shop.
type Profile struct {
	Format      string        `json:"format"`
	Version     int           `json:"version"`
	Name        string        `json:"name"`
	Example     bool          `json:"example"` // true: made up, not any shop's own figures
	Note        string        `json:"note"`
	Machine     Machine       `json:"machine"`                  // the one that plans are made for where the plate fits it
	Others      []Machine     `json:"other_machines,omitempty"` // taken, in this order, for a plate that the first does not hold
	Tools       []Tool        `json:"tools"`
	Cutting     []CuttingData `json:"cutting"`
	ToolLife    []ToolLife    `json:"tool_life,omitempty"`
	Practice    Practice      `json:"practice"`
	Times       Times         `json:"times"`
	Services    []Service     `json:"services,omitempty"` // work that other shops, or other machines of this one, do
	Rates       Rates         `json:"rates"`
	Band        Band          `json:"band"`
	Calibration Calibration   `json:"calibration,omitzero"` // what past jobs taught; zero before
}

// Cited is where a figure comes from: the source in words, and whether it was read there ("seen") or recalled ("memory").
type Cited struct {
	Source string `json:"source"`
	Seen   string `json:"seen"`
}

// SpeedData is a cutting speed.
type SpeedData struct {
	Vc float64 `json:"vc_m_min"`
	Cited
}

// FeedData is a feed per tooth or revolution, mm; 0 for a tap.
type FeedData struct {
	Feed float64 `json:"feed_mm"`
	Per  FeedPer `json:"per"`
	Cited
}

// ForceData are the constants of the specific cutting force kc = kc1.1 · h^−mc, kc1.1 in MPa, h in mm.
type ForceData struct {
	KC11 float64 `json:"kc11_mpa"`
	MC   float64 `json:"mc"`
	Cited
}

// CuttingData are the conditions for one group of material (ISO 513), kind of tool and work, for diameters from DMin to DMax.
type CuttingData struct {
	Alloy        string    `json:"material,omitempty"` // one alloy by its name in the document; empty: every material of the group
	Group        string    `json:"group"`
	ToolKind     Kind      `json:"tool_kind"`
	ToolMaterial string    `json:"tool_material"`
	Operation    Work      `json:"operation"`
	DMin         float64   `json:"d_min_mm"`
	DMax         float64   `json:"d_max_mm"`
	Speed        SpeedData `json:"speed"`
	Feed         FeedData  `json:"feed"`
	Force        ForceData `json:"force"`
}

// Source is the sources of speed, feed and force in one line, each once.
func (c CuttingData) Source() string {
	s := "vc: " + c.Speed.Source + " (" + c.Speed.Seen + ")"
	if c.Feed.Source != c.Speed.Source {
		s += "; feed: " + c.Feed.Source + " (" + c.Feed.Seen + ")"
	}
	return s + "; kc1.1: " + c.Force.Source + " (" + c.Force.Seen + ")"
}

// For is the profile as it holds for one alloy: the rows of cutting data for it come first, and those for other alloys are left
// out.
func (p Profile) For(alloy string) Profile {
	var own, group []CuttingData
	for _, c := range p.Cutting {
		switch c.Alloy {
		case "":
			group = append(group, c)
		case alloy:
			own = append(own, c)
		}
	}
	p.Cutting = append(own, group...)
	return p
}

// Data finds the cutting data for a tool of diameter d. With several rows that fit, the first holds.
func (p Profile) Data(group string, k Kind, material string, w Work, d float64) (CuttingData, bool) {
	for _, c := range p.Cutting {
		if c.Group == group && c.ToolKind == k && c.ToolMaterial == material && c.Operation == w &&
			d >= c.DMin-diameterTol && d <= c.DMax+diameterTol {
			return c, true
		}
	}
	return CuttingData{}, false
}

// diameterTol is far below the step between two tools and far above rounding, mm.
const diameterTol = 1e-6

// Rule is one figure of practice with its source.
type Rule struct {
	Value  float64 `json:"value"`
	Source string  `json:"source"`
}

// Practice are the rules by which a plan is made.
type Practice struct {
	CornerRatio        Rule `json:"corner_ratio"`             // least inside corner radius ÷ radius of the finishing cutter
	RoughWidth         Rule `json:"rough_width_ratio"`        // ae ÷ D of roughing passes
	RoughDepth         Rule `json:"rough_depth_ratio"`        // ap ÷ D of roughing passes
	SlotDepth          Rule `json:"slot_depth_ratio"`         // ap ÷ D where the cutter cuts at its full width
	WallAllowance      Rule `json:"finish_wall_allowance_mm"` // left by roughing for the wall pass
	FloorAllowance     Rule `json:"finish_floor_allowance_mm"`
	FacingWidth        Rule `json:"facing_width_ratio"`
	FacingDepth        Rule `json:"facing_depth_mm"`
	RampAngleDeg       Rule `json:"ramp_angle_deg"`
	HelixRatio         Rule `json:"helix_ratio"` // diameter of the entry helix of the cutter's centre ÷ D, at most
	BoreStep           Rule `json:"bore_step_ratio"`
	BoreAllowance      Rule `json:"bore_allowance_mm"`
	LocatedTolerance   Rule `json:"located_tolerance_mm"`
	Deflection         Rule `json:"deflection_mm"` // of a roughing cutter, at the middle of its depth of cut
	FinishDeflection   Rule `json:"finish_deflection_mm"`
	StickOut           Rule `json:"stick_out_ratio"` // slenderness up to which a cutter runs at full feed
	Slender            Rule `json:"slender_ratio"`   // and above which it is a special tool
	PeckFrom           Rule `json:"peck_from_ratio"`
	PeckStep           Rule `json:"peck_step_ratio"`
	SpotRatio          Rule `json:"spot_ratio"`
	PilotRatio         Rule `json:"pilot_ratio"`
	TapRunIn           Rule `json:"tap_run_in_pitches"`
	BreakThrough       Rule `json:"break_through_mm"`
	Skin               Rule `json:"skin_mm"`
	TabWidth           Rule `json:"tab_width_mm"`
	TabHeight          Rule `json:"tab_height_mm"`
	TabSpacing         Rule `json:"tab_spacing_mm"`
	Retract            Rule `json:"retract_mm"`
	EntryGap           Rule `json:"entry_gap_mm"`     // above the metal, where rapids end and the feed begins
	LinkFeed           Rule `json:"link_feed_mm_min"` // of moves through cleared space at depth
	SafeHeight         Rule `json:"safe_height_mm"`
	EdgeBreak          Rule `json:"edge_break_mm"`
	LeastCornerFeedRat Rule `json:"least_corner_feed_ratio"`
}

// Times are the handling times.
type Times struct {
	Load        float64 `json:"load_min"`
	Unload      float64 `json:"unload_min"`
	TurnOver    float64 `json:"turn_over_min"` // loosen, turn over, clean the seats, clamp
	Reclamp     float64 `json:"reclamp_min"`   // loosen and clamp again on the same face
	Clean       float64 `json:"clean_min"`
	Gauge       float64 `json:"gauge_min"` // a piece's gauging in each set-up that finishes something
	Probe       float64 `json:"probe_s"`   // finding the work zero by probe, each clamping
	SetUp       float64 `json:"set_up_min"`
	ToolSet     float64 `json:"tool_set_min"` // fit and measure one tool
	ProgramLoad float64 `json:"program_load_min"`
	HandEdge    float64 `json:"hand_edge_mm_per_min"`
	Source      string  `json:"source"`
}

// Band is how far the minutes may be off as long as no past jobs have been entered, in percent.
type Band struct {
	Low    float64 `json:"low_percent"`
	High   float64 `json:"high_percent"`
	Source string  `json:"source"`
}
