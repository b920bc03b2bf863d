package route

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/plotutil"
	"gonum.org/v1/plot/vg"

	"platewright/plate/layout"
)

// The cost of a plan, and of a plan re-timed after one bore has moved, against the number of cells, as a picture in the folder that
// PLATEWRIGHT_PLOTS names. Nothing is asserted: speed is measured, not tested.
func TestPlotCostByCells(t *testing.T) {
	dir := os.Getenv("PLATEWRIGHT_PLOTS")
	if dir == "" {
		t.Skip("set PLATEWRIGHT_PLOTS to a folder for the picture")
	}
	p := exampleShop(t)
	var full, about plotter.XYs
	best := func(f func()) float64 {
		least := time.Hour
		for range 5 {
			at := time.Now()
			f()
			least = min(least, time.Since(at))
		}
		return float64(least) / float64(time.Millisecond)
	}
	for _, pitch := range []float64{160, 120, 90, 75, 65, 54, 46, 40, 35} {
		doc := largePlate(pitch)
		l := derive(t, doc)
		cells := 0
		for i := range l.Cuts {
			if l.Cuts[i].Kind == layout.CutPocket {
				cells++
			}
		}
		var first Plan
		ms := best(func() { first, _ = Make(context.Background(), l, p) })
		doc.Bores[4].X += 0.5
		moved := derive(t, doc)
		again := best(func() { _, _ = Retime(context.Background(), first, moved, p) })
		full = append(full, plotter.XY{X: float64(cells), Y: ms})
		about = append(about, plotter.XY{X: float64(cells), Y: again})
		t.Logf("%d cells: plan %.1f ms, re-timed %.1f ms", cells, ms, again)
	}
	c := plot.New()
	c.Title.Text, c.X.Label.Text, c.Y.Label.Text = "Time of a plan by number of cells", "cells", "ms"
	c.X.Min, c.Y.Min, c.Y.Padding = 0, 0, 0
	c.Legend.Left, c.Legend.YOffs = true, vg.Centimeter
	c.Y.Max = 1.1 * max(full[0].Y, full[len(full)-1].Y)
	if err := plotutil.AddLinePoints(c, "whole plan", full, "re-timed after one bore has moved", about); err != nil {
		t.Fatal(err)
	}
	if err := c.Save(16*vg.Centimeter, 10*vg.Centimeter, filepath.Join(dir, "route-cost.svg")); err != nil {
		t.Fatal(err)
	}
}

// The plans of the samples as they come: class follow, 100 ms.
func BenchmarkSamples(b *testing.B) {
	p := exampleShop(b)
	for _, name := range sampleNames(b) {
		l := derive(b, samplePlate(b, name))
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Make(context.Background(), l, p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A plan re-timed with nothing changed reuses every cell and says what the full plan says, but for tours; with one bore moved it makes
// only the cells round it anew.
func TestRetimeReusesCells(t *testing.T) {
	p := exampleShop(t)
	doc := largePlate(54)
	first, l := makePlan(t, doc)
	same, err := Retime(t.Context(), first, l, p)
	if err != nil {
		t.Fatal(err)
	}
	if same.memo.made != 0 || same.memo.reused == 0 || !same.About || first.About {
		t.Errorf("made %d shapes anew, reused %d", same.memo.made, same.memo.reused)
	}
	near(t, "cutting", same.CuttingMin, first.CuttingMin, 1e-6)
	near(t, "removed", same.Removed, first.Removed, 1e-3)
	doc.Bores[4].X += 0.5
	moved := derive(t, doc)
	quick, err := Retime(t.Context(), first, moved, p)
	if err != nil {
		t.Fatal(err)
	}
	full, _ := makePlan(t, doc)
	if quick.memo.made == 0 || quick.memo.made > 20 {
		t.Errorf("%d shapes made anew for one bore", quick.memo.made)
	}
	if d := relative(quick.CycleMin, full.CycleMin); d > 0.03 {
		t.Errorf("about %.2f min, in full %.2f min", quick.CycleMin, full.CycleMin)
	}
	t.Logf("%d shapes made anew, %d reused; about %.2f min, in full %.2f min", quick.memo.made, quick.memo.reused, quick.CycleMin, full.CycleMin)
	other := p
	other.Machine.ToolChange++
	if q, err := Retime(t.Context(), first, l, other); err != nil || q.About {
		t.Errorf("for another profile the plan is made in full; about %v, %v", q.About, err)
	}
	back, err := Retime(t.Context(), quick, l, p)
	if err != nil || back.memo.made != 0 {
		t.Errorf("moved back, %d shapes are made anew (%v)", back.memo.made, err)
	}
	if s := fmt.Sprint(first.memo.made); s == "0" {
		t.Error("the first plan made nothing")
	}
}

// Plans are re-timed from one plan on several goroutines at once: what it remembers is only read.
func TestRetimeSharesAPlan(t *testing.T) {
	p := exampleShop(t)
	first, l := makePlan(t, samplePlate(t, sampleNames(t)[0]))
	var wg sync.WaitGroup
	minutes := make([]float64, 4)
	for i := range minutes {
		wg.Go(func() {
			q, err := Retime(t.Context(), first, l, p)
			if err != nil {
				t.Error(err)
			}
			minutes[i] = q.CycleMin
		})
	}
	wg.Wait()
	for _, m := range minutes {
		near(t, "minutes", m, minutes[0], 0)
	}
}
