package shell

// Unknowns of a node, and of an element.
const (
	Unknowns        = 5
	ElementUnknowns = 6 * Unknowns
)

// Shear is the form of transverse shear of an element.
type Shear int8

// The forms; see the package comment.
const (
	Displacement Shear = iota
	Assumed
)

// Stiffness writes the 30×30 stiffness matrix of an element by rows to ke.
// Unknowns run node by node: u, v, w, bx, by.
func Stiffness(x *Triangle, s *Section, m Material, form Shear, ke []float64) {
	if len(ke) != ElementUnknowns*ElementUnknowns {
		panic("shell: a stiffness matrix has 900 entries")
	}
	clear(ke)
	var ps [12 * 12]float64
	planeStress(x, m, &ps)
	// Stretching, bending and what couples them are one matrix, weighted by the
	// three integrals of the section.
	for i := range 6 {
		for a := range 2 {
			row := ps[(2*i+a)*12:][:12]
			ru := ke[(5*i+a)*ElementUnknowns:][:ElementUnknowns]
			rb := ke[(5*i+3+a)*ElementUnknowns:][:ElementUnknowns]
			for j := range 6 {
				p, q := row[2*j], row[2*j+1]
				ru[5*j] = s.T * p
				ru[5*j+1] = s.T * q
				ru[5*j+3] = s.S * p
				ru[5*j+4] = s.S * q
				rb[5*j] = s.S * p
				rb[5*j+1] = s.S * q
				rb[5*j+3] = s.I * p
				rb[5*j+4] = s.I * q
			}
		}
	}
	g := ShearFactor * m.G() * s.T
	var b shearRows
	var tied tiedShear
	if form == Assumed {
		tied = tie(x)
	}
	if form == Assumed {
		for k := range rule6 {
			b.addTo(ke, tied.at(x, rule6[k], &shapes6[k], &b)*rule6[k].w*g)
		}
		return
	}
	for k := range rule3 {
		det := displacementShear(x, &shapes3[k], &b)
		b.addTo(ke, rule3[k].w*det*g)
	}
}

// planeStress is the stiffness of a plane sheet 1 mm thick, unknowns u and v node
// by node, by the three-point rule. That rule is exact for straight sides.
func planeStress(x *Triangle, m Material, out *[12 * 12]float64) {
	c := m.E / (1 - m.Nu*m.Nu)
	d11, d12, d33 := c, c*m.Nu, c*(1-m.Nu)/2
	var dx, dy [6]float64
	for k := range rule3 {
		j := x.jacobian(&shapes3[k])
		j.slopes(&shapes3[k], &dx, &dy)
		w := rule3[k].w * j.det
		for i := range 6 {
			ax, ay := w*dx[i], w*dy[i]
			r0 := out[2*i*12:][:12]
			r1 := out[(2*i+1)*12:][:12]
			for n := range 6 {
				xx, xy, yx, yy := ax*dx[n], ax*dy[n], ay*dx[n], ay*dy[n]
				r0[2*n] += d11*xx + d33*yy
				r0[2*n+1] += d12*xy + d33*yx
				r1[2*n] += d12*yx + d33*xy
				r1[2*n+1] += d11*yy + d33*xx
			}
		}
	}
}

// shearRows gives the transverse shear strains xz and yz from the unknowns w, bx
// and by, node by node.
type shearRows struct{ x, y [18]float64 }

func (b *shearRows) addTo(ke []float64, w float64) {
	for i := range 18 {
		row := ke[(5*(i/3)+2+i%3)*ElementUnknowns:][:ElementUnknowns]
		ax, ay := w*b.x[i], w*b.y[i]
		for n := range 6 {
			r := row[5*n+2:][:3]
			r[0] += ax*b.x[3*n] + ay*b.y[3*n]
			r[1] += ax*b.x[3*n+1] + ay*b.y[3*n+1]
			r[2] += ax*b.x[3*n+2] + ay*b.y[3*n+2]
		}
	}
}

// displacementShear is w,x + bx and w,y + by as they stand. It returns the
// determinant of the map.
func displacementShear(x *Triangle, h *shape, b *shearRows) float64 {
	var dx, dy [6]float64
	j := x.jacobian(h)
	j.slopes(h, &dx, &dy)
	for i := range 6 {
		b.x[3*i], b.x[3*i+1], b.x[3*i+2] = dx[i], h.n[i], 0
		b.y[3*i], b.y[3*i+1], b.y[3*i+2] = dy[i], 0, h.n[i]
	}
	return j.det
}
