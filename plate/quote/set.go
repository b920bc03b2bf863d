package quote

import (
	"errors"
	"fmt"

	"github.com/shopspring/decimal"
)

// SetPart is one part number of a set.
type SetPart struct {
	Name   string
	Job    Job
	PerSet int // pieces in one set
}

// SetPrice is the price of one set at one number of sets.
type SetPrice struct {
	Sets  int
	Price Money // of one set
	Parts []SetLine
}

// SetLine is one part number in the price of a set.
type SetLine struct {
	Name       string
	PerSet     int
	PiecePrice Money // at the quantity that all sets need together
	Amount     Money // of one set
	Batch      Batch // the lines behind the piece price
}

// MakeSets prices a set of parts for each number of sets. A part number used several times in a set is one batch: its
// set-up and programming are spread over all its pieces.
func MakeSets(parts []SetPart, sets []int) ([]SetPrice, error) {
	if len(parts) == 0 {
		return nil, errors.New("quote: a set without parts has no price")
	}
	var out []SetPrice
	for _, n := range sets {
		p := SetPrice{Sets: n}
		for _, part := range parts {
			if part.PerSet < 1 {
				return nil, fmt.Errorf("quote: %q is in the set %d times; give 1 or more", part.Name, part.PerSet)
			}
			if part.Job.Profile.Rates.Currency != parts[0].Job.Profile.Rates.Currency {
				return nil, fmt.Errorf("quote: %q is priced in %s, %q in %s; one quote has one currency",
					part.Name, part.Job.Profile.Rates.Currency, parts[0].Name, parts[0].Job.Profile.Rates.Currency)
			}
			part.Job.Batches = []int{n * part.PerSet}
			q, err := Make(part.Job)
			if err != nil {
				return nil, fmt.Errorf("%q: %w", part.Name, err)
			}
			price := q.Batches[0].PiecePrice
			amount := price.Mul(decimal.NewFromInt(int64(part.PerSet)))
			p.Parts = append(p.Parts, SetLine{part.Name, part.PerSet, price, amount, q.Batches[0]})
			p.Price = p.Price.Add(amount)
		}
		out = append(out, p)
	}
	return out, nil
}
