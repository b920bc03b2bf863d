package sparse

// subtract12 does C −= A·B for a block of 12 × 12 numbers of C, row after row with
// the given stride: entry (i, j) of A·B is the sum of a[12t+i]·b[12t+j] over t < k.
// k must be above 0.
//
//go:noescape
func subtract12(k int, a, b, c *float64, stride int)

// solve12 replaces the block X of 12 × 12 numbers, row after row, by L⁻¹·X. Entry
// (i, j) of L is l[12j+i]; inverse holds one over the diagonal of L.
//
//go:noescape
func solve12(l, inverse, x *float64)

func processor() (leaf1c, leaf7b, xcr0 uint32)

// hasKernels says that the processor has AVX2 and FMA, and that the system saves
// their registers.
var hasKernels = func() bool {
	const fma, avx, avx2, registers = 1 << 12, 1 << 28, 1 << 5, 1<<1 | 1<<2
	leaf1c, leaf7b, xcr0 := processor()
	return leaf1c&fma != 0 && leaf1c&avx != 0 && leaf7b&avx2 != 0 && xcr0&registers == registers
}()
