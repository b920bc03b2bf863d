package mass

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate/geom"
	"platewright/plate/layout"
)

// kgPerMM3 turns a density in kg/m³ into kg/mm³.
const kgPerMM3 = 1e-9

// Result is what the plate weighs and how its mass is spread. It shares nothing with the layout.
type Result struct {
	MassKG   float64
	Volume   float64    // mm³
	Density  float64    // kg/m³, as in the document
	Centroid [3]float64 // mm
	Inertia  Tensor     // about the centroid

	BlankMassKG float64
	BlankVolume float64 // mm³, of the stock: allowances of machined faces included
	Removed     float64 // stock removed, mm³: blank less plate
	BuyToFly    float64 // blank mass ÷ plate mass
	WettedArea  float64 // mm²: all surface of the finished plate, walls and holes included; threads as plain holes

	MassLow, MassHigh float64 // kg, at the limits of the thickness tolerance
	Band              Band

	Shares []ShareMass // in the order of the layout's labels
}

// Tensor is an inertia tensor in kg·mm². The products carry the sign of the tensor: XY = −∫ρ·x·y dV.
type Tensor struct{ XX, YY, ZZ, XY, XZ, YZ float64 }

// ShareMass is what one owner holds of the plate.
type ShareMass struct {
	layout.Owner
	PlanArea float64 // mm²
	Volume   float64 // mm³
	MassKG   float64
}

// Of weighs the plate. It returns an error for a layout without a map, without metal, or whose density is not a positive
// number.
func Of(l *layout.Layout) (Result, error) {
	if l == nil || l.Map == nil || l.Map.Subdivision == nil {
		return Result{}, errors.New("mass: the layout has no map")
	}
	density := l.Plate.Stock.Material.Density
	if !(density > 0) || math.IsInf(density, 1) {
		return Result{}, fmt.Errorf("mass: the density is %v kg/m³, which is not a positive number: give the material's density", density)
	}
	ref, ints := integrate(l)
	if !(ints.v > 0) || math.IsInf(ints.v, 1) {
		return Result{}, errors.New("mass: nothing is left of the plate: the cuts remove all of it; make pockets or bores smaller")
	}
	rho := density * kgPerMM3
	r := Result{
		MassKG:   rho * ints.v,
		Volume:   ints.v,
		Density:  density,
		Centroid: [3]float64{ref[0] + ints.x/ints.v, ref[1] + ints.y/ints.v, ref[2] + ints.z/ints.v},
		Inertia:  ints.tensor(rho),
	}
	r.BlankVolume = l.BlankVolume()
	r.BlankMassKG = rho * r.BlankVolume
	r.Removed = r.BlankVolume - r.Volume
	r.BuyToFly = r.BlankMassKG / r.MassKG
	r.WettedArea = wettedArea(l)
	r.Band = thicknessBand(l)
	plan := planArea(l)
	r.MassLow = rho * (ints.v - r.Band.Minus*plan)
	r.MassHigh = rho * (ints.v + r.Band.Plus*plan)
	r.Shares = shares(l, rho)
	return r, nil
}

// integrals are ∫dV, ∫x, ∫y, ∫z and the second moments ∫x² … ∫yz over the metal, about a reference point.
type integrals struct{ v, x, y, z, xx, yy, zz, xy, xz, yz float64 }

// integrate sums the prisms of the map and what is no prism. The reference point is the middle of the outline's
// box at half thickness: moments about a point inside the plate lose no digits when the plate is drawn far from the origin.
func integrate(l *layout.Layout) (ref [3]float64, out integrals) {
	c := l.Outline.Box().Center()
	ref = [3]float64{c.X, c.Y, l.Thickness / 2}
	toRef := geom.Translation(c.Mul(-1))
	for f, metal := range l.Map.Metal {
		if len(metal) == 0 {
			continue
		}
		m := l.Map.Faces[f].Region.Transform(toRef).Moments()
		for _, iv := range metal {
			out.addPrism(m, iv.Z0-ref[2], iv.Z1-ref[2])
		}
	}
	out.takeOthers(l, ref)
	return ref, out
}

func (n *integrals) addPrism(m geom.Moments, z0, z1 float64) {
	h := z1 - z0
	h2 := (z1*z1 - z0*z0) / 2
	h3 := (z1*z1*z1 - z0*z0*z0) / 3
	n.v += m.A * h
	n.x += m.Sx * h
	n.y += m.Sy * h
	n.z += m.A * h2
	n.xx += m.Sxx * h
	n.yy += m.Syy * h
	n.xy += m.Sxy * h
	n.xz += m.Sx * h2
	n.yz += m.Sy * h2
	n.zz += m.A * h3
}

// tensor is the inertia about the centroid for the density rho in kg/mm³.
func (n integrals) tensor(rho float64) Tensor {
	x, y, z := n.x/n.v, n.y/n.v, n.z/n.v
	xx, yy, zz := n.xx-n.v*x*x, n.yy-n.v*y*y, n.zz-n.v*z*z
	return Tensor{
		XX: rho * (yy + zz), YY: rho * (xx + zz), ZZ: rho * (xx + yy),
		XY: -rho * (n.xy - n.v*x*y), XZ: -rho * (n.xz - n.v*x*z), YZ: -rho * (n.yz - n.v*y*z),
	}
}

// planArea is the area in mm² where there is metal at any height.
func planArea(l *layout.Layout) float64 {
	a := 0.0
	for f, metal := range l.Map.Metal {
		if len(metal) > 0 {
			a += l.Map.Faces[f].Region.Area()
		}
	}
	return a
}

func shares(l *layout.Layout, rho float64) []ShareMass {
	if l.Labels == nil {
		return nil
	}
	out := make([]ShareMass, len(l.Labels.Shares))
	for i, s := range l.Labels.Shares {
		out[i] = ShareMass{Owner: s.Owner, PlanArea: s.PlanArea, Volume: s.Volume, MassKG: rho * s.Volume}
	}
	return out
}

// InertiaAbout is the moment of inertia, in kg·mm², about the axis through point (mm) along axis (any length but zero), by
// Steiner's theorem. A bore's axis is its centre with axis (0, 0, 1).
func (r Result) InertiaAbout(point, axis [3]float64) (float64, error) {
	for i := range 3 {
		if !finite(point[i]) || !finite(axis[i]) {
			return 0, fmt.Errorf("mass: the axis through %v along %v is not finite", point, axis)
		}
	}
	// Hypot of Hypot neither overflows nor underflows where the squares would.
	length := math.Hypot(math.Hypot(axis[0], axis[1]), axis[2])
	if length == 0 || math.IsInf(length, 1) {
		return 0, fmt.Errorf("mass: the axis %v has no direction", axis)
	}
	u, v, w := axis[0]/length, axis[1]/length, axis[2]/length
	t := r.Inertia
	own := t.XX*u*u + t.YY*v*v + t.ZZ*w*w + 2*(t.XY*u*v+t.XZ*u*w+t.YZ*v*w)
	dx, dy, dz := r.Centroid[0]-point[0], r.Centroid[1]-point[1], r.Centroid[2]-point[2]
	cx, cy, cz := dy*w-dz*v, dz*u-dx*w, dx*v-dy*u
	return own + r.MassKG*(cx*cx+cy*cy+cz*cz), nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
