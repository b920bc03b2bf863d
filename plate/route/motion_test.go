package route

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"platewright/plate/shop"
)

// testMachine has round figures, so that the closed forms can be read off.
func testMachine() shop.Machine {
	return shop.Machine{
		Travel: [3]float64{1000, 600, 500}, MaxFeed: 60000, Rapid: [3]float64{24000, 24000, 12000},
		Accel: [3]float64{2000, 2000, 1000}, PathTolerance: 0.01,
	}
}

func line(length, feed, x, y, z float64) Block {
	u := [3]float64{x, y, z}
	return Block{Length: length, Feed: feed, Start: u, End: u}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

// Kinematics of constant acceleration: a trapezoid takes s/v + v/a, a triangle 2·√(s/a).
func TestLineTimesClosedForm(t *testing.T) {
	m := testMachine()
	near(t, "trapezoid", pathTime([]Block{line(100, 6000, 1, 0, 0)}, m), 100/100.0+100/2000.0, 1e-9)
	near(t, "triangle", pathTime([]Block{line(2, 60000, 1, 0, 0)}, m), 2*math.Sqrt(2/2000.0), 1e-9)
	near(t, "z slower", pathTime([]Block{line(100, 6000, 0, 0, 1)}, m), 100/100.0+100/1000.0, 1e-9)
	s := math.Sqrt2 / 2
	near(t, "diagonal", pathTime([]Block{line(100, 6000, s, s, 0)}, m), 1+100/(2000*math.Sqrt2), 1e-9)
	near(t, "split in three", pathTime([]Block{line(20, 6000, 1, 0, 0), line(50, 6000, 1, 0, 0), line(30, 6000, 1, 0, 0)}, m), 1.05, 1e-9)
	// two feeds in line: rise to 50, cruise, rise to 100, cruise, fall
	want := 50/2000.0 + (50-50*50/4000.0)/50 + 50/2000.0 + (100-(100*100-50*50)/4000.0-100*100/4000.0)/100 + 100/2000.0
	near(t, "two feeds", pathTime([]Block{line(50, 3000, 1, 0, 0), line(100, 6000, 1, 0, 0)}, m), want, 1e-9)
	near(t, "nothing", pathTime(nil, m), 0, 0)
}

// A full circle from rest at the centripetal limit v = √(a·R): 2πR/v + v/a.
func TestCircleAtCentripetalLimit(t *testing.T) {
	m := testMachine()
	r := 5.0
	circle := Block{Length: 2 * math.Pi * r, Feed: 60000, Radius: r, Start: [3]float64{0, 1, 0}, End: [3]float64{0, 1, 0}}
	v := math.Sqrt(2000 * r)
	near(t, "circle", pathTime([]Block{circle}, m), 2*math.Pi*r/v+v/2000, 1e-9)
	var many []Block
	for range 20 {
		many = append(many, circle)
	}
	near(t, "twenty turns", pathTime(many, m), 20*2*math.Pi*r/v+v/2000, 1e-9)
	circle.Feed = 1200
	near(t, "circle under the limit", pathTime([]Block{circle}, m), 2*math.Pi*r/20+20/2000.0, 1e-9)
}

// A right-angled corner: sin 45°; v² = a·δ·0.7071/0.2929. Reversal stops.
func TestZigzagClosedForm(t *testing.T) {
	m := testMachine()
	h := math.Sqrt2 / 2
	vc := math.Sqrt(2000 * 0.01 * h / (1 - h))
	n, s, v := 10, 40.0, 100.0
	var z []Block
	for i := range n {
		if i%2 == 0 {
			z = append(z, line(s, v*60, 1, 0, 0))
		} else {
			z = append(z, line(s, v*60, 0, 1, 0))
		}
	}
	a := 2000.0
	leg := func(v0, v1 float64) float64 {
		return (v-v0)/a + (v-v1)/a + (s-(v*v-v0*v0)/(2*a)-(v*v-v1*v1)/(2*a))/v
	}
	near(t, "right angles", pathTime(z, m), 2*leg(0, vc)+float64(n-2)*leg(vc, vc), 1e-9)
	for i := range z {
		z[i] = line(s, v*60, 1-2*float64(i%2), 0, 0)
	}
	near(t, "to and fro", pathTime(z, m), float64(n)*leg(0, 0), 1e-9)
	short := []Block{line(0.02, 6000, 1, 0, 0), line(0.02, 6000, 0, 1, 0)}
	if got, free := pathTime(short, m), 2*0.02/100; got < free {
		t.Errorf("short legs in %g s, faster than the feed's %g s", got, free)
	}
}

func TestBlockTimeHoldsShortBlocks(t *testing.T) {
	m := testMachine()
	m.BlockTime = 0.01
	var bs []Block
	for range 1000 {
		bs = append(bs, line(0.1, 60000, 1, 0, 0))
	}
	if got := pathTime(bs, m); got < 10 || got > 10.1 {
		t.Errorf("1000 blocks at 0.01 s each take %g s", got)
	}
}

func TestRapidTimes(t *testing.T) {
	d := dynamicsOf(testMachine())
	near(t, "x leads", d.rapidTime(400, 100, 0), 400/400.0+400/2000.0, 1e-9)
	near(t, "z leads", d.rapidTime(10, 10, -50), 50/200.0+200/1000.0, 1e-9)
	near(t, "short", d.rapidTime(0, -2, 0), 2*math.Sqrt(2/2000.0), 1e-9)
	near(t, "none", d.rapidTime(0, 0, 0), 0, 0)
}

func drawBlocks(t *rapid.T) []Block {
	n := rapid.IntRange(1, 40).Draw(t, "n")
	angle := 0.0
	var bs []Block
	for i := range n {
		turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
		if rapid.Bool().Draw(t, "tangent") {
			turn = 0
		}
		angle += turn
		dir := func() [3]float64 { return [3]float64{math.Cos(angle), math.Sin(angle), 0} }
		b := Block{
			Length: rapid.Float64Range(0.001, 80).Draw(t, "length"),
			Feed:   rapid.Float64Range(100, 20000).Draw(t, "feed"), Start: dir(),
		}
		if i%3 == 1 {
			b.Radius = rapid.Float64Range(0.05, 40).Draw(t, "radius")
			angle += b.Length / b.Radius
		}
		b.End = dir()
		bs = append(bs, b)
	}
	return bs
}

// Laws of any such motion: never faster than the feed allows; more feed, more acceleration, more tolerance never slow a path;
// a path driven backwards takes as long.
func TestMotionLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bs := drawBlocks(t)
		m := testMachine()
		m.BlockTime = rapid.Float64Range(0, 0.004).Draw(t, "block")
		base := pathTime(bs, m)
		free := 0.0
		for _, b := range bs {
			free += b.Length / (b.Feed / 60)
		}
		if base < free*(1-1e-12) {
			t.Fatalf("%g s, but length over feed is %g s", base, free)
		}
		quick := m
		k := rapid.Float64Range(1, 4).Draw(t, "k")
		for i := range quick.Accel {
			quick.Accel[i] *= k
		}
		if got := pathTime(bs, quick); got > base*(1+1e-9) {
			t.Fatalf("acceleration times %g takes %g s instead of %g s", k, got, base)
		}
		wide := m
		wide.PathTolerance *= k
		if got := pathTime(bs, wide); got > base*(1+1e-9) {
			t.Fatalf("path tolerance times %g takes %g s instead of %g s", k, got, base)
		}
		fast := append([]Block(nil), bs...)
		for i := range fast {
			fast[i].Feed *= k
		}
		if got := pathTime(fast, m); got > base*(1+1e-9) {
			t.Fatalf("feed times %g takes %g s instead of %g s", k, got, base)
		}
		back := make([]Block, len(bs))
		for i, b := range bs {
			r := b
			for j := range r.Start {
				r.Start[j], r.End[j] = -b.End[j], -b.Start[j]
			}
			back[len(bs)-1-i] = r
		}
		if got := pathTime(back, m); math.Abs(got-base) > 1e-9*base {
			t.Fatalf("backwards %g s, forwards %g s", got, base)
		}
	})
}

// pathTime is the time in seconds that machine m takes along the blocks, from rest to rest.
func pathTime(blocks []Block, m shop.Machine) float64 {
	t := timer{d: dynamicsOf(m)}
	return t.time(blocks)
}
