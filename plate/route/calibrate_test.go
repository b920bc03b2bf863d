package route

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"platewright/plate/shop"
)

// syntheticShop makes n jobs of a shop whose true factors are known, with the given relative error of a job.
func syntheticShop(r *rand.Rand, truth map[string]float64, n int, noise float64) []PastJob {
	var jobs []PastJob
	for i := range n {
		j := PastJob{Name: fmt.Sprintf("job %d", i), Estimated: map[string]float64{}}
		total := 0.0
		for _, g := range Groups() {
			m := math.Exp(0.8*r.NormFloat64()) * map[string]float64{"roughing": 8, "finishing": 6, "drilling": 3, "boring": 2, "other": 4}[g]
			if m == 0 {
				m = math.Exp(0.8 * r.NormFloat64())
			}
			j.Estimated[g] = m
			j.Actual += truth[g] * m
			total += m
		}
		j.Actual += noise * total * r.NormFloat64()
		jobs = append(jobs, j)
	}
	return jobs
}

// Over many synthetic shops with factors drawn as the prior has it, the true ones lie within the stated interval of two standard errors
// at least nine times in ten, and so does what a further job takes. (The interval allows for an error of a job that few jobs do not show.)
func TestSyntheticShopIsRecovered(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for _, n := range []int{5, 12, 40} {
		in, all, jobIn, jobs := 0, 0, 0, 0
		for range 200 {
			truth := map[string]float64{}
			for _, g := range Groups() {
				truth[g] = 1 + priorSigma*r.NormFloat64()
			}
			past := syntheticShop(r, truth, n+1, 0.04)
			c, err := Calibrate(past[:n], "synthetic")
			if err != nil {
				t.Fatal(err)
			}
			want, got, variance, total := past[n].Actual, 0.0, 0.0, 0.0
			for _, f := range c.Classes {
				all++
				if math.Abs(f.Factor-truth[f.Class]) <= 2*f.Sigma {
					in++
				}
				m := past[n].Estimated[f.Class]
				got, total = got+f.Factor*m, total+m
				variance += m * m * f.Sigma * f.Sigma
				for k, s := range f.Shared {
					variance += 2 * m * past[n].Estimated[c.Classes[k].Class] * s
				}
			}
			jobs++
			if math.Abs(got-want) <= 2*math.Sqrt(variance+math.Pow(total*c.Residual/100, 2)) {
				jobIn++
			}
		}
		t.Logf("%d jobs: factors within two standard errors %.1f %%, a further job %.1f %%", n, 100*float64(in)/float64(all), 100*float64(jobIn)/float64(jobs))
		if share := float64(in) / float64(all); share < 0.9 {
			t.Errorf("%d jobs: %.1f %% of the factors lie within their interval", n, 100*share)
		}
		if share := float64(jobIn) / float64(jobs); share < 0.88 {
			t.Errorf("%d jobs: %.1f %% of further jobs lie within their range", n, 100*share)
		}
	}
}

// Exact data of many jobs give the factors back.
func TestFactorsOfExactData(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	truth := map[string]float64{"facing": 1.1, "roughing": 1.4, "finishing": 0.9, "boring": 1.2, "drilling": 1.05, "threading": 0.8, "edges": 1.3, "other": 1.25}
	c, err := Calibrate(syntheticShop(r, truth, 200, 0), "exact")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range c.Classes {
		if math.Abs(f.Factor-truth[f.Class]) > 0.02 {
			t.Errorf("%s: %.4f, want %.2f", f.Class, f.Factor, truth[f.Class])
		}
	}
}

func TestTooFewJobs(t *testing.T) {
	jobs := syntheticShop(rand.New(rand.NewPCG(7, 7)), map[string]float64{"roughing": 1}, 4, 0)
	_, err := Calibrate(jobs, "x")
	var few *TooFewError
	if !errors.As(err, &few) || few.Jobs != 4 {
		t.Errorf("four jobs: %v", err)
	}
}

// A calibrated shop's plan has the factors in its minutes and its range; its sums still agree.
func TestCalibratedPlan(t *testing.T) {
	plain, _ := makePlan(t, bracket())
	s := exampleShop(t)
	s.Calibration = shop.Calibration{Jobs: 6, Source: "test", Residual: 3, Classes: []shop.Factor{
		{Class: "roughing", Factor: 2, Sigma: 0.1}, {Class: "other", Factor: 0.5, Sigma: 0, Shared: []float64{0}},
	}}
	plan, l := planIn(t, bracket(), s)
	checkPlan(t, "calibrated", plan, l)
	m := plain.ByGroup()
	total := 0.0
	for _, g := range Groups() {
		total += m[g]
	}
	near(t, "groups sum to the cycle", total, plain.CycleMin, 1e-9)
	near(t, "cycle", plan.CycleMin, plain.CycleMin+m["roughing"]-0.5*m["other"], 1e-9)
	spread := 2 * math.Sqrt(math.Pow(0.1*m["roughing"], 2)+math.Pow(0.03*(m["roughing"]+m["other"]), 2))
	near(t, "low", plan.CycleLow, plan.CycleMin-spread, 1e-9)
	if plan.CalibratedBy != 6 || plain.CalibratedBy != 0 {
		t.Errorf("calibrated by %d and %d jobs", plan.CalibratedBy, plain.CalibratedBy)
	}
}

func TestReadJobs(t *testing.T) {
	jobs, err := ReadJobs([]byte("job,roughing,drilling,actual_min\nA,10,2.5,14\nB,,3,3.5\n"))
	if err != nil || len(jobs) != 2 || jobs[0].Actual != 14 || jobs[0].Estimated["drilling"] != 2.5 || jobs[1].Estimated["roughing"] != 0 {
		t.Fatalf("%+v, %v", jobs, err)
	}
	for _, c := range [][2]string{
		{"", "head row"},
		{"job,roughing\nA,1\n", "actual_min"},
		{"job,actual_min,dancing\nA,1,1\n", `"dancing"`},
		{"job,actual_min,roughing,roughing\nA,1,1,1\n", "twice"},
		{"job,actual_min,roughing\nA,1,x\n", "line 2: roughing"},
		{"job,actual_min,roughing\nA,-1,1\n", "line 2: actual_min"},
		{"job,actual_min,roughing\nA,NaN,1\n", "line 2: actual_min"},
		{"job,actual_min,roughing\nA,1,1\nB,1,0\n", "line 3"},
		{"job,actual_min,roughing\nA,1\n", "wrong number of fields"},
	} {
		if _, err := ReadJobs([]byte(c[0])); err == nil || !strings.Contains(err.Error(), c[1]) {
			t.Errorf("%q: error %v, want one with %q", c[0], err, c[1])
		}
	}
}

func FuzzReadJobs(f *testing.F) {
	f.Add([]byte("job,roughing,drilling,actual_min\nA,10,2.5,14\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		jobs, err := ReadJobs(data)
		if err != nil {
			return
		}
		for _, j := range jobs {
			if !(j.Actual > 0) || !(j.estimate() > 0) {
				t.Errorf("job %+v let through", j)
			}
		}
	})
}
