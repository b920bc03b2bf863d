package set_test

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/set"
)

// lug is a plate without any symmetry: four corners of their own, three bores, a tapped blind hole from the top, a pocket.
func lug() plate.Plate {
	p := plate.New("lug")
	p.Outline = plate.Outline{Corners: []plate.Corner{
		{X: 0, Y: 0, Radius: 12}, {X: 210, Y: 8, Radius: 20}, {X: 180, Y: 120, Radius: 12}, {X: 20, Y: 100},
	}}
	p.Bores = []plate.Bore{
		{ID: 1, Name: "Axle", X: 40, Y: 40, Diameter: 20, Boss: 8},
		{ID: 2, Name: "Pivot", X: 160, Y: 60, Diameter: 30, Boss: 8},
		{ID: 3, Name: "Pin", X: 100, Y: 85, Diameter: 12, Boss: 6},
	}
	p.Holes = []plate.Hole{{
		ID: 4, Name: "Stop", X: 105, Y: 30, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M6", Side: plate.Top, Depth: 8},
	}}
	p.Pockets = []plate.Pocket{{ID: 5, Name: "Web", Side: plate.Top, Depth: 9, Radius: 4, AllRibs: true}}
	p.NextID = 6
	return p
}

// moved turns a plate's drawing by an angle and moves it, mirrored in x first when asked; it covers what lug has.
func moved(p plate.Plate, deg, x, y float64, mirror bool) plate.Plate {
	t := geom.Affine{}
	if mirror {
		t = geom.MirrorX()
	}
	t = t.Then(geom.Rotation(deg * math.Pi / 180)).Then(geom.Translation(geom.Pt(x, y)))
	q := p.Clone()
	at := func(x, y *float64) {
		v := t.Apply(geom.Pt(*x, *y))
		*x, *y = v.X, v.Y
	}
	for i := range q.Outline.Corners {
		at(&q.Outline.Corners[i].X, &q.Outline.Corners[i].Y)
	}
	for i := range q.Bores {
		at(&q.Bores[i].X, &q.Bores[i].Y)
	}
	for i := range q.Holes {
		at(&q.Holes[i].X, &q.Holes[i].Y)
	}
	return q
}

// overturned changes top and bottom.
func overturned(p plate.Plate) plate.Plate {
	q := p.Clone()
	swap := func(s plate.Side) plate.Side {
		switch s {
		case plate.Top:
			return plate.Bottom
		case plate.Bottom:
			return plate.Top
		}
		return s
	}
	for i := range q.Holes {
		q.Holes[i].Side = swap(q.Holes[i].Side)
	}
	for i := range q.Pockets {
		q.Pockets[i].Side = swap(q.Pockets[i].Side)
	}
	return q
}

func derived(t *testing.T, p plate.Plate) *layout.Layout {
	t.Helper()
	l, err := layout.Derive(p)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func matches(t *testing.T, a, b plate.Plate, mirror, flip bool) bool {
	t.Helper()
	ok, err := set.Matches(context.Background(), derived(t, a), derived(t, b), mirror, flip, set.DefaultTolerance)
	if err != nil {
		t.Fatal(err)
	}
	return ok
}

// TestMatchesMoved: a plate is itself wherever it is drawn, its mirror image only when mirrored, and itself turned over.
func TestMatchesMoved(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for range 6 {
		deg, x, y := r.Float64()*360, r.Float64()*300-150, r.Float64()*300-150
		a := lug()
		for _, c := range []struct {
			name string
			b    plate.Plate
			want [4]bool // same, mirrored, upside down, mirrored and upside down (turned over)
		}{
			{"moved", moved(a, deg, x, y, false), [4]bool{true, false, false, false}},
			{"mirrored", moved(a, deg, x, y, true), [4]bool{false, true, false, false}},
			{"from below", overturned(moved(a, deg, x, y, false)), [4]bool{false, false, true, false}},
			{"turned over", overturned(moved(a, deg, x, y, true)), [4]bool{false, false, false, true}},
		} {
			got := [4]bool{matches(t, a, c.b, false, false), matches(t, a, c.b, true, false), matches(t, a, c.b, false, true), matches(t, a, c.b, true, true)}
			if got != c.want {
				t.Errorf("%s by %.1f°: %v, want %v", c.name, deg, got, c.want)
			}
		}
	}
}

// TestMatchesDiffers: what a shop would notice makes another part, what it would not does not.
func TestMatchesDiffers(t *testing.T) {
	for name, c := range map[string]struct {
		change func(p *plate.Plate)
		same   bool
	}{
		"nothing":            {func(*plate.Plate) {}, true},
		"its name and note":  {func(p *plate.Plate) { p.Name, p.Note = "other", "n" }, true},
		"its blank":          {func(p *plate.Plate) { p.Stock.Blank.Margin = 20 }, true},
		"order of features":  {func(p *plate.Plate) { p.Bores[0], p.Bores[2] = p.Bores[2], p.Bores[0] }, true},
		"order of corners":   {func(p *plate.Plate) { c := p.Outline.Corners; p.Outline.Corners = append(c[2:4:4], c[:2]...) }, true},
		"a bore by 0.002 mm": {func(p *plate.Plate) { p.Bores[1].X += 0.002 }, true},
		"a bore by 0.05 mm":  {func(p *plate.Plate) { p.Bores[1].X += 0.05 }, false},
		"a bore's diameter":  {func(p *plate.Plate) { p.Bores[1].Diameter += 0.03 }, false},
		"a bore's tolerance": {func(p *plate.Plate) { p.Bores[1].Tolerance = 0.03 }, false},
		"a fit":              {func(p *plate.Plate) { p.Bores[1].Fit = "H7" }, false},
		"a missing bore":     {func(p *plate.Plate) { p.Bores = p.Bores[:2] }, false},
		"a thread":           {func(p *plate.Plate) { p.Holes[0].Size = "M5" }, false},
		"a thread's depth":   {func(p *plate.Plate) { p.Holes[0].Depth = 9 }, false},
		"a through hole":     {func(p *plate.Plate) { p.Holes[0].Side, p.Holes[0].Depth = plate.Through, 0 }, false},
		"a pocket's depth":   {func(p *plate.Plate) { p.Pockets[0].Depth = 9.5 }, false},
		"a pocket's corner":  {func(p *plate.Plate) { p.Pockets[0].Radius = 5 }, false},
		"a corner":           {func(p *plate.Plate) { p.Outline.Corners[0].Radius = 13 }, false},
		"thickness":          {func(p *plate.Plate) { p.Stock.Nominal, p.Stock.Finished = 16, 16 }, false},
		"the alloy's temper": {func(p *plate.Plate) { p.Stock.Material.Temper = "T4" }, false},
		"the finish":         {func(p *plate.Plate) { p.Stock.Finish = plate.Finish{Name: "anodised", Growth: 0.01} }, false},
	} {
		b := lug()
		c.change(&b)
		if got := matches(t, lug(), b, false, false); got != c.same {
			t.Errorf("with %s changed: the same %v, want %v", name, got, c.same)
		}
		if got := matches(t, b, moved(lug(), 33, 5, -7, false), false, false); got != c.same {
			t.Errorf("with %s changed, against a moved one: the same %v, want %v", name, got, c.same)
		}
	}
	a, b := lug(), lug()
	a.Bores[1].Tolerance, b.Bores[1].Tolerance = 0.03, 0.025 // nearer to each other than shapes are compared
	if matches(t, a, b, false, false) {
		t.Error("two tolerances of one bore make one part")
	}
}

// TestMatchesRound: a disc gives no direction by its outline, so that its cuts must, and a plain disc none at all.
func TestMatchesRound(t *testing.T) {
	disc := func(angles ...float64) plate.Plate {
		p := plate.New("disc")
		p.Outline = plate.Outline{Corners: []plate.Corner{
			{X: 60, Y: 0, Arc: true, ThroughX: 0, ThroughY: 60}, {X: -60, Y: 0, Arc: true, ThroughX: 0, ThroughY: -60},
		}}
		p.Rim, p.NextID = 0, 20
		for i, a := range angles {
			s, c := math.Sincos(a * math.Pi / 180)
			p.Bores = append(p.Bores, plate.Bore{ID: plate.ID(i + 1), Name: string(rune('a' + i)), X: 40 * c, Y: 40 * s, Diameter: 10})
		}
		return p
	}
	for _, c := range []struct {
		a, b         []float64
		same, mirror bool
	}{
		{nil, nil, true, true},
		{[]float64{0, 100, 200}, []float64{250, 150, 50}, true, true},
		{[]float64{0, 90, 200}, []float64{10, 100, 210}, true, false},
		{[]float64{0, 90, 200}, []float64{0, -90, -200}, false, true},
		{[]float64{0, 90, 200}, []float64{0, 91, 200}, false, false},
		{[]float64{0, 90}, []float64{0, 90, 180}, false, false},
	} {
		if got := matches(t, disc(c.a...), disc(c.b...), false, false); got != c.same {
			t.Errorf("discs %v and %v: the same %v, want %v", c.a, c.b, got, c.same)
		}
		if got := matches(t, disc(c.a...), disc(c.b...), true, false); got != c.mirror {
			t.Errorf("discs %v and %v: mirrored %v, want %v", c.a, c.b, got, c.mirror)
		}
	}
}

func TestMatchesStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	l := derived(t, lug())
	if ok, err := set.Matches(ctx, l, l, false, false, 0.01); err == nil {
		t.Errorf("Matches with a cancelled context = %v", ok)
	}
}

// loaded makes a set of plates, one file a part unless a file is named.
func loaded(t *testing.T, s set.Set, plates ...plate.Plate) *set.Loaded {
	t.Helper()
	l, found, err := set.Of(context.Background(), s, plates)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	return l
}

func part(name, file string, quantity int, hand set.Hand) set.Part {
	return set.Part{Name: name, File: file + ".plate", Quantity: quantity, Hand: hand}
}

// TestPartNumbers: a handed pair with a top pocket is two numbers that name each other; without blind cuts one plate serves
// both hands; a copy drawn elsewhere is the same number.
func TestPartNumbers(t *testing.T) {
	a := lug()
	flat := lug()
	flat.Holes, flat.Pockets = nil, nil
	s := set.Set{Name: "frame", Parts: []set.Part{
		part("left", "a", 1, set.Left), part("right", "a", 1, set.Right),
		part("copy of left", "b", 2, set.NoHand), part("copy of right", "c", 3, set.NoHand),
		part("left flat", "d", 1, set.Left), part("right flat", "d", 1, set.Right),
		part("left from below", "e", 1, set.NoHand),
	}}
	l := loaded(t, s, a, a, moved(a, 77, 10, 20, false), moved(a, -20, 0, 5, true), flat, flat, overturned(moved(a, 12, 0, 0, true)))
	got, err := l.PartNumbers(context.Background(), set.DefaultTolerance)
	if err != nil {
		t.Fatal(err)
	}
	type number struct {
		members  string
		quantity int
		pair     int
	}
	var short []number
	for i, n := range got {
		var names []string
		for _, m := range n.Members {
			name := m.Part
			if m.Turned {
				name += " (turned over)"
			}
			names = append(names, name)
		}
		if n.Number != i+1 {
			t.Errorf("number %d stands at %d", n.Number, i+1)
		}
		short = append(short, number{strings.Join(names, ", "), n.Quantity, n.Pair})
	}
	want := []number{
		{"left, copy of left, left from below (turned over)", 4, 2},
		{"right, copy of right", 4, 1},
		{"left flat, right flat (turned over)", 2, 0},
	}
	if len(short) != len(want) {
		t.Fatalf("part numbers %+v, want %+v", short, want)
	}
	for i := range want {
		if short[i] != want[i] {
			t.Errorf("part number %d = %+v, want %+v", i+1, short[i], want[i])
		}
	}
	for _, tol := range []float64{0, -1, 2, math.NaN()} {
		if _, err := l.PartNumbers(context.Background(), tol); err == nil {
			t.Errorf("PartNumbers(%v): no error", tol)
		}
	}
}

func write(t *testing.T, name string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestLoadFile(t *testing.T) {
	dir := t.TempDir()
	p := lug()
	data, err := plate.Encode(p)
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "parts", "lug.plate"), data)
	s := set.Set{Name: "pair", Parts: []set.Part{part("left", "parts/lug", 1, set.Left), part("right", "parts/lug", 1, set.Right)}}
	s.Parts[0].Revision = plate.Revision(p)
	s.CrossMembers = []set.CrossMember{{Name: "tube", From: set.Ref{Part: "left", Feature: 1}, To: set.Ref{Part: "right", Feature: 1}, Length: 100, Diameter: 20}}
	name := filepath.Join(dir, "pair.set")
	save := func(s set.Set) {
		data, err := set.Encode(s)
		if err != nil {
			t.Fatal(err)
		}
		write(t, name, data)
	}
	save(s)
	l, found, err := set.LoadFile(context.Background(), name)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	if len(l.Plates) != 2 || l.Plates[1].Name != "lug" || l.Shapes[0].Layout != l.Shapes[1].Layout || len(l.Shapes[0].Outline().Outer) == 0 {
		t.Errorf("loaded %d plates; parts of one file share their shape", len(l.Plates))
	}

	changed := s
	changed.Parts = append([]set.Part(nil), s.Parts...)
	changed.Parts[0].Revision = strings.Repeat("0", 64)
	changed.CrossMembers = []set.CrossMember{{Name: "tube", From: set.Ref{Part: "left", Feature: 99}, To: set.Ref{Part: "right", Feature: 5}, Length: 100, Diameter: 20}}
	changed.Settings = []set.Setting{{Name: "s", Values: []set.Value{{Adjuster: set.Ref{Part: "left", Feature: 1}}}}}
	save(changed)
	_, found, err = set.LoadFile(context.Background(), name)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, f := range found {
		all = append(all, f.Code+": "+f.What)
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{"set-plate-changed", "no feature 99", `pocket "Web"`, "has no centre", "not an adjuster"} {
		if !strings.Contains(text, want) {
			t.Errorf("findings %q miss %q", text, want)
		}
	}
	if finding.Count(found, finding.Error) != 3 {
		t.Errorf("%d errors, want 3:\n%s", finding.Count(found, finding.Error), text)
	}
}

func TestLoadFileRefuses(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "s.set")
	ok := `{"format": "platewright-set", "version": 1, "name": "n", "parts": [{"name": "p", "file": "p.plate", "quantity": 1}]}`
	for _, c := range []struct{ set, plate, want string }{
		{"", "", "no such file"},
		{"{", "", "set file: 1:2"},
		{strings.Replace(ok, `"quantity": 1`, `"quantity": 0`, 1), "", "quantity"},
		{ok, "", `part "p"`},
		{ok, "{}", "p.plate"},
		{ok, strings.Repeat(" ", plate.MaxFileBytes+1), "more than"},
	} {
		_ = os.Remove(name)
		_ = os.Remove(filepath.Join(dir, "p.plate"))
		if c.set != "" {
			write(t, name, []byte(c.set))
		}
		if c.plate != "" {
			write(t, filepath.Join(dir, "p.plate"), []byte(c.plate))
		}
		if _, _, err := set.LoadFile(context.Background(), name); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("LoadFile of %.80q: %v; want an error with %q", c.set, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := set.Of(ctx, set.Set{Parts: []set.Part{part("a", "a", 1, "")}}, []plate.Plate{lug()}); err == nil {
		t.Error("Of with a cancelled context: no error")
	}
	if _, _, err := set.Of(context.Background(), set.Set{}, []plate.Plate{lug()}); err == nil {
		t.Error("Of with more plates than parts: no error")
	}
}

// TestPoses: a carried part sits with its own feature on the carrier's, turned by the clocked angle, through two carriers and
// a mirrored one; an eccentric and a slot move it.
func TestPoses(t *testing.T) {
	base := lug()
	ring := plate.ClockedRing{MateCount: 6, PositionDeg: 30, LeastBolts: 3}
	ring.ID, ring.Name, ring.Bore, ring.Diameter, ring.Count = 10, "Clock", 2, 50, 6
	base.Rings = []plate.ClockedRing{ring}
	base.Eccentrics = []plate.Eccentric{{ID: 11, Name: "Cam", Bore: 1, E: 5, AngleDeg: 90}}
	base.Slots = []plate.Slot{{ID: 12, Name: "Belt", X: 100, Y: 50, Length: 40, Width: 10, AngleDeg: 90, Position: 10, Adjusting: true}}
	base.Circles = []plate.BoltCircle{{ID: 13, Name: "Flange", Bore: 2, Diameter: 60, Count: 3}}
	s := set.Set{Name: "s", Parts: []set.Part{
		{Name: "base", File: "base.plate", Place: set.Place{X: 100, Y: 50, AngleDeg: 90}},
		{Name: "clocked", File: "a.plate", Carried: set.Carried{By: "base", Feature: 10, Own: 1}, Place: set.Place{AngleDeg: 5}},
		{Name: "on the cam", File: "a.plate", Carried: set.Carried{By: "base", Feature: 11, Own: 1}, Place: set.Place{Mirrored: true}},
		{Name: "on the belt", File: "a.plate", Carried: set.Carried{By: "on the cam", Feature: 2, Own: 3}},
		{Name: "mirror", File: "base.plate", Place: set.Place{Mirrored: true}},
		{Name: "in the mirror", File: "a.plate", Carried: set.Carried{By: "mirror", Feature: 10, Own: 1}},
	}}
	a := lug()
	l := &set.Loaded{Set: s, Plates: []plate.Plate{base, a, a, a, base, a}, Shapes: make([]set.Shape, 6)}
	place := func(state set.State, part string, x, y float64) geom.Point {
		poses, err := l.Poses(state)
		if err != nil {
			t.Fatal(err)
		}
		return poses[l.Part(part)].Apply(geom.Pt(x, y))
	}
	turn := func(state set.State, part string) float64 {
		d := place(state, part, 1, 0).Sub(place(state, part, 0, 0))
		return math.Atan2(d.Y, d.X) * 180 / math.Pi
	}
	near := func(what string, got, want geom.Point) {
		t.Helper()
		if got.Dist(want) > 1e-9 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	// base: (x, y) → (100 − y, 50 + x); its pivot (160, 60) lies at (40, 210).
	near("own bore on the clocked ring", place(nil, "clocked", 40, 40), geom.Pt(40, 210))
	if got := turn(nil, "clocked"); math.Abs(got-125) > 1e-9 { // 90 + 30 + 5
		t.Errorf("clocked as drawn stands at %v°, want 125", got)
	}
	at := set.Ref{Part: "base", Feature: 10}
	if got := turn(set.State{at: {Adjuster: at, AngleDeg: 60}}, "clocked"); math.Abs(got-155) > 1e-9 {
		t.Errorf("clocked by 60° stands at %v°, want 155", got)
	}
	near("own bore on the eccentric", place(nil, "on the cam", 40, 40), geom.Pt(100-45, 50+40)) // the cam's centre (40, 45)
	cam := set.Ref{Part: "base", Feature: 11}
	near("own bore on the eccentric at 0°", place(set.State{cam: {Adjuster: cam}}, "on the cam", 40, 40), geom.Pt(100-40, 50+45))
	near("carried twice", place(nil, "on the belt", 100, 85), place(nil, "on the cam", 160, 60))
	if got := turn(nil, "in the mirror"); math.Abs(math.Abs(got)-150) > 1e-9 { // a turn of 30° seen in the mirror
		t.Errorf("in the mirror it stands at %v°, want 150", got)
	}
	for _, c := range []struct {
		id     plate.ID
		want   geom.Point
		adjust bool
	}{{12, geom.Pt(100, 60), true}, {13, geom.Pt(160, 60), false}, {4, geom.Pt(105, 30), false}} {
		n, err := l.Node(set.Ref{Part: "base", Feature: c.id}, nil)
		if err != nil || n.Adjusts != c.adjust {
			t.Errorf("node %d = %+v, %v", c.id, n, err)
		}
		near(n.Name, n.Centre, c.want)
	}
	// The plate's chosen setting stands in place of what is drawn.
	base.Settings, base.Setting = []plate.Setting{{ID: 14, Name: "up", Values: []plate.SettingValue{{Feature: 12, Position: -20}}}}, 14
	if n, err := set.NodeOf(base, 12, nil); err != nil || n.Centre.Dist(geom.Pt(100, 30)) > 1e-9 {
		t.Errorf("slot in the chosen setting: %+v, %v; want 100,30", n, err)
	}
	slot := set.Ref{Part: "base", Feature: 12}
	for _, r := range []set.Ref{{Part: "nobody", Feature: 1}, {Part: "base", Feature: 77}} {
		if n, err := l.Node(r, nil); err == nil {
			t.Errorf("Node(%v) = %v; want an error", r, n)
		}
	}
	if n, err := l.Node(slot, set.State{slot: {Adjuster: slot, Position: 21}}); err == nil || !strings.Contains(err.Error(), "-20 to 20 mm") {
		t.Errorf("beyond the slot: %v, %v; want an error that names the range", n, err)
	}
	l.Parts[0].Carried = set.Carried{By: "clocked", Feature: 1, Own: 1}
	if _, err := l.Poses(nil); err == nil || !strings.Contains(err.Error(), "carried by itself") {
		t.Errorf("parts that carry each other: %v", err)
	}
}
