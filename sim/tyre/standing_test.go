package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// textRounding is how far a worked example may lie from its unrounded formula.
const textRounding = 0.01

// near fails unless got lies within a share `rel` of want; a NaN fails.
func near(t *testing.T, want, got, rel float64, what string) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.9g, want %.9g (within %g)", what, got, want, rel)
	}
}

// Barton & Fieldhouse 2018, E2.1, printed p. 82 (seen): a van with 1200 kg a wheel.
func TestPatchScrubTorqueWorkedExample(t *testing.T) {
	const weight = 1200 * 9.81
	near(t, 594, PatchScrubTorque(0.58, weight, 0.250, 0.025), textRounding, "E2.1 scrub torque")
	near(t, 0.087, PatchScrubTorque(1, 1, 0.250, 0.025), textRounding, "E2.1 arm h")
}

// Own arithmetic on the stated formulas (computed by an independent script, not published values).
func TestStandingFormulasComputed(t *testing.T) {
	const arithmetic = 1e-5
	near(t, 221.36, StandingScrubTorque(0.7, 6000, 240e3, 0), arithmetic, "Gough")
	near(t, 426.51, WidthScrubTorque(0.7, 6000, 0.25, 0.05), 2e-5, "width, E 50 mm")
	near(t, 371.23, WidthScrubTorque(0.7, 6000, 0.25, 0), 2e-5, "width, E 0")
}

func TestGoughScales(t *testing.T) {
	base := StandingScrubTorque(0.8, 5000, 250e3, 0)
	near(t, math.Pow(2, 1.5), StandingScrubTorque(0.8, 10000, 250e3, 0)/base, 1e-12, "load to the power 1.5")
	near(t, math.Pow(2, -0.5), StandingScrubTorque(0.8, 5000, 500e3, 0)/base, 1e-12, "pressure to the power −0.5")
	near(t, 2, StandingScrubTorque(1.6, 5000, 250e3, 0)/base, 1e-12, "friction")
}

func TestStandingLever(t *testing.T) {
	previous := 0.0
	for _, lever := range []float64{0, 0.02, 0.05, 0.1, 0.3, 1, 10} {
		m := StandingScrubTorque(0.8, 5000, 250e3, lever)
		require.Greater(t, m, previous, "must rise with the lever")
		assert.Equal(t, m, StandingScrubTorque(0.8, 5000, 250e3, -lever), "either side of the axis alike")
		previous = m
	}
	near(t, 0.8*5000*10, previous, 1e-4, "a long lever drags the whole load")
}

// A uniform circular patch that slides about a point E from its middle, integrated: M = µp∬|r − E|dA. Gough's
// k is 0.3333/0.3761 of that patch's at E = 0; carried with the patch's own k, the square-root form must
// follow the integral closely at every lever, which is what justifies the form.
func TestSquareRootFormFollowsCircularPatch(t *testing.T) {
	const steps = 400
	const formError = 0.065 // largest at E = R, see the printed table of `go test -v`
	radius := 1.0
	arm := func(lever float64) float64 { // mean distance from the turning point
		sum := 0.0
		for i := range steps {
			r := radius * (float64(i) + 0.5) / steps
			for j := range steps {
				a := 2 * math.Pi * (float64(j) + 0.5) / steps
				sum += math.Hypot(r*math.Cos(a)-lever, r*math.Sin(a)) * r
			}
		}
		return sum * (radius / steps) * (2 * math.Pi / steps) / (math.Pi * radius * radius)
	}
	k := arm(0)
	near(t, 2.0/3, k, 1e-4, "mean arm of a disc")
	for _, lever := range []float64{0.25, 0.5, 1, 2, 5} {
		exact, form := arm(lever), math.Hypot(k, lever)
		t.Logf("E/R %.2f: integral %.4f, square-root form %.4f (%+.1f %%)", lever, exact, form, 100*(form/exact-1))
		near(t, exact, form, formError, "square-root form")
	}
}

func TestStandingRefusesNonsense(t *testing.T) {
	nan := math.NaN()
	for name, m := range map[string]float64{
		"negative load":     StandingScrubTorque(0.8, -1, 250e3, 0),
		"no pressure":       StandingScrubTorque(0.8, 5000, 0, 0),
		"negative friction": StandingScrubTorque(-0.1, 5000, 250e3, 0),
		"NaN lever":         StandingScrubTorque(0.8, 5000, 250e3, nan),
		"width, load":       WidthScrubTorque(0.8, -1, 0.2, 0),
		"width, width":      WidthScrubTorque(0.8, 5000, -0.2, 0),
		"patch, load":       PatchScrubTorque(0.8, nan, 0.2, 0),
		"patch, patch":      PatchScrubTorque(0.8, 5000, -0.2, 0),
	} {
		assert.True(t, math.IsNaN(m), name)
	}
	assert.Zero(t, StandingScrubTorque(0.8, 0, 250e3, 0.05), "no load, no torque")
}
