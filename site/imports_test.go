package site

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rule forbids imports, or keeps an outside library to one door. A pattern ending in /... stands for
// everything below as well.
type rule struct {
	from   []string // importers it speaks of
	except []string // importers that may
	not    []string // what they may not import
	only   []string // of what not covers, these are allowed
	why    string
}

// In tests anything may be imported: the rules are about what the program is made of.
var rules = []rule{
	{from: []string{"turnplate/cmd/..."}, not: []string{"turnplate/..."}, only: []string{"turnplate/site"},
		why: "cmd turns flags into a call and an exit status; what it would want from below belongs into site"},
	{from: []string{"turnplate/sim/..."}, not: []string{"turnplate/..."}, only: []string{"turnplate/sim/..."},
		why: "the simulation must be usable, and testable, without notebooks and pages"},
	{from: []string{"turnplate/sim/..."}, except: []string{"turnplate/sim"}, not: []string{"turnplate/sim"},
		why: "a package below sim is one idea on plain numbers; vehicles and models are put together in sim"},
	{from: []string{"turnplate/sim/..."}, not: []string{"os", "net/...", "html/...", "time", "math/rand", "crypto/rand"},
		why: "the simulation is pure: no files, no clock, no chance, so that the same input gives the same numbers"},
	{from: []string{"turnplate/site/diag"}, not: []string{"turnplate/..."},
		why: "every stage reports mistakes, so diag can know none of them"},
	{from: []string{"turnplate/site/lang"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/diag", "turnplate/site/vocabulary", "turnplate/site/pattern"},
		why: "the language is syntax; values and models come in eval"},
	{from: []string{"turnplate/site/notebook"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/diag", "turnplate/site/lang", "turnplate/site/equation", "turnplate/site/vocabulary", "turnplate/site/pattern"},
		why: "a notebook can be read without being evaluated"},
	{from: []string{"turnplate/site/equation"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/diag", "turnplate/site/pattern"},
		why: "a formula is notation alone, with a place for its mistakes"},
	{from: []string{"turnplate/site/value"}, not: []string{"turnplate/..."}, only: []string{"turnplate/sim/unit"},
		why: "values over axes know dimensions and nothing else"},
	{from: []string{"turnplate/site/model"}, not: []string{"turnplate/..."}, only: []string{"turnplate/sim", "turnplate/sim/unit", "turnplate/site/value"},
		why: "a model is run on values, wherever a notebook wrote them and whatever shows them"},
	{from: []string{"turnplate/site/figure"}, not: []string{"turnplate/..."}, only: []string{"turnplate/sim/geom", "turnplate/sim/unit", "turnplate/sim/clearance", "turnplate/site/canvas"},
		why: "a figure is plain data and the outline of a tyre; it can't reach back into what calculated it"},
	{from: []string{"turnplate/site/eval"}, not: []string{"turnplate/site/page/...", "turnplate/site/collection", "turnplate/site/build", "turnplate/site/publish"},
		why: "data flows one way: blocks, values, figures, page, folder"},
	{from: []string{"turnplate/site/page"}, not: []string{"turnplate/sim/...", "turnplate/site/lang", "turnplate/site/collection", "turnplate/site/build", "turnplate/site/publish"},
		only: []string{"turnplate/sim/unit", "turnplate/sim/geom"},
		why:  "a page shows what was calculated; it calculates nothing"},
	{from: []string{"turnplate/site/collection"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/diag", "turnplate/site/notebook", "turnplate/site/parallel"},
		why: "a collection finds and reads notebooks; what they come to is none of its business"},
	{from: []string{"turnplate/site/build"}, not: []string{"turnplate/sim/...", "turnplate/site", "turnplate/site/preview", "turnplate/site/publish", "turnplate/site/lang", "turnplate/site/share"},
		why: "build puts the stages together; it calculates nothing itself, and where the files go is its caller's choice"},
	{from: []string{"turnplate/site/engine/browser"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/engine"},
		why: "what a browser runs is the engine with a way to ask it"},
	{from: []string{"turnplate/site/engine/carried", "turnplate/site/engine/make"}, not: []string{"turnplate/..."},
		why: "the compiled program is bytes; whoever imports it must not need what it was compiled from"},
	{from: []string{"turnplate/site/preview"}, not: []string{"turnplate/sim/...", "turnplate/site", "turnplate/site/publish", "turnplate/site/notebook", "turnplate/site/lang", "turnplate/site/figure", "turnplate/site/page"},
		why: "a preview watches, asks build for pages and serves them; it writes no folder and makes no page of its own"},
	{from: []string{"turnplate/site/yours"}, not: []string{"turnplate/..."}, only: []string{"turnplate/sim/...", "turnplate/site/diag", "turnplate/site/lang", "turnplate/site/model", "turnplate/site/figure", "turnplate/site/value", "turnplate/site/vocabulary", "turnplate/site/pattern"},
		why: "what a reader may set is read and shown without evaluating a notebook"},
	{from: []string{"turnplate/site/reference"}, not: []string{"turnplate/..."}, only: []string{"turnplate/sim/...", "turnplate/site/vocabulary", "turnplate/site/glossary", "turnplate/site/diag", "turnplate/site/pattern"},
		why: "what the language can say is told in the words of the models, the vocabulary and the glossary alone"},
	{from: []string{"turnplate/site/vocabulary"}, not: []string{"turnplate/..."},
		why: "the words of the language are data"},
	{from: []string{"turnplate/site/parallel"}, not: []string{"turnplate/..."},
		why: "spreading work over processors has nothing to do with what the work is"},
	{from: []string{"turnplate/site/pattern"}, not: []string{"turnplate/..."},
		why: "when a pattern is compiled has nothing to do with what it finds"},
	{from: []string{"turnplate/site/glossary"}, not: []string{"turnplate/..."},
		why: "the words of the trade are data"},
	{from: []string{"turnplate/site/canvas"}, not: []string{"turnplate/..."},
		why: "inks and SVG serve whatever is drawn"},
	{from: []string{"turnplate/site/share"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/canvas"},
		why: "it paints what draws itself on a canvas, whatever that shows"},
	{from: []string{"turnplate/site/publish"}, not: []string{"turnplate/..."}, only: []string{"turnplate/site/collection"},
		why: "publishing a folder safely has nothing to do with what is in it (collection lends the marker's name)"},

	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/notebook", "turnplate/site/page"}, not: []string{"github.com/yuin/goldmark/...", "go.abhg.dev/goldmark/..."},
		why: "Markdown is read in notebook and written in page"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/figure"}, not: []string{"gonum.org/v1/plot", "gonum.org/v1/plot/plotter", "gonum.org/v1/plot/text"},
		why: "figure has the one door to the plotting library (plotted.go), which stops what would hang it"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/figure", "turnplate/site/canvas", "turnplate/site/share"}, not: []string{"gonum.org/v1/plot/..."},
		why: "what is drawn is drawn in figure, on the canvases of canvas and share"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/share"}, not: []string{"git.sr.ht/~sbinet/gg", "codeberg.org/go-fonts/...", "golang.org/x/image/font/...", "gonum.org/v1/plot/vg/vgimg"}, only: []string{"golang.org/x/image/font"},
		why: "only share makes pictures of pixels; pages are text"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/cmd/..."}, not: []string{"github.com/alecthomas/kong", "github.com/schollz/progressbar/...", "golang.org/x/term"},
		why: "terminals are the command's business"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/preview/..."}, not: []string{"github.com/fsnotify/..."},
		why: "only the preview watches files"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/preview/..."}, not: []string{"net/http"}, only: nil,
		why: "only the preview serves anything, and nothing asks the network for anything"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/page/browsertest"}, not: []string{"github.com/chromedp/..."},
		why: "a browser is for tests"},
	{from: []string{"turnplate/..."}, except: []string{"turnplate/site/page/browsertest"}, not: []string{"turnplate/site/page/browsertest", "turnplate/site/page/npmtest"},
		why: "what serves tests is no part of the program"},
}

func matches(path string, patterns []string) bool {
	for _, p := range patterns {
		if base, below := strings.CutSuffix(p, "/..."); path == base || below && strings.HasPrefix(path, base+"/") {
			return true
		}
	}
	return false
}

func TestImportDirection(t *testing.T) {
	list := exec.Command("go", "list", "-json=ImportPath,Imports", "./...")
	list.Dir = ".."
	out, err := list.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		t.Fatalf("go list: %s", exit.Stderr)
	}
	require.NoError(t, err)
	seen := 0
	for in := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := in.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		seen++
		for _, r := range rules {
			if !matches(p.ImportPath, r.from) || matches(p.ImportPath, r.except) {
				continue
			}
			for _, imported := range p.Imports {
				if matches(imported, r.not) && !matches(imported, r.only) {
					t.Errorf("%s may not import %s: %s", p.ImportPath, imported, r.why)
				}
			}
		}
	}
	require.Greater(t, seen, 15, "go list found too few packages for the rules to mean anything")
}

// What a browser runs is fetched by every reader, and compiled there: what it has no use for stays out (DEVELOPERS.md, "A
// reader's own truck").
var notInBrowsers = []string{
	"gopkg.in/yaml.v3", "github.com/BurntSushi/toml/...", "go.abhg.dev/goldmark/...",
	"golang.org/x/text/language", "golang.org/x/text/unicode/norm", "gonum.org/v1/plot", "gonum.org/v1/plot/vg/vgimg",
	"encoding/xml", "turnplate/site/share", "turnplate/site/reference", "image/png", "image/jpeg", "net/http",
}

func TestWhatABrowserRunsImportsLittle(t *testing.T) {
	list := exec.Command("go", "list", "-deps", "turnplate/site/engine/browser")
	list.Env = append(list.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := list.Output()
	require.NoError(t, err)
	deps := strings.Fields(string(out))
	require.Contains(t, deps, "turnplate/site/notebook")
	for _, dep := range deps {
		assert.False(t, matches(dep, notInBrowsers), "the program for browsers depends on %s", dep)
	}
}

// The rules must be able to fail.
func TestRulesBite(t *testing.T) {
	require.True(t, matches("turnplate/sim/tyre", []string{"turnplate/sim/..."}))
	require.True(t, matches("turnplate/sim", []string{"turnplate/sim/..."}))
	require.False(t, matches("turnplate/simple", []string{"turnplate/sim/..."}))
	require.False(t, matches("turnplate/sim/tyre", []string{"turnplate/sim"}))
}
