package plate

import (
	"cmp"
	"slices"
)

// around is the bores whose centres are the corners of the convex hull of all centres, in counter-clockwise order, by Andrew's
// monotone chain (Information Processing Letters 9, 1979).
func around(p Plate) []ID {
	list := slices.Clone(p.Bores)
	slices.SortFunc(list, func(a, b Bore) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.ID, b.ID))
	})
	list = slices.CompactFunc(list, func(a, b Bore) bool { return a.X == b.X && a.Y == b.Y })
	half := func(list []Bore) []Bore {
		var hull []Bore
		for _, b := range list {
			for n := len(hull); n > 1 && turn(hull[n-2], hull[n-1], b) <= 0; n = len(hull) {
				hull = hull[:n-1]
			}
			hull = append(hull, b)
		}
		return hull
	}
	lower := half(list)
	slices.Reverse(list)
	hull := lower
	if upper := half(list); len(list) > 1 {
		hull = append(lower[:len(lower)-1:len(lower)-1], upper[:len(upper)-1]...)
	}
	ids := make([]ID, len(hull))
	for i, b := range hull {
		ids[i] = b.ID
	}
	return ids
}

// turn is positive where a, b, c turn counter-clockwise.
func turn(a, b, c Bore) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }
