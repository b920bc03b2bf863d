package section_test

import (
	"math"
	"strings"
	"testing"

	"platewright/plate"
	"platewright/plate/layout"
	"platewright/plate/section"
)

// TestPlasticModuli compares plastic moduli with the handbook's formulas for sharp-cornered shapes.
func TestPlasticModuli(t *testing.T) {
	r := cut(t, derive(t, sheet(24, box(0, 0, 300, 90))), 150, -10, 150, 120)
	agree(t, "rectangle", r.PlasticS, 90*24*24/4, r.PlasticS, 1e-12)
	agree(t, "rectangle across", r.PlasticZ, 24*90*90/4, r.PlasticZ, 1e-12)
	agree(t, "rectangle, axis along s", r.EqualArea[1], 12, 24, 1e-12)
	agree(t, "rectangle, axis along z", r.EqualArea[0], 10+45, 90, 1e-12)

	// I: b·t(h − t) + s(h − 2t)²/4 about the strong axis, b²t/2 + s²(h − 2t)/4 about the weak one.
	h, b, s, f := 90.0, 40.0, 5.0, 8.0
	r = cut(t, derive(t, iPlate(h, b, s, f)), 150, -1, 150, h+1)
	agree(t, "I strong", r.PlasticZ, b*f*(h-f)+s*(h-2*f)*(h-2*f)/4, r.PlasticZ, 1e-12)
	agree(t, "I weak", r.PlasticS, b*b*f/2+s*s*(h-2*f)/4, r.PlasticS, 1e-12)

	// Channel: strong as I; about the axis parallel to the web the area above z₀ is 2f(b − z₀) while z₀ > s, and half of
	// A = 2fb + (h − 2f)s gives z₀ = b − A/4f.
	r = cut(t, derive(t, channelPlate(h, b, s, f)), 150, -1, 150, h+1)
	agree(t, "channel strong", r.PlasticZ, b*f*(h-f)+s*(h-2*f)*(h-2*f)/4, r.PlasticZ, 1e-12)
	z := b - (2*f*b+(h-2*f)*s)/4/f
	if z <= s {
		t.Fatalf("the channel's equal-area axis at %v lies in its web of %v: the formula is for the other case", z, s)
	}
	agree(t, "channel weak", r.PlasticS, 2*f*((b-z)*(b-z)+z*z)/2+(h-2*f)*s*(z-s/2), r.PlasticS, 1e-12)

	// T with the axis in the flange (b·f > A/2), and in the stem.
	for _, c := range [][4]float64{{40, 80, 7, 6}, {60, 30, 12, 5}} {
		h, b, s, f = c[0], c[1], c[2], c[3]
		r = cut(t, derive(t, teePlate(h, b, s, f)), 150, -1, 150, b+1)
		A := b*f + s*(h-f)
		want := 0.0
		if z = A / 2 / b; z <= f {
			want = b*(z*z+(f-z)*(f-z))/2 + s*(h-f)*((h+f)/2-z)
		} else {
			z = h - A/2/s
			want = b*f*(z-f/2) + s*((z-f)*(z-f)+(h-z)*(h-z))/2
		}
		agree(t, "T", r.PlasticS, want, want, 1e-12)
		agree(t, "T, axis", r.EqualArea[1], z, h, 1e-12)
		agree(t, "T across", r.PlasticZ, f*b*b/4+(h-f)*s*s/4, r.PlasticZ, 1e-12)
	}

	// Hollow: (b·h² − bᵢ·hᵢ²)/4.
	r = cut(t, hollow(t, 70, 40, 6, 4), 150, -1, 150, 71)
	agree(t, "hollow", r.PlasticS, (70*40*40-58*32*32)/4.0, r.PlasticS, 1e-12)
	agree(t, "hollow across", r.PlasticZ, (40*70*70-32*58*58)/4.0, r.PlasticZ, 1e-12)
}

// TestRolledPlates cuts plates whose floor radius is the root radius of a published I section or channel, and compares with
// the tables, plastic moduli included, to their printed rounding.
func TestRolledPlates(t *testing.T) {
	order, all := profiles(t)
	done := 0
	for _, name := range order {
		p := all[name]
		var l *layout.Layout
		switch p.kind {
		case "I":
			d := iPlate(p.h, p.b, p.tw, p.tf)
			for i := range d.Pockets {
				d.Pockets[i].Radius, d.Pockets[i].FloorRadius = p.r, p.r
			}
			l = derive(t, d)
		case "channel":
			d := channelPlate(p.h, p.b, p.tw, p.tf)
			d.Pockets[0].Radius, d.Pockets[0].FloorRadius = p.r, p.r
			l = derive(t, d)
		default:
			continue
		}
		done++
		r := cut(t, l, 150, 0, 150, p.h+1)
		got := map[string]float64{
			"A": r.Area / 100, "Iy": r.IZZ / 1e4, "Iz": r.ISS / 1e4, "Wy": r.ModulusEnd / 1e3, "Wz": r.ModulusTop / 1e3,
			"e": r.Centroid[1] / 10, "Wply": r.PlasticZ / 1e3, "Wplz": r.PlasticS / 1e3,
		}
		for _, w := range p.want {
			// The polyline may add a little to the rounding.
			if v, ok := got[w.quantity]; !ok || math.Abs(v-w.value) > w.allow*1.001 {
				t.Errorf("%s: %s = %.6g, published %v", name, w.quantity, v, w.value)
			}
		}
		if r.PolylineTol != section.PolylineTol || !strings.Contains(strings.Join(r.Notes, " "), "floor fillet") {
			t.Errorf("%s: polyline %v, notes %q: want them to speak of floor fillets", name, r.PolylineTol, r.Notes)
		}
	}
	if done < 6 {
		t.Errorf("only %d sections compared", done)
	}
}

// formed is a block of 120 × 60 × 20 mm with a chamfered edge, a round pocket with a floor radius of 4 mm, and a
// countersunk hole of 6.6 mm with a head of 14 mm.
func formed() plate.Plate {
	p := sheet(20, box(0, 0, 120, 60))
	p.Outline.Chamfer = plate.EdgeChamfer{Top: 2}
	p.Pockets = []plate.Pocket{{ID: 1, Name: "round", Kind: plate.RoundPocket, Side: plate.Bottom, Depth: 8, Radius: 6, X: 35, Y: 30, Diameter: 40, FloorRadius: 4}}
	p.Holes = []plate.Hole{{ID: 2, Name: "screw", X: 85, Y: 30, HoleForm: plate.HoleForm{Kind: plate.Countersunk, Size: "M6", Series: plate.Medium, Side: plate.Top, HeadDiameter: 14}}}
	return p
}

// TestSweptSections compares sections with closed forms: a chamfer takes c²/2 at each end, √2 of that when it is cut at 45°;
// a fillet through the pocket's axis adds (1 − π/4)ρ² on both sides; a countersink through its axis takes two triangles.
func TestSweptSections(t *testing.T) {
	l := derive(t, formed())
	block := 60*20 - 2*2*2/2.0
	for _, c := range []struct {
		name           string
		x0, y0, x1, y1 float64
		want           float64
	}{
		{"chamfers only", 108, -5, 108, 70, block},
		{"pocket through its axis", 35, -5, 35, 70, block - 40*8 + 2*(1-math.Pi/4)*16},
		{"countersink through its axis", 85, -5, 85, 70, block - 6.6*20 - 3.7*3.7},
		{"along the plate", -5, 30, 130, 30, 120*20 - 4 - 40*8 + 2*(1-math.Pi/4)*16 - 6.6*20 - 3.7*3.7},
	} {
		r := cut(t, l, c.x0, c.y0, c.x1, c.y1)
		agree(t, c.name, r.Area, c.want, 1, 60*section.PolylineTol)
		if r.PolylineTol == 0 {
			t.Errorf("%s: no polyline tolerance", c.name)
		}
	}
	bare := formed()
	bare.Pockets, bare.Holes = nil, nil
	r := cut(t, derive(t, bare), 90, -10, 10, 70)
	agree(t, "chamfers at 45°", r.Area, math.Sqrt2*block, 1, 1e-6)
	// A line along the edge of the plate has the metal on its left only; along the top chamfer's foot all but the chamfer.
	r = cut(t, derive(t, bare), -5, 2, 130, 2)
	agree(t, "along the chamfer's foot", r.Area, 120*20-4, 1, 1e-6)
	r = cut(t, derive(t, bare), -5, 1, 130, 1)
	// 1 mm inside, the chamfer is 1 mm deep, and at the ends it runs from 2 mm deep at the edge to 1 mm.
	agree(t, "inside the chamfer", r.Area, 120*20-120-2*0.5, 1, 1e-6)
}

// TestSectionsFillPlate: sections side by side integrate to the volume, by Simpson's rule between the places where the
// section changes its form.
func TestSectionsFillPlate(t *testing.T) {
	p := formed()
	l := derive(t, p)
	at := []float64{1e-6, 2, 15, 19, 51, 55, 78, 81.7, 88.3, 92, 118, 120 - 1e-6}
	sum := 0.0
	for i := 1; i < len(at); i++ {
		const n = 24
		for k := range n {
			// Square roots at the ends of a stretch: points are set closer there.
			x := func(f float64) float64 { return at[i-1] + (at[i]-at[i-1])*(1-math.Cos(math.Pi*f))/2 }
			a, b := float64(k)/n, float64(k+1)/n
			for j, w := range [3]float64{1, 4, 1} {
				f := a + (b-a)*float64(j)/2
				dx := (at[i] - at[i-1]) * math.Pi / 2 * math.Sin(math.Pi*f)
				v := x(min(max(f, 1e-4), 1-1e-4))
				sum += w / 6 * (b - a) * dx * cut(t, l, v, -1, v, 61).Area
			}
		}
	}
	agree(t, "volume", sum, l.Volume(), l.Volume(), 4e-6)
}

// TestPlasticSloped: where slabs have sloping sides, the plastic moduli agree with sums over thin strips, and each is no less
// than the least elastic modulus.
func TestPlasticSloped(t *testing.T) {
	l := derive(t, formed())
	for _, x := range []float64{20, 30, 82, 85, 90} {
		r := cut(t, l, x, -5, x+6, 66)
		if r.PlasticS < min(r.ModulusTop, r.ModulusBottom) || r.PlasticZ < min(r.ModulusStart, r.ModulusEnd) {
			t.Errorf("x %v: plastic moduli %v and %v below the elastic ones", x, r.PlasticS, r.PlasticZ)
		}
		var s, z, half float64
		for _, b := range r.Slabs {
			const n = 2000
			for i := range n {
				f := (float64(i) + 0.5) / n
				u := b.S0 + (b.S1-b.S0)*f
				lo, hi := b.Bottom0+(b.Bottom1-b.Bottom0)*f, b.Top0+(b.Top1-b.Top0)*f
				w := (b.S1 - b.S0) / n
				z += w * (hi - lo) * math.Abs(u-r.EqualArea[0])
				if u < r.EqualArea[0] {
					half += w * (hi - lo)
				}
				for _, q := range [2][2]float64{{min(lo, r.EqualArea[1]), min(hi, r.EqualArea[1])}, {max(lo, r.EqualArea[1]), max(hi, r.EqualArea[1])}} {
					s += w * (q[1] - q[0]) * math.Abs((q[0]+q[1])/2-r.EqualArea[1])
				}
			}
		}
		agree(t, "about s", r.PlasticS, s, s, 1e-6)
		agree(t, "about z", r.PlasticZ, z, z, 1e-6)
		agree(t, "half the area", half, r.Area/2, r.Area, 1e-3)
	}
}
