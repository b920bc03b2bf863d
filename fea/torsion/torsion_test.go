package torsion

import (
	"context"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"platewright/plate/geom"
)

func polygon(p ...float64) geom.Contour {
	var c geom.Contour
	for i := 0; i < len(p); i += 2 {
		j := (i + 2) % len(p)
		c = append(c, geom.Line(geom.Pt(p[i], p[i+1]), geom.Pt(p[j], p[j+1])))
	}
	return c
}

func rectangle(b, t float64) geom.Shape {
	return geom.Shape{{Outer: polygon(0, 0, b, 0, b, t, 0, t)}}
}

func of(t *testing.T, s geom.Shape) Result {
	t.Helper()
	r, err := OfShape(t.Context(), s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// within fails where got is further from want than the share tol.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s: %.7g, want %.7g within %g %% (is %+.4f %%)", what, got, want, 100*tol, 100*(got/want-1))
	}
}

// Rectangular bars: J = β b t³ with β by the exact series (Timoshenko and Goodier, Theory of Elasticity; computed from the
// series) within 0.1 %, and β as a handbook's appendix prints it to three decimals (seen).
func TestRectangularBars(t *testing.T) {
	f, err := os.Open("../../testdata/torsion/bars.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, r := range rows[1:] {
		if r[0] != "rectangle" {
			continue
		}
		ratio, err1 := strconv.ParseFloat(r[1], 64)
		want, err2 := strconv.ParseFloat(r[3], 64)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		switch {
		case strings.HasPrefix(r[2], "beta (J"):
			within(t, "β at "+r[1], of(t, rectangle(ratio*7, 7)).J/(ratio*7*7*7*7), want, 1e-3)
		case strings.HasPrefix(r[2], "beta (printed"):
			if got := of(t, rectangle(ratio*7, 7)).J / (ratio * 7 * 7 * 7 * 7); math.Abs(got-want) > 0.00051 {
				t.Errorf("β at %s: %.5f, printed %.3f", r[1], got, want)
			}
		default:
			continue
		}
		n++
	}
	if n < 20 {
		t.Errorf("only %d rows were checked", n)
	}
}

// Circle, tube and equilateral triangle have closed forms (J = πR⁴/2, π(D⁴ − d⁴)/32, a⁴√3/80; a handbook's appendix, seen).
// A circle does not warp at all.
func TestClosedForms(t *testing.T) {
	disc := of(t, geom.Shape{{Outer: geom.Circle(geom.Pt(3, -2), 11)}})
	within(t, "circle", disc.J, math.Pi*math.Pow(11, 4)/2, 1e-5)
	if disc.Pieces[0].Warping > 1e-9*math.Pow(11, 6) {
		t.Errorf("a circle warps: %g", disc.Pieces[0].Warping)
	}
	tube := of(t, geom.Shape{{Outer: geom.Circle(geom.Pt(0, 0), 20), Holes: []geom.Contour{geom.Circle(geom.Pt(0, 0), 17).Reverse()}}})
	within(t, "tube", tube.J, math.Pi*(math.Pow(40, 4)-math.Pow(34, 4))/32, 1e-5)
	within(t, "triangle", of(t, geom.Shape{{Outer: polygon(0, 0, 10, 0, 5, 5*math.Sqrt(3))}}).J, math.Pow(10, 4)*math.Sqrt(3)/80, 1e-3)
}

// A closed cell by Bredt (J = 4 A²/Σ(s/t), thin walls; a handbook's appendix, seen): a square tube of 100 × 100 × 2. The
// formula leaves out the walls' own twist, s t³/3 each, and the corners; 1 % covers both.
func TestClosedCell(t *testing.T) {
	box := geom.Shape{{Outer: polygon(0, 0, 100, 0, 100, 100, 0, 100), Holes: []geom.Contour{polygon(2, 2, 98, 2, 98, 98, 2, 98).Reverse()}}}
	within(t, "square tube", of(t, box).J, 4*math.Pow(98, 4)/(4*98/2.0), 0.01)
}

// Thin open sections: J = Σ h t³/3 (a handbook's appendix, seen), L to 1 % with Trefftz's correction for the corner left out
// and therefore at slender legs; the slit tube's shear centre lies 2r from the middle, opposite to the slit, and the channel's
// 3b²/(h + 6b) outside the web's middle line (V. Z. Vlasov and S. P. Timoshenko, from memory).
func TestThinOpenSections(t *testing.T) {
	angle := of(t, geom.Shape{{Outer: polygon(0, 0, 200, 0, 200, 2, 2, 2, 2, 200, 0, 200)}})
	within(t, "angle", angle.J, (199+199)*8.0/3, 0.01)

	const r, th, half = 50.0, 1.0, 0.004
	slit := geom.Shape{{Outer: slitTube(r, th, half)}}
	got := of(t, slit)
	within(t, "slit tube J", got.J, 2*(math.Pi-half)*r*th*th*th/3, 0.01)
	within(t, "slit tube shear centre", math.Abs(got.Pieces[0].ShearCentre[0]), 2*r, 0.01)
	if math.Abs(got.Pieces[0].ShearCentre[1]) > 1e-3*r || got.Pieces[0].ShearCentre[0] > 0 {
		t.Errorf("shear centre of the slit tube %v, want it on the axis opposite to the slit", got.Pieces[0].ShearCentre)
	}

	const b, h, w = 50.0, 100.0, 1.0 // middle lines
	channel := geom.Shape{{Outer: polygon(
		-w/2, -h/2-w/2, b, -h/2-w/2, b, -h/2+w/2, w/2, -h/2+w/2, w/2, h/2-w/2, b, h/2-w/2, b, h/2+w/2, -w/2, h/2+w/2)}}
	c := of(t, channel)
	within(t, "channel shear centre", c.Pieces[0].ShearCentre[0], -3*b*b/(h+6*b), 0.01)
	within(t, "channel warping", c.Pieces[0].Warping, w*h*h*b*b*b/12*(3*b+2*h)/(6*b+h), 0.02)

	// Doubly symmetric I: Γ = I_z h²/4 with the flanges' middle lines h apart.
	i := geom.Shape{{Outer: polygon(-30, 0, 30, 0, 30, 2, 1, 2, 1, 98, 30, 98, 30, 100, -30, 100, -30, 98, -1, 98, -1, 2, -30, 2)}}
	ir := of(t, i)
	within(t, "I warping", ir.Pieces[0].Warping, 2*(2*60*60*60/12.0)*98*98/4, 0.01)
	if p := ir.Pieces[0]; math.Hypot(p.ShearCentre[0]-p.Centroid[0], p.ShearCentre[1]-p.Centroid[1]) > 1e-3 {
		t.Errorf("shear centre %v of a doubly symmetric section is not its centroid %v", p.ShearCentre, p.Centroid)
	}
}

// slitTube is a ring about the origin with a slit at angle 0 of half the given angle.
func slitTube(r, t, half float64) geom.Contour {
	o := geom.Pt(0, 0)
	at := func(r, a float64) geom.Point { return geom.Pt(r*math.Cos(a), r*math.Sin(a)) }
	out, in := r+t/2, r-t/2
	a0, a1 := half, 2*math.Pi-half
	return geom.Contour{
		geom.Arc(at(out, a0), at(out, math.Pi), o, 1), geom.Arc(at(out, math.Pi), at(out, a1), o, 1),
		geom.Line(at(out, a1), at(in, a1)),
		geom.Arc(at(in, a1), at(in, math.Pi), o, -1), geom.Arc(at(in, math.Pi), at(in, a0), o, -1),
		geom.Line(at(in, a0), at(out, a0)),
	}
}

// Rolled I sections with their root radii: torsion and warping constants as makers' tables print them (EN 10365 sections,
// values from memory). The tables use formulas for thin walls with a correction at the roots, so that 4 % is asked.
func TestRolledSections(t *testing.T) {
	for _, c := range []struct {
		name            string
		h, b, tw, tf, r float64
		it, iw          float64 // cm⁴, 10³ cm⁶
	}{
		{"IPE 100", 100, 55, 4.1, 5.7, 7, 1.20, 0.351},
		{"IPE 200", 200, 100, 5.6, 8.5, 12, 6.98, 12.99},
		{"IPE 300", 300, 150, 7.1, 10.7, 15, 20.12, 125.9},
	} {
		p := of(t, geom.Shape{{Outer: rolled(c.h, c.b, c.tw, c.tf, c.r)}}).Pieces[0]
		within(t, c.name+" It", p.J/1e4, c.it, 0.04)
		within(t, c.name+" Iw", p.Warping/1e9, c.iw, 0.04)
	}
}

// rolled is the outline of an I section with root fillets.
func rolled(h, b, tw, tf, r float64) geom.Contour {
	var quarter geom.Contour
	x, y := tw/2, h/2-tf
	quarter = geom.Contour{ // upper right, from the web's right side up and out to the flange, and back along its top
		geom.Line(geom.Pt(x, 0), geom.Pt(x, y-r)),
		geom.Arc(geom.Pt(x, y-r), geom.Pt(x+r, y), geom.Pt(x+r, y-r), -1),
		geom.Line(geom.Pt(x+r, y), geom.Pt(b/2, y)),
		geom.Line(geom.Pt(b/2, y), geom.Pt(b/2, h/2)),
		geom.Line(geom.Pt(b/2, h/2), geom.Pt(0, h/2)),
	}
	flip := func(c geom.Contour, fx, fy float64) geom.Contour {
		out := make(geom.Contour, len(c))
		for i, e := range c {
			m := func(p geom.Point) geom.Point { return geom.Pt(fx*p.X, fy*p.Y) }
			e.A, e.B, e.C = m(e.A), m(e.B), m(e.C)
			if fx*fy < 0 {
				e.Dir = -e.Dir
			}
			out[i] = e
		}
		return out
	}
	all := append(geom.Contour{}, quarter...)
	all = append(all, flip(quarter, -1, 1).Reverse()...)
	all = append(all, flip(quarter, -1, -1)...)
	all = append(all, flip(quarter, 1, -1).Reverse()...)
	return all
}

// J does not depend on where the section lies or how it is turned, grows with the fourth power of its size, and is the sum
// over pieces.
func TestInvariances(t *testing.T) {
	shape := geom.Shape{{Outer: polygon(0, 0, 40, 0, 40, 6, 10, 6, 10, 20, 0, 20)}}
	base := of(t, shape)
	moved := of(t, geom.Shape{{Outer: polygon(500, -300, 540, -300, 540, -294, 510, -294, 510, -280, 500, -280)}})
	within(t, "moved", moved.J, base.J, 1e-3)
	within(t, "moved warping", moved.Pieces[0].Warping, base.Pieces[0].Warping, 2e-3)
	big := of(t, geom.Shape{{Outer: polygon(0, 0, 400, 0, 400, 60, 100, 60, 100, 200, 0, 200)}})
	within(t, "ten times as large", big.J, base.J*1e4, 1e-3)
	two := of(t, geom.Shape{shape[0], {Outer: polygon(100, 0, 140, 0, 140, 6, 110, 6, 110, 20, 100, 20)}})
	within(t, "two pieces", two.J, 2*base.J, 1e-3)
	if two.Label != LowerBound || base.Label != "" {
		t.Errorf("labels %q and %q, want the lower bound for two pieces only", two.Label, base.Label)
	}
}

// J falls to the exact value as the mesh gets finer. The meshes are not nested, so a finer one may lie higher by a little.
func TestJFallsWithRefinement(t *testing.T) {
	shape := geom.Shape{{Outer: polygon(0, 0, 40, 0, 40, 6, 10, 6, 10, 20, 0, 20)}}
	last := math.Inf(1)
	for across := 1; across <= 4; across++ {
		r, err := OfShape(t.Context(), shape, Options{Across: across})
		if err != nil {
			t.Fatal(err)
		}
		if r.J > last*(1+1e-4) {
			t.Errorf("with %d across J is %.6g, with one fewer %.6g", across, r.J, last)
		}
		last = r.J
	}
}

func TestWrongShapes(t *testing.T) {
	if _, err := OfShape(t.Context(), nil, Options{}); err == nil {
		t.Error("no metal has a torsion constant")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := OfShape(ctx, rectangle(10, 1), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled run ends with %v", err)
	}
	if _, err := OfShape(t.Context(), rectangle(math.NaN(), 1), Options{}); err == nil {
		t.Error("a shape that is not a number has a torsion constant")
	}
}
