package shop

import (
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"
)

// maxMoney is above any price of a plate and its shop, in any currency.
var maxMoney = decimal.New(1, 9)

func (v *validator) money(path string, m Money) {
	switch {
	case m.IsNegative():
		v.add(path, "is negative (%s); the least is 0", m)
	case m.GreaterThan(maxMoney):
		v.add(path, "is above %s", maxMoney)
	}
}

// below wants least ≤ x < top.
func (v *validator) below(path string, x, least, top float64) {
	if math.IsNaN(x) || x < least || x >= top {
		v.add(path, "is %g; must be from %g to below %g", x, least, top)
	}
}

func (v *validator) rates(r Rates) {
	if len(r.Currency) != 3 || slices.ContainsFunc([]byte(r.Currency), func(b byte) bool { return b < 'A' || b > 'Z' }) {
		v.add("rates.currency", "is %q; write the three capitals of ISO 4217, like \"EUR\"", r.Currency)
	}
	for _, m := range []struct {
		name string
		m    Money
	}{
		{"machine_hour", r.MachineHour},
		{"setter_hour", r.SetterHour},
		{"program_hour", r.ProgramHour},
		{"hand_hour", r.HandHour},
		{"inspection_hour", r.InspectionHour},
		{"minimum_charge", r.MinimumCharge},
		{"delivery", r.Delivery},
	} {
		v.money("rates."+m.name, m.m)
	}
	for _, x := range []struct {
		name string
		x    float64
	}{
		{"program_base_min", r.ProgramBase},
		{"program_operation_min", r.ProgramOperation},
		{"saw_cut_min", r.SawCut},
		{"inspect_piece_min", r.InspectPiece},
		{"inspect_feature_min", r.InspectFeature},
		{"first_article_min", r.FirstArticle},
		{"valid_days", float64(r.ValidDays)},
	} {
		v.in("rates."+x.name, x.x, 0, 1e5)
	}
	v.below("rates.scrap_share", r.ScrapShare, 0, 1)
	v.below("rates.margin", r.Margin, 0, 100)
	if len(r.Materials) == 0 || len(r.Materials) > maxTools {
		v.add("rates.materials", "%d prices of metal; give 1 to %d", len(r.Materials), maxTools)
	}
	seen := map[string]bool{}
	once := func(path, what, name string) {
		if seen[what+name] {
			v.add(path, "%q is given twice", name)
		}
		seen[what+name] = true
	}
	for i, m := range r.Materials {
		at := fmt.Sprintf("rates.materials[%d]", i)
		v.text(at+".alloy", m.Alloy)
		once(at+".alloy", "alloy ", m.Alloy)
		v.money(at+".per_kg", m.PerKG)
	}
	for i, w := range r.Wear {
		v.wear(fmt.Sprintf("rates.wear[%d]", i), w)
	}
	for i, f := range r.Finishes {
		at := fmt.Sprintf("rates.finishes[%d]", i)
		v.text(at+".name", f.Name)
		once(at+".name", "finish ", f.Name)
		v.money(at+".per_dm2", f.PerDM2)
		v.money(at+".minimum", f.Minimum)
		v.in(at+".days", float64(f.Days), 0, 1000)
	}
}

func (v *validator) wear(at string, w WearRate) {
	if !slices.Contains(kinds, w.ToolKind) {
		v.add(at+".tool_kind", "%q is not a kind of tool; the kinds are %q", w.ToolKind, kinds)
	}
	v.text(at+".tool_material", w.ToolMaterial)
	v.in(at+".c_m_min", w.C, 1, 1e5)
	v.in(at+".n", w.N, 0.01, 1)
	v.in(at+".life_most_min", w.LifeMost, 0.1, 1e6)
	v.in(at+".regrinds", float64(w.Regrinds), 0, 100)
	v.money(at+".base", w.Base)
	v.money(at+".per_mm", w.PerMM)
	v.text(at+".source", w.Source)
	v.text(at+".seen", w.Seen)
}

func (v *validator) services(ss []Service) {
	for i, s := range ss {
		at := fmt.Sprintf("services[%d]", i)
		if !slices.Contains(services, s.Kind) {
			v.add(at+".kind", "%q is not a kind of service; the kinds are %q", s.Kind, services)
		}
		v.text(at+".name", s.Name)
		v.text(at+".source", s.Source)
		v.in(at+".kerf_mm", s.Kerf, 0, 20)
		v.in(at+".allowance_mm", s.Allowance, 0, 20)
		v.in(at+".mm_per_min", s.Speed, 0, 1e5)
		if (s.Kind == Waterjet || s.Kind == Laser) && s.Speed <= 0 {
			v.add(at+".mm_per_min", "is %g; a profile needs a speed", s.Speed)
		}
		v.in(at+".each_min", s.EachMin, 0, 1e4)
		v.in(at+".lead_days", float64(s.LeadDays), 0, 1000)
		v.money(at+".each", s.Each)
		v.money(at+".per_hour", s.PerHour)
		v.money(at+".minimum", s.Minimum)
	}
}

func (v *validator) calibration(c Calibration) {
	v.in("calibration.jobs", float64(c.Jobs), 0, 1e6)
	v.in("calibration.residual_percent", c.Residual, 0, 1000)
	if c.Jobs > 0 {
		v.text("calibration.source", c.Source)
	}
	if len(c.Classes) > 0 && c.Jobs == 0 {
		v.add("calibration.jobs", "is 0, and there are %d factors; factors come from jobs", len(c.Classes))
	}
	seen := map[string]bool{}
	for i, f := range c.Classes {
		at := fmt.Sprintf("calibration.classes[%d]", i)
		v.text(at+".class", f.Class)
		if seen[f.Class] {
			v.add(at+".class", "%q is given twice", f.Class)
		}
		seen[f.Class] = true
		v.in(at+".factor", f.Factor, 0.05, 20)
		v.in(at+".sigma", f.Sigma, 0, 20)
		if len(f.Shared) > i {
			v.add(at+".shared", "%d covariances, and %d classes come before it", len(f.Shared), i)
		}
		for _, x := range f.Shared {
			v.in(at+".shared", x, -400, 400)
		}
	}
}
