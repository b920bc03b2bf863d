package plate

import "platewright/plate/material"

// The structs of version 1 of the file. They are never the document's types: the document may change, a file that was once
// written may not. The tags serve the writer; the reader in readv1.go names the keys itself.

type fileV1 struct {
	Format    string      `json:"format"`
	Version   int         `json:"version"`
	Name      string      `json:"name"`
	Note      string      `json:"note,omitempty"`
	NextID    int64       `json:"next_id"`
	Stock     stockV1     `json:"stock"`
	Outline   outlineV1   `json:"outline"`
	Rim       float64     `json:"rim_mm,omitempty"`
	Bores     []boreV1    `json:"bores,omitempty"`
	Holes     []holeV1    `json:"holes,omitempty"`
	Circles   []circleV1  `json:"bolt_circles,omitempty"`
	Ribs      []ribV1     `json:"ribs,omitempty"`
	Grids     []gridV1    `json:"grids,omitempty"`
	Pockets   []pocketV1  `json:"pockets,omitempty"`
	CutLines  []cutLineV1 `json:"cut_lines,omitempty"`
	Targets   []targetV1  `json:"targets,omitempty"`
	Machining machiningV1 `json:"machining"`
}

type stockV1 struct {
	Material materialV1 `json:"material"`
	Nominal  float64    `json:"nominal_mm"`
	Finished *float64   `json:"finished_mm,omitempty"` // absent: as nominal
	Top      string     `json:"top_face,omitempty"`    // absent: as supplied
	Bottom   string     `json:"bottom_face,omitempty"`
	Blank    blankV1    `json:"blank"`
}

type materialV1 struct {
	Alloy    string  `json:"alloy"`
	Temper   string  `json:"temper"`
	Density  float64 `json:"density_kg_m3"`
	Young    float64 `json:"youngs_modulus_mpa"`
	Poisson  float64 `json:"poisson_ratio"`
	Proof    float64 `json:"proof_stress_mpa"`
	Ultimate float64 `json:"ultimate_strength_mpa"`
	Group    string  `json:"machining_group"`
	Source   string  `json:"source,omitempty"`
}

// blankV1 has either the margin or the rectangle.
type blankV1 struct {
	Margin *float64 `json:"margin_mm,omitempty"`
	X      *float64 `json:"x_mm,omitempty"`
	Y      *float64 `json:"y_mm,omitempty"`
	Width  *float64 `json:"width_mm,omitempty"`
	Height *float64 `json:"height_mm,omitempty"`
}

type outlineV1 struct {
	Kind    string     `json:"kind"`
	Corners []cornerV1 `json:"corners"`
}

type cornerV1 struct {
	X       float64     `json:"x_mm"`
	Y       float64     `json:"y_mm"`
	Radius  float64     `json:"radius_mm,omitempty"`
	Through *[2]float64 `json:"through_mm,omitempty"`
}

type boreV1 struct {
	ID        int64   `json:"id"`
	Name      string  `json:"name"`
	X         float64 `json:"x_mm"`
	Y         float64 `json:"y_mm"`
	Diameter  float64 `json:"diameter_mm"`
	Boss      float64 `json:"boss_mm,omitempty"`
	Tolerance float64 `json:"tolerance_mm,omitempty"`
}

type formV1 struct {
	Kind   string  `json:"kind"`
	Size   string  `json:"size"`
	Series string  `json:"series,omitempty"`
	Side   string  `json:"side,omitempty"` // absent: through
	Depth  float64 `json:"depth_mm,omitempty"`
	Boss   float64 `json:"boss_mm,omitempty"`
}

type holeV1 struct {
	ID   int64   `json:"id"`
	Name string  `json:"name"`
	X    float64 `json:"x_mm"`
	Y    float64 `json:"y_mm"`
	formV1
}

// circleV1 has either the bore or the place of its centre.
type circleV1 struct {
	ID       int64    `json:"id"`
	Name     string   `json:"name"`
	Bore     *int64   `json:"bore,omitempty"`
	X        *float64 `json:"x_mm,omitempty"`
	Y        *float64 `json:"y_mm,omitempty"`
	Diameter float64  `json:"diameter_mm"`
	Count    int64    `json:"count"`
	Start    float64  `json:"start_deg,omitempty"`
	formV1
}

// endV1 has either the feature or the place.
type endV1 struct {
	Feature *int64   `json:"feature,omitempty"`
	X       *float64 `json:"x_mm,omitempty"`
	Y       *float64 `json:"y_mm,omitempty"`
}

type ribV1 struct {
	ID    int64   `json:"id"`
	Name  string  `json:"name"`
	From  endV1   `json:"from"`
	To    endV1   `json:"to"`
	Width float64 `json:"width_mm"`
}

type gridV1 struct {
	ID     int64      `json:"id"`
	Name   string     `json:"name"`
	Kind   string     `json:"kind"`
	Pitch  float64    `json:"pitch_mm"`
	Angle  float64    `json:"angle_deg,omitempty"`
	X      float64    `json:"x_mm"`
	Y      float64    `json:"y_mm"`
	Width  float64    `json:"width_mm"`
	Bounds []cornerV1 `json:"bounds,omitempty"`
}

type pocketV1 struct {
	ID        int64      `json:"id"`
	Name      string     `json:"name"`
	Side      string     `json:"side"`
	Depth     float64    `json:"depth_mm,omitempty"`
	Radius    float64    `json:"inside_corner_radius_mm"`
	Bounds    []cornerV1 `json:"bounds,omitempty"`
	Ribs      ribsV1     `json:"ribs"`
	LeastArea float64    `json:"least_area_mm2,omitempty"`
	Kept      []anchorV1 `json:"kept,omitempty"`
}

// ribsV1 is the word "all" or a list of ids.
type ribsV1 struct {
	all bool
	ids []int64
}

// anchorV1 has either the triangle of a grid or the place.
type anchorV1 struct {
	Grid *int64   `json:"grid,omitempty"`
	I    *int64   `json:"i,omitempty"`
	J    *int64   `json:"j,omitempty"`
	K    *int64   `json:"k,omitempty"`
	X    *float64 `json:"x_mm,omitempty"`
	Y    *float64 `json:"y_mm,omitempty"`
}

type cutLineV1 struct {
	ID   int64      `json:"id"`
	Name string     `json:"name"`
	From [2]float64 `json:"from_mm"`
	To   [2]float64 `json:"to_mm"`
}

// targetV1 has the one value whose unit is that of its quantity.
type targetV1 struct {
	ID        int64    `json:"id"`
	Name      string   `json:"name"`
	Quantity  string   `json:"quantity"`
	CutLine   int64    `json:"cut_line,omitempty"`
	Sense     string   `json:"sense"`
	Mass      *float64 `json:"value_kg,omitempty"`
	Minutes   *float64 `json:"value_min,omitempty"`
	Ratio     *float64 `json:"value,omitempty"`
	Stiffness *float64 `json:"value_n_mm2,omitempty"`
}

// value is the field of the target's quantity and its key.
func (t *targetV1) value() (key string, field **float64) {
	switch Quantity(t.Quantity) {
	case MassKG:
		return "value_kg", &t.Mass
	case CycleMin:
		return "value_min", &t.Minutes
	case SectionEI:
		return "value_n_mm2", &t.Stiffness
	default:
		return "value", &t.Ratio
	}
}

type machiningV1 struct {
	Zero     [2]float64 `json:"work_zero_mm"`
	Turn     string     `json:"turn_axis"`
	Shop     string     `json:"shop"`
	ShopHash string     `json:"shop_hash,omitempty"`
}

// plate turns the file into the document.
func (f *fileV1) plate() Plate {
	m := f.Machining
	return Plate{
		Name: f.Name, Note: f.Note, NextID: ID(f.NextID),
		Stock: f.Stock.stock(), Outline: Outline{Corners: corners(f.Outline.Corners)}, Rim: f.Rim,
		Bores: each(f.Bores, boreV1.bore), Holes: each(f.Holes, holeV1.hole), Circles: each(f.Circles, circleV1.circle),
		Ribs: each(f.Ribs, ribV1.rib), Grids: each(f.Grids, gridV1.grid), Pockets: each(f.Pockets, pocketV1.pocket),
		CutLines: each(f.CutLines, cutLineV1.cutLine), Targets: each(f.Targets, targetV1.target),
		Machining: Machining{ZeroX: m.Zero[0], ZeroY: m.Zero[1], Turn: Axis(m.Turn), Shop: m.Shop, ShopHash: m.ShopHash},
	}
}

// each maps a list; an empty one becomes nil, so that equal documents are equal values.
func each[A, B any](list []A, f func(A) B) []B {
	if len(list) == 0 {
		return nil
	}
	out := make([]B, len(list))
	for i, v := range list {
		out[i] = f(v)
	}
	return out
}

// or is *p, or the default when the key was absent.
func or[T any](p *T, absent T) T {
	if p == nil {
		return absent
	}
	return *p
}

func (s stockV1) stock() Stock {
	b := s.Blank
	return Stock{
		Material: material.Material(s.Material),
		Nominal:  s.Nominal, Finished: or(s.Finished, s.Nominal), Top: Face(s.Top), Bottom: Face(s.Bottom),
		Blank: Blank{
			Fixed: b.Margin == nil, Margin: or(b.Margin, 0),
			X: or(b.X, 0), Y: or(b.Y, 0), Width: or(b.Width, 0), Height: or(b.Height, 0),
		},
	}
}

func corners(list []cornerV1) []Corner {
	return each(list, func(c cornerV1) Corner {
		t := or(c.Through, [2]float64{})
		return Corner{X: c.X, Y: c.Y, Radius: c.Radius, Arc: c.Through != nil, ThroughX: t[0], ThroughY: t[1]}
	})
}

func (b boreV1) bore() Bore {
	return Bore{ID: ID(b.ID), Name: b.Name, X: b.X, Y: b.Y, Diameter: b.Diameter, Boss: b.Boss, Tolerance: b.Tolerance}
}

func (f formV1) form() HoleForm {
	return HoleForm{Kind: HoleKind(f.Kind), Size: f.Size, Series: Series(f.Series), Side: Side(f.Side), Depth: f.Depth, Boss: f.Boss}
}

func (h holeV1) hole() Hole { return Hole{ID(h.ID), h.Name, h.X, h.Y, h.form()} }

func (c circleV1) circle() BoltCircle {
	return BoltCircle{
		ID: ID(c.ID), Name: c.Name, Bore: ID(or(c.Bore, 0)), X: or(c.X, 0), Y: or(c.Y, 0),
		Diameter: c.Diameter, Count: int(c.Count), StartDeg: c.Start, HoleForm: c.form(),
	}
}

func (e endV1) end() RibEnd { return RibEnd{ID(or(e.Feature, 0)), or(e.X, 0), or(e.Y, 0)} }

func (b ribV1) rib() Rib {
	return Rib{ID: ID(b.ID), Name: b.Name, From: b.From.end(), To: b.To.end(), Width: b.Width}
}

func (g gridV1) grid() Grid {
	return Grid{
		ID: ID(g.ID), Name: g.Name, Pitch: g.Pitch, AngleDeg: g.Angle, X: g.X, Y: g.Y, Width: g.Width,
		Bounds: corners(g.Bounds),
	}
}

func (k pocketV1) pocket() Pocket {
	return Pocket{
		ID: ID(k.ID), Name: k.Name, Side: Side(k.Side), Depth: k.Depth, Radius: k.Radius, Bounds: corners(k.Bounds),
		AllRibs: k.Ribs.all, Ribs: each(k.Ribs.ids, func(id int64) ID { return ID(id) }),
		LeastArea: k.LeastArea, Kept: each(k.Kept, anchorV1.anchor),
	}
}

func (a anchorV1) anchor() Anchor {
	return Anchor{ID(or(a.Grid, 0)), int(or(a.I, 0)), int(or(a.J, 0)), int(or(a.K, 0)), or(a.X, 0), or(a.Y, 0)}
}

func (c cutLineV1) cutLine() CutLine {
	return CutLine{ID(c.ID), c.Name, c.From[0], c.From[1], c.To[0], c.To[1]}
}

func (t targetV1) target() Target {
	_, v := t.value()
	return Target{
		ID: ID(t.ID), Name: t.Name, Quantity: Quantity(t.Quantity), CutLine: ID(t.CutLine), Sense: Sense(t.Sense), Value: or(*v, 0),
	}
}
