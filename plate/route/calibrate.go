package route

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mat"

	"platewright/plate/shop"
)

// Calibration: what past jobs teach about the minutes.
//
// A job's machine time is taken as the sum over groups of operations of factor × estimated minutes, with an error in proportion to the
// job. The factors are fitted by least squares, each job weighed by the reciprocal of its estimate, and held towards 1 by a ridge:
// before any job a factor is taken as 1 ± 0.3. That is the mean and covariance of a Bayesian linear model with that prior; the size
// of the error is the one under which the jobs are most likely, found by fixed-point iteration over the effective number of
// factors (MacKay, Bayesian interpolation, Neural Computation 4, 1992; from memory). A group that occurs in no job keeps 1 ± 0.3.

// Groups are the groups of operations that a calibration has a factor for, in the order of the trade.
func Groups() []string {
	return []string{"facing", "roughing", "finishing", "boring", "drilling", "threading", "edges", "other"}
}

// groupOf is the group of each class; probing and tool changes are "other".
var groupOf = map[string]string{
	"face": "facing", "rough pocket": "roughing", "rough corners": "roughing", "rough bore": "roughing", "rough outline": "roughing",
	"finish floor": "finishing", "finish wall": "finishing", "finish outline": "finishing", "counterbore": "finishing", "groove": "finishing",
	"mill hole": "finishing", "finish bore": "boring", "spot": "drilling", "drill pilot": "drilling", "drill": "drilling", "ream": "drilling",
	"countersink": "edges", "tap": "threading", "chamfer": "edges", "break edges": "edges",
}

// ByGroup sums the minutes of a plan on the machine by group of operations: one row of a table of past jobs. Plans of a shop that is
// calibrated have its factors in their minutes; take them from a plan for the same profile without its calibration.
func (p Plan) ByGroup() map[string]float64 {
	m := map[string]float64{}
	for _, o := range p.Operations {
		if o.Where != OnMachine {
			continue
		}
		g := groupOf[o.Class]
		if g == "" {
			g = other
		}
		changed := o.TotalMin - o.CuttingMin - o.RapidMin
		m[g] += o.CuttingMin + o.RapidMin
		m[other] += changed
	}
	return m
}

const other = "other"

// PastJob is what one job was estimated at, by group of operations, and what it took, in minutes of cycle for one piece.
type PastJob struct {
	Name      string
	Estimated map[string]float64
	Actual    float64
}

const (
	maxJobs      = 10_000
	maxJobsBytes = 4 << 20
)

// ReadJobs reads a table of past jobs: CSV with a head row, the columns "job" and "actual_min" and one for each group that occurred,
// in any order. The error names line and column.
func ReadJobs(data []byte) ([]PastJob, error) {
	if len(data) > maxJobsBytes {
		return nil, fmt.Errorf("route: past jobs: %d bytes; at most %d are read", len(data), maxJobsBytes)
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	r.TrimLeadingSpace = true
	head, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("route: past jobs: no head row: %w", err)
	}
	at := map[string]int{}
	for i, h := range head {
		h = strings.TrimSpace(h)
		head[i] = h
		if _, twice := at[h]; twice {
			return nil, fmt.Errorf("route: past jobs: line 1: column %q is given twice", h)
		}
		if h != "job" && h != "actual_min" && !slices.Contains(Groups(), h) {
			return nil, fmt.Errorf("route: past jobs: line 1: column %q is not known; the columns are job, actual_min, %s", h, strings.Join(Groups(), ", "))
		}
		at[h] = i
	}
	for _, h := range []string{"job", "actual_min"} {
		if _, ok := at[h]; !ok {
			return nil, fmt.Errorf("route: past jobs: line 1: there is no column %q", h)
		}
	}
	var jobs []PastJob
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return jobs, nil
		}
		if err != nil {
			return nil, fmt.Errorf("route: past jobs: %w", err)
		}
		line, _ := r.FieldPos(0)
		if len(jobs) == maxJobs {
			return nil, fmt.Errorf("route: past jobs: line %d: more than %d jobs", line, maxJobs)
		}
		j := PastJob{Estimated: map[string]float64{}}
		for i, h := range head {
			if h == "job" {
				j.Name = row[i]
				continue
			}
			v := strings.TrimSpace(row[i])
			if v == "" && h != "actual_min" {
				continue
			}
			x, err := strconv.ParseFloat(v, 64)
			if err != nil || !(x >= 0) || x > 1e6 {
				return nil, fmt.Errorf("route: past jobs: line %d: %s is %q; give minutes from 0 to 1000000", line, h, row[i])
			}
			if h == "actual_min" {
				j.Actual = x
			} else {
				j.Estimated[h] = x
			}
		}
		if j.Actual == 0 || j.estimate() == 0 {
			return nil, fmt.Errorf("route: past jobs: line %d: job %q has no minutes estimated or taken; leave it out", line, j.Name)
		}
		jobs = append(jobs, j)
	}
}

func (j PastJob) estimate() float64 {
	s := 0.0
	for _, g := range Groups() {
		s += j.Estimated[g]
	}
	return s
}

// TooFewError says that there are too few past jobs for a calibration.
type TooFewError struct{ Jobs int }

func (e *TooFewError) Error() string {
	return fmt.Sprintf("route: %d past jobs are too few to calibrate by; %d are needed, and the minutes stay marked as uncalibrated", e.Jobs, shop.LeastJobs)
}

const (
	priorSigma = 0.3   // of a factor before any job; common practice, no source
	leastError = 0.005 // of a job, relative: clocks and pauses
	// The error of a job is taken as about priorError before any job, as if priorJobs had shown it: few jobs alone would often fit too
	// well by chance and state too narrow a range. Common practice, no source.
	priorError = 0.06
	priorJobs  = 3.0
)

// Calibrate fits the factors of a shop to past jobs. With too few it is a *TooFewError. Source names where the jobs come from.
func Calibrate(jobs []PastJob, source string) (shop.Calibration, error) {
	if len(jobs) < shop.LeastJobs {
		return shop.Calibration{}, &TooFewError{len(jobs)}
	}
	if len(jobs) > maxJobs {
		return shop.Calibration{}, fmt.Errorf("route: %d past jobs; at most %d are used", len(jobs), maxJobs)
	}
	groups := Groups()
	k := len(groups)
	a, y := mat.NewDense(len(jobs), k, nil), mat.NewVecDense(len(jobs), nil)
	for i, j := range jobs {
		total := j.estimate()
		if !(total > 0) || !(j.Actual > 0) || math.IsInf(total+j.Actual, 0) {
			return shop.Calibration{}, fmt.Errorf("route: job %q has %g min estimated and %g min taken; both must be above 0", j.Name, total, j.Actual)
		}
		y.SetVec(i, j.Actual/total-1) // what remains after factors of 1
		for c, g := range groups {
			a.Set(i, c, j.Estimated[g]/total)
		}
	}
	post, x, sigma, err := ridge(a, y)
	if err != nil {
		return shop.Calibration{}, err
	}
	c := shop.Calibration{Jobs: len(jobs), Residual: 100 * sigma, Source: source}
	for i, g := range groups {
		f := shop.Factor{Class: g, Factor: min(max(1+x.AtVec(i), 0.05), 20), Sigma: math.Sqrt(max(0, post.At(i, i)))}
		for h := range i {
			f.Shared = append(f.Shared, post.At(i, h))
		}
		c.Classes = append(c.Classes, f)
	}
	return c, nil
}

// ridge finds the mean and covariance of x in y = a·x + e with the prior 0 ± priorSigma, and the size of e.
func ridge(a *mat.Dense, y *mat.VecDense) (cov *mat.Dense, x *mat.VecDense, sigma float64, err error) {
	n, k := a.Dims()
	var aa mat.Dense
	aa.Mul(a.T(), a)
	var ay mat.VecDense
	ay.MulVec(a.T(), y)
	sigma = 0.1
	wide := 1.0
	cov, x = mat.NewDense(k, k, nil), mat.NewVecDense(k, nil)
	const rounds = 200
	for range rounds {
		h := mat.NewDense(k, k, nil)
		h.Scale(1/(sigma*sigma), &aa)
		for i := range k {
			h.Set(i, i, h.At(i, i)+1/(priorSigma*priorSigma))
		}
		if err := cov.Inverse(h); err != nil {
			return nil, nil, 0, fmt.Errorf("route: past jobs say too little to tell the groups apart: %w", err)
		}
		x.MulVec(cov, &ay)
		x.ScaleVec(1/(sigma*sigma), x)
		var r mat.VecDense
		r.MulVec(a, x)
		r.SubVec(y, &r)
		known := float64(k) // number of factors that the jobs determine
		for i := range k {
			known -= cov.At(i, i) / (priorSigma * priorSigma)
		}
		free := max(0, float64(n)-known) + priorJobs
		next := max(leastError, math.Sqrt((mat.Dot(&r, &r)+priorJobs*priorError*priorError)/free))
		done := math.Abs(next-sigma) < 1e-9
		sigma, wide = next, math.Sqrt(free/(free-2)) // that of Student's distribution: sigma itself is uncertain
		if done {
			break
		}
	}
	cov.Scale(wide*wide, cov)
	return cov, x, sigma * wide, nil
}

// sigmas is how far the range of calibrated minutes reaches: about 95 % of jobs.
const sigmas = 2.0

// calibrated multiplies the minutes of the operations with the shop's factors and finds their range.
func (pl *planner) calibrate() {
	c := pl.p.Calibration
	if !c.Known() {
		return
	}
	m := pl.plan.ByGroup()
	p := &pl.plan
	p.CuttingMin, p.RapidMin, p.ToolChangeMin, p.OtherMachineMin = 0, 0, p.ToolChangeMin*c.Factor(other).Factor, p.OtherMachineMin*c.Factor(other).Factor
	for i := range p.SetUps {
		p.SetUps[i].Minutes = 0
	}
	rest := c.Factor(other).Factor
	for i := range p.Operations {
		o := &p.Operations[i]
		if o.Where != OnMachine {
			continue
		}
		changed := o.TotalMin - o.CuttingMin - o.RapidMin
		f := rest
		if g := groupOf[o.Class]; g != "" {
			f = c.Factor(g).Factor
		}
		o.CuttingMin, o.RapidMin, o.GainMin = o.CuttingMin*f, o.RapidMin*f, o.GainMin*f
		o.Gains = slices.Clone(o.Gains)
		for k := range o.Gains {
			o.Gains[k].Minutes *= f
		}
		o.TotalMin = o.CuttingMin + o.RapidMin + changed*rest
		p.CuttingMin, p.RapidMin = p.CuttingMin+o.CuttingMin, p.RapidMin+o.RapidMin
		p.SetUps[o.SetUp-1].Minutes += o.TotalMin
	}
	p.CycleMin = p.CuttingMin + p.RapidMin + p.ToolChangeMin + p.OtherMachineMin
	total, variance := 0.0, 0.0
	for i, f := range c.Classes {
		total += m[f.Class]
		variance += m[f.Class] * m[f.Class] * f.Sigma * f.Sigma
		for k, s := range f.Shared {
			if k < i {
				variance += 2 * m[f.Class] * m[c.Classes[k].Class] * s
			}
		}
	}
	spread := sigmas * math.Sqrt(max(0, variance)+math.Pow(total*c.Residual/100, 2))
	p.CycleLow, p.CycleHigh, p.CalibratedBy = max(0, p.CycleMin-spread), p.CycleMin+spread, c.Jobs
}
