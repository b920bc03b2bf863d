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

// FuzzKernel asks for no panic, no endless work and no kernel fault, and for
// areas that add up when the input is sound.
func FuzzKernel(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 20, 0, 40, 0, 0, 0, 20}) // touching discs
	f.Add([]byte{0, 0, 0, 0, 0, 20, 0, 0, 0, 0, 0, 20})  // one on the other
	f.Add([]byte{1, 0, 0, 40, 0, 8, 1, 40, 0, 40, 40, 8, 0, 40, 0, 0, 0, 8})
	f.Add([]byte{3, 0, 0, 80, 80, 8, 3, 80, 0, 120, 80, 8})
	f.Add([]byte{2, 0, 0, 40, 40, 40, 0, 2, 0, 0, 40, 0, 0, 40})
	f.Add([]byte{4, 0, 0, 20, 20, 40, 0, 8, 4, 0, 0, 20, 20, 40, 0, 8})
	f.Add([]byte{5, 0, 0, 40, 0, 20, 0, 133, 0, 0, 40, 0, 20, 0})
	f.Add([]byte{0, 255, 0, 0, 0, 0, 0, 0, 0xf8, 0x7f, 0, 0, 0, 4})                                     // NaN
	f.Add([]byte{1, 255, 0, 0, 0, 0, 0, 0, 0xf0, 0x7f, 0, 0, 0, 4})                                     // infinity
	f.Add([]byte{0, 0, 0, 0, 0, 20, 0, 255, 0x8d, 0xed, 0xb5, 0xa0, 0xf7, 0xc6, 0xb0, 62, 0, 0, 0, 20}) // 1e-6 apart
	f.Fuzz(func(t *testing.T, data []byte) {
		ss := fuzzShapes(data)
		var e Engine
		u, err := e.Union(ss...)
		var k *KernelError
		if errors.As(err, &k) {
			t.Fatal(err)
		}
		if err != nil {
			return
		}
		for _, x := range ss {
			if x.Check() != nil {
				// A contour that crosses itself or runs backwards has windings of its own;
				// all that can be asked is an end to the work.
				must(e.Subdivide(ss))
				must(e.Offset(u, 1.25))
				return
			}
		}
		n := len(ss) / 2
		a, err := e.Union(ss[:n]...)
		if err != nil {
			t.Fatal(err)
		}
		b := must(e.Union(ss[n:]...))
		and := must(e.Intersection(a, b))
		tol := 1e-12*u.Area() + 10*areaTol(a, b)
		if d := u.Area() + and.Area() - a.Area() - b.Area(); math.Abs(d) > tol {
			t.Fatalf("areas are off by %g, at most %g", d, tol)
		}
		d, err := e.Subdivide(ss)
		if err != nil {
			t.Fatal(err)
		}
		covered := 0.0
		for _, f := range d.Faces[1:] {
			if len(f.Layers) > 0 {
				covered += f.Area()
			}
		}
		if math.Abs(covered-u.Area()) > tol {
			t.Fatalf("faces cover %g, the union %g", covered, u.Area())
		}
		if _, err := e.Open(u, 0.75); err != nil {
			t.Fatal(err)
		}
		if _, err := e.Offset(u, 1.25); err != nil {
			t.Fatal(err)
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
