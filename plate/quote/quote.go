package quote

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/route"
	"platewright/plate/shop"
)

// Money is an amount in the currency of the quote.
type Money = decimal.Decimal

// Job is what is priced.
type Job struct {
	Layout  *layout.Layout
	Mass    mass.Result
	Plan    route.Plan
	Profile shop.Profile
	Batches []int // quantities of the break table; nil is DefaultBatches
	// Blank is the price of one blank as bought, in the currency of the rates; nil to price it by its mass. The sawing is
	// in it then.
	Blank *Money
}

// DefaultBatches are the quantities of the break table where the document names none.
func DefaultBatches() []int { return []int{1, 5, 20} }

// maxQuantity is the largest batch: beyond it a plate is not a low-volume product.
const maxQuantity = 100_000

// Input is one figure that a line was computed from.
type Input struct {
	Name, Value, Unit, From string
}

// Line is one line of the price of one piece.
type Line struct {
	Name   string
	Amount Money  // of one piece
	Sum    string // the formula in words
	Inputs []Input
}

// Batch is the price at one quantity.
type Batch struct {
	Quantity   int
	PiecePrice Money
	Total      Money // quantity × piece price
	Low, High  Money // piece price with the minutes at the ends of the plan's band
	Lines      []Line
}

// Quote is the price of a plate.
type Quote struct {
	Currency  string
	Example   bool // the rates are made up
	ValidDays int
	Batches   []Batch
	Notes     []string // what is not in the price, and why
}

// Make prices a job. It fails where a rate that the job needs is missing, naming it, and never prices a part that it knows
// nothing of at zero.
func Make(j Job) (Quote, error) {
	if err := j.check(); err != nil {
		return Quote{}, err
	}
	q := Quote{Currency: j.Profile.Rates.Currency, Example: j.Profile.Example, ValidDays: j.Profile.Rates.ValidDays}
	batches := slices.Clone(j.Batches)
	if len(batches) == 0 {
		batches = DefaultBatches()
	}
	slices.Sort(batches)
	for _, n := range slices.Compact(batches) {
		b, notes, err := j.batch(n)
		if err != nil {
			return Quote{}, err
		}
		q.Batches, q.Notes = append(q.Batches, b), notes
	}
	return q, nil
}

func (j Job) check() error {
	if j.Layout == nil {
		return errors.New("quote: there is no plate to price; derive its layout first")
	}
	if j.Profile.Rates.Currency == "" {
		return errors.New("quote: the shop profile has no rates; give it rates with a currency")
	}
	if j.Plan.Incomplete {
		return errors.New("quote: the plan of machining is not complete, and a price would leave out what is missing; see its findings")
	}
	if j.Blank != nil && j.Blank.IsNegative() {
		return fmt.Errorf("quote: a blank is bought at %s; give 0 or more", j.Blank)
	}
	for _, n := range j.Batches {
		if n < 1 || n > maxQuantity {
			return fmt.Errorf("quote: a batch of %d; give a quantity from 1 to %d", n, maxQuantity)
		}
	}
	for _, v := range []float64{j.Plan.CycleMin, j.Plan.FloorToFloorMin, j.Plan.SetupMin, j.Mass.BlankMassKG, j.Mass.WettedArea} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("quote: a figure of the plan or the mass is %v; it must be a number from 0 on", v)
		}
	}
	return nil
}

// batch is the price at quantity n.
func (j Job) batch(n int) (Batch, []string, error) {
	s := sheet{job: j, n: n, stretch: 1}
	if err := s.fill(); err != nil {
		return Batch{}, nil, err
	}
	b := Batch{Quantity: n, Lines: s.lines, PiecePrice: s.total()}
	b.Total = b.PiecePrice.Mul(decimal.NewFromInt(int64(n)))
	for _, end := range []struct {
		cycle float64
		to    *Money
	}{{j.Plan.CycleLow, &b.Low}, {j.Plan.CycleHigh, &b.High}} {
		e := sheet{job: j, n: n, stretch: 1}
		if j.Plan.CycleMin > 0 && end.cycle > 0 {
			e.stretch = end.cycle / j.Plan.CycleMin
		}
		if err := e.fill(); err != nil {
			return Batch{}, nil, err
		}
		*end.to = e.total()
	}
	return b, s.notes, nil
}

// sheet collects the lines of one quantity. stretch multiplies the minutes of machining.
type sheet struct {
	job     Job
	n       int
	stretch float64
	lines   []Line
	notes   []string
}

func (s *sheet) total() Money {
	var sum Money
	for _, l := range s.lines {
		sum = sum.Add(l.Amount)
	}
	return sum
}

// add writes a line, rounded to hundredths; a line of nothing is left out.
func (s *sheet) add(name string, amount Money, sum string, in ...Input) {
	if amount = amount.Round(2); amount.IsZero() {
		return
	}
	s.lines = append(s.lines, Line{Name: name, Amount: amount, Sum: sum, Inputs: in})
}

// dec is a figure as decimal, to nine digits after the point: below any cent, above what arithmetic leaves.
func dec(v float64) Money { return decimal.NewFromFloat(v).Round(9) }

var sixty = decimal.NewFromInt(60)

// work is minutes at a rate per hour.
func work(minutes float64, rate shop.Money) Money {
	return dec(minutes).Mul(rate.Amount()).DivRound(sixty, 12)
}

func (s *sheet) each(v Money) Money { return v.DivRound(decimal.NewFromInt(int64(s.n)), 12) }

// three is a figure to three digits, without an exponent.
func three(v float64) string {
	if !(v > 0) || math.IsInf(v, 1) {
		return fig(v)
	}
	return decimal.NewFromFloat(v).Round(max(0, 2-int32(math.Floor(math.Log10(v))))).String()
}

func fig(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func (s *sheet) quantity() Input {
	return Input{"quantity", strconv.Itoa(s.n), "pieces", "the batch"}
}

func (s *sheet) rate(name string, v shop.Money) Input {
	return Input{name, string(v), s.job.Profile.Rates.Currency + "/h", "the shop's rates"}
}

// Printed is what an input comes to on paper: grams of a mass, hundredths of a minute, tenths of dm², and of money no less than a
// tenth of a cent. The unit agrees with the number; Value itself keeps all digits for whoever works a line again.
func (i Input) Printed() string {
	value, unit := i.Value, i.Unit
	decimals := -1
	switch unit {
	case "kg":
		decimals = 3
	case "min":
		decimals = 2
	case "dm²":
		decimals = 1
	case "pieces":
		if value == "1" {
			unit = "piece"
		}
	default:
		if _, frac, _ := strings.Cut(value, "."); len(frac) > 3 {
			decimals = 3
		}
	}
	if v, err := decimal.NewFromString(value); err == nil && decimals >= 0 {
		if short := v.Round(int32(decimals)); !short.IsZero() { // else the little there is stays as it is
			value = short.String()
		}
	}
	return strings.TrimSpace(value + " " + unit)
}

func minutes(name string, v float64, from string) Input { return Input{name, fig(v), "min", from} }
