package figure

// What a plot is drawn from, whatever draws it: plotted.go, or direct.go where there is no room for that.

// pair is a point in the coordinates of a plot.
type pair struct{ X, Y float64 }

// pairs are a line's or an outline's points.
type pairs []pair

// Len and XY are how gonum's plotters read them.
func (p pairs) Len() int { return len(p) }

// XY gives one of them.
func (p pairs) XY(i int) (x, y float64) { return p[i].X, p[i].Y }

// bin is a bar of a histogram.
type bin struct{ Min, Max, Weight float64 }

// drawable says whether an axis has limits that gonum draws: finite, in order, and so far apart that its numbers
// differ.
func (e extent) drawable() bool {
	const narrowest = 1e-9 // of the larger limit
	return finite(e.lo) && finite(e.hi) && e.size() > narrowest*max(e.hi, -e.lo) && e.size() > 0
}

// ticker is a graduation of an axis as gonum asks for it: labelled, in SI units.
type ticker struct {
	graduation
	one float64 // SI size of the unit that its values are in
}

// labelled gives the labelled graduations, their values in SI units.
func (t ticker) labelled() (list []tick) {
	for _, mark := range t.ticks {
		list = append(list, tick{value: mark.value * t.one, label: mark.label})
	}
	return list
}
