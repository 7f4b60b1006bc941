package page

import (
	"context"
	"maps"

	"turnplate/site/eval"
	"turnplate/site/figure"
	"turnplate/site/parallel"
)

// Drawings keeps what the figures of one page were drawn as. Given to Render again after a change of words, it
// spares drawing the figures that are still the same ones. The zero value is empty. It serves one Render at a
// time, and keeps the figures of the last one only.
type Drawings struct {
	system figure.System
	looks  figure.Looks
	list   map[figure.Figure]*drawing
}

// drawing is what takes time to make of a figure. It depends on the figure, the looks and the system of units alone.
type drawing struct {
	picture figure.Picture
	tables  []*tableView // a table, or the numbers of a plot
	every   int          // the numbers show one row in so many
	csv     [2][]byte    // in metric and in US units
}

// mostNumbers is how many rows of a plot's numbers a reader still looks through.
const mostNumbers = 17

func draw(item figure.Figure, system figure.System) *drawing {
	d := &drawing{
		picture: item.Draw(system),
		csv:     [2][]byte{figure.CSV(item, figure.Metric), figure.CSV(item, figure.US)},
	}
	if t, every := item.Table(mostNumbers); t != nil {
		d.tables, d.every = newTables(t), every
	}
	return d
}

// prepare draws every figure of a page that isn't drawn yet, several at once.
func (d *Drawings) prepare(blocks []eval.Block, system figure.System, looks figure.Looks) {
	before := d.list
	if d.system != system || !maps.Equal(d.looks, looks) {
		before = nil
	}
	d.system, d.looks, d.list = system, looks, map[figure.Figure]*drawing{}
	var fresh []figure.Figure
	note := func(f figure.Figure) {
		if known := before[f]; known != nil {
			d.list[f] = known
		} else if f != nil {
			figure.Dress(f, looks)
			fresh = append(fresh, f)
		}
	}
	for _, b := range blocks {
		for i, f := range b.Figures {
			shown := []figure.Figure{f}
			if states := at(b.States, i); states != nil {
				shown = states.Figures
				figure.Steady(shown)
			}
			for _, f := range shown {
				note(f)
			}
		}
	}
	made := make([]*drawing, len(fresh))
	_ = parallel.Do(context.Background(), len(fresh), func(i int) {
		// A panic is let pass here: the figure is drawn again when it is asked for, and there a panic is reported.
		defer func() { _ = recover() }()
		made[i] = draw(fresh[i], system)
	})
	for i, f := range fresh {
		if made[i] != nil {
			d.list[f] = made[i]
		}
	}
}

// of gives the drawing of a figure.
func (d *Drawings) of(f figure.Figure) *drawing {
	known := d.list[f]
	if known == nil {
		known = draw(f, d.system)
		d.list[f] = known
	}
	return known
}

// Bytes is about how much memory the drawings take.
func (d *Drawings) Bytes() int {
	n := 0
	for _, known := range d.list {
		n += len(known.picture.Wide.SVG) + len(known.picture.Narrow.SVG) + len(known.picture.Values) + len(known.csv[0]) + len(known.csv[1])
		for _, t := range known.tables {
			const cell = 100 // with its markup
			for _, row := range t.Rows {
				n += cell * len(row.Cells)
			}
		}
	}
	return n
}
