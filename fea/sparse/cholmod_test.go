package sparse

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"
)

// besideSizes are the cells across the plates: 10⁴, 3·10⁴, 10⁵ and 2·10⁵ unknowns.
var besideSizes = []int{17, 30, 55, 78}

// rounds is how often everything is measured, in turns; the best counts.
const rounds = 7

// BenchmarkBesideCHOLMOD factors the same matrices here and by CHOLMOD, with one
// thread and with all, turn about. It prints the times and reports the ratios.
// See testdata/sparse/cholmod.sh.
func BenchmarkBesideCHOLMOD(b *testing.B) {
	program := compileCHOLMOD(b)
	for range b.N {
		var times, sizes []float64
		for _, nx := range besideSizes {
			m := plateModel(2*nx, nx, 0.5)
			n, best := beside(b, m, program)
			times, sizes = append(times, best), append(sizes, float64(n))
		}
		last := len(times) - 1
		b.ReportMetric(math.Log(times[last]/times[0])/math.Log(sizes[last]/sizes[0]), "exponent")
	}
}

// beside measures one model and returns its size and the best time on all
// processors, ms.
func beside(b *testing.B, m *model, program string) (int, float64) {
	start := time.Now()
	all, err := Analyse(b.Context(), m.Pattern, Options{})
	if err != nil {
		b.Fatal(err)
	}
	analysis := time.Since(start)
	one, err := Analyse(b.Context(), m.Pattern, Options{Workers: 1})
	if err != nil {
		b.Fatal(err)
	}
	file := writeMatrix(b, all, m)
	oneThread, allThreads := startCHOLMOD(b, program, file, 1), startCHOLMOD(b, program, file, runtime.NumCPU())
	defer oneThread.close()
	defer allThreads.close()
	best := [8]float64{}
	for i := range best {
		best[i] = math.Inf(1)
	}
	buffers := new(Buffers)
	for range rounds {
		for k, figures := range [4][2]float64{measure(b, one, m, buffers), measure(b, all, m, buffers), oneThread.measure(), allThreads.measure()} {
			best[2*k], best[2*k+1] = min(best[2*k], figures[0]), min(best[2*k+1], figures[1])
		}
	}
	n := all.Free()
	size := all.Size()
	b.Logf("%6d unknowns: factor %7.1f ms by 1 worker, %7.1f by %d | CHOLMOD %7.1f by 1 thread, %7.1f by %d | ratios to its one thread: %.2f, %.2f; to all: %.2f",
		n, best[0], best[2], runtime.GOMAXPROCS(0), best[4], best[6], runtime.NumCPU(), best[0]/best[4], best[2]/best[4], best[2]/best[6])
	b.Logf("%15s  analysis %.1f ms, CHOLMOD %.1f | solution %.2f ms (with its residual) by 1 worker, %.2f by all, CHOLMOD %.2f | entries %.1f M, CHOLMOD %.1f M | %.2f G operations, CHOLMOD %.2f G | %.0f MB",
		"", float64(analysis.Microseconds())/1e3, oneThread.analysis, best[1], best[3], best[5], float64(size.Entries)/1e6, oneThread.entries/1e6, size.Flops/1e9, oneThread.flops/1e9, float64(size.Bytes)/1e6)
	b.ReportMetric(best[2]/best[4], fmt.Sprintf("ratio/%dk", n/1000))
	return n, best[2]
}

// measure factors and solves once; ms.
func measure(b *testing.B, s *Symbolic, m *model, buffers *Buffers) [2]float64 {
	start := time.Now()
	f, err := s.Factor(b.Context(), m.element, nil, buffers)
	if err != nil {
		b.Fatal(err)
	}
	factor := time.Since(start)
	u, load := make([]float64, s.Unknowns()), make([]float64, s.Unknowns())
	for i := range load {
		load[i] = 1
	}
	start = time.Now()
	if _, err := f.SolveTo(b.Context(), [][]float64{u}, [][]float64{load}, nil); err != nil {
		b.Fatal(err)
	}
	solve := time.Since(start)
	f.Release()
	return [2]float64{float64(factor.Microseconds()) / 1e3, float64(solve.Microseconds()) / 1e3}
}

// compileCHOLMOD compiles the program that calls CHOLMOD.
func compileCHOLMOD(b *testing.B) string {
	if _, err := os.Stat("/usr/include/suitesparse/cholmod.h"); err != nil {
		b.Skip("CHOLMOD is not installed: run testdata/sparse/cholmod.sh, which installs it")
	}
	program := filepath.Join(b.TempDir(), "cholmod")
	out, err := exec.Command("cc", "-O2", "-o", program, "../../testdata/sparse/cholmod.c", "-lcholmod").CombinedOutput()
	if err != nil {
		b.Fatalf("cc: %v\n%s", err, out)
	}
	return program
}

// cholmod is a running program.
type cholmod struct {
	b                        *testing.B
	in                       io.WriteCloser
	out                      *bufio.Reader
	cmd                      *exec.Cmd
	analysis, entries, flops float64
}

func startCHOLMOD(b *testing.B, program, file string, threads int) *cholmod {
	c := &cholmod{b: b, cmd: exec.Command(program, file)}
	c.cmd.Env = append(os.Environ(), fmt.Sprintf("OMP_NUM_THREADS=%d", threads), fmt.Sprintf("OPENBLAS_NUM_THREADS=%d", threads))
	c.cmd.Stderr = os.Stderr
	var err error
	if c.in, err = c.cmd.StdinPipe(); err != nil {
		b.Fatal(err)
	}
	out, err := c.cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	c.out = bufio.NewReader(out)
	if err := c.cmd.Start(); err != nil {
		b.Fatal(err)
	}
	if _, err := fmt.Fscan(c.out, &c.analysis, &c.entries, &c.flops); err != nil {
		b.Fatal(err)
	}
	return c
}

func (c *cholmod) measure() (times [2]float64) {
	if _, err := fmt.Fprintln(c.in, "again"); err != nil {
		c.b.Fatal(err)
	}
	if _, err := fmt.Fscan(c.out, &times[0], &times[1]); err != nil {
		c.b.Fatal(err)
	}
	return times
}

func (c *cholmod) close() {
	c.in.Close()
	if err := c.cmd.Wait(); err != nil {
		c.b.Error(err)
	}
}

// writeMatrix writes the lower triangle of the free part, by columns.
func writeMatrix(b *testing.B, s *Symbolic, m *model) string {
	n := s.Free()
	number := make([]int32, s.Unknowns()) // in the caller's order, without held ones
	next := int32(0)
	for u, h := range s.num.held {
		if number[u] = -1; !h {
			number[u] = next
			next++
		}
	}
	columns := make([]map[int32]float64, n)
	for i := range columns {
		columns[i] = make(map[int32]float64)
	}
	for e, k := range m.matrices {
		list := s.elements[e].unknowns
		for i, a := range list {
			for j, c := range list {
				if r, q := number[a], number[c]; r >= q && q >= 0 {
					columns[q][r] += k[i*len(list)+j]
				}
			}
		}
	}
	starts, rows, values := make([]int32, n+1), []int32(nil), []float64(nil)
	for q, column := range columns {
		first := len(rows)
		for r := range column {
			rows = append(rows, r)
		}
		slices.Sort(rows[first:])
		for _, r := range rows[first:] {
			values = append(values, column[r])
		}
		starts[q+1] = int32(len(rows))
	}
	var buf bytes.Buffer
	for _, part := range []any{[2]int32{int32(n), int32(len(rows))}, starts, rows, values} {
		if err := binary.Write(&buf, binary.NativeEndian, part); err != nil {
			b.Fatal(err)
		}
	}
	file := filepath.Join(b.TempDir(), "matrix")
	if err := os.WriteFile(file, buf.Bytes(), 0o600); err != nil {
		b.Fatal(err)
	}
	return file
}
