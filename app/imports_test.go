// Package app holds nothing itself; its test keeps the order of the project's packages.
package app

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport is the table of who may import whom inside the project: a statement of policy. Do not change this data to fix a
// build. A folder that ends in /... stands for everything below it. Test files may also import what their package's tests
// compare with (see testsMayImport).
//
// The order of the rows is the direction of data: document, layout, results, report, views. A package may import only rows
// above its own, which the test also checks, so that the table itself cannot hold a loop.
var mayImport = []struct {
	pkg     string
	imports []string
}{
	{"plate/finding", nil},
	{"plate/material", nil},
	{"plate/standard", nil},
	{"plate/geom", nil},
	{"plate/tree", nil},
	{"samples", nil},
	{"plate", []string{"plate/geom", "plate/standard", "plate/material", "plate/finding", "plate/tree"}},
	{"plate/layout", []string{"plate", "plate/geom", "plate/standard", "plate/finding"}},
	{"plate/mass", []string{"plate", "plate/layout", "plate/geom", "plate/material", "plate/standard"}},
	{"plate/section", []string{"plate", "plate/layout", "plate/geom", "plate/material"}},
	{"plate/shop", []string{"plate/material", "plate/tree"}},
	{"plate/route", []string{"plate", "plate/layout", "plate/shop", "plate/material", "plate/geom", "plate/mass", "plate/finding"}},
	{"plate/set", []string{"plate", "plate/layout", "plate/geom", "plate/material", "plate/finding", "plate/tree"}},
	{"plate/kinematics", []string{"plate", "plate/layout", "plate/geom", "plate/set", "plate/finding"}},
	{"plate/check", []string{"plate/kinematics", "plate", "plate/layout", "plate/shop", "plate/standard", "plate/material", "plate/geom", "plate/finding"}},
	{"plate/quote", []string{"plate", "plate/layout", "plate/shop", "plate/material", "plate/geom", "plate/mass", "plate/finding", "plate/route", "plate/set"}},
	{"fea/mesh", []string{"plate/geom"}},
	{"fea/sparse", []string{"plate/geom"}},
	{"fea/shell", []string{"plate/geom", "fea/mesh", "fea/sparse"}},
	{"fea/torsion", []string{"plate/geom", "plate/layout", "plate/section", "fea/mesh", "fea/sparse"}},
	{"fea/solid", []string{"plate/layout", "fea/mesh", "fea/sparse"}},
	{"fea", []string{
		"plate", "plate/layout", "plate/geom", "plate/set", "plate/section", "plate/material", "plate/finding", "plate/kinematics",
		"fea/mesh", "fea/sparse", "fea/shell", "fea/solid", "fea/torsion",
	}},
	{"export/report", []string{"plate", "plate/...", "fea", "fea/..."}},
	{"export/scene", []string{"fea", "fea/shell", "plate", "plate/layout", "plate/kinematics", "plate/set", "plate/route", "plate/geom", "plate/finding", "export/report"}},
	{"export/dxf", []string{"plate", "plate/layout", "plate/geom", "plate/finding", "export/report", "export/scene"}},
	{"export/table", []string{"plate", "plate/...", "export/report"}},
	{"app/session", []string{"plate", "plate/...", "fea", "fea/...", "export/..."}},
	{"app/verify", []string{"plate", "plate/...", "fea", "fea/...", "export/report"}},
	{"app/cli", []string{"plate", "plate/...", "fea", "fea/...", "export/...", "app/session", "app/verify", "samples"}},
	{"app/desktop", []string{"plate", "plate/...", "fea", "fea/...", "export/...", "app/session", "samples"}},
	{"cmd/platewright", []string{"app/cli"}},
	{"cmd/platewright-desktop", []string{"app/desktop"}},
}

// testsMayImport lists what test files of any package may import besides their package's own row: the embedded samples, and
// the layers between the document and what is tested.
var testsMayImport = []string{"samples", "plate", "plate/..."}

const module = "platewright/"

func TestImportsFollowTheTable(t *testing.T) {
	root := ".." // of the module, seen from this folder
	rows := map[string]int{}
	for i, r := range mayImport {
		rows[r.pkg] = i
	}
	seen := map[string]bool{}
	fset := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && len(d.Name()) > 2) {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(p, ".go") {
			return nil
		}
		rel, err := filepath.Rel(root, filepath.Dir(p))
		if err != nil {
			return err
		}
		pkg := filepath.ToSlash(rel)
		if pkg == "app" { // this test
			return nil
		}
		i, known := rows[pkg]
		if !known {
			t.Errorf("%s: package %s is not in the table", p, pkg)
			return nil
		}
		seen[pkg] = true
		return checkFile(t, fset, p, i, rows)
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range mayImport {
		if !seen[r.pkg] {
			t.Errorf("the table names %s, which does not exist", r.pkg)
		}
	}
}

func checkFile(t *testing.T, fset *token.FileSet, p string, row int, rows map[string]int) error {
	f, err := parser.ParseFile(fset, p, nil, parser.ImportsOnly)
	if err != nil {
		return err
	}
	pkg, isTest := mayImport[row].pkg, strings.HasSuffix(p, "_test.go")
	for _, spec := range f.Imports {
		imp, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			return err
		}
		at := fset.Position(spec.Pos())
		if dep, ours := strings.CutPrefix(imp, module); ours {
			allowed := matches(mayImport[row].imports, dep) || isTest && (dep == pkg || matches(testsMayImport, dep))
			if !allowed {
				t.Errorf("%s: %s may not import %s", at, pkg, dep)
			}
			if r, ok := rows[dep]; !isTest && ok && r >= row {
				t.Errorf("%s: %s stands above %s in the table", at, pkg, dep)
			}
		}
		if strings.HasPrefix(imp, "fyne.io/") && pkg != "app/desktop" && pkg != "cmd/platewright-desktop" {
			t.Errorf("%s: only app/desktop and its main may import %s", at, imp)
		}
		if (imp == "fyne.io/fyne/v2/app" || strings.Contains(imp, "fyne/v2/driver/gl") || strings.Contains(imp, "settings")) &&
			strings.HasPrefix(imp, "fyne.io/") && pkg != "cmd/platewright-desktop" {
			t.Errorf("%s: only cmd/platewright-desktop may import the driver %s", at, imp)
		}
		if imp == "C" {
			t.Errorf("%s: the project is pure Go; only the window's toolkit uses cgo", at)
		}
	}
	return nil
}

func matches(patterns []string, dep string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool {
		if below, ok := strings.CutSuffix(p, "/..."); ok {
			return strings.HasPrefix(dep, below+"/")
		}
		return p == dep
	})
}

// TestTopLevel holds the layout of the repository's top level, which tools and people rely on. Files that a user's own work
// left there are let be; folders are not.
func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir("..")
	if err != nil {
		t.Fatal(err)
	}
	var folders, files []string
	for _, e := range entries {
		switch {
		case strings.HasPrefix(e.Name(), "."):
		case e.IsDir():
			folders = append(folders, e.Name())
		default:
			files = append(files, e.Name())
		}
	}
	if want := []string{"app", "cmd", "export", "fea", "plate", "samples", "testdata"}; !slices.Equal(folders, want) {
		t.Errorf("top level holds the folders %q, want %q", folders, want)
	}
	for _, want := range []string{"DEVELOPERS.md", "README.md", "go.mod", "go.sum"} {
		if !slices.Contains(files, want) {
			t.Errorf("top level lacks %s", want)
		}
	}
	for _, name := range files {
		if strings.HasSuffix(name, ".go") || strings.HasSuffix(name, ".md") && name != "README.md" && name != "DEVELOPERS.md" {
			t.Errorf("top level holds %s, which is not in the agreed layout", name)
		}
	}
}
