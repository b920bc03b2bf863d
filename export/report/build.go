package report

import (
	"context"
	"fmt"
	"slices"

	"platewright/fea/torsion"
	"platewright/plate"
	"platewright/plate/check"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
	"platewright/plate/mass"
	"platewright/plate/quote"
	"platewright/plate/route"
	"platewright/plate/section"
)

// Build computes every part that in asks for, and the differences to the baseline when there is one. Trouble with the job
// (an invalid document, a shape that cannot be made) is not an error here but findings of a report that lacks the parts
// concerned. The error is the context's when it ends first.
func Build(ctx context.Context, in Inputs) (Report, error) {
	r, err := Frame(ctx, in)
	if err != nil {
		return Report{}, err
	}
	if r, err = r.Follow(ctx); err != nil {
		return Report{}, err
	}
	if r, err = r.Rest(ctx); err != nil {
		return Report{}, err
	}
	if in.Baseline == nil || !r.in.Want.Has(Differences) {
		return r, nil
	}
	base := in
	base.Plate, base.Baseline = *in.Baseline, nil
	b, err := Build(ctx, base)
	if err != nil {
		return Report{}, err
	}
	return r.Against(b), nil
}

// Frame computes what an edit shows in the next frame: layout, mass when it is asked for, and the findings of the
// document, the layout and the geometric checks.
func Frame(ctx context.Context, in Inputs) (Report, error) {
	if in.Want == 0 {
		in.Want = All
	}
	if in.Program == "" {
		in.Program = Version()
	}
	r := Report{
		Key:   Key{Revision: plate.Revision(in.Plate), Profile: in.Profile.Hash(), Program: in.Program},
		Plate: in.Plate,
		in:    in,
	}
	found := append(in.Plate.Validate(), r.profileFindings()...)
	if finding.Count(found, finding.Error) == 0 {
		l, err := layout.DeriveCtx(ctx, in.Plate)
		switch {
		case ctx.Err() != nil:
			return Report{}, ctx.Err()
		case err != nil:
			found = append(found, deriveFinding(err))
		default:
			r.Layout.Value, r.Layout.OK = l, true
			found = append(found, l.Findings...)
			found = append(found, check.Run(l, in.Profile)...)
		}
	}
	r.Layout.Key = r.Key
	if in.Want.Has(Mass) {
		found = append(found, r.weigh()...)
	}
	if !r.Layout.OK {
		found = append(found, finding.Finding{
			Code: "figures-absent", Level: finding.Note, Stage: "stock",
			What:   "no figures were computed, because the shape of the plate could not be derived",
			Why:    "a figure of a plate that cannot be derived would mislead",
			Source: "Platewright",
			Fix:    "correct the errors of this list",
		})
	}
	r.frame = Part[[]finding.Finding]{Key: r.Key, Value: found, OK: true}
	return r, ctx.Err()
}

// weigh fills the mass part from the layout and returns what it found.
func (r *Report) weigh() []finding.Finding {
	r.Mass.Key = r.Key
	if !r.Layout.OK {
		return nil
	}
	m, err := mass.Of(r.Layout.Value)
	if err != nil {
		return []finding.Finding{absent("mass-absent", "stock", "the mass", "correct the material or the cuts, as the message says", err)}
	}
	r.Mass.Value, r.Mass.OK = m, true
	return nil
}

// Follow computes what a window shows soon after an edit: sections and machining, as far as they are asked for. A report
// that is complete already, such as one taken from an older state that an undo came back to, is returned as it is.
func (r Report) Follow(ctx context.Context) (Report, error) {
	if r.follow.Key == r.Key {
		return r, nil
	}
	var found []finding.Finding
	if r.in.Want.Has(Sections) {
		fs, err := r.cutSections(ctx)
		if err != nil {
			return Report{}, err
		}
		found = append(found, fs...)
		if fs, err = r.sweep(ctx); err != nil {
			return Report{}, err
		}
		found = append(found, fs...)
	}
	if r.in.Want&(Machining|Price) != 0 {
		fs, err := r.plan(ctx)
		if err != nil {
			return Report{}, err
		}
		found = append(found, fs...)
	}
	if r.in.Want.Has(Price) {
		found = append(found, r.price()...)
	}
	r.follow = Part[[]finding.Finding]{Key: r.Key, Value: found, OK: true}
	r.before = nil // it would keep the plans of a whole drag alive
	return r, ctx.Err()
}

// Replan makes the whole plan and the price of a report whose plan was re-timed: what stands once the hand rests. Any other report
// is returned as it is.
func (r Report) Replan(ctx context.Context) (Report, error) {
	if !r.About() {
		return r, nil
	}
	r.follow, r.before = Part[[]finding.Finding]{}, nil
	return r.Follow(ctx)
}

// cutSections fills the sections part. A cut line whose section cannot be computed gives a finding and no section.
func (r *Report) cutSections(ctx context.Context) ([]finding.Finding, error) {
	r.Sections, r.Torsion = Part[[]section.Result]{Key: r.Key}, Part[[]torsion.Result]{Key: r.Key}
	if !r.Layout.OK {
		return nil, nil
	}
	r.Sections.OK, r.Torsion.OK = true, true
	var found []finding.Finding
	for _, c := range r.cutLines() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s, err := section.At(r.Layout.Value, c.Name, geom.Pt(c.X1, c.Y1), geom.Pt(c.X2, c.Y2))
		if err != nil {
			f := absent("section-absent", "stock", fmt.Sprintf("the section at cut line %q", c.Name),
				"move the cut line so that it crosses the plate, or delete it", err)
			f.Feature, f.FeatureName = int64(c.ID), c.Name
			f.Where, f.HasWhere = [2]float64{(c.X1 + c.X2) / 2, (c.Y1 + c.Y2) / 2}, true
			found = append(found, f)
			continue
		}
		m := r.Plate.Stock.Material
		t, err := torsion.Of(ctx, s, torsion.ShearModulus(m.Young, m.Poisson))
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			f := absent("torsion-absent", "stock", fmt.Sprintf("the torsion of the section at cut line %q", c.Name),
				"move the cut line a little, and report the document as a fault", err)
			f.Level, f.Feature, f.FeatureName = finding.Warning, int64(c.ID), c.Name
			found = append(found, f)
		}
		r.Sections.Value, r.Torsion.Value = append(r.Sections.Value, s), append(r.Torsion.Value, t)
	}
	return found, nil
}

// cutLines are the lines at which sections are wanted.
func (r Report) cutLines() []plate.CutLine {
	if r.in.CutLines != nil {
		return r.in.CutLines
	}
	return r.Plate.CutLines
}

// plan fills the machining part.
func (r *Report) plan(ctx context.Context) ([]finding.Finding, error) {
	r.Machining = Part[route.Plan]{Key: r.Key}
	if !r.Layout.OK {
		return nil, nil
	}
	var p route.Plan
	var err error
	if r.before != nil {
		p, err = route.Retime(ctx, *r.before, r.Layout.Value, r.in.Profile)
	} else {
		p, err = route.Make(ctx, r.Layout.Value, r.in.Profile)
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return []finding.Finding{absent("machining-absent", "machining", "the machining minutes",
			"correct what the message names in the shop profile or the plate, or choose another shop", err)}, nil
	}
	r.Machining.Value, r.Machining.OK = p, true
	found := p.Findings
	if p.Incomplete {
		found = append(slices.Clip(found), finding.Finding{
			Code: "machining-incomplete", Level: finding.Error, Stage: "machining",
			What:   "the plan lacks an operation for part of the plate, so that its minutes stand for less than the whole",
			Why:    "minutes of an incomplete plan would mislead, so that no target is judged on them",
			Source: "Platewright",
			Fix:    "see the findings that say what no tool of the shop can do",
		})
	}
	return found, nil
}

// price fills the quote part. A job that cannot be priced can still be made, so that its findings are warnings.
func (r *Report) price() []finding.Finding {
	r.Quote = Part[quote.Quote]{Key: r.Key}
	if !r.Mass.OK || r.Mass.Key != r.Key || !r.Machining.OK || r.Machining.Value.Incomplete {
		return nil // the findings of what is missing say so
	}
	j := quote.Job{
		Layout: r.Layout.Value, Mass: r.Mass.Value, Plan: r.Machining.Value, Profile: r.in.Profile, Batches: r.batches(),
	}
	q, err := quote.Make(j)
	if err != nil {
		f := absent("price-absent", "price", "the price", "complete the rates of the shop profile, as the message says", err)
		f.Level = finding.Warning
		return []finding.Finding{f}
	}
	r.Quote.Value, r.Quote.OK = q, true
	var found []finding.Finding
	for _, n := range q.Notes {
		found = append(found, finding.Finding{
			Code: "not-priced", Level: finding.Note, Stage: "price", What: n,
			Why: "a price that leaves something out must say so", Source: "Platewright",
			Fix: "add what is missing to the shop profile, or ask for its price",
		})
	}
	return found
}

// batches are the quantities that prices are wanted at.
func (r Report) batches() []int {
	if r.in.Batches != nil {
		return r.in.Batches
	}
	return r.Plate.Price.Batches
}

// profileFindings says when the times are for another shop than the document was made for.
func (r Report) profileFindings() []finding.Finding {
	want, have := r.Plate.Machining, r.in.Profile
	if want.ShopHash == "" || want.ShopHash == r.Key.Profile {
		return nil
	}
	return []finding.Finding{{
		Code: "profile-changed", Level: finding.Note, Stage: "machining",
		What:   fmt.Sprintf("the document was made for shop profile %q as it was then; times are for %q as it is now", want.Shop, have.Name),
		Why:    "minutes depend on the machine, tools and cutting data of the profile",
		Source: "Platewright",
		Fix:    "look at the minutes again, and choose the profile again to record it",
	}}
}

// absent is the finding for a part that could not be computed.
func absent(code, stage, what, fix string, err error) finding.Finding {
	return finding.Finding{
		Code: code, Level: finding.Error, Stage: stage,
		What:   fmt.Sprintf("%s could not be computed: %s", what, finding.Words(err)),
		Why:    "a figure that could not be computed is left out, never shown as zero",
		Source: "Platewright",
		Fix:    fix,
	}
}

// Unread is the report of a document that cannot be read: no parts, only the findings that say why.
func Unread(in Inputs, why []finding.Finding) Report {
	if in.Want == 0 {
		in.Want = All
	}
	if in.Program == "" {
		in.Program = Version()
	}
	r := Report{Key: Key{Profile: in.Profile.Hash(), Program: in.Program}, in: in}
	r.Layout.Key, r.Mass.Key, r.Sections.Key, r.Torsion.Key, r.follow.Key = r.Key, r.Key, r.Key, r.Key, r.Key
	r.Machining.Key, r.Quote.Key, r.Cases.Key, r.rest.Key = r.Key, r.Key, r.Key, r.Key
	r.frame = Part[[]finding.Finding]{Key: r.Key, Value: why, OK: true}
	return r
}

// Adding returns r with findings of what was done around it, such as reading a baseline.
func (r Report) Adding(fs []finding.Finding) Report {
	r.extra = slices.Concat(r.extra, fs)
	return r
}
