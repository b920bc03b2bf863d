package plate

import (
	"slices"

	"platewright/plate/tree"
)

// The words of version 1.
var (
	outlineKinds = []string{Drawn.String(), string(Wrapped), string(Contour)}
	gridKinds    = []string{Isogrid.String(), string(Orthogrid), string(Parallel), string(Spokes), string(Directions)}
	pocketKinds  = []string{FieldPocket.String(), string(DrawnPocket), string(RoundPocket), string(ObroundPocket)}
	holeKinds    = []string{string(Clearance), string(Tapped), string(Reamed), string(Counterbored), string(Countersunk)}
	serieses     = []string{string(Fine), string(Medium), string(Coarse)}
	sides        = []string{string(Top), string(Bottom), string(Through)}
	pocketSides  = []string{string(Top), string(Bottom), string(Through), string(Both)}
	oneSide      = []string{string(Top), string(Bottom)}
	ringLoads    = []string{string(RingStill), string(RingTurns)}
	faces        = []string{string(AsSupplied), string(Machined)}
	quantities   = []string{
		string(MassKG), string(CycleMin), string(BuyToFly), string(SectionEI), string(Reserve), string(Deflect), string(PieceCost),
	}
	senses       = []string{string(AtMost), string(AtLeast)}
	axes         = []string{string(AxisX), string(AxisY)}
	supportKinds = []string{string(Hinged), string(Fixed), string(Sliding), string(Spring), string(Symmetry), string(Free)}
	loadKinds    = []string{
		string(BoreForce), string(Moment), string(RemoteForce), string(ClampForce), string(LineForce), string(AreaForce),
		string(Acceleration), string(Temperature),
	}
	caseKinds    = []string{string(Limit), string(Ultimate)}
	originKinds  = []string{string(Measured), string(Standard), string(Worked), string(Assumed)}
	events       = []string{string(Braking), string(KerbStrike), string(Cornering), string(Drop)}
	places       = []string{"machine", "hand", "outside"} // where an operation is done
	holdingKinds = []string{string(Clamp), string(Screw), string(Vice), string(Vacuum), string(Tape)}
)

// optional reads into a pointer, so that an absent key stays nil.
func optional[T any](dst **T, into func(*T) tree.Read) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		v := new(T)
		into(v)(at, n)
		*dst = v
	}
}

func (r *reader) fileV1(root *tree.Node) *fileV1 {
	f := &fileV1{}
	r.Object(nil, root,
		tree.Must("format", r.Text(&f.Format)),
		tree.Must("version", func(*tree.Place, *tree.Node) { f.Version = 1 }),
		tree.Must("name", r.Text(&f.Name)),
		tree.May("note", r.Text(&f.Note)),
		tree.Must("next_id", r.id(&f.NextID)),
		tree.Must("stock", r.stockV1(&f.Stock)),
		tree.Must("outline", r.outlineV1(&f.Outline)),
		tree.May("rim_mm", r.Float(&f.Rim)),
		tree.May("bores", tree.ListOf(r.Reader, &f.Bores, maxBores, r.boreV1)),
		tree.May("holes", tree.ListOf(r.Reader, &f.Holes, maxHoles, r.holeV1)),
		tree.May("bolt_circles", tree.ListOf(r.Reader, &f.Circles, maxCircles, r.circleV1)),
		tree.May("clocked_rings", tree.ListOf(r.Reader, &f.Rings, maxRings, r.ringV1)),
		tree.May("eccentrics", tree.ListOf(r.Reader, &f.Eccentrics, maxEccentrics, r.eccentricV1)),
		tree.May("slots", tree.ListOf(r.Reader, &f.Slots, maxSlots, r.slotV1)),
		tree.May("ribs", tree.ListOf(r.Reader, &f.Ribs, maxRibs, r.ribV1)),
		tree.May("grids", tree.ListOf(r.Reader, &f.Grids, maxGrids, r.gridV1)),
		tree.May("pockets", tree.ListOf(r.Reader, &f.Pockets, maxPockets, r.pocketV1)),
		tree.May("keep_outs", tree.ListOf(r.Reader, &f.KeepOuts, maxKeepOuts, r.keepOutV1)),
		tree.May("inlays", tree.ListOf(r.Reader, &f.Inlays, maxInlays, r.inlayV1)),
		tree.May("settings", tree.ListOf(r.Reader, &f.Settings, maxSettings, r.settingV1)),
		tree.May("setting", r.id(&f.Setting)),
		tree.May("supports", tree.ListOf(r.Reader, &f.Supports, maxSupports, r.supportV1)),
		tree.May("loads", tree.ListOf(r.Reader, &f.Loads, maxLoads, r.loadV1)),
		tree.May("load_cases", tree.ListOf(r.Reader, &f.Cases, maxCases, r.caseV1)),
		tree.May("cut_lines", tree.ListOf(r.Reader, &f.CutLines, maxCutLines, r.cutLineV1)),
		tree.May("targets", tree.ListOf(r.Reader, &f.Targets, maxTargets, r.targetV1)),
		tree.Must("machining", r.machiningV1(&f.Machining)),
		tree.May("price", optional(&f.Price, r.priceV1)),
	)
	return f
}

// wordOf is the text at a key, empty where there is none.
func wordOf(n *tree.Node, key string) string {
	if v := n.Get(key); v != nil && v.Kind == tree.String {
		return v.Text
	}
	return ""
}

// wrongKind reports the word at the key "kind" when it is not one of the given; its object's other keys cannot be judged.
func (r *reader) wrongKind(at *tree.Place, n *tree.Node, words []string) bool {
	kind := n.Get("kind")
	if n.Kind != tree.Object || kind == nil || kind.Kind == tree.String && slices.Contains(words, kind.Text) {
		return false
	}
	var word string
	r.choice(&word, words)(at.Key("kind"), kind)
	return true
}

// only is the given members when the condition holds, else none.
func only(when bool, members ...tree.Member) []tree.Member {
	if when {
		return members
	}
	return nil
}

// above reads a number that is not zero, where zero would mean that the whole object is not there.
func (r *reader) above(dst *float64) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		before := r.Found()
		r.Float(dst)(at, n)
		if *dst == 0 && before == r.Found() {
			r.Bad(at, n, "found 0 where a number above zero should be; for none leave out the object around it")
		}
	}
}

// named reads a text that is not empty, where an empty one would mean that the whole object is not there.
func (r *reader) named(dst *string) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Text(dst)(at, n)
		if n.Kind == tree.String && n.Text == "" {
			r.Bad(at, n, "an empty text; for none leave out the object around it")
		}
	}
}

// triple reads three numbers.
func (r *reader) triple(v *[3]float64) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if n.Kind != tree.List || len(n.Items) != 3 {
			r.Bad(at, n, "found %s where a list of three numbers should be", n.Show())
			return
		}
		for i := range v {
			r.Float(&v[i])(at.Item(i), &n.Items[i])
		}
	}
}

func (r *reader) duo(p *[2]float64) tree.Read { return r.pair(&p[0], &p[1]) }

// allOrList reads the word "all" or a list.
func allOrList[T any](r *reader, all *bool, dst *[]T, most int, what string, one func(*T) tree.Read) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		switch {
		case n.Kind == tree.String && n.Text == "all":
			*all = true
		case n.Kind == tree.List:
			tree.ListOf(r.Reader, dst, most, one)(at, n)
		default:
			r.Bad(at, n, `found %s where "all" or a list of %s should be`, n.Show(), what)
		}
	}
}

func (r *reader) stockV1(s *stockV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		s.Top, s.Bottom = string(AsSupplied), string(AsSupplied)
		r.Object(at, n,
			tree.Must("material", r.materialV1(&s.Material)),
			tree.Must("nominal_mm", r.Float(&s.Nominal)),
			tree.May("finished_mm", optional(&s.Finished, r.Float)),
			tree.May("top_face", r.choice(&s.Top, faces)),
			tree.May("bottom_face", r.choice(&s.Bottom, faces)),
			tree.Must("blank", r.blankV1(&s.Blank)),
			tree.May("finish", optional(&s.Finish, r.finishV1)),
		)
	}
}

func (r *reader) materialV1(m *materialV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		r.Object(at, n,
			tree.Must("alloy", r.Text(&m.Alloy)),
			tree.Must("temper", r.Text(&m.Temper)),
			tree.Must("density_kg_m3", r.Float(&m.Density)),
			tree.Must("youngs_modulus_mpa", r.Float(&m.Young)),
			tree.Must("poisson_ratio", r.Float(&m.Poisson)),
			tree.Must("proof_stress_mpa", r.Float(&m.Proof)),
			tree.Must("ultimate_strength_mpa", r.Float(&m.Ultimate)),
			tree.Must("machining_group", r.Text(&m.Group)),
			tree.May("source", r.Text(&m.Source)),
		)
	}
}

// either reads an object that has the members of a when it has the key of a, else those of b; common ones come first.
func (r *reader) either(at *tree.Place, n *tree.Node, key string, a, b []tree.Member, common ...tree.Member) {
	if n.Kind == tree.Object && n.Get(key) != nil {
		r.Object(at, n, append(common, a...)...)
		return
	}
	r.Object(at, n, append(common, b...)...)
}

func (r *reader) blankV1(b *blankV1) tree.Read {
	return func(at *tree.Place, n *tree.Node) {
		if n.Kind == tree.Object && len(n.Keys) == 0 {
			r.Bad(at, n, `empty; give "margin_mm", or "x_mm", "y_mm", "width_mm" and "height_mm"`)
			return
		}
		r.either(at, n, "margin_mm",
			[]tree.Member{tree.Must("margin_mm", optional(&b.Margin, r.Float))},
			[]tree.Member{
				tree.Must("x_mm", optional(&b.X, r.Float)), tree.Must("y_mm", optional(&b.Y, r.Float)),
				tree.Must("width_mm", optional(&b.Width, r.Float)), tree.Must("height_mm", optional(&b.Height, r.Float)),
			})
	}
}
