package sparse

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// model is a pattern with its element matrices, made by the tests.
type model struct {
	Pattern
	matrices [][]float64 // full, of each element
	springs  []Spring
}

func (m *model) element(e int, dst []float64) error {
	copy(dst, m.matrices[e])
	return nil
}

func (m *model) unknowns() int {
	n := 0
	for _, s := range m.Sizes {
		n += s
	}
	return n
}

// dense adds up the whole stiffness, the plain way.
func (m *model) dense() *mat.SymDense {
	first := make([]int, len(m.Sizes)+1)
	for n, s := range m.Sizes {
		first[n+1] = first[n] + s
	}
	k := mat.NewSymDense(max(m.unknowns(), 1), nil)
	for e, nodes := range m.Elements {
		var list []int
		for _, n := range nodes {
			for c := range m.Sizes[n] {
				list = append(list, first[n]+c)
			}
		}
		for i, a := range list {
			for j, b := range list[:i+1] {
				k.SetSym(a, b, k.At(a, b)+m.matrices[e][i*len(list)+j])
			}
		}
	}
	for _, s := range m.springs {
		k.SetSym(s.Unknown, s.Unknown, k.At(s.Unknown, s.Unknown)+s.Stiffness)
	}
	return k
}

// randomModel has nodes of random sizes at random places, and elements of nodes
// near each other with random positive definite matrices.
func randomModel(r *rand.Rand, nodes, maxSize, maxNodes int) *model {
	m := new(model)
	side := math.Sqrt(float64(nodes))
	for range nodes {
		m.Positions = append(m.Positions, [3]float64{side * r.Float64(), side * r.Float64(), r.Float64()})
		m.Sizes = append(m.Sizes, r.IntN(maxSize+1))
	}
	m.Sizes[r.IntN(nodes)] = max(1, maxSize)
	for n := range nodes {
		list := []int32{int32(n)}
		for range r.IntN(maxNodes) {
			o := int32(r.IntN(nodes))
			near := math.Hypot(m.Positions[n][0]-m.Positions[o][0], m.Positions[n][1]-m.Positions[o][1]) < 3 || r.IntN(50) == 0
			same := false
			for _, k := range list {
				same = same || k == o
			}
			if near && !same {
				list = append(list, o)
			}
		}
		size := 0
		for _, k := range list {
			size += m.Sizes[k]
		}
		if size == 0 {
			continue
		}
		m.Elements = append(m.Elements, list)
		m.matrices = append(m.matrices, randomMatrix(r, size))
	}
	for _, s := range m.Sizes {
		for range s {
			m.Held = append(m.Held, r.IntN(10) == 0)
		}
	}
	return m
}

// randomMatrix is B·Bᵀ + I/100 of size n.
func randomMatrix(r *rand.Rand, n int) []float64 {
	b := make([]float64, n*n)
	for i := range b {
		b[i] = r.NormFloat64()
	}
	k := make([]float64, n*n)
	for i := range n {
		for j := range n {
			k[i*n+j] = dot(b[i*n:i*n+n], b[j*n:j*n+n])
		}
		k[i*n+i] += 0.01
	}
	return k
}

// grid is a rectangle of nx × ny cells of two six-node triangles, without the
// cells that skip names by their middle.
func grid(lx, ly float64, nx, ny int, skip func(x, y float64) bool) ([][3]float64, [][]int32) {
	var at [][3]float64
	var triangles [][]int32
	id := make(map[[2]int]int32)
	node := func(i, j int) int32 {
		k, ok := id[[2]int{i, j}]
		if !ok {
			k = int32(len(at))
			id[[2]int{i, j}] = k
			at = append(at, [3]float64{lx * float64(i) / float64(2*nx), ly * float64(j) / float64(2*ny), 0})
		}
		return k
	}
	for j := range ny {
		for i := range nx {
			if skip != nil && skip((float64(i)+0.5)*lx/float64(nx), (float64(j)+0.5)*ly/float64(ny)) {
				continue
			}
			a, b := 2*i, 2*j
			triangles = append(triangles,
				[]int32{node(a, b), node(a+2, b), node(a+2, b+2), node(a+1, b), node(a+2, b+1), node(a+1, b+1)},
				[]int32{node(a, b), node(a+2, b+2), node(a, b+2), node(a+1, b+1), node(a+1, b+2), node(a, b+1)})
		}
	}
	return at, triangles
}

// shape6 are the shape functions of a six-node triangle and their derivatives by
// x and y at a place of its unit triangle, with twice the area.
func shape6(at [][3]float64, nodes []int32, r, s float64) (n, dx, dy [6]float64, det float64) {
	t := 1 - r - s
	n = [6]float64{t * (2*t - 1), r * (2*r - 1), s * (2*s - 1), 4 * t * r, 4 * r * s, 4 * s * t}
	dr := [6]float64{1 - 4*t, 4*r - 1, 0, 4 * (t - r), 4 * s, -4 * s}
	ds := [6]float64{1 - 4*t, 0, 4*s - 1, -4 * r, 4 * r, 4 * (t - s)}
	var xr, yr, xs, ys float64
	for i, k := range nodes {
		xr += dr[i] * at[k][0]
		yr += dr[i] * at[k][1]
		xs += ds[i] * at[k][0]
		ys += ds[i] * at[k][1]
	}
	det = xr*ys - xs*yr
	for i := range dx {
		dx[i] = (ys*dr[i] - yr*ds[i]) / det
		dy[i] = (xr*ds[i] - xs*dr[i]) / det
	}
	return n, dx, dy, det
}

// threePoints integrate quadratics over a triangle.
var threePoints = [3][2]float64{{1. / 6, 1. / 6}, {2. / 3, 1. / 6}, {1. / 6, 2. / 3}}

// addStrain adds w·bᵀ·d·b for strains b (rows of one strain each) to k.
func addStrain(k []float64, b [][]float64, d [][]float64, w float64) {
	n := len(b[0])
	for p := range b {
		for q := range b {
			if d[p][q] == 0 {
				continue
			}
			f := w * d[p][q]
			for i, x := range b[p] {
				if x != 0 {
					for j, y := range b[q] {
						k[i*n+j] += f * x * y
					}
				}
			}
		}
	}
}

// membrane is plane stress: unknowns u and v at each node.
func membrane(at [][3]float64, nodes []int32, e, nu, t float64) []float64 {
	k := make([]float64, 12*12)
	c := e * t / (1 - nu*nu)
	d := [][]float64{{c, c * nu, 0}, {c * nu, c, 0}, {0, 0, c * (1 - nu) / 2}}
	for _, p := range threePoints {
		_, dx, dy, det := shape6(at, nodes, p[0], p[1])
		b := [][]float64{make([]float64, 12), make([]float64, 12), make([]float64, 12)}
		for i := range 6 {
			b[0][2*i], b[1][2*i+1] = dx[i], dy[i]
			b[2][2*i], b[2][2*i+1] = dy[i], dx[i]
		}
		addStrain(k, b, d, det/6)
	}
	return k
}

// thick is a shear-deformable flat shell whose middle is at height offset: u, v,
// w and the tilts of the normal at each node, displacement form, three points.
func thick(at [][3]float64, nodes []int32, e, nu, t, offset float64) []float64 {
	k := make([]float64, 30*30)
	c := e / (1 - nu*nu)
	shear := e / (2 * (1 + nu)) * 5 / 6 * t
	plane := [3][3]float64{{c, c * nu, 0}, {c * nu, c, 0}, {0, 0, c * (1 - nu) / 2}}
	d := make([][]float64, 8)
	for i := range d {
		d[i] = make([]float64, 8)
	}
	for i := range 3 {
		for j := range 3 {
			d[i][j] = plane[i][j] * t
			d[i][3+j], d[3+i][j] = plane[i][j]*t*offset, plane[i][j]*t*offset
			d[3+i][3+j] = plane[i][j] * (t*t*t/12 + t*offset*offset)
		}
	}
	d[6][6], d[7][7] = shear, shear
	for _, p := range threePoints {
		n, dx, dy, det := shape6(at, nodes, p[0], p[1])
		b := make([][]float64, 8)
		for i := range b {
			b[i] = make([]float64, 30)
		}
		for i := range 6 {
			for part, u := range [2]int{5 * i, 5*i + 3} {
				b[3*part][u], b[3*part+1][u+1] = dx[i], dy[i]
				b[3*part+2][u], b[3*part+2][u+1] = dy[i], dx[i]
			}
			b[6][5*i+2], b[6][5*i+3] = dx[i], n[i]
			b[7][5*i+2], b[7][5*i+4] = dy[i], n[i]
		}
		addStrain(k, b, d, det/6)
	}
	return k
}

// plateModel is a perforated rectangle of thick shell, clamped at x = 0. Every
// third of the cells is a rib: five times as thick.
func plateModel(nx, ny int, thickness float64) *model {
	m := platePattern(nx, ny)
	at := m.Positions
	for _, t := range m.Elements {
		x, y := at[t[5]][0]+at[t[3]][0], at[t[5]][1]+at[t[3]][1]
		if int(x/2)%3 == 0 || int(y/2)%3 == 0 {
			m.matrices = append(m.matrices, thick(at, t, 70000, 0.33, 5*thickness, 0))
		} else {
			m.matrices = append(m.matrices, thick(at, t, 70000, 0.33, thickness, -2*thickness))
		}
	}
	return m
}

// platePattern is a plateModel without its matrices.
func platePattern(nx, ny int) *model {
	lx, ly := float64(nx), float64(ny)
	at, triangles := grid(lx, ly, nx, ny, holes(lx, ly))
	m := &model{Pattern: Pattern{Positions: at, Elements: triangles}}
	for _, p := range at {
		m.Sizes = append(m.Sizes, 5)
		for range 5 {
			m.Held = append(m.Held, p[0] == 0)
		}
	}
	return m
}

// holes are eight round holes in a rectangle.
func holes(lx, ly float64) func(x, y float64) bool {
	return func(x, y float64) bool {
		for i := range 4 {
			for j := range 2 {
				if math.Hypot(x-lx*(float64(i)+0.5)/4, y-ly*(float64(j)+0.5)/2) < ly/8 {
					return true
				}
			}
		}
		return false
	}
}

// factored analyses and factors a model.
func factored(t testing.TB, m *model, o Options) *Factor {
	t.Helper()
	s, err := Analyse(t.Context(), m.Pattern, o)
	if err != nil {
		t.Fatal(err)
	}
	f, err := s.Factor(t.Context(), m.element, m.springs, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// randomVector has normal random figures.
func randomVector(r *rand.Rand, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = r.NormFloat64()
	}
	return v
}
