// Package shop describes the shop that minutes and prices are estimated for: machines, tools in their holders, cutting data,
// tool life, rules of practice, handling times, services bought elsewhere, rates, and what past jobs taught; each with its
// source. Profiles are read from and written to .shop files (JSON, UTF-8, versioned, strict). One example profile is embedded;
// it is made up, and says so.
//
// Units: mm, rpm, m/min for cutting speed, mm/min for feeds and rapids, mm/s² for acceleration, kW, N·m, MPa for kc1.1,
// seconds or minutes as the field's name says, degrees in fields ending Deg. A Profile is a value; nothing in it is changed
// after Parse.
//
// Money is decimal text in the currency of the rates.
//
//	p, err := shop.Load(data) // or shop.Example()
//	vc, ok := p.Data("N", shop.EndMill, "solid carbide", shop.Rough, 10)
package shop
