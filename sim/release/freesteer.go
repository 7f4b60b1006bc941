package release

import (
	"math"
	"math/cmplx"
	"sort"

	"gonum.org/v1/gonum/mat"
)

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

// Eigenvalues gives those of a system matrix, slowest decay first, a conjugate pair with + first. It's nil where gonum's
// iteration fails, which is for matrices that aren't finite.
func Eigenvalues(a mat.Matrix) []complex128 {
	rows, _ := a.Dims()
	for i := range rows {
		for j := range rows {
			if x := a.At(i, j); math.IsNaN(x) || math.IsInf(x, 0) {
				return nil
			}
		}
	}
	var e mat.Eigen
	if !e.Factorize(a, mat.EigenNone) {
		return nil
	}
	values := e.Values(nil)
	sort.Slice(values, func(i, j int) bool {
		if real(values[i]) != real(values[j]) {
			return real(values[i]) > real(values[j])
		}
		return imag(values[i]) > imag(values[j])
	})
	return values
}

// Mode is one motion of a linear system: what an eigenvalue λ means.
type Mode struct {
	Frequency    float64 // rad/s, undamped: |λ|
	DampingRatio float64 // −Re λ/|λ|; 1 and above (a real λ) doesn't swing, below 0 it grows
	Swings       bool
}

// ModeOf reads an eigenvalue.
func ModeOf(value complex128) Mode {
	size := cmplx.Abs(value)
	if size == 0 {
		return Mode{}
	}
	return Mode{size, -real(value) / size, imag(value) != 0}
}

// LeastDamped is the swinging mode with the smallest damping ratio; ok is false when nothing swings.
func LeastDamped(values []complex128) (least Mode, ok bool) {
	for _, value := range values {
		if m := ModeOf(value); m.Swings && (!ok || m.DampingRatio < least.DampingRatio) {
			least, ok = m, true
		}
	}
	return least, ok
}

// Stable tells whether every motion dies away. Values within rounding of zero count as not growing.
func Stable(values []complex128) bool {
	const rounding = 1e-9 // 1/s
	for _, value := range values {
		if !(real(value) <= rounding) {
			return false
		}
	}
	return len(values) > 0
}
