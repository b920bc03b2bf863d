// Package route plans how a plate is made on the machine of a shop and how long that takes: set-ups, operations with real
// tool paths, cutting conditions with what limits them, and minutes from acceleration-limited motion. It reads the cuts of a
// layout and nothing else of the plate.
//
// Units: mm, rpm, mm/min, kW, N·m, seconds inside and minutes in the plan. Paths are in plate coordinates, seen from the top,
// z = 0 at the finished bottom face. Depths inside the package count down from the face that is up.
//
// A plan is deterministic, and never silently incomplete: what no tool of the shop can do is a finding of level error and in no
// operation.
//
// While something is dragged, Retime makes about the same plan from an earlier one in a few milliseconds. Calibrate fits a shop's
// factors to past jobs; a plan for a profile that holds them has them in its minutes and states its range by them.
//
//	plan, err := route.Make(ctx, l, profile)
//	fmt.Printf("%.0f min (%.0f to %.0f)\n", plan.CycleMin, plan.CycleLow, plan.CycleHigh)
package route
