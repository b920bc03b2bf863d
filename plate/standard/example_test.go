package standard_test

import (
	"fmt"

	"platewright/plate/standard"
)

func ExampleFit() {
	l, err := standard.Fit("H7", 42)
	if err != nil {
		fmt.Println(err)
		return
	}
	before, err := l.BeforeFinish(0.010) // anodising that grows by 10 µm
	fmt.Println(l)
	fmt.Println(before, err)
	// Output:
	// 42 H7 (+0.025 / 0)
	// 42 H7 (+0.045 / +0.020) before finish <nil>
}

func ExampleBearing() {
	b, err := standard.Bearing("6004")
	if err != nil {
		fmt.Println(err)
		return
	}
	least, most, _ := b.ShoulderBore()
	ring, exact, _ := standard.RingFor(b.Outer)
	fmt.Printf("%g × %g × %g, shoulder bore %g to %g, groove %g × %g (%v)\n", b.Bore, b.Outer, b.Width, least, most, ring.Groove, ring.Width, exact)
	// Output: 20 × 42 × 12, shoulder bore 31 to 37.5, groove 44.5 × 1.85 (true)
}
