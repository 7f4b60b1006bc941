package release

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"turnplate/sim/agree"
)

func swivel() Swivel {
	return Swivel{Inertia: 3, Cornering: 50000, MechanicalTrail: 0.03, PneumaticTrail: 0.025, Relaxation: 0.5, Speed: 25}
}

// On the bound the eigenvalues say what Routh's criterion says: just less damping grows, just more dies away.
func TestDampingNeededAgainstEigenvalues(t *testing.T) {
	for _, speed := range []float64{5, 15, 30} {
		for _, trail := range []float64{-0.01, 0.01, 0.03, 0.2} {
			for _, inertia := range []float64{1, 5} {
				s := swivel()
				s.Speed, s.MechanicalTrail, s.Inertia = speed, trail, inertia
				need := s.DampingNeeded()
				assert.Positive(t, need)
				s.Damping = 0.999 * need
				assert.False(t, Stable(Eigenvalues(s.Matrix())), "%+v", s)
				s.Damping = 1.001 * need
				assert.True(t, Stable(Eigenvalues(s.Matrix())), "%+v", s)
			}
		}
	}
}

// The classical bound: an undamped wheel is stable once its trail is longer than the relaxation length.
func TestTrailBeyondRelaxationNeedsNoDamping(t *testing.T) {
	s := swivel()
	for trail, stable := range map[float64]bool{0.45: false, 0.499: false, 0.501: true, 0.6: true} {
		s.MechanicalTrail = trail
		assert.Equal(t, stable, s.DampingNeeded() == 0, "trail %g", trail)
		assert.Equal(t, stable, Stable(Eigenvalues(s.Matrix())), "trail %g", trail)
	}
}

// A heavier wheel needs more damping, at every speed.
func TestHeavierWheelNeedsMoreDamping(t *testing.T) {
	for _, speed := range []float64{5, 15, 30} {
		light, heavy := swivel(), swivel()
		light.Speed, heavy.Speed, heavy.Inertia = speed, speed, 4.5
		assert.Greater(t, heavy.DampingNeeded(), light.DampingNeeded())
	}
}

// Without lag the wheel is a damped pendulum on its tyre: ω² = C·(n+t)/I, damped by the trail alone.
func TestNoLag(t *testing.T) {
	s := swivel()
	s.Relaxation = 1e-7
	m, ok := LeastDamped(Eigenvalues(s.Matrix()))
	assert.True(t, ok)
	k := s.Cornering * (s.MechanicalTrail + s.PneumaticTrail)
	const lag = 1e-4
	agree.Relative(t, math.Sqrt(k/s.Inertia), m.Frequency, lag, "frequency")
	agree.Relative(t, k*s.MechanicalTrail/s.Speed/(2*math.Sqrt(k*s.Inertia)), m.DampingRatio, lag, "damping ratio")
}

func TestSwivelRefusals(t *testing.T) {
	for _, spoil := range []func(*Swivel){
		func(s *Swivel) { s.MechanicalTrail = -0.03 },
		func(s *Swivel) { s.Speed = 0 },
		func(s *Swivel) { s.Inertia = 0 },
		func(s *Swivel) { s.Relaxation = 0 },
	} {
		s := swivel()
		spoil(&s)
		assert.True(t, math.IsNaN(s.DampingNeeded()))
	}
}

// On a vehicle too heavy to move, the free steering of both wheels is the same wheel.
func TestSwivelIsFreeSteerOnAHeavyVehicle(t *testing.T) {
	s := swivel()
	s.Damping = 40
	free := FreeSteer{
		Bicycle:         Bicycle{Mass: 1e12, YawInertia: 1e12, Front: 1.3, Rear: 1.4, FrontCornering: 2 * s.Cornering, RearCornering: 1e5, Speed: s.Speed},
		FrontRelaxation: s.Relaxation, RearRelaxation: s.Relaxation, MechanicalTrail: s.MechanicalTrail, PneumaticTrail: s.PneumaticTrail,
		Inertia: 2 * s.Inertia, Damping: 2 * s.Damping,
	}
	all := Eigenvalues(free.Matrix())
	for _, want := range Eigenvalues(s.Matrix()) {
		missed := math.Inf(1)
		for _, value := range all {
			missed = math.Min(missed, math.Hypot(real(value-want), imag(value-want)))
		}
		assert.Less(t, missed, 1e-4)
	}
}
