package plate

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// This file reads JSON text (RFC 8259) into a small tree in which every value and key knows its line and column. The
// standard decoder drops places, accepts doubled keys and keys in another case, and stops at the first wrong type; a
// designer who edits a file by hand needs the opposite. Limits are looked at before anything is stored, so that the work
// on a hostile file is bounded by them.

// MaxFileBytes is the length of the longest file that Decode takes, in bytes. It is far above any plate that a shop could make.
const MaxFileBytes = 16 << 20

// The other limits on a file, as far above.
const (
	maxDepth      = 16      // of nesting; version 1 needs 6
	maxListItems  = 20_000  // in one list, so also features of one kind
	maxKeys       = 200     // in one object
	maxFileValues = 600_000 // in all
	maxNumberLen  = 64      // bytes of one number
)

type nodeKind byte

const (
	nullNode nodeKind = iota
	boolNode
	numberNode
	stringNode
	listNode
	objectNode
)

func (k nodeKind) String() string {
	return [...]string{"null", "true or false", "a number", "a text", "a list", "an object"}[k]
}

// node is one JSON value. keys[i] belongs to items[i] in an object.
type node struct {
	kind      nodeKind
	line, col int32
	text      string // of a string; the literal of a number, true or false
	keys      []keyNode
	items     []node
}

type keyNode struct {
	text      string
	line, col int32
}

// place is a position in the document, kept as a chain so that a path costs nothing until it is printed.
type place struct {
	up    *place
	key   string
	index int // used when key is empty
}

func (p *place) String() string {
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

func (f fatal) Error() string { return f.Problem.String() }

type parser struct {
	data   string
	pos    int
	line   int // 1-based
	mark   int // offset up to which the line's characters are counted
	runes  int // how many of them; counting on from mark keeps the work linear where all text is one line
	depth  int
	values int
	at     *place
}

// parse reads one JSON text. The error is a fatal.
func parse(data []byte) (root node, err error) {
	defer func() {
		if r := recover(); r != nil {
			f, ok := r.(fatal)
			if !ok {
				panic(r)
			}
			err = f
		}
	}()
	p := &parser{line: 1}
	if len(data) > MaxFileBytes {
		p.fail("the file has %d bytes; a plate file has at most %d", len(data), MaxFileBytes)
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

func (p *parser) value() node {
	if p.values++; p.values > maxFileValues {
		p.fail("more than %d values; a plate file holds at most that many", maxFileValues)
	}
	var n node
	n.line, n.col = p.here()
	switch c := p.next(); {
	case p.pos >= len(p.data):
		p.fail("the file ends in the middle; it was cut off, or a bracket is not closed")
	case c == '{':
		p.object(&n)
	case c == '[':
		p.list(&n)
	case c == '"':
		n.kind, n.text = stringNode, p.str()
	case c == '-' || '0' <= c && c <= '9':
		n.kind, n.text = numberNode, p.number()
	default:
		n.kind, n.text = p.word()
	}
	return n
}

func (p *parser) enter() {
	if p.depth++; p.depth > maxDepth {
		p.fail("nested more than %d deep; a plate file needs far less", maxDepth)
	}
	p.pos++
	p.space()
}

func (p *parser) object(n *node) {
	n.kind = objectNode
	outer := p.at
	p.enter()
	for p.next() != '}' {
		if len(n.keys) == maxKeys {
			p.fail("more than %d keys in one object", maxKeys)
		}
		k := p.key()
		n.keys = append(n.keys, k)
		p.at = &place{up: outer, key: k.text}
		n.items = append(n.items, p.value())
		p.at = outer
		p.separator('}')
	}
	p.pos++
	p.depth--
}

func (p *parser) key() keyNode {
	if p.next() != '"' {
		p.unexpected("a key in double quotes")
	}
	line, col := p.here()
	k := keyNode{p.str(), line, col}
	p.space()
	if p.next() != ':' {
		p.unexpected("a colon after the key " + strconv.Quote(k.text))
	}
	p.pos++
	p.space()
	return k
}

func (p *parser) list(n *node) {
	n.kind = listNode
	outer := p.at
	p.enter()
	for p.next() != ']' {
		if len(n.items) == maxListItems {
			p.fail("more than %d entries in one list; a plate file holds at most that many", maxListItems)
		}
		p.at = &place{up: outer, index: len(n.items)}
		n.items = append(n.items, p.value())
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

func (p *parser) word() (nodeKind, string) {
	rest := p.data[p.pos:]
	for _, w := range [...]string{"true", "false", "null"} {
		if strings.HasPrefix(rest, w) {
			p.pos += len(w)
			if w == "null" {
				return nullNode, w
			}
			return boolNode, w
		}
	}
	for _, w := range [...]string{"NaN", "Infinity", "nan", "inf"} {
		if strings.HasPrefix(rest, w) {
			p.fail("%s is not a number that a plate can hold; write a number", w)
		}
	}
	if strings.HasPrefix(rest, "'") {
		p.fail("found a single quote; texts stand in double quotes")
	}
	p.unexpected("a value")
	return nullNode, ""
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
		p.fail("the number %s begins with a zero; write it without", clip(p.data[from:p.pos]))
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

// clip shortens a text from the file for a message.
func clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}
