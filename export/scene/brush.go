package scene

import (
	"encoding/binary"
	"image/color"
	"math"
)

// brush is an Ink made ready for pixels. A hatch at 45° repeats along a row every period pixels, so that one table holds
// all it needs; the rows below only shift it.
type brush struct {
	solid   uint32 // packed base colour
	base    bool
	nh      int
	hatches [2]hatchTable
}

type hatchTable struct {
	period int
	shift  int      // of the table per row: −1 or +1
	row    int      // shift of the row being drawn
	colour uint32   // packed
	alpha  []uint32 // 0…256 for each pixel of the period in row 0
	over   []uint32 // the hatch over the base colour, packed; of the first hatch only
	sample []byte   // over as pixels, repeated: from any place of the period, sampleRun pixels can be copied
}

func pack(c color.RGBA) uint32 {
	return uint32(c.R) | uint32(c.G)<<8 | uint32(c.B)<<16 | 0xFF000000
}

// lerp returns d with the share a of 256 of s.
func lerp(d, s, a uint32) uint32 {
	const m = 0x00FF00FF
	rb := ((d&m)*(256-a) + (s&m)*a) >> 8 & m
	ag := ((d>>8&m)*(256-a) + (s>>8&m)*a) & (m << 8)
	return rb | ag
}

// set prepares the brush for an ink at a scale in device pixels per px.
func (b *brush) set(ink Ink, scale float64) {
	b.base = ink.Color.A != 0
	b.solid = pack(ink.Color)
	b.nh = 0
	for _, h := range ink.Hatches {
		if h.Pitch > 0 && h.Width > 0 {
			b.hatches[b.nh].set(h, scale)
			b.nh++
		}
	}
	if b.base && b.nh > 0 {
		t := &b.hatches[0]
		t.over = resized(t.over, t.period)
		for k, a := range t.alpha {
			t.over[k] = lerp(b.solid, t.colour, a)
		}
		t.sample = resized(t.sample, 4*(t.period+sampleRun))
		for k := range t.period + sampleRun {
			binary.LittleEndian.PutUint32(t.sample[4*k:], t.over[k%t.period])
		}
	}
}

const sampleRun = 256

const maxPeriod = 1024 // device pixels; wider hatches than this cannot be told from none

func (t *hatchTable) set(h Hatch, scale float64) {
	t.period = int(min(max(math.Round(h.Pitch*scale), 2), maxPeriod))
	t.colour = pack(h.Color)
	t.shift = 1
	s := (h.X + h.Y) * scale // x + y is constant along a line that rises to the right
	if h.Falling {
		t.shift = -1
		s = (h.X - h.Y) * scale
	}
	half := h.Width * scale * math.Sqrt2 / 2
	p := float64(t.period)
	s = math.Mod(s, p)
	t.alpha = resized(t.alpha, t.period)
	for k := range t.alpha {
		lo := float64(k)
		if h.Falling {
			lo-- // x − y spans k−1 to k+1 over the pixel, x + y spans k to k+2
		}
		cov := 0.0
		for m := -2.0; m <= 2; m++ {
			at := s + m*p - lo
			cov += triangleBelow(at+half) - triangleBelow(at-half)
		}
		t.alpha[k] = uint32(min(max(cov, 0), 1)*256 + 0.5)
	}
}

// triangleBelow is the share of a unit square in which the sum of both coordinates is below u.
func triangleBelow(u float64) float64 {
	switch {
	case u <= 0:
		return 0
	case u < 1:
		return u * u / 2
	case u < 2:
		return 1 - (2-u)*(2-u)/2
	}
	return 1
}

// startRow readies the hatches for a row.
func (b *brush) startRow(y int) {
	for i := range b.nh {
		t := &b.hatches[i]
		t.row = (t.shift * y) % t.period
		if t.row < 0 {
			t.row += t.period
		}
	}
}

// dot draws one pixel of a brush without hatches with alpha 0…256.
func (b *brush) dot(line []byte, x int, a uint32) {
	p := line[4*x : 4*x+4 : 4*x+4]
	binary.LittleEndian.PutUint32(p, lerp(binary.LittleEndian.Uint32(p), b.solid, a))
}

// run draws the pixels x0 to x1 of the row with alpha a.
func (b *brush) run(line []byte, x0, x1 int, a uint32) {
	p := line[4*x0 : max(4*x1, 4*x0)]
	switch {
	case b.nh > 0:
		b.hatchedRun(p, x0, a)
	case a >= 255:
		solidRun(p, b.solid)
	default:
		for ; len(p) >= 4; p = p[4:] {
			binary.LittleEndian.PutUint32(p, lerp(binary.LittleEndian.Uint32(p), b.solid, a))
		}
	}
}

// hatchedRun draws pixels from x on.
func (b *brush) hatchedRun(p []byte, x int, a uint32) {
	t, u := &b.hatches[0], &b.hatches[1]
	i, j := (x+t.row)%t.period, 0
	if b.nh > 1 {
		j = (x + u.row) % u.period
	}
	if b.base && b.nh == 1 && a >= 255 {
		for len(p) > 0 {
			n := copy(p, t.sample[4*i:4*(i+sampleRun)])
			p = p[n:]
			i = (i + sampleRun) % t.period
		}
		return
	}
	for ; len(p) >= 4; p = p[4:] {
		d := binary.LittleEndian.Uint32(p)
		var c uint32
		if b.base {
			c = t.over[i]
		} else {
			c = lerp(d, t.colour, t.alpha[i])
		}
		if i++; i == t.period {
			i = 0
		}
		if b.nh > 1 {
			c = lerp(c, u.colour, u.alpha[j])
			if j++; j == u.period {
				j = 0
			}
		}
		if a < 255 {
			c = lerp(d, c, a)
		}
		binary.LittleEndian.PutUint32(p, c)
	}
}

// solidRun fills p with one colour.
func solidRun(p []byte, c uint32) {
	if len(p) < 64 {
		for ; len(p) >= 4; p = p[4:] {
			binary.LittleEndian.PutUint32(p, c)
		}
		return
	}
	binary.LittleEndian.PutUint32(p, c)
	for n := 4; n < len(p); n *= 2 {
		copy(p[n:], p[:n])
	}
}
