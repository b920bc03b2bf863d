package mesh

import "math"

// dd is the unevaluated sum hi + lo with |lo| ≤ u·|hi|: about 106 bits.
//
// Errors, with |x| for the value's size: mul drops lo·lo (u²), rounds two cross
// products (u² each), their sum (2u²) and the sum with the first remainder
// (3u²), together 8u²·|x·y|, 9u² with terms of higher order. add rounds the sum
// of the low parts and adds it to the remainder of the high parts: 3u²(|x|+|y|),
// 4u² with the rest. diff is exact. So the lift A of inCircle is within
// 9 + 4 = 13u², a minor within 13u² of the sum of its two products, their product
// within 13 + 13 + 9 = 35u², and two sums add 8u²: 43u² of perm. circleBound2
// has 64u², which also covers the rounding of perm and of the bound.
type dd struct{ hi, lo float64 }

// twoSum returns a + b as rounded sum and remainder (Knuth).
func twoSum(a, b float64) (s, e float64) {
	s = a + b
	v := s - a
	return s, (a - (s - v)) + (b - v)
}

// twoProduct returns a·b as rounded product and remainder.
func twoProduct(a, b float64) (p, e float64) {
	p = float64(a * b)
	return p, math.FMA(a, b, -p)
}

// diff is a − b without loss.
func diff(a, b float64) dd {
	s, e := twoSum(a, -b)
	return dd{s, e}
}

func (a dd) add(b dd) dd {
	s, e := twoSum(a.hi, b.hi)
	// A full twoSum: after cancellation the low parts may be the larger.
	s, e = twoSum(s, e+(a.lo+b.lo))
	return dd{s, e}
}

func (a dd) sub(b dd) dd { return a.add(dd{-b.hi, -b.lo}) }

func (a dd) mul(b dd) dd {
	p, e := twoProduct(a.hi, b.hi)
	p, e = twoSum(p, e+(float64(a.hi*b.lo)+float64(a.lo*b.hi)))
	return dd{p, e}
}

func (a dd) sq() dd { return a.mul(a) }

// An expansion is a sum of float64 in order of growing size whose bits do not
// overlap, without zeros; empty is zero. Results are appended to dst, which must
// not share memory with the arguments.

// leading returns the largest part of an expansion, which has its sign.
func leading(e []float64) float64 {
	if len(e) == 0 {
		return 0
	}
	return e[len(e)-1]
}

// negate turns the sign of an expansion in place.
func negate(e []float64) []float64 {
	for i := range e {
		e[i] = -e[i]
	}
	return e
}

// add appends e + f (Shewchuk's fast expansion sum; parts merged by size).
func add(dst, e, f []float64) []float64 {
	i, j := 0, 0
	next := func() float64 {
		if j == len(f) || i < len(e) && math.Abs(e[i]) < math.Abs(f[j]) {
			i++
			return e[i-1]
		}
		j++
		return f[j-1]
	}
	n := len(e) + len(f)
	if n == 0 {
		return dst
	}
	q := next()
	for range n - 1 {
		var h float64
		q, h = twoSum(q, next())
		if h != 0 {
			dst = append(dst, h)
		}
	}
	if q != 0 {
		dst = append(dst, q)
	}
	return dst
}

// scale appends e·b.
func scale(dst, e []float64, b float64) []float64 {
	if len(e) == 0 || b == 0 {
		return dst
	}
	q, h := twoProduct(e[0], b)
	if h != 0 {
		dst = append(dst, h)
	}
	for _, x := range e[1:] {
		p, r := twoProduct(x, b)
		q, h = twoSum(q, r)
		if h != 0 {
			dst = append(dst, h)
		}
		q, h = twoSum(p, q)
		if h != 0 {
			dst = append(dst, h)
		}
	}
	if q != 0 {
		dst = append(dst, q)
	}
	return dst
}

// mulPair appends a·b.
func mulPair(dst []float64, a, b dd) []float64 {
	var x [2]float64
	e := x[:0]
	if a.lo != 0 {
		e = append(e, a.lo)
	}
	if a.hi != 0 {
		e = append(e, a.hi)
	}
	var lo, hi [4]float64
	return add(dst, scale(lo[:0], e, b.lo), scale(hi[:0], e, b.hi))
}

// mul returns e·f.
func mul(e, f []float64) []float64 {
	if len(f) > len(e) {
		e, f = f, e
	}
	var sum, spare []float64
	var part [64]float64
	for _, b := range f {
		sum, spare = add(spare[:0], sum, scale(part[:0], e, b)), sum
	}
	return sum
}
