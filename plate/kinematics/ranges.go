package kinematics

import (
	"context"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/set"
)

// RingRow lists the positions of one clocked ring.
type RingRow struct {
	Part      string     `json:"part"` // the first part with this plate
	Feature   plate.ID   `json:"feature"`
	Name      string     `json:"name"`
	Diameter  float64    `json:"diameter_mm"`
	LeastBolt int        `json:"least_bolts"`
	Positions []Position `json:"positions"` // those that hold by at least LeastBolt bolts, by angle
	Omitted   int        `json:"positions_omitted,omitempty"`
	Problem   string     `json:"problem,omitempty"` // why there are none
}

// EccentricRow says what one eccentric can do.
type EccentricRow struct {
	Part    string     `json:"part"`
	Feature plate.ID   `json:"feature"`
	Name    string     `json:"name"`
	E       float64    `json:"offset_mm"`
	Travel  float64    `json:"travel_mm"` // 2e
	Centre  [2]float64 `json:"path_centre_mm"`
	Locks   []LockRow  `json:"locks,omitempty"` // positions that its locking screws hold
}

// LockRow is one locked position: the angle and the moving centre in the plate's drawing.
type LockRow struct {
	AngleDeg float64    `json:"angle_deg"`
	Centre   [2]float64 `json:"centre_mm"`
}

// SlotRow says what one adjusting slot can do: the ends of its slider's path in the plate's drawing.
type SlotRow struct {
	Part    string     `json:"part"`
	Feature plate.ID   `json:"feature"`
	Name    string     `json:"name"`
	Travel  float64    `json:"travel_mm"`
	From    [2]float64 `json:"from_mm"`
	To      [2]float64 `json:"to_mm"`
}

// MaxPositions bounds the positions that the table lists of one ring; a vernier of large rings has many thousand.
const MaxPositions = 1000

// ranges lists what each adjuster can do, once for parts that share a file.
func (t *Settings) ranges(ctx context.Context, l *set.Loaded) error {
	done := map[string]bool{}
	for i, part := range l.Parts {
		if part.File != "" && done[part.File] {
			continue
		}
		done[part.File] = true
		p := l.Plates[i]
		for _, c := range p.Rings {
			if err := ctx.Err(); err != nil {
				return err
			}
			t.Rings = append(t.Rings, ringRow(part.Name, c))
		}
		for _, e := range p.Eccentrics {
			t.Eccentrics = append(t.Eccentrics, eccentricRow(part.Name, p, e))
		}
		for _, s := range p.Slots {
			if s.Adjusting {
				t.Slots = append(t.Slots, slotRow(part.Name, s))
			}
		}
	}
	return nil
}

func ringRow(part string, c plate.ClockedRing) RingRow {
	r := RingRow{Part: part, Feature: c.ID, Name: c.Name, Diameter: c.Diameter, LeastBolt: max(1, c.LeastBolts)}
	own, mate := RingsOf(c)
	all, err := Clock(own, mate, DefaultDeg)
	if err != nil {
		r.Problem = finding.Words(err)
		return r
	}
	all = slices.DeleteFunc(all, func(p Position) bool { return p.Bolts < r.LeastBolt })
	if len(all) == 0 {
		r.Problem = "at no angle do as many bolts fit"
	}
	r.Omitted = max(0, len(all)-MaxPositions)
	r.Positions = all[:len(all)-r.Omitted]
	return r
}

func eccentricRow(part string, p plate.Plate, e plate.Eccentric) EccentricRow {
	c, _ := EccentricOf(p, e) // an eccentric without its bore stands at the origin; the settings say so
	r := EccentricRow{Part: part, Feature: e.ID, Name: e.Name, E: e.E, Travel: 2 * e.E, Centre: [2]float64{c.Axis.X, c.Axis.Y}}
	if e.LockCircle > 0 && c.E > 0 {
		for _, k := range c.Locks(e.LockCount, e.LockStart) {
			r.Locks = append(r.Locks, LockRow{k.AngleDeg, [2]float64{k.Centre.X, k.Centre.Y}})
		}
	}
	return r
}

func slotRow(part string, s plate.Slot) SlotRow {
	r := SlotRow{Part: part, Feature: s.ID, Name: s.Name, Travel: s.Length}
	s.Position = 0
	if a, err := Slide(s, -s.Length/2); err == nil {
		r.From = [2]float64{a.X, a.Y}
	}
	if b, err := Slide(s, s.Length/2); err == nil {
		r.To = [2]float64{b.X, b.Y}
	}
	return r
}
