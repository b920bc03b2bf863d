// Package mass weighs a plate: mass, centroid, inertia, blank, chips, surface and the band that the thickness tolerance
// leaves, exact over the layout's map.
//
// Lengths are millimetres, masses kilograms, inertias kg·mm². Axes are those of the plate: x right, y up seen from the top,
// z = 0 at the finished bottom face. A face of the map with metal from z0 to z1 is a prism, whose integrals are the face's
// plane moments (closed forms over lines and arcs) times powers of z; what is no prism (cones below blind holes, countersinks,
// chamfers, floor fillets) is summed over thin layers by a rule of Gauss, exact for the polynomials that its moments are.
//
//	r, err := mass.Of(l)
//	i, err := r.InertiaAbout([3]float64{bore.X, bore.Y, 0}, [3]float64{0, 0, 1})
package mass
