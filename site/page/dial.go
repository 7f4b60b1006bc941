package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"

	"turnplate/site/eval"
	"turnplate/site/figure"
)

// MaxPositions is how many bytes a page may carry for the positions of its dials.
const MaxPositions = 800 << 10

// moving collects what the dials of one page move. Every position was calculated when the notebook was
// evaluated; the page carries the differences, and the script puts the chosen ones in place.
type moving struct {
	dials   []eval.Dial
	words   words
	parts   []part
	leading []int // dials that the lead, or the walk being written, has shown
}

// part is one element that dials move, as the script reads it.
type part struct {
	ID     string   `json:"id"`
	Dials  []int    `json:"dials"`  // the last one runs fastest
	Slots  []string `json:"slots"`  // "element attribute" or "element child"
	Values [][]int  `json:"values"` // for each position, indices into words; null where whole has it
	Whole  []string `json:"whole,omitempty"`
	Start  string   `json:"start,omitempty"` // the part as served, where a position replaces it whole
}

// add notes an element at its start and at every position: an attribute that differs here, a text there, or the whole
// element where it is built otherwise.
func (m *moving) add(id string, dials []int, start string, positions []string) {
	base := markup(start)
	differs := make([]bool, len(base))
	read := make([][]node, len(positions)) // nil where the element is built otherwise
	for k, text := range positions {
		nodes := markup(text)
		if !alike(base, nodes) {
			continue
		}
		read[k] = nodes
		for i := range nodes {
			differs[i] = differs[i] || nodes[i].value != base[i].value
		}
	}
	p := part{ID: id, Dials: dials, Values: make([][]int, len(positions)), Slots: []string{}}
	for i, node := range base {
		if differs[i] {
			p.Slots = append(p.Slots, node.address())
		}
	}
	for k, nodes := range read {
		if nodes == nil {
			if p.Whole == nil {
				p.Whole, p.Start = make([]string, len(positions)), start
			}
			p.Whole[k] = positions[k]
			continue
		}
		p.Values[k] = []int{}
		for i, node := range nodes {
			if differs[i] {
				p.Values[k] = append(p.Values[k], m.words.of(node.value))
			}
		}
	}
	m.parts = append(m.parts, p)
}

// script is the data element that the page carries, or "" when nothing moves.
func (m *moving) script() (template.HTML, error) {
	if len(m.parts) == 0 {
		return "", nil
	}
	type dial struct {
		Label  string   `json:"label"`
		Metric []string `json:"metric"`
		US     []string `json:"us"`
		Start  int      `json:"start"`
		Along  int      `json:"along,omitempty"`
	}
	data := struct {
		Dials []dial   `json:"dials"`
		Words []string `json:"words"`
		Parts []part   `json:"parts"`
	}{Words: m.words.list, Parts: m.parts}
	for _, d := range m.dials {
		data.Dials = append(data.Dials, dial{d.Label, in(d.Positions, figure.Metric), in(d.Positions, figure.US), d.Start, d.Along})
	}
	text, err := json.Marshal(data) // it escapes <, > and &, so that the data can't end the element
	if err != nil {
		return "", err
	}
	if len(text) > MaxPositions {
		return "", fmt.Errorf("the positions of its dials take %d kB, and a page may carry %d; use fewer positions, or fewer figures that a dial moves", len(text)>>10, MaxPositions>>10)
	}
	return template.HTML(`<script type="application/json" id="positions">` + string(text) + "</script>\n"), nil
}

// start is the position at which the page is served.
func (m *moving) start(dials []int) int {
	k := 0
	for _, i := range dials {
		k = k*len(m.dials[i].Positions) + m.dials[i].Start
	}
	return k
}

// control is what a reader sees of a dial: its name and where it stands. The script adds the slider. In a lead and a
// walk one control moves all that stands there.
func (m *moving) control(dials []int, once bool) string {
	var out strings.Builder
	for _, i := range dials {
		d := m.dials[i]
		if once && slices.Contains(m.leading, i) {
			continue
		}
		if once {
			m.leading = append(m.leading, i)
		}
		fmt.Fprintf(&out, `<div class="dial" data-dial="%d"><span class="dial-name">%s</span> <output><span class="in-metric">%s</span><span class="in-us">%s</span></output></div>`+"\n",
			i, escape(d.Label), escape(d.Positions[d.Start].In(figure.Metric)), escape(d.Positions[d.Start].In(figure.US)))
	}
	return out.String()
}

// figureStates writes a figure at every position, numbered like the one at the start.
func (r *prose) figureStates(id string, states *eval.States, numbered map[string]int, working template.HTML) ([]string, error) {
	var list []string
	for _, f := range states.Figures {
		// Each position starts from the same count, and makes no files of its own.
		again := figures{drawings: r.figures.drawings, stem: r.figures.stem, names: ids{}, numbered: maps.Clone(numbered)}
		text := `<figure class="figure" id="` + escape(id) + `"><p class="note">There is no value here.</p></figure>`
		if f != nil {
			v, name := again.view(f)
			v.Working = working
			var out bytes.Buffer
			if err := templates.ExecuteTemplate(&out, name, v); err != nil {
				return nil, err
			}
			text = strings.TrimSpace(out.String())
		}
		list = append(list, text)
	}
	return list, nil
}

// follows writes a number in prose that dials move.
func (r *prose) follows(start figure.Text, states *eval.TextStates) string {
	id := r.ids.take(fmt.Sprintf("moves-%d", len(r.moving.parts)+1))
	wrap := func(t figure.Text) string { return `<span id="` + id + `">` + string(textHTML(t)) + "</span>" }
	var list []string
	for _, t := range states.Texts {
		list = append(list, wrap(t))
	}
	text := wrap(start)
	r.moving.add(id, states.Dials, text, list)
	return text
}

// in are texts as readers of a system see them.
func in(list []figure.Words, system figure.System) []string {
	var out []string
	for _, w := range list {
		out = append(out, w.In(system))
	}
	return out
}
