package fea

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"platewright/plate"
)

// Range is a figure that depends on how tight a joint is: a real bore holds less
// than a fixed one and more than one on a pin.
type Range struct {
	Name          string
	Hinged, Fixed float64 // stiffness; below zero where the place moves against its load
	Unit          string
}

// Band gives the stiffness along each load of a case with every bore and hole that
// is hinged or fixed taken as hinged, and as fixed: the ends between which a real
// joint lies. It is an error if the plate is free to move on hinges.
func (m *Model) Band(ctx context.Context, c plate.LoadCase) ([]Range, error) {
	var ends [2][]Figure
	for i, kind := range [2]plate.SupportKind{plate.Hinged, plate.Fixed} {
		supports := slices.Clone(m.Layout.Plate.Supports)
		for k := range supports {
			s := &supports[k]
			if s.On.Feature != 0 && (s.Kind == plate.Hinged || s.Kind == plate.Fixed) {
				s.Kind = kind
			}
		}
		a := m.analysis(supports)
		r, failed, err := a.solveCases(ctx, []plate.LoadCase{c})
		a.release()
		if err = cmp.Or(err, errors.Join(failed...)); err != nil {
			return nil, fmt.Errorf("with bores taken as %s: %w", kind, err)
		}
		ends[i] = r[0].Stiffness
	}
	var out []Range
	for i, f := range ends[0] {
		g := ends[1][i]
		out = append(out, Range{f.Name, f.Value, g.Value, f.Unit})
	}
	return out, nil
}
