package dxf

// table writes one table of records.
func (t *tags) table(name string, handle uint64, n int, body func()) {
	t.str(0, "TABLE")
	t.str(2, name)
	t.ref(5, handle)
	t.ref(330, hNone)
	t.str(100, "AcDbSymbolTable")
	t.int(70, n)
	if name == "DIMSTYLE" {
		t.str(100, "AcDbDimStyleTable")
		t.int(71, n)
		t.ref(340, hStandardDimStyle)
	}
	body()
	t.str(0, "ENDTAB")
}

// record begins one record of a table.
func (t *tags) record(table string, handle, owner uint64, class, name string) {
	t.str(0, table)
	if table == "DIMSTYLE" {
		t.ref(105, handle)
	} else {
		t.ref(5, handle)
	}
	t.ref(330, owner)
	t.str(100, "AcDbSymbolTableRecord")
	t.str(100, class)
	t.str(2, name)
}

// tables writes the nine tables in the order of the reference.
func (t *tags) tables(d *drawing) {
	t.table("VPORT", hViewportTable, 1, func() { t.viewport(d) })
	t.table("LTYPE", hLinetypeTable, 3, func() {
		for _, n := range [...][2]string{{"ByBlock", ""}, {"ByLayer", ""}, {"Continuous", "Solid line"}} {
			t.record("LTYPE", t.next(), hLinetypeTable, "AcDbLinetypeTableRecord", n[0])
			t.int(70, 0)
			t.str(3, n[1])
			t.int(72, 65)
			t.int(73, 0)
			t.num(40, 0)
		}
	})
	t.table("LAYER", hLayerTable, 1+len(d.layers), func() {
		t.layer("0", 7)
		for _, l := range d.layers {
			t.layer(l.Name, l.Color)
		}
	})
	t.table("STYLE", hStyleTable, 1, t.style)
	t.table("VIEW", hViewTable, 0, func() {})
	t.table("UCS", hUCSTable, 0, func() {})
	t.table("APPID", hAppIDTable, 1, func() {
		t.record("APPID", t.next(), hAppIDTable, "AcDbRegAppTableRecord", "ACAD")
		t.int(70, 0)
	})
	t.table("DIMSTYLE", hDimStyleTable, 1, func() {
		t.record("DIMSTYLE", hStandardDimStyle, hDimStyleTable, "AcDbDimStyleTableRecord", "Standard")
		t.int(70, 0)
		t.ref(340, hStandardStyle)
	})
	t.table("BLOCK_RECORD", hBlockRecordTable, 2, func() {
		t.record("BLOCK_RECORD", hModelRecord, hBlockRecordTable, "AcDbBlockTableRecord", "*Model_Space")
		t.ref(340, hModelLayout)
		t.record("BLOCK_RECORD", hPaperRecord, hBlockRecordTable, "AcDbBlockTableRecord", "*Paper_Space")
		t.ref(340, hPaperLayout)
	})
}

// viewport makes readers open the file with the whole plate in view.
func (t *tags) viewport(d *drawing) {
	const aspect = 1.5
	c := d.box.Center()
	height := 1.1 * max(d.box.Height(), d.box.Width()/aspect)
	t.record("VPORT", t.next(), hViewportTable, "AcDbViewportTableRecord", "*Active")
	t.int(70, 0)
	t.point(10, 0, 0)
	t.point(11, 1, 1)
	t.point(12, c.X, c.Y)
	t.point(13, 0, 0)
	t.point(14, 10, 10)
	t.point(15, 10, 10)
	t.point(16, 0, 0, 1)
	t.point(17, 0, 0, 0)
	t.num(40, height)
	t.num(41, aspect)
	t.num(42, 50)
	t.num(43, 0)
	t.num(44, 0)
	t.num(50, 0)
	t.num(51, 0)
	t.int(71, 0)
	t.int(72, 1000)
	t.int(73, 1)
	t.int(74, 3)
	t.int(75, 0)
	t.int(76, 0)
	t.int(77, 0)
	t.int(78, 0)
}

func (t *tags) layer(name string, color int) {
	t.record("LAYER", t.next(), hLayerTable, "AcDbLayerTableRecord", name)
	t.int(70, 0)
	t.int(62, color)
	t.str(6, "Continuous")
	t.int(370, -3) // line weight by default
	t.ref(390, hPlotStyleNormal)
}

func (t *tags) style() {
	t.record("STYLE", hStandardStyle, hStyleTable, "AcDbTextStyleTableRecord", "Standard")
	t.int(70, 0)
	t.num(40, 0)
	t.num(41, 1)
	t.num(50, 0)
	t.int(71, 0)
	t.num(42, 2.5)
	t.str(3, "txt")
	t.str(4, "")
}
