package plate_test

import (
	"math"
	"testing"

	"platewright/plate"
)

// formWrongs are changes of the plate of forms, each with the finding that must follow.
func formWrongs() []wrong {
	nan := math.NaN()
	repeat := func(list []plate.Corner, n int) []plate.Corner {
		out := make([]plate.Corner, n)
		for i := range out {
			out[i] = list[0]
			out[i].X = float64(i) / 1000
		}
		return out
	}
	return []wrong{
		{"outline of no kind", func(p *plate.Plate) { p.Outline.Kind = "bent" }, "word", "the outline's kind", 0, "outline"},
		{"wrapped round nothing", func(p *plate.Plate) { p.Outline.Wraps = nil }, "wrap-few", "round nothing", 0, "outline"},
		{"wrapped twice", func(p *plate.Plate) { p.Outline.Wraps[1].Feature = 1 }, "wrap-doubled", "1 and 2", 0, "outline"},
		{"wrapped round a slot", func(p *plate.Plate) { p.Outline.Wraps[0].Feature = 25 }, "reference", "wrapped feature 1 of the plate is slot", 0, "outline"},
		{"wrapped without metal", func(p *plate.Plate) { p.Outline.Wraps[0].Width = 0 }, "number-range", "round the wrapped feature 1", 0, "outline"},
		{"hollow without radius", func(p *plate.Plate) { p.Outline.Wraps[1].Blend = 0 }, "number-range", "hollow side after the wrapped feature 2", 0, "outline"},
		{"no edge left", func(p *plate.Plate) { p.Outline.Chamfer = plate.EdgeChamfer{Top: 8, Bottom: 8} }, "edge-chamfer", "8 and 8 mm", 0, "outline"},
		{"far too many corners", func(p *plate.Plate) { p.KeepOuts[0].Bounds = repeat(p.KeepOuts[0].Bounds, 200_000) }, "count", "200000 corners", 0, "outline"},
		{"finish without a name", func(p *plate.Plate) { p.Stock.Finish.Name = "" }, "finish-name", "no name", 0, "stock"},
		{"thick finish", func(p *plate.Plate) { p.Stock.Finish.Growth = 2 }, "number-range", "the finish's growth", 0, "stock"},
		{"masked twice", func(p *plate.Plate) { p.Stock.Finish.Masked[1] = 1 }, "reference-doubled", "masked feature 1 twice", 0, "stock"},
		{"masked rib", func(p *plate.Plate) { p.Stock.Finish.Masked[0] = 30 }, "reference", "masked feature 1", 0, "stock"},
		{"radius and chamfer", func(p *plate.Plate) { p.Grids[0].Bounds[0].Radius = 1 }, "corner-both", "corner 1 of the boundary", 32, "ribs"},
		{"chamfer beside an arc", func(p *plate.Plate) { b := p.Grids[0].Bounds; b[0].Arc, b[0].ThroughX = true, 60 }, "corner-chamfer", "corner 1", 32, "ribs"},

		{"fit of a shaft", func(p *plate.Plate) { p.Bores[0].Fit = "h7" }, "fit-class", `"h7"`, 1, "bores"},
		{"fit of nothing", func(p *plate.Plate) { p.Bores[0].Fit = "H" }, "fit-class", `"H"`, 1, "bores"},
		{"fit of a huge bore", func(p *plate.Plate) { p.Bores[3].Fit, p.Bores[3].Diameter = "H7", 600 }, "fit-size", "at 600 mm", 4, "bores"},
		{"fit and tolerance", func(p *plate.Plate) { p.Bores[0].Tolerance = 0.01 }, "bore-tolerance", "H8", 1, "bores"},
		{"wide keyway", func(p *plate.Plate) { p.Bores[1].Keyway.Width = 25 }, "keyway-wide", "25 mm wide", 2, "bores"},
		{"narrow seat", func(p *plate.Plate) { p.Bores[0].Seats[2].Diameter = 30 }, "seat-narrow", "seat 3", 1, "bores"},
		{"deep seat", func(p *plate.Plate) { p.Bores[0].Seats[2].Depth = 15 }, "seat-deep", "seat 3", 1, "bores"},
		{"seats that meet", func(p *plate.Plate) { p.Bores[0].Seats[2].Depth = 6 }, "seat-meet", "9 and 6 mm", 1, "bores"},
		{"seat inside a wider one", func(p *plate.Plate) { p.Bores[0].Seats[1].Depth = 10 }, "seat-steps", "from the top", 1, "bores"},
		{"seat through", func(p *plate.Plate) { p.Bores[0].Seats[0].Side = plate.Through }, "word", "the side of seat 1", 1, "bores"},
		{"bearing of no table", func(p *plate.Plate) { p.Bores[0].Seats[0].Bearing = "9999" }, "bearing", `"9999"`, 1, "bores"},
		{"bearing of another size", func(p *plate.Plate) { p.Bores[0].Seats[0].Bearing = "6005" }, "bearing-seat", "6005 of 47 mm", 1, "bores"},
		{"shallow groove", func(p *plate.Plate) { p.Bores[0].Seats[0].Groove.Diameter = 42 }, "groove", "the groove in seat 1", 1, "bores"},
		{"groove below its seat", func(p *plate.Plate) { p.Bores[0].Seats[0].Groove.At = 8 }, "groove", "ends at 9.85 mm", 1, "bores"},
		{"seat of no depth", func(p *plate.Plate) { p.Bores[0].Seats[1].Depth = nan }, "number-not-finite", "the depth of seat 2", 1, "bores"},
		{"ring load", func(p *plate.Plate) { p.Bores[0].Seats[0].Ring = "stuck" }, "word", "outer ring", 1, "bores"},
		{"eccentric without a wall", func(p *plate.Plate) { p.Eccentrics[0].E = 10 }, "eccentric-thin", "no wall in 40 mm", 5, "bores"},
		{"two in one bore", func(p *plate.Plate) { p.Eccentrics[1].Bore = 3 }, "eccentric-doubled", "turn in one bore", 6, "bores"},
		{"eccentric in a hole", func(p *plate.Plate) { p.Eccentrics[1].Bore = 10 }, "reference", "not a bore", 6, "bores"},
		{"screws inside the bore", func(p *plate.Plate) { p.Eccentrics[0].LockCircle = 40 }, "lock-circle", "inside the bore", 5, "bores"},
		{"eccentric without offset", func(p *plate.Plate) { p.Eccentrics[1].E = 0 }, "number-range", "the offset", 6, "bores"},

		{"reamed without diameter", func(p *plate.Plate) { p.Holes[0].Diameter = 0 }, "number-range", "the reamed diameter", 10, "holes"},
		{"screw head on no face", func(p *plate.Plate) { p.Holes[2].Side = plate.Through }, "hole-side", "counterbored on no face", 12, "holes"},
		{"head of no table", func(p *plate.Plate) { p.Holes[4].Size = "M7" }, "head-size", "M7", 14, "holes"},
		{"narrow head", func(p *plate.Plate) { p.Holes[3].HeadDiameter = 6 }, "head-narrow", "has 6 mm", 13, "holes"},
		{"deep head", func(p *plate.Plate) { p.Holes[3].HeadDepth = 15 }, "head-deep", "15 mm deep", 13, "holes"},
		{"angle twice", func(p *plate.Plate) { p.Circles[0].Angles[1] = 360 }, "angles-doubled", "stand at 0°", 20, "holes"},
		{"angles uncounted", func(p *plate.Plate) { p.Circles[0].Count = 4 }, "angles-count", "3 angles for 4", 20, "holes"},
		{"mate's angle twice", func(p *plate.Plate) { p.Rings[1].MateAngles[1] = 0 }, "angles-doubled", "hole of the mates", 22, "holes"},
		{"no bolts wanted", func(p *plate.Plate) { p.Rings[0].LeastBolts = 0 }, "number-range", "least number of bolts", 21, "holes"},
		{"slot of no length", func(p *plate.Plate) { p.Slots[0].Length = 0; p.Slots[0].Position = 0 }, "number-range", "the length", 25, "holes"},
		{"beyond its slot", func(p *plate.Plate) { p.Slots[0].Position = 11 }, "slot-position", "beyond its end at 10 mm", 25, "holes"},
		{"blind slot", func(p *plate.Plate) { p.Slots[1].Depth = 0 }, "slot-depth", "has no depth", 26, "holes"},
		{"through slot with depth", func(p *plate.Plate) { p.Slots[0].Depth = 3 }, "slot-depth", "goes through", 25, "holes"},
		{"deep slot", func(p *plate.Plate) { p.Slots[1].Depth = 15 }, "slot-deep", "15 mm deep", 26, "holes"},
		{"setting of a bore", func(p *plate.Plate) { p.Settings[0].Values[0].Feature = 2 }, "reference", "adjuster 1 of setting", 28, "holes"},
		{"setting of a plain slot", func(p *plate.Plate) { p.Slots[0].Adjusting = false }, "setting-slot", "not marked as adjusting", 28, "holes"},
		{"angle of a slot", func(p *plate.Plate) { p.Settings[0].Values[2].AngleDeg = 3 }, "setting-value", "is a slot", 28, "holes"},
		{"position of a ring", func(p *plate.Plate) { p.Settings[0].Values[0].Position = 3 }, "setting-value", "is no slot", 28, "holes"},
		{"set beyond the slot", func(p *plate.Plate) { p.Settings[0].Values[2].Position = 12 }, "setting-position", "beyond the end", 28, "holes"},
		{"set twice", func(p *plate.Plate) { p.Settings[0].Values[1].Feature = 21 }, "entry-doubled", "the adjuster 21 twice", 28, "holes"},
		{"set to nothing", func(p *plate.Plate) { p.Setting = 99 }, "reference", "the setting of the plate", 0, "holes"},

		{"arc through its end", func(p *plate.Plate) { p.Ribs[0].ThroughX, p.Ribs[0].ThroughY = 40, 40 }, "rib-arc", "at one of its ends", 30, "ribs"},
		{"field of no kind", func(p *plate.Plate) { p.Grids[0].Kind = "waves" }, "word", "the kind", 32, "ribs"},
		{"second pitch", func(p *plate.Plate) { p.Grids[1].PitchY = 1; p.Grids[1].Width = 0.5 }, "pitch-second", "is 1 mm", 33, "ribs"},
		{"no samples", func(p *plate.Plate) { p.Grids[5].Samples = nil }, "samples-few", "no directions", 37, "ribs"},
		{"one hub", func(p *plate.Plate) { p.Grids[3].Hubs = p.Grids[3].Hubs[:1] }, "hubs-few", "1 hubs", 35, "ribs"},
		{"hub twice", func(p *plate.Plate) { p.Grids[3].Hubs[1] = 1 }, "reference-doubled", "the hub 1 twice", 35, "ribs"},
		{"fourth family", func(p *plate.Plate) { p.Grids[0].Widths[0].At.Family = 3 }, "number-range", "family of rib with its own width 1", 32, "ribs"},
		{"infinite sample", func(p *plate.Plate) { p.Grids[5].Samples[1].AngleDeg = math.Inf(1) }, "number-not-finite", "the direction at sample 2", 37, "ribs"},
		{"dense directions", func(p *plate.Plate) {
			p.Grids[5].Pitch, p.Grids[5].Width = 2, 1
			p.Grids[1].Pitch, p.Grids[1].PitchY, p.Grids[1].Width = 2, 0, 1
		}, "grid-dense", "cells", 0, "ribs"},

		{"pocket of no kind", func(p *plate.Plate) { p.Pockets[0].Kind = "square" }, "word", "the kind", 40, "pockets"},
		{"one depth of two", func(p *plate.Plate) {
			p.Pockets[0].DepthBack = 0
			p.Pockets[0].Ledge.Width = 0
			p.Pockets[0].FloorRadius = 0
		}, "pocket-depth", "no depth from the bottom", 40, "pockets"},
		{"depths that meet", func(p *plate.Plate) { p.Pockets[0].DepthBack = 10 }, "pocket-deep", "5 mm deep from the top and 10 mm", 40, "pockets"},
		{"fillet of a window", func(p *plate.Plate) { p.Pockets[3].FloorRadius = 1 }, "pocket-floor", "floor radius of 1 mm", 43, "pockets"},
		{"large fillet", func(p *plate.Plate) { p.Pockets[1].FloorRadius = 5 }, "floor-radius", "inside corner radius of 4 mm", 41, "pockets"},
		{"fillet above the face", func(p *plate.Plate) { p.Pockets[1].Depth = 3 }, "floor-radius", "above its depth of 3 mm", 41, "pockets"},
		{"deep ledge", func(p *plate.Plate) { p.Pockets[0].Ledge.Depth = 5 }, "ledge-deep", "5 mm below the face", 40, "pockets"},
		{"cutter as large as the pocket", func(p *plate.Plate) { p.Pockets[2].Radius = 16 }, "pocket-radius", "a pocket of 30 mm", 42, "pockets"},
		{"two depths of a cell", func(p *plate.Plate) { p.Pockets[0].Depths[1].At = p.Pockets[0].Depths[0].At }, "cell-doubled", "cell 2", 40, "pockets"},
		{"cell of no depth", func(p *plate.Plate) { p.Pockets[0].Depths[2].Depth = 0 }, "cell-depth", "0 mm deep", 40, "pockets"},
		{"cell from two sides", func(p *plate.Plate) { p.Pockets[1].Depths = p.Pockets[0].Depths[:1:1] }, "cell-depth", "cut from one side", 41, "pockets"},
		{"deep cell", func(p *plate.Plate) { p.Pockets[0].Depths[2].Depth = 15 }, "cell-deep", "15 mm deep", 40, "pockets"},
		{"drawn round nothing", func(p *plate.Plate) { p.Pockets[1].Bounds = nil }, "corners-few", "the boundary of pocket", 41, "pockets"},
		{"keep-out of nothing", func(p *plate.Plate) { p.KeepOuts[0].Bounds = nil }, "corners-few", "the boundary of keep-out", 45, "pockets"},
		{"inlay on no pocket", func(p *plate.Plate) { p.Inlays[0].Pocket = 99 }, "reference", "the feature 99", 46, "pockets"},
		{"inlay in no cell", func(p *plate.Plate) { p.Inlays[0].Cells = nil }, "inlay-cells", "no cell", 46, "pockets"},
		{"inlay that falls through", func(p *plate.Plate) { p.Pockets[3].Ledge.Width = 0 }, "inlay-seat", "without a ledge", 47, "pockets"},
		{"inlay past its ledge", func(p *plate.Plate) { p.Inlays[1].Clearance = 2 }, "inlay-seat", "2 mm of clearance", 47, "pockets"},
		{"inlay of nothing", func(p *plate.Plate) { p.Inlays[1].Thickness = 0 }, "number-range", "the thickness", 47, "pockets"},
		{"weak inlay", func(p *plate.Plate) { p.Inlays[1].Material.Ultimate = 1 }, "material-strength", "of inlay", 47, "pockets"},
		{"batch twice", func(p *plate.Plate) { p.Price.Batches[1] = 1 }, "batch-doubled", "the batch of 1", 0, "price"},
		{"batch of none", func(p *plate.Plate) { p.Price.Batches[1] = 0 }, "number-range", "the batch 2", 0, "price"},
		{"price in words", func(p *plate.Plate) { p.Price.BoughtIn = "12,50" }, "price-amount", `"12,50"`, 0, "price"},
		{"moved too far", func(p *plate.Plate) { p.Machining.Changes[0].Order = 1001 }, "number-range", "moved of change 1", 0, "machining"},
		{"done elsewhere", func(p *plate.Plate) { p.Machining.Changes[2].Where = "abroad" }, "word", "the place of change 3", 0, "machining"},
		{"held by magic", func(p *plate.Plate) { p.Machining.Holding[2].Kind = "magic" }, "word", "the kind of holding 3", 0, "machining"},
		{"screw through nothing", func(p *plate.Plate) { p.Machining.Holding[0].Feature = 0 }, "reference", "the hole of holding", 110, "machining"},
		{"change without an id", func(p *plate.Plate) { p.Machining.Changes[1].ID = 1 }, "id-doubled", "the id 1", 1, "machining"},
		{"mass of a case", func(p *plate.Plate) { p.Targets[0].Quantity, p.Targets[0].Case = plate.MassKG, 80 }, "target-case", "names a load case", 91, "targets"},
		{"no such case", func(p *plate.Plate) { p.Targets[1].Case = 50 }, "reference", "the load case of target", 92, "targets"},
	}
}

// loadWrongs are changes of supports, loads and cases.
func loadWrongs() []wrong {
	nan := math.NaN()
	on := func(p *plate.Plate, i int, at plate.Place) { p.Loads[i].On = at }
	return []wrong{
		{"load on nothing", func(p *plate.Plate) { on(p, 0, plate.Place{}) }, "place", "acts on an area", 60, "loads"},
		{"load on what was deleted", func(p *plate.Plate) { on(p, 0, plate.Place{Feature: 99}) }, "reference", "the feature 99", 60, "loads"},
		{"load on a rib", func(p *plate.Plate) { on(p, 0, plate.Place{Feature: 30}) }, "reference", "is rib", 60, "loads"},
		{"clamp on a bore", func(p *plate.Plate) { on(p, 3, plate.Place{Feature: 1}) }, "reference", "is bore", 63, "loads"},
		{"line on a bore", func(p *plate.Plate) { on(p, 4, plate.Place{Feature: 1}) }, "place", "acts on a feature", 64, "loads"},
		{"area on an edge", func(p *plate.Plate) { on(p, 5, plate.Place{OnEdge: true, X2: 5}) }, "place", "acts on the outline", 65, "loads"},
		{"area of two corners", func(p *plate.Plate) { p.Loads[5].On.Bounds = p.Loads[5].On.Bounds[:2] }, "corners-few", "the area of load", 65, "loads"},
		{"area on no face", func(p *plate.Plate) { p.Loads[5].On.Side = "" }, "word", "the side", 65, "loads"},
		{"edge of no length", func(p *plate.Plate) { p.Loads[4].On.X2 = 10 }, "edge-short", "at one place", 64, "loads"},
		{"no force", func(p *plate.Plate) { p.Loads[0].Force = [3]float64{} }, "load-zero", "is zero", 60, "loads"},
		{"no moment", func(p *plate.Plate) { p.Loads[1].Moment = [3]float64{} }, "load-zero", "is zero", 61, "loads"},
		{"no remote force", func(p *plate.Plate) { p.Loads[8].Force = [3]float64{} }, "load-zero", "is zero", 68, "loads"},
		{"no acceleration", func(p *plate.Plate) { p.Loads[6].Force = [3]float64{} }, "load-zero", "is zero", 66, "loads"},
		{"no warmth", func(p *plate.Plate) { p.Loads[7].Temperature = 0 }, "load-zero", "is zero", 67, "loads"},
		{"no preload", func(p *plate.Plate) { p.Loads[3].Clamp = 0 }, "number-range", "the preload", 63, "loads"},
		{"no annulus", func(p *plate.Plate) { p.Loads[3].Bearing = -1 }, "number-range", "annulus", 63, "loads"},
		{"force of NaN", func(p *plate.Plate) { p.Loads[0].Force[1] = nan }, "number-not-finite", "y of the force", 60, "loads"},
		{"force without end", func(p *plate.Plate) { p.Loads[0].Force[0] = math.Inf(1) }, "number-not-finite", "x of the force", 60, "loads"},
		{"force in micronewtons", func(p *plate.Plate) { p.Loads[0].Force[0] = 2e9 }, "number-range", "x of the force", 60, "loads"},
		{"far away", func(p *plate.Plate) { p.Loads[2].At[2] = 2e5 }, "number-range", "z of the point", 62, "loads"},
		{"height of NaN", func(p *plate.Plate) { p.Loads[0].At[2] = nan }, "number-not-finite", "the height of the resultant", 60, "loads"},
		{"wild moment", func(p *plate.Plate) { p.Loads[1].Moment[2] = 1e13 }, "number-range", "z of the moment", 61, "loads"},
		{"two thousand g", func(p *plate.Plate) { p.Loads[6].Force[1] = -2000 }, "number-range", "y of the acceleration", 66, "loads"},
		{"below absolute zero", func(p *plate.Plate) { p.Loads[7].Temperature = -300 }, "number-range", "the temperature", 67, "loads"},
		{"load of no kind", func(p *plate.Plate) { p.Loads[0].Kind = "wind" }, "word", "the kind", 60, "loads"},
		{"temperatures that add up", func(p *plate.Plate) { p.Cases[3].Loads[0].Factor = 20 }, "case-temperature", "add up to 700 K", 83, "loads"},
		{"modulus next to nothing", func(p *plate.Plate) { p.Stock.Material.Young = 1e-300 }, "number-range", "Young's modulus", 0, "stock"},
		{"density in g/cm³", func(p *plate.Plate) { p.Stock.Material.Density = 2.7 }, "number-range", "the density", 0, "stock"},
		{"no volume to change", func(p *plate.Plate) { p.Stock.Material.Poisson = 0.5 }, "number-range", "Poisson's ratio", 0, "stock"},
		{"no modulus", func(p *plate.Plate) { p.Stock.Material.Young = 0 }, "number-range", "Young's modulus", 0, "stock"},
		{"modulus in GPa", func(p *plate.Plate) { p.Stock.Material.Young = 70 }, "number-range", "Young's modulus", 0, "stock"},
		{"modulus in Pa", func(p *plate.Plate) { p.Stock.Material.Young = 7e10 }, "number-range", "Young's modulus", 0, "stock"},
		{"no support", func(p *plate.Plate) {
			p.Supports = nil
			p.Cases = p.Cases[:1]
			p.Cases[0].Supports = nil
			p.Targets = nil
		}, "case-unsupported", "has no support", 80, "loads"},
		{"held and flying", func(p *plate.Plate) { p.Cases[0].Supports = nil }, "case-free", "beside others", 80, "loads"},
		{"support on what was deleted", func(p *plate.Plate) { p.Supports[0].On.Feature = 99 }, "reference", "the feature 99", 50, "loads"},
		{"hinged on an area", func(p *plate.Plate) { p.Supports[0].On = p.Supports[1].On }, "place", "acts on an area", 50, "loads"},
		{"symmetric bore", func(p *plate.Plate) { p.Supports[4].On = plate.Place{Feature: 1} }, "place", "acts on a feature", 54, "loads"},
		{"loose spring", func(p *plate.Plate) { p.Supports[3].Stiffness = [6]float64{} }, "spring-free", "are 0", 53, "loads"},
		{"negative spring", func(p *plate.Plate) { p.Supports[3].Stiffness[4] = -1 }, "number-range", "y of the turning stiffness", 53, "loads"},
		{"support of no kind", func(p *plate.Plate) { p.Supports[0].Kind = "glued" }, "word", "the kind", 50, "loads"},
		{"case without loads", func(p *plate.Plate) { p.Cases[2].Loads = nil }, "case-empty", "no loads", 82, "loads"},
		{"load twice", func(p *plate.Plate) { p.Cases[0].Loads[1].Load = 60 }, "entry-doubled", "the load 60 twice", 80, "loads"},
		{"support twice", func(p *plate.Plate) { p.Cases[0].Supports[1] = 50 }, "reference-doubled", "the support 50 twice", 80, "loads"},
		{"case of a support as a load", func(p *plate.Plate) { p.Cases[2].Loads[0].Load = 50 }, "reference", "is support", 82, "loads"},
		{"factor zero", func(p *plate.Plate) { p.Cases[2].Factor = 0 }, "number-range", "the factor", 82, "loads"},
		{"factor negative", func(p *plate.Plate) { p.Cases[2].Factor = -1 }, "number-range", "the factor", 82, "loads"},
		{"factor of a load zero", func(p *plate.Plate) { p.Cases[2].Loads[0].Factor = 0 }, "load-factor", "of load 1", 82, "loads"},
		{"case of no kind", func(p *plate.Plate) { p.Cases[2].Kind = "usual" }, "word", "the kind", 82, "loads"},
		{"origin of no kind", func(p *plate.Plate) { p.Cases[2].Origin.Kind = "guessed" }, "word", "the origin", 82, "loads"},
		{"standard without a name", func(p *plate.Plate) { p.Cases[2].Origin.Text = "" }, "origin-text", "none is named", 82, "loads"},
		{"braking without a wheelbase", func(p *plate.Plate) { p.Cases[0].Origin.Wheelbase = 0 }, "origin-figures", "the wheelbase is missing", 80, "loads"},
		{"centre of mass behind the rear axle", func(p *plate.Plate) { p.Cases[0].Origin.CentreX = 1300 }, "origin-figures", "not between the axles", 80, "loads"},
		{"event of no kind", func(p *plate.Plate) { p.Cases[0].Origin.Event = "jump" }, "word", "the event", 80, "loads"},
		{"share above all", func(p *plate.Plate) { p.Cases[0].Origin.Share = 1.5 }, "number-range", "the plate's share", 80, "loads"},
		{"cycles of NaN", func(p *plate.Plate) { p.Cases[0].Cycles = nan }, "number-not-finite", "the number of cycles", 80, "loads"},
		{"setting of a case", func(p *plate.Plate) { p.Cases[0].Setting = 25 }, "reference", "the setting of load case", 80, "loads"},
		{"ten thousand cases", func(p *plate.Plate) {
			for range 10_000 {
				c := p.Cases[2]
				c.ID, c.Name = p.NextID, string(rune('A'+p.NextID%26))+" "+p.Cases[2].Name
				p.NextID++
				p.Cases = append(p.Cases, c)
			}
		}, "count", "10004 load cases", 0, "loads"},
	}
}

func TestValidateForms(t *testing.T) { findsWrongs(t, forms, append(formWrongs(), loadWrongs()...)) }

// TestValidateHalf: what is wrong with a half outline and with a contour.
func TestValidateHalf(t *testing.T) {
	findsWrongs(t, half, []wrong{
		{"off the line", func(p *plate.Plate) { p.Outline.Corners[0].Y = 59 }, "mirror-line", "corner 1 of the half outline is 1 mm off", 0, "outline"},
		{"both sides", func(p *plate.Plate) { p.Outline.Corners[2].Y = 70 }, "mirror-side", "both sides", 0, "outline"},
		{"two corners", func(p *plate.Plate) { p.Outline.Corners = p.Outline.Corners[:2] }, "corners-few", "the half outline has 2 corners", 0, "outline"},
		{"no axis", func(p *plate.Plate) { p.Outline.Mirror.Axis = "z" }, "word", "the mirror line's axis", 0, "outline"},
		{"line far off", func(p *plate.Plate) { p.Outline.Mirror.At = 6000 }, "number-range", "the mirror line's place", 0, "outline"},
	})
	findsWrongs(t, contour, []wrong{
		{"vertex twice", func(p *plate.Plate) { p.Outline.Vertices[1] = p.Outline.Vertices[0] }, "corner-doubled", "vertices 1 and 2", 0, "outline"},
		{"two straight sides", func(p *plate.Plate) { p.Outline.Vertices = []plate.Vertex{{}, {X: 1}} }, "corners-few", "2 corners", 0, "outline"},
		{"wild bulge", func(p *plate.Plate) { p.Outline.Vertices[0].Bulge = 1e6 }, "number-range", "the bulge of outline vertex 1", 0, "outline"},
	})
}
