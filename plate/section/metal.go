package section

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platewright/plate/geom"
	"platewright/plate/layout"
)

// touch is the distance in mm below which two places along the line, or two heights, are the same: the merge distance of the
// geometry, rounded up. Metal thinner than it is no metal.
const touch = 1e-5

// along is the distance in mm from the cut line within which both ends of an edge must lie for the line to run along it:
// the merge distance of the geometry, rounded down.
const along = 1e-6

// span is the stretch of the line that lies in one face of the map.
type span struct {
	s0, s1 float64
	face   int32
}

// metal lists the slabs along the line. Where the line runs along a wall, the face on its left counts, and a note says so.
func (cl line) metal(l *layout.Layout) ([]Slab, []string) {
	walls := cl.walls(l)
	spans := cl.spans(l)
	var notes []string
	for _, w := range walls {
		spans = leave(spans, w)
		notes = append(notes, fmt.Sprintf("the cut line runs along a wall from s = %.4g to %.4g mm: the metal on its left is taken", w.s0, w.s1))
	}
	spans = append(spans, walls...)
	slices.SortFunc(spans, bySpan)
	snap(spans)
	var slabs []Slab
	for _, sp := range spans {
		if sp.s1 <= sp.s0 {
			continue
		}
		for _, iv := range l.Map.Metal[sp.face] {
			z0, z1 := unsigned(iv.Z0), unsigned(iv.Z1)
			slabs = append(slabs, Slab{S0: sp.s0, S1: sp.s1, Bottom0: z0, Bottom1: z0, Top0: z1, Top1: z1})
		}
	}
	return join(slabs), notes
}

// unsigned turns a negative zero into a plain one, which prints as 0.
func unsigned(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}

func bySpan(a, b span) int {
	return cmp.Or(cmp.Compare(a.s0, b.s0), cmp.Compare(a.s1, b.s1), cmp.Compare(a.face, b.face))
}

// bySlab orders slabs along the line, then from the bottom up.
func bySlab(a, b Slab) int {
	return cmp.Or(cmp.Compare(a.S0, b.S0), cmp.Compare(a.Bottom0+a.Bottom1, b.Bottom0+b.Bottom1))
}

// spans are the stretches of the line inside each face with metal.
func (cl line) spans(l *layout.Layout) []span {
	var out []span
	reach := cl.box()
	for f, metal := range l.Map.Metal {
		if len(metal) == 0 {
			continue
		}
		r := l.Map.Faces[f].Region
		if !r.Box().Overlaps(reach) {
			continue
		}
		for _, iv := range (geom.Shape{r}).Crossings(cl.a, cl.b) {
			if iv[1]-iv[0] > touch {
				out = append(out, span{iv[0], iv[1], int32(f)})
			}
		}
	}
	return out
}

// walls finds the stretches of the line that run along straight edges of the map, each with the face on the left of the
// line. They are found by distance, not from what the crossings leave: where rounding puts an edge on one side of the line
// at one end and on the other at the other, the crossings would change faces at some place between.
func (cl line) walls(l *layout.Layout) []span {
	var out []span
	for _, e := range l.Map.Edges {
		if e.IsArc() {
			continue
		}
		a, b := e.A.Sub(cl.a), e.B.Sub(cl.a)
		if math.Abs(cl.u.Cross(a)) > along || math.Abs(cl.u.Cross(b)) > along {
			continue
		}
		s0, s1, face := cl.u.Dot(a), cl.u.Dot(b), e.Left
		if s1 < s0 {
			s0, s1, face = s1, s0, e.Right
		}
		if s0, s1 = max(s0, 0), min(s1, cl.length); s1-s0 > touch {
			out = append(out, span{s0, s1, face})
		}
	}
	slices.SortFunc(out, bySpan)
	return out
}

// leave takes the stretch of w out of the spans.
func leave(spans []span, w span) []span {
	var out []span
	for _, sp := range spans {
		if left := (span{sp.s0, min(sp.s1, w.s0), sp.face}); left.s1-left.s0 > touch {
			out = append(out, left)
		}
		if right := (span{max(sp.s0, w.s1), sp.s1, sp.face}); right.s1-right.s0 > touch {
			out = append(out, right)
		}
	}
	return out
}

// snap gives places along the line that are the same up to rounding one value, so that neighbouring faces meet.
func snap(spans []span) {
	ends := make([]*float64, 0, 2*len(spans))
	for i := range spans {
		ends = append(ends, &spans[i].s0, &spans[i].s1)
	}
	slices.SortFunc(ends, func(a, b *float64) int { return cmp.Compare(*a, *b) })
	for i := 0; i < len(ends); {
		v, j := *ends[i], i
		for ; j < len(ends) && *ends[j]-v <= touch; j++ {
			*ends[j] = v
		}
		i = j
	}
}

// join sorts slabs and makes one of neighbours with the same metal.
func join(slabs []Slab) []Slab {
	slices.SortStableFunc(slabs, bySlab)
	var out []Slab
	for _, b := range slabs {
		i := slices.IndexFunc(out, func(o Slab) bool {
			return o.S1 == b.S0 && o.Bottom0 == b.Bottom0 && o.Bottom1 == b.Bottom1 && o.Top0 == b.Top0 && o.Top1 == b.Top1 &&
				o.Bottom0 == o.Bottom1 && o.Top0 == o.Top1
		})
		if i >= 0 {
			out[i].S1 = b.S1
			continue
		}
		out = append(out, b)
	}
	return out
}

// connect numbers the pieces in Slab.Piece and returns how many there are. Slabs belong together where they share a
// stretch of wall longer than touch; a common corner does not hold.
func connect(slabs []Slab) int {
	root := make([]int, len(slabs))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	starts := map[float64][]int{}
	for i, b := range slabs {
		starts[b.S0] = append(starts[b.S0], i)
	}
	for i, a := range slabs {
		for _, j := range starts[a.S1] {
			if b := slabs[j]; min(a.Top1, b.Top0)-max(a.Bottom1, b.Bottom0) > touch {
				root[find(j)] = find(i)
			}
		}
	}
	number := map[int]int{}
	for i := range slabs {
		r := find(i)
		if _, ok := number[r]; !ok {
			number[r] = len(number)
		}
		slabs[i].Piece = number[r]
	}
	return len(number)
}
