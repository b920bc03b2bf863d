package torsion

import (
	"context"
	"errors"
	"fmt"
	"math"

	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/section"
)

// Station is one place of a sweep: the section square to the way from one point of the plate to another.
type Station struct {
	At      geom.Point // on the way, mm
	S       float64    // along the way, mm
	Pieces  int        // 0 where the cut meets no metal: the plate is cut in two, and EI and GJ are 0
	EI, GJ  float64    // N·mm²; EI for bending out of the plane of the plate
	EIPlane float64    // N·mm²; for bending in its plane
}

// Bounded says that the section has more than one piece, so that EI is an upper and GJ a lower bound.
func (s Station) Bounded() bool { return s.Pieces > 1 }

// Sweep is EI and GJ along a plate.
type Sweep struct {
	Stations             []Station
	WeakestEI, WeakestGJ int // indices of the least, the first where several are equal
	Length               float64
}

// maxStations bounds the work of a sweep.
const maxStations = 500

// Along sweeps from one point of the plate to another, as from pivot to pivot, in n stations at equal steps, both ends
// included. Each station is cut square to the way, across the whole plate. Errors: n outside 2 to 500, points that
// coincide or are not numbers, and those of the section and of the torsion.
func Along(ctx context.Context, l *layout.Layout, from, to geom.Point, n int) (Sweep, error) {
	if n < 2 || n > maxStations {
		return Sweep{}, fmt.Errorf("sweep: %d stations; give 2 to %d", n, maxStations)
	}
	length := from.Dist(to)
	if !(length > 1e-3) || math.IsInf(length, 0) {
		return Sweep{}, fmt.Errorf("sweep: from (%v, %v) to (%v, %v) is no way; give two different points of the plate", from.X, from.Y, to.X, to.Y)
	}
	if l == nil || l.Outline.Outer == nil {
		return Sweep{}, errors.New("sweep: there is no plate")
	}
	box := l.Outline.Box()
	reach := box.Max.Dist(box.Min) + length
	across := to.Sub(from).Mul(1 / length).Perp()
	mat := l.Plate.Stock.Material
	g := ShearModulus(mat.Young, mat.Poisson)
	sw := Sweep{Length: length}
	for i := range n {
		f := float64(i) / float64(n-1)
		at := from.Add(to.Sub(from).Mul(f))
		st := Station{At: at, S: f * length}
		r, err := section.At(l, fmt.Sprintf("at %.4g mm of the sweep", st.S), at.Sub(across.Mul(reach)), at.Add(across.Mul(reach)))
		switch {
		case errors.Is(err, section.ErrNoMetal):
		case err != nil:
			return Sweep{}, err
		default:
			t, err := Of(ctx, r, g)
			if err != nil {
				return Sweep{}, err
			}
			st.Pieces, st.EI, st.EIPlane, st.GJ = r.Pieces, r.EISS, r.EIZZ, t.GJ
		}
		sw.Stations = append(sw.Stations, st)
		if st.EI < sw.Stations[sw.WeakestEI].EI {
			sw.WeakestEI = i
		}
		if st.GJ < sw.Stations[sw.WeakestGJ].GJ {
			sw.WeakestGJ = i
		}
	}
	return sw, nil
}
