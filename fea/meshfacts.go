package fea

import (
	"platewright/fea/mesh"
	"platewright/plate/geom"
)

// MeshFacts say how fine the mesh of a model is and how well its elements are shaped.
type MeshFacts struct {
	Elements, Nodes int        // for displacements
	Divided         int        // elements for stresses: more where cases peak
	AskedAngle      float64    // the least angle wherever the plate's form allows it, rad
	Below           int        // elements with an angle below it
	LeastAngle      float64    // between the straight sides of an element, rad
	At              geom.Point // its place
	Near            string     // what is next to it
	Cause           string     // why it is below the angle asked for; "" if it is not
}

// facts are those of the model's mesh before elements are divided.
func (m *Model) facts() MeshFacts {
	q := &m.Mesh.Quality
	f := MeshFacts{
		Elements: len(m.Mesh.Triangles), Nodes: len(m.Mesh.Nodes), Divided: len(m.Mesh.Triangles), AskedAngle: leastAngle,
		Below: len(q.Sharp), LeastAngle: q.MinAngle, At: q.At, Near: m.nearest(q.At),
	}
	if m.Coarse {
		f.AskedAngle = coarseAngle
	}
	if q.Cause != mesh.NotSharp {
		f.Cause = q.Cause.String()
	}
	return f
}
