package quote

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"platewright/plate/material"
	"platewright/plate/route"
	"platewright/plate/shop"
)

// fill writes all lines in the order in which the money is spent.
func (s *sheet) fill() error {
	for _, f := range []func() error{s.material, s.program, s.machining, s.wear, s.hand, s.inspection, s.finish} {
		if err := f(); err != nil {
			return err
		}
	}
	s.scrap()
	s.margin()
	s.order()
	return nil
}

// material is the blank and the sawing of it.
func (s *sheet) material() error {
	j, r := s.job, s.job.Profile.Rates
	if j.Blank != nil {
		s.add("material", *j.Blank, "a blank as bought", Input{"blank", j.Blank.String(), r.Currency, "the document"})
		return nil
	}
	m := j.Layout.Plate.Stock.Material
	price, ok := metal(r, m)
	if !ok {
		return fmt.Errorf("quote: the rates have no price for %s or for group %s; add it to rates.metal, or give the price of a blank as bought", m.Alloy, m.Group)
	}
	s.add("material", dec(j.Mass.BlankMassKG).Mul(price.PerKG.Amount()), "mass of the blank × price per kg",
		Input{"mass of the blank", fig(j.Mass.BlankMassKG), "kg", "blank and density"},
		Input{"price of the metal", string(price.PerKG), r.Currency + "/kg", "the shop's rates: " + price.Source})
	s.add("sawing", r.SawCut.Amount().Mul(sawCuts).Add(s.each(r.SawLoad.Amount())), "two cuts + loading the saw ÷ quantity",
		Input{"one cut", string(r.SawCut), r.Currency, "the shop's rates"}, Input{"loading", string(r.SawLoad), r.Currency, "the shop's rates"},
		s.quantity())
	return nil
}

// sawCuts is the number of cuts that part a blank from a plate that is being used up from one corner.
var sawCuts = decimal.NewFromInt(2)

// metal is the price of a material: of its alloy by name, else of its group.
func metal(r shop.Rates, m material.Material) (shop.Metal, bool) {
	for _, p := range r.Metal {
		if p.Alloy != "" && p.Alloy == m.Alloy {
			return p, true
		}
	}
	for _, p := range r.Metal {
		if p.Alloy == "" && p.Group == m.Group {
			return p, true
		}
	}
	return shop.Metal{}, false
}

// program is what is paid once for a batch before the first chip.
func (s *sheet) program() error {
	j, r := s.job, s.job.Profile.Rates
	n := 0
	for _, o := range j.Plan.Operations {
		if o.Where == route.OnMachine {
			n++
		}
	}
	time := r.ProgramMin + r.ProgramEach*float64(n)
	s.add("programming", s.each(work(time, r.Programming)), "(base + operations × minutes) × rate ÷ quantity",
		minutes("base", r.ProgramMin, "the shop's rates"), Input{"operations", fmt.Sprint(n), "", "the plan"},
		minutes("one operation", r.ProgramEach, "the shop's rates"), s.rate("programming rate", r.Programming), s.quantity())
	s.add("set-up", s.each(work(j.Plan.SetupMin, r.Setter).Add(work(j.Plan.SetupMin, r.Machine))),
		"set-up minutes × (setter's rate + machine rate) ÷ quantity",
		minutes("set-up", j.Plan.SetupMin, "the plan"), s.rate("setter's rate", r.Setter), s.rate("machine rate", r.Machine), s.quantity())
	return nil
}

// machining is the cycle, and the handling while the machine stands.
func (s *sheet) machining() error {
	j, r := s.job, s.job.Profile.Rates
	cycle := j.Plan.CycleMin * s.stretch
	s.add("machine time", work(cycle, r.Machine), "cycle × machine rate",
		minutes("cycle", cycle, "the plan"), s.rate("machine rate", r.Machine))
	handling := max(j.Plan.FloorToFloorMin-j.Plan.CycleMin, 0)
	s.add("loading and turning over", work(handling, r.Machine).Add(work(handling, r.Setter)),
		"(floor to floor − cycle) × (machine rate + setter's rate)",
		minutes("floor to floor", j.Plan.FloorToFloorMin, "the plan"), minutes("cycle", j.Plan.CycleMin, "the plan"),
		s.rate("machine rate", r.Machine), s.rate("setter's rate", r.Setter))
	return nil
}

// wear is the price of the tools used up, by Taylor's law at each operation's cutting speed.
func (s *sheet) wear() error {
	var sum Money
	var used []worn
	var missing, materials []string
	var lives []Input
	group := s.job.Layout.Plate.Stock.Material.Group
	for _, o := range s.job.Plan.Operations {
		if o.Where != route.OnMachine || o.CuttingMin <= 0 || o.Tool.ID == "" {
			continue
		}
		l, ok := s.job.Profile.Life(o.Tool.Material, group)
		if !ok || o.Tool.Price == "" {
			if !slices.Contains(missing, o.Tool.ID) {
				missing = append(missing, o.Tool.ID)
			}
			continue
		}
		w := worn{tool: o.Tool, vc: route.CuttingSpeed(o.Spindle, o.Tool.Diameter), minutes: o.CuttingMin * s.stretch}
		w.life = Life(l, w.vc)
		sum = sum.Add(w.cost())
		used = addWorn(used, w)
		if !slices.Contains(materials, l.ToolMaterial) {
			materials = append(materials, l.ToolMaterial)
			lives = append(lives, Input{
				"life T of " + l.ToolMaterial, fmt.Sprintf("vc·T^%s = %s", fig(l.N), fig(l.C)), "m/min", l.Source + " (" + l.Seen + ")",
			})
		}
	}
	if len(missing) > 0 {
		s.notes = append(s.notes, "the wear of some tools is not in the price, since the profile has no price of them or no life of their material: "+strings.Join(missing, ", "))
	}
	var in []Input
	for _, w := range used {
		in = append(in, Input{
			w.tool.ID, w.cost().Round(4).String(), s.job.Profile.Rates.Currency,
			fmt.Sprintf("%s min of cutting ÷ a life of %s min at %s m/min × %s for a tool", three(w.minutes), three(w.life), three(w.vc), w.tool.Price),
		})
	}
	s.add("tool wear", sum, "sum over tools of cutting minutes ÷ tool life × price of the tool", append(in, lives...)...)
	return nil
}

// worn is the use of one tool at one cutting speed.
type worn struct {
	tool              shop.Tool
	vc, minutes, life float64
}

func (w worn) cost() Money { return dec(w.minutes / w.life).Mul(w.tool.Price.Amount()) }

// addWorn adds a use to that of the same tool at the same speed.
func addWorn(list []worn, w worn) []worn {
	for i := range list {
		if list[i].tool.ID == w.tool.ID && list[i].vc == w.vc {
			list[i].minutes += w.minutes
			return list
		}
	}
	return append(list, w)
}

// longestLife is how long, in minutes of cutting, a tool lasts at most: other causes than wear by speed end it then (common
// practice, no source).
const longestLife = 600

// Life is the life of a tool in minutes of cutting at vc m/min by Taylor's law, at most ten hours.
func Life(l shop.ToolLife, vc float64) float64 {
	if !(vc > 0) {
		return longestLife
	}
	return min(route.ToolLife(l.C, l.N, vc), longestLife)
}

// hand is deburring and bench work; work done elsewhere is named, since nobody has given its price.
func (s *sheet) hand() error {
	r := s.job.Profile.Rates
	total := 0.0
	for _, o := range s.job.Plan.Operations {
		switch o.Where {
		case route.ByHand:
			total += o.TotalMin
		case route.Outside:
			s.notes = append(s.notes, fmt.Sprintf("%s is done elsewhere; its price is not in this one", o.Name))
		}
	}
	s.add("deburring and bench work", work(total, r.Hand), "minutes by hand × hand rate",
		minutes("by hand", total, "the plan"), s.rate("hand rate", r.Hand))
	return nil
}

// inspection is every piece's, and the first article's.
func (s *sheet) inspection() error {
	r := s.job.Profile.Rates
	s.add("inspection", work(r.InspectMin, r.Inspection), "minutes × rate, besides gauging on the machine",
		minutes("a piece", r.InspectMin, "the shop's rates"), s.rate("inspection rate", r.Inspection))
	s.add("first article", s.each(work(r.FirstArticle, r.Inspection)), "minutes × rate ÷ quantity",
		minutes("first article", r.FirstArticle, "the shop's rates"), s.rate("inspection rate", r.Inspection), s.quantity())
	return nil
}

// finish is the surface treatment: by area, at least the lot's minimum.
func (s *sheet) finish() error {
	f := s.job.Layout.Plate.Stock.Finish
	if f.Name == "" {
		return nil
	}
	i := slices.IndexFunc(s.job.Profile.Rates.Finishes, func(r shop.FinishRate) bool { return r.Name == f.Name })
	if i < 0 {
		return fmt.Errorf("quote: the rates have no price for the finish %q; add it to rates.finishes", f.Name)
	}
	price := s.job.Profile.Rates.Finishes[i]
	area := s.job.Mass.WettedArea / 1e4 // dm²
	piece, least := dec(area).Mul(price.PerDM2.Amount()), s.each(price.Minimum.Amount())
	sum, cur := "surface × price per dm²", s.job.Profile.Rates.Currency
	if least.GreaterThan(piece) {
		piece, sum = least, "the lot's minimum ÷ quantity, since the surface would cost less"
	}
	s.add("finish: "+f.Name, piece, sum, Input{"surface", fig(area), "dm²", "the plate"},
		Input{"price", string(price.PerDM2), cur + "/dm²", "the shop's rates"},
		Input{"minimum of a lot", string(price.Minimum), cur, "the shop's rates"}, s.quantity())
	return nil
}

// scrap is what the pieces that fail add to the good ones: of n begun, n(1 − share) are good.
func (s *sheet) scrap() {
	share := s.job.Profile.Rates.Scrap / 100
	s.add("scrap", s.total().Mul(dec(share/(1-share))), "the lines so far × share ÷ (1 − share)",
		Input{"scrap share", fig(100 * share), "%", "the shop's rates"})
}

func (s *sheet) margin() {
	m := s.job.Profile.Rates.Margin / 100
	s.add("margin", s.total().Mul(dec(m)), "the lines so far × margin", Input{"margin", fig(100 * m), "%", "the shop's rates"})
}

// order is what belongs to the order as a whole.
func (s *sheet) order() {
	r := s.job.Profile.Rates
	if lack := s.each(r.Minimum.Amount()).Sub(s.total()); lack.IsPositive() {
		s.add("to the minimum charge", lack, "minimum charge ÷ quantity − the lines so far",
			Input{"minimum charge", string(r.Minimum), r.Currency, "the shop's rates"}, s.quantity())
	}
	s.add("delivery", s.each(r.Delivery.Amount()), "delivery ÷ quantity", Input{"delivery", string(r.Delivery), r.Currency, "the shop's rates"}, s.quantity())
}
