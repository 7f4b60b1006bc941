// Package tyre holds what a tyre does to the ground and the ground to it, on plain numbers in SI units.
//
//	Brush          force and aligning moment of a rolling tyre against slip angle, up to full sliding
//	PatchLength…   contact length from load, pressure and deflection
//	StandingPatch  the rectangle that a standing tyre touches the ground with; its ScrubTorque turns it on the spot
//	Capacity       what it may carry at a pressure
//
// Signs here are those of one tyre looked at by itself, in ISO 8855 axes: a positive slip angle (the
// contact patch moves to the left of the wheel's heading) makes a negative lateral force and a positive
// aligning moment, which turns the wheel towards the way it really moves.
package tyre
