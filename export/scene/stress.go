package scene

import (
	"fmt"
	"math"
	"strconv"

	"platewright/fea"
	"platewright/fea/shell"
	"platewright/plate/geom"
)

// middles gives, in the order of FieldTriangle, which of an element's middles lies between its corners 0–1, 1–2 and 2–0: the
// mesh counts them by the corner opposite.
var middles = [3]int{5, 3, 4}

// StressField is the von Mises stress of a load case on one surface. Its scale ends at the greatest stress that counts:
// beyond it lies what is left out near idealised supports, loads and sharp corners.
func StressField(r *fea.Result, index int, s shell.Surface) *Field {
	if r == nil || index < 0 || index >= len(r.Cases) {
		return nil
	}
	c := &r.Cases[index]
	f := fieldOf(r.Model, func(e, i int) float64 { return c.VonMises[e][i][s] })
	f.Title, f.Unit = fmt.Sprintf("von Mises stress, %s surface, %s", s, c.Case.Name), "MPa"
	f.High = c.MaxVonMises
	f.Digits = digitsFor(f.High)
	if s == c.Surface {
		f.Spots = []Spot{{geom.Pt(c.MaxVonMisesAt[0], c.MaxVonMisesAt[1]), fmt.Sprintf("%.*f MPa", f.Digits, c.MaxVonMises)}}
	}
	for _, l := range c.LeftOut {
		if l.Surface == s && l.MPa > c.MaxVonMises {
			f.ShapeNote = "the last colour also where stress is left out of the figures, near supports, loads and sharp corners"
			break
		}
	}
	return f
}

// DeflectionField is how far each place of the plate moves in a load case, with the outline as it is deflected in the plane,
// drawn larger.
func DeflectionField(r *fea.Result, index int) *Field {
	if r == nil || index < 0 || index >= len(r.Cases) {
		return nil
	}
	c := &r.Cases[index]
	z := r.Model.Layout.Thickness / 2
	size := func(n int32) float64 {
		d := c.Displacement(n, z)
		return math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
	}
	f := fieldOf(r.Model, func(e, i int) float64 { return size(r.Model.Mesh.Triangles[e].Node[i]) })
	f.Title, f.Unit = "deflection, "+c.Case.Name, "mm"
	f.High = c.MaxDeflection
	f.Digits = digitsFor(f.High)
	f.Spots = []Spot{{geom.Pt(c.MaxDeflectionAt[0], c.MaxDeflectionAt[1]), fmt.Sprintf("%.*f mm", f.Digits, c.MaxDeflection)}}
	if k := exaggeration(r.Model, c); k > 0 {
		for _, s := range r.Model.Mesh.Sides {
			f.Shape = append(f.Shape, []geom.Point{moved(r.Model, c, s.Node[0], z, k), moved(r.Model, c, s.Node[2], z, k), moved(r.Model, c, s.Node[1], z, k)})
		}
		f.ShapeNote = "dashed: edges moved in the plane, " + strconv.FormatFloat(k, 'f', -1, 64) + " times as far"
	}
	return f
}

func moved(m *fea.Model, c *fea.CaseResult, node int32, z, k float64) geom.Point {
	p, d := m.Mesh.Nodes[node], c.Displacement(node, z)
	return geom.Pt(p.X+k*d[0], p.Y+k*d[1])
}

// exaggeration is by how much in-plane motion is drawn larger, to two figures: the greatest becomes at most a twentieth of the
// plate's diagonal. Zero where the plate hardly moves in its plane beside how far it bends out of it.
func exaggeration(m *fea.Model, c *fea.CaseResult) float64 {
	most := 0.0
	for n := range m.Mesh.Nodes {
		d := c.Displacement(int32(n), m.Layout.Thickness/2)
		most = max(most, math.Hypot(d[0], d[1]))
	}
	box := m.Layout.Outline.Box()
	if most < 0.05*c.MaxDeflection || !(most > 0) {
		return 0
	}
	return twoFigures(box.Max.Dist(box.Min) / 20 / most)
}

// twoFigures is the greatest number of two figures that is no greater than v, for v above 0.
func twoFigures(v float64) float64 {
	const slack = 1e-9 // a number of two figures stays, whatever its logarithm rounds to
	e := int(math.Floor(math.Log10(v)+slack)) - 1
	if e < 0 { // a power of ten below one has no exact value; its inverse has
		inverse := math.Pow10(-e)
		return math.Floor(v*inverse*(1+slack)) / inverse
	}
	return math.Floor(v/math.Pow10(e)*(1+slack)) * math.Pow10(e)
}

func fieldOf(m *fea.Model, value func(element, node int) float64) *Field {
	f := &Field{Triangles: make([]FieldTriangle, len(m.Mesh.Triangles))}
	for e := range m.Mesh.Triangles {
		t := &m.Mesh.Triangles[e]
		for i := range 6 {
			k := i
			if i > 2 {
				k = middles[i-3]
			}
			f.Triangles[e].P[i] = m.Mesh.Nodes[t.Node[k]]
			f.Triangles[e].V[i] = value(e, k)
		}
	}
	return f
}

// digitsFor is the number of decimals that shows a greatest value to three figures.
func digitsFor(v float64) int {
	if !(v > 0) || math.IsInf(v, 1) {
		return 0
	}
	return min(max(2-int(math.Floor(math.Log10(v))), 0), 6)
}
