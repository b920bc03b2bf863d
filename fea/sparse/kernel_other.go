//go:build !amd64

package sparse

// Other processors use gonum and plain loops.
var hasKernels, hasWide = false, false

func subtract12(int, *float64, *float64, *float64, int) { panic("sparse: no kernel") }

func subtract24(int, *float64, *float64, *float64, *float64, *float64, int) {
	panic("sparse: no kernel")
}

func solve12(_, _ *float64) { panic("sparse: no kernel") }

func times12(int, *float64, *float64, *float64) { panic("sparse: no kernel") }

func take12(int, *float64, *float64, *float64) { panic("sparse: no kernel") }
