package scene

import (
	"math"
	"math/bits"
)

// filler turns outlines into coverage by exact areas. Every edge leaves in its rows, cell by cell, by how much the covered
// share changes there; the running sum along a row is then the share of each pixel inside the outline (summed winding).
// Bits mark which blocks of 16 pixels an edge touched; everything between is a run of one value, so the cost grows with the
// length of the outlines and hardly with the area.
type filler struct {
	w, h    int
	stride  int       // cells per row
	cover   []float32 // change of the winding sum in each cell
	words   int       // words of touched per row
	touched []uint64
	y0, y1  int // touched rows
}

const blockShift = 4 // blocks of 16 pixels

// The winding rules.
const (
	evenOdd = iota
	nonZero
)

// reset makes the filler ready for w × h pixels. A filler is empty after each paint or mask.
func (f *filler) reset(w, h int) {
	if f.w == w && f.h == h && f.cover != nil {
		return
	}
	f.w, f.h = w, h
	f.stride = w + 2
	f.words = (f.stride>>blockShift)/64 + 1
	f.cover = resized(f.cover, f.stride*h)
	f.touched = resized(f.touched, f.words*h)
	f.y0, f.y1 = h, 0
}

func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// edge adds one directed edge in device pixels.
func (f *filler) edge(x0, y0, x1, y1 float64) {
	dir := float32(1)
	if y0 > y1 {
		x0, y0, x1, y1, dir = x1, y1, x0, y0, -1
	}
	h, w := float64(f.h), float64(f.w)
	if !(y1 > 0) || !(y0 < h) || y0 == y1 || !(min(x0, x1) < w) {
		return
	}
	slope := (x1 - x0) / (y1 - y0)
	if y0 < 0 {
		x0 -= y0 * slope
		y0 = 0
	}
	y1 = min(y1, h)
	first, last := int(y0), int(math.Ceil(y1))
	f.y0, f.y1 = min(f.y0, first), max(f.y1, last)
	x := x0
	for y := first; y < last; y++ {
		dy := min(float64(y+1), y1) - max(float64(y), y0)
		next := x + slope*dy
		f.cell(y, x, next, float32(dy)*dir)
		x = next
	}
}

// cell adds the piece of an edge inside row y, from xa to xb, of signed height d. What lies left of the canvas counts in
// full from the first pixel on; what lies right of it counts nowhere.
func (f *filler) cell(y int, xa, xb float64, d float32) {
	if xa > xb {
		xa, xb = xb, xa
	}
	w := float64(f.w)
	if xa >= w {
		return
	}
	row := f.cover[y*f.stride : (y+1)*f.stride]
	if xa < 0 {
		left := d
		if xb > 0 {
			left = d * float32(-xa/(xb-xa))
		}
		row[0] += left
		f.touched[y*f.words] |= 1
		d -= left
		xa = 0
		if xb <= 0 {
			return
		}
	}
	if xb > w {
		d *= float32((w - xa) / (xb - xa))
		xb = w
	}
	i := int(xa)
	last := i + 1
	a, b := float32(xa-float64(i)), float32(xb-float64(i)) // from the first pixel's left side
	if b <= 1 {
		right := d * (a + b) / 2
		row[i] += d - right
		row[i+1] += right
	} else {
		last = i + slant(row[i:], a, b, d)
	}
	marks := f.touched[y*f.words : (y+1)*f.words]
	for k := i >> blockShift; k <= last>>blockShift; k++ {
		marks[k>>6] |= 1 << (k & 63)
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

// alpha turns a winding sum into 0…256 by a rule.
func alpha(acc float32, rule int) uint32 {
	if acc < 0 {
		acc = -acc
	}
	if acc > 1 {
		if rule == nonZero {
			return 256
		}
		acc -= 2 * float32(int(acc/2))
		if acc > 1 {
			acc = 2 - acc
		}
	}
	return uint32(acc*256 + 0.5)
}

// paint draws what was collected with a brush into pix, rows of 4·w bytes, and empties the filler.
func (f *filler) paint(pix []byte, b *brush, rule int) {
	for y := f.y0; y < f.y1; y++ {
		row := f.cover[y*f.stride : (y+1)*f.stride]
		line := pix[y*4*f.w : (y+1)*4*f.w]
		marks := f.touched[y*f.words : (y+1)*f.words]
		acc, x := float32(0), 0
		for wi, word := range marks {
			for ; word != 0; word &= word - 1 {
				from := (wi<<6 + bits.TrailingZeros64(word)) << blockShift
				if a := alpha(acc, rule); a > 1 && from > x {
					b.run(line, x, min(from, f.w), y, a)
				}
				to := min(from+1<<blockShift, f.stride)
				for x = from; x < to; x++ {
					acc += row[x]
					row[x] = 0
					if a := alpha(acc, rule); a > 1 && x < f.w {
						b.dot(line, x, y, a)
					}
				}
			}
			marks[wi] = 0
		}
		if a := alpha(acc, rule); a > 1 && x < f.w {
			b.run(line, x, f.w, y, a)
		}
	}
	f.y0, f.y1 = f.h, 0
}

// mask writes what was collected as coverage 0…255, w·h bytes, and empties the filler.
func (f *filler) mask(dst []byte) {
	for y := range f.h {
		acc := float32(0)
		row := f.cover[y*f.stride : (y+1)*f.stride]
		for x := range f.w {
			acc += row[x]
			dst[y*f.w+x] = uint8(min(alpha(acc, nonZero), 255))
		}
		clear(row)
	}
	clear(f.touched)
	f.y0, f.y1 = f.h, 0
}
