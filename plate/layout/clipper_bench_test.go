package layout

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os/exec"
	"testing"
	"time"

	"platewright/plate"
	"platewright/plate/geom"
)

// The cells of a plate against the packaged C++ polygon clipper (Debian's
// python3-pyclipper), on the same cells in the same run:
//
//	go test -run xxx -bench CellsAgainstClipper ./plate/layout
//
// Only the clipper's Execute calls are timed, inside Python, best of several;
// ours is all of the pockets' step, from fields to named cells and findings, best
// of several too. The arcs that the clipper sees are chords within 5 µm.
// "ratio" is against the faster of two plain ways to the cells (union,
// difference, in, out, or without the union), "ratio-fat" against one that is
// handed the ribs, bosses and rim already grown by the cutter's radius, so that
// one difference and one offset are left.

const (
	clipperPython  = "/usr/bin/python3"
	clipperSagitta = 0.005
	clipperRepeat  = 7
)

type clipperPlate struct {
	Inside, Caps, Shrunk, Fat [][][2]float64
	Radius, Sagitta           float64
	Repeat                    int
}

type clipperWay struct {
	MS    float64
	Cells int
	Area  float64
}

func flatPaths(cs []geom.Contour) [][][2]float64 {
	out := make([][][2]float64, len(cs))
	for i, c := range cs {
		for _, p := range c.Flatten(clipperSagitta) {
			out[i] = append(out[i], [2]float64{p.X, p.Y})
		}
	}
	return out
}

// clipperInput is what the deriver's first field is made of.
func clipperInput(b *testing.B, d *deriver) clipperPlate {
	b.Helper()
	r := d.p.Pockets[0].Radius
	in := clipperPlate{Radius: r, Sagitta: clipperSagitta, Repeat: clipperRepeat}
	grounds := [2][]geom.Contour{}
	for k, x := range [2]float64{0, r} {
		s, err := d.inset(d.p.Rim + x)
		if err != nil {
			b.Fatal(err)
		}
		grounds[k] = s.Contours()
	}
	in.Inside, in.Shrunk = flatPaths(grounds[0]), flatPaths(grounds[1])
	for k, x := range [2]float64{0, r} {
		var cs []geom.Contour
		for i := range d.ribs {
			cs = append(cs, geom.Capsule(d.ribs[i].a, d.ribs[i].b, d.ribs[i].half+x))
		}
		for i := range d.rounds {
			if d.rounds[i].boss > 0 {
				cs = append(cs, geom.Circle(d.rounds[i].c, d.rounds[i].radius()+x))
			}
		}
		if k == 0 {
			in.Caps = flatPaths(cs)
		} else {
			in.Fat = flatPaths(cs)
		}
	}
	return in
}

func timeClipper(b *testing.B, in clipperPlate) map[string]clipperWay {
	b.Helper()
	doc, err := json.Marshal(map[string]any{
		"inside": in.Inside, "caps": in.Caps, "shrunk": in.Shrunk, "fat": in.Fat,
		"radius": in.Radius, "sagitta": in.Sagitta, "repeat": in.Repeat,
	})
	if err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command(clipperPython, "clipper_cells.py")
	cmd.Stdin = bytes.NewReader(doc)
	var out, msg bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &msg
	if err := cmd.Run(); err != nil {
		b.Skipf("no clipper to compare with (Debian's python3-pyclipper for %s): %v: %s", clipperPython, err, msg.String())
	}
	ways := map[string]clipperWay{}
	if err := json.Unmarshal(out.Bytes(), &ways); err != nil {
		b.Fatal(err)
	}
	return ways
}

// cellsDeriver is a deriver that is ready for its cells, and what readies it
// again.
func cellsDeriver(b *testing.B, p *plate.Plate) (d *deriver, again func()) {
	b.Helper()
	d = newDeriver(context.Background(), p, routeFast)
	for _, step := range []func() error{d.makeOutline, d.makeRounds, d.makeRibs} {
		if err := step(); err != nil {
			b.Fatal(err)
		}
	}
	return d, func() {
		d.l.Cells, d.cellPiece, d.cellPocket, d.fields, d.l.Findings = nil, nil, nil, nil, nil
		d.sealed, d.divided = 0, 0
		clear(d.insets)
	}
}

func BenchmarkCellsAgainstClipper(b *testing.B) {
	for _, k := range []struct {
		name  string
		plate plate.Plate
	}{
		{"140cells", largePlate(61)},
		{"280cells", largePlate(41.5)},
		{"200ribs", ribbedPlate(200)},
		{"400ribs", ribbedPlate(400)},
		{"800ribs", ribbedPlate(800)},
	} {
		b.Run(k.name, func(b *testing.B) {
			p := k.plate
			d, again := cellsDeriver(b, &p)
			best := time.Duration(math.MaxInt64)
			ours := func() {
				again()
				t := time.Now()
				if err := d.makeCells(); err != nil {
					b.Fatal(err)
				}
				best = min(best, time.Since(t))
			}
			for range 10 {
				ours()
			}
			ways := timeClipper(b, clipperInput(b, d))
			for b.Loop() {
				ours()
			}
			cells, area := 0, 0.0
			for i := range d.l.Cells {
				if c := &d.l.Cells[i]; c.State == CellCut {
					cells, area = cells+1, area+c.Area
				}
			}
			for name, w := range ways {
				if w.Cells != cells || math.Abs(w.Area-area) > 1e-3*area {
					b.Errorf("%s: the clipper has %d cells of %.3f mm², we have %d of %.3f", name, w.Cells, w.Area, cells, area)
				}
			}
			ms := float64(best) / 1e6
			plain := min(ways["steps"].MS, ways["direct"].MS)
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(float64(cells), "cells")
			b.ReportMetric(ms, "ours-ms")
			b.ReportMetric(plain, "clipper-ms")
			b.ReportMetric(ms/plain, "ratio")
			b.ReportMetric(ms/ways["fat"].MS, "ratio-fat")
			b.Logf("clipper: steps %.2f, direct %.2f, fat %.2f ms", ways["steps"].MS, ways["direct"].MS, ways["fat"].MS)
		})
	}
}
