package dxf

// The frame that R2000 asks for round the contours: header, classes, nine tables, two blocks, the dictionaries. Names and
// codes follow the published DXF reference for that release; only what the reference requires is written.

// file writes everything. The header holds the first free handle, so that handles are counted beforehand: each contour takes
// one, and so do the other objects without a fixed handle.
func (t *tags) file(d *drawing) {
	frame := frameHandles(d)
	t.section("HEADER", func() { t.header(d, lastFixed+1+uint64(frame+len(d.shapes))) })
	t.section("CLASSES", t.classes)
	t.section("TABLES", func() { t.tables(d) })
	t.section("BLOCKS", func() {
		t.block("*Model_Space", hModelRecord, false)
		t.block("*Paper_Space", hPaperRecord, true)
	})
	t.section("ENTITIES", func() {
		for i := range d.shapes {
			t.shape(d, &d.shapes[i])
		}
	})
	t.section("OBJECTS", func() { t.objects(d) })
	t.str(0, "EOF")
}

// frameHandles is how many handles the tables and blocks take from next.
func frameHandles(d *drawing) int {
	const viewport, linetypes, layerZero, appID, blocks = 1, 3, 1, 1, 4
	return viewport + linetypes + layerZero + len(d.layers) + appID + blocks
}

func (t *tags) header(d *drawing, seed uint64) {
	t.variable("$ACADVER", func() { t.str(1, "AC1015") })
	t.variable("$DWGCODEPAGE", func() { t.str(3, "ANSI_1252") })
	t.variable("$INSBASE", func() { t.point(10, 0, 0, 0) })
	t.variable("$EXTMIN", func() { t.point(10, d.box.Min.X, d.box.Min.Y, 0) })
	t.variable("$EXTMAX", func() { t.point(10, d.box.Max.X, d.box.Max.Y, 0) })
	t.variable("$LIMMIN", func() { t.point(10, d.box.Min.X, d.box.Min.Y) })
	t.variable("$LIMMAX", func() { t.point(10, d.box.Max.X, d.box.Max.Y) })
	t.variable("$LTSCALE", func() { t.num(40, 1) })
	t.variable("$TEXTSTYLE", func() { t.str(7, "Standard") })
	t.variable("$CLAYER", func() { t.str(8, "0") })
	t.variable("$CELTYPE", func() { t.str(6, "ByLayer") })
	t.variable("$CECOLOR", func() { t.int(62, 256) })
	t.variable("$DIMSTYLE", func() { t.str(2, "Standard") })
	t.variable("$LUNITS", func() { t.int(70, 2) })
	t.variable("$LUPREC", func() { t.int(70, 6) })
	t.variable("$AUNITS", func() { t.int(70, 0) })
	t.variable("$HANDSEED", func() { t.ref(5, seed) })
	t.variable("$TILEMODE", func() { t.int(70, 1) })
	t.variable("$MEASUREMENT", func() { t.int(70, 1) }) // metric
	t.variable("$INSUNITS", func() { t.int(70, 4) })    // millimetres
}

func (t *tags) classes() {
	for _, c := range [...][2]string{
		{"ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault"},
		{"ACDBPLACEHOLDER", "AcDbPlaceHolder"},
		{"LAYOUT", "AcDbLayout"},
	} {
		t.str(0, "CLASS")
		t.str(1, c[0])
		t.str(2, c[1])
		t.str(3, "ObjectDBX Classes")
		t.int(90, 0)
		t.int(280, 0)
		t.int(281, 0)
	}
}

func (t *tags) shape(d *drawing, s *shape) {
	kind, class := "LWPOLYLINE", "AcDbPolyline"
	if s.circle {
		kind, class = "CIRCLE", "AcDbCircle"
	}
	t.object(kind, t.next(), hModelRecord)
	t.str(100, "AcDbEntity")
	t.str(8, d.layers[s.layer].Name)
	t.str(100, class)
	if s.circle {
		t.point(10, s.center.X, s.center.Y, 0)
		t.num(40, s.radius)
		return
	}
	t.int(90, len(s.vertices))
	t.int(70, 1) // closed
	t.num(43, 0)
	for _, v := range s.vertices {
		t.point(10, v.x, v.y)
		if v.bulge != 0 {
			t.num(42, v.bulge)
		}
	}
}

func (t *tags) block(name string, record uint64, paper bool) {
	begin := func(kind, class string) {
		t.object(kind, t.next(), record)
		t.str(100, "AcDbEntity")
		if paper {
			t.int(67, 1)
		}
		t.str(8, "0")
		t.str(100, class)
	}
	begin("BLOCK", "AcDbBlockBegin")
	t.str(2, name)
	t.int(70, 0)
	t.point(10, 0, 0, 0)
	t.str(3, name)
	t.str(1, "")
	begin("ENDBLK", "AcDbBlockEnd")
}
