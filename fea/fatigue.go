package fea

import (
	"fmt"

	"platewright/plate/finding"
	"platewright/plate/material"
)

// FatigueResult is a case judged by the fatigue strength at its number of cycles, with what it rests on.
type FatigueResult struct {
	material.Fatigue
	Amplitude float64 // MPa: the greatest von Mises stress that is a result
	MeanMPa   float64 // mean stress, MPa
	Surface   float64 // factor on the strength
	Notch     float64 // factor on the stress
	Reserve   float64
	Notes     []string
}

// fatigueNotes say what a fatigue reserve rests on, and what it leaves out.
func fatigueNotes() []string {
	return []string{
		"the document does not say between what the load swings: it is taken to reverse fully, mean stress 0, the worst swing of that size",
		"surface factor 1: milled surfaces are covered by the design curve's factor of two on stress",
		"notch factor 1: stress as analysed. Roots of ribs, walls of loaded and held bores, threads and sharp corners are left out of it, and are where cracks begin",
	}
}

// fatigue judges a case that repeats. Fatigue of the result says in words what comes of it.
func (m *Model) fatigue(r *CaseResult) {
	r.Fatigue = "not assessed"
	if !(r.Case.Cycles > 0) {
		return
	}
	stock := m.Layout.Plate.Stock
	if stock.Finish.Name != "" {
		r.Fatigue = fmt.Sprintf("not assessed: the surface factor of the finish %q is not known", stock.Finish.Name)
		return
	}
	f, err := material.FatigueStrength(stock.Material, r.Case.Cycles)
	if err != nil {
		r.Fatigue = "not assessed: " + finding.Words(err)
		return
	}
	if !(r.MaxVonMises > 0) {
		r.Fatigue = "not assessed: there is no stress result"
		return
	}
	r.FatigueResult = &FatigueResult{
		Fatigue: f, Amplitude: r.MaxVonMises, Surface: 1, Notch: 1, Reserve: f.Design / r.MaxVonMises, Notes: fatigueNotes(),
	}
	r.Fatigue = fmt.Sprintf("strength %.3g MPa at %.3g reversals, reserve %.3g", f.Design, f.Cycles, r.FatigueResult.Reserve)
}
