package plate

import (
	"fmt"
	"slices"

	"platewright/plate/material"
)

// plateOwner is the owner of what belongs to the plate and no feature.
func plateOwner[T any](what, prefix string, held func(*Plate) *T) owner[T] {
	return owner[T]{find: func(p *Plate) (*T, error) { return held(p), nil }, what: what, prefix: prefix}
}

// PlateFields returns the fields of the document itself: its name and note.
func PlateFields() []Field {
	o := plateOwner("plate", "", func(p *Plate) *Plate { return p })
	return []Field{
		o.text("name", "name", "at most "+itoa(maxName)+" characters", func(p *Plate) *string { return &p.Name }),
		o.text("note", "note", "at most "+itoa(maxNote)+" characters", func(p *Plate) *string { return &p.Note }),
	}
}

// RimField returns the field of the rim's width.
func RimField() Field {
	o := plateOwner("outline", "", func(p *Plate) *float64 { return &p.Rim })
	return o.number("rim_mm", "rim width", "mm", keptWidth, func(v *float64) *float64 { return v })
}

// MachiningFields returns the fields of the work zero, the turn axis and the shop profile.
func MachiningFields() []Field {
	o := plateOwner("machining", "machining.", func(p *Plate) *Machining { return &p.Machining })
	return []Field{
		o.number("work_zero_mm[0]", "x of work zero", "mm", coordinate, func(m *Machining) *float64 { return &m.ZeroX }),
		o.number("work_zero_mm[1]", "y of work zero", "mm", coordinate, func(m *Machining) *float64 { return &m.ZeroY }),
		o.words("turn_axis", "turned over about", "the axis of the work between set-ups", axes,
			func(_ Plate, m *Machining) string { return string(m.Turn) },
			func(_ *Plate, m *Machining, s string) error { m.Turn = Axis(s); return nil }),
		o.words("shop", "shop profile", "the profile that minutes are for", nil,
			func(_ Plate, m *Machining) string { return m.Shop },
			func(_ *Plate, m *Machining, s string) error {
				if s != m.Shop {
					m.ShopHash = "" // it was that of the other profile
				}
				m.Shop = s
				return nil
			}),
	}
}

// handSource is the source of a material of which a value was typed.
const handSource = "entered by hand"

// StockFields returns the fields of the stock of p: material, thicknesses, faces and blank.
func StockFields(p Plate) []Field {
	o := plateOwner("stock", "stock.", func(p *Plate) *Stock { return &p.Stock })
	value := func(key, label, unit string, l limit, held func(*material.Material) *float64) Field {
		return o.numberThen("material."+key, label, unit, l, func(s *Stock) *float64 { return held(&s.Material) },
			func(_ *Plate, s *Stock) { s.Material.Source = handSource })
	}
	fs := []Field{
		materialField(o, p),
		value("density_kg_m3", "density", "kg/m³", density, func(m *material.Material) *float64 { return &m.Density }),
		value("youngs_modulus_mpa", "Young's modulus", "MPa", metalModulus, func(m *material.Material) *float64 { return &m.Young }),
		value("poisson_ratio", "Poisson's ratio", "", poisson, func(m *material.Material) *float64 { return &m.Poisson }),
		value("proof_stress_mpa", "proof stress", "MPa", stress, func(m *material.Material) *float64 { return &m.Proof }),
		value("ultimate_strength_mpa", "ultimate strength", "MPa", stress, func(m *material.Material) *float64 { return &m.Ultimate }),
		nominalField(o),
		o.number("finished_mm", "finished thickness", "mm", thickness, func(s *Stock) *float64 { return &s.Finished }),
		faceField(o, "top_face", "top face", func(s *Stock) *Face { return &s.Top }),
		faceField(o, "bottom_face", "bottom face", func(s *Stock) *Face { return &s.Bottom }),
	}
	return append(fs, blankFields(p)...)
}

func materialName(m material.Material) string {
	if m.Temper == "" {
		return m.Alloy
	}
	return m.Alloy + " " + m.Temper
}

func materialField(o owner[Stock], p Plate) Field {
	held := material.Alloys()
	var choices []string
	for _, m := range held {
		choices = append(choices, materialName(m))
	}
	if own := materialName(p.Stock.Material); !slices.Contains(choices, own) {
		choices = append(choices, own)
	}
	return o.words("material", "material", "alloys held with EN 485-2 strengths by thickness", choices,
		func(_ Plate, s *Stock) string { return materialName(s.Material) },
		func(_ *Plate, s *Stock, name string) error {
			i := slices.IndexFunc(held, func(m material.Material) bool { return materialName(m) == name })
			if i < 0 { // the document's own, already in use
				return nil
			}
			m, err := material.Lookup(held[i].Alloy, held[i].Temper, s.Nominal)
			if err != nil {
				return err
			}
			s.Material = m
			return nil
		})
}

// nominalField changes the stock bought. Where both faces are as supplied the plate is as thick as its stock.
func nominalField(o owner[Stock]) Field {
	f := o.number("nominal_mm", "nominal thickness", "mm", thickness, func(s *Stock) *float64 { return &s.Nominal })
	f.SetNumber = func(t float64) Edit {
		return o.edit(f.Label, func(_ *Plate, s *Stock) error {
			if s.Top == AsSupplied && s.Bottom == AsSupplied {
				s.Finished = t
			}
			return s.buy(t)
		})
	}
	return f
}

// buy changes the nominal thickness, and with it the strengths of a material that came from the tables.
func (s *Stock) buy(t float64) error {
	old, err := material.Lookup(s.Material.Alloy, s.Material.Temper, s.Nominal)
	fromTable := err == nil && old == s.Material
	s.Nominal = t
	if !fromTable || !thickness.holds(t) { // a wrong thickness is Validate's to report
		return nil
	}
	s.Material, err = material.Lookup(s.Material.Alloy, s.Material.Temper, t)
	return err
}

// leastAllowance is what facing takes from one face at least, mm: enough to clean a face of its skin and bow. Common
// practice, no source.
const leastAllowance = 0.5

// faceField changes how a face is left. The finished plate keeps its thickness: the stock becomes the next one stocked with
// an allowance for each machined face, or of the finished thickness where no face is machined.
func faceField(o owner[Stock], key, label string, held func(*Stock) *Face) Field {
	return o.words(key, label, fmt.Sprintf("a machined face needs thicker stock, by %g mm a face or more", leastAllowance), faces,
		func(_ Plate, s *Stock) string { return string(*held(s)) },
		func(_ *Plate, s *Stock, word string) error {
			*held(s) = Face(word)
			need := s.Finished
			for _, f := range []Face{s.Top, s.Bottom} {
				if f == Machined {
					need += leastAllowance
				}
			}
			switch {
			case need == s.Finished:
				return s.buy(need)
			case s.Nominal >= need:
				return nil
			}
			if next, ok := material.NextStock(need); ok {
				need = next
			}
			return s.buy(need)
		})
}

func blankFields(p Plate) []Field {
	o := plateOwner("blank", "stock.blank.", func(p *Plate) *Blank { return &p.Stock.Blank })
	fs := []Field{o.flag("fixed", "fixed rectangle", "else the box of the outline with a margin", func(b *Blank) bool { return b.Fixed },
		func(p *Plate, b *Blank, on bool) error {
			if on && !b.Fixed {
				*b = Blank{Fixed: true}
				b.X, b.Y, b.Width, b.Height = p.cornerBox()
			} else if !on && b.Fixed {
				*b = Blank{Margin: usualMargin}
			}
			return nil
		})}
	if !p.Stock.Blank.Fixed {
		return append(fs, o.number("margin_mm", "margin", "mm", margin, func(b *Blank) *float64 { return &b.Margin }))
	}
	return append(fs,
		o.number("x_mm", "x of lower left corner", "mm", coordinate, func(b *Blank) *float64 { return &b.X }),
		o.number("y_mm", "y of lower left corner", "mm", coordinate, func(b *Blank) *float64 { return &b.Y }),
		o.number("width_mm", "width", "mm", blankSide, func(b *Blank) *float64 { return &b.Width }),
		o.number("height_mm", "height", "mm", blankSide, func(b *Blank) *float64 { return &b.Height }))
}

// usualMargin is the margin of a new blank, mm: room for a cutter of 10 mm to go round. Common practice, no source.
const usualMargin = 5

// cornerBox is the box of the outline's drawn points with the usual margin: a rectangle to start a fixed blank from. The
// side of an arc can reach out of it.
func (p Plate) cornerBox() (x, y, width, height float64) {
	x0, y0, x1, y1 := p.drawnBox()
	return x0 - usualMargin, y0 - usualMargin, x1 - x0 + 2*usualMargin, y1 - y0 + 2*usualMargin
}
