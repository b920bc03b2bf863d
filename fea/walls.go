package fea

import (
	"platewright/fea/shell"
	"platewright/plate"
)

// WallForce is what acts on the plate at the wall of one bore, hole or slot in a
// case: its loads, with all factors, and the reaction of its support. Of a joint
// with several holes each has its own share. Preload, Annulus and Friction are those
// of the case's clamp load there, 0 where it has none.
type WallForce struct {
	Feature plate.ID
	Hole    int        // in its bolt circle, from 1; 0 else
	At      [3]float64 // on the axis, mm; in a slot where what slides in it stands
	Slot    bool
	Held    bool // by a support
	Wrench       // about At

	Preload  float64 // N
	Annulus  float64 // outer diameter of what presses, mm
	Friction float64
}

// wallForces gathers the forces at each wall that is loaded or held, in the order of
// supports and loads. by are the forces of each support on all unknowns.
func (m *Model) wallForces(c *plate.LoadCase, h *holding, by [][]float64, used []*loading) []WallForce {
	type key struct {
		feature plate.ID
		hole    int
	}
	index := map[key]int{}
	var out []WallForce
	each := func(p *place, add func(w *WallForce, r *round)) {
		for i := range p.rounds {
			r := &p.rounds[i]
			k := key{r.feature, r.hole}
			at, ok := index[k]
			if !ok {
				at = len(out)
				index[k] = at
				out = append(out, WallForce{Feature: r.feature, Hole: r.hole, Slot: r.slot, At: [3]float64{r.centre.X, r.centre.Y, m.middle(r)}})
			}
			add(&out[at], r)
		}
	}
	for i, p := range h.places {
		if p != nil {
			each(p, func(w *WallForce, r *round) {
				w.Held = true
				w.Wrench = w.Add(m.onWall(r, by[i], w.At))
			})
		}
	}
	for i, l := range used {
		if l.place == nil {
			continue
		}
		factor := c.Factor * c.Loads[i].Factor
		each(l.place, func(w *WallForce, r *round) {
			if l.load.Kind == plate.ClampForce {
				// A preload is a force by itself: the factor of the case is on loads from
				// outside.
				w.Preload, w.Annulus, w.Friction = l.load.Clamp*c.Loads[i].Factor, l.load.Bearing, l.load.Friction
				return
			}
			w.Wrench = w.Add(m.onWall(r, l.f, w.At).Scale(factor))
		})
	}
	return out
}

// middle is the mean height of the metal at a wall, mm.
func (m *Model) middle(r *round) float64 {
	area, moment := 0.0, 0.0
	for _, w := range r.sides {
		s := m.Shell.Section(int(w.element))
		for _, g := range m.points(w) {
			area += g.Weight * s.T
			moment += g.Weight * s.T * (s.Z0 + s.Z1) / 2
		}
	}
	if area == 0 {
		return m.Layout.Thickness / 2
	}
	return moment / area
}

// onWall is the resultant, about a point, of the forces of f on the nodes of a wall.
func (m *Model) onWall(r *round, f []float64, at [3]float64) Wrench {
	var v [6]float64
	seen := map[int32]bool{}
	for _, w := range r.sides {
		for _, n := range w.node {
			if seen[n] {
				continue
			}
			seen[n] = true
			rows := m.rigidRows(n, at)
			g := f[shell.Unknowns*int(n):][:shell.Unknowns]
			for i := range rows {
				for k := range g {
					v[i] += rows[i][k] * g[k]
				}
			}
		}
	}
	return wrenchOf(v)
}
