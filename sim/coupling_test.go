package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rates by central differences of Alignment: the step's square times a third derivative, and rounding over
// the step.
const differenceClose = 1e-7

// knob is one adjuster as a difference turns it, by a step in SI, and the rates that Coupling gives for it.
type knob struct {
	name  string
	turn  func(*Adjusters, float64)
	rates func(*WheelCoupling) [3]float64 // camber, caster, toe per SI unit of the step
}

var knobs = []knob{
	{"front cam", func(a *Adjusters, d float64) { a.CamFront += d }, func(w *WheelCoupling) [3]float64 { return w.CamFront.three() }},
	{"rear cam", func(a *Adjusters, d float64) { a.CamRear += d }, func(w *WheelCoupling) [3]float64 { return w.CamRear.three() }},
	{"shift", func(a *Adjusters, d float64) { a.UpperShift += d }, func(w *WheelCoupling) [3]float64 { return CamRates(w.UpperShift).three() }},
	{"front leg", func(a *Adjusters, d float64) { a.UpperFrontLeg += d }, func(w *WheelCoupling) [3]float64 { return CamRates(w.UpperFrontLeg).three() }},
	{"rear leg", func(a *Adjusters, d float64) { a.UpperRearLeg += d }, func(w *WheelCoupling) [3]float64 { return CamRates(w.UpperRearLeg).three() }},
	{"tie rod", func(a *Adjusters, d float64) { a.TieRod += d / (2 * math.Pi) * a.TiePitch }, func(w *WheelCoupling) [3]float64 { return [3]float64{w.TieRod.Camber, w.TieRod.Caster, w.TieRod.Toe} }},
}

func (c CamRates) three() [3]float64 { return [3]float64{c.Camber, c.Caster, c.Toe} }

// couplingTrucks are random trucks whose cams stand clear of their limits, so that a difference can be taken.
func couplingTrucks(t *testing.T, seed uint64, n int, sides bool, each func(Vehicle, CouplingResult)) {
	rng := rand.New(rand.NewPCG(3, seed))
	for done := 0; done < n; {
		v := randomTruck(rng)
		if !sides {
			v.Right = nil
		}
		v.Front.Adjust.CamFront *= 0.9
		v.Front.Adjust.CamRear *= 0.9
		if v.Right != nil {
			v.Right.Adjust.CamFront *= 0.9
			v.Right.Adjust.CamRear *= 0.9
		}
		r, err := Coupling{v}.Run()
		if err != nil {
			continue
		}
		done++
		each(v, r)
	}
}

func alignmentWith(t *testing.T, v Vehicle, change func(*Adjusters)) AlignmentResult {
	change(&v.Front.Adjust)
	if v.Right != nil {
		right := *v.Right
		change(&right.Adjust)
		v.Right = &right
	}
	r, err := Alignment{v}.Run()
	require.NoError(t, err)
	return r
}

// Every rate agrees with a central difference of Alignment, on both sides.
func TestCouplingAgainstDifferences(t *testing.T) {
	couplingTrucks(t, 31, 60, true, func(v Vehicle, r CouplingResult) {
		for i, k := range knobs {
			step := 1e-5 // m
			if i < 2 || i == 5 {
				step = 1e-3 // rad: of cams and turns
			}
			up := alignmentWith(t, v, func(a *Adjusters) { k.turn(a, step) })
			down := alignmentWith(t, v, func(a *Adjusters) { k.turn(a, -step) })
			for _, side := range []struct {
				up, down WheelAlignment
				got      [3]float64
			}{
				{up.WheelAlignment, down.WheelAlignment, k.rates(&r.WheelCoupling)},
				{up.Right, down.Right, k.rates(&r.Right)},
			} {
				assert.InDelta(t, (side.up.Camber-side.down.Camber)/(2*step), side.got[0], differenceClose, k.name)
				assert.InDelta(t, (side.up.Caster-side.down.Caster)/(2*step), side.got[1], differenceClose, k.name)
				assert.InDelta(t, (side.up.Toe-side.down.Toe)/(2*step), side.got[2], differenceClose, k.name)
			}
		}
	})
}

// The matrix turned round really holds the other two angles: a thousandth of a degree asked for comes out as
// that, but for the square of so small a step.
func TestCouplingTurnedRound(t *testing.T) {
	const want, close = 1e-3 * deg, 1e-4 // of want
	couplingTrucks(t, 32, 60, false, func(v Vehicle, r CouplingResult) {
		before := alignmentWith(t, v, func(*Adjusters) {})
		for i, m := range []CamMoves{r.PerCamber, r.PerCaster, r.PerToe} {
			large := math.Abs(m.CamFront) + math.Abs(m.CamRear)
			if large > 100 { // a cam near its end: no small step
				continue
			}
			after := alignmentWith(t, v, func(a *Adjusters) {
				a.CamFront += m.CamFront * want
				a.CamRear += m.CamRear * want
				a.TieRod += m.TieRod * want / (2 * math.Pi) * a.TiePitch
			})
			var wanted [3]float64
			wanted[i] = want
			for k, got := range []float64{after.Camber - before.Camber, after.Caster - before.Caster, after.Toe - before.Toe} {
				assert.InDelta(t, wanted[k], got, close*want*(1+large))
			}
		}
	})
}

// What one cam does with toe held is what Alignment makes of turning it and bringing toe back.
func TestCouplingWithToeHeld(t *testing.T) {
	const turn = 1e-4 // rad
	couplingTrucks(t, 33, 40, false, func(v Vehicle, r CouplingResult) {
		before := alignmentWith(t, v, func(*Adjusters) {})
		after := alignmentWith(t, v, func(a *Adjusters) {
			a.CamRear += turn
			a.TieRod -= r.CamRear.Toe * turn / r.TieRod.Toe / (2 * math.Pi) * a.TiePitch
		})
		assert.InDelta(t, r.CamRear.CamberToeHeld, (after.Camber-before.Camber)/turn, 1e-4)
		assert.InDelta(t, r.CamRear.CasterToeHeld, (after.Caster-before.Caster)/turn, 1e-4)
		assert.InDelta(t, r.CamRear.CasterPerCamber, r.CamRear.CasterToeHeld/r.CamRear.CamberToeHeld, 1e-12)
	})
}

// The directions that every mechanic knows: both cams out push the wheel's foot out, so camber falls; the
// front one alone pushes the lower ball joint rearward too, so caster falls, and the rear one forward, so
// caster rises; a longer tie rod ahead of the axle pushes the wheel's front out, behind the axle its rear.
func TestCouplingDirections(t *testing.T) {
	v := testTruck()
	v.Front.Adjust = Adjusters{CamOffset: 6e-3, CamLimit: 90 * deg, TiePitch: 1.5e-3}
	r, err := Coupling{v}.Run()
	require.NoError(t, err)
	assert.Negative(t, r.CamFront.CamberToeHeld)
	assert.Negative(t, r.CamRear.CamberToeHeld)
	assert.Negative(t, r.CamFront.CasterToeHeld)
	assert.Positive(t, r.CamRear.CasterToeHeld)
	assert.Positive(t, r.UpperShift.CasterToeHeld)
	assert.Negative(t, r.TieRod.Toe)
	assert.Negative(t, r.PerCaster.CamFront)
	assert.Positive(t, r.PerCaster.CamRear)

	v.Front.TieInner.X, v.Front.TieOuter.X = -v.Front.TieInner.X, -v.Front.TieOuter.X
	r, err = Coupling{v}.Run()
	require.NoError(t, err)
	assert.Positive(t, r.TieRod.Toe)
}

// A corner without cams has no cam rates, and the rest still stands.
func TestCouplingWithoutCams(t *testing.T) {
	v := testTruck()
	v.Front.Adjust.TiePitch = 1.5e-3
	r, err := Coupling{v}.Run()
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.CamFront.Camber))
	assert.True(t, math.IsNaN(r.PerCaster.CamFront))
	assert.False(t, math.IsNaN(r.UpperFrontLeg.Camber))
	require.Len(t, r.Step, 6)
	assert.Len(t, r.StepCaster, 6)
	assert.InDelta(t, r.UpperShift.Caster*1e-3, r.StepCaster[2], 1e-15)
	assert.InDelta(t, r.TieRod.Toe*2*math.Pi, r.StepToe[5], 1e-15)
}
