package plate

import "platewright/plate/tree"

// Format is the value of the key "format" of every plate file, and Version the newest version that this program reads and
// the one that it writes.
const (
	Format  = "platewright-plate"
	Version = 1
)

// MaxFileBytes is the length of the longest file that Decode takes, in bytes. It is far above any plate that a shop could make.
const MaxFileBytes = 16 << 20

const (
	maxListItems = 20_000    // in one list, so also features of one kind
	maxCount     = 1<<31 - 1 // of anything: every int holds it
)

var plateFile = tree.Format{
	What: "plate file", Name: Format, Version: Version, Reserved: []string{"sheet"},
	// Version 1 needs a depth of 6.
	Limits: tree.Limits{Bytes: MaxFileBytes, Depth: 16, Entries: maxListItems, Keys: 200, Values: 600_000},
}

// Problem is one thing wrong in a plate file, and DecodeErrors the error of Decode.
type (
	Problem      = tree.Problem
	DecodeErrors = tree.Errors
)

// Decode reads a plate file of any version that this program knows. It is strict: unknown, doubled and missing keys, wrong
// types, bad UTF-8 and text after the end are errors. The error is a *DecodeErrors with every problem at once, except that
// text which is not JSON, or is beyond the limits, is reported alone. Decode looks at form only; Validate looks at what the
// document says.
func Decode(data []byte) (Plate, error) {
	var f *fileV1
	err := tree.Decode(data, plateFile, func(r *tree.Reader, root *tree.Node) { f = (&reader{r}).fileV1(root) })
	if err != nil {
		return Plate{}, err
	}
	return f.plate(), nil
}

// reader turns the tree into file structs.
type reader struct{ *tree.Reader }

// id reads the id of a feature.
func (r *reader) id(dst *int64) tree.Read {
	return r.Whole(dst, 1, tree.MaxWhole, "an id, a whole number from 1,")
}

func (r *reader) count(dst *int64) tree.Read {
	return r.Whole(dst, -maxCount, maxCount, "a whole number")
}

func (r *reader) choice(dst *string, words []string) tree.Read {
	return tree.Choice(r.Reader, dst, words)
}

// pair reads a place [x, y].
func (r *reader) pair(x, y *float64) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if n.Kind != tree.List || len(n.Items) != 2 {
			r.Bad(at, n, "found %s where two numbers [x, y] should be", n.Show())
			return
		}
		r.Float(x)(at.Item(0), &n.Items[0])
		r.Float(y)(at.Item(1), &n.Items[1])
	}
}
