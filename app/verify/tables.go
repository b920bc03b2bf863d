package verify

import (
	"embed"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

//go:embed published/*.csv
var published embed.FS

// record is a line of a table by the names of its columns.
type record map[string]string

// num is a number of the record; an error names what is there.
func (r record) num(column string) (float64, error) {
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		return 0, fmt.Errorf("verify: column %s holds %q, no number", column, r[column])
	}
	return v, nil
}

// rounding is half of the last printed digit of a number, in per cent of it, a hair more for arithmetic.
func rounding(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	digits := 0
	if i := strings.IndexByte(text, '.'); i >= 0 {
		digits = len(text) - i - 1
	}
	half := 0.5 * math.Pow10(-digits)
	if v == 0 {
		return 100 * half * 1.000001
	}
	return 100 * half / math.Abs(v) * 1.000001
}

// tables are the published values, by the name of their file without its ending.
type tables struct {
	of map[string][]record
}

func readTables() (*tables, error) {
	t := &tables{map[string][]record{}}
	entries, err := published.ReadDir("published")
	if err != nil {
		return nil, fmt.Errorf("verify: %w", err)
	}
	for _, e := range entries {
		f, err := published.Open("published/" + e.Name())
		if err != nil {
			return nil, fmt.Errorf("verify: %w", err)
		}
		r := csv.NewReader(f)
		r.Comment = '#'
		rows, err := r.ReadAll()
		f.Close()
		if err != nil {
			return nil, fmt.Errorf("verify: %s: %w", e.Name(), err)
		}
		var out []record
		for _, row := range rows[1:] {
			m := record{}
			for i, k := range rows[0] {
				m[k] = row[i]
			}
			out = append(out, m)
		}
		t.of[strings.TrimSuffix(e.Name(), ".csv")] = out
	}
	return t, nil
}

// find is the first record of a table that holds the values of key.
func (t *tables) find(table string, key record) (record, error) {
	for _, r := range t.of[table] {
		ok := true
		for k, v := range key {
			ok = ok && r[k] == v
		}
		if ok {
			return r, nil
		}
	}
	var names []string
	for _, k := range slices.Sorted(maps.Keys(key)) {
		names = append(names, key[k])
	}
	return nil, fmt.Errorf("verify: table %s has no row %s", table, strings.Join(names, ", "))
}

// row makes a Row from a record with the columns value, source and seen.
func (t *tables) row(kind Kind, name, quantity string, tolerance float64, table string, key record) (Row, error) {
	r, err := t.find(table, key)
	if err != nil {
		return Row{}, err
	}
	v, err := r.num("value")
	if err != nil {
		return Row{}, err
	}
	return Row{Name: name, Quantity: quantity, Published: v, Tolerance: tolerance, Kind: kind, Source: r["source"], Seen: seen(r["seen"])}, nil
}

// seen puts the words of a table into one of the four.
func seen(words string) string {
	switch {
	case strings.Contains(words, "memory"):
		return Memory
	case strings.HasPrefix(words, "seen"):
		return Seen
	case words == "computed", strings.Contains(words, "value computed"), strings.Contains(words, "numbers computed"):
		return Computed
	}
	return NotChecked
}

// exact is a row whose published value is a closed form computed here.
func exact(kind Kind, name, quantity string, value, tolerance float64, source string) Row {
	return Row{Name: name, Quantity: quantity, Published: value, Tolerance: tolerance, Kind: kind, Source: source, Seen: Computed}
}
