package scene

import "math"

// Lines become areas here. A line of some width is the band between its two sides, walked forward along one and back along
// the other, so that bands which overlap add up and never cancel. Corners are mitred; very sharp ones are cut off.

// mitreLimit is the cosine of the turn beyond which a corner is cut off: at 150° a mitre is four half widths long.
const mitreLimit = -0.86

// band is the stretch of a line that is being followed.
type band struct {
	l, r point // both sides where it ends so far
	open bool  // it still needs an end
}

// strip adds the band of the given half width along pts, which it changes.
func (r *Raster) strip(pts []point, closed bool, half float64) {
	pts = compact(pts, closed)
	n := len(pts)
	segments := n - 1
	if closed && n > 2 {
		segments = n
	} else {
		closed = false
	}
	if segments < 1 {
		return
	}
	dir := direction(pts[0], pts[1])
	start, joined := point{-dir.y * half, dir.x * half}, false
	var at band
	if closed {
		last := pts[n-1]
		if m, ok := mitre(direction(last, pts[0]), dir, half); ok {
			start = m
			joined = r.visible(last, pts[0], half)
		}
	}
	for k := range segments {
		a, b := pts[k], pts[(k+1)%n]
		next, end, mitred := dir, point{-dir.y * half, dir.x * half}, false
		if closed || k+1 < segments {
			next = direction(b, pts[(k+2)%n])
			if m, ok := mitre(dir, next, half); ok {
				end, mitred = m, true
			}
		}
		if r.visible(a, b, half) {
			r.stretch(&at, a, b, start, end, joined)
		} else {
			r.finish(&at)
		}
		if !mitred {
			r.finish(&at)
		}
		joined = false
		start = end
		if !mitred {
			start = point{-next.y * half, next.x * half}
		}
		dir = next
	}
	if !closed || !r.visible(pts[0], pts[1], half) {
		r.finish(&at)
	}
}

// stretch adds the two sides of one straight piece from a to b with the given offsets of its left side; joined says that
// its start is met by the end of the last piece of the ring.
func (r *Raster) stretch(at *band, a, b, start, end point, joined bool) {
	l0, r0 := point{a.x + start.x, a.y + start.y}, point{a.x - start.x, a.y - start.y}
	l1, r1 := point{b.x + end.x, b.y + end.y}, point{b.x - end.x, b.y - end.y}
	if !at.open && !joined {
		r.fill.edge(r0.x, r0.y, l0.x, l0.y)
	}
	r.fill.edge(l0.x, l0.y, l1.x, l1.y)
	r.fill.edge(r1.x, r1.y, r0.x, r0.y)
	*at = band{l: l1, r: r1, open: true}
}

// finish ends a band that is open.
func (r *Raster) finish(at *band) {
	if at.open {
		r.fill.edge(at.l.x, at.l.y, at.r.x, at.r.y)
		at.open = false
	}
}

// visible reports whether the line from a to b may show.
func (r *Raster) visible(a, b point, half float64) bool {
	m := 4*half + 1 // a mitre reaches four half widths
	return max(a.x, b.x) > -m && min(a.x, b.x) < float64(r.fill.w)+m &&
		max(a.y, b.y) > -m && min(a.y, b.y) < float64(r.fill.h)+m
}

// compact drops points that repeat the one before, and the last of a closed line where it repeats the first.
func compact(pts []point, closed bool) []point {
	if len(pts) == 0 {
		return pts
	}
	out := pts[:1]
	for _, q := range pts[1:] {
		if !near(out[len(out)-1], q) {
			out = append(out, q)
		}
	}
	for closed && len(out) > 1 && near(out[0], out[len(out)-1]) {
		out = out[:len(out)-1]
	}
	return out
}

// near reports whether two points are so close, in pixels, that the direction between them means nothing.
func near(a, b point) bool {
	return math.Abs(a.x-b.x) < 1e-3 && math.Abs(a.y-b.y) < 1e-3
}

func direction(a, b point) point {
	dx, dy := b.x-a.x, b.y-a.y
	s := 1 / math.Sqrt(dx*dx+dy*dy)
	return point{dx * s, dy * s}
}

// mitre is the offset of the left side at a corner between two directions.
func mitre(a, b point, half float64) (point, bool) {
	cos := a.x*b.x + a.y*b.y
	if cos < mitreLimit {
		return point{}, false
	}
	k := half / (1 + cos)
	return point{-(a.y + b.y) * k, (a.x + b.x) * k}, true
}

// dash cuts the line r.points into dashes, adds their bands and returns how many there were. pattern is in px.
func (r *Raster) dash(closed bool, half float64, pattern []float64) int {
	pts := compact(r.points, closed)
	total := 0.0
	for _, d := range pattern {
		total += d * r.scale
	}
	if !(total > 1) { // finer than the picture can show
		r.strip(pts, closed, half)
		return 1
	}
	d := dasher{r: r, pattern: pattern, total: total, half: half, reach: 4*half + 1}
	n := len(pts)
	segments := n - 1
	if closed && n > 2 {
		segments = n
	}
	r.dashes = r.dashes[:0]
	for k := range max(segments, 0) {
		d.segment(pts[k], pts[(k+1)%n])
	}
	d.flush()
	return d.count
}

// dasher walks along a line; at is how far into the pattern it is.
type dasher struct {
	r       *Raster
	pattern []float64
	total   float64 // length of the pattern, device pixels
	half    float64
	reach   float64
	at      float64
	count   int // dashes drawn
}

// state returns whether the pen is down and how much is left of this dash or gap, device pixels.
func (d *dasher) state() (down bool, left float64) {
	at := d.at
	for i, p := range d.pattern {
		p *= d.r.scale
		if at < p {
			return i%2 == 0, p - at
		}
		at -= p
	}
	d.at = 0
	return true, d.pattern[0] * d.r.scale
}

func (d *dasher) flush() {
	if len(d.r.dashes) > 1 {
		d.r.strip(d.r.dashes, false, d.half)
		d.count++
	}
	d.r.dashes = d.r.dashes[:0]
}

// segment walks from a to b. What lies outside the picture is passed over in one step, so that the work is bounded by the
// size of the picture however far one has zoomed in.
func (d *dasher) segment(a, b point) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	t0, t1, ok := d.clip(a, b)
	if !ok {
		d.flush()
		d.at = math.Mod(d.at+length, d.total)
		return
	}
	if t0 > 0 {
		d.flush()
		d.at = math.Mod(d.at+t0*length, d.total)
	}
	ux, uy := (b.x-a.x)/length, (b.y-a.y)/length
	s, end := t0*length, t1*length
	for s < end {
		down, left := d.state()
		step := min(max(left, 1e-3), end-s)
		if down {
			if len(d.r.dashes) == 0 {
				d.r.dashes = append(d.r.dashes, point{a.x + ux*s, a.y + uy*s})
			}
			d.r.dashes = append(d.r.dashes, point{a.x + ux*(s+step), a.y + uy*(s+step)})
		}
		s += step
		d.at += step
		if step >= left {
			if down {
				d.flush()
			}
			if d.at >= d.total-1e-9 {
				d.at = 0
			}
		}
	}
	if t1 < 1 {
		d.flush()
		d.at = math.Mod(d.at+(1-t1)*length, d.total)
	}
}

// clip returns the part of the line a b, as shares of its length, that may show.
func (d *dasher) clip(a, b point) (t0, t1 float64, ok bool) {
	t0, t1 = 0, 1
	cut := func(from, delta, lo, hi float64) bool {
		if delta == 0 {
			return from > lo && from < hi
		}
		u, v := (lo-from)/delta, (hi-from)/delta
		t0, t1 = max(t0, min(u, v)), min(t1, max(u, v))
		return t0 < t1
	}
	m := d.reach
	ok = cut(a.x, b.x-a.x, -m, float64(d.r.fill.w)+m) && cut(a.y, b.y-a.y, -m, float64(d.r.fill.h)+m)
	return t0, t1, ok
}
