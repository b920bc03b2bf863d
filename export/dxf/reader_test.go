package dxf

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"

	"platewright/plate/layout"
)

// A reader of its own for what the writer writes, of the tests only: it knows group codes and nothing of the writer.

type pair struct {
	code  int
	value string
}

// item is everything from one code 0 to the next.
type item struct {
	kind  string
	pairs []pair
}

func (it item) text(code int) string {
	for _, p := range it.pairs {
		if p.code == code {
			return p.value
		}
	}
	return ""
}

func (it item) number(tb testing.TB, code int) float64 {
	tb.Helper()
	v, err := strconv.ParseFloat(it.text(code), 64)
	if err != nil {
		tb.Fatalf("%s: code %d: %v", it.kind, code, err)
	}
	return v
}

// file is a file taken apart.
type file struct {
	header   map[string][]pair
	items    []item // outside the header, in order
	entities []item
	layers   []string
}

func parse(tb testing.TB, text []byte) file {
	tb.Helper()
	lines := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	if len(lines)%2 != 0 {
		tb.Fatal("odd number of lines")
	}
	f := file{header: map[string][]pair{}}
	section, variable := "", ""
	for i := 0; i < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil {
			tb.Fatalf("line %d: %v", i+1, err)
		}
		p := pair{code, lines[i+1]}
		switch {
		case code == 0:
			f.items = append(f.items, item{kind: p.value})
			if p.value == "ENDSEC" {
				section = ""
			}
			if section == "ENTITIES" {
				f.entities = append(f.entities, item{kind: p.value})
			}
			continue
		case code == 2 && section == "":
			section = p.value
			continue
		case code == 9:
			variable = p.value
			f.header[variable] = nil
			continue
		case section == "HEADER":
			f.header[variable] = append(f.header[variable], p)
			continue
		}
		last := &f.items[len(f.items)-1]
		last.pairs = append(last.pairs, p)
		if section == "ENTITIES" && len(f.entities) > 0 {
			last := &f.entities[len(f.entities)-1]
			last.pairs = append(last.pairs, p)
		}
		if last.kind == "LAYER" && code == 2 {
			f.layers = append(f.layers, p.value)
		}
	}
	return f
}

// outlined is one contour as read: its signed area (a circle's is positive) and its box.
type outlined struct {
	layer                  string
	circle                 bool
	area                   float64
	minX, minY, maxX, maxY float64
	sides                  int
	bulges                 []float64
}

func (f file) contours(tb testing.TB) []outlined {
	tb.Helper()
	var out []outlined
	for _, e := range f.entities {
		o := outlined{layer: e.text(8)}
		switch e.kind {
		case "CIRCLE":
			x, y, r := e.number(tb, 10), e.number(tb, 20), e.number(tb, 40)
			o.circle, o.area = true, math.Pi*r*r
			o.minX, o.minY, o.maxX, o.maxY = x-r, y-r, x+r, y+r
		case "LWPOLYLINE":
			o.measure(tb, e)
		default:
			tb.Fatalf("entity %s", e.kind)
		}
		out = append(out, o)
	}
	return out
}

// measure adds triangle and circular segment for each side: with bulge b, the angle is 4·atan b.
func (o *outlined) measure(tb testing.TB, e item) {
	tb.Helper()
	var xs, ys, bs []float64
	for _, p := range e.pairs {
		v, _ := strconv.ParseFloat(p.value, 64)
		switch p.code {
		case 10:
			xs, bs = append(xs, v), append(bs, 0)
		case 20:
			ys = append(ys, v)
		case 42:
			bs[len(bs)-1] = v
		}
	}
	if n := int(e.number(tb, 90)); n != len(xs) || n != len(ys) {
		tb.Errorf("polyline says %d vertices, has %d", n, len(xs))
	}
	if e.text(70) != "1" {
		tb.Errorf("polyline is not closed: flags %q", e.text(70))
	}
	o.sides, o.bulges = len(xs), bs
	o.minX, o.minY, o.maxX, o.maxY = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i := range xs {
		j := (i + 1) % len(xs)
		ax, ay, bx, by := xs[i]-xs[0], ys[i]-ys[0], xs[j]-xs[0], ys[j]-ys[0]
		o.area += (ax*by - bx*ay) / 2
		if b := bs[i]; b != 0 {
			angle := 4 * math.Atan(math.Abs(b))
			r := math.Hypot(xs[j]-xs[i], ys[j]-ys[i]) / 2 / math.Sin(angle/2)
			o.area += math.Copysign(r*r*(angle-math.Sin(angle))/2, b)
		}
		o.minX, o.maxX = min(o.minX, xs[i]), max(o.maxX, xs[i])
		o.minY, o.maxY = min(o.minY, ys[i]), max(o.maxY, ys[i])
	}
}

// write returns the file of a layout.
func write(tb testing.TB, l *layout.Layout, o Options) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := Write(&b, l, o); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// areas sums the signed areas by layer. A circle counts as an island where circles are islands on that layer.
func areas(cs []outlined, islands map[string]bool) map[string]float64 {
	out := map[string]float64{}
	for _, c := range cs {
		if c.circle && islands[c.layer] {
			c.area = -c.area
		}
		out[c.layer] += c.area
	}
	return out
}
