// Package set holds the second kind of document: an assembly of plates with what they need to be a machine (wheels, ground,
// steering axis, cross members) and to be made together (quantity, hand, the sheet that they are cut from).
//
// A set is seen from the side: x along the ground, y up, lengths in millimetres, angles in degrees counter-clockwise from x.
// Part.Place puts a plate's drawing into that view. A part is named in the set; its plate is a file given relative to the
// set's own. Features are named by their permanent ids.
//
//	l, err := set.LoadFile(ctx, "trike.set") // the set, its plates, their shapes and findings
//	groups, err := l.PartNumbers(ctx, 0.01)  // plates that are the same, and handed pairs
package set
