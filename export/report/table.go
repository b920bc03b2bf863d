package report

import (
	"strings"
	"unicode/utf8"
)

// table lays out rows in columns: text to the left, numbers to the right. The standard library's tabwriter aligns all
// columns of a table to one side.
type table struct {
	right string // one letter for each column: 'r' aligns to the right, anything else to the left
	rows  [][]string
}

// add appends a row; it may be shorter than the others.
func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// write appends the table to b, each line indented, columns two spaces apart, no spaces at the ends of lines.
func (t *table) write(b *strings.Builder, indent string) {
	var width []int
	for _, row := range t.rows {
		for i, c := range row {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	for _, row := range t.rows {
		line := indent
		for i, c := range row {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if i > 0 {
				line += "  "
			}
			if i < len(t.right) && t.right[i] == 'r' {
				line += pad + c
			} else {
				line += c + pad
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// wrap appends text broken at spaces to lines of at most width runes (longer only for one long word), the first line after
// first, the others after rest.
func wrap(b *strings.Builder, text string, width int, first, rest string) {
	line, empty := first, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(line + "\n")
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}
