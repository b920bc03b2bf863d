package report

import (
	"fmt"
	"math"
	"strings"

	"platewright/fea"
	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// checkJoints checks the joints, seats and floors of every case that was analysed, and returns what it found.
func (r *Report) checkJoints() []finding.Finding {
	l := r.Layout.Value
	panels := check.Panels(l)
	discs := make([]fea.Disc, len(panels))
	for i, p := range panels {
		discs[i] = fea.Disc{Centre: p.At, Radius: p.Radius, Z: p.Middle}
	}
	var found []finding.Finding
	r.Joints = nil
	for i := range r.Cases.Value.Cases {
		c := &r.Cases.Value.Cases[i]
		js := check.Joints(l, jointLoads(c), c.Case.Kind == plate.Ultimate)
		js = append(js, check.Buckling(l, panels, c.Compressions(discs))...)
		js = append(js, r.areaPunches(c)...)
		js = append(js, check.Ledges(l)...)
		r.Joints = append(r.Joints, js)
		found = append(found, jointFindings(c, js)...)
	}
	return found
}

// jointLoads are the forces of a case at its bores, holes and slots.
func jointLoads(c *fea.CaseResult) []check.JointLoad {
	var out []check.JointLoad
	for _, w := range c.Walls {
		out = append(out, check.JointLoad{
			Feature: w.Feature, Hole: w.Hole, At: geom.Pt(w.At[0], w.At[1]), Force: w.Force, Moment: w.Moment,
			Preload: w.Preload, Annulus: w.Annulus, Friction: w.Friction,
		})
	}
	return out
}

// areaPunches are the checks of the case's loads on drawn areas, across the plate.
func (r *Report) areaPunches(c *fea.CaseResult) []check.Joint {
	var out []check.Joint
	for _, f := range c.Case.Loads {
		for i := range r.Plate.Loads {
			l := &r.Plate.Loads[i]
			if l.ID != f.Load || l.Kind != plate.AreaForce || len(l.On.Bounds) == 0 || l.Force[2] == 0 {
				continue
			}
			corners := make([]geom.Corner, len(l.On.Bounds))
			for k, b := range l.On.Bounds {
				corners[k] = geom.Corner{P: geom.Pt(b.X, b.Y), Radius: b.Radius}
				if b.Arc {
					q := geom.Pt(b.ThroughX, b.ThroughY)
					corners[k].Through = &q
				}
			}
			if area, err := geom.Path(corners); err == nil { // the analysis has used it, so that it can be drawn
				out = append(out, check.AreaPunch(r.Layout.Value, l.Name, area, l.Force[2]*f.Factor*c.Case.Factor))
			}
		}
	}
	return out
}

// jointFindings are the joints that do not hold: errors, but for those that fail a lower bound only.
func jointFindings(c *fea.CaseResult, js []check.Joint) []finding.Finding {
	var out []finding.Finding
	for _, j := range js {
		if j.NotAssessed != "" || !(j.Reserve < 1) {
			continue
		}
		f := finding.Finding{
			Code: "joint-low", Level: finding.Error, Stage: plate.StageLoads, Feature: int64(c.Case.ID), FeatureName: c.Case.Name,
			What: fmt.Sprintf("load case %q, %s: %s: %s %s against %s %s, reserve %s", c.Case.Name, jointPlace(&j), j.Check,
				significant(j.Demand, 3), j.Unit, significant(j.Capacity, 3), j.Unit, significant(j.Reserve, 3)),
			Why: "a joint that gives way lets go of what the plate holds", Source: j.Source,
			Fix:   "move it from the edge, widen the metal round it, share the force among more fasteners, or correct the load",
			Where: j.At, HasWhere: true,
		}
		if j.Bound {
			f.Level = finding.Warning
			f.Why = "a floor that buckles throws its load on the ribs; the stress given is a lower bound of what it stands"
			f.Fix = "leave a thicker floor, divide the cell by a rib, or check its buckling by other means"
		}
		out = append(out, f)
	}
	return out
}

// jointPlace is where a check is made, in words.
func jointPlace(j *check.Joint) string {
	s := j.Where
	if j.Of > 1 {
		s += fmt.Sprintf(" (worst of %d)", j.Of)
	}
	if j.Setting != "" {
		s += ", at " + j.Setting
	}
	return s
}

// writeJoints writes the checks of one case: what holds, then what it rests on and what could not be assessed.
func writeJoints(b *strings.Builder, js []check.Joint) {
	if len(js) == 0 {
		return
	}
	b.WriteString("  Joints, seats and floors (capacities hold their standards' partial factors):\n")
	t := table{right: "lllrrlr"}
	t.add("", "joint", "check", "demand", "capacity", "", "reserve")
	for i := range js {
		j := &js[i]
		capacity, reserve := significant(j.Capacity, 3), reserveText(j.Reserve)
		if math.IsInf(j.Reserve, 1) {
			reserve = "no load"
		}
		if j.NotAssessed != "" {
			capacity, reserve = "–", "not assessed"
		}
		t.add(fmt.Sprint(i+1), jointPlace(j), j.Check, significant(j.Demand, 3), capacity, j.Unit, reserve)
	}
	t.write(b, "    ")
	var texts []string // each once, with the numbers of its rows
	rows := map[string][]string{}
	for i := range js {
		j := &js[i]
		text := jointBasis(j)
		if j.NotAssessed != "" {
			text = "not assessed: " + j.NotAssessed + ". " + text
		}
		if rows[text] == nil {
			texts = append(texts, text)
		}
		rows[text] = append(rows[text], fmt.Sprint(i+1))
	}
	for _, text := range texts {
		wrap(b, strings.Join(rows[text], ", ")+": "+text, pageWidth, "    ", "      ")
	}
}

// jointBasis is what a check rests on.
func jointBasis(j *check.Joint) string {
	var parts []string
	for _, in := range j.Inputs {
		s := in.Name + " " + significant(in.Value, 3)
		if in.Unit != "" {
			s += " " + in.Unit
		}
		parts = append(parts, s)
	}
	text := strings.Join(parts, ", ")
	if j.Source == "none" {
		return text
	}
	if text != "" {
		text += " "
	}
	return text + "[" + j.Source + "]"
}

// The JSON of joints.
type (
	jsonJoint struct {
		Joint       string           `json:"joint"`
		Of          int              `json:"of"`
		Setting     string           `json:"setting,omitempty"`
		Check       string           `json:"check"`
		Demand      float64          `json:"demand"`
		Capacity    *float64         `json:"capacity,omitempty"` // absent where it is not assessed
		Unit        string           `json:"unit"`
		Reserve     *float64         `json:"reserve_factor,omitempty"` // absent without demand
		LowerBound  bool             `json:"lower_bound,omitempty"`
		NotAssessed string           `json:"not_assessed,omitempty"`
		Inputs      []jsonJointInput `json:"inputs"`
		Source      string           `json:"source"`
		At          [2]float64       `json:"at_mm"`
	}
	jsonJointInput struct {
		Name  string  `json:"name"`
		Value float64 `json:"value"`
		Unit  string  `json:"unit"`
	}
)

func jsonJointsOf(js []check.Joint) []jsonJoint {
	out := make([]jsonJoint, 0, len(js))
	for i := range js {
		j := &js[i]
		k := jsonJoint{
			Joint: j.Where, Of: j.Of, Setting: j.Setting, Check: j.Check, Demand: j.Demand, Unit: j.Unit, LowerBound: j.Bound,
			NotAssessed: j.NotAssessed, Source: j.Source, At: j.At, Inputs: []jsonJointInput{},
		}
		if j.NotAssessed == "" {
			k.Capacity = &j.Capacity
			if !math.IsInf(j.Reserve, 0) {
				k.Reserve = &j.Reserve
			}
		}
		for _, in := range j.Inputs {
			k.Inputs = append(k.Inputs, jsonJointInput(in))
		}
		out = append(out, k)
	}
	return out
}
