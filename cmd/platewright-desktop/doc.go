// Command platewright-desktop is the window of Platewright. Its main needs the toolkit's driver, and with it cgo and the
// headers of the window system, so it stands behind the build tag "desktop": everything else builds and tests without.
//
//	go run -tags desktop ./cmd/platewright-desktop [FILE.plate]
//	go build -tags "desktop migrated_fynedo" ./cmd/platewright-desktop
package main
