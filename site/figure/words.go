package figure

import "turnplate/site/canvas"

// Words are a text as readers of each system of units see it; US is "" where that is the same.
type Words struct{ Metric, US string }

// Plain is a text that is the same in both systems.
func Plain(text string) Words { return Words{Metric: text} }

// Either is a text that may differ between the systems.
func Either(metric, us string) Words {
	if us == metric {
		us = ""
	}
	return Words{metric, us}
}

// In is the text as readers of a system see it.
func (w Words) In(system System) string {
	if system == US && w.US != "" {
		return w.US
	}
	return w.Metric
}

// Each makes new words of what readers of each system see.
func (w Words) Each(make func(string) string) Words {
	if w.US == "" {
		return Words{Metric: make(w.Metric)}
	}
	return Either(make(w.Metric), make(w.US))
}

// width is how long the longer of the two texts is at a size.
func (w Words) width(size float64) float64 {
	return max(textWidth(w.Metric, size), textWidth(w.US, size))
}

func (w Words) clean() Words { return w.Each(clean) }

// each visits the text with the class that shows it to its readers alone; once where it is the same for all.
func (w Words) each(visit func(class, text string)) {
	if w.US == "" {
		visit("", w.Metric)
		return
	}
	visit(systemClass[Metric], w.Metric)
	visit(systemClass[US], w.US)
}

// write sets the text for each system, one over the other: the style sheet hides one of them.
func (w Words) write(p *pen, how canvas.Lettering, at point) {
	w.each(func(class, text string) {
		how.For = class
		p.text(how, at, text)
	})
}
