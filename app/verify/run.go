package verify

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
)

// Options say which rows are wanted.
type Options struct {
	// Only keeps the rows whose name or quantity holds this text, in any case of letters; empty keeps all.
	Only string
	// Progress, if not nil, is called before each group of rows with how many rows are done and how many there are.
	Progress func(done, all int, name string)
}

// group is rows that come from one computation, which gives a value for each.
type group struct {
	rows []Row
	run  func(ctx context.Context) ([]float64, error) // nil for rows that are not checked
}

// book collects the groups in their order.
type book struct {
	groups []group
}

func (b *book) add(run func(ctx context.Context) ([]float64, error), rows ...Row) {
	for i := range rows {
		rows[i].Computed = math.NaN()
	}
	b.groups = append(b.groups, group{rows, run})
}

// one adds a row that has a computation of its own.
func (b *book) one(r Row, run func(ctx context.Context) (float64, error)) {
	b.add(func(ctx context.Context) ([]float64, error) {
		v, err := run(ctx)
		return []float64{v}, err
	}, r)
}

// notChecked lists a row without comparing anything; why says the reason.
func (b *book) notChecked(kind Kind, name, quantity string, published float64, why string) {
	b.add(nil, Row{Name: name, Quantity: quantity, Published: published, Tolerance: math.NaN(), Kind: kind, Source: why, Seen: NotChecked})
}

// all is every group in the order of the list.
func all(t *tables) (*book, error) {
	b := &book{}
	for _, part := range []func(*book, *tables) error{
		membranes, beams, circles, rectangles, strips, panels, torsionBars,
		holes, clampedPlates, vibrations, masses, profiles, torsionDocuments,
		limits, joints, steering, machining, unread,
	} {
		if err := part(b, t); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// Cases lists the rows that Run would compute, without computing them.
func Cases(only string) ([]Row, error) {
	b, err := builtIn()
	if err != nil {
		return nil, err
	}
	var out []Row
	for _, g := range b.keep(only) {
		out = append(out, g.rows...)
	}
	return out, nil
}

func builtIn() (*book, error) {
	t, err := readTables()
	if err != nil {
		return nil, err
	}
	return all(t)
}

// Run computes the rows in order. The error joins those of rows that could not be computed, which are returned with no
// computed value, or is that of the context, which ends the run; rows that are off their published value are no error,
// see Row.OK.
func Run(ctx context.Context, o Options) ([]Row, error) {
	b, err := builtIn()
	if err != nil {
		return nil, err
	}
	return b.compute(ctx, o)
}

func (b *book) compute(ctx context.Context, o Options) ([]Row, error) {
	groups, count := b.keep(o.Only), 0
	var errs []error
	for _, g := range groups {
		count += len(g.rows)
	}
	out := make([]Row, 0, count)
	for _, g := range groups {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		if o.Progress != nil {
			o.Progress(len(out), count, g.rows[0].Name)
		}
		if g.run != nil {
			values, err := g.run(ctx)
			if err != nil {
				errs = append(errs, fmt.Errorf("verify: %s: %w", g.rows[0].Name, err))
			}
			for i := range g.rows {
				if err == nil {
					g.rows[i].Computed = values[i]
				}
			}
		}
		out = append(out, g.rows...)
	}
	return out, errors.Join(errs...)
}

// keep copies the groups, with the rows that hold the text.
func (b *book) keep(only string) []group {
	only = strings.ToLower(only)
	var out []group
	for _, g := range b.groups {
		var rows []Row
		var at []int
		for i, r := range g.rows {
			if strings.Contains(strings.ToLower(r.Name+" "+r.Quantity), only) {
				rows, at = append(rows, r), append(at, i)
			}
		}
		if len(rows) == 0 {
			continue
		}
		k := group{rows: rows}
		if g.run != nil {
			k.run = func(ctx context.Context) ([]float64, error) {
				v, err := g.run(ctx)
				if err != nil {
					return nil, err
				}
				part := make([]float64, len(at))
				for i, j := range at {
					part[i] = v[j]
				}
				return part, nil
			}
		}
		out = append(out, k)
	}
	return out
}
