package sim

import (
	"fmt"
	"math"
	"slices"

	"turnplate/sim/release"
	"turnplate/sim/steering"
	"turnplate/sim/tyre"
)

func init() { register[KickBack, KickBackResult]() }

// KickBack tells how hard a rough road pulls at the driver's hands, and how near the wheels are to shimmy, for a tyre's mass
// and a wheel's offset: how hard one wheel kicks the rim over a bump, in uneven braking and against a kerb, and how
// much damping keeps a wheel from swinging by itself.
//
// Bump: a wheel that rises changes its camber, and its spin answers with a couple about the steering axis,
//
//	M = −k·(Ω×H), H = I·(V/r)·a
//
// with k the axis's unit direction, Ω the knuckle's turning at BumpSpeed from the exact linkage, I the spin inertia of
// tyre and rim, r the rolling radius, a the wheel's axis (basic mechanics). Braking: a brake force acts at the ground
// when the brake is in the wheel, through the scrub radius: M = k·((P−A)×F), from a point A of the axis to the contact
// centre P. Kerb: a blow against the rim or tread acts through the wheel's centre, as a free wheel passes on no torque
// about its axle: k·((C−A)×F), C the wheel's centre, its lever the spindle length. Each is for the left wheel alone, the
// right one undisturbed, and reaches the rim through the linkage and ReverseEfficiency, with the handwheel held and
// friction and assistance left out; the peak of a short blow is less by what inertia takes.
//
// Shimmy: one wheel swinging on its tyre about its steering axis, with the damping at hand (Steering.Damping shared by
// both wheels), the damping needed for it to die away (see release.Swivel) and the road speed at which the wheel turns
// once a swing, where an imbalance meets it. It leaves out column, bushings and the other wheel: compare parts by it,
// forecast nothing.
//
// Valid for a rolling wheel and small movements, running straight.
type KickBack struct {
	Vehicle              Vehicle
	Speed                float64 `unit:"kph" us:"mph" must:">0: a wheel that stands doesn't kick or shimmy"` // along the road, above zero
	BumpSpeed            float64 `unit:"m/s" us:"ft/s" default:"1"`                                          // of the left wheel's rise
	BrakeForceDifference float64 `unit:"N" us:"lbf" default:"0"`                                             // left wheel's brake force less the right's
	KerbForce            float64 `unit:"N" us:"lbf" default:"0"`                                             // rearward blow on the left wheel
}

// KickBackResult holds the kicks and the shimmy indicators.
type KickBackResult struct {
	Bump  Kick // of a wheel rising at BumpSpeed
	Brake Kick // of BrakeForceDifference
	Kerb  Kick // of KerbForce

	CamberRate     float64 `unit:"deg/s"`                    // of the left wheel at BumpSpeed
	CamberPerBump  float64 `unit:"deg/mm" us:"deg/inch"`     // of the left wheel, per rise of its centre
	SpinMomentum   float64 `unit:"kg*m*m/s" us:"lb*ft*ft/s"` // of tyre and rim at Speed: I·V/r
	SwivelInertia  float64 `unit:"kg*m*m" us:"lb*ft*ft"`     // of wheel and knuckle about the steering axis
	WheelFrequency float64 `unit:"Hz"`                       // turns of the wheel: an imbalance shakes at this

	ShimmyFrequency    float64 `unit:"Hz" absent:"the wheel doesn't swing"`                                       // undamped, of the wheel's swing on its tyre; absent when it doesn't swing
	ShimmyDampingRatio float64 `unit:"1" absent:"the wheel doesn't swing"`                                        // with the damping at hand; below 0 the swing grows
	DampingAtWheel     float64 `unit:"N*m*s/rad" us:"lbf*ft*s/rad"`                                               // Steering.Damping about one steering axis
	DampingNeeded      float64 `unit:"N*m*s/rad" us:"lbf*ft*s/rad" absent:"the trails don't turn the wheel back"` // least with which the swing dies away
	ImbalanceSpeed     float64 `unit:"kph" us:"mph" absent:"the wheel doesn't swing"`                             // at which the wheel turns once a swing
}

// Kick is a torque about the left steering axis and what it does at the rim; + to the left.
type Kick struct {
	AxisTorque      float64 `unit:"N*m" us:"lbf*ft"`                      // about the left wheel's steering axis; + turns it left
	HandwheelTorque float64 `unit:"N*m" us:"lbf*ft"`                      // at the handwheel, held; + turns it left
	RimForce        float64 `unit:"N" us:"lbf" called:"force at the rim"` // HandwheelTorque at HandwheelRadius
}

// Uses lists what the result depends on.
func (KickBack) Uses() []string {
	return slices.Concat(kinematicFields(), loadFields, swivelFields, []string{
		"Tyre.Radius", "Tyre.RollingRadius", "Tyre.CorneringStiffness", "Tyre.NominalLoad", "Tyre.PatchLength", "Tyre.RelaxationLength", "Tyre.Friction",
		"Steering.RackPerTurn", "Steering.HandwheelRadius", "Steering.ReverseEfficiency", "Steering.Damping",
	})
}

// Optional lists what the model can do without.
func (KickBack) Optional() []string { return kinematicOptional }

// Run gives the indicators.
func (m KickBack) Run() (KickBackResult, error) {
	v := &m.Vehicle
	if err := checkInputs(&m); err != nil {
		return KickBackResult{}, err
	}
	a, err := newAxle(v)
	if err != nil {
		return KickBackResult{}, err
	}
	load := newWeight(v)
	rest := a.atRest()
	k, s := &a.left, &rest.left
	var out KickBackResult
	if out.SwivelInertia, err = swivelInertia(v, k, s); err != nil {
		return KickBackResult{}, err
	}
	travel, ok := k.link.Travel(&s.pose)
	if !ok {
		return KickBackResult{}, fmt.Errorf("%s: the wheel doesn't rise as its arms swing", k.side)
	}
	axis := steering.Axis{Through: s.pose.Lower, Along: s.pose.Axis}
	perRack := k.axisRate(s)
	kick := func(torque float64) Kick {
		atHandwheel := torque * perRack * v.Steering.RackPerTurn / (2 * math.Pi) * v.Steering.ReverseEfficiency
		return Kick{torque, atHandwheel, atHandwheel / v.Steering.HandwheelRadius}
	}
	spin := v.Tyre.Inertia + v.Tyre.RimInertia
	turning := travel.Turn.Scale(m.BumpSpeed)
	back := s.Heading.Scale(-1)
	out.Bump = kick(axis.Couple(steering.Gyroscopic(spin, m.Speed, v.Tyre.RollingRadius, s.pose.Spin, turning)))
	out.Brake = kick(axis.Moment(s.Contact, back.Scale(m.BrakeForceDifference)))
	out.Kerb = kick(axis.Moment(s.Centre, back.Scale(m.KerbForce)))
	out.CamberPerBump = s.pose.Rates(travel, k.ground).Camber
	out.CamberRate = out.CamberPerBump * m.BumpSpeed
	out.SpinMomentum = spin * m.Speed / v.Tyre.RollingRadius
	out.WheelFrequency = m.Speed / (2 * math.Pi * v.Tyre.RollingRadius)
	return out, out.shimmy(&m, s, &load, perRack)
}

// shimmy fills in the indicators of the left wheel swinging on its tyre.
func (out *KickBackResult) shimmy(m *KickBack, s *stance, on *weight, perRack float64) error {
	load := on.left
	t := m.Vehicle.Tyre
	t.CamberStiffness = 0 // a thrust that stays doesn't count for a swing
	brush, err := brushOf(&t, on.front/2)
	if err != nil {
		return err
	}
	// The rack's damping c takes c·ṡ²; half of it for this wheel is c/(2·(dδ/ds)²) about its axis.
	out.DampingAtWheel = m.Vehicle.Steering.Damping / (2 * perRack * perRack)
	swivel := release.Swivel{
		Inertia: out.SwivelInertia, Damping: out.DampingAtWheel, Cornering: brush.Cornering(load),
		MechanicalTrail: s.Trail, PneumaticTrail: brush.Trail(0, load), Relaxation: m.Vehicle.Tyre.RelaxationLength, Speed: m.Speed,
	}
	if math.IsNaN(swivel.Cornering) {
		return tyre.ErrLoad
	}
	out.DampingNeeded = swivel.DampingNeeded()
	out.ShimmyFrequency, out.ShimmyDampingRatio, out.ImbalanceSpeed = math.NaN(), math.NaN(), math.NaN()
	if mode, swings := release.LeastDamped(release.Eigenvalues(swivel.Matrix())); swings {
		out.ShimmyFrequency, out.ShimmyDampingRatio = mode.Frequency/(2*math.Pi), mode.DampingRatio
		out.ImbalanceSpeed = mode.Frequency * m.Vehicle.Tyre.RollingRadius
	}
	return nil
}
