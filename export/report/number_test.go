package report

import (
	"math"
	"strings"
	"testing"
)

func TestSignificant(t *testing.T) {
	tests := []struct {
		v      float64
		digits int
		want   string
	}{
		{0, 4, "0"},
		{1.28449, 4, "1.284"},
		{9.9996, 4, "10.00"},
		{0.0123456, 4, "0.01235"},
		{-0.5, 2, "-0.50"},
		{41.3, 2, "41"},
		{4.13, 2, "4.1"},
		{9.96, 2, "10"},
		{99.6, 2, "100"}, // two digits of a number that rounds up to three places
		{137, 2, "140"},
		{1234, 4, "1234"},
		{12346, 4, "12 350"},
		{8123456789, 4, "8 123 000 000"},
		{-8123456, 4, "-8 123 000"},
		{math.Inf(1), 4, "+Inf"},
	}
	for _, tt := range tests {
		if got := significant(tt.v, tt.digits); got != tt.want {
			t.Errorf("significant(%v, %d) = %q, want %q", tt.v, tt.digits, got, tt.want)
		}
	}
}

func TestColumnEndsAtHundredths(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 0.0082: "0.01", 0.041: "0.04", 0.43: "0.43", 9.96: "10", 0.001: "0.00", 12.5: "12"} {
		if got := column2(v); got != want {
			t.Errorf("column2(%v) = %q, want %q", v, got, want)
		}
	}
	if got, want := column4(6.916), "6.92"; got != want {
		t.Errorf("column4(6.916) = %q, want %q", got, want)
	}
}

func TestFixedHasNoNegativeZero(t *testing.T) {
	for v, want := range map[float64]string{-1e-9: "0.000", 12345.6789: "12 345.679", -7.5: "-7.500"} {
		if got := fixed(v, 3); got != want {
			t.Errorf("fixed(%v, 3) = %q, want %q", v, got, want)
		}
	}
}

func TestTableAlignsNumbersRight(t *testing.T) {
	tab := table{right: "lrl"}
	tab.add("mass", "1.284", "kg")
	tab.add("volume", "12 350", "mm³")
	tab.add("ratio", "2")
	var b strings.Builder
	tab.write(&b, "  ")
	want := "  mass     1.284  kg\n  volume  12 350  mm³\n  ratio        2\n"
	if b.String() != want {
		t.Errorf("table:\n%q\nwant\n%q", b.String(), want)
	}
}

func TestWrap(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "* \n"},
		{"one two three four", "* one two\n  three four\n"},
		{"incomprehensibilities is long", "* incomprehensibilities\n  is long\n"},
	}
	for _, tt := range tests {
		var b strings.Builder
		wrap(&b, tt.text, 12, "* ", "  ")
		if got := b.String(); strings.TrimRight(got, " \n") != strings.TrimRight(tt.want, " \n") {
			t.Errorf("wrap(%q) = %q, want %q", tt.text, got, tt.want)
		}
	}
}
