package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
	"turnplate/sim/ride"
	"turnplate/sim/unit"
)

// smooth is a rate found by differences of a force over half a millimetre either way.
const smooth = 1e-5

// The wheel rate is the slope of the force that the coil makes at the wheel, F(z)·MR(z), with the coil's own
// length taken from the posed corner: found here by differences, with no motion-ratio formula in it.
func TestRideWheelRateIsTheSlopeOfTheWheelForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := loadedTruck()
		random := randomVehicle(t)
		v.Front, v.RearLift = random.Front, random.RearLift
		v.Spring.BumpTravel, v.Spring.DroopTravel = 0, 0
		r := reachable(t, Ride{Vehicle: v, Road: "A", Speed: 20})
		a, err := newAxle(&v)
		require.NoError(t, err)
		k := &a.left
		length := func(bump float64) float64 {
			p, err := k.height(bump)
			require.NoError(t, err)
			return k.link.OnLowerArm(&p, k.coil.lower).Sub(k.coil.upper).Norm()
		}
		const step = 5e-4
		energy := func(bump float64) float64 { // taken up by the coil from rest
			x := length(0) - length(bump)
			return r.SpringForce*x + v.Spring.Rate*x*x/2
		}
		up, down := energy(step), energy(-step)
		close := func(want, got, rel float64, what string) { agree.Absolute(t, want, got, rel*math.Abs(want), what) }
		close((up-down)/(2*step), r.SpringForce*r.MotionRatio, smooth, "force at the wheel")
		close((up+down)/(step*step), r.WheelRate, smooth, "wheel rate")
		close(r.Sprung*unit.StandardGravity, r.SpringForce*r.MotionRatio, 1e-12, "the coil holds up the body")
		close(r.WheelRate-r.GeometricRate, v.Spring.Rate*r.MotionRatio*r.MotionRatio, 1e-12, "the coil's part")
	})
}

// The model must hand the quarter car what it says it does, and read it back rightly.
func TestRideIsTheQuarterCar(t *testing.T) {
	v := loadedTruck()
	v.Spring.WheelBarRate = 12e3
	r, err := Ride{Vehicle: v, Road: "C", Speed: 20, Frequency: ptr(3)}.Run()
	require.NoError(t, err)
	unsprung := 55.0 + 36
	sprung := (1990*0.54+72)/2 - unsprung
	agree.Relative(t, unsprung, r.Unsprung, byHand, "unsprung")
	agree.Relative(t, sprung, r.Sprung, byHand, "sprung")
	car := ride.QuarterCar{Sprung: sprung, Unsprung: unsprung, Spring: r.WheelRate, Damping: r.WheelDamping, Tyre: 260e3}
	body, hop := car.Modes()
	agree.Relative(t, body.Frequency/(2*math.Pi), r.BodyFrequency, byHand, "body frequency")
	agree.Relative(t, hop.Frequency/(2*math.Pi), r.HopFrequency, byHand, "hop frequency")
	agree.Relative(t, hop.DampingRatio, r.HopDamping, byHand, "hop damping")
	rms := car.RMS(ride.VelocityNoise(256e-6, 20))
	agree.Relative(t, rms.BodyAcceleration, r.BodyAcceleration, byHand, "acceleration")
	agree.Relative(t, rms.Stroke, r.StrokeRMS, byHand, "stroke")
	agree.Relative(t, 3*rms.Stroke/0.1, r.BumpUsed, byHand, "bump used")
	agree.Relative(t, rms.TyreForce/((sprung+unsprung)*unit.StandardGravity), r.DynamicLoad, byHand, "dynamic load")
	agree.Relative(t, r.WheelRate+12e3, r.RollRate, byHand, "with the bar")
	agree.Relative(t, 6500*r.MotionRatio*r.MotionRatio, r.WheelDamping, byHand, "damper where the coil is")
	b, w := car.Transmissibility(6 * math.Pi)
	agree.Relative(t, b, r.BodyTransmissibility, byHand, "body transmissibility")
	agree.Relative(t, w, r.WheelTransmissibility, byHand, "wheel transmissibility")
	assert.Empty(t, r.Note)
	// What ordinary trucks have.
	assert.True(t, r.BodyFrequency > 0.9 && r.BodyFrequency < 2.5, "%g Hz", r.BodyFrequency)
	assert.True(t, r.HopFrequency > 7 && r.HopFrequency < 14, "%g Hz", r.HopFrequency)

	same, err := Ride{Vehicle: v, Roughness: ptr(256e-6), Speed: 20}.Run()
	require.NoError(t, err)
	agree.Relative(t, r.TyreForce, same.TyreForce, byHand, "a class is its number")
	assert.True(t, math.IsNaN(same.BodyTransmissibility) && math.IsNaN(same.Old.Sprung) && math.IsNaN(same.DampingForOldHop))
}

// A lifted truck stands lower in its droop, and has that much more way up to the stop.
func TestRideLiftLeavesMoreBump(t *testing.T) {
	v := loadedTruck()
	v.Front.Lift, v.RearLift = 0.04, 0.04
	r, err := Ride{Vehicle: v, Road: "B", Speed: 20}.Run()
	require.NoError(t, err)
	agree.Relative(t, r.StrokeLikely/0.14, r.BumpUsed, byHand, "bump used")
}

func TestRideDamperElsewhere(t *testing.T) {
	v := loadedTruck()
	v.Spring.DamperLower, v.Spring.DamperUpper = mm(20, 640, 270), mm(0, 560, 700)
	r, err := Ride{Vehicle: v, Road: "B", Speed: 20}.Run()
	require.NoError(t, err)
	assert.Greater(t, r.DamperRatio, r.MotionRatio, "further out on the arm")
	agree.Relative(t, 6500*r.DamperRatio*r.DamperRatio, r.WheelDamping, byHand, "damping at the wheel")
}

// A heavier tyre hardly changes the ride and clearly the tyre's hold on the road; with DampingForOldHop fitted,
// hop is damped as before.
func TestRideHeavierTyre(t *testing.T) {
	v := loadedTruck()
	old := v.Tyre
	v.Tyre = tallTyre()
	m := Ride{Vehicle: v, Road: "C", Speed: 20, Old: &old}
	r, err := m.Run()
	require.NoError(t, err)
	alone, err := Ride{Vehicle: loadedTruck(), Road: "C", Speed: 20}.Run()
	require.NoError(t, err)
	agree.Relative(t, alone.HopFrequency, r.Old.HopFrequency, 1e-3, "the old tyre on the same suspension")
	assert.Less(t, r.HopFrequency, r.Old.HopFrequency)
	assert.Less(t, r.HopDamping, r.Old.HopDamping)
	assert.Less(t, math.Abs(r.AccelerationRise), 0.05)
	assert.Greater(t, r.DynamicLoadRise, 0.05)
	assert.Greater(t, r.DampingRise, 0.0)
	m.Vehicle.Spring.Damping = r.DampingForOldHop
	again, err := m.Run()
	require.NoError(t, err)
	agree.Relative(t, r.Old.HopDamping, again.HopDamping, 1e-8, "hop damped as before")
}

func TestRideAboveCriticalSaysSo(t *testing.T) {
	v := loadedTruck()
	v.Spring.Damping = 60000
	r, err := Ride{Vehicle: v, Road: "A", Speed: 20}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.BodyFrequency) && math.IsNaN(r.HopFrequency), "what still swings is body and wheel together")
	assert.True(t, r.BodyDamping > 1 && math.IsNaN(r.HopDamping) || r.HopDamping > 1 && math.IsNaN(r.BodyDamping))
	assert.Contains(t, r.Note, "is damped above critical")
	assert.False(t, math.IsNaN(r.BodyAcceleration), "the mean squares hold all the same")
}

func TestRideTooRoughIsAGap(t *testing.T) {
	r, err := Ride{Vehicle: loadedTruck(), Road: "F", Speed: 25}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.BodyAcceleration) && math.IsNaN(r.TyreForce) && math.IsNaN(r.DynamicLoad) && math.IsNaN(r.StrokeRMS) && math.IsNaN(r.BumpUsed))
	assert.Contains(t, r.Note, "leave the ground")
	assert.False(t, math.IsNaN(r.BodyFrequency))
	stop, err := Ride{Vehicle: loadedTruck(), Road: "E", Speed: 6}.Run()
	require.NoError(t, err)
	assert.Equal(t, stop.BumpUsed > 1, stop.Note == "the wheel would reach its stop", "%g: %s", stop.BumpUsed, stop.Note)
}

func TestRideRefusals(t *testing.T) {
	for _, c := range []struct {
		spoil func(*Ride)
		says  string
	}{
		{func(m *Ride) { m.Road = "I" }, `Road is "I"; it must be "A", "B"`},
		{func(m *Ride) { m.Roughness = ptr(-1) }, "Roughness"},
		{func(m *Ride) { m.Speed = 0 }, "Speed of 0 km/h must be above zero"},
		{func(m *Ride) { m.Frequency = ptr(-2) }, "Frequency of -2 Hz"},
		{func(m *Ride) { m.Vehicle.Tyre.Mass = 0 }, "Tyre.Mass isn't given"},
		{func(m *Ride) { m.Vehicle.Unsprung = 900 }, "nothing is left to spring"},
		{func(m *Ride) { m.Vehicle.Spring.UpperPoint = Point{} }, "Spring.UpperPoint isn't given"},
		{func(m *Ride) {
			m.Vehicle.Spring.UpperPoint = mm(0, 500, 0)
		}, "must shorten as the wheel rises"},
		{func(m *Ride) {
			m.Vehicle.Spring.Rate = 1000
			m.Vehicle.Spring.UpperPoint = mm(20, 500, 330) // a short coil that leans over as it's pressed
		}, "the wheel rate isn't above zero"},
		{func(m *Ride) { m.Old = &Tyre{Mass: 20, RimMass: 12, LoadedRadius: 0.4} }, "Old.VerticalStiffness isn't given"},
	} {
		m := Ride{Vehicle: loadedTruck(), Speed: 20}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err, c.says) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}

func BenchmarkRide(b *testing.B) {
	old := tallTyre()
	for _, c := range []struct {
		name string
		Ride
	}{{"alone", Ride{Vehicle: loadedTruck(), Speed: 20}}, {"against an old tyre", Ride{Vehicle: loadedTruck(), Speed: 20, Old: &old}}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := c.Run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
