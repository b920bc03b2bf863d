package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"platewright/app/verify"
	"platewright/export/report"
)

type verifyCmd struct {
	Only string `placeholder:"TEXT" help:"Run only the rows whose name or quantity holds this text."`
	JSON bool   `name:"json" help:"Print one JSON list whose keys carry units."`
}

// Help is the long help.
func (verifyCmd) Help() string {
	return `Examples:

    platewright verify
    platewright verify --only "rolled section" --json

Published check cases are computed by this program, and each result is printed beside the published value. The last column says
where that stands, and whether it was seen there, is from memory, or is computed by a closed form or another program. Rows that
are not checked say why. With a row that is off by more than its tolerance, the exit code is 1.`
}

// Run computes the published cases and fails where one is off.
func (c *verifyCmd) Run(e *env) error {
	o := verify.Options{Only: c.Only}
	if onTerminal(e.stderr) {
		o.Progress = func(done, all int, name string) {
			fmt.Fprintf(e.stderr, "\r\x1b[K%d of %d: %s", done, all, name)
		}
		defer fmt.Fprint(e.stderr, "\r\x1b[K")
	}
	rows, err := verify.Run(e.ctx, o)
	if e.ctx.Err() != nil {
		return e.ctx.Err()
	}
	if len(rows) == 0 && err == nil {
		return usage("--only: no row's name or quantity holds %q; see platewright verify", c.Only)
	}
	if c.JSON {
		enc := json.NewEncoder(e.stdout)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		err = errors.Join(err, enc.Encode(rows))
	} else {
		err = errors.Join(err, verified(e.stdout, rows))
	}
	if err != nil {
		return failed("%v", err)
	}
	return verdict(rows)
}

// verdict fails where a row is off by more than it may be.
func verdict(rows []verify.Row) error {
	off := 0
	for _, r := range rows {
		if r.Checked() && !r.OK() {
			off++
		}
	}
	if off > 0 {
		return failed("%d of %d rows are further from the published value than they may be; see the rows whose ok is NO or false", off, len(rows))
	}
	return nil
}

// verified prints the rows as a table.
func verified(w io.Writer, rows []verify.Row) error {
	lines := [][]string{{"case", "quantity", "published", "computed", "off by %", "allowed %", "ok", "kind", "published value"}}
	count := map[string]int{}
	for _, r := range rows {
		count[r.State()]++
		lines = append(lines, []string{
			r.Name, r.Quantity, verifyNumber(r.Published, "%.6g"), verifyNumber(r.Computed, "%.6g"), verifyNumber(r.Difference(), "%+.3f"),
			allowed(r), r.State(), string(r.Kind), r.Seen + ": " + r.Source,
		})
	}
	width := make([]int, len(lines[0]))
	for _, l := range lines {
		for i, s := range l {
			width[i] = max(width[i], utf8.RuneCountInString(s))
		}
	}
	var b strings.Builder
	for _, l := range lines {
		for i, s := range l {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(s))
			switch {
			case i == len(l)-1:
				b.WriteString(s + "\n")
			case i >= 2 && i <= 5: // numbers end in one column
				b.WriteString(pad + s + "  ")
			default:
				b.WriteString(s + pad + "  ")
			}
		}
	}
	fmt.Fprintf(&b, "\nplatewright %s: %d rows agree with the published value, %d do not, %d are not checked\n",
		report.Version(), count["yes"], count["NO"], count[verify.NotChecked])
	_, err := io.WriteString(w, b.String())
	return err
}

// verifyNumber is a number in the given form, or a dash where there is none.
func verifyNumber(x float64, format string) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf(format, x)
}

// allowed is the tolerance of a row, with both ends where they differ.
func allowed(r verify.Row) string {
	high := strconv.FormatFloat(r.Tolerance, 'g', 2, 64)
	switch {
	case math.IsNaN(r.Tolerance):
		return "-"
	case r.Under > 0:
		return fmt.Sprintf("-%g/+%s", r.Under, high)
	}
	return high
}

// onTerminal says whether what is written is seen by someone as it comes.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
