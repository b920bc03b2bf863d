package report

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"platewright/fea"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/layout"
)

// More is what is computed of a plate's stiffness on request only, since it costs about as much as the load cases.
type More struct {
	At        []plate.ID    // features at which the 6×6 stiffness is wanted, on the supports of Case
	Between   [][2]plate.ID // pairs of features, on a plate that nothing holds
	Modes     int           // lowest natural frequencies, held by the supports of Case and free; 0 for none
	Energy    bool          // strain energy by rib, floor and other owners of metal, of every case
	Band      bool          // stiffness along the loads of every case with its joints taken as hinged and as fixed
	Condition bool          // condition estimate of the equations of every case
	Case      plate.ID      // whose supports At and Modes take, and the one that Band is of; 0 for all of the document
}

func (m *More) any() bool {
	return m != nil && (len(m.At) > 0 || len(m.Between) > 0 || m.Modes > 0 || m.Energy || m.Band || m.Condition)
}

// Stiff is the stiffness of a feature against the supports, or of a feature against another.
type Stiff struct {
	From, To   string // in words; From is empty at one feature
	Compliance fea.Compliance
	Stiffness  [6][6]float64 // N/mm, N, N·mm/rad: forces and moments for unit motions
	PerKG      float64       // mass of the plate, kg, by which figures may be divided; 0 where it is not known
}

// Extra is what More asked for, as far as it could be computed.
type Extra struct {
	At        []Stiff
	Between   []Stiff
	Held      []float64           // natural frequencies on the supports, Hz
	Free      []float64           // of the free plate, Hz
	Energy    [][]fea.OwnerEnergy // of the cases, in their order
	Band      [][]fea.Range       // of the cases, in their order; nil for one that cannot stand on hinges, and for those not asked for
	NoBand    []string            // of the cases, in their order: why there is none; empty where there is, or where it was not asked for
	Condition []float64           // of the cases, in their order
	Supports  string              // what At and Held rest on, in words
}

// BandAbsent is the code of the finding for a case without a band, whose reason stands in its place in the text.
const BandAbsent = "band-absent"

// more computes what is asked for on request. The error is that of ctx; what cannot be computed gives a finding.
func (r *Report) more(ctx context.Context, m *fea.Model) ([]finding.Finding, error) {
	want := r.in.More
	if !want.any() {
		return nil, nil
	}
	var found []finding.Finding
	miss := func(what string, err error) {
		found = append(found, absent("stiffness-absent", plate.StageLoads, what, "correct the support or the feature that the message names", err))
	}
	x := &Extra{}
	supports := r.supportsOf(want.Case)
	x.Supports = supportNames(supports)
	mass := m.Layout.Volume() * r.Plate.Stock.Material.Density * 1e-9
	for _, id := range want.At {
		c, err := m.At(ctx, id, supports)
		if err == nil {
			var s Stiff
			if s, err = stiffOf(&r.Plate, c, mass); err == nil {
				x.At = append(x.At, s)
				continue
			}
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		miss("the stiffness at "+featureWords(&r.Plate, id), err)
	}
	for _, pair := range want.Between {
		cs, err := m.Between(ctx, [][2]plate.ID{pair})
		if err == nil {
			var s Stiff
			if s, err = stiffOf(&r.Plate, cs[0], mass); err == nil {
				x.Between = append(x.Between, s)
				continue
			}
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		miss(fmt.Sprintf("the stiffness between %s and %s", featureWords(&r.Plate, pair[0]), featureWords(&r.Plate, pair[1])), err)
	}
	for _, held := range [2]bool{true, false} {
		if want.Modes == 0 || held && (len(supports) == 0 || supports[0].Kind == plate.Free) {
			continue
		}
		on := supports
		if !held {
			on = nil
		}
		modes, err := m.Frequencies(ctx, on, want.Modes)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			miss("the natural frequencies", err)
			continue
		}
		for _, q := range modes {
			if held {
				x.Held = append(x.Held, q.Hz)
			} else {
				x.Free = append(x.Free, q.Hz)
			}
		}
	}
	if want.Energy && r.Cases.OK {
		for i := range r.Cases.Value.Cases {
			e, err := r.Cases.Value.Cases[i].Energy(ctx)
			if err != nil {
				return nil, err
			}
			x.Energy = append(x.Energy, e)
		}
	}
	if want.Band && r.Cases.OK {
		for i := range r.Cases.Value.Cases {
			c := &r.Cases.Value.Cases[i].Case
			if want.Case != 0 && c.ID != want.Case {
				x.Band, x.NoBand = append(x.Band, nil), append(x.NoBand, "")
				continue
			}
			why := ""
			band, err := m.Band(ctx, *c)
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if err != nil {
				why = finding.Words(err)
				f := absent(BandAbsent, plate.StageLoads, fmt.Sprintf("the band from hinged to fixed joints in %q", c.Name), "hold the plate at a second place, or do without the band", err)
				f.Level, f.Feature, f.FeatureName = finding.Warning, int64(c.ID), c.Name
				found = append(found, f)
			}
			x.Band, x.NoBand = append(x.Band, band), append(x.NoBand, why)
		}
	}
	if want.Condition && r.Cases.OK {
		cases := make([]plate.LoadCase, len(r.Cases.Value.Cases))
		for i := range cases {
			cases[i] = r.Cases.Value.Cases[i].Case
		}
		var err error
		if x.Condition, err = m.Conditions(ctx, cases); err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			miss("the condition of the equations", err)
		}
	}
	r.Extra = Part[*Extra]{Key: r.Key, Value: x, OK: true}
	return found, nil
}

// supportsOf are the supports of a case, or all of the document.
func (r *Report) supportsOf(id plate.ID) []plate.Support {
	for _, c := range r.Plate.Cases {
		if c.ID != id || len(c.Supports) == 0 {
			continue
		}
		var out []plate.Support
		for _, s := range r.Plate.Supports {
			if slices.Contains(c.Supports, s.ID) {
				out = append(out, s)
			}
		}
		return out
	}
	return r.Plate.Supports
}

func supportNames(ss []plate.Support) string {
	if len(ss) == 0 {
		return "no support"
	}
	names := make([]string, len(ss))
	for i, s := range ss {
		names[i] = fmt.Sprintf("%q (%s)", s.Name, s.Kind)
	}
	return strings.Join(names, ", ")
}

func stiffOf(p *plate.Plate, c fea.Compliance, mass float64) (Stiff, error) {
	s := Stiff{To: featureWords(p, c.B), Compliance: c, PerKG: mass}
	if c.A != 0 {
		s.From = featureWords(p, c.A)
	}
	var err error
	s.Stiffness, err = c.Stiffness()
	return s, err
}

func featureWords(p *plate.Plate, id plate.ID) string {
	if f, ok := p.Find(id); ok {
		return f.String()
	}
	return fmt.Sprintf("feature %d", id)
}

// ownerWords names an owner of metal.
func ownerWords(o layout.Owner) string {
	switch {
	case o.Name == "" || o.Name == string(o.Kind):
		return string(o.Kind)
	case o.Cell >= 0:
		return fmt.Sprintf("%s of %q, cell %d", o.Kind, o.Name, o.Cell+1)
	}
	return fmt.Sprintf("%s %q", o.Kind, o.Name)
}

// storeWords names what stores energy: an owner, or one rib of a field with the middle of its centre line.
func storeWords(e *fea.OwnerEnergy) string {
	if e.Rib == nil {
		return ownerWords(e.Owner)
	}
	words := ownerWords(e.Owner)
	if e.Rib.Anchor.Lattice {
		words += ", " + e.Rib.Anchor.String()
	}
	return fmt.Sprintf("%s, at %s, %s", words, fixed(e.Rib.At.X, 1), fixed(e.Rib.At.Y, 1))
}

// axisNames are those of the six motions.
var axisNames = [6]string{"x", "y", "z", "about x", "about y", "about z"}

// writeExtra writes what was asked for on request. only names the case whose energies are wanted; empty for all.
func (r Report) writeExtra(b *strings.Builder, only string) {
	if !r.Extra.OK || r.Extra.Key != r.Key {
		return
	}
	x := r.Extra.Value
	for i := range x.At {
		s := &x.At[i]
		fmt.Fprintf(b, "\nStiffness at %s, on supports %s\n", s.To, x.Supports)
		b.WriteString("  force or moment for a unit motion, the other motions held: N/mm, N, N·mm/rad\n")
		writeMatrix(b, &s.Stiffness)
	}
	for i := range x.Between {
		s := &x.Between[i]
		fmt.Fprintf(b, "\nStiffness between %s and %s, each alone, the other motions free\n", s.From, s.To)
		t := table{right: "lrlr"}
		t.add("", "", "", "per kg of plate")
		for _, f := range s.Compliance.Along() {
			per := "–"
			if s.PerKG > 0 {
				per = significant(f.Value/s.PerKG, 3)
			}
			t.add(f.Name, significant(f.Value, 3), f.Unit, per)
		}
		t.write(b, "  ")
		b.WriteString("  force or moment for a unit motion of the second seen from the first: N/mm, N, N·mm/rad\n")
		writeMatrix(b, &s.Stiffness)
	}
	if len(x.Held)+len(x.Free) > 0 {
		b.WriteString("\nNatural frequencies, Hz\n")
		t := table{right: "lrrrrrrrrrrrrrrrrrrrr"}
		for _, q := range []struct {
			name string
			hz   []float64
		}{{"held by " + x.Supports, x.Held}, {"free", x.Free}} {
			if len(q.hz) > 0 {
				row := []string{q.name}
				for _, v := range q.hz {
					row = append(row, significant(v, 4))
				}
				t.add(row...)
			}
		}
		t.write(b, "  ")
	}
	for i, band := range x.Band {
		c := &r.Cases.Value.Cases[i]
		if only != "" && c.Case.Name != only {
			continue
		}
		title := fmt.Sprintf("\nStiffness along the loads of %s, by how tight its bores sit\n", c.Case.Name)
		if x.NoBand[i] != "" {
			b.WriteString(title)
			wrap(b, "not computed: "+x.NoBand[i], pageWidth, "  ", "    ")
		}
		if len(band) > 0 {
			b.WriteString(title)
			t := table{right: "lrrl"}
			t.add("", "hinged", "fixed")
			for _, v := range band {
				t.add(v.Name, significant(v.Hinged, 3), significant(v.Fixed, 3), v.Unit+againstLoad(min(v.Hinged, v.Fixed)))
			}
			t.write(b, "  ")
		}
	}
	for i, es := range x.Energy {
		if c := &r.Cases.Value.Cases[i]; only == "" || c.Case.Name == only {
			writeEnergy(b, c.Case.Name, es)
		}
	}
}

func writeMatrix(b *strings.Builder, k *[6][6]float64) {
	t := table{right: "lrrrrrr"}
	t.add(append([]string{""}, axisNames[:]...)...)
	for i, cells := range StiffnessCells(k) {
		t.add(append([]string{axisNames[i]}, cells[:]...)...)
	}
	t.write(b, "    ")
}

// StiffnessCells are the figures of a 6×6 stiffness as they are printed: to three digits, and zero what is only rounding beside
// the diagonal.
func StiffnessCells(k *[6][6]float64) (out [6][6]string) {
	for i := range 6 {
		for j := range 6 {
			out[i][j] = significant(zeroed(k[i][j], math.Sqrt(math.Abs(k[i][i]*k[j][j]))), 3)
		}
	}
	return out
}

// mostOwners is how many owners of energy are printed; the JSON has all.
const mostOwners = 20

// writeEnergy lists the owners that work most.
func writeEnergy(b *strings.Builder, name string, es []fea.OwnerEnergy) {
	total := 0.0
	for _, e := range es {
		total += e.Energy
	}
	fmt.Fprintf(b, "\nStrain energy in %s: %s N·mm, where it is stored\n", name, significant(total, 4))
	sorted := slices.Clone(es)
	slices.SortStableFunc(sorted, func(p, q fea.OwnerEnergy) int {
		switch {
		case p.Energy > q.Energy:
			return -1
		case p.Energy < q.Energy:
			return 1
		}
		return 0
	})
	t := table{right: "lrrl"}
	t.add("", "N·mm", "%")
	rest, others := 0.0, 0
	for i, e := range sorted {
		if i >= mostOwners || !(total > 0) {
			rest += e.Energy
			others++
			continue
		}
		t.add(storeWords(&e), significant(e.Energy, 3), fixed(100*e.Energy/total, 1))
	}
	if others > 0 && total > 0 {
		t.add(fmt.Sprintf("%d others", others), significant(rest, 3), fixed(100*rest/total, 1))
	}
	t.write(b, "  ")
	for i := 0; i < len(es) && total > 0; {
		first, ribs, sum := &es[i], 0, 0.0
		for ; i < len(es) && es[i].Share == first.Share; i++ {
			ribs++
			sum += es[i].Energy
		}
		if first.Rib != nil {
			fmt.Fprintf(b, "  in all %d ribs of %q together: %s N·mm, %s %%\n", ribs, first.Owner.Name, significant(sum, 3), fixed(100*sum/total, 1))
		}
	}
}

// The JSON of what was asked for on request.
type (
	jsonStiff struct {
		From       string        `json:"from,omitempty"`
		To         string        `json:"to"`
		At         [3]float64    `json:"at_mm"`
		Supports   string        `json:"supports,omitempty"`
		Stiffness  [6][6]float64 `json:"stiffness_n_mm_rad"` // N/mm, N and N·mm/rad
		Directions []jsonFigure  `json:"directions,omitempty"`
		PlateMass  float64       `json:"plate_mass_kg,omitempty"`
	}
	jsonModes struct {
		State    string    `json:"state"`
		Supports string    `json:"supports,omitempty"`
		Hz       []float64 `json:"frequencies_hz"`
	}
	jsonRange struct {
		Name string  `json:"name"`
		Low  float64 `json:"hinged"`
		High float64 `json:"fixed"`
		Unit string  `json:"unit"`
	}
	jsonEnergy struct {
		Owner  string      `json:"owner"`
		Kind   string      `json:"kind"`
		Cell   *int        `json:"cell,omitempty"`
		Rib    string      `json:"rib,omitempty"`   // of a field
		At     *[2]float64 `json:"at_mm,omitempty"` // middle of its centre line
		Energy float64     `json:"energy_n_mm"`
	}
)

func (r Report) jsonExtra(out *jsonReport) {
	if !r.Extra.OK || r.Extra.Key != r.Key {
		return
	}
	x := r.Extra.Value
	for i := range x.At {
		s := &x.At[i]
		out.StiffnessAt = append(out.StiffnessAt, jsonStiff{To: s.To, At: s.Compliance.At, Supports: x.Supports, Stiffness: s.Stiffness, PlateMass: s.PerKG})
	}
	for i := range x.Between {
		s := &x.Between[i]
		j := jsonStiff{From: s.From, To: s.To, At: s.Compliance.At, Stiffness: s.Stiffness, PlateMass: s.PerKG}
		for _, f := range s.Compliance.Along() {
			j.Directions = append(j.Directions, jsonFigure(f))
		}
		out.StiffnessBetween = append(out.StiffnessBetween, j)
	}
	if len(x.Held) > 0 {
		out.Frequencies = append(out.Frequencies, jsonModes{"held", x.Supports, x.Held})
	}
	if len(x.Free) > 0 {
		out.Frequencies = append(out.Frequencies, jsonModes{"free", "", x.Free})
	}
	if out.Cases == nil {
		return
	}
	for i, band := range x.Band {
		for _, v := range band {
			(*out.Cases)[i].Band = append((*out.Cases)[i].Band, jsonRange{v.Name, v.Hinged, v.Fixed, v.Unit})
		}
	}
	for i := range x.Condition {
		(*out.Cases)[i].Condition = &x.Condition[i]
	}
	for i, es := range x.Energy {
		for _, e := range es {
			j := jsonEnergy{Owner: ownerWords(e.Owner), Kind: string(e.Owner.Kind), Energy: e.Energy}
			if r := e.Rib; r != nil {
				j.Rib, j.At = r.Anchor.String(), &[2]float64{r.At.X, r.At.Y}
			}
			if e.Owner.Cell >= 0 {
				cell := e.Owner.Cell + 1
				j.Cell = &cell
			}
			(*out.Cases)[i].Energy = append((*out.Cases)[i].Energy, j)
		}
	}
}
