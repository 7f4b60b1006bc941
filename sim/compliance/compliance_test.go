package compliance

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"turnplate/sim/geom"
)

const degree = math.Pi / 180

// caster is the change, in degrees, of the line through the moved ball joints on the side plane; pitch that of the knuckle.
func (c *Corner) caster(m Motion) float64 {
	k := c.Upper.Ball.Sub(c.Lower.Ball)
	dk := m.At(c.Upper.Ball, c.Reference).Sub(m.At(c.Lower.Ball, c.Reference))
	return (k.X*dk.Z - dk.X*k.Z) / (k.X*k.X + k.Z*k.Z) / degree
}

func bushes(radial, axial, torsion, tilt float64) Bush { return Bush{radial, axial, torsion, tilt} }

// corner is a worked corner (our own, calculated with numpy from the formulas of the package's comment, before this code was).
func corner() Corner {
	p := func(x, y, z float64) geom.Point { return geom.Point{X: x, Y: y, Z: z} }
	up, low := bushes(6e6, 0.8e6, 40, 300), bushes(12e6, 2e6, 90, 900)
	return Corner{
		Upper:    Arm{p(0.12, 0.45, 0.66), p(-0.20, 0.45, 0.64), p(-0.045, 0.70, 0.69), up, up},
		Lower:    Arm{p(0.20, 0.38, 0.34), p(-0.25, 0.38, 0.33), p(0.01, 0.76, 0.30), low, low},
		TieInner: p(0.15, 0.37, 0.40), TieOuter: p(0.16, 0.72, 0.38), Rod: 30e6,
		Seat: p(0, 0.62, 0.32), Along: p(0, 0, 1), Coil: 120e3,
		Reference: p(0, 0.85, 0.43), Held: true,
	}
}

var ground = geom.Point{Y: 0.85}

// all sets every bush.
func (c *Corner) all(b Bush) {
	c.Upper.FrontBush, c.Upper.RearBush, c.Lower.FrontBush, c.Lower.RearBush = b, b, b, b
}

// A flat arm with both bushes on one line has a closed form: with J = k_r·Σ(x_i − x_c)² + 2·k_c and d the ball's place ahead
// of the bushes' middle, C_xx = 1/(2k_a) + L²/J, C_yy = 1/(2k_r) + d²/J, C_xy = −L·d/J, C_zz by torsion alone.
func TestFlatArmAgainstClosedForm(t *testing.T) {
	const kr, ka, kt, kc, L = 8e6, 1e6, 60.0, 500.0, 0.35
	b := bushes(kr, ka, kt, kc)
	arm := Arm{Front: geom.Point{X: 0.15}, Rear: geom.Point{X: -0.25}, Ball: geom.Point{Y: L}, FrontBush: b, RearBush: b}
	c := Corner{Reference: arm.Ball}
	k := mat.NewSymDense(6, nil)
	c.arm(&arm, lowerTurn, func(r row, stiffness float64) {
		six := [6]float64{r[knuckle], r[knuckle+1], r[knuckle+2], r[lowerTurn], r[lowerTurn+1], r[lowerTurn+2]}
		k.SymRankOne(k, stiffness, mat.NewVecDense(6, six[:]))
	})
	var chol mat.Cholesky
	require.True(t, chol.Factorize(k), "positive definite")
	var inverse mat.SymDense
	require.NoError(t, chol.InverseTo(&inverse))
	j, d := kr*(0.2*0.2+0.2*0.2)+2*kc, 0.05
	for _, v := range []struct{ got, closed, written float64 }{
		{inverse.At(0, 0), 1/(2*ka) + L*L/j, 0.691108e-6},
		{inverse.At(1, 1), 1/(2*kr) + d*d/j, 0.066400e-6},
		{inverse.At(0, 1), -L * d / j, -0.027301e-6},
		{inverse.At(2, 2), L*L/(2*kt) + 1/(2*kr) + d*d/(kr*0.08+2*kc), 1020.9e-6},
		{math.Abs(inverse.At(0, 5)) * 1e3 / degree, L / j * 1e3 / degree, 0.031285},
	} {
		assert.InEpsilon(t, v.closed, v.got, 1e-9)
		assert.InDelta(t, v.written, v.got, 2e-5*math.Abs(v.written))
	}
}

// The worked corner, in mm and degrees; its table gives the knuckle's pitch beside the ball joints' line.
func TestWorkedCorner(t *testing.T) {
	const close = 1.1e-5 // of the table's last place, which is rounded
	kN := func(x, y, z float64) geom.Point { return geom.Point{X: 1e3 * x, Y: 1e3 * y, Z: 1e3 * z} }
	c := corner()
	for name, w := range map[string]struct {
		load                      Load
		x, y, toe, camber, caster float64
	}{
		"brake":         {Load{At: ground, Force: kN(-1, 0, 0)}, -0.2167, -0.0020, 0.004344, -0.004515, -0.187559},
		"drive":         {Load{At: c.Reference, Force: kN(1, 0, 0)}, 0.2912, 0.0129, 0.016930, -0.002712, -0.009921},
		"side":          {Load{At: ground, Force: kN(0, -1, 0)}, -0.0333, -0.0345, -0.024043, 0.021866, 0.008680},
		"30 mm behind":  {Load{At: ground.Sub(geom.Point{X: 0.03}), Force: kN(0, -1, 0)}, -0.0421, -0.0393, -0.028410, 0.022917, 0.010164},
		"aligning +100": {Load{Moment: geom.Point{Z: 100}}, -0.0295, -0.0157, -0.014556, 0.003501, 0.004948},
	} {
		m, err := c.Give(w.load)
		require.NoError(t, err)
		assert.InDelta(t, w.x, m.Move.X*1e3, 5.1e-5, name+" x")
		assert.InDelta(t, w.y, m.Move.Y*1e3, 5.1e-5, name+" y")
		assert.InDelta(t, 0, m.Move.Z, 1e-15, name+" height")
		assert.InDelta(t, w.toe, -m.Turn.Z/degree, close, name+" toe")
		assert.InDelta(t, w.camber, -m.Turn.X/degree, close, name+" camber")
		assert.InDelta(t, w.caster, -m.Turn.Y/degree, close, name+" pitch")
	}
	brake, err := c.Give(Load{At: ground, Force: kN(-1, 0, 0)})
	require.NoError(t, err)
	assert.InDelta(t, -0.186808, c.caster(brake), 1e-6, "the line through the moved ball joints")

	c.Held = false
	free, err := c.Give(Load{At: ground, Force: kN(-1, 0, 0)})
	require.NoError(t, err)
	assert.InDelta(t, -0.187645, -free.Turn.Y/degree, 1e-6)
	free, err = c.Give(Load{At: ground, Force: kN(0, -1, 0)})
	require.NoError(t, err)
	assert.InDelta(t, -5.9357, free.Move.Z*1e3, 1e-4)
	assert.InDelta(t, 0.224521, -free.Turn.X/degree, 1e-5)
}

// The same corner on other bushes: pitch and toe for 1 kN of brake, camber and toe for 1 kN of side force.
func TestWorkedBushSets(t *testing.T) {
	spherical := bushes(80e6, 80e6, 0.1, 0.1)
	harder := func(b *Bush) { *b = bushes(4*b.Radial, 4*b.Axial, 4*b.Torsion, 4*b.Tilt) }
	for name, s := range map[string]struct {
		change                                func(c *Corner)
		caster, brakeToe, sideCamber, sideToe float64
	}{
		"upper spherical": {func(c *Corner) { c.Upper.FrontBush, c.Upper.RearBush = spherical, spherical }, -0.097067, -0.001041, 0.015535, -0.027401},
		"four times as hard": {func(c *Corner) {
			for _, b := range []*Bush{&c.Upper.FrontBush, &c.Upper.RearBush, &c.Lower.FrontBush, &c.Lower.RearBush} {
				harder(b)
			}
		}, -0.046512, -0.001363, 0.005828, -0.008726},
		"all spherical": {func(c *Corner) { c.all(spherical) }, -0.008176, -0.002755, 0.003173, -0.006953},
	} {
		c := corner()
		s.change(&c)
		brake, err := c.Give(Load{At: ground, Force: geom.Point{X: -1e3}})
		require.NoError(t, err)
		side, err := c.Give(Load{At: ground, Force: geom.Point{Y: -1e3}})
		require.NoError(t, err)
		assert.InDelta(t, s.caster, -brake.Turn.Y/degree, 1e-6, name)
		assert.InDelta(t, s.brakeToe, -brake.Turn.Z/degree, 1e-6, name)
		assert.InDelta(t, s.sideCamber, -side.Turn.X/degree, 1e-6, name)
		assert.InDelta(t, s.sideToe, -side.Turn.Z/degree, 1e-6, name)
	}
}

// What a force in one direction does in another, that one's does in the first (Maxwell and Betti).
func TestReciprocity(t *testing.T) {
	c := corner()
	r, err := c.Respond()
	require.NoError(t, err)
	x := r.To(Load{At: ground, Force: geom.Point{X: 1e3}}).At(ground, c.Reference)
	y := r.To(Load{At: ground, Force: geom.Point{Y: 1e3}}).At(ground, c.Reference)
	assert.InDelta(t, y.X, x.Y, 1e-15)
	assert.InDelta(t, -0.0318560e-3, x.Y, 1e-10)
	rng := rand.New(rand.NewPCG(14, 1))
	vector := func() geom.Point { return geom.Point{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()} }
	for range 50 {
		a, b := Load{vector(), vector().Scale(1e3), vector()}, Load{vector(), vector().Scale(1e3), vector()}
		work := func(of Load, m Motion) float64 { return of.Force.Dot(m.At(of.At, c.Reference)) + of.Moment.Dot(m.Turn) }
		ab, ba := work(a, r.To(b)), work(b, r.To(a))
		assert.InDelta(t, ab, ba, 1e-9*(math.Abs(ab)+1))
		assert.Positive(t, work(a, r.To(a)), "a load does work")
		// Linearity.
		both, one, two := r.To(a, b), r.To(a), r.To(b)
		assert.InDelta(t, 0, both.Move.Sub(one.Move).Sub(two.Move).Norm(), 1e-12)
		assert.InDelta(t, 0, both.Turn.Sub(one.Turn).Sub(two.Turn).Norm(), 1e-12)
	}
}

// Nothing gives in the rigid limit, whether hard or rigid; and a rigid part is the limit of a hard one.
func TestRigidLimit(t *testing.T) {
	load := Load{At: ground, Force: geom.Point{X: -1e3, Y: 1e3}, Moment: geom.Point{Z: 100}}
	c := corner()
	c.all(bushes(1e13, 1e13, 0, 0))
	c.Rod = 1e13
	m, err := c.Give(load)
	require.NoError(t, err)
	assert.Less(t, m.Turn.Norm()/degree, 1e-7)
	rigid := bushes(math.Inf(1), math.Inf(1), 0, 0)
	c.all(rigid)
	c.Rod = math.Inf(1)
	m, err = c.Give(load)
	require.NoError(t, err)
	assert.Equal(t, Motion{}, m)

	hard, stiff := corner(), corner()
	hard.Lower.FrontBush, hard.Rod = bushes(1e12, 1e12, 90, 900), 1e12
	stiff.Lower.FrontBush, stiff.Rod = bushes(math.Inf(1), math.Inf(1), 90, 900), math.Inf(1)
	nearly, err := hard.Give(load)
	require.NoError(t, err)
	exactly, err := stiff.Give(load)
	require.NoError(t, err)
	assert.InDelta(t, 0, nearly.Turn.Sub(exactly.Turn).Norm(), 1e-5*exactly.Turn.Norm())
}

// A corner that nothing holds is an error.
func TestLoose(t *testing.T) {
	c := corner()
	c.Rod, c.Coil = 0, 0
	c.all(bushes(80e6, 80e6, 0, 0))
	_, err := c.Give(Load{Moment: geom.Point{Z: 1}})
	assert.ErrorIs(t, err, ErrLoose)
}

// With all bodies cut free a general solver says the same (compliance.py).
func TestAgainstFreeBodies(t *testing.T) {
	const (
		move = 1e-9  // m
		turn = 1e-10 // rad
	)
	type vector [3]float64
	type arm struct {
		Front, Rear, Ball vector
		FrontBush         [4]*float64 `json:"front bush"`
		RearBush          [4]*float64 `json:"rear bush"`
	}
	var rows []struct {
		Upper, Lower                  arm
		TieInner                      vector `json:"tie inner"`
		TieOuter                      vector `json:"tie outer"`
		Rod                           *float64
		Coil                          float64
		OnUpper                       bool `json:"coil on upper"`
		Seat, Along, Reference        vector
		Held                          bool
		At, Force, Moment, Move, Turn vector
	}
	text, err := os.ReadFile("../../testdata/reference/compliance.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &rows))
	require.Len(t, rows, 60)
	p := func(v vector) geom.Point { return geom.Point{X: v[0], Y: v[1], Z: v[2]} }
	orRigid := func(x *float64) float64 {
		if x == nil {
			return math.Inf(1)
		}
		return *x
	}
	bush := func(b [4]*float64) Bush { return Bush{orRigid(b[0]), orRigid(b[1]), *b[2], *b[3]} }
	arms := func(a arm) Arm { return Arm{p(a.Front), p(a.Rear), p(a.Ball), bush(a.FrontBush), bush(a.RearBush)} }
	for n, r := range rows {
		c := Corner{
			Upper: arms(r.Upper), Lower: arms(r.Lower), TieInner: p(r.TieInner), TieOuter: p(r.TieOuter), Rod: orRigid(r.Rod),
			Seat: p(r.Seat), Along: p(r.Along), Coil: r.Coil, CoilOnUpper: r.OnUpper, Reference: p(r.Reference), Held: r.Held,
		}
		m, err := c.Give(Load{p(r.At), p(r.Force), p(r.Moment)})
		require.NoError(t, err, "row %d", n)
		assert.InDelta(t, 0, m.Move.Sub(p(r.Move)).Norm(), move, "row %d", n)
		assert.InDelta(t, 0, m.Turn.Sub(p(r.Turn)).Norm(), turn, "row %d", n)
	}
}

func BenchmarkRespond(b *testing.B) {
	c := corner()
	for b.Loop() {
		if _, err := c.Respond(); err != nil {
			b.Fatal(err)
		}
	}
}

// At gives the movement of the knuckle's place x, of a corner with that reference.
func (m Motion) At(x, reference geom.Point) geom.Point {
	return m.Move.Add(m.Turn.Cross(x.Sub(reference)))
}

// Give gives the knuckle's movement under loads.
func (c *Corner) Give(loads ...Load) (Motion, error) {
	r, err := c.Respond()
	if err != nil {
		return Motion{}, err
	}
	return r.To(loads...), nil
}
