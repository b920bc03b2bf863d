// Package quote prices a plate from its plan of machining, its mass and a shop's rates: material, sawing, programming,
// set-up spread over the batch, machine time, tool wear, deburring, inspection, finish, scrap and margin, for each quantity
// of a break table.
//
// Money is decimal and rounded to hundredths line by line, so that the lines that are printed add up to the price that is
// printed. Every line carries the inputs that it was computed from. Amounts are without tax.
//
//	q, err := quote.Make(quote.Job{Layout: l, Mass: m, Plan: plan, Profile: profile, Batches: []int{1, 10}})
//	fmt.Println(q.Batches[0].PiecePrice, q.Currency)
//
// A quote is an estimate from an estimate: its minutes carry the plan's band, which Low and High of a batch show.
package quote
