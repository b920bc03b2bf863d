package check

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// The sources of the checks of joints.
const (
	srcBearing  = "EN 1993-1-8 table 3.4, as in EN 1999-1-1 table 8.5 (from memory)"
	srcPin      = "EN 1993-1-8 table 3.10, γM1 of EN 1999-1-1 (from memory)"
	srcPinEnd   = "EN 1993-1-8 table 3.9, γM1 of EN 1999-1-1 (from memory)"
	srcNet      = "EN 1999-1-1, 6.2.3 (from memory)"
	srcShearOut = "EN 1999-1-1, 8.5.2.2, block tearing (from memory)"
	srcThread   = "FED-STD-H28/2; ends of the thread by VDI 2230-1 (from memory)"
	srcPunch    = "EN 1993-1-8 table 3.4"
	srcSlip     = "EN 1993-1-8, 3.9"
	srcHoop     = "Lamé's thick ring; raceway by a bearing maker's handbook (from memory)"
	srcBolt     = "EN 1993-1-8 table 3.4"
	srcFloor    = "Euler strip as wide as the floor's largest circle: a lower bound; Johnson's parabola beyond half the proof stress (both from memory)"
	srcNone     = "none"
)

func mmOf(name string, v float64) JointInput  { return JointInput{name, v, "mm"} }
func mpaOf(name string, v float64) JointInput { return JointInput{name, v, "MPa"} }

// fastener checks the wall of a fastener's hole, or of a slot.
func (j *jointer) fastener(w *pressed) {
	if !j.strength(w, "bearing on the wall", srcBearing) {
		return
	}
	side := w.left
	if w.right.equal < side.equal {
		side = w.right
	}
	ahead := min(w.ahead.equal, w.planes[0].equal, w.planes[1].equal)
	b := BoltBearing{
		Diameter: w.d, Hole: w.d0, Thickness: w.t, Ahead: w.d0/2 + ahead, Beside: w.d0/2 + side.equal,
		AheadHole: w.ahead.hole, BesideHole: side.hole, Slot: !w.hasForm,
	}
	j.add(w, "bearing on the wall", srcBearing, "N", w.force, b.Resistance(j.fu),
		mmOf("d", w.d), mmOf("d0", w.d0), mmOf("t", w.t), mmOf("e1", b.Ahead), mmOf("e2", b.Beside), mpaOf("fu", j.fu), JointInput{"γM2", factorRupture, ""})
	if !w.hasForm {
		return
	}
	if area, ok := standard.StressArea(w.form.Size); ok && w.form.Kind != plate.Reamed {
		j.not(w, "bolt in shear", srcBolt, "N", w.force,
			fmt.Sprintf("the document does not state the bolts' class; one of class 8.8 holds %.0f N in one section through its thread", 0.6*800*area/factorRupture),
			JointInput{"As", area, "mm²"})
	}
}

// pin checks the wall of a bore.
func (j *jointer) pin(w *pressed) {
	if !j.strength(w, "bearing on the wall", srcPin) {
		return
	}
	j.add(w, "bearing on the wall", srcPin, "N", w.force, pinBearing(w.t, w.d, j.fo),
		mmOf("d", w.d), mmOf("t", w.t), mpaOf("fo", j.fo), JointInput{"γM1", factorYield, ""})
	a, c := min(w.ahead.equal, w.planes[0].equal, w.planes[1].equal), min(w.left.equal, w.right.equal)
	in := []JointInput{mmOf("a", a), mmOf("c", c), mmOf("d0", w.d0), mmOf("t", w.t), mpaOf("fo", j.fo), {"γM1", factorYield, ""}}
	if f := PinEnd(a, c, w.d0, w.t, j.fo); f > 0 {
		j.add(w, "ring round the pin", srcPinEnd, "N", w.force, f, in...)
	} else {
		j.not(w, "ring round the pin", srcPinEnd, "N", w.force,
			"the ring is thinner than the rule reaches (two thirds of the bore ahead, a third beside); look at its stress by the solid check", in...)
	}
}

// tearing checks the metal beside and ahead of a hole.
func (j *jointer) tearing(w *pressed) {
	if !(j.fo > 0 && j.fu > 0) {
		return // told of the bearing
	}
	net := 2 * w.t * min(w.left.equal, w.right.equal)
	j.add(w, "net section beside the hole", srcNet, "N", w.force, netTension(net, j.fu),
		JointInput{"Anet", net, "mm²"}, mpaOf("fu", j.fu), JointInput{"γM2", factorRupture, ""})
	planes := w.t * (w.planes[0].equal + w.planes[1].equal)
	j.add(w, "shear-out to the edge", srcShearOut, "N", w.force, shearOut(planes, j.fo),
		JointInput{"Anv", planes, "mm²"}, mmOf("to the edge", w.ahead.length), mpaOf("fo", j.fo), JointInput{"γM1", factorYield, ""})
}

// axial checks what acts along a hole: its thread, and its head pulling through.
func (j *jointer) axial(w *pressed) {
	pull := math.Abs(w.axial)
	if !w.hasForm {
		if pull > max(leastForce, 0.02*w.force) {
			j.not(w, "force along the axis", srcNone, "N", pull, "what takes it (a shoulder, a retaining ring, clamping) is not in the document's loads")
		}
		return
	}
	if w.form.Kind == plate.Tapped {
		j.thread(w, pull)
		return
	}
	q := w.load
	if q.Preload > 0 && q.Annulus > w.d0 && j.fu > 0 {
		j.add(w, "head pulls through", srcPunch, "N", q.Preload+pull, Punching(q.Annulus, w.thickness, j.fu),
			mmOf("dm", q.Annulus), mmOf("tp", w.thickness), mpaOf("fu", j.fu), JointInput{"γM2", factorRupture, ""}, JointInput{"preload", q.Preload, "N"}, JointInput{"pull", pull, "N"})
	} else if pull > leastForce {
		j.not(w, "head pulls through", srcPunch, "N", pull, "no clamp load of the case on it states what its head presses with, or the alloy's strength is not known")
	}
}

// thread checks the thread of a tapped hole. A screw that only stands in it, with no preload stated, is not assessed.
func (j *jointer) thread(w *pressed, pull float64) {
	const check = "thread strips"
	d, ok := standard.NominalDiameter(w.form.Size)
	usable, pitch := w.cut.ThreadDepth, w.cut.Pitch
	in := []JointInput{mmOf("d", d), mmOf("P", pitch), mmOf("usable thread", usable), mpaOf("fu", j.fu), {"γM2", factorRupture, ""}}
	demand := w.load.Preload + pull
	switch {
	case !ok || !(pitch > 0) || !(j.fu > 0):
		j.not(w, check, srcThread, "N", demand, "the thread's sizes or the alloy's strength are not known")
	case w.load.Preload == 0 && pull <= leastForce:
		j.not(w, check, srcThread, "N", 0, fmt.Sprintf("no clamp load of the case states the screw's preload; the thread strips at %.0f N", threadStrips(d, pitch, usable, j.fu)), in...)
	default:
		in = append(in, JointInput{"preload", w.load.Preload, "N"}, JointInput{"pull", pull, "N"})
		j.add(w, check, srcThread, "N", demand, threadStrips(d, pitch, usable, j.fu), in...)
	}
}

// turning says that moments on one wall are left to other means: those across its axis that move the resultant out of the
// metal, and those about it that are more than a pin's friction (a tenth of its diameter times the force).
func (j *jointer) turning(w *pressed) {
	m := w.load.Moment
	force := max(leastForce, w.force+math.Abs(w.axial))
	tilt := math.Hypot(m[0], m[1])
	if tilt <= force*w.thickness/2 && math.Abs(m[2]) <= 0.1*force*w.d0 {
		return
	}
	size := math.Hypot(tilt, m[2])
	j.not(w, "moment on the wall", srcNone, "N·mm", size, "how a moment enters one wall (key, press, edge pressure of a tilted pin) is not in the document")
}

// boss checks the press of a bearing in the seats of a bore.
func (j *jointer) boss(w *pressed) {
	m := j.l.Plate.Stock.Material
	for i := range j.l.Plate.Bores {
		b := &j.l.Plate.Bores[i]
		if b.ID != w.load.Feature {
			continue
		}
		for k := range b.Seats {
			s := &b.Seats[k]
			v, err := standard.Bearing(s.Bearing)
			if s.Bearing == "" || err != nil || s.Diameter <= b.Diameter {
				continue
			}
			check := fmt.Sprintf("hoop stress of the boss, seat %d", k+1)
			if s.Fit == "" {
				j.not(w, check, srcHoop, "MPa", 0, "the seat has no class of fit")
				continue
			}
			round := &seat{Seat: s, bore: b, at: w.centre}
			outer := 2 * (&run{l: j.l}).metalRound(round)
			if !(m.Proof > 0) || outer <= s.Diameter+touching {
				j.not(w, check, srcHoop, "MPa", 0, "there is no whole ring of metal round the seat, or the alloy's proof stress is not known")
				continue
			}
			tight, stress, err := v.Pressed(s.Fit, outer, m.Young, m.Poisson)
			if err != nil {
				j.not(w, check, srcHoop, "MPa", 0, finding.Words(err))
				continue
			}
			j.add(w, check, srcHoop, "MPa", stress.Hoop, m.Proof,
				mmOf("seat", s.Diameter), mmOf("ring", outer), mmOf("greatest interference", tight), mpaOf("fo", m.Proof))
		}
	}
}

// slip checks a clamped joint. Only fasteners clamp.
func (j *jointer) slip(w *pressed) {
	const check = "clamped joint slips"
	if !w.hasForm && w.cut.Kind != layout.CutSlot || w.form.Kind == plate.Reamed || w.force <= leastForce {
		return
	}
	q := w.load
	tension := math.Abs(w.axial)
	in := []JointInput{{"preload", q.Preload, "N"}, {"pull", tension, "N"}, {"μ", q.Friction, ""}, {"faces", 1, ""}}
	switch {
	case q.Preload == 0:
		j.not(w, check, srcSlip, "N", w.force, "no clamp load of the case states the preload of its bolt")
	case q.Friction == 0:
		need := w.force / Slip(q.Preload, tension, 1, 1, j.ultimate)
		j.not(w, check, srcSlip, "N", w.force, fmt.Sprintf("the clamp load states no friction; %.2g would hold", need), in[0], in[1])
	default:
		j.add(w, check, srcSlip, "N", w.force, Slip(q.Preload, tension, q.Friction, 1, j.ultimate), in...)
	}
}
