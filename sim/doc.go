// Package sim is the simulation: pure functions on float64 values in coherent SI units (m, kg, s, rad, N, Pa).
// It reads no files and no clock and knows nothing of notebooks or pages.
//
//	Vehicle, Corner, Tyre, …   what a reader measures, with units and defaults in field tags
//	Alignment, Travel, …       models: a struct of inputs whose Run method gives a struct of results
//	Models, Find, Fields       the registry from which the block language and the reference pages are made
//	geom, wishbone, …          one sub-package for each idea, on plain numbers and points
//
// Axes are ISO 8855:2011 (x forward, y left, z up). Signs: camber + top outward; caster + steering axis
// leans back at the top; toe + toe-in, for one wheel; steering-axis inclination + leans inward at the top;
// scrub radius + contact centre outboard of where the axis meets the ground; trail + the axis meets the
// ground ahead of the contact centre.
package sim
