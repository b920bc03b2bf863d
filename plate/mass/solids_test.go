package mass_test

import "math"

// solid is a body made of simple ones with signs, in closed form: an independent way to the integrals of a plate. Its
// integrals are about the origin: volume, first moments, and ∫x², ∫y², ∫z², ∫xy, ∫xz, ∫yz.
type solid struct{ v, x, y, z, xx, yy, zz, xy, xz, yz float64 }

func (a solid) plus(b solid) solid {
	return solid{
		a.v + b.v, a.x + b.x, a.y + b.y, a.z + b.z,
		a.xx + b.xx, a.yy + b.yy, a.zz + b.zz, a.xy + b.xy, a.xz + b.xz, a.yz + b.yz,
	}
}

func (a solid) minus(b solid) solid {
	return a.plus(solid{-b.v, -b.x, -b.y, -b.z, -b.xx, -b.yy, -b.zz, -b.xy, -b.xz, -b.yz})
}

// own makes a solid of volume v centred at (x, y, z) from its moments about its centroid.
func own(v, x, y, z, xx, yy, zz float64) solid {
	return solid{v, v * x, v * y, v * z, xx + v*x*x, yy + v*y*y, zz + v*z*z, v * x * y, v * x * z, v * y * z}
}

// box is the block between two corners: ∫x² about the centroid is V·a²/12 (handbook, moments of solids).
func box(x0, y0, z0, x1, y1, z1 float64) solid {
	a, b, c := x1-x0, y1-y0, z1-z0
	v := a * b * c
	return own(v, (x0+x1)/2, (y0+y1)/2, (z0+z1)/2, v*a*a/12, v*b*b/12, v*c*c/12)
}

// cylinder stands on z0 about (x, y): ∫x² = V·r²/4, ∫z² = V·h²/12 about the centroid (handbook).
func cylinder(x, y, r, z0, z1 float64) solid {
	h := z1 - z0
	v := math.Pi * r * r * h
	return own(v, x, y, (z0+z1)/2, v*r*r/4, v*r*r/4, v*h*h/12)
}

// cone has its base of radius r at height base and its apex at height apex: V = πr²h/3, centroid h/4 from the base,
// ∫x² = 3/20·V·r², ∫z² = 3/80·V·h² about the centroid (handbook).
func cone(x, y, r, base, apex float64) solid {
	h := math.Abs(apex - base)
	v := math.Pi * r * r * h / 3
	return own(v, x, y, base+(apex-base)/4, 3*v*r*r/20, 3*v*r*r/20, 3*v*h*h/80)
}

// quarter is a quarter cylinder of radius r about (x, y), in the quadrant of the signs sx and sy: about its axis
// ∫dA = πr²/4, ∫u = r³/3, ∫u² = πr⁴/16, ∫uv = r⁴/8 (handbook, quarter circle).
func quarter(x, y, r, sx, sy, z0, z1 float64) solid {
	h, zc := z1-z0, (z0+z1)/2
	a := math.Pi * r * r / 4
	u := r * r * r / 3
	uu := math.Pi * r * r * r * r / 16
	uv := r * r * r * r / 8
	// In plan about the origin.
	ax, ay := a*x+sx*u, a*y+sy*u
	axx, ayy := uu+2*x*sx*u+a*x*x, uu+2*y*sy*u+a*y*y
	axy := sx*sy*uv + x*sy*u + y*sx*u + a*x*y
	return solid{
		a * h, ax * h, ay * h, a * h * zc, axx * h, ayy * h, a * (z1*z1*z1 - z0*z0*z0) / 3,
		axy * h, ax * h * zc, ay * h * zc,
	}
}

// rounded is a block with its upright edges rounded by r.
func rounded(x0, y0, z0, x1, y1, z1, r float64) solid {
	s := box(x0+r, y0, z0, x1-r, y1, z1).plus(box(x0, y0+r, z0, x0+r, y1-r, z1)).plus(box(x1-r, y0+r, z0, x1, y1-r, z1))
	for _, q := range [][4]float64{{x0 + r, y0 + r, -1, -1}, {x1 - r, y0 + r, 1, -1}, {x0 + r, y1 - r, -1, 1}, {x1 - r, y1 - r, 1, 1}} {
		s = s.plus(quarter(q[0], q[1], r, q[2], q[3], z0, z1))
	}
	return s
}

func (a solid) centroid() [3]float64 { return [3]float64{a.x / a.v, a.y / a.v, a.z / a.v} }

// inertia is the tensor about the centroid for the density rho (kg/mm³), rows and columns x, y, z.
func (a solid) inertia(rho float64) [3][3]float64 {
	c := a.centroid()
	xx, yy, zz := a.xx-a.v*c[0]*c[0], a.yy-a.v*c[1]*c[1], a.zz-a.v*c[2]*c[2]
	xy, xz, yz := a.xy-a.v*c[0]*c[1], a.xz-a.v*c[0]*c[2], a.yz-a.v*c[1]*c[2]
	return [3][3]float64{
		{rho * (yy + zz), -rho * xy, -rho * xz},
		{-rho * xy, rho * (xx + zz), -rho * yz},
		{-rho * xz, -rho * yz, rho * (xx + yy)},
	}
}
