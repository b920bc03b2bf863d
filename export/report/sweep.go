package report

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"platewright/fea/torsion"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
)

// SweepWant asks for EI and GJ along a plate, from one point to another.
type SweepWant struct {
	From, To         geom.Point
	FromName, ToName string // what stands there, in words
	Stations         int
}

// sweep fills the sweep part.
func (r *Report) sweep(ctx context.Context) ([]finding.Finding, error) {
	w := r.in.Sweep
	if w == nil {
		return nil, nil
	}
	r.Sweep = Part[torsion.Sweep]{Key: r.Key}
	if !r.Layout.OK {
		return nil, nil
	}
	s, err := torsion.Along(ctx, r.Layout.Value, w.From, w.To, w.Stations)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return []finding.Finding{absent("sweep-absent", plate.StageOutline, "EI and GJ along the plate", "choose two other places, or other stations", err)}, nil
	}
	r.Sweep.Value, r.Sweep.OK = s, true
	return nil, nil
}

// sweepBar is the width in characters of the longest bar of a sweep's chart.
const sweepBar = 30

// writeSweep writes EI and GJ along the plate as a table with bars, the weakest places marked.
func (r Report) writeSweep(b *strings.Builder) {
	if !r.Sweep.OK || r.Sweep.Key != r.Key {
		return
	}
	w, s := r.in.Sweep, &r.Sweep.Value
	fmt.Fprintf(b, "\nEI and GJ from %s to %s, %s mm; sections square to the way\n", w.FromName, w.ToName, fixed(s.Length, 2))
	most, bounded, cut := 0.0, false, false
	for i := range s.Stations {
		most = max(most, s.Stations[i].EI)
	}
	t := table{right: "rrrrrll"}
	t.add("s mm", "pieces", "EI out of plane N·m²", "EI in plane N·m²", "GJ N·m²", "EI out of plane")
	for i := range s.Stations {
		st := &s.Stations[i]
		mark := ""
		if st.Bounded() {
			mark, bounded = " bounds", true
		}
		if i == s.WeakestEI {
			mark += " ← weakest EI"
		}
		if i == s.WeakestGJ {
			mark += " ← weakest GJ"
		}
		cut = cut || st.Pieces == 0
		bar := ""
		if most > 0 {
			bar = strings.Repeat("▇", int(st.EI/most*sweepBar+0.5))
		}
		t.add(fixed(st.S, 1), fmt.Sprint(st.Pieces), round4(st.EI/1e6), round4(st.EIPlane/1e6), round4(st.GJ/1e6), bar+mark)
	}
	t.write(b, "  ")
	if bounded {
		wrap(b, "Where the section has more than one piece EI is an upper bound (pieces act together) and GJ a lower bound (pieces act alone); the stiffness between two features by analysis, platewright stress --between, says what it comes to.", pageWidth, "  ", "    ")
	}
	if cut {
		wrap(b, "Where there is no piece the plate has no metal across the way.", pageWidth, "  ", "    ")
	}
}

// ErrNoSweep says that a report holds no sweep.
var ErrNoSweep = errors.New("report: EI and GJ along the plate were not computed; see the findings")

// SweepCSV writes the sweep as comma-separated values (RFC 4180) with a header row. The error is ErrNoSweep, ErrIncomplete or
// that of the writer.
func (r Report) SweepCSV(w io.Writer) error {
	if !r.Complete() {
		return ErrIncomplete
	}
	if !r.Sweep.OK || r.Sweep.Key != r.Key {
		return ErrNoSweep
	}
	return WriteSweep(w, r.Sweep.Value)
}

// WriteSweep writes a sweep as SweepCSV does. The error is that of the writer.
func WriteSweep(w io.Writer, s torsion.Sweep) error {
	out := csv.NewWriter(w)
	if err := out.Write([]string{"s_mm", "x_mm", "y_mm", "pieces", "ei_out_of_plane_n_mm2", "ei_in_plane_n_mm2", "gj_n_mm2", "bounds", "weakest"}); err != nil {
		return err
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }
	for i := range s.Stations {
		st := &s.Stations[i]
		bounds := ""
		if st.Bounded() {
			bounds = "EI upper GJ lower"
		}
		row := []string{number(st.S), number(st.At.X), number(st.At.Y), fmt.Sprint(st.Pieces), number(st.EI), number(st.EIPlane), number(st.GJ), bounds, weakest(&s, i)}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// weakest says whether a station of the sweep is the weakest, in a word.
func weakest(s *torsion.Sweep, i int) string {
	switch {
	case i == s.WeakestEI && i == s.WeakestGJ:
		return "EI and GJ"
	case i == s.WeakestEI:
		return "EI"
	case i == s.WeakestGJ:
		return "GJ"
	}
	return ""
}

// The JSON of a sweep.
type (
	jsonSweep struct {
		From      string        `json:"from"`
		To        string        `json:"to"`
		Length    float64       `json:"length_mm"`
		Stations  []jsonStation `json:"stations"`
		WeakestEI float64       `json:"weakest_ei_at_mm"`
		WeakestGJ float64       `json:"weakest_gj_at_mm"`
	}
	jsonStation struct {
		S       float64    `json:"s_mm"`
		At      [2]float64 `json:"at_mm"`
		Pieces  int        `json:"pieces"`
		EI      float64    `json:"ei_out_of_plane_n_mm2"`
		EIPlane float64    `json:"ei_in_plane_n_mm2"`
		GJ      float64    `json:"gj_n_mm2"`
		Bounds  bool       `json:"bounds"`
	}
)

func (r Report) jsonSweep() *jsonSweep {
	if !r.Sweep.OK || r.Sweep.Key != r.Key {
		return nil
	}
	w, s := r.in.Sweep, &r.Sweep.Value
	out := &jsonSweep{
		From: w.FromName, To: w.ToName, Length: s.Length,
		WeakestEI: s.Stations[s.WeakestEI].S, WeakestGJ: s.Stations[s.WeakestGJ].S,
	}
	for i := range s.Stations {
		st := &s.Stations[i]
		out.Stations = append(out.Stations, jsonStation{st.S, [2]float64{st.At.X, st.At.Y}, st.Pieces, st.EI, st.EIPlane, st.GJ, st.Bounded()})
	}
	return out
}
