package release

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Bicycle is the two-degree-of-freedom linear handling model, each axle's tyres taken together (Abe, Vehicle
// Handling Dynamics, ch. 3; Gillespie, Fundamentals of Vehicle Dynamics, ch. 6; from memory):
//
//	m·(v̇ + V·r) = Fyf + Fyr,     Iz·ṙ = a·Fyf − b·Fyr
//	Fyf = −Cf·((v + a·r)/V − δ),  Fyr = −Cr·(v − b·r)/V
//
// with lateral velocity v, yaw rate r and steer angle δ. Range: lateral acceleration up to about 0.3 g.
type Bicycle struct {
	Mass           float64 // kg
	YawInertia     float64 // kg·m²
	Front, Rear    float64 // m, centre of mass to each axle (a, b)
	FrontCornering float64 // N/rad, both tyres (Cf)
	RearCornering  float64 // N/rad, both tyres (Cr)
	Speed          float64 // m/s (V), above zero
}

// Matrix is the system matrix of the state (v, r) with the steering held.
func (b Bicycle) Matrix() *mat.Dense {
	m, i, v := b.Mass, b.YawInertia, b.Speed
	f, r := b.FrontCornering, b.RearCornering
	return mat.NewDense(2, 2, []float64{
		-(f + r) / (m * v), -v - (b.Front*f-b.Rear*r)/(m*v),
		-(b.Front*f - b.Rear*r) / (i * v), -(b.Front*b.Front*f + b.Rear*b.Rear*r) / (i * v),
	})
}

// StabilityFactor is A in δ = (L/R)·(1 + A·V²), s²/m²: m·(b·Cr − a·Cf)/(L²·Cf·Cr). Positive: understeer.
func (b Bicycle) StabilityFactor() float64 {
	l := b.Front + b.Rear
	return b.Mass * (b.Rear*b.RearCornering - b.Front*b.FrontCornering) / (l * l * b.FrontCornering * b.RearCornering)
}

// UndersteerGradient is the steer angle beyond the kinematic one per lateral acceleration, rad/(m/s²): A·L.
func (b Bicycle) UndersteerGradient() float64 { return b.StabilityFactor() * (b.Front + b.Rear) }

// CharacteristicSpeed is where an understeering vehicle needs twice the kinematic steer angle, m/s: 1/√A; NaN for one
// that doesn't understeer.
func (b Bicycle) CharacteristicSpeed() float64 {
	if a := b.StabilityFactor(); a > 0 {
		return 1 / math.Sqrt(a)
	}
	return math.NaN()
}

// YawGain is the steady yaw rate per steer angle, 1/s: V/(L·(1 + A·V²)).
func (b Bicycle) YawGain() float64 {
	return b.Speed / ((b.Front + b.Rear) * (1 + b.StabilityFactor()*b.Speed*b.Speed))
}

// FreeSteer is the bicycle with its steering let go: steer angle δ as a third freedom, and tyres whose slip α′ follows
// the geometric slip α over a relaxation length σ (Pacejka, Tire and Vehicle Dynamics, ch. 1 and 7; Abe ch. 5 for
// the free control; from memory):
//
//	αf = (v + a·r − n·δ̇)/V − δ,   αr = (v − b·r)/V,   (σ/V)·α̇′ + α′ = α,   Fy = −C·α′
//	Iz·ṙ + J·δ̈ = a·Fyf − b·Fyr
//	Is·δ̈ + J·ṙ = −(n + t)·Fyf − k·δ − c·δ̇
//
// with mechanical trail n, pneumatic trail t, steering inertia Is, the steered wheels' yaw momentum J per δ̇ (see
// SteeredWheel), damping c and centring stiffness k, all about the steering axes, both wheels together, per mean steer angle. The contact lies n behind the axis, so a
// turning wheel moves its contact sideways: that −n·δ̇ is the tyre's own damping.
type FreeSteer struct {
	Bicycle
	FrontRelaxation float64 // m
	RearRelaxation  float64 // m
	MechanicalTrail float64 // m
	PneumaticTrail  float64 // m
	Inertia         float64 // kg·m², wheels, knuckles and what the handwheel adds through the gear
	Momentum        float64 // kg·m², of wheels and knuckles: what δ̇ adds to the yaw momentum
	Damping         float64 // N·m·s/rad
	Stiffness       float64 // N·m/rad
}

// Matrix is the system matrix of the state (v, r, δ, δ̇, α′f, α′r).
func (s FreeSteer) Matrix() *mat.Dense {
	m, v := s.Mass, s.Speed
	f, r := s.FrontCornering, s.RearCornering
	toFront, toRear := v/s.FrontRelaxation, v/s.RearRelaxation
	trail := s.MechanicalTrail + s.PneumaticTrail
	a := mat.NewDense(6, 6, []float64{
		0, -v, 0, 0, -f / m, -r / m,
		0, 0, 0, 0, -s.Front * f, s.Rear * r, // torque in yaw, turned into acceleration below
		0, 0, 0, 1, 0, 0,
		0, 0, -s.Stiffness, -s.Damping, trail * f, 0, // torque on the steering
		toFront / v, toFront * s.Front / v, -toFront, -toFront * s.MechanicalTrail / v, -toFront, 0,
		toRear / v, -toRear * s.Rear / v, 0, 0, 0, -toRear,
	})
	free := s.YawInertia*s.Inertia - s.Momentum*s.Momentum
	for j := range 6 {
		yaw, steering := a.At(1, j), a.At(3, j)
		a.Set(1, j, (s.Inertia*yaw-s.Momentum*steering)/free)
		a.Set(3, j, (s.YawInertia*steering-s.Momentum*yaw)/free)
	}
	return a
}
