package kinematics_test

import (
	"context"
	"testing"

	"platewright/plate/kinematics"
	"platewright/plate/set"
)

// BenchmarkTable is the table of settings of the stored cargo trike, plates derived beforehand.
func BenchmarkTable(b *testing.B) {
	l, _, err := set.LoadFile(context.Background(), "../../testdata/set/cargo-trike/front.set")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := kinematics.Table(context.Background(), l); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolve seeks a trail by the cam of the same machine.
func BenchmarkSolve(b *testing.B) {
	l, _, err := set.LoadFile(context.Background(), "../../testdata/set/cargo-trike/front.set")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := kinematics.Solve(context.Background(), l, nil, set.Ref{Part: "axle block", Feature: 3}, kinematics.Trail, 100); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPartNumbers compares the parts of the same set.
func BenchmarkPartNumbers(b *testing.B) {
	l, _, err := set.LoadFile(context.Background(), "../../testdata/set/cargo-trike/front.set")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := l.PartNumbers(context.Background(), set.DefaultTolerance); err != nil {
			b.Fatal(err)
		}
	}
}
