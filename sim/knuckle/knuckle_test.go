package knuckle

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/geom"
)

const (
	equilibrium = 1e-9 // of the largest load: what may be left over of a sum of forces (moments: with 1 m)
	library     = 1e-8 // against numpy, of the largest force of the case
)

// ordinary is an invented front corner.
func ordinary() Linkage {
	return Linkage{
		Upper:    Arm{geom.Point{X: 0.09, Y: 0.42, Z: 0.61}, geom.Point{X: -0.13, Y: 0.425, Z: 0.595}, geom.Point{X: -0.022, Y: 0.665, Z: 0.62}},
		Lower:    Arm{geom.Point{X: 0.18, Y: 0.34, Z: 0.265}, geom.Point{X: -0.2, Y: 0.345, Z: 0.262}, geom.Point{X: 0.012, Y: 0.735, Z: 0.245}},
		TieInner: geom.Point{X: 0.135, Y: 0.36, Z: 0.3}, TieOuter: geom.Point{X: 0.15, Y: 0.718, Z: 0.288},
		SpringArm: geom.Point{X: 0.02, Y: 0.56, Z: 0.28}, SpringFrame: geom.Point{Y: 0.5, Z: 0.68},
	}
}

func TestAgainstNumpy(t *testing.T) {
	f, err := os.Open("../../testdata/reference/jointloads.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 201)
	for _, text := range rows[1:] {
		at := 0
		next := func() float64 {
			v, err := strconv.ParseFloat(text[at], 64)
			require.NoError(t, err)
			at++
			return v
		}
		point := func() geom.Point { x, y := next(), next(); return geom.Point{X: x, Y: y, Z: next()} }
		arm := func() Arm { a, b := point(), point(); return Arm{a, b, point()} }
		load := func() Load { a, b := point(), point(); return Load{a, b, point()} }
		var l Linkage
		l.Upper, l.Lower = arm(), arm()
		l.TieInner, l.TieOuter, l.SpringArm, l.SpringFrame = point(), point(), point(), point()
		l.OnUpper = next() == 1
		first, second := load(), load()
		got, err := l.Balance(first, second)
		require.NoError(t, err)

		want := Reactions{Upper: point(), Lower: point(), Tension: next(), Spring: next(),
			UpperFront: point(), UpperRear: point(), LowerFront: point(), LowerRear: point()}
		scale := 0.0
		for _, p := range []geom.Point{want.Upper, want.Lower, want.UpperFront, want.LowerFront} {
			scale = math.Max(scale, p.Norm())
		}
		close := func(want, got geom.Point, what string) {
			t.Helper()
			if !(got.Sub(want).Norm() <= library*scale) {
				t.Errorf("%s: got %v, want %v", what, got, want)
			}
		}
		close(want.Upper, got.Upper, "upper ball joint")
		close(want.Lower, got.Lower, "lower ball joint")
		close(want.UpperFront, got.UpperFront, "upper front pivot")
		close(want.UpperRear, got.UpperRear, "upper rear pivot")
		close(want.LowerFront, got.LowerFront, "lower front pivot")
		close(want.LowerRear, got.LowerRear, "lower rear pivot")
		close(geom.Point{X: want.Tension}, geom.Point{X: got.Tension}, "tie rod")
		close(geom.Point{X: want.Spring}, geom.Point{X: got.Spring}, "spring")
	}
}

func anyPoint(t *rapid.T, size float64, what string) geom.Point {
	r := rapid.Float64Range(-size, size)
	return geom.Point{X: r.Draw(t, what+" x"), Y: r.Draw(t, what+" y"), Z: r.Draw(t, what+" z")}
}

func anyCase(t *rapid.T) (Linkage, Load) {
	l := ordinary()
	for _, p := range []*geom.Point{&l.Upper.Front, &l.Upper.Rear, &l.Upper.Ball, &l.Lower.Front, &l.Lower.Rear, &l.Lower.Ball, &l.TieInner, &l.TieOuter, &l.SpringArm, &l.SpringFrame} {
		*p = p.Add(anyPoint(t, 0.04, "point"))
	}
	if rapid.Bool().Draw(t, "on the upper arm") {
		l.OnUpper = true
		l.SpringArm = l.Upper.Front.Add(l.Upper.Rear).Scale(0.2).Add(l.Upper.Ball.Scale(0.6))
		l.SpringFrame = l.SpringArm.Add(geom.Point{Y: -0.05, Z: 0.35})
	}
	return l, Load{At: geom.Point{Y: 0.8}.Add(anyPoint(t, 0.1, "contact")), Force: anyPoint(t, 1.5e4, "force"), Moment: anyPoint(t, 800, "moment")}
}

// The whole corner, seen from outside, must hand its load on to the body: the pivots, the rack and the spring's
// upper end.
func TestEquilibrium(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, load := anyCase(t)
		r, err := l.Balance(load)
		if err != nil {
			t.Fatal(err)
		}
		scale := load.Force.Norm() + load.Moment.Norm() + 1
		if !(r.Residual <= equilibrium*scale && r.ResidualMoment <= equilibrium*scale) {
			t.Fatalf("left over: %g N, %g N·m of %g", r.Residual, r.ResidualMoment, scale)
		}
		f, m := sum(geom.Point{}, []Load{load,
			{At: l.Upper.Front, Force: r.UpperFront}, {At: l.Upper.Rear, Force: r.UpperRear},
			{At: l.Lower.Front, Force: r.LowerFront}, {At: l.Lower.Rear, Force: r.LowerRear},
			{At: l.TieInner, Force: r.Tie}, {At: l.SpringFrame, Force: r.SpringOnArm}})
		if !(f.Norm() <= equilibrium*scale && m.Norm() <= equilibrium*scale) {
			t.Fatalf("from outside: %v N, %v N·m", f, m)
		}
	})
}

// What the model assumes must hold of what it gives: the sprungless arm pushes in its own plane, the tie rod
// along itself.
func TestDirections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, load := anyCase(t)
		r, err := l.Balance(load)
		if err != nil {
			t.Fatal(err)
		}
		arm, force := l.Upper, r.Upper
		if l.OnUpper {
			arm, force = l.Lower, r.Lower
		}
		normal := arm.Front.Sub(arm.Ball).Cross(arm.Rear.Sub(arm.Ball)).Unit()
		if math.Abs(normal.Dot(force)) > equilibrium*(force.Norm()+1) {
			t.Fatalf("out of the arm's plane: %g", normal.Dot(force))
		}
		if l.TieInner.Sub(l.TieOuter).Unit().Cross(r.Tie).Norm() > equilibrium*(r.Tie.Norm()+1) {
			t.Fatal("across the tie rod")
		}
		axis := arm.Front.Sub(arm.Rear).Unit()
		front, rear := r.UpperFront, r.UpperRear
		if l.OnUpper {
			front, rear = r.LowerFront, r.LowerRear
		}
		if d := axis.Dot(front) - axis.Dot(rear); math.Abs(d) > equilibrium*(front.Norm()+1) {
			t.Fatalf("thrust isn't halved: %g", d)
		}
	})
}

// Twice the load, twice the forces; two loads together, the sum of each by itself.
func TestLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, one := anyCase(t)
		two := Load{At: anyPoint(t, 1, "at"), Force: anyPoint(t, 1e4, "force")}
		a, errA := l.Balance(one)
		b, errB := l.Balance(two)
		both, errBoth := l.Balance(one, two)
		if errA != nil || errB != nil || errBoth != nil {
			t.Fatal(errA, errB, errBoth)
		}
		if d := a.Lower.Add(b.Lower).Sub(both.Lower).Norm(); d > 1e-7*(1+a.Lower.Norm()+b.Lower.Norm()) {
			t.Fatalf("lower ball joint: %g", d)
		}
		if d := a.Spring + b.Spring - both.Spring; math.Abs(d) > 1e-7*(1+math.Abs(a.Spring)+math.Abs(b.Spring)) {
			t.Fatalf("spring: %g", d)
		}
	})
}

// By hand: all in one plane, level arms, a vertical load W at a distance e outboard of the balls. The upper arm
// can't carry W; the top leans in, so that the balls take the couple W·e over their distance h, outward at the
// top; the spring, upright at half the lower arm's length, carries twice the load.
func TestPlaneCornerByHand(t *testing.T) {
	l := Linkage{
		Upper:     Arm{geom.Point{X: 0.1, Y: 0.4, Z: 0.6}, geom.Point{X: -0.1, Y: 0.4, Z: 0.6}, geom.Point{Y: 0.7, Z: 0.6}},
		Lower:     Arm{geom.Point{X: 0.1, Y: 0.3, Z: 0.2}, geom.Point{X: -0.1, Y: 0.3, Z: 0.2}, geom.Point{Y: 0.7, Z: 0.2}},
		TieInner:  geom.Point{X: 0.15, Y: 0.3, Z: 0.2},
		TieOuter:  geom.Point{X: 0.15, Y: 0.7, Z: 0.2},
		SpringArm: geom.Point{Y: 0.5, Z: 0.2}, SpringFrame: geom.Point{Y: 0.5, Z: 0.7},
	}
	const load, outboard, height = 5000.0, 0.06, 0.4
	r, err := l.Balance(Load{At: geom.Point{Y: 0.7 + outboard}, Force: geom.Point{Z: load}})
	require.NoError(t, err)
	couple := load * outboard / height
	assert.InDelta(t, couple, r.Upper.Y, 1e-8)
	assert.InDelta(t, 0, r.Upper.Z, 1e-8)
	assert.InDelta(t, -couple, r.Lower.Y, 1e-8)
	assert.InDelta(t, -load, r.Lower.Z, 1e-8)
	assert.InDelta(t, 2*load, r.Spring, 1e-8)
	assert.InDelta(t, 0, r.Tension, 1e-8)
	// A rearward force at the contact turns the wheel outward; ahead of the axis the steering arm swings out
	// with it, and the rod pulls it in: F·e over the arm's 0.15 m.
	r, err = l.Balance(Load{At: geom.Point{Y: 0.7 + outboard}, Force: geom.Point{X: -3000}})
	require.NoError(t, err)
	assert.InDelta(t, 3000*outboard/0.15, r.Tension, 1e-8)
}

func TestCornersThatCannotHold(t *testing.T) {
	load := Load{At: geom.Point{Y: 0.8}, Force: geom.Point{Z: 5000}}
	pointing := ordinary()
	pointing.TieInner = pointing.Lower.Ball // the rod's line meets the steering axis
	_, err := pointing.Balance(load)
	assert.ErrorIs(t, err, ErrLoose)

	flat := ordinary()
	flat.Upper.Ball = flat.Upper.Front.Add(flat.Upper.Rear).Scale(0.5)
	_, err = flat.Balance(load)
	assert.ErrorIs(t, err, ErrLoose)

	same := ordinary()
	same.Upper.Ball = same.Lower.Ball
	_, err = same.Balance(load)
	assert.ErrorIs(t, err, ErrLoose)

	slack := ordinary()
	slack.SpringFrame = slack.Lower.Front
	slack.SpringArm = slack.Lower.Front.Add(slack.Lower.Ball.Sub(slack.Lower.Front).Scale(0.5))
	_, err = slack.Balance(load)
	assert.ErrorIs(t, err, ErrSlack)

	_, err = (&Linkage{}).Balance(load)
	assert.ErrorIs(t, err, ErrLoose)
}

func BenchmarkBalance(b *testing.B) {
	l := ordinary()
	load := Load{At: geom.Point{Y: 0.8}, Force: geom.Point{X: -3000, Y: 1000, Z: 6000}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := l.Balance(load); err != nil {
			b.Fatal(err)
		}
	}
}
