// Package sim is the simulation: pure functions on float64 values in coherent SI units (m, kg, s, rad, N, Pa).
// It reads no files and no clock and knows nothing of notebooks or pages.
//
//	Vehicle, Corner, Tyre, …   what a reader measures, with units and defaults in field tags
//	Alignment, Travel, …       models: a struct of inputs whose Run method gives a struct of results
//	Models, Find, Fields       the registry from which the block language and the reference pages are made
//
// Below it is one sub-package for each idea, on plain numbers and points. None of them imports this one.
//
//	wishbone       the two-arm linkage, posed in closed form, and its angles against the ground
//	adjust         settings for an alignment target, and all that the adjusters can reach
//	survey         points from more tape, floor and height readings than are needed
//	reconcile      the likeliest values behind measurements that don't agree
//	clearance      the gap between a tyre and an edge, and the smallest over a sweep
//	knuckle        forces in a corner's joints
//	compliance     what bushes, tie rod and coil give under load
//	tyre           slip, contact patch, turning a tyre that stands, load against pressure
//	size           tyre designations, the load they stand for, mass by size
//	inertia        a tyre on its rim, estimated or timed
//	steering       torque about the steering axis, and effort at the rim
//	release        letting the handwheel go; shimmy
//	ride           the quarter car on a random road
//	longitudinal   speeding up and slowing down
//	gearing        what the rolling radius does to engine speed and speedometer
//	upkeep         how often things are done, and what that adds up to
//	geom, unit     points in space; dimensions and units
//	root, ode      finding roots; ordinary differential equations
//
// Axes are ISO 8855:2011 (x forward, y left, z up). Signs: camber + top outward; caster + steering axis
// leans back at the top; toe + toe-in, for one wheel; steering-axis inclination + leans inward at the top;
// scrub radius + contact centre outboard of where the axis meets the ground; trail + the axis meets the
// ground ahead of the contact centre.
package sim
