package page

import (
	"bytes"
	"fmt"
	"html/template"
	"maps"
	"path"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/notebook"
)

// figures draws the figures of one page, numbers them, and collects their files.
type figures struct {
	drawings *Drawings
	stem     string         // of the files' names: the page's path without its extension
	names    ids            // of the files
	numbered map[string]int // so far, by the word they are counted under
	files    []File
	chosen   figure.Figure // shown on the page's picture; nil before there is one
	stands   standing      // where the chosen one stands
}

func newFigures(p Page) *figures {
	drawings := p.Drawings
	if drawings == nil {
		drawings = &Drawings{}
	}
	drawings.prepare(p.Eval.Blocks, figure.SystemOf(p.Notebook.Front.Units), p.Site.Looks)
	return &figures{
		drawings: drawings,
		stem:     strings.TrimSuffix(p.Path, path.Ext(p.Path)),
		names:    ids{},
		numbered: map[string]int{},
	}
}

// figureView is what the figure templates read.
type figureView struct {
	figure.Head
	Item    figure.Figure
	Number  string       // "Figure 3", or ""
	Picture *pictureView // nil without a drawing
	Tables  []*tableView // its numbers
	Every   int          // they show one row in so many
	Notes   []string
	CSV     []fileView
	Working template.HTML // the block's own text, or ""
}

// fileView is a link to a figure's data.
type fileView struct {
	Href  string
	Class string // "in-metric" or "in-us" where the units differ
}

type pictureView struct {
	Wide, Narrow template.HTML
	Keys         []keyView
	Values       template.JS
}

type keyView struct {
	Swatch template.HTML
	Label  template.HTML
	On     string // "wide" or "narrow" where only that drawing needs it, else ""
}

// block writes what a parameter block puts on the page, and the block's own text as its author wished:
// open before its figures, or folded under the last of them.
func (r *prose) block(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	b := n.(*notebook.Block)
	var err error
	switch {
	case b == r.lead: // it stands at the top of the page
	case b.Fold != notebook.Walk:
		if entering {
			err = r.show(w, b)
		}
	case entering:
		r.moving.leading = nil
		put(w, `<div class="walk"><div class="stays">`, "\n")
		err = r.show(w, b)
		put(w, "</div>\n")
	default:
		put(w, "</div>\n")
	}
	return ast.WalkContinue, err
}

// show writes one block.
func (r *prose) show(w util.BufWriter, b *notebook.Block) error {
	block := at(r.page.Eval.Blocks, b.Index)
	code := r.codeBlock(b.Snippet.Text, "go")
	if b.Fold == notebook.Shown {
		put(w, code, "\n")
	}
	working := template.HTML("")
	if b.Fold != notebook.Shown && b.Fold != notebook.Hidden {
		working = template.HTML(code)
	}
	first, last := supporting(block)
	for i, f := range block.Figures {
		if i == first {
			put(w, `<div class="multiples">`, "\n")
		}
		states := at(block.States, i)
		if states != nil {
			f = states.Figures[r.moving.start(states.Dials)]
		}
		before := maps.Clone(r.figures.numbered)
		v, name := r.figures.view(f)
		r.figures.choose(f, b == r.lead)
		if i == len(block.Figures)-1 && len(v.CSV) > 0 { // it has a foot for folded text
			v.Working, working = working, ""
		}
		var out strings.Builder
		if err := templates.ExecuteTemplate(&out, name, v); err != nil {
			return err
		}
		if states != nil {
			positions, err := r.figureStates(v.ID, states, before, v.Working)
			if err != nil {
				return err
			}
			r.moving.add(v.ID, states.Dials, strings.TrimSpace(out.String()), positions)
			put(w, r.moving.control(states.Dials, b == r.lead || b.Fold == notebook.Walk))
		}
		put(w, out.String())
		if i == last {
			put(w, "</div>\n")
		}
	}
	if working != "" {
		put(w, `<details class="working alone"><summary>How this was calculated</summary>`, string(working), "</details>\n")
	}
	return nil
}

// supporting gives the first and last of a block's pictures that stand as small multiples below the one they support:
// where it shows three or more, one after the other, and no dial moves them; else -1.
func supporting(b eval.Block) (first, last int) {
	run := 0
	for i, f := range b.Figures {
		if kind, _ := f.Template(); kind != "picture" || at(b.States, i) != nil {
			break
		}
		run = i + 1
	}
	if run < 3 {
		return -1, -1
	}
	return 1, run - 1
}

// view prepares one figure, and says which template it goes to.
func (f *figures) view(item figure.Figure) (v figureView, template string) {
	drawn := f.drawings.of(item)
	template, counted := item.Template()
	v = figureView{Head: *figure.HeadOf(item), Item: item, Tables: drawn.tables, Every: drawn.every, Notes: drawn.picture.Notes}
	if counted != "" {
		f.numbered[counted]++
		v.Number = fmt.Sprintf("%s %d", counted, f.numbered[counted])
	}
	if drawn.picture.Wide.SVG != "" {
		v.Picture = newPicture(drawn.picture)
	}
	if drawn.csv[0] != nil {
		v.CSV = f.data(v.ID, drawn)
	}
	return v, template
}

// Beside lists the files that a notebook's page may put beside it for its figures: their numbers, and the picture to share.
func Beside(nb *notebook.Notebook, e *eval.Page) []string {
	var list []string
	for _, b := range e.Blocks {
		for _, f := range b.Figures {
			name := nb.Path + "-" + slug(figure.HeadOf(f).ID)
			list = append(list, name+".csv", name+"-us.csv")
		}
	}
	if len(list) > 0 {
		list = append(list, nb.Path+"-share.png")
	}
	return list
}

// data keeps a figure's numbers to be written beside the page, in both systems of units where they
// differ, and gives the links to them.
func (f *figures) data(id string, drawn *drawing) []fileView {
	metric, us := drawn.csv[0], drawn.csv[1]
	name := f.names.take(slug(id))
	if bytes.Equal(metric, us) {
		return []fileView{f.file(name, metric, "")}
	}
	return []fileView{f.file(name, metric, "in-metric"), f.file(f.names.take(name+"-us"), us, "in-us")}
}

func (f *figures) file(name string, data []byte, class string) fileView {
	name = f.stem + "-" + name + ".csv"
	f.files = append(f.files, File{name, data})
	return fileView{path.Base(name), class}
}

// gaugeView is a gauge's strip.
type gaugeView struct {
	Verdict          figure.Verdict
	Says             string
	Good, Fill, Band figure.Strip
	Mark             float64
}

func newGauge(g figure.Gauge) gaugeView {
	return gaugeView{g.Verdict(), g.Says(), g.Good(), g.Fill(), g.Band(), g.Mark()}
}

func newPicture(p figure.Picture) *pictureView {
	out := &pictureView{Wide: template.HTML(p.Wide.SVG), Narrow: template.HTML(p.Narrow.SVG), Values: template.JS(p.Values)}
	for _, k := range p.Keys {
		key := keyView{Swatch: template.HTML(k.Swatch.SVG), Label: template.HTML(bothHTML(k.Label))}
		switch {
		case k.Wide && !k.Narrow:
			key.On = "wide"
		case k.Narrow && !k.Wide:
			key.On = "narrow"
		case !k.Wide && !k.Narrow:
			continue
		}
		out.Keys = append(out.Keys, key)
	}
	return out
}
