package cli

import (
	"context"
	"fmt"
	"io"
	"sync"

	"platewright/export/report"
	"platewright/plate"
)

// kept holds the reports that MainKept built: func() (report.Report, error) by what they were asked for.
var kept sync.Map

// MainKept is Main, but for one thing: the same report is built once, however many commands ask for it. Load cases take a second
// each time, and most commands differ only in what they print.
func MainKept(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return exitCode(&env{context.Background(), stdin, stdout, stderr, buildOnce}, args)
}

func buildOnce(ctx context.Context, in report.Inputs) (report.Report, error) {
	revision := plate.Revision(in.Plate)
	if in.More != nil || in.Sweep != nil || revision == "" {
		return report.Build(ctx, in)
	}
	if in.Baseline != nil {
		base := in
		base.Plate, base.Baseline, in.Baseline = *in.Baseline, nil, nil
		r, err := buildOnce(ctx, in)
		if err != nil {
			return r, err
		}
		b, err := buildOnce(ctx, base)
		return r.Against(b), err
	}
	if in.Want == 0 {
		in.Want = report.All
	}
	key := fmt.Sprintf("%s %s %d %#v %#v %q", revision, in.Profile.Hash(), in.Want, in.CutLines, in.Batches, in.Program)
	get, _ := kept.LoadOrStore(key, sync.OnceValues(func() (report.Report, error) { return report.Build(ctx, in) }))
	return get.(func() (report.Report, error))()
}
