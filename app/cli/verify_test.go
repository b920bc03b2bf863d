package cli

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"platewright/app/verify"
)

// A row that is off is marked in the table and makes the exit code 1; one that is not checked does neither.
func TestVerifyVerdict(t *testing.T) {
	good := verify.Row{Name: "a", Quantity: "q", Published: 2, Computed: 2.001, Tolerance: 1, Kind: verify.Element, Source: "s", Seen: verify.Seen}
	off, unread, absent := good, good, good
	off.Published = 2.1 // wrong by 5 %
	unread.Published, unread.Seen = math.NaN(), verify.NotChecked
	absent.Computed = math.NaN()
	for _, c := range []struct {
		rows  []verify.Row
		fails bool
		last  string
	}{
		{[]verify.Row{good, unread}, false, "1 rows agree with the published value, 0 do not, 1 are not checked\n"},
		{[]verify.Row{good, off}, true, "1 rows agree with the published value, 1 do not, 0 are not checked\n"},
		{[]verify.Row{absent}, true, "0 rows agree with the published value, 1 do not, 0 are not checked\n"},
	} {
		err := verdict(c.rows)
		var f *failure
		if (err != nil) != c.fails || c.fails && (!errors.As(err, &f) || f.code != exitJob) {
			t.Errorf("verdict on %v: %v", c.rows, err)
		}
		var b bytes.Buffer
		if err := verified(&b, c.rows); err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(b.String(), c.last) || strings.Contains(b.String(), "NO ") != c.fails {
			t.Errorf("table of %v:\n%s", c.rows, b.String())
		}
	}
}
