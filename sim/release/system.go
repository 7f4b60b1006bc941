package release

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"turnplate/sim/ode"
)

// State is the motion at an instant.
type State struct {
	Lateral   float64 // v, m/s, of the centre of mass
	Yaw       float64 // r, rad/s
	Steer     float64 // q, the steering coordinate: any that the front axle is written in, such as rack travel
	SteerRate float64 // q̇
	FrontSlip float64 // α′f, rad, as the tyres feel it
	RearSlip  float64 // α′r, rad
}

const states = 6

func (s State) put(y []float64) {
	y[0], y[1], y[2], y[3], y[4], y[5] = s.Lateral, s.Yaw, s.Steer, s.SteerRate, s.FrontSlip, s.RearSlip
}

func stateOf(y []float64) State { return State{y[0], y[1], y[2], y[3], y[4], y[5]} }

// Axle is what the front axle does at a place of the steering.
type Axle struct {
	Heading  float64 // rad, mean heading of the wheels, + left
	Sweep    float64 // how far the contact moves to the left per unit of q, m/[q] (−n·dδ/dq for a trail n)
	Lateral  float64 // N, both tyres, + left
	Steering float64 // generalised force on q: the power of the tyres on the steering is Steering·q̇
}

// System is a vehicle with free steering. Front gives the front axle's answer to the steering's place, the slip its
// tyres feel and the lateral acceleration that sets their loads; Rear the rear axle's lateral force. An answer
// that is NaN (a tyre past its range, the rack past its stop) ends the run with an error.
//
// Dry friction acts on q: Friction + Loss·|Steering|, the same sticking and sliding. It resists motion with all of it;
// without motion it takes whatever is needed, up to that, to keep q still. Loss = 1 − reverse efficiency is
// the part of the tyres' force that the gear loses.
//
// The steered wheels turn with the vehicle and about their axes at once, so Momentum joins both equations, with what the
// tyres do to the yaw Y and to the steering S (Lagrange; both lines or neither: in one alone it makes energy from nothing):
//
//	YawInertia·ṙ + Momentum·q̈ = Y,   Momentum·ṙ + Inertia·q̈ = S − friction − Damping·q̇
type System struct {
	Speed           float64 // m/s
	Mass            float64 // kg
	YawInertia      float64 // kg·m²
	FrontArm        float64 // m, centre of mass to front axle
	RearArm         float64 // m
	FrontRelaxation float64 // m
	RearRelaxation  float64 // m
	Inertia         float64 // generalised, of the steering: its kinetic energy is ½·Inertia·q̇²
	Momentum        float64 // generalised: what q̇ adds to the vehicle's yaw momentum, so that it is YawInertia·r + Momentum·q̇
	Damping         float64 // generalised
	Friction        float64 // generalised
	Loss            float64 // 0 to 1

	Front func(q, slip, acceleration float64) Axle
	Rear  func(slip, acceleration float64) float64
}

// Reasons that a system can't be run.
var (
	ErrSpeed    = errors.New("release: the speed must be above zero: tyres are modelled rolling")
	ErrChatter  = errors.New("release: the steering sticks and slips without end")
	ErrBeyond   = errors.New("release: the motion leaves the tyres' or the steering's range")
	ErrNotGiven = errors.New("release: masses, inertias and relaxation lengths must be above zero")
	ErrMomentum = errors.New("release: the steered wheels' yaw momentum is too much for the vehicle's yaw inertia, which has to count them too")
)

func (s *System) check() error {
	if !(s.Speed > 0) || math.IsInf(s.Speed, 0) {
		return ErrSpeed
	}
	for _, x := range []float64{s.Mass, s.YawInertia, s.FrontRelaxation, s.RearRelaxation, s.Inertia} {
		if !(x > 0) {
			return ErrNotGiven
		}
	}
	if !(s.Momentum*s.Momentum < s.YawInertia*s.Inertia) {
		return ErrMomentum
	}
	if !(s.Friction >= 0) || !(s.Damping >= 0) || !(s.Loss >= 0 && s.Loss <= 1) {
		return fmt.Errorf("release: friction %g, damping %g and loss %g can't be negative, nor a loss above 1", s.Friction, s.Damping, s.Loss)
	}
	return nil
}

// How the steering moves: the sign of q̇ while it slides, or held by friction.
const (
	slidesRight = -1
	stuck       = 0
	slidesLeft  = 1
)

// rates writes the state's rate of change; sliding is the sign of the friction to resist, or stuck.
func (s *System) rates(y, dydt []float64, sliding float64, held bool) {
	v := s.Speed
	// Loads follow V·r: the steady part of lateral acceleration, which keeps the forces free of their own effect.
	acceleration := v * y[1]
	front := s.Front(y[2], y[4], acceleration)
	rear := s.Rear(y[5], acceleration)
	dydt[0] = (front.Lateral+rear)/s.Mass - v*y[1]
	yaw := s.yawing(front.Lateral, rear)
	rate := y[3]
	if held {
		rate, dydt[1], dydt[3] = 0, yaw/s.YawInertia, 0
	} else {
		steering := front.Steering - sliding*s.grip(front.Steering) - s.Damping*rate
		free := s.YawInertia*s.Inertia - s.Momentum*s.Momentum
		dydt[1] = (s.Inertia*yaw - s.Momentum*steering) / free
		dydt[3] = (s.YawInertia*steering - s.Momentum*yaw) / free
	}
	dydt[2] = rate
	slip := (y[0]+s.FrontArm*y[1]+front.Sweep*rate)/v - front.Heading
	dydt[4] = v / s.FrontRelaxation * (slip - y[4])
	dydt[5] = v / s.RearRelaxation * ((y[0]-s.RearArm*y[1])/v - y[5])
}

// grip is the most that dry friction can take.
func (s *System) grip(steering float64) float64 { return s.Friction + s.Loss*math.Abs(steering) }

// yawing is the tyres' torque about the vertical through the centre of mass.
func (s *System) yawing(front, rear float64) float64 { return s.FrontArm*front - s.RearArm*rear }

// onFriction is what dry friction has to take to keep the steering still in a state, and the most that it can: the tyres' force,
// and the push of wheels that the vehicle's yaw leaves behind.
func (s *System) onFriction(y []float64) (push, most float64) {
	acceleration := s.Speed * y[1]
	front := s.Front(y[2], y[4], acceleration)
	yaw := s.yawing(front.Lateral, s.Rear(y[5], acceleration))
	return front.Steering - s.Momentum*yaw/s.YawInertia, s.grip(front.Steering)
}

// Accuracy of a run: allowed error per step, relative, and absolute for (v, r, q, q̇, α′f, α′r) with q a length or an angle.
// A thousandth of a millimetre a second and a tenth of a millionth of a radian are far below what can be measured.
const (
	relative   = 1e-6
	steerStill = 1e-9 // |q̇| against the direction of sliding that counts as having come to rest
	mostSwaps  = 2000
)

var absolute = []float64{1e-6, 1e-7, 1e-8, 1e-7, 1e-7, 1e-7}

// Sample is a state of a history with the lateral acceleration at that instant, v̇ + V·r.
type Sample struct {
	State
	Acceleration float64
}

// Run lets go at times[0] in the state given and reads the motion at the times, which must rise. The state's
// SteerRate counts: a steering at rest that the tyres can't move stays where it is.
func (s *System) Run(start State, times []float64) ([]Sample, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	history := make([]Sample, 0, len(times))
	y, dydt := make([]float64, states), make([]float64, states)
	start.put(y)
	read := ode.Sampler(times, states, func(_ int, y []float64) {
		s.rates(y, dydt, 0, true) // only the first rate is read; it doesn't depend on how the steering moves
		history = append(history, Sample{stateOf(y), dydt[0] + s.Speed*y[1]})
	})
	t, end := times[0], times[len(times)-1]
	var err error
	for swaps := 0; t < end; swaps++ {
		if swaps > mostSwaps {
			return nil, ErrChatter
		}
		if t, err = s.stretch(t, end, y, read); err != nil {
			return nil, err
		}
	}
	if len(history) != len(times) {
		return nil, ErrBeyond
	}
	return history, nil
}

// stretch carries the motion on as long as the steering keeps to one way of moving.
func (s *System) stretch(t, end float64, y []float64, read func(ode.Span)) (float64, error) {
	o := ode.Options{Relative: relative, Absolute: absolute, Each: read}
	way := s.way(y)
	dry := s.Friction > 0 || s.Loss > 0
	switch {
	case !dry:
	case way == stuck:
		y[3] = 0
		o.Events = []ode.Event{{Direction: 1, Value: func(_ float64, y []float64) float64 {
			push, most := s.onFriction(y)
			return math.Abs(push) - most
		}}}
	default:
		o.Events = []ode.Event{{Direction: -1, Value: func(_ float64, y []float64) float64 {
			return y[3]*float64(way) + steerStill
		}}}
	}
	stop, err := ode.Integrate(func(_ float64, y, dydt []float64) {
		s.rates(y, dydt, float64(way), dry && way == stuck)
	}, t, end, y, o)
	if errors.Is(err, ode.ErrStep) { // the rates have become NaN
		return t, fmt.Errorf("%w after %.2g s", ErrBeyond, stop.T)
	}
	if err != nil {
		return t, err
	}
	if stop.Event >= 0 && way != stuck {
		y[3] = 0
	}
	if stop.Event >= 0 && way == stuck {
		// Off the balance by a rounding, so that the next stretch sees which way it goes.
		push, _ := s.onFriction(y)
		y[3] = math.Copysign(steerStill, push)
	}
	return stop.T, nil
}

// way tells how the steering moves from a state: as it moves, or as it is pushed if friction can't hold it.
func (s *System) way(y []float64) int {
	if math.Abs(y[3]) >= steerStill {
		return int(math.Copysign(1, y[3]))
	}
	push, most := s.onFriction(y)
	if math.Abs(push) <= most {
		return stuck
	}
	return int(math.Copysign(1, push))
}

// Linearise is the system matrix about a state, by central differences, without dry friction: friction has no
// slope at rest, and sliding it only shifts the balance.
func (s *System) Linearise(about State) (*mat.Dense, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	// A step of 1e-5 of each state's natural size: roundings weigh 1e-11 of a rate, curvature 1e-10.
	steps := [states]float64{1e-5 * s.Speed, 1e-5, 1e-6, 1e-5, 1e-6, 1e-6}
	a := mat.NewDense(states, states, nil)
	y, up, down := make([]float64, states), make([]float64, states), make([]float64, states)
	for j := range states {
		about.put(y)
		middle := y[j]
		y[j] = middle + steps[j]
		s.rates(y, up, 0, false)
		y[j] = middle - steps[j]
		s.rates(y, down, 0, false)
		for i := range states {
			slope := (up[i] - down[i]) / (2 * steps[j])
			if math.IsNaN(slope) {
				return nil, ErrBeyond
			}
			a.Set(i, j, slope)
		}
	}
	return a, nil
}
