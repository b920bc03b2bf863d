package desktop

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/kinematics"
)

// featureValue is the one figure of a feature that a list shows.
func featureValue(doc plate.Plate, f plate.FeatureRef, mm quantity) string {
	switch f.Stage {
	case plate.StageBores, plate.StageHoles:
		return roundValue(doc, f, mm)
	case plate.StageRibs, plate.StagePockets:
		return fieldValue(doc, f, mm)
	case plate.StageLoads:
		return loadValue(doc, f)
	}
	switch f.Kind {
	case plate.KindCutLine:
		return "cut line"
	case plate.KindTarget:
		t := targetOf(&doc, f.ID)
		return senseWord(t.Sense) + " " + quantityOf(t.Quantity.Unit(), false).formatUnit(t.Value)
	case plate.KindHolding:
		if h := holdingOf(&doc, f.ID); h.SetUp > 0 {
			return "set-up " + strconv.Itoa(h.SetUp)
		}
		return "every set-up"
	case plate.KindChange:
		for _, c := range doc.Machining.Changes {
			if c.ID == f.ID {
				return changeValue(doc, c)
			}
		}
	}
	return ""
}

func changeValue(doc plate.Plate, c plate.OperationChange) string {
	on := "outline and faces"
	if f, ok := doc.Find(c.Feature); ok && c.Feature != 0 {
		on = f.Name
	}
	if c.Leave {
		return on + ", left out"
	}
	return on
}

func roundValue(doc plate.Plate, f plate.FeatureRef, mm quantity) string {
	switch f.Kind {
	case plate.KindBore:
		b := boreOf(&doc, f.ID)
		return strings.TrimSpace("⌀ " + mm.formatUnit(b.Diameter) + " " + b.Fit)
	case plate.KindHole:
		return holeValue(holeOf(&doc, f.ID).HoleForm, mm)
	case plate.KindCircle:
		c := circleOf(&doc, f.ID)
		return strconv.Itoa(c.Count) + " × " + holeValue(c.HoleForm, mm)
	case plate.KindRing:
		r := ringOf(&doc, f.ID)
		return fmt.Sprintf("%d on %d", r.MateCount, r.Count)
	case plate.KindEccentric:
		return "travel " + mm.formatUnit(2*eccentricOf(&doc, f.ID).E)
	case plate.KindSlot:
		s := slotOf(&doc, f.ID)
		return mm.format(s.Length+s.Width) + " × " + mm.formatUnit(s.Width)
	case plate.KindSetting:
		if doc.Setting == f.ID {
			return "drawn"
		}
		return plural(len(settingOf(&doc, f.ID).Values), "adjuster")
	}
	return ""
}

func holeValue(h plate.HoleForm, mm quantity) string {
	if h.Kind == plate.Reamed {
		return "⌀ " + mm.format(h.Diameter) + " " + h.Fit
	}
	return h.Size + " " + string(h.Kind)
}

func fieldValue(doc plate.Plate, f plate.FeatureRef, mm quantity) string {
	switch f.Kind {
	case plate.KindRib:
		r := ribOf(&doc, f.ID)
		if r.Arc {
			return "arc, " + mm.formatUnit(r.Width)
		}
		return mm.formatUnit(r.Width)
	case plate.KindGrid:
		g := gridOf(&doc, f.ID)
		switch g.Kind {
		case plate.Spokes:
			return "spokes"
		case plate.Isogrid:
			return "side " + mm.formatUnit(g.Pitch)
		}
		return "pitch " + mm.formatUnit(g.Pitch)
	case plate.KindPocket:
		return pocketValue(*pocketOf(&doc, f.ID), mm)
	case plate.KindKeepOut:
		return "full height"
	case plate.KindInlay:
		i := inlayOf(&doc, f.ID)
		if i.All {
			return "all cells"
		}
		return plural(len(i.Cells), "cell")
	}
	return ""
}

func pocketValue(k plate.Pocket, mm quantity) string {
	switch k.Side {
	case plate.Through:
		return "through"
	case plate.Both:
		return mm.format(k.Depth) + " + " + mm.formatUnit(k.DepthBack)
	}
	return string(k.Side) + " " + mm.formatUnit(k.Depth)
}

func loadValue(doc plate.Plate, f plate.FeatureRef) string {
	switch f.Kind {
	case plate.KindSupport:
		return string(supportOf(&doc, f.ID).Kind)
	case plate.KindLoad:
		l := loadOf(&doc, f.ID)
		switch l.Kind {
		case plate.Moment:
			return "moment"
		case plate.ClampForce:
			return force().formatUnit(l.Clamp)
		case plate.Temperature:
			return difference().formatUnit(l.Temperature)
		case plate.Acceleration:
			return only("", "g").formatUnit(size3(l.Force))
		}
		return grouped(size3(l.Force), 1) + " N"
	case plate.KindCase:
		c := caseOf(&doc, f.ID)
		return string(c.Kind) + ", " + plural(len(c.Loads), "load")
	}
	return ""
}

func size3(v [3]float64) float64 { return math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2]) }

// adjusterFacts say what a selected adjuster does: where bolts fit, how many, and how far the centre travels.
func (w *Window) adjusterFacts(doc plate.Plate) []fact {
	mm := lengthIn(w.inch)
	if e := eccentricOf(&doc, w.sel.id); e != nil {
		at, ok := (grip{kind: gripTurn, id: e.ID}).place(doc)
		if !ok {
			return nil
		}
		return []fact{
			{"Half a turn moves its centre " + mm.formatUnit(2*e.E), toneInk},
			{"Its centre stands at " + mm.format(tenth(at.X*100)/100) + ", " + mm.formatUnit(tenth(at.Y*100)/100), toneInk},
		}
	}
	r := ringOf(&doc, w.sel.id)
	if r == nil {
		return nil
	}
	own, mate := kinematics.RingsOf(*r)
	const within = 0.01 // degrees, as the drawing shows them
	ps, err := kinematics.Clock(own, mate, within)
	if err != nil {
		return []fact{{upperFirst(finding.Words(err)), toneLook}}
	}
	most, at := 0, r.PositionDeg
	if v := setValue(&doc, r.ID); v != nil {
		at = v.AngleDeg
	}
	for _, p := range ps {
		most = max(most, p.Bolts)
	}
	out := []fact{{fmt.Sprintf("Bolts fit at %s, at most %d", plural(len(ps), "angle"), most), toneInk}}
	now, err := kinematics.At(own, mate, at, within)
	if err != nil {
		return append(out, fact{upperFirst(finding.Words(err)), toneLook})
	}
	t := toneInk
	if now.Bolts < r.LeastBolts {
		t = toneLook
	}
	return append(out, fact{fmt.Sprintf("At %s %s", angle().formatUnit(at), bolts(now.Bolts)), t})
}

func bolts(n int) string {
	switch n {
	case 0:
		return "no bolt fits"
	case 1:
		return "1 bolt fits"
	}
	return strconv.Itoa(n) + " bolts fit"
}

// ribFacts say what is known about one rib of a field.
func (w *Window) ribFacts() []fact {
	l := w.job.Layout()
	if !l.OK {
		return nil
	}
	t := toneInk
	if l.Stale {
		t = toneFaint
	}
	for _, i := range w.sel.strips(l.Value) {
		s := &l.Value.Strips[i]
		return []fact{{"Length " + lengthIn(w.inch).formatUnit(tenth(s.Edge().Length())), t}, {upperFirst(s.Anchor.String()), toneQuiet}}
	}
	return []fact{{"There is no rib at this place now; the choice is kept", toneLook}}
}
