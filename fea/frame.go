package fea

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"platewright/fea/sparse"
	"platewright/plate"
	"platewright/plate/geom"
	"platewright/plate/set"
)

// Frame is two plates tied by the cross members of a set.
type Frame struct {
	Parts [2]string
	Ends  [2]string // the two members farthest apart, between which the frame is twisted
	Apart float64   // of their axes, mm
	// Torsion is the torque over the twist between the ends, N·m/°: opposite couples
	// of forces on the two plates at one end and at the other, along the plates and
	// across the line between the ends.
	Torsion float64
	Notes   []string
}

// FrameOf finds the torsional stiffness of two plates tied by cross members. Each
// plate is condensed to its motion at the members' bores, walls in the mean; the
// members are straight beams with shear, stiffly joined to the bores, of the alloy of
// the plate that they run from.
func FrameOf(ctx context.Context, l *set.Loaded, o Options) (*Frame, error) {
	f, err := newFrame(l)
	if err != nil {
		return nil, err
	}
	for k := range f.sides {
		if err := f.sides[k].condense(ctx, l, o, f.members); err != nil {
			return nil, fmt.Errorf("fea: frame, part %q: %w", f.sides[k].name, err)
		}
	}
	return f.twist()
}

// frame is the two plates and what joins them, in the view from the side, z towards
// the viewer.
type frame struct {
	sides   [2]frameSide
	members []set.CrossMember
	span    float64 // from middle plane to middle plane, mm
	e, g    float64 // of the members, MPa
}

type frameSide struct {
	name   string
	part   int
	ids    []plate.ID    // the bore of each member
	turn   [3][3]float64 // from the drawing's axes to the view's
	mirror float64       // −1 where that is a mirror image
	places []geom.Point  // of the bores in the view
	k      *mat.SymDense // stiffness of the free plate, six motions a bore, in the view's axes
}

func newFrame(l *set.Loaded) (*frame, error) {
	f := &frame{members: l.CrossMembers}
	if len(f.members) < 2 {
		return nil, fmt.Errorf("fea: the set has %d cross members; a frame needs two or more", len(f.members))
	}
	names := [2]string{f.members[0].From.Part, f.members[0].To.Part}
	for i, c := range f.members {
		from, to := c.From, c.To
		if from.Part == names[1] {
			from, to = to, from
		}
		if from.Part != names[0] || to.Part != names[1] || names[0] == names[1] {
			return nil, fmt.Errorf("fea: cross member %q joins %q and %q, others %q and %q; only frames of two plates are analysed", c.Name, c.From.Part, c.To.Part, names[0], names[1])
		}
		if !(c.Diameter > 0 && c.Inside >= 0 && c.Inside < c.Diameter && c.Length > 0) {
			return nil, fmt.Errorf("fea: cross member %q has the length %g, outside %g and inside diameter %g mm; give a tube or a bar", c.Name, c.Length, c.Diameter, c.Inside)
		}
		if math.Abs(c.Length-f.members[0].Length) > 0.01 {
			return nil, fmt.Errorf("fea: cross members %q and %q are %g and %g mm long; between two flat plates they must be alike", f.members[0].Name, f.members[i].Name, f.members[0].Length, c.Length)
		}
		f.sides[0].ids = append(f.sides[0].ids, from.Feature)
		f.sides[1].ids = append(f.sides[1].ids, to.Feature)
	}
	poses, err := l.Poses(nil)
	if err != nil {
		return nil, fmt.Errorf("fea: frame: %w", err)
	}
	f.span = f.members[0].Length
	for k := range f.sides {
		s := &f.sides[k]
		s.name, s.part = names[k], l.Part(names[k])
		if s.part < 0 {
			return nil, fmt.Errorf("fea: the cross members name part %q, which the set does not have", names[k])
		}
		f.span += l.Shapes[s.part].Layout.Thickness / 2
		s.axes(poses[s.part], l.Parts[s.part].Hand == set.Right)
		for i, id := range s.ids {
			n, err := l.Node(set.Ref{Part: s.name, Feature: id}, nil)
			if err != nil {
				return nil, fmt.Errorf("fea: cross member %q: %w", f.members[i].Name, err)
			}
			s.places = append(s.places, poses[s.part].Apply(n.Centre))
		}
	}
	for i := range f.members {
		if a, b := f.sides[0].places[i], f.sides[1].places[i]; a.Dist(b) > 0.5 {
			return nil, fmt.Errorf("fea: cross member %q runs from %v to %v, which lie %.3g mm apart seen from the side; move a part", f.members[i].Name, a, b, a.Dist(b))
		}
	}
	young := l.Plates[f.sides[0].part].Stock.Material
	f.e, f.g = young.Young, young.Young/2/(1+young.Poisson)
	return f, nil
}

// axes works out how a plate's axes lie in the view. A plate that is turned over to
// show its bottom has z away from the viewer; one made as the mirror image of its
// drawing has it the other way round.
func (s *frameSide) axes(pose geom.Affine, mirrored bool) {
	o := pose.Apply(geom.Pt(0, 0))
	x, y := pose.Apply(geom.Pt(1, 0)).Sub(o), pose.Apply(geom.Pt(0, 1)).Sub(o)
	z := math.Copysign(1, x.Cross(y))
	s.mirror = 1
	if mirrored {
		z, s.mirror = -z, -1
	}
	s.turn = [3][3]float64{{x.X, y.X, 0}, {x.Y, y.Y, 0}, {0, 0, z}}
}

// condense finds the stiffness of the free plate at its bores: with F the motions
// under unit wrenches on a plate held without strain and R the rigid motions of the
// bores, F⁻¹ − F⁻¹R (RᵀF⁻¹R)⁻¹ RᵀF⁻¹.
func (s *frameSide) condense(ctx context.Context, l *set.Loaded, o Options, members []set.CrossMember) error {
	m, err := NewModel(ctx, l.Shapes[s.part].Layout, o)
	if err != nil {
		return err
	}
	f, err := m.freeFactor(ctx)
	if err != nil {
		return err
	}
	defer f.Release()
	n := 6 * len(members)
	flex, rigid := mat.NewDense(n, n, nil), mat.NewDense(n, 6, nil)
	means := make([]*mean, len(members))
	var u [][]float64
	for i, id := range s.ids {
		p, err := m.findFeature(id, fmt.Sprintf("cross member %q", members[i].Name), adjusted{})
		if err != nil {
			return err
		}
		at := p.centre
		at[2] = l.Shapes[s.part].Layout.Thickness / 2
		if means[i] = m.meanOf(p, at); means[i] == nil {
			return fmt.Errorf("fea: %s is too small to carry a cross member", p.name)
		}
		for k := range 6 {
			var v [6]float64
			v[k] = 1
			w := m.zeros()
			means[i].spread(wrenchOf(v), w)
			u = append(u, w)
		}
		r := [3]float64{at[0] - m.centre[0], at[1] - m.centre[1], at[2] - m.centre[2]}
		for k := range 6 {
			var move, turn [3]float64
			if k < 3 {
				move[k] = 1
			} else {
				turn[k-3] = 1
				move = cross(turn, r)
			}
			for q := range 3 {
				rigid.Set(6*i+q, k, move[q])
				rigid.Set(6*i+3+q, k, turn[q])
			}
		}
	}
	if _, err := f.SolveTo(ctx, u, u, nil); err != nil {
		return fmt.Errorf("fea: %w", err)
	}
	for c := range u {
		for i, q := range means {
			v := q.motion(u[c])
			for k := range 6 {
				flex.Set(6*i+k, c, v[k])
			}
		}
	}
	var fi, fr, rfr, inv, part, k mat.Dense
	if err := fi.Inverse(flex); err != nil {
		return fmt.Errorf("fea: the plate's flexibility at its bores cannot be inverted: %w", err)
	}
	fr.Mul(&fi, rigid)
	rfr.Mul(rigid.T(), &fr)
	if err := inv.Inverse(&rfr); err != nil {
		return fmt.Errorf("fea: the plate's rigid motion at its bores cannot be taken out: %w", err)
	}
	part.Product(&fr, &inv, fr.T())
	k.Sub(&fi, &part)
	s.k = s.inView(&k)
	return nil
}

// inView turns a stiffness into the view's axes. Turns and moments of a mirror image
// change their sign.
func (s *frameSide) inView(k *mat.Dense) *mat.SymDense {
	n, _ := k.Dims()
	t := mat.NewDense(n, n, nil)
	for b := 0; b < n; b += 3 {
		sign := 1.0
		if b%6 == 3 {
			sign = s.mirror
		}
		for i := range 3 {
			for j := range 3 {
				t.Set(b+i, b+j, sign*s.turn[i][j])
			}
		}
	}
	var out mat.Dense
	out.Product(t, k, t.T())
	sym := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sym.SetSym(i, j, (out.At(i, j)+out.At(j, i))/2)
		}
	}
	return sym
}

// freeFactor factors a plate held at six unknowns that do not strain it.
func (m *Model) freeFactor(ctx context.Context) (*sparse.Factor, error) {
	p := m.pattern()
	for _, u := range m.determinate() {
		p.Held[u] = true
	}
	h := &holding{m: m}
	var err error
	if h.sym, err = sparse.Analyse(ctx, p, sparse.Options{Workers: m.o.Workers}); err != nil {
		return nil, fmt.Errorf("fea: %w", err)
	}
	if err := h.onePiece(); err != nil {
		return nil, err
	}
	f, err := h.sym.Factor(ctx, h.element, nil, m.buffers)
	if err != nil {
		return nil, h.explain(ctx, err)
	}
	return f, nil
}

// beam is the 12×12 stiffness of a round bar along z from end 1 to end 2, each with
// three moves and three turns: J. S. Przemieniecki, Theory of Matrix Structural
// Analysis (1968), section 5.6, with shear (from memory).
func beam(c *set.CrossMember, span, e, g float64) (k [12][12]float64) {
	d, b := c.Diameter, c.Inside
	area := math.Pi / 4 * (d*d - b*b)
	i := math.Pi / 64 * (d*d*d*d - b*b*b*b)
	l := span
	// Shear area of a round section by G. R. Cowper (1966) between a bar's 0.9 and
	// a thin tube's 0.5 of the area, along the ratio of the diameters.
	shear := area * (0.9 - 0.4*(b/d)*(b/d))
	phi := 12 * e * i / (g * shear * l * l)
	add := func(r, s int, v float64) {
		k[r][s] += v
		if r != s {
			k[s][r] += v
		}
	}
	axial, torsion := e*area/l, g*2*i/l
	for _, q := range [2]struct {
		at int
		v  float64
	}{{2, axial}, {5, torsion}} {
		add(q.at, q.at, q.v)
		add(q.at+6, q.at+6, q.v)
		add(q.at, q.at+6, -q.v)
	}
	f := e * i / (1 + phi) / (l * l * l)
	// Bending along x turns about +y, along y about −x.
	for _, q := range [2]struct {
		move, turn int
		sign       float64
	}{{0, 4, 1}, {1, 3, -1}} {
		a, t := q.move, q.turn
		add(a, a, 12*f)
		add(a+6, a+6, 12*f)
		add(a, a+6, -12*f)
		for _, end := range [2]int{t, t + 6} {
			add(a, end, q.sign*6*f*l)
			add(a+6, end, -q.sign*6*f*l)
			add(end, end, (4+phi)*f*l*l)
		}
		add(t, t+6, (2-phi)*f*l*l)
	}
	return k
}

// twist ties plates and members, and twists the frame between its outermost ends.
func (f *frame) twist() (*Frame, error) {
	n := len(f.members)
	k := mat.NewSymDense(12*n, nil) // side 0, then side 1, six motions a bore
	for s := range 2 {
		for i := range 6 * n {
			for j := i; j < 6*n; j++ {
				k.SetSym(6*n*s+i, 6*n*s+j, f.sides[s].k.At(i, j))
			}
		}
	}
	at := func(member, r int) int { // of the 12 unknowns of a member
		return 6*n*(r/6) + 6*member + r%6
	}
	for i := range f.members {
		b := beam(&f.members[i], f.span, f.e, f.g)
		for r := range 12 {
			for c := r; c < 12; c++ {
				a, d := at(i, r), at(i, c)
				k.SetSym(a, d, k.At(a, d)+b[r][c])
			}
		}
	}
	// Rigid motions of the frame get a stiffness, so that it can be solved: the load
	// is in balance and does not move it that way.
	scale := 0.0
	for i := range 12 * n {
		scale = max(scale, k.At(i, i))
	}
	f.pin(k, scale)
	p, q := f.ends()
	a, b := f.sides[0].places[p], f.sides[0].places[q]
	line := b.Sub(a)
	across := line.Perp().Unit()
	load := mat.NewVecDense(12*n, nil)
	for _, end := range [2]struct {
		member int
		sign   float64
	}{{p, -1}, {q, 1}} { // a couple of 1 N·mm on each end
		for s, dir := range [2]float64{1, -1} {
			load.SetVec(6*n*s+6*end.member, end.sign*dir*across.X/f.span)
			load.SetVec(6*n*s+6*end.member+1, end.sign*dir*across.Y/f.span)
		}
	}
	var chol mat.Cholesky
	var u mat.VecDense
	if !chol.Factorize(k) {
		return nil, fmt.Errorf("fea: the frame of %q and %q has no stiffness against some motion; check its cross members", f.sides[0].name, f.sides[1].name)
	}
	if err := chol.SolveVecTo(&u, load); err != nil {
		return nil, fmt.Errorf("fea: frame: %w", err)
	}
	twist := mat.Dot(load, &u) // rad under 1 N·mm
	return &Frame{
		Parts: [2]string{f.sides[0].name, f.sides[1].name}, Ends: [2]string{f.members[p].Name, f.members[q].Name},
		Apart: line.Len(), Torsion: 1 / twist * math.Pi / 180 / 1000,
		Notes: slices.Concat(notes(), []string{"Cross members are taken to be of the plates' alloy and stiffly joined to their bores: bolted ends give less."}),
	}, nil
}

// pin adds R·Rᵀ of the frame's six rigid motions, of the size of the stiffness.
func (f *frame) pin(k *mat.SymDense, scale float64) {
	n := len(f.members)
	var middle geom.Point
	for _, p := range f.sides[0].places {
		middle = middle.Add(p.Mul(1 / float64(n)))
	}
	for motion := range 6 {
		v := mat.NewVecDense(12*n, nil)
		for s := range 2 {
			for i, p := range f.sides[s].places {
				r := [3]float64{p.X - middle.X, p.Y - middle.Y, f.span * (float64(s) - 0.5)}
				var move, turn [3]float64
				if motion < 3 {
					move[motion] = 1
				} else {
					turn[motion-3] = 1
					move = cross(turn, r)
				}
				for q := range 3 {
					v.SetVec(6*n*s+6*i+q, move[q])
					v.SetVec(6*n*s+6*i+3+q, turn[q])
				}
			}
		}
		k.SymRankOne(k, scale/mat.Dot(v, v), v)
	}
}

// ends are the two members farthest apart.
func (f *frame) ends() (p, q int) {
	far := -1.0
	for i, a := range f.sides[0].places {
		for j, b := range f.sides[0].places[:i] {
			if d := a.Dist(b); d > far {
				far, p, q = d, j, i
			}
		}
	}
	return p, q
}
