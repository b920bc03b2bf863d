package material

import "slices"

// listed are the thicknesses on a plate supplier's page (seen); european adds those usual on stockholder lists (from
// memory); inch are the usual inch plates (from memory). All mm.
var (
	listed = []float64{
		0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.2, 1.5, 1.8, 2, 2.3, 2.5, 2.8, 3, 3.5, 4, 5, 6, 7, 8, 9, 10,
		12, 14, 16, 18, 20, 22, 25, 30, 35, 40, 50, 60, 70, 80,
	}
	european = []float64{
		15, 45, 55, 65, 75, 90, 100, 110, 120, 130, 140, 150,
	}
	inch = []float64{
		6.35, 7.9375, 9.525, 12.7, 15.875, 19.05, 22.225, 25.4, 31.75, 38.1, 44.45, 50.8, 63.5, 76.2, 88.9,
		101.6,
	}
)

// StockThicknesses returns the metric plate and sheet thicknesses usually stocked, in mm, thinnest first.
func StockThicknesses() []float64 {
	all := slices.Concat(listed, european)
	slices.Sort(all)
	return slices.Compact(all)
}

// InchThicknesses returns the usual thicknesses of inch plate, in mm, thinnest first.
func InchThicknesses() []float64 { return slices.Clone(inch) }

// NextStock is the thinnest metric stock of at least t mm; ok is false when none is that thick.
func NextStock(t float64) (thickness float64, ok bool) {
	for _, s := range StockThicknesses() {
		if s >= t {
			return s, true
		}
	}
	return 0, false
}

// deviation is one row of a table of thickness tolerances: over, up to and including (mm), ± mm by class of width.
type deviation struct {
	over, incl float64
	byWidth    []float64
}

// tolerances is one table: width limits (mm, up to and including) and rows.
type tolerances struct {
	source string
	widths []float64
	rows   []deviation
}

// coldRolled is EN 485-4:1994 table 1, alloy group II (2024, 5083, 6061, 6082, 7075 and others).
var coldRolled = tolerances{"EN 485-4:1994 table 1", []float64{1000, 1250, 1600, 2000, 2500, 3000, 3500}, []deviation{
	{0.4, 0.5, []float64{0.03, 0.05, 0.06, 0.07}},
	{0.5, 0.6, []float64{0.04, 0.06, 0.07, 0.08}},
	{0.6, 0.8, []float64{0.04, 0.07, 0.08, 0.09}},
	{0.8, 1, []float64{0.05, 0.08, 0.09, 0.1}},
	{1, 1.2, []float64{0.05, 0.09, 0.1, 0.12}},
	{1.2, 1.5, []float64{0.07, 0.11, 0.12, 0.14}},
	{1.5, 1.8, []float64{0.08, 0.12, 0.13, 0.15}},
	{1.8, 2, []float64{0.09, 0.13, 0.14, 0.16}},
	{2, 2.5, []float64{0.1, 0.14, 0.15, 0.17}},
	{2.5, 3, []float64{0.11, 0.15, 0.17, 0.19}},
	{3, 3.5, []float64{0.12, 0.17, 0.19, 0.2}},
	{3.5, 4, []float64{0.15, 0.2, 0.22, 0.23, 0.25, 0.34, 0.38}},
	{4, 5, []float64{0.18, 0.22, 0.24, 0.25, 0.29, 0.36, 0.42}},
	{5, 6, []float64{0.2, 0.24, 0.25, 0.26, 0.32, 0.4, 0.46}},
	{6, 8, []float64{0.24, 0.3, 0.31, 0.32, 0.38, 0.44, 0.5}},
	{8, 10, []float64{0.27, 0.33, 0.36, 0.38, 0.44, 0.5, 0.56}},
	{10, 12, []float64{0.32, 0.38, 0.4, 0.41, 0.47, 0.53, 0.59}},
	{12, 15, []float64{0.36, 0.42, 0.43, 0.45, 0.51, 0.57, 0.63}},
	{15, 20, []float64{0.38, 0.44, 0.46, 0.48, 0.54, 0.6, 0.66}},
	{20, 25, []float64{0.4, 0.46, 0.48, 0.5, 0.56, 0.62, 0.68}},
	{25, 30, []float64{0.45, 0.5, 0.53, 0.55, 0.6, 0.65, 0.7}},
	{30, 40, []float64{0.5, 0.55, 0.58, 0.6, 0.65}},
	{40, 50, []float64{0.55, 0.6, 0.63, 0.65, 0.7}},
}}

// hotRolled is EN 485-3 table 1.
var hotRolled = tolerances{"EN 485-3 table 1", []float64{1250, 1600, 2000}, []deviation{
	{2.5, 4, []float64{0.28, 0.28, 0.32}}, // from memory
	{4, 5, []float64{0.3, 0.3, 0.35}},     // from memory
	{5, 6, []float64{0.32, 0.32, 0.4}},    // from memory
	{6, 8, []float64{0.35, 0.4, 0.4}},
	{8, 10, []float64{0.45, 0.5, 0.5}},
	{10, 15, []float64{0.5, 0.6, 0.65}},
	{15, 20, []float64{0.6, 0.7, 0.75}},
	{20, 30, []float64{0.65, 0.75, 0.85}},
	{30, 40, []float64{0.75, 0.85, 1}},
	{40, 50, []float64{0.9, 1, 1.1}},
	{50, 60, []float64{1.1, 1.2, 1.4}},
	{60, 80, []float64{1.4, 1.5, 1.7}},
	{80, 100, []float64{1.7, 1.8, 1.9}},
	{100, 150, []float64{2.1, 2.2, 2.5}},
	{150, 220, []float64{2.5, 2.6, 2.9}}, // from memory
	{220, 350, []float64{2.8, 2.9, 3.2}}, // from memory
}}

// sheetLimit is the thickness in mm up to which flat products are taken to be cold rolled: they are sheet up to 6 mm and
// plate above it. Common practice, no source for the mill's route.
const sheetLimit = 6

// ThicknessTolerance is the deviation in mm of the thickness of a supplied plate of nominal thickness t and rolled width
// width, both in mm: the thickness lies from t − minus to t + plus. Up to 6 mm the tolerances of cold rolled sheet (EN 485-4)
// hold, above it those of hot rolled plate (EN 485-3). Ok is false where the tables say nothing.
func ThicknessTolerance(t, width float64) (minus, plus float64, source string, ok bool) {
	table := hotRolled
	if t <= sheetLimit {
		table = coldRolled
	}
	d, ok := table.at(t, width)
	if !ok {
		return 0, 0, "", false
	}
	return d, d, table.source, true
}

func (tab tolerances) at(t, width float64) (float64, bool) {
	if !(width > 0) {
		return 0, false
	}
	for i, r := range tab.rows {
		if (t > r.over || i == 0 && t == r.over) && t <= r.incl {
			for j, d := range r.byWidth {
				if width <= tab.widths[j] {
					return d, true
				}
			}
		}
	}
	return 0, false
}
