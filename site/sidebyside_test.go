//go:build unix

package site

import (
	"context"
	"encoding/csv"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/notebooks"
)

// sideBySide makes the collection that asks for what testdata/reference/sidebyside.py calculates: its one study, and the
// vehicle that the study uses, with its readings and without its links to other pages.
func sideBySide(t testing.TB) string {
	t.Helper()
	study, err := os.ReadFile("../testdata/reference/sidebyside.md")
	require.NoError(t, err)
	vehicle, err := notebooks.FS.ReadFile("vehicles/corrie.md")
	require.NoError(t, err)
	links := regexp.MustCompile(`\[([^\]]*)\]\([^)]*\)`)
	files := []string{"sidebyside.md", string(study), "vehicles/corrie.md", links.ReplaceAllString(string(vehicle), "$1")}
	readings, err := fs.Glob(notebooks.FS, "vehicles/corrie*.csv")
	require.NoError(t, err)
	for _, name := range readings {
		data, err := fs.ReadFile(notebooks.FS, name)
		require.NoError(t, err)
		files = append(files, name, string(data))
	}
	return makeFolder(t, files...)
}

// numbersOf reads a file of numbers, without what starts with a mark of comment.
func numbersOf(t testing.TB, in io.Reader, headings int) (rows [][]float64) {
	t.Helper()
	read := csv.NewReader(in)
	read.Comment = '#'
	all, err := read.ReadAll()
	require.NoError(t, err)
	for _, row := range all[headings:] {
		var numbers []float64
		for _, cell := range row {
			x, err := strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
			numbers = append(numbers, x)
		}
		rows = append(rows, numbers)
	}
	return rows
}

// The whole way from a notebook to a page's files comes to what an ordinary script with numpy and scipy does for the
// caster study: other kinematics, other searches, the same 33 casters.
func TestSideBySide(t *testing.T) {
	const (
		angle  = 0.01  // °, of the handwheel: where friction lets go is found to a thousandth of a newton, and rounded for the page
		trail  = 0.002 // mm
		force  = 0.002 // N
		torque = 0.002 // N·m
	)
	to := filepath.Join(t.TempDir(), "out")
	o, err := Write(context.Background(), sideBySide(t), to, nil)
	require.NoError(t, err)
	require.True(t, o.Good(), "%v", o.Faults)
	f, err := os.Open("../testdata/reference/sidebyside.csv")
	require.NoError(t, err)
	defer f.Close()
	want := numbersOf(t, f, 0)
	require.Len(t, want, 33)
	files := look(t, to)
	compared := 0
	for figure, columns := range []map[int]float64{{1: trail}, {2: force}, {3: torque, 4: torque, 5: torque, 6: torque, 7: torque}, {8: angle}} {
		name := "sidebyside-figure-" + strconv.Itoa(figure+1) + ".csv"
		got := numbersOf(t, strings.NewReader(strings.TrimPrefix(files[name], "\ufeff")), 1)
		require.Len(t, got, len(want), name)
		for i := range want {
			require.InDelta(t, want[i][0], got[i][0], 1e-9)
			require.Len(t, got[i], 1+len(columns))
			for column, near := range columns {
				at := column
				for figure := figure; figure > 0; figure-- { // how many columns the figures before took
					at -= []int{1, 1, 5}[figure-1]
				}
				assert.InDelta(t, want[i][column], got[i][at], near, "column %d at %g°", column, want[i][0])
				compared++
			}
		}
	}
	require.Equal(t, 33*8, compared)
}

// BenchmarkSideBySide times both in one run, from files to files, by what they take of the processors and by the clock.
func BenchmarkSideBySide(b *testing.B) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import scipy, matplotlib").Run(); err != nil {
		b.Skip("Debian's python3-scipy and python3-matplotlib are needed")
	}
	folder, to := sideBySide(b), b.TempDir()
	var ours, script, oursBy, scriptBy time.Duration
	rounds := 0
	for b.Loop() {
		rounds++
		start, before := time.Now(), spent(b, syscall.RUSAGE_CHILDREN)
		cmd := exec.Command(python, "sidebyside.py", to)
		cmd.Dir = "../testdata/reference"
		out, err := cmd.CombinedOutput()
		require.NoError(b, err, "%s", out)
		script += spent(b, syscall.RUSAGE_CHILDREN) - before
		scriptBy += time.Since(start)

		start, before = time.Now(), spent(b, syscall.RUSAGE_SELF)
		const times = 20 // enough to be measured
		for i := range times {
			o, err := Write(context.Background(), folder, filepath.Join(to, "site"+strconv.Itoa(rounds*times+i)), nil)
			require.NoError(b, err)
			require.True(b, o.Good())
		}
		ours += (spent(b, syscall.RUSAGE_SELF) - before) / times
		oursBy += time.Since(start) / times
	}
	b.ReportMetric(script.Seconds()/float64(rounds), "s-script")
	b.ReportMetric(ours.Seconds()/float64(rounds)*1e3, "ms-ours")
	b.ReportMetric(script.Seconds()/ours.Seconds(), "times-by-processor")
	b.ReportMetric(scriptBy.Seconds()/oursBy.Seconds(), "times-by-clock")
}
