package geom

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"
)

// fuzzShapes reads shapes from bytes: a kind and five numbers each. Numbers are
// small multiples of a quarter, or any bits at all.
func fuzzShapes(data []byte) []Shape {
	num := func() float64 {
		if len(data) == 0 {
			return 0
		}
		k := data[0]
		data = data[1:]
		if k != 255 || len(data) < 8 {
			return float64(int8(k)) / 4
		}
		v := math.Float64frombits(binary.LittleEndian.Uint64(data))
		data = data[8:]
		return v
	}
	var out []Shape
	for len(data) > 0 && len(out) < 12 {
		k := data[0]
		data = data[1:]
		a, b, r := Pt(num(), num()), Pt(num(), num()), num()
		var c Contour
		switch k % 6 {
		case 0:
			c = Circle(a, r)
		case 1:
			c = Capsule(a, b, r)
		case 2:
			c = Polygon(a, b, Pt(r, num()))
		case 3:
			c = RoundedRect(a, b, r)
		case 4:
			if e, err := ArcThrough(a, b, Pt(r, num())); err == nil {
				c = Stroke(e, num())
			}
		case 5:
			c = Contour{Arc(a, b, Pt(r, num()), 1), Line(b, a)}
		}
		if k >= 128 {
			c = c.Reverse()
		}
		out = append(out, Shape{{Outer: c}})
	}
	return out
}

// fuzzSeeds are the inputs that every kernel target starts from; what fuzzing
// found beyond them is in testdata/fuzz.
func fuzzSeeds(f *testing.F) {
	for _, b := range [][]byte{
		{0, 0, 0, 0, 0, 20, 0, 40, 0, 0, 0, 20}, // touching discs
		{0, 0, 0, 0, 0, 20, 0, 0, 0, 0, 0, 20},  // one on the other
		{0, 0, 0, 0, 0, 40, 0, 20, 0, 0, 0, 20}, // one in the other, touching
		{1, 0, 0, 40, 0, 8, 1, 40, 0, 40, 40, 8, 0, 40, 0, 0, 0, 8},
		{3, 0, 0, 80, 80, 8, 3, 80, 0, 120, 80, 8},
		{2, 0, 0, 40, 40, 40, 0, 2, 0, 0, 40, 0, 0, 40},
		{4, 0, 0, 20, 20, 40, 0, 8, 4, 0, 0, 20, 20, 40, 0, 8},
		{5, 0, 0, 40, 0, 20, 0, 133, 0, 0, 40, 0, 20, 0},
		{3, 0, 0, 80, 40, 10, 1, 10, 20, 70, 20, 5, 3, 0, 0, 80, 40, 10},                       // collapses when shrunk by 1.25
		{0, 255, 0, 0, 0, 0, 0, 0, 0xf8, 0x7f, 0, 0, 0, 4},                                     // NaN
		{1, 255, 0, 0, 0, 0, 0, 0, 0xf0, 0x7f, 0, 0, 0, 4},                                     // infinity
		{0, 0, 0, 0, 0, 20, 0, 255, 0x8d, 0xed, 0xb5, 0xa0, 0xf7, 0xc6, 0xb0, 62, 0, 0, 0, 20}, // 1e-6 apart
	} {
		f.Add(b)
	}
}

// fuzzSound returns the shapes read from data if the kernel takes them and all of
// them are sound; a contour that crosses itself or runs backwards has windings of
// its own, and all that can be asked then is an end to the work.
func fuzzSound(t *testing.T, data []byte) (ss []Shape, union Shape, ok bool) {
	ss = fuzzShapes(data)
	u, err := Union(ss...)
	if err != nil {
		var k *KernelError
		if errors.As(err, &k) {
			t.Fatal(err)
		}
		return nil, nil, false
	}
	for _, x := range ss {
		if x.Check() != nil {
			must(Subdivide(ss))
			must(Offsets(u, []float64{1.25, -1.25}))
			return nil, nil, false
		}
	}
	return ss, u, true
}

// FuzzCombine asks for no panic, no endless work and no kernel fault, and for
// areas that add up when the input is sound.
func FuzzCombine(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		ss, u, ok := fuzzSound(t, data)
		if !ok {
			return
		}
		var e Engine
		n := len(ss) / 2
		a, b := must(e.Union(ss[:n]...)), must(e.Union(ss[n:]...))
		and, xor := must(e.Intersection(a, b)), must(e.Xor(a, b))
		not := must(e.Difference(a, b))
		tol := 1e-12*u.Area() + 10*areaTol(a, b)
		for _, k := range []struct {
			what string
			d    float64
		}{
			{"|A∪B| + |A∩B| − |A| − |B|", u.Area() + and.Area() - a.Area() - b.Area()},
			{"|A⊕B| + |A∩B| − |A∪B|", xor.Area() + and.Area() - u.Area()},
			{"|A∖B| + |A∩B| − |A|", not.Area() + and.Area() - a.Area()},
		} {
			if math.Abs(k.d) > tol {
				t.Fatalf("%s = %g, at most %g", k.what, k.d, tol)
			}
		}
	})
}

// FuzzSubdivide compares the faces with the union, and the subdivision after
// merging with itself.
func FuzzSubdivide(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		ss, u, ok := fuzzSound(t, data)
		if !ok {
			return
		}
		tol := 1e-12*u.Area() + 10*areaTol(ss...)
		d := must(Subdivide(ss))
		m, _, err := d.Merge(func(f int) int { return min(1, len(d.Faces[f].Layers)) })
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []*Subdivision{d, m} {
			covered := 0.0
			for _, f := range s.Faces[1:] {
				if len(f.Layers) > 0 {
					covered += f.Area()
				}
			}
			if math.Abs(covered-u.Area()) > tol {
				t.Fatalf("faces cover %g, the union %g", covered, u.Area())
			}
			for _, x := range s.Edges {
				if x.Left == x.Right {
					t.Fatalf("edge %v has face %d on both sides", x.Edge, x.Left)
				}
			}
		}
	})
}

// FuzzOffset asks that a grown shape covers and a shrunk one is covered, that
// steps at once are the steps one by one, and that an opening stays inside.
func FuzzOffset(f *testing.F) {
	fuzzSeeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		_, u, ok := fuzzSound(t, data)
		if !ok {
			return
		}
		var e Engine
		by := []float64{1.25, -0.75, -1.25, -2.5}
		off := must(e.Offsets(u, by))
		tol := 1e-12*off[0].Area() + 10*areaTol(off[0], u)
		for i, d := range by {
			if one := must(e.Offset(u, d)); one.Area() != off[i].Area() || len(one) != len(off[i]) {
				t.Fatalf("offset by %g is %g mm² alone, %g among several", d, one.Area(), off[i].Area())
			}
		}
		for _, k := range [][2]Shape{{u, off[0]}, {off[1], u}, {off[2], off[1]}, {off[3], off[2]}, {must(e.Open(u, 0.75)), u}} {
			if d := must(e.Difference(k[0], k[1])).Area(); d > tol {
				t.Fatalf("%g mm² outside what should cover it, at most %g", d, tol)
			}
		}
	})
}

func FuzzParseContour(f *testing.F) {
	f.Add("M 0,0 L 10,0 A 10,10 10,5 + Z")
	f.Add("M 1e300,NaN L 1,1 Z")
	f.Add("M 0,0 L 0,0 Z") // the one line has no length
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseContour(s)
		if err != nil {
			return
		}
		_ = c.Check()
		if d, err := ParseContour(c.String()); len(c) > 0 && (err != nil || d.String() != c.String()) {
			t.Fatalf("%q is written as %q, read back with error %v", s, c, err)
		}
	})
}
