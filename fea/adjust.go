package fea

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
)

// adjusted is the state of the plate's adjusters in a setting, as far as it
// matters to loads and supports: which holes of clocked rings hold a bolt, how far
// the centre of an eccentric is off its bore's axis, and where in its slot a bolt
// stands. The zero value is a plate without any.
type adjusted struct {
	bolts  map[plate.ID]map[int]bool // by ring, the numbers of its holes with a bolt
	offset map[plate.ID]geom.Point   // by bore
	slid   map[plate.ID]geom.Point   // by slot, from its middle
}

// boltDeg is the difference of two angles within which a bolt passes: 0.01° is
// 9 µm on a circle of 100 mm.
const boltDeg = 0.01

// adjust works out a setting: 0 means that of the document, and where it names none
// each adjuster as drawn.
func (m *Model) adjust(id plate.ID) (adjusted, error) {
	p := &m.Layout.Plate
	if id == 0 {
		id = p.Setting
	}
	angle, position := map[plate.ID]float64{}, map[plate.ID]float64{}
	if id != 0 {
		found := false
		for _, s := range p.Settings {
			if s.ID == id {
				found = true
				for _, v := range s.Values {
					angle[v.Feature], position[v.Feature] = v.AngleDeg, v.Position
				}
			}
		}
		if !found {
			return adjusted{}, fmt.Errorf("fea: it names setting %d, which the document does not have", id)
		}
	}
	out := adjusted{bolts: map[plate.ID]map[int]bool{}, offset: map[plate.ID]geom.Point{}, slid: map[plate.ID]geom.Point{}}
	for _, s := range p.Slots {
		at, ok := position[s.ID]
		if !ok {
			at = s.Position
		}
		if math.Abs(at) > s.Length/2+slotEnd {
			return adjusted{}, fmt.Errorf("fea: %s puts what slides in slot %q %.4g mm from its middle, beyond its end at %.4g mm; change the setting", settingName(p, id), s.Name, at, s.Length/2)
		}
		out.slid[s.ID] = geom.Pt(at, 0).Rotate(s.AngleDeg * math.Pi / 180)
	}
	for _, r := range p.Rings {
		a, ok := angle[r.ID]
		if !ok {
			a = r.PositionDeg
		}
		out.bolts[r.ID] = boltsOf(r, a)
	}
	for _, e := range p.Eccentrics {
		a, ok := angle[e.ID]
		if !ok {
			a = e.AngleDeg
		}
		out.offset[e.Bore] = geom.Pt(e.E, 0).Rotate(a * math.Pi / 180)
	}
	return out, nil
}

// slotEnd is by how much a place in a slot may lie beyond its end, mm: rounding.
const slotEnd = 1e-6

// settingName is a setting in words, for errors.
func settingName(p *plate.Plate, id plate.ID) string {
	for _, s := range p.Settings {
		if s.ID == id {
			return fmt.Sprintf("setting %q", s.Name)
		}
	}
	return "the document"
}

// boltsOf are the holes of a ring that a hole of the mate stands over when it is
// turned by a degrees.
func boltsOf(r plate.ClockedRing, a float64) map[int]bool {
	own := anglesOf(r.Count, r.StartDeg, r.Angles)
	mate := anglesOf(r.MateCount, r.MateStartDeg+a, r.MateAngles)
	out := map[int]bool{}
	for i, x := range own {
		for _, y := range mate {
			if math.Abs(math.Remainder(x-y, 360)) <= boltDeg {
				out[i+1] = true
			}
		}
	}
	return out
}

func anglesOf(count int, start float64, angles []float64) []float64 {
	var out []float64
	if len(angles) == 0 {
		for i := range count {
			out = append(out, start+360*float64(i)/float64(count))
		}
		return out
	}
	for _, a := range angles {
		out = append(out, start+a)
	}
	return out
}
