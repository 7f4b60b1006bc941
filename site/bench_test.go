//go:build unix

package site

import (
	"bytes"
	"context"
	"fmt"
	"image/color"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/palette"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"turnplate/site/build"
	"turnplate/site/figure"
	"turnplate/site/parallel"
	"turnplate/site/reference"
	"turnplate/site/share"
)

// generate makes a collection of so many studies, three figures each, that share one vehicle.
func generate(t testing.TB, studies int) string {
	folder := filepath.Join(t.TempDir(), "notes")
	_, err := Begin(folder)
	require.NoError(t, err)
	for i := range studies {
		text := fmt.Sprintf("---\ntitle: Study %d\norder: %d\n---\n\n```go params\ntruck := use(\"vehicles/truck\").truck\nshift := span(0*mm, %d*mm, 33)\ncar := truck\ncar.Front.Adjust.UpperShift = shift\n"+
			"set := Alignment{Vehicle: car}\npark := ParkingEffort{Vehicle: car}\nCurves{Title: \"Caster\", X: shift, Y: set.Caster}\nCurves{Title: \"Effort\", X: set.Caster, Y: park.RimForce}\n"+
			"Table{Rows: shift, Columns: []Column{{\"Trail\", set.Trail}, {\"Camber\", set.Camber}}}\n```\n\nFrom {set.Caster.Min() in deg} to {set.Caster.Max() in deg}.\n", i, i, 20+i%20)
		name := filepath.Join(folder, "studies", fmt.Sprintf("s%d.md", i))
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
	return folder
}

func writeAgain(b *testing.B, folder string) {
	dir := b.TempDir()
	n := 0
	for b.Loop() {
		n++
		o, err := Write(context.Background(), folder, filepath.Join(dir, fmt.Sprint(n)), nil)
		require.NoError(b, err)
		require.True(b, o.Good())
	}
}

// BenchmarkDemo writes the demo's whole site.
func BenchmarkDemo(b *testing.B) { writeAgain(b, "") }

// BenchmarkGenerated writes sites of growing size. The processor time for each notebook should stay the same, but
// for what every site has: the glossary and the pages on models.
func BenchmarkGenerated(b *testing.B) {
	for _, n := range []int{10, 100, 200, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			folder := generate(b, n)
			used := processorTime(b, func() { writeAgain(b, folder) })
			b.ReportMetric(float64(used.Microseconds())/float64(b.N*n), "processor-µs/notebook")
		})
	}
}

// BenchmarkFloor sets a whole site beside what it can't do without. The floor is, on as many processors:
//
//   - each notebook, and each page on a model, through goldmark alone, with a table's cells as a Markdown table;
//   - each plot once, every position of a dial a plot of its own, with the same points, bands, levels, axes and
//     legend, drawn by gonum/plot alone and written by its own SVG writer into its page;
//   - the first plot of each page once more, by gonum/plot and its own PNG writer, where the site makes its picture
//     to share;
//   - each page and picture written to a file.
//
// It calculates nothing: the values are given to it. It has no drawings of corners, no sheets, no claims, no
// glossary, no files of numbers beside the page, and nothing fits a telephone. The site has them all, so the
// ratio is what all of that costs; one more leaves out what the values took to calculate. All are measured by
// processor time, user's and system's, in turns, because on a busy machine the clock tells of the other programs.
func BenchmarkFloor(b *testing.B) {
	b.Run("generated", func(b *testing.B) { besideFloor(b, generate(b, 50)) })
	b.Run("demo", func(b *testing.B) { besideFloor(b, "") })
}

func besideFloor(b *testing.B, folder string) {
	pages := floorOf(b, folder)
	dir := b.TempDir()
	var floor, calculated, whole time.Duration
	n := 0
	for b.Loop() {
		n++
		floor += processorTime(b, func() { writeFloor(b, pages, filepath.Join(dir, fmt.Sprint("floor", n))) })
		calculated += processorTime(b, func() {
			_, err := Verify(context.Background(), folder, nil)
			require.NoError(b, err)
		})
		whole += processorTime(b, func() {
			o, err := Write(context.Background(), folder, filepath.Join(dir, fmt.Sprint("site", n)), nil)
			require.NoError(b, err)
			require.True(b, o.Good())
		})
	}
	each := float64(n) * float64(time.Millisecond)
	b.ReportMetric(float64(floor)/each, "floor-ms")
	b.ReportMetric(float64(calculated)/each, "calculated-ms")
	b.ReportMetric(float64(whole)/each, "site-ms")
	b.ReportMetric(float64(whole)/float64(floor), "site/floor")
	b.ReportMetric(float64(whole-calculated)/float64(floor), "less-calculated/floor")
}

// processorTime is what this process uses of the processors while f runs.
func processorTime(b *testing.B, f func()) time.Duration {
	runtime.GC() // what others left behind
	start := spent(b, syscall.RUSAGE_SELF)
	f()
	return spent(b, syscall.RUSAGE_SELF) - start
}

// spent is the processor time, user's and system's, that this process or its children have used.
func spent(b *testing.B, who int) time.Duration {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(who, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// floorPage is a page as the floor gets it.
type floorPage struct {
	name   string
	source []byte
	plots  []figure.Figure
}

// floorOf evaluates a collection and gives what the floor makes of it.
func floorOf(b *testing.B, folder string) (pages []floorPage) {
	o := &Outcome{}
	var s *build.Site
	err := o.evaluate(context.Background(), folder, nil, func(evaluated *build.Site) error { s = evaluated; return nil })
	require.NoError(b, err)
	require.True(b, o.Good())
	plots := 0
	for _, n := range s.Notebooks {
		p := floorPage{name: strings.ReplaceAll(n.Path, "/", "-"), source: bytes.Clone(n.Source)}
		for _, block := range n.Eval.Blocks {
			for i, f := range block.Figures {
				list := []figure.Figure{f}
				if i < len(block.States) && block.States[i] != nil {
					list = block.States[i].Figures
				}
				for _, f := range list {
					if t, ok := f.(*figure.Table); ok {
						p.source = appendTable(p.source, t)
					} else if f != nil && f.Sharing() == figure.SharedFirst {
						p.plots = append(p.plots, f)
						plots++
					}
				}
			}
		}
		pages = append(pages, p)
	}
	require.Greater(b, plots, len(s.Notebooks))
	for _, r := range reference.Pages() {
		pages = append(pages, floorPage{name: "model-" + r.Name, source: []byte(r.Text)})
	}
	return pages
}

// appendTable adds a table's cells, as metric readers see them, to a Markdown text.
func appendTable(source []byte, t *figure.Table) []byte {
	var head, rule, rows strings.Builder
	for _, c := range t.Columns {
		head.WriteString("| " + c.Head.Metric + " ")
		rule.WriteString("|---")
	}
	for i := range t.Columns[0].Cells {
		for _, c := range t.Columns {
			rows.WriteString("| " + c.Cells[i].Text.Metric + " ")
		}
		rows.WriteString("|\n")
	}
	return fmt.Appendf(source, "\n\n%s|\n%s|\n%s\n", head.String(), rule.String(), rows.String())
}

// writeFloor makes the floor's pages.
func writeFloor(b *testing.B, pages []floorPage, folder string) {
	require.NoError(b, os.MkdirAll(folder, 0o777))
	_ = parallel.Do(context.Background(), len(pages), func(i int) {
		p := pages[i]
		var out bytes.Buffer
		err := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Footnote)).Convert(p.source, &out)
		try := func(f func() error) {
			if err == nil {
				err = f()
			}
		}
		for i, f := range p.plots {
			try(func() error { return plotAlone(f, vgsvg.New(wide(f)), &out) })
			if i == 0 {
				var picture bytes.Buffer
				canvas := vgimg.NewWith(vgimg.UseWH(share.Width*vg.Inch/96, share.Height*vg.Inch/96), vgimg.UseDPI(96))
				try(func() error { return plotAlone(f, vgimg.PngCanvas{Canvas: canvas}, &picture) })
				try(func() error {
					return os.WriteFile(filepath.Join(folder, p.name+".png"), picture.Bytes(), 0o666)
				})
			}
		}
		try(func() error { return os.WriteFile(filepath.Join(folder, p.name+".html"), out.Bytes(), 0o666) })
		if err != nil {
			b.Error(p.name, err)
		}
	})
}

// panelRows is how many rows of panels a plot has with so many beside each other.
func panelRows(f figure.Figure, beside int) int {
	panels := 1
	switch f := f.(type) {
	case *figure.Curves:
		panels = len(f.Panels)
	case *figure.Contours:
		panels = len(f.Panels)
	case *figure.Histogram:
		panels = len(f.Spreads)
	}
	return (panels + beside - 1) / beside
}

// panelsBeside is how many panels stand side by side for a desk.
const panelsBeside = 3

func wide(f figure.Figure) (w, h vg.Length) {
	return 18 * vg.Centimeter, vg.Length(panelRows(f, panelsBeside)) * 10 * vg.Centimeter
}

// canvas is where gonum/plot draws, and how that is written out.
type canvas interface {
	vg.CanvasSizer
	io.WriterTo
}

// plotAlone draws a plot as gonum/plot does; panels stand beside each other where there is room.
func plotAlone(f figure.Figure, canvas canvas, out *bytes.Buffer) error {
	var plots []*plot.Plot
	var err error
	switch f := f.(type) {
	case *figure.Curves:
		for _, panel := range f.Panels {
			p := newPlot(panel.Title.Metric, f.X, f.Y)
			if err == nil {
				err = addLines(p, f, panel)
			}
			plots = append(plots, p)
		}
	case *figure.Contours:
		for _, field := range f.Panels {
			p := newPlot(field.Title.Metric, f.X, f.Y)
			p.Add(plotter.NewContour(onGrid{field}, f.Levels, palette.Heat(8, 1)))
			plots = append(plots, p)
		}
	case *figure.Histogram:
		for _, s := range f.Spreads {
			p := newPlot(s.Label.Metric, f.X, figure.Scale{Label: "Share"})
			bins, e := plotter.NewHist(plotter.Values(s.Draws), 30)
			if err == nil {
				err = e
			}
			p.Add(bins)
			plots = append(plots, p)
		}
	case *figure.Bars:
		p := newPlot("", figure.Scale{Label: f.XLabel}, f.Y)
		for i, set := range f.Sets {
			if err == nil {
				err = addBars(p, f, i, set)
			}
		}
		var names []string
		for _, name := range f.Names {
			names = append(names, name.Metric)
		}
		p.NominalX(names...)
		plots = append(plots, p)
	case *figure.Zones:
		p := newPlot("", f.X, figure.Scale{Label: "Strip"})
		for k, strip := range f.Strips {
			if err == nil {
				err = addZones(p, f.X.Unit(figure.Metric).SI, float64(k), strip)
			}
		}
		plots = append(plots, p)
	default:
		return fmt.Errorf("the floor has no %T yet", f)
	}
	if err != nil {
		return err
	}
	columns := min(len(plots), panelsBeside)
	rows := (len(plots) + columns - 1) / columns
	tiles := draw.Tiles{Rows: rows, Cols: columns}
	for i, p := range plots {
		p.Draw(tiles.At(draw.New(canvas), i%columns, i/columns))
	}
	_, err = canvas.WriteTo(out)
	return err
}

func newPlot(title string, x, y figure.Scale) *plot.Plot {
	p := plot.New()
	p.Title.Text = title
	p.X.Label.Text, p.Y.Label.Text = x.Label+" "+x.Metric.Symbol, y.Label+" "+y.Metric.Symbol
	p.Add(plotter.NewGrid())
	return p
}

func addLines(p *plot.Plot, c *figure.Curves, panel figure.Panel) error {
	x, y := c.X.Unit(figure.Metric).SI, c.Y.Unit(figure.Metric).SI
	for _, l := range panel.Lines {
		var xys, band plotter.XYs
		for i := range l.X {
			if !math.IsNaN(l.Y[i]) {
				xys = append(xys, plotter.XY{X: l.X[i] / x, Y: l.Y[i] / y})
				if l.Low != nil {
					band = append(band, plotter.XY{X: l.X[i] / x, Y: l.Low[i] / y})
				}
			}
		}
		for i := len(l.X) - 1; i >= 0 && l.High != nil; i-- {
			if !math.IsNaN(l.Y[i]) {
				band = append(band, plotter.XY{X: l.X[i] / x, Y: l.High[i] / y})
			}
		}
		if len(band) > 0 {
			polygon, err := plotter.NewPolygon(band)
			if err != nil {
				return err
			}
			polygon.Color = color.Gray{200}
			p.Add(polygon)
		}
		if len(xys) == 0 {
			continue
		}
		line, err := plotter.NewLine(xys)
		if err != nil {
			return err
		}
		p.Add(line)
		if l.Label.Metric != "" {
			p.Legend.Add(l.Label.Metric, line)
		}
	}
	for _, set := range panel.Points {
		var xys plotter.XYs
		for i := range set.X {
			if !math.IsNaN(set.X[i]) && !math.IsNaN(set.Y[i]) {
				xys = append(xys, plotter.XY{X: set.X[i] / x, Y: set.Y[i] / y})
			}
		}
		scatter, err := plotter.NewScatter(xys)
		if err != nil {
			return err
		}
		p.Add(scatter)
		p.Legend.Add(set.Label, scatter)
	}
	return nil
}

func addBars(p *plot.Plot, f *figure.Bars, i int, set figure.BarSet) error {
	var values plotter.Values
	for _, v := range set.Y {
		if math.IsNaN(v) {
			v = 0 // gonum/plot has no gaps
		}
		values = append(values, v/f.Y.Unit(figure.Metric).SI)
	}
	const wide = 12
	bars, err := plotter.NewBarChart(values, wide)
	if err != nil {
		return err
	}
	bars.Offset = vg.Length(wide * i)
	p.Add(bars)
	if set.Label.Metric != "" {
		p.Legend.Add(set.Label.Metric, bars)
	}
	return nil
}

func addZones(p *plot.Plot, one, at float64, strip figure.ZoneStrip) error {
	for _, zone := range strip.Zones {
		from, until := zone.From.At/one, zone.Until.At/one
		part, err := plotter.NewPolygon(plotter.XYs{{X: from, Y: at}, {X: until, Y: at}, {X: until, Y: at + 0.8}, {X: from, Y: at + 0.8}})
		if err != nil {
			return err
		}
		part.Color = color.Gray{200}
		p.Add(part)
		p.Legend.Add(zone.Name.String(), part)
	}
	return nil
}

// onGrid is a map as gonum/plot reads it.
type onGrid struct{ figure.Field }

func (g onGrid) Dims() (c, r int)   { return len(g.Field.X), len(g.Field.Y) }
func (g onGrid) Z(c, r int) float64 { return g.Field.Z[r][c] }
func (g onGrid) X(c int) float64    { return g.Field.X[c] }
func (g onGrid) Y(r int) float64    { return g.Field.Y[r] }
