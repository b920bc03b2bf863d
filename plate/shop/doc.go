// Package shop describes the shop that minutes are estimated for: a machine, its tools, cutting data, rules of practice and
// handling times, each with its source. One example profile is embedded; it is made up, and says so.
//
// Units: mm, rpm, m/min for cutting speed, mm/min for feeds and rapids, mm/s² for acceleration, kW, N·m, MPa for kc1.1,
// seconds or minutes as the field's name says, degrees in fields ending Deg. A Profile is a value; nothing in it is changed
// after Parse.
//
//	p, err := shop.Example()
//	vc, ok := p.Data("N", shop.EndMill, "solid carbide", shop.Rough, 10)
package shop
