package plate

// String is the kind as it stands in the file: Drawn is "drawn".
func (k OutlineKind) String() string { return orDefault(string(k), "drawn") }

// String is the kind as it stands in the file: Isogrid is "isogrid".
func (k GridKind) String() string { return orDefault(string(k), "isogrid") }

// String is the kind as it stands in the file: FieldPocket is "field".
func (k PocketKind) String() string { return orDefault(string(k), "field") }

func orDefault(s, def string) string {
	if s == "" {
		return def
	}
	return s
}
