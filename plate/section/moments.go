package section

import "math"

// sums are ∫dA, ∫s, ∫z, ∫s², ∫z², ∫sz about a reference point, mm.
type sums struct{ a, s, z, ss, zz, sz float64 }

// add integrates a slab. All integrands are polynomials of degree three or less in s, which two Gauss points integrate
// exactly.
func (m *sums) add(b Slab, s0, z0 float64) {
	w := (b.S1 - b.S0) / 2
	for _, g := range [2]float64{-1 / math.Sqrt(3), 1 / math.Sqrt(3)} {
		f := (1 + g) / 2
		s := b.S0 + (b.S1-b.S0)*f - s0
		lo := b.Bottom0 + (b.Bottom1-b.Bottom0)*f - z0
		hi := b.Top0 + (b.Top1-b.Top0)*f - z0
		h := hi - lo
		first := h * (hi + lo) / 2                // ∫z dz
		second := h * (hi*hi + hi*lo + lo*lo) / 3 // ∫z² dz
		m.a += w * h
		m.s += w * h * s
		m.ss += w * h * s * s
		m.z += w * first
		m.sz += w * first * s
		m.zz += w * second
	}
}

func (m sums) piece(s0, z0 float64) Piece {
	s, z := m.s/m.a, m.z/m.a
	return Piece{
		Area: m.a, Centroid: [2]float64{s0 + s, z0 + z},
		ISS: m.zz - m.a*z*z, IZZ: m.ss - m.a*s*s, ISZ: m.sz - m.a*s*z,
	}
}

// integrate fills in everything that follows from the slabs and their pieces. The sums are taken about (s0, z0), a point
// near the metal.
func (r *Result) integrate(s0, z0 float64) {
	all := sums{}
	parts := make([]sums, r.Pieces)
	boxes := make([]Extent, r.Pieces)
	whole := noExtent
	for i := range boxes {
		boxes[i] = noExtent
	}
	for _, b := range r.Slabs {
		all.add(b, s0, z0)
		parts[b.Piece].add(b, s0, z0)
		boxes[b.Piece] = boxes[b.Piece].with(b)
		whole = whole.with(b)
	}
	for i, m := range parts {
		p := m.piece(s0, z0)
		p.Extent = boxes[i]
		r.PiecesList = append(r.PiecesList, p)
	}
	p := all.piece(s0, z0)
	r.Area, r.Centroid, r.ISS, r.IZZ, r.ISZ = p.Area, p.Centroid, p.ISS, p.IZZ, p.ISZ
	r.Extent = whole
	r.I1, r.I2, r.AxisRad = principal(p.ISS, p.IZZ, p.ISZ)
	r.ModulusTop = p.ISS / (whole.Z1 - p.Centroid[1])
	r.ModulusBottom = p.ISS / (p.Centroid[1] - whole.Z0)
	r.ModulusStart = p.IZZ / (p.Centroid[0] - whole.S0)
	r.ModulusEnd = p.IZZ / (whole.S1 - p.Centroid[0])
}

var noExtent = Extent{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}

func (e Extent) with(b Slab) Extent {
	return Extent{
		min(e.S0, b.S0), max(e.S1, b.S1),
		min(e.Z0, b.Bottom0, b.Bottom1), max(e.Z1, b.Top0, b.Top1),
	}
}

// principal turns the moments to the axes without a product. The moment about an axis at angle θ from s is
// i(θ) = (iss+izz)/2 + (iss−izz)/2·cos 2θ − isz·sin 2θ, greatest where (cos 2θ, sin 2θ) points along ((iss−izz)/2, −isz).
func principal(iss, izz, isz float64) (i1, i2, axis float64) {
	mean, diff := (iss+izz)/2, (iss-izz)/2
	r := math.Hypot(diff, isz)
	i1 = mean + r
	// The product of the two is the determinant: mean − r would lose the digits of a small i2.
	i2 = (iss*izz - isz*isz) / i1
	// Below rounding of the moments themselves every axis is principal, and none is named.
	if r <= 1e-13*mean {
		return i1, i2, 0
	}
	axis = math.Atan2(-isz, diff) / 2
	if axis <= -math.Pi/2 {
		axis += math.Pi
	}
	return i1, i2, axis
}
