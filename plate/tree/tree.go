// Package tree reads JSON text (RFC 8259) into a small tree in which every value and key knows its line and column, and values
// of that tree into documents, strictly. The standard decoder drops places, accepts doubled keys and keys in another case, and
// stops at the first wrong type; a designer who edits a file by hand needs the opposite. Limits are looked at before anything is
// stored, so that the work on a hostile file is bounded by them.
//
//	err := tree.Decode(data, format, func(r *tree.Reader, root *tree.Node) {
//		r.Object(nil, root, tree.Must("name", r.Text(&d.Name)), tree.May("rim_mm", r.Float(&d.Rim)))
//	})
package tree

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Limits bound a file, far above any that is meant.
type Limits struct {
	Bytes   int // of the text
	Depth   int // of nesting
	Entries int // in one list
	Keys    int // in one object
	Values  int // in all
}

// maxNumberLen is the length of the longest number, in bytes.
const maxNumberLen = 64

// Problem is one thing wrong in a file, with its JSON path (like bores[2].diameter_mm, empty for the whole file) and its line and
// column, counted from 1 in characters.
type Problem struct {
	Path string
	Line int
	Col  int
	What string
}

// String gives the problem in one line: line:col: path: what.
func (p Problem) String() string {
	if p.Path == "" {
		return fmt.Sprintf("%d:%d: %s", p.Line, p.Col, p.What)
	}
	return fmt.Sprintf("%d:%d: %s: %s", p.Line, p.Col, p.Path, p.What)
}

// Kind is what a value is.
type Kind byte

// The kinds of values.
const (
	Null Kind = iota
	Bool
	Number
	String
	List
	Object
)

func (k Kind) String() string {
	return [...]string{"null", "true or false", "a number", "a text", "a list", "an object"}[k]
}

// Node is one JSON value. Keys[i] belongs to Items[i] in an object.
type Node struct {
	Kind      Kind
	Line, Col int32
	Text      string // of a string; the literal of a number, true or false
	Keys      []Key
	Items     []Node
}

// Key is a key of an object.
type Key struct {
	Text      string
	Line, Col int32
}

// Get returns the value of a key, nil when absent.
func (n *Node) Get(key string) *Node {
	for i, k := range n.Keys {
		if k.Text == key {
			return &n.Items[i]
		}
	}
	return nil
}

// Show describes a value for a message.
func (n *Node) Show() string {
	switch n.Kind {
	case String:
		return "the text " + strconv.Quote(Clip(n.Text))
	case Number, Bool:
		return Clip(n.Text)
	}
	return n.Kind.String()
}

// Place is a position in the document, kept as a chain so that a path costs nothing until it is printed. Nil is the document.
type Place struct {
	up    *Place
	key   string
	index int // used when key is empty
}

// Key is the place of a key in an object.
func (p *Place) Key(key string) *Place { return &Place{up: p, key: key} }

// Item is the place of an entry in a list, counted from 0.
func (p *Place) Item(i int) *Place { return &Place{up: p, index: i} }

// String is the JSON path.
func (p *Place) String() string {
	if p == nil {
		return ""
	}
	if p.key == "" {
		return p.up.String() + "[" + strconv.Itoa(p.index) + "]"
	}
	if up := p.up.String(); up != "" {
		return up + "." + p.key
	}
	return p.key
}

// fatal is a problem after which the rest of the text cannot be read.
type fatal struct{ Problem }

type parser struct {
	data   string
	pos    int
	line   int // 1-based
	mark   int // offset up to which the line's characters are counted
	runes  int // how many of them; counting on from mark keeps the work linear where all text is one line
	depth  int
	values int
	at     *Place
	what   string
	limits Limits
}

// Parse reads one JSON text. what is the file in errors, like "plate file". The first problem ends the work.
func Parse(data []byte, what string, l Limits) (root Node, problem *Problem) {
	defer func() {
		if r := recover(); r != nil {
			f, ok := r.(fatal)
			if !ok {
				panic(r)
			}
			problem = &f.Problem
		}
	}()
	p := &parser{line: 1, what: what, limits: l}
	if len(data) > l.Bytes {
		p.fail("the file has %d bytes; a %s has at most %d", len(data), what, l.Bytes)
	}
	p.data = string(data)
	p.checkUTF8()
	p.space()
	if p.pos == len(p.data) {
		p.fail("the file is empty")
	}
	root = p.value()
	p.space()
	if p.pos < len(p.data) {
		p.fail("more text after the end of the document; remove it")
	}
	return root, nil
}

func (p *parser) fail(format string, args ...any) {
	line, col := p.here()
	panic(fatal{Problem{Path: p.at.String(), Line: int(line), Col: int(col), What: fmt.Sprintf(format, args...)}})
}

func (p *parser) checkUTF8() {
	if strings.HasPrefix(p.data, "\ufeff") {
		p.fail("the file starts with a byte order mark; save it as UTF-8 without one")
	}
	if utf8.ValidString(p.data) {
		return
	}
	for p.pos < len(p.data) {
		r, n := utf8.DecodeRuneInString(p.data[p.pos:])
		if r == utf8.RuneError && n == 1 {
			p.fail("byte 0x%02x is not UTF-8 text; save the file as UTF-8", p.data[p.pos])
		}
		p.pos += n
		if r == '\n' {
			p.newLine()
		}
	}
}

func (p *parser) space() {
	for p.pos < len(p.data) {
		c := p.data[p.pos]
		if c != ' ' && c != '\t' && c != '\r' && c != '\n' {
			return
		}
		p.pos++
		if c == '\n' {
			p.newLine()
		}
	}
}

// newLine is called with pos just after a line's end.
func (p *parser) newLine() {
	p.line++
	p.mark, p.runes = p.pos, 0
}

// next returns the next byte without taking it, 0 at the end.
func (p *parser) next() byte {
	if p.pos < len(p.data) {
		return p.data[p.pos]
	}
	return 0
}

func (p *parser) here() (line, col int32) {
	if p.pos > p.mark {
		p.runes += utf8.RuneCountInString(p.data[p.mark:p.pos])
		p.mark = p.pos
	}
	return int32(p.line), int32(1 + p.runes)
}

func (p *parser) value() Node {
	if p.values++; p.values > p.limits.Values {
		p.fail("more than %d values; a %s holds at most that many", p.limits.Values, p.what)
	}
	var n Node
	n.Line, n.Col = p.here()
	switch c := p.next(); {
	case p.pos >= len(p.data):
		p.fail("the file ends in the middle; it was cut off, or a bracket is not closed")
	case c == '{':
		p.object(&n)
	case c == '[':
		p.list(&n)
	case c == '"':
		n.Kind, n.Text = String, p.str()
	case c == '-' || '0' <= c && c <= '9':
		n.Kind, n.Text = Number, p.number()
	default:
		n.Kind, n.Text = p.word()
	}
	return n
}

func (p *parser) enter() {
	if p.depth++; p.depth > p.limits.Depth {
		p.fail("nested more than %d deep; a %s needs far less", p.limits.Depth, p.what)
	}
	p.pos++
	p.space()
}

func (p *parser) object(n *Node) {
	n.Kind = Object
	outer := p.at
	p.enter()
	for p.next() != '}' {
		if len(n.Keys) == p.limits.Keys {
			p.fail("more than %d keys in one object", p.limits.Keys)
		}
		k := p.key()
		n.Keys = append(n.Keys, k)
		p.at = outer.Key(k.Text)
		n.Items = append(n.Items, p.value())
		p.at = outer
		p.separator('}')
	}
	p.pos++
	p.depth--
}

func (p *parser) key() Key {
	if p.next() != '"' {
		p.unexpected("a key in double quotes")
	}
	line, col := p.here()
	k := Key{p.str(), line, col}
	p.space()
	if p.next() != ':' {
		p.unexpected("a colon after the key " + strconv.Quote(k.Text))
	}
	p.pos++
	p.space()
	return k
}

func (p *parser) list(n *Node) {
	n.Kind = List
	outer := p.at
	p.enter()
	for p.next() != ']' {
		if len(n.Items) == p.limits.Entries {
			p.fail("more than %d entries in one list; a %s holds at most that many", p.limits.Entries, p.what)
		}
		p.at = outer.Item(len(n.Items))
		n.Items = append(n.Items, p.value())
		p.at = outer
		p.separator(']')
	}
	p.pos++
	p.depth--
}

// separator takes the comma after an entry, or leaves the closing bracket.
func (p *parser) separator(closing byte) {
	p.space()
	switch p.next() {
	case closing:
	case ',':
		p.pos++
		p.space()
		if p.next() == closing {
			p.fail("a comma before %q; remove it", string(closing))
		}
	default:
		p.unexpected("a comma or " + strconv.Quote(string(closing)))
	}
}

func (p *parser) unexpected(want string) {
	if p.pos >= len(p.data) {
		p.fail("the file ends where %s should be; it was cut off, or a bracket is not closed", want)
	}
	r, _ := utf8.DecodeRuneInString(p.data[p.pos:])
	p.fail("found %q where %s should be", r, want)
}

func (p *parser) word() (Kind, string) {
	rest := p.data[p.pos:]
	for _, w := range [...]string{"true", "false", "null"} {
		if strings.HasPrefix(rest, w) {
			p.pos += len(w)
			if w == "null" {
				return Null, w
			}
			return Bool, w
		}
	}
	for _, w := range [...]string{"NaN", "Infinity", "nan", "inf"} {
		if strings.HasPrefix(rest, w) {
			p.fail("%s is not a number that a %s can hold; write a number", w, p.what)
		}
	}
	if strings.HasPrefix(rest, "'") {
		p.fail("found a single quote; texts stand in double quotes")
	}
	p.unexpected("a value")
	return Null, ""
}

func (p *parser) digits() int {
	n := 0
	for c := p.next(); '0' <= c && c <= '9'; c = p.next() {
		p.pos++
		n++
	}
	return n
}

// number takes a number by the grammar of JSON: no plus sign, no leading zeros, no bare point.
func (p *parser) number() string {
	from := p.pos
	if p.next() == '-' {
		p.pos++
	}
	zero := p.next() == '0'
	switch n := p.digits(); {
	case n == 0:
		p.unexpected("a digit")
	case zero && n > 1:
		p.fail("the number %s begins with a zero; write it without", Clip(p.data[from:p.pos]))
	}
	if p.next() == '.' {
		p.pos++
		if p.digits() == 0 {
			p.unexpected("a digit after the decimal point")
		}
	}
	if c := p.next(); c == 'e' || c == 'E' {
		p.pos++
		if c := p.next(); c == '+' || c == '-' {
			p.pos++
		}
		if p.digits() == 0 {
			p.unexpected("a digit of the exponent")
		}
	}
	if p.pos-from > maxNumberLen {
		p.fail("a number of more than %d characters", maxNumberLen)
	}
	return p.data[from:p.pos]
}

func (p *parser) str() string {
	p.pos++
	from := p.pos
	for { // the plain case: no escapes, so no copy
		switch c := p.next(); {
		case c == '"':
			s := p.data[from:p.pos]
			p.pos++
			return s
		case c == '\\':
			return p.escaped(p.data[from:p.pos])
		case c < ' ':
			p.badByte()
		}
		p.pos++
	}
}

func (p *parser) badByte() {
	if p.pos >= len(p.data) {
		p.fail("the file ends inside a text; it was cut off, or a quote is missing")
	}
	p.fail("a control character (0x%02x) inside a text; a quote is missing before it, or write it as an escape", p.next())
}

// escaped reads the rest of a string from its first backslash.
func (p *parser) escaped(head string) string {
	var b strings.Builder
	b.WriteString(head)
	for {
		switch c := p.next(); {
		case c == '"':
			p.pos++
			return b.String()
		case c == '\\':
			b.WriteRune(p.escape())
			continue
		case c < ' ':
			p.badByte()
		default:
			b.WriteByte(c)
		}
		p.pos++
	}
}

func (p *parser) escape() rune {
	p.pos++
	c := p.next()
	if i := strings.IndexByte(`"\/bfnrt`, c); i >= 0 && c != 0 {
		p.pos++
		return rune("\"\\/\b\f\n\r\t"[i])
	}
	if c != 'u' {
		p.unexpected("a letter of an escape")
	}
	r := p.hex4()
	if !utf16.IsSurrogate(r) {
		return r
	}
	if strings.HasPrefix(p.data[p.pos:], `\u`) {
		p.pos++
		if both := utf16.DecodeRune(r, p.hex4()); both != utf8.RuneError {
			return both
		}
	}
	p.fail("half of a surrogate pair in an escape")
	return 0
}

func (p *parser) hex4() rune {
	p.pos++
	if p.pos+4 > len(p.data) {
		p.fail("the file ends inside an escape")
	}
	v, err := strconv.ParseUint(p.data[p.pos:p.pos+4], 16, 16)
	if err != nil {
		p.fail(`four hexadecimal digits must follow \u`)
	}
	p.pos += 4
	return rune(v)
}

// Clip shortens a text from the file for a message.
func Clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}
