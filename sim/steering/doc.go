// Package steering turns forces at the wheels into torque about the steering axis, and that torque into force at the
// rack and effort at the rim. Plain numbers and points, SI units, ISO 8855 axes.
//
//	Axis          the line through the ball joints; Moment of a force about it, for a wheel standing or rolling
//	HalfShaft     the couple a drive shaft puts on the wheel
//	Gear          rack and handwheel: effort at the rim, with assistance and friction
//	EffortLimits  what UN R79 allows, as a reference
//	Gyroscopic    the couple of a spinning wheel whose camber changes
//
// A moment about the axis is positive when it turns the wheel to the left.
package steering
