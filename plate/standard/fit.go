package standard

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Limits are the limit deviations of a tolerance class at a nominal size.
type Limits struct {
	Class   string  // such as "H7"; capitals are holes
	Nominal float64 // mm
	Upper   float64 // deviation of the largest permitted size from nominal, mm (ES or es)
	Lower   float64 // deviation of the smallest, mm (EI or ei)
	IT      float64 // Upper − Lower: the width of the zone, mm
	Before  bool    // these are the limits to machine to before a finish that grows; see BeforeFinish
}

// Max is the largest permitted size, mm.
func (l Limits) Max() float64 { return l.Nominal + l.Upper }

// Min is the smallest permitted size, mm.
func (l Limits) Min() float64 { return l.Nominal + l.Lower }

// Hole reports whether the class is one of holes, that is, written with a capital.
func (l Limits) Hole() bool { return l.Class != "" && l.Class[0] >= 'A' && l.Class[0] <= 'Z' }

// String gives nominal, class and deviations, such as 42 H7 (+0.025 / 0).
func (l Limits) String() string {
	s := fmt.Sprintf("%s %s (%s / %s)", short(l.Nominal), l.Class, Deviation(l.Upper), Deviation(l.Lower))
	if l.Before {
		s += " before finish"
	}
	return s
}

// Deviation writes a limit deviation in mm as a drawing does: with its sign, to the tenth of a micrometre where there is
// one, and 0 without a sign.
func Deviation(mm float64) string {
	um := math.Round(mm*1e4) / 10
	switch {
	case um == 0:
		return "0"
	case um == math.Trunc(um):
		return fmt.Sprintf("%+.3f", um/1000)
	}
	return fmt.Sprintf("%+.4f", um/1000)
}

func short(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Classes lists the fundamental deviations held, holes first ("C" to "U"), then shafts ("c" to "u").
func Classes() []string {
	all := make([]string, 0, 2*len(letters))
	for _, l := range letters {
		all = append(all, strings.ToUpper(l))
	}
	return append(all, letters...)
}

// UsualHoles lists the tolerance classes of bores in common use, from running fits to presses.
func UsualHoles() []string {
	return []string{"F7", "G7", "H6", "H7", "H8", "H9", "H11", "J7", "JS7", "K7", "M7", "N7", "P7", "R7", "S7"}
}

// ParseClass splits a tolerance class such as "H7" or "js6" into its letters and its grade. Holes are written in capitals,
// shafts in small letters.
func ParseClass(class string) (letter string, grade int, err error) {
	n := 0
	for n < len(class) && (class[n] < '0' || class[n] > '9') {
		n++
	}
	letter, digits := class[:n], class[n:]
	if letter == "" || digits == "" {
		return "", 0, fmt.Errorf("standard: %q is not a tolerance class; write a letter and a grade, such as H7 or g6", class)
	}
	if !slices.Contains(letters, letter) && !slices.Contains(letters, strings.ToLower(letter)) || mixed(letter) {
		return "", 0, fmt.Errorf("standard: the fundamental deviation %q of %q is not held; holes are C to U in capitals, "+
			"shafts c to u in small letters", letter, class)
	}
	grade, err = strconv.Atoi(digits)
	if err != nil || grade < 1 || grade > MaxGrade || digits[0] == '0' {
		return "", 0, fmt.Errorf("standard: the grade %q of %q is not one of 1 to %d", digits, class, MaxGrade)
	}
	return letter, grade, nil
}

func mixed(s string) bool { return s != strings.ToUpper(s) && s != strings.ToLower(s) }

// Fit gives the limits of a tolerance class at a nominal size in mm (over 0 to 500) by ISO 286-1: the fundamental deviation
// and the width of the grade. JS and js are ± half the grade and not rounded to whole micrometres, which the standard
// leaves open.
func Fit(class string, size float64) (Limits, error) {
	letter, grade, err := ParseClass(class)
	if err != nil {
		return Limits{}, err
	}
	width, err := IT(grade, size)
	if err != nil {
		return Limits{}, fmt.Errorf("%s: %w", class, err)
	}
	z := zone{grade: grade, size: size, width: width * 1000}
	hole := letter == strings.ToUpper(letter)
	if hole {
		err = z.hole(strings.ToLower(letter))
	} else {
		err = z.shaft(letter)
	}
	if err != nil {
		return Limits{}, fmt.Errorf("standard: %s at %s mm: %w", class, short(size), err)
	}
	return Limits{Class: class, Nominal: size, Upper: z.upper / 1000, Lower: z.lower / 1000, IT: width}, nil
}

// zone collects the deviations of one class, micrometres.
type zone struct {
	grade        int
	size, width  float64
	upper, lower float64
}

func (z *zone) main() int { return step(z.size, sizeSteps[:]) }
func (z *zone) fine() int { return step(z.size, fineSteps[:]) }

// below places the zone with its upper deviation at v, above with its lower deviation at v.
func (z *zone) below(v float64) error { z.upper, z.lower = v+0, v-z.width; return nil }
func (z *zone) above(v float64) error { z.upper, z.lower = v+z.width, v+0; return nil }

var errGrade = errors.New("ISO 286-1 gives no deviation for this grade at this size; choose another grade or letter")

// shaft places the zone of a shaft.
func (z *zone) shaft(letter string) error {
	switch letter {
	case "c", "d", "e", "f", "g", "h":
		return z.below(-z.clearance(letter))
	case "js":
		return z.below(z.width / 2)
	case "j":
		return z.shaftJ()
	case "k":
		if z.grade < 4 || z.grade > 7 {
			return z.above(0)
		}
	}
	ei, err := z.interference(letter)
	if err != nil {
		return err
	}
	return z.above(ei)
}

func (z *zone) shaftJ() error {
	switch {
	case z.grade == 5 || z.grade == 6:
		return z.above(shaftJ6[z.main()])
	case z.grade == 7:
		return z.above(shaftJ7[z.main()])
	case z.grade == 8 && z.size <= 3:
		return z.above(-6)
	}
	return errGrade
}

// hole places the zone of a hole. Holes C to H mirror the shafts. Holes K to U mirror them too, but where a hole is paired
// with a shaft one grade finer (K, M and N up to grade 8, the others up to grade 7) the deviation is raised by
// Δ = IT(n) − IT(n−1), so that, for instance, H7/p6 and P7/h6 have the same clearances. There is no Δ up to 3 mm.
func (z *zone) hole(letter string) error {
	switch letter {
	case "c", "d", "e", "f", "g", "h":
		return z.above(z.clearance(letter))
	case "js":
		return z.below(z.width / 2)
	case "j":
		if z.grade < 6 || z.grade > 8 {
			return errGrade
		}
		return z.below(holeJ[z.grade-6][z.main()])
	}
	ei, err := z.interference(letter)
	if err != nil {
		return err
	}
	switch {
	case letter == "k" && z.grade > 8 && z.size > 3:
		return errGrade // the standard has K above grade 8 up to 3 mm only
	case letter == "n" && z.grade > 8 && z.size <= 1:
		return errGrade
	case letter == "n" && z.grade > 8 && z.size > 3:
		return z.below(0)
	case letter == "m" && z.grade == 6 && z.size > 250 && z.size <= 315:
		return z.below(-9) // the standard's special case, in place of −11
	}
	return z.below(-ei + z.delta(letter))
}

// delta is Δ in micrometres.
func (z *zone) delta(letter string) float64 {
	last := 7
	if letter == "k" || letter == "m" || letter == "n" {
		last = 8
	}
	if z.size <= 3 || z.grade < 3 || z.grade > last { // the standard's Δ begins with IT3
		return 0
	}
	return micrometres(z.grade, z.main()) - micrometres(z.grade-1, z.main())
}

// clearance is the distance of the zones c to h from nominal.
func (z *zone) clearance(letter string) float64 {
	switch letter {
	case "c":
		return shaftC[z.fine()]
	case "d":
		return shaftD[z.main()]
	case "e":
		return shaftE[z.main()]
	case "f":
		return shaftF[z.main()]
	case "g":
		return shaftG[z.main()]
	}
	return 0
}

// interference is the lower deviation of the shafts k to u; for k that of grades 4 to 7.
func (z *zone) interference(letter string) (float64, error) {
	switch letter {
	case "k":
		return shaftK[z.main()], nil
	case "m":
		return shaftM[z.main()], nil
	case "n":
		return shaftN[z.main()], nil
	case "p":
		return shaftP[z.main()], nil
	case "r":
		return shaftR[z.fine()], nil
	case "s":
		return shaftS[z.fine()], nil
	case "u":
		return shaftU[z.fine()], nil
	}
	if z.size <= 24 {
		return 0, errors.New("t begins over 24 mm in ISO 286-1; u is next to it")
	}
	return shaftT[z.fine()], nil
}

// BeforeFinish gives the limits to machine to so that the part holds l after a finish (such as anodising) that grows by the
// given height in mm on every surface: a hole is machined larger by twice the growth, a shaft smaller. The growth is what
// the surface rises, not the thickness of the layer; for anodising it is about half of that, common practice, no source.
func (l Limits) BeforeFinish(growth float64) (Limits, error) {
	return l.BeforeFinishBetween(growth, growth)
}

// BeforeFinishBetween is BeforeFinish for a growth that lies between least and most. The zone narrows by twice the
// difference; the error is a *ZoneError when nothing is left of it.
func (l Limits) BeforeFinishBetween(least, most float64) (Limits, error) {
	const highest = 1.0 // mm; no finish is a tenth of this
	if !(least >= 0 && most >= least && most <= highest) {
		return Limits{}, fmt.Errorf("standard: a growth of %g to %g mm on a surface is not one of 0 to %g mm with the lesser first", least, most, highest)
	}
	b := l
	b.Before = true
	if l.Hole() {
		b.Upper, b.Lower = l.Upper+2*least, l.Lower+2*most
	} else {
		b.Upper, b.Lower = l.Upper-2*most, l.Lower-2*least
	}
	b.IT = b.Upper - b.Lower
	const negligible = 1e-9 // mm; below any rounding of the sums above
	if b.IT <= negligible {
		return Limits{}, &ZoneError{Limits: l, Spread: 2 * (most - least)}
	}
	return b, nil
}

// ZoneError says that a finish whose growth varies leaves no zone to machine to.
type ZoneError struct {
	Limits Limits  // wanted after the finish
	Spread float64 // by how much the finish may vary on the diameter, mm
}

func (e *ZoneError) Error() string {
	return fmt.Sprintf("standard: %v: the finish may vary by %.4g mm on the diameter and the zone is %.4g mm wide, so nothing is left "+
		"to machine to; mask the feature, choose a wider class, or agree on a closer finish", e.Limits, e.Spread, e.Limits.IT)
}

// Clearance is the least and the most clearance in mm between a hole and a shaft of the same nominal size; negative is
// interference.
func Clearance(hole, shaft Limits) (least, most float64) {
	return hole.Min() - shaft.Max(), hole.Max() - shaft.Min()
}
