package kinematics_test

import (
	"fmt"

	"platewright/plate/kinematics"
)

func ExampleClock() {
	at, err := kinematics.Clock(kinematics.Equal(15, 0), kinematics.Equal(18, 0), 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d positions; at %.0f° holes %v of the plate hold\n", len(at), at[1].AngleDeg, at[1].Own)
	// Output: 90 positions; at 4° holes [2 7 12] of the plate hold
}

func ExampleRingsFor() {
	found, err := kinematics.RingsFor([]float64{27, 31}, 3, 24)
	if err != nil {
		fmt.Println(err)
		return
	}
	best := found[0]
	fmt.Printf("plate %v, mate %v\n", best.Own, best.Mate)
	// Output: plate [27 89 147 209 267 329], mate [0 58 120 178 240 298]
}

func ExampleEccentric_Angles() {
	a, b, err := kinematics.Eccentric{E: 12.7}.Angles(6.35, 0)
	fmt.Printf("%.0f° %.0f° %v\n", a, b, err)
	_, _, err = kinematics.Eccentric{E: 12.7}.Angles(20, 0)
	fmt.Println(err)
	// Output:
	// 60° 300° <nil>
	// kinematics: the eccentric moves its centre from -12.7 to 12.7 mm along 0°, and 20 mm is wanted
}
