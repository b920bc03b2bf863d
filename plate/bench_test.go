package plate_test

import (
	"fmt"
	"testing"

	"platewright/plate"
)

// large is a plate of n holes and n ribs from hole to hole, with an isogrid and a pocket field.
func large(t testing.TB, n int) plate.Plate {
	p := full(t)
	for i := range n {
		x, y := float64(i%50)*5+10, float64(i/50)*5+10
		p.Holes = append(p.Holes, plate.Hole{ID: p.NextID, Name: fmt.Sprint("Hole ", i), X: x, Y: y, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M3", Series: plate.Fine, Side: plate.Through}})
		to := plate.RibEnd{Feature: 7}
		if i > 0 {
			to = plate.RibEnd{Feature: p.NextID - 2}
		}
		p.Ribs = append(p.Ribs, plate.Rib{ID: p.NextID + 1, Name: fmt.Sprint("Rib ", i), From: plate.RibEnd{Feature: p.NextID}, To: to, Width: 2})
		p.NextID += 2
	}
	return p
}

func BenchmarkDecode(b *testing.B) {
	for _, n := range []int{0, 200, 10_000} {
		data := encode(b, large(b, n))
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				if _, err := plate.Decode(data); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkEncode(b *testing.B) {
	for _, n := range []int{0, 200, 10_000} {
		p := large(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := plate.Encode(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkValidate(b *testing.B) {
	for _, n := range []int{0, 200, 10_000} {
		p := large(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if fs := p.Validate(); len(fs) != 0 {
					b.Fatal(fs[0])
				}
			}
		})
	}
}

func BenchmarkMoveBore(b *testing.B) {
	for _, n := range []int{0, 200, 10_000} {
		p := large(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := moveBore(7, 41, 62).Apply(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
