package desktop

import (
	"testing"
	"time"

	"fyne.io/fyne/v2/test"

	"platewright/plate/geom"
)

// One step of a drag on the largest sample, without the computations that run beside it: the edit with its validation and
// hashes, every part of the window brought up to date, and the picture of the plate painted.
func BenchmarkDragStep(b *testing.B) {
	h := benchWindow(b)
	bore := h.job.Doc().Bores[0]
	key := h.job.NewGesture()
	i := 0
	for b.Loop() {
		i++
		to := geom.Pt(bore.X+float64(i%7), bore.Y+float64(i%3))
		if err := h.tryEdit(grip{kind: gripCentre, id: bore.ID}.move(h.job.Doc(), to, false), key); err != nil {
			b.Fatal(err)
		}
		h.view.draw(900, 720)
	}
}

// The picture of the plate alone, 900 × 720 px.
func BenchmarkPaintView(b *testing.B) {
	h := benchWindow(b)
	b.ReportAllocs()
	for b.Loop() {
		h.view.draw(900, 720)
	}
}

// Everything but the picture, after a change of nothing.
func BenchmarkRefreshWindow(b *testing.B) {
	h := benchWindow(b)
	for b.Loop() {
		h.refresh()
	}
}

// From an edit to its mass and findings on the window's goroutine.
func BenchmarkEditToFrame(b *testing.B) {
	h := benchWindow(b)
	bore := h.job.Doc().Bores[0]
	i := 0
	for b.Loop() {
		i++
		if err := h.tryEdit(moveBore(bore.ID, bore.X+float64(i)/1000, bore.Y), ""); err != nil {
			b.Fatal(err)
		}
		for h.job.Mass().Stale {
			(<-h.queue)()
		}
	}
}

func benchWindow(b *testing.B) *harness {
	app := test.NewTempApp(b)
	h := &harness{queue: make(chan func(), 1000000)}
	w, err := New(app, app.NewWindow(""), Options{Sample: "cargo-trike-side-plate", Post: func(f func()) { h.queue <- f }, Scratch: b.TempDir()})
	if err != nil {
		b.Fatal(err)
	}
	h.Window = w
	b.Cleanup(func() { w.stop(); w.job.Wait() })
	for h.job.Busy() {
		select {
		case f := <-h.queue:
			f()
		case <-time.After(time.Minute):
			b.Fatal("busy for a minute")
		}
	}
	return h
}
