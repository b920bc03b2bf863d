package shell

import "math"

// Strain is the state of a place, from which stress at any height follows:
// stretch of the plane of reference (xx, yy, 2xy), change of it per mm of height
// (xx, yy, 2xy; 1/mm), transverse shear (xz, yz).
type Strain [8]float64

// strainAt evaluates the strain in an element at a place of the reference
// triangle, from its 30 unknowns.
func strainAt(x *Triangle, h *shape, ue *[ElementUnknowns]float64) (Strain, float64) {
	var dx, dy [6]float64
	j := x.jacobian(h)
	j.slopes(h, &dx, &dy)
	var e Strain
	for i := range 6 {
		v := ue[5*i:][:5]
		e[0] += dx[i] * v[0]
		e[1] += dy[i] * v[1]
		e[2] += dy[i]*v[0] + dx[i]*v[1]
		e[3] += dx[i] * v[3]
		e[4] += dy[i] * v[4]
		e[5] += dy[i]*v[3] + dx[i]*v[4]
		e[6] += dx[i]*v[2] + h.n[i]*v[3]
		e[7] += dy[i]*v[2] + h.n[i]*v[4]
	}
	return e, j.det
}

// samples are the strains at the three points of the integration rule, where
// derivatives are most accurate and the shear is what the element stores as
// energy. free is growth that makes no stress; it is taken off.
func (m *Model) samples(e int, u []float64, free float64) (x Triangle, out [3]Strain) {
	var ue [ElementUnknowns]float64
	m.gather(e, u, &ue)
	x = m.Triangle(e)
	var tied tiedShear
	if m.Forms[e] == Assumed {
		tied = tie(&x)
	}
	for k := range rule3 {
		out[k], _ = strainAt(&x, &shapes3[k], &ue)
		out[k][0] -= free
		out[k][1] -= free
		if m.Forms[e] == Assumed {
			var b shearRows
			tied.at(&x, rule3[k], &shapes3[k], &b)
			gx, gy := 0.0, 0.0
			for n := range 18 {
				v := ue[5*(n/3)+2+n%3]
				gx += b.x[n] * v
				gy += b.y[n] * v
			}
			out[k][6], out[k][7] = gx, gy
		}
	}
	return x, out
}

// energy is the strain energy per area of a strain, twice: ε·C·ε.
func (s *Section) energy(m Material, e *Strain) float64 {
	shear := (1 - m.Nu) / 2
	pp := e[0]*e[0] + e[1]*e[1] + 2*m.Nu*e[0]*e[1] + shear*e[2]*e[2]
	pk := e[0]*e[3] + e[1]*e[4] + m.Nu*(e[0]*e[4]+e[1]*e[3]) + shear*e[2]*e[5]
	kk := e[3]*e[3] + e[4]*e[4] + 2*m.Nu*e[3]*e[4] + shear*e[5]*e[5]
	return m.E/(1-m.Nu*m.Nu)*(s.T*pp+2*s.S*pk+s.I*kk) + ShearFactor*m.G()*s.T*(e[6]*e[6]+e[7]*e[7])
}

// Stress is the stress at one height: in the plane (xx, yy, xy), and across it
// (xz, yz), MPa.
type Stress struct{ XX, YY, XY, XZ, YZ float64 }

// Stress at height z in metal with the given strain. Shear across the plane is
// zero on the faces of an interval and a parabola between, as in a solid strip.
func (s *Section) Stress(m Material, e *Strain, zRef, z float64) Stress {
	return s.stress(m.moduli(), e, zRef, z)
}

// moduli are what stresses take of a material.
type moduli struct{ plane, nu, shear float64 } // E/(1−ν²), ν, G

func (m Material) moduli() moduli { return moduli{m.E / (1 - m.Nu*m.Nu), m.Nu, m.G()} }

func (s *Section) stress(m moduli, e *Strain, zRef, z float64) Stress {
	d := z - zRef
	x, y, g := e[0]+d*e[3], e[1]+d*e[4], e[2]+d*e[5]
	out := Stress{XX: m.plane * (x + m.nu*y), YY: m.plane * (y + m.nu*x), XY: m.shear * g}
	if z <= s.Z0 || z >= s.Z1 {
		return out
	}
	for _, iv := range s.Metal {
		if z > iv.Z0 && z < iv.Z1 {
			h := iv.Z1 - iv.Z0
			// 3/2 of the mean at the middle: the mean is ShearFactor·G·γ.
			p := 6 * (z - iv.Z0) * (iv.Z1 - z) / (h * h) * ShearFactor * m.shear
			out.XZ, out.YZ = p*e[6], p*e[7]
			break
		}
	}
	return out
}

// VonMises is the equivalent stress by R. von Mises (1913), MPa.
func (s Stress) VonMises() float64 {
	return math.Sqrt(s.XX*s.XX - s.XX*s.YY + s.YY*s.YY + 3*(s.XY*s.XY+s.XZ*s.XZ+s.YZ*s.YZ))
}

// Principal returns the principal stresses in the plane, the greater first, and
// the angle of the greater from x, radians in (−π/2, π/2].
func (s Stress) Principal() (s1, s2, angle float64) {
	mean, half := (s.XX+s.YY)/2, (s.XX-s.YY)/2
	r := math.Hypot(half, s.XY)
	return mean + r, mean - r, math.Atan2(s.XY, half) / 2
}
