package page

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/eval"
	"turnplate/site/figure"
)

// Drawings spare work and change nothing.
func TestDrawingsAreKept(t *testing.T) {
	p := samplePage()
	plain, err := Render(p)
	require.NoError(t, err)
	kept := &Drawings{}
	p.Drawings = kept
	first, err := Render(p)
	require.NoError(t, err)
	assert.Equal(t, string(plain.HTML), string(first.HTML))
	require.NotEmpty(t, kept.list)
	assert.Greater(t, kept.Bytes(), 1000)
	before := maps.Clone(kept.list)

	again, err := Render(p)
	require.NoError(t, err)
	assert.Equal(t, string(plain.HTML), string(again.HTML))
	assert.Equal(t, plain.Files, again.Files)
	assert.True(t, maps.Equal(before, kept.list), "the same drawings, and no others")

	// One figure is another now: it is drawn, and the one before it is let go.
	var old, fresh *figure.Curves
	e := *p.Eval
	e.Blocks = append([]eval.Block{}, e.Blocks...)
	for i, b := range e.Blocks {
		for j, f := range b.Figures {
			if c, ok := f.(*figure.Curves); ok && fresh == nil {
				other := *c
				other.Caption = figure.Text{{Text: figure.Plain("Another caption.")}}
				old, fresh = c, &other
				e.Blocks[i].Figures = append([]figure.Figure{}, b.Figures...)
				e.Blocks[i].Figures[j] = fresh
			}
		}
	}
	require.NotNil(t, fresh)
	p.Eval = &e
	changed, err := Render(p)
	require.NoError(t, err)
	assert.Contains(t, string(changed.HTML), "Another caption.")
	assert.NotContains(t, kept.list, figure.Figure(old))
	assert.Contains(t, kept.list, figure.Figure(fresh))
	for f, d := range kept.list {
		if f != figure.Figure(fresh) {
			assert.Same(t, before[f], d)
		}
	}
	assert.Len(t, kept.list, len(before))
}
