package sim

import "math"

const deg = math.Pi / 180

// testTruck is an invented mid-size 4x4 with its rack ahead of the axle.
func testTruck() Vehicle {
	v := Vehicle{
		Wheelbase: 2.85, Mass: 1990, FrontShare: 0.54, LeftShare: 0.5, CentreHeight: 0.72, FrontBrakeShare: 0.65,
		Front: Corner{
			UpperFront: Point{0.090, 0.420, 0.610}, UpperRear: Point{-0.130, 0.425, 0.595}, UpperBall: Point{-0.022, 0.665, 0.620},
			LowerFront: Point{0.180, 0.340, 0.265}, LowerRear: Point{-0.200, 0.345, 0.262}, LowerBall: Point{0.012, 0.735, 0.245},
			TieInner: Point{0.135, 0.360, 0.300}, TieOuter: Point{0.150, 0.718, 0.288},
			WheelCentre: Point{0, 0.800, 0.385},
			ShaftInner:  Point{-0.010, 0.180, 0.370}, ShaftOuter: Point{0, 0.700, 0.385},
			Camber: 0.2 * deg, Toe: 0.05 * deg,
		},
	}
	v.Tyre = Tyre{Radius: 0.402, LoadedRadius: 0.385, Width: 0.285, Mass: 24, RimMass: 12, Pressure: 240e3, Friction: 0.8}
	v.Steering = Steering{RackPerTurn: 0.044, HandwheelRadius: 0.19, RackLimit: 0.078, Efficiency: 0.9, ReverseEfficiency: 0.8}
	v.Spring = Spring{Rate: 95e3, LowerPoint: Point{0.02, 0.56, 0.28}, UpperPoint: Point{0.0, 0.5, 0.68}, On: "lower", BumpTravel: 0.1, DroopTravel: 0.12}
	return v
}

// Tolerances for what must agree but for rounding.
const (
	roundingAngle  = 1e-12 // rad
	roundingLength = 1e-12 // m
)
