//go:build !desktop

package main

import (
	"fmt"
	"os"
)

// main stands in where the window was left out of the build, so that the package builds on a machine without the window
// system's headers, and says what to do.
func main() {
	fmt.Fprintln(os.Stderr, `platewright-desktop: built without its window; build it with: go build -tags "desktop migrated_fynedo" ./cmd/platewright-desktop`)
	os.Exit(1)
}
