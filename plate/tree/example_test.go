package tree_test

import (
	"fmt"

	"platewright/plate/tree"
)

// A document is read key by key; whatever is wrong is told at once, with its place.
func Example() {
	format := tree.Format{
		What: "part file", Name: "part", Version: 1,
		Limits: tree.Limits{Bytes: 1000, Depth: 3, Entries: 10, Keys: 10, Values: 50},
	}
	var name string
	var holes []float64
	err := tree.Decode([]byte(`{
		"format": "part", "version": 1,
		"Name": "lever",
		"holes_mm": [5, "6", 1e999]
	}`), format, func(r *tree.Reader, root *tree.Node) {
		skip := func(*tree.Place, *tree.Node) {}
		r.Object(nil, root,
			tree.Must("format", skip), tree.Must("version", skip),
			tree.Must("name", r.Text(&name)),
			tree.May("holes_mm", tree.ListOf(r, &holes, 10, r.Float)))
	})
	fmt.Println(err)
	// Output:
	// part file: 4 problems:
	// 1:1: the key "name" is missing
	// 3:3: Name: the key "Name" is not known here; did you mean "name"?
	// 4:19: holes_mm[1]: found the text "6" where a number should be; write a plain number without quotes
	// 4:24: holes_mm[2]: the number 1e999 is out of range
}
