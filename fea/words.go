package fea

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"platewright/fea/shell"
	"platewright/fea/sparse"
	"platewright/plate/geom"
)

// nearest names the bore, hole or slot nearest to a point of the plate.
func (m *Model) nearest(q geom.Point) string {
	best, name := math.Inf(1), "the middle of the plate"
	for i := range m.Layout.Cuts {
		c := &m.Layout.Cuts[i]
		if !isWall(c.Kind) {
			continue
		}
		at := c.Center
		if c.Diameter == 0 {
			at = c.Region.Box().Center()
		}
		if d := at.Dist(q); d < best {
			best, name = d, fmt.Sprintf("%s %q", feature(c), c.FeatureName)
		}
	}
	return name
}

// freeMotion puts into words which rigid motion the supports leave free, where the
// factorisation has failed or the plate has no stiffness against it.
func (h *holding) freeMotion(ctx context.Context) error {
	m := h.m
	positions := make([][3]float64, len(m.Mesh.Nodes))
	components := make([][]sparse.Component, len(m.Mesh.Nodes))
	five := []sparse.Component{sparse.MoveX, sparse.MoveY, sparse.MoveZ, sparse.TiltX, sparse.TiltY}
	for i, q := range m.Mesh.Nodes {
		positions[i] = [3]float64{q.X, q.Y, m.Shell.ZRef - m.centre[2]}
		components[i] = five
	}
	vectors, centre, err := h.sym.RigidBody(positions, components)
	if err != nil {
		return fmt.Errorf("fea: %w", err)
	}
	motions, err := h.sym.FreeMotions(ctx, h.element, h.anchors, vectors)
	if err != nil {
		return fmt.Errorf("fea: %w", err)
	}
	if len(motions) == 0 {
		return nil
	}
	var list []string
	for _, mo := range motions {
		list = append(list, m.motionInWords(sparse.Rigid(mo.Combination, centre, m.extent)))
	}
	return fmt.Errorf("fea: the supports leave the plate free to %s; hold it there too, or choose inertia relief", strings.Join(list, ", and to "))
}

// motionInWords says a rigid motion as a designer would.
func (m *Model) motionInWords(r sparse.RigidMotion) string {
	axis := func(v [3]float64) string {
		for k, name := range [3]string{"x", "y", "z"} {
			if math.Abs(v[k]) > 0.999 {
				return name
			}
		}
		return fmt.Sprintf("(%.2f, %.2f, %.2f)", v[0], v[1], v[2])
	}
	if length(r.Turn) < 0.5 {
		return "move along " + axis(r.Move)
	}
	mm := func(v float64) float64 { // rounding noise is no place
		return math.Round(v*100)/100 + 0
	}
	return fmt.Sprintf("turn about an axis along %s through (%g, %g) near %s", axis(r.Turn), mm(r.At[0]), mm(r.At[1]), m.nearest(geom.Pt(r.At[0], r.At[1])))
}

// explain turns an error of the solver into one about the plate.
func (h *holding) explain(ctx context.Context, err error) error {
	var s *sparse.SingularError
	if !errors.As(err, &s) {
		return err
	}
	if free := h.freeMotion(ctx); free != nil {
		return free
	}
	what := [shell.Unknowns]string{"along x", "along y", "along z", "in its tilt along x", "in its tilt along y"}[s.Component]
	q := h.m.Mesh.Nodes[s.Node]
	return fmt.Errorf("fea: the plate has next to no stiffness %s about (%.4g, %.4g) near %s: %w", what, q.X, q.Y, h.m.nearest(q), err)
}
