package geom

import (
	"math"
	"math/rand/v2"
)

// A degenerate scene is built shape by shape, each set against an earlier one so
// that the two touch, share a stretch of their boundaries, are tangent, or
// would be but for a very small distance. Offsets are by half of what is there,
// so that ribs, slots, arcs and discs collapse.
type degenerate struct {
	kind    string
	a, b    []Contour
	d       float64 // offset
	spread  float64 // at a collapse: what is before or after it will do
	jitter  float64 // the library sees the scene without it
	open    bool    // counts are open: what touches in a point may be one or two
	sagitta float64 // if it must be finer than usual
	seed    uint64
}

var degenerateKinds = [...]string{"touching", "coincident", "tangent", "collapsing", "coincident but for rounding", "nearly touching", "near", "mixed"}

// newDegenerate builds scene k.
func newDegenerate(rg *rand.Rand, k int) degenerate {
	s := degenerate{kind: degenerateKinds[k%len(degenerateKinds)], seed: rg.Uint64(), d: []float64{0.7, 1.3, 2.1}[rg.IntN(3)]}
	all := []Contour{degenerateSeed(rg, s.kind == "coincident but for rounding")}
	n := 2 + rg.IntN(4)
	for tries := 0; len(all) <= n && tries < 40; tries++ {
		if c := s.attach(rg, all[rg.IntN(len(all))]); c.Check() == nil {
			if b := c.Box(); max(b.Width(), b.Height()) < 150 {
				all = append(all, c)
			}
		}
	}
	switch s.kind {
	case "collapsing":
		s.d = []float64{1.25, 2.5, 5}[rg.IntN(3)]
		s.spread = 1e-5
	case "coincident but for rounding":
		s.jitter = math.Pow(10, -11+4*rg.Float64())
	case "nearly touching":
		s.jitter, s.open = math.Pow(10, -9+5*rg.Float64()), true
	case "near":
		// Each shape moved by its own; the library sees it, at chords to match.
		s.jitter = math.Pow(10, -3+rg.Float64())
		s.sagitta = s.jitter / 4
		all = s.moved(all, 0)
		s.jitter = 0
	}
	if rg.IntN(2) == 0 { // an odd turn, so that nothing is exact
		f := Rotation(rg.Float64() * 6).Then(Translation(Pt(rg.Float64()*100, rg.Float64()*100)))
		for i := range all {
			all[i] = all[i].Transform(f)
		}
	}
	for i, c := range all {
		if i%2 == 0 {
			s.a = append(s.a, c)
		} else {
			s.b = append(s.b, c)
		}
	}
	return s
}

// moved returns the contours, each moved and turned a little by its own amount.
func (s *degenerate) moved(cs []Contour, salt uint64) []Contour {
	rg := rand.New(rand.NewPCG(s.seed, salt))
	out := make([]Contour, len(cs))
	for i, c := range cs {
		m := c.Box().Center()
		d := Pt(rg.Float64()-0.5, rg.Float64()-0.5).Mul(s.jitter)
		out[i] = c.Transform(rotationAbout(m, s.jitter/50*(rg.Float64()-0.5)).Then(Translation(d)))
	}
	return out
}

func degenerateSeed(rg *rand.Rand, straight bool) Contour {
	w, h := 5*float64(2+rg.IntN(8)), 5*float64(2+rg.IntN(6))
	if straight {
		return Rect(Pt(0, 0), Pt(w, h))
	}
	switch rg.IntN(4) {
	case 0:
		return RoundedRect(Pt(0, 0), Pt(w, h), []float64{0, 2.5, 5}[rg.IntN(3)])
	case 1:
		return Circle(Pt(0, 0), 2.5*float64(1+rg.IntN(6)))
	case 2:
		return Capsule(Pt(0, 0), Pt(w, h), []float64{1.25, 2.5, 5}[rg.IntN(3)])
	default:
		return Polygon(Pt(0, 0), Pt(w, 0), Pt(0, h))
	}
}

// attach returns a contour set against an edge of c in the manner of the kind.
func (s *degenerate) attach(rg *rand.Rand, c Contour) Contour {
	e := c[rg.IntN(len(c))]
	at := []float64{0, 0.25, 0.5, 1, rg.Float64()}[rg.IntN(5)]
	r := []float64{1.25, 2.5, 5, 7.5}[rg.IntN(4)]
	p := e.At(at)
	t := e.tangentAt(p)
	n := t.Perp().Mul(-1) // outwards
	kind := s.kind
	switch kind {
	case "touching", "coincident", "tangent":
	case "coincident but for rounding":
		// Straight edges only: circles that touch but for rounding may be one or two.
		if rg.IntN(5) == 0 {
			return append(Contour{}, c...)
		}
		return beside(e, []float64{1, -1}[rg.IntN(2)]*r, stretches[rg.IntN(len(stretches))])
	default:
		kind = degenerateKinds[rg.IntN(3)]
	}
	switch kind {
	case "touching":
		return touching(rg, p, t, n, r)
	case "coincident":
		return coincident(rg, c, e, r)
	default:
		return tangent(rg, p, t, n, r)
	}
}

// touching returns a contour that touches from outside in the point p.
func touching(rg *rand.Rand, p, t, n Point, r float64) Contour {
	switch rg.IntN(4) {
	case 0: // disc
		return Circle(p.Add(n.Mul(r)), r)
	case 1: // round end
		a := p.Add(n.Mul(r))
		return Capsule(a, a.Add(n.Mul(10).Add(t.Mul(5*float64(rg.IntN(3)-1)))), r)
	case 2: // corner
		return Polygon(p, p.Add(n.Mul(2*r)).Sub(t.Mul(-r)), p.Add(n.Mul(2*r)).Sub(t.Mul(r)))
	default: // a corner on each side of the boundary, both at p
		return Polygon(p, p.Add(t.Mul(r)), p.Add(n.Mul(-r)))
	}
}

// stretches of an edge, as fractions of its length.
var stretches = [...][2]float64{{0, 1}, {0.25, 0.75}, {0, 0.5}, {-0.25, 1.25}, {0.5, 1.5}}

// beside returns the rectangle of height h to the right of a stretch of line e,
// to the left for a negative h.
func beside(e Edge, h float64, cut [2]float64) Contour {
	n := e.TangentA().Perp().Mul(-h)
	a, b := e.A.lerp(e.B, cut[0]), e.A.lerp(e.B, cut[1])
	if a.Dist(b) < 0.5 {
		return nil
	}
	return turnLeft(Polygon(a, a.Add(n), b.Add(n), b))
}

// coincident returns a contour that shares a stretch of edge e, or all of c.
func coincident(rg *rand.Rand, c Contour, e Edge, r float64) Contour {
	side := []float64{1, -1}[rg.IntN(2)]
	if rg.IntN(6) == 0 {
		return append(Contour{}, c...)
	}
	if e.Dir == 0 {
		n := e.TangentA().Perp().Mul(-side) // outwards or inwards
		cuts := stretches[rg.IntN(len(stretches))]
		a, b := e.A.lerp(e.B, cuts[0]), e.A.lerp(e.B, cuts[1])
		if a.Dist(b) < 0.5 {
			return nil
		}
		switch rg.IntN(3) {
		case 0:
			return beside(e, side*r, cuts)
		case 1: // a rib beside it
			return Capsule(a.Add(n.Mul(r)), b.Add(n.Mul(r)), r)
		default: // one along it
			return Capsule(a, b, r)
		}
	}
	switch rg.IntN(3) {
	case 0: // the whole disc
		return Circle(e.C, e.R)
	case 1: // a concentric ring sector outside or inside
		h := min(r, e.R/2) / 2
		m := e.R + side*h
		g := Arc(e.C.Add(e.A.Sub(e.C).Mul(m/e.R)), e.C.Add(e.B.Sub(e.C).Mul(m/e.R)), e.C, e.Dir)
		if e.A == e.B {
			g = Arc(e.C.Add(Pt(m, 0)), e.C.Add(Pt(0, m)), e.C, 1)
		}
		return Stroke(g, h)
	default: // a rib that ends in it
		return Capsule(e.C, e.C.Add(Pt(15, 5*float64(rg.IntN(4)-2))), e.R)
	}
}

// tangent returns a contour tangent to the boundary at p: from inside, from
// across, or carrying on from it.
func tangent(rg *rand.Rand, p, t, n Point, r float64) Contour {
	switch rg.IntN(4) {
	case 0: // a disc inside
		return Circle(p.Sub(n.Mul(r)), r)
	case 1: // a rib whose side is tangent
		m := p.Sub(n.Mul(r))
		return Capsule(m.Sub(t.Mul(10)), m.Add(t.Mul(10)), r)
	case 2: // an arced rib that leaves along it
		q := 15.0
		c := p.Add(n.Mul(q))
		return Stroke(Edge{A: p, B: c.Add(p.Sub(c).Rotate(1.1)), C: c, R: q, Dir: 1}, min(r, 5))
	default: // a rib along the tangent
		return Capsule(p, p.Add(t.Mul(20)), r)
	}
}

func turnLeft(c Contour) Contour {
	if c.Area() < 0 {
		return c.Reverse()
	}
	return c
}
