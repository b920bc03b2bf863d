package route

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"platewright/plate/shop"
)

func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/route/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, k := range rows[0] {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out
}

const inch = 25.4

// input reads one input of a row; a few rows give feet, inches or minutes.
type input map[string]any

func (in input) num(k string) float64 {
	x, ok := in[k].(float64)
	if !ok {
		return math.NaN()
	}
	return x
}

func (in input) has(k string) bool { _, ok := in[k]; return ok }

// examples says which general function answers which kind of row.
var examples = map[string]func(in input) float64{
	"cutting speed": func(in input) float64 {
		d := in.num("D_mm")
		if in.has("d_mm") {
			d = in.num("d_mm")
		}
		v := CuttingSpeed(in.num("n_rpm"), d)
		if in.has("pi") { // the page rounds π
			v *= in.num("pi") / math.Pi
		}
		return v
	},
	"feed per tooth": func(in input) float64 {
		return FeedPerTooth(in.num("vf_mm_min"), int(in.num("z")), in.num("n_rpm"))
	},
	"table feed":   func(in input) float64 { return FeedRate(in.num("fz_mm"), int(in.num("z")), in.num("n_rpm")) },
	"milling time": func(in input) float64 { return TravelTime(in.num("l_mm")+in.num("D_mm"), in.num("vf_mm_min")) },
	"milling power": func(in input) float64 {
		if in.has("MRR_mm3_min") { // J/mm³ is kN/mm² = 1000 MPa
			return CuttingPower(in.num("MRR_mm3_min"), 1000*in.num("u_Ws_mm3"))
		}
		return CuttingPower(RemovalRate(in.num("ae_mm"), in.num("ap_mm"), in.num("vf_mm_min")), in.num("kc_MPa")) / in.num("eta")
	},
	"milling net power": func(in input) float64 {
		return CuttingPower(RemovalRate(in.num("ae_mm"), in.num("ap_mm"), in.num("vf_mm_min")), in.num("ks_MPa"))
	},
	"power-law (Kienzle-type) milling power": func(in input) float64 { // W; kc in kN/mm²
		q := RemovalRate(in.num("w_mm"), in.num("d_mm"), in.num("vf_mm_min"))
		return 1000 * CuttingPower(q, 1000*SpecificForce(in.num("U0"), in.num("m"), in.num("h_mm")))
	},
	"mean tangential force": func(in input) float64 {
		return TangentialForce(in.num("P_kW"), CuttingSpeed(in.num("n_rpm"), in.num("d_mm")))
	},
	"drilling time": func(in input) float64 { // s, but one page in minutes
		switch {
		case in.has("L_mm"):
			return DrillTime(in.num("L_mm"), in.num("f_mm"), SpindleSpeed(in.num("vc_m_min"), in.num("D_mm")))
		case in.has("t_mm"):
			return 60 * DrillTime(in.num("t_mm"), in.num("f_mm"), in.num("n_rpm"))
		}
		return 60 * in.num("holes") * DrillTime(in.num("depth_mm"), in.num("fr_mm"), SpindleSpeed(in.num("vc_m_min"), in.num("D_mm")))
	},
	"drilling time, 5 holes": func(in input) float64 {
		return 60 * in.num("holes") * DrillTime(in.num("depth_mm"), in.num("fr_mm"), in.num("n_rpm"))
	},
	"blind hole time with point": func(in input) float64 {
		return DrillTime(in.num("depth_mm")+PointLength(in.num("D_mm"), in.num("point_deg")*math.Pi/180), in.num("f_mm"), in.num("n_rpm"))
	},
	"drill point length": func(in input) float64 { return PointLength(in.num("D_mm"), in.num("point_deg")*math.Pi/180) },
	"drilling MRR":       func(in input) float64 { return DrillRemovalRate(in.num("D_mm"), in.num("f_mm"), in.num("n_rpm")) },
	"drilling power": func(in input) float64 {
		return 1000 * CuttingPower(60*in.num("MRR_mm3_s"), 1000*in.num("u_Ws_mm3"))
	},
	"drilling torque": func(in input) float64 { return Torque(in.num("P_W")/1000, in.num("n_rpm")) },
	"milling torque":  func(in input) float64 { return Torque(in.num("P_kW"), in.num("n_rpm")) },
	"milling rpm":     func(in input) float64 { return SpindleSpeed(in.num("vc_m_min"), in.num("D_mm")) },
	"rpm": func(in input) float64 {
		n := SpindleSpeed(in.num("vc_m_min"), in.num("D_mm"))
		if in.has("pi") {
			n *= math.Pi / in.num("pi")
		}
		return n
	},
	"milling rpm (inch)": func(in input) float64 {
		return SpindleSpeed(in.num("vc_ft_min")*12*inch/1000, in.num("D_in")*inch)
	},
	"milling rpm from feed": func(in input) float64 { // n = vf ÷ (fz·z)
		return in.num("vf_mm_min") / FeedRate(in.num("fz_mm"), int(in.num("z")), 1)
	},
	"slab milling approach": func(in input) float64 { return SlabApproach(in.num("D_mm"), in.num("d_mm")) },
	"slab milling time": func(in input) float64 {
		d, ap := in.num("D_mm"), in.num("d_mm")
		if in.has("vf_mm_min") { // the book takes √(D·d) for the approach, and seconds
			return 60 * TravelTime(in.num("L_mm")+math.Sqrt(d*ap), in.num("vf_mm_min"))
		}
		vf := FeedRate(in.num("fz_mm"), int(in.num("z")), SpindleSpeed(in.num("vc_m_min"), d))
		return TravelTime(in.num("L_mm")+SlabApproach(d, ap), vf)
	},
	"milling MRR": func(in input) float64 { return RemovalRate(in.num("w_mm"), in.num("d_mm"), in.num("vf_mm_min")) },
	"face milling MRR": func(in input) float64 {
		return RemovalRate(in.num("w_mm"), in.num("d_mm"), in.num("vf_mm_min"))
	},
	"face milling time": func(in input) float64 { return 60 * TravelTime(in.num("L_mm")+in.num("D_mm"), in.num("vf_mm_min")) },
	"face milling travel, slot": func(in input) float64 {
		return in.num("l_mm") + in.num("d_mm")/2 + 2*in.num("delta_mm")
	},
	"tapping feed (inch)": func(in input) float64 { return FeedRate(1/in.num("tpi"), 1, in.num("n_rpm")) },
	"tapping feed":        func(in input) float64 { return FeedRate(in.num("lead_mm"), 1, in.num("n_rpm")) },
	"drilling feed (inch)": func(in input) float64 { // the feed that covers the length in the time: the inverse of TravelTime
		return TravelTime(in.num("L_in")+in.num("over_in"), in.num("t_min"))
	},
	"Taylor life ratio":    func(in input) float64 { return ToolLife(1, in.num("n"), in.num("speed_factor")) },
	"Taylor life increase": func(in input) float64 { return 100 * (ToolLife(1, in.num("n"), in.num("speed_factor")) - 1) },
	"Taylor exponent": func(in input) float64 {
		return taylorExponent(in.num("V1"), in.num("T1"), in.num("V2"), in.num("T2"))
	},
	"Taylor constant": func(in input) float64 { return taylorConstant(in.num("V1"), in.num("T1"), in.num("n")) },
	"Taylor constant from drill life": func(in input) float64 {
		depth := in.num("depth_mm") + PointLength(in.num("D_mm"), in.num("point_deg")*math.Pi/180)
		life := in.num("holes") * DrillTime(depth, in.num("f_mm"), in.num("n_rpm"))
		return taylorConstant(CuttingSpeed(in.num("n_rpm"), in.num("D_mm")), life, in.num("n"))
	},
	"Taylor speed for maximum production rate": func(in input) float64 {
		return QuickestSpeed(in.num("C"), in.num("n"), in.num("tc_min"))
	},
	"turning time":   func(in input) float64 { return DrillTime(in.num("L_mm"), in.num("f_mm"), in.num("n_rpm")) },
	"turning power":  func(in input) float64 { return 1000 * CuttingPower(in.num("MRR_mm3_min"), 1000*in.num("u_Ws_mm3")) },
	"turning torque": func(in input) float64 { return Torque(in.num("P_W")/1000, in.num("n_rpm")) },
	"turning/boring-type MRR": func(in input) float64 { // width of the ring × feed
		return RemovalRate(math.Pi*in.num("Davg_mm"), in.num("d_mm"), FeedRate(in.num("f_mm"), 1, in.num("n_rpm")))
	},
	"chip thinning by lead angle": func(in input) float64 { return LeadAngleFeed(in.num("h_mm"), in.num("kappa_deg")*math.Pi/180) },
}

// unitOf the last printed digit: the number that the rounding column starts with; "exact" and text mean six figures.
var leading = regexp.MustCompile(`^[0-9.eE-]+`)

func lastDigit(rounding string, result float64) float64 {
	if s := leading.FindString(rounding); s != "" && !strings.HasPrefix(rounding, "4 figures") {
		if x, err := strconv.ParseFloat(s, 64); err == nil {
			return x
		}
	}
	if strings.HasPrefix(rounding, "4 figures") {
		return math.Pow(10, math.Floor(math.Log10(result))-3)
	}
	return 1e-6 * result
}

// Published worked examples whose printed result was seen come out to their printed rounding. Examples recalled from memory,
// and those of which only the options of a question were seen, are printed with their difference and not asserted.
func TestPublishedWorkedExamples(t *testing.T) {
	asserted, recalled := 0, 0
	for _, r := range table(t, "machining_examples.csv") {
		f, ok := examples[r["kind"]]
		if !ok {
			t.Errorf("%s: no function for %q", r["id"], r["kind"])
			continue
		}
		var in input
		if err := json.Unmarshal([]byte(r["inputs"]), &in); err != nil {
			t.Fatalf("%s: %v", r["id"], err)
		}
		want, err := strconv.ParseFloat(r["result"], 64)
		if err != nil {
			t.Fatalf("%s: %v", r["id"], err)
		}
		got := f(in)
		seen := r["seen"] == "seen" && (strings.HasPrefix(r["answer_basis"], "printed result seen") || strings.HasPrefix(r["answer_basis"], "program output"))
		if !seen {
			recalled++
			t.Logf("not asserted (%s; %s): %s %s = %.6g, given %g", r["seen"], r["answer_basis"], r["id"], r["kind"], got, want)
			continue
		}
		asserted++
		if tol := lastDigit(r["printed_rounding"], want) * 0.5000001; !(math.Abs(got-want) <= tol) {
			t.Errorf("%s (%s): %s = %.9g %s, printed %g to %s", r["id"], r["source"], r["kind"], got, r["unit"], want, r["printed_rounding"])
		}
	}
	t.Logf("%d asserted, %d not asserted", asserted, recalled)
	if asserted < 28 {
		t.Errorf("only %d examples asserted", asserted)
	}
}

var (
	ratio   = regexp.MustCompile(`^ae/D=([0-9.]+)$`)
	numbers = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?`)
)

func numbersIn(s string) []float64 {
	var xs []float64
	for _, w := range numbers.FindAllString(s, -1) {
		x, _ := strconv.ParseFloat(w, 64)
		xs = append(xs, x)
	}
	return xs
}

// printed is half of the last digit of a printed number.
func printed(s string) float64 {
	_, decimals, _ := strings.Cut(s, ".")
	return 0.5000001 * math.Pow(10, -float64(len(decimals)))
}

// The tool-life row whose inputs are printed is reproduced: 60 min at 60 m/min and 10 min at 100 m/min. The others are constants, which
// are printed beside the lives that they give, since they differ by orders of magnitude; none is asserted.
func TestToolLifeTable(t *testing.T) {
	found := false
	for _, r := range table(t, "toollife.csv") {
		n, errN := strconv.ParseFloat(r["n_min"], 64)
		c, errC := strconv.ParseFloat(r["C_m_min"], 64)
		if errN != nil || errC != nil {
			continue
		}
		if r["tool"] == "(GATE 2024)" {
			found = true
			near(t, "n", taylorExponent(100, 10, 60, 60), n, 0.00005)
			near(t, "C", taylorConstant(60, 60, taylorExponent(100, 10, 60, 60)), c, 0.05)
			near(t, "life back", ToolLife(c, n, 60), 60, 0.05)
		}
		t.Logf("%s on %s (%s): at half of C an edge lasts %.3g min", r["tool"], r["work"], r["seen"], ToolLife(c, n, c/2))
	}
	if !found {
		t.Error("the row with its inputs is not in the table")
	}
}

// A power of Kp kW for each cm³/s is a specific force of 1000·Kp MPa: rows that were seen are reproduced by the general functions.
// Published figures for one material differ: the mean force of ours on aluminium is printed beside the rows from memory.
func TestSpecificPowerTable(t *testing.T) {
	p, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	data, ok := p.Data("N", shop.EndMill, "solid carbide", shop.Rough, 10)
	if !ok {
		t.Fatal("no data")
	}
	seen := 0
	for _, r := range table(t, "specific_power.csv") {
		kp, err := strconv.ParseFloat(r["Kp_metric_kW_per_cm3_per_s"], 64)
		if err != nil {
			t.Fatal(err)
		}
		if r["seen"] == "seen" {
			seen++
			near(t, r["material"]+" "+r["HB"], CuttingPower(60*1000, 1000*kp), kp, 1e-12)
			continue
		}
		ours := SpecificForce(data.Force.KC11, data.Force.MC, MeanChip(data.Feed.Feed, 4, 10)) / 1000
		t.Logf("not asserted (memory): %s %g kW per cm³/s; this program's data for aluminium give %.2f (%s)", r["material"], kp, ours, data.Force.Source)
	}
	if seen < 10 {
		t.Errorf("%d rows seen", seen)
	}
}

// The makers' tables of specific force by feed are met by a power law to the scatter of their own rounding, 12 %; and for aluminium
// they stand below the constants chosen, which is on the safe side for power and bending.
func TestSpecificForceTables(t *testing.T) {
	for _, r := range table(t, "kc_tables.csv") {
		kc, _ := strconv.ParseFloat(r["fit_kc_at_1mm_feed"], 64)
		m, _ := strconv.ParseFloat(r["fit_exponent"], 64)
		for _, f := range []string{"0.1", "0.2", "0.3", "0.4", "0.6"} {
			want, err := strconv.ParseFloat(r["kc_"+f], 64)
			if err != nil {
				t.Fatal(err)
			}
			h, _ := strconv.ParseFloat(f, 64)
			if got := SpecificForce(kc, m, h); math.Abs(got/want-1) > 0.12 {
				t.Errorf("%s at %s: %.0f MPa, table %.0f", r["material_RmMPa_or_HB"], f, got, want)
			}
		}
		if strings.HasPrefix(r["material_RmMPa_or_HB"], "light alloy") {
			t.Logf("%s: %s to %s MPa; chosen 800·h^−0.25 gives %.0f at h = 0.1", r["material_RmMPa_or_HB"], r["kc_0.6"], r["kc_0.1"], SpecificForce(800, 0.25, 0.1))
		}
	}
}

// Formula rows: engagement, mean and greatest chip, chip thinning, one milling example by Kienzle, drilling and tapping times,
// a helix and the lower bound of a pocket. The shop's approximation hm = √(ae/D) is not used by us: its rows only show by how
// much it overstates.
func TestFormulaTable(t *testing.T) {
	const d = 16.0
	byPrefix := map[string]func(x float64) float64{
		"eng":  func(x float64) float64 { return Engagement(x*d, d) * 180 / math.Pi },
		"hm":   func(x float64) float64 { return MeanChip(1, x*d, d) },
		"hma":  math.Sqrt,
		"hx":   func(x float64) float64 { return 1 / ChipThinning(x*d, d) },
		"rctf": func(x float64) float64 { return ChipThinning(x*d, d) },
	}
	walked := 0
	for _, r := range table(t, "machining_formulas.csv") {
		want, err := strconv.ParseFloat(r["result"], 64)
		if err != nil {
			t.Fatalf("%s: %v", r["id"], err)
		}
		got := math.NaN()
		prefix, _, _ := strings.Cut(r["id"], "-")
		in := numbersIn(r["inputs"])
		switch {
		case ratio.MatchString(r["inputs"]):
			got = byPrefix[prefix](in[0])
		case prefix == "ex1":
			got = kienzleExample(strings.TrimPrefix(r["id"], "ex1-"))
		case prefix == "drl": // D, depth, vc, f; 0.3 D for the point and 2 mm clearance as in the row
			got = 60 * DrillTime(in[1]+0.3*in[0]+2, in[3], SpindleSpeed(in[2], in[0]))
		case prefix == "tap": // M, P, depth, vc; three pitches run-in
			got = 60 * TapTime(in[2], 3*in[1], in[1], SpindleSpeed(in[3], in[0]))
		case prefix == "helix": // one flat turn more at the bottom
			got = 60 * TravelTime(math.Hypot(10*math.Pi*(30-16), 10)+math.Pi*(30-16), 2000)
		case prefix == "spiral":
			got = 60 * 5000 * 20 / RemovalRate(8, 10, 2400)
		}
		walked++
		if tol := printed(r["result"]); !(math.Abs(got-want) <= tol) {
			t.Errorf("%s: %.8g, want %g %s", r["id"], got, want, r["unit"])
		}
	}
	if walked < 68 {
		t.Errorf("%d rows walked", walked)
	}
}

// kienzleExample is D16 z3 ae4 ap10 fz0.1 n8000 with kc1.1 = 800 MPa and mc = 0.25, step by step.
func kienzleExample(what string) float64 {
	const d, z, ae, ap, fz, n = 16.0, 3, 4.0, 10.0, 0.1, 8000.0
	vf := FeedRate(fz, z, n)
	hm := MeanChip(fz, ae, d)
	kc := SpecificForce(800, 0.25, hm)
	power := CuttingPower(RemovalRate(ae, ap, vf), kc)
	teeth := z * Engagement(ae, d) / (2 * math.Pi)
	switch {
	case what == "vc":
		return CuttingSpeed(n, d)
	case what == "vf":
		return vf
	case what == "Q":
		return RemovalRate(ae, ap, vf) / 1000
	case what == "phi":
		return Engagement(ae, d) * 180 / math.Pi
	case what == "hm":
		return math.Round(hm*1e4) / 1e4 // printed to four decimals
	case what == "kc":
		return kc
	case strings.HasPrefix(what, "Fc"):
		return kc * ap * hm
	case strings.HasPrefix(what, "teeth"):
		return teeth
	case what == "M":
		return Torque(power, n)
	case strings.HasPrefix(what, "Pc check"):
		return kc * ap * hm * teeth * CuttingSpeed(n, d) / 60000
	case what == "Pc":
		return power
	}
	return math.NaN()
}

// The conditions of the planner reproduce the same example when tool, data and machine are set to it: one chain of formulas.
func TestMillingMatchesKienzleExample(t *testing.T) {
	p, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	tool := shop.Tool{ID: "X", Kind: shop.EndMill, Diameter: 16, Flutes: 3, FluteLength: 32, Reach: 36, StickOut: 44, Material: "solid carbide"}
	c := shop.CuttingData{
		Group: "N", ToolKind: shop.EndMill, ToolMaterial: "solid carbide", Operation: shop.Finish, DMin: 16, DMax: 16,
		Speed: shop.SpeedData{Vc: CuttingSpeed(8000, 16)}, Feed: shop.FeedData{Feed: 0.1, Per: shop.PerTooth},
		Force: shop.ForceData{KC11: 800, MC: 0.25},
	}
	p.Cutting = []shop.CuttingData{c}
	got, err := Milling(p, "N", tool, shop.Finish, 4, 10)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "n", got.Spindle, 8000, 1e-6)
	near(t, "vf", got.Feed, 2400, 1e-6)
	near(t, "Pc", got.Power, 2.7383, 5e-5)
	near(t, "M", got.Torque, 3.2686, 5e-5)
	if got.LimitedBy != LimitData {
		t.Errorf("limited by %q", got.LimitedBy)
	}
	p.Machine.Power = []shop.PowerPoint{{Speed: 1000, Power: 2.7383 / 2 / p.Machine.Efficiency}}
	half, err := Milling(p, "N", tool, shop.Finish, 4, 10)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half the power", half.Power, 2.7383/2, 1e-4)
	near(t, "feed at half the power", half.Feed, 2400*math.Pow(0.5, 1/0.75), 0.2)
	if half.LimitedBy != LimitPower {
		t.Errorf("limited by %q, want power", half.LimitedBy)
	}
}

// A plain cantilever: F·L³/(3EI), for a force at the tip and away from it. Two steps worked by hand: d = 10 over 20 mm at the
// root (I = 490.874 mm⁴), 8 over 20 mm at the tip (201.062 mm⁴), force 10 mm from the tip: ∫u² from 0 to 10 and from 10 to 30.
func TestCantileverClosedForm(t *testing.T) {
	i := math.Pi * 1e4 / 64
	near(t, "tip", Cantilever(100, 0, 6e5, Stretch{40, 10}), 100*64000/(3*6e5*i), 1e-12)
	near(t, "away from the tip", Cantilever(100, 15, 6e5, Stretch{40, 10}), 100*15625/(3*6e5*i), 1e-12)
	near(t, "cut in two", Cantilever(100, 0, 6e5, Stretch{13, 10}, Stretch{27, 10}), 100*64000/(3*6e5*i), 1e-12)
	near(t, "two steps", Cantilever(100, 10, 6e5, Stretch{20, 8}, Stretch{20, 10}), 100/(3*6e5)*(1000/201.0619+26000/490.8739), 1e-9)
}

func TestLimitsAreNamed(t *testing.T) {
	p, err := shop.Example()
	if err != nil {
		t.Fatal(err)
	}
	tool := func(id string) shop.Tool {
		for _, x := range p.Tools {
			if x.ID == id {
				return x
			}
		}
		t.Fatalf("no tool %s", id)
		return shop.Tool{}
	}
	mill := func(id string, ae, ap float64, change func(*shop.Profile)) Conditions {
		q := p
		if change != nil {
			change(&q)
		}
		c, err := Milling(q, "N", tool(id), shop.Rough, ae, ap)
		if err != nil {
			t.Fatal(err)
		}
		if c.Feed > c.Ideal*(1+1e-12) || c.Feed > q.Machine.MaxFeed {
			t.Errorf("%s: feed %g above its bounds", id, c.Feed)
		}
		if c.Deflection > q.Practice.Deflection.Value*(1+1e-9) {
			t.Errorf("%s: deflection %g", id, c.Deflection)
		}
		return c
	}
	for _, c := range []struct {
		name   string
		got    Conditions
		want   string
		change bool
	}{
		{name: "small cutter", got: mill("EM4", 1, 1, nil), want: LimitSpindle},
		{name: "deep", got: mill("EM5-long", 5, 13, nil), want: LimitDeflection},
		{name: "heavy", got: mill("EM20", 20, 20, nil), want: LimitPower},
		{name: "slow machine", got: mill("EM10", 4, 4, func(q *shop.Profile) { q.Machine.MaxFeed = 800 }), want: LimitFeed},
		{name: "long", got: mill("EM16-long", 1, 1, nil), want: LimitStickOut},
		{name: "weak", got: mill("EM16", 8, 10, func(q *shop.Profile) { q.Machine.Torque = 1 }), want: LimitTorque},
		{name: "free", got: mill("EM16", 6, 2, nil), want: LimitData},
	} {
		if c.got.LimitedBy != c.want {
			t.Errorf("%s: limited by %q (feed %.0f of %.0f, %.2f kW, %.3f mm), want %q", c.name, c.got.LimitedBy, c.got.Feed, c.got.Ideal, c.got.Power, c.got.Deflection, c.want)
		}
	}
	tap, err := Tapping(p, "N", tool("TAP-M3"))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tap feed", tap.Feed, tap.Spindle*0.5, 1e-9)
	q := p
	q.Machine.MaxTapSpeed = 500
	if tap, _ = Tapping(q, "N", tool("TAP-M3")); tap.LimitedBy != LimitTapping {
		t.Errorf("tap limited by %q", tap.LimitedBy)
	}
	if _, err := Milling(p, "P", tool("EM16"), shop.Rough, 4, 4); err == nil || !strings.Contains(err.Error(), `"P"`) {
		t.Errorf("steel: %v", err)
	}
}

// taylorExponent is n of vc·T^n = C from the lives t1 and t2 at the speeds v1 and v2: what ToolLife is given.
func taylorExponent(v1, t1, v2, t2 float64) float64 { return math.Log(v1/v2) / math.Log(t2/t1) }

// taylorConstant is C of vc·T^n = C from one life t in minutes.
func taylorConstant(vc, t, n float64) float64 { return vc * math.Pow(t, n) }
