// Package report gathers the results of one job into parts (layout, mass, sections, machining, findings, targets,
// differences to a baseline), each with the key that it was computed from, and writes them as JSON, as text and as a route
// card.
//
// A part that could not be computed is absent and a finding says why; it is never zero. A Report is a value: the functions
// here return a new one and never change the one they were given, so it can be handed from a worker to a window.
//
// Units inside are those of the program: mm, kg, MPa, N, rad, and minutes for times. The JSON keys carry their unit and
// angles are degrees there. x is right and y up seen from the top; z = 0 at the finished bottom face. In a section s runs
// along the cut line and z through the thickness.
//
// One call does everything that the command line prints:
//
//	r, err := report.Build(ctx, report.Inputs{Plate: p, Profile: profile})
//	data, err := r.JSON(report.All)
//
// A window that follows a drag takes the same path in two steps, and shows what it has in between:
//
//	r, err := report.Frame(ctx, in)   // layout, mass, geometric findings: within a frame
//	r = r.With(last)                  // parts of the last report, out of date, to be shown greyed
//	r, err = r.Follow(ctx)            // sections, machining: when there is time
package report
