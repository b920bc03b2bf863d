package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// JointLoad is what acts on the plate at the wall of one bore, hole or slot under a load case, factors included. Forces N,
// moments N·mm.
type JointLoad struct {
	Feature plate.ID
	Hole    int // in its bolt circle, from 1; 0 else
	At      geom.Point
	Force   [3]float64
	Moment  [3]float64 // about the axis at the middle of the metal

	Preload  float64 // of its bolt; 0 where none is stated
	Annulus  float64 // diameter of what the bolt presses with, mm
	Friction float64 // of the clamped joint; 0 where none is stated
}

// JointInput is a figure that a check of a joint rests on.
type JointInput struct {
	Name  string
	Value float64
	Unit  string
}

// Joint is one check of a joint, a seat or a floor under a load case.
type Joint struct {
	Feature     plate.ID
	Hole        int
	Where       string // the feature in words
	Setting     string // of a clocked ring, where it is not that of the case
	Check       string // what could happen
	Demand      float64
	Capacity    float64
	Unit        string
	Reserve     float64 // capacity ÷ demand; +Inf without demand
	Inputs      []JointInput
	Source      string
	NotAssessed string // why there is no capacity; empty where there is one
	Bound       bool   // the capacity is a safe lower bound: a reserve below 1 asks for a closer look
	At          [2]float64
	Of          int // how many holes of the feature the check was made for, this being the worst
}

// jointer makes the checks of one layout.
type jointer struct {
	l        *layout.Layout
	fo, fu   float64
	ultimate bool
	boxes    []geom.Box // of the faces of the map
	out      []Joint
}

// Joints checks the joints of a load case: of each feature the worst hole, in the order of the loads. What cannot be checked
// is listed with the reason. ultimate says that the case is an ultimate one.
func Joints(l *layout.Layout, loads []JointLoad, ultimate bool) []Joint {
	m := l.Plate.Stock.Material
	j := &jointer{l: l, fo: m.Proof, fu: m.Ultimate, ultimate: ultimate}
	j.boxes = make([]geom.Box, len(l.Map.Faces))
	for f := range l.Map.Faces {
		j.boxes[f] = l.Map.Faces[f].Box()
	}
	for i := range loads {
		j.joint(&loads[i], "")
	}
	j.rings(loads)
	return worst(j.out)
}

// worst keeps of each feature and check the hole with the least reserve; where none is assessed that with the greatest
// demand.
func worst(all []Joint) []Joint {
	type key struct {
		feature               plate.ID
		check, setting, where string
	}
	index := map[key]int{}
	var out []Joint
	for _, j := range all {
		k := key{j.Feature, j.Check, j.Setting, ""}
		if j.Feature == 0 {
			k.where = j.Where
		}
		i, ok := index[k]
		if !ok {
			j.Of = 1
			index[k] = len(out)
			out = append(out, j)
			continue
		}
		of := out[i].Of + 1
		old := &out[i]
		worse := j.Reserve < old.Reserve
		if j.NotAssessed != "" {
			worse = j.Demand > old.Demand
		}
		if old.NotAssessed != "" && j.NotAssessed == "" || (old.NotAssessed == "") == (j.NotAssessed == "") && worse {
			*old = j
		}
		old.Of = of
	}
	return out
}

// wallCut is the cut that is the wall of a feature's hole.
func (j *jointer) wallCut(id plate.ID, hole int) *layout.Cut {
	for i := range j.l.Cuts {
		c := &j.l.Cuts[i]
		if c.Feature != id || c.Hole != hole {
			continue
		}
		switch c.Kind {
		case layout.CutBore, layout.CutDrilled, layout.CutTapped, layout.CutReamed, layout.CutSlot:
			return c
		}
	}
	return nil
}

// seatWall is the wall that a load on a bore really presses: the bearing seats where there are any, as one of their
// diameter and together as deep.
func (j *jointer) seatWall(id plate.ID) (diameter, depth float64, ok bool) {
	for _, b := range j.l.Plate.Bores {
		if b.ID != id {
			continue
		}
		for _, s := range b.Seats {
			if s.Bearing != "" && s.Diameter > b.Diameter {
				diameter, depth, ok = max(diameter, s.Diameter), depth+s.Depth, true
			}
		}
	}
	return diameter, depth, ok
}

// pressed is a wall with the force on it: what the rules of bearing and tearing ask for.
type pressed struct {
	cut       *layout.Cut
	load      *JointLoad
	where     string
	setting   string
	centre    geom.Point
	d, d0, t  float64 // of the fastener or pin, of the hole, of the metal pressed
	z0, z1    float64 // heights of that metal
	dir       geom.Point
	force     float64 // in the plane
	axial     float64
	form      plate.HoleForm
	hasForm   bool
	ahead     stretch // in the direction of the force
	planes    [2]stretch
	left      stretch
	right     stretch
	thickness float64 // under a head
}

// leastForce is the force in N below which nothing is said about a joint: rounding of the analysis.
const leastForce = 0.5

// joint checks one wall.
func (j *jointer) joint(q *JointLoad, setting string) {
	w := j.pressed(q, setting)
	if w == nil {
		return
	}
	if w.force > leastForce {
		j.measure(w)
		if w.hasForm || w.cut.Kind == layout.CutSlot {
			j.fastener(w)
		} else {
			j.pin(w)
		}
		j.tearing(w)
	}
	if setting == "" {
		j.axial(w)
		j.turning(w)
		j.boss(w)
	}
	j.slip(w)
}

// pressed finds the wall of a load.
func (j *jointer) pressed(q *JointLoad, setting string) *pressed {
	c := j.wallCut(q.Feature, q.Hole)
	if c == nil {
		return nil
	}
	w := &pressed{cut: c, load: q, setting: setting, centre: c.Center, d: c.Diameter, d0: c.Diameter, z0: c.Z0, z1: c.Z1}
	w.z0, w.z1 = max(0, c.Z0), min(j.l.Thickness, c.Z1)
	w.where = fmt.Sprintf("hole %q", c.FeatureName)
	w.form, w.hasForm = formOf(&j.l.Plate, q.Feature)
	switch {
	case c.Kind == layout.CutBore:
		w.where = fmt.Sprintf("bore %q", c.FeatureName)
		if d, depth, ok := j.seatWall(q.Feature); ok {
			w.d, w.d0 = d, d
			w.z0, w.z1 = 0, min(depth, j.l.Thickness)
			if j.topSeats(q.Feature) {
				w.z0, w.z1 = j.l.Thickness-w.z1, j.l.Thickness
			}
		}
	case c.Kind == layout.CutSlot:
		w.where = fmt.Sprintf("slot %q", c.FeatureName)
		w.d0 = math.Inf(1)
		for _, e := range c.Region.Outer {
			if e.IsArc() {
				w.d0 = min(w.d0, 2*e.R)
			}
		}
		w.d, w.centre = w.d0, q.At
	case c.Hole > 0:
		w.where = fmt.Sprintf("hole %d of %q", c.Hole, c.FeatureName)
	}
	if w.hasForm {
		if d, ok := standard.NominalDiameter(w.form.Size); ok && w.form.Kind != plate.Reamed {
			w.d = d
			if w.form.Kind == plate.Tapped {
				w.d0 = d
			}
		}
	}
	plane := geom.Pt(q.Force[0], q.Force[1])
	w.force, w.axial = plane.Len(), q.Force[2]
	w.dir = geom.Pt(1, 0)
	if w.force > 0 {
		w.dir = plane.Unit()
	}
	w.thickness = j.least(w)
	return w
}

// topSeats reports whether the deepest bearing seat of a bore enters from the top.
func (j *jointer) topSeats(id plate.ID) bool {
	deepest, top := 0.0, false
	for _, b := range j.l.Plate.Bores {
		if b.ID != id {
			continue
		}
		for _, s := range b.Seats {
			if s.Bearing != "" && s.Depth > deepest {
				deepest, top = s.Depth, s.Side == plate.Top
			}
		}
	}
	return top
}

// formOf is what the hole of a feature is; ok is false for bores and slots.
func formOf(p *plate.Plate, id plate.ID) (f plate.HoleForm, ok bool) {
	for _, h := range p.Holes {
		if h.ID == id {
			return h.HoleForm, true
		}
	}
	for _, c := range p.Circles {
		if c.ID == id {
			return c.HoleForm, true
		}
	}
	for _, c := range p.Rings {
		if c.ID == id {
			return c.HoleForm, true
		}
	}
	for _, e := range p.Eccentrics {
		if e.ID == id && e.LockCount > 0 {
			return e.Lock, true
		}
	}
	return f, false
}

// stretch is metal along a line from the wall of a hole.
type stretch struct {
	length float64 // to the first opening, mm
	equal  float64 // as long would be metal of the whole thickness of the wall, mm
	hole   bool    // the opening is another hole
}

// reach is how many diameters of the hole metal is looked for: more changes no rule.
const reach = 10

// along measures the metal from a point in a direction, at the heights of the wall.
func (j *jointer) along(w *pressed, from, dir geom.Point) stretch {
	far := reach * w.d0
	to := from.Add(dir.Mul(far))
	box := geom.Box{}
	box = box.Add(from).Add(to)
	type piece struct{ s0, s1, h float64 }
	var ps []piece
	for f := range j.l.Map.Faces {
		if !j.boxes[f].Overlaps(box) {
			continue
		}
		h := j.height(int32(f), w)
		if h <= 0 {
			continue
		}
		for _, s := range (geom.Shape{j.l.Map.Faces[f].Region}).Crossings(from, to) {
			ps = append(ps, piece{s[0], s[1], h})
		}
	}
	slices.SortFunc(ps, func(a, b piece) int { return cmp.Compare(a.s0, b.s0) })
	out := stretch{}
	for _, p := range ps {
		if p.s0 > out.length+startGap {
			break
		}
		out.equal += max(0, p.s1-max(p.s0, out.length)) * min(1, p.h/w.t)
		out.length = max(out.length, p.s1)
	}
	beyond := from.Add(dir.Mul(out.length + 2*startGap))
	for i := range j.l.Cuts {
		c := &j.l.Cuts[i]
		if c != w.cut && c.Feature != 0 && isRound(c.Kind) && c.Region.Contains(beyond) {
			out.hole = true
		}
	}
	return out
}

// startGap is by how much pieces of metal on a line may miss each other, mm: chords and merged vertices.
const startGap = 0.02

// height is the metal of a face at the heights of a wall, mm.
func (j *jointer) height(f int32, w *pressed) float64 {
	h := 0.0
	for _, m := range j.l.Map.Metal[f] {
		h += max(0, min(m.Z1, w.z1)-max(m.Z0, w.z0))
	}
	return h
}

// least is the least metal beside the wall all round, mm; under a head or in a recess that is less than the hole is deep.
func (j *jointer) least(w *pressed) float64 {
	least := math.Inf(1)
	const ways = 16
	for i := range ways {
		out := geom.Pt(1, 0).Rotate(2 * math.Pi * float64(i) / ways)
		f := j.l.Map.Locate(w.centre.Add(out.Mul(w.d0/2 + beside)))
		if h := j.height(f, w); h > 0 {
			least = min(least, h)
		}
	}
	if math.IsInf(least, 1) {
		return w.z1 - w.z0
	}
	return least
}

// beside is how far from a wall its metal is looked at, mm.
const beside = 0.1

// measure finds the metal that holds a force in the plane.
func (j *jointer) measure(w *pressed) {
	w.t = w.thickness
	if w.form.Kind == plate.Countersunk {
		// The cone bears half its depth (EN 1993-1-8 table 3.4, note, from memory).
		for i := range j.l.Cuts {
			if c := &j.l.Cuts[i]; c.Kind == layout.CutCountersink && c.Feature == w.cut.Feature && c.Hole == w.cut.Hole {
				w.t = max(w.t-(c.Z1-c.Z0)/2, w.t/2)
			}
		}
	}
	r, across := w.d0/2, w.dir.Perp()
	edge := w.centre.Add(w.dir.Mul(r))
	w.ahead = j.along(w, edge, w.dir)
	w.planes[0] = j.along(w, edge.Add(across.Mul(0.999*r)), w.dir)
	w.planes[1] = j.along(w, edge.Sub(across.Mul(0.999*r)), w.dir)
	w.left = j.along(w, w.centre.Add(across.Mul(r)), across)
	w.right = j.along(w, w.centre.Sub(across.Mul(r)), across.Mul(-1))
}

// add keeps a check.
func (j *jointer) add(w *pressed, check, source, unit string, demand, capacity float64, inputs ...JointInput) *Joint {
	q := Joint{
		Feature: w.load.Feature, Hole: w.load.Hole, Where: w.where, Setting: w.setting, Check: check, Source: source,
		Demand: demand, Capacity: capacity, Unit: unit, Inputs: inputs, At: [2]float64{w.centre.X, w.centre.Y}, Reserve: math.Inf(1),
	}
	if demand > 0 {
		q.Reserve = capacity / demand
	}
	j.out = append(j.out, q)
	return &j.out[len(j.out)-1]
}

// not keeps a check that cannot be made.
func (j *jointer) not(w *pressed, check, source, unit string, demand float64, why string, inputs ...JointInput) {
	q := j.add(w, check, source, unit, demand, 0, inputs...)
	q.NotAssessed, q.Reserve = why, math.Inf(1)
}

// strength reports whether the alloy's strengths are known; else a check says that they are not.
func (j *jointer) strength(w *pressed, check, source string) bool {
	if j.fo > 0 && j.fu > 0 {
		return true
	}
	j.not(w, check, source, "N", w.force, "the document gives no proof stress or ultimate strength of the material")
	return false
}
