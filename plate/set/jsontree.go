package set

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"platewright/plate"
)

// This file reads JSON into a small tree whose values and keys know where they stand, on the tokens of encoding/json. The
// plate's reader works alike; a set is small, so that here the standard tokeniser serves.

// MaxFileBytes is the length of the longest set file that Decode takes.
const MaxFileBytes = 1 << 20

// The other limits on a file, far above any set.
const (
	maxDepth   = 10
	maxEntries = 2000   // of one list or object
	maxValues  = 50_000 // in all
	maxNumber  = 64     // bytes of one number
)

// node is one JSON value. keys[i] belongs to items[i] in an object.
type node struct {
	value any // string, json.Number, bool, nil; json.Delim '{' or '['
	at    int64
	keys  []string
	keyAt []int64
	items []node
}

func (n *node) show() string {
	switch v := n.value.(type) {
	case nil:
		return "null"
	case string:
		return "the text " + strconv.Quote(clip(v))
	case json.Number:
		return clip(v.String())
	case bool:
		return strconv.FormatBool(v)
	case json.Delim:
		if v == '{' {
			return "an object"
		}
	}
	return "a list"
}

// clip shortens a text from the file for a message.
func clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

// where is a position in the document, kept as a chain so that it costs nothing until it is printed.
type where struct {
	up    *where
	key   string
	index int // used when key is empty
}

func (p *where) String() string {
	switch {
	case p == nil:
		return ""
	case p.key == "":
		return p.up.String() + "[" + strconv.Itoa(p.index) + "]"
	case p.up == nil:
		return p.key
	}
	return p.up.String() + "." + p.key
}

// tree builds the tree; its error is a plate.Problem after which the rest cannot be read.
type tree struct {
	data   []byte
	dec    *json.Decoder
	values int
	fault  *plate.Problem
}

func parse(data []byte) (node, *plate.Problem) {
	t := &tree{data: data}
	switch {
	case len(data) > MaxFileBytes:
		t.fail(nil, 0, "the file has %d bytes; a set file has at most %d", len(data), MaxFileBytes)
	case !utf8.Valid(data):
		at := 0
		for r, n := rune(0), 0; at < len(data); at += n {
			if r, n = utf8.DecodeRune(data[at:]); r == utf8.RuneError && n == 1 {
				break
			}
		}
		t.fail(nil, int64(at), "byte 0x%02x is not UTF-8 text; save the file as UTF-8", data[at])
	case bytes.HasPrefix(data, []byte("\ufeff")):
		t.fail(nil, 0, "the file starts with a byte order mark; save it as UTF-8 without one")
	case len(bytes.TrimSpace(data)) == 0:
		t.fail(nil, 0, "the file is empty")
	}
	if t.fault != nil {
		return node{}, t.fault
	}
	t.dec = json.NewDecoder(bytes.NewReader(data))
	t.dec.UseNumber()
	root := t.next(nil, 0)
	if t.fault == nil {
		if _, err := t.dec.Token(); !errors.Is(err, io.EOF) {
			t.fail(nil, t.skip(), "more text after the end of the document; remove it")
		}
	}
	return root, t.fault
}

// fail keeps the first fault.
func (t *tree) fail(at *where, offset int64, format string, args ...any) {
	if t.fault == nil {
		line, col := place(t.data, offset)
		t.fault = &plate.Problem{Path: at.String(), Line: line, Col: col, What: fmt.Sprintf(format, args...)}
	}
}

// place turns an offset into line and column, counted from 1 in characters.
func place(data []byte, offset int64) (line, col int) {
	head := data[:min(int64(len(data)), offset)]
	line = 1 + bytes.Count(head, []byte{'\n'})
	return line, 1 + utf8.RuneCount(head[bytes.LastIndexByte(head, '\n')+1:])
}

// skip is the offset of the next token: the decoder stands just after the last one.
func (t *tree) skip() int64 {
	at := t.dec.InputOffset()
	for at < int64(len(t.data)) && strings.IndexByte(" \t\r\n,:", t.data[at]) >= 0 {
		at++
	}
	return at
}

func (t *tree) token(at *where) (json.Token, int64) {
	offset := t.skip()
	tok, err := t.dec.Token()
	if err == nil {
		return tok, offset
	}
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		t.fail(at, offset, "this is not JSON: %s", strings.TrimPrefix(syntax.Error(), "json: "))
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		t.fail(at, int64(len(t.data)), "the file ends in the middle; it was cut off, or a bracket is not closed")
	default:
		t.fail(at, offset, "this is not JSON: %v", err)
	}
	return nil, offset
}

// next reads one value.
func (t *tree) next(at *where, depth int) node {
	tok, offset := t.token(at)
	n := node{value: tok, at: offset}
	if t.values++; t.values > maxValues {
		t.fail(at, offset, "more than %d values; a set file holds at most that many", maxValues)
	}
	if num, ok := tok.(json.Number); ok && len(num) > maxNumber {
		t.fail(at, offset, "a number of more than %d characters", maxNumber)
	}
	delim, ok := tok.(json.Delim)
	if t.fault != nil || !ok {
		return n
	}
	if depth == maxDepth {
		t.fail(at, offset, "nested more than %d deep; a set file needs far less", maxDepth)
	}
	for t.fault == nil && t.dec.More() {
		if len(n.items) == maxEntries {
			t.fail(at, t.skip(), "more than %d entries in one %s", maxEntries, map[bool]string{true: "object", false: "list"}[delim == '{'])
			return n
		}
		here := &where{up: at, index: len(n.items)}
		if delim == '{' {
			key, keyAt := t.token(at)
			here.key, _ = key.(string)
			n.keys, n.keyAt = append(n.keys, here.key), append(n.keyAt, keyAt)
		}
		if t.fault == nil {
			n.items = append(n.items, t.next(here, depth+1))
		}
	}
	if t.fault == nil {
		t.token(at) // the closing bracket
	}
	return n
}
