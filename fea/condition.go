package fea

import (
	"context"

	"platewright/plate"
)

// Conditions estimates, for each case, the condition number of the equations on its supports, walls on pins pressing all
// round: times the backward error it bounds the relative error that rounding leaves in the displacements. Cases on the
// same supports share one estimate, which costs a factor and about ten solutions.
func (m *Model) Conditions(ctx context.Context, cases []plate.LoadCase) ([]float64, error) {
	a := m.analysis(m.Layout.Plate.Supports)
	defer a.release()
	known := map[*held]float64{}
	out := make([]float64, len(cases))
	for i := range cases {
		set, err := m.adjust(cases[i].Setting)
		if err != nil {
			return nil, &caseError{cases[i].Name, err}
		}
		h, err := a.supportsOf(ctx, &cases[i], set)
		if err != nil {
			return nil, &caseError{cases[i].Name, err}
		}
		v, ok := known[h]
		if !ok {
			if v, err = h.factor.Condition(ctx); err != nil {
				return nil, &caseError{cases[i].Name, err}
			}
			known[h] = v
		}
		out[i] = v
	}
	return out, nil
}
