package yours

import (
	"html/template"

	"turnplate/sim"
	"turnplate/site/figure"
	"turnplate/site/model"
	"turnplate/site/value"
)

// drawing shows the reader's corner, with the page's faint behind it, from the front, from the side and from above. A
// corner whose joints don't meet can't be drawn; the note that says so stands beside what was changed.
func (f Form) drawing() template.HTML {
	page, err := sketch(f.Page)
	now := page
	if f.Now != nil && err == nil {
		now, err = sketch(f.Now)
	}
	if err != nil {
		return template.HTML(`<p class="note">There is nothing to draw: ` + template.HTMLEscapeString(err.Error()) + `.</p>`)
	}
	system := figure.Metric
	if f.US {
		system = figure.US
	}
	var out template.HTML
	for _, v := range []struct{ view, from string }{{"front", "the front"}, {"side", "the left"}, {"top", "above"}} {
		d := &figure.Drawing{Head: figure.Head{ID: "yours-" + v.view}, View: v.view, Scenes: []figure.Scene{{Sketch: now}}}
		if len(f.Changes.List) > 0 {
			d.Ghost = &page
		}
		out += template.HTML(`<figure><figcaption class="hidden" id="` + figure.TitleID(d.Head) + `">Your left front corner from ` + v.from + `</figcaption>` + d.Draw(system).Narrow.SVG + "</figure>\n")
	}
	return out
}

func sketch(car *value.Record) (figure.Sketch, error) {
	s, err := sim.SketchOf(model.Settled(car), 0, 0)
	return figure.Sketch(s), err
}
