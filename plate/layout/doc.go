// Package layout derives from a document what the plate is: every cut in shop terms, the plane divided into faces with
// their metal, and who owns which metal. Everything downstream reads these three and nothing else: machining, drawing files
// and checks the cuts; mass, section and picture the map; tables of grams the labels.
//
// Lengths are millimetres, areas mm², volumes mm³. Coordinates are those of the document seen from the top, x right and y
// up; z is 0 at the finished bottom face and the finished thickness at the top face. Regions consist of straight lines and
// circular arcs with exact radii; outer contours run counter-clockwise.
//
//	l, err := layout.Derive(document)
//	fmt.Println(l.Volume(), len(l.Cells))
//
// A form that cannot be as drawn, such as a hole outside the outline or a cell that the cutter cannot enter, is a finding,
// and the layout says what becomes of it; Derive fails only where there is no plate to speak of. A Layout is not changed
// after it is returned.
//
// Most cuts are prisms, and only these are in the map. What is none is taken off by its own exact volume: the point below a
// blind hole, a countersink outside its hole, a chamfer along the outline; a floor fillet is metal that stays. They are
// refused, or named in a finding, where they would meet anything else, so that the volumes simply add up.
//
// A head's recess whose size the document leaves open has that of the table of its screw: counterbores by DIN 974-1 and
// DIN 74 for cap screws, countersinks by ISO 10642. The 90° cone of a countersink ends at its hole.
//
// Choices that the standards leave open: a blind tapped hole is drilled 5 pitches deeper than its thread (DIN 76-1 asks
// for about 4 to 6, from memory) with a 118° point; a rib has round ends; a grid with bounds has an edge rib along them, in
// which its ribs end; a fitted grid has lines along the edges of its extent; spokes cross only where nothing else would join
// them; a slot exactly as wide as the cutter is too narrow for it.
package layout
