package report

import (
	"errors"
	"fmt"
	"testing"
)

// TestAbsentNamesNoPackage: what could not be computed is said without the packages that the error came through.
func TestAbsentNamesNoPackage(t *testing.T) {
	err := fmt.Errorf("fea: natural frequencies: %w", errors.New("sparse: no stiffness left"))
	if got, want := absent("x", "loads", "the table", "", err).What, "the table could not be computed: natural frequencies: no stiffness left"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
