package verify

import (
	"context"
	"fmt"
	"math"

	"platewright/fea/mesh"
	"platewright/fea/shell"
	"platewright/plate/geom"
)

// band is metal between two heights across a strip.
type band struct {
	width, z0, z1 float64
	n             int // elements across
}

// strips are long plates of one section with floors off the middle, bent by end moments: the curvature against that of
// the whole section about its own centroid.
func strips(b *book, _ *tables) error {
	const moment = 1e4
	for _, c := range []struct {
		name  string
		bands []band
	}{
		{"T", []band{{20, 0, 3, 4}, {6, 0, 20, 2}, {20, 0, 3, 4}}},
		{"L", []band{{6, 0, 20, 2}, {30, 0, 4, 6}}},
		{"channel", []band{{5, 0, 18, 2}, {40, 0, 4, 8}, {5, 0, 18, 2}}},
	} {
		s := sectionOf(c.bands)
		want := moment / aluminium.E * s.izz / (s.iss*s.izz - s.isz*s.isz)
		b.one(exact(Element, "strip with an eccentric floor, "+c.name, "curvature under an end moment, 1/mm", want, 1,
			"section formula κ = M Izz/E(Iss Izz − Isz²)"), func(ctx context.Context) (float64, error) {
			return stripCurvature(ctx, c.bands, s, moment)
		})
	}
	return twists(b)
}

type moments struct{ yc, zc, iss, izz, isz float64 }

// sectionOf is the bands as one section: centroid, second moments about the horizontal and the upright axis through it,
// and their product.
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

// stripMesh is a strip along x with its bands across y.
func stripMesh(length float64, nx int, bands []band) (*mesh.Mesh, [][]shell.Interval) {
	ys, y := []float64{0}, 0.0
	var of []int32
	var metal [][]shell.Interval
	for i, b := range bands {
		for range b.n {
			y += b.width / float64(b.n)
			ys, of = append(ys, y), append(of, int32(i))
		}
		metal = append(metal, []shell.Interval{{Z0: b.z0, Z1: b.z1}})
	}
	ny := len(of)
	at := func(a, b float64) geom.Point {
		k := min(int(b*float64(ny)+1e-9), ny-1)
		f := b*float64(ny) - float64(k)
		return geom.Pt(length*a, ys[k]+f*(ys[k+1]-ys[k]))
	}
	return grid(nx, ny, at, func(_, b float64) int32 { return of[int(b*float64(ny))] }), metal
}

func stripCurvature(ctx context.Context, bands []band, s moments, moment float64) (float64, error) {
	const length = 400.0
	m, metal := stripMesh(length, 40, bands)
	md, err := newBody(m, metal, aluminium, 7)
	if err != nil {
		return 0, err
	}
	det := s.iss*s.izz - s.isz*s.isz
	for _, tr := range m.Triangles {
		iv := metal[tr.Face][0]
		c, h := (iv.Z0+iv.Z1)/2, iv.Z1-iv.Z0
		for k := range 3 {
			side := [3]int32{tr.Node[(k+1)%3], tr.Node[(k+2)%3], tr.Node[3+k]}
			x0, x1 := m.Nodes[side[0]].X, m.Nodes[side[1]].X
			sign := 0.0
			switch {
			case on(x0, 0) && on(x1, 0):
				sign = -1
			case on(x0, length) && on(x1, length):
				sign = 1
			default:
				continue
			}
			// The stress of the bent beam; two Gauss points over the height carry a straight stress exactly.
			for _, z := range []float64{c - h/2/math.Sqrt(3), c + h/2/math.Sqrt(3)} {
				md.AddSide(side, z, func(p shell.SidePoint) shell.Vector {
					return shell.Vector{sign * h / 2 * moment * (s.izz*(z-s.zc) - s.isz*(p.P.Y-s.yc)) / det}
				}, md.f)
			}
		}
	}
	width := 0.0
	for _, b := range bands {
		width += b.width
	}
	u, err := md.solve(ctx, freeBar(length, width), md.f)
	if err != nil {
		return 0, err
	}
	i, j := md.nodeAt(geom.Pt(length/4, 0)), md.nodeAt(geom.Pt(3*length/4, 0))
	return (u[0][5*j+3] - u[0][5*i+3]) / (m.Nodes[j].X - m.Nodes[i].X), nil
}

// freeBar holds the six rigid motions of a bar in the middle of its length, and nothing else.
func freeBar(length, width float64) func(p geom.Point) [5]bool {
	return func(p geom.Point) (h [5]bool) {
		switch {
		case on(p.X, length/2) && on(p.Y, 0):
			h = [5]bool{true, true, true, true, false}
		case on(p.X, length/2) && on(p.Y, width):
			h = [5]bool{true, false, true, false, false}
		}
		return h
	}
}

// panelSizes are the width of a panel's pockets and ribs and where its floor lies, mm.
func panelSizes(r record) (v [4]float64, err error) {
	for i, k := range []string{"pocket_mm", "rib_mm", "floor_z0_mm", "floor_z1_mm"} {
		if v[i], err = r.num(k); err != nil {
			break
		}
	}
	return v, err
}

// panelSource is where the panels' compliances come from.
const panelSource = "compliances of a fine solid model of a separate prototype, itself 0.3–1 % stiff; square corners, body force"

// panels are clamped panels with pockets under four body forces, against fine solid runs. The live model's stiffness is
// to lie from 1 % under to 6 % over them, in twist to 9 % over.
func panels(b *book, t *tables) error {
	loads := []string{"tension", "shear", "bend", "twist"}
	const source = panelSource
	for _, r := range t.of["panels"] {
		v, err := panelSizes(r)
		if err != nil {
			return err
		}
		var rows []Row
		name := fmt.Sprintf("ribbed panel, floor from %g to %g mm, live model", v[2], v[3])
		for _, k := range loads {
			c, err := r.num(k)
			if err != nil {
				return err
			}
			tolerance := 6.0
			if k == "twist" {
				tolerance = 9
			}
			rows = append(rows, Row{Name: name, Quantity: "stiffness 1/(f·u), " + k, Published: 1 / c, Tolerance: tolerance, Under: 1, Kind: Element, Source: source, Seen: Computed})
		}
		b.add(func(ctx context.Context) ([]float64, error) {
			return panel(ctx, v[0], v[1], shell.Interval{Z0: v[2], Z1: v[3]})
		}, rows...)
	}
	return solidPanels(b, t)
}

// panel is 190 × 130 × 20 with 3 × 2 square pockets, clamped at x = 0; its stiffnesses under four loads.
func panel(ctx context.Context, pocket, rib float64, floor shell.Interval) ([]float64, error) {
	m, metal, err := panelMesh(ctx, pocket, rib, floor, 8)
	if err != nil {
		return nil, err
	}
	md, err := newBody(m, metal, shell.Material{E: 70000, Nu: 0.33}, 10)
	if err != nil {
		return nil, err
	}
	loads := make([][]float64, 4)
	for i := range loads {
		loads[i] = make([]float64, len(md.f))
		for e := range m.Triangles {
			x := md.Triangle(e)
			if x.At(1./3, 1./3).X < 180 {
				continue
			}
			md.AddBody(e, func(p geom.Point) shell.Vector {
				return [4]shell.Vector{{1}, {0, 1}, {0, 0, 1}, {0, 0, p.Y - 65}}[i]
			}, loads[i])
		}
	}
	u, err := md.solve(ctx, func(p geom.Point) (h [5]bool) {
		if on(p.X, 0) {
			h = clamped
		}
		return h
	}, loads...)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(loads))
	for i := range out {
		work := 0.0
		for k, q := range loads[i] {
			work += q * u[i][k]
		}
		out[i] = 1 / work
	}
	return out, nil
}

// panelMesh has elements half a rib wide, elsewhere of the given size, and the metal of each face.
func panelMesh(ctx context.Context, pocket, rib float64, floor shell.Interval, size float64) (*mesh.Mesh, [][]shell.Interval, error) {
	shapes := []geom.Shape{
		geom.RegionOf(geom.Rect(geom.Pt(0, 0), geom.Pt(190, 130))),
		geom.RegionOf(geom.Rect(geom.Pt(180, 0), geom.Pt(190, 130))),
	}
	for i := range 3 {
		for j := range 2 {
			lo := geom.Pt(rib+float64(i)*(pocket+rib), rib+float64(j)*(pocket+rib))
			shapes = append(shapes, geom.RegionOf(geom.Rect(lo, lo.Add(geom.Pt(pocket, pocket)))))
		}
	}
	sub, err := geom.Subdivide(shapes)
	if err != nil {
		return nil, nil, err
	}
	solid := make([]bool, len(sub.Faces))
	metal := make([][]shell.Interval, len(sub.Faces))
	for f := range solid {
		solid[f] = len(sub.Faces[f].Layers) > 0
		if solid[f] {
			metal[f] = []shell.Interval{{Z0: 0, Z1: 20}}
		}
		for _, l := range sub.Faces[f].Layers {
			if l >= 2 {
				metal[f] = []shell.Interval{floor}
			}
		}
	}
	m, err := mesh.Generate(ctx, sub, solid, mesh.Options{Size: size})
	return m, metal, err
}
