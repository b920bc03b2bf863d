package plate

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Encode writes the document as canonical bytes of the newest version, with a newline at the end: equal documents give
// equal bytes, keys come in a fixed order, keys at their default are left out and numbers are as short as they read back
// exactly. What a choice makes meaningless (the margin of a fixed blank, the place of a rib end that sits on a bore) is not
// written. It is an error when a number is not finite or a text is not UTF-8; the error names the feature.
func Encode(p Plate) ([]byte, error) {
	if err := p.unwritable(); err != nil {
		return nil, fmt.Errorf("encode plate: %w", err)
	}
	f := fileOf(p)
	var compact bytes.Buffer
	enc := json.NewEncoder(&compact)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(f); err != nil {
		return nil, fmt.Errorf("encode plate: %w", err)
	}
	out := layOut(bytes.TrimSpace(compact.Bytes()))
	if len(out) > MaxFileBytes {
		return nil, fmt.Errorf("encode plate: the document takes %d bytes; a plate file has at most %d: remove features", len(out), MaxFileBytes)
	}
	return out, nil
}

// Revision is the SHA-256 of the canonical bytes in hex. It is empty for a document that cannot be encoded.
func Revision(p Plate) string {
	data, err := Encode(p)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// unwritable is the first number that is not finite or text that is not UTF-8.
func (p Plate) unwritable() error {
	var err error
	p.visitNumbers(func(f number) {
		if err == nil && !finite(f.value) {
			err = fmt.Errorf("%s is %v, not a number that a file can hold: set it again", f.what(), f.value)
		}
	})
	p.visitTexts(func(t text) {
		if err == nil && !utf8.ValidString(t.value) {
			err = fmt.Errorf("%s of %s is not UTF-8 text: set it again", t.label, t.owner())
		}
	})
	return err
}

// layOut breaks compact JSON into lines: an object or list stands on one line if it fits within lineWidth and holds no list
// of objects, else each entry takes a line of its own. A feature is then mostly one line, and a changed file shows what
// changed.
func layOut(compact []byte) []byte {
	const lineWidth = 160
	out := make([]byte, 0, len(compact)*3/2)
	ends := closings(compact)
	var broken []bool // of the open brackets
	indent := func() { out = append(out, '\n'); out = append(out, strings.Repeat("  ", len(broken))...) }
	for i := 0; i < len(compact); i++ {
		switch c := compact[i]; c {
		case '"':
			end := i + stringLen(compact[i:])
			out = append(out, compact[i:end]...)
			i = end - 1
		case '{', '[':
			out = append(out, c)
			end := ends[0]
			ends = ends[1:]
			wide := i == 0 || end-i > lineWidth || bytes.Contains(compact[i:end], []byte("[{"))
			broken = append(broken, wide)
			if wide {
				indent()
			}
		case '}', ']':
			wide := broken[len(broken)-1]
			broken = broken[:len(broken)-1]
			if wide {
				indent()
			}
			out = append(out, c)
		case ',':
			out = append(out, c)
			if broken[len(broken)-1] {
				indent()
			} else {
				out = append(out, ' ')
			}
		case ':':
			out = append(out, ": "...)
		default:
			out = append(out, c)
		}
	}
	return append(out, '\n')
}

// closings gives for each opening bracket of compact JSON, in order, the offset of its closing one.
func closings(compact []byte) []int {
	var ends, open []int
	for i := 0; i < len(compact); i++ {
		switch compact[i] {
		case '"':
			i += stringLen(compact[i:]) - 1
		case '{', '[':
			open = append(open, len(ends))
			ends = append(ends, 0)
		case '}', ']':
			ends[open[len(open)-1]] = i
			open = open[:len(open)-1]
		}
	}
	return ends
}

// stringLen is the length of the JSON string that data starts with, quotes included.
func stringLen(data []byte) int {
	for i := 1; i < len(data); i++ {
		switch data[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(data)
}
