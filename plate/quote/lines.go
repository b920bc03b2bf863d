package quote

import (
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"platewright/plate/layout"
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
	j, r := s.job, s.job.Rates
	if j.Blank != nil {
		s.add("material", *j.Blank, "a blank as bought", Input{"blank", j.Blank.String(), r.Currency, "the document"})
		return nil
	}
	m := j.Layout.Plate.Stock.Material
	price, ok := r.Material(m.Alloy)
	if !ok {
		return fmt.Errorf("quote: the rates have no price for %s; add it to rates.materials, or give the price of a blank as bought", m.Alloy)
	}
	s.add("material", dec(j.Mass.BlankMassKG).Mul(price.PerKG), "mass of the blank × price per kg",
		Input{"mass of the blank", fig(j.Mass.BlankMassKG), "kg", "blank and density"},
		Input{"price of " + m.Alloy, price.PerKG.String(), r.Currency + "/kg", "the shop's rates"})
	s.add("sawing", work(2*r.SawCut, r.HandHour), "two cuts × minutes × hand rate",
		minutes("one cut", r.SawCut, "the shop's rates"), s.rate("hand rate", r.HandHour))
	return nil
}

// program is what is paid once for a batch before the first chip.
func (s *sheet) program() error {
	j, r := s.job, s.job.Rates
	n := 0
	for _, o := range j.Plan.Operations {
		if o.Where == route.OnMachine {
			n++
		}
	}
	min := r.ProgramBase + r.ProgramOperation*float64(n)
	s.add("programming", s.each(work(min, r.ProgramHour)), "(base + operations × minutes) × rate ÷ quantity",
		minutes("base", r.ProgramBase, "the shop's rates"), Input{"operations", fmt.Sprint(n), "", "the plan"},
		minutes("one operation", r.ProgramOperation, "the shop's rates"), s.rate("programming rate", r.ProgramHour), s.quantity())
	s.add("set-up", s.each(work(j.Plan.SetupMin, r.SetterHour)), "set-up minutes × rate ÷ quantity",
		minutes("set-up", j.Plan.SetupMin, "the plan"), s.rate("setter's rate", r.SetterHour), s.quantity())
	return nil
}

// machining is the cycle, and the handling while the machine stands.
func (s *sheet) machining() error {
	j, r := s.job, s.job.Rates
	cycle := j.Plan.CycleMin * s.stretch
	s.add("machine time", work(cycle, r.MachineHour), "cycle × machine rate",
		minutes("cycle", cycle, "the plan"), s.rate("machine rate", r.MachineHour))
	handling := max(j.Plan.FloorToFloorMin-j.Plan.CycleMin, 0)
	s.add("loading and turning over", work(handling, r.MachineHour), "(floor to floor − cycle) × machine rate",
		minutes("floor to floor", j.Plan.FloorToFloorMin, "the plan"), minutes("cycle", j.Plan.CycleMin, "the plan"),
		s.rate("machine rate", r.MachineHour))
	return nil
}

// wear is the price of the edges used up, by Taylor's law at each operation's cutting speed.
func (s *sheet) wear() error {
	var sum shop.Money
	var in []Input
	missing := map[string]bool{}
	for _, o := range s.job.Plan.Operations {
		if o.Where != route.OnMachine || o.CuttingMin <= 0 || o.Tool.ID == "" {
			continue
		}
		w, ok := s.job.Rates.WearOf(o.Tool)
		if !ok {
			key := string(o.Tool.Kind) + " of " + o.Tool.Material
			if !missing[key] {
				missing[key] = true
				s.notes = append(s.notes, "the wear of "+key+" is not in the price: the rates have none")
			}
			continue
		}
		vc := math.Pi * o.Tool.Diameter * o.Spindle / 1000
		life := Life(w, vc)
		edge := w.Base.Add(w.PerMM.Mul(dec(o.Tool.Diameter))).DivRound(decimal.NewFromInt(int64(w.Regrinds+1)), 12)
		cost := dec(o.CuttingMin * s.stretch / life).Mul(edge)
		sum = sum.Add(cost)
		in = append(in, Input{
			o.Name + ", " + o.Tool.ID, cost.Round(4).String(), s.job.Rates.Currency,
			fmt.Sprintf("%s min of cutting ÷ a life of %s min at %s m/min × %s an edge (%s; %s)",
				fig(o.CuttingMin*s.stretch), fig(life), fig(vc), edge.Round(4), w.Source, w.Seen),
		})
	}
	s.add("tool wear", sum, "sum over operations of cutting minutes ÷ tool life × price of an edge", in...)
	return nil
}

// Life is the life of an edge in minutes of cutting at vc m/min: (C/vc)^(1/n) by Taylor, at most LifeMost.
func Life(w shop.WearRate, vc float64) float64 {
	if !(vc > 0) {
		return w.LifeMost
	}
	return min(math.Pow(w.C/vc, 1/w.N), w.LifeMost)
}

// hand is deburring and bench work; work done elsewhere is named, since nobody has given its price.
func (s *sheet) hand() error {
	r := s.job.Rates
	total := 0.0
	for _, o := range s.job.Plan.Operations {
		switch o.Where {
		case route.ByHand:
			total += o.TotalMin
		case route.Outside:
			s.notes = append(s.notes, fmt.Sprintf("%s is done elsewhere; its price is not in this one", o.Name))
		}
	}
	s.add("deburring and bench work", work(total, r.HandHour), "minutes by hand × hand rate",
		minutes("by hand", total, "the plan"), s.rate("hand rate", r.HandHour))
	return nil
}

// inspection is every piece's, and the first article's.
func (s *sheet) inspection() error {
	r := s.job.Rates
	n := 0
	for _, c := range s.job.Layout.Cuts {
		if toleranced(c) {
			n++
		}
	}
	min := r.InspectPiece + r.InspectFeature*float64(n)
	s.add("inspection", work(min, r.InspectionHour), "(a piece + toleranced features × minutes) × rate",
		minutes("a piece", r.InspectPiece, "the shop's rates"), Input{"toleranced features", fmt.Sprint(n), "", "the plate"},
		minutes("one feature", r.InspectFeature, "the shop's rates"), s.rate("inspection rate", r.InspectionHour))
	s.add("first article", s.each(work(r.FirstArticle, r.InspectionHour)), "minutes × rate ÷ quantity",
		minutes("first article", r.FirstArticle, "the shop's rates"), s.rate("inspection rate", r.InspectionHour), s.quantity())
	return nil
}

func toleranced(c layout.Cut) bool { return c.Fit != "" || c.Tolerance > 0 }

// finish is the surface treatment: by area, at least the lot's minimum.
func (s *sheet) finish() error {
	f := s.job.Layout.Plate.Stock.Finish
	if f.Name == "" {
		return nil
	}
	price, ok := s.job.Rates.Finish(f.Name)
	if !ok {
		return fmt.Errorf("quote: the rates have no price for the finish %q; add it to rates.finishes", f.Name)
	}
	area := s.job.Mass.WettedArea / 1e4 // dm²
	piece, least := dec(area).Mul(price.PerDM2), s.each(price.Minimum)
	sum, cur := "surface × price per dm²", s.job.Rates.Currency
	if least.GreaterThan(piece) {
		piece, sum = least, "the lot's minimum ÷ quantity, since the surface would cost less"
	}
	s.add("finish: "+f.Name, piece, sum, Input{"surface", fig(area), "dm²", "the plate"},
		Input{"price", price.PerDM2.String(), cur + "/dm²", "the shop's rates"},
		Input{"minimum of a lot", price.Minimum.String(), cur, "the shop's rates"}, s.quantity())
	return nil
}

// scrap is what the pieces that fail add to the good ones: of n begun, n(1 − share) are good.
func (s *sheet) scrap() {
	share := s.job.Rates.ScrapShare
	s.add("scrap", s.total().Mul(dec(share/(1-share))), "the lines so far × share ÷ (1 − share)",
		Input{"scrap share", fig(share), "", "the shop's rates"})
}

func (s *sheet) margin() {
	m := s.job.Rates.Margin
	s.add("margin", s.total().Mul(dec(m)), "the lines so far × margin", Input{"margin", fig(m), "", "the shop's rates"})
}

// order is what belongs to the order as a whole.
func (s *sheet) order() {
	r := s.job.Rates
	if lack := s.each(r.MinimumCharge).Sub(s.total()); lack.IsPositive() {
		s.add("to the minimum charge", lack, "minimum charge ÷ quantity − the lines so far",
			Input{"minimum charge", r.MinimumCharge.String(), r.Currency, "the shop's rates"}, s.quantity())
	}
	s.add("delivery", s.each(r.Delivery), "delivery ÷ quantity", Input{"delivery", r.Delivery.String(), r.Currency, "the shop's rates"}, s.quantity())
}
