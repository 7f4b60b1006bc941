package tyre

import (
	"errors"
	"fmt"
	"math"
)

// Limits of the brush model's use. The load limit keeps the stiffness law near the loads it was fitted to;
// past 45° of slip a tyre is a sliding block and a slip angle says little.
const (
	MaxLoadShare = 3           // of NominalLoad
	MaxSlip      = math.Pi / 4 // rad
	maxTan       = 1           // its tangent
)

// DefaultPeakLoad is the load, in nominal loads, at which the cornering stiffness is greatest: p_Ky2 of
// the 205/60R15 reference tyre in Pacejka, Tire and Vehicle Dynamics, appendix 3 (from memory). With the
// load of most daily use below it, stiffness per load falls as load rises.
const DefaultPeakLoad = 2.13

// Brush is a rolling tyre seen as a row of elastic bristles under a parabolic pressure (Fromm and Julien's
// model as given by Pacejka, Tire and Vehicle Dynamics, ch. 3; formulas from memory):
//
//	θ = C/(3·µ·W),  x = θ·|tan α|  (x = 1 where the whole patch slides; at most 1)
//	lateral force    Fy = −µ·W·(1 − (1−x)³)·sign α
//	aligning moment  Mz = +µ·W·a·x·(1−x)³·sign α
//	pneumatic trail  t  = a·(1−x)³/(3 − 3x + x²),  a/3 at zero slip and 0 from full sliding on
//
// with slip angle α, load W, half contact length a and cornering stiffness C at that load. The stiffness
// follows the load as in Pacejka's formula p_Ky1·W₀·sin(2·atan(W/(p_Ky2·W₀))) (ch. 4, from memory), put
// through the known stiffness at the nominal load W₀:
//
//	C(W) = C₀·q·(1 + 1/k²)/(1 + (q/k)²),  q = W/W₀,  k = PeakLoad
//
// Leaning adds a thrust linear in the lean angle, taken as a shift of the slip angle that would make the same
// force, so that the sum keeps within µ·W; its share of the load grows in proportion. It has no trail of
// its own: the bristles of a leaning tyre are bent evenly about the middle of the patch.
//
// Friction doesn't depend on load, speed or sliding here, and near its limit a brush is blunter than a measured
// tyre, by up to 15 % of the peak force (against SAE 870421). Range: load from 0 to MaxLoadShare nominal loads,
// slip within ±MaxSlip; NaN outside.
type Brush struct {
	CorneringStiffness float64 // N/rad, one tyre, at NominalLoad
	NominalLoad        float64 // N
	PeakLoad           float64 // in nominal loads, where cornering stiffness is greatest; 0: DefaultPeakLoad
	CamberStiffness    float64 // N/rad of lean, at NominalLoad; may be 0
	Friction           float64
	PatchLength        float64 // m, contact length at PatchLoad; grows as the root of load, as the chord of a deflected circle does
	PatchLoad          float64 // N
}

// Check says what is wrong with the tyre's numbers, or nil.
func (b *Brush) Check() error {
	for _, f := range []struct {
		name  string
		value float64
		zero  bool // zero is allowed
	}{
		{"cornering stiffness", b.CorneringStiffness, false},
		{"nominal load", b.NominalLoad, false},
		{"peak load", b.PeakLoad, true},
		{"camber stiffness", b.CamberStiffness, true},
		{"friction", b.Friction, false},
		{"contact length", b.PatchLength, false},
		{"load of the contact length", b.PatchLoad, false},
	} {
		if !(f.value > 0) && !(f.zero && f.value == 0) || math.IsInf(f.value, 0) {
			return fmt.Errorf("tyre: the %s of %g is out of range", f.name, f.value)
		}
	}
	return nil
}

// ErrLoad and ErrSlip say why a force is NaN.
var (
	ErrLoad = errors.New("tyre: the wheel has left the ground, or its load is more than three times the nominal one")
	ErrSlip = errors.New("tyre: the slip angle is past 45°, where the tyre model ends")
)

// InRange gives ErrLoad or ErrSlip where the model ends, else nil. tan is the tangent of the slip angle.
func (b *Brush) InRange(tan, load float64) error {
	switch {
	case !(load >= 0 && load <= MaxLoadShare*b.NominalLoad):
		return ErrLoad
	case !(math.Abs(tan) <= maxTan):
		return ErrSlip
	}
	return nil
}

// Cornering is the cornering stiffness at a load, N/rad: the formula under Brush.
func (b *Brush) Cornering(load float64) float64 {
	if !(load >= 0 && load <= MaxLoadShare*b.NominalLoad) {
		return math.NaN()
	}
	k := b.PeakLoad
	if k == 0 {
		k = DefaultPeakLoad
	}
	q := load / b.NominalLoad
	return b.CorneringStiffness * q * (1 + 1/(k*k)) / (1 + q*q/(k*k))
}

// HalfLength is half the contact length at a load, m.
func (b *Brush) HalfLength(load float64) float64 {
	return b.PatchLength / 2 * math.Sqrt(load/b.PatchLoad)
}

// Force is what the ground does to a rolling tyre.
type Force struct {
	Lateral  float64 // N, + left
	Aligning float64 // N·m about the upward vertical, + turns the wheel to the left
	Gradient float64 // −dLateral/dslip, N/rad: C·(1−x)²/cos² α, the cornering stiffness at zero slip and 0 from full sliding on
}

// Force gives the force at a slip (the tangent of its angle, + when the contact moves to the left of the wheel's heading),
// a lean (rad from the vertical, + when the top leans to the left: a tyre is pushed to the side it leans to) and a load
// (N). All of it is NaN where InRange gives an error.
func (b *Brush) Force(tan, lean, load float64) Force {
	if b.InRange(tan, load) != nil {
		return Force{math.NaN(), math.NaN(), math.NaN()}
	}
	limit := b.Friction * load
	if limit == 0 {
		return Force{}
	}
	stiffness := b.Cornering(load)
	linear := stiffness*tan - b.CamberStiffness*load/b.NominalLoad*lean
	f := Force{Lateral: -limit * grip(linear, limit)}
	if left := 1 - math.Abs(linear)/(3*limit); left > 0 {
		f.Gradient = stiffness * left * left * (1 + tan*tan)
	}
	x := stiffness * tan / (3 * limit)
	if left := 1 - math.Abs(x); left > 0 {
		f.Aligning = limit * b.HalfLength(load) * x * left * left * left
	}
	return f
}

// Trail is the pneumatic trail at a slip angle and load, m: the formula under Brush.
func (b *Brush) Trail(slip, load float64) float64 {
	tan := math.Tan(slip)
	if b.InRange(tan, load) != nil {
		return math.NaN()
	}
	x := math.Abs(b.Cornering(load)*tan) / (3 * b.Friction * load)
	left := 1 - x
	if left <= 0 {
		return 0
	}
	return b.HalfLength(load) * left * left * left / (3 - 3*x + x*x)
}

// grip is the share of the friction limit in use, 1 − (1−x)³ with the sign of `linear`, the force that would
// act without sliding.
func grip(linear, limit float64) float64 {
	left := 1 - math.Abs(linear)/(3*limit)
	if left <= 0 {
		return math.Copysign(1, linear)
	}
	return math.Copysign(1-left*left*left, linear)
}

// SlipFor is the slip of a tyre or a whole axle that gives a lateral force, as the tangent of its slip angle: the brush's
// force solved for the slip,
//
//	tan α = −(3·µ·W/C)·(1 − ∛(1 − |Fy|/(µ·W)))·sign Fy
//
// with its cornering stiffness C (N/rad) and limit µ·W (N); and −dFy/dα there, N/rad. Both are NaN where the force is
// at the limit or past it.
func SlipFor(lateral, stiffness, limit float64) (tan, gradient float64) {
	share := math.Abs(lateral) / limit
	if !(share < 1) || !(stiffness > 0) {
		return math.NaN(), math.NaN()
	}
	left := math.Cbrt(1 - share)
	tan = -math.Copysign(3*limit/stiffness*(1-left), lateral)
	return tan, stiffness * left * left * (1 + tan*tan)
}

// AxleForce is the same law forwards: the lateral force (N) at a slip angle, for a stiffness and limit that
// may be one tyre's or an axle's. NaN past ±MaxSlip.
func AxleForce(slip, stiffness, limit float64) float64 {
	if !(math.Abs(slip) <= MaxSlip) || !(limit > 0) {
		return math.NaN()
	}
	return -limit * grip(stiffness*math.Tan(slip), limit)
}
