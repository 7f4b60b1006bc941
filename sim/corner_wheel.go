package sim

// WheelAlignment is the geometry of one front wheel against the ground. Signs are ISO 8855:2011's and hold
// for each wheel by itself, left or right; the formulas are at wishbone.Pose.Angles.
type WheelAlignment struct {
	Camber                  float64 `unit:"deg"`          // lean of the wheel's plane from the vertical about its own heading; + top outward
	Caster                  float64 `unit:"deg"`          // steering axis on the vehicle's side plane; + leans back at the top
	Toe                     float64 `unit:"deg"`          // wheel's heading from straight ahead, seen from above; + toe-in
	SteeringAxisInclination float64 `unit:"deg"`          // steering axis on the vehicle's rear plane; + leans inward at the top
	ScrubRadius             float64 `unit:"mm" us:"inch"` // across the heading, from where the axis meets the ground to the contact centre; + contact outboard
	Trail                   float64 `unit:"mm" us:"inch"` // along the heading, from the contact centre to where the axis meets the ground; + axis ahead
	SpindleLength           float64 `unit:"mm" us:"inch"` // level, across the heading, from the axis to the wheel centre; + wheel outboard (Milliken and Milliken, Race Car Vehicle Dynamics, SAE 1995, ch. 17, from memory)
	WheelX                  float64 `unit:"mm" us:"inch"` // wheel centre in body axes, + forward
	WheelY                  float64 `unit:"mm" us:"inch"` // wheel centre in body axes, + left, so negative for the right wheel
	UpperEyeTilt            float64 `unit:"deg"`          // lean of the upper arm's eyes from their bolt, from legs changed unequally; + ball joint moved rearward (see wishbone.Linkage.UpperEyeTilt)
	GroundHeight            float64 `unit:"mm" us:"inch"` // ground under this wheel above the body's origin, along the ground's vertical; a taller tyre lowers it
}

// alignment reads a stance into a result.
func (k *corner) alignment(s *stance) WheelAlignment {
	return WheelAlignment{
		Camber: s.Camber, Caster: s.Caster, Toe: s.Toe, SteeringAxisInclination: s.Inclination,
		ScrubRadius: s.ScrubRadius, Trail: s.Trail, SpindleLength: s.SpindleLength,
		WheelX: s.Centre.X, WheelY: k.mirror * s.Centre.Y, GroundHeight: s.GroundHeight,
		UpperEyeTilt: k.link.UpperEyeTilt(),
	}
}

// AxleAlignment is what both wheels make together.
type AxleAlignment struct {
	TotalToe         float64 `unit:"deg"` // sum of both wheels' toe; + toe-in (ISO 8855:2011 §7.1.7)
	CasterDifference float64 `unit:"deg"` // left less right
	CamberDifference float64 `unit:"deg"` // left less right
}

func together(left, right WheelAlignment) AxleAlignment {
	return AxleAlignment{
		TotalToe:         left.Toe + right.Toe,
		CasterDifference: left.Caster - right.Caster,
		CamberDifference: left.Camber - right.Camber,
	}
}
