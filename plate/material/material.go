// Package material holds the alloys that plates are cut from: density, elastic and strength values by temper and thickness,
// stocked plate thicknesses and thickness tolerances, each with its source. Units: mm, MPa, kg/m³.
package material

// Material is one alloy and temper with the values in use and where they come from.
type Material struct {
	Alloy    string  // e.g. "EN AW-6082"
	Temper   string  // e.g. "T651"
	Density  float64 // kg/m³
	Young    float64 // MPa
	Poisson  float64
	Proof    float64 // 0.2 % proof stress, MPa
	Ultimate float64 // MPa
	Group    string  // ISO 513 workpiece group for cutting data, e.g. "N"
	Source   string
}
