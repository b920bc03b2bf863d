// Package check judges a plate by rules of making and of strength of material: inside corner radius against cutter and
// depth, reach, walls, floors, ligaments, edge distances, holes and threads, stock, blank, machine.
//
// Every rule stands in one table (Rules) with its code, level, limit, reason and source; sources that disagree are named
// beside the figure used. Lengths are millimetres in plate coordinates. What layout finds while it derives a plate stands in
// Layout.Findings and is not repeated here.
//
//	findings := check.Run(l, profile)
package check
