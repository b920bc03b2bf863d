package layout

import (
	"fmt"
	"math"

	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/standard"
)

// Limits on a document, so that no derivation needs unbounded time or memory. They are far above any plate that could be
// made in one piece.
const (
	maxRounds  = 20_000 // bores and holes together
	maxRibs    = 5_000  // drawn ribs
	maxGrids   = 50
	maxPockets = 500
	maxCorners = 20_000  // of one path
	maxKept    = 5_000   // anchors of one pocket
	maxLines   = 2_000   // lines of one family of one grid across the plate
	maxTiles   = 60_000  // triangles or rectangles of one grid over the plate
	maxWidths  = 5_000   // local widths of one grid
	maxHubs    = 150     // bores and holes that one field of spokes joins
	maxSamples = 20_000  // directions that one field of ribs is given by
	maxTraced  = 40_000  // steps along the ribs of one field of directions
	maxWraps   = 1_000   // rounds of a wrapped outline
	maxDivided = 200_000 // ribs and triangles, summed over the pockets that they divide
)

// checkNumbers refuses documents that nothing can be derived from: numbers that are not finite or have the wrong sign,
// thread sizes that no table holds, references to nothing, counts beyond the limits. It repeats what the document's own
// validation says, because a layout must not hang or panic on a document that was never validated.
func checkNumbers(p *plate.Plate) error {
	for _, f := range []func(*plate.Plate) error{checkStock, checkBores, checkHoles, checkRibs, checkSlotNumbers, checkPockets, checkInlayNumbers} {
		if err := f(p); err != nil {
			return err
		}
	}
	return nil
}

// bad makes the error for one feature.
func bad(stage string, id plate.ID, name, format string, args ...any) error {
	return &DeriveError{Feature: id, FeatureName: name, Stage: stage, What: fmt.Sprintf(format, args...)}
}

func inPlane(vs ...float64) bool {
	for _, v := range vs {
		if !(math.Abs(v) <= geom.MaxCoord) {
			return false
		}
	}
	return true
}

// positive and orZero report whether v is a length above zero, or one from zero on.
func positive(v float64) bool { return v > 0 && v <= geom.MaxCoord }
func orZero(v float64) bool   { return v >= 0 && v <= geom.MaxCoord }

func checkStock(p *plate.Plate) error {
	s := &p.Stock
	switch {
	case !positive(s.Finished):
		return bad("stock", 0, "", "finished thickness is %v mm; give a thickness above 0", s.Finished)
	case !positive(s.Nominal) || s.Nominal < s.Finished:
		return bad("stock", 0, "", "nominal thickness is %v mm; give at least the finished %v mm", s.Nominal, s.Finished)
	case s.Blank.Fixed && !(inPlane(s.Blank.X, s.Blank.Y) && positive(s.Blank.Width) && positive(s.Blank.Height)):
		return bad("stock", 0, "", "the blank has no size: %v × %v mm; give it a width and height above 0", s.Blank.Width, s.Blank.Height)
	case !s.Blank.Fixed && !orZero(s.Blank.Margin):
		return bad("stock", 0, "", "blank margin is %v mm; give 0 or more", s.Blank.Margin)
	case !orZero(p.Rim):
		return bad("outline", 0, "", "rim width is %v mm; give 0 or more", p.Rim)
	}
	return checkOutline(&p.Outline)
}

func checkCorners(cs []plate.Corner, stage string, id plate.ID, name string) error {
	if len(cs) > maxCorners {
		return bad(stage, id, name, "%d corners; at most %d are allowed", len(cs), maxCorners)
	}
	for i, c := range cs {
		if !inPlane(c.X, c.Y) || !orZero(c.Radius) || !orZero(c.Chamfer) || c.Arc && !inPlane(c.ThroughX, c.ThroughY) {
			return bad(stage, id, name, "corner %d (%v, %v, radius %v) has a number that is not finite or out of range; give it numbers in mm",
				i+1, c.X, c.Y, c.Radius)
		}
	}
	return nil
}

func checkBores(p *plate.Plate) error {
	for _, b := range p.Bores {
		if !inPlane(b.X, b.Y) || !positive(b.Diameter) || !orZero(b.Boss) || !orZero(b.Tolerance) {
			return bad("bores", b.ID, b.Name, "position (%v, %v), diameter %v, boss %v or tolerance %v is not a usable number; give a diameter above 0 and the others from 0",
				b.X, b.Y, b.Diameter, b.Boss, b.Tolerance)
		}
		if err := checkSeats(&b); err != nil {
			return err
		}
	}
	return nil
}

func checkHoles(p *plate.Plate) error {
	n := len(p.Bores) + len(p.Holes)
	for _, h := range p.Holes {
		if !inPlane(h.X, h.Y) {
			return bad("holes", h.ID, h.Name, "position (%v, %v) is not usable; give numbers in mm", h.X, h.Y)
		}
		if err := checkForm(h.HoleForm, h.ID, h.Name); err != nil {
			return err
		}
	}
	for i := range p.Circles {
		k, err := checkCircle(&p.Circles[i])
		if err != nil {
			return err
		}
		if n += k; n > maxRounds {
			break
		}
	}
	k, err := checkAdjusters(p)
	if err != nil {
		return err
	}
	if n+k > maxRounds {
		return bad("holes", 0, "", "more than %d bores and holes; divide the plate or delete some", maxRounds)
	}
	return nil
}

// checkCircle checks a bolt circle and returns the number of its holes.
func checkCircle(c *plate.BoltCircle) (int, error) {
	if !inPlane(c.X, c.Y, c.StartDeg) || !positive(c.Diameter) {
		return 0, bad("holes", c.ID, c.Name, "position (%v, %v), start %v or diameter %v is not usable; give numbers, the diameter above 0", c.X, c.Y, c.StartDeg, c.Diameter)
	}
	n, err := checkAngles(c)
	if err != nil {
		return 0, err
	}
	return n, checkForm(c.HoleForm, c.ID, c.Name)
}

func checkForm(h plate.HoleForm, id plate.ID, name string) error {
	if !orZero(h.Boss) || !orZero(h.Depth) {
		return bad("holes", id, name, "boss %v or depth %v is not a usable number; give 0 or more", h.Boss, h.Depth)
	}
	var ok bool
	switch h.Kind {
	case plate.Clearance, plate.Counterbored, plate.Countersunk:
		_, ok = standard.ClearanceDiameter(h.Size, string(h.Series))
	case plate.Tapped:
		_, _, ok = standard.TapDrill(h.Size)
	case plate.Reamed:
		if ok = positive(h.Diameter) && checkFit(h.Fit, h.Diameter); !ok {
			return bad("holes", id, name, "a reamed hole of diameter %v mm and fit %q; give a diameter above 0 and a class of ISO 286 like H7", h.Diameter, h.Fit)
		}
	default:
		return bad("holes", id, name, "kind %q is unknown; use clearance, tapped, reamed, counterbored or countersunk", h.Kind)
	}
	if !ok {
		return bad("holes", id, name, "no table holds %s %q in series %q; use one of %v", h.Kind, h.Size, h.Series, standard.Sizes())
	}
	switch h.Side {
	case plate.Through, plate.Top, plate.Bottom:
	default:
		return bad("holes", id, name, "side %q is unknown; use top, bottom or through", h.Side)
	}
	if err := checkHeadNumbers(&h, id, name); err != nil || h.Kind == plate.Counterbored || h.Kind == plate.Countersunk {
		return err
	}
	if h.Side != plate.Through && !(h.Depth > 0) {
		return bad("holes", id, name, "a blind hole needs a depth above 0")
	}
	return nil
}

func checkPockets(p *plate.Plate) error {
	if len(p.Pockets) > maxPockets {
		return bad("pockets", 0, "", "%d pockets; at most %d are allowed", len(p.Pockets), maxPockets)
	}
	for _, k := range p.Pockets {
		switch k.Side {
		case plate.Top, plate.Bottom, plate.Both:
			if !positive(k.Depth) {
				return bad("pockets", k.ID, k.Name, "depth is %v mm; give a depth above 0", k.Depth)
			}
		case plate.Through:
		default:
			return bad("pockets", k.ID, k.Name, "side %q is unknown; use top, bottom, both or through", k.Side)
		}
		if err := checkPocketForm(&k); err != nil {
			return err
		}
		if !positive(k.Radius) || !orZero(k.LeastArea) {
			return bad("pockets", k.ID, k.Name, "inside corner radius %v or least area %v is not usable; give a radius above 0 and an area from 0", k.Radius, k.LeastArea)
		}
		if len(k.Ribs) > maxRibs+maxGrids {
			return bad("pockets", k.ID, k.Name, "%d ribs are listed; at most %d are allowed", len(k.Ribs), maxRibs+maxGrids)
		}
		if len(k.Kept) > maxKept {
			return bad("pockets", k.ID, k.Name, "%d kept cells; at most %d are allowed", len(k.Kept), maxKept)
		}
		for _, a := range k.Kept {
			if !inPlane(a.X, a.Y) {
				return bad("pockets", k.ID, k.Name, "a kept cell is named by a point (%v, %v) that is not finite; choose the cell again", a.X, a.Y)
			}
		}
		if err := checkCorners(k.Bounds, "pockets", k.ID, k.Name); err != nil {
			return err
		}
	}
	return nil
}
