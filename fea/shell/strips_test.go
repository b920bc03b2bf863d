package shell

import (
	"fmt"
	"math"
	"testing"

	"platewright/fea/mesh"
	"platewright/plate/geom"
)

// strip is a long plate along x, 0 to length, with bands of metal across y.
type band struct {
	width  float64
	z0, z1 float64
	n      int // elements across
}

func strip(length float64, nx int, bands []band) (*mesh.Mesh, func(int32) []Interval) {
	var ys []float64
	var of []int32
	y := 0.0
	ys = append(ys, 0)
	for i, b := range bands {
		for range b.n {
			y += b.width / float64(b.n)
			ys = append(ys, y)
			of = append(of, int32(i))
		}
	}
	ny := len(of)
	at := func(a, b float64) geom.Point {
		k := min(int(b*float64(ny)+1e-9), ny-1)
		f := b*float64(ny) - float64(k)
		return geom.Pt(length*a, ys[k]+f*(ys[k+1]-ys[k]))
	}
	m := grid(nx, ny, at, func(a, b float64) int32 { return of[int(b*float64(ny))] })
	return m, func(f int32) []Interval { return []Interval{{bands[f].z0, bands[f].z1}} }
}

type moments struct{ yc, zc, iss, izz, isz float64 }

// sectionOf is the bands as one section: centroid, second moments about the
// horizontal and the upright axis through it and their product.
func sectionOf(bands []band) moments {
	var m moments
	var area, y float64
	for _, b := range bands {
		a := b.width * (b.z1 - b.z0)
		area += a
		m.yc += a * (y + b.width/2)
		m.zc += a * (b.z0 + b.z1) / 2
		y += b.width
	}
	m.yc, m.zc, y = m.yc/area, m.zc/area, 0
	for _, b := range bands {
		h := b.z1 - b.z0
		a, dy, dz := b.width*h, y+b.width/2-m.yc, (b.z0+b.z1)/2-m.zc
		m.iss += a * (h*h/12 + dz*dz)
		m.izz += a * (b.width*b.width/12 + dy*dy)
		m.isz += a * dy * dz
		y += b.width
	}
	return m
}

var strips = map[string][]band{
	"T":       {{20, 0, 3, 4}, {6, 0, 20, 2}, {20, 0, 3, 4}},
	"L":       {{6, 0, 20, 2}, {30, 0, 4, 6}},
	"channel": {{5, 0, 18, 2}, {40, 0, 4, 8}, {5, 0, 18, 2}},
	"slab":    {{24, 0, 20, 4}},
}

// TestStripBending: strips with eccentric floors bent by end moments, against
// κ = M·Izz/E(Iss·Izz − Isz²) of the whole section about its own centroid
// (κ = M/EI where it is symmetric). The strip is bent out of the plane.
func TestStripBending(t *testing.T) {
	const length, moment = 400.0, 1e4
	for name, bands := range strips {
		m, of := strip(length, 40, bands)
		for _, zRef := range []float64{0, 7} {
			md := model(t, m, of, aluminium, Options{ZRef: zRef})
			s := sectionOf(bands)
			f := md.zeros()
			// Bending stress of the beam on both ends; an L bends sideways too.
			det := s.iss*s.izz - s.isz*s.isz
			for e := range m.Triangles {
				endLoad(md, e, length, func(y, z float64) float64 {
					return moment * (s.izz*(z-s.zc) - s.isz*(y-s.yc)) / det
				}, f)
			}
			u := solve(t, md, minimal(md, length), f)
			a, b := md.nodeAt(geom.Pt(length/4, 0)), md.nodeAt(geom.Pt(3*length/4, 0))
			got := (u[5*b+3] - u[5*a+3]) / (m.Nodes[b].X - m.Nodes[a].X)
			within(t, fmt.Sprintf("%s, reference plane at %g: curvature", name, zRef), got, moment/aluminium.E*s.izz/det, 1)
		}
	}
}

// endLoad puts a stress along x that varies straight with place and height on the sides of
// element e at x = 0 and x = length, outwards at the far end where it is pull.
func endLoad(md *Model, e int, length float64, stress func(y, z float64) float64, f []float64) {
	tr := md.Mesh.Triangles[e]
	iv := md.Section(e).Metal[0]
	for k := range 3 {
		side := [3]int32{tr.Node[(k+1)%3], tr.Node[(k+2)%3], tr.Node[3+k]}
		x0, x1 := md.Mesh.Nodes[side[0]].X, md.Mesh.Nodes[side[1]].X
		sign := 0.0
		if on(x0, 0) && on(x1, 0) {
			sign = -1
		} else if on(x0, length) && on(x1, length) {
			sign = 1
		}
		if sign == 0 {
			continue
		}
		// Two Gauss points over the height carry a straight stress exactly.
		c, h := (iv.Z0+iv.Z1)/2, iv.Z1-iv.Z0
		for _, z := range []float64{c - h/2/math.Sqrt(3), c + h/2/math.Sqrt(3)} {
			md.AddSide(side, z, func(p SidePoint) Vector { return Vector{sign * stress(p.P.Y, z) * h / 2} }, f)
		}
	}
}

// minimal holds the six rigid motions of a strip at two nodes of its middle.
func minimal(md *Model, length float64) hold {
	a := md.Mesh.Nodes[md.nodeAt(geom.Pt(length/2, 0))]
	far := a
	for _, p := range md.Mesh.Nodes {
		if on(p.X, a.X) && p.Y > far.Y {
			far = p
		}
	}
	return func(p geom.Point) (h [5]bool) {
		switch p {
		case a:
			h = [5]bool{true, true, true, true, false}
		case far:
			h = [5]bool{true, false, true, false, false}
		}
		return h
	}
}

// TestStripTorsion: strips twisted by end torques, against the torsion constant of
// the section: Prandtl's stress function ∇²φ = −2, J = 2∫φ, by finite differences
// in the test itself. A normal of the plate stays straight through a whole rib,
// which makes ribs that stand on one side of a floor too stiff in twist: by 6 to
// 10 % of sections like these, whose ribs carry a fifth of the torque. Flat strips
// are right.
func TestStripTorsion(t *testing.T) {
	const length, torque = 600.0, 1e4
	if j := prandtl([]band{{60, 0, 4, 1}}); math.Abs(j/(60*64*(1./3-0.21/15))-1) > 0.01 { // Roark's formula, see torsion.csv
		t.Fatalf("the finite differences give J = %g of a 60 × 4 rectangle", j)
	}
	for _, c := range []struct {
		name  string
		bands []band
		off   float64 // percent
	}{
		{"slab 4 thick", []band{{60, 0, 4, 10}}, 1},
		{"slab, square", []band{{20, 0, 20, 4}}, 1},
		{"T, web 6 × 17", strips["T"], 10},
		{"T, thin web", []band{{24, 0, 3, 6}, {3, 0, 12, 2}, {24, 0, 3, 6}}, 10},
		{"T, floor 2", []band{{24, 0, 2, 6}, {2, 0, 10, 2}, {24, 0, 2, 6}}, 10},
		{"L", []band{{4, 0, 16, 2}, {36, 0, 4, 8}}, 10},
		{"channel", []band{{4, 0, 16, 2}, {52, 0, 4, 8}, {4, 0, 16, 2}}, 10},
	} {
		m, of := strip(length, 80, c.bands)
		md := model(t, m, of, aluminium, Options{})
		width := 0.0
		for _, b := range c.bands {
			width += b.width
		}
		f := md.zeros()
		for i, p := range m.Nodes { // a couple of forces at the corners of each end
			sign := 0.0
			switch {
			case on(p.X, 0):
				sign = -1
			case on(p.X, length):
				sign = 1
			}
			switch {
			case on(p.Y, width):
				f[5*i+2] += sign * torque / width
			case on(p.Y, 0):
				f[5*i+2] -= sign * torque / width
			}
		}
		u := solve(t, md, minimal(md, length), f)
		turn := func(x float64) float64 {
			a, b := md.nodeAt(geom.Pt(x, 0)), md.nodeAt(geom.Pt(x, width))
			return (u[5*b+2] - u[5*a+2]) / width
		}
		got := torque / aluminium.G() / ((turn(0.7*length) - turn(0.3*length)) / (0.4 * length))
		within(t, c.name+": torsion constant", got, prandtl(c.bands), c.off)
	}
}

// prandtl is the torsion constant of bands side by side, extrapolated from two
// grids of squares.
func prandtl(bands []band) float64 {
	a, b := prandtlGrid(bands, 0.5), prandtlGrid(bands, 0.25)
	return b + (b-a)/3
}

// prandtlGrid solves on a grid of step h by conjugate gradients. All sizes of the
// bands must be multiples of h.
func prandtlGrid(bands []band, h float64) float64 {
	at := func(v float64) int { return int(math.Round(v / h)) }
	ny, nz := 0, 0
	for _, b := range bands {
		ny += at(b.width)
		nz = max(nz, at(b.z1))
	}
	inside := make([]bool, (ny+1)*(nz+1)) // points with metal on all four sides
	lo := make([]int, ny)
	hi := make([]int, ny)
	k := 0
	for _, b := range bands {
		for range at(b.width) {
			lo[k], hi[k] = at(b.z0), at(b.z1)
			k++
		}
	}
	for y := 1; y < ny; y++ {
		for z := 1; z < nz; z++ {
			inside[y*(nz+1)+z] = z > max(lo[y-1], lo[y]) && z < min(hi[y-1], hi[y])
		}
	}
	n := len(inside)
	x, r, p, q := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	rr := 0.0
	for i := range r {
		if inside[i] {
			r[i] = 2 * h * h
			rr += r[i] * r[i]
		}
	}
	copy(p, r)
	for first := rr; rr > 1e-20*first; {
		pq := 0.0
		for i := range q {
			if inside[i] {
				q[i] = 4*p[i] - p[i-1] - p[i+1] - p[i-nz-1] - p[i+nz+1]
				pq += p[i] * q[i]
			}
		}
		old, a := rr, rr/pq
		rr = 0
		for i := range x {
			x[i] += a * p[i]
			r[i] -= a * q[i]
			rr += r[i] * r[i]
		}
		for i := range p {
			p[i] = r[i] + rr/old*p[i]
		}
	}
	j := 0.0
	for _, v := range x {
		j += 2 * v * h * h
	}
	return j
}

// TestReferencePlane: displacements of points of the metal do not depend on the
// height that the unknowns refer to.
func TestReferencePlane(t *testing.T) {
	m, of := strip(120, 12, strips["T"])
	for _, form := range []float64{1e-9, 1e9} {
		var want []float64
		for _, zRef := range []float64{0, 10, 20, -35} {
			md := model(t, m, of, aluminium, Options{ZRef: zRef, AssumedAbove: form})
			f := md.zeros()
			for e := range m.Triangles {
				md.AddArea(e, 3, func(p geom.Point) Vector { return Vector{0.02, -0.01, 0.03 * p.X / 120} }, f)
				md.AddBody(e, func(geom.Point) Vector { return Vector{1e-3, 2e-3, -1e-3} }, f)
			}
			u := solve(t, md, func(p geom.Point) (h [5]bool) {
				if on(p.X, 0) {
					h = [5]bool{true, true, true, true, true}
				}
				return h
			}, f)
			var got []float64
			size := 0.0
			for i := range m.Nodes {
				for _, z := range []float64{0, 20} {
					v := u[5*i:]
					got = append(got, v[0]+(z-zRef)*v[3], v[1]+(z-zRef)*v[4], v[2])
				}
			}
			for _, v := range got {
				size = max(size, math.Abs(v))
			}
			if want == nil {
				want = got
				continue
			}
			for i := range got {
				if math.Abs(got[i]-want[i]) > 1e-8*size {
					t.Fatalf("assumed above %g, reference plane at %g: displacement %d = %.12g, with 0 it is %.12g", form, zRef, i, got[i], want[i])
				}
			}
		}
	}
}

// TestSymmetricPockets: metal alike above and below the middle, loaded in its
// plane, does what plane stress of its thickness does and nothing else. The
// reference is a plane solution of its own, by the sheet matrices alone.
func TestSymmetricPockets(t *testing.T) {
	bands := []band{{8, 0, 20, 2}, {24, 7, 13, 3}, {8, 0, 20, 2}}
	m, of := strip(100, 10, bands)
	md := model(t, m, of, aluminium, Options{})
	f := md.zeros()
	for e := range m.Triangles {
		md.AddBody(e, func(p geom.Point) Vector { return Vector{1e-2 * p.Y, 2e-2} }, f)
	}
	held := func(p geom.Point) (h [5]bool) {
		if on(p.X, 0) {
			h = [5]bool{true, true, true, true, true}
		}
		return h
	}
	u := solve(t, md, held, f)
	// The plane model: w and tilt held everywhere, reference in the middle.
	plane := model(t, m, of, aluminium, Options{ZRef: 10})
	g := plane.zeros()
	for e := range m.Triangles {
		plane.AddBody(e, func(p geom.Point) Vector { return Vector{1e-2 * p.Y, 2e-2} }, g)
	}
	v := solve(t, plane, func(p geom.Point) [5]bool {
		h := held(p)
		return [5]bool{h[0], h[1], true, true, true}
	}, g)
	size := 0.0
	for i := range m.Nodes {
		size = max(size, math.Abs(v[5*i+1]))
	}
	for i := range m.Nodes {
		for k := range 2 {
			if d := u[5*i+k] + 10*u[5*i+3+k] - v[5*i+k]; math.Abs(d) > 1e-9*size {
				t.Fatalf("node %d: in-plane displacement differs from plane stress by %g of %g", i, d, size)
			}
		}
		if math.Abs(u[5*i+2]) > 1e-9*size {
			t.Fatalf("node %d: moves out of the plane by %g", i, u[5*i+2])
		}
	}
}
