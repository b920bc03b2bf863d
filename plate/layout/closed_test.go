package layout

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/geom"
)

// cutArea is the area of all cells that are cut.
func cutArea(l *Layout) (a float64, n int) {
	for i := range l.Cells {
		if l.Cells[i].State == CellCut {
			a += l.Cells[i].Area
			n++
		}
	}
	return a, n
}

// TestClosedForms holds cells to formulas of elementary geometry (by hand).
func TestClosedForms(t *testing.T) {
	const r = 6.0
	withPocket := func(p plate.Plate, k plate.Pocket) plate.Plate {
		p.Pockets = append(p.Pockets, k)
		return p
	}
	bossed := rectangle(200, 120, 20, 10)
	bossed.Bores = []plate.Bore{{ID: 1, Name: "pivot", X: 100, Y: 60, Diameter: 40, Boss: 8}}
	tangent := rectangle(200, 120, 0, 10) // the boss touches the rim's inner edge: the cutter stops short on both sides
	tangent.Bores = []plate.Bore{{ID: 1, Name: "pivot", X: 100, Y: 38, Diameter: 40, Boss: 8}}
	split := rectangle(200, 120, 0, 10)
	split.Ribs = []plate.Rib{{ID: 2, Name: "rib", From: plate.RibEnd{X: 100, Y: 0}, To: plate.RibEnd{X: 100, Y: 120}, Width: 8}}
	disc := rectangle(200, 120, 0, 0)
	disc.Outline.Corners = []plate.Corner{
		{X: 0, Y: 0, Arc: true, ThroughX: 60, ThroughY: -60}, {X: 120, Y: 0, Arc: true, ThroughX: 60, ThroughY: 60},
	}
	disc.Rim = 9
	corners := (4 - math.Pi) * r * r
	for _, c := range []struct {
		name string
		p    plate.Plate
		want float64
		n    int
	}{
		{"rectangle", withPocket(rectangle(200, 120, 0, 10), pocket(9, plate.Top, 5, r)), 180*100 - corners, 1},
		{"rounded rectangle: the outline radius less the rim", withPocket(rectangle(200, 120, 30, 10), pocket(9, plate.Top, 5, r)), 180*100 - (4-math.Pi)*20*20, 1},
		{"outline radius less the rim below the inside corner radius", withPocket(rectangle(200, 120, 12, 10), pocket(9, plate.Top, 5, r)), 180*100 - corners, 1},
		{"boss", withPocket(bossed, pocket(9, plate.Bottom, 5, r)), 180*100 - corners - (4-math.Pi)*(10*10-r*r) - math.Pi*28*28, 1},
		{"boss on the rim", withPocket(tangent, pocket(9, plate.Top, 5, r)), 180*100 - corners - math.Pi*28*28 - 2*wedge(28, r), 1},
		{"rib", withPocket(split, pocket(9, plate.Through, 0, r)), 172*100 - 2*corners, 2},
		{"disc", withPocket(disc, pocket(9, plate.Top, 5, r)), math.Pi * 51 * 51, 1},
	} {
		l := mustDerive(t, c.p)
		a, n := cutArea(l)
		if n != c.n || math.Abs(a-c.want) > 1e-7 {
			t.Errorf("%s: %d cells of %.9f mm², want %d of %.9f", c.name, n, a, c.n, c.want)
		}
		checkInvariants(t, l)
	}
}

// wedge is the area between a line, a circle of radius R that touches it, and a cutter of radius r that touches both: the
// trapezoid between the two centres and their feet, less the two sectors.
func wedge(R, r float64) float64 {
	x := 2 * math.Sqrt(R*r) // between the feet
	a := math.Acos((R - r) / (R + r))
	return (R+r)/2*x - R*R*a/2 - r*r*(math.Pi-a)/2
}

// TestIsogridHandbook holds a patch of whole triangles to the rib share of plan area and the mean thickness of
// NASA CR-124075 (Isogrid Design Handbook, 1973), rows of testdata/layout/isogrid.csv. The handbook's weight thickness
// t(1 + 3α) counts the crossings of ribs more than once, by 9b²d/4h².
func TestIsogridHandbook(t *testing.T) {
	rows := readRows(t, "../../testdata/layout/isogrid.csv")
	done := 0
	for id, row := range rows {
		if !strings.HasSuffix(id, "-areafrac") {
			continue
		}
		done++
		var in struct{ T, D, B, A float64 }
		if err := json.Unmarshal([]byte(row["inputs"]), &in); err != nil {
			t.Fatal(err)
		}
		want, err := strconv.ParseFloat(row["result"], 64)
		if err != nil {
			t.Fatal(err)
		}
		const r = 2.0
		fillets := r * r * (math.Sqrt(3) - math.Pi/3) * 3 // per triangle, row area-exact
		h := in.A * math.Sqrt(3) / 2
		for _, angle := range []float64{0, 17.3} {
			l := mustDerive(t, patch(in.A, in.B, in.T, in.D, r, angle))
			checkInvariants(t, l)
			area, n := cutArea(l)
			if n != 2*4*3 {
				t.Fatalf("%s at %v°: %d cells, want 24", id, angle, n)
			}
			tri := in.A * h / 2
			if got := 1 - (area+float64(n)*fillets)/(float64(n)*tri); math.Abs(got-want) > 1e-9+5e-10 { // nine digits printed
				t.Errorf("%s at %v°: rib share %.10f, handbook geometry gives %v", id, angle, got, want)
			}
			// The exact form is (1 − 3b/2h)² for what the ribs leave.
			exactShare := 1 - math.Pow(1-3*in.B/(2*h), 2)
			if got := 1 - (area+float64(n)*fillets)/(float64(n)*tri); math.Abs(got-exactShare) > 1e-12 {
				t.Errorf("%s at %v°: rib share %.15f, want %.15f", id, angle, got, exactShare)
			}
			// Mean thickness over the patch against t(1+3α), which is too much by 9b²d/4h².
			mean := in.T + in.D*(1-(area+float64(n)*fillets)/(float64(n)*tri))
			alpha := in.B * in.D / (in.T * h)
			if over := in.T*(1+3*alpha) - mean; math.Abs(over-9*in.B*in.B*in.D/(4*h*h)) > 1e-12 {
				t.Errorf("%s: handbook weight thickness is %v above the patch, want %v", id, over, 9*in.B*in.B*in.D/(4*h*h))
			}
			if row, ok := rows[strings.TrimSuffix(id, "areafrac")+"t_bar"]; ok {
				if want, _ := strconv.ParseFloat(row["result"], 64); math.Abs(in.T*(1+3*alpha)-want) > 5e-9*want {
					t.Errorf("%s: t(1+3α) = %v, handbook row says %v", id, in.T*(1+3*alpha), want)
				}
			}
		}
	}
	if done < 4 {
		t.Errorf("%d rows with a rib share, want 4", done)
	}
}

// patch is a plate with a pocket bounded by 4 × 3 rhombi of the grid, along rib centre lines.
func patch(a, b, floor, d, r, angle float64) plate.Plate {
	p := rectangle(900, 900, 0, 0)
	p.Stock.Nominal, p.Stock.Finished = floor+d, floor+d
	p.Grids = []plate.Grid{isogrid(1, a, b, angle, 450, 450)}
	l := newLattice(&p.Grids[0])
	k := pocket(2, plate.Top, d, r)
	for _, n := range [4][2]int{{-2, -1}, {2, -1}, {2, 2}, {-2, 2}} {
		q := l.node(n[0], n[1])
		k.Bounds = append(k.Bounds, plate.Corner{X: q.X, Y: q.Y})
	}
	p.Pockets = []plate.Pocket{k}
	return p
}

func readRows(t *testing.T, file string) map[string]map[string]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	m := map[string]map[string]string{}
	for _, r := range rows[1:] {
		m[r[0]] = map[string]string{}
		for i, k := range rows[0] {
			m[r[0]][k] = r[i]
		}
	}
	return m
}

// TestVolumeByHand adds a plate up by inclusion and exclusion.
func TestVolumeByHand(t *testing.T) {
	p := rectangle(200, 120, 20, 10)
	s := &p.Stock
	s.Nominal, s.Finished, s.Top, s.Bottom = 17, 15, plate.Machined, plate.Machined
	p.Bores = []plate.Bore{{ID: 1, Name: "pivot", X: 60, Y: 60, Diameter: 40, Boss: 8}}
	p.Holes = []plate.Hole{
		{ID: 2, Name: "screw", X: 150, Y: 60, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M8", Series: plate.Medium, Side: plate.Through}},
		{ID: 3, Name: "stud", X: 195, Y: 60, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M4", Side: plate.Top, Depth: 6}},
	}
	p.Pockets = []plate.Pocket{pocket(9, plate.Top, 9, 6)}
	l := mustDerive(t, p)
	checkInvariants(t, l)
	const q = 4 - math.Pi
	plan := 200*120 - q*20*20
	pocketed := 180*100 - q*10*10 - math.Pi*28*28
	// M8 medium is 9 mm (ISO 273) through a floor of 6 mm. M4 is drilled 3.3 mm (ISO 2306), 6 + 5 × 0.7 mm deep, and the
	// 118° point adds a cone of half the diameter over tan 59°.
	cone := math.Pi * 1.65 * 1.65 / 3 * 1.65 / math.Tan(59*math.Pi/180)
	want := 15*plan - 9*pocketed - 15*math.Pi*400 - 6*math.Pi*4.5*4.5 - 9.5*math.Pi*1.65*1.65 - cone
	if got := l.Volume(); !near(got, want, 1e-12) {
		t.Errorf("volume %.6f mm³, by hand %.6f", got, want)
	}
	if got, want := l.BlankVolume(), 210.0*130*17; !near(got, want, 1e-14) {
		t.Errorf("blank %v mm³, want %v", got, want)
	}
	if l.BlankZ != (Interval{-1, 16}) {
		t.Errorf("blank from %v, want −1 to 16", l.BlankZ)
	}
	shares := map[OwnerKind]float64{}
	for _, s := range l.Labels.Shares {
		shares[s.Kind] += s.Volume
	}
	ring := plan - (180*100 - q*10*10)
	for k, want := range map[OwnerKind]float64{
		OwnBoss:  15 * math.Pi * (28*28 - 20*20),
		OwnRim:   15*ring - 9.5*math.Pi*1.65*1.65 - cone, // the stud stands in the rim
		OwnFloor: 6 * (pocketed - math.Pi*4.5*4.5),
	} {
		if !near(shares[k], want, 1e-11) {
			t.Errorf("%s holds %.6f mm³, want %.6f", k, shares[k], want)
		}
	}
}

// TestSlotAsWideAsCutter: two ribs leave a slot exactly as wide as the cutter, which counts as too narrow; 0.02 mm more and
// the cutter goes in.
func TestSlotAsWideAsCutter(t *testing.T) {
	for _, c := range []struct {
		slot  float64
		state CellState
		area  float64
	}{
		{12, CellUnreachable, 12 * 100},
		{11.98, CellUnreachable, 11.98 * 100},
		{12.02, CellCut, 12.02*100 - (4-math.Pi)*36},
	} {
		p := rectangle(200, 120, 0, 10)
		for i, x := range []float64{80, 80 + 10 + c.slot} {
			p.Ribs = append(p.Ribs, plate.Rib{ID: plate.ID(i + 1), Name: "rib", From: plate.RibEnd{X: x, Y: 0}, To: plate.RibEnd{X: x, Y: 120}, Width: 10})
		}
		p.Pockets = []plate.Pocket{pocket(9, plate.Top, 5, 6)}
		l := mustDerive(t, p)
		i := l.CellAt(geom.Pt(85+c.slot/2, 60), plate.Top)
		if i < 0 {
			t.Errorf("slot %v: no cell in it", c.slot)
			continue
		}
		if got := l.Cells[i]; got.State != c.state || math.Abs(got.Area-c.area) > 1e-7 {
			t.Errorf("slot %v: %s, %.6f mm², want %s, %.6f", c.slot, got.State, got.Area, c.state, c.area)
		}
		if n := codes(l)["cell-unreachable"]; (n == 1) != (c.state == CellUnreachable) {
			t.Errorf("slot %v: %d findings of an unreachable cell", c.slot, n)
		}
	}
}

// TestTurned: a document turned and moved, or mirrored, derives to the same figures.
func TestTurned(t *testing.T) {
	p := largePlate(58)
	want := mustDerive(t, p)
	for _, deg := range []float64{37, 90, -12.5} {
		l := mustDerive(t, turned(p, deg, 13, -200))
		checkInvariants(t, l)
		if !near(l.Volume(), want.Volume(), 1e-10) || len(l.Cells) != len(want.Cells) || len(l.Map.Faces) != len(want.Map.Faces) {
			t.Errorf("turned by %v°: %v mm³ in %d cells and %d faces, want %v in %d and %d", deg,
				l.Volume(), len(l.Cells), len(l.Map.Faces), want.Volume(), len(want.Cells), len(want.Map.Faces))
		}
	}
}

// turned is p turned about the origin and moved.
func turned(p plate.Plate, deg, dx, dy float64) plate.Plate {
	f := func(x, y *float64) {
		q := geom.Pt(*x, *y).Rotate(deg * math.Pi / 180)
		*x, *y = q.X+dx, q.Y+dy
	}
	c := p
	c.Outline.Corners = append([]plate.Corner(nil), p.Outline.Corners...)
	for i := range c.Outline.Corners {
		f(&c.Outline.Corners[i].X, &c.Outline.Corners[i].Y)
	}
	c.Bores = append([]plate.Bore(nil), p.Bores...)
	for i := range c.Bores {
		f(&c.Bores[i].X, &c.Bores[i].Y)
	}
	c.Holes = append([]plate.Hole(nil), p.Holes...)
	for i := range c.Holes {
		f(&c.Holes[i].X, &c.Holes[i].Y)
	}
	c.Circles = append([]plate.BoltCircle(nil), p.Circles...)
	for i := range c.Circles {
		c.Circles[i].StartDeg += deg
	}
	c.Grids = append([]plate.Grid(nil), p.Grids...)
	for i := range c.Grids {
		f(&c.Grids[i].X, &c.Grids[i].Y)
		c.Grids[i].AngleDeg += deg
	}
	return c
}
