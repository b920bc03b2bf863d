package scene

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/route"
	"platewright/plate/shop"
	"platewright/samples"
)

// Every operation of every sample with a path draws it: the runs at feed, at each of their heights, are as long as the plan
// says, within what the tool goes down on ramps and plunges, and every run lies where the painter can show it.
func TestRunsAreThePlansPaths(t *testing.T) {
	profile, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	all, err := samples.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		name := s.Name
		doc, err := plate.Decode(s.Data)
		if err != nil {
			t.Fatal(err)
		}
		l := derive(t, doc)
		p, err := route.Make(t.Context(), l, profile)
		if err != nil {
			t.Fatal(err)
		}
		room := l.Blank.Grow(200) // a face mill runs out past the blank, and a lead past the outline
		for i := range p.Operations {
			op := &p.Operations[i]
			runs := Runs(op)
			if len(runs) != len(op.Paths) {
				t.Fatalf("%s, %s: %d runs of %d paths", name, op.Name, len(runs), len(op.Paths))
			}
			level, down := 0.0, 0.0
			for k, r := range runs {
				path := op.Paths[k]
				length := 0.0
				for _, e := range r.Edges {
					length += e.Length()
					if b := e.Box(); !room.Contains(b.Min) || !room.Contains(b.Max) {
						t.Errorf("%s, %s: a run leaves the blank by more than a face mill: %v", name, op.Name, b)
					}
				}
				want := Cutting
				switch path.Move {
				case route.MoveRapid:
					want, length = Rapid, 0
				case route.MoveRamp:
					want = Entering
					down += length * float64(len(path.Z))
					length = 0
				case route.MovePlunge:
					want, length = Entering, 0
				}
				if r.Kind != want {
					t.Errorf("%s, %s: a %s is drawn as kind %d", name, op.Name, path.Move, r.Kind)
				}
				level += length * float64(len(path.Z))
			}
			if level > op.PathMM*(1+1e-9) {
				t.Errorf("%s, %s: %.3f mm drawn at depth, the plan has %.3f at feed", name, op.Name, level, op.PathMM)
			}
			if plunges(op) == 0 && down == 0 && op.PathMM > 0 && math.Abs(level/op.PathMM-1) > 0.15 {
				t.Errorf("%s, %s: %.3f mm drawn at depth, the plan has %.3f at feed and no way down", name, op.Name, level, op.PathMM)
			}
		}
	}
}

func plunges(op *route.Operation) (n int) {
	for _, p := range op.Paths {
		if p.Move == route.MovePlunge {
			n++
		}
	}
	return n
}

// A picture of paths names the kinds that occur, and only those, and differs from the bare plate.
func TestPictureOfPaths(t *testing.T) {
	l := derive(t, block())
	line := []geom.Edge{{A: geom.Pt(50, 15), B: geom.Pt(80, 15)}}
	o := PictureOptions{Theme: Light(), Show: Usual, Width: 800, Height: 500, Title: "Block"}
	names := map[RunKind]string{}
	for _, s := range runStyles(o.Theme) {
		names[s.kind] = s.name
	}
	if len(names) != int(runKinds) {
		t.Fatalf("%d kinds have a style, there are %d", len(names), runKinds)
	}
	for kind := Cutting; kind < runKinds; kind++ {
		o.Paths, o.Cutter = []ToolRun{{Edges: line, Kind: kind}}, 12
		var svg bytes.Buffer
		if err := WriteSVG(&svg, l, o); err != nil {
			t.Fatal(err)
		}
		for k, name := range names {
			if got, want := strings.Contains(svg.String(), name), k == kind; got != want {
				t.Errorf("a picture of kind %d: the key names %q: %v, want %v", kind, name, got, want)
			}
		}
		if !strings.Contains(svg.String(), "cutter diameter 12") {
			t.Errorf("kind %d: the cutter is not named", kind)
		}
	}
}
