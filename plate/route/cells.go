package route

import (
	"encoding/binary"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Equal cells are planned once. Two cells are equal when one is the other moved: the cells of an isogrid are of two kinds
// but for those that an outline or a boss cuts. A cell turned over or round is another one, since the axes of a machine need
// not be alike.

// pocketKey is what cells of one kind of pocket share.
type pocketKey struct {
	feature plate.ID
	kind    layout.CutKind
	side    plate.Side // the face it is machined from
	depth   float64
	radius  float64
	through bool
	fillet  float64 // floor radius, mm
}

// pocketGroup is the cells of one pocket, by shape.
type pocketGroup struct {
	pocketKey
	name    string
	classes []*cellClass
	cells   int
	first   geom.Point // a point of the first cell, for findings
}

// cellClass is equal cells: the region of the first, and how far each is from it.
type cellClass struct {
	text     string     // of the region, relative to its first corner
	origin   geom.Point // that corner
	moved    geom.Point // from where the work was planned, to be added to the shift of every cell
	recalled bool       // the work is an earlier plan's
	region   geom.Shape
	cells    []placedCell
	area     float64
	work     cellWork
}

type placedCell struct {
	cut   int // index into Layout.Cuts
	shift geom.Point
}

// shapeQuantum is the grid on which coordinates of cells are compared, mm: above what rounding in the kernel moves equal
// cells, below the accuracy that paths promise.
const shapeQuantum = 1e-6

// groupPockets sorts the pocket cuts of a layout into groups and classes, in the order of the cuts. Through cells are machined
// from the main face.
func groupPockets(l *layout.Layout, main plate.Side) []*pocketGroup {
	fillets := map[int]float64{} // by cell
	for i := range l.Cuts {
		if c := &l.Cuts[i]; c.Kind == layout.CutFillet && c.Sweep != nil {
			fillets[c.Cell] = c.Sweep.Leg
		}
	}
	var groups []*pocketGroup
	byKey := map[pocketKey]*pocketGroup{}
	byShape := map[*pocketGroup]map[string]*cellClass{}
	for i := range l.Cuts {
		c := &l.Cuts[i]
		if !pocketLike(c.Kind) || c.Kind == layout.CutLedge {
			continue
		}
		k := pocketKey{feature: c.Feature, kind: c.Kind, side: c.Side, depth: c.Depth(), radius: c.LeastRadius}
		if c.Kind == layout.CutPocket {
			k.fillet = fillets[c.Cell]
		}
		if c.Side == plate.Through {
			k.side, k.through = main, true
		}
		g := byKey[k]
		if g == nil {
			g = &pocketGroup{pocketKey: k, name: c.FeatureName, first: c.Region.Outer[0].A}
			groups = append(groups, g)
			byKey[k], byShape[g] = g, map[string]*cellClass{}
		}
		g.cells++
		text, origin := shapeText(c.Region)
		class := byShape[g][text]
		if class == nil {
			class = &cellClass{text: text, origin: origin, region: geom.Shape{c.Region}, area: c.Region.Area()}
			class.cells = []placedCell{{cut: i}}
			g.classes = append(g.classes, class)
			byShape[g][text] = class
			continue
		}
		class.cells = append(class.cells, placedCell{cut: i, shift: origin.Sub(class.origin)})
	}
	return groups
}

// shapeText writes a region relative to its first corner, so that equal regions have equal text. The first corner is the
// lowest of the leftmost corners on the grid.
func shapeText(r geom.Region) (string, geom.Point) {
	start := lowestEdge(r.Outer)
	origin := r.Outer[start].A
	var b []byte
	for _, c := range r.Contours() {
		first := lowestEdge(c)
		b = binary.AppendVarint(b, int64(len(c)))
		for i := range c {
			e := &c[(first+i)%len(c)]
			p, q := e.A.Sub(origin), e.C.Sub(origin)
			b = appendRounded(b, p.X, p.Y)
			b = append(b, byte(e.Dir))
			if e.IsArc() {
				b = appendRounded(b, q.X, q.Y, e.R)
			}
		}
	}
	return string(b), origin
}

func appendRounded(b []byte, xs ...float64) []byte {
	for _, x := range xs {
		b = binary.AppendVarint(b, int64(math.Round(x/shapeQuantum)))
	}
	return b
}

// lowestEdge is the edge that starts furthest left, and lowest among those as far left to a micrometre.
func lowestEdge(c geom.Contour) int {
	best := 0
	for i := range c {
		a, b := c[i].A, c[best].A
		if a.X < b.X-1e-3 || a.X < b.X+1e-3 && a.Y < b.Y-1e-3 {
			best = i
		}
	}
	return best
}

// pocketLike tells cuts that are cleared like a pocket: with a floor or through, and walls to finish.
func pocketLike(k layout.CutKind) bool {
	return k == layout.CutPocket || k == layout.CutLedge || k == layout.CutSlot
}
