package upkeep

import (
	"math"
	"slices"
)

// Outcome is a value and its probability.
type Outcome struct{ Value, Chance float64 }

// Distribution is a discrete probability distribution, in rising order of value.
type Distribution []Outcome

// Certain is the distribution of one sure value.
func Certain(value float64) Distribution { return Distribution{{value, 1}} }

// Scale multiplies every value by a factor that isn't negative.
func (s Distribution) Scale(factor float64) Distribution {
	scaled := slices.Clone(s)
	for i := range scaled {
		scaled[i].Value *= factor
	}
	return scaled.merge()
}

// mostOutcomes bounds a Distribution: a sum of many unlike costs is thinned by joining neighbours, which keeps its
// mean exactly and moves a quantile by less than their distance.
const mostOutcomes = 2048

// Plus is the distribution of the sum of two independent values.
func (s Distribution) Plus(t Distribution) Distribution {
	sum := make(Distribution, 0, len(s)*len(t))
	for _, a := range s {
		for _, b := range t {
			sum = append(sum, Outcome{a.Value + b.Value, a.Chance * b.Chance})
		}
	}
	slices.SortFunc(sum, func(a, b Outcome) int {
		switch {
		case a.Value < b.Value:
			return -1
		case a.Value > b.Value:
			return 1
		}
		return 0
	})
	sum = sum.merge()
	for len(sum) > mostOutcomes {
		sum = sum.thin()
	}
	return sum
}

// Times is the distribution of the sum of n independent values of this one.
func (s Distribution) Times(n int) Distribution {
	sum := Certain(0)
	for range n {
		sum = sum.Plus(s)
	}
	return sum
}

// merge joins values that differ by rounding only.
func (s Distribution) merge() Distribution {
	const rounding = 1e-9
	merged := s[:1]
	for _, o := range s[1:] {
		if last := &merged[len(merged)-1]; o.Value-last.Value <= rounding*math.Abs(o.Value) {
			last.Chance += o.Chance
		} else {
			merged = append(merged, o)
		}
	}
	return merged
}

// thin joins each pair of neighbours at their mean.
func (s Distribution) thin() Distribution {
	thinned := s[:0]
	for i := 0; i < len(s); i += 2 {
		o := s[i]
		if i+1 < len(s) {
			if both := o.Chance + s[i+1].Chance; both > 0 {
				o = Outcome{(o.Value*o.Chance + s[i+1].Value*s[i+1].Chance) / both, both}
			}
		}
		thinned = append(thinned, o)
	}
	return thinned
}

// Mean is the expected value.
func (s Distribution) Mean() float64 {
	mean := 0.0
	for _, o := range s {
		mean += o.Value * o.Chance
	}
	return mean
}

// Quantile is the smallest value that is passed with a probability of at most 1 − p.
func (s Distribution) Quantile(p float64) float64 {
	const rounding = 1e-9
	sum := 0.0
	for _, o := range s {
		if sum += o.Chance; sum >= p-rounding {
			return o.Value
		}
	}
	return s[len(s)-1].Value
}
