package layout

import (
	"fmt"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/plotutil"
	"gonum.org/v1/plot/vg"
)

// BenchmarkRibCount is the cost of the cells, and of all of Derive, by number of
// ribs counted from node to node on a plate of 600 × 400 mm. With the environment
// variable PLATEWRIGHT_PLOTS set to a folder it writes ribcount.svg there, with
// the fitted line c·(n log n)^k of each:
//
//	PLATEWRIGHT_PLOTS=/tmp go test -run xxx -bench RibCount ./plate/layout
//
// The frame's half at 60 Hz is 8.3 ms: "cells-ms" of 200 ribs is to stay below.
// "exponent" is k, one for a cost that grows as n log n.
func BenchmarkRibCount(b *testing.B) {
	counts := []int{25, 50, 100, 200, 400, 800, 1600, 3200}
	var lines [2]plotter.XYs // cells, all
	for _, n := range counts {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := ribbedPlate(n)
			d, again := cellsDeriver(b, &p)
			cells, all := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
			for b.Loop() {
				again()
				t := time.Now()
				if err := d.makeCells(); err != nil {
					b.Fatal(err)
				}
				cells = min(cells, time.Since(t))
				t = time.Now()
				mustDerive(b, p)
				all = min(all, time.Since(t))
			}
			for k, v := range [2]time.Duration{cells, all} {
				lines[k] = append(lines[k], plotter.XY{X: float64(n), Y: float64(v) / 1e6})
			}
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(float64(len(d.l.Cells)), "cells")
			b.ReportMetric(float64(cells)/1e6, "cells-ms")
			b.ReportMetric(float64(all)/1e6, "derive-ms")
		})
	}
	if len(lines[0]) < len(counts) {
		return // some of the counts were not asked for
	}
	var fits [2]growth
	for k := range lines {
		fits[k] = fitGrowth(lines[k])
	}
	b.Run("fit", func(b *testing.B) {
		for b.Loop() {
			fitGrowth(lines[0])
		}
		b.ReportMetric(0, "ns/op")
		b.ReportMetric(fits[0].k, "cells-exponent")
		b.ReportMetric(fits[1].k, "derive-exponent")
	})
	dir := os.Getenv("PLATEWRIGHT_PLOTS")
	if dir == "" {
		b.Log("no plot written; set PLATEWRIGHT_PLOTS to a folder for one")
		return
	}
	path := filepath.Join(dir, "ribcount.svg")
	if err := plotRibs(path, lines, fits); err != nil {
		b.Fatal(err)
	}
	b.Log("plot written to", path)
}

// growth is a cost of c·(n log n)^k, ms.
type growth struct{ c, k float64 }

func (g growth) at(n float64) float64 { return g.c * math.Pow(n*math.Log(n), g.k) }

// fitGrowth fits by least squares of the logarithms, from 100 ribs on: below, the
// rim and the bosses are most of the cost.
func fitGrowth(l plotter.XYs) growth {
	var x, y []float64
	for _, p := range l {
		if p.X >= 100 {
			x = append(x, math.Log(p.X*math.Log(p.X)))
			y = append(y, math.Log(p.Y))
		}
	}
	a, k := stat.LinearRegression(x, y, nil, false)
	return growth{math.Exp(a), k}
}

func plotRibs(path string, lines [2]plotter.XYs, fits [2]growth) error {
	p := plot.New()
	p.Title.Text = "Cost against number of ribs, 600 × 400 mm"
	p.X.Label.Text, p.Y.Label.Text = "ribs from node to node", "ms"
	p.X.Scale, p.Y.Scale = plot.LogScale{}, plot.LogScale{}
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.LogTicks{Prec: -1}, plot.LogTicks{Prec: -1}
	p.Add(plotter.NewGrid())
	p.Legend.Top, p.Legend.Left = true, true
	for k, name := range [2]string{"cells", "all of Derive"} {
		s, err := plotter.NewScatter(lines[k])
		if err != nil {
			return err
		}
		s.Color, s.Shape, s.Radius = plotutil.Color(k), plotutil.Shape(k), vg.Points(3)
		f := plotter.NewFunction(fits[k].at)
		f.XMin, f.XMax, f.Color = 25, 3200, plotutil.Color(k)
		p.Add(s, f)
		p.Legend.Add(fmt.Sprintf("%s: %.2g·(n log n)^%.2f", name, fits[k].c, fits[k].k), s, f)
	}
	p.Y.Min, p.Y.Max = 1, 200 // whole decades carry the figures
	half, err := plotter.NewLine(plotter.XYs{{X: 25, Y: 1000. / 120}, {X: 3200, Y: 1000. / 120}})
	if err != nil {
		return err
	}
	half.Color, half.Dashes = color.Gray{110}, plotutil.Dashes(2)
	p.Add(half)
	p.Legend.Add("half a frame at 60 Hz", half)
	return p.Save(16*vg.Centimeter, 11*vg.Centimeter, path)
}
