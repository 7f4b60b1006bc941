package sim

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/agree"
	"turnplate/sim/unit"
)

const (
	equilibrium  = 1e-9 // N and N·m of what is left over, per N of wheel load
	printedForce = 1e-9 // a table printed to twelve figures
)

// Tyre and joint forces of every named case against a table worked out apart from the program (numpy, 20 unknowns).
func TestJointLoadsAgainstNumpy(t *testing.T) {
	f, err := os.Open("../testdata/reference/jointloadcases.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(loadCases))
	for _, row := range rows[1:] {
		r, err := JointLoads{Vehicle: loadedTruck(), Case: row[0]}.Run()
		require.NoError(t, err)
		for i, got := range []float64{r.WheelVertical, r.WheelRearward, r.WheelSide,
			r.UpperBall.X, r.UpperBall.Y, r.UpperBall.Z, r.LowerBall.X, r.LowerBall.Y, r.LowerBall.Z, r.TieTension, r.Spring} {
			want, err := strconv.ParseFloat(row[i+1], 64)
			require.NoError(t, err)
			agree.Absolute(t, want, got, printedForce*30000, row[0]+" "+rows[0][i+1])
		}
	}
}

func heavyRandom(t *rapid.T) Vehicle {
	loaded := loadedTruck()
	v := randomVehicle(t)
	v.Unsprung, v.FrontRollShare = loaded.Unsprung, anywhere(t, "roll share", 0.4, 0.65)
	v.Tyre.RollingRadius, v.Tyre.Inertia, v.Tyre.RimInertia = 0.39, 3, 0.45
	return v
}

// Nothing may be left over on any part, and the joints must hold up, along the ground's vertical, what stands
// on the wheel less the weight of what isn't sprung.
func TestJointLoadsBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := heavyRandom(t)
		m := JointLoads{Vehicle: v, Braking: ptr(anywhere(t, "braking", -5, 10)), Cornering: ptr(anywhere(t, "cornering", -10, 10)),
			Bump: ptr(anywhere(t, "bump", 0, 30)), Strike: ptr(anywhere(t, "strike", 0, 20))}
		r := reachable(t, m)
		load := r.WheelVertical + r.Right.WheelVertical + math.Abs(r.WheelRearward) + math.Abs(r.Right.WheelRearward) + math.Abs(r.WheelSide) + 1000
		if !(r.Residual <= equilibrium*load && r.ResidualMoment <= equilibrium*load) {
			t.Fatalf("left over: %g N, %g N·m", r.Residual, r.ResidualMoment)
		}
		level := reachable(t, Alignment{v})
		sin, cos := math.Sincos(level.BodyPitch)
		for _, c := range []CornerLoads{r.CornerLoads, r.Right} {
			up := sin*(c.UpperBall.X+c.LowerBall.X+c.TieRod.X) + cos*(c.UpperBall.Z+c.LowerBall.Z+c.TieRod.Z)
			agree.Absolute(t, *m.Bump*(v.Unsprung+36)-c.WheelVertical, up, equilibrium*load, "vertical")
		}
	})
}

// The axle's tyres carry between them what the axle carries, whichever way it corners, and side force and
// braking follow.
func TestJointLoadsShareTheAxle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := loadedTruck()
		v.LeftShare = anywhere(t, "left share", 0.4, 0.6)
		braking, cornering := anywhere(t, "braking", 0, 10), anywhere(t, "cornering", -15, 15)
		r := reachable(t, JointLoads{Vehicle: v, Braking: &braking, Cornering: &cornering})
		mass := 1990.0 + 144
		axle := 1990*0.54 + 72
		height := (1990*0.72 + 144*0.385) / mass
		agree.Absolute(t, axle*unit.StandardGravity+mass*braking*height/2.85, r.WheelVertical+r.Right.WheelVertical, 1e-6, "vertical")
		agree.Absolute(t, axle*cornering, r.WheelSide+r.Right.WheelSide, 1e-6, "side")
		agree.Absolute(t, 0.65*mass*braking, r.WheelRearward+r.Right.WheelRearward, 1e-6, "rearward")
		if cornering > 0 && v.LeftShare == 0.5 && r.WheelVertical > r.Right.WheelVertical {
			t.Fatal("a left turn loads the right wheel")
		}
		if r.WheelVertical < 0 || r.Right.WheelVertical < 0 {
			t.Fatal("the ground can't pull")
		}
	})
}

func TestJointLoadsWheelLifts(t *testing.T) {
	v := loadedTruck()
	v.CentreHeight = 1.3
	r, err := JointLoads{Vehicle: v, Cornering: ptr(-unit.StandardGravity)}.Run()
	require.NoError(t, err)
	assert.Zero(t, r.Right.WheelVertical)
	assert.Zero(t, r.Right.WheelSide)
	assert.True(t, math.IsNaN(r.Right.UsedFriction))
	agree.Relative(t, (1990*0.54+72)*unit.StandardGravity, r.WheelVertical, byHand, "the outer wheel carries the axle")
	agree.Relative(t, 1, r.UsedFriction, byHand, "side over vertical at 1 g")
}

// Only vertical, so three times static throughout.
func TestJointLoadsBumpIsThreeTimesStatic(t *testing.T) {
	static, err := JointLoads{Vehicle: loadedTruck()}.Run()
	require.NoError(t, err)
	bump, err := JointLoads{Vehicle: loadedTruck(), Case: "bump"}.Run()
	require.NoError(t, err)
	for _, pair := range [][2]Force{{static.UpperBall, bump.UpperBall}, {static.LowerBall, bump.LowerBall}, {static.TieRod, bump.TieRod},
		{static.UpperFront, bump.UpperFront}, {static.UpperRear, bump.UpperRear}, {static.LowerFront, bump.LowerFront}, {static.LowerRear, bump.LowerRear}} {
		agree.Absolute(t, 3*pair[0].X, pair[1].X, 1e-6, "x")
		agree.Absolute(t, 3*pair[0].Y, pair[1].Y, 1e-6, "y")
		agree.Absolute(t, 3*pair[0].Z, pair[1].Z, 1e-6, "z")
		agree.Absolute(t, 3*pair[0].Magnitude, pair[1].Magnitude, 1e-6, "magnitude")
	}
	agree.Relative(t, 3*static.Spring, bump.Spring, byHand, "spring")
}

// The vehicle in a mirror, turning the other way: left and right change places and every y its sign.
func TestJointLoadsMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := heavyRandom(t)
		cornering := anywhere(t, "cornering", -10, 10)
		m := JointLoads{Vehicle: v, Braking: ptr(4), Cornering: &cornering, Bump: ptr(12), Strike: ptr(3)}
		r := reachable(t, m)
		m.Vehicle, m.Cornering = swapped(v), ptr(-cornering)
		s := reachable(t, m)
		scale := 1e-9 * (r.Spring + r.Right.Spring + 1e5)
		for _, pair := range [][2]CornerLoads{{r.CornerLoads, s.Right}, {r.Right, s.CornerLoads}} {
			agree.Absolute(t, pair[0].Spring, pair[1].Spring, scale, "spring")
			agree.Absolute(t, pair[0].TieTension, pair[1].TieTension, scale, "tie rod")
			agree.Absolute(t, pair[0].UpperBall.Y, -pair[1].UpperBall.Y, scale, "upper ball joint's y")
			agree.Absolute(t, pair[0].LowerFront.X, pair[1].LowerFront.X, scale, "lower front pivot's x")
			agree.Absolute(t, pair[0].WheelSide, -pair[1].WheelSide, scale, "side force")
		}
	})
}

// Virtual work: standing still, what the coil takes up as the wheel rises is what the load gives at the contact
// centre less what the unsprung weight takes at the wheel centre. The motion ratio comes from the linkage's
// velocities, the force from statics.
func TestJointLoadsSpringByVirtualWork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := heavyRandom(t)
		if rapid.Bool().Draw(t, "on the upper arm") {
			v.Spring.On, v.Spring.LowerPoint, v.Spring.UpperPoint = "upper", mm(-20, 560, 615), mm(-20, 520, 900)
		}
		r := reachable(t, JointLoads{Vehicle: v})
		a, err := newAxle(&v)
		require.NoError(t, err)
		w := a.atRest()
		twist, ok := a.left.link.Travel(&w.left.pose)
		require.True(t, ok)
		up := a.left.ground.Up
		work := r.WheelVertical*twist.At(w.left.Contact).Dot(up) - (v.Unsprung+36)*unit.StandardGravity*twist.At(w.left.Centre).Dot(up)
		agree.Absolute(t, work, r.Spring*a.left.motionRatio(&w.left.pose), 1e-8*r.WheelVertical, "work per rise")
	})
}

// About the wheel's axis, a braked wheel hands the knuckle its brake torque: the ground's force through the
// loaded radius, and what slows the wheel's own turning. A blow on a rolling wheel hands it none.
func TestJointLoadsBrakeTorqueOnKnuckle(t *testing.T) {
	v := loadedTruck()
	a, err := newAxle(&v)
	require.NoError(t, err)
	s := a.atRest().left
	about := func(m JointLoads) float64 {
		r, err := m.Run()
		require.NoError(t, err)
		torque := Point{}
		for _, joint := range []struct {
			at    Point
			force Force
		}{{s.pose.Upper, r.UpperBall}, {s.pose.Lower, r.LowerBall}, {s.pose.TieOuter, r.TieRod}} {
			torque = torque.Add(joint.at.Sub(s.Centre).Cross(Point{X: joint.force.X, Y: joint.force.Y, Z: joint.force.Z}))
		}
		return torque.Dot(s.pose.Spin)
	}
	const scale = 1e-9 * 10000
	agree.Absolute(t, 0, about(JointLoads{Vehicle: v}), scale, "standing")
	agree.Absolute(t, 0, about(JointLoads{Vehicle: v, Strike: ptr(20)}), scale, "a blow on a rolling wheel")
	agree.Absolute(t, 0, about(JointLoads{Vehicle: v, Case: "cornering"}), scale, "cornering")
	braking, err := JointLoads{Vehicle: v, Case: "braking"}.Run()
	require.NoError(t, err)
	torque := braking.WheelRearward*0.385 + 3.45*unit.StandardGravity/0.39
	agree.Absolute(t, -torque, about(JointLoads{Vehicle: v, Case: "braking"}), scale, "braking")
}

// A wheel moved outboard by offset loads the ball joints and, braking, the tie rod more.
func TestJointLoadsOffsetCosts(t *testing.T) {
	v := loadedTruck()
	out := loadedTruck()
	out.Tyre.OffsetChange = -0.03
	inset, err := JointLoads{Vehicle: v, Case: "braking"}.Run()
	require.NoError(t, err)
	stuck, err := JointLoads{Vehicle: out, Case: "braking"}.Run()
	require.NoError(t, err)
	assert.Greater(t, stuck.Spring, inset.Spring)
	assert.Greater(t, stuck.TieTension, inset.TieTension)
}

func TestJointLoadsRefusals(t *testing.T) {
	for _, c := range []struct {
		spoil func(*JointLoads)
		says  string
	}{
		{func(m *JointLoads) { m.Case = "crash" }, `Case is "crash"; it must be "static"`},
		{func(m *JointLoads) { m.Bump = ptr(-1) }, "Bump of -0.10197 g must lie from 0 to 20 g"},
		{func(m *JointLoads) { m.Braking = ptr(math.NaN()) }, "Braking"},
		{func(m *JointLoads) { m.Cornering = ptr(300) }, "Cornering of 30.591 g must lie within 20 g: beyond that nothing holds"},
		{func(m *JointLoads) { m.Vehicle.Spring.LowerPoint = Point{} }, "Spring.LowerPoint isn't given"},
		{func(m *JointLoads) { m.Vehicle.Spring.UpperPoint = m.Vehicle.Front.LowerFront }, "left front: the spring can't hold its arm up"},
		{func(m *JointLoads) { m.Vehicle.Unsprung = 0 }, "Unsprung isn't given"},
		{func(m *JointLoads) { m.Vehicle.CentreHeight = 0 }, "CentreHeight isn't given"},
		{func(m *JointLoads) { m.Vehicle.Front.UpperBall = Point{} }, "Front.UpperBall isn't given"},
	} {
		m := JointLoads{Vehicle: loadedTruck()}
		c.spoil(&m)
		_, err := m.Run()
		if assert.Error(t, err, c.says) {
			assert.Contains(t, spaces(err.Error()), c.says)
		}
	}
}

func BenchmarkJointLoads(b *testing.B) {
	m := JointLoads{Vehicle: loadedTruck(), Case: "braking"}
	for b.Loop() {
		if _, err := m.Run(); err != nil {
			b.Fatal(err)
		}
	}
}
