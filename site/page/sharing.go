package page

import (
	"sync"

	"turnplate/site/figure"
	"turnplate/site/share"
)

// Share is the picture that stands for a page where it is talked about. It is drawn when it is asked for,
// because a page under preview never is.
type Share struct {
	Path string // slash-separated from the site's root
	card share.Card
}

// Draw gives the picture, a PNG.
func (s *Share) Draw() ([]byte, error) {
	c := s.card
	c.Styles = styles()
	return share.PNG(c)
}

var styles = sync.OnceValue(func() *share.Styles {
	css, err := embedded.ReadFile("assets/page.css")
	if err != nil {
		panic("page: " + err.Error()) // it is embedded
	}
	return share.ReadStyles(string(css))
})

// choose keeps the figure for the page's picture: of those that serve best, the first.
func (f *figures) choose(item figure.Figure) {
	best := figure.Unshared
	if f.chosen != nil {
		best = f.chosen.Sharing()
	}
	if item.Sharing() > best {
		f.chosen = item
	}
}

// share is the page's picture, or nil for a page without a figure to show on it.
func (r *prose) share() *Share {
	f := r.figures
	if f.chosen == nil {
		return nil
	}
	system := figure.SystemOf(r.page.Notebook.Front.Units)
	drawn := f.drawings.of(f.chosen).picture
	c := share.Card{
		Site: r.page.Site.Title, Title: r.page.Eval.Title.In(system), Summary: r.page.Eval.Summary.In(system),
		Figure: figure.HeadOf(f.chosen).Title.In(system), Wide: drawn.Wide, Narrow: drawn.Narrow, Hidden: "in-us",
	}
	if system == figure.US {
		c.Hidden = "in-metric"
	}
	for _, k := range drawn.Keys {
		key := share.Key{Swatch: k.Swatch, Label: k.Label, Wide: k.Wide, Narrow: k.Narrow}
		if system == figure.US && k.LabelUS != "" {
			key.Label = k.LabelUS
		}
		c.Keys = append(c.Keys, key)
	}
	return &Share{Path: f.stem + "-share.png", card: c}
}
