package shell

import "math"

// The assumed transverse shear. Along the reference axes the shear strains are
// taken from a space of eight terms, tied to the displacement form along the
// sides at their two Gauss points and in both directions at the middle.

// tying is a place, and the direction in the reference triangle along which the
// shear is taken there.
type tying struct{ r, s, dr, ds float64 }

var (
	tyings      = tyingPlaces()
	tyingShapes = tyingShapesOf(tyings)
	untie       = inverseOfTying(tyings)
)

func tyingPlaces() [8]tying {
	a := 0.5 - 0.5/math.Sqrt(3)
	b := 1 - a
	return [8]tying{
		{a, 0, 1, 0},
		{b, 0, 1, 0},
		{0, a, 0, 1},
		{0, b, 0, 1},
		{b, a, -1, 1},
		{a, b, -1, 1},
		{1. / 3, 1. / 3, 1, 0},
		{1. / 3, 1. / 3, 0, 1},
	}
}

func tyingShapesOf(t [8]tying) (out [8]shape) {
	for i, p := range t {
		out[i] = shapeAt(p.r, p.s)
	}
	return out
}

// shearTerms are the eight terms of the shear along r and along s.
func shearTerms(r, s float64) (alongR, alongS [8]float64) {
	return [8]float64{1, r, s, 0, 0, 0, r * s, s * s}, [8]float64{0, 0, 0, 1, r, s, -r * r, -r * s}
}

// inverseOfTying inverts the 8×8 matrix of the terms at the tying places, by
// elimination with row exchanges.
func inverseOfTying(t [8]tying) (inv [8][8]float64) {
	var m [8][16]float64
	for i, p := range t {
		gr, gs := shearTerms(p.r, p.s)
		for j := range 8 {
			m[i][j] = p.dr*gr[j] + p.ds*gs[j]
		}
		m[i][8+i] = 1
	}
	for c := range 8 {
		pivot := c
		for r := c; r < 8; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[pivot][c]) {
				pivot = r
			}
		}
		m[c], m[pivot] = m[pivot], m[c]
		d := m[c][c]
		for j := range 16 {
			m[c][j] /= d
		}
		for r := range 8 {
			if f := m[r][c]; r != c && f != 0 {
				for j := range 16 {
					m[r][j] -= f * m[c][j]
				}
			}
		}
	}
	for i := range 8 {
		copy(inv[i][:], m[i][8:])
	}
	return inv
}

// tiedShear holds the factors of the eight terms, from the 18 unknowns w, bx, by.
type tiedShear [8][18]float64

func tie(x *Triangle) tiedShear {
	var at [8][18]float64
	for k, p := range tyings {
		h := &tyingShapes[k]
		j := x.jacobian(h)
		tx, ty := p.dr*j.xr+p.ds*j.xs, p.dr*j.yr+p.ds*j.ys
		for i := range 6 {
			at[k][3*i] = p.dr*h.dr[i] + p.ds*h.ds[i]
			at[k][3*i+1] = tx * h.n[i]
			at[k][3*i+2] = ty * h.n[i]
		}
	}
	var c tiedShear
	for i := range 8 {
		for k, f := range untie[i] {
			if f != 0 {
				for n := range 18 {
					c[i][n] += f * at[k][n]
				}
			}
		}
	}
	return c
}

// at writes the shear strains at a place of the reference triangle along x and y,
// and returns the determinant of the map.
func (c *tiedShear) at(x *Triangle, p point, h *shape, b *shearRows) float64 {
	j := x.jacobian(h)
	gr, gs := shearTerms(p.r, p.s)
	for n := range 18 {
		r, s := 0.0, 0.0
		for k := range 8 {
			r += gr[k] * c[k][n]
			s += gs[k] * c[k][n]
		}
		b.x[n] = (j.ys*r - j.yr*s) / j.det
		b.y[n] = (j.xr*s - j.xs*r) / j.det
	}
	return j.det
}
