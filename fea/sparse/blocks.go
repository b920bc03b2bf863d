package sparse

// What is done with strips, by kernels where the processor has what they need.

// subtractBlock does C −= A·B for a block of 12 × 12 numbers of C, row after row with
// the given stride: entry (i, j) of A·B is the sum of a[12t+i]·b[12t+j] over t < k.
// k must be above 0.
func subtractBlock(k int, a, b, c []float64, stride int) {
	_, _, _ = a[k*strip-1], b[k*strip-1], c[(strip-1)*stride+strip-1]
	if hasKernels {
		subtract12(k, &a[0], &b[0], &c[0], stride)
		return
	}
	for i := range strip {
		var sum [strip]float64
		for t := range k {
			v := a[t*strip+i]
			row := (*[strip]float64)(b[t*strip:])
			for j, w := range row {
				sum[j] += v * w
			}
		}
		for j, v := range sum {
			c[i*stride+j] -= v
		}
	}
}

// subtractBlocks is subtractBlock for two blocks with the same first factor.
func subtractBlocks(k int, a, b1, b2, c1, c2 []float64, stride int) {
	if hasWide {
		last := (strip-1)*stride + strip - 1
		_, _, _, _, _ = a[k*strip-1], b1[k*strip-1], b2[k*strip-1], c1[last], c2[last]
		subtract24(k, &a[0], &b1[0], &b2[0], &c1[0], &c2[0], stride)
		return
	}
	subtractBlock(k, a, b1, c1, stride)
	subtractBlock(k, a, b2, c2, stride)
}

// solveBlock replaces the block X of 12 × 12 numbers, row after row, by L⁻¹·X. Entry
// (i, j) of L is l[12j+i], but one over it on the diagonal.
func solveBlock(l, x []float64) {
	_, _ = l[block-1], x[block-1]
	if hasKernels {
		solve12(&l[0], &x[0])
		return
	}
	for c := range strip {
		own := (*[strip]float64)(x[c*strip:])
		for j := range own {
			own[j] *= l[c*strip+c]
		}
		for r := c + 1; r < strip; r++ {
			v := l[c*strip+r]
			row := (*[strip]float64)(x[r*strip:])
			for j, w := range own {
				row[j] -= v * w
			}
		}
	}
}

// timesStrip sets sum to the product of the first k columns of a strip with x. k must
// be even and above 0.
func timesStrip(k int, a, x []float64, sum *[strip]float64) {
	_, _ = a[k*strip-1], x[k-1]
	if hasKernels {
		times12(k, &a[0], &x[0], &sum[0])
		return
	}
	*sum = [strip]float64{}
	for t, v := range x[:k] {
		column := (*[strip]float64)(a[t*strip:])
		for i, w := range column {
			sum[i] += w * v
		}
	}
}

// takeTransposed takes the product of the transpose of the first k columns of a strip
// with y from x. k must be a multiple of 4 and above 0.
func takeTransposed(k int, a []float64, y *[strip]float64, x []float64) {
	_, _ = a[k*strip-1], x[k-1]
	if hasKernels {
		take12(k, &a[0], &y[0], &x[0])
		return
	}
	for t := range x[:k] {
		column := (*[strip]float64)(a[t*strip:])
		sum := 0.0
		for i, w := range column {
			sum += w * y[i]
		}
		x[t] -= sum
	}
}
