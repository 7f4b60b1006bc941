package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
)

// textRounding is how far a worked example may lie from its unrounded formula.
const textRounding = 0.01

// Formulas in use for the standing torque, to set beside the rectangle. Each is µ·W times an arm.
func goughArm(load, pressure float64) float64 { return math.Sqrt(load/pressure) / 3 }

// circleArm is the mean distance over a disc of area W/p from its middle, ⅔ of its radius.
func circleArm(load, pressure float64) float64 { return 2.0 / 3 * math.Sqrt(load/pressure/math.Pi) }

// widthArm is √(B²/8 + E²) with tyre width B: in common use, no source seen; its B²/8 is a disc's radius of gyration.
func widthArm(width, lever float64) float64 { return math.Sqrt(width*width/8 + lever*lever) }

// bartonArm is √(d² + (a/3)²) with patch size a (Barton & Fieldhouse, Automotive Chassis Engineering, 2018, section 2.8),
// whose friction is read from a curve of d/a.
func bartonArm(patch, lever float64) float64 { return math.Sqrt(lever*lever + patch*patch/9) }

// The table of standing torques computed by an independent script (scipy quadrature), five figures.
func TestScrubTorqueTable(t *testing.T) {
	const (
		printed = 2e-5
		ellipse = 0.06 // the same area as an ellipse, computed by the same script, has an arm shorter by 5 to 6 %
	)
	for _, c := range []struct{ friction, load, pressure, width, lever, length, arm, ellipseArm, circle, gough, plain, exact float64 }{
		{0.8, 7500, 207e3, 0.26, 0.030, 0.13935, 0.078511, 0.073556, 429.567, 380.694, 471.064, 490.930},
		{0.7, 6000, 240e3, 0.20, 0.050, 0.12500, 0.063177, 0.060053, 249.777, 221.359, 265.343, 314.626},
	} {
		patch := StandingPatch(c.load, c.pressure, c.length, 1) // a tyre wide enough
		agree.Relative(t, c.width, patch.Width, 5e-5, "width")
		patch = Patch{c.load / (c.pressure * c.width), c.width}
		agree.Relative(t, c.arm, patch.ScrubTorque(1, 1, 0), printed, "arm")
		agree.Relative(t, c.plain, patch.ScrubTorque(c.friction, c.load, 0), printed, "E = 0")
		agree.Relative(t, c.exact, patch.ScrubTorque(c.friction, c.load, c.lever), printed, "with E")
		agree.Relative(t, c.gough, c.friction*c.load*goughArm(c.load, c.pressure), printed, "Gough")
		agree.Relative(t, c.circle, c.friction*c.load*circleArm(c.load, c.pressure), printed, "circle")
		agree.Relative(t, c.ellipseArm, patch.ScrubTorque(1, 1, 0), 1.2*ellipse, "beside an ellipse")
		// The square-root form overstates the exact one by 3 to 8 %.
		over := math.Hypot(c.arm, c.lever)*c.friction*c.load/c.exact - 1
		assert.True(t, over > 0.02 && over < 0.08, "square root over exact: %g", over)
		// Gough lies 11 to 19 % below.
		below := 1 - c.gough/c.plain
		assert.True(t, below > 0.11 && below < 0.20, "Gough below the rectangle: %g", below)
	}
	agree.Relative(t, 0.382598, Patch{1, 1}.ScrubTorque(1, 1, 0), 2e-6, "unit square")
}

// Two methods: gonum's Gauss-Legendre quadrature of the mean distance.
func TestScrubTorqueAgainstQuadrature(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := Patch{rapid.Float64Range(0.05, 0.4).Draw(rt, "length"), rapid.Float64Range(0.02, 0.4).Draw(rt, "width")}
		lever := rapid.Float64Range(-0.4, 0.4).Draw(rt, "lever")
		across := func(y float64) float64 {
			return quad.Fixed(func(x float64) float64 { return math.Hypot(x, y-lever) }, 0, p.Length/2, 60, nil, 0) * 2
		}
		centre := math.Max(-p.Width/2, math.Min(p.Width/2, lever)) // the kink is at the ends of both stretches
		want := (quad.Fixed(across, -p.Width/2, centre, 60, nil, 0) + quad.Fixed(across, centre, p.Width/2, 60, nil, 0)) / (p.Length * p.Width)
		if got := p.ScrubTorque(1, 1, lever); !(math.Abs(got/want-1) < 1e-6) {
			rt.Fatalf("%+v about %g: %.9g, by quadrature %.9g", p, lever, got, want)
		}
	})
}

// Barton & Fieldhouse 2018, E2.1, printed p. 82 (seen): a van with 1200 kg a wheel. Their square-root form with a square
// patch of their size, and the exact integral over it, as a comparison: E2.1's patch arm a/3 is a disc's of diameter a.
func TestBartonFieldhouseWorkedExample(t *testing.T) {
	const weight = 1200 * 9.81
	agree.Relative(t, 594, 0.58*weight*bartonArm(0.250, 0.025), textRounding, "E2.1 scrub torque")
	agree.Relative(t, 0.087, bartonArm(0.250, 0.025), textRounding, "E2.1 arm h")
	square := 0.250 * math.Sqrt(math.Pi) / 2 // of the disc's area
	agree.Relative(t, 0.087, Patch{square, square}.ScrubTorque(1, 1, 0.025), 0.02, "the rectangle beside it")
}

// Own arithmetic on the stated formulas (computed by an independent script, not published values).
func TestOtherFormulasComputed(t *testing.T) {
	const arithmetic = 2e-5
	agree.Relative(t, 221.36, 0.7*6000*goughArm(6000, 240e3), arithmetic, "Gough")
	agree.Relative(t, 249.78, 0.7*6000*circleArm(6000, 240e3), arithmetic, "circle")
	agree.Relative(t, 426.51, 0.7*6000*widthArm(0.25, 0.05), arithmetic, "width, E 50 mm")
	agree.Relative(t, 371.23, 0.7*6000*widthArm(0.25, 0), arithmetic, "width, E 0")
}

// Both sides of a turned patch do the same; scaled up it keeps its shape; a long lever drags the whole load.
func TestScrubTorqueProperties(t *testing.T) {
	p := Patch{0.14, 0.2}
	previous := 0.0
	for _, lever := range []float64{0, 0.02, 0.05, 0.0999, 0.1, 0.1001, 0.3, 1, 10} {
		m := p.ScrubTorque(0.8, 5000, lever)
		require.Greater(t, m, previous, "must rise with the lever")
		agree.Relative(t, m, p.ScrubTorque(0.8, 5000, -lever), 1e-13, "either side of the axis alike")
		assert.GreaterOrEqual(t, m*(1+1e-12), 0.8*5000*lever, "never less than the lever alone")
		assert.LessOrEqual(t, m, 0.8*5000*(lever+p.ScrubTorque(1, 1, 0))*(1+1e-12), "the triangle's side")
		previous = m
	}
	agree.Relative(t, 0.8*5000*10, previous, 1e-4, "a long lever drags the whole load")
	agree.Relative(t, 3, Patch{0.42, 0.6}.ScrubTorque(1, 1, 0.06)/p.ScrubTorque(1, 1, 0.02), 1e-12, "three times the size")
	agree.Relative(t, p.ScrubTorque(1, 1, 0), Patch{p.Width, p.Length}.ScrubTorque(1, 1, 0), 1e-12, "about its middle a patch may be turned by a quarter")
	agree.Relative(t, 0.25*0.2, Patch{1e-9, 0.2}.ScrubTorque(1, 1, 0), 1e-6, "a line across")
	agree.Relative(t, 0.25*0.2, Patch{0.2, 1e-9}.ScrubTorque(1, 1, 0), 1e-6, "a line along")
}

// A wide low patch and a long narrow one of the same area don't turn alike about an axis off their middle.
func TestStandingPatch(t *testing.T) {
	assert.Equal(t, Patch{0.2, 0.125}, StandingPatch(6000, 240e3, 0.2, 0.3))
	assert.Equal(t, Patch{0.25, 0.1}, StandingPatch(6000, 240e3, 0.2, 0.1), "no wider than the tyre, and so longer")
	rapid.Check(t, func(rt *rapid.T) {
		load, pressure := rapid.Float64Range(0, 2e4).Draw(rt, "load"), rapid.Float64Range(5e4, 5e5).Draw(rt, "pressure")
		p := StandingPatch(load, pressure, rapid.Float64Range(0.05, 0.4).Draw(rt, "length"), 0.3)
		if !(math.Abs(p.Length*p.Width*pressure-load) <= 1e-9*load) || p.Width > 0.3 {
			rt.Fatalf("%+v doesn't carry %g N at %g Pa", p, load, pressure)
		}
	})
}

func TestStandingRefusesNonsense(t *testing.T) {
	nan, patch := math.NaN(), Patch{0.15, 0.2}
	for name, m := range map[string]float64{
		"negative load":     patch.ScrubTorque(0.8, -1, 0),
		"negative friction": patch.ScrubTorque(-0.1, 5000, 0),
		"NaN lever":         patch.ScrubTorque(0.8, 5000, nan),
		"no length":         Patch{0, 0.2}.ScrubTorque(0.8, 5000, 0),
		"NaN width":         Patch{0.15, nan}.ScrubTorque(0.8, 5000, 0),
		"no pressure":       StandingPatch(5000, 0, 0.15, 0.2).Width,
		"patch, load":       StandingPatch(-1, 2e5, 0.15, 0.2).Length,
		"patch, length":     StandingPatch(5000, 2e5, 0, 0.2).Length,
		"patch, tyre":       StandingPatch(5000, 2e5, 0.15, nan).Length,
	} {
		assert.True(t, math.IsNaN(m), name)
	}
	assert.Zero(t, StandingPatch(0, 250e3, 0.15, 0.2).ScrubTorque(0.8, 0, 0.05), "no load, no torque")
}
