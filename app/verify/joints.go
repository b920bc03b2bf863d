package verify

import (
	"context"

	"platewright/plate/check"
	"platewright/plate/material"
)

// joints are worked examples of the rules that joints are judged by.
func joints(b *book, _ *tables) error {
	const (
		fasteners = "worked sheet of single fasteners by EN 1993-1-8 on a public page; its bearing takes the bolts' 400 MPa"
		friction  = "printed example of a public calculator of slip-resistant bolts, EN 1993-1-8, 3.9"
		threads   = "example of a textbook's chapter on threads (abstract), with the diameters that it prints"
		stripping = "printed example of a public calculator of thread engagement, FED-STD-H28"
		fatigue   = "fit to tests of 6061-T6 of G. T. Yahr, in psi as reprinted beside that in MPa"
	)
	end := check.BoltBearing{Diameter: 20, Hole: 22, Thickness: 8, Ahead: 26.4, Beside: 26.4}
	inner := end
	inner.Ahead, inner.Beside, inner.AheadHole, inner.BesideHole = 48.4-11, 52.8-11, true, true
	for _, r := range []struct {
		name, quantity    string
		published, within float64
		source            string
		value             func() (float64, error)
	}{
		{"bolt in bearing", "end bolt M20, kN", 33.997, 0.01, fasteners, plain(end.Resistance(400) / 1e3)},
		{"bolt in bearing", "inner bolt M20, kN", 41.079, 0.01, fasteners, plain(inner.Resistance(400) / 1e3)},
		{"head that pulls through", "8 mm under 30 mm, kN", 130.288, 0.01, fasteners, plain(check.Punching(30, 8, 360) / 1e3)},
		{"clamped joint that slips", "two faces, μ 0.4, kN", 109.76, 0.01, friction, plain(check.Slip(171_500, 0, 0.4, 2, true) / 1e3)},
		{"thread that strips", "engagement of M10, mm", 21.6, 0.3, threads, plain(69_600 / (130 * check.ThreadShearArea(9.968, 9.206, 1.5, 1)))},
		{"thread that strips", "M10, 10 mm, kN", 51.13, 0.02, stripping, plain(0.6 * 310 * check.ThreadShearArea(10, 10-0.649519*1.5, 1.5, 10) / 1e3)},
		{"fatigue strength of 6061-T6", "half fail at 1e6 reversals, psi", 2.1e6/1e3 + 14_000, 0.1, fatigue, func() (float64, error) {
			f, err := material.FatigueStrength(material.Material{Alloy: "EN AW-6061", Temper: "T6"}, 1e6)
			return f.Mean / 6.894757e-3, err
		}},
	} {
		row := Row{Name: r.name, Quantity: r.quantity, Published: r.published, Tolerance: r.within, Kind: Element, Source: r.source, Seen: Seen}
		b.one(row, func(context.Context) (float64, error) { return r.value() })
	}
	return nil
}

func plain(v float64) func() (float64, error) { return func() (float64, error) { return v, nil } }
