package set

import (
	"platewright/plate"
	"platewright/plate/tree"
)

// Format is the value of the key "format" of every set file, and Version the newest version that this program reads and the
// one that it writes.
const (
	Format  = "platewright-set"
	Version = 1
)

// MaxFileBytes is the length of the longest set file that Decode takes.
const MaxFileBytes = 1 << 20

// maxEntries is the most of one list, far above any set.
const maxEntries = 2000

var setFile = tree.Format{
	What: "set file", Name: Format, Version: Version, Others: map[string]string{plate.Format: "this file is one plate, not a set"},
	Limits: tree.Limits{Bytes: MaxFileBytes, Depth: 10, Entries: maxEntries, Keys: 200, Values: 50_000},
}

// DecodeErrors is the error of Decode: every problem found, in the order of the file.
type DecodeErrors = tree.Errors

// Decode reads a set file. It is strict: unknown, doubled and missing keys, wrong types, bad UTF-8 and text after the end
// are errors. The error is a *DecodeErrors with every problem at once, except that text which is not JSON, or is beyond the
// limits, is reported alone. Decode looks at form only; Validate looks at what the document says.
func Decode(data []byte) (Set, error) {
	var s Set
	if err := tree.Decode(data, setFile, func(r *tree.Reader, root *tree.Node) { (&reader{r}).set(&s, root) }); err != nil {
		return Set{}, err
	}
	return s, nil
}

// reader turns the tree into a set.
type reader struct{ *tree.Reader }

// list reads a list of objects.
func list[T any](r *reader, dst *[]T, entry func(*T) tree.Read) tree.Read {
	return tree.ListOf(r.Reader, dst, maxEntries, entry)
}

// feature reads the id of a feature of a plate.
func (r *reader) feature(dst *plate.ID) tree.Read {
	return r.Whole((*int64)(dst), 1, tree.MaxWhole, "the id of a feature, a whole number from 1,")
}

// count reads a whole number; what may be is for Validate to say.
func (r *reader) count(dst *int) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		var v int64
		r.Whole(&v, -1e9, 1e9, "a whole number")(at, n)
		*dst = int(v)
	}
}

// choice reads one of the given words.
func choice[T ~string](r *reader, dst *T, words ...T) tree.Read {
	return tree.Choice(r.Reader, dst, words)
}

// group reads an object.
func (r *reader) group(members ...tree.Member) tree.Read {
	return func(at *tree.Place, n *tree.Node) { r.Object(at, n, members...) }
}
