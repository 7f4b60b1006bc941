package figure

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"

	"turnplate/sim/unit"
)

// CSV is what a figure shows, as comma-separated values (RFC 4180) in the units of a system. The heads
// name units as a notebook does, "Total toe (deg)", so that the file can be read back as readings; a gap
// is a blank. A figure without numbers of its own gives nil.
func CSV(f Figure, system System) []byte {
	rows := f.records(system)
	if rows == nil {
		return nil
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	if err := w.WriteAll(rows); err != nil {
		panic("figure: " + err.Error()) // a buffer doesn't fail
	}
	return out.Bytes()
}

// inert keeps a text from being taken for a formula by a spreadsheet that opens the file.
func inert(s string) string {
	s = clean(s)
	if s != "" && strings.ContainsRune("=+@", rune(s[0])) {
		return "'" + s
	}
	if strings.HasPrefix(s, "-") && strings.ContainsAny(s, "(+*/|!^&=") {
		return "'" + s
	}
	return s
}

// grid is every number of a Curves in one table: x, then each line with its bounds, then each set of
// readings. Rows are all x values in rising order; a column has a blank where its line has no point. Where a line
// turns back, rows follow the lines from point to point, and each has its own x.
type grid struct {
	labels  []string    // of the columns, without unit
	heads   []string    // with it, as a notebook names it
	columns [][]float64 // in that unit
	across  []bool      // columns that are x
	names   []string    // of the readings; nil when none has a name
	read    []bool      // whether a row has a reading
}

// elsewhere stands in a grid where a line has no point at all; NaN stands for one without a value.
var elsewhere = math.Inf(1)

// track is one column of a grid before the rows are merged.
type track struct {
	head  string
	x, y  []float64
	read  bool // measured, not calculated
	names []string
}

func (c *Curves) tracks(system System) (tracks []track) {
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			head := heading(p.Title.clean().In(system), orElse(l.Label.clean().In(system), clean(c.Y.Label)))
			n := l.count()
			tracks = append(tracks, track{head: head, x: l.X[:n], y: l.Y[:n]})
			if l.Low == nil || l.High == nil {
				continue
			}
			low, high := make([]float64, n), make([]float64, n)
			for i := range n {
				lo, hi, ok := l.band(i)
				if !ok {
					lo, hi = math.NaN(), math.NaN()
				}
				low[i], high[i] = lo, hi
			}
			tracks = append(tracks, track{head: head + ", low", x: l.X[:n], y: low}, track{head: head + ", high", x: l.X[:n], y: high})
		}
	}
	for _, limit := range c.Limits {
		n := limit.count()
		tracks = append(tracks, track{head: limit.Label.clean().In(system), x: limit.X[:n], y: limit.Y[:n]})
	}
	for _, p := range c.Panels {
		for _, s := range p.Points {
			head := heading(p.Title.clean().In(system), orElse(clean(s.Label), "Readings"))
			n := s.count()
			tracks = append(tracks, track{head, s.X[:n], s.Y[:n], true, s.Names})
			if len(s.Error) >= n && n > 0 {
				tracks = append(tracks, track{head: head + ", error", x: s.X[:n], y: s.Error[:n], read: true})
			}
		}
	}
	return tracks
}

func (c *Curves) grid(system System) grid {
	xu, yu := c.X.Unit(system), c.Y.Unit(system)
	tracks := c.tracks(system)
	if c.turnsBack() {
		return c.alongLines(tracks, xu, yu)
	}
	places, rows := merge(tracks)
	g := grid{read: make([]bool, len(places))}
	g.add(clean(c.X.Label), xu, places, inOrder(len(places)), true)
	for k, t := range tracks {
		g.mark(t, rows[k])
		g.add(t.head, yu, t.y, rows[k], false)
	}
	return g
}

// add makes a column of values, each in its row; one without a row (-1) is left out.
func (g *grid) add(label string, u unit.Unit, values []float64, rows []int, across bool) {
	column := slices.Repeat([]float64{elsewhere}, len(g.read))
	for i, row := range rows {
		if row < 0 {
			continue
		}
		if column[row] = math.NaN(); finite(values[i]) {
			column[row] = values[i] / u.SI
		}
	}
	g.labels, g.heads = append(g.labels, label), append(g.heads, title(label, u.Name))
	g.columns, g.across = append(g.columns, column), append(g.across, across)
}

// mark notes the rows that have a track's readings, with their names.
func (g *grid) mark(t track, rows []int) {
	for i, row := range rows {
		if row >= 0 {
			g.read[row] = g.read[row] || t.read
			g.call(row, at(t.names, i))
		}
	}
}

// inOrder counts from 0.
func inOrder(n int) []int {
	rows := make([]int, n)
	for i := range rows {
		rows[i] = i
	}
	return rows
}

// call gives a row the name of a reading; readings of several kinds may share one.
func (g *grid) call(row int, name string) {
	if name = clean(name); name == "" {
		return
	}
	if g.names == nil {
		g.names = make([]string, len(g.read))
	}
	if before := g.names[row]; before != "" && before != name {
		name = before + ", " + name
	}
	g.names[row] = name
}

// turnsBack says whether x both rises and falls along a line, so that the order of its points says more than x does.
func (c *Curves) turnsBack() bool {
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			last, rises, falls := math.NaN(), false, false
			for _, x := range l.X[:l.count()] {
				if !finite(x) {
					continue
				}
				rises, falls, last = rises || x > last, falls || x < last, x
			}
			if rises && falls {
				return true
			}
		}
	}
	return false
}

// alongLines is the grid of lines that turn back.
func (c *Curves) alongLines(tracks []track, xu, yu unit.Unit) (g grid) {
	most := 0
	for _, t := range tracks {
		most = max(most, len(t.x))
	}
	g.read = make([]bool, most)
	for k, t := range tracks {
		rows := inOrder(len(t.x))
		g.mark(t, rows)
		name := t.head
		if name == clean(c.Y.Label) {
			name = ""
		}
		if k > 0 && len(t.x) > 0 && len(tracks[k-1].x) > 0 && &t.x[0] == &tracks[k-1].x[0] { // a bound of the line before
			g.add(t.head, yu, t.y, rows, false)
			continue
		}
		g.add(heading(name, clean(c.X.Label)), xu, t.x, rows, true)
		g.add(heading(name, clean(c.Y.Label)), yu, t.y, rows, false)
	}
	return g
}

// merge gives the x values of all tracks in rising order, and for each track the row that each of its points
// stands in, or -1 for a point without an x.
func merge(tracks []track) (places []float64, rows [][]int) {
	rows = make([][]int, len(tracks))
	if len(tracks) > 0 && slices.IndexFunc(tracks, func(t track) bool { return !slices.Equal(t.x, tracks[0].x) }) < 0 && rising(tracks[0].x) {
		// The common case: lines over one axis.
		for k := range rows {
			rows[k] = inOrder(len(tracks[0].x))
		}
		return tracks[0].x, rows
	}
	// Two readings at one x get a row each; nth tells them apart.
	type place struct {
		x   float64
		nth int
	}
	var all []place
	row := map[place]int{}
	visit := func(t track, f func(i int, at place)) {
		nth := map[float64]int{}
		for i, x := range t.x {
			if finite(x) {
				f(i, place{x, nth[x]})
				nth[x]++
			}
		}
	}
	for _, t := range tracks {
		visit(t, func(_ int, at place) {
			if _, known := row[at]; !known {
				row[at] = 0
				all = append(all, at)
			}
		})
	}
	slices.SortFunc(all, func(a, b place) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.nth, b.nth)) })
	for i, at := range all {
		row[at] = i
		places = append(places, at.x)
	}
	for k, t := range tracks {
		rows[k] = slices.Repeat([]int{-1}, len(t.x))
		visit(t, func(i int, at place) { rows[k][i] = row[at] })
	}
	return places, rows
}

// rising says whether finite numbers get ever larger.
func rising(list []float64) bool {
	for i, v := range list {
		if !finite(v) || i > 0 && v <= list[i-1] {
			return false
		}
	}
	return true
}

func heading(panel, line string) string {
	if panel = clean(panel); panel != "" && line != "" {
		return panel + ", " + line
	} else if panel != "" {
		return panel
	}
	return line
}

func (c *Curves) records(system System) [][]string { return c.grid(system).records() }

func (g grid) records() [][]string {
	rows := make([][]string, len(g.columns[0])+1)
	for k, column := range g.columns {
		rows[0] = append(rows[0], inert(g.heads[k]))
		size := largest(column)
		for i, v := range column {
			rows[i+1] = append(rows[i+1], figures(v, size))
		}
	}
	if g.names != nil {
		rows[0] = append(rows[0], "Reading")
		for i, name := range g.names {
			rows[i+1] = append(rows[i+1], inert(name))
		}
	}
	return rows
}

// largest is the size of the largest of some numbers.
func largest(lists ...[]float64) (size float64) {
	for _, list := range lists {
		for _, v := range list {
			if finite(v) {
				size = max(size, math.Abs(v))
			}
		}
	}
	return size
}

// figures prints a number with the digits that calculations on different machines agree on, nine, counted
// from the largest of its column; a gap is blank.
func figures(v, largest float64) string {
	const digits = 9
	if !finite(v) {
		return ""
	}
	if math.Abs(v) <= largest*1e-12 {
		return "0" // a rounding error, not a value
	}
	return strconv.FormatFloat(v, 'g', digits, 64)
}

// at is an item of a list, or nothing past its end.
func at[T any](list []T, i int) (item T) {
	if i < len(list) {
		item = list[i]
	}
	return item
}

// plainNumber undoes what is done to a number for print: minus sign, spaces between thousands.
var plainNumberText = strings.NewReplacer("−", "-", "\u202f", "", "\u00a0", " ")

func plainNumber(s string) string { return plainNumberText.Replace(s) }
