package shop

// Calibration is what past jobs taught about this shop: a factor on the estimated minutes for each class of operation. The zero
// value stands for a shop of which nothing is known yet.
type Calibration struct {
	Jobs     int      `json:"jobs"`             // that it was fitted to
	Classes  []Factor `json:"classes"`          // by name
	Residual float64  `json:"residual_percent"` // standard deviation of a job's minutes about the fit
	Source   string   `json:"source"`
}

// LeastJobs is the number of past jobs from which a calibration counts; common practice, no source.
const LeastJobs = 5

// Known tells whether the calibration rests on enough jobs.
func (c Calibration) Known() bool { return c.Jobs >= LeastJobs && len(c.Classes) > 0 }

// Factor is how many minutes a class of operation takes for each minute estimated.
type Factor struct {
	Class  string  `json:"class"`
	Factor float64 `json:"factor"`
	Sigma  float64 `json:"sigma"` // standard error of Factor
	// Shared are the covariances with the classes before it, in their order, so that a sum's uncertainty can be told.
	Shared []float64 `json:"shared,omitempty"`
}

// Factor is the factor of a class: 1 where nothing is known of it.
func (c Calibration) Factor(class string) Factor {
	for _, f := range c.Classes {
		if f.Class == class {
			return f
		}
	}
	return Factor{Class: class, Factor: 1}
}
