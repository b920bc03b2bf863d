package session

import (
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"testing"
	"time"

	"platewright/plate"
)

// lever is a small plate with pockets, a pivot, an axle that is loaded and a load case, so that every edit is analysed.
func lever() plate.Plate {
	p := plate.New("Lever")
	p.Stock.Nominal, p.Stock.Finished = 10, 10
	p.Outline = plate.Outline{Corners: []plate.Corner{{X: 0, Y: 0, Radius: 12}, {X: 150, Y: 0, Radius: 12}, {X: 150, Y: 70, Radius: 12}, {X: 0, Y: 70, Radius: 12}}}
	p.Rim = 6
	p.Bores = []plate.Bore{{ID: 1, Name: "Pivot", X: 25, Y: 35, Diameter: 20, Boss: 6}, {ID: 2, Name: "Axle", X: 125, Y: 35, Diameter: 16, Boss: 6}}
	p.Grids = []plate.Grid{{ID: 3, Name: "Field", Pitch: 45, Width: 4, X: 75, Y: 35}}
	p.Pockets = []plate.Pocket{{ID: 4, Name: "Pockets", Side: plate.Top, Depth: 6, Radius: 4, AllRibs: true}}
	p.Supports = []plate.Support{{ID: 5, Name: "Shaft", Kind: plate.Fixed, On: plate.Place{Feature: 1}}}
	p.Loads = []plate.Load{{ID: 6, Name: "Pull", Kind: plate.BoreForce, On: plate.Place{Feature: 2}, Force: [3]float64{0, -400, 50}, At: [3]float64{2: 5}}}
	p.Cases = []plate.LoadCase{{
		ID: 7, Name: "Pulling", Kind: plate.Limit, Factor: 1, Origin: plate.Origin{Kind: plate.Assumed, Text: "a test"},
		Loads: []plate.LoadFactor{{Load: 6, Factor: 1}},
	}}
	p.NextID = 8
	return p
}

// anEdit draws an edit that leaves the plate makeable: most change its mesh.
func anEdit(rng *rand.Rand) plate.Edit {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	switch rng.IntN(6) {
	case 0:
		x, y := between(115, 130), between(30, 40)
		return plate.Replace("move of axle", func(p *plate.Plate) {
			p.Bores = append([]plate.Bore(nil), p.Bores...)
			p.Bores[1].X, p.Bores[1].Y = x, y
		})
	case 1:
		d := between(4, 8)
		return plate.Replace("depth", func(p *plate.Plate) {
			p.Pockets = append([]plate.Pocket(nil), p.Pockets...)
			p.Pockets[0].Depth = d
		})
	case 2:
		d := between(35, 60)
		return plate.Replace("pitch", func(p *plate.Plate) {
			p.Grids = append([]plate.Grid(nil), p.Grids...)
			p.Grids[0].Pitch = d
		})
	case 3:
		f := between(100, 800)
		return plate.Replace("force", func(p *plate.Plate) {
			p.Loads = append([]plate.Load(nil), p.Loads...)
			p.Loads[0].Force[1] = -f
		})
	case 4:
		r := between(4, 9)
		return plate.Replace("rim", func(p *plate.Plate) { p.Rim = r })
	}
	a := between(0, 60)
	return plate.Replace("angle", func(p *plate.Plate) {
		p.Grids = append([]plate.Grid(nil), p.Grids...)
		p.Grids[0].AngleDeg = a
	})
}

// held is the memory in bytes that is still reached, after everything that can be freed is.
func held() uint64 {
	var m runtime.MemStats
	for range 3 { // finalizers and pools give their parts back one collection later
		runtime.GC()
	}
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// TestAnalysedEditsLeaveNothing: random edits, drags, undos and redos, with the plate derived, planned and analysed behind
// them and most analyses cancelled by the next edit. Once the session keeps all the reports and steps that it may, more
// edits add no memory; closed, it leaves no goroutine and next to no memory. 1,000 edits when PLATEWRIGHT_LONG is set, else
// a part of them.
func TestAnalysedEditsLeaveNothing(t *testing.T) {
	edits, settleEach := 30, 4
	if os.Getenv("PLATEWRIGHT_LONG") != "" {
		edits, settleEach = 1000, 12
	} else {
		t.Log("30 edits of 1,000: set PLATEWRIGHT_LONG=1 for all")
	}
	if testing.Short() {
		t.Skip("the analyses are slow under the race detector")
	}
	before, goroutines := held(), runtime.NumGoroutine()
	var warm, after uint64
	analysed := 0
	func() {
		rng := rand.New(rand.NewPCG(5, 1000))
		l := newLoop()
		s := New(Config{Post: l.post, AutosaveAfter: -1}, lever())
		defer s.Close(true)
		settle := func() {
			l.settle(t, s)
			if !s.Cases().OK || s.Cases().Stale {
				t.Fatalf("at rest the cases are %+v; troubles %v, findings %v", s.Cases().OK, s.Troubles(), s.Findings().Value)
			}
			analysed++
		}
		settle()
		step := func(i int) {
			switch rng.IntN(10) {
			case 0:
				s.Undo()
			case 1:
				s.Redo()
			case 2: // a drag
				for range 3 {
					if err := s.Do(anEdit(rng), fmt.Sprint("drag ", i)); err != nil {
						t.Fatal(err)
					}
					time.Sleep(time.Duration(rng.IntN(20)) * time.Millisecond)
					l.drain()
				}
			default:
				if err := s.Do(anEdit(rng), ""); err != nil {
					t.Fatal(err)
				}
			}
			// Wherever the work behind the last edit stands, the next one comes.
			time.Sleep(time.Duration(rng.IntN(60)) * time.Millisecond)
			l.drain()
		}
		for i := range keptReports + 3 { // fills what is kept for undo and redo
			step(i)
			settle()
		}
		// Buffers are as large as two analyses at once have needed, one of them cancelled: known, and not a growth.
		s.buffers.Drop()
		warm = held()
		for i := range edits {
			step(100 + i)
			if i%settleEach == settleEach-1 {
				settle()
			}
		}
		settle()
		s.buffers.Drop()
		after = held()
		s.Close(true)
		s.Wait()
		l.drain()
		runtime.KeepAlive(s)
	}()
	closed := held()
	const mb = 1 << 20
	t.Logf("%d edits, %d analysed: held %.1f MB before, %.1f with all reports that are kept, %.1f after the edits, %.1f closed",
		edits, analysed, float64(before)/mb, float64(warm)/mb, float64(after)/mb, float64(closed)/mb)
	// Plates differ, and so do their meshes; steps of the history add a few kB each. Reports hold some MB each, so that one
	// left behind by every analysis would be more than this.
	if more := float64(after)/mb - float64(warm)/mb; more > 12 {
		t.Errorf("%d edits hold %.1f MB more", edits, more)
	}
	if more := float64(closed)/mb - float64(before)/mb; more > 4 {
		t.Errorf("a closed session holds %.1f MB more than before", more)
	}
	for range 100 { // goroutines that have been told to end need a moment
		if runtime.NumGoroutine() <= goroutines {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	buf := make([]byte, 1<<16)
	t.Errorf("%d goroutines, %d before:\n%s", runtime.NumGoroutine(), goroutines, buf[:runtime.Stack(buf, true)])
}
