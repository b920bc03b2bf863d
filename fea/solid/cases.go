package solid

import (
	"context"
	"fmt"
	"math"

	"platewright/fea/mesh"
	"platewright/plate"
	"platewright/plate/layout"
)

// Of makes the model of a layout from a mesh of its map, such as that of its live
// model. Its Solve takes the document's load cases.
func Of(l *layout.Layout, m *mesh.Mesh, o Options) (*Model, error) {
	if l == nil {
		return nil, fmt.Errorf("solid: no layout to analyse")
	}
	metal := make([][]Interval, len(l.Map.Metal))
	for f, list := range l.Map.Metal {
		for _, iv := range list {
			metal[f] = append(metal[f], Interval(iv))
		}
	}
	mat := l.Plate.Stock.Material
	out, err := New(m, metal, Material{E: mat.Young, Nu: mat.Poisson, Density: mat.Density}, o)
	if err != nil {
		return nil, err
	}
	out.layout = l
	return out, nil
}

// Solve analyses a load case of the document of a model that Of made. Supports may
// be fixed, at bores, holes and edges; loads may be bore forces, line forces, area
// forces over the whole plate, and accelerations. Others are refused by name. It looks
// at ctx between bounded pieces of work.
func (m *Model) Solve(ctx context.Context, c plate.LoadCase) (*Result, error) {
	r, err := m.solveCase(ctx, &c)
	if err != nil {
		return nil, fmt.Errorf("solid: load case %q: %w", c.Name, err)
	}
	return r, nil
}

func (m *Model) solveCase(ctx context.Context, c *plate.LoadCase) (*Result, error) {
	switch {
	case m.layout == nil:
		return nil, fmt.Errorf("the model was made without a document; make it with Of")
	case len(c.Loads) == 0:
		return nil, fmt.Errorf("it has no load; add one")
	case !(c.Factor > 0) || math.IsInf(c.Factor, 0):
		return nil, fmt.Errorf("its factor is %v; give a number above zero", c.Factor)
	case c.Setting != 0:
		return nil, fmt.Errorf("it is of setting %d of the adjusters, which the solid check does not take; see the live model alone", c.Setting)
	}
	load, err := m.loads(c)
	if err != nil {
		return nil, err
	}
	held, err := m.supports(c)
	if err != nil {
		return nil, err
	}
	s, err := m.Factor(ctx, held, nil)
	if err != nil {
		return nil, err
	}
	defer s.Release()
	return s.Solve(ctx, load)
}

// supports holds what the case's supports hold.
func (m *Model) supports(c *plate.LoadCase) ([]bool, error) {
	list := m.layout.Plate.Supports
	if len(c.Supports) > 0 {
		list = nil
		for _, id := range c.Supports {
			n := len(list)
			for _, s := range m.layout.Plate.Supports {
				if s.ID == id {
					list = append(list, s)
				}
			}
			if len(list) == n {
				return nil, fmt.Errorf("it names support %d, which the document does not have", id)
			}
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("the plate has no support; hold it at bores or edges")
	}
	held := make([]bool, m.Unknowns())
	for _, s := range list {
		who := fmt.Sprintf("support %q", s.Name)
		if s.Kind != plate.Fixed {
			return nil, fmt.Errorf("%s is of the kind %q, which the solid check does not take; make it %q, or see the live model alone", who, s.Kind, plate.Fixed)
		}
		walls, err := m.walls(s.On, who)
		if err != nil {
			return nil, err
		}
		for _, w := range walls {
			for _, p := range w.points {
				for _, n := range p.node {
					held[3*n], held[3*n+1], held[3*n+2] = true, true, true
				}
			}
		}
	}
	return held, nil
}

// loads adds up the loads of a case.
func (m *Model) loads(c *plate.LoadCase) ([]float64, error) {
	sum := m.Zeros()
	for _, lf := range c.Loads {
		var load *plate.Load
		for i := range m.layout.Plate.Loads {
			if l := &m.layout.Plate.Loads[i]; l.ID == lf.Load {
				load = l
			}
		}
		if load == nil {
			return nil, fmt.Errorf("it names load %d, which the document does not have", lf.Load)
		}
		k := c.Factor * lf.Factor
		force := Vec{k * load.Force[0], k * load.Force[1], k * load.Force[2]}
		if c.Mirrored { // in a plane across x
			force[0] = -force[0]
		}
		for _, v := range append(force[:], load.At[2]) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, fmt.Errorf("a figure of load %q is not finite; give numbers", load.Name)
			}
		}
		if err := m.add(load, force, sum); err != nil {
			return nil, err
		}
	}
	return sum, nil
}

// add adds one load, whose force is given with its factors.
func (m *Model) add(load *plate.Load, force Vec, sum []float64) error {
	who := fmt.Sprintf("load %q", load.Name)
	switch load.Kind {
	case plate.Acceleration:
		density := m.Material.Density
		if !(density > 0) {
			return fmt.Errorf("%s needs the density of the material, which is %v kg/m³; give it", who, density)
		}
		// The mass is that of the layout; the mesh's differs by drill points and chords.
		k := m.layout.Volume() * density * 1e-9 * plate.StandardGravity / m.Volume()
		m.AddBody(nil, func(Vec) Vec { return Vec{}.add(force, k) }, sum)
		return nil
	case plate.AreaForce:
		if load.On.Feature != 0 || load.On.OnEdge || len(load.On.Bounds) > 0 || load.On.Side != plate.Top && load.On.Side != plate.Bottom {
			return fmt.Errorf("%s acts on a part of the plate or inside it; the solid check takes loads over all of the top or the bottom", who)
		}
		area := 0.0
		for _, a := range m.Mesh.Quality.Areas {
			area += a.Mesh
		}
		m.AddSurface(load.On.Side == plate.Top, nil, func(Vec) Vec { return Vec{}.add(force, 1/area) }, sum)
		return nil
	case plate.LineForce:
		walls, err := m.walls(load.On, who)
		if err != nil {
			return err
		}
		area := 0.0
		for _, w := range walls {
			area += w.area()
		}
		for _, w := range walls {
			m.AddWall(w.points, func(WallPoint) Vec { return Vec{}.add(force, 1/area) }, sum)
		}
		return nil
	case plate.BoreForce:
		for _, e := range m.layout.Plate.Eccentrics {
			if e.Bore == load.On.Feature {
				return fmt.Errorf("%s acts through eccentric %q, which the solid check does not take; see the live model alone", who, e.Name)
			}
		}
		walls, err := m.walls(load.On, who)
		if err != nil {
			return err
		}
		for _, w := range walls {
			if err := m.press(&w, Vec{}.add(force, 1/float64(len(walls))), load.At[2], sum); err != nil {
				return fmt.Errorf("%s: %w", who, err)
			}
		}
		return nil
	}
	return fmt.Errorf("%s is of the kind %q, which the solid check does not take; see the live model alone", who, load.Kind)
}

// leastPressed is the share of a half wall that must be there to be pressed on.
const leastPressed = 0.5

// press is Press on a round wall, which must be closed where it is pressed.
func (m *Model) press(w *wall, force Vec, z float64, load []float64) error {
	if w.radius == 0 {
		return fmt.Errorf("a bore force presses on what is no round wall; give a bore or a hole")
	}
	if size := math.Hypot(force[0], force[1]); size > 0 {
		pressed := 0.0
		for _, p := range w.points {
			pressed += p.Weight * max(0, -p.Normal.dot(Vec{force[0] / size, force[1] / size}))
		}
		// The projection of a full half wall is its width, 2r, times its height.
		if full := w.area() / math.Pi; pressed < leastPressed*full {
			return fmt.Errorf("the wall is open on the side that the load presses; turn the load or close the wall")
		}
	}
	m.Press(w.points, force, z, load)
	return nil
}

// Press adds to a load vector a pressure q·c·(1 + b·(z−z0)) where the normal out of the
// metal runs against the force: c is the cosine between wall and force, z0 the height at
// which c² balances and b such that the resultant is at height z. The part of the force
// along the axis is even over the wall.
func (m *Model) Press(points []WallPoint, force Vec, z float64, load []float64) {
	area := (&wall{points: points}).area()
	m.AddWall(points, func(WallPoint) Vec { return Vec{0, 0, force[2] / area} }, load)
	size := math.Hypot(force[0], force[1])
	if size == 0 {
		return
	}
	dir := Vec{force[0] / size, force[1] / size}
	cosine := func(p WallPoint) float64 { return max(0, -p.Normal.dot(dir)) }
	var a, s, i float64
	for _, p := range points {
		c := cosine(p)
		a += p.Weight * c * c
		s += p.Weight * c * c * p.At[2]
	}
	z0 := s / a
	for _, p := range points {
		c := cosine(p)
		i += p.Weight * c * c * (p.At[2] - z0) * (p.At[2] - z0)
	}
	b := a * (z - z0) / i
	m.AddWall(points, func(p WallPoint) Vec {
		return Vec{}.add(p.Normal, -size/a*cosine(p)*(1+b*(p.At[2]-z0)))
	}, load)
}
