package shop

import (
	"fmt"
	"math"
	"slices"
)

// Validate lists everything in the profile that no plan can be made with: figures that are not finite or out of range, tools
// doubled or longer than their stick-out, missing names. Nil means that the profile is usable.
func (p Profile) Validate() []Problem {
	var v validator
	v.text("name", p.Name)
	v.machine("machine", p.Machine)
	for i, m := range p.Others {
		v.machine(fmt.Sprintf("other_machines[%d]", i), m)
	}
	if len(p.Tools) == 0 || len(p.Tools) > maxTools {
		v.add("tools", "%d tools; give 1 to %d", len(p.Tools), maxTools)
		return v.problems
	}
	seen := map[string]int{}
	for i, t := range p.Tools {
		at := fmt.Sprintf("tools[%d]", i)
		v.tool(at, t)
		if j, ok := seen[t.ID]; ok {
			v.add(at+".id", "%q is also tools[%d]; every tool needs its own id", t.ID, j)
		}
		seen[t.ID] = i
	}
	if len(p.Cutting) == 0 || len(p.Cutting) > maxTools {
		v.add("cutting", "%d rows of cutting data; give 1 to %d", len(p.Cutting), maxTools)
	}
	for i, c := range p.Cutting {
		v.cutting(fmt.Sprintf("cutting[%d]", i), c)
	}
	v.practice(p.Practice)
	v.times(p.Times)
	v.rates(p.Rates)
	v.services(p.Services)
	v.toolLife(p.ToolLife)
	v.calibration(p.Calibration)
	v.in("band.low_percent", p.Band.Low, -90, 0)
	v.in("band.high_percent", p.Band.High, 0, 1000)
	v.text("band.source", p.Band.Source)
	return v.problems
}

type validator struct{ problems []Problem }

func (v *validator) add(path, format string, args ...any) {
	v.problems = append(v.problems, Problem{path, 0, fmt.Sprintf(format, args...)})
}

func (v *validator) text(path, s string) {
	if s == "" {
		v.add(path, "is empty")
	}
}

// in wants lo ≤ x ≤ hi, finite.
func (v *validator) in(path string, x, lo, hi float64) {
	if math.IsNaN(x) || x < lo || x > hi {
		v.add(path, "is %g; must be from %g to %g", x, lo, hi)
	}
}

func (v *validator) machine(at string, m Machine) {
	v.text(at+".name", m.Name)
	v.text(at+".source", m.Source)
	axes := [3]string{"x", "y", "z"}
	for i, a := range axes {
		v.in(at+".travel_mm "+a, m.Travel[i], 50, 1e5)
		v.in(at+".rapid_mm_min "+a, m.Rapid[i], 100, 2e5)
		v.in(at+".accel_mm_s2 "+a, m.Accel[i], 50, 1e5)
	}
	v.in(at+".spindle_max_rpm", m.SpindleMax, 100, 2e5)
	v.in(at+".spindle_min_rpm", m.SpindleMin, 1, m.SpindleMax)
	v.in(at+".torque_nm", m.Torque, 0.1, 1e4)
	v.in(at+".efficiency", m.Efficiency, 0.1, 1)
	v.in(at+".max_feed_mm_min", m.MaxFeed, 10, 2e5)
	v.in(at+".path_tolerance_mm", m.PathTolerance, 1e-4, 1)
	v.in(at+".block_time_s", m.BlockTime, 0, 1)
	v.in(at+".tool_change_s", m.ToolChange, 0, 600)
	v.in(at+".magazine", float64(m.Magazine), 0, 1000)
	v.in(at+".hand_change_s", m.HandChange, 0, 3600)
	if !slices.Contains(coolants, m.Coolant) {
		v.add(at+".coolant", "%q is not a kind of coolant; the kinds are %q", m.Coolant, coolants)
	}
	v.in(at+".spindle_start_s", m.SpindleStart, 0, 60)
	v.in(at+".spindle_reverse_s", m.SpindleTurn, 0, 60)
	v.in(at+".max_tap_rpm", m.MaxTapSpeed, 1, 2e5)
	if len(m.Power) == 0 || len(m.Power) > 100 {
		v.add(at+".power", "%d points; give 1 to 100", len(m.Power))
	}
	for i, q := range m.Power {
		point := fmt.Sprintf("%s.power[%d]", at, i)
		v.in(point+".rpm", q.Speed, 1, 2e5)
		v.in(point+".kw", q.Power, 0.01, 1e3)
		if i > 0 && q.Speed <= m.Power[i-1].Speed {
			v.add(point+".rpm", "is %g, not above the point before (%g)", q.Speed, m.Power[i-1].Speed)
		}
	}
}

func (v *validator) tool(at string, t Tool) {
	v.text(at+".id", t.ID)
	v.text(at+".material", t.Material)
	if !slices.Contains(kinds, t.Kind) {
		v.add(at+".kind", "%q is not a kind of tool; the kinds are %q", t.Kind, kinds)
	}
	v.in(at+".diameter_mm", t.Diameter, 0.1, 500)
	v.in(at+".corner_radius_mm", t.CornerRadius, 0, t.Diameter/2)
	v.in(at+".flutes", float64(t.Flutes), 1, 100)
	v.in(at+".stick_out_mm", t.StickOut, 0.1, 1000)
	v.in(at+".reach_mm", t.Reach, 0.1, t.StickOut)
	v.in(at+".flute_length_mm", t.FluteLength, 0.1, t.StickOut)
	v.in(at+".shank_diameter_mm", t.ShankDiameter, 0, 500)
	v.in(at+".max_rpm", t.MaxSpeed, 0, 2e5)
	v.holder(at, t)
	if t.Price != "" {
		v.money(at+".price", t.Price)
	}
	switch t.Kind {
	case Drill, SpotDrill, ChamferMill:
		v.in(at+".point_angle_deg", t.PointAngleDeg, 30, 180)
	case Tap:
		v.text(at+".thread", t.Thread)
		v.in(at+".pitch_mm", t.Pitch, 0.05, 10)
		v.in(at+".chamfer_threads", t.ChamferThreads, 0.5, 12)
	case ThreadMill:
		v.in(at+".pitch_mm", t.Pitch, 0.05, 10)
	case GrooveMill:
		v.in(at+".shank_diameter_mm", t.ShankDiameter, 0.1, t.Diameter*0.99)
	case BoringHead:
		v.in(at+".diameter_min_mm", t.DiameterMin, 0.1, t.Diameter)
	}
}

// holder wants a tool and its holder to go together: what is not out of the holder is in it.
func (v *validator) holder(at string, t Tool) {
	h := t.Holder
	if t.Length != 0 {
		v.in(at+".length_mm", t.Length, t.StickOut, 1000)
	}
	if h == (Holder{}) {
		return
	}
	v.text(at+".holder.name", h.Name)
	v.in(at+".holder.diameter_mm", h.Diameter, t.Shank(), 500)
	v.in(at+".holder.depth_mm", h.Depth, 1, 500)
	if in := t.Length - t.StickOut; t.Length != 0 && in > h.Depth {
		v.add(at+".length_mm", "is %g with %g sticking out, so %g is to go into the holder, which takes %g; a longer stick-out, or another holder",
			t.Length, t.StickOut, in, h.Depth)
	}
}

func (v *validator) cutting(at string, c CuttingData) {
	v.text(at+".group", c.Group)
	v.text(at+".tool_material", c.ToolMaterial)
	if !slices.Contains(kinds, c.ToolKind) {
		v.add(at+".tool_kind", "%q is not a kind of tool; the kinds are %q", c.ToolKind, kinds)
	}
	if !slices.Contains(works, c.Operation) {
		v.add(at+".operation", "%q is not a kind of work; the kinds are %q", c.Operation, works)
	}
	v.in(at+".d_min_mm", c.DMin, 0.1, 500)
	v.in(at+".d_max_mm", c.DMax, c.DMin, 500)
	v.in(at+".speed.vc_m_min", c.Speed.Vc, 0.1, 1e4)
	v.in(at+".force.kc11_mpa", c.Force.KC11, 10, 1e4)
	v.in(at+".force.mc", c.Force.MC, 0, 0.9)
	switch c.Feed.Per {
	case PerTooth, PerRevolution:
		v.in(at+".feed.feed_mm", c.Feed.Feed, 1e-4, 10)
	case PerPitch:
	default:
		v.add(at+".feed.per", "%q; must be %q, %q or %q", c.Feed.Per, PerTooth, PerRevolution, PerPitch)
	}
	for _, s := range []struct {
		at string
		c  Cited
	}{{".speed", c.Speed.Cited}, {".feed", c.Feed.Cited}, {".force", c.Force.Cited}} {
		v.text(at+s.at+".source", s.c.Source)
		v.text(at+s.at+".seen", s.c.Seen)
	}
}

func (v *validator) practice(p Practice) {
	for _, r := range []struct {
		name   string
		r      Rule
		lo, hi float64
	}{
		{"corner_ratio", p.CornerRatio, 1, 3},
		{"rough_width_ratio", p.RoughWidth, 0.02, 0.9},
		{"rough_depth_ratio", p.RoughDepth, 0.05, 5},
		{"slot_depth_ratio", p.SlotDepth, 0.05, 5},
		{"finish_wall_allowance_mm", p.WallAllowance, 0.01, 5},
		{"finish_floor_allowance_mm", p.FloorAllowance, 0.01, 5},
		{"facing_width_ratio", p.FacingWidth, 0.05, 0.95},
		{"facing_depth_mm", p.FacingDepth, 0.05, 20},
		{"ramp_angle_deg", p.RampAngleDeg, 0.1, 45},
		{"helix_ratio", p.HelixRatio, 0.1, 0.95},
		{"bore_step_ratio", p.BoreStep, 0.01, 2},
		{"bore_allowance_mm", p.BoreAllowance, 0.01, 2},
		{"located_tolerance_mm", p.LocatedTolerance, 0, 10},
		{"deflection_mm", p.Deflection, 1e-4, 1},
		{"finish_deflection_mm", p.FinishDeflection, 1e-4, 1},
		{"stick_out_ratio", p.StickOut, 1, 50},
		{"slender_ratio", p.Slender, 1, 50},
		{"peck_from_ratio", p.PeckFrom, 0.5, 50},
		{"peck_step_ratio", p.PeckStep, 0.1, 50},
		{"spot_ratio", p.SpotRatio, 0.1, 1},
		{"pilot_ratio", p.PilotRatio, 0.1, 0.95},
		{"tap_run_in_pitches", p.TapRunIn, 0, 20},
		{"break_through_mm", p.BreakThrough, 0, 10},
		{"skin_mm", p.Skin, 0.05, 5},
		{"tab_width_mm", p.TabWidth, 0.5, 50},
		{"tab_height_mm", p.TabHeight, 0.1, 50},
		{"tab_spacing_mm", p.TabSpacing, 10, 5000},
		{"retract_mm", p.Retract, 0.1, 50},
		{"entry_gap_mm", p.EntryGap, 0.01, 10},
		{"link_feed_mm_min", p.LinkFeed, 10, 2e5},
		{"safe_height_mm", p.SafeHeight, 0.1, 500},
		{"edge_break_mm", p.EdgeBreak, 0.01, 5},
		{"least_corner_feed_ratio", p.LeastCornerFeedRat, 0.01, 1},
	} {
		v.in("practice."+r.name+".value", r.r.Value, r.lo, r.hi)
		v.text("practice."+r.name+".source", r.r.Source)
	}
}

func (v *validator) times(t Times) {
	for _, r := range []struct {
		name string
		x    float64
	}{
		{"load_min", t.Load},
		{"unload_min", t.Unload},
		{"turn_over_min", t.TurnOver},
		{"reclamp_min", t.Reclamp},
		{"clean_min", t.Clean},
		{"gauge_min", t.Gauge},
		{"probe_s", t.Probe},
		{"set_up_min", t.SetUp},
		{"tool_set_min", t.ToolSet},
		{"program_load_min", t.ProgramLoad},
	} {
		v.in("times."+r.name, r.x, 0, 1e4)
	}
	v.in("times.hand_edge_mm_per_min", t.HandEdge, 1, 1e6)
	v.text("times.source", t.Source)
}
