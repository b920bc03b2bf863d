package desktop

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Bounds on what is read, so that a pasted page costs nothing.
const (
	maxText  = 200 // bytes
	maxDepth = 20  // brackets within brackets
)

// parseError says what could not be read and where.
type parseError struct {
	Text string // as typed
	At   int    // byte offset
	Why  string
}

func (e *parseError) Error() string {
	if strings.TrimSpace(e.Text) == "" {
		return e.Why
	}
	return fmt.Sprintf("cannot read “%s”: %s", strings.TrimSpace(e.Text), e.Why)
}

// parse reads a number, arithmetic (+ − * / and brackets), mixed fractions (1 1/2) and units, and returns the value in the
// document's unit. A number without a unit is meant in the unit shown. A unit belongs to the whole product before it, so
// that 3/8 in and 2*12.5 mm read as people write them. A decimal comma is taken where it cannot be a thousands comma.
// The error is a *parseError.
func (k quantity) parse(s string) (float64, error) {
	if len(s) > maxText {
		return 0, &parseError{s[:20] + "…", maxText, "this is too long for a number"}
	}
	if strings.TrimSpace(s) == "" {
		return 0, &parseError{s, 0, "write a number"}
	}
	p := parser{kind: k, text: s}
	p.next()
	v, err := p.sum(0)
	if err != nil {
		return 0, err
	}
	if p.tok.kind != tokEnd {
		return 0, p.fail("“" + p.tok.text + "” is not expected here")
	}
	x := v.number
	if v.dim == 0 {
		x = k.kept(x)
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, p.fail("the result is not a finite number")
	}
	if k.whole && x != math.Trunc(x) {
		return 0, p.fail("only whole numbers are meant here")
	}
	return x, nil
}

type tokenKind int

const (
	tokEnd tokenKind = iota
	tokNumber
	tokUnit
	tokSign // one of + - * / ( )
	tokBad
)

type token struct {
	kind   tokenKind
	text   string
	number float64
	unit   float64
	whole  bool // a number written with digits only
	at     int
}

// value is a number with its dimension: 0 without a unit, 1 with one (then in the document's unit).
type value struct {
	number float64
	dim    int
}

type parser struct {
	kind quantity
	text string
	pos  int
	tok  token
	bad  string // why tok is tokBad
}

func (p *parser) fail(why string) *parseError {
	if p.tok.kind == tokBad {
		why = p.bad
	}
	return &parseError{p.text, p.tok.at, why}
}

// sum reads terms joined by + and −. A bare number beside one with a unit is meant in the unit shown.
func (p *parser) sum(depth int) (value, error) {
	left, err := p.product(depth)
	for err == nil && p.tok.kind == tokSign && (p.tok.text == "+" || p.tok.text == "-") {
		op := p.tok.text
		p.next()
		var right value
		if right, err = p.product(depth); err != nil {
			break
		}
		if left.dim != right.dim {
			left, right = p.dressed(left), p.dressed(right)
		}
		if op == "-" {
			right.number = -right.number
		}
		left.number += right.number
	}
	return left, err
}

func (p *parser) dressed(v value) value {
	if v.dim == 0 {
		return value{p.kind.kept(v.number), 1}
	}
	return v
}

// product reads factors joined by * and /. A unit after a factor belongs to the whole product so far, unless that has a
// unit already: then it belongs to the factor.
func (p *parser) product(depth int) (value, error) {
	acc, err := p.factor(depth)
	if err != nil {
		return acc, err
	}
	acc = p.withUnit(acc)
	for p.tok.kind == tokSign && (p.tok.text == "*" || p.tok.text == "/") {
		op := p.tok.text
		p.next()
		f, err := p.factor(depth)
		if err != nil {
			return acc, err
		}
		if acc.dim != 0 {
			f = p.withUnit(f)
		}
		if acc, err = p.combine(acc, f, op); err != nil {
			return acc, err
		}
		if acc.dim == 0 {
			acc = p.withUnit(acc)
		}
	}
	if p.tok.kind == tokUnit {
		return acc, p.fail("“" + p.tok.text + "” is one unit too many")
	}
	return acc, nil
}

func (p *parser) combine(a, b value, op string) (value, error) {
	if op == "*" {
		if a.dim+b.dim > 1 {
			return a, p.fail("two units multiplied do not give a " + p.kind.noun())
		}
		return value{a.number * b.number, a.dim + b.dim}, nil
	}
	switch {
	case b.number == 0:
		return a, p.fail("it divides by zero")
	case b.dim == 1 && a.dim == 1:
		return a, p.fail("the units cancel, which does not give a " + p.kind.noun())
	case b.dim == 1:
		return a, p.fail("a number divided by a unit does not give a " + p.kind.noun())
	}
	return value{a.number / b.number, a.dim}, nil
}

func (p *parser) withUnit(v value) value {
	if v.dim == 0 && p.tok.kind == tokUnit {
		v = value{v.number * p.tok.unit, 1}
		p.next()
	}
	return v
}

func (p *parser) factor(depth int) (value, error) {
	negative := false
	for p.tok.kind == tokSign && (p.tok.text == "-" || p.tok.text == "+") {
		negative = negative != (p.tok.text == "-")
		p.next()
	}
	v, err := p.primary(depth)
	if negative {
		v.number = -v.number
	}
	return v, err
}

func (p *parser) primary(depth int) (value, error) {
	switch {
	case p.tok.kind == tokNumber:
		whole := p.tok
		p.next()
		if whole.whole && p.tok.kind == tokNumber && p.tok.whole {
			return p.mixed(whole)
		}
		if p.tok.kind == tokNumber {
			return value{}, p.fail("a sign is missing between two numbers")
		}
		return value{whole.number, 0}, nil
	case p.tok.kind == tokSign && p.tok.text == "(":
		if depth == maxDepth {
			return value{}, p.fail("there are too many brackets")
		}
		p.next()
		v, err := p.sum(depth + 1)
		if err != nil {
			return v, err
		}
		if p.tok.kind != tokSign || p.tok.text != ")" {
			return v, p.fail("a closing bracket is missing")
		}
		p.next()
		return v, nil
	case p.tok.kind == tokEnd:
		return value{}, p.fail("a number is missing at the end")
	case p.tok.kind == tokUnit:
		return value{}, p.fail("a number is missing before “" + p.tok.text + "”")
	}
	return value{}, p.fail("a number is missing before “" + p.tok.text + "”")
}

// mixed reads the fraction of a mixed number such as 1 1/2, its whole part being read.
func (p *parser) mixed(whole token) (value, error) {
	over := p.tok
	p.next()
	if p.tok.kind != tokSign || p.tok.text != "/" {
		return value{}, p.fail("a sign is missing between two numbers")
	}
	p.next()
	if p.tok.kind != tokNumber || !p.tok.whole || p.tok.number == 0 {
		return value{}, p.fail("the fraction after the whole number is not complete")
	}
	v := value{whole.number + over.number/p.tok.number, 0}
	p.next()
	return v, nil
}

var signs = map[rune]string{
	'+': "+", '-': "-", '−': "-", '–': "-", '*': "*", '×': "*", '·': "*", '/': "/", '÷': "/", ':': "/", '(': "(", ')': ")",
}

// next reads one token into p.tok.
func (p *parser) next() {
	for p.pos < len(p.text) {
		r, n := utf8.DecodeRuneInString(p.text[p.pos:])
		if !unicode.IsSpace(r) {
			break
		}
		p.pos += n
	}
	start := p.pos
	if start == len(p.text) {
		p.tok = token{kind: tokEnd, at: start}
		return
	}
	r, n := utf8.DecodeRuneInString(p.text[start:])
	if unicode.IsDigit(r) && r < 0x80 || r == '.' || r == ',' {
		p.number()
		return
	}
	if u, ok := p.longestUnit(); ok {
		p.pos += len(u.name)
		p.tok = token{kind: tokUnit, text: u.name, unit: u.factor, at: start}
		return
	}
	if s, ok := signs[r]; ok {
		p.pos += n
		p.tok = token{kind: tokSign, text: s, at: start}
		return
	}
	end := start
	for end < len(p.text) {
		r, n := utf8.DecodeRuneInString(p.text[end:])
		if !unicode.IsLetter(r) && end > start {
			break
		}
		end += n
	}
	word := p.text[start:end]
	p.pos = end
	p.reject(start, word, "“"+word+"” is not a unit of "+p.kind.noun()+p.unitList())
}

func (k quantity) noun() string {
	if k.name == "" {
		return "number"
	}
	return k.name
}

func (p *parser) unitList() string {
	if len(p.kind.units) == 0 {
		return ""
	}
	var names []string
	for _, u := range p.kind.units {
		if unicode.IsLetter(rune(u.name[0])) || u.name == "°" {
			names = append(names, u.name)
		}
	}
	return "; known are " + strings.Join(names, ", ")
}

func (p *parser) reject(at int, text, why string) {
	p.tok = token{kind: tokBad, text: text, at: at}
	p.bad = why
}

// longestUnit is the longest unit that starts here and is not part of a longer word.
func (p *parser) longestUnit() (unit, bool) {
	rest, best := p.text[p.pos:], unit{}
	for _, u := range p.kind.units {
		if len(u.name) > len(best.name) && strings.HasPrefix(rest, u.name) && endsWord(u.name, rest[len(u.name):]) {
			best = u
		}
	}
	return best, best.name != ""
}

func endsWord(name, after string) bool {
	last, _ := utf8.DecodeLastRuneInString(name)
	first, _ := utf8.DecodeRuneInString(after)
	return after == "" || !unicode.IsLetter(last) || !unicode.IsLetter(first)
}

// number reads digits with a point or a comma and an exponent.
func (p *parser) number() {
	start, i := p.pos, p.pos
	digits := func() int {
		from := i
		for i < len(p.text) && p.text[i] >= '0' && p.text[i] <= '9' {
			i++
		}
		return i - from
	}
	before, after, comma := digits(), 0, false
	if i < len(p.text) && (p.text[i] == '.' || p.text[i] == ',') {
		comma = p.text[i] == ','
		i++
		after = digits()
	}
	whole := i-start == before
	if i < len(p.text) && (p.text[i] == '.' || p.text[i] == ',') {
		p.pos = len(p.text)
		p.reject(start, p.text[start:], "write a number with one decimal point and no thousands marks")
		return
	}
	if mark := i; i < len(p.text) && (p.text[i] == 'e' || p.text[i] == 'E') {
		i++
		if i < len(p.text) && (p.text[i] == '+' || p.text[i] == '-') {
			i++
		}
		if digits() == 0 {
			i = mark
		} else {
			whole = false
		}
	}
	text := p.text[start:i]
	p.pos = i
	switch {
	case before+after == 0:
		p.reject(start, text, "a digit is missing beside “"+text+"”")
		return
	case comma && after == 3 && before >= 1 && before <= 3 && p.text[start] != '0':
		p.reject(start, text, "the comma could mean a decimal or thousands: write "+
			strings.Replace(text, ",", "", 1)+" or "+strings.Replace(text, ",", ".", 1))
		return
	}
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil {
		p.reject(start, text, "the number is too large")
		return
	}
	p.tok = token{kind: tokNumber, text: text, number: v, whole: whole, at: start}
}
