package plate

import (
	"fmt"

	"platewright/plate/finding"
)

// sort is what a place is on.
func (p Place) sort() string {
	switch {
	case p.Feature != 0:
		return "a feature"
	case p.OnEdge:
		return "the outline"
	}
	return "an area"
}

// on checks the place of a support or load, which its kind may want to be of one sort.
func (v *validator) on(f FeatureRef, p Place, want string) {
	if want != "" && p.sort() != want {
		v.report(f, "place", fmt.Sprintf("%s acts on %s", f, p.sort()), "its kind acts on "+want, "choose "+want)
		return
	}
	switch {
	case p.Feature != 0: // checked as a reference
	case p.OnEdge:
		if p.X1 == p.X2 && p.Y1 == p.Y2 {
			v.report(f, "edge-short", fmt.Sprintf("both ends of the edge of %s are at one place", f), "a piece of the outline has a length", "move one end")
		}
	default:
		v.word(f, "the side", string(p.Side), oneSide)
		v.path(f, "the area", p.Bounds)
	}
}

func (v *validator) supports() {
	for _, s := range v.p.Supports {
		f := s.ref()
		if !v.word(f, "the kind", string(s.Kind), supportKinds) {
			continue
		}
		switch s.Kind {
		case Free:
			continue
		case Hinged:
			v.on(f, s.On, "a feature")
		case Symmetry:
			v.on(f, s.On, "the outline")
		default:
			v.on(f, s.On, "")
		}
		if s.Kind == Spring && s.Stiffness == [6]float64{} {
			v.report(f, "spring-free", fmt.Sprintf("all stiffnesses of %s are 0", f), "it would hold nothing", "give one, or delete it")
		}
	}
}

// places that kinds of load want; absent for any.
var loadPlaces = map[LoadKind]string{BoreForce: "a feature", ClampForce: "a feature", LineForce: "the outline", AreaForce: "an area"}

func (v *validator) loads() {
	for _, l := range v.p.Loads {
		f := l.ref()
		if !v.word(f, "the kind", string(l.Kind), loadKinds) {
			continue
		}
		if l.Kind.placed() {
			v.on(f, l.On, loadPlaces[l.Kind])
		}
		none := [3]float64{}
		var zero bool
		switch l.Kind {
		case Moment:
			zero = l.Moment == none
		case RemoteForce:
			zero = l.Force == none && l.Moment == none
		case ClampForce: // its preload is above zero
		case Temperature:
			zero = l.Temperature == 0
		default:
			zero = l.Force == none
		}
		if zero {
			v.report(f, "load-zero", fmt.Sprintf("%s is zero", f), "it would do nothing", "give it a size, or delete it")
		}
	}
}

func (v *validator) cases() {
	kinds := make(map[ID]SupportKind, len(v.p.Supports))
	for _, s := range v.p.Supports {
		kinds[s.ID] = s.Kind
	}
	warm := make(map[ID]float64)
	for _, l := range v.p.Loads {
		if l.Kind == Temperature {
			warm[l.ID] = l.Temperature
		}
	}
	for _, c := range v.p.Cases {
		f := c.ref()
		v.warmth(f, c, warm)
		v.word(f, "the kind", string(c.Kind), caseKinds)
		v.caseLoads(f, c)
		v.doubled(f, f.String(), "support", c.Supports)
		held := c.Supports
		if len(held) == 0 {
			for _, s := range v.p.Supports {
				held = append(held, s.ID)
			}
		}
		free := false
		for _, id := range held {
			free = free || kinds[id] == Free
		}
		switch {
		case len(held) == 0:
			v.report(f, "case-unsupported", fmt.Sprintf("%s has no support", f), "a plate that nothing holds flies away",
				"add a support, or a free one for a plate in flight")
		case free && len(held) > 1:
			v.report(f, "case-free", fmt.Sprintf("%s has a free support beside others", f), "a plate is held or it is not", "name the supports of the case")
		}
		v.origin(f, c.Origin)
	}
}

// warmth keeps the change of temperature that a case adds up to in the range of a single one. The case's own factor is one of
// safety, and warms nothing.
func (v *validator) warmth(f FeatureRef, c LoadCase, warm map[ID]float64) {
	sum := 0.0
	for _, l := range c.Loads {
		sum += l.Factor * warm[l.Load]
	}
	if !temperature.holds(sum) && finite(sum) {
		v.report(f, "case-temperature", fmt.Sprintf("the temperatures of %s add up to %g K with their factors; from %g to %g K is possible", f, sum, temperature.min, temperature.max),
			temperature.why, "correct the temperatures or their factors")
	}
}

func (v *validator) caseLoads(f FeatureRef, c LoadCase) {
	if len(c.Loads) == 0 {
		v.report(f, "case-empty", fmt.Sprintf("%s has no loads", f), "a case is a combination of loads", "choose one or more")
	}
	ids := make([]ID, len(c.Loads))
	for i, l := range c.Loads {
		ids[i] = l.Load
		if l.Factor == 0 {
			v.report(f, "load-factor", fmt.Sprintf("the factor of load %d of %s is 0", i+1, f), "it would do nothing", "give it a factor, or take it out")
		}
	}
	v.repeated(f, "load", ids)
}

func (v *validator) origin(f FeatureRef, o Origin) {
	if !v.word(f, "the origin", string(o.Kind), originKinds) {
		return
	}
	switch {
	case o.Kind == Standard && o.Text == "":
		v.report(f, "origin-text", fmt.Sprintf("the origin of %s is a standard, but none is named", f), "figures are traced to their clause", "name standard and clause")
	case o.Kind == Worked && v.word(f, "the event", string(o.Event), events):
		if err := o.complete(); err != nil {
			v.report(f, "origin-figures", fmt.Sprintf("the worked sum of %s: %s", f, finding.Words(err)), "a sum needs all its figures", "give it")
		}
	}
}
