// Package dxf writes what a machine shop programs from: the contours of the cuts as a drawing-exchange file of version
// R2000 (AC1015), ASCII, in millimetres at full size.
//
// Every contour is in the file exactly once: closed LWPOLYLINEs whose arcs are true arcs (bulges), full circles as CIRCLEs,
// nothing chopped into chords, no text, no comments. There is a layer for each operation and depth, named for the oldest
// readers; Legend says what each means. Numbers are written as the shortest decimal that reads back as the same float64, so
// that an area measured from the file equals the layout's to 1e-9 and better. The same layout gives the same bytes.
//
// Coordinates are those of the set-up: the origin is the work zero; in the bottom file the plate is turned over about the
// axis that the document names (about X: y changes sign; about Y: x does), as it lies on the machine. What goes through
// (outline, bores, through holes, windows) is in both files, so that the two share every through feature and can be located
// on each other; what is cut from one face is in that face's file only. Faces to be milled are no contours and are not in
// the file; neither is the cone that a drill leaves below a blind hole, which the tool makes by itself.
//
// The writer is our own, and small: of the libraries that could be had, the one at hand shared state between drawings, let
// NaN through, left the owners of objects out and did not write units; what is needed here is two entities and the frame
// that R2000 asks for round them.
//
//	err := dxf.Save("rocker-top-mm.dxf", l, dxf.Options{Side: plate.Top})
package dxf
