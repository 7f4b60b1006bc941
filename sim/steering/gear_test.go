package steering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// plain is a gear of 8 mm a radian with assistance that starts at once.
var plain = Gear{RackPerRadian: 0.008, Efficiency: 0.9, ReverseEfficiency: 0.7, AssistGain: 4, AssistCeiling: 4000}

func TestAssistanceFromNothing(t *testing.T) {
	for _, c := range []struct{ rack, driver float64 }{
		{0, 0}, {1000, 200}, {-1000, -200}, {5000, 1000}, {6000, 2000}, {-6000, -2000},
	} {
		assert.InDelta(t, c.driver*0.008, plain.Held(c.rack), 1e-12, "rack force %g", c.rack)
		assert.InDelta(t, c.driver*0.008/0.9, plain.Turning(c.rack), 1e-12, "rack force %g", c.rack)
	}
	none := Gear{RackPerRadian: 0.008}
	assert.InDelta(t, 700*0.008, none.Held(700), 1e-12, "no assistance")
	none.AssistGain = 4
	assert.InDelta(t, 700*0.008, none.Held(700), 1e-12, "a ceiling of nothing is none")
}

// The three-piece curve with onset 1 N·m, full at 7 N·m and 6 N·m a N·m between (form seen in the Handbook of
// Biomechatronics, eq. 30; numbers computed by an independent script): 0.5, 2, 4, 7 and 9 N·m get 0, 6, 18, 36 and 36 N·m.
func TestAssistanceInThreePieces(t *testing.T) {
	g := Gear{RackPerRadian: 0.0075, Efficiency: 0.85, AssistGain: 6, AssistOnset: 1}
	g.AssistCeiling = 36 * g.Efficiency / g.RackPerRadian
	for _, row := range []struct{ driver, assistance float64 }{{0.5, 0}, {1, 0}, {2, 6}, {4, 18}, {7, 36}, {9, 36}} {
		rack := (row.driver + row.assistance) * g.Efficiency / g.RackPerRadian
		agree.Relative(t, row.driver, g.Turning(rack), 1e-12, "driver's torque")
		agree.Relative(t, -row.driver, g.Turning(-rack), 1e-12, "the other way")
	}
}

// A hydraulic valve's smooth curve, p = 0.12 MPa·(exp(0.85·T) − 1) on 10 cm² with a pinion of 7.5 mm (form from Pfeffer &
// Harrer, Steering Handbook, from memory; rows computed by an independent script), beside a straight piece with an onset
// of 1.9 N·m: the piece says the same to a fifth from 1 kN on, where one without an onset is far too light.
func TestAssistanceBesideAHydraulicValve(t *testing.T) {
	rows := []struct{ rack, driver float64 }{
		{200, 0.728401}, {500, 1.480937}, {1000, 2.259196}, {2000, 3.121338}, {4000, 3.997167}, {6000, 4.504166}, {8000, 4.860491},
	}
	onset := Gear{RackPerRadian: 0.0075, Efficiency: 1, AssistGain: 17, AssistOnset: 1.9, AssistCeiling: 1e5}
	at := onset
	at.AssistOnset = 0
	for _, row := range rows {
		assert.LessOrEqual(t, row.driver, row.rack*0.0075, "the valve takes from the driver")
		assert.LessOrEqual(t, at.Held(row.rack), onset.Held(row.rack))
		if row.rack >= 1000 {
			assert.InEpsilon(t, row.driver, onset.Held(row.rack), 0.2, "at %g N", row.rack)
		}
	}
	assert.Less(t, at.Held(2000), 0.4*rows[3].driver, "without an onset it takes far too much off a middling effort")
}

// Whatever the gear: odd, rising, never more than the ceiling, never against the driver, and what it does follows the stated
// curve of the driver's torque.
func TestAssistanceProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(rt, name) }
		g := Gear{RackPerRadian: draw("rack", 0.004, 0.012), Efficiency: draw("efficiency", 0.5, 1), AssistGain: draw("gain", 0, 20),
			AssistCeiling: draw("ceiling", 0, 9000), AssistOnset: draw("onset", 0, 4)}
		bare := g
		bare.AssistGain = 0
		last := 0.0
		for rack := 50.0; rack < 2e4; rack *= 1.2 {
			own := g.Turning(rack)
			if !(own > last) {
				rt.Fatalf("at %g N the driver gives %g after %g", rack, own, last)
			}
			last = own
			if other := g.Turning(-rack); other != -own {
				rt.Fatalf("odd: %g and %g", own, other)
			}
			perTorque := g.Efficiency / g.RackPerRadian
			assistance := rack - own*perTorque
			want := math.Min(g.AssistCeiling, g.AssistGain*perTorque*math.Max(0, own-g.AssistOnset))
			if !(math.Abs(assistance-want) <= 1e-9*rack) || assistance > g.AssistCeiling+1e-9*rack || assistance < -1e-9*rack {
				rt.Fatalf("at %g N the assistance is %g, by the curve %g", rack, assistance, want)
			}
			if own > bare.Turning(rack)*(1+1e-12) {
				rt.Fatalf("at %g N assistance makes it heavier", rack)
			}
		}
	})
	assert.Zero(t, plain.Held(0))
}

// Dry friction under a vibration of speed amplitude v_d lets a slower mean motion pass against F·(2/π)·asin(v/v_d):
// classical averaging (from memory; rows computed), here against the friction's own mean over a period. That is what
// RollingFriction stands for: a fifth of the vibration's speed meets an eighth of the friction.
func TestFrictionWhileTheRoadShakes(t *testing.T) {
	mean := func(ratio float64) float64 {
		const steps = 200000
		sum := 0.0
		for i := range steps {
			sum += math.Copysign(1, ratio+math.Sin(2*math.Pi*(float64(i)+0.5)/steps))
		}
		return sum / steps
	}
	for _, row := range []struct{ ratio, share float64 }{
		{0.05, 0.031844}, {0.1, 0.063769}, {0.2, 0.128188}, {0.5, 0.333333}, {0.8, 0.590334}, {1, 1},
	} {
		agree.Relative(t, row.share, 2/math.Pi*math.Asin(row.ratio), 1e-5, "the formula")
		agree.Relative(t, row.share, mean(row.ratio), 1e-3, "the mean over a period")
	}
	agree.Relative(t, 9549.297, 300*2/(math.Pi*0.02), 1e-6, "300 N shaken at 0.02 m/s: slope near rest, N·s/m")
}

func TestTurningAndLetGo(t *testing.T) {
	g := Gear{RackPerRadian: 0.008, Friction: 100, Efficiency: 0.9, ReverseEfficiency: 0.7}
	agree.Relative(t, (2000+100)*0.008/0.9, g.Turning(2000), 1e-12, "turning against the tyres")
	driven, lost := g.LetGo(2000, 100)
	agree.Relative(t, (2000*0.7-100)*0.008, driven, 1e-12, "let go")
	agree.Relative(t, 2000*0.008, driven+lost, 1e-12, "parts add up")
	driven, lost = g.LetGo(-2000, 100)
	agree.Relative(t, -(2000*0.7-100)*0.008, driven, 1e-12, "mirrored")
	assert.Negative(t, lost)
	driven, _ = g.LetGo(140, 100)
	assert.Zero(t, driven, "friction holds")
	ideal := Gear{RackPerRadian: 0.008, Efficiency: 1, ReverseEfficiency: 1}
	driven, lost = ideal.LetGo(500, 0)
	agree.Relative(t, ideal.Turning(500), driven, 1e-12, "no friction, no loss: the same both ways")
	assert.Zero(t, lost)
}

func TestEffortLimitsAreMarkedUnverified(t *testing.T) {
	for _, l := range EffortLimits {
		assert.False(t, l.Verified, "%s: nobody has read the regulation yet", l.Category)
		assert.True(t, l.Effort >= 150 && l.Effort <= 450 && l.Time > 0 && l.Radius > 0)
		if l.Failed {
			assert.GreaterOrEqual(t, l.Effort, 300.0)
		}
	}
}
