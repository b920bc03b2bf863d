package set

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"unicode/utf8"

	"platewright/plate"
)

// The structs of version 1 of the file. Keys at their default are left out.
type (
	fileV1 struct {
		Format   string          `json:"format"`
		Version  int             `json:"version"`
		Name     string          `json:"name"`
		Note     string          `json:"note,omitempty"`
		Parts    []partV1        `json:"parts"`
		Cross    []crossMemberV1 `json:"cross_members,omitempty"`
		Wheels   []wheelV1       `json:"wheels,omitempty"`
		Ground   *groundV1       `json:"ground,omitempty"`
		Steering *steeringV1     `json:"steering,omitempty"`
		Settings []settingV1     `json:"settings,omitempty"`
		Sheet    *sheetV1        `json:"sheet,omitempty"`
	}
	partV1 struct {
		Name     string     `json:"name"`
		File     string     `json:"file"`
		Revision string     `json:"revision,omitempty"`
		Quantity int        `json:"quantity"`
		Hand     Hand       `json:"hand,omitempty"`
		Place    *placeV1   `json:"place,omitempty"`
		Carried  *carriedV1 `json:"carried,omitempty"`
	}
	placeV1 struct {
		X        float64 `json:"x_mm,omitempty"`
		Y        float64 `json:"y_mm,omitempty"`
		AngleDeg float64 `json:"angle_deg,omitempty"`
		Mirrored bool    `json:"mirrored,omitempty"`
	}
	carriedV1 struct {
		By      string   `json:"by"`
		Feature plate.ID `json:"feature"`
		Own     plate.ID `json:"own"`
	}
	refV1 struct {
		Part    string   `json:"part"`
		Feature plate.ID `json:"feature"`
	}
	crossMemberV1 struct {
		Name     string  `json:"name"`
		From     refV1   `json:"from"`
		To       refV1   `json:"to"`
		Length   float64 `json:"length_mm"`
		Diameter float64 `json:"diameter_mm"`
		Inside   float64 `json:"inside_diameter_mm,omitempty"`
	}
	wheelV1 struct {
		Name   string  `json:"name"`
		Role   Role    `json:"role"`
		Axle   refV1   `json:"axle"`
		Radius float64 `json:"loaded_radius_mm"`
	}
	groundV1 struct {
		Height float64 `json:"height_mm,omitempty"`
		Ride   *refV1  `json:"ride,omitempty"`
	}
	steeringV1 struct {
		Lower    refV1   `json:"lower"`
		Upper    *refV1  `json:"upper,omitempty"`
		AngleDeg float64 `json:"angle_deg,omitempty"`
	}
	settingV1 struct {
		Name   string    `json:"name"`
		Values []valueV1 `json:"values"`
	}
	valueV1 struct {
		Part     string   `json:"part"`
		Feature  plate.ID `json:"feature"`
		AngleDeg float64  `json:"angle_deg,omitempty"`
		Position float64  `json:"position_mm,omitempty"`
	}
	sheetV1 struct {
		Length float64 `json:"length_mm"`
		Width  float64 `json:"width_mm"`
		Edge   float64 `json:"edge_mm,omitempty"`
		Gap    float64 `json:"gap_mm,omitempty"`
		Grain  bool    `json:"grain,omitempty"`
	}
)

// Encode writes the document as canonical bytes of the newest version, with a newline at the end: equal documents give equal
// bytes, keys come in a fixed order, keys at their default and what a choice makes meaningless (the place of a part that is
// carried, the angle of an axis through two features) are left out. It is an error when a number is not finite or a text is
// not UTF-8.
func Encode(s Set) ([]byte, error) {
	if err := unwritable(s); err != nil {
		return nil, fmt.Errorf("encode set: %w", err)
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(fileOf(s)); err != nil {
		return nil, fmt.Errorf("encode set: %w", err)
	}
	if b.Len() > MaxFileBytes {
		return nil, fmt.Errorf("encode set: the document takes %d bytes; a set file has at most %d", b.Len(), MaxFileBytes)
	}
	return b.Bytes(), nil
}

// Revision is the SHA-256 of the canonical bytes in hex. It is empty for a document that cannot be encoded.
func Revision(s Set) string {
	data, err := Encode(s)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// unwritable is the first number that is not finite or text that is not UTF-8.
func unwritable(s Set) error {
	for _, n := range numbers(s) {
		if math.IsNaN(n.value) || math.IsInf(n.value, 0) {
			return fmt.Errorf("%s of %s is %v, not a number that a file can hold: set it again", n.label, n.of, n.value)
		}
	}
	texts := []string{s.Name, s.Note}
	for _, p := range s.Parts {
		texts = append(texts, p.Name, p.File, p.Revision, p.Carried.By)
	}
	for _, r := range refs(s) {
		texts = append(texts, r.of, r.ref.Part)
	}
	for _, v := range s.Settings {
		texts = append(texts, v.Name)
	}
	for _, t := range texts {
		if !utf8.ValidString(t) {
			return fmt.Errorf("the text %q is not UTF-8: write it again", t)
		}
	}
	return nil
}

func refOf(r Ref) refV1 { return refV1(r) }

func refOrNone(r Ref) *refV1 {
	if r == (Ref{}) {
		return nil
	}
	v := refV1(r)
	return &v
}

func fileOf(s Set) fileV1 {
	f := fileV1{Format: Format, Version: Version, Name: s.Name, Note: s.Note, Parts: []partV1{}}
	for _, p := range s.Parts {
		f.Parts = append(f.Parts, partOf(p))
	}
	for _, c := range s.CrossMembers {
		f.Cross = append(f.Cross, crossMemberV1{c.Name, refOf(c.From), refOf(c.To), c.Length + 0, c.Diameter + 0, c.Inside + 0})
	}
	for _, w := range s.Wheels {
		f.Wheels = append(f.Wheels, wheelV1{w.Name, w.Role, refOf(w.Axle), w.Radius + 0})
	}
	if s.Ground != (Ground{}) {
		f.Ground = &groundV1{s.Ground.Height + 0, refOrNone(s.Ground.Ride)}
	}
	if s.Steering.On() {
		f.Steering = &steeringV1{Lower: refOf(s.Steering.Lower), Upper: refOrNone(s.Steering.Upper)}
		if f.Steering.Upper == nil {
			f.Steering.AngleDeg = s.Steering.AngleDeg + 0
		}
	}
	for _, v := range s.Settings {
		f.Settings = append(f.Settings, settingOf(v))
	}
	if s.Sheet != (Sheet{}) {
		f.Sheet = &sheetV1{s.Sheet.Length + 0, s.Sheet.Width + 0, s.Sheet.Edge + 0, s.Sheet.Gap + 0, s.Sheet.Grain}
	}
	return f
}

func partOf(p Part) partV1 {
	f := partV1{Name: p.Name, File: p.File, Revision: p.Revision, Quantity: p.Quantity, Hand: p.Hand}
	place := placeV1{p.Place.X + 0, p.Place.Y + 0, p.Place.AngleDeg + 0, p.Place.Mirrored}
	if p.Carried.By != "" {
		f.Carried = &carriedV1{p.Carried.By, p.Carried.Feature, p.Carried.Own}
		place.X, place.Y = 0, 0
	}
	if place != (placeV1{}) {
		f.Place = &place
	}
	return f
}

func settingOf(s Setting) settingV1 {
	f := settingV1{Name: s.Name, Values: []valueV1{}}
	for _, v := range s.Values {
		f.Values = append(f.Values, valueV1{v.Adjuster.Part, v.Adjuster.Feature, v.AngleDeg + 0, v.Position + 0})
	}
	return f
}
