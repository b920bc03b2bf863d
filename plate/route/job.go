package route

import (
	"cmp"
	"math"
	"slices"

	"platewright/plate/geom"
)

// job is what one tool does in one place: a trip at each of several depths.
type job struct {
	sum        tally
	rapid      float64 // s
	start, end geom.Point
	trips      []leveled
	plunge     []float64 // depths that a drill or tap is fed to, one after the other
	feed       float64   // of plunges, mm/min
	other      float64   // s of other machine time: turning a tap round
	box        geom.Box  // of everything that the centre of the tool runs along
}

// leveled is a trip and the depths below its face at which it is run, mm.
type leveled struct {
	trip   trip
	depths []float64
}

// heights are the planes that rapids and feeds change at, mm.
type heights struct {
	retract, safe, gap float64
}

// addTrip adds a trip at the depths d[0] < d[1] < …; before the first the metal stands at depth from. Ramps start a gap above
// the metal, entries into cleared space end their rapid a gap above the depth.
func (w *worker) addTrip(j *job, t trip, from float64, d []float64, h heights) {
	if len(t.runs) == 0 {
		return
	}
	for i := range t.runs { // the levels are even: the first drop is that of all
		w.blocker.shorten(&t.runs[i].entry, d[0]-from+h.gap)
	}
	if len(j.trips) > 0 {
		j.rapid += w.rapidXY(j.end, t.start())
	} else {
		j.start = t.start()
	}
	j.trips = append(j.trips, leveled{t, d})
	for i := range t.runs {
		j.box = t.runs[i].grow(j.box)
	}
	known := make([]struct { // a run goes down by the same height at most levels
		drop float64
		cost tally
	}, len(t.runs))
	prev := from
	for level, depth := range d {
		for i := range t.runs {
			r := &t.runs[i]
			down := depth - h.gap
			if len(r.entry.loop) > 0 || r.entry.steep {
				down = prev - h.gap
			}
			if level > 0 || i > 0 {
				at := t.end()
				if i > 0 {
					at = t.runs[i-1].end()
				}
				j.rapid += w.rapidXY(at, r.start())
			}
			j.rapid += w.timer.d.rapidTime(0, 0, h.retract+down) + w.timer.d.rapidTime(0, 0, h.retract+depth)
			if k := &known[i]; level == 0 || math.Abs(depth-down-k.drop) > 1e-9 {
				k.drop, k.cost = depth-down, w.run(r, depth-down)
			}
			j.sum.add(known[i].cost, 1)
		}
		prev = depth
	}
	j.end = t.end()
}

// grow is the box with everything in it that the tool's centre runs along.
func (r *run) grow(b geom.Box) geom.Box {
	for i := range r.entry.loop {
		b = b.Union(r.entry.loop[i].Box())
	}
	for _, p := range r.passes {
		for i := range p.edges {
			b = b.Union(p.edges[i].Box())
		}
	}
	return b
}

func (w *worker) rapidXY(a, b geom.Point) float64 { return w.timer.d.rapidTime(b.X-a.X, b.Y-a.Y, 0) }

// paths lists the moves of the job in plate coordinates, moved by shift; z turns a depth into a height.
func (j *job) paths(shift geom.Point, z func(depth float64) float64) []Path {
	var out []Path
	if len(j.plunge) > 0 {
		zs := make([]float64, len(j.plunge))
		for i, d := range j.plunge {
			zs[i] = z(d)
		}
		return []Path{{Move: MovePlunge, Shift: shift, Z: zs, Feed: j.feed}}
	}
	for _, l := range j.trips {
		zs := make([]float64, len(l.depths))
		for i, d := range l.depths {
			zs[i] = z(d)
		}
		for i := range l.trip.runs {
			r := &l.trip.runs[i]
			if len(r.entry.loop) > 0 {
				out = append(out, Path{MoveRamp, r.entry.loop, shift, zs, r.entry.feed})
			}
			for _, p := range r.passes {
				out = append(out, Path{p.move, p.edges, shift, zs, p.feed})
			}
		}
	}
	return out
}

// evenDepths are n equal steps from a depth to another.
func evenDepths(from, to float64, n int) []float64 {
	d := make([]float64, n)
	for i := range d {
		d[i] = from + (to-from)*float64(i+1)/float64(n)
	}
	d[n-1] = to
	return d
}

// visit is a job at one place of an operation.
type visit struct {
	job     *job
	shift   geom.Point
	cut     int     // index into Layout.Cuts; −1 for work on none of them
	removed float64 // mm³
}

func (v visit) start() geom.Point { return v.job.start.Add(v.shift) }
func (v visit) end() geom.Point   { return v.job.end.Add(v.shift) }

// mostNearest is the number of visits up to which the nearest is looked for among all that are left.
const mostNearest = 3000

// tour orders visits: always the nearest next one, then turning stretches round as long as that shortens the way (bounded); very
// many are taken row by row instead. It returns the time of the rapids between them.
func (w *worker) tour(vs []visit, from geom.Point) float64 {
	if len(vs) > mostNearest {
		rowByRow(vs)
	} else {
		nearestNext(vs, from)
		if !w.quick {
			w.shorten(vs)
		}
	}
	sum := 0.0
	for i := 1; i < len(vs); i++ {
		sum += w.rapidXY(vs[i-1].end(), vs[i].start())
	}
	return sum
}

func nearestNext(vs []visit, at geom.Point) {
	for i := range vs {
		best := i
		for j := i + 1; j < len(vs); j++ {
			if at.Dist(vs[j].start()) < at.Dist(vs[best].start())-1e-9 {
				best = j
			}
		}
		vs[i], vs[best] = vs[best], vs[i]
		at = vs[i].end()
	}
}

// rowByRow sorts visits to and fro along rows as high as the visits are apart on average.
func rowByRow(vs []visit) {
	var box geom.Box
	for _, v := range vs {
		box = box.Add(v.start())
	}
	h := math.Sqrt(max(box.Width(), 1)*max(box.Height(), 1)/float64(len(vs))) * 1.5
	row := func(v visit) int { return int((v.start().Y - box.Min.Y) / h) }
	slices.SortStableFunc(vs, func(a, b visit) int {
		r := row(a)
		if c := cmp.Compare(r, row(b)); c != 0 {
			return c
		}
		if r%2 == 1 {
			a, b = b, a
		}
		return cmp.Compare(a.start().X, b.start().X)
	})
}

// maxTourWork bounds the comparisons made while shortening one tour.
const maxTourWork = 200_000

// shorten turns stretches of the tour round. Places are small against their distances, so that start and end count as one.
func (w *worker) shorten(vs []visit) {
	n := len(vs)
	left := maxTourWork
	for changed := true; changed && left > 0; {
		changed = false
		for i := 1; i < n-1 && left > 0; i++ {
			a, b := vs[i-1].start(), vs[i].start()
			for k := i + 1; k < n && left > 0; k++ {
				left--
				c := vs[k].start()
				was, is := a.Dist(b), a.Dist(c)
				if k+1 < n {
					d := vs[k+1].start()
					was, is = was+c.Dist(d), is+b.Dist(d)
				}
				if is < was-1e-6 {
					for x, y := i, k; x < y; x, y = x+1, y-1 {
						vs[x], vs[y] = vs[y], vs[x]
					}
					b = vs[i].start()
					changed = true
				}
			}
		}
	}
}
