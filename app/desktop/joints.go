package desktop

import (
	"fmt"
	"math"
	"strconv"

	"platewright/export/report"
	"platewright/plate"
	"platewright/plate/check"
)

// jointColumns are those of the table of joints. The reserve stands beside the place, since it is what the table is read for.
func jointColumns() []column {
	return []column{
		{"Joint, seat or floor", 168, false},
		{"Worst of", 52, true},
		{"Check", 172, false},
		{"Demand", 56, true},
		{"Capacity", 62, true},
		{"", 40, false},
		{"Reserve", 84, true},
		{"What it rests on", 0, false},
	}
}

// jointRows is the table of the joints, seats and floors of every load case. The rows that do not hold stand in the colour of
// wrong, those below a lower bound only in that of look; what could not be assessed says why.
func (d *drawer) jointRows() (string, []row) {
	r := d.w.job.Report()
	if !r.Cases.OK || len(r.Joints) == 0 {
		return "Joints, seats and floors: no load case has been analysed", nil
	}
	doc := d.w.job.Doc()
	stale := r.Cases.Key.Revision != d.w.job.Revision()
	var rows []row
	for i, js := range r.Joints {
		c := &r.Cases.Value.Cases[i]
		head := row{bold: true, sel: selectFeature(doc, c.Case.ID), id: c.Case.ID, wide: 1, cells: []string{c.Case.Name, jointSummary(r, i)}}
		if stale {
			head.tone = toneFaint
		}
		rows = append(rows, head)
		for k := range js {
			rows = append(rows, jointRow(doc, &js[k], stale))
		}
	}
	return "Joints, seats and floors, with their standards' partial factors; press one to read what it rests on" + staleWord(stale), rows
}

func jointRow(doc plate.Plate, j *check.Joint, stale bool) row {
	at := j.At
	r := row{sel: selectFeature(doc, j.Feature), id: j.Feature, where: &at, cells: []string{
		"   " + joined(j.Where, j.Setting), "", j.Check, report.Significant(j.Demand), report.Significant(j.Capacity), j.Unit,
		jointReserve(j), report.JointBasis(*j),
	}}
	if j.Of > 1 {
		r.cells[1] = strconv.Itoa(j.Of)
	}
	switch {
	case j.NotAssessed != "":
		r.cells[4], r.tone = "–", toneQuiet
		r.cells[7] = j.NotAssessed + ". " + r.cells[7]
	case j.Reserve < 1 && j.Bound:
		r.word, r.wordTone = 6, toneLook
	case j.Reserve < 1:
		r.word, r.wordTone = 6, toneWrong
	}
	r.says = r.cells[2] + ": " + r.cells[7]
	if stale {
		r.tone, r.word, r.wordTone = toneFaint, 0, toneInk
	}
	return r
}

func jointReserve(j *check.Joint) string {
	switch {
	case j.NotAssessed != "":
		return "not assessed"
	case math.IsInf(j.Reserve, 1):
		return "no load"
	}
	return factorText(j.Reserve)
}

// jointSummary is one line on the joints of a load case, by its index: the least reserve, and how many were not assessed.
func jointSummary(r report.Report, i int) string {
	if i >= len(r.Joints) || len(r.Joints[i]) == 0 {
		return ""
	}
	js := r.Joints[i]
	least, missed := -1, 0
	for k := range js {
		switch {
		case js[k].NotAssessed != "":
			missed++
		case least < 0 || js[k].Reserve < js[least].Reserve:
			least = k
		}
	}
	text := plural(len(js), "check")
	if least >= 0 && !math.IsInf(js[least].Reserve, 1) {
		text += fmt.Sprintf("; least reserve %s, %s, %s", jointReserve(&js[least]), js[least].Where, js[least].Check)
	}
	if missed > 0 {
		text += fmt.Sprintf("; %d not assessed", missed)
	}
	return text
}
