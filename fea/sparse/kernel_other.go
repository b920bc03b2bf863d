//go:build !amd64

package sparse

// Other processors use gonum.
const hasKernels = false

func subtract12(int, *float64, *float64, *float64, int) { panic("sparse: no kernel") }

func solve12(_, _, _ *float64) { panic("sparse: no kernel") }
