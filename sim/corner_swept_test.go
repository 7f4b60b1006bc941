package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/clearance"
)

// What a drawing shows of the sweep measures what Clearance says, pitch and lift included.
func TestSweptMeasuresWhatClearanceSays(t *testing.T) {
	const close = 1e-8 // m: halvings along an edge
	rng := rand.New(rand.NewPCG(3, 81))
	overlaps := 0
	for done := 0; done < 40; {
		v := archTruck()
		v.Front.Lift, v.RearLift = 0.02*rng.Float64(), 0
		v.Tyre.OffsetChange = 0.02 * (rng.Float64() - 0.5)
		for i := range v.Body {
			for _, p := range []*Point{&v.Body[i].From, &v.Body[i].To} {
				p.X += 0.08 * (rng.Float64() - 0.5)
				p.Y += 0.08 * (rng.Float64() - 0.5)
				p.Z += 0.08 * (rng.Float64() - 0.5)
			}
		}
		if n := rng.IntN(len(v.Body)); done%2 == 0 { // every kind of obstacle is nearest now and then
			v.Body = v.Body[n : n+1]
		}
		want, err := Clearance{Vehicle: v}.Run()
		if err != nil {
			continue
		}
		done++
		s, err := SweptOf(v)
		require.NoError(t, err)
		assert.Equal(t, want.Obstacle, s.Names)
		assert.Equal(t, want.Gap, s.Gaps)
		assert.Equal(t, want.Nearest, s.Names[s.Nearest])
		assert.Equal(t, want.SmallestGap, s.Gaps[s.Nearest])

		tyre := v.Tyre.shape()
		gap, _ := tyre.Gap(&s.Tyre, &s.Edge)
		agree.Absolute(t, want.SmallestGap, gap, close, "between the tyre and the edge that are drawn")
		agree.Absolute(t, math.Abs(want.SmallestGap), s.OnEdge.Sub(s.OnTyre).Norm(), close, "the gap's line")
		onTyre, _ := tyre.Gap(&s.Tyre, &clearance.Edge{From: s.OnTyre, To: s.OnTyre})
		agree.Absolute(t, 0, onTyre, close, "one end on the tyre")
		along := want.Along[s.Nearest] / s.Edge.To.Sub(s.Edge.From).Norm()
		middle := s.Edge.From.Add(s.Edge.To.Sub(s.Edge.From).Scale(along))
		agree.Absolute(t, s.Edge.Radius, s.OnEdge.Sub(middle).Norm(), close, "the other on the edge's rounding")
		if gap < 0 {
			overlaps++
		}

		// At the ends of travel the wheel has moved by that; at the locks it keeps its height in the body.
		rest, err := SketchOf(v, 0, 0)
		require.NoError(t, err)
		a, err := newAxle(&v)
		require.NoError(t, err)
		for i, bump := range []float64{v.Front.Lift - v.Spring.DroopTravel, v.Front.Lift + v.Spring.BumpTravel} {
			p, err := a.left.height(bump)
			require.NoError(t, err)
			w := a.left.seen(p)
			agree.Absolute(t, 0, s.Ends[i].Centre.Sub(rest.WheelCentre).Sub(a.left.level(w.Centre.Sub(a.left.rest.Centre.Sub(a.left.rest.Spin.Scale(v.Tyre.OffsetChange))))).Norm(), roundingLength, "moved as the wheel does")
		}
		require.Len(t, s.Locks, 2)
		assert.Greater(t, s.Locks[0].Axis.X, rest.Spin.X, "turned right, the axis of a left wheel leans forward")
		assert.Less(t, s.Locks[1].Axis.X, rest.Spin.X)
	}
	assert.Greater(t, overlaps, 3)
}

// A sweep needs what Clearance needs.
func TestSweptNeedsObstacles(t *testing.T) {
	v := archTruck()
	v.Body = nil
	_, err := SweptOf(v)
	assert.Equal(t, NotGiven{"Body"}, err)
}
