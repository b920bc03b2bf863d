package sparse

// The kernels do what their callers in blocks.go say.

//go:noescape
func subtract12(k int, a, b, c *float64, stride int)

//go:noescape
func subtract24(k int, a, b1, b2, c1, c2 *float64, stride int)

//go:noescape
func solve12(l, x *float64)

//go:noescape
func times12(k int, a, x, sum *float64)

//go:noescape
func take12(k int, a, y, x *float64)

func processor() (leaf1c, leaf7b, xcr0 uint32)

// hasKernels says that the processor has AVX2 and FMA, and that the system saves
// their registers.
var hasKernels = func() bool {
	const fma, avx, avx2, registers = 1 << 12, 1 << 28, 1 << 5, 1<<1 | 1<<2
	leaf1c, leaf7b, xcr0 := processor()
	return leaf1c&fma != 0 && leaf1c&avx != 0 && leaf7b&avx2 != 0 && xcr0&registers == registers
}()

// hasWide says the same of AVX-512: a kernel that takes two blocks at a time.
var hasWide = func() bool {
	const foundation, registers = 1 << 16, 1<<5 | 1<<6 | 1<<7
	_, leaf7b, xcr0 := processor()
	return hasKernels && leaf7b&foundation != 0 && xcr0&registers == registers
}()
