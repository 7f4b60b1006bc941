package sim

import (
	"math"

	"turnplate/sim/adjust"
)

func init() { register[Coupling, CouplingResult]() }

// Coupling tells how far each adjuster moves camber, caster and toe, as a matrix: how each angle changes with each
// adjuster, the others, the rack and the wheel centre's height held, at rest as the vehicle is set now. The
// derivatives are exact: the knuckle's velocity when one pivot moves or one link lengthens, from the
// distances that the links keep.
//
// A cam moves its pivot by u = CamOffset·sin(angle), so its rates are d/du·CamOffset·cos(angle): at 90° a cam
// has run out. The rates of a cam are absent on a corner without cams. They say what a small movement does;
// how far an adjuster may go is AlignTo's matter.
//
// Turning one adjuster disturbs toe, which the tie rod brings back: the parts named ToeHeld are what is left
// of it then, and CasterPerCamber is the trade between them, caster gained for each degree of camber gained
// by that adjuster alone. PerCaster, PerCamber and PerToe turn the matrix round: how far to turn both cams
// and the tie rod for one degree of that angle, the other two held.
//
// Own working (the velocity of a rigid body held by five links; the links: W. Matschinsky, Radführungen der
// Straßenfahrzeuge, 3rd ed., Springer 2007, ch. 3, from memory). Signs: ISO 8855:2011.
type Coupling struct {
	Vehicle Vehicle
}

// CouplingResult is the matrix; plain outputs mean the left wheel.
type CouplingResult struct {
	WheelCoupling
	Right WheelCoupling

	Step       []string  // the left wheel's matrix as a table, a usual step of each adjuster in turn: "Front cam 1°"
	StepCamber []float64 `unit:"deg" absent:"there are no cams, or TiePitch isn't given"` // what it does to camber
	StepCaster []float64 `unit:"deg" absent:"there are no cams, or TiePitch isn't given"` // what it does to caster
	StepToe    []float64 `unit:"deg" absent:"there are no cams, or TiePitch isn't given"` // what it does to toe
}

// WheelCoupling is one wheel's part of a CouplingResult.
type WheelCoupling struct {
	CamFront      CamRates    `absent:"there are no cams"` // eccentric bolt at the lower arm's front pivot
	CamRear       CamRates    `absent:"there are no cams"` // eccentric bolt at its rear pivot
	UpperShift    LengthRates // upper arm moved rearward
	UpperFrontLeg LengthRates // upper arm's front leg made longer
	UpperRearLeg  LengthRates // upper arm's rear leg made longer
	TieRod        TurnRates   `absent:"TiePitch isn't given"` // tie rod made longer by turning it

	PerCaster CamMoves `absent:"there are no cams, or both do the same"` // for one degree more caster, camber and toe held
	PerCamber CamMoves `absent:"there are no cams, or both do the same"` // for one degree more camber, caster and toe held
	PerToe    CamMoves `absent:"there are no cams, or both do the same"` // for one degree more toe-in, camber and caster held
}

// CamRates is what turning a cam does.
type CamRates struct {
	Camber          float64 `unit:"deg/deg"`                                // change per degree that the cam is turned
	Caster          float64 `unit:"deg/deg"`                                // change per degree that the cam is turned
	Toe             float64 `unit:"deg/deg"`                                // change per degree that the cam is turned
	CamberToeHeld   float64 `unit:"deg/deg"`                                // with toe brought back by the tie rod
	CasterToeHeld   float64 `unit:"deg/deg"`                                // with toe brought back by the tie rod
	CasterPerCamber float64 `unit:"deg/deg" absent:"camber doesn't change"` // CasterToeHeld for each CamberToeHeld
}

// LengthRates is what a change of length does.
type LengthRates struct {
	Camber          float64 `unit:"deg/mm" us:"deg/inch"`                   // change per millimetre
	Caster          float64 `unit:"deg/mm" us:"deg/inch"`                   // change per millimetre
	Toe             float64 `unit:"deg/mm" us:"deg/inch"`                   // change per millimetre
	CamberToeHeld   float64 `unit:"deg/mm" us:"deg/inch"`                   // with toe brought back by the tie rod
	CasterToeHeld   float64 `unit:"deg/mm" us:"deg/inch"`                   // with toe brought back by the tie rod
	CasterPerCamber float64 `unit:"deg/deg" absent:"camber doesn't change"` // CasterToeHeld for each CamberToeHeld
}

// TurnRates is what a turn of the tie rod does; absent without a TiePitch.
type TurnRates struct {
	Camber float64 `unit:"deg/turn"` // change per turn, + lengthens
	Caster float64 `unit:"deg/turn"` // change per turn, + lengthens
	Toe    float64 `unit:"deg/turn"` // change per turn, + lengthens
}

// CamMoves is a movement of both cams and the tie rod; absent without cams.
type CamMoves struct {
	CamFront float64 `unit:"deg/deg"`  // front cam
	CamRear  float64 `unit:"deg/deg"`  // rear cam
	TieRod   float64 `unit:"turn/deg"` // + lengthens
}

// Uses lists what the result depends on.
func (Coupling) Uses() []string { return kinematicFields() }

// Optional lists what the model can do without.
func (Coupling) Optional() []string { return kinematicOptional }

// Run gives the matrix, or an error that names the joint that can't be reached.
func (m Coupling) Run() (CouplingResult, error) {
	if err := checkInputs(&m); err != nil {
		return CouplingResult{}, err
	}
	a, err := newAxle(&m.Vehicle)
	if err != nil {
		return CouplingResult{}, err
	}
	left := a.left.coupling(&m.Vehicle.Front.Adjust)
	r := CouplingResult{WheelCoupling: left, Right: left}
	if !a.mirrored {
		r.Right = a.right.coupling(&m.Vehicle.Right.Adjust)
	}
	r.table()
	return r, nil
}

func (k *corner) coupling(a *Adjusters) WheelCoupling {
	s := adjust.Posed(k.link, k.rest, k.ground)
	front, rear := math.NaN(), math.NaN() // pivot movement per angle
	if a.hasCams() {
		front, rear = a.CamOffset*math.Cos(a.CamFront), a.CamOffset*math.Cos(a.CamRear)
	}
	tie := s.Rate(adjust.TieRod)
	turn := orAbsent(a.TiePitch) / (2 * math.Pi)
	along := func(kind adjust.Kind, per float64) CamRates {
		r := s.Rate(kind)
		back := -r.Toe / tie.Toe
		c := CamRates{
			Camber: r.Camber * per, Caster: r.Caster * per, Toe: r.Toe * per,
			CamberToeHeld: (r.Camber + tie.Camber*back) * per,
			CasterToeHeld: (r.Caster + tie.Caster*back) * per,
		}
		c.CasterPerCamber = c.CasterToeHeld / c.CamberToeHeld
		return c
	}
	w := WheelCoupling{
		CamFront:      along(adjust.CamFront, front),
		CamRear:       along(adjust.CamRear, rear),
		UpperShift:    LengthRates(along(adjust.UpperShift, 1)),
		UpperFrontLeg: LengthRates(along(adjust.UpperFrontLeg, 1)),
		UpperRearLeg:  LengthRates(along(adjust.UpperRearLeg, 1)),
		TieRod:        TurnRates{Camber: tie.Camber * turn, Caster: tie.Caster * turn, Toe: tie.Toe * turn},
	}
	f, r := &w.CamFront, &w.CamRear
	det := f.CamberToeHeld*r.CasterToeHeld - f.CasterToeHeld*r.CamberToeHeld
	// Both cams for a change of camber and caster with toe held, then the tie rod for the toe that they and
	// the wish leave.
	moves := func(camber, caster, toe float64) CamMoves {
		// A degree of toe by the tie rod brings camber and caster with it, which the cams take back.
		camber -= w.TieRod.Camber / w.TieRod.Toe * toe
		caster -= w.TieRod.Caster / w.TieRod.Toe * toe
		m := CamMoves{
			CamFront: (camber*r.CasterToeHeld - caster*r.CamberToeHeld) / det,
			CamRear:  (caster*f.CamberToeHeld - camber*f.CasterToeHeld) / det,
		}
		m.TieRod = (toe - f.Toe*m.CamFront - r.Toe*m.CamRear) / w.TieRod.Toe
		return m
	}
	w.PerCamber, w.PerCaster, w.PerToe = moves(1, 0, 0), moves(0, 1, 0), moves(0, 0, 1)
	return w
}

// table lays the left wheel's matrix out in usual steps.
func (r *CouplingResult) table() {
	const degree, millimetre, turn = math.Pi / 180, 1e-3, 2 * math.Pi
	add := func(step string, camber, caster, toe, size float64) {
		r.Step = append(r.Step, step)
		r.StepCamber = append(r.StepCamber, camber*size)
		r.StepCaster = append(r.StepCaster, caster*size)
		r.StepToe = append(r.StepToe, toe*size)
	}
	add("Front cam 1°", r.CamFront.Camber, r.CamFront.Caster, r.CamFront.Toe, degree)
	add("Rear cam 1°", r.CamRear.Camber, r.CamRear.Caster, r.CamRear.Toe, degree)
	add("Upper arm 1 mm rearward", r.UpperShift.Camber, r.UpperShift.Caster, r.UpperShift.Toe, millimetre)
	add("Upper front leg 1 mm longer", r.UpperFrontLeg.Camber, r.UpperFrontLeg.Caster, r.UpperFrontLeg.Toe, millimetre)
	add("Upper rear leg 1 mm longer", r.UpperRearLeg.Camber, r.UpperRearLeg.Caster, r.UpperRearLeg.Toe, millimetre)
	add("Tie rod 1 turn longer", r.TieRod.Camber, r.TieRod.Caster, r.TieRod.Toe, turn)
}
