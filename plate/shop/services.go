package shop

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
