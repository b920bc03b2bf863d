package route

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"platewright/plate"
	"platewright/plate/shop"
)

// smallCase is a plate with one to three rectangular pockets of random size and depth, and a shop with few end mills and random
// tool-change time.
func smallCase(t *testing.T, r *rand.Rand) (plate.Plate, shop.Profile) {
	t.Helper()
	p := plate.New("small")
	p.Outline.Corners = []plate.Corner{{X: 0, Y: 0, Radius: 10}, {X: 300, Y: 0, Radius: 10}, {X: 300, Y: 120, Radius: 10}, {X: 0, Y: 120, Radius: 10}}
	p.Stock.Nominal, p.Stock.Finished = 20, 20
	p.Stock.Blank = plate.Blank{Margin: 25}
	for i := range 1 + r.IntN(3) {
		w, h := 15+60*r.Float64(), 15+60*r.Float64()
		x, y := 20+95*float64(i), 20.0
		at := func(x, y float64) plate.Corner { return plate.Corner{X: x, Y: y} }
		p.Pockets = append(p.Pockets, plate.Pocket{
			ID: plate.ID(10 + i), Name: string(rune('A' + i)), Side: plate.Top, Depth: 2 + 10*r.Float64(), Radius: []float64{3.5, 4.5, 6}[r.IntN(3)],
			Bounds: []plate.Corner{at(x, y), at(x+w, y), at(x+w, y+h), at(x, y+h)},
		})
	}
	p.NextID = 100
	s := exampleShop(t)
	s.Tools = slices.Clone(s.Tools)
	mills := []string{"EM6", "EM8", "EM10", "EM12", "EM16", "EM20"}
	r.Shuffle(len(mills), func(i, j int) { mills[i], mills[j] = mills[j], mills[i] })
	keep := append(mills[:2+r.IntN(2)], "EM6", "EM12-long")
	s.Tools = slices.DeleteFunc(s.Tools, func(t shop.Tool) bool { return t.Kind == shop.EndMill && !slices.Contains(keep, t.ID) })
	s.Machine.ToolChange = 1 + 12*r.Float64()
	return p, s
}

// withoutHops is the cycle of a plan in s but for the rapids from one cell to the next, which the choice of cutters leaves out.
func withoutHops(pl *planner, p Plan) float64 {
	s := 60 * p.CycleMin
	for _, o := range p.Operations {
		for _, path := range o.Paths {
			if path.Move != MoveRapid {
				continue
			}
			for _, e := range path.Edges {
				s -= pl.workers[0].rapidXY(e.A, e.B) + pl.overHolding(o.SetUp, &e, o.Tool)
			}
		}
	}
	return s
}

// The cutters chosen make the shortest plan: every assignment of cutters to cells is planned in full and none is shorter.
func TestCuttersEqualExhaustiveSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 11))
	cases, changed, hops := 30, 0, 0
	if os.Getenv("PLATEWRIGHT_LONG") != "" {
		cases = 200
	} else {
		t.Log("the first 30 of 200 cases; all with PLATEWRIGHT_LONG=1")
	}
	for n := range cases {
		doc, s := smallCase(t, r)
		l := derive(t, doc)
		plan := func(fixed []int) (*planner, Plan) {
			pl := newPlanner(l, s)
			pl.fixed = fixed
			p, err := pl.make(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			return pl, p
		}
		pl, got := plan(nil)
		options := pl.lastOptions
		if len(options) == 0 {
			continue
		}
		assign := make([]int, len(options))
		best, bestAll, worst := math.Inf(1), math.Inf(1), 0.0
		for {
			usable := true
			for i, o := range assign {
				usable = usable && options[i][o]
			}
			if usable {
				q, p := plan(slices.Clone(assign))
				best, bestAll = min(best, withoutHops(q, p)), min(bestAll, p.CycleMin)
				worst = max(worst, withoutHops(q, p))
			}
			i := 0
			for ; i < len(assign); i++ {
				if assign[i]++; assign[i] < len(options[i]) {
					break
				}
				assign[i] = 0
			}
			if i == len(assign) {
				break
			}
		}
		if mine := withoutHops(pl, got); mine > best+1e-6 {
			t.Errorf("case %d: the plan takes %.3f s, an assignment of cutters %.3f s", n, mine, best)
		}
		if worst > best+1e-6 {
			changed++
		}
		if got.CycleMin > bestAll+1e-9 {
			hops++
		}
	}
	t.Logf("%d cases; the choice matters in %d; with the rapids between cells another assignment is shorter in %d", cases, changed, hops)
	if changed < cases/4 {
		t.Errorf("the choice matters in %d of %d cases only", changed, cases)
	}
}
