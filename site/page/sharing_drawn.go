//go:build !js

package page

import (
	"turnplate/site/figure"
	"turnplate/site/share"
)

// Share is the picture that stands for a page where it is talked about. It is drawn only
// when it is asked for, and a preview never asks.
type Share struct {
	Path string // slash-separated from the site's root
	card share.Card
}

// Draw gives the picture, a PNG.
func (s *Share) Draw() ([]byte, error) { return share.PNG(s.card) }

// share is the page's picture, or nil for a page without a figure to show on it.
func (r *prose) share() *Share {
	f := r.figures
	if f.chosen == nil {
		return nil
	}
	system := figure.SystemOf(r.page.Notebook.Front.Units)
	drawn := f.drawings.of(f.chosen).picture
	plate := func(p figure.Plate) share.Drawing {
		return share.Drawing{Width: p.Width, Height: p.Height, Letter: p.Letter, Draw: p.Draw}
	}
	c := share.Card{
		Site: r.page.Site.Title, Page: r.page.Eval.Title.In(system),
		Figure: figure.HeadOf(f.chosen).Title.In(system), Wide: plate(drawn.Wide), Narrow: plate(drawn.Narrow), Hidden: "in-us",
	}
	if c.Headline, c.Rest = finding(r.page.Eval.Summary.In(system)); c.Headline == "" {
		c.Headline, c.Page = c.Page, ""
	}
	if system == figure.US {
		c.Hidden = "in-metric"
	}
	for _, k := range drawn.Keys {
		key := share.Key{Swatch: plate(k.Swatch), Label: k.Label.In(system), Wide: k.Wide, Narrow: k.Narrow}
		c.Keys = append(c.Keys, key)
	}
	return &Share{Path: shareName(r.page.Path), card: c}
}
