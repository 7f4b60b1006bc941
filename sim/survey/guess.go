package survey

import (
	"math"

	"turnplate/sim/geom"
)

// mostOthers bounds the second starts that are tried: each asks for another adjustment.
const mostOthers = 8

// Starts completes a start in which unknowns that nothing is known of are NaN: each point that has some is placed by
// its own readings to points that are already placed, the one with most of them first. A point whose readings fit in
// two places gives a second start with it in the other; the first start has all in the place that fits better.
func (n *Network) Starts(x []float64) [][]float64 {
	first := append([]float64(nil), x...)
	type other struct {
		unknowns []int
		at       []float64
	}
	var others []other
	for {
		point, readings := n.nextToPlace(first)
		if point < 0 {
			break
		}
		unknowns, places := n.placed(point, readings, first)
		for k, u := range unknowns {
			first[u] = places[0][k]
		}
		if len(places) > 1 && len(others) < mostOthers {
			others = append(others, other{unknowns, places[1]})
		}
	}
	starts := [][]float64{first}
	for _, o := range others {
		second := append([]float64(nil), first...)
		for k, u := range o.unknowns {
			second[u] = o.at[k]
		}
		starts = append(starts, second)
	}
	return starts
}

// AdjustFrom adjusts from each start and keeps the result that misfits least.
func (n *Network) AdjustFrom(starts [][]float64) (best *Adjustment, err error) {
	for _, x := range starts {
		a, e := n.Adjust(x)
		if e != nil {
			if err == nil {
				err = e
			}
			continue
		}
		if best == nil || a.Misfit < best.Misfit {
			best = a
		}
	}
	if best != nil {
		return best, nil
	}
	return nil, err
}

// missing lists a point's unknowns that have no value yet.
func (n *Network) missing(point int, x []float64) (list []int) {
	for _, c := range n.Points[point] {
		if c.Sign != 0 && math.IsNaN(x[c.Unknown]) {
			list = append(list, c.Unknown)
		}
	}
	return list
}

// nextToPlace gives the point without a place that has most readings by itself or to placed points; −1 when all are
// placed.
func (n *Network) nextToPlace(x []float64) (best int, of []Reading) {
	best = -1
	for p := range n.Points {
		if len(n.missing(p, x)) == 0 {
			continue
		}
		var own []Reading
		for _, r := range n.Readings {
			switch {
			case !r.Kind.Pair():
				if r.From == p {
					own = append(own, r)
				}
			case r.From == p && len(n.missing(r.To, x)) == 0, r.To == p && len(n.missing(r.From, x)) == 0:
				own = append(own, r)
			}
		}
		if best < 0 || len(own) > len(of) {
			best, of = p, own
		}
	}
	return best, of
}

// placed gives where a point fits its readings, at most two places, the better first; without enough readings it is
// put among the points it was read to, where the adjustment of all may still find it.
func (n *Network) placed(point int, readings []Reading, x []float64) (unknowns []int, places [][]float64) {
	unknowns = n.missing(point, x)
	alone := &Network{Loosest: n.Loosest, Readings: readings}
	var middle geom.Point
	count, reach := 0.0, 0.0
	for p, place := range n.Points {
		for i, c := range place {
			switch {
			case c.Sign == 0:
			case p != point && !math.IsNaN(x[c.Unknown]):
				place[i] = Coordinate{At: c.Sign * x[c.Unknown]}
			case p == point:
				place[i] = Coordinate{At: c.Sign * x[c.Unknown]}
				for k, u := range unknowns {
					if u == c.Unknown {
						place[i] = Coordinate{Unknown: k, Sign: c.Sign}
					}
				}
			}
		}
		alone.Points = append(alone.Points, place)
	}
	for _, r := range readings {
		other := r.From + r.To - point
		if !r.Kind.Pair() {
			continue
		}
		middle = middle.Add(n.At(other, x))
		reach += r.Value
		count++
	}
	if count > 0 {
		middle, reach = middle.Scale(1/count), reach/count
	}
	least := math.Inf(1)
	for side := range 8 {
		off := geom.Point{X: reach, Y: reach, Z: reach}.Scale(0.5)
		if side&1 != 0 {
			off.Z = -off.Z
		}
		if side&2 != 0 {
			off.X = -off.X
		}
		if side&4 != 0 {
			off.Y = -off.Y
		}
		start := alone.from(point, len(unknowns), middle.Add(off))
		at, err := alone.settle(start)
		if err != nil {
			if len(places) == 0 && side == 7 {
				places = [][]float64{start}
			}
			continue
		}
		sum := alone.sum(at)
		switch {
		case len(places) == 0:
			places, least = [][]float64{at}, sum
		case alike(at, places[0], reach):
		case sum < least:
			places, least = [][]float64{at, places[0]}, sum
		case len(places) == 1:
			places = append(places, at)
		}
	}
	return unknowns, places
}

// from gives unknowns that put a point near a place.
func (n *Network) from(point, unknowns int, near geom.Point) []float64 {
	x := make([]float64, unknowns)
	for i, c := range n.Points[point] {
		if c.Sign != 0 {
			x[c.Unknown] = c.Sign * [...]float64{near.X, near.Y, near.Z}[i]
		}
	}
	return x
}

// alike tells whether two places are one, found twice.
func alike(a, b []float64, reach float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-6*(1+reach) {
			return false
		}
	}
	return true
}
