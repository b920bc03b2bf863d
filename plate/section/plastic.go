package section

// The plastic modulus about an axis is the first moment of the two halves that its equal-area axis divides the section
// into, ∫|z − z₀| dA: the yield stress times it is the moment at which the whole section yields. With z₀ anywhere between
// two halves that do not touch it is the same.

// halvings is how often the place of the equal-area axis is halved: to the last bit.
const halvings = 200

// plastic fills in the plastic moduli.
func (r *Result) plastic() {
	z0 := bisect(r.Extent.Z0, r.Extent.Z1, func(z float64) bool { return sum(r.Slabs, func(b *Slab) float64 { return b.below(z) }) < r.Area/2 })
	r.PlasticS = sum(r.Slabs, func(b *Slab) float64 { return b.away(z0) })
	s0 := bisect(r.Extent.S0, r.Extent.S1, func(s float64) bool { return sum(r.Slabs, func(b *Slab) float64 { return b.before(s) }) < r.Area/2 })
	r.PlasticZ = sum(r.Slabs, func(b *Slab) float64 { return b.sideways(s0) })
	r.EqualArea = [2]float64{s0, z0}
}

func sum(slabs []Slab, f func(*Slab) float64) float64 {
	v := 0.0
	for i := range slabs {
		v += f(&slabs[i])
	}
	return v
}

// bisect is the place between lo and hi below which low holds.
func bisect(lo, hi float64, low func(float64) bool) float64 {
	for range halvings {
		m := lo + (hi-lo)/2
		if m <= lo || m >= hi {
			break
		}
		if low(m) {
			lo = m
		} else {
			hi = m
		}
	}
	return lo + (hi-lo)/2
}

// kinks calls do for the stretches of the slab between which its sides do not cross the height z, as fractions.
func (b *Slab) kinks(z float64, do func(f0, f1 float64)) {
	at := [4]float64{0, cross(b.Bottom0-z, b.Bottom1-z), cross(b.Top0-z, b.Top1-z), 1}
	if at[1] > at[2] {
		at[1], at[2] = at[2], at[1]
	}
	for i := 1; i < len(at); i++ {
		if at[i] > at[i-1] {
			do(at[i-1], at[i])
		}
	}
}

// cross is the fraction at which a value that runs straight from v0 to v1 is zero; 0 where it is not between.
func cross(v0, v1 float64) float64 {
	if (v0 < 0) == (v1 < 0) {
		return 0
	}
	return v0 / (v0 - v1)
}

// lerp is the value at fraction f between two.
func lerp(a, b, f float64) float64 { return a + (b-a)*f }

// below is the area of the slab below the height z.
func (b *Slab) below(z float64) float64 {
	v := 0.0
	b.kinks(z, func(f0, f1 float64) {
		for _, f := range [2]float64{f0, f1} {
			lo, hi := lerp(b.Bottom0, b.Bottom1, f), lerp(b.Top0, b.Top1, f)
			v += (f1 - f0) / 2 * (b.S1 - b.S0) * max(0, min(hi, z)-lo)
		}
	})
	return v
}

// away is ∫|z′ − z| dA of the slab. Between kinks the inner integral is of degree 2, which Simpson's rule integrates
// exactly.
func (b *Slab) away(z float64) float64 {
	half := func(x float64) float64 { // ∫|x| dx
		if x < 0 {
			return -x * x / 2
		}
		return x * x / 2
	}
	v := 0.0
	b.kinks(z, func(f0, f1 float64) {
		for i, w := range [3]float64{1, 4, 1} {
			f := lerp(f0, f1, float64(i)/2)
			v += w / 6 * (f1 - f0) * (b.S1 - b.S0) * (half(lerp(b.Top0, b.Top1, f)-z) - half(lerp(b.Bottom0, b.Bottom1, f)-z))
		}
	})
	return v
}

// height is that of the slab at s.
func (b *Slab) height(s float64) float64 { return b.top(s) - b.bottom(s) }

// before is the area of the slab before s.
func (b *Slab) before(s float64) float64 {
	s = min(max(s, b.S0), b.S1)
	return (s - b.S0) * (b.height(b.S0) + b.height(s)) / 2
}

// sideways is ∫|s′ − s| dA of the slab, of degree 2 on either side of s.
func (b *Slab) sideways(s float64) float64 {
	part := func(s0, s1 float64) float64 {
		v := 0.0
		for i, w := range [3]float64{1, 4, 1} {
			x := lerp(s0, s1, float64(i)/2)
			d := x - s
			if d < 0 {
				d = -d
			}
			v += w / 6 * (s1 - s0) * d * b.height(x)
		}
		return v
	}
	m := min(max(s, b.S0), b.S1)
	return part(b.S0, m) + part(m, b.S1)
}
