package scene

import (
	"encoding/binary"
	"math/bits"
)

// filler turns outlines into coverage by exact areas. Every edge leaves in its rows, cell by cell, by how much the covered
// share changes there; the running sum along a row is then the share of each pixel inside the outline (summed winding).
// Bits mark the cells that an edge touched; everything between is a run of one value, so the cost grows with the length of
// the outlines and hardly with the area. (Collecting the edges first and working in bands of rows, for the sake of the
// processor's fast memory, was tried: a third slower, since short edges dominate.)
type filler struct {
	w, h    int
	stride  int       // cells per row
	cover   []float32 // change of the winding sum in each cell
	words   int       // words of touched per row
	touched []uint64  // one bit for each cell
	y0, y1  int       // touched rows
}

// The winding rules.
const (
	evenOdd = iota
	nonZero
)

// reset makes the filler ready for w × h pixels. A filler is empty after each paint.
func (f *filler) reset(w, h int) {
	if f.w == w && f.h == h && f.cover != nil {
		return
	}
	f.w, f.h = w, h
	f.stride = w + 2
	f.words = f.stride/64 + 2 // one to spare, so that cell may write to the next
	f.cover = resized(f.cover, f.stride*h)
	f.touched = resized(f.touched, f.words*h)
	f.y0, f.y1 = h, 0
}

// resized returns a slice of n zeros, in the same memory where it is large enough.
func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// edge adds one directed edge in device pixels. One with an end that is not a finite number is passed over.
func (f *filler) edge(x0, y0, x1, y1 float64) {
	if s := (x1-x0)*0 + (y1-y0)*0; s != 0 { // infinite and NaN become NaN
		return
	}
	dir := float32(1)
	if y0 > y1 {
		x0, y0, x1, y1, dir = x1, y1, x0, y0, -1
	}
	h, w := float64(f.h), float64(f.w)
	if !(y1 > 0) || !(y0 < h) || y0 == y1 || !(x0 < w || x1 < w) {
		return
	}
	slope := (x1 - x0) / (y1 - y0)
	if y0 < 0 {
		x0 -= y0 * slope
		y0 = 0
	}
	y1 = min(y1, h)
	end := x0 + slope*(y1-y0)
	inside := x0 >= 0 && end >= 0 && x0 < w-1e-6 && end < w-1e-6
	first, last := int(y0), int(y1) // last may be the row below the canvas, with nothing in it
	f.y0, f.y1 = min(f.y0, first), max(f.y1, min(last+1, f.h))
	if first == last {
		f.piece(inside, first, x0, end, float32(y1-y0)*dir)
		return
	}
	dy := float64(first+1) - y0
	x := x0 + slope*dy
	f.piece(inside, first, x0, x, float32(dy)*dir)
	for y := first + 1; y < last; y++ {
		next := x + slope
		f.piece(inside, y, x, next, dir)
		x = next
	}
	if dy = y1 - float64(last); dy > 0 {
		f.piece(inside, last, x, end, float32(dy)*dir)
	}
}

func (f *filler) piece(inside bool, r int, xa, xb float64, d float32) {
	if inside {
		f.cell(r, xa, xb, d)
	} else {
		f.clip(r, xa, xb, d)
	}
}

// clip adds the piece of an edge inside row r, from xa to xb, of signed height d. What lies left of the canvas
// counts in full from the first pixel on; what lies right of it counts nowhere.
func (f *filler) clip(r int, xa, xb float64, d float32) {
	if xa > xb {
		xa, xb = xb, xa
	}
	w := float64(f.w)
	if xa >= w {
		return
	}
	if xa < 0 {
		left := d
		if xb > 0 {
			left = d * float32(-xa/(xb-xa))
		}
		f.cover[r*f.stride] += left
		f.touched[r*f.words] |= 1
		if xb <= 0 {
			return
		}
		d -= left
		xa = 0
	}
	if xb > w {
		d *= float32((w - xa) / (xb - xa))
		xb = w
	}
	f.cell(r, xa, xb, d)
}

// cell adds a piece of an edge that lies within the canvas, 0 ≤ xa, xb ≤ w.
func (f *filler) cell(r int, xa, xb float64, d float32) {
	if xa > xb {
		xa, xb = xb, xa
	}
	i := int(xa)
	fi := float64(i)
	at := r*f.stride + i
	if xb <= fi+1 {
		right := d * 0.5 * float32(xa+xb-2*fi)
		row := f.cover[at : at+2 : at+2]
		row[0] += d - right
		row[1] += right
		mark, bit := r*f.words+i>>6, uint(i&63)
		f.touched[mark] |= 3 << bit
		f.touched[mark+1] |= uint64(bit+1) >> 6 // 1 when the second cell is the next word's first
		return
	}
	a, b := float32(xa-fi), float32(xb-fi) // from the first pixel's left side
	n := slant(f.cover[at:(r+1)*f.stride], a, b, d)
	for k := i; k <= i+n; k++ {
		f.touched[r*f.words+k>>6] |= 1 << (k & 63)
	}
}

// slant spreads height d over the pixels from a in the first to b in a later one, and returns the last cell written. The
// share of a pixel that lies right of the edge grows as the square in the first and last pixel and evenly between.
func slant(row []float32, a, b, d float32) int {
	g := d / (b - a) // height per pixel of width
	sum := g * (1 - a) * (1 - a) / 2
	row[0] += sum
	j := int(b)
	for k := 1; k < j; k++ {
		share := g * (float32(k) + 0.5 - a)
		row[k] += share - sum
		sum = share
	}
	fb := b - float32(j)
	share := g*fb*(float32(j)-a+fb/2) + d*(1-fb)
	row[j] += share - sum
	row[j+1] += d - share
	return j + 1
}

// alpha turns a winding sum into 0…256 by a rule. It is written without jumps that a processor would guess wrong.
func alpha(acc float32, rule int) uint32 {
	v := int32(acc*256 + 0.5)
	sign := v >> 31
	v = (v ^ sign) - sign
	if rule == evenOdd {
		v &= 511
		if v > 256 {
			v = 512 - v
		}
	}
	if v > 256 {
		v = 256
	}
	return uint32(v)
}

// paint draws what was collected with a brush into pix, rows of 4·w bytes, and empties the filler.
func (f *filler) paint(pix []byte, b *brush, rule int) {
	for y := f.y0; y < f.y1; y++ {
		f.row(pix, b, rule, y)
	}
	f.y0, f.y1 = f.h, 0
}

// row draws one row and empties it.
func (f *filler) row(pix []byte, b *brush, rule, y int) {
	cover := f.cover[y*f.stride : (y+1)*f.stride]
	marks := f.touched[y*f.words : (y+1)*f.words]
	line := pix[y*4*f.w : (y+1)*4*f.w]
	acc, x, a := float32(0), 0, uint32(0)
	b.startRow(y)
	for wi, word := range marks {
		if word == 0 {
			continue
		}
		marks[wi] = 0
		for ; word != 0; word &= word - 1 {
			at := wi<<6 + bits.TrailingZeros64(word)
			switch {
			case at == x+1 && b.nh == 0 && at <= f.w:
				p := line[4*x : 4*x+4 : 4*x+4]
				binary.LittleEndian.PutUint32(p, lerp(binary.LittleEndian.Uint32(p), b.solid, a))
			case a > 1 && at > x:
				b.run(line, x, min(at, f.w), a)
			}
			acc += cover[at]
			cover[at] = 0
			a = alpha(acc, rule)
			x = at
		}
	}
	if a > 1 && x < f.w {
		b.run(line, x, f.w, a)
	}
}
