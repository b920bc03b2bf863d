package route

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const samplesDir = "../../samples"

func sampleNames(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(samplesDir, "*.plate"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no samples: %v", err)
	}
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(filepath.Base(f), ".plate"))
	}
	return names
}

func sampleBytes(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(samplesDir, name+".plate"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}
