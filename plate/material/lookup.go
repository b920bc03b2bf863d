package material

import "fmt"

// referenceThickness is the plate that Alloys gives strengths for, in mm.
const referenceThickness = 15

// Alloys returns every alloy and temper held, with the strengths of a 15 mm plate; the first is the usual choice. Lookup
// gives the strengths of another thickness.
func Alloys() []Material {
	ms := make([]Material, 0, len(alloys))
	for _, a := range alloys {
		if m, ok := a.at(referenceThickness); ok {
			ms = append(ms, m)
		}
	}
	return ms
}

// Lookup returns the alloy and temper with the minimum strengths of EN 485-2 for a plate of the given nominal thickness in
// mm. It is an error when the alloy is not held or the standard gives no value for that thickness.
func Lookup(alloy, temper string, thickness float64) (Material, error) {
	for _, a := range alloys {
		if a.alloy != alloy || a.temper != temper {
			continue
		}
		if m, ok := a.at(thickness); ok {
			return m, nil
		}
		lo, hi := a.rows[0].over, a.rows[len(a.rows)-1].incl
		return Material{}, fmt.Errorf("material: %s %s has no strength values at %g mm; they are held from %g to %g mm",
			alloy, temper, thickness, lo, hi)
	}
	return Material{}, fmt.Errorf("material: %q %q is not held; choose one of %s", alloy, temper, names())
}

func (a alloy) at(t float64) (Material, bool) {
	for i, r := range a.rows {
		if (t > r.over || i == 0 && t == r.over) && t <= r.incl {
			return Material{
				Alloy: a.alloy, Temper: a.temper, Density: a.density, Young: a.young, Poisson: a.poisson,
				Proof: r.proof, Ultimate: r.ultimate, Group: a.group, Source: a.source,
			}, true
		}
	}
	return Material{}, false
}

func names() string {
	s := ""
	for i, a := range alloys {
		if i > 0 {
			s += ", "
		}
		s += a.alloy + " " + a.temper
	}
	return s
}
