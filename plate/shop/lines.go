package shop

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"platewright/plate/tree"
)

// Where in the file a value stands: the line of every JSON path.

// lineMap gives the line of each value by its path, counted from 1.
type lineMap map[string]int

// of is the line of a path, or of what it lies in where the path itself is not in the file.
func (m lineMap) of(path string) int {
	path, _, _ = strings.Cut(path, " ") // "machine.travel_mm x" names an element in words
	for path != "" {
		if n, ok := m[path]; ok {
			return n
		}
		path = path[:max(strings.LastIndexByte(path, '.'), strings.LastIndexByte(path, '['), 0)]
	}
	return 1
}

// linesOf maps what has been read.
func linesOf(root *tree.Node) lineMap {
	m := lineMap{}
	m.add(nil, root)
	return m
}

func (m lineMap) add(at *tree.Place, n *tree.Node) {
	path := at.String()
	if _, ok := m[path]; !ok {
		m[path] = int(n.Line)
	}
	for i := range n.Items {
		if n.Kind == tree.Object {
			m.add(at.Key(n.Keys[i].Text), &n.Items[i])
		} else {
			m.add(at.Item(i), &n.Items[i])
		}
	}
}

// lineOf is the line at which a decoder's error arose; 0 where the error does not say.
func lineOf(data []byte, err error) int {
	var kind *json.UnmarshalTypeError
	if !errors.As(err, &kind) || kind.Offset > int64(len(data)) {
		return 0
	}
	return 1 + bytes.Count(data[:kind.Offset], []byte{'\n'})
}

// wordsOf words a decoder's error.
func wordsOf(err error) string {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return fmt.Sprintf("%s: %s does not fit here; it wants %s", kind.Field, kind.Value, kind.Type)
	}
	return err.Error()
}
