package cli_test

import (
	"encoding/json"
	"strings"
	"testing"
)

// TestCaseInJSON: --case chooses the case of the JSON too, and one that is not there is an error.
func TestCaseInJSON(t *testing.T) {
	const file = "../../samples/cargo-trike-axle-block.plate"
	code, stdout, stderr := run("", "stress", file, "--case", "Cornering", "--json")
	var got struct{ Cases []struct{ Name string } }
	if err := json.Unmarshal([]byte(stdout), &got); err != nil || code != 0 || len(got.Cases) != 1 || got.Cases[0].Name != "Cornering" {
		t.Errorf("code %d, cases %+v, %v, %s", code, got.Cases, err, stderr)
	}
	code, stdout, stderr = run("", "stress", file, "--case", "Nope", "--json")
	if code != 1 || stdout != "" || !strings.Contains(stderr, `no load case "Nope"`) {
		t.Errorf("a case that is not there: code %d, %q, %s", code, stdout, stderr)
	}
}

// TestOptionsThatDoNothing: an option that the command would not heed is refused, and a set is told from a plate.
func TestOptionsThatDoNothing(t *testing.T) {
	const set, file = "../../samples/cargo-trike.set", "../../samples/cargo-trike-side-plate.plate"
	for _, c := range []struct {
		args string
		code int
		want string
	}{
		{"stress " + set + " --solid", 2, "only the frame of two plates"},
		{"stress " + set + " --deflection", 2, "only the frame of two plates"},
		{"stress " + set + " --surface top", 2, "only the frame of two plates"},
		{"section " + file + " --stations 5", 2, "--stations belongs to --sweep"},
		{"mass " + set, 1, "it is a set"},
		{"check " + set, 1, "it is a set"},
	} {
		if code, _, stderr := run("", strings.Fields(c.args)...); code != c.code || !strings.Contains(stderr, c.want) {
			t.Errorf("%s: code %d, want %d; %s", c.args, code, c.code, stderr)
		}
	}
}

// TestBandThatIsAbsent: a case that cannot stand on hinges says so where its band would be; nobody is sent to check, which does
// not show it. Of a place that the other loads move against its own the stiffness is below zero, and softer on hinges too.
func TestBandThatIsAbsent(t *testing.T) {
	const file = "../../samples/field-robot-rocker.plate"
	code, stdout, stderr := run("", "stress", file, "--case", "Off a step", "--band")
	if code != 0 || stderr != "" || !strings.Contains(stdout, "not computed: with bores taken as hinged") {
		t.Errorf("code %d, %s, %s", code, stderr, stdout)
	}
	code, stdout, stderr = run("", "stress", file, "--case", "Kerb strike", "--band", "--json")
	var got struct {
		Cases []struct {
			Stiffness []struct{ Value float64 }
			Band      []struct{ Hinged, Fixed float64 }
		}
	}
	if err := json.Unmarshal([]byte(stdout), &got); err != nil || code != 0 || len(got.Cases) != 1 || len(got.Cases[0].Band) != 2 {
		t.Fatalf("code %d, %v, %+v, %s", code, err, got, stderr)
	}
	// All bores that hold the plate in this case are hinged, so that its own figures are those of the hinged end.
	for i, b := range got.Cases[0].Band {
		if own := got.Cases[0].Stiffness[i].Value; b.Hinged < own-1e-6*max(own, -own) || b.Hinged > own+1e-6*max(own, -own) {
			t.Errorf("hinged %v, the case as entered %v", b.Hinged, own)
		}
		if b.Fixed*b.Hinged <= 0 || max(b.Fixed, -b.Fixed) < max(b.Hinged, -b.Hinged) {
			t.Errorf("fixed %v, hinged %v", b.Fixed, b.Hinged)
		}
	}
	if b := got.Cases[0].Band[0]; b.Hinged >= 0 {
		t.Errorf("backwards %+v, want below zero", b)
	}
}
