package check

import (
	"fmt"
	"math"
	"regexp"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/material"
	"platewright/plate/shop"
)

// stock checks thickness, blank, machine and how evenly metal is taken off.
func (r *run) stock() {
	r.thickness()
	r.blank()
	r.travel()
	r.balance()
}

func (r *run) thickness() {
	t := r.l.Plate.Stock.Nominal
	metric, inch := nearest(material.StockThicknesses(), t), nearest(material.InchThicknesses(), t)
	code, fix := "thickness-not-stocked", fmt.Sprintf("take %s", mm(metric))
	if next, ok := material.NextStock(t); ok && next != metric {
		fix += fmt.Sprintf(" or %s", mm(next))
	}
	if math.Abs(inch-t) < 1e-3 {
		code = "thickness-inch"
	}
	r.test(code, math.Abs(metric-t), group{}, "", func(Rule) place {
		w := place{stage: "stock", fix: fix, at: r.l.Blank.Center()}
		w.what = fmt.Sprintf("%s is not a usual stock thickness; the nearest is %s", mm(t), mm(metric))
		if code == "thickness-inch" {
			w.what = fmt.Sprintf("%s is inch plate; the nearest metric stock is %s", mm(t), mm(metric))
		}
		return w
	})
}

func nearest(list []float64, t float64) float64 {
	best := math.Inf(1)
	for _, s := range list {
		if math.Abs(s-t) < math.Abs(best-t) {
			best = s
		}
	}
	return best
}

// blank checks the margin of the blank round the outline. An outline that stands out of the blank is for the layout to
// tell.
func (r *run) blank() {
	o, b := r.l.Outline.Box(), r.l.Blank
	sides := []struct {
		margin float64
		at     geom.Point
	}{
		{o.Min.X - b.Min.X, geom.Pt(o.Min.X, o.Center().Y)},
		{b.Max.X - o.Max.X, geom.Pt(o.Max.X, o.Center().Y)},
		{o.Min.Y - b.Min.Y, geom.Pt(o.Center().X, o.Min.Y)},
		{b.Max.Y - o.Max.Y, geom.Pt(o.Center().X, o.Max.Y)},
	}
	for _, s := range sides {
		if s.margin < -touching {
			return
		}
	}
	for _, s := range sides {
		r.test("blank-margin", s.margin, group{}, "sides", func(k Rule) place {
			return place{
				stage: "stock", at: s.at, fix: "enlarge the blank or its margin",
				what: fmt.Sprintf("the blank stands %s over the outline, limit %s", mm(s.margin), mm(k.Limit)),
			}
		})
	}
}

// travel checks that the smallest end mill gets round the outline within the travel of one of the shop's
// machines, lying either way.
func (r *run) travel() {
	d := 2 * smallest(flatMills(r.p))
	if math.IsInf(d, 1) {
		d = 0
	}
	b := r.l.Outline.Box()
	w, h := b.Width()+d, b.Height()+d
	m, over := r.p.Machine, math.Inf(1)
	for _, k := range append([]shop.Machine{r.p.Machine}, r.p.Others...) {
		along := max(w-k.Travel[0], h-k.Travel[1])
		across := max(h-k.Travel[0], w-k.Travel[1])
		if v := min(along, across); v < over {
			m, over = k, v
		}
	}
	r.test("machine-travel", over, group{}, "", func(Rule) place {
		return place{
			stage: "machining", at: b.Max,
			what: fmt.Sprintf("the plate, %.5g × %.5g mm, with a cutter of %s round it does not fit the travel of %s, %.5g × %.5g mm: %s too large",
				b.Width(), b.Height(), mm(d), m.Name, m.Travel[0], m.Travel[1], mm(over)),
			fix: "make the plate smaller, or choose a shop with a larger machine",
		}
	})
}

// relieved matches tempers whose stress is relieved, by the numbering of EN 515 (from memory): T_51, T_510, T_511 by
// stretching, T_52 by compressing, T_54 by both; and O, annealed.
var relieved = regexp.MustCompile(`^(T\d+5[124]\d?|O\d?)$`)

// balance compares what is taken off the two sides, down to the first metal from each. Where nothing is left both sides are
// relieved alike, and it does not count.
func (r *run) balance() {
	stock := r.l.Plate.Stock
	if relieved.MatchString(stock.Material.Temper) {
		return
	}
	plan := r.l.Outline.Area()
	whole := plan * (r.l.BlankZ.Z1 - r.l.BlankZ.Z0)
	if !(whole > 0) {
		return
	}
	top, bottom := stock.Allowances()
	off := map[plate.Side]float64{plate.Top: top * plan, plate.Bottom: bottom * plan}
	for f, metal := range r.l.Map.Metal {
		if len(metal) == 0 {
			continue
		}
		a := r.l.Map.Faces[f].Region.Area()
		off[plate.Top] += a * max(0, r.l.Thickness-metal[len(metal)-1].Z1)
		off[plate.Bottom] += a * max(0, metal[0].Z0)
	}
	share := math.Abs(off[plate.Top]-off[plate.Bottom]) / whole
	r.test("one-sided-removal", share, group{}, "", func(k Rule) place {
		return place{
			stage: "stock", at: r.l.Outline.Box().Center(),
			what: fmt.Sprintf("%.3g cm³ are taken off the top and %.3g cm³ off the bottom of stock in temper %q, which is not stress-relieved: the difference is %.4g of the stock, limit %g",
				off[plate.Top]/1000, off[plate.Bottom]/1000, stock.Material.Temper, share, k.Limit),
			fix: "choose a stress-relieved temper (such as T651), take the same off both sides, or rough both sides before finishing",
		}
	})
}
