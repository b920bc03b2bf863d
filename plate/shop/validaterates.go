package shop

import (
	"fmt"
	"slices"
)

func (v *validator) money(path string, m Money) {
	if what := m.problem(); what != "" {
		v.add(path, "%q %s", string(m), what)
	}
}

func (v *validator) cited(path string, c Cited) {
	v.text(path+".source", c.Source)
	v.text(path+".seen", c.Seen)
}

func (v *validator) rates(r Rates) {
	if len(r.Currency) != 3 || slices.ContainsFunc([]byte(r.Currency), func(b byte) bool { return b < 'A' || b > 'Z' }) {
		v.add("rates.currency", "is %q; write the three capitals of ISO 4217, like \"EUR\"", r.Currency)
	}
	for _, m := range []struct {
		name string
		m    Money
	}{
		{"machine_per_hour", r.Machine},
		{"setter_per_hour", r.Setter},
		{"programming_per_hour", r.Programming},
		{"hand_per_hour", r.Hand},
		{"inspection_per_hour", r.Inspection},
		{"saw_cut", r.SawCut},
		{"saw_load", r.SawLoad},
		{"minimum_charge", r.Minimum},
		{"delivery", r.Delivery},
	} {
		v.money("rates."+m.name, m.m)
	}
	for _, x := range []struct {
		name  string
		x, hi float64
	}{
		{"programming_min", r.ProgramMin, 1e5},
		{"programming_each_min", r.ProgramEach, 1e4},
		{"inspection_min", r.InspectMin, 1e4},
		{"first_article_min", r.FirstArticle, 1e5},
		{"scrap_percent", r.Scrap, 90},
		{"margin_percent", r.Margin, 1000},
		{"valid_days", float64(r.ValidDays), 3650},
	} {
		v.in("rates."+x.name, x.x, 0, x.hi)
	}
	v.text("rates.source", r.Source)
	if len(r.Metal) == 0 || len(r.Metal) > maxTools {
		v.add("rates.metal", "%d prices of metal; give 1 to %d", len(r.Metal), maxTools)
	}
	for i, m := range r.Metal {
		at := fmt.Sprintf("rates.metal[%d]", i)
		v.text(at+".group", m.Group)
		v.money(at+".per_kg", m.PerKG)
		v.cited(at, m.Cited)
	}
	seen := map[string]bool{}
	for i, f := range r.Finishes {
		at := fmt.Sprintf("rates.finishes[%d]", i)
		v.text(at+".name", f.Name)
		if seen[f.Name] {
			v.add(at+".name", "%q is given twice; every finish needs its own name", f.Name)
		}
		seen[f.Name] = true
		v.money(at+".per_dm2", f.PerDM2)
		v.money(at+".minimum", f.Minimum)
		v.in(at+".lead_days", float64(f.LeadDays), 0, 1000)
	}
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

func (v *validator) toolLife(ls []ToolLife) {
	for i, l := range ls {
		at := fmt.Sprintf("tool_life[%d]", i)
		v.text(at+".tool_material", l.ToolMaterial)
		v.text(at+".group", l.Group)
		v.in(at+".n", l.N, 0.01, 1)
		v.in(at+".c_m_min", l.C, 1, 1e5)
		v.cited(at, l.Cited)
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
