package verify

import (
	"encoding/json"
	"math"
)

// Kind says how much of the program a case runs through.
type Kind string

// The kinds.
const (
	Element      Kind = "element"
	WholeProgram Kind = "whole program"
)

// How a published value is known: read in the place named, recalled, or computed: a closed form, a series or another program.
const (
	Seen       = "seen"
	Memory     = "memory"
	Computed   = "computed"
	NotChecked = "not checked"
)

// Row is one published value beside the computed one.
type Row struct {
	Name, Quantity string
	Published      float64 // NaN where nobody has read it
	Computed       float64 // NaN until it is computed, and where this version does not
	Tolerance      float64 // per cent that the computed value may be off
	Under          float64 // per cent that it may be under the published one; zero means Tolerance
	Kind           Kind
	Source         string
	Seen           string // Seen, Memory, Computed or NotChecked
}

// Difference is how far the computed value is off, in per cent of the published one; of 1 where that is 0.
func (r Row) Difference() float64 {
	if r.Published == 0 {
		return 100 * r.Computed
	}
	return 100 * (r.Computed/r.Published - 1)
}

// Checked says whether the row has both values to compare.
func (r Row) Checked() bool { return r.Seen != NotChecked }

// OK says that the computed value is within the tolerance. A row that is not checked is not OK.
func (r Row) OK() bool {
	under := r.Under
	if under == 0 {
		under = r.Tolerance
	}
	d := r.Difference()
	return r.Checked() && d <= r.Tolerance && d >= -under // false for NaN
}

// State is "yes", "NO" or "not checked".
func (r Row) State() string {
	switch {
	case !r.Checked():
		return NotChecked
	case r.OK():
		return "yes"
	}
	return "NO"
}

// MarshalJSON writes the row with the keys of the command line. What is not checked has null in place of numbers that
// are not there, and of ok.
func (r Row) MarshalJSON() ([]byte, error) {
	number := func(x float64) *float64 {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil
		}
		return &x
	}
	out := struct {
		Name       string   `json:"name"`
		Quantity   string   `json:"quantity"`
		Published  *float64 `json:"published"`
		Computed   *float64 `json:"computed"`
		Difference *float64 `json:"difference_percent"`
		Tolerance  *float64 `json:"tolerance_percent"`
		OK         *bool    `json:"ok"`
		Kind       Kind     `json:"kind"`
		Source     string   `json:"source"`
		Seen       string   `json:"seen"`
	}{
		r.Name, r.Quantity, number(r.Published), number(r.Computed), number(r.Difference()), number(r.Tolerance), nil,
		r.Kind, r.Source, r.Seen,
	}
	if r.Checked() {
		ok := r.OK()
		out.OK = &ok
	}
	return json.Marshal(out)
}
