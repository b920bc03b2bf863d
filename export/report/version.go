package report

import "runtime/debug"

// unreleased is the version of a program built outside a version-controlled tree, and of tests.
const unreleased = "0.1.0-unreleased"

// Version is the version of the running program: that of its module as the Go tool recorded it, or a constant where the
// tool recorded none. Results carry it in their key.
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Path != "platewright" || info.Main.Version == "" || info.Main.Version == "(devel)" {
		return unreleased
	}
	return info.Main.Version
}
