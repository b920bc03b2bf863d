package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/kinematics"
	"platewright/plate/set"
)

type settingsCmd struct {
	File string `arg:"" name:"FILE" help:"Plate document or set, or - for a plate on standard input."`
	Want string `placeholder:"WHAT=VALUE" help:"Look for the setting that gives a trail, ride-height, wheelbase or ground-clearance in mm, or a head-angle in degrees, as trail=95. Needs --by and a set."`
	By   string `placeholder:"PART:ADJUSTER" help:"The adjuster that is turned or moved for --want, with the part that it is on."`
	From string `placeholder:"SETTING" help:"The setting that the other adjusters stay in; without it as drawn."`
	JSON bool   `name:"json" help:"Print one JSON value whose keys carry units."`
}

// Help is the long help.
func (settingsCmd) Help() string {
	return `Examples:

    platewright settings head.plate
    platewright settings trike.set
    platewright settings trike.set --want trail=95 --by "head:Axle eccentric"

The table gives for each setting of the adjusters where the centres lie and which bolts hold. A set with wheels, ground and
steering axis also gives head angle, trail, wheelbase, clearance and ride height of the machine, set down again on its wheels.`
}

// jsonSettings is what settings prints with --json: the first keys of a report, and the tables.
type jsonSettings struct {
	Format         string                    `json:"format"`
	ProgramVersion string                    `json:"program_version"`
	Name           string                    `json:"name"`
	Revision       string                    `json:"revision"`
	Settings       []kinematics.Row          `json:"settings"`
	Rings          []kinematics.RingRow      `json:"clocked_rings,omitempty"`
	Eccentrics     []kinematics.EccentricRow `json:"eccentrics,omitempty"`
	Slots          []kinematics.SlotRow      `json:"slots,omitempty"`
	Solutions      []jsonSolution            `json:"solutions,omitempty"`
}

type jsonSolution struct {
	Quantity string         `json:"quantity"`
	Wanted   float64        `json:"wanted"`
	Got      float64        `json:"got"`
	Unit     string         `json:"unit"`
	AngleDeg float64        `json:"angle_deg"`
	Position float64        `json:"position_mm"`
	Setting  kinematics.Row `json:"setting"`
}

// Run prints the table of settings.
func (c *settingsCmd) Run(e *env) error {
	want, err := c.wanted()
	if err != nil {
		return err
	}
	loaded, revision, err := e.assembly(c.File)
	if err != nil {
		return err
	}
	table, err := kinematics.Table(e.ctx, loaded)
	if err != nil {
		return failed("%s: %v", label(c.File), err)
	}
	out := jsonSettings{
		Format: report.Format, ProgramVersion: report.Version(), Name: loaded.Name, Revision: revision,
		Settings: table.Rows, Rings: table.Rings, Eccentrics: table.Eccentrics, Slots: table.Slots,
	}
	if want.quantity != "" {
		if out.Solutions, err = c.solve(e, loaded, table, want); err != nil {
			return err
		}
	}
	if c.JSON {
		enc := json.NewEncoder(e.stdout)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		return enc.Encode(out)
	}
	_, err = io.WriteString(e.stdout, settingsText(out))
	return err
}

// wish is a figure of the machine that is looked for.
type wish struct {
	quantity kinematics.Quantity
	value    float64
}

func (c *settingsCmd) wanted() (wish, error) {
	if c.Want == "" {
		if c.By != "" || c.From != "" {
			return wish{}, usage("--by and --from belong to --want, as --want trail=95")
		}
		return wish{}, nil
	}
	name, text, _ := strings.Cut(c.Want, "=")
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v-v != 0 {
		return wish{}, usage("--want: %q gives no number; write it as trail=95", c.Want)
	}
	if c.By == "" {
		return wish{}, usage("--want needs --by, the adjuster that is turned, as --by \"head:Axle eccentric\"")
	}
	var names []string
	for _, q := range kinematics.Quantities() {
		word := strings.ReplaceAll(string(q), " ", "-")
		if name == word {
			return wish{q, v}, nil
		}
		names = append(names, word)
	}
	return wish{}, usage("--want: there is no %q; look for one of %s", name, strings.Join(names, ", "))
}

// assembly reads a set with its plates, or a plate as a set of one part.
func (e *env) assembly(file string) (*set.Loaded, string, error) {
	if strings.EqualFold(filepath.Ext(file), ".set") {
		l, found, err := set.LoadFile(e.ctx, file)
		for _, f := range found {
			e.complain([]string{fmt.Sprintf("%s: %s: %s; %s", file, f.Level, f.What, f.Fix)})
		}
		if err != nil {
			return nil, "", failed("%v", err)
		}
		return l, set.Revision(l.Set), nil
	}
	p, problems := e.document(file)
	if problems != nil {
		e.complain(problems)
		return nil, "", errShown
	}
	if fs := p.Validate(); finding.Count(fs, finding.Error) > 0 {
		for _, f := range fs {
			if f.Level == finding.Error {
				e.complain([]string{fmt.Sprintf("%s: %s; %s", label(file), f.What, f.Fix)})
			}
		}
		return nil, "", errShown
	}
	s := set.Set{Name: p.Name, Parts: []set.Part{{Name: p.Name, File: filepath.Base(file), Quantity: 1}}}
	l, _, err := set.Of(e.ctx, s, []plate.Plate{p})
	if err != nil {
		return nil, "", failed("%s: %v", label(file), err)
	}
	return l, plate.Revision(p), nil
}

// solve looks for the states of one adjuster that give what is wanted.
func (c *settingsCmd) solve(e *env, l *set.Loaded, t kinematics.Settings, w wish) ([]jsonSolution, error) {
	part, name, _ := strings.Cut(c.By, ":")
	i := l.Part(part)
	if i < 0 {
		return nil, usage("--by: the set has no part %q", part)
	}
	var ref set.Ref
	for _, f := range l.Plates[i].Features() {
		if f.Name == name {
			ref = set.Ref{Part: part, Feature: f.ID}
		}
	}
	if ref.Feature == 0 {
		return nil, usage("--by: part %q has no feature %q", part, name)
	}
	state, err := c.state(t)
	if err != nil {
		return nil, err
	}
	found, err := kinematics.Solve(e.ctx, l, state, ref, w.quantity, w.value)
	if err != nil {
		return nil, failed("%s: %v", label(c.File), err)
	}
	var out []jsonSolution
	for _, s := range found {
		out = append(out, jsonSolution{
			Quantity: string(w.quantity), Wanted: w.value, Got: s.Got, Unit: unitOf(w.quantity),
			AngleDeg: s.Value.AngleDeg, Position: s.Value.Position, Setting: s.Row,
		})
	}
	return out, nil
}

func (c *settingsCmd) state(t kinematics.Settings) (set.State, error) {
	if c.From == "" {
		return nil, nil
	}
	for _, r := range t.Rows {
		if r.Setting == c.From {
			return r.State, nil
		}
	}
	return nil, usage("--from: there is no setting %q", c.From)
}

func unitOf(q kinematics.Quantity) string {
	if q == kinematics.HeadAngle {
		return "°"
	}
	return "mm"
}

// settingsText is the table for people.
func settingsText(s jsonSettings) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\nrevision %.12s, platewright %s\n", s.Name, s.Revision, s.ProgramVersion)
	for _, r := range s.Rings {
		fmt.Fprintf(&b, "\n%s, %s: clocked ring of %g mm, at least %d bolts\n", r.Part, r.Name, r.Diameter, r.LeastBolt)
		for _, p := range r.Positions {
			fmt.Fprintf(&b, "  %8.3f°  %d bolts\n", p.AngleDeg, p.Bolts)
		}
		if r.Omitted > 0 {
			fmt.Fprintf(&b, "  and %d more angles\n", r.Omitted)
		}
		if r.Problem != "" {
			fmt.Fprintf(&b, "  %s\n", r.Problem)
		}
	}
	for _, r := range s.Eccentrics {
		fmt.Fprintf(&b, "\n%s, %s: eccentric, off its axis by %g mm, moves the centre by %g mm\n", r.Part, r.Name, r.E, r.Travel)
		for _, l := range r.Locks {
			fmt.Fprintf(&b, "  locked at %8.3f°: centre at %.3f, %.3f mm\n", l.AngleDeg, l.Centre[0], l.Centre[1])
		}
	}
	for _, r := range s.Slots {
		fmt.Fprintf(&b, "\n%s, %s: slot, from %.3f, %.3f to %.3f, %.3f mm\n", r.Part, r.Name, r.From[0], r.From[1], r.To[0], r.To[1])
	}
	for _, r := range s.Settings {
		writeSetting(&b, "Setting "+r.Setting, r)
	}
	for _, x := range s.Solutions {
		title := fmt.Sprintf("%s %.3f %s: adjuster at %.3f°", x.Quantity, x.Got, x.Unit, x.AngleDeg)
		if x.Position != 0 {
			title = fmt.Sprintf("%s %.3f %s: adjuster at %.3f mm", x.Quantity, x.Got, x.Unit, x.Position)
		}
		writeSetting(&b, title, x.Setting)
	}
	b.WriteString("\n" + strings.Join(report.Cautions()[:1], "\n") + "\n")
	return b.String()
}

func writeSetting(b *strings.Builder, title string, r kinematics.Row) {
	b.WriteString("\n" + title)
	if r.Of != "" {
		b.WriteString(" of " + r.Of)
	}
	b.WriteString("\n")
	for _, a := range r.Adjusters {
		fmt.Fprintf(b, "  %s, %s:", a.Part, a.Name)
		if a.AngleDeg != nil {
			fmt.Fprintf(b, " %.3f°", *a.AngleDeg)
		}
		if a.Position != nil {
			fmt.Fprintf(b, " %.3f mm", *a.Position)
		}
		if a.Bolts != nil {
			fmt.Fprintf(b, ", %d bolts", *a.Bolts)
		}
		b.WriteString("\n")
	}
	for _, x := range r.Centres {
		fmt.Fprintf(b, "  %s, %s (%s) at %.3f, %.3f mm of the plate, %.3f, %.3f mm of the machine\n",
			x.Part, x.Name, x.Use, x.Plate[0], x.Plate[1], x.Machine[0], x.Machine[1])
	}
	if m := r.Machine; m != nil {
		for _, f := range []struct {
			name string
			v    *float64
			unit string
		}{
			{"wheelbase", m.Wheelbase, "mm"},
			{"head angle from the horizontal", m.HeadDeg, "°"},
			{"rake", m.RakeDeg, "°"},
			{"trail on the ground", m.Trail, "mm"},
			{"normal trail", m.NormalTrail, "mm"},
			{"ride height", m.RideHeight, "mm"},
			{"ground clearance", m.Clearance, "mm"},
		} {
			if f.v != nil {
				fmt.Fprintf(b, "  %-30s %9.2f %s\n", f.name, *f.v, f.unit)
			}
		}
	}
	for _, p := range r.Problems {
		fmt.Fprintf(b, "  look: %s\n", p)
	}
}
