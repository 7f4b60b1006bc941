package wishbone

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"

	"turnplate/sim/geom"
)

// Poses over a grid of 100 wheel heights, or lower-arm angles, by 100 rack positions, each with all angles: in
// closed form, and side by side by the general way (see newton).
func BenchmarkPose(b *testing.B) {
	l, err := New(plain(), Settings{})
	if err != nil {
		b.Fatal(err)
	}
	n := newNewton(plain())
	wheel := Wheel{LoadedRadius: wheelRadius}
	b.Run("angle/closed", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			p, err := l.At(anglePlace(i))
			if err != nil {
				b.Fatal(err)
			}
			keep += p.Angles(wheel, Level).Camber
		}
	})
	b.Run("height/closed", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			p, err := l.AtHeight(heightPlace(i))
			if err != nil {
				b.Fatal(err)
			}
			keep += p.Angles(wheel, Level).Camber
		}
	})
	b.Run("angle/newton", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			t, rack := anglePlace(i)
			p := n.pose(rack, n.angle(&l.lower, t))
			keep += p.Angles(wheel, Level).Camber
		}
	})
	b.Run("height/newton", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			z, rack := heightPlace(i)
			p := n.pose(rack, n.height(z))
			keep += p.Angles(wheel, Level).Camber
		}
	})
	for i := range 10000 {
		t, rack := anglePlace(i)
		p, _ := l.At(t, rack)
		near(b, p.Centre, n.pose(rack, n.angle(&l.lower, t)).Centre, 1e-9, "both ways by angle")
		z, rack := heightPlace(i)
		p, _ = l.AtHeight(z, rack)
		near(b, p.Centre, n.pose(rack, n.height(z)).Centre, 1e-9, "both ways by height")
	}
}

// BenchmarkSet is building a linkage anew for other settings of its adjusters.
func BenchmarkSet(b *testing.B) {
	m, err := Measure(plain())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		l, err := m.Set(Settings{LowerFront: 0.003, LowerRear: -0.002, TieRod: 0.001})
		if err != nil {
			b.Fatal(err)
		}
		keep += l.rod
	}
}

// BenchmarkSweep10000 is a 10 000-point sweep over travel and rack, with all angles.
func BenchmarkSweep10000(b *testing.B) {
	l, err := New(plain(), Settings{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		for i := range 10000 {
			z, rack := heightPlace(i)
			p, err := l.AtHeight(z, rack)
			if err != nil {
				b.Fatal(err)
			}
			a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
			keep += a.Camber
		}
	}
}

var keep float64

// places are the grid: the lower arm's angle or the wheel's height, and the rack.
var places = func() (all [10000]struct{ angle, height, rack float64 }) {
	for i := range all {
		p := &all[i]
		p.angle, p.rack = -0.2+0.4*float64(i%100)/99, -0.06+0.12*float64(i/100)/99
		p.height = wheelRadius + 0.4*p.angle
	}
	return all
}()

func heightPlace(i int) (z, rack float64) {
	p := &places[i%len(places)]
	return p.height, p.rack
}

func anglePlace(i int) (t, rack float64) {
	p := &places[i%len(places)]
	return p.angle, p.rack
}

// newton is the general way to pose a corner: Newton's method on the knuckle's six unknowns, with five
// link-length equations and one more, and a finite-difference Jacobian by gonum, from the measured position.
type newton struct {
	h       Hardpoints
	lengths [5]float64
	jac     *mat.Dense
	x       []float64
}

func newNewton(h Hardpoints) *newton {
	n := &newton{h: h, jac: mat.NewDense(6, 6, nil), x: make([]float64, 6)}
	for i, l := range n.links(h.TieInner) {
		n.lengths[i] = l[0].Sub(l[1]).Norm()
	}
	return n
}

func (n *newton) links(inner geom.Point) [5][2]geom.Point {
	h := &n.h
	return [5][2]geom.Point{{h.LowerBall, h.LowerFront}, {h.LowerBall, h.LowerRear}, {h.UpperBall, h.UpperFront}, {h.UpperBall, h.UpperRear}, {h.TieOuter, inner}}
}

// place moves a measured place with the knuckle: translation, then rotation vector about the lower ball.
func (n *newton) place(q []float64, p geom.Point) geom.Point {
	w := geom.Point{X: q[3], Y: q[4], Z: q[5]}
	v := p.Sub(n.h.LowerBall)
	if angle := w.Norm(); angle > 0 {
		k := w.Scale(1 / angle)
		sin, cos := math.Sincos(angle)
		v = v.Scale(cos).Add(k.Cross(v).Scale(sin)).Add(k.Scale(k.Dot(v) * (1 - cos)))
	}
	return n.h.LowerBall.Add(geom.Point{X: q[0], Y: q[1], Z: q[2]}).Add(v)
}

// height drives the corner by its wheel centre's height.
func (n *newton) height(z float64) func(q []float64) float64 {
	return func(q []float64) float64 { return n.place(q, n.h.WheelCentre).Z - z }
}

// angle drives it by the lower arm's angle: the lower ball stands where the arm at that angle points.
func (n *newton) angle(lower *arm, t float64) func(q []float64) float64 {
	sin, cos := math.Sincos(t)
	square := turned(lower, -sin, cos)
	return func(q []float64) float64 { return n.place(q, n.h.LowerBall).Sub(lower.centre).Dot(square) }
}

func (n *newton) pose(rack float64, drive func(q []float64) float64) Pose {
	q := n.solve(rack, drive)
	p := Pose{Lower: n.place(q, n.h.LowerBall), Upper: n.place(q, n.h.UpperBall), Centre: n.place(q, n.h.WheelCentre)}
	p.Axis = p.Upper.Sub(p.Lower).Unit()
	p.Spin = n.place(q, n.h.Spin).Sub(n.place(q, geom.Point{}))
	return p
}

func (n *newton) solve(rack float64, drive func(q []float64) float64) []float64 {
	inner := n.h.TieInner
	inner.Y += rack
	links := n.links(inner)
	miss := func(y, q []float64) {
		for i, l := range links {
			y[i] = n.place(q, l[0]).Sub(l[1]).Norm() - n.lengths[i]
		}
		y[5] = drive(q)
	}
	for i := range n.x {
		n.x[i] = 0
	}
	y := make([]float64, 6)
	dx := mat.NewVecDense(6, nil)
	for range 20 {
		miss(y, n.x)
		worst := 0.0
		for _, v := range y {
			worst = math.Max(worst, math.Abs(v))
		}
		if worst <= 1e-12 {
			break
		}
		fd.Jacobian(n.jac, miss, n.x, &fd.JacobianSettings{Formula: fd.Forward, OriginValue: y})
		if dx.SolveVec(n.jac, mat.NewVecDense(6, y)) != nil {
			break
		}
		for i := range n.x {
			n.x[i] -= dx.AtVec(i)
		}
	}
	return n.x
}
