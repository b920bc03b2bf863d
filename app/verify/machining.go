package verify

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"platewright/plate/route"
)

const inch = 25.4 // mm

// input holds the numbers of a worked example by their names.
type input map[string]float64

func (in input) has(k string) bool { _, ok := in[k]; return ok }

// rpm is the spindle speed of an example; some pages round π.
func (in input) rpm() float64 {
	n := route.SpindleSpeed(in["vc_m_min"], in["D_mm"])
	if in.has("pi") {
		n *= math.Pi / in["pi"]
	}
	return n
}

// examples says which general function answers which kind of worked example.
var examples = map[string]func(in input) float64{
	"cutting speed": func(in input) float64 {
		v := route.CuttingSpeed(in["n_rpm"], in["D_mm"]+in["d_mm"]) // one of the two is given
		if in.has("pi") {
			v *= in["pi"] / math.Pi
		}
		return v
	},
	"feed per tooth": func(in input) float64 { return route.FeedPerTooth(in["vf_mm_min"], int(in["z"]), in["n_rpm"]) },
	"table feed":     func(in input) float64 { return route.FeedRate(in["fz_mm"], int(in["z"]), in["n_rpm"]) },
	"milling time":   func(in input) float64 { return route.TravelTime(in["l_mm"]+in["D_mm"], in["vf_mm_min"]) },
	"milling power": func(in input) float64 {
		if in.has("MRR_mm3_min") { // J/mm³ is kN/mm², 1000 MPa
			return route.CuttingPower(in["MRR_mm3_min"], 1000*in["u_Ws_mm3"])
		}
		return route.CuttingPower(route.RemovalRate(in["ae_mm"], in["ap_mm"], in["vf_mm_min"]), in["kc_MPa"]) / in["eta"]
	},
	"milling net power": func(in input) float64 {
		return route.CuttingPower(route.RemovalRate(in["ae_mm"], in["ap_mm"], in["vf_mm_min"]), in["ks_MPa"])
	},
	"power-law (Kienzle-type) milling power": func(in input) float64 { // W; kc in kN/mm²
		return 1000 * route.CuttingPower(route.RemovalRate(in["w_mm"], in["d_mm"], in["vf_mm_min"]), 1000*route.SpecificForce(in["U0"], in["m"], in["h_mm"]))
	},
	"mean tangential force": func(in input) float64 {
		return route.TangentialForce(in["P_kW"], route.CuttingSpeed(in["n_rpm"], in["d_mm"]))
	},
	"drilling time": func(in input) float64 { // s, but one page in minutes
		switch {
		case in.has("L_mm"):
			return route.DrillTime(in["L_mm"], in["f_mm"], route.SpindleSpeed(in["vc_m_min"], in["D_mm"]))
		case in.has("t_mm"):
			return 60 * route.DrillTime(in["t_mm"], in["f_mm"], in["n_rpm"])
		}
		return 60 * in["holes"] * route.DrillTime(in["depth_mm"], in["fr_mm"], route.SpindleSpeed(in["vc_m_min"], in["D_mm"]))
	},
	"drilling time, 5 holes": func(in input) float64 {
		return 60 * in["holes"] * route.DrillTime(in["depth_mm"], in["fr_mm"], in["n_rpm"])
	},
	"drill point length": func(in input) float64 { return route.PointLength(in["D_mm"], in["point_deg"]*math.Pi/180) },
	"milling rpm":        input.rpm,
	"rpm":                input.rpm,
	"milling rpm (inch)": func(in input) float64 {
		return route.SpindleSpeed(in["vc_ft_min"]*12*inch/1000, in["D_in"]*inch)
	},
	"milling rpm from feed": func(in input) float64 { // n = vf ÷ (fz·z)
		return in["vf_mm_min"] / route.FeedRate(in["fz_mm"], int(in["z"]), 1)
	},
	"slab milling approach": func(in input) float64 { return route.SlabApproach(in["D_mm"], in["d_mm"]) },
	"slab milling time": func(in input) float64 {
		d, ap := in["D_mm"], in["d_mm"]
		if in.has("vf_mm_min") { // the book takes √(D·d) for the approach, and seconds
			return 60 * route.TravelTime(in["L_mm"]+math.Sqrt(d*ap), in["vf_mm_min"])
		}
		return route.TravelTime(in["L_mm"]+route.SlabApproach(d, ap), route.FeedRate(in["fz_mm"], int(in["z"]), route.SpindleSpeed(in["vc_m_min"], d)))
	},
	"tapping feed (inch)":         func(in input) float64 { return route.FeedRate(1/in["tpi"], 1, in["n_rpm"]) },
	"tapping feed":                func(in input) float64 { return route.FeedRate(in["lead_mm"], 1, in["n_rpm"]) },
	"drilling feed (inch)":        func(in input) float64 { return route.TravelTime(in["L_in"]+in["over_in"], in["t_min"]) }, // its inverse
	"Taylor life ratio":           func(in input) float64 { return route.ToolLife(1, in["n"], in["speed_factor"]) },
	"chip thinning by lead angle": func(in input) float64 { return route.LeadAngleFeed(in["h_mm"], in["kappa_deg"]*math.Pi/180) },
	"Taylor speed for maximum production rate": func(in input) float64 {
		return route.QuickestSpeed(in["C"], in["n"], in["tc_min"])
	},
}

var leading = regexp.MustCompile(`^[0-9.eE-]+`)

// lastDigit is the unit of the last printed digit: the number that the column of rounding begins with; "exact" and other
// words mean six figures.
func lastDigit(words string, result float64) float64 {
	if strings.HasPrefix(words, "4 figures") {
		return math.Pow(10, math.Floor(math.Log10(result))-3)
	}
	if x, err := strconv.ParseFloat(leading.FindString(words), 64); err == nil {
		return x
	}
	return 1e-6 * result
}

// machining are worked examples of books and tool makers whose printed result was read.
func machining(b *book, t *tables) error {
	recalled := 0
	for _, r := range t.of["machining_examples"] {
		read := strings.HasPrefix(r["answer_basis"], "printed result seen") || strings.HasPrefix(r["answer_basis"], "program output")
		if r["seen"] != Seen || !read {
			recalled++
			continue
		}
		f, ok := examples[r["kind"]]
		if !ok && r["kind"] == "face milling travel, slot" { // a sum of lengths that the program has no function for
			continue
		}
		if !ok {
			return fmt.Errorf("verify: worked example %s: no function for %q", r["id"], r["kind"])
		}
		var in input
		if err := json.Unmarshal([]byte(r["inputs"]), &in); err != nil {
			return fmt.Errorf("verify: worked example %s: %w", r["id"], err)
		}
		want, err := r.num("result")
		if err != nil {
			return err
		}
		b.one(Row{
			Name: "machining, " + r["id"], Quantity: r["kind"] + ", " + r["unit"], Published: want,
			Tolerance: 50.00001 * lastDigit(r["printed_rounding"], want) / math.Abs(want), Kind: Element, Source: r["source"], Seen: Seen,
		}, func(context.Context) (float64, error) { return f(in), nil })
	}
	b.notChecked(Element, "machining, other worked examples", fmt.Sprintf("%d results", recalled), math.NaN(),
		"their results are from memory, or only the options of a question were seen")
	return nil
}
