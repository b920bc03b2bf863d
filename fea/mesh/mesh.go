package mesh

import (
	"context"
	"fmt"
	"math"

	"platewright/plate/geom"
)

// Mesh is a division of the metal of a map into six-node triangles. It is
// immutable: nobody may change what its fields point to.
type Mesh struct {
	// Nodes are the corners of the triangles, then the middles of their sides.
	Nodes []geom.Point
	// Corners is the number of corner nodes.
	Corners int
	// Triangles are in the order of a space-filling curve through their middles.
	Triangles []Triangle
	// Sides are the sides of triangles on edges of the map, ordered by edge and
	// along it.
	Sides []Side
	// Vertices gives for every vertex of the map its node, or −1 where it
	// borders no metal.
	Vertices []int32
	// Quality says how good the mesh is.
	Quality Quality
	// Followed says that the mesh was moved from another, by Follow.
	Followed bool
	// Divided says that the mesh was made from another, by Divide.
	Divided bool

	at       []float64       // of corner nodes on edges of the map: fraction of the edge's length
	on       []int32         // of corner nodes: edge of the map, free or atCorner
	edges    []geom.SubEdge  // of the map; not changed
	faces    int             // of the map
	minAngle float64         // Options.MinAngle
	made     []SharpTriangle // Quality.Sharp when the mesh was made
}

// Triangle is an element: Node lists the three corners counter-clockwise, then
// the middles of the sides opposite corner 0, 1 and 2. Face is the face of the
// map that it lies in.
type Triangle struct {
	Node [6]int32
	Face int32
}

// Side is a side of one or two triangles on an edge of the map, in the direction
// of that edge.
type Side struct {
	Node     [3]int32 // start, end, middle
	Edge     int32    // of the map
	Triangle [2]int32 // to the left and right, or −1 where there is no metal
	Straight bool     // its edge is an arc, but it was left straight: see Quality.Straight
}

// Generate divides the metal of a map into triangles. metal says for every face
// of the map whether it holds metal; face 0 cannot.
//
// Every edge of the map with metal beside it becomes a chain of sides. The same
// input gives the same mesh. Generate looks at ctx every 256 points and returns
// its error. Other errors: input that is no map, options out of range, ErrTooFine.
func Generate(ctx context.Context, sub *geom.Subdivision, metal []bool, o Options) (*Mesh, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	b, err := newBuilder(ctx, sub, metal, o)
	if err != nil {
		return nil, err
	}
	return b.run()
}

// run makes the mesh of what the builder has read.
func (b *builder) run() (*Mesh, error) {
	if len(b.curves) == 0 {
		return &Mesh{Vertices: b.point, edges: b.sub.Edges, faces: len(b.sub.Faces), minAngle: b.o.MinAngle, Quality: Quality{MinAngle: math.Pi, MinFreeAngle: math.Pi, MinDeterminant: 1}}, nil
	}
	for _, step := range []func() error{
		b.divide, b.clearArcs, b.insertAll, b.constrain, b.label, b.findSizes, b.refine,
	} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return b.finish()
}

// newBuilder checks the input and reads it.
func newBuilder(ctx context.Context, sub *geom.Subdivision, metal []bool, o Options) (*builder, error) {
	if sub == nil {
		return nil, fmt.Errorf("mesh: there is no map")
	}
	if len(metal) != len(sub.Faces) {
		return nil, fmt.Errorf("mesh: metal has %d entries for %d faces: give one for every face", len(metal), len(sub.Faces))
	}
	if len(metal) > 0 && metal[0] {
		return nil, fmt.Errorf("mesh: face 0 is the plane around the plate and holds no metal")
	}
	if len(sub.Edges) > geom.MaxEdges {
		return nil, fmt.Errorf("mesh: the map has %d edges, the most is %d: simplify the drawing", len(sub.Edges), geom.MaxEdges)
	}
	for i := range sub.Edges {
		if err := checkEdge(sub, &sub.Edges[i], len(metal)); err != nil {
			return nil, fmt.Errorf("mesh: edge %d of the map: %w: build the map again", i, err)
		}
	}
	box := boxOf(sub, metal)
	o, err := o.withDefaults(max(box.Width(), box.Height(), 0.04), len(sub.Edges), len(sub.Faces))
	if err != nil {
		return nil, err
	}
	b := &builder{ctx: ctx, o: o, sub: sub, metal: metal}
	b.queue.low = queueLevels
	b.outerTriangle(box)
	b.readCurves()
	b.findCorners()
	return b, nil
}
