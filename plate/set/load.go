package set

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"platewright/plate"
	"platewright/plate/finding"
	"platewright/plate/geom"
	"platewright/plate/layout"
)

// Shape is what of a plate's layout a set looks at. It is shared between the parts of one file.
type Shape struct {
	Layout *layout.Layout
	File   string // as Part.File
}

// Outline is the finished outer profile of the plate.
func (s Shape) Outline() geom.Region { return s.Layout.Outline }

// LoadFile reads a set and the plates that it names, each relative to the set's folder and once. The findings are those of
// Validate and of the plates: one that was changed since it was taken into the set, features that are not there. The error is
// for what leaves no set to look at: a file that cannot be read or decoded, a set or a plate that is not valid.
func LoadFile(ctx context.Context, name string) (*Loaded, []finding.Finding, error) {
	data, err := readFile(name, MaxFileBytes)
	if err != nil {
		return nil, nil, err
	}
	s, err := Decode(data)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	found := s.Validate()
	if finding.Count(found, finding.Error) > 0 {
		return nil, found, fmt.Errorf("%s: the set is not valid: %s", name, found[0].What)
	}
	dir := filepath.Dir(name)
	plates := make([]plate.Plate, len(s.Parts))
	byFile := map[string]int{}
	for i, p := range s.Parts {
		if first, ok := byFile[p.File]; ok {
			plates[i] = plates[first]
			continue
		}
		byFile[p.File] = i
		if plates[i], err = readPlate(filepath.Join(dir, filepath.FromSlash(p.File))); err != nil {
			return nil, found, fmt.Errorf("%s: part %q: %w", name, p.Name, err)
		}
	}
	l, more, err := Of(ctx, s, plates)
	if err != nil {
		return nil, found, fmt.Errorf("%s: %w", name, err)
	}
	return l, append(found, more...), nil
}

// readFile reads a file that may have at most so many bytes.
func readFile(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	err = errors.Join(err, f.Close())
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("%s: the file has more than %d bytes, the most that is read", name, most)
	}
	return data, err
}

func readPlate(name string) (plate.Plate, error) {
	data, err := readFile(name, plate.MaxFileBytes)
	if err != nil {
		return plate.Plate{}, err
	}
	p, err := plate.Decode(data)
	if err != nil {
		return plate.Plate{}, fmt.Errorf("%s: %w", name, err)
	}
	if found := p.Validate(); finding.Count(found, finding.Error) > 0 {
		return plate.Plate{}, fmt.Errorf("%s: the plate is not valid: %s", name, found[0].What)
	}
	return p, nil
}

// Of makes a set of plates that are already in memory, one for each part in order; parts with the same File must have the
// same plate. It derives each plate's layout once.
func Of(ctx context.Context, s Set, plates []plate.Plate) (*Loaded, []finding.Finding, error) {
	if len(plates) != len(s.Parts) {
		return nil, nil, fmt.Errorf("set %q has %d parts, and %d plates are given", s.Name, len(s.Parts), len(plates))
	}
	l := &Loaded{Set: s, Plates: plates, Shapes: make([]Shape, len(plates))}
	byFile := map[string]int{}
	var found []finding.Finding
	for i, p := range s.Parts {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if first, ok := byFile[p.File]; ok {
			l.Shapes[i] = l.Shapes[first]
		} else {
			d, err := layout.DeriveCtx(ctx, plates[i])
			if err != nil {
				return nil, nil, fmt.Errorf("part %q: %w", p.Name, err)
			}
			byFile[p.File], l.Shapes[i] = i, Shape{d, p.File}
		}
		if p.Revision != "" && p.Revision != plate.Revision(plates[i]) {
			found = append(found, finding.Finding{
				Code: "set-plate-changed", Level: finding.Warning, FeatureName: p.Name,
				What: fmt.Sprintf("the plate of part %q has changed since it was taken into the set", p.Name),
				Why:  "the set records the revision of each plate, so that a change does not pass unseen", Source: "the set file",
				Fix: "look at the plate, then record its revision in the set",
			})
		}
	}
	return l, append(found, l.checkNodes()...), nil
}

// checkNodes reports references to features that the plates do not have.
func (l *Loaded) checkNodes() []finding.Finding {
	var found []finding.Finding
	for _, r := range refs(l.Set) {
		n, err := l.Node(r.ref, nil)
		what := ""
		switch {
		case err != nil:
			what = finding.Words(err)
		case !r.axis && !n.Adjusts:
			what = fmt.Sprintf("%s %q of part %q is not an adjuster; name a clocked ring, an eccentric or an adjusting slot", n.Kind, n.Name, r.ref.Part)
		default:
			continue
		}
		found = append(found, finding.Finding{
			Code: "set-feature", Level: finding.Error, FeatureName: r.ref.Part,
			What: fmt.Sprintf("%s of %s: %s", r.label, r.of, what),
			Why:  "the set refers to features of its plates by their ids", Source: "the set file",
		})
	}
	return found
}
