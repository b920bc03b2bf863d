package dxf

// entry is one name of a dictionary.
type entry struct {
	name   string
	handle uint64
}

// dictionary writes a dictionary.
func (t *tags) dictionary(kind string, handle, owner uint64, entries ...entry) {
	t.object(kind, handle, owner)
	t.str(100, "AcDbDictionary")
	t.int(281, 1) // keep entries where a clone meets one of the same name
	for _, e := range entries {
		t.str(3, e.name)
		t.ref(350, e.handle)
	}
}

// objects writes the named object dictionary and all it leads to, each with its owner.
func (t *tags) objects(d *drawing) {
	t.dictionary("DICTIONARY", hRootDictionary, hNone,
		entry{"ACAD_GROUP", hGroupDictionary},
		entry{"ACAD_LAYOUT", hLayoutDictionary},
		entry{"ACAD_MLINESTYLE", hMlineDictionary},
		entry{"ACAD_PLOTSETTINGS", hPlotSettingsDictionary},
		entry{"ACAD_PLOTSTYLENAME", hPlotStyleDictionary})
	t.dictionary("DICTIONARY", hGroupDictionary, hRootDictionary)
	t.dictionary("DICTIONARY", hLayoutDictionary, hRootDictionary,
		entry{"Layout1", hPaperLayout}, entry{"Model", hModelLayout})
	t.dictionary("DICTIONARY", hMlineDictionary, hRootDictionary, entry{"Standard", hMlineStandard})
	t.dictionary("DICTIONARY", hPlotSettingsDictionary, hRootDictionary)
	t.dictionary("ACDBDICTIONARYWDFLT", hPlotStyleDictionary, hRootDictionary, entry{"Normal", hPlotStyleNormal})
	t.str(100, "AcDbDictionaryWithDefault")
	t.ref(340, hPlotStyleNormal)
	t.object("ACDBPLACEHOLDER", hPlotStyleNormal, hPlotStyleDictionary)
	t.mlineStyle()
	t.layout(d, "Model", hModelLayout, hModelRecord, 0)
	t.layout(d, "Layout1", hPaperLayout, hPaperRecord, 1)
}

func (t *tags) mlineStyle() {
	t.object("MLINESTYLE", hMlineStandard, hMlineDictionary)
	t.str(100, "AcDbMlineStyle")
	t.str(2, "Standard")
	t.int(70, 0)
	t.str(3, "")
	t.int(62, 256)
	t.num(51, 90)
	t.num(52, 90)
	t.int(71, 2)
	for _, offset := range [...]float64{0.5, -0.5} {
		t.num(49, offset)
		t.int(62, 256)
		t.str(6, "ByLayer")
	}
}

// layout writes the model or paper layout: plot settings of an A3 sheet, and the space that it shows.
func (t *tags) layout(d *drawing, name string, handle, record uint64, tab int) {
	t.object("LAYOUT", handle, hLayoutDictionary)
	t.str(100, "AcDbPlotSettings")
	t.str(1, "")
	t.str(2, "none_device")
	t.str(4, "ISO_A3_(420.00_x_297.00_MM)")
	t.str(6, "")
	for code := 40; code <= 43; code++ { // margins
		t.num(code, 7.5)
	}
	t.num(44, 420)
	t.num(45, 297)
	for _, code := range [...]int{46, 47, 48, 49, 140, 141} {
		t.num(code, 0)
	}
	t.num(142, 1) // scale 1 : 1
	t.num(143, 1)
	flags := 1024 * (1 - tab) // model type
	t.int(70, flags)
	t.int(72, 1) // millimetres
	t.int(73, 0)
	t.int(74, 5)
	t.str(7, "")
	t.int(75, 16)
	t.num(147, 1)
	t.point(148, 0)
	t.point(149, 0)
	t.str(100, "AcDbLayout")
	t.str(1, name)
	t.int(70, 1)
	t.int(71, tab)
	box := d.box
	t.point(10, box.Min.X, box.Min.Y)
	t.point(11, box.Max.X, box.Max.Y)
	t.point(12, 0, 0, 0)
	t.point(14, box.Min.X, box.Min.Y, 0)
	t.point(15, box.Max.X, box.Max.Y, 0)
	t.num(146, 0)
	t.point(13, 0, 0, 0)
	t.point(16, 1, 0, 0)
	t.point(17, 0, 1, 0)
	t.int(76, 0)
	t.ref(330, record)
}
