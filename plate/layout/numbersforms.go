package layout

import (
	"platewright/plate"
	"platewright/plate/standard"
)

// Limits on forms, for the same reason as those on bores and ribs.
const (
	maxSeats    = 20    // of one bore
	maxSlots    = 2_000 // of the plate
	maxKeepOuts = 500
	maxInlays   = 500
	maxAngles   = 1e6 // degrees
)

func checkSide(s plate.Side) bool { return s == plate.Top || s == plate.Bottom }

// checkFit accepts no class, or one of ISO 286 that is defined at the size.
func checkFit(fit string, size float64) bool {
	if fit == "" {
		return true
	}
	_, err := standard.Fit(fit, size)
	return err == nil
}

func checkSeats(b *plate.Bore) error {
	if len(b.Seats) > maxSeats {
		return bad("bores", b.ID, b.Name, "%d seats; at most %d are allowed", len(b.Seats), maxSeats)
	}
	if !checkFit(b.Fit, b.Diameter) {
		return bad("bores", b.ID, b.Name, "fit %q is no class of ISO 286 for a diameter of %v mm; give one like H7", b.Fit, b.Diameter)
	}
	for i := range b.Seats {
		s := &b.Seats[i]
		g := &s.Groove
		switch {
		case !checkSide(s.Side):
			return bad("bores", b.ID, b.Name, "seat %d has side %q; use top or bottom", i+1, s.Side)
		case !positive(s.Diameter) || !positive(s.Depth):
			return bad("bores", b.ID, b.Name, "seat %d has diameter %v and depth %v mm; give both above 0", i+1, s.Diameter, s.Depth)
		case !orZero(g.Width) || !orZero(g.At) || !orZero(g.Diameter) || g.Width > 0 && g.Diameter == 0:
			return bad("bores", b.ID, b.Name, "the groove of seat %d has diameter %v, width %v and place %v mm; give numbers from 0", i+1, g.Diameter, g.Width, g.At)
		case !checkFit(s.Fit, s.Diameter):
			return bad("bores", b.ID, b.Name, "fit %q of seat %d is no class of ISO 286 for a diameter of %v mm; give one like H7", s.Fit, i+1, s.Diameter)
		}
	}
	if k := b.Keyway; !orZero(k.Width) || !orZero(k.Height) || !(k.AngleDeg >= -maxAngles && k.AngleDeg <= maxAngles) {
		return bad("bores", b.ID, b.Name, "the keyway has width %v, height %v and angle %v; give numbers, the first two from 0", k.Width, k.Height, k.AngleDeg)
	}
	return nil
}

// checkHeadNumbers checks the recess of a hole.
func checkHeadNumbers(h *plate.HoleForm, id plate.ID, name string) error {
	if !orZero(h.HeadDiameter) || !orZero(h.HeadDepth) {
		return bad("holes", id, name, "head diameter %v or depth %v is not a usable number; give 0 or more", h.HeadDiameter, h.HeadDepth)
	}
	if h.Kind != plate.Counterbored && h.Kind != plate.Countersunk {
		return nil
	}
	if !checkSide(h.Side) {
		return bad("holes", id, name, "side %q of the head's recess is unknown; use top or bottom", h.Side)
	}
	if r := headOf(*h); r.dia == 0 || r.kind == CutCounterbore && r.depth == 0 {
		return bad("holes", id, name, "no table holds the head of a %s screw %q; give the recess a diameter and a depth", h.Kind, h.Size)
	}
	return nil
}

// checkAngles checks the holes of a bolt circle or ring and returns their number.
func checkAngles(c *plate.BoltCircle) (int, error) {
	n := c.Count
	if len(c.Angles) > 0 {
		n = len(c.Angles)
	}
	if n < 1 || n > maxRounds {
		return 0, bad("holes", c.ID, c.Name, "%d holes; give 1 to %d", n, maxRounds)
	}
	for _, a := range c.Angles {
		if !inPlane(a) {
			return 0, bad("holes", c.ID, c.Name, "angle %v is not usable; give degrees", a)
		}
	}
	return n, nil
}

// checkAdjusters checks clocked rings and eccentrics, and returns the number of their holes.
func checkAdjusters(p *plate.Plate) (int, error) {
	n := 0
	for i := range p.Rings {
		k, err := checkCircle(&p.Rings[i].BoltCircle)
		if err != nil {
			return 0, err
		}
		if n += k; n > maxRounds {
			return n, nil
		}
	}
	for i := range p.Eccentrics {
		e := &p.Eccentrics[i]
		if !orZero(e.E) || !orZero(e.Inner) || !orZero(e.LockCircle) || !inPlane(e.AngleDeg, e.LockStart) || e.LockCount < 0 || e.LockCount > maxRounds {
			return 0, bad("bores", e.ID, e.Name, "offset %v, inner diameter %v, angle %v or the locking screws' circle %v, number %d and start %v are not usable; give numbers from 0",
				e.E, e.Inner, e.AngleDeg, e.LockCircle, e.LockCount, e.LockStart)
		}
		if !hasBore(p, e.Bore) {
			return 0, bad("bores", e.ID, e.Name, "it turns in bore %d, which does not exist; choose a bore", e.Bore)
		}
		if e.LockCount == 0 {
			continue
		}
		if !positive(e.LockCircle) {
			return 0, bad("bores", e.ID, e.Name, "its locking screws stand on a circle of %v mm; give a diameter above 0", e.LockCircle)
		}
		if err := checkForm(e.Lock, e.ID, e.Name); err != nil {
			return 0, err
		}
		if n += e.LockCount; n > maxRounds {
			return n, nil
		}
	}
	return n, nil
}

func hasBore(p *plate.Plate, id plate.ID) bool {
	for i := range p.Bores {
		if p.Bores[i].ID == id {
			return true
		}
	}
	return false
}

func checkSlotNumbers(p *plate.Plate) error {
	if len(p.Slots) > maxSlots || len(p.KeepOuts) > maxKeepOuts || len(p.Inlays) > maxInlays {
		return bad("holes", 0, "", "%d slots, %d keep-out zones and %d inlays; at most %d, %d and %d are allowed", len(p.Slots), len(p.KeepOuts), len(p.Inlays), maxSlots, maxKeepOuts, maxInlays)
	}
	for _, s := range p.Slots {
		switch {
		case !inPlane(s.X, s.Y, s.AngleDeg) || !orZero(s.Length) || !positive(s.Width) || !orZero(s.Boss) || !orZero(s.Depth):
			return bad("holes", s.ID, s.Name, "position (%v, %v), angle %v, length %v, width %v, boss %v or depth %v is not usable; give numbers, the width above 0", s.X, s.Y, s.AngleDeg, s.Length, s.Width, s.Boss, s.Depth)
		case s.Side != plate.Through && !checkSide(s.Side):
			return bad("holes", s.ID, s.Name, "side %q is unknown; use top, bottom or through", s.Side)
		case s.Side != plate.Through && !positive(s.Depth):
			return bad("holes", s.ID, s.Name, "a blind slot needs a depth above 0, not %v", s.Depth)
		case !checkFit(s.Fit, s.Width):
			return bad("holes", s.ID, s.Name, "fit %q is no class of ISO 286 for a width of %v mm; give one like H9", s.Fit, s.Width)
		}
	}
	for _, k := range p.KeepOuts {
		if len(k.Bounds) == 0 {
			return bad("pockets", k.ID, k.Name, "the keep-out zone has no boundary; draw its corners")
		}
		if err := checkCorners(k.Bounds, "pockets", k.ID, k.Name); err != nil {
			return err
		}
	}
	return nil
}

// checkPocketForm checks what a pocket may have beyond its depth and radius.
func checkPocketForm(k *plate.Pocket) error {
	switch k.Kind {
	case plate.FieldPocket:
	case plate.DrawnPocket:
		if len(k.Bounds) == 0 {
			return bad("pockets", k.ID, k.Name, "a drawn pocket needs a boundary; draw its corners")
		}
	case plate.RoundPocket, plate.ObroundPocket:
		if !inPlane(k.X, k.Y, k.AngleDeg) || !positive(k.Diameter) || !orZero(k.Length) {
			return bad("pockets", k.ID, k.Name, "centre (%v, %v), diameter %v, length %v or angle %v is not usable; give numbers, the diameter above 0", k.X, k.Y, k.Diameter, k.Length, k.AngleDeg)
		}
	default:
		return bad("pockets", k.ID, k.Name, "kind %q is unknown; use field, drawn, round or obround", k.Kind)
	}
	if k.Side == plate.Both && !positive(k.DepthBack) {
		return bad("pockets", k.ID, k.Name, "depth from the bottom is %v mm; give a depth above 0", k.DepthBack)
	}
	if !orZero(k.FloorRadius) || !orZero(k.Ledge.Width) || !orZero(k.Ledge.Depth) || k.Ledge.Width > 0 && k.Ledge.Depth == 0 {
		return bad("pockets", k.ID, k.Name, "floor radius %v or ledge of width %v and depth %v is not usable; give numbers from 0, both of the ledge above 0", k.FloorRadius, k.Ledge.Width, k.Ledge.Depth)
	}
	if len(k.Depths) > maxKept {
		return bad("pockets", k.ID, k.Name, "%d cells with a depth of their own; at most %d are allowed", len(k.Depths), maxKept)
	}
	for _, c := range k.Depths {
		if !inPlane(c.At.X, c.At.Y) || !orZero(c.Depth) || !orZero(c.Back) {
			return bad("pockets", k.ID, k.Name, "a cell with a depth of its own has the point (%v, %v) and depths %v and %v; give numbers, the depths from 0", c.At.X, c.At.Y, c.Depth, c.Back)
		}
	}
	return nil
}

func checkInlayNumbers(p *plate.Plate) error {
	for _, n := range p.Inlays {
		if !orZero(n.Clearance) || !orZero(n.Radius) || !positive(n.Thickness) || !(n.Material.Density >= 0 && n.Material.Density <= 1e6) {
			return bad("pockets", n.ID, n.Name, "clearance %v, outline radius %v, thickness %v or density %v is not usable; give numbers from 0, the thickness above 0",
				n.Clearance, n.Radius, n.Thickness, n.Material.Density)
		}
		if len(n.Cells) > maxKept {
			return bad("pockets", n.ID, n.Name, "%d cells are listed; at most %d are allowed", len(n.Cells), maxKept)
		}
		for _, a := range n.Cells {
			if !inPlane(a.X, a.Y) {
				return bad("pockets", n.ID, n.Name, "a cell is named by a point (%v, %v) that is not finite; choose the cell again", a.X, a.Y)
			}
		}
		found := false
		for i := range p.Pockets {
			found = found || p.Pockets[i].ID == n.Pocket
		}
		if !found {
			return bad("pockets", n.ID, n.Name, "it lies in pocket %d, which does not exist; choose a pocket", n.Pocket)
		}
	}
	if c := p.Outline.Chamfer; !orZero(c.Top) || !orZero(c.Bottom) {
		return bad("outline", 0, "", "edge chamfers of %v and %v mm are not usable; give 0 or more", c.Top, c.Bottom)
	}
	return nil
}
