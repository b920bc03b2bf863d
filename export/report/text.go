package report

import (
	"fmt"
	"io"
	"strings"

	"platewright/fea/torsion"
	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/route"
	"platewright/plate/section"
)

// pageWidth is the width in characters that sentences are broken to.
const pageWidth = 100

// Cautions are the sentences that stand under every printed report.
func Cautions() []string {
	return []string{
		"Figures are estimates. Loads, safety factors and their limits are the designer's; local codes and a licensed engineer decide.",
		"A machining estimate is not a program to run.",
	}
}

// Text writes the parts of show, with the findings when All is shown, as plain text for people. The error is ErrIncomplete
// or that of the writer.
func (r Report) Text(w io.Writer, show Parts) error {
	if !r.Complete() {
		return ErrIncomplete
	}
	var b strings.Builder
	r.writeHead(&b)
	if show.Has(Targets) && len(r.Plate.Targets) > 0 && r.Layout.OK {
		r.writeTargets(&b)
	}
	if show.Has(Mass) && r.Mass.OK {
		r.writeMass(&b)
	}
	if show.Has(Sections) && r.Sections.OK {
		writeSections(&b, r.Sections.Value, r.Torsion.Value)
		r.writeSweep(&b)
	}
	if show.Has(Stress) && r.Cases.OK {
		if err := r.writeCases(&b, "", false); err != nil {
			return err
		}
	}
	if show.Has(Machining) && r.Machining.OK {
		writeMachining(&b, r.Machining.Value)
	}
	if show.Has(Price) && r.Quote.OK {
		writeQuote(&b, r.Quote.Value, false)
	}
	if show.Has(Differences) && r.Baseline.OK {
		writeChanges(&b, r.Baseline.Value)
	}
	if show.Has(All) || !r.Layout.OK {
		writeFindings(&b, r.Findings())
	}
	b.WriteString("\n")
	for _, c := range Cautions() {
		wrap(&b, c, pageWidth, "", "")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// FindingsText writes the findings alone, as "platewright check" prints them.
func (r Report) FindingsText(w io.Writer) error {
	if !r.Complete() {
		return ErrIncomplete
	}
	var b strings.Builder
	r.writeHead(&b)
	writeFindings(&b, r.Findings())
	_, err := io.WriteString(w, b.String())
	return err
}

// writeHead says what the report is of.
func (r Report) writeHead(b *strings.Builder) {
	b.WriteString(r.Plate.Name + "\n")
	fmt.Fprintf(b, "revision %s, shop profile %q %s, platewright %s\n",
		short(r.Key.Revision), r.in.Profile.Name, short(r.Key.Profile), r.Key.Program)
	b.WriteString(r.stock() + "\n")
}

// stock says in a few words what the plate is made of.
func (r Report) stock() string {
	m, s := r.Plate.Stock.Material, r.Plate.Stock
	line := fmt.Sprintf("%s %s, %s mm thick", m.Alloy, m.Temper, plain(s.Thickness()))
	if s.Nominal != s.Finished {
		line += fmt.Sprintf(" from %s mm stock", plain(s.Nominal))
	}
	return line
}

// Headline is the plate in one line: stock, mass and cycle time, as far as they are known.
func (r Report) Headline() string {
	line := r.stock()
	if r.Mass.OK {
		line += ", " + round4(r.Mass.Value.MassKG) + " kg"
	}
	if r.Machining.OK {
		line += ", machining " + About(r.Machining.Value)
	}
	return line
}

// short is the beginning of a hash, enough to tell two apart by eye.
func short(hash string) string { return hash[:min(12, len(hash))] }

func (r Report) writeTargets(b *strings.Builder) {
	b.WriteString("\nTargets\n")
	t := table{right: "llrlrll"}
	for _, j := range r.Targets() {
		now, state := "not computed", "not judged"
		if j.Known {
			v, _ := readable(j.Now, j.Unit)
			now, state = round4(v), "missed"
			if j.Quantity == plate.CycleMin {
				now = "about " + round2(v)
			}
			if j.Met {
				state = "met"
			}
		}
		limit, unit := readable(j.Value, j.Unit)
		t.add(j.Name, r.quantityName(j.Target), now, senseWords(j.Sense), plain(limit), unit, state)
	}
	t.write(b, "  ")
}

func (r Report) writeMass(b *strings.Builder) {
	m := r.Mass.Value
	b.WriteString("\nMass\n")
	t := table{right: "lr"}
	t.add("mass", round4(m.MassKG), "kg"+massBand(m.MassLow, m.MassHigh))
	t.add("volume", round4(m.Volume/1e3), "cm³")
	t.add("density", round4(m.Density), "kg/m³")
	t.add("centre of mass x", fixed(m.Centroid[0], 3), "mm")
	t.add("               y", fixed(m.Centroid[1], 3), "mm")
	t.add("               z", fixed(m.Centroid[2], 3), "mm from the finished bottom face")
	t.add("inertia about it xx", round4(m.Inertia.XX), "kg·mm²")
	t.add("                 yy", round4(m.Inertia.YY), "kg·mm²")
	t.add("                 zz", round4(m.Inertia.ZZ), "kg·mm²")
	for _, p := range []struct {
		name string
		v    float64
	}{{"xy", m.Inertia.XY}, {"xz", m.Inertia.XZ}, {"yz", m.Inertia.YZ}} {
		t.add("                 "+p.name, round4(zeroed(p.v, m.Inertia.ZZ)), "kg·mm²")
	}
	t.add("blank", round4(m.BlankMassKG), "kg")
	t.add("stock removed", round4(m.Removed/1e3), "cm³")
	t.add("buy to fly", fixed(m.BuyToFly, 2))
	t.add("surface", round4(m.WettedArea/1e2), "cm²")
	t.write(b, "  ")
}

// massBand says within which limits the thickness tolerance leaves the mass.
func massBand(low, high float64) string {
	if low <= 0 || high <= low {
		return ""
	}
	return fmt.Sprintf(" (%s to %s within the tolerance of the plate's thickness)", round4(low), round4(high))
}

// sectionsAbreast is how many cut lines stand beside each other.
const sectionsAbreast = 4

func writeSections(b *strings.Builder, ss []section.Result, ts []torsion.Result) {
	if len(ss) == 0 {
		return
	}
	b.WriteString("\nSections (s along the cut line, z through the thickness from the finished bottom face)\n")
	for i := 0; i < len(ss); i += sectionsAbreast {
		if i > 0 {
			b.WriteString("\n")
		}
		end := min(i+sectionsAbreast, len(ss))
		writeSectionColumns(b, ss[i:end], ts[i:end])
	}
	for i, s := range ss {
		if l := ts[i].Label; l != "" {
			wrap(b, fmt.Sprintf("GJ at %s: %s.", s.Name, l), pageWidth, "  ", "    ")
		}
		if s.Label != "" {
			wrap(b, fmt.Sprintf("EI at %s: %s.", s.Name, s.Label), pageWidth, "  ", "    ")
		}
		if s.PolylineTol > 0 {
			wrap(b, fmt.Sprintf("%s meets a cone or a fillet, which enters as a polyline within %s mm.", s.Name, plain(s.PolylineTol)), pageWidth, "  ", "    ")
		}
		for _, note := range s.Notes {
			wrap(b, fmt.Sprintf("%s: %s.", s.Name, note), pageWidth, "  ", "    ")
		}
	}
}

func writeSectionColumns(b *strings.Builder, ss []section.Result, ts []torsion.Result) {
	t := table{right: "l" + strings.Repeat("r", len(ss))}
	row := func(name, unit string, figure func(section.Result) string) {
		cells := []string{name}
		for _, s := range ss {
			cells = append(cells, figure(s))
		}
		t.add(append(cells, unit)...)
	}
	number := func(name, unit string, figure func(section.Result) float64) {
		row(name, unit, func(s section.Result) string { return round4(figure(s)) })
	}
	row("", "", func(s section.Result) string { return s.Name })
	row("pieces", "", func(s section.Result) string { return fmt.Sprint(s.Pieces) })
	number("area", "mm²", func(s section.Result) float64 { return s.Area })
	row("centroid s", "mm", func(s section.Result) string { return fixed(s.Centroid[0], 3) })
	row("centroid z", "mm", func(s section.Result) string { return fixed(s.Centroid[1], 3) })
	number("I about s", "mm⁴", func(s section.Result) float64 { return s.ISS })
	number("I about z", "mm⁴", func(s section.Result) float64 { return s.IZZ })
	number("I product", "mm⁴", func(s section.Result) float64 { return zeroed(s.ISZ, s.I1) })
	number("I greatest", "mm⁴", func(s section.Result) float64 { return s.I1 })
	number("I least", "mm⁴", func(s section.Result) float64 { return s.I2 })
	row("axis from s", "°", func(s section.Result) string { return fixed(degrees(s.AxisRad), 2) })
	number("plastic modulus s", "mm³", func(s section.Result) float64 { return s.PlasticS })
	number("plastic modulus z", "mm³", func(s section.Result) float64 { return s.PlasticZ })
	number("EA", "kN", func(s section.Result) float64 { return s.EA / 1e3 })
	number("EI about s", "N·m²", func(s section.Result) float64 { return s.EISS / 1e6 })
	number("EI about z", "N·m²", func(s section.Result) float64 { return s.EIZZ / 1e6 })
	twist := func(name, unit string, figure func(torsion.Result) string) {
		cells := []string{name}
		for _, t := range ts {
			if len(t.Pieces) == 0 {
				cells = append(cells, "–") // a finding says why
				continue
			}
			cells = append(cells, figure(t))
		}
		t.add(append(cells, unit)...)
	}
	twist("torsion constant J", "mm⁴", func(t torsion.Result) string { return round4(t.J) })
	twist("GJ", "N·m²", func(t torsion.Result) string { return round4(t.GJ / 1e6) })
	most := 0
	for _, t := range ts {
		most = max(most, len(t.Pieces))
	}
	for k := range most {
		which := ""
		if most > 1 {
			which = fmt.Sprintf(", piece %d", k+1)
		}
		piece := func(name, unit string, figure func(torsion.Piece) string) {
			twist(name+which, unit, func(t torsion.Result) string {
				if k >= len(t.Pieces) {
					return ""
				}
				return figure(t.Pieces[k])
			})
		}
		piece("shear centre s", "mm", func(p torsion.Piece) string { return fixed(p.ShearCentre[0], 3) })
		piece("shear centre z", "mm", func(p torsion.Piece) string { return fixed(p.ShearCentre[1], 3) })
		piece("warping", "mm⁶", func(p torsion.Piece) string { return round4(p.Warping) })
	}
	t.write(b, "  ")
}

// zeroed is v, or 0 where v is only rounding of the integrals beside scale, not a figure.
func zeroed(v, scale float64) float64 {
	if v < 1e-9*scale && -v < 1e-9*scale {
		return 0
	}
	return v
}

// About is a plan's cycle time as it is shown everywhere: with two significant digits, and with the band that holds until
// the shop's own jobs have calibrated it.
func About(p route.Plan) string {
	if p.Incomplete {
		return fmt.Sprintf("more than %s min (incomplete: see the findings)", round2(p.CycleMin))
	}
	by := "uncalibrated"
	if p.CalibratedBy > 0 {
		by = fmt.Sprintf("by %d past jobs", p.CalibratedBy)
	}
	return fmt.Sprintf("about %s min (%s %s–%s)", round2(p.CycleMin), by, round2(p.CycleLow), round2(p.CycleHigh))
}

func writeMachining(b *strings.Builder, p route.Plan) {
	fmt.Fprintf(b, "\nMachining, one piece: %s\n", About(p))
	t := table{right: "lr"}
	t.add("cutting", round2(p.CuttingMin), "min")
	t.add("rapids", round2(p.RapidMin), "min")
	t.add("tool changes", round2(p.ToolChangeMin), "min")
	t.add("rest of the cycle", round2(p.OtherMachineMin), "min, probing, starting the spindle, turning taps round")
	t.add("floor to floor", round2(p.FloorToFloorMin), "min, with loading, turning over, cleaning and gauging")
	t.add("set-up", round2(p.SetupMin), "min, once for a batch")
	t.add("stock removed", round4(p.Removed/1e3), "cm³")
	t.write(b, "  ")
	for _, s := range p.SetUps {
		b.WriteString("\n")
		wrap(b, setUpLine(s), pageWidth, "  ", "    ")
		writeOperations(b, p, s.Number)
	}
	writeElsewhere(b, p)
}

// setUpLine describes one clamping.
func setUpLine(s route.SetUp) string {
	line := fmt.Sprintf("Set-up %d: %s face up, work zero at %s, %s of the plate", s.Number, s.Face, fixed(s.Zero.X, 2), fixed(s.Zero.Y, 2))
	if s.Turn != "" {
		line += fmt.Sprintf(", turned about %s", strings.ToUpper(string(s.Turn)))
	}
	if s.Holding != "" {
		line += "; held: " + s.Holding
	}
	if s.Note != "" {
		line += "; " + s.Note
	}
	return line + "; " + round2(s.Minutes) + " min"
}

func writeOperations(b *strings.Builder, p route.Plan, setUp int) {
	t := table{right: "rlrrrrrrll"}
	t.add("no", "tool", "min", "cutting", "rapid", "path m", "removed cm³", "rpm", "operation", "limited by")
	n := 0
	for i, o := range p.Operations {
		if o.SetUp != setUp || o.Where != route.OnMachine {
			continue
		}
		n++
		t.add(fmt.Sprint(i+1), magazineName(o), column2(o.TotalMin), column2(o.CuttingMin), column2(o.RapidMin),
			column2(o.PathMM/1e3), column4(o.Removed/1e3), fixed(o.Spindle, 0), o.Name, o.LimitedBy)
	}
	if n > 0 {
		t.write(b, "    ")
	}
}

// magazineName is a tool as the machinist finds it: its place in the magazine, and its name in the shop's list.
func magazineName(o route.Operation) string {
	if o.ToolNumber == 0 {
		return toolName(o)
	}
	return fmt.Sprintf("T%d %s", o.ToolNumber, toolName(o))
}

// writeElsewhere lists what is not done on the machine.
func writeElsewhere(b *strings.Builder, p route.Plan) {
	t := table{right: "rlrl"}
	for i, o := range p.Operations {
		if o.Where != route.OnMachine {
			t.add(fmt.Sprint(i+1), string(o.Where), round2(o.TotalMin), "min", o.Name)
		}
	}
	if len(t.rows) > 0 {
		b.WriteString("\n  By hand or elsewhere\n")
		t.write(b, "    ")
	}
}

func writeChanges(b *strings.Builder, base Baseline) {
	fmt.Fprintf(b, "\nAgainst the baseline %s\n", short(base.Revision))
	if len(base.Changes) == 0 {
		b.WriteString("  no figure differs\n")
		return
	}
	t := table{right: "lrrrl"}
	t.add("", "was", "is", "change", "")
	for _, c := range base.Changes {
		from, unit := readable(c.From, c.Unit)
		to, _ := readable(c.To, c.Unit)
		was, is, diff := "–", "–", ""
		if c.HasFrom {
			was = round4(from)
		}
		if c.HasTo {
			is = round4(to)
		}
		if c.HasFrom && c.HasTo {
			diff = signed(to - from)
		}
		t.add(c.Name, was, is, diff, unit)
	}
	t.write(b, "  ")
}

// signed writes a difference with its sign, to three significant digits.
func signed(v float64) string {
	if v > 0 {
		return "+" + significant(v, 3)
	}
	return significant(v, 3)
}

// writeFindings lists findings by level, numbered as they are marked in a picture. Those that follow each other with the
// same rule and the same fix share them.
func writeFindings(b *strings.Builder, fs []finding.Finding) {
	b.WriteString("\nFindings: " + tally(fs) + "\n")
	var last finding.Level
	for i, f := range fs {
		if f.Level != last {
			b.WriteString("  " + heading(f.Level) + "\n")
			last = f.Level
		}
		writeWhat(b, i+1, f)
		if i+1 == len(fs) || !sameRule(f, fs[i+1]) {
			writeRule(b, f)
		}
	}
}

func sameRule(f, g finding.Finding) bool {
	return f.Level == g.Level && f.Stage == g.Stage && f.Code == g.Code && f.Why == g.Why && f.Source == g.Source && f.Fix == g.Fix
}

// heading is a level as the head of its group.
func heading(l finding.Level) string {
	switch l {
	case finding.Error:
		return "Errors: the plate cannot be made, or its figures cannot be trusted, as drawn"
	case finding.Warning:
		return "Warnings"
	}
	return "Notes"
}

func writeWhat(b *strings.Builder, number int, f finding.Finding) {
	what := f.What
	if f.HasWhere {
		what += fmt.Sprintf(" (at %s, %s)", fixed(f.Where[0], 2), fixed(f.Where[1], 2))
	}
	if f.Stage != "" {
		what = f.Stage + ": " + what
	}
	wrap(b, what, pageWidth, fmt.Sprintf("  %3d  ", number), "       ")
}

func writeRule(b *strings.Builder, f finding.Finding) {
	if f.Why != "" {
		why := "why: " + f.Why
		if f.Source != "" {
			why += " [" + f.Source + "]"
		}
		wrap(b, why, pageWidth, "       ", "            ")
	}
	if f.Fix != "" {
		wrap(b, "fix: "+f.Fix, pageWidth, "       ", "            ")
	}
}

// tally counts findings by level, in words.
func tally(fs []finding.Finding) string {
	if len(fs) == 0 {
		return "none"
	}
	var parts []string
	for _, l := range finding.Levels() {
		switch n := finding.Count(fs, l); {
		case n == 1:
			parts = append(parts, "1 "+string(l))
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %ss", n, l))
		}
	}
	return strings.Join(parts, ", ")
}
