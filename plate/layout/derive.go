package layout

import (
	"context"
	"fmt"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// DeriveError says why no layout can be derived from a document: what is wrong, with which feature, where, and what to do.
type DeriveError struct {
	Feature     plate.ID // 0 for the plate as a whole
	FeatureName string
	Stage       string // stage of the job sheet, as in finding.Finding
	What        string // with the value and what to do
	Where       geom.Point
	HasWhere    bool
	Err         error // cause, where there is one
}

// Error returns the message with stage and feature.
func (e *DeriveError) Error() string {
	s := e.Stage
	if e.FeatureName != "" {
		s += fmt.Sprintf(" %q", e.FeatureName)
	}
	s += ": " + e.What
	if e.HasWhere {
		s += fmt.Sprintf(" (at x %.3f, y %.3f)", e.Where.X, e.Where.Y)
	}
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

// Unwrap returns the cause.
func (e *DeriveError) Unwrap() error { return e.Err }

// Derive computes cuts, cells, map, labels and geometric findings of a document. It fails only, with a *DeriveError, where
// nothing can be derived: numbers or references that make no sense, or an outline that is none. Everything else that
// cannot be as drawn is a finding.
func Derive(p plate.Plate) (*Layout, error) { return DeriveCtx(context.Background(), p) }

// DeriveCtx is Derive for documents that may take long: it looks at ctx between the bounded pieces of the work and returns
// its error.
func DeriveCtx(ctx context.Context, p plate.Plate) (*Layout, error) {
	return derive(ctx, p, routeFast)
}

// cellRoute chooses how the cells are computed.
type cellRoute int

const (
	routeFast    cellRoute = iota // by the tiles of an isogrid or orthogrid where there is one, else general
	routeGeneral                  // always by one combination over the whole field
)

// deriver holds what one derivation passes from step to step. Nothing in it outlives the call but l.
type deriver struct {
	ctx   context.Context
	route cellRoute
	p     *plate.Plate
	l     *Layout
	eng   geom.Engine
	t     float64

	outline    geom.Contour
	insets     map[float64]geom.Shape // of the outline, by distance
	around     geom.Shape             // the outline grown by onBounds
	closures   map[closedKey]geom.Shape
	rounds     []round // bores and holes
	slots      []slot
	barriers   []barrier // bosses of slots, keep-out zones
	lattices   []lattice
	ribs       []rib
	fields     []field
	cellPiece  []*piece // of each cell
	cellPocket []*plate.Pocket
	inOutline  geom.Shape   // what of the outline lies in the blank
	clipped    bool         // inOutline is less than the outline
	divided    int          // ribs and tiles over all fields so far
	sealed     int          // number of sealed pieces
	ledgeParts map[int]bool // cells that are one more part of what is inside the ledge of another
	prisms     *cutIndex
	unowned    float64 // mm³ of what is no prism whose owner is not to be found
}

func newDeriver(ctx context.Context, p *plate.Plate, route cellRoute) *deriver {
	return &deriver{ctx: ctx, route: route, p: p, l: &Layout{Plate: *p}, insets: map[float64]geom.Shape{}, closures: map[closedKey]geom.Shape{}}
}

func derive(ctx context.Context, p plate.Plate, route cellRoute) (*Layout, error) {
	d := newDeriver(ctx, &p, route)
	if err := checkNumbers(d.p); err != nil {
		return nil, err
	}
	for _, step := range []func() error{
		d.makeOutline, d.makeRounds, d.makeRibs, d.makeCells, d.makeCuts, d.makeMap, d.makeLabels, d.makePanels, d.checkForms,
	} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := step(); err != nil {
			return nil, err
		}
	}
	finding.Sort(d.l.Findings)
	return d.l, nil
}

// kernel wraps an error of the geometry engine: a fault of the program, not of the document, but the drawing that shows
// it must be named.
func (d *deriver) kernel(stage string, id plate.ID, name string, err error) error {
	return &DeriveError{
		Feature: id, FeatureName: name, Stage: stage, Err: err,
		What: "the geometry could not be combined; move the feature by 0.01 mm and report the document as a fault",
	}
}

// find appends a finding about a feature.
func (d *deriver) find(f finding.Finding, at geom.Point) {
	f.Where, f.HasWhere = [2]float64{at.X, at.Y}, true
	d.l.Findings = append(d.l.Findings, f)
}

// mm prints a length for messages.
func mm(v float64) string { return fmt.Sprintf("%.4g mm", v) }
