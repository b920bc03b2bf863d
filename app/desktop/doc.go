// Package desktop is the window of Platewright: job sheet, plate view, particulars and ledger over one open job.
//
// It takes a fyne.App and a fyne.Window and never imports a driver, so that it builds and tests without cgo; the main with
// the driver is cmd/platewright-desktop. A view holds nothing that cannot be rebuilt: the document, its history and its
// results belong to app/session, and every change goes through one edit of package plate.
//
// Lengths are millimetres in plate coordinates (x right, y up) until they are shown; positions in the window are the
// toolkit's units (y down) and float32; the camera between the two is float64. Everything here runs on the window's
// goroutine; workers hand their results over through the session's post function.
//
//	win, err := desktop.New(app, window, desktop.Options{File: "side.plate"})
//	if err != nil { … }
//	win.ShowAndRun()
package desktop
