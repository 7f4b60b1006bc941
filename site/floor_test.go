package site

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// BenchmarkFloor sets the whole site beside what it can't do without: the same Markdown through goldmark
// alone, and as many curves drawn by gonum/plot alone as the notebooks have, one goroutine each way round.
// Compare the two lines of one run; the aim is no more than 1.5 times the floor.
func BenchmarkFloor(b *testing.B) {
	const studies = 50
	folder := generate(b, studies)
	files, err := filepath.Glob(filepath.Join(folder, "*", "*.md"))
	if err != nil || len(files) < studies {
		b.Fatal(err, len(files))
	}
	b.Run("goldmark and plot alone", func(b *testing.B) {
		for b.Loop() {
			for _, name := range files {
				source, err := os.ReadFile(name)
				if err != nil {
					b.Fatal(err)
				}
				var out bytes.Buffer
				if err := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Footnote)).Convert(source, &out); err != nil {
					b.Fatal(err)
				}
				for range bytes.Count(source, []byte("Curves{")) {
					drawAlone(b, &out)
				}
			}
		}
	})
	b.Run("the whole site", func(b *testing.B) {
		dir := b.TempDir()
		n := 0
		for b.Loop() {
			n++
			o, err := Write(context.Background(), folder, filepath.Join(dir, fmt.Sprint(n)), nil)
			if err != nil || !o.Good() {
				b.Fatal(err, o.Faults)
			}
		}
	})
}

// drawAlone draws one curve of 33 points, axes and a legend, as SVG.
func drawAlone(b *testing.B, out *bytes.Buffer) {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = "Caster", "Shift (mm)", "Caster (°)"
	xy := make(plotter.XYs, 33)
	for i := range xy {
		xy[i] = plotter.XY{X: float64(i), Y: 2.5 + 0.1*float64(i) + 0.001*float64(i*i)}
	}
	line, err := plotter.NewLine(xy)
	if err != nil {
		b.Fatal(err)
	}
	p.Add(plotter.NewGrid(), line)
	p.Legend.Add("caster", line)
	canvas := vgsvg.New(18*vg.Centimeter, 11*vg.Centimeter)
	p.Draw(draw.New(canvas))
	if _, err := canvas.WriteTo(out); err != nil {
		b.Fatal(err)
	}
}
