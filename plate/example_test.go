package plate_test

import (
	"fmt"

	"platewright/plate"
)

// A document is changed by edits only; a refused edit says why and leaves everything as it was.
func ExampleEdit() {
	p := plate.New("Rocker")
	p, _ = plate.AddBore(plate.Bore{Name: "Pivot", X: 40, Y: 60, Diameter: 30, Boss: 8}).Apply(p)
	b := p.Bores[0]
	b.X = 45
	move := plate.SetBore(b)
	p, err := move.Apply(p)
	fmt.Println(move.Title(p), err, p.Bores[0].X)

	_, err = plate.AddPocket(plate.Pocket{Name: "Field", Side: plate.Top, Depth: 15, Radius: 4, AllRibs: true}).Apply(p)
	fmt.Println(err)
	// Output:
	// change of bore Pivot <nil> 45
	// new pocket refused: pocket "Field" is 15 mm deep, exactly the thickness of the plate (nothing is left as a floor); make it through
}

// Every problem of a file is reported at once, with its place.
func ExampleDecode() {
	_, err := plate.Decode([]byte(`{
  "format": "platewright-plate",
  "version": 1,
  "name": "Rocker",
  "next_id": "2",
  "stock": {"nominal_in": 0.5},
  "outline": {"kind": "bent"},
  "machining": {"work_zero_mm": [0, 0], "turn_axis": "x", "shop": "example"},
  "sheet": []
}`))
	fmt.Println(err)
	// Output:
	// plate file: 7 problems:
	// 5:14: next_id: found the text "2" where a number should be; write a plain number without quotes
	// 6:12: stock: the key "material" is missing
	// 6:12: stock: the key "nominal_mm" is missing
	// 6:12: stock: the key "blank" is missing
	// 6:13: stock.nominal_in: the key "nominal_in" is not known here; did you mean "nominal_mm"?
	// 7:23: outline.kind: found the text "bent" where one of "drawn", "wrapped", "contour" should be
	// 9:3: sheet: "sheet" is not in this version yet; remove it
}

// Fields gives the values of a feature that a person may change, with their limits.
func ExampleFields() {
	p := plate.New("Rocker")
	p, _ = plate.AddBore(plate.Bore{Name: "Pivot", X: 40, Y: 60, Diameter: 30}).Apply(p)
	for _, f := range plate.Fields(p, 1) {
		if f.Kind == plate.FieldNumber {
			fmt.Printf("%s = %g %s\n", f.Label, f.Number(p), f.Unit)
		}
	}
	// Output:
	// x = 40 mm
	// y = 60 mm
	// diameter = 30 mm
	// boss width = 0 mm
	// tolerance zone = 0 mm
	// keyway width = 0 mm
}
