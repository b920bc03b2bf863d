package mass

import "platewright/plate/layout"

// wettedArea is the whole surface in mm²: both faces of every metal interval, the walls along the edges of the map where
// the metal of the two sides differs, and the surfaces of cones, chamfers and fillets in place of what they replace.
func wettedArea(l *layout.Layout) float64 {
	area := 0.0
	for f, metal := range l.Map.Metal {
		if len(metal) > 0 {
			area += 2 * float64(len(metal)) * l.Map.Faces[f].Region.Area()
		}
	}
	for _, e := range l.Map.Edges {
		if h := exposed(l.Map.Metal[e.Left], l.Map.Metal[e.Right]); h > 0 {
			area += h * e.Length()
		}
	}
	for i := range l.Cuts {
		area += otherSurface(&l.Cuts[i])
	}
	return area
}

// exposed is the height over which exactly one of two neighbours has metal. Both lists are sorted and disjoint, so it is
// the sum of their heights less twice that of their overlaps.
func exposed(a, b []layout.Interval) float64 {
	h := 0.0
	for _, i := range a {
		h += i.Z1 - i.Z0
	}
	for _, i := range b {
		h += i.Z1 - i.Z0
	}
	for i, j := 0, 0; i < len(a) && j < len(b); {
		if o := min(a[i].Z1, b[j].Z1) - max(a[i].Z0, b[j].Z0); o > 0 {
			h -= 2 * o
		}
		if a[i].Z1 < b[j].Z1 {
			i++
		} else {
			j++
		}
	}
	return h
}
