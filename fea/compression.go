package fea

import (
	"math"

	"platewright/fea/shell"
	"platewright/plate/geom"
)

// Disc is a round part of the plate at one height, mm.
type Disc struct {
	Centre geom.Point
	Radius float64
	Z      float64
}

// Compressions are the greatest compressive principal stresses in discs, MPa, at their heights: 0 where nothing
// presses. Each element with its middle in a disc counts with the mean of its nodes whose stress is a result.
func (c *CaseResult) Compressions(discs []Disc) []float64 {
	out := make([]float64, len(discs))
	if len(discs) == 0 {
		return out
	}
	m := c.model
	for e := range m.Mesh.Triangles {
		x := m.Shell.Triangle(e)
		middle := x.At(1./3, 1./3)
		for i, d := range discs {
			if middle.Dist(d.Centre) > d.Radius {
				continue
			}
			s, ok := c.meanStress(e, d.Z)
			if !ok {
				continue
			}
			_, least, _ := s.Principal()
			out[i] = math.Max(out[i], -least)
		}
	}
	return out
}

// meanStress is the mean over the nodes of an element whose stress is a result.
func (c *CaseResult) meanStress(e int, z float64) (s shell.Stress, ok bool) {
	n := 0.0
	for i, node := range c.model.Mesh.Triangles[e].Node {
		if c.Excluded[node] != 0 {
			continue
		}
		v := c.Stress(e, i, z)
		s.XX, s.YY, s.XY = s.XX+v.XX, s.YY+v.YY, s.XY+v.XY
		n++
	}
	if n == 0 {
		return s, false
	}
	s.XX, s.YY, s.XY = s.XX/n, s.YY/n, s.XY/n
	return s, true
}
