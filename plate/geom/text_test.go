package geom

import (
	"math/rand/v2"
	"testing"
)

func TestContourText(t *testing.T) {
	for _, s := range []string{
		"M 0,0 L 10,0 L 10,5 Z",
		"M 0,0 L 10,0 A 10,10 10,5 + L 0,10 Z",
		"M 10,0 A 10,0 5,0 + Z",
		"M -1.5,2e-07 A 1.25,-3 0.1,0.2 - L 7,7 Z",
	} {
		if got := parse(t, s).String(); got != s {
			t.Errorf("%q is written as %q", s, got)
		}
	}
	if got := parse(t, "  M 0,0\n L 4,0 L 4,4 L 0,0 Z ").String(); got != "M 0,0 L 4,0 L 4,4 Z" {
		t.Errorf("closing line is written as %q", got)
	}
	for _, s := range []string{
		"", "L 0,0 Z", "M", "M 0 Z", "M 0,x Z", "M 0,0 L 1,1", "M 0,0 L 1 Z", "M 0,0 A 1,1 Z", "M 0,0 A 1,1 0,1 Z",
		"M 0,0 A 1,1 0,1 * Z", "M 0,0 Q 1,1 Z", "M 0,0 L 1,1 Z L 2,2", "M 0,0 L 1,1, Z",
	} {
		if c, err := ParseContour(s); err == nil {
			t.Errorf("ParseContour(%q) = %v, want an error", s, c)
		}
	}
	if got := (Contour{}).String(); got != "" {
		t.Errorf("empty contour is written as %q", got)
	}
}

func TestContourTextRoundTrip(t *testing.T) {
	rg := rand.New(rand.NewPCG(13, 1))
	for range 300 {
		for _, r := range must(Union(latticeShapes(rg, 4)...)) {
			for _, c := range r.Contours() {
				s := c.String()
				d := parse(t, s)
				if d.String() != s || len(d) != len(c) {
					t.Fatalf("%s\nis read as\n%s", s, d)
				}
				for i := range c {
					if d[i].A != c[i].A || d[i].B != c[i].B || d[i].Dir != c[i].Dir || c[i].Dir != 0 && d[i].C != c[i].C {
						t.Fatalf("edge %d of %s is read as %v", i, s, d[i])
					}
				}
			}
		}
	}
}
