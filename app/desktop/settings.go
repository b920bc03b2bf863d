package desktop

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"platewright/plate"
	"platewright/plate/kinematics"
)

// settingsRows is the table of settings: what each makes of the adjusters, and where their centres come to lie. It is worked
// out here, because it needs the document only and takes little time, and kept until the document changes.
func (d *drawer) settingsRows() (string, []row) {
	doc := d.w.job.Doc()
	if d.settingsOf != d.w.job.Revision() {
		d.settings, d.settingsErr = kinematics.PlateTable(context.Background(), doc)
		d.settingsOf = d.w.job.Revision()
	}
	if d.settingsErr != nil {
		return "Settings: " + d.settingsErr.Error(), nil
	}
	var rows []row
	for _, r := range d.settings.Rows {
		head := row{bold: true, cells: []string{r.Setting, "", "", "", ""}, sel: selection{stage: plate.StageHoles}}
		for _, s := range doc.Settings {
			if s.Name == r.Setting && r.Of != "" {
				head.sel, head.id = selectFeature(doc, s.ID), s.ID
				if doc.Setting == s.ID {
					head.cells[1] = "drawn"
				}
			}
		}
		rows = append(rows, head)
		for _, a := range r.Adjusters {
			rows = append(rows, adjusterRow(doc, r, a))
		}
		for _, p := range r.Problems {
			rows = append(rows, row{tone: toneLook, sel: head.sel, cells: []string{"", "", "", "", upperFirst(p)}})
		}
	}
	return "Settings of the adjusters, and where their centres come to lie", rows
}

// adjusterRow is one adjuster in one setting.
func adjusterRow(doc plate.Plate, r kinematics.Row, a kinematics.Adjuster) row {
	out := row{sel: selectFeature(doc, a.Feature), cells: []string{"   " + a.Name, "", "", "", ""}}
	switch {
	case a.AngleDeg != nil:
		out.cells[1] = angle().formatUnit(*a.AngleDeg)
	case a.Position != nil:
		out.cells[1] = lengthIn(false).formatUnit(*a.Position)
	}
	for _, c := range r.Centres {
		if c.Feature == a.Feature {
			out.cells[2], out.cells[3] = fmt.Sprintf("%.3f", c.Plate[0]), fmt.Sprintf("%.3f", c.Plate[1])
		}
	}
	if a.Bolts != nil {
		out.cells[4] = bolts(*a.Bolts)
		if len(a.Holes) > 0 {
			var hs []string
			for _, h := range a.Holes {
				hs = append(hs, strconv.Itoa(h))
			}
			out.cells[4] += ", in holes " + strings.Join(hs, ", ")
		}
		if *a.Bolts < a.LeastBolt {
			out.cells[4] += fmt.Sprintf("; at least %d are asked for", a.LeastBolt)
			out.tone = toneLook
		}
	}
	return out
}

// hasAdjusters tells whether there is anything that settings are about.
func hasAdjusters(p plate.Plate) bool {
	if len(p.Rings)+len(p.Eccentrics) > 0 {
		return true
	}
	for _, s := range p.Slots {
		if s.Adjusting {
			return true
		}
	}
	return false
}
