package dxf

import (
	"bufio"
	"io"
	"math"
	"strconv"
)

// tags writes group codes and values. The first error of the writer underneath stays with it and comes out at its Flush.
type tags struct {
	w      *bufio.Writer
	buf    []byte
	handle uint64 // last one given out
}

// Handles that other objects refer to. All further ones follow lastFixed in the order of writing.
const (
	hNone = iota
	hBlockRecordTable
	hLayerTable
	hStyleTable
	hLinetypeTable
	hViewTable
	hUCSTable
	hViewportTable
	hAppIDTable
	hDimStyleTable
	hRootDictionary
	hGroupDictionary
	hLayoutDictionary
	hMlineDictionary
	hPlotSettingsDictionary
	hPlotStyleDictionary
	hPlotStyleNormal
	hModelRecord
	hPaperRecord
	hModelLayout
	hPaperLayout
	hMlineStandard
	hStandardStyle
	hStandardDimStyle
	lastFixed
)

func newTags(w io.Writer) *tags { return &tags{w: bufio.NewWriter(w)} }

func (t *tags) code(code int) {
	b := t.buf[:0]
	// Codes are right-aligned in three columns, as the format's own writer does.
	for pad := 100; code < pad && pad > 1; pad /= 10 {
		b = append(b, ' ')
	}
	b = strconv.AppendInt(b, int64(code), 10)
	t.buf = append(b, '\n')
}

func (t *tags) end() { _, _ = t.w.Write(append(t.buf, '\n')) } // an error comes out at Flush

// str writes a text value, which must hold no line break; all of them are constants or layer names.
func (t *tags) str(code int, s string) {
	t.code(code)
	t.buf = append(t.buf, s...)
	t.end()
}

func (t *tags) int(code, v int) {
	t.code(code)
	t.buf = strconv.AppendInt(t.buf, int64(v), 10)
	t.end()
}

func (t *tags) ref(code int, handle uint64) {
	t.code(code)
	t.buf = append(t.buf, strconv.FormatUint(handle, 16)...)
	upper(t.buf)
	t.end()
}

// upper makes hexadecimal digits capitals; the code before them has none.
func upper(b []byte) {
	for i, c := range b {
		if c >= 'a' && c <= 'f' {
			b[i] = c - 'a' + 'A'
		}
	}
}

// num writes a number as the shortest decimal that reads back as the same float64, without an exponent, which old readers
// do not know. What is below 1e-12 in size is arithmetic noise and written as 0.
func (t *tags) num(code int, v float64) {
	t.code(code)
	if math.Abs(v) < 1e-12 {
		v = 0 // also turns −0 into 0
	}
	from := len(t.buf)
	t.buf = strconv.AppendFloat(t.buf, v, 'f', -1, 64)
	whole := true
	for _, c := range t.buf[from:] {
		whole = whole && c != '.'
	}
	if whole {
		t.buf = append(t.buf, ".0"...)
	}
	t.end()
}

// point writes two or three coordinates; code is that of x, and y and z follow ten by ten.
func (t *tags) point(code int, xyz ...float64) {
	for i, v := range xyz {
		t.num(code+10*i, v)
	}
}

// next gives out a new handle.
func (t *tags) next() uint64 {
	if t.handle < lastFixed {
		t.handle = lastFixed
	}
	t.handle++
	return t.handle
}

// object begins an object or entity with its handle and owner.
func (t *tags) object(kind string, handle, owner uint64) {
	t.str(0, kind)
	t.ref(5, handle)
	t.ref(330, owner)
}

func (t *tags) section(name string, body func()) {
	t.str(0, "SECTION")
	t.str(2, name)
	body()
	t.str(0, "ENDSEC")
}

func (t *tags) variable(name string, value func()) {
	t.str(9, name)
	value()
}
