package plate_test

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"platewright/plate"
)

// apply runs an edit that must succeed and must leave its input alone.
func apply(t testing.TB, p plate.Plate, e plate.Edit) plate.Plate {
	t.Helper()
	before := encode(t, p)
	q, err := e.Apply(p)
	if err != nil {
		t.Fatalf("%s: %v", e.Label, err)
	}
	if !bytes.Equal(before, encode(t, p)) {
		t.Fatalf("%s changed the document it was given", e.Label)
	}
	return q
}

// moveBore puts the centre of a bore at a place, as the window's grips do; there is nothing to do for one that is not there.
func moveBore(id plate.ID, x, y float64) plate.Edit {
	return plate.Replace("move", func(p *plate.Plate) {
		for i := range p.Bores {
			if b := &p.Bores[i]; b.ID == id {
				b.X, b.Y = x, y
			}
		}
	})
}

func setRibEnd(id plate.ID, second bool, e plate.RibEnd) plate.Edit {
	return plate.Replace("move of end", func(p *plate.Plate) {
		for i := range p.Ribs {
			switch r := &p.Ribs[i]; {
			case r.ID == id && second:
				r.To = e
			case r.ID == id:
				r.From = e
			}
		}
	})
}

func setRim(width float64) plate.Edit {
	return plate.Replace("change of rim", func(p *plate.Plate) { p.Rim = width })
}

func TestEdits(t *testing.T) {
	form := plate.HoleForm{Kind: plate.Tapped, Size: "M8", Side: plate.Through}
	square := []plate.Corner{{X: 0, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 50}, {X: 0, Y: 50}}
	for _, c := range []struct {
		edit  plate.Edit
		title string
		want  func(*plate.Plate) // the same change by hand
	}{
		{plate.SetOutline(plate.Outline{Corners: square}), "change of outline", func(p *plate.Plate) { p.Outline.Corners = square }},
		{plate.Rename(2, "Axle"), "new name Rear pivot", func(p *plate.Plate) { p.Bores[1].Name = "Axle" }},
		{plate.Rename(38, "Lighter"), "new name Light", func(p *plate.Plate) { p.Targets[0].Name = "Lighter" }},
		{plate.Rename(0, "Side"), "new name", func(p *plate.Plate) { p.Name = "Side" }},
		{plate.Delete(12), "delete Guard 2", func(p *plate.Plate) { p.Holes = append(p.Holes[:1:1], p.Holes[2]) }},
		{plate.Delete(35), "delete Bottom field", func(p *plate.Plate) { p.Pockets = append(p.Pockets[:1:1], p.Pockets[2]) }},
		{plate.AddBore(plate.Bore{ID: 7, X: 150, Y: 100, Diameter: 10}), "new bore", func(p *plate.Plate) {
			p.Bores = append(p.Bores, plate.Bore{ID: 40, Name: "Bore 1", X: 150, Y: 100, Diameter: 10})
			p.NextID = 41
		}},
		{plate.AddHole(plate.Hole{Name: "H", X: 1, HoleForm: form}), "new hole", func(p *plate.Plate) {
			p.Holes = append(p.Holes, plate.Hole{ID: 40, Name: "H", X: 1, HoleForm: form})
			p.NextID = 41
		}},
		{plate.AddCircle(plate.BoltCircle{Bore: 2, Diameter: 50, Count: 3, HoleForm: form}), "new bolt circle", func(p *plate.Plate) {
			p.Circles = append(p.Circles, plate.BoltCircle{ID: 40, Name: "Bolt circle 1", Bore: 2, Diameter: 50, Count: 3, HoleForm: form})
			p.NextID = 41
		}},
		{plate.AddRib(plate.Rib{To: plate.RibEnd{X: 9}, Width: 2}), "new rib", func(p *plate.Plate) {
			p.Ribs = append(p.Ribs, plate.Rib{ID: 40, Name: "Rib 1", To: plate.RibEnd{X: 9}, Width: 2})
			p.NextID = 41
		}},
		{plate.AddGrid(plate.Grid{Pitch: 80, Width: 3, Bounds: square}), "new isogrid", func(p *plate.Plate) {
			p.Grids = append(p.Grids, plate.Grid{ID: 40, Name: "Isogrid 1", Pitch: 80, Width: 3, Bounds: square})
			p.NextID = 41
		}},
		{plate.AddPocket(plate.Pocket{Side: plate.Through, Radius: 3}), "new pocket", func(p *plate.Plate) {
			p.Pockets = append(p.Pockets, plate.Pocket{ID: 40, Name: "Pocket 1", Side: plate.Through, Radius: 3})
			p.NextID = 41
		}},
		{plate.AddCutLine(plate.CutLine{X2: 1}), "new cut line", func(p *plate.Plate) {
			p.CutLines = append(p.CutLines, plate.CutLine{ID: 40, Name: "Cut line 1", X2: 1})
			p.NextID = 41
		}},
		{plate.AddTarget(plate.Target{Quantity: plate.MassKG, Sense: plate.AtMost, Value: 1}), "new target", func(p *plate.Plate) {
			p.Targets = append(p.Targets, plate.Target{ID: 40, Name: "Target 1", Quantity: plate.MassKG, Sense: plate.AtMost, Value: 1})
			p.NextID = 41
		}},
		{plate.SetBore(plate.Bore{ID: 2, Name: "B", Diameter: 3}), "change of bore Rear pivot", func(p *plate.Plate) { p.Bores[1] = plate.Bore{ID: 2, Name: "B", Diameter: 3} }},
		{plate.KeepCell(35, plate.Anchor{X: 5, Y: 6}, true), "cell kept solid of pocket Bottom field", func(p *plate.Plate) { p.Pockets[1].Kept = []plate.Anchor{{X: 5, Y: 6}} }},
		{plate.KeepCell(34, plate.Anchor{X: 33.5, Y: 44}, true), "cell kept solid of pocket Top field", func(*plate.Plate) {}},
		{plate.KeepCell(34, plate.Anchor{Grid: 32, I: -1, J: 2, K: 1, X: 5}, false), "cell cut again of pocket Top field", func(p *plate.Plate) { p.Pockets[0].Kept = p.Pockets[0].Kept[1:] }},
		{plate.Replace("own change", func(p *plate.Plate) { p.Rim = 1 }), "own change", func(p *plate.Plate) { p.Rim = 1 }},
	} {
		p, want := full(t), full(t)
		if got := c.edit.Title(p); got != c.title {
			t.Errorf("title %q, want %q", got, c.title)
		}
		c.want(&want)
		if got := apply(t, p, c.edit); !cmp.Equal(got, want) {
			t.Errorf("%s (-want +got):\n%s", c.title, cmp.Diff(want, got))
		}
	}
}

func TestEditsAreRefused(t *testing.T) {
	for _, c := range []struct {
		edit plate.Edit
		want string
	}{
		{plate.SetBore(plate.Bore{ID: 99}), "change of bore: there is no such feature"},
		{plate.SetBore(plate.Bore{ID: 11}), "change of bore: there is no such feature"}, // a hole
		{moveBore(7, 6000, 0), `move refused: x of the centre of bore "Front pivot" is 6000 mm; it can be from -5000 to 5000 mm`},
		{plate.Replace("move", func(p *plate.Plate) { p.Holes[0].X = math.NaN() }), `x of the centre of hole "Guard 1" is NaN`},
		{moveBore(7, 250, 140.125), `both ends of rib "Spine" are at one place`},
		{plate.Rename(2, "Front pivot"), `both named "Front pivot"`},
		{plate.Rename(2, ""), `the name of bore "" is empty`},
		{plate.Rename(99, "x"), "there is no such feature"},
		{plate.Delete(99), "there is no such feature"},
		{plate.Delete(0), "there is no such feature"},
		{plate.Delete(7), `bore "Front pivot" is used by bolt circle "Flange" and rib "Spine"; delete or change those first`},
		{plate.Delete(33), `isogrid "Whole" is used by pocket "Bottom field"`},
		{plate.Delete(32), `isogrid "Field" is used by pocket "Top field"`},
		{plate.Delete(37), `cut line "Waist" is used by target "Stiff"`},
		{plate.Replace("corner", func(p *plate.Plate) { p.Outline.Corners = slices.Insert(p.Outline.Corners, 0, plate.Corner{}) }), "at one place"},
		{plate.SetMaterial("EN AW-9999", "T6"), "is not held; choose one of"},
		{plate.SetStock(plate.Stock{}), "refused"},
		{plate.AddPocket(plate.Pocket{Side: plate.Top, Depth: 30, Radius: 3}), "30 mm deep in a plate of 18.5 mm"},
		{plate.Replace("cheat", func(p *plate.Plate) { p.NextID = 1 }), "ids are never used again"},
		{plate.Replace("cheat", func(p *plate.Plate) { p.Bores[1].ID = 8; p.Ribs[0].To.Feature = 8 }), "the id 8, which is used up"},
		{plate.Replace("cheat", func(p *plate.Plate) { p.Bores = append(p.Bores, plate.Bore{ID: 3, Name: "x", Diameter: 1}) }), "the id 3 of a target"},
		{plate.Replace("cheat", func(p *plate.Plate) { p.Bores[1].ID = 40; p.Ribs[0].To.Feature = 40 }), "the next id is 40, but 40 is in use"},
	} {
		p := full(t)
		q, err := c.edit.Apply(p)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %s", c.edit.Label, err, c.want)
		}
		if !cmp.Equal(p, q) || !cmp.Equal(p, full(t)) {
			t.Errorf("%s was refused but changed the document", c.edit.Label)
		}
	}
	_, err := moveBore(7, 6000, 0).Apply(full(t))
	var r *plate.Refused
	if !errors.As(err, &r) || r.Finding.Code != "number-range" || r.Finding.Feature != 7 {
		t.Errorf("the refusal %v does not carry its finding", err)
	}
}

// TestWrongDocumentCanBeMended: an edit is judged by the errors it adds, so a wrong document is mended step by step, and a
// value may go from bad to less bad, but no second error comes in.
func TestWrongDocumentCanBeMended(t *testing.T) {
	p := full(t)
	p.Bores[0].X, p.Holes[0].Size, p.Rim = 9000, "M9", -1
	p = apply(t, p, moveBore(7, 8000, 60))
	if _, err := moveBore(7, 8000, 9000).Apply(p); err == nil || !strings.Contains(err.Error(), "y of the centre") {
		t.Errorf("a second wrong coordinate came in: %v", err)
	}
	p = apply(t, p, moveBore(7, 40, 60))
	p = apply(t, p, setRim(6.5))
	p = apply(t, p, plate.Replace("change of hole", func(q *plate.Plate) { q.Holes[0] = full(t).Holes[0] }))
	if fs := p.Validate(); len(fs) != 0 || !cmp.Equal(p, full(t)) {
		t.Errorf("mended document still has %v", fs)
	}
}

// TestIDsAreNeverReused deletes the newest feature and adds another.
func TestIDsAreNeverReused(t *testing.T) {
	p := plate.New("x")
	bore := plate.Bore{X: 50, Y: 50, Diameter: 10}
	p = apply(t, p, plate.AddBore(bore))
	p = apply(t, p, plate.Delete(1))
	if p.NextID != 2 || p.Bores != nil {
		t.Fatalf("after the deletion: next id %d, bores %v", p.NextID, p.Bores)
	}
	p = apply(t, decode(t, encode(t, p)), plate.AddBore(bore)) // also through a file
	if p.Bores[0].ID != 2 || p.NextID != 3 {
		t.Errorf("the new bore has the id %d, the next is %d; want 2 and 3", p.Bores[0].ID, p.NextID)
	}
}

// TestAddLastID: when the ids are used up, adding is refused and nothing wraps round.
func TestAddLastID(t *testing.T) {
	p := plate.New("x")
	p.NextID = 1<<53 - 1
	if _, err := plate.AddBore(plate.Bore{Diameter: 10}).Apply(p); err == nil || !strings.Contains(err.Error(), "next id") {
		t.Errorf("a bore after the last id: %v", err)
	}
}

// TestEditsDoNotShare: an edit made once and applied twice gives documents that share nothing with it or each other.
func TestEditsDoNotShare(t *testing.T) {
	corners := []plate.Corner{{X: 0, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 50}}
	ribs := []plate.ID{30}
	kept := []plate.Anchor{{X: 1, Y: 2}}
	pocket := plate.Pocket{ID: 35, Name: "P", Side: plate.Top, Depth: 3, Radius: 3, Bounds: corners, Ribs: ribs, Kept: kept}
	grid := plate.Grid{ID: 33, Name: "G", Pitch: 50, Width: 3, Bounds: corners}
	for _, e := range []plate.Edit{
		plate.SetOutline(plate.Outline{Corners: corners}), plate.SetPocket(pocket), plate.AddPocket(pocketNamed(pocket, "Q")),
		plate.AddGrid(gridNamed(grid, "H")),
	} {
		a, b := apply(t, full(t), e), apply(t, full(t), e)
		want := encode(t, b)
		corners[0].X, ribs[0], kept[0].X = 7, 31, 7
		spoil(&a)
		if got := encode(t, b); !bytes.Equal(got, want) {
			t.Errorf("%s shares memory:\n%s", e.Label, cmp.Diff(string(want), string(got)))
		}
		if got := encode(t, apply(t, full(t), e)); !bytes.Equal(got, want) {
			t.Errorf("%s applied again differs:\n%s", e.Label, cmp.Diff(string(want), string(got)))
		}
		corners[0].X, ribs[0], kept[0].X = 0, 30, 1
	}
}

func pocketNamed(k plate.Pocket, name string) plate.Pocket { k.Name = name; return k }
func gridNamed(g plate.Grid, name string) plate.Grid       { g.Name = name; return g }

// spoil changes every entry of the lists within lists of a document in place.
func spoil(p *plate.Plate) {
	for i := range p.Outline.Corners {
		p.Outline.Corners[i].X++
	}
	for _, g := range p.Grids {
		for i := range g.Bounds {
			g.Bounds[i].X++
		}
	}
	for _, k := range p.Pockets {
		for i := range k.Bounds {
			k.Bounds[i].X++
		}
		for i := range k.Ribs {
			k.Ribs[i]++
		}
		for i := range k.Kept {
			k.Kept[i].X++
		}
	}
}

// TestRandomEdits applies random edits, good and bad, and holds what every edit promises.
func TestRandomEdits(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := full(t)
		used := make(map[plate.ID]plate.Kind) // every id ever seen
		for range rapid.IntRange(1, 30).Draw(r, "edits") {
			for _, f := range p.Features() {
				used[f.ID] = f.Kind
			}
			before := encode(t, p)
			e := randomEdit(r)
			q, err := e.Apply(p)
			if !bytes.Equal(before, encode(t, p)) {
				r.Fatalf("%s changed the document it was given", e.Label)
			}
			if err != nil {
				if !cmp.Equal(p, q) {
					r.Fatalf("%s failed (%v) but gave another document", e.Label, err)
				}
				continue
			}
			if fs := q.Validate(); len(fs) != 0 {
				r.Fatalf("%s made the document wrong: %v", e.Label, fs)
			}
			if q.NextID < p.NextID {
				r.Fatalf("%s lowered the next id", e.Label)
			}
			for _, f := range q.Features() {
				if k, ok := used[f.ID]; ok && k != f.Kind {
					r.Fatalf("%s gave the id of a %s to %s", e.Label, k, f)
				}
				if _, old := p.Find(f.ID); !old && f.ID < p.NextID {
					r.Fatalf("%s used an old id for %s", e.Label, f)
				}
			}
			if back := decode(t, encode(t, q)); !cmp.Equal(q, back) {
				r.Fatalf("%s made a document that does not read back:\n%s", e.Label, cmp.Diff(q, back))
			}
			p = q
		}
	})
}

func randomEdit(r *rapid.T) plate.Edit {
	id := plate.ID(rapid.IntRange(0, 45).Draw(r, "id"))
	other := plate.ID(rapid.IntRange(0, 45).Draw(r, "other"))
	x := rapid.SampledFrom([]float64{0, 1, 12.5, -3, 100, 5000, 5001, math.NaN(), 0.1, 18.5, 40}).Draw(r, "x")
	y := rapid.SampledFrom([]float64{0, 2, 60, 140.125, math.Copysign(0, -1), 1e9}).Draw(r, "y")
	i := rapid.IntRange(-1, 6).Draw(r, "i")
	edits := []func() plate.Edit{
		func() plate.Edit { return moveBore(id, x, y) },
		func() plate.Edit { return setRibEnd(id, x > 0, plate.RibEnd{X: x, Y: y}) },
		func() plate.Edit { return setRibEnd(id, x > 0, plate.RibEnd{Feature: other}) },
		func() plate.Edit {
			return plate.Replace("corner", func(p *plate.Plate) {
				if c := p.Outline.Corners; i >= 0 && i < len(c) {
					c[i].X, c[i].Y = x, y
				}
			})
		},
		func() plate.Edit {
			return plate.Replace("corner", func(p *plate.Plate) {
				if c := p.Outline.Corners; i >= 0 && i < len(c) {
					p.Outline.Corners = slices.Delete(c, i, i+1)
				}
			})
		},
		func() plate.Edit { return plate.Delete(id) },
		func() plate.Edit {
			return plate.Rename(id, rapid.SampledFrom([]string{"A", "B", "", "Spine"}).Draw(r, "name"))
		},
		func() plate.Edit { return plate.AddBore(plate.Bore{X: x, Y: y, Diameter: 5}) },
		func() plate.Edit {
			return plate.AddRib(plate.Rib{From: plate.RibEnd{Feature: id}, To: plate.RibEnd{Feature: other}, Width: 3})
		},
		func() plate.Edit {
			return plate.AddPocket(plate.Pocket{Side: plate.Top, Depth: x, Radius: 3, Ribs: []plate.ID{id}})
		},
		func() plate.Edit { return plate.KeepCell(id, plate.Anchor{Grid: other, I: i}, x > 0) },
		func() plate.Edit { return setRim(x) },
		func() plate.Edit { return plate.SetMaterial("EN AW-7075", "T651") },
	}
	return edits[rapid.IntRange(0, len(edits)-1).Draw(r, "edit")]()
}

func TestFeaturesAndUsers(t *testing.T) {
	p := full(t)
	var got []string
	for _, f := range p.Features() {
		got = append(got, f.String()+" in "+f.Stage)
		stage, name, ok := p.Feature(f.ID)
		if !ok || stage != f.Stage || name != f.Name {
			t.Errorf("Feature(%d) = %q, %q, %v; want %q, %q", f.ID, stage, name, ok, f.Stage, f.Name)
		}
	}
	want := []string{
		`bore "Front pivot" in bores`, `bore "Rear pivot" in bores`, `hole "Guard 1" in holes`, `hole "Guard 2" in holes`, `hole "Stop" in holes`,
		`bolt circle "Flange" in holes`, `bolt circle "Cover" in holes`, `rib "Spine" in ribs`, `rib "Strut" in ribs`, `isogrid "Field" in ribs`,
		`isogrid "Whole" in ribs`, `pocket "Top field" in pockets`, `pocket "Bottom field" in pockets`, `pocket "Window" in pockets`,
		`cut line "Waist" in targets`, `target "Light" in targets`, `target "Stiff" in targets`, `target "Quick" in targets`, `target "Thrifty" in targets`,
	}
	if !cmp.Equal(got, want) {
		t.Errorf("features (-want +got):\n%s", cmp.Diff(want, got))
	}
	if _, _, ok := p.Feature(99); ok || p.Users(0) != nil {
		t.Error("there is a feature 99, or the plate is used")
	}
	for id, want := range map[plate.ID]int{7: 2, 2: 1, 11: 1, 30: 1, 32: 1, 33: 1, 37: 1, 12: 0, 34: 0, 99: 0} {
		if us := p.Users(id); len(us) != want {
			t.Errorf("Users(%d) = %v, want %d", id, us, want)
		}
	}
}
