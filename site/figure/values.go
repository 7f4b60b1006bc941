package figure

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"

	"turnplate/site/canvas"
)

// values is what the page's script needs to read a value off the curves: where the plots stand on both
// drawings, how pixels become SI values and SI values text, and the lines themselves. An expensive line
// is thinned evenly. A value read out is one that was calculated, or lies on the straight line between two
// such, where lines have their points at different places.
type values struct {
	valuesFrame
	Plots  []valuesPanel `json:"plots"`
	Along  int           `json:"along,omitempty"`  // the axis: figures over the same one share their cursor
	Places []rounded     `json:"places,omitempty"` // X at each of its points; left out where it is that of the first line
}

type valuesFrame struct {
	Wide   [][4]rounded `json:"wide"`   // of each plot: left, top, width, height, in pixels
	Narrow [][4]rounded `json:"narrow"` // the same on the narrow drawing
	X      valuesAxis   `json:"x"`
	Y      valuesAxis   `json:"y"`
}

type valuesAxis struct {
	Label name         `json:"label"`
	Range [2]rounded   `json:"range"` // SI, at the two ends of the axis
	In    []valuesUnit `json:"in"`    // metric, US; or one for both
}

type valuesUnit struct {
	Size   float64 `json:"size"`   // SI size of what is printed
	Places int     `json:"places"` // decimals printed
	Symbol string  `json:"symbol"` // printed after the number, with its space
}

type valuesPanel struct {
	Title  name           `json:"title,omitempty"`
	Lines  []valuesLine   `json:"lines"`
	Points []valuesPoints `json:"points,omitempty"`
}

type valuesPoints struct {
	Label name      `json:"label"`
	X     []rounded `json:"x"`
	Y     []rounded `json:"y"`
	Error []rounded `json:"error,omitempty"` // null where it isn't known
	Names []string  `json:"names"`           // "" where a reading has none
}

type valuesLine struct {
	Label name      `json:"label,omitempty"`
	Look  string    `json:"look"`        // class of its colour
	X     []rounded `json:"x,omitempty"` // left out when it is that of the line before
	Y     []rounded `json:"y"`           // null in a gap
	Low   []rounded `json:"low,omitempty"`
	High  []rounded `json:"high,omitempty"`
}

// name is what something is called, by metric and by US readers, or by both.
type name []string

func (w Words) list() name {
	switch w = w.clean(); {
	case w.Metric == "":
		return nil
	case w.US == "":
		return name{w.Metric}
	}
	return name{w.Metric, w.US}
}

// rounded is a number with the six digits that a read-out could ever show.
type rounded float64

// MarshalJSON writes a gap as null.
func (v rounded) MarshalJSON() ([]byte, error) {
	if !finite(float64(v)) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, float64(v)+0, 'g', 6, 64), nil
}

// settle makes a rounding error beside a larger number zero: its digits differ from one processor to another.
func settle(v, largest float64) float64 {
	if math.Abs(v) <= largest*1e-12 {
		return 0
	}
	return v
}

func (r *curves) values(desk, phone *plan) []byte {
	v := values{valuesFrame: r.shown.values(desk, phone), Plots: []valuesPanel{}}
	for i, sh := range r.shown {
		v.X.In[i].Places = r.xPlaces(sh.x)
	}
	var before []rounded
	for _, p := range r.Panels {
		out := valuesPanel{Title: p.Title.list(), Lines: []valuesLine{}}
		for _, l := range p.Lines {
			line := r.lineValues(l)
			same := before != nil && slices.Equal(line.X, before)
			before = line.X
			if same {
				line.X = nil
			}
			out.Lines = append(out.Lines, line)
		}
		for _, limit := range r.Limits {
			line := r.lineValues(limit.Line)
			line.Look, before = canvas.Black.Name(), line.X
			out.Lines = append(out.Lines, line)
		}
		for _, set := range p.Points {
			points := valuesPoints{Label: name{orElse(clean(set.Label), "Readings")}, X: []rounded{}, Y: []rounded{}, Names: []string{}}
			for i := range set.known() {
				points.X, points.Y = append(points.X, rounded(set.X[i])), append(points.Y, rounded(set.Y[i]))
				points.Names = append(points.Names, set.name(i))
				if i < len(set.Error) {
					points.Error = append(points.Error, rounded(set.Error[i]))
				}
			}
			out.Points = append(out.Points, points)
		}
		v.Plots = append(v.Plots, out)
	}
	if r.Places != nil {
		v.Along = r.Along
		for _, x := range r.Places {
			v.Places = append(v.Places, rounded(x))
		}
		if len(v.Plots) > 0 && len(v.Plots[0].Lines) > 0 && slices.Equal(v.Places, v.Plots[0].Lines[0].X) {
			v.Places = nil
		}
	}
	return script(v)
}

// script is JSON for a script element: it escapes <, > and &.
func script(v any) []byte {
	text, err := json.Marshal(v)
	if err != nil {
		panic("figure: " + err.Error()) // only numbers and strings are in it
	}
	return text
}

func (r *curves) lineValues(l Line) valuesLine {
	const most = 400 // about one a pixel
	every := (l.count() + most - 1) / most
	out := valuesLine{Label: l.Label.list(), Look: r.styles[l.Label].ink.Name(), X: []rounded{}, Y: []rounded{}}
	size := largest(l.Y, l.Low, l.High)
	for i := 0; i < l.count(); i += every {
		if !finite(l.X[i]) {
			continue
		}
		out.X, out.Y = append(out.X, rounded(l.X[i])), append(out.Y, rounded(settle(l.Y[i], size)))
		if l.Low != nil && l.High != nil {
			lo, hi, ok := l.band(i)
			if !ok {
				lo, hi = math.NaN(), math.NaN()
			}
			out.Low, out.High = append(out.Low, rounded(settle(lo, size))), append(out.High, rounded(settle(hi, size)))
		}
	}
	return out
}

func (s systems) values(desk, phone *plan) (v valuesFrame) {
	for i := range desk.areas {
		v.Wide, v.Narrow = append(v.Wide, desk.areas[i].rounded()), append(v.Narrow, phone.areas[i].rounded())
	}
	v.X, v.Y = s.axis(func(sh shown) axis { return sh.x }), s.axis(func(sh shown) axis { return sh.y })
	return v
}

func (s systems) axis(of func(shown) axis) valuesAxis {
	first := of(s[0])
	v := valuesAxis{Label: name{clean(first.label)}, Range: [2]rounded{rounded(first.lo), rounded(first.hi)}}
	for _, sh := range s {
		a := of(sh)
		g := a.graduate(6, anyRoom)
		v.In = append(v.In, valuesUnit{a.unit.SI * math.Pow(10, float64(g.power)), g.fine, a.symbol(g).Text("")})
	}
	return v
}

func (b box) rounded() [4]rounded {
	return [4]rounded{rounded(b.x), rounded(b.y), rounded(b.w), rounded(b.h)}
}
