package sim

import (
	"fmt"
	"math"

	"turnplate/sim/root"
	"turnplate/sim/wishbone"
)

// axle is both front corners of a vehicle at rest. Building one does the work that doesn't depend on bump or
// steer, so a model builds it once and asks for as many stances as it needs.
//
// Roll isn't modelled: the body stands level across however unlike its sides are, and each wheel stands on
// the ground through its own contact centre.
type axle struct {
	left, right corner
	mirrored    bool // the right corner is the left one's mirror image
	wheelbase   float64
	rackLimit   float64 // 0: not known
	pitch       float64 // body pitch since measured, + nose up
}

// kinematicFields are the Vehicle fields that an axle is built from, for Uses. Those of Front stand for Right's too.
func kinematicFields() []string {
	list := []string{"Wheelbase", "RearLift", "Tyre.LoadedRadius", "Tyre.OffsetChange", "Spring.BumpTravel", "Spring.DroopTravel"}
	for _, name := range append(hardpointNames[:], "ShaftInner", "ShaftOuter", "UpperStud", "JointLimit", "Camber", "Toe", "Lift", "Adjust") {
		list = append(list, "Front."+name)
	}
	return list
}

// kinematicOptional are those of them that an axle can do without: the wheelbase matters only where unequal lift
// pitches the body (newAxle then asks for it), and a rack without a limit goes as far as its joints do.
var kinematicOptional = []string{"Wheelbase", "Steering.RackLimit"}

// steeringFields are those that steering an axle needs.
func steeringFields() []string { return append([]string{"Steering.RackLimit"}, kinematicFields()...) }

// newAxle builds both corners at rest.
//
// Unequal lift pitches the body: tan(pitch) = (front lift − rear lift)/wheelbase, nose up when the front is
// raised more, with the front lift the mean of its two sides. The ground's vertical, against which caster and
// camber are read, pitches the other way as seen from the body.
func newAxle(v *Vehicle) (axle, error) {
	a := axle{mirrored: v.Right == nil, wheelbase: v.Wheelbase, rackLimit: v.Steering.RackLimit}
	rightOne := &v.Front
	if v.Right != nil {
		rightOne = v.Right
	}
	if rise := (v.Front.Lift+rightOne.Lift)/2 - v.RearLift; rise != 0 {
		if v.Wheelbase == 0 {
			return a, NotGiven{"Wheelbase"}
		}
		a.pitch = math.Atan(rise / v.Wheelbase)
	}
	ground := wishbone.Pitched(a.pitch)
	var err error
	if a.left, err = newCorner(v, &v.Front, "Front", ground); err != nil {
		return a, err
	}
	if a.mirrored {
		a.right = a.left
		a.right.side, a.right.mirror, a.right.rackSense = "right front", -1, -a.left.rackSense
		return a, nil
	}
	a.right, err = newCorner(v, v.Right, "Right", ground)
	if err == nil && a.left.rackSense == a.right.rackSense {
		err = fmt.Errorf("the tie rods of Front and Right turn their wheels opposite ways: one lies ahead of its steering axis and the other behind")
	}
	return a, err
}

// wheels is both wheels in one position.
type wheels struct{ left, right stance }

// atRest gives the axle at rest, steered straight ahead.
func (a *axle) atRest() wheels { return a.seen(a.left.rest, a.right.rest) }

// at gives the axle with both wheel centres raised by bump from rest, the rack in its middle.
func (a *axle) at(bump float64) (wheels, error) {
	if bump == 0 {
		return a.atRest(), nil
	}
	left, err := a.left.height(bump)
	if err != nil {
		return wheels{}, err
	}
	if a.mirrored {
		return a.seen(left, left), nil
	}
	right, err := a.right.height(bump)
	if err != nil {
		return wheels{}, err
	}
	return a.seen(left, right), nil
}

func (a *axle) seen(left, right wishbone.Pose) wheels {
	w := wheels{left: a.left.seen(left)}
	if a.mirrored && left == right {
		w.right = w.left
	} else {
		w.right = a.right.seen(right)
	}
	return w
}

// steered gives the axle with its arms held as in w (both wheels straight ahead) and the rack moved to rack,
// + turning the wheels left. A rack beyond its limit is an error.
func (a *axle) steered(w *wheels, rack float64) (wheels, error) {
	if a.rackLimit > 0 && math.Abs(rack) > a.rackLimit*(1+rounding) {
		return wheels{}, a.beyondRack(rack)
	}
	at := *w
	if err := a.left.steer(&at.left.pose, rack); err != nil {
		return wheels{}, err
	}
	if err := a.right.steer(&at.right.pose, rack); err != nil {
		return wheels{}, err
	}
	at.left.pose.Steered(&at.left.Angles, a.left.wheel, a.left.ground)
	at.right.pose.Steered(&at.right.Angles, a.right.wheel, a.right.ground)
	return at, nil
}

func (a *axle) beyondRack(rack float64) error {
	return fmt.Errorf("a rack position of %.4g mm is beyond Steering.RackLimit of %.4g mm", rack*1e3, a.rackLimit*1e3)
}

// meanHeading is the mean of both wheels' headings, + left.
func (a *axle) meanHeading(w *wheels) float64 {
	return (a.left.heading(&w.left) + a.right.heading(&w.right)) / 2
}

// headingClose is how near a heading is brought to the angle asked for, in rad: ten-thousandths of the
// promised 1e-7 rad, and a hundred roundings of an angle.
const headingClose = 1e-12

// turned finds the rack position at which the mean of both headings is angle, arms held as in w, and gives
// the wheels there.
func (a *axle) turned(w *wheels, angle float64) (rack float64, _ wheels, err error) {
	return a.findRack(w, func(at *wheels) (float64, float64) {
		return a.meanHeading(at) - angle,
			(a.left.headingRate(&at.left) + a.right.headingRate(&at.right)) / 2
	})
}

// findRack finds the rack position at which miss is zero; miss gives its value and its slope against the rack.
func (a *axle) findRack(w *wheels, miss func(*wheels) (value, slope float64)) (rack float64, at wheels, err error) {
	// Without a stop the search ends where a joint does; no rack moves half a metre.
	end := 0.5
	if a.rackLimit > 0 {
		end = a.rackLimit * (1 + rounding)
	}
	search := root.Search{Least: -end, Most: end, Step: 0.02, Close: headingClose, Resolution: 1e-14}
	rack, err = search.Follow(func(rack float64) (float64, float64, error) {
		if at, err = a.steered(w, rack); err != nil {
			return 0, 0, err
		}
		value, slope := miss(&at)
		return value, slope, nil
	})
	switch err {
	case root.ErrEnd:
		if a.rackLimit > 0 {
			err = fmt.Errorf("the angle can't be reached within Steering.RackLimit of %.4g mm", a.rackLimit*1e3)
		}
	case root.ErrTurnsBack:
		err = fmt.Errorf("the angle can't be reached: the linkage turns the wheels back before it")
	}
	return rack, at, err
}

// riseOf is how far the body has risen above the ground under each wheel in going from one position to
// another with the arms held.
func riseOf(from, to *wheels) (left, right float64) {
	return from.left.GroundHeight - to.left.GroundHeight, from.right.GroundHeight - to.right.GroundHeight
}
