package wishbone

import "turnplate/sim/geom"

// Twist is the velocity of a rigid body, per unit of whatever drives it: it turns at Turn (a vector, right-
// handed, radians) while the place About moves at Move.
type Twist struct {
	About, Move, Turn geom.Point
}

// At gives the velocity of the body's place x.
func (t Twist) At(x geom.Point) geom.Point { return t.Move.Add(t.Turn.Cross(x.Sub(t.About))) }

// Add joins two motions of one body; both must be About the same place.
func (t Twist) Add(u Twist, times float64) Twist {
	return Twist{t.About, t.Move.Add(u.Move.Scale(times)), t.Turn.Add(u.Turn.Scale(times))}
}

// Scale gives the motion at another rate.
func (t Twist) Scale(k float64) Twist { return Twist{t.About, t.Move.Scale(k), t.Turn.Scale(k)} }

// Travel is the knuckle's motion per metre of wheel-centre rise, with the rack held. ok is false where the
// wheel centre doesn't rise as the arm swings.
func (l *Linkage) Travel(p *Pose) (_ Twist, ok bool) {
	t := l.Swing(p)
	rise := t.At(p.Centre).Z
	return t.Scale(1 / rise), rise > 0
}

// LowerArm is the lower arm's own motion per metre of wheel-centre rise, with the rack held.
func (l *Linkage) LowerArm(p *Pose) Twist {
	return Twist{About: l.lower.centre, Turn: l.lower.axis.Scale(l.armRate(p))}
}

// UpperArm is the upper arm's own motion per metre of wheel-centre rise, with the rack held.
func (l *Linkage) UpperArm(p *Pose) Twist {
	between := p.Upper.Sub(p.Lower)
	swing := between.Dot(p.lowerTangent) / between.Dot(p.upperTangent)
	return Twist{About: l.upper.centre, Turn: l.upper.axis.Scale(swing * l.armRate(p))}
}

// armRate is the lower arm's turning in rad per metre of wheel-centre rise.
func (l *Linkage) armRate(p *Pose) float64 { return 1 / l.rise(p) }

// rise is the wheel centre's rise in m per radian of the lower arm, with the rack held: Swing(p).At(p.Centre).Z,
// without what it doesn't need, because a search for a height asks for it at every step.
func (l *Linkage) rise(p *Pose) float64 {
	k, n, rod, lower := p.Axis, p.knuckle.n, p.TieOuter.Sub(p.TieInner), p.lowerTangent
	swing := k.Dot(lower) / k.Dot(p.upperTangent)
	turn := k.Cross(p.upperTangent.Scale(swing).Sub(lower)).Scale(1 / l.axisLength)
	about := -rod.Dot(lower.Add(turn.Cross(p.TieOuter.Sub(p.Lower)))) / (rod.Dot(n) * l.tieArm)
	c := p.Centre.Sub(p.Lower)
	return lower.Z + (turn.X+about*k.X)*c.Y - (turn.Y+about*k.Y)*c.X
}

// Swing is the knuckle's motion per radian of the lower arm, with the rack held.
func (l *Linkage) Swing(p *Pose) Twist { return l.follow(p, p.lowerTangent, geom.Point{}, 0) }

// follow gives the knuckle's motion when the lower ball joint moves at lower, the upper ball joint would move
// at upper were its arm not to swing, and the outer tie-rod joint draws away from the inner one at rate tie.
func (l *Linkage) follow(p *Pose, lower, upper geom.Point, tie float64) Twist {
	// The upper arm swings so that the balls keep their distance.
	between := p.Upper.Sub(p.Lower)
	swing := between.Dot(lower.Sub(upper)) / between.Dot(p.upperTangent)
	upper = upper.Add(p.upperTangent.Scale(swing))
	turn := p.Axis.Cross(upper.Sub(lower)).Scale(1 / l.axisLength)
	// The knuckle turns about the axis so that the tie rod keeps its length (or changes it at the rate asked).
	rod, arm := p.TieOuter.Sub(p.TieInner), p.TieOuter.Sub(p.Lower)
	grip := rod.Dot(p.Axis.Cross(arm))
	about := (l.rod*tie - rod.Dot(lower.Add(turn.Cross(arm)))) / grip
	return Twist{p.Lower, lower, turn.Add(p.Axis.Scale(about))}
}

// Steering is the knuckle's motion per radian about the steering axis, + left, with the arms held.
func (p *Pose) Steering() Twist { return Twist{p.Lower, geom.Point{}, p.Axis} }

// SteerRate is the knuckle's turning about the steering axis (+ left) per metre of rack movement in +y, with
// the arms held, in rad/m. It is negative for a rack behind the axle.
func (p *Pose) SteerRate() float64 { return steerRate(p.TieInner, p.TieOuter, p.Lower, p.Axis) }

// SteerRate is the same where the corner was measured.
func (m *Measured) SteerRate() float64 {
	return steerRate(m.at.TieInner, m.at.TieOuter, m.at.LowerBall, m.frame.k)
}

// steerRate: the rod's ends must move alike along it, so rod·ŷ·ds = rod·(k × arm)·dδ.
func steerRate(inner, outer, lower, axis geom.Point) float64 {
	rod := outer.Sub(inner)
	return rod.Y / rod.Dot(axis.Cross(outer.Sub(lower)))
}

// Response is the knuckle's motion when the adjusters move at the rates s, with the rack and the wheel
// centre's height held: the exact derivative of AtHeight with respect to the settings. swing is the pose's Swing, which
// all settings share.
func (l *Linkage) Response(p *Pose, swing Twist, s Settings) Twist {
	across := geom.Point{Y: 1}
	var lower, upper geom.Point
	if s.LowerFront != 0 || s.LowerRear != 0 {
		lower = ballRate(p.Lower, l.lower.front, l.lower.rear, across.Scale(s.LowerFront), across.Scale(s.LowerRear), 0, 0)
	}
	if s.UpperShift != 0 || s.UpperFrontLeg != 0 || s.UpperRearLeg != 0 {
		shift := rearward(l.upper.front, l.upper.rear).Scale(s.UpperShift)
		upper = ballRate(p.Upper, l.upper.front, l.upper.rear, shift, shift, s.UpperFrontLeg, s.UpperRearLeg)
	}
	moved := l.follow(p, lower, upper, s.TieRod)
	return moved.Add(swing, -moved.At(p.Centre).Z/swing.At(p.Centre).Z)
}

// ballRate is the velocity, in the arm's plane, of a ball joint whose pivots move and whose legs lengthen at
// the rates given: the two equations (ball − pivot)·(v − pivot's velocity) = leg·(leg's rate).
func ballRate(ball, front, rear, frontMove, rearMove geom.Point, frontLeg, rearLeg float64) geom.Point {
	f, r := ball.Sub(front), ball.Sub(rear)
	ff, fr, rr := f.Dot(f), f.Dot(r), r.Dot(r)
	wantF := f.Dot(frontMove) + f.Norm()*frontLeg
	wantR := r.Dot(rearMove) + r.Norm()*rearLeg
	det := ff*rr - fr*fr
	return f.Scale((wantF*rr - wantR*fr) / det).Add(r.Scale((wantR*ff - wantF*fr) / det))
}
