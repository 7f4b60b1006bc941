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
