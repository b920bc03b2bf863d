package shop

import "github.com/shopspring/decimal"

// Money is an amount in the currency of the rates, as a decimal number in text like "85.00": binary fractions would round.
type Money string

// Amount is the number; zero for the empty text. A profile that was read or validated holds none that is no number.
func (m Money) Amount() decimal.Decimal {
	d, err := decimal.NewFromString(string(m))
	if err != nil {
		return decimal.Zero
	}
	return d
}

// maxMoney is above any price of a plate and its shop, in any currency.
const maxMoney = 1e9

// problem says what is wrong with an amount; empty when nothing is. Exponents are refused: "1e9999999" would be a number of ten
// million digits.
func (m Money) problem() string {
	const most = 20 // characters
	if m == "" {
		return "is empty; give an amount like \"85.00\", \"0\" for nothing"
	}
	if len(m) > most {
		return "is longer than any amount"
	}
	for _, r := range m {
		if (r < '0' || r > '9') && r != '.' && r != '-' {
			return "is no amount; write digits and a decimal point, like \"85.00\""
		}
	}
	d, err := decimal.NewFromString(string(m))
	switch {
	case err != nil:
		return "is no amount; write digits and a decimal point, like \"85.00\""
	case d.IsNegative():
		return "is negative; the least is 0"
	case d.GreaterThan(decimal.NewFromFloat(maxMoney)):
		return "is above 1000000000"
	}
	return ""
}

// Rates are what time, metal and finishing cost in this shop. Amounts are without tax.
type Rates struct {
	Currency     string       `json:"currency"` // ISO 4217, like "EUR"
	Machine      Money        `json:"machine_per_hour"`
	Setter       Money        `json:"setter_per_hour"` // setting up, turning over, clamping: beside the machine's rate
	Programming  Money        `json:"programming_per_hour"`
	Hand         Money        `json:"hand_per_hour"`
	Inspection   Money        `json:"inspection_per_hour"`
	ProgramMin   float64      `json:"programming_min"`      // for a plate of few operations
	ProgramEach  float64      `json:"programming_each_min"` // for every operation
	InspectMin   float64      `json:"inspection_min"`       // of one piece, besides gauging on the machine
	FirstArticle float64      `json:"first_article_min"`    // once for an order
	Metal        []Metal      `json:"metal"`
	SawCut       Money        `json:"saw_cut"`  // one cut
	SawLoad      Money        `json:"saw_load"` // once for an order
	Finishes     []FinishRate `json:"finishes"`
	Scrap        float64      `json:"scrap_percent"`  // pieces lost of a batch
	Margin       float64      `json:"margin_percent"` // on everything
	Minimum      Money        `json:"minimum_charge"` // of an order
	Delivery     Money        `json:"delivery"`       // of an order
	ValidDays    int          `json:"valid_days"`     // how long a quote holds
	Source       string       `json:"source"`
}

// Metal is the price of plate. Group is that of ISO 513; Alloy, where given, is one alloy by its name in the document.
type Metal struct {
	Group string `json:"group"`
	Alloy string `json:"material,omitempty"`
	PerKG Money  `json:"per_kg"`
	Cited
}

// FinishRate is a surface treatment that is bought: by area, with a least charge for a lot.
type FinishRate struct {
	Name     string `json:"name"`
	PerDM2   Money  `json:"per_dm2"`
	Minimum  Money  `json:"minimum"`
	LeadDays int    `json:"lead_days"`
}

// ServiceKind says what work a service does.
type ServiceKind string

// The kinds of service.
const (
	Waterjet  ServiceKind = "waterjet"
	Laser     ServiceKind = "laser"
	Sawing    ServiceKind = "saw"
	Broaching ServiceKind = "broach" // keyways
	Bench     ServiceKind = "bench"  // tapping by hand, thread inserts
	Pressing  ServiceKind = "press"  // bearings
	Anodising ServiceKind = "anodise"
)

var services = []ServiceKind{Waterjet, Laser, Sawing, Broaching, Bench, Pressing, Anodising}

// Service is work that is done by hand or elsewhere, with its minutes, price and lead time.
type Service struct {
	Kind      ServiceKind `json:"kind"`
	Name      string      `json:"name"`
	Outside   bool        `json:"outside"`                // another shop; else this one's bench
	Kerf      float64     `json:"kerf_mm,omitempty"`      // of profiles
	Allowance float64     `json:"allowance_mm,omitempty"` // left for finishing, of profiles
	Speed     float64     `json:"mm_per_min,omitempty"`   // of profiles, in 10 mm aluminium; slower as the thickness
	EachMin   float64     `json:"each_min"`               // for one feature or piece
	Each      Money       `json:"each"`                   // price of one feature or piece, besides the time
	PerHour   Money       `json:"per_hour"`
	Minimum   Money       `json:"minimum"` // of an order
	LeadDays  int         `json:"lead_days"`
	Source    string      `json:"source"`
}

// Service finds the first service of a kind.
func (p Profile) Service(k ServiceKind) (Service, bool) {
	for _, s := range p.Services {
		if s.Kind == k {
			return s, true
		}
	}
	return Service{}, false
}

// ToolLife are the constants of vc·T^n = C for tools of one material in one group of work material, T in minutes.
type ToolLife struct {
	ToolMaterial string  `json:"tool_material"`
	Group        string  `json:"group"`
	N            float64 `json:"n"`
	C            float64 `json:"c_m_min"`
	Cited
}

// Life finds the tool life constants of a tool material in a group.
func (p Profile) Life(toolMaterial, group string) (ToolLife, bool) {
	for _, l := range p.ToolLife {
		if l.ToolMaterial == toolMaterial && l.Group == group {
			return l, true
		}
	}
	return ToolLife{}, false
}
