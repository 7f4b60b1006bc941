package sim

import (
	"math"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

// mm is a place given in millimetres.
func mm(x, y, z float64) Point { return Point{X: x * 1e-3, Y: y * 1e-3, Z: z * 1e-3} }

// testTruck is an invented mid-size 4x4 with its rack ahead of the axle.
func testTruck() Vehicle {
	v := Vehicle{
		Wheelbase: 2.85, Mass: 1990, FrontShare: 0.54, LeftShare: 0.5, CentreHeight: 0.72, FrontBrakeShare: 0.65,
		Front: Corner{
			UpperFront: mm(90, 420, 610), UpperRear: mm(-130, 425, 595), UpperBall: mm(-22, 665, 620),
			LowerFront: mm(180, 340, 265), LowerRear: mm(-200, 345, 262), LowerBall: mm(12, 735, 245),
			TieInner: mm(135, 360, 300), TieOuter: mm(150, 718, 288),
			WheelCentre: mm(0, 800, 385),
			ShaftInner:  mm(-10, 180, 370), ShaftOuter: mm(0, 700, 385),
			Camber: 0.2 * deg, Toe: 0.05 * deg,
		},
	}
	v.Tyre = Tyre{Radius: 0.402, LoadedRadius: 0.385, Width: 0.285, Mass: 24, RimMass: 12, Pressure: 240e3, Friction: 0.8, LoadCapacity: 1450, LoadPressure: 550e3}
	v.Steering = Steering{RackPerTurn: 0.044, HandwheelRadius: 0.19, RackLimit: 0.078, Efficiency: 0.9, ReverseEfficiency: 0.8}
	v.Spring = Spring{Rate: 95e3, LowerPoint: mm(20, 560, 280), UpperPoint: mm(0, 500, 680), On: "lower", BumpTravel: 0.1, DroopTravel: 0.12}
	return v
}

// Tolerances for what must agree but for rounding.
const (
	roundingAngle  = 1e-12 // rad
	roundingLength = 1e-12 // m
)

// randomCorner moves every point of a corner by up to 25 mm, sets it and leans its wheel.
func randomCorner(t *rapid.T, c Corner, behind bool) Corner {
	draw := func(name string, size float64) float64 { return rapid.Float64Range(-size, size).Draw(t, name) }
	for _, p := range []*Point{&c.UpperFront, &c.UpperRear, &c.UpperBall, &c.LowerFront, &c.LowerRear, &c.LowerBall,
		&c.TieInner, &c.TieOuter, &c.WheelCentre, &c.ShaftInner, &c.ShaftOuter} {
		if behind && (p == &c.TieInner || p == &c.TieOuter) {
			p.X = -p.X
		}
		*p = p.Add(Point{X: draw("x", 0.025), Y: draw("y", 0.025), Z: draw("z", 0.025)})
	}
	c.Camber, c.Toe = draw("camber", 2*deg), draw("toe", 0.5*deg)
	c.Lift = rapid.Float64Range(0, 0.05).Draw(t, "lift")
	c.Adjust = Adjusters{
		CamFront: draw("front cam", 90*deg), CamRear: draw("rear cam", 90*deg), CamOffset: 0.006, CamLimit: 90 * deg,
		UpperShift: rapid.Float64Range(0, 0.01).Draw(t, "shift"), UpperFrontLeg: draw("front leg", 0.005), UpperRearLeg: draw("rear leg", 0.005),
		TieRod: draw("tie rod", 0.004),
	}
	return c
}

// randomVehicle is the test truck with random corners, one or two, without stops or limits.
func randomVehicle(t *rapid.T) Vehicle {
	v := testTruck()
	truck := v.Front
	behind := rapid.Bool().Draw(t, "rack behind")
	v.Front = randomCorner(t, truck, behind)
	if rapid.Bool().Draw(t, "unlike sides") {
		right := randomCorner(t, truck, behind)
		v.Right = &right
	}
	v.RearLift = rapid.Float64Range(0, 0.05).Draw(t, "rear lift")
	v.Tyre.LoadedRadius = rapid.Float64Range(0.33, 0.43).Draw(t, "loaded radius")
	v.Tyre.Radius = v.Tyre.LoadedRadius / 0.955
	v.Tyre.OffsetChange = rapid.Float64Range(-0.03, 0.03).Draw(t, "offset")
	v.LeftShare = rapid.Float64Range(0.45, 0.55).Draw(t, "left share")
	v.Steering.RackLimit, v.Spring.BumpTravel, v.Spring.DroopTravel = 0, 0, 0
	return v
}

// swapped is the vehicle seen in a mirror.
func swapped(v Vehicle) Vehicle {
	if v.Right != nil {
		left, right := v.Front, *v.Right
		v.Front, v.Right = right, &left
	}
	v.LeftShare = 1 - v.LeftShare
	return v
}

// reachable runs a model, and passes over a vehicle whose joints don't reach.
func reachable[R any](t *rapid.T, m interface{ Run() (R, error) }) R {
	r, err := m.Run()
	if _, out := err.(Unreachable); out {
		t.Skip(err)
	}
	require.NoError(t, err)
	return r
}

func anywhere(t *rapid.T, name string, low, high float64) float64 {
	return rapid.Float64Range(low, high).Draw(t, name)
}

func ptr(x float64) *float64 { return &x }
