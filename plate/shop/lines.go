package shop

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
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

// linesOf maps the text, which may be broken: what comes before the break is mapped.
func linesOf(data []byte) lineMap {
	m := lineMap{}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	at, line := 0, 1 // the line of the offset at
	w := walker{m: m, next: func() (json.Token, int, error) {
		t, err := d.Token()
		if to := int(d.InputOffset()); err == nil {
			line += bytes.Count(data[at:to], []byte{'\n'})
			at = to
		}
		return t, line, err
	}}
	w.value("", 0)
	return m
}

type walker struct {
	m    lineMap
	next func() (json.Token, int, error)
}

// maxNesting is above what a profile needs.
const maxNesting = 50

// value maps the next value and everything in it; it tells whether the text goes on.
func (w *walker) value(path string, depth int) bool {
	t, line, err := w.next()
	if err != nil || depth > maxNesting {
		return false
	}
	return w.rest(t, line, path, depth)
}

func (w *walker) rest(t json.Token, line int, path string, depth int) bool {
	if _, ok := w.m[path]; !ok {
		w.m[path] = line
	}
	switch t {
	case json.Delim('{'):
		for {
			k, _, err := w.next()
			key, ok := k.(string)
			if err != nil || !ok {
				return err == nil
			}
			if !w.value(strings.TrimPrefix(path+"."+key, "."), depth+1) {
				return false
			}
		}
	case json.Delim('['):
		for i := 0; ; i++ {
			t, line, err := w.next()
			if err != nil || t == json.Delim(']') {
				return err == nil
			}
			if !w.rest(t, line, path+"["+strconv.Itoa(i)+"]", depth+1) {
				return false
			}
		}
	}
	return true
}

// lineOf is the line at which a decoder's error arose; 0 where the error does not say.
func lineOf(data []byte, err error) int {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	off := int64(-1)
	switch {
	case errors.As(err, &syntax):
		off = syntax.Offset
	case errors.As(err, &kind):
		off = kind.Offset
	}
	if off < 0 || off > int64(len(data)) {
		return 0
	}
	return 1 + bytes.Count(data[:off], []byte{'\n'})
}

// wordsOf words a decoder's error.
func wordsOf(err error) string {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return fmt.Sprintf("%s: %s does not fit here; it wants %s", kind.Field, kind.Value, kind.Type)
	}
	return err.Error()
}
