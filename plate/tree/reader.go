package tree

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Format is a kind of file: what stands at its keys "format" and "version", and how much of it there may be.
type Format struct {
	What     string            // like "plate file"
	Name     string            // at the key "format"
	Version  int               // the newest that is read, and the one that is written
	Others   map[string]string // what to say of files of other formats
	Reserved []string          // keys kept for later versions
	Limits   Limits
}

// maxProblems bounds how many problems of one file are kept; the others are counted.
const maxProblems = 200

// Errors is every problem found in a file, in its order.
type Errors struct {
	What     string // the file, like "plate file"
	Problems []Problem
	Omitted  int // how many more there were
}

// Error lists all problems, one a line.
func (e *Errors) Error() string {
	var b strings.Builder
	b.WriteString(e.What + ": ")
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

// Decode reads a file of any version up to that of the format by read, which is not called for others. Unknown, doubled and
// missing keys, wrong types, bad UTF-8 and text after the end are errors. The error is a *Errors with every problem at once,
// except that text which is not JSON, or is beyond the limits, is reported alone.
func Decode(data []byte, f Format, read func(r *Reader, root *Node)) error {
	root, problem := Parse(data, f.What, f.Limits)
	if problem != nil {
		return &Errors{What: f.What, Problems: []Problem{*problem}}
	}
	r := &Reader{reserved: f.Reserved}
	if r.sniff(&root, &f) {
		read(r, &root)
	}
	if len(r.problems) == 0 {
		return nil
	}
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Col - b.Col
	})
	return &Errors{What: f.What, Problems: r.problems, Omitted: r.omitted}
}

// Reader turns the tree into a document and collects problems.
type Reader struct {
	problems []Problem
	omitted  int
	reserved []string
}

func (r *Reader) report(at *Place, line, col int32, format string, args ...any) {
	if len(r.problems) == maxProblems {
		r.omitted++
		return
	}
	r.problems = append(r.problems, Problem{at.String(), int(line), int(col), fmt.Sprintf(format, args...)})
}

// Bad reports a problem of a value.
func (r *Reader) Bad(at *Place, n *Node, format string, args ...any) {
	r.report(at, n.Line, n.Col, format, args...)
}

// Found is the number of problems so far.
func (r *Reader) Found() int { return len(r.problems) + r.omitted }

// sniff looks at format and version alone, so that a file of another kind or of a newer version gets one plain answer and
// not a list of unknown keys.
func (r *Reader) sniff(root *Node, f *Format) bool {
	if root.Kind != Object {
		r.Bad(nil, root, "found %v; a %s is one JSON object", root.Kind, f.What)
		return false
	}
	format, version := root.Get("format"), root.Get("version")
	var at *Place
	switch {
	case format == nil:
		r.Bad(nil, root, `the key "format" is missing; a %s says "format": %q`, f.What, f.Name)
	case format.Kind == String && f.Others[format.Text] != "":
		r.Bad(at.Key("format"), format, "%s; a %s says %q", f.Others[format.Text], f.What, f.Name)
	case format.Kind != String || format.Text != f.Name:
		r.Bad(at.Key("format"), format, "found %s; a %s says %q", format.Show(), f.What, f.Name)
	case version == nil:
		r.Bad(nil, root, `the key "version" is missing; this program writes "version": %d`, f.Version)
	default:
		return r.sniffVersion(version, f.Version)
	}
	return false
}

func (r *Reader) sniffVersion(n *Node, newest int) bool {
	var root *Place
	at := root.Key("version")
	v, err := strconv.ParseFloat(n.Text, 64)
	switch {
	case n.Kind != Number || err != nil || v != math.Trunc(v) || v < 1:
		r.Bad(at, n, "found %s; the version is a whole number from 1", n.Show())
	case v > float64(newest):
		r.Bad(at, n, "this file is of version %s, made by a newer version of Platewright; this program reads up to version %d. "+
			"Open it with the newer program", n.Text, newest)
	default:
		return true
	}
	return false
}

// Read takes one value of the tree into a field of a document.
type Read func(at *Place, n *Node)

// Member is one key that an object may have.
type Member struct {
	key  string
	must bool
	read Read
}

// Must is a key that an object has to have.
func Must(key string, f Read) Member { return Member{key, true, f} }

// May is a key that an object may do without.
func May(key string, f Read) Member { return Member{key, false, f} }

// Object reads an object with the given members and nothing else, and reports whether it is an object at all.
func (r *Reader) Object(at *Place, n *Node, members ...Member) bool {
	if n.Kind != Object {
		r.Bad(at, n, "found %s where an object should be", n.Show())
		return false
	}
	seen := make([]bool, len(members))
	for i := range n.Items {
		k := n.Keys[i]
		here := at.Key(k.Text)
		j := slices.IndexFunc(members, func(m Member) bool { return m.key == k.Text })
		switch {
		case j < 0:
			r.unknown(here, k, members)
		case seen[j]:
			r.report(here, k.Line, k.Col, "the key %q stands twice in one object; keep one", k.Text)
		default:
			seen[j] = true
			members[j].read(here, &n.Items[i])
		}
	}
	for j, m := range members {
		if m.must && !seen[j] {
			r.Bad(at, n, "the key %q is missing", m.key)
		}
	}
	return true
}

// Float reads a number.
func (r *Reader) Float(dst *float64) Read {
	return func(at *Place, n *Node) {
		v, err := strconv.ParseFloat(n.Text, 64)
		switch {
		case n.Kind == String:
			r.Bad(at, n, "found the text %q where a number should be; write a plain number without quotes", Clip(n.Text))
		case n.Kind != Number:
			r.Bad(at, n, "found %s where a number should be", n.Show())
		case err != nil:
			r.Bad(at, n, "the number %s is out of range", Clip(n.Text))
		default:
			*dst = v + 0 // turns −0 into 0
		}
	}
}

// MaxWhole is the largest whole number that every reader of JSON holds exactly, 2⁵³ − 1.
const MaxWhole = 1<<53 - 1

// Whole reads a whole number within the given range, written with or without a decimal point.
func (r *Reader) Whole(dst *int64, least, most int64, what string) Read {
	return func(at *Place, n *Node) {
		v := math.NaN()
		r.Float(&v)(at, n)
		switch {
		case math.IsNaN(v): // already reported
		case v != math.Trunc(v) || v < float64(least) || v > float64(most):
			r.Bad(at, n, "found %s where %s should be", n.Show(), what)
		default:
			*dst = int64(v)
		}
	}
}

// ListOf reads a list of at most the given number of entries, which one reads one at a time.
func ListOf[T any](r *Reader, dst *[]T, most int, one func(*T) Read) Read {
	return func(at *Place, n *Node) {
		switch {
		case n.Kind != List:
			r.Bad(at, n, "found %s where a list should be", n.Show())
		case len(n.Items) > most:
			r.Bad(at, n, "%d entries; at most %d are possible here: remove some, or split the document", len(n.Items), most)
		default:
			*dst = make([]T, len(n.Items))
			for i := range n.Items {
				one(&(*dst)[i])(at.Item(i), &n.Items[i])
			}
		}
	}
}

// Text reads a text.
func (r *Reader) Text(dst *string) Read {
	return func(at *Place, n *Node) {
		if n.Kind != String {
			r.Bad(at, n, "found %s where a text in quotes should be", n.Show())
			return
		}
		*dst = n.Text
	}
}

// Flag reads true or false.
func (r *Reader) Flag(dst *bool) Read {
	return func(at *Place, n *Node) {
		if n.Kind != Bool {
			r.Bad(at, n, "found %s where true or false should be", n.Show())
			return
		}
		*dst = n.Text == "true"
	}
}

// Choice reads one of the given words.
func Choice[T ~string](r *Reader, dst *T, words []T) Read {
	return func(at *Place, n *Node) {
		if n.Kind != String || !slices.Contains(words, T(n.Text)) {
			r.Bad(at, n, "found %s where one of %s should be", n.Show(), Quoted(words))
			return
		}
		*dst = T(n.Text)
	}
}

// Quoted lists words in quotes, with commas between.
func Quoted[T ~string](words []T) string {
	s := make([]string, len(words))
	for i, w := range words {
		s[i] = strconv.Quote(string(w))
	}
	return strings.Join(s, ", ")
}
