package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"platewright/export/report"
	"platewright/plate/route"
	"platewright/plate/shop"
)

// calibration is the part of the time command that learns from past jobs.
type calibration struct {
	Actual string `placeholder:"JOBS.csv" help:"Past jobs, estimated and taken: the estimate is calibrated by them."`
	Save   string `placeholder:"OUT.shop" help:"With --actual, write the shop profile with the calibration there; the file must not exist yet."`
}

// check refuses options that make no sense, before any work.
func (c calibration) check(file, profile string) error {
	if c.Save == "" {
		return nil
	}
	if c.Actual == "" {
		return usage("--save belongs to --actual, as --actual jobs.csv --save our-mill.shop")
	}
	return target(c.Save, []string{file, profile, c.Actual}, ".shop")
}

// apply fits the factors to the past jobs and puts them into the profile that the minutes are for. Too few jobs leave the minutes
// uncalibrated, and say so.
func (c calibration) apply(e *env, in *report.Inputs, quiet bool) error {
	if c.Actual == "" {
		return nil
	}
	data, err := readFile(c.Actual)
	if err != nil {
		return failed("%s: %v", c.Actual, err)
	}
	jobs, err := route.ReadJobs(data)
	if err != nil {
		return failed("%s: %v", c.Actual, err)
	}
	fitted, err := route.Calibrate(jobs, "past jobs of "+filepath.Base(c.Actual))
	var few *route.TooFewError
	switch {
	case errors.As(err, &few) && c.Save == "":
		e.complain([]string{fmt.Sprintf("%s: %d past jobs are too few to calibrate by; %d are needed, and the minutes stay uncalibrated", c.Actual, few.Jobs, shop.LeastJobs)})
		return nil
	case err != nil:
		return failed("%s: %v", c.Actual, err)
	}
	in.Profile.Calibration = fitted
	if !quiet {
		fmt.Fprint(e.stdout, factorsText(fitted, jobs))
	}
	if c.Save == "" {
		return nil
	}
	saved, err := shop.Save(in.Profile)
	if err != nil {
		return failed("%s: not written: %v", c.Save, err)
	}
	return e.deliver(c.Save, saved)
}

// factorsText is a table of the factors with their ranges.
func factorsText(c shop.Calibration, jobs []route.PastJob) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Calibration by %d past jobs: minutes taken for each minute estimated\n", c.Jobs)
	for _, f := range c.Classes {
		fmt.Fprintf(&b, "  %-10s %5.2f, most likely %.2f to %.2f", f.Class, f.Factor, max(0, f.Factor-2*f.Sigma), f.Factor+2*f.Sigma)
		if !slices.ContainsFunc(jobs, func(j route.PastJob) bool { return j.Estimated[f.Class] > 0 }) {
			b.WriteString(" (in no job: as taken before any)")
		}
		b.WriteString("\n")
	}
	fmt.Fprintf(&b, "  a job differs from that by %.1f %% (standard deviation)\n\n", c.Residual)
	return b.String()
}
