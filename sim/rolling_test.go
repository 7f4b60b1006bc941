package sim

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
	"turnplate/sim/tyre"
)

// rollingTruck is the invented testTruck with what a rolling model needs beside it.
func rollingTruck() Vehicle {
	v := testTruck()
	v.YawInertia, v.RearCornering, v.FrontRollShare, v.FrontDriveShare = 4300, 105e3, 0.55, 0.5
	v.Tyre.CorneringStiffness, v.Tyre.NominalLoad, v.Tyre.CamberStiffness = 52e3, 6500, 2.5e3
	v.Tyre.RelaxationLength, v.Tyre.RollingRadius = 0.5, 0.39
	v.Tyre.Inertia, v.Tyre.RimInertia, v.Tyre.SteerInertia = 2.6, 0.35, 1.6
	s := &v.Steering
	s.Friction, s.KingpinFriction, s.RollingFriction, s.Damping = 120, 4, 1, 6000
	s.HandwheelInertia, s.KnuckleInertia = 0.04, 0.7
	s.AssistGain, s.AssistCeiling = 4, 5000
	return v
}

// plainTruck has no camber, toe, camber thrust, friction or losses: what closed forms are made for.
func plainTruck() Vehicle {
	v := rollingTruck()
	v.Front.Camber, v.Front.Toe, v.Tyre.CamberStiffness = 0, 0, 0
	v.Steering.Friction, v.Steering.KingpinFriction, v.Steering.ReverseEfficiency = 0, 0, 1
	return v
}

// unlikeTruck has sides that differ in caster, camber and load.
func unlikeTruck() Vehicle {
	v := rollingTruck()
	right := v.Front
	right.Camber, right.Toe = 0.6*deg, -0.1*deg
	right.UpperBall.X -= 0.008
	v.Right, v.LeftShare = &right, 0.52
	return v
}

// mirrored is the same vehicle with its sides exchanged.
func mirrored(v Vehicle) Vehicle {
	if v.Right != nil {
		left, right := v.Front, *v.Right
		v.Front, v.Right = right, &left
	}
	v.LeftShare = 1 - v.LeftShare
	return v
}

func value(x float64) *float64 { return &x }

// A steady turn solved for is in balance: front forces across the vehicle carry m·a·b/L, rear m·a·a/L, and holding
// the rack found gives the same turn back.
func TestSteadyTurnBalances(t *testing.T) {
	const newton = 0.01
	for _, v := range []Vehicle{rollingTruck(), unlikeTruck()} {
		for _, speed := range []float64{2.5, 8, 20, 35} {
			for _, turn := range []float64{-4, -0.3, 0, 1, 3} {
				r, err := newRolling(&v, speed)
				require.NoError(t, err)
				_, w, p, err := r.steerFor(turn, turn/speed)
				if speed == 2.5 && math.Abs(turn) >= 3 {
					assert.Error(t, err, "a circle inside the lock's")
					continue
				}
				require.NoError(t, err, "%g m/s, %g m/s²", speed, turn)
				assert.InDelta(t, r.weight.mass*turn*r.weight.rearArm/v.Wheelbase, p.left.across+p.right.across, newton)
				c, _, err := r.on(turn, turn/speed)
				require.NoError(t, err)
				atRear := math.Atan((c.sideways - c.yaw*v.Wheelbase) / speed)
				assert.InDelta(t, r.weight.mass*turn*r.weight.frontArm/v.Wheelbase, r.rearForce(atRear), newton)

				back, again, err := r.turnAt(&w, r.turnGuess(r.axle.meanHeading(&w)))
				require.NoError(t, err)
				assert.InDelta(t, turn, back, 1e-5)
				assert.InDelta(t, p.left.total(), again.left.total(), 1e-2)
			}
		}
	}
}

// The jacking part is what lifting the body costs: ΣM·ds = −ΣW·dz, by differences of the ground's height.
func TestJackingByVirtualWork(t *testing.T) {
	v := unlikeTruck()
	r, err := newRolling(&v, 15)
	require.NoError(t, err)
	const step, newton = 1e-5, 1e-2
	for _, rack := range []float64{-0.05, -0.01, 0, 0.02, 0.06} {
		at := func(rack float64) wheels {
			w, err := r.axle.steered(&r.rest, rack)
			require.NoError(t, err)
			return w
		}
		before, here, after := at(rack-step), at(rack), at(rack+step)
		p, err := r.wheels(&here, &course{acceleration: 2})
		require.NoError(t, err)
		left, right := riseOf(&before, &after)
		want := -(p.left.load*left + p.right.load*right) / (2 * step)
		assert.InDelta(t, want, p.rack(func(w wheelForce) float64 { return w.jacking }), newton, "rack %g", rack)
	}
}

// The load that leaves one wheel reaches the other, and together they carry the transfer's moment.
func TestLoadTransfer(t *testing.T) {
	v := rollingTruck()
	r, err := newRolling(&v, 20)
	require.NoError(t, err)
	_, _, p, err := r.steerFor(3, 3.0/20)
	require.NoError(t, err)
	assert.InDelta(t, r.weight.front, p.left.load+p.right.load, 1e-9)
	assert.Greater(t, p.right.load, p.left.load, "a left turn loads the right wheel")
	track := 2 * r.rest.left.Contact.Y
	agree.Relative(t, 0.55*r.weight.mass*3*r.weight.height/track, (p.right.load-p.left.load)/2, 1e-12, "front share of m·a·h/t")
}

func TestRollingRefusals(t *testing.T) {
	for name, spoil := range map[string]func(*Vehicle){
		"Wheelbase":                  func(v *Vehicle) { v.Wheelbase = 0 },
		"CentreHeight":               func(v *Vehicle) { v.CentreHeight = 0 },
		"RearCornering":              func(v *Vehicle) { v.RearCornering = 0 },
		"Tyre.CorneringStiffness":    func(v *Vehicle) { v.Tyre.CorneringStiffness = -1 },
		"Tyre.NominalLoad":           func(v *Vehicle) { v.Tyre.NominalLoad = math.NaN() },
		"Tyre.Friction":              func(v *Vehicle) { v.Tyre.Friction = 0 },
		"Steering.RackPerTurn":       func(v *Vehicle) { v.Steering.RackPerTurn = 0 },
		"Steering.Friction":          func(v *Vehicle) { v.Steering.Friction = -1 },
		"Steering.RollingFriction":   func(v *Vehicle) { v.Steering.RollingFriction = 1.1 },
		"Steering.ReverseEfficiency": func(v *Vehicle) { v.Steering.ReverseEfficiency = 1.2 },
		"Tyre.LoadedRadius":          func(v *Vehicle) { v.Tyre.LoadedRadius = 0.41 },
	} {
		v := rollingTruck()
		spoil(&v)
		_, err := ReturnTorque{Vehicle: v, Speed: 10, Angle: value(0)}.Run()
		if assert.Error(t, err, name) {
			assert.Contains(t, err.Error(), name)
		}
	}
	v := rollingTruck()
	for _, speed := range []float64{0, -3, math.NaN(), math.Inf(1)} {
		_, err := ReturnTorque{Vehicle: v, Speed: speed, Angle: value(0)}.Run()
		if assert.Error(t, err) {
			assert.Contains(t, err.Error(), "Speed")
		}
	}
	r, err := newRolling(&v, 20)
	require.NoError(t, err)
	_, _, _, err = r.steerFor(12, 12.0/20)
	assert.Error(t, err, "past the tyres")
	light := rollingTruck()
	light.CentreHeight = 2
	r, err = newRolling(&light, 20)
	require.NoError(t, err)
	_, _, _, err = r.steerFor(6, 6.0/20)
	assert.ErrorIs(t, err, tyre.ErrLoad, "the inner wheel lifts")
}

// RollingFriction is a share of the dry friction, and of nothing else: what a rolling model says of it equals what it says
// of so much less friction, and a standing truck doesn't know it.
func TestRollingFrictionScalesDryFriction(t *testing.T) {
	shaken, eased := rollingTruck(), rollingTruck()
	shaken.Steering.RollingFriction = 0.3
	eased.Steering.Friction *= 0.3
	eased.Steering.KingpinFriction *= 0.3
	turn := 1.5
	for name, run := range map[string]func(Vehicle) (any, error){
		"ReturnTorque": func(v Vehicle) (any, error) {
			return ReturnTorque{Vehicle: v, Speed: 20, LateralAcceleration: &turn}.Run()
		},
		"SteerRelease": func(v Vehicle) (any, error) {
			return SteerRelease{Vehicle: v, Speed: 20, LateralAcceleration: turn}.Run()
		},
		"Pull": func(v Vehicle) (any, error) { return Pull{Vehicle: v, Speed: 20, RoadCrown: 0.04}.Run() },
	} {
		want, err := run(eased)
		require.NoError(t, err)
		got, err := run(shaken)
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprintf("%.9g", want), fmt.Sprintf("%.9g", got), name)
		whole, err := run(rollingTruck())
		require.NoError(t, err)
		assert.NotEqual(t, fmt.Sprintf("%.9g", whole), fmt.Sprintf("%.9g", got), name)
	}
	still, err := ParkingEffort{Vehicle: shaken}.Run()
	require.NoError(t, err)
	want, err := ParkingEffort{Vehicle: rollingTruck()}.Run()
	require.NoError(t, err)
	assert.Equal(t, want, still)
	assert.False(t, slices.Contains(ParkingEffort{}.Uses(), "Steering.RollingFriction"))
}

// Held in a bend or straight on a slope, the driver gives all below AssistOnset alone.
func TestHeldBelowTheOnset(t *testing.T) {
	v := rollingTruck()
	v.Steering.AssistOnset = 1
	bare := v
	bare.Steering.AssistGain = 0
	for _, slope := range []float64{0.005, 0.02, 0.06} {
		helped, err := Pull{Vehicle: v, Speed: 25, RoadCrown: slope}.Run()
		require.NoError(t, err)
		alone, err := Pull{Vehicle: bare, Speed: 25, RoadCrown: slope}.Run()
		require.NoError(t, err)
		want := math.Abs(alone.HandwheelTorque)
		if want > 1 {
			want = (want + 4) / 5 // T + 4·(T − 1) = the whole
		}
		agree.Relative(t, want, math.Abs(helped.HandwheelTorque), 1e-9, "held")
	}
	steep, err := Pull{Vehicle: bare, Speed: 25, RoadCrown: 0.06}.Run()
	require.NoError(t, err)
	assert.Greater(t, math.Abs(steep.HandwheelTorque), 1.0, "the last row lies past the onset")
}
