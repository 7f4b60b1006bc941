package inertia

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

const (
	arithmetic  = 1e-12
	shareOfTyre = 0.10 // what the estimate claims for a tyre
	g           = unit.StandardGravity
	smallSwing  = 0.003 // what BifilarInertia claims for its period
)

// The one measured tyre that was found: a 205/60R15 of 9.3 kg with 0.8 kg·m² about the axle and 0.4 about a
// diameter, free radius 0.3135 m (parameter file of the reference tyre of Pacejka's appendix 3, seen).
func TestMeasuredTyre(t *testing.T) {
	w := Wheel{TyreMass: 9.3, Radius: 0.3135, Width: 0.205, RimRadius: 0.1905, RimWidth: 0.75 * 0.205}
	agree.Relative(t, 0.8, w.TyreSpin(), shareOfTyre, "about the axle")
	agree.Relative(t, 0.4, w.Steer(), shareOfTyre, "about a diameter")
}

func TestWheelLiesBetweenItsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(low, high float64, what string) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
		w := Wheel{TyreMass: draw(5, 60, "tyre"), RimMass: draw(5, 30, "rim"), Radius: draw(0.28, 0.55, "radius"), Width: draw(0.15, 0.4, "width")}
		w.RimRadius = draw(0.4, 0.85, "rim share") * w.Radius
		w.RimWidth = 0.75 * w.Width
		tyre, rim := w.TyreSpin(), w.RimSpin()
		if !(tyre > w.TyreMass*w.RimRadius*w.RimRadius && tyre < w.TyreMass*w.Radius*w.Radius) {
			t.Fatalf("a tyre's mass lies between rim and tread: %g", tyre)
		}
		if !(rim > 0.5*w.RimMass*w.RimRadius*w.RimRadius && rim < w.RimMass*w.RimRadius*w.RimRadius) {
			t.Fatalf("a rim lies between a disc and a ring: %g", rim)
		}
		// The perpendicular-axis theorem bounds a body of revolution: half the spin for a flat one, and no
		// more than its half width adds.
		steer, half := w.Steer(), w.Width/2
		if !(steer > (tyre+rim)/2 && steer < (tyre+rim)/2+(w.TyreMass+w.RimMass)*half*half) {
			t.Fatalf("about a diameter: %g", steer)
		}
		rolling := EquivalentMass(w.TyreMass+w.RimMass, tyre+rim, w.Radius)
		if ratio := rolling / (w.TyreMass + w.RimMass); !(ratio > 1 && ratio < 2) {
			t.Fatalf("1 + (k/r)² is between 1 and 2: %g", ratio)
		}
	})
}

// The same wheel taken apart into small rings, each with its mass, radius and place along the axle: about the
// axle Σm·r², about a diameter Σm·(r²/2 + y²).
func TestWheelAgainstItsRings(t *testing.T) {
	w := Wheel{TyreMass: 34, RimMass: 14, Radius: 0.4445, Width: 0.3175, RimRadius: 0.2159, RimWidth: 0.2381}
	const steps = 400
	var spin, steer float64
	cylinder := func(mass, inner, outer, middle, width float64) (about, across float64) {
		whole := outer*outer - inner*inner
		for i := range steps {
			r := inner + (outer-inner)*(float64(i)+0.5)/steps
			m := mass * 2 * r * (outer - inner) / steps / whole
			if outer == inner {
				r, m = outer, mass/steps
			}
			for j := range steps {
				y := middle + width*((float64(j)+0.5)/steps-0.5)
				about += m / steps * r * r
				across += m / steps * (r*r/2 + y*y)
			}
		}
		return about, across
	}
	add := func(a, b float64) { spin, steer = spin+a, steer+b }
	add(cylinder(0.65*34, 0.95*w.Radius, w.Radius, 0, 0.8*w.Width))
	for _, side := range []float64{-1, 1} {
		add(cylinder(0.11*34, w.RimRadius, 0.95*w.Radius, side*0.45*w.Width, 0))
		add(cylinder(0.065*34, w.RimRadius, w.RimRadius, side*w.RimWidth/2, 0))
	}
	agree.Relative(t, spin, w.TyreSpin(), 1e-5, "tyre about the axle")
	add(cylinder(0.62*14, 0.92*w.RimRadius, w.RimRadius, 0, w.RimWidth))
	add(cylinder(0.38*14, 0.2*w.RimRadius, 0.92*w.RimRadius, 0, 0))
	agree.Relative(t, spin, w.TyreSpin()+w.RimSpin(), 1e-5, "both about the axle")
	agree.Relative(t, steer, w.Steer(), 1e-5, "both about a diameter")
}

func TestEquivalentMassLimits(t *testing.T) {
	agree.Relative(t, 2, EquivalentMass(1, 1*0.4*0.4, 0.4), arithmetic, "thin ring")
	agree.Relative(t, 1.5, EquivalentMass(1, 0.5*0.4*0.4, 0.4), arithmetic, "solid disc")
	agree.Relative(t, 1, EquivalentMass(1, 0, 0.4), arithmetic, "point")
}

// A uniform bar hung at its ends swings with T = 2π·√(L/3g) whatever its length (laboratory-course result), and
// its inertia is m·b²/12.
func TestBifilarBar(t *testing.T) {
	const mass, bar, length = 3.0, 0.9, 1.7
	period := 2 * math.Pi * math.Sqrt(length/(3*g))
	agree.Relative(t, mass*bar*bar/12, BifilarInertia(mass, bar, length, period), arithmetic, "bar")
}

// The exact motion: the body rises as it twists, h(θ) = L − √(L² − d²·sin²(θ/2)), so that
// T = 4·∫ √((I + m·h'²)/(2·m·g·(h(A) − h(θ)))) dθ from 0 to A.
func TestBifilarAgainstExactMotion(t *testing.T) {
	const mass, spacing, inertia = 48.0, 0.45, 5.5
	for _, length := range []float64{spacing, 1.5, 3} {
		for _, amplitude := range []float64{2, 10} {
			period := exactBifilarPeriod(mass, inertia, spacing, length, amplitude*math.Pi/180)
			small := 2 * math.Pi * math.Sqrt(4*inertia*length/(mass*g*spacing*spacing))
			agree.Relative(t, small, period, smallSwing, "period")
			agree.Relative(t, inertia, BifilarInertia(mass, spacing, length, period), 2*smallSwing, "inertia")
			assert.NotEqual(t, small, period, "the exact motion must differ at all")
		}
	}
}

func exactBifilarPeriod(mass, inertia, spacing, length, amplitude float64) float64 {
	root := func(a float64) float64 { return math.Sqrt(length*length - math.Pow(spacing*math.Sin(a/2), 2)) }
	rise := func(a float64) float64 { return length - root(a) }
	slope := func(a float64) float64 { return spacing * spacing * math.Sin(a) / 4 / root(a) }
	// θ = A·sin φ takes the end point's singularity away.
	const steps = 20000
	sum := 0.0
	for i := range steps {
		phi := (float64(i) + 0.5) / steps * math.Pi / 2
		a := amplitude * math.Sin(phi)
		h := slope(a)
		sum += math.Sqrt((inertia+mass*h*h)/(2*mass*g*(rise(amplitude)-rise(a)))) * amplitude * math.Cos(phi)
	}
	return 4 * sum * math.Pi / 2 / steps
}

// Textbook ramps: a ring rolls down with half of g·sin α, a solid cylinder with two thirds, a sliding block with all.
func TestRollDownTextbookBodies(t *testing.T) {
	const mass, radius, slope, distance = 40.0, 0.42, 0.06, 5.0
	for share, k2 := range map[float64]float64{1.0 / 2: 1, 2.0 / 3: 0.5} {
		time := math.Sqrt(2 * distance / (share * g * math.Sin(slope)))
		agree.Relative(t, k2*mass*radius*radius, RollDownInertia(mass, radius, slope, distance, time, 0), 1e-9, "rolling body")
	}
	block := math.Sqrt(2 * distance / (g * math.Sin(slope)))
	assert.InDelta(t, 0, RollDownInertia(mass, radius, slope, distance, block, 0), 1e-9, "a block doesn't turn")
}

// Rolling resistance left out of account makes the inertia look too large.
func TestRollDownResistance(t *testing.T) {
	const mass, radius, slope, distance, inertia, f = 40.0, 0.42, 0.06, 5.0, 4.9, 0.012
	a := g * (math.Sin(slope) - f*math.Cos(slope)) / (1 + inertia/(mass*radius*radius))
	time := math.Sqrt(2 * distance / a)
	agree.Relative(t, inertia, RollDownInertia(mass, radius, slope, distance, time, f), 1e-9, "with its resistance")
	assert.Greater(t, RollDownInertia(mass, radius, slope, distance, time, 0), inertia*1.2)
}

func BenchmarkWheel(b *testing.B) {
	w := Wheel{TyreMass: 31, RimMass: 14, Radius: 0.4445, Width: 0.3175, RimRadius: 0.2159, RimWidth: 0.2286}
	for b.Loop() {
		if !(w.TyreSpin()+w.RimSpin()+w.Steer() > 0) {
			b.Fatal("no inertia")
		}
	}
}
