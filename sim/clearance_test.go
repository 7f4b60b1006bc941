package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/sim/clearance"
)

// archTruck is camTruck with a front wing's edges round its tyre (invented): the arch's rear lip, its top,
// the frame rail, the bumper's end and the upper arm.
func archTruck() Vehicle {
	v := camTruck()
	v.Tyre.ShoulderRadius, v.Tyre.RimDiameter, v.Tyre.RimWidth = 0.035, 0.4318, 0.22
	v.Body = []Obstacle{
		{Name: "arch, rear", From: mm(-470, 900, 300), To: mm(-440, 640, 560), Radius: 3e-3},
		{Name: "arch, top", From: mm(-250, 900, 860), To: mm(250, 900, 860)},
		{Name: "frame rail", From: mm(-700, 470, 420), To: mm(600, 460, 400), Radius: 10e-3, MovesWith: "body"},
		{Name: "bumper end", From: mm(520, 850, 350), To: mm(520, 700, 650)},
		{Name: "upper arm", From: mm(90, 470, 612), To: mm(-22, 640, 620), Radius: 15e-3, MovesWith: "upper arm"},
		{Name: "lower arm", From: mm(150, 400, 262), To: mm(20, 690, 245), Radius: 20e-3, MovesWith: "lower arm"},
	}
	return v
}

// densely sweeps by hand: Steer-like poses on a fine grid, straight from the corner.
func densely(t *testing.T, v Vehicle, racks, bumps int) [][]float64 {
	a, err := newAxle(&v)
	require.NoError(t, err)
	tyre := v.Tyre.shape()
	least := [][]float64{make([]float64, len(v.Body)), make([]float64, len(v.Body))}
	for side, k := range []*corner{&a.left, &a.right} {
		for i := range least[side] {
			least[side][i] = math.Inf(1)
		}
		for j := range bumps {
			bump := k.lift - k.travelDown + float64(j)/float64(bumps-1)*(k.travelUp+k.travelDown)
			ahead, err := k.height(bump)
			require.NoError(t, err)
			for i := range racks {
				rack := v.Steering.RackLimit * (2*float64(i)/float64(racks-1) - 1)
				p, err := k.steered(&ahead, rack)
				require.NoError(t, err)
				s := k.seen(p)
				for o := range v.Body {
					from, to := k.carried(&v.Body[o], &p)
					gap, _ := tyre.Gap(&clearance.Placed{Centre: s.Centre, Axis: p.Spin}, &clearance.Edge{From: from, To: to, Radius: v.Body[o].Radius})
					least[side][o] = math.Min(least[side][o], gap)
				}
			}
		}
	}
	return least
}

// The sweep finds, to 0.01 mm, what a grid of thirty times as many poses doesn't beat.
func TestClearanceAgainstDenseSweep(t *testing.T) {
	const promised = 1e-5 // m
	rng := rand.New(rand.NewPCG(3, 61))
	for tries, done := 0, 0; done < 12; tries++ {
		require.Less(t, tries, 1000)
		v := randomTruck(rng)
		v.Front.Lift, v.RearLift = 0.02*rng.Float64(), 0
		if v.Right != nil {
			v.Right.Lift = 0.02 * rng.Float64()
		}
		v.Body = archTruck().Body
		v.Tyre.ShoulderRadius, v.Tyre.OffsetChange = 0.03, 0.02*(rng.Float64()-0.5)
		v.Tyre.RimDiameter, v.Tyre.RimWidth = 0.38+0.06*rng.Float64(), v.Tyre.Width*(0.7+0.2*rng.Float64())
		for i := range v.Body {
			for _, p := range []*Point{&v.Body[i].From, &v.Body[i].To} {
				p.X += 0.08 * (rng.Float64() - 0.5)
				p.Y += 0.08 * (rng.Float64() - 0.5)
				p.Z += 0.08 * (rng.Float64() - 0.5)
			}
		}
		r, err := Clearance{Vehicle: v}.Run()
		if err != nil {
			continue // full droop or lock out of reach for this one
		}
		done++
		dense := densely(t, v, 121, 91)
		for o := range v.Body {
			assert.LessOrEqual(t, r.Gap[o], dense[0][o]+promised, v.Body[o].Name)
			assert.LessOrEqual(t, r.Right.Gap[o], dense[1][o]+promised, v.Body[o].Name)
			assert.Greater(t, r.Gap[o], dense[0][o]-2e-3, "and is no place that isn't swept")
		}
	}
}

// Where the smallest gap is said to be, Steer puts the wheel there and the gap is that.
func TestClearanceSaysWhere(t *testing.T) {
	v := archTruck()
	r, err := Clearance{Vehicle: v}.Run()
	require.NoError(t, err)
	require.Equal(t, []string{"arch, rear", "arch, top", "frame rail", "bumper end", "upper arm", "lower arm"}, r.Obstacle)
	tyre := v.Tyre.shape()
	smallest := math.Inf(1)
	for i, o := range v.Body {
		smallest = math.Min(smallest, r.Gap[i])
		if o.MovesWith != "" && o.MovesWith != "body" {
			continue
		}
		s, err := Steer{Vehicle: v, Rack: &r.Rack[i], Bump: r.Bump[i]}.Run()
		require.NoError(t, err)
		sinT, cosT := math.Sincos(s.SteerWheel.Toe)
		sinC, cosC := math.Sincos(s.SteerWheel.Camber)
		centre := Point{X: s.SteerWheel.WheelX, Y: s.SteerWheel.WheelY, Z: s.SteerWheel.GroundHeight + v.Tyre.LoadedRadius*cosC}
		at := o.From.Add(o.To.Sub(o.From).Unit().Scale(r.Along[i]))
		gap, _ := tyre.Gap(&clearance.Placed{Centre: centre, Axis: Point{X: sinT * cosC, Y: cosT * cosC, Z: -sinC}}, &clearance.Edge{From: at, To: at, Radius: o.Radius})
		assert.InDelta(t, r.Gap[i], gap, 1e-8, o.Name)
	}
	assert.Equal(t, smallest, r.SmallestGap)
	// Mirrored sides: the same gap with the rack the other way.
	assert.Equal(t, r.Gap, r.Right.Gap)
	assert.Equal(t, -r.NearestRack, r.Right.NearestRack)
}

// A right side described by itself gives what the mirror gives.
func TestClearanceMirror(t *testing.T) {
	v := archTruck()
	mirrored, err := Clearance{Vehicle: v}.Run()
	require.NoError(t, err)
	right := v.Front
	v.Right = &right
	own, err := Clearance{Vehicle: v}.Run()
	require.NoError(t, err)
	for i := range mirrored.Gap {
		assert.InDelta(t, mirrored.Right.Gap[i], own.Right.Gap[i], 1e-9)
	}
}

// A bigger tyre, a narrower range and an offset do what they must.
func TestClearanceDirections(t *testing.T) {
	v := archTruck()
	base, err := Clearance{Vehicle: v}.Run()
	require.NoError(t, err)
	bigger := v
	bigger.Tyre.Radius += 0.02
	r, err := Clearance{Vehicle: bigger}.Run()
	require.NoError(t, err)
	for i := range base.Gap {
		assert.Less(t, r.Gap[i], base.Gap[i]+1e-9)
	}
	zero := 0.0
	ahead, err := Clearance{Vehicle: v, RackFrom: &zero, RackTo: &zero}.Run()
	require.NoError(t, err)
	still, err := Clearance{Vehicle: v, RackFrom: &zero, RackTo: &zero, BumpFrom: &zero, BumpTo: &zero}.Run()
	require.NoError(t, err)
	for i := range base.Gap {
		assert.GreaterOrEqual(t, ahead.Gap[i], base.Gap[i]-1e-9)
		assert.GreaterOrEqual(t, still.Gap[i], ahead.Gap[i]-1e-9)
	}
	inboard := v
	inboard.Tyre.OffsetChange = 0.02
	r, err = Clearance{Vehicle: inboard}.Run()
	require.NoError(t, err)
	assert.Less(t, r.Gap[2], base.Gap[2], "the frame rail comes nearer")
}

// "Ten degrees of caster doesn't buy five inches" (common practice, no source). On an ordinary geometry it
// doesn't even buy one: taken from the upper arm, caster swings the wheel about the lower ball joint, which
// is rearward, towards the back of the arch; taken from the cams, it pushes the lower ball joint forward, by
// what the bolts' throw allows.
func TestTenDegreesOfCasterDontBuyFiveInches(t *testing.T) {
	const inch, degree = 25.4e-3, deg
	zero := 0.0
	gapAt := func(m AlignTo) (rear float64) {
		m.Vehicle, m.Camber, m.Toe = archTruck(), both(0), both(0)
		set, err := m.Run()
		require.NoError(t, err)
		require.True(t, set.Reached)
		r, err := Clearance{Vehicle: *set.Vehicle, RackFrom: &zero, RackTo: &zero, BumpFrom: &zero, BumpTo: &zero}.Run()
		require.NoError(t, err)
		require.Equal(t, "arch, rear", r.Obstacle[0])
		return r.Gap[0]
	}
	// Ten degrees from the upper arm: its pivot slots and legs alone, the wheel's height above the lower ball
	// joint being 140 mm: 140·(sin 10°) = 24 mm rearward of the lower ball joint, less what the cams give
	// back.
	upper := func(caster float64) float64 {
		return gapAt(AlignTo{Caster: both(caster), UseUpper: true, LegTravel: 0.1, ShiftTravel: 0.1})
	}
	gained := upper(10*degree) - upper(0)
	assert.Negative(t, gained, "the tyre comes nearer to the back of the arch")
	assert.Less(t, math.Abs(gained), inch)

	// The cams alone, by their whole range: forward, away from the back of the arch, some millimetres a degree.
	reach, err := Reach{Vehicle: archTruck(), Camber: both(0), Toe: both(0)}.Run()
	require.NoError(t, err)
	most, least := reach.CasterMax-1e-6, reach.CasterMin+1e-6
	perDegree := (gapAt(AlignTo{Caster: both(most)}) - gapAt(AlignTo{Caster: both(least)})) / ((most - least) / degree)
	assert.Positive(t, perDegree)
	assert.Less(t, 10*perDegree, 5*inch/2)
	t.Logf("10° from the upper arm: %.1f mm; the cams: %.2f mm a degree over %.1f°", gained*1e3, perDegree*1e3, (most-least)/degree)
}

// A rim is hollow: the ends of the arms inside the wheel aren't overlaps, and a rod that comes near the bore is found.
func TestClearanceInsideTheRim(t *testing.T) {
	v := archTruck()
	v.Front.Camber, v.Front.Toe = 0, 0
	bore := v.Tyre.RimDiameter/2 - 0.015
	centre := v.Front.WheelCentre
	v.Body = []Obstacle{
		{Name: "lower ball joint", From: v.Front.LowerBall, To: v.Front.LowerBall, Radius: 20e-3, MovesWith: "lower arm"},
		{Name: "stub", From: centre.Add(Point{X: 0.1, Y: -0.5}), To: centre.Add(Point{X: 0.1}), Radius: 10e-3},
		{Name: "through", From: centre, To: centre.Add(Point{X: bore + 5e-3}), Radius: 0},
	}
	r, err := Clearance{Vehicle: v, Rack: ptr(0), Bump: ptr(0)}.Run()
	require.NoError(t, err)
	out := v.Front.LowerBall.Sub(centre)
	assert.InDelta(t, bore-math.Hypot(out.X, out.Z)-20e-3, r.Gap[0], roundingLength)
	assert.InDelta(t, bore-0.1-10e-3, r.Gap[1], roundingLength)
	assert.InDelta(t, -5e-3, r.Gap[2], roundingLength)
	all, err := Clearance{Vehicle: v}.Run()
	require.NoError(t, err)
	for i := range r.Gap {
		assert.LessOrEqual(t, all.Gap[i], r.Gap[i]+roundingLength)
	}
}

// What isn't given, or can't be, is an error by name.
func TestClearanceErrors(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Clearance)
		says   string
	}{
		"no obstacles":  {func(m *Clearance) { m.Vehicle.Body = nil }, "Body isn't given"},
		"no rack limit": {func(m *Clearance) { m.Vehicle.Steering.RackLimit = 0 }, "Steering.RackLimit isn't given"},
		"no travel":     {func(m *Clearance) { m.Vehicle.Spring.DroopTravel = 0 }, "Spring.DroopTravel isn't given"},
		"no width":      {func(m *Clearance) { m.Vehicle.Tyre.Width = 0 }, "Tyre.Width isn't given"},
		"too round":     {func(m *Clearance) { m.Vehicle.Tyre.ShoulderRadius = 0.2 }, "more than half of Tyre.Width"},
		"no rim":        {func(m *Clearance) { m.Vehicle.Tyre.RimDiameter = 0 }, "Tyre.RimDiameter isn't given"},
		"tiny rim":      {func(m *Clearance) { m.Vehicle.Tyre.RimDiameter = 0.025 }, "leaves no hollow"},
		"huge rim":      {func(m *Clearance) { m.Vehicle.Tyre.RimDiameter = 0.8 }, "leaves no room for a side wall"},
		"wide rim":      {func(m *Clearance) { m.Vehicle.Tyre.RimWidth = 0.4 }, "Tyre.RimWidth of 400 mm is more than Tyre.Width"},
		"moves with":    {func(m *Clearance) { m.Vehicle.Body[2].MovesWith = "axle" }, "Body[3].MovesWith is \"axle\""},
		"wrong way":     {func(m *Clearance) { x := 0.05; m.BumpFrom, m.BumpTo = &x, new(float64) }, "BumpFrom must not be above BumpTo"},
		"beyond rack":   {func(m *Clearance) { x := 0.2; m.RackTo = &x }, "within Steering.RackLimit of 78 mm"},
		"beyond travel": {func(m *Clearance) { x := 0.2; m.BumpTo = &x }, "beyond Spring.BumpTravel"},
	} {
		m := Clearance{Vehicle: archTruck()}
		c.change(&m)
		_, err := m.Run()
		assert.ErrorContains(t, err, c.says, name)
	}
}

// BenchmarkClearance is one run for a tyre that rubs on most of what is near it, and for one that runs clear.
func BenchmarkClearance(b *testing.B) {
	clear := archTruck()
	clear.Body = []Obstacle{
		{Name: "back of the arch", From: mm(-515, 900, 300), To: mm(-525, 900, 560), Radius: 2e-3},
		{Name: "body mount", From: mm(-515, 650, 180), To: mm(-515, 650, 330), Radius: 12e-3},
		{Name: "front of the arch", From: mm(535, 900, 400), To: mm(525, 900, 560), Radius: 2e-3},
		{Name: "top of the arch", From: mm(-200, 720, 970), To: mm(200, 720, 970)},
	}
	for name, v := range map[string]Vehicle{"rubbing": archTruck(), "clear": clear} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, err := Clearance{Vehicle: v}.Run()
				if err != nil {
					b.Fatal(err)
				}
				benchKeep += r.SmallestGap
			}
		})
	}
}

// One position is what a sweep finds there: the smallest over many positions is the sweep's own.
func TestClearanceAtOnePosition(t *testing.T) {
	v := archTruck()
	all, err := Clearance{Vehicle: v}.Run()
	require.NoError(t, err)
	for i := range all.Gap {
		one, err := Clearance{Vehicle: v, Rack: &all.Rack[i], Bump: &all.Bump[i]}.Run()
		require.NoError(t, err)
		assert.InDelta(t, all.Gap[i], one.Gap[i], 1e-5, "metres; the sweep is good to a hundredth of a millimetre")
		assert.Equal(t, all.Rack[i], one.Rack[i])
	}
	straight, err := Clearance{Vehicle: v, Rack: ptr(0), Bump: ptr(0)}.Run()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, straight.SmallestGap, all.SmallestGap-1e-5)
	_, err = Clearance{Vehicle: v, Rack: ptr(0), RackTo: ptr(0.01)}.Run()
	assert.ErrorContains(t, err, "either Rack or RackFrom and RackTo")
}
