package gearing

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// whole is half the last digit of speeds printed in whole km/h.
const whole = 0.5

// Worked bands of a published copy of UN R39 §5.3 (seen), in km/h.
func TestSpeedometerBandPublished(t *testing.T) {
	for speed, most := range map[float64]float64{50: 59, 70: 81, 90: 103, 110: 125, 130: 147} {
		low, high := SpeedometerBand(speed * kph)
		agree.Absolute(t, speed, low/kph, 1e-12, "least")
		agree.Absolute(t, most, high/kph, 1e-9, "most")
	}
}

// 100 km/h on a rolling radius of 0.4 m is 663.15 wheel turns a minute; with 4.10 and 0.85, 2311 engine turns.
func TestEngineSpeedByHand(t *testing.T) {
	turns := 100 * 1000 / 60.0 / (2 * math.Pi * 0.4)
	agree.Absolute(t, 663.15, turns, 0.005, "wheel turns a minute")
	agree.Absolute(t, turns*4.10*0.85, EngineSpeed(100*kph, 0.4, 4.10, 0.85)*60/(2*math.Pi), 1e-9, "engine turns a minute")
	agree.Absolute(t, 2311, EngineSpeed(100*kph, 0.4, 4.10, 0.85)*60/(2*math.Pi), whole, "engine turns a minute, printed")
}

// The equivalent ratio must bring the old engine speed back at any speed.
func TestEquivalentRatioRestoresEngineSpeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(low, high float64, what string) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
		was, rolling, axle, gear, v := draw(0.25, 0.55, "was"), draw(0.25, 0.55, "rolling"), draw(2.5, 6, "axle"), draw(0.5, 40, "gear"), draw(0, 60, "speed")
		old, now := EngineSpeed(v, was, axle, gear), EngineSpeed(v, rolling, EquivalentRatio(axle, rolling, was), gear)
		if !(math.Abs(now-old) <= 1e-12*old) {
			t.Fatalf("%g against %g", now, old)
		}
	})
}
