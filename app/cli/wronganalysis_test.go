package cli_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
)

// TestWrongAnalyses: documents that cannot be analysed end with an error that names the place, and print no figure of the case.
func TestWrongAnalyses(t *testing.T) {
	sound, err := os.ReadFile("../../samples/field-robot-rocker.plate")
	if err != nil {
		t.Fatal(err)
	}
	type doc = map[string]any
	list := func(d doc, key string) []any { return d[key].([]any) }
	item := func(d doc, key string, i int) doc { return list(d, key)[i].(doc) }
	material := func(d doc) doc { return d["stock"].(doc)["material"].(doc) }
	alone := func(d doc, load ...doc) { // the first case has these loads alone
		d["next_id"] = 1000
		var of []any
		for i, l := range load {
			l["id"] = 900 + i
			d["loads"] = append(list(d, "loads"), l)
			of = append(of, doc{"load": 900 + i, "factor": 1})
		}
		item(d, "load_cases", 0)["loads"] = of
	}
	area := func(name string, at ...[2]float64) doc {
		var bounds []any
		for _, p := range at {
			bounds = append(bounds, doc{"x_mm": p[0], "y_mm": p[1]})
		}
		return doc{"name": name, "kind": "area", "on": doc{"side": "top", "bounds": bounds}, "force_n": []float64{0, 0, -5}}
	}
	turn := func(name string, z float64) doc {
		return doc{"name": name, "kind": "moment", "on": doc{"feature": 2}, "moment_n_mm": []float64{0, 0, z}}
	}
	for _, c := range []struct {
		name  string
		spoil func(d doc)
		swap  [2]string // in the text, for what JSON libraries do not write
		want  []string
	}{
		{"load on nothing", func(d doc) { item(d, "loads", 0)["on"] = doc{"feature": 777} }, [2]string{}, []string{`load "Front wheel, upwards"`, "777"}},
		{"load on air", func(d doc) {
			alone(d, area("Air", [2]float64{900, 900}, [2]float64{910, 900}, [2]float64{910, 910}))
		}, [2]string{}, []string{`"Off a step"`, `load "Air"`, "no metal"}},
		{"area that crosses itself", func(d doc) {
			alone(d, area("Bow tie", [2]float64{-20, 30}, [2]float64{20, 60}, [2]float64{20, 30}, [2]float64{-20, 60}))
		}, [2]string{}, []string{`load "Bow tie"`, "cross"}},
		{"no support", func(d doc) {
			delete(d, "supports")
			for i := range list(d, "load_cases") {
				delete(item(d, "load_cases", i), "supports")
			}
		}, [2]string{}, []string{`load case "Off a step" has no support`}},
		{"support on a bore that was removed", func(d doc) { d["bores"] = list(d, "bores")[1:] }, [2]string{}, []string{`support "Pivot held"`, "feature 1"}},
		{"modulus zero", func(d doc) { material(d)["youngs_modulus_mpa"] = 0 }, [2]string{}, []string{"Young's modulus of the plate is 0 MPa"}},
		{"modulus next to nothing", func(d doc) { material(d)["youngs_modulus_mpa"] = 1e-300 }, [2]string{}, []string{"Young's modulus of the plate is 1e-300 MPa"}},
		{"Poisson's ratio of water", func(d doc) { material(d)["poisson_ratio"] = 0.5 }, [2]string{}, []string{"Poisson's ratio of the plate is 0.5"}},
		{"loads that cancel", func(d doc) { alone(d, turn("Left", 1000), turn("Right", -1000)) }, [2]string{}, []string{`load case "Off a step"`, "cancel"}},
		{"one load twice", func(d doc) {
			item(d, "load_cases", 0)["loads"] = []any{doc{"load": 20, "factor": 1}, doc{"load": 20, "factor": -1}}
		}, [2]string{}, []string{`"Off a step" names the load 20 twice`}},
		{"NaN", nil, [2]string{`"force_n": [0, 1000, 0]`, `"force_n": [0, NaN, 0]`}, []string{"loads[0].force_n[1]: NaN"}},
		{"number without end", nil, [2]string{`"force_n": [0, 1000, 0]`, `"force_n": [0, 1e999, 0]`}, []string{"loads[0].force_n[1]", "out of range"}},
		{"a hundred thousand cases", func(d doc) {
			var cs []any
			for i := range 100_000 {
				cs = append(cs, doc{"id": 1000 + i, "name": fmt.Sprint("C", i), "kind": "limit", "factor": 1, "origin": doc{"kind": "assumed"}, "loads": []any{doc{"load": 20, "factor": 1}}})
			}
			d["load_cases"], d["next_id"] = cs, 300_000
		}, [2]string{}, []string{"load_cases: more than 20000 entries"}},
		{"temperature", func(d doc) { alone(d, doc{"name": "Hot", "kind": "temperature", "temperature_k": 1e9}) }, [2]string{}, []string{`load "Hot" is 1e+09 K`}},
		{"temperature by its factor", func(d doc) {
			alone(d, doc{"name": "Hot", "kind": "temperature", "temperature_k": 500})
			item(d, "load_cases", 0)["loads"].([]any)[0].(doc)["factor"] = 900
		}, [2]string{}, []string{`load case "Off a step" add up to 450000 K`}},
		{"acceleration of a plate without weight", func(d doc) {
			alone(d, doc{"name": "Bump", "kind": "acceleration", "acceleration_g": []float64{0, 0, -3}})
			material(d)["density_kg_m3"] = 0
		}, [2]string{}, []string{"the density of the plate is 0"}},
		{"case that names itself", func(d doc) {
			item(d, "load_cases", 0)["loads"] = []any{doc{"load": item(d, "load_cases", 0)["id"], "factor": 1}}
		}, [2]string{}, []string{`load 1 of load case "Off a step" is load case "Off a step", not a load`}},
		{"mirrored case of a mirrored case", func(d doc) {
			first, second := item(d, "load_cases", 0), item(d, "load_cases", 1)
			first["mirrored"], second["mirrored"] = true, true
			second["loads"] = []any{doc{"load": first["id"], "factor": 1}}
		}, [2]string{}, []string{`load 1 of load case "Kerb strike" is load case "Off a step", not a load`}},
		{"mirror of a name", func(d doc) { item(d, "load_cases", 0)["mirrored"] = 26 }, [2]string{}, []string{"load_cases[0].mirrored: found 26"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := string(sound)
			if c.spoil != nil {
				d := doc{}
				if err := json.Unmarshal(sound, &d); err != nil {
					t.Fatal(err)
				}
				c.spoil(d)
				data, err := json.Marshal(d)
				if err != nil {
					t.Fatal(err)
				}
				text = string(data)
			} else if text = strings.Replace(text, c.swap[0], c.swap[1], 1); text == string(sound) {
				t.Fatalf("no %s in the sample", c.swap[0])
			}
			code, stdout, stderr := run(text, "stress", "-", "--case", "Off a step")
			if code != 1 || strings.Contains(stdout, "reserve on proof stress") {
				t.Errorf("code %d, %s", code, stdout)
			}
			for _, w := range c.want {
				if !strings.Contains(stderr, w) {
					t.Errorf("no %q in %s", w, stderr)
				}
			}
			if strings.Contains(stderr, "goroutine ") || strings.Contains(stderr, ": fea: ") {
				t.Errorf("no words for a user: %s", stderr)
			}
		})
	}
}
