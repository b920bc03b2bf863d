package plate

import (
	"fmt"
	"strconv"
	"strings"

	"platewright/plate/tree"
)

// worstCase is the choice of no single load case; asDrawn and noFeature are those of no setting and of no feature.
const (
	worstCase = "the worst of all"
	asDrawn   = "as drawn"
)

// fit is the field of an ISO 286 class. It is a text and no choice, since every class of holes may be written.
func (o owner[T]) fit(key, label string, held func(*T) *string) Field {
	return o.text(key, label, "ISO 286 class of a hole, like H7; empty for the general tolerance", held)
}

// feature is the choice of a feature of the given kinds by its name, or of none when there is a word for it.
func (o owner[T]) feature(key, label, none, why string, p Plate, kinds []Kind, held func(*T) *ID) Field {
	choices := namesOf(p, kinds...)
	if none != "" {
		choices = append([]string{none}, choices...)
	}
	return o.words(key, label, why, choices,
		func(p Plate, v *T) string { return nameOfID(p, *held(v), none) },
		func(p *Plate, v *T, s string) error {
			if none != "" && s == none {
				*held(v) = 0
				return nil
			}
			id, err := idOfName(*p, s, kinds...)
			*held(v) = id
			return err
		})
}

// choose is the choice of a word, with what else must follow.
func (o owner[T]) choose(key, label, why string, words []string, get func(*T) string, set func(*Plate, *T, string)) Field {
	return o.words(key, label, why, words, func(_ Plate, v *T) string { return get(v) },
		func(p *Plate, v *T, s string) error { set(p, v, s); return nil })
}

// names is a list of features as a text of their names.
func (o owner[T]) names(key, label, why string, kinds []Kind, held func(*T) *[]ID) Field {
	return o.words(key, label, why+": names with commas between", nil,
		func(p Plate, v *T) string { return namesText(p, *held(v)) },
		func(p *Plate, v *T, s string) error {
			ids, err := idsOfText(*p, s, kinds)
			*held(v) = ids
			return err
		})
}

// numbers is a list of numbers as a text.
func (o owner[T]) numbers(key, label, why string, held func(*T) *[]float64, then func(*T)) Field {
	return o.words(key, label, why+": numbers with commas between", nil,
		func(_ Plate, v *T) string { return numbersText(*held(v)) },
		func(_ *Plate, v *T, s string) error {
			list, err := numbersOfText(s)
			if err == nil {
				*held(v) = list
				then(v)
			}
			return err
		})
}

func numbersText(list []float64) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strings.Join(words, ", ")
}

func numbersOfText(s string) ([]float64, error) {
	if strings.TrimSpace(s) == "" {
		return nil, nil
	}
	words := strings.Split(s, ",")
	if len(words) > maxListItems {
		return nil, fmt.Errorf("%d numbers; at most %d are possible in one list", len(words), maxListItems)
	}
	list := make([]float64, len(words))
	for i, w := range words {
		x, err := strconv.ParseFloat(strings.TrimSpace(w), 64)
		if err != nil {
			return nil, fmt.Errorf("%q is not a number; write numbers with commas between", tree.Clip(strings.TrimSpace(w)))
		}
		list[i] = x + 0
	}
	return list, nil
}

// size is how many entries a list has. A larger number adds entries as next makes them, a smaller one takes the last away.
func size[T, U any](o owner[T], key, label string, most int, list func(*T) *[]U, next func(*Plate, *T) U) Field {
	l := limit{0, float64(most), false, fmt.Sprintf("at most %d", most)}
	return Field{
		Key: o.prefix + key, Label: label, Kind: FieldCount, Max: l.max, Why: l.why,
		Number: func(p Plate) float64 {
			v, err := o.find(&p)
			if err != nil {
				return 0
			}
			return float64(len(*list(v)))
		},
		SetNumber: func(x float64) Edit {
			return o.edit(label, func(p *Plate, v *T) error {
				n, err := wholeNumber(x)
				if err != nil || !l.holds(x) {
					return fmt.Errorf("%v entries are not possible; there can be 0 to %d", x, most)
				}
				held := list(v)
				*held = (*held)[:min(n, len(*held))]
				for len(*held) < n {
					*held = append(*held, next(p, v))
				}
				if n == 0 {
					*held = nil
				}
				return nil
			})
		},
	}
}

// derived is a number that is worked out from the document, and changes it by being set.
func (o owner[T]) derived(key, label, unit string, l limit, get func(Plate, *T) float64, set func(*Plate, *T, float64)) Field {
	return Field{
		Key: o.prefix + key, Label: label, Unit: unit, Kind: FieldNumber, Min: l.min, Max: l.max, MinOpen: l.open, Why: l.why,
		Number: func(p Plate) float64 {
			v, err := o.find(&p)
			if err != nil {
				return 0
			}
			return get(p, v)
		},
		SetNumber: func(x float64) Edit {
			return o.edit(label, func(p *Plate, v *T) error {
				if get(*p, v) != x {
					set(p, v, x)
				}
				return nil
			})
		},
	}
}
