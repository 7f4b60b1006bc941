package sim

import "turnplate/sim/geom"

// Point is a place or a direction in ISO 8855:2011 vehicle axes: x forward, y left, z up, in metres. The
// origin is fixed to the body, at the point of the ground below the front axle's middle as measured.
type Point = geom.Point

// Field tags, read by Fields:
//
//	unit     the unit a value is shown in, and so its dimension; values inside sim are coherent SI
//	us       the unit shown to readers who prefer US customary units
//	default  what stands when a notebook leaves the field out, in `unit`, or "0.97*Radius" for a share of
//	         a field beside it; a field without the tag is required by every model that uses it
//	per      "turn": the value is one turn's worth, and a notebook may also write it as mm/turn
//	must     what an input must keep to, in `unit`: comparisons (">0", ">=0 <=100"), and "whole" for a whole
//	         number; of a text the words it may be ("lower, upper"); with a reason added after a colon
//	         (">0: a tyre that stands is ParkingEffort's matter"). That it is a number, and finite, goes without
//	         saying. Zero of a vehicle's or a tyre's field that must be above it means that it wasn't given
//	absent   of an output, or of a part of a result with all in it: why it may be absent ("Old isn't given"); any
//	         other output that is no number is a mistake in the model

// Vehicle describes a 4x4 with two-arm independent front suspension and rack steering. A field without a
// default must be given only where a model reads it: each model lists what it reads.
type Vehicle struct {
	Name           string  `default:""`                                   // shown in figures and tables
	Wheelbase      float64 `unit:"mm" us:"inch" must:">0"`                // front to rear axle
	Mass           float64 `unit:"kg" us:"lb" must:">0"`                  // all but tyres and rims
	FrontShare     float64 `unit:"percent" default:"54" must:">=0 <=100"` // share of Mass on the front axle
	LeftShare      float64 `unit:"percent" default:"50" must:">=0 <=100"` // share of an axle's load on its left wheel
	CentreHeight   float64 `unit:"mm" us:"inch" must:">0"`                // centre of mass above the ground, at rest
	YawInertia     float64 `unit:"kg*m*m" us:"lb*ft*ft" must:">0"`        // whole vehicle, about the vertical through its centre of mass
	RearLift       float64 `unit:"mm" us:"inch" default:"0"`              // rear body raised by this since measured
	RearTrack      float64 `unit:"mm" us:"inch" must:">0"`                // rear contact centre to contact centre
	RearCornering  float64 `unit:"N/deg" us:"lbf/deg" must:">0"`          // cornering stiffness of the rear axle, both tyres
	FrontRollShare float64 `unit:"percent" default:"55" must:">=0 <=100"` // front axle's share of lateral load transfer

	FrontDriveShare  float64 `unit:"percent" default:"0" must:">=0 <=100"`  // share of the drive force at the front axle
	FrontBrakeShare  float64 `unit:"percent" default:"65" must:">=0 <=100"` // share of the brake force at the front axle
	AxleRatio        float64 `unit:"1" must:">0"`                           // propeller-shaft turns per wheel turn
	GearRatio        float64 `unit:"1" default:"1" must:">0"`               // engine turns per propeller-shaft turn
	BrakeTorqueLimit float64 `unit:"N*m" us:"lbf*ft" must:">0"`             // most the brakes give, all four wheels together

	Front    Corner     // the left front corner; the right mirrors it
	Right    *Corner    `default:"the mirror of Front"` // only when the sides differ; described as if it were a left one
	Tyre     Tyre       // all four
	Steering Steering   // rack and handwheel
	Spring   Spring     // the front corner's
	Unsprung float64    `unit:"kg" us:"lb" must:">0"` // moving mass of a front corner, without tyre and rim
	Body     []Obstacle `default:"none"`              // edges the tyre may reach

	Measured []string `default:"none"` // fields, as "Wheelbase" or "Front.TieOuter", that were checked twice: they and all below them aren't doubted until they are written again
}

// Corner holds the hardpoints of a left front corner as measured, at the ride height they were measured
// at, and how it is set now. A point of all zeros counts as not given.
type Corner struct {
	UpperFront  Point `unit:"mm" us:"inch"`             // upper arm's front pivot
	UpperRear   Point `unit:"mm" us:"inch"`             // upper arm's rear pivot
	UpperBall   Point `unit:"mm" us:"inch"`             // upper ball joint's centre
	LowerFront  Point `unit:"mm" us:"inch"`             // lower arm's front pivot
	LowerRear   Point `unit:"mm" us:"inch"`             // lower arm's rear pivot
	LowerBall   Point `unit:"mm" us:"inch"`             // lower ball joint's centre
	TieInner    Point `unit:"mm" us:"inch"`             // inner tie-rod joint, on the rack
	TieOuter    Point `unit:"mm" us:"inch"`             // outer tie-rod joint, on the knuckle
	WheelCentre Point `unit:"mm" us:"inch"`             // on the wheel's axis, in the middle plane of the tyre
	ShaftInner  Point `unit:"mm" us:"inch" default:"0"` // inner drive-shaft joint; not given: no shaft angles
	ShaftOuter  Point `unit:"mm" us:"inch" default:"0"` // outer drive-shaft joint; not given: no shaft angles

	UpperStud       Point   `unit:"1" default:"0"`                       // direction of the upper ball joint's stud; not given: along the steering axis as measured
	JointLimit      float64 `unit:"deg" default:"0" must:">=0"`          // most the upper stud may lean from the square to its arm; 0: not known, not checked
	LowerStud       Point   `unit:"1" default:"0"`                       // direction of the lower ball joint's stud; not given: along the steering axis as measured
	LowerJointLimit float64 `unit:"deg" default:"0" must:">=0"`          // most the lower stud may lean from the square to its arm; 0: not known
	TieStud         Point   `unit:"1" default:"0"`                       // direction of the outer tie-rod end's stud; not given: the steering axis as measured, made square to the rod
	TieJointLimit   float64 `unit:"deg" default:"0" must:">=0"`          // most the rod may lean from the square to that stud; 0: not known
	ShaftLimit      float64 `unit:"deg" default:"0" must:">=0"`          // most the outer drive-shaft joint may bend; 0: not known
	ShaftInnerLimit float64 `unit:"deg" default:"0" must:">=0"`          // most the inner drive-shaft joint may bend; 0: not known
	ShaftPlunge     float64 `unit:"mm" us:"inch" default:"0" must:">=0"` // whole stroke of the drive shaft's sliding joint, half of it either way from where measured; 0: not known

	UpperBush      Bush // of both the upper arm's pivots
	LowerFrontBush Bush // of the lower arm's front pivot
	LowerRearBush  Bush // of the lower arm's rear pivot

	Camber float64 `unit:"deg" default:"0" must:">=-45 <=45"` // as measured, with the points where they are; + top outward
	Toe    float64 `unit:"deg" default:"0" must:">=-45 <=45"` // as measured, this wheel's; + toe-in
	Lift   float64 `unit:"mm" us:"inch" default:"0"`          // rest position this much lower in droop than measured

	Adjust Adjusters // what can be set, and how it is
}

// Bush is what holds an arm at a pivot, its axis the line through the arm's two pivots. One that isn't given is rigid and
// turns freely. Stiffnesses are of one bush. Rubber's are of the order of 3 to 15 kN/mm across and 0.5 to 3 kN/mm along
// its axis, 0.5 to 2 N·m/deg in twist and 5 to 20 N·m/deg in tilt; harder plastic's two to five times that across; a
// spherical joint's 50 to 150 kN/mm, and it turns freely (all from memory: treat them as assumed). Spherical is a bush that
// stands for such a joint.
type Bush struct {
	Radial  float64 `unit:"N/mm" us:"lbf/inch" default:"0" must:">=0"`      // across its axis; 0: rigid
	Axial   float64 `unit:"N/mm" us:"lbf/inch" default:"0" must:">=0"`      // along its axis; 0: rigid
	Torsion float64 `unit:"N*m/deg" us:"lbf*ft/deg" default:"0" must:">=0"` // twisted about its axis; 0: turns freely
	Tilt    float64 `unit:"N*m/deg" us:"lbf*ft/deg" default:"0" must:">=0"` // tilted square to its axis; 0: tilts freely
}

// Spherical stands for a spherical joint: 80 kN/mm both ways, and next to nothing against turning (from memory).
var Spherical = Bush{Radial: 80e6, Axial: 80e6, Torsion: 0.1, Tilt: 0.1}

// Adjusters says how a corner's alignment can be set and how it is set. A cam moves its lower-arm pivot by
// CamOffset·(sin angle − sin measured angle) in +y and in no other direction (the bolt rides in a level slot).
type Adjusters struct {
	CamFront         float64 `unit:"deg" default:"0"`                                  // eccentric bolt at LowerFront, as set
	CamRear          float64 `unit:"deg" default:"0"`                                  // eccentric bolt at LowerRear, as set
	CamFrontMeasured float64 `unit:"deg" default:"0"`                                  // as it stood when the points were measured
	CamRearMeasured  float64 `unit:"deg" default:"0"`                                  // the same for the rear one
	CamOffset        float64 `unit:"mm" us:"inch" default:"0" must:">=0"`              // eccentricity of the bolts
	CamLimit         float64 `unit:"deg" default:"0" must:">=0 <=90"`                  // furthest a cam may turn either way, up to 90°; 0: no cams
	UpperShift       float64 `unit:"mm" us:"inch" default:"0"`                         // spacers: upper arm moved rearward along its own pivot axis
	UpperFrontLeg    float64 `unit:"mm" us:"inch" default:"0"`                         // upper arm's front leg made longer
	UpperRearLeg     float64 `unit:"mm" us:"inch" default:"0"`                         // upper arm's rear leg made longer
	TieRod           float64 `unit:"mm" us:"inch" default:"0"`                         // tie rod made longer
	TiePitch         float64 `unit:"mm" us:"inch" per:"turn" default:"1.5" must:">=0"` // tie-rod length change per turn (common practice, no source)
}

// Tyre is a tyre on its rim. Defaults that are shares of Radius are common practice (rolling radius about
// 0.97 of the free one), from memory.
type Tyre struct {
	Name           string  `default:""`                                           // shown in figures and tables
	Radius         float64 `unit:"mm" us:"inch" must:">0"`                        // half the outer diameter, without load
	LoadedRadius   float64 `unit:"mm" us:"inch" default:"0.955*Radius" must:">0"` // wheel centre to ground, standing
	RollingRadius  float64 `unit:"mm" us:"inch" default:"0.97*Radius" must:">0"`  // distance rolled per radian
	Width          float64 `unit:"mm" us:"inch" must:">0"`                        // section width
	ShoulderRadius float64 `unit:"mm" us:"inch" default:"0.12*Width" must:">=0"`  // rounding of the tread's edge in section
	RimDiameter    float64 `unit:"inch" us:"inch" default:"1*Radius" must:">0"`   // nominal, as in the tyre's designation; left out, half of the tyre's own (common practice, no source)
	RimWidth       float64 `unit:"inch" us:"inch" default:"0.75*Width" must:">0"` // between the flanges (common practice, no source)
	OffsetChange   float64 `unit:"mm" us:"inch" default:"0"`                      // + wheel moved inboard along its axis (more positive rim offset)

	Mass         float64 `unit:"kg" us:"lb" must:">0"`           // tyre alone
	Inertia      float64 `unit:"kg*m*m" us:"lb*ft*ft" must:">0"` // tyre alone, about the axle
	RimMass      float64 `unit:"kg" us:"lb" must:">0"`           // rim alone
	RimInertia   float64 `unit:"kg*m*m" us:"lb*ft*ft" must:">0"` // rim alone, about the axle
	SteerInertia float64 `unit:"kg*m*m" us:"lb*ft*ft" must:">0"` // tyre and rim, about a diameter

	VerticalStiffness  float64 `unit:"N/mm" us:"lbf/inch" must:">0"`              // load over deflection, standing
	LateralStiffness   float64 `unit:"N/mm" us:"lbf/inch" must:">0"`              // side force over sideways give, standing; no model reads it, a notebook may (RelaxationLength is about CorneringStiffness over it)
	CorneringStiffness float64 `unit:"N/deg" us:"lbf/deg" must:">0"`              // one tyre, at NominalLoad
	NominalLoad        float64 `unit:"N" us:"lbf" must:">0"`                      // the load that CorneringStiffness was measured at
	CamberStiffness    float64 `unit:"N/deg" us:"lbf/deg" default:"0" must:">=0"` // side force per degree of camber, one tyre, towards the lean
	RelaxationLength   float64 `unit:"mm" us:"inch" default:"500" must:">0"`      // about 0.3 to 0.7 m for car and light-truck tyres, from memory
	PatchLength        float64 `unit:"mm" us:"inch" default:"0" must:">=0"`       // contact length; 0: estimated from load and deflection
	Pressure           float64 `unit:"kPa" us:"psi" must:">0"`                    // gauge
	LoadCapacity       float64 `unit:"kg" us:"lb" must:">0"`                      // most that it may carry, moulded on its side or by its load index; the smaller
	LoadPressure       float64 `unit:"kPa" us:"psi" must:">0"`                    // gauge, at which it carries that: moulded beside it
	Friction           float64 `unit:"1" default:"0.8" must:">0"`                 // peak coefficient on the road in question
}

// Steering is a rack with its handwheel. What is left out is ideal: no friction, no loss, no assistance.
type Steering struct {
	RackPerTurn       float64 `unit:"mm" us:"inch" per:"turn" must:">0"`           // rack travel per handwheel turn
	HandwheelRadius   float64 `unit:"mm" us:"inch" default:"190" must:">0"`        // half the handwheel's diameter, to the middle of the rim
	RackLimit         float64 `unit:"mm" us:"inch" must:">=0"`                     // rack travel from the middle to either stop
	Friction          float64 `unit:"N" us:"lbf" default:"0" must:">=0"`           // dry, at the rack: what keeps it sliding slowly, not the higher pull that breaks it loose
	KingpinFriction   float64 `unit:"N*m" us:"lbf*ft" default:"0" must:">=0"`      // dry, about the steering axis, per wheel: what keeps it turning slowly
	RollingFriction   float64 `unit:"percent" default:"100" must:">=0 <=100"`      // share of both left while the road shakes the vehicle; read by models with a Speed
	Efficiency        float64 `unit:"1" default:"1" must:">0 <=1"`                 // handwheel to rack
	ReverseEfficiency float64 `unit:"1" default:"1" must:">0 <=1"`                 // rack to handwheel
	HandwheelInertia  float64 `unit:"kg*m*m" us:"lb*ft*ft" default:"0" must:">=0"` // handwheel and column, about the column
	KnuckleInertia    float64 `unit:"kg*m*m" us:"lb*ft*ft" default:"0" must:">=0"` // knuckle, hub and brake about the steering axis, one side
	RodStiffness      float64 `unit:"N/mm" us:"lbf/inch" default:"0" must:">=0"`   // tie rod with the rack's mount, along the rod; 0: rigid
	Damping           float64 `unit:"N*s/m" us:"lbf*s/ft" default:"0" must:">=0"`  // viscous, at the rack
	AssistGain        float64 `unit:"1" default:"0" must:">=0"`                    // assistance at the rack per unit of the driver's rack force
	AssistCeiling     float64 `unit:"N" us:"lbf" default:"0" must:">=0"`           // most the assistance gives, at the rack
	AssistOnset       float64 `unit:"N*m" us:"lbf*ft" default:"0" must:">=0"`      // driver's torque below which there is no assistance; usually about 1 N·m, from memory
}

// Spring is the coil and damper of a front corner.
type Spring struct {
	Rate         float64 `unit:"N/mm" us:"lbf/inch" must:">0"`              // of the coil
	Damping      float64 `unit:"N*s/m" us:"lbf*s/ft" must:">0"`             // at the damper
	LowerPoint   Point   `unit:"mm" us:"inch"`                              // coil's lower end, on the arm
	UpperPoint   Point   `unit:"mm" us:"inch"`                              // coil's upper end, on the body
	DamperLower  Point   `unit:"mm" us:"inch" default:"0"`                  // damper's lower end; not given: as the coil
	DamperUpper  Point   `unit:"mm" us:"inch" default:"0"`                  // damper's upper end; not given: as the coil
	On           string  `default:"lower" must:"lower, upper"`              // the arm that carries the coil: "lower" or "upper"
	WheelBarRate float64 `unit:"N/mm" us:"lbf/inch" default:"0" must:">=0"` // anti-roll bar, at the wheel, one side moving against the other
	BumpTravel   float64 `unit:"mm" us:"inch" default:"0" must:">=0"`       // wheel travel up to the stop, from where measured
	DroopTravel  float64 `unit:"mm" us:"inch" default:"0" must:">=0"`       // wheel travel down to the stop, from where measured
}

// Obstacle is a straight edge the tyre may touch, with a rounding of its own: an arch's lip, a mount, an arm.
// It is described for the left side, where the points of the corner were measured; the right mirrors it.
type Obstacle struct {
	Name      string  // shown in tables and drawings
	From      Point   `unit:"mm" us:"inch"`                              // one end, in the vehicle's axes
	To        Point   `unit:"mm" us:"inch"`                              // the other end
	Radius    float64 `unit:"mm" us:"inch" default:"0" must:">=0"`       // the edge's own rounding
	MovesWith string  `default:"body" must:"body, lower arm, upper arm"` // "body", "lower arm" or "upper arm"
}

// Sides is a pair of targets, one for each front wheel. A single value stands for both.
type Sides struct {
	Left  float64 // the left wheel's, in the unit of the input it is given to
	Right float64 // the right wheel's, in the unit of the input it is given to
}
