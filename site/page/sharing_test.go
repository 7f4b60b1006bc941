package page

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
	"turnplate/site/share"
)

// shared renders a page with these figures and draws its picture.
func shared(t *testing.T, units string, figures ...figure.Figure) (Output, []byte) {
	t.Helper()
	nb := notebook.Read("studies/one", []byte("---\nunits: "+units+"\n---\n\n```go params\nx\n```\n"))
	e := &eval.Page{Title: figure.Text{{Text: figure.Either("Effort at 10 °C <&>", "Effort at 50 °F <&>")}}, Blocks: []eval.Block{{Figures: figures}}}
	out := render(t, Page{Path: "studies/one.html", Notebook: nb, Eval: e, Site: Site{Title: "A site"}})
	if out.Share == nil {
		return out, nil
	}
	data, err := out.Share.Draw()
	require.NoError(t, err)
	return out, data
}

// Every kind of figure can stand on a page's picture, which is light enough to send. TURNPLATE_SHOTS names a
// folder to keep the pictures in, to be looked at.
func TestPicturesToShare(t *testing.T) {
	seen := 0
	for _, b := range samplePage().Eval.Blocks {
		for _, f := range b.Figures {
			for _, units := range []string{"metric", "us"} {
				out, data := shared(t, units, f)
				if data == nil {
					assert.NotContains(t, string(out.HTML), "-share.png")
					continue
				}
				seen++
				assert.Equal(t, "studies/one-share.png", out.Share.Path)
				assert.Contains(t, string(out.HTML), `<a href="one-share.png" download>`)
				assert.Less(t, len(data), 40_000, figure.HeadOf(f).ID)
				m, err := png.Decode(bytes.NewReader(data))
				require.NoError(t, err)
				assert.Equal(t, image.Pt(share.Width, share.Height), m.Bounds().Max)
				if shots := os.Getenv("TURNPLATE_SHOTS"); shots != "" {
					require.NoError(t, os.WriteFile(filepath.Join(shots, "share-"+figure.HeadOf(f).ID+"-"+units+".png"), data, 0o644))
				}
			}
		}
	}
	assert.Greater(t, seen, 10)
}

// The headline is what the page found.
func TestFinding(t *testing.T) {
	for summary, want := range map[string][2]string{
		"Ask for 4.5°, with an arm that lets you. Past 5° little is won.": {"Ask for 4.5°, with an arm that lets you.", "Past 5° little is won."},
		"Which arm? The caster arm.":                                      {"Which arm?", "The caster arm."},
		"One sentence at 4.5 mm.":                                         {"One sentence at 4.5 mm.", ""},
		"":                                                                {"", ""},
	} {
		first, rest := finding(summary)
		assert.Equal(t, want, [2]string{first, rest})
	}
}

// A plot serves better than a drawing of a corner, the lead's drawing better than that, the lead's plot better still, and
// what its author picked best; of equals the first.
func TestChoice(t *testing.T) {
	drawing, plot := &figure.Drawing{Head: head("d", "Corner", "")}, family()
	f := &figures{}
	for _, item := range []figure.Figure{&figure.Claim{}, drawing, plot, uncertain(), drawing} {
		f.choose(item, false)
	}
	assert.Same(t, plot, f.chosen)
	f.choose(drawing, true)
	assert.Same(t, drawing, f.chosen)
	other := uncertain()
	f.choose(other, true)
	assert.Same(t, other, f.chosen)
	mine := &figure.Drawing{Head: head("mine", "Corner", "")}
	mine.Share = true
	f.choose(mine, false)
	f.choose(plot, true)
	assert.Same(t, mine, f.chosen)
	out, data := shared(t, "metric", &figure.Claim{Head: head("c", "", "")})
	assert.Nil(t, out.Share)
	assert.Nil(t, data)
	_, a := shared(t, "metric", plot)
	_, b := shared(t, "metric", plot)
	_, us := shared(t, "us", plot)
	assert.Equal(t, a, b)
	assert.NotEqual(t, a, us)
}

func BenchmarkShare(b *testing.B) {
	p := samplePage()
	out, err := Render(p)
	require.NoError(b, err)
	for b.Loop() {
		if _, err := out.Share.Draw(); err != nil {
			b.Fatal(err)
		}
	}
}
