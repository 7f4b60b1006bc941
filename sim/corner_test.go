package sim

import "math"

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
	v.Tyre = Tyre{Radius: 0.402, LoadedRadius: 0.385, Width: 0.285, Mass: 24, RimMass: 12, Pressure: 240e3, Friction: 0.8}
	v.Steering = Steering{RackPerTurn: 0.044, HandwheelRadius: 0.19, RackLimit: 0.078, Efficiency: 0.9, ReverseEfficiency: 0.8}
	v.Spring = Spring{Rate: 95e3, LowerPoint: mm(20, 560, 280), UpperPoint: mm(0, 500, 680), On: "lower", BumpTravel: 0.1, DroopTravel: 0.12}
	return v
}

// Tolerances for what must agree but for rounding.
const (
	roundingAngle  = 1e-12 // rad
	roundingLength = 1e-12 // m
)
