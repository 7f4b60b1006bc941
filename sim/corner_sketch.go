package sim

// Sketch is a front corner in one pose as a drawing needs it: metres, vehicle axes level with the ground,
// z from the ground under the wheel at rest, x and y from below the front axle's middle as measured.
type Sketch struct {
	UpperFront, UpperRear, UpperBall Point
	LowerFront, LowerRear, LowerBall Point
	TieInner, TieOuter               Point
	WheelCentre, Contact, AxisGround Point // AxisGround: where the steering axis meets the ground
	Spin                             Point // direction of the wheel's axis, + left
	Radius, LoadedRadius, Width      float64
	ShoulderRadius                   float64 // rounding of the tread's edge in section
	Caster, Inclination, Camber      float64
	Trail, ScrubRadius               float64

	// What leads back to the vehicle's own axes, in which its points are typed: a drawn place p is
	// Forward·p.X + Up·(p.Z + GroundHeight) there, with p.Y as it is.
	Forward, Up  Point   // level ahead, and the vertical
	GroundHeight float64 // of the ground under the wheel at rest
}

// sketched is what a sketch is made from.
type sketched struct{ Vehicle Vehicle }

func (sketched) Uses() []string     { return steeringFields() }
func (sketched) Optional() []string { return kinematicOptional }

// SketchOf gives the left front corner of a vehicle as set and lifted, for a drawing: with its wheel centre raised
// by bump from rest, as Travel does, and then steered by the rack moved to rack (+ left), as Steer does. The body
// stays where it rests, so that a wheel which rises is seen to rise.
func SketchOf(v Vehicle, bump, rack float64) (Sketch, error) {
	left, _, err := SketchSides(v, bump, rack)
	return left, err
}

// SketchSides gives both front corners so, the right one as if it were a left one: laid over each other they show
// in what the sides differ.
func SketchSides(v Vehicle, bump, rack float64) (left, right Sketch, err error) {
	if err := checkInputs(&sketched{v}); err != nil {
		return left, right, err
	}
	a, err := newAxle(&v)
	if err != nil {
		return left, right, err
	}
	rest := a.atRest()
	posed := rest
	if bump != 0 || rack != 0 {
		posed, err = a.at(bump)
		if err == nil && rack != 0 {
			posed, err = a.steered(&posed, rack)
		}
		if err != nil {
			return left, right, err
		}
	}
	return a.left.sketch(&rest.left, &posed.left, &v.Tyre), a.right.sketch(&rest.right, &posed.right, &v.Tyre), nil
}

// sketch draws up the stance s of a body that stands as it does in rest.
func (k *corner) sketch(rest, s *stance, t *Tyre) Sketch {
	at := func(p Point) Point { return k.standing(rest, p) }
	lowerFront, lowerRear, upperFront, upperRear := k.link.Pivots()
	return Sketch{
		UpperFront: at(upperFront), UpperRear: at(upperRear), UpperBall: at(s.pose.Upper),
		LowerFront: at(lowerFront), LowerRear: at(lowerRear), LowerBall: at(s.pose.Lower),
		TieInner: at(s.pose.TieInner), TieOuter: at(s.pose.TieOuter),
		WheelCentre: at(s.Centre), Contact: at(s.Contact), AxisGround: at(s.AxisGround),
		Spin:   k.level(s.pose.Spin),
		Radius: t.Radius, LoadedRadius: t.LoadedRadius, Width: t.Width, ShoulderRadius: t.ShoulderRadius,
		Caster: s.Caster, Inclination: s.Inclination, Camber: s.Camber,
		Trail: s.Trail, ScrubRadius: s.ScrubRadius,
		Forward: k.ground.Forward, Up: k.ground.Up, GroundHeight: rest.GroundHeight,
	}
}

// level turns a direction or a place from body axes to those level with the ground.
func (k *corner) level(p Point) Point {
	return Point{X: p.Dot(k.ground.Forward), Y: p.Y, Z: p.Dot(k.ground.Up)}
}

// standing gives a place of the body above the ground that the wheel stands on in a stance.
func (k *corner) standing(s *stance, p Point) Point {
	q := k.level(p)
	q.Z -= s.GroundHeight
	return q
}
