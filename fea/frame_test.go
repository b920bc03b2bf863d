package fea

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"platewright/plate"
	"platewright/plate/set"
)

// tied is two slender links side by side with a member at each end.
func tied(t *testing.T, l, w, h, apart, d float64, change func(*set.Set)) (*set.Loaded, error) {
	t.Helper()
	p := link(l, w, h, 8)
	s := set.Set{
		Name: "frame",
		Parts: []set.Part{
			{Name: "near", File: "link.plate", Quantity: 1},
			{Name: "far", File: "link.plate", Quantity: 1},
		},
	}
	for i := range 2 {
		s.CrossMembers = append(s.CrossMembers, set.CrossMember{
			Name: fmt.Sprint("tube ", i+1), From: set.Ref{Part: "near", Feature: plate.ID(i + 1)}, To: set.Ref{Part: "far", Feature: plate.ID(i + 1)},
			Length: apart - h, Diameter: d,
		})
	}
	if change != nil {
		change(&s)
	}
	out, _, err := set.Of(t.Context(), s, []plate.Plate{p, p})
	return out, err
}

// TestFrame twists two slender bars tied by two members, against the same ladder of
// four beams by a stiffness matrix of its own: that of the members turned into the
// plates' direction, with the plate's section.
func TestFrame(t *testing.T) {
	const l, w, h, apart, d = 400.0, 10.0, 8.0, 200.0, 12.0
	loaded, err := tied(t, l, w, h, apart, d, nil)
	if err != nil {
		t.Fatal(err)
	}
	f, err := FrameOf(t.Context(), loaded, Options{})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "torsion of the frame", f.Torsion, ladder(t, l, 2*w, h, apart, d), 6)
	if math.Abs(f.Apart-l) > 1e-6 {
		t.Errorf("the ends are %g apart, want %g", f.Apart, l)
	}
}

// ladder is the torsional stiffness, N·m/°, of two rectangular bars b × h of length l
// in the planes z = ±apart/2, tied at their ends by round bars. By symmetry three
// figures of a corner say all: how it moves, and its two turns.
func ladder(t *testing.T, l, b, h, apart, d float64) float64 {
	t.Helper()
	e, g := 70000.0, 70000/2.6
	// Corner at x = ±l/2, z = ±apart/2 moves by v = θ·… along y: v has the sign of x·z.
	// Unknown there: turns rx (about x) and rz (about z); both have a sign by symmetry:
	// rz ∝ sign(z), rx ∝ sign(x). The bar along x bends in its plane (y) between ends
	// at v, −v with end slopes rz alike, and twists by rx, −rx. The member along z bends
	// along y between v, −v with end slopes −rx alike, and twists by rz, −rz.
	iBar, jBar := h*b*b*b/12, b*h*h*h*(1./3-0.21*h/b*(1-math.Pow(h/b, 4)/12))
	iTube := math.Pi / 64 * math.Pow(d, 4)
	// Energy of a beam of length L with end deflections ±v and equal end slopes r:
	// relative slope r − 2v/L at both ends: ½·12EI/L·(r − 2v/L)².
	// Unknown (v, rz, rx); stiffness as the second derivative of the energy of two bars
	// and two members.
	k := mat.NewSymDense(3, nil)
	add := func(f float64, q [3]float64) {
		for i := range 3 {
			for j := i; j < 3; j++ {
				k.SetSym(i, j, k.At(i, j)+f*q[i]*q[j])
			}
		}
	}
	phi := func(i, area, l float64) float64 { return 12 * e * i / (g * area * l * l) }
	add(2*12*e*iBar/l/(1+phi(iBar, b*h*5/6, l)), [3]float64{-2 / l, 1, 0})
	add(2*g*jBar/l, [3]float64{0, 0, 2})
	add(2*12*e*iTube/apart/(1+phi(iTube, math.Pi/4*d*d*0.9, apart)), [3]float64{-2 / apart, 0, -1})
	add(2*g*2*iTube/apart, [3]float64{0, 2, 0})
	// A couple of 1 N·mm at each end is ±1/apart along y at each corner; the work is
	// 4·v/apart, and the twist between the ends is 2·(2v/apart).
	var u mat.VecDense
	var c mat.Cholesky
	if !c.Factorize(k) {
		t.Fatal("the ladder has no stiffness")
	}
	if err := c.SolveVecTo(&u, mat.NewVecDense(3, []float64{4 / apart, 0, 0})); err != nil {
		t.Fatal(err)
	}
	return 1 / (4 * u.AtVec(0) / apart) * math.Pi / 180 / 1000
}

// TestFrameWrong: sets that are no frame of two plates.
func TestFrameWrong(t *testing.T) {
	for _, c := range []struct {
		want string
		do   func(*set.Set)
	}{
		{"two or more", func(s *set.Set) { s.CrossMembers = s.CrossMembers[:1] }},
		{"must be alike", func(s *set.Set) { s.CrossMembers[1].Length++ }},
		{"apart seen from the side", func(s *set.Set) { s.Parts[1].Place.X = 5 }},
	} {
		l, err := tied(t, 200, 10, 8, 100, 12, c.do)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := FrameOf(t.Context(), l, Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want one with %q", err, c.want)
		}
	}
}
