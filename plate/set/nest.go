package set

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"slices"

	"platewright/plate"
	"platewright/plate/material"
)

// Laid is one plate on a sheet: the box of its outline with its lower left corner at X, Y, turned by a quarter when Turned.
type Laid struct {
	Part          string
	X, Y          float64 // mm from the sheet's lower left corner
	Width, Height float64 // as laid, mm
	Turned        bool
}

// Layer is one sheet with what lies on it. Cut is the box of the sheet that is used up, from its lower left corner, edges
// included: what is beyond goes back to the rack.
type Layer struct {
	Laid   []Laid
	Cut    [2]float64 // mm
	Plates float64    // area of the plates' outlines, mm²
}

// Nest is the plates of one or more sets on sheets of one material and thickness.
type Nest struct {
	Material  material.Material
	Thickness float64 // nominal, mm
	Layers    []Layer
	SheetKG   float64 // of what is used up
	PlatesKG  float64 // of the outlines at the nominal thickness, before any pocket
	BuyToFly  float64 // SheetKG ÷ finished mass of the plates, where that is given; 0 else
}

// maxNested bounds the pieces of one nest.
const maxNested = 2000

// nestPiece is one plate to lay.
type nestPiece struct {
	part string
	w, h float64
	area float64
}

// Nest lays the plates of sets sets of l on its sheets, plates of one material and thickness together. Boxes of the outlines
// are laid, not the outlines themselves, gap apart and edge away from the sheet's edges; mass, by part name, is the finished
// mass in kg of one piece and may be nil. The method is that of free rectangles by best short side (J. Jylänki, A thousand
// ways to pack the bin, 2010, from memory), over every order of up to six
// pieces and many of more; the fewest sheets win, then the least length
// used up. Errors: no sheet, a plate that fits none, too many pieces, and that of ctx.
func (l *Loaded) Nest(ctx context.Context, sets int, mass map[string]float64) ([]Nest, error) {
	sh := l.Sheet
	if !(sh.Length > 0) || !(sh.Width > 0) {
		return nil, fmt.Errorf("set %q: there is no sheet to nest on; give the set a sheet with a length and a width", l.Name)
	}
	if sets < 1 {
		return nil, fmt.Errorf("set %q: %d sets to nest; give 1 or more", l.Name, sets)
	}
	var groups []*nestGroup
	n := 0
	for i, p := range l.Parts {
		stock := l.Plates[i].Stock
		box := l.Shapes[i].Outline().Box()
		w, h := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y
		if !fits(sh, w, h) && (sh.Grain || !fits(sh, h, w)) {
			return nil, fmt.Errorf("part %q of %.4g × %.4g mm does not fit a sheet of %.4g × %.4g mm with %.4g mm free at its edges",
				p.Name, w, h, sh.Length, sh.Width, sh.Edge)
		}
		g := groupOf(&groups, stock)
		// The bound comes before anything is multiplied out: quantities are the user's.
		if count := float64(p.Quantity) * float64(sets); count > maxNested || n+int(count) > maxNested {
			return nil, fmt.Errorf("set %q: more than %d plates to nest; nest fewer sets at once", l.Name, maxNested)
		}
		for range p.Quantity * sets {
			g.pieces = append(g.pieces, nestPiece{p.Name, w, h, l.Shapes[i].Outline().Area()})
			n++
		}
		g.finished += mass[p.Name] * float64(p.Quantity*sets)
	}
	var out []Nest
	for _, g := range groups {
		nest, err := g.nest(ctx, sh)
		if err != nil {
			return nil, err
		}
		out = append(out, nest)
	}
	return out, nil
}

func fits(s Sheet, w, h float64) bool {
	return w <= s.Length-2*s.Edge+nestTol && h <= s.Width-2*s.Edge+nestTol
}

// nestTol is far below a saw's kerf and far above rounding, mm.
const nestTol = 1e-6

// nestGroup is what is cut from one kind of sheet.
type nestGroup struct {
	stock    plate.Stock
	pieces   []nestPiece
	finished float64 // kg
}

func groupOf(groups *[]*nestGroup, s plate.Stock) *nestGroup {
	for _, g := range *groups {
		if g.stock.Material.Alloy == s.Material.Alloy && g.stock.Material.Temper == s.Material.Temper && g.stock.Nominal == s.Nominal {
			return g
		}
	}
	g := &nestGroup{stock: s}
	*groups = append(*groups, g)
	return g
}

// orders are the orders in which pieces are tried; ties keep the order of the set.
var orders = []func(a, b nestPiece) int{
	func(a, b nestPiece) int { return cmp.Compare(b.w*b.h, a.w*a.h) },
	func(a, b nestPiece) int { return cmp.Compare(max(b.w, b.h), max(a.w, a.h)) },
	func(a, b nestPiece) int { return cmp.Compare(min(b.w, b.h), min(a.w, a.h)) },
	func(a, b nestPiece) int { return cmp.Compare(b.w+b.h, a.w+a.h) },
}

// allOrders is the number of pieces up to which every order is tried, shuffles how many orders by chance are tried beyond.
// The chance is seeded: one set has one nest.
const (
	allOrders = 6
	shuffles  = 200
)

// arrangements are the orders in which the pieces are tried. What they yield is reused.
func (g *nestGroup) arrangements() iter.Seq[[]nestPiece] {
	return func(yield func([]nestPiece) bool) {
		p := slices.Clone(g.pieces)
		if len(p) <= allOrders {
			everyOrder(p, 0, yield)
			return
		}
		for _, order := range orders {
			slices.SortStableFunc(p, order)
			if !yield(p) {
				return
			}
		}
		rng := rand.New(rand.NewPCG(1, 2))
		for range min(shuffles, 40_000/len(p)) {
			rng.Shuffle(len(p), func(i, j int) { p[i], p[j] = p[j], p[i] })
			if !yield(p) {
				return
			}
		}
	}
}

func everyOrder(p []nestPiece, k int, yield func([]nestPiece) bool) bool {
	if k == len(p) {
		return yield(p)
	}
	for i := k; i < len(p); i++ {
		p[k], p[i] = p[i], p[k]
		if !everyOrder(p, k+1, yield) {
			return false
		}
		p[k], p[i] = p[i], p[k]
	}
	return true
}

func (g *nestGroup) nest(ctx context.Context, sh Sheet) (Nest, error) {
	var best []Layer
	for p := range g.arrangements() {
		layers, err := lay(ctx, sh, p)
		if err != nil {
			return Nest{}, err
		}
		if best == nil || better(layers, best) {
			best = layers
		}
	}
	n := Nest{Material: g.stock.Material, Thickness: g.stock.Nominal, Layers: best}
	perArea := g.stock.Material.Density * g.stock.Nominal * 1e-9 // kg/mm²
	for _, l := range best {
		n.SheetKG += l.Cut[0] * l.Cut[1] * perArea
		n.PlatesKG += l.Plates * perArea
	}
	if g.finished > 0 {
		n.BuyToFly = n.SheetKG / g.finished
	}
	return n, nil
}

// better prefers fewer sheets, then less of the last one used up, then less of all.
func better(a, b []Layer) bool {
	if len(a) != len(b) {
		return len(a) < len(b)
	}
	used := func(ls []Layer) (last, all float64) {
		for _, l := range ls {
			last = l.Cut[0] * l.Cut[1]
			all += last
		}
		return last, all
	}
	la, aa := used(a)
	lb, ab := used(b)
	if math.Abs(la-lb) > nestTol {
		return la < lb
	}
	return aa < ab-nestTol
}

// free is a free rectangle of a sheet.
type free struct{ x0, y0, x1, y1 float64 }

// lay puts the pieces down one after the other, each where the least is left beside it, and takes a new sheet when it fits
// nowhere.
func lay(ctx context.Context, sh Sheet, pieces []nestPiece) ([]Layer, error) {
	var layers []Layer
	var frees [][]free
	for _, p := range pieces {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		on, at, turned, ok := -1, free{}, false, false
		for i := range layers {
			if at, turned, ok = spot(frees[i], sh, p); ok {
				on = i
				break
			}
		}
		if on < 0 {
			// A gap beyond the last piece lies outside the usable area, so that the area for boxes with their gap is larger by one.
			layers = append(layers, Layer{})
			frees = append(frees, []free{{sh.Edge, sh.Edge, sh.Length - sh.Edge + sh.Gap, sh.Width - sh.Edge + sh.Gap}})
			on = len(layers) - 1
			at, turned, _ = spot(frees[on], sh, p) // fits an empty sheet, as was checked
		}
		w, h := p.w, p.h
		if turned {
			w, h = h, w
		}
		l := &layers[on]
		l.Laid = append(l.Laid, Laid{p.part, at.x0, at.y0, w, h, turned})
		l.Plates += p.area
		l.Cut[0] = max(l.Cut[0], min(at.x0+w+sh.Edge, sh.Length))
		l.Cut[1] = max(l.Cut[1], min(at.y0+h+sh.Edge, sh.Width))
		frees[on] = take(frees[on], free{at.x0, at.y0, at.x0 + w + sh.Gap, at.y0 + h + sh.Gap})
	}
	return layers, nil
}

// spot finds the free rectangle in which the piece leaves the shortest rest on its closer side.
func spot(fs []free, sh Sheet, p nestPiece) (at free, turned, ok bool) {
	best := [2]float64{math.Inf(1), math.Inf(1)}
	for _, f := range fs {
		for _, t := range []bool{false, true} {
			w, h := p.w+sh.Gap, p.h+sh.Gap
			if t {
				if sh.Grain {
					break
				}
				w, h = h, w
			}
			dw, dh := f.x1-f.x0-w, f.y1-f.y0-h
			if dw < -nestTol || dh < -nestTol {
				continue
			}
			score := [2]float64{min(dw, dh), max(dw, dh)}
			if score[0] < best[0] || score[0] == best[0] && score[1] < best[1] {
				best, at, turned, ok = score, f, t, true
			}
		}
	}
	return at, turned, ok
}

// take cuts a used rectangle out of the free ones and drops those that lie in others.
func take(fs []free, u free) []free {
	var out []free
	for _, f := range fs {
		if u.x0 >= f.x1 || u.x1 <= f.x0 || u.y0 >= f.y1 || u.y1 <= f.y0 {
			out = append(out, f)
			continue
		}
		for _, r := range []free{
			{f.x0, f.y0, u.x0, f.y1}, {u.x1, f.y0, f.x1, f.y1}, {f.x0, f.y0, f.x1, u.y0}, {f.x0, u.y1, f.x1, f.y1},
		} {
			if r.x1-r.x0 > nestTol && r.y1-r.y0 > nestTol {
				out = append(out, r)
			}
		}
	}
	kept := out[:0:0]
	for i, a := range out {
		inside := false
		for j, b := range out {
			if i != j && a.x0 >= b.x0 && a.y0 >= b.y0 && a.x1 <= b.x1 && a.y1 <= b.y1 && (a != b || j < i) {
				inside = true
				break
			}
		}
		if !inside {
			kept = append(kept, a)
		}
	}
	return kept
}
