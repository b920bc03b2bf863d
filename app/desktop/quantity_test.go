package desktop

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	mm, in, deg, kg := lengthIn(false), lengthIn(true), angle(), massKG()
	tests := []struct {
		kind quantity
		text string
		want float64
	}{
		{mm, "12", 12},
		{mm, "  12.5 ", 12.5},
		{mm, "12,5", 12.5},
		{mm, "0,125", 0.125},
		{mm, ".5", 0.5},
		{mm, "5.", 5},
		{mm, "-3", -3},
		{mm, "−3", -3},
		{mm, "+-3", -3},
		{mm, "1e2", 100},
		{mm, "1.5E-1 m", 150},
		{mm, "2*12.5", 25},
		{mm, "2×12.5", 25},
		{mm, "10+5*2", 20},
		{mm, "(10+5)*2", 30},
		{mm, "10-5-2", 3},
		{mm, "100/4/5", 5},
		{mm, "3/8 in", 9.525}, // the inch is 25.4 mm by definition (ISO 31-1 and national law)
		{mm, "3/8in", 9.525},
		{mm, `3/8"`, 9.525},
		{mm, "1 1/2 in", 38.1},
		{mm, "1 1/2", 1.5},
		{mm, "-1 1/2 in", -38.1},
		{mm, "1 in + 3/8 in", 34.925},
		{mm, "1 in + 10", 35.4}, // a bare number is meant in the unit shown
		{mm, "10 + 1 in", 35.4},
		{mm, "1.2 m", 1200},
		{mm, "2 * 1.2 m", 2400},
		{mm, "1.2 m * 2", 2400},
		{mm, "1.2 m / 4", 300},
		{mm, "3 cm", 30},
		{mm, "250 um", 0.25},
		{mm, "250 µm", 0.25},
		{mm, "5 thou", 0.127},
		{mm, "1 ft", 304.8},
		{mm, "(1+2) in", 76.2},
		{mm, "((((4))))", 4},
		{in, "1", 25.4},
		{in, "10 mm", 10},
		{in, "1 + 1 mm", 26.4},
		{deg, "30", 30},
		{deg, "30°", 30},
		{deg, "30 deg", 30},
		{deg, "360/7", 360.0 / 7},
		{deg, "1 rad", 180 / math.Pi},
		{kg, "850 g", 0.85},
		{kg, "2 lb", 0.90718474}, // the pound is 0.45359237 kg by definition
		{minutes(), "90 s", 1.5},
		{areaIn(false), "2 cm²", 200},
		{areaIn(false), "2 cm2", 200},
		{bending(), "5 N·m²", 5e6},
		{bending(), "5e6", 5e12},
		{bending(), "5e6 N·mm²", 5e6},
		{count(), "3*2", 6},
		{ratio(), "1/4", 0.25},
		{quantity{}, "7", 7},
	}
	for _, c := range tests {
		got, err := c.kind.parse(c.text)
		if err != nil || math.Abs(got-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%s: Parse(%q) = %v, %v, want %v", c.kind.name, c.text, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	mm := lengthIn(false)
	tests := []struct {
		kind quantity
		text string
		want string // in the sentence
	}{
		{mm, "", "write a number"},
		{mm, "   ", "write a number"},
		{mm, "abc", "not a unit of length"},
		{mm, "3 kg", "“kg” is not a unit of length; known are mm"},
		{mm, "3 4", "a sign is missing"},
		{mm, "3 4/", "not complete"},
		{mm, "3 4/0", "not complete"},
		{mm, "3.5 1/2", "a sign is missing"},
		{mm, "3+", "missing at the end"},
		{mm, "(3", "closing bracket"},
		{mm, "3)", "not expected"},
		{mm, "*3", "a number is missing before “*”"},
		{mm, "mm", "a number is missing before “mm”"},
		{mm, "3 mm mm", "one unit too many"},
		{mm, "3 mm * 4 mm", "two units multiplied"},
		{mm, "3 mm / 4 mm", "units cancel"},
		{mm, "3 / (4 mm)", "divided by a unit"},
		{mm, "1/0", "divides by zero"},
		{mm, "1,200", "write 1200 or 1.200"},
		{mm, "1.200.000", "one decimal point"},
		{mm, "1e999", "too large"},
		{mm, "1e308*1e10", "not a finite number"},
		{mm, "NaN", "not a unit"},
		{mm, "Inf", "not a unit"},
		{mm, ".", "a digit is missing"},
		{mm, strings.Repeat("(", 60) + "1" + strings.Repeat(")", 60), "too many brackets"},
		{mm, strings.Repeat("1", 300), "too long"},
		{mm, "\xff", "not a unit"},
		{count(), "2.5", "whole numbers"},
		{count(), "3 mm", "not a unit of number"},
		{angle(), "3 mm", "not a unit of angle"},
	}
	for _, c := range tests {
		got, err := c.kind.parse(c.text)
		var pe *parseError
		if !errors.As(err, &pe) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Parse(%q) = %v, %v, want an error with %q", c.text, got, err, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	tests := []struct {
		kind      quantity
		v         float64
		bare, all string
	}{
		{lengthIn(false), 25, "25", "25 mm"},
		{lengthIn(false), 12.5, "12.5", "12.5 mm"},
		{lengthIn(false), -0.00001, "0", "0 mm"},
		{lengthIn(false), 1.0 / 3, "0.3333", "0.3333 mm"},
		{lengthIn(true), 9.525, "0.375", "0.375 in"},
		{angle(), 30, "30", "30°"},
		{count(), 8, "8", "8"},
		{count(), 100, "100", "100"},
		{massKG(), 1.25, "1.25", "1.25 kg"},
	}
	for _, c := range tests {
		if got := c.kind.format(c.v); got != c.bare {
			t.Errorf("%s: Format(%v) = %q, want %q", c.kind.name, c.v, got, c.bare)
		}
		if got := c.kind.formatUnit(c.v); got != c.all {
			t.Errorf("%s: FormatUnit(%v) = %q, want %q", c.kind.name, c.v, got, c.all)
		}
	}
}

// What is shown reads back as what is kept, to the decimals shown.
func TestFormatParsesBack(t *testing.T) {
	kinds := []quantity{lengthIn(false), lengthIn(true), areaIn(false), areaIn(true), angle(), massKG(), minutes(), bending(), stress(), density(), ratio()}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		for _, s := range []string{k.format(v), k.formatUnit(v)} {
			if k.name == "density" && s == k.formatUnit(v) {
				continue // its unit is a quotient of units, which the arithmetic does not know
			}
			got, err := k.parse(s)
			tol := k.kept(0.5000001*math.Pow(10, -float64(k.decimals))) + 1e-12*math.Abs(v)
			if err != nil || math.Abs(got-v) > tol {
				t.Fatalf("%s: Parse(%q) = %v, %v, want %v within %v", k.name, s, got, err, v, tol)
			}
		}
	})
}

// Arithmetic agrees with Go's own on random sums of products.
func TestArithmeticAgainstGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.IntRange(-99, 99).Draw(t, "a")
		b := rapid.IntRange(1, 99).Draw(t, "b")
		c := rapid.IntRange(-99, 99).Draw(t, "c")
		d := rapid.IntRange(1, 99).Draw(t, "d")
		k := lengthIn(false)
		num := func(i int) string { return k.format(float64(i)) }
		text := num(a) + "*" + num(b) + "-" + num(c) + "/" + num(d) + " in"
		want := float64(a*b) - float64(c)/float64(d)*25.4
		got, err := k.parse(text)
		if err != nil || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
			t.Fatalf("Parse(%q) = %v, %v, want %v", text, got, err, want)
		}
	})
}

func TestRange(t *testing.T) {
	mm := lengthIn(false)
	tests := []struct {
		r       limits
		text    string
		in, out []float64
	}{
		{limits{}, "", []float64{-1e9, 0, 1e9}, []float64{math.NaN(), math.Inf(1)}},
		{between(1, 500), "1 to 500 mm", []float64{1, 20, 500}, []float64{0.999, 500.001, math.NaN()}},
		{limits{min: 0, max: 15, set: true, below: true}, "from 0, below 15 mm", []float64{0, 14.9}, []float64{15}},
		{limits{min: 0, max: 15, set: true, above: true, below: true}, "above 0, below 15 mm", []float64{1}, []float64{0, 15}},
		{over(0, 500), "above 0, up to 500 mm", []float64{1e-9, 500}, []float64{0, -1}},
		{over(0, math.Inf(1)), "above 0 mm", []float64{1, 1e300}, []float64{0, math.Inf(1)}},
		{between(0, math.Inf(1)), "0 mm or more", []float64{0, 1e300}, []float64{-1}},
		{between(math.Inf(-1), 5), "up to 5 mm", []float64{-1e9, 5}, []float64{5.1}},
	}
	for _, c := range tests {
		if got := c.r.text(mm); got != c.text {
			t.Errorf("%+v.Text = %q, want %q", c.r, got, c.text)
		}
		for _, v := range c.in {
			if !c.r.contains(v) {
				t.Errorf("%+v.Contains(%v) = false", c.r, v)
			}
		}
		for _, v := range c.out {
			if c.r.contains(v) {
				t.Errorf("%+v.Contains(%v) = true", c.r, v)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"3/8 in", "2*12.5", "1.2 m", "1 1/2\"", "(1+2)*3", "1,5", "1e5", "-−+3", "°", "5'", "((", "1/0", "\xff\xfe"} {
		f.Add(s)
	}
	kinds := []quantity{lengthIn(false), lengthIn(true), angle(), areaIn(false), bending(), count(), {}}
	f.Fuzz(func(t *testing.T, s string) {
		for _, k := range kinds {
			v, err := k.parse(s)
			if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Errorf("%s: Parse(%q) = %v without an error", k.name, s, v)
			}
			if err != nil && v != 0 {
				t.Errorf("%s: Parse(%q) = %v with error %v, want 0", k.name, s, v, err)
			}
			if err != nil && err.Error() == "" {
				t.Errorf("%s: Parse(%q) refuses without a sentence", k.name, s)
			}
		}
	})
}

// between is the closed range from lo to hi.
func between(lo, hi float64) limits { return limits{min: lo, max: hi, set: true} }

// over is the range from lo, itself not allowed, to hi.
func over(lo, hi float64) limits { return limits{min: lo, max: hi, set: true, above: true} }
