package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"platewright/export/report"
	"platewright/fea"
)

// jsonFrame is what "stress" prints of a set with --json: the first keys of a report, and the frame.
type jsonFrame struct {
	Format         string   `json:"format"`
	ProgramVersion string   `json:"program_version"`
	Name           string   `json:"name"`
	Revision       string   `json:"revision"`
	Parts          []string `json:"parts"`
	Ends           []string `json:"ends"`
	Apart          float64  `json:"apart_mm"`
	Torsion        float64  `json:"torsion_n_m_per_deg"`
	Notes          []string `json:"notes"`
}

// isSet reports whether a file is a set by its name.
func isSet(file string) bool { return strings.EqualFold(filepath.Ext(file), ".set") }

// frame prints the torsional stiffness of a set's two plates that cross members tie.
func (c *stressCmd) frame(e *env) error {
	if c.Case != "" || c.Picture != "" || len(c.Between)+len(c.At)+c.Frequencies > 0 || c.Energy || c.Band || c.Solid || c.Deflection || c.Surface != "worst" {
		return usage("%s: of a set only the frame of two plates is analysed; analyse the plates one by one for load cases", label(c.File))
	}
	loaded, revision, err := e.assembly(c.File)
	if err != nil {
		return err
	}
	f, err := fea.FrameOf(e.ctx, loaded, fea.Options{})
	if e.ctx.Err() != nil {
		return e.ctx.Err()
	}
	if err != nil {
		return failed("%s: %v", label(c.File), err)
	}
	out := jsonFrame{
		Format: report.Format, ProgramVersion: report.Version(), Name: loaded.Name, Revision: revision,
		Parts: f.Parts[:], Ends: f.Ends[:], Apart: f.Apart, Torsion: f.Torsion, Notes: append([]string{}, f.Notes...),
	}
	if c.JSON {
		enc := json.NewEncoder(e.stdout)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		return enc.Encode(out)
	}
	_, err = io.WriteString(e.stdout, frameText(out))
	return err
}

// frameText is the frame for people, with the caution.
func frameText(f jsonFrame) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\nFrame of %q and %q, tied by cross members\n", f.Name, f.Parts[0], f.Parts[1])
	fmt.Fprintf(&b, "  torsional stiffness  %.3g N·m/°, between %q and %q, %.4g mm apart\n", f.Torsion, f.Ends[0], f.Ends[1], f.Apart)
	for _, n := range f.Notes {
		fmt.Fprintf(&b, "  %s\n", n)
	}
	b.WriteString("\n")
	for _, c := range report.Cautions() {
		b.WriteString(c + "\n")
	}
	return b.String()
}
