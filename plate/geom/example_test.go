package geom_test

import (
	"fmt"
	"math"

	"platewright/plate/geom"
)

// A plate with a bore across its edge: the arc keeps centre and radius.
func ExampleDifference() {
	plate := geom.RegionOf(geom.Rect(geom.Pt(0, 0), geom.Pt(100, 60)))
	bore := geom.RegionOf(geom.Circle(geom.Pt(100, 30), 12))
	rest, err := geom.Difference(plate, bore)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(rest[0].Outer)
	fmt.Printf("%.6f mm²\n", rest.Area())
	// Output:
	// M 0,0 L 100,0 L 100,18 A 100,42 100,30 - L 100,60 L 0,60 Z
	// 5773.805329 mm²
}

// What a cutter of 6 mm diameter leaves of a square pocket.
func ExampleOpen() {
	pocket := geom.RegionOf(geom.Rect(geom.Pt(0, 0), geom.Pt(40, 30)))
	cell, err := geom.Open(pocket, 3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(cell[0].Outer)
	fmt.Printf("corners lose %.3f mm²\n", pocket.Area()-cell.Area())
	// Output:
	// M 0,3 A 3,0 3,3 + L 37,0 A 40,3 37,3 + L 40,27 A 37,30 37,27 + L 3,30 A 0,27 3,27 + Z
	// corners lose 7.726 mm²
}

// Which shapes cover which part of the plane, and the parts joined again by a
// property of theirs.
func ExampleSubdivide() {
	layers := []geom.Shape{
		geom.RegionOf(geom.Rect(geom.Pt(0, 0), geom.Pt(30, 20))), // 0: plate
		geom.RegionOf(geom.Circle(geom.Pt(10, 10), 6)),           // 1: boss
		geom.RegionOf(geom.Circle(geom.Pt(10, 10), 4)),           // 2: bore
	}
	s, err := geom.Subdivide(layers)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, f := range s.Faces[1:] {
		fmt.Printf("face %d: layers %v, %.2f mm²\n", i+1, f.Layers, f.Area())
	}
	solid, from, err := s.Merge(func(face int) int {
		if l := s.Faces[face].Layers; len(l) > 0 && l[len(l)-1] != 2 {
			return 1 // covered, and not bored away
		}
		return 0
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("solid: face 1 from faces %v, %.2f mm² with %d hole\n", from[1], solid.Faces[1].Area(), len(solid.Faces[1].Holes))
	// Output:
	// face 1: layers [0], 486.90 mm²
	// face 2: layers [0 1], 62.83 mm²
	// face 3: layers [0 1 2], 50.27 mm²
	// solid: face 1 from faces [1 2], 549.73 mm² with 1 hole
}

// An outline from its corners, one of them rounded, one side an arc.
func ExamplePath() {
	top := geom.Pt(20, 25)
	c, err := geom.Path([]geom.Corner{
		{P: geom.Pt(0, 0), Radius: 4},
		{P: geom.Pt(40, 0), Radius: 4},
		{P: geom.Pt(40, 20), Through: &top},
		{P: geom.Pt(0, 20)},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c)
	// Output:
	// M 0,4 A 4,0 4,4 + L 36,0 A 40,4 36,4 + L 40,20 A 0,20 20,-17.5 + Z
}

// The least wall between two bores, with the points where it is.
func ExampleGaps() {
	bores := []geom.Contour{
		geom.Circle(geom.Pt(0, 0), 5),
		geom.Circle(geom.Pt(15, 0), 6),
		geom.Circle(geom.Pt(60, 0), 6),
	}
	for _, g := range geom.Gaps(bores, 10) {
		fmt.Printf("%d–%d: %g mm between %v and %v\n", g.I, g.J, g.D, g.P, g.Q)
	}
	// Output:
	// 0–1: 4 mm between 5,0 and 9,0
}

func ExampleContour_Moments() {
	m := geom.Circle(geom.Pt(50, 0), 10).Moments()
	c := m.At(m.Centroid())
	fmt.Printf("area %.3f, centroid %.1f,%.1f, ∫y² %.1f (πr⁴/4 = %.1f)\n",
		m.A, m.Centroid().X, m.Centroid().Y, c.Syy, math.Pi*1e4/4)
	// Output:
	// area 314.159, centroid 50.0,0.0, ∫y² 7854.0 (πr⁴/4 = 7854.0)
}
