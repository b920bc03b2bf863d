package mesh

import (
	"math"

	"platewright/plate/geom"
)

// The mesher asks two questions about points: on which side of a line, and
// inside or outside a circle. Both are signs of determinants of the coordinates
// as given, and both are answered exactly: first in plain float64 with a bound
// on its error, where that is not enough in double-double (circle only), and
// where that is not enough by expansions, sums of float64 that lose nothing.
//
// The method is that of J. R. Shewchuk, "Adaptive Precision Floating-Point
// Arithmetic and Fast Robust Geometric Predicates", Discrete & Computational
// Geometry 18 (1997) 305–363; the bounds are derived again below because two of
// the stages differ from his.
//
// Coordinates are zero or between 2⁻¹⁰⁰ and 2²⁰ in size (see settle), so no
// product below underflows: the least term of degree four is
// (2⁻¹⁰⁰⁻⁵³)⁴ = 2⁻⁶¹² and its least part 2⁻⁷¹⁸.
//
// Every product whose rounding counts stands in a float64 conversion, which
// forbids the compiler to fuse it with a sum on machines that could.

// u is the largest relative error of one rounding.
const u = 0x1p-53

// orientBound is k in: the sign of det is right if |det| > k·(|l| + |r|).
//
// Let L and R be the exact products, l and r the computed ones. Each is the
// product of two rounded differences, rounded: l = L(1+δ₁)(1+δ₂)(1+δ₃) with
// |δᵢ| ≤ u. Hence |l−L| ≤ |l|·((1−u)⁻³ − 1) ≤ |l|·(3u + 7u²), and so for r.
// det = (l−r)(1+δ) adds u·|det|. Together
//
//	|det − (L−R)| ≤ u·|det| + (3u + 7u²)(|l| + |r|),
//
// and the sign is right if |det|·(1−u) exceeds the last term, which
// |det| > (3u + 11u²)(|l| + |r|) ensures. The bound is itself computed with two
// roundings, which may lessen it by 2u of itself, 6u²: 3u + 20u² leaves room.
const orientBound = (3 + 20*u) * u

// orient is positive when a, b, c turn to the left, negative when they turn to
// the right, and zero exactly when they are on one line. Only the sign is
// exact. orient(a,b,c) = orient(b,c,a), and its sign is that of −orient(b,a,c).
func orient(a, b, c geom.Point) float64 {
	l := float64((a.X - c.X) * (b.Y - c.Y))
	r := float64((a.Y - c.Y) * (b.X - c.X))
	det := l - r
	if bound := orientBound * (math.Abs(l) + math.Abs(r)); det > bound || -det > bound {
		return det
	}
	if l == 0 && r == 0 { // a factor of each is zero, and a difference is zero only when exact
		return 0
	}
	return orientExact(a, b, c)
}

// orientExact is the determinant (a−c)×(b−c) summed without loss; the result is
// its leading part.
func orientExact(a, b, c geom.Point) float64 {
	var buf [4][16]float64
	l := mulPair(buf[0][:0], diff(a.X, c.X), diff(b.Y, c.Y))
	r := mulPair(buf[1][:0], diff(a.Y, c.Y), diff(b.X, c.X))
	return leading(add(buf[2][:0], l, negate(r)))
}

// circleBound is k in: the sign of det is right if |det| > k·perm, where
// det = A·p + B·q + C·s, A = adx² + ady² and so on, p = bdx·cdy − cdx·bdy and so
// on, and perm is the same with every term taken positive.
//
// Differences are right to a factor (1+u)^±1, products of two of them to
// (1+u)^±3, A to (1+u)^±4. p is within 4u of the sum of its two terms: 3u from
// the products, u from its own rounding. A·p is therefore within 4u + 4u + u = 9u
// of A times that sum; the first of the two sums adds u of its terms, the second
// u·|det|, which goes to the left side: 10u·perm to first order. To second order,
// (1−u)⁻⁹ − 1 ≤ 9u + 45u², the sums and the division by (1−u) give less than 20u²
// more, and perm and the bound are computed with five roundings, 50u²; 128u²
// covers them.
const circleBound = (10 + 128*u) * u

// circleBound2 is the same for double-double arithmetic, derived at dd.
const circleBound2 = 64 * u * u

// inCircle is positive when d is inside the circle through a, b, c taken
// counter-clockwise, negative outside, and zero exactly on it. Only the sign is
// exact. An even permutation of the four leaves the sign, an odd one turns it.
func inCircle(a, b, c, d geom.Point) float64 {
	adx, ady := a.X-d.X, a.Y-d.Y
	bdx, bdy := b.X-d.X, b.Y-d.Y
	cdx, cdy := c.X-d.X, c.Y-d.Y
	p1, p2 := float64(bdx*cdy), float64(cdx*bdy)
	q1, q2 := float64(cdx*ady), float64(adx*cdy)
	s1, s2 := float64(adx*bdy), float64(bdx*ady)
	la := float64(adx*adx) + float64(ady*ady)
	lb := float64(bdx*bdx) + float64(bdy*bdy)
	lc := float64(cdx*cdx) + float64(cdy*cdy)
	det := float64(la*(p1-p2)) + float64(lb*(q1-q2)) + float64(lc*(s1-s2))
	perm := la*(math.Abs(p1)+math.Abs(p2)) + lb*(math.Abs(q1)+math.Abs(q2)) + lc*(math.Abs(s1)+math.Abs(s2))
	if bound := circleBound * perm; det > bound || -det > bound {
		return det
	}
	if det = inCircle2(a, b, c, d); math.Abs(det) > circleBound2*perm {
		return det
	}
	return inCircleExact(a, b, c, d)
}

// inCircle2 is the determinant of inCircle in double-double arithmetic. It
// decides nearly all of what plain arithmetic leaves open, above all four points
// of one bore, whose determinant is of the size of their rounding.
func inCircle2(a, b, c, d geom.Point) float64 {
	adx, ady := diff(a.X, d.X), diff(a.Y, d.Y)
	bdx, bdy := diff(b.X, d.X), diff(b.Y, d.Y)
	cdx, cdy := diff(c.X, d.X), diff(c.Y, d.Y)
	det := adx.sq().add(ady.sq()).mul(bdx.mul(cdy).sub(cdx.mul(bdy)))
	det = det.add(bdx.sq().add(bdy.sq()).mul(cdx.mul(ady).sub(adx.mul(cdy))))
	det = det.add(cdx.sq().add(cdy.sq()).mul(adx.mul(bdy).sub(bdx.mul(ady))))
	return det.hi
}

// inCircleExact is the determinant of inCircle summed without loss; the result
// is its leading part.
func inCircleExact(a, b, c, d geom.Point) float64 {
	x := [3]dd{diff(a.X, d.X), diff(b.X, d.X), diff(c.X, d.X)}
	y := [3]dd{diff(a.Y, d.Y), diff(b.Y, d.Y), diff(c.Y, d.Y)}
	var sum []float64
	var buf [7][32]float64
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		lift := add(buf[2][:0], mulPair(buf[0][:0], x[i], x[i]), mulPair(buf[1][:0], y[i], y[i]))
		minor := add(buf[3][:0], mulPair(buf[0][:0], x[j], y[k]), negate(mulPair(buf[1][:0], x[k], y[j])))
		term := mul(lift, minor)
		sum = add(buf[4+i][:0], sum, term)
	}
	return leading(sum)
}

// settle makes a coordinate fit for the predicates: what is below 2⁻¹⁰⁰ mm is
// zero.
func settle(p geom.Point) geom.Point {
	const tiny = 0x1p-100
	if math.Abs(p.X) < tiny {
		p.X = 0
	}
	if math.Abs(p.Y) < tiny {
		p.Y = 0
	}
	return p
}
