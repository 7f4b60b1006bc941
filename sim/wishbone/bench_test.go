package wishbone

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"

	"turnplate/sim/geom"
)

// BenchmarkPose is one full pose from wheel height and rack, with all angles.
func BenchmarkPose(b *testing.B) {
	l, err := New(plain(), Settings{})
	if err != nil {
		b.Fatal(err)
	}
	var sum float64
	i := 0
	for b.Loop() {
		z, rack := sweepPlace(i)
		i++
		p, err := l.AtHeight(z, rack)
		if err != nil {
			b.Fatal(err)
		}
		a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
		sum += a.Camber
	}
	keep = sum
}

// BenchmarkPoseByAngle is the same from the lower arm's angle, without the search for the height.
func BenchmarkPoseByAngle(b *testing.B) {
	l, err := New(plain(), Settings{})
	if err != nil {
		b.Fatal(err)
	}
	var sum float64
	i := 0
	for b.Loop() {
		p, err := l.At(0.1*math.Sin(float64(i)), 0.05*math.Cos(float64(i)))
		i++
		if err != nil {
			b.Fatal(err)
		}
		a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
		sum += a.Camber
	}
	keep = sum
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
			z, rack := sweepPlace(i)
			p, err := l.AtHeight(z, rack)
			if err != nil {
				b.Fatal(err)
			}
			a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
			keep += a.Camber
		}
	}
}

// BenchmarkPoseByNewton is the same full pose by the general way: Newton on the knuckle's six unknowns with
// the six link-length equations and a finite-difference Jacobian, with gonum, from the measured position.
func BenchmarkPoseByNewton(b *testing.B) {
	n := newNewton(plain())
	l, _ := New(plain(), Settings{})
	var sum float64
	i := 0
	for b.Loop() {
		z, rack := sweepPlace(i)
		i++
		q := n.solve(z, rack)
		p := Pose{Lower: n.place(q, n.h.LowerBall), Upper: n.place(q, n.h.UpperBall), Centre: n.place(q, n.h.WheelCentre)}
		p.Axis = p.Upper.Sub(p.Lower).Unit()
		p.Spin = n.place(q, n.h.Spin).Sub(n.place(q, geom.Point{}))
		a := p.Angles(Wheel{LoadedRadius: wheelRadius}, Level)
		sum += a.Camber
	}
	keep = sum
	z, rack := sweepPlace(77)
	p, _ := l.AtHeight(z, rack)
	near(b, p.Centre, n.place(n.solve(z, rack), n.h.WheelCentre), 1e-9, "both ways")
}

var keep float64

// sweepPlace goes over a grid of 100 heights and 100 rack positions.
func sweepPlace(i int) (z, rack float64) {
	return wheelRadius - 0.08 + 0.16*float64(i%100)/99, -0.06 + 0.12*float64(i/100%100)/99
}

// newton is the general-purpose way to pose a corner, as a comparison.
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

func (n *newton) solve(z, rack float64) []float64 {
	inner := n.h.TieInner
	inner.Y += rack
	links := n.links(inner)
	miss := func(y, q []float64) {
		for i, l := range links {
			y[i] = n.place(q, l[0]).Sub(l[1]).Norm() - n.lengths[i]
		}
		y[5] = n.place(q, n.h.WheelCentre).Z - z
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
