//go:build !direct

package figure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/vgimg"
)

// Scales are linear: a logarithmic one would panic at nought, and no figure asks for one.
func TestScalesAreLinear(t *testing.T) {
	onPaper(extent{-1, 1}, extent{0, 1}, func(q plotted) {
		assert.IsType(t, plot.LinearScale{}, q.X.Scale)
		assert.IsType(t, plot.LinearScale{}, q.Y.Scale)
	})
}

// A canvas of gonum's own, without groups or anchors, can be drawn on as well: it shows what metric readers see.
func TestOtherCanvases(t *testing.T) {
	c := curvesOf(along("a", 33, square8), along("b", 33, square8))
	for _, f := range []Figure{c, sampleMap(), sampleBars(), drawing("front", parallel(4, 12))} {
		p := f.Draw(Metric)
		on := vgimg.New(360, 400)
		p.Narrow.Draw(on)
		dark := 0
		b := on.Image().Bounds()
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				if r, _, _, _ := on.Image().At(x, y).RGBA(); r < 0x8000 {
					dark++
				}
			}
		}
		assert.Greater(t, dark, 500, "%T", f)
	}
}
