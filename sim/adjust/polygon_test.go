package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// linear is a made-up corner that is linear: n adjusters with rates and ranges of a real one's size.
func linear(rng *rand.Rand, n int) (rate [setters]vector, least, most, wanted move, within Ranges) {
	for k := range n {
		rate[k] = vector{6 * (rng.Float64() - 0.5), 6 * (rng.Float64() - 0.5)}
		least[k], most[k] = -0.01*rng.Float64(), 0.01*rng.Float64()
		wanted[k] = 0.004 * (rng.Float64() - 0.5)
		within[k] = Range{Least: least[k], Most: most[k], Unit: 0.002 + 0.01*rng.Float64()}
	}
	return rate, least, most, wanted, within
}

func reachedBy(rate *[setters]vector, d *move) (at vector) {
	for k := range rate {
		at = at.add(rate[k], d[k])
	}
	return at
}

func randomMove(rng *rand.Rand, least, most *move) (d move) {
	for k := range d {
		switch share := rng.Float64(); {
		case share < 0.3:
			d[k] = least[k]
		case share > 0.7:
			d[k] = most[k]
		default:
			d[k] = least[k] + (share-0.3)/0.4*(most[k]-least[k])
		}
	}
	return d
}

// No movement within the ranges is better than the one that best gives, for any goal.
func TestBestOfPolygon(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2))
	for round := range 4000 {
		rate, least, most, _, _ := linear(rng, round%(setters+1))
		p := newPolygon(&rate, &least, &most)
		g := goal{
			seek:      seek(rng.IntN(5)),
			at:        vector{0.1 * (rng.Float64() - 0.5), 0.1 * (rng.Float64() - 0.5)},
			tolerance: 0.01 * rng.Float64(),
		}
		if g.seek == nearest && p.holds(g.at) {
			continue // best looks along the edge, and is asked only for what lies outside
		}
		d := p.best(&g)
		for k := range d {
			require.GreaterOrEqual(t, d[k], least[k])
			require.LessOrEqual(t, d[k], most[k])
		}
		found := g.score(reachedBy(&rate, &d))
		for range 60 {
			other := randomMove(rng, &least, &most)
			s := g.score(reachedBy(&rate, &other))
			require.False(t, s.better(found, scoreClose), "%v is better than %v", s, found)
		}
	}
}

// A point is held exactly when some movement goes there.
func TestPolygonHoldsWhatCanBeReached(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for round := range 2000 {
		rate, least, most, _, _ := linear(rng, 2+round%(setters-1))
		p := newPolygon(&rate, &least, &most)
		inner := randomMove(rng, &least, &most)
		for k := range inner { // towards the middle, off the edge
			inner[k] = (least[k]+most[k])/2 + 0.999*(inner[k]-(least[k]+most[k])/2)
		}
		require.True(t, p.holds(reachedBy(&rate, &inner)))
		e := rng.IntN(p.sides())
		edge := p.edge(e, rng.Float64())
		at := reachedBy(&rate, &edge)
		middle := vector{}
		for k := range rate {
			middle = middle.add(rate[k], (least[k]+most[k])/2)
		}
		require.False(t, p.holds(middle.add(at.sub(middle), 1.0001)), "beyond the edge")
		require.True(t, p.holds(middle.add(at.sub(middle), 0.9999)), "within the edge")
	}
}

// The smallest movement goes to the point, keeps to the ranges, and no other that does so is smaller: it is
// compared with itself plus every direction that doesn't move the point.
func TestSmallestMovement(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	const close = 1e-12
	size := func(d, wanted *move, within *Ranges) (sum float64) {
		for k, r := range within {
			if r.Used() {
				y := (d[k] - wanted[k]) / r.Unit
				sum += y * y
			}
		}
		return sum
	}
	limited := 0
	for round := range 3000 {
		n := 3 + round%(setters-2)
		rate, least, most, wanted, within := linear(rng, n)
		aim := randomMove(rng, &least, &most)
		for k := range aim {
			aim[k] = (least[k]+most[k])/2 + 0.98*(aim[k]-(least[k]+most[k])/2)
		}
		to := reachedBy(&rate, &aim)
		d, ok := smallest(&rate, &least, &most, &wanted, &within, to)
		require.True(t, ok, "round %d", round)
		got := reachedBy(&rate, &d)
		require.InDelta(t, to.camber, got.camber, close)
		require.InDelta(t, to.caster, got.caster, close)
		for k := range d {
			require.GreaterOrEqual(t, d[k], least[k])
			require.LessOrEqual(t, d[k], most[k])
			if within[k].Used() && (d[k] == least[k] || d[k] == most[k]) {
				limited++
			}
		}
		base := size(&d, &wanted, &within)
		require.LessOrEqual(t, base, size(&aim, &wanted, &within)+close, "not larger than another way there")
		// Each three adjusters have one direction that leaves the point where it is.
		for i := range n {
			for j := range i {
				for k := range j {
					var still move
					still[i], still[j], still[k] = rate[j].cross(rate[k]), rate[k].cross(rate[i]), rate[i].cross(rate[j])
					for _, step := range []float64{1e-6, -1e-6} {
						other, inside := d, true
						for q := range other {
							other[q] += step * still[q]
							inside = inside && other[q] >= least[q] && other[q] <= most[q]
						}
						if inside {
							require.GreaterOrEqual(t, size(&other, &wanted, &within), base-close)
						}
					}
				}
			}
		}
	}
	assert.Greater(t, limited, 500, "limits matter in many of the rounds")
}

// Without an adjuster there is one point, which is the best there is.
func TestPolygonOfNothing(t *testing.T) {
	var rate [setters]vector
	var still move
	p := newPolygon(&rate, &still, &still)
	assert.Equal(t, still, p.best(&goal{at: vector{1, 1}}))
	assert.False(t, p.holds(vector{}))
	assert.False(t, math.IsNaN(p.start.camber))
}
