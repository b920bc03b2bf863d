package scene_test

import (
	"fmt"

	"platewright/export/scene"
	"platewright/plate"
	"platewright/plate/layout"
)

// A painter draws on any canvas; the recorder shows what it drew, here the scale bar of a plate that is fitted into
// 400 × 300 px.
func ExamplePainter_Paint() {
	l, err := layout.Derive(plate.New("Gusset"))
	if err != nil {
		fmt.Println(err)
		return
	}
	var p scene.Painter
	r := scene.NewRecorder(400, 300)
	cam := scene.Fit(l, 400, 300, plate.Top)
	p.Paint(r, l, cam, scene.Options{Theme: scene.Light(), Show: scene.Scale})
	lines := r.Lines()
	fmt.Printf("%.2f px per mm\n%s", cam.Scale, lines[len(lines)-len("text middle 12 #5E6B70 309.67,271.00 \"100 mm\"\n"):])
	// Output:
	// 1.33 px per mm
	// text middle 12 #5E6B70 309.67,271.00 "100 mm"
}
