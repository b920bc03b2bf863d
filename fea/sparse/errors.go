package sparse

import (
	"errors"
	"fmt"
)

// ErrReleased is returned by a Factor whose memory was given back.
var ErrReleased = errors.New("sparse: the factor was released: factor again")

// A SingularError says that the stiffness is not positive definite, or so nearly
// singular that rounding alone may have made the last figure of a pivot.
type SingularError struct {
	Unknown   int     // number of the unknown
	Node      int     // its node
	Component int     // which of the node's unknowns it is
	Piece     int     // connected piece of the model
	Pivot     float64 // stiffness that is left at the unknown
	Diagonal  float64 // stiffness of the unknown alone, that Pivot is compared with
}

func (e *SingularError) Error() string {
	why := "the part is not held, or its elements have no stiffness there"
	switch {
	case e.Diagonal == 0:
		why = "no element gives it stiffness: hold it"
	case e.Diagonal < 0 || e.Pivot < -doubtful*e.Diagonal:
		why = "the elements' matrices are not positive: look for inside-out elements or negative moduli"
	}
	return fmt.Sprintf("sparse: no stiffness left at unknown %d of node %d in piece %d (%.3g of %.3g): %s",
		e.Component, e.Node, e.Piece, e.Pivot, e.Diagonal, why)
}

// singular names the unknown at a place in the order of elimination.
func (s *Symbolic) singular(place int, pivot, diagonal float64) error {
	u := int(s.unknown[place])
	node, c := s.Locate(u)
	return &SingularError{Unknown: u, Node: node, Component: c, Piece: int(s.pieces.OfNode[node]), Pivot: pivot, Diagonal: diagonal}
}

// An ElementError says which element could not be used, and why.
type ElementError struct {
	Element int
	Err     error
}

func (e *ElementError) Error() string {
	return fmt.Sprintf("sparse: element %d: %v", e.Element, e.Err)
}

// Unwrap returns the cause.
func (e *ElementError) Unwrap() error { return e.Err }
