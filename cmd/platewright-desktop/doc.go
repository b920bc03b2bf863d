// Command platewright-desktop is the window of Platewright. Its main needs the toolkit's driver, and with it cgo and the
// headers of the window system, so it stands behind the build tag "desktop": without the tag the package builds anywhere,
// into a program that says how to build the window.
//
//	go run -tags desktop ./cmd/platewright-desktop [-sample NAME] [FILE.plate]
//	go build -tags "desktop migrated_fynedo" ./cmd/platewright-desktop
package main
