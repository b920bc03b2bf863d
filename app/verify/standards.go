package verify

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/plate"
	"platewright/plate/kinematics"
	"platewright/plate/standard"
)

// limits are the tables of ISO 286: every row is looked up at just over its least size, its middle and its greatest, and
// the rows that agree are counted; a sample of them is listed one by one, some as bores of a document.
func limits(b *book, t *tables) error {
	counted := func(table, what string, agrees func(r record, size float64) (bool, error)) {
		rows := t.of[table]
		row := exact(Element, "ISO 286, "+what, "rows that agree, at three sizes each", float64(len(rows)), 1e-9, rows[0]["source"]+" and others")
		row.Seen = seen(rows[0]["seen"])
		b.one(row, func(ctx context.Context) (float64, error) {
			n := 0
			for _, r := range rows {
				ok, err := allAcross(r, agrees)
				if err != nil {
					return 0, err
				}
				if ok {
					n++
				}
			}
			return float64(n), ctx.Err()
		})
	}
	counted("it_all", "tolerance grades", func(r record, size float64) (bool, error) {
		grade, err := strconv.Atoi(strings.TrimPrefix(r["grade"], "IT"))
		if err != nil {
			return false, err
		}
		if grade >= 14 {
			size = max(size, math.Nextafter(1, 2)) // the standard has these grades above 1 mm only
		}
		got, err := standard.IT(grade, size)
		return sameMicrons(got, r["width_um"]), err
	})
	counted("fits", "limit deviations", func(r record, size float64) (bool, error) {
		l, err := standard.Fit(r["class"], size)
		return sameMicrons(l.Upper, r["upper_um"]) && sameMicrons(l.Lower, r["lower_um"]) && sameMicrons(l.IT, r["it_width_um"]), err
	})
	counted("deviations", "fundamental deviations", func(r record, size float64) (bool, error) {
		class := r["class"]
		letter := strings.TrimRight(class, "0123456789")
		if class == letter {
			class += "8" // above the grades of the Δ rule
		}
		l, err := standard.Fit(class, size)
		got := l.Lower
		if l.Hole() || strings.Contains("c d e f g", letter) {
			got = l.Upper
		}
		return sameMicrons(got, r["deviation_um"]), err
	})
	return sampledFits(b, t)
}

// sameMicrons says that a length in mm is that printed in µm.
func sameMicrons(mm float64, um string) bool {
	v, err := strconv.ParseFloat(um, 64)
	return err == nil && math.Abs(mm-v/1000) < 1e-9
}

func allAcross(r record, agrees func(r record, size float64) (bool, error)) (bool, error) {
	over, err := r.num("over_mm")
	if err != nil {
		return false, err
	}
	incl, err := r.num("incl_mm")
	if err != nil {
		return false, err
	}
	for _, size := range []float64{math.Nextafter(over, math.Inf(1)), (over + incl) / 2, incl} {
		if ok, err := agrees(r, size); err != nil || !ok {
			return false, err
		}
	}
	return true, nil
}

// sampledFits lists every seventh row of the limits of holes as a bore of a document that asks for the fit.
func sampledFits(b *book, t *tables) error {
	n := 0
	for _, r := range t.of["fits"] {
		if r["kind"] != "hole" {
			continue
		}
		if n++; n%7 != 1 {
			continue
		}
		size, err := r.num("incl_mm")
		if err != nil {
			return err
		}
		var rows []Row
		for _, k := range []string{"upper_um", "lower_um"} {
			v, err := r.num(k)
			if err != nil {
				return err
			}
			rows = append(rows, Row{
				Name: fmt.Sprintf("ISO 286, bore %g %s", size, r["class"]), Quantity: strings.TrimSuffix(k, "_um") + " deviation, µm", Published: v,
				Tolerance: 1e-6, Kind: WholeProgram, Source: r["source"], Seen: seen(r["seen"]),
			})
		}
		b.add(func(context.Context) ([]float64, error) {
			p := document(20, box(3*size+20, 3*size+20)...)
			p.Bores = []plate.Bore{{ID: 1, Name: "Bore", X: 1.5*size + 10, Y: 1.5*size + 10, Diameter: size, Fit: r["class"]}}
			l, err := derive(p)
			if err != nil {
				return nil, err
			}
			bore := l.Plate.Bores[0]
			f, err := standard.Fit(bore.Fit, bore.Diameter)
			return []float64{1000 * f.Upper, 1000 * f.Lower}, err
		}, rows...)
	}
	return nil
}

// steering is the geometry of adjusters: trail, flop and normal trail, clocked rings, wheel sizes.
func steering(b *book, t *tables) error {
	for _, r := range t.of["geometry"] {
		var in map[string]float64
		if err := json.Unmarshal([]byte(r["inputs"]), &in); err != nil {
			return fmt.Errorf("verify: geometry %s: %w", r["id"], err)
		}
		f, names := geometry(r["id"], in)
		if f == nil {
			continue
		}
		var rows []Row
		for i, text := range strings.Split(r["result"], ";") {
			if _, after, found := strings.Cut(text, "="); found {
				text = after
			}
			text = strings.TrimSpace(text)
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return fmt.Errorf("verify: geometry %s: %w", r["id"], err)
			}
			rows = append(rows, Row{
				Name: r["kind"] + ", " + r["id"], Quantity: names[i] + ", " + r["unit"], Published: v, Tolerance: max(rounding(text), 1e-9),
				Kind: Element, Source: r["source"], Seen: seen(r["seen"]),
			})
		}
		b.add(f, rows...)
	}
	return nil
}

// geometry is the computation that a row of the table of adjusters asks for, and the names of what it gives; nil for
// rows that only restate a cosine.
func geometry(id string, in map[string]float64) (run func(context.Context) ([]float64, error), names []string) {
	kind, _, _ := strings.Cut(id, "-")
	give := func(v ...float64) func(context.Context) ([]float64, error) {
		return func(context.Context) ([]float64, error) { return v, nil }
	}
	switch {
	case strings.HasPrefix(id, "ring-chord"):
		ligament, _, _ := kinematics.Equal(int(in["n"]), 0).Ligament(2*in["R_mm"], in["d_mm"])
		return give(ligament+in["d_mm"], ligament), []string{"chord", "ligament"}
	case kind == "ring", kind == "vernier":
		n, m := int(in["n"]), int(in["n"])
		if kind == "vernier" {
			m = int(in["m"])
		}
		return func(context.Context) ([]float64, error) {
			at, err := kinematics.Clock(kinematics.Equal(n, 0), kinematics.Equal(m, 0), 0)
			if err != nil {
				return nil, err
			}
			if len(at) < 2 {
				return nil, fmt.Errorf("rings of %d and %d holes meet at %d angles", n, m, len(at))
			}
			return []float64{at[1].AngleDeg - at[0].AngleDeg}, nil
		}, []string{"step"}
	case id == "trail-headangle":
		return give(kinematics.Steering{Radius: in["R_mm"], RakeDeg: 90 - in["H_deg"], Offset: in["offset_mm"]}.Trail()), []string{"trail"}
	case kind == "trail":
		s := kinematics.Steering{Radius: in["R_mm"], RakeDeg: in["a_deg_from_vertical"], Offset: in["offset_mm"]}
		return give(s.Trail(), s.Normal(), s.Flop()), []string{"trail", "normal trail", "wheel flop"}
	case kind == "tyre":
		r := kinematics.TyreRadius(in["width_mm"], in["aspect_pct"], in["rim_in"])
		return give(2*r, r), []string{"diameter", "radius"}
	case kind == "etrto":
		r := kinematics.CycleRadius(in["width_mm"], in["bead_seat_mm"])
		return give(2*r, r, 2*math.Pi*r), []string{"diameter", "radius", "circumference"}
	}
	return nil, nil
}

// unread are rows that belong to the list and cannot be filled.
func unread(b *book, _ *tables) error {
	b.notChecked(WholeProgram, "pin-loaded lug", "stress concentration", math.NaN(), "no chart of it has been read")
	b.notChecked(WholeProgram, "samples and random plates beside another finite-element library", "displacement", math.NaN(),
		"the other library is not part of this program")
	return nil
}
