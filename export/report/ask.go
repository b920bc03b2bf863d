package report

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"platewright/fea"
	"platewright/fea/torsion"
	"platewright/plate/check"
	"platewright/plate/finding"
)

// Ask computes stiffness, frequencies or energies of a complete report's plate on request, by the model of its load cases where
// there is one. The findings say what could not be computed; the report itself stays as it is. The error is ErrIncomplete, that of
// ctx, or says why the plate cannot be analysed.
func (r Report) Ask(ctx context.Context, want More) (*Extra, []finding.Finding, error) {
	if !r.Complete() {
		return nil, nil, ErrIncomplete
	}
	r.in.More = &want
	var m *fea.Model
	if r.Cases.OK {
		m = r.Cases.Value.Model.Whole()
	} else {
		var err error
		if m, err = fea.NewModel(ctx, r.Layout.Value, fea.Options{}); err != nil {
			return nil, nil, cmp.Or(ctx.Err(), err)
		}
	}
	found, err := r.more(ctx, m)
	if err != nil {
		return nil, nil, err
	}
	if !r.Extra.OK {
		return nil, nil, errors.New("report: nothing was asked for")
	}
	return r.Extra.Value, found, nil
}

// Along computes EI and GJ along a complete report's plate. The error is ErrIncomplete, that of ctx, or that of torsion.Along.
func (r Report) Along(ctx context.Context, w SweepWant) (torsion.Sweep, error) {
	if !r.Complete() || !r.Layout.OK {
		return torsion.Sweep{}, ErrIncomplete
	}
	return torsion.Along(ctx, r.Layout.Value, w.From, w.To, w.Stations)
}

// JointBasis is what a check of a joint rests on: its inputs and the source of its rule.
func JointBasis(j check.Joint) string { return jointBasis(&j) }

// EnergyShare is strain energy with the name of what stores it, for people.
type EnergyShare struct {
	fea.OwnerEnergy
	Name    string
	Percent float64 // of the case's whole
}

// EnergyShares are the energies of a case, greatest first, and their sum in N·mm.
func EnergyShares(es []fea.OwnerEnergy) (shares []EnergyShare, total float64) {
	for _, e := range es {
		total += e.Energy
	}
	for i := range es {
		s := EnergyShare{OwnerEnergy: es[i], Name: storeWords(&es[i])}
		if total > 0 {
			s.Percent = 100 * es[i].Energy / total
		}
		shares = append(shares, s)
	}
	slices.SortStableFunc(shares, func(a, b EnergyShare) int { return cmp.Compare(b.Energy, a.Energy) })
	return shares, total
}

// Significant writes v with three significant digits, never with an exponent, thousands apart.
func Significant(v float64) string { return significant(v, 3) }
