package geom

import (
	"errors"
	"fmt"
	"math"
)

// Engine combines and offsets shapes and keeps its buffers between calls. The
// zero Engine is ready. It must not be used by two goroutines at once; results
// do not share its buffers.
type Engine struct {
	arr arrangement
	sub subScratch

	retries int // tries beyond the first so far, for tests
}

// KernelError says that the arrangement of the edges could not be closed into
// rings, not even after the input was turned by odd angles. It is a fault of
// this package, never of the drawing; the drawing and Op are what a report of
// it should hold.
type KernelError struct {
	Op     string // the operation
	Tries  int    // how often it was tried
	Pieces int    // size of the last arrangement
}

func (e *KernelError) Error() string {
	return fmt.Sprintf("geom: %s: a boundary of %d pieces did not close after %d tries; "+
		"please report this with the drawing, and move one of the shapes by 0.001 mm meanwhile", e.Op, e.Pieces, e.Tries)
}

// ErrTooLarge is wrapped by the errors that refuse input beyond the limits of
// this package (MaxRadius, MaxEdges, MaxPairs).
var ErrTooLarge = errors.New("more than the geometry kernel takes on")

// attempts are the turns of the input, and the multiples of the tolerances, that
// are tried one after the other. The angles have nothing to do with those of
// drawings, so what met by chance in one attempt does not in the next; the
// largest multiple still merges only what is within 1.3e-4 mm.
var attempts = [...]struct{ turn, times float64 }{
	{0, 1}, {0.7390851332, 1}, {2.3571113171, 4}, {4.1421356237, 16}, {5.5772156649, 64},
}

// feeder puts the input, mapped by t, into an empty arrangement.
type feeder func(r *arrangement, t Affine, turned bool)

// attempt builds the arrangement of the input until use accepts it. It returns
// the turn to undo.
func (e *Engine) attempt(op string, feed feeder, use func(r *arrangement) bool) (turn float64, err error) {
	r := &e.arr
	for k, a := range attempts {
		if k > 0 {
			e.retries++
		}
		r.reset(a.times)
		feed(r, Rotation(a.turn), k > 0)
		if err := r.build(); err != nil {
			return 0, fmt.Errorf("geom: %s: %w: %w", op, ErrTooLarge, err)
		}
		if use(r) {
			return a.turn, nil
		}
	}
	return 0, &KernelError{Op: op, Tries: len(attempts), Pieces: len(r.pc)}
}

// run builds the arrangement and extracts the rule's inside. A result that the package
// itself would not take, and one with edges as short as the merge distance that cross,
// is made again in another turn; if all are so, the first that would be taken is
// returned, or the first.
func (e *Engine) run(op string, k rule, feed feeder) (Shape, error) {
	var s, first Shape
	tries, firstTurn, refused := 0, 0.0, false
	e.arr.multi = false
	turn, err := e.attempt(op, feed, func(r *arrangement) (ok bool) {
		tries++
		if !r.topo.build(r) || !r.topo.windings(r) {
			return false
		}
		if s, ok = r.extract(k); !ok {
			return false
		}
		bad := !s.taken()
		if !bad && (!s.hasSpeck() || s.Check() == nil) {
			return true
		}
		if first == nil || refused && !bad {
			first, firstTurn, refused = s, attempts[tries-1].turn, bad
		}
		return false
	})
	var kernel *KernelError
	if errors.As(err, &kernel) && first != nil {
		s, turn, err = first, firstTurn, nil
	}
	if err != nil {
		return nil, err
	}
	if turn != 0 {
		s = s.Transform(Rotation(-turn))
	}
	return s, nil
}

// taken reports whether the edges of the shape are what the package takes.
func (s Shape) taken() bool {
	for i := range s {
		for j := range s[i].Holes {
			if checkEdges(s[i].Holes[j]) != nil {
				return false
			}
		}
		if checkEdges(s[i].Outer) != nil {
			return false
		}
	}
	return true
}

// hasSpeck reports whether an edge is as short as what merging turns.
func (s Shape) hasSpeck() bool {
	for i := range s {
		for j := range s[i].Holes {
			if s[i].Holes[j].hasSpeck() {
				return true
			}
		}
		if s[i].Outer.hasSpeck() {
			return true
		}
	}
	return false
}

func (c Contour) hasSpeck() bool {
	for i := range c {
		if dist2(c[i].A, c[i].B) < shortJoin*shortJoin && c[i].A != c[i].B {
			return true
		}
	}
	return false
}

// checkInput refuses what the kernel cannot work on: numbers that are none,
// and sizes that lose accuracy.
func checkInput(op string, shapes ...Shape) error {
	n := 0
	for i, s := range shapes {
		for j := range s {
			if err := checkEdges(s[j].Outer); err != nil {
				return fmt.Errorf("geom: %s: shape %d, region %d, outer contour: %w", op, i, j, err)
			}
			n += len(s[j].Outer)
			for k, h := range s[j].Holes {
				if err := checkEdges(h); err != nil {
					return fmt.Errorf("geom: %s: shape %d, region %d, hole %d: %w", op, i, j, k, err)
				}
				n += len(h)
			}
		}
	}
	if n > MaxEdges {
		return fmt.Errorf("geom: %s: %w: %d edges, the limit is %d", op, ErrTooLarge, n, MaxEdges)
	}
	return nil
}

func checkEdges(c Contour) error {
	for i := range c {
		e := &c[i]
		if !e.finite() {
			return &ContourError{Edge: i, Other: -1, At: e.A, Reason: "a coordinate or radius is not a number"}
		}
		big := max(math.Abs(e.A.X), math.Abs(e.A.Y), math.Abs(e.B.X), math.Abs(e.B.Y))
		if e.Dir != 0 {
			big = max(big, math.Abs(e.C.X), math.Abs(e.C.Y))
			if !(e.R >= 0) || e.R > 2*MaxRadius {
				return &ContourError{Edge: i, Other: -1, At: e.A, Reason: fmt.Sprintf("the radius %g mm is not between 0 and %g", e.R, 2*MaxRadius)}
			}
			if math.Abs(e.A.Dist(e.C)-e.R) > arcEndSlack(e.R) || math.Abs(e.B.Dist(e.C)-e.R) > arcEndSlack(e.R) {
				return &ContourError{Edge: i, Other: -1, At: e.A, Reason: "an end of the arc is not on its circle"}
			}
		}
		if big > maxKernelCoord {
			return &ContourError{Edge: i, Other: -1, At: e.A, Reason: fmt.Sprintf("a coordinate of %g mm is beyond %g", big, maxKernelCoord)}
		}
		if p := &c[(i+len(c)-1)%len(c)]; p.B != e.A && dist2(p.B, e.A) > closeGap*closeGap {
			return &ContourError{Edge: i, Other: (i + len(c) - 1) % len(c), At: e.A, Reason: "the edge does not start where the one before ends"}
		}
	}
	return nil
}

// addShape feeds all contours of a shape.
func (r *arrangement) addShape(s Shape, t Affine, turned bool, layer int32) {
	for i := range s {
		r.addTurned(s[i].Outer, t, turned, layer)
		for _, h := range s[i].Holes {
			r.addTurned(h, t, turned, layer)
		}
	}
}

func (r *arrangement) addTurned(c Contour, t Affine, turned bool, layer int32) {
	if turned {
		c = c.Transform(t)
	}
	r.addContour(c, weight{1, layer})
}

// Union returns the area covered by at least one shape.
func (e *Engine) Union(s ...Shape) (Shape, error) {
	if err := checkInput("union", s...); err != nil {
		return nil, err
	}
	return e.run("union", ruleUnion, func(r *arrangement, t Affine, turned bool) {
		for _, x := range s {
			r.addShape(x, t, turned, 0)
		}
	})
}

// Difference returns the area of a that no shape of b covers.
func (e *Engine) Difference(a Shape, b ...Shape) (Shape, error) {
	if err := checkInput("difference", append([]Shape{a}, b...)...); err != nil {
		return nil, err
	}
	return e.run("difference", ruleDiff, func(r *arrangement, t Affine, turned bool) {
		r.addShape(a, t, turned, 0)
		for _, x := range b {
			r.addShape(x, t, turned, 1)
		}
	})
}

// Intersection returns the area covered by both shapes.
func (e *Engine) Intersection(a, b Shape) (Shape, error) {
	return e.two("intersection", ruleIntersect, a, b)
}

// Xor returns the area covered by one of the shapes and not by the other.
func (e *Engine) Xor(a, b Shape) (Shape, error) {
	return e.two("exclusive or", ruleXor, a, b)
}

func (e *Engine) two(op string, k rule, a, b Shape) (Shape, error) {
	if err := checkInput(op, a, b); err != nil {
		return nil, err
	}
	return e.run(op, k, func(r *arrangement, t Affine, turned bool) {
		r.addShape(a, t, turned, 0)
		r.addShape(b, t, turned, 1)
	})
}

// Union returns the area covered by at least one shape. Errors, here and in the
// other combinations: *KernelError is a fault of the package; an error wrapping
// ErrTooLarge or *ContourError refuses the input.
func Union(s ...Shape) (Shape, error) { return new(Engine).Union(s...) }

// Difference returns the area of a that no shape of b covers.
func Difference(a Shape, b ...Shape) (Shape, error) { return new(Engine).Difference(a, b...) }

// Intersection returns the area covered by both shapes.
func Intersection(a, b Shape) (Shape, error) { return new(Engine).Intersection(a, b) }

// Xor returns the area covered by one of the shapes and not by the other.
func Xor(a, b Shape) (Shape, error) { return new(Engine).Xor(a, b) }

// Offset returns the shape grown by d with round corners, or shrunk for
// negative d; see Engine.Offset.
func Offset(s Shape, d float64) (Shape, error) { return new(Engine).Offset(s, d) }

// Offsets returns one offset for every distance; see Engine.Offset.
func Offsets(s Shape, d []float64) ([]Shape, error) { return new(Engine).Offsets(s, d) }

// Open returns what a round cutter of radius r that stays inside s can reach;
// see Engine.Open.
func Open(s Shape, r float64) (Shape, error) { return new(Engine).Open(s, r) }
