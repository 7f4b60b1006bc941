package wishbone

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"turnplate/sim/geom"
)

// rounding is how near lengths and angles of order one come that must agree exactly.
const rounding = 1e-12

// Whatever the pose, no link changes its length and the knuckle no shape.
func TestLinksKeepTheirLengths(t *testing.T) {
	check(t, func(t *rapid.T) {
		l, p := posed(t)
		h, s := l.at, l.set
		lf, lr, uf, ur := l.Pivots()
		length := func(a, b geom.Point) float64 { return a.Sub(b).Norm() }
		agree(t, length(h.LowerBall, h.LowerFront), length(p.Lower, lf), rounding, "lower front leg")
		agree(t, length(h.LowerBall, h.LowerRear), length(p.Lower, lr), rounding, "lower rear leg")
		agree(t, length(h.UpperBall, h.UpperFront)+s.UpperFrontLeg, length(p.Upper, uf), rounding, "upper front leg")
		agree(t, length(h.UpperBall, h.UpperRear)+s.UpperRearLeg, length(p.Upper, ur), rounding, "upper rear leg")
		agree(t, length(h.TieOuter, h.TieInner)+s.TieRod, length(p.TieOuter, p.TieInner), rounding, "tie rod")
		measured := []geom.Point{h.LowerBall, h.UpperBall, h.TieOuter, h.WheelCentre}
		moved := []geom.Point{p.Lower, p.Upper, p.TieOuter, p.Centre}
		for i := range measured {
			near(t, moved[i], p.Knuckle(l.OnKnuckle(measured[i])), rounding, "place carried by the knuckle")
			for j := range i {
				agree(t, length(measured[i], measured[j]), length(moved[i], moved[j]), rounding, "knuckle")
			}
			agree(t, h.Spin.Unit().Dot(measured[i].Sub(measured[0])), p.Spin.Dot(moved[i].Sub(moved[0])), rounding, "wheel's axis in the knuckle")
		}
		near(t, p.Spin, p.KnuckleDirection(l.AlongKnuckle(h.Spin.Unit())), rounding, "wheel's axis")
		near(t, p.Lower, l.OnLowerArm(&p, h.LowerBall), 1e-3, "ball joint on the lower arm") // but for the cams' second-order change of the arm
	})
}

// As measured, everything is where it was measured.
func TestMeasuredPosition(t *testing.T) {
	check(t, func(t *rapid.T) {
		h := corners(t)
		l, err := New(h, Settings{})
		require.NoError(t, err)
		p, err := l.AtHeight(h.WheelCentre.Z, 0)
		require.NoError(t, err)
		agree(t, 0, p.LowerAngle, rounding, "arm's angle")
		near(t, h.LowerBall, p.Lower, rounding, "lower ball")
		near(t, h.UpperBall, p.Upper, rounding, "upper ball")
		near(t, h.TieOuter, p.TieOuter, rounding, "tie rod")
		near(t, h.WheelCentre, p.Centre, rounding, "wheel centre")
		near(t, h.Spin, p.Spin, rounding, "wheel's axis")
		some := geom.Point{X: 0.05, Y: 0.5, Z: 0.3}
		near(t, some, l.OnLowerArm(&p, some), rounding, "on the lower arm")
		near(t, some, l.OnUpperArm(&p, some), rounding, "on the upper arm")
	})
}

// Walking to a reachable pose, first by the arms and then by the rack, no place jumps: the root is always the one
// the corner came along. Near the end of a joint's reach places move fast, so a long stride is looked at in
// halves; a jump stays a jump however finely it is cut.
func TestNoJumps(t *testing.T) {
	const (
		stride = 0.02 // m
		cuts   = 30
	)
	check(t, func(t *rapid.T) {
		l, err := New(corners(t), settings(t))
		require.NoError(t, err)
		angle, rack := between(t, "angle", -1.2, 1.2), between(t, "rack", -0.15, 0.15)
		if _, err := l.At(angle, rack); err != nil {
			t.Skip("out of reach")
		}
		at := func(way float64) Pose {
			p, err := l.At(angle*math.Min(1, way), rack*math.Max(0, way-1))
			require.NoError(t, err, "a reachable pose can be walked to: %v of 2", way)
			return p
		}
		var walk func(from, to float64, a, b Pose, cut int)
		walk = func(from, to float64, a, b Pose, cut int) {
			if a.Upper.Sub(b.Upper).Norm() < stride && a.TieOuter.Sub(b.TieOuter).Norm() < stride {
				return
			}
			if cut == cuts {
				t.Fatalf("a jump at %v of the way", from)
			}
			half := (from + to) / 2
			m := at(half)
			walk(from, half, a, m, cut+1)
			walk(half, to, m, b, cut+1)
		}
		const steps = 100
		last := at(0)
		for i := range 2 * steps {
			from, to := float64(i)/steps, float64(i+1)/steps
			next := at(to)
			walk(from, to, last, next, 0)
			last = next
		}
	})
}

// The rack goes as far as the tie rod is longer than the least way from its inner joint to the circle of the outer one, and
// shorter than the longest, all along the way.
func TestRackGoesAsFarAsTheRodReaches(t *testing.T) {
	const (
		steps = 400
		clear = 3e-3 // m: more than a step of the rack, so that no gap lies between two
	)
	var reached, refused int
	check(t, func(t *rapid.T) {
		l, err := New(corners(t), settings(t))
		require.NoError(t, err)
		angle, rack := between(t, "angle", -0.6, 0.6), between(t, "rack", -1, 1)
		ahead, err := l.At(angle, 0)
		if err != nil {
			t.Skip("out of reach")
		}
		along := func(p geom.Point) float64 { return p.Sub(ahead.Lower).Dot(ahead.Axis) }
		off := func(p geom.Point) float64 { return p.Sub(ahead.Lower.Add(ahead.Axis.Scale(along(p)))).Norm() }
		height, radius := along(ahead.TieOuter), off(ahead.TieOuter)
		rod := ahead.TieOuter.Sub(ahead.TieInner).Norm()
		spare := math.Inf(1)
		for i := range steps + 1 {
			inner := ahead.TieInner
			inner.Y += rack * float64(i) / steps
			least, most := math.Hypot(along(inner)-height, off(inner)-radius), math.Hypot(along(inner)-height, off(inner)+radius)
			spare = math.Min(spare, math.Min(rod-least, most-rod))
		}
		_, err = l.At(angle, rack)
		switch {
		case spare > clear:
			require.NoError(t, err)
			reached++
		case spare < 0:
			require.Equal(t, Unreachable{OuterTieJoint}, err)
			refused++
		}
	})
	if !testing.Short() { // that tries too few to count on both
		require.Positive(t, reached)
		require.Positive(t, refused)
	}
}

// A place that has a solution but lies beyond where links come into line is refused: the rack would have to
// carry the inner tie-rod joint past the steering axis, nearer to it than the rod can fold.
func TestBeyondAGapIsRefused(t *testing.T) {
	h := plain()
	l, err := New(h, Settings{})
	require.NoError(t, err)
	ahead, err := l.At(0, 0)
	require.NoError(t, err)
	// A solution exists where the rod's length lies between the least and greatest distance to the circle of
	// the outer joint; found here by looking all round it.
	solvable := func(inner geom.Point) bool {
		least, most := math.Inf(1), 0.0
		arm := r3.Vec(ahead.TieOuter.Sub(ahead.Lower))
		for i := range 3600 {
			turned := r3.NewRotation(float64(i)*deg/10, r3.Vec(ahead.Axis)).Rotate(arm)
			d := ahead.Lower.Add(geom.Point(turned)).Sub(inner).Norm()
			least, most = math.Min(least, d), math.Max(most, d)
		}
		return least < l.rod && l.rod < most
	}
	var near, gap, beyond int
	for s := 0.0; s < 1; s += 0.002 {
		inner := h.TieInner
		inner.Y += s
		p, err := l.At(0, s)
		switch {
		case err == nil:
			assert.Zero(t, gap, "reachable again at %g, beyond the gap", s)
			assert.Equal(t, inner, p.TieInner)
			near++
		case !solvable(inner):
			gap++
		default:
			beyond++
		}
		if err != nil {
			assert.Equal(t, Unreachable{OuterTieJoint}, err)
		}
	}
	assert.Greater(t, near, 10)
	assert.Greater(t, gap, 10)
	assert.Greater(t, beyond, 10, "the test needs solutions beyond the gap to tell")
}

// The same for the upper ball joint: an arm and a knuckle of such lengths that swinging the lower arm brings them
// into line, and further on out of line again.
func TestBeyondAGapOfTheUpperJointIsRefused(t *testing.T) {
	h := plain()
	h.UpperFront, h.UpperRear, h.UpperBall = mm(90, 421, 564), mm(-130, 421, 564), mm(-22, 811, 593)
	h.LowerBall = mm(12, 584, 377)
	l, err := New(h, Settings{})
	require.NoError(t, err)
	var near, gap, beyond int
	for a := 0.0; a < 1.3; a += 0.005 {
		reach, _ := l.reach(a)
		_, err := l.At(a, 0)
		switch {
		case reach > 0 && gap == 0:
			assert.NotEqual(t, Unreachable{UpperBallJoint}, err)
			near++
		case reach > 0:
			assert.Equal(t, Unreachable{UpperBallJoint}, err, "beyond the gap at %g", a)
			beyond++
		default:
			assert.Equal(t, Unreachable{UpperBallJoint}, err)
			gap++
		}
	}
	assert.Greater(t, near, 10)
	assert.Greater(t, gap, 10)
	assert.Greater(t, beyond, 10, "the test needs solutions beyond the gap to tell")
}

// clearTo against a polynomial whose gap no sampling at its ends would find.
func TestClearTo(t *testing.T) {
	dip := func(depth float64) func(float64) (float64, float64) {
		return func(x float64) (float64, float64) { d := x - 0.37; return d*d - depth, 2 * d }
	}
	assert.True(t, clearTo(1, 2, dip(-1e-9)), "the quadratic stays just above zero")
	assert.False(t, clearTo(1, 2, dip(1e-9)), "a gap of 0.06 thousandths")
	assert.True(t, clearTo(-1, 2, dip(1e-9)), "the gap lies the other way")
}

func TestUnreachableNamesTheJoint(t *testing.T) {
	l, err := New(plain(), Settings{})
	require.NoError(t, err)
	z := plain().WheelCentre.Z
	for _, c := range []struct {
		what  string
		joint string
		err   error
	}{
		{"rack pulled far in", OuterTieJoint, second(l.At(0, -0.4))},
		{"rack pushed far out", OuterTieJoint, second(l.At(0, 0.6))},
		{"arm swung far up", UpperBallJoint, second(l.At(1.4, 0))},
		{"not a number", UpperBallJoint, second(l.At(math.NaN(), 0))},
		{"not a rack", OuterTieJoint, second(l.At(0, math.NaN()))},
		{"not a height", WheelHeight, second(l.AtHeight(math.NaN(), 0))},
		{"no height", WheelHeight, second(l.AtHeight(math.Inf(1), 0))},
		{"far too high: the wheel turns back first", WheelHeight, second(l.AtHeight(z+1, 0))},
		{"rack far in at a height", OuterTieJoint, second(l.AtHeight(z, -0.4))},
	} {
		joint, ok := IsUnreachable(c.err)
		assert.True(t, ok, "%s: %v", c.what, c.err)
		assert.Equal(t, c.joint, joint, c.what)
	}
	_, err = New(plain(), Settings{UpperFrontLeg: 0.5})
	assert.ErrorIs(t, err, Unreachable{UpperBallJoint}, "legs that can't meet")
	_, err = New(plain(), Settings{TieRod: -1})
	assert.ErrorIs(t, err, Unreachable{OuterTieJoint}, "a rod shorter than nothing")
	_, err = New(plain(), Settings{LowerFront: 1})
	assert.ErrorIs(t, err, Unreachable{LowerBallJoint})
}

func second(_ Pose, err error) error { return err }

// A corner whose wheel turns back before a joint's reach ends: the lower arm stands nearly upright.
func TestWheelHeightTurnsBack(t *testing.T) {
	h := plain()
	l, err := New(h, Settings{})
	require.NoError(t, err)
	// Walk down to where the wheel hangs lowest, then ask for 1 mm less.
	lowest := math.Inf(1)
	var ends error
	for a := 0.0; a > -1.5; a -= 1e-3 {
		p, err := l.At(a, 0)
		if err != nil {
			ends = err
			break
		}
		lowest = math.Min(lowest, p.Centre.Z)
	}
	_, err = l.AtHeight(lowest-1e-3, 0)
	require.Error(t, err)
	_, err = l.AtHeight(lowest+1e-3, 0)
	assert.NoError(t, err, "1 mm above the lowest place (%v)", ends)
}

func TestDegeneratePoints(t *testing.T) {
	for what, spoil := range map[string]func(*Hardpoints){
		"pivots":             func(h *Hardpoints) { h.LowerRear = h.LowerFront },
		"upper pivots":       func(h *Hardpoints) { h.UpperRear = h.UpperFront },
		"balls":              func(h *Hardpoints) { h.UpperBall = h.LowerBall },
		"rod":                func(h *Hardpoints) { h.TieInner = h.TieOuter },
		"steering arm":       func(h *Hardpoints) { h.TieOuter = h.LowerBall.Add(h.UpperBall).Scale(0.5) },
		"lower arm":          func(h *Hardpoints) { h.LowerBall = h.LowerFront.Add(h.LowerRear).Scale(0.5) },
		"upper arm":          func(h *Hardpoints) { h.UpperBall = h.UpperFront.Add(h.UpperRear).Scale(0.5) },
		"no axis":            func(h *Hardpoints) { h.Spin = geom.Point{} },
		"a point of no sort": func(h *Hardpoints) { h.LowerFront.X = math.NaN() },
	} {
		h := plain()
		spoil(&h)
		_, err := Measure(h)
		var d Degenerate
		assert.True(t, errors.As(err, &d), "%s: %v", what, err)
	}
}

// Posing allocates nothing, whether it succeeds or not.
func TestPosingAllocatesNothing(t *testing.T) {
	l, err := New(plain(), Settings{TieRod: 0.001})
	require.NoError(t, err)
	var a Angles
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		p, _ := l.AtHeight(0.42, 0.02)
		a = p.Angles(Wheel{LoadedRadius: 0.385}, Level)
	}))
	assert.Zero(t, testing.AllocsPerRun(100, func() { _, err = l.AtHeight(2, 0) }))
	assert.Error(t, err)
	assert.NotZero(t, a.Caster)
}
