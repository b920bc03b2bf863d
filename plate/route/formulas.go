package route

import "math"

// The formulas of cutting, in the units of the shop: mm, rpm, m/min, mm/min, N, N·m, kW. They are general; the rules that
// choose their inputs are elsewhere. Symbols as in ISO 3002.

// SpindleSpeed is n in rpm at which diameter d runs at cutting speed vc: n = 1000·vc/(π·d).
func SpindleSpeed(vc, d float64) float64 { return 1000 * vc / (math.Pi * d) }

// CuttingSpeed is vc in m/min of diameter d at n rpm.
func CuttingSpeed(n, d float64) float64 { return math.Pi * d * n / 1000 }

// FeedRate is the table feed vf = f·z·n in mm/min for feed per tooth f and z teeth (z = 1 for a feed per revolution).
func FeedRate(f float64, z int, n float64) float64 { return f * float64(z) * n }

// FeedPerTooth is the feed per tooth of feed rate vf.
func FeedPerTooth(vf float64, z int, n float64) float64 { return vf / (float64(z) * n) }

// TravelTime is the time in minutes over a length at feed rate vf.
func TravelTime(length, vf float64) float64 { return length / vf }

// SlabApproach is the travel of a slab mill of diameter d before it is in full depth ap: √(ap·(d − ap)).
func SlabApproach(d, ap float64) float64 { return math.Sqrt(ap * (d - ap)) }

// PointLength is the height of the cone at the tip of a drill with diameter d and point angle in rad.
func PointLength(d, angle float64) float64 { return d / 2 / math.Tan(angle/2) }

// Engagement is the angle in rad over which a tooth of a cutter of diameter d cuts at width ae from its side:
// φ = arccos(1 − 2·ae/d); π at full width and over.
func Engagement(ae, d float64) float64 {
	x := ae / d
	if x >= 1 {
		return math.Pi
	}
	return math.Acos(1 - 2*x)
}

// MeanChip is the mean thickness of the chip over the arc of engagement, exact: hm = fz·2·(ae/d)/φ.
func MeanChip(fz, ae, d float64) float64 {
	return fz * 2 * math.Min(ae/d, 1) / Engagement(ae, d)
}

// ChipThinning is the factor on the feed per tooth that keeps the thickest chip at fz: 1/sin φ below half the diameter.
func ChipThinning(ae, d float64) float64 {
	if ae >= d/2 {
		return 1
	}
	return 1 / math.Sin(Engagement(ae, d))
}

// LeadAngleFeed is the feed that gives chip thickness h with an edge at lead angle kappa in rad: h/sin κ.
func LeadAngleFeed(h, kappa float64) float64 { return h / math.Sin(kappa) }

// SpecificForce is kc = kc1.1·h^−mc in MPa, h in mm (Kienzle).
func SpecificForce(kc11, mc, h float64) float64 { return kc11 * math.Pow(h, -mc) }

// RemovalRate is Q = ae·ap·vf in mm³/min.
func RemovalRate(ae, ap, vf float64) float64 { return ae * ap * vf }

// DrillRemovalRate is Q = π·d²/4·f·n in mm³/min.
func DrillRemovalRate(d, f, n float64) float64 { return math.Pi * d * d / 4 * f * n }

// CuttingPower is the power in kW of removing q mm³/min at the specific force kc in MPa.
func CuttingPower(q, kc float64) float64 { return q * kc / 60e6 }

// TangentialForce is the force in N that power kW takes at cutting speed vc in m/min.
func TangentialForce(power, vc float64) float64 { return 60000 * power / vc }

// Torque is the torque in N·m of power kW at n rpm.
func Torque(power, n float64) float64 { return power * 1000 / (2 * math.Pi * n / 60) }

// DrillTime is the time in minutes to drill depth with feed f per revolution at n rpm. Depth includes point and approach.
func DrillTime(depth, f, n float64) float64 { return depth / (f * n) }

// TapTime is the time in minutes to run a tap of the given pitch in and out again at n rpm, from the run-in to the depth.
func TapTime(depth, runIn, pitch, n float64) float64 { return 2 * (depth + runIn) / (n * pitch) }

// ToolLife is the life in minutes of an edge at cutting speed vc in m/min by vc·T^n = c.
func ToolLife(c, n, vc float64) float64 { return math.Pow(c/vc, 1/n) }

// QuickestSpeed is the cutting speed in m/min at which most is made where changing a worn edge takes change minutes:
// C·(n/((1 − n)·change))^n.
func QuickestSpeed(c, n, change float64) float64 { return c * math.Pow(n/((1-n)*change), n) }

// Stretch is a length of a stepped tool with one diameter.
type Stretch struct{ Length, Diameter float64 }

// Cantilever is the deflection in mm, under force in N and at its place, of a stepped beam clamped at the far end: the
// stretches are listed from the tip, and the force acts at distance from from the tip. young is in MPa. By the unit-load
// method δ = F/E · Σ ∫u²/I du, u being the distance from the force.
func Cantilever(force, from, young float64, beam ...Stretch) float64 {
	sum, u := 0.0, -from
	for _, s := range beam {
		a, b := max(u, 0), max(u+s.Length, 0)
		second := math.Pi * s.Diameter * s.Diameter * s.Diameter * s.Diameter / 64
		sum += (b*b*b - a*a*a) / (3 * second)
		u += s.Length
	}
	return force / young * sum
}
