package shop

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"platewright/plate/tree"
)

//go:embed example.json
var exampleJSON []byte

// The format of profiles.
const (
	format  = "platewright-shop"
	version = 1
	// maxBytes bounds what Parse reads: the example is 50 kB.
	maxBytes = 4 << 20
	maxTools = 2000
	// maxDoubled bounds the doubled keys that are told.
	maxDoubled = 50
)

// limits bound the text of a profile; the example is 4 deep.
var limits = tree.Limits{Bytes: maxBytes, Depth: 16, Entries: 20_000, Keys: 200, Values: 200_000}

// Example returns the embedded profile. It is made up and marked so.
func Example() (Profile, error) { return Parse(exampleJSON) }

// Names lists the embedded profiles.
func Names() []string { return []string{"example"} }

// ByName returns the embedded profile of that name; the empty name is the example.
func ByName(name string) (Profile, error) {
	if name == "" || name == "example" {
		return Example()
	}
	return Profile{}, fmt.Errorf("shop: there is no profile %q; this version knows %s", name, strings.Join(Names(), ", "))
}

// Problem is one thing that is wrong in a profile.
type Problem struct {
	Path string // JSON path, e.g. tools[3].diameter_mm
	Line int    // of the file, counted from 1; 0 where there is no file
	What string
}

// ProfileError lists everything that is wrong with a profile.
type ProfileError struct{ Problems []Problem }

// Error names the first problems, one after the other.
func (e *ProfileError) Error() string {
	const show = 5
	var b strings.Builder
	b.WriteString("shop: profile not usable")
	for i, p := range e.Problems {
		if i == show {
			fmt.Fprintf(&b, "; and %d more", len(e.Problems)-show)
			break
		}
		b.WriteString("; ")
		if p.Line > 0 {
			fmt.Fprintf(&b, "line %d: ", p.Line)
		}
		fmt.Fprintf(&b, "%s: %s", p.Path, p.What)
	}
	return b.String()
}

// Load reads a .shop file: that is Parse, under the name of what the user does.
func Load(data []byte) (Profile, error) { return Parse(data) }

// Save writes a profile as a .shop file: indented JSON with the keys in one order, so that equal profiles give equal bytes. A
// profile that Load would refuse is not written; the error is a *ProfileError.
func Save(p Profile) ([]byte, error) {
	p.Format, p.Version = format, version
	if ps := p.Validate(); len(ps) > 0 {
		return nil, &ProfileError{ps}
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(p); err != nil {
		return nil, fmt.Errorf("shop: profile not written: %w", err)
	}
	return b.Bytes(), nil
}

// Parse reads a profile strictly: unknown, doubled, missing, misspelt and null keys, wrong types, bad UTF-8 and trailing text are
// errors, and so is everything that Validate reports. The error is a *ProfileError with path and line of each.
func Parse(data []byte) (Profile, error) {
	root, fault := tree.Parse(data, "shop profile", limits)
	if fault != nil {
		return Profile{}, &ProfileError{[]Problem{{cmp.Or(fault.Path, "$"), fault.Line, fault.What}}}
	}
	p, ps := decode(data, &root)
	if len(ps) == 0 {
		ps = p.Validate()
	}
	if len(ps) == 0 {
		return p, nil
	}
	lines := linesOf(&root)
	for i := range ps {
		if ps[i].Line == 0 {
			ps[i].Line = lines.of(ps[i].Path)
		}
	}
	return Profile{}, &ProfileError{ps}
}

// decode turns the text into a profile whose figures have not been looked at.
func decode(data []byte, root *tree.Node) (Profile, []Problem) {
	fail := func(path string, line int, what string) (Profile, []Problem) {
		return Profile{}, []Problem{{path, line, what}}
	}
	if root.Kind != tree.Object {
		return fail("$", 0, fmt.Sprintf("is %s, not an object", root.Show()))
	}
	if n := root.Get("format"); n == nil || n.Kind != tree.String || n.Text != format {
		return fail("format", 0, fmt.Sprintf("is %s, want %q", showOr(n, "missing"), format))
	}
	n := root.Get("version")
	switch v, err := strconv.Atoi(textOf(n)); {
	case err == nil && v > version:
		return fail("version", 0, fmt.Sprintf("is %d, and this program reads up to %d; the file may come from a newer one", v, version))
	case err != nil || v != version || n.Kind != tree.Number:
		return fail("version", 0, fmt.Sprintf("is %s; this program reads %d", showOr(n, "missing"), version))
	}
	if ps := doubled(nil, root, nil); len(ps) > 0 {
		return Profile{}, ps
	}
	var p Profile
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		return fail("$", lineOf(data, err), wordsOf(err))
	}
	again, err := json.Marshal(p)
	if err != nil {
		return fail("$", 0, err.Error())
	}
	return p, compareTrees(data, again)
}

func textOf(n *tree.Node) string {
	if n == nil {
		return ""
	}
	return n.Text
}

// showOr describes a value that may be absent.
func showOr(n *tree.Node, absent string) string {
	if n == nil {
		return absent
	}
	return n.Show()
}

// doubled finds keys that stand twice in one object.
func doubled(at *tree.Place, n *tree.Node, ps []Problem) []Problem {
	seen := map[string]bool{}
	for i := range n.Items {
		if len(ps) == maxDoubled {
			return ps
		}
		here := at.Item(i)
		if n.Kind == tree.Object {
			k := n.Keys[i]
			here = at.Key(k.Text)
			if seen[k.Text] {
				ps = append(ps, Problem{here.String(), int(k.Line), "given twice"})
			}
			seen[k.Text] = true
		}
		ps = doubled(here, &n.Items[i], ps)
	}
	return ps
}

// Hash is the SHA-256 of the profile's canonical bytes, hex. Equal profiles have equal hashes however their files are laid out.
func (p Profile) Hash() string {
	b, err := json.Marshal(p)
	if err != nil {
		panic("shop: a profile with NaN or Inf has no hash") // Parse lets none through
	}
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// compareTrees lists where the keys of the text read and of the profile written again differ: missing keys, keys in another
// case, null.
func compareTrees(read, written []byte) []Problem {
	var a, b any
	if err := json.Unmarshal(read, &a); err != nil {
		return []Problem{{"$", 0, err.Error()}}
	}
	if err := json.Unmarshal(written, &b); err != nil {
		return []Problem{{"$", 0, err.Error()}}
	}
	var ps []Problem
	compareNodes("", a, b, &ps)
	return ps
}

func compareNodes(path string, a, b any, ps *[]Problem) {
	add := func(p, what string) { *ps = append(*ps, Problem{strings.TrimPrefix(p, "."), 0, what}) }
	if a == nil && b != nil {
		add(path, "is null; give a value")
		return
	}
	switch w := b.(type) {
	case map[string]any:
		r, ok := a.(map[string]any)
		if !ok {
			add(path, "is not an object")
			return
		}
		for _, k := range sortedKeys(w) {
			v, ok := r[k]
			if !ok {
				add(path+"."+k, "missing")
				continue
			}
			compareNodes(path+"."+k, v, w[k], ps)
		}
		for _, k := range sortedKeys(r) {
			if _, ok := w[k]; !ok && r[k] == nil {
				add(path+"."+k, "is null; leave the key out")
			} else if !ok && !isZero(r[k]) {
				add(path+"."+k, "unknown key (keys are in lower case)")
			}
		}
	case []any:
		r, ok := a.([]any)
		if !ok || len(r) != len(w) {
			add(path, fmt.Sprintf("is not a list of %d", len(w)))
			return
		}
		for i := range w {
			compareNodes(path+"["+strconv.Itoa(i)+"]", r[i], w[i], ps)
		}
	}
}

// isZero tells an optional key that was given as zero, which the writer leaves out.
func isZero(v any) bool {
	switch v := v.(type) {
	case []any:
		return len(v) == 0
	case map[string]any:
		for _, x := range v {
			if !isZero(x) {
				return false
			}
		}
		return true
	}
	return v == 0.0 || v == "" || v == false
}

func sortedKeys(m map[string]any) []string {
	ks := make([]string, 0, len(m))
	for k := range m {
		ks = append(ks, k)
	}
	slices.Sort(ks)
	return ks
}
