package plate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Format is the value of the key "format" of every plate file, and Version the newest version that this program reads and
// the one that it writes.
const (
	Format  = "platewright-plate"
	Version = 1
)

// Problem is one thing wrong in a plate file, with its JSON path (like bores[2].diameter_mm, empty for the whole file) and
// its line and column, counted from 1 in characters.
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

// maxProblems bounds how many problems of one file are kept; the others are counted.
const maxProblems = 200

// DecodeErrors is the error of Decode: every problem found, in the order of the file.
type DecodeErrors struct {
	Problems []Problem
	Omitted  int // how many more there were
}

// Error lists all problems, one a line.
func (e *DecodeErrors) Error() string {
	var b strings.Builder
	b.WriteString("plate file: ")
	if len(e.Problems) > 1 {
		fmt.Fprintf(&b, "%d problems:\n", len(e.Problems)+e.Omitted)
	}
	for i, p := range e.Problems {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(p.String())
	}
	if e.Omitted > 0 {
		fmt.Fprintf(&b, "\nand %d more", e.Omitted)
	}
	return b.String()
}

// Decode reads a plate file of any version that this program knows. It is strict: unknown, doubled and missing keys, wrong
// types, bad UTF-8 and text after the end are errors. The error is a *DecodeErrors with every problem at once, except that
// text which is not JSON, or is beyond the limits, is reported alone. Decode looks at form only; Validate looks at what the
// document says.
func Decode(data []byte) (Plate, error) {
	root, err := parse(data)
	if err != nil {
		if f, ok := err.(fatal); ok {
			return Plate{}, &DecodeErrors{Problems: []Problem{f.Problem}}
		}
		return Plate{}, err
	}
	r := &reader{}
	var p Plate
	if r.sniff(&root) {
		p = r.fileV1(&root).plate()
	}
	if len(r.problems) > 0 {
		slices.SortStableFunc(r.problems, func(a, b Problem) int {
			if a.Line != b.Line {
				return a.Line - b.Line
			}
			return a.Col - b.Col
		})
		return Plate{}, &DecodeErrors{Problems: r.problems, Omitted: r.omitted}
	}
	return p, nil
}

// reader turns the tree into file structs and collects problems.
type reader struct {
	problems []Problem
	omitted  int
}

func (r *reader) report(at *place, line, col int32, format string, args ...any) {
	if len(r.problems) == maxProblems {
		r.omitted++
		return
	}
	r.problems = append(r.problems, Problem{at.String(), int(line), int(col), fmt.Sprintf(format, args...)})
}

func (r *reader) bad(at *place, n *node, format string, args ...any) {
	r.report(at, n.line, n.col, format, args...)
}

// sniff looks at format and version alone, so that a file of another kind or of a newer version gets one plain answer and
// not a list of unknown keys.
func (r *reader) sniff(root *node) bool {
	if root.kind != objectNode {
		r.bad(nil, root, "found %v; a plate file is one JSON object", root.kind)
		return false
	}
	format, version := root.get("format"), root.get("version")
	switch {
	case format == nil:
		r.bad(nil, root, `the key "format" is missing; a plate file says "format": %q`, Format)
	case format.kind != stringNode || format.text != Format:
		r.bad(&place{key: "format"}, format, "found %s; a plate file says %q", format.show(), Format)
	case version == nil:
		r.bad(nil, root, `the key "version" is missing; this program writes "version": %d`, Version)
	default:
		return r.sniffVersion(version)
	}
	return false
}

func (r *reader) sniffVersion(n *node) bool {
	at := &place{key: "version"}
	v, err := strconv.ParseFloat(n.text, 64)
	switch {
	case n.kind != numberNode || err != nil || v != math.Trunc(v) || v < 1:
		r.bad(at, n, "found %s; the version is a whole number from 1", n.show())
	case v > Version:
		r.bad(at, n, "this file is of version %s, made by a newer version of Platewright; this program reads up to version %d. "+
			"Open it with the newer program", n.text, Version)
	default:
		return true
	}
	return false
}

// get returns the value of a key, nil when absent.
func (n *node) get(key string) *node {
	for i, k := range n.keys {
		if k.text == key {
			return &n.items[i]
		}
	}
	return nil
}

// show describes a value for a message.
func (n *node) show() string {
	switch n.kind {
	case stringNode:
		return "the text " + strconv.Quote(clip(n.text))
	case numberNode, boolNode:
		return clip(n.text)
	}
	return n.kind.String()
}

// read takes one value of the tree into a field of a file struct.
type read func(at *place, n *node)

// member is one key that an object may have.
type member struct {
	key  string
	must bool
	read read
}

func must(key string, f read) member { return member{key, true, f} }
func may(key string, f read) member  { return member{key, false, f} }

// object reads an object with the given members and nothing else, and reports whether it is an object at all.
func (r *reader) object(at *place, n *node, members ...member) bool {
	if n.kind != objectNode {
		r.bad(at, n, "found %s where an object should be", n.show())
		return false
	}
	seen := make([]bool, len(members))
	for i := range n.items {
		k := n.keys[i]
		here := &place{up: at, key: k.text}
		j := slices.IndexFunc(members, func(m member) bool { return m.key == k.text })
		switch {
		case j < 0:
			r.unknown(here, k, members)
		case seen[j]:
			r.report(here, k.line, k.col, "the key %q stands twice in one object; keep one", k.text)
		default:
			seen[j] = true
			members[j].read(here, &n.items[i])
		}
	}
	for j, m := range members {
		if m.must && !seen[j] {
			r.bad(at, n, "the key %q is missing", m.key)
		}
	}
	return true
}

func (r *reader) float(dst *float64) read {
	return func(at *place, n *node) {
		v, err := strconv.ParseFloat(n.text, 64)
		switch {
		case n.kind == stringNode:
			r.bad(at, n, "found the text %q where a number should be; write a plain number without quotes", clip(n.text))
		case n.kind != numberNode:
			r.bad(at, n, "found %s where a number should be", n.show())
		case err != nil:
			r.bad(at, n, "the number %s is out of range", clip(n.text))
		default:
			*dst = v + 0 // turns −0 into 0
		}
	}
}

// The ranges of whole numbers: ids are held exactly by every reader of JSON (up to 2⁵³ − 1), counts by every int.
const (
	maxWhole = 1<<53 - 1
	maxCount = 1<<31 - 1
)

// whole reads a whole number within the given range, written with or without a decimal point.
func (r *reader) whole(dst *int64, least, most int64, what string) read {
	return func(at *place, n *node) {
		v := math.NaN()
		r.float(&v)(at, n)
		switch {
		case math.IsNaN(v): // already reported
		case v != math.Trunc(v) || v < float64(least) || v > float64(most):
			r.bad(at, n, "found %s where %s should be", n.show(), what)
		default:
			*dst = int64(v)
		}
	}
}

// id reads the id of a feature.
func (r *reader) id(dst *int64) read {
	return r.whole(dst, 1, maxWhole, "an id, a whole number from 1,")
}

func (r *reader) count(dst *int64) read { return r.whole(dst, -maxCount, maxCount, "a whole number") }

func (r *reader) text(dst *string) read {
	return func(at *place, n *node) {
		if n.kind != stringNode {
			r.bad(at, n, "found %s where a text in quotes should be", n.show())
			return
		}
		*dst = n.text
	}
}

// choice reads one of the given words.
func (r *reader) choice(dst *string, words []string) read {
	return func(at *place, n *node) {
		if n.kind != stringNode || !slices.Contains(words, n.text) {
			r.bad(at, n, "found %s where one of %s should be", n.show(), quoted(words))
			return
		}
		*dst = n.text
	}
}

// pair reads a place [x, y].
func (r *reader) pair(x, y *float64) read {
	return func(at *place, n *node) {
		if n.kind != listNode || len(n.items) != 2 {
			r.bad(at, n, "found %s where two numbers [x, y] should be", n.show())
			return
		}
		r.float(x)(&place{up: at, index: 0}, &n.items[0])
		r.float(y)(&place{up: at, index: 1}, &n.items[1])
	}
}

func quoted(words []string) string {
	s := make([]string, len(words))
	for i, w := range words {
		s[i] = strconv.Quote(w)
	}
	return strings.Join(s, ", ")
}
