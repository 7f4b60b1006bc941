package sim

import (
	"fmt"
	"math"
	"sync"

	"turnplate/sim/wishbone"
)

// The rules between fields of a vehicle: first what can't be, then what hardly ever is. Each looks at measured
// points and numbers alone, and says which fields it rests on; a name that starts with a stroke isn't the corner's.

// rule is what all of them have.
type rule struct {
	fields     []string
	impossible bool
	together   bool   // only where one literal gives all fields
	usual      string // what is usual, for a doubt
	source     string // where that comes from
}

// complaint is what a rule found; none where says is empty.
type complaint struct{ says, hint string }

type cornerRule struct {
	rule
	check func(v *Vehicle, c *Corner, side string) complaint
}

type vehicleRule struct {
	rule
	check func(v *Vehicle) complaint
}

func cannot(fields ...string) rule { return rule{fields: fields, impossible: true} }

func rarely(usual, source string, fields ...string) rule {
	return rule{fields: fields, usual: usual, source: source}
}

func inMM(x float64) string { return fmt.Sprintf("%.0f mm", x*1e3) }

// cornerOrder is how a corner's points must lie for it to be a two-arm corner at all. Models ask it too.
var cornerOrder = sync.OnceValue(func() []cornerRule {
	return []cornerRule{
		order("UpperFront", "UpperRear", "ahead of", "x points forward", func(a, b Point) bool { return a.X > b.X }),
		order("LowerFront", "LowerRear", "ahead of", "x points forward", func(a, b Point) bool { return a.X > b.X }),
		order("UpperBall", "LowerBall", "above", "z points up", func(a, b Point) bool { return a.Z > b.Z }),
		outboard("UpperBall", "UpperFront"), outboard("UpperBall", "UpperRear"),
		outboard("LowerBall", "LowerFront"), outboard("LowerBall", "LowerRear"),
	}
})

func order(one, other, where, axis string, holds func(a, b Point) bool) cornerRule {
	return cornerRule{cannot(one, other), func(_ *Vehicle, c *Corner, side string) complaint {
		if holds(c.point(one), c.point(other)) {
			return complaint{}
		}
		return complaint{fmt.Sprintf("%s.%s must lie %s %s", side, one, where, other), axis}
	}}
}

func outboard(ball, pivot string) cornerRule {
	return order(ball, pivot, "outboard of", "y points left, and the left corner is described, the right one as if it were a left one", func(a, b Point) bool { return a.Y > b.Y })
}

// cornerRules are all of a corner's.
var cornerRules = sync.OnceValue(func() []cornerRule {
	return append([]cornerRule{
		wrongSide("UpperBall", "the upper arm crosses the truck"),
		wrongSide("LowerBall", "the lower arm crosses the truck"),
		wrongSide("TieOuter", "the tie rod crosses the truck"),
		wrongSide("WheelCentre", "the wheel stands on the other side of the truck"),
		wrongSide("UpperFront", "the upper arm reaches over the truck's middle"),
		wrongSide("UpperRear", "the upper arm reaches over the truck's middle"),
		wrongSide("LowerFront", "the lower arm reaches over the truck's middle"),
		wrongSide("LowerRear", "the lower arm reaches over the truck's middle"),
		wrongSide("TieInner", "the tie rod crosses the truck"),
		wrongSide("ShaftOuter", "the drive shaft crosses the truck"),
		outboard("TieOuter", "TieInner"),
		outboard("WheelCentre", "LowerBall"), outboard("WheelCentre", "UpperBall"),
		outboard("ShaftOuter", "ShaftInner"),
		{cannot("TieInner", "TieOuter", "WheelCentre"), oppositeEnds},
	}, append(cornerOrder(), cornerDoubts()...)...)
})

func wrongSide(point, what string) cornerRule {
	return cornerRule{cannot(point), func(_ *Vehicle, c *Corner, side string) complaint {
		p := c.named()[point]
		if p.Y > 0 || p == (Point{}) {
			return complaint{}
		}
		hint := fmt.Sprintf("is the sign of %s's y right? y points left, and the left corner is described", point)
		if side == "Right" {
			hint = fmt.Sprintf("is the sign of %s's y right? Right is described as if it were a left corner", point)
		}
		return complaint{fmt.Sprintf("%s.%s has its y at %s: as typed %s", side, point, inMM(p.Y), what), hint}
	}}
}

// oppositeEnds finds a tie rod that crosses the axle's line by more than a measuring error at either end.
func oppositeEnds(_ *Vehicle, c *Corner, side string) complaint {
	const slack = 15e-3 // no rod's end lies so near to the axle's line: there it couldn't steer
	inner, outer := c.TieInner.X-c.WheelCentre.X, c.TieOuter.X-c.WheelCentre.X
	if !(math.Min(inner, outer) < -slack && math.Max(inner, outer) > slack) {
		return complaint{}
	}
	ahead, behind, wrong := "TieInner", "TieOuter", "TieOuter"
	if outer > inner {
		ahead, behind = behind, ahead
	}
	return complaint{
		fmt.Sprintf("%s.%s lies %s ahead of the axle's line and %s %s behind it: as typed the tie rod crosses the axle", side, ahead, inMM(math.Max(inner, outer)), behind, inMM(-math.Min(inner, outer))),
		fmt.Sprintf("is the sign of x right in TieInner and %s?", wrong),
	}
}

// between gives a rule for one number that follows from a corner's points.
func follows(what, unitName string, low, high float64, source, hint string, of func(v *Vehicle, c *Corner) float64, fields ...string) cornerRule {
	return cornerRule{rarely(fmt.Sprintf("%g to %g%s", low, high, unitName), source, fields...), func(v *Vehicle, c *Corner, side string) complaint {
		x := of(v, c)
		if !finite(x) || x >= low && x <= high {
			return complaint{}
		}
		return complaint{fmt.Sprintf("%s: as typed %s is %s%s", side, what, significant(x, 3), unitName), hint}
	}}
}

// cornerDoubts are what hardly ever is.
var cornerDoubts = sync.OnceValue(func() []cornerRule {
	return []cornerRule{
		follows("the caster", "°", -4, 14, service+": 2 to 6°, and more with adjustable arms", "are UpperBall's and LowerBall's x right?", func(_ *Vehicle, c *Corner) float64 {
			return degrees(math.Atan2(c.LowerBall.X-c.UpperBall.X, c.UpperBall.Z-c.LowerBall.Z))
		}, "UpperBall", "LowerBall"),
		follows("the steering axis's inclination", "°", 3, 20, practice, "are UpperBall's and LowerBall's y right?", func(_ *Vehicle, c *Corner) float64 {
			return degrees(math.Atan2(c.LowerBall.Y-c.UpperBall.Y, c.UpperBall.Z-c.LowerBall.Z))
		}, "UpperBall", "LowerBall"),
		follows("the distance between the ball joints", " mm", 150, 850, ownRange, "are UpperBall's and LowerBall's z right?", func(_ *Vehicle, c *Corner) float64 {
			return c.UpperBall.Sub(c.LowerBall).Norm() * 1e3
		}, "UpperBall", "LowerBall"),
		follows("the distance of the upper arm's pivots", " mm", 90, 650, ownRange, "are UpperFront's and UpperRear's x right?", func(_ *Vehicle, c *Corner) float64 {
			return c.UpperFront.Sub(c.UpperRear).Norm() * 1e3
		}, "UpperFront", "UpperRear"),
		follows("the distance of the lower arm's pivots", " mm", 120, 900, ownRange, "are LowerFront's and LowerRear's x right?", func(_ *Vehicle, c *Corner) float64 {
			return c.LowerFront.Sub(c.LowerRear).Norm() * 1e3
		}, "LowerFront", "LowerRear"),
		follows("the turn of the upper arm's pivot axis from the truck's, in plan,", "°", -25, 25, ownRange, "are UpperFront's and UpperRear's y right?", planAngle("UpperFront", "UpperRear"), "UpperFront", "UpperRear"),
		follows("the turn of the lower arm's pivot axis from the truck's, in plan,", "°", -25, 25, ownRange, "are LowerFront's and LowerRear's y right?", planAngle("LowerFront", "LowerRear"), "LowerFront", "LowerRear"),
		follows("the slope of the upper arm's pivot axis", "°", -20, 20, ownRange, "are UpperFront's and UpperRear's z right?", slopeAngle("UpperFront", "UpperRear"), "UpperFront", "UpperRear"),
		follows("the slope of the lower arm's pivot axis", "°", -20, 20, ownRange, "are LowerFront's and LowerRear's z right?", slopeAngle("LowerFront", "LowerRear"), "LowerFront", "LowerRear"),
		follows("the upper arm's length", " mm", 140, 460, ownRange, "is UpperBall's y right?", armLength("UpperFront", "UpperRear", "UpperBall"), "UpperFront", "UpperRear", "UpperBall"),
		follows("the lower arm's length", " mm", 220, 620, ownRange, "is LowerBall's y right?", armLength("LowerFront", "LowerRear", "LowerBall"), "LowerFront", "LowerRear", "LowerBall"),
		follows("the slope of the upper arm", "°", -35, 35, ownRange, "are the heights of UpperBall and its pivots right?", armSlope("UpperFront", "UpperRear", "UpperBall"), "UpperFront", "UpperRear", "UpperBall"),
		follows("the slope of the lower arm", "°", -35, 25, ownRange, "are the heights of LowerBall and its pivots right?", armSlope("LowerFront", "LowerRear", "LowerBall"), "LowerFront", "LowerRear", "LowerBall"),
		follows("the wheel's centre outboard of the lower ball joint", " mm", 10, 230, ownRange, "are WheelCentre's and LowerBall's y right?", func(_ *Vehicle, c *Corner) float64 {
			return (c.WheelCentre.Y - c.LowerBall.Y) * 1e3
		}, "LowerBall", "WheelCentre"),
		follows("the wheel's centre ahead of the steering axis", " mm", -60, 60, ownRange, "is WheelCentre's x right?", func(_ *Vehicle, c *Corner) float64 {
			return (c.WheelCentre.X - c.onAxis(c.WheelCentre.Z).X) * 1e3
		}, "UpperBall", "LowerBall", "WheelCentre"),
		follows("the wheel's centre above the lower ball joint", " mm", -60, 330, ownRange, "are WheelCentre's and LowerBall's z right?", func(_ *Vehicle, c *Corner) float64 {
			return (c.WheelCentre.Z - c.LowerBall.Z) * 1e3
		}, "LowerBall", "WheelCentre"),
		follows("the tie rod's length", " mm", 180, 600, ownRange, "are TieInner's and TieOuter's y right?", func(_ *Vehicle, c *Corner) float64 {
			return c.TieOuter.Sub(c.TieInner).Norm() * 1e3
		}, "TieInner", "TieOuter"),
		follows("the tie rod's sweep from square to the truck, in plan,", "°", -30, 30, ownRange, "are TieInner's and TieOuter's x right?", func(_ *Vehicle, c *Corner) float64 {
			return degrees(math.Atan2(c.TieInner.X-c.TieOuter.X, c.TieOuter.Y-c.TieInner.Y))
		}, "TieInner", "TieOuter"),
		follows("the steering arm, from the steering axis to the tie rod,", " mm", 70, 260, ownRange, "is TieOuter's x right?", func(_ *Vehicle, c *Corner) float64 {
			return math.Abs(c.TieOuter.X-c.onAxis(c.TieOuter.Z).X) * 1e3
		}, "UpperBall", "LowerBall", "TieOuter"),
		follows("the change of toe over 50 mm of travel either way", "°", 0, 2.5, "half of it is bad already: 0.8° in 40 mm is the worse car of a worked example", "are the heights of TieInner and TieOuter right?", func(_ *Vehicle, c *Corner) float64 { return c.bumpSteer() }, hardpointNames[:]...),
		follows("the drive shaft's outer joint ahead of the wheel's centre", " mm", -40, 40, ownRange, "are ShaftOuter's and WheelCentre's x right?", func(_ *Vehicle, c *Corner) float64 {
			return (c.ShaftOuter.X - c.WheelCentre.X) * 1e3
		}, "WheelCentre", "ShaftOuter"),
		follows("the drive shaft's outer joint above the wheel's centre", " mm", -45, 45, ownRange, "are ShaftOuter's and WheelCentre's z right?", func(_ *Vehicle, c *Corner) float64 {
			return (c.ShaftOuter.Z - c.WheelCentre.Z) * 1e3
		}, "WheelCentre", "ShaftOuter"),
		follows("the drive shaft's outer joint off the steering axis", " mm", 0, 60, ownRange, "is ShaftOuter's y right?", func(_ *Vehicle, c *Corner) float64 {
			return c.ShaftOuter.Sub(c.onAxis(c.ShaftOuter.Z)).Norm() * 1e3
		}, "UpperBall", "LowerBall", "ShaftOuter"),
		follows("the drive shaft's bend at rest", "°", 0, 25, practice, "are the heights of ShaftInner and ShaftOuter right?", func(_ *Vehicle, c *Corner) float64 {
			return degrees(between(c.ShaftOuter.Sub(c.ShaftInner), Point{Y: 1}))
		}, "ShaftInner", "ShaftOuter"),
		{rule{fields: []string{"WheelCentre", "/Tyre.LoadedRadius"}, together: true, usual: "within 30 mm", source: "both are the height of the wheel's centre above the ground, unless the truck was measured on other tyres"}, heightAgainstTyre},
		wheelLock(),
	}
})

// named gives the points by name.
func (c *Corner) named() map[string]Point {
	all := make(map[string]Point, len(hardpointNames)+2)
	c.Measured(func(name string, at *Point) { all[name] = *at })
	return all
}

// point gives one of them; models ask for a few on every run, so that they make no table.
func (c *Corner) point(name string) Point {
	switch name {
	case "UpperFront":
		return c.UpperFront
	case "UpperRear":
		return c.UpperRear
	case "UpperBall":
		return c.UpperBall
	case "LowerFront":
		return c.LowerFront
	case "LowerRear":
		return c.LowerRear
	case "LowerBall":
		return c.LowerBall
	case "TieInner":
		return c.TieInner
	case "TieOuter":
		return c.TieOuter
	case "WheelCentre":
		return c.WheelCentre
	case "ShaftInner":
		return c.ShaftInner
	case "ShaftOuter":
		return c.ShaftOuter
	}
	panic("sim: a corner has no point " + name)
}

// onAxis is where the line through the ball joints passes a height.
func (c *Corner) onAxis(z float64) Point {
	axis := c.UpperBall.Sub(c.LowerBall)
	return c.LowerBall.Add(axis.Scale((z - c.LowerBall.Z) / axis.Z))
}

func planAngle(front, rear string) func(*Vehicle, *Corner) float64 {
	return func(_ *Vehicle, c *Corner) float64 {
		d := c.named()[front].Sub(c.named()[rear])
		return degrees(math.Atan2(d.Y, d.X))
	}
}

func slopeAngle(front, rear string) func(*Vehicle, *Corner) float64 {
	return func(_ *Vehicle, c *Corner) float64 {
		d := c.named()[front].Sub(c.named()[rear])
		return degrees(math.Atan2(d.Z, d.X))
	}
}

// armLength is from the ball joint to the line through the pivots, in mm.
func armLength(front, rear, ball string) func(*Vehicle, *Corner) float64 {
	return func(_ *Vehicle, c *Corner) float64 {
		at := c.named()
		axis := at[front].Sub(at[rear]).Unit()
		return at[ball].Sub(at[rear]).Cross(axis).Norm() * 1e3
	}
}

// armSlope is how far an arm rises outward, seen from the front, from the middle of its pivots.
func armSlope(front, rear, ball string) func(*Vehicle, *Corner) float64 {
	return func(_ *Vehicle, c *Corner) float64 {
		at := c.named()
		d := at[ball].Sub(at[front].Add(at[rear]).Scale(0.5))
		return degrees(math.Atan2(d.Z, d.Y))
	}
}

// bumpSteer is the most that toe changes over 50 mm of travel either way, in degrees; NaN where the corner can't
// be moved so far.
func (c *Corner) bumpSteer() float64 {
	link, err := wishbone.New(c.hardpoints(), wishbone.Settings{})
	if err != nil {
		return math.NaN()
	}
	wheel := wishbone.Wheel{LoadedRadius: c.WheelCentre.Z}
	worst := 0.0
	for _, rise := range [...]float64{-50e-3, 50e-3} {
		p, err := link.AtHeight(c.WheelCentre.Z+rise, 0)
		if err != nil {
			return math.NaN()
		}
		worst = math.Max(worst, math.Abs(p.Angles(wheel, wishbone.Level).Toe-c.Toe))
	}
	return degrees(worst)
}

func heightAgainstTyre(v *Vehicle, c *Corner, side string) complaint {
	const most = 30e-3
	if off := c.WheelCentre.Z - v.Tyre.LoadedRadius; math.Abs(off) > most {
		return complaint{
			fmt.Sprintf("%s.WheelCentre is %s above the ground and Tyre.LoadedRadius %s", side, inMM(c.WheelCentre.Z), inMM(v.Tyre.LoadedRadius)),
			"are heights measured from the floor, on these tyres?",
		}
	}
	return complaint{}
}

// wheelLock is how far the rack turns the wheel by its steering arm alone.
func wheelLock() cornerRule {
	return follows("the lock that RackLimit gives with this steering arm", "°", 18, 60, "wheels turn 25 to 45°, "+practice, "is RackLimit the travel from the middle to either stop?", func(v *Vehicle, c *Corner) float64 {
		share := v.Steering.RackLimit / math.Abs(c.TieOuter.X-c.onAxis(c.TieOuter.Z).X)
		if share > 1 {
			return 90
		}
		return degrees(math.Asin(share))
	}, "UpperBall", "LowerBall", "TieOuter", "/Steering.RackLimit")
}
