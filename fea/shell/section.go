package shell

import (
	"fmt"
	"math"
)

// Material is what the elements need of the metal, alike in all directions.
type Material struct {
	E       float64 // MPa, above 0
	Nu      float64 // Poisson's ratio, in (−1, 0.5)
	Density float64 // kg/m³; needed for mass matrices and body forces only
}

// Check says what is wrong with the values, if anything.
func (m Material) Check() error {
	switch {
	case !(m.E > 0) || math.IsInf(m.E, 0):
		return fmt.Errorf("shell: the elastic modulus is %v MPa; give a number above zero", m.E)
	case !(m.Nu > -1 && m.Nu < 0.5):
		return fmt.Errorf("shell: Poisson's ratio is %v; give a number above -1 and below 0.5", m.Nu)
	case !(m.Density >= 0) || math.IsInf(m.Density, 0):
		return fmt.Errorf("shell: the density is %v kg/m³; give a number of at least zero", m.Density)
	}
	return nil
}

// G is the shear modulus, MPa.
func (m Material) G() float64 { return m.E / 2 / (1 + m.Nu) }

// ShearFactor is the share of the metal that carries transverse shear, 5/6 for a
// solid section (E. Reissner, J. Appl. Mech. 12 (1945) A69).
const ShearFactor = 5. / 6

// Interval is metal from height Z0 to Z1, mm.
type Interval struct{ Z0, Z1 float64 }

// Section is the metal at a place: its integrals over the height from ZRef,
// without the modulus.
type Section struct {
	Metal   []Interval // lowest first
	T       float64    // ∫dz, mm
	S       float64    // ∫(z−ZRef)dz, mm²
	I       float64    // ∫(z−ZRef)²dz, mm³
	Z0, Z1  float64    // the lowest and the highest metal, mm
	ZMiddle float64    // the middle of the thickest interval, mm
}

// NewSection integrates over the intervals, which must be in order and apart.
func NewSection(metal []Interval, zRef float64) (Section, error) {
	if len(metal) == 0 {
		return Section{}, fmt.Errorf("shell: a section without metal")
	}
	s := Section{Metal: metal, Z0: metal[0].Z0, Z1: metal[len(metal)-1].Z1}
	below, thickest := math.Inf(-1), 0.0
	for _, m := range metal {
		if !(m.Z1 > m.Z0) || m.Z0 < below || math.IsInf(m.Z0, 0) || math.IsInf(m.Z1, 0) {
			return Section{}, fmt.Errorf("shell: metal from %v to %v mm above metal up to %v mm; give intervals from low to high", m.Z0, m.Z1, below)
		}
		below = m.Z1
		a, b := m.Z0-zRef, m.Z1-zRef
		h := b - a
		s.T += h
		s.S += h * (a + b) / 2
		s.I += h * (a*a + a*b + b*b) / 3
		if h > thickest {
			thickest, s.ZMiddle = h, (m.Z0+m.Z1)/2
		}
	}
	return s, nil
}

// Surface is one of the three heights at which stresses are given.
type Surface int8

// The surfaces of the metal at a place: its lowest and highest face, and the
// middle of its thickest interval.
const (
	Bottom Surface = iota
	Middle
	Top
)

// String names the surface.
func (s Surface) String() string { return [...]string{"bottom", "middle", "top"}[s] }

// Height of a surface, mm. In-plane stress varies straight with the height, so
// that its von Mises value is greatest at the lowest or highest face, whatever
// lies between.
func (s *Section) Height(f Surface) float64 {
	switch f {
	case Bottom:
		return s.Z0
	case Top:
		return s.Z1
	default:
		return s.ZMiddle
	}
}
