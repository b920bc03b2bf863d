package plate

import "slices"

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
func optional[T any](dst **T, into func(*T) read) read {
	return func(at *place, n *node) {
		v := new(T)
		into(v)(at, n)
		*dst = v
	}
}

// listOf reads a list of at most the given number of entries, which one reads one at a time.
func listOf[T any](r *reader, dst *[]T, most int, one func(*T) read) read {
	return func(at *place, n *node) {
		switch {
		case n.kind != listNode:
			r.bad(at, n, "found %s where a list should be", n.show())
		case len(n.items) > most:
			r.bad(at, n, "%d entries; at most %d are possible here: remove some, or split the plate", len(n.items), most)
		default:
			*dst = make([]T, len(n.items))
			for i := range n.items {
				one(&(*dst)[i])(&place{up: at, index: i}, &n.items[i])
			}
		}
	}
}

func (r *reader) fileV1(root *node) *fileV1 {
	f := &fileV1{}
	r.object(nil, root,
		must("format", r.text(&f.Format)),
		must("version", func(*place, *node) { f.Version = 1 }),
		must("name", r.text(&f.Name)),
		may("note", r.text(&f.Note)),
		must("next_id", r.id(&f.NextID)),
		must("stock", r.stockV1(&f.Stock)),
		must("outline", r.outlineV1(&f.Outline)),
		may("rim_mm", r.float(&f.Rim)),
		may("bores", listOf(r, &f.Bores, maxBores, r.boreV1)),
		may("holes", listOf(r, &f.Holes, maxHoles, r.holeV1)),
		may("bolt_circles", listOf(r, &f.Circles, maxCircles, r.circleV1)),
		may("clocked_rings", listOf(r, &f.Rings, maxRings, r.ringV1)),
		may("eccentrics", listOf(r, &f.Eccentrics, maxEccentrics, r.eccentricV1)),
		may("slots", listOf(r, &f.Slots, maxSlots, r.slotV1)),
		may("ribs", listOf(r, &f.Ribs, maxRibs, r.ribV1)),
		may("grids", listOf(r, &f.Grids, maxGrids, r.gridV1)),
		may("pockets", listOf(r, &f.Pockets, maxPockets, r.pocketV1)),
		may("keep_outs", listOf(r, &f.KeepOuts, maxKeepOuts, r.keepOutV1)),
		may("inlays", listOf(r, &f.Inlays, maxInlays, r.inlayV1)),
		may("settings", listOf(r, &f.Settings, maxSettings, r.settingV1)),
		may("setting", r.id(&f.Setting)),
		may("supports", listOf(r, &f.Supports, maxSupports, r.supportV1)),
		may("loads", listOf(r, &f.Loads, maxLoads, r.loadV1)),
		may("load_cases", listOf(r, &f.Cases, maxCases, r.caseV1)),
		may("cut_lines", listOf(r, &f.CutLines, maxCutLines, r.cutLineV1)),
		may("targets", listOf(r, &f.Targets, maxTargets, r.targetV1)),
		must("machining", r.machiningV1(&f.Machining)),
		may("price", optional(&f.Price, r.priceV1)),
	)
	return f
}

// wordOf is the text at a key, empty where there is none.
func wordOf(n *node, key string) string {
	if v := n.get(key); v != nil && v.kind == stringNode {
		return v.text
	}
	return ""
}

// wrongKind reports the word at the key "kind" when it is not one of the given; its object's other keys cannot be judged.
func (r *reader) wrongKind(at *place, n *node, words []string) bool {
	kind := n.get("kind")
	if n.kind != objectNode || kind == nil || kind.kind == stringNode && slices.Contains(words, kind.text) {
		return false
	}
	var word string
	r.choice(&word, words)(&place{up: at, key: "kind"}, kind)
	return true
}

// only is the given members when the condition holds, else none.
func only(when bool, members ...member) []member {
	if when {
		return members
	}
	return nil
}

// above reads a number that is not zero, where zero would mean that the whole object is not there.
func (r *reader) above(dst *float64) read {
	return func(at *place, n *node) {
		before := len(r.problems) + r.omitted
		r.float(dst)(at, n)
		if *dst == 0 && before == len(r.problems)+r.omitted {
			r.bad(at, n, "found 0 where a number above zero should be; for none leave out the object around it")
		}
	}
}

// named reads a text that is not empty, where an empty one would mean that the whole object is not there.
func (r *reader) named(dst *string) read {
	return func(at *place, n *node) {
		r.text(dst)(at, n)
		if n.kind == stringNode && n.text == "" {
			r.bad(at, n, "an empty text; for none leave out the object around it")
		}
	}
}

// flag reads true or false.
func (r *reader) flag(dst *bool) read {
	return func(at *place, n *node) {
		if n.kind != boolNode {
			r.bad(at, n, "found %s where true or false should be", n.show())
			return
		}
		*dst = n.text == "true"
	}
}

// triple reads three numbers.
func (r *reader) triple(v *[3]float64) read {
	return func(at *place, n *node) {
		if n.kind != listNode || len(n.items) != 3 {
			r.bad(at, n, "found %s where a list of three numbers should be", n.show())
			return
		}
		for i := range v {
			r.float(&v[i])(&place{up: at, index: i}, &n.items[i])
		}
	}
}

func (r *reader) duo(p *[2]float64) read { return r.pair(&p[0], &p[1]) }

// allOrList reads the word "all" or a list.
func allOrList[T any](r *reader, all *bool, dst *[]T, most int, what string, one func(*T) read) read {
	return func(at *place, n *node) {
		switch {
		case n.kind == stringNode && n.text == "all":
			*all = true
		case n.kind == listNode:
			listOf(r, dst, most, one)(at, n)
		default:
			r.bad(at, n, `found %s where "all" or a list of %s should be`, n.show(), what)
		}
	}
}

func (r *reader) stockV1(s *stockV1) read {
	return func(at *place, n *node) {
		s.Top, s.Bottom = string(AsSupplied), string(AsSupplied)
		r.object(at, n,
			must("material", r.materialV1(&s.Material)),
			must("nominal_mm", r.float(&s.Nominal)),
			may("finished_mm", optional(&s.Finished, r.float)),
			may("top_face", r.choice(&s.Top, faces)),
			may("bottom_face", r.choice(&s.Bottom, faces)),
			must("blank", r.blankV1(&s.Blank)),
			may("finish", optional(&s.Finish, r.finishV1)),
		)
	}
}

func (r *reader) materialV1(m *materialV1) read {
	return func(at *place, n *node) {
		r.object(at, n,
			must("alloy", r.text(&m.Alloy)),
			must("temper", r.text(&m.Temper)),
			must("density_kg_m3", r.float(&m.Density)),
			must("youngs_modulus_mpa", r.float(&m.Young)),
			must("poisson_ratio", r.float(&m.Poisson)),
			must("proof_stress_mpa", r.float(&m.Proof)),
			must("ultimate_strength_mpa", r.float(&m.Ultimate)),
			must("machining_group", r.text(&m.Group)),
			may("source", r.text(&m.Source)),
		)
	}
}

// either reads an object that has the members of a when it has the key of a, else those of b; common ones come first.
func (r *reader) either(at *place, n *node, key string, a, b []member, common ...member) {
	if n.kind == objectNode && n.get(key) != nil {
		r.object(at, n, append(common, a...)...)
		return
	}
	r.object(at, n, append(common, b...)...)
}

func (r *reader) blankV1(b *blankV1) read {
	return func(at *place, n *node) {
		if n.kind == objectNode && len(n.keys) == 0 {
			r.bad(at, n, `empty; give "margin_mm", or "x_mm", "y_mm", "width_mm" and "height_mm"`)
			return
		}
		r.either(at, n, "margin_mm",
			[]member{must("margin_mm", optional(&b.Margin, r.float))},
			[]member{
				must("x_mm", optional(&b.X, r.float)), must("y_mm", optional(&b.Y, r.float)),
				must("width_mm", optional(&b.Width, r.float)), must("height_mm", optional(&b.Height, r.float)),
			})
	}
}
