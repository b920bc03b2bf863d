package route

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/shop"
)

// sweptCell is a cell and what the tools that finish it run along, for the outside library.
type sweptCell struct {
	name  string
	Rings [][][2]float64 `json:"rings"`
	Moves []sweptMove    `json:"moves"`
}

type sweptMove struct {
	Radius float64        `json:"radius"`
	Paths  [][][2]float64 `json:"paths"`
}

// chords are the points of a chain with arcs as chords that leave them by at most tol.
func chords(edges []geom.Edge, tol float64) [][2]float64 {
	var out [][2]float64
	add := func(p geom.Point) { out = append(out, [2]float64{p.X, p.Y}) }
	for i, e := range edges {
		if i == 0 {
			add(e.A)
		}
		n := 1
		if e.IsArc() {
			n = max(2, len(geom.Contour{e}.Flatten(tol)))
		}
		for k := 1; k <= n; k++ {
			add(e.At(float64(k) / float64(n)))
		}
	}
	return out
}

func moves(tool shop.Tool, tol float64, js ...*job) sweptMove {
	m := sweptMove{Radius: tool.Diameter / 2}
	for _, e := range cutEdges(js...) {
		m.Paths = append(m.Paths, chords([]geom.Edge{e}, tol))
	}
	return m
}

func sweptOf(name string, pp *pocketPlan, c *cellClass, tol float64) sweptCell {
	s := sweptCell{name: name}
	for _, r := range c.region.Contours() {
		s.Rings = append(s.Rings, chords(r, tol))
	}
	s.Moves = []sweptMove{moves(pp.options[c.work.option].tool, tol, &c.work.floor), moves(pp.options[0].tool, tol, &c.work.wall)}
	return s
}

// The C++ polygon clipper finds the same: after the last tool nothing of a cell stands, and nothing outside it is cut, to the error of
// the chords. Cells of many shapes, slots as wide as the cutter, the cells of the samples, random cells.
func TestSweepsByTheOutsideClipper(t *testing.T) {
	const python = "/usr/bin/python3"
	tol, most := 5e-4, 5 // mm, and cells of each sample
	if os.Getenv("PLATEWRIGHT_LONG") != "" {
		tol, most = 2e-4, 1<<30
	} else {
		t.Log("five cells of each sample; all, with finer chords, with PLATEWRIGHT_LONG=1")
	}
	if err := exec.Command(python, "-c", "import pyclipper").Run(); err != nil {
		t.Skip("python3 with pyclipper is not on this machine")
	}
	var cells []sweptCell
	for name, cell := range sampleCells(t) {
		_, pp, c := planOne(t, cell, 12, 6, nil)
		cells = append(cells, sweptOf(name, pp, c, tol))
	}
	slot := geom.RegionOf(geom.Capsule(geom.Pt(0, 0), geom.Pt(40, 10), 5))
	_, pp, c := planOne(t, slot, 6, 5, func(p *shop.Profile) { p.Practice.CornerRatio.Value = 1 })
	cells = append(cells, sweptOf("slot as wide as the cutter", pp, c, tol))
	r := rand.New(rand.NewPCG(9, 9))
	for _, name := range sampleNames(t) {
		l := derive(t, samplePlate(t, name))
		var regions []geom.Region
		for i := range l.Cuts {
			if l.Cuts[i].Kind == layout.CutPocket {
				regions = append(regions, l.Cuts[i].Region)
			}
		}
		r.Shuffle(len(regions), func(i, j int) { regions[i], regions[j] = regions[j], regions[i] })
		for i, g := range regions[:min(len(regions), most)] {
			_, pp, c := planOne(t, geom.Shape{g}, 10, 5, nil)
			cells = append(cells, sweptOf(fmt.Sprintf("%s, cell %d", name, i), pp, c, tol))
		}
	}
	// The library is not blind: a wall pass left out, and a cutter half a hundredth too large, are found.
	_, pp, c = planOne(t, geom.RegionOf(geom.RoundedRect(geom.Pt(0, 0), geom.Pt(80, 60), 6)), 12, 6, nil)
	lame := sweptOf("without its wall pass", pp, c, tol)
	lame.Moves = lame.Moves[:1]
	cells = append(cells, lame)
	fat := sweptOf("with a larger cutter", pp, c, tol)
	fat.Moves[1].Radius += 0.005
	cells = append(cells, fat)
	in, err := json.Marshal(map[string]any{"tolerance": tol, "cells": cells})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "../../testdata/route/sweeps.py")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), os.Stderr
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var got []struct{ Left, Excess float64 }
	if err := json.Unmarshal(text, &got); err != nil || len(got) != len(cells) {
		t.Fatalf("%d results of %d: %v", len(got), len(cells), err)
	}
	n := len(got) - 2
	if got[n].Left < 1 || got[n+1].Excess < 0.1 {
		t.Errorf("what is wrong by intent is not found: %+v", got[n:])
	}
	for i, g := range got[:n] {
		if g.Left > 1e-6 || g.Excess > 1e-6 {
			t.Errorf("%s: %g mm² left standing, %g mm² cut outside", cells[i].name, g.Left, g.Excess)
		}
	}
	t.Logf("%d cells", n)
}

// No cutter comes nearer to a wall of its cell than its radius, to a millionth of a millimetre; roughing keeps its allowance besides.
func TestPassesStayInTheirCell(t *testing.T) {
	for name, cell := range sampleCells(t) {
		pl, pp, c := planOne(t, cell, 12, 6, nil)
		keep := pl.p.Practice.WallAllowance.Value
		for _, w := range []struct {
			what  string
			j     *job
			limit float64
		}{
			{"rough", &c.work.rough, pp.options[c.work.option].tool.Diameter/2 + keep},
			{"rough corners", &c.work.rest, pp.options[0].tool.Diameter/2 + keep},
			{"floor", &c.work.floor, pp.options[c.work.option].tool.Diameter / 2},
			{"wall", &c.work.wall, pp.options[0].tool.Diameter / 2},
		} {
			worst := w.limit
			for _, e := range cutEdges(w.j) {
				n := int(e.Length()/0.05) + 2
				for i := range n + 1 {
					p := e.At(float64(i) / float64(n))
					for _, b := range c.region.Contours() {
						_, d := nearestOn(b, p)
						worst = min(worst, d)
					}
				}
			}
			if worst < w.limit-1e-6 {
				t.Errorf("%s: %s comes within %.9f mm of the wall, want %.9f mm", name, w.what, worst, w.limit)
			}
		}
	}
}
