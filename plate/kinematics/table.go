package kinematics

import (
	"context"
	"fmt"
	"slices"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/set"
)

// Settings is the table of settings of a set or of one plate, ready to be printed or written as JSON.
type Settings struct {
	Name       string         `json:"name"`
	Rows       []Row          `json:"settings"`
	Rings      []RingRow      `json:"clocked_rings,omitempty"`
	Eccentrics []EccentricRow `json:"eccentrics,omitempty"`
	Slots      []SlotRow      `json:"slots,omitempty"`
}

// Row is one setting and what it makes of the machine.
type Row struct {
	Setting   string     `json:"setting"`
	Of        string     `json:"of,omitempty"` // the part whose plate has the setting; empty for the set's own and as drawn
	Adjusters []Adjuster `json:"adjusters"`
	Centres   []Centre   `json:"centres"`
	Machine   *Machine   `json:"machine,omitempty"`
	Problems  []string   `json:"problems,omitempty"` // what keeps the setting from being used, or a figure from being given
	State     set.State  `json:"-"`
	poses     []geom.Affine
}

// Adjuster is the state of one adjuster in a setting.
type Adjuster struct {
	Part      string     `json:"part"`
	Feature   plate.ID   `json:"feature"`
	Name      string     `json:"name"`
	Kind      plate.Kind `json:"kind"`
	AngleDeg  *float64   `json:"angle_deg,omitempty"`   // clocked ring, eccentric
	Position  *float64   `json:"position_mm,omitempty"` // slot
	Bolts     *int       `json:"bolts,omitempty"`       // clocked ring: how many fit
	LeastBolt int        `json:"least_bolts,omitempty"`
	Holes     []int      `json:"holes,omitempty"` // clocked ring: holes of the plate that a bolt goes through, from 1
}

// Centre is where a centre that adjusters move, or that the machine turns on, lies.
type Centre struct {
	Part    string     `json:"part"`
	Feature plate.ID   `json:"feature"`
	Name    string     `json:"name"`
	Use     string     `json:"use"` // "adjuster", "front axle", "rear axle", "steering axis, lower", …
	Plate   [2]float64 `json:"plate_mm"`
	Machine [2]float64 `json:"machine_mm"` // seen from the side; on the ground where the set has both wheels
}

// asDrawn names the row without any setting.
const asDrawn = "as drawn"

// Table gives every setting of a set: as drawn, those of its plates, and its own. A setting that cannot be (a slider beyond
// its slot, bolts that do not fit) is a row with its problems. The error is for a set that cannot be placed as drawn.
func Table(ctx context.Context, l *set.Loaded) (Settings, error) {
	t := Settings{Name: l.Name}
	for i, want := range states(l) {
		if err := ctx.Err(); err != nil {
			return Settings{}, err
		}
		row := rowOf(l, want)
		if i == 0 && row.poses == nil {
			return Settings{}, fmt.Errorf("settings of %q: %s", l.Name, row.Problems[0])
		}
		t.Rows = append(t.Rows, row)
	}
	if err := t.ranges(ctx, l); err != nil {
		return Settings{}, err
	}
	return t, nil
}

// PlateTable is Table for one plate by itself: its adjusters and their centres.
func PlateTable(ctx context.Context, p plate.Plate) (Settings, error) {
	l := &set.Loaded{
		Set:    set.Set{Name: p.Name, Parts: []set.Part{{Name: p.Name, Quantity: 1}}},
		Plates: []plate.Plate{p}, Shapes: make([]set.Shape, 1),
	}
	return Table(ctx, l)
}

// wanted is one setting to make a row of.
type wanted struct {
	name, of string
	state    set.State
}

// states lists the settings: as drawn, then each plate's by part (parts that share a file share them) with the wanted angles of
// clocked rings that no setting of the plate names, then the set's.
func states(l *set.Loaded) []wanted {
	all := []wanted{{name: asDrawn}}
	done := map[string]bool{}
	for i, p := range l.Parts {
		if file := p.File; file != "" && done[file] {
			continue
		}
		done[p.File] = true
		for _, s := range l.Plates[i].Settings {
			all = append(all, wanted{s.Name, p.Name, stateOfAll(l, p.File, s.Values)})
		}
		for _, v := range unnamed(l.Plates[i]) {
			all = append(all, wanted{v.name, p.Name, stateOfAll(l, p.File, []plate.SettingValue{v.value})})
		}
	}
	for _, s := range l.Settings {
		all = append(all, wanted{s.Name, "", StateOf(s)})
	}
	return all
}

// stateOfAll puts all parts of a file into a state.
func stateOfAll(l *set.Loaded, file string, values []plate.SettingValue) set.State {
	state := set.State{}
	for _, q := range l.Parts {
		if q.File != file {
			continue
		}
		for _, v := range values {
			r := set.Ref{Part: q.Name, Feature: v.Feature}
			state[r] = set.Value{Adjuster: r, AngleDeg: v.AngleDeg, Position: v.Position}
		}
	}
	return state
}

// named is a state of one adjuster with a name for its row.
type named struct {
	name  string
	value plate.SettingValue
}

// unnamed lists the wanted angles of the clocked rings that no setting of the plate names.
func unnamed(p plate.Plate) []named {
	var all []named
	for _, c := range p.Rings {
		if slices.ContainsFunc(p.Settings, func(s plate.Setting) bool {
			return slices.ContainsFunc(s.Values, func(v plate.SettingValue) bool { return v.Feature == c.ID })
		}) {
			continue
		}
		for _, w := range c.WantedDeg {
			all = append(all, named{fmt.Sprintf("%s at %g°", c.Name, w), plate.SettingValue{Feature: c.ID, AngleDeg: w}})
		}
	}
	return all
}

// StateOf is the state that a set's setting asks for.
func StateOf(s set.Setting) set.State {
	state := set.State{}
	for _, v := range s.Values {
		state[v.Adjuster] = v
	}
	return state
}

// rowOf works out one setting.
func rowOf(l *set.Loaded, w wanted) Row {
	row := Row{Setting: w.name, Of: w.of, State: w.state, Adjusters: []Adjuster{}, Centres: []Centre{}}
	for i, p := range l.Parts {
		for _, a := range adjustersOf(p.Name, l.Plates[i], w.state) {
			row.Adjusters = append(row.Adjusters, a.Adjuster)
			row.Problems = append(row.Problems, a.problems...)
		}
	}
	poses, err := l.Poses(w.state)
	if err != nil {
		row.Problems = append(row.Problems, finding.Words(err))
		return row
	}
	row.poses = poses
	m, down, problems := machineOf(l, w.state, poses)
	row.Machine = m
	row.Problems = append(row.Problems, problems...)
	for _, p := range points(l, row.Adjusters) {
		n, err := l.Node(p.ref, w.state)
		if err != nil {
			row.Problems = append(row.Problems, finding.Words(err))
			continue
		}
		at := down.Apply(poses[l.Part(p.ref.Part)].Apply(n.Centre))
		row.Centres = append(row.Centres, Centre{
			p.ref.Part, p.ref.Feature, n.Name, p.use, [2]float64{n.Centre.X, n.Centre.Y}, [2]float64{at.X, at.Y},
		})
	}
	return row
}

// point is a centre to list.
type point struct {
	ref set.Ref
	use string
}

func points(l *set.Loaded, adjusters []Adjuster) []point {
	var ps []point
	for _, a := range adjusters {
		ps = append(ps, point{set.Ref{Part: a.Part, Feature: a.Feature}, "adjuster"})
	}
	for _, w := range l.Wheels {
		ps = append(ps, point{w.Axle, string(w.Role) + " axle"})
	}
	if l.Steering.On() {
		ps = append(ps, point{l.Steering.Lower, "steering axis, lower"})
		if l.Steering.Upper != (set.Ref{}) {
			ps = append(ps, point{l.Steering.Upper, "steering axis, upper"})
		}
	}
	if l.Ground.Ride != (set.Ref{}) {
		ps = append(ps, point{l.Ground.Ride, "ride height"})
	}
	return ps
}

// adjusted is an adjuster with what is wrong with its state.
type adjusted struct {
	Adjuster
	problems []string
}

// adjustersOf lists a plate's adjusters in a state.
func adjustersOf(part string, p plate.Plate, state set.State) []adjusted {
	var all []adjusted
	add := func(id plate.ID, name string, kind plate.Kind, a Adjuster, problems ...string) {
		a.Part, a.Feature, a.Name, a.Kind = part, id, name, kind
		all = append(all, adjusted{a, problems})
	}
	value := func(id plate.ID, drawn plate.SettingValue) set.Value {
		if v, ok := state[set.Ref{Part: part, Feature: id}]; ok {
			return v
		}
		drawn.Feature = id
		drawn = set.Chosen(p, drawn)
		return set.Value{AngleDeg: drawn.AngleDeg, Position: drawn.Position}
	}
	for _, c := range p.Rings {
		deg := value(c.ID, plate.SettingValue{AngleDeg: c.PositionDeg}).AngleDeg
		a := Adjuster{AngleDeg: &deg, LeastBolt: c.LeastBolts}
		own, mate := RingsOf(c)
		at, err := At(own, mate, deg, DefaultDeg)
		if err != nil {
			add(c.ID, c.Name, plate.KindRing, a, fmt.Sprintf("clocked ring %q: %s", c.Name, finding.Words(err)))
			continue
		}
		a.Bolts, a.Holes = &at.Bolts, at.Own
		if at.Bolts < max(1, c.LeastBolts) {
			add(c.ID, c.Name, plate.KindRing, a, fmt.Sprintf("clocked ring %q of part %q holds by %d bolts at %g°, and needs %d", c.Name, part, at.Bolts, deg, max(1, c.LeastBolts)))
			continue
		}
		add(c.ID, c.Name, plate.KindRing, a)
	}
	for _, e := range p.Eccentrics {
		deg := value(e.ID, plate.SettingValue{AngleDeg: e.AngleDeg}).AngleDeg
		add(e.ID, e.Name, plate.KindEccentric, Adjuster{AngleDeg: &deg})
	}
	for _, s := range p.Slots {
		if s.Adjusting {
			mm := value(s.ID, plate.SettingValue{Position: s.Position}).Position
			add(s.ID, s.Name, plate.KindSlot, Adjuster{Position: &mm})
		}
	}
	return all
}
