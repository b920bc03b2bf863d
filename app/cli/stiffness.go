package cli

import (
	"strconv"
	"strings"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/geom"
)

// stiffness are the options of "stress" for what is computed on request.
type stiffness struct {
	Between     []string `sep:"none" placeholder:"A:B" help:"Also the stiffness between two bores, holes or slots by name, along, across and out of their line, and as 6×6. May be repeated."`
	At          []string `sep:"none" placeholder:"NAME" help:"Also the 6×6 stiffness at a bore, hole or slot, on the supports of --case, else on all. May be repeated."`
	Frequencies int      `placeholder:"N" help:"Also the N lowest natural frequencies, held by the supports of --case, else by all, and free."`
	Band        bool     `help:"Also the stiffness along the loads of each case with its bores and holes taken as hinged and as fixed: between them lies a real joint."`
	Energy      bool     `help:"Also the strain energy of each case by rib (of a field one by one), floor and other owners of metal."`
}

// asked says that any of them is given.
func (s *stiffness) asked() bool {
	return len(s.Between) > 0 || len(s.At) > 0 || s.Frequencies != 0 || s.Energy
}

// most bounds what one call may ask for.
const mostAsked, mostModes = 20, 20

// more reads the options for a document. The condition of the equations is always asked for.
func (s stiffness) more(p plate.Plate, caseName string) (*report.More, error) {
	if s.Frequencies < 0 || s.Frequencies > mostModes {
		return nil, usage("--frequencies %d: give 1 to %d", s.Frequencies, mostModes)
	}
	if len(s.Between)+len(s.At) > mostAsked {
		return nil, usage("--between and --at ask for %d stiffnesses; at most %d are computed at a time", len(s.Between)+len(s.At), mostAsked)
	}
	out := &report.More{Modes: s.Frequencies, Energy: s.Energy, Band: s.Band, Condition: true}
	for _, c := range p.Cases {
		if c.Name == caseName {
			out.Case = c.ID
		}
	}
	for _, name := range s.At {
		f, err := featureNamed(p, name)
		if err != nil {
			return nil, usage("--at %s: %v", name, err)
		}
		out.At = append(out.At, f.ID)
	}
	for _, text := range s.Between {
		a, b, err := pairNamed(p, text)
		if err != nil {
			return nil, usage("--between %s: %v", text, err)
		}
		if a.ID == b.ID {
			return nil, usage("--between %s: both are one feature; give two", text)
		}
		out.Between = append(out.Between, [2]plate.ID{a.ID, b.ID})
	}
	return out, nil
}

// unknown is the error for a name that no feature, or more than one, has.
type unknown struct{ text string }

func (e *unknown) Error() string { return e.text }

// walled are the kinds of feature that have a wall to hold or to load.
func walled(k plate.Kind) bool {
	switch k {
	case plate.KindBore, plate.KindHole, plate.KindCircle, plate.KindRing, plate.KindSlot:
		return true
	}
	return false
}

// featureNamed finds a bore, hole, circle, ring or slot by its name.
func featureNamed(p plate.Plate, name string) (plate.FeatureRef, error) {
	var found, all []plate.FeatureRef
	for _, f := range p.Features() {
		if !walled(f.Kind) {
			continue
		}
		all = append(all, f)
		if f.Name == name {
			found = append(found, f)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return plate.FeatureRef{}, &unknown{strconv.Itoa(len(found)) + " features have that name; give each a name of its own"}
	case len(all) == 0:
		return plate.FeatureRef{}, &unknown{"the document has no bore, hole or slot"}
	}
	names := make([]string, len(all))
	for i, f := range all {
		names[i] = strconv.Quote(f.Name)
	}
	return plate.FeatureRef{}, &unknown{"no bore, hole or slot has that name; the document has " + strings.Join(names, ", ")}
}

// pairNamed finds two features by their names with a colon between, which may also stand in a name.
func pairNamed(p plate.Plate, text string) (a, b plate.FeatureRef, err error) {
	err = &unknown{"give two names with a colon between, as Pivot:Axle"}
	for i := range len(text) {
		if text[i] != ':' {
			continue
		}
		if a, err = featureNamed(p, text[:i]); err != nil {
			continue
		}
		if b, err = featureNamed(p, text[i+1:]); err == nil {
			return a, b, nil
		}
	}
	return a, b, err
}

// sweepOf reads the way of a sweep: two features by name, or two places as x1,y1:x2,y2.
func sweepOf(p plate.Plate, text string, stations int) (*report.SweepWant, error) {
	if stations < 2 || stations > 500 {
		return nil, usage("--stations %d: give 2 to 500", stations)
	}
	w := &report.SweepWant{Stations: stations}
	if from, to, ok := strings.Cut(text, ":"); ok {
		x1, y1, err1 := point(from)
		x2, y2, err2 := point(to)
		if err1 == nil && err2 == nil {
			w.From, w.To, w.FromName, w.ToName = geom.Pt(x1, y1), geom.Pt(x2, y2), from, to
			return w, nil
		}
	}
	a, b, err := pairNamed(p, text)
	if err != nil {
		return nil, usage("--sweep %s: %v; or give two places as x1,y1:x2,y2", text, err)
	}
	for _, f := range [2]plate.FeatureRef{a, b} {
		if !f.HasWhere {
			return nil, usage("--sweep %s: %s has no place of its own; name the bore that it is about, or give two places as x1,y1:x2,y2", text, f)
		}
	}
	w.From, w.To = geom.Pt(a.Where[0], a.Where[1]), geom.Pt(b.Where[0], b.Where[1])
	w.FromName, w.ToName = a.String(), b.String()
	return w, nil
}
