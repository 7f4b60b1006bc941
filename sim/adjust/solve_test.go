package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/geom"
	"turnplate/sim/wishbone"
)

const deg = math.Pi / 180

func mm(x, y, z float64) geom.Point { return geom.Point{X: x * 1e-3, Y: y * 1e-3, Z: z * 1e-3} }

// randomCorner is an ordinary corner, every point within 20 mm of an invented one, the rack ahead or behind.
func randomCorner(rng *rand.Rand) (Corner, bool) {
	near := func(x, y, z float64) geom.Point {
		s := func() float64 { return 40 * (rng.Float64() - 0.5) }
		return mm(x+s(), y+s(), z+s())
	}
	ahead := 1.0
	if rng.IntN(2) == 0 {
		ahead = -1
	}
	m, err := wishbone.Measure(wishbone.Hardpoints{
		UpperFront: near(90, 420, 610), UpperRear: near(-130, 425, 595), UpperBall: near(-22, 665, 620),
		LowerFront: near(180, 340, 265), LowerRear: near(-200, 345, 262), LowerBall: near(12, 735, 245),
		TieInner: near(ahead*135, 360, 300), TieOuter: near(ahead*150, 718, 288), WheelCentre: near(0, 800, 385),
		Spin: geom.Point{X: 0.01 * rng.Float64(), Y: 1, Z: 0.02 * (rng.Float64() - 0.5)},
	})
	if err != nil {
		return Corner{}, false
	}
	c := Corner{Measured: &m, Height: 0.385 - 0.08*rng.Float64(), Ground: wishbone.Pitched(0.02 * (rng.Float64() - 0.5))}
	var s State
	return c, c.At(Settings{}, &s) == nil
}

func corners(rng *rand.Rand, n int, each func(Corner)) {
	for done := 0; done < n; {
		if c, ok := randomCorner(rng); ok {
			done++
			each(c)
		}
	}
}

func cams(most float64) Ranges {
	r := Range{Least: -most, Most: most, Unit: most}
	return Ranges{CamFront: r, CamRear: r}
}

func everything(camMost, upperMost float64) Ranges {
	w := cams(camMost)
	for _, k := range []Kind{UpperShift, UpperFrontLeg, UpperRearLeg} {
		w[k] = Range{Least: -upperMost, Most: upperMost, Unit: 0.01}
	}
	return w
}

// Rates agree with central differences.
func TestRatesAgainstDifferences(t *testing.T) {
	const (
		step  = 1e-5 // m
		close = 1e-7 // rad/m, of rates of some rad/m: the step's square times a third derivative, and 1e-13 rad over the step
	)
	corners(rand.New(rand.NewPCG(3, 5)), 100, func(c Corner) {
		var s, up, down State
		require.NoError(t, c.At(Settings{0.004, -0.003, 0.002, 0.001, -0.002, 0.001}, &s))
		for k := range Kind(Kinds) {
			x, y := s.Set, s.Set
			x[k] += step
			y[k] -= step
			require.NoError(t, c.At(x, &up))
			require.NoError(t, c.At(y, &down))
			r := s.Rate(k)
			assert.InDelta(t, (up.Camber-down.Camber)/(2*step), r.Camber, close)
			assert.InDelta(t, (up.Caster-down.Caster)/(2*step), r.Caster, close)
			assert.InDelta(t, (up.Toe-down.Toe)/(2*step), r.Toe, close)
		}
	})
}

// samples sets the corner to many settings within the ranges, toe brought to its target.
func samples(t *testing.T, rng *rand.Rand, c *Corner, within *Ranges, toe float64, n int, each func(Angles)) {
	var s State
	for range n {
		x := Settings{}
		require.NoError(t, c.At(x, &s))
		for k, r := range within {
			if r.Used() {
				share := math.Max(0, math.Min(1, 1.5*rng.Float64()-0.25)) // the ends often
				x[k] = r.Least + share*(r.Most-r.Least)
			}
		}
		if a := c.withToe(x, toe, &s); !math.IsNaN(a.Camber) {
			require.InDelta(t, toe, a.Toe, angleClose)
			each(a)
		}
	}
}

// Out of range, no sampled setting within the ranges is better than what Solve gives, by the order that Target states
// and by more than slack.
func TestNothingBeatsTheNearest(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 6))
	const slack = 1e-9
	short := 0
	corners(rng, 60, func(c Corner) {
		within := cams(0.004 + 0.008*rng.Float64())
		if rng.IntN(3) == 0 {
			within = everything(0.006, 0.004)
		}
		var start, s State
		require.NoError(t, c.At(Settings{}, &start))
		to := Target{CamberTolerance: 0.25 * deg, Angles: Angles{
			Camber: start.Camber + 8*deg*(rng.Float64()-0.5), Caster: start.Caster + 16*deg*(rng.Float64()-0.5), Toe: 0.1 * deg}}
		out, err := c.Solve(Settings{}, &within, to, &s)
		require.NoError(t, err)
		require.NoError(t, out.Blocked)
		require.InDelta(t, to.Toe, s.Toe, angleClose)
		for k, r := range within {
			require.GreaterOrEqual(t, s.Set[k], r.Least-1e-15)
			require.LessOrEqual(t, s.Set[k], r.Most+1e-15)
		}
		if out.Reached {
			return
		}
		short++
		require.NotEqual(t, Ends{}, out.AtEnd)
		g := goal{at: vector{to.Camber, to.Caster}, tolerance: to.CamberTolerance}
		found := g.score(vector{s.Camber, s.Caster})
		samples(t, rng, &c, &within, to.Toe, 400, func(a Angles) {
			other := g.score(vector{a.Camber, a.Caster})
			for k := range other {
				if other[k] < found[k]-slack {
					t.Fatalf("%v is better than %v", other, found)
				}
				if other[k] > found[k]+slack {
					break
				}
			}
		})
	})
	assert.Greater(t, short, 30, "most targets lie out of range")
}

// The smallest movement obeys Lagrange's condition: the movements in their units, less those at an end, are a
// combination of the two rates.
func TestSmallestSettingIsStationary(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 7))
	const close = 1e-6 // of movements in units of 10 mm
	reached := 0
	corners(rng, 150, func(c Corner) {
		within := everything(0.006, 0.1)
		from := Settings{0.002, -0.003, 0.001, 0.002, -0.001, 0.001}
		var start, s State
		if c.At(from, &start) != nil {
			return
		}
		to := Target{Angles: Angles{start.Camber + 3*deg*(rng.Float64()-0.5), start.Caster + 10*deg*(rng.Float64()-0.5), 0.1 * deg}}
		out, err := c.Solve(from, &within, to, &s)
		require.NoError(t, err)
		if !out.Reached {
			return
		}
		reached++
		require.InDelta(t, to.Camber, s.Camber, angleClose)
		require.InDelta(t, to.Caster, s.Caster, angleClose)
		require.InDelta(t, to.Toe, s.Toe, angleClose)
		// Any two free adjusters fix the multipliers; every third must agree.
		tie := s.Rate(TieRod)
		rate, _ := s.rates(&within, &tie)
		var b [setters]vector
		var y [setters]float64
		var free []int
		for k, r := range within {
			b[k] = vector{rate[k].camber * r.Unit, rate[k].caster * r.Unit}
			y[k] = (s.Set[k] - from[k]) / r.Unit
			if !out.AtEnd[k] {
				free = append(free, k)
			}
		}
		require.GreaterOrEqual(t, len(free), 3)
		i, j := free[0], free[1]
		det := b[i].cross(b[j])
		l := vector{(y[i]*b[j].caster - y[j]*b[i].caster) / det, (b[i].camber*y[j] - b[j].camber*y[i]) / det}
		for _, k := range free[2:] {
			assert.InDelta(t, b[k].dot(l), y[k], close)
		}
		for k, r := range within {
			if out.AtEnd[k] { // it would go further if it might
				assert.GreaterOrEqual(t, (b[k].dot(l)-y[k])*(s.Set[k]-(r.Least+r.Most)/2), -close)
			}
		}
	})
	assert.Greater(t, reached, 120)
}

// Where a joint ends the way to a target, the corner is set as far along it as the joint allows, with toe exact, and the
// outcome names the joint.
func TestJointEndsTheWay(t *testing.T) {
	corners(rand.New(rand.NewPCG(3, 8)), 40, func(c Corner) {
		within := cams(0.012)
		var start, s, free State
		require.NoError(t, c.At(Settings{}, &start))
		to := Target{Angles: Angles{start.Camber, start.Caster + 1*deg, 0.1 * deg}}
		out, err := c.Solve(Settings{}, &within, to, &free)
		require.NoError(t, err)
		if !out.Reached {
			return
		}
		limit := start.Caster + 0.4*deg
		blocked := wishbone.Unreachable{Joint: wishbone.UpperBallJoint}
		c.Allowed = func(s *State) error {
			if s.Caster > limit {
				return blocked
			}
			return nil
		}
		out, err = c.Solve(Settings{}, &within, to, &s)
		require.NoError(t, err)
		require.False(t, out.Reached)
		require.ErrorIs(t, out.Blocked, blocked)
		assert.InDelta(t, limit, s.Caster, 1e-8)
		assert.InDelta(t, to.Camber, s.Camber, 1e-8)
		assert.InDelta(t, to.Toe, s.Toe, angleClose)
		assert.InDelta(t, 0.6*deg, out.Short.Caster, 1e-8)
		// The region ends there too.
		_, most := c.Extreme(Settings{}, &within, to.Angles, false)
		assert.InDelta(t, limit, most, 1e-8)
	})
}

// A target beyond what the joints can reach is an answer that names the joint, not a failure.
func TestArmsTooShort(t *testing.T) {
	c, ok := randomCorner(rand.New(rand.NewPCG(3, 9)))
	require.True(t, ok)
	within := everything(0.006, 0.1)
	var s State
	out, err := c.Solve(Settings{}, &within, Target{Angles: Angles{Camber: -40 * deg, Caster: 40 * deg}}, &s)
	require.NoError(t, err)
	assert.False(t, out.Reached)
	assert.InDelta(t, 0, s.Toe, angleClose)
}

// Every setting's alignment lies within the extremes at its camber and at its caster, and each extreme can be
// held.
func TestExtremesHoldEverything(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 10))
	const slack = 1e-9
	corners(rng, 25, func(c Corner) {
		within := cams(0.01)
		if rng.IntN(2) == 0 {
			within = everything(0.006, 0.005)
		}
		samples(t, rng, &c, &within, 0, 20, func(a Angles) {
			least, most := c.Extreme(Settings{}, &within, a, false)
			require.LessOrEqual(t, least, a.Caster+slack)
			require.GreaterOrEqual(t, most, a.Caster-slack)
			low, high := c.Extreme(Settings{}, &within, a, true)
			require.LessOrEqual(t, low, a.Camber+slack)
			require.GreaterOrEqual(t, high, a.Camber-slack)
			var s State
			out, err := c.Solve(Settings{}, &within, Target{Angles: Angles{a.Camber, most - 1e-7, 0}}, &s)
			require.NoError(t, err)
			require.True(t, out.Reached || math.Abs(most-least) < 1e-6, "just inside the extreme")
			out, err = c.Solve(Settings{}, &within, Target{Angles: Angles{a.Camber, most + 1e-6, 0}}, &s)
			require.NoError(t, err)
			require.False(t, out.Reached, "just beyond it")
		})
		least, most := c.Extreme(Settings{}, &within, Angles{Camber: 30 * deg}, false)
		require.True(t, math.IsNaN(least) && math.IsNaN(most), "a camber that can't be held")
	})
}

// The outline is closed, and at the camber of each of its points one of the extremes of caster is that point.
func TestOutlineIsTheExtremes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 11))
	// With more than two adjusters, the order in which they are run is taken from the rates at one setting and can be
	// slightly wrong at another, which dents the edge.
	const closeOfTwo, closeOfMore = 1e-8, 0.15 * deg
	corners(rng, 12, func(c Corner) {
		within, close := cams(0.01), closeOfTwo
		if rng.IntN(2) == 0 {
			within, close = everything(0.006, 0.005), closeOfMore
		}
		var edge [121]Angles
		require.NoError(t, c.Outline(Settings{}, &within, 0, edge[:]))
		require.Equal(t, edge[0], edge[120])
		for _, a := range edge[:120] {
			require.InDelta(t, 0, a.Toe, angleClose)
			least, most := c.Extreme(Settings{}, &within, a, false)
			if math.IsNaN(least) { // the corner of the region itself: rounding can take it out of the range
				continue
			}
			require.Less(t, math.Min(math.Abs(a.Caster-least), math.Abs(a.Caster-most)), close)
		}
	})
}

// The last step of the tie rod, which changes only the setting and the angles, gives the same angles as setting the
// corner anew.
func TestWithToeIsWhatIsSet(t *testing.T) {
	const close = 1e-12 // rad: what rounding leaves of a wheel height
	rng := rand.New(rand.NewPCG(3, 12))
	corners(rng, 50, func(c Corner) {
		var x Settings
		for k := range x {
			x[k] = 0.01 * (rng.Float64() - 0.5)
		}
		var s, again State
		toe := 0.01 * (rng.Float64() - 0.5)
		at := c.withToe(x, toe, &s)
		require.NoError(t, c.At(s.Set, &again))
		require.InDelta(t, toe, again.Toe, close)
		require.InDelta(t, again.Toe, at.Toe, close)
		require.InDelta(t, again.Camber, at.Camber, close)
		require.InDelta(t, again.Caster, at.Caster, close)
	})
}

// Where the tie rod's guessed length can't be assembled, the point of the outline is found all the same, from where
// the rod last stood, and the course that guessed wrong is dropped.
func TestWrongGuessLosesNoPoint(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 13))
	corners(rng, 50, func(c Corner) {
		var x Settings
		x[CamFront] = 0.005
		var s State
		require.NoError(t, c.At(Settings{}, &s))
		here := s
		want := c.withToe(x, here.Toe, &s)
		require.False(t, math.IsNaN(want.Camber))
		s = here
		rod := course{slope: 200, n: 1} // a metre too long
		got := c.further(&rod, x, CamFront, here.Toe, &s, new(State))
		require.InDelta(t, want.Camber, got.Camber, angleClose)
		require.InDelta(t, want.Caster, got.Caster, angleClose)
		require.InDelta(t, 0, rod.at(0.01), 0.05)
	})
}

// turned is p turned about a unit axis by Rodrigues' formula.
func turned(p, axis geom.Point, angle float64) geom.Point {
	sin, cos := math.Sincos(angle)
	return p.Scale(cos).Add(axis.Cross(p).Scale(sin)).Add(axis.Scale(axis.Dot(p) * (1 - cos)))
}
