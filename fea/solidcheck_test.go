package fea

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/fea/solid"
	"platewright/plate"
	"platewright/plate/geom"
)

func solidChecked(t *testing.T, p plate.Plate, o Options) *SolidResult {
	t.Helper()
	r, err := Solve(t.Context(), derive(t, p), o, oneCase(&p))
	if err != nil {
		t.Fatal(err)
	}
	s, err := r.SolidCheck(t.Context(), SolidOptions{})
	if err != nil {
		t.Fatal(err)
	}
	c := &s.Cases[0]
	if c.Refused == "" && c.Imbalance > 1e-8 {
		t.Errorf("loads and reactions differ by %g of them", c.Imbalance)
	}
	return s
}

// TestSolidHinges: a plain bar between two pins, pulled aside, has no ribs that the live
// model could get wrong: both models agree on where the walls press, and on the motion.
func TestSolidHinges(t *testing.T) {
	p := link(120, 20, 10, 16)
	p.Supports = []plate.Support{
		{ID: 11, Name: "left", Kind: plate.Hinged, On: at(1)},
		{ID: 12, Name: "right", Kind: plate.Hinged, On: at(2)},
	}
	p.Loads = []plate.Load{{ID: 13, Name: "side", Kind: plate.LineForce, On: edge(40, 40, 120, 40), Force: [3]float64{800, 2000, 30}}}
	s := solidChecked(t, p, Options{Size: 8, Across: 1, ArcEdges: 12})
	c := &s.Cases[0]
	t.Logf("%v: %+v, %d rounds, %.2g pulling", s, c.LiveError, c.ContactRounds, c.Pulling)
	if c.ContactRounds < 1 || c.Pulling > pullingShare {
		t.Errorf("after %d rounds %g of the force on pins pulls", c.ContactRounds, c.Pulling)
	}
	if math.Abs(c.LiveError.Stiffness) > 3 || math.Abs(c.LiveError.Deflection) > 4 {
		t.Errorf("a plain bar differs by %+v", c.LiveError)
	}
	// Fixed all round is stiffer than on pins, in the prisms too.
	for i := range p.Supports {
		p.Supports[i].Kind = plate.Fixed
	}
	if f := &solidChecked(t, p, Options{Size: 8, Across: 1, ArcEdges: 12}).Cases[0]; !(f.MaxDeflection < c.MaxDeflection) || f.ContactRounds != 0 {
		t.Errorf("fixed moves %g mm in %d rounds, on pins %g mm", f.MaxDeflection, f.ContactRounds, c.MaxDeflection)
	}
}

// TestSolidPulledBar: away from its ends, a bar pulled by 4 kN has the stress of force over
// section, and all of it lengthens about as Hooke says.
func TestSolidPulledBar(t *testing.T) {
	p := rectangle(120, 40, 10)
	p.Supports = []plate.Support{{ID: 11, Name: "wall", Kind: plate.Fixed, On: edge(0, 40, 0, 0)}}
	p.Loads = []plate.Load{{ID: 12, Name: "pull", Kind: plate.LineForce, On: edge(120, 0, 120, 40), Force: [3]float64{4000}}}
	c := &solidChecked(t, p, Options{Size: 10, Across: 1, Clear: 55}).Cases[0]
	within(t, "stress", c.MaxVonMises, 10, 0.5)
	within(t, "the far end moves", c.MaxDeflection, 4000*120/alloy.Young/400, 3)
	if math.Abs(c.MaxDeflectionAt[0]-120) > 1e-6 {
		t.Errorf("the end does not move the most: %v", c.MaxDeflectionAt)
	}
}

// TestSolidVolume: the prisms of a sample hold the metal of its layout but for what is no
// prism.
func TestSolidVolume(t *testing.T) {
	m := modelOf(t, sample(t, "camera-dolly-cheek"), Options{Size: 12, Across: 1, ArcEdges: 8})
	s, err := m.prismsBy(solid.Options{Layers: 1, LayerHeight: 100})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "volume", s.p.Volume(), m.Layout.Volume(), 0.5)
}

// TestSolidLoads: loads of every kind that the check takes have the live model's
// resultant on the prisms, mirrored and through an eccentric too.
func TestSolidLoads(t *testing.T) {
	p := link(120, 20, 10, 16)
	p.Eccentrics = []plate.Eccentric{{ID: 3, Name: "cam", Bore: 2, E: 3, AngleDeg: 90}}
	p.Loads = []plate.Load{
		{ID: 21, Name: "press", Kind: plate.BoreForce, On: at(1), Force: [3]float64{300, -700, 80}, At: [3]float64{2: 8}},
		{ID: 22, Name: "cam", Kind: plate.BoreForce, On: at(2), Force: [3]float64{500, 200, 10}, At: [3]float64{2: 5}},
		{ID: 23, Name: "turn", Kind: plate.Moment, On: at(2), Moment: [3]float64{2000, -1000, 3000}},
		{ID: 24, Name: "arm", Kind: plate.RemoteForce, On: at(1), Force: [3]float64{10, 20, 30}, At: [3]float64{-50, 90, 40}},
		{ID: 25, Name: "line", Kind: plate.LineForce, On: edge(40, 40, 120, 40), Force: [3]float64{5, -6, 7}},
		{ID: 26, Name: "area", Kind: plate.AreaForce, On: plate.Place{Side: plate.Bottom}, Force: [3]float64{1, 2, 3}},
		{ID: 27, Name: "patch", Kind: plate.AreaForce, On: plate.Place{Side: plate.Top, Bounds: []plate.Corner{{X: 60, Y: 10}, {X: 95, Y: 12}, {X: 80, Y: 31}}}, Force: [3]float64{0, 0, -40}},
		{ID: 28, Name: "middle", Kind: plate.AreaForce, On: plate.Place{Side: plate.Through}, Force: [3]float64{10, 0, -40}},
		{ID: 29, Name: "weight", Kind: plate.Acceleration, Force: [3]float64{0, -2, 1}},
	}
	m, err := NewModel(t.Context(), derive(t, p), Options{Size: 15, Across: 1, ArcEdges: 8})
	if err != nil {
		t.Fatal(err)
	}
	s, _, _, err := m.prisms(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range p.Loads {
		for _, mirrored := range []bool{false, true} {
			c := plate.LoadCase{Factor: 2, Mirrored: mirrored, Loads: []plate.LoadFactor{{Load: l.ID, Factor: 1.5}}}
			set, err := m.adjust(0)
			if err != nil {
				t.Fatal(err)
			}
			f, used, err := s.loads(&c, set)
			if err != nil {
				t.Fatal(err)
			}
			force, moment := s.p.Resultant(f, solid.Vec(used[0].at))
			want := used[0].asked.Scale(3)
			off := math.Hypot(length([3]float64{force[0] - want.Force[0], force[1] - want.Force[1], force[2] - want.Force[2]}),
				length([3]float64{moment[0] - want.Moment[0], moment[1] - want.Moment[1], moment[2] - want.Moment[2]})/m.extent)
			limit := 1e-10
			if l.Kind == plate.Acceleration {
				limit = 2e-4 // the centres of the meshed metal and of its chords
			}
			if off > limit*want.size(m.extent) {
				t.Errorf("%s, mirrored %v: resultant %v %v, want %+v", l.Name, mirrored, force, moment, want)
			}
		}
	}
}

// TestSolidSupports: a bar held in each other way that the live model knows moves alike
// in both models.
func TestSolidSupports(t *testing.T) {
	pull := plate.Load{ID: 13, Name: "pull", Kind: plate.BoreForce, On: at(2), Force: [3]float64{800, 500, 60}, At: [3]float64{2: 5}}
	wall := plate.Support{ID: 11, Name: "wall", Kind: plate.Fixed, On: edge(0, 40, 0, 0)}
	for name, held := range map[string][]plate.Support{
		"fixed area": {{ID: 11, Name: "pad", Kind: plate.Fixed, On: plate.Place{Side: plate.Bottom, Bounds: []plate.Corner{{X: -1, Y: -1}, {X: 12, Y: -1}, {X: 12, Y: 41}, {X: -1, Y: 41}}}}},
		"sliding":    {{ID: 11, Name: "one", Kind: plate.Fixed, On: at(1)}, {ID: 12, Name: "two", Kind: plate.Sliding, On: at(2), DirectionDeg: 30}},
		"guided":     {wall, {ID: 12, Name: "side", Kind: plate.Sliding, On: edge(50, 40, 110, 40)}},
		"spring":     {{ID: 11, Name: "soft", Kind: plate.Spring, On: at(1), Stiffness: [6]float64{2e4, 1e4, 3e3, 1e7, 2e7, 5e6}}},
		"symmetry":   {wall, {ID: 12, Name: "mirror", Kind: plate.Symmetry, On: edge(50, 40, 110, 40)}},
	} {
		p := link(120, 20, 10, 16)
		p.Supports, p.Loads = held, []plate.Load{pull}
		c := &solidChecked(t, p, Options{Size: 10, Across: 1, ArcEdges: 8}).Cases[0]
		t.Logf("%s: %+v", name, c.LiveError)
		if c.Refused != "" || math.Abs(c.LiveError.Stiffness) > 4 || math.Abs(c.LiveError.Deflection) > 4 {
			t.Errorf("%s: refused %q, the live model is off by %+v", name, c.Refused, c.LiveError)
		}
	}
}

// TestSolidSlots: a bolt in a slot loads, and slides and springs hold, where the setting
// puts it in the prisms too: along and across, in the middle and at the end of the slot.
func TestSolidSlots(t *testing.T) {
	for _, position := range []float64{0, -12, 20} {
		p := rectangle(150, 40, 10)
		p.Slots = []plate.Slot{{ID: 1, Name: "guide", X: 105, Y: 20, Length: 40, Width: 10, Side: plate.Through, Adjusting: true, Position: position}}
		wall := plate.Support{ID: 11, Name: "wall", Kind: plate.Fixed, On: edge(0, 40, 0, 0)}
		loads := []plate.Load{
			{ID: 21, Name: "across", Kind: plate.BoreForce, On: at(1), Force: [3]float64{0, 900, 40}, At: [3]float64{2: 6}},
			{ID: 22, Name: "along", Kind: plate.BoreForce, On: at(1), Force: [3]float64{900, 0, 40}, At: [3]float64{2: 6}},
			{ID: 23, Name: "end", Kind: plate.LineForce, On: edge(150, 5, 150, 35), Force: [3]float64{300, 200, 20}},
		}
		for i, held := range [][]plate.Support{
			{wall},
			{wall},
			{wall, {ID: 12, Name: "slides", Kind: plate.Sliding, On: at(1)}},
		} {
			p.Supports, p.Loads = held, loads[i:i+1]
			c := &solidChecked(t, p, Options{Size: 8, Across: 1, ArcEdges: 8}).Cases[0]
			t.Logf("%s at %g: %+v", loads[i].Name, position, c.LiveError)
			// A sliding bolt holds the plain mean of the wall beside it in the prisms, in the
			// live model that of the wall's motion about the bolt: on sides as long as the
			// slot is wide they are a millimetre apart.
			limit := 4.0
			if len(held) > 1 {
				limit = 7
			}
			if c.Refused != "" || math.Abs(c.LiveError.Stiffness) > limit || math.Abs(c.LiveError.Deflection) > limit {
				t.Errorf("%s at %g: refused %q, the live model is off by %+v", loads[i].Name, position, c.Refused, c.LiveError)
			}
		}
	}
}

// TestSolidRefuses: what the check does not take is refused by name in its place, and the
// other cases are checked.
func TestSolidRefuses(t *testing.T) {
	p := link(120, 20, 10, 16)
	p.Supports = []plate.Support{{ID: 11, Name: "pin", Kind: plate.Fixed, On: at(1)}, {ID: 12, Name: "adrift", Kind: plate.Free}}
	p.Loads = []plate.Load{
		{ID: 13, Name: "pull", Kind: plate.BoreForce, On: at(2), Force: [3]float64{1000}, At: [3]float64{2: 5}},
		{ID: 14, Name: "sun", Kind: plate.Temperature, Temperature: 40},
	}
	one := []plate.LoadFactor{{Load: 13, Factor: 1}}
	cases := []plate.LoadCase{
		{ID: 1, Name: "warm", Factor: 1, Supports: []plate.ID{11}, Loads: []plate.LoadFactor{{Load: 14, Factor: 1}, one[0]}},
		{ID: 2, Name: "loose", Factor: 1, Supports: []plate.ID{12}, Loads: one},
		{ID: 3, Name: "plain", Factor: 1, Supports: []plate.ID{11}, Loads: one},
	}
	o := Options{Size: 20, Across: 1, ArcEdges: 8}
	r, err := Solve(t.Context(), derive(t, p), o, cases)
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	s, err := r.SolidCheck(t.Context(), SolidOptions{Progress: func(_, _ int, name string) { told = append(told, name) }})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{`load "sun" is of the kind "temperature"`, `support "adrift" is inertia relief`, ""} {
		if got := s.Cases[i].Refused; !strings.Contains(got, want) || want == "" && got != "" {
			t.Errorf("case %d: refused %q, want %q", i, got, want)
		}
	}
	if strings.Join(told, " ") != "warm loose plain" {
		t.Errorf("told of %v", told)
	}
	if c := &s.Cases[2]; !(c.MaxVonMises > 1 && c.MaxDeflection > 0) || len(c.LiveError.Each) != 1 {
		t.Errorf("the plain case has %+v", c)
	}
	if one, err := r.SolidCheck(t.Context(), SolidOptions{Only: "plain"}); err != nil || len(one.Cases) != 1 {
		t.Errorf("asked for one case: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := r.SolidCheck(ctx, SolidOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled check ends with %v", err)
	}
	r.Coarse = true
	if _, err := r.SolidCheck(t.Context(), SolidOptions{}); err == nil {
		t.Error("a coarse result is checked")
	}
}

// TestSolidRoots: stress at the sharp root of a floor is listed apart, and the greatest of
// the rest is not by the wall.
func TestSolidRoots(t *testing.T) {
	r := readRanges(t)
	d := drawn{side: "one", floor: 0.25, nx: 2, ny: 1, thickness: 12, cell: 40, corner: 6, rib: 9}
	p := d.plate(&r)
	live, err := Solve(t.Context(), derive(t, p), Options{Clear: 3, Across: 1}, p.Cases[2:3])
	if err != nil {
		t.Fatal(err)
	}
	s, err := live.SolidCheck(t.Context(), SolidOptions{})
	if err != nil {
		t.Fatal(err)
	}
	c := &s.Cases[0]
	root := 0.0
	for _, l := range c.LeftOut {
		if strings.Contains(l.Why, "root") {
			root = l.MPa
			if math.Abs(l.At[2]-3) > 1.51 { // half a layer of a third of the thickness
				t.Errorf("the root is at %v, want within half a layer of the floor at z = 3", l.At)
			}
		}
	}
	if !(root > 0) {
		t.Errorf("nothing is left out at roots: %+v", c.LeftOut)
	}
	z := c.MaxVonMisesAt
	if q := geom.Pt(z[0], z[1]); c.MaxVonMises <= 0 || q.X < 3 {
		t.Errorf("greatest stress %g at %v", c.MaxVonMises, z)
	}
}
