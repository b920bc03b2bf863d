package plate_test

import (
	"testing"

	"platewright/plate"
	"platewright/plate/material"
)

// alloy is a material from the tables.
func alloy(t testing.TB) material.Material {
	t.Helper()
	m, err := material.Lookup("EN AW-6082", "T651", 15)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// forms is a valid plate with every form that full does not have, on a wrapped outline, every optional value set somewhere
// and absent elsewhere.
func forms(t testing.TB) plate.Plate {
	t.Helper()
	p := plate.New("Robot side")
	p.NextID = 120
	p.Stock.Finish = plate.Finish{Name: "hard anodised", Growth: 0.025, Masked: []plate.ID{1, 12}}
	p.Outline = plate.Outline{
		Kind: plate.Wrapped,
		Wraps: []plate.Wrap{
			{Feature: 1, Width: 12},
			{Feature: 2, Width: 14.5, Hollow: true, Blend: 180},
			{Feature: 3, Width: 10, Hollow: true, Blend: 90},
			{Feature: 10, Width: 9},
		},
		Chamfer: plate.EdgeChamfer{Top: 0.5, Bottom: 0.3},
	}
	formBores(&p)
	formHoles(&p)
	formRibs(&p)
	formPockets(t, &p)
	formLoads(&p)
	p.CutLines = []plate.CutLine{{ID: 90, Name: "Waist", X1: 130, Y1: -20, X2: 130, Y2: 230}}
	p.Targets = []plate.Target{
		{ID: 91, Name: "Strong", Quantity: plate.Reserve, Sense: plate.AtLeast, Value: 1.5},
		{ID: 92, Name: "Strong in braking", Quantity: plate.Reserve, Case: 80, Sense: plate.AtLeast, Value: 2},
		{ID: 93, Name: "Straight", Quantity: plate.Deflect, Case: 81, Sense: plate.AtMost, Value: 0.4},
		{ID: 94, Name: "Cheap", Quantity: plate.PieceCost, Sense: plate.AtMost, Value: 120},
	}
	p.Machining.Changes = []plate.OperationChange{
		{ID: 100, Class: "rough pocket", Feature: 40, HasCell: true, At: plate.Anchor{Grid: 32, I: 1, J: -2, K: 1}, Tool: "EM10", Order: -2, Note: "first of all"},
		{ID: 101, Feature: 41, Leave: true},
		{ID: 102, Class: "break edges", Where: "hand", Minutes: 6.5, HasCell: true, At: plate.Anchor{X: 3, Y: 4}},
	}
	p.Machining.Holding = []plate.Holding{
		{ID: 110, SetUp: 1, Kind: plate.Screw, Feature: 10},
		{ID: 111, SetUp: 2, Kind: plate.Clamp, X: 20, Y: 40, Width: 30, Height: 12, AngleDeg: 15},
		{ID: 112, Kind: plate.Vacuum},
	}
	p.Price = plate.Price{Batches: []int{1, 10, 50}, PerSet: 2, BoughtIn: "24.50"}
	return p
}

func formBores(p *plate.Plate) {
	p.Bores = []plate.Bore{
		{
			ID: 1, Name: "Wheel", X: 40, Y: 40, Diameter: 30, Boss: 10, Fit: "H8",
			Seats: []plate.Seat{
				{Side: plate.Top, Diameter: 42, Depth: 9, Fit: "N7", Bearing: "6004", Ring: plate.RingTurns, Groove: plate.Groove{Diameter: 44.5, Width: 1.85, At: 0.5}},
				{Side: plate.Top, Diameter: 50, Depth: 0.4},
				{Side: plate.Bottom, Diameter: 36, Depth: 3},
			},
		},
		{ID: 2, Name: "Drive", X: 240, Y: 60, Diameter: 25, Tolerance: 0.02, Keyway: plate.Keyway{Width: 8, Height: 3.3, AngleDeg: 90}},
		{ID: 3, Name: "Adjuster", X: 140, Y: 160, Diameter: 40, Boss: 6, Keyway: plate.Keyway{Width: 5, Height: 2}},
		{ID: 4, Name: "Plain", X: 90, Y: 110, Diameter: 20},
	}
	p.Eccentrics = []plate.Eccentric{
		{
			ID: 5, Name: "Chain tension", Bore: 3, E: 6, Inner: 20, AngleDeg: -30, LockCircle: 54, LockCount: 6, LockStart: 10,
			Lock: plate.HoleForm{Kind: plate.Tapped, Size: "M5", Side: plate.Through},
		},
		{ID: 6, Name: "Trim", Bore: 4, E: 1, Inner: 10},
	}
}

func formHoles(p *plate.Plate) {
	p.Holes = []plate.Hole{
		{ID: 10, Name: "Dowel", X: 20, Y: 150, HoleForm: plate.HoleForm{Kind: plate.Reamed, Diameter: 6, Fit: "H7", Side: plate.Through}},
		{ID: 11, Name: "Blind dowel", X: 60, Y: 90, HoleForm: plate.HoleForm{Kind: plate.Reamed, Diameter: 8, Side: plate.Top, Depth: 10, Boss: 3}},
		{ID: 12, Name: "Cap screw", X: 180, Y: 60, HoleForm: plate.HoleForm{Kind: plate.Counterbored, Size: "M8", Series: plate.Medium, Side: plate.Top}},
		{ID: 13, Name: "Low head", X: 190, Y: 90, HoleForm: plate.HoleForm{Kind: plate.Counterbored, Size: "M6", Series: plate.Fine, Side: plate.Bottom, HeadDiameter: 12, HeadDepth: 4}},
		{ID: 14, Name: "Flush", X: 200, Y: 50, HoleForm: plate.HoleForm{Kind: plate.Countersunk, Size: "M5", Series: plate.Medium, Side: plate.Top, Boss: 2}},
		{ID: 15, Name: "Wide flush", X: 210, Y: 80, HoleForm: plate.HoleForm{Kind: plate.Countersunk, Size: "M5", Series: plate.Medium, Side: plate.Bottom, HeadDiameter: 11.5}},
	}
	p.Circles = []plate.BoltCircle{
		{ID: 20, Name: "Uneven", Bore: 1, Diameter: 62, Count: 3, StartDeg: 12, Angles: []float64{0, 100, 200.5}, HoleForm: plate.HoleForm{Kind: plate.Reamed, Diameter: 5, Fit: "H7", Side: plate.Through}},
	}
	p.Rings = []plate.ClockedRing{
		{
			BoltCircle: plate.BoltCircle{ID: 21, Name: "Rake", Bore: 2, Diameter: 70, Count: 12, HoleForm: plate.HoleForm{Kind: plate.Clearance, Size: "M6", Series: plate.Medium, Side: plate.Through}},
			MateCount:  8, MateStartDeg: 5, LeastBolts: 3, WantedDeg: []float64{0, 4.5}, PositionDeg: 4.5,
		},
		{
			BoltCircle: plate.BoltCircle{ID: 22, Name: "Second rake", X: 140, Y: 30, Diameter: 30, Count: 3, Angles: []float64{0, 90, 180}, HoleForm: plate.HoleForm{Kind: plate.Tapped, Size: "M4", Side: plate.Through}},
			MateCount:  2, MateAngles: []float64{0, 90}, LeastBolts: 2,
		},
	}
	p.Slots = []plate.Slot{
		{ID: 25, Name: "Tension", X: 100, Y: 60, Length: 20, Width: 8.5, AngleDeg: 30, Side: plate.Through, Boss: 5, Fit: "H11", Position: -4, Adjusting: true},
		{ID: 26, Name: "Groove", X: 160, Y: 120, Length: 30, Width: 6, Side: plate.Bottom, Depth: 4},
	}
	p.Settings = []plate.Setting{
		{ID: 28, Name: "Low", Values: []plate.SettingValue{{Feature: 21, AngleDeg: 4.5}, {Feature: 5, AngleDeg: 170}, {Feature: 25, Position: 6.5}}},
		{ID: 29, Name: "As drawn"},
	}
	p.Setting = 28
}

func formRibs(p *plate.Plate) {
	triangle := []plate.Corner{{X: 10, Y: 10, Chamfer: 3}, {X: 120, Y: 10}, {X: 60, Y: 100, Radius: 5}}
	p.Ribs = []plate.Rib{
		{ID: 30, Name: "Bow", From: plate.RibEnd{Feature: 1}, To: plate.RibEnd{Feature: 2}, Width: 5, Arc: true, ThroughX: 140, ThroughY: 20},
		{ID: 31, Name: "To the slot", From: plate.RibEnd{Feature: 25}, To: plate.RibEnd{X: 30, Y: 120}, Width: 4},
	}
	p.Grids = []plate.Grid{
		{
			ID: 32, Name: "Triangles", Pitch: 45, AngleDeg: 7, X: 2, Y: 3, Width: 4, Fillet: 6, Fitted: true, Bounds: triangle,
			Widths: []plate.RibWidth{{At: plate.RibAnchor{Lattice: true, Family: 2, Line: -1, Segment: 3}, Width: 8}, {At: plate.RibAnchor{X: 40, Y: 50}, Width: 3}},
		},
		{ID: 33, Name: "Squares", Kind: plate.Orthogrid, Pitch: 50, PitchY: 35, X: 0, Y: 0, Width: 4, Fitted: true},
		{ID: 34, Name: "Stripes", Kind: plate.Parallel, Pitch: 30, AngleDeg: 45, X: 10, Y: 10, Width: 3},
		{ID: 35, Name: "Links", Kind: plate.Spokes, Width: 6, Hubs: []plate.ID{1, 2, 3, 10, 25}, LeastAngle: 25, Fillet: 4},
		{ID: 36, Name: "All links", Kind: plate.Spokes, Width: 5},
		{
			ID: 37, Name: "Flow", Kind: plate.Directions, Pitch: 40, X: 1, Y: 2, Width: 4, Crossed: true,
			Samples: []plate.Direction{{X: 0, Y: 0, AngleDeg: 10}, {X: 100, Y: 50, AngleDeg: -35.5}},
		},
	}
}

func formPockets(t testing.TB, p *plate.Plate) {
	square := func() []plate.Corner {
		return []plate.Corner{{X: 60, Y: 30}, {X: 90, Y: 30}, {X: 90, Y: 55}, {X: 60, Y: 55}}
	}
	p.Pockets = []plate.Pocket{
		{
			ID: 40, Name: "Both faces", Side: plate.Both, Depth: 5, DepthBack: 6, Radius: 5, Ribs: []plate.ID{32, 35}, FloorRadius: 1.5,
			Ledge: plate.Ledge{Width: 3, Depth: 2}, Kept: []plate.Anchor{{Grid: 33, I: 1, J: 1}},
			Depths: []plate.CellDepth{
				{At: plate.Anchor{Grid: 32, I: 0, J: 1, K: 1}, Depth: 3, Back: 4},
				{At: plate.Anchor{X: 50, Y: 60}, Through: true},
				{At: plate.Anchor{Grid: 33, I: 2, J: -1}, Depth: 7},
			},
		},
		{ID: 41, Name: "Drawn", Kind: plate.DrawnPocket, Side: plate.Top, Depth: 4, Radius: 4, Bounds: square(), FloorRadius: 4},
		{ID: 42, Name: "Round", Kind: plate.RoundPocket, Side: plate.Bottom, Depth: 6, Radius: 8, X: 120, Y: 90, Diameter: 30},
		{ID: 43, Name: "Long", Kind: plate.ObroundPocket, Side: plate.Through, Radius: 6, X: 170, Y: 30, Diameter: 14, Length: 40, AngleDeg: 20, Ledge: plate.Ledge{Width: 2, Depth: 3}},
	}
	p.KeepOuts = []plate.KeepOut{{ID: 45, Name: "Sticker", Bounds: square()}}
	p.Inlays = []plate.Inlay{
		{ID: 46, Name: "Panels", Pocket: 40, Cells: []plate.Anchor{{Grid: 32, I: 1, K: 1}, {X: 50, Y: 60}}, Clearance: 0.2, Radius: 5, Thickness: 2, Material: alloy(t)},
		{ID: 47, Name: "Lid", Pocket: 43, All: true, Clearance: 0.15, Thickness: 3, Material: alloy(t)},
	}
}

func formLoads(p *plate.Plate) {
	patch := func() []plate.Corner { return []plate.Corner{{X: 50, Y: 100}, {X: 70, Y: 100}, {X: 60, Y: 120}} }
	p.Supports = []plate.Support{
		{ID: 50, Name: "Axle", Kind: plate.Hinged, On: plate.Place{Feature: 1}},
		{ID: 51, Name: "Clamped patch", Kind: plate.Fixed, On: plate.Place{Bounds: patch(), Side: plate.Top}},
		{ID: 52, Name: "Runner", Kind: plate.Sliding, On: plate.Place{Feature: 25}, DirectionDeg: 30},
		{ID: 53, Name: "Mount", Kind: plate.Spring, On: plate.Place{Feature: 20}, Stiffness: [6]float64{1000, 1000, 500, 0, 0, 2e6}},
		{ID: 54, Name: "Half", Kind: plate.Symmetry, On: plate.Place{OnEdge: true, X1: 0, Y1: 0, X2: 0, Y2: 100}},
		{ID: 55, Name: "Flight", Kind: plate.Free},
	}
	p.Loads = []plate.Load{
		{ID: 60, Name: "Push", Kind: plate.BoreForce, On: plate.Place{Feature: 2}, Force: [3]float64{1200, 0, -40}, At: [3]float64{0, 0, 7.5}},
		{ID: 61, Name: "Twist", Kind: plate.Moment, On: plate.Place{Feature: 21}, Moment: [3]float64{0, 0, 25000}},
		{ID: 62, Name: "Rider", Kind: plate.RemoteForce, On: plate.Place{Bounds: patch(), Side: plate.Bottom}, Force: [3]float64{0, -800, 0}, Moment: [3]float64{1, 2, 3}, At: [3]float64{100, 400, 60}},
		{ID: 63, Name: "Bolt", Kind: plate.ClampForce, On: plate.Place{Feature: 12}, Clamp: 9000, Bearing: 13},
		{ID: 64, Name: "Edge", Kind: plate.LineForce, On: plate.Place{OnEdge: true, X1: 10, Y1: 0, X2: 90, Y2: 0}, Force: [3]float64{0, 300, 0}},
		{ID: 65, Name: "Patch", Kind: plate.AreaForce, On: plate.Place{Bounds: patch(), Side: plate.Top}, Force: [3]float64{0, 0, -500}},
		{ID: 66, Name: "Shock", Kind: plate.Acceleration, Force: [3]float64{0, -3, 0}},
		{ID: 67, Name: "Sun", Kind: plate.Temperature, Temperature: 35},
		{ID: 68, Name: "Far pull", Kind: plate.RemoteForce, On: plate.Place{Feature: 3}, Force: [3]float64{0, 0, 90}, At: [3]float64{0, 0, 200}},
	}
	p.Cases = []plate.LoadCase{
		{
			ID: 80, Name: "Braking", Kind: plate.Limit, Factor: 1.5, Supports: []plate.ID{50, 52}, Setting: 28, Mirrored: true, Cycles: 1e6,
			Loads:  []plate.LoadFactor{{Load: 60, Factor: 1}, {Load: 62, Factor: -0.5}},
			Origin: plate.Origin{Kind: plate.Worked, Text: "loaded", Event: plate.Braking, Mass: 180, Wheelbase: 1200, CentreX: 500, CentreHeight: 550, G: 0.8, Share: 0.5},
		},
		{ID: 81, Name: "Airborne", Kind: plate.Ultimate, Factor: 2, Supports: []plate.ID{55}, Loads: []plate.LoadFactor{{Load: 66, Factor: 1}}, Origin: plate.Origin{Kind: plate.Assumed}},
		{ID: 82, Name: "Rated", Kind: plate.Limit, Factor: 1, Supports: []plate.ID{51}, Loads: []plate.LoadFactor{{Load: 65, Factor: 1}}, Origin: plate.Origin{Kind: plate.Standard, Text: "EN 15194:2017, 4.3"}},
		{ID: 83, Name: "Fall", Kind: plate.Ultimate, Factor: 1, Supports: []plate.ID{53}, Loads: []plate.LoadFactor{{Load: 67, Factor: 2}}, Origin: plate.Origin{Kind: plate.Worked, Event: plate.Drop, Mass: 90, G: 5, Share: 1}},
	}
}

// half is a plate whose outline is completed by its mirror image.
func half(testing.TB) plate.Plate {
	p := plate.New("Half")
	p.Outline = plate.Outline{
		Corners: []plate.Corner{{X: 0, Y: 60}, {X: 0, Y: 0, Chamfer: 10}, {X: 120, Y: 0, Radius: 8}, {X: 120, Y: 60}},
		Mirror:  plate.Mirror{On: true, Axis: plate.AxisX, At: 60},
		Chamfer: plate.EdgeChamfer{Bottom: 1},
	}
	return p
}

// contour is a plate whose outline came as data.
func contour(testing.TB) plate.Plate {
	p := plate.New("Traced")
	p.Outline = plate.Outline{
		Kind:     plate.Contour,
		Vertices: []plate.Vertex{{X: 0, Y: 0}, {X: 100, Y: 0, Bulge: 0.41421356237309503}, {X: 120, Y: 20}, {X: 120, Y: 80, Bulge: -0.25}, {X: 0, Y: 80}},
	}
	return p
}
