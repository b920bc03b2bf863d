package plate

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"

	"platewright/plate/material"
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

// MarshalJSON writes "all" or the list.
func (s ribsV1) MarshalJSON() ([]byte, error) {
	if s.all {
		return []byte(`"all"`), nil
	}
	if s.ids == nil {
		return []byte("[]"), nil
	}
	return json.Marshal(s.ids)
}

// fileOf turns the document into the file.
func fileOf(p Plate) *fileV1 {
	m := p.Machining
	return &fileV1{
		Format: Format, Version: Version, Name: p.Name, Note: p.Note, NextID: int64(p.NextID),
		Stock: stockOf(p.Stock), Outline: outlineV1{Kind: "drawn", Corners: cornersOf(p.Outline.Corners)}, Rim: plus(p.Rim),
		Bores: each(p.Bores, boreOf), Holes: each(p.Holes, holeOf), Circles: each(p.Circles, circleOf),
		Ribs: each(p.Ribs, ribOf), Grids: each(p.Grids, gridOf), Pockets: each(p.Pockets, pocketOf),
		CutLines: each(p.CutLines, cutLineOf), Targets: each(p.Targets, targetOf),
		Machining: machiningV1{[2]float64{plus(m.ZeroX), plus(m.ZeroY)}, string(m.Turn), m.Shop, m.ShopHash},
	}
}

// plus turns −0 into 0, so that equal documents give equal bytes.
func plus(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}

func ptr(v float64) *float64 { v = plus(v); return &v }

func idPtr(id ID) *int64 { v := int64(id); return &v }

func intPtr(i int) *int64 { v := int64(i); return &v }

// unless is word, or nothing when it is the default.
func unless(word, absent string) string {
	if word == absent {
		return ""
	}
	return word
}

func stockOf(s Stock) stockV1 {
	out := stockV1{
		Material: materialOf(s.Material), Nominal: plus(s.Nominal),
		Top: unless(string(s.Top), string(AsSupplied)), Bottom: unless(string(s.Bottom), string(AsSupplied)),
	}
	if s.Finished != s.Nominal {
		out.Finished = ptr(s.Finished)
	}
	if b := s.Blank; b.Fixed {
		out.Blank = blankV1{X: ptr(b.X), Y: ptr(b.Y), Width: ptr(b.Width), Height: ptr(b.Height)}
	} else {
		out.Blank = blankV1{Margin: ptr(b.Margin)}
	}
	return out
}

func materialOf(m material.Material) materialV1 {
	m.Density, m.Young, m.Poisson = plus(m.Density), plus(m.Young), plus(m.Poisson)
	m.Proof, m.Ultimate = plus(m.Proof), plus(m.Ultimate)
	return materialV1(m)
}

func cornersOf(list []Corner) []cornerV1 {
	return each(list, func(c Corner) cornerV1 {
		out := cornerV1{X: plus(c.X), Y: plus(c.Y), Radius: plus(c.Radius)}
		if c.Arc {
			out.Through = &[2]float64{plus(c.ThroughX), plus(c.ThroughY)}
		}
		return out
	})
}

func boreOf(b Bore) boreV1 {
	return boreV1{int64(b.ID), b.Name, plus(b.X), plus(b.Y), plus(b.Diameter), plus(b.Boss), plus(b.Tolerance)}
}

func formOf(f HoleForm) formV1 {
	return formV1{
		string(f.Kind), f.Size, string(f.Series), unless(string(f.Side), string(Through)), plus(f.Depth), plus(f.Boss),
	}
}

func holeOf(h Hole) holeV1 {
	return holeV1{int64(h.ID), h.Name, plus(h.X), plus(h.Y), formOf(h.HoleForm)}
}

func circleOf(c BoltCircle) circleV1 {
	out := circleV1{
		ID: int64(c.ID), Name: c.Name, Diameter: plus(c.Diameter), Count: int64(c.Count), Start: plus(c.StartDeg),
		formV1: formOf(c.HoleForm),
	}
	if c.Bore != 0 {
		out.Bore = idPtr(c.Bore)
	} else {
		out.X, out.Y = ptr(c.X), ptr(c.Y)
	}
	return out
}

func endOf(e RibEnd) endV1 {
	if e.Feature != 0 {
		return endV1{Feature: idPtr(e.Feature)}
	}
	return endV1{X: ptr(e.X), Y: ptr(e.Y)}
}

func ribOf(b Rib) ribV1 { return ribV1{int64(b.ID), b.Name, endOf(b.From), endOf(b.To), plus(b.Width)} }

func gridOf(g Grid) gridV1 {
	return gridV1{
		ID: int64(g.ID), Name: g.Name, Kind: "isogrid", Pitch: plus(g.Pitch), Angle: plus(g.AngleDeg),
		X: plus(g.X), Y: plus(g.Y), Width: plus(g.Width), Bounds: cornersOf(g.Bounds),
	}
}

func pocketOf(k Pocket) pocketV1 {
	out := pocketV1{
		ID: int64(k.ID), Name: k.Name, Side: string(k.Side), Depth: plus(k.Depth), Radius: plus(k.Radius),
		Bounds: cornersOf(k.Bounds), Ribs: ribsV1{all: k.AllRibs}, LeastArea: plus(k.LeastArea), Kept: each(k.Kept, anchorOf),
	}
	if !k.AllRibs {
		out.Ribs.ids = each(k.Ribs, func(id ID) int64 { return int64(id) })
	}
	return out
}

func anchorOf(a Anchor) anchorV1 {
	if a.Grid != 0 {
		return anchorV1{Grid: idPtr(a.Grid), I: intPtr(a.I), J: intPtr(a.J), K: intPtr(a.K)}
	}
	return anchorV1{X: ptr(a.X), Y: ptr(a.Y)}
}

func cutLineOf(c CutLine) cutLineV1 {
	return cutLineV1{int64(c.ID), c.Name, [2]float64{plus(c.X1), plus(c.Y1)}, [2]float64{plus(c.X2), plus(c.Y2)}}
}

func targetOf(t Target) targetV1 {
	out := targetV1{ID: int64(t.ID), Name: t.Name, Quantity: string(t.Quantity), CutLine: int64(t.CutLine), Sense: string(t.Sense)}
	_, v := out.value()
	*v = ptr(t.Value)
	return out
}
