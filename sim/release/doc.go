// Package release is what a moving vehicle does by itself when the handwheel is let go: lateral and yaw motion
// coupled to a steering system with inertia, damping and dry friction that really sticks.
//
//	System        the free-steer motion with any front axle, tyre and dry friction
//	Run           its time history; Linearise, its eigenvalues about a state
//	SteeredWheel  its yaw momentum
//	Swivel        one wheel swinging on its tyre: shimmy
//
// The linear textbook models that these are checked against, the bicycle held and free, are in the tests.
//
// Signs are ISO 8855's: lateral velocity and force + to the left, yaw and steer angle + to the left, slip angle + when
// the tyre moves to the left of its heading (so that it makes a force to the right).
//
// Forward speed is constant. Left out: roll (loads move without delay, camber doesn't follow the body), the tyres'
// aligning moments in the yaw balance (2 to 4 % of it), play and the torsion of column and rack.
package release
