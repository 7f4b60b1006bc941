package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"turnplate/sim/release"
	"turnplate/sim/root"
)

func init() { register[SteerRelease, SteerReleaseResult]() }

// SteerRelease gives what the vehicle does when the driver lets go of the handwheel in a steady turn: whether and how fast
// the steering comes back to straight ahead, how far it swings past, and what friction leaves over.
//
// The test is ISO 17288-1's free-steer test, steering-release part (the standard from memory: steady circle, handwheel let
// go, motion recorded; no limits are set there). Motion, with rack travel s, lateral velocity v, yaw rate r and slip angle α, a and b
// from the centre of mass to the axles, c Steering.Damping and σ RelaxationLength:
//
//	lateral    m·(v̇ + V·r) = Fyf + Fyr
//	yaw        Iz·ṙ + J·s̈ = a·Fyf − b·Fyr
//	steering   Is·s̈ + J·ṙ = Fs − c·ṡ − dry friction
//	tyres      (σ/V)·α̇′ + α′ = α   on each axle, α′ the slip angle that the tyre answers to
//
// The tyres' force on the rack, Fs, and the front lateral force come from the exact geometry at every instant, with each
// wheel's own load, slip and camber, as in ReturnTorque. Is carries the handwheel and both wheels with their knuckles, tyres and
// rims about their steering axes (spindle length and so wheel offset count). J is what ṡ adds to the vehicle's yaw momentum, as
// the wheels turn with the vehicle and about their axes at once (Lagrange; see release.SteeredWheel.YawMomentum):
//
//	J = Σ (dδ/ds)·[m·u·(R×(k×ρ)) + u·I·k + I_knuckle·u·k]
//
// with u up, k the steering axis, R from the centre of mass to the wheel's centre, ρ from the axis to it, m and I of tyre and
// rim, and the knuckle only as Steering.KnuckleInertia; YawInertia is the whole vehicle's, wheels included. Heavy wheels set far
// out make the least damped swing less damped. Dry friction is the rack's and both
// kingpins', as much as Steering.RollingFriction leaves of it (see ReturnTorque), with the share 1 − ReverseEfficiency of Fs
// beside it; it truly sticks, at the force at which it slides. The tyres' slip follows over
// RelaxationLength (Pacejka, Tire and Vehicle Dynamics, ch. 1, from memory).
//
// Valid at constant speed up to the tyres' limit, hands off. Left out: roll, play, torsion of the column, assistance (the driver's
// hands make none), what a steering damper does beyond Steering.Damping, the sideways push of wheels whose mass lies off their
// axes (it moves a swing by less than a fiftieth), gyroscopic and rolling-spin terms. Without any damping a caster that
// trails well can swing ever further: Stable says so, and a history that leaves the tyres' range is an error.
type SteerRelease struct {
	Vehicle             Vehicle
	Speed               float64 `unit:"kph" us:"mph" must:">0: a tyre that stands is ParkingEffort's matter"` // along the road, held
	LateralAcceleration float64 `unit:"gravity"`                                                              // of the turn let go; + turning left
}

// SteerReleaseResult is the motion after letting go, sampled evenly from 0 to 5 s.
type SteerReleaseResult struct {
	Time                []float64 `unit:"s"`       // 251 times, 20 ms apart
	HandwheelAngle      []float64 `unit:"deg"`     // + left
	YawRate             []float64 `unit:"deg/s"`   // + left
	LateralAcceleration []float64 `unit:"gravity"` // of the centre of mass, + left

	TimeToHalf      float64 `unit:"s" absent:"the handwheel never comes back to half its angle"` // until the handwheel first stands at half its angle at release; absent when it never does
	Overshoot       float64 `unit:"percent"`                                                     // furthest swing past straight ahead, as a share of the angle at release
	AngleLeft       float64 `unit:"deg"`                                                         // handwheel at 5 s; + on the side it was let go from
	YawRateLeft     float64 `unit:"percent"`                                                     // yaw rate at 5 s, as a share of that at release
	AngleAtRelease  float64 `unit:"deg"`                                                         // handwheel; + left
	Stable          bool    // every small motion about straight ahead dies away, friction apart (eigenvalues of the linear system)
	Frequency       float64 `unit:"Hz" absent:"nothing swings"`                                    // undamped, of the least damped swing about straight ahead; absent when nothing swings
	DampingRatio    float64 `unit:"1" absent:"nothing swings" called:"damping ratio of the swing"` // of that swing; below 0 it grows
	SteeringInertia float64 `unit:"kg*m*m" us:"lb*ft*ft"`                                          // of all that turns, referred to the mean road-wheel angle
}

// releaseSamples evenly spaced samples make up a history of releaseTime.
const (
	releaseTime    = 5.0 // s: ISO 17288-1 asks for the motion until it has settled; most has by then
	releaseSamples = 251
)

// Uses lists what the result depends on.
func (SteerRelease) Uses() []string {
	return slices.Concat(rollingFields(), []string{"YawInertia", "Tyre.RelaxationLength", "Steering.Damping", "Steering.HandwheelInertia"}, swivelFields)
}

// Optional lists what the model can do without.
func (SteerRelease) Optional() []string { return rollingOptional }

// Run gives the motion, or an error that says why there is none.
func (m SteerRelease) Run() (SteerReleaseResult, error) {
	if err := checkInputs(&m); err != nil {
		return SteerReleaseResult{}, err
	}
	r, err := newRolling(&m.Vehicle, m.Speed)
	if err != nil {
		return SteerReleaseResult{}, err
	}
	if m.LateralAcceleration == 0 {
		return SteerReleaseResult{}, errors.New("LateralAcceleration is zero: there's no turn to let go of")
	}
	system, err := r.freeSteer(&m.Vehicle)
	if err != nil {
		return SteerReleaseResult{}, err
	}
	start, err := r.steadyState(&system, m.LateralAcceleration)
	if err != nil {
		return SteerReleaseResult{}, err
	}
	out := SteerReleaseResult{Time: make([]float64, releaseSamples)}
	for i := range out.Time {
		out.Time[i] = releaseTime * float64(i) / (releaseSamples - 1)
	}
	history, err := system.Run(start, out.Time)
	if err != nil {
		return SteerReleaseResult{}, err
	}
	out.read(history, r.gear.RackPerRadian)
	perRack := (r.axle.left.headingRate(&r.rest.left) + r.axle.right.headingRate(&r.rest.right)) / 2
	out.SteeringInertia = system.Inertia / (perRack * perRack)
	return out, out.modes(&system)
}

// read takes the figures from a history.
func (out *SteerReleaseResult) read(history []release.Sample, rackPerRadian float64) {
	out.HandwheelAngle = make([]float64, len(history))
	out.YawRate = make([]float64, len(history))
	out.LateralAcceleration = make([]float64, len(history))
	for i, h := range history {
		out.HandwheelAngle[i], out.YawRate[i], out.LateralAcceleration[i] = h.Steer/rackPerRadian, h.Yaw, h.Acceleration
	}
	first, last := out.HandwheelAngle[0], len(history)-1
	side := math.Copysign(1, first)
	out.AngleAtRelease = first
	out.AngleLeft = side * out.HandwheelAngle[last]
	out.YawRateLeft = out.YawRate[last] / out.YawRate[0]
	out.TimeToHalf = math.NaN()
	for i, angle := range out.HandwheelAngle {
		if i > 0 && math.IsNaN(out.TimeToHalf) && side*angle <= side*first/2 {
			before := out.HandwheelAngle[i-1]
			out.TimeToHalf = out.Time[i-1] + (out.Time[i]-out.Time[i-1])*(before-first/2)/(before-angle)
		}
		out.Overshoot = math.Max(out.Overshoot, -side*angle/math.Abs(first))
	}
}

// modes fills in what the linear system about straight ahead says.
func (out *SteerReleaseResult) modes(system *release.System) error {
	matrix, err := system.Linearise(release.State{})
	if err != nil {
		return fmt.Errorf("straight ahead: %w", err)
	}
	values := release.Eigenvalues(matrix)
	out.Stable = release.Stable(values)
	out.Frequency, out.DampingRatio = math.NaN(), math.NaN()
	if mode, swings := release.LeastDamped(values); swings {
		out.Frequency, out.DampingRatio = mode.Frequency/(2*math.Pi), mode.DampingRatio
	}
	return nil
}

// freeSteer is the vehicle with its steering let go, written in rack travel.
func (r *rolling) freeSteer(v *Vehicle) (release.System, error) {
	s := &v.Steering
	left, err := swivelInertia(v, &r.axle.left, &r.rest.left)
	if err != nil {
		return release.System{}, err
	}
	right, err := swivelInertia(v, &r.axle.right, &r.rest.right)
	if err != nil {
		return release.System{}, err
	}
	momentum := r.yawMomentum(v, &r.axle.left, &r.rest.left) + r.yawMomentum(v, &r.axle.right, &r.rest.right)
	atRest := pair{wheelForce{axisRate: r.axle.left.axisRate(&r.rest.left)}, wheelForce{axisRate: r.axle.right.axisRate(&r.rest.right)}}
	square := func(x float64) float64 { return x * x }
	return release.System{
		Speed: r.speed, Mass: r.weight.mass, YawInertia: v.YawInertia,
		FrontArm: r.weight.frontArm, RearArm: r.weight.rearArm,
		FrontRelaxation: v.Tyre.RelaxationLength, RearRelaxation: v.Tyre.RelaxationLength,
		Inertia:  s.HandwheelInertia/square(r.gear.RackPerRadian) + left*square(atRest.left.axisRate) + right*square(atRest.right.axisRate),
		Momentum: momentum,
		Damping:  s.Damping,
		Friction: r.friction(&atRest),
		Loss:     1 - r.gear.ReverseEfficiency,
		Front:    r.freeAxle(),
		Rear:     func(slip, _ float64) float64 { return r.rearForce(slip) },
	}, nil
}

// yawMomentum is what the rack's speed adds to the vehicle's yaw momentum through one wheel, kg·m: see SteerRelease. A right
// wheel, seen as a left one in a mirror, adds what that one would.
func (r *rolling) yawMomentum(v *Vehicle, k *corner, s *stance) float64 {
	w := release.SteeredWheel{
		Mass: v.Tyre.Mass + v.Tyre.RimMass, SteerInertia: v.Tyre.SteerInertia, SpinInertia: v.Tyre.Inertia + v.Tyre.RimInertia,
		Knuckle: v.Steering.KnuckleInertia, Up: k.ground.Up, Axis: s.pose.Axis, Spin: s.pose.Spin,
		FromAxis: s.Centre.Sub(s.pose.Lower), FromMass: k.ground.Forward.Scale(r.weight.frontArm).Add(s.Centre),
	}
	return w.YawMomentum() * k.axisRate(s)
}

// freeAxle is the front axle as package release asks for it. The slip given is the one at the axle's middle against the mean
// heading, as the tyres feel it; each wheel's own differs by its toe and by its place in the turn.
//
// The function made keeps the geometry of the last rack position, as a rack that friction holds is asked for again and
// again, and the answer there, as the end of a step is asked for by what watches for friction to give.
func (r *rolling) freeAxle() func(rack, slip, acceleration float64) release.Axle {
	var w wheels
	var out release.Axle
	at, last := math.NaN(), course{math.NaN(), 0, 0}
	return func(rack, slip, acceleration float64) release.Axle {
		if rack != at {
			var err error
			if w, err = r.axle.steered(&r.rest, rack); err != nil {
				return release.Axle{Lateral: math.NaN(), Steering: math.NaN()}
			}
			at, last.sideways = rack, math.NaN()
			out.Heading = r.axle.meanHeading(&w)
			out.Sweep = (r.axle.left.sweep(&w.left) + r.axle.right.sweep(&w.right)) / 2
		}
		c := course{r.speed * math.Tan(slip+out.Heading), acceleration / r.speed, acceleration}
		if c == last {
			return out
		}
		p, err := r.wheels(&w, &c)
		if err != nil {
			return release.Axle{Lateral: math.NaN(), Steering: math.NaN()}
		}
		last = c
		out.Lateral, out.Steering = p.left.across+p.right.across, p.rack(wheelForce.total)
		return out
	}
}

// sweep is how far the contact moves to the left per rack travel, −n·k_z·dδ/ds: it lies behind the axis by the trail.
func (k *corner) sweep(s *stance) float64 {
	return -s.Trail * s.pose.Axis.Dot(k.ground.Up) * k.axisRate(s)
}

// steadyState is the steady turn from which the handwheel is let go.
func (r *rolling) steadyState(system *release.System, acceleration float64) (release.State, error) {
	c, _, err := r.on(acceleration, acceleration/r.speed)
	if err != nil {
		return release.State{}, err
	}
	rack, w, _, err := r.steerFor(acceleration, c.yaw)
	if err != nil {
		return release.State{}, err
	}
	// Package release takes sideways over forward speed for the slip angle; a last search settles the rack to that.
	rear := math.Atan((c.sideways - r.wheelbase*c.yaw) / r.speed)
	front := rear + r.wheelbase*c.yaw/r.speed
	asked := r.frontAsked(acceleration)
	perRack := (r.axle.left.headingRate(&w.left) + r.axle.right.headingRate(&w.right)) / 2
	slope := 2 * r.tyre.Cornering(r.weight.front/2) * perRack / 2
	search := root.Search{From: rack, Least: rack - 0.02, Most: rack + 0.02, Step: 0.005, Close: balanced * r.weight.front, Resolution: 1e-13}
	var slip float64
	rack, err = search.Follow(func(rack float64) (float64, float64, error) {
		// The heading asked for is the axle's own at this rack.
		slip = front - system.Front(rack, 0, acceleration).Heading
		miss := system.Front(rack, slip, acceleration).Lateral - asked
		if math.IsNaN(miss) {
			return 0, 0, release.ErrBeyond
		}
		return miss, slope, nil
	})
	if err != nil {
		return release.State{}, errors.New("the turn is too tight for free steering to be worked out from it: it needs a higher Speed or less LateralAcceleration")
	}
	return release.State{
		Lateral: r.speed*front - r.weight.frontArm*c.yaw, Yaw: c.yaw, Steer: rack, FrontSlip: slip, RearSlip: rear,
	}, nil
}
