package report_test

import (
	"bytes"
	"context"
	"testing"

	"platewright/export/report"
)

// The largest sample, stage by stage: what an edit costs in the frame, what follows, and what printing adds.
const largest = "cargo-trike-side-plate"

func BenchmarkFrame(b *testing.B) {
	in := inputs(b, largest)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := report.Frame(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFollow(b *testing.B) {
	r, err := report.Frame(context.Background(), inputs(b, largest))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Follow(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPrint(b *testing.B) {
	r := build(b, inputs(b, largest))
	b.ReportAllocs()
	for b.Loop() {
		var buf bytes.Buffer
		if err := r.Text(&buf, report.All); err != nil {
			b.Fatal(err)
		}
		if _, err := r.JSON(report.All); err != nil {
			b.Fatal(err)
		}
	}
}
