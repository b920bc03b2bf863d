package set

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/plate"
)

// Format is the value of the key "format" of every set file, and Version the newest version that this program reads and the
// one that it writes.
const (
	Format  = "platewright-set"
	Version = 1
)

// maxProblems bounds how many problems of one file are kept; the others are counted.
const maxProblems = 200

// DecodeErrors is the error of Decode: every problem found, in the order of the file.
type DecodeErrors struct {
	Problems []plate.Problem
	Omitted  int // how many more there were
}

// Error lists all problems, one a line.
func (e *DecodeErrors) Error() string {
	var b strings.Builder
	b.WriteString("set file: ")
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

// Decode reads a set file. It is strict: unknown, doubled and missing keys, wrong types, bad UTF-8 and text after the end
// are errors. The error is a *DecodeErrors with every problem at once, except that text which is not JSON, or is beyond the
// limits, is reported alone. Decode looks at form only; Validate looks at what the document says.
func Decode(data []byte) (Set, error) {
	root, fault := parse(data)
	if fault != nil {
		return Set{}, &DecodeErrors{Problems: []plate.Problem{*fault}}
	}
	r := &reader{data: data}
	var s Set
	if r.sniff(&root) {
		r.set(&s, &root)
	}
	if len(r.problems) > 0 {
		slices.SortStableFunc(r.problems, func(a, b plate.Problem) int {
			if a.Line != b.Line {
				return a.Line - b.Line
			}
			return a.Col - b.Col
		})
		return Set{}, &DecodeErrors{Problems: r.problems, Omitted: r.omitted}
	}
	return s, nil
}

// reader turns the tree into a set and collects problems.
type reader struct {
	data     []byte
	problems []plate.Problem
	omitted  int
}

func (r *reader) bad(at *where, offset int64, format string, args ...any) {
	if len(r.problems) == maxProblems {
		r.omitted++
		return
	}
	line, col := place(r.data, offset)
	r.problems = append(r.problems, plate.Problem{Path: at.String(), Line: line, Col: col, What: fmt.Sprintf(format, args...)})
}

// sniff looks at format and version alone, so that a file of another kind or of a newer version gets one plain answer.
func (r *reader) sniff(root *node) bool {
	if root.value != json.Delim('{') {
		r.bad(nil, root.at, "found %s; a set file is one JSON object", root.show())
		return false
	}
	get := func(key string) *node {
		if i := slices.Index(root.keys, key); i >= 0 {
			return &root.items[i]
		}
		return nil
	}
	format, version := get("format"), get("version")
	switch {
	case format == nil:
		r.bad(nil, root.at, `the key "format" is missing; a set file says "format": %q`, Format)
	case format.value == plate.Format:
		r.bad(&where{key: "format"}, format.at, "this file is one plate, not a set; a set file says %q", Format)
	case format.value != Format:
		r.bad(&where{key: "format"}, format.at, "found %s; a set file says %q", format.show(), Format)
	case version == nil:
		r.bad(nil, root.at, `the key "version" is missing; this program writes "version": %d`, Version)
	default:
		return r.sniffVersion(version)
	}
	return false
}

func (r *reader) sniffVersion(n *node) bool {
	at := &where{key: "version"}
	num, ok := n.value.(json.Number)
	v, err := strconv.ParseFloat(string(num), 64)
	switch {
	case !ok || err != nil || v != math.Trunc(v) || v < 1:
		r.bad(at, n.at, "found %s; the version is a whole number from 1", n.show())
	case v > Version:
		r.bad(at, n.at, "this file is of version %s, made by a newer version of Platewright; this program reads up to version %d. "+
			"Open it with the newer program", num, Version)
	default:
		return true
	}
	return false
}

// read takes one value of the tree into the document.
type read func(at *where, n *node)

// member is one key that an object may have.
type member struct {
	key  string
	must bool
	read read
}

func must(key string, f read) member { return member{key, true, f} }
func may(key string, f read) member  { return member{key, false, f} }

// object reads an object with the given members and nothing else.
func (r *reader) object(at *where, n *node, members ...member) {
	if n.value != json.Delim('{') {
		r.bad(at, n.at, "found %s where an object should be", n.show())
		return
	}
	seen := make([]bool, len(members))
	for i := range n.items {
		here := &where{up: at, key: n.keys[i]}
		j := slices.IndexFunc(members, func(m member) bool { return m.key == n.keys[i] })
		switch {
		case j < 0:
			r.unknown(here, n.keyAt[i], n.keys[i], members)
		case seen[j]:
			r.bad(here, n.keyAt[i], "the key %q stands twice in one object; keep one", n.keys[i])
		default:
			seen[j] = true
			members[j].read(here, &n.items[i])
		}
	}
	for j, m := range members {
		if m.must && !seen[j] {
			r.bad(at, n.at, "the key %q is missing", m.key)
		}
	}
}

// unknown reports a key that an object does not have, with those that it has.
func (r *reader) unknown(here *where, at int64, key string, members []member) {
	names := make([]string, len(members))
	for i, m := range members {
		if strings.EqualFold(key, m.key) || stem(key) == stem(m.key) {
			r.bad(here, at, "the key %q is not known here; did you mean %q?", clip(key), m.key)
			return
		}
		names[i] = m.key
	}
	r.bad(here, at, "the key %q is not known here, where %s may stand; remove it", clip(key), strings.Join(names, ", "))
}

// stem is a key without its unit: length_in and length_mm have one stem.
func stem(key string) string {
	for _, unit := range []string{"_mm", "_in", "_cm", "_deg", "_rad"} {
		if s, ok := strings.CutSuffix(key, unit); ok {
			return s
		}
	}
	return key
}

// list reads a list of objects into dst.
func list[T any](r *reader, dst *[]T, entry func(at *where, n *node, v *T)) read {
	return func(at *where, n *node) {
		if n.value != json.Delim('[') {
			r.bad(at, n.at, "found %s where a list should be", n.show())
			return
		}
		for i := range n.items {
			var v T
			entry(&where{up: at, index: i}, &n.items[i], &v)
			*dst = append(*dst, v)
		}
	}
}

func (r *reader) float(dst *float64) read {
	return func(at *where, n *node) {
		num, ok := n.value.(json.Number)
		v, err := strconv.ParseFloat(string(num), 64)
		switch {
		case !ok:
			r.bad(at, n.at, "found %s where a number should be", n.show())
		case err != nil:
			r.bad(at, n.at, "the number %s is out of range", clip(string(num)))
		default:
			*dst = v + 0 // turns −0 into 0
		}
	}
}

// whole reads a whole number from least to most, written with or without a decimal point.
func (r *reader) whole(least, most float64, what string, set func(int64)) read {
	return func(at *where, n *node) {
		v := math.NaN()
		r.float(&v)(at, n)
		switch {
		case math.IsNaN(v): // already reported
		case v != math.Trunc(v) || v < least || v > most:
			r.bad(at, n.at, "found %s where %s should be", n.show(), what)
		default:
			set(int64(v))
		}
	}
}

// feature reads the id of a feature of a plate; 2⁵³ − 1 is the largest whole number that every reader of JSON holds.
func (r *reader) feature(dst *plate.ID) read {
	return r.whole(1, 1<<53-1, "the id of a feature, a whole number from 1,", func(v int64) { *dst = plate.ID(v) })
}

func (r *reader) text(dst *string) read {
	return func(at *where, n *node) {
		s, ok := n.value.(string)
		if !ok {
			r.bad(at, n.at, "found %s where a text in quotes should be", n.show())
			return
		}
		*dst = s
	}
}

func (r *reader) boolean(dst *bool) read {
	return func(at *where, n *node) {
		b, ok := n.value.(bool)
		if !ok {
			r.bad(at, n.at, "found %s where true or false should be", n.show())
			return
		}
		*dst = b
	}
}

// choice reads one of the given words.
func choice[T ~string](r *reader, dst *T, words ...T) read {
	return func(at *where, n *node) {
		s, ok := n.value.(string)
		if !ok || !slices.Contains(words, T(s)) {
			r.bad(at, n.at, "found %s where one of %q should be", n.show(), words)
			return
		}
		*dst = T(s)
	}
}
