package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"turnplate/sim/unit"
)

// givingTruck is a truck with the worked corner of package compliance: our own numbers, worked out with numpy beforehand.
func givingTruck() Vehicle {
	v := loadedTruck()
	v.Right = nil
	v.Front = Corner{
		UpperFront: mm(120, 450, 660), UpperRear: mm(-200, 450, 640), UpperBall: mm(-45, 700, 690),
		LowerFront: mm(200, 380, 340), LowerRear: mm(-250, 380, 330), LowerBall: mm(10, 760, 300),
		TieInner: mm(150, 370, 400), TieOuter: mm(160, 720, 380), WheelCentre: mm(0, 850, 430),
		UpperBush:      Bush{Radial: 6e6, Axial: 0.8e6, Torsion: 40, Tilt: 300},
		LowerFrontBush: Bush{Radial: 12e6, Axial: 2e6, Torsion: 90, Tilt: 900},
		LowerRearBush:  Bush{Radial: 12e6, Axial: 2e6, Torsion: 90, Tilt: 900},
	}
	v.RearLift = 0
	v.Tyre.LoadedRadius, v.Tyre.OffsetChange = 0.43, 0
	v.Steering.RodStiffness = 30e6
	v.Spring = Spring{Rate: 120e3, LowerPoint: mm(0, 620, 320), UpperPoint: mm(0, 620, 900), On: "lower"}
	return v
}

// The model gives the worked corner's table (degrees and mm for 1 kN), with Caster the line through the moved ball joints.
func TestComplianceWorkedCorner(t *testing.T) {
	const close, closeMM = 1.1e-6, 5.1e-5
	r, err := Compliance{Vehicle: givingTruck()}.Run()
	require.NoError(t, err)
	perDegree, perMM := 1e3/deg, 1e6
	for _, c := range []struct {
		what      string
		want, got float64
		within    float64
	}{
		{"caster, brake", -0.186808, r.CasterPerBrake * perDegree, close},
		{"toe, brake", 0.004344, r.ToePerBrake * perDegree, close},
		{"camber, brake", -0.004515, r.CamberPerBrake * perDegree, close},
		{"x, brake", -0.2167, r.WheelXPerBrake * perMM, closeMM},
		{"y, brake", -0.0020, r.WheelYPerBrake * perMM, closeMM},
		{"toe, drive", 0.016930, r.ToePerDrive * perDegree, close},
		{"camber, drive", -0.002712, r.CamberPerDrive * perDegree, close},
		{"x, drive", 0.2912, r.WheelXPerDrive * perMM, closeMM},
		{"toe, side", 0.024043, r.ToePerSide * perDegree, close}, // + left, the table's is to the right
		{"camber, side", -0.021866, r.CamberPerSide * perDegree, close},
		{"y, side", 0.0345, r.WheelYPerSide * perMM, closeMM},
		{"toe, aligning", -0.14556, r.ToePerAligning * perDegree, 1.1e-5},
		{"camber, aligning", 0.03501, r.CamberPerAligning * perDegree, 1.1e-5},
		{"y, aligning", -0.157, r.WheelYPerAligning * perMM, 5.1e-4},
	} {
		assert.InDelta(t, c.want, c.got, c.within, c.what)
	}
}

// Linear in the forces; the right wheel mirrors the left; nothing gives where nothing can.
func TestComplianceProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := givingTruck()
		brake, side := anywhere(t, "brake", -5e3, 5e3), anywhere(t, "side", -5e3, 5e3)
		drive, aligning := anywhere(t, "drive", -5e3, 5e3), anywhere(t, "aligning", -200, 200)
		r, err := Compliance{Vehicle: v, Brake: &brake, Side: &side, Drive: drive, Aligning: aligning}.Run()
		require.NoError(t, err)
		want := brake*r.CasterPerBrake + side*r.CasterPerSide + drive*r.CasterPerDrive + aligning*r.CasterPerAligning
		assert.InDelta(t, want, r.Caster, 1e-12)
		assert.InDelta(t, brake*r.WheelYPerBrake+side*r.WheelYPerSide+drive*r.WheelYPerDrive+aligning*r.WheelYPerAligning, r.WheelY, 1e-12)

		// A mirrored load on the mirrored corner.
		otherSide := -side
		m, err := Compliance{Vehicle: v, Brake: &brake, Side: &otherSide, Drive: drive, Aligning: -aligning}.Run()
		require.NoError(t, err)
		for _, c := range [][2]float64{{r.Caster, m.Right.Caster}, {r.Camber, m.Right.Camber}, {r.Toe, m.Right.Toe}, {r.WheelX, m.Right.WheelX}, {r.WheelY, -m.Right.WheelY}} {
			assert.InDelta(t, c[0], c[1], 1e-12)
		}
		own := v
		corner := v.Front
		own.Right = &corner
		o, err := Compliance{Vehicle: own, Brake: &brake, Side: &side, Drive: drive, Aligning: aligning}.Run()
		require.NoError(t, err)
		assert.InDelta(t, r.Right.Toe, o.Right.Toe, 1e-12, "a right corner described by itself")

		for _, b := range []*Bush{&v.Front.UpperBush, &v.Front.LowerFrontBush, &v.Front.LowerRearBush} {
			*b = Bush{}
		}
		v.Steering.RodStiffness = 0
		rigid, err := Compliance{Vehicle: v, Brake: &brake, Side: &side, Drive: drive}.Run()
		require.NoError(t, err)
		assert.Zero(t, rigid.Given)
	})
}

// Deceleration and LateralAcceleration stand for the forces they make: half of the front's brake force a wheel, and the
// front axle's side force by load, to the last newton.
func TestComplianceFromAccelerations(t *testing.T) {
	v := givingTruck()
	g := unit.StandardGravity
	half, turn := g/2, 0.4*g
	r, err := Compliance{Vehicle: v, Deceleration: &half, LateralAcceleration: &turn}.Run()
	require.NoError(t, err)
	w := newWeight(&v)
	assert.InDelta(t, v.FrontBrakeShare*w.mass*half/2, r.BrakeForce, 1e-9)
	assert.Equal(t, r.BrakeForce, r.Right.BrakeForce)
	assert.InDelta(t, w.frontMass*turn, r.SideForce+r.Right.SideForce, 1e-9)
	assert.Greater(t, r.Right.SideForce, r.SideForce, "the outer wheel carries more")
	assert.Negative(t, r.Caster, "braking takes caster")
	direct, err := Compliance{Vehicle: v, Brake: &r.BrakeForce, Side: &r.SideForce}.Run()
	require.NoError(t, err)
	assert.InDelta(t, direct.Caster, r.Caster, 1e-15)
}

func TestComplianceRefusals(t *testing.T) {
	for says, c := range map[string]func(*Compliance){
		"give either Brake or Deceleration":                   func(m *Compliance) { m.Brake, m.Deceleration = ptr(1), ptr(1) },
		"give either Side or LateralAcceleration":             func(m *Compliance) { m.Side, m.LateralAcceleration = ptr(1), ptr(1) },
		"Spring.Rate isn't given":                             func(m *Compliance) { m.Vehicle.Spring.Rate = 0 },
		"Spring.LowerPoint isn't given":                       func(m *Compliance) { m.Vehicle.Spring.LowerPoint = Point{} },
		"Mass isn't given":                                    func(m *Compliance) { m.Deceleration, m.Vehicle.Mass = ptr(1), 0 },
		"Front.UpperBush.Radial of -1 N/mm must not be below": func(m *Compliance) { m.Vehicle.Front.UpperBush.Radial = -1e3 },
		"Deceleration of -0.10197 g must lie from 0":          func(m *Compliance) { m.Deceleration = ptr(-1) },
	} {
		m := Compliance{Vehicle: givingTruck()}
		c(&m)
		_, err := m.Run()
		if assert.Error(t, err, says) {
			assert.Contains(t, spaces(err.Error()), says)
		}
	}
	m := Compliance{Vehicle: givingTruck(), Brake: ptr(1000)}
	m.Vehicle.Mass, m.Vehicle.CentreHeight = 0, 0
	_, err := m.Run()
	assert.NoError(t, err, "forces need no masses")
}

// softTruck is a rolling truck on assumed rubber and a springy rack mount.
func softTruck() Vehicle {
	v := plainTruck()
	v.Front.UpperBush = Bush{Radial: 5e6, Axial: 0.8e6, Torsion: 50, Tilt: 400}
	v.Front.LowerFrontBush = Bush{Radial: 10e6, Axial: 1.5e6, Torsion: 80, Tilt: 800}
	v.Front.LowerRearBush = v.Front.LowerFrontBush
	v.Steering.RodStiffness = 8e6
	loaded := loadedTruck()
	v.Spring.Rate, v.Spring.LowerPoint, v.Spring.UpperPoint = loaded.Spring.Rate, loaded.Spring.LowerPoint, loaded.Spring.UpperPoint
	return v
}

// Where nothing gives, asking for it changes nothing.
func TestCompliantRigidTruck(t *testing.T) {
	v := softTruck()
	v.Front.UpperBush, v.Front.LowerFrontBush, v.Front.LowerRearBush, v.Steering.RodStiffness = Bush{}, Bush{}, Bush{}, 0
	turn := 2.0
	rigid, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &turn}.Run()
	require.NoError(t, err)
	gives, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &turn, Compliant: true}.Run()
	require.NoError(t, err)
	assert.InDelta(t, rigid.Total, gives.Total, 1e-9)
	assert.InDelta(t, rigid.Gradient, gives.Gradient, 1e-9)
	straight, err := Pull{Vehicle: v, Speed: 15, RoadCrown: 0.02, Compliant: true}.Run()
	require.NoError(t, err)
	held, err := Pull{Vehicle: v, Speed: 15, RoadCrown: 0.02}.Run()
	require.NoError(t, err)
	assert.InDelta(t, held.HandwheelTorque, straight.HandwheelTorque, 1e-9)
}

// In a soft turn the steering turns further by what Compliance says that side force and aligning moment toe the wheels
// out: two ways to the same angle.
func TestCompliantTurnsFurtherByTheToeThatIsGiven(t *testing.T) {
	v := softTruck()
	turn := 0.3
	for _, speed := range []float64{10, 25} {
		rigid, err := ReturnTorque{Vehicle: v, Speed: speed, LateralAcceleration: &turn}.Run()
		require.NoError(t, err)
		gives, err := ReturnTorque{Vehicle: v, Speed: speed, LateralAcceleration: &turn, Compliant: true}.Run()
		require.NoError(t, err)
		per, err := Compliance{Vehicle: v}.Run()
		require.NoError(t, err)
		r, err := newRolling(&v, speed)
		require.NoError(t, err)
		_, _, p, err := r.steerFor(turn, turn/speed)
		require.NoError(t, err)
		left := -(p.left.lateral*per.ToePerSide + p.left.aligning*per.ToePerAligning)
		right := p.right.lateral*per.Right.ToePerSide + p.right.aligning*per.Right.ToePerAligning
		assert.InEpsilon(t, -(left+right)/2, gives.Angle-rigid.Angle, 0.02, "second order apart")
		assert.Greater(t, gives.Angle, rigid.Angle, "rubber and rack mount understeer here")
		assert.Less(t, gives.Gradient, rigid.Gradient, "and so it returns less for each degree")
	}
}

// With a mirrored load and a mirrored road the other way round is the mirror image.
func TestCompliantMirrors(t *testing.T) {
	v := softTruck()
	left, right := 2.0, -2.0
	a, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &left, DriveForce: 1000, Compliant: true}.Run()
	require.NoError(t, err)
	b, err := ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &right, DriveForce: 1000, Compliant: true}.Run()
	require.NoError(t, err)
	assert.InDelta(t, a.Total, b.Total, 1e-6)
	assert.InDelta(t, a.Angle, -b.Angle, 1e-9)
	p, err := Pull{Vehicle: v, Speed: 15, RoadCrown: 0.02, Compliant: true}.Run()
	require.NoError(t, err)
	q, err := Pull{Vehicle: v, Speed: 15, RoadCrown: -0.02, Compliant: true}.Run()
	require.NoError(t, err)
	assert.InDelta(t, p.HandwheelTorque, -q.HandwheelTorque, 1e-6)
	v.Spring.Rate = 0
	_, err = ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &left, Compliant: true}.Run()
	assert.Equal(t, NotGiven{"Spring.Rate"}, err)
	_, err = ReturnTorque{Vehicle: v, Speed: 15, LateralAcceleration: &left}.Run()
	assert.NoError(t, err, "a coil is asked for only where something gives")
}

func BenchmarkCompliantReturn(b *testing.B) {
	turn := 2.0
	m := ReturnTorque{Vehicle: softTruck(), Speed: 15, LateralAcceleration: &turn, Compliant: true}
	for b.Loop() {
		r, err := m.Run()
		if err != nil {
			b.Fatal(err)
		}
		benchKeep += r.Total
	}
}
