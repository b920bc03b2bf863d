package quote

// Change is the difference of one line between two quotes at one quantity. A line that one of the two does not have counts
// as zero there.
type Change struct {
	Quantity int
	Line     string // empty for the piece price
	From, To Money
}

// Compare lists what differs between two quotes, quantity by quantity and line by line, the piece price first; quantities
// that only one of them has are left out. Quotes in different currencies have nothing to compare.
func Compare(from, to Quote) []Change {
	if from.Currency != to.Currency {
		return nil
	}
	var out []Change
	for _, b := range to.Batches {
		for _, a := range from.Batches {
			if a.Quantity == b.Quantity {
				out = append(out, compareBatch(a, b)...)
			}
		}
	}
	return out
}

func compareBatch(a, b Batch) []Change {
	var out []Change
	if !a.PiecePrice.Equal(b.PiecePrice) {
		out = append(out, Change{Quantity: b.Quantity, From: a.PiecePrice, To: b.PiecePrice})
	}
	was := map[string]Money{}
	for _, l := range a.Lines {
		was[l.Name] = l.Amount
	}
	for _, l := range b.Lines {
		if old := was[l.Name]; !old.Equal(l.Amount) {
			out = append(out, Change{b.Quantity, l.Name, old, l.Amount})
		}
		delete(was, l.Name)
	}
	for _, l := range a.Lines { // those that are gone, in their order
		if old, gone := was[l.Name]; gone {
			out = append(out, Change{Quantity: b.Quantity, Line: l.Name, From: old})
		}
	}
	return out
}
