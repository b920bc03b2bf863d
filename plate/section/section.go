package section

import (
	"errors"
	"fmt"
	"math"

	"platewright/plate/geom"
	"platewright/plate/layout"
)

// UpperBound labels a section of more than one piece: its moments hold only if the pieces are tied so that they act as one.
const UpperBound = "upper bound: pieces act together"

// PolylineTol is how far, in mm, the polyline lies from the true section of what is no prism: a drill point,
// countersink, chamfer or floor fillet.
const PolylineTol = 1e-3

// ErrNoMetal is wrapped by the error of a cut line that meets no metal.
var ErrNoMetal = errors.New("the line meets no metal")

// shortest is the least length of a cut line in mm: below it the direction of the line is lost in the rounding of its ends.
const shortest = 1e-3

// farthest is the largest coordinate of a cut line in mm, as for everything drawn.
const farthest = geom.MaxCoord

// Result is the section along one cut line. It shares nothing with the layout.
type Result struct {
	Name   string
	Length float64 // of the cut line, mm
	Pieces int     // connected pieces of metal

	Area          float64    // mm²
	Centroid      [2]float64 // s, z in mm
	ISS, IZZ, ISZ float64    // mm⁴, about the centroid
	I1, I2        float64    // principal second moments, I1 ≥ I2, mm⁴
	AxisRad       float64    // of the axis that I1 is about, from s towards z, in (−π/2, π/2]

	EA         float64 // N
	EISS, EIZZ float64 // N·mm²

	// Elastic section moduli at the extreme fibres, mm³: ISS over the distance from the centroid to the highest and lowest
	// metal, IZZ over that to the first and last metal along the line.
	ModulusTop, ModulusBottom, ModulusStart, ModulusEnd float64

	// Plastic section moduli about the axes along s and z that halve the area, mm³, and where these lie: s, z in mm.
	PlasticS, PlasticZ float64
	EqualArea          [2]float64

	Extent      Extent
	PiecesList  []Piece // in order along the line
	Slabs       []Slab  // the metal, for drawing: sorted by S0, then by height
	Label       string  // UpperBound when there is more than one piece, else empty
	PolylineTol float64 // PolylineTol where a drill point, countersink, chamfer or floor fillet is met, else 0: exact
	Notes       []string
}

// Extent is the box of some metal in mm.
type Extent struct{ S0, S1, Z0, Z1 float64 }

// Piece is one connected piece of the section, with its moments about its own centroid.
type Piece struct {
	Area          float64
	Centroid      [2]float64
	ISS, IZZ, ISZ float64
	Extent        Extent
}

// Slab is metal between the lines s = S0 and s = S1, from Bottom0 to Top0 at S0 and from Bottom1 to Top1 at S1, straight
// between. Away from what is no prism it is a rectangle.
type Slab struct {
	S0, S1, Bottom0, Bottom1, Top0, Top1 float64
	Piece                                int // index into PiecesList
}

// At cuts the plate along the straight line from a to b; name is used in messages and kept in the result. The section is
// that of the metal between the two points. Errors: coordinates that are not finite or absurd, ends that coincide, no metal
// on the line, a modulus that is not a positive number.
func At(l *layout.Layout, name string, a, b geom.Point) (Result, error) {
	if l == nil || l.Map == nil || l.Map.Subdivision == nil {
		return Result{}, fmt.Errorf("section %q: the layout has no map", name)
	}
	cl, err := newLine(a, b)
	if err != nil {
		return Result{}, fmt.Errorf("section %q: %w", name, err)
	}
	young := l.Plate.Stock.Material.Young
	if !(young > 0) || math.IsInf(young, 1) {
		return Result{}, fmt.Errorf("section %q: Young's modulus is %v MPa, which is not a positive number: give the material's modulus", name, young)
	}
	r := Result{Name: name, Length: cl.length}
	r.Slabs, r.Notes = cl.metal(l)
	if len(r.Slabs) == 0 {
		o := l.Outline.Box()
		return Result{}, fmt.Errorf("section %q: %w: from (%g, %g) to (%g, %g); the plate lies between x %g and %g, y %g and %g: move the line across metal",
			name, ErrNoMetal, a.X, a.Y, b.X, b.Y, o.Min.X, o.Max.X, o.Min.Y, o.Max.Y)
	}
	var notes []string
	r.Slabs, r.PolylineTol, notes = cl.takeOthers(l, r.Slabs)
	r.Notes = append(r.Notes, notes...)
	if len(r.Slabs) == 0 {
		return Result{}, fmt.Errorf("section %q: %w: drill points remove all of it; move the line", name, ErrNoMetal)
	}
	r.Notes = append(r.Notes, cl.endNotes(l)...)
	r.Pieces = connect(r.Slabs)
	r.integrate(cl.length/2, l.Thickness/2)
	r.plastic()
	r.EA, r.EISS, r.EIZZ = young*r.Area, young*r.ISS, young*r.IZZ
	if r.Pieces > 1 {
		r.Label = UpperBound
	}
	return r, nil
}

// line is the cut line with its unit direction.
type line struct {
	a, b, u geom.Point
	length  float64
}

func newLine(a, b geom.Point) (line, error) {
	for _, v := range []float64{a.X, a.Y, b.X, b.Y} {
		if math.IsNaN(v) || math.Abs(v) > farthest {
			return line{}, fmt.Errorf("the cut line from (%v, %v) to (%v, %v) has a coordinate that is not a number within ±%g mm", a.X, a.Y, b.X, b.Y, float64(farthest))
		}
	}
	d := a.Dist(b)
	if d < shortest {
		return line{}, errors.New("the two ends of the cut line are the same point: move one of them")
	}
	return line{a: a, b: b, u: b.Sub(a).Mul(1 / d), length: d}, nil
}

// at is the point at distance s from the first end.
func (cl line) at(s float64) geom.Point { return cl.a.Add(cl.u.Mul(s)) }

// box is the smallest box that holds the line.
func (cl line) box() geom.Box { return geom.Box{}.Add(cl.a).Add(cl.b) }

// endNotes says where the line starts or ends inside metal: the section is then that of a part of the plate's width.
func (cl line) endNotes(l *layout.Layout) []string {
	var out []string
	for _, end := range []struct {
		what string
		p    geom.Point
		s    float64
	}{{"starts", cl.a, -shortest}, {"ends", cl.b, cl.length + shortest}} {
		if f := l.Map.Locate(cl.at(end.s)); int(f) < len(l.Map.Metal) && len(l.Map.Metal[f]) > 0 {
			out = append(out, fmt.Sprintf("the cut line %s inside the metal at (%g, %g): metal beyond is left out", end.what, end.p.X, end.p.Y))
		}
	}
	return out
}
