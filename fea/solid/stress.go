package solid

import "math"

// Stress is xx, yy, zz, xy, yz, zx, MPa.
type Stress [6]float64

// VonMises is the equivalent stress of von Mises, MPa.
func (s Stress) VonMises() float64 {
	a, b, c := s[0]-s[1], s[1]-s[2], s[2]-s[0]
	return math.Sqrt((a*a+b*b+c*c)/2 + 3*(s[3]*s[3]+s[4]*s[4]+s[5]*s[5]))
}

// Places where the stresses of a quadratic element are the most accurate: three in
// the plane (degree 2) times two through the thickness. Stresses are read there and
// carried to the nodes along straight lines. J. Barlow, Optimal stress locations in
// finite element models, Int. J. Num. Meth. Eng. 10 (1976) 243–251 (from memory).
var (
	stressPlaces  = [3][2]float64{{1. / 6, 1. / 6}, {2. / 3, 1. / 6}, {1. / 6, 2. / 3}}
	stressHeights = [2]float64{-1 / math.Sqrt(3), 1 / math.Sqrt(3)}
	carry         = makeCarry()
)

// makeCarry gives the weights of the six stresses at each node.
func makeCarry() (out [nodesOf][6]float64) {
	corner := [6][2]float64{{0, 0}, {1, 0}, {0, 1}, {0.5, 0.5}, {0, 0.5}, {0.5, 0}}
	for n := range out {
		r, s, t := corner[n%6][0], corner[n%6][1], float64(n/6-1)
		// Corners of the triangle of places: r = 1/6 + a/2, s = 1/6 + b/2.
		a, b := 2*(r-1./6), 2*(s-1./6)
		plane := [3]float64{1 - a - b, a, b}
		for i := range plane {
			for j, z := range stressHeights {
				out[n][3*j+i] = plane[i] * (1 + t/z) / 2
			}
		}
	}
	return out
}

// ElementStress returns the stresses at the nodes of an element.
func (r *Result) ElementStress(e int) (out [nodesOf]Stress) {
	x := r.Model.Prism(e)
	var u, g [nodesOf]Vec
	for i, n := range r.Model.Elements[e].Node {
		u[i] = Vec(r.U[3*n : 3*n+3])
	}
	for j, z := range stressHeights {
		for i, p := range stressPlaces {
			h := shapeAt(p[0], p[1], z)
			x.slopes(&h, &g)
			d := gradient(&u, &g)
			s := r.Model.Material.stress(&d)
			for n := range out {
				for k := range s {
					out[n][k] += carry[n][3*j+i] * s[k]
				}
			}
		}
	}
	return out
}

// NodeStress returns the stresses at the nodes: the mean of the elements that share
// the node, which are all of the same metal.
func (r *Result) NodeStress() []Stress {
	out := make([]Stress, len(r.Model.Nodes))
	count := make([]float64, len(out))
	for e := range r.Model.Elements {
		s := r.ElementStress(e)
		for i, n := range r.Model.Elements[e].Node {
			count[n]++
			for k := range s[i] {
				out[n][k] += s[i][k]
			}
		}
	}
	for n := range out {
		for k := range out[n] {
			out[n][k] /= count[n]
		}
	}
	return out
}

// Roots marks the nodes at sharp inside corners between floors and walls, and those of
// the elements about them at less than a layer's height: stress there grows without end
// on finer meshes, and is nominal.
func (m *Model) Roots() []bool {
	edge := make([]bool, len(m.Nodes))
	rows := 2*m.layers() + 1
	for _, s := range m.Mesh.Sides {
		for k := 1; k < m.layers(); k++ {
			metal := 0
			for _, t := range s.Triangle {
				for _, layer := range [2]int{k - 1, k} {
					if m.hasMetal(t, layer) {
						metal++
					}
				}
			}
			if metal != 3 { // of the four quarters about the edge
				continue
			}
			for _, n := range s.Node {
				edge[m.at[int(n)*rows+2*k]] = true
			}
		}
	}
	out := make([]bool, len(m.Nodes))
	for e := range m.Elements {
		el := &m.Elements[e]
		var height [3]bool // by bottom, middle, top of the element: an edge lies there
		for i, n := range el.Node {
			height[i/6] = height[i/6] || edge[n]
		}
		for i, n := range el.Node {
			near := height[i/6] || i/6 == 1 && (height[0] || height[2])
			out[n] = out[n] || near
		}
	}
	return out
}

// PlaneNode is the node of the plane mesh below or above each node.
func (m *Model) PlaneNode() []int32 {
	out := make([]int32, len(m.Nodes))
	rows := 2*m.layers() + 1
	for i, n := range m.at {
		if n >= 0 {
			out[n] = int32(i / rows)
		}
	}
	return out
}

// Layers is the number of layers between the lowest and the highest face.
func (m *Model) Layers() int { return m.layers() }

// MaxDeflection returns the longest displacement of a node, mm, and where.
func (r *Result) MaxDeflection() (d float64, at Vec) {
	for n, p := range r.Model.Nodes {
		if v := Vec(r.U[3*n : 3*n+3]).len(); v > d {
			d, at = v, p
		}
	}
	return d, at
}
