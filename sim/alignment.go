package sim

func init() { register[Alignment, AlignmentResult]() }

// Alignment gives the alignment of both front wheels at rest: the vehicle as set and lifted, steered straight
// ahead (rack in its middle).
//
// The wheel centre's height relative to the body is held at Corner.Lift below where it was measured; the
// adjusters then move the rest. Unequal Corner.Lift and Vehicle.RearLift pitch the body by
// atan((front lift − rear lift)/wheelbase), nose up when the front is raised more, and caster and camber are
// against the ground's vertical. Roll isn't modelled.
//
// Valid for any two-arm front corner whose joints can be reached; bushings, links and tyre are rigid. Plain
// outputs mean the left wheel, Right the other one.
//
// Terms and signs: ISO 8855:2011 (toe §7.1.6 and §7.1.7 seen, the rest from memory).
type Alignment struct {
	Vehicle Vehicle
}

// AlignmentResult is the alignment at rest.
type AlignmentResult struct {
	WheelAlignment
	Right WheelAlignment
	AxleAlignment
	BodyPitch float64 `unit:"deg"` // since measured, from unequal lift; + nose up
}

// Uses lists what the result depends on.
func (Alignment) Uses() []string { return kinematicFields() }

// Optional lists what the model can do without.
func (Alignment) Optional() []string { return kinematicOptional }

// Run gives the alignment, or an error that names the joint that can't be reached or the field not given.
func (m Alignment) Run() (AlignmentResult, error) {
	if err := checkInputs(&m); err != nil {
		return AlignmentResult{}, err
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return AlignmentResult{}, err
	}
	w := a.atRest()
	r := AlignmentResult{
		WheelAlignment: a.left.alignment(&w.left),
		Right:          a.right.alignment(&w.right),
		BodyPitch:      a.pitch,
	}
	r.AxleAlignment = together(r.WheelAlignment, r.Right)
	return r, nil
}
