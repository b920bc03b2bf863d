package geom

import (
	"fmt"
	"strconv"
	"strings"
)

// ParseContour reads the text form of a contour, used by tests:
//
//	M 0,0 L 10,0 A 10,10 10,5 + Z
//
// M gives the start; L draws a line to a point; A draws an arc to a point about
// a centre, counter-clockwise for + and clockwise for -; Z closes the contour,
// with a line if the start is not yet reached. Coordinates are decimal numbers
// parted by a comma, words by spaces.
func ParseContour(s string) (Contour, error) {
	f := strings.Fields(s)
	p := contourParser{f: f}
	c, err := p.parse()
	if err != nil {
		return nil, fmt.Errorf("geom: contour text, word %d: %w", p.i, err)
	}
	return c, nil
}

type contourParser struct {
	f []string
	i int
}

func (p *contourParser) next() string {
	if p.i >= len(p.f) {
		return ""
	}
	p.i++
	return p.f[p.i-1]
}

func (p *contourParser) point() (Point, error) {
	w := p.next()
	a, b, ok := strings.Cut(w, ",")
	x, ex := strconv.ParseFloat(a, 64)
	y, ey := strconv.ParseFloat(b, 64)
	if !ok || ex != nil || ey != nil {
		return Point{}, fmt.Errorf("%q is not a point like 1.5,-2", w)
	}
	return Point{x, y}, nil
}

func (p *contourParser) parse() (Contour, error) {
	if w := p.next(); w != "M" {
		return nil, fmt.Errorf("%q where M must start the contour", w)
	}
	start, err := p.point()
	if err != nil {
		return nil, err
	}
	var c Contour
	cur := start
	for {
		switch w := p.next(); w {
		case "L":
			q, err := p.point()
			if err != nil {
				return nil, err
			}
			c = append(c, Line(cur, q))
			cur = q
		case "A":
			q, err := p.point()
			if err != nil {
				return nil, err
			}
			o, err := p.point()
			if err != nil {
				return nil, err
			}
			d := p.next()
			if d != "+" && d != "-" {
				return nil, fmt.Errorf("%q where + or - must give the turn of the arc", d)
			}
			dir := int8(1)
			if d == "-" {
				dir = -1
			}
			c = append(c, Arc(cur, q, o, dir))
			cur = q
		case "Z":
			if p.i != len(p.f) {
				return nil, fmt.Errorf("%q after Z", p.next())
			}
			if cur != start {
				c = append(c, Line(cur, start))
			}
			return c, nil
		default:
			return nil, fmt.Errorf("%q where L, A or Z must follow", w)
		}
	}
}

// String gives the contour in the form that ParseContour reads, with every
// digit that counts.
func (c Contour) String() string {
	if len(c) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "M %v", c[0].A)
	for i := range c {
		e := &c[i]
		switch {
		case e.Dir > 0:
			fmt.Fprintf(&b, " A %v %v +", e.B, e.C)
		case e.Dir < 0:
			fmt.Fprintf(&b, " A %v %v -", e.B, e.C)
		case i < len(c)-1 || e.A == e.B: // Z draws the last line, unless it has no length
			fmt.Fprintf(&b, " L %v", e.B)
		}
	}
	b.WriteString(" Z")
	return b.String()
}
