package tyre

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/agree"
)

const (
	deg = math.Pi / 180
	// tableRounding: the reference rows are printed to about five figures.
	tableRounding = 1e-4
	// exactForm is for identities that hold but for rounding.
	exactForm = 1e-12
)

// reference is the tyre of the computed rows: µ 0.9, 5 kN, a 80 mm, 60 kN/rad at that load.
func reference() *Brush {
	return &Brush{CorneringStiffness: 60000, NominalLoad: 5000, Friction: 0.9, PatchLength: 0.16, PatchLoad: 5000}
}

// Rows computed from Pacejka's formulas (ch. 3) by an independent script.
// slidingSlip is the slip angle from which the whole patch slides, rad: tan α = 3·µ·W/C.
func slidingSlip(b *Brush, load float64) float64 {
	return math.Atan(3 * b.Friction * load / b.Cornering(load))
}

func TestBrushRows(t *testing.T) {
	b, load := reference(), 5000.0
	for _, row := range []struct{ slip, force, moment, trail float64 }{
		{1, 968.16, 21.919, 0.022640},
		{2, 1786.88, 33.687, 0.018852},
		{4, 3026.75, 36.629, 0.012102},
	} {
		f := b.Force(math.Tan(row.slip*deg), 0, load)
		fy, mz := f.Lateral, f.Aligning
		agree.Relative(t, -row.force, fy, tableRounding, "force")
		agree.Relative(t, row.moment, mz, tableRounding, "moment")
		agree.Relative(t, row.trail, b.Trail(row.slip*deg, load), tableRounding, "trail")
		agree.Relative(t, -mz/fy, b.Trail(row.slip*deg, load), exactForm, "trail is moment over force")
	}
	agree.Relative(t, 12.68038*deg, slidingSlip(b, load), 1e-6, "full sliding")
}

func TestBrushLimits(t *testing.T) {
	b, load := reference(), 5000.0
	const halfLength = 0.08
	agree.Relative(t, halfLength/3, b.Trail(0, load), exactForm, "trail a/3 at zero slip")
	agree.Relative(t, 60000, b.Cornering(load), exactForm, "stiffness at the nominal load")

	const small = 1e-7
	f := b.Force(math.Tan(small), 0, load)
	agree.Relative(t, -60000, f.Lateral/small, 1e-5, "initial slope of force")
	agree.Relative(t, 60000*halfLength/3, f.Aligning/small, 1e-5, "initial slope of moment")

	slide := slidingSlip(b, load)
	for _, slip := range []float64{slide, slide * 1.5, MaxSlip} {
		f = b.Force(math.Tan(slip), 0, load)
		agree.Relative(t, -0.9*load, f.Lateral, exactForm, "force at full sliding")
		assert.InDelta(t, 0, f.Aligning, 1e-9, "no moment at full sliding")
		assert.InDelta(t, 0, b.Trail(slip, load), 1e-12, "no trail at full sliding")
	}

	// The peak moment (27/256)·µ·W·a lies at a quarter of the sliding slip's tangent, where Fy = 0.578125·µ·W.
	peak := math.Atan(math.Tan(slide) / 4)
	f = b.Force(math.Tan(peak), 0, load)
	agree.Relative(t, 27.0/256*0.9*load*halfLength, f.Aligning, exactForm, "peak moment")
	agree.Relative(t, -0.578125*0.9*load, f.Lateral, exactForm, "force at the peak moment")
	for _, off := range []float64{-0.01, 0.01} {
		assert.Less(t, b.Force(math.Tan(peak+off), 0, load).Aligning, f.Aligning, "no larger moment beside the peak")
	}
}

func TestBrushMirror(t *testing.T) {
	b := reference()
	b.CamberStiffness = 3000
	for _, slip := range []float64{0, 0.01, 0.07, 0.3, 0.6} {
		for _, lean := range []float64{-0.05, 0, 0.05} {
			one, other := b.Force(math.Tan(slip), lean, 4000), b.Force(math.Tan(-slip), -lean, 4000)
			assert.Equal(t, Force{-one.Lateral, -one.Aligning, one.Gradient}, other)
		}
	}
}

func TestBrushForceRisesWithSlip(t *testing.T) {
	b := reference()
	previous := math.Inf(1)
	for slip := -0.5; slip <= 0.5; slip += 0.01 {
		fy := b.Force(math.Tan(slip), 0, 6000).Lateral
		require.LessOrEqual(t, fy, previous)
		require.LessOrEqual(t, math.Abs(fy), 0.9*6000.0)
		previous = fy
	}
}

// The stiffness law against Pacejka's form with the reference tyre's p_Ky1 −14.95, p_Ky2 2.130 (from memory):
// K = −46 009 N/rad at 4 kN (computed).
func TestCorneringFollowsLoad(t *testing.T) {
	const nominal, pKy1, pKy2 = 4000.0, 14.95, 2.130
	at := func(load float64) float64 { return pKy1 * nominal * math.Sin(2*math.Atan(load/(pKy2*nominal))) }
	agree.Relative(t, 46009, at(nominal), 1e-5, "reference stiffness")
	b := &Brush{CorneringStiffness: at(nominal), NominalLoad: nominal}
	for _, load := range []float64{0, 500, 2000, 4000, 8000, 8520, 12000} {
		assert.InDelta(t, at(load), b.Cornering(load), 1e-9*at(nominal), "load %g", load)
	}
	b.PeakLoad = 1.5
	assert.Greater(t, b.Cornering(6000), b.Cornering(5000))
	assert.Greater(t, b.Cornering(6000), b.Cornering(7000), "greatest at the peak load given")
	agree.Relative(t, at(nominal), b.Cornering(nominal), exactForm, "the override keeps the nominal value")
}

func TestCamberThrust(t *testing.T) {
	b := reference()
	b.CamberStiffness = 2500
	f := b.Force(0, 0.001, 5000)
	agree.Relative(t, 2.5, f.Lateral, 1e-3, "linear thrust towards the lean")
	assert.Zero(t, f.Aligning, "thrust has no trail")
	agree.Relative(t, 0.5, b.Force(0, 0.001, 2500).Lateral/f.Lateral, 1e-3, "thrust follows load")
	agree.Relative(t, 0.9*5000, b.Force(math.Tan(-MaxSlip), 0.2, 5000).Lateral, exactForm, "slip and lean together stay within friction")
}

func TestGradientIsTheSlope(t *testing.T) {
	b := reference()
	b.CamberStiffness = 3000
	const step, differenceError = 1e-6, 1e-5
	for _, slip := range []float64{-0.3, -0.05, 0, 0.01, 0.1, 0.2, 0.5} {
		for _, lean := range []float64{0, 0.04} {
			ahead, behind := b.Force(math.Tan(slip+step), lean, 4500), b.Force(math.Tan(slip-step), lean, 4500)
			assert.InDelta(t, -(ahead.Lateral-behind.Lateral)/(2*step), b.Force(math.Tan(slip), lean, 4500).Gradient, differenceError*60000, "%g, %g", slip, lean)
		}
	}
}

func TestSlipForInverts(t *testing.T) {
	for _, share := range []float64{-0.999, -0.5, -1e-6, 0, 0.1, 0.9, 0.9999} {
		tan, gradient := SlipFor(share*9000, 80000, 9000)
		slip := math.Atan(tan)
		assert.InDelta(t, share*9000, AxleForce(slip, 80000, 9000), 1e-6)
		if math.Abs(share) < 0.99 {
			const step = 1e-6
			assert.InDelta(t, -(AxleForce(slip+step, 80000, 9000)-AxleForce(slip-step, 80000, 9000))/(2*step), gradient, 1)
		}
	}
	agree.Relative(t, reference().Force(math.Tan(0.05), 0, 5000).Lateral, AxleForce(0.05, 60000, 4500), exactForm, "the same law as the brush")
	for _, open := range [][3]float64{{9000, 80000, 9000}, {1, 0, 9000}} {
		tan, gradient := SlipFor(open[0], open[1], open[2])
		assert.True(t, math.IsNaN(tan) && math.IsNaN(gradient), "at the limit the slip is open")
	}
	assert.True(t, math.IsNaN(AxleForce(1, 80000, 9000)))
}

func TestBrushRefusesNonsense(t *testing.T) {
	b := reference()
	require.NoError(t, b.Check())
	for _, spoil := range []func(*Brush){
		func(b *Brush) { b.CorneringStiffness = 0 },
		func(b *Brush) { b.NominalLoad = -1 },
		func(b *Brush) { b.CamberStiffness = math.NaN() },
		func(b *Brush) { b.Friction = 0 },
		func(b *Brush) { b.PatchLength = math.Inf(1) },
		func(b *Brush) { b.PatchLoad = 0 },
	} {
		bad := reference()
		spoil(bad)
		assert.Error(t, bad.Check())
	}
	for _, c := range []struct {
		slip, load float64
		why        error
	}{
		{0, -1, ErrLoad}, {0, 15001, ErrLoad}, {0, math.NaN(), ErrLoad},
		{0.8, 5000, ErrSlip}, {math.NaN(), 5000, ErrSlip},
	} {
		assert.ErrorIs(t, b.InRange(math.Tan(c.slip), c.load), c.why)
		f := b.Force(math.Tan(c.slip), 0, c.load)
		assert.True(t, math.IsNaN(f.Lateral) && math.IsNaN(f.Aligning) && math.IsNaN(f.Gradient))
		assert.True(t, math.IsNaN(b.Trail(c.slip, c.load)))
	}
	assert.Equal(t, Force{}, b.Force(0.1, 0.1, 0), "no load, no force")
}

// The shape against measured tyres, by way of Bakker, Nyborg & Pacejka, SAE 870421 (coefficients seen in a public
// copy of its table; rows computed from them): lateral force at 2 to 8 kN and the way stiffness follows load.
func TestBrushShapeAgainstMagicFormula(t *testing.T) {
	const (
		shape = 0.15 // of the peak: a brush is blunter near its limit than the tyres measured
		law   = 0.06
	)
	rows := []struct{ load, peak, stiffness, at2, at4, at8, at12 float64 }{ // N, N, N/deg, N
		{2000, 1933.6, 708.78, 1197.1, 1722.5, 1928.7, 1924.3},
		{4000, 3690.4, 1027.33, 1911.1, 3096.6, 3676.8, 3666.7},
		{6000, 5270.4, 1076.15, 2110.4, 3833.1, 5166.1, 5262.2},
		{8000, 6673.6, 1028.83, 2061.0, 4011.2, 6253.3, 6668.3},
	}
	one := &Brush{CorneringStiffness: 1027.33 / deg, NominalLoad: 4000, PeakLoad: 1.53} // its stiffness peaks near 6.1 kN
	for _, row := range rows {
		if row.load > 2000 { // below half the nominal load its stiffness rises more slowly
			agree.Relative(t, row.stiffness/deg, one.Cornering(row.load), law, "stiffness follows load")
		}
		b := Brush{CorneringStiffness: row.stiffness / deg, NominalLoad: row.load, Friction: row.peak / row.load,
			PatchLength: 0.1, PatchLoad: row.load}
		for slip, force := range map[float64]float64{2: row.at2, 4: row.at4, 8: row.at8, 12: row.at12} {
			assert.InDelta(t, -force, b.Force(math.Tan(slip*deg), 0, row.load).Lateral, shape*row.peak, "%g N at %g°", row.load, slip)
		}
	}
}

func BenchmarkBrushForce(bench *testing.B) {
	b := reference()
	for bench.Loop() {
		b.Force(0.03, 0.01, 4200)
	}
}
