package sim

import (
	"strings"
)

// loadedTruck is the test truck with all that mass, ride and joint models read.
func loadedTruck() Vehicle {
	v := testTruck()
	v.Unsprung, v.FrontRollShare, v.FrontDriveShare = 55, 0.55, 0.4
	v.AxleRatio, v.GearRatio, v.BrakeTorqueLimit = 4.1, 0.85, 9000
	v.Tyre.RollingRadius, v.Tyre.VerticalStiffness = 0.390, 260e3
	v.Tyre.Inertia, v.Tyre.RimInertia = 3.0, 0.45
	v.Spring.Damping = 6500
	return v
}

// tallTyre is an invented heavy tyre of 35 inches.
func tallTyre() Tyre {
	return Tyre{Radius: 0.4445, LoadedRadius: 0.4245, RollingRadius: 0.431, Width: 0.3175, Mass: 34, RimMass: 14,
		Inertia: 5.4, RimInertia: 0.55, VerticalStiffness: 280e3, Friction: 0.8}
}

// spaces makes the no-break spaces of a message plain ones.
func spaces(text string) string { return strings.ReplaceAll(text, "\u00a0", " ") }
