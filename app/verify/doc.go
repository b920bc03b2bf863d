// Package verify compares what the program computes with published values: a list of cases, each with the published
// value, where it stands, whether it was read there or is from memory, and how far off the program may be.
//
// Lengths are millimetres, forces newtons, stresses MPa, differences per cent of the published value. An "element" case
// calls the element, the formula or the table by itself, on a mesh or numbers made here; a "whole program" case writes a
// document, reads it back and derives, meshes and computes as for any plate.
//
//	rows, err := verify.Run(ctx, verify.Options{Only: "strip"})
//	for _, r := range rows { fmt.Println(r.Name, r.Published, r.Computed, r.State()) }
//
// Published values are in the tables of the folder published, which are built into the program, so that an installed
// program checks itself; a test holds them equal to those that the packages' own tests read. Closed forms that are exact
// are computed here and say so. A value that nobody has read, or a figure that this version does not compute, is listed
// as not checked and is neither right nor wrong.
//
// All rows are computed in order, on the processors that the solver takes; the whole list takes some ten seconds.
package verify
