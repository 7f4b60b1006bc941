package figure

import (
	"math"

	"turnplate/sim/unit"
)

// Gauges are a few quantities as labelled strips, each with the limit that it is held against.
type Gauges struct {
	Head
	unplotted
	Rows []Gauge
}

// Gauge is one strip. Places on it are shares of its length, 0 at the start and 1 at the end.
type Gauge struct {
	Name      Text
	Value     Span    // as printed, with its unit
	At        float64 // where the value stands; NaN where there is none, beyond 0 or 1 where it lies off the strip
	Low, High float64 // ends of the 95 % coverage interval; the same as At where the value isn't uncertain
	Limit     float64 // NaN where there is none
	LimitText Span
	Better    string // "more" or "less", of the value; "" without a limit
	More      bool   // the good side of the limit is towards the strip's end
	From      Span   // what the ends of the strip are, as printed
	Until     Span
	Numbers   [4]float64 // value, ends of its interval, and limit, in SI; NaN where there is none
	Metric    unit.Unit  // in which readers of each system see them
	US        unit.Unit
}

// Verdict is how a value stands to its limit.
type Verdict string

// The verdicts. A value whose interval reaches across the limit is Across.
const (
	NoLimit Verdict = ""
	Within  Verdict = "within"
	Past    Verdict = "past"
	Across  Verdict = "across"
)

// Verdict tells on which side of its limit the value is, with its uncertainty.
func (g Gauge) Verdict() Verdict {
	if !finite(g.Limit) || !finite(g.At) {
		return NoLimit
	}
	low, high := g.Low < g.Limit, g.High > g.Limit
	if g.More {
		low, high = g.High > g.Limit, g.Low < g.Limit
	}
	switch {
	case low && high:
		return Across
	case high:
		return Past
	}
	return Within // on the limit itself too
}

// Says is the verdict in words.
func (g Gauge) Says() string {
	if !finite(g.At) {
		return "no value here"
	}
	return map[Verdict]string{Within: "on the good side", Past: "past the limit", Across: "may be past the limit"}[g.Verdict()]
}

// gaugeLength is the length of a strip in the units of its drawing.
const gaugeLength = 1000

// Strip is a part of the strip's length, for its drawing.
type Strip struct{ X, Width float64 }

// Fill is the part from the start to the value.
func (g Gauge) Fill() Strip { return strip(0, g.At) }

// Band is the part that the 95 % coverage interval takes.
func (g Gauge) Band() Strip { return strip(g.Low, g.High) }

// Good is the part on the good side of the limit.
func (g Gauge) Good() Strip {
	switch {
	case !finite(g.Limit):
		return Strip{}
	case g.More:
		return strip(g.Limit, 1)
	}
	return strip(0, g.Limit)
}

// Mark is where the limit stands on the strip's drawing; off the drawing where there is none on it.
func (g Gauge) Mark() float64 {
	if !finite(g.Limit) || g.Limit < 0 || g.Limit > 1 {
		return -gaugeLength
	}
	return math.Round(g.Limit * gaugeLength)
}

func strip(from, to float64) Strip {
	if !finite(from) || !finite(to) {
		return Strip{}
	}
	a, b := math.Round(within01(from)*gaugeLength), math.Round(within01(to)*gaugeLength)
	return Strip{a, b - a}
}

func within01(x float64) float64 { return math.Max(0, math.Min(1, x)) }

func (*Gauges) Draw(System) Picture        { return Picture{} }
func (g *Gauges) Marks() int               { return len(g.Rows) }
func (*Gauges) Template() (string, string) { return "gauges", "" }

// records are the gauges' numbers, one a row, each in its own unit.
func (g *Gauges) records(system System) [][]string {
	rows := [][]string{{"What", "Unit", "Value", "Low", "High", "Limit", "Verdict"}}
	for _, r := range g.Rows {
		u := r.Metric
		if system == US {
			u = r.US
		}
		row := []string{inert(r.Name.In(system)), u.Name}
		for _, v := range r.Numbers {
			row = append(row, figures(v/u.SI, math.Abs(v/u.SI)))
		}
		rows = append(rows, append(row, r.Says()))
	}
	return rows
}
