package shop

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"
)

// Money is an amount in the currency of the rates. Files hold it as decimal text like "85.00": binary fractions would round.
type Money = decimal.Decimal

// Rates are what time, metal and finishing cost in this shop. Amounts are without tax; rates per hour, minutes as they stand.
type Rates struct {
	Currency         string          `json:"currency"` // ISO 4217, like "EUR"
	Example          bool            `json:"example"`  // made up, not any shop's own
	MachineHour      Money           `json:"machine_hour"`
	SetterHour       Money           `json:"setter_hour"`
	ProgramHour      Money           `json:"program_hour"`
	HandHour         Money           `json:"hand_hour"`
	InspectionHour   Money           `json:"inspection_hour"`
	ProgramBase      float64         `json:"program_base_min"`      // once for a plate
	ProgramOperation float64         `json:"program_operation_min"` // for every operation on the machine
	SawCut           float64         `json:"saw_cut_min"`           // one cut
	InspectPiece     float64         `json:"inspect_piece_min"`
	InspectFeature   float64         `json:"inspect_feature_min"` // for every toleranced feature of a piece
	FirstArticle     float64         `json:"first_article_min"`   // once for a batch
	Materials        []MaterialPrice `json:"materials"`
	Wear             []WearRate      `json:"wear"`
	Finishes         []FinishPrice   `json:"finishes"`
	ScrapShare       float64         `json:"scrap_share"` // of the pieces begun, below 1
	Margin           float64         `json:"margin"`      // share added to everything
	MinimumCharge    Money           `json:"minimum_charge"`
	Delivery         Money           `json:"delivery"`
	ValidDays        int             `json:"valid_days"`
	Source           string          `json:"source"`
}

// MaterialPrice is the price of plate of one alloy, by its name in the document.
type MaterialPrice struct {
	Alloy string `json:"alloy"`
	PerKG Money  `json:"per_kg"`
}

// WearRate is what the edges of one kind and material of tool cost, and how long one lasts: vc·T^N = C, T in minutes and vc in
// m/min, at most LifeMost minutes. A tool costs Base + PerMM × diameter and gives one edge more for every regrind.
type WearRate struct {
	ToolKind     Kind    `json:"tool_kind"`
	ToolMaterial string  `json:"tool_material"`
	C            float64 `json:"c_m_min"`
	N            float64 `json:"n"`
	LifeMost     float64 `json:"life_most_min"`
	Base         Money   `json:"base"`
	PerMM        Money   `json:"per_mm"`
	Regrinds     int     `json:"regrinds"`
	Source       string  `json:"source"`
	Seen         string  `json:"seen"`
}

// FinishPrice is a surface treatment that is bought: by area, with a least charge for a lot.
type FinishPrice struct {
	Name    string `json:"name"`
	PerDM2  Money  `json:"per_dm2"`
	Minimum Money  `json:"minimum"`
	Days    int    `json:"days"` // lead time
}

// Material finds the price of an alloy.
func (r Rates) Material(alloy string) (MaterialPrice, bool) {
	for _, m := range r.Materials {
		if m.Alloy == alloy {
			return m, true
		}
	}
	return MaterialPrice{}, false
}

// Finish finds the price of a surface treatment.
func (r Rates) Finish(name string) (FinishPrice, bool) {
	for _, f := range r.Finishes {
		if f.Name == name {
			return f, true
		}
	}
	return FinishPrice{}, false
}

// WearOf finds what the wear of a tool costs.
func (r Rates) WearOf(t Tool) (WearRate, bool) {
	for _, w := range r.Wear {
		if w.ToolKind == t.Kind && w.ToolMaterial == t.Material {
			return w, true
		}
	}
	return WearRate{}, false
}

// Validate lists everything that no price can be made with, each with its path in a profile.
func (r Rates) Validate() []error {
	var v validator
	v.rates(r)
	var out []error
	for _, p := range v.problems {
		out = append(out, fmt.Errorf("%s %s", p.Path, p.What))
	}
	return out
}

// moneyKeys are the keys of a profile that hold amounts.
var moneyKeys = []string{
	"machine_hour", "setter_hour", "program_hour", "hand_hour", "inspection_hour", "minimum_charge", "delivery",
	"per_kg", "base", "per_mm", "per_dm2", "minimum", "each", "per_hour",
}

// amountText is a decimal number that is cheap to hold: the library would read "1e9999" too, which takes unbounded work to add.
var amountText = regexp.MustCompile(`^-?[0-9]{1,15}(\.[0-9]{1,9})?$`)

// moneyProblems lists amounts that are not written as decimal text.
func moneyProblems(data []byte) []Problem {
	var tree map[string]any
	if err := json.Unmarshal(data, &tree); err != nil {
		return []Problem{{"$", 0, err.Error()}}
	}
	var ps []Problem
	var look func(path string, v any)
	look = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for _, k := range sortedKeys(v) {
				if at := path + "." + k; slices.Contains(moneyKeys, k) {
					if s, ok := v[k].(string); v[k] != nil && (!ok || !amountText.MatchString(s)) {
						ps = append(ps, Problem{at, 0, fmt.Sprintf("%v is no amount; write it as text with digits and a decimal point, like \"85.00\"", v[k])})
					}
				} else {
					look(at, v[k])
				}
			}
		case []any:
			for i, x := range v {
				look(path+"["+strconv.Itoa(i)+"]", x)
			}
		}
	}
	look("rates", tree["rates"])
	look("services", tree["services"])
	return ps
}
