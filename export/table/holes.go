package table

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/standard"
)

// Hole is one round feature in the hole table: a bore or a step of it, a hole, or its head's recess.
type Hole struct {
	Tag      string // letter by kind of feature, number by place: as on the part's drawing
	Name     string // of the feature, with the number of the hole in its circle
	Kind     string
	X, Y     float64 // from the work zero, mm
	Side     plate.Side
	Diameter float64 // nominal, mm
	Depth    float64 // from its own face, mm; 0 through
	Thread   string

	Fit      string  // ISO 286 class; "ISO 2768-m" for the general tolerance
	Low      float64 // inspection limits of the finished part, mm; both 0 where a thread's gauge decides
	High     float64
	Masked   bool    // kept free of the finish
	MakeLow  float64 // limits to machine to before the finish, mm; equal to Low and High where there is none or it is masked
	MakeHigh float64
	Note     string
}

// kindsInTable are the cuts that have a row, with the letter of their tags.
var kindsInTable = []struct {
	kind   layout.CutKind
	letter string
}{
	{layout.CutBore, "A"},
	{layout.CutSeat, "A"},
	{layout.CutGroove, "A"},
	{layout.CutReamed, "D"},
	{layout.CutTapped, "T"},
	{layout.CutDrilled, "H"},
	{layout.CutCounterbore, "H"},
	{layout.CutCountersink, "H"},
}

// Holes is the hole table of a plate: every round feature with its place from the work zero, its limits when finished, and
// those to machine to before a finish that grows into it. Features come by kind, then from left to right and from the bottom
// up; the parts of one hole follow each other under one tag.
func Holes(l *layout.Layout) ([]Hole, error) {
	var out []Hole
	for _, k := range kindsInTable {
		for i := range l.Cuts {
			c := &l.Cuts[i]
			if c.Kind != k.kind {
				continue
			}
			h, err := holeOf(l, c)
			if err != nil {
				return nil, err
			}
			h.Tag = k.letter
			out = append(out, h)
		}
	}
	order := func(a, b Hole) int {
		return cmp.Or(cmp.Compare(a.Tag, b.Tag), cmp.Compare(round6(a.X), round6(b.X)), cmp.Compare(round6(a.Y), round6(b.Y)))
	}
	slices.SortStableFunc(out, order)
	number := 0
	for i := range out {
		tag := out[i].Tag
		if i == 0 || out[i-1].Tag[:1] != tag {
			number = 0
		}
		if i == 0 || out[i-1].Tag[:1] != tag || round6(out[i-1].X) != round6(out[i].X) || round6(out[i-1].Y) != round6(out[i].Y) {
			number++
		}
		out[i].Tag = tag + strconv.Itoa(number)
	}
	return out, nil
}

func round6(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func holeOf(l *layout.Layout, c *layout.Cut) (Hole, error) {
	m, s := l.Plate.Machining, l.Plate.Stock
	h := Hole{
		Name: c.FeatureName, Kind: string(c.Kind), X: c.Center.X - m.ZeroX, Y: c.Center.Y - m.ZeroY, Side: c.Side,
		Diameter: c.Diameter, Thread: c.Thread, Fit: c.Fit, Masked: slices.Contains(s.Finish.Masked, c.Feature),
	}
	if c.Hole > 0 {
		h.Name = fmt.Sprintf("%s, hole %d", c.FeatureName, c.Hole)
	}
	switch c.Side {
	case plate.Top:
		h.Depth = l.Thickness - c.Z0
	case plate.Bottom:
		h.Depth = c.Z1
	}
	switch c.Kind {
	case layout.CutTapped:
		h.Note = "thread gauge; the diameter is the tap drill's"
		if c.Side != plate.Through {
			h.Note = fmt.Sprintf("thread gauge, usable thread %g mm; the diameter is the tap drill's", round6(c.ThreadDepth))
		}
		return h, nil
	case layout.CutGroove:
		h.Note = fmt.Sprintf("groove %g mm wide, its near wall %g mm below the face", round6(c.Depth()), round6(h.Depth-c.Depth()))
	case layout.CutCountersink:
		h.Depth = 0
		h.Note = "90°, diameter at the face"
	}
	limits, err := limitsOf(c, &h)
	if err != nil {
		return Hole{}, fmt.Errorf("hole table: %s: %w", h.Name, err)
	}
	h.Low, h.High = limits.Min(), limits.Max()
	h.MakeLow, h.MakeHigh = h.Low, h.High
	if s.Finish.Growth > 0 && !h.Masked {
		before, err := limits.BeforeFinish(s.Finish.Growth)
		if err != nil {
			return Hole{}, fmt.Errorf("hole table: %s: %w", h.Name, err)
		}
		h.MakeLow, h.MakeHigh = before.Min(), before.Max()
	}
	return h, nil
}

// limitsOf are the limits of a diameter: by its fit, by the width of its zone, which lies above the nominal size as that of an
// H hole, or general.
func limitsOf(c *layout.Cut, h *Hole) (standard.Limits, error) {
	switch {
	case c.Fit != "":
		return standard.Fit(c.Fit, c.Diameter)
	case c.Tolerance > 0:
		h.Fit = fmt.Sprintf("+%g/0", c.Tolerance)
		return standard.Limits{Class: "H", Nominal: c.Diameter, Upper: c.Tolerance, IT: c.Tolerance}, nil
	}
	t := standard.GeneralTolerance(c.Diameter)
	if math.IsNaN(t) {
		return standard.Limits{}, fmt.Errorf("ISO 2768-1 has no general tolerance for %g mm; give it a fit or a tolerance", c.Diameter)
	}
	h.Fit = generalFit
	return standard.Limits{Class: "H", Nominal: c.Diameter, Upper: t, Lower: -t, IT: 2 * t}, nil
}

// generalFit stands where a size has no tolerance of its own.
const generalFit = "ISO 2768-m"

// holeColumns are the columns of the hole table as a file.
var holeColumns = []string{
	"tag", "name", "kind", "x_mm", "y_mm", "side", "diameter_mm", "depth_mm", "thread", "fit",
	"low_mm", "high_mm", "machine_low_mm", "machine_high_mm", "finish", "note",
}

// HolesCSV writes the hole table as comma-separated values (RFC 4180). Places are from the work zero, seen from the top.
func HolesCSV(w io.Writer, r report.Report) error {
	rows, err := holeRows(r)
	if err != nil {
		return err
	}
	if err := csv.NewWriter(w).WriteAll(append([][]string{holeColumns}, rows...)); err != nil {
		return fmt.Errorf("writing a hole table: %w", err)
	}
	return nil
}

func holeRows(r report.Report) ([][]string, error) {
	if !r.Complete() || !r.Layout.OK {
		return nil, report.ErrIncomplete
	}
	holes, err := Holes(r.Layout.Value)
	if err != nil {
		return nil, err
	}
	limit := func(v float64) string {
		if v == 0 {
			return ""
		}
		return decimals(v, 4)
	}
	var rows [][]string
	for _, h := range holes {
		finish := ""
		if f := r.Plate.Stock.Finish; f.Name != "" {
			finish = f.Name
			if h.Masked {
				finish = "masked"
			}
		}
		rows = append(rows, []string{
			h.Tag, report.Cell(h.Name), h.Kind, decimals(h.X, 3), decimals(h.Y, 3), string(h.Side), decimals(h.Diameter, 3), orBlank(h.Depth, 3),
			h.Thread, h.Fit, limit(h.Low), limit(h.High), limit(h.MakeLow), limit(h.MakeHigh), report.Cell(finish), report.Cell(h.Note),
		})
	}
	return rows, nil
}

// HolesPDF prints the hole table. Errors as of HolesCSV.
func HolesPDF(w io.Writer, r report.Report, s Sheet) error {
	rows, err := holeRows(r)
	if err != nil {
		return err
	}
	for _, row := range rows {
		if row[9] == generalFit {
			row[9] = "" // the sheet says so once
		}
	}
	p := newPrinter(r, s, "Hole table", true)
	p.paragraph("Places are from the work zero, seen from the top, in mm. Limits are those of the finished part; machine to the second pair where a finish grows into the hole. Sizes without a fit are to ISO 2768-1 m.")
	p.table([]column{
		{"tag", 6, false},
		{"name", 15, false},
		{"kind", 13, false},
		{"x", 10, true},
		{"y", 10, true},
		{"side", 9, false},
		{"diameter", 10, true},
		{"depth", 8, true},
		{"thread", 8, false},
		{"fit", 9, false},
		{"low", 9, true},
		{"high", 9, true},
		{"make low", 9, true},
		{"make high", 9, true},
		{"finish", 10, false},
		{"note", 17, false},
	}, rows)
	return p.write(w)
}
